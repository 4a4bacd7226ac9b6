//! Poisons and explosives that have no business at a bench, by number, formula or name; and what looks like a formula.

use super::names::fold;
use super::schema::Forbidden;
use super::{Substance, incompatible, substance};

/// What a name that is not known stands for, if it is a poison or an explosive.
#[derive(Debug, Clone, Copy)]
pub struct Poison {
    /// What it is, in a word or two ("a cyanide").
    pub kind: &'static str,
    /// What it is judged as besides.
    pub substance: Option<&'static Substance>,
}

/// The poison or explosive that a name holds: an entry of the list, whole words; or a word or a group in a formula that alone
/// is enough.
pub fn poison(name: &str) -> Option<Poison> {
    let table = incompatible();
    let of = |entry: &'static Forbidden| Poison {
        kind: entry.kind.as_ref(),
        substance: entry.judged_as.as_deref().and_then(substance),
    };
    let words = fold(name);
    let listed = |entry: &&Forbidden| {
        entry.names.iter().any(|known| {
            let known = fold(known);
            words.windows(known.len().max(1)).any(|window| window == known)
        })
    };
    if let Some(entry) = table.forbidden.iter().find(listed) {
        return Some(of(entry));
    }
    let formulas = || name.split(|c: char| c.is_whitespace() || ",;·*".contains(c)).filter_map(elements);
    let grouped = |entry: &&Forbidden| formulas().any(|formula| entry.groups.iter().any(|g| holds(&formula, g)));
    if let Some(entry) = table.forbidden.iter().find(grouped) {
        return Some(of(entry));
    }
    let lower = name.to_lowercase();
    let word = table.forbidden_words.iter().any(|word| lower.contains(word.as_ref()));
    word.then_some(Poison { kind: "by its name a poison or an explosive", substance: None })
}

/// Whether this group of atoms stands in the formula, side by side: "N3" means three of them, a bare element any number.
fn holds(formula: &[(&str, u32)], group: &str) -> bool {
    let Some(group) = elements(group) else { return false };
    if let [(symbol, 1)] = group.as_slice() {
        return formula.len() > 1 && formula.iter().any(|(other, _)| other == symbol);
    }
    let has = |symbol: &str| formula.iter().any(|(other, _)| *other == symbol);
    // A triazole is no azide, a nitrile no cyanide; nor is a thiocyanate or a cyanate.
    let other = |at: usize| matches!(at.checked_sub(1).and_then(|i| formula.get(i)), Some(("S" | "O", 1)));
    !(has("C") && has("H"))
        && formula
            .windows(group.len())
            .enumerate()
            .any(|(at, window)| window == group && !(group[0].0 == "C" && other(at)))
}

/// The elements of a formula with their counts, in its order, brackets left out; nothing where it is none.
fn elements(text: &str) -> Option<Vec<(&str, u32)>> {
    let mut found: Vec<(&str, u32)> = Vec::new();
    let mut rest = text.trim_matches(|c: char| c == '.' || c == ':');
    while let Some(first) = rest.chars().next() {
        if "()[]{}".contains(first) || (first.is_ascii_digit() && !found.is_empty()) {
            // The count of a bracket is left out: it tells nothing of what is in it.
            rest = &rest[1..];
            continue;
        }
        let two = rest.get(..2).filter(|two| ELEMENTS.contains(two));
        let symbol = two.or_else(|| rest.get(..1).filter(|one| ELEMENTS.contains(one)))?;
        rest = &rest[symbol.len()..];
        let digits = rest.len() - rest.trim_start_matches(|c: char| c.is_ascii_digit()).len();
        found.push((symbol, rest[..digits].parse().unwrap_or(1)));
        rest = &rest[digits..];
    }
    (!found.is_empty()).then_some(found)
}

/// Whether a name is a number or a formula, of which a slip is something else altogether.
pub(super) fn is_formula_or_number(name: &str) -> bool {
    name.chars().any(|c| c.is_ascii_digit()) || elements(name.trim()).is_some_and(|found| found.len() > 1)
}

