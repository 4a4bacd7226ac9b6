//! The sheet as plain text for a terminal or a pipe: no colour, no control codes, one given width.

use super::label::{JarLabel, LABEL_FOOT};
use super::model::{Block, Finding, FirstAction, Section, Sheet, Tick};
use super::{compose, json, words};
use crate::plan::{Corrected, Listing, Mixed, Neutralisation, Plan, Scaled};
use crate::safety::{Review, Reviewed, Verdict};
use comfy_table::{ColumnConstraint, ContentArrangement, LineStyle, Table, TableStyle, Width};
use textwrap::core::display_width;
use textwrap::{Options, WordSeparator, WordSplitter, WrapAlgorithm, wrap};

/// From this width on, recipe and safety notes stand side by side.
pub const SIDE_BY_SIDE: usize = 100;
/// Text is never laid out narrower than this; a narrower terminal wraps it.
const NARROWEST: usize = 40;
/// Nor wider: long lines are hard to read.
const WIDEST: usize = 160;
/// What a table adds left and right of a cell.
const PADDING: usize = 2;
/// A line under the heads and between rows; the heading above the table is line enough.
const RULED: TableStyle = TableStyle::new()
    .header_separator(LineStyle::none().fill('\u{2550}').junction('\u{2550}'))
    .row_separator(LineStyle::none().fill('\u{2500}').junction('\u{2500}'));
/// Between the two columns.
const GUTTER: &str = " \u{2502} ";

/// What `check` prints.
pub fn check(review: &Review, width: usize) -> String {
    text(&compose::check(review), width)
}

/// What `mix` prints.
pub fn mix(mixed: &Reviewed<Mixed>, width: usize) -> String {
    text(&compose::mix(mixed), width)
}

/// What `neutralise` prints.
pub fn neutralise(found: &Reviewed<Neutralisation>, width: usize) -> String {
    text(&compose::neutralise(found), width)
}

/// What `correct` prints.
pub fn correct(found: &Reviewed<Corrected>, width: usize) -> String {
    text(&compose::correct(found), width)
}

/// What `scale` prints.
pub fn scale(scaled: &Reviewed<Scaled>, width: usize) -> String {
    text(&compose::scale(scaled), width)
}

/// What `plan` prints.
pub fn plan(plan: &Reviewed<Plan>, width: usize) -> String {
    text(&compose::plan(plan), width)
}

/// What every command that prints amounts prints instead when the mixture is refused.
pub fn refused(title: Option<&str>, review: &Review, width: usize) -> String {
    text(&compose::refused(title, review), width)
}

/// What `recipes` prints.
pub fn recipes(listing: &Listing, width: usize) -> String {
    text(&compose::recipes(listing), width)
}

/// Any sheet as text.
pub(super) fn text(sheet: &Sheet, width: usize) -> String {
    let width = width.clamp(NARROWEST, WIDEST);
    let mut out = head(sheet, width);
    if width >= SIDE_BY_SIDE && !sheet.recipe_side.is_empty() {
        out.extend(two_columns(sheet, width));
        out.extend(sections(&sheet.below, width));
    } else {
        out.extend(first(&sheet.first, width));
        for side in [&sheet.recipe_side, &sheet.safety_side, &sheet.below] {
            out.extend(sections(side, width));
        }
    }
    out.extend(wrapped(&sheet.closing, width, "", ""));
    let mut page = String::new();
    for line in out {
        page.push_str(line.trim_end());
        page.push('\n');
    }
    page
}

fn head(sheet: &Sheet, width: usize) -> Vec<String> {
    let mut out = Vec::new();
    let judged: Vec<String> = sheet.not_judged.iter().flat_map(|l| wrapped(l, width, "", "  ")).collect();
    let refused = sheet.verdict.as_ref().is_some_and(|(v, _)| *v == Verdict::Refuse);
    if !refused && !judged.is_empty() {
        out.extend(judged.iter().cloned());
        out.push(String::new());
    }
    if let (true, Some((_, sentence))) = (refused, &sheet.verdict) {
        out.extend(wrapped(sentence, width, "", ""));
        out.push(String::new());
    }
    out.extend(wrapped(&sheet.title.to_uppercase(), width, "", ""));
    if let Some(subtitle) = &sheet.subtitle {
        out.extend(wrapped(subtitle, width, "", ""));
    }
    out.push(String::new());
    if let (false, Some((verdict, sentence))) = (refused, &sheet.verdict) {
        out.extend(wrapped(&format!("Verdict: {} - {sentence}", json::verdict(*verdict)), width, "", "  "));
        out.push(String::new());
    }
    if refused && !judged.is_empty() {
        out.extend(judged);
        out.push(String::new());
    }
    out
}

