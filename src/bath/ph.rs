//! pH of the bath with an honest uncertainty, or a reason why none is given.

use super::Carbonate;
use super::air::air;
use super::equilibrium::{Balance, Dosing, Guess, Over, Totals, balance, balance_after, balance_near, grams_to};
use super::species::{Composition, moles, solute};
use crate::amount::{Estimate, Mass, Ph, ThermodynamicTemperature, in_celsius, in_grams};
use crate::diag::{Checked, Problem};
use crate::reference::schema::{Component, Precipitate, SoluteData, SortedMap};
use crate::reference::solutions;

/// Ionic strength beyond which the interaction model is not trusted, mol/kg. Saturated brine has 6.1.
const STRONGEST_MOL_KG: f64 = 6.6;
/// Share of the solvent that may be alcohol or acetone before constants for water stop meaning anything.
const COSOLVENT: f64 = 0.15;
/// Acid or base that reagents and glass bring along, mol/kg (common practice, no source). Decides the width of the
/// answer where nothing buffers.
const TRACE_MOL_KG: f64 = 2e-5;

/// Why no pH is given where the balance is not to be trusted.
const TOO_STRONG: &str = "the solution is too strong for the model";

/// Solids that leave the acidity of a bath alone, by name in the substance table (common practice, no source).
const INERT: [&str; 6] =
    ["Sand, perlite", "Titanium dioxide", "Beeswax", "Carnauba wax", "Paraffin and microcrystalline wax", "Sulfur"];

/// A pH and what it rests on.
#[derive(Debug, Clone)]
pub(super) struct Reading {
    pub ph: f64,
    /// What the model itself may be off by, downward and upward.
    pub model: (f64, f64),
    pub balance: Balance,
}

/// Totals of the components in mol per kg of water.
///
/// # Errors
/// Why no pH can be given.
pub(super) fn totals(bath: &Composition) -> Result<Totals, String> {
    let total_g = bath.total_g();
    if let Some((name, _)) = bath.foreign_g.iter().find(|(_, g)| *g > 1e-3 * total_g) {
        return Err(format!("what {name} does to it is not modelled"));
    }
    if let Some((name, _)) = bath.solids_g.iter().find(|(name, _)| !INERT.contains(name)) {
        return Err(format!("what {name} does to it is not modelled"));
    }
    let water_kg = bath.water_g / 1000.0;
    if bath.water_g < 0.3 * total_g || water_kg <= 0.0 {
        return Err("there is too little water for the model".into());
    }
    // A trace still counts where it has a model.
    if let Some((s, _)) = bath.entries().find(|(s, g)| s.of.is_none() && *g > 1e-6 * total_g) {
        return Err(format!("{} has no model of its acidity", s.name));
    }
    let mixes = |s: &SoluteData| s.miscible && s.of.as_ref().is_some_and(SortedMap::is_empty);
    let cosolvent: f64 = bath.entries().filter(|(s, _)| mixes(s)).map(|(_, g)| g).sum();
    let sum = modelled(bath);
    if cosolvent > COSOLVENT * (cosolvent + bath.water_g) {
        return Err("constants for water do not hold with this much alcohol or solvent".into());
    }
    use Component::{
        Ag, Ascorbate, Citrate, Cl, Clo3, Cu, Fe2, Fe3, Formate, Ho2, Hs, Mno4, No2, Ocl, Oxalate, S2o3, So3, Tartrate,
        Zn,
    };
    let there = sum.above(1e-5);
    let has = |c: &[Component]| c.iter().any(|c| there.has(*c));
    if has(&[Ho2, Mno4, Clo3, Ocl]) && has(&[Fe2, Hs, So3, S2o3, No2, Ascorbate])
        || has(&[Mno4]) && has(&[Oxalate, Ho2, Cl, Citrate, Tartrate, Formate])
        || has(&[Fe3, Cu]) && has(&[S2o3, So3, Ascorbate])
    {
        return Err("an oxidiser meets something it oxidises, which changes the acidity".into());
    }
    if has(&[Hs]) && has(&[Cu, Fe2, Fe3, Zn, Ag]) {
        return Err("a metal sulfide falls out".into());
    }
    Ok(sum)
}

/// What the solutes with a model bring, mol per kg of water.
fn modelled(bath: &Composition) -> Totals {
    components(bath).times(1000.0 / bath.water_g)
}

