//! One review of everything that will be in the vessel.

use super::{Conditions, Review};
use crate::reference::Ingredient;

/// Checks a mixture under these conditions.
pub fn check(_ingredients: &[Ingredient], _conditions: &Conditions) -> Review {
    todo!()
}
