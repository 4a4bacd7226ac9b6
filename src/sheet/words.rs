//! Numbers and quantities as the sheet writes them. The only place that rounds, always with the direction named.

use crate::amount::{
    Estimate, Force, Length, Mass, MeasureSystem, MeasuredOut, Span, Volume, in_grams, in_millilitres, in_millimetres,
    in_newtons,
};
use crate::safety::{Gravity, Verdict};
use std::borrow::Cow;
use std::fmt::Write;

/// Which way a number is rounded.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Round {
    /// To the nearest.
    Nearest,
    /// Up, for what must suffice (ballast, reserve, airflow, exposure).
    Up,
    /// Down, for what must be left (freeboard).
    Down,
}

/// Takes out what could take over a terminal or turn text around: control characters and direction marks.
pub(super) fn clean(text: &str) -> Cow<'_, str> {
    // Control characters, separators of lines and marks that turn text round begin with one of these bytes.
    if text.bytes().fold(true, |plain, b| plain & (b >= b' ') & !matches!(b, 0x7f | 0xc2 | 0xd8 | 0xe2 | 0xef)) {
        return text.into();
    }
    let parts = |c| matches!(c, '\n' | '\t' | '\u{2028}' | '\u{2029}');
    let turns = |c| matches!(c, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}');
    let stands = |c: char| !c.is_control() && !turns(c);
    if text.chars().all(|c| stands(c) && !parts(c)) {
        return text.into();
    }
    let spaced = text.chars().map(|c| if parts(c) { ' ' } else { c });
    Cow::Owned(spaced.filter(|c| stands(*c)).collect())
}

/// The same for several.
pub(super) fn cleaned(lines: &[String]) -> Vec<Cow<'_, str>> {
    lines.iter().map(|l| clean(l)).collect()
}

/// Below this every whole number is an `f64` of its own, and so is the fraction it makes.
const EXACT: f64 = 1e15;
/// What a figure with its unit takes, more or less, bytes.
const WRITTEN: usize = 24;

/// To `places` decimals; what is not finite is "not known".
pub(super) fn fixed(value: f64, places: usize, round: Round) -> String {
    if !value.is_finite() {
        return "not known".into();
    }
    let factor = 10f64.powi(i32::try_from(places).unwrap_or(0));
    // A hair of binary noise must not push a number up or down a whole digit.
    let noise = (value * factor).abs() * 1e-12;
    let scaled = match round {
        Round::Nearest => (value * factor).round(),
        Round::Up => (value * factor - noise).ceil(),
        Round::Down => (value * factor + noise).floor(),
    };
    // As long as every whole number is exact, its digits with a point among them are the fraction's, and quicker to write.
    if scaled.abs() < EXACT {
        let mut text = String::with_capacity(WRITTEN);
        // Writing to a text cannot fail.
        let _ = write!(text, "{:0digits$}", scaled.abs() as u64, digits = places + 1);
        if places > 0 {
            text.insert(text.len() - places, '.');
        }
        if scaled < 0.0 {
            text.insert(0, '-');
        }
        return text;
    }
    format!("{:.places$}", scaled / factor)
}

/// To `figures` significant figures, without exponent, trailing zeros of the fraction dropped.
pub(super) fn figures(value: f64, figures: i32, round: Round) -> String {
    if !value.is_finite() {
        return "not known".into();
    }
    if value == 0.0 {
        return "0".into();
    }
    let magnitude = libm::log10(value.abs()).floor() as i32;
    let places = figures - 1 - magnitude;
    if places >= 0 {
        let mut text = fixed(value, usize::try_from(places.min(12)).unwrap_or(0), round);
        if text.contains('.') {
            text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
        }
        return text;
    }
    let step = 10f64.powi(-places);
    let whole = match round {
        Round::Nearest => (value / step).round(),
        Round::Up => (value / step * (1.0 - 1e-12)).ceil(),
        Round::Down => (value / step * (1.0 + 1e-12)).floor(),
    };
    format!("{:.0}", whole * step)
}

/// Millilitres, or litres from one litre on.
pub(super) fn volume(volume: Volume, round: Round) -> String {
    let ml = in_millilitres(volume);
    match ml.abs() {
        a if a >= 1000.0 => figures(ml / 1000.0, 3, round) + " L",
        a if a >= 10.0 => fixed(ml, 0, round) + " mL",
        _ => fixed(ml, 1, round) + " mL",
    }
}

/// Grams, or kilograms from one kilogram on.
pub(super) fn mass(mass: Mass, round: Round) -> String {
    let g = in_grams(mass);
    match g.abs() {
        a if a >= 1000.0 => figures(g / 1000.0, 3, round) + " kg",
        _ => figures(g, 3, round) + " g",
    }
}

