//! Solids with exact volumes, written as ASCII STL in full doubles so that nothing is rounded on the way.

use bathwright::part::mesh::{Solid, read};

pub type P = [f64; 3];
pub type Triangles = Vec<[P; 3]>;

/// An ASCII STL.
pub fn stl(triangles: &[[P; 3]]) -> Vec<u8> {
    let mut text = String::from("solid made\n");
    for t in triangles {
        text.push_str("facet normal 0 0 0\nouter loop\n");
        for p in t {
            text.push_str(&format!("vertex {:?} {:?} {:?}\n", p[0], p[1], p[2]));
        }
        text.push_str("endloop\nendfacet\n");
    }
    text.push_str("endsolid\n");
    text.into_bytes()
}

/// A binary STL.
pub fn binary_stl(triangles: &[[P; 3]]) -> Vec<u8> {
    let mut bytes = vec![b' '; 80];
    bytes.extend((triangles.len() as u32).to_le_bytes());
    for t in triangles {
        bytes.extend([0; 12]);
        t.iter().flatten().for_each(|c| bytes.extend((*c as f32).to_le_bytes()));
        bytes.extend([0; 2]);
    }
    bytes
}

/// The solid, which must come without warnings.
#[track_caller]
pub fn solid(triangles: &[[P; 3]]) -> Solid {
    let (solid, warnings) = read(&stl(triangles), "made.stl", None).unwrap();
    assert_eq!(warnings, []);
    solid
}

/// A box between two corners.
pub fn cuboid(a: P, b: P) -> Triangles {
    let c = |i: usize| {
        [if i & 1 > 0 { b[0] } else { a[0] }, if i & 2 > 0 { b[1] } else { a[1] }, if i & 4 > 0 { b[2] } else { a[2] }]
    };
    [[0, 2, 3, 1], [4, 5, 7, 6], [0, 1, 5, 4], [2, 6, 7, 3], [0, 4, 6, 2], [1, 3, 7, 5]]
        .iter()
        .flat_map(|q| [[q[0], q[1], q[2]], [q[0], q[2], q[3]]])
        .map(|t| t.map(c))
        .collect()
}

/// A body of `n` facets round the z axis from a profile of (radius, height), outside on the right going up; ends on the
/// axis or closes on itself.
pub fn turned(profile: &[(f64, f64)], n: usize) -> Triangles {
    let at = |(r, z): (f64, f64), k: usize| {
        // The last facet must end exactly where the first begins, and the axis is one point.
        let phi = std::f64::consts::TAU * (k % n) as f64 / n as f64;
        if r == 0.0 { [0.0, 0.0, z] } else { [r * phi.cos(), r * phi.sin(), z] }
    };
    let mut triangles = Vec::new();
    for pair in profile.windows(2) {
        for k in 0..n {
            let [a, b, c, d] = [at(pair[0], k), at(pair[0], k + 1), at(pair[1], k + 1), at(pair[1], k)];
            triangles
                .extend([[a, b, c], [a, c, d]].into_iter().filter(|t| t[0] != t[1] && t[1] != t[2] && t[2] != t[0]));
        }
    }
    triangles
}

/// Area of a regular polygon of `n` corners over that of the circle through them.
pub fn facets(n: usize) -> f64 {
    let n = n as f64;
    n / std::f64::consts::TAU * (std::f64::consts::TAU / n).sin()
}

/// Every point moved.
pub fn moved(triangles: &[[P; 3]], by: impl Fn(P) -> P) -> Triangles {
    triangles.iter().map(|t| t.map(&by)).collect()
}

/// Turned inside out.
pub fn inside_out(triangles: &[[P; 3]]) -> Triangles {
    triangles.iter().map(|&[a, b, c]| [a, c, b]).collect()
}

/// The rotation by an angle about an axis (Rodrigues).
pub fn rotation(axis: P, angle: f64) -> [P; 3] {
    let length = axis.iter().map(|a| a * a).sum::<f64>().sqrt();
    let [x, y, z] = axis.map(|a| a / length);
    let (s, c) = angle.sin_cos();
    let d = 1.0 - c;
    [
        [c + x * x * d, x * y * d - z * s, x * z * d + y * s],
        [y * x * d + z * s, c + y * y * d, y * z * d - x * s],
        [z * x * d - y * s, z * y * d + x * s, c + z * z * d],
    ]
}

/// A matrix applied to a point.
pub fn apply(m: &[P; 3], p: P) -> P {
    m.map(|r| r[0] * p[0] + r[1] * p[1] + r[2] * p[2])
}
