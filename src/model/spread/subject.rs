//! A case and constructs whose numbers can be set again and again.

use super::super::case_file::CaseFile;
use super::super::forces::RawTether;
use super::super::problems::Problems;
use super::super::reader::{Log, said};
use super::super::terms::{Equal, Terms, bridge};
use super::super::{Case, Construct, ConstructFile};
use super::known::{self, HINGE, HINGE_STATES, INTACT_HINGE, Known, Owner, WEAK_HINGE, built_in_hinge};
use super::table::SpreadTable;
use crate::anatomy::Along;

/// A name that is none of those taken: numbered where it is.
pub(crate) fn apart(name: &str, taken: &[String]) -> String {
    let numbered = (2..).map(|number| format!("{name} ({number})"));
    let mut names = std::iter::once(name.to_owned()).chain(numbered);
    names.find(|name| !taken.contains(name)).unwrap_or_default()
}

/// A case and constructs whose numbers can be set.
#[derive(Debug, Clone)]
pub struct Subject {
    case: CaseFile,
    constructs: Vec<ConstructFile>,
    /// What was set in each construct.
    changed: Vec<Vec<(String, Along)>>,
    /// Values that were set and cannot be: whose, which, and why.
    refused: Vec<(Owner, String, String)>,
    /// As they stand in their files.
    base: (CaseFile, Case, Vec<(ConstructFile, Construct)>),
}

/// What was read with the numbers that were set.
#[derive(Debug)]
pub struct Reading {
    /// The case, or why there is none.
    pub case: Result<Case, String>,
    /// Each construct on it, or why there is none; empty without a case.
    pub constructs: Vec<Result<Construct, String>>,
}

impl Subject {
    /// Opens a case and constructs by file or built-in name.
    ///
    /// # Errors
    /// Every file with all its mistakes.
    pub fn open(case: &str, constructs: &[String]) -> Result<Self, Vec<Problems>> {
        let mut wrong = Vec::new();
        let read = CaseFile::open(case).map_err(|p| wrong.push(p)).ok();
        let mut files = Vec::new();
        for name in constructs {
            let fitted = ConstructFile::open(name).and_then(|file| match &read {
                None => Ok(None),
                Some((_, case)) => file.fit(case).map(|c| Some((file, c))),
            });
            match fitted {
                Ok(fitted) => files.extend(fitted),
                Err(problems) if !wrong.contains(&problems) => wrong.push(problems),
                Err(_) => {}
            }
        }
        let Some((file, case)) = read.filter(|_| wrong.is_empty()) else {
            return Err(wrong);
        };
        let mut names: Vec<String> = Vec::new();
        for (file, construct) in &mut files {
            let name = apart(&construct.name, &names);
            construct.name.clone_from(&name);
            file.name.clone_from(&name);
            names.push(name);
        }
        Ok(Self {
            case: file.clone(),
            constructs: files.iter().map(|f| f.0.clone()).collect(),
            changed: vec![Vec::new(); files.len()],
            refused: Vec::new(),
            base: (file, case, files),
        })
    }

    /// The case as it stands in its file.
    pub fn case(&self) -> &Case {
        &self.base.1
    }

    /// The constructs as they stand in their files, each with a name of its own.
    pub fn constructs(&self) -> impl Iterator<Item = &Construct> {
        self.base.2.iter().map(|c| &c.1)
    }

    /// The texts of the files: the case's and each construct's, for telling one run from another.
    pub fn texts(&self) -> impl Iterator<Item = (&str, &str)> {
        let sources = std::iter::once(&self.case.source).chain(self.constructs.iter().map(|c| &c.source));
        sources.map(|source| (&*source.name, &*source.text))
    }

    /// The `[spread]` table of the case, if it has one.
    pub fn spread(&self) -> Option<SpreadTable> {
        self.case.spread.clone()
    }

    /// Every input that can be varied.
    pub fn known(&self) -> Vec<Known> {
        known::all(&self.base.0, &self.base.1, &self.base.2)
    }

    /// The inputs that a path stands for. A wildcard stands neither for the state of a hinge nor for a hinge that is not
    /// there.
    pub(super) fn targets(&self, path: &str) -> Vec<Known> {
        let hinge = self.case.tethers.iter().any(|t| t.name == "hinge");
        let stands = |k: &Known| k.path != HINGE && (hinge || !k.path.starts_with("tether.hinge."));
        let meant = |k: &Known| k.matches(path) && (!path.contains('*') || stands(k));
        self.known().into_iter().filter(meant).collect()
    }

