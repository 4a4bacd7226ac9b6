//! `check`: how the bath is used, from the command line and from a file.

use super::bathwright;
use serde_json::Value;
use std::path::PathBuf;

fn hazards(json: &Value) -> Vec<(String, String)> {
    let list = json["hazards"].as_array().expect("a list of hazards");
    let word = |h: &Value, key: &str| h[key].as_str().expect("a word").to_string();
    list.iter().map(|h| (word(h, "id"), word(h, "severity"))).collect()
}

fn checked(arguments: &[&str]) -> Value {
    let mut all = vec!["check", "--format", "json"];
    all.extend_from_slice(arguments);
    bathwright(&all).json()
}

fn finds(json: &Value, id: &str, severity: &str) -> bool {
    hazards(json).contains(&(id.to_string(), severity.to_string()))
}

fn file(name: &str, text: &str) -> PathBuf {
    let path = std::env::temp_dir().join(format!("bathwright-check-{}-{name}.yaml", std::process::id()));
    std::fs::write(&path, text).expect("a file in the temporary folder");
    path
}

#[test]
fn spraying_and_keeping_are_heard_on_the_command_line() {
    let peroxide = ["100 ml hydrogen peroxide 3 %", "5 g table salt"];
    let with = |more: &[&str]| checked(&[&peroxide[..], more].concat());
    assert!(!finds(&with(&[]), "spray-of-gas-making-mix", "caution"));
    for sprayed in [&["--method", "spray"][..], &["--vessel", "spray bottle"], &["--vessel", "HDPE spray bottle"]] {
        assert!(finds(&with(sprayed), "spray-of-gas-making-mix", "caution"), "{sprayed:?}");
    }
    // Whatever else is said: it is a spray bottle.
    let said = with(&["--vessel", "spray bottle", "--method", "brush"]);
    assert!(finds(&said, "mist-breathed-in", "caution"));
    assert!(finds(&with(&["--kept", "1 day"]), "bath-kept", "stop"));
    assert!(finds(&with(&["--kept", "1 day", "--vessel", "spray bottle"]), "spray-of-gas-making-mix", "stop"));
}

/// The soak in an open bowl is not a bath that was put away; bottled or left capped overnight it still is.
#[test]
fn a_bath_kept_open_or_for_minutes_is_no_bottle() {
    let vinegar = |more: &[&str]| checked(&[&["1 cup vinegar 5 %", "--part", "iron"][..], more].concat());
    for mild in
        [&["--kept", "10 min"][..], &["--kept", "1 day", "--cover", "open"], &["--kept", "1 day", "--cover", "loose"]]
    {
        let json = vinegar(mild);
        assert!(finds(&json, "bath-kept", "caution"), "{mild:?}");
        assert_eq!(json["verdict"], "warn", "{mild:?}");
    }
    for grave in [&["--kept", "12 h"][..], &["--kept", "10 min", "--cover", "sealed"]] {
        assert!(finds(&vinegar(grave), "bath-kept", "stop"), "{grave:?}");
    }
    let assumed = &vinegar(&["--kept", "12 h"])["assumed"]["cover"];
    assert_eq!(assumed, "capped while it is kept");
}

#[test]
fn a_method_or_time_that_is_none_is_bad_input() {
    for (more, named) in [(["--method", "dip"], "immersion"), (["--kept", "soon"], "--kept")] {
        let ran = bathwright(&[&["check", "1 L water"][..], &more].concat());
        assert_eq!(ran.code, 2, "{more:?}");
        assert!(ran.err.contains(named), "{}", ran.err);
    }
}

#[test]
fn a_file_says_the_same() {
    let at = file("keys", "ingredients: [100 ml hydrogen peroxide 3 %]\nmethod: spray\nkept: 1 day\n");
    let json = checked(&["--file", at.to_str().expect("a path")]);
    assert!(finds(&json, "bath-kept", "stop") && finds(&json, "spray-of-gas-making-mix", "stop"));
}

#[test]
fn every_way_to_write_yes_is_out_of_doors() {
    for (word, outdoors) in
        [("true", true), ("True", true), ("TRUE", true), ("yes", true), ("Yes", true), ("no", false)]
    {
        let at = file(word, &format!("ingredients: [1 L ammonia 10 %]\noutdoors: {word}\n"));
        let json = checked(&["--file", at.to_str().expect("a path")]);
        let inside = json["assumed"]["room"].is_string();
        assert_eq!(inside, !outdoors, "{word}: {}", json["assumed"]);
    }
}

/// An amount that was not said is asked for, and what would be fine is not called so; water needs none.
#[test]
fn an_amount_not_said_is_asked_for() {
    for line in ["some vinegar 5 %", "vinegar 5 %"] {
        let json = checked(&[line]);
        assert_eq!(json["verdict"], "unknown", "{line}");
        let open = json["not_judged"].as_array().expect("a list");
        assert!(open.iter().any(|l| l.as_str().is_some_and(|l| l.starts_with("how much is"))), "{line}: {open:?}");
    }
    assert_eq!(checked(&["100 ml vinegar 5 %", "water"])["verdict"], "fine");
    assert!(finds(&checked(&["vinegar 5 %", "bleach 5 %"]), "hypochlorite-with-acid", "stop"));
}

/// "2 tea bags" is no amount that anything can be worked out from: it is asked for, and the verdict is never fine.
#[test]
fn a_count_of_things_is_an_amount_not_known() {
    let json = checked(&["1 L water", "2 tea bags"]);
    assert_eq!(json["verdict"], "unknown");
    let open = json["not_judged"].as_array().expect("a list");
    assert!(
        open.iter().any(|line| line.as_str().is_some_and(|l| l.contains("how much is \"2 tea bags\"?"))),
        "{open:?}"
    );
    assert!(finds(&checked(&["2 bleach", "1 cup white vinegar 5 %"]), "hypochlorite-with-acid", "stop"));
    // A unit that was mistyped is still a mistake to mend, and no amount leaves `mix`.
    assert_eq!(bathwright(&["check", "2 cpus vinegar 5 %"]).code, 2);
    assert_eq!(bathwright(&["mix", "1 L water", "2 tea bags"]).code, 2);
}
