//! Soak, preparation and aftercare of a recipe.

use super::ingredients::known_ingredient;
use super::raw::{RawCare, RawSoak};
use super::{CareStage, CareStep, Holds, SoakEvent};
use crate::amount::{MeasureSystem, read_duration};
use crate::diag::{Checked, Problem};
use crate::reference::yaml::{Faults, flag};

/// Looks and lifts; they have to come in the order of time.
pub(super) fn soak(raw: Vec<Option<RawSoak>>, faults: &mut Faults<'_>) -> Vec<SoakEvent> {
    let mut events: Vec<SoakEvent> = Vec::new();
    for (i, item) in raw.into_iter().enumerate() {
        let Some(RawSoak { after: Some(after), what, lift }) = item else { continue };
        let Some(after) = faults.take(format_args!("soak[{i}].after"), read_duration(&after)) else { continue };
        if events.last().is_some_and(|e| e.after > after) {
            let late = Problem::error("this comes before the entry above it; put them in the order of time");
            faults.add(format_args!("soak[{i}].after"), late);
        }
        let lift = lift.as_deref().and_then(flag).unwrap_or(false);
        events.push(SoakEvent { after, what: what.unwrap_or_default(), lift });
    }
    events
}

/// Steps before or after the bath.
pub(super) fn steps(
    field: &str,
    raw: Vec<Option<RawCare>>,
    system: MeasureSystem,
    faults: &mut Faults<'_>,
) -> Vec<CareStep> {
    let mut steps = Vec::new();
    for (i, item) in raw.into_iter().enumerate() {
        let Some(item) = item else { continue };
        let mut lasts = |what: &str, text: &Option<String>| {
            text.as_deref().and_then(|t| faults.take(format_args!("{field}[{i}].{what}"), read_duration(t)))
        };
        let (takes, takes_on_prints) = (lasts("takes", &item.takes), lasts("takes_on_prints", &item.takes_on_prints));
        let mut uses = Vec::new();
        for (k, line) in item.uses.iter().enumerate() {
            let Some(line) = line else { continue };
            uses.extend(faults.take(format_args!("{field}[{i}].uses[{k}]"), known_ingredient(line, system)));
        }
        let stage = item.stage.as_deref().and_then(stage);
        let changes = item.changes.as_deref();
        let changes = changes.and_then(|c| faults.take(format_args!("{field}[{i}].changes"), self::changes(c, stage)));
        if let (Some(stage), Some(what)) = (stage, item.what) {
            steps.push(CareStep {
                stage,
                what,
                on_prints: item.on_prints,
                changes: changes.unwrap_or(1),
                takes,
                takes_on_prints,
                uses,
                holds: holds(item.holds.as_deref()),
                needs: item.needs.into_iter().flatten().collect(),
            });
        }
    }
    steps
}

/// How many baths of fresh water a rinse takes.
fn changes(text: &str, stage: Option<CareStage>) -> Checked<u32> {
    if stage.is_some_and(|s| s != CareStage::Rinse) {
        return Err(Problem::error("only a rinse has changes of water").hint("leave `changes` out").into());
    }
    let count = text.trim().parse().ok().filter(|n| (1..=20).contains(n));
    count.ok_or_else(|| Problem::error(format!("found `{text}`, allowed is a whole number from 1 to 20")).into())
}

/// The words are checked by the shape of the file.
fn holds(word: Option<&str>) -> Holds {
    match word {
        Some("bath") => Holds::Bath,
        Some("film") => Holds::Film,
        _ => Holds::Dip,
    }
}

fn stage(word: &str) -> Option<CareStage> {
    Some(match word {
        "prepare" => CareStage::Prepare,
        "degrease" => CareStage::Degrease,
        "rinse" => CareStage::Rinse,
        "neutralise" => CareStage::Neutralise,
        "dry" => CareStage::Dry,
        "seal" => CareStage::Seal,
        "dispose" => CareStage::Dispose,
        _ => return None,
    })
}
