//! Recipes: each one's worked example, and the published figures behind them.

mod bad;

use bathwright::amount::{Amount, Exact, MeasureSystem, Span, Unit, VolumeUnit, in_g_per_l};
use bathwright::bath::{BathSize, dose};
use bathwright::order::{Bench, Target};
use bathwright::recipe::{Example, Quantity, Recipe, embedded_ids, find_embedded, read_with_example};

fn read(id: &str) -> (Recipe, Option<Example>) {
    let text = find_embedded(id).unwrap_or_else(|| panic!("no recipe {id}"));
    read_with_example(text, &format!("recipes/{id}.yaml")).unwrap_or_else(|e| panic!("{e}"))
}

fn litres(amount: &Amount) -> Exact {
    amount.millilitres_exact().unwrap().low.checked_div(Exact::whole(1000)).unwrap()
}

/// The poured volume of the liquids as written, water and solutions: spoons of a solid are not counted.
fn poured_ml(recipe: &Recipe) -> Exact {
    if let Some(written_for) = &recipe.written_for {
        return written_for.millilitres_exact().unwrap().low;
    }
    recipe
        .ingredients
        .iter()
        .filter(|k| k.ingredient.line.strength.is_some() || k.ingredient.substance().is_some_and(|s| s.id == "water"))
        .filter_map(|k| match &k.quantity {
            Quantity::Kitchen(amount) => amount.millilitres_exact(),
            _ => None,
        })
        .fold(Exact::ZERO, |sum, v| sum.checked_add(v.low).unwrap())
}

/// What an ingredient comes to in the example's volume, in the unit of `like`.
fn comes_to(recipe: &Recipe, quantity: &Quantity, to: &Amount, like: Unit) -> Span<Exact> {
    match quantity {
        Quantity::Kitchen(amount) => {
            let factor =
                litres(to).checked_mul(Exact::whole(1000)).and_then(|x| x.checked_div(poured_ml(recipe))).unwrap();
            amount.scaled(factor).unwrap().in_unit(like).unwrap().value
        }
        Quantity::GramsPerLitre(span) => {
            let grams = span.map(|c| Exact::from_f64(in_g_per_l(c)).unwrap().checked_mul(litres(to)).unwrap());
            let one = match like {
                Unit::Mass(unit) => unit.exact_g().unwrap(),
                _ => panic!("grams per litre come to a mass"),
            };
            grams.map(|g| g.checked_div(one).unwrap())
        }
        Quantity::MillilitresPerLitre(span) => {
            let Unit::Volume(unit, system) = like else { panic!("mL/L come to a volume") };
            let one = unit.exact_ml(system).unwrap();
            span.map(|v| Exact::from_f64(v).unwrap().checked_mul(litres(to)).unwrap().checked_div(one).unwrap())
        }
        Quantity::MassPercent(_) | Quantity::Rest => panic!("these depend on density"),
    }
}

/// Every embedded recipe reads, carries a worked example, and the example holds to the last place written.
#[test]
fn worked_examples_of_all_recipes() {
    for id in embedded_ids() {
        let (recipe, example) = read(id);
        assert_eq!(recipe.id, id, "the id is the name of the file");
        let example = example.unwrap_or_else(|| panic!("{id} has no worked example"));
        assert!(!example.expect.is_empty(), "{id}");
        for (at, expected) in &example.expect {
            let item = &recipe.ingredients[*at];
            let exact = comes_to(&recipe, &item.quantity, &example.to, expected.unit);
            for (exact, shown) in [(exact.low, expected.value.low), (exact.high, expected.value.high)] {
                let off = exact.checked_sub(shown).unwrap();
                let off = if off.is_negative() { Exact::ZERO.checked_sub(off).unwrap() } else { off };
                let most = Example::half_last_place(shown).unwrap();
                let name = &item.ingredient.line.name;
                assert!(off <= most, "{id}: {name} comes to {} and not {}", exact.to_f64(), shown.to_f64());
            }
        }
    }
}

/// The program's own dosing comes to the worked examples, from a bare shelf: the recipe's own strengths.
#[test]
fn dosing_comes_to_the_worked_examples() {
    for id in embedded_ids() {
        let (recipe, example) = read(id);
        let example = example.unwrap();
        let size = match Target::to(&recipe, example.to.clone()) {
            Target::Finished(volume) => BathSize::Finished(volume),
            _ => BathSize::Poured(example.to.millilitres_exact().unwrap().low),
        };
        let dosing = dose(&recipe, &Bench::default(), size, &|_| String::new()).unwrap_or_else(|e| panic!("{id}: {e}"));
        for (at, expected) in &example.expect {
            let name = &recipe.ingredients[*at].ingredient.line.name;
            let dosed = dosing.doses.iter().find(|d| &d.ingredient.line.name == name).unwrap();
            let dosed =
                dosed.exact.in_unit(expected.unit).unwrap_or_else(|| panic!("{id}: {name} in another kind of unit"));
            let most = Example::half_last_place(expected.value.low).unwrap().to_f64() * (1.0 + 1e-9);
            let off = (dosed.value.low.to_f64() - expected.value.low.to_f64()).abs();
            assert!(off <= most, "{id}: {name} comes to {dosed}, not {expected}");
            let off = (dosed.value.high.to_f64() - expected.value.high.to_f64()).abs();
            assert!(off <= most, "{id}: {name} comes to {dosed}, not {expected}");
        }
    }
}

/// Common practice, no source: 3/4 cup water, 1/8 cup vinegar and 1/8 cup peroxide add up to one cup, salt not counted,
/// and 4 L of poured liquids take 12.7 cups of water; lifts at 12, 24 and 48 h. Exact: 3/4 x 4000 / 236.5882365 cups.
#[test]
fn kitchen_rust_adds_up_to_a_cup_and_scales_to_four_litres() {
    let (recipe, _) = read("kitchen-rust");
    let sum = recipe.ingredients[..3].iter().fold(Exact::ZERO, |sum, k| match &k.quantity {
        Quantity::Kitchen(a) => sum.checked_add(a.value.low).unwrap(),
        _ => panic!("kitchen amounts"),
    });
    assert_eq!(sum, Exact::ONE);
    assert_eq!(recipe.written_for, Some(Amount::of(Exact::ONE, Unit::Volume(VolumeUnit::Cup, MeasureSystem::Us))));
    let Quantity::Kitchen(water) = &recipe.ingredients[0].quantity else { panic!("kitchen amounts") };
    let cup = VolumeUnit::Cup.exact_ml(MeasureSystem::Us).unwrap();
    let scaled = water.scaled(Exact::whole(4000).checked_div(cup).unwrap()).unwrap();
    assert!((scaled.value.low.to_f64() - 12.680_258_9).abs() < 1e-6, "{}", scaled.value.low.to_f64());
    let hours: Vec<i64> = recipe.soak.iter().filter(|e| e.lift).map(|e| e.after.as_hours()).collect();
    assert_eq!(hours, [12, 24, 48]);
}
