//! Amounts as written: read, scaled exactly, printed the way people write them.

use super::number::{self, range_sign, refuse};
use super::word::{self, Measure, UNIT_NAMES, UNITS_ALLOWED};
use super::{Exact, Mass, MeasureSystem, Span, Unit, Volume, grams, millilitres};
use crate::diag::{Checked, Problem, nearest};
use std::fmt;

/// An amount as written: a range of exact numbers and their unit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Amount {
    /// The number or range.
    pub value: Span<Exact>,
    /// What it counts.
    pub unit: Unit,
}

impl Amount {
    /// One exact number of a unit.
    pub fn of(value: Exact, unit: Unit) -> Self {
        Amount { value: Span::one(value), unit }
    }

    /// Both ends multiplied; `None` on overflow. Exact: by 3 and then by 1/3 gives back the same amount.
    pub fn scaled(&self, factor: Exact) -> Option<Amount> {
        let value = self.value.try_map(|v| v.checked_mul(factor).ok_or(())).ok()?;
        Some(Amount { value, unit: self.unit })
    }

    /// Both ends in millilitres, exact; `None` when this is no volume.
    pub fn millilitres_exact(&self) -> Option<Span<Exact>> {
        let Unit::Volume(unit, system) = self.unit else { return None };
        let one = unit.exact_ml(system)?;
        self.value.try_map(|v| v.checked_mul(one).ok_or(())).ok()
    }

    /// Both ends in grams, exact; `None` when this is no mass.
    pub fn grams_exact(&self) -> Option<Span<Exact>> {
        let Unit::Mass(unit) = self.unit else { return None };
        let one = unit.exact_g()?;
        self.value.try_map(|v| v.checked_mul(one).ok_or(())).ok()
    }

    /// As a volume; `None` when this is none. Works where exact millilitres would overflow.
    pub fn volume(&self) -> Option<Span<Volume>> {
        let Unit::Volume(unit, system) = self.unit else { return None };
        let one = unit.exact_ml(system)?.to_f64();
        Some(self.value.map(|v| millilitres(v.to_f64() * one)))
    }

    /// As a mass; `None` when this is none.
    pub fn mass(&self) -> Option<Span<Mass>> {
        let Unit::Mass(unit) = self.unit else { return None };
        let one = unit.exact_g()?.to_f64();
        Some(self.value.map(|v| grams(v.to_f64() * one)))
    }

    /// The same volume or mass in another unit of the same kind, exact; `None` when the kinds differ.
    pub fn in_unit(&self, unit: Unit) -> Option<Amount> {
        let (held, one) = match unit {
            Unit::Volume(u, system) => (self.millilitres_exact()?, u.exact_ml(system)?),
            Unit::Mass(u) => (self.grams_exact()?, u.exact_g()?),
            same if same == self.unit => return Some(self.clone()),
            _ => return None,
        };
        let value = held.try_map(|v| v.checked_div(one).ok_or(())).ok()?;
        Some(Amount { value, unit })
    }

    /// As printed, with the system named where it is another than `usual` ("1 imperial pint" in a US recipe), so that
    /// measures are never mixed silently.
    pub fn text_in(&self, usual: MeasureSystem) -> String {
        match self.unit {
            Unit::Volume(unit, system) if unit.is_kitchen() && system != usual => {
                format!("{} {} {}", self.number(), system.name(), self.unit.name(self.value.high > Exact::ONE))
            }
            _ => self.to_string(),
        }
    }

    fn number(&self) -> String {
        let (low, high) = (self.value.low, self.value.high);
        if low == high {
            return print(low, self.unit, FIGURES).0;
        }
        // Rounding must not turn a narrow range round or make one number of it: more figures then.
        for figures in FIGURES..=12 {
            let (first, last) = (print(low, self.unit, figures), print(high, self.unit, figures));
            if first.1 < last.1 {
                return format!("{}-{}", first.0, last.0);
            }
        }
        print(high, self.unit, FIGURES).0
    }

    /// Whether the printed text stands for exactly this amount; otherwise it is rounded to four figures.
    pub fn prints_exactly(&self) -> bool {
        let exact = |value| print(value, self.unit, FIGURES).1 == value;
        exact(self.value.low) && exact(self.value.high)
    }
}

