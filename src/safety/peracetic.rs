//! Peracetic acid that peroxide and acetic acid make with each other, at equilibrium.

use super::facts::Present;
use super::parts_played::Roles;
use crate::reference::schema::HazardRole as H;

const PEROXIDE: Roles = Roles::of(&[H::Peroxide]);
/// Molar mass of peracetic acid, g/mol (IUPAC 2021 atomic weights).
pub const G_MOL: f64 = 76.051;

/// Hydrogen peroxide that an acid frees from it, per cent of its mass: an acid takes a powder apart, so that not its
/// solubility in water but all that it carries counts.
pub fn freed_percent(bottle: &Present) -> f64 {
    let carried = || {
        Some(bottle.stock.percent * bottle.played.equivalents(PEROXIDE) * 34.014 / bottle.substance.molar_mass_g_mol?)
    };
    bottle.stock.solid.then(carried).flatten().unwrap_or_else(|| bottle.percent())
}

/// The most peracetic acid the two stocks can hold at equilibrium, mass per cent.
///
/// `x (water + x) = K (acid - x) (peroxide - x)` in moles per kilogram, K = 2.5 (recalled, literature 2 to 3 near room
/// temperature). With the amounts unknown the worst of all ratios counts.
pub fn percent(peroxide: &Present, acid: &Present) -> f64 {
    between(peroxide, acid, freed_percent(peroxide), acid.percent())
}

/// The same as an upper bound: with the errors of labels and measures.
pub fn percent_at_most(peroxide: &Present, acid: &Present) -> f64 {
    let over = |percent: f64, p: &Present| (percent * p.stock.over).min(100.0);
    between(peroxide, acid, over(freed_percent(peroxide), peroxide), over(acid.percent(), acid))
}

fn between(peroxide: &Present, acid: &Present, freed: f64, acetic: f64) -> f64 {
    match (peroxide.stock.mass_g, acid.stock.mass_g) {
        (Some(p), Some(a)) if p + a > 0.0 => equilibrium(freed, acetic, p / (p + a)),
        _ => (1..20).map(|i| equilibrium(freed, acetic, f64::from(i) / 20.0)).fold(0.0, f64::max),
    }
}

fn equilibrium(peroxide_percent: f64, acid_percent: f64, share: f64) -> f64 {
    let (grams_p, grams_a) = (peroxide_percent * 10.0 * share, acid_percent * 10.0 * (1.0 - share));
    let (p, a) = (grams_p / 34.014, grams_a / 60.052);
    let water = (1000.0 - grams_p - grams_a).max(0.0) / 18.015;
    let constant = 2.5;
    // (1 - K) x² + (water + K (a + p)) x - K a p = 0; the root between 0 and the scarcer of the two.
    let (qa, qb, qc) = (1.0 - constant, water + constant * (a + p), -constant * a * p);
    let root = (qb * qb - 4.0 * qa * qc).max(0.0).sqrt();
    let x = (-qb + root) / (2.0 * qa);
    x.clamp(0.0, a.min(p)) * G_MOL / 10.0
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Check values of the reference data: finished 2.5 % with 1.5 % gives 0.06 %, 5 with 3 0.25, 15 with 6 1.5, 50 with 15 14.4.
    #[test]
    fn peracetic_acid_at_equilibrium() {
        for (acid, peroxide, expected) in [(5.0, 3.0, 0.06), (10.0, 6.0, 0.25), (30.0, 12.0, 1.5), (100.0, 30.0, 14.4)]
        {
            let x = equilibrium(peroxide, acid, 0.5);
            assert!((x - expected).abs() / expected < 0.08, "{acid} with {peroxide}: {x}");
        }
    }
}
