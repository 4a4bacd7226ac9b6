//! Fill line, ballast and lifts on the sheet.

use super::nearest;
use crate::amount::{Length, in_millilitres, in_millimetres, in_newtons};
use crate::immersion::{Immersion, Sitting};
use crate::sheet::drawing::Drawing;
use crate::sheet::model::{Block, Section};
use crate::sheet::words::{self, Round, cleaned};
use crate::timetable::in_words;
use crate::vessel::Vessel;
use std::borrow::Cow;

/// Where the liquid stands.
pub(super) fn fill_line<'a>(found: &'a Immersion, vessel: Option<&'a Vessel>) -> Option<Section<'a>> {
    let line = words::length(found.fill_line, Round::Nearest);
    let estimate = if found.fill_line_is_estimate { " (an estimate: the vessel's shape is not known)" } else { "" };
    let mut facts: Vec<(Cow<'a, str>, Cow<'a, str>)> = Vec::new();
    if let Some(vessel) = vessel {
        facts.push(("Vessel".into(), words::clean(&vessel.name)));
    }
    facts.extend([
        ("Fill line, everything in".into(), format!("{line} above the inside bottom{estimate}").into()),
        ("Level before parts go in".into(), words::length(found.level_before, Round::Nearest).into()),
        ("Liquid in the vessel".into(), nearest(found.liquid).into()),
        ("Parts and ballast displace".into(), nearest(found.displaced).into()),
        ("Freeboard (rim above liquid)".into(), words::length(found.freeboard, Round::Down).into()),
        ("Cover over the highest part".into(), words::length(found.cover, Round::Down).into()),
    ]);
    let lost = match found.evaporation {
        Some((_, high)) if in_millimetres(high) <= 0.0 => None,
        Some((low, high)) => Some(
            format!("{} to {}", words::fixed(in_millimetres(low), 0, Round::Down), words::length(high, Round::Up))
                .into(),
        ),
        None => Some("not known for a hot bath".into()),
    };
    facts.extend(lost.map(|span| ("Evaporation over the soak".into(), span)));
    if let Some(water) = found.daily_top_up {
        facts.push(("Water to add each day".into(), words::volume(water, Round::Up).into()));
    }
    if let Some(reserve) = found.reserve {
        facts.push(("Made-up reserve to keep ready".into(), words::volume(reserve, Round::Up).into()));
    }
    Section::of(
        "Fill line",
        vec![
            Block::Facts(facts),
            Block::List(cleaned(&found.warnings)),
            Block::Drawing(Box::new(Drawing::of(found, vessel))),
        ],
    )
}

/// The level of a bath without parts.
pub(super) fn level<'a>(fill_line: Option<Length>) -> Option<Section<'a>> {
    let line = words::length(fill_line?, Round::Nearest);
    Section::of(
        "Fill line",
        vec![Block::Facts(vec![("Level, without parts".into(), format!("{line} above the inside bottom").into())])],
    )
}

/// What floats and what holds it under.
pub(super) fn ballast(found: &Immersion) -> Option<Section<'_>> {
    let mut blocks = Vec::new();
    blocks.push(Block::List(found.parts.iter().map(|p| sitting(p).into()).collect()));
    let rows = found.ballast.iter().map(|b| {
        vec![
            b.count.map_or("by mass".into(), |n| n.to_string().into()),
            words::clean(&b.thing),
            words::clean(&b.material.name),
            words::mass(b.mass, Round::Up).into(),
            match b.each {
                Some(n) => format!("{} ({n} each)", words::clean(&b.holds)).into(),
                None => words::clean(&b.holds),
            },
            format!("{} %", words::fixed(b.margin_percent, 0, Round::Down)).into(),
        ]
    });
    blocks.push(Block::Table(
        vec!["How many", "Ballast", "Material", "Mass in air", "Holds under", "To spare"],
        rows.collect(),
    ));
    let mut notes: Vec<Cow<'_, str>> = Vec::new();
    if !found.ballast.is_empty() {
        notes.push("To spare: beyond the lift at the densest bath, the lightest part and the lightest ballast.".into());
    }
    notes.extend(
        found
            .refused_ballast
            .iter()
            .map(|(thing, why)| format!("Not to be used: {} ({}).", words::clean(thing), words::clean(why)).into()),
    );
    blocks.push(Block::List(notes));
    Section::of("Parts and ballast", blocks)
}

fn sitting(p: &Sitting) -> String {
    let many = if p.count == 1 { String::new() } else { format!(" (each of {})", p.count) };
    let mass = words::estimate(p.mass, |m| words::mass(m, Round::Nearest));
    let force = words::pull;
    let floats = if p.floats {
        let draft = p.draft.map_or(String::new(), |d| format!(", {} deep", words::length(d, Round::Nearest)));
        format!("can float{draft}, lifting with {}", force(p.net_buoyancy.high))
    } else {
        "sinks by itself".into()
    };
    let flooded = match p.net_buoyancy_flooded {
        Some(f) if in_newtons(f) > 0.0 => format!("; flooded it still lifts with {}", force(f)),
        Some(_) if p.floats => "; flooded it sinks".into(),
        Some(_) => String::new(),
        // The notes of the fill line tell between which ends it lies.
        None => String::new(),
    };
    let name = words::clean(&p.name);
    let displaced = words::estimate(p.displaced, nearest);
    format!("{name}{many}: {mass}, displaces {displaced}, {floats}{flooded}.")
}

/// The level after each lift.
pub(super) fn lifts(found: &Immersion) -> Option<Section<'_>> {
    let rows = found.lifts.iter().map(|l| {
        vec![
            in_words(l.after).into(),
            cleaned(&l.out).join(", ").into(),
            words::length(l.level, Round::Nearest).into(),
            if l.covered { "yes".into() } else { "NO".into() },
            if in_millilitres(l.reserve) > 0.0 { words::volume(l.reserve, Round::Up).into() } else { "none".into() },
        ]
    });
    let head = vec!["After", "Out", "Level then", "Rest covered", "Reserve to add"];
    Section::of("Level after each lift", vec![Block::Table(head, rows.collect())])
}
