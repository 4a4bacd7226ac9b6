//! The timetable as iCalendar (RFC 5545): one event a step, in UTC, with alarms for looks, lifts and top-ups.
//!
//! The same plan gives the same bytes: identifiers come from the plan's fingerprint and the step's place, the time
//! stamp is handed in.

use super::model::Sheet;
use super::{compose, words};
use crate::diag::{Checked, Place, Problem};
use crate::plan::{Plan, fingerprint};
use crate::safety::{Review, Reviewed};
use crate::timetable::{BARREL, Stage, Step};
use icalendar::{Alarm, Calendar, Component, Event, EventLike, Property, Todo, Trigger};
use jiff::{SignedDuration, Timestamp};
use std::fmt::Debug;

/// How long before a look or lift the alarm sounds, as RFC 5545 writes it.
const ALARM: &str = "-PT10M";
/// Steps that last longer do not block the day: nobody stands beside a drying part.
const ATTENDED: SignedDuration = SignedDuration::from_hours(2);

/// The calendar of a plan. `stamp` is when it was made.
///
/// # Errors
/// A plan without a start has no times to put in a calendar.
pub fn plan(plan: &Reviewed<Plan>, stamp: Timestamp) -> Checked<String> {
    let (p, sheet) = (plan.value(), compose::plan(plan));
    if p.timetable.iter().any(|s| s.at.is_none()) || p.timetable.is_empty() {
        let problem = Problem::error("a calendar needs clock times, and this plan has no start")
            .at(Place::field("start"))
            .hint("give a start, such as 2026-11-27T09:00[Europe/London]");
        return Err(problem.into());
    }
    let mut calendar = start(&sheet);
    let fingerprint = p.fingerprint.to_string();
    let first_pour = p.timetable.iter().position(|s| s.stage == Stage::MakeUp);
    for (i, step) in p.timetable.iter().enumerate() {
        let mut notes = vec![words::clean(&step.what).into_owned()];
        notes.extend(step.remark.as_deref().map(|r| words::clean(r).into_owned()));
        if Some(i) == first_pour {
            notes.push(amounts(p));
        }
        // The first event carries everything the review found; the others the gravest actions of the bath, or what to
        // beware of at the barrel: it is closed where the bath may not be.
        let at_the_barrel = step.part.as_deref() == Some(BARREL);
        if i == 0 {
            notes.extend(everything(&sheet, plan.review()));
        } else if !at_the_barrel {
            notes.extend(gravest(&sheet));
        }
        notes.extend((i == 0 || at_the_barrel).then(|| barrel(p)).flatten());
        let uid = format!("{fingerprint}-{i}@bathwright");
        calendar.push(event(step, &sheet.title, &notes, &uid, stamp));
    }
    Ok(calendar.to_string())
}

/// A refusal: one thing to note, with the reasons, and no time to do anything at. `asked` is what was asked for, which
/// tells one refusal from another.
pub fn refused(title: Option<&str>, review: &Review, asked: &dyn Debug, stamp: Timestamp) -> String {
    let sheet = compose::refused(title, review);
    let mut todo = Todo::with_uid(&format!("refused-{}@bathwright", fingerprint(asked)));
    todo.add_property("DTSTAMP", utc(stamp));
    todo.summary(&format!("{}: {}", sheet.title, words::verdict(review.verdict)));
    todo.description(&everything(&sheet, review).join("\n"));
    start(&sheet).push(todo.done()).done().to_string()
}

fn start(sheet: &Sheet<'_>) -> Calendar {
    let mut calendar = Calendar::empty();
    calendar.append_property(Property::new("VERSION", "2.0"));
    calendar.append_property(Property::new("PRODID", "-//Bathwright//Bathwright//EN"));
    calendar.append_property(Property::new("CALSCALE", "GREGORIAN"));
    calendar.name(&sheet.title);
    if let Some(line) = &sheet.not_judged {
        calendar.description(line);
    }
    calendar
}

