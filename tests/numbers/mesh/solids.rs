//! Solids whose volume below a level has a formula: prisms, tilted cubes, faceted cones and spheres, cups and voids.

use super::build::*;
use bathwright::amount::*;
use bathwright::part::Side;
use bathwright::part::mesh::{Options, Solid, measure, read};
use std::f64::consts::PI;

const SIDES: [Side; 6] = [Side::PlusX, Side::MinusX, Side::PlusY, Side::MinusY, Side::PlusZ, Side::MinusZ];

fn below(s: &Solid, h: f64, up: Side) -> f64 {
    in_cubic_millimetres(s.envelope_below(millimetres(h), up))
}

#[track_caller]
fn exact(got: f64, want: f64) {
    assert!((got - want).abs() <= 1e-9 * want.abs().max(1e-6), "{got} instead of {want}");
}

/// A ball of radius 5 mm about the origin, of `n` rings of `n` facets.
fn ball(n: usize) -> Triangles {
    let profile: Vec<(f64, f64)> = (0..=n)
        .map(|i| {
            let a = PI * i as f64 / n as f64;
            (if i == 0 || i == n { 0.0 } else { 5.0 * a.sin() }, -5.0 * a.cos())
        })
        .collect();
    turned(&profile, n)
}

/// Volume of the unit cube below the plane n . x = h, n with positive parts: inclusion and exclusion over the corners
/// (D. L. Cohen, T. Hickey, J. ACM 26 (1979) 401, for simplices cut off a cube).
fn cube_below(n: P, h: f64) -> f64 {
    let mut sum = 0.0;
    for corner in 0..8_u32 {
        let reach: f64 = (0..3).filter(|i| corner >> i & 1 == 1).map(|i| n[i]).sum();
        let sign = if corner.count_ones() % 2 == 0 { 1.0 } else { -1.0 };
        sum += sign * (h - reach).max(0.0).powi(3);
    }
    sum / (6.0 * n[0] * n[1] * n[2])
}

#[test]
fn a_tilted_cube_is_cut_as_the_formula_says() {
    for (axis, angle) in
        [([1.0, -1.0, 0.2], 0.9), ([1.0, 0.3, 0.0], 0.4), ([2.0, -1.5, 0.1], 1.1), ([0.5, -1.0, 0.7], 0.7)]
    {
        let r = rotation(axis, angle);
        // A corner at the origin; the rows of the rotation's last line are how far each edge rises.
        let rise = r[2];
        let cube = cuboid([0.0; 3], [1.0; 3]);
        let made = solid(&moved(&cube, |p| apply(&r, p)));
        // Edges that fall count from their other end, which mirrors the cube in itself.
        let n = rise.map(f64::abs);
        let height: f64 = n.iter().sum();
        exact(in_millimetres(made.height(Side::PlusZ)), height);
        for k in 1..20 {
            let h = height * f64::from(k) / 20.0;
            exact(below(&made, h, Side::PlusZ), cube_below(n, h));
        }
        // The same through `turned` from the upright cube.
        let again = solid(&cube).turned(r).unwrap();
        exact(below(&again, height * 0.37, Side::PlusZ), cube_below(n, height * 0.37));
    }
}

#[test]
fn prisms_lie_and_stand() {
    // A right triangle 3 by 4, 10 long, along x.
    let corners = [[0.0, 0.0], [3.0, 0.0], [0.0, 4.0]];
    let end = |x: f64| corners.map(|c| [x, c[0], c[1]]);
    let (a, b) = (end(0.0), end(10.0));
    let mut prism = vec![[a[0], a[2], a[1]], [b[0], b[1], b[2]]];
    for i in 0..3 {
        let j = (i + 1) % 3;
        prism.extend([[a[i], a[j], b[j]], [a[i], b[j], b[i]]]);
    }
    let s = solid(&prism);
    exact(in_cubic_millimetres(s.envelope), 60.0);
    exact(in_square_millimetres(s.area), 12.0 + 120.0);
    for k in 1..10 {
        let t = f64::from(k) / 10.0;
        exact(below(&s, 10.0 * t, Side::PlusX), 60.0 * t);
        exact(below(&s, 4.0 * t, Side::PlusZ), 60.0 * (1.0 - (1.0 - t).powi(2)));
        exact(below(&s, 4.0 * t, Side::MinusZ), 60.0 * t * t);
        // Wetted: both ends, the sloping side, and the upright side, apex down.
        let wet = in_square_millimetres(s.wetted_area_below(millimetres(4.0 * t), Side::MinusZ));
        exact(wet, 12.0 * t * t + 50.0 * t + 40.0 * t);
    }
}

