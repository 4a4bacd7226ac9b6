//! What a person is told around the bath: how it is covered, how it is rinsed, when to look, which job it is.

use super::{bathwright, bathwright_in, data};
use serde_json::Value;

const PART: &str = "box 40x40x20 mm, 23 g, iron, PLA";

fn written(name: &str, text: &str) -> std::path::PathBuf {
    let folder = std::env::temp_dir().join(format!("bathwright-jobs-{}-{name}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder");
    std::fs::write(folder.join("tight.yaml"), text).expect("a file");
    folder
}

/// The kitchen rust bath, which makes gas, as a recipe that asks for this cover.
fn kitchen_rust(cover: &str) -> std::path::PathBuf {
    let path = format!("{}/recipes/kitchen-rust.yaml", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).expect("the recipe");
    let text = text.replace("id: kitchen-rust", "id: tight").replace("cover: loose", &format!("cover: {cover}"));
    written(cover, &text)
}

fn planned_under(cover: &str, vessel: &str) -> super::Ran {
    let folder = kitchen_rust(cover);
    let ran = bathwright_in(
        &folder,
        &["plan", "./tight.yaml", "--part", PART, "--vessel", vessel, "--outdoors", "--format", "json"],
    );
    let _ = std::fs::remove_dir_all(folder);
    ran
}

/// Whoever closes the lid, the gas stays in: the closer of recipe and vessel is judged.
#[test]
fn a_lid_is_judged_whether_recipe_or_vessel_closes_it() {
    for (cover, vessel) in [
        ("sealed", "jar 90x125 mm, glass, open"),
        ("loose", "jar 90x125 mm, glass, sealed"),
        ("open", "jar 90x125 mm, glass, sealed"),
    ] {
        let ran = planned_under(cover, vessel);
        assert_eq!(ran.code, 3, "{cover} recipe in {vessel}: {}{}", ran.out, ran.err);
        assert!(ran.out.contains("gas-in-closed-vessel"), "{}", ran.out);
    }
    let ran = planned_under("open", "jar 90x125 mm, glass, loose");
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.out.contains("Cover loosely") && !ran.out.contains("Leave the vessel open"), "{}", ran.out);
}

/// Checklist, label and review say the same of a bath that makes no gas.
#[test]
fn checklist_and_label_cover_it_alike() {
    let folder = written(
        "dull",
        "id: tight\ntitle: Salt water\nlook: none\nmetals: [copper]\nfinish: other\nmethod: immersion\nmeasures: metric\n\
         ingredients:\n- {line: table salt, per_litre: 20 g}\n- {line: water, rest: true}\ntemperature: 20 C\n\
         cover: open\nsoak: [{after: 1 h, what: Look., lift: true}]\nsources: [{doc: a test, status: computed}]\n\
         confidence: low\n",
    );
    let vessel = "jar 90x125 mm, glass, sealed";
    let part = "box 40x40x20 mm, 100 g, copper";
    let ran = bathwright_in(&folder, &["plan", "./tight.yaml", "--part", part, "--vessel", vessel]);
    let _ = std::fs::remove_dir_all(folder);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    let text = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("Close the lid.") && text.contains("Keep it closed."), "{}", ran.out);
}

/// A recipe that says not to rinse gets no rinse from the program: not in the checklist, not beside it, not as waste.
#[test]
fn no_rinse_is_added_to_a_recipe_that_forbids_it() {
    let list = bathwright(&["recipes", "--format", "json"]).json();
    let mut seen = 0;
    for id in list.as_array().expect("a list").iter().filter_map(|r| r["id"].as_str()) {
        let text = std::fs::read_to_string(format!("{}/recipes/{id}.yaml", env!("CARGO_MANIFEST_DIR"))).expect("it");
        if !text.contains("rinse: none") && !text.contains("rinse: light") {
            continue;
        }
        seen += 1;
        let mut args = vec!["plan", id, "--part", "box 40x40x20 mm, 150 g, copper", "--outdoors", "--format", "json"];
        if text.contains("method: fume") {
            args.extend(["--box", "5 L"]);
        }
        if text.contains("method: immersion") {
            args.extend(["--vessel", "jar 90x125 mm, glass"]);
        }
        let ran = bathwright(&args);
        assert_eq!(ran.code, 0, "{id}: {}", ran.err);
        let plan = ran.json();
        assert_eq!(plan["aftercare"]["rinsing"], Value::Null, "{id}");
        let after = |s: &&Value| s["stage"] == "rinse" && !s["after"].as_str().unwrap_or("-").starts_with('-');
        let steps = plan["timetable"].as_array().expect("steps").iter().filter(after).count();
        let own = usize::from(text.contains("rinse: light"));
        assert_eq!(steps, own, "{id}: only the recipe's own mist or dip");
    }
    assert!(seen >= 12, "{seen}");
}

