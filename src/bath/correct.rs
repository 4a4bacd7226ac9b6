//! Bringing a used bath back on target from what can be measured at the bench: volume, pH, density.
//!
//! What was measured fixes what the bath has become: so much of the fresh bath, so much water gained or lost, so much
//! acid or base gained. What is added is then put into that, and what it really comes to is computed afresh: the
//! answer says what is reached, not what was hoped for.

use super::addition::{Addition, addition, gram_amount, join, of_grams, scaled};
use super::air::{AIR_ATM, air};
use super::equilibrium::Over;
use super::mixture::{Bath, Physics};
use super::neutralise::{amount, carbonates, reagent};
use super::pour::{Poured, known, name_of};
use super::solubility::settle;
use super::species::{Composition, acid_protons, base_equivalents, solute};
use super::uncertainty::{Effect, combine};
use super::{MixConditions, Mixture, mix, ph};
use crate::amount::{
    Estimate, MassConcentration, MassDensity, MeasureSystem, Ph, Volume, g_per_l, in_celsius, in_g_per_l, in_kg_per_m3,
    in_millilitres, kg_per_m3, millilitres,
};
use crate::diag::{Checked, Problem, Problems};
use crate::reference::{Ingredient, read_ingredient};

/// A hydrometer and a pH strip tell no finer differences than these (common practice, no source).
const DENSITY_STEP_KG_M3: f64 = 2.0;
const PH_STEP: f64 = 0.2;
/// A concentration this near to its target counts as on it (our choice: finer than a spoon measures).
const NEAR_ENOUGH: f64 = 0.05;
/// Water lost or gained that can still be this bath, as a share of its own water.
const WATER_CHANGE: (f64, f64) = (-0.8, 20.0);

/// What was measured on a used bath.
#[derive(Debug, Clone, Copy)]
pub struct Measured {
    /// How much of it there is.
    pub volume: Volume,
    /// Its pH.
    pub ph: Option<Ph>,
    /// Its density.
    pub density: Option<MassDensity>,
}

/// A figure as it comes out, beside what it should be.
#[derive(Debug, Clone, Copy)]
pub struct Beside<T> {
    /// What it comes to.
    pub is: Estimate<T>,
    /// What the fresh bath has.
    pub target: T,
}

/// What the bath comes to with the additions in it.
#[derive(Debug, Clone)]
pub struct Reached {
    /// Its volume.
    pub volume: Estimate<Volume>,
    /// pH; `None` where it is not modelled.
    pub ph: Option<Beside<Ph>>,
    /// Density; `None` where it is not modelled.
    pub density: Option<Beside<MassDensity>>,
    /// What the fresh bath holds, by name.
    pub solutes: Vec<(String, Beside<MassConcentration>)>,
    /// What stays off target, each named; empty when nothing that can be measured does.
    pub off: Vec<String>,
}

/// What brings a bath back, as far as anything does.
#[derive(Debug, Clone)]
pub struct Correction {
    /// What the bath at hand still holds of what it was made of, as lines: for the review.
    pub holds: Vec<Ingredient>,
    /// What to add, with its amount in the line, in the order of adding. To be checked like any mixture.
    pub add: Vec<Ingredient>,
    /// What it then is.
    pub reached: Reached,
    /// What the figures rest on, each a sentence.
    pub notes: Vec<String>,
}

