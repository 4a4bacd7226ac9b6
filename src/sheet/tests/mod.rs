//! The formats beside each other: nothing found is missing from any, and a refusal holds no amount.

use super::{calendar, fixture, html, json, terminal};

#[test]
fn terminal_at_120() {
    insta::assert_snapshot!(terminal::plan(&fixture::plan(Some("2026-11-27T13:00[Europe/London]")), 120));
}

#[test]
fn terminal_at_80() {
    insta::assert_snapshot!(terminal::plan(&fixture::plan(None), 80));
}

#[test]
fn terminal_refusal() {
    insta::assert_snapshot!(terminal::refused(Some("Kitchen rust bath"), &fixture::refusal(), 80));
}

#[test]
fn json_plan() {
    let value = json::plan(&fixture::plan(Some("2026-11-27T13:00[Europe/London]")));
    insta::assert_snapshot!(serde_json::to_string_pretty(&value).unwrap());
}

#[test]
fn html_plan() {
    insta::assert_snapshot!(html::plan(&fixture::plan(Some("2026-11-27T13:00[Europe/London]"))));
}

#[test]
fn html_refusal() {
    insta::assert_snapshot!(html::refused(Some("Kitchen rust bath"), &fixture::refusal()));
}

const STAMP: jiff::Timestamp = jiff::Timestamp::constant(1_795_000_000, 0);

#[test]
fn calendar_plan() {
    let plan = fixture::plan(Some("2026-11-27T13:00[Europe/London]"));
    insta::assert_snapshot!(calendar::plan(&plan, STAMP).unwrap().replace("\r\n", "\n"));
}

#[test]
fn calendar_refusal() {
    let text = calendar::refused(Some("Kitchen rust bath"), &fixture::refusal(), STAMP);
    insta::assert_snapshot!(text.replace("\r\n", "\n"));
}
