//! Gas that has to get out, mist, a bath that is kept, and what was there before.

use super::Found;
use super::kit::{ABOVE_HYDROGEN, ACIDIC, HYPOCHLORITE, PEROXIDE, acid_for_hydrogen, hydrogen, scarcer};
use crate::reference::schema::{HazardRole as H, MetalFamily};
use crate::safety::Gravity;
use crate::safety::facts::{Facts, Present};
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
        let from_acid = facts.equivalents(acid_for_hydrogen(facts)).map(|n| n / 2.0);
        made.push(("hydrogen", hydrogen(facts, ABOVE_HYDROGEN, from_acid).filter(|n| *n > 0.0)));
    }
    let light: &[MetalFamily] = &[MetalFamily::Aluminium, MetalFamily::Zinc, MetalFamily::Magnesium];
    if facts.any(Roles::of(&[H::Alkali])) && facts.metal(light).next().is_some() {
        let from_alkali = facts.equivalents(Roles::of(&[H::Alkali])).map(|n| n * 1.5);
        made.push(("hydrogen", hydrogen(facts, light, from_alkali)));
    }
    if facts.any(HYPOCHLORITE) && !facts.metals.is_empty() && !facts.any(PEROXIDE) {
        made.push(("oxygen", facts.equivalents(HYPOCHLORITE).map(|n| n / 2.0)));
    }
    // Dry hypochlorite that gets wet (EPA 550-F-01-003); trichlor and dichlor have a rule of their own with the same steps.
    let powder = |p: &Present| p.plays(H::PoolChlorine) && !p.plays(H::Isocyanurate) && p.stock.solid;
    if facts.poured().any(powder) && facts.poured().any(|p| p.stock.wet) {
        made.push(("oxygen", None));
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
    Some(made_in_all(facts, Found::of(if facts.closed() { Gravity::Stop } else { Gravity::Caution })))
}

/// With the volume of everything that the mixture makes, where it is known.
fn made_in_all(facts: &Facts, found: Found) -> Found {
    match gases_made(facts).iter().filter_map(|(_, n)| *n).sum::<f64>() {
        mol if mol > 0.0 => found.volume(facts, mol),
        _ => found,
    }
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
    let found = Found::of(if facts.any(irritant) { Gravity::Caution } else { Gravity::Note });
    // All that is not water, in the air of the room at once: no spray does worse.
    let water = |p: &Present| p.plays(H::Water);
    let grams = facts.poured().filter(|p| !water(p)).map(|p| p.stock.mass_g.map(|g| g * p.stock.percent / 100.0));
    let grams = grams.sum::<Option<f64>>();
    Some(found.number("mist_mg_m3", grams.zip(facts.room_m3).map(|(g, m3)| g * 1000.0 / m3)))
}

/// Kept past the job: a stop where gas gathers or a residue becomes explosive. Where the gas gets out, or the bath is kept so
/// shortly that nobody puts it away, it is a caution.
pub fn kept(facts: &Facts) -> Option<Found> {
    if !facts.kept {
        return None;
    }
    let silver = facts.any(Roles::of(&[H::SilverSalt])) && facts.any(AMMONIA);
    if !gases_made(facts).is_empty() || silver {
        let gravity = if silver || facts.closed() { Gravity::Stop } else { Gravity::Caution };
        return Some(made_in_all(facts, Found::of(gravity)));
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
    let least = facts.conditions.after.iter().map(|past| past.left.rinse.least()).min();
    let found = || Found::of(Gravity::Note).who(names.join(", ")).number("rinses", least.map(f64::from));
    (!names.is_empty()).then(found)
}