/// What to add to a used bath that was made from these ingredients, and what that brings it to.
///
/// Density tells how far it has been thinned or has dried in; pH tells what acid or base is missing. What has been
/// used up otherwise (peroxide, metal taken up, dirt) shows in neither.
///
/// # Errors
/// As [`mix`]; nothing measured; a density or a pH that this bath cannot have; a pH that is not modelled or that
/// nothing in the bath can mend. All of them at once.
pub fn correct(ingredients: &[Ingredient], measured: &Measured, conditions: &MixConditions) -> Checked<Correction> {
    let mut faults = Vec::new();
    let have_ml = in_millilitres(measured.volume);
    if !(have_ml.is_finite() && have_ml > 0.0) {
        faults.push(Problem::error("there is no bath to correct").hint("say how much of it there is, such as 1.3 L"));
    }
    if measured.ph.is_none() && measured.density.is_none() {
        faults.push(Problem::error("there is nothing to correct by").hint("say its pH or its density"));
    }
    let target = match mix(ingredients, conditions) {
        Ok(target) => Some(target),
        Err(Problems(more)) => {
            faults.extend(more);
            None
        }
    };
    let Some(target) = target else { return Err(Problems(faults)) };
    let bath = Bath::of(super::mixture::pour_all(ingredients, conditions.temperature)?)?;
    let fresh = Fresh { ingredients, bath: &bath, target: &target, conditions };
    let mut notes = Vec::new();
    let readings = Readings {
        density: measured.density.and_then(|d| fresh.told(in_kg_per_m3(d), &mut notes, &mut faults)),
        ph: measured.ph.map(|p| p.0),
    };
    if readings.ph.is_some() && target.ph.is_none() {
        faults.push(Problem::error("the pH of this bath is not modelled").hint("leave the pH out"));
    }
    if !faults.is_empty() {
        return Err(Problems(faults));
    }
    fresh.corrected(have_ml, readings, notes)
}

/// What was read, in kg/m³ and pH.
#[derive(Debug, Clone, Copy)]
struct Readings {
    density: Option<f64>,
    ph: Option<f64>,
}

/// What the bath has become.
struct Standing {
    now: Composition,
    /// How many fresh baths its solutes make.
    batches: f64,
    /// Water gained; below zero: lost, g.
    gained_g: f64,
}

struct Fresh<'a> {
    ingredients: &'a [Ingredient],
    bath: &'a Bath,
    target: &'a Mixture,
    conditions: &'a MixConditions,
}

