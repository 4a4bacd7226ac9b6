//! From the question to the answer: seats, ballast, fill line, evaporation, lifts.
//!
//! A part wholly under is lifted by the same force at any depth, so the ballast depends on the bath's density alone, and
//! the fill line on ballast and parts: no loop is needed at one density. The loop over the density is in `steady`.

use super::ballast::{Found, find};
use super::buoyancy::{air_under, displaced, flooded_buoyancy, in_grams_force, on_part, upright_at};
use super::lift::lifts;
use super::place::{Seat, seat};
use super::{Immersion, Question, Sitting, draft};
use crate::amount::{
    MassFraction, Volume, cubic_millimetres, figure, in_celsius, in_cubic_millimetres, in_grams, in_kg_per_m3,
    in_millimetres, in_newtons, in_square_millimetres, kg_per_m3, millimetres, square_millimetres,
};
use crate::diag::{Checked, Problem, Problems};
use crate::part::mesh::{AirTrap, CaughtAir};
use crate::part::{Part, filled_density};
use crate::vessel::Cover;

/// Evaporation from an open bath indoors, mm a day: common practice, no source.
const EVAPORATION_MM_PER_DAY: (f64, f64) = (1.0, 3.0);
/// Warmer than this it says nothing, °C (our choice).
const EVAPORATION_KNOWN_TO_C: f64 = 40.0;

/// A part that sinks by less than this share of its weight only just sinks (our choice).
const JUST: f64 = 0.05;

/// More parts than this are not laid out side by side (our choice).
const MOST_PIECES: u64 = 1000;

/// Pockets of air that are told one by one (our choice; `measure` tells more).
const POCKETS_TOLD: usize = 3;

/// Freeboard under which parts are not put in and taken out without spilling, mm (our choice).
const LEAST_FREEBOARD_MM: f64 = 10.0;

/// Solves the immersion: liquid enough for the cover asked for over the highest part.
///
/// # Errors
/// A part that does not fit, a vessel that would overflow (by how much), ballast that cannot hold the part, a part whose
/// mass is not known; all of them at once.
pub fn immerse(question: &Question<'_>) -> Checked<Immersion> {
    Ok(Filled::new(question, None)?.immersion(question))
}

/// Solves the immersion for a given volume of liquid: the cover is what it gives.
///
/// # Errors
/// As [`immerse`], and liquid that does not cover the parts (by how much).
pub fn immerse_in(question: &Question<'_>, liquid: Volume) -> Checked<Immersion> {
    Ok(Filled::new(question, Some(liquid))?.immersion(question))
}

/// A vessel with everything in and filled to its line: what decides how much bath is needed, before the rest is told.
pub struct Filled {
    seats: Vec<Seat>,
    found: Found,
    /// Height of the highest part, level of the liquid and rim above it, mm.
    tallest: f64,
    line: f64,
    freeboard: f64,
    /// What parts and ballast displace, mm³.
    under: f64,
    liquid: Volume,
    /// Whether the volume of liquid was given.
    given: bool,
    warnings: Vec<String>,
}

impl Filled {
    /// Fills the vessel with the liquid `given`, or with what covers the parts.
    ///
    /// # Errors
    /// As [`immerse`] and [`immerse_in`].
    pub fn new(question: &Question<'_>, given: Option<Volume>) -> Checked<Self> {
        fill(question, given)
    }

    /// Liquid in the vessel.
    pub fn liquid(&self) -> Volume {
        self.liquid
    }

    /// Everything that is told about it; the question is the one that it was filled for.
    pub fn immersion(self, question: &Question<'_>) -> Immersion {
        tell(question, self)
    }
}

fn fill(question: &Question<'_>, given: Option<Volume>) -> Checked<Filled> {
    let mut problems = check(question);
    if !problems.is_empty() {
        return Err(Problems(problems));
    }
    let mut warnings = Vec::new();
    let vessel = &question.vessel.shape;
    // With a given amount of liquid the cover is found, not asked for.
    let asked = if given.is_some() { 0.0 } else { in_millimetres(question.cover) };
    let seats = seat(vessel, question.parts, question.lay, asked, &mut problems, &mut warnings);
    problems.extend(question.parts.iter().filter(|p| !p.mass_known).map(unknown_mass));
    let found = match &seats {
        Some(seats) if problems.is_empty() => find(question, seats, &mut problems, &mut warnings),
        _ => Found::default(),
    };
    let Some(seats) = seats.filter(|_| problems.is_empty()) else {
        return Err(Problems(problems));
    };
    let tallest = seats.iter().map(|s| s.height).fold(0.0, f64::max);
    let (under, under_most) = displaced_by(question, &seats, &found);
    let (liquid, line) = match given {
        None => {
            let line = tallest + asked;
            (in_cubic_millimetres(vessel.volume_below(millimetres(line))) - under, line)
        }
        Some(given) => {
            let liquid = in_cubic_millimetres(given);
            (liquid, line_for(question, liquid, under, tallest)?)
        }
    };
    if liquid.is_nan() || liquid <= 0.0 {
        return Err(Problem::error(format!(
            "parts and ballast displace {} mL, more than the vessel holds below the fill line: {} mL are left for the bath",
            figure(under / 1000.0),
            figure(liquid / 1000.0)
        ))
        .hint("choose a wider vessel")
        .into());
    }
    let capacity = in_cubic_millimetres(vessel.capacity());
    if liquid + under_most > capacity * (1.0 + 1e-12) {
        return Err(overflow(liquid + under_most - capacity));
    }
    Ok(Filled {
        freeboard: in_millimetres(vessel.height()) - line,
        liquid: cubic_millimetres(liquid),
        given: given.is_some(),
        seats,
        found,
        tallest,
        line,
        under,
        warnings,
    })
}

