//! Published values for `amount`.

use bathwright::amount::{
    Amount, Estimate, Exact, MassUnit, MeasureSystem, Tool, Unit, VolumeUnit, in_celsius, in_cubic_metres, in_grams,
    in_kg_per_m3, in_millilitres, in_millimetres, measure_out, read_amount, read_ingredient_line, read_length,
    read_mass, read_room_volume, read_temperature,
};
use bathwright::reference::bulk_density;

fn exact(text: &str) -> Exact {
    Exact::from_decimal(text.parse().expect("a decimal")).expect("within range")
}

fn us(text: &str) -> Amount {
    read_amount(text, MeasureSystem::Us).unwrap_or_else(|e| panic!("{text}: {e}"))
}

fn ml(text: &str) -> Exact {
    us(text).millilitres_exact().expect("a volume").low
}

#[track_caller]
fn near(found: f64, wanted: f64, relative: f64) {
    assert!((found - wanted).abs() <= relative * wanted.abs().max(1e-300), "{found} is not {wanted}");
}

/// NIST Handbook 44, Appendix C: 1 US gallon = 231 cubic inches exactly, 1 inch = 2.54 cm exactly.
#[test]
fn a_us_gallon_is_231_cubic_inches() {
    let inch_mm = exact("25.4");
    let cubic_inch_ml = inch_mm
        .checked_mul(inch_mm)
        .and_then(|x| x.checked_mul(inch_mm))
        .and_then(|x| x.checked_div(Exact::whole(1000)));
    assert_eq!(cubic_inch_ml, Some(exact("16.387064")));
    let gallon = cubic_inch_ml.and_then(|x| x.checked_mul(Exact::whole(231)));
    assert_eq!(gallon, VolumeUnit::Gallon.exact_ml(MeasureSystem::Us));
}

/// NIST Handbook 44, Appendix C, sections 2 and 4: 4 quarts, 8 pints, 16 cups, 128 fluid ounces to the gallon; the cup
/// is 8 fluid ounces = 1/2 liquid pint exactly. The millilitres follow by exact arithmetic from 231 cubic inches.
#[test]
fn us_kitchen_measures_to_the_last_figure() {
    for (text, wanted) in [
        ("1 gallon", "3785.411784"),
        ("1 quart", "946.352946"),
        ("1 pint", "473.176473"),
        ("1 cup", "236.5882365"),
        ("1 fl oz", "29.5735295625"),
        ("1 tbsp", "14.78676478125"),
        ("1 tsp", "4.92892159375"),
    ] {
        assert_eq!(ml(text), exact(wanted), "{text}");
    }
    assert_eq!(ml("8 fl oz"), ml("1 cup"));
    assert_eq!(ml("1/2 pint"), ml("1 cup"));
}

/// Weights and Measures Act 1985 (UK), Schedule 1: gallon = 4.54609 cubic decimetres exactly, 8 pints, 160 fluid ounces.
#[test]
fn imperial_measures_to_the_last_figure() {
    for (text, wanted) in
        [("1 imperial gallon", "4546.09"), ("1 imperial pint", "568.26125"), ("1 imperial fl oz", "28.4130625")]
    {
        assert_eq!(ml(text), exact(wanted), "{text}");
    }
    // An imperial pint is 20 % more than a US one (NIST Handbook 44, Appendix C, section 3: about 20 per cent).
    near(in_millilitres(us("1 imperial pint").volume().unwrap().low) / 473.176_473, 1.20, 0.002);
}

/// Metric cup and spoon sets approved by the Standards Association of Australia: cup 250, tablespoon 20, teaspoon 5 mL.
#[test]
fn australian_spoons_are_not_metric_spoons() {
    let read = |text: &str, system| read_amount(text, system).unwrap().millilitres_exact().unwrap().low;
    assert_eq!(read("1 tbsp", MeasureSystem::Australian), Exact::whole(20));
    assert_eq!(read("1 tbsp", MeasureSystem::Metric), Exact::whole(15));
    assert_eq!(read("1 cup", MeasureSystem::Australian), Exact::whole(250));
    assert_eq!(read("1 tsp", MeasureSystem::Australian), Exact::whole(5));
}