/// Prints the way people write: fractions for kitchen units, decimals otherwise, ranges as ranges. What cannot be
/// written so is rounded to four figures (half away from zero).
impl fmt::Display for Amount {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.number(), self.unit.name(self.value.high > Exact::ONE))
    }
}

/// Denominators that a spoon set or measuring cup has, and the eighths and sixteenths they are halved to.
const KITCHEN_DENOMINATORS: [i64; 6] = [2, 3, 4, 6, 8, 16];

/// Figures shown of a number that has no end.
const FIGURES: u32 = 4;

/// A number as text, and the number that the text stands for.
fn print(value: Exact, unit: Unit, figures: u32) -> (String, Exact) {
    if unit.in_fractions()
        && let Some(text) = kitchen_fraction(value)
    {
        return (text, value);
    }
    print_decimal(value, figures)
}

fn kitchen_fraction(value: Exact) -> Option<String> {
    let (n, d) = value.parts();
    let (n, d) = (i64::try_from(n).ok()?, i64::try_from(d).ok()?);
    // Fractions of large numbers are nothing anybody measures out: 126 1/3 cups is printed as a decimal.
    if n < 0 || n / d >= 100 || !(KITCHEN_DENOMINATORS.contains(&d)) {
        return None;
    }
    Some(match (n / d, n % d) {
        (0, part) => format!("{part}/{d}"),
        (whole, part) => format!("{whole} {part}/{d}"),
    })
}

/// A number in decimals, rounded to four figures where it has no end.
pub(super) fn decimal_text(value: Exact) -> String {
    print_decimal(value, FIGURES).0
}

fn print_decimal(value: Exact, figures: u32) -> (String, Exact) {
    // Up to six places and twelve figures in all is what a person may have written.
    if let Some(d) = value.to_decimal(6)
        && Exact::from_decimal(d) == Some(value)
        && d.normalize().mantissa().unsigned_abs() < 1_000_000_000_000
    {
        return (d.normalize().to_string(), value);
    }
    let rounded = value
        .to_decimal(24)
        .and_then(|d| d.round_sf_with_strategy(figures, rust_decimal::RoundingStrategy::MidpointAwayFromZero));
    match rounded {
        Some(d) if !d.is_zero() => (d.normalize().to_string(), Exact::from_decimal(d).unwrap_or(value)),
        _ => (format!("{:e}", value.to_f64()), Exact::ZERO),
    }
}

/// Reads one amount, such as `1 1/2 tbsp`, `¾ cup`, `2-3 tbsp`, `120ml` or `35 g/L`.
///
/// # Errors
/// Names what was found and what is allowed.
pub fn read_amount(text: &str, system: MeasureSystem) -> Checked<Amount> {
    let s = tidy(text, "amount")?;
    let s = word::manner(s).map_or(s, |(_, rest)| rest.trim_start());
    let Some((found, rest)) = quantity(s, system)? else {
        return refuse(Problem::error(format!(
            "`{s}` is no amount; write a number and a unit such as 1 1/2 tbsp or 120 mL"
        )));
    };
    if !rest.trim().is_empty() {
        return refuse(
            Problem::error(format!("`{}` is left over after the amount", rest.trim()))
                .hint("Write one number and one unit here."),
        );
    }
    let unit = match found.measure {
        Measure::Amount(unit, _) => unit,
        Measure::Grain => Unit::Mass(super::MassUnit::Grain),
        Measure::Strength { .. } => {
            return refuse(
                Problem::error(format!("`{s}` is a strength, not an amount"))
                    .hint("Write a number and a unit such as 1 1/2 tbsp or 120 mL."),
            );
        }
    };
    Ok(Amount { value: found.value, unit })
}

/// Trims, and refuses what is empty, overlong or holds control characters.
pub(super) fn tidy<'a>(text: &'a str, what: &str) -> Checked<&'a str> {
    const MOST_CHARACTERS: usize = 300;
    let s = text.trim();
    if s.is_empty() {
        return refuse(Problem::error(format!("the {what} is empty")));
    }
    if s.chars().count() > MOST_CHARACTERS {
        return refuse(Problem::error(format!("the {what} is longer than {MOST_CHARACTERS} characters")));
    }
    // Figures of other scripts would be taken for letters of a name.
    let foreign =
        |c: &char| matches!(c, '０'..='９' | '\u{660}'..='\u{669}' | '\u{6f0}'..='\u{6f9}' | '\u{966}'..='\u{96f}');
    if let Some(c) = s.chars().find(foreign) {
        return refuse(Problem::error(format!("`{c}` is a figure of another script; write figures as 0 to 9")));
    }
    if s.chars().any(|c| c.is_control() && !c.is_whitespace()) {
        return refuse(Problem::error(format!("the {what} holds a control character")));
    }
    Ok(s)
}

