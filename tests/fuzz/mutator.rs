//! Changes a text where it matters: values for others of their kind or of the edges of a range, lines
//! for lines, so that most inputs are still TOML and get past the parser.

use rimhold::model::parameters;

/// Strange values that stand where a number or a text may.
const STRANGE: &[&str] = &[
    "nan",
    "inf",
    "-inf",
    "0",
    "-0.0",
    "5e-324",
    "1e-308",
    "1.7976931348623157e308",
    "1e-12",
    "1e999",
    "9223372036854775807",
    "0xffff",
    "true",
    "\"\"",
    "\"0 %\"",
    "\"100 %\"",
    "\"-100 %\"",
    "\"99.999999 %\"",
    "\"1e-300 %\"",
    "\"12:00\"",
    "\"0:00\"",
    "\"rim\"",
    "\"flat\"",
    "\"rigid\"",
    "\"taut\"",
    "[]",
    "{}",
    "[0.0, 0.0, 0.0]",
    "1979-05-27",
    "\"\\u0000\"",
    "\"µ\"",
];

/// SplitMix64 (Steele, Lea and Flood, OOPSLA 2014).
struct Random(u64);

impl Random {
    fn below(&mut self, n: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) % n.max(1) as u64) as usize
    }

    /// Between 0 and 1.
    fn unit(&mut self) -> f64 {
        self.below(1 << 30) as f64 / f64::from(1 << 30)
    }
}

/// How a text is changed.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Manner {
    /// Anything for anything.
    Wild,
    /// Mostly a value for another that is allowed, so that it can still be tied.
    Gentle,
}

/// The text changed in one to four places; `None` when it is no text, or grows beyond `most` bytes.
pub fn mutate(bytes: &[u8], most: usize, seed: u32, manner: Manner) -> Option<Vec<u8>> {
    let mut random = Random(u64::from(seed));
    let mut text = std::str::from_utf8(bytes).ok()?.to_owned();
    for _ in 0..=random.below(4) {
        let choice = match manner {
            Manner::Wild => random.below(9),
            Manner::Gentle => random.below(42).saturating_sub(33),
        };
        text = match choice {
            0..=4 => value(&text, &mut random, manner),
            5 => without_line(&text, &mut random),
            6 => line_again(&text, &mut random),
            7 => with_screw(&text, &mut random),
            _ => words_swapped(&text, &mut random),
        };
    }
    (text.len() <= most).then(|| text.into_bytes())
}

/// One value replaced.
fn value(text: &str, random: &mut Random, manner: Manner) -> String {
    let starts: Vec<usize> =
        text.match_indices("= ").map(|m| m.0 + 2).filter(|&from| !text[from..].starts_with(['{', '['])).collect();
    if starts.is_empty() {
        return text.to_owned();
    }
    let from = starts[random.below(starts.len())];
    let to = text[from..].find([',', '}', ']', '\n', '#']).map_or(text.len(), |k| from + k);
    let key = text[..from - 2].trim_end().rsplit([' ', '\n', '{', '.']).next().unwrap_or_default();
    let rows: Vec<_> = parameters()
        .iter()
        .filter(|row| {
            let last = row.path.rsplit('.').next().unwrap_or_default();
            last.split('[').next() == Some(key)
        })
        .collect();
    let new = if rows.is_empty() && manner == Manner::Gentle {
        return text.to_owned();
    } else if rows.is_empty() || manner == Manner::Wild && random.below(6) == 0 {
        STRANGE[random.below(STRANGE.len())].to_owned()
    } else {
        let row = rows[random.below(rows.len())];
        let (low, high) = row.allowed;
        let number = match random.below(8) {
            0 => low,
            1 => high,
            2 => low.next_up(),
            3 => high.next_down(),
            4 => 0.0,
            5 => low + (high - low) * random.unit(),
            _ => row.low + (row.high - row.low) * random.unit(),
        };
        if row.unit == "%" { format!("\"{number} %\"") } else { format!("{number:?}") }
    };
    format!("{}{new} {}", &text[..from], &text[to..])
}

fn without_line(text: &str, random: &mut Random) -> String {
    let lines: Vec<&str> = text.lines().collect();
    let gone = random.below(lines.len());
    let left: Vec<&str> = lines.iter().enumerate().filter(|(k, _)| *k != gone).map(|(_, line)| *line).collect();
    left.join("\n") + "\n"
}

fn line_again(text: &str, random: &mut Random) -> String {
    let mut lines: Vec<&str> = text.lines().collect();
    if !lines.is_empty() {
        let from = random.below(lines.len());
        let many = 1 + random.below(4);
        let piece: Vec<&str> = lines[from..(from + many).min(lines.len())].to_vec();
        let to = random.below(lines.len() + 1);
        lines.splice(to..to, piece);
    }
    lines.join("\n") + "\n"
}

/// One screw more in a construct, aimed in one of the three ways and tied first; what a case has no
/// use for is left out of it.
fn with_screw(text: &str, random: &mut Random) -> String {
    if !["[limb", "[[limb", "[screw", "[[screw"].iter().any(|head| text.contains(head)) {
        return text.to_owned();
    }
    let name = format!("screw-{}", random.below(1000));
    let aim = match random.below(3) {
        0 => String::new(),
        1 => format!("direction = [-1.0, {:.2}, {:.2}]\n", 1.2 * random.unit() - 0.2, 0.8 * random.unit() - 0.6),
        _ => format!(
            "toward = {{ neck = {{ along = \"{:.0} %\", beyond = {:.1} }} }}\n",
            120.0 * random.unit() - 60.0,
            8.0 * random.unit()
        ),
    };
    let order = text.replacen("order = [", &format!("order = [\"{name}\", "), 1);
    format!(
        "{order}\n[screw.{name}]\nat = {{ wall = {{ along = \"{:.0} %\", below = {:.2} }} }}\n{aim}preload = {:.1}\n",
        110.0 * random.unit() - 55.0,
        2.5 + 3.5 * random.unit(),
        5.0 + 295.0 * random.unit()
    )
}

/// Two texts in quotes change places.
fn words_swapped(text: &str, random: &mut Random) -> String {
    let quotes: Vec<usize> = text.match_indices('"').map(|m| m.0).collect();
    let pairs: Vec<(usize, usize)> = quotes.chunks_exact(2).map(|q| (q[0], q[1] + 1)).collect();
    if pairs.len() < 2 {
        return text.to_owned();
    }
    let (a, b) = (random.below(pairs.len()), random.below(pairs.len()));
    let (first, second) = (pairs[a.min(b)], pairs[a.max(b)]);
    if first == second {
        return text.to_owned();
    }
    format!(
        "{}{}{}{}{}",
        &text[..first.0],
        &text[second.0..second.1],
        &text[first.1..second.0],
        &text[first.0..first.1],
        &text[second.1..]
    )
}
