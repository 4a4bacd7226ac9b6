//! Bad input: exit code 2, the field, what was found and what is allowed, nothing on standard output.

use super::{bathwright, bathwright_in};

#[track_caller]
fn refuses(arguments: &[&str], words: &[&str]) {
    let ran = bathwright(arguments);
    assert_eq!(ran.code, 2, "{arguments:?}\n{}\n{}", ran.out, ran.err);
    assert_eq!(ran.out, "", "{arguments:?}");
    for word in words {
        assert!(ran.err.contains(word), "{arguments:?}: `{word}` is missing from\n{}", ran.err);
    }
}

#[test]
fn faulty_ingredients_are_named_with_what_is_allowed() {
    refuses(&["mix", "1/2 cup vinegar 130 %", "1 cup water"], &["ingredient 1", "130"]);
    refuses(&["mix", "0,5 L water", "10 g table salt"], &["ingredient 1", "0.5"]);
    refuses(&["mix", "--", "-1 cup water"], &["ingredient 1"]);
    refuses(&["mix", "1 L water", "-1 cup vinegar 5 %", "--format", "json"], &["ingredient 2", "-1"]);
    refuses(&["correct", "1 L water", "50 g table salt", "--have", "-1 L", "--ph", "-3"], &["--have", "-1", "--ph"]);
    refuses(&["mix", "0 cups water"], &["ingredient 1"]);
    refuses(&["mix", "NaN cups water"], &["ingredient 1"]);
    refuses(&["mix", "4 oz table salt", "1 L water"], &["fl oz"]);
    refuses(&["mix", "100 mL unobtainium", "1 L water"], &["unobtainium"]);
    refuses(&["mix", "100 mL vinegar essence", "1 L water"], &["strength"]);
    refuses(&["mix", "water", "10 g table salt"], &["amount"]);
}

#[test]
fn every_faulty_line_is_reported_in_one_run() {
    let ran = bathwright(&["mix", "0,5 L water", "1/2 cup vinegar 130 %", "4 oz table salt"]);
    assert_eq!(ran.code, 2);
    assert_eq!(ran.err.matches("error: ").count(), 3, "{}", ran.err);
    let ran = bathwright(&["neutralise", "0,5 L water", "--with", "baking soda", "--to", "17", "--carbonate", "flat"]);
    assert_eq!(ran.code, 2);
    assert!(["ingredient", "--to", "--carbonate"].iter().all(|w| ran.err.contains(w)), "{}", ran.err);
    let ran = bathwright(&["correct", "1 qt water", "--have", "much", "--ph", "acid", "--density", "heavy"]);
    assert!(["--have", "--ph", "--density"].iter().all(|w| ran.err.contains(w)), "{}", ran.err);
}

#[test]
fn faulty_parts_and_vessels_say_which_piece() {
    let plan = |part: &'static str, vessel: &'static str, words: &[&str]| {
        refuses(&["plan", "kitchen-rust", "--part", part, "--vessel", vessel], words);
    };
    plan("box 40x40 mm, 85 g, iron, PLA", "jar 80x120 mm, glass", &["--part"]);
    plan("box 40x40x80 mm, 85 g, irn, PLA", "jar 80x120 mm, glass", &["irn"]);
    plan("box 40x40x80 mm, 85 g, iron, PLA", "jar 80 mm, glass", &["--vessel"]);
    plan("box 40x40x80 mm, 85 g, iron, PLA", "jar 80x60 mm, glass", &["mm"]);
    plan("box 90x90x80 mm, 85 g, iron, PLA", "jar 80x160 mm, glass", &["mm"]);
    plan("no-such-file.stl, 85 g, iron, PLA", "jar 80x160 mm, glass", &["no-such-file.stl"]);
}

#[test]
fn an_immersion_without_vessel_or_part_says_what_to_name() {
    refuses(&["plan", "kitchen-rust", "--part", "box 40x40x80 mm, 85 g, iron, PLA"], &["vessel"]);
    refuses(&["plan", "kitchen-rust", "--vessel", "jar 80x160 mm, glass"], &["part"]);
}

#[test]
fn a_bottle_too_weak_is_an_error_that_names_no_stronger_hazard() {
    let bench = "cli/weak-bench.yaml";
    let ran = bathwright(&["scale", "cli/strong-vinegar.yaml", "--to", "1 L", "--bench", bench]);
    assert_eq!(ran.code, 2, "{}\n{}", ran.out, ran.err);
    assert!(ran.err.contains("too weak"), "{}", ran.err);
}

