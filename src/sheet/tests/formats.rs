//! What every format must hold, and what none may.

use crate::safety::{Gravity, Hazard, Review, Reviewed, Verdict};
use crate::sheet::{calendar, fixture, html, json, terminal};
use jiff::Timestamp;
use textwrap::core::display_width;

const START: Option<&str> = Some("2026-11-27T13:00[Europe/London]");
const WIDTHS: [usize; 7] = [20, 40, 60, 80, 99, 100, 160];

/// Text as it was before it was wrapped, laid out in columns, escaped or folded: words alone, in order, joined by one
/// space; what stood in another column is left out by the caller's choice of width.
fn words(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn unfolded(ics: &str) -> String {
    let text = ics.replace("\r\n ", "").replace("\\n", " ").replace("\\,", ",").replace("\\;", ";");
    words(&text)
}

fn without_tags(html: &str) -> String {
    let mut text = String::new();
    let mut inside = false;
    for c in html.chars() {
        match c {
            '<' => inside = true,
            '>' => {
                inside = false;
                text.push(' ');
            }
            c if !inside => text.push(c),
            _ => {}
        }
    }
    let text = text.replace("&quot;", "\"").replace("&amp;", "&").replace("&lt;", "<").replace("&gt;", ">");
    words(&text)
}

/// The plan in every format, as plain words, with the name of the format.
fn everywhere(plan: &Reviewed<crate::plan::Plan>) -> Vec<(&'static str, String)> {
    vec![
        // One column, so that no line of another column stands between two words.
        ("terminal", words(&terminal::plan(plan, 99).replace('\u{2500}', ""))),
        ("html", without_tags(&html::plan(plan))),
        ("json", words(&json::plan(plan).to_string().replace("\\\"", "\""))),
        ("ics", unfolded(&calendar::plan(plan, Timestamp::UNIX_EPOCH).unwrap())),
    ]
}

fn many_hazards() -> Review {
    let mut review = fixture::review();
    for (i, gravity) in
        [Gravity::StrongCaution, Gravity::Caution, Gravity::Note].into_iter().cycle().take(30).enumerate()
    {
        review.hazards.push(Hazard {
            id: format!("rule-{i}"),
            title: format!("Hazard number {i}, named at some length so that it has to be wrapped somewhere"),
            gravity,
            products: vec![],
            why: format!("Because of cause {i}; it matters when \"warm\" & <damp>, and longer than a line can be."),
            actions: vec![
                format!("First do {i}a, carefully."),
                format!("Then do {i}b, and wait a while before going on."),
            ],
            numbers: vec![],
            sources: vec![],
        });
    }
    review.hazards.sort_by_key(|h| std::cmp::Reverse(h.gravity));
    review
}

#[test]
fn every_finding_stands_in_every_format() {
    let plan = Reviewed::for_tests(fixture::plan(START).value().clone(), many_hazards());
    for (format, text) in everywhere(&plan) {
        for h in &plan.review().hazards {
            for said in [&h.title, &h.why].into_iter().chain(&h.actions) {
                assert!(text.contains(said.as_str()), "{format} lacks {said:?} of {}", h.id);
            }
        }
        assert!(text.contains("NOT JUDGED: what colours the filament holds"), "{format}");
    }
}

#[test]
fn findings_keep_their_order_and_the_three_gravest_stand_before_the_amounts() {
    let plan = Reviewed::for_tests(fixture::plan(START).value().clone(), many_hazards());
    for (format, text) in everywhere(&plan).into_iter().filter(|(f, _)| *f != "ics") {
        let places: Vec<_> = plan.review().hazards.iter().filter_map(|h| text.find(h.why.as_str())).collect();
        assert!(places.len() == plan.review().hazards.len() && places.is_sorted(), "{format}");
    }
    let text = terminal::plan(&plan, 80);
    let first = text.find("1. STRONG CAUTION").unwrap();
    assert!(first < text.find("Amounts").unwrap() && text[first..].contains("3. STRONG CAUTION"));
    let wide = terminal::plan(&plan, 100);
    let line = wide.lines().find(|l| l.contains("Before anything else")).unwrap();
    assert!(line.starts_with("Amounts"), "{line}");
}

#[test]
fn what_could_not_be_judged_is_the_first_line() {
    for width in WIDTHS {
        assert!(terminal::plan(&fixture::plan(None), width).starts_with("NOT JUDGED: "));
        assert!(terminal::scale(&fixture::scaled(), width).starts_with("NOT JUDGED: "));
        assert!(terminal::mix(&fixture::mixed(), width).starts_with("NOT JUDGED: "));
        assert!(terminal::neutralise(&fixture::neutralised(), width).starts_with("NOT JUDGED: "));
        assert!(terminal::check(&fixture::review(), width).starts_with("NOT JUDGED: "));
    }
    let page = without_tags(html::plan(&fixture::plan(None)).split_once("<body>").unwrap().1);
    assert!(page.starts_with("NOT JUDGED: "), "{}", &page[..60]);
}

#[test]
fn a_refusal_holds_reasons_and_no_amounts() {
    let review = fixture::refusal();
    let all = [
        terminal::refused(Some("Kitchen rust bath"), &review, 80),
        terminal::refused(None, &review, 120),
        terminal::check(&review, 80),
        html::refused(Some("Kitchen rust bath"), &review),
        html::check(&review),
        json::refused(Some("kitchen-rust"), &review).to_string(),
        json::refused(None, &review).to_string(),
        json::check(&review).to_string(),
        unfolded(&calendar::refused(Some("Kitchen rust bath"), &review, &"asked", Timestamp::UNIX_EPOCH)),
    ];
    for text in &all {
        // The figures of the fixture that are amounts or thresholds, and the key of one; the gas figure may stand.
        for amount in ["517.3", "4.44", "threshold", "input_ml", "input 5"] {
            assert!(!text.contains(amount), "{amount} in {text}");
        }
        assert!(text.contains("Bleach and acid set chlorine free") && text.contains("Do not mix these."), "{text}");
    }
    let json = json::refused(Some("kitchen-rust"), &review);
    for key in ["bath", "immersion", "timetable"] {
        assert!(json.get(key).is_some_and(serde_json::Value::is_null), "{key}");
    }
    assert_eq!(json["safety"]["verdict"], "refuse");
    let bare = json::refused(None, &review);
    assert!(bare.get("mass_g").is_none() && bare.get("volume_ml").is_none());
}

#[test]
fn no_line_is_wider_than_asked_and_none_has_control_codes() {
    let mut plan = fixture::plan(START).value().clone();
    plan.recipe.title = "Rust\u{1b}[31m bath with averyveryverylongwordthatdoesnotendanywherenearaforty".into();
    plan.timetable[0].what = "\u{202e}turned\u{7} around\r\nand down".into();
    let plan = Reviewed::for_tests(plan, many_hazards());
    for width in WIDTHS {
        let all = [
            terminal::plan(&plan, width),
            terminal::check(&many_hazards(), width),
            terminal::recipes(&fixture::listing(), width),
        ];
        for line in all.iter().flat_map(|t| t.lines()) {
            assert!(display_width(line) <= width.max(40), "{width}: {line:?}");
            assert!(!line.chars().any(|c| c.is_control() || c == '\u{202e}'), "{line:?}");
        }
    }
}

#[test]
fn the_page_is_self_contained_and_escapes_what_people_type() {
    let mut plan = fixture::plan(START).value().clone();
    plan.recipe.title = "<script>alert(1)</script> & \"bath\"".into();
    plan.timetable[0].what = "<img src=x onerror=alert(1)>".into();
    if let Some(found) = &mut plan.immersion {
        found.parts[0].name = "\"><svg onload=alert(1)>".into();
    }
    let page = html::plan(&Reviewed::for_tests(plan, fixture::review()));
    for bad in ["<script", "<img", "<svg onload", "http://", "https://", "src=\"", "url(", "<link", "@import"] {
        assert!(!page.contains(bad), "{bad}");
    }
    assert!(page.contains("&lt;script&gt;"));
}

#[test]
fn nothing_is_ever_called_safe() {
    let mut fine = fixture::review();
    fine.verdict = Verdict::Fine;
    fine.hazards.clear();
    fine.not_judged.clear();
    let plan = Reviewed::for_tests(fixture::plan(START).value().clone(), fine.clone());
    let mut all = everywhere(&plan);
    all.push(("check", terminal::check(&fine, 80)));
    for (format, text) in all {
        let lower = text.to_lowercase();
        let word = lower.split(|c: char| !c.is_alphabetic()).find(|w| ["safe", "safely", "harmless"].contains(w));
        assert_eq!(word, None, "{format}");
    }
    assert!(words(&terminal::check(&fine, 80)).contains("no hazard known to this program was found"));
}

#[test]
fn a_calendar_is_folded_dated_and_the_same_every_time() {
    let plan = fixture::plan(START);
    let text = calendar::plan(&plan, Timestamp::UNIX_EPOCH).unwrap();
    assert_eq!(text, calendar::plan(&plan, Timestamp::UNIX_EPOCH).unwrap());
    // RFC 5545, 3.1: lines end in CR LF and are not longer than 75 octets.
    assert!(text.ends_with("\r\n") && !text.replace("\r\n", "").contains(['\r', '\n']));
    assert!(text.split("\r\n").all(|l| l.len() <= 75));
    let count = |what: &str| text.matches(what).count();
    assert_eq!(count("BEGIN:VEVENT"), plan.value().timetable.len());
    // Two looks and two lifts ring.
    assert_eq!((count("BEGIN:VALARM"), count("TRIGGER:-PT10M")), (4, 4));
    assert_eq!(count("DTSTAMP:19700101T000000Z"), plan.value().timetable.len() + 4);
    // 13:00 in London is 13:00 UTC in winter.
    assert!(text.contains("DTSTART:20261127T130000Z"));
    let parsed: icalendar::Calendar = text.parse().unwrap();
    assert_eq!(parsed.components.len(), plan.value().timetable.len());
}

#[test]
fn a_calendar_without_a_start_is_bad_input() {
    let problems = calendar::plan(&fixture::plan(None), Timestamp::UNIX_EPOCH).unwrap_err();
    assert!(problems.to_string().contains("start"), "{problems}");
}

#[test]
fn not_modelled_is_null_with_a_warning() {
    let mut plan = fixture::plan(None).value().clone();
    plan.mixture.ph = None;
    plan.mixture.heat_rise = None;
    plan.immersion = None;
    let json = json::plan(&Reviewed::for_tests(plan, fixture::review()));
    assert!(json["bath"]["ph"].is_null() && json["bath"].get("ph").is_some());
    assert!(json["immersion"].is_null() && json.get("immersion").is_some());
    assert!(json["timetable"][0]["at"].is_null() && json["timetable"][0]["after"] == "-PT1H5M");
    let warnings = json["bath"]["warnings"].to_string();
    assert!(
        warnings.contains("pH is not modelled") && warnings.contains("heat of mixing is not modelled"),
        "{warnings}"
    );
}
