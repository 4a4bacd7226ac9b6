//! Clock times and quiet hours. A soak is elapsed time: when the clocks change, the clock time shows it, not the soak.

use super::{Stage, Step, in_words};
use jiff::ZonedDateTime;
use jiff::civil::Time;

/// Puts clock times on steps, moving nothing: steps that fall into quiet hours get a remark with other times to choose.
///
/// `quiet` is from when to when nobody is there, by the local clock; it may run over midnight, and equal ends mean none.
pub fn with_clock(steps: Vec<Step>, start: Option<&ZonedDateTime>, quiet: Option<(Time, Time)>) -> Vec<Step> {
    let Some(start) = start else { return steps };
    let quiet = quiet.filter(|(from, to)| from != to);
    let mut before = start.clone();
    steps
        .into_iter()
        .map(|mut step| {
            // A time beyond the calendar's end stays without a clock time rather than showing a wrong one.
            step.at = start.checked_add(step.after).ok();
            let quiet = match (&step.at, quiet) {
                (Some(at), Some(hours)) => in_quiet_hours(&step, at, start, hours),
                _ => None,
            };
            let changed = step.at.as_ref().and_then(|at| clock_changed(&before, at));
            step.remark = changed.into_iter().chain(quiet).reduce(|a, b| format!("{a} {b}"));
            before = step.at.clone().unwrap_or(before.clone());
            step
        })
        .collect()
}

/// What to know when the clocks were changed between one step and the next: steps of elapsed time then fall at another
/// hour of the day than the days before.
fn clock_changed(before: &ZonedDateTime, at: &ZonedDateTime) -> Option<String> {
    let by = at.offset().seconds() - before.offset().seconds();
    if by == 0 || before > at {
        return None;
    }
    let (way, hours) = if by > 0 { ("forward", "later") } else { ("back", "earlier") };
    let by = in_words(jiff::SignedDuration::from_secs(i64::from(by)));
    Some(format!(
        "Since the step before, the clocks were put {way} {by}. Lengths are elapsed time, so from here on the same hour \
         of the job falls {by} {hours} by the clock."
    ))
}

/// Beginning and end of the quiet hours that a moment falls into; `None` outside them, or when both ends are equal.
pub(super) fn quiet_around(at: &ZonedDateTime, (from, to): (Time, Time)) -> Option<(ZonedDateTime, ZonedDateTime)> {
    let now = at.time();
    let over_midnight = from > to;
    let inside = if over_midnight { now >= from || now < to } else { now >= from && now < to };
    if !inside {
        return None;
    }
    let begins = if over_midnight && now < to { at.date().yesterday().ok() } else { Some(at.date()) };
    let ends = if over_midnight && now >= from { at.date().tomorrow().ok() } else { Some(at.date()) };
    let on_clock = |date: Option<jiff::civil::Date>, time: Time| {
        date?.to_datetime(time).to_zoned_datetime(at.time_zone().clone()).ok()
    };
    on_clock(begins, from).zip(on_clock(ends, to))
}

