//! The sheet as one self-contained page: no script, nothing fetched, prints on A4 and Letter, works in black and white.

mod drawing;
mod pictogram;

use super::label::{JarLabel, LABEL_FOOT};
use super::model::{Block, Finding, FirstAction, Section, Sheet, Tick};
use super::{compose, json, words};
use crate::plan::{Corrected, Mixed, Neutralisation, Plan, Scaled};
use crate::safety::{Gravity, Review, Reviewed, Verdict};
use maud::{DOCTYPE, Markup, PreEscaped, html};

const STYLE: &str = include_str!("style.css");

/// The page of `check`.
pub fn check(review: &Review) -> String {
    page(&compose::check(review))
}

/// The page of `mix`.
pub fn mix(mixed: &Reviewed<Mixed>) -> String {
    page(&compose::mix(mixed))
}

/// The page of `neutralise`.
pub fn neutralise(found: &Reviewed<Neutralisation>) -> String {
    page(&compose::neutralise(found))
}

/// The page of `correct`.
pub fn correct(found: &Reviewed<Corrected>) -> String {
    page(&compose::correct(found))
}

/// The page of `scale`.
pub fn scale(scaled: &Reviewed<Scaled>) -> String {
    page(&compose::scale(scaled))
}

/// The page of `plan`: the sheet to print and pin up.
pub fn plan(plan: &Reviewed<Plan>) -> String {
    page(&compose::plan(plan))
}

/// The page of a refusal: reasons, no amounts.
pub fn refused(title: Option<&str>, review: &Review) -> String {
    page(&compose::refused(title, review))
}

/// Any sheet as a page.
pub(super) fn page(sheet: &Sheet<'_>) -> String {
    let refused = sheet.verdict.as_ref().is_some_and(|(v, _)| *v == Verdict::Refuse);
    let judged = html! {
        @if let Some(line) = &sheet.not_judged { p.not-judged { (said(line)) } }
    };
    let body = html! {
        @if !refused { (judged) }
        header {
            h1 { (sheet.title) }
            @if let Some(subtitle) = &sheet.subtitle { p.subtitle { (subtitle) } }
            @if let Some((verdict, sentence)) = &sheet.verdict {
                p.verdict.refused[refused] {
                    @if refused { strong { (sentence) } } @else { strong { "Verdict: " (json::verdict(*verdict)) } " \u{2013} " (sentence) }
                }
            }
        }
        @if refused { (judged) }
        @if sheet.recipe_side.is_empty() {
            main { (first(&sheet.first)) @for s in &sheet.safety_side { (section(s)) } }
        } @else {
            main.beside {
                div.safety-cell { (first(&sheet.first)) @for s in &sheet.safety_side { (section(s)) } }
                div.recipe-cell { @for s in &sheet.recipe_side { (section(s)) } }
            }
        }
        div.below { @for s in &sheet.below { (section(s)) } footer { p { (sheet.closing) } } }
    };
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'";
                title { (sheet.title) }
                style { (PreEscaped(STYLE)) }
            }
            body { (body) }
        }
    }
    .into_string()
}

