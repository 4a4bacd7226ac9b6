//! The timed checklist: make-up, immersion, looks and lifts, rinse, neutralise, dry, seal, dispose.

mod barrel;
mod build;
mod care;
mod clock;
#[cfg(test)]
pub(crate) mod fixture;
mod soak;

pub(crate) use barrel::{BARREL, Hours, barrel};
pub(crate) use build::WARMING;
pub use build::build;
pub use care::early_signs;
pub use clock::with_clock;

use jiff::{SignedDuration, ZonedDateTime};
use std::fmt::Write;

/// Which part of the job a step belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[allow(missing_docs)]
pub enum Stage {
    Prepare,
    MakeUp,
    Warm,
    Immerse,
    Look,
    Lift,
    TopUp,
    Rinse,
    Neutralise,
    Dry,
    Seal,
    Dispose,
}

/// One step.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// After immersion; negative for what comes before.
    pub after: SignedDuration,
    /// Clock time, when the start is known.
    pub at: Option<ZonedDateTime>,
    /// Which part it is about; `None` for the whole bath.
    pub part: Option<String>,
    /// Stage.
    pub stage: Stage,
    /// What to do.
    pub what: String,
    /// How long it takes, if that matters.
    pub takes: Option<SignedDuration>,
    /// What to know about its clock time (quiet hours), with the other times to choose from.
    pub remark: Option<String>,
}

impl Step {
    /// A step without clock time, part, length or remark.
    pub(crate) fn new(after: SignedDuration, stage: Stage, what: impl Into<String>) -> Self {
        Step { after, at: None, part: None, stage, what: what.into(), takes: None, remark: None }
    }

    pub(crate) fn about(mut self, part: Option<String>) -> Self {
        self.part = part;
        self
    }

    pub(crate) fn taking(mut self, takes: Option<SignedDuration>) -> Self {
        self.takes = takes;
        self
    }
}

/// What the words for a length of time take, more or less, bytes.
const WRITTEN: usize = 24;

/// A length of time in words, below ten minutes to the second, from there to the minute: "15 s", "1 min 30 s", "35 min",
/// "1 h 30 min", "48 h", "5 days", "6 days 23 h".
pub fn in_words(length: SignedDuration) -> String {
    let seconds = length.as_secs().unsigned_abs();
    if seconds < 600 && !seconds.is_multiple_of(60) {
        return if seconds < 60 { format!("{seconds} s") } else { format!("{} min {} s", seconds / 60, seconds % 60) };
    }
    // Rounded to the nearest minute, halves up.
    let minutes = (seconds + 30) / 60;
    let (days, hours, rest) = (minutes / 1440, minutes / 60, minutes % 60);
    let (days, hours) = if days >= 3 { (days, hours % 24) } else { (0, hours) };
    let mut said = String::with_capacity(WRITTEN);
    for (n, unit) in [(days, "days"), (hours, "h"), (rest, "min")].iter().filter(|(n, _)| *n > 0) {
        let space = if said.is_empty() { "" } else { " " };
        // Writing to a text cannot fail.
        let _ = write!(said, "{space}{n} {unit}");
    }
    if said.is_empty() { "0 min".into() } else { said }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_written_to_what_matters() {
        let words = |s| in_words(SignedDuration::from_secs(s));
        let said = [5, 60, 90, 300, 629, 2100, 5400, 172_800, 259_200, 601_200, 0].map(words);
        let wanted = [
            "5 s",
            "1 min",
            "1 min 30 s",
            "5 min",
            "10 min",
            "35 min",
            "1 h 30 min",
            "48 h",
            "3 days",
            "6 days 23 h",
            "0 min",
        ];
        assert_eq!(said, wanted);
    }
}
