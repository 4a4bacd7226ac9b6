//! Tumbling, choosing, every recipe in three sizes, and a whole job, as a person runs them.

use super::bathwright;
use serde_json::Value;

/// Amounts of one recipe in one size, as a chemist would check them: metric doses, volume, pH, what refuses it.
fn planned(recipe: &str, size: &str, vessel: &str, part: &str, space: &[&str]) -> String {
    let mut args = vec!["plan", recipe, "--part", part, "--vessel", vessel, "--outdoors", "--format", "json"];
    args.extend_from_slice(space);
    let ran = bathwright(&args);
    let json = if ran.code == 0 || ran.code == 3 { ran.json() } else { Value::Null };
    assert!(ran.code == 0 || ran.code == 3, "{recipe} {size}: {}", ran.err);
    let mut line = format!("{size}: {}", json["safety"]["verdict"].as_str().unwrap_or("?"));
    if ran.code == 3 {
        assert_eq!(json["bath"], Value::Null, "a refusal has no amounts");
        let stops: Vec<&str> = json["safety"]["hazards"]
            .as_array()
            .into_iter()
            .flatten()
            .filter(|h| h["severity"] == "stop")
            .filter_map(|h| h["id"].as_str())
            .collect();
        assert!(!stops.is_empty());
        return format!("{line} ({})", stops.join(", "));
    }
    let bath = &json["bath"];
    line.push_str(&format!("; {:.0} mL", bath["volume_ml"].as_f64().unwrap_or(f64::NAN)));
    if let Some(ph) = bath["ph"].as_f64() {
        line.push_str(&format!(", pH {ph:.1}"));
    }
    for m in bath["measures"].as_array().into_iter().flatten() {
        line.push_str(&format!(
            "; {} {}",
            m["ingredient"].as_str().unwrap_or("?"),
            m["metric"].as_str().unwrap_or("?")
        ));
    }
    if let Some(fill) = json["immersion"]["fill_line_mm"].as_f64() {
        line.push_str(&format!("; fill line {fill:.0} mm"));
    }
    line
}

#[test]
fn every_recipe_for_a_coupon_a_beaker_and_a_pail() {
    let list = bathwright(&["recipes", "--format", "json"]).json();
    let mut page = String::new();
    for r in list.as_array().expect("a list") {
        let (id, method) = (r["id"].as_str().expect("id"), r["method"].as_str().expect("method"));
        let metal = r["metals"][0].as_str().expect("metal");
        // What is hot takes no print and no plastic.
        let no_print = id.starts_with("hot-");
        let material = if no_print { format!("solid, {metal}") } else { format!("{metal}, PLA") };
        let pail = if no_print { "jar 240x250 mm, enamelled steel" } else { "jar 240x250 mm, HDPE" };
        page.push_str(&format!("{id} ({method}) on {material}\n"));
        for (size, vessel, part, mass, space) in [
            ("coupon", "jar 40x60 mm, glass", "box 20x20x5 mm", 5, ["1 L", "0.5 L"]),
            ("600 mL beaker", "jar 90x125 mm, borosilicate glass", "box 40x40x40 mm", 120, ["3 L", "1 L"]),
            ("10 L pail", pail, "box 120x100x130 mm", 2600, ["20 L", "10 L"]),
        ] {
            let mass = if no_print { String::new() } else { format!("{mass} g, ") };
            let part = format!("{part}, {mass}{material}");
            let space: &[&str] = match method {
                "fume" => &["--box", space[0]],
                "burial" => &["--packing", space[1]],
                _ => &[],
            };
            page.push_str(&format!("  {}\n", planned(id, size, vessel, &part, space)));
        }
    }
    insta::assert_snapshot!("every_recipe_in_three_sizes", page);
}

#[test]
fn a_barrel_in_words_and_a_refusal_without_amounts() {
    let args = [
        "tumble",
        "--part",
        "box 40x40x80 mm, 85 g, iron, PLA",
        "--barrel",
        "150x180 mm",
        "--speed",
        "40 rpm",
        "--detail",
        "1.5 mm",
        "--media",
        "4 mm",
        "--marks",
    ];
    let ran = bathwright(&[&args[..], &["--width", "100"]].concat());
    assert_eq!(ran.code, 0, "{}", ran.err);
    insta::assert_snapshot!("tumble_100", ran.out);
    let json = bathwright(&[&args[..], &["--format", "json"]].concat()).json();
    assert_eq!(json["stages"][0]["grit_level_tbsp"], 3.0);
    assert_eq!(json["stages"].as_array().map(Vec::len), Some(6));

    for before in ["white vinegar 5 %", "hydrogen peroxide 3 %", "lye (sodium hydroxide)", "baking soda"] {
        let ran = bathwright(&[
            "tumble",
            "--part",
            "sphere 30 mm, 100 g, iron",
            "--barrel",
            "150x180 mm",
            "--after",
            before,
            "--format",
            "json",
        ]);
        assert_eq!(ran.code, 3, "{before}: {}", ran.out);
        let json = ran.json();
        assert!(json["tumbling"].is_null() && json["stages"].is_null() && json["timetable"].is_null());
    }
    for metal in ["zinc", "aluminium", "magnesium"] {
        let json = bathwright(&[
            "tumble",
            "--part",
            &format!("sphere 30 mm, 24 g, {metal}"),
            "--barrel",
            "150x180 mm",
            "--format",
            "json",
        ])
        .json();
        let found =
            json["safety"]["hazards"].as_array().into_iter().flatten().find(|h| h["id"] == "metal-and-water-closed");
        let severity = found.and_then(|h| h["severity"].as_str()).unwrap_or("none");
        assert!(severity.ends_with("caution"), "{metal}: {severity}");
    }
}

