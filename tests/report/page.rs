//! The page: sound HTML, readable by everyone, asking nothing of the network.

use crate::report::{THREE, all};
use scraper::{ElementRef, Html, Selector};
use std::path::Path;
use std::process::Command;

fn select<'a>(page: &'a Html, what: &str) -> Vec<ElementRef<'a>> {
    page.select(&Selector::parse(what).unwrap()).collect()
}

/// Every page and supplement, with its name.
fn pages() -> impl Iterator<Item = (String, String)> {
    let files = ["index.html", "supplement.html"];
    all().into_iter().flat_map(move |(name, made)| files.map(|file| (format!("{name} {file}"), made.text(file))))
}

fn words(e: &ElementRef<'_>) -> String {
    e.text().collect::<String>().trim().to_owned()
}

#[test]
fn the_page_is_sound_html() {
    for (name, text) in pages() {
        let page = Html::parse_document(&text);
        // The parser of the HTML Standard: whatever it had to mend is an error.
        assert!(page.errors.is_empty(), "{name}: {:?}", page.errors);
        let quirks = Html::parse_document("<p>no doctype").quirks_mode;
        assert!(page.quirks_mode != quirks, "{name}: quirks");
    }
}

#[test]
fn nothing_is_asked_of_the_network_and_nothing_runs() {
    for (name, text) in pages() {
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
            if ["index.html", "supplement.html"].contains(&target) {
                continue;
            }
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
    for (name, text) in pages() {
        let page = Html::parse_document(&text);
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
    for (name, text) in pages() {
        let page = Html::parse_document(&text);
        let drawings = select(&page, "svg");
        if !name.starts_with("lost") {
            assert!(drawings.len() >= 5, "{name}");
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

/// Chromium, where it is installed.
fn browser() -> Option<&'static str> {
    let found =
        ["chromium", "chromium-browser"].into_iter().find(|b| Command::new(b).arg("--version").output().is_ok());
    if found.is_none() {
        println!("no Chromium is installed: the page was checked by its parser alone");
    }
    found
}

/// Runs it without a window on a file.
fn run(browser: &str, room: &Path, more: &[String], file: &Path) -> std::process::Output {
    Command::new(browser)
        .args(["--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars"])
        .args(["--enable-logging=stderr", "--v=0", "--force-device-scale-factor=1"])
        .arg(format!("--user-data-dir={}", room.join("profile").display()))
        .args(more)
        .arg(format!("file://{}", file.display()))
        .output()
        .unwrap()
}

/// The pages in a browser: no message of the console, which would also tell of
/// a request, since the policy of the page refuses all; and something is seen.
#[test]
fn a_browser_shows_it_without_a_complaint() {
    let Some(browser) = browser() else { return };
    for (width, file) in [(390, "index.html"), (1280, "index.html"), (390, "supplement.html")] {
        let room = tempfile::tempdir().unwrap();
        let shot = room.path().join("page.png");
        let more = [format!("--window-size={width},1200"), format!("--screenshot={}", shot.display())];
        let end = run(browser, room.path(), &more, &THREE.path().join(file));
        let said = String::from_utf8_lossy(&end.stderr);
        assert!(!said.contains("CONSOLE"), "{said}");
        let png = std::fs::read(&shot).unwrap();
        assert_eq!(png[16..20], (width as u32).to_be_bytes());
        let picture = resvg::tiny_skia::Pixmap::decode_png(&png).unwrap();
        let inked = picture.pixels().iter().filter(|p| p.red() < 100).count();
        assert!(inked > 2000, "{width}: an empty page");
    }
}

/// On a phone nothing but tables and drawings is wider than the screen, and those say that they scroll.
#[test]
fn a_phone_scrolls_tables_and_nothing_else() {
    let Some(browser) = browser() else { return };
    for file in ["index.html", "supplement.html"] {
        let room = tempfile::tempdir().unwrap();
        let outer = room.path().join("phone.html");
        let page = THREE.path().join(file);
        let text = "<iframe id=f width=390 height=844 style='border:0' src='file://PAGE'></iframe><script>onload = () => {\
            const d = f.contentDocument, cues = [...d.querySelectorAll('.table .cue')];\
            document.title = [d.documentElement.scrollWidth <= 390, cues.length > 0 && cues.every(c => c.offsetHeight > 0)].join()\
            }</script>";
        std::fs::write(&outer, text.replace("PAGE", &page.display().to_string())).unwrap();
        let more = ["--allow-file-access-from-files", "--disable-web-security", "--dump-dom"].map(str::to_owned);
        let end = run(browser, room.path(), &more, &outer);
        let said = String::from_utf8_lossy(&end.stdout);
        assert!(said.contains("<title>true,true</title>"), "{file}: {}", &said[..said.len().min(600)]);
    }
}

/// Three constructs print on at most twelve pages, none of them half empty but the last.
#[test]
fn it_prints_on_twelve_pages() {
    let Some(browser) = browser() else { return };
    let room = tempfile::tempdir().unwrap();
    let pdf = room.path().join("page.pdf");
    let more = [format!("--print-to-pdf={}", pdf.display()), "--no-pdf-header-footer".to_owned()];
    run(browser, room.path(), &more, &THREE.path().join("index.html"));
    let pages = lopdf::Document::load(&pdf).unwrap().get_pages().len();
    assert!((4..=12).contains(&pages), "{pages} pages");
}
