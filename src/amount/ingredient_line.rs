//! An ingredient line as a person writes it: amount, strength and name in any order.

use super::number::{is_dash, starts_number};
use super::strength;
use super::word::{self, Measure};
use super::written::{Found, quantity, tidy};
use super::{Amount, Exact, MassUnit, MeasureSystem, Span, Strength, StrengthBasis, Unit};
use crate::diag::{Checked, Problem, Problems};
use std::borrow::Cow;

/// `"1/3 cup white vinegar 5%"` taken apart; the name is not yet looked up.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct IngredientLine {
    /// The line as written.
    pub text: String,
    /// How much, if said.
    pub amount: Option<Amount>,
    /// The strength, if said. Its basis may still be the unspecific per cent: see [`Strength::basis_assumed`].
    pub strength: Option<Strength>,
    /// What is left: the name, spaces folded.
    pub name: String,
    /// Kitchen words that qualify the amount ("level", "heaped", "about"), kept for the sheet.
    pub manner: Vec<String>,
}

/// Takes an ingredient line apart.
///
/// `50 grain` is a strength beside vinegar and a mass beside anything else; `35 g/L` is the amount (a target
/// concentration) unless the line has another amount: then it is the strength of the stock.
///
/// # Errors
/// A decimal comma, an ounce that could be weight or volume, an impossible strength (130 %), a negative or empty
/// amount, two amounts: each named with what is allowed.
pub fn read_ingredient_line(text: &str, system: MeasureSystem) -> Checked<IngredientLine> {
    let line = tidy(text, "ingredient line")?;
    let mut pieces = Pieces::default();
    pieces.take(line, system);
    let mut problems = std::mem::take(&mut pieces.problems);
    let name = pieces.name();
    problems.extend(lost_number(&name));
    if name.is_empty() && problems.is_empty() {
        problems.push(Problem::error(format!("`{line}` names no ingredient")));
    }
    let (amount, strength) = match pieces.sort_out(&name) {
        Ok(found) => found,
        Err(more) => {
            problems.extend(more.0);
            (None, None)
        }
    };
    if !problems.is_empty() {
        return Err(Problems(problems));
    }
    Ok(IngredientLine { text: line.to_string(), amount, strength, name, manner: pieces.manner })
}

/// What has been taken off the line so far.
#[derive(Default)]
struct Pieces<'a> {
    found: Vec<(Found, &'a str)>,
    words: Vec<Cow<'a, str>>,
    manner: Vec<String>,
    problems: Vec<Problem>,
}

impl<'a> Pieces<'a> {
    fn take(&mut self, line: &'a str, system: MeasureSystem) {
        let mut s = line;
        // Whether the last thing was an amount or a strength: then "of" is only a link ("a cup of water"), while
        // elsewhere it is part of a name ("cream of tartar").
        let mut after_quantity = true;
        let mut after_strength = false;
        loop {
            s = s.trim_start();
            let Some(c) = s.chars().next() else { return };
            if formula_with_group(s) {
                let (name, rest) = name_word(s);
                self.words.push(name.into());
                (s, after_quantity, after_strength) = (rest, false, false);
            } else if let Some((number, rest)) = cas_number(s) {
                self.words.push(number.into());
                (s, after_quantity, after_strength) = (rest, false, false);
            } else if starts_number(s) {
                if let Some((name, rest)) = numbered_name(s, system) {
                    self.words.push(name.into());
                    (s, after_quantity, after_strength) = (rest, false, false);
                    continue;
                }
                s = self.number(s, system);
                (after_quantity, after_strength) = (true, self.last_is_strength());
            } else if let Some((value, rest)) = spelt_number(s)
                && let Ok(Some(((measure @ (Measure::Amount(_, (1, 1)) | Measure::Grain), manner), after))) =
                    word::measure(rest, system)
            {
                self.push(Found { value: Span::one(value), measure, manner }, &s[..s.len() - after.len()]);
                (s, after_quantity, after_strength) = (after, true, false);
            } else if after_quantity && let Some((vague, rest)) = word::vague(s) {
                self.manner.push(vague);
                s = rest;
            } else if let Some((manner, rest)) = word::manner(s) {
                self.manner.push(manner);
                s = rest;
            } else if after_quantity && let Some(rest) = word::eat(s, &["of", "a", "an", "the"]) {
                s = rest;
            } else if after_strength && let Some(rest) = word::eat(s, &["acidity", "strength"]) {
                s = rest;
            } else if let Some(rest) = word::eat(s, &["from", "plus"]).filter(|t| starts_number(t.trim_start())) {
                s = rest;
            } else if let Some(problem) = fill_up(s).or_else(|| no_number(s)) {
                self.problems.push(problem);
                s = skip(s);
            } else if c.is_alphanumeric() {
                let (name, rest) = name_word(s);
                self.words.push(name.into());
                (s, after_quantity, after_strength) = (rest, false, false);
            } else {
                let (mark, rest) = s.split_at(c.len_utf8());
                match c {
                    '<' | '>' | '≤' | '≥' => {
                        self.problems.push(
                            Problem::error(format!("`{mark}` leaves one end open"))
                                .hint("Write both ends of a range, such as 5-10 %."),
                        );
                    }
                    '%' | '％' => self.problems.push(Problem::error("`%` has no number before it")),
                    ':' | '=' | ';' => self.words.push(",".into()),
                    _ => self.words.push(mark.into()),
                }
                s = rest;
            }
        }
    }

