//! What must hold for every part, vessel and shelf.

use bathwright::amount::*;
use bathwright::immersion::{Question, hold, immerse, immerse_in, net_buoyancy};
use bathwright::order::{BallastThing, Lay};
use bathwright::part::{Part, Shape, Side, read_part};
use bathwright::reference::{Material, material};
use bathwright::vessel::{Vessel, VesselShape, read_vessel};
use jiff::SignedDuration;
use proptest::prelude::*;

const SIDES: [Side; 6] = [Side::PlusX, Side::MinusX, Side::PlusY, Side::MinusY, Side::PlusZ, Side::MinusZ];

fn vessels() -> impl Strategy<Value = VesselShape> {
    let mm = millimetres;
    let size = 20.0..400.0f64;
    prop_oneof![
        (size.clone(), size.clone(), size.clone()).prop_map(move |(b, t, h)| VesselShape::Cup {
            bottom: mm(b),
            top: mm(t),
            height: mm(h)
        }),
        (size.clone(), size.clone(), size.clone()).prop_map(move |(l, w, h)| VesselShape::Tray {
            length: mm(l),
            width: mm(w),
            height: mm(h)
        }),
        (size.clone(), 1.0..5000.0f64)
            .prop_map(move |(h, v)| VesselShape::Capacity { volume: millilitres(v), height: mm(h) }),
        proptest::collection::vec((1.0..50.0f64, 1.0..500.0f64), 1..8).prop_map(move |steps| {
            let (mut level, mut volume) = (0.0, 0.0);
            let points = steps.into_iter().map(|(l, v)| {
                level += l;
                volume += v;
                (mm(level), millilitres(volume))
            });
            VesselShape::level_table(points.collect()).unwrap_or_else(|e| panic!("{e}"))
        }),
    ]
}

fn shapes() -> impl Strategy<Value = Shape> {
    let mm = millimetres;
    let size = 2.0..120.0f64;
    prop_oneof![
        (size.clone(), size.clone(), size.clone()).prop_map(move |(l, w, h)| Shape::Box {
            length: mm(l),
            width: mm(w),
            height: mm(h)
        }),
        (size.clone(), size.clone()).prop_map(move |(d, h)| Shape::Cylinder { diameter: mm(d), height: mm(h) }),
        size.clone().prop_map(move |d| Shape::Sphere { diameter: mm(d) }),
        (size.clone(), 1.0..500.0f64)
            .prop_map(move |(h, v)| Shape::Displaced { volume: millilitres(v), height: Some(mm(h)) }),
    ]
}

/// A part of mean density `share` of water.
fn parts() -> impl Strategy<Value = Part> {
    (shapes(), 0.05..3.0f64, 0.0..0.2f64, 1..4u32, proptest::option::of(1..72i64)).prop_map(
        |(shape, share, spread, count, lift)| {
            let mut part = read_part("box 10x10x10 mm, 1 g, PLA", MeasureSystem::Us, &|n| panic!("{n}"))
                .unwrap_or_else(|e| panic!("{e}"));
            let mass = in_millilitres(shape.envelope()) * share;
            part.shape = shape;
            part.mass =
                Estimate { best: grams(mass), low: grams(mass * (1.0 - spread)), high: grams(mass * (1.0 + spread)) };
            part.count = count;
            part.lift = lift.map(|h| Span::one(SignedDuration::from_hours(h)));
            part
        },
    )
}

fn shelf() -> impl Strategy<Value = Vec<BallastThing>> {
    let of = prop_oneof![
        Just("glass"),
        Just("granite"),
        Just("porcelain"),
        Just("stainless"),
        Just("cork"),
        Just("lead"),
        Just("PLA")
    ];
    proptest::collection::vec((of, 0.5..500.0f64, proptest::option::of(0..30u32)), 0..5).prop_map(|things| {
        let thing = |(of, mass, count): (&str, f64, Option<u32>)| BallastThing {
            name: format!("{of} of {mass} g"),
            material: material(of).unwrap_or_else(|| panic!("{of}")),
            mass: grams(mass),
            count,
        };
        things.into_iter().map(thing).collect()
    })
}

fn of_shape(shape: VesselShape) -> Vessel {
    Vessel { name: "vessel".into(), shape, material: None, cover: None }
}

