//! What share of the bath each substance is, both ends, for classification.
//!
//! Water and solutions weigh between 1 kg/L and the upper bound of [`super::stock`]; a powder in a spoon between half
//! and the whole of that bound. The upper end of a share takes the substance heavy and everything else light. With
//! amounts unknown each stock counts as undiluted: the worst that any ratio could be. A solid that does not dissolve thins
//! nothing, so the rest has the shares of the liquid.

use super::classify::{Component, Unlisted};
use super::facts::{Facts, Present};
use super::stock::unknown_mass_g;
use crate::amount::Span;
use crate::reference::Ingredient;

/// The components of what is poured.
pub fn components(facts: &Facts) -> Vec<Component> {
    let poured: Vec<&Present> = facts.poured().collect();
    let light_of_all = light_masses(poured.iter().copied());
    let heavy_of_all: Option<f64> = sum(poured.iter().map(|p| (p.ingredient, p.stock.mass_g)), f64::max);
    poured
        .iter()
        .map(|p| {
            let percent = match (p.stock.mass_g, light_of_all, heavy_of_all) {
                (Some(heavy), Some(light_all), Some(heavy_all)) if heavy > 0.0 => {
                    let light = light_mass(p).unwrap_or(heavy);
                    let counted = if p.stock.thins { light } else { 0.0 };
                    let others_light = (light_all - counted).max(0.0);
                    let others_heavy = (heavy_all - heavy).max(0.0);
                    Span {
                        low: p.stock.percent_low.min(p.stock.percent) * light / (light + others_heavy),
                        high: (p.stock.percent * heavy / (heavy + others_light)).min(100.0),
                    }
                }
                (Some(_), Some(_), Some(_)) => Span::one(0.0),
                _ => Span { low: 0.0, high: p.stock.percent },
            };
            Component { substance: p.substance, percent }
        })
        .collect()
}

/// The share of what has no hazard data, where all amounts are known.
pub fn unlisted(present: &[Present], ingredients: &[Ingredient], litres: Option<f64>) -> Vec<Unlisted> {
    let lightest = |i: usize| match ingredients[i].meanings.is_empty() {
        true => unknown_mass_g(&ingredients[i], litres).map(|g| g.low),
        false => light_masses(present.iter().filter(|p| p.ingredient == i)),
    };
    if ingredients.iter().all(|one| !one.meanings.is_empty()) {
        return Vec::new();
    }
    let all: Option<f64> = (0..ingredients.len()).map(lightest).sum();
    let unknown = ingredients.iter().enumerate().filter(|(_, one)| one.meanings.is_empty());
    unknown
        .map(|(i, one)| {
            let share = unknown_mass_g(one, litres).zip(all).filter(|(g, _)| g.high > 0.0).map(|(g, all)| {
                let others = (all - lightest(i).unwrap_or(0.0)).max(0.0);
                Span::one(100.0 * g.high / (g.high + others))
            });
            Unlisted { name: one.line.name.clone(), percent: share }
        })
        .collect()
}

/// The least that everything poured can weigh, g: what has no amount may be next to nothing. `None` where no amount is known.
pub fn lightest_g(facts: &Facts) -> Option<f64> {
    let least = |p: &Present| thinning_mass(p).unwrap_or(0.0);
    sum(facts.poured().map(|p| (p.ingredient, Some(least(p)))), f64::min).filter(|g| *g > 0.0)
}

fn light_mass(p: &Present) -> Option<f64> {
    p.stock.mass_low_g
}

/// What it thins the rest with, at least.
fn thinning_mass(p: &Present) -> Option<f64> {
    p.stock.thinning(light_mass(p))
}

fn light_masses<'a>(poured: impl Iterator<Item = &'a Present>) -> Option<f64> {
    sum(poured.map(|p| (p.ingredient, thinning_mass(p))), f64::min)
}

/// One figure an ingredient: the least or the most among its meanings.
fn sum(figures: impl Iterator<Item = (usize, Option<f64>)>, choose: fn(f64, f64) -> f64) -> Option<f64> {
    let mut by_ingredient: Vec<(usize, f64)> = Vec::new();
    for (ingredient, figure) in figures {
        let figure = figure?;
        match by_ingredient.iter_mut().find(|(i, _)| *i == ingredient) {
            Some((_, so_far)) => *so_far = choose(*so_far, figure),
            None => by_ingredient.push((ingredient, figure)),
        }
    }
    Some(by_ingredient.into_iter().map(|(_, g)| g).sum())
}
