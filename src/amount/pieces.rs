//! A line of pieces, such as a part or a vessel is written, and figures as messages show them.

use crate::diag::{Checked, Problem};

/// The pieces of a line: what stands between commas or semicolons, trimmed; empty ones are dropped.
///
/// # Errors
/// A decimal comma (`1,5 mm`): the point is asked for, since the comma separates.
pub fn split_pieces(text: &str) -> Checked<Vec<&str>> {
    let bytes = text.as_bytes();
    let comma_in_number = |i: usize| {
        bytes[i] == b','
            && i > 0
            && bytes[i - 1].is_ascii_digit()
            && bytes.get(i + 1).is_some_and(|b| b.is_ascii_digit())
    };
    if let Some(i) = (0..bytes.len()).find(|&i| comma_in_number(i)) {
        let is_digit = |b: &u8| b.is_ascii_digit();
        let before = bytes[..i].iter().rev().take_while(|b| is_digit(b)).count();
        let after = bytes[i + 1..].iter().take_while(|b| is_digit(b)).count();
        // The slice is ASCII digits around a comma, so its ends are character borders.
        let found = &text[i - before..=i + after];
        return Err(Problem::error(format!("found the number `{found}`, but a decimal comma is not read"))
            .hint(format!("write `{}`, or put a space after a comma that separates", found.replace(',', ".")))
            .into());
    }
    Ok(text.split([',', ';']).map(str::trim).filter(|p| !p.is_empty()).collect())
}

/// A figure for a message: three or four significant digits, no exponent, no idle zeros.
pub fn figure(value: f64) -> String {
    if !value.is_finite() {
        return "no number".to_string();
    }
    let places = match value.abs() {
        a if a >= 100.0 => 0,
        a if a >= 10.0 => 1,
        a if a >= 1.0 || a == 0.0 => 2,
        _ => 3,
    };
    let text = format!("{value:.places$}");
    let text = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    if text == "-0" { "0".to_string() } else { text.to_string() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pieces_are_split_and_a_decimal_comma_is_not() {
        assert_eq!(split_pieces("box 4x4 mm, 85 g; iron,,PLA ").ok(), Some(vec!["box 4x4 mm", "85 g", "iron", "PLA"]));
        let told = split_pieces("box 40x12,5 mm").err().map(|p| p.to_string()).unwrap_or_default();
        assert!(told.contains("12,5") && told.contains("12.5"), "{told}");
    }

    #[test]
    fn figures_are_short() {
        for (v, t) in [(123.4, "123"), (12.34, "12.3"), (1.0, "1"), (0.1234, "0.123"), (-0.0001, "0"), (0.0, "0")] {
            assert_eq!(figure(v), t);
        }
    }
}
