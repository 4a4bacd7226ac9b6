//! Published values for `bath`.

use bathwright::amount::{MeasureSystem, celsius};
use bathwright::bath::{MixConditions, mix};
use bathwright::reference::read_ingredient;

#[test]
fn show() {
    for lines in [
        vec!["3/4 cup water", "1/8 cup white vinegar 5 %", "1/8 cup hydrogen peroxide 3 %", "2-3 tbsp table salt"],
        vec!["1 L water", "80 g copper sulfate pentahydrate"],
        vec!["1 L water", "1 tbsp baking soda"],
        vec!["1 cup water", "50 mL ammonia 10 %", "10 g table salt"],
        vec!["900 mL water", "100 mL ferric chloride 42 Be"],
        vec!["500 mL white vinegar", "2 tbsp baking soda"],
        vec!["100 mL water", "20 g caustic soda"],
        vec!["1 L water"],
    ] {
        let list: Vec<_> =
            lines.iter().map(|l| read_ingredient(l, MeasureSystem::Us).map_err(|e| println!("{e}")).unwrap()).collect();
        match mix(&list, &MixConditions { temperature: celsius(20.0), carbonate: None }) {
            Ok(m) => println!(
                "{lines:?}\n{:?}\n d {:?} pH {:?} heat {:?}\n {:#?}\n{:?}\n{:#?}",
                m.volume,
                m.density,
                m.ph,
                m.heat_rise,
                m.solutes
                    .iter()
                    .map(|s| (s.substance, s.concentration, s.fraction.best, s.largest_error.clone()))
                    .collect::<Vec<_>>(),
                m.gas,
                m.warnings
            ),
            Err(e) => println!("{lines:?}\n{e}"),
        }
    }
}
