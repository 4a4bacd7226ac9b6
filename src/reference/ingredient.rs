//! From a name as written to the substances it can mean.

use super::forbidden::{is_formula_or_number, poison};
use super::hint::hint;
use super::names::{self, Hit, fold};
use super::schema::{Role, StrengthNeed};
use super::{Substance, substances};
use crate::amount::{
    IngredientLine, MassFraction, MeasureSystem, Span, Strength, StrengthBasis, Unit, counted, read_ingredient_line,
};
use crate::diag::{Checked, one_of};

/// One thing a name can mean.
#[derive(Debug, Clone)]
pub struct Meaning {
    /// The substance.
    pub substance: &'static Substance,
    /// The usual retail strength, when the name alone tells it ("vinegar": 4 to 8 %). For a hydrate of a substance
    /// listed without its water, the share that is the substance ("oxalic acid dihydrate": 71 %).
    pub usual: Option<Span<MassFraction>>,
}

/// An ingredient line with its name looked up.
#[derive(Debug, Clone)]
pub struct Ingredient {
    /// The line taken apart.
    pub line: IngredientLine,
    /// Everything the name can mean; empty when it is not recognised.
    pub meanings: Vec<Meaning>,
    /// The question to put to the person when the name, the meaning or the strength is open. While there is a
    /// question the line is not judged completely.
    pub question: Option<String>,
    /// Whether a strength is needed and not known (essence, developer, acid ... without a figure).
    pub strength_missing: bool,
    /// The part of the name that was not understood, as in "Sparkle (sodium hypochlorite)".
    pub aside: Option<String>,
}

impl Ingredient {
    /// The one substance it is, when there is no doubt.
    pub fn substance(&self) -> Option<&'static Substance> {
        match self.meanings.as_slice() {
            [one] => Some(one.substance),
            _ => None,
        }
    }
}

/// Looks up the name of a line: whole names, longest first, never a name that is only like it.
pub fn resolve(line: IngredientLine) -> Ingredient {
    // A poison beside a known name is not passed over for it.
    let found = look_up(&line.name).filter(|(_, aside)| aside.as_deref().and_then(poison).is_none());
    let (hit, aside) = match found {
        Some(found) => found,
        None => {
            let question = Some(unknown(&line.name));
            return Ingredient { line, meanings: Vec::new(), question, strength_missing: false, aside: None };
        }
    };
    let hit = narrowed(hit, line.strength.as_ref());
    let strength_missing = line.strength.is_none() && hit.meanings.iter().any(|m| is_strength_open(*m, &hit, &line));
    let meanings: Vec<Meaning> = hit
        .meanings
        .iter()
        .map(|(i, percent)| Meaning {
            substance: &substances()[*i],
            usual: percent.filter(|_| !hit.diluted).and_then(span),
        })
        .collect();
    let question = question(&line.name, &meanings, strength_missing, aside.as_deref());
    Ingredient { line, meanings, question, strength_missing, aside }
}

/// What a name that is not known could be meant as: one list for each thing that may be in it, to be judged as the worst.
pub fn suspects(name: &str) -> Vec<Vec<Meaning>> {
    let meaning = |i: usize| Meaning { substance: &substances()[i], usual: None };
    let poison = poison(name).and_then(|p| p.substance).map(|substance| vec![Meaning { substance, usual: None }]);
    // A slip in a number or a formula is another one altogether.
    let near = |thing: Vec<usize>| thing.into_iter().map(meaning).collect::<Vec<_>>();
    let things = names::suspects(&fold(name), !is_formula_or_number(name)).into_iter().map(near);
    poison.into_iter().chain(things).collect()
}

/// Reads and resolves one ingredient line.
///
/// # Errors
/// As [`read_ingredient_line`]; an unrecognised name is not an error here.
pub fn read_ingredient(text: &str, system: MeasureSystem) -> Checked<Ingredient> {
    Ok(resolve(read_ingredient_line(text, system)?))
}

