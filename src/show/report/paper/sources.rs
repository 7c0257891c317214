//! Publications behind numbers and reporting, as BibTeX. Only what stands in the table of defaults is
//! known of most of them; titles are given where they are, and nothing is made up.

use serde::Serialize;
use std::fmt::Write as _;

/// A publication.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Source {
    /// Key of its entry.
    pub key: &'static str,
    /// The words by which the table of defaults names it; empty for one that every report cites.
    pub mark: &'static str,
    /// Kind of its entry.
    kind: &'static str,
    /// Its fields.
    fields: &'static [(&'static str, &'static str)],
}

macro_rules! source {
    ($key:literal, $mark:literal, $kind:literal, $($field:ident = $value:literal),+ $(,)?) => {
        Source {
            key: $key,
            mark: $mark,
            kind: $kind,
            fields: &[$((stringify!($field), $value)),+],
        }
    };
}

/// Every publication that a report may cite.
#[rustfmt::skip]
pub const SOURCES: &[Source] = &[
    source!("erdemir-2012", "", "article", author = "Erdemir, A. and Guess, T. M. and Halloran, J. and Tadepalli, S. C. and Morrison, T. M.", title = "Considerations for reporting finite element analysis studies in biomechanics", journal = "Journal of Biomechanics", year = "2012", note = "PMC3278509; title and authors from memory"),
    source!("asme-vv40-2018", "", "techreport", title = "Assessing Credibility of Computational Modeling through Verification and Validation: Application to Medical Devices", institution = "ASME", number = "V\\&V 40-2018", year = "2018", note = "title from memory"),
    source!("socket-circle-2009", "Surg Radiol Anat 2009;31:623", "article", journal = "Surg Radiol Anat", year = "2009", volume = "31", pages = "623", note = "abstract read"),
    source!("fragment-width-2025", "10.1016/j.jisako.2025.101001", "article", journal = "J ISAKOS", year = "2025", doi = "10.1016/j.jisako.2025.101001", note = "abstract read"),
    source!("bone-friction-1985", "Surf Technol 1985;25:167", "article", author = "Shockey, J. S. and von Fraunhofer, J. A. and Seligson, D.", journal = "Surf Technol", year = "1985", volume = "25", pages = "167", note = "recalled, not read again"),
    source!("meniscal-stitch-2024", "J Exp Orthop 2024;11:e12110", "article", journal = "J Exp Orthop", year = "2024", volume = "11", pages = "e12110", doi = "10.1002/jeo2.12110", note = "abstract read"),
    source!("meniscal-root-2022", "10.1016/j.asmr.2022.01.001", "article", title = "Biomechanical comparison of meniscal allograft root fixation techniques: anterograde interference bone plug fixation yields favorable results compared to transosseous suture fixation alone", journal = "Arthroscopy, Sports Medicine, and Rehabilitation", year = "2022", volume = "4", doi = "10.1016/j.asmr.2022.01.001", note = "abstract read"),
    source!("labral-repair-2010", "Am J Sports Med 2010", "article", journal = "Am J Sports Med", year = "2010", note = "abstract read"),
    source!("labral-stitch-1995", "10.1016/0749-8063(95)90195-7", "article", journal = "Arthroscopy", year = "1995", volume = "11", number = "4", pages = "426--431", doi = "10.1016/0749-8063(95)90195-7", note = "abstract read"),
    source!("graft-relaxation-2009", "Am J Sports Med 2009;37:334", "article", journal = "Am J Sports Med", year = "2009", volume = "37", pages = "334", note = "abstract read"),
    source!("rows-2014", "10.1177/0363546514532782", "article", author = "Spiegl and others", journal = "Am J Sports Med", year = "2014", doi = "10.1177/0363546514532782", note = "abstract read"),
    source!("bone-modulus-2003", "ASME IMECE 2003", "inproceedings", booktitle = "ASME IMECE", year = "2003", author = "Seliktar", note = "abstract read"),
    source!("bone-strength-1999", "J Biomech 1999;32:1091", "article", journal = "J Biomech", year = "1999", volume = "32", pages = "1091", note = "recalled, not read again"),
    source!("capsule-1992", "J Orthop Res 1992;10:187", "article", journal = "J Orthop Res", year = "1992", volume = "10", pages = "187", note = "abstract read"),
    source!("displacement-2022", "Arch Orthop Trauma Surg 2022;142:2727", "article", journal = "Arch Orthop Trauma Surg", year = "2022", volume = "142", pages = "2727", note = "abstract read"),
    source!("anchor-spacing-2018", "Arthroscopy 2018", "article", author = "Kawakami", journal = "Arthroscopy", year = "2018", note = "abstract read"),
    source!("rim-holes-2019", "J Biomech Eng 2019;141:101003", "article", journal = "J Biomech Eng", year = "2019", volume = "141", pages = "101003", note = "abstract read"),
    source!("suture-friction-2009", "PMC2796445", "misc", note = "PMC2796445; abstract read"),
    source!("tendon-tension-2016", "AJSM 2016;44:2807", "article", journal = "Am J Sports Med", year = "2016", volume = "44", pages = "2807", note = "abstract read"),
    source!("loop-growth-2021", "10.1177/23259671211045411", "article", journal = "Orthop J Sports Med", year = "2021", doi = "10.1177/23259671211045411", note = "abstract read"),
    source!("knots-surgeons", "Hanypsiak et al.", "misc", author = "Hanypsiak and others", note = "73 surgeons, 365 knots; abstract read"),
    source!("lateral-step-2022", "J Orthop Surg Res 2022;17:350", "article", journal = "J Orthop Surg Res", year = "2022", volume = "17", pages = "350", note = "abstract read"),
    source!("clamps-2012", "10.1016/j.arthro.2012.04.150", "article", journal = "Arthroscopy", year = "2012", doi = "10.1016/j.arthro.2012.04.150", note = "abstract read"),
    source!("relaxation-2019", "10.1186/s12891-019-2412-8", "article", journal = "BMC Musculoskelet Disord", year = "2019", doi = "10.1186/s12891-019-2412-8", note = "abstract read"),
    source!("strand-stiffness-2021", "10.1016/j.asmr.2021.01.029", "article", year = "2021", doi = "10.1016/j.asmr.2021.01.029", note = "abstract read"),
    source!("thread-sizes", "USP 861", "misc", title = "USP 861, Sutures: Diameter", note = "thread table read, monograph recalled"),
    source!("polyester-2006", "10.1016/j.arthro.2006.04.075", "article", journal = "Arthroscopy", year = "2006", doi = "10.1016/j.arthro.2006.04.075", note = "abstract read"),
    source!("anchors-rim-2019", "Ruder, Arthroscopy 2019", "article", author = "Ruder", journal = "Arthroscopy", year = "2019", note = "abstract read"),
    source!("hetenyi-1946", "Hetényi 1946", "book", author = "Hetényi, M.", title = "Beams on Elastic Foundation", publisher = "University of Michigan Press", year = "1946", note = "from memory"),
    source!("grid-index-1994", "Roache 1994", "article", author = "Roache, P. J.", journal = "J Fluids Eng", year = "1994", volume = "116", pages = "405", note = "recalled, not read again"),
    source!("grid-orders-2008", "Celik et al. 2008", "article", author = "Celik and others", journal = "J Fluids Eng", year = "2008", volume = "130", pages = "078001", note = "recalled, not read again"),
    source!("saltelli-2010", "Comput Phys Commun 2010;181:259", "article", author = "Saltelli, A. and others", journal = "Comput Phys Commun", year = "2010", volume = "181", pages = "259", note = "recalled, not read again"),
    source!("jansen-1999", "Comput Phys Commun 1999;117:35", "article", author = "Jansen, M. J. W.", journal = "Comput Phys Commun", year = "1999", volume = "117", pages = "35", note = "recalled, not read again"),
    source!("ties-by-hand-2002", "JAVMA 2002;220:334", "article", journal = "J Am Vet Med Assoc", year = "2002", volume = "220", pages = "334", note = "abstract read"),
    source!("anchors-2009", "Shoulder Elbow 2009;1:31", "article", journal = "Shoulder Elbow", year = "2009", volume = "1", pages = "31", note = "abstract read"),
];

