//! From a classification to the label: signal word, pictograms, H and P statements, each with its precedence.
//!
//! Source: Regulation (EC) 1272/2008 Art. 20, 26, 27 and 28 and Annex III; 29 CFR 1910.1200 Appendix C.2.

use super::classify::{Class, Classification};
use super::{Label, Statement};
use crate::reference::{HazardKind, label_elements, precautions, statement_text, statements};

/// P statements on a label: the standard asks for about six; two more leave room for the advice to the public.
const MOST_PRECAUTIONS: usize = 8;

/// The label of a bath; `None` when there is nothing to put on one.
pub fn label(found: &Classification) -> Option<Label> {
    if found.classes.is_empty() && found.supplemental.is_empty() {
        return None;
    }
    let mut not_classified: Vec<String> = found.not_classified.iter().chain(&found.likely).cloned().collect();
    if let Some(unknown) = found.unknown_toxicity_percent {
        // CLP Annex I 3.1.3.6.2.2 asks for a statement of this kind.
        not_classified.push(format!("up to {unknown:.0} % of the bath are ingredients of unknown acute toxicity"));
    }
    Some(Label {
        signal_word: signal_word(&found.classes),
        pictograms: pictograms(&found.classes),
        classes: found.classes.iter().map(Class::title).collect(),
        h: hazard_statements(found),
        p: precautionary_statements(&found.classes),
        not_classified,
    })
}

/// One signal word: Danger outranks Warning (CLP Art. 20).
fn signal_word(classes: &[Class]) -> Option<String> {
    let words = classes.iter().filter_map(|c| label_elements(c.kind, &c.cat, c.route)?.signal.as_deref());
    words.min().map(str::to_string)
}

/// The pictograms left after precedence (CLP Art. 26): GHS06 drops GHS07; GHS05 drops GHS07 for skin and eyes; GHS08
/// for a sensitiser of the airways drops GHS07 for skin sensitisers, skin and eyes.
fn pictograms(classes: &[Class]) -> Vec<String> {
    let of = |c: &Class| label_elements(c.kind, &c.cat, c.route).and_then(|l| l.pictogram.as_deref());
    let shown = |p: &str| classes.iter().any(|c| of(c) == Some(p));
    let asthma = classes.iter().any(|c| c.kind == HazardKind::RespiratorySensitiser);
    let mut left: Vec<&str> = classes
        .iter()
        .filter(|c| {
            let skin_or_eye = matches!(c.kind, HazardKind::SkinIrritation | HazardKind::EyeIrritation);
            let dropped = shown("GHS06")
                || (shown("GHS05") && skin_or_eye)
                || (asthma && (skin_or_eye || c.kind == HazardKind::SkinSensitiser));
            of(c) != Some("GHS07") || !dropped
        })
        .filter_map(of)
        .collect();
    left.sort_unstable();
    left.dedup();
    left.into_iter().map(str::to_string).collect()
}

fn statement(code: &str) -> Statement {
    Statement { code: code.to_string(), text: statement_text(code).unwrap_or_default().to_string() }
}

/// H statements, each once, then EUH statements. H314 makes H318 unnecessary (CLP Annex I 3.3.4), H410 covers H400,
/// and EUH071 makes H335 unnecessary. H400 stays beside H411 and H412: a choice of this project.
fn hazard_statements(found: &Classification) -> Vec<Statement> {
    let codes = found.h_codes();
    let has = |code: &str| codes.contains(&code);
    let respiratory = found.supplemental.iter().any(|(code, _)| code == "EUH071");
    let mut shown: Vec<Statement> = codes
        .iter()
        .filter(|code| match **code {
            "H318" => !has("H314"),
            "H400" => !has("H410"),
            "H335" => !respiratory,
            _ => true,
        })
        .map(|code| statement(code))
        .collect();
    let supplemental = found.supplemental.iter();
    shown.extend(supplemental.map(|(code, text)| Statement { code: code.clone(), text: text.clone() }));
    shown
}

/// The P statements that win a place: those the classes ask for, without what a stricter one covers, in the order of
/// the table, and always those for the public.
fn precautionary_statements(classes: &[Class]) -> Vec<Statement> {
    let table = statements();
    let mut wanted: Vec<&str> = classes
        .iter()
        .filter_map(|c| precautions(c.kind, &c.cat, c.route))
        .flat_map(|choice| choice.p.iter().map(|p| p.as_ref()))
        .collect();
    if !classes.is_empty() {
        wanted.extend(table.always.iter().map(|p| p.as_ref()));
    }
    let covered = |code: &str| {
        table.covers.iter().any(|c| wanted.contains(&c.code.as_ref()) && c.covers.iter().any(|x| x == code))
    };
    let mut kept: Vec<&str> =
        table.priority.iter().map(|p| p.as_ref()).filter(|p| wanted.contains(p) && !covered(p)).collect();
    let always = |p: &&str| table.always.iter().any(|a| a == *p);
    while kept.len() > MOST_PRECAUTIONS {
        let Some(last) = kept.iter().rposition(|p| !always(p)) else { break };
        kept.remove(last);
    }
    kept.sort_unstable();
    kept.into_iter().map(statement).collect()
}

