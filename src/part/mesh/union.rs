//! The outer surface of bodies that overlap: every triangle cut where others pass through it, and only the pieces kept that
//! lie between inside and outside of the whole.
//!
//! The pieces need not fit corner to corner: everything asked of the surface is an integral over it. A surface that bounds
//! a volume has integrals of x n_x, y n_y and z n_z that agree, and every mixed one is zero; the answer is only believed
//! when that holds.

use super::boxes::{Boxes, winding};
use super::fans;
use super::pairs::Near;
use super::triangles::Triangles;
use super::vector::{Tri, V3, add, cross, dot, higher, lower, norm, normal2, scale, sub};

/// Pairs of triangles tested for each triangle, on average, before the search is given up.
const MOST_PAIRS_EACH: usize = 400;
/// Cuts through one triangle before the search is given up (the work goes with the square).
const MOST_CUTS: usize = 1500;
/// Lines looked at in the strips of all triangles together before it is given up: some seconds.
const MOST_WORK: usize = 500_000_000;
/// Up to this many bodies all triangles are gone through to see whether one lies in another.
const FEW_BODIES: usize = 8;
/// How far two points of view on the volume may be apart, relative: an order below what the volume is asked for.
const AGREE: f64 = 1e-7;

/// What came out.
#[derive(Debug, PartialEq)]
pub(super) enum Outcome {
    /// No triangle crosses or lies on another, and no body lies in another: the surface as it was is the outer one.
    Apart,
    /// The outer surface.
    Joined(Vec<Tri>),
    /// Overlaps were found but not worked out reliably.
    Failed,
}

/// Finds the outer surface of outward bodies; `body` is the body of each triangle.
pub(super) fn outer(surface: &Triangles, body: &[u32]) -> Outcome {
    let near = Near::new(surface);
    let Some((low, high)) = near.room() else { return Outcome::Apart };
    let size = norm(sub(high, low));
    let step = 1e-8 * size;
    let Some(cuts) = Search::new(surface, 1e-11 * size).cuts(near) else { return Outcome::Failed };
    if cuts.is_empty() {
        return drop_nested(surface, body, step);
    }
    let triangles: Vec<Tri> = surface.each().collect();
    let work = Work { triangles: &triangles, tree: &Boxes::new(&triangles), step };
    let mut surface = Vec::with_capacity(triangles.len());
    let mut next = cuts.iter().peekable();
    let mut work_left = MOST_WORK;
    for i in 0..triangles.len() as u32 {
        let mut own = Vec::new();
        while let Some(cut) = next.next_if(|c| c.on == i) {
            own.push(cut);
        }
        if own.len() > MOST_CUTS {
            return Outcome::Failed;
        }
        if work.keep_visible(i, &own, &mut surface, &mut work_left).is_none() {
            return Outcome::Failed;
        }
    }
    if closes(&surface) { Outcome::Joined(surface) } else { Outcome::Failed }
}

/// Another triangle passes through or lies on this one.
#[derive(Debug, Clone, Copy)]
struct Cut {
    on: u32,
    other: u32,
    from: V3,
    to: V3,
    /// The other lies in the plane of this one, facing the same way (then `from` to `to` is one of its sides).
    same_plane: bool,
}

/// The search for cuts.
struct Search<'a> {
    surface: &'a Triangles,
    /// Unit normals; zero for a triangle without area.
    normals: Vec<V3>,
    /// Of each point whether no two faces cross round it.
    plain: Vec<bool>,
    /// Nearer than this is touching.
    touch: f64,
}

/// A triangle with what is asked about it.
struct Face<'a> {
    number: u32,
    points: [u32; 3],
    corners: [&'a V3; 3],
    normal: &'a V3,
}

impl Face<'_> {
    fn triangle(&self) -> Tri {
        self.corners.map(|p| *p)
    }

    /// The heights of the corners of another over the plane of this one.
    fn heights(&self, other: &Face<'_>) -> [f64; 3] {
        other.corners.map(|p| dot(sub(*p, *self.corners[0]), *self.normal))
    }
}

impl<'a> Search<'a> {
    fn new(surface: &'a Triangles, touch: f64) -> Self {
        let normals: Vec<V3> = surface.each().map(|t| unit_normal(&t).unwrap_or_default()).collect();
        let plain = fans::plain(surface, &normals);
        Search { surface, normals, plain, touch }
    }

