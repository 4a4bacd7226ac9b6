//! Aftercare, disposal, method and whole job on the sheet of a plan.

use super::model::{Block, Section};
use super::words::{self, Round, cleaned};
use crate::amount::{Estimate, figure, millilitres};
use crate::plan::{Aftercare, Disposal, MethodPlan, Plan, Whole, days};
use crate::safety::Review;
use std::borrow::Cow;

/// What stands beside the amounts: the method's own quantities.
pub(super) fn method(method: &MethodPlan) -> Option<Section<'_>> {
    let facts = method.facts.iter().map(|(k, v)| (words::clean(k), words::clean(v))).collect();
    Section::of(method.title.as_str(), vec![Block::Facts(facts), Block::Numbered(cleaned(&method.steps))])
}

/// The whole job in short, the barrel and the coupon.
pub(super) fn whole(plan: &Plan) -> Vec<Section<'_>> {
    let Some(whole) = &plan.whole else { return Vec::new() };
    let mut facts = vec![
        ("From rough part to finished".into(), days(whole.length).into()),
        ("Before the part goes into the bath".into(), days(whole.before_the_bath).into()),
    ];
    if !whole.degrease.is_empty() {
        let names: Vec<Cow<'_, str>> = whole.degrease.iter().map(|p| words::clean(&p.ingredient.line.text)).collect();
        facts.push(("Degreased with, beside soap and water".into(), names.join(", ").into()));
    }
    let mut sections: Vec<Section<'_>> = Section::of("The whole job", vec![Block::Facts(facts)]).into_iter().collect();
    sections.extend(coupon(whole));
    if let Some(load) = &whole.tumbling {
        sections.extend(super::tumble::sections(load).into_iter().map(of_the_barrel));
    }
    sections
}

/// What to beware of at the barrel: it comes first in the checklist, so this stands before it.
pub(super) fn barrel_cautions(plan: &Plan) -> Option<Section<'_>> {
    super::tumble::cautions(plan.whole.as_ref()?.tumbling.as_ref()?).map(of_the_barrel)
}

fn of_the_barrel(section: Section<'_>) -> Section<'_> {
    Section { title: format!("Tumbling: {}", section.title.to_lowercase()).into(), ..section }
}

fn coupon(whole: &Whole) -> Option<Section<'_>> {
    let coupon = whole.coupon.as_ref()?;
    let rows = coupon.dosing.doses.iter().map(|d| {
        let measured = d.measured.as_ref().map_or_else(|| words::clean(&d.metric), |m| words::measured(m).into());
        vec![words::clean(&d.name), measured, words::clean(&d.metric)]
    });
    Section::of(
        "Coupon",
        vec![
            Block::Text(
                format!(
                    "{} of the same bath for a trial piece of the same material, prepared the same way.",
                    words::volume(coupon.volume, Round::Nearest)
                )
                .into(),
            ),
            Block::Table(vec!["Ingredient", "Measure out", "Metric"], rows.collect()),
        ],
    )
}

