//! Numbers as people write them: `3/4`, `1 1/2`, `1-1/2`, `¾`, `1½`, `0.5`, `2-3`, `2 to 3`.
//!
//! Every reader here takes what stands at the start of a text and gives back what is left. The traps: a hyphen is a
//! range (`2-3`), a mixed number (`1-1/2`) or a minus; a comma may be a decimal sign or a thousands separator, so it is
//! never taken as either.

use super::{Exact, Span};
use crate::diag::{Checked, Problem};
use rust_decimal::Decimal;

/// The most digits a number may have: more than any scale resolves, few enough that exact scaling does not overflow.
const MOST_DIGITS: usize = 12;

/// Unicode fractions with their parts.
pub(super) const VULGAR: [(char, i64, i64); 18] = [
    ('¼', 1, 4),
    ('½', 1, 2),
    ('¾', 3, 4),
    ('⅓', 1, 3),
    ('⅔', 2, 3),
    ('⅕', 1, 5),
    ('⅖', 2, 5),
    ('⅗', 3, 5),
    ('⅘', 4, 5),
    ('⅙', 1, 6),
    ('⅚', 5, 6),
    ('⅐', 1, 7),
    ('⅛', 1, 8),
    ('⅜', 3, 8),
    ('⅝', 5, 8),
    ('⅞', 7, 8),
    ('⅑', 1, 9),
    ('⅒', 1, 10),
];

/// Hyphens and dashes that can stand in a range or before a negative number.
const DASHES: [char; 7] = ['-', '‐', '‑', '‒', '–', '—', '−'];

/// A refusal with one problem in it.
pub(super) fn refuse<T>(problem: Problem) -> Checked<T> {
    Err(problem.into())
}

/// What was read, and the text after it.
pub(super) type Read<'a, T> = Checked<Option<(T, &'a str)>>;

pub(super) fn is_dash(c: char) -> bool {
    DASHES.contains(&c)
}

/// Whether a number, with or without a sign, starts here.
pub(super) fn starts_number(s: &str) -> bool {
    let mut it = s.chars();
    match it.next() {
        Some(c) if is_dash(c) || c == '+' => plain_start(it.as_str()),
        _ => plain_start(s),
    }
}

fn plain_start(s: &str) -> bool {
    let mut it = s.chars();
    match it.next() {
        Some(c) if c.is_ascii_digit() => true,
        Some('.') => it.next().is_some_and(|c| c.is_ascii_digit()),
        Some(c) => vulgar(c).is_some(),
        None => false,
    }
}

fn vulgar(c: char) -> Option<Exact> {
    VULGAR.iter().find(|(v, _, _)| *v == c).and_then(|(_, n, d)| Exact::ratio(*n, *d))
}

fn digits(s: &str) -> (&str, &str) {
    s.split_at(s.bytes().take_while(u8::is_ascii_digit).count())
}

fn too_long(text: &str) -> Problem {
    let shown: String = text.chars().take(16).collect();
    Problem::error(format!("`{shown}...` has too many digits; at most {MOST_DIGITS} are allowed"))
        .hint("Round the number, or choose a larger unit.")
}

fn whole(text: &str) -> Checked<i64> {
    if text.len() > MOST_DIGITS {
        return refuse(too_long(text));
    }
    text.parse().or_else(|_| refuse(too_long(text)))
}

/// A fraction at the start: `3/4`, `3 / 4`, `3⁄4`.
fn fraction(s: &str) -> Read<'_, Exact> {
    let (n, rest) = digits(s);
    if n.is_empty() {
        return Ok(None);
    }
    let Some(rest) = rest.trim_start().strip_prefix(['/', '⁄', '∕']) else { return Ok(None) };
    let (d, rest) = digits(rest.trim_start());
    if d.is_empty() {
        return Ok(None);
    }
    if let Some(tail) = rest.strip_prefix(['/', '.', '⁄', '∕'])
        && tail.starts_with(|c: char| c.is_ascii_digit())
    {
        return refuse(Problem::error(format!(
            "`{}/{}` and more is not a fraction; write it such as 3/4",
            clip(n),
            clip(d)
        )));
    }
    let value = Exact::ratio(whole(n)?, whole(d)?).ok_or_else(|| {
        Problem::error(format!("`{}/{}` divides by zero; write a fraction such as 3/4", clip(n), clip(d)))
    })?;
    Ok(Some((value, rest)))
}

/// A proper fraction that follows a whole number, as `1/2` in `1 1/2` or `½` in `1½`.
fn fraction_part(s: &str) -> Read<'_, Exact> {
    if let Some(value) = s.chars().next().and_then(vulgar) {
        let rest = &s[s.chars().next().map_or(0, char::len_utf8)..];
        return Ok(Some((value, rest)));
    }
    fraction(s)
}

