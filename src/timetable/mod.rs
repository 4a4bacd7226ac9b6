//! The timed checklist: make-up, immersion, looks and lifts, rinse, neutralise, dry, seal, dispose.

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
#[derive(Debug, Clone)]
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
}

/// Puts clock times on steps, moving nothing: steps that fall into quiet hours get a remark.
pub fn with_clock(
    _steps: Vec<Step>,
    _start: Option<&ZonedDateTime>,
    _quiet: Option<(jiff::civil::Time, jiff::civil::Time)>,
) -> Vec<Step> {
    todo!()
}
