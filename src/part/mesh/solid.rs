//! A part that can be asked what it displaces.

use super::air::{self, AirTraps};
use super::circle::{self, Circle, P2};
use super::fit;
use super::outer::{Range, enclosed};
use super::shell::{self, Skin};
use super::topology::Topology;
use super::triangles::Triangles;
use super::vector::{Tri, V3, add, bounds, cross, dot, norm, normal2, scale, sub, volume6};
use super::waterline::{Below, Waterline};
use crate::amount::{
    Area, Estimate, Length, Volume, cubic_millimetres, in_millimetres, millimetres, square_millimetres,
};
use crate::diag::{Checked, Problem, Problems};
use crate::part::Side;
use std::sync::OnceLock;

/// A closed (or repaired, or bounded) mesh ready for questions.
pub struct Solid {
    /// Size of its box along x, y, z.
    pub size: [Length; 3],
    /// What displaces liquid.
    pub envelope: Volume,
    /// Outer area.
    pub area: Area,
    /// Whether the surface is closed. If not, `envelope` is a repaired estimate or the convex hull, and `warnings` said so.
    pub watertight: bool,
    /// The envelope with its two ends; all equal when it is known.
    pub envelope_bounds: Estimate<Volume>,
    /// Outward bodies less sealed voids; `None` when the surface is open and was not repaired.
    pub material: Option<Estimate<Volume>>,
    /// Sealed voids, which stay dry.
    pub voids: Volume,
    /// Centre of the material in the file's coordinates.
    pub centroid: Option<[Length; 3]>,
    /// Lowest and highest corner of the box in the file's coordinates.
    pub corners: [[Length; 3]; 2],
    /// Whether bodies overlap or lie in each other, so that the envelope is less than their sum.
    pub overlapping: bool,
    /// Middle of the box, millimetres in the file's coordinates.
    origin: V3,
    /// The outer surface, millimetres about `origin`.
    surface: Triangles,
    /// The faces of sealed voids and of what lies in them, millimetres about `origin`.
    inner: Vec<Tri>,
    tables: [OnceLock<Waterline>; 6],
    circles: [OnceLock<Circle>; 3],
    outlines: [OnceLock<Vec<P2>>; 3],
    reaches: [OnceLock<Vec<f64>>; 6],
    air: [OnceLock<Option<Option<AirTraps>>>; 6],
}

/// How a part floats with one side up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Afloat {
    /// Height of the metacentre above the centre of mass; negative when it turns over.
    pub metacentric_height: Length,
    /// Distance across between the centres of buoyancy and mass: with any, it floats heeled.
    pub beside: Length,
}

/// What of the envelope is not the skin of a print.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rooms {
    /// Where infill goes.
    pub core: Estimate<Volume>,
    /// Sealed voids that the mesh itself has, less what lies in them.
    pub voids: Estimate<Volume>,
}

/// Air that a part catches when it is lowered in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CaughtAir<'a> {
    /// None.
    None,
    /// These pockets.
    Some(&'a AirTraps),
    /// The surface is not closed, so it is not known.
    Unknown,
}

/// What was measured; without the triangles, and without what has been worked out on demand.
impl std::fmt::Debug for Solid {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let measured = (&self.size, &self.envelope, &self.area, &self.envelope_bounds, &self.material, &self.voids);
        f.debug_struct("Solid")
            .field("measured", &measured)
            .field("where", &(&self.centroid, &self.corners))
            .field("closed", &(self.watertight, self.overlapping))
            .finish_non_exhaustive()
    }
}