impl Fresh<'_> {
    fn t_c(&self) -> f64 {
        in_celsius(self.conditions.temperature)
    }

    fn physics(&self, all: &Composition) -> Physics {
        let (dissolved, solids) = settle(all.clone(), self.t_c());
        Physics::of(&dissolved, &solids, self.t_c())
    }

    /// The fresh bath with this share of its water gained or lost.
    fn with_water(&self, share: f64) -> Composition {
        let mut all = self.bath.all.clone();
        all.water_g *= 1.0 + share;
        all
    }

    /// A density, where it tells something.
    fn told(&self, is: f64, notes: &mut Vec<String>, faults: &mut Vec<Problem>) -> Option<f64> {
        let Some(aim) = self.target.density.map(|d| in_kg_per_m3(d.best)) else {
            notes.push("The density of this bath is not modelled, so it was not used.".into());
            return None;
        };
        if (aim - super::density::water_kg_m3(self.t_c())).abs() < 2.0 * DENSITY_STEP_KG_M3 {
            notes.push("This bath is about as dense as water: its density tells nothing.".into());
            return None;
        }
        if self.water_share(is).is_none() {
            faults.push(
                Problem::error(format!("{is:.0} kg/m³ cannot be this bath, which has {aim:.0} when fresh"))
                    .hint("measure again, in kg/m³ or g/mL, at the temperature of the bath"),
            );
        }
        Some(is)
    }

    /// The share of its water that the bath has gained or lost to have this density.
    fn water_share(&self, kg_m3: f64) -> Option<f64> {
        let off = |share: f64| self.physics(&self.with_water(share)).kg_m3.best - kg_m3;
        let (mut low, mut high) = WATER_CHANGE;
        let sign = off(low).signum();
        if sign == off(high).signum() {
            return None;
        }
        for _ in 0..60 {
            let mid = 0.5 * (low + high);
            if off(mid).signum() == sign { low = mid } else { high = mid }
        }
        Some(0.5 * (low + high))
    }

    fn standing(&self, have_ml: f64, readings: Readings) -> Option<Standing> {
        let share = readings.density.map_or(Some(0.0), |d| self.water_share(d))?;
        let one = self.with_water(share);
        let batches = have_ml / self.physics(&one).volume_ml();
        let mut now = one.times(batches);
        if let Some(is) = readings.ph {
            now = self.soured(&now, is)?;
        }
        Some(Standing { now, batches, gained_g: batches * share * self.bath.all.water_g })
    }

    /// The bath with what made it so written as caustic or strong acid: the charge balance does not ask where it came
    /// from.
    fn soured(&self, now: &Composition, is: f64) -> Option<Composition> {
        let over = air(now, self.conditions.carbonate).over;
        let here = ph::read(now, self.t_c(), over).ok()?.ph;
        let mut one = Composition::default();
        one.add(solute(if is > here { "sodium_hydroxide" } else { "hydrochloric_acid" })?, 1.0);
        let gained = amount(now, &one, is, self.t_c(), over)?;
        let mut soured = now.clone();
        soured.add_all(&one.times(gained));
        Some(soured)
    }

    fn corrected(&self, have_ml: f64, readings: Readings, mut notes: Vec<String>) -> Checked<Correction> {
        // A figure as near as can be measured is no reason to think that anything has come in or gone.
        let (aim, dense) = (self.target.ph.map(|p| p.best.0), self.target.density.map(|d| in_kg_per_m3(d.best)));
        let near = |is: Option<f64>, aim: Option<f64>, step: f64| {
            is.zip(aim).is_some_and(|(is, aim)| (is - aim).abs() <= step)
        };
        let sound = near(readings.ph, aim, PH_STEP);
        let as_dense = near(readings.density, dense, DENSITY_STEP_KG_M3);
        if let (Some(is), Some(aim), true) = (readings.density, dense, as_dense) {
            notes.push(format!("{is:.0} kg/m³ is as near to {aim:.0} as can be measured."));
        }
        let taken = Readings { ph: readings.ph.filter(|_| !sound), density: readings.density.filter(|_| !as_dense) };
        let unlike =
            |is: f64| Problem::error(format!("pH {is} cannot be reached from this bath")).hint("measure again");
        let standing = self.standing(have_ml, taken).ok_or_else(|| unlike(readings.ph.unwrap_or(f64::NAN)))?;
        let mut add = self.strengthened(&standing, &mut notes)?;
        match (readings.ph, aim) {
            (Some(is), Some(aim)) if sound => {
                notes.push(format!("pH {is:.1} is as near to {aim:.1} as can be measured."));
            }
            (Some(is), Some(aim)) => self.mended(&standing, is, aim, &mut add, &mut notes)?,
            _ => {}
        }
        let reached = self.reached(have_ml, readings, &standing, &add);
        notes.push(if reached.off.is_empty() && add.is_empty() {
            "It is on target, as far as can be measured.".into()
        } else if reached.off.is_empty() {
            "That brings it back on target, as far as can be measured.".into()
        } else {
            format!(
                "That does not bring it back on target: {}. Make a fresh bath if it matters.",
                reached.off.join("; ")
            )
        });
        notes.push("Peroxide, dissolved metal and dirt show in neither figure: a tired bath is made fresh.".into());
        let holds = self.ingredients.iter().filter_map(|i| scaled(i, standing.batches)).collect();
        Ok(Correction { holds, add: add.into_iter().map(|a| a.line).collect(), reached, notes })
    }

    fn lines(&self) -> impl Iterator<Item = (&Ingredient, &Poured)> {
        self.ingredients.iter().zip(&self.bath.poured)
    }

    /// Water for a bath that has dried in; for one that was thinned the rest of what goes with so much water.
    fn strengthened(&self, standing: &Standing, notes: &mut Vec<String>) -> Checked<Vec<Addition>> {
        let water_g = self.bath.all.water_g * standing.batches;
        let strength = water_g / (water_g + standing.gained_g);
        if standing.gained_g == 0.0 {
            return Ok(Vec::new());
        }
        if standing.gained_g < 0.0 {
            notes.push(format!("It has dried in to {strength:.2} of its strength."));
            return Ok(vec![of_grams("water", -standing.gained_g)?]);
        }
        notes.push(format!("It has been thinned to {strength:.2} of its strength."));
        let is_water = |i: &Ingredient| i.substance().is_some_and(|s| s.id == "water");
        let plain_g: f64 = self.lines().filter(|(i, _)| is_water(i)).map(|(_, p)| p.best.water_g).sum();
        let mut add = Vec::new();
        if plain_g > 0.0 {
            // The water gained stands for water of the recipe: everything else that goes with it is added.
            let more = standing.gained_g / plain_g;
            add.extend(self.lines().filter(|(i, _)| !is_water(i)).filter_map(|(i, p)| addition(i, p, more)));
            if more > standing.batches {
                notes.push("More goes in than is left of the bath: a fresh one costs about the same.".into());
            }
            return Ok(add);
        }
        let more = standing.gained_g / self.bath.all.water_g;
        add.extend(self.lines().filter(|(_, p)| !p.liquid).filter_map(|(i, p)| addition(i, p, more)));
        let weak: Vec<String> =
            self.lines().filter(|(_, p)| p.liquid).filter_map(|(i, _)| Some(name_of(i, known(i).ok()?))).collect();
        notes.push(format!(
            "The recipe has no water of its own, so more {} of the same strength cannot make up for the water that came in.",
            weak.join(" and ")
        ));
        Ok(add)
    }

    /// Adds the acid or base that is missing, and the solids for the water it brings.
    fn mended(
        &self,
        standing: &Standing,
        is: f64,
        aim: f64,
        add: &mut Vec<Addition>,
        notes: &mut Vec<String>,
    ) -> Checked<()> {
        let now = together(standing, add);
        let mend = self.own_reagent(is > aim)?;
        let per_gram = reagent(&mend, self.t_c())?.best;
        let name = name_of(&mend, known(&mend)?);
        let g = amount(&now, &per_gram, aim, self.t_c(), self.over(&now, &per_gram)).ok_or_else(|| {
            Problem::error(format!("{name} does not bring this bath back to pH {aim:.1}")).hint("make a fresh one")
        })?;
        // Against its own salt an acid has to be added many times over: then a fresh bath is the better one.
        let held: f64 = per_gram.entries().map(|(s, g)| now.solutes_g.get(s) / g).sum();
        if held > 0.0 && g > 2.0 * held {
            return Err(Problem::error(format!("mending pH {is:.1} would take over twice the {name} of a fresh bath"))
                .hint("make a fresh bath")
                .into());
        }
        notes.push(format!("pH {is:.1} instead of {aim:.1} is mended with {name}; test before all of it is in."));
        if carbonates(&per_gram) {
            notes.push(
                "The figure is for when it has stopped fizzing and stood open; while it fizzes paper reads lower: wait, \
                 do not add more."
                    .into(),
            );
        }
        let more = g * per_gram.water_g / self.bath.all.water_g.max(1e-9);
        if more > 0.02 * standing.batches {
            let own = mend.substance().map(|s| s.id.clone());
            let rest = self.lines().filter(|(i, p)| !p.liquid && i.substance().map(|s| s.id.clone()) != own);
            add.extend(rest.filter_map(|(i, p)| addition(i, p, more)).collect::<Vec<_>>());
        }
        let mut line = mend;
        line.line.amount = gram_amount(g);
        add.push(Addition { line, brings: per_gram.times(g) });
        join(add);
        Ok(())
    }

    /// What dissolved carbon dioxide is in balance with once a carbonate that was added has stopped fizzing.
    fn over(&self, bath: &Composition, added: &Composition) -> Over {
        match self.conditions.carbonate {
            None if carbonates(added) => Over::Held(AIR_ATM),
            chosen => air(bath, chosen).over,
        }
    }

    /// The bath's own acid or base; baking soda when it is too sour and has no base.
    fn own_reagent(&self, acid: bool) -> Checked<Ingredient> {
        let power = |i: &Ingredient| -> f64 {
            let Ok(one) = reagent(i, 20.0) else { return 0.0 };
            let each = if acid { acid_protons } else { base_equivalents };
            one.best.entries().map(|(s, g)| each(s) * g / s.molar_mass_g_mol.unwrap_or(f64::INFINITY)).sum()
        };
        let own = self.ingredients.iter().filter(|i| power(i) > 0.0).max_by(|a, b| power(a).total_cmp(&power(b)));
        match own {
            Some(own) => Ok(own.clone()),
            None if !acid => read_ingredient("1 g baking soda", MeasureSystem::Metric),
            None => Err(Problem::error("there is no acid in the recipe to bring its pH down with").into()),
        }
    }

    /// What it comes to with everything in it, as far as the readings can be trusted.
    fn reached(&self, have_ml: f64, readings: Readings, standing: &Standing, add: &[Addition]) -> Reached {
        let extra = add.iter().fold(Composition::default(), |mut sum, a| {
            sum.add_all(&a.brings);
            sum
        });
        let read_off = |by: f64, density: bool| {
            let moved = match density {
                true => Readings { density: readings.density.map(|d| d + by * DENSITY_STEP_KG_M3), ..readings },
                false => Readings { ph: readings.ph.map(|p| p + by * PH_STEP), ..readings },
            };
            let mut all = self.standing(have_ml, moved)?.now;
            all.add_all(&extra);
            Some(all)
        };
        let best = together(standing, add);
        let pairs: Vec<(&str, Composition, Composition)> = [("the density read", true), ("the pH read", false)]
            .into_iter()
            .filter(|(_, density)| if *density { readings.density.is_some() } else { readings.ph.is_some() })
            .filter_map(|(label, density)| Some((label, read_off(-1.0, density)?, read_off(1.0, density)?)))
            .collect();
        let spread = |value: &dyn Fn(&Composition) -> f64| {
            let effects = pairs.iter().map(|(label, low, high)| Effect {
                label,
                low: value(low),
                high: value(high),
                range: false,
            });
            combine(value(&best), effects).0
        };
        let mut off = Vec::new();
        let over = self.over(&best, &extra);
        let reading = ph::read(&best, self.t_c(), over).ok();
        let ph = self.target.ph.zip(reading).map(|(target, reading)| {
            let mut is = spread(&|c| ph::value_near(c, self.t_c(), over, &reading.balance).unwrap_or(reading.ph));
            (is.low, is.high) = (is.low - reading.model.0, is.high + reading.model.1);
            Beside { is: is.map(Ph), target: target.best }
        });
        if let Some(p) = ph.filter(|p| readings.ph.is_some() && (p.is.best.0 - p.target.0).abs() > PH_STEP) {
            off.push(format!("pH {:.1} instead of {:.1}", p.is.best.0, p.target.0));
        }
        let physics = self.physics(&best);
        let density = self.target.density.filter(|_| physics.not_modelled.is_empty()).map(|target| {
            let mut is = spread(&|c| self.physics(c).kg_m3.best);
            is.low -= physics.kg_m3.best - physics.kg_m3.low;
            is.high += physics.kg_m3.high - physics.kg_m3.best;
            Beside { is: is.map(kg_per_m3), target: target.best }
        });
        let mend = |id: &str| readings.ph.is_some() && extra.solute_g(id) > 0.0;
        let dissolved = |c: &Composition, id: &str| {
            settle(c.clone(), self.t_c()).0.solute_g(id) / self.physics(c).volume_ml() * 1000.0
        };
        let mut solutes = Vec::new();
        for s in &self.target.solutes {
            let is = spread(&|c| dissolved(c, s.substance));
            let target = in_g_per_l(s.concentration.best);
            let acid_or_base = solute(s.substance).is_some_and(|s| acid_protons(s) > 0.0 || base_equivalents(s) > 0.0);
            // Of an acid or base that mends the pH part has become its salt: the pH says whether there is enough.
            if (is.best / target - 1.0).abs() > NEAR_ENOUGH && !(acid_or_base && mend(s.substance)) {
                off.push(format!("{} {:.3} g/L instead of {target:.3}", s.name, is.best));
            }
            let is = Estimate { low: is.low.max(0.0), ..is };
            solutes.push((s.name.clone(), Beside { is: is.map(g_per_l), target: g_per_l(target) }));
        }
        let volume = spread(&|c| self.physics(c).volume_ml());
        Reached { volume: volume.map(millilitres), ph, density, solutes, off }
    }
}

