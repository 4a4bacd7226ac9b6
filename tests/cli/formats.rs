//! Every format of every command, as snapshots: read the difference before accepting it.

use super::bathwright;

fn shown(arguments: &[&str]) -> String {
    let ran = bathwright(arguments);
    assert_eq!(ran.code, 0, "{arguments:?}\n{}\n{}", ran.out, ran.err);
    ran.out
}

/// JSON with its figures to four places that count: the ninth differs between processors, and is not what a snapshot
/// is for.
fn figures(text: &str) -> String {
    fn round(value: &mut serde_json::Value) {
        match value {
            serde_json::Value::Number(n) if n.is_f64() => {
                let x = n.as_f64().unwrap_or_default();
                if x != 0.0 {
                    let scale = 10f64.powi(3 - x.abs().log10().floor() as i32);
                    let rounded = (x * scale).round() / scale;
                    *value = serde_json::json!(format!("{rounded:.6e}").parse::<f64>().unwrap_or(x));
                }
            }
            serde_json::Value::Array(list) => list.iter_mut().for_each(round),
            serde_json::Value::Object(map) => map.values_mut().for_each(round),
            _ => {}
        }
    }
    let mut value: serde_json::Value = serde_json::from_str(text).expect("the program prints JSON");
    round(&mut value);
    serde_json::to_string_pretty(&value).expect("JSON can be written")
}

#[test]
fn the_demo_plan_in_every_format() {
    insta::assert_snapshot!("plan_demo_80", shown(&["plan", "demo", "--width", "80"]));
    insta::assert_snapshot!("plan_demo_120", shown(&["plan", "demo", "--width", "120"]));
    insta::assert_snapshot!("plan_demo_json", figures(&shown(&["plan", "demo", "--format", "json"])));
    insta::assert_snapshot!("plan_demo_html", shown(&["plan", "demo", "--format", "html"]));
    let calendar = shown(&["plan", "demo", "--format", "ics"]);
    // The stamp is the clock's; everything else is the plan's.
    let calendar: Vec<&str> = calendar.lines().filter(|l| !l.starts_with("DTSTAMP")).collect();
    insta::assert_snapshot!("plan_demo_ics", calendar.join("\n"));
}

#[test]
fn the_demo_plan_is_the_same_every_time() {
    for format in ["text", "json", "html"] {
        assert_eq!(shown(&["plan", "demo", "--format", format]), shown(&["plan", "demo", "--format", format]));
    }
}

const KITCHEN: [&str; 4] =
    ["3/4 cup water", "1/8 cup white vinegar 5%", "1/8 cup hydrogen peroxide 3%", "2-3 tbsp table salt"];

#[test]
fn check_and_mix_of_the_kitchen_bath() {
    let with = |command: &'static str, more: &[&'static str]| {
        let mut all = vec![command];
        all.extend(KITCHEN);
        all.extend(more);
        shown(&all)
    };
    insta::assert_snapshot!("check_kitchen_80", with("check", &["--part", "iron", "--width", "80"]));
    insta::assert_snapshot!("check_kitchen_json", figures(&with("check", &["--part", "iron", "--format", "json"])));
    insta::assert_snapshot!("mix_kitchen_80", with("mix", &["--width", "80"]));
    insta::assert_snapshot!("mix_kitchen_json", figures(&with("mix", &["--format", "json"])));
}

#[test]
fn neutralising_a_vinegar_bath() {
    let lines = ["neutralise", "1 L water", "120 mL white vinegar 5 %", "--with", "baking soda", "--to", "7"];
    let mut text = lines.to_vec();
    text.extend(["--width", "80"]);
    insta::assert_snapshot!("neutralise_80", shown(&text));
    let mut json = lines.to_vec();
    json.extend(["--format", "json"]);
    insta::assert_snapshot!("neutralise_json", figures(&shown(&json)));
}

#[test]
fn scaling_the_kitchen_bath_to_four_litres() {
    // 12.7 cups of water, shown to one figure more: common practice, no source.
    let text = shown(&["scale", "kitchen-rust", "--to", "4 L", "--width", "100"]);
    assert!(text.contains("12.68 cups"), "{text}");
    insta::assert_snapshot!("scale_4_l", text);
    insta::assert_snapshot!(
        "scale_4_l_json",
        figures(&shown(&["scale", "kitchen-rust", "--to", "4 L", "--format", "json"]))
    );
}

#[test]
fn the_list_of_recipes() {
    insta::assert_snapshot!("recipes_120", shown(&["recipes", "--width", "120"]));
}

#[test]
fn a_formula_of_lines_works_where_a_recipe_does() {
    let mut plan = vec!["plan"];
    plan.extend(KITCHEN);
    plan.extend([
        "--part",
        "box 40x40x80 mm, 85 g, iron, PLA",
        "--vessel",
        "cup 60-82x140 mm, glass",
        "--format",
        "json",
    ]);
    let ran = bathwright(&plan);
    assert_eq!(ran.code, 0, "{}\n{}", ran.out, ran.err);
    let json = ran.json();
    assert_eq!(json["safety"]["verdict"], "warn");
    assert!(json["immersion"]["fill_line_mm"].as_f64().is_some_and(|x| x > 80.0 && x < 140.0), "{}", json["immersion"]);
}

#[test]
fn recipes_that_filled_plastic_cannot_take_are_refused() {
    let ran = bathwright(&[
        "plan",
        "hot-sulphide-silver",
        "--part",
        "box 20x20x20 mm, 30 g, silver, PLA",
        "--vessel",
        "jar 80x120 mm, glass",
    ]);
    assert_eq!(ran.code, 3, "{}\n{}", ran.out, ran.err);
}
