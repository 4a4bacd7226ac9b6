//! Small figures in recipe and order files: plain numbers, per cent, temperatures, times and loading, ranges included.

use crate::amount::{Exact, Span, ThermodynamicTemperature, read_duration, read_temperature};
use crate::diag::{Checked, Problem};
use crate::reference::yaml::clip;
use jiff::SignedDuration;
use rust_decimal::Decimal;

/// The two ends of a range such as `15-25 C` or `2 to 3`; the unit of the second end serves both.
fn ends(text: &str) -> (String, Option<String>) {
    let text = text.trim();
    let cut = text.find(" to ").map(|i| (i, i + 4)).or_else(|| {
        text.char_indices()
            .find(|(i, c)| {
                matches!(c, '-' | '–')
                    && text[..*i].trim_end().ends_with(|c: char| c.is_ascii_digit() || c.is_alphabetic())
            })
            .map(|(i, c)| (i, i + c.len_utf8()))
    });
    let Some((end, start)) = cut else { return (text.to_string(), None) };
    let (low, high) = (text[..end].trim(), text[start..].trim());
    let unit = high.trim_start_matches(|c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '/' | ' '));
    let low_has_unit = low.chars().any(|c| c.is_alphabetic() || matches!(c, '%' | '°'));
    let low = if low_has_unit || unit.is_empty() { low.to_string() } else { format!("{low} {unit}") };
    (low, Some(high.to_string()))
}

fn ranged<T: PartialOrd + Clone>(text: &str, read: impl Fn(&str) -> Checked<T>) -> Checked<Span<T>> {
    let (low, high) = ends(text);
    let low = read(&low)?;
    let Some(high) = high else { return Ok(Span::one(low)) };
    let high = read(&high)?;
    if high < low {
        return Err(Problem::error(format!("`{}` ends below where it begins", clip(text))).into());
    }
    Ok(Span { low, high })
}

/// A number of no unit, zero or more.
fn number(text: &str) -> Checked<Exact> {
    let bare = text.trim();
    if bare.contains(',') {
        return Err(Problem::error(format!("`{}` has a decimal comma", clip(bare)))
            .hint("write a point, as in 0.5")
            .into());
    }
    Decimal::from_str_exact(bare)
        .ok()
        .filter(|d| !d.is_sign_negative() || d.is_zero())
        .and_then(Exact::from_decimal)
        .ok_or_else(|| {
            Problem::error(format!("found `{}`; expected a number of 0 or more, such as `3` or `0.5`", clip(bare)))
                .into()
        })
}

/// A number or range of numbers, zero or more.
///
/// # Errors
/// Anything else.
pub(crate) fn numbers(text: &str) -> Checked<Span<Exact>> {
    ranged(text, number)
}

/// A number or range in per cent, zero or more: `20 %`, `2-3 %`.
///
/// # Errors
/// No per cent sign, or no number.
pub(crate) fn percent(text: &str) -> Checked<Span<Exact>> {
    ranged(text, |end| match end.trim().strip_suffix('%') {
        Some(figure) => number(figure),
        None => Err(Problem::error(format!("found `{}`; expected per cent, such as `20 %`", clip(end))).into()),
    })
}

/// A whole number of 1 or more, or a range of them.
///
/// # Errors
/// Anything else.
pub(crate) fn counts(text: &str) -> Checked<Span<u32>> {
    ranged(text, |end| match end.trim().parse::<u32>() {
        Ok(n) if n > 0 => Ok(n),
        _ => Err(Problem::error(format!("found `{}`; expected a whole number of 1 or more", clip(end))).into()),
    })
}

/// A temperature or range of temperatures.
///
/// # Errors
/// As [`read_temperature`].
pub(crate) fn temperatures(text: &str) -> Checked<Span<ThermodynamicTemperature>> {
    ranged(text, read_temperature)
}

/// A time span or a range of them.
///
/// # Errors
/// As [`read_duration`].
pub(crate) fn durations(text: &str) -> Checked<Span<SignedDuration>> {
    ranged(text, read_duration)
}

/// Part area per litre of bath, mm² per litre: `200 cm2/L`.
///
/// # Errors
/// Anything but an area over a litre, above zero.
pub(crate) fn loading_mm2_per_l(text: &str) -> Checked<f64> {
    let wrong = || Problem::error(format!("found `{}`; expected part area per litre, such as `200 cm2/L`", clip(text)));
    let bare = text.trim().replace('²', "2");
    let Some((area, "L" | "l" | "litre" | "liter")) = bare.split_once('/').map(|(a, l)| (a.trim(), l.trim())) else {
        return Err(wrong().into());
    };
    for (unit, mm2) in [("mm2", 1.0), ("cm2", 1e2), ("dm2", 1e4), ("m2", 1e6), ("in2", 645.16)] {
        if let Some(figure) = area.strip_suffix(unit) {
            let value = number(figure)?.to_f64() * mm2;
            return if value > 0.0 { Ok(value) } else { Err(wrong().into()) };
        }
    }
    Err(wrong().into())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranges_share_the_unit_of_the_second_end() {
        assert_eq!(ends("15-25 C"), ("15 C".into(), Some("25 C".into())));
        assert_eq!(ends("20 min to 2 h"), ("20 min".into(), Some("2 h".into())));
        assert_eq!(ends("-5 C"), ("-5 C".into(), None));
        assert_eq!(ends("5"), ("5".into(), None));
    }

    #[test]
    fn numbers_stay_exact_and_bad_ones_are_named() {
        assert_eq!(numbers("0.1").unwrap(), Span::one(Exact::ratio(1, 10).unwrap()));
        assert_eq!(percent("2-3 %").unwrap(), Span { low: Exact::whole(2), high: Exact::whole(3) });
        assert_eq!(counts("3-6").unwrap(), Span { low: 3, high: 6 });
        for bad in ["", "-1", "1,5", "1e400", "x", "3-2"] {
            assert!(numbers(bad).is_err(), "{bad}");
        }
        assert!(percent("20").is_err());
        assert!(counts("0").is_err());
    }

    #[test]
    fn loading_is_an_area_over_a_litre() {
        assert_eq!(loading_mm2_per_l("200 cm2/L").unwrap(), 20_000.0);
        assert_eq!(loading_mm2_per_l("2 dm²/L").unwrap(), 20_000.0);
        assert!(loading_mm2_per_l("200 cm3/L").is_err());
        assert!(loading_mm2_per_l("200 cm2").is_err());
    }
}
