//! Vessels: level and volume for every shape, what they are made of, how they are covered.

mod read;
mod shape;

pub use read::{read_vessel, read_vessel_with};
pub use shape::{Across, VesselShape};

use crate::reference::Material;

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

/// A vessel.
#[derive(Debug, Clone)]
pub struct Vessel {
    /// What the person calls it.
    pub name: String,
    /// Inside shape.
    pub shape: VesselShape,
    /// What it is made of; `None` when not said.
    pub material: Option<&'static Material>,
    /// How it is covered; `None` leaves it to the recipe.
    pub cover: Option<Cover>,
}
