//! How much of a reagent brings a bath to a pH, by the same charge balance that reads the bath.

use super::air::{AIR_ATM, air};
use super::equilibrium::{Balance, Guess, Over};
use super::gas::gases;
use super::mixture::{Bath, pour_all, undissolved_words};
use super::pour::{Poured, known, name_of, pour};
use super::solubility::settle;
use super::species::{Composition, of};
use super::uncertainty::{Effect, combine};
use super::{Carbonate, MixConditions, Neutralised, ph};
use crate::amount::{Amount, Estimate, Exact, Mass, MassUnit, Ph, Unit, grams, in_celsius};
use crate::diag::{Checked, Problem, Problems};
use crate::reference::Ingredient;
use crate::reference::schema::Component;

/// An amount within this factor of another is found from it.
const ALIKE: f64 = 1.5;
/// The most reagent to try, as a multiple of the bath.
const MOST: f64 = 20.0;

/// How much of `with` brings the mixture to `to`. An amount in `with` is not looked at.
///
/// # Errors
/// As [`super::mix`]; a reagent that cannot reach that pH; a bath whose pH is not modelled. All faults at once.
pub fn neutralising_mass(
    ingredients: &[Ingredient],
    with: &Ingredient,
    to: Ph,
    conditions: &MixConditions,
) -> Checked<Estimate<Mass>> {
    let search = Search::of(ingredients, with, to, conditions)?;
    Ok(search.in_state(search.exchange(conditions.carbonate))?.mass.map(grams))
}

/// The same, with everything to be said about it.
///
/// # Errors
/// As [`neutralising_mass`].
pub fn neutralise(
    ingredients: &[Ingredient],
    with: &Ingredient,
    to: Ph,
    conditions: &MixConditions,
) -> Checked<Neutralised> {
    let search = Search::of(ingredients, with, to, conditions)?;
    let Search { bath, reagent, t_c, .. } = &search;
    let over = search.exchange(conditions.carbonate);
    let here = search.in_state(over)?;
    let holds_carbonate = [&bath.all, &reagent.best].iter().any(|c| carbonates(c));
    let carbonate = holds_carbonate.then_some(match over {
        Over::Nothing => Carbonate::Closed,
        Over::Held(atm) if atm < 1.0 => Carbonate::Aired,
        Over::Held(_) | Over::AtMost(_) => Carbonate::Fizzing,
    });
    let fizzing = carbonate == Some(Carbonate::Fizzing);
    let stood = if fizzing { search.in_state(Over::Held(AIR_ATM)).ok().map(|s| s.mass) } else { None };
    let mut warnings: Vec<String> = bath.poured.iter().chain([reagent]).flat_map(|p| p.warnings.clone()).collect();
    let loose = |start: ph::Reading| start.model.0.max(start.model.1) > 1.0;
    if here.mass.best > 0.0 && ph::read_solved(&bath.all, *t_c, over, here.start).is_ok_and(loose) {
        warnings
            .push("Nothing holds the pH of this bath, so the figure is small and uncertain: test with paper.".into());
    }
    let finished = bath.all.plus(here.mass.best, &reagent.best);
    let gas = gases(&finished, conditions.temperature);
    warnings.extend(settle(finished, *t_c).1.iter().map(|s| undissolved_words(s, *t_c)));
    if gas.iter().any(|g| g.gas == "carbon dioxide") {
        warnings.push(
            "It foams: add it in small portions in an open vessel with room above the liquid, and wait in between."
                .into(),
        );
        let most = stood.or((carbonate == Some(Carbonate::Aired)).then_some(here.mass));
        if let Some(most) = most.filter(|m| m.high > 0.0) {
            warnings.push(format!(
                "Add at most {}, which comes to about pH {:.1} once it has stopped fizzing and stood open; while it \
                 fizzes paper reads lower: wait, do not add more.",
                gram_words(most.high),
                to.0
            ));
        }
    }
    warnings.push("Stop and test before all of it is in: labels and spoons are not exact.".into());
    let model = here.reading.model;
    let ph = Estimate { best: here.reading.ph, low: here.reading.ph - model.0, high: here.reading.ph + model.1 };
    Ok(Neutralised {
        reagent: search.name,
        mass: here.mass.map(grams),
        ph: ph.map(Ph),
        carbonate,
        stood: stood.map(|m| m.map(grams)),
        gas,
        warnings,
    })
}

