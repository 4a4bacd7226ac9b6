//! Durations as people write them: `12 h`, `1 h 30 min`, `2 days`, ISO 8601 `PT12H`.

use super::number::{self, refuse};
use super::word;
use super::written::tidy;
use super::{Exact, Span};
use crate::diag::{Checked, Problem};
use jiff::SignedDuration;

/// Against slips of the pen, and so that clock times stay within the calendar: ten years.
const MOST_DAYS: i64 = 3653;

const ALLOWED: &str = "s, min, h, days, weeks";

/// Reads a duration of zero or more, such as `12 h`, `30 min`, `2 days`, `1 h 30 min` or ISO 8601 `PT12H`, `P2D`. A day
/// is 24 hours.
///
/// # Errors
/// Names what was found and what is allowed.
pub fn read_duration(text: &str) -> Checked<SignedDuration> {
    let span = durations(text)?;
    if !span.is_one() {
        return refuse(Problem::error(format!("`{}` is a range; write one duration", text.trim())));
    }
    Ok(span.low)
}

/// Reads a duration or a range of them, such as `12-24 h`.
///
/// # Errors
/// Names what was found and what is allowed.
pub fn read_duration_range(text: &str) -> Checked<Span<SignedDuration>> {
    durations(text)
}

fn durations(text: &str) -> Checked<Span<SignedDuration>> {
    let s = tidy(text, "duration")?;
    if s.starts_with(['P', 'p']) && s[1..].starts_with(|c: char| c.is_ascii_digit() || c == 'T' || c == 't') {
        return iso(s).map(Span::one);
    }
    let (first, rest) = number::span(s)?.ok_or_else(|| wrong(s))?;
    let (seconds, rest) = unit(rest).ok_or_else(|| no_unit(s, rest))?;
    let mut ends = first.try_map(|v| times(v, seconds))?;
    let mut smallest = seconds;
    let mut rest = rest;
    // "12 h to 2 days"
    if ends.is_one()
        && let Some(tail) = number::range_sign(rest)
        && let Some((high, after)) = number::number(tail)?
        && let Some((seconds, after)) = unit(after)
    {
        ends.high = times(high, seconds)?;
        number::rising(ends, s)?;
        rest = after;
    }
    // "1 h 30 min", "2 days and 3 hours"
    loop {
        let t = rest.trim_start().trim_start_matches(',').trim_start();
        let t = word::eat(t, &["and"]).unwrap_or(t).trim_start();
        if t.is_empty() {
            break;
        }
        let more = number::number(t)?.and_then(|(v, after)| unit(after).map(|(u, after)| (v, u, after)));
        let Some((value, seconds, after)) = more.filter(|(_, u, _)| ends.is_one() && *u < smallest) else {
            return refuse(
                Problem::error(format!("`{t}` is left over after the duration"))
                    .hint("Write the larger unit first, each one once, such as 1 h 30 min."),
            );
        };
        let sum = ends.low.checked_add(times(value, seconds)?).ok_or_else(too_long)?;
        ends = Span::one(sum);
        smallest = seconds;
        rest = after;
    }
    ends.try_map(from_seconds)
}

fn wrong(s: &str) -> Problem {
    Problem::error(format!("`{s}` is no duration; write one such as 12 h, 30 min, 2 days or PT12H"))
}

fn too_long() -> Problem {
    Problem::error(format!("the duration is too long; at most {MOST_DAYS} days are allowed"))
}

fn no_unit(s: &str, rest: &str) -> Problem {
    let found = s[..s.len() - rest.len()].trim();
    match word::word(rest.trim_start()) {
        Some((w, _)) if w.to_lowercase().starts_with("month") || w.to_lowercase().starts_with("year") => {
            Problem::error(format!("`{w}` has no fixed length; allowed are {ALLOWED}"))
                .hint("Write it in days or weeks.")
        }
        Some((w, _)) => Problem::error(format!("`{w}` after `{found}` is no unit of time; allowed are {ALLOWED}")),
        None => Problem::error(format!("`{found}` has no unit; allowed are {ALLOWED}")),
    }
}

