//! The rooms use only what they may: the table in DEVELOPERS.md, held against the `use crate::` lines.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// Room, and the rooms it may use, as the table in DEVELOPERS.md has it.
fn may_use() -> Vec<(String, BTreeSet<String>)> {
    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("DEVELOPERS.md");
    let page = std::fs::read_to_string(page).expect("DEVELOPERS.md");
    let mut rooms: Vec<(String, BTreeSet<String>)> = Vec::new();
    for line in page.lines().filter(|l| l.starts_with("| `src/")) {
        let cells: Vec<&str> = line.trim_matches('|').split(" | ").map(str::trim).collect();
        let [room, _, may] = cells.as_slice() else { panic!("not three cells: {line}") };
        let room = room.trim_matches('`').trim_start_matches("src/").trim_end_matches('/').trim_end_matches(".rs");
        // `main` and `command` stand at the top: everything below is theirs to use, and nothing may use them.
        if room == "main" || room == "command" {
            continue;
        }
        let may = match *may {
            "every room above" => rooms.iter().map(|(r, _)| r.clone()).collect(),
            may if may.starts_with('-') => BTreeSet::new(),
            may => may.split(", ").map(str::to_string).collect(),
        };
        for other in &may {
            assert!(rooms.iter().any(|(r, _)| r == other), "{room} may use `{other}`, which is no room above it");
        }
        rooms.push((room.to_string(), may));
    }
    rooms
}

/// Rooms that the table opens to all.
fn open_to_all() -> BTreeSet<String> {
    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("DEVELOPERS.md");
    let page = std::fs::read_to_string(page).expect("DEVELOPERS.md");
    let rows = page.lines().filter(|l| l.starts_with("| `src/") && l.contains("all may use it"));
    rows.filter_map(|l| Some(l.strip_prefix("| `src/")?.split(".rs`").next()?.to_string())).collect()
}

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
    let (rooms, open) = (may_use(), open_to_all());
    for entry in std::fs::read_dir(&source).expect("src").map(|e| e.expect("an entry").path()) {
        let room = entry.file_stem().unwrap_or_default().to_string_lossy().into_owned();
        let named =
            ["main", "lib", "build", "command"].contains(&room.as_str()) || rooms.iter().any(|(r, _)| *r == room);
        assert!(named, "the table of rooms in DEVELOPERS.md lacks `{room}`");
    }
    for (room, may) in &rooms {
        let mut all = Vec::new();
        if source.join(room).is_dir() {
            files(&source.join(room), &mut all);
        }
        all.extend(Some(source.join(format!("{room}.rs"))).filter(|f| f.is_file()));
        assert!(!all.is_empty(), "the table names `{room}`, and src has no such room");
        all.sort();
        for file in all {
            let name = file.file_name().unwrap_or_default().to_string_lossy().into_owned();
            if name == "tests.rs" || name == "fixture.rs" {
                continue;
            }
            let text = std::fs::read_to_string(&file).expect("a source file");
            for other in used(&text) {
                let known = other == "command" || rooms.iter().any(|(r, _)| *r == other);
                if known && other != *room && !open.contains(&other) && !may.contains(&other) {
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