#[test]
fn cones_and_spheres_of_facets_are_exact_and_approach_the_round_ones_with_the_square_of_their_number() {
    let (r, h) = (7.0, 12.0);
    let mut gaps = Vec::new();
    for n in [24, 48, 96] {
        let cone = solid(&turned(&[(0.0, 0.0), (r, 0.0), (0.0, h)], n));
        for k in 1..10 {
            let t = f64::from(k) / 10.0;
            exact(below(&cone, h * t, Side::PlusZ), facets(n) * PI * r * r * h / 3.0 * (1.0 - (1.0 - t).powi(3)));
            exact(below(&cone, h * t, Side::MinusZ), facets(n) * PI * r * r * h / 3.0 * t.powi(3));
        }
        // Rings of a sphere at equal angles; each layer is a frustum of a pyramid.
        let rings = n;
        let profile: Vec<(f64, f64)> = (0..=rings)
            .map(|i| {
                let a = PI * i as f64 / rings as f64;
                (if i == 0 || i == rings { 0.0 } else { r * a.sin() }, -r * a.cos())
            })
            .collect();
        let sphere = solid(&turned(&profile, n));
        let frustum =
            |a: (f64, f64), b: (f64, f64)| facets(n) * PI / 3.0 * (b.1 - a.1) * (a.0 * a.0 + a.0 * b.0 + b.0 * b.0);
        let mut sum = 0.0;
        for pair in profile.windows(2) {
            sum += frustum(pair[0], pair[1]);
            exact(below(&sphere, pair[1].1 + r, Side::PlusZ), sum);
            // Half way up the layer.
            let mid = ((pair[0].0 + pair[1].0) / 2.0, (pair[0].1 + pair[1].1) / 2.0);
            exact(below(&sphere, mid.1 + r, Side::PlusZ), sum - frustum(mid, pair[1]));
        }
        gaps.push(4.0 / 3.0 * PI * r.powi(3) - sum);
        let line = sphere.waterline(millimetres(r), Side::PlusZ);
        exact(in_square_millimetres(line.waterplane_area), facets(n) * PI * r * r);
    }
    for pair in gaps.windows(2) {
        let order = (pair[0] / pair[1]).log2();
        assert!((order - 2.0).abs() < 0.01, "order {order}");
    }
}

#[test]
fn a_box_floats_where_its_middle_and_moments_say() {
    let s = solid(&cuboid([10.0, 20.0, 30.0], [14.0, 26.0, 40.0]));
    let line = s.waterline(millimetres(4.0), Side::PlusZ);
    let centre = line.centre.unwrap().map(in_millimetres);
    for (got, want) in centre.iter().zip([12.0, 23.0, 32.0]) {
        exact(*got, want);
    }
    exact(in_square_millimetres(line.waterplane_area), 24.0);
    let [xx, xy, yy] = line.waterplane_moments_mm4;
    exact(xx, 6.0 * 4.0_f64.powi(3) / 12.0);
    exact(yy, 4.0 * 6.0_f64.powi(3) / 12.0);
    assert!(xy.abs() < 1e-9);
    // Nothing below the lowest point, all of it above the highest.
    assert_eq!(below(&s, -1.0, Side::PlusZ), 0.0);
    exact(below(&s, 99.0, Side::MinusY), 240.0);
    for up in SIDES {
        let [x, y, z] = s.size_with(up).map(in_millimetres);
        exact(x * y * z, 240.0);
        exact(in_millimetres(s.enclosing_diameter(up)), x.hypot(y));
        exact(below(&s, z / 4.0, up), 60.0);
    }
}

