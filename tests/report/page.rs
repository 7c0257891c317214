//! The page: sound HTML, readable by everyone, asking nothing of the network.

use crate::report::{THREE, all};
use scraper::{ElementRef, Html, Selector};

fn select<'a>(page: &'a Html, what: &str) -> Vec<ElementRef<'a>> {
    page.select(&Selector::parse(what).unwrap()).collect()
}

fn words(e: &ElementRef<'_>) -> String {
    e.text().collect::<String>().trim().to_owned()
}

#[test]
fn the_page_is_sound_html() {
    for (name, made) in all() {
        let page = Html::parse_document(&made.text("index.html"));
        // The parser of the HTML Standard: whatever it had to mend is an error.
        assert!(page.errors.is_empty(), "{name}: {:?}", page.errors);
        let quirks = Html::parse_document("<p>no doctype").quirks_mode;
        assert!(page.quirks_mode != quirks, "{name}: quirks");
    }
}

#[test]
fn nothing_is_asked_of_the_network_and_nothing_runs() {
    for (name, made) in all() {
        let text = made.text("index.html");
        let page = Html::parse_document(&text);
        for what in [
            "script",
            "link",
            "iframe",
            "img",
            "object",
            "embed",
            "audio",
            "video",
            "form",
            "base",
            "[src]",
            "[srcset]",
            "[style]",
            "[onclick]",
            "[onload]",
        ] {
            assert!(select(&page, what).is_empty(), "{name}: {what}");
        }
        for e in select(&page, "[href]") {
            let target = e.attr("href").unwrap();
            let id = target.strip_prefix('#').unwrap_or_else(|| panic!("{name}: {target}"));
            assert_eq!(select(&page, &format!("[id=\"{id}\"]")).len(), 1, "{name}: {target}");
        }
        for bad in ["@import", "javascript:"] {
            assert!(!text.contains(bad), "{name}: {bad}");
        }
        // The fonts are in the page, textures and clips too; and whatever else one might ask for, the page forbids.
        for (at, _) in text.match_indices("url(") {
            let allowed = ["url(data:font/ttf;base64,", "url(#"];
            assert!(allowed.iter().any(|start| text[at..].starts_with(start)), "{name}");
        }
        let policy = select(&page, "meta[http-equiv=Content-Security-Policy]")[0].attr("content").unwrap().to_owned();
        assert!(policy.starts_with("default-src 'none'"), "{name}: {policy}");
        // The one address is the name of the SVG language.
        for (at, _) in text.match_indices("://") {
            let address = text[..at].ends_with("http") && text[at..].starts_with("://www.w3.org/2000/svg\"");
            assert!(address, "{name}: {}", &text[at - 5..at + 30]);
        }
    }
}

#[test]
fn headings_step_down_one_by_one() {
    // WCAG 2.1, 1.3.1 and its technique G141.
    for (name, made) in all() {
        let page = Html::parse_document(&made.text("index.html"));
        let levels: Vec<u32> = select(&page, "h1, h2, h3, h4, h5, h6")
            .iter()
            .map(|h| {
                assert!(!words(h).is_empty(), "{name}");
                h.value().name()[1..].parse().unwrap()
            })
            .collect();
        assert_eq!(levels.iter().filter(|l| **l == 1).count(), 1, "{name}");
        assert_eq!(levels[0], 1, "{name}");
        for pair in levels.windows(2) {
            assert!(pair[1] <= pair[0] + 1, "{name}: {levels:?}");
        }
    }
}

