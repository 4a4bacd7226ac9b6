//! Lengths, sizes, areas, volumes, masses and temperatures as people write them.
//!
//! 1 in = 25.4 mm and 1 ft = 12 in exactly (NIST Handbook 44, Appendix C); 0 °C = 273.15 K and °F = °C × 9/5 + 32
//! exactly (NIST SP 811).

use super::number::{self, refuse};
use super::written::tidy;
use super::{
    Area, Exact, Length, Mass, MeasureSystem, Span, ThermodynamicTemperature, Volume, celsius, cubic_metres,
    millimetres, read_amount, square_millimetres,
};
use crate::diag::{Checked, Problem, one_of};

/// A unit with the exact ratio to the base unit it is turned into.
type UnitRatio = (i64, i64);

/// What a bare number is in, and what is said when that is nothing.
struct Kind {
    what: &'static str,
    example: &'static str,
    allowed: &'static str,
    units: fn(&str) -> Option<UnitRatio>,
}

const LENGTH: Kind =
    Kind { what: "length", example: "82 mm or 3 1/4 in", allowed: "mm, cm, m, in, ft", units: length_unit };
const AREA: Kind = Kind { what: "area", example: "150 cm2", allowed: "mm2, cm2, m2, in2, ft2", units: area_unit };
const ROOM: Kind = Kind { what: "volume of air", example: "30 m3", allowed: "m3, ft3, L", units: room_unit };

fn length_unit(u: &str) -> Option<UnitRatio> {
    Some(match u {
        "mm" | "millimetre" | "millimetres" | "millimeter" | "millimeters" => (1, 1),
        "cm" | "centimetre" | "centimetres" | "centimeter" | "centimeters" => (10, 1),
        "dm" => (100, 1),
        "m" | "metre" | "metres" | "meter" | "meters" => (1000, 1),
        "µm" | "μm" | "um" | "micron" | "microns" => (1, 1000),
        "in" | "inch" | "inches" | "\"" | "″" | "”" | "''" => (254, 10),
        "ft" | "foot" | "feet" | "'" | "′" | "’" => (3048, 10),
        _ => return None,
    })
}

fn area_unit(u: &str) -> Option<UnitRatio> {
    Some(match u {
        "mm2" | "mm²" => (1, 1),
        "cm2" | "cm²" => (100, 1),
        "dm2" | "dm²" => (10_000, 1),
        "m2" | "m²" => (1_000_000, 1),
        "in2" | "in²" => (64_516, 100),
        "ft2" | "ft²" => (9_290_304, 100),
        _ => return None,
    })
}

/// In cubic metres.
fn room_unit(u: &str) -> Option<UnitRatio> {
    Some(match u {
        "m3" | "m³" => (1, 1),
        "l" | "litre" | "litres" | "liter" | "liters" => (1, 1000),
        // 1 ft³ = 0.028316846592 m³ exactly, (0.3048 m)³.
        "ft3" | "ft³" => (28_316_846_592, 1_000_000_000_000),
        _ => return None,
    })
}

/// The largest number of base units taken, against slips of the pen: 100 m, 10 000 m² and so on.
const MOST: i64 = 10_000_000_000;

