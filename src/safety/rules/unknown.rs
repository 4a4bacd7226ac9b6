//! What the program does not know is never fine.

use super::Found;
use super::kit::reacts_with_much;
use crate::reference::poison;
use crate::safety::Gravity;
use crate::safety::facts::{Facts, Present};

/// Next to a stock that reacts with much, an unknown is a stop until it is named.
pub fn ingredient(facts: &Facts) -> Option<Found> {
    let names = sorted(facts.unknown.iter().map(|u| u.name.as_str()));
    if names.is_empty() {
        return None;
    }
    let meets = |p: &&Present| facts.unknown.iter().any(|u| !u.ingredients.contains(&p.ingredient));
    let partners = sorted(facts.present.iter().filter(|p| reacts_with_much(p)).filter(meets).map(|p| p.name()));
    let many = names.len() as f64;
    let names = names.join(", ");
    let found = match partners.is_empty() {
        true => Found::of(Gravity::Note).who(names),
        false => Found::of(Gravity::Stop).who(format!("{names} with {}", partners.join(", "))),
    };
    Some(found.number("names_not_known", Some(many)))
}

fn sorted<'a>(names: impl Iterator<Item = &'a str>) -> Vec<&'a str> {
    let mut names: Vec<&str> = names.collect();
    names.sort_unstable();
    names.dedup();
    names
}

/// Judged as the strongest on sale; the question is in the review.
pub fn strength(facts: &Facts) -> Option<Found> {
    let mut names = facts.strength_missing.clone();
    names.sort();
    names.dedup();
    let many = names.len() as f64;
    (!names.is_empty())
        .then(|| Found::of(Gravity::Note).who(names.join(", ")).number("strengths_not_known", Some(many)))
}

/// A name, a formula or a number that alone is enough.
pub fn forbidden_name(facts: &Facts) -> Option<Found> {
    let found = || facts.unknown.iter().filter_map(|u| Some((u.name.as_str(), poison(&u.name)?.kind)));
    let many = found().count() as f64;
    let (name, kind) = found().min()?;
    Some(Found::of(Gravity::Stop).who(format!("{name}: {kind}")).number("names_not_known", Some(many)))
}