/// As [`read_ingredient`], and "2 tea bags" as something of which the amount is not known, with the question how much it is:
/// for a review, which must not pass over it.
///
/// # Errors
/// As [`read_ingredient`].
pub fn read_or_ask(text: &str, system: MeasureSystem) -> Checked<Ingredient> {
    read_ingredient(text, system).or_else(|problems| {
        let Some(name) = counted(text) else { return Err(problems) };
        let mut found = read_ingredient(name, system).map_err(|_| problems)?;
        found.line.text = text.trim().to_string();
        let ask = || format!("how much is \"{}\"? Write it in g or mL", text.trim());
        found.question = Some(found.question.take().unwrap_or_else(ask));
        Ok(found)
    })
}

fn span(percent: [f64; 2]) -> Option<Span<MassFraction>> {
    Some(Span { low: MassFraction::percent(percent[0])?, high: MassFraction::percent(percent[1])? })
}

/// Whether the name means anything.
pub(super) fn is_known(name: &str) -> bool {
    look_up(name).is_some()
}

/// What the name means, and the part of it that was not understood.
fn look_up(name: &str) -> Option<(Hit, Option<String>)> {
    let words = without_chlorine_basis(fold(name));
    if let Some(hit) = names::find(&words) {
        return Some((hit, None));
    }
    // "salt, table" is "table salt".
    if let Some((last, first)) = name.split_once(',')
        && let Some(hit) = names::find(&[fold(first), fold(last)].concat())
    {
        return Some((hit, None));
    }
    if let Some(found) = with_number(&words) {
        return Some(found);
    }
    let (outside, inside) = brackets(name)?;
    let (out_words, in_words) = (without_chlorine_basis(fold(&outside)), without_chlorine_basis(fold(&inside)));
    match (names::find(&out_words), names::find(&in_words)) {
        (Some(out), Some(inn)) => Some((both(out, inn), None)),
        (Some(out), None) if in_words.is_empty() => Some((out, None)),
        (Some(out), None) => Some((out, Some(inside))),
        (None, Some(inn)) if out_words.is_empty() => Some((inn, None)),
        (None, Some(inn)) => Some((inn, Some(outside))),
        (None, None) => None,
    }
}

/// A name with its CAS number beside it: what both mean, or what the one that is known means.
fn with_number(words: &[String]) -> Option<(Hit, Option<String>)> {
    let digits =
        |w: &String, n: std::ops::RangeInclusive<usize>| n.contains(&w.len()) && w.chars().all(|c| c.is_ascii_digit());
    let at = words.windows(3).position(|w| digits(&w[0], 2..=7) && digits(&w[1], 2..=2) && digits(&w[2], 1..=1))?;
    let number = &words[at..at + 3];
    let rest = [&words[..at], &words[at + 3..]].concat();
    match (names::find(&rest), names::find(number)) {
        (Some(name), Some(numbered)) => Some((both(name, numbered), None)),
        (Some(name), None) => Some((name, Some(number.join("-")))),
        (None, Some(numbered)) => Some((numbered, Some(rest.join(" ")))),
        (None, None) => None,
    }
}

/// Drops "active chlorine", "available chlorine" and "CAS" when they only say what a figure counts.
fn without_chlorine_basis(words: Vec<String>) -> Vec<String> {
    let basis = |w: &[String]| matches!(w[0].as_str(), "active" | "available") && w[1] == "chlorine";
    if !words.windows(2).any(basis) && words.iter().all(|w| w != "cas") {
        return words;
    }
    let mut rest = words.clone();
    if let Some(i) = rest.windows(2).position(basis) {
        rest.drain(i..i + 2);
    }
    // "CAS No. 7647-14-5"
    if let Some(i) = rest.iter().position(|w| w == "cas") {
        let more = rest.get(i + 1).is_some_and(|w| matches!(w.as_str(), "no" | "nr" | "number" | "rn"));
        rest.drain(i..=i + usize::from(more));
    }
    if rest.is_empty() { words } else { rest }
}

