//! Acids, alkalis, metal salts and solvents on reactive metals: hydrogen, heat, and a vessel that dissolves.

use super::Found;
use super::kit::{ACID, ACIDIC, ALKALI, MINERAL_ACID, STRONG_ACID, STRONG_BASE, names, on, rise_k};
use crate::reference::schema::{HazardRole as H, MetalFamily};
use crate::safety::Gravity;
use crate::safety::exposure::Release;
use crate::safety::facts::{Facts, Metal, Place};
use crate::safety::parts_played::Roles;

const METAL_SALT: Roles = Roles::of(&[H::CopperSalt, H::IronSalt]);

/// The gravest finding over the metals of these families, each judged by itself; named by the first in the alphabet.
fn worst_metal(
    facts: &Facts,
    families: &'static [MetalFamily],
    names: &str,
    judge: impl Fn(&Metal) -> Gravity,
) -> Option<Found> {
    facts
        .metal(families)
        .map(|m| (judge(m), on(names, m), m.family))
        .max_by(|(g, a, _), (h, b, _)| g.cmp(h).then_with(|| b.cmp(a)))
        .map(|(gravity, who, family)| Found { metal: Some(family), ..Found::of(gravity).who(who) })
}

const LIGHT: &[MetalFamily] = &[MetalFamily::Aluminium, MetalFamily::Zinc, MetalFamily::Magnesium];

/// Hydrogen from acid, half a mole an equivalent, or what the metal gives if that is less.
fn hydrogen(facts: &Facts, families: &'static [MetalFamily], acids: Roles) -> Option<f64> {
    super::kit::hydrogen(facts, families, facts.equivalents(acids).map(|n| n / 2.0))
}

/// Vinegar takes hold slowly; with salt, or with mineral acid, it runs hot.
pub fn acid_on_aluminium(facts: &Facts) -> Option<Found> {
    let percent = facts.strongest(ACID)?;
    let mineral = facts.strongest(MINERAL_ACID);
    let salted = facts.any(Roles::of(&[H::Chloride]));
    let found = worst_metal(facts, &[MetalFamily::Aluminium], &names(facts, ACID), |m| {
        let eaten_vessel = m.place == Place::Vessel && (mineral.is_some() || salted || percent >= 10.0);
        let stop = facts.closed() || m.fine || mineral.is_some_and(|p| p >= 10.0) || eaten_vessel;
        // Salted vinegar and mineral acids are what is published; plain vinegar is judged alike.
        if stop { Gravity::Stop } else { Gravity::StrongCaution }
    })?;
    Some(found.gas(facts, "hydrogen", hydrogen(facts, &[MetalFamily::Aluminium], ACID)))
}

/// Only weak soda on something that is not the vessel is less than a stop.
pub fn alkali_on_aluminium(facts: &Facts) -> Option<Found> {
    if !facts.any(ALKALI) {
        return None;
    }
    let strong = facts.any(Roles::of(&[H::StrongBase, H::Lime]));
    let found = worst_metal(facts, &[MetalFamily::Aluminium], &names(facts, ALKALI), |m| {
        let stop = strong || m.place == Place::Vessel || m.fine || facts.closed();
        if stop { Gravity::Stop } else { Gravity::StrongCaution }
    })?;
    Some(found.gas(facts, "hydrogen", super::kit::hydrogen(facts, &[MetalFamily::Aluminium], facts.equivalents(ALKALI).map(|n| n * 1.5))))
}

/// A thin plating on a part may be stripped in weak acid outdoors; a vessel, powder or strong acid is a stop.
pub fn acid_on_zinc(facts: &Facts) -> Option<Found> {
    let percent = facts.strongest(ACID)?;
    let mineral = facts.strongest(MINERAL_ACID).unwrap_or(0.0);
    let found = worst_metal(facts, &[MetalFamily::Zinc], &names(facts, ACID), |m| {
        let strong = percent.max(mineral) >= 10.0;
        if facts.closed() || m.fine || mineral >= 10.0 || (m.place == Place::Vessel && strong) {
            Gravity::Stop
        } else {
            Gravity::StrongCaution
        }
    })?;
    Some(found.gas(facts, "hydrogen", hydrogen(facts, &[MetalFamily::Zinc], ACID)))
}

