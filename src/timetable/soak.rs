//! What happens while parts are in the bath: looks, lifts, top-ups.

use super::build::{counted, end_of_soak, list};
use super::{Stage, Step};
use crate::amount::in_millilitres;
use crate::immersion::Immersion;
use crate::part::Part;
use crate::recipe::{Method, Recipe};
use jiff::SignedDuration;
use std::collections::BTreeMap;

/// A day of elapsed time.
const DAY: SignedDuration = SignedDuration::from_hours(24);
/// Daily top-ups are listed one by one for this many days; after that one line says "every day".
const DAYS_LISTED: i32 = 31;

/// Parts that leave the bath for good at the same time.
pub(super) struct Leaving<'a> {
    /// After immersion; `None` when neither part nor recipe says.
    pub at: Option<SignedDuration>,
    /// The earliest time, when the part names a range.
    pub from: Option<SignedDuration>,
    /// The parts; empty when the job names none.
    pub parts: Vec<&'a Part>,
}

impl Leaving<'_> {
    pub(super) fn names(&self) -> String {
        if self.parts.is_empty() {
            return "the parts".into();
        }
        list(&self.parts.iter().map(|p| counted(&p.name, p.count)).collect::<Vec<_>>())
    }

    /// For the step's own field: nothing when the job names no parts.
    pub(super) fn part_field(&self) -> Option<String> {
        (!self.parts.is_empty()).then(|| list(&self.parts.iter().map(|p| p.name.clone()).collect::<Vec<_>>()))
    }
}

/// Groups parts by the time they leave: their own, otherwise the last event of the soak.
pub(super) fn leaving<'a>(recipe: &Recipe, parts: &'a [Part]) -> Vec<Leaving<'a>> {
    let end = recipe.soak.iter().map(|e| e.after).max();
    if parts.is_empty() {
        return vec![Leaving { at: end, from: None, parts: Vec::new() }];
    }
    let mut groups: BTreeMap<_, Vec<&Part>> = BTreeMap::new();
    for part in parts {
        let key = match part.lift {
            Some(span) => (Some(span.high), (span.low < span.high).then_some(span.low)),
            None => (end, None),
        };
        groups.entry(key).or_default().push(part);
    }
    groups.into_iter().map(|((at, from), parts)| Leaving { at, from, parts }).collect()
}

/// Looks and lifts of the recipe for what is still in, lifts of each part, and top-ups.
pub(super) fn soak_steps(recipe: &Recipe, immersion: Option<&Immersion>, groups: &[Leaving<'_>]) -> Vec<Step> {
    let mut steps = looks(recipe, groups);
    for group in groups {
        steps.extend(out_for_good(recipe, group));
    }
    if let Some(found) = immersion {
        steps.extend(top_ups(found, groups));
    }
    steps
}

/// The recipe's looks and lifts, for parts that stay in beyond that moment.
fn looks(recipe: &Recipe, groups: &[Leaving<'_>]) -> Vec<Step> {
    let mut steps = Vec::new();
    for event in &recipe.soak {
        let staying: Vec<&Leaving<'_>> = groups.iter().filter(|g| g.at.is_none_or(|at| at > event.after)).collect();
        if staying.is_empty() {
            continue;
        }
        let everything = staying.len() == groups.len();
        let part = if everything && groups.len() > 1 {
            None
        } else {
            let all: Vec<String> = staying.iter().filter_map(|g| g.part_field()).collect();
            (!all.is_empty()).then(|| list(&all))
        };
        let said = sentence(&event.what);
        let (stage, what) = match event.lift {
            true if said.to_lowercase().contains("lift") => (Stage::Lift, said),
            true => (Stage::Lift, format!("Lift out, look, and put back turned if it is to go on. {said}")),
            false => (Stage::Look, said),
        };
        steps.push(Step::new(event.after, stage, what).about(part));
    }
    steps
}

fn out_for_good(recipe: &Recipe, group: &Leaving<'_>) -> Vec<Step> {
    let mut steps = Vec::new();
    let Some(at) = group.at else { return steps };
    let names = group.names();
    if let Some(from) = group.from {
        let what = format!("From now on {names} may come out: look, and lift as soon as the colour is right.");
        steps.push(Step::new(from, Stage::Look, what).about(group.part_field()));
    }
    let mut what = match recipe.method {
        Method::Immersion => format!("Lift out {names} for good, with tongs or gloves; let it drain over the bath."),
        Method::Fume | Method::Burial => format!("Take out {names} for good."),
        Method::Spray | Method::Brush => format!("No more coats on {names}."),
    };
    if group.from.is_some() {
        what.push_str(" This is the latest time.");
    }
    for event in recipe.soak.iter().filter(|e| e.after == at) {
        what.push(' ');
        what.push_str(&sentence(&event.what));
    }
    steps.push(Step::new(at, Stage::Lift, what).about(group.part_field()));
    steps
}

fn top_ups(found: &Immersion, groups: &[Leaving<'_>]) -> Vec<Step> {
    let mut steps = Vec::new();
    let end = end_of_soak(groups);
    for lift in &found.lifts {
        let last = end.is_some_and(|end| lift.after >= end);
        if !last && (!lift.covered || in_millilitres(lift.reserve) > 0.0) {
            let what = format!(
                "With {} out the level is lower: pour in made-up reserve until what stays is covered again.",
                list(&lift.out)
            );
            steps.push(Step::new(lift.after, Stage::TopUp, what));
        }
    }
    let (Some(_), Some(end)) = (found.daily_top_up, end) else { return steps };
    for day in 1..=DAYS_LISTED {
        let Some(at) = DAY.checked_mul(day).filter(|at| *at < end) else { return steps };
        let mut what = String::from("Top up with water alone, never with bath, to the fill line.");
        if day == DAYS_LISTED {
            what.push_str(" Go on so every day until the last lift.");
        }
        steps.push(Step::new(at, Stage::TopUp, what));
    }
    steps
}

/// A recipe's words as a sentence: first letter large, a full stop at the end.
pub(super) fn sentence(words: &str) -> String {
    let words = words.trim();
    let mut chars = words.chars();
    let mut text: String = chars.next().map(|c| c.to_uppercase().collect()).unwrap_or_default();
    text.push_str(chars.as_str());
    if !text.is_empty() && !text.ends_with(['.', '!', '?', ':']) {
        text.push('.');
    }
    text
}
