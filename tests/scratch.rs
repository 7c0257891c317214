//! scratch
#[path = "figures/orders.rs"]
mod orders;
use rimhold::figures::*;
#[test]
fn look() {
    let folder = std::path::Path::new("/tmp/tiefig");
    for (case, name, single, all) in [("quarter","one-by-one",false,true),("hinge-weak","one-by-one",true,true),("large","two-by-two",true,false),("quarter","linked-pair",false,true),("quarter","single-row",false,true)] {
        let case = rimhold::case::Case::open(case).unwrap();
        let c = orders::construct(&case, name);
        let c = if single { orders::one_by_one(c.clone()) } else { c.clone() };
        let o = orders::orders(&case, &c, all);
        let mut f = tie_strip(&case, &c, &o, &Theme::double());
        f.name = format!("strip-{}-{name}-{single}", case.name);
        f.write(folder, &Format::ALL).unwrap();
    }
}
