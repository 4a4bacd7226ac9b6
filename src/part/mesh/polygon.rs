//! Faces with more than three corners, as triangles. The signed volume is the same however they are cut; the area is not
//! when a corner points inwards, so such faces are cut ear by ear.

use super::vector::{V3, add, cross, dot, sub};

/// Corners of one face above which ears are not looked for (the search takes the square of the number).
const MOST_CORNERS_FOR_EARS: usize = 2000;

/// Cuts a face into triangles of its own corners.
pub(super) fn triangles(corners: &[u32], place: impl Fn(u32) -> V3) -> Vec<[u32; 3]> {
    let fan = || corners.windows(2).skip(1).map(|w| [corners[0], w[0], w[1]]).collect::<Vec<_>>();
    if corners.len() <= 3 || corners.len() > MOST_CORNERS_FOR_EARS {
        return fan();
    }
    let points: Vec<V3> = corners.iter().map(|&c| place(c)).collect();
    // Twice the area vector of the whole face, about its first corner.
    let whole = (1..points.len() - 1)
        .map(|i| cross(sub(points[i], points[0]), sub(points[i + 1], points[0])))
        .fold([0.0; 3], add);
    let turn = |a: V3, b: V3, c: V3| dot(cross(sub(b, a), sub(c, a)), whole);
    if (1..points.len() - 1).all(|i| turn(points[0], points[i], points[i + 1]) >= 0.0) {
        return fan();
    }
    let mut left: Vec<usize> = (0..points.len()).collect();
    let mut cut = Vec::with_capacity(points.len() - 2);
    while left.len() > 3 {
        let n = left.len();
        let ear = (0..n).find(|&i| {
            let (a, b, c) = (left[(i + n - 1) % n], left[i], left[(i + 1) % n]);
            let inside = |&p: &usize| {
                p != a
                    && p != b
                    && p != c
                    && turn(points[a], points[b], points[p]) >= 0.0
                    && turn(points[b], points[c], points[p]) >= 0.0
                    && turn(points[c], points[a], points[p]) >= 0.0
            };
            turn(points[a], points[b], points[c]) > 0.0 && !left.iter().any(inside)
        });
        // A face that crosses itself may have no ear; then any corner is cut, which keeps the signed volume.
        let i = ear.unwrap_or(0);
        cut.push([left[(i + n - 1) % n], left[i], left[(i + 1) % n]]);
        left.remove(i);
    }
    cut.push([left[0], left[1], left[2]]);
    cut.into_iter().map(|t| t.map(|i| corners[i])).collect()
}

#[cfg(test)]
mod tests {
    use super::super::vector::{norm, normal2};
    use super::*;

    #[test]
    fn an_arrow_keeps_its_area() {
        // A quadrilateral with one corner pointing inwards, wherever it begins: area 1/2 * 2 * (2 - 1) = 1.
        let points: [V3; 4] = [[0.0, 0.0, 0.0], [1.0, 1.0, 0.0], [2.0, 0.0, 0.0], [1.0, 2.0, 0.0]];
        for start in 0..4 {
            let corners: Vec<u32> = (0..4).map(|i| (i + start) % 4).collect();
            let cut = triangles(&corners, |i| points[i as usize]);
            let area: f64 = cut.iter().map(|t| norm(normal2(&t.map(|i| points[i as usize]))) / 2.0).sum();
            assert_eq!(cut.len(), 2);
            assert!((area - 1.0).abs() < 1e-12, "start {start}: {area}");
        }
    }
}
