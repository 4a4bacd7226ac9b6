//! Amounts, making up and what is in the bath, on the sheet.

use super::nearest;
use crate::amount::{
    Estimate, MassFraction, MassUnit, MeasureSystem, Ph, Unit, VolumeUnit, in_celsius, in_g_per_l, in_kelvins,
    in_kg_per_m3, in_mol_per_l,
};
use crate::bath::{Beside, Carbonate, Correction, Dosing, Gas, Mixture, Neutralised, PouringStep, Reached};
use crate::recipe::Recipe;
use crate::safety::Review;
use crate::sheet::label::jar_label;
use crate::sheet::model::{Block, Section};
use crate::sheet::words::{self, Round, cleaned};
use crate::timetable::in_words;
use std::borrow::Cow;

/// What to measure out.
pub(super) fn amounts<'a>(dosing: &'a Dosing, mixture: &Mixture, error: Option<&(String, f64)>) -> Option<Section<'a>> {
    let rows = dosing.doses.iter().enumerate().map(|(i, d)| {
        let measured = d.measured.as_ref().map_or_else(
            || d.too_little.as_ref().map_or_else(|| "no tool named".into(), |t| words::clean(t)),
            |m| format!("{}\n({})", words::clean(&words::measured(m)), words::measured_error(m)).into(),
        );
        let exact = match d.exact.unit {
            Unit::Volume(VolumeUnit::Millilitre | VolumeUnit::Litre, _)
            | Unit::Mass(MassUnit::Milligram | MassUnit::Gram | MassUnit::Kilogram) => d.exact.to_string().into(),
            _ => format!("{}\n{}", d.exact, words::clean(&d.metric)).into(),
        };
        vec![(i + 1).to_string().into(), words::clean(&d.name), measured, exact]
    });
    let table = Block::Table(vec!["", "Ingredient", "Measure out", "Exactly"], rows.collect());
    let why = dosing.doses.iter().flat_map(|d| {
        d.why.iter().chain(&d.note).map(|text| format!("{}: {}", words::clean(&d.name), words::clean(text)).into())
    });
    let poured = if dosing.by_poured_volume { "scaled to what is poured" } else { "scaled to the finished bath" };
    let mut facts: Vec<(Cow<'_, str>, Cow<'_, str>)> = vec![
        ("Liquids poured".into(), nearest(dosing.poured).into()),
        ("Finished bath".into(), format!("{} ({poured})", words::estimate(mixture.volume, nearest)).into()),
    ];
    if let Some((what, percent)) = error {
        let said = format!("{}, {}", words::clean(what), words::error_percent(*percent));
        facts.push(("Largest error left by measuring".into(), said.into()));
    }
    if let Some(system) = kitchen_measures(dosing) {
        facts.push(("Kitchen measures".into(), words::measures(system).into()));
    }
    Section::of(
        "Amounts",
        vec![table, Block::List(why.collect()), Block::Facts(facts), Block::List(cleaned(&dosing.notes))],
    )
}

/// Whose spoons and cups the amounts mean, when they mean any.
fn kitchen_measures(dosing: &Dosing) -> Option<MeasureSystem> {
    dosing.doses.iter().find_map(|d| match d.exact.unit {
        Unit::Volume(VolumeUnit::Millilitre | VolumeUnit::Litre, _) => None,
        Unit::Volume(_, system) => Some(system),
        _ => None,
    })
}

/// The order of pouring.
pub(super) fn making_up<'a>(recipe: &Recipe, steps: &'a [PouringStep]) -> Option<Section<'a>> {
    let order: Vec<Cow<'a, str>> = steps
        .iter()
        .map(|step| match step.volume {
            Some(volume) => format!("{} It comes to {}.", words::clean(&step.text), nearest(volume)).into(),
            None => words::clean(&step.text),
        })
        .collect();
    let low = words::figures(in_celsius(recipe.temperature.low), 3, Round::Nearest);
    let high = words::figures(in_celsius(recipe.temperature.high), 3, Round::Nearest);
    let warmth = if low == high { format!("{low} \u{b0}C") } else { format!("{low} to {high} \u{b0}C") };
    let mut rest = vec![format!("The bath works at {warmth}.").into()];
    if let Some(limit) = recipe.use_within {
        let said = if recipe.outlasts_its_limit() {
            format!("Make it fresh: the part goes in within {} of mixing.", in_words(limit))
        } else {
            format!("Make it fresh and use it within {} of mixing.", in_words(limit))
        };
        rest.push(said.into());
    }
    Section::of("Making up, in this order", vec![Block::Numbered(order), Block::List(rest)])
}

/// What to add to a used bath.
pub(super) fn correction(c: &Correction) -> Option<Section<'_>> {
    let add = c.add.iter().filter_map(|i| {
        let amount = i.line.amount.as_ref()?;
        // No finer than it can be measured; the full figure is in the JSON.
        let shown = match (amount.mass(), amount.volume()) {
            (Some(m), _) => words::mass(m.high, Round::Nearest),
            (_, Some(v)) => words::volume(v.high, Round::Nearest),
            _ => amount.to_string(),
        };
        Some(format!("{}: {shown}", words::clean(&i.line.name)).into())
    });
    Section::of("What to add, in this order", vec![Block::Numbered(add.collect()), Block::List(cleaned(&c.notes))])
}