/// A cube afloat keeps its faces level only below (3 − √3)/6 and above (3 + √3)/6 of the liquid's density: the roots of
/// 6s(1 − s) = 1, which follow from GM = 0 (derived). A leaning prism of b = 100 mm and H = 40 mm, sheared by k, floats half
/// under with its centres k·H/4 apart across and GM = b²/6H − H/4: it heels by 17 and 32 degrees for k = 1 and 2.
#[test]
fn a_mesh_afloat_turns_over_where_the_metacentre_says() {
    use bathwright::immersion::upright_afloat;
    let afloat = |body: &Triangles, share: f64| {
        let bytes = stl(body);
        let mut part =
            bathwright::part::read_part("a.stl, 1 g, iron, PLA", MeasureSystem::Us, &|_| Ok(bytes.clone().into()))
                .unwrap_or_else(|p| panic!("{p}"));
        part.mass = Estimate::exact(grams(in_cubic_millimetres(part.shape.envelope()) * 1e-3 * share));
        SIDES.map(|up| upright_afloat(&part, up, kg_per_m3(1000.0)))
    };
    let cube = cuboid([3.0; 3], [103.0; 3]);
    for (s, stays) in [(0.20, true), (0.210, true), (0.212, false), (0.5, false), (0.788, false), (0.790, true)] {
        assert_eq!(afloat(&cube, s), [Some(stays); 6], "{s}");
    }
    assert_eq!(afloat(&cube, 1.01), [None; 6]);
    for (k, stays) in [(0.0, true), (1.0, true), (2.0, false)] {
        let prism = moved(&cuboid([0.0; 3], [100.0, 100.0, 40.0]), |p| [p[0] + k * p[2], p[1], p[2]]);
        assert_eq!(afloat(&prism, 0.5)[4], Some(stays), "{k}");
    }
}

#[test]
fn a_shift_of_ten_metres_loses_nothing() {
    let cone = turned(&[(0.0, 0.0), (7.0, 0.0), (0.0, 12.0)], 90);
    let r = rotation([1.0, 2.0, 3.0], 1.234);
    let want = facets(90) * PI * 49.0 * 4.0;
    for shift in [[0.0; 3], [1e4, -1e4, 1e4]] {
        let s = solid(&moved(&cone, |p| {
            let q = apply(&r, p);
            [q[0] + shift[0], q[1] + shift[1], q[2] + shift[2]]
        }));
        exact(in_cubic_millimetres(s.envelope), want);
    }
}

#[test]
fn sealed_voids_stay_dry_and_what_is_inside_out_is_turned() {
    let outside = cuboid([0.0; 3], [10.0; 3]);
    let void = inside_out(&cuboid([2.0; 3], [5.0; 3]));
    let hollow = [outside.clone(), void].concat();
    let s = solid(&hollow);
    exact(in_cubic_millimetres(s.envelope), 1000.0);
    exact(in_cubic_millimetres(s.material.unwrap().best), 973.0);
    exact(in_cubic_millimetres(s.voids), 27.0);
    exact(below(&s, 3.0, Side::PlusZ), 300.0);
    exact(in_square_millimetres(s.area), 600.0);
    // A loose ball in the void is no more than the envelope has already.
    let ball = [hollow.clone(), cuboid([3.0; 3], [4.0; 3])].concat();
    let s = solid(&ball);
    exact(in_cubic_millimetres(s.envelope), 1000.0);
    exact(in_cubic_millimetres(s.material.unwrap().best), 974.0);
    // The whole inside out, or one of two bodies: turned round, with a warning.
    let (s, warnings) = read(&stl(&inside_out(&hollow)), "a.stl", None).unwrap();
    assert!(warnings[0].message.contains("inside out"), "{warnings:?}");
    exact(in_cubic_millimetres(s.material.unwrap().best), 973.0);
    let two = [outside, inside_out(&cuboid([20.0; 3], [21.0; 3]))].concat();
    let (s, warnings) = read(&stl(&two), "a.stl", None).unwrap();
    assert!(warnings[0].message.contains("inside out"), "{warnings:?}");
    exact(in_cubic_millimetres(s.envelope), 1001.0);
}

/// A cube of 40 with a cubic void of 20: exact where there is no room between the walls or it is full, otherwise sampled.
#[test]
fn a_print_has_no_infill_in_its_sealed_voids() {
    use bathwright::part::{MakeUp, Shape, solid_volume};
    let hollow = [cuboid([0.0; 3], [40.0; 3]), inside_out(&cuboid([10.0; 3], [30.0; 3]))].concat();
    let shape = Shape::Mesh(solid(&hollow).into());
    let print = |walls: f64, infill_percent: f64| {
        let print = MakeUp { walls: millimetres(walls), top: None, bottom: None, infill_percent };
        solid_volume(&shape, &print).map(in_cubic_millimetres)
    };
    // All material: 40³ less 20³.
    for (walls, infill) in [(0.0, 100.0), (1.2, 100.0), (11.0, 0.0)] {
        let v = print(walls, infill);
        exact(v.best, 56_000.0);
        exact(v.low, 56_000.0);
        exact(v.high, 56_000.0);
    }
    // Walls of 1 on both sides, empty between them: 40³ less 38³, and what lies within 1 mm of the void (Steiner 1840).
    let pi = std::f64::consts::PI;
    let want = 64_000.0 - 54_872.0 + 6.0 * 400.0 + 3.0 * 20.0 * pi + 4.0 / 3.0 * pi;
    let v = print(1.0, 0.0);
    assert!((v.best - want).abs() < 0.01 * want && v.low <= want && want <= v.high, "{v:?} for {want}");
}

