//! Points round which a surface lies flat enough that the faces meeting there cannot cross: most points of most parts, so
//! that most pairs of faces need no closer look.
//!
//! Seen along an axis that all the faces round a point look towards, each face takes a sector, and all sectors are passed in
//! the same sense. Since the surface is closed, they go round the point a whole number of times. Once means that no two
//! sectors overlap, so that two of the faces have nothing in common but the point, or an edge they share.

use super::triangles::Triangles;
use super::vector::{V3, add, dot, sub};

/// Cosine of the angle to the axis that a face must stay within (our choice: far from edge-on, compared with rounding).
const LEAST_COSINE: f64 = 0.01;

/// Of each point of a closed surface, whether no two faces cross round it. `normals` are the unit normals of its triangles,
/// zero for one without area.
pub(super) fn plain(surface: &Triangles, normals: &[V3]) -> Vec<bool> {
    let mut axes = vec![[0.0; 3]; surface.points.len()];
    for (face, &n) in surface.faces.iter().zip(normals) {
        face.iter().for_each(|&p| axes[p as usize] = add(axes[p as usize], n));
    }
    // How often the faces go round each point; too often when they do not go round it at all.
    let mut turns = vec![0_u8; surface.points.len()];
    for ((face, t), &n) in surface.faces.iter().zip(surface.each()).zip(normals) {
        for k in 0..3 {
            let (axis, turns) = (&axes[face[k] as usize], &mut turns[face[k] as usize]);
            let cosine = dot(n, *axis);
            if !(cosine > 0.0 && cosine * cosine > LEAST_COSINE * LEAST_COSINE * dot(*axis, *axis)) {
                *turns = u8::MAX;
                continue;
            }
            // A turn passes once from behind to before the line that is square to the axis and to this.
            let before = square_to(*axis);
            let side = |p: &V3| dot(sub(*p, t[k]), before);
            let passes = side(&t[(k + 1) % 3]) < 0.0 && side(&t[(k + 2) % 3]) >= 0.0;
            *turns = turns.saturating_add(u8::from(passes));
        }
    }
    turns.into_iter().map(|t| t == 1).collect()
}

/// A direction square to another.
fn square_to(a: V3) -> V3 {
    if a[0].abs() > a[2].abs() { [-a[1], a[0], 0.0] } else { [0.0, -a[2], a[1]] }
}

#[cfg(test)]
mod tests {
    use super::super::hull::box_of;
    use super::super::union::unit_normal;
    use super::super::vector::Tri;
    use super::*;

    /// How many points of a surface may be passed over, and how many it has.
    fn passed(triangles: &[Tri]) -> (usize, usize) {
        let mesh = Triangles::joined(triangles);
        let normals: Vec<V3> = triangles.iter().map(|t| unit_normal(t).unwrap_or_default()).collect();
        let plain = plain(&mesh, &normals);
        (plain.iter().filter(|p| **p).count(), plain.len())
    }

    #[test]
    fn corners_of_a_box_are_plain_and_where_two_boxes_touch_they_are_not() {
        let one = box_of([0.0; 3], [1.0; 3]);
        assert_eq!(passed(&one), (8, 8));
        assert_eq!(passed(&[one.clone(), box_of([1.0; 3], [2.0; 3])].concat()), (14, 15));
        assert_eq!(passed(&[one.clone(), box_of([1.0, 1.0, 0.0], [2.0, 2.0, 1.0])].concat()), (12, 14));
        assert_eq!(passed(&[one.clone(), one].concat()), (0, 8));
    }

    #[test]
    fn a_point_that_the_surface_goes_round_twice_is_not_plain() {
        // Eight faces under a point, twice round and a little higher the second time, and as many below to close them.
        let rim = |i: usize| {
            let (i, quarter) = ((i % 8) as f64, std::f64::consts::FRAC_PI_2);
            [libm::cos(i * quarter), libm::sin(i * quarter), -0.5 - 0.01 * i]
        };
        let mut faces = Vec::new();
        for i in 0..8 {
            faces.push([[0.0, 0.0, 0.0], rim(i), rim(i + 1)]);
            faces.push([[0.0, 0.0, -5.0], rim(i + 1), rim(i)]);
        }
        let (plain, all) = passed(&faces);
        assert_eq!((plain, all), (8, 10));
    }
}