fn unit(s: &str) -> Option<(i64, &str)> {
    const MINUTE: i64 = 60;
    const HOUR: i64 = 60 * MINUTE;
    let t = s.trim_start();
    // The letters only: in "1h30min" the digits are the next number.
    let letters = t.find(|c: char| !c.is_alphabetic()).unwrap_or(t.len());
    let (w, rest) = t.split_at(letters);
    let seconds = match w.to_lowercase().as_str() {
        "s" | "sec" | "secs" | "second" | "seconds" => 1,
        "m" | "min" | "mins" | "minute" | "minutes" => MINUTE,
        "h" | "hr" | "hrs" | "hour" | "hours" => HOUR,
        "d" | "day" | "days" => 24 * HOUR,
        "w" | "wk" | "wks" | "week" | "weeks" => 7 * 24 * HOUR,
        _ => return None,
    };
    Some((seconds, rest.strip_prefix('.').unwrap_or(rest)))
}

fn times(value: Exact, seconds: i64) -> Checked<Exact> {
    value.checked_mul(Exact::whole(seconds)).ok_or_else(|| too_long().into())
}

fn from_seconds(seconds: Exact) -> Checked<SignedDuration> {
    if seconds > Exact::whole(MOST_DAYS * 86_400) {
        return refuse(too_long());
    }
    // To the nearest second: nothing in this trade is timed more finely.
    let whole = seconds.to_decimal(0).and_then(|d| i64::try_from(d).ok()).ok_or_else(too_long)?;
    Ok(SignedDuration::from_secs(whole))
}

/// ISO 8601 with weeks, days, hours, minutes and seconds; the point may stand in the last of them.
fn iso(s: &str) -> Checked<SignedDuration> {
    let mut rest = &s[1..];
    let mut sum = Exact::ZERO;
    let mut in_time = false;
    let mut order = 0;
    while !rest.is_empty() {
        if let Some(after) = rest.strip_prefix(['T', 't']).filter(|after| !in_time && !after.is_empty()) {
            (in_time, rest) = (true, after);
            continue;
        }
        let (value, after) = number::number(rest)?.ok_or_else(|| wrong(s))?;
        let mut letters = after.chars();
        let letter = letters.next().map(|c| c.to_ascii_uppercase());
        let (rank, seconds) = match (in_time, letter) {
            (false, Some('W')) => (1, 7 * 86_400),
            (false, Some('D')) => (2, 86_400),
            (true, Some('H')) => (3, 3600),
            (true, Some('M')) => (4, 60),
            (true, Some('S')) => (5, 1),
            (false, Some('Y' | 'M')) => {
                return refuse(
                    Problem::error(format!("`{s}` is in years or months, which have no fixed length"))
                        .hint("Write it in days or weeks, such as P14D."),
                );
            }
            _ => return refuse(wrong(s)),
        };
        if rank <= order {
            return refuse(wrong(s));
        }
        order = rank;
        sum = sum.checked_add(times(value, seconds)?).ok_or_else(too_long)?;
        rest = letters.as_str();
    }
    if order == 0 {
        return refuse(wrong(s));
    }
    from_seconds(sum)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn durations_as_people_write_them() {
        for (text, seconds) in [
            ("12 h", 43_200),
            ("30 min", 1800),
            ("2 days", 172_800),
            ("1 h 30 min", 5400),
            ("1h30min", 5400),
            ("1 1/2 h", 5400),
            ("2 days and 3 hours", 183_600),
            ("90 s", 90),
            ("1 week", 604_800),
            ("PT12H", 43_200),
            ("P2D", 172_800),
            ("P1DT1H30M", 91_800),
            ("PT0.5H", 1800),
            ("P1W", 604_800),
            ("0 min", 0),
        ] {
            assert_eq!(read_duration(text).map(|d| d.as_secs()), Ok(seconds), "{text}");
        }
        let span = read_duration_range("12-24 h").unwrap();
        assert_eq!((span.low.as_secs(), span.high.as_secs()), (43_200, 86_400));
    }

    #[test]
    fn what_is_no_duration_is_refused() {
        for text in [
            "",
            "12",
            "h",
            "2 months",
            "30 min 1 h",
            "-5 h",
            "P",
            "PT",
            "P1Y",
            "PT1M1H",
            "12-24 h",
            "1,5 h",
            "99999999999 days",
            "nan h",
            "12 h 5",
            "24-12 h",
        ] {
            assert!(read_duration(text).is_err(), "{text}");
        }
    }
}
