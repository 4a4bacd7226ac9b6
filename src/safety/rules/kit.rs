//! What several rules need: sets of roles, gas figures, heat.

use super::Found;
use crate::reference::schema::{HazardRole as H, MetalFamily};
use crate::safety::facts::{Facts, Metal, Place, Present, gas};
use crate::safety::parts_played::Roles;

/// Any acid, weak or strong.
pub const ACID: Roles = Roles::of(&[H::MineralAcid, H::OrganicAcid]);
/// Any acid, and the salts whose solutions are acid.
pub const ACIDIC: Roles = Roles::of(&[H::MineralAcid, H::OrganicAcid, H::AcidicSalt]);
/// Strong acids.
pub const STRONG_ACID: Roles = Roles::of(&[H::StrongAcid]);
/// Mineral acids.
pub const MINERAL_ACID: Roles = Roles::of(&[H::MineralAcid]);
/// Lye.
pub const STRONG_BASE: Roles = Roles::of(&[H::StrongBase]);
/// Everything distinctly alkaline.
pub const ALKALI: Roles = Roles::of(&[H::Alkali]);
/// Peroxide in any form.
pub const PEROXIDE: Roles = Roles::of(&[H::Peroxide]);
/// Active chlorine.
pub const HYPOCHLORITE: Roles = Roles::of(&[H::Hypochlorite]);

/// Metals above hydrogen that acids dissolve.
pub const ABOVE_HYDROGEN: &[MetalFamily] = &[
    MetalFamily::Ferrous,
    MetalFamily::Zinc,
    MetalFamily::Aluminium,
    MetalFamily::Magnesium,
    MetalFamily::Nickel,
    MetalFamily::Tin,
];

/// Molar gas volume at 20 °C and 1 atm, mL/mol (ideal gas).
pub const MOLAR_ML: f64 = 24_060.0;

/// Three significant figures: more would pretend to a precision that an upper bound does not have.
pub fn three_figures(value: f64) -> f64 {
    if value == 0.0 || !value.is_finite() {
        return value;
    }
    let factor = 10f64.powi(2 - value.abs().log10().floor() as i32);
    (value * factor).round() / factor
}

impl Found {
    /// With the figures of a gas: volume, room, pressure if closed, limits, and the volume of bath at which the room
    /// figure passes them.
    pub fn gas(mut self, facts: &Facts, id: &str, moles: Option<f64>) -> Found {
        let Some(moles) = moles.filter(|m| *m > 0.0) else { return self };
        let limits = gas(id);
        self.gases.push((id.to_string(), moles));
        let ppm = facts.room_ppm(moles).map(|p| p.min(1_000_000.0));
        let limit = limits.and_then(|g| g.idlh_ppm.or(g.limit_ppm));
        let harmful = limits.is_some_and(|g| g.limit_ppm.is_some());
        let turns = match (ppm, limit, facts.poured_ml) {
            (Some(ppm), Some(limit), Some(ml)) if ppm > 0.0 => Some(ml * limit / ppm),
            _ => None,
        };
        // 101.3 kPa of air that is there already, and n R T / V of the gas.
        let pressure = facts.headspace_ml.map(|ml| 101.3 + moles * 8314.0 * (facts.temperature_c + 273.15) / ml);
        self.number("gas_ml", Some(moles * MOLAR_ML))
            .number("worst_case_ppm", ppm.filter(|_| harmful))
            .number("limit_ppm", limits.and_then(|g| g.limit_ppm))
            .number("idlh_ppm", limits.and_then(|g| g.idlh_ppm))
            .number("closed_pressure_kpa", pressure)
            .number("dangerous_from_ml", turns)
    }
}

/// "acetone with hydrogen peroxide".
pub fn with(a: &Present, b: &Present) -> String {
    format!("{} with {}", a.name(), b.name())
}

/// "acetic acid on iron (part)".
pub fn on(names: &str, metal: &Metal) -> String {
    format!("{names} on {} ({})", metal.name, place(metal.place))
}

/// Where it is, in a word.
pub fn place(place: Place) -> &'static str {
    match place {
        Place::Vessel => "vessel",
        Place::Part => "part",
        Place::Ballast => "ballast",
        Place::Holder => "holder",
        Place::Ingredient => "in the bath",
    }
}

/// Names of what plays a role, each once, sorted.
pub fn names(facts: &Facts, roles: Roles) -> String {
    let mut names: Vec<&str> = facts.playing(roles).map(|p| p.name()).collect();
    names.sort_unstable();
    names.dedup();
    names.join(", ")
}

/// The smaller of two amounts when both are known, else whichever is.
pub fn scarcer(a: Option<f64>, b: Option<f64>) -> Option<f64> {
    match (a, b) {
        (Some(a), Some(b)) => Some(a.min(b)),
        (a, b) => a.or(b),
    }
}

/// Liquids each of which by itself only damps these powders: less than five times the largest in mass (judgement), or an
/// amount on either side not known.
pub fn little_liquid<'f>(facts: &'f Facts, powders: &[&Present]) -> impl Iterator<Item = &'f Present> {
    let grams: Option<f64> = powders.iter().map(|p| p.stock.mass_g).try_fold(0.0, |most: f64, g| Some(most.max(g?)));
    facts.poured().filter(move |w| {
        let enough = grams.zip(w.stock.mass_g).is_some_and(|(powder, water)| water >= 5.0 * powder);
        !w.stock.solid && !enough
    })
}

/// Whether something unknown must not meet it: strong oxidisers (a nitrate when dry), what gives poisonous gas with the first
/// acid or oxidiser that comes, fine metal, and every concentrated acid or base (40 CFR 264 Appendix V, groups 1 to 6; the
/// strengths are our judgement).
pub fn reacts_with_much(p: &Present) -> bool {
    const ALWAYS: Roles = Roles::of(&[
        H::Fluoride,
        H::FumingChloride,
        H::Halogen,
        H::MetalPowder,
        H::NeverAtHome,
        H::Nitrite,
        H::PoisonGas,
        H::PoolChlorine,
    ]);
    let mild = p.plays(H::Peroxide) || (p.plays(H::Nitrate) && !p.stock.solid);
    is_strong(p) || p.is(ALWAYS) || (p.plays(H::Oxidiser) && p.percent() >= 1.0 && !mild)
}

/// Whether it is a stock that as one of two groups counts as strong.
pub fn is_strong(p: &Present) -> bool {
    let percent = p.percent();
    let from = |roles: &[H], least: f64| p.is(Roles::of(roles)) && percent >= least;
    from(&[H::StrongAcid, H::MineralAcid], 10.0)
        || from(&[H::Acetic], 25.01)
        || (p.substance.id == "formic_acid" && percent >= 10.0)
        || from(&[H::StrongBase], 5.0)
        || from(&[H::Lime], 50.0)
        || from(&[H::Ammonia], 20.0)
        || from(&[H::Peroxide], 12.0)
        || from(&[H::Permanganate, H::Chlorate, H::Chromate, H::Persulfate], 1.0)
        || from(&[H::Hypochlorite, H::Sulfide, H::Cyanide, H::Nitric], 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_cut_to_three() {
        assert_eq!(three_figures(1234.5), 1230.0);
        assert_eq!(three_figures(0.012345), 0.0123);
        assert_eq!(three_figures(0.0), 0.0);
    }
}
