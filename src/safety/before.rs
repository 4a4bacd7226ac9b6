//! What part or vessel was in contact with before, and what the words say about how it was taken off.

use super::facts::{Before, Rinse};
use crate::reference::{Ingredient, resolve};

/// The ingredient without the words about rinsing, and what those words say.
pub fn read(before: &Ingredient) -> (Ingredient, Before) {
    let text = before.line.text.to_lowercase();
    let left = Before { rinse: rinse(&text), dried: dried(&text) };
    if !before.meanings.is_empty() {
        return (before.clone(), left);
    }
    let mut line = before.line.clone();
    line.name = without_rinse(&line.name);
    (resolve(line), left)
}

const RINSED: [&str; 5] = ["rinsed", "rinse", "washed", "flushed", "wiped"];

fn rinse(text: &str) -> Rinse {
    let denied = ["not rinsed", "unrinsed", "no rinse", "not washed", "unwashed", "without rinse"];
    if denied.iter().any(|d| text.contains(d)) {
        return Rinse::None;
    }
    let rinsed = RINSED.iter().any(|w| text.contains(w));
    if rinsed && ["neutralis", "neutraliz", "bicarbonate", "baking soda", "soda rinse"].iter().any(|w| text.contains(w))
    {
        return Rinse::Neutralised;
    }
    let well = ["twice", "two times", "three times", "thoroughly", "2 x", "2x", "3x", "3 x", "several times", "washed"];
    match rinsed {
        true if well.iter().any(|w| text.contains(w)) => Rinse::Twice,
        true => Rinse::Once,
        false => Rinse::None,
    }
}

fn dried(text: &str) -> bool {
    let denied = ["not dr", "not fully dr", "undried", "still wet", "not yet dr"];
    !denied.iter().any(|d| text.contains(d))
        && ["dried", "dry"].iter().any(|w| text.split(|c: char| !c.is_alphabetic()).any(|t| t == *w))
}

/// The name up to the first word that speaks of rinsing or drying.
fn without_rinse(name: &str) -> String {
    let stop = [
        "not",
        "un",
        "then",
        "and",
        "fully",
        "twice",
        "dried",
        "dry",
        "wipe",
        "once",
        "no",
        "well",
        "thoroughly",
        "allowed",
        "left",
    ];
    let mut kept = Vec::new();
    for word in name.split_whitespace() {
        let plain: String =
            word.chars().filter(|c| c.is_alphanumeric() || *c == '-').collect::<String>().to_lowercase();
        if stop.contains(&plain.as_str()) || RINSED.iter().any(|r| plain.starts_with(r)) || plain == "unrinsed" {
            break;
        }
        kept.push(word);
        if word.ends_with([',', ';', ':']) {
            break;
        }
    }
    kept.join(" ").trim_end_matches([',', ';', ':']).to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_about_rinsing_are_read_and_taken_off() {
        assert_eq!(rinse("acetone, rinsed twice"), Rinse::Twice);
        assert_eq!(rinse("acetone, not rinsed"), Rinse::None);
        assert_eq!(rinse("liver of sulphur, rinsed twice and in bicarbonate"), Rinse::Neutralised);
        assert_eq!(rinse("ammonia"), Rinse::None);
        assert!(dried("isopropanol wipe, dried fully"));
        assert!(!dried("isopropanol, not dried"));
        assert_eq!(without_rinse("liver of sulphur, rinsed twice"), "liver of sulphur");
        assert_eq!(without_rinse("acetone dried fully"), "acetone");
    }
}