#[test]
fn overlapping_bodies_displace_their_union() {
    let r = rotation([3.0, 1.0, 2.0], 0.77);
    // Two bars that cross at right angles share a cube in the middle.
    let cross = [cuboid([-10.0, -1.0, -1.0], [10.0, 1.0, 1.0]), cuboid([-1.0, -10.0, -1.0], [1.0, 10.0, 1.0])].concat();
    for turn in [false, true] {
        let s = solid(&moved(&cross, |p| if turn { apply(&r, p) } else { p }));
        assert!(s.overlapping);
        let union = in_cubic_millimetres(s.envelope);
        assert!((union - 152.0).abs() < 152.0 * 1e-6, "{union}");
        exact(in_cubic_millimetres(s.material.unwrap().best), 160.0);
    }
    // Two balls of facets: the lens between them is cut off both (V. N. Belykh's formula is not needed: by symmetry the
    // union is twice a ball less the part beyond the plane half way, which the waterline of one ball gives).
    let ball = ball(40);
    let above = |d: f64| moved(&ball, |p| [p[0], p[1], p[2] + d]);
    let half = below(&solid(&ball), 8.0, Side::PlusZ);
    let s = solid(&[ball.clone(), above(6.0)].concat());
    let union = in_cubic_millimetres(s.envelope);
    assert!((union - 2.0 * half).abs() < 1e-6 * union, "{union} instead of {}", 2.0 * half);
    // Below a level, too: the level half way holds half of it.
    let below_middle = below(&s, 8.0, Side::PlusZ);
    assert!((below_middle - half).abs() < 1e-6 * half);
}

#[test]
fn small_holes_give_an_estimate_and_large_ones_a_bound() {
    let ball = ball(60);
    let whole = in_cubic_millimetres(solid(&ball).envelope);
    let mut holed = ball.clone();
    holed.remove(2000);
    let (s, warnings) = read(&stl(&holed), "a.stl", None).unwrap();
    assert!(!s.watertight && warnings.len() == 1);
    assert!(warnings[0].message.contains("not closed: 1 hole with 3 open edges"), "{warnings:?}");
    let bounds = s.envelope_bounds.map(in_cubic_millimetres);
    assert!(bounds.low <= whole && whole <= bounds.high, "{bounds:?} {whole}");
    assert!((bounds.high - bounds.low) < 1e-2 * whole);

    // A face turned round is no hole; the volume is told, but as an estimate with a warning.
    let mut flipped = ball.clone();
    flipped[17].swap(0, 1);
    let (s, warnings) = read(&stl(&flipped), "a.stl", None).unwrap();
    assert!(!s.watertight && warnings[0].message.contains("1 face turned round"), "{warnings:?}");
    exact(in_cubic_millimetres(s.envelope), whole);

    let mut open = cuboid([0.0; 3], [10.0; 3]);
    open.truncate(10);
    let (s, warnings) = read(&stl(&open), "a.stl", None).unwrap();
    assert!(s.material.is_none() && warnings[0].message.contains("at most"), "{warnings:?}");
    exact(in_cubic_millimetres(s.envelope_bounds.high), 1000.0);
    assert_eq!(in_cubic_millimetres(s.envelope_bounds.low), 0.0);
}

/// A cup: outer radius 10, wall 2, bottom 2, 20 high, with a hole of radius `bore` through the bottom.
fn cup(bore: f64) -> Triangles {
    let profile: &[(f64, f64)] = if bore > 0.0 {
        &[(bore, 0.0), (10.0, 0.0), (10.0, 20.0), (8.0, 20.0), (8.0, 2.0), (bore, 2.0), (bore, 0.0)]
    } else {
        &[(0.0, 0.0), (10.0, 0.0), (10.0, 20.0), (8.0, 20.0), (8.0, 2.0), (0.0, 2.0)]
    };
    turned(profile, 64)
}

