//! Buoyancy, print make-up and vessel volumes against published worked values and closed forms.

use bathwright::amount::*;
use bathwright::immersion::{self, Immersion, Question, draft, hold, immerse, immerse_in, net_buoyancy};
use bathwright::order::{BallastThing, Lay};
use bathwright::part::{MakeUp, Part, Shape, Side, filled_density, printed_mass, read_part};
use bathwright::reference::{Material, MaterialKind, material, materials};
use bathwright::vessel::{Cover, Vessel, read_vessel};
use jiff::SignedDuration;

fn near(found: f64, published: f64, relative: f64) {
    assert!((found / published - 1.0).abs() <= relative, "found {found}, published {published}");
}

fn part(text: &str) -> Part {
    read_part(text, MeasureSystem::Us, &|name| Err(bathwright::diag::Problem::error(format!("no file {name}")).into()))
        .unwrap_or_else(|e| panic!("{text}: {e}"))
}

fn vessel(text: &str) -> Vessel {
    read_vessel(text).unwrap_or_else(|e| panic!("{text}: {e}"))
}

fn thing(name: &str, of: &str, mass: f64, count: Option<u32>) -> BallastThing {
    let material = material(of).unwrap_or_else(|| panic!("{of}"));
    BallastThing { name: name.to_string(), material, mass: grams(mass), count }
}

fn question<'a>(vessel: &'a Vessel, parts: &'a [Part], ballast: &'a [BallastThing]) -> Question<'a> {
    Question {
        vessel,
        parts,
        ballast,
        forbids: &|_: &Material| None,
        cover: millimetres(15.0),
        lay: Lay::default(),
        margin_percent: 20.0,
        density: Estimate::exact(kg_per_m3(1030.0)),
        temperature: celsius(20.0),
        longest_soak: SignedDuration::from_hours(48),
    }
}

fn solved(q: &Question<'_>) -> Immersion {
    immerse(q).unwrap_or_else(|e| panic!("{e}"))
}

/// OpenStax College Physics 2e, section on Archimedes' principle, example on a steel block: 1.00e7 kg of steel
/// (7800 kg/m³) is lifted by 1.3e7 N and weighs 9.8e7 N.
#[test]
fn openstax_steel_block_under_water() {
    let mass = grams(1.00e10);
    let volume = cubic_metres(1.00e7 / 7800.0);
    let weight = in_newtons(net_buoyancy(cubic_metres(0.0), mass, kg_per_m3(1000.0)));
    near(-weight, 9.8e7, 0.04);
    let lift = in_newtons(net_buoyancy(volume, mass, kg_per_m3(1000.0))) - weight;
    near(lift, 1.3e7, 0.04);
}

/// OpenStax College Physics 2e, same section, exercise: iron of 390.0 g (7.86 g/cm³) weighs 350.5 g in a liquid of
/// 0.79 g/cm³ and displaces 39.5 g of it.
#[test]
fn openstax_iron_in_a_light_liquid() {
    let in_liquid = in_newtons(hold(grams(390.0), kg_per_m3(7860.0), kg_per_m3(790.0))) / GRAVITY_M_S2 * 1000.0;
    near(in_liquid, 350.5, 0.01);
    near(390.0 - in_liquid, 39.5, 0.01);
}

/// OpenStax College Physics 2e, same section, exercise: a mattress of 100 x 200 x 15 cm and 2 kg carries 298 kg in fresh
/// water when fully under (question read, answer computed).
#[test]
fn openstax_air_mattress() {
    let mattress = Shape::Box { length: millimetres(1000.0), width: millimetres(2000.0), height: millimetres(150.0) };
    let carries = in_newtons(net_buoyancy(mattress.envelope(), grams(2000.0), kg_per_m3(1000.0))) / GRAVITY_M_S2;
    near(carries, 298.0, 0.002);
}

