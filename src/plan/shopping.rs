//! What the shelf lacks for a job, and what to buy of it: real package sizes with the strength to look for.

use super::purchase::{self, Bottle, NO_SHOP};
use crate::amount::{Amount, in_grams, in_kg_per_m3, in_millilitres};
use crate::bath::{BathSize, Dosing};
use crate::order::{Bench, Order};
use crate::recipe::{CareStage, Method, Recipe};
use crate::reference::schema::{Good, PackageUnit};
use crate::reference::{Ingredient, bulk_density, things};

/// One line of a shopping list.
#[derive(Debug, Clone, PartialEq)]
pub struct Purchase {
    /// What to ask for.
    pub name: String,
    /// Strength to look for on the label.
    pub strength: Option<String>,
    /// What the job takes, and for what.
    pub needed: String,
    /// Packages, such as "1 x 500 mL"; `None` when nothing is suggested.
    pub packages: Option<String>,
    /// Where it is sold, or why nothing is suggested.
    pub remark: String,
}

/// Something that the job takes and the shelf lacks.
pub(super) struct Lack {
    /// What it is, as the recipe or the step names it.
    pub(super) ingredient: Ingredient,
    /// Whether it goes into the bath; otherwise only preparation or aftercare uses it.
    pub(super) for_bath: bool,
    /// Whether the shelf has it, but not enough.
    pub(super) too_little: bool,
    /// Lines of preparation and aftercare that use it.
    used: Vec<Ingredient>,
    /// What was found to buy for it.
    found: Result<Found, String>,
}

enum Found {
    Bottle(Box<Bottle>),
    Package(&'static Good),
}

impl Lack {
    fn new(ingredient: &Ingredient, for_bath: bool) -> Self {
        let found = purchase::matching(ingredient).map(Found::Package).ok_or_else(|| NO_SHOP.to_string());
        Lack { ingredient: ingredient.clone(), for_bath, too_little: false, used: Vec::new(), found }
    }

    /// Whether nothing can be suggested for it.
    pub(super) fn cannot_be_bought(&self) -> bool {
        self.found.is_err()
    }
}

/// What a method puts the liquid on with.
fn tool_of(method: Method) -> Option<&'static str> {
    match method {
        Method::Brush => Some("nylon brush"),
        Method::Spray => Some("spray bottle"),
        Method::Immersion | Method::Fume | Method::Burial => None,
    }
}

/// Whether one of "clear wax or clear lacquer" is there, by any name of the bench.
fn there(bench: &Bench, need: &str) -> bool {
    let fold = |text: &str| text.trim().to_lowercase();
    let stocks = bench.stocks.iter().map(|s| fold(&s.ingredient.line.name));
    let have: Vec<String> = stocks.chain(bench.things.iter().chain(&bench.gear).map(|t| fold(t))).collect();
    need.split(" or ").any(|one| have.contains(&fold(one)))
}

fn what_for(stage: CareStage) -> &'static str {
    match stage {
        CareStage::Degrease => "degreasing",
        other => super::care::name(other),
    }
}

/// What preparation, method and aftercare need beside what is poured, and the bench has not: papers, brushes, wax.
pub(super) fn beside_the_bottles(recipe: &Recipe, bench: &Bench, bottles: &[Purchase]) -> Vec<Purchase> {
    let of_steps = recipe.preparation.iter().chain(&recipe.aftercare);
    let of_steps = of_steps.flat_map(|s| s.needs.iter().map(|n| (n.as_str(), what_for(s.stage))));
    let mut all: Vec<(&str, Vec<&str>)> = Vec::new();
    for (need, purpose) in of_steps.chain(tool_of(recipe.method).map(|t| (t, "coats"))) {
        if there(bench, need) || bottles.iter().any(|b| b.name.eq_ignore_ascii_case(need)) {
            continue;
        }
        match all.iter_mut().find(|(n, _)| *n == need) {
            Some((_, said)) if said.contains(&purpose) => {}
            Some((_, said)) => said.push(purpose),
            None => all.push((need, vec![purpose])),
        }
    }
    all.into_iter()
        .map(|(need, purposes)| {
            let sold = need.split(" or ").find_map(|one| things().iter().find(|t| t.name.eq_ignore_ascii_case(one)));
            Purchase {
                name: need.to_string(),
                strength: None,
                needed: format!("for {}", purposes.join(", ")),
                packages: sold.map(|t| t.package.to_string()),
                remark: sold.map_or_else(|| NO_SHOP.to_string(), |t| format!("from {}", t.place)),
            }
        })
        .collect()
}

