//! The stages of a tumbling job, with their looks and the decision after each.

use super::{Load, TumbleStage};
use crate::amount::Span;
use jiff::SignedDuration;

/// Grit names from coarse to fine (stone hobby practice read: 60/90, 120/220, 500, polish).
const GRITS: [&str; 6] = [
    "coarse (60 to 90)",
    "medium (120 to 220)",
    "fine (400 to 500)",
    "very fine (600 to 800)",
    "prepolish (1000)",
    "polish (1200 or finer)",
];

fn h(hours: i64) -> SignedDuration {
    SignedDuration::from_hours(hours)
}

/// A week a grit is the upper default (common practice, no source).
const WEEK_H: i64 = 7 * 24;
/// What a filled print is planned with: hours to two days a stage (working knowledge, recalled).
const FILLED_H: i64 = 48;
/// Opened every few hours on the first day for the gas (common practice, no source; every four is our choice).
const FIRST_DAY: [i64; 5] = [4, 8, 12, 16, 20];
/// A filled print has its first looks at 1, 4 and 12 hours, whatever the planned length (common practice, no source).
const FILLED_LOOKS: [i64; 3] = [1, 4, 12];

/// Grit stages from coarse to fine, and the run in soap.
pub(super) fn stages(load: &Load<'_>, grit: f64, filled: bool) -> Vec<TumbleStage> {
    let planned = load.stage.unwrap_or_else(|| h(if filled { FILLED_H } else { WEEK_H }));
    let shortest = h(if filled { 12 } else { 72 }).min(planned);
    let length = Span { low: shortest, high: h(WEEK_H).max(planned) };
    let picked: Vec<&str> = match load.grits {
        2 => vec![GRITS[1], GRITS[3]],
        3 => vec![GRITS[0], GRITS[2], GRITS[3]],
        4 => vec![GRITS[0], GRITS[1], GRITS[2], GRITS[5]],
        5 => vec![GRITS[0], GRITS[1], GRITS[2], GRITS[3], GRITS[5]],
        _ => GRITS.to_vec(),
    };
    let mut names: Vec<String> =
        picked.iter().enumerate().map(|(i, g)| format!("grit {} of {}: {g}", i + 1, picked.len())).collect();
    if load.marks_show {
        names.insert(1, format!("{}, again with fresh grit", names[0]));
    }
    let mut stages: Vec<TumbleStage> = names
        .into_iter()
        .enumerate()
        .map(|(i, name)| TumbleStage {
            name,
            grit_tablespoons: Some(grit),
            length,
            planned,
            looks: looks(filled, planned),
            decide: decide(i == 0),
            clean: "wash barrel, lid, media and parts until the water runs clear and a fingertip feels no grain: one \
                    coarse grain spoils the next stage. Let the slurry settle in a bucket, pour off clear water, dry \
                    the mud and bin it by local rules; never down a drain"
                .into(),
        })
        .collect();
    stages.push(soap(filled));
    stages
}

/// A last run of hours to overnight in water and a little soap (common practice, no source).
fn soap(filled: bool) -> TumbleStage {
    TumbleStage {
        name: "soap: water and a little soap".into(),
        grit_tablespoons: None,
        length: Span { low: h(3), high: h(12) },
        planned: h(12),
        looks: looks(filled, h(12)),
        decide: "done when a white cloth wiped over the part stays clean".into(),
        clean: if filled {
            "rinse, dry below the binder's limit, weigh daily until steady: gloves on from here".into()
        } else {
            "rinse, dry at once in warm air: gloves on from here".into()
        },
    }
}

fn decide(first: bool) -> String {
    let stop = "stop at once if an edge or a letter goes soft";
    if first {
        format!(
            "rinse one part and hold it to a low light: while layer lines or file marks show, run this stage again with \
             fresh grit; {stop}"
        )
    } else {
        format!("go on when no mark of the stage before can be seen; repeat this stage while one can; {stop}")
    }
}

/// Every few hours on the first day, then daily, then the end.
fn looks(filled: bool, planned: SignedDuration) -> Vec<SignedDuration> {
    let days = (1..=28).map(|day| h(day * 24));
    let early = if filled { &FILLED_LOOKS[..] } else { &[] };
    let opened = FIRST_DAY.iter().chain(early).map(|x| h(*x));
    let mut all: Vec<SignedDuration> = opened.chain(days).filter(|look| *look < planned).collect();
    all.push(planned);
    all.sort();
    all.dedup();
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn looks_come_early_daily_and_at_the_end() {
        let hours = |l: Vec<SignedDuration>| l.iter().map(|x| x.as_hours()).collect::<Vec<_>>();
        assert_eq!(hours(looks(true, h(48))), [1, 4, 8, 12, 16, 20, 24, 48]);
        assert_eq!(hours(looks(true, h(2))), [1, 2]);
        assert_eq!(hours(looks(false, h(168))), [4, 8, 12, 16, 20, 24, 48, 72, 96, 120, 144, 168]);
    }
}