/// The words by which the law of a screw's shank names its publication: no default stands for it.
pub(super) const SHANK_LAW: &str = "Hetényi 1946";
/// The words by which observed orders and the index of a refinement name theirs.
pub(super) const GRID_INDEX: &str = "Roache 1994; Celik et al. 2008";

/// The words by which Sobol' indices name theirs.
pub(super) const INDEX_LAWS: &str = "Comput Phys Commun 2010;181:259; Comput Phys Commun 1999;117:35";

/// The publications that stand behind the numbers taken (their sources as the table of defaults words
/// them), with those that every report cites.
pub fn used<'a>(taken: impl IntoIterator<Item = &'a str>) -> Vec<Source> {
    let taken: Vec<&str> = taken.into_iter().collect();
    SOURCES.iter().filter(|s| s.mark.is_empty() || taken.iter().any(|t| t.contains(s.mark))).copied().collect()
}

/// Sources as a BibTeX file.
pub fn bibliography(sources: &[Source]) -> String {
    let mut text = String::new();
    for source in sources {
        let _ = writeln!(text, "@{}{{{},", source.kind, source.key);
        for (name, value) in source.fields {
            let _ = writeln!(text, "  {name} = {{{value}}},");
        }
        text.push_str("}\n\n");
    }
    text.truncate(text.trim_end().len());
    text.push('\n');
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::parameters;

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
        for (path, source) in defaults.chain(lines) {
            for word in source.split([' ', ',']).filter(|w| is_citation(w)) {
                let word = word.trim_end_matches([';', '.']);
                assert!(SOURCES.iter().any(|s| !s.mark.is_empty() && s.mark.contains(word)), "{}: {word}", path);
            }
        }
        let of_laws = [SHANK_LAW, GRID_INDEX, INDEX_LAWS];
        let of_defaults = |s: &&Source| !s.mark.is_empty() && !of_laws.iter().any(|law| law.contains(s.mark));
        for s in SOURCES.iter().filter(of_defaults) {
            let mut all = parameters().iter().map(|p| p.source);
            let named = all.any(|p| p.contains(s.mark)) || drawn.iter().any(|d| d.contains(s.mark));
            assert!(named, "nothing cites {}", s.key);
        }
    }

    #[test]
    fn only_what_was_used_is_listed() {
        let list = used(["about 0.46 without asperities, sawn human long bone, probably Surf Technol 1985;25:167"]);
        let keys: Vec<&str> = list.iter().map(|s| s.key).collect();
        assert_eq!(keys, ["erdemir-2012", "asme-vv40-2018", "bone-friction-1985"]);
        let text = bibliography(&list);
        assert_eq!(text.matches('@').count(), 3);
        assert_eq!(text.matches('{').count(), text.matches('}').count());
        assert_eq!(used([SHANK_LAW]).len(), 3);
    }
}
