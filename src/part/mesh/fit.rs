//! What a part needs around it: the tightest rectangle and, level by level, the round opening.

use super::circle::{Circle, P2};
use super::vector::{Tri, V3};

/// Levels a part is divided into for its reach (our choice: a cup that narrows by 16 mm over its height is judged to 0.1 mm).
pub(super) const LEVELS: usize = 128;

/// The rectangle of least area round a convex hull: length, width, and the angle of its length from the first axis in
/// degrees. One side of it lies along an edge of the hull (H. Freeman, R. Shapira, Commun. ACM 18 (1975) 409).
pub(super) fn rectangle(hull: &[P2]) -> (f64, f64, f64) {
    let extent = |u: [f64; 2]| {
        let along = hull.iter().map(|p| p[0] * u[0] + p[1] * u[1]);
        let (low, high) = along.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), a| (l.min(a), h.max(a)));
        (high - low).max(0.0)
    };
    let edges = hull.iter().zip(hull.iter().cycle().skip(1)).map(|(a, b)| [b[0] - a[0], b[1] - a[1]]);
    // As it lies first, so that a turn must gain something.
    let directions = std::iter::once([1.0, 0.0]).chain(edges);
    let mut best: Option<(f64, f64, f64)> = None;
    for d in directions {
        let length = libm::hypot(d[0], d[1]);
        if length == 0.0 {
            continue;
        }
        let u = [d[0] / length, d[1] / length];
        let (a, b) = (extent(u), extent([-u[1], u[0]]));
        let angle = libm::atan2(u[1], u[0]).to_degrees();
        let turned = if a >= b { (a, b, angle) } else { (b, a, angle + 90.0) };
        if best.is_none_or(|t| turned.0 * turned.1 < t.0 * t.1 * (1.0 - 1e-9)) {
            best = Some((turned.0, turned.1, turned.2.rem_euclid(180.0)));
        }
    }
    best.unwrap_or_default()
}

/// The largest distance of a surface from the axis of its enclosing circle in each of [`LEVELS`] equal levels of its height;
/// z up, lowest point at `lowest`.
pub(super) fn reach(surface: impl Iterator<Item = Tri>, axis: &Circle, lowest: f64, height: f64) -> Vec<f64> {
    let mut reach = vec![0.0_f64; LEVELS];
    let step = height / LEVELS as f64;
    let level = |z: f64| if step > 0.0 { (((z - lowest) / step) as usize).min(LEVELS - 1) } else { 0 };
    for t in surface {
        let low = t.iter().map(|p| p[2]).fold(f64::INFINITY, f64::min);
        let high = t.iter().map(|p| p[2]).fold(f64::NEG_INFINITY, f64::max);
        let mut take = |k: usize, p: V3| {
            let d = libm::hypot(p[0] - axis.centre[0], p[1] - axis.centre[1]);
            reach[k] = reach[k].max(d);
        };
        for p in t {
            take(level(p[2]), p);
        }
        // Where an edge passes from one level to the next it belongs to both.
        for k in level(low)..level(high) {
            let z = lowest + (k + 1) as f64 * step;
            for i in 0..3 {
                let (a, b) = (t[i], t[(i + 1) % 3]);
                if (a[2] - z) * (b[2] - z) < 0.0 {
                    let s = (z - a[2]) / (b[2] - a[2]);
                    let p = [a[0] + s * (b[0] - a[0]), a[1] + s * (b[1] - a[1]), z];
                    take(k, p);
                    take(k + 1, p);
                } else if a[2] == z {
                    take(k, a);
                    take(k + 1, a);
                }
            }
        }
    }
    reach
}

#[cfg(test)]
mod tests {
    use super::super::circle::hull;
    use super::*;

    #[test]
    fn a_turned_rectangle_is_found_and_a_square_stays_as_it_lies() {
        let (s, c) = libm::sincos(0.3);
        let turned = [[0.0, 0.0], [4.0, 0.0], [4.0, 2.0], [0.0, 2.0], [1.0, 1.0]]
            .map(|p: [f64; 2]| [c * p[0] - s * p[1], s * p[0] + c * p[1]]);
        let (l, w, angle) = rectangle(&hull(turned.iter().copied()));
        assert!((l - 4.0).abs() < 1e-12 && (w - 2.0).abs() < 1e-12 && (angle - 0.3_f64.to_degrees()).abs() < 1e-9);
        assert_eq!(rectangle(&[[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]]), (1.0, 1.0, 0.0));
        assert_eq!(rectangle(&[]), (0.0, 0.0, 0.0));
    }
}