fn together(standing: &Standing, add: &[Addition]) -> Composition {
    let mut all = standing.now.clone();
    for a in add {
        all.add_all(&a.brings);
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::amount::{celsius, in_grams, kg_per_m3, millilitres};
    use crate::bath::addition_mass;

    fn read(lines: &[&str]) -> Vec<Ingredient> {
        lines.iter().map(|l| read_ingredient(l, MeasureSystem::Metric).unwrap()).collect()
    }

    /// What the fresh bath holds, in a bath made of these lines.
    fn on_target(recipe: &[&str], lines: &[Ingredient]) -> bool {
        let (fresh, is) = (mix(&read(recipe), &CONDITIONS()).unwrap(), mix(lines, &CONDITIONS()).unwrap());
        let ph = |m: &Mixture| m.ph.unwrap().best.0;
        (ph(&fresh) - ph(&is)).abs() < 0.02
            && fresh.solutes.iter().zip(&is.solutes).all(|(a, b)| {
                let (a, b) = (in_g_per_l(a.concentration.best), in_g_per_l(b.concentration.best));
                (a / b - 1.0).abs() < 0.01
            })
    }

    /// The thinned bath is made up, measured and corrected, and what was said to add is poured into it.
    #[test]
    fn a_thinned_bath_gets_its_liquids_back_too_and_comes_to_what_is_said() {
        let recipe = ["1000 g distilled water", "300 g acetic acid 10 %", "60 g table salt"];
        let thinned = [&recipe[..], &["400 g distilled water"]].concat();
        let is = mix(&read(&thinned), &CONDITIONS()).unwrap();
        let measured = Measured { volume: is.volume.best, ph: None, density: is.density.map(|d| d.best) };
        let found = correct(&read(&recipe), &measured, &CONDITIONS()).unwrap();
        assert!(found.reached.off.is_empty(), "{:?}", found.notes);
        let lines = [read(&thinned), found.add.clone()].concat();
        assert!(
            found.add.iter().any(|i| i.line.name == "acetic acid") && on_target(&recipe, &lines),
            "{:?}",
            found.add
        );
        assert!(!on_target(&recipe, &read(&thinned)));
        let (said, made) = (found.reached.volume.best, mix(&lines, &CONDITIONS()).unwrap().volume.best);
        assert!((in_millilitres(said) / in_millilitres(made) - 1.0).abs() < 1e-3);
        let density = found.reached.density.unwrap();
        assert!(density.is.low < density.target && density.target < density.is.high);
    }

    #[test]
    fn a_bath_of_stocks_alone_that_was_thinned_is_not_called_on_target() {
        let recipe = ["500 g vinegar 5 %", "300 g hydrogen peroxide 3 %", "60 g table salt"];
        let thinned = [&recipe[..], &["300 g distilled water"]].concat();
        let is = mix(&read(&thinned), &CONDITIONS()).unwrap();
        let measured = Measured { volume: is.volume.best, ph: None, density: is.density.map(|d| d.best) };
        let found = correct(&read(&recipe), &measured, &CONDITIONS()).unwrap();
        let off = found.reached.off.join(" ");
        assert!(off.contains("acetic acid") && off.contains("peroxide") && !off.contains("chloride"), "{off}");
        assert!(found.notes.iter().any(|n| n.contains("does not bring it back")));
        // Poured together it is what was said.
        let made = mix(&[read(&thinned), found.add].concat(), &CONDITIONS()).unwrap();
        let acetic = made.solutes.iter().find(|s| s.substance == "acetic_acid").unwrap();
        let said = found.reached.solutes.iter().find(|(name, _)| name == "acetic acid").unwrap().1;
        assert!((in_g_per_l(said.is.best) / in_g_per_l(acetic.concentration.best) - 1.0).abs() < 1e-3);
    }

    #[test]
    fn a_thinned_and_soured_bath_is_mended_in_both() {
        let recipe = ["1000 g distilled water", "20 g hydrochloric acid 10 %", "50 g table salt"];
        let spoilt = [&recipe[..], &["200 g distilled water", "1 g sodium hydroxide"]].concat();
        let is = mix(&read(&spoilt), &CONDITIONS()).unwrap();
        let measured =
            Measured { volume: is.volume.best, ph: is.ph.map(|p| p.best), density: is.density.map(|d| d.best) };
        let found = correct(&read(&recipe), &measured, &CONDITIONS()).unwrap();
        let made = mix(&[read(&spoilt), found.add.clone()].concat(), &CONDITIONS()).unwrap();
        let (ph, said) = (made.ph.unwrap().best.0, found.reached.ph.unwrap());
        assert!((ph - said.target.0).abs() < 0.1 && (ph - said.is.best.0).abs() < 0.1, "{ph} {said:?}");
        assert!(said.is.low.0 < ph && ph < said.is.high.0);
        let names: Vec<&str> = found.add.iter().map(|i| i.line.name.as_str()).collect();
        assert_eq!(names.iter().filter(|n| **n == "hydrochloric acid").count(), 1, "{names:?}");
    }

    #[test]
    fn every_fault_is_told_in_one_run() {
        let recipe =
            read(&["1000 g distilled water", "100 g table salt", "5 g sparkle-o-matic", "20 mL vinegar essence"]);
        let measured = Measured { volume: millilitres(0.0), ph: None, density: None };
        assert_eq!(correct(&recipe, &measured, &CONDITIONS()).unwrap_err().0.len(), 4);
        let lead = read(&["1000 g distilled water", "200 g table salt", "0.1 g lead acetate"]);
        let measured = Measured { volume: millilitres(0.0), ph: Some(Ph(4.0)), density: Some(kg_per_m3(700.0)) };
        assert_eq!(correct(&lead, &measured, &CONDITIONS()).unwrap_err().0.len(), 3);
    }

    const CONDITIONS: fn() -> MixConditions = || MixConditions { temperature: celsius(20.0), carbonate: None };

    #[test]
    fn a_sour_bath_that_lost_acid_gets_its_own_acid() {
        let recipe = read(&["900 g distilled water", "100 g acetic acid 10 %", "50 g table salt"]);
        let fresh = mix(&recipe, &CONDITIONS()).unwrap();
        let at = |ph| Measured { volume: millilitres(1300.0), ph: Some(Ph(ph)), density: None };
        let found = correct(&recipe, &at(2.95), &CONDITIONS()).unwrap();
        // The acid, and salt for the water that comes with it.
        assert_eq!(found.add.len(), 2);
        let acid = found.add.iter().find(|i| i.line.name == "acetic acid").unwrap();
        let g = in_grams(addition_mass(acid).unwrap());
        assert!(g > 50.0 && g < 250.0, "{g}");
        // Poured into what the bath has become, it brings the pH back: half of the acid bound is more than it can mend.
        assert!(correct(&recipe, &at(4.4), &CONDITIONS()).unwrap_err().to_string().contains("fresh"));
        assert!(fresh.ph.unwrap().best.0 < 3.0);
    }

    #[test]
    fn a_thinned_bath_gets_salt_and_a_dried_one_water() {
        let recipe = read(&["1000 g distilled water", "100 g table salt"]);
        let fresh = in_kg_per_m3(mix(&recipe, &CONDITIONS()).unwrap().density.unwrap().best);
        let volume = mix(&recipe, &CONDITIONS()).unwrap().volume.best;
        let at = |d: f64| Measured { volume, ph: None, density: Some(kg_per_m3(d)) };
        let half = 0.5 * (fresh + 998.2);
        let found = correct(&recipe, &at(half), &CONDITIONS()).unwrap();
        // As dense as half: 4.64 % salt (Laliberté), 49.4 g in 1017 g of water, for which the recipe has 101.7 g.
        let g = in_grams(addition_mass(&found.add[0]).unwrap());
        assert!((g - 52.3).abs() < 0.6, "{g}");
        assert!(found.reached.off.is_empty() && found.reached.solutes.len() == 1);
        let found = correct(&recipe, &at(fresh + 7.0), &CONDITIONS()).unwrap();
        assert_eq!(found.add[0].line.name, "water");
        assert!(correct(&recipe, &at(700.0), &CONDITIONS()).is_err());
        assert!(correct(&recipe, &at(fresh + 1.0), &CONDITIONS()).unwrap().add.is_empty());
    }
}
