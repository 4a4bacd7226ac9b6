//! What part or vessel was in contact with before, as a person writes it: names, and words on how it was taken off.
//!
//! A rinse or a drying counts only when a whole phrase of the lists below says so. Words of the same family that are no
//! such phrase ("to be rinsed", "vinegar rinse") count for nothing, and with a word of doubt among them ("never dried",
//! "hardly rinsed") they take back what the rest of the text says. Every other word must belong to a known name; what
//! does not is something unknown that was there.

use super::ingredient::is_known;
use super::{Ingredient, Role, resolve};
use crate::amount::{MeasureSystem, read_ingredient_line};
use crate::diag::{Checked, Problem, Problems};

/// How well something was taken off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Rinsed {
    /// Nothing said: it is all still there.
    #[default]
    None,
    /// Rinsed once.
    Once,
    /// Rinsed at least twice, or washed.
    Twice,
    /// Rinsed and then neutralised.
    Neutralised,
}

impl Rinsed {
    /// Rinsed so often, in plain water.
    pub fn times(rinses: usize) -> Self {
        match rinses {
            0 => Rinsed::None,
            1 => Rinsed::Once,
            _ => Rinsed::Twice,
        }
    }

    /// How many rinses it is at least.
    pub fn least(self) -> u8 {
        match self {
            Rinsed::None => 0,
            Rinsed::Once | Rinsed::Neutralised => 1,
            Rinsed::Twice => 2,
        }
    }
}

/// What is left of something that was there before.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Before {
    /// How it was rinsed.
    pub rinse: Rinsed,
    /// Whether it was dried off completely.
    pub dried: bool,
}

/// Something that part or vessel was in contact with before.
#[derive(Debug, Clone)]
pub struct Past {
    /// What it was.
    pub ingredient: Ingredient,
    /// What is left of it.
    pub left: Before,
}

impl Past {
    /// With what is left of it.
    pub fn new(ingredient: Ingredient, left: Before) -> Self {
        Past { ingredient, left }
    }
}

/// Whole phrases that count as rinses, with how many they are.
const RINSES: [(usize, &str); 3] = [
    (
        1,
        "rinsed, rinsed once, rinsed only once, rinsed off, rinsed out, rinsed well, well rinsed, flushed, \
         flushed out, rinsed again",
    ),
    (
        2,
        "rinsed twice, rinsed two times, rinsed 2 times, rinsed 2 x, rinsed 2x, rinsed several times, rinsed \
         thoroughly, thoroughly rinsed, flushed thoroughly, two rinses, washed, washed off, washed out, \
         washed well, washed thoroughly, thoroughly washed",
    ),
    (3, "rinsed three times, rinsed 3 times, rinsed 3 x, rinsed 3x, three rinses"),
];

/// Whole phrases that count as dried off completely.
const DRIED: &str = "dried, dry, dried off, dried out, dried well, dried fully, fully dried, dry fully, fully dry, dried \
    completely, completely dried, completely dry, dried thoroughly, thoroughly dried, thoroughly dry, \
    wiped dry, wiped off dried";

/// Whole phrases that say it was neutralised; without a rinse they count for nothing.
const NEUTRALISED: &str = "neutralised, neutralized, then neutralised, then neutralized";

/// Words that deny or doubt.
const DOUBT: &str = "not never no non un without neither nor or cannot cant didnt wasnt isnt hasnt werent hardly barely \
    scarcely almost nearly quite partly partially half maybe perhaps possibly probably supposedly \
    hopefully only just badly poorly lightly quickly briefly slightly insufficiently incompletely \
    imperfectly yet still to be will should must needs later really sure too wet damp moist undried \
    unrinsed unwashed unneutralised unneutralized skipped forgotten intended planned about going \
    supposed tried if when until unless except";

/// Words of the three families that a doubt can be about.
const RINSING: &str = "rinse rinses rinsed rinsing unrinsed wash washed unwashed flush flushed";
const DRYING: &str = "dry dried drying undried wet damp moist";
const NEUTRALISING: &str = "neutralise neutralised neutralize neutralized neutral unneutralised unneutralized";