impl Solid {
    /// From triangles in millimetres, with warnings.
    ///
    /// # Errors
    /// Triangles that enclose nothing and have no hull (all in one plane), or none at all.
    pub(super) fn new(mesh: Triangles, found: &Topology) -> Checked<(Self, Vec<Problem>)> {
        let Some((low, high)) = bounds(mesh.points.iter().copied()) else {
            return Err(Problem::error("the file holds no triangles").into());
        };
        let origin = scale(add(low, high), 0.5);
        let outer = enclosed(mesh, found, origin);
        if outer.surface.is_empty() {
            let mut problems = outer.warnings;
            problems.insert(0, Problem::error("the triangles enclose no volume").hint("export the part as a solid"));
            return Err(Problems(problems));
        }
        let area = outer.surface.each().map(|t| norm(normal2(&t)) / 2.0).sum::<f64>();
        let estimate = |r: Range| Estimate { best: r.best, low: r.low, high: r.high }.map(cubic_millimetres);
        let solid = Solid {
            size: std::array::from_fn(|i| millimetres(high[i] - low[i])),
            envelope: cubic_millimetres(outer.envelope.best),
            area: square_millimetres(area),
            watertight: found.watertight(),
            envelope_bounds: estimate(outer.envelope),
            material: outer.material.map(estimate),
            voids: cubic_millimetres(outer.voids),
            centroid: outer.centroid.map(|c| add(c, origin).map(millimetres)),
            corners: [low.map(millimetres), high.map(millimetres)],
            overlapping: outer.overlapping,
            origin,
            surface: outer.surface,
            inner: outer.inner,
            tables: Default::default(),
            circles: Default::default(),
            outlines: Default::default(),
            reaches: Default::default(),
            air: Default::default(),
        };
        Ok((solid, outer.warnings))
    }

    /// The envelope below `height` above the lowest point, with `up` as the upper side.
    pub fn envelope_below(&self, height: Length, up: Side) -> Volume {
        cubic_millimetres(self.table(up).volume(&self.surface.faces, in_millimetres(height)))
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
        millimetres(2.0 * self.circle(up).radius)
    }

    /// Length and width of the smallest rectangle round the footprint with `up` as the upper side, and how far it is turned
    /// about the upright axis, degrees.
    pub fn enclosing_rectangle(&self, up: Side) -> ([Length; 2], f64) {
        let [x, y, _] = frame(up);
        let (length, width, angle) = fit::rectangle(&self.outline(x.0, y.0));
        ([millimetres(length), millimetres(width)], angle)
    }

    /// How far the part reaches from the axis of its enclosing circle near `z` above its lowest point, with `up` as the upper
    /// side: the most in the level of a 128th of the height that holds `z`, in both beside it when it lies between two.
    /// Sampled at every 128th of the height, nothing of the part is missed.
    pub fn reach_at(&self, z: Length, up: Side) -> Length {
        let height = in_millimetres(self.height(up));
        let levels = self.reaches[up as usize].get_or_init(|| {
            let axis = self.circle(up);
            // The circle's axes are those of the side in turn; the frame may name them the other way round.
            let [x, _, z] = frame(up);
            let centre = if x.0 == (z.0 + 1) % 3 { axis.centre } else { [axis.centre[1], axis.centre[0]] };
            let standing = self.standing(up);
            let lowest = bounds(standing.points.iter().copied()).map_or(0.0, |b| b.0[2]);
            fit::reach(standing.each(), &Circle { centre, ..*axis }, lowest, height)
        });
        let at = in_millimetres(z) / height * fit::LEVELS as f64;
        let last = fit::LEVELS - 1;
        if !(at >= 0.0 && at <= fit::LEVELS as f64) {
            return millimetres(0.0);
        }
        let (low, high) = ((at - 1e-6).max(0.0) as usize, (at + 1e-6) as usize);
        millimetres(levels[low.min(last)].max(levels[high.min(last)]))
    }

    fn circle(&self, up: Side) -> &Circle {
        let axis = frame(up)[2].0;
        self.circles[axis].get_or_init(|| circle::smallest(&self.outline((axis + 1) % 3, (axis + 2) % 3)))
    }

    /// The convex outline over two axes.
    fn outline(&self, x: usize, y: usize) -> Vec<P2> {
        let axis = 3 - x - y;
        let (first, second) = ((axis + 1) % 3, (axis + 2) % 3);
        let hull =
            self.outlines[axis].get_or_init(|| circle::hull(self.surface.points.iter().map(|p| [p[first], p[second]])));
        if x == first { hull.clone() } else { hull.iter().rev().map(|p| [p[1], p[0]]).collect() }
    }