fn question<'a>(vessel: &'a Vessel, parts: &'a [Part], ballast: &'a [BallastThing], density: [f64; 2]) -> Question<'a> {
    Question {
        vessel,
        parts,
        ballast,
        forbids: &|m: &Material| (m.id == "lead").then(|| "poisonous".to_string()),
        cover: millimetres(10.0),
        lay: Lay::default(),
        margin_percent: 20.0,
        density: Estimate {
            best: kg_per_m3((density[0] + density[1]) / 2.0),
            low: kg_per_m3(density[0]),
            high: kg_per_m3(density[1]),
        },
        temperature: celsius(20.0),
        longest_soak: SignedDuration::from_hours(48),
    }
}

/// A vessel that every part of `parts` fits into.
fn roomy() -> Vessel {
    of_shape(VesselShape::Tray { length: millimetres(3000.0), width: millimetres(3000.0), height: millimetres(400.0) })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_level_of_the_volume_below_a_level_is_that_level(shape in vessels(), at in 0.0..=1.0f64) {
        let level = shape.height() * at;
        let back = shape.level_of(shape.volume_below(level));
        prop_assert!(back.is_some_and(|b| (in_millimetres(b) - in_millimetres(level)).abs() < 1e-6), "{:?}", back);
        prop_assert!(shape.level_of(shape.capacity() * 1.0001).is_none());
    }

    #[test]
    fn a_higher_level_holds_more(shape in vessels(), a in 0.0..=1.0f64, b in 0.0..=1.0f64) {
        let (low, high) = (a.min(b), a.max(b));
        prop_assert!(shape.volume_below(shape.height() * low) <= shape.volume_below(shape.height() * high));
        prop_assert!(in_square_millimetres(shape.surface_at(shape.height() * a)) > 0.0);
    }

    #[test]
    fn the_part_below_a_level_rises_from_nothing_to_the_whole(shape in shapes(), a in 0.0..=1.0f64, b in 0.0..=1.0f64, side in 0..6usize) {
        let up = SIDES[side];
        let tall = shape.size(up).map(|s| s[2]).unwrap_or_default();
        let whole = in_cubic_millimetres(shape.envelope());
        let below = |share: f64| in_cubic_millimetres(shape.envelope_below(tall * share, up));
        prop_assert!(below(0.0) == 0.0 && (below(1.0) / whole - 1.0).abs() < 1e-9);
        prop_assert!(below(a.min(b)) <= below(a.max(b)) * (1.0 + 1e-12) + 1e-9);
    }

    /// Held: at the densest bath, the lightest part and the lightest ballast, with the margin asked for.
    #[test]
    fn ballast_that_was_found_holds(parts in proptest::collection::vec(parts(), 1..4), shelf in shelf(), low in 990.0..1100.0f64, more in 0.0..200.0f64) {
        let mut parts = parts;
        for (i, p) in parts.iter_mut().enumerate() { p.name = format!("part {i}"); }
        let vessel = roomy();
        let q = question(&vessel, &parts, &shelf, [low, low + more]);
        let Ok(answer) = immerse(&q) else { return Ok(()) };
        for (part, sits) in parts.iter().zip(&answer.parts) {
            let net = in_newtons(net_buoyancy(part.shape.envelope(), part.mass.low, q.density.high)) * f64::from(part.count);
            let on: Vec<_> = answer.ballast.iter().filter(|b| b.holds == part.name).collect();
            let held: f64 = on.iter().map(|b| in_newtons(hold(b.mass, kg_per_m3(b.material.density_kg_m3[1]), q.density.high))).sum();
            prop_assert_eq!(sits.floats, net > 0.0);
            if net > 0.0 {
                prop_assert!(held >= 1.2 * net * (1.0 - 1e-9), "{} {}", held, net);
                prop_assert!(on.iter().all(|b| b.margin_percent >= 20.0 - 1e-6));
            } else {
                prop_assert!(on.is_empty());
            }
            prop_assert!(on.iter().all(|b| b.material.id != "lead" && kg_per_m3(b.material.density_kg_m3[1]) > q.density.high));
        }
        // Never more of a thing than there is.
        for thing in &shelf {
            let used: u32 = answer.ballast.iter().filter(|b| b.thing == thing.name).filter_map(|b| b.count).sum();
            let there: u32 = shelf.iter().filter(|t| t.name == thing.name).fold(0, |n, t| n.saturating_add(t.count.unwrap_or(u32::MAX)));
            prop_assert!(used <= there);
        }
    }

    /// What is in the vessel adds up, and the line is over the parts.
    #[test]
    fn liquid_and_what_it_displaces_fill_to_the_line(parts in proptest::collection::vec(parts(), 1..4), shelf in shelf(), shape in vessels()) {
        let vessel = of_shape(shape);
        let q = question(&vessel, &parts, &shelf, [1020.0, 1040.0]);
        let Ok(answer) = immerse(&q) else { return Ok(()) };
        let sum = in_millilitres(answer.liquid) + in_millilitres(answer.displaced);
        prop_assert!((sum / in_millilitres(vessel.shape.volume_below(answer.fill_line)) - 1.0).abs() < 1e-9);
        prop_assert!(answer.freeboard >= millimetres(-1e-9) && answer.level_before <= answer.fill_line * (1.0 + 1e-12));
        prop_assert!((in_millimetres(answer.cover) - 10.0).abs() < 1e-6);
        prop_assert!(answer.parts.iter().all(|p| p.height + q.cover <= answer.fill_line * (1.0 + 1e-12)));
        for l in &answer.lifts {
            prop_assert!(l.level <= answer.fill_line * (1.0 + 1e-9) && in_millilitres(l.reserve) >= 0.0);
        }
        let again = immerse_in(&q, answer.liquid);
        prop_assert!(again.is_ok_and(|a| (in_millimetres(a.fill_line) - in_millimetres(answer.fill_line)).abs() < 1e-6));
    }

    /// More part, taller or one more, never means a lower line.
    #[test]
    fn more_part_never_means_a_lower_line(part in parts(), factor in 1.0..2.0f64, shape in vessels()) {
        let vessel = of_shape(shape);
        let line = |p: &Part| immerse(&question(&vessel, std::slice::from_ref(p), &[], [1030.0, 1030.0])).ok().map(|a| in_millimetres(a.fill_line));
        let Some(before) = line(&part) else { return Ok(()) };
        let mut more = part.clone();
        more.count += 1;
        if let Some(after) = line(&more) { prop_assert!(after >= before - 1e-9); }
        let mut larger = part.clone();
        larger.shape = match larger.shape {
            Shape::Box { length, width, height } => Shape::Box { length: length * factor, width: width * factor, height: height * factor },
            Shape::Cylinder { diameter, height } => Shape::Cylinder { diameter: diameter * factor, height: height * factor },
            Shape::Sphere { diameter } => Shape::Sphere { diameter: diameter * factor },
            other => other,
        };
        if let Some(after) = line(&larger) { prop_assert!(after >= before - 1e-9); }
    }

    /// Given a volume of liquid, more part raises the level.
    #[test]
    fn more_part_in_the_same_liquid_stands_higher(part in parts(), liquid in 40_000.0..60_000.0f64) {
        let vessel = of_shape(VesselShape::Tray { length: millimetres(500.0), width: millimetres(500.0), height: millimetres(600.0) });
        let line = |p: &Part| immerse_in(&question(&vessel, std::slice::from_ref(p), &[], [1030.0, 1030.0]), millilitres(liquid)).ok().map(|a| in_millimetres(a.fill_line));
        let Some(before) = line(&part) else { return Ok(()) };
        let mut more = part.clone();
        more.count += 1;
        if let Some(after) = line(&more) { prop_assert!(after > before); }
    }

    #[test]
    fn no_text_makes_the_readers_panic(text in "\\PC{0,60}") {
        let _ = read_vessel(&text);
        let _ = read_part(&text, MeasureSystem::Us, &|_| Ok(vec![0; 3].into()));
    }

    #[test]
    fn no_pieces_in_any_order_make_the_readers_panic(pieces in proptest::collection::vec(prop_oneof![
        Just("box 40x40x80 mm"), Just("85 g"), Just("iron"), Just("PLA"), Just("2 of them"), Just("x"), Just("x2"), Just("%"), Just("lift"),
        Just("15 % infill"), Just("1.2 mm walls"), Just("filament"), Just("filament g/cm3"), Just("solid "), Just("name "), Just(".stl"), Just("a.stl"),
        Just("jar"), Just("jar 80x120 mm"), Just("1 L"), Just("high"), Just("9e99 mm high"), Just("displaces"), Just("displaces 0 mL"), Just("½ in walls"),
        Just("-x up"), Just("40 % iron"), Just("cup 1e300x2 mm"), Just("İ filled İ"), Just("1.85 g/cm3"), Just("density kg/m3"), Just("glass")
    ], 0..8)) {
        let text = pieces.join(", ");
        let _ = read_vessel(&text);
        let _ = read_part(&text, MeasureSystem::Us, &|_| Ok(vec![0; 3].into()));
    }
}
