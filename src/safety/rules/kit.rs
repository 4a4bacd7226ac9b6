//! What several rules need: sets of roles, gas figures, heat.

use super::{Found, Made};
use crate::amount::{in_millilitres, millilitres, moles};
use crate::bath::{NEUTRALISATION_KJ_MOL, PEROXIDE_KJ_MOL, gas_volume, heat_developed};
use crate::reference::exposure_limits;
use crate::reference::schema::{HazardRole as H, MetalFamily};
use crate::safety::exposure::{self, Release};
use crate::safety::facts::{Facts, Metal, Place, Present};
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

/// The acids that give hydrogen; where only a salt is acid, that salt.
pub fn acid_for_hydrogen(facts: &Facts) -> Roles {
    if facts.any(ACID) { ACID } else { ACIDIC }
}

/// Metals above hydrogen that acids dissolve.
pub const ABOVE_HYDROGEN: &[MetalFamily] = &[
    MetalFamily::Ferrous,
    MetalFamily::Zinc,
    MetalFamily::Aluminium,
    MetalFamily::Magnesium,
    MetalFamily::Nickel,
    MetalFamily::Tin,
];

/// Three significant figures: more would pretend to a precision that an upper bound does not have.
pub fn three_figures(value: f64) -> f64 {
    if value == 0.0 || !value.is_finite() {
        return value;
    }
    let factor = 10f64.powi(2 - libm::log10(value.abs()).floor() as i32);
    (value * factor).round() / factor
}

impl Found {
    /// With a gas that is set free at once: see [`Found::releases`].
    pub fn gas(self, facts: &Facts, id: &str, amount_mol: Option<f64>) -> Found {
        self.releases(facts, id, amount_mol, Release::AtOnce)
    }

    /// With the figures of a gas: volume, room, pressure if closed, limits, and the volume of bath at which the room
    /// figure becomes dangerous; at least as grave as the figure makes it.
    pub fn releases(mut self, facts: &Facts, id: &str, amount_mol: Option<f64>, release: Release) -> Found {
        let Some(mol) = amount_mol.filter(|m| *m > 0.0) else { return self };
        self.gases.push(Made { gas: id.to_string(), mol, release });
        let limits = exposure_limits(id);
        let limit = exposure::limit_at_once(id).map(|l| l.ppm);
        let (room, temperature) = (&facts.conditions.room, facts.temperature());
        let ppm = exposure::release_ppm(moles(mol), release, room, temperature).filter(|ppm| *ppm > 0.0);
        let by_air = limits
            .zip(ppm)
            .and_then(|(gas, ppm)| exposure::gravity_of(ppm, limit, gas, exposure::far_above(Some(release), room)));
        self.gravity = by_air.map_or(self.gravity, |by_air| self.gravity.max(by_air));
        let dangerous = limits.and_then(exposure::dangerous_ppm).or(limit);
        let turns = match (ppm, dangerous, facts.poured_ml) {
            (Some(ppm), Some(dangerous), Some(ml)) => Some(ml * dangerous / ppm),
            _ => None,
        };
        self.number("worst_case_ppm", ppm.filter(|_| limit.is_some()))
            .number("limit_ppm", limit)
            .number("idlh_ppm", limits.and_then(|g| g.idlh_ppm))
            .number("dangerous_from_ml", turns)
            .volume(facts, mol)
    }

    /// With the volume of so much gas, and the pressure if it is shut in.
    pub fn volume(self, facts: &Facts, mol: f64) -> Found {
        let (gas, temperature) = (moles(mol), facts.temperature());
        let pressure = facts.headspace_ml.map(|ml| exposure::closed_pressure_kpa(gas, millilitres(ml), temperature));
        self.number("gas_ml", Some(in_millilitres(gas_volume(gas, temperature))))
            .number("closed_pressure_kpa", pressure)
    }
}

/// Heat capacity of a bath, kJ per kg and kelvin (a little below water's, so that the rise errs upward).
const HEAT_CAPACITY: f64 = 4.0;

/// Kelvins that so much heat warms so much bath by, no losses; never more than a thousand.
pub fn rise_k(kj: f64, grams: f64) -> f64 {
    if grams > 0.0 { (kj / (grams / 1000.0 * HEAT_CAPACITY)).clamp(0.0, 1000.0) } else { 0.0 }
}

/// Heat that this stock sets free in so much water, kJ: a solid all of its heat of solution, a solution what is left of
/// it after the water that it brought.
pub fn warming_kj(p: &Present, water_g: f64) -> Option<f64> {
    let (full, mol) = p.stock.warming_kj.zip(p.stock.moles)?;
    if p.stock.solid {
        return Some(full);
    }
    let own = p.stock.mass_g? * (1.0 - p.stock.percent / 100.0);
    let share = |grams: f64| heat_developed(&p.substance.id, grams / 18.015 / mol.max(1e-12));
    Some(full * (share(own + water_g) - share(own)))
}

