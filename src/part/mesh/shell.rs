//! The room inside the walls of a print: the part offset inward, by sampling.

use super::boxes::Boxes;
use super::vector::{Tri, V3, add, bounds, cross, dot, norm, normal2, scale, sub};

/// Points that are tried, in [`BLOCKS`] runs of equal length (our choice: the room comes to about a thousandth of the
/// part, well below what trapped air does to its mass).
const POINTS: usize = 1 << 15;
/// Runs whose spread tells how far the sum can be off.
const BLOCKS: usize = 16;
/// A face counts as top or bottom when its normal lies within 45 degrees of upright (our choice), otherwise as wall.
const STEEP: f64 = std::f64::consts::FRAC_1_SQRT_2;

/// How thick the skin is behind each kind of face, mm.
#[derive(Debug, Clone, Copy)]
pub(super) struct Skin {
    pub walls: f64,
    pub top: f64,
    pub bottom: f64,
}

impl Skin {
    fn behind(&self, t: &Tri) -> f64 {
        let n = normal2(t);
        match n[2] / norm(n) {
            up if up > STEEP => self.top,
            up if up < -STEEP => self.bottom,
            _ => self.walls,
        }
    }
}

/// Shares of the room enclosed by a surface, 0 to 1, each: best, low, high. The ends are three standard errors of the mean
/// of the runs away, which is wide for evenly spread points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Shares {
    /// What lies in material, deeper than the skin.
    pub core: [f64; 3],
    /// What lies in sealed voids.
    pub voids: [f64; 3],
}

/// How much of the room enclosed by the outer `surface` is core and how much is void; `inner` are the faces of voids, and of
/// what lies in them. `None` when nothing is enclosed.
///
/// Counts points inside and points inside whose distance from every face is more than that face's skin, so that corners are
/// not counted twice and re-entrant edges round off as an offset does. The points are those of J. H. Halton, Numer. Math. 2
/// (1960) 84, in bases 2, 3 and 5. Same surface, same points, same answer.
pub(super) fn shares(surface: &[Tri], inner: &[Tri], skin: Skin) -> Option<Shares> {
    let (low, high) = bounds(surface.iter().flatten().copied())?;
    let size = sub(high, low);
    let behind = |of: &[Tri]| -> Vec<f64> { of.iter().map(|t| skin.behind(t)).collect() };
    let both = [surface, inner].map(|of| (of, Boxes::new(of), behind(of)));
    let reach = both.iter().flat_map(|b| &b.2).copied().fold(0.0, f64::max);
    let mut runs = Vec::new();
    for run in 0..BLOCKS {
        let (mut inside, mut empty, mut deep) = (0_u32, 0_u32, 0_u32);
        for i in run * POINTS / BLOCKS..(run + 1) * POINTS / BLOCKS {
            let p: V3 = std::array::from_fn(|a| low[a] + size[a] * mirrored(i + 1, [2, 3, 5][a]));
            let round = both[0].1.winding(p);
            if round < 1 {
                continue;
            }
            inside += 1;
            if round + both[1].1.winding(p) < 1 {
                empty += 1;
                continue;
            }
            let skinned =
                both.iter().any(|(of, tree, behind)| tree.any_near(p, reach, |t| distance(p, &of[t]) <= behind[t]));
            deep += u32::from(!skinned);
        }
        runs.push([f64::from(inside), f64::from(deep), f64::from(empty)]);
    }
    let sum = |k: usize| runs.iter().map(|r| r[k]).sum::<f64>();
    let inside = sum(0);
    if inside == 0.0 {
        return None;
    }
    let share = |k: usize| {
        let share = sum(k) / inside;
        // Variance of a ratio of two sums by its linear form.
        let spread: f64 = runs.iter().map(|r| (r[k] - share * r[0]).powi(2)).sum::<f64>();
        let error = 3.0 * (spread * BLOCKS as f64 / (BLOCKS as f64 - 1.0)).sqrt() / inside;
        [share, (share - error).max(0.0), (share + error).min(1.0)]
    };
    Some(Shares { core: share(1), voids: share(2) })
}

