//! From reviewed values to the sheet: which section says what, in which order.

mod bath;
mod immersion;
mod job;
mod safety;

pub(super) use job::{checklist, stage};

use super::model::{Block, Section, Sheet};
use super::{aftercare, json, words};
use crate::amount::Volume;
use crate::plan::{Corrected, Listing, Mixed, Neutralisation, Plan, Scaled};
use crate::safety::{Review, Reviewed};

/// The sheet of `check`.
pub fn check(review: &Review) -> Sheet<'_> {
    let mut sheet = safety::with_review("What these make together", review);
    sheet.safety_side = Vec::new();
    sheet.below = safety::beside(review);
    sheet.below.extend(safety::behind(review));
    sheet.below.extend(safety::ending(review));
    sheet.below.extend(job::sources(None, review));
    sheet
}

/// The sheet of `mix`.
pub fn mix(mixed: &Reviewed<Mixed>) -> Sheet<'_> {
    let (mixture, review) = (&mixed.value().mixture, mixed.review());
    let mut sheet = safety::with_review("Mixture", review);
    sheet.recipe_side.extend(bath::facts("What it comes to", mixture));
    sheet.below.extend(bath::contents(mixture));
    sheet.below.extend(safety::behind(review));
    sheet.below.extend(bath::jar("Mixture", mixture, review, None));
    sheet.below.extend(safety::ending(review));
    sheet.below.extend(job::sources(None, review));
    sheet
}

/// The sheet of `neutralise`.
pub fn neutralise(found: &Reviewed<Neutralisation>) -> Sheet<'_> {
    let review = found.review();
    let mut sheet = safety::with_review("Neutralising", review);
    sheet.recipe_side.extend(bath::neutralised(&found.value().neutralised));
    sheet.below.extend(safety::behind(review));
    sheet.below.extend(safety::ending(review));
    sheet.below.extend(job::sources(None, review));
    sheet
}

/// The sheet of `correct`.
pub fn correct(found: &Reviewed<Corrected>) -> Sheet<'_> {
    let (c, review) = (found.value(), found.review());
    let mut sheet = safety::with_review("Correcting a bath", review);
    sheet.recipe_side.extend(bath::correction(&c.correction));
    sheet.recipe_side.extend(bath::reached(&c.correction.reached));
    sheet.below.extend(safety::behind(review));
    sheet.below.extend(safety::ending(review));
    sheet.below.extend(job::sources(None, review));
    sheet
}

/// The sheet of `scale`.
pub fn scale(scaled: &Reviewed<Scaled>) -> Sheet<'_> {
    let (s, review) = (scaled.value(), scaled.review());
    let mut sheet = safety::with_review(&s.recipe.title, review);
    sheet.subtitle = Some(words::clean(&s.recipe.look));
    sheet.recipe_side.extend(bath::amounts(&s.dosing, &s.mixture, s.measuring_error.as_ref()));
    sheet.recipe_side.extend(bath::making_up(&s.recipe, &s.making_up));
    sheet.recipe_side.extend(immersion::level(s.fill_line));
    sheet.below.extend(job::notes(&s.recipe, &[], &s.notes, &s.dosing, &s.mixture));
    sheet.below.extend(bath::facts("The bath", &s.mixture));
    sheet.below.extend(bath::contents(&s.mixture));
    sheet.below.extend(safety::behind(review));
    sheet.below.extend(bath::jar(&s.recipe.title, &s.mixture, review, Some(&s.recipe)));
    sheet.below.extend(safety::ending(review));
    sheet.below.extend(job::not_known(&s.recipe));
    sheet.below.extend(job::sources(Some(&s.recipe), review));
    sheet
}