/// The gravest actions.
fn first(actions: &[FirstAction], width: usize) -> Vec<String> {
    if actions.is_empty() {
        return Vec::new();
    }
    let mut out = heading("Before anything else", width);
    for (i, a) in actions.iter().enumerate() {
        let line = format!("{}: {} ({})", words::gravity(a.gravity), a.action, a.hazard);
        out.extend(wrapped(&line, width, &format!("{}. ", i + 1), "   "));
    }
    out.push(String::new());
    out
}

fn heading(title: &str, width: usize) -> Vec<String> {
    if title.is_empty() {
        return Vec::new();
    }
    let rule = width.saturating_sub(display_width(title) + 1);
    vec![format!("{title} {}", "\u{2500}".repeat(rule))]
}

fn sections(sections: &[Section], width: usize) -> Vec<String> {
    sections.iter().flat_map(|s| section(s, width)).collect()
}

fn section(section: &Section, width: usize) -> Vec<String> {
    let mut out = heading(&section.title, width);
    for (i, block) in section.blocks.iter().enumerate() {
        if i > 0 && matches!(block, Block::Finding(_)) {
            out.push(String::new());
        }
        out.extend(lines(block, width));
    }
    out.push(String::new());
    out
}

/// Recipe on the left, safety notes on the right. Where one column ends, the sections left over of the other go on
/// below, over the whole width.
fn two_columns(sheet: &Sheet, width: usize) -> Vec<String> {
    let room = width - display_width(GUTTER);
    let left_width = room * 55 / 100;
    let right_width = room - left_width;
    let lay = |all: &[Section], width| all.iter().map(|s| section(s, width)).collect::<Vec<_>>();
    let (left, right) = (lay(&sheet.recipe_side, left_width), lay(&sheet.safety_side, right_width));
    let first = first(&sheet.first, right_width);
    let length = |columns: &[Vec<String>]| columns.iter().map(Vec::len).sum::<usize>();
    let enough = |columns: &[Vec<String>], start: usize, other: usize| {
        (1..=columns.len()).find(|n| start + length(&columns[..*n]) >= other).unwrap_or(columns.len())
    };
    let right_length = first.len() + length(&right);
    let lefts = enough(&left, 0, right_length);
    let rights = enough(&right, first.len(), length(&left[..lefts]));
    let left_lines = left[..lefts].concat();
    let right_lines = [&first[..], &right[..rights].concat()].concat();
    let at = |column: &[String], i: usize| column.get(i).cloned().unwrap_or_default();
    let mut out: Vec<String> = (0..left_lines.len().max(right_lines.len()))
        .map(|i| {
            let text = at(&left_lines, i);
            let pad = left_width.saturating_sub(display_width(&text));
            format!("{text}{}{GUTTER}{}", " ".repeat(pad), at(&right_lines, i))
        })
        .collect();
    out.push(String::new());
    out.extend(sections(&sheet.safety_side[rights..], width));
    out.extend(sections(&sheet.recipe_side[lefts..], width));
    out
}

fn lines(block: &Block, width: usize) -> Vec<String> {
    match block {
        Block::Text(text) => wrapped(text, width, "", ""),
        Block::List(items) => items.iter().flat_map(|i| wrapped(i, width, "- ", "  ")).collect(),
        Block::Numbered(items) => {
            let numbered = items.iter().enumerate();
            numbered.flat_map(|(n, i)| wrapped(i, width, &format!("{}. ", n + 1), "   ")).collect()
        }
        Block::Facts(facts) => {
            facts.iter().flat_map(|(name, value)| wrapped(&format!("{name}: {value}"), width, "", "  ")).collect()
        }
        Block::Table(head, rows) => table(head, rows, width),
        Block::Checklist(ticks) => ticks.iter().flat_map(|t| tick(t, width)).collect(),
        Block::Finding(finding) => found(finding, width),
        Block::Label(label) => jar(label, width),
        // Every figure of the drawing stands in the facts beside it.
        Block::Drawing(_) => Vec::new(),
    }
}