/// Other words that say how something was put on or taken off; they count for nothing.
const MANNER: &str = "wipe wiped wipes wiping bath baths dip dipped soak soaked spray sprayed brush brushed washing \
    flushing residue residues film trace traces cleaned cleaning degrease degreased degreasing etched \
    pickled stripped was were been is are has had it part parts vessel off out away down through left \
    stood allowed let air fully well thoroughly completely carefully clean twice once times time several \
    two three 2 3 2x 3x x again overnight first afterwards after before followed";

/// Words that link a name to them.
const LINKS: &str = "in with by under using of from for on the a an some plenty running lots";

fn among(word: &str, words: &str) -> bool {
    words.split_whitespace().any(|w| w == word)
}

fn listed(phrase: &str, phrases: &str) -> bool {
    phrases.split(',').any(|p| p.trim() == phrase)
}

fn understood(word: &str) -> bool {
    [DOUBT, RINSING, DRYING, NEUTRALISING, MANNER, LINKS].iter().any(|words| among(word, words))
}

/// Said alone, each of these is no past at all.
const NOTHING: &str = "nothing, none, nothing yet, nothing before, new and clean";

/// Reads what was there before: things separated by `;`, commas, "and", "then" or "but".
///
/// # Errors
/// An amount or strength that cannot be read, and a text that names nothing.
pub fn read_past(text: &str, system: MeasureSystem) -> Checked<Vec<Past>> {
    if listed(&text.trim().to_lowercase(), NOTHING) {
        return Ok(Vec::new());
    }
    let mut all = Vec::new();
    let mut problems = Vec::new();
    for item in items(text) {
        match Item::read(&item, system) {
            Ok(found) => all.extend(found),
            Err(more) => problems.extend(more.0),
        }
    }
    if problems.is_empty() { Ok(all) } else { Err(Problems(problems)) }
}

/// The items of a text. One that only says how something was taken off ("bleach; rinsed twice") goes on about the item
/// before it, and about no other.
fn items(text: &str) -> Vec<String> {
    let mut items: Vec<String> = Vec::new();
    for item in text.split(';').filter(|item| !item.trim().is_empty()) {
        let only_manner = words(item).iter().all(|(start, end)| understood(&plain(&item[*start..*end])));
        match items.last_mut().filter(|_| only_manner) {
            Some(before) => {
                before.push(',');
                before.push_str(item);
            }
            None => items.push(item.to_string()),
        }
    }
    items
}

/// More clauses than this are not tried as one name, to bound the work.
const MOST_CLAUSES: usize = 6;

/// More words than this on either side of a name are not tried as words about it, likewise.
const MOST_AROUND: usize = 8;

/// What one clause says about taking off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
struct Treatment {
    rinses: usize,
    dried: bool,
    neutralised: bool,
    /// Families that are denied: rinsing, drying, neutralising.
    denied: [bool; 3],
}

impl Treatment {
    /// Of words that are all understood.
    fn of(words: &[&str]) -> Self {
        let linked: Vec<&str> = words.iter().copied().filter(|w| !among(w, LINKS)).collect();
        let phrase = linked.join(" ");
        let is = |phrases: &str| listed(&phrase, phrases);
        let rinses = RINSES.iter().find(|(_, phrases)| is(phrases)).map_or(0, |(n, _)| *n);
        let found = Treatment { rinses, dried: is(DRIED), neutralised: is(NEUTRALISED), denied: [false; 3] };
        let counts = found != Treatment::default();
        if counts || !words.iter().any(|w| among(w, DOUBT)) { found } else { Treatment::doubt(words) }
    }

    /// What a doubt takes back: the families it names, or all of them.
    fn doubt(words: &[&str]) -> Self {
        let mut denied = [RINSING, DRYING, NEUTRALISING].map(|family| words.iter().any(|w| among(w, family)));
        if denied == [false; 3] {
            denied = [true; 3];
        }
        Treatment { denied, ..Treatment::default() }
    }

    fn doubts(&self) -> bool {
        self.denied != [false; 3]
    }

    fn and(self, other: Treatment) -> Treatment {
        let [a, b, c] = [0, 1, 2].map(|i| self.denied[i] || other.denied[i]);
        Treatment {
            rinses: self.rinses + other.rinses,
            dried: self.dried || other.dried,
            neutralised: self.neutralised || other.neutralised,
            denied: [a, b, c],
        }
    }

