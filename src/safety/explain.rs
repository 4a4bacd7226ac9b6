//! Why a rule exists, and the table of rules for SAFETY.md.

use super::Gravity;
use super::rules::{all, find, gravity};
use crate::reference::{Source, incompatible};
use std::fmt::Write;

/// A rule in words.
#[derive(Debug, Clone)]
pub struct Explanation {
    /// Its name.
    pub id: String,
    /// One line.
    pub title: String,
    /// Lowest and highest gravity.
    pub range: [Gravity; 2],
    /// What is made or set free.
    pub products: Vec<String>,
    /// Why.
    pub why: String,
    /// What to do.
    pub actions: Vec<String>,
    /// What sets it off. For primary explosives and toxic gas that is a stop at any strength: who the members are.
    pub fires: String,
    /// What comes near and does not; `None` where that would be a recipe.
    pub spares: Option<String>,
    /// Sources.
    pub sources: Vec<Source>,
}

/// Explains a rule.
pub fn explain(rule_id: &str) -> Option<Explanation> {
    let card = find(rule_id.trim())?.card;
    let table = incompatible();
    let texts = |texts: &[crate::reference::schema::Text]| texts.iter().map(|t| t.to_string()).collect::<Vec<_>>();
    Some(Explanation {
        id: card.id.to_string(),
        title: card.title.to_string(),
        range: card.range.map(gravity),
        products: texts(&card.products),
        why: card.why.trim().to_string(),
        actions: super::rules::advice(card).collect(),
        fires: card.fires.to_string(),
        spares: (!card.guarded).then(|| card.spares.to_string()),
        sources: card.sources.iter().filter_map(|key| table.sources.get(key).cloned()).collect(),
    })
}

/// Every rule's id, in the alphabet.
pub fn rule_ids() -> Vec<&'static str> {
    let mut ids: Vec<&'static str> = incompatible().rules.iter().map(|c| c.id.as_ref()).collect();
    ids.sort_unstable();
    ids
}

/// Gravity as the documents and the JSON face write it.
pub fn gravity_word(gravity: Gravity) -> &'static str {
    match gravity {
        Gravity::Note => "note",
        Gravity::Caution => "caution",
        Gravity::StrongCaution => "strong-caution",
        Gravity::Stop => "stop",
    }
}

/// The table of rules for SAFETY.md: id, hazard, gravity, source.
pub fn rule_table_markdown() -> String {
    let mut out = String::from("| rule | hazard | gravity | source |\n| --- | --- | --- | --- |\n");
    let table = incompatible();
    let mut cards: Vec<_> = all().iter().map(|rule| rule.card).collect();
    cards.sort_by(|a, b| a.id.cmp(&b.id));
    for card in cards {
        let [low, high] = card.range.map(|g| gravity_word(gravity(g)));
        let range = if low == high { low.to_string() } else { format!("{low} to {high}") };
        let sources: Vec<String> = card
            .sources
            .iter()
            .filter_map(|key| table.sources.get(key))
            .map(|s| match s.at.is_empty() {
                true => format!("{} ({})", s.doc, s.status),
                false => format!("{}, {} ({})", s.doc, s.at, s.status),
            })
            .collect();
        // Writing to a string cannot fail.
        let _ =
            writeln!(out, "| `{}` | {} | {range} | {} |", card.id, card.title, sources.join("; ").replace('|', "/"));
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_guarded_rule_tells_members_and_consequence_only() {
        let e = explain("peroxide-with-ketone").expect("a rule");
        assert!(e.spares.is_none());
        // Nothing that would help: no catalyst, no strength, no temperature.
        let text = [&e.title, &e.why, &e.fires].map(|t| t.to_lowercase()).join(" ");
        assert!(!["acid", "cold", "strong", "crystallis"].iter().any(|w| text.contains(w)), "{text}");
        assert!(!e.fires.contains(|c: char| c.is_ascii_digit()));
        assert!(explain("no-such-rule").is_none());
    }

    #[test]
    fn every_rule_is_in_the_table_once() {
        let table = rule_table_markdown();
        for id in rule_ids() {
            assert_eq!(table.matches(&format!("| `{id}` |")).count(), 1, "{id}");
        }
    }
}
