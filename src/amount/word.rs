//! Units as people write them, and the words around them.
//!
//! Each word is looked up whole: a unit never hides inside a longer word.

use super::number::{Read, is_dash, refuse};
use super::{Exact, MassUnit, MeasureSystem, StrengthBasis, Unit, VolumeUnit};
use crate::diag::{Checked, Problem};
use std::borrow::Cow;

/// What the words after a number make of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Measure {
    /// An amount; the number is to be multiplied by the ratio (5 cl are 50 mL).
    Amount(Unit, (i64, i64)),
    /// A strength, and whether its basis was said. The number is to be multiplied by the ratio.
    Strength { basis: StrengthBasis, said: bool, times: (i64, i64) },
    /// `grain`: a strength beside vinegar, a mass beside anything else.
    Grain,
}

/// A word with letters at the start of the text: letters, then digits (`cm3`, `m²`).
pub(super) fn word(s: &str) -> Option<(&str, &str)> {
    // Nearly all words are plain letters, and a byte is quicker looked at than a character.
    let plain = s.bytes().take_while(u8::is_ascii_alphabetic).count();
    let letters = match s.as_bytes().get(plain) {
        Some(next) if !next.is_ascii() => s.find(|c: char| !c.is_alphabetic()).unwrap_or(s.len()),
        _ => plain,
    };
    if letters == 0 {
        return None;
    }
    let tail = &s[letters..];
    let extra = tail.find(|c: char| !(c.is_ascii_digit() || matches!(c, '²' | '³'))).unwrap_or(tail.len());
    Some(s.split_at(letters + extra))
}

/// The word in lower case.
fn lower(word: &str) -> Cow<'_, str> {
    match word.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit()) {
        true => Cow::Borrowed(word),
        false => Cow::Owned(word.to_lowercase()),
    }
}

/// Takes the word off the start, case ignored; a full stop after it goes with it.
pub(super) fn eat<'a>(s: &'a str, wanted: &[&str]) -> Option<&'a str> {
    let (w, rest) = word(s.trim_start())?;
    is_one_of(w, wanted).then(|| rest.strip_prefix('.').unwrap_or(rest))
}

/// Whether the word is one of those wanted (lower case), its case ignored.
pub(super) fn is_one_of(word: &str, wanted: &[&str]) -> bool {
    match word.is_ascii() {
        true => wanted.iter().any(|w| w.eq_ignore_ascii_case(word)),
        false => wanted.contains(&word.to_lowercase().as_str()),
    }
}

/// Words that qualify how an amount is taken.
pub(super) const MANNERS: [&str; 17] = [
    "level",
    "heaped",
    "heaping",
    "rounded",
    "scant",
    "generous",
    "packed",
    "about",
    "approximately",
    "approx",
    "roughly",
    "around",
    "circa",
    "ca",
    "fresh",
    "freshly",
    "slightly",
];

/// A manner word at the start, lower case.
pub(super) fn manner(s: &str) -> Option<(String, &str)> {
    let t = s.trim_start();
    if let Some(rest) = t.strip_prefix(['~', '≈']) {
        return Some(("about".into(), rest));
    }
    let (w, rest) = word(t)?;
    if !is_one_of(w, &MANNERS) || rest.starts_with(|c: char| is_dash(c) || c == '\'') {
        return None;
    }
    Some((w.to_lowercase(), rest.strip_prefix('.').unwrap_or(rest)))
}

/// Words for some of a thing, when "of" follows: they are no part of its name.
const VAGUE: &str = "bit bits blob capful capfuls dab dash dollop drizzle drop drops glug handful hint knob little lot lots \
                     pinch shot slug splash splashes spot spoonful sprinkle sprinkling squirt squirts swig touch trace";

/// "splash of" at the start, lower case, without the "of".
pub(super) fn vague(s: &str) -> Option<(String, &str)> {
    let (w, rest) = word(s.trim_start())?;
    let rest = eat(rest, &["of"])?;
    let w = w.to_lowercase();
    VAGUE.split_whitespace().any(|v| v == w).then_some((w, rest))
}