/// Strong alkali dissolves zinc.
pub fn alkali_on_zinc(facts: &Facts) -> Option<Found> {
    if !facts.any(STRONG_BASE) {
        return None;
    }
    let found = worst_metal(facts, &[MetalFamily::Zinc], &names(facts, STRONG_BASE), |m| {
        if m.fine || facts.closed() { Gravity::Stop } else { Gravity::StrongCaution }
    })?;
    Some(found.gas(facts, "hydrogen", super::kit::hydrogen(facts, &[MetalFamily::Zinc], facts.equivalents(STRONG_BASE).map(|n| n / 2.0))))
}

/// Fast even in vinegar.
pub fn acid_on_magnesium(facts: &Facts) -> Option<Found> {
    if !facts.any(ACIDIC) {
        return None;
    }
    let found = worst_metal(facts, &[MetalFamily::Magnesium], &names(facts, ACIDIC), |_| Gravity::Stop)?;
    Some(found.gas(facts, "hydrogen", hydrogen(facts, &[MetalFamily::Magnesium], ACIDIC)))
}

/// Usual and wanted with vinegar; fast with mineral acids; a burst vessel when closed.
pub fn acid_on_iron(facts: &Facts) -> Option<Found> {
    let acids = ACIDIC;
    if !facts.any(acids) {
        return None;
    }
    let strong = facts.strongest(STRONG_ACID);
    let families: &'static [MetalFamily] = &[MetalFamily::Ferrous, MetalFamily::Tin, MetalFamily::Nickel];
    let found = worst_metal(facts, families, &names(facts, acids), |m| {
        let vessel = m.place == Place::Vessel;
        if facts.closed() {
            Gravity::Stop
        } else if strong.is_some() || (vessel && facts.any(MINERAL_ACID)) {
            Gravity::StrongCaution
        } else {
            Gravity::Note
        }
    })?;
    let release = if strong.is_some() { Release::AtOnce } else { Release::Slow };
    Some(found.releases(facts, "hydrogen", hydrogen(facts, families, ACID), release))
}

/// Heat by displacement: about 420 kJ per mole of copper on aluminium, 220 on zinc; 480 per mole of iron(III) on aluminium
/// (CRC, standard enthalpies of formation of the ions, recalled): the most of them counts.
pub fn metal_salt_on_light_metal(facts: &Facts) -> Option<Found> {
    if !facts.any(METAL_SALT) {
        return None;
    }
    let etchant = facts.playing(METAL_SALT).filter(|p| p.plays(H::Etchant)).map(|p| p.percent()).reduce(f64::max);
    let found = worst_metal(facts, LIGHT, &names(facts, METAL_SALT), |m| {
        let vessel = m.place == Place::Vessel;
        let stop = facts.closed()
            || m.fine
            || vessel
            || m.family == MetalFamily::Magnesium
            || (etchant.is_some_and(|p| p >= 2.0) && m.family == MetalFamily::Aluminium);
        if stop { Gravity::Stop } else { Gravity::StrongCaution }
    })?;
    let heat = facts.equivalents(METAL_SALT).zip(facts.least_g);
    let rise = heat.map(|(n, g)| rise_k(n * 480.0, g)).filter(|r| *r > 0.0);
    Some(found.number("heat_rise_c", rise))
}

/// A quiet time, then a runaway.
pub fn solvent_on_light_metal(facts: &Facts) -> Option<Found> {
    let solvent = Roles::of(&[H::ChlorinatedSolvent]);
    if !facts.any(solvent) {
        return None;
    }
    worst_metal(facts, LIGHT, &names(facts, solvent), |_| Gravity::Stop)
}