impl Kind {
    /// The unit word at the start: letters with digits, or one of the marks for inch and foot.
    fn unit<'a>(&self, s: &'a str) -> Option<(UnitRatio, &'a str)> {
        let t = s.trim_start();
        let (w, rest) = match super::word::word(t) {
            Some((w, rest)) => (w, rest.strip_prefix('.').unwrap_or(rest)),
            None => {
                let n = if t.starts_with("''") { 2 } else { t.chars().next()?.len_utf8() };
                t.split_at(n)
            }
        };
        (self.units)(&w.to_lowercase()).map(|r| (r, rest))
    }

    fn wrong(&self, s: &str) -> Problem {
        Problem::error(format!("`{s}` is no {}; write one such as {}", self.what, self.example))
    }

    fn no_unit(&self, found: &str, next: &str) -> Problem {
        let shown: String = next.trim().chars().take_while(|c| !c.is_whitespace()).take(16).collect();
        if shown.is_empty() {
            return Problem::error(format!("`{found}` has no unit; allowed are {}", self.allowed));
        }
        Problem::error(format!("`{shown}` after `{found}` is no unit of {}; allowed are {}", self.what, self.allowed))
    }

    /// One number or range with its unit, in base units.
    fn span(&self, text: &str, default_unit: Option<&str>) -> Checked<Span<Exact>> {
        let s = tidy(text, self.what)?;
        let (ends, rest) = number::span(s)?.ok_or_else(|| self.wrong(s))?;
        let found = s[..s.len() - rest.len()].trim();
        let default =
            || default_unit.filter(|_| rest.trim().is_empty()).and_then(|u| self.unit(u)).map(|(r, _)| (r, ""));
        let (ratio, mut rest) = self.unit(rest).or_else(default).ok_or_else(|| self.no_unit(found, rest))?;
        let mut span = ends.try_map(|v| in_base(v, ratio))?;
        // "2 cm to 3 cm"
        if span.is_one()
            && let Some(tail) = number::range_sign(rest)
            && let Some((high, after)) = number::number(tail)?
            && let Some((ratio, after)) = self.unit(after)
        {
            span.high = in_base(high, ratio)?;
            number::rising(span, s)?;
            rest = after;
        }
        // "1 ft 3 in", 5' 3"
        while span.is_one()
            && let Some((more, after)) = number::number(rest.trim_start())?
            && let Some((smaller, after)) = self.unit(after)
        {
            if smaller.0 * ratio.1 >= ratio.0 * smaller.1 {
                return refuse(Problem::error(format!("`{s}` gives two of them; write one {}", self.what)));
            }
            let sum = span.low.checked_add(in_base(more, smaller)?).ok_or_else(too_large)?;
            span = Span::one(sum);
            rest = after;
        }
        if !rest.trim().is_empty() {
            return refuse(Problem::error(format!("`{}` is left over after the {}", rest.trim(), self.what)));
        }
        Ok(span)
    }

    fn one(&self, text: &str, default_unit: Option<&str>) -> Checked<Exact> {
        let span = self.span(text, default_unit)?;
        if !span.is_one() {
            return refuse(Problem::error(format!("`{}` is a range; write one {}", text.trim(), self.what)));
        }
        Ok(span.low)
    }

    fn above_zero(&self, value: Exact, text: &str) -> Checked<Exact> {
        if value.is_zero() {
            return refuse(Problem::error(format!(
                "`{}` is nothing; a {} above zero is needed",
                text.trim(),
                self.what
            )));
        }
        Ok(value)
    }
}

fn too_large() -> Problem {
    Problem::error("the number is too large")
}

fn in_base(value: Exact, (n, d): UnitRatio) -> Checked<Exact> {
    let in_base = Exact::ratio(n, d).and_then(|r| value.checked_mul(r)).ok_or_else(too_large)?;
    if in_base > Exact::whole(MOST) { refuse(too_large()) } else { Ok(in_base) }
}

/// Reads one length above zero, such as `82 mm`, `8.2cm`, `3 1/4 in` or `1 ft 3 in`; a bare number is in `default_unit`
/// ("mm", ...) if given.
///
/// # Errors
/// Names what was found and what is allowed.
pub fn read_length(text: &str, default_unit: Option<&str>) -> Checked<Length> {
    let value = LENGTH.one(text, default_unit)?;
    Ok(millimetres(LENGTH.above_zero(value, text)?.to_f64()))
}

/// As [`read_length`], and zero is taken: for a cover depth or the foot of a level table.
///
/// # Errors
/// Names what was found and what is allowed.
pub fn read_length_or_zero(text: &str, default_unit: Option<&str>) -> Checked<Length> {
    Ok(millimetres(LENGTH.one(text, default_unit)?.to_f64()))
}

