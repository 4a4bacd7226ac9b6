//! The sheet of `choose`: what shows, which recipe, what is missing.

use super::model::{Block, Section, Sheet};
use super::words::cleaned;
use super::{html, json, not_judged_line, terminal, words};
use crate::plan::{Candidate, Choice, Excluded, Hindrance, Purchase};
use std::borrow::Cow;

/// As text.
pub fn text(choice: &Choice, width: usize) -> String {
    terminal::text(&sheet(choice), width)
}

/// As a page to print.
pub fn page(choice: &Choice) -> String {
    html::page(&sheet(choice))
}

/// The sheet itself.
pub fn sheet(choice: &Choice) -> Sheet<'_> {
    let w = &choice.wish;
    let what = match w.binder {
        Some(b) => format!("{}-filled {}", w.metal.name, b.name),
        None => w.metal.name.to_string(),
    };
    let mut below: Vec<Section<'_>> = Vec::new();
    below.extend(Section::of("The metal that shows", vec![Block::List(cleaned(&choice.showing.meaning))]));
    for (i, c) in choice.ranked.iter().enumerate() {
        below.extend(candidate(i + 1, c));
    }
    below.extend(Section::of("None is left", vec![Block::List(cleaned(&choice.relax))]));
    below.extend(Section::of("Out, and why", vec![Block::List(excluded(choice))]));
    Sheet {
        title: "Which recipe".into(),
        subtitle: Some(words::clean(&what).into_owned().into()),
        not_judged: None,
        verdict: None,
        first: Vec::new(),
        recipe_side: Vec::new(),
        safety_side: Vec::new(),
        below,
        closing: format!(
            "The places follow weights of our own and no promise: a coupon decides. Verdicts and amounts are for a bath of {}, {}. Times are those that `plan` and `plan --whole` list; a barrel takes weeks more. {}",
            words::volume(w.volume, words::Round::Nearest),
            if w.bench.is_some() {
                "from the bottles on the shelf and those to buy, in this room"
            } else {
                "from the bottles to buy, in this room"
            },
            words::DEFERS
        )
        .into(),
    }
}

/// Recipes for other metals in one line, the others each with its reasons.
fn excluded(choice: &Choice) -> Vec<Cow<'_, str>> {
    let of_others = |e: &&Excluded| e.why.iter().any(|(h, _)| *h == Hindrance::Metal);
    let others: Vec<Cow<'_, str>> = choice.excluded.iter().filter(of_others).map(|e| words::clean(&e.id)).collect();
    let rest = choice.excluded.iter().filter(|e| !of_others(e)).map(|e| {
        let why: Vec<Cow<'_, str>> = e.why.iter().map(|(_, told)| words::clean(told)).collect();
        format!("{} ({}): {}", words::clean(&e.id), words::clean(&e.title), why.join("; ")).into()
    });
    let mut out: Vec<Cow<'_, str>> = rest.collect();
    if !others.is_empty() {
        let metal = words::clean(&choice.wish.metal.name);
        out.push(format!("For other metals than {metal}: {}", others.join(", ")).into());
    }
    out
}

fn candidate(place: usize, c: &Candidate) -> Option<Section<'_>> {
    let (recipe, review) = (c.recipe(), c.bath.review());
    let what = format!(
        "{} [{}, verdict {}]",
        words::clean(&recipe.title),
        json::method(recipe.method),
        json::verdict(review.verdict)
    );
    let mut blocks = vec![
        Block::Text(what.into()),
        Block::Text(not_judged_line(review).unwrap_or_default().into()),
        Block::List(cleaned(&c.reasons)),
    ];
    let rows = c.shopping().iter().map(purchase).collect();
    blocks.push(Block::Table(vec!["To buy", "Needed", "Package", "Where"], rows));
    Section::of(format!("{place}. {}", words::clean(&recipe.id)), blocks)
}

fn purchase(p: &Purchase) -> Vec<Cow<'_, str>> {
    let name = match &p.strength {
        Some(s) => format!("{} {s}", words::clean(&p.name)).into(),
        None => words::clean(&p.name),
    };
    vec![name, words::clean(&p.needed), p.packages.as_deref().unwrap_or("-").into(), words::clean(&p.remark)]
}
