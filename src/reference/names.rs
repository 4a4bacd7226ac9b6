//! The index of names: how a name is folded before it is compared, and what each folded name means.
//!
//! Two names are the same when they fold to the same words. Folding knows case, plurals, hyphens, brackets, subscripts
//! and British or American spelling; it never guesses at letters.

use super::schema::{EverydayTable, Form, Role};
use super::{EVERYDAY, substances};
use once_cell::sync::Lazy;
use std::collections::HashMap;

/// What a folded name means.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Hit {
    /// Index of the substance, and the usual strength in per cent by mass that the name tells.
    pub meanings: Vec<(usize, Option<[f64; 2]>)>,
    /// Whether the label must be read before the usual strength can be worked with.
    pub ask_label: bool,
    /// Whether a word that says "some solution of it" was dropped: then no usual strength holds.
    pub diluted: bool,
}

/// Spellings folded into one, as they stand inside a word. British first.
const SPELLINGS: [(&str, &str); 12] = [
    ("sulph", "sulf"),
    ("aluminium", "aluminum"),
    ("mould", "mold"),
    ("colour", "color"),
    ("odour", "odor"),
    ("saltpetre", "saltpeter"),
    ("glycerine", "glycerin"),
    ("jeweller", "jeweler"),
    ("jewelery", "jewelry"),
    ("creme", "cream"),
    ("grey", "gray"),
    ("kerosine", "kerosene"),
];

/// Words that end in `s` and are no plurals, beyond those in `ss`, `us` and `is`.
const NOT_PLURAL: [&str; 3] = ["meths", "turps", "vas"];

fn fold_word(word: &str) -> String {
    let mut word = word.to_string();
    for (from, to) in SPELLINGS {
        if word.contains(from) {
            word = word.replace(from, to);
        }
    }
    for (from, to) in [("ised", "ized"), ("iser", "izer"), ("isers", "izers")] {
        if let Some(stem) = word.strip_suffix(from)
            && stem.len() > 2
        {
            word = format!("{stem}{to}");
        }
    }
    let plural = word.len() > 4
        && word.ends_with('s')
        && !["ss", "us", "is"].iter().any(|end| word.ends_with(end))
        && !NOT_PLURAL.contains(&word.as_str());
    if plural {
        word.pop();
    }
    word
}

/// The words of a name, folded: lower case, no punctuation, one spelling, singular.
pub(super) fn fold(name: &str) -> Vec<String> {
    let mut plain = String::with_capacity(name.len());
    for c in name.chars().flat_map(char::to_lowercase) {
        match c {
            '\'' | '\u{2019}' | '\u{2018}' | '`' => {}
            '\u{2080}'..='\u{2089}' => plain.push(char::from(b'0' + (c as u32 - 0x2080) as u8)),
            // A name that adds two things up must not fold to a name that does not.
            '+' | '&' => plain.push_str(" + "),
            c if c.is_alphanumeric() => plain.push(c),
            _ => plain.push(' '),
        }
    }
    plain.split_whitespace().map(fold_word).collect()
}

struct Index {
    names: HashMap<String, Hit>,
    qualifiers: HashMap<String, Qualifier>,
}

#[derive(Clone, Copy, PartialEq)]
enum Qualifier {
    Always,
    Solid,
    Solution,
}

static INDEX: Lazy<Index> = Lazy::new(|| build(&EVERYDAY));

fn build(everyday: &EverydayTable) -> Index {
    let all = substances();
    let mut names: HashMap<String, Hit> = HashMap::with_capacity(all.len() * 8);
    for (i, s) in all.iter().enumerate() {
        let own = [&s.id, &s.name].into_iter().chain(&s.aliases).chain(&s.cas);
        for name in own {
            let hit = names.entry(fold(name).join(" ")).or_insert_with(|| Hit {
                meanings: Vec::new(),
                ask_label: false,
                diluted: false,
            });
            if !hit.meanings.iter().any(|(j, _)| *j == i) {
                hit.meanings.push((i, None));
            }
        }
    }
    for e in &everyday.names {
        let meanings: Vec<_> =
            e.means.iter().filter_map(|m| Some((all.binary_search_by(|s| s.id.cmp(&m.id)).ok()?, m.percent))).collect();
        for word in &e.words {
            let hit = Hit { meanings: meanings.clone(), ask_label: e.ask_label, diluted: false };
            names.insert(fold(word).join(" "), hit);
        }
    }
    let q = &everyday.qualifiers;
    let mut qualifiers = HashMap::new();
    for (words, kind) in
        [(&q.always, Qualifier::Always), (&q.solid, Qualifier::Solid), (&q.solution, Qualifier::Solution)]
    {
        qualifiers.extend(words.iter().map(|w| (fold(w).join(" "), kind)));
    }
    Index { names, qualifiers }
}

