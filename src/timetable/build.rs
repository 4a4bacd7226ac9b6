//! The whole list of steps, in order of time after immersion.

use super::care::{after_the_bath, before_the_bath};
use super::soak::{Leaving, leaving, soak_steps};
use super::{Stage, Step};
use crate::bath::Dosing;
use crate::immersion::Immersion;
use crate::part::{Part, Side};
use crate::recipe::{Method, Recipe};
use crate::vessel::Cover;
use jiff::SignedDuration;

/// Time set aside for weighing, pouring and stirring one ingredient. Our choice, generous for one person.
pub(super) const ONE_POUR: SignedDuration = SignedDuration::from_mins(3);

/// Every step of the job, in order of time; times count from immersion. Amounts are named, never stated: they stand
/// in the doses.
pub fn build(recipe: &Recipe, dosing: &Dosing, immersion: Option<&Immersion>, parts: &[Part]) -> Vec<Step> {
    let groups = leaving(recipe, parts);
    let made_up = make_up(recipe, dosing, immersion);
    let first_pour = made_up.first().map_or(SignedDuration::ZERO, |s| s.after);
    let mut steps = before_the_bath(recipe, first_pour);
    steps.extend(made_up);
    steps.push(into_the_bath(recipe, immersion, parts));
    steps.extend(soak_steps(recipe, immersion, &groups));
    steps.extend(after_the_bath(recipe, &groups));
    // Stable, so that steps of one time keep the order of the stages.
    steps.sort_by(|a, b| a.after.cmp(&b.after).then(a.stage.cmp(&b.stage)));
    steps
}

/// Making up: one step an ingredient, in the order of pouring, ending at immersion.
fn make_up(recipe: &Recipe, dosing: &Dosing, immersion: Option<&Immersion>) -> Vec<Step> {
    let count = dosing.doses.len();
    let before = |pours_left: usize| {
        ONE_POUR
            .checked_mul(i32::try_from(pours_left).unwrap_or(i32::MAX))
            .and_then(|d| SignedDuration::ZERO.checked_sub(d))
            .unwrap_or(SignedDuration::ZERO)
    };
    let mut label =
        String::from("Put on what the protection list asks for. Write the label and stick it on before filling.");
    if immersion.is_some() {
        label.push_str(" Mark the fill line on the vessel.");
    }
    let mut steps = vec![Step::new(before(count + 1), Stage::MakeUp, label).taking(Some(ONE_POUR))];
    for (i, dose) in dosing.doses.iter().enumerate() {
        let verb = if i == 0 { "Pour in" } else { "Add, stirring," };
        let mut what = format!("{verb} {}: amount {} of {count}.", dose.name, i + 1);
        if i + 1 == count {
            match recipe.use_within {
                Some(limit) => what.push_str(&format!(" The bath is to be used within {limit:#} of this.")),
                None => what.push_str(" Stir until even."),
            }
        }
        steps.push(Step::new(before(count - i), Stage::MakeUp, what).taking(Some(ONE_POUR)));
    }
    steps
}

fn into_the_bath(recipe: &Recipe, immersion: Option<&Immersion>, parts: &[Part]) -> Step {
    let what = names(parts);
    let mut text = match recipe.method {
        Method::Immersion => match immersion {
            Some(found) => immersed(found),
            None => format!("Lower {what} into the bath and turn out the air bubbles."),
        },
        Method::Spray => format!("Spray the first thin coat on {what}.{}", coats(recipe)),
        Method::Brush => format!("Brush the first thin coat on {what}.{}", coats(recipe)),
        Method::Fume => format!("Set {what} into the box above the liquid, touching neither liquid nor each other."),
        Method::Burial => format!("Bury {what} in the dampened packing, covered on all sides."),
    };
    if matches!(recipe.method, Method::Immersion | Method::Fume | Method::Burial) {
        text.push_str(match recipe.cover {
            Cover::Open => " Leave the vessel open.",
            Cover::Loose => " Cover loosely, so that gas gets out and nothing falls in.",
            Cover::Sealed => " Close the lid.",
        });
    }
    if recipe.soak.is_empty() && parts.iter().all(|p| p.lift.is_none()) {
        text.push_str(" The recipe names no times: look often and go by the coupon.");
    }
    Step::new(SignedDuration::ZERO, Stage::Immerse, text)
}

fn immersed(found: &Immersion) -> String {
    let mut sides: Vec<String> = Vec::new();
    for p in &found.parts {
        let up = match p.up {
            Side::PlusZ => "as it stands".to_string(),
            other => format!("{} up", side(other)),
        };
        sides.push(format!("{} ({up})", counted(&p.name, p.count)));
    }
    let mut text = format!("Lower in {} slowly and turn out the air bubbles.", list(&sides));
    let ballast: Vec<String> = found
        .ballast
        .iter()
        .map(|b| match b.count {
            Some(n) => counted(&b.thing, n),
            None => format!("{} as weighed out", b.thing),
        })
        .collect();
    if !ballast.is_empty() {
        text.push_str(&format!(" Put on the ballast: {}.", list(&ballast)));
    }
    text.push_str(" Check that everything stays under and that the level stands at the fill line.");
    text
}

fn coats(recipe: &Recipe) -> String {
    match recipe.coats {
        Some((count, _)) if count.low == count.high => format!(" {} coats in all, each dry before the next.", count.low),
        Some((count, _)) => format!(" {} to {} coats in all, each dry before the next.", count.low, count.high),
        None => String::new(),
    }
}

fn side(side: Side) -> &'static str {
    match side {
        Side::PlusX => "side +x",
        Side::MinusX => "side -x",
        Side::PlusY => "side +y",
        Side::MinusY => "side -y",
        Side::PlusZ => "side +z",
        Side::MinusZ => "side -z",
    }
}

/// "2 × drawer pull", "plaque".
pub(super) fn counted(name: &str, count: u32) -> String {
    if count == 1 { name.to_string() } else { format!("{count} \u{d7} {name}") }
}

/// All parts by name.
pub(super) fn names(parts: &[Part]) -> String {
    if parts.is_empty() {
        return "the parts".into();
    }
    list(&parts.iter().map(|p| counted(&p.name, p.count)).collect::<Vec<_>>())
}

/// "a", "a and b", "a, b and c".
pub(super) fn list(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [head @ .., last] => format!("{} and {last}", head.join(", ")),
    }
}

/// The last moment at which something is still in the bath; `None` when nobody knows.
pub(super) fn end_of_soak(groups: &[Leaving<'_>]) -> Option<SignedDuration> {
    groups.iter().filter_map(|g| g.at).max()
}
