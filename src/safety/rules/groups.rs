//! The published group charts, for pairs that no other rule judges in particular.
//!
//! EPA-600/2-80-076 and 40 CFR 264 Appendix V ignore strength and amount: 5 % vinegar and glacial acid share a group. So
//! between weak stocks a hit is a caution that says so, and only between two strong ones a stop.

use super::kit::is_strong;
use super::{Found, gravity};
use crate::reference::{Substance, incompatible, reactivity_groups};
use crate::reference::schema::{EpaCell, HazardRole as H};
use crate::safety::Gravity;
use crate::safety::facts::{Facts, Present, apart, still_counts};
use crate::safety::parts_played::Roles;
use once_cell::sync::Lazy;

/// Two group numbers, the lower one first.
type Pair = (u16, u16);

/// The groups of a substance, with the strength from which it counts as strong there, per cent: those that name it, or
/// those of its entry.
fn groups_of(substance: &Substance) -> Vec<(u16, f64)> {
    let named = reactivity_groups(&substance.id);
    match named.is_empty() {
        true => substance.epa_groups.iter().map(|n| (u16::from(*n), 50.0)).collect(),
        false => named.to_vec(),
    }
}

/// Water is in every bath: its hazards have rules of their own. Groups 23 and 24 (metals, metal compounds) likewise.
const SKIPPED: [u16; 3] = [106, 23, 24];

/// Role pairs that rules written in code judge.
const JUDGED_IN_CODE: &[[Roles; 2]] = &[
    [Roles::of(&[H::Peroxide]), Roles::of(&[H::Acetic, H::MetalIons, H::IronMetal, H::CopperMetal, H::SilverMetal])],
    [Roles::of(&[H::MineralAcid, H::OrganicAcid]), Roles::of(&[H::Alkali, H::Ammonia, H::Carbonate])],
    [Roles::of(&[H::MineralAcid, H::OrganicAcid, H::AcidicSalt]), Roles::of(&[H::ZincMetal, H::AluminiumMetal, H::MagnesiumMetal, H::IronMetal])],
    [Roles::of(&[H::Alkali]), Roles::of(&[H::ZincMetal, H::AluminiumMetal])],
    [Roles::of(&[H::CopperSalt, H::IronSalt]), Roles::of(&[H::ZincMetal, H::AluminiumMetal, H::MagnesiumMetal])],
    [Roles::of(&[H::Nitric]), Roles::of(&[H::CopperMetal, H::IronMetal, H::SilverMetal, H::ZincMetal])],
    [Roles::of(&[H::ChlorinatedSolvent]), Roles::of(&[H::ZincMetal, H::AluminiumMetal, H::MagnesiumMetal])],
    [Roles::of(&[H::Hypochlorite]), Roles::of(&[H::ZincMetal, H::AluminiumMetal, H::IronMetal, H::CopperMetal])],
];

/// The gravest pair of groups.
pub fn groups(facts: &Facts) -> Option<Found> {
    let mut worst: Option<(Gravity, String, Option<Pair>)> = None;
    let charted: Vec<Charted<'_>> = facts.present.iter().map(Charted::of).collect();
    for (i, one) in charted.iter().enumerate() {
        for other in charted.iter().skip(i + 1) {
            let (p, q) = (one.present, other.present);
            if !apart(p, q) {
                continue;
            }
            let chart = by_chart(one, other);
            let pair = chart.map(|(_, pair)| pair);
            let hit = chart.map(|(hit, _)| hit).into_iter().chain(by_appendix(one, other)).max();
            let Some(hit) = hit.filter(|_| !judged_in_particular(p, q)) else { continue };
            let here = hit.min(left(p)).min(left(q));
            let mut names = [p.name(), q.name()];
            names.sort_unstable();
            let who = names.join(" with ");
            if worst.as_ref().is_none_or(|(g, w, _)| here > *g || (here == *g && who < *w)) {
                worst = Some((here, who, pair));
            }
        }
    }
    worst.map(|(gravity, who, pair)| {
        let found = Found::of(gravity).who(who);
        let group = |n: Option<u16>| n.map(f64::from);
        found.number("epa_group", group(pair.map(|p| p.0))).number("with_epa_group", group(pair.map(|p| p.1)))
    })
}

