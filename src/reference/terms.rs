//! Words that several rooms share: how a vessel is covered, how the bath meets the part, where it stands.

use crate::amount::{Volume, cubic_metres};

/// How the vessel is covered while the bath stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Cover {
    /// Open to the air.
    Open,
    /// Loosely covered: gas gets out.
    Loose,
    /// Sealed: gas stays in.
    Sealed,
}

/// How the liquid or vapour meets the part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[allow(missing_docs)]
pub enum Method {
    Immersion,
    Spray,
    Brush,
    Fume,
    Burial,
}

/// The room the bath stands in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Room {
    /// Volume of air.
    pub volume: Volume,
    /// Air changes per hour.
    pub air_changes_per_h: f64,
    /// Out of doors: no volume limits it.
    pub outdoors: bool,
    /// Whether the person said so, or it is the program's assumption.
    pub assumed: bool,
}

impl Default for Room {
    /// Indoors, 20 m³ with 0.5 air changes an hour: our choice, printed as an assumption.
    fn default() -> Self {
        Room { volume: cubic_metres(20.0), air_changes_per_h: 0.5, outdoors: false, assumed: true }
    }
}
