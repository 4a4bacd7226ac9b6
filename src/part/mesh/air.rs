//! Air that stays under a part when it is lowered into liquid: where, how much, and which tilt lets it out.

use super::sets::Sets;
use super::triangles::Triangles;
use super::vector::{Tri, V3, bounds, normal2};
use super::voxels::Grid;
use crate::amount::{Length, Volume, cubic_millimetres, millimetres};

/// Cells along the longest side at first, and most cells at last (our choice: a second of work, forty megabytes).
const FIRST_CELLS: f64 = 24.0;
const MOST_CELLS: f64 = 6e6;
/// Cells of the grid on which tilts are tried.
const TILT_CELLS: f64 = 60_000.0;
/// Two answers repeat when they differ by less than this part of the larger, or of the part's volume by the second number.
const REPEATS: (f64, f64) = (0.03, 2e-4);
/// A pocket is vented when this part of it is free (our choice; the rest is the roughness of the grid).
const VENTED: f64 = 0.97;
/// Pockets told one by one, largest first.
const MOST_TOLD: usize = 20;

/// A pocket that opens downwards.
#[derive(Debug, Clone, PartialEq)]
pub struct AirTrap {
    /// Air caught, taken as not compressed.
    pub volume: Volume,
    /// Middle of the air, in the file's coordinates.
    pub place: [Length; 3],
    /// Level at which the pocket closes, above the lowest point of the part as it stands.
    pub mouth: Length,
    /// Highest air, above the lowest point of the part as it stands.
    pub top: Length,
    /// Whether it is caught even when every wall that is only about as thick as the grid lets air through. If not, a bore
    /// finer than the grid may vent it: unresolved, not blocked.
    pub resolved: bool,
    /// The smallest tilt tried that lets it out.
    pub tilt: Option<Tilt>,
}

/// A tilt: one side of the part is raised.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tilt {
    /// Angle, degrees.
    pub angle_degrees: f64,
    /// The direction that is raised, in the file's coordinates.
    pub raised: [f64; 3],
}

/// All pockets of one rest position.
#[derive(Debug, Clone, PartialEq)]
pub struct AirTraps {
    /// Pockets, largest first.
    pub traps: Vec<AirTrap>,
    /// Air in all of them, also those too many to tell.
    pub total: Volume,
    /// Edge of the grid's cells: anything finer is not resolved.
    pub pitch: Length,
    /// Whether the total repeated on the last two grids.
    pub repeats: bool,
    /// Hollows that liquid reaches only through openings finer than the grid, if at all.
    pub unresolved: Volume,
}

/// Finds the pockets of a closed surface that stands with z up. `back` turns coordinates as it stands into the file's.
pub(super) fn find(surface: &[Tri], back: impl Fn(V3) -> V3) -> Option<AirTraps> {
    let (low, high) = bounds(surface.iter().flatten().copied())?;
    let size: V3 = std::array::from_fn(|i| high[i] - low[i]);
    let longest = size[0].max(size[1]).max(size[2]);
    let whole = surface.iter().map(super::vector::volume6).sum::<f64>() / 6.0;
    if !(longest > 0.0 && whole > 0.0) {
        return None;
    }
    let mut pitch = longest / FIRST_CELLS;
    let mut before: Option<f64> = None;
    loop {
        let grid = Grid::new(surface, pitch)?;
        let found = pockets(&grid);
        let total = found.iter().map(|p| p.cells.len()).sum::<usize>() as f64 * pitch.powi(3);
        let same = before
            .is_some_and(|b| (b - total).abs() <= REPEATS.0 * b.max(total) || (b - total).abs() <= REPEATS.1 * whole);
        let sure = found.iter().all(|p| p.resolved);
        let last = Grid::cells(size, pitch / 2.0) > MOST_CELLS;
        if (same && sure) || last {
            return Some(report(surface, &grid, &found, same, low[2], back));
        }
        before = Some(total);
        pitch /= 2.0;
    }
}

