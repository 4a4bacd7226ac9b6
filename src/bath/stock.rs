//! Strength conversions and what a stock brings: from the label to grams of anhydrous solute and water.

use super::density::density;
use super::solubility::saturated;
use super::species::{Composition, Solutes, WATER_G_MOL, solute, stock};
use crate::amount::{
    Estimate, Exact, MassDensity, MassFraction, Span, Strength, StrengthBasis, ThermodynamicTemperature, celsius,
    in_celsius, kg_per_m3,
};
use crate::diag::{Checked, Problem};
use crate::reference::Substance;
use crate::reference::schema::{SoluteData, Stock};

/// Litres of oxygen at 0 °C and 1 atm per mole of peroxide: half of 22.414 L/mol.
const OXYGEN_L_PER_MOL_PEROXIDE: f64 = 11.207;
/// Strengths on labels hold at 20 °C.
const LABEL_C: f64 = 20.0;
/// An assay from here up belongs to a solid, not to a solution.
const ASSAY: f64 = 0.90;

/// What a stock is made of, with its solutes looked up.
pub(super) struct Makeup {
    stock: &'static Stock,
    /// Share of the mass of each, where the table has shares, or how many of each one formula gives.
    parts: Vec<(&'static SoluteData, f64)>,
}

impl Makeup {
    pub fn of(stock: &'static Stock) -> Makeup {
        let counts = stock.mass_share.as_ref().unwrap_or(&stock.gives);
        Makeup { stock, parts: counts.iter().filter_map(|(id, n)| Some((solute(id)?, *n))).collect() }
    }

    fn holds(&self, grams: f64, of: impl Fn(&SoluteData, f64) -> f64) -> Composition {
        let solutes_g = Solutes::of(self.parts.iter().map(|(s, n)| (*s, of(s, *n))));
        let mut found = Composition { solutes_g, ..Composition::default() };
        found.water_g = grams - found.dissolved_g();
        found
    }

    /// Composition of `grams` with mass fraction `w` of the formula; `hydrate` overrides the molecules of water in the
    /// formula. The sum is `grams`.
    pub fn compose(&self, grams: f64, w: f64, hydrate: Option<f64>) -> Composition {
        let stock = self.stock;
        if stock.mass_share.is_some() {
            return self.holds(grams, |_, share| grams * share);
        }
        let formula_g = grams * w;
        let anhydrous: f64 = self.parts.iter().filter_map(|(s, n)| Some(n * s.molar_mass_g_mol?)).sum();
        let molar = match hydrate {
            Some(n) => Some(anhydrous + n * WATER_G_MOL),
            // The table's own molar mass may differ in the last digit; water decides what is bound.
            None => stock.molar_mass_g_mol.map(|m| if stock.water == 0.0 { anhydrous.max(1e-9) } else { m.max(1e-9) }),
        };
        let mut found = match molar {
            Some(molar) if anhydrous > 0.0 => {
                self.holds(grams, |s, n| formula_g / molar * n * s.molar_mass_g_mol.unwrap_or(0.0))
            }
            // No molar mass: the substance itself is the solute.
            _ => self.holds(grams, |_, _| formula_g / stock.gives.len() as f64),
        };
        // What is left of the subtraction for a dry solid is rounding, not water.
        if found.water_g.abs() < 1e-9 * grams {
            found.water_g = 0.0;
        }
        found
    }

