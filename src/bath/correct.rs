//! Bringing a used bath back on target from what can be measured at the bench: volume, pH, density.

use super::density::water_kg_m3;
use super::equilibrium::Over;
use super::mixture::{Bath, air, pour_all};
use super::neutralise::{added, amount, reagent};
use super::pour::{known, name_of};
use super::species::{Composition, acid_protons, base_equivalents, solute};
use super::{MixConditions, mix, ph};
use crate::amount::{
    Amount, Exact, Mass, MassDensity, MassUnit, MeasureSystem, Ph, Unit, Volume, grams, in_celsius, in_kg_per_m3,
    in_millilitres,
};
use crate::diag::{Checked, Problem};
use crate::reference::{Ingredient, read_ingredient};

/// A hydrometer and a pH strip tell no finer differences than these (common practice, no source).
const DENSITY_STEP_KG_M3: f64 = 2.0;
const PH_STEP: f64 = 0.2;

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

/// What brings it back on target.
#[derive(Debug, Clone)]
pub struct Correction {
    /// What to add, with its amount in the line, in the order of adding. To be checked like any mixture.
    pub add: Vec<Ingredient>,
    /// What the figures rest on, each a sentence.
    pub notes: Vec<String>,
}

/// What to add to a used bath that was made from these ingredients.
///
/// Density tells how far it has been thinned or has dried in; pH tells what acid or base is missing. What has been
/// used up otherwise (peroxide, metal taken up, dirt) shows in neither.
///
/// # Errors
/// As [`mix`]; nothing measured; a pH that is not modelled or that nothing in the bath can mend.
pub fn correct(ingredients: &[Ingredient], measured: &Measured, conditions: &MixConditions) -> Checked<Correction> {
    let t_c = in_celsius(conditions.temperature);
    let target = mix(ingredients, conditions)?;
    let all = Bath::of(pour_all(ingredients, conditions.temperature)?)?.all;
    let have_ml = in_millilitres(measured.volume);
    if !(have_ml.is_finite() && have_ml > 0.0) || (measured.ph.is_none() && measured.density.is_none()) {
        return Err(Problem::error("there is nothing to correct by")
            .hint("say how much of the bath there is, and its pH or its density")
            .into());
    }
    let share = have_ml / in_millilitres(target.volume.best);
    let mut found = Correction { add: Vec::new(), notes: Vec::new() };
    let mut strength = 1.0;
    if let (Some(is), Some(aim)) = (measured.density, target.density) {
        strength = thinned(&mut found, ingredients, in_kg_per_m3(is), in_kg_per_m3(aim.best), t_c, share)?;
    } else if measured.density.is_some() {
        found.notes.push("The density of this bath is not modelled, so it was not used.".into());
    }
    if let Some(is) = measured.ph {
        let aim = target.ph.ok_or_else(|| Problem::error("the pH of this bath is not modelled"))?.best;
        if (is.0 - aim.0).abs() <= PH_STEP {
            found.notes.push(format!("pH {:.1} is as near to {:.1} as can be measured.", is.0, aim.0));
        } else {
            let now = scaled(&all, share, if strength > 1.0 { 1.0 } else { strength });
            sourness(&mut found, ingredients, &now, is, aim, t_c, conditions)?;
        }
    }
    found.notes.push("Peroxide, dissolved metal and dirt show in neither figure: a tired bath is made fresh.".into());
    Ok(found)
}

fn scaled(bath: &Composition, share: f64, strength: f64) -> Composition {
    let mut now = bath.clone();
    now.water_g *= share;
    for g in now.solutes_g.values_mut() {
        *g *= share * strength;
    }
    now
}

/// Strength against the target by density; adds water or the solids that are missing.
fn thinned(
    found: &mut Correction,
    ingredients: &[Ingredient],
    is: f64,
    aim: f64,
    t_c: f64,
    share: f64,
) -> Checked<f64> {
    let water = water_kg_m3(t_c);
    if (is - aim).abs() <= DENSITY_STEP_KG_M3 {
        found.notes.push(format!("{is:.0} kg/m³ is as near to {aim:.0} as can be measured."));
        return Ok(1.0);
    }
    if (aim - water).abs() < 2.0 * DENSITY_STEP_KG_M3 {
        found.notes.push("This bath is about as dense as water: its density tells nothing.".into());
        return Ok(1.0);
    }
    let strength = (is - water) / (aim - water);
    if !(0.0..=5.0).contains(&strength) {
        return Err(Problem::error(format!("{is:.0} kg/m³ cannot be this bath, which has {aim:.0} when fresh"))
            .hint("measure again, in kg/m³ or g/mL, at the temperature of the bath")
            .into());
    }
    if strength > 1.0 {
        let water_g = share * (strength - 1.0) * mixture_water_g(ingredients, t_c)?;
        found.notes.push(format!("It has dried in to {strength:.2} of its strength."));
        found.add.push(of_grams("water", water_g)?);
        return Ok(strength);
    }
    found.notes.push(format!("It has been thinned to {strength:.2} of its strength."));
    for ingredient in ingredients {
        let substance = known(ingredient)?;
        let solid = matches!(substance.form, crate::reference::Form::Solid) && ingredient.line.strength.is_none();
        let Some(one) = ingredient.line.amount.as_ref().filter(|_| solid) else { continue };
        let Some(factor) = Exact::from_f64(share * (1.0 - strength)) else { continue };
        let mut more = ingredient.clone();
        more.line.amount = one.scaled(factor);
        found.add.push(more);
    }
    Ok(strength)
}

