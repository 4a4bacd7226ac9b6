//! What heat does by itself: things that fall apart, and a closed vessel that is heated.

use super::kit::place;
use super::{Found, gravity};
use crate::reference::schema::{Heated, HeatedStep};
use crate::reference::{Cover, exposure_limits, incompatible};
use crate::safety::Gravity;
use crate::safety::exposure::limit_at_once;
use crate::safety::facts::{Facts, Metal, Present, apart};
use crate::safety::parts_played::Roles;
use crate::safety::vapour_pressure;

/// `heated` of `shared/incompatible.yaml`. Judged by the temperature said: a bath dries up on hot metal, so that water in it
/// does not keep it cool, and a weak solution leaves the same salt as a strong one.
pub fn falls_apart(facts: &Facts) -> Option<Found> {
    let mut worst: Option<(Gravity, String, &Heated, &Present)> = None;
    for p in facts.poured() {
        for heated in incompatible().heated.iter().filter(|h| h.of.contains(&p.substance.id)) {
            for step in &heated.steps {
                let Some(on) = holds(step, p, facts) else { continue };
                let here = gravity(step.gravity);
                let who = match on {
                    Some(metal) => format!("{} on {} ({})", full_name(p), metal.name, place(metal.place)),
                    None => full_name(p).to_string(),
                };
                // The gravest counts; among equals the first name, so that the order of pouring does not show.
                if worst.as_ref().is_none_or(|(g, w, ..)| here > *g || (here == *g && who < *w)) {
                    worst = Some((here, who, heated, p));
                }
            }
        }
    }
    let (gravity, who, heated, p) = worst?;
    let mut found = Found::of(gravity).who(who).number("temperature_c", Some(facts.temperature_c));
    found.products = Some(heated.products.iter().map(|name| name.to_string()).collect());
    let Some(gas) = &heated.gas else { return Some(found) };
    let limits = exposure_limits(&gas.id);
    found = found
        .number("limit_ppm", limit_at_once(&gas.id).map(|limit| limit.ppm))
        .number("idlh_ppm", limits.and_then(|gas| gas.idlh_ppm));
    Some(match p.stock.moles.filter(|mol| *mol > 0.0) {
        Some(mol) => found.volume(facts, mol * gas.per_mole),
        None => found,
    })
}

/// Its name with the valency that stands in brackets: what of it is in the heat, the salt and not the metal, matters here.
fn full_name(p: &Present) -> &str {
    let name = p.substance.name.as_ref();
    name.split(", ").next().and_then(|name| name.split(" (").next()).unwrap_or(name)
}

/// Whether a step is reached, and on which metal where it takes one: the first by name.
fn holds<'f>(step: &HeatedStep, p: &Present, facts: &'f Facts) -> Option<Option<&'f Metal>> {
    let reached = facts.temperature_c >= step.from_c
        && p.percent() >= step.from_percent
        && (!step.closed || facts.closed())
        && (step.with.is_empty() || facts.present.iter().any(|q| q.is(Roles::of(&step.with)) && apart(p, q)));
    if !reached || step.on.is_empty() {
        return reached.then_some(None);
    }
    let metals = facts.metals.iter().filter(|m| step.on.contains(&m.family) && m.ingredient != Some(p.ingredient));
    metals.min_by(|m, n| (m.place, &m.name).cmp(&(n.place, &n.name))).map(Some)
}

/// From here a closed vessel that is heated is told of, °C: the air and steam in it reach about a third more than outside
/// (computed: air from 20 to 60 °C, and 19.9 kPa of water; CRC Handbook, recalled).
const HEATED_C: f64 = 60.0;
/// Water boils, °C: from here a closed vessel is one under pressure whatever is in it.
const BOILS_C: f64 = 100.0;
/// A liquid warmer than a room whose own vapour reaches half an atmosphere, Pa.
const HALF_ATMOSPHERE_PA: f64 = 50_662.5;
const ATMOSPHERE_PA: f64 = 101_325.0;
/// Warmer than a room in summer, °C (our choice).
const WARMED_C: f64 = 30.0;

/// A stop where something in it boils, whatever else is with it.
pub fn heated_closed(facts: &Facts) -> Option<Found> {
    if facts.conditions.cover != Some(Cover::Sealed) {
        return None;
    }
    facts.poured().next()?;
    let t = facts.temperature_c;
    let vapour = |p: &Present| Some((vapour_pressure::over(p.substance, p.percent(), t)?.0, p.name()));
    let most = facts.poured().filter(|p| p.percent() <= 100.0).filter_map(vapour);
    let most = most.max_by(|(a, m), (b, n)| a.total_cmp(b).then_with(|| n.cmp(m)));
    let pressure = most.map_or(0.0, |(pa, _)| pa);
    let gravity = match t {
        _ if t < WARMED_C => return None,
        _ if t >= BOILS_C || pressure >= ATMOSPHERE_PA * 0.999 => Gravity::Stop,
        _ if t >= HEATED_C || pressure >= HALF_ATMOSPHERE_PA => Gravity::StrongCaution,
        _ => return None,
    };
    let mut found = Found::of(gravity).number("temperature_c", Some(t));
    if let Some((_, name)) = most.filter(|_| pressure >= HALF_ATMOSPHERE_PA) {
        found = found.who(name);
    }
    Some(found)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reference::substance;

    #[test]
    fn every_row_names_substances_sources_and_a_gas_that_exist() {
        let table = incompatible();
        for row in &table.heated {
            for id in &row.of {
                assert!(substance(id).is_some(), "{id}");
            }
            for key in &row.sources {
                assert!(table.sources.contains_key(key), "{key}");
            }
            assert!(!row.steps.is_empty() && !row.products.is_empty() && !row.sources.is_empty(), "{:?}", row.of);
            if let Some(gas) = &row.gas {
                assert!(exposure_limits(&gas.id).is_some(), "{}", gas.id);
            }
        }
    }
}
