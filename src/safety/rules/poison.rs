//! Substances that are themselves the hazard.

use super::Found;
use super::kit::{hydrogen, names, share_percent};
use crate::reference::schema::{HazardRole as H, MetalFamily};
use crate::reference::{HazardKind, Role, Substance, incompatible};
use crate::safety::Gravity;
use crate::safety::facts::{Facts, Present};
use crate::safety::parts_played::Roles;

const LIGHT: &[MetalFamily] = &[MetalFamily::Aluminium, MetalFamily::Zinc, MetalFamily::Magnesium];

/// For licensed practice only.
pub fn never_at_home(facts: &Facts) -> Option<Found> {
    let never = Roles::of(&[H::NeverAtHome]);
    if facts.any(never) {
        return Some(Found::of(Gravity::Stop).who(names(facts, never)));
    }
    // What was there before is still there in traces.
    let before = facts.present.iter().filter(|p| p.is(never)).map(|p| p.name().to_string()).min()?;
    Some(Found::of(Gravity::Stop).who(before))
}

/// Poisonous or suspected of lasting harm; weak traces of it a caution.
pub fn serious_poison(facts: &Facts) -> Option<Found> {
    let poison = Roles::of(&[H::SeriousPoison]);
    let percent = facts.strongest(poison)?;
    let gravity = if percent >= 1.0 { Gravity::StrongCaution } else { Gravity::Caution };
    let share = share_percent(facts, |p| p.is(poison));
    let found = Found::of(gravity).who(names(facts, poison));
    Some(found.number("strongest_percent", Some(percent)).number("in_bath_percent", share))
}

/// Burns by itself, and slowly makes hydrogen with water.
pub fn metal_powder(facts: &Facts) -> Option<Found> {
    let powder = Roles::of(&[H::MetalPowder]);
    if !facts.any(powder) {
        return None;
    }
    let shut_in = facts.closed() && facts.poured().any(|p| p.stock.wet);
    let found = Found::of(if shut_in { Gravity::Stop } else { Gravity::Caution }).who(names(facts, powder));
    Some(match hydrogen(facts, LIGHT, None) {
        Some(mol) => found.volume(facts, mol),
        None => found,
    })
}

/// Above the limit of Annex I of Regulation (EU) 2019/1148.
pub fn restricted_sale(facts: &Facts) -> Option<Found> {
    let limits = incompatible().roles.get(&H::RestrictedSale)?;
    let over = || {
        let limit = |p: &Present| limits.get(p.substance.id.as_ref()).copied().filter(|limit| p.percent() > *limit + 0.2);
        facts.poured().filter_map(move |p| Some((p, limit(p)?)))
    };
    let mut names: Vec<&str> = over().map(|(p, _)| p.name()).collect();
    names.sort_unstable();
    names.dedup();
    // The one that is furthest over.
    let (p, limit) = over().max_by(|(p, a), (q, b)| (p.percent() / a).total_cmp(&(q.percent() / b)))?;
    let found = Found::of(Gravity::Caution).who(names.join(", "));
    Some(found.number("strongest_percent", Some(p.percent())).number("limit_percent", Some(limit)))
}

/// Heavy metals that are classified as toxic to water life: a caution from the strength at which the eye damage class
/// begins (3 % in the finished bath, Regulation (EC) 1272/2008 Annex I table 3.3.3) or with an amount that is not known, a
/// note below it.
pub fn toxic_to_water(facts: &Facts) -> Option<Found> {
    let metal = [Role::ToxicMetal, Role::ManganeseSalt, Role::MetalPowder];
    let toxic = |s: &Substance| {
        s.is_any(&metal)
            && s.clp.classes.iter().any(|c| match c.kind {
                HazardKind::AquaticAcute => true,
                HazardKind::AquaticChronic => c.cat == "1" || c.cat == "2",
                _ => false,
            })
    };
    let salts: Vec<_> = facts.poured().filter(|p| toxic(p.substance)).collect();
    let mut names: Vec<&str> = salts.iter().map(|p| p.name()).collect();
    names.sort_unstable();
    names.dedup();
    if names.is_empty() {
        return None;
    }
    let grams = salts.iter().map(|p| p.stock.mass_g.map(|g| g * p.stock.percent / 100.0)).sum::<Option<f64>>();
    let share = grams.zip(facts.least_g).map(|(g, all)| g / all);
    let gravity = if share.is_none_or(|s| s >= 0.03) { Gravity::Caution } else { Gravity::Note };
    Some(Found::of(gravity).who(names.join(", ")).number("in_bath_percent", share_percent(facts, |p| toxic(p.substance))))
}