/// What stands outside and inside the first pair of brackets.
fn brackets(name: &str) -> Option<(String, String)> {
    let open = name.find(['(', '['])?;
    let close = open + name.get(open..)?.find([')', ']'])?;
    let inside = name.get(open + 1..close)?.trim().to_string();
    let outside = format!("{} {}", name.get(..open)?.trim(), name.get(close + 1..)?.trim()).trim().to_string();
    Some((outside, inside))
}

/// Two names for one thing: what they have in common, or, when they have nothing in common, all of both.
fn both(out: Hit, inn: Hit) -> Hit {
    let common: Vec<_> = out
        .meanings
        .iter()
        .filter_map(|(i, percent)| {
            let other = inn.meanings.iter().find(|(j, _)| j == i)?;
            Some((*i, percent.or(other.1)))
        })
        .collect();
    let diluted = out.diluted || inn.diluted;
    if common.is_empty() {
        let mut meanings = out.meanings;
        meanings.extend(inn.meanings);
        return Hit { meanings, ask_label: true, diluted };
    }
    // The range comes from whichever name tells one; it has to be asked for if that name has it asked for.
    Hit { meanings: common, ask_label: out.ask_label || inn.ask_label, diluted }
}

/// Leaves out the meanings that the stated strength rules out, unless that leaves none.
fn narrowed(mut hit: Hit, strength: Option<&Strength>) -> Hit {
    let Some(strength) = strength else { return hit };
    let fits = |s: &Substance| match strength.basis {
        StrengthBasis::PeroxideVolumes => s.is(Role::PeroxideSource),
        StrengthBasis::VinegarGrain => s.id == "acetic_acid",
        // Acids with a split entry are denser than water, so a figure by mass and volume errs to the stronger entry.
        StrengthBasis::MassPercent | StrengthBasis::MassPerVolumePercent => {
            s.strength_percent.is_none_or(|[low, high]| {
                let (from, to) = (strength.value.low.to_f64(), strength.value.high.to_f64());
                from <= high && (to > low || low == 0.0)
            })
        }
        _ => true,
    };
    let kept: Vec<_> = hit.meanings.iter().copied().filter(|(i, _)| fits(&substances()[*i])).collect();
    if !kept.is_empty() {
        hit.meanings = kept;
    }
    hit
}

/// A usual range wider than this from end to end does not stand for a strength when the label is to be read.
const WIDE: f64 = 1.5;

fn is_strength_open((i, percent): (usize, Option<[f64; 2]>), hit: &Hit, line: &IngredientLine) -> bool {
    let s = &substances()[i];
    match percent {
        Some([low, high]) if !hit.diluted => hit.ask_label && (s.strength == StrengthNeed::Always || high > WIDE * low),
        _ if hit.diluted => true,
        _ => match s.strength {
            StrengthNeed::Always => true,
            StrengthNeed::WhenPoured => {
                matches!(line.amount.as_ref().map(|a| a.unit), Some(Unit::Volume(..) | Unit::MillilitresPerLitre))
            }
            StrengthNeed::Never => false,
        },
    }
}

fn question(name: &str, meanings: &[Meaning], strength_missing: bool, aside: Option<&str>) -> Option<String> {
    let mut parts = Vec::new();
    if let Some(aside) = aside {
        parts.push(format!("what is \"{aside}\" in \"{name}\"? Write what its label lists"));
    }
    if meanings.len() > 1 {
        let names: Vec<&str> = meanings.iter().map(|m| m.substance.name.as_ref()).collect();
        parts.push(format!("which is \"{name}\": {}? Read the label", one_of(&names)));
    }
    if strength_missing {
        parts.push(format!("how strong is \"{name}\"? Write the per cent on its label"));
    }
    (!parts.is_empty()).then(|| parts.join("; "))
}