    /// Takes a number with its unit, or notes what is wrong with it; gives back what is left.
    fn number(&mut self, s: &'a str, system: MeasureSystem) -> &'a str {
        match quantity(s, system) {
            Ok(Some((found, rest))) => {
                self.push(found, &s[..s.len() - rest.len()]);
                rest
            }
            Ok(None) => skip(s),
            Err(problems) => {
                self.problems.extend(problems.0);
                skip(s)
            }
        }
    }

    fn push(&mut self, mut found: Found, text: &'a str) {
        self.manner.append(&mut found.manner);
        self.found.push((found, text.trim()));
    }

    fn last_is_strength(&self) -> bool {
        self.found.last().is_some_and(|(f, _)| matches!(f.measure, Measure::Strength { .. }))
    }

    /// The name: words joined, empty brackets and loose marks dropped.
    fn name(&self) -> String {
        let mut name = String::new();
        for w in &self.words {
            let glued = matches!(w.as_ref(), "," | ")" | "]") || name.is_empty() || name.ends_with(['(', '[']);
            if !glued {
                name.push(' ');
            }
            name.push_str(w);
        }
        // Where nothing was put in brackets or set off, there is nothing to drop.
        let mut before = if name.contains(['(', '[', ',']) { usize::MAX } else { 0 };
        while name.len() < before {
            before = name.len();
            for (bad, good) in [("()", ""), ("[]", ""), ("(,", "("), (",)", ")"), (",,", ","), (" ,", ","), ("  ", " ")]
            {
                if name.contains(bad) {
                    name = name.replace(bad, good);
                }
            }
        }
        name.trim_matches(|c: char| {
            c.is_whitespace()
                || is_dash(c)
                || matches!(c, ',' | '.' | '·' | '+' | '&' | '/' | '•' | '*' | '"' | '“' | '”')
        })
        .to_string()
    }

    /// Which of the quantities is the amount and which the strength.
    fn sort_out(&self, name: &str) -> Checked<(Option<Amount>, Option<Strength>)> {
        let mut amounts: Vec<(Amount, &str)> = Vec::new();
        let mut strengths: Vec<(Strength, &str)> = Vec::new();
        for (found, text) in &self.found {
            let value = found.value;
            match found.measure {
                Measure::Amount(unit, _) => amounts.push((Amount { value, unit }, text)),
                Measure::Grain if strength::is_vinegar(name) => {
                    let basis = StrengthBasis::VinegarGrain;
                    strengths.push((Strength { value, basis, basis_assumed: false }, text));
                }
                Measure::Grain => amounts.push((Amount { value, unit: Unit::Mass(MassUnit::Grain) }, text)),
                Measure::Strength { basis, said: true, .. } => {
                    strengths.push((Strength { value, basis, basis_assumed: false }, text));
                }
                Measure::Strength { .. } => {
                    strengths
                        .push((Strength { value, basis: strength::default_basis(name), basis_assumed: true }, text));
                }
            }
        }
        if amounts.len() == 2
            && strengths.is_empty()
            && let Some(i) = amounts.iter().position(|(a, _)| a.unit == Unit::GramsPerLitre)
        {
            let (Amount { value, .. }, text) = amounts.remove(i);
            strengths.push((Strength { value, basis: StrengthBasis::GramsPerLitre, basis_assumed: false }, text));
        }
        let mut problems = Vec::new();
        if let [(_, first), (_, second), ..] = amounts.as_slice() {
            problems.push(
                Problem::error(format!("two amounts, `{first}` and `{second}`"))
                    .hint("Write one amount a line; add the two up, or keep the one you measure with."),
            );
        }
        if let [(a, _), (b, _)] = strengths.as_slice()
            && let Some(kept) = strength::same_label(a, b)
        {
            strengths.retain(|(s, _)| *s == kept);
            strengths.truncate(1);
        }
        if let [(_, first), (_, second), ..] = strengths.as_slice() {
            problems.push(
                Problem::error(format!("two strengths, `{first}` and `{second}`"))
                    .hint("Write the one that stands on the label, with its unit."),
            );
        }
        problems.extend(strengths.iter().filter_map(|(s, text)| strength::possible(s, text).err()).flat_map(|p| p.0));
        if !problems.is_empty() {
            return Err(Problems(problems));
        }
        Ok((amounts.pop().map(|(a, _)| a), strengths.pop().map(|(s, _)| s)))
    }
}

/// The text after the next gap, and after figures and signs that belong to what is skipped.
fn skip(s: &str) -> &str {
    let mut rest = s;
    loop {
        rest = rest.find(char::is_whitespace).map_or("", |i| rest[i..].trim_start());
        if !rest.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '%' | '％' | '/')) {
            return rest;
        }
    }
}