    fn left(self) -> Before {
        let [rinsing, drying, neutralising] = self.denied;
        let rinse = match self.rinses {
            _ if rinsing => Rinsed::None,
            n if n > 0 && self.neutralised && !neutralising => Rinsed::Neutralised,
            n => Rinsed::times(n),
        };
        Before { rinse, dried: self.dried && !drying }
    }
}

/// A stretch between two separators, and whether it is joined to the one before by "and".
#[derive(Debug, Clone, Copy)]
struct Clause {
    start: usize,
    end: usize,
    joined: bool,
}

/// One thing after another, with what was done to them; what is done counts for everything named before it.
struct Item {
    system: MeasureSystem,
    found: Vec<(Ingredient, Treatment)>,
    /// What the clause before said.
    last: Treatment,
}

impl Item {
    fn read(text: &str, system: MeasureSystem) -> Checked<Vec<Past>> {
        let mut item = Item { system, found: Vec::new(), last: Treatment::default() };
        item.text(text)?;
        if item.found.is_empty() {
            return Err(Problem::error(format!("`{}` names nothing that was there before", text.trim()))
                .hint("Write what it was, then how it was taken off: `acetone, dried fully`.")
                .into());
        }
        Ok(item.found.into_iter().map(|(ingredient, t)| Past::new(ingredient, t.left())).collect())
    }

    fn text(&mut self, text: &str) -> Checked<()> {
        let clauses = clauses(text);
        let mut i = 0;
        while i < clauses.len() {
            // A name may hold commas and "and": the longest stretch that is one counts as one.
            let whole = (i + 2..=clauses.len().min(i + MOST_CLAUSES)).rev().find_map(|j| {
                let name = self.name(&text[clauses[i].start..clauses[j - 1].end])?;
                Some((name, j))
            });
            match whole {
                Some((name, j)) => {
                    self.add(name, Treatment::default());
                    i = j;
                }
                None => {
                    let Clause { start, end, joined } = clauses[i];
                    self.clause(&text[start..end], joined)?;
                    i += 1;
                }
            }
        }
        Ok(())
    }

    fn add(&mut self, name: Ingredient, treated: Treatment) {
        self.found.push((name, Treatment::default()));
        self.treat(treated);
    }

    fn treat(&mut self, treated: Treatment) {
        for (_, so_far) in &mut self.found {
            *so_far = so_far.and(treated);
        }
        self.last = treated;
    }

    /// A known name that leaves no word of it over.
    fn name(&self, text: &str) -> Option<Ingredient> {
        // Looking for what an unknown name could be takes long; it is not asked for every stretch.
        let line = read_ingredient_line(text, self.system).ok().filter(|line| is_known(&line.name))?;
        let found = resolve(line);
        (!found.meanings.is_empty() && found.aside.is_none()).then_some(found)
    }

    fn clause(&mut self, text: &str, joined: bool) -> Checked<()> {
        let doubted = joined && self.last.doubts();
        let spans = words(text);
        let plain: Vec<String> = spans.iter().map(|(s, e)| plain(&text[*s..*e])).collect();
        let plain: Vec<&str> = plain.iter().map(String::as_str).collect();
        let known = |i: usize| understood(plain[i]);
        let trail = (0..plain.len()).rev().take_while(|i| known(*i)).count();
        // A figure in front of a name is its amount.
        let figure = |i: usize| plain[i].starts_with(|c: char| c.is_ascii_digit());
        let lead = (0..plain.len() - trail).take_while(|i| known(*i) && !figure(*i)).count();
        if trail == plain.len() {
            let found = Treatment::of(&plain);
            self.treat(if doubted { Treatment::doubt(&plain) } else { found });
            return Ok(());
        }
        let (lead, trail) = (lead.min(MOST_AROUND), trail.min(MOST_AROUND));
        // The longest stretch that is a name, with understood words around it.
        let mut stretches: Vec<(usize, usize)> =
            (0..=lead).flat_map(|i| (plain.len() - trail..=plain.len()).map(move |j| (i, j))).collect();
        stretches.sort_by_key(|(i, j)| (plain.len() - (j - i), *i));
        for (i, j) in stretches {
            let Some(name) = self.name(&text[spans[i].0..spans[j - 1].1]) else { continue };
            let around: Vec<&str> = plain[..i].iter().chain(&plain[j..]).copied().collect();
            self.named(name, &around, doubted);
            return Ok(());
        }
        // "acetone (rinsed twice)": what stands in brackets is a clause of its own.
        if let Some(pieces) = out_of_brackets(text) {
            return pieces.into_iter().try_for_each(|(start, end)| self.text(&text[start..end]));
        }
        let unknown = &text[spans[lead].0..spans[plain.len() - trail - 1].1];
        let line = read_ingredient_line(unknown, self.system)?;
        self.add(resolve(line), Treatment::default());
        let around: Vec<&str> = plain[..lead].iter().chain(&plain[plain.len() - trail..]).copied().collect();
        if around.iter().any(|w| among(w, DOUBT)) {
            self.treat(Treatment::doubt(&around));
        }
        Ok(())
    }

