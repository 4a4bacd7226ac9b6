//! One review of everything that will be in the vessel.

use super::advice;
use super::classify::classify;
use super::facts::{Facts, facts};
use super::label::label;
use super::protection::{Exposed, disposal, equipment, first_response, storage};
use super::rules::{Found, Made, Rule, all};
use super::unsaid;
use super::{Conditions, Exposure, Gravity, Hazard, Review, Verdict};
use crate::amount::{in_celsius, in_cubic_metres};
use crate::diag::one_of;
use crate::reference::{Cover, Ingredient, Role, Source, incompatible, poison, suspects};

/// Checks a mixture under these conditions.
pub fn check(ingredients: &[Ingredient], conditions: &Conditions) -> Review {
    check_with(all(), ingredients, conditions)
}

/// Checks with these rules; their order means nothing (a test shuffles them).
pub fn check_with(rules: &[Rule], ingredients: &[Ingredient], conditions: &Conditions) -> Review {
    withheld(judge(rules, ingredients, conditions))
}

/// The review of a mixture that is refused; `None` for any other, which is then not reviewed to the end.
pub fn refusal(ingredients: &[Ingredient], conditions: &Conditions) -> Option<Review> {
    refuses(ingredients, conditions).then(|| check(ingredients, conditions))
}

/// Whether a mixture is refused: the verdict of its review, where nothing else of it is asked for.
pub fn refuses(ingredients: &[Ingredient], conditions: &Conditions) -> bool {
    let stops = |ingredients: &[Ingredient]| {
        let facts = facts(ingredients, conditions);
        all().iter().any(|rule| rule.check(&facts).is_some_and(|found| found.gravity == Gravity::Stop))
    };
    stops(ingredients) || of_known_amount(ingredients).is_some_and(|known| stops(&known))
}

/// Everything that was found, before a refusal withholds what it may not show.
pub(super) fn judge(rules: &[Rule], ingredients: &[Ingredient], conditions: &Conditions) -> Review {
    let facts = facts(ingredients, conditions);
    let (mut hazards, gases) = find(rules, &facts);
    if let Some(known) = of_known_amount(ingredients) {
        raise(&mut hazards, findings(rules, &known, conditions));
    }
    let ph = advice::extreme_ph(&facts);
    let classes = classify(&facts.components, &facts.unlisted, ph);
    let unrecognised = unrecognised(ingredients, conditions);
    let exposure = advice::exposures(&facts, &gases);
    let mut not_judged = not_judged(&facts, ingredients, &exposure);
    not_judged.extend(unsaid::materials(rules, &facts, &hazards));
    // No amount makes good what is refused.
    if hazards.first().is_none_or(|h| h.gravity < Gravity::Stop) {
        not_judged.extend(amounts_missing(ingredients));
    }
    let open = !unrecognised.is_empty() || !not_judged.is_empty();
    let exposed = Exposed {
        found: &classes,
        components: &facts.components,
        unknown: !facts.unknown.is_empty(),
        flies: advice::flies(&facts),
    };
    Review {
        verdict: verdict(&hazards, open),
        hazards,
        label: label(&classes),
        exposure,
        ppe: equipment(exposed),
        first_response: first_response(exposed),
        storage: storage(&classes, &facts.components),
        disposal: disposal(&classes, &facts.components, &advice::dissolved(&facts), ph),
        unrecognised,
        not_judged,
        assumed: assumed(conditions, &facts),
    }
}

/// The findings alone, gravest first: what the verdict rests on, without label, figures of exposure and advice.
pub fn findings(rules: &[Rule], ingredients: &[Ingredient], conditions: &Conditions) -> Vec<Hazard> {
    find(rules, &facts(ingredients, conditions)).0
}

fn find(rules: &[Rule], facts: &Facts) -> (Vec<Hazard>, Vec<Made>) {
    let mut gases: Vec<Made> = Vec::new();
    let mut hazards: Vec<Hazard> = Vec::new();
    for rule in rules {
        if let Some(found) = rule.find(facts) {
            gases.extend(found.gases.iter().cloned());
            hazards.push(hazard(rule, found));
        }
    }
    gravest_first(&mut hazards);
    (hazards, gases)
}

/// What is left without the lines that have no amount, if there are such lines: many figures cannot be worked out with
/// them, and the steps that rest on figures would fall away.
fn of_known_amount(ingredients: &[Ingredient]) -> Option<Vec<Ingredient>> {
    let known = |i: &&Ingredient| i.line.amount.is_some() || is_water(i);
    let left: Vec<Ingredient> = ingredients.iter().filter(known).cloned().collect();
    (!left.is_empty() && left.len() < ingredients.len()).then_some(left)
}

/// No finding is milder than that of the known amounts alone: more of anything only makes it graver.
fn raise(hazards: &mut Vec<Hazard>, of_known: Vec<Hazard>) {
    for mut known in of_known {
        match hazards.iter_mut().find(|h| h.id == known.id) {
            Some(h) => h.gravity = h.gravity.max(known.gravity),
            None => {
                known.why.push_str(" What has no amount is not counted in here: it may be more.");
                hazards.push(known);
            }
        }
    }
    gravest_first(hazards);
}

