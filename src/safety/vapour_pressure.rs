//! Partial pressures over baths, as upper bounds, for the vapours that matter on a bench.

use crate::bath::ATMOSPHERE_PA;
use crate::reference::Substance;

const WATER_G_MOL: f64 = 18.015;
const PA_PER_MMHG: f64 = 133.322;

/// Partial pressure in Pa over a bath with this per cent by mass, and how it was found; `None` where not modelled.
pub(super) fn over(substance: &Substance, percent: f64, celsius: f64) -> Option<(f64, &'static str)> {
    match substance.id.as_ref() {
        "ammonia_aq" => Some((ammonia(percent, celsius), "Henry's law, constant of the PHREEQC database")),
        "acetic_acid" => Some((acetic_acid(percent, celsius)?, "the higher of Henry's and Raoult's law")),
        "hydrochloric_acid" => Some((hydrogen_chloride(percent, celsius), "Perry's table of partial pressures")),
        "peracetic_acid" => Some((peracetic_acid(percent, celsius), "Henry's law, constant of Sander")),
        "hydrogen_peroxide" => Some((hydrogen_peroxide(percent, celsius), "Henry's law, constant of Sander")),
        "hydrogen_sulfide" => Some((hydrogen_sulfide(percent, celsius), "Henry's law, constant of Sander")),
        id => {
            let solvent = SOLVENTS.iter().find(|s| s.id == id)?;
            let mole_share = mole_fraction(percent, substance.molar_mass_g_mol.unwrap_or(140.0));
            let pure = interpolated([(20.0, solvent.at_20), (25.0, solvent.at_25)], celsius) * 1000.0;
            Some((pure * (solvent.in_water * mole_share).min(1.0), "vapour pressure of the pure liquid"))
        }
    }
}

fn molality(percent: f64, molar_mass: f64) -> f64 {
    1000.0 * percent / molar_mass / (100.0 - percent).max(1e-3)
}

fn mole_fraction(percent: f64, molar_mass: f64) -> f64 {
    let (solute, water) = (percent / molar_mass, (100.0 - percent).max(0.0) / WATER_G_MOL);
    solute / (solute + water)
}

/// ln(p) linear in 1/T through two points (Clausius and Clapeyron).
fn interpolated(points: [(f64, f64); 2], celsius: f64) -> f64 {
    let inverse = |t: f64| 1.0 / (t + 273.15);
    let [(t1, p1), (t2, p2)] = points;
    let slope = libm::log(p2 / p1) / (inverse(t2) - inverse(t1));
    p1 * libm::exp(slope * (inverse(celsius) - inverse(t1)))
}

/// Henry constants of ammonia, mol/(kg·atm), from `NH3(g)` of phreeqc.dat, read. Ideal-dilute: above about 10 % the true
/// pressure differs by 10 to 30 %; a strong solution is held at one atmosphere.
const AMMONIA: [(f64, f64); 6] = [(10.0, 134.4), (15.0, 103.1), (20.0, 79.9), (25.0, 62.5), (30.0, 49.4), (40.0, 31.7)];

fn ammonia(percent: f64, celsius: f64) -> f64 {
    let upper = AMMONIA.iter().position(|(t, _)| celsius <= *t).unwrap_or(AMMONIA.len() - 1).max(1);
    let henry = interpolated([AMMONIA[upper - 1], AMMONIA[upper]], celsius);
    (molality(percent, 17.031) / henry * ATMOSPHERE_PA).min(ATMOSPHERE_PA)
}

/// Henry constant 4100 mol/(kg·atm) at 25 °C (Sander's compilation, recalled); vapour pressure of the pure acid 1.558,
/// 2.082 and 2.755 kPa at 20, 25 and 30 °C (Wagner equation, coefficients of McGarry, computed). Both go with
/// temperature as the pure acid does.
fn acetic_acid(percent: f64, celsius: f64) -> Option<f64> {
    let pure = interpolated([(20.0, 1558.0), (30.0, 2755.0)], celsius);
    let henry = molality(percent, 60.052) / 4100.0 * ATMOSPHERE_PA * pure / 2082.0;
    let raoult = pure * mole_fraction(percent, 60.052);
    let worse = henry.max(raoult).min(pure);
    worse.is_finite().then_some(worse)
}