fn same(a: &Ingredient, b: &Ingredient) -> bool {
    match (a.substance(), b.substance()) {
        (Some(a), Some(b)) => a.id == b.id,
        _ => a.line.name == b.line.name,
    }
}

/// What bath, preparation and aftercare take and the shelf lacks; water is always there.
pub(super) fn lacking(recipe: &Recipe, bench: &Bench) -> Vec<Lack> {
    let mut all: Vec<Lack> = Vec::new();
    for i in recipe.ingredients.iter().map(|i| &i.ingredient).filter(|i| !on_shelf(bench, i)) {
        if !all.iter().any(|l| same(&l.ingredient, i)) {
            all.push(Lack::new(i, true));
        }
    }
    let steps = recipe.preparation.iter().chain(&recipe.aftercare).filter(|s| s.stage != CareStage::Dispose);
    used_as_well(&mut all, bench, steps.flat_map(|s| &s.uses));
    all
}

/// Adds what steps before and after the bath use and the shelf lacks.
pub(super) fn used_as_well<'a>(all: &mut Vec<Lack>, bench: &Bench, uses: impl Iterator<Item = &'a Ingredient>) {
    for i in uses.filter(|i| !on_shelf(bench, i)) {
        let at = all.iter().position(|l| same(&l.ingredient, i)).unwrap_or_else(|| {
            all.push(Lack::new(i, false));
            all.len() - 1
        });
        all[at].used.push(i.clone());
    }
}

/// Adds what the shelf has too little of for this bath, where the bench says how much is left.
pub(super) fn running_out(all: &mut Vec<Lack>, bench: &Bench, dosing: &Dosing) {
    for dose in &dosing.doses {
        let stocks = bench.stocks.iter().filter(|s| same(&s.ingredient, &dose.ingredient));
        let left: Option<Vec<&Amount>> = stocks.map(|s| s.left.as_ref()).collect();
        let Some(left) = left.filter(|l| !l.is_empty()) else { continue };
        let grams = |a: &Amount| in_unit(a, PackageUnit::Gram, &dose.ingredient);
        let liquid = |a: &Amount| a.volume().map(|v| in_millilitres(v.high));
        let sum = |of: &dyn Fn(&Amount) -> Option<f64>| left.iter().map(|a| of(a)).sum::<Option<f64>>();
        let short = match (liquid(&dose.exact), sum(&liquid)) {
            (Some(need), Some(have)) => need > have,
            _ => grams(&dose.exact).zip(sum(&grams)).is_some_and(|(need, have)| need > have),
        };
        if short && !all.iter().any(|l| same(&l.ingredient, &dose.ingredient)) {
            all.push(Lack { too_little: true, ..Lack::new(&dose.ingredient, true) });
        }
    }
}

fn on_shelf(bench: &Bench, i: &Ingredient) -> bool {
    i.substance().is_some_and(|s| s.id == "water") || bench.stocks.iter().any(|s| same(&s.ingredient, i))
}

/// Looks for the bottles that shops sell of what goes into the bath with a strength, and gives the order with them on its
/// shelf: amounts and review are for what would really be bought.
pub(super) fn bought(order: &Order, lacks: &mut [Lack], size: BathSize) -> Order {
    let mut order = order.clone();
    for lack in lacks.iter_mut().filter(|l| l.for_bath && l.ingredient.line.strength.is_some()) {
        lack.found = purchase::bottle(&order, &lack.ingredient, size).map(|bottle| {
            order = purchase::with_bottle(&order, &bottle.ingredient);
            Found::Bottle(Box::new(bottle))
        });
    }
    order
}

/// The shopping list, once the bath is dosed.
pub(super) fn list(lacks: &[Lack], dosing: &Dosing) -> Vec<Purchase> {
    lacks.iter().map(|lack| line(lack, dosing)).collect()
}