fn gravest_first(hazards: &mut [Hazard]) {
    hazards.sort_by(|a, b| b.gravity.cmp(&a.gravity).then_with(|| a.id.cmp(&b.id)));
}

fn verdict(hazards: &[Hazard], open: bool) -> Verdict {
    match hazards.first().map(|h| h.gravity) {
        Some(Gravity::Stop) => Verdict::Refuse,
        Some(Gravity::StrongCaution | Gravity::Caution) => Verdict::Warn,
        _ if open => Verdict::Unknown,
        _ => Verdict::Fine,
    }
}

fn hazard(rule: &Rule, found: Found) -> Hazard {
    let card = rule.card;
    let table = incompatible();
    let of_metal = found.metal.and_then(|metal| card.by_metal.get(&metal));
    let title = of_metal.map_or(&card.title, |text| &text.title);
    let why = of_metal.map_or(&card.why, |text| &text.why).trim();
    let why = match &found.who {
        Some(who) => format!("{why} ({who})"),
        None => why.to_string(),
    };
    let products = of_metal.map_or(&card.products, |text| &text.products);
    let products = found.products.unwrap_or_else(|| products.iter().map(|p| p.to_string()).collect());
    let sources: Vec<Source> = of_metal
        .map_or(&card.sources, |text| &text.sources)
        .iter()
        .filter_map(|key| table.sources.get(key).cloned())
        .collect();
    Hazard {
        id: card.id.to_string(),
        title: title.to_string(),
        gravity: found.gravity,
        products,
        why,
        actions: found.first.into_iter().chain(super::rules::advice(card)).collect(),
        numbers: found.numbers,
        sources,
    }
}

/// The figures of a finding that a refusal shows: what would be in the air and how hot it would get; how long to rinse; and
/// counts (of names, of rinses, of hazard classes) that tell nothing of an amount.
pub(super) const SHOWN: [&str; 12] = [
    "gas_ml",
    "gas_each_gram_ml",
    "worst_case_ppm",
    "heat_rise_c",
    "temperature_c",
    "rinse_at_least_min",
    "rinses",
    "hazard_classes",
    "names_not_known",
    "strengths_not_known",
    "epa_group",
    "with_epa_group",
];

/// Those of them that follow from the amounts: with a primary explosive among what is refused, two of them would be a
/// proportion, so none is shown, whichever finding it belongs to.
const OF_AMOUNTS: [&str; 3] = ["gas_ml", "worst_case_ppm", "heat_rise_c"];

/// A refusal has no label and nothing to store, and keeps gas and temperature figures only: no threshold, no ratio, and
/// no pressure, from which the amount poured could be worked out. With a primary explosive among its reasons it keeps none of
/// those either.
///
/// Where the amounts are not known and so nothing can be worked out, what is published of the gas stays: nothing passed it
/// here, and it tells how little is deadly.
///
/// The one place where this is done, and the last step of every review: renderers show what is here.
pub(crate) fn withheld(mut review: Review) -> Review {
    let refused = review.verdict == Verdict::Refuse;
    let explosive = review.hazards.iter().any(|h| {
        h.gravity == Gravity::Stop && super::rules::find(&h.id).is_some_and(|rule| super::rules::explosive(rule.card))
    });
    for hazard in &mut review.hazards {
        let known = |key: &str| SHOWN.contains(&key) && !(explosive && OF_AMOUNTS.contains(&key));
        let worked_out = hazard.numbers.iter().any(|(key, _)| known(key));
        let published = |key: &str| !worked_out && !explosive && key == "idlh_ppm";
        if refused {
            hazard.numbers.retain(|(key, _)| known(key) || published(key) || *key == JUDGED_AT);
            hide_ways(hazard);
        }
        // The temperature it was judged at stands where there is nothing else to say.
        if hazard.numbers.len() > 1 {
            hazard.numbers.retain(|(key, _)| *key != JUDGED_AT);
        }
    }
    if !refused {
        return review;
    }
    review.label = None;
    review.storage.clear();
    review.exposure.iter_mut().for_each(no_way_round);
    if explosive {
        for row in &mut review.exposure {
            row.worst_case_ppm = None;
            row.limit = NO_FIGURE_SHOWN.to_string();
        }
    }
    review
}

/// A refusal does not say how to make up what it refuses.
fn hide_ways(hazard: &mut Hazard) {
    let ways = super::rules::find(&hazard.id).map_or(&[][..], |rule| &rule.card.ways);
    hazard.actions.retain(|action| !ways.iter().any(|way| way == action));
    if hazard.actions.is_empty() {
        hazard.actions.push("Do not make it.".to_string());
    }
}