#[test]
fn a_recipe_cannot_both_forbid_and_ask_for_a_rinse() {
    let path = format!("{}/recipes/kitchen-rust.yaml", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).expect("the recipe").replace("id: kitchen-rust", "id: tight");
    let folder = written("both", &format!("{text}rinse: none\n"));
    let ran = bathwright_in(&folder, &["scale", "./tight.yaml", "--to", "1 L"]);
    let _ = std::fs::remove_dir_all(folder);
    assert_eq!(ran.code, 2, "{}", ran.out);
    assert!(ran.err.contains("rinse: none"), "{}", ran.err);
}

/// The calendar of one job never overwrites that of another: everything that goes in is in the identifier.
#[test]
fn two_different_jobs_share_no_identifier() {
    let job = ["plan", "kitchen-rust", "--part", PART, "--vessel", "jar 90x125 mm, glass", "--format", "ics"];
    let start = ["--start", "2026-11-27T09:00[Europe/London]"];
    let whole = ["--whole", "--barrel", "150x180 mm"];
    let variants: [&[&str]; 8] = [
        &[],
        &["--temperature", "16"],
        &["--outdoors"],
        &["--after", "dish soap"],
        &["--margin", "50"],
        &whole,
        &["--whole", "--barrel", "160x180 mm"],
        &["--whole", "--barrel", "150x180 mm", "--marks"],
    ];
    let mut seen = std::collections::BTreeSet::new();
    for more in variants {
        let args: Vec<&str> = job.iter().chain(&start).chain(more).copied().collect();
        let ran = bathwright(&args);
        assert_eq!(ran.code, 0, "{args:?}: {}", ran.err);
        let uid = ran.out.lines().find_map(|l| l.strip_prefix("UID:")).expect("an identifier").to_string();
        assert!(seen.insert(uid), "{more:?} shares its identifier");
        assert_eq!(bathwright(&args).out.matches("UID:").count(), ran.out.matches("UID:").count());
    }
    // The same job is the same event again.
    let again: Vec<&str> = job.iter().chain(&start).copied().collect();
    let uid = |ran: super::Ran| ran.out.lines().find_map(|l| l.strip_prefix("UID:").map(String::from));
    assert_eq!(uid(bathwright(&again)), uid(bathwright(&again)));
    assert!(data().is_dir());
}

/// A barrel of a whole job brings its own hazard and its cautions along, in the calendar too.
#[test]
fn a_whole_job_says_what_to_beware_of_at_the_barrel() {
    let args = ["plan", "demo", "--whole", "--barrel", "150x180 mm", "--start", "2026-11-02T09:00[Europe/London]"];
    for format in ["text", "json", "html", "ics"] {
        let ran = bathwright(&[&args[..], &["--format", format]].concat());
        assert_eq!(ran.code, 0, "{}", ran.err);
        let text = ran.out.replace("\r\n ", "").replace('\n', " ").replace("\\,", ",");
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(text.contains("every few hours on the first day"), "{format}");
        assert!(text.contains("metal-and-water-closed") || format == "ics", "{format}");
        assert!(text.contains("Never put acid, lye, peroxide or vinegar into a barrel"), "{format}");
    }
}

/// The bath may not be closed and the barrel is: an entry of the one does not carry the words of the other.
#[test]
fn calendar_entries_of_the_barrel_are_about_the_barrel() {
    let args = ["plan", "demo", "--whole", "--barrel", "150x180 mm", "--start", "2026-11-02T09:00[Europe/London]"];
    let ran = bathwright(&[&args[..], &["--format", "ics"]].concat());
    let text = ran.out.replace("\r\n ", "");
    let events: Vec<&str> = text.split("BEGIN:VEVENT").skip(2).collect();
    let (barrel, bath): (Vec<&str>, Vec<&str>) =
        events.into_iter().partition(|e| e.contains("SUMMARY:Look\\, barrel") || e.contains("\\, barrel: "));
    assert!(barrel.len() > 20 && bath.len() > 20, "{} {}", barrel.len(), bath.len());
    for event in barrel {
        assert!(event.contains("closed barrel can make gas") && !event.contains("Never close the vessel"), "{event}");
    }
    assert!(bath.iter().all(|e| e.contains("Never close the vessel") && !e.contains("closed barrel")));
}

