//! What the review found, on the sheet.

use crate::safety::{Exposure, Gravity, Hazard, NO_FIGURE_SHOWN, NO_LIMIT_SHOWN, Review, Verdict};
use crate::sheet::model::{Block, Finding, FirstAction, Section, Sheet};
use crate::sheet::not_judged_line;
use crate::sheet::words::{self, Round, cleaned};

/// How many actions stand next to the amounts.
const FIRST: usize = 3;

/// A sheet with verdict, first actions and the notes that stand beside the recipe.
pub(super) fn with_review<'a>(title: &'a str, review: &'a Review) -> Sheet<'a> {
    Sheet {
        title: words::clean(title),
        subtitle: None,
        not_judged: not_judged_line(review),
        verdict: Some((review.verdict, words::verdict(review.verdict))),
        first: first_actions(review),
        recipe_side: Vec::new(),
        safety_side: beside(review),
        below: Vec::new(),
        closing: words::DEFERS.into(),
    }
}

/// The gravest actions. Within one gravity the first action of each finding comes before any second one, so that two
/// hazards are better than one hazard twice. Never two alike.
fn first_actions(review: &Review) -> Vec<FirstAction<'_>> {
    let deepest = review.hazards.iter().map(|h| h.actions.len()).max().unwrap_or(0);
    let mut first: Vec<FirstAction<'_>> = Vec::new();
    for gravity in [Gravity::Stop, Gravity::StrongCaution, Gravity::Caution, Gravity::Note] {
        for depth in 0..deepest {
            for hazard in review.hazards.iter().filter(|h| h.gravity == gravity) {
                let Some(action) = hazard.actions.get(depth).map(|a| words::clean(a)) else { continue };
                if first.len() < FIRST && !first.iter().any(|f| f.action == action) {
                    first.push(FirstAction { gravity, hazard: words::clean(&hazard.title), action });
                }
            }
        }
    }
    first
}

/// What stands beside the recipe: findings, air, protection.
pub(super) fn beside(review: &Review) -> Vec<Section<'_>> {
    let findings = review.hazards.iter().map(|h| Block::Finding(Box::new(finding(h)))).collect();
    let title = if review.verdict == Verdict::Refuse { "Why" } else { "Hazards found, gravest first" };
    let exposure = vec![Block::List(review.exposure.iter().map(|e| air(e).into()).collect())];
    [
        Section::of(title, findings),
        Section::of("Air", exposure),
        Section::of("Protection", vec![Block::List(cleaned(&review.ppe))]),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// What stands behind the job: first response, storing, disposal.
pub(super) fn behind(review: &Review) -> Vec<Section<'_>> {
    let mut sections = at_hand(review);
    sections.extend(Section::of("Disposal", vec![Block::List(cleaned(&review.disposal))]));
    sections
}

/// The same without disposal, which a plan says together with its figures.
pub(super) fn at_hand(review: &Review) -> Vec<Section<'_>> {
    [
        Section::of("If something goes wrong", vec![Block::List(cleaned(&review.first_response))]),
        Section::of("Storing", vec![Block::List(cleaned(&review.storage))]),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// What was assumed and what could not be judged.
pub(super) fn ending(review: &Review) -> Vec<Section<'_>> {
    let assumed = review.assumed.iter().map(|(k, v)| (words::clean(k), words::clean(v))).collect();
    [
        Section::of("Not recognised", vec![Block::List(cleaned(&review.unrecognised))]),
        Section::of("Not judged", vec![Block::List(cleaned(&review.not_judged))]),
        Section::of("Assumed, since it was not said", vec![Block::Facts(assumed)]),
    ]
    .into_iter()
    .flatten()
    .collect()
}

fn finding(h: &Hazard) -> Finding<'_> {
    Finding {
        gravity: h.gravity,
        id: words::clean(&h.id),
        title: words::clean(&h.title),
        why: words::clean(&h.why),
        products: cleaned(&h.products),
        figures: h.numbers.iter().map(|(key, value)| words::figure(key, *value)).collect(),
        actions: cleaned(&h.actions),
    }
}

fn air(e: &Exposure) -> String {
    let reached = match e.worst_case_ppm {
        Some(ppm) => format!("at worst {} ppm", words::figures(ppm, 2, Round::Up)),
        None if e.limit == NO_FIGURE_SHOWN => "given off".into(),
        None => "what it would reach is not known".into(),
    };
    let limit = match e.limit_ppm {
        Some(ppm) => format!("limit {} ppm ({})", words::figures(ppm, 3, Round::Down), words::clean(&e.limit)),
        None => "no limit known".into(),
    };
    let mut text = match [NO_LIMIT_SHOWN, NO_FIGURE_SHOWN].contains(&e.limit.as_str()) {
        true => format!("{}: {reached}", words::clean(&e.gas)),
        false => format!("{}: {reached}; {limit}", words::clean(&e.gas)),
    };
    if let Some(flow) = e.airflow_m3_h {
        let flow = words::figures(flow, 2, Round::Up);
        text.push_str(&format!("; {flow} m\u{b3} of fresh air an hour would hold it there"));
    }
    text.push('.');
    if !e.advice.is_empty() {
        text.push(' ');
        text.push_str(&words::clean(&e.advice));
    }
    text
}