/// The lines of a jar label: what it is, signal word, pictograms in words, statements, and room for the dates.
///
/// A bath left overnight is not for immediate use and needs a label (29 CFR 1910.1200 (f)(6) to (f)(8)); the dates are
/// good practice, no source.
pub fn jar_label(title: &str, contents: &[String], label: Option<&Label>) -> Vec<String> {
    let mut lines = vec![title.to_string()];
    if !contents.is_empty() {
        lines.push(contents.join("; "));
    }
    if let Some(label) = label {
        lines.extend(label.signal_word.iter().map(|w| w.to_uppercase()));
        let pictures: Vec<&str> = label.pictograms.iter().map(|p| pictogram_name(p)).collect();
        if !pictures.is_empty() {
            lines.push(format!("Pictograms: {}", pictures.join(", ")));
        }
        lines.extend(label.h.iter().chain(&label.p).map(|s| s.text.clone()));
        lines.extend(label.not_classified.iter().map(|n| format!("Not classified: {n}")));
    }
    lines.push("Made on: ____  Discard on: ____  By: ____".to_string());
    lines
}

/// The name of a pictogram (UN GHS Annex 1).
pub fn pictogram_name(code: &str) -> &str {
    match code {
        "GHS01" => "exploding bomb",
        "GHS02" => "flame",
        "GHS03" => "flame over circle",
        "GHS04" => "gas cylinder",
        "GHS05" => "corrosion",
        "GHS06" => "skull and crossbones",
        "GHS07" => "exclamation mark",
        "GHS08" => "health hazard",
        "GHS09" => "environment",
        other => other,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::amount::Span;
    use crate::reference::substance;
    use crate::safety::classify::{Component, Unlisted, classify};

    fn of(parts: &[(&str, f64)]) -> Option<Label> {
        let components: Vec<Component> = parts
            .iter()
            .map(|(id, percent)| Component { substance: substance(id).unwrap(), percent: Span::one(*percent) })
            .collect();
        label(&classify(&components, &[], None))
    }

    fn codes(statements: &[Statement]) -> Vec<&str> {
        statements.iter().map(|s| s.code.as_str()).collect()
    }

    #[test]
    fn a_bath_below_every_limit_has_no_label() {
        assert!(of(&[("acetic_acid", 2.5), ("hydrogen_peroxide", 1.5), ("sodium_chloride", 5.0)]).is_none());
        // The same two irritants undiluted would add up to one: 5/10 + 3/5.
        assert!(of(&[("acetic_acid", 5.0), ("hydrogen_peroxide", 3.0)]).is_some());
    }

    #[test]
    fn a_corrosive_label_drops_what_it_covers() {
        let label = of(&[("acetic_acid", 30.0)]).unwrap();
        assert_eq!(label.signal_word.as_deref(), Some("Danger"));
        assert_eq!(label.pictograms, ["GHS05"]);
        assert_eq!(codes(&label.h), ["H314"]);
        assert!(label.p.len() <= MOST_PRECAUTIONS);
        for p in ["P102", "P280", "P301+P330+P331", "P305+P351+P338", "P310", "P501"] {
            assert!(codes(&label.p).contains(&p), "{p}");
        }
    }

    #[test]
    fn the_exclamation_mark_stays_for_what_corrosion_does_not_cover() {
        let label = of(&[("hydrochloric_acid", 25.0)]).unwrap();
        assert_eq!(label.pictograms, ["GHS05", "GHS07"]);
        let label = of(&[("copper_sulfate_pentahydrate", 3.0)]).unwrap();
        assert_eq!(label.pictograms, ["GHS05", "GHS09"]);
        assert_eq!(codes(&label.h), ["H318", "H400", "H411"]);
    }

    #[test]
    fn statements_have_texts_without_gaps() {
        let label = of(&[("hydrogen_peroxide", 35.0), ("isopropanol", 30.0)]).unwrap();
        for s in label.h.iter().chain(&label.p) {
            assert!(!s.text.is_empty() && !s.text.contains("..."), "{s:?}");
        }
    }

    /// What needs a test is told as likely and left out of the H statements; CLP Annex I 3.1.3.6.2.2 for the unknown.
    #[test]
    fn what_only_a_test_decides_and_what_is_unknown_stand_beside_the_classes() {
        let acid = [Component { substance: substance("hydrochloric_acid").unwrap(), percent: Span::one(12.0) }];
        let unknown = [Unlisted { name: "Sparkle-O-Matic".into(), percent: Some(Span::one(25.0)) }];
        let label = label(&classify(&acid, &unknown, None)).unwrap();
        assert!(label.not_classified.iter().any(|n| n.starts_with("H290")), "{:?}", label.not_classified);
        assert!(!codes(&label.h).contains(&"H290"));
        assert!(label.not_classified.iter().any(|n| n.contains("25 %") && n.contains("unknown acute toxicity")));
    }

    #[test]
    fn the_jar_says_what_is_in_it_and_when_it_was_made() {
        let lines = jar_label("Kitchen rust", &["acetic acid 30 %".into()], of(&[("acetic_acid", 30.0)]).as_ref());
        assert_eq!(lines[0], "Kitchen rust");
        assert!(lines.contains(&"DANGER".to_string()));
        assert!(lines.last().unwrap().starts_with("Made on"));
    }
}
