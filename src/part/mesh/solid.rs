//! A part that can be asked what it displaces.

use super::circle::{self, Circle};
use super::hull::convex_hull;
use super::topology::{self, Topology};
use super::triangles::Triangles;
use super::vector::{Tri, V3, add, bounds, norm, normal2, scale, sub, volume6};
use super::waterline::{Below, Waterline};
use crate::amount::{
    Area, Estimate, Length, Volume, cubic_millimetres, in_millimetres, millimetres, square_millimetres,
};
use crate::diag::{Checked, Problem};
use crate::part::Side;
use std::sync::OnceLock;

/// A closed (or repaired, or bounded) mesh ready for questions.
#[derive(Debug)]
pub struct Solid {
    /// Size of its box along x, y, z.
    pub size: [Length; 3],
    /// What displaces liquid.
    pub envelope: Volume,
    /// Outer area.
    pub area: Area,
    /// Whether the surface is closed; if not, `envelope` is the larger end of what it can be, or a repaired estimate.
    pub watertight: bool,
    /// The envelope with its two ends; all equal when it is known.
    pub envelope_bounds: Estimate<Volume>,
    /// The outer surface, millimetres about `origin`.
    surface: Vec<Tri>,
    tables: [OnceLock<Waterline>; 6],
    circles: [OnceLock<Circle>; 3],
}

impl Solid {
    /// From triangles in millimetres, with warnings.
    ///
    /// # Errors
    /// Triangles that enclose nothing and have no hull (all in one plane), or none at all.
    pub(super) fn new(mesh: &Triangles) -> Checked<(Self, Vec<Problem>)> {
        let Some((low, high)) = bounds(mesh.points.iter().copied()) else {
            return Err(Problem::error("the file holds no triangles").into());
        };
        let origin = scale(add(low, high), 0.5);
        let found = topology::examine(mesh);
        let (outer, known, warnings) = outer_surface(mesh, &found, origin)?;
        let envelope = outer.iter().map(volume6).sum::<f64>() / 6.0;
        let area = outer.iter().map(|t| norm(normal2(t)) / 2.0).sum::<f64>();
        let envelope = cubic_millimetres(envelope);
        let solid = Solid {
            size: std::array::from_fn(|i| millimetres(high[i] - low[i])),
            envelope,
            area: square_millimetres(area),
            watertight: found.watertight(),
            envelope_bounds: if known {
                Estimate::exact(envelope)
            } else {
                Estimate { best: envelope, low: cubic_millimetres(0.0), high: envelope }
            },
            surface: outer,
            tables: Default::default(),
            circles: Default::default(),
        };
        Ok((solid, warnings))
    }

    /// The envelope below `height` above the lowest point, with `up` as the upper side.
    pub fn envelope_below(&self, height: Length, up: Side) -> Volume {
        cubic_millimetres(self.below(height, up).volume)
    }

    /// The outer area below `height` above the lowest point, with `up` as the upper side.
    pub fn wetted_area_below(&self, height: Length, up: Side) -> Area {
        square_millimetres(self.below(height, up).wetted)
    }

    /// The size along x, y and upright with `up` as the upper side.
    pub fn size_with(&self, up: Side) -> [Length; 3] {
        let [x, y, z] = frame(up);
        [self.size[x.0], self.size[y.0], self.size[z.0]]
    }

    /// The height with `up` as the upper side.
    pub fn height(&self, up: Side) -> Length {
        self.size_with(up)[2]
    }

    /// Diameter of the smallest circle round the footprint with `up` as the upper side.
    pub fn enclosing_diameter(&self, up: Side) -> Length {
        let [x, y, z] = frame(up);
        let circle =
            self.circles[z.0].get_or_init(|| circle::smallest(self.surface.iter().flatten().map(|p| [p[x.0], p[y.0]])));
        millimetres(2.0 * circle.radius)
    }

    fn below(&self, height: Length, up: Side) -> Below {
        self.tables[up as usize]
            .get_or_init(|| Waterline::new(self.surface.iter().map(|t| stand(t, up))))
            .below(in_millimetres(height))
    }
}

