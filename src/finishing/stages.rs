//! The stages of a tumbling job, with their looks and the decision after each.

use super::barrel::PACKING;
use super::{Load, Rolling, TumbleStage, Tumbling, critical_speed, media_bulk_volume, working_speed};
use crate::amount::{Length, Span, Volume, in_millilitres, in_millimetres, millilitres, millimetres};
use crate::diag::{Checked, Problem, Problems};
use crate::part::{Part, Side};
use jiff::SignedDuration;

/// Share of the barrel that parts and media fill, heaped: about half gives the longest slide (finishing texts read: 50 %,
/// 50 to 60 %, and 40 to 60 % for rolling).
const CHARGE: f64 = 0.5;
/// Level tablespoons of grit for each third of the barrel filled, in a barrel of about three litres: common practice, no
/// source. Per litre of heaped charge that is two.
const TABLESPOONS_PER_LITRE: f64 = 2.0;
/// Grit names from coarse to fine, by how many are used (stone hobby practice read: 60/90, 120/220, 500, polish).
const GRITS: [&str; 6] = [
    "coarse (60 to 90)",
    "medium (120 to 220)",
    "fine (400 to 500)",
    "very fine (600 to 800)",
    "prepolish (1000)",
    "polish (1200 or finer)",
];

fn h(hours: i64) -> SignedDuration {
    SignedDuration::from_hours(hours)
}

/// Longest and other outside dimensions of a part, if known.
fn longest(part: &Part) -> Option<Length> {
    let size = part.shape.size(Side::PlusZ)?;
    size.into_iter().reduce(|a, b| if b > a { b } else { a })
}

/// Plans the tumbling of one load.
///
/// # Errors
/// No parts, a barrel or a number of grits that cannot be, a part that does not go in, parts that alone overfill it.
pub fn tumble(load: &Load<'_>) -> Checked<Tumbling> {
    let (d, l) = (in_millimetres(load.barrel.diameter), in_millimetres(load.barrel.length));
    let mut problems = Vec::new();
    if load.parts.is_empty() {
        problems.push(Problem::error("no part is named").hint("say `--part \"box 40x40x80 mm, 85 g, iron, PLA\"`"));
    }
    if !(2..=6).contains(&load.grits) {
        problems.push(Problem::error(format!("{} grits cannot be planned; allowed: 2 to 6", load.grits)));
    }
    if !(d.is_finite() && l.is_finite() && (30.0..=2000.0).contains(&d) && (30.0..=3000.0).contains(&l)) {
        problems.push(Problem::error(format!(
            "a barrel of {d:.0} mm diameter and {l:.0} mm length is outside what is planned here: 30 to 2000 mm by 30 to 3000 mm"
        )));
    }
    if !problems.is_empty() {
        return Err(Problems(problems));
    }

    let barrel_volume = millilitres(std::f64::consts::PI / 4.0 * d * d * l / 1000.0);
    let mut unknown = Vec::new();
    let mut rolling = Vec::new();
    let mut largest = millimetres(0.0);
    for part in load.parts {
        match longest(part) {
            Some(size) => {
                if size > largest {
                    largest = size;
                }
                let s = in_millimetres(size);
                let how = if s <= d / 3.0 && s <= l * 0.9 {
                    Rolling::Freely
                } else if s <= d * 0.9 && s <= l * 0.9 {
                    Rolling::Cramped
                } else {
                    Rolling::Not
                };
                if how == Rolling::Not {
                    problems.push(
                        Problem::error(format!(
                            "{} is {s:.0} mm long and does not turn in a barrel of {d:.0} mm inside diameter and {l:.0} mm length: \
                             at most {:.0} mm leaves clearance",
                            part.name,
                            (d * 0.9).min(l * 0.9)
                        ))
                        .hint("take a larger barrel, or work the part by hand through the grades"),
                    );
                }
                rolling.push((part.name.clone(), how, size));
            }
            None => unknown.push(format!("whether {} rolls freely: its dimensions are not known", part.name)),
        }
    }
    let parts_volume: Volume = load.parts.iter().map(|p| p.shape.envelope() * f64::from(p.count)).sum();
    let charge = barrel_volume * CHARGE;
    let media = media_bulk_volume(charge, parts_volume);
    if in_millilitres(media) < 0.0 {
        problems.push(
            Problem::error(format!(
                "the parts alone take {:.0} mL; a barrel of {:.0} mL takes {:.0} mL of parts and media together",
                in_millilitres(parts_volume),
                in_millilitres(barrel_volume),
                in_millilitres(charge)
            ))
            .hint("tumble fewer parts at a time"),
        );
    }
    if !problems.is_empty() {
        return Err(Problems(problems));
    }
    let ratio = in_millilitres(media) / in_millilitres(parts_volume).max(1e-9);

    let critical = critical_speed(load.barrel.diameter, largest)
        .ok_or_else(|| Problem::error("the largest part is as large as the barrel"))?;
    let working = working_speed(critical);
    let filled = load.parts.iter().any(|p| p.binder.is_some());
    let litres = in_millilitres(charge) / 1000.0;
    let grit = (TABLESPOONS_PER_LITRE * litres * 2.0).round().max(1.0) / 2.0;
    let media_size = media_size(load, &mut unknown, &mut problems);
    if !problems.is_empty() {
        return Err(Problems(problems));
    }

    let voids = |packing: f64| media * (1.0 - packing);
    Ok(Tumbling {
        barrel_volume,
        rolling,
        charge,
        parts_volume,
        media,
        media_size,
        water: Span { low: voids(PACKING.high), high: voids(PACKING.low) },
        critical_speed: critical,
        working_speed: working,
        stages: stages(load, grit, filled),
        losses: losses(filled),
        cautions: cautions(load, filled, ratio),
        by_hand: by_hand(filled),
        unknown,
    })
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
    if let Some(media) = load.media {
        let m = in_millimetres(media);
        if m > gap / 3.0 && m < gap * 1.5 {
            problems.push(Problem::error(format!("media of {m:.1} mm lodge in a gap of {gap:.1} mm")).hint(format!(
                "take media under {:.1} mm, which pass it, or over {:.1} mm, which stay out",
                gap / 3.0,
                gap * 1.5
            )));
        }
    }
    Some(Span { low: millimetres(gap / 3.0), high: millimetres(gap * 1.5) })
}