/// The room enclosed by a surface at least once, in mm³, by the same points: best, low, high. `None` when there is none.
pub(super) fn enclosed(surface: &[Tri]) -> Option<[f64; 3]> {
    let (low, high) = bounds(surface.iter().flatten().copied())?;
    let size = sub(high, low);
    let tree = Boxes::new(surface);
    let each = (POINTS / BLOCKS) as f64;
    let inside = |i: usize| {
        let p: V3 = std::array::from_fn(|a| low[a] + size[a] * mirrored(i + 1, [2, 3, 5][a]));
        tree.winding(p) >= 1
    };
    let runs: Vec<f64> = (0..BLOCKS)
        .map(|run| (run * POINTS / BLOCKS..(run + 1) * POINTS / BLOCKS).filter(|&i| inside(i)).count() as f64 / each)
        .collect();
    let n = BLOCKS as f64;
    let share = runs.iter().sum::<f64>() / n;
    let error = 3.0 * (runs.iter().map(|r| (r - share).powi(2)).sum::<f64>() / (n - 1.0) / n).sqrt();
    let room = size[0] * size[1] * size[2];
    (share > 0.0).then(|| [share, (share - error).max(0.0), (share + error).min(1.0)].map(|s| s * room))
}

/// The digits of a number in a base, mirrored about the point.
fn mirrored(mut number: usize, base: usize) -> f64 {
    let (mut value, mut place) = (0.0, 1.0 / base as f64);
    while number > 0 {
        value += place * (number % base) as f64;
        number /= base;
        place /= base as f64;
    }
    value
}

/// Distance of a point from a triangle: of its plane when it stands over it, else of the nearest edge.
fn distance(p: V3, t: &Tri) -> f64 {
    let n = normal2(t);
    let over = (0..3).all(|i| dot(cross(n, sub(t[(i + 1) % 3], t[i])), sub(p, t[i])) >= 0.0);
    if over && norm(n) > 0.0 {
        return (dot(n, sub(p, t[0])) / norm(n)).abs();
    }
    let edge = |a: V3, b: V3| {
        let along = sub(b, a);
        let long = dot(along, along);
        let s = if long > 0.0 { (dot(sub(p, a), along) / long).clamp(0.0, 1.0) } else { 0.0 };
        norm(sub(p, add(a, scale(along, s))))
    };
    edge(t[0], t[1]).min(edge(t[1], t[2])).min(edge(t[2], t[0]))
}

#[cfg(test)]
mod tests {
    use super::super::hull::box_of;
    use super::*;

    fn even(thick: f64) -> Skin {
        Skin { walls: thick, top: thick, bottom: thick }
    }

    fn core_share(surface: &[Tri], skin: Skin) -> Option<[f64; 3]> {
        shares(surface, &[], skin).map(|s| {
            assert_eq!(s.voids, [0.0; 3]);
            s.core
        })
    }

    #[track_caller]
    fn holds(found: Option<[f64; 3]>, exact: f64, within: f64) {
        let [best, low, high] = found.unwrap();
        assert!((best - exact).abs() <= within, "{best} for {exact}");
        assert!(low <= exact && exact <= high, "{exact} is not between {low} and {high}");
        assert!(high - low < 0.05, "{low} to {high}");
    }

    #[test]
    fn a_box_is_smaller_by_its_skin_on_every_side() {
        let tris = box_of([0.0; 3], [40.0, 30.0, 20.0]);
        holds(core_share(&tris, even(2.0)), 36.0 * 26.0 * 16.0 / 24_000.0, 0.002);
        let skin = Skin { walls: 1.2, top: 3.0, bottom: 0.8 };
        holds(core_share(&tris, skin), 37.6 * 27.6 * 16.2 / 24_000.0, 0.002);
        assert_eq!(core_share(&tris, even(11.0)), Some([0.0; 3]));
        assert_eq!(core_share(&[], even(1.0)), None);
    }