    /// All cuts, sorted by the triangle they are on. `None` when there are too many pairs to test.
    fn cuts(&self, near: Near) -> Option<Vec<Cut>> {
        let mut cuts = Vec::new();
        let mut pairs = 0_usize;
        let most = 1_000_000 + MOST_PAIRS_EACH * self.surface.len();
        near.pairs(self.touch, |i, others| {
            let one = self.face(i);
            // Two faces that share a plain point do not cross.
            let [a, b, c] = one.points.map(|p| if self.plain[p as usize] { p } else { NONE });
            for &j in others {
                let [p, q, r] = self.surface.faces[j as usize];
                let shared = |s: u32| s == p || s == q || s == r;
                if shared(a) || shared(b) || shared(c) {
                    continue;
                }
                let other = self.face(j);
                if i < j { self.meet(&one, &other, &mut cuts) } else { self.meet(&other, &one, &mut cuts) }
            }
            pairs += others.len();
            pairs < most
        });
        cuts.sort_by_key(|c| (c.on, c.other));
        (pairs < most).then_some(cuts)
    }

    fn face(&self, number: u32) -> Face<'_> {
        let points = self.surface.faces[number as usize];
        let corners = points.map(|p| &self.surface.points[p as usize]);
        Face { number, points, corners, normal: &self.normals[number as usize] }
    }

    fn meet(&self, a: &Face<'_>, b: &Face<'_>, cuts: &mut Vec<Cut>) {
        let db = a.heights(b);
        let b_lies = Lies::at(db, self.touch);
        // A triangle without area has no plane, and cuts nothing.
        if b_lies == Lies::Aside || *a.normal == [0.0; 3] || *b.normal == [0.0; 3] {
            return;
        }
        let da = b.heights(a);
        let a_lies = Lies::at(da, self.touch);
        if b_lies == Lies::Within || a_lies == Lies::Within {
            // Faces that share an edge may lie beside each other, folded back, or one over the other.
            self.flat(a, b, cuts);
            return;
        }
        let shared = |p: &&u32| b.points.contains(p);
        if a_lies == Lies::Aside || a.points.iter().filter(shared).count() >= 2 {
            return;
        }
        let along = cross(*a.normal, *b.normal);
        let touching = |d: [f64; 3]| d.map(|d| if d.abs() <= self.touch { 0.0 } else { d });
        let spans = span(&a.triangle(), &touching(da), along).zip(span(&b.triangle(), &touching(db), along));
        let Some((ra, rb)) = spans else { return };
        let from = if ra.0.0 > rb.0.0 { ra.0 } else { rb.0 };
        let to = if ra.1.0 < rb.1.0 { ra.1 } else { rb.1 };
        if to.0 > from.0 && norm(sub(to.1, from.1)) > 4.0 * self.touch {
            for (on, other) in [(a.number, b.number), (b.number, a.number)] {
                cuts.push(Cut { on, other, from: from.1, to: to.1, same_plane: false });
            }
        }
    }

    /// Triangles in one plane: each is cut by the sides of the other.
    fn flat(&self, a: &Face<'_>, b: &Face<'_>, cuts: &mut Vec<Cut>) {
        let drop = main_axis(normal2(&a.triangle()));
        let flat = |f: &Face<'_>| f.corners.map(|p| flatten(*p, drop));
        if !shadows_overlap(&flat(a), &flat(b), self.touch) {
            return;
        }
        let same_plane = dot(*a.normal, *b.normal) > 0.0;
        for (on, other) in [(a, b), (b, a)] {
            let t = other.triangle();
            for k in 0..3 {
                let (from, to) = (t[k], t[(k + 1) % 3]);
                cuts.push(Cut { on: on.number, other: other.number, from, to, same_plane });
            }
        }
    }
}

/// No face is cut: a body lies wholly inside or outside the others, and one inside adds nothing.
fn drop_nested(surface: &Triangles, body: &[u32], step: f64) -> Outcome {
    let bodies = body.iter().max().map_or(0, |b| *b as usize + 1);
    // A tree pays only when many ask.
    let triangles: Vec<Tri> = if bodies > FEW_BODIES { surface.each().collect() } else { Vec::new() };
    let tree = Boxes::new(&triangles);
    let winding = |p: V3| if bodies > FEW_BODIES { tree.winding(p) } else { winding(surface.each(), p) };
    let mut keep: Vec<Option<bool>> = vec![None; bodies];
    for (t, &b) in surface.each().zip(body) {
        if keep[b as usize].is_none()
            && let Some(n) = unit_normal(&t)
        {
            let outside = add(middle(&t), scale(n, step));
            keep[b as usize] = Some(winding(outside) < 1);
        }
    }
    if keep.iter().all(|k| *k != Some(false)) {
        return Outcome::Apart;
    }
    let kept = surface.each().zip(body).filter(|(_, b)| keep[**b as usize] != Some(false));
    Outcome::Joined(kept.map(|(t, _)| t).collect())
}