/// OpenStax College Physics 2e, same section: ice of 917 kg/m³ floats with 91.7 % under fresh water; a body floating
/// with 97.0 % under has 970 kg/m³.
#[test]
fn openstax_floating_depths() {
    let mut ice = part("box 100x100x100 mm, 917 g, PLA");
    let under = |p: &Part| draft(p, Side::PlusZ, kg_per_m3(1000.0)).map(in_millimetres).unwrap_or(f64::NAN);
    near(under(&ice), 91.7, 0.002);
    ice.mass = Estimate::exact(grams(970.0));
    near(under(&ice), 97.0, 0.002);
    ice.mass = Estimate::exact(grams(1001.0));
    assert_eq!(draft(&ice, Side::PlusZ, kg_per_m3(1000.0)), None);
}

/// OpenStax University Physics 1, exercise: cork of 240 kg/m³ and 10.0 g floats with a fraction 0.24 under; with a magnet
/// of 20.0 g on top, dry, 0.72.
#[test]
fn openstax_cork_and_magnet() {
    let cork = |mass: f64| {
        let side = (10.0e3 / 0.24f64).cbrt();
        let mut p = part("box 10x10x10 mm, 1 g, PLA");
        p.shape = Shape::Box { length: millimetres(side), width: millimetres(side), height: millimetres(side) };
        p.mass = Estimate::exact(grams(mass));
        draft(&p, Side::PlusZ, kg_per_m3(1000.0)).map(|d| in_millimetres(d) / side).unwrap_or(f64::NAN)
    };
    near(cork(10.0), 0.24, 0.01);
    near(cork(30.0), 0.72, 0.01);
}

/// A cube afloat keeps its faces level only below (3 − √3)/6 = 0.211 and above (3 + √3)/6 = 0.789 of the liquid's density:
/// the roots of 6s(1 − s) = 1, which follow from GM = 0 (derived; the classical result of hydrostatics, recalled).
#[test]
fn a_floating_cube_turns_over_between_two_densities() {
    let level = |s: f64| {
        let mut cube = part("box 100x100x100 mm, 1 g, PLA");
        cube.mass = Estimate::exact(grams(1000.0 * s));
        immersion::upright_afloat(&cube, Side::PlusZ, kg_per_m3(1000.0))
    };
    for (s, stays) in [(0.20, true), (0.210, true), (0.212, false), (0.5, false), (0.788, false), (0.790, true)] {
        assert_eq!(level(s), Some(stays), "{s}");
    }
    assert_eq!(level(1.01), None);
}

/// Derived from the densities (common practice, no source): a 40 mm cube with 1.2 mm walls and 15 % infill is 29 % solid;
/// iron-filled (1.85 g/cm³) it has 0.54 g/cm³ and needs about 31 g of net ballast in a bath of 1.03 g/cm³; bronze-filled
/// (3.9 g/cm³) it has 1.15 g/cm³ and sinks barely.
#[test]
fn infilled_cube_floats_when_iron_filled_and_sinks_when_bronze_filled() {
    let shape = Shape::Box { length: millimetres(40.0), width: millimetres(40.0), height: millimetres(40.0) };
    let print = MakeUp { walls: millimetres(1.2), top: None, bottom: None, infill_percent: 15.0 };
    let mass = |density: f64| printed_mass(&shape, &print, Estimate::exact(kg_per_m3(density))).best;
    near(in_grams(mass(1000.0)) / 64.0, 0.29, 0.02);
    near(in_grams(mass(1850.0)) / 64.0, 0.54, 0.02);
    let net = in_newtons(net_buoyancy(shape.envelope(), mass(1850.0), kg_per_m3(1030.0))) / GRAVITY_M_S2 * 1000.0;
    near(net, 31.0, 0.02);
    near(in_grams(mass(3900.0)) / 64.0, 1.15, 0.01);
    assert!(in_newtons(net_buoyancy(shape.envelope(), mass(3900.0), kg_per_m3(1030.0))) < 0.0);
}

/// Rule of mixtures for mass fractions with PLA 1240 and the metals of the table, computed from the densities: iron 40 %
/// 1870, 80 % 3803; copper 80 % 3991; brass 60 % 2543 kg/m³.
#[test]
fn filled_plastic_by_the_inverse_rule() {
    for (metal, percent, published) in
        [(7870.0, 40.0, 1870.0), (7870.0, 80.0, 3803.0), (8960.0, 80.0, 3991.0), (8500.0, 60.0, 2543.0)]
    {
        let w = MassFraction::percent(percent).unwrap();
        near(in_kg_per_m3(filled_density(w, kg_per_m3(metal), kg_per_m3(1240.0))), published, 3e-4);
    }
}

