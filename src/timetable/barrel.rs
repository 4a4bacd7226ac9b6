//! The runs of a tumbling barrel: loading, looks, the end of each run, and standing open through quiet hours.

use super::build::{counted, list};
use super::clock::quiet_around;
use super::soak::sentence;
use super::{Stage, Step, in_words};
use crate::finishing::{TumbleStage, Tumbling};
use crate::part::Part;
use jiff::civil::Time;
use jiff::{SignedDuration, ZonedDateTime};

/// While it is opened every few hours for the gas.
const FIRST_DAY: SignedDuration = SignedDuration::from_hours(24);
/// Time set aside for emptying, washing and loading again. Our choice.
const TURN_ROUND: SignedDuration = SignedDuration::from_hours(1);
/// It is stopped this long before the quiet hours, while somebody is there. Our choice.
const BEFORE_QUIET: SignedDuration = SignedDuration::from_mins(10);
/// A look that would fall so soon behind the stop is taken with it. Our choice.
const SOON: SignedDuration = SignedDuration::from_mins(30);
/// What the steps of the barrel are about.
pub(crate) const BARREL: &str = "barrel";
const LOOK: &str = "Stop, open outdoors facing away, rinse one part and look: edges and letters first.";
/// No run is stopped more often; quiet hours that leave no time between them would never end.
const MOST_STOPS: usize = 200;

/// When the barrel begins, and the hours when nobody is there.
pub(crate) struct Hours<'a> {
    /// When it begins.
    pub begins: &'a ZonedDateTime,
    /// From when to when, by the local clock.
    pub quiet: (Time, Time),
}

impl Hours<'_> {
    /// Beginning and end of the quiet hours that this moment falls into, counted from the beginning.
    fn quiet_at(&self, after: SignedDuration) -> Option<(SignedDuration, SignedDuration)> {
        let at = self.begins.checked_add(after).ok()?;
        let (from, to) = quiet_around(&at, self.quiet)?;
        let (from, to) = (from.duration_since(self.begins), to.duration_since(self.begins));
        (to > after).then_some((from, to))
    }
}

fn plus(a: SignedDuration, b: SignedDuration) -> SignedDuration {
    a.checked_add(b).unwrap_or(a)
}

/// A long stage ends early enough to be emptied, washed and loaded again within its planned time, so that the next one
/// begins at the same hour of the day.
fn end_of_run(planned: SignedDuration) -> SignedDuration {
    match planned.checked_sub(TURN_ROUND) {
        Some(shorter) if shorter >= SignedDuration::from_hours(4) => shorter,
        _ => planned,
    }
}

/// Every step from loading to the dried part, and how long all of it takes; times count from the start of the barrel.
///
/// On the first day of a run it is opened every few hours, and nobody can open it in quiet hours: it is stopped before
/// them and stands open until they are over. The length of a run counts the hours it turns, so everything after that
/// falls so much later.
pub(crate) fn barrel(tumbling: &Tumbling, parts: &[Part], hours: Option<&Hours<'_>>) -> (Vec<Step>, SignedDuration) {
    let quiet_at = |after| hours.and_then(|h| h.quiet_at(after));
    let mut steps = Vec::new();
    let mut at = SignedDuration::ZERO;
    for stage in &tumbling.stages {
        // Nobody loads it at night.
        if let Some((_, to)) = quiet_at(at) {
            at = to;
        }
        steps.push(Step::new(at, Stage::Prepare, loading(stage, parts)).taking(Some(SignedDuration::from_mins(20))));
        let end = end_of_run(stage.planned);
        let mut run = Run { since: at, turned: SignedDuration::ZERO };
        'looks: for look in stage.looks.iter().filter(|look| **look < end).chain([&end]) {
            let ends = *look == end;
            let mut due = run.when(*look);
            // Later looks may be put off, as the clock's remark says; the gas of the first day and the next load may not.
            for _ in 0..if *look <= FIRST_DAY || ends { MOST_STOPS } else { 0 } {
                let Some((from, to)) = quiet_at(due) else { break };
                let stop = from.checked_sub(BEFORE_QUIET).unwrap_or(from).max(run.since);
                if !ends && due.saturating_sub(stop) <= SOON {
                    steps.push(Step::new(stop, Stage::Look, LOOK));
                    steps.extend(standing_open(stop, to));
                    run = Run { turned: *look, since: to };
                    continue 'looks;
                }
                steps.extend(standing_open(stop, to));
                run = Run { turned: plus(run.turned, stop.saturating_sub(run.since)), since: to };
                due = run.when(*look);
            }
            let what = if ends { format!("End of {}: {}.", stage.name, stage.decide) } else { LOOK.to_string() };
            steps.push(Step::new(due, Stage::Look, what));
            at = due;
        }
        steps.push(Step::new(at, Stage::Rinse, sentence(&stage.clean)).taking(Some(TURN_ROUND)));
        at = plus(at, TURN_ROUND);
    }
    (steps.into_iter().map(|s| s.about(Some(BARREL.into()))).collect(), at)
}

/// A barrel that turns since a moment, and had turned so long before.
struct Run {
    since: SignedDuration,
    turned: SignedDuration,
}

impl Run {
    /// When it has turned so long.
    fn when(&self, turned: SignedDuration) -> SignedDuration {
        plus(self.since, turned.saturating_sub(self.turned))
    }
}

fn standing_open(stop: SignedDuration, to: SignedDuration) -> [Step; 2] {
    let open = to.saturating_sub(stop);
    [
        Step::new(
            stop,
            Stage::Look,
            format!(
                "Stop the barrel, open it outdoors facing away and leave it standing open for {}: nobody is there to let \
                 the gas out. Only the hours it turns count.",
                in_words(open)
            ),
        )
        .taking(Some(open)),
        Step::new(to, Stage::Prepare, "Close the barrel and start it again."),
    ]
}

fn loading(stage: &TumbleStage, parts: &[Part]) -> String {
    let names: Vec<String> = parts.iter().map(|p| counted(&p.name, p.count)).collect();
    let add = if stage.grit_tablespoons.is_some() { "grit" } else { "soap" };
    format!("Start {}: {} in, media around, {add} and water as listed; close, start, listen.", stage.name, list(&names))
}