fn gram_words(g: f64) -> String {
    let places = if g >= 10.0 { 0 } else { 2 };
    format!("{g:.places$} g")
}

fn gather<T>(value: Checked<T>, faults: &mut Vec<Problem>) -> Option<T> {
    value.map_err(|Problems(more)| faults.extend(more)).ok()
}

/// A bath, a reagent and the pH it is to come to.
struct Search {
    bath: Bath,
    reagent: Poured,
    name: String,
    aim: f64,
    t_c: f64,
}

/// What it takes in one state of the carbonate.
struct Found {
    mass: Estimate<f64>,
    /// Before, and with the reagent in it.
    start: Balance,
    reading: ph::Reading,
}

impl Search {
    fn of(ingredients: &[Ingredient], with: &Ingredient, to: Ph, conditions: &MixConditions) -> Checked<Search> {
        let t_c = in_celsius(conditions.temperature);
        let mut faults = Vec::new();
        let bath = gather(pour_all(ingredients, conditions.temperature).and_then(Bath::of), &mut faults);
        if !(0.0..=14.0).contains(&to.0) {
            faults.push(Problem::error(format!("pH {} cannot be aimed at: 0 to 14", to.0)).in_field("to"));
        }
        let reagent = gather(reagent(with, t_c).map_err(|p| p.in_field("with")), &mut faults);
        match (bath, reagent) {
            (Some(bath), Some(reagent)) if faults.is_empty() => {
                Ok(Search { bath, reagent, name: name_of(with, known(with)?), aim: to.0, t_c })
            }
            _ => Err(Problems(faults)),
        }
    }

    /// What the carbon dioxide is in balance with as the reagent goes in.
    fn exchange(&self, chosen: Option<Carbonate>) -> Over {
        exchange(&self.bath.all, &self.reagent.best, chosen)
    }

    fn in_state(&self, over: Over) -> Checked<Found> {
        let Search { bath, reagent, name, aim, t_c } = self;
        let (aim, t_c, per_gram) = (*aim, *t_c, &reagent.best);
        let start = ph::solved(&bath.all, t_c, over)
            .map_err(|why| Problem::error(format!("the pH of this bath is not modelled: {why}")))?;
        let titration = Titration { bath: &bath.all, per_gram, t_c, over };
        let Some((best, balance)) = titration.amount(aim, Some(&start)) else {
            return Err(unreachable_ph(name, aim, start.ph).into());
        };
        let reading = ph::read_solved(&titration.with(best), t_c, over, balance)
            .map_err(|why| Problem::error(format!("the pH with {name} in it is not modelled: {why}")))?;
        let like = Guess::Like(best, &reading.balance);
        let solve = |bath: &Composition, per_gram: &Composition, aim: f64| {
            let titration = Titration { bath, per_gram, t_c, over };
            // From too far away the steps may lead to a second, larger amount with the same pH.
            let alike = |(grams, _): &(f64, Balance)| (best / ALIKE..best * ALIKE).contains(grams);
            let near = titration.amount_near(aim, &like).filter(alike);
            near.or_else(|| titration.searched(aim)).map_or(best, |(grams, _)| grams)
        };
        // The model itself: what it would take if the pH read wrongly by its own width.
        let width = reading.model.0.min(0.5);
        let [less, more] = [-width, width].map(|by| solve(&bath.all, per_gram, (aim + by).clamp(0.0, 14.0)));
        let of_bath = |all: Composition| solve(&all, per_gram, aim);
        let of_bath = bath.ends().map(|(c, low, high)| c.effect(of_bath(low), high.map_or(best, of_bath)));
        // Of one that is only more or less of the same it takes less or more.
        let of_reagent = |one: &Composition| match one.multiple_of(per_gram) {
            Some(times) => best / times,
            None => solve(&bath.all, one, aim),
        };
        let causes = reagent.causes.iter();
        let of_reagent = causes.map(|c| c.effect(of_reagent(&c.low), c.high.as_ref().map_or(best, of_reagent)));
        let others = [
            Effect { label: "the model", low: less, high: more, range: false },
            // Shop chemicals are 98 to 102 % of what they are called.
            Effect { label: "purity", low: best * 0.98, high: best * 1.02, range: false },
        ];
        let (mass, _) = combine(best, of_bath.chain(of_reagent).chain(others));
        Ok(Found { mass: Estimate { low: mass.low.max(0.0), ..mass }, start, reading })
    }
}