/// Aftercare.
pub(super) fn aftercare(care: &Aftercare) -> Vec<Section<'_>> {
    let mut facts: Vec<(Cow<'_, str>, Cow<'_, str>)> = Vec::new();
    if let Some(ml) = care.carried_ml {
        facts.push((
            "Carried off on the surface".into(),
            format!("{} to {} mL of bath", figure(ml.low), figure(ml.high)).into(),
        ));
    }
    if let Some(ml) = care.inside_ml {
        facts.push(("Inside hollow prints, at most".into(), format!("{} mL of bath", figure(ml)).into()));
    }
    if let Some(r) = &care.rinsing {
        facts.push((
            "Rinse".into(),
            format!(
                "{} times in {} of clean water each, moving it; {} of the bath's strength is left on the surface",
                r.times,
                words::volume(millilitres(r.each_ml), Round::Up),
                parts_of(r.left)
            )
            .into(),
        ));
        if let Some(n) = r.times_with_inside {
            facts.push((
                "With what seeped in".into(),
                format!("{n} times, half a day apart: what is inside comes out slowly, and how fast is not known")
                    .into(),
            ));
        }
    }
    if let Some(n) = &care.neutralising {
        // Less than a kitchen pinch is no amount to weigh.
        let text = if n.needed_g.high < PINCH_G {
            format!("less than {PINCH_G} g: the rinse does as much")
        } else {
            format!(
                "{} g at most, to about pH 7 once it has stopped fizzing and stood open; while it fizzes paper reads lower: \
                 wait, do not add more",
                words::estimate(n.needed_g, figure_up)
            )
        };
        facts.push(("Baking soda for what the parts carry".into(), text.into()));
        facts.push((
            "Neutralising bath".into(),
            if n.recipe_has_one {
                "the recipe's own; see the checklist. Test the last rinse with paper".into()
            } else {
                format!(
                    "{:.0} g of baking soda in {} of water, open; 5 minutes, it may fizz",
                    n.soda_g,
                    words::volume(millilitres(n.water_ml), Round::Nearest)
                )
                .into()
            },
        ));
    }
    if let Some(s) = &care.strip {
        let lines: Vec<Cow<'_, str>> = s.bath.iter().map(|i| words::clean(&i.line.text)).collect();
        facts.push((
            "To strip a coat that failed".into(),
            format!("{}: minutes, watched, in the open; only after rinsing and drying", lines.join(", ")).into(),
        ));
    }
    let notes = care.no_rinsing.iter().chain(&care.no_neutralising).map(|l| words::clean(l)).collect();
    let mut sections: Vec<Section<'_>> =
        Section::of("After the bath", vec![Block::Facts(facts), Block::List(notes)]).into_iter().collect();
    sections.extend(
        care.advice.iter().filter_map(|(title, lines)| Section::of(title.as_str(), vec![Block::List(cleaned(lines))])),
    );
    sections
}

/// Baking soda below which nothing is weighed, g (our choice).
const PINCH_G: f64 = 0.1;

fn figure_up(value: f64) -> String {
    words::figures(value, 2, Round::Up)
}

/// "a 1000th".
fn parts_of(share: f64) -> String {
    if share > 0.0 { format!("1 part in {}", words::figures(1.0 / share, 2, Round::Down)) } else { "nothing".into() }
}

/// What is left of the batch, and what the review says of getting rid of it.
pub(super) fn disposal<'a>(d: &'a Disposal, review: &'a Review) -> Option<Section<'a>> {
    if d.volumes.is_empty() {
        return Section::of("Disposal", vec![Block::List(cleaned(&review.disposal))]);
    }
    let mut facts: Vec<(Cow<'a, str>, Cow<'a, str>)> = d
        .volumes
        .iter()
        .map(|(name, ml)| (words::clean(name), format!("up to {}", words::volume(millilitres(*ml), Round::Up)).into()))
        .collect();
    if let Some(ph) = d.ph {
        let ph = Estimate { best: ph.best.0, low: ph.low.0, high: ph.high.0 };
        facts.push(("pH of the bath as mixed".into(), words::estimate(ph, |x| format!("{x:.1}")).into()));
    } else {
        facts.push(("pH of the bath".into(), "not modelled: test with paper".into()));
    }
    for m in &d.metals {
        let grams = |g: Option<f64>| g.map_or("not modelled".to_string(), |g| format!("{} g", figure_up(g)));
        let mut text = format!(
            "from the salts {}, off the parts by acid and peroxide {}",
            grams(m.from_salts_g),
            grams(m.from_parts_g)
        );
        if let Some(g) = m.g_per_l {
            text.push_str(&format!("; together {} g a litre", figure_up(g)));
        }
        if let Some(times) = m.times_sewer_limit {
            let least = if m.g_per_l.is_none() { "at least " } else { "" };
            text.push_str(&format!(
                ", {least}{} times what US metal finishers may send to a sewer",
                words::figures(times, 2, Round::Nearest)
            ));
        }
        facts.push((format!("Holds {}, at most", m.metal).into(), text.into()));
    }
    let told = |who: &str, lines: &[String]| {
        Block::List(lines.iter().map(|l| [who, &words::clean(l)].concat().into()).collect())
    };
    let blocks = vec![
        Block::List(cleaned(&review.disposal)),
        Block::Facts(facts),
        Block::List(cleaned(&d.never)),
        told("At home: ", &d.household),
        told("In a business or school: ", &d.business),
        Block::List(cleaned(&d.solids)),
        Block::Text(format!("Not known: {}.", cleaned(&d.unknown).join("; ")).into()),
    ];
    Section::of("Disposal", blocks)
}
