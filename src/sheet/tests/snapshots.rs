//! Snapshots of every format: they show that the layout has not changed, not that the numbers are right.

use crate::sheet::{calendar, fixture, html, json, terminal};
use insta::assert_snapshot;

const START: Option<&str> = Some("2026-11-27T13:00[Europe/London]");
const STAMP: jiff::Timestamp = jiff::Timestamp::constant(1_795_000_000, 0);

fn pretty(value: &serde_json::Value) -> String {
    serde_json::to_string_pretty(value).unwrap()
}

#[test]
fn terminal_at_120() {
    assert_snapshot!(terminal::plan(&fixture::plan(START), 120));
}

#[test]
fn terminal_at_80() {
    assert_snapshot!(terminal::plan(&fixture::plan(None), 80));
}

#[test]
fn terminal_refusal() {
    assert_snapshot!(terminal::refused(Some("Kitchen rust bath"), &fixture::refusal(), 80));
}

#[test]
fn terminal_other_commands() {
    let all = [
        terminal::check(&fixture::review(), 80),
        terminal::mix(&fixture::mixed(), 100),
        terminal::neutralise(&fixture::neutralised(), 80),
        terminal::scale(&fixture::scaled(), 100),
        terminal::recipes(&fixture::listing(), 100),
    ];
    assert_snapshot!(all.join("\n==========\n\n"));
}

#[test]
fn json_plan() {
    assert_snapshot!(pretty(&json::plan(&fixture::plan(START))));
}

#[test]
fn json_refusal() {
    assert_snapshot!(pretty(&json::refused(Some("kitchen-rust"), &fixture::refusal())));
}

#[test]
fn json_other_commands() {
    let all =
        [json::mix(&fixture::mixed()), json::neutralise(&fixture::neutralised()), json::recipes(&fixture::listing())];
    assert_snapshot!(all.iter().map(pretty).collect::<Vec<_>>().join("\n"));
}

#[test]
fn html_plan() {
    assert_snapshot!(html::plan(&fixture::plan(START)));
}

#[test]
fn html_refusal() {
    assert_snapshot!(html::refused(Some("Kitchen rust bath"), &fixture::refusal()));
}

#[test]
fn calendar_plan() {
    assert_snapshot!(calendar::plan(&fixture::plan(START), STAMP).unwrap().replace("\r\n", "\n"));
}

#[test]
fn calendar_refusal() {
    let text = calendar::refused(Some("Kitchen rust bath"), &fixture::refusal(), &"asked", STAMP);
    assert_snapshot!(text.replace("\r\n", "\n"));
}
