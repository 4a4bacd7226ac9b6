//! The timed checklist: make-up, immersion, looks and lifts, rinse, neutralise, dry, seal, dispose.

mod build;
mod care;
mod clock;
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
