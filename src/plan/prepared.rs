//! A recipe with the preparation that a metal-filled plastic needs, and what that leaves on the part.

use crate::amount::MeasureSystem;
use crate::finishing::{PreparationKind, PreparationStep, lacking};
use crate::order::Order;
use crate::recipe::{CareStage, CareStep, Recipe};
use crate::reference::{Before, Past, Rinsed, read_ingredient};

/// The recipe, with steps added in front where its own preparation of a filled plastic lacks them.
///
/// A recipe that prepares the surface in its own way (a light rust first) is left alone: only what it says nothing about
/// is added.
///
/// Its small baths are those that the bottles on the shelf make.
pub(super) fn prepared(order: &Order) -> Recipe {
    super::care::from_the_shelf(with_preparation(order), &order.bench)
}

/// The order for the recipe so prepared.
pub(super) fn order(order: &Order) -> Order {
    Order {
        recipe: prepared(order),
        parts: order.parts.clone(),
        vessel: order.vessel.clone(),
        bench: order.bench.clone(),
        target: order.target.clone(),
        start: order.start.clone(),
        after: order.after.clone(),
        ..*order
    }
}

fn with_preparation(order: &Order) -> Recipe {
    let mut recipe = order.recipe.clone();
    if order.parts.is_empty() || order.parts.iter().any(|p| p.binder.is_some()) {
        for step in recipe.preparation.iter_mut().chain(&mut recipe.aftercare) {
            if let Some(more) = step.on_prints.take() {
                step.what.push_str(&format!(" {more}"));
            }
            step.takes = step.takes_on_prints.take().or(step.takes);
        }
    }
    if !order.parts.iter().any(|p| p.binder.is_some()) {
        return recipe;
    }
    let has_stage = |stage| recipe.preparation.iter().any(|s| s.stage == stage);
    let mut has = Vec::new();
    if has_stage(CareStage::Prepare) {
        has.extend([PreparationKind::Expose, PreparationKind::Degrease]);
    }
    if has_stage(CareStage::Degrease) {
        has.push(PreparationKind::Degrease);
    }
    // Behind a degreasing or sanding step that says nothing of water, the test is still added.
    if has_stage(CareStage::Rinse) || has_stage(CareStage::Prepare) && !has_stage(CareStage::Degrease) {
        has.push(PreparationKind::WaterBreak);
    }
    let added = lacking(&has, true, false);
    let (before, after): (Vec<_>, Vec<_>) = added.into_iter().partition(|s| s.kind == PreparationKind::Expose);
    let mut steps: Vec<CareStep> = before.into_iter().map(care).collect();
    // What the recipe does after washing (wetting with brine) stays last.
    let at = recipe
        .preparation
        .iter()
        .rposition(|s| s.stage == CareStage::Degrease)
        .map_or(recipe.preparation.len(), |i| i + 1);
    let rest = recipe.preparation.split_off(at);
    steps.append(&mut recipe.preparation);
    steps.extend(after.into_iter().map(care));
    steps.extend(rest);
    recipe.preparation = steps;
    recipe
}

fn care(step: PreparationStep) -> CareStep {
    let stage = match step.kind {
        PreparationKind::Expose => CareStage::Prepare,
        PreparationKind::Degrease => CareStage::Degrease,
        PreparationKind::WaterBreak => CareStage::Rinse,
    };
    CareStep {
        takes: Some(step.takes),
        uses: step.uses.iter().filter_map(|line| read_ingredient(line, MeasureSystem::Us).ok()).collect(),
        needs: step.needs,
        ..CareStep::new(stage, format!("{} {}", step.what, step.why))
    }
}

/// What the preparation leaves on the part when it meets the bath: everything it uses but water and packing, rinsed as
/// often as a rinse follows.
pub(super) fn left_by_preparation(recipe: &Recipe) -> Vec<Past> {
    let mut left = Vec::new();
    for (i, step) in recipe.preparation.iter().enumerate() {
        if !matches!(step.stage, CareStage::Prepare | CareStage::Degrease) {
            continue;
        }
        let rinses = super::care::rinses(recipe.preparation.iter().skip(i + 1));
        for used in &step.uses {
            if used.substance().is_some_and(|s| matches!(s.id.as_ref(), "water" | "sawdust" | "dish_soap")) {
                continue;
            }
            left.push(Past::new(used.clone(), Before { rinse: Rinsed::times(rinses), dried: false }));
        }
    }
    left
}