/// "to 1 L", "up to 1 L", "make up to 1 L": how full the vessel gets, and no amount of this ingredient.
fn fill_up(s: &str) -> Option<Problem> {
    let rest = word::eat(s, &["to", "make", "makes"])?;
    let rest = word::eat(rest, &["make", "up"]).unwrap_or(rest);
    let rest = word::eat(rest, &["to"]).unwrap_or(rest).trim_start();
    let after = &rest[rest.find(char::is_whitespace).unwrap_or(rest.len())..];
    let figures: String = s[..s.len() - after.len()].chars().take(20).collect();
    starts_number(rest).then(|| {
        Problem::error(format!("`{figures}` says how full the vessel gets, not how much of this"))
            .hint("Write how much of the ingredient itself; in a recipe file, `rest: true` fills up with water.")
    })
}

/// A number in words that is left in a name would be an amount lost.
fn lost_number(name: &str) -> Option<Problem> {
    const LOST: [&str; 12] = [
        "half", "halves", "third", "thirds", "quarter", "quarters", "few", "couple", "several", "dozen", "tenth",
        "eighth",
    ];
    let spelt = |w: &&str| word::is_one_of(w, &LOST) || word::is_one_of(w, &NUMBERS);
    let mut words = name.split(|c: char| c.is_whitespace() || matches!(c, ',' | '(' | ')'));
    let found = words.find(spelt)?.to_lowercase();
    Some(
        Problem::error(format!("`{found}` is a number in words"))
            .hint("Write the amount in figures, such as 1 1/2 cups."),
    )
}

/// A CAS registry number: two to seven digits, two, and one, with dashes between and none after.
fn cas_number(s: &str) -> Option<(String, &str)> {
    let mut rest = s;
    let mut groups = Vec::new();
    for (least, most) in [(2, 7), (2, 2), (1, 1)] {
        if !groups.is_empty() {
            rest = rest.strip_prefix(is_dash)?;
        }
        let end = rest.find(|c: char| !c.is_ascii_digit()).unwrap_or(rest.len());
        let (digits, after) = rest.split_at(end);
        if !(least..=most).contains(&digits.len()) {
            return None;
        }
        groups.push(digits);
        rest = after;
    }
    let ends = !rest.starts_with(|c: char| c.is_alphanumeric() || is_dash(c) || matches!(c, '%' | '/'));
    ends.then(|| (groups.join("-"), rest))
}

