//! The smallest circle round points in the plane: the footprint a vessel must take.
//!
//! Convex hull by monotone chain (A. M. Andrew, Inf. Process. Lett. 9 (1979) 216), then the smallest circle by adding points
//! one by one (E. Welzl, LNCS 555 (1991) 359), without shuffling: the hull is small and the answer must repeat.

use std::cmp::Ordering;

/// A point in the plane, millimetres.
pub(super) type P2 = [f64; 2];

/// A circle, millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Circle {
    pub centre: P2,
    pub radius: f64,
}

/// The smallest circle that holds a convex hull; radius 0 at the origin when it is empty.
pub(super) fn smallest(hull: &[P2]) -> Circle {
    let mut circle = Circle { centre: hull.first().copied().unwrap_or([0.0; 2]), radius: 0.0 };
    for i in 1..hull.len() {
        if circle.holds(hull[i]) {
            continue;
        }
        circle = Circle { centre: hull[i], radius: 0.0 };
        for j in 0..i {
            if circle.holds(hull[j]) {
                continue;
            }
            circle = between(hull[i], hull[j]);
            for k in 0..j {
                if !circle.holds(hull[k]) {
                    circle = through(hull[i], hull[j], hull[k]);
                }
            }
        }
    }
    circle
}

impl Circle {
    fn holds(&self, p: P2) -> bool {
        // One part in 1e12 of slack: a point on the rim must not start a new search for ever smaller gains.
        let reach = self.radius * (1.0 + 1e-12);
        let (x, y) = (self.centre[0] - p[0], self.centre[1] - p[1]);
        x * x + y * y <= reach * reach
    }
}

fn distance(a: P2, b: P2) -> f64 {
    libm::hypot(a[0] - b[0], a[1] - b[1])
}

fn between(a: P2, b: P2) -> Circle {
    let centre = [f64::midpoint(a[0], b[0]), f64::midpoint(a[1], b[1])];
    Circle { centre, radius: distance(centre, a).max(distance(centre, b)) }
}

fn through(a: P2, b: P2, c: P2) -> Circle {
    let (u, v) = ([b[0] - a[0], b[1] - a[1]], [c[0] - a[0], c[1] - a[1]]);
    let twice = 2.0 * (u[0] * v[1] - u[1] * v[0]);
    let (uu, vv) = (u[0] * u[0] + u[1] * u[1], v[0] * v[0] + v[1] * v[1]);
    let centre = [a[0] + (v[1] * uu - u[1] * vv) / twice, a[1] + (u[0] * vv - v[0] * uu) / twice];
    if centre.iter().all(|c| c.is_finite()) {
        Circle { centre, radius: distance(centre, a).max(distance(centre, b)).max(distance(centre, c)) }
    } else {
        // Three points on a line: the two farthest apart decide.
        [between(a, b), between(b, c), between(a, c)]
            .into_iter()
            .max_by(|x, y| x.radius.total_cmp(&y.radius))
            .unwrap_or(Circle { centre: a, radius: 0.0 })
    }
}

/// Convex hull, counter-clockwise, without points on its edges.
pub(super) fn hull(points: impl Iterator<Item = P2> + Clone) -> Vec<P2> {
    let mut points = outermost(points);
    // Coordinates are numbers, so every two of them compare.
    let compare = |a: f64, b: f64| a.partial_cmp(&b).unwrap_or(Ordering::Equal);
    points.sort_unstable_by(|a, b| compare(a[0], b[0]).then_with(|| compare(a[1], b[1])));
    points.dedup();
    if points.len() < 3 {
        return points;
    }
    let turn = |o: P2, a: P2, b: P2| (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0]);
    let half = |points: &mut dyn Iterator<Item = P2>| {
        let mut chain: Vec<P2> = Vec::new();
        for p in points {
            while let [.., o, a] = chain.as_slice()
                && turn(*o, *a, p) <= 0.0
            {
                chain.pop();
            }
            chain.push(p);
        }
        chain.pop();
        chain
    };
    let mut hull = half(&mut points.iter().copied());
    hull.extend(half(&mut points.iter().rev().copied()));
    hull
}

/// The points farthest out in eight directions, and those outside the polygon that they make: the rest cannot be on the
/// hull (S. G. Akl and G. T. Toussaint, Inf. Process. Lett. 7 (1978) 219, from memory).
fn outermost(points: impl Iterator<Item = P2> + Clone) -> Vec<P2> {
    let mut far = [(f64::NEG_INFINITY, [0.0; 2]); 8];
    for p in points.clone() {
        let [x, y] = p;
        let reaches = [x, x + y, y, y - x, -x, -x - y, -y, x - y];
        for ((most, at), reach) in far.iter_mut().zip(reaches) {
            if reach > *most {
                (*most, *at) = (reach, p);
            }
        }
    }
    let mut corners: Vec<P2> = far.iter().filter(|(most, _)| most.is_finite()).map(|(_, p)| *p).collect();
    corners.dedup();
    // Each edge by its beginning and where it goes from there.
    let edges: Vec<(P2, P2)> = (0..corners.len())
        .map(|i| (corners[i], corners[(i + 1) % corners.len()]))
        .filter(|(a, b)| a != b)
        .map(|(a, b)| (a, [b[0] - a[0], b[1] - a[1]]))
        .collect();
    let outside =
        |p: &P2| edges.is_empty() || edges.iter().any(|(a, to)| to[0] * (p[1] - a[1]) - to[1] * (p[0] - a[0]) < 0.0);
    let mut kept: Vec<P2> = points.filter(outside).collect();
    kept.extend(corners);
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rectangle_triangle_and_line() {
        let c = smallest(&hull([[0.0, 0.0], [3.0, 0.0], [3.0, 4.0], [0.0, 4.0], [1.0, 1.0]].into_iter()));
        assert!((c.radius - 2.5).abs() < 1e-12 && (c.centre[0] - 1.5).abs() < 1e-12);
        let c = smallest(&[[0.0, 0.0], [1.0, 0.0], [0.5, 0.75_f64.sqrt()]]);
        assert!((c.radius - 1.0 / 3.0_f64.sqrt()).abs() < 1e-12);
        let c = smallest(&hull((0..10).map(|i| [f64::from(i), f64::from(2 * i)])));
        assert!((c.radius - 9.0 * 5.0_f64.sqrt() / 2.0).abs() < 1e-9);
        assert_eq!(smallest(&[]).radius, 0.0);
    }
    #[test]
    fn the_hull_leaves_nothing_outside_and_has_no_needless_corner() {
        // Points of a spiral over a grid: repeated, on lines, inside and outside of each other.
        let points: Vec<P2> = (0..400)
            .map(|i| {
                let t = f64::from(i % 200) * 0.37;
                [(libm::cos(t) * t * 8.0).round() / 8.0, (libm::sin(t) * t * 4.0).round() / 4.0]
            })
            .collect();
        let hull = hull(points.iter().copied());
        let turn = |a: P2, b: P2, p: P2| (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]);
        for i in 0..hull.len() {
            let (a, b, c) = (hull[i], hull[(i + 1) % hull.len()], hull[(i + 2) % hull.len()]);
            assert!(points.iter().all(|p| turn(a, b, *p) >= 0.0), "{a:?} {b:?}");
            assert!(turn(a, b, c) > 0.0 && points.contains(&a));
        }
    }
}
