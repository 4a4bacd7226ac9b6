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

use crate::safety::Review;
use std::borrow::Cow;

/// The first line of every format when something could not be judged.
pub fn not_judged_line(review: &Review) -> Option<String> {
    let all: Vec<Cow<'_, str>> =
        review.unrecognised.iter().chain(&review.not_judged).map(|s| words::clean(s)).collect();
    (!all.is_empty()).then(|| format!("NOT JUDGED: {}", all.join("; ")))
}
