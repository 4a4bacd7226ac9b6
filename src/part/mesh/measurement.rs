//! Everything the `measure` command tells about a mesh.

use super::air::AirTraps;
use super::solid::Solid;
use super::topology::{self, Topology};
use super::unit::LengthUnit;
use super::vector::{bounds, norm, normal2};
use super::{circle, format};
use crate::amount::{
    Area, Estimate, Length, Volume, cubic_millimetres, in_cubic_millimetres, in_millimetres, millimetres,
    square_millimetres,
};
use crate::diag::{Checked, Problem, Problems};
use crate::part::Side;

/// What to measure.
#[derive(Debug, Clone, Copy)]
pub struct Options {
    /// Unit of the file's numbers, when the person says so.
    pub unit: Option<LengthUnit>,
    /// Which side is up; +z when not said.
    pub up: Side,
    /// Level above the lowest point for the wetted volume.
    pub height: Option<Length>,
    /// Whether to look for trapped air.
    pub air: bool,
}

impl Default for Options {
    fn default() -> Self {
        Options { unit: None, up: Side::PlusZ, height: None, air: true }
    }
}

/// What a mesh measures.
#[derive(Debug, Clone)]
pub struct Measurement {
    /// Whether this is the streaming pass, which does not tell bodies, envelope, levels and air.
    pub quick: bool,
    /// Outward bodies less sealed voids; `None` when not known.
    pub volume: Option<Estimate<Volume>>,
    /// What displaces liquid; `None` when not known.
    pub envelope: Option<Estimate<Volume>>,
    /// The largest it can displace when the surface is not closed: its convex hull.
    pub at_most: Option<Volume>,
    /// Sealed voids; `None` when not known.
    pub voids: Option<Volume>,
    /// All triangles.
    pub area: Area,
    /// Area of the outer surface; `None` when not known.
    pub envelope_area: Option<Area>,
    /// Size of the box along x, y, z.
    pub size: [Length; 3],
    /// Lowest and highest corner of the box.
    pub corners: [[Length; 3]; 2],
    /// Whether every edge is used as often in one direction as in the other.
    pub watertight: bool,
    /// Bodies; `None` in the streaming pass.
    pub bodies: Option<usize>,
    /// Whether bodies overlap; `None` when not known.
    pub overlapping: Option<bool>,
    /// Triangles.
    pub triangles: u64,
    /// Centre of the material.
    pub centroid: Option<[Length; 3]>,
    /// What is wrong with the surface; `None` in the streaming pass.
    pub faults: Option<Faults>,
    /// Which side is up.
    pub up: Side,
    /// What is below the level asked for.
    pub wetted: Option<Wetted>,
    /// The cylinder that holds the part as it stands.
    pub cylinder: Option<Cylinder>,
    /// The smallest cylinder over the rest positions.
    pub smallest_cylinder: Option<Cylinder>,
    /// The smallest box over the rest positions, turned about the upright axis where that helps.
    pub smallest_box: Option<EnclosingBox>,
    /// Trapped air; `None` when not looked for or the surface is not closed.
    pub air: Option<AirTraps>,
    /// What the person should know.
    pub warnings: Vec<Problem>,
}

/// What is below a level.
#[derive(Debug, Clone, PartialEq)]
pub struct Wetted {
    /// The level, above the lowest point.
    pub height: Length,
    /// Envelope below it; `None` when not known.
    pub volume: Option<Estimate<Volume>>,
    /// Outer area below it; `None` when not known.
    pub area: Option<Area>,
    /// Centre of buoyancy in the file's coordinates.
    pub centre_of_buoyancy: Option<[Length; 3]>,
    /// Area of the cut at the level.
    pub waterplane: Option<Area>,
}

/// An upright cylinder round a part.
#[derive(Debug, Clone, PartialEq)]
pub struct Cylinder {
    /// Which side is up in it.
    pub up: Side,
    /// Inside diameter.
    pub diameter: Length,
    /// Height.
    pub height: Length,
}

/// A box round a part as it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct EnclosingBox {
    /// Which side is up in it.
    pub up: Side,
    /// Length, width and height.
    pub size: [Length; 3],
    /// How far it is turned about the upright axis.
    pub turned_degrees: f64,
}

/// What is wrong with a surface, counted.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Faults {
    /// Edges of one face only.
    pub open_edges: usize,
    /// Edges of three faces or more.
    pub crowded_edges: usize,
    /// Edges where two faces wind against each other.
    pub flipped_edges: usize,
    /// Edges not used as often in one direction as in the other.
    pub unmatched_edges: usize,
    /// Faces that repeat another.
    pub repeated_faces: usize,
    /// Faces without area.
    pub flat_faces: usize,
    /// Holes, by the middle of each rim, at most a hundred; `None` when open edges do not form rims.
    pub holes: Option<Vec<[Length; 3]>>,
    /// How many holes in all.
    pub hole_count: Option<usize>,
}

/// Measures a mesh file held in memory.
///
/// # Errors
/// As [`super::read`], but a mesh without volume is measured, with a warning.
pub fn measure(bytes: &[u8], name: &str, options: &Options) -> Checked<Measurement> {
    let result = measure_bytes(bytes, name, options).map_err(|p| p.in_file(name))?;
    Ok(Measurement { warnings: Problems(result.warnings).in_file(name).0, ..result })
}

