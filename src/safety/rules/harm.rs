//! The bath as mixed, by its classes, and its stocks before that.

use super::Found;
use crate::reference::schema::Route;
use crate::reference::{HazardKind as K, incompatible};
use crate::safety::Gravity;
use super::kit::{RINSE_MIN, share_percent};
use crate::safety::advice::{extreme_ph as ph_of_all, ph_by_strong_ones};
use crate::safety::facts::{Facts, Present};

/// As acid or as alkaline as what damages eyes for good: pH 2 or below, 11.5 or above (CLP Annex I 3.3.3). Where only fruit
/// acids, vinegar, soda or ammonia bring it there, which their own classes judge, it is a flag: a note and no class.
pub fn extreme_ph(facts: &Facts) -> Option<Found> {
    let extreme = |ph: f64| match ph {
        ph if ph <= 2.0 => Some("strongly acid"),
        ph if ph >= 11.5 => Some("strongly alkaline"),
        _ => None,
    };
    let by = |gravity, ph: Option<f64>| ph.and_then(|ph| Some((gravity, ph, extreme(ph)?)));
    let strong = by(Gravity::Caution, ph_by_strong_ones(facts).map(|ph| ph.0));
    let (gravity, ph, who) = strong.or_else(|| by(Gravity::Note, ph_of_all(facts).map(|ph| ph.0)))?;
    Some(Found::of(gravity).who(who).number("ph", Some(ph)).number("rinse_at_least_min", Some(RINSE_MIN)))
}

/// A caution where a splash or a breath does lasting harm, or where thinning is all that takes a poison (toxic by itself:
/// categories 1 to 3) out of its own class; a note where it only irritates.
pub fn as_mixed(facts: &Facts) -> Option<Found> {
    let grave = |kind: K, cat: &str| match kind {
        K::SkinCorrosion | K::EyeDamage | K::Mutagen | K::Carcinogen | K::ReproductiveToxicity => true,
        K::RespiratorySensitiser | K::StotRepeated | K::OrganicPeroxide => true,
        K::AcuteToxicity => cat != "4",
        K::StotSingle => cat != "3",
        K::OxidisingLiquid | K::OxidisingSolid => cat == "1",
        K::FlammableLiquid => cat != "3",
        _ => false,
    };
    let toxic = |p: &Present| {
        let classes = &p.substance.clp.classes;
        classes.iter().any(|c| c.kind == K::AcuteToxicity && c.route == Some(Route::Oral) && c.cat != "4")
    };
    let poison = facts.poured().any(toxic);
    let grave = |kind: K, cat: &str| grave(kind, cat) || (kind == K::AcuteToxicity && poison);
    let classes = &facts.classes.classes;
    let worst = classes.iter().map(|c| if grave(c.kind, &c.cat) { Gravity::Caution } else { Gravity::Note }).max()?;
    let mut titles: Vec<String> = classes.iter().map(|c| c.title()).collect();
    titles.dedup();
    let classes = titles.len() as f64;
    let most = share_percent(facts, |p| !p.substance.clp.classes.is_empty());
    let found = Found::of(worst).who(titles.join(", "));
    Some(found.number("hazard_classes", Some(classes)).number("in_bath_percent", most))
}

/// What burns skin and eyes before and while it is thinned.
pub fn corrosive_stock(facts: &Facts) -> Option<Found> {
    let mut burning: Vec<(&str, bool)> = facts
        .poured()
        .filter_map(|p| {
            let [from, gravely] = incompatible().burns_from.get(p.substance.id.as_ref())?;
            (p.percent() >= *from).then(|| (p.name(), p.percent() >= *gravely))
        })
        .collect();
    burning.sort_unstable();
    burning.dedup();
    let gravely = burning.iter().any(|(_, gravely)| *gravely);
    let names: Vec<&str> = burning.iter().map(|(name, _)| *name).collect();
    let strongest = facts.poured().filter(|p| names.contains(&p.name())).map(|p| p.percent()).reduce(f64::max)?;
    let found = Found::of(if gravely { Gravity::StrongCaution } else { Gravity::Caution }).who(names.join(", "));
    Some(found.number("strongest_percent", Some(strongest)).number("rinse_at_least_min", Some(RINSE_MIN)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reference::{substance, substances};

    /// What the table of substances classifies as corrosive is named as a corrosive stock no later than from the limit of
    /// its entry, or the generic 5 % (CLP Annex I Table 3.2.3). Ammonia has no limit of its own there; the 10 % are those of
    /// its entry in the former Annex I of Directive 67/548/EEC (recalled), and below them it is a household cleaner, which
    /// `harmful-as-mixed` and `ammonia-vapour` judge.
    #[test]
    fn every_corrosive_substance_is_a_corrosive_stock() {
        let table = &incompatible().burns_from;
        for s in substances() {
            if s.id == "ammonia_aq" || !s.clp.classes.iter().any(|c| c.kind == K::SkinCorrosion) {
                continue;
            }
            let limits = s.clp.limits.iter().filter(|l| l.kind == K::SkinCorrosion).map(|l| l.from_percent);
            let limit = limits.reduce(f64::min).unwrap_or(5.0);
            assert!(table.get(s.id.as_ref()).is_some_and(|[from, _]| *from <= limit), "{}: {limit}", s.id);
        }
        for id in table.keys() {
            assert!(substance(id).is_some(), "{id}");
        }
    }
}