/// On its first day it turns no longer than four hours without being opened; through quiet hours it stands open, and
/// everything after that falls so much later: the hours it turns are those planned.
#[test]
fn a_barrel_stands_open_through_quiet_hours_and_what_follows_moves() {
    let run = |quiet: &[&str]| {
        let args = ["tumble", "--part", PART, "--barrel", "150x180 mm", "--start", "2026-11-02T09:00[Europe/London]"];
        let ran = bathwright(&[&args[..], quiet, &["--format", "json"]].concat());
        assert_eq!(ran.code, 0, "{}", ran.err);
        ran.json()["timetable"].as_array().cloned().expect("steps")
    };
    let at = |s: &Value| s["at"].as_str().and_then(|t| t.parse::<jiff::Timestamp>().ok()).expect("a time").as_second();
    let text = |s: &Value| s["do"].as_str().unwrap_or_default().to_string();
    let first_run = |steps: &[Value]| -> Vec<(i64, String)> {
        let end = steps.iter().position(|s| text(s).starts_with("End of grit 1")).expect("it ends");
        steps[..=end].iter().map(|s| (at(s), text(s))).collect()
    };
    for (quiet, nobody) in [
        (vec![], None),
        (vec!["--quiet", "22:00-07:00"], Some((22, 7))),
        (vec!["--quiet", "08:30-17:00"], Some((8, 17))),
    ] {
        let steps = run(&quiet);
        let (mut turned, mut since, mut opened) = (0, None, 0);
        for (when, what) in first_run(&steps) {
            if what.starts_with("Start grit") || what.starts_with("Close the barrel") {
                (since, opened) = (Some(when), when);
                continue;
            }
            let standing = since.is_none();
            turned += since.map_or(0, |s| when - s);
            since = (!what.contains("standing open")).then_some(when);
            if turned <= 24 * 3600 && !standing {
                assert!(when - opened <= 4 * 3600, "{quiet:?}: {what} {}", (when - opened) / 60);
            }
            opened = when;
        }
        assert_eq!(turned, 47 * 3600, "{quiet:?}: the hours planned, less the turn-round");
        for s in &steps {
            let remark = s["remark"].as_str().unwrap_or_default();
            let tended = ["Stop, open", "Stop the barrel", "Close the barrel", "Start ", "End of"];
            if tended.iter().any(|w| text(s).starts_with(w)) && nobody.is_some() && at(s) > at(&steps[0]) {
                assert!(!remark.contains("quiet hours"), "{quiet:?}: {s}");
            }
        }
    }
    assert!(at(run(&["--quiet", "22:00-07:00"]).last().unwrap()) > at(run(&[]).last().unwrap()));
}

/// The coupon goes the recipe's whole way: light rust before tannate, the first bath before the second.
#[test]
fn the_coupon_follows_the_recipe() {
    for (recipe, own, vessel) in [
        ("tannate-black", "Make a light rust first", None),
        ("two-step-rust", "First bath: cover with vinegar", Some("jar 120x160 mm, glass")),
        ("brine-wet-dry", "Soak in fresh water again and again", None),
    ] {
        let mut args = vec!["plan", recipe, "--part", PART, "--whole", "--outdoors", "--format", "json"];
        args.extend(vessel.iter().flat_map(|v| ["--vessel", v]));
        let ran = bathwright(&args);
        assert_eq!(ran.code, 0, "{recipe}: {}", ran.err);
        let plan = ran.json();
        let steps = plan["timetable"].as_array().expect("steps");
        let of_coupon: Vec<&str> =
            steps.iter().filter(|s| s["part"] == "coupon").filter_map(|s| s["do"].as_str()).collect();
        assert!(of_coupon.iter().any(|s| s.contains(own)), "{recipe}: {of_coupon:?}");
        let judged = of_coupon.iter().position(|s| s.starts_with("Judge the dry coupon")).expect("it is judged");
        assert_eq!(judged, of_coupon.len() - 1, "{recipe}: {of_coupon:?}");
        let looks = of_coupon.iter().filter(|s| s.contains("Photograph it.")).count();
        let file =
            std::fs::read_to_string(format!("{}/recipes/{recipe}.yaml", env!("CARGO_MANIFEST_DIR"))).expect("it");
        assert_eq!(looks, file.matches("- {after: ").count(), "{recipe}: {of_coupon:?}");
    }
}

