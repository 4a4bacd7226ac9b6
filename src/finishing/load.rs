//! One load of a barrel: what rolls, how full, media, water, grit, speed.

use super::barrel::PACKING;
use super::stages::stages;
use super::words::{by_hand, cautions, losses, notes};
use super::{Load, Rolling, Tumbling, critical_speed, media_bulk_volume, working_speed};
use crate::amount::{
    Estimate, Length, Span, Volume, in_grams, in_kg_per_m3, in_millilitres, in_millimetres, in_square_millimetres,
    millilitres, millimetres,
};
use crate::diag::{Checked, Problem, Problems};
use crate::part::{Part, Shape, Side};

/// Share of the barrel that parts and media fill, heaped: about half gives the longest slide (finishing texts read: 50 %,
/// 50 to 60 %, and 40 to 60 % for rolling; stone hobbyists fill two thirds to three quarters).
const CHARGE: f64 = 0.5;
/// Level tablespoons of grit for each third of the barrel filled, in a barrel of about three litres, and six when full:
/// common practice, no source. Per litre of heaped charge that is two. (Stone hobby guides read: 1 to 2 tablespoons for
/// each 0.45 kg of load, which at about 1.6 kg a litre is 3.5 to 7 a litre for stone; prints need less.)
const TABLESPOONS_PER_LITRE: f64 = 2.0;
/// Liquid soap for the last run, mL for each litre of charge: a teaspoon (common practice says "a little"; our choice).
const SOAP_ML_PER_LITRE: f64 = 5.0;
/// Longest side at most this share of the diameter rolls freely (common practice, no source).
const FREE: f64 = 1.0 / 3.0;
/// What leaves clearance to turn at all (our choice).
const CLEARANCE: f64 = 0.9;

/// Longest outside dimension, and what it needs to turn end over end.
fn extent(part: &Part) -> Option<(Length, Length)> {
    let size = part.shape.size(Side::PlusZ)?.map(in_millimetres);
    let longest = size.into_iter().fold(0.0, f64::max);
    let corner = match &part.shape {
        Shape::Box { .. } => size.iter().map(|s| s * s).sum::<f64>().sqrt(),
        Shape::Cylinder { .. } => (size[0] * size[0] + size[2] * size[2]).sqrt(),
        // The corners of a mesh's box are mostly empty: its longest side is the least it needs.
        _ => longest,
    };
    Some((millimetres(longest), millimetres(corner)))
}

/// Plans the tumbling of one load.
///
/// # Errors
/// No parts, a barrel or a number of grits that cannot be, a part that does not go in, parts that alone overfill it,
/// media that lodge in the finest gap.
pub fn tumble(load: &Load<'_>) -> Checked<Tumbling> {
    refuse_nonsense(load)?;
    let (d, l) = (in_millimetres(load.barrel.diameter), in_millimetres(load.barrel.length));
    let barrel_volume = millilitres(std::f64::consts::PI / 4.0 * d * d * l / 1000.0);
    let mut problems = Vec::new();
    let mut unknown = Vec::new();
    let rolling = rolling(load, &mut problems, &mut unknown);
    let parts_volume: Volume = load.parts.iter().map(|p| p.shape.envelope() * f64::from(p.count)).sum();
    let charge = barrel_volume * CHARGE;
    let media = media_bulk_volume(charge, parts_volume);
    if in_millilitres(media) <= 0.0 {
        problems.push(
            Problem::error(format!(
                "the parts alone take {:.0} mL; a barrel of {:.0} mL takes {:.0} mL of parts and media together",
                in_millilitres(parts_volume),
                in_millilitres(barrel_volume),
                in_millilitres(charge)
            ))
            .hint("tumble fewer parts at a time, or take a larger barrel"),
        );
    }
    let media_size = media_size(load, &mut unknown, &mut problems);
    if !problems.is_empty() {
        return Err(Problems(problems));
    }
    // The load is mostly media, and the smallest pieces ride round first: the part's own size would allow a speed at
    // which the media no longer slide.
    let critical = critical_speed(load.barrel.diameter, load.media.unwrap_or_else(|| millimetres(0.0)))
        .ok_or_else(|| Problem::error("the media are as large as the barrel").in_field("--media"))?;
    let filled = load.parts.iter().any(|p| p.binder.is_some());
    let litres = in_millilitres(charge) / 1000.0;
    // Half spoons are the finest that a level spoon gives.
    let grit = (TABLESPOONS_PER_LITRE * litres * 2.0).round().max(1.0) / 2.0;
    let voids = |packing: f64| media * (1.0 - packing);
    let mut found = Tumbling {
        barrel_volume,
        rolling,
        charge,
        parts_volume,
        media,
        media_to_parts: in_millilitres(media) / in_millilitres(parts_volume).max(1e-9),
        media_size,
        media_chosen: load.media,
        water: Span { low: voids(PACKING.high), high: voids(PACKING.low) },
        critical_speed: critical,
        working_speed: working_speed(critical),
        speed_share: load.barrel.speed.map(|s| (s / critical).get::<uom::si::ratio::ratio>()),
        soap: millilitres((SOAP_ML_PER_LITRE * litres).max(2.5)),
        stages: stages(load, grit, filled),
        warmest_c: load.parts.iter().filter_map(|p| p.binder?.bath_below_c).reduce(f64::min),
        loss_percent_per_hundredth: loss(load.parts),
        losses: Vec::new(),
        cautions: Vec::new(),
        by_hand: by_hand(filled),
        notes: Vec::new(),
        unknown,
    };
    found.losses = losses(&found, filled);
    found.cautions = cautions(load, &found, filled);
    found.notes = notes(&found);
    found.unknown.push("how fast it cuts: it does not scale simply with size or speed, so the looks decide".into());
    Ok(found)
}

