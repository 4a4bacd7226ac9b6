//! Vessels: level and volume for every shape, what they are made of, how they are covered.

mod read;
mod shape;

pub use crate::reference::Cover;
pub use read::{read_vessel, read_vessel_with};
pub use shape::{Across, VesselShape};

use crate::reference::Material;

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
