//! Steps as JSON: RFC 3339 times, ISO 8601 durations.

use crate::timetable::{Stage, Step};
use serde_json::{Value, json};

/// The steps, in order of time.
pub(super) fn timetable_json(steps: &[Step]) -> Value {
    steps.iter().map(step).collect()
}

fn step(s: &Step) -> Value {
    json!({
        "at": s.at.as_ref().map(|t| t.strftime("%Y-%m-%dT%H:%M:%S%:z").to_string()),
        "after": s.after.to_string(),
        "part": s.part,
        "do": s.what,
        "stage": stage(s.stage),
        "takes": s.takes.map(|t| t.to_string()),
        "remark": s.remark,
    })
}

fn stage(stage: Stage) -> &'static str {
    match stage {
        Stage::Prepare => "prepare",
        Stage::MakeUp => "make-up",
        Stage::Immerse => "immerse",
        Stage::Look => "look",
        Stage::Lift => "lift",
        Stage::TopUp => "top-up",
        Stage::Rinse => "rinse",
        Stage::Neutralise => "neutralise",
        Stage::Dry => "dry",
        Stage::Seal => "seal",
        Stage::Dispose => "dispose",
    }
}
