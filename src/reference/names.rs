//! What a folded name means: whole names, with as few qualifiers dropped as possible.
//!
//! Two names are the same when they fold to the same words (see `fold`). The index is made at build time.

use super::schema::{Form, NameIndex, QualifierKind, Role};
use super::substances;

pub(super) use super::schema::fold;

/// What a name means.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Hit {
    /// Index of the substance, and the usual strength in per cent by mass that the name tells.
    pub meanings: Vec<(usize, Option<[f64; 2]>)>,
    /// Whether the label must be read before the usual strength can be worked with.
    pub ask_label: bool,
    /// Whether a word that says "some solution of it" was dropped: then no usual strength holds.
    pub diluted: bool,
}

static INDEX: NameIndex = embedded!("names");

/// Every folded name, sorted, for a hint.
pub(super) fn all() -> impl Iterator<Item = &'static str> {
    INDEX.names.iter().map(|n| n.name.as_ref())
}

/// The name as it stands in the index.
fn whole(name: &str) -> Option<Hit> {
    let at = INDEX.names.binary_search_by(|n| n.name.as_ref().cmp(name)).ok()?;
    let named = &INDEX.names[at];
    let meanings = named.meanings.iter().map(|(i, percent)| (usize::from(*i), *percent)).collect();
    Some(Hit { meanings, ask_label: named.ask_label, diluted: false })
}

/// What a name that is not known could be meant as, by indices of substances: each known name inside it is one thing, since
/// a bottle may hold several ("bleach with vinegar"), and so is what some of its words are only a slip or two away from
/// ("some bleech", if `slips` can be); the known names that near the whole are one more.
pub(super) fn suspects(words: &[String], slips: bool) -> Vec<Vec<usize>> {
    let mut things: Vec<Vec<usize>> = Vec::new();
    let mut at = 0;
    while at < words.len() {
        let windows = || (at + 1..=words.len()).rev().map(|end| (words[at..end].join(" "), end));
        let known = windows().find_map(|(name, end)| Some((indices([whole(&name)?]), end)));
        let meant = known.or_else(|| {
            let near =
                windows().filter(|(_, end)| slips && end - at <= LONGEST_SLIP).map(|(name, end)| (near(&name, 5), end));
            near.into_iter().find(|(thing, _)| !thing.is_empty()).map(|(thing, _)| (thing, at + 1))
        });
        let Some((thing, end)) = meant else {
            at += 1;
            continue;
        };
        things.push(thing);
        at = end;
    }
    if slips {
        things.push(near(&words.join(" "), 4));
    }
    let mut named: Vec<Vec<usize>> = Vec::new();
    for thing in things.into_iter().filter(|thing| !thing.is_empty()) {
        if !named.contains(&thing) {
            named.push(thing);
        }
    }
    named
}

/// So many words of a longer name are looked at together for a slip.
const LONGEST_SLIP: usize = 3;

/// What the known names of at least so many letters mean that are only a slip or two away; short ones are near everything.
fn near(name: &str, least: usize) -> Vec<usize> {
    let slips = (name.chars().count() / 6).max(1);
    let near = INDEX.names.iter().filter(|n| {
        n.name.len() >= least
            && n.name.len().abs_diff(name.len()) <= slips
            && strsim::damerau_levenshtein(name, &n.name) <= slips
    });
    indices(near.filter_map(|n| whole(&n.name)))
}

fn indices(hits: impl IntoIterator<Item = Hit>) -> Vec<usize> {
    let mut found: Vec<usize> = hits.into_iter().flat_map(|hit| hit.meanings).map(|(i, _)| i).collect();
    found.sort_unstable();
    found.dedup();
    found
}

fn qualifier(word: &str) -> Option<QualifierKind> {
    let at = INDEX.qualifiers.binary_search_by(|q| q.word.as_ref().cmp(word)).ok()?;
    Some(INDEX.qualifiers[at].kind)
}

/// More qualifiers than this in one name are not taken one by one, to bound the work.
const MOST_QUALIFIERS: usize = 6;

/// What these folded words mean as a whole name, dropping as few qualifiers as possible.
pub(super) fn find(words: &[String]) -> Option<Hit> {
    if words.is_empty() {
        return None;
    }
    if let Some(hit) = whole(&words.join(" ")) {
        return Some(hit);
    }
    let droppable: Vec<usize> =
        (0..words.len()).filter(|i| qualifier(&words[*i]).is_some()).take(MOST_QUALIFIERS).collect();
    let mut choices: Vec<u32> = (1..1_u32 << droppable.len()).collect();
    choices.sort_by_key(|c| c.count_ones());
    choices.into_iter().find_map(|choice| {
        let dropped = |i: usize| droppable.iter().position(|d| *d == i).is_some_and(|bit| choice >> bit & 1 == 1);
        let kept: Vec<&str> = (0..words.len()).filter(|i| !dropped(*i)).map(|i| words[i].as_str()).collect();
        let mut hit = whole(&kept.join(" "))?;
        for i in (0..words.len()).filter(|i| dropped(*i)) {
            match qualifier(&words[i])? {
                QualifierKind::Always => {}
                // "copper powder" is not a piece of copper, and "bleach powder" is not bleach.
                QualifierKind::Solid if hit.meanings.iter().all(|m| is_plain_solid(m.0)) => {}
                QualifierKind::Solution if hit.meanings.iter().all(|m| can_be_dissolved(m.0)) => hit.diluted = true,
                QualifierKind::Solid | QualifierKind::Solution => return None,
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
