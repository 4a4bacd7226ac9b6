//! What a bottle or jar brings: strength, mass and moles, each at its upper end.
//!
//! Nothing here needs a density table: a solution is at most `1 + 0.85 w` kg/L (98 % sulfuric acid, the densest on a
//! bench, is 1.84), solvents and ammonia water are at most 1 kg/L, a powder in a spoon at most 1.5 (common practice, no
//! source). So the mass is never under-estimated by much.

use super::parts_played::Roles;
use crate::amount::{Amount, Span, Strength, StrengthBasis, Unit};
use crate::bath::{mass_fraction, most_over_line, warming_kj_mol};
use crate::reference::schema::{Form, HazardRole, StrengthNeed};
use crate::reference::{Ingredient, Meaning, Substance, incompatible};

/// A stock as poured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stock {
    /// Active substance, per cent by mass, the highest that the label or the name allows.
    pub percent: f64,
    /// Poured or thrown in as a solid.
    pub solid: bool,
    /// Poured as a liquid, or it may be: a solid that is dissolved in who knows how much water.
    pub wet: bool,
    /// Mass as poured, g.
    pub mass_g: Option<f64>,
    /// The lower end of the strength, per cent.
    pub percent_low: f64,
    /// The least it can weigh, g.
    pub mass_low_g: Option<f64>,
    /// Volume as poured, mL (a solid: its mass at 1 g/mL).
    pub volume_ml: Option<f64>,
    /// Moles of the active substance, at most: with the errors of label and measure.
    pub moles: Option<f64>,
    /// How many times what the line says that is.
    pub over: f64,
    /// Whether it thins what is beside it: not a solid that does not dissolve.
    pub thins: bool,
    /// Heat that all of it sets free in much water, kJ, positive warms; `None` where it or the amount is not known.
    pub warming_kj: Option<f64>,
}

impl Stock {
    /// This figure of it as far as it thins what is beside it: nothing for a solid that does not dissolve.
    pub fn thinning(&self, figure: Option<f64>) -> Option<f64> {
        if self.thins { figure } else { Some(0.0) }
    }

    /// A solid piece that is not poured: all of it what it is, of a mass that nobody knows.
    pub fn piece() -> Self {
        Stock {
            percent: 100.0,
            solid: true,
            wet: false,
            mass_g: None,
            percent_low: 100.0,
            mass_low_g: None,
            volume_ml: None,
            moles: None,
            over: 1.0,
            thins: false,
            warming_kj: None,
        }
    }
}

/// The least a litre weighs, kg: watery ones 1, solvents 0.78 (propanol and acetone, CRC), a powder half of the most.
fn light(plays: Roles, dense: f64, solid: bool) -> f64 {
    match solid {
        true => dense / 2.0,
        false if plays.has(HazardRole::FlammableSolvent) => 0.78,
        false if plays.has(HazardRole::Ammonia) => 0.88,
        false => dense.min(1.0),
    }
}