    /// Density with mass fraction `w` of the formula, and whether it is modelled.
    pub fn density(&self, w: f64, hydrate: Option<f64>, t_c: f64) -> (Estimate<f64>, bool) {
        let found = density(&self.compose(1.0, w, hydrate), t_c);
        (found.kg_m3, found.not_modelled.is_empty())
    }
}

/// Density of a stock at a strength; `None` where it is not modelled.
pub fn stock_density(
    substance: &Substance,
    w: MassFraction,
    temperature: ThermodynamicTemperature,
) -> Option<Estimate<MassDensity>> {
    let stock = stock(&substance.id)?;
    if w.ratio() >= 1.0
        && let Some(pure) = stock.liquid_kg_m3
    {
        return Some(Estimate::exact(kg_per_m3(pure)));
    }
    let (found, modelled) = Makeup::of(stock).density(w.ratio(), None, in_celsius(temperature));
    modelled.then(|| found.map(kg_per_m3))
}

/// Mass fraction of a substance in a stock of a stated strength, both ends of the range as written. For a hydrate the
/// fraction counts the hydrate; for ammonia it counts NH₃.
///
/// # Errors
/// A basis that the substance cannot have (peroxide volumes of an acid), a strength above what exists.
pub fn mass_fraction(substance: &Substance, strength: &Strength) -> Checked<Span<MassFraction>> {
    let Some(stock) = stock(&substance.id) else {
        return Err(Problem::error(format!("a strength of {} cannot be reckoned with", substance.name))
            .hint("give its mass, or leave the strength out")
            .into());
    };
    mass_fraction_of(substance, stock, strength)
}

/// The same, of this stock of the substance.
///
/// # Errors
/// As [`mass_fraction`].
pub(super) fn mass_fraction_of(
    substance: &Substance,
    stock: &'static Stock,
    strength: &Strength,
) -> Checked<Span<MassFraction>> {
    let basis = match strength.basis {
        StrengthBasis::MassPercent if strength.basis_assumed && stock.by_volume => StrengthBasis::VolumePercent,
        basis => basis,
    };
    let of = |figure: Exact| {
        let w = fraction(substance, stock, basis, figure.to_f64())?;
        below_strongest(substance, stock, w)?;
        MassFraction::new(w).ok_or_else(|| too_strong(substance, w, 1.0).into())
    };
    match strength.value.is_one() {
        true => of(strength.value.low).map(Span::one),
        false => strength.value.try_map(of),
    }
}

fn fraction(substance: &Substance, stock: &'static Stock, basis: StrengthBasis, figure: f64) -> Checked<f64> {
    let grams_per_litre = match basis {
        StrengthBasis::MassPercent => return Ok(figure / 100.0),
        StrengthBasis::MassPerVolumePercent => figure * 10.0,
        StrengthBasis::GramsPerLitre => figure,
        StrengthBasis::VinegarGrain if substance.id == "acetic_acid" => figure,
        StrengthBasis::PeroxideVolumes if substance.id == "hydrogen_peroxide" => {
            figure / OXYGEN_L_PER_MOL_PEROXIDE * formula_mass(stock, substance)?
        }
        StrengthBasis::MolPerLitre => figure * formula_mass(stock, substance)?,
        StrengthBasis::VolumePercent => match stock.liquid_kg_m3 {
            Some(pure) => figure / 100.0 * pure,
            None => {
                return Err(Problem::error(format!("per cent by volume means nothing for {}", substance.name))
                    .hint("give per cent by mass (w/w) or grams per litre")
                    .into());
            }
        },
        StrengthBasis::Baume => return from_baume(substance, stock, figure),
        StrengthBasis::VinegarGrain | StrengthBasis::PeroxideVolumes => {
            return Err(Problem::error(format!("that kind of strength is not used for {}", substance.name))
                .hint("grain is for vinegar, volumes are for hydrogen peroxide")
                .into());
        }
    };
    if basis == StrengthBasis::VolumePercent && figure >= 100.0 {
        return Ok(figure / 100.0);
    }
    Ok(from_grams_per_litre(stock, grams_per_litre))
}

fn formula_mass(stock: &Stock, substance: &Substance) -> Checked<f64> {
    stock.molar_mass_g_mol.ok_or_else(|| {
        Problem::error(format!("{} has no one molar mass", substance.name)).hint("give per cent by mass").into()
    })
}

/// Solves w · ρ(w) = c. ρ(w) changes slowly, so that the plain iteration w = c/ρ(w) settles in a few rounds.
fn from_grams_per_litre(stock: &'static Stock, grams_per_litre: f64) -> f64 {
    let makeup = Makeup::of(stock);
    let mut w: f64 = grams_per_litre / 1000.0;
    for _ in 0..60 {
        let (rho, _) = makeup.density(w.clamp(0.0, 1.0), None, LABEL_C);
        let next = grams_per_litre / rho.best;
        if (next - w).abs() < 1e-12 {
            break;
        }
        w = 0.5 * (w + next);
    }
    w
}

/// Heavy scale, modulus 145: specific gravity at 60 °F is 145/(145 − °Bé).
fn from_baume(substance: &Substance, stock: &'static Stock, degrees: f64) -> Checked<f64> {
    if !(0.0..80.0).contains(&degrees) {
        return Err(Problem::error(format!("{degrees} °Bé is outside the heavy scale (0 to 80)")).into());
    }
    let t_c = 15.56;
    let makeup = Makeup::of(stock);
    let (water, _) = makeup.density(0.0, None, t_c);
    let target = 145.0 / (145.0 - degrees) * water.best;
    let (mut low, mut high) = (0.0, 0.7);
    let (_, modelled) = makeup.density(0.3, None, t_c);
    if !modelled || makeup.density(high, None, t_c).0.best < target {
        return Err(Problem::error(format!("{degrees} °Bé cannot be turned into a strength of {}", substance.name))
            .hint("give per cent by mass from the label or the safety data sheet")
            .into());
    }
    for _ in 0..60 {
        let mid = 0.5 * (low + high);
        if makeup.density(mid, None, t_c).0.best < target {
            low = mid;
        } else {
            high = mid;
        }
    }
    Ok(0.5 * (low + high))
}

fn below_strongest(substance: &Substance, stock: &'static Stock, w: f64) -> Checked<()> {
    if w > 1.0 + 1e-9 {
        return Err(too_strong(substance, w, 1.0).into());
    }
    // The solute decides, except where the strength can only be the assay of a solid.
    let (Some(id), true) = (stock.gives.keys().next(), stock.gives.len() == 1) else { return Ok(()) };
    let Some(s) = solute(id) else { return Ok(()) };
    let limit = match (s.strongest, s.miscible) {
        (Some(limit), _) => limit,
        (None, true) => return Ok(()),
        (None, false) if w >= ASSAY && !stock.needs_strength => return Ok(()),
        (None, false) => match saturated(id, celsius(60.0)) {
            // In grams of the formula as named.
            Some(w) => w.ratio() / anhydrous_share(stock).max(1e-9),
            None => return Ok(()),
        },
    };
    if w > limit { Err(too_strong(substance, w, limit).into()) } else { Ok(()) }
}

fn anhydrous_share(stock: &'static Stock) -> f64 {
    Makeup::of(stock).compose(1.0, 1.0, None).dissolved_g()
}

fn too_strong(substance: &Substance, w: f64, limit: f64) -> Problem {
    let (w, limit) = (w * 100.0, limit * 100.0);
    Problem::error(format!("{} of {w:.1} % by mass does not exist; at most {limit:.0} %", substance.name))
        .hint("look at the label again: is it per cent by mass, by volume, or volumes of oxygen?")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reference::substance;
    use rust_decimal::Decimal;

    fn of(id: &str, figure: &str, basis: StrengthBasis) -> Checked<f64> {
        let value = Exact::from_decimal(figure.parse::<Decimal>().unwrap()).unwrap();
        let strength = Strength { value: Span::one(value), basis, basis_assumed: false };
        let fake = Substance { id: id.to_string().into(), ..substance("water").unwrap().clone() };
        mass_fraction(&fake, &strength).map(|w| w.low.ratio())
    }

    #[test]
    fn ten_volumes_is_three_per_cent_by_volume_of_weight() {
        // 0.8923 mol/L, 3.035 % w/v, so 3.01 % w/w.
        let w = of("hydrogen_peroxide", "10", StrengthBasis::PeroxideVolumes).unwrap();
        assert!((w - 0.03008).abs() < 0.0002, "{w}");
    }

    #[test]
    fn etchant_of_42_baume_is_about_two_fifths() {
        let w = of("ferric_chloride", "42", StrengthBasis::Baume).unwrap();
        assert!((w - 0.395).abs() < 0.01, "{w}");
    }

    #[test]
    fn what_does_not_exist_is_an_error() {
        assert!(of("hydrochloric_acid", "45", StrengthBasis::MassPercent).is_err());
        assert!(of("hydrogen_peroxide", "95", StrengthBasis::MassPercent).is_err());
        assert!(of("ammonia_aq", "40", StrengthBasis::MassPercent).is_err());
        assert!(of("sodium_chloride", "40", StrengthBasis::MassPercent).is_err());
        assert!(of("sodium_chloride", "99", StrengthBasis::MassPercent).is_ok());
        assert!(of("citric_acid", "10", StrengthBasis::PeroxideVolumes).is_err());
    }

    #[test]
    fn hydrates_bring_their_water() {
        let one = |id| {
            let found = Makeup::of(stock(id).unwrap()).compose(1.0, 1.0, None);
            found.entries().map(|(s, grams)| (s.id.to_string(), grams)).collect::<Vec<_>>()
        };
        let blue = one("copper_sulfate_pentahydrate");
        assert_eq!(blue[0].0, "copper_sulfate_anhydrous");
        assert!((blue[0].1 - 159.602 / 249.677).abs() < 1e-4);
        assert!((one("ammonia_aq")[0].1 - 1.0).abs() < 1e-9);
    }
}