/// Partial pressure of HCl at 20 °C, mmHg (Perry's Chemical Engineers' Handbook, recalled; with the pressure of water it
/// gives the total pressures of the International Critical Tables, read, within a tenth from 30 to 38 %; and its 22 % at
/// 30 °C, 1.02 mmHg, read, agrees). Below 16 % the slope of the table is carried on.
const HYDROGEN_CHLORIDE: [(f64, f64); 12] = [
    (16.0, 0.0428),
    (18.0, 0.095),
    (20.0, 0.205),
    (22.0, 0.45),
    (24.0, 1.00),
    (26.0, 2.17),
    (28.0, 4.90),
    (30.0, 10.6),
    (32.0, 23.5),
    (34.0, 50.5),
    (36.0, 105.5),
    (38.0, 210.0),
];
/// Growth with temperature, per kelvin: 0.45 mmHg at 20 °C to 1.02 mmHg at 30 °C for 22 %.
const HYDROGEN_CHLORIDE_PER_K: f64 = 0.082;

fn hydrogen_chloride(percent: f64, celsius: f64) -> f64 {
    let table = &HYDROGEN_CHLORIDE;
    let upper = table.iter().position(|(w, _)| percent <= *w).unwrap_or(table.len() - 1).max(1);
    let ((w1, p1), (w2, p2)) = (table[upper - 1], table[upper]);
    let at_20 = p1 * libm::exp(libm::log(p2 / p1) * (percent - w1) / (w2 - w1));
    // Above 20 °C the pressure grows; below it the table's own value stands, as an upper bound.
    let warmer = libm::exp((HYDROGEN_CHLORIDE_PER_K * (celsius - 20.0)).max(0.0));
    (at_20 * PA_PER_MMHG * warmer).min(ATMOSPHERE_PA)
}

/// Henry constant of hydrogen peroxide at 25 °C, mol/(kg·atm): 6.9e4 to 1.1e5 in Sander's compilation (recalled); the
/// lowest gives the highest vapour. It halves with about every 8 K (enthalpy near 60 kJ/mol, recalled).
fn hydrogen_peroxide(percent: f64, celsius: f64) -> f64 {
    let henry = 6.9e4 * libm::exp(7300.0 * (1.0 / (celsius + 273.15) - 1.0 / 298.15));
    molality(percent, 34.014) / henry * ATMOSPHERE_PA
}

/// Henry constant of peracetic acid at 25 °C, mol/(kg·atm): 670 to 840 in Sander's compilation (Lind and Kok 1986, O'Sullivan
/// and others 1996; recalled); the lowest gives the highest vapour. Its slope there is 5300 to 5900 K.
fn peracetic_acid(percent: f64, celsius: f64) -> f64 {
    let henry = 670.0 * libm::exp(5900.0 * (1.0 / (celsius + 273.15) - 1.0 / 298.15));
    (molality(percent, 76.051) / henry * ATMOSPHERE_PA).min(ATMOSPHERE_PA)
}

/// Henry constant of hydrogen sulfide at 25 °C, 1.0e-3 mol/(m³ Pa) or 0.101 mol/(L·atm), and its slope 2100 K (Sander's
/// compilation, read).
fn hydrogen_sulfide(percent: f64, celsius: f64) -> f64 {
    let henry = 0.101 * libm::exp(2100.0 * (1.0 / (celsius + 273.15) - 1.0 / 298.15));
    (molality(percent, 34.076) / henry * ATMOSPHERE_PA).min(ATMOSPHERE_PA)
}

struct Solvent {
    id: &'static str,
    /// Vapour pressure of the pure liquid, kPa.
    at_20: f64,
    at_25: f64,
    /// Activity coefficient at infinite dilution in water, rounded up; large for what floats on water.
    in_water: f64,
}