/// Closed form of a frustum, V = πh/3 (R² + Rr + r²) (any handbook of mathematics), by hand for 60-82x140 mm.
#[test]
fn frustum_volume_by_hand() {
    let cup = vessel("cup 60-82x140 mm, glass");
    near(
        in_millilitres(cup.shape.capacity()),
        std::f64::consts::PI * 140.0 / 3.0 * (41.0 * 41.0 + 41.0 * 30.0 + 900.0) / 1000.0,
        1e-12,
    );
    // Half a US gallon jar: 231 in³ / 2 as a straight jar of 4 in by 9.1912 in holds 115.5 in³ (gallon = 231 in³, NIST HB 44).
    let jar = vessel("jar 4x9.1912 in");
    near(in_millilitres(jar.shape.capacity()), 231.0 / 2.0 * 16.387_064, 1e-5);
}

/// The whole of it by hand: an infilled iron-filled pull of 40x40x80 mm and 85 g in the tapered glass cup.
#[test]
fn the_demo_part_by_hand() {
    let cup = vessel("cup 60-82x140 mm, glass");
    let parts = [part("box 40x40x80 mm, 85 g, iron, PLA")];
    let shelf = [thing("glass marble", "glass", 20.0, Some(12))];
    let answer = solved(&question(&cup, &parts, &shelf));
    // It does not go in lying: 40 x 80 needs 89 mm across. So it stands 80, and with 15 of cover the line is at 95.
    near(in_millimetres(answer.fill_line), 95.0, 1e-12);
    near(in_millimetres(answer.freeboard), 45.0, 1e-12);
    // 128 mL · 1.03 − 85 g = 46.84 g; with 20 % 56.21 g. A marble of the lightest glass (2.4) holds 20·(1 − 1.03/2.4) =
    // 11.417 g, so five; they displace 100 g / 2.5 = 40 mL.
    near(in_newtons(answer.parts[0].net_buoyancy.best), 46.84e-3 * GRAVITY_M_S2, 1e-9);
    assert_eq!(answer.ballast[0].count, Some(5));
    near(in_millilitres(answer.ballast[0].displaced), 40.0, 1e-12);
    near(in_millilitres(answer.displaced), 168.0, 1e-12);
    near(answer.margin_percent.unwrap(), (5.0 * 20.0 * (1.0 - 1.03 / 2.4) / 46.84 - 1.0) * 100.0, 1e-9);
    // Frustum below 95 mm: diameter 60 + 22·95/140 = 74.93 mm.
    let d = 60.0 + 22.0 * 95.0 / 140.0;
    let below = std::f64::consts::PI / 12.0 * 95.0 * (3600.0 + 60.0 * d + d * d) / 1000.0;
    near(in_millilitres(answer.liquid), below - 168.0, 1e-12);
    // Two days cost at most 6 mm of 15.
    assert_eq!(answer.daily_top_up, None);
    near(in_millimetres(answer.evaporation.unwrap().1), 6.0, 1e-12);
    // What a hot bath loses is unknown, not nothing; under a lid it loses nothing.
    let hot = solved(&Question { temperature: celsius(90.0), ..question(&cup, &parts, &shelf) });
    assert!(hot.evaporation.is_none() && hot.warnings.iter().any(|w| w.contains("not known: look at the level")));
    let lidded = Vessel { cover: Some(Cover::Sealed), ..cup.clone() };
    let sealed = solved(&Question { temperature: celsius(90.0), ..question(&lidded, &parts, &shelf) });
    assert_eq!(sealed.evaporation.map(|e| in_millimetres(e.1)), Some(0.0));
    near(in_square_millimetres(answer.area.unwrap()), 2.0 * 1600.0 + 4.0 * 3200.0, 1e-12);
    // The same liquid asked for by its volume gives the same line.
    let again = immerse_in(&question(&cup, &parts, &shelf), answer.liquid).unwrap_or_else(|e| panic!("{e}"));
    near(in_millimetres(again.fill_line), 95.0, 1e-9);
}

