//! The formats beside each other: nothing found is missing from any, and a refusal holds no amount.

use super::{fixture, json, terminal};

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