/// One gram of the reagent, with all that makes it uncertain.
pub(super) fn reagent(with: &Ingredient, t_c: f64) -> Checked<Poured> {
    let mut one = with.clone();
    one.line.amount = Some(Amount::of(Exact::ONE, Unit::Mass(MassUnit::Gram)));
    pour(&one, t_c.clamp(15.0, 30.0))
}

/// Whether there is carbonate in it.
pub(super) fn carbonates(c: &Composition) -> bool {
    c.entries().any(|(s, g)| g > 0.0 && of(s, Component::Co3) > 0.0)
}

fn exchange(bath: &Composition, per_gram: &Composition, chosen: Option<Carbonate>) -> Over {
    match chosen {
        None if carbonates(per_gram) => Over::AtMost(1.0),
        chosen => air(&bath.plus(1.0, per_gram), chosen).over,
    }
}

/// Grams of reagent that bring a bath to a pH; `None` when it cannot.
pub(super) fn amount(bath: &Composition, per_gram: &Composition, aim: f64, t_c: f64, over: Over) -> Option<f64> {
    Titration { bath, per_gram, t_c, over }
        .amount(aim, ph::follow(bath, t_c, over, None).as_ref())
        .map(|(grams, _)| grams)
}

/// A reagent going into a bath.
struct Titration<'a> {
    bath: &'a Composition,
    per_gram: &'a Composition,
    t_c: f64,
    over: Over,
}

/// How close is close enough: pH, and share of the amount.
const CLOSE: (f64, f64) = (1e-11, 1e-9);
/// How much more is tried to see which way the pH goes, as a share of the amount.
const A_LITTLE: f64 = 1e-3;
/// How close to the aim the balance read afresh has to come, pH.
const HIT: f64 = 1e-6;
/// Reagent to begin with, as a share of the bath: little, so that of two amounts that lead to a pH the smaller is found.
const FIRST: f64 = 1e-4;

