//! The sheet of `choose`: what shows, which recipe, what is missing.

use super::model::{Block, Section, Sheet};
use super::{html, json, terminal, words};
use crate::plan::{Candidate, Choice, Purchase};

/// As text.
pub fn text(choice: &Choice, width: usize) -> String {
    terminal::text(&sheet(choice), width)
}

/// As a page to print.
pub fn page(choice: &Choice) -> String {
    html::page(&sheet(choice))
}

/// The sheet itself.
pub fn sheet(choice: &Choice) -> Sheet {
    let w = &choice.wish;
    let what = match w.binder {
        Some(b) => format!("{}-filled {}", w.metal.name, b.name),
        None => w.metal.name.to_string(),
    };
    let mut below: Vec<Section> = Vec::new();
    below.extend(Section::of("The metal that shows", vec![Block::List(cleaned(&choice.showing.meaning))]));
    for (i, c) in choice.ranked.iter().enumerate() {
        below.extend(candidate(i + 1, c));
    }
    if choice.ranked.is_empty() {
        below.extend(Section::of(
            "None is left",
            vec![Block::Text("Every recipe is excluded; the reasons are below. Another look, more time, or the outdoors may let one in.".into())],
        ));
    }
    let out: Vec<String> = choice
        .excluded
        .iter()
        .map(|e| format!("{} ({}): {}", words::clean(&e.id), words::clean(&e.title), words::clean(&e.why.join("; "))))
        .collect();
    below.extend(Section::of("Out, and why", vec![Block::List(out)]));
    Sheet {
        title: "Which recipe".into(),
        subtitle: Some(words::clean(&what)),
        not_judged: None,
        verdict: None,
        first: Vec::new(),
        recipe_side: Vec::new(),
        safety_side: Vec::new(),
        below,
        closing: format!(
            "The places follow weights of our own and no promise: a coupon decides. Verdicts are for the recipe as written. {}",
            words::DEFERS
        ),
    }
}

fn candidate(place: usize, c: &Candidate) -> Option<Section> {
    let mut blocks = vec![
        Block::Text(format!(
            "{} [{}, verdict {}]",
            words::clean(&c.recipe.title),
            json::method(c.recipe.method),
            json::verdict(c.review.verdict)
        )),
        Block::List(cleaned(&c.reasons)),
    ];
    let rows: Vec<Vec<String>> = c.shopping.iter().map(purchase).collect();
    blocks.push(Block::Table(vec!["To buy", "Needed", "Package", "Where"], rows));
    Section::of(&format!("{place}. {}", words::clean(&c.recipe.id)), blocks)
}

fn purchase(p: &Purchase) -> Vec<String> {
    let name = match &p.strength {
        Some(s) => format!("{} {s}", words::clean(&p.name)),
        None => words::clean(&p.name),
    };
    vec![name, words::clean(&p.needed), p.packages.clone().unwrap_or_else(|| "-".into()), words::clean(&p.remark)]
}

fn cleaned(lines: &[String]) -> Vec<String> {
    lines.iter().map(|l| words::clean(l)).collect()
}