fn in_quiet_hours(step: &Step, at: &ZonedDateTime, start: &ZonedDateTime, quiet: (Time, Time)) -> Option<String> {
    let (begins, ends) = quiet_around(at, quiet)?;
    let hours = format!("quiet hours ({} to {})", quiet.0.strftime("%H:%M"), quiet.1.strftime("%H:%M"));
    if !step.after.is_positive() {
        return Some(format!("In {hours}. Nothing was moved: choose another start, or be there."));
    }
    let mut choices = Vec::new();
    if let Some(earlier) = Some(begins).filter(|t| t > start) {
        let sooner = at.duration_since(&earlier);
        if sooner.is_positive() {
            choices.push(format!("at {} ({} sooner)", earlier.strftime("%a %H:%M"), in_words(sooner)));
        } else {
            choices.push(format!("just before {}", earlier.strftime("%a %H:%M")));
        }
    }
    choices.push(format!("at {} ({} later)", ends.strftime("%a %H:%M"), in_words(ends.duration_since(at))));
    let verb = match step.stage {
        Stage::Look => "look",
        Stage::Lift => "look and decide on the lift",
        Stage::TopUp => "top up",
        _ => "do it",
    };
    let mut remark = format!("In {hours}. Nothing was moved: {verb} {} instead, or be there", choices.join(" or "));
    if matches!(step.stage, Stage::Look | Stage::Lift) {
        remark.push_str(". Sooner is the careful choice: what a bath has done cannot be undone");
    }
    remark.push('.');
    Some(remark)
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::SignedDuration;

    fn steps(hours: &[i64]) -> Vec<Step> {
        hours.iter().map(|h| Step::new(SignedDuration::from_hours(*h), Stage::Look, "look")).collect()
    }

    fn clock(start: &str, hours: &[i64], quiet: Option<(i8, i8)>) -> Vec<Step> {
        let start: ZonedDateTime = start.parse().unwrap();
        let quiet = quiet.map(|(a, b)| (Time::new(a, 0, 0, 0).unwrap(), Time::new(b, 0, 0, 0).unwrap()));
        with_clock(steps(hours), Some(&start), quiet)
    }

    fn at(step: &Step) -> String {
        step.at.as_ref().map(|t| t.strftime("%F %H:%M %:z").to_string()).unwrap_or_default()
    }

    // Directive 2000/84/EC: summer time in the European Union ends at 01:00 UTC on the last Sunday in October (in 2026
    // the 25th) and begins at 01:00 UTC on the last Sunday in March (in 2026 the 29th).
    #[test]
    fn a_soak_is_elapsed_time_when_summer_time_ends() {
        let s = clock("2026-10-24T18:00[Europe/Paris]", &[12, 24], None);
        assert_eq!(at(&s[0]), "2026-10-25 05:00 +01:00");
        assert_eq!(at(&s[1]), "2026-10-25 17:00 +01:00");
    }

    #[test]
    fn a_soak_is_elapsed_time_when_summer_time_begins() {
        let s = clock("2026-03-28T18:00[Europe/Paris]", &[12, 24], None);
        assert_eq!(at(&s[0]), "2026-03-29 07:00 +02:00");
        assert_eq!(at(&s[1]), "2026-03-29 19:00 +02:00");
    }

    #[test]
    fn quiet_hours_over_midnight_offer_both_sides_and_move_nothing() {
        let s = clock("2026-11-27T13:00[Europe/London]", &[12, 18, 8], Some((22, 7)));
        assert_eq!(at(&s[0]), "2026-11-28 01:00 +00:00");
        let remark = s[0].remark.as_deref().unwrap();
        assert!(remark.contains("at Fri 22:00 (3 h sooner) or at Sat 07:00 (6 h later)"), "{remark}");
        // The end of the quiet hours is no longer quiet.
        assert_eq!(at(&s[1]), "2026-11-28 07:00 +00:00");
        assert_eq!((&s[1].remark, &s[2].remark), (&None, &None));
    }

    #[test]
    fn quiet_hours_count_elapsed_time_when_the_clock_is_put_back() {
        // 22:00 summer time to 07:00 winter time is ten hours, and 02:30 comes twice that night.
        let s = clock("2026-10-24T18:30[Europe/Paris]", &[8, 9], Some((22, 7)));
        assert_eq!((at(&s[0]).as_str(), at(&s[1]).as_str()), ("2026-10-25 02:30 +02:00", "2026-10-25 02:30 +01:00"));
        assert!(s[0].remark.as_deref().unwrap().contains("(4 h 30 min sooner) or at Sun 07:00 (5 h 30 min later)"));
        assert!(s[1].remark.as_deref().unwrap().contains("(5 h 30 min sooner) or at Sun 07:00 (4 h 30 min later)"));
    }

    #[test]
    fn a_change_of_the_clocks_is_said_once() {
        let s = clock("2026-10-24T18:00[Europe/Paris]", &[6, 12, 24], None);
        let remarks: Vec<Option<&str>> = s.iter().map(|s| s.remark.as_deref()).collect();
        assert!(remarks[0].is_none() && remarks[2].is_none(), "{remarks:?}");
        assert!(remarks[1].is_some_and(|r| r.contains("put back 1 h") && r.contains("1 h earlier")), "{remarks:?}");
    }

    #[test]
    fn an_earlier_time_before_the_start_is_not_offered() {
        let s = clock("2026-11-27T23:00[Europe/London]", &[1], Some((22, 7)));
        let remark = s[0].remark.as_deref().unwrap();
        assert!(!remark.contains("sooner)") && remark.contains("Sat 07:00 (7 h later)"), "{remark}");
    }

    #[test]
    fn without_a_start_there_is_no_clock_and_a_far_time_has_none() {
        assert!(with_clock(steps(&[12]), None, None)[0].at.is_none());
        let s = clock("9999-12-30T00:00[UTC]", &[12, 24 * 365 * 100], None);
        assert!(s[0].at.is_some() && s[1].at.is_none());
    }

    proptest::proptest! {
        #[test]
        fn clock_times_lie_as_far_apart_as_the_steps_and_a_remark_means_quiet(
            zone in proptest::sample::select(vec!["Europe/London", "America/New_York", "Australia/Lord_Howe", "UTC"]),
            start in 1_700_000_000i64..1_800_000_000,
            minutes in 0i64..20_000,
            from in 0i8..24,
            to in 0i8..24,
        ) {
            let start = jiff::Timestamp::from_second(start).unwrap().in_tz(zone).unwrap();
            let after = SignedDuration::from_mins(minutes);
            let hours = (Time::new(from, 0, 0, 0).unwrap(), Time::new(to, 0, 0, 0).unwrap());
            let step = with_clock(vec![Step::new(after, Stage::Look, "look")], Some(&start), Some(hours)).remove(0);
            let at = step.at.unwrap();
            proptest::prop_assert_eq!(at.duration_since(&start), after);
            let hour = at.hour();
            let quiet = if from <= to { (from..to).contains(&hour) } else { hour >= from || hour < to };
    let said = step.remark.is_some_and(|r| r.contains("quiet hours"));
            proptest::prop_assert_eq!(said, quiet);
        }
    }
}
