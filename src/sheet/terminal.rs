//! The sheet as plain text for a terminal or a pipe: no colour, no control codes, one given width.

use super::label::{JarLabel, LABEL_FOOT};
use super::model::{Block, Finding, FirstAction, Section, Sheet, Tick};
use super::{compose, json, words};
use crate::plan::{Corrected, Listing, Mixed, Neutralisation, Plan, Scaled};
use crate::safety::{Review, Reviewed, Verdict};
use comfy_table::{ColumnConstraint, ContentArrangement, LineStyle, Table, TableStyle, Width};
use std::borrow::Cow;
use textwrap::core::display_width;
use textwrap::{Options, WordSeparator, WordSplitter, WrapAlgorithm, wrap};

/// From this width on, recipe and safety notes stand side by side.
pub const SIDE_BY_SIDE: usize = 100;
/// Text is never laid out narrower than this; a narrower terminal wraps it.
const NARROWEST: usize = 40;
/// Nor wider: long lines are hard to read.
const WIDEST: usize = 160;
/// The line beside a heading, at its widest.
const RULE: &str = "────────────────────────────────────────────────────────────────────────────────\
    ────────────────────────────────────────────────────────────────────────────────";
const _: () = assert!(RULE.len() == WIDEST * '\u{2500}'.len_utf8());
/// What a plan takes at most, more or less, bytes: a text that grows is copied from place to place.
const WHOLE_PLAN: usize = 40 << 10;
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

/// Lines of text, each ended by a line feed; spaces at their ends are dropped.
#[derive(Debug, Default, Clone)]
struct Lines {
    text: String,
}

impl Lines {
    /// A line made of these pieces.
    fn push(&mut self, pieces: &[&str]) {
        let start = self.text.len();
        pieces.iter().for_each(|piece| self.text.push_str(piece));
        let length = self.text[start..].trim_end().len();
        self.text.truncate(start + length);
        self.text.push('\n');
    }

    fn blank(&mut self) {
        self.push(&[]);
    }

    fn len(&self) -> usize {
        self.text.bytes().filter(|b| *b == b'\n').count()
    }

    fn iter(&self) -> impl Iterator<Item = &str> {
        self.text.lines()
    }

    fn append(&mut self, other: &Lines) {
        self.text.push_str(&other.text);
    }
}

/// Any sheet as text.
pub(super) fn text(sheet: &Sheet<'_>, width: usize) -> String {
    let width = width.clamp(NARROWEST, WIDEST);
    let mut out = Lines { text: String::with_capacity(WHOLE_PLAN) };
    head(&mut out, sheet, width);
    if width >= SIDE_BY_SIDE && !sheet.recipe_side.is_empty() {
        two_columns(&mut out, sheet, width);
    } else {
        first(&mut out, &sheet.first, width);
        sections(&mut out, &sheet.recipe_side, width);
        sections(&mut out, &sheet.safety_side, width);
    }
    sections(&mut out, &sheet.below, width);
    wrapped(&mut out, &sheet.closing, width, "", "");
    out.text
}

fn head(out: &mut Lines, sheet: &Sheet<'_>, width: usize) {
    let refused = sheet.verdict.as_ref().is_some_and(|(v, _)| *v == Verdict::Refuse);
    let not_judged = |out: &mut Lines| {
        if let Some(line) = &sheet.not_judged {
            wrapped(out, line, width, "", "  ");
            out.blank();
        }
    };
    if !refused {
        not_judged(out);
    }
    if let (true, Some((_, sentence))) = (refused, &sheet.verdict) {
        wrapped(out, sentence, width, "", "");
        out.blank();
    }
    wrapped(out, &sheet.title.to_uppercase(), width, "", "");
    if let Some(subtitle) = &sheet.subtitle {
        wrapped(out, subtitle, width, "", "");
    }
    out.blank();
    if let (false, Some((verdict, sentence))) = (refused, &sheet.verdict) {
        wrapped(out, &format!("Verdict: {} - {sentence}", json::verdict(*verdict)), width, "", "  ");
        out.blank();
    }
    if refused {
        not_judged(out);
    }
}

