//! Acids, bases and water: heat, spatter, and stocks that burn.

use super::Found;
use super::kit::{ACID, KEEPS_HEAT_L, STRONG_ACID, keeps_heat_from_ml, mixing_rise_k, rise_k, warming_kj, with};
use crate::bath::NEUTRALISATION_KJ_MOL;
use crate::reference::schema::HazardRole as H;
use crate::safety::Gravity;
use crate::safety::facts::{Facts, Present};
use crate::safety::parts_played::Roles;

const BASE: Roles = Roles::of(&[H::Alkali, H::Ammonia]);
/// Strong as bought, of group 1-A of 40 CFR 264 Appendix V.
const CAUSTIC: Roles = Roles::of(&[H::StrongBase, H::Ammonia]);
const DISSOLVING: Roles = Roles::of(&[H::StrongBase, H::Lime]);

/// The least rise that is one, kelvins (our choice).
const WARMS_K: f64 = 5.0;

/// What the temperature that a mixture can reach means (reference rule g15; the steps are our judgement).
fn by_temperature(reaches: f64, litres: f64) -> Gravity {
    match reaches {
        t if t >= 95.0 || (t >= 80.0 && litres >= KEEPS_HEAT_L) => Gravity::Stop,
        t if t >= 50.0 => Gravity::StrongCaution,
        _ => Gravity::Note,
    }
}

/// Judged on the two stocks alone: about 56 kJ per equivalent, no losses.
pub fn acid_with_base(facts: &Facts) -> Option<Found> {
    let mut worst: Option<Found> = None;
    for (acid, base) in facts.meetings(ACID, BASE).filter(|(a, b)| a.before.is_none() && b.before.is_none()) {
        // Soda fizzes instead of boiling: the carbonate rule has it.
        if base.plays(H::Carbonate) && !acid.is(STRONG_ACID) {
            continue;
        }
        let rise = neutralisation_rise(acid, base);
        let litres = (acid.stock.mass_g.unwrap_or(0.0) + base.stock.mass_g.unwrap_or(0.0)) / 1000.0;
        let by_heat = rise.map_or(Gravity::Note, |r| by_temperature(facts.temperature_c + r, litres));
        let both = |least: f64| acid.percent() >= least && base.percent() >= least;
        let strong = acid.is(STRONG_ACID) || acid.percent() >= 50.0 && !acid.stock.solid;
        let by_strength = match () {
            () if acid.is(STRONG_ACID) && acid.stock.wet && base.is(CAUSTIC) && both(20.0) => Gravity::Stop,
            () if strong && both(10.0) => Gravity::StrongCaution,
            () if strong && both(2.0) => Gravity::Caution,
            () if base.plays(H::StrongBase) && both(5.0) => Gravity::Caution,
            () => Gravity::Note,
        };
        let turns = rise.and_then(|r| keeps_heat_from_ml(facts, facts.temperature_c + r, litres));
        let found = Found::of(by_heat.max(by_strength)).who(with(acid, base));
        let found = found.number("heat_rise_c", rise).number("dangerous_from_ml", turns);
        if worst.as_ref().is_none_or(|w| (found.gravity, &w.who) > (w.gravity, &found.who)) {
            worst = Some(found);
        }
    }
    worst
}

/// Kelvins, from the scarcer of the two into the least that both can weigh (a litre of a strong solution takes up no more
/// heat than one of water), so that a stronger stock never looks cooler for being heavier; with the amounts unknown, from
/// matching amounts.
fn neutralisation_rise(acid: &Present, base: &Present) -> Option<f64> {
    let (acids, bases) = (ACID, BASE);
    if let (Some(a), Some(b)) = (acid.equivalents(acids), base.equivalents(bases)) {
        let grams = acid.stock.mass_low_g? + base.stock.mass_low_g?;
        // A solid alkali brings its heat of solution too.
        let dissolving = base.stock.warming_kj.filter(|_| base.stock.solid && base.is(DISSOLVING)).unwrap_or(0.0);
        let rise = rise_k(a.min(b) * NEUTRALISATION_KJ_MOL + dissolving, grams);
        return (grams > 0.0).then(|| rise.min(1000.0));
    }
    let per_equivalent = |p: &Present, roles: Roles| {
        let molar = p.substance.molar_mass_g_mol?;
        let active = p.played.equivalents(roles) * p.stock.percent / 100.0;
        (active > 0.0).then_some(molar / active)
    };
    let grams = per_equivalent(acid, acids)? + per_equivalent(base, bases)?;
    Some(rise_k(NEUTRALISATION_KJ_MOL, grams))
}

