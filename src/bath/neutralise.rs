//! How much of a reagent brings a bath to a pH, by the same charge balance that reads the bath.

use super::equilibrium::{Balance, Over};
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
    let Some(best) = amount(&bath.all, &per_gram, to.0, t_c, over) else {
        return Err(unreachable_ph(&name, to, start.ph).into());
    };
    let finished = added(&bath.all, &per_gram, best);
    let reading = ph::read(&finished, t_c, over)
        .map_err(|why| Problem::error(format!("the pH with {name} in it is not modelled: {why}")))?;
    let solve = |all: &Composition, aim: f64, grams_per_ph: Option<f64>| {
        let titration = Titration { bath: all, per_gram: &per_gram, t_c, over };
        let like = Like { grams: best, balance: &reading.balance, rising: start.ph < to.0, grams_per_ph };
        titration.amount_near(aim, &like).or_else(|| titration.amount(aim)).unwrap_or(best)
    };
    // The model itself: what it would take if the pH read wrongly by its own width.
    let width = reading.model.0.min(0.5);
    let [less, more] = [-width, width].map(|by| solve(&bath.all, (to.0 + by).clamp(0.0, 14.0), None));
    let grams_per_ph = Some((more - less).abs() / (2.0 * width)).filter(|g| g.is_finite());
    let ends: Vec<_> = bath
        .ends()
        .map(|(c, low, high)| (c, solve(&low, to.0, grams_per_ph), solve(&high, to.0, grams_per_ph)))
        .collect();
    let mut effects: Vec<Effect<'_>> =
        ends.iter().map(|(c, low, high)| Effect { label: &c.label, low: *low, high: *high, range: c.range }).collect();
    effects.push(Effect { label: "the model", low: less, high: more, range: false });
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
    Titration { bath, per_gram, t_c, over }.amount(aim)
}

/// A reagent going into a bath.
struct Titration<'a> {
    bath: &'a Composition,
    per_gram: &'a Composition,
    t_c: f64,
    over: Over,
}

/// What is known of a like bath.
struct Like<'a> {
    /// What it takes.
    grams: f64,
    /// Its balance with that in.
    balance: &'a Balance,
    /// Whether the reagent raises the pH.
    rising: bool,
    /// How many grams more a higher pH takes there.
    grams_per_ph: Option<f64>,
}

/// How close is close enough: pH, and share of the amount.
type Close = (f64, f64);
/// For the amount itself.
const EXACT: Close = (1e-11, 1e-9);
/// For what only tells how far an uncertainty reaches.
const NEAR: Close = (1e-5, 1e-6);

impl Titration<'_> {
    fn with(&self, grams: f64) -> Composition {
        added(self.bath, self.per_gram, grams)
    }

    /// Grams that bring the bath to a pH; each balance starts from the one before.
    fn amount(&self, aim: f64) -> Option<f64> {
        let mut last = ph::follow(&self.with(0.0), self.t_c, self.over, None)?;
        let start = last.ph - aim;
        if start.abs() < 1e-9 {
            return Some(0.0);
        }
        // Below zero before the aim, above it beyond.
        let sign = -start.signum();
        let mut beyond = |g: f64| {
            last = ph::follow(&self.with(g), self.t_c, self.over, Some(&last))?;
            Some(sign * (last.ph - aim))
        };
        let (low, high) = far(&mut beyond, (0.0, sign * start), self.bath.total_g())?;
        narrow(&mut beyond, low, high, EXACT)
    }

    /// The same from what a like bath takes; `None` where that does not lead to it.
    fn amount_near(&self, aim: f64, like: &Like<'_>) -> Option<f64> {
        let sign = if like.rising { 1.0 } else { -1.0 };
        let mut last = None;
        let mut beyond = |g: f64| {
            let found = ph::near(&self.with(g), self.t_c, self.over, last.as_ref().unwrap_or(like.balance))?;
            let ph = found.ph;
            last = Some(found);
            Some(sign * (ph - aim))
        };
        let (low, high) = near(&mut beyond, like)?;
        narrow(&mut beyond, low, high, NEAR)
    }
}

/// An amount in grams and how far beyond the aim it leads.
type Point = (f64, f64);

/// Two amounts on either side of the aim, by ever larger ones; in smaller steps where the model ends.
fn far(beyond: &mut impl FnMut(f64) -> Option<f64>, start: Point, total: f64) -> Option<(Point, Point)> {
    let (mut low, mut high, mut factor) = (start, total * 1e-6, 8.0);
    loop {
        match beyond(high) {
            Some(b) if b >= 0.0 => return Some((low, (high, b))),
            Some(b) if high < MOST * total => {
                low = (high, b);
                if high * factor > MOST * total {
                    factor = 2.0;
                }
                high *= factor;
            }
            None if factor > 2.0 && low.0 > 0.0 => {
                factor = 2.0;
                high = low.0 * factor;
            }
            _ => return None,
        }
    }
}

