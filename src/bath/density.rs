//! Density of mixed aqueous solutions, 0 to 60 °C.
//!
//! Laliberté and Cooper, J. Chem. Eng. Data 49 (2004) 1141, coefficients of Laliberté 2009: each solute has an
//! apparent density that depends on the water fraction of the whole and on temperature, and volumes add with them.
//! Solutes that the fit misses or fits badly use a polynomial at 20 °C fitted to handbook rows.

use super::species::{Composition, solute};
use crate::amount::{Estimate, MassDensity, MassFraction, ThermodynamicTemperature, in_celsius, kg_per_m3};
use crate::reference::schema::{Laliberte, Polynomial, SoluteData, SoluteKind};

/// Below this mass fraction a solute without a model widens the density instead of spoiling it.
const TRACE: f64 = 0.005;

/// Density of water, kg/m³. Laliberté and Cooper 2004, equation for water; within 0.004 kg/m³ of IAPWS-95 from 1 to
/// 60 °C.
pub(super) fn water_kg_m3(t_c: f64) -> f64 {
    let t = t_c;
    let numerator =
        ((((-2.8054253e-10 * t + 1.0556302e-7) * t - 4.6170461e-5) * t - 0.0079870401) * t + 16.945176) * t + 999.83952;
    numerator / (1.0 + 0.01687985 * t)
}

/// A density with what limits it.
#[derive(Debug, Clone)]
pub(super) struct Density {
    pub kg_m3: Estimate<f64>,
    /// Names of solutes that have no model, in amounts that matter.
    pub not_modelled: Vec<String>,
}

/// Density of a composition.
pub(super) fn density(bath: &Composition, t_c: f64) -> Density {
    let total = bath.total_g();
    let water = water_kg_m3(t_c);
    if total <= 0.0 {
        return Density { kg_m3: Estimate::exact(water), not_modelled: Vec::new() };
    }
    let w_water = bath.water_g / total;
    // Specific volumes per kilogram of bath: best, and with every unmodelled solute at its densest and lightest.
    let (mut best, mut dense, mut light) = (w_water / water, w_water / water, w_water / water);
    let mut spread = 0.02_f64.powi(2);
    let mut not_modelled = Vec::new();
    let mut counted = 0;
    for (s, grams) in bath.entries() {
        let w = grams / total;
        if w <= 0.0 {
            continue;
        }
        if w > TRACE {
            counted += 1;
        }
        match apparent(s, w, w_water, t_c) {
            Some((volume, within)) => {
                (best, dense, light) = (best + w * volume, dense + w * volume, light + w * volume);
                spread += (within * (w / 0.02).min(1.0)).powi(2);
            }
            None => {
                let [low, mid, high] = bound(s.kind);
                (best, dense, light) = (best + w / mid, dense + w / high, light + w / low);
                if w > TRACE {
                    not_modelled.push(s.name.to_string());
                }
            }
        }
    }
    for (name, grams) in bath.foreign_g.iter() {
        let w = grams / total;
        (best, dense, light) = (best + w / 1200.0, dense + w / 8000.0, light + w / 700.0);
        if w > TRACE {
            not_modelled.push(name.to_string());
        }
    }
    let value = 1.0 / best;
    if counted > 1 {
        // The mixing rule itself: a thirtieth of what the solutes add (our estimate from two-salt baths).
        spread += ((value - water) / 30.0).powi(2);
    }
    let spread = spread.sqrt();
    Density { kg_m3: Estimate { best: value, low: 1.0 / light - spread, high: 1.0 / dense + spread }, not_modelled }
}

/// Apparent density to assume for a solute without a model, kg/m³: low, best, high. Salts: from light ammonium salts
/// to heavy metal salts that shrink the water around them; organic: from alcohols to sugars and acids (our bound).
fn bound(kind: SoluteKind) -> [f64; 3] {
    match kind {
        SoluteKind::Salt => [1400.0, 2600.0, 9000.0],
        SoluteKind::Organic => [750.0, 1350.0, 1900.0],
    }
}

/// Apparent specific volume, m³/kg, and how far the density may be off, kg/m³.
fn apparent(s: &SoluteData, w: f64, w_water: f64, t_c: f64) -> Option<(f64, f64)> {
    if let Some(fit) = &s.laliberte {
        return laliberte(fit, w, w_water, t_c);
    }
    s.polynomial_20c.as_ref().map(|fit| polynomial(fit, &s.id, w, w_water, t_c))
}