fn tell(question: &Question<'_>, filled: Filled) -> Immersion {
    let Filled { seats, found, tallest, line, freeboard, under, liquid, given, mut warnings } = filled;
    let vessel = &question.vessel.shape;
    if freeboard < LEAST_FREEBOARD_MM {
        warnings.push(format!(
            "Only {} mm are left between liquid and rim: it will spill when parts are put in or taken out, or when it fizzes.",
            figure(freeboard.max(0.0))
        ));
    }
    if vessel.is_estimate() {
        warnings.push(
            "Only capacity and height of the vessel are known: the fill line is an estimate for straight walls.".into(),
        );
    }
    let cover = line - tallest;
    if given && cover < in_millimetres(question.cover) {
        warnings.push(format!(
            "The liquid stands {} mm over the highest part, not the {} mm asked for.",
            figure(cover),
            figure(in_millimetres(question.cover))
        ));
    }
    let parts = question.parts.iter().zip(&seats).map(|(p, s)| sitting(question, p, s)).collect::<Vec<_>>();
    warnings.extend(parts_told(question, &parts));
    let evaporation = evaporation(question);
    let dries = evaporation.is_some_and(|(_, most)| most >= cover && most > 0.0);
    let surface = in_square_millimetres(vessel.surface_at(millimetres(line)));
    let daily = dries.then(|| cubic_millimetres(surface * EVAPORATION_MM_PER_DAY.1));
    if evaporation.is_none() {
        warnings.push(format!(
            "How much evaporates above {EVAPORATION_KNOWN_TO_C} °C is not known: look at the level each time you look at the \
             parts, and top up with hot water to the fill line."
        ));
    }
    if let Some((least, most)) = evaporation.filter(|_| dries) {
        warnings.push(format!(
            "Over the soak {} to {} mm may evaporate (common practice, no source), and the cover is {} mm: top up with water to \
             the fill line every day.",
            figure(least), figure(most), figure(cover)
        ));
    }
    let lifts = lifts(question, &seats, &found, liquid);
    let reserve: f64 = lifts.iter().map(|l| in_cubic_millimetres(l.reserve)).sum();
    let area = question
        .parts
        .iter()
        .try_fold(0.0, |sum, p| p.shape.area().map(|a| sum + in_square_millimetres(a) * f64::from(p.count)));
    if area.is_none() {
        warnings.push(
            "The area of a part that was given by what it displaces is not known, so the loading is not known.".into(),
        );
    }
    Immersion {
        fill_line: millimetres(line),
        fill_line_is_estimate: vessel.is_estimate(),
        liquid,
        level_before: vessel.level_of(liquid).unwrap_or_else(|| vessel.height()),
        displaced: cubic_millimetres(under),
        freeboard: millimetres(freeboard),
        cover: millimetres(cover),
        parts,
        ballast: found.ballast,
        margin_percent: found.margin_percent,
        refused_ballast: found.refused,
        evaporation: evaporation.map(|(least, most)| (millimetres(least), millimetres(most))),
        daily_top_up: daily,
        lifts,
        reserve: (reserve > 0.0).then(|| cubic_millimetres(reserve)),
        area: area.map(square_millimetres),
        loading_mm2_per_l: area.map(|a| a / (in_cubic_millimetres(liquid) * 1e-6)),
        warnings,
    }
}

fn unknown_mass(part: &Part) -> Problem {
    Problem::error(format!("the mass of `{}` is not known, so it is not known whether it floats", part.name))
        .hint("weigh it and say its mass, such as `85 g`, or say its print make-up, or `solid`")
}