/// The stock of one meaning of an ingredient, and the roles that it plays. `litres` is the volume of the whole mixture, for
/// amounts per litre.
pub fn stock(ingredient: &Ingredient, meaning: &Meaning, plays: Roles, litres: Option<f64>) -> Stock {
    let substance = meaning.substance;
    let stated = ingredient.line.strength.as_ref();
    let said = stated.and_then(|s| stated_percent(s, substance));
    let percent = said
        .map(|s| s.high)
        .or_else(|| meaning.usual.map(|u| u.high.in_percent()))
        .unwrap_or_else(|| strongest_percent(substance, ingredient.strength_missing))
        .clamp(0.0, 100.0);
    let solid = is_solid(substance, stated.is_some() && percent < 90.0, ingredient);
    let percent_low = said
        .map(|s| s.low)
        .or_else(|| meaning.usual.map(|u| u.low.in_percent()))
        .unwrap_or(if ingredient.strength_missing { 0.0 } else { percent })
        .clamp(0.0, percent);
    let amount = ingredient.line.amount.as_ref();
    let dense = density(plays, percent, solid);
    let (mass_g, volume_ml) = amount.map_or((None, None), |a| measured(a, dense, litres));
    let least = amount.map(|a| Amount { value: Span::one(a.value.low.min(a.value.high)), unit: a.unit });
    let mass_low_g = least.and_then(|a| measured(&a, light(plays, dense, solid), litres).0);
    let molar = incompatible()
        .molar_masses
        .get(substance.id.as_ref())
        .copied()
        .or(substance.molar_mass_g_mol)
        .filter(|m| *m > 0.0);
    let over = most_over_line(ingredient, solid, percent);
    // Without a molar mass it is a mixture of large molecules; 100 g/mol over-estimates what it can do.
    let moles = mass_g.map(|g| g * percent / 100.0 / molar.unwrap_or(100.0) * over);
    let warming_kj = moles.zip(warming_kj_mol(ingredient, substance)).map(|(n, kj)| n * kj);
    Stock {
        percent,
        percent_low,
        solid,
        // Of what is sold dry and dissolved, no strength says which of the two stands on the shelf.
        wet: !solid || ingredient.strength_missing || (substance.form == Form::SolidOrSolution && stated.is_some()),
        mass_g,
        mass_low_g,
        volume_ml,
        moles,
        over,
        thins: !(solid && incompatible().undissolved.contains(&substance.id)),
        warming_kj,
    }
}

/// Litres of everything that has a volume or a mass; `None` when nothing has.
pub fn litres_poured(ingredients: &[Ingredient]) -> Option<f64> {
    let of = |i: &Ingredient| match i.line.amount.as_ref() {
        Some(amount) => measured(amount, 1.0, None).1,
        None => None,
    };
    let ml: f64 = ingredients.iter().filter_map(of).sum();
    (ml > 0.0).then_some(ml / 1000.0)
}

/// Least and most that something unknown can weigh, g: 0.7 to 2 kg/L (judgement).
pub fn unknown_mass_g(ingredient: &Ingredient, litres: Option<f64>) -> Option<Span<f64>> {
    let amount = ingredient.line.amount.as_ref()?;
    let least = Amount { value: Span::one(amount.value.low.min(amount.value.high)), unit: amount.unit };
    Some(Span { low: measured(&least, 0.7, litres).0?, high: measured(amount, 2.0, litres).0? })
}

fn measured(amount: &Amount, density: f64, litres: Option<f64>) -> (Option<f64>, Option<f64>) {
    let high = amount.value.high.to_f64().max(amount.value.low.to_f64());
    if !high.is_finite() || high < 0.0 {
        return (None, None);
    }
    match amount.unit {
        Unit::Volume(unit, system) => {
            let ml = unit.exact_ml(system).map(|ml| high * ml.to_f64());
            (ml.map(|ml| ml * density), ml)
        }
        Unit::Mass(unit) => {
            let g = unit.exact_g().map(|g| high * g.to_f64());
            (g, g)
        }
        Unit::GramsPerLitre => (litres.map(|l| high * l), litres.map(|l| high * l)),
        Unit::MillilitresPerLitre => (litres.map(|l| high * l * density), litres.map(|l| high * l)),
        Unit::Parts => (None, None),
    }
}

/// The stated strength as per cent by mass, both ends; the upper one errs upward: the larger of what the bath room
/// reckons with its densities, and of the plain reading, which takes a litre for a kilogram.
fn stated_percent(strength: &Strength, substance: &Substance) -> Option<Span<f64>> {
    let (low, high) = (strength.value.low.to_f64(), strength.value.high.to_f64());
    let plain = Span {
        low: plainly(low.min(high), strength.basis, substance),
        high: plainly(low.max(high), strength.basis, substance),
    };
    let exact = mass_fraction(substance, strength).ok().map(|w| w.map(|w| w.in_percent()));
    let high = exact.map_or(plain.high, |e| e.high.max(e.low).max(plain.high));
    let low = exact.map_or(plain.low, |e| e.low.min(e.high));
    high.is_finite().then_some(Span { low: low.min(high), high })
}

