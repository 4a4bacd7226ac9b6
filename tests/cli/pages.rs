//! Pages that need no mixture: help, schemas, completions, manual.

use super::{bathwright, bathwright_in, data};

#[test]
fn the_writing_page_shows_every_form() {
    let ran = bathwright(&["help", "writing"]);
    assert_eq!(ran.code, 0);
    insta::assert_snapshot!("help_writing", ran.out);
}

#[test]
fn help_names_the_exit_codes() {
    let ran = bathwright(&["--help"]);
    assert_eq!(ran.code, 0);
    assert!(ran.out.contains("3 refused as unsafe"), "{}", ran.out);
}

#[test]
fn schemas_are_json_schema() {
    for kind in ["recipe", "order", "bench"] {
        let json = bathwright(&["schema", kind]).json();
        assert!(json["$schema"].as_str().is_some_and(|s| s.contains("2020-12")), "{kind}");
    }
}

#[test]
fn completions_and_manual_are_made() {
    for shell in ["bash", "zsh", "fish"] {
        assert!(bathwright(&["completions", shell]).out.contains("bathwright"));
    }
    assert!(bathwright(&["man"]).out.contains(".TH"));
}

#[test]
fn the_rule_table_of_the_safety_page_is_current() {
    let path = data().join("../../SAFETY.md");
    let page = std::fs::read_to_string(&path).expect("SAFETY.md is there");
    let (start, end) = ("<!-- rules: generated, see DEVELOPERS.md -->", "<!-- end of rules -->");
    let (head, rest) = page.split_once(start).expect("the table's first mark");
    let (_, tail) = rest.split_once(end).expect("the table's last mark");
    let fresh = format!("{head}{start}\n{}\n{end}{tail}", bathwright::safety::rule_table_markdown().trim_end());
    if std::env::var_os("UPDATE_SAFETY").is_some() {
        std::fs::write(&path, &fresh).expect("SAFETY.md can be written");
    } else {
        assert_eq!(page, fresh, "the table is stale: UPDATE_SAFETY=1 cargo test safety_page");
    }
}

#[test]
fn every_command_line_of_the_readme_runs_and_gives_what_stands_below_it() {
    let readme = std::fs::read_to_string(data().join("../../README.md")).expect("README.md is there");
    let (mut ran, mut compared) = (0, 0);
    let mut lines = readme.lines().peekable();
    while let Some(line) = lines.next() {
        let Some(rest) = line.strip_prefix("    bathwright ") else { continue };
        let mut arguments = words(rest);
        let shown: Vec<&str> = std::iter::from_fn(|| {
            lines.next_if(|l| l.is_empty() || (l.starts_with("    ") && !l.starts_with("    bathwright ")))
        })
        .map(|l| l.strip_prefix("    ").unwrap_or(l))
        .filter(|l| !l.trim().is_empty() && *l != "...")
        .collect();
        if !shown.is_empty() {
            arguments.extend(["--width".to_string(), "80".to_string()]);
        }
        let result = bathwright_in(&data().join("../.."), &arguments.iter().map(String::as_str).collect::<Vec<_>>());
        assert!(matches!(result.code, 0 | 3), "{line}\n{}\n{}", result.out, result.err);
        // In the same order; what was cut out may stand between.
        let mut real = result.out.lines().map(str::trim_end);
        for expected in shown {
            assert!(real.any(|l| l == expected), "`{line}` does not print, or not there:\n{expected}");
            compared += 1;
        }
        ran += 1;
    }
    assert!(ran >= 3 && compared >= 60, "the README shows the program at work");
}

/// Splits a command line at spaces outside double quotes.
fn words(line: &str) -> Vec<String> {
    let mut words = Vec::new();
    let mut word = String::new();
    let mut quoted = false;
    for c in line.chars() {
        match c {
            '"' => quoted = !quoted,
            ' ' if !quoted => {
                if !word.is_empty() {
                    words.push(std::mem::take(&mut word));
                }
            }
            c => word.push(c),
        }
    }
    if !word.is_empty() {
        words.push(word);
    }
    words
}