/// Figures that no question can be asked with.
fn check(question: &Question<'_>) -> Vec<Problem> {
    let mut problems = Vec::new();
    let cover = in_millimetres(question.cover);
    if !(cover.is_finite() && cover >= 0.0) {
        problems.push(Problem::error(format!("found a cover of {} mm, allowed is 0 and above", figure(cover))));
    }
    let margin = question.margin_percent;
    if !(margin.is_finite() && (0.0..=1000.0).contains(&margin)) {
        problems.push(Problem::error(format!("found a ballast margin of {} %, allowed is 0 to 1000", figure(margin))));
    }
    let d = question.density;
    let densities = [d.low, d.best, d.high].map(in_kg_per_m3);
    if !densities.iter().all(|d| (500.0..=2500.0).contains(d)) {
        problems
            .push(Problem::error(format!("found a bath of {} kg/m3, allowed is 500 to 2500", figure(densities[1]))));
    }
    if question.parts.is_empty() {
        problems.push(Problem::error("there is no part to immerse"));
    }
    let pieces: u64 = question.parts.iter().map(|p| u64::from(p.count)).sum();
    if pieces > MOST_PIECES {
        problems.push(Problem::error(format!("found {pieces} parts, allowed are {MOST_PIECES} in one bath")));
    }
    for p in question.parts {
        let v = in_cubic_millimetres(p.shape.envelope());
        if !(v.is_finite() && v > 0.0) {
            problems.push(Problem::error(format!("`{}` displaces {} mm3, allowed is above 0", p.name, figure(v))));
        }
    }
    problems
}

/// What parts and ballast displace, mm³: best, and with ballast as light as its material can be and all air caught.
fn displaced_by(question: &Question<'_>, seats: &[Seat], found: &Found) -> (f64, f64) {
    let parts: f64 = question.parts.iter().map(|p| in_cubic_millimetres(p.shape.envelope()) * f64::from(p.count)).sum();
    let ballast: f64 = found.ballast.iter().map(|b| in_cubic_millimetres(b.displaced)).sum();
    let most = |b: &super::Ballast| in_cubic_millimetres(displaced(in_grams(b.mass), b.material.density_kg_m3[1]));
    let air = |(p, s): (&Part, &Seat)| in_cubic_millimetres(air_under(p, s.up)) * f64::from(p.count);
    let air: f64 = question.parts.iter().zip(seats).map(air).sum();
    (parts + ballast, parts + air + found.ballast.iter().map(most).sum::<f64>())
}

/// The level of a given amount of liquid with everything in.
fn line_for(question: &Question<'_>, liquid: f64, under: f64, tallest: f64) -> Checked<f64> {
    let vessel = &question.vessel.shape;
    let over = liquid + under - in_cubic_millimetres(vessel.capacity());
    let Some(line) = vessel.level_of(cubic_millimetres(liquid + under)) else {
        return Err(overflow(over));
    };
    let line = in_millimetres(line);
    if line < tallest * (1.0 - 1e-12) {
        let needed = in_cubic_millimetres(vessel.volume_below(millimetres(tallest))) - under - liquid;
        return Err(Problem::error(format!(
            "{} mL of bath do not cover the parts: {} mL more are needed",
            figure(liquid / 1000.0),
            figure(needed / 1000.0)
        ))
        .hint("make more, or choose a narrower vessel")
        .into());
    }
    Ok(line.max(tallest))
}

fn overflow(by_mm3: f64) -> Problems {
    Problem::error(format!("the vessel would overflow by {} mL with parts and ballast in", figure(by_mm3 / 1000.0)))
        .hint("choose a larger vessel, or fewer parts at a time")
        .into()
}

fn sitting(question: &Question<'_>, part: &Part, seat: &Seat) -> Sitting {
    let net = on_part(part, seat.up, question.density);
    let caught_air = match part.shape.caught_air(seat.up) {
        CaughtAir::Unknown => None,
        CaughtAir::None | CaughtAir::Some(_) => Some(air_under(part, seat.up)),
    };
    Sitting {
        name: part.name.clone(),
        count: part.count,
        up: seat.up,
        height: millimetres(seat.height),
        displaced: part.shape.envelope_bounds(),
        mass: part.mass,
        caught_air,
        net_buoyancy: net,
        net_buoyancy_flooded: part
            .solid_density
            .map(|solid| flooded_buoyancy(part.mass.best, solid.best, question.density.best)),
        floats: in_newtons(net.high) > 0.0,
        draft: draft(part, seat.up, question.density.best),
    }
}