/// The sheet of `plan`.
pub fn plan(plan: &Reviewed<Plan>) -> Sheet<'_> {
    let (p, review) = (plan.value(), plan.review());
    let mut sheet = safety::with_review(&p.recipe.title, review);
    sheet.subtitle = Some(words::clean(&p.recipe.look));
    sheet.recipe_side.extend(bath::amounts(&p.dosing, &p.mixture, p.measuring_error.as_ref()));
    sheet.recipe_side.extend(bath::making_up(&p.recipe, &p.making_up));
    if let Some(found) = &p.immersion {
        sheet.recipe_side.extend(immersion::fill_line(found, p.vessel.as_ref()));
        sheet.recipe_side.extend(immersion::ballast(found));
    }
    sheet.recipe_side.extend(aftercare::method(&p.method));
    sheet.below.extend(job::notes(&p.recipe, &p.reviewed_as.parts, &p.notes, &p.dosing, &p.mixture));
    sheet.below.extend(bath::facts("The bath", &p.mixture));
    sheet.below.extend(aftercare::barrel_cautions(p));
    sheet.below.extend(job::checklist(&p.timetable, "the parts go in"));
    if let Some(found) = &p.immersion {
        sheet.below.extend(immersion::lifts(found));
    }
    sheet.below.extend(aftercare::whole(p));
    sheet.below.extend(aftercare::aftercare(&p.aftercare));
    sheet.below.extend(aftercare::disposal(&p.disposal, review));
    sheet.below.extend(safety::at_hand(review));
    sheet.below.extend(bath::jar(&p.recipe.title, &p.mixture, review, Some(&p.recipe)));
    sheet.below.extend(bath::contents(&p.mixture));
    sheet.below.extend(safety::ending(review));
    sheet.below.extend(job::not_known(&p.recipe));
    sheet.below.extend(job::sources(Some(&p.recipe), review));
    sheet
}

/// The sheet of a refusal: reasons and what to do, no amounts.
pub fn refused<'a>(title: Option<&'a str>, review: &'a Review) -> Sheet<'a> {
    let mut sheet = safety::with_review(title.unwrap_or("This mixture"), review);
    sheet.safety_side = Vec::new();
    sheet.below = safety::beside(review);
    sheet.below.extend(safety::behind(review));
    sheet.below.extend(safety::ending(review));
    sheet.below.extend(job::sources(None, review));
    sheet
}

/// The list of recipes.
pub fn recipes(listing: &Listing) -> Sheet<'_> {
    let rows = listing.recipes.iter().map(|e| {
        let metals: Vec<&str> = e.recipe.metals.iter().map(|m| m.name.as_ref()).collect();
        vec![
            format!("{}\n{}", words::clean(&e.recipe.id), words::clean(&e.recipe.title)).into(),
            metals.join(", ").into(),
            format!("{},\n{}", json::finish(e.recipe.finish), json::method(e.recipe.method)).into(),
            json::verdict(e.review.verdict).into(),
            json::confidence(e.recipe.confidence).into(),
        ]
    });
    let head = vec!["Recipe", "Metals", "Finish", "Verdict", "How sure"];
    let mut blocks = vec![Block::Table(head, rows.collect())];
    if listing.recipes.is_empty() {
        blocks.push(Block::Text("No recipe fits all that was asked for.".into()));
        let relax = listing.relax.iter().map(|(what, n)| format!("Leave out {what}: that alone lets in {n}.").into());
        blocks.push(Block::List(relax.collect()));
        if listing.relax.is_empty() {
            blocks.push(Block::Text(
                "No single wish keeps them all out: leave out more than one, or run `recipes` without any.".into(),
            ));
        }
    }
    Sheet {
        title: "Recipes".into(),
        subtitle: None,
        not_judged: None,
        verdict: None,
        first: Vec::new(),
        recipe_side: Vec::new(),
        safety_side: Vec::new(),
        below: Section::of("", blocks).into_iter().collect(),
        closing: format!(
            "Verdicts are for {}. \"fine\" means that no hazard known to this program was found above a note.",
            if listing.from_bench {
                "a quarter of a litre from this bench's bottles in its room, before your parts and vessel are known"
            } else {
                "the recipe as written, before your parts, vessel and room are known"
            }
        )
        .into(),
    }
}

fn nearest(volume: Volume) -> String {
    words::volume(volume, words::Round::Nearest)
}