fn plainly(figure: f64, basis: StrengthBasis, substance: &Substance) -> f64 {
    let molar = substance.molar_mass_g_mol.unwrap_or(100.0);
    match basis {
        StrengthBasis::MassPercent | StrengthBasis::MassPerVolumePercent | StrengthBasis::VolumePercent => figure,
        // Moles of oxygen per litre are volumes / 22.414; two peroxide each.
        StrengthBasis::PeroxideVolumes => figure / 11.207 * 34.014 / 10.0,
        StrengthBasis::VinegarGrain | StrengthBasis::GramsPerLitre => figure / 10.0,
        StrengthBasis::MolPerLitre => figure * molar / 10.0,
        StrengthBasis::Baume => by_baume(figure, substance),
    }
}

/// The heavy scale: specific gravity is 145 / (145 - degrees). Every acid and salt of the table adds at least half of its
/// mass fraction to the density (hydrochloric acid, the lightest of them, 1.18 at 37 %; CRC, recalled).
fn by_baume(degrees: f64, substance: &Substance) -> f64 {
    let strongest = incompatible().strongest_percent.get(substance.id.as_ref()).copied().unwrap_or(100.0);
    let gravity = 145.0 / (145.0 - degrees.clamp(0.0, 100.0));
    ((gravity - 1.0) / 0.5 * 100.0).clamp(0.0, strongest)
}

fn strongest_percent(substance: &Substance, missing: bool) -> f64 {
    let table = incompatible();
    let id = substance.id.as_ref();
    if let Some(natural) = table.natural_percent.get(id) {
        return *natural;
    }
    match table.strongest_percent.get(id) {
        Some(strongest) if missing || substance.strength == StrengthNeed::Always => *strongest,
        _ => 100.0,
    }
}

fn is_solid(substance: &Substance, dissolved: bool, ingredient: &Ingredient) -> bool {
    match substance.form {
        Form::Solid => !dissolved,
        Form::SolidOrSolution => !dissolved && !ingredient.strength_missing,
        Form::Liquid | Form::Gas | Form::Solution => false,
    }
}

fn density(plays: Roles, percent: f64, solid: bool) -> f64 {
    if solid {
        1.5
    } else if plays.has(HazardRole::ChlorinatedSolvent) {
        1.65
    } else if plays.has(HazardRole::FlammableSolvent)
        || plays.has(HazardRole::Water)
        || plays.has(HazardRole::Ammonia)
        || plays.has(HazardRole::DryingOil)
    {
        1.0
    } else if plays.has(HazardRole::Acetic) {
        1.07
    } else {
        1.0 + 0.0085 * percent
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::amount::MeasureSystem;
    use crate::reference::read_ingredient;
    use crate::safety::parts_played::played;

    /// Strengths as labels write them, and the per cent by mass that they are: 20 and 22 °Bé muriatic acid 31.45 and 35.21 %,
    /// 66 °Bé oil of vitriol 93 %, 42 °Bé nitric acid 67 % (manufacturing chemists' Baumé tables, recalled); 42 °Bé ferric
    /// chloride 40 % (trade); 30 % w/v ammonia at 0.89 kg/L is 33 %; ten volumes of peroxide are 3 %.
    #[test]
    fn a_stated_strength_never_counts_as_less_than_it_is() {
        for (line, percent) in [
            ("100 ml hydrochloric acid 20 Be", 31.4),
            ("100 ml hydrochloric acid 22 Be", 35.21),
            ("100 ml sulfuric acid 66 Be", 93.0),
            ("100 ml nitric acid 42 Be", 67.0),
            ("100 ml ferric chloride 42 Be", 40.0),
            ("100 ml ammonia 30 % w/v", 33.0),
            ("100 ml ammonia 250 g/L", 27.0),
            ("100 ml hydrogen peroxide 10 vol", 3.0),
        ] {
            let read = read_ingredient(line, MeasureSystem::Metric).expect("a plain line");
            let worst = read
                .meanings
                .iter()
                .map(|m| stock(&read, m, played(m.substance).roles, None).percent)
                .fold(0.0, f64::max);
            assert!(worst >= percent && worst <= 100.0, "{line}: {worst}");
        }
    }
}