/// The axes of the part that become x, y and upright, with their signs; always a rotation, never a mirror image.
fn frame(up: Side) -> [(usize, f64); 3] {
    match up {
        Side::PlusX => [(1, 1.0), (2, 1.0), (0, 1.0)],
        Side::MinusX => [(2, 1.0), (1, 1.0), (0, -1.0)],
        Side::PlusY => [(2, 1.0), (0, 1.0), (1, 1.0)],
        Side::MinusY => [(0, 1.0), (2, 1.0), (1, -1.0)],
        Side::PlusZ => [(0, 1.0), (1, 1.0), (2, 1.0)],
        Side::MinusZ => [(1, 1.0), (0, 1.0), (2, -1.0)],
    }
}

/// A triangle turned so that `up` points along z.
fn stand(t: &Tri, up: Side) -> Tri {
    let f = frame(up);
    t.map(|p| f.map(|(axis, sign)| p[axis] * sign))
}

/// The outer surface about `origin`, whether its volume is known, and warnings.
fn outer_surface(mesh: &Triangles, found: &Topology, origin: V3) -> Checked<(Vec<Tri>, bool, Vec<Problem>)> {
    let about = |face: &[u32; 3]| mesh.corners(*face).map(|p| sub(p, origin));
    if !found.watertight() {
        let points: Vec<V3> = mesh.points.iter().map(|&p| sub(p, origin)).collect();
        let Some(hull) = convex_hull(&points) else {
            return Err(Problem::error("the surface is not closed and lies in a plane, so it has no volume")
                .hint("export the part as a solid")
                .into());
        };
        let warning = Problem::warning(format!(
            "the surface is not closed ({} edges do not match), so its volume is not known; the convex hull is used, which is at least as large",
            found.unbalanced_edges
        ))
        .hint("repair the mesh in the modelling program, or measure what the part displaces in water");
        return Ok((hull, false, vec![warning]));
    }
    let mut volumes = vec![0.0; found.bodies.max(1)];
    for (face, &body) in mesh.faces.iter().zip(&found.body_of) {
        volumes[body as usize] += volume6(&about(face)) / 6.0;
    }
    let outward = mesh.faces.iter().zip(&found.body_of).filter(|(_, b)| volumes[**b as usize] > 0.0);
    Ok((outward.map(|(f, _)| about(f)).collect(), true, Vec::new()))
}

#[cfg(test)]
mod tests {
    use super::super::read;
    use super::*;
    use crate::amount::{in_cubic_millimetres, in_square_millimetres};

    const SIDES: [Side; 6] = [Side::PlusX, Side::MinusX, Side::PlusY, Side::MinusY, Side::PlusZ, Side::MinusZ];

    #[test]
    fn the_half_under_and_the_half_over_make_the_whole() {
        let bytes = include_bytes!("../../../tests/data/mesh/numpy-stl/binary_Star.stl");
        let (solid, warnings) = read(bytes, "star.stl", None).unwrap();
        assert_eq!(warnings, []);
        let whole = in_cubic_millimetres(solid.envelope);
        let area = in_square_millimetres(solid.area);
        for [up, down] in [[0, 1], [2, 3], [4, 5]].map(|p| p.map(|i| SIDES[i])) {
            let height = solid.height(up);
            for part in [0.0, 0.1, 0.35, 0.5, 0.99, 1.0] {
                let a = solid.envelope_below(height * part, up);
                let b = solid.envelope_below(height * (1.0 - part), down);
                assert!((in_cubic_millimetres(a + b) - whole).abs() < 1e-12 * whole.max(1.0), "{up:?} {part}");
                let a = solid.wetted_area_below(height * part, up);
                let b = solid.wetted_area_below(height * (1.0 - part), down);
                if part > 0.0 && part < 1.0 {
                    assert!((in_square_millimetres(a + b) - area).abs() < 1e-9 * area, "{up:?} {part}");
                }
            }
        }
    }
}