/// What is cut, piece by piece.
struct Work<'a> {
    triangles: &'a [Tri],
    tree: &'a Boxes<'a>,
    /// How far beside a face it is asked what is there.
    step: f64,
}

impl Work<'_> {
    /// Adds the pieces of a triangle that lie between inside and outside of the whole.
    /// `None` when the work allowed is used up.
    fn keep_visible(&self, i: u32, cuts: &[&Cut], surface: &mut Vec<Tri>, work_left: &mut usize) -> Option<()> {
        let t = &self.triangles[i as usize];
        let Some(n) = unit_normal(t) else { return Some(()) };
        let doubles: Vec<&Tri> = {
            let mut others: Vec<u32> = cuts.iter().filter(|c| c.same_plane && c.other < i).map(|c| c.other).collect();
            others.dedup();
            others.into_iter().map(|o| &self.triangles[o as usize]).collect()
        };
        let drop = main_axis(n);
        let visible = |p: V3| {
            let flat = flatten(p, drop);
            // Of faces that lie on each other, the first stands for all.
            !doubles.iter().any(|d| in_shadow(&d.map(|q| flatten(q, drop)), flat))
                && self.tree.winding(add(p, scale(n, self.step))) < 1
                && self.tree.winding(sub(p, scale(n, self.step))) >= 1
        };
        if cuts.is_empty() {
            if visible(middle(t)) {
                surface.push(*t);
            }
            return Some(());
        }
        let segments: Vec<[P2; 2]> = cuts.iter().map(|c| [flatten(c.from, drop), flatten(c.to, drop)]).collect();
        for piece in pieces(&t.map(|p| flatten(p, drop)), &segments, work_left)? {
            let mut piece: Tri = piece.map(|p| lift(p, t[0], n, drop));
            if dot(normal2(&piece), n) < 0.0 {
                piece.swap(1, 2);
            }
            if visible(middle(&piece)) {
                surface.push(piece);
            }
        }
        Some(())
    }
}

/// How a triangle lies to a plane.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Lies {
    Within,
    /// On one side, touching in a corner at most.
    Aside,
    /// On both sides, or on one and touching along an edge.
    Across,
}

impl Lies {
    /// By the heights of the corners over the plane.
    fn at([a, b, c]: [f64; 3], touch: f64) -> Self {
        let (low, high) = (lower(a, b), higher(a, b));
        let middle = higher(low, lower(high, c));
        match (lower(low, c) < -touch, higher(high, c) > touch) {
            (false, false) => Lies::Within,
            (false, true) if middle > touch => Lies::Aside,
            (true, false) if middle < -touch => Lies::Aside,
            _ => Lies::Across,
        }
    }
}

type P2 = [f64; 2];

/// No point.
const NONE: u32 = u32::MAX;

fn middle(t: &Tri) -> V3 {
    scale(add(add(t[0], t[1]), t[2]), 1.0 / 3.0)
}

pub(super) fn unit_normal(t: &Tri) -> Option<V3> {
    let n = normal2(t);
    let length = norm(n);
    (length > 0.0).then(|| scale(n, 1.0 / length))
}

fn main_axis(n: V3) -> usize {
    let [x, y, z] = n.map(f64::abs);
    if z >= x && z >= y {
        2
    } else if y >= x {
        1
    } else {
        0
    }
}

/// The point without one of its coordinates.
fn flatten(p: V3, drop: usize) -> P2 {
    [p[(drop + 1) % 3], p[(drop + 2) % 3]]
}

/// The point of the plane through `o` with normal `n` whose shadow is `p`.
fn lift(p: P2, o: V3, n: V3, drop: usize) -> V3 {
    let (u, v) = ((drop + 1) % 3, (drop + 2) % 3);
    let mut q = [0.0; 3];
    (q[u], q[v]) = (p[0], p[1]);
    q[drop] = o[drop] - (n[u] * (p[0] - o[u]) + n[v] * (p[1] - o[v])) / n[drop];
    q
}