/// Reads sizes separated by `x` or `×`, such as `40x40x80 mm`, `60-82x140 mm`, `3 1/4 x 2 in` or `4 cm x 80 mm`: one
/// unit at the end for all, or a unit on each. The ends of a range stay in the order written (bottom and top of a cup),
/// so `low` may be above `high`.
///
/// # Errors
/// A size of zero, a unit on some sizes only, anything that is no size.
pub fn read_dimensions(text: &str) -> Checked<Vec<Span<Length>>> {
    let s = tidy(text, "size")?;
    let wrong = || Problem::error(format!("`{s}` is no size; write one such as 40x40x80 mm"));
    let mut sizes: Vec<(Span<Exact>, Option<UnitRatio>)> = Vec::new();
    let mut rest = s;
    loop {
        let (ends, after) = number::ends(rest.trim_start())?.ok_or_else(wrong)?;
        let found = rest[..rest.len() - after.len()].trim();
        if ends.low.is_zero() || ends.high.is_zero() {
            return refuse(Problem::error(format!("`{found}` is nothing; only sizes above zero are allowed")));
        }
        // In "4cmx80mm" the x is glued to the unit before it.
        let glued = || {
            let (unit, _) = after.split_once(['x', 'X', '×'])?;
            LENGTH.unit(unit).filter(|(_, left)| left.is_empty()).map(|(ratio, _)| (ratio, &after[unit.len()..]))
        };
        let (unit, after) = match LENGTH.unit(after).or_else(glued) {
            Some((unit, after)) => (Some(unit), after),
            None => (None, after),
        };
        sizes.push((ends, unit));
        let tail = after.trim_start();
        if tail.is_empty() {
            break;
        }
        rest = tail.strip_prefix(['x', 'X', '×']).ok_or_else(|| LENGTH.no_unit(found, tail))?;
    }
    let last = sizes.last().and_then(|(_, unit)| *unit);
    let said = sizes.iter().filter(|(_, unit)| unit.is_some()).count();
    let Some(last) = last else {
        return refuse(
            Problem::error(format!("`{s}` has no unit; allowed are {}", LENGTH.allowed))
                .hint(format!("Write {s} mm if it is in millimetres.")),
        );
    };
    if said != 1 && said != sizes.len() {
        return refuse(
            Problem::error(format!("`{s}` has a unit on some sizes only"))
                .hint("Write one unit at the end for all of them, or one on each."),
        );
    }
    sizes
        .into_iter()
        .map(|(ends, unit)| {
            let ratio = unit.unwrap_or(last);
            ends.try_map(|v| in_base(v, ratio).map(|mm| millimetres(mm.to_f64())))
        })
        .collect()
}

/// Reads one area above zero, such as `150 cm2`.
///
/// # Errors
/// Names what was found and what is allowed.
pub fn read_area(text: &str) -> Checked<Area> {
    let value = AREA.one(text, None)?;
    Ok(square_millimetres(AREA.above_zero(value, text)?.to_f64()))
}

/// Reads the volume of a room above zero, such as `30 m3` or `1000 ft3`; a bare number is in cubic metres.
///
/// # Errors
/// Names what was found and what is allowed.
pub fn read_room_volume(text: &str) -> Checked<Volume> {
    let value = ROOM.one(text, Some("m3"))?;
    Ok(cubic_metres(ROOM.above_zero(value, text)?.to_f64()))
}

/// Reads a loading, such as `200 cm2/L` or `0.5 dm2/L`: the part area beside one litre of bath.
///
/// # Errors
/// Names what was found and what is allowed.
pub fn read_loading(text: &str) -> Checked<Area> {
    let s = tidy(text, "loading")?;
    let Some((area, _)) = s
        .char_indices()
        .filter(|(i, c)| *c == '/' || (*c == 'p' && s[*i..].starts_with("per ")))
        .filter_map(|(i, _)| super::word::per_litre(&s[i..]).map(|rest| (&s[..i], rest)))
        .find(|(_, rest)| rest.trim().is_empty())
    else {
        return refuse(Problem::error(format!("`{s}` is no loading; write one such as 200 cm2/L")));
    };
    read_area(area)
}