fn event(step: &Step, title: &str, notes: &[String], uid: &str, stamp: Timestamp) -> Event {
    let mut event = Event::with_uid(uid);
    event.add_property("DTSTAMP", utc(stamp));
    if let Some(at) = &step.at {
        event.add_property("DTSTART", utc(at.timestamp()));
    }
    if let Some(takes) = step.takes.filter(|t| t.is_positive()) {
        event.add_property("DURATION", SignedDuration::from_secs(takes.as_secs()).to_string());
        if takes > ATTENDED {
            event.add_property("TRANSP", "TRANSPARENT");
        }
    }
    let part = step.part.as_deref().map(|p| format!(", {}", words::clean(p))).unwrap_or_default();
    let summary = format!("{}{part}: {title}", compose::stage(step.stage));
    event.summary(&summary);
    event.description(&notes.join("\n"));
    if matches!(step.stage, Stage::Look | Stage::Lift | Stage::TopUp)
        && let Some(alarm) = alarm(&summary, uid, stamp)
    {
        event.alarm(alarm);
    }
    event.done()
}

/// The library reads no negative duration, so the alarm is made with a positive one and its trigger put right.
fn alarm(summary: &str, uid: &str, stamp: Timestamp) -> Option<Alarm> {
    let trigger = Trigger::try_from(&Property::new("TRIGGER", "PT0S")).ok()?;
    let mut alarm = Alarm::display(summary, trigger);
    alarm.add_property("TRIGGER", ALARM);
    // Without these the library writes the clock and a random number.
    alarm.add_property("DTSTAMP", utc(stamp)).add_property("UID", format!("alarm-{uid}"));
    Some(alarm)
}

fn amounts(plan: &Plan) -> String {
    let doses = plan.dosing.doses.iter().map(|d| {
        let measured =
            d.measured.as_ref().map_or_else(|| d.exact.to_string(), |m| words::clean(&words::measured(m)).into_owned());
        format!("{} {measured} ({})", words::clean(&d.name), words::clean(&d.metric))
    });
    format!("Amounts: {}.", doses.collect::<Vec<_>>().join("; "))
}

/// What to beware of at the barrel of a whole job.
fn barrel(plan: &Plan) -> Option<String> {
    let cautions = &plan.whole.as_ref()?.tumbling.as_ref()?.tumbling.cautions;
    Some(format!("The barrel: {}", words::cleaned(cautions).join(" ")))
}

fn gravest(sheet: &Sheet<'_>) -> Vec<String> {
    sheet.first.iter().map(|f| format!("{}: {}", words::gravity(f.gravity), f.action)).collect()
}

fn everything(sheet: &Sheet<'_>, review: &Review) -> Vec<String> {
    let mut lines: Vec<String> = sheet.not_judged.iter().cloned().collect();
    lines.extend(sheet.verdict.iter().map(|(_, sentence)| format!("Verdict: {sentence}")));
    for h in &review.hazards {
        let title = format!("{}: {}. {}", words::gravity(h.gravity), words::clean(&h.title), words::clean(&h.why));
        lines.push(title);
        lines.extend(h.actions.iter().map(|a| format!("- {}", words::clean(a))));
    }
    for (what, all) in [
        ("Protection", &review.ppe),
        ("If something goes wrong", &review.first_response),
        ("Storing", &review.storage),
        ("Disposal", &review.disposal),
    ] {
        if !all.is_empty() {
            lines.push(format!("{what}: {}", words::cleaned(all).join("; ")));
        }
    }
    lines.push(sheet.closing.to_string());
    lines
}

fn utc(time: Timestamp) -> String {
    time.strftime("%Y%m%dT%H%M%SZ").to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    // RFC 5545, section 3.3.5, form 2: 07:00 UTC on 19 January 1998 is 19980119T070000Z, which is 02:00 in New York.
    #[test]
    fn times_are_written_in_utc() {
        let at: jiff::ZonedDateTime = "1998-01-19T02:00:00[America/New_York]".parse().unwrap();
        assert_eq!(utc(at.timestamp()), "19980119T070000Z");
    }
}