/// Whose measures, when the line says so itself: "US cup", "metric cup", "imperial pint", "Australian tbsp".
fn system_word(s: &str) -> Option<(MeasureSystem, &str)> {
    let t = s.trim_start();
    let dotted = |p: &str| t.get(..p.len()).filter(|x| x.eq_ignore_ascii_case(p)).map(|_| &t[p.len()..]);
    if let Some(rest) = dotted("u.s.") {
        return Some((MeasureSystem::Us, rest));
    }
    if let Some(rest) = dotted("u.k.") {
        return Some((MeasureSystem::Imperial, rest));
    }
    let (w, rest) = word(t)?;
    let system = match lower(w).as_ref() {
        "us" | "american" => MeasureSystem::Us,
        "metric" => MeasureSystem::Metric,
        "imperial" | "british" | "uk" => MeasureSystem::Imperial,
        "australian" | "au" => MeasureSystem::Australian,
        _ => return None,
    };
    Some((system, eat(rest, &["customary", "standard"]).unwrap_or(rest)))
}

/// The whole names of units of volume, for hints.
pub(super) const UNIT_NAMES: [&str; 27] = [
    "millilitre",
    "milliliter",
    "litre",
    "liter",
    "litres",
    "liters",
    "teaspoon",
    "teaspoons",
    "tablespoon",
    "tablespoons",
    "cup",
    "cups",
    "pint",
    "pints",
    "quart",
    "quarts",
    "gallon",
    "gallons",
    "pinch",
    "dash",
    "gram",
    "grams",
    "kilogram",
    "pound",
    "pounds",
    "tbsp",
    "tsp",
];

/// What an error about a unit lists.
pub(super) const UNITS_ALLOWED: &str =
    "mL, L, tsp, tbsp, cup, fl oz, pint, quart, gallon, dash, pinch, mg, g, kg, lb, oz by weight, g/L, mL/L, part";

/// The unit after a number, with the manner words before it ("1 level tbsp").
///
/// `None` when the next word is no unit.
pub(super) fn measure(s: &str, system: MeasureSystem) -> Read<'_, (Measure, Vec<String>)> {
    let mut manners = Vec::new();
    // "1-cup", "20-volume": a hyphen straight before the unit.
    let mut t = match s.chars().next() {
        Some(c) if is_dash(c) && s[c.len_utf8()..].starts_with(char::is_alphabetic) => &s[c.len_utf8()..],
        _ => s.trim_start(),
    };
    while let Some((m, rest)) = manner(t) {
        manners.push(m);
        t = rest.trim_start();
    }
    if let Some((said, rest)) = system_word(t) {
        return Ok(match bare(rest.trim_start(), said)? {
            Some((m @ Measure::Amount(Unit::Volume(..), _), rest)) => Some(((m, manners), rest)),
            _ => None,
        });
    }
    let Some((found, rest)) = bare(t, system)? else { return Ok(None) };
    let rest = rest.strip_prefix("(s)").or_else(|| rest.strip_prefix("(es)")).unwrap_or(rest);
    // "1 cup (US)"
    if let Measure::Amount(Unit::Volume(unit, _), _) = found
        && unit.is_kitchen()
        && let Some((said, after)) = rest.trim_start().strip_prefix('(').and_then(system_word)
        && let Some(rest) = after.trim_start().strip_prefix(')')
    {
        return Ok(kitchen(unit, said, rest)?.map(|(m, rest)| ((m, manners), rest)));
    }
    Ok(Some(((found, manners), rest)))
}

