//! What stands around the bath: drying, rinsing, small baths, what to buy; by the parts and bottles of the job.
//!
//! Times are common practice, no source, unless something else is said.

use super::trade::{order, passed};
use bathwright::amount::{MeasureSystem, in_grams, in_millilitres};
use bathwright::order::{Bench, read_bench};
use bathwright::part::Part;
use bathwright::plan::{Plan, Wish, choose};
use bathwright::recipe::{CareStage, Library, Method};
use bathwright::reference::{material, things};
use bathwright::timetable::Stage;

const JAR: Option<&str> = Some("jar 90x130 mm, glass");

fn bench(text: &str) -> Bench {
    read_bench(text, "bench.yaml").unwrap_or_else(|p| panic!("{p}"))
}

fn all_words(p: &Plan) -> String {
    let steps = p.timetable.iter().map(|s| s.what.clone());
    let advice = p.aftercare.advice.iter().flat_map(|(_, lines)| lines.clone());
    let d = &p.disposal;
    let waste = [&d.never, &d.household, &d.business, &d.solids].into_iter().flatten().cloned();
    steps.chain(advice).chain(waste).chain(p.method.steps.iter().cloned()).collect::<Vec<_>>().join(" ")
}

fn hours_of(p: &Plan, stage: Stage) -> i64 {
    p.timetable.iter().filter(|s| s.stage == stage).filter_map(|s| s.takes).map(|t| t.as_hours()).sum()
}

/// Only an infill holds bath for days and weeps at its seams.
#[test]
fn solid_metal_is_dry_in_hours_and_has_no_seams_to_weep() {
    for (recipe, metal, sign) in [
        ("kitchen-rust", "iron", "creeping rust"),
        ("ferric-nitrate-brown", "bronze", "pale green spots"),
        ("weak-nitrate-green", "copper", "pale green spots"),
    ] {
        let metal_part = passed(&order(recipe, &[&format!("box 40x40x20 mm, solid, {metal}")], JAR));
        let print = passed(&order(recipe, &[&format!("box 40x40x20 mm, 60 g, {metal}, PLA")], JAR));
        assert!(!all_words(&metal_part).contains("weep"), "{recipe}");
        assert!(all_words(&print).contains("weeping seams") && all_words(&metal_part).contains(sign), "{recipe}");
        assert_eq!(hours_of(&print, Stage::Dry), 48, "{recipe}");
        assert!(hours_of(&metal_part, Stage::Dry) <= 24, "{recipe}");
    }
    let silver = passed(&order(
        "hot-sulphide-silver",
        &["box 40x40x10 mm, solid, silver"],
        Some("beaker 90x130 mm, borosilicate glass"),
    ));
    assert!(!all_words(&silver).contains("green spots"));
}

/// 8 to 14 % tin: 7.4 to 8.9 g/cm³ (the densities of the table). A printer's air and thick lines are no metal's.
#[test]
fn a_solid_piece_weighs_between_its_densities() {
    let part: Part = super::trade::part("box 40x40x40 mm, solid bronze");
    let grams = [part.mass.low, part.mass.best, part.mass.high].map(in_grams);
    for (found, density) in grams.iter().zip([7.4, 8.8, 8.9]) {
        assert!((found - 64.0 * density).abs() < 0.01, "{grams:?}");
    }
    let print = super::trade::part("box 40x40x40 mm, solid, bronze, PLA, 80 % metal");
    assert!(in_grams(print.mass.low) < 0.91 * in_grams(print.mass.best));
}

/// Half a day in each bath, and as many steps as baths: the first rinse is the recipe's own.
#[test]
fn rinses_for_what_seeped_in_are_steps_of_half_a_day() {
    let p = passed(&order("kitchen-rust", &["box 40x40x40 mm, 60 g, iron, PLA"], JAR));
    let baths: Vec<_> = p.timetable.iter().filter(|s| s.what.contains("hollow prints in clean water")).collect();
    let wanted = p.aftercare.rinsing.as_ref().unwrap().times_with_inside.unwrap() - 1;
    assert_eq!(baths.len(), wanted as usize);
    assert!(baths.iter().all(|s| s.takes.is_some_and(|t| t.as_hours() == 12)));
    assert!(baths.windows(2).all(|w| (w[1].after - w[0].after).as_hours() == 12));
    assert!(baths.last().unwrap().what.contains("tested with paper"));
}

/// A dip of two minutes is followed by no day of rinsing; what got in is told by the scales.
#[test]
fn a_short_dip_is_weighed_and_not_soaked_out() {
    let part = ["box 40x40x40 mm, 120 g, copper, PLA"];
    let mut dip = order("liver-of-sulphur-brown", &part, JAR);
    dip.bench.room.outdoors = true;
    let p = passed(&dip);
    assert!(p.aftercare.inside_ml.is_some_and(|ml| ml > 0.0), "what may be inside is still said");
    assert!(
        !all_words(&p).contains("hollow prints in clean water")
            && all_words(&p).contains("weigh a print before and after")
    );
    let soak = passed(&order("bluestone-verdigris", &part, JAR));
    assert!(!all_words(&soak).contains("So short a dip"));
    let hour = passed(&order("ferric-nitrate-brown", &part, JAR));
    assert!(all_words(&hour).contains("hollow prints in clean water"));
}