/// Strength from which a watery liquid must not be poured into the acid, per cent.
fn boils_water(p: &Present) -> Option<Gravity> {
    let percent = p.percent();
    match p.substance.id.as_ref() {
        "sulfuric_acid" if percent >= 50.0 => Some(Gravity::Stop),
        "hydrochloric_acid" if percent >= 25.0 => Some(Gravity::StrongCaution),
        "nitric_acid_le70" | "nitric_acid_gt70" if percent >= 50.0 => Some(Gravity::StrongCaution),
        "phosphoric_acid" if percent >= 75.0 => Some(Gravity::StrongCaution),
        "stannic_chloride" if percent >= 90.0 => Some(Gravity::StrongCaution),
        _ => None,
    }
}

/// The one rule where the order of pouring is the hazard.
pub fn water_into_acid(facts: &Facts) -> Option<Found> {
    let watery = |p: &&Present| watery(p);
    let judged = facts.poured().filter_map(|acid| {
        let wrong = boils_water(acid)?;
        let later = facts.poured().filter(watery).any(|w| w.ingredient > acid.ingredient);
        let earlier = facts.poured().filter(watery).any(|w| w.ingredient < acid.ingredient);
        match (later, earlier) {
            (true, _) => Some((wrong, acid)),
            (false, true) => Some((Gravity::Caution, acid)),
            (false, false) => None,
        }
    });
    let (gravity, acid) = judged.max_by(|(g, a), (h, b)| g.cmp(h).then(b.name().cmp(a.name())))?;
    Some(Found::of(gravity).who(acid.name().to_string()))
}

/// What holds water and is no solvent: however strong, what a bottle holds beside the substance is water, and raising its
/// strength is no excuse.
fn watery(p: &Present) -> bool {
    let solvent = p.is(Roles::of(&[H::FlammableSolvent, H::ChlorinatedSolvent, H::DryingOil]));
    !solvent && p.stock.wet || p.plays(H::Water)
}

/// So many lots of water are looked at in every combination.
const MOST_LOTS: usize = 6;

/// Something watery that a stock meets, taken as water altogether.
#[derive(Clone, Copy, Default)]
struct Lot {
    most_g: f64,
    least_g: f64,
    acid: f64,
    base: f64,
}

/// Everything watery beside this stock, each ingredient as its gravest meaning; the largest first. Without those whose amount
/// is not known.
fn lots(facts: &Facts, stock: &Present) -> Vec<Lot> {
    let mut lots: Vec<(usize, Lot)> = Vec::new();
    for w in facts.poured().filter(|w| w.ingredient != stock.ingredient && watery(w)) {
        let Some((most_g, least_g)) = w.stock.mass_g.zip(w.stock.mass_low_g) else { continue };
        // Soda fizzes instead of boiling.
        let base = if w.plays(H::Carbonate) { None } else { w.equivalents(BASE) };
        let one = Lot { most_g, least_g, acid: w.equivalents(ACID).unwrap_or(0.0), base: base.unwrap_or(0.0) };
        match lots.iter_mut().find(|(i, _)| *i == w.ingredient) {
            Some((_, lot)) => {
                *lot = Lot {
                    most_g: lot.most_g.max(one.most_g),
                    least_g: lot.least_g.min(one.least_g),
                    acid: lot.acid.max(one.acid),
                    base: lot.base.max(one.base),
                }
            }
            None => lots.push((w.ingredient, one)),
        }
    }
    lots.sort_by(|a, b| b.1.most_g.total_cmp(&a.1.most_g));
    lots.into_iter().map(|(_, lot)| lot).take(MOST_LOTS).collect()
}

