//! Checklist, notes, what nobody can know, and sources.

use crate::bath::{Dosing, Mixture};
use crate::recipe::{Confidence, Recipe, Suitability};
use crate::safety::{PartFacts, Review};
use crate::sheet::model::{Block, Section, Tick};
use crate::sheet::words;
use crate::timetable::{Stage, Step, in_words};
use std::borrow::Cow;
use std::fmt::Write;

/// Every step with a box.
pub(crate) fn checklist<'a>(steps: &'a [Step], zero: &str) -> Option<Section<'a>> {
    let ticks: Vec<Tick<'a>> = steps.iter().map(tick).collect();
    let clockless = !steps.is_empty() && steps.iter().all(|s| s.at.is_none());
    let hint =
        if clockless { format!("No start was given: times count from the moment {zero}.") } else { String::new() };
    Section::of("Checklist", vec![Block::Text(hint.into()), Block::Checklist(ticks)])
}

/// What the time of a step takes, more or less, bytes; its parts are written one by one.
const WHEN: usize = 40;

fn tick(step: &Step) -> Tick<'_> {
    let relative = relative(step);
    let when = match &step.at {
        Some(at) => {
            let mut when = String::with_capacity(WHEN);
            // Writing to a text cannot fail.
            let _ = write!(when, "{} ({relative})", at.strftime("%a %d %b %H:%M"));
            when
        }
        None => relative,
    };
    let about = match &step.part {
        Some(part) => [stage(step.stage), ", ", &words::clean(part)].concat().into(),
        None => stage(step.stage).into(),
    };
    let what = words::clean(&step.what);
    let what = match step.takes {
        Some(takes) => [&what, " [", &in_words(takes), "]"].concat().into(),
        None => what,
    };
    Tick { when: when.into(), about, what, remark: step.remark.as_deref().map(words::clean) }
}

/// How long before or after immersion.
pub(crate) fn relative(step: &Step) -> String {
    match step.after {
        a if a.is_zero() => "0".into(),
        a if a.is_negative() => ["-", &in_words(a)].concat(),
        a => ["+", &in_words(a)].concat(),
    }
}

/// A stage in words.
pub(crate) fn stage(stage: Stage) -> &'static str {
    match stage {
        Stage::Prepare => "Prepare",
        Stage::MakeUp => "Make up",
        Stage::Warm => "Warm",
        Stage::Immerse => "Begin",
        Stage::Look => "Look",
        Stage::Lift => "Lift",
        Stage::TopUp => "Top up",
        Stage::Rinse => "Rinse",
        Stage::Neutralise => "Neutralise",
        Stage::Dry => "Dry",
        Stage::Seal => "Seal",
        Stage::Dispose => "Dispose",
    }
}

/// What the recipe and the plan want said, once; what stands beside the amounts or the bath is not said again.
pub(super) fn notes<'a>(
    recipe: &'a Recipe,
    parts: &[PartFacts],
    notes: &'a [String],
    dosing: &Dosing,
    mixture: &Mixture,
) -> Option<Section<'a>> {
    let elsewhere: Vec<&String> = dosing.notes.iter().chain(&mixture.warnings).collect();
    let mut lines: Vec<Cow<'a, str>> = Vec::new();
    for note in notes.iter().chain(&recipe.notes).filter(|n| !elsewhere.contains(n)) {
        let note = words::clean(note);
        if !lines.contains(&note) {
            lines.push(note);
        }
    }
    let mut notes = lines;
    let printed = parts.is_empty() || parts.iter().any(|p| p.binder.is_some());
    if let Some(filled) = recipe.filled_plastic.as_ref().filter(|_| printed) {
        let suits = match filled.suitability {
            Suitability::Good => "take it well",
            Suitability::Limited => "take it within limits",
            Suitability::Poor => "take it poorly",
            Suitability::No => "do not take it",
        };
        notes.push(format!("Metal-filled plastics {suits}: {}.", words::clean(&filled.why)).into());
    }
    Section::of("Notes", vec![Block::List(notes)])
}

/// What no program can know.
pub(super) fn not_known(recipe: &Recipe) -> Option<Section<'_>> {
    let mut lines: Vec<Cow<'_, str>> = vec![
        "The colour, the hour it arrives and how even it comes out cannot be worked out. Make a coupon first: the same \
         material, prepared the same way, in a small cup of the same bath, and go by that."
            .into(),
        "What a new alloy, a new roll of filament or your water does is not known either.".into(),
    ];
    lines.push(match recipe.confidence {
        Confidence::High => "The recipe itself is well attested.".into(),
        Confidence::Medium => "The recipe itself is in use, but not well attested.".into(),
        Confidence::Low => "The recipe itself rests on little: treat the first batch as a trial.".into(),
    });
    Section::of("What this program does not know", vec![Block::List(lines)])
}

/// Where recipe and findings come from: each source once, with what rests on it.
pub(super) fn sources<'a>(recipe: Option<&Recipe>, review: &Review) -> Option<Section<'a>> {
    let of_recipe = recipe.iter().flat_map(|r| &r.sources).map(|s| ("the recipe", [&*s.doc, &*s.at, &*s.status]));
    let of_findings =
        review.hazards.iter().flat_map(|h| h.sources.iter().map(|s| (&*h.id, [&*s.doc, &*s.at, &*s.status])));
    let mut found: Vec<([&str; 3], Vec<&str>)> = Vec::new();
    for (what, source) in of_recipe.chain(of_findings) {
        match found.iter_mut().find(|(s, _)| *s == source) {
            Some((_, whats)) if whats.contains(&what) => {}
            Some((_, whats)) => whats.push(what),
            None => found.push((source, vec![what])),
        }
    }
    let line = |([doc, at, status], whats): ([&str; 3], Vec<&str>)| {
        let comma = if at.is_empty() { "" } else { ", " };
        let (open, status, close) = if status == doc { ("", "", "") } else { (" (", status, ")") };
        words::clean(&[doc, comma, at, open, status, close, ": ", &whats.join(", ")].concat()).into_owned().into()
    };
    let lines = found.into_iter().map(line);
    Section::of("Sources", vec![Block::List(lines.collect())])
}