/// A bath for iron that bronze was in holds copper, whatever the recipe says of its waste.
#[test]
fn waste_goes_by_the_metal_that_was_in_the_bath() {
    for (recipe, vessel) in [("brine-wet-dry", None), ("kitchen-rust", JAR), ("tannate-black", None)] {
        let p = passed(&order(recipe, &["box 40x40x20 mm, solid, bronze"], vessel));
        let step = p.timetable.iter().find(|s| s.stage == Stage::Dispose).unwrap();
        assert!(step.what.contains("not into drain") && step.what.contains("bronze"), "{recipe}: {}", step.what);
        let outcome = bathwright::plan::plan(&order(recipe, &["box 40x40x20 mm, solid, bronze"], vessel)).unwrap();
        let bathwright::safety::Outcome::Passed(reviewed) = outcome else { panic!("{recipe}") };
        let advice = reviewed.review().disposal.join(" ");
        assert!(!advice.contains("small amounts may go down the drain"), "{recipe}: {advice}");
        let iron = passed(&order(recipe, &["box 40x40x20 mm, solid, iron"], vessel));
        assert!(iron.timetable.iter().all(|s| !s.what.contains("metal waste")), "{recipe}");
    }
    // Nobody said what it is.
    let p = passed(&order("kitchen-rust", &["box 40x40x40 mm, 70 g, PLA"], JAR));
    assert!(p.timetable.iter().any(|s| s.stage == Stage::Dispose && s.what.contains("as if it held copper")));
}

/// The small baths come out of the bottles on the shelf: half as much of a vinegar twice as strong, by mass of acid in a
/// litre, and water for the rest; reviewed at the bottle's strength, never at a weaker one.
#[test]
fn small_baths_are_made_from_the_bottles_there() {
    let uses = |shelf: &str| {
        let mut o = order("two-step-rust", &["box 40x40x40 mm, 500 g, iron"], JAR);
        o.bench = bench(shelf);
        let p = passed(&o);
        let step = p.recipe.preparation.iter().find(|s| s.what.starts_with("First bath")).unwrap();
        let ml = |i: &bathwright::reference::Ingredient| {
            in_millilitres(i.line.amount.as_ref().unwrap().volume().unwrap().high)
        };
        step.uses.iter().map(|i| (i.line.text.clone(), ml(i))).collect::<Vec<_>>()
    };
    let rest = "{is: hydrogen peroxide 3 %}, {is: table salt}, {is: baking soda}";
    let weak = uses(&format!("stocks: [{{is: white vinegar 5 %}}, {rest}]"));
    assert_eq!(weak.len(), 1, "{weak:?}");
    let strong = uses(&format!("stocks: [{{is: white vinegar 10 %}}, {rest}]"));
    let (vinegar, water) = (&strong[1], &strong[0]);
    assert!(vinegar.0.contains("white vinegar 10 %") && water.0.contains("water"), "{strong:?}");
    assert!((vinegar.1 / weak[0].1 - 0.5).abs() < 0.03, "{strong:?} {weak:?}");
    assert!((vinegar.1 + water.1 - weak[0].1).abs() < 2.0, "{strong:?} {weak:?}");
    // A bottle too weak for it changes nothing: the words of the step stand.
    assert_eq!(uses(&format!("stocks: [{{is: white vinegar 4 %}}, {rest}]")), weak);
}

/// What only wets the part does not grow with it, and what stands for the bath follows the bath.
#[test]
fn small_baths_hold_what_they_are_for() {
    let mut fume = order("ammonia-salt-fuming", &["box 120x100x130 mm, 2600 g, copper, PLA"], None);
    fume.bench.room.outdoors = true;
    fume.space = Some(bathwright::order::read_box("20 L", MeasureSystem::Metric).unwrap());
    let brine =
        passed(&fume).recipe.preparation.iter().flat_map(|s| s.uses.clone()).map(|i| i.line.text).collect::<Vec<_>>();
    assert!(brine.contains(&"36 g table salt".to_string()) && brine.contains(&"150 mL water".to_string()), "{brine:?}");
    let coupon = passed(&order("two-step-rust", &["box 20x20x5 mm, 5 g, iron, PLA"], Some("jar 40x60 mm, glass")));
    let vinegar = coupon.recipe.preparation.iter().flat_map(|s| &s.uses).next().unwrap();
    assert_eq!(vinegar.line.text, "50 mL white vinegar 5 %");
    let soda = coupon.recipe.aftercare.iter().flat_map(|s| &s.uses).find(|i| i.line.name == "water").unwrap();
    assert_eq!(soda.line.text, "1 L water");
}