fn bare(s: &str, system: MeasureSystem) -> Read<'_, Measure> {
    if let Some(found) = percent(s)? {
        return Ok(Some(found));
    }
    if let Some(rest) = s.strip_prefix('°') {
        return degrees(rest).map(Some);
    }
    let Some((w, rest)) = word(s) else { return Ok(None) };
    let rest = rest.strip_prefix('.').unwrap_or(rest);
    let lower = lower(w);
    let volume = |unit, times| Ok(Some((Measure::Amount(Unit::Volume(unit, system), times), rest)));
    let mass = |unit| Ok(Some((Measure::Amount(Unit::Mass(unit), (1, 1)), rest)));
    let strength = |basis| Ok(Some((Measure::Strength { basis, said: true, times: (1, 1) }, rest)));
    // Single letters where the case carries the meaning.
    match w {
        "T" => return kitchen(VolumeUnit::Tablespoon, system, rest),
        "M" => return strength(StrengthBasis::MolPerLitre),
        "t" => return refuse(Problem::error("`t` could be a teaspoon or a tonne").hint("Write tsp or tbsp.")),
        "C" | "F" | "K" => {
            return refuse(
                Problem::error(format!("`{w}` is a temperature here, not a measure"))
                    .hint("Write cup for a cup; a temperature has a field of its own."),
            );
        }
        "N" => {
            return refuse(
                Problem::error("`N` (normality) is not taken, since it depends on the reaction")
                    .hint("Write the strength in mol/L, g/L or per cent."),
            );
        }
        _ => {}
    }
    match lower.as_ref() {
        "ml" | "millilitre" | "millilitres" | "milliliter" | "milliliters" | "mls" | "cc" | "cm3" | "cm³" => {
            match per_litre(rest) {
                Some(rest) => Ok(Some((Measure::Amount(Unit::MillilitresPerLitre, (1, 1)), rest))),
                None => volume(VolumeUnit::Millilitre, (1, 1)),
            }
        }
        "l" | "litre" | "litres" | "liter" | "liters" => volume(VolumeUnit::Litre, (1, 1)),
        "cl" | "centilitre" | "centilitres" | "centiliter" | "centiliters" => volume(VolumeUnit::Millilitre, (10, 1)),
        "dl" | "decilitre" | "decilitres" | "deciliter" | "deciliters" => volume(VolumeUnit::Millilitre, (100, 1)),
        "g" | "gram" | "grams" | "gramme" | "grammes" | "gm" | "gms" => match per_litre(rest) {
            Some(rest) => Ok(Some((Measure::Amount(Unit::GramsPerLitre, (1, 1)), rest))),
            None => match per_100_ml(rest) {
                Some(rest) => {
                    let basis = StrengthBasis::MassPerVolumePercent;
                    Ok(Some((Measure::Strength { basis, said: true, times: (1, 1) }, rest)))
                }
                None => mass(MassUnit::Gram),
            },
        },
        "mg" | "milligram" | "milligrams" | "milligramme" | "milligrammes" => match per_litre(rest) {
            Some(rest) => Ok(Some((Measure::Amount(Unit::GramsPerLitre, (1, 1000)), rest))),
            None => mass(MassUnit::Milligram),
        },
        "kg" | "kilo" | "kilos" | "kilogram" | "kilograms" | "kilogramme" | "kilogrammes" => mass(MassUnit::Kilogram),
        "lb" | "lbs" | "pound" | "pounds" => mass(MassUnit::Pound),
        "oz" | "ozs" | "ounce" | "ounces" => ounce(w, rest, system),
        "fl" | "fluid" => match eat(rest, &["oz", "ounce", "ounces"]) {
            Some(rest) => kitchen(VolumeUnit::FluidOunce, system, rest),
            None => Ok(None),
        },
        "floz" => kitchen(VolumeUnit::FluidOunce, system, rest),
        "tsp" | "tsps" | "teaspoon" | "teaspoons" | "teaspoonful" | "teaspoonfuls" => {
            kitchen(VolumeUnit::Teaspoon, system, rest)
        }
        "tbsp" | "tbsps" | "tbs" | "tblsp" | "tbl" | "tablespoon" | "tablespoons" | "tablespoonful"
        | "tablespoonfuls" => kitchen(VolumeUnit::Tablespoon, system, rest),
        "c" | "cup" | "cups" | "cupful" | "cupfuls" => kitchen(VolumeUnit::Cup, system, rest),
        "pt" | "pts" | "pint" | "pints" => kitchen(VolumeUnit::Pint, system, rest),
        "qt" | "qts" | "quart" | "quarts" => kitchen(VolumeUnit::Quart, system, rest),
        "gal" | "gals" | "gallon" | "gallons" => kitchen(VolumeUnit::Gallon, system, rest),
        "dash" | "dashes" => kitchen(VolumeUnit::Dash, system, rest),
        "pinch" | "pinches" => kitchen(VolumeUnit::Pinch, system, rest),
        "part" | "parts" => {
            let by = eat(rest, &["by"]);
            if by.is_some_and(|t| eat(t, &["weight", "mass", "wt"]).is_some()) {
                return refuse(
                    Problem::error("parts are parts by volume").hint("Write weights in grams, in the same proportion."),
                );
            }
            let rest = by.and_then(|t| eat(t, &["volume", "vol"])).unwrap_or(rest);
            Ok(Some((Measure::Amount(Unit::Parts, (1, 1)), rest)))
        }
        "grain" | "grains" => Ok(Some((Measure::Grain, rest))),
        "gr" | "grs" => refuse(Problem::error("`gr` could be grams or grains").hint("Write g or grain.")),
        "drop" | "drops" => refuse(
            Problem::error("a drop is no measure: drops differ several times over in size")
                .hint("Write millilitres; twenty drops of water are about 1 mL."),
        ),
        "handful" | "handfuls" | "splash" | "splashes" | "glass" | "glasses" | "capful" | "capfuls" | "bottle"
        | "bottles" | "spoon" | "spoons" | "spoonful" | "spoonfuls" | "scoop" | "scoops" | "jar" | "jars" => refuse(
            Problem::error(format!("`{w}` is no measure; allowed are {UNITS_ALLOWED}"))
                .hint("Measure once what it holds, and write that."),
        ),
        "proof" => refuse(
            Problem::error("`proof` means different strengths in different countries")
                .hint("Write the per cent by volume from the label, such as 70 % v/v."),
        ),
        "be" | "bé" | "baume" | "baumé" => strength(StrengthBasis::Baume),
        "deg" | "degree" | "degrees" => match eat(rest, &["be", "bé", "baume", "baumé"]) {
            Some(rest) => {
                Ok(Some((Measure::Strength { basis: StrengthBasis::Baume, said: true, times: (1, 1) }, rest)))
            }
            None => Ok(None),
        },
        "vol" | "vols" | "volume" | "volumes" => strength(StrengthBasis::PeroxideVolumes),
        "molar" => strength(StrengthBasis::MolPerLitre),
        "mol" | "mols" | "mole" | "moles" => match per_litre(rest) {
            Some(rest) => {
                let basis = StrengthBasis::MolPerLitre;
                Ok(Some((Measure::Strength { basis, said: true, times: (1, 1) }, rest)))
            }
            None => refuse(
                Problem::error(format!("`{w}` without a volume is no measure here"))
                    .hint("Write mol/L for a strength, g for a mass."),
            ),
        },
        _ => Ok(None),
    }
}

