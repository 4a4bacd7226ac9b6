//! One recipe as a bench and a room would have it: dosed from the bottles there and reviewed as a plan is.

use super::aftercare::Soda;
use super::care::around_the_bath;
use super::shopping::{self, Lack, Purchase};
use super::{Aftercare, aftercare, bath_temperature, conditions, doses, job, modelled, poured, prepared, seat};
use crate::amount::{Estimate, grams, in_millilitres, millimetres};
use crate::bath::{BathSize, Dosing, mix};
use crate::diag::Checked;
use crate::order::{Bench, Order};
use crate::part::{Part, Shape};
use crate::recipe::Recipe;
use crate::reference::{Ingredient, Material};
use crate::safety::{Conditions, Reviewable};
use crate::timetable;
use jiff::SignedDuration;

/// A recipe for a trial piece, at one size. Shown only as `Reviewed<Trial>`.
#[derive(Debug, Clone)]
pub struct Trial {
    /// The recipe, with the preparation that the piece needs.
    pub recipe: Recipe,
    /// Doses, from the bottles on the shelf and those on the shopping list.
    pub dosing: Dosing,
    /// What to buy.
    pub shopping: Vec<Purchase>,
    /// How long it takes.
    pub times: Times,
    aftercare: Aftercare,
    reviewed_as: Conditions,
}

/// How long a job takes, as its timetable gives it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Times {
    /// Washing and making up.
    pub before: SignedDuration,
    /// In the bath, or from the first coat to the last look.
    pub soak: SignedDuration,
    /// From the bath to sealed, and the bath dealt with.
    pub after: SignedDuration,
    /// All three: what `plan` lists.
    pub plan: SignedDuration,
    /// From the rough print to the hardened seal with a coupon before it, worked by hand: what `plan --whole` lists.
    pub whole: SignedDuration,
}

impl Reviewable for Trial {
    fn ingredients(&self) -> Vec<Ingredient> {
        poured(&self.dosing)
    }

    fn conditions(&self) -> Conditions {
        self.reviewed_as.clone()
    }

    fn beside(&self) -> Vec<(String, Vec<Ingredient>, Conditions)> {
        around_the_bath(&self.recipe, &self.aftercare, &self.ingredients(), &self.reviewed_as)
    }
}

/// What the shelf lacks, by name: for the bath, and for the steps around it; and what cannot be bought.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Lacking {
    /// Ingredients of the bath.
    pub for_bath: Vec<String>,
    /// Ingredients of the bath that the shelf has, but not enough of.
    pub too_little: Vec<String>,
    /// Used by preparation or aftercare only.
    pub for_steps: Vec<String>,
    /// Those of both that no shop is known to sell in a strength that can be used.
    pub not_sold: Vec<String>,
}

impl Lacking {
    fn of(lacks: &[Lack]) -> Self {
        let names = |which: &dyn Fn(&&Lack) -> bool| {
            lacks.iter().filter(which).map(|l| l.ingredient.line.name.clone()).collect::<Vec<_>>()
        };
        Lacking {
            for_bath: names(&|l| l.for_bath && !l.too_little),
            too_little: names(&|l| l.too_little),
            for_steps: names(&|l| !l.for_bath),
            not_sold: names(&|l| l.cannot_be_bought()),
        }
    }

    /// Whether nothing is lacking.
    pub fn is_empty(&self) -> bool {
        self.for_bath.is_empty() && self.too_little.is_empty() && self.for_steps.is_empty()
    }
}

/// The order for a trial piece of this metal and binder: a small tile.
pub(super) fn order(
    recipe: Recipe,
    bench: Bench,
    metal: Option<&'static Material>,
    binder: Option<&'static Material>,
) -> Order {
    let nothing = grams(0.0);
    let tile = metal.map(|metal| Part {
        name: metal.name.to_string(),
        count: 1,
        shape: Shape::Box { length: millimetres(40.0), width: millimetres(40.0), height: millimetres(5.0) },
        mass: Estimate::exact(nothing),
        weighed: false,
        mass_known: false,
        metal: Some(metal),
        binder,
        solid_density: None,
        make_up: None,
        up: None,
        lift: None,
        notes: Vec::new(),
    });
    Order { parts: tile.into_iter().collect(), ..Order::new(recipe, bench) }
}

/// What the shelf of this order lacks for its recipe.
pub(super) fn lacking(order: &Order) -> Lacking {
    Lacking::of(&shopping::lacking(&prepared::prepared(order), &order.bench))
}

/// Doses the recipe, from what the shelf has and from what can be bought for it where `buying`.
///
/// # Errors
/// A bottle too weak, an ingredient without a meaning: as [`super::plan`].
pub(super) fn trial(order: &Order, size: BathSize, buying: bool) -> Checked<(Trial, Lacking)> {
    let order = prepared::order(order);
    let mut lacks = shopping::lacking(&order.recipe, &order.bench);
    let bench = order.bench.clone();
    let order = if buying { shopping::bought(&order, &mut lacks, size) } else { order };
    let dosing = doses(&order, size)?;
    let bath = poured(&dosing);
    shopping::running_out(&mut lacks, &bench, &dosing);
    let mixing = modelled(bath_temperature(&order), &mut Vec::new());
    let mixture = mix(&bath, &mixing)?;
    let reviewed_as = conditions(&order, order.vessel.as_ref());
    let soda = || Soda::for_bath(&bath, in_millilitres(mixture.volume.best), &mixing);
    let aftercare = aftercare::aftercare(&order.recipe, &order.parts, &bath, &mixture, &reviewed_as, soda);
    let neutralising = aftercare.neutralising.iter().filter(|n| !n.recipe_has_one).flat_map(|n| &n.bath);
    shopping::used_as_well(&mut lacks, &bench, neutralising);
    let mut shopping = if buying { shopping::list(&lacks, &dosing) } else { Vec::new() };
    if buying {
        shopping.extend(shopping::beside_the_bottles(&order.recipe, &bench, &shopping));
    }
    let times = times(&order, &dosing);
    Ok((Trial { recipe: order.recipe, dosing, shopping, times, aftercare, reviewed_as }, Lacking::of(&lacks)))
}

fn times(order: &Order, dosing: &Dosing) -> Times {
    let steps = timetable::build(&order.recipe, dosing, None, &order.parts);
    let zero = SignedDuration::ZERO;
    let first = steps.iter().map(|s| s.after).min().unwrap_or(zero);
    let last = steps.iter().filter_map(|s| s.after.checked_add(s.takes.unwrap_or(zero))).max().unwrap_or(zero);
    let (before, soak) = (zero.saturating_sub(first), seat::longest_soak(order));
    Times {
        before,
        soak,
        after: last.saturating_sub(soak).max(zero),
        plan: before.saturating_add(last),
        whole: job::by_hand(order, dosing, &steps),
    }
}