/// Where a triangle meets the other's plane, as two points ordered along a direction, each with its place along it.
fn span(t: &Tri, d: &[f64; 3], along: V3) -> Option<((f64, V3), (f64, V3))> {
    let mut ends: Option<((f64, V3), (f64, V3))> = None;
    let mut take = |p: V3| {
        let end = (dot(p, along), p);
        let (low, high) = ends.get_or_insert((end, end));
        if end.0 < low.0 {
            *low = end;
        }
        if end.0 > high.0 {
            *high = end;
        }
    };
    for i in 0..3 {
        let j = (i + 1) % 3;
        if d[i] == 0.0 {
            take(t[i]);
        }
        if d[i] * d[j] < 0.0 {
            take(add(t[i], scale(sub(t[j], t[i]), d[i] / (d[i] - d[j]))));
        }
    }
    ends
}

fn turn(a: P2, b: P2, c: P2) -> f64 {
    (b[0] - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (b[1] - a[1])
}

fn in_shadow(t: &[P2; 3], p: P2) -> bool {
    let s = [turn(t[0], t[1], p), turn(t[1], t[2], p), turn(t[2], t[0], p)];
    s.iter().all(|s| *s >= 0.0) || s.iter().all(|s| *s <= 0.0)
}

/// Whether two flat triangles share more than their rims: no side of either separates them.
fn shadows_overlap(a: &[P2; 3], b: &[P2; 3], touch: f64) -> bool {
    let separates = |t: &[P2; 3], o: &[P2; 3]| {
        let whole = turn(t[0], t[1], t[2]).signum();
        (0..3).any(|i| {
            let (p, q) = (t[i], t[(i + 1) % 3]);
            let near = touch * ((q[0] - p[0]) * (q[0] - p[0]) + (q[1] - p[1]) * (q[1] - p[1])).sqrt();
            o.iter().all(|&r| turn(p, q, r) * whole <= near)
        })
    };
    !separates(a, b) && !separates(b, a)
}

/// A flat triangle cut along segments, as small triangles: between neighbouring corners and crossings from left to right
/// nothing crosses, so each such strip falls into trapezia. `None` when the work allowed is used up.
fn pieces(t: &[P2; 3], segments: &[[P2; 2]], work_left: &mut usize) -> Option<Vec<[P2; 3]>> {
    let sides = (0..3).map(|i| [t[i], t[(i + 1) % 3]]);
    let lines: Vec<[P2; 2]> =
        sides.chain(segments.iter().copied()).map(|[a, b]| if a[0] <= b[0] { [a, b] } else { [b, a] }).collect();
    let left = t.iter().map(|p| p[0]).fold(f64::INFINITY, f64::min);
    let right = t.iter().map(|p| p[0]).fold(f64::NEG_INFINITY, f64::max);
    let mut stops: Vec<f64> = lines.iter().flatten().map(|p| p[0].clamp(left, right)).collect();
    for (i, a) in lines.iter().enumerate() {
        for b in &lines[i + 1..] {
            stops.extend(crossing(a, b).filter(|x| (left..=right).contains(x)));
        }
    }
    stops.sort_unstable_by(f64::total_cmp);
    stops.dedup();
    *work_left = work_left.checked_sub(stops.len() * lines.len())?;
    let mut found = Vec::new();
    for strip in stops.windows(2) {
        let (x0, x1) = (strip[0], strip[1]);
        let mid = f64::midpoint(x0, x1);
        if mid <= x0 || mid >= x1 {
            continue;
        }
        // (height in the middle, at the left, at the right, whether it is a side of the triangle itself)
        let mut across: Vec<(f64, f64, f64, bool)> = lines
            .iter()
            .enumerate()
            .filter(|(_, l)| l[0][0] <= x0 && l[1][0] >= x1)
            .map(|(i, l)| (height(l, mid), height(l, x0), height(l, x1), i < 3))
            .collect();
        across.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
        let inner = across.iter().position(|l| l.3).unwrap_or(0)..=across.iter().rposition(|l| l.3).unwrap_or(0);
        for pair in across[inner].windows(2) {
            let (below, above) = (pair[0], pair[1]);
            let [a, b, c, d] = [[x0, below.1], [x1, below.2], [x1, above.2], [x0, above.1]];
            found.extend([[a, b, c], [a, c, d]].into_iter().filter(|p| turn(p[0], p[1], p[2]) != 0.0));
        }
    }
    Some(found)
}

fn height(l: &[P2; 2], x: f64) -> f64 {
    let t = (x - l[0][0]) / (l[1][0] - l[0][0]);
    l[0][1] + t * (l[1][1] - l[0][1])
}

/// Where two segments cross, along the first coordinate.
fn crossing(a: &[P2; 2], b: &[P2; 2]) -> Option<f64> {
    let (u, v) = ([a[1][0] - a[0][0], a[1][1] - a[0][1]], [b[1][0] - b[0][0], b[1][1] - b[0][1]]);
    let w = [b[0][0] - a[0][0], b[0][1] - a[0][1]];
    let det = u[0] * v[1] - u[1] * v[0];
    let s = (w[0] * v[1] - w[1] * v[0]) / det;
    let r = (w[0] * u[1] - w[1] * u[0]) / det;
    let inside = |x: f64| x > -1e-9 && x < 1.0 + 1e-9;
    (det != 0.0 && inside(s) && inside(r)).then(|| a[0][0] + s * u[0])
}

/// Whether a surface bounds a volume: nine integrals over it, three equal and six zero.
fn closes(surface: &[Tri]) -> bool {
    let mut sums = [[0.0; 3]; 3];
    let mut face = [0.0; 3];
    for t in surface {
        let n = normal2(t);
        for i in 0..3 {
            face[i] += n[i] / 2.0;
            for j in 0..3 {
                sums[i][j] += (t[0][i] + t[1][i] + t[2][i]) / 6.0 * n[j];
            }
        }
    }
    let volume = (sums[0][0] + sums[1][1] + sums[2][2]) / 3.0;
    let area: f64 = surface.iter().map(|t| norm(normal2(t)) / 2.0).sum();
    let fits = |i: usize, j: usize| (sums[i][j] - if i == j { volume } else { 0.0 }).abs() <= AGREE * volume.abs();
    norm(face) <= AGREE * area && (0..3).all(|i| (0..3).all(|j| fits(i, j)))
}

#[cfg(test)]
mod tests {
    use super::super::hull::box_of;
    use super::super::vector::volume6;
    use super::*;

    /// Boxes as bodies, with their union's volume.
    fn joined(boxes: &[(V3, V3)]) -> (Outcome, f64) {
        let tris: Vec<Tri> = boxes.iter().flat_map(|(l, h)| box_of(*l, *h)).collect();
        let body: Vec<u32> = (0..tris.len() as u32).map(|i| i / 12).collect();
        let found = outer(&Triangles::joined(&tris), &body);
        let volume = match &found {
            Outcome::Joined(s) => s.iter().map(volume6).sum::<f64>() / 6.0,
            _ => tris.iter().map(volume6).sum::<f64>() / 6.0,
        };
        (found, volume)
    }

    #[track_caller]
    fn check(boxes: &[(V3, V3)], volume: f64) {
        let (found, got) = joined(boxes);
        assert_ne!(found, Outcome::Failed);
        assert!((got - volume).abs() < 1e-6 * volume, "{got} instead of {volume}");
    }

    #[test]
    fn boxes_that_cross_touch_nest_and_repeat() {
        let unit = ([0.0; 3], [1.0; 3]);
        check(&[unit], 1.0);
        check(&[unit, ([0.5; 3], [1.5; 3])], 1.875);
        check(&[unit, ([2.0; 3], [3.0; 3])], 2.0);
        check(&[unit, ([0.25; 3], [0.75; 3])], 1.0);
        // Sharing a face, part of a face, an edge, a whole side of overlap, and all of it.
        check(&[unit, ([1.0, 0.0, 0.0], [2.0, 1.0, 1.0])], 2.0);
        check(&[unit, ([1.0, 0.25, 0.25], [2.0, 0.75, 2.0])], 1.0 + 0.5 * 1.75);
        check(&[unit, ([1.0, 1.0, 0.0], [2.0, 2.0, 1.0])], 2.0);
        check(&[unit, ([0.5, 0.0, 0.0], [1.5, 1.0, 1.0])], 1.5);
        check(&[unit, unit], 1.0);
        check(&[unit, unit, ([0.5, 0.0, 0.0], [1.5, 1.0, 1.0])], 1.5);
        // Two boxes of an L with a corner's edges in common: faces over each other that share an edge.
        check(&[([0.0; 3], [3.0, 1.0, 1.0]), ([0.0; 3], [1.0, 1.0, 4.0])], 6.0);
        // Standing on it, smaller.
        check(&[unit, ([0.25, 0.25, 1.0], [0.75, 0.75, 3.0])], 1.5);
    }
}