fn bad_comma(before: &str, rest: &str) -> Problem {
    let (after, tail) = digits(&rest[1..]);
    let (before, after) = (clip(before), clip(after));
    let problem = Problem::error(format!("`{before},{after}` has a comma; the decimal sign is a point"));
    if after.len() == 3 && !before.starts_with('0') && !tail.starts_with('.') {
        // 1,000 is a thousand to some and one to others: neither reading is taken.
        return problem.hint(format!("Write {before}{after} or {before}.{after}, whichever is meant."));
    }
    if tail.starts_with(',') || tail.starts_with('.') {
        return problem.hint("Write the number without separators between thousands.");
    }
    problem.hint(format!("Write {before}.{after}."))
}

fn clip(s: &str) -> String {
    s.chars().take(MOST_DIGITS).collect()
}

/// One number without sign at the start of the text; `None` when there is none.
pub(super) fn number(s: &str) -> Read<'_, Exact> {
    if !plain_start(s) {
        return Ok(None);
    }
    if let Some((value, rest)) = fraction_part(s)? {
        return Ok(Some((value, rest)));
    }
    let (int, rest) = digits(s);
    let next_is_digit = |r: &str| r[1..].starts_with(|c: char| c.is_ascii_digit());
    if rest.starts_with(',') && next_is_digit(rest) {
        return refuse(bad_comma(int, rest));
    }
    if rest.starts_with('.') && (next_is_digit(rest) || int.is_empty()) {
        return decimal(s, int, &rest[1..]).map(Some);
    }
    if let Some(tail) = rest.strip_prefix(['e', 'E'])
        && tail.trim_start_matches(['-', '+', '−']).starts_with(|c: char| c.is_ascii_digit())
    {
        return refuse(no_exponent(int));
    }
    let value = whole(int)?;
    // 1 1/2, 1½, 1 ½, 1 and 1/2
    let linked = rest.trim_start();
    let linked = linked.strip_prefix("and ").or_else(|| linked.strip_prefix("& ")).unwrap_or(linked).trim_start();
    if let Some((part, after)) = fraction_part(linked)? {
        if part >= Exact::ONE {
            let found = &s[..s.len() - after.len()];
            return refuse(
                Problem::error(format!("`{found}` is a whole number beside a fraction of 1 or more"))
                    .hint("Write it as a decimal, or as a whole number and a proper fraction such as 1 1/2."),
            );
        }
        return add(value, part, after, s).map(Some);
    }
    // 1-1/2 and 1-½: with a plain hyphen, no spaces, and a proper fraction; as a range it would run downwards.
    if value > 0
        && let Some(tail) = rest.strip_prefix(['-', '‐', '‑'])
        && let Some((part, after)) = fraction_part(tail)?
        && part < Exact::ONE
    {
        return add(value, part, after, s).map(Some);
    }
    if let Some((_, tail)) = rest.split_once(' ').filter(|(gap, _)| gap.is_empty())
        && tail.trim_start().starts_with(|c: char| c.is_ascii_digit())
    {
        let (next, _) = digits(tail.trim_start());
        return refuse(
            Problem::error(format!("`{} {}` is two numbers side by side", clip(int), clip(next)))
                .hint("Write thousands without a gap, fractions as 1 1/2, ranges as 2-3."),
        );
    }
    // A full stop at the end of a number is only punctuation.
    let rest = rest.strip_prefix('.').unwrap_or(rest);
    Ok(Some((Exact::whole(value), rest)))
}

fn no_exponent(int: &str) -> Problem {
    Problem::error(format!("`{}e...` is written with an exponent", clip(int))).hint("Write the number out in full.")
}

fn add<'a>(whole: i64, part: Exact, rest: &'a str, s: &str) -> Checked<(Exact, &'a str)> {
    let sum = Exact::whole(whole).checked_add(part).ok_or_else(|| too_long(s))?;
    Ok((sum, rest))
}

fn decimal<'a>(s: &str, int: &str, tail: &'a str) -> Checked<(Exact, &'a str)> {
    let (frac, rest) = digits(tail);
    if int.len() + frac.len() > MOST_DIGITS {
        return refuse(too_long(s));
    }
    let followed = rest.chars().next();
    if followed.is_some_and(|c| c == '.' || c == ',') && rest[1..].starts_with(|c: char| c.is_ascii_digit()) {
        return refuse(
            Problem::error(format!("`{int}.{frac}{}...` is not a number", &rest[..1]))
                .hint("Write one decimal point and no separators between thousands."),
        );
    }
    if let Some(t) = rest.strip_prefix(['e', 'E'])
        && t.trim_start_matches(['-', '+', '−']).starts_with(|c: char| c.is_ascii_digit())
    {
        return refuse(no_exponent(&format!("{int}.{frac}")));
    }
    if rest.starts_with(['/', '⁄']) || rest.chars().next().and_then(vulgar).is_some() {
        return refuse(Problem::error(format!("`{int}.{frac}` is mixed with a fraction; write one or the other")));
    }
    let text = format!("{int}{frac}");
    let mantissa: i64 = if text.is_empty() { 0 } else { whole(&text)? };
    let value = u32::try_from(frac.len())
        .ok()
        .and_then(|scale| Decimal::try_new(mantissa, scale).ok())
        .and_then(Exact::from_decimal)
        .ok_or_else(|| too_long(s))?;
    Ok((value, rest))
}