/// A force in newtons, and as the weight that pulls as hard: "0.46 N, about 46 g of pull". The newtons
/// are rounded up: ballast must suffice.
pub(super) fn pull(force: Force) -> String {
    /// Standard gravity (CGPM 1901), m/s².
    const G: f64 = 9.80665;
    let newtons = in_newtons(force).abs();
    let weight = match newtons / G * 1000.0 {
        g if g >= 1000.0 => format!("{} kg", figures(g / 1000.0, 2, Round::Nearest)),
        g => format!("{} g", figures(g, 2, Round::Nearest)),
    };
    format!("{} N, about {weight} of pull", figures(newtons, 2, Round::Up))
}

/// Whole millimetres.
pub(super) fn length(length: Length, round: Round) -> String {
    fixed(in_millimetres(length), 0, round) + " mm"
}

/// "85 g", or "85 g (84 to 86 g)" when both ends differ as written.
pub(super) fn estimate<Q: Copy>(value: Estimate<Q>, write: impl Fn(Q) -> String) -> String {
    let (best, low, high) = (write(value.best), write(value.low), write(value.high));
    if low == high {
        return best;
    }
    // One unit is enough when both ends have the same.
    match (low.rsplit_once(' '), high.rsplit_once(' ')) {
        (Some((number, a)), Some((_, b))) if a == b => [&best, " (", number, " to ", &high, ")"].concat(),
        _ => [&best, " (", &low, " to ", &high, ")"].concat(),
    }
}

/// A percentage of error with its sign: "+1.2 %", "-0.4 %", "exact" within a twentieth of a per cent.
pub(super) fn error_percent(percent: f64) -> String {
    if !percent.is_finite() {
        return "error not known".into();
    }
    if percent.abs() < 0.05 {
        return "exact".into();
    }
    let sign = if percent > 0.0 { "+" } else { "" };
    let places = if percent.abs() < 9.95 { 1 } else { 0 };
    format!("{sign}{} %", fixed(percent, places, Round::Nearest))
}

/// The error of what is measured out, both ends of a range when they differ, and what spoons leave open on a powder.
pub(super) fn measured_error(span: &Span<MeasuredOut>) -> String {
    let (a, b) = (span.low.error_percent, span.high.error_percent);
    let (low, high) = (error_percent(a.min(b)), error_percent(a.max(b)));
    let text = if low == high { low } else { format!("{low} to {high}") };
    match span.low.bulk_error_percent {
        Some(bulk) => format!(
            "{text}; how it packs: {} to {}",
            error_percent(bulk.low.min(bulk.high)),
            error_percent(bulk.low.max(bulk.high))
        ),
        None => text,
    }
}

/// What to measure out: one text, or the two ends of a range.
pub(super) fn measured(span: &Span<MeasuredOut>) -> String {
    if span.low.text == span.high.text {
        span.low.text.clone()
    } else {
        format!("{} to {}", span.low.text, span.high.text)
    }
}

/// Whose kitchen measures are meant, with the size that tells them apart (the exact values are in the measures table).
pub(super) fn measures(system: MeasureSystem) -> &'static str {
    match system {
        MeasureSystem::Us => "US customary (cup 236.6 mL, tablespoon 14.8 mL, teaspoon 4.93 mL), level",
        MeasureSystem::Metric => "metric (cup 250 mL, tablespoon 15 mL, teaspoon 5 mL), level",
        MeasureSystem::Australian => "Australian (cup 250 mL, tablespoon 20 mL, teaspoon 5 mL), level",
        MeasureSystem::Imperial => "imperial (pint 568 mL, fluid ounce 28.4 mL), level",
    }
}

/// The word that says how grave; colour is never the only sign.
pub(super) fn gravity(gravity: Gravity) -> &'static str {
    match gravity {
        Gravity::Note => "Note",
        Gravity::Caution => "CAUTION",
        Gravity::StrongCaution => "STRONG CAUTION",
        Gravity::Stop => "STOP",
    }
}

/// The verdict as one sentence. Nothing is ever called safe.
pub(super) fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Fine => {
            "no hazard known to this program was found beyond the notes and the label, which still count. \
            That is no promise that there is none."
        }
        Verdict::Unknown => "something could not be judged; nothing worse was found among what this program knows.",
        Verdict::Warn => "cautions apply; read them before anything is poured.",
        Verdict::Refuse => "REFUSED. Do not prepare this.",
    }
}

/// Written under every result.
pub(super) const DEFERS: &str = "The label and the safety data sheet of what is in your bottle, and your local codes, \
    come before anything said here. This program knows a few hazards, not all of them.";