fn measure_bytes(bytes: &[u8], name: &str, options: &Options) -> Checked<Measurement> {
    let (mesh, mut warnings) = format::triangles(bytes, name, options.unit)?;
    let found = topology::examine(&mesh);
    let Some((low, high)) = bounds(mesh.points.iter().copied()) else {
        return Err(Problem::error("the file holds no triangles").into());
    };
    let area = mesh.faces.iter().map(|&f| norm(normal2(&mesh.corners(f))) / 2.0).sum::<f64>();
    let mut answer = Measurement {
        quick: false,
        volume: None,
        envelope: None,
        at_most: None,
        voids: None,
        area: square_millimetres(area),
        envelope_area: None,
        size: std::array::from_fn(|i| millimetres(high[i] - low[i])),
        corners: [low, high].map(|c| c.map(millimetres)),
        watertight: found.watertight(),
        bodies: Some(found.bodies),
        overlapping: None,
        triangles: mesh.len() as u64,
        centroid: None,
        faults: Some(faults(&mesh, &found)),
        up: options.up,
        wetted: None,
        cylinder: None,
        smallest_cylinder: None,
        smallest_box: None,
        air: None,
        warnings: Vec::new(),
    };
    let flat_circle = |up: Side| {
        let [x, y, _] = super::solid::frame(up);
        millimetres(2.0 * circle::smallest(&circle::hull(mesh.points.iter().map(|p| [p[x.0], p[y.0]]))).radius)
    };
    match Solid::new(mesh.clone(), &found) {
        Ok((solid, found)) => {
            warnings.extend(found);
            fill_in(&mut answer, &solid, options);
        }
        Err(problems) => {
            // No volume, but size and area stand.
            warnings.extend(problems.0.into_iter().map(|p| Problem { severity: crate::diag::Severity::Warning, ..p }));
            answer.at_most = Some(cubic_millimetres(0.0));
            let height = in_millimetres(answer.size[super::solid::frame(options.up)[2].0]);
            answer.cylinder =
                Some(Cylinder { up: options.up, diameter: flat_circle(options.up), height: millimetres(height) });
        }
    }
    answer.warnings = warnings;
    Ok(answer)
}

fn fill_in(answer: &mut Measurement, solid: &Solid, options: &Options) {
    let known = solid.material.is_some();
    answer.volume = solid.material;
    answer.envelope = known.then_some(solid.envelope_bounds);
    answer.at_most = (!known).then_some(solid.envelope);
    answer.voids = known.then_some(solid.voids);
    answer.envelope_area = known.then_some(solid.area);
    answer.overlapping = known.then_some(solid.overlapping);
    answer.centroid = solid.centroid;
    let cylinder = |up: Side| Cylinder { up, diameter: solid.enclosing_diameter(up), height: solid.height(up) };
    answer.cylinder = Some(cylinder(options.up));
    let room = |c: &Cylinder| in_millimetres(c.diameter).powi(2) * in_millimetres(c.height);
    answer.smallest_cylinder = [Side::PlusZ, Side::PlusY, Side::PlusX]
        .map(cylinder)
        .into_iter()
        .reduce(|a, b| if room(&b) < room(&a) { b } else { a });
    let boxed = |up: Side| {
        let ([length, width], turned_degrees) = solid.enclosing_rectangle(up);
        EnclosingBox { up, size: [length, width, solid.height(up)], turned_degrees }
    };
    let room = |b: &EnclosingBox| b.size.iter().map(|s| in_millimetres(*s)).product::<f64>();
    // A later position must gain something beyond rounding.
    answer.smallest_box = [Side::PlusZ, Side::PlusY, Side::PlusX]
        .map(boxed)
        .into_iter()
        .reduce(|a, b| if room(&b) < room(&a) * (1.0 - 1e-9) { b } else { a });
    answer.wetted = options.height.map(|height| {
        let below = solid.waterline(height, options.up);
        // The ends scale with the whole: what is not known about the surface may lie anywhere in it.
        let spread = |e: Volume| in_cubic_millimetres(e) / in_cubic_millimetres(solid.envelope);
        let bounds = solid.envelope_bounds;
        Wetted {
            height,
            volume: known.then(|| Estimate {
                best: below.volume,
                low: below.volume * spread(bounds.low),
                high: below.volume * spread(bounds.high),
            }),
            area: known.then_some(below.wetted_area),
            centre_of_buoyancy: below.centre.filter(|_| known),
            waterplane: known.then_some(below.waterplane_area),
        }
    });
    if options.air && known {
        answer.air = solid.air_traps(options.up);
    }
}

fn faults(mesh: &super::Triangles, found: &Topology) -> Faults {
    let holes = topology::holes(mesh, found);
    Faults {
        open_edges: found.boundary_edges,
        crowded_edges: found.nonmanifold_edges,
        flipped_edges: found.inconsistent_edges,
        unmatched_edges: found.unbalanced_edges,
        repeated_faces: found.duplicate_faces,
        flat_faces: mesh.each().filter(|t| norm(normal2(t)) == 0.0).count(),
        hole_count: holes.as_ref().map(Vec::len),
        holes: holes.map(|h| h.iter().take(100).map(|h| h.place.map(millimetres)).collect()),
    }
}
