//! Poisonous metals and hydrides, etchants, and nitric acid on metal.

use super::Found;
use super::kit::{ABOVE_HYDROGEN, ACIDIC, ALKALI, MINERAL_ACID, names, on, scarcer, with};
use crate::reference::schema::{HazardRole as H, MetalFamily};
use crate::safety::Gravity;
use crate::safety::facts::{Facts, still_counts};
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
    let (gas, of) = match poison {
        p if p.plays(H::Arsenic) => ("arsine", H::Arsenic),
        p if p.plays(H::Antimony) => ("stibine", H::Antimony),
        _ => ("hydrogen_selenide", H::Selenium),
    };
    Some(found.gas(facts, gas, facts.equivalents(Roles::of(&[of]))))
}

/// Lead, and what is sold with lead in it: solder, old pewter.
pub fn lead_with_acid(facts: &Facts) -> Option<Found> {
    if !facts.any(ACIDIC) {
        return None;
    }
    let lead = facts.metal(&[MetalFamily::Lead]).next().map(|m| (Gravity::StrongCaution, on(&names(facts, ACIDIC), m)));
    let solder = facts.metals.iter().find(|m| m.may_hold_lead);
    let solder = solder.map(|m| (Gravity::Caution, on(&names(facts, ACIDIC), m)));
    let (gravity, who) = lead.or(solder)?;
    // Two equivalents of acid take up a mole of lead.
    let dissolved = facts.equivalents(ACIDIC).map(|n| n / 2.0 * 207.2);
    Some(Found::of(gravity).who(who).number("dissolved_g", dissolved))
}

/// A loose film, no hazard worth the name.
pub fn copper_plates_out(facts: &Facts) -> Option<Found> {
    let salt = Roles::of(&[H::CopperSalt]);
    if !facts.any(salt) {
        return None;
    }
    let iron = facts.metal(&[MetalFamily::Ferrous]).next()?;
    let plated = facts.equivalents(salt).map(|n| n * 63.546);
    Some(Found::of(Gravity::Note).who(on(&names(facts, salt), iron)).number("plated_g", plated))
}

/// What dissolves metal by itself, on a part.
pub fn etchant(facts: &Facts) -> Option<Found> {
    let etchant = Roles::of(&[H::Etchant]);
    if !facts.any(etchant) {
        return None;
    }
    let metal = facts.metal(&[MetalFamily::CopperAlloy, MetalFamily::Ferrous, MetalFamily::Nickel]);
    let who = metal.map(|m| on(&names(facts, etchant), m)).min()?;
    // Ferric nitrate is sold as a patina salt, the others as etchants.
    let sold_as_one = facts.playing(etchant).any(|p| p.is(Roles::of(&[H::Chloride, H::Persulfate])));
    // A mole of metal at most for each: two of iron(III) take up one of copper, and the copper(II) that is made as much again.
    let dissolved = facts.equivalents(etchant).map(|n| n * 63.546);
    let found = Found::of(if sold_as_one { Gravity::Caution } else { Gravity::Note }).who(who);
    Some(found.number("dissolved_g", dissolved))
}

const NITRIC: Roles = Roles::of(&[H::Nitric]);
const NITRATE: Roles = Roles::of(&[H::Nitrate]);

/// What acts as nitric acid: its name, its strength, and how much of a residue still counts. A nitrate with any other
/// mineral acid does, as strongly as that acid.
fn acts_as_nitric(facts: &Facts) -> impl Iterator<Item = (String, f64, Gravity)> {
    let itself = facts.playing(NITRIC).map(|p| (p.name().to_string(), p.percent(), Gravity::Stop));
    let made = facts.meetings(NITRATE, MINERAL_ACID).filter(|(_, acid)| !acid.is(NITRIC)).map(|(nitrate, acid)| {
        let left = still_counts(nitrate, false, false).min(still_counts(acid, false, false));
        (with(nitrate, acid), acid.percent(), left)
    });
    itself.chain(made)
}

/// Brown fumes. Weak acid, small, outdoors is the only case short of a stop.
pub fn nitric_acid(facts: &Facts) -> Option<Found> {
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
    let metal = facts.metal(attacked).min_by(|m, n| m.name.cmp(&n.name))?;
    let outdoors = facts.room_m3.is_none() && !facts.closed();
    let (gravity, who) = acts_as_nitric(facts)
        .map(|(who, percent, left)| {
            let weak = percent < 10.0 && outdoors;
            (if weak { Gravity::StrongCaution } else { Gravity::Stop }.min(left), on(&who, metal))
        })
        .max_by(|(g, a), (h, b)| g.cmp(h).then_with(|| b.cmp(a)))?;
    // Two equivalents of acid a mole of nitrate.
    let nitrate = facts.equivalents(Roles::of(&[H::Nitric, H::Nitrate]));
    let acid = facts.equivalents(MINERAL_ACID).map(|n| n / 2.0);
    Some(Found::of(gravity).who(who).gas(facts, "nitrogen_dioxide", scarcer(nitrate, acid)))
}

/// Tin and solder under copper nitrate: a basic tin nitrate that explodes gathers in joints, and moist crystals set foil
/// alight. A strong caution; a stop when the tin is fine or the vessel closed.
pub fn copper_nitrate_on_tin(facts: &Facts) -> Option<Found> {
    let salts = || facts.playing(Roles::of(&[H::CopperSalt])).filter(|p| p.plays(H::Nitrate));
    let name = salts().map(|p| p.name()).min()?;
    let metal = facts.metal(&[MetalFamily::Tin]).max_by_key(|m| (m.fine, m.place))?;
    let gravity = if metal.fine || facts.closed() { Gravity::Stop } else { Gravity::StrongCaution };
    Some(Found::of(gravity).who(on(name, metal)))
}
