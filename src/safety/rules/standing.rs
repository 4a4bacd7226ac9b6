//! Gas that has to get out, mist, a bath that is kept, and what was there before.

use super::Found;
use super::kit::{ABOVE_HYDROGEN, ACID, ACIDIC, HYPOCHLORITE, PEROXIDE, scarcer};
use crate::reference::schema::{HazardRole as H, MetalFamily};
use crate::safety::Gravity;
use crate::safety::facts::Facts;
use crate::safety::parts_played::Roles;

const CARBONATE: Roles = Roles::of(&[H::Carbonate]);
const AMMONIA: Roles = Roles::of(&[H::Ammonia]);

/// What gases the mixture makes: name, and moles at most where the amounts are known.
pub fn gases_made(facts: &Facts) -> Vec<(&'static str, Option<f64>)> {
    let mut made = Vec::new();
    if facts.any(PEROXIDE) {
        made.push(("oxygen", facts.equivalents(PEROXIDE).map(|n| n / 2.0)));
    }
    if facts.meetings(CARBONATE, ACIDIC).any(|(p, q)| p.before.is_none() && q.before.is_none()) {
        let from_acid = facts.equivalents(ACIDIC);
        made.push(("carbon dioxide", scarcer(facts.equivalents(CARBONATE), from_acid)));
    }
    let ammonium_carbonate = facts.poured().any(|p| p.plays(H::Carbonate) && p.plays(H::Ammonia));
    if ammonium_carbonate {
        made.push(("ammonia and carbon dioxide", facts.equivalents(CARBONATE)));
    }
    if facts.any(ACIDIC) && facts.metal(ABOVE_HYDROGEN).next().is_some() {
        made.push(("hydrogen", facts.equivalents(ACID).map(|n| n / 2.0).filter(|n| *n > 0.0)));
    }
    let light: &[MetalFamily] = &[MetalFamily::Aluminium, MetalFamily::Zinc, MetalFamily::Magnesium];
    if facts.any(Roles::of(&[H::Alkali])) && facts.metal(light).next().is_some() {
        made.push(("hydrogen", facts.equivalents(Roles::of(&[H::Alkali])).map(|n| n * 1.5)));
    }
    if facts.any(HYPOCHLORITE) && !facts.metals.is_empty() && !facts.any(PEROXIDE) {
        made.push(("oxygen", facts.equivalents(HYPOCHLORITE).map(|n| n / 2.0)));
    }
    let sulfur = Roles::of(&[H::Sulfite, H::Thiosulfate]);
    if facts.meetings(sulfur, ACIDIC).any(|(p, q)| p.before.is_none() || q.before.is_none()) {
        made.push(("sulfur dioxide", scarcer(facts.equivalents(sulfur), facts.equivalents(ACIDIC))));
    }
    made
}

/// "Do not close" for everything that makes gas; a stop when it is closed all the same.
pub fn closed_vessel(facts: &Facts) -> Option<Found> {
    let made = gases_made(facts);
    if made.is_empty() {
        return None;
    }
    let gravity = if facts.closed() { Gravity::Stop } else { Gravity::Note };
    let moles: f64 = made.iter().filter_map(|(_, n)| *n).sum();
    let mut products: Vec<String> = made.iter().map(|(name, _)| (*name).to_string()).collect();
    products.sort();
    products.dedup();
    let found = Found::of(gravity).who(products.join(", "));
    let mut found = if moles > 0.0 { found.volume(facts, moles) } else { found };
    found.products = Some(products);
    Some(found)
}

/// A spray bottle that stands is a closed vessel.
pub fn spray(facts: &Facts) -> Option<Found> {
    if !facts.sprayed() || gases_made(facts).is_empty() {
        return None;
    }
    Some(Found::of(if facts.closed() { Gravity::Stop } else { Gravity::Caution }))
}

/// Mist of anything but water.
pub fn mist(facts: &Facts) -> Option<Found> {
    let more = facts.poured().any(|p| !p.plays(H::Water)) || facts.unknown.iter().any(|u| !u.before);
    if !facts.sprayed() || !more {
        return None;
    }
    let irritant = Roles::of(&[
        H::MineralAcid,
        H::Alkali,
        H::Ammonia,
        H::Hypochlorite,
        H::Sulfide,
        H::MetalIons,
        H::Oxidiser,
        H::FlammableSolvent,
    ]);
    Some(Found::of(if facts.any(irritant) { Gravity::Caution } else { Gravity::Note }))
}

/// Kept past the job: a stop where gas gathers or a residue becomes explosive.
pub fn kept(facts: &Facts) -> Option<Found> {
    if !facts.kept {
        return None;
    }
    let silver = facts.any(Roles::of(&[H::SilverSalt])) && facts.any(AMMONIA);
    if !gases_made(facts).is_empty() || silver {
        return Some(Found::of(Gravity::Stop));
    }
    let changes = facts.any(Roles::of(&[H::Sulfide, H::Ammonia, H::Hypochlorite, H::Sulfite, H::Persulfate]));
    changes.then(|| Found::of(Gravity::Caution))
}

/// Something was named, so the vessel is not assumed clean.
pub fn contact_before(facts: &Facts) -> Option<Found> {
    let unknown = facts.unknown.iter().filter(|u| u.before);
    let known = facts.present.iter().filter(|p| p.before.is_some() && !facts.is_unknown(p.ingredient));
    let mut names: Vec<String> = known.map(|p| p.name().to_string()).chain(unknown.map(|u| u.name.clone())).collect();
    names.sort();
    names.dedup();
    (!names.is_empty()).then(|| Found::of(Gravity::Note).who(names.join(", ")))
}