fn unknown(name: &str) -> String {
    if let Some(found) = poison(name) {
        return format!("\"{name}\" is {}, which no recipe here has a place for", found.kind);
    }
    let near = hint(name).map(|n| format!(" (or did you mean \"{n}\"?)")).unwrap_or_default();
    format!("\"{name}\" is not known: what does its label list?{near}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::amount::{Amount, Exact, MassUnit, VolumeUnit};

    fn line(name: &str) -> IngredientLine {
        IngredientLine { text: name.into(), amount: None, strength: None, name: name.into(), manner: Vec::new() }
    }

    fn ids(name: &str) -> Vec<&'static str> {
        resolve(line(name)).meanings.iter().map(|m| m.substance.id.as_ref()).collect()
    }

    fn strong(name: &str, percent: i64) -> Ingredient {
        let strength = Strength {
            value: Span::one(Exact::whole(percent)),
            basis: StrengthBasis::MassPercent,
            basis_assumed: true,
        };
        resolve(IngredientLine { strength: Some(strength), ..line(name) })
    }

    #[test]
    fn names_mean_what_the_trade_means_by_them() {
        for (name, id) in [
            ("wood bleach", "oxalic_acid"),
            ("Copper Sulphate Pentahydrate", "copper_sulfate_pentahydrate"),
            ("copper sulfate", "copper_sulfate_pentahydrate"),
            ("anhydrous copper sulphate", "copper_sulfate_anhydrous"),
            ("copper(II) sulfate", "copper_sulfate_pentahydrate"),
            ("hair developer (hydrogen peroxide)", "hydrogen_peroxide"),
            ("warm distilled water", "water"),
            ("rainwater", "water"),
            ("level table salt", "sodium_chloride"),
            ("salt, table", "sodium_chloride"),
            ("fine sea salt", "sodium_chloride"),
            ("bluestone", "copper_sulfate_pentahydrate"),
            ("blue vitriol", "copper_sulfate_pentahydrate"),
            ("sal ammoniac", "ammonium_chloride"),
            ("baking soda", "sodium_bicarbonate"),
            ("washing soda", "sodium_carbonate"),
            ("soda ash", "sodium_carbonate"),
            ("liver of sulphur", "potassium_polysulfide"),
            ("peroxide", "hydrogen_peroxide"),
            ("caustic soda", "sodium_hydroxide"),
            ("muriatic acid", "hydrochloric_acid"),
            ("tannic acid", "tannic_acid"),
            ("cream of tartar", "potassium_bitartrate"),
            ("Epsom salts", "magnesium_sulfate"),
            ("7758-99-8", "copper_sulfate_pentahydrate"),
            ("CAS 7722-84-1", "hydrogen_peroxide"),
            ("CAS No. 7647-14-5", "sodium_chloride"),
            ("CAS: 7647-14-5", "sodium_chloride"),
            ("table salt 7647-14-5", "sodium_chloride"),
            ("table salt (CAS 7647-14-5)", "sodium_chloride"),
            ("sodium hypochlorite active chlorine", "sodium_hypochlorite"),
            ("ammonia", "ammonia_aq"),
        ] {
            assert_eq!(ids(name), [id], "{name}");
        }
    }

    #[test]
    fn brands_mixtures_and_near_names_are_not_recognised() {
        for name in
            ["Sparkle-O-Matic", "vinegr", "salt and vinegar", "no salt", "bleach-free cleaner", "salt + water", ""]
        {
            let found = resolve(line(name));
            assert!(found.meanings.is_empty(), "{name}");
            assert!(found.question.is_some(), "{name}");
        }
    }

    #[test]
    fn a_name_with_several_meanings_has_all_of_them_and_a_question() {
        assert_eq!(ids("pool acid"), ["hydrochloric_acid", "sulfuric_acid", "sodium_bisulfate"]);
        let lye = resolve(line("lye"));
        assert_eq!(lye.meanings.len(), 2);
        assert!(lye.question.is_some_and(|q| q.contains("Sodium hydroxide or Potassium hydroxide")));
        assert!(!lye.strength_missing);
    }

    #[test]
    fn a_name_and_a_number_that_disagree_are_both_judged() {
        assert_eq!(ids("table salt 7681-52-9"), ["sodium_chloride", "sodium_hypochlorite"]);
        let other = resolve(line("Sparkle-O 7681-52-9"));
        assert!(other.aside.is_some_and(|a| a == "sparkle o"));
        assert!(resolve(line("table salt 99-99-9")).question.is_some());
    }

    #[test]
    fn an_unknown_name_could_be_what_it_holds_or_nearly_is() {
        let of = |name: &str| {
            let ids =
                |thing: &Vec<Meaning>| thing.iter().map(|m| m.substance.id.as_ref()).collect::<Vec<_>>().join(" ");
            suspects(name).iter().map(ids).collect::<Vec<_>>()
        };
        assert_eq!(of("xyz bleach"), ["sodium_hypochlorite"]);
        assert_eq!(of("vinegr"), ["acetic_acid"]);
        assert_eq!(of("i think some bleech"), ["sodium_hypochlorite"]);
        assert!(of("clorine cleaner").iter().any(|thing| thing.contains("chlorine")), "{:?}", of("clorine cleaner"));
        assert_eq!(of("salt and white vinegar"), ["sodium_chloride", "acetic_acid"]);
        assert!(of("sparkleo").is_empty());
    }

    #[test]
    fn a_part_not_understood_is_asked_for() {
        let found = resolve(line("Sparkle-O (sodium hypochlorite)"));
        assert_eq!(found.substance().map(|s| s.id.as_ref()), Some("sodium_hypochlorite"));
        assert!(found.question.is_some_and(|q| q.contains("Sparkle-O")));
    }

    #[test]
    fn strength_is_missing_where_bottles_differ_widely() {
        for name in
            ["hydrogen peroxide", "hair developer", "vinegar essence", "muriatic acid", "bleach", "household ammonia"]
        {
            assert!(resolve(line(name)).strength_missing, "{name}");
            assert!(!strong(name, 5).strength_missing, "{name}");
        }
        for name in ["vinegar", "battery acid", "20 volume developer", "glacial acetic acid", "citric acid", "salt"] {
            assert!(!resolve(line(name)).strength_missing, "{name}");
        }
        assert!(resolve(line("citric acid solution")).strength_missing);
        assert!(resolve(line("diluted vinegar")).strength_missing);
    }

    #[test]
    fn poured_ferric_chloride_needs_a_strength_and_weighed_does_not() {
        let with = |unit| Some(Amount { value: Span::one(Exact::whole(50)), unit });
        let poured = with(Unit::Volume(VolumeUnit::Millilitre, MeasureSystem::Metric));
        assert!(resolve(IngredientLine { amount: poured, ..line("ferric chloride") }).strength_missing);
        let weighed = with(Unit::Mass(MassUnit::Gram));
        assert!(!resolve(IngredientLine { amount: weighed, ..line("ferric chloride") }).strength_missing);
    }

    #[test]
    fn the_strength_chooses_between_entries_of_one_acid() {
        assert_eq!(strong("nitric acid", 10).substance().map(|s| s.id.as_ref()), Some("nitric_acid_le70"));
        assert_eq!(strong("nitric acid", 90).substance().map(|s| s.id.as_ref()), Some("nitric_acid_gt70"));
        assert_eq!(resolve(line("nitric acid")).meanings.len(), 2);
        let mut volumes = line("developer");
        volumes.strength = Some(Strength {
            value: Span::one(Exact::whole(20)),
            basis: StrengthBasis::PeroxideVolumes,
            basis_assumed: false,
        });
        assert_eq!(resolve(volumes).substance().map(|s| s.id.as_ref()), Some("hydrogen_peroxide"));
    }

    #[test]
    fn usual_strength_goes_with_the_name() {
        let vinegar = resolve(line("white vinegar"));
        let usual = vinegar.meanings[0].usual.unwrap();
        assert!((usual.low.in_percent() - 4.0).abs() < 1e-9 && (usual.high.in_percent() - 8.0).abs() < 1e-9);
        let dihydrate = resolve(line("oxalic acid dihydrate"));
        assert!((dihydrate.meanings[0].usual.unwrap().low.in_percent() - 71.4).abs() < 0.1);
    }
}
