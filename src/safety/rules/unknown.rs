//! What the program does not know is never fine.

use super::Found;
use super::kit::reacts_with_much;
use crate::reference::incompatible;
use crate::safety::Gravity;
use crate::safety::facts::Facts;

/// Next to a stock that reacts with much, an unknown is a stop until it is named.
pub fn ingredient(facts: &Facts) -> Option<Found> {
    let mut names = facts.unknown_names.clone();
    names.extend(facts.unknown_before.iter().cloned());
    names.sort();
    names.dedup();
    if names.is_empty() {
        return None;
    }
    let mut partners: Vec<&str> =
        facts.present.iter().filter(|p| reacts_with_much(p)).map(|p| p.name()).collect();
    partners.sort_unstable();
    partners.dedup();
    // Two things of the past do not meet in this bath.
    let meets = facts.present.iter().any(|p| reacts_with_much(p) && (p.before.is_none() || !facts.unknown_names.is_empty()));
    let names = names.join(", ");
    Some(match meets {
        true => Found::of(Gravity::Stop).who(format!("{names} with {}", partners.join(", "))),
        false => Found::of(Gravity::Note).who(names),
    })
}

/// Judged as the strongest on sale; the question is in the review.
pub fn strength(facts: &Facts) -> Option<Found> {
    let mut names = facts.strength_missing.clone();
    names.sort();
    names.dedup();
    (!names.is_empty()).then(|| Found::of(Gravity::Note).who(names.join(", ")))
}

/// A word that alone is enough.
pub fn forbidden_name(facts: &Facts) -> Option<Found> {
    let found = facts.unknown_names.iter().chain(&facts.unknown_before).filter(|name| {
        let name = name.to_lowercase();
        incompatible().forbidden_words.iter().any(|word| name.contains(word.as_ref()))
    });
    found.min().map(|name| Found::of(Gravity::Stop).who(name.clone()))
}