/// What the solutes with a model bring, mol.
fn components(bath: &Composition) -> Totals {
    let counts = bath.entries().filter_map(|(s, _)| s.of.as_ref());
    let mut sum = Totals::with_room(counts.map(SortedMap::len).sum());
    for (s, g) in bath.entries() {
        let (Some(of), Some(mol)) = (&s.of, moles(s, g)) else { continue };
        of.iter().for_each(|(c, n)| sum.add(*c, n * mol));
    }
    sum
}

/// The balance of those solutes of a bath that have a model; `None` without water, and where it does not settle.
pub(super) fn modelled_part(bath: &Composition, t_c: f64, over: Over) -> Option<Balance> {
    if bath.water_g <= 0.0 {
        return None;
    }
    balance(&modelled(bath), t_c, over)
}

/// The balance of a composition of which the pH can be given.
///
/// # Errors
/// Why no pH can be given.
pub(super) fn solved(bath: &Composition, t_c: f64, over: Over) -> Result<Balance, String> {
    let found = balance(&totals(bath)?, t_c, over).ok_or(TOO_STRONG)?;
    given(&found)?;
    Ok(found)
}

/// pH of a composition.
///
/// # Errors
/// Why no pH can be given.
pub(super) fn read(bath: &Composition, t_c: f64, over: Over) -> Result<Reading, String> {
    let sum = totals(bath)?;
    let found = balance(&sum, t_c, over).ok_or(TOO_STRONG)?;
    reading(&sum, t_c, over, found)
}

/// The same where its balance is known.
///
/// # Errors
/// Why no pH can be given.
pub(super) fn read_solved(bath: &Composition, t_c: f64, over: Over, found: Balance) -> Result<Reading, String> {
    reading(&totals(bath)?, t_c, over, found)
}

/// Whether a pH can be given; what falls out all the same leaves it alone.
fn given(found: &Balance) -> Result<Vec<&'static Precipitate>, String> {
    if found.ionic_strength() > STRONGEST_MOL_KG {
        return Err(TOO_STRONG.into());
    }
    let settles = found.settles();
    match settles.iter().find(|s| !s.keeps_ph) {
        Some(solid) => Err(format!("{} falls out", solid.name)),
        None => Ok(settles),
    }
}

fn reading(sum: &Totals, t_c: f64, over: Over, found: Balance) -> Result<Reading, String> {
    let settles = given(&found)?;
    let mut width = model_width(sum, &found, t_c);
    if !settles.is_empty() {
        // The ions are counted as if they stayed in solution: a lower ionic strength moves activities by this much.
        width += 0.2;
    }
    let pushed = |by: f64| {
        let mut moved = sum.clone();
        moved.add(Component::H, by);
        balance_near(&moved, t_c, over, &found).map(|b| b.ph)
    };
    let down = pushed(TRACE_MOL_KG).map_or(1.0, |p| (found.ph - p).max(0.0));
    let up = pushed(-TRACE_MOL_KG).map_or(1.0, |p| (p - found.ph).max(0.0));
    Ok(Reading { ph: found.ph, model: (width + down, width + up), balance: found })
}

/// pH of known masses of anhydrous solutes in water, with what the model may be off by.
///
/// # Errors
/// An unknown solute; why no pH can be given.
pub fn solution_ph(
    solutes: &[(&str, Mass)],
    water: Mass,
    temperature: ThermodynamicTemperature,
    carbonate: Carbonate,
) -> Checked<Estimate<Ph>> {
    let mut bath = Composition { water_g: in_grams(water), ..Composition::default() };
    for (id, mass) in solutes {
        let s = solute(id).ok_or_else(|| Problem::error(format!("\"{id}\" is not a solute of the tables")))?;
        bath.add(s, in_grams(*mass));
    }
    let found = read(&bath, in_celsius(temperature), air(&bath, Some(carbonate)).over).map_err(Problem::error)?;
    let (down, up) = found.model;
    Ok(Estimate { best: Ph(found.ph), low: Ph(found.ph - down), high: Ph(found.ph + up) })
}

/// pH of a composition much like one that has been read, to 0.0000001.
pub(super) fn value_near(bath: &Composition, t_c: f64, over: Over, like: &Balance) -> Option<f64> {
    balance_near(&totals(bath).ok()?, t_c, over, like).map(|b| b.ph)
}