#[test]
fn all_faults_of_a_tumble_line_come_in_one_run() {
    let ran = bathwright(&["tumble", "--part", "box", "--barrel", "wide", "--speed", "fast", "--grits", "many"]);
    assert_eq!(ran.code, 2);
    for flag in ["--part", "--barrel", "--speed", "--grits"] {
        assert!(ran.err.contains(flag), "{flag} in {}", ran.err);
    }
}

#[test]
fn choosing_starts_from_the_metal_that_shows() {
    let ran = bathwright(&[
        "choose",
        "--metal",
        "iron",
        "--binder",
        "PLA",
        "--look",
        "rust",
        "--patience",
        "1 week",
        "--width",
        "100",
    ]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    insta::assert_snapshot!("choose_100", ran.out);
    let json = bathwright(&[
        "choose",
        "--metal",
        "bronze",
        "--binder",
        "PLA",
        "--density",
        "3.9 g/cm3",
        "--outdoors",
        "--format",
        "json",
    ])
    .json();
    let area = json["shows"]["metal_area_percent"].as_f64().unwrap_or(0.0);
    assert!((area - 35.0).abs() < 1.0, "{area}");
    assert!(json["ranked"].as_array().is_some_and(|r| !r.is_empty()));
    let ran = bathwright(&["choose", "--metal", "glass", "--look", "purple"]);
    assert!(ran.code == 2 && ran.err.contains("no metal") && ran.err.contains("purple"), "{}", ran.err);
}

#[test]
fn what_no_recipe_can_be_is_bad_input_and_what_none_is_says_what_to_leave_out() {
    for (args, told) in [
        (vec!["recipes", "--hazard", "peracetic-acd"], "did you mean `peracetic-acid`?"),
        (vec!["recipes", "--hazard", "TYPO"], "the rules are: "),
        (vec!["recipes", "--metal", "glass"], "the metals are: "),
        (vec!["choose", "--metal", "glass"], "the metals are: "),
    ] {
        for format in ["text", "json"] {
            let ran = bathwright(&[&args[..], &["--format", format]].concat());
            assert!(
                ran.code == 2 && ran.out.is_empty() && ran.err.contains(told),
                "{args:?}: {} {}",
                ran.code,
                ran.err
            );
        }
    }
    let ran = bathwright(&["recipes", "--metal", "iron", "--finish", "green", "--width", "80"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.out.contains("No recipe fits"), "{}", ran.out);
    let count =
        |args: &[&str]| bathwright(&[args, &["--format", "json"]].concat()).json().as_array().map_or(0, Vec::len);
    let green = count(&["recipes", "--finish", "green"]);
    let iron = count(&["recipes", "--metal", "iron"]);
    assert!(ran.out.contains(&format!("Leave out the metal: that alone lets in {green}.")), "{}", ran.out);
    assert!(ran.out.contains(&format!("Leave out the finish: that alone lets in {iron}.")), "{}", ran.out);
    assert_eq!(
        bathwright(&["recipes", "--metal", "iron", "--finish", "green", "--format", "json"]).json(),
        Value::Array(vec![])
    );
    let three = ["recipes", "--metal", "gold", "--finish", "green", "--hazard", "peroxide-on-metal"];
    assert!(bathwright(&three).out.contains("leave out more than one"));
}

#[test]
fn nothing_is_offered_with_more_than_a_fifth_of_error() {
    let measures = |to: &str| {
        let ran = bathwright(&["scale", "hot-bluestone-green", "--to", to, "--format", "json"]);
        ran.json()["bath"]["measures"].as_array().cloned().unwrap_or_default()
    };
    let small = measures("100 mL");
    let ammonium = small.iter().find(|m| m["ingredient"] == "ammonium chloride").expect("sal ammoniac");
    assert!(ammonium["measured"].is_null(), "{ammonium}");
    let told = ammonium["too_little"].as_str().expect("what to do");
    assert!(told.contains("weigh it") && told.contains("make at least"), "{told}");
    // What it names can be measured.
    let named = told.split("at least ").nth(1).expect("a volume");
    let enough = measures(named);
    assert!(enough.iter().all(|m| m["error_percent"].as_f64().is_some_and(|e| e.abs() <= 20.0)), "{enough:?}");
    let text = bathwright(&["scale", "hot-bluestone-green", "--to", "100 mL", "--width", "100"]).out;
    assert!(text.contains("weigh it") && text.contains(named), "{text}");
}

#[test]
fn a_whole_job_from_rough_print_to_sealed_pull() {
    let ran = bathwright(&[
        "plan",
        "demo",
        "--whole",
        "--barrel",
        "150x180 mm",
        "--start",
        "2026-11-02T09:00[Europe/London]",
        "--format",
        "json",
    ]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let json = ran.json();
    let steps = json["timetable"].as_array().cloned().unwrap_or_default();
    let text = |s: &Value| s["do"].as_str().unwrap_or_default().to_string();
    let at = |s: &Value| s["at"].as_str().unwrap_or_default().to_string();
    assert_eq!(at(&steps[0]), "2026-11-02T09:00:00+00:00");
    let last = at(steps.last().expect("steps"));
    assert!(last.as_str() > "2026-11-22" && last.as_str() < "2026-12-01", "{last}");
    let all: Vec<String> = steps.iter().map(at).collect();
    assert!(all.windows(2).all(|w| w[0] <= w[1]), "in order of time");
    let order = [
        "Start grit 1",
        "Start soap",
        "Wash with dish",
        "Judge the dry coupon",
        "Wash with dish",
        "Lower in",
        "for good",
        "Neutralis",
        "Watch it for two days",
        "Wax or clear",
        "harden",
    ];
    let mut from = 0;
    for word in order {
        let found = steps
            .iter()
            .skip(from)
            .position(|s| text(s).contains(word) || (word == "Neutralis" && text(s).contains("bicarbonate")));
        from += found.unwrap_or_else(|| panic!("{word} is missing after step {from}"));
    }
    assert!(steps.iter().any(|s| text(s).contains("collect it")), "the bath is dealt with");
    let text = bathwright(&[
        "plan",
        "demo",
        "--whole",
        "--barrel",
        "150x180 mm",
        "--start",
        "2026-11-02T09:00[Europe/London]",
        "--width",
        "100",
    ]);
    insta::assert_snapshot!("whole_job_100", text.out);
}

#[test]
fn carry_over_between_the_steps_of_a_whole_job_is_caught() {
    let ran = bathwright(&["plan", "demo", "--whole", "--degrease", "acetone", "--format", "json"]);
    assert_eq!(ran.code, 3, "{}", ran.out);
    assert!(ran.out.contains("peroxide-with-ketone") && ran.json()["bath"].is_null());
    let ran = bathwright(&[
        "plan",
        "demo",
        "--whole",
        "--degrease",
        "isopropanol 99 %, wiped off, dried",
        "--format",
        "json",
    ]);
    assert_eq!(ran.code, 0, "{}", ran.out);
}

#[test]
fn methods_ask_for_what_they_scale_with() {
    let ran = bathwright(&["plan", "ammonia-salt-fuming", "--part", "sphere 30 mm, 100 g, brass", "--outdoors"]);
    assert!(ran.code == 2 && ran.err.contains("--box"), "{}", ran.err);
    let ran = bathwright(&["plan", "vinegar-sawdust", "--packing", "2 L", "--format", "json"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!((ran.json()["bath"]["volume_ml"].as_f64().unwrap_or(0.0) - 800.0).abs() < 1.0);
    let ran = bathwright(&[
        "plan",
        "ammonia-salt-fuming",
        "--box",
        "100x100x100 mm",
        "--part",
        "box 90x90x90 mm, 900 g, brass",
        "--outdoors",
    ]);
    assert!(ran.code == 2 && ran.err.contains("half"), "{}", ran.err);
}

#[test]
fn solid_metal_hears_nothing_of_prints_and_a_print_does() {
    let told = |part: &str| {
        let args =
            ["plan", "liver-of-sulphur-brown", "--vessel", "jar 120x150 mm, glass", "--outdoors", "--part", part];
        bathwright(&args).out
    };
    let metal = told("box 40x40x20 mm, solid, copper");
    for word in ["As printed", "hollow print", "print make-up", "filled plastics", "infill"] {
        assert!(!metal.contains(word), "{word}");
    }
    let print = told("box 40x40x20 mm, solid, copper, PLA, 40 % metal");
    for word in ["As printed", "hollow print", "filled plastics"] {
        assert!(print.contains(word), "{word} in {print}");
    }
}

#[test]
fn the_coupon_of_a_hot_bath_is_warmed_too() {
    let ran = bathwright(&[
        "plan",
        "hot-bluestone-green",
        "--whole",
        "--part",
        "name pull, box 100x20x15 mm, solid, brass",
        "--vessel",
        "beaker 120x140 mm, borosilicate glass",
        "--format",
        "json",
    ]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let json = ran.json();
    let steps = json["timetable"].as_array().expect("a timetable");
    let warms: Vec<&Value> = steps.iter().filter(|s| s["stage"] == "warm").map(|s| &s["part"]).collect();
    assert_eq!(warms, [&Value::from("coupon"), &Value::Null]);
    for word in ["layer height", "a print", "drain holes"] {
        assert!(!ran.out.contains(word), "{word}");
    }
}
