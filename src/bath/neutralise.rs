//! How much of a reagent brings a bath to a pH, by the same charge balance that reads the bath.

use super::equilibrium::Over;
use super::gas::{gas, gases};
use super::mixture::{Bath, air, pour_all};
use super::pour::{known, name_of, pour};
use super::species::{Composition, of, solute};
use super::uncertainty::{Effect, combine};
use super::{Carbonate, Gas, MixConditions, Neutralised, ph};
use crate::amount::{
    Amount, Estimate, Exact, MassUnit, Ph, ThermodynamicTemperature, Unit, grams, in_celsius, in_grams,
};
use crate::diag::{Checked, Problem};
use crate::reference::Ingredient;

/// The most reagent to try, as a multiple of the bath.
const MOST: f64 = 20.0;

/// How much of `with` brings the mixture to `to`. An amount in `with` is not looked at.
///
/// # Errors
/// As [`super::mix`]; a reagent that cannot reach that pH; a bath whose pH is not modelled.
pub fn neutralise(
    ingredients: &[Ingredient],
    with: &Ingredient,
    to: Ph,
    conditions: &MixConditions,
) -> Checked<Neutralised> {
    let t_c = in_celsius(conditions.temperature);
    let bath = Bath::of(pour_all(ingredients, conditions.temperature)?)?;
    if !(0.0..=14.0).contains(&to.0) {
        return Err(Problem::error(format!("pH {} cannot be aimed at: 0 to 14", to.0)).in_field("to").into());
    }
    let per_gram = reagent(with, t_c)?;
    let name = name_of(with, known(with)?);
    let over = exchange(&bath.all, &per_gram, conditions.carbonate);
    let start = ph::read(&bath.all, t_c, over)
        .map_err(|why| Problem::error(format!("the pH of this bath is not modelled: {why}")))?;
    let solve = |all: &Composition, aim: f64| amount(all, &per_gram, aim, t_c, over);
    let Some(best) = solve(&bath.all, to.0) else {
        return Err(unreachable_ph(&name, to, start.ph).into());
    };
    let finished = added(&bath.all, &per_gram, best);
    let reading = ph::read(&finished, t_c, over)
        .map_err(|why| Problem::error(format!("the pH with {name} in it is not modelled: {why}")))?;
    let ends: Vec<_> = bath
        .ends()
        .map(|(c, low, high)| (c, solve(&low, to.0).unwrap_or(best), solve(&high, to.0).unwrap_or(best)))
        .collect();
    let mut effects: Vec<Effect<'_>> =
        ends.iter().map(|(c, low, high)| Effect { label: &c.label, low: *low, high: *high, range: c.range }).collect();
    // The model itself: what it would take if the pH read wrongly by its own width.
    let aside = |by: f64| solve(&bath.all, (to.0 + by).clamp(0.0, 14.0)).unwrap_or(best);
    let width = reading.model.0.min(0.5);
    effects.push(Effect { label: "the model", low: aside(-width), high: aside(width), range: false });
    // Shop chemicals are 98 to 102 % of what they are called.
    effects.push(Effect { label: "purity", low: best * 0.98, high: best * 1.02, range: false });
    let (mass, _) = combine(best, &effects);
    let width = Estimate { best: reading.ph, low: reading.ph - reading.model.0, high: reading.ph + reading.model.1 };
    let mut warnings: Vec<String> = bath.poured.iter().flat_map(|p| p.warnings.clone()).collect();
    if best > 0.0 && start.model.0.max(start.model.1) > 1.0 {
        warnings
            .push("Nothing holds the pH of this bath, so the figure is small and uncertain: test with paper.".into());
    }
    let gas = made(&bath.all, &finished, &reading, over, conditions.temperature);
    if gas.iter().any(|g| g.gas == "carbon dioxide") {
        warnings.push(
            "It foams: add it in small portions in an open vessel with room above the liquid, and wait in between."
                .into(),
        );
    }
    warnings.push("Stop and test before all of it is in: labels and spoons are not exact.".into());
    Ok(Neutralised {
        reagent: name,
        mass: Estimate { low: mass.low.max(0.0), ..mass }.map(grams),
        ph: width.map(Ph),
        gas,
        warnings,
    })
}

