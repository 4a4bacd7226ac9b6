//! The convex hull of points in space: the bound for a part whose surface is not closed.
//!
//! Quickhull (C. B. Barber, D. P. Dobkin, H. Huhdanpaa, ACM Trans. Math. Softw. 22 (1996) 469).

use super::vector::{Tri, V3, bounds, cross, dot, norm, scale, sub};
use std::collections::BTreeMap;

/// Facets made, those replaced again included, before the points are taken to lie badly: a few dozen for each are many.
const FACETS_FOR_ALL: usize = 10_000;
const FACETS_EACH: usize = 100;

/// So many times the slack a point may lie outside the finished hull.
const ROUNDING: f64 = 1e4;
/// A facet less high than so many times the slack, a millionth of the whole, is turned by its rounding a tenth as far as that.
const THIN: f64 = 1e7;

struct Facet {
    corners: [u32; 3],
    /// The facet across the edge from corner i to corner i + 1.
    beside: [u32; 3],
    normal: V3,
    offset: f64,
    outside: Vec<u32>,
    alive: bool,
}

/// What holds all points, as triangles facing outwards.
#[derive(Debug)]
pub(super) enum Bound {
    Hull(Vec<Tri>),
    /// The weaker bound, where points lie so badly that rounding spoils the hull.
    Box(Vec<Tri>),
}

impl Bound {
    pub(super) fn faces(&self) -> &[Tri] {
        match self {
            Bound::Hull(faces) | Bound::Box(faces) => faces,
        }
    }
}

/// The hull, or the box; `None` when all points lie in a plane.
pub(super) fn convex_hull(points: &[V3]) -> Option<Bound> {
    let (low, high) = bounds(points.iter().copied())?;
    let size = norm(sub(high, low));
    // Points nearer to a facet than this lie on it: a few hundred roundings of the largest coordinate difference.
    let slack = 1e-13 * size;
    let seed = simplex(points, slack)?;
    let hull = Build { points, slack, facets: Vec::new(), thin: false }.run(seed);
    Some(hull.map_or_else(|| Bound::Box(box_of(low, high)), Bound::Hull))
}

/// Four points that span the largest simplex found greedily.
fn simplex(points: &[V3], slack: f64) -> Option<[u32; 4]> {
    let farthest = |measure: &dyn Fn(V3) -> f64| -> Option<(u32, f64)> {
        let best = points.iter().enumerate().map(|(i, &p)| (i as u32, measure(p)));
        best.reduce(|a, b| if b.1 > a.1 { b } else { a })
    };
    let p = |i: u32| points[i as usize];
    let a = farthest(&|q| -q[0])?.0;
    let (b, far) = farthest(&|q| norm(sub(q, p(a))))?;
    let (c, wide) = farthest(&|q| norm(cross(sub(q, p(a)), sub(p(b), p(a)))))?;
    let n = cross(sub(p(b), p(a)), sub(p(c), p(a)));
    let (d, deep) = farthest(&|q| dot(sub(q, p(a)), n).abs())?;
    let flat = far <= slack || wide <= slack * far || deep <= slack * norm(n);
    let up = dot(sub(p(d), p(a)), n) > 0.0;
    (!flat).then_some(if up { [a, c, b, d] } else { [a, b, c, d] })
}

struct Build<'a> {
    points: &'a [V3],
    slack: f64,
    facets: Vec<Facet>,
    /// Whether any facet was so thin that points it should have seen may be lost.
    thin: bool,
}

