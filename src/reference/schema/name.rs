use super::{EverydayTable, List, SubstanceTable, Text};
use databake::Bake;
use serde::Deserialize;
use std::collections::BTreeMap;

/// Index of all names, made by the build script from `shared/substances.yaml` and `shared/everyday.yaml`, so that the
/// program need not fold some thousand names at start.
#[derive(Debug, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
pub struct NameIndex {
    /// Folded names, sorted.
    pub names: List<Named>,
    /// Folded words that may be dropped, sorted.
    pub qualifiers: List<Qualifier>,
}

/// Index of a substance, and the usual strength in per cent by mass.
pub type Means = (u16, Option<[f64; 2]>);

/// What a folded name means.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
pub struct Named {
    /// The name.
    pub name: Text,
    /// Index of each substance in the table, and the usual strength in per cent by mass that the name tells.
    pub meanings: List<Means>,
    /// Whether the label must be read before the usual strength can be worked with.
    pub ask_label: bool,
}

/// A word that may be dropped from a name.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
pub struct Qualifier {
    /// The word.
    pub word: Text,
    /// When it may be dropped.
    pub kind: QualifierKind,
}

/// When a word may be dropped from a name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
pub enum QualifierKind {
    /// From any name.
    Always,
    /// When the substance is a solid that is not a metal.
    Solid,
    /// From what can be dissolved; then the strength is open.
    Solution,
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
pub fn fold(name: &str) -> Vec<String> {
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

/// A formula as a name, and without its water of crystallisation; one or two letters are none.
fn formulas(formula: &str) -> Vec<String> {
    let water = |tail: &str| tail.trim_start_matches(|c: char| c.is_ascii_digit()) == "H2O";
    let dry = formula.split_once('.').filter(|(_, tail)| water(tail)).map(|(dry, _)| dry);
    let long = |name: &&str| name.len() > 2;
    [Some(formula), dry].into_iter().flatten().filter(long).map(str::to_string).collect()
}

/// Makes the index: names of substances first, then everyday names, which take their place.
///
/// # Errors
/// An everyday name that points at no substance.
pub fn index(table: &SubstanceTable, everyday: &EverydayTable) -> Result<NameIndex, String> {
    let mut names: BTreeMap<String, (Vec<Means>, bool)> = BTreeMap::new();
    for (i, s) in (0_u16..).zip(&table.substances) {
        for name in [&s.id, &s.name].into_iter().chain(&s.aliases).chain(&s.cas) {
            let (meanings, _) = names.entry(fold(name).join(" ")).or_default();
            if !meanings.iter().any(|(j, _)| *j == i) {
                meanings.push((i, None));
            }
        }
    }
    // A formula is a name where nothing else has it; what several have means each of them.
    let mut by_formula: BTreeMap<String, Vec<Means>> = BTreeMap::new();
    for (i, s) in (0_u16..).zip(&table.substances) {
        for formula in s.formula.iter().flat_map(|formula| formulas(formula)) {
            let name = fold(&formula).join(" ");
            if !names.contains_key(&name) {
                by_formula.entry(name).or_default().push((i, None));
            }
        }
    }
    names.extend(by_formula.into_iter().map(|(name, meanings)| (name, (meanings, false))));
    for e in &everyday.names {
        let mut meanings = Vec::new();
        for m in &e.means {
            let place = (0_u16..).zip(&table.substances).find(|(_, s)| s.id == m.id);
            let (i, _) = place.ok_or_else(|| format!("{:?} means {}, which is no substance", e.words, m.id))?;
            meanings.push((i, m.percent));
        }
        names.extend(e.words.iter().map(|word| (fold(word).join(" "), (meanings.clone(), e.ask_label))));
    }
    let q = &everyday.qualifiers;
    let kinds =
        [(&q.always, QualifierKind::Always), (&q.solid, QualifierKind::Solid), (&q.solution, QualifierKind::Solution)];
    let mut qualifiers: BTreeMap<String, QualifierKind> = BTreeMap::new();
    for (words, kind) in kinds {
        qualifiers.extend(words.iter().map(|w| (fold(w).join(" "), kind)));
    }
    Ok(NameIndex {
        names: names
            .into_iter()
            .map(|(name, (meanings, ask_label))| Named { name: name.into(), meanings: meanings.into(), ask_label })
            .collect(),
        qualifiers: qualifiers.into_iter().map(|(word, kind)| Qualifier { word: word.into(), kind }).collect(),
    })
}