#[test]
fn a_flooded_part_weighs_what_its_solid_weighs_in_the_bath() {
    let cup = vessel("jar 120x160 mm, glass");
    let parts = [part("box 40x40x80 mm, 85 g, iron, PLA, filament 1.85 g/cm3")];
    let answer = solved(&question(&cup, &parts, &[]));
    // 85 g of 1.85 g/cm³ displace 45.95 mL, 47.32 g of bath of 1.03: 37.68 g remain, downward.
    near(in_newtons(answer.parts[0].net_buoyancy_flooded.unwrap()), -37.675_676e-3 * GRAVITY_M_S2, 1e-6);
    // Without a shelf the answer is a mass of glass, and the others stand in the notes.
    assert_eq!(answer.ballast[0].count, None);
    assert!(answer.warnings.iter().any(|w| w.contains("stainless steel")), "{:?}", answer.warnings);
}

#[test]
fn what_does_not_fit_says_by_how_much() {
    let parts = [part("box 40x40x80 mm, 85 g, iron, PLA")];
    let told = |v: &str, parts: &[Part]| {
        let v = vessel(v);
        immerse(&question(&v, parts, &[])).err().map(|p| p.to_string()).unwrap_or_default()
    };
    // Diagonal of 40 x 40 is 56.57: 6.57 too wide for 50.
    assert!(told("jar 50x140 mm", &parts).contains("6.57 mm too wide"), "{}", told("jar 50x140 mm", &parts));
    // 80 + 15 = 95: 5 more than 90.
    assert!(told("jar 60x90 mm", &parts).contains("5 mm more"), "{}", told("jar 60x90 mm", &parts));
    let two = [part("box 40x40x80 mm, 85 g, iron, PLA, 2 of them")];
    assert!(told("jar 80x140 mm", &two).contains("side by side"), "{}", told("jar 80x140 mm", &two));
    assert!(told("tray 300x200x40 mm", &parts).contains("overflow"), "{}", told("tray 300x200x40 mm", &parts));
}

#[test]
fn a_wide_vessel_lets_the_part_lie_and_needs_less_liquid() {
    let tray = vessel("tray 300x200x100 mm, PP");
    let answer = solved(&question(&tray, &[part("box 40x40x80 mm, 85 g, iron, PLA")], &[]));
    near(in_millimetres(answer.fill_line), 55.0, 1e-12);
    let as_told = solved(&question(&tray, &[part("box 40x40x80 mm, 85 g, iron, PLA, standing")], &[]));
    near(in_millimetres(as_told.fill_line), 95.0, 1e-12);
}

/// Two parts lifted at different times from a straight tray, by hand.
#[test]
fn lifts_by_hand() {
    let tray = vessel("tray 200x100x100 mm, PP");
    let parts = [
        part("box 50x50x50 mm, 200 g, brass, lift 12 h, name first"),
        part("box 60x60x60 mm, 300 g, brass, lift 24 h, name second"),
    ];
    let answer = solved(&question(&tray, &parts, &[]));
    near(in_millimetres(answer.fill_line), 75.0, 1e-12);
    // The first takes 125 mL out of 20 000 mm²: 6.25 mm; 8.75 mm of cover stay over the second, 125 mL bring back 15.
    assert_eq!(answer.lifts.len(), 2);
    near(in_millimetres(answer.lifts[0].level), 68.75, 1e-9);
    assert!(answer.lifts[0].covered);
    near(in_millilitres(answer.lifts[0].reserve), 125.0, 1e-9);
    // With the reserve in, the level before the second lift is 75; 216 mL out make 64.2.
    near(in_millimetres(answer.lifts[1].level), 75.0 - 216.0 / 20.0, 1e-9);
    near(in_millilitres(answer.reserve.unwrap()), 125.0, 1e-9);
}

