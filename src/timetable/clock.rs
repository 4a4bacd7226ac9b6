//! Clock times and quiet hours. A soak is elapsed time: when the clocks change, the clock time shows it, not the soak.

use super::{Stage, Step};
use jiff::civil::Time;
use jiff::{SignedDuration, ZonedDateTime};

/// Puts clock times on steps, moving nothing: steps that fall into quiet hours get a remark with other times to choose.
///
/// `quiet` is from when to when nobody is there, by the local clock; it may run over midnight, and equal ends mean none.
pub fn with_clock(steps: Vec<Step>, start: Option<&ZonedDateTime>, quiet: Option<(Time, Time)>) -> Vec<Step> {
    let Some(start) = start else { return steps };
    let quiet = quiet.filter(|(from, to)| from != to);
    steps
        .into_iter()
        .map(|mut step| {
            // A time beyond the calendar's end stays without a clock time rather than showing a wrong one.
            step.at = start.checked_add(step.after).ok();
            step.remark = match (&step.at, quiet) {
                (Some(at), Some(hours)) => in_quiet_hours(&step, at, start, hours),
                _ => None,
            };
            step
        })
        .collect()
}

fn in_quiet_hours(step: &Step, at: &ZonedDateTime, start: &ZonedDateTime, (from, to): (Time, Time)) -> Option<String> {
    let now = at.time();
    let over_midnight = from > to;
    let inside = if over_midnight { now >= from || now < to } else { now >= from && now < to };
    if !inside {
        return None;
    }
    let begins = if over_midnight && now < to { at.date().yesterday().ok() } else { Some(at.date()) };
    let ends = if over_midnight && now >= from { at.date().tomorrow().ok() } else { Some(at.date()) };
    let on_clock =
        |date: Option<jiff::civil::Date>, time: Time| date?.to_datetime(time).to_zoned(at.time_zone().clone()).ok();
    let hours = format!("quiet hours ({} to {})", from.strftime("%H:%M"), to.strftime("%H:%M"));
    if !step.after.is_positive() {
        return Some(format!("In {hours}. Nothing was moved: choose another start, or be there."));
    }
    let mut choices = Vec::new();
    if let Some(earlier) = on_clock(begins, from).filter(|t| t > start) {
        let sooner = at.duration_since(&earlier);
        if sooner.is_positive() {
            choices.push(format!("at {} ({} sooner)", earlier.strftime("%a %H:%M"), rough(sooner)));
        } else {
            choices.push(format!("just before {}", earlier.strftime("%a %H:%M")));
        }
    }
    if let Some(later) = on_clock(ends, to) {
        choices.push(format!("at {} ({} later)", later.strftime("%a %H:%M"), rough(later.duration_since(at))));
    }
    let verb = match step.stage {
        Stage::Look => "look",
        Stage::Lift => "look and decide on the lift",
        Stage::TopUp => "top up",
        _ => "do it",
    };
    let mut remark = format!("In {hours}. Nothing was moved");
    if !choices.is_empty() {
        remark.push_str(&format!(": {verb} {} instead, or be there", choices.join(" or ")));
    }
    if matches!(step.stage, Stage::Look | Stage::Lift) {
        remark.push_str(". Sooner is the careful choice: what a bath has done cannot be undone");
    }
    remark.push('.');
    Some(remark)
}

/// A length of time to the minute.
fn rough(length: SignedDuration) -> String {
    let minutes = length.as_mins();
    match (minutes / 60, minutes % 60) {
        (0, m) => format!("{m} min"),
        (h, 0) => format!("{h} h"),
        (h, m) => format!("{h} h {m} min"),
    }
}