fn first(actions: &[FirstAction<'_>]) -> Markup {
    html! {
        @if !actions.is_empty() {
            section.first {
                h2 { "Before anything else" }
                ol { @for a in actions {
                    li { (word(a.gravity)) " " (said(&a.action)) " " span.hazard { "(" (a.hazard) ")" } }
                } }
            }
        }
    }
}

fn word(gravity: Gravity) -> Markup {
    html! { strong.word { (words::gravity(gravity)) ":" } }
}

fn section(section: &Section<'_>) -> Markup {
    // What is tall beside its neighbour would leave half a page empty.
    let wide = section.blocks.iter().any(|b| matches!(b, Block::Checklist(_) | Block::Table(..)))
        || section.blocks.iter().map(lines).sum::<usize>() > TALL;
    html! {
        section.wide[wide] {
            @if !section.title.is_empty() { h2 { (section.title) } }
            @for b in &section.blocks { (block(b)) }
        }
    }
}

/// Lines from which a section takes the whole width.
const TALL: usize = 14;

/// About how many lines a block takes, for the layout.
fn lines(block: &Block<'_>) -> usize {
    match block {
        Block::List(items) | Block::Numbered(items) => items.len(),
        Block::Facts(facts) => facts.len(),
        _ => 1,
    }
}

fn block(block: &Block<'_>) -> Markup {
    match block {
        Block::Text(text) => html! { p { (said(text)) } },
        Block::List(items) => html! { ul { @for i in items { li { (said(i)) } } } },
        Block::Numbered(items) => html! { ol { @for i in items { li { (said(i)) } } } },
        Block::Facts(facts) => html! {
            dl { @for (name, value) in facts { div { dt { (said(name)) } dd { (said(value)) } } } }
        },
        Block::Table(head, rows) => html! {
            table.amounts[head.contains(&"Measure out")] {
                thead { tr { @for h in head { th scope="col" { (h) } } } }
                tbody { @for row in rows { tr { @for cell in row { td { (tight(cell)) } } } } }
            }
        },
        Block::Checklist(ticks) => html! { ul.ticks { @for t in ticks { (tick(t)) } } },
        Block::Finding(f) => finding(f),
        Block::Label(label) => jar(label),
        Block::Drawing(d) => drawing::svg(d),
    }
}

/// Words, with what stands between backticks (names as the person wrote them, what to type) in a type of its own.
fn said(text: &str) -> Markup {
    let pieces: Vec<&str> = text.split('`').collect();
    // An odd one out is no pair: then the text stands as it is.
    if pieces.len().is_multiple_of(2) {
        return html! { (text) };
    }
    html! {
        @for (i, piece) in pieces.iter().enumerate() {
            @if i.is_multiple_of(2) { (piece) } @else { code { (piece) } }
        }
    }
}

/// Keeps a number and its unit on one line.
fn tight(text: &str) -> String {
    ["%", "mL", "L", "mm", "g", "cups", "cup", "tbsp", "tsp"].iter().fold(text.to_string(), |t, unit| {
        (0..10).fold(t, |t, digit| t.replace(&format!("{digit} {unit}"), &format!("{digit}\u{a0}{unit}")))
    })
}

fn tick(t: &Tick<'_>) -> Markup {
    html! {
        li {
            label {
                input type="checkbox";
                span.when { (t.when) }
                span.what {
                    strong { (t.about) ": " } (said(&t.what))
                    @if let Some(remark) = &t.remark { span.remark { (said(remark)) } }
                }
            }
        }
    }
}

fn finding(f: &Finding<'_>) -> Markup {
    let class = match f.gravity {
        Gravity::Note => "finding note",
        Gravity::Caution => "finding caution",
        Gravity::StrongCaution => "finding strong-caution",
        Gravity::Stop => "finding stop",
    };
    html! {
        article class=(class) {
            h3 { (word(f.gravity)) " " (f.title) }
            p { (said(&f.why)) }
            @if !f.products.is_empty() { p { "Makes: " (f.products.join(", ")) "." } }
            @if !f.figures.is_empty() { p { "Figures: " (f.figures.join("; ")) "." } }
            @if !f.actions.is_empty() { ul { @for a in &f.actions { li { (said(a)) } } } }
            p.rule { "Rule: " (f.id) }
        }
    }
}

fn jar(label: &JarLabel<'_>) -> Markup {
    html! {
        div.jar {
            p.name { (label.name) }
            @if let Some(word) = &label.signal_word { p.signal { (word) } }
            @if !label.pictograms.is_empty() {
                div.pictograms { @for (code, name) in &label.pictograms { (pictogram::figure(code, name)) } }
            }
            @if !label.holds.is_empty() { p { "Holds: " (label.holds.join(", ")) "; water" } }
            @if !label.hazards.is_empty() {
                p { @for (code, text) in &label.hazards { strong { (code) } " " (text) ". " } }
            }
            @if !label.precautions.is_empty() {
                p { @for (code, text) in &label.precautions { strong { (code) } " " (text) ". " } }
            }
            @for line in &label.not_classified { p { "Not classified: " (line) } }
            p { (label.keeps) }
            p.dates { span { "Made:" } span { "Discard by:" } }
            p.foot { (LABEL_FOOT) }
        }
    }
}