#[test]
fn refused_and_light_things_are_named_and_others_combined() {
    let cup = vessel("jar 120x160 mm, glass");
    let parts = [part("box 40x40x80 mm, 85 g, iron, PLA")];
    let shelf = [
        thing("steel nut", "steel", 30.0, None),
        thing("cork", "cork", 5.0, None),
        thing("glass marble", "glass", 20.0, Some(3)),
        thing("granite pebble", "granite", 45.0, Some(2)),
    ];
    let forbids = |m: &Material| (m.kind == MaterialKind::Metal).then(|| "it rusts in this bath".to_string());
    let mut q = question(&cup, &parts, &shelf);
    q.forbids = &forbids;
    let answer = solved(&q);
    let refused: Vec<&str> = answer.refused_ballast.iter().map(|(n, _)| n.as_str()).collect();
    assert_eq!(refused, ["steel nut", "cork"]);
    let taken: Vec<(&str, Option<u32>)> = answer.ballast.iter().map(|b| (b.thing.as_str(), b.count)).collect();
    // 56.2 g wanted: a pebble holds 27.2 g (2.6), a marble 11.4 g. Two pebbles are 54.3 g, so a marble more.
    assert_eq!(taken, [("glass marble", Some(1)), ("granite pebble", Some(2))]);
    let few = [thing("glass marble", "glass", 20.0, Some(3))];
    let told = immerse(&question(&cup, &parts, &few)).err().map(|p| p.to_string()).unwrap_or_default();
    assert!(told.contains("cannot hold") && told.contains("another"), "{told}");
}

#[test]
fn a_long_soak_asks_for_water_every_day() {
    let jar = vessel("jar 100x160 mm, glass, open");
    let parts = [part("sphere 40 mm, 200 g, copper")];
    let mut q = question(&jar, &parts, &[]);
    q.longest_soak = SignedDuration::from_hours(24 * 7);
    let answer = solved(&q);
    // 3 mm of a circle of 100 mm.
    near(in_millilitres(answer.daily_top_up.unwrap()), std::f64::consts::PI * 2500.0 * 3.0 / 1000.0, 1e-12);
    assert!(!answer.parts[0].floats && answer.ballast.is_empty() && answer.margin_percent.is_none());
}

#[test]
fn a_part_of_unknown_mass_or_height_is_asked_about() {
    let jar = vessel("jar 100x160 mm, glass");
    let parts = [part("box 40x40x80 mm, iron, PLA"), part("displaces 120 mL, 85 g, iron, PLA")];
    let told = immerse(&question(&jar, &parts, &[])).err().map(|p| p.to_string()).unwrap_or_default();
    assert!(told.contains("mass of `box`"), "{told}");
    let told = immerse(&question(&jar, &parts[1..], &[])).err().map(|p| p.to_string()).unwrap_or_default();
    assert!(told.contains("how high"), "{told}");
}

#[test]
fn the_vessel_with_the_least_bath_is_found() {
    let parts = [part("box 40x40x80 mm, 85 g, iron, PLA")];
    let vessels =
        [vessel("jar 50x140 mm"), vessel("jar 120x160 mm"), vessel("cup 60-82x140 mm"), vessel("tray 300x200x100 mm")];
    let q = question(&vessels[1], &parts, &[]);
    assert_eq!(immersion::least_bath(&q, &vessels).map(|(i, _)| i), Some(2));
}

#[test]
fn every_material_is_complete_and_its_names_are_its_own() {
    let mut seen = std::collections::BTreeMap::new();
    for m in materials() {
        let [best, low, high] = m.density_kg_m3;
        assert!(0.0 < low && low <= best && best <= high, "{}", m.id);
        assert!(!m.sources.is_empty() && m.sources.iter().all(|s| !s.status.is_empty()), "{}", m.id);
        assert_eq!(m.kind == MaterialKind::Metal, m.family.is_some(), "{}", m.id);
        assert!(m.kind != MaterialKind::Polymer || m.bath_below_c.is_some(), "{}", m.id);
        let names: std::collections::BTreeSet<String> =
            [&m.id, &m.name].into_iter().chain(&m.aliases).map(|n| n.to_lowercase()).collect();
        for name in names {
            assert!(!name.trim().is_empty());
            assert_eq!(seen.insert(name.clone(), &m.id), None, "{name}");
        }
    }
    assert!(materials().windows(2).all(|w| w[0].id < w[1].id));
    // Names people type.
    for (name, id) in [
        ("glass", "soda_lime_glass"),
        ("Glass marble", "soda_lime_glass"),
        ("marble", "marble"),
        ("steel", "mild_steel"),
        ("stainless", "stainless_steel"),
        ("PP", "polypropylene"),
        ("iron filament", "iron"),
        ("ABS", "abs"),
        ("stone", "stone"),
    ] {
        assert_eq!(material(name).map(|m| m.id.as_ref()), Some(id), "{name}");
    }
    // What fizzes in acid is marked, and the glass marble is not the stone.
    assert!(
        material("marble").is_some_and(|m| m.attacked_by_acid)
            && material("glass marble").is_some_and(|m| !m.attacked_by_acid)
    );
}

