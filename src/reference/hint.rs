//! What a name that is not known may have been meant as: only a slip of the pen, never one chemical for another.

use super::forbidden::{is_formula_or_number, poison};
use super::names::{self, fold};
use crate::diag::nearest;

/// Ends by which chemicals differ: a chlorite is no misspelt chloride.
const ENDINGS: [&str; 14] =
    ["ate", "ite", "ide", "ane", "ene", "yne", "anol", "ol", "one", "ic", "ous", "yl", "ine", "ium"];

/// The known name that this one is a slip away from: as many words, each the same or one slip away, the first letter and the
/// chemical ending right. Nothing for a number or a formula, nor for a poison or an explosive.
pub(super) fn hint(name: &str) -> Option<&'static str> {
    if is_formula_or_number(name) || poison(name).is_some() {
        return None;
    }
    let words = fold(name);
    let near = names::all().filter(|known| {
        let known: Vec<&str> = known.split(' ').collect();
        known.len() == words.len() && known.iter().zip(&words).all(|(known, word)| slipped(word, known))
    });
    nearest(&words.join(" "), near)
}

/// Whether a word may be the other with a slip; what is a word of its own somewhere in the tables is meant as it stands.
fn slipped(word: &str, known: &str) -> bool {
    let ending = |word: &str| ENDINGS.into_iter().find(|end| word.len() > end.len() + 1 && word.ends_with(end));
    word == known
        || word.chars().count() >= 5
            && word.chars().next() == known.chars().next()
            && ending(word).is_none_or(|end| ending(known).is_none_or(|other| other == end))
            && strsim::damerau_levenshtein(word, known) == 1
            && !names::all().any(|name| name.split(' ').any(|other| other == word))
            && !REAL.contains(&word)
}

/// Chemicals' words that are not in the tables and one letter from one that is.
const REAL: [&str; 14] = [
    "maleic",
    "iodate",
    "bromate",
    "borane",
    "borate",
    "tellurate",
    "tellurite",
    "cyanate",
    "methane",
    "silane",
    "titanate",
    "malonic",
    "cobaltic",
    "glycolic",
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_is_hinted_at_and_another_chemical_never() {
        for (name, meant) in [
            ("vinegr", "vinegar"),
            ("baking sodda", "baking soda"),
            ("copper sulfat", "copper sulfate"),
            ("sodium cloride", "sodium chloride"),
        ] {
            assert_eq!(hint(name), Some(meant), "{name}");
        }
        for name in [
            "NaCN",
            "143-33-9",
            "99-99-9",
            "Ca(OCl)3",
            "picric acid",
            "perchloric acid",
            "hydrocyanic acid",
            "bromine",
            "cadmium sulfate",
            "sodium chlorite",
            "maleic acid",
            "calcium nitrite",
            "xyz",
        ] {
            assert_eq!(hint(name), None, "{name}");
        }
    }
}