impl Build<'_> {
    /// `None` when rounding broke the ring of facets seen from a point.
    fn run(mut self, [a, b, c, d]: [u32; 4]) -> Option<Vec<Tri>> {
        // a, b, c wind so that d is behind them.
        for (corners, beside) in
            [([a, b, c], [1, 2, 3]), ([b, a, d], [0, 3, 2]), ([c, b, d], [0, 1, 3]), ([a, c, d], [0, 2, 1])]
        {
            let facet = self.facet(corners, beside)?;
            self.push(facet);
        }
        let all: Vec<u32> = (0..self.points.len() as u32).collect();
        self.share_out(all, 0);
        let mut at = 0;
        while at < self.facets.len() {
            if self.facets.len() > FACETS_FOR_ALL + FACETS_EACH * self.points.len() {
                return None;
            }
            if self.facets[at].alive && !self.facets[at].outside.is_empty() {
                self.lift(at as u32)?;
            } else {
                at += 1;
            }
        }
        let alive = || self.facets.iter().filter(|f| f.alive);
        let bound = !self.thin || self.holds_all(alive());
        bound.then(|| alive().map(|f| f.corners.map(|i| self.points[i as usize])).collect())
    }

    /// Whether no point lies outside a facet by more than rounding: a facet between points that nearly lie on a line looks
    /// any way, and points that it should have seen are lost. A bound that is none is worse than a weaker one.
    fn holds_all<'f>(&self, mut facets: impl Iterator<Item = &'f Facet>) -> bool {
        let groups = Groups::new(self.points);
        facets.all(|f| {
            let outside = |p: V3| dot(f.normal, p) - f.offset > ROUNDING * self.slack;
            let farthest =
                |low: V3, high: V3| std::array::from_fn(|k| if f.normal[k] > 0.0 { high[k] } else { low[k] });
            !groups.any(&|low, high| outside(farthest(low, high)), &outside)
        })
    }

    fn push(&mut self, facet: Facet) {
        let [a, b, c] = facet.corners.map(|i| self.points[i as usize]);
        let longest = norm(sub(b, a)).max(norm(sub(c, b))).max(norm(sub(a, c)));
        self.thin |= norm(cross(sub(b, a), sub(c, a))) < THIN * self.slack * longest;
        self.facets.push(facet);
    }

    fn facet(&self, corners: [u32; 3], beside: [u32; 3]) -> Option<Facet> {
        let [a, b, c] = corners.map(|i| self.points[i as usize]);
        let n = cross(sub(b, a), sub(c, a));
        let length = norm(n);
        let normal = scale(n, 1.0 / length);
        (length > 0.0).then(|| Facet {
            corners,
            beside,
            normal,
            offset: dot(normal, a),
            outside: Vec::new(),
            alive: true,
        })
    }

    fn above(&self, facet: u32, point: u32) -> f64 {
        let f = &self.facets[facet as usize];
        dot(f.normal, self.points[point as usize]) - f.offset
    }

    /// Gives each point to the first facet from `first` on that sees it; points that none sees are inside.
    fn share_out(&mut self, points: Vec<u32>, first: usize) {
        for p in points {
            let seen = (first..self.facets.len()).find(|&f| self.above(f as u32, p) > self.slack);
            if let Some(f) = seen {
                self.facets[f].outside.push(p);
            }
        }
    }

    /// Takes the farthest point outside a facet into the hull.
    fn lift(&mut self, start: u32) -> Option<()> {
        let outside = &self.facets[start as usize].outside;
        let apex = outside.iter().map(|&p| (self.above(start, p), p)).reduce(|a, b| if b.0 > a.0 { b } else { a })?.1;
        let mut seen = vec![start];
        let mut loose = Vec::new();
        let mut rim: BTreeMap<u32, (u32, u32)> = BTreeMap::new();
        self.facets[start as usize].alive = false;
        let mut at = 0;
        while at < seen.len() {
            let f = seen[at];
            at += 1;
            // The point itself is a corner now, even where rounding puts it above its own facets.
            loose.extend(std::mem::take(&mut self.facets[f as usize].outside).into_iter().filter(|p| *p != apex));
            for side in 0..3 {
                let other = self.facets[f as usize].beside[side];
                if self.facets[other as usize].alive && self.above(other, apex) > self.slack {
                    self.facets[other as usize].alive = false;
                    seen.push(other);
                }
            }
        }
        for &f in &seen {
            for side in 0..3 {
                let facet = &self.facets[f as usize];
                let (from, to, other) = (facet.corners[side], facet.corners[(side + 1) % 3], facet.beside[side]);
                if self.facets[other as usize].alive && rim.insert(from, (to, other)).is_some() {
                    return None;
                }
            }
        }
        let first = self.facets.len() as u32;
        let count = rim.len() as u32;
        let (&begin, _) = rim.first_key_value()?;
        let mut from = begin;
        for k in 0..count {
            let (to, other) = rim.remove(&from)?;
            let beside = [other, first + (k + 1) % count, first + (k + count - 1) % count];
            let facet = self.facet([from, to, apex], beside)?;
            self.push(facet);
            let edge = self.facets[other as usize].corners.iter().position(|&c| c == to)?;
            self.facets[other as usize].beside[edge] = first + k;
            from = to;
        }
        if from != begin {
            return None;
        }
        self.share_out(loose, first as usize);
        Some(())
    }
}

/// Points in groups, and groups of groups, each with the box round it. Neighbours in a file are mostly neighbours in space.
struct Groups<'a> {
    points: &'a [V3],
    /// Boxes round the groups, the smallest groups first.
    levels: Vec<Vec<(V3, V3)>>,
}

/// Members of a group.
const GROUP: usize = 16;