/// The balance of a composition, from that of a like one if there is one, settled as far as without.
pub(super) fn follow(bath: &Composition, t_c: f64, over: Over, last: Option<&Balance>) -> Option<Balance> {
    let sum = totals(bath).ok()?;
    match last {
        Some(last) => balance_after(&sum, t_c, over, last),
        None => balance(&sum, t_c, over),
    }
}

/// Grams of a reagent, of which this is one gram, that bring a bath to a pH, with the balance then; `None` where that does
/// not follow from what is guessed.
pub(super) fn grams(
    bath: &Composition,
    per_gram: &Composition,
    aim: f64,
    t_c: f64,
    over: Over,
    guess: &Guess<'_>,
) -> Option<(f64, Balance)> {
    let (of_bath, of_gram) = (components(bath), components(per_gram));
    let dosing = Dosing { bath: (&of_bath, bath.water_g / 1000.0), gram: (&of_gram, per_gram.water_g / 1000.0) };
    grams_to(&dosing, aim, t_c, over, guess)
}

/// What the model may be off by. Constants and activity model: 0.05, growing with ionic strength as the spread of
/// five published databases does on the same baths (0.05 at 0.5, 0.2 at 2, 0.3 at 4 mol/kg); more where carbonate
/// meets much sodium, where constants are for 25 °C only, and where a metal ion hydrolyses.
fn model_width(sum: &Totals, found: &Balance, t_c: f64) -> f64 {
    let i = found.ionic_strength();
    let mut width = 0.04 + 0.1 * i.sqrt() + 0.03 * i + 0.002 * (t_c - 25.0).abs();
    let carbon = found.carbon();
    if carbon > 2e-4 {
        // Ion pairs of carbonate with sodium: databases that count them and those that do not differ by 0.1 in 1 %
        // soda, by 0.2 in a bicarbonate buffer with salt and by 0.5 in 5 % soda.
        let (ions, pairs) = (found.molality("co3"), found.molality("Na(CO3)-"));
        let matters = (10.0 * (ions + pairs) / carbon).min(1.0);
        width += 0.06 + 0.06 * i.min(1.0) + 0.6 * libm::log10(1.0 + pairs / ions.max(1e-12)) * matters;
    }
    if i > 0.3 && (sum.get(Component::Citrate) > 0.01 || sum.get(Component::H2po4) > 0.01) {
        width += 0.08;
    }
    if sum.get(Component::Oxalate) > 1e-3 {
        // The first constant is the least certain of the set: 1.22 to 1.4 in print.
        width += 0.05;
    }
    let rough = solutions().components.iter().filter(|c| c.rough).map(|c| sum.get(c.id)).sum::<f64>();
    if rough > 1e-4 {
        width += 0.4;
    }
    width
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bath(water_g: f64, solutes: &[(&str, f64)]) -> Composition {
        Composition::of_grams(water_g, solutes)
    }

    #[test]
    fn a_buffer_is_narrow_and_plain_water_is_wide() {
        let buffer =
            read(&bath(1000.0, &[("acetic_acid", 6.0), ("sodium_acetate", 8.2)]), 25.0, Over::Nothing).unwrap();
        let salt = read(&bath(950.0, &[("sodium_chloride", 50.0)]), 25.0, Over::Nothing).unwrap();
        assert!(buffer.model.0 < 0.1 && salt.model.0 > 1.0, "{:?} {:?}", buffer.model, salt.model);
    }

    #[test]
    fn inert_solids_are_in_the_table() {
        for name in INERT {
            assert!(crate::reference::substances().iter().any(|s| s.name == name), "{name}");
        }
    }

    #[test]
    fn what_cannot_be_known_is_said() {
        let two = bath(950.0, &[("ferrous_sulfate", 20.0), ("hydrogen_peroxide", 5.0)]);
        assert!(read(&two, 25.0, Over::Nothing).is_err());
        assert!(read(&bath(900.0, &[("lead_acetate", 10.0)]), 25.0, Over::Nothing).is_err());
        let strong = bath(600.0, &[("hydrochloric_acid", 370.0)]);
        assert!(read(&strong, 25.0, Over::Nothing).is_err());
    }
}