/// NIST SP 811, Appendix B: pound = 453.59237 g exactly, ounce = 1/16 and grain = 1/7000 of it.
#[test]
fn avoirdupois_masses_to_the_last_figure() {
    assert_eq!(MassUnit::Pound.exact_g(), Some(exact("453.59237")));
    assert_eq!(MassUnit::Ounce.exact_g(), Some(exact("28.349523125")));
    assert_eq!(MassUnit::Grain.exact_g(), Some(exact("0.06479891")));
    near(in_grams(read_mass("8 oz by weight").unwrap()), 226.796_185, 1e-12);
}

/// NIST SP 811, Appendix B: inch 25.4 mm, cubic foot 0.028316846592 m3, t/°C = (t/°F - 32)/1.8, all exact.
#[test]
fn inches_feet_and_fahrenheit() {
    near(in_millimetres(read_length("3 1/4 in", None).unwrap()), 82.55, 1e-12);
    near(in_cubic_metres(read_room_volume("1000 ft3").unwrap()), 28.316_846_592, 1e-12);
    near(in_celsius(read_temperature("68 F").unwrap()), 20.0, 1e-12);
    near(in_celsius(read_temperature("212 °F").unwrap()), 100.0, 1e-12);
    near(in_celsius(read_temperature("-40 F").unwrap()), -40.0, 1e-12);
}

/// Common practice, no source: a rust bath of 3/4 cup water, 1/8 cup vinegar, 1/8 cup hydrogen peroxide is one cup of
/// poured liquids, and scales to 4 litres of them as 12.7 cups of water.
#[test]
fn the_kitchen_rust_bath_is_one_cup_and_scales_to_four_litres() {
    let lines = ["3/4 cup water", "1/8 cup white vinegar 5 %", "1/8 cup hydrogen peroxide 3 %"];
    let amounts = lines.map(|l| read_ingredient_line(l, MeasureSystem::Us).unwrap().amount.unwrap());
    let sum = amounts.iter().map(|a| a.value.low).reduce(|a, b| a.checked_add(b).unwrap());
    assert_eq!(sum, Some(Exact::ONE));
    let factor = ml("4 L").checked_div(ml("1 cup")).unwrap();
    let water = amounts[0].scaled(factor).unwrap();
    assert_eq!(water.millilitres_exact().unwrap().low, Exact::whole(3000));
    assert_eq!(water.value.low.to_decimal(1).unwrap().to_string(), "12.7");
    assert_eq!(water.unit, Unit::Volume(VolumeUnit::Cup, MeasureSystem::Us));
}

/// USDA National Nutrient Database for Standard Reference, WEIGHT table, food 02047: a tablespoon of table salt is 18 g,
/// a teaspoon 6.0 g, a cup 292 g; food 18372: a teaspoon of baking soda is 4.6 g. Within the two figures given.
#[test]
fn a_spoon_of_salt_weighs_what_the_food_tables_say() {
    let grams = |solid: &str, text: &str| {
        let density: Estimate<_> = bulk_density(solid, "").unwrap();
        in_kg_per_m3(density.best) / 1000.0 * in_millilitres(us(text).volume().unwrap().low)
    };
    near(grams("table salt", "1 tbsp"), 18.0, 0.01);
    near(grams("table salt", "1 tsp"), 6.0, 0.01);
    near(grams("table salt", "1 cup"), 292.0, 0.015);
    near(grams("baking soda", "1 tsp"), 4.6, 0.01);
    let m = measure_out(&us("18 g"), &Tool::kitchen_set(MeasureSystem::Us), bulk_density("table salt", "")).unwrap();
    assert_eq!(m.text, "1 tbsp");
    // A careful home weighing (a web page read) gave 14.42 g: within the spread that is carried along.
    let spread = m.bulk_error_percent.unwrap();
    assert!(18.0 * (1.0 + spread.low / 100.0) < 14.6 && spread.high > 0.0, "{spread:?}");
}
