//! Published values for `sheet`.

use bathwright::amount::{Amount, Exact, MeasureSystem, Unit, VolumeUnit};
use bathwright::order::{Bench, Target};
use bathwright::recipe::library_with;
use bathwright::safety::Outcome;
use bathwright::sheet::{json, terminal};

/// Common practice, no source: the one-cup rust bath (3/4 cup of water, 1/8 cup each of vinegar and peroxide) taken to
/// 4 litres of poured liquids needs 12.7 cups of water; exactly 3000 mL / 236.5882365 mL (NIST Handbook 44: a US cup is
/// a sixteenth of a gallon of 231 cubic inches).
#[test]
fn four_litres_of_kitchen_rust_show_twelve_point_seven_cups_of_water() {
    let recipe = library_with(&[]).and_then(|l| l.recipe("kitchen-rust")).expect("an embedded recipe");
    let litres = Unit::Volume(VolumeUnit::Litre, MeasureSystem::Us);
    let target = Target::Poured(Amount::of(Exact::whole(4), litres));
    let Ok(Outcome::Passed(scaled)) = bathwright::plan::scale(&recipe, &Bench::default(), Some(&target), None) else {
        panic!("the kitchen rust bath is not refused");
    };
    let value = json::scale(&scaled);
    let water = &value["bath"]["measures"][0];
    assert_eq!(water["ingredient"], "water");
    assert_eq!(water["exact"], "12.68 cups");
    let ml = water["exact_ml"].as_f64().expect("a number");
    assert!((ml - 3000.0).abs() < 1e-5, "{ml}");
    assert!(terminal::scale(&scaled, 80).contains("12.68 cups"));
}