    /// A name with words around it: water and what neutralises can be the rinse itself.
    fn named(&mut self, name: Ingredient, around: &[&str], doubted: bool) {
        let said = Treatment::of(around);
        let all = |is: fn(&super::Substance) -> bool| name.meanings.iter().all(|m| is(m.substance));
        let water = all(|s| s.is(Role::Water));
        let soda = all(|s| s.id == "sodium_bicarbonate");
        if doubted || said.doubts() {
            self.add(name, Treatment::default());
            return self.treat(Treatment::doubt(around));
        }
        // "rinsed twice and in bicarbonate" goes on about the rinse.
        let goes_on = !around.is_empty() && around.iter().all(|w| among(w, LINKS)) && self.last.rinses > 0;
        if water && !self.found.is_empty() && (said.rinses > 0 || around == ["rinse"]) {
            return self.treat(Treatment { rinses: said.rinses.max(1), ..said });
        }
        let rinse_in = said.rinses > 0 && around.iter().any(|w| among(w, LINKS));
        if soda && !self.found.is_empty() && (rinse_in || said.neutralised || goes_on) {
            return self.treat(Treatment { rinses: said.rinses.max(1), neutralised: true, ..said });
        }
        // Rinsed in anything else, it is one more thing that was there. What follows the name is about the name too.
        let after_name = around.iter().all(|w| !among(w, LINKS));
        self.add(name, if after_name { said } else { Treatment::default() });
    }
}

/// Where the words stand.
fn words(text: &str) -> Vec<(usize, usize)> {
    let mut found = Vec::new();
    let mut start = None;
    for (i, c) in text.char_indices() {
        match (c.is_whitespace(), start) {
            (false, None) => start = Some(i),
            (true, Some(s)) => {
                found.push((s, i));
                start = None;
            }
            _ => {}
        }
    }
    found.extend(start.map(|s| (s, text.len())));
    found
}

/// A word in lower case, without marks around or in it.
fn plain(word: &str) -> String {
    word.chars().filter(|c| c.is_alphanumeric() || matches!(c, '-' | '%')).flat_map(char::to_lowercase).collect()
}

