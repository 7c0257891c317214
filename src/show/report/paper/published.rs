//! What the model says beside published bench tests: the evidence of this version, as the tests generate it.

use crate::show::table::Table;

const EVIDENCE: &str = include_str!("../../../../tests/evidence/published.md");

/// Every quantity that was compared, with its study.
pub(super) fn table() -> Table {
    let heads = ["quantity", "model", "published", "verdict", "study"];
    let mut table = Table::new("published", "The model beside published bench tests", &heads);
    let mut study = "";
    for line in EVIDENCE.lines() {
        if let Some(title) = line.strip_prefix("**") {
            study = title.split([',', '*']).next().unwrap_or_default();
        }
        let cells: Vec<&str> = line.trim_matches('|').split(" | ").map(str::trim).collect();
        if let [quantity, model, _, published, _, _, verdict] = cells[..]
            && !quantity.starts_with("---")
            && quantity != "quantity"
            && study.ends_with("et al.")
        {
            let verdict = verdict.to_lowercase();
            table.row([quantity.into(), model.into(), published.into(), verdict.into(), study.into()]);
        }
    }
    table
}

#[cfg(test)]
mod tests {
    #[test]
    fn agreeing_or_not_each_comparison_is_there() {
        let table = super::table().csv();
        let lines = super::EVIDENCE.lines().filter(|l| l.starts_with("| ") && l.contains(" of 64 |")).count();
        assert_eq!(table.lines().count() - 1, lines);
        for verdict in ["inside", "overlaps", "outside"] {
            assert!(table.contains(verdict), "{verdict}");
        }
    }
}