/// A kitchen unit; an error when the system has no such unit.
fn kitchen(unit: VolumeUnit, system: MeasureSystem, rest: &str) -> Read<'_, Measure> {
    if unit.exact_ml(system).is_none() {
        let name = unit.name();
        return refuse(
            Problem::error(format!("{} measures have no {name}", system.name()))
                .hint(format!("Write US {name} or imperial {name}, or millilitres.")),
        );
    }
    Ok(Some((Measure::Amount(Unit::Volume(unit, system), (1, 1)), rest)))
}

fn ounce<'a>(w: &str, rest: &'a str, system: MeasureSystem) -> Read<'a, Measure> {
    let weight = |rest| Ok(Some((Measure::Amount(Unit::Mass(MassUnit::Ounce), (1, 1)), rest)));
    let bare = rest.trim_start();
    let (inner, closed) = match bare.strip_prefix('(') {
        Some(t) => (t, true),
        None => (bare, false),
    };
    let after = |rest: &'a str| if closed { rest.trim_start().strip_prefix(')') } else { Some(rest) };
    let said = eat(inner, &["by"]).unwrap_or(inner);
    if let Some(rest) = eat(said, &["weight", "wt", "mass", "avoirdupois", "avdp"]).and_then(after) {
        return weight(rest);
    }
    if let Some(rest) = eat(said, &["fl", "fluid", "volume"]).and_then(after) {
        return kitchen(VolumeUnit::FluidOunce, system, rest);
    }
    refuse(
        Problem::error(format!("`{w}` could be a weight or a volume"))
            .hint("Write fl oz for a volume, or oz by weight for a mass."),
    )
}

/// `/L`, `/ litre`, `per litre`.
pub(super) fn per_litre(s: &str) -> Option<&str> {
    eat(per(s)?, &["l", "litre", "liter"])
}

/// `/` or `per` at the start; gives back what follows.
pub(super) fn per(s: &str) -> Option<&str> {
    let t = s.trim_start();
    t.strip_prefix('/').or_else(|| eat(t, &["per"])).map(str::trim_start)
}

fn per_100_ml(s: &str) -> Option<&str> {
    eat(per(s)?.strip_prefix("100")?, &["ml", "millilitres", "milliliters"])
}

