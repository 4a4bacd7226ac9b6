//! Texts of statements, and what a hazard class puts on a label.

use super::STATEMENTS;
use super::schema::{HazardKind, LabelElements, PrecautionChoice, Route, StatementTable};

/// The whole table.
pub fn statements() -> &'static StatementTable {
    &STATEMENTS
}

/// The text of a statement as it stands on a label: with its dots and slashes chosen.
pub fn statement_text(code: &str) -> Option<&'static str> {
    let table = statements();
    table
        .hazard
        .iter()
        .chain(&table.precautionary)
        .find(|s| s.code == code)
        .map(|s| s.filled.as_deref().unwrap_or(s.text.as_ref()))
}

/// What this class and category puts on the label.
pub fn label_elements(kind: HazardKind, cat: &str, route: Option<Route>) -> Option<&'static LabelElements> {
    statements().labels.iter().find(|l| l.kind == kind && l.cats.iter().any(|c| *c == cat) && holds(&l.routes, route))
}

/// Which P statements this class and category asks for.
pub fn precautions(kind: HazardKind, cat: &str, route: Option<Route>) -> Option<&'static PrecautionChoice> {
    statements()
        .selection
        .iter()
        .find(|s| s.kind == kind && s.cats.iter().any(|c| *c == cat) && holds(&s.routes, route))
}

fn holds(routes: &[Route], route: Option<Route>) -> bool {
    routes.is_empty() || route.is_some_and(|r| routes.contains(&r))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reference::substances;

    #[test]
    fn every_class_of_every_substance_has_label_elements_and_a_text() {
        for s in substances() {
            for c in s.clp.classes.iter().chain(&s.clp.often_added) {
                let label = label_elements(c.kind, &c.cat, c.route);
                let found = label.unwrap_or_else(|| panic!("{}: {:?} {} {:?}", s.id, c.kind, c.cat, c.route));
                assert!(found.h.contains(&c.h), "{}: {} for {:?} {}", s.id, c.h, c.kind, c.cat);
                assert!(statement_text(&c.h).is_some(), "{}", c.h);
            }
            for code in &s.clp.supplemental {
                assert!(statement_text(code).is_some(), "{code}");
            }
        }
    }

    #[test]
    fn every_p_statement_chosen_has_a_text_and_a_place_in_the_order() {
        let table = statements();
        for p in table.selection.iter().flat_map(|s| &s.p).chain(&table.always) {
            let text = statement_text(p).unwrap_or_else(|| panic!("{p} has no text"));
            assert!(!text.contains("..."), "{p}: {text}");
            assert!(table.priority.contains(p), "{p} has no priority");
        }
    }
}
