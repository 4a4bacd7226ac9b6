//! Plain pairs and triples, as `shared/incompatible.yaml` states them.

use super::kit::{scarcer, with};
use super::{Found, gravity};
use crate::amount::moles;
use crate::reference::exposure_limits;
use crate::reference::schema::{Meeting, Tier};
use crate::safety::Gravity;
use crate::safety::around::{is_little, rung};
use crate::safety::exposure::{at_once_ppm, limit_at_once};
use crate::safety::facts::{Facts, Present, apart, lowered, still_counts};
use crate::safety::parts_played::Roles;

/// A meeting of the table, its sides as sets of roles.
#[derive(Clone, Copy)]
pub struct Sides {
    meeting: &'static Meeting,
    a: Roles,
    b: Roles,
    c: Roles,
    not: Roles,
}

impl Sides {
    pub fn of(meeting: &'static Meeting) -> Sides {
        let Meeting { a, b, c, b_not, .. } = meeting;
        Sides { meeting, a: Roles::of(a), b: Roles::of(b), c: Roles::of(c), not: Roles::of(b_not) }
    }
}

/// The gravest meeting of these roles.
pub fn check(sides: &Sides, facts: &Facts) -> Option<Found> {
    let Sides { meeting, a, b, c, not } = *sides;
    let counts = |p: &Present| still_counts(p, meeting.clings, meeting.evaporates);
    let mut worst: Option<(Gravity, String)> = None;
    let mut poured = false;
    for (p, q) in facts.meetings(a, b).filter(|(_, q)| !q.is(not)) {
        let third = match meeting.c.is_empty() {
            true => Some(Gravity::Stop),
            false => third(facts, c, p, q).map(counts).max(),
        };
        let Some(third) = third else { continue };
        poured |= p.before.is_none() && q.before.is_none();
        let little = |bath: &Present| is_little(salts_g(facts, a, bath));
        let rungs = meeting.tiers.iter().filter(|t| holds(t, p, q, facts));
        let reached = rungs.filter_map(|t| rung(t, gravity(t.gravity), p, q, little)).max();
        let Some(reached) = reached else { continue };
        let left = |p: &Present| lowered(reached, p, meeting.clings, meeting.evaporates);
        let here = left(p).min(left(q)).min(third);
        let who = with(p, q);
        // The gravest counts; among equals the first name, so that the order of pouring does not show.
        if worst.as_ref().is_none_or(|(g, w)| here > *g || (here == *g && who < *w)) {
            worst = Some((here, who));
        }
    }
    let (mut worst, who) = worst?;
    let mut found = Found::of(worst).who(who);
    if let Some(yields) = meeting.gas.as_ref().filter(|_| poured) {
        let from_a = facts.equivalents(a).map(|n| n * yields.per_a);
        let from_b = yields.per_b.and_then(|per| Some(facts.equivalents(b)? * per));
        let moles = scarcer(from_a, from_b);
        if yields.judged_by_room
            && let Some(by_room) = moles.and_then(|m| by_room(facts, &yields.id, m))
        {
            worst = worst.max(by_room);
        }
        found.gravity = worst;
        found = found.gas(facts, &yields.id, moles);
    }
    Some(found)
}

/// Grams in all of the solids that play the same side as this one.
fn salts_g(facts: &Facts, side: Roles, one: &Present) -> Option<f64> {
    let side = if one.is(side) { side } else { one.played.roles };
    let mut each: Vec<(usize, f64)> = Vec::new();
    for p in facts.playing(side).filter(|p| p.stock.solid) {
        let grams = p.stock.mass_g?;
        match each.iter_mut().find(|(i, _)| *i == p.ingredient) {
            Some((_, most)) => *most = most.max(grams),
            None => each.push((p.ingredient, grams)),
        }
    }
    Some(each.iter().map(|(_, g)| g).sum())
}

fn third<'f>(facts: &'f Facts, c: Roles, p: &'f Present, q: &'f Present) -> impl Iterator<Item = &'f Present> {
    facts.present.iter().chain(&facts.around).filter(move |r| r.is(c) && apart(r, p) && apart(r, q))
}

fn holds(tier: &Tier, a: &Present, b: &Present, facts: &Facts) -> bool {
    let is = |roles: &[_], p: &Present| roles.is_empty() || p.is(Roles::of(roles));
    a.percent() >= tier.a_from
        && b.percent() >= tier.b_from
        && (!tier.a_solid || a.stock.solid)
        && (!tier.b_solid || b.stock.solid)
        && (!tier.b_liquid || b.stock.wet)
        && is(&tier.a_is, a)
        && is(&tier.b_is, b)
        && (!tier.closed || facts.closed())
        && tier.above_c.is_none_or(|c| facts.temperature_c >= c)
}

/// All of it at once in the room: over the limit a strong caution, over the IDLH a stop (rule g14 of the reference data).
fn by_room(facts: &Facts, id: &str, mol: f64) -> Option<Gravity> {
    let ppm = at_once_ppm(moles(mol), &facts.conditions.room, facts.temperature())?;
    let over = |bar: Option<f64>| bar.is_some_and(|bar| ppm >= bar);
    if over(exposure_limits(id).and_then(|gas| gas.idlh_ppm)) {
        Some(Gravity::Stop)
    } else {
        over(limit_at_once(id).map(|limit| limit.ppm)).then_some(Gravity::StrongCaution)
    }
}
