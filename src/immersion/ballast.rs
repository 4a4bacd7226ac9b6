//! Ballast: how much holds each part under, and which things on the shelf make it up.

use super::buoyancy::{displaced, hold_g, in_grams_force, on_part};
use super::place::Seat;
use super::{Ballast, Question};
use crate::amount::{
    figure, grams, in_cubic_millimetres, in_grams, in_kg_per_m3, in_millimetres, in_square_millimetres,
};
use crate::diag::Problem;
use crate::reference::{Material, material};
use std::f64::consts::PI;

/// More things than this on one part are no help to anybody (our choice).
const MOST_THINGS: u32 = 1000;

/// One kind of thing holding more than this many times what is needed is passed over for a lighter one (our choice).
const NOT_HEAVIER_THAN: f64 = 3.0;

/// Materials offered when nothing on the shelf is named, in order: what the baths leave alone comes first.
const OFFERED: [&str; 6] = ["soda_lime_glass", "porcelain", "glazed_stoneware", "granite", "quartz", "stainless_steel"];

/// What the search found.
#[derive(Default)]
pub(super) struct Found {
    pub ballast: Vec<Ballast>,
    pub refused: Vec<(String, String)>,
    /// Least margin over all parts, per cent.
    pub margin_percent: Option<f64>,
    /// For each entry of `ballast`, which part it holds.
    pub on: Vec<usize>,
}

/// A kind of thing that may be used.
struct Kind<'a> {
    name: &'a str,
    material: &'static Material,
    mass: f64,
    /// Grams of weight one holds under the densest bath, with the lightest the material can be.
    holds: f64,
    left: u32,
}

/// Finds ballast for every part that can float, for each of its pieces on its own.
pub(super) fn find(
    question: &Question<'_>,
    seats: &[Seat],
    problems: &mut Vec<Problem>,
    warnings: &mut Vec<String>,
) -> Found {
    let mut found = Found::default();
    let bath = in_kg_per_m3(question.density.high);
    let lifted: Vec<(usize, f64)> = question
        .parts
        .iter()
        .zip(seats)
        .enumerate()
        .map(|(i, (p, seat))| (i, in_grams_force(on_part(p, seat.up, question.density).high)))
        .filter(|(_, g)| *g > 0.0)
        .collect();
    if lifted.is_empty() {
        return found;
    }
    let mut kinds = usable(question, bath, &mut found.refused);
    if kinds.is_empty() {
        if !question.ballast.is_empty() {
            warnings.push("Nothing on the shelf may be used as ballast here: see the reasons.".to_string());
        }
        by_mass(question, &lifted, bath, &mut found, problems, warnings);
        return found;
    }
    for (i, net) in lifted {
        let part = &question.parts[i];
        let wanted = net * (1.0 + question.margin_percent / 100.0);
        let mut taken: Vec<Vec<(usize, u32)>> = Vec::new();
        for done in 0..part.count {
            let Some(things) = choose(wanted, &kinds) else {
                problems.push(short_of(&part.name, part.count - done, wanted, &kinds, bath));
                break;
            };
            things.iter().for_each(|&(k, n)| kinds[k].left -= n.min(kinds[k].left));
            taken.push(things);
        }
        gather(question, i, net, &taken, &kinds, &mut found);
    }
    advise(question, &found, warnings);
    found
}

/// The things that may be used, with what one holds; the others with their reason.
fn usable<'a>(question: &Question<'a>, bath: f64, refused: &mut Vec<(String, String)>) -> Vec<Kind<'a>> {
    let shape = &question.vessel.shape;
    let mut kinds = Vec::new();
    for thing in question.ballast {
        let [_, lightest, _] = thing.material.density_kg_m3;
        let mass = in_grams(thing.mass);
        let holds = hold_g(mass, lightest, bath);
        let wide = 2.0 * (in_square_millimetres(shape.surface_at(shape.height())) / PI).sqrt();
        let across = across_mm(in_cubic_millimetres(displaced(mass, thing.material.density_kg_m3[0])));
        let reason = if let Some(why) = (question.forbids)(thing.material) {
            Some(why)
        } else if !(mass.is_finite() && mass > 0.0) {
            Some(format!("its mass of {} g is no mass", figure(mass)))
        } else if holds <= 0.0 {
            Some(format!(
                "{} can be as light as {} kg/m3 and floats in this bath",
                thing.material.name,
                figure(lightest)
            ))
        } else if across > wide {
            Some(format!("it is about {} mm across, the vessel {} mm", figure(across), figure(wide)))
        } else {
            None
        };
        match reason {
            Some(why) => refused.push((thing.name.clone(), why)),
            None => kinds.push(Kind {
                name: &thing.name,
                material: thing.material,
                mass,
                holds,
                left: thing.count.unwrap_or(u32::MAX),
            }),
        }
    }
    kinds
}

