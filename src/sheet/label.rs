//! The label for the jar.

use super::words;
use crate::amount::{MassFraction, Span};
use crate::bath::Mixture;
use crate::recipe::Recipe;
use crate::reference::Cover;
use crate::safety::label::pictogram_name;
use crate::safety::{Review, Statement};
use crate::timetable::in_words;
use std::borrow::Cow;

/// What to write on the jar.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JarLabel<'a> {
    /// The bath's name.
    pub name: Cow<'a, str>,
    /// "Danger", "Warning".
    pub signal_word: Option<&'a str>,
    /// Codes and names of the hazard pictograms.
    pub pictograms: Vec<(Cow<'a, str>, &'a str)>,
    /// What is in it, most first.
    pub holds: Vec<String>,
    /// Hazard statements: code and text.
    pub hazards: Vec<(Cow<'a, str>, Cow<'a, str>)>,
    /// Precautionary statements.
    pub precautions: Vec<(Cow<'a, str>, Cow<'a, str>)>,
    /// What could not be classified.
    pub not_classified: Vec<Cow<'a, str>>,
    /// How it stays covered, and how long it may be used.
    pub keeps: String,
}

/// The label of a mixture: what it holds, signal word, statements, lines for the dates.
///
/// A mixture without a label of the review gets one all the same, which says that nothing could be classified.
pub fn jar_label<'a>(name: &'a str, mixture: &Mixture, review: &'a Review, recipe: Option<&Recipe>) -> JarLabel<'a> {
    let label = review.label.as_ref();
    let statements =
        |all: &'a [Statement]| all.iter().map(|s| (words::clean(&s.code), words::clean(&s.text))).collect();
    JarLabel {
        name: words::clean(name),
        signal_word: label.and_then(|l| l.signal_word.as_deref()),
        pictograms: label.map_or(Vec::new(), |l| {
            l.pictograms.iter().map(|code| (words::clean(code), pictogram_name(code))).collect()
        }),
        holds: mixture.solutes.iter().map(|s| held(&s.name, s.fraction.low, s.fraction.high)).collect(),
        hazards: label.map_or(Vec::new(), |l| statements(&l.h)),
        precautions: label.map_or(Vec::new(), |l| statements(&l.p)),
        not_classified: label.map_or_else(|| vec![unclassified(review).into()], |l| words::cleaned(&l.not_classified)),
        keeps: keeps(recipe),
    }
}

fn keeps(recipe: Option<&Recipe>) -> String {
    let covered = match recipe.map(|r| r.cover) {
        Some(Cover::Open) => "Leave it open. ",
        Some(Cover::Loose) => "Cover it loosely. ",
        Some(Cover::Sealed) => "Keep it closed. ",
        None => "",
    };
    let used = match recipe.and_then(|r| Some((r, r.use_within?))) {
        Some((r, limit)) if r.outlasts_its_limit() => {
            format!("Part in within {} of mixing; discard when the last part is out; not to be kept.", in_words(limit))
        }
        Some((_, limit)) => format!("Use within {} of mixing, then discard; not to be kept.", in_words(limit)),
        None => "Look at it before each use; discard when it has changed.".into(),
    };
    format!("{covered}{used}")
}

fn held(name: &str, low: MassFraction, high: MassFraction) -> String {
    let write = |f: MassFraction, round| words::figures(f.in_percent(), 2, round);
    let span = Span { low: write(low, words::Round::Down), high: write(high, words::Round::Up) };
    if span.is_one() {
        format!("{} {} %", words::clean(name), span.low)
    } else {
        format!("{} {} to {} %", words::clean(name), span.low, span.high)
    }
}

/// Written at the foot of every label.
pub(super) const LABEL_FOOT: &str =
    "Not food or drink. Keep from children and animals. Never in a food or drink container.";

/// What stands where there is no label: nothing judged is not the same as nothing found.
fn unclassified(review: &Review) -> &'static str {
    if review.not_judged.is_empty() && review.unrecognised.is_empty() {
        "by calculation from its ingredients the bath falls into no hazard class; what forms in it is not in that calculation"
    } else {
        "this mixture could not be classified: treat it as hazardous"
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet::fixture;

    #[test]
    fn shares_are_rounded_outward_so_that_the_jar_lies_within_them() {
        let percent = |p| MassFraction::percent(p).unwrap();
        assert_eq!(held("acetic acid", percent(0.508), percent(0.521)), "acetic acid 0.5 to 0.53 %");
        assert_eq!(held("salt", percent(5.0), percent(5.0)), "salt 5 %");
    }

    #[test]
    fn a_jar_without_a_classification_says_so() {
        let mut review = fixture::review();
        review.label = None;
        let label = jar_label("bath", &fixture::mixture(), &review, None);
        assert!(label.signal_word.is_none() && label.not_classified[0].contains("could not be classified"));
    }
}
