//! Meshes: reading STL, 3MF, OBJ and PLY, measuring them, and the volume below a level.

use crate::amount::{Area, Length, Volume};

/// A closed (or repaired, or bounded) mesh ready for questions.
#[derive(Debug)]
pub struct Solid {
    /// Size of its box along x, y, z.
    pub size: [Length; 3],
    /// What displaces liquid.
    pub envelope: Volume,
    /// Outer area.
    pub area: Area,
}
