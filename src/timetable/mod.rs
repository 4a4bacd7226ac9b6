//! The timed checklist: make-up, immersion, looks and lifts, rinse, neutralise, dry, seal, dispose.

mod build;
mod care;
mod clock;
#[cfg(test)]
pub(crate) mod fixture;
mod soak;

pub use build::build;
pub use clock::with_clock;

use jiff::{SignedDuration, ZonedDateTime};

/// Which part of the job a step belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[allow(missing_docs)]
pub enum Stage {
    Prepare,
    MakeUp,
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

/// A length of time in words, to the minute: "35 min", "4 h", "1 h 30 min", "5 days".
pub fn in_words(length: SignedDuration) -> String {
    let seconds = length.as_secs().unsigned_abs();
    // Rounded to the nearest minute, halves up.
    let minutes = (seconds + 30) / 60;
    let (days, hours, rest) = (minutes / 1440, minutes / 60, minutes % 60);
    match (days, hours, rest) {
        (_, 0, m) => format!("{m} min"),
        (d, h, 0) if d >= 3 && h % 24 == 0 => format!("{d} days"),
        (_, h, 0) => format!("{h} h"),
        (_, h, m) => format!("{h} h {m} min"),
    }
}