    #[test]
    fn a_void_has_walls_of_its_own() {
        // A cube of 40 with a cubic void of 20 in its middle, walls of 2 on both sides. Of what is deeper than that outside, a
        // cube of 36, the void takes its room with 2 round it: six slabs, twelve quarter cylinders and a ball (Steiner 1840).
        let tris = box_of([0.0; 3], [40.0; 3]);
        let void: Vec<Tri> = box_of([10.0; 3], [30.0; 3]).iter().map(|&[a, b, c]| [a, c, b]).collect();
        let (side, t, pi) = (20.0_f64, 2.0_f64, std::f64::consts::PI);
        let taken = side.powi(3) + 6.0 * side * side * t + 3.0 * side * pi * t * t + 4.0 / 3.0 * pi * t.powi(3);
        let found = shares(&tris, &void, even(t)).unwrap();
        holds(Some(found.core), (36.0_f64.powi(3) - taken) / 64_000.0, 0.002);
        holds(Some(found.voids), 8_000.0 / 64_000.0, 0.002);
        // A cube of 12 in the void is material again, and has its own walls.
        let loose = [void.clone(), box_of([14.0; 3], [26.0; 3])].concat();
        let found = shares(&tris, &loose, even(t)).unwrap();
        holds(Some(found.core), (36.0_f64.powi(3) - taken + 8.0_f64.powi(3)) / 64_000.0, 0.002);
        holds(Some(found.voids), (8_000.0 - 1_728.0) / 64_000.0, 0.002);
        // The void's ceiling is a bottom of the print, and its floor a top: square plates, with half rounds along their
        // edges beside the void and quarter balls at their corners.
        let skin = Skin { walls: 0.0, top: 4.0, bottom: 1.0 };
        let found = shares(&tris, &void, skin).unwrap();
        let plate = |r: f64| side * side * r + 4.0 * side * pi * r * r / 2.0 + 4.0 / 3.0 * pi * r.powi(3);
        let deep = 40.0 * 40.0 * 35.0 - 8_000.0 - plate(4.0) - plate(1.0);
        holds(Some(found.core), deep / 64_000.0, 0.002);
    }

    #[test]
    fn a_reentrant_edge_rounds_off_as_an_offset_does() {
        // An L of a 40 mm square less a 20 mm square, 30 high. Inside an offset of t the outline loses its length times t,
        // gains t² at each of five corners and loses a quarter circle at the re-entrant one (plane geometry).
        let outline = [[0.0, 0.0], [40.0, 0.0], [40.0, 20.0], [20.0, 20.0], [20.0, 40.0], [0.0, 40.0]];
        let mut tris: Vec<Tri> = Vec::new();
        for i in 0..6 {
            let ([ax, ay], [bx, by]) = (outline[i], outline[(i + 1) % 6]);
            tris.push([[ax, ay, 0.0], [bx, by, 0.0], [bx, by, 30.0]]);
            tris.push([[ax, ay, 0.0], [bx, by, 30.0], [ax, ay, 30.0]]);
        }
        for [a, b, c] in [[0, 1, 2], [0, 2, 3], [0, 3, 5], [3, 4, 5]] {
            let at = |i: usize, z: f64| [outline[i][0], outline[i][1], z];
            tris.push([at(a, 30.0), at(b, 30.0), at(c, 30.0)]);
            tris.push([at(a, 0.0), at(c, 0.0), at(b, 0.0)]);
        }
        let t: f64 = 3.0;
        let plane = 1200.0 - 160.0 * t + 5.0 * t * t - std::f64::consts::FRAC_PI_4 * t * t;
        holds(core_share(&tris, even(t)), plane * (30.0 - 2.0 * t) / 36_000.0, 0.002);
    }
}