/// A number or range with its unit.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Found {
    /// The number, in the unit of `measure`, above zero.
    pub value: Span<Exact>,
    /// What it is.
    pub measure: Measure,
    /// Words that qualify it.
    pub manner: Vec<String>,
}

/// A number or range with its unit at the start of the text, both ends above zero; also `2 tbsp to 3 tbsp`.
pub(super) fn quantity(s: &str, system: MeasureSystem) -> number::Read<'_, Found> {
    let Some((value, after)) = number::span(s)? else { return Ok(None) };
    let Some(((measure, manner), rest)) = word::measure(after, system)? else {
        return refuse(no_unit(s, after));
    };
    if matches!(measure, Measure::Amount(..)) && word::per(rest).is_some() {
        return refuse(
            Problem::error(format!("`{}` per something else is not taken", s[..s.len() - rest.len()].trim()))
                .hint("Write g/L or mL/L, of finished bath."),
        );
    }
    let mut found = Found { value, measure, manner };
    let mut left = rest;
    // "2 tbsp to 3 tbsp", "5 % - 8 %": the same unit on both ends.
    if value.is_one()
        && let Some(tail) = range_sign(rest)
        && let Ok(Some((high, after))) = number::number(tail)
        && let Ok(Some(((same, _), after))) = word::measure(after, system)
        && same == measure
    {
        found.value.high = high;
        number::rising(found.value, &s[..s.len() - after.len()])?;
        left = after;
    }
    if found.value.low.is_zero() {
        let text = &s[..s.len() - left.len()];
        return refuse(Problem::error(format!("`{}` is nothing; only numbers above zero are allowed", text.trim())));
    }
    if let Measure::Amount(_, ratio) | Measure::Strength { times: ratio, .. } = measure {
        found.value = found.value.try_map(|v| word::times(v, ratio))?;
    }
    Ok(Some((found, left)))
}

/// A number that no unit follows.
fn no_unit(s: &str, after: &str) -> Problem {
    let number = s[..s.len() - after.len()].trim();
    let next = after.trim_start();
    let then_digit = |mark: &[char]| {
        next.strip_prefix(mark).is_some_and(|t| t.trim_start().starts_with(|c: char| c.is_ascii_digit()))
    };
    if then_digit(&[':']) {
        return Problem::error(format!("`{number}:` begins a ratio"))
            .hint("Write it in parts, one line an ingredient: 1 part of this, 3 parts of that.");
    }
    if then_digit(&['x', 'X', '×', '*']) {
        return Problem::error(format!("`{number}` is multiplied by another number")).hint("Write the product.");
    }
    if then_digit(&['\'', '’', '_']) {
        return Problem::error(format!("`{number}` is followed by a separator"))
            .hint("Write the number without separators between thousands.");
    }
    match word::word(after.trim_start()) {
        Some((w, _)) => {
            let problem = Problem::error(format!("`{w}` after `{number}` is no unit; allowed are {UNITS_ALLOWED}"));
            match nearest(w, UNIT_NAMES) {
                Some(name) => problem.hint(format!("Did you mean {name}?")),
                None => problem,
            }
        }
        None => Problem::error(format!("`{number}` has no unit; allowed are {UNITS_ALLOWED}")),
    }
}