/// A sulphide colours while it is wet and is rinsed off; a green comes while it dries.
#[test]
fn coats_are_told_as_they_colour() {
    let words = |recipe: &str, metal: &str| {
        let mut o = order(recipe, &[&format!("box 40x40x20 mm, solid, {metal}")], None);
        o.bench.room.outdoors = true;
        let p = passed(&o);
        let facts = p.method.facts.iter().map(|(k, v)| format!("{k}: {v}")).collect::<Vec<_>>().join(" ");
        format!("{} {facts}", all_words(&p))
    };
    let sulphide = words("ammonium-sulphide-brown", "copper");
    assert!(
        !sulphide.contains("while it dries")
            && !sulphide.contains("each dry before")
            && !sulphide.contains("Drying between")
    );
    assert!(sulphide.contains("comes while it is wet"));
    let green = words("acetate-green", "copper");
    assert!(green.contains("while it dries") && green.contains("up to 12 h") && green.contains("each dry before"));
    // The last wait is for ripening, not for drying.
    assert!(!words("roofing-green-spray", "copper").contains("6 days"));
}

/// Names of needs are those of the shops' table, and every recipe with sanding, washing and sealing has them.
#[test]
fn what_a_recipe_needs_is_in_the_shops_table() {
    assert!(things().windows(2).all(|w| w[0].name < w[1].name));
    assert!(things().iter().all(|t| !t.package.is_empty() && !t.place.is_empty() && !t.status.is_empty()));
    let library = Library::default();
    for entry in library.entries() {
        let recipe = library.recipe(&entry.id).unwrap();
        let steps = || recipe.preparation.iter().chain(&recipe.aftercare);
        for need in steps().flat_map(|s| &s.needs).flat_map(|n| n.split(" or ")) {
            assert!(things().iter().any(|t| t.name == need), "{}: {need}", entry.id);
        }
        for step in steps() {
            let text = step.what.to_lowercase();
            let worked = step.stage == CareStage::Degrease
                || step.stage == CareStage::Prepare && text.contains("sand ")
                || step.stage == CareStage::Seal && text.contains("wax");
            assert!(!worked || !step.needs.is_empty(), "{}: {}", entry.id, step.what);
        }
    }
}

#[test]
fn papers_brushes_and_the_seal_are_on_the_shopping_list_until_the_bench_has_them() {
    let wish = |shelf: &str| Wish {
        metal: material("copper").unwrap(),
        binder: material("pla"),
        density: None,
        look: None,
        patience: None,
        bench: Some(bench(shelf)),
        room: bathwright::order::Room { outdoors: true, ..Default::default() },
        volume: bathwright::amount::millilitres(500.0),
    };
    let library = Library::default();
    let recipes = || library.entries().iter().map(|e| library.recipe(&e.id).unwrap()).collect::<Vec<_>>();
    let names = |shelf: &str, id: &str| -> Vec<String> {
        let choice = choose(wish(shelf), recipes());
        let c = choice.ranked.iter().find(|c| c.recipe().id == id).unwrap();
        c.shopping().iter().map(|p| p.name.clone()).collect()
    };
    let all = names("stocks: [{is: table salt}]", "salt-vinegar-verdigris");
    for name in ["abrasive paper P220 or fine pumice", "soft brush", "nylon brush", "clear lacquer spray or clear wax"]
    {
        assert!(all.contains(&name.to_string()), "{name} in {all:?}");
    }
    let shelf = "stocks: [{is: dish soap}]\nthings: [Fine pumice, clear wax]\ngear: [nitrile gloves]";
    let fewer = names(shelf, "salt-vinegar-verdigris");
    for name in
        ["abrasive paper P220 or fine pumice", "clear lacquer spray or clear wax", "dish soap", "nitrile gloves"]
    {
        assert!(!fewer.contains(&name.to_string()), "{name} in {fewer:?}");
    }
    assert!(fewer.contains(&"nylon brush".to_string()));
    assert!(recipes().iter().all(|r| r.method != Method::Brush || r.coats.is_some()));
}

/// The words of a recipe about its order do not differ from the order of pouring.
#[test]
fn notes_and_order_of_pouring_agree() {
    let library = Library::default();
    for entry in library.entries() {
        let recipe = library.recipe(&entry.id).unwrap();
        let metal = recipe.metals[0].id.to_string();
        let mut o = order(
            &entry.id,
            &[&format!("box 40x40x10 mm, solid, {metal}")],
            Some("jar 120x150 mm, borosilicate glass"),
        );
        o.bench.room.outdoors = true;
        if matches!(recipe.method, Method::Fume) {
            o.space = Some(bathwright::order::read_box("5 L", MeasureSystem::Metric).unwrap());
        }
        let p = passed(&o);
        let last = p.dosing.doses.len() - 1;
        for (i, dose) in p.dosing.doses.iter().enumerate() {
            let note = dose.note.clone().unwrap_or_default();
            assert!(!note.starts_with("last") || i == last, "{}: {} {note}", entry.id, dose.name);
        }
        for line in p.mixture.warnings.iter().chain(&p.dosing.notes) {
            // "Add X last": X is poured last.
            if let Some(name) = line.strip_prefix("Add ").and_then(|l| l.split(" last").next()) {
                assert!(p.dosing.doses[last].name.starts_with(name), "{}: {line}", entry.id);
            }
        }
    }
}