    /// Everything below `height` above the lowest point, with `up` as the upper side.
    pub fn waterline(&self, height: Length, up: Side) -> BelowLevel {
        let below = self.below(height, up);
        let f = frame(up);
        let back = |p: V3| -> [Length; 3] { add(turn_back(p, f), self.origin).map(millimetres) };
        BelowLevel {
            volume: cubic_millimetres(below.volume),
            wetted_area: square_millimetres(below.wetted),
            centre: below.centre.map(back),
            waterplane_area: square_millimetres(below.plane_area),
            waterplane_centre: below.plane_centre.map(|c| c.map(millimetres)),
            waterplane_moments_mm4: below.plane_second,
        }
    }

    /// How it floats at `depth` with `up` as the upper side, its material taken as evenly heavy: metacentric height about the
    /// weaker axis, GM = KB + I/V − KG (any text on hydrostatics), and how far the centre of buoyancy lies beside the centre
    /// of mass. `None` when the surface is not closed or nothing is below the level.
    pub fn afloat(&self, depth: Length, up: Side) -> Option<Afloat> {
        let below = self.below(depth, up);
        let buoyancy = below.centre?;
        let own: V3 = sub(self.centroid?.map(in_millimetres), self.origin);
        let mass = frame(up).map(|(axis, sign)| own[axis] * sign);
        let [xx, xy, yy] = below.plane_second;
        let weaker = f64::midpoint(xx, yy) - libm::hypot((xx - yy) / 2.0, xy);
        Some(Afloat {
            metacentric_height: millimetres(buoyancy[2] + weaker / below.volume - mass[2]),
            beside: millimetres(libm::hypot(buoyancy[0] - mass[0], buoyancy[1] - mass[1])),
        })
    }

    /// The part turned about the middle of its box by a rotation matrix (rows; it takes the part's axes to the new ones), for
    /// any orientation beyond the six sides. The box is that of the turned part about the same middle.
    ///
    /// # Errors
    /// A matrix that is not a rotation to 1e-9.
    pub fn turned(&self, rotation: [[f64; 3]; 3]) -> Checked<Solid> {
        let r = rotation;
        let right = (0..3).all(|i| {
            (0..3).all(|j| {
                let unit = if i == j { 1.0 } else { 0.0 };
                (dot(r[i], r[j]) - unit).abs() <= 1e-9
            })
        });
        if !right || dot(r[0], cross(r[1], r[2])) < 0.0 {
            return Err(Problem::error("the matrix is not a rotation").into());
        }
        let turn = |p: V3| r.map(|row| dot(row, p));
        let surface = self.surface.moved(turn);
        let (low, high) = bounds(surface.points.iter().copied()).unwrap_or_default();
        let middle = self.origin;
        let from_middle = |c: [Length; 3]| -> V3 { std::array::from_fn(|i| in_millimetres(c[i]) - middle[i]) };
        Ok(Solid {
            size: std::array::from_fn(|i| millimetres(high[i] - low[i])),
            centroid: self.centroid.map(|c| add(turn(from_middle(c)), middle).map(millimetres)),
            corners: [low, high].map(|c| add(c, middle).map(millimetres)),
            surface,
            inner: self.inner.iter().map(|t| t.map(turn)).collect(),
            tables: Default::default(),
            circles: Default::default(),
            outlines: Default::default(),
            reaches: Default::default(),
            air: Default::default(),
            ..*self
        })
    }

    /// The rooms inside the envelope of a print: what lies deeper than its walls, top and bottom, which stand behind steep,
    /// upward and downward faces as the file has them, those of sealed voids too; and the voids. By sampling, with the ends
    /// that its spread allows; the voids as they are in the file where the sample does not say otherwise.
    pub fn rooms(&self, walls: Length, top: Length, bottom: Length) -> Rooms {
        let thick = |t: Length| in_millimetres(t).max(0.0);
        let skin = Skin { walls: thick(walls), top: thick(top), bottom: thick(bottom) };
        let whole = self.envelope_bounds;
        let of = |[best, low, high]: [f64; 3]| Estimate {
            best: whole.best * best,
            low: whole.low * low,
            high: whole.high * high,
        };
        let Some(shares) = shell::shares(&self.surface.each().collect::<Vec<_>>(), &self.inner, skin) else {
            let core = Estimate { best: self.envelope * 0.5, low: cubic_millimetres(0.0), high: self.envelope };
            return Rooms { core, voids: Estimate::exact(cubic_millimetres(0.0)) };
        };
        let summed = cubic_millimetres(-self.inner.iter().map(volume6).sum::<f64>() / 6.0);
        let sampled = of(shares.voids);
        let agree = sampled.low <= summed && summed <= sampled.high;
        Rooms { core: of(shares.core), voids: if agree { Estimate::exact(summed) } else { sampled } }
    }