/// What the figures of each part mean.
fn parts_told(question: &Question<'_>, sitting: &[Sitting]) -> Vec<String> {
    let mut told = Vec::new();
    for (part, s) in question.parts.iter().zip(sitting) {
        let name = &s.name;
        let up = in_grams_force(s.net_buoyancy.high);
        told.extend(air_told(part, s));
        if s.floats && in_newtons(s.net_buoyancy.low) < 0.0 {
            told.push(format!(
                "`{name}` may float or sink: its mass or the density of the bath is not known well enough."
            ));
        }
        if !s.floats && -up < JUST * in_grams(part.mass.best) {
            told.push(format!("`{name}` sinks only just, by {} g: gas bubbles may lift it. Look early.", figure(-up)));
        }
        if s.floats && s.draft.and_then(|deep| upright_at(part, s.up, deep)) == Some(false) {
            told.push(format!(
                "`{name}` would turn over by itself as long as it floats: tie its ballast on both sides."
            ));
        }
        if part.binder.is_none() || !s.floats {
            continue;
        }
        let flooded = match (s.net_buoyancy_flooded, flooded_ends(question, part)) {
            (Some(force), _) if in_newtons(force) >= 0.0 => "float still".to_string(),
            (Some(force), _) => format!("sink by {} g", figure(-in_grams_force(force))),
            (None, Some((least, most))) => format!(
                "sink by {} to {} g, for filaments of 20 to 85 % metal by mass (say its density to have it closer)",
                figure(least),
                figure(most)
            ),
            (None, None) => "weigh more, how much is not known".to_string(),
        };
        told.push(format!(
            "`{name}` is held under as if no bath got in. Bath that seeps in through the seams makes it heavier: with every \
             hollow flooded it would {flooded}. Lift it with care, and weigh it before and after."
        ));
    }
    told
}

/// Where a part catches air, and how it gets out.
fn air_told(part: &Part, s: &Sitting) -> Option<String> {
    let name = &s.name;
    let traps = match part.shape.caught_air(s.up) {
        CaughtAir::None => return None,
        CaughtAir::Unknown => {
            return Some(format!(
                "The surface of `{name}` is not closed, so it is not known whether it catches air: look for bubbles under it."
            ));
        }
        CaughtAir::Some(traps) => traps,
    };
    let ml = |v: Volume| figure(in_cubic_millimetres(v) / 1000.0);
    let out = |t: &AirTrap| match t.tilt {
        _ if !t.resolved => "a bore too fine to be seen here may let it out".to_string(),
        Some(tilt) => format!(
            "it comes out when tilted by about {} degrees, the file's side towards {} raised",
            figure(tilt.angle_degrees),
            tilt.raised.map(figure).join(", ")
        ),
        None => "no tilt that was tried lets it out: bring the part in another way up".to_string(),
    };
    let pockets: Vec<String> = traps
        .traps
        .iter()
        .take(POCKETS_TOLD)
        .map(|t| {
            let place = t.place.map(|x| figure(in_millimetres(x))).join(", ");
            format!("{} mL about {place} mm in the file ({})", ml(t.volume), out(t))
        })
        .collect();
    let more = traps.traps.len().saturating_sub(POCKETS_TOLD);
    let more = if more > 0 { format!("; and {more} smaller") } else { String::new() };
    Some(format!(
        "`{name}` catches about {} mL of air as it lies, where the bath does not reach: {}{more}. The ballast counts that air. \
         `--lay least-air` looks for a better side.",
        ml(traps.total),
        pockets.join("; ")
    ))
}

/// What a filled print of unknown filament would weigh in the bath when flooded, grams: least and most. The share of metal
/// runs from about 20 to 85 % by mass on the market (recalled), and is often not said.
fn flooded_ends(question: &Question<'_>, part: &Part) -> Option<(f64, f64)> {
    let (metal, binder) = (part.metal?, part.binder?);
    let solid = |percent: f64| {
        let share = MassFraction::percent(percent)?;
        Some(filled_density(share, kg_per_m3(metal.density_kg_m3[0]), kg_per_m3(binder.density_kg_m3[0])))
    };
    let sinks = |percent: f64| {
        let force = flooded_buoyancy(part.mass.best, solid(percent)?, question.density.best);
        Some(-in_grams_force(force))
    };
    Some((sinks(20.0)?, sinks(85.0)?))
}

/// Evaporation over the longest soak, mm: low and high. A sealed vessel loses nothing; what a hot bath loses is not known.
fn evaporation(question: &Question<'_>) -> Option<(f64, f64)> {
    if question.vessel.cover == Some(Cover::Sealed) {
        return Some((0.0, 0.0));
    }
    if in_celsius(question.temperature) > EVAPORATION_KNOWN_TO_C {
        return None;
    }
    let days = (question.longest_soak.as_secs_f64() / 86_400.0).max(0.0);
    Some((EVAPORATION_MM_PER_DAY.0 * days, EVAPORATION_MM_PER_DAY.1 * days))
}