fn mixture_water_g(ingredients: &[Ingredient], t_c: f64) -> Checked<f64> {
    Ok(Bath::of(pour_all(ingredients, crate::amount::celsius(t_c))?)?.all.water_g)
}

/// Adds the acid or base that is missing.
fn sourness(
    found: &mut Correction,
    ingredients: &[Ingredient],
    now: &Composition,
    is: Ph,
    aim: Ph,
    t_c: f64,
    conditions: &MixConditions,
) -> Checked<()> {
    let over = air(now, conditions.carbonate).over;
    ph::read(now, t_c, over).map_err(Problem::error)?;
    // What has made it so is written as caustic or strong acid: the charge balance does not ask where it came from.
    let foreign = if is.0 > aim.0 { "sodium_hydroxide" } else { "hydrochloric_acid" };
    let mut one = Composition::default();
    if let Some(s) = solute(foreign) {
        one.add(s.id.as_ref(), 1.0);
    }
    let unlike = || Problem::error(format!("pH {} cannot be reached from this bath", is.0)).hint("measure again");
    let gained = amount(now, &one, is.0, t_c, over).ok_or_else(unlike)?;
    let spoilt = added(now, &one, gained);
    let mend = own_reagent(ingredients, is.0 > aim.0)?;
    let per_gram = reagent(&mend, t_c)?;
    let carbonate = per_gram.entries().any(|(s, g)| g > 0.0 && super::species::of(s, "co3") > 0.0);
    let over = if carbonate { Over::AtMost(1.0) } else { over };
    let name = name_of(&mend, known(&mend)?);
    let g = amount(&spoilt, &per_gram, aim.0, t_c, over).ok_or_else(|| {
        Problem::error(format!("{name} does not bring this bath back to pH {:.1}", aim.0)).hint("make a fresh one")
    })?;
    // Against its own salt an acid has to be added many times over: then a fresh bath is the better one.
    let held: f64 = per_gram.solutes_g.keys().map(|id| now.solute_g(id) / per_gram.solute_g(id)).sum();
    if held > 0.0 && g > 2.0 * held {
        return Err(Problem::error(format!("mending pH {:.1} would take over twice the {name} of a fresh bath", is.0))
            .hint("make a fresh bath")
            .into());
    }
    found
        .notes
        .push(format!("pH {:.1} instead of {:.1} is mended with {name}; test before all of it is in.", is.0, aim.0));
    let mut mend = mend;
    mend.line.amount = gram_amount(g);
    found.add.push(mend);
    Ok(())
}

/// The bath's own acid or base; baking soda when it is too sour and has no base.
fn own_reagent(ingredients: &[Ingredient], acid: bool) -> Checked<Ingredient> {
    let power = |i: &Ingredient| -> f64 {
        let Ok(one) = reagent(i, 20.0) else { return 0.0 };
        let each = if acid { acid_protons } else { base_equivalents };
        one.entries().map(|(s, g)| each(s) * g / s.molar_mass_g_mol.unwrap_or(f64::INFINITY)).sum()
    };
    let best = ingredients.iter().filter(|i| power(i) > 0.0).max_by(|a, b| power(a).total_cmp(&power(b)));
    match best {
        Some(own) => Ok(own.clone()),
        None if !acid => read_ingredient("1 g baking soda", MeasureSystem::Metric),
        None => Err(Problem::error("there is no acid in the recipe to bring its pH down with").into()),
    }
}

fn gram_amount(g: f64) -> Option<Amount> {
    Some(Amount::of(Exact::from_f64((g * 1000.0).round() / 1000.0)?, Unit::Mass(MassUnit::Gram)))
}

fn of_grams(name: &str, g: f64) -> Checked<Ingredient> {
    let mut found = read_ingredient(&format!("1 g {name}"), MeasureSystem::Metric)?;
    found.line.amount = gram_amount(g);
    Ok(found)
}

/// Mass of an addition, when it is by mass.
pub fn addition_mass(ingredient: &Ingredient) -> Option<Mass> {
    let mass = ingredient.line.amount.as_ref()?.mass()?;
    Some(grams(0.5 * (crate::amount::in_grams(mass.low) + crate::amount::in_grams(mass.high))))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::amount::{celsius, in_grams, kg_per_m3, millilitres};

    fn read(lines: &[&str]) -> Vec<Ingredient> {
        lines.iter().map(|l| read_ingredient(l, MeasureSystem::Metric).unwrap()).collect()
    }

    const CONDITIONS: fn() -> MixConditions = || MixConditions { temperature: celsius(20.0), carbonate: None };

    #[test]
    fn a_sour_bath_that_lost_acid_gets_its_own_acid() {
        let recipe = read(&["900 g distilled water", "100 g acetic acid 10 %", "50 g table salt"]);
        let fresh = mix(&recipe, &CONDITIONS()).unwrap();
        let at = |ph| Measured { volume: millilitres(1300.0), ph: Some(Ph(ph)), density: None };
        let found = correct(&recipe, &at(2.95), &CONDITIONS()).unwrap();
        assert_eq!(found.add.len(), 1);
        let g = in_grams(addition_mass(&found.add[0]).unwrap());
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
        assert!((in_grams(addition_mass(&found.add[0]).unwrap()) - 50.0).abs() < 1.0);
        let found = correct(&recipe, &at(fresh + 7.0), &CONDITIONS()).unwrap();
        assert_eq!(found.add[0].line.name, "water");
        assert!(correct(&recipe, &at(700.0), &CONDITIONS()).is_err());
        assert!(correct(&recipe, &at(fresh + 1.0), &CONDITIONS()).unwrap().add.is_empty());
    }
}
