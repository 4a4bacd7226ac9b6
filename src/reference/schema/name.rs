use super::{EverydayTable, SubstanceTable, Text, borrowed};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Index of all names, made by the build script from `shared/substances.yaml` and `shared/everyday.yaml`, so that the
/// program need not fold some thousand names at start.
#[derive(Debug, Serialize, Deserialize)]
#[serde(bound(deserialize = "'de: 'static"))]
pub struct NameIndex {
    /// Folded names, sorted.
    pub names: Vec<Named>,
    /// Folded words that may be dropped, sorted.
    pub qualifiers: Vec<Qualifier>,
}

/// What a folded name means.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(bound(deserialize = "'de: 'static"))]
pub struct Named {
    /// The name.
    #[serde(deserialize_with = "borrowed::text")]
    pub name: Text,
    /// Index of each substance in the table, and the usual strength in per cent by mass that the name tells.
    pub meanings: Vec<(u16, Option<[f64; 2]>)>,
    /// Whether the label must be read before the usual strength can be worked with.
    pub ask_label: bool,
}

/// A word that may be dropped from a name.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(bound(deserialize = "'de: 'static"))]
pub struct Qualifier {
    /// The word.
    #[serde(deserialize_with = "borrowed::text")]
    pub word: Text,
    /// When it may be dropped.
    pub kind: QualifierKind,
}

/// When a word may be dropped from a name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
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
    let mut names: BTreeMap<String, Named> = BTreeMap::new();
    for (i, s) in (0_u16..).zip(&table.substances) {
        for name in [&s.id, &s.name].into_iter().chain(&s.aliases).chain(&s.cas) {
            let name = fold(name).join(" ");
            let entry = Named { name: name.clone().into(), meanings: Vec::new(), ask_label: false };
            let entry = names.entry(name).or_insert(entry);
            if !entry.meanings.iter().any(|(j, _)| *j == i) {
                entry.meanings.push((i, None));
            }
        }
    }
    // A formula is a name where nothing else has it; what several have means each of them.
    let mut by_formula: BTreeMap<String, Vec<u16>> = BTreeMap::new();
    for (i, s) in (0_u16..).zip(&table.substances) {
        for formula in s.formula.iter().flat_map(|formula| formulas(formula)) {
            let name = fold(&formula).join(" ");
            if !names.contains_key(&name) {
                by_formula.entry(name).or_default().push(i);
            }
        }
    }
    for (name, holders) in by_formula {
        let meanings = holders.into_iter().map(|i| (i, None)).collect();
        names.insert(name.clone(), Named { name: name.into(), meanings, ask_label: false });
    }
    for e in &everyday.names {
        let mut meanings = Vec::new();
        for m in &e.means {
            let place = (0_u16..).zip(&table.substances).find(|(_, s)| s.id == m.id);
            let (i, _) = place.ok_or_else(|| format!("{:?} means {}, which is no substance", e.words, m.id))?;
            meanings.push((i, m.percent));
        }
        for word in &e.words {
            let name = fold(word).join(" ");
            let entry = Named { name: name.clone().into(), meanings: meanings.clone(), ask_label: e.ask_label };
            names.insert(name, entry);
        }
    }
    let q = &everyday.qualifiers;
    let kinds =
        [(&q.always, QualifierKind::Always), (&q.solid, QualifierKind::Solid), (&q.solution, QualifierKind::Solution)];
    let mut qualifiers: BTreeMap<String, QualifierKind> = BTreeMap::new();
    for (words, kind) in kinds {
        qualifiers.extend(words.iter().map(|w| (fold(w).join(" "), kind)));
    }
    Ok(NameIndex {
        names: names.into_values().collect(),
        qualifiers: qualifiers.into_iter().map(|(word, kind)| Qualifier { word: word.into(), kind }).collect(),
    })
}