/// A figure of a finding in words: `worst_case_ppm` 12 is "in this air at worst 12 ppm".
pub(super) fn figure(key: &str, value: f64) -> String {
    const UNITS: [(&str, &str); 17] = [
        ("_mol_per_l", "mol/L"),
        ("_kg_m3", "kg/m\u{b3}"),
        ("_g_per_l", "g/L"),
        ("_m3_h", "m\u{b3}/h"),
        ("_percent", "%"),
        ("_kpa", "kPa"),
        ("_ppm", "ppm"),
        ("_mg_m3", "mg/m\u{b3}"),
        ("_mm3", "mm\u{b3}"),
        ("_mm2", "mm\u{b2}"),
        ("_mm", "mm"),
        ("_ml", "mL"),
        ("_m3", "m\u{b3}"),
        ("_min", "min"),
        ("_c", "\u{b0}C"),
        ("_n", "N"),
        ("_g", "g"),
    ];
    let found = UNITS.iter().find_map(|(suffix, unit)| key.strip_suffix(suffix).map(|name| (name, *unit)));
    let (name, unit) = found.unwrap_or((key, ""));
    // Upper bounds say so; a name without an entry is read out as it is.
    let name: Cow<'_, str> = match name {
        "gas" => "gas up to".into(),
        "heat_rise" => "warmer by up to".into(),
        "peracetic" => "peracetic acid up to".into(),
        "closed_pressure" => "pressure if closed up to".into(),
        "worst_case" => "in this air at worst".into(),
        "dangerous_from" => "turns dangerous at a bath of".into(),
        "idlh" => "IDLH".into(),
        "ph" => "pH".into(),
        "epa_group" => "EPA group".into(),
        "with_epa_group" => "with EPA group".into(),
        "gas_each_gram" => "gas from each gram of the metal up to".into(),
        "mist" => "in this air, all of it as mist, up to".into(),
        "spills" => "runs out if the vessel gives way".into(),
        "dissolved" => "dissolves up to".into(),
        "plated" => "copper laid down up to".into(),
        "strongest" => "the strongest".into(),
        "in_bath" => "of the bath".into(),
        other => other.replace('_', " ").into(),
    };
    let (value, unit) = if unit == "mL" && value >= 1000.0 { (value / 1000.0, "L") } else { (value, unit) };
    let space = if unit.is_empty() { "" } else { " " };
    [&name, " ", &figures(value, 3, Round::Nearest), space, unit].concat()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_round_the_way_named() {
        assert_eq!(fixed(38.6, 0, Round::Down), "38");
        assert_eq!(fixed(38.2, 0, Round::Up), "39");
        assert_eq!(fixed(3.0000000000001, 0, Round::Up), "3");
        assert_eq!(fixed(-0.04, 1, Round::Nearest), "0.0");
        assert_eq!(fixed(f64::NAN, 1, Round::Nearest), "not known");
        assert_eq!(figures(1234.5, 2, Round::Up), "1300");
        assert_eq!(figures(1200.0, 2, Round::Up), "1200");
        assert_eq!(figures(0.012345, 3, Round::Nearest), "0.0123");
        assert_eq!(figures(1.0, 3, Round::Nearest), "1");
    }

    #[test]
    fn a_fraction_is_written_as_the_library_writes_it() {
        let mut value = 1.37e-9;
        while value < 1e17 {
            for places in [0, 1, 2, 5, 12] {
                let factor = 10f64.powi(places);
                let library = format!("{:.*}", places as usize, (value * factor).round() / factor);
                assert_eq!(fixed(value, places as usize, Round::Nearest), library);
                let minus = fixed(-value, places as usize, Round::Nearest);
                assert_eq!(minus.trim_start_matches('-'), library);
                assert_eq!(minus.starts_with('-'), library.contains(|c| ('1'..='9').contains(&c)), "{minus}");
            }
            value *= 1.093;
        }
    }

    #[test]
    fn text_cannot_take_over_the_terminal() {
        assert_eq!(clean("a\u{1b}[31mb\u{202e}c\r\nd"), "a[31mbc d");
        assert_eq!(clean("a\tb\u{85}"), "a b");
        assert_eq!(clean("a\u{2028}b\u{2029}c\u{61c}d"), "a b cd");
        assert!(matches!(clean("20 \u{b0}C \u{2013} warm"), Cow::Borrowed(_)));
    }

    #[test]
    fn figures_say_their_unit() {
        assert_eq!(figure("worst_case_ppm", 12.34), "in this air at worst 12.3 ppm");
        assert_eq!(figure("airflow_m3_h", 4000.0), "airflow 4000 m\u{b3}/h");
        assert_eq!(figure("odd", 2.0), "odd 2");
        assert_eq!(figure("gas_ml", 535.0), "gas up to 535 mL");
        assert_eq!(figure("gas_ml", 5441.0), "gas up to 5.44 L");
        // 0.4413 N is the weight of 45 g.
        assert_eq!(pull(crate::amount::newtons(0.4413)), "0.45 N, about 45 g of pull");
    }
}