impl Groups<'_> {
    fn new(points: &[V3]) -> Groups<'_> {
        let round = |points: &mut dyn Iterator<Item = V3>| bounds(points).unwrap_or_default();
        let mut levels = vec![points.chunks(GROUP).map(|group| round(&mut group.iter().copied())).collect::<Vec<_>>()];
        while let Some(last) = levels.last().filter(|last| last.len() > 1) {
            let corners = |group: &[(V3, V3)]| round(&mut group.iter().flat_map(|&(low, high)| [low, high]));
            levels.push(last.chunks(GROUP).map(corners).collect());
        }
        Groups { points, levels }
    }

    /// Whether a point is a hit, looking only into boxes that may hold one.
    fn any(&self, may: &impl Fn(V3, V3) -> bool, hit: &impl Fn(V3) -> bool) -> bool {
        let mut stack = vec![(self.levels.len(), 0)];
        while let Some((level, i)) = stack.pop() {
            let members = i * GROUP..(i + 1) * GROUP;
            if level == 0 {
                if self.points[members.start..members.end.min(self.points.len())].iter().any(|p| hit(*p)) {
                    return true;
                }
                continue;
            }
            let boxes = &self.levels[level - 1];
            for (member, (low, high)) in boxes.iter().enumerate().take(members.end).skip(members.start) {
                if may(*low, *high) {
                    stack.push((level - 1, member));
                }
            }
        }
        false
    }
}

/// A box as twelve triangles facing outwards.
pub(super) fn box_of(low: V3, high: V3) -> Vec<Tri> {
    let corner = |i: usize| -> V3 { std::array::from_fn(|k| if i >> k & 1 == 1 { high[k] } else { low[k] }) };
    let quads = [[0, 2, 3, 1], [4, 5, 7, 6], [0, 1, 5, 4], [2, 6, 7, 3], [0, 4, 6, 2], [1, 3, 7, 5]];
    quads.iter().flat_map(|&[a, b, c, d]| [[a, b, c], [a, c, d]]).map(|face| face.map(corner)).collect()
}

#[cfg(test)]
mod tests {
    use super::super::vector::volume6;
    use super::*;

    /// The faces of what must be a hull.
    fn hull_of(points: &[V3]) -> Vec<Tri> {
        match convex_hull(points).unwrap() {
            Bound::Hull(faces) => faces,
            Bound::Box(_) => panic!("a box"),
        }
    }

    fn volume(hull: &[Tri]) -> f64 {
        hull.iter().map(volume6).sum::<f64>() / 6.0
    }

    #[test]
    fn a_grid_of_points_has_its_box_as_hull() {
        let points: Vec<V3> =
            (0..1000).map(|i| [f64::from(i % 10), f64::from(i / 10 % 10) * 0.3, f64::from(i / 100) * 7.0]).collect();
        let hull = hull_of(&points);
        assert!((volume(&hull) - 9.0 * 2.7 * 63.0).abs() < 1e-9);
    }

    #[test]
    fn points_on_a_sphere_are_all_corners() {
        let points: Vec<V3> = (0..2000)
            .map(|i| {
                let (z, phi) = (1.0 - (2.0 * f64::from(i) + 1.0) / 2000.0, f64::from(i) * 2.399_963_229_728_653);
                let r = (1.0 - z * z).sqrt();
                [r * libm::cos(phi), r * libm::sin(phi), z]
            })
            .collect();
        let hull = hull_of(&points);
        assert_eq!(hull.len(), 2 * 2000 - 4);
        let round = 4.0 / 3.0 * std::f64::consts::PI;
        assert!(volume(&hull) < round && volume(&hull) > 0.99 * round);
    }

    #[test]
    fn a_point_left_outside_is_noticed() {
        let mut points: Vec<V3> = vec![[0.0; 3], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
        let facet = |of: &Build, corners| of.facet(corners, [0; 3]).unwrap();
        for (more, holds) in [([0.2; 3], true), ([0.3, 0.3, 0.3], true), ([0.5; 3], false)] {
            points.push(more);
            let build = Build { points: &points, slack: 1e-13, facets: Vec::new(), thin: false };
            assert_eq!(build.holds_all([facet(&build, [1, 2, 3])].iter()), holds, "{more:?}");
        }
        // The same in a crowd, wherever it stands.
        for at in [3, 4, 5, 17, 300, 4999] {
            let mut crowd: Vec<V3> = (0..5000).map(|i| [f64::from(i % 17) * 0.02; 3]).collect();
            crowd[..3].copy_from_slice(&[[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]);
            let holds = |crowd: &[V3]| {
                let build = Build { points: crowd, slack: 1e-13, facets: Vec::new(), thin: false };
                build.holds_all([facet(&build, [0, 1, 2])].iter())
            };
            assert!(holds(&crowd));
            crowd[at] = [0.5; 3];
            assert!(!holds(&crowd), "{at}");
        }
    }

    #[test]
    fn flat_points_have_no_hull() {
        let points: Vec<V3> = (0..10).map(|i| [f64::from(i), f64::from(i * i), 0.0]).collect();
        assert!(convex_hull(&points).is_none());
        assert!(convex_hull(&[]).is_none());
    }

    #[test]
    fn the_box_faces_outwards() {
        assert!((volume(&box_of([1.0, 2.0, 3.0], [2.0, 4.0, 6.0])) - 6.0).abs() < 1e-12);
    }
}