/// Whether a closed surface can catch air at all, as it stands when `standing` turns its points so that z is up. False is
/// certain: the highest air of a pocket lies under a point of the surface that is level with or higher than the surface all
/// round it and has a face looking down.
pub(super) fn can_catch(surface: &Triangles, standing: impl Fn(V3) -> V3) -> bool {
    let points = surface.points.len();
    // Points that are level with each other along an edge go together.
    let mut level = Sets::new(points);
    let (mut climbs, mut roofs) = (vec![false; points], vec![false; points]);
    for &face in &surface.faces {
        let t = surface.corners(face).map(&standing);
        let down = normal2(&t)[2] < 0.0;
        for (a, b) in [(0, 1), (1, 2), (2, 0)] {
            let (one, other) = (face[a] as usize, face[b] as usize);
            climbs[one] |= t[a][2] < t[b][2];
            climbs[other] |= t[b][2] < t[a][2];
            roofs[one] |= down;
            if t[a][2] == t[b][2] {
                level.join(face[a], face[b]);
            }
        }
    }
    for point in 0..points {
        let root = level.root(point as u32) as usize;
        climbs[root] |= climbs[point];
        roofs[root] |= roofs[point];
    }
    (0..points).any(|point| level.root(point as u32) as usize == point && roofs[point] && !climbs[point])
}

struct Pocket {
    cells: Vec<usize>,
    resolved: bool,
}

fn pockets(grid: &Grid) -> Vec<Pocket> {
    let way = grid.ways_out(false);
    let leaky = grid.ways_out(true);
    let groups = grid.groups(|c| grid.is_empty(c) && grid.caught(&way, c) > 0);
    let mut found: Vec<Pocket> = groups
        .into_iter()
        // One cell deep is what a slanted face looks like on a grid.
        .filter(|g| g.iter().any(|&c| grid.caught(&way, c) > 1))
        .map(|cells| {
            let still = cells.iter().filter(|&&c| grid.caught(&leaky, c) > 0).count();
            Pocket { resolved: still * 2 > cells.len(), cells }
        })
        .collect();
    found.sort_by(|a, b| b.cells.len().cmp(&a.cells.len()).then(a.cells[0].cmp(&b.cells[0])));
    found
}

fn report(
    surface: &[Tri],
    grid: &Grid,
    found: &[Pocket],
    repeats: bool,
    lowest: f64,
    back: impl Fn(V3) -> V3,
) -> AirTraps {
    let cell = grid.pitch.powi(3);
    let way = grid.ways_out(false);
    let mut traps: Vec<AirTrap> = found
        .iter()
        .take(MOST_TOLD)
        .map(|p| {
            let n = p.cells.len() as f64;
            let middles = || p.cells.iter().map(|&c| grid.middle(c));
            let sum = middles().fold([0.0; 3], super::vector::add);
            let top = middles().map(|m| m[2]).fold(f64::NEG_INFINITY, f64::max) + grid.pitch / 2.0;
            let mouth = p
                .cells
                .iter()
                .map(|&c| grid.middle(c)[2] - (grid.caught(&way, c) as f64 - 0.5) * grid.pitch)
                .fold(f64::INFINITY, f64::min);
            AirTrap {
                volume: cubic_millimetres(n * cell),
                place: back(super::vector::scale(sum, 1.0 / n)).map(millimetres),
                mouth: millimetres(mouth - lowest),
                top: millimetres(top - lowest),
                resolved: p.resolved,
                tilt: None,
            }
        })
        .collect();
    let tilts = tilts_that_vent(surface, grid, &found[..traps.len()]);
    for (trap, tilt) in traps.iter_mut().zip(tilts) {
        trap.tilt = tilt.map(|t| {
            let zero = back([0.0; 3]);
            Tilt { raised: super::vector::sub(back(t.raised), zero), ..t }
        });
    }
    let lost = (0..way.len()).filter(|&c| grid.is_empty(c) && way[c].is_none()).count();
    AirTraps {
        total: cubic_millimetres(found.iter().map(|p| p.cells.len()).sum::<usize>() as f64 * cell),
        traps,
        pitch: millimetres(grid.pitch),
        repeats,
        unresolved: cubic_millimetres(lost as f64 * cell),
    }
}