    /// Pockets that catch air when the part is lowered in with `up` as the upper side. `None` when the surface is not closed
    /// and was not repaired.
    pub fn air_traps(&self, up: Side) -> Option<AirTraps> {
        self.material?;
        air::find(&self.standing(up).each().collect::<Vec<_>>(), |p| add(turn_back(p, frame(up)), self.origin))
    }

    /// The same, worked out once for each side, and without a search where the surface has no roof that could hold air.
    pub fn caught_air(&self, up: Side) -> CaughtAir<'_> {
        let found = self.air[up as usize].get_or_init(|| {
            self.material.as_ref()?;
            Some(if air::can_catch(&self.surface, standing(up)) { self.air_traps(up) } else { None })
        });
        match found {
            None => CaughtAir::Unknown,
            Some(Some(traps)) if !traps.traps.is_empty() => CaughtAir::Some(traps),
            Some(_) => CaughtAir::None,
        }
    }

    /// The surface turned so that `up` points along z.
    fn standing(&self, up: Side) -> Triangles {
        self.surface.moved(standing(up))
    }

    fn table(&self, up: Side) -> &Waterline {
        self.tables[up as usize].get_or_init(|| {
            let points = self.surface.points.iter().copied().map(standing(up)).collect();
            Waterline::new(points, &self.surface.faces)
        })
    }

    fn below(&self, height: Length, up: Side) -> Below {
        self.table(up).below(&self.surface.faces, in_millimetres(height))
    }
}

/// What is below a level.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BelowLevel {
    /// Envelope below it.
    pub volume: Volume,
    /// Outer area below it.
    pub wetted_area: Area,
    /// Centre of buoyancy in the file's coordinates; `None` when nothing is below.
    pub centre: Option<[Length; 3]>,
    /// Area of the cut at the level.
    pub waterplane_area: Area,
    /// Centre of the cut, along the two axes that lie flat as the part stands, from the middle of its box in the file's
    /// coordinates.
    pub waterplane_centre: Option<[Length; 2]>,
    /// Second moments of the cut about axes through its centre: xx, xy, yy as the part stands, mm⁴.
    pub waterplane_moments_mm4: [f64; 3],
}

/// Turns a point so that `up` points along z.
fn standing(up: Side) -> impl Fn(V3) -> V3 {
    let frame = frame(up);
    move |p| frame.map(|(axis, sign)| p[axis] * sign)
}

/// A point as the part stands, in the part's own axes.
fn turn_back(p: V3, frame: [(usize, f64); 3]) -> V3 {
    let mut own = [0.0; 3];
    for (value, (axis, sign)) in p.into_iter().zip(frame) {
        own[axis] = value * sign;
    }
    own
}

/// The axes of the part that become x, y and upright, with their signs; always a rotation, never a mirror image.
pub(super) fn frame(up: Side) -> [(usize, f64); 3] {
    match up {
        Side::PlusX => [(1, 1.0), (2, 1.0), (0, 1.0)],
        Side::MinusX => [(2, 1.0), (1, 1.0), (0, -1.0)],
        Side::PlusY => [(2, 1.0), (0, 1.0), (1, 1.0)],
        Side::MinusY => [(0, 1.0), (2, 1.0), (1, -1.0)],
        Side::PlusZ => [(0, 1.0), (1, 1.0), (2, 1.0)],
        Side::MinusZ => [(1, 1.0), (0, 1.0), (2, -1.0)],
    }
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
                assert_eq!(solid.waterline(height * part, up).volume, a, "{up:?} {part}");
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
