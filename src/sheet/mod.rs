//! Renderers: from a reviewed value to terminal, HTML, JSON and calendar. None of them computes.
//!
//! Everything public here that shows an amount takes a [`crate::safety::Reviewed`] value; what takes less is private.

mod aftercare;
pub mod calendar;
pub mod choose;
mod compose;
mod drawing;
pub mod explanation;
#[cfg(test)]
pub(crate) mod fixture;
pub mod html;
pub mod json;
mod label;
pub mod measure;
mod model;
pub mod terminal;
#[cfg(test)]
mod tests;
pub mod tumble;
mod words;

use crate::safety::{Figure, Hazard, Review, Verdict};

/// The first line of every format when something could not be judged.
pub fn not_judged_line(review: &Review) -> Option<String> {
    let all: Vec<String> = review.unrecognised.iter().chain(&review.not_judged).map(|s| words::clean(s)).collect();
    (!all.is_empty()).then(|| format!("NOT JUDGED: {}", all.join("; ")))
}

/// The figures of a finding that may be shown. A refusal shows what would be in the air and how hot it would get, but
/// never an amount or a ratio, in whatever format.
pub(crate) fn shown_figures<'a>(review: &Review, hazard: &'a Hazard) -> impl Iterator<Item = &'a Figure> {
    let refused = review.verdict == Verdict::Refuse;
    hazard.numbers.iter().filter(move |(key, _)| {
        !refused || key.starts_with("gas_") || ["_ppm", "_c", "_m3_h"].iter().any(|unit| key.ends_with(unit))
    })
}