/// Reads one mass above zero, such as `85 g` or `3 oz by weight`.
///
/// # Errors
/// A volume, a range, or anything that is no mass.
pub fn read_mass(text: &str) -> Checked<Mass> {
    let amount = read_amount(text, MeasureSystem::Metric)?;
    match amount.mass() {
        Some(m) if amount.value.is_one() => Ok(m.low),
        Some(_) => refuse(Problem::error(format!("`{}` is a range; write one mass", text.trim()))),
        None => {
            refuse(Problem::error(format!("`{}` is no mass; allowed are mg, g, kg, lb, oz by weight", text.trim())))
        }
    }
}

/// Reads one volume of liquid above zero, such as `1 L` or `2 cups`.
///
/// # Errors
/// A mass, a range, or anything that is no volume.
pub fn read_volume(text: &str, system: MeasureSystem) -> Checked<Volume> {
    let amount = read_amount(text, system)?;
    match amount.volume() {
        Some(v) if amount.value.is_one() => Ok(v.low),
        Some(_) => refuse(Problem::error(format!("`{}` is a range; write one volume", text.trim()))),
        None => {
            let allowed = one_of(&["mL", "L", "cup", "pint", "quart", "gallon", "fl oz", "tbsp", "tsp"]);
            refuse(Problem::error(format!("`{}` is no volume; allowed are {allowed}", text.trim())))
        }
    }
}

/// As [`read_volume`], and zero is taken: for the foot of a level table.
///
/// # Errors
/// A mass, a range, or anything that is no volume.
pub fn read_volume_or_zero(text: &str, system: MeasureSystem) -> Checked<Volume> {
    let s = tidy(text, "volume")?;
    if let Ok(Some((value, rest))) = number::number(s)
        && value.is_zero()
    {
        // The unit is checked with a one in place of the zero.
        return read_volume(&format!("1 {}", rest.trim()), system).map(|_| super::millilitres(0.0));
    }
    read_volume(s, system)
}

/// Reads a percentage or range of them, zero and above, such as `20 %`, `20` or `15-25 percent`; no upper limit.
///
/// # Errors
/// Names what was found and what is allowed.
pub fn read_percent(text: &str) -> Checked<Span<Exact>> {
    let s = tidy(text, "percentage")?;
    let wrong = || Problem::error(format!("`{s}` is no percentage; write one such as 20 %"));
    let (ends, rest) = number::span(s)?.ok_or_else(wrong)?;
    let rest = rest.trim();
    let sign =
        rest.is_empty() || rest == "%" || rest.eq_ignore_ascii_case("percent") || rest.eq_ignore_ascii_case("per cent");
    if sign { Ok(ends) } else { refuse(wrong()) }
}

/// Reads a bare number or range of them, zero and above, such as `3` or `50-100`.
///
/// # Errors
/// Names what was found and what is allowed.
pub fn read_number_range(text: &str) -> Checked<Span<Exact>> {
    let s = tidy(text, "number")?;
    let wrong = || Problem::error(format!("`{s}` is no number; write one such as 3, 0.5 or 50-100"));
    let (ends, rest) = number::span(s)?.ok_or_else(wrong)?;
    if rest.trim().is_empty() { Ok(ends) } else { refuse(wrong()) }
}

/// Reads one bare number, zero or above, such as `0.5` or `1/2`.
///
/// # Errors
/// Names what was found and what is allowed.
pub fn read_number(text: &str) -> Checked<Exact> {
    let ends = read_number_range(text)?;
    if ends.is_one() {
        Ok(ends.low)
    } else {
        refuse(Problem::error(format!("`{}` is a range; write one number", text.trim())))
    }
}

