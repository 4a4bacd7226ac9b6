//! Preparation before the bath and aftercare behind it.

use super::build::{is_warmed, list};
use super::soak::{Leaving, sentence};
use super::{Stage, Step};
use crate::part::Part;
use crate::recipe::{CareStage, CareStep, Recipe, Rinse};
use crate::reference::schema::MetalFamily;
use jiff::SignedDuration;

/// Time set aside for a step of which nobody said how long it takes. Our choice.
const UNSAID: SignedDuration = SignedDuration::from_mins(10);

/// Preparation, counted backwards from the first pour so that it ends there.
pub(super) fn before_the_bath(recipe: &Recipe, first_pour: SignedDuration) -> Vec<Step> {
    let mut steps = Vec::new();
    let mut at = first_pour;
    for care in recipe.preparation.iter().rev() {
        at = at.checked_sub(lasting(care)).unwrap_or(at);
        steps.push(Step::new(at, stage(care.stage), words(care)).taking(care.takes));
    }
    steps.reverse();
    steps
}

/// Watched for bloom, weeping and creeping rust before it is sealed: 24 to 72 h is common practice, no source.
const WATCH: SignedDuration = SignedDuration::from_hours(48);

/// What shows first when something of the bath is still at work. Only a print has an infill that weeps.
pub fn early_signs(parts: &[Part], recipe: &Recipe) -> String {
    let named = parts.iter().filter_map(|p| p.metal);
    let meant = recipe.metals.iter().copied().filter(|_| parts.is_empty());
    let families: Vec<MetalFamily> = named.chain(meant).filter_map(|m| m.family).collect();
    let mut signs = vec!["white bloom"];
    if parts.is_empty() || parts.iter().any(|p| p.binder.is_some()) {
        signs.push("weeping seams");
    }
    if families.contains(&MetalFamily::Ferrous) {
        signs.push("creeping rust");
    }
    if families.contains(&MetalFamily::CopperAlloy) {
        signs.push("pale green spots");
    }
    if signs.last().is_some_and(|last| matches!(*last, "white bloom" | "weeping seams")) {
        signs.push("a colour that goes on changing");
    }
    list(&signs.iter().map(|s| s.to_string()).collect::<Vec<_>>())
}

/// A wet step that lasts longer than this is a soak that nobody stands beside (our choice).
const AT_HAND: SignedDuration = SignedDuration::from_hours(1);

/// Aftercare of each group of parts from the moment it leaves, and the end of the bath when the last one is out and rinsed:
/// a bath that is done does not stand about while the parts dry.
/// Every part is watched from when it is dry until it is sealed.
pub(super) fn after_the_bath(recipe: &Recipe, groups: &[Leaving<'_>], parts: &[Part]) -> Vec<Step> {
    let mut steps = Vec::new();
    let mut last = SignedDuration::ZERO;
    let (ending, caring): (Vec<&CareStep>, Vec<&CareStep>) =
        recipe.aftercare.iter().partition(|c| c.stage == CareStage::Dispose);
    for group in groups {
        // Nobody knows when it leaves: then nothing behind it can have a time, and the steps stand at the latest known.
        let mut at = group.at.or_else(|| recipe.soak.iter().map(|e| e.after).max()).unwrap_or(SignedDuration::ZERO);
        let part = if groups.len() > 1 { group.part_field() } else { None };
        let late = if group.at.is_none() { "When it is out: " } else { "" };
        if recipe.rinse == Rinse::Full && !caring.iter().any(|c| c.stage == CareStage::Rinse) {
            let what = format!("{late}Rinse in a bowl of clean water; the first rinse counts as used bath.");
            steps.push(Step::new(at, Stage::Rinse, what).about(part.clone()));
            at = at.checked_add(UNSAID).unwrap_or(at);
        }
        let (mut wet, mut watched) = (true, false);
        last = last.max(at);
        for care in &caring {
            wet &= matches!(care.stage, CareStage::Rinse | CareStage::Neutralise) && lasting(care) <= AT_HAND;
            if care.stage == CareStage::Seal && !watched {
                watched = true;
                let again = if recipe.rinse == Rinse::Full { "rinse and dry it again" } else { "let it dry again" };
                let signs = early_signs(parts, recipe);
                let what =
                    format!("{late}Watch it for two days for {signs}; if any comes, {again} before it is sealed.");
                steps.push(Step::new(at, Stage::Look, what).about(part.clone()));
                at = at.checked_add(WATCH).unwrap_or(at);
            }
            let what = format!("{late}{}", words(care));
            steps.push(Step::new(at, stage(care.stage), what).about(part.clone()).taking(care.takes));
            at = at.checked_add(lasting(care)).unwrap_or(at);
            if wet {
                last = last.max(at);
            }
        }
    }
    let cool = if is_warmed(recipe) { "Let the bath cool where it stands, uncovered, first. " } else { "" };
    if ending.is_empty() {
        let what = format!(
            "{cool}Deal with the used bath and the first rinse as the disposal notes say; local rules come first."
        );
        steps.push(Step::new(last, Stage::Dispose, what));
    }
    for care in ending {
        steps.push(Step::new(last, Stage::Dispose, format!("{cool}{}", words(care))).taking(care.takes));
        last = last.checked_add(lasting(care)).unwrap_or(last);
    }
    steps
}

fn lasting(care: &CareStep) -> SignedDuration {
    care.takes.unwrap_or(UNSAID).max(SignedDuration::ZERO)
}

fn words(care: &CareStep) -> String {
    let mut text = sentence(&care.what);
    if care.changes > 1 {
        text.push_str(&format!(" {} baths of clean water.", care.changes));
    }
    if !care.uses.is_empty() {
        let uses: Vec<&str> = care.uses.iter().map(|i| i.line.text.as_str()).collect();
        text.push_str(&format!(" Uses: {}.", uses.join(", ")));
    }
    text
}

fn stage(stage: CareStage) -> Stage {
    match stage {
        CareStage::Prepare | CareStage::Degrease => Stage::Prepare,
        CareStage::Rinse => Stage::Rinse,
        CareStage::Neutralise => Stage::Neutralise,
        CareStage::Dry => Stage::Dry,
        CareStage::Seal => Stage::Seal,
        CareStage::Dispose => Stage::Dispose,
    }
}