fn laliberte(fit: &Laliberte, w: f64, w_water: f64, t_c: f64) -> Option<(f64, f64)> {
    let [c0, c1, c2, c3, c4] = fit.c;
    // Outside the fit's own range the temperature of its edge is used and the error grows with the distance.
    let t = t_c.clamp(fit.t_c[0], fit.t_c[1]);
    let solutes = 1.0 - w_water;
    let numerator = solutes + c2 + c3 * t;
    let denominator = (c0 * solutes + c1) * libm::exp(1e-6 * (t + c4).powi(2));
    if denominator.abs() < 1e-12 {
        return None;
    }
    let volume = numerator / denominator;
    let beyond = (w / fit.w_max - 1.0).max(0.0) * 30.0;
    let away = (t_c - t).abs() * 3.0 * w;
    volume.is_finite().then_some((volume, fit.within_kg_m3 + beyond + away))
}

fn polynomial(fit: &Polynomial, id: &str, w: f64, w_water: f64, t_c: f64) -> (f64, f64) {
    let alone = (w / (w + w_water)).min(fit.w_max);
    let rise: f64 = fit.a.iter().rev().fold(0.0, |sum, a| (sum + a) * alone);
    let shift = water_kg_m3(t_c) - water_kg_m3(20.0) + expansion(id, alone) * (t_c - 20.0);
    let binary = 998.2 + rise + shift;
    let water = water_kg_m3(t_c);
    let volume = if alone > 1e-9 {
        (1.0 / binary - (1.0 - alone) / water) / alone
    } else {
        (1.0 - fit.a.first().copied().unwrap_or(0.0) / water) / water
    };
    let beyond = (w / (w + w_water) / fit.w_max - 1.0).max(0.0) * 30.0;
    // Shifting with water alone is good to about 1.5 kg/m³ for ten kelvins either way.
    let away = (t_c - 20.0).abs() * 0.15 * (alone / 0.1).min(1.0);
    (volume, fit.within_kg_m3 + beyond + away)
}

/// How much faster than water a solution expands, kg/m³ per kelvin. Ammonia and ethanol: read off Melinder, Properties
/// of Secondary Working Fluids (IIR), 10 to 30 °C, through CoolProp 8; pure alcohols −0.85 kg/m³/K (handbook, from
/// memory).
fn expansion(id: &str, w: f64) -> f64 {
    match id {
        "ammonia" => interpolate(&[(0.0, 0.0), (0.05, -0.06), (0.1, -0.12), (0.2, -0.285), (0.3, -0.44)], w),
        "ethanol" | "isopropanol" => {
            interpolate(&[(0.0, 0.0), (0.1, -0.05), (0.2, -0.22), (0.4, -0.50), (1.0, -0.62)], w)
        }
        _ => 0.0,
    }
}

/// Straight lines between points sorted by the first; held at the ends.
pub(super) fn interpolate(points: &[(f64, f64)], x: f64) -> f64 {
    let (Some(first), Some(last)) = (points.first(), points.last()) else { return f64::NAN };
    if x <= first.0 {
        return first.1;
    }
    for pair in points.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        if x <= b.0 {
            return a.1 + (b.1 - a.1) * (x - a.0) / (b.0 - a.0);
        }
    }
    last.1
}

/// Density of water with these solutes at their mass fractions of the whole; the rest is water.
///
/// `None` when a solute is unknown, has no density model, or the fractions pass one.
pub fn solution_density(
    solutes: &[(&str, MassFraction)],
    temperature: ThermodynamicTemperature,
) -> Option<Estimate<MassDensity>> {
    let mut bath = Composition { water_g: 1.0, ..Composition::default() };
    for (id, w) in solutes {
        bath.add(solute(id)?, w.ratio());
        bath.water_g -= w.ratio();
    }
    if bath.water_g < -1e-9 {
        return None;
    }
    bath.water_g = bath.water_g.max(0.0);
    let found = density(&bath, in_celsius(temperature));
    found.not_modelled.is_empty().then(|| found.kg_m3.map(kg_per_m3))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn water_follows_iapws_95() {
        for (t, expected) in [(4.0, 999.975), (20.0, 998.207), (25.0, 997.048), (60.0, 983.196)] {
            assert!((water_kg_m3(t) - expected).abs() < 0.006, "{t}: {}", water_kg_m3(t));
        }
    }

    #[test]
    fn a_salt_without_a_model_gives_a_bound_and_its_name() {
        let bath = Composition::of_grams(95.0, &[("lead_acetate", 5.0)]);
        let found = density(&bath, 20.0);
        assert_eq!(found.not_modelled.len(), 1);
        assert!(found.kg_m3.low < 1030.0 && found.kg_m3.high > 1040.0);
    }
}