impl Titration<'_> {
    fn with(&self, grams: f64) -> Composition {
        self.bath.plus(grams, self.per_gram)
    }

    /// Grams that bring the bath to a pH, and the balance then; from that before where it is known.
    fn amount(&self, aim: f64, before: Option<&Balance>) -> Option<(f64, Balance)> {
        let first = Guess::Grams(FIRST * self.bath.total_g(), before);
        let (most, hit) = (MOST * self.bath.total_g(), |again: &Balance| (again.ph - aim).abs() < HIT);
        let found = ph::grams(self.bath, self.per_gram, aim, self.t_c, self.over, &first)
            .filter(|(grams, _)| *grams < most)
            .and_then(|(grams, found)| Some((grams, self.followed(grams, &found).filter(hit)?)));
        // Of two amounts that lead to the aim only the smaller leads past it: from the larger one it comes back.
        let past = |grams: f64, there: &Balance, before: &Balance| {
            let more = ph::value_near(&self.with(grams * (1.0 + A_LITTLE)), self.t_c, self.over, there);
            more.is_none_or(|more| (more > aim) == (aim > before.ph))
        };
        match &found {
            Some((grams, there)) if before.is_none_or(|before| past(*grams, there, before)) => found,
            _ => self.searched(aim).or(found),
        }
    }

    /// The balance with so much in it, from that of nearly as much.
    fn followed(&self, grams: f64, last: &Balance) -> Option<Balance> {
        ph::follow(&self.with(grams), self.t_c, self.over, Some(last))
    }

    /// The same by ever larger amounts, then by closing in on the aim; each balance starts from the one before.
    fn searched(&self, aim: f64) -> Option<(f64, Balance)> {
        let mut last = ph::follow(&self.with(0.0), self.t_c, self.over, None)?;
        let start = last.ph - aim;
        if start.abs() < 1e-9 {
            return Some((0.0, last));
        }
        // Below zero before the aim, above it beyond.
        let sign = -start.signum();
        let mut beyond = |g: f64| {
            last = self.followed(g, &last)?;
            Some(sign * (last.ph - aim))
        };
        let (low, high) = far(&mut beyond, (0.0, sign * start), self.bath.total_g())?;
        let grams = narrow(&mut beyond, low, high)?;
        Some((grams, self.followed(grams, &last)?))
    }

    /// The same from what a like bath takes; `None` where that does not lead to it.
    fn amount_near(&self, aim: f64, like: &Guess<'_>) -> Option<(f64, Balance)> {
        let found = ph::grams(self.bath, self.per_gram, aim, self.t_c, self.over, like)?;
        ph::totals(&self.with(found.0)).is_ok().then_some(found)
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

/// The amount between two that leads to the aim, by inverse quadratic interpolation where the curve allows it, else by
/// halving (Chandrupatla, Advances in Engineering Software 28 (1997) 145, from memory).
fn narrow(beyond: &mut impl FnMut(f64) -> Option<f64>, low: Point, high: Point) -> Option<f64> {
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
        let least = 0.5 * CLOSE.1 * best.0 / (b.0 - a.0).abs();
        if best.1.abs() < CLOSE.0 || least > 0.5 {
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

fn unreachable_ph(name: &str, to: f64, start: f64) -> Problem {
    Problem::error(format!("{name} does not bring this bath from pH {start:.1} to {to:.1}"))
        .hint("aim nearer, or take a stronger base or acid")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::amount::{MeasureSystem, celsius, in_grams};
    use crate::reference::read_ingredient;

    fn grams_of(water_g: f64, solutes: &[(&str, f64)]) -> Composition {
        Composition::of_grams(water_g, solutes)
    }

    /// Twelve waters of crystallisation weigh 216 g a mole against 164 g of the salt: the amount may be 2.32 times as much, and
    /// no more; a kilogram of it would have the same pH again in the model.
    #[test]
    fn the_other_end_of_a_hydrate_is_not_a_second_amount() {
        let line = |text: &str| read_ingredient(text, MeasureSystem::Metric).unwrap();
        let bath = [line("500 ml water"), line("250 ml phosphoric acid 10%")];
        let conditions = MixConditions { temperature: celsius(20.0), carbonate: None };
        for aim in [8.8, 9.0, 9.5] {
            let found = neutralise(&bath, &line("trisodium phosphate"), Ph(aim), &conditions).unwrap();
            let mass = found.mass.map(in_grams);
            assert!(mass.high > 2.3 * mass.best && mass.high < 2.5 * mass.best, "{aim}: {mass:?}");
        }
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
            let (found, _) = titration.amount(aim, None).unwrap();
            // Where nothing buffers a billionth of the amount still moves the pH, so the amount is what is judged.
            let afresh = |g: f64| ph::follow(&titration.with(g), 20.0, over, None).unwrap().ph - aim;
            let (less, more) = (afresh(found * (1.0 - 1e-8)), afresh(found * (1.0 + 1e-8)));
            assert!(less * more < 0.0 && less.abs() < 1e-4, "{with}: {less} {more}");
            let (searched, _) = titration.searched(aim).unwrap();
            assert!((searched / found - 1.0).abs() < 1e-8, "{with}: {searched}, not {found}");
            for share in [0.3, 0.98, 1.01, 1.7] {
                let there = ph::follow(&titration.with(found * share), 20.0, over, None).unwrap();
                let (again, _) = titration.amount_near(aim, &Guess::Like(found * share, &there)).unwrap();
                assert!((again / found - 1.0).abs() < 2e-5, "{with} from {share}: {again}, not {found}");
            }
        }
    }

    #[test]
    fn what_cannot_be_reached_is_not_found() {
        let vinegar = grams_of(960.0, &[("acetic_acid", 40.0)]);
        assert_eq!(amount(&vinegar, &grams_of(0.0, &[("sodium_chloride", 1.0)]), 7.0, 20.0, Over::Nothing), None);
    }

    fn read(lines: &[&str]) -> Vec<Ingredient> {
        use crate::amount::MeasureSystem;
        lines.iter().map(|l| crate::reference::read_ingredient(l, MeasureSystem::Metric).unwrap()).collect()
    }

    fn to_seven(bath: &[&str], with: &str, carbonate: Option<Carbonate>) -> Neutralised {
        let conditions = MixConditions { temperature: crate::amount::celsius(20.0), carbonate };
        neutralise(&read(bath), &read(&[with])[0], Ph(7.0), &conditions).unwrap()
    }

    #[test]
    fn the_reagent_brings_its_uncertainty_and_its_warnings() {
        use crate::amount::in_grams;
        let lye = ["1 L distilled water", "10 g sodium hydroxide"];
        let width = |with| {
            let mass = to_seven(&lye, with, None).mass;
            (in_grams(mass.high) - in_grams(mass.low)) / in_grams(mass.best)
        };
        // A label of 5 % may be 4.5 to 5.5, one of 5.00 % hardly anything else.
        assert!(width("vinegar 5 %") > 0.15 && width("vinegar 5.00 %") < 0.1);
        let open = to_seven(&["1 L distilled water", "10 g citric acid"], "sodium carbonate", None);
        assert!(open.warnings.iter().any(|w| w.contains("water of crystallisation")), "{:?}", open.warnings);
        assert!(in_grams(open.mass.high) > 2.0 * in_grams(open.mass.best), "{:?}", open.mass.map(in_grams));
    }

    #[test]
    fn each_state_names_itself_and_one_gas_figure_stands_for_all() {
        use crate::amount::{in_grams, in_moles};
        let bath = ["900 mL distilled water", "100 mL vinegar 5 %"];
        let by_default = to_seven(&bath, "baking soda", None);
        let fizzing = to_seven(&bath, "baking soda", Some(Carbonate::Fizzing));
        let aired = to_seven(&bath, "baking soda", Some(Carbonate::Aired));
        assert_eq!(by_default.carbonate, Some(Carbonate::Fizzing));
        assert_eq!(aired.carbonate, Some(Carbonate::Aired));
        assert!((in_grams(by_default.mass.best) / in_grams(fizzing.mass.best) - 1.0).abs() < 1e-6);
        let stood = by_default.stood.unwrap();
        assert!((in_grams(stood.best) / in_grams(aired.mass.best) - 1.0).abs() < 1e-9 && aired.stood.is_none());
        // 100 mL of 5 % vinegar hold 0.084 mol of acid (5.0 g over 60.05 g/mol); as many moles of gas can come of it.
        for found in [&by_default, &aired] {
            assert!((in_moles(found.gas[0].amount) - 0.0837).abs() < 0.001, "{:?}", found.gas);
            assert!(
                found.warnings.iter().any(|w| w.contains("while it fizzes paper reads lower: wait, do not add more"))
            );
        }
        let plain = to_seven(&["1 L distilled water", "10 g citric acid"], "sodium hydroxide", None);
        assert!(plain.carbonate.is_none() && plain.stood.is_none() && plain.gas.is_empty());
    }

    #[test]
    fn every_fault_is_told_in_one_run() {
        let conditions = MixConditions { temperature: crate::amount::celsius(20.0), carbonate: None };
        let bath = read(&["1 L water", "20 mL vinegar essence"]);
        let found = neutralise(&bath, &read(&["hydrochloric acid"])[0], Ph(17.0), &conditions).unwrap_err();
        assert_eq!(found.0.len(), 3, "{found}");
    }
}
