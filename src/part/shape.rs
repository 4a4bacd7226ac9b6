//! Outer shapes and the room they take below a level.

use super::mesh::{CaughtAir, Solid};
use crate::amount::{
    Area, Estimate, Length, Volume, cubic_millimetres, in_cubic_millimetres, in_millimetres, millimetres,
    square_millimetres,
};
use std::f64::consts::PI;
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

impl Side {
    /// The axis of the file that points up.
    pub fn name(self) -> &'static str {
        match self {
            Side::PlusX => "x",
            Side::MinusX => "-x",
            Side::PlusY => "y",
            Side::MinusY => "-y",
            Side::PlusZ => "z",
            Side::MinusZ => "-z",
        }
    }

    /// The axis that is upright: 0 for x, 1 for y, 2 for z.
    pub fn axis(self) -> usize {
        match self {
            Side::PlusX | Side::MinusX => 0,
            Side::PlusY | Side::MinusY => 1,
            Side::PlusZ | Side::MinusZ => 2,
        }
    }
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
        match self {
            Shape::Box { length, width, height } => {
                cubic_millimetres(in_millimetres(*length) * in_millimetres(*width) * in_millimetres(*height))
            }
            Shape::Cylinder { diameter, height } => {
                cubic_millimetres(PI / 4.0 * in_millimetres(*diameter).powi(2) * in_millimetres(*height))
            }
            Shape::Sphere { diameter } => cubic_millimetres(PI / 6.0 * in_millimetres(*diameter).powi(3)),
            Shape::Displaced { volume, .. } => *volume,
            Shape::Mesh(solid) => solid.envelope,
        }
    }

    /// The same with both ends: they differ for a mesh whose surface is not closed.
    pub fn envelope_bounds(&self) -> Estimate<Volume> {
        match self {
            Shape::Mesh(solid) => solid.envelope_bounds,
            _ => Estimate::exact(self.envelope()),
        }
    }

    /// The envelope below `height` above the lowest point, with `up` as the upper side.
    ///
    /// A displaced volume is taken as a straight prism of its height (an estimate); without a height the whole of it
    /// counts as soon as it touches the liquid.
    pub fn envelope_below(&self, height: Length, up: Side) -> Volume {
        let h = in_millimetres(height).max(0.0);
        let whole = in_cubic_millimetres(self.envelope());
        let prism = |tall: Length| {
            let tall = in_millimetres(tall);
            if tall > 0.0 { whole * (h / tall).min(1.0) } else { 0.0 }
        };
        cubic_millimetres(match self {
            Shape::Box { length, width, height } => prism([*length, *width, *height][up.axis()]),
            Shape::Cylinder { height, .. } if up.axis() == 2 => prism(*height),
            Shape::Cylinder { diameter, height } => {
                let r = in_millimetres(*diameter) / 2.0;
                segment_area(r, h) * in_millimetres(*height)
            }
            Shape::Sphere { diameter } => {
                // Spherical cap: πh²(3r − h)/3.
                let r = in_millimetres(*diameter) / 2.0;
                let h = h.min(2.0 * r);
                PI * h * h * (3.0 * r - h) / 3.0
            }
            Shape::Displaced { height: Some(tall), .. } => prism(*tall),
            Shape::Displaced { height: None, .. } => {
                if h > 0.0 {
                    whole
                } else {
                    0.0
                }
            }
            Shape::Mesh(solid) => return solid.envelope_below(height, up),
        })
    }

    /// The size along x, y and upright with `up` as the upper side; `None` for a displaced volume of unknown height.
    ///
    /// Of a displaced volume only the upright size means something; the other two are those of a square prism.
    pub fn size(&self, up: Side) -> Option<[Length; 3]> {
        let turned = |s: [Length; 3]| match up.axis() {
            0 => [s[1], s[2], s[0]],
            1 => [s[2], s[0], s[1]],
            _ => s,
        };
        match self {
            Shape::Box { length, width, height } => Some(turned([*length, *width, *height])),
            Shape::Cylinder { diameter, height } => Some(turned([*diameter, *diameter, *height])),
            Shape::Sphere { diameter } => Some([*diameter; 3]),
            Shape::Displaced { volume, height } => height.map(|h| {
                let side = (in_cubic_millimetres(*volume) / in_millimetres(h)).max(0.0).sqrt();
                [millimetres(side), millimetres(side), h]
            }),
            Shape::Mesh(solid) => Some(solid.size_with(up)),
        }
    }

    /// The rectangle it needs on the ground with `up` as the upper side: length, width, and by how many degrees about the
    /// upright axis it must be turned for that; `None` for a displaced volume of unknown height.
    pub fn footprint(&self, up: Side) -> Option<([Length; 2], f64)> {
        match self {
            Shape::Mesh(solid) => Some(solid.enclosing_rectangle(up)),
            _ => self.size(up).map(|s| ([s[0], s[1]], 0.0)),
        }
    }

    /// How far the part reaches from its upright axis at `z` above its lowest point: half the diameter of the round
    /// opening it needs there. `None` when the shape is not known.
    pub fn reach_at(&self, z: Length, up: Side) -> Option<Length> {
        let z = in_millimetres(z);
        let half_chord = |r: f64| (r * r - (z - r) * (z - r)).max(0.0).sqrt();
        let half_diagonal = |s: [Length; 3]| 0.5 * libm::hypot(in_millimetres(s[0]), in_millimetres(s[1]));
        let reach = match self {
            Shape::Box { .. } => half_diagonal(self.size(up)?),
            Shape::Cylinder { diameter, .. } if up.axis() == 2 => in_millimetres(*diameter) / 2.0,
            Shape::Cylinder { diameter, height } => {
                libm::hypot(half_chord(in_millimetres(*diameter) / 2.0), in_millimetres(*height) / 2.0)
            }
            Shape::Sphere { diameter } => half_chord(in_millimetres(*diameter) / 2.0),
            Shape::Displaced { .. } => return None,
            Shape::Mesh(solid) => in_millimetres(solid.reach_at(millimetres(z), up)),
        };
        Some(millimetres(reach))
    }

    /// Air caught when it is lowered in with `up` as the upper side. What a displaced volume caught was measured with it.
    pub fn caught_air(&self, up: Side) -> CaughtAir<'_> {
        match self {
            Shape::Mesh(solid) => solid.caught_air(up),
            _ => CaughtAir::None,
        }
    }

    /// Diameter of the round opening that the whole part passes with `up` as the upper side; `None` when the shape is not
    /// known.
    pub fn enclosing_diameter(&self, up: Side) -> Option<Length> {
        match self {
            Shape::Mesh(solid) => Some(solid.enclosing_diameter(up)),
            // Half its height up, each of these is as wide as it gets.
            _ => self.reach_at(self.size(up)?[2] / 2.0, up).map(|r| r * 2.0),
        }
    }

    /// The sides worth trying as the upper one, as it stands first. A turned-over box is the same box.
    pub fn sides(&self) -> &'static [Side] {
        match self {
            Shape::Box { .. } | Shape::Mesh(_) => &[Side::PlusZ, Side::PlusX, Side::PlusY],
            Shape::Cylinder { .. } => &[Side::PlusZ, Side::PlusX],
            Shape::Sphere { .. } | Shape::Displaced { .. } => &[Side::PlusZ],
        }
    }

    /// The same turned over, where that makes a difference: a mesh upside down holds other air and widens the other way.
    pub fn sides_turned_over(&self) -> &'static [Side] {
        match self {
            Shape::Mesh(_) => &[Side::MinusZ, Side::MinusX, Side::MinusY],
            _ => &[],
        }
    }

    /// The outer area; `None` for a displaced volume.
    pub fn area(&self) -> Option<Area> {
        let area = match self {
            Shape::Box { length, width, height } => {
                let (l, w, h) = (in_millimetres(*length), in_millimetres(*width), in_millimetres(*height));
                2.0 * (l * w + w * h + h * l)
            }
            Shape::Cylinder { diameter, height } => {
                let d = in_millimetres(*diameter);
                PI * d * (d / 2.0 + in_millimetres(*height))
            }
            Shape::Sphere { diameter } => PI * in_millimetres(*diameter).powi(2),
            Shape::Displaced { .. } => return None,
            Shape::Mesh(solid) => return Some(solid.area),
        };
        Some(square_millimetres(area))
    }
}