/// `%` and its basis: `% w/v`, `% by volume`, `wt %`, `vol %`, `percent`.
fn percent(s: &str) -> Read<'_, Measure> {
    use StrengthBasis::{MassPercent, VolumePercent};
    let sign = |t: &str| -> Option<usize> {
        let u = t.trim_start();
        let u = u.strip_prefix(is_dash).unwrap_or(u);
        if let Some(r) = u.strip_prefix(['%', '％']) {
            return Some(r.len());
        }
        if let Some(r) = eat(u, &["percent", "pct"]) {
            return Some(r.len());
        }
        eat(u, &["per"]).and_then(|r| eat(r, &["cent"])).map(str::len)
    };
    let cut = |t: &str| sign(t).map(|left| t.len() - left);
    // "5 wt %", "70 vol %", "3 w/v %"
    let before = eat(s, &["wt", "weight", "mass"])
        .map(|r| (MassPercent, r))
        .or_else(|| eat(s, &["vol", "volume"]).map(|r| (VolumePercent, r)))
        .or_else(|| ratio_word(s));
    if let Some((basis, r)) = before
        && let Some(n) = cut(r)
    {
        return Ok(Some((Measure::Strength { basis, said: true, times: (1, 1) }, &r[n..])));
    }
    let Some(n) = cut(s) else { return Ok(None) };
    let rest = &s[n..];
    let after = rest.trim_start();
    let (inner, closed) = match after.strip_prefix('(') {
        Some(t) => (t.trim_start(), true),
        None => (after, false),
    };
    let by = eat(inner, &["by"]);
    let said = ratio_word(inner)
        .or_else(|| by.and_then(|t| eat(t, &["weight", "mass", "wt"])).map(|r| (MassPercent, r)))
        .or_else(|| by.and_then(|t| eat(t, &["volume", "vol"])).map(|r| (VolumePercent, r)))
        .or_else(|| eat(inner, &["abv", "vol"]).map(|r| (VolumePercent, r)))
        .or_else(|| eat(inner, &["alc"]).and_then(|t| eat(per(t).unwrap_or(t), &["vol"])).map(|r| (VolumePercent, r)))
        .or_else(|| eat(inner, &["wt"]).map(|r| (MassPercent, r)))
        .and_then(|(basis, r)| match closed {
            true => r.trim_start().strip_prefix(')').map(|r| (basis, r)),
            false => Some((basis, r)),
        });
    Ok(Some(match said {
        Some((basis, r)) => (Measure::Strength { basis, said: true, times: (1, 1) }, r),
        None => (Measure::Strength { basis: MassPercent, said: false, times: (1, 1) }, rest),
    }))
}

/// `w/w`, `w/v`, `v/v`, `m/m`, `m/v`, `wt/vol` ...
fn ratio_word(s: &str) -> Option<(StrengthBasis, &str)> {
    let (top, rest) = word(s.trim_start())?;
    let rest = rest.trim_start().strip_prefix('/')?;
    let (bottom, rest) = word(rest.trim_start())?;
    let kind = |w: &str| match w.to_lowercase().as_str() {
        "w" | "m" | "wt" => Some('m'),
        "v" | "vol" => Some('v'),
        _ => None,
    };
    match (kind(top)?, kind(bottom)?) {
        ('m', 'm') => Some((StrengthBasis::MassPercent, rest)),
        ('m', 'v') => Some((StrengthBasis::MassPerVolumePercent, rest)),
        ('v', 'v') => Some((StrengthBasis::VolumePercent, rest)),
        _ => None,
    }
}

fn degrees(rest: &str) -> Checked<(Measure, &str)> {
    if let Some(rest) = eat(rest, &["be", "bé", "baume", "baumé"]) {
        return Ok((Measure::Strength { basis: StrengthBasis::Baume, said: true, times: (1, 1) }, rest));
    }
    refuse(Problem::error("degrees here can only be a strength in °Bé").hint("A temperature has a field of its own."))
}

/// The number in the unit itself.
pub(super) fn times(value: Exact, ratio: (i64, i64)) -> Checked<Exact> {
    if ratio.0 == ratio.1 && ratio.1 != 0 {
        return Ok(value);
    }
    Exact::ratio(ratio.0, ratio.1)
        .and_then(|r| value.checked_mul(r))
        .ok_or_else(|| Problem::error("the number is too large").into())
}