/// Reads a temperature, such as `20 C`, `68 F` or `293 K`; a bare number is in degrees Celsius.
///
/// # Errors
/// Names what was found and what is allowed.
pub fn read_temperature(text: &str) -> Checked<ThermodynamicTemperature> {
    let span = temperatures(text)?;
    if !span.is_one() {
        return refuse(Problem::error(format!("`{}` is a range; write one temperature", text.trim())));
    }
    Ok(span.low)
}

/// Reads a temperature or a range of them, such as `15-25 C` or `60 to 77 F`.
///
/// # Errors
/// Names what was found and what is allowed.
pub fn read_temperature_range(text: &str) -> Checked<Span<ThermodynamicTemperature>> {
    temperatures(text)
}

fn temperatures(text: &str) -> Checked<Span<ThermodynamicTemperature>> {
    let s = tidy(text, "temperature")?;
    let wrong = || Problem::error(format!("`{s}` is no temperature; write one such as 20 C, 68 F or 293 K"));
    let (low, rest) = number::signed(s)?.ok_or_else(wrong)?;
    let (scale, rest) = temperature_scale(rest);
    let (ends, scale, rest) = match number::range_sign(rest) {
        Some(tail) => {
            let (high, rest) = number::signed(tail)?.ok_or_else(wrong)?;
            let (high_scale, rest) = temperature_scale(rest);
            if scale.is_some() && scale != high_scale {
                return refuse(wrong().hint("Write both ends of a range in the same unit."));
            }
            (Span { low, high }, high_scale, rest)
        }
        None => (Span::one(low), scale, rest),
    };
    if !rest.trim().is_empty() {
        return refuse(wrong());
    }
    number::rising(ends, s)?;
    ends.try_map(|v| {
        let v = v.to_f64();
        let c = match scale.unwrap_or('C') {
            'F' => (v - 32.0) * 5.0 / 9.0,
            'K' => v - 273.15,
            _ => v,
        };
        // Below absolute zero is a slip of the pen, and so is anything hotter than a kiln.
        if (-273.15..=1500.0).contains(&c) {
            Ok(celsius(c))
        } else {
            refuse(Problem::error(format!("`{s}` is out of range; allowed are -273.15 C to 1500 C")))
        }
    })
}

