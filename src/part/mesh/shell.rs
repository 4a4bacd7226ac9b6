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

/// The share of the room enclosed by a surface that lies deeper than the skin, 0 to 1: best, low, high. The ends are three
/// standard errors of the mean of the runs away, which is wide for evenly spread points. `None` when nothing is enclosed.
///
/// Counts points inside and points inside whose distance from every face is more than that face's skin, so that corners are
/// not counted twice and re-entrant edges round off as an offset does. The points are those of J. H. Halton, Numer. Math. 2
/// (1960) 84, in bases 2, 3 and 5. Same surface, same points, same answer.
pub(super) fn core_share(surface: &[Tri], skin: Skin) -> Option<[f64; 3]> {
    let (low, high) = bounds(surface.iter().flatten().copied())?;
    let size = sub(high, low);
    let behind: Vec<f64> = surface.iter().map(|t| skin.behind(t)).collect();
    let reach = behind.iter().copied().fold(0.0, f64::max);
    let tree = Boxes::new(surface);
    let mut runs = Vec::new();
    for run in 0..BLOCKS {
        let (mut inside, mut deep) = (0_u32, 0_u32);
        for i in run * POINTS / BLOCKS..(run + 1) * POINTS / BLOCKS {
            let p: V3 = std::array::from_fn(|a| low[a] + size[a] * mirrored(i + 1, [2, 3, 5][a]));
            if tree.winding(p) < 1 {
                continue;
            }
            inside += 1;
            let skinned = |t: usize| distance(p, &surface[t]) <= behind[t];
            deep += u32::from(!tree.any_near(p, reach, skinned));
        }
        runs.push((f64::from(inside), f64::from(deep)));
    }
    let (inside, deep) = runs.iter().fold((0.0, 0.0), |s, r| (s.0 + r.0, s.1 + r.1));
    if inside == 0.0 {
        return None;
    }
    let share = deep / inside;
    // Variance of a ratio of two sums by its linear form.
    let spread: f64 = runs.iter().map(|(n, d)| (d - share * n).powi(2)).sum::<f64>();
    let error = 3.0 * (spread * BLOCKS as f64 / (BLOCKS as f64 - 1.0)).sqrt() / inside;
    Some([share, (share - error).max(0.0), (share + error).min(1.0)])
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