#[test]
fn drawings_and_tables_have_their_words() {
    // WCAG 2.1, 1.1.1, 1.3.1, 3.1.1 and 4.1.2.
    for (name, made) in all() {
        let page = Html::parse_document(&made.text("index.html"));
        let drawings = select(&page, "svg");
        if name != "lost" {
            assert!(drawings.len() >= 8, "{name}");
        }
        for svg in drawings {
            assert_eq!(svg.attr("role"), Some("img"), "{name}");
            let label = svg.attr("aria-label").unwrap();
            assert!(label.len() > 40, "{name}: {label}");
        }
        for figure in select(&page, "figure") {
            let caption: Vec<_> = figure.select(&Selector::parse("figcaption").unwrap()).collect();
            assert!(caption.len() == 1 && words(&caption[0]).len() > 40, "{name}");
        }
        for table in select(&page, "table") {
            let one = |what: &str| table.select(&Selector::parse(what).unwrap()).next().is_some();
            assert!(one("caption") && one("th[scope=col]") && one("th[scope=row]"), "{name}");
            let counts: Vec<usize> =
                table.select(&Selector::parse("tr").unwrap()).map(|r| r.child_elements().count()).collect();
            assert!(counts.windows(2).all(|c| c[0] == c[1]), "{name}: {counts:?}");
        }
        assert_eq!(select(&page, "html")[0].attr("lang"), Some("en"));
        assert_eq!(select(&page, "main").len(), 1);
        assert!(!words(&select(&page, "title")[0]).is_empty());
        assert!(select(&page, "meta[name=viewport]").len() == 1);
        let mut ids: Vec<&str> = select(&page, "[id]").iter().map(|e| e.attr("id").unwrap()).collect();
        let count = ids.len();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), count, "{name}: an id twice");
    }
}

#[test]
fn colours_of_words_stand_off_their_ground() {
    // WCAG 2.1, 1.4.3: 4.5 to 1 for words. Every colour of words in the style sheet against the darkest
    // ground that it has.
    let text = THREE.text("index.html");
    let style = text.split("<style>").nth(1).unwrap().split("</style>").next().unwrap();
    let of = |property: &str| -> Vec<f64> {
        style
            .split([';', '{', '}'])
            .filter_map(|rule| {
                let (name, value) = rule.trim().split_once(':')?;
                let value = value.trim().strip_prefix('#')?;
                (name.trim() == property).then(|| luminance(value))
            })
            .collect()
    };
    let (words, grounds) = (of("color"), of("background"));
    assert!(words.len() >= 4 && grounds.len() >= 3);
    let darkest = grounds.iter().copied().fold(1.0, f64::min);
    for word in words {
        let contrast = (darkest + 0.05) / (word + 0.05);
        assert!(contrast >= 4.5, "{contrast:.2}");
    }
}

/// Relative luminance of an sRGB colour in hexadecimal (WCAG 2.1, its definition).
fn luminance(hex: &str) -> f64 {
    let part = |k: usize| {
        let c = f64::from(u8::from_str_radix(&hex[k..k + 2], 16).unwrap()) / 255.0;
        if c <= 0.040_45 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
    };
    0.2126 * part(0) + 0.7152 * part(2) + 0.0722 * part(4)
}

/// The page in a browser, where one is installed: no message of the console, which would also tell of
/// a request, since the policy of the page refuses all; and something is seen.
#[test]
fn a_browser_shows_it_without_a_complaint() {
    let browser = ["chromium", "chromium-browser"]
        .into_iter()
        .find(|b| std::process::Command::new(b).arg("--version").output().is_ok());
    let Some(browser) = browser else {
        println!("no Chromium is installed: the page was checked by its parser alone");
        return;
    };
    let page = THREE.path().join("index.html");
    for width in [390, 1280] {
        let room = tempfile::tempdir().unwrap();
        let shot = room.path().join("page.png");
        let end = std::process::Command::new(browser)
            .args(["--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars"])
            .args(["--enable-logging=stderr", "--v=0", "--force-device-scale-factor=1"])
            .arg(format!("--user-data-dir={}", room.path().join("profile").display()))
            .arg(format!("--window-size={width},1200"))
            .arg(format!("--screenshot={}", shot.display()))
            .arg(format!("file://{}", page.display()))
            .output()
            .unwrap();
        let said = String::from_utf8_lossy(&end.stderr);
        assert!(!said.contains("CONSOLE"), "{said}");
        let png = std::fs::read(&shot).unwrap();
        assert_eq!(png[16..20], (width as u32).to_be_bytes());
        let picture = resvg::tiny_skia::Pixmap::decode_png(&png).unwrap();
        let inked = picture.pixels().iter().filter(|p| p.red() < 100).count();
        assert!(inked > 2000, "{width}: an empty page");
    }
}
