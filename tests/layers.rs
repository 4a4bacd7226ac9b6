//! The rooms use only what they may: the table in DEVELOPERS.md, held against the `use crate::` lines.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// Room, and the rooms it may use. `diag` may be used by all.
const MAY_USE: &[(&str, &[&str])] = &[
    ("diag", &[]),
    ("amount", &[]),
    ("reference", &["amount"]),
    ("recipe", &["amount", "reference"]),
    ("part", &["amount", "reference"]),
    ("vessel", &["amount", "reference"]),
    ("order", &["amount", "reference", "recipe", "part", "vessel"]),
    ("immersion", &["amount", "reference", "part", "vessel", "order"]),
    ("bath", &["amount", "reference", "recipe", "order"]),
    ("safety", &["amount", "reference", "bath"]),
    ("finishing", &["amount", "reference", "part", "vessel"]),
    ("timetable", &["amount", "reference", "recipe", "part", "bath", "immersion", "finishing"]),
];

fn files(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).expect("a folder of src") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            files(&path, found);
        } else if path.extension().is_some_and(|e| e == "rs") {
            found.push(path);
        }
    }
}

/// Rooms named after `crate::` in code; tests at the foot of a file may use anything.
fn used(text: &str) -> BTreeSet<String> {
    let code = text.split("#[cfg(test)]\nmod ").next().unwrap_or_default();
    let mut rooms = BTreeSet::new();
    for line in code.lines().filter(|l| !l.trim_start().starts_with("//")) {
        for rest in line.split("crate::").skip(1) {
            if let Some(inside) = rest.strip_prefix('{') {
                rooms.extend(inside.split(',').map(|p| p.trim().split("::").next().unwrap_or_default().to_string()));
            } else {
                rooms.insert(rest.split(|c: char| !c.is_alphanumeric() && c != '_').next().unwrap_or_default().into());
            }
        }
    }
    rooms
}

#[test]
fn rooms_use_only_what_they_may() {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut breaches = Vec::new();
    for (room, may) in MAY_USE {
        let mut all = Vec::new();
        if source.join(room).is_dir() {
            files(&source.join(room), &mut all);
        } else {
            all.push(source.join(format!("{room}.rs")));
        }
        all.sort();
        for file in all {
            let name = file.file_name().unwrap_or_default().to_string_lossy().into_owned();
            if name == "tests.rs" || name == "fixture.rs" {
                continue;
            }
            let text = std::fs::read_to_string(&file).expect("a source file");
            for other in used(&text) {
                let known =
                    MAY_USE.iter().any(|(r, _)| *r == other) || ["plan", "sheet", "command"].contains(&other.as_str());
                if known && other != *room && other != "diag" && !may.contains(&other.as_str()) {
                    let shown = file.strip_prefix(&source).unwrap_or(&file).display().to_string();
                    breaches.push(format!("{shown} uses {other}"));
                }
            }
        }
    }
    assert!(breaches.is_empty(), "{}", breaches.join("\n"));
}

#[test]
fn only_command_prints_and_reads_files() {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut all = Vec::new();
    files(&source, &mut all);
    let mut breaches = Vec::new();
    for file in all {
        let shown = file.strip_prefix(&source).unwrap_or(&file).display().to_string();
        if shown.starts_with("command") || shown == "build.rs" || shown == "main.rs" {
            continue;
        }
        let text = std::fs::read_to_string(&file).expect("a source file");
        let code = text.split("#[cfg(test)]\nmod ").next().unwrap_or_default();
        for word in
            ["println!", "eprintln!", "print!(", "std::fs::", "Timestamp::now", "SystemTime::now", "Instant::now"]
        {
            if code.lines().any(|l| l.contains(word) && !l.trim_start().starts_with("//")) {
                breaches.push(format!("{shown} has {word}"));
            }
        }
    }
    assert!(breaches.is_empty(), "{}", breaches.join("\n"));
}