/// Area of the part of a circle of radius `r` that lies below height `h` over its lowest point, mm².
fn segment_area(r: f64, h: f64) -> f64 {
    if r <= 0.0 || h <= 0.0 {
        return 0.0;
    }
    let h = h.min(2.0 * r);
    r * r * libm::acos(((r - h) / r).clamp(-1.0, 1.0)) - (r - h) * (h * (2.0 * r - h)).max(0.0).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(a: Volume, b: f64) {
        let a = in_cubic_millimetres(a);
        assert!((a - b).abs() <= 1e-9 * b.abs().max(1.0), "{a} {b}");
    }

    #[test]
    fn halves_and_wholes() {
        let mm = millimetres;
        let sphere = Shape::Sphere { diameter: mm(20.0) };
        close(sphere.envelope_below(mm(10.0), Side::PlusZ), PI * 2.0 / 3.0 * 1000.0);
        close(sphere.envelope_below(mm(99.0), Side::PlusZ), PI * 4.0 / 3.0 * 1000.0);
        let cylinder = Shape::Cylinder { diameter: mm(20.0), height: mm(50.0) };
        close(cylinder.envelope_below(mm(10.0), Side::PlusX), PI * 100.0 * 50.0 / 2.0);
        close(cylinder.envelope_below(mm(20.0), Side::PlusX), PI * 100.0 * 50.0);
        close(cylinder.envelope_below(mm(25.0), Side::PlusZ), PI * 100.0 * 25.0);
        let block = Shape::Box { length: mm(10.0), width: mm(20.0), height: mm(30.0) };
        close(block.envelope_below(mm(5.0), Side::PlusX), 3000.0);
        close(block.envelope_below(mm(-5.0), Side::PlusX), 0.0);
        close(block.envelope_below(mm(f64::NAN), Side::PlusX), 0.0);
    }

    #[test]
    fn a_turned_box_has_its_sizes_in_order() {
        let mm = millimetres;
        let block = Shape::Box { length: mm(10.0), width: mm(20.0), height: mm(30.0) };
        let upright = |s| block.size(s).map(|s| in_millimetres(s[2]));
        assert_eq!(upright(Side::PlusX), Some(10.0));
        assert_eq!(upright(Side::MinusY), Some(20.0));
        assert_eq!(upright(Side::PlusZ), Some(30.0));
    }
}
