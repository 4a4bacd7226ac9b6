//! Start times and quiet hours.

use crate::diag::{Checked, Problem};
use crate::reference::yaml::clip;
use jiff::civil::{DateTime, Time};
use jiff::fmt::temporal::{Pieces, PiecesOffset};
use jiff::tz::TimeZone;
use jiff::{Timestamp, ZonedDateTime};

/// Reads a start time: with a zone in brackets, with an offset, or in `system`, the zone of the machine.
///
/// A clock time that the zone skips in spring is taken an hour later, one that comes twice in autumn is the first, as
/// RFC 5545 has it.
///
/// # Errors
/// Anything else, with the three forms that are read.
pub fn read_start(text: &str, system: &TimeZone) -> Checked<ZonedDateTime> {
    let text = text.trim();
    let wrong = |why: String| {
        Problem::error(format!("found `{}`, which is no start time: {why}", clip(text))).hint(
            "write 2026-11-27T09:00 (this machine's zone), 2026-11-27T09:00+01:00 or 2026-11-27T09:00[Europe/London]",
        )
    };
    let first = |e: jiff::Error| e.to_string().lines().next().unwrap_or_default().to_string();
    if !text.starts_with(|c: char| c.is_ascii_digit()) {
        return Err(wrong("it begins with no year".into()).into());
    }
    let pieces = Pieces::parse(text).map_err(|e| wrong(first(e)))?;
    if pieces.time().is_none() {
        return Err(wrong("the time of day is missing".into()).into());
    }
    let zoned = if pieces.time_zone_annotation().is_some() {
        text.parse::<ZonedDateTime>()
    } else {
        match pieces.offset() {
            // "Z" is an instant whose local offset is not said (RFC 9557): shown in the machine's zone.
            Some(PiecesOffset::Zulu) => text.parse::<Timestamp>().map(|t| t.to_zoned_datetime(system.clone())),
            Some(offset) => {
                let zone = TimeZone::fixed(offset.to_numeric_offset());
                text.parse::<Timestamp>().map(|t| t.to_zoned_datetime(zone))
            }
            None => text.parse::<DateTime>().and_then(|t| t.to_zoned_datetime(system.clone())),
        }
    };
    Ok(zoned.map_err(|e| wrong(first(e)))?)
}

/// Reads quiet hours such as `22:00-07:00`; they may pass midnight.
///
/// # Errors
/// Anything but two different clock times.
pub fn read_quiet(text: &str) -> Checked<(Time, Time)> {
    let wrong = || Problem::error(format!("found `{}`; expected two clock times, such as `22:00-07:00`", clip(text)));
    let clock = |t: &str| t.trim().parse::<Time>().ok();
    let (from, to) = text.split_once(['-', '–']).or_else(|| text.split_once(" to ")).ok_or_else(wrong)?;
    match (clock(from), clock(to)) {
        (Some(from), Some(to)) if from != to => Ok((from, to)),
        _ => Err(wrong().into()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_start_is_in_its_own_zone_or_the_systems() {
        let system = TimeZone::fixed(jiff::tz::offset(9));
        for (text, expected) in [
            ("2026-11-27T09:00[Europe/London]", "2026-11-27T09:00:00+00:00[Europe/London]"),
            ("2026-07-01T09:00[Europe/London]", "2026-07-01T09:00:00+01:00[Europe/London]"),
            ("2026-11-27T09:00+01:00", "2026-11-27T09:00:00+01:00[+01:00]"),
            ("2026-11-27 09:00", "2026-11-27T09:00:00+09:00[+09:00]"),
            ("2026-11-27T09:00Z", "2026-11-27T18:00:00+09:00[+09:00]"),
        ] {
            assert_eq!(read_start(text, &system).unwrap().to_string(), expected);
        }
        for bad in ["", "tomorrow", "2026-11-27", "2026-13-27T09:00", "2026-11-27T09:00[Mars/Base]", "09:00"] {
            assert!(read_start(bad, &system).is_err(), "{bad}");
        }
    }

    #[test]
    fn quiet_hours_may_pass_midnight() {
        let (from, to) = read_quiet("22:00-07:00").unwrap();
        assert_eq!((from.hour(), to.hour()), (22, 7));
        for bad in ["", "22:00", "22:00-22:00", "25:00-07:00"] {
            assert!(read_quiet(bad).is_err(), "{bad}");
        }
    }
}