#[test]
fn an_upturned_cup_holds_its_air_until_it_is_tilted_or_bored() {
    let s = solid(&cup(0.0));
    let whole = facets(64) * PI * (100.0 * 20.0 - 64.0 * 18.0);
    exact(in_cubic_millimetres(s.envelope), whole);
    let right_way = s.air_traps(Side::PlusZ).unwrap();
    assert_eq!(right_way.traps, []);

    let upturned = s.air_traps(Side::MinusZ).unwrap();
    let hollow = facets(64) * PI * 64.0 * 18.0;
    assert_eq!(upturned.traps.len(), 1, "{upturned:?}");
    let trap = &upturned.traps[0];
    let volume = in_cubic_millimetres(trap.volume);
    assert!((volume - hollow).abs() < 0.05 * hollow, "{volume} instead of {hollow}");
    assert!(trap.resolved);
    let pitch = in_millimetres(upturned.pitch);
    assert!(in_millimetres(trap.mouth).abs() < pitch && (in_millimetres(trap.top) - 18.0).abs() < pitch);
    let place = trap.place.map(in_millimetres);
    assert!(place[0].abs() < 1.0 && place[1].abs() < 1.0 && (place[2] - 11.0).abs() < 1.0, "{place:?}");
    // At 75 degrees the wedge above the rim is about 340 of 3600 mm³, at 90 nothing lies above the rim.
    let tilt = trap.tilt.unwrap();
    assert_eq!(tilt.angle_degrees, 90.0, "{tilt:?}");

    let bored = solid(&cup(2.0)).air_traps(Side::MinusZ).unwrap();
    assert_eq!(bored.traps, [], "{bored:?}");
}

#[test]
fn a_bore_finer_than_the_grid_is_unresolved_and_not_blocked() {
    let fine = solid(&cup(0.03)).air_traps(Side::MinusZ).unwrap();
    // Either the pocket is told as unresolved, or the pitch told is fine enough to have seen the bore.
    for trap in &fine.traps {
        assert!(!trap.resolved || in_millimetres(fine.pitch) > 2.0 * 0.03, "{fine:?}");
    }
}

#[test]
fn a_cone_reaches_as_far_as_its_slope_says_and_fits_the_cup_it_was_cast_in() {
    let cone = solid(&turned(&[(0.0, 0.0), (10.0, 0.0), (4.0, 24.0), (0.0, 24.0)], 60));
    for (up, flip) in [(Side::PlusZ, false), (Side::MinusZ, true)] {
        for i in 0..=128 {
            let z = 24.0 * f64::from(i) / 128.0;
            let wide = |z: f64| if flip { 4.0 + 6.0 * z / 24.0 } else { 10.0 - 6.0 * z / 24.0 };
            let reach = in_millimetres(cone.reach_at(millimetres(z), up));
            let step = 6.0 / 128.0;
            assert!(reach >= wide(z) - 1e-9 && reach <= wide(z) + step + 1e-9, "{z}: {reach} {}", wide(z));
        }
    }
    // Lying, its axis is the middle of the circle round its side view.
    let lying = in_millimetres(cone.reach_at(millimetres(10.0), Side::PlusX));
    assert!((lying - in_millimetres(cone.enclosing_diameter(Side::PlusX)) / 2.0).abs() < 0.2, "{lying}");
    let ([length, width], turned) = cone.enclosing_rectangle(Side::PlusX);
    let (l, w) = (in_millimetres(length), in_millimetres(width));
    assert!((l - 24.0).abs() < 1e-9 && (w - 20.0).abs() < 0.1, "{l} {w} {turned}");
}

#[test]
fn implausible_sizes_are_doubted_unless_the_unit_is_said() {
    use bathwright::part::mesh::LengthUnit;
    let tiny = stl(&cuboid([0.0; 3], [0.04; 3]));
    let m = measure(&tiny, "a.stl", &Options::default()).unwrap();
    assert!(
        m.warnings[0].message.contains("0.040 mm") && m.warnings[0].hints[0].contains("--unit"),
        "{:?}",
        m.warnings
    );
    let said = measure(&tiny, "a.stl", &Options { unit: Some(LengthUnit::Metre), ..Options::default() }).unwrap();
    assert_eq!(said.warnings, []);
    exact(in_cubic_millimetres(said.volume.unwrap().best), 64_000.0);
    let huge = measure(&stl(&cuboid([0.0; 3], [4000.0; 3])), "a.stl", &Options::default()).unwrap();
    assert_eq!(huge.warnings.len(), 1);
    let inches = measure(
        &stl(&cuboid([0.0; 3], [1.0; 3])),
        "a.stl",
        &Options { unit: Some(LengthUnit::Inch), ..Options::default() },
    );
    exact(in_cubic_millimetres(inches.unwrap().volume.unwrap().best), 16387.064);
}