/// A name that starts with a number: `2-propanol`, `1,2-propanediol`. A hyphen and letters that are no unit follow the
/// number.
fn numbered_name(s: &str, system: MeasureSystem) -> Option<(&str, &str)> {
    let tail = s.trim_start_matches(|c: char| c.is_ascii_digit() || c == ',');
    let letters = tail.strip_prefix('-')?;
    if !letters.starts_with(char::is_alphabetic) || !matches!(word::measure(letters, system), Ok(None)) {
        return None;
    }
    Some(name_word(s))
}

/// Whether a formula with a group in brackets comes next: `Cu(NO3)2`, `(NH4)2SO4`; `Ca(OH)2` is no `ca.` of something.
fn formula_with_group(s: &str) -> bool {
    let (word, _) = name_word(s);
    word.starts_with(|c: char| c.is_ascii_uppercase() || c == '(')
        && word.chars().all(|c| c.is_ascii_alphanumeric() || matches!(c, '(' | ')' | '.'))
        && word
            .split_once('(')
            .and_then(|(_, group)| group.split_once(')'))
            .is_some_and(|(_, after)| after.starts_with(|c: char| c.is_ascii_digit()))
}

/// One word of a name: up to the next gap or mark, `iron(III)` and `Cu(NO3)2` whole.
fn name_word(s: &str) -> (&str, &str) {
    let mut end = s.len();
    for (i, c) in s.char_indices() {
        let next = &s[i + c.len_utf8()..];
        let inside = match c {
            '(' => {
                let close = next.find(|c: char| !c.is_alphanumeric());
                next.starts_with(char::is_alphabetic) && close.is_some_and(|j| next[j..].starts_with(')'))
            }
            ')' => s[..i].contains('('),
            ',' => i > 0 && next.starts_with(char::is_alphanumeric) && s.starts_with(|c: char| c.is_ascii_digit()),
            '[' | ']' | ';' | ':' | '=' | '%' | '<' | '>' => false,
            c => !c.is_whitespace(),
        };
        if !inside {
            end = i;
            break;
        }
    }
    s.split_at(end)
}