fn stages(load: &Load<'_>, grit: f64, filled: bool) -> Vec<TumbleStage> {
    // A week a grit is the upper default, and common practice without a source; filled prints round their edges within
    // hours, so they get an early first look whatever the planned length.
    let week = h(7 * 24);
    let length = if filled { Span { low: h(12), high: week } } else { Span { low: h(3 * 24), high: week } };
    let early: &[i64] = if filled { &[1, 4, 12, 24, 48, 96, 168] } else { &[4, 12, 24, 72, 120, 168] };
    let mut stages = Vec::new();
    let picked: Vec<&str> = match load.grits {
        2 => vec![GRITS[1], GRITS[3]],
        3 => vec![GRITS[0], GRITS[2], GRITS[3]],
        4 => vec![GRITS[0], GRITS[1], GRITS[2], GRITS[5]],
        5 => vec![GRITS[0], GRITS[1], GRITS[2], GRITS[3], GRITS[5]],
        _ => GRITS.to_vec(),
    };
    let mut names: Vec<String> =
        picked.iter().enumerate().map(|(i, g)| format!("grit {} of {}: {g}", i + 1, picked.len())).collect();
    if load.marks_show {
        names.insert(1, format!("{}, again with fresh grit", names[0]));
    }
    for (i, name) in names.iter().enumerate() {
        stages.push(TumbleStage {
            name: name.clone(),
            grit_tablespoons: Some(grit),
            length,
            looks: early.iter().map(|x| h(*x)).collect(),
            decide: if i == 0 {
                "rinse one part and hold it to a low light: while layer lines or file marks show, run this stage again with fresh grit; stop at once if an edge or a letter goes soft".into()
            } else {
                "go on when no mark of the stage before can be seen; repeat this stage while one can; stop at once if an edge or a letter goes soft".into()
            },
            clean: "wash barrel, lid, media and parts until the water runs clear and a fingertip feels no grain: one coarse grain spoils the next stage. Let the slurry settle in a bucket, pour off clear water, dry the mud and bin it; never down a drain".into(),
        });
    }
    stages.push(TumbleStage {
        name: "soap: water and a little soap".into(),
        grit_tablespoons: None,
        length: Span { low: h(3), high: h(12) },
        looks: vec![h(1), h(3), h(12)],
        decide: "done when a white cloth wiped over the part stays clean".into(),
        clean: "rinse, dry below the binder's limit, weigh until steady: gloves on from here".into(),
    });
    stages
}

fn losses(filled: bool) -> Vec<String> {
    let mut l = vec![
        "edges and raised letters lose first, hollows last: leave them proud in the model if they must stay crisp"
            .to_string(),
        "weigh one part before and after each stage: the loss of mass is the only honest measure of what went"
            .to_string(),
    ];
    if filled {
        l.push("the binder wears faster than the grains, so a filled print rounds sooner than metal; thin walls may open into the infill".into());
    }
    l
}

fn cautions(load: &Load<'_>, filled: bool, ratio: f64) -> Vec<String> {
    let mut c = vec![
        "metal, water and compound in a closed barrel can make gas and blow the lid: never run it full, open it outdoors every few hours on the first day and daily after that, face away".to_string(),
        "never put acid, lye, peroxide or vinegar into a barrel".to_string(),
        "slurry is never poured down a drain: it sets hard and holds metal".to_string(),
        "keep guards on and hands, hair and sleeves off the rollers; ear protection near a running barrel".to_string(),
        "wet work only: dry grit and metal dust are breathed in; wipe up wet".to_string(),
    ];
    if filled {
        c.push(
            "a sealed, dry print only: plug drain holes, or grit goes into the infill and comes out for weeks".into(),
        );
        c.push("keep the barrel cool: below the binder's limit, out of the sun".into());
    }
    if ratio < 1.0 {
        c.push(format!("only {ratio:.1} volumes of media to one of parts: parts will hit each other; 1 to 4 is usual, 10 for delicate ones"));
    }
    if load.parts.iter().any(|p| p.metal.is_none()) {
        c.push("the metal of a part is not said, so what it makes with the compound is not judged".into());
    }
    c
}

fn by_hand(filled: bool) -> Vec<String> {
    let mut v = vec![
        "by hand: wet abrasive paper 120, 220, 400, 600, each across the last, until the marks of the one before are gone".to_string(),
        "wet always, on a backing that follows the shape; a mask for dust is no excuse to work dry".to_string(),
    ];
    if filled {
        v.push("on a print the first grade opens the skin: go on until bare grains glint everywhere, then one or two grades finer at most, since a polished skin smears binder over the metal".into());
    }
    v
}
