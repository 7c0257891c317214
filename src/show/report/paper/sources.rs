//! Publications behind numbers and reporting: which one stands behind which words. Their entries are in
//! `references.bib`; one whose author or title is not established has none, and is told by its place alone.

use serde::Serialize;

/// The entries, as BibTeX.
const ENTRIES: &str = include_str!("references.bib");

/// A publication.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Source {
    /// Key of its entry.
    pub key: &'static str,
    /// The words by which the table of defaults names it; empty for one that every report cites.
    pub mark: &'static str,
}

const fn source(key: &'static str, mark: &'static str) -> Source {
    Source { key, mark }
}

/// Every publication that a report may cite.
pub const SOURCES: &[Source] = &[
    source("erdemir-2012", ""),
    source("asme-vv40-2018", ""),
    source("jeske-2009", "Surg Radiol Anat 2009;31:623"),
    source("shockey-1985", "Surf Technol 1985;25:167"),
    source("pichler-2024", "J Exp Orthop 2024;11:e12110"),
    source("nho-2010", "Am J Sports Med 2010"),
    source("mceleney-1995", "10.1016/0749-8063(95)90195-7"),
    source("elias-2009", "Am J Sports Med 2009;37:334"),
    source("spiegl-2014", "10.1177/0363546514532782"),
    source("lim-2003", "ASME IMECE 2003"),
    source("anglin-1999", "J Biomech 1999;32:1091"),
    source("bigliani-1992", "J Orthop Res 1992;10:187"),
    source("konigshausen-2022", "Arch Orthop Trauma Surg 2022;142:2727"),
    source("kawakami-2018", "Arthroscopy 2018"),
    source("dabirrahmani-2019", "J Biomech Eng 2019;141:101003"),
    source("silva-2009", "PMC2796445"),
    source("kim-2016", "AJSM 2016;44:2807"),
    source("rapp-2021", "10.1177/23259671211045411"),
    source("hanypsiak-2014", "Hanypsiak et al."),
    source("wieser-2012", "10.1016/j.arthro.2012.04.150"),
    source("borbas-2021", "10.1016/j.asmr.2021.01.029"),
    source("ruder-2019", "Ruder, Arthroscopy 2019"),
    source("iannotti-1992", "J Bone Joint Surg Am 1992;74:491"),
    source("matsumura-2016", "J Shoulder Elbow Surg 2016"),
    source("plagenhoef-1983", "Plagenhoef 1983"),
    source("deleva-1996", "de Leva 1996"),
    source("yamamoto-2009", "Am J Sports Med 2009;37:949"),
    source("roe-2002", "JAVMA 2002;220:334"),
    source("hetenyi-1946", "Hetényi 1946"),
    source("roache-1994", "Roache 1994"),
    source("saltelli-2010", "Comput Phys Commun 2010;181:259"),
    source("patton-1966", ""),
    source("fung-1967", ""),
    source("eytelwein-1808", ""),
];

/// The words by which the law of a screw's shank names its publication: no default stands for it.
pub(super) const SHANK_LAW: &str = "Hetényi 1946";
/// The words by which observed orders and the index of a refinement name theirs.
pub(super) const GRID_INDEX: &str = "Roache 1994";

/// The words by which Sobol' indices name theirs.
pub(super) const INDEX_LAWS: &str = "Comput Phys Commun 2010;181:259";

/// The publications that stand behind the numbers taken (their sources as the table of defaults words
/// them), with those that every report cites.
pub fn used<'a>(taken: impl IntoIterator<Item = &'a str>) -> Vec<Source> {
    let taken: Vec<&str> = taken.into_iter().collect();
    SOURCES.iter().filter(|s| s.mark.is_empty() || taken.iter().any(|t| t.contains(s.mark))).copied().collect()
}

/// Sources as a BibTeX file.
pub fn bibliography(sources: &[Source]) -> String {
    let entry = |s: &Source| ENTRIES.split("\n\n").find(|entry| entry.contains(&format!("{{{},\n", s.key)));
    sources.iter().filter_map(entry).map(|entry| format!("{}\n", entry.trim_end())).collect::<Vec<_>>().join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::parameters;

    /// Cited by place alone: author, title or year is not established.
    const INCOMPLETE: [&str; 5] = [
        "10.1016/j.jisako.2025.101001",
        "10.1016/j.asmr.2022.01.001",
        "J Orthop Surg Res 2022;17:350",
        "10.1016/j.arthro.2006.04.075",
        "Shoulder Elbow 2009;1:31",
    ];

    /// Words that name a publication: a DOI, volume and page, a PubMed Central number.
    fn is_citation(word: &str) -> bool {
        word.starts_with("10.") && word.contains('/')
            || word.starts_with("PMC")
            || word.contains(';') && word.contains(':')
    }

    #[test]
    fn every_citation_of_the_defaults_has_an_entry() {
        let spread = crate::model::spread::default_spread();
        let drawn: Vec<String> = spread.lines.into_iter().filter_map(|l| l.source).collect();
        let defaults = parameters().iter().map(|p| (p.path, p.source));
        let lines = drawn.iter().map(|s| ("spread", s.as_str()));
        let marks: Vec<&str> = SOURCES.iter().map(|s| s.mark).filter(|m| !m.is_empty()).chain(INCOMPLETE).collect();
        for (path, source) in defaults.chain(lines) {
            for word in source.split([' ', ',']).filter(|w| is_citation(w)) {
                let word = word.trim_end_matches([';', '.']);
                assert!(marks.iter().any(|mark| mark.contains(word)), "{path}: {word}");
            }
        }
        let of_laws = [SHANK_LAW, GRID_INDEX, INDEX_LAWS];
        for mark in marks.iter().filter(|mark| !of_laws.iter().any(|law| law.contains(**mark))) {
            let mut all = parameters().iter().map(|p| p.source);
            let named = all.any(|p| p.contains(mark)) || drawn.iter().any(|d| d.contains(mark));
            assert!(named, "nothing cites {mark}");
        }
    }

    #[test]
    fn entries_are_complete_and_say_nothing_of_memory() {
        for s in SOURCES {
            let entry = bibliography(&[*s]);
            for field in ["author", "title", "year"] {
                assert!(entry.lines().any(|l| l.trim().starts_with(field)), "{}: no {field}", s.key);
            }
            assert!(
                ["journal", "booktitle", "publisher", "institution"].iter().any(|f| entry.contains(f)),
                "{}",
                s.key
            );
            assert!(!entry.contains("note") && !entry.contains("memory"), "{entry}");
        }
    }

    #[test]
    fn only_what_was_used_is_listed() {
        let list = used(["about 0.46 without asperities, sawn human long bone, probably Surf Technol 1985;25:167"]);
        let keys: Vec<&str> = list.iter().map(|s| s.key).collect();
        let always = ["erdemir-2012", "asme-vv40-2018", "shockey-1985", "patton-1966", "fung-1967", "eytelwein-1808"];
        assert_eq!(keys, always);
        let text = bibliography(&list);
        assert_eq!(text.matches('@').count(), always.len());
        assert_eq!(text.matches('{').count(), text.matches('}').count());
        assert_eq!(used([SHANK_LAW]).len(), always.len());
    }
}