#[test]
fn unknown_names_bring_the_nearest_known_one() {
    refuses(&["plan", "kitchen-rsut", "--vessel", "jar 80x160 mm"], &["kitchen-rust"]);
    refuses(&["explain", "hypochlorite-with-acd"], &["hypochlorite-with-acid"]);
    refuses(&["schema", "recip"], &["recipe"]);
    refuses(&["recipes", "--finish", "grene"], &["green"]);
}

#[test]
fn usage_errors_of_the_command_line_exit_with_two() {
    assert_eq!(bathwright(&["plan"]).code, 2);
    assert_eq!(bathwright(&["no-such-command"]).code, 2);
    assert_eq!(bathwright(&["plan", "demo", "--format", "pdf"]).code, 2);
}

#[test]
fn calendar_entries_need_a_start() {
    refuses(
        &[
            "plan",
            "kitchen-rust",
            "--part",
            "box 40x40x40 mm, 85 g, iron, PLA",
            "--vessel",
            "jar 80x120 mm, glass",
            "--format",
            "ics",
        ],
        &["--start"],
    );
}

#[test]
fn messages_name_the_flag_the_value_and_what_is_near() {
    let vessel = ["--vessel", "jar 80x160 mm, glass", "--to", "1 L"];
    let plan = |more: &[&str], words: &[&str]| refuses(&[&["plan", "kitchen-rust"][..], &vessel, more].concat(), words);
    plan(&["--start", "tomorrow"], &["--start", "tomorrow", "2026-11-27T09:00"]);
    plan(&["--margin", "10-20 %"], &["--margin", "10-20 %", "1000"]);
    plan(&["--cover-depth", "two"], &["--cover-depth", "two"]);
    plan(&["--whole", "--degrease", "10 g"], &["--degrease"]);
    refuses(&["check", "1 cup water", "--part", "irn"], &["--part", "irn", "`iron`"]);
}

#[test]
fn a_folder_is_planned_whole_and_its_faults_hide_nothing() {
    let folder = tempfile::tempdir().expect("a folder to write to");
    let write = |name: &str, text: &str| std::fs::write(folder.path().join(name), text).expect("a file");
    let rest = "vessel: jar 80x120 mm, glass\nparts: ['box 20x20x20 mm, 60 g, iron']\n";
    let refused = "recipe: [100 mL household bleach 5 %, 50 mL white vinegar 5 %]\n";
    // A byte order mark and a comment in front of the key, as some editors write them.
    write("a-good.yaml", &format!("\u{feff}# rust\n\"recipe\": kitchen-rust\n{rest}"));
    write("b-refused.yaml", &format!("{refused}{rest}"));
    write("recipe-of-nothing.yaml", "notes: the word recipe: stands in here\n");
    let run = |more: &[&str]| bathwright_in(folder.path(), &[&["plan", "."][..], more].concat());

    let both = run(&["--format", "json"]);
    assert_eq!(both.code, 3, "{}", both.err);
    let json = both.json();
    let verdicts: Vec<_> = json.as_array().expect("one list").iter().map(|p| &p["plan"]["safety"]["verdict"]).collect();
    assert_eq!(verdicts, ["warn", "refuse"], "{}", both.out);
    assert!(json[1]["file"].as_str().is_some_and(|f| f.ends_with("b-refused.yaml")));

    let pages = run(&["--format", "html"]);
    assert_eq!((pages.code, pages.out.as_str()), (2, ""));
    assert!(pages.err.contains("--output"), "{}", pages.err);
    let pages = run(&["--format", "html", "--output", "pages"]);
    assert_eq!((pages.code, pages.out.as_str()), (3, ""));
    assert!(
        pages.err.contains("a-good.yaml: planned") && pages.err.contains("b-refused.yaml: refused"),
        "{}",
        pages.err
    );
    assert!(folder.path().join("pages/a-good.html").is_file());

    write("a-good.yml", &format!("recipe: kitchen-rust\n{rest}"));
    write("c-no-text.yaml", "recipe: \0");
    std::fs::write(folder.path().join("d-bytes.yaml"), [0xff, 0xfe, 0x00]).expect("a file");
    let faulty = run(&[]);
    assert_eq!(faulty.code, 3, "a refusal is graver than a fault");
    for word in ["same name", "d-bytes.yaml"] {
        assert!(faulty.err.contains(word), "{}", faulty.err);
    }
    assert!(faulty.out.contains("a-good.yaml"), "the others are still planned");
}
