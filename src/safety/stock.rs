//! What a bottle or jar brings: strength, mass and moles, each at its upper end.
//!
//! Nothing here needs a density table: a solution is at most `1 + 0.85 w` kg/L (98 % sulfuric acid, the densest on a
//! bench, is 1.84), solvents and ammonia water are at most 1 kg/L, a powder in a spoon at most 1.5 (common practice, no
//! source). So the mass is never under-estimated by much.

use crate::amount::{Amount, Strength, StrengthBasis, Unit};
use crate::reference::schema::{Form, HazardRole, StrengthNeed};
use crate::reference::{Ingredient, Meaning, Substance, incompatible};

/// A stock as poured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stock {
    /// Active substance, per cent by mass, the highest that the label or the name allows.
    pub percent: f64,
    /// Poured or thrown in as a solid.
    pub solid: bool,
    /// Mass as poured, g.
    pub mass_g: Option<f64>,
    /// The lower end of the strength, per cent.
    pub percent_low: f64,
    /// The least it can weigh, g.
    pub mass_low_g: Option<f64>,
    /// Volume as poured, mL (a solid: its mass at 1 g/mL).
    pub volume_ml: Option<f64>,
    /// Moles of the active substance.
    pub moles: Option<f64>,
}

/// The least a litre weighs, kg: watery ones 1, solvents 0.78 (propanol and acetone, CRC), a powder half of the most.
fn light(substance: &Substance, dense: f64, solid: bool) -> f64 {
    let plays = super::parts_played::played(substance).roles;
    match solid {
        true => dense / 2.0,
        false if plays.has(HazardRole::FlammableSolvent) => 0.78,
        false if plays.has(HazardRole::Ammonia) => 0.88,
        false => dense.min(1.0),
    }
}

/// The stock of one meaning of an ingredient. `litres` is the volume of the whole mixture, for amounts per litre.
pub fn stock(ingredient: &Ingredient, meaning: &Meaning, litres: Option<f64>) -> Stock {
    let substance = meaning.substance;
    let stated = ingredient.line.strength.as_ref();
    let percent = stated
        .and_then(|s| stated_percent(s, substance))
        .or_else(|| meaning.usual.map(|u| u.high.in_percent()))
        .unwrap_or_else(|| strongest_percent(substance, ingredient.strength_missing))
        .clamp(0.0, 100.0);
    let solid = is_solid(substance, stated.is_some() && percent < 90.0, ingredient);
    let percent_low = stated
        .map(|s| Strength { value: crate::amount::Span::one(s.value.low), ..s.clone() })
        .and_then(|s| stated_percent(&s, substance))
        .or_else(|| meaning.usual.map(|u| u.low.in_percent()))
        .unwrap_or(if ingredient.strength_missing { 0.0 } else { percent })
        .clamp(0.0, percent);
    let amount = ingredient.line.amount.as_ref();
    let dense = density(substance, percent, solid);
    let (mass_g, volume_ml) = amount.map_or((None, None), |a| measured(a, dense, litres));
    let least = amount.map(|a| Amount { value: crate::amount::Span::one(a.value.low.min(a.value.high)), unit: a.unit });
    let mass_low_g = least.and_then(|a| measured(&a, light(substance, dense, solid), litres).0);
    let molar = incompatible()
        .molar_masses
        .get(substance.id.as_ref())
        .copied()
        .or(substance.molar_mass_g_mol)
        .filter(|m| *m > 0.0);
    // Without a molar mass it is a mixture of large molecules; 100 g/mol over-estimates what it can do.
    let moles = mass_g.map(|g| g * percent / 100.0 / molar.unwrap_or(100.0));
    Stock { percent, percent_low, solid, mass_g, mass_low_g, volume_ml, moles }
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

/// The stated strength as per cent by mass, erring upward.
fn stated_percent(strength: &Strength, substance: &Substance) -> Option<f64> {
    let high = strength.value.high.to_f64().max(strength.value.low.to_f64());
    let molar = substance.molar_mass_g_mol.unwrap_or(100.0);
    let percent = match strength.basis {
        StrengthBasis::MassPercent | StrengthBasis::MassPerVolumePercent | StrengthBasis::VolumePercent => high,
        // Moles of oxygen per litre are volumes / 22.414; two peroxide each.
        StrengthBasis::PeroxideVolumes => high / 11.207 * 34.014 / 10.0,
        StrengthBasis::VinegarGrain | StrengthBasis::GramsPerLitre => high / 10.0,
        StrengthBasis::MolPerLitre => high * molar / 10.0,
        // 42 degrees Baumé of ferric chloride is about 40 %.
        StrengthBasis::Baume => high,
    };
    percent.is_finite().then_some(percent)
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

fn density(substance: &Substance, percent: f64, solid: bool) -> f64 {
    let plays = super::parts_played::played(substance).roles;
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