/// A square pot of 40 mm and 30 mm height with a hollow of 20 mm open at the top, as ASCII STL.
fn pot() -> Vec<u8> {
    let square = |from: f64, to: f64, z: f64| [[from, from, z], [to, from, z], [to, to, z], [from, to, z]];
    let (foot, rim) = (square(0.0, 40.0, 0.0), square(0.0, 40.0, 30.0));
    let (edge, floor) = (square(10.0, 30.0, 30.0), square(10.0, 30.0, 10.0));
    let mut faces = vec![[foot[3], foot[2], foot[1], foot[0]], floor];
    for i in 0..4 {
        let n = (i + 1) % 4;
        faces.push([foot[i], foot[n], rim[n], rim[i]]);
        faces.push([rim[i], rim[n], edge[n], edge[i]]);
        faces.push([edge[i], edge[n], floor[n], floor[i]]);
    }
    let mut text = String::from("solid pot\n");
    for [a, b, c, d] in faces {
        for corners in [[a, b, c], [a, c, d]] {
            text.push_str("facet normal 0 0 0\nouter loop\n");
            corners.iter().for_each(|p| text.push_str(&format!("vertex {} {} {}\n", p[0], p[1], p[2])));
            text.push_str("endloop\nendfacet\n");
        }
    }
    text.push_str("endsolid pot\n");
    text.into_bytes()
}

/// Air caught in an upturned pot displaces liquid like the pot itself (Archimedes): 40 mL of material and 8 mL of air are
/// lifted by 48 mL of bath. Worked by hand from the sizes.
#[test]
fn air_under_an_upturned_pot_is_held_down_too() {
    let pot = |up| {
        let load = |_: &str| Ok(pot().into());
        let mut part = read_part("pot.stl, 30 g, PLA", MeasureSystem::Metric, &load).unwrap_or_else(|e| panic!("{e}"));
        part.up = up;
        part
    };
    let jar = vessel("jar 100x120 mm, glass");
    let marbles = [thing("marble", "soda_lime_glass", 20.0, None)];
    let lifted = |up: Option<Side>, lay: Lay| {
        let parts = [pot(up)];
        let found = solved(&Question { lay, ..question(&jar, &parts, &marbles) });
        let sitting = &found.parts[0];
        let high = in_newtons(sitting.net_buoyancy.high) / GRAVITY_M_S2 * 1e3;
        let held: f64 = found.ballast.iter().map(|b| in_grams(b.mass) * (1.0 - 1.03 / 2.53)).sum();
        assert!(held >= high * 1.2, "{held} g hold {high} g");
        (sitting.up, high, in_cubic_millimetres(sitting.caught_air.unwrap()) / 1000.0, found.warnings.join("\n"))
    };
    let (_, high, air, told) = lifted(Some(Side::MinusZ), Lay::LeastBath);
    near(air, 8.0, 0.05);
    near(high, (40.0 + air) * 1.03 - 30.0, 1e-6);
    assert!(told.contains("catches about") && told.contains("tilted by about"), "{told}");
    for lay in [Lay::LeastBath, Lay::LeastAir] {
        let (up, high, air, told) = lifted(None, lay);
        assert_eq!((up, air), (Side::PlusZ, 0.0));
        near(high, 40.0 * 1.03 - 30.0, 1e-6);
        assert!(!told.contains("catches"), "{told}");
    }
}