/// For each pocket the smallest tilt of those tried that frees it.
fn tilts_that_vent(surface: &[Tri], grid: &Grid, pockets: &[Pocket]) -> Vec<Option<Tilt>> {
    let mut best: Vec<Option<Tilt>> = vec![None; pockets.len()];
    if pockets.is_empty() {
        return best;
    }
    let Some((low, high)) = bounds(surface.iter().flatten().copied()) else { return best };
    let size: V3 = std::array::from_fn(|i| high[i] - low[i]);
    let mut pitch = grid.pitch;
    while Grid::cells(size, pitch) > TILT_CELLS {
        pitch *= 1.25;
    }
    let Some(coarse) = Grid::new(surface, pitch) else { return best };
    // A few hundred cells stand for a pocket.
    let places: Vec<Vec<usize>> = pockets
        .iter()
        .map(|p| {
            let every = p.cells.len().div_ceil(400);
            p.cells
                .iter()
                .step_by(every)
                .map(|&c| coarse.cell_of(grid.middle(c)))
                .filter(|&c| coarse.is_empty(c))
                .collect()
        })
        .collect();
    for angle in [15.0_f64, 30.0, 45.0, 60.0, 75.0, 90.0, 120.0, 150.0, 180.0] {
        let round = if angle == 180.0 { 1 } else { 8 };
        for step in 0..round {
            if best.iter().all(Option::is_some) {
                return best;
            }
            let (s, c) = libm::sincos(angle.to_radians());
            let (y, x) = libm::sincos(f64::from(step) * std::f64::consts::FRAC_PI_4);
            let free = coarse.free_with([s * x, s * y, c]);
            for (slot, cells) in best.iter_mut().zip(&places) {
                let out = cells.iter().filter(|&&c| free[c]).count();
                if slot.is_none() && !cells.is_empty() && out as f64 >= VENTED * cells.len() as f64 {
                    *slot = Some(Tilt { angle_degrees: angle, raised: [x, y, 0.0] });
                }
            }
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::super::hull::box_of;
    use super::*;

    /// A box with a square hole from one side, as boxes beside each other do not share corners: five plates.
    fn cup(mouth_down: bool) -> Vec<Tri> {
        let outer = box_of([0.0; 3], [40.0, 40.0, 30.0]);
        let hole = box_of([10.0, 10.0, 0.0], [30.0, 30.0, 20.0]);
        // The hole's walls look inward; its open end and the same place of the outer face are left out and bridged.
        let inward: Vec<Tri> = hole.into_iter().map(|[a, b, c]| [a, c, b]).collect();
        let level = |t: &Tri, z: f64| t.iter().all(|p| p[2] == z);
        let mut tris: Vec<Tri> = outer.into_iter().filter(|t| !level(t, 0.0)).collect();
        tris.extend(inward.into_iter().filter(|t| !level(t, 0.0)));
        let (o, h) = (
            [[0.0, 0.0], [40.0, 0.0], [40.0, 40.0], [0.0, 40.0]],
            [[10.0, 10.0], [30.0, 10.0], [30.0, 30.0], [10.0, 30.0]],
        );
        let at = |p: [f64; 2]| [p[0], p[1], 0.0];
        for i in 0..4 {
            let n = (i + 1) % 4;
            tris.push([at(o[i]), at(h[i]), at(o[n])]);
            tris.push([at(o[n]), at(h[i]), at(h[n])]);
        }
        let turn = |p: V3| if mouth_down { p } else { [p[0], -p[1], -p[2]] };
        tris.into_iter().map(|t| t.map(turn)).collect()
    }

    #[test]
    fn only_what_has_a_roof_can_catch_air() {
        assert!(!can_catch(&Triangles::joined(&box_of([0.0; 3], [10.0; 3])), |p| p));
        let volume = |t: &[Tri]| t.iter().map(super::super::vector::volume6).sum::<f64>() / 6.0;
        for mouth_down in [true, false] {
            let cup = cup(mouth_down);
            assert!((volume(&cup) - 40_000.0).abs() < 1e-6, "{}", volume(&cup));
            assert_eq!(can_catch(&Triangles::joined(&cup), |p| p), mouth_down);
            let total = find(&cup, |p| p).map(|a| crate::amount::in_cubic_millimetres(a.total)).unwrap();
            let exact = if mouth_down { 8000.0 } else { 0.0 };
            assert!((total - exact).abs() <= 0.05 * 8000.0, "{total}");
        }
    }
}
