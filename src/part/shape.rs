//! Outer shapes and the room they take below a level.

use super::mesh::Solid;
use crate::amount::{Area, Length, Volume};
use std::sync::Arc;

/// Which side of the part is up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[allow(missing_docs)]
pub enum Side {
    PlusX,
    MinusX,
    PlusY,
    MinusY,
    PlusZ,
    MinusZ,
}

/// The outer shape of a part.
#[derive(Debug, Clone)]
pub enum Shape {
    /// A box: length, width, height (as it stands).
    Box {
        /// Along x.
        length: Length,
        /// Along y.
        width: Length,
        /// Upright.
        height: Length,
    },
    /// A cylinder standing upright.
    Cylinder {
        /// Diameter.
        diameter: Length,
        /// Height.
        height: Length,
    },
    /// A sphere.
    Sphere {
        /// Diameter.
        diameter: Length,
    },
    /// Displaced volume as measured in water, with the height it stands when known.
    Displaced {
        /// What it displaces.
        volume: Volume,
        /// Its height as it will stand.
        height: Option<Length>,
    },
    /// A mesh.
    Mesh(Arc<Solid>),
}

impl Shape {
    /// The volume that displaces liquid when the whole part is under.
    pub fn envelope(&self) -> Volume {
        todo!()
    }

    /// The envelope below `height` above the lowest point, with `up` as the upper side.
    pub fn envelope_below(&self, _height: Length, _up: Side) -> Volume {
        todo!()
    }

    /// The size along x, y and upright with `up` as the upper side; `None` for a displaced volume of unknown height.
    pub fn size(&self, _up: Side) -> Option<[Length; 3]> {
        todo!()
    }

    /// The outer area; `None` for a displaced volume.
    pub fn area(&self) -> Option<Area> {
        todo!()
    }
}