fn table(head: &[&str], rows: &[Vec<String>], width: usize) -> Vec<String> {
    if head.iter().map(|h| display_width(h) + PADDING).sum::<usize>() > width {
        return stacked(head, rows, width);
    }
    let mut table = Table::new();
    table
        .load_style(RULED)
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(u16::try_from(width).unwrap_or(u16::MAX))
        .set_header(head.to_vec());
    table.add_rows(rows.iter().map(|r| r.to_vec()));
    let fits = |lines: &[String]| lines.iter().all(|l| display_width(l) <= width);
    // As asked; else as the library shares the room out; else without columns.
    let free = table.clone();
    keep_short_columns_whole(&mut table, head, rows, width);
    let lines: Vec<String> = table.lines().collect();
    if fits(&lines) {
        return lines;
    }
    let lines: Vec<String> = free.lines().collect();
    if fits(&lines) { lines } else { stacked(head, rows, width) }
}

/// A table that is too narrow for its heads: one line a cell, each with its head.
fn stacked(head: &[&str], rows: &[Vec<String>], width: usize) -> Vec<String> {
    let mut out = Vec::new();
    for row in rows {
        for (i, (head, cell)) in head.iter().zip(row).enumerate() {
            let (bullet, text) = (if i == 0 { "- " } else { "  " }, cell.replace('\n', " "));
            let line = if head.is_empty() { text } else { format!("{head}: {text}") };
            out.extend(wrapped(&line, width, bullet, "    "));
        }
    }
    out
}

/// Columns of short content (a number with its unit, a name to type) are not wrapped, the shortest first, as long as
/// half of the room to spare stays for the others; and no column is narrower than its head, nor than its longest word
/// where there is room for that.
fn keep_short_columns_whole(table: &mut Table, head: &[&str], rows: &[Vec<String>], width: usize) {
    let longest_word = |i: usize| {
        rows.iter().filter_map(|r| r.get(i)).flat_map(|c| c.split_whitespace()).map(display_width).max().unwrap_or(0)
    };
    let heads: Vec<usize> = head.iter().map(|h| display_width(h)).collect();
    let words: Vec<usize> = heads.iter().enumerate().map(|(i, h)| longest_word(i).max(*h)).collect();
    let fits = words.iter().map(|w| w + PADDING).sum::<usize>() <= width;
    let heads = if fits { words } else { heads };
    let mut spare = width.saturating_sub(heads.iter().map(|h| h + PADDING).sum());
    let mut columns: Vec<(usize, usize)> =
        table.column_max_content_widths().into_iter().map(usize::from).enumerate().collect();
    columns.sort_by_key(|(_, content)| *content);
    for (i, content) in columns {
        let least = heads.get(i).copied().unwrap_or(0);
        let more = content.saturating_sub(least);
        let constraint = if more * 2 <= spare {
            spare -= more;
            ColumnConstraint::ContentWidth
        } else {
            ColumnConstraint::LowerBoundary(Width::Fixed(u16::try_from(least + PADDING).unwrap_or(0)))
        };
        if let Some(column) = table.column_mut(i) {
            column.set_constraint(constraint);
        }
    }
}

fn tick(tick: &Tick, width: usize) -> Vec<String> {
    let mut out = wrapped(&format!("{}  {}", tick.when, tick.about), width, "[ ] ", "    ");
    out.extend(wrapped(&tick.what, width, "    ", "    "));
    if let Some(remark) = &tick.remark {
        out.extend(wrapped(remark, width, "    ! ", "      "));
    }
    out
}

fn found(f: &Finding, width: usize) -> Vec<String> {
    let mut out = wrapped(&format!("{}: {} [{}]", words::gravity(f.gravity), f.title, f.id), width, "", "  ");
    out.extend(wrapped(&f.why, width, "  ", "  "));
    if !f.products.is_empty() {
        out.extend(wrapped(&format!("Makes: {}.", f.products.join(", ")), width, "  ", "    "));
    }
    if !f.figures.is_empty() {
        out.extend(wrapped(&format!("Figures: {}.", f.figures.join("; ")), width, "  ", "    "));
    }
    out.extend(f.actions.iter().flat_map(|a| wrapped(a, width, "  - ", "    ")));
    out
}