/// One heading about disposal, with what the review and the plan say of it.
#[test]
fn disposal_has_one_heading() {
    let ran = bathwright(&["plan", "demo", "--width", "80"]);
    let headings = ran.out.lines().filter(|l| l.starts_with("Disposal ") && l.contains('─')).count();
    assert_eq!(headings, 1, "{}", ran.out);
    assert!(ran.out.contains("Local codes, the waste authority") && ran.out.contains("Used bath: up to 440 mL"));
}

/// Every part is watched when it is dry and before it is sealed, also when parts come out at different times.
#[test]
fn every_part_is_watched_before_it_is_sealed() {
    let ran = bathwright(&[
        "plan",
        "kitchen-rust",
        "--part",
        "box 40x40x20 mm, 60 g, iron, PLA, lift 6 h",
        "--part",
        "cylinder 20x40 mm, 30 g, iron, PLA, lift 40 h",
        "--vessel",
        "jar 120x160 mm, glass",
        "--whole",
        "--outdoors",
        "--start",
        "2026-11-02T09:00[Europe/London]",
        "--format",
        "json",
    ]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let plan = ran.json();
    let steps = plan["timetable"].as_array().expect("steps");
    let parts: std::collections::BTreeSet<&str> =
        steps.iter().filter(|s| s["stage"] == "seal").filter_map(|s| s["part"].as_str()).collect();
    assert_eq!(parts.len(), 2, "{parts:?}");
    for part in parts {
        let when = |found: &dyn Fn(&Value) -> bool| {
            let own: Vec<&Value> = steps.iter().filter(|s| s["part"] == part).collect();
            own.iter().rposition(|s| found(s)).unwrap_or_else(|| panic!("{part}"))
        };
        let text = |s: &Value, words: &str| s["do"].as_str().is_some_and(|d| d.contains(words));
        let (dry, watched) = (when(&|s| text(s, "warm moving air")), when(&|s| text(s, "Watch it for two days")));
        let (sealed, hard) = (when(&|s| s["stage"] == "seal"), when(&|s| text(s, "seal harden")));
        assert!(dry < watched && watched < sealed && sealed < hard, "{part}: {dry} {watched} {sealed} {hard}");
    }
}

/// Names between backticks are set apart on the page, not shown with their marks.
#[test]
fn the_page_shows_no_backticks() {
    let ran = bathwright(&["plan", "demo", "--format", "html"]);
    assert!(!ran.out.contains('`') && ran.out.contains("<code>drawer pull</code>"), "{}", ran.out);
}

/// What two sections say of one thing does not differ, and what is said of the air does not either.
#[test]
fn a_sheet_does_not_contradict_itself() {
    let plan = |args: &[&str]| {
        let ran = bathwright(&[&["plan"], args, &["--width", "80"]].concat());
        assert_eq!(ran.code, 0, "{}", ran.err);
        ran.out.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let demo = plan(&["demo"]);
    // The heat told first has all the peroxide in it: nothing comes on top. The review's gas is for the strongest bottle.
    assert!(demo.contains("That counts all the peroxide in it decomposing") && !demo.contains("by another"), "{demo}");
    assert!(demo.contains("Gas: about ") && demo.contains("gas up to "), "{demo}");
    assert!(demo.contains("Watch it for two days") && !demo.contains("1 to 3 days"), "{demo}");
    // To stay there for ever takes more than this room's 10 m³ an hour; while the packing is open it does not get there.
    let packed = plan(&["vinegar-sawdust", "--packing", "2 L"]);
    assert!(packed.contains("11 m³ of fresh air an hour") && !packed.contains("is enough"), "{packed}");
    let part = format!("{}/src/order/demo/pull.stl, 60 g, bronze, PLA", env!("CARGO_MANIFEST_DIR"));
    let brown = plan(&["ferric-nitrate-brown", "--part", &part, "--vessel", "jar 100x120 mm, glass"]);
    assert!(brown.contains("goes in with the file's x up, 100 mm high") && !brown.contains("on its side"), "{brown}");
    assert!(brown.contains("pH: 1.8") && !brown.contains("pH 1.7"), "{brown}");
}

/// A faulty line is counted as `mix` counts it.
#[test]
fn a_faulty_line_is_named_by_its_number() {
    let ran = bathwright(&["scale", "1 cup water", "0,5 L water", "--to", "1 L"]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("field `ingredient 2`") && !ran.err.contains('['), "{}", ran.err);
}
