//! Points and directions in millimetres, as three doubles. Only this folder sees them; its public face speaks `uom`.

/// A point or direction, millimetres.
pub(super) type V3 = [f64; 3];

/// A triangle by its corners, counter-clockwise when seen from outside.
pub(super) type Tri = [V3; 3];

pub(super) fn add(a: V3, b: V3) -> V3 {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

pub(super) fn sub(a: V3, b: V3) -> V3 {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

pub(super) fn scale(a: V3, k: f64) -> V3 {
    [a[0] * k, a[1] * k, a[2] * k]
}

pub(super) fn dot(a: V3, b: V3) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub(super) fn cross(a: V3, b: V3) -> V3 {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

pub(super) fn norm(a: V3) -> f64 {
    dot(a, a).sqrt()
}

/// Twice the area of a triangle times its unit normal.
pub(super) fn normal2(t: &Tri) -> V3 {
    cross(sub(t[1], t[0]), sub(t[2], t[0]))
}

/// Six times the signed volume between a triangle and the origin.
pub(super) fn volume6(t: &Tri) -> f64 {
    dot(t[0], cross(t[1], t[2]))
}

/// The lower of two numbers. Coordinates are numbers, so a bare comparison does, which is one machine instruction.
pub(super) fn lower(a: f64, b: f64) -> f64 {
    if a < b { a } else { b }
}

/// The higher of two numbers, likewise.
pub(super) fn higher(a: f64, b: f64) -> f64 {
    if a > b { a } else { b }
}

/// The box around points: lowest and highest corner. `None` when there are no points.
pub(super) fn bounds(points: impl IntoIterator<Item = V3>) -> Option<(V3, V3)> {
    let mut points = points.into_iter();
    let first = points.next()?;
    let (mut low, mut high) = (first, first);
    for p in points {
        for i in 0..3 {
            low[i] = lower(p[i], low[i]);
            high[i] = higher(p[i], high[i]);
        }
    }
    Some((low, high))
}

/// The box around one triangle.
pub(super) fn box_round(t: &Tri) -> (V3, V3) {
    let [a, b, c] = t;
    (std::array::from_fn(|i| lower(lower(a[i], b[i]), c[i])), std::array::from_fn(|i| higher(higher(a[i], b[i]), c[i])))
}
