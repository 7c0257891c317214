//! scratch
#[path = "figures/orders.rs"]
mod orders;
use rimhold::figures::*;
#[test]
fn look() {
    let folder = std::path::Path::new("/tmp/tiefig");
    for (case, name, single, all) in [
        ("quarter", "one-by-one", false, true),
        ("hinge-weak", "one-by-one", true, true),
        ("large", "two-by-two", true, false),
        ("quarter", "linked-pair", false, true),
        ("quarter", "single-row", false, true),
    ] {
        let case = rimhold::case::Case::open(case).unwrap();
        let c = orders::construct(&case, name);
        let c = if single {
            orders::one_by_one(c.clone())
        } else {
            c.clone()
        };
        let o = orders::orders(&case, &c, all);
        let t = std::time::Instant::now();
        let a = tie_animation(&case, &c, &o).unwrap().unwrap();
        println!(
            "{} {name} {single}: {} frames {} bytes in {:?}",
            case.name,
            a.frames,
            a.gif.len(),
            t.elapsed()
        );
        std::fs::write(
            folder.join(format!("{}-{name}-{single}.gif", case.name)),
            &a.gif,
        )
        .unwrap();
        let t = std::time::Instant::now();
        write_tie(
            &folder.join(format!("all-{}-{name}-{single}", case.name)),
            &case,
            &c,
            &o,
        )
        .unwrap();
        println!("all {:?}", t.elapsed());
        let mut f = tie_strip(&case, &c, &o, &Theme::double());
        f.name = format!("strip-{}-{name}-{single}", case.name);
        f.write(folder, &Format::ALL).unwrap();
        for (w, theme) in [(180, Theme::double()), (85, Theme::single())] {
            let mut f = tie_residuals(&case, &c, &o, &theme);
            f.name = format!("residuals-{}-{name}-{single}-{w}", case.name);
            f.write(folder, &Format::ALL).unwrap();
            let mut f = tie_tensions(&case, &c, &o, &theme).unwrap();
            f.name = format!("tensions-{}-{name}-{single}-{w}", case.name);
            f.write(folder, &Format::ALL).unwrap();
        }
    }
}