/// A number that may carry a minus sign, for temperatures.
pub(super) fn signed(s: &str) -> Read<'_, Exact> {
    if starts_number(s) && !plain_start(s) {
        let first = s.chars().next().map_or(0, char::len_utf8);
        let minus = !s.starts_with('+');
        let Some((value, rest)) = number(&s[first..])? else { return Ok(None) };
        let value = if minus { Exact::ZERO.checked_sub(value) } else { Some(value) };
        return Ok(value.map(|v| (v, rest)));
    }
    number(s)
}

/// The sign between the two ends of a range, a dash or `to`; gives back what follows it.
pub(super) fn range_sign(s: &str) -> Option<&str> {
    let t = s.trim_start();
    let mut it = t.chars();
    let first = it.next()?;
    if is_dash(first) {
        return Some(it.as_str().trim_start());
    }
    let word = t.get(..2)?;
    let after = &t[2..];
    let gap = after.trim_start();
    (word.eq_ignore_ascii_case("to") && gap.len() < after.len()).then_some(gap)
}

/// A number or range, ends in the order written.
pub(super) fn ends(s: &str) -> Read<'_, Span<Exact>> {
    if starts_number(s) && !plain_start(s) {
        let shown: String = s.chars().take_while(|c| !c.is_whitespace()).take(MOST_DIGITS).collect();
        return refuse(if shown.starts_with('+') {
            Problem::error(format!("`{shown}` has a sign; write the number alone"))
        } else {
            Problem::error(format!("`{shown}` is negative; only numbers above zero are allowed"))
        });
    }
    let Some((low, rest)) = number(s)? else { return Ok(None) };
    if let Some(tail) = range_sign(rest)
        && plain_start(tail)
        && let Some((high, after)) = number(tail)?
    {
        return Ok(Some((Span { low, high }, after)));
    }
    Ok(Some((Span::one(low), rest)))
}

/// A number or range, lower end first.
pub(super) fn span(s: &str) -> Read<'_, Span<Exact>> {
    let Some((ends, rest)) = ends(s)? else { return Ok(None) };
    rising(ends, &s[..s.len() - rest.len()])?;
    Ok(Some((ends, rest)))
}

/// Refuses a range that runs downwards.
pub(super) fn rising(ends: Span<Exact>, found: &str) -> Checked<()> {
    if ends.low > ends.high {
        return refuse(
            Problem::error(format!("`{}` runs downwards", found.trim()))
                .hint("Write the smaller number of a range first, such as 2-3."),
        );
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn one(s: &str) -> (i64, i64, &str) {
        let (v, rest) = number(s).unwrap().unwrap();
        let (n, d) = v.parts();
        (n.try_into().unwrap(), d.try_into().unwrap(), rest)
    }

    #[test]
    fn every_way_to_write_one_and_a_half() {
        for s in ["1 1/2", "1 and 1/2", "1-1/2", "1½", "1 ½", "1.5", "3/2", "1-½", "1 1⁄2", "01.50"] {
            assert_eq!(one(s), (3, 2, ""), "{s}");
        }
        assert_eq!(one(".5L"), (1, 2, "L"));
        assert_eq!(one("2."), (2, 1, ""));
        assert_eq!(one("5-vol"), (5, 1, "-vol"));
    }

    #[test]
    fn ranges_stay_ranges() {
        for s in ["2-3", "2 – 3", "2 to 3", "2—3", "2 - 3"] {
            let (v, rest) = span(s).unwrap().unwrap();
            assert_eq!((v.low, v.high, rest), (Exact::whole(2), Exact::whole(3), ""), "{s}");
        }
        let (v, _) = span("1/2-3/4").unwrap().unwrap();
        assert_eq!((v.low, v.high), (Exact::ratio(1, 2).unwrap(), Exact::ratio(3, 4).unwrap()));
        let (v, _) = span("1-1/2 - 2-1/2").unwrap().unwrap();
        assert_eq!((v.low, v.high), (Exact::ratio(3, 2).unwrap(), Exact::ratio(5, 2).unwrap()));
    }

    #[test]
    fn what_is_no_number_is_refused_with_a_way_out() {
        for (s, hint) in [("0,5", "Write 0.5."), ("1,000", "Write 1000 or 1.000, whichever is meant.")] {
            assert_eq!(number(s).unwrap_err().0[0].hints, [hint], "{s}");
        }
        for s in ["1/0", "1 000", "1.2.3", "1e3", "1.5e-3", "1 3/2", "1,000,000", "1234567890123", "1/2/3", "0.5½"] {
            assert!(number(s).is_err(), "{s}");
        }
        for s in ["-5", "−5", "3-2", "1 - 1/2", "+5"] {
            assert!(span(s).is_err(), "{s}");
        }
        assert_eq!(number("nan"), Ok(None));
    }
}
