//! What may be suggested to buy: only what shops sell to the public (`shared/retail.yaml`), and only after the same review
//! as any bath.

use super::poured;
use crate::amount::MeasureSystem;
use crate::bath::{BathSize, dose_exactly, mass_fraction};
use crate::order::{Order, ShelfStock};
use crate::reference::schema::{Good, HazardRole};
use crate::reference::{Ingredient, Substance, goods, incompatible, read_ingredient};
use crate::safety::{Verdict, check};

/// A bottle that shops sell: what it is and how strong, and the entry of the table.
pub(super) struct Bottle {
    pub(super) good: &'static Good,
    /// As poured from that bottle.
    pub(super) ingredient: Ingredient,
}

/// The limit above which a substance is not sold to the public, per cent: Annex I of Regulation (EU) 2019/1148.
fn sale_limit(substance: &Substance) -> Option<f64> {
    incompatible().roles.get(&HazardRole::RestrictedSale)?.get(substance.id.as_ref()).copied()
}

/// What shops sell of a substance, in strengths that the public may buy.
fn sold(substance: &Substance) -> impl Iterator<Item = &'static Good> {
    let limit = sale_limit(substance);
    let id = substance.id.clone();
    goods().iter().filter(move |g| g.id == id && limit.is_none_or(|most| g.percent.is_some_and(|p| p <= most)))
}

/// The package of something that is not dosed: a solid, or what a step before or after the bath uses; of its own strength
/// where it has one, never of another.
pub(super) fn matching(wanted: &Ingredient) -> Option<&'static Good> {
    match &wanted.line.strength {
        None => sold(wanted.substance()?).find(|g| g.percent.is_none()),
        Some(strength) => {
            let bottle = bottles(wanted).into_iter().next()?;
            (bottle.ingredient.line.strength.as_ref() == Some(strength)).then_some(bottle.good)
        }
    }
}

/// The bottles that shops sell of an ingredient, nearest to the recipe's strength first.
fn bottles(wanted: &Ingredient) -> Vec<Bottle> {
    let Some(substance) = wanted.substance() else { return Vec::new() };
    let middle = |i: &Ingredient| {
        let w = mass_fraction(substance, i.line.strength.as_ref()?).ok()?;
        Some((w.low.ratio() + w.high.ratio()) / 2.0)
    };
    let Some(want) = middle(wanted) else { return Vec::new() };
    let mut found: Vec<(f64, Bottle)> = sold(substance)
        .filter_map(|good| {
            let line = format!("{} {} %", wanted.line.name, good.percent?);
            let ingredient = read_ingredient(&line, MeasureSystem::Metric).ok()?;
            let far = libm::log(middle(&ingredient)? / want).abs();
            Some((far, Bottle { good, ingredient }))
        })
        .collect();
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    found.into_iter().map(|(_, bottle)| bottle).collect()
}

/// The order with this bottle on the shelf, in the place of any other of its kind.
pub(super) fn with_bottle(order: &Order, bottle: &Ingredient) -> Order {
    let mut order = order.clone();
    let id = bottle.substance().map(|s| s.id.clone());
    order.bench.stocks.retain(|s| s.ingredient.substance().map(|x| x.id.clone()) != id);
    order.bench.stocks.push(ShelfStock { ingredient: bottle.clone(), opened: None, left: None });
    order
}

/// Whether the bath of this order can be made at this size, and is not refused.
fn passes(order: &Order, size: BathSize) -> bool {
    let Ok(dosing) = dose_exactly(&order.recipe, &order.bench, size, &|_| String::new()) else { return false };
    let verdict = check(&poured(&dosing), &super::conditions(order, order.vessel.as_ref())).verdict;
    matches!(verdict, Verdict::Fine | Verdict::Warn)
}

/// The bottle to buy for an ingredient of a recipe: of what shops sell, the one nearest to the recipe's strength with
/// which the bath can be made and passes its review. Otherwise why none is suggested.
pub(super) fn bottle(order: &Order, wanted: &Ingredient, size: BathSize) -> Result<Bottle, String> {
    let Some(substance) = wanted.substance() else { return Err("read what its label lists first".into()) };
    let all = bottles(wanted);
    let strongest = sold(substance).filter_map(|g| g.percent).reduce(f64::max);
    if let Some(found) = all.into_iter().find(|b| passes(&with_bottle(order, &b.ingredient), size)) {
        return Ok(found);
    }
    let asked =
        wanted.line.strength.as_ref().and_then(|s| mass_fraction(substance, s).ok()).map(|w| w.high.in_percent());
    Err(match (sale_limit(substance), strongest) {
        (Some(most), _) if asked.is_some_and(|p| p > most) => {
            format!("above {most} % it is not sold to the public (Regulation (EU) 2019/1148): choose another recipe")
        }
        (_, Some(most)) if asked.is_some_and(|p| p > most * 1.001) => {
            format!("shops sell it up to {most} %, and that is too weak here: choose another recipe")
        }
        (_, Some(_)) => "none that shops sell can be used here: choose another recipe".into(),
        (_, None) => NO_SHOP.into(),
    })
}

/// Said of what no entry of the table is for.
pub(super) const NO_SHOP: &str = "no shop that sells it to the public is known here, so nothing is suggested";

/// Advice when the bottle at hand is too weak for ingredient `at` of the recipe.
///
/// Names the recipe's own strength when shops sell that and the bath made from such a bottle, in this order's room and
/// with its parts, is not refused; otherwise names no strength at all.
pub(super) fn advice(order: &Order, at: usize, size: BathSize) -> String {
    let fresh = order.recipe.ingredients.get(at).map(|item| &item.ingredient);
    let named = fresh.filter(|wanted| {
        bottles(wanted).first().is_some_and(|b| b.ingredient.line.strength == wanted.line.strength)
            && passes(&with_bottle(order, wanted), size)
    });
    match named.and_then(|i| Some((&i.line.name, i.line.strength.as_ref()?))) {
        Some((name, strength)) => format!("a fresh bottle of {name} {strength} will do"),
        None => "get a fresh bottle of the recipe's strength from a shop that gives you its data sheet, or choose another recipe".into(),
    }
}