fn temperature_scale(s: &str) -> (Option<char>, &str) {
    let t = s.trim_start();
    let t = t.strip_prefix('°').or_else(|| super::word::eat(t, &["deg", "degree", "degrees"])).unwrap_or(t);
    if let Some(rest) = t.trim_start().strip_prefix('℃') {
        return (Some('C'), rest);
    }
    if let Some(rest) = t.trim_start().strip_prefix('℉') {
        return (Some('F'), rest);
    }
    for (scale, words) in [('C', ["c", "celsius"]), ('F', ["f", "fahrenheit"]), ('K', ["k", "kelvin"])] {
        if let Some(rest) = super::word::eat(t, &words) {
            return (Some(scale), rest);
        }
    }
    (None, s)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::amount::{in_celsius, in_cubic_metres, in_grams, in_millilitres, in_millimetres, in_square_millimetres};

    fn near(a: f64, b: f64) {
        assert!((a - b).abs() < 1e-9 * b.abs().max(1.0), "{a} is not {b}");
    }

    #[test]
    fn lengths() {
        for (text, mm) in [
            ("82 mm", 82.0),
            ("8.2cm", 82.0),
            ("3 1/4 in", 82.55),
            ("3\"", 76.2),
            ("1 ft 3 in", 381.0),
            ("5' 3\"", 1600.2),
            ("½ inch", 12.7),
            ("1.2 m", 1200.0),
        ] {
            near(in_millimetres(read_length(text, None).unwrap()), mm);
        }
        near(in_millimetres(read_length("15", Some("mm")).unwrap()), 15.0);
        near(in_millimetres(read_length_or_zero("0 mm", None).unwrap()), 0.0);
        for bad in ["15", "0 mm", "-1 mm", "nan mm", "8,2 cm", "3 g", "mm", "1 in 2 ft", "2-3 mm", ""] {
            assert!(read_length(bad, None).is_err(), "{bad}");
        }
    }

    #[test]
    fn sizes() {
        let mm = |text: &str| -> Vec<(f64, f64)> {
            let sizes = read_dimensions(text).unwrap_or_else(|e| panic!("{text}: {e}"));
            let round = |l| (in_millimetres(l) * 1e6).round() / 1e6;
            sizes.into_iter().map(|s| (round(s.low), round(s.high))).collect()
        };
        assert_eq!(mm("40x40x80 mm"), [(40.0, 40.0), (40.0, 40.0), (80.0, 80.0)]);
        assert_eq!(mm("60-82x140 mm"), [(60.0, 82.0), (140.0, 140.0)]);
        assert_eq!(mm("82-60 × 14 cm"), [(820.0, 600.0), (140.0, 140.0)]);
        assert_eq!(mm("4 cm x 80 mm"), [(40.0, 40.0), (80.0, 80.0)]);
        assert_eq!(mm("4cmx80mm"), [(40.0, 40.0), (80.0, 80.0)]);
        assert_eq!(mm("1 1/2x2 in"), [(38.1, 38.1), (50.8, 50.8)]);
        for bad in
            ["40x40x80", "40 mm x 40 x 80 mm", "40x0x80 mm", "x40 mm", "40x mm", "40x-3 mm", "40y40 mm", "1e400x2 mm"]
        {
            assert!(read_dimensions(bad).is_err(), "{bad}");
        }
    }

    #[test]
    fn temperatures_in_three_scales() {
        for (text, c) in
            [("20 C", 20.0), ("68 F", 20.0), ("293.15K", 20.0), ("20", 20.0), ("-5 °C", -5.0), ("20 ℃", 20.0)]
        {
            near(in_celsius(read_temperature(text).unwrap()), c);
        }
        let span = read_temperature_range("15-25 C").unwrap();
        near(in_celsius(span.low), 15.0);
        near(in_celsius(span.high), 25.0);
        near(in_celsius(read_temperature_range("-5 - -2 C").unwrap().high), -2.0);
        for bad in ["-300 C", "warm", "20 X", "25-15 C", "nan", "20 C 3", "15-25 C"] {
            assert!(read_temperature(bad).is_err(), "{bad}");
        }
    }

    #[test]
    fn areas_volumes_masses() {
        near(in_square_millimetres(read_area("150 cm2").unwrap()), 15_000.0);
        near(in_square_millimetres(read_loading("200 cm2/L").unwrap()), 20_000.0);
        near(in_square_millimetres(read_loading("200 cm² per litre").unwrap()), 20_000.0);
        near(in_cubic_metres(read_room_volume("1000 ft3").unwrap()), 28.316_846_592);
        near(in_cubic_metres(read_room_volume("30").unwrap()), 30.0);
        near(in_grams(read_mass("1 lb").unwrap()), 453.592_37);
        near(in_millilitres(read_volume("1 cup", MeasureSystem::Us).unwrap()), 236.588_236_5);
        near(in_millilitres(read_volume_or_zero("0 mL", MeasureSystem::Us).unwrap()), 0.0);
        assert!(read_volume_or_zero("0 g", MeasureSystem::Us).is_err());
        assert_eq!(read_percent("20 %").unwrap(), Span::one(Exact::whole(20)));
        assert_eq!(read_number_range("50-100").unwrap().high, Exact::whole(100));
        for bad in ["85", "2 cups", "1-2 g", "2 oz"] {
            assert!(read_mass(bad).is_err(), "{bad}");
        }
        assert!(read_loading("200 cm2").is_err());
        assert!(read_area("30 m3").is_err());
    }
}