/// The elements that stand in the formulas of chemicals one can buy (IUPAC symbols).
#[rustfmt::skip]
const ELEMENTS: [&str; 84] = [
    "H", "He", "Li", "Be", "B", "C", "N", "O", "F", "Ne", "Na", "Mg", "Al", "Si", "P", "S", "Cl", "Ar", "K", "Ca", "Sc",
    "Ti", "V", "Cr", "Mn", "Fe", "Co", "Ni", "Cu", "Zn", "Ga", "Ge", "As", "Se", "Br", "Kr", "Rb", "Sr", "Y", "Zr", "Nb",
    "Mo", "Ru", "Rh", "Pd", "Ag", "Cd", "In", "Sn", "Sb", "Te", "I", "Xe", "Cs", "Ba", "La", "Ce", "Pr", "Nd", "Sm", "Eu",
    "Gd", "Tb", "Dy", "Ho", "Er", "Tm", "Yb", "Lu", "Hf", "Ta", "W", "Re", "Os", "Ir", "Pt", "Au", "Hg", "Tl", "Pb", "Bi",
    "Th", "U", "Ra",
];

#[cfg(test)]
mod tests {
    use super::*;

    fn kind(name: &str) -> Option<&'static str> {
        poison(name).map(|p| p.kind)
    }

    #[test]
    fn numbers_formulas_and_old_names_are_known_for_what_they_are() {
        for (name, is) in [
            ("prussic acid", "a cyanide"),
            ("506-61-6", "a cyanide"),
            ("CAS 544-92-3", "a cyanide"),
            ("CuCN", "a cyanide"),
            ("Zn(CN)2", "a cyanide"),
            ("NaN3", "an azide"),
            ("26628-22-8", "an azide"),
            ("Hg(NO3)2", "a mercury compound"),
            ("Hg(NO3)2·H2O", "a mercury compound"),
            ("KClO4", "a perchlorate"),
            ("7601-90-3", "a perchlorate"),
            ("88-89-1", "a picrate"),
            ("TATP", "an explosive"),
            ("phosgene gas", "a poison gas"),
            ("osmium tetroxide", "a deadly poison"),
            ("CdSO4", "a cadmium compound"),
            ("Pb(NO3)2", "a lead compound"),
            ("red lead", "a lead compound"),
            ("Na2CrO4", "a chromate"),
        ] {
            assert_eq!(kind(name), Some(is), "{name}");
        }
        for name in [
            "NaCl",
            "KSCN",
            "C6H5N3",
            "CH3CN",
            "CaCN2",
            "As",
            "Ca(NO3)2",
            "NaClO3",
            "(NH4)2SO4",
            "Cu(NO3)2",
            "143-33-8",
            "vinegr",
            "AgNO3",
            "KOCN",
        ] {
            assert_eq!(kind(name), None, "{name}");
        }
        assert_eq!(poison("AuCN").and_then(|p| p.substance).map(|s| s.id.as_ref()), Some("cyanide_salts"));
    }

    /// The last figure of a CAS number checks the others: their sum, each times its place from the right, modulo ten
    /// (Chemical Abstracts Service, recalled).
    #[test]
    fn every_number_has_its_check_figure() {
        let entries = incompatible().forbidden.iter().flat_map(|e| &e.names);
        let mut seen = 0;
        for name in entries.filter(|n| n.chars().all(|c| c.is_ascii_digit() || c == '-')) {
            let digits: Vec<u32> = name.chars().rev().filter_map(|c| c.to_digit(10)).collect();
            let sum: u32 = (1..).zip(&digits[1..]).map(|(place, digit)| place * digit).sum();
            assert_eq!(sum % 10, digits[0], "{name}");
            seen += 1;
        }
        assert!(seen > 40);
        for entry in &incompatible().forbidden {
            assert!(entry.judged_as.as_deref().is_none_or(|id| substance(id).is_some()), "{}", entry.kind);
        }
    }
}