/// The label in a frame, to be copied by hand.
fn jar(label: &JarLabel, width: usize) -> Vec<String> {
    let inside = width.min(76) - 4;
    let mut text = wrapped(&label.name.to_uppercase(), inside, "", "");
    if let Some(word) = &label.signal_word {
        text.push(word.to_uppercase());
    }
    if !label.pictograms.is_empty() {
        let names: Vec<String> = label.pictograms.iter().map(|(code, name)| format!("{name} ({code})")).collect();
        text.extend(wrapped(&format!("Pictograms: {}", names.join(", ")), inside, "", "  "));
    }
    if !label.holds.is_empty() {
        text.extend(wrapped(&format!("Holds: {}; water", label.holds.join(", ")), inside, "", "  "));
    }
    for s in label.hazards.iter().chain(&label.precautions) {
        text.extend(wrapped(&format!("{} {}", s.code, s.text), inside, "", "  "));
    }
    for line in &label.not_classified {
        text.extend(wrapped(&format!("Not classified: {line}"), inside, "", "  "));
    }
    text.extend(wrapped(&label.keeps, inside, "", "  "));
    text.push("Made: ______________  Discard by: ______________".chars().take(inside).collect());
    text.extend(wrapped(LABEL_FOOT, inside, "", ""));
    let edge = format!("+{}+", "-".repeat(inside + 2));
    let body = text.iter().map(|l| format!("| {l}{} |", " ".repeat(inside.saturating_sub(display_width(l)))));
    [edge.clone()].into_iter().chain(body).chain([edge]).collect()
}

/// The text in lines of at most this width, the first with one indent and the others with another.
///
/// The library looks at each letter of each word. Most lines are plain letters and end at the last space that fits, so
/// they are cut there, and the library is asked for the others.
fn wrapped(text: &str, width: usize, first: &str, rest: &str) -> Vec<String> {
    let (mut out, mut indent, mut left) = (Vec::new(), first, text);
    if text.starts_with(' ') || text.ends_with(' ') || text.contains('\n') {
        return by_library(text, width, first, rest);
    }
    // No text is wider than its bytes are many.
    while indent.len() + left.len() > width {
        let Some((line, after)) = plain_line(left, width.saturating_sub(indent.len())) else {
            out.extend(by_library(left, width, indent, rest));
            return out;
        };
        out.push([indent, line].concat());
        (indent, left) = (rest, after);
    }
    match left.is_empty() {
        true => out.extend(by_library(left, width, indent, rest)),
        false => out.push([indent, left].concat()),
    }
    out
}

/// The first line of so many plain letters and what comes after it, if it ends at a space.
fn plain_line(text: &str, room: usize) -> Option<(&str, &str)> {
    let mut space = None;
    for (at, c) in text.char_indices().take(room + 1) {
        match c {
            ' ' => space = Some(at),
            _ if one_column(c) => {}
            _ => return None,
        }
    }
    let space = space?;
    Some((text[..space].trim_end_matches(' '), text[space..].trim_start_matches(' ')))
}

/// Letters, figures and marks of English text, all of one column.
fn one_column(c: char) -> bool {
    matches!(c, '!'..='~' | '\u{a1}'..='\u{ac}' | '\u{ae}'..='\u{ff}' | '\u{2013}'..='\u{2014}' | '\u{2018}'..='\u{201d}')
}

fn by_library(text: &str, width: usize, first: &str, rest: &str) -> Vec<String> {
    let options = Options::new(width)
        .initial_indent(first)
        .subsequent_indent(rest)
        .word_splitter(WordSplitter::NoHyphenation)
        .word_separator(WordSeparator::AsciiSpace)
        .wrap_algorithm(WrapAlgorithm::FirstFit);
    wrap(text, options).into_iter().map(|l| l.into_owned()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn lines_are_cut_where_the_library_cuts_them(
            words in prop::collection::vec("[a-z.]{1,9}|[ -~]{0,14}|[a-z\u{b0}\u{bd}\u{2013}\u{4e00}]{1,6}|\n", 0..40),
            width in 1_usize..60,
            indents in prop::sample::select(vec![("", ""), ("- ", "  "), ("    ! ", "      ")]),
        ) {
            let text = words.join(" ");
            let (first, rest) = indents;
            prop_assert_eq!(wrapped(&text, width, first, rest), by_library(&text, width, first, rest));
        }
    }
}