fn line(lack: &Lack, dosing: &Dosing) -> Purchase {
    let dose = dosing.doses.iter().find(|d| lack.for_bath && same(&lack.ingredient, &d.ingredient));
    let mut needed: Vec<String> = dose.iter().map(|d| d.metric.clone()).collect();
    let care = lack.used.iter().filter_map(|i| i.line.amount.as_ref()).map(|a| format!("{a} before or after the bath"));
    needed.extend(care);
    let mut purchase = Purchase {
        name: lack.ingredient.line.name.clone(),
        strength: None,
        needed: needed.join("; "),
        packages: None,
        remark: String::new(),
    };
    let good = match &lack.found {
        Err(why) => {
            purchase.strength = lack.ingredient.line.strength.as_ref().map(|s| s.to_string());
            purchase.remark = why.clone();
            return purchase;
        }
        Ok(Found::Package(good)) => good,
        Ok(Found::Bottle(bottle)) => bottle.good,
    };
    purchase.remark = format!("from {}", good.place);
    if let Some(percent) = good.percent {
        purchase.strength = Some(format!("{percent} %"));
    }
    if let (Ok(Found::Bottle(bottle)), Some(said)) = (&lack.found, &lack.ingredient.line.strength)
        && bottle.ingredient.line.strength.as_ref() != Some(said)
    {
        purchase.remark.push_str(&format!("; the recipe has {said}: the amounts here are for the bottle named"));
    }
    let amounts = dose.map(|d| &d.exact).into_iter().chain(lack.used.iter().filter_map(|i| i.line.amount.as_ref()));
    let total: Option<f64> = amounts.map(|a| in_unit(a, good.unit, &lack.ingredient)).sum();
    purchase.packages = total.filter(|t| *t > 0.0).map(|t| packages(good, t));
    purchase
}

/// An amount in the unit of a package, at its upper end.
fn in_unit(amount: &Amount, unit: PackageUnit, what: &Ingredient) -> Option<f64> {
    let ml = amount.volume().map(|v| in_millilitres(v.high));
    let g = amount.mass().map(|m| in_grams(m.high));
    // A solid by the spoon: its densest packing, or a gram and a half to the millilitre.
    let id = what.substance().map_or("", |s| s.id.as_ref());
    let dense = bulk_density(&what.line.name, id).map_or(1.5, |d| in_kg_per_m3(d.high) / 1000.0);
    match unit {
        PackageUnit::Gram => g.or(ml.map(|v| v * dense)),
        // A liquid by mass is lighter than water at worst by a quarter (ethanol).
        PackageUnit::Millilitre => ml.or(g.map(|g| g / 0.75)),
        PackageUnit::Litre => ml.map(|v| v / 1000.0),
    }
}

/// The smallest package that holds it, or several of the largest.
fn packages(good: &Good, needed: f64) -> String {
    let largest = good.packages.last().copied().unwrap_or(1);
    let size = good.packages.iter().copied().find(|p| f64::from(*p) >= needed).unwrap_or(largest);
    let count = (needed / f64::from(size)).ceil().clamp(1.0, 1e6);
    let unit = match good.unit {
        PackageUnit::Gram => "g",
        PackageUnit::Millilitre => "mL",
        PackageUnit::Litre => "L",
    };
    format!("{count:.0} x {size} {unit}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reference::goods;
    use crate::reference::schema::HazardRole;

    fn good(id: &str) -> &'static Good {
        goods().iter().find(|g| g.id == id).unwrap()
    }

    #[test]
    fn the_smallest_package_that_holds_it_is_taken() {
        let salt = good("sodium_chloride");
        assert_eq!(packages(salt, 40.0), "1 x 500 g");
        assert_eq!(packages(salt, 501.0), "1 x 750 g");
        assert_eq!(packages(salt, 2500.0), "3 x 1000 g");
    }

    #[test]
    fn the_table_is_sorted_known_and_within_what_the_public_may_buy() {
        let key = |g: &Good| (g.id.to_string(), g.percent.unwrap_or(0.0));
        assert!(goods().windows(2).all(|w| key(&w[0]) < key(&w[1])));
        let limits = crate::reference::incompatible().roles.get(&HazardRole::RestrictedSale).expect("in the table");
        for g in goods() {
            assert!(crate::reference::substance(&g.id).is_some(), "{}", g.id);
            assert!(!g.packages.is_empty() && g.packages.windows(2).all(|w| w[0] < w[1]), "{}", g.id);
            assert!(!g.place.is_empty() && !g.status.is_empty(), "{}", g.id);
            // Annex I of Regulation (EU) 2019/1148: 12 % peroxide, 3 % nitric acid, 15 % sulfuric acid.
            let limit = limits.get(g.id.as_ref());
            assert!(limit.is_none_or(|most| g.percent.is_some_and(|p| p <= *most)), "{}", g.id);
        }
    }
}