const fn solvent(id: &'static str, at_20: f64, at_25: f64, in_water: f64) -> Solvent {
    Solvent { id, at_20, at_25, in_water }
}

/// Ethanol and 2-propanol computed from Wagner equations (McGarry's coefficients); the others recalled from handbooks
/// (CRC Handbook, International Chemical Safety Cards), medium confidence, upper end of a range for mixtures.
const SOLVENTS: [Solvent; 15] = [
    solvent("ethanol", 5.876, 7.885, 5.0),
    solvent("isopropanol", 4.207, 5.78, 15.0),
    solvent("methanol", 12.9, 16.9, 2.5),
    solvent("acetone", 24.7, 30.8, 12.0),
    solvent("butanone", 10.5, 12.6, 35.0),
    solvent("ethyl_acetate", 9.8, 12.6, 110.0),
    solvent("toluene", 2.91, 3.79, 1e4),
    solvent("xylene", 0.88, 1.11, 1e4),
    solvent("mineral_spirits", 0.5, 0.65, 1e6),
    solvent("kerosene", 0.5, 0.6, 1e6),
    solvent("gum_turpentine", 0.5, 0.67, 1e6),
    solvent("dichloromethane", 47.4, 58.1, 300.0),
    solvent("trichloroethylene", 7.8, 9.9, 1e4),
    solvent("tetrachloroethylene", 1.9, 2.47, 1e5),
    solvent("limonene", 0.19, 0.21, 1e6),
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reference::{exposure_limits, substance};

    #[test]
    fn hydrogen_chloride_with_water_gives_the_total_pressure_of_the_critical_tables() {
        // Total at 20 °C, kPa: 30 % 2.13, 34 % 7.24, 36 % 14.5, 38 % 28.3; water over the acid is 0.3 to 0.75 kPa.
        for (percent, total) in [(30.0, 2.13), (34.0, 7.24), (36.0, 14.5), (38.0, 28.3)] {
            let own = hydrogen_chloride(percent, 20.0) / 1000.0;
            assert!(own < total && total - own < 0.8, "{percent} %: {own} of {total} kPa");
        }
    }

    #[test]
    fn hydrogen_chloride_22_percent_at_30_c_is_1_02_mmhg() {
        assert!((hydrogen_chloride(22.0, 30.0) / PA_PER_MMHG - 1.02).abs() < 0.02);
    }

    #[test]
    fn stronger_and_warmer_is_never_less() {
        for id in ["ammonia_aq", "acetic_acid", "hydrochloric_acid", "hydrogen_peroxide", "ethanol", "acetone"] {
            let s = substance(id).unwrap();
            for t in [5.0, 20.0, 35.0, 55.0] {
                let at = |w: f64| over(s, w, t).unwrap().0;
                assert!(at(1.0) < at(5.0) && at(5.0) < at(30.0), "{id} at {t}");
                assert!(over(s, 5.0, t).unwrap().0 <= over(s, 5.0, t + 5.0).unwrap().0, "{id} at {t}");
            }
        }
    }

    /// A saturated solution holds 0.10 mol/L at 25 °C and half of that at 60 °C under one atmosphere (Sander, read; computed).
    #[test]
    fn hydrogen_sulfide_follows_henry() {
        let percent = 100.0 * 0.101 * 34.076 / (1000.0 + 0.101 * 34.076);
        assert!((hydrogen_sulfide(percent, 25.0) / ATMOSPHERE_PA - 1.0).abs() < 1e-3);
        let at_40 = hydrogen_sulfide(percent / 10.0, 40.0) / hydrogen_sulfide(percent / 10.0, 25.0);
        assert!((at_40 - libm::exp(2100.0_f64 * (1.0 / 298.15 - 1.0 / 313.15))).abs() < 1e-6);
    }

    #[test]
    fn every_solvent_is_a_substance_with_limits() {
        for s in &SOLVENTS {
            assert!(substance(s.id).is_some(), "{}", s.id);
            let has = exposure_limits(s.id).is_some();
            assert!(has || ["limonene", "kerosene"].contains(&s.id), "{}", s.id);
        }
    }
}