/// Every folded name, for a hint.
pub(super) fn all() -> Vec<&'static str> {
    let mut names: Vec<&str> = INDEX.names.keys().map(String::as_str).collect();
    names.sort_unstable();
    names
}

/// More qualifiers than this in one name are not taken one by one, to bound the work.
const MOST_QUALIFIERS: usize = 6;

/// What these folded words mean as a whole name, dropping as few qualifiers as possible.
pub(super) fn find(words: &[String]) -> Option<Hit> {
    if words.is_empty() {
        return None;
    }
    if let Some(hit) = INDEX.names.get(&words.join(" ")) {
        return Some(hit.clone());
    }
    let droppable: Vec<usize> =
        (0..words.len()).filter(|i| INDEX.qualifiers.contains_key(&words[*i])).take(MOST_QUALIFIERS).collect();
    let mut choices: Vec<u32> = (1..1_u32 << droppable.len()).collect();
    choices.sort_by_key(|c| c.count_ones());
    choices.into_iter().find_map(|choice| {
        let dropped = |i: usize| droppable.iter().position(|d| *d == i).is_some_and(|bit| choice >> bit & 1 == 1);
        let kept: Vec<&str> = (0..words.len()).filter(|i| !dropped(*i)).map(|i| words[i].as_str()).collect();
        let mut hit = INDEX.names.get(&kept.join(" "))?.clone();
        for i in (0..words.len()).filter(|i| dropped(*i)) {
            match INDEX.qualifiers.get(&words[i])? {
                Qualifier::Always => {}
                // "copper powder" is not a piece of copper, and "bleach powder" is not bleach.
                Qualifier::Solid if hit.meanings.iter().all(|m| is_plain_solid(m.0)) => {}
                Qualifier::Solution if hit.meanings.iter().all(|m| can_be_dissolved(m.0)) => hit.diluted = true,
                Qualifier::Solid | Qualifier::Solution => return None,
            }
        }
        Some(hit)
    })
}

fn is_plain_solid(i: usize) -> bool {
    let s = &substances()[i];
    matches!(s.form, Form::Solid | Form::SolidOrSolution) && !s.is(Role::Metal)
}

fn can_be_dissolved(i: usize) -> bool {
    let s = &substances()[i];
    !s.is(Role::Metal) && !s.is(Role::Water)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn folded(name: &str) -> String {
        fold(name).join(" ")
    }

    #[test]
    fn spelling_case_plural_hyphen_and_subscripts_fold() {
        assert_eq!(folded("Copper-Sulphates"), "copper sulfate");
        assert_eq!(folded("Aluminium foil"), folded("aluminum foil"));
        assert_eq!(folded("H\u{2082}O\u{2082}"), "h2o2");
        assert_eq!(folded("Baker\u{2019}s ammonia"), folded("bakers ammonia"));
        assert_eq!(folded("brass"), "brass");
        assert_ne!(folded("sodium sulfite"), folded("sodium sulfate"));
        assert_ne!(folded("salt + vinegar"), folded("salt vinegar"));
    }

    #[test]
    fn form_words_are_not_dropped_from_metals_and_liquids() {
        assert!(find(&fold("copper powder")).is_none());
        assert!(find(&fold("vinegar powder")).is_none());
        assert!(find(&fold("citric acid powder")).is_some());
    }

    #[test]
    fn words_that_mean_some_solution_open_the_strength() {
        assert!(find(&fold("strong citric acid solution")).is_some_and(|h| h.diluted));
        assert!(find(&fold("fresh citric acid")).is_some_and(|h| !h.diluted));
    }
}