/// The gravest actions.
fn first(out: &mut Lines, actions: &[FirstAction<'_>], width: usize) {
    if actions.is_empty() {
        return;
    }
    heading(out, "Before anything else", width);
    for (i, a) in actions.iter().enumerate() {
        let line = format!("{}: {} ({})", words::gravity(a.gravity), a.action, a.hazard);
        wrapped(out, &line, width, &format!("{}. ", i + 1), "   ");
    }
    out.blank();
}

fn heading(out: &mut Lines, title: &str, width: usize) {
    if !title.is_empty() {
        let rest = width.saturating_sub(columns(title) + 1).min(WIDEST);
        out.push(&[title, " ", &RULE[..rest * '\u{2500}'.len_utf8()]]);
    }
}

fn sections(out: &mut Lines, sections: &[Section<'_>], width: usize) {
    sections.iter().for_each(|s| section(out, s, width));
}

fn section(out: &mut Lines, section: &Section<'_>, width: usize) {
    heading(out, &section.title, width);
    for (i, block) in section.blocks.iter().enumerate() {
        if i > 0 && matches!(block, Block::Finding(_)) {
            out.blank();
        }
        lines(out, block, width);
    }
    out.blank();
}

/// Recipe on the left, safety notes on the right. Where one column ends, the sections left over of the other go on
/// below, over the whole width.
fn two_columns(out: &mut Lines, sheet: &Sheet<'_>, width: usize) {
    let room = width - columns(GUTTER);
    let left_width = room * 55 / 100;
    let right_width = room - left_width;
    let lay = |all: &[Section<'_>], width| {
        let one = |s: &Section<'_>| {
            let mut one = Lines::default();
            section(&mut one, s, width);
            one
        };
        all.iter().map(one).collect::<Vec<_>>()
    };
    let (left, right) = (lay(&sheet.recipe_side, left_width), lay(&sheet.safety_side, right_width));
    let mut right_lines = Lines::default();
    first(&mut right_lines, &sheet.first, right_width);
    let length = |columns: &[Lines]| columns.iter().map(Lines::len).sum::<usize>();
    let enough = |columns: &[Lines], start: usize, other: usize| {
        (1..=columns.len()).find(|n| start + length(&columns[..*n]) >= other).unwrap_or(columns.len())
    };
    let lefts = enough(&left, 0, right_lines.len() + length(&right));
    let rights = enough(&right, right_lines.len(), length(&left[..lefts]));
    let mut left_lines = Lines::default();
    left[..lefts].iter().for_each(|one| left_lines.append(one));
    right[..rights].iter().for_each(|one| right_lines.append(one));
    let (mut on_left, mut on_right) = (left_lines.iter(), right_lines.iter());
    for _ in 0..left_lines.len().max(right_lines.len()) {
        let (left, right) = (on_left.next().unwrap_or_default(), on_right.next().unwrap_or_default());
        let pad = left_width.saturating_sub(columns(left));
        out.push(&[left, &" ".repeat(pad), GUTTER, right]);
    }
    out.blank();
    sections(out, &sheet.safety_side[rights..], width);
    sections(out, &sheet.recipe_side[lefts..], width);
}

fn lines(out: &mut Lines, block: &Block<'_>, width: usize) {
    match block {
        Block::Text(text) => wrapped(out, text, width, "", ""),
        Block::List(items) => items.iter().for_each(|i| wrapped(out, i, width, "- ", "  ")),
        Block::Numbered(items) => {
            for (n, item) in items.iter().enumerate() {
                wrapped(out, item, width, &format!("{}. ", n + 1), "   ");
            }
        }
        Block::Facts(facts) => {
            facts.iter().for_each(|(name, value)| wrapped(out, &[name, ": ", value].concat(), width, "", "  "));
        }
        Block::Table(head, rows) => table(out, head, rows, width),
        Block::Checklist(ticks) => ticks.iter().for_each(|t| tick(out, t, width)),
        Block::Finding(finding) => found(out, finding, width),
        Block::Label(label) => jar(out, label, width),
        // Every figure of the drawing stands in the facts beside it.
        Block::Drawing(_) => {}
    }
}

fn table(out: &mut Lines, head: &[&str], rows: &[Vec<Cow<'_, str>>], width: usize) {
    if head.iter().map(|h| columns(h) + PADDING).sum::<usize>() > width {
        return stacked(out, head, rows, width);
    }
    let free = || {
        let mut table = Table::new();
        table
            .load_style(RULED)
            .set_content_arrangement(ContentArrangement::Dynamic)
            .set_width(u16::try_from(width).unwrap_or(u16::MAX))
            .set_header(head);
        table.add_rows(rows.iter().map(|row| row.iter().map(|cell| &**cell)));
        table
    };
    let mut short_columns_whole = free();
    keep_short_columns_whole(&mut short_columns_whole, head, rows, width);
    // As asked; else as the library shares the room out; else without columns.
    let laid = [Some(short_columns_whole), None].into_iter().map(|table| table.unwrap_or_else(free));
    // A line that rules is as wide as the heads; the others begin with the space left of a cell.
    let fits = |lines: &Vec<String>| lines.iter().filter(|l| l.starts_with(' ')).all(|l| columns(l) <= width);
    let fitting = laid.map(|table| table.lines().collect::<Vec<_>>()).find(fits);
    match fitting {
        Some(lines) => lines.iter().for_each(|line| out.push(&[line])),
        None => stacked(out, head, rows, width),
    }
}

/// A table that is too narrow for its heads: one line a cell, each with its head.
fn stacked(out: &mut Lines, head: &[&str], rows: &[Vec<Cow<'_, str>>], width: usize) {
    for row in rows {
        for (i, (head, cell)) in head.iter().zip(row).enumerate() {
            let (bullet, text) = (if i == 0 { "- " } else { "  " }, cell.replace('\n', " "));
            let line = if head.is_empty() { text } else { format!("{head}: {text}") };
            wrapped(out, &line, width, bullet, "    ");
        }
    }
}

/// Columns of short content (a number with its unit, a name to type) are not wrapped, the shortest first, as long as
/// half of the room to spare stays for the others; and no column is narrower than its head, nor than its longest word
/// where there is room for that.
fn keep_short_columns_whole(table: &mut Table, head: &[&str], rows: &[Vec<Cow<'_, str>>], width: usize) {
    let longest_word = |i: usize| {
        rows.iter().filter_map(|r| r.get(i)).flat_map(|c| c.split_whitespace()).map(columns).max().unwrap_or(0)
    };
    let heads: Vec<usize> = head.iter().map(|h| columns(h)).collect();
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

fn tick(out: &mut Lines, tick: &Tick<'_>, width: usize) {
    wrapped(out, &[&tick.when, "  ", &tick.about].concat(), width, "[ ] ", "    ");
    wrapped(out, &tick.what, width, "    ", "    ");
    if let Some(remark) = &tick.remark {
        wrapped(out, remark, width, "    ! ", "      ");
    }
}

fn found(out: &mut Lines, f: &Finding<'_>, width: usize) {
    wrapped(out, &[words::gravity(f.gravity), ": ", &f.title, " [", &f.id, "]"].concat(), width, "", "  ");
    wrapped(out, &f.why, width, "  ", "  ");
    if !f.products.is_empty() {
        wrapped(out, &format!("Makes: {}.", f.products.join(", ")), width, "  ", "    ");
    }
    if !f.figures.is_empty() {
        wrapped(out, &format!("Figures: {}.", f.figures.join("; ")), width, "  ", "    ");
    }
    f.actions.iter().for_each(|a| wrapped(out, a, width, "  - ", "    "));
}

/// The label in a frame, to be copied by hand.
fn jar(out: &mut Lines, label: &JarLabel<'_>, width: usize) {
    let inside = width.min(76) - 4;
    let mut text = Lines::default();
    wrapped(&mut text, &label.name.to_uppercase(), inside, "", "");
    if let Some(word) = &label.signal_word {
        text.push(&[&word.to_uppercase()]);
    }
    if !label.pictograms.is_empty() {
        let names: Vec<String> = label.pictograms.iter().map(|(code, name)| format!("{name} ({code})")).collect();
        wrapped(&mut text, &format!("Pictograms: {}", names.join(", ")), inside, "", "  ");
    }
    if !label.holds.is_empty() {
        wrapped(&mut text, &format!("Holds: {}; water", label.holds.join(", ")), inside, "", "  ");
    }
    for (code, said) in label.hazards.iter().chain(&label.precautions) {
        wrapped(&mut text, &[code, " ", said].concat(), inside, "", "  ");
    }
    for line in &label.not_classified {
        wrapped(&mut text, &format!("Not classified: {line}"), inside, "", "  ");
    }
    wrapped(&mut text, &label.keeps, inside, "", "  ");
    let made: String = "Made: ______________  Discard by: ______________".chars().take(inside).collect();
    text.push(&[&made]);
    wrapped(&mut text, LABEL_FOOT, inside, "", "");
    let edge = format!("+{}+", "-".repeat(inside + 2));
    out.push(&[&edge]);
    for line in text.iter() {
        out.push(&["| ", line, &" ".repeat(inside.saturating_sub(columns(line))), " |"]);
    }
    out.push(&[&edge]);
}

/// The columns that a text takes.
fn columns(text: &str) -> usize {
    if text.is_ascii() { text.len() } else { display_width(text) }
}

/// The text in lines of at most this width, the first with one indent and the others with another.
///
/// The library looks at each letter of each word. Most lines are plain letters and end at the last space that fits, so
/// they are cut there, and the library is asked for the others.
fn wrapped(out: &mut Lines, text: &str, width: usize, first: &str, rest: &str) {
    let (mut indent, mut left) = (first, text);
    let typed = typed(text);
    if text.starts_with(' ') || text.ends_with(' ') || (!typed && text.contains('\n')) {
        return by_library(out, text, width, first, rest);
    }
    // No text is wider than its bytes are many.
    while indent.len() + left.len() > width {
        let Some((line, after)) = plain_line(left, typed, width.saturating_sub(indent.len())) else {
            return by_library(out, left, width, indent, rest);
        };
        out.push(&[indent, line]);
        if after.is_empty() {
            return;
        }
        (indent, left) = (rest, after);
    }
    match left.is_empty() {
        true => by_library(out, left, width, indent, rest),
        false => out.push(&[indent, left]),
    }
}

/// Whether all of it is letters, figures, marks and spaces as a keyboard has them, one byte and one column each.
fn typed(text: &str) -> bool {
    // Looking at every byte is quicker than looking for the first that is none of them.
    text.bytes().fold(true, |typed, b| typed & matches!(b, b' '..=b'~'))
}

/// The first line of so many plain letters and what comes after it, if it ends at a space or is all there is. All of a
/// typed text is of bytes that are one column each.
fn plain_line(text: &str, is_typed: bool, room: usize) -> Option<(&str, &str)> {
    let line = text.as_bytes().get(..=room).filter(|line| is_typed || line.iter().all(|b| matches!(b, b' '..=b'~')));
    let space = match line {
        Some(line) => line.iter().rposition(|b| *b == b' ')?,
        None => {
            let (mut space, mut letters) = (None, 0);
            for (at, c) in text.char_indices().take(room + 1) {
                letters += 1;
                match c {
                    ' ' => space = Some(at),
                    _ if one_column(c) => {}
                    _ => return None,
                }
            }
            if letters <= room {
                return Some((text, ""));
            }
            space?
        }
    };
    Some((text[..space].trim_end_matches(' '), text[space..].trim_start_matches(' ')))
}

/// Letters, figures and marks of English text, all of one column.
fn one_column(c: char) -> bool {
    matches!(c, '!'..='~' | '\u{a1}'..='\u{ac}' | '\u{ae}'..='\u{ff}' | '\u{2013}'..='\u{2014}' | '\u{2018}'..='\u{201d}')
}

fn by_library(out: &mut Lines, text: &str, width: usize, first: &str, rest: &str) {
    let options = Options::new(width)
        .initial_indent(first)
        .subsequent_indent(rest)
        .word_splitter(WordSplitter::NoHyphenation)
        .word_separator(WordSeparator::AsciiSpace)
        .wrap_algorithm(WrapAlgorithm::FirstFit);
    wrap(text, options).iter().for_each(|line| out.push(&[line]));
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn lines_are_cut_where_the_library_cuts_them(
            words in prop::collection::vec("[a-z.]{1,9}|[a-z\u{b0}]{1,3}|[ -~]{0,14}|[a-z\u{b0}\u{bd}\u{2013}\u{4e00}]{1,6}|\n", 0..40),
            width in 1_usize..60,
            indents in prop::sample::select(vec![("", ""), ("- ", "  "), ("    ! ", "      ")]),
        ) {
            let text = words.join(" ");
            let (first, rest) = indents;
            let (mut ours, mut theirs) = (Lines::default(), Lines::default());
            wrapped(&mut ours, &text, width, first, rest);
            by_library(&mut theirs, &text, width, first, rest);
            prop_assert_eq!(ours.text, theirs.text);
        }
    }
}
