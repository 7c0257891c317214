//! Nothing that can be typed makes the reader panic.

use proptest::prelude::*;
use rimhold::model::{CASES, CONSTRUCTS, Case, ConstructFile, NewCase, Side, Width, new_case};

/// Reads a text as both kinds of file and renders what comes out.
fn read_as_anything(text: &str, case: &Case) {
    let mut reports = Vec::new();
    match Case::parse("any.toml", text) {
        Ok(_) => {}
        Err(e) => reports.push(e),
    }
    match ConstructFile::parse("any.toml", text).and_then(|file| file.fit(case)) {
        Ok(_) => {}
        Err(e) => reports.push(e),
    }
    for e in reports {
        assert!(!e.problems.is_empty());
        for (line, column) in e.positions().into_iter().flatten() {
            assert!(line >= 1 && column >= 1);
        }
        let report = e.render(false);
        assert!(!report.contains("Failed to read"), "{report}");
        assert!(!report.is_empty());
    }
}

/// A small generator (Marsaglia's xorshift, 64 bit), so that a failure repeats.
struct Dice(u64);

impl Dice {
    fn below(&mut self, n: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % n.max(1) as u64) as usize
    }
}

#[test]
fn damaged_files_never_panic() {
    let case = Case::open("quarter").unwrap();
    let mut texts: Vec<Vec<u8>> = CASES.iter().chain(CONSTRUCTS).map(|f| f.1.as_bytes().to_vec()).collect();
    let mut names: Vec<_> = std::fs::read_dir("tests/case_files/bad").unwrap().map(|e| e.unwrap().path()).collect();
    names.sort();
    texts.extend(names.iter().map(|p| std::fs::read(p).unwrap()));
    let tokens = [
        "nan",
        "-inf",
        "[",
        "]",
        "{",
        "}",
        "\"",
        "'''",
        "=",
        "\n",
        "\r",
        "\u{feff}",
        "µ",
        "[[limb]]",
        "1e999",
        "0x",
        "-0",
        "99999999999999999999999999999999999999999999",
        "\u{1b}[31m",
        "[limb.\"\"]",
        "[anchor.\"\"]",
        "[strand.\"\"]\nrigidity=1",
        "[tether.\"\"]",
        "1979-05-27",
        "true",
        "{}",
        "[]",
        "\u{0}",
        "\\u0000",
        "\"\\u001b\"",
        "a.b.c = 1",
        "closed = true",
    ];
    let mut dice = Dice(0x5eed_0001);
    for round in 0..6000 {
        let mut bytes = texts[round % texts.len()].clone();
        for _ in 0..=dice.below(4) {
            let at = dice.below(bytes.len() + 1);
            match dice.below(5) {
                0 if !bytes.is_empty() => {
                    let k = dice.below(bytes.len());
                    bytes[k] = dice.below(256) as u8;
                }
                1 => {
                    let end = (at + dice.below(40)).min(bytes.len());
                    bytes.drain(at..end);
                }
                2 => {
                    let other = &texts[dice.below(texts.len())];
                    let from = dice.below(other.len());
                    let to = (from + dice.below(60)).min(other.len());
                    bytes.splice(at..at, other[from..to].to_vec());
                }
                3 => {
                    let token = tokens[dice.below(tokens.len())];
                    bytes.splice(at..at, token.bytes());
                }
                _ => {
                    // A value replaced by a strange one, where it parses as TOML.
                    let text = String::from_utf8_lossy(&bytes).into_owned();
                    let places: Vec<usize> = text.match_indices("= ").map(|m| m.0 + 2).collect();
                    if !places.is_empty() {
                        let from = places[dice.below(places.len())];
                        let to = text[from..].find([',', '}', '\n']).map_or(text.len(), |k| from + k);
                        let token = tokens[dice.below(tokens.len())];
                        bytes = format!("{}{token}{}", &text[..from], &text[to..]).into_bytes();
                    }
                }
            }
        }
        read_as_anything(&String::from_utf8_lossy(&bytes), &case);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 512, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_is_read_or_refused(text in "\\PC{0,200}|[\\[\\]{}=\"'.,\n\ra-z0-9 \\-+%#]{0,200}") {
        read_as_anything(&text, &Case::open("quarter").unwrap());
    }

    #[test]
    fn a_new_case_reads_back_as_it_was_measured(
        left in any::<bool>(),
        diameter in 23.0..30.0f64,
        percent in 8.0..45.0f64,
        in_mm in any::<bool>(),
        middle in 0.5..5.5f64,
        depth in 6.0..15.0f64,
        tilt in -5.0..20.0f64,
        inferior in -5.0..14.0f64,
        spin in -20.0..20.0f64,
        length in proptest::option::of(8.0..25.0f64),
    ) {
        let mut given = NewCase::new(
            if left { Side::Left } else { Side::Right },
            diameter,
            if in_mm { Width::Mm(0.01 * percent * diameter) } else { Width::Percent(percent) },
            middle,
        );
        given.name = Some("a \"name\" with \\ in it".into());
        for (path, value) in [
            ("fragment.depth", Some(depth)),
            ("fragment.tilt", Some(tilt)),
            ("fragment.length", length),
            ("displaced.inferior", Some(inferior)),
            ("displaced.spin", Some(spin)),
        ] {
            given.set(path, value);
        }
        match new_case(&given) {
            Ok(text) => {
                let case = Case::parse("new.toml", &text).unwrap();
                prop_assert_eq!(&case.name, "a \"name\" with \\ in it");
                prop_assert_eq!(case.side, given.side);
                let shape = case.fragment.shape;
                prop_assert_eq!(case.fragment.socket.radius, 0.5 * diameter);
                // A percentage is rounded once on either way through it.
                prop_assert!((shape.width - 0.01 * percent * diameter).abs() < 1e-12);
                prop_assert_eq!(shape.depth, depth);
                prop_assert_eq!(shape.tilt, tilt.to_radians());
                prop_assert_eq!(shape.length, length);
                prop_assert!((shape.direction - rimhold::anatomy::clock_angle(middle)).abs() < 1e-12);
                prop_assert_eq!(case.displaced.inferior, inferior);
                prop_assert_eq!(case.displaced.medial, 0.0);
                prop_assert_eq!(case.displaced.spin, spin.to_radians());
            }
            // Only a shape that no socket can have is refused, and it says which measurement.
            Err(e) => prop_assert!(e.to_string().contains("look at `"), "{}", e),
        }
    }
}