/// Composition of one gram of the reagent.
pub(super) fn reagent(with: &Ingredient, t_c: f64) -> Checked<Composition> {
    let mut one = with.clone();
    one.line.amount = Some(Amount::of(Exact::ONE, Unit::Mass(MassUnit::Gram)));
    let poured = pour(&one, t_c.clamp(15.0, 30.0))?;
    Ok(poured.best)
}

fn exchange(bath: &Composition, per_gram: &Composition, chosen: Option<Carbonate>) -> Over {
    let mut both = bath.clone();
    both.add_all(per_gram);
    let carbonate = per_gram.entries().any(|(s, g)| g > 0.0 && of(s, "co3") > 0.0);
    match chosen {
        None if carbonate => Over::AtMost(1.0),
        chosen => air(&both, chosen).over,
    }
}

pub(super) fn added(bath: &Composition, per_gram: &Composition, grams: f64) -> Composition {
    let mut all = bath.clone();
    all.water_g += grams * per_gram.water_g;
    for (id, g) in &per_gram.solutes_g {
        all.add(id, grams * g);
    }
    for (name, g) in &per_gram.foreign_g {
        *all.foreign_g.entry(name.clone()).or_insert(0.0) += grams * g;
    }
    all
}

/// Grams of reagent that bring a bath to a pH; `None` when it cannot.
pub(super) fn amount(bath: &Composition, per_gram: &Composition, aim: f64, t_c: f64, over: Over) -> Option<f64> {
    let chain = ph::Chain::new(t_c, over);
    let ph = |g: f64| chain.value(&added(bath, per_gram, g));
    let start = ph(0.0)?;
    if (start - aim).abs() < 1e-9 {
        return Some(0.0);
    }
    let rising = start < aim;
    let passed = |p: f64| if rising { p >= aim } else { p <= aim };
    let total = bath.total_g();
    let (mut low, mut high) = (0.0, total * 1e-6);
    loop {
        match ph(high) {
            Some(p) if passed(p) => break,
            Some(_) if high < MOST * total => {
                low = high;
                high *= 2.0;
            }
            _ => return None,
        }
    }
    for _ in 0..60 {
        let mid = 0.5 * (low + high);
        if passed(ph(mid)?) {
            high = mid;
        } else {
            low = mid;
        }
        if high - low < 1e-7 * high {
            break;
        }
    }
    Some(0.5 * (low + high))
}

fn unreachable_ph(name: &str, to: Ph, start: f64) -> Problem {
    Problem::error(format!("{name} does not bring this bath from pH {start:.1} to {:.1}", to.0))
        .hint("aim nearer, or take a stronger base or acid")
}

/// Gas made: carbon dioxide from the balance, the others as upper bounds.
fn made(
    bath: &Composition,
    finished: &Composition,
    reading: &ph::Reading,
    over: Over,
    temperature: ThermodynamicTemperature,
) -> Vec<Gas> {
    let carbon = finished.component_mol("co3");
    let mut found: Vec<Gas> = gases(finished, temperature).into_iter().filter(|g| g.gas != "carbon dioxide").collect();
    let leaves = carbon - reading.balance.carbon * reading.water_kg;
    let name = "carbon dioxide";
    if over != Over::Nothing && leaves > 1e-6 {
        found.insert(0, gas(name, leaves, temperature, "what the carbonate gives less what stays dissolved".into()));
    } else if over == Over::Nothing && carbon > 0.0 && bath.component_mol("h") > 0.0 {
        found.extend(gases(finished, temperature).into_iter().filter(|g| g.gas == name));
    }
    found
}

/// Grams of a base (or acid) that exactly use up an acid (or base) by stoichiometry, without looking at pH: equal
/// equivalents. `None` when either has none.
pub fn equivalent_mass(of_id: &str, mass: crate::amount::Mass, with_id: &str) -> Option<crate::amount::Mass> {
    use super::species::{acid_protons, base_equivalents};
    let (a, b) = (solute(of_id)?, solute(with_id)?);
    let (have, need) = if acid_protons(a) > 0.0 {
        (acid_protons(a), base_equivalents(b))
    } else {
        (base_equivalents(a), acid_protons(b))
    };
    let found = in_grams(mass) / a.molar_mass_g_mol? * have / need * b.molar_mass_g_mol?;
    (have > 0.0 && need > 0.0 && found.is_finite()).then(|| grams(found))
}
