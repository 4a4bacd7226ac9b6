//! Poisonous metals and hydrides, etchants, and nitric acid on metal.

use super::Found;
use super::kit::{ABOVE_HYDROGEN, ACIDIC, ALKALI, names, on};
use crate::reference::schema::{HazardRole as H, MetalFamily};
use crate::safety::Gravity;
use crate::safety::facts::Facts;
use crate::safety::parts_played::Roles;

const HYDRIDE: Roles = Roles::of(&[H::Arsenic, H::Antimony, H::Selenium]);

/// Fresh hydrogen turns arsenic, antimony and selenium into gases (NIOSH CIB 32). Their own salts may bring the acid;
/// with aluminium an alkali makes the hydrogen too.
pub fn poisonous_hydride(facts: &Facts) -> Option<Found> {
    let poison = facts.playing(HYDRIDE).next()?;
    let metal = facts.metal(ABOVE_HYDROGEN).next().is_some();
    let aluminium = facts.metal(&[MetalFamily::Aluminium]).next().is_some();
    let acid = facts.any(ACIDIC);
    let reducer = facts.any(Roles::of(&[H::Dithionite]));
    if !(metal && acid || aluminium && facts.any(ALKALI) || reducer && acid) {
        return None;
    }
    let found = Found::of(Gravity::Stop).who(names(facts, HYDRIDE));
    Some(match poison.plays(H::Arsenic) {
        true => found.gas(facts, "arsine", facts.equivalents(Roles::of(&[H::Arsenic]))),
        false => found,
    })
}

/// Lead, leaded solder and pewter of unknown make, and lead compounds.
pub fn lead_with_acid(facts: &Facts) -> Option<Found> {
    if !facts.any(ACIDIC) {
        return None;
    }
    let lead = facts.metal(&[MetalFamily::Lead]).next().map(|m| (Gravity::StrongCaution, on(&names(facts, ACIDIC), m)));
    let solder = facts.metals.iter().find(|m| m.name.to_lowercase().contains("solder"));
    let solder = solder.map(|m| (Gravity::Caution, on(&names(facts, ACIDIC), m)));
    let (gravity, who) = lead.or(solder)?;
    Some(Found::of(gravity).who(who))
}

/// A loose film, no hazard worth the name.
pub fn copper_plates_out(facts: &Facts) -> Option<Found> {
    let salt = Roles::of(&[H::CopperSalt]);
    if !facts.any(salt) {
        return None;
    }
    let iron = facts.metal(&[MetalFamily::Ferrous]).next()?;
    Some(Found::of(Gravity::Note).who(on(&names(facts, salt), iron)))
}

/// Ferric or cupric chloride on a part.
pub fn etchant(facts: &Facts) -> Option<Found> {
    let etching = facts.poured().any(|p| matches!(p.substance.id.as_ref(), "ferric_chloride" | "copper_chloride"));
    let metal = facts.metal(&[MetalFamily::CopperAlloy, MetalFamily::Ferrous, MetalFamily::Nickel]).next();
    (etching && metal.is_some()).then(|| Found::of(Gravity::Caution))
}

/// Brown fumes. Weak acid, small, outdoors is the only case short of a stop.
pub fn nitric_acid(facts: &Facts) -> Option<Found> {
    let nitric = Roles::of(&[H::Nitric]);
    let percent = facts.strongest(nitric)?;
    let attacked: &[MetalFamily] = &[
        MetalFamily::CopperAlloy,
        MetalFamily::Ferrous,
        MetalFamily::Silver,
        MetalFamily::Zinc,
        MetalFamily::Nickel,
        MetalFamily::Lead,
        MetalFamily::Tin,
        MetalFamily::Magnesium,
    ];
    let metal = facts.metal(attacked).map(|m| on(&names(facts, nitric), m)).min()?;
    let weak = percent < 10.0 && facts.room_m3.is_none() && !facts.closed();
    let gravity = if weak { Gravity::StrongCaution } else { Gravity::Stop };
    let moles = facts.equivalents(nitric).map(|n| n / 2.0);
    Some(Found::of(gravity).who(metal).gas(facts, "nitrogen_dioxide", moles))
}