/// The stretches between commas, semicolons, full stops, dashes, "and", "then" and "but" outside brackets.
fn clauses(text: &str) -> Vec<Clause> {
    let mut found: Vec<Clause> = Vec::new();
    let (mut start, mut depth, mut joined) = (0, 0_i32, false);
    let mut cut = |start: usize, end: usize, joined: bool| {
        let piece = &text[start..end];
        let from = start + (piece.len() - piece.trim_start().len());
        let to = from + piece.trim().len();
        if from < to {
            found.push(Clause { start: from, end: to, joined });
        }
    };
    let spaced = |i: usize, c: char| {
        text[..i].ends_with(char::is_whitespace) && text[i + c.len_utf8()..].starts_with(char::is_whitespace)
    };
    for (i, c) in text.char_indices() {
        let rest = &text[i + c.len_utf8()..];
        let digits =
            text[..i].ends_with(|c: char| c.is_ascii_digit()) && rest.starts_with(|c: char| c.is_ascii_digit());
        match c {
            '(' | '[' => depth += 1,
            ')' | ']' => depth -= 1,
            _ => {}
        }
        let mark = match c {
            ',' | '&' | '+' | '/' | '\n' => !digits,
            '.' | ':' | '!' | '?' => rest.is_empty() || rest.starts_with(char::is_whitespace),
            '-' | '\u{2013}' | '\u{2014}' => spaced(i, c),
            _ => false,
        };
        if depth == 0 && mark {
            cut(start, i, joined);
            (start, joined) = (i + c.len_utf8(), matches!(c, '&' | '+'));
        }
        let word_before = text[..i].is_empty() || text[..i].ends_with(char::is_whitespace);
        if depth == 0 && word_before && i >= start {
            for (word, joins) in [("and", true), ("plus", true), ("then", false), ("but", false)] {
                let tail = text.get(i + word.len()..).unwrap_or_default();
                let here = text.get(i..i + word.len()).is_some_and(|w| w.eq_ignore_ascii_case(word));
                if here && (tail.is_empty() || tail.starts_with(char::is_whitespace)) {
                    cut(start, i, joined);
                    (start, joined) = (i + word.len(), joins);
                }
            }
        }
    }
    cut(start, text.len(), joined);
    found
}