/// So many of something without a unit, "2 tea bags": what they are. `None` where a unit was meant, or a second figure stands
/// in it.
pub fn counted(text: &str) -> Option<&str> {
    let after = text.trim().trim_start_matches(|c: char| c.is_ascii_digit());
    let name = after.trim_start();
    let (first, _) = word::word(name)?;
    let figure = after.len() < text.trim().len() && after.len() > name.len();
    let plain = !name.contains(|c: char| c.is_ascii_digit()) && nearest(first, UNIT_NAMES).is_none();
    (figure && plain).then_some(name)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::amount::{MassUnit, VolumeUnit};

    fn read(text: &str) -> Amount {
        read_amount(text, MeasureSystem::Us).unwrap_or_else(|e| panic!("{text}: {e}"))
    }

    fn volume(low: (i64, i64), high: (i64, i64), unit: VolumeUnit) -> Amount {
        let value = Span { low: Exact::ratio(low.0, low.1).unwrap(), high: Exact::ratio(high.0, high.1).unwrap() };
        Amount { value, unit: Unit::Volume(unit, MeasureSystem::Us) }
    }

    #[test]
    fn amounts_as_people_write_them() {
        use VolumeUnit::*;
        for (text, low, high, unit) in [
            ("3/4 cup", (3, 4), (3, 4), Cup),
            ("¾ c", (3, 4), (3, 4), Cup),
            ("1 1/2 tbsp", (3, 2), (3, 2), Tablespoon),
            ("1-1/2 T", (3, 2), (3, 2), Tablespoon),
            ("2-3 tbsp.", (2, 1), (3, 1), Tablespoon),
            ("2 to 3 tablespoons", (2, 1), (3, 1), Tablespoon),
            ("2 tbsp to 3 tbsp", (2, 1), (3, 1), Tablespoon),
            ("0.5L", (1, 2), (1, 2), Litre),
            ("120ml", (120, 1), (120, 1), Millilitre),
            ("5 cl", (50, 1), (50, 1), Millilitre),
            ("1 fl. oz.", (1, 1), (1, 1), FluidOunce),
            ("2 oz by volume", (2, 1), (2, 1), FluidOunce),
            ("about 2 level tsp", (2, 1), (2, 1), Teaspoon),
            ("½ gal", (1, 2), (1, 2), Gallon),
        ] {
            assert_eq!(read(text), volume(low, high, unit), "{text}");
        }
        assert_eq!(read("35 g/L").unit, Unit::GramsPerLitre);
        assert_eq!(read("35 g per litre").unit, Unit::GramsPerLitre);
        assert_eq!(read("30 mL/L").unit, Unit::MillilitresPerLitre);
        assert_eq!(read("8 oz wt").unit, Unit::Mass(MassUnit::Ounce));
        assert_eq!(read("2 parts").unit, Unit::Parts);
        assert_eq!(read("1 metric cup").unit, Unit::Volume(Cup, MeasureSystem::Metric));
        assert_eq!(read("1 imperial pint").unit, Unit::Volume(Pint, MeasureSystem::Imperial));
    }

    #[test]
    fn what_cannot_be_an_amount_is_refused() {
        for text in [
            "",
            "cup",
            "2 oz",
            "5 %",
            "0 ml",
            "0-2 tbsp",
            "-5 ml",
            "nan ml",
            "inf g",
            "3 drops",
            "1 gr",
            "0,5 L",
            "5",
            "5 florins",
            "1 cup 2 tbsp",
            "1 t",
            "99999999999999999999999999999999 ml",
            "1/0 cup",
            "1e3 ml",
            "\u{7} 1 ml",
        ] {
            assert!(read_amount(text, MeasureSystem::Us).is_err(), "{text}");
        }
        assert!(read_amount("1 pint", MeasureSystem::Metric).is_err());
        let oz = read_amount("2 oz", MeasureSystem::Us).unwrap_err();
        assert!(oz.0[0].hints[0].contains("fl oz") && oz.0[0].hints[0].contains("oz by weight"));
    }

    #[test]
    fn printed_as_written() {
        for text in
            ["1/3 cup", "1 1/2 tbsp", "2-3 tbsp", "1/2-3/4 cup", "120 mL", "0.5 L", "35 g/L", "3 cups", "12.7 cups"]
        {
            assert_eq!(read(text).to_string(), text);
        }
        assert_eq!(read("2 oz wt").to_string(), "2 oz by weight");
        let pint = read("2 imperial pints");
        assert_eq!(pint.text_in(MeasureSystem::Us), "2 imperial pints");
        assert_eq!(pint.text_in(MeasureSystem::Imperial), "2 pints");
        let odd = Amount::of(Exact::ratio(1, 7).unwrap(), Unit::Mass(MassUnit::Gram));
        assert_eq!((odd.to_string().as_str(), odd.prints_exactly()), ("0.1429 g", false));
    }

    #[test]
    fn a_third_of_a_cup_by_three_and_by_a_third() {
        let third = read("1/3 cup");
        let back = third.scaled(Exact::whole(3)).and_then(|x| x.scaled(Exact::ratio(1, 3).unwrap()));
        assert_eq!(back, Some(third));
    }
}
