//! Amounts, making up and what is in the bath, on the sheet.

use super::{cleaned, nearest};
use crate::amount::{
    Estimate, MassFraction, MassUnit, MeasureSystem, Ph, Unit, VolumeUnit, in_celsius, in_g_per_l, in_kelvins,
    in_kg_per_m3, in_mol_per_l,
};
use crate::bath::{Beside, Carbonate, Correction, Dosing, Gas, Mixture, Neutralised, PouringStep, Reached};
use crate::recipe::Recipe;
use crate::safety::Review;
use crate::sheet::label::jar_label;
use crate::sheet::model::{Block, Section};
use crate::sheet::words::{self, Round};
use crate::timetable::in_words;

/// What to measure out.
pub(super) fn amounts(dosing: &Dosing, mixture: &Mixture, error: Option<&(String, f64)>) -> Option<Section> {
    let rows = dosing.doses.iter().enumerate().map(|(i, d)| {
        let measured = d.measured.as_ref().map_or_else(
            || d.too_little.as_ref().map_or_else(|| "no tool named".into(), |t| words::clean(t)),
            |m| format!("{}\n({})", words::clean(&words::measured(m)), words::measured_error(m)),
        );
        let exact = match d.exact.unit {
            Unit::Volume(VolumeUnit::Millilitre | VolumeUnit::Litre, _)
            | Unit::Mass(MassUnit::Milligram | MassUnit::Gram | MassUnit::Kilogram) => d.exact.to_string(),
            _ => format!("{}\n{}", d.exact, words::clean(&d.metric)),
        };
        vec![(i + 1).to_string(), words::clean(&d.name), measured, exact]
    });
    let table = Block::Table(vec!["", "Ingredient", "Measure out", "Exactly"], rows.collect());
    let why = dosing.doses.iter().flat_map(|d| d.why.iter().chain(&d.note).map(|text| format!("{}: {text}", d.name)));
    let why: Vec<String> = why.map(|w| words::clean(&w)).collect();
    let poured = if dosing.by_poured_volume { "scaled to what is poured" } else { "scaled to the finished bath" };
    let mut facts = vec![
        ("Liquids poured".into(), nearest(dosing.poured)),
        ("Finished bath".into(), format!("{} ({poured})", words::estimate(mixture.volume, nearest))),
    ];
    if let Some((what, percent)) = error {
        let what = words::clean(what);
        facts.push(("Largest error left by measuring".into(), format!("{what}, {}", words::error_percent(*percent))));
    }
    if let Some(system) = kitchen_measures(dosing) {
        facts.push(("Kitchen measures".into(), words::measures(system).into()));
    }
    Section::of("Amounts", vec![table, Block::List(why), Block::Facts(facts), Block::List(cleaned(&dosing.notes))])
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
pub(super) fn making_up(recipe: &Recipe, steps: &[PouringStep]) -> Option<Section> {
    let order: Vec<String> = steps
        .iter()
        .map(|step| match step.volume {
            Some(volume) => format!("{} It comes to {}.", words::clean(&step.text), nearest(volume)),
            None => words::clean(&step.text),
        })
        .collect();
    let low = words::figures(in_celsius(recipe.temperature.low), 3, Round::Nearest);
    let high = words::figures(in_celsius(recipe.temperature.high), 3, Round::Nearest);
    let warmth = if low == high { format!("{low} \u{b0}C") } else { format!("{low} to {high} \u{b0}C") };
    let mut rest = vec![format!("The bath works at {warmth}.")];
    if let Some(limit) = recipe.use_within {
        rest.push(if recipe.outlasts_its_limit() {
            format!("Make it fresh: the part goes in within {} of mixing.", in_words(limit))
        } else {
            format!("Make it fresh and use it within {} of mixing.", in_words(limit))
        });
    }
    Section::of("Making up, in this order", vec![Block::Numbered(order), Block::List(rest)])
}

/// What to add to a used bath.
pub(super) fn correction(c: &Correction) -> Option<Section> {
    let add = c.add.iter().filter_map(|i| {
        let amount = i.line.amount.as_ref()?;
        // No finer than it can be measured; the full figure is in the JSON.
        let shown = match (amount.mass(), amount.volume()) {
            (Some(m), _) => words::mass(m.high, Round::Nearest),
            (_, Some(v)) => words::volume(v.high, Round::Nearest),
            _ => amount.to_string(),
        };
        Some(format!("{}: {shown}", words::clean(&i.line.name)))
    });
    Section::of("What to add, in this order", vec![Block::Numbered(add.collect()), Block::List(cleaned(&c.notes))])
}

/// What a corrected bath comes to, beside what it should be.
pub(super) fn reached(r: &Reached) -> Option<Section> {
    fn beside<T: Copy>(b: &Beside<T>, show: impl Fn(T) -> String) -> String {
        format!("{}; fresh: {}", words::estimate(b.is, &show), show(b.target))
    }
    let number = |places| move |x: f64| words::fixed(x, places, Round::Nearest);
    let mut facts = vec![("Volume".to_string(), words::estimate(r.volume, nearest))];
    let ph = r.ph.map_or(UNKNOWN.into(), |b| beside(&b, |Ph(x)| number(1)(x)));
    facts.push(("pH".into(), ph));
    let density =
        r.density.map_or(UNKNOWN.into(), |b| beside(&b, |d| format!("{} kg/m\u{b3}", number(0)(in_kg_per_m3(d)))));
    facts.push(("Density".into(), density));
    let grams = |c| format!("{} g/L", words::figures(in_g_per_l(c), 3, Round::Nearest));
    facts.extend(r.solutes.iter().map(|(name, b)| (words::clean(name), beside(b, grams))));
    Section::of("What it then comes to", vec![Block::Facts(facts)])
}

/// What stands for a figure that no model gives.
const UNKNOWN: &str = "not modelled";

/// Figures of the bath.
pub(super) fn facts(title: &str, m: &Mixture) -> Option<Section> {
    let number = |places| move |x: f64| words::fixed(x, places, Round::Nearest);
    let density = m
        .density
        .map_or(UNKNOWN.into(), |d| format!("{} kg/m\u{b3}", words::estimate(d, |d| number(0)(in_kg_per_m3(d)))));
    let ph = m.ph.map_or(UNKNOWN.into(), |ph| words::estimate(ph, |Ph(x)| number(1)(x)));
    let heat = m.heat_rise.map_or(UNKNOWN.into(), |h| match in_kelvins(h) {
        k if k < 0.1 => "less than 0.1 \u{b0}C warmer".into(),
        k => format!("at most {} \u{b0}C warmer", words::figures(k, 2, Round::Up)),
    });
    let facts = vec![
        ("Volume".into(), words::estimate(m.volume, nearest)),
        ("Mass".into(), words::estimate(m.mass, |x| words::mass(x, Round::Nearest))),
        ("Density".into(), density),
        ("pH".into(), ph),
        ("Temperature".into(), format!("{} \u{b0}C", words::figures(in_celsius(m.temperature), 3, Round::Nearest))),
        ("Heat of mixing and reaction".into(), heat),
    ];
    let mut notes: Vec<String> = m.gas.iter().map(gas).collect();
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
pub(super) fn contents(m: &Mixture) -> Option<Section> {
    let three = |x: f64| words::figures(x, 3, Round::Nearest);
    let rows: Vec<Vec<String>> = m
        .solutes
        .iter()
        .map(|s| {
            vec![
                words::clean(&s.name),
                words::estimate(s.mass, |x| words::mass(x, Round::Nearest)),
                words::estimate(s.concentration, |x| three(in_g_per_l(x))),
                words::estimate(s.fraction, |x: MassFraction| three(x.in_percent())),
                s.molar.map_or("-".into(), |c: Estimate<_>| words::estimate(c, |x| three(in_mol_per_l(x)))),
                s.largest_error.as_deref().map_or("-".into(), words::clean),
            ]
        })
        .collect();
    let head = vec!["Dissolved", "Mass", "g/L", "% by mass", "mol/L", "Least certain through"];
    Section::of("What is in the bath", vec![Block::Table(head, rows)])
}

/// The label for the jar.
pub(super) fn jar(name: &str, m: &Mixture, review: &Review, recipe: Option<&Recipe>) -> Option<Section> {
    Section::of("Label for the jar", vec![Block::Label(jar_label(name, m, review, recipe))])
}

/// What brings a bath to a pH.
pub(super) fn neutralised(n: &Neutralised) -> Option<Section> {
    let name = words::clean(&n.reagent);
    let stood = "once it has stopped fizzing and stood open";
    let mass = |m| words::estimate(m, |x| words::mass(x, Round::Nearest));
    let reached = ("pH then".to_string(), words::estimate(n.ph, |Ph(x)| words::fixed(x, 1, Round::Nearest)));
    let state = match n.carbonate {
        None => String::new(),
        Some(Carbonate::Fizzing) => ", while it still fizzes".into(),
        Some(Carbonate::Aired) => format!(", {stood}"),
        Some(Carbonate::Closed) => ", closed, with all the gas kept in".into(),
    };
    // What is really wanted stands first: the larger figure only explains what paper reads in between.
    let facts = match n.stood {
        Some(enough) => vec![
            (format!("{name}, {stood}"), mass(enough)),
            reached,
            ("To read that pH while it still fizzes (do not add as much)".into(), mass(n.mass)),
        ],
        None => vec![(format!("{name}{state}"), mass(n.mass)), reached],
    };
    let mut notes: Vec<String> = n.gas.iter().map(gas).collect();
    notes.extend(cleaned(&n.warnings));
    Section::of("What it takes", vec![Block::Facts(facts), Block::List(notes)])
}
