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
        Stage::Warm => "warm",
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

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::SignedDuration;

    // RFC 3339, section 5.8: 16 hours, 39 minutes and 57 seconds after midnight on 19 December 1996 in Pacific Standard
    // Time is written 1996-12-19T16:39:57-08:00.
    #[test]
    fn times_are_rfc_3339_and_lengths_iso_8601() {
        let mut one = Step::new(SignedDuration::from_mins(-65), Stage::Look, "look");
        one.at = Some("1996-12-19T16:39:57[America/Los_Angeles]".parse().unwrap());
        one.takes = Some(SignedDuration::from_hours(48));
        let json = timetable_json(&[one]);
        assert_eq!(json[0]["at"], "1996-12-19T16:39:57-08:00");
        assert_eq!(json[0]["after"], "-PT1H5M");
        assert_eq!(json[0]["takes"], "PT48H");
    }
}