/// Things that together hold at least `wanted` grams: one kind if one is enough, fewest pieces, then least excess, then
/// the order of preference; otherwise the heaviest first, with the last ones as light as will do.
fn choose(wanted: f64, kinds: &[Kind<'_>]) -> Option<Vec<(usize, u32)>> {
    let alone = kinds.iter().enumerate().filter_map(|(i, k)| {
        let n = (wanted / k.holds * (1.0 - 1e-12)).ceil().max(1.0);
        (n <= f64::from(k.left.min(MOST_THINGS))).then_some((i, n as u32, n * k.holds))
    });
    let alone: Vec<_> = alone.collect();
    let modest = |(_, _, holds): &&(usize, u32, f64)| *holds <= NOT_HEAVIER_THAN * wanted;
    let best = alone
        .iter()
        .filter(modest)
        .min_by(|a, b| a.1.cmp(&b.1).then(a.2.total_cmp(&b.2)))
        .or_else(|| alone.iter().min_by(|a, b| a.2.total_cmp(&b.2)));
    if let Some(&(i, n, _)) = best {
        return Some(vec![(i, n)]);
    }
    mixed(wanted, kinds)
}

fn mixed(wanted: f64, kinds: &[Kind<'_>]) -> Option<Vec<(usize, u32)>> {
    let mut order: Vec<usize> = (0..kinds.len()).collect();
    order.sort_by(|&a, &b| kinds[b].holds.total_cmp(&kinds[a].holds).then(a.cmp(&b)));
    let mut taken = vec![0u32; kinds.len()];
    let mut missing = wanted;
    for &i in &order {
        let n = (missing / kinds[i].holds).ceil().min(f64::from(kinds[i].left.min(MOST_THINGS))).max(0.0);
        taken[i] = n as u32;
        missing -= n * kinds[i].holds;
        if missing <= 0.0 {
            break;
        }
    }
    if missing > 0.0 {
        return None;
    }
    // The last heavy things may be more than is needed: put a lighter one in the place of one heavy one where that holds.
    for &heavy in &order {
        if taken[heavy] == 0 {
            continue;
        }
        let spare = -missing;
        let lighter = order.iter().rev().copied().find(|&i| {
            kinds[i].holds < kinds[heavy].holds
                && taken[i] < kinds[i].left
                && kinds[heavy].holds - kinds[i].holds <= spare
        });
        if let Some(light) = lighter {
            taken[heavy] -= 1;
            taken[light] += 1;
            missing += kinds[heavy].holds - kinds[light].holds;
        }
    }
    Some(taken.into_iter().enumerate().filter(|(_, n)| *n > 0).collect())
}

/// Adds up what the pieces of one part got.
fn gather(
    question: &Question<'_>,
    part: usize,
    net: f64,
    taken: &[Vec<(usize, u32)>],
    kinds: &[Kind<'_>],
    found: &mut Found,
) {
    let holds = |things: &Vec<(usize, u32)>| things.iter().map(|&(k, n)| kinds[k].holds * f64::from(n)).sum::<f64>();
    let least = taken.iter().map(holds).fold(f64::INFINITY, f64::min);
    let margin = (least / net - 1.0) * 100.0;
    if taken.is_empty() {
        return;
    }
    found.margin_percent = Some(found.margin_percent.map_or(margin, |m: f64| m.min(margin)));
    for (k, kind) in kinds.iter().enumerate() {
        let of = |things: &Vec<(usize, u32)>| things.iter().filter(|t| t.0 == k).map(|t| t.1).sum::<u32>();
        let count: u32 = taken.iter().map(of).fold(0, u32::saturating_add);
        if count == 0 {
            continue;
        }
        let first = taken.first().map_or(0, of);
        let mass = kind.mass * f64::from(count);
        found.on.push(part);
        found.ballast.push(Ballast {
            thing: kind.name.to_string(),
            material: kind.material,
            count: Some(count),
            mass: grams(mass),
            displaced: displaced(mass, kind.material.density_kg_m3[0]),
            holds: question.parts[part].name.clone(),
            each: taken.iter().all(|t| of(t) == first).then_some(first),
            margin_percent: margin,
        });
    }
}

fn short_of(part: &str, pieces: u32, wanted: f64, kinds: &[Kind<'_>], bath: f64) -> Problem {
    let there: f64 = kinds.iter().map(|k| k.holds * f64::from(k.left)).sum();
    let missing = (wanted * f64::from(pieces) - there).max(0.0);
    let problem = Problem::error(format!(
        "the ballast on the shelf cannot hold `{part}` under: {} g of weight in the bath are wanted, {} g are left",
        figure(wanted * f64::from(pieces)),
        figure(there)
    ));
    match material(OFFERED[0]).filter(|m| m.density_kg_m3[1] > bath) {
        Some(glass) => problem.hint(format!(
            "add things that the bath leaves alone, such as another {} g of {}",
            (missing / (1.0 - bath / glass.density_kg_m3[1])).ceil().max(1.0),
            glass.name
        )),
        None => problem,
    }
}

/// No shelf: a mass of the first material that may be used, and as much of the others as a note.
fn by_mass(
    question: &Question<'_>,
    lifted: &[(usize, f64)],
    bath: f64,
    found: &mut Found,
    problems: &mut Vec<Problem>,
    warnings: &mut Vec<String>,
) {
    let offered: Vec<&'static Material> = OFFERED
        .iter()
        .filter_map(|id| material(id))
        .filter(|m| (question.forbids)(m).is_none() && m.density_kg_m3[1] > bath)
        .collect();
    let Some((first, others)) = offered.split_first() else {
        problems.push(
            Problem::error("a part floats, and no ballast material known to this program may lie in this bath")
                .hint("hold the part under with something the bath leaves alone, or choose another recipe"),
        );
        return;
    };
    for &(i, net) in lifted {
        let part = &question.parts[i];
        let wanted = net * (1.0 + question.margin_percent / 100.0);
        // Whole grams, upward.
        let needs = |m: &Material| (wanted / (1.0 - bath / m.density_kg_m3[1]) * (1.0 - 1e-12)).ceil().max(1.0);
        let mass = needs(first) * f64::from(part.count);
        let margin = (hold_g(needs(first), first.density_kg_m3[1], bath) / net - 1.0) * 100.0;
        found.margin_percent = Some(found.margin_percent.map_or(margin, |m: f64| m.min(margin)));
        found.on.push(i);
        found.ballast.push(Ballast {
            thing: first.name.to_string(),
            material: first,
            count: None,
            mass: grams(mass),
            displaced: displaced(mass, first.density_kg_m3[0]),
            holds: part.name.clone(),
            each: None,
            margin_percent: margin,
        });
        let each = if part.count > 1 { " for each" } else { "" };
        let same: Vec<String> = others.iter().map(|m| format!("{} g of {}", needs(m), m.name)).collect();
        let or = if same.is_empty() { String::new() } else { format!(", or {}", crate::diag::one_of(&same)) };
        warnings.push(format!("Ballast for `{}`{each}: {} g of {}{or}.", part.name, needs(first), first.name));
    }
    advise(question, found, warnings);
}

/// How ballast lies, and what stands out of the liquid.
fn advise(question: &Question<'_>, found: &Found, warnings: &mut Vec<String>) {
    if found.ballast.is_empty() {
        return;
    }
    warnings.push(
        "Tie ballast to the part, hang it below, lay it on top in a bag of nylon net so that it cannot roll off, or spread a \
         nylon mesh over the part and weight its rim. Where any of it touches it leaves a mark: keep it off the faces that matter."
            .to_string(),
    );
    let cover = in_millimetres(question.cover);
    let mut seen = Vec::new();
    for b in &found.ballast {
        let Some(count) = b.count.filter(|n| *n > 0 && !seen.contains(&&b.thing)) else { continue };
        seen.push(&b.thing);
        let one = in_cubic_millimetres(b.displaced) / f64::from(count);
        let across = across_mm(one);
        if across > cover {
            let total: u32 = found
                .ballast
                .iter()
                .filter(|o| o.thing == b.thing)
                .filter_map(|o| o.count)
                .fold(0, u32::saturating_add);
            // Cap of a sphere that stands out: πh²(3r − h)/3.
            let (r, out) = (across / 2.0, across - cover);
            let dry = PI * out * out * (3.0 * r - out) / 3.0 * f64::from(total);
            warnings.push(format!(
                "One `{}` is about {} mm across, more than the {} mm of cover. Hang it beside or below the part; on top it \
                 stands out of the liquid, and up to {} mL more bath is needed to reach the fill line.",
                b.thing,
                figure(across),
                figure(cover),
                figure(dry / 1000.0)
            ));
        }
    }
}

/// Diameter of a ball of this volume, mm.
fn across_mm(volume_mm3: f64) -> f64 {
    libm::cbrt(volume_mm3 * 6.0 / PI)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kinds(of: &[(f64, u32)]) -> Vec<Kind<'static>> {
        let glass = material("glass").unwrap();
        of.iter()
            .map(|&(holds, left)| Kind { name: "thing", material: glass, mass: holds * 2.0, holds, left })
            .collect()
    }

    #[test]
    fn the_fewest_pieces_of_one_kind_without_a_sledgehammer() {
        assert_eq!(choose(50.0, &kinds(&[(11.0, 99), (30.0, 99)])), Some(vec![(1, 2)]));
        // One that holds twenty times what is needed is passed over for five that hold what is needed.
        assert_eq!(choose(50.0, &kinds(&[(11.0, 99), (1000.0, 1)])), Some(vec![(0, 5)]));
        assert_eq!(choose(50.0, &kinds(&[(1000.0, 1)])), Some(vec![(0, 1)]));
        // Exactly enough is enough.
        assert_eq!(choose(50.0, &kinds(&[(10.0, 5)])), Some(vec![(0, 5)]));
    }

    #[test]
    fn kinds_are_combined_when_one_is_not_enough_and_the_last_is_as_light_as_will_do() {
        assert_eq!(choose(50.0, &kinds(&[(11.0, 4), (30.0, 1)])), Some(vec![(0, 2), (1, 1)]));
        assert_eq!(choose(62.0, &kinds(&[(5.0, 1), (30.0, 2), (11.0, 0)])), Some(vec![(0, 1), (1, 2)]));
        assert_eq!(choose(100.0, &kinds(&[(11.0, 4), (30.0, 1)])), None);
        assert_eq!(choose(1.0, &[]), None);
    }
}