/// The pieces outside and inside brackets, if there are any.
fn out_of_brackets(text: &str) -> Option<Vec<(usize, usize)>> {
    let mut pieces = Vec::new();
    let mut start = 0;
    for (i, c) in text.char_indices().filter(|(_, c)| matches!(c, '(' | ')' | '[' | ']')) {
        pieces.push((start, i));
        start = i + c.len_utf8();
    }
    pieces.push((start, text.len()));
    let more_than_one = pieces.len() > 1;
    pieces.retain(|(s, e)| text[*s..*e].contains(char::is_alphanumeric));
    more_than_one.then_some(pieces)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reference::names;

    /// Names as found ("?" before an unknown one), with what is left of each.
    fn read(text: &str) -> Vec<(String, Rinsed, bool)> {
        let found = read_past(text, MeasureSystem::Metric).unwrap_or_else(|e| panic!("{text}: {e}"));
        let name = |p: &Past| match p.ingredient.meanings.first() {
            Some(m) => m.substance.id.to_string(),
            None => format!("?{}", p.ingredient.line.name),
        };
        found.iter().map(|p| (name(p), p.left.rinse, p.left.dried)).collect()
    }

    #[track_caller]
    fn check(text: &str, want: &[(&str, Rinsed, bool)]) {
        let want: Vec<_> = want.iter().map(|(n, r, d)| ((*n).to_string(), *r, *d)).collect();
        assert_eq!(read(text), want, "{text}");
    }

    use Rinsed::{Neutralised, None as Not, Once, Twice};

    #[test]
    fn every_name_of_a_text_is_read() {
        check("water, bleach", &[("water", Not, false), ("sodium_hypochlorite", Not, false)]);
        check("dish soap, acetone", &[("dish_soap", Not, false), ("acetone", Not, false)]);
        check("dish soap then acetone, dried", &[("dish_soap", Not, true), ("acetone", Not, true)]);
        check("white vinegar 5 %, 10 ml", &[("acetic_acid", Not, false)]);
        check("vinegar and bleach", &[("acetic_acid", Not, false), ("sodium_hypochlorite", Not, false)]);
        check("bleach/vinegar", &[("sodium_hypochlorite", Not, false), ("acetic_acid", Not, false)]);
        check("bleach plus vinegar", &[("sodium_hypochlorite", Not, false), ("acetic_acid", Not, false)]);
        check("isopropanol 70 % v/v, dried", &[("isopropanol", Not, true)]);
        check("wiped with acetone", &[("acetone", Not, false)]);
        check("vinegar, rinsed once, bleach", &[("acetic_acid", Once, false), ("sodium_hypochlorite", Not, false)]);
        check("acetone (rinsed twice)", &[("acetone", Twice, false)]);
        check("salt, table", &[("sodium_chloride", Not, false)]);
        check("lye (sodium hydroxide)", &[("sodium_hydroxide", Not, false)]);
        check("household ammonia 5-10 %. Rinsed twice.", &[("ammonia_aq", Twice, false)]);
        check("rinsed in vinegar", &[("acetic_acid", Not, false)]);
        check("soap", &[("dish_soap", Not, false)]);
        check("bleach; rinsed twice", &[("sodium_hypochlorite", Twice, false)]);
        check("vinegar; bleach; dried", &[("acetic_acid", Not, false), ("sodium_hypochlorite", Not, true)]);
        check("bleach; never rinsed", &[("sodium_hypochlorite", Not, false)]);
        assert!(read_past("rinsed twice", MeasureSystem::Metric).is_err());
    }

    #[test]
    fn a_word_that_is_neither_name_nor_phrase_is_something_unknown() {
        check("dish soap, sparkleo", &[("dish_soap", Not, false), ("?sparkleo", Not, false)]);
        check("vinegar, rinsed, I think", &[("acetic_acid", Once, false), ("?I think", Not, false)]);
        check("acetone (and bleach)", &[("acetone", Not, false), ("sodium_hypochlorite", Not, false)]);
        check("1,1,1-trichloroethane, dried", &[("?1,1,1-trichloroethane", Not, true)]);
    }

    #[test]
    fn only_whole_phrases_count_as_a_rinse_or_as_dry() {
        for (text, rinse, dried) in [
            ("acetone, rinsed twice", Twice, false),
            ("acetone, not rinsed", Not, false),
            ("acetone", Not, false),
            ("acetone dried fully", Not, true),
            ("acetone wipe, dried fully", Not, true),
            ("acetone, wiped off and dried", Not, true),
            ("acetone, never dried", Not, false),
            ("acetone, not quite dry", Not, false),
            ("acetone, not fully dried", Not, false),
            ("acetone, still wet", Not, false),
            ("acetone, to be rinsed", Not, false),
            ("acetone, should be rinsed twice", Not, false),
            ("acetone, hardly rinsed", Not, false),
            ("acetone, unrinsed", Not, false),
            ("acetone rinse", Not, false),
            ("acetone, wiped", Not, false),
            ("acetone, neither rinsed nor dried", Not, false),
            ("acetone, not rinsed and dried", Not, false),
            ("acetone, rinsed twice and dried, not really", Not, false),
            ("acetone, rinsed (not)", Not, false),
            ("acetone, rinsed, rinsed", Twice, false),
            ("acetone, rinsed in water", Once, false),
            ("acetone, water rinse", Once, false),
            ("acetone, rinse", Not, false),
            ("acetone, rinsed twice with tap water", Twice, false),
            ("acetone, never rinsed with water", Not, false),
            ("acetone, neutralised", Not, false),
            ("acetone, rinsed but never neutralised", Once, false),
            ("acetone, rinsed and neutralised", Neutralised, false),
            ("acetone, rinsed twice and in bicarbonate", Neutralised, false),
            ("acetone, rinsed in baking soda", Neutralised, false),
            ("acetone, washed", Twice, false),
        ] {
            let left = &read(text)[0];
            assert_eq!((left.1, left.2), (rinse, dried), "{text}");
        }
        check(
            "liver of sulphur and baking soda bath, rinsed once",
            &[("potassium_polysulfide", Once, false), ("sodium_bicarbonate", Once, false)],
        );
    }

    #[test]
    fn nothing_is_nothing_only_when_it_stands_alone() {
        for text in ["nothing", " None ", "new and clean"] {
            assert_eq!(read_past(text, MeasureSystem::Metric).map(|p| p.len()), Ok(0), "{text}");
        }
        let found = read_past("nothing; bleach", MeasureSystem::Metric).unwrap_or_else(|e| panic!("{e}"));
        assert!(!found.is_empty());
    }

    #[test]
    fn what_cannot_be_read_is_a_fault_and_not_dropped() {
        for text in ["rinsed twice", "0,5 L bleach, rinsed", "vinegar 130 %, dried", "dish soap, 2 oz acetone"] {
            assert!(read_past(text, MeasureSystem::Metric).is_err(), "{text}");
        }
    }

    /// A name that is made of such words only would be taken for a rinse.
    #[test]
    fn no_name_is_made_of_words_about_rinsing() {
        for name in names::all() {
            assert!(!name.split(' ').all(understood), "{name}");
        }
    }
}