/// The gravest that one of these stocks comes to with any of the watery liquids, alone or several of them together, so that
/// more water is no excuse, nor a solution that a stronger stock would not be. Thinning and neutralising count together: it is
/// the temperature that boils, whatever the water came in. Never below `least`.
fn stock_meets_water<'f>(
    facts: &'f Facts,
    stocks: impl Iterator<Item = &'f Present>,
    least: Option<Gravity>,
) -> Option<Found> {
    let mut worst: Option<Found> = None;
    let mut judge = |stock: &Present, rise: Option<f64>, litres: f64| {
        // A bath that is hot anyway is not made so by what hardly warms it.
        let warmer = rise.filter(|r| *r >= WARMS_K);
        let by_heat = warmer.map(|r| by_temperature(facts.temperature_c + r, litres));
        let by_heat = by_heat.filter(|g| *g > Gravity::Note);
        let Some(gravity) = by_heat.into_iter().chain(least).max() else { return };
        let turns = warmer.and_then(|r| keeps_heat_from_ml(facts, facts.temperature_c + r, litres));
        let found = Found::of(gravity).who(stock.name().to_string());
        let found = found.number("heat_rise_c", rise).number("dangerous_from_ml", turns);
        if worst.as_ref().is_none_or(|w| (found.gravity, &w.who) > (w.gravity, &found.who)) {
            worst = Some(found);
        }
    };
    for stock in stocks {
        if !facts.poured().any(|w| w.ingredient != stock.ingredient && watery(w)) {
            continue;
        }
        let lots = lots(facts, stock);
        if lots.is_empty() || stock.stock.mass_low_g.is_none() {
            judge(stock, None, 0.0);
        }
        let acid = stock.equivalents(ACID).unwrap_or(0.0);
        let base = if stock.plays(H::Carbonate) { 0.0 } else { stock.equivalents(BASE).unwrap_or(0.0) };
        for chosen in 1_u32..1 << lots.len() {
            let taken = lots.iter().enumerate().filter(|(i, _)| chosen >> i & 1 == 1).map(|(_, lot)| lot);
            let met = taken.fold(Lot::default(), |sum, lot| Lot {
                most_g: sum.most_g + lot.most_g,
                least_g: sum.least_g + lot.least_g,
                acid: sum.acid + lot.acid,
                base: sum.base + lot.base,
            });
            let Some(thinning) = warming_kj(stock, met.most_g) else { continue };
            let Some(own_g) = stock.stock.mass_low_g else { continue };
            let neutralising = acid.min(met.base).max(base.min(met.acid)) * NEUTRALISATION_KJ_MOL;
            judge(stock, Some(rise_k(thinning + neutralising, met.least_g + own_g)), met.most_g / 1000.0);
        }
    }
    worst
}

/// Lye and lime.
pub fn alkali_in_water(facts: &Facts) -> Option<Found> {
    let least = if facts.temperature_c >= 40.0 { Gravity::StrongCaution } else { Gravity::Caution };
    stock_meets_water(facts, facts.playing(DISSOLVING).filter(|p| p.stock.solid), Some(least))
}

/// Everything else that warms its water: salts without their water, strong acids. Nothing watery, no heat.
pub fn of_mixing(facts: &Facts) -> Option<Found> {
    let warms = |p: &&Present| !(p.is(DISSOLVING) && p.stock.solid) && p.stock.warming_kj.is_some_and(|kj| kj > 0.0);
    let each = stock_meets_water(facts, facts.poured().filter(warms), None);
    let all = mixing_rise_k(facts).filter(|r| facts.temperature_c + r >= 50.0 && *r >= WARMS_K).map(|rise| {
        let names = facts.poured().filter(warms).map(|p| p.name()).collect::<std::collections::BTreeSet<_>>();
        let names: Vec<&str> = names.into_iter().collect();
        Found::of(Gravity::StrongCaution).who(names.join(", ")).number("heat_rise_c", Some(rise))
    });
    // A salt by itself has nothing to dissolve in.
    let all = all.filter(|_| facts.poured().any(|p| warms(&p)) && facts.poured().any(watery));
    each.into_iter().chain(all).reduce(|a, b| if b.gravity > a.gravity { b } else { a })
}

/// Fumes in air, heats in water.
pub fn fuming_chloride(facts: &Facts) -> Option<Found> {
    let p = facts.playing(Roles::of(&[H::FumingChloride])).max_by(|a, b| a.percent().total_cmp(&b.percent()))?;
    let gravity = if p.percent() >= 50.0 { Gravity::StrongCaution } else { Gravity::Caution };
    Some(Found::of(gravity).who(p.name().to_string()))
}