/// Two amounts on either side of the aim, from what a like bath takes.
fn near(beyond: &mut impl FnMut(f64) -> Option<f64>, like: &Like<'_>) -> Option<(Point, Point)> {
    if like.grams <= 0.0 {
        return None;
    }
    let mut here = (like.grams, beyond(like.grams)?);
    // As far as the like bath's slope says and a little more, to come out on the other side; then ever farther.
    let slope = like.grams_per_ph.filter(|g| *g > 0.0).unwrap_or(0.1 * like.grams);
    let mut step = (1.1 * slope * here.1.abs()).clamp(1e-5 * like.grams, 0.9 * like.grams);
    for _ in 0..12 {
        let up = here.1 < 0.0;
        let g = if up { here.0 + step } else { here.0 - step };
        if g <= 0.0 {
            return None;
        }
        let next = (g, beyond(g)?);
        match (up, next.1 < 0.0) {
            (true, false) => return Some((here, next)),
            (false, true) => return Some((next, here)),
            _ => {}
        }
        here = next;
        step = if up { 2.0 * step } else { (2.0 * step).min(0.7 * g) };
    }
    None
}

/// The amount between two that leads to the aim, by inverse quadratic interpolation where the curve allows it, else by
/// halving (Chandrupatla, Advances in Engineering Software 28 (1997) 145, from memory).
fn narrow(beyond: &mut impl FnMut(f64) -> Option<f64>, low: Point, high: Point, close: Close) -> Option<f64> {
    let (mut a, mut b) = (low, high);
    let mut t = a.1 / (a.1 - b.1);
    for _ in 0..100 {
        // `a` is the newest, `b` on the other side.
        let g = a.0 + t * (b.0 - a.0);
        let x = (g, beyond(g)?);
        let c = if (x.1 < 0.0) == (a.1 < 0.0) {
            a
        } else {
            let before = b;
            b = a;
            before
        };
        a = x;
        let best = if a.1.abs() < b.1.abs() { a } else { b };
        let least = 0.5 * close.1 * best.0 / (b.0 - a.0).abs();
        if best.1.abs() < close.0 || least > 0.5 {
            return Some(best.0);
        }
        let (xi, phi) = ((a.0 - b.0) / (c.0 - b.0), (a.1 - b.1) / (c.1 - b.1));
        let smooth = phi * phi < xi && (1.0 - phi) * (1.0 - phi) < 1.0 - xi;
        t = if smooth {
            a.1 / (b.1 - a.1) * c.1 / (b.1 - c.1) + (c.0 - a.0) / (b.0 - a.0) * a.1 / (c.1 - a.1) * b.1 / (c.1 - b.1)
        } else {
            0.5
        };
        t = t.clamp(least, 1.0 - least);
    }
    Some(a.0)
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

#[cfg(test)]
mod tests {
    use super::*;

    fn grams_of(water_g: f64, solutes: &[(&'static str, f64)]) -> Composition {
        Composition { water_g, solutes_g: solutes.iter().copied().collect(), ..Composition::default() }
    }

    /// The amount leads to the aim when the balance is solved afresh, and a like bath leads to the same amount.
    #[test]
    fn the_amount_leads_to_the_aim_from_afar_and_from_nearby() {
        let vinegar = grams_of(960.0, &[("acetic_acid", 40.0)]);
        let brine = grams_of(960.0, &[("acetic_acid", 6.0), ("sodium_chloride", 160.0)]);
        let lye = grams_of(990.0, &[("sodium_hydroxide", 10.0)]);
        for (bath, with, over, aim) in [
            (&vinegar, "sodium_bicarbonate", Over::AtMost(1.0), 7.0),
            (&brine, "sodium_bicarbonate", Over::AtMost(1.0), 5.0),
            (&brine, "sodium_carbonate", Over::AtMost(1.0), 7.0),
            (&vinegar, "sodium_hydroxide", Over::Nothing, 9.0),
            (&lye, "citric_acid", Over::Nothing, 7.0),
        ] {
            let reagent = grams_of(0.0, &[(with, 1.0)]);
            let titration = Titration { bath, per_gram: &reagent, t_c: 20.0, over };
            let found = titration.amount(aim).unwrap();
            // Where nothing buffers a billionth of the amount still moves the pH, so the amount is what is judged.
            let afresh = |g: f64| ph::follow(&titration.with(g), 20.0, over, None).unwrap().ph - aim;
            let (less, more) = (afresh(found * (1.0 - 1e-8)), afresh(found * (1.0 + 1e-8)));
            assert!(less * more < 0.0 && less.abs() < 1e-4, "{with}: {less} {more}");
            let before = ph::follow(bath, 20.0, over, None).unwrap().ph;
            for share in [0.3, 0.98, 1.01, 1.7] {
                let like = Like {
                    grams: found * share,
                    balance: &ph::follow(&titration.with(found * share), 20.0, over, None).unwrap(),
                    rising: before < aim,
                    grams_per_ph: None,
                };
                let again = titration.amount_near(aim, &like).unwrap();
                assert!((again / found - 1.0).abs() < 2e-5, "{with} from {share}: {again}, not {found}");
            }
        }
    }

    #[test]
    fn what_cannot_be_reached_is_not_found() {
        let vinegar = grams_of(960.0, &[("acetic_acid", 40.0)]);
        assert_eq!(amount(&vinegar, &grams_of(0.0, &[("sodium_chloride", 1.0)]), 7.0, 20.0, Over::Nothing), None);
    }
}
