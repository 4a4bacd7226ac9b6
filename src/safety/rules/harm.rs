//! The bath as mixed, by its classes.

use super::Found;
use crate::reference::HazardKind as K;
use crate::safety::Gravity;
use crate::safety::facts::Facts;

/// A caution where a splash or a breath does lasting harm; a note where it only irritates.
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
    let classes = &facts.classes.classes;
    let worst = classes.iter().map(|c| if grave(c.kind, &c.cat) { Gravity::Caution } else { Gravity::Note }).max()?;
    let mut titles: Vec<String> = classes.iter().map(|c| c.title()).collect();
    titles.dedup();
    Some(Found::of(worst).who(titles.join(", ")))
}