/// As for other residues; a film that has dried is for the rules that name it.
fn left(p: &Present) -> Gravity {
    match p.before {
        Some(before) if before.dried => Gravity::Note,
        _ => still_counts(p, false, false),
    }
}

/// The sides of each pair that a rule of the table judges, and what takes an ingredient out of the second again.
static JUDGED_BY_DATA: Lazy<Vec<[Roles; 3]>> = Lazy::new(|| {
    let pairs = incompatible().rules.iter().filter_map(|card| card.meeting.as_ref()).filter(|m| m.c.is_empty());
    pairs.map(|m| [Roles::of(&m.a), Roles::of(&m.b), Roles::of(&m.b_not)]).collect()
});

fn judged_in_particular(p: &Present, q: &Present) -> bool {
    let either = |a: Roles, b: Roles| (p.is(a) && q.is(b)) || (q.is(a) && p.is(b));
    JUDGED_BY_DATA.iter().any(|[a, b, not]| either(*a, *b) && !(p.is(*not) || q.is(*not)))
        || JUDGED_IN_CODE.iter().any(|[a, b]| either(*a, *b))
}

/// Something as the charts see it.
struct Charted<'a> {
    present: &'a Present,
    /// Its groups, each with the strength from which it counts as strong there.
    groups: Vec<(u16, f64)>,
    percent: f64,
    strong: bool,
}

impl Charted<'_> {
    fn of(present: &Present) -> Charted<'_> {
        let groups = groups_of(present.substance);
        Charted { present, groups, percent: present.percent(), strong: is_strong(present) }
    }
}

/// How grave the gravest cell is, and its two groups, the lower number first.
fn by_chart(p: &Charted<'_>, q: &Charted<'_>) -> Option<(Gravity, Pair)> {
    let cells = &incompatible().epa.cells;
    let mut worst = None;
    for (m, p_strong) in p.groups.iter().filter(|(m, _)| !SKIPPED.contains(m)) {
        for (n, q_strong) in q.groups.iter().filter(|(n, _)| !SKIPPED.contains(n)) {
            // The chart has each pair once, the higher number first. Group 107 is to be kept from everything but has none.
            let (low, high) = (*m.min(n), *m.max(n));
            let Ok(at) = cells.binary_search_by_key(&(high, low), |cell| (cell.a, cell.b)) else { continue };
            let strong = p.percent >= *p_strong && q.percent >= *q_strong;
            worst = worst.max(Some((by_cell(&cells[at], strong), (low, high))));
        }
    }
    worst
}

fn by_cell(cell: &EpaCell, strong: bool) -> Gravity {
    let has = |codes: &[&str]| cell.codes.iter().any(|c| codes.contains(&c.as_ref()));
    let violent = has(&["E", "F", "GT", "GF"]);
    match (violent, strong, cell.confidence == "low") {
        (true, true, false) => Gravity::Stop,
        (false, true, _) | (true, true, true) => Gravity::Caution,
        (true, false, _) => Gravity::Caution,
        (false, false, _) => Gravity::Note,
    }
}

/// Appendix V speaks of concentrated wastes: only strong stocks count.
fn by_appendix(one: &Charted<'_>, other: &Charted<'_>) -> Option<Gravity> {
    let (p, q) = (one.present, other.present);
    let meet = |a: Roles, b: Roles| (p.is(a) && q.is(b)) || (q.is(a) && p.is(b));
    let mut groups = incompatible().appendix_v.iter();
    let hit = (one.strong || other.strong) && groups.any(|group| meet(Roles::of(&group.a), Roles::of(&group.b)));
    hit.then(|| gravity(crate::reference::schema::Grade::StrongCaution))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_chart_is_sorted_and_has_each_pair_once() {
        let cells = &incompatible().epa.cells;
        assert!(cells.windows(2).all(|two| (two[0].a, two[0].b) < (two[1].a, two[1].b)));
        assert!(cells.iter().all(|cell| cell.a >= cell.b));
    }
}
