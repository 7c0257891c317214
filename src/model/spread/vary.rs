//! An input varied over a grid: `PATH=lo..hi:n`, or `PATH=a,b,c`.

use super::super::reader::is_word;
use super::known::near;
use super::known::{HINGE, HINGE_STATES, Known, Owner};
use super::subject::Subject;

/// Most values of an axis.
const MOST: usize = 1000;

/// What was typed.
#[derive(Debug, Clone, PartialEq)]
pub struct Varying {
    /// Dotted path.
    pub path: String,
    /// Values.
    pub values: Vec<f64>,
    /// Whether they are percent.
    pub percent: bool,
}

impl Varying {
    /// Reads what was typed.
    ///
    /// # Errors
    /// What is wrong with it.
    pub fn parse(text: &str) -> Result<Self, String> {
        let form = "write PATH=LOW..HIGH:NUMBER or PATH=VALUE,VALUE,…, e.g. bed.friction=0.3..0.9:7";
        // A name may hold an equals sign, a value never does.
        let (path, values) = text.rsplit_once('=').ok_or(form)?;
        let path = path.trim().to_owned();
        let percent = values.contains('%');
        let number = |text: &str| -> Result<f64, String> {
            let word = text.trim().trim_end_matches('%').trim();
            if path == HINGE
                && let Some(state) = HINGE_STATES.iter().position(|s| is_word(word, s))
            {
                return Ok(state as f64);
            }
            match word.replace('\u{2212}', "-").parse::<f64>() {
                Ok(value) if path == HINGE && !is_state(value) => Err(no_state(value)),
                Ok(value) if value.is_finite() => Ok(value),
                _ if path == HINGE => Err(format!("`{word}` is no state of a hinge; {}", states())),
                _ => Err(format!("`{word}` is no number; {form}")),
            }
        };
        let values = match values.split_once("..") {
            None => values.split(',').map(number).collect::<Result<Vec<f64>, _>>()?,
            Some((low, rest)) => {
                let (high, count) = rest.split_once(':').ok_or(form)?;
                let (low, high) = (number(low)?, number(high)?);
                let count: usize =
                    count.trim().parse().map_err(|_| format!("`{}` is no whole number; {form}", count.trim()))?;
                if !(2..=MOST).contains(&count) {
                    return Err(format!("{count} values: allowed are 2 to {MOST}"));
                }
                if low == high {
                    return Err(format!("{low} to {high} is no range"));
                }
                (0..count)
                    // Rounded where binary fractions would not be what was meant: 0.6, not 0.6000000000000001.
                    .map(|k| low + (high - low) * k as f64 / (count - 1) as f64)
                    .map(|v| (v * 1e9).round() / 1e9)
                    .collect()
            }
        };
        if values.is_empty() || values.len() > MOST {
            return Err(format!("{} values: allowed are 1 to {MOST}", values.len()));
        }
        if path == HINGE
            && let Some(between) = values.iter().find(|v| !is_state(**v))
        {
            return Err(no_state(*between));
        }
        let mut sorted = values.clone();
        sorted.sort_by(f64::total_cmp);
        if let Some(twice) = sorted.windows(2).find(|pair| pair[0] == pair[1]) {
            let unit = if percent { " %" } else { "" };
            return Err(format!(
                "{}{unit} is given twice; give each value once, and a range no more values than differ",
                twice[0]
            ));
        }
        Ok(Self { path, values, percent })
    }
}

/// The states of a hinge, as they may be written.
fn states() -> String {
    let list = HINGE_STATES.iter().enumerate();
    let list: Vec<String> = list.map(|(k, word)| format!("{k} or {word}")).collect();
    format!("write {}", list.join(", "))
}

/// Whether a number is one of them.
fn is_state(value: f64) -> bool {
    (0..HINGE_STATES.len()).any(|state| value == state as f64)
}

fn no_state(value: f64) -> String {
    format!("a hinge has no state {value}: it is whole, weak or not there; {}", states())
}

/// An axis on a case and its constructs.
#[derive(Debug, Clone)]
pub struct Axis {
    /// As typed.
    pub varying: Varying,
    /// In words.
    pub label: String,
    /// Unit.
    pub unit: String,
    targets: Vec<Known>,
}

impl Axis {
    /// What was typed, on a subject.
    ///
    /// # Errors
    /// An unknown path, with the nearest known ones; values outside the physical range.
    pub fn new(varying: Varying, subject: &Subject) -> Result<Self, String> {
        let targets = subject.targets(&varying.path);
        let Some(first) = targets.first() else {
            return Err(format!(
                "`{}` is no input of this case and these constructs\n  {}",
                varying.path,
                near(&varying.path, &subject.known())
            ));
        };
        for target in &targets {
            let (low, high) = match (varying.percent, target.percent) {
                (true, None) => {
                    return Err(format!(
                        "`{}` is not given in percent; its unit is {}",
                        target.path,
                        if target.unit.is_empty() { "none" } else { target.unit }
                    ));
                }
                (true, Some(range)) => range,
                (false, _) => target.allowed,
            };
            let fold = |f: fn(f64, f64) -> f64, start| varying.values.iter().copied().fold(start, f);
            let (least, most) = (fold(f64::min, f64::INFINITY), fold(f64::max, f64::NEG_INFINITY));
            let outside = |v: f64| v < low || v > high;
            let bad = match (outside(least), outside(most)) {
                (true, true) if least < most => format!("{least} or {most}"),
                (true, _) => format!("{least}"),
                (_, true) => format!("{most}"),
                _ => continue,
            };
            let unit = if varying.percent { "%" } else { target.unit };
            let hint = match target.percent {
                Some((low, high)) if !varying.percent => {
                    format!("\n  a range may be in percent as well, from {low} to {high} %: 15%..30%:3")
                }
                _ => String::new(),
            };
            return Err(format!(
                "`{}` cannot be {bad}; allowed: {}{hint}",
                target.path,
                format!("{low} to {high} {unit}").trim_end()
            ));
        }
        Ok(Self {
            label: first.meaning.clone(),
            unit: if varying.percent { "%" } else { first.unit }.to_owned(),
            targets,
            varying,
        })
    }

    /// Whether it sets anything of a construct, or of the case.
    pub fn concerns(&self, construct: usize) -> bool {
        let mut places = self.targets.iter().flat_map(|t| &t.places);
        places.any(|p| p.0 == Owner::Case || p.0 == Owner::Construct(construct))
    }

    /// Sets a subject to the value with this number.
    pub fn apply(&self, number: usize, subject: &mut Subject) {
        for target in &self.targets {
            for (owner, _) in &target.places {
                let value = self.varying.values[number];
                subject.set(target, *owner, value, self.varying.percent);
            }
        }
    }
}