/// What a corrected bath comes to, beside what it should be.
pub(super) fn reached(r: &Reached) -> Option<Section<'_>> {
    fn beside<T: Copy>(b: &Beside<T>, show: impl Fn(T) -> String) -> String {
        format!("{}; fresh: {}", words::estimate(b.is, &show), show(b.target))
    }
    let number = |places| move |x: f64| words::fixed(x, places, Round::Nearest);
    let ph = r.ph.map_or(UNKNOWN.into(), |b| beside(&b, |Ph(x)| number(1)(x)).into());
    let density = r
        .density
        .map_or(UNKNOWN.into(), |b| beside(&b, |d| format!("{} kg/m\u{b3}", number(0)(in_kg_per_m3(d)))).into());
    let mut facts: Vec<(Cow<'_, str>, Cow<'_, str>)> = vec![
        ("Volume".into(), words::estimate(r.volume, nearest).into()),
        ("pH".into(), ph),
        ("Density".into(), density),
    ];
    let grams = |c| format!("{} g/L", words::figures(in_g_per_l(c), 3, Round::Nearest));
    facts.extend(r.solutes.iter().map(|(name, b)| (words::clean(name), beside(b, grams).into())));
    Section::of("What it then comes to", vec![Block::Facts(facts)])
}

/// What stands for a figure that no model gives.
const UNKNOWN: &str = "not modelled";

/// Figures of the bath.
pub(super) fn facts<'a>(title: &'a str, m: &'a Mixture) -> Option<Section<'a>> {
    let number = |places| move |x: f64| words::fixed(x, places, Round::Nearest);
    let density = m.density.map_or(UNKNOWN.into(), |d| {
        format!("{} kg/m\u{b3}", words::estimate(d, |d| number(0)(in_kg_per_m3(d)))).into()
    });
    let ph = m.ph.map_or(UNKNOWN.into(), |ph| words::estimate(ph, |Ph(x)| number(1)(x)).into());
    let heat = m.heat_rise.map_or(UNKNOWN.into(), |h| match in_kelvins(h) {
        k if k < 0.1 => "less than 0.1 \u{b0}C warmer".into(),
        k => format!("at most {} \u{b0}C warmer", words::figures(k, 2, Round::Up)).into(),
    });
    let facts = vec![
        ("Volume".into(), words::estimate(m.volume, nearest).into()),
        ("Mass".into(), words::estimate(m.mass, |x| words::mass(x, Round::Nearest)).into()),
        ("Density".into(), density),
        ("pH".into(), ph),
        (
            "Temperature".into(),
            format!("{} \u{b0}C", words::figures(in_celsius(m.temperature), 3, Round::Nearest)).into(),
        ),
        ("Heat of mixing and reaction".into(), heat),
    ];
    let mut notes: Vec<Cow<'_, str>> = m.gas.iter().map(|g| gas(g).into()).collect();
    notes.extend(cleaned(&m.warnings));
    Section::of(title, vec![Block::Facts(facts), Block::List(notes)])
}

fn gas(g: &Gas) -> String {
    // By the labels' own figures; the review's "up to" is for the strongest that a label allows, so the two differ.
    let volume = words::volume(g.volume, Round::Nearest);
    let why = words::clean(g.why.trim_end_matches('.'));
    format!("Gas: about {volume} of {} ({why}).", words::clean(&g.gas))
}

/// What is dissolved.
pub(super) fn contents(m: &Mixture) -> Option<Section<'_>> {
    let three = |x: f64| words::figures(x, 3, Round::Nearest);
    let rows: Vec<Vec<Cow<'_, str>>> = m
        .solutes
        .iter()
        .map(|s| {
            vec![
                words::clean(&s.name),
                words::estimate(s.mass, |x| words::mass(x, Round::Nearest)).into(),
                words::estimate(s.concentration, |x| three(in_g_per_l(x))).into(),
                words::estimate(s.fraction, |x: MassFraction| three(x.in_percent())).into(),
                s.molar.map_or("-".into(), |c: Estimate<_>| words::estimate(c, |x| three(in_mol_per_l(x))).into()),
                s.largest_error.as_deref().map_or("-".into(), words::clean),
            ]
        })
        .collect();
    let head = vec!["Dissolved", "Mass", "g/L", "% by mass", "mol/L", "Least certain through"];
    Section::of("What is in the bath", vec![Block::Table(head, rows)])
}

/// The label for the jar.
pub(super) fn jar<'a>(name: &'a str, m: &Mixture, review: &'a Review, recipe: Option<&Recipe>) -> Option<Section<'a>> {
    Section::of("Label for the jar", vec![Block::Label(Box::new(jar_label(name, m, review, recipe)))])
}

/// What brings a bath to a pH.
pub(super) fn neutralised(n: &Neutralised) -> Option<Section<'_>> {
    let name = words::clean(&n.reagent);
    let stood = "once it has stopped fizzing and stood open";
    let mass = |m| words::estimate(m, |x| words::mass(x, Round::Nearest)).into();
    let reached = ("pH then".into(), words::estimate(n.ph, |Ph(x)| words::fixed(x, 1, Round::Nearest)).into());
    let state = match n.carbonate {
        None => String::new(),
        Some(Carbonate::Fizzing) => ", while it still fizzes".into(),
        Some(Carbonate::Aired) => format!(", {stood}"),
        Some(Carbonate::Closed) => ", closed, with all the gas kept in".into(),
    };
    // What is really wanted stands first: the larger figure only explains what paper reads in between.
    let facts = match n.stood {
        Some(enough) => vec![
            (format!("{name}, {stood}").into(), mass(enough)),
            reached,
            ("To read that pH while it still fizzes (do not add as much)".into(), mass(n.mass)),
        ],
        None => vec![(format!("{name}{state}").into(), mass(n.mass)), reached],
    };
    let mut notes: Vec<Cow<'_, str>> = n.gas.iter().map(|g| gas(g).into()).collect();
    notes.extend(cleaned(&n.warnings));
    Section::of("What it takes", vec![Block::Facts(facts), Block::List(notes)])
}