/// No air makes a refused mixture one to prepare, so none is called enough.
///
/// Nor the limit beside the figure: the two of them together are how much less would pass.
fn no_way_round(row: &mut Exposure) {
    row.airflow_m3_h = None;
    row.limit_ppm = None;
    row.limit = NO_LIMIT_SHOWN.to_string();
    row.advice = "Refused, whatever the air.".to_string();
}

/// What stands in place of a limit in a refusal.
pub(crate) const NO_LIMIT_SHOWN: &str = "not shown with a refusal";

/// What stands in place of a limit where no figure of the air is shown either.
pub(crate) const NO_FIGURE_SHOWN: &str = "no figure is shown with this refusal";

/// The figure of a finding that has no other: the temperature it was judged at.
pub(super) const JUDGED_AT: &str = "judged_at_c";

/// How many of the things that an unknown name could be are named.
const MOST_SUSPECTS: usize = 3;

fn unrecognised(ingredients: &[Ingredient], conditions: &Conditions) -> Vec<String> {
    let mut asked: Vec<String> = ingredients
        .iter()
        .chain(conditions.after.iter().map(|past| &past.ingredient))
        .filter(|i| i.meanings.is_empty())
        .map(|i| {
            let question = i.question.clone();
            let question =
                question.unwrap_or_else(|| format!("\"{}\" is not known: what does its label list?", i.line.name));
            // Of a poison nothing milder is named.
            if poison(&i.line.name).is_some() {
                return question;
            }
            let suspects = suspects(&i.line.name);
            let names: Vec<&str> =
                suspects.iter().flatten().take(MOST_SUSPECTS).map(|m| m.substance.name.as_ref()).collect();
            match names.as_slice() {
                [] => question,
                names => format!("{question} Until then it is judged as if it were or held {}", one_of(names)),
            }
        })
        .collect();
    asked.dedup();
    asked
}

/// Open questions, amounts that a figure would have needed, and vapours that cannot be worked out.
fn not_judged(facts: &Facts, ingredients: &[Ingredient], exposure: &[Exposure]) -> Vec<String> {
    let recognised = ingredients.iter().filter(|i| !i.meanings.is_empty());
    let mut open: Vec<String> = recognised.clone().filter_map(|i| i.question.clone()).collect();
    for i in recognised.filter(|i| i.strength_missing && i.question.is_none()) {
        open.push(format!("how strong is \"{}\"? Write the per cent on its label", i.line.name));
    }
    if facts.poured_ml.is_none() && super::rules::amounts_matter(facts) {
        open.push("amounts are not all known, so gas, heat and what they reach in the room are not judged".to_string());
    }
    if !facts.conditions.room.outdoors {
        let unknown = exposure.iter().filter(|e| e.worst_case_ppm.is_none());
        open.extend(unknown.map(|e| format!("what {} would reach in the air of the room", e.gas)));
    }
    if ingredients.is_empty() {
        open.push("nothing was named".to_string());
    }
    open.dedup();
    open
}

/// The question after each amount that was not said, but for water, of which more or less changes no hazard; what has another
/// question open is asked that first.
fn amounts_missing(ingredients: &[Ingredient]) -> impl Iterator<Item = String> {
    let known = ingredients.iter().filter(|i| !i.meanings.is_empty() && i.question.is_none());
    let missing = known.filter(move |i| i.line.amount.is_none() && !is_water(i));
    missing.map(|i| format!("how much is \"{}\"? Write it in g or mL", i.line.name))
}

fn is_water(i: &Ingredient) -> bool {
    !i.meanings.is_empty() && i.meanings.iter().all(|m| m.substance.is(Role::Water))
}

/// What was assumed. Naming a condition equal to the assumed one changes nothing here.
fn assumed(conditions: &Conditions, facts: &Facts) -> Vec<(String, String)> {
    let mut assumed = Vec::new();
    let temperature = conditions.temperature.or(conditions.recipe_temperature).map(in_celsius);
    if temperature.is_none_or(|c| (c - super::facts::ASSUMED_C).abs() < 0.01) {
        assumed.push(("temperature".to_string(), "20 °C".to_string()));
    }
    if super::facts::put_away(conditions) && conditions.cover.is_none() {
        assumed.push(("cover".to_string(), "capped while it is kept".to_string()));
    } else if conditions.cover.is_none_or(|c| c == Cover::Open) {
        assumed.push(("cover".to_string(), "open".to_string()));
    }
    let room = &conditions.room;
    let usual = !room.outdoors
        && (in_cubic_metres(room.volume) - 20.0).abs() < 1e-9
        && (room.air_changes_per_h - 0.5).abs() < 1e-9;
    if room.assumed || usual {
        assumed.push(("room".to_string(), "indoors, 20 m³, 0.5 air changes an hour".to_string()));
    }
    if conditions.surface.is_none_or(advice::is_assumed_surface) && advice::gives_vapour(facts) {
        assumed.push(("surface".to_string(), "100 mm across".to_string()));
    }
    if conditions.after.is_empty() {
        assumed.push(("vessel".to_string(), "clean".to_string()));
    }
    assumed
}