fn refuse_nonsense(load: &Load<'_>) -> Checked<()> {
    let (d, l) = (in_millimetres(load.barrel.diameter), in_millimetres(load.barrel.length));
    let mut problems = Vec::new();
    if load.parts.is_empty() {
        problems.push(Problem::error("no part is named").hint("say `--part \"box 40x40x80 mm, 85 g, iron, PLA\"`"));
    }
    if !(2..=6).contains(&load.grits) {
        problems.push(Problem::error(format!("{} grits cannot be planned; allowed: 2 to 6", load.grits)));
    }
    if !((30.0..=2000.0).contains(&d) && (30.0..=3000.0).contains(&l)) {
        problems.push(Problem::error(format!(
            "a barrel of {d:.0} mm diameter and {l:.0} mm length is outside what is planned here: 30 to 2000 mm by 30 to 3000 mm"
        )));
    }
    if load
        .stage
        .is_some_and(|s| s < jiff::SignedDuration::from_hours(1) || s > jiff::SignedDuration::from_hours(24 * 28))
    {
        problems.push(Problem::error("a grit stage is planned from 1 hour to 4 weeks"));
    }
    if problems.is_empty() { Ok(()) } else { Err(Problems(problems)) }
}

fn rolling(load: &Load<'_>, problems: &mut Vec<Problem>, unknown: &mut Vec<String>) -> Vec<(String, Rolling, Length)> {
    let (d, l) = (in_millimetres(load.barrel.diameter), in_millimetres(load.barrel.length));
    let most = d.min(l) * CLEARANCE;
    let mut rolling = Vec::new();
    for part in load.parts {
        let Some((size, corner)) = extent(part) else {
            unknown.push(format!("whether {} rolls freely: its dimensions are not known", part.name));
            continue;
        };
        let (s, c) = (in_millimetres(size), in_millimetres(corner));
        let how = if c > most {
            Rolling::Not
        } else if s <= d * FREE && s <= l * FREE {
            Rolling::Freely
        } else {
            Rolling::Cramped
        };
        if how == Rolling::Not {
            problems.push(
                Problem::error(format!(
                    "{} measures {c:.0} mm from end to end and does not turn over in a barrel of {d:.0} mm inside diameter \
                     and {l:.0} mm length: at most {most:.0} mm leaves clearance",
                    part.name
                ))
                .hint("take a larger barrel, or work the part by hand through the grades"),
            );
        }
        rolling.push((part.name.clone(), how, size));
    }
    rolling
}

/// Media either pass every gap with room to spare or are too large to enter it (common practice, no source: under a third
/// of the gap, or one and a half times it).
fn media_size(load: &Load<'_>, unknown: &mut Vec<String>, problems: &mut Vec<Problem>) -> Option<Span<Length>> {
    let Some(detail) = load.finest_detail else {
        unknown.push(
            "which media size reaches the detail without lodging: the finest gap is not known (say `--detail`)".into(),
        );
        return None;
    };
    let gap = in_millimetres(detail);
    let (passes, stays_out) = (gap / 3.0, gap * 1.5);
    if let Some(m) = load.media.map(in_millimetres)
        && m > passes
        && m < stays_out
    {
        problems.push(Problem::error(format!("media of {m:.1} mm lodge in a gap of {gap:.1} mm")).hint(format!(
            "take media under {passes:.1} mm, which pass it, or over {stays_out:.1} mm, which stay out"
        )));
    }
    Some(Span { low: millimetres(passes), high: millimetres(stays_out) })
}

/// Share of the mass that a hundredth of a millimetre off the whole surface takes: area × 0.01 mm × density of what the
/// skin is made of. The most affected part counts.
fn loss(parts: &[Part]) -> Option<Estimate<f64>> {
    parts
        .iter()
        .filter_map(|part| {
            let area = in_square_millimetres(part.shape.area()?);
            let metal = part.metal?;
            let skin = match (part.solid_density, part.binder) {
                (Some(d), _) => d.map(in_kg_per_m3),
                (None, None) => {
                    Estimate { best: metal.density_kg_m3[0], low: metal.density_kg_m3[1], high: metal.density_kg_m3[2] }
                }
                (None, Some(_)) => return None,
            };
            let percent = |rho: f64| area * 0.01 * rho * 1e-6 / in_grams(part.mass.best).max(1e-6) * 100.0;
            part.mass_known.then(|| skin.map(percent))
        })
        .reduce(|a, b| if b.best > a.best { b } else { a })
}