const NUMBERS: [&str; 12] =
    ["one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];

/// A number in words before a unit: "a cup", "half a cup", "two tablespoons".
fn spelt_number(s: &str) -> Option<(Exact, &str)> {
    let article = word::eat(s, &["a", "an"]);
    let t = article.unwrap_or(s);
    for (w, parts) in [("half", 2), ("third", 3), ("quarter", 4)] {
        if let Some(rest) = word::eat(t, &[w]) {
            let rest = word::eat(rest, &["of"]).unwrap_or(rest);
            return Exact::ratio(1, parts).map(|v| (v, word::eat(rest, &["a", "an"]).unwrap_or(rest)));
        }
    }
    if let Some(rest) = article {
        return Some((Exact::ONE, rest));
    }
    let rest = word::eat(s, &NUMBERS)?;
    let i = NUMBERS.iter().position(|w| word::eat(s, &[w]).is_some())?;
    Some((Exact::whole(i64::try_from(i).ok()? + 1), rest))
}

/// Words that some programs write where a number should stand.
fn no_number(s: &str) -> Option<Problem> {
    // "nan-o-aaa" is the name of something.
    let goes_on = |rest: &str| rest.strip_prefix('-').is_some_and(|r| r.starts_with(char::is_alphabetic));
    let bad = s.starts_with('∞') || word::eat(s, &["nan", "inf", "infinity"]).is_some_and(|rest| !goes_on(rest));
    bad.then(|| {
        let shown: String = s.chars().take_while(|c| !c.is_whitespace()).take(12).collect();
        Problem::error(format!("`{shown}` is no number; write one such as 1 1/2 or 0.5"))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::amount::VolumeUnit;

    fn read(text: &str) -> IngredientLine {
        read_ingredient_line(text, MeasureSystem::Us).unwrap_or_else(|e| panic!("{text}: {e}"))
    }

    /// Amount, strength, name.
    #[track_caller]
    fn check(text: &str, amount: &str, strength: &str, name: &str) {
        let line = read(text);
        let shown = (
            line.amount.as_ref().map(Amount::to_string).unwrap_or_default(),
            line.strength.as_ref().map(Strength::to_string).unwrap_or_default(),
            line.name.as_str(),
        );
        assert_eq!(shown, (amount.to_string(), strength.to_string(), name), "{text}");
    }

    #[test]
    fn amount_strength_and_name_in_any_order() {
        check("1/3 cup white vinegar 5%", "1/3 cup", "5 %", "white vinegar");
        check("120 ml hydrogen peroxide 3 %", "120 mL", "3 %", "hydrogen peroxide");
        check("ammonia 10 % 50 ml", "50 mL", "10 %", "ammonia");
        check("2 L hair developer (hydrogen peroxide) 12 %", "2 L", "12 %", "hair developer (hydrogen peroxide)");
        check("1-2 tsp table salt", "1-2 tsp", "", "table salt");
        check("40 g copper sulfate pentahydrate", "40 g", "", "copper sulfate pentahydrate");
        check("300 mL water", "300 mL", "", "water");
        check("vinegar 50 grain 1 cup", "1 cup", "50 grain", "vinegar");
        check("1 cup 10 vol peroxide", "1 cup", "10 vol", "peroxide");
        check("20 volume developer 30 ml", "30 mL", "20 vol", "developer");
        check("20-volume developer", "", "20 vol", "developer");
        check("acetic acid 5-8 % 100 ml", "100 mL", "5-8 %", "acetic acid");
        check("isopropanol 70 % v/v", "", "70 % v/v", "isopropanol");
        check("hydrogen peroxide 3 % w/v", "", "3 % w/v", "hydrogen peroxide");
        check("2 mol/L hydrochloric acid", "", "2 mol/L", "hydrochloric acid");
        check("2 M hydrochloric acid", "", "2 mol/L", "hydrochloric acid");
        check("ferric chloride 42 Be 100 ml", "100 mL", "42 °Bé", "ferric chloride");
        check("ferric chloride 42 °Bé", "", "42 °Bé", "ferric chloride");
        check("iron(III) chloride 40 % w/w, 100 ml", "100 mL", "40 % w/w", "iron(III) chloride");
        check("table salt", "", "", "table salt");
        check("white vinegar 5 percent", "", "5 %", "white vinegar");
        check("white vinegar (5 % acidity)", "", "5 %", "white vinegar");
        check("white vinegar, 5 %", "", "5 %", "white vinegar");
        check("water: 3/4 cup", "3/4 cup", "", "water");
        check("a cup of water", "1 cup", "", "water");
        check("half a cup of white vinegar 5%", "1/2 cup", "5 %", "white vinegar");
        check("1 tbsp cream of tartar", "1 tbsp", "", "cream of tartar");
        check("2-propanol 70 vol% 100 ml", "100 mL", "70 % v/v", "2-propanol");
        check("1,2-propanediol 100 ml", "100 mL", "", "1,2-propanediol");
        check("5 grains silver nitrate", "5 grain", "", "silver nitrate");
        check("35 g/L copper sulfate", "35 g/L", "", "copper sulfate");
        check("100 ml copper sulfate 35 g/L", "100 mL", "35 g/L", "copper sulfate");
        check("copper sulfate 5 g/100 mL", "", "5 % w/v", "copper sulfate");
        check("3/4 US cup water", "3/4 cup", "", "water");
        check("CuSO4·5H2O 40 g", "40 g", "", "CuSO4·5H2O");
        check("vinegar 5 % to 6 %", "", "5-6 %", "vinegar");
        check("6 % developer (20 vol)", "", "20 vol", "developer");
        check("vinegar 5 % (50 grain)", "", "50 grain", "vinegar");
        check("ethanol 70 % alc/vol", "", "70 % v/v", "ethanol");
        check("2 cup(s) water", "2 cups", "", "water");
        check("from 1 to 2 tsp salt", "1-2 tsp", "", "salt");
        check("1 and 1/2 cups water", "1 1/2 cups", "", "water");
        check("3-in-1 oil 5 ml", "5 mL", "", "3-in-1 oil");
        check("7647-14-5 20 g", "20 g", "", "7647-14-5");
        check("20 g CAS 7647-14-5", "20 g", "", "CAS 7647-14-5");
        check("20 g table salt (CAS No. 7647–14–5)", "20 g", "", "table salt (CAS No. 7647-14-5)");
        check("7681-52-9 5 % 10-20 ml", "10-20 mL", "5 %", "7681-52-9");
        check("splash of bleach", "", "", "bleach");
        check("a bit of vinegar 5 %", "", "5 %", "vinegar");
        check("cream of tartar 1 g", "1 g", "", "cream of tartar");
        check("household ammonia (5-10%) 1 pint", "1 pint", "5-10 %", "household ammonia");
    }

    #[test]
    fn the_unit_said_in_the_line_counts() {
        for text in ["1 metric cup water", "1 cup (metric) water"] {
            assert_eq!(read(text).amount.unwrap().unit, Unit::Volume(VolumeUnit::Cup, MeasureSystem::Metric), "{text}");
        }
    }

    #[test]
    fn kitchen_words_are_kept_apart_from_the_name() {
        let line = read("about 2 heaped tsp of fresh table salt");
        assert_eq!((line.name.as_str(), line.manner.join(" ").as_str()), ("table salt", "about heaped fresh"));
    }

    #[test]
    fn a_bare_per_cent_is_by_mass_and_of_an_alcohol_by_volume() {
        let basis = |text: &str| read(text).strength.map(|s| (s.basis, s.basis_assumed));
        assert_eq!(basis("white vinegar 5 %"), Some((StrengthBasis::MassPercent, true)));
        assert_eq!(basis("isopropyl alcohol 70 %"), Some((StrengthBasis::VolumePercent, true)));
        assert_eq!(basis("spirits of salt 30 %"), Some((StrengthBasis::MassPercent, true)));
        assert_eq!(basis("spirit vinegar 5 %"), Some((StrengthBasis::MassPercent, true)));
        assert_eq!(basis("ethanol 70 % w/w"), Some((StrengthBasis::MassPercent, false)));
    }

    #[test]
    fn what_cannot_be_meant_is_refused_with_every_fault() {
        for (text, says) in [
            ("", "empty"),
            ("120 ml", "names no ingredient"),
            ("vinegar 130 %", "impossible"),
            ("0,5 L water", "comma"),
            ("2 oz vinegar", "weight or a volume"),
            ("-5 ml vinegar", "negative"),
            ("salt -5 g", "negative"),
            ("0 ml vinegar", "nothing"),
            ("1 cup water 2 tbsp", "two amounts"),
            ("hydrogen peroxide 12 % (20 vol)", "two strengths"),
            ("acid 5 %, base 3 %", "two strengths"),
            ("three quarters of a cup water", "number in words"),
            ("one and a half cups water", "number in words"),
            ("a few drops of dish soap", "number in words"),
            ("water to 1 L", "how full"),
            ("water, to make up to 1 litre", "how full"),
            ("1:3 water", "ratio"),
            ("2 x 500 ml vinegar", "product"),
            ("1'000 ml water", "separators"),
            ("2 tbsp per gallon salt", "per something"),
            ("2 parts by weight salt", "by volume"),
            ("１ cup water", "another script"),
            ("nan ml water", "no number"),
            ("2 vinegar", "no unit"),
            ("600 vol peroxide", "impossible"),
            ("acid <5 %", "open"),
            ("5 tablespon salt", "Did you mean tablespoon?"),
            ("1 pint water 99999999999999999999 g", "too many digits"),
        ] {
            let problems = read_ingredient_line(text, MeasureSystem::Us).expect_err(text);
            assert!(problems.to_string().contains(says), "{text}: {problems}");
        }
        assert_eq!(read_ingredient_line("nan-o-octane", MeasureSystem::Us).unwrap().name, "nan-o-octane");
        assert!(read_ingredient_line("nan-2 ml water", MeasureSystem::Us).is_err());
        let two = read_ingredient_line("0,5 L water 130 %", MeasureSystem::Us).unwrap_err();
        assert_eq!(two.0.len(), 2, "{two}");
    }
}