/// Kelvins by which everything poured warms when it is mixed: dissolving, thinning, acid with base. `None` with an amount
/// unknown. The heat goes into the least that all can weigh, so that nothing looks cooler for being stronger and heavier.
pub fn mixing_rise_k(facts: &Facts) -> Option<f64> {
    let (grams, least_g) = (facts.named(|s| s.mass_g, f64::max)?, facts.named(|s| s.mass_low_g, f64::min)?);
    let last = facts.poured().map(|p| p.ingredient).max()?;
    let of = |i: usize| facts.poured().filter(move |p| p.ingredient == i && !facts.is_unknown(i));
    let own = |p: &Present| p.stock.mass_g.unwrap_or(0.0);
    let most = |i: usize| of(i).filter_map(|p| warming_kj(p, grams - own(p))).fold(0.0, f64::max);
    let dissolving: f64 = (0..=last).map(most).sum();
    let bases = Roles::of(&[H::StrongBase, H::Lime]);
    let neutralising = facts.equivalents(STRONG_ACID).zip(facts.equivalents(bases)).map_or(0.0, |(a, b)| a.min(b));
    Some(rise_k(dissolving + neutralising * NEUTRALISATION_KJ_MOL, least_g))
}

/// From so many litres a mixture keeps its heat: rule g15 of the reference data (our judgement).
pub const KEEPS_HEAT_L: f64 = 5.0;

/// The volume of bath, alike but larger, at which so many litres of what heats it are so many that it keeps its heat. `None`
/// where they are, or where it does not get hot enough for that to matter.
pub fn keeps_heat_from_ml(facts: &Facts, reaches_c: f64, litres: f64) -> Option<f64> {
    let matters = (80.0..95.0).contains(&reaches_c) && litres > 0.0 && litres < KEEPS_HEAT_L;
    facts.poured_ml.filter(|_| matters).map(|ml| ml * KEEPS_HEAT_L / litres)
}

/// Kelvins by which the bath warms if all of its peroxide falls apart.
pub fn peroxide_rise_k(facts: &Facts) -> Option<f64> {
    let least_g = facts.named(|s| s.mass_low_g, f64::min);
    let (mol, grams) = facts.equivalents(PEROXIDE).filter(|n| *n > 0.0).zip(least_g)?;
    Some(rise_k(mol * PEROXIDE_KJ_MOL, grams))
}

/// The largest share of the finished bath, per cent by mass, of anything that this holds for.
pub fn share_percent(facts: &Facts, of: impl Fn(&Present) -> bool) -> Option<f64> {
    let shares = facts.poured().zip(&facts.components).filter(|(p, _)| of(p)).map(|(_, c)| c.percent.high);
    shares.reduce(f64::max).filter(|percent| *percent > 0.0)
}

/// Minutes of running water on skin or in the eye after what burns them, as the first response of the review has it.
pub const RINSE_MIN: f64 = 20.0;

/// Moles of hydrogen that a mole of the metal gives at most, and its molar mass, g/mol (IUPAC 2021 atomic weights).
pub fn hydrogen_of(family: MetalFamily) -> Option<(f64, f64)> {
    match family {
        MetalFamily::Aluminium => Some((1.5, 26.982)),
        MetalFamily::Magnesium => Some((1.0, 24.305)),
        MetalFamily::Zinc => Some((1.0, 65.38)),
        MetalFamily::Ferrous => Some((1.5, 55.845)),
        MetalFamily::Nickel => Some((1.0, 58.693)),
        MetalFamily::Tin => Some((2.0, 118.71)),
        _ => None,
    }
}

/// Moles of hydrogen from so much acid or alkali on these metals: never more than the metal gives, where all of it was
/// poured in and weighed. Of a part, a vessel or ballast the mass is not known, and the liquid alone is the bound.
pub fn hydrogen(facts: &Facts, families: &'static [MetalFamily], from_liquid: Option<f64>) -> Option<f64> {
    let mut each: Vec<(usize, f64)> = Vec::new();
    for metal in facts.metal(families) {
        let from = |i: usize| {
            let mut most =
                facts.poured().filter(|p| p.ingredient == i).map(|p| p.stock.mass_g.map(|g| g * p.stock.over));
            let grams = most.try_fold(0.0, |so_far: f64, g| Some(so_far.max(g?)))?;
            let (per_mole, molar) = hydrogen_of(metal.family)?;
            Some(grams * per_mole / molar)
        };
        match metal.ingredient.and_then(|i| Some((i, from(i)?))) {
            Some(one) => each.push(one),
            None => return from_liquid,
        }
    }
    each.sort_by(|a, b| a.0.cmp(&b.0).then(b.1.total_cmp(&a.1)));
    each.dedup_by_key(|(i, _)| *i);
    scarcer(from_liquid, Some(each.iter().map(|(_, mol)| mol).sum()).filter(|mol| *mol > 0.0))
}

/// With the gas that each gram of the metal gives at most, mL.
pub fn each_gram(facts: &Facts, family: MetalFamily, found: Found) -> Found {
    let volume =
        hydrogen_of(family).map(|(mol, molar)| in_millilitres(gas_volume(moles(mol / molar), facts.temperature())));
    found.number("gas_each_gram_ml", volume)
}

/// "acetone with hydrogen peroxide".
pub fn with(a: &Present, b: &Present) -> String {
    let named = |p: &Present| match p.around {
        Some(around) => format!("{} ({})", p.name(), place(around.place)),
        None => p.name().to_string(),
    };
    format!("{} with {}", named(a), named(b))
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
        let enough = grams.zip(w.stock.mass_low_g).is_some_and(|(powder, water)| water >= 5.0 * powder);
        w.stock.wet && !enough
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