    /// Sets an input to a value in the unit of its file (`percent`: in percent of what the file
    /// understands by it).
    pub fn set(&mut self, known: &Known, owner: Owner, value: f64, percent: bool) {
        let path = known.path.as_str();
        self.refused.retain(|r| (r.0, r.1.as_str()) != (owner, path));
        let range = if percent { known.percent.unwrap_or(known.allowed) } else { known.allowed };
        if !(range.0..=range.1).contains(&value) {
            self.refused.push((owner, path.to_owned(), format!("`{path}` is {}, outside its range", said(value))));
            return;
        }
        let to = if percent { Along::Percent(value) } else { Along::Mm(value) };
        match owner {
            Owner::Construct(k) => {
                self.constructs[k].set(path, to);
                let changed = &mut self.changed[k];
                changed.retain(|c| c.0 != path);
                changed.push((path.to_owned(), to));
            }
            Owner::Case if path == HINGE => self.set_hinge(value as usize),
            Owner::Case => {
                if path.starts_with("tether.hinge.") {
                    self.hinge(INTACT_HINGE);
                }
                self.case.set(path, to);
            }
        }
    }

    /// Only whole numbers come here: draws of states, and values that [`super::Varying`] has checked.
    fn set_hinge(&mut self, state: usize) {
        let numbers = match HINGE_STATES.get(state) {
            Some(&"weak") => WEAK_HINGE,
            Some(&"intact") => INTACT_HINGE,
            _ => return self.case.tethers.retain(|t| t.name != "hinge"),
        };
        let hinge = self.hinge(numbers);
        [hinge.stiffness, hinge.slack] = numbers;
    }

    /// The hinge: that of the file, or one with the ends of the built-in cases and these numbers.
    fn hinge(&mut self, numbers: [f64; 2]) -> &mut RawTether {
        let is_hinge = |t: &RawTether| t.name == "hinge";
        let at = self.case.tethers.iter().position(is_hinge).unwrap_or_else(|| {
            let own = self.base.0.tethers.iter().position(is_hinge);
            let at = own.unwrap_or(self.case.tethers.len());
            let hinge = own.map_or_else(|| built_in_hinge(numbers), |own| self.base.0.tethers[own].clone());
            self.case.tethers.insert(at, hinge);
            at
        });
        &mut self.case.tethers[at]
    }

    /// Scales the tensions of bridge limbs to equal terms, as if the files said so.
    ///
    /// # Errors
    /// A tension that would be outside its range.
    pub fn equalise(&mut self, equal: Equal) -> Result<(), String> {
        let own: Vec<Construct> = self.constructs().cloned().collect();
        let known = self.known();
        for (k, factor) in Terms::factors(&own, equal).into_iter().enumerate() {
            for (limb, tension) in bridge(&own[k]) {
                let path = format!("limb.{limb}.tension");
                let input = known.iter().find(|input| input.path == path).expect("every limb has a tension");
                self.set(input, Owner::Construct(k), factor * tension, false);
            }
            let fitted = self.construct(k, &self.base.1)?;
            let warnings = own[k].warnings.clone();
            self.base.2[k] = (self.constructs[k].clone(), Construct { warnings, ..fitted });
        }
        Ok(())
    }

    /// Sets the number of bed cells aimed at.
    pub fn set_cells(&mut self, cells: usize) {
        self.case.bed.cells = cells;
    }

    /// The files of the constructs as they were read, in their order.
    pub fn files(&self) -> impl Iterator<Item = &ConstructFile> {
        self.base.2.iter().map(|c| &c.0)
    }

    /// A construct as TOML text with the numbers that were set, under a name of its own: a file that
    /// can be read again, its comments kept. Placement errors are none of its numbers.
    pub fn construct_text(&self, construct: usize, name: &str) -> String {
        self.constructs[construct].text_with(name, &self.changed[construct])
    }

    /// Builds everything with the numbers that were set. Warnings about closeness of anchors and
    /// the like are left out: they are given once, for the files.
    pub fn read(&self) -> Reading {
        let mut log = Log::default();
        let built = self.refusal(Owner::Case).map_or_else(|| Ok(self.case.build(&mut log)), Err);
        let case = match built {
            Err(why) => Err(why),
            Ok(Some(case)) if log.problems.is_empty() => Ok(case),
            Ok(_) => Err(log.problems.first().map_or_else(|| "no case".to_owned(), |p| p.message.clone())),
        };
        let constructs = match &case {
            Ok(case) => (0..self.constructs.len()).map(|k| self.construct(k, case)).collect(),
            Err(_) => Vec::new(),
        };
        Reading { case, constructs }
    }

    fn construct(&self, k: usize, case: &Case) -> Result<Construct, String> {
        if let Some(why) = self.refusal(Owner::Construct(k)) {
            return Err(why);
        }
        let fitted = self.constructs[k].fit_unwarned(case);
        fitted.map_err(|p| p.problems.first().map_or_else(String::new, |p| p.message.clone()))
    }

    fn refusal(&self, owner: Owner) -> Option<String> {
        self.refused.iter().find(|r| r.0 == owner).map(|r| r.2.clone())
    }
}
