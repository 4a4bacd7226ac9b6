//! Vapours that stand over a bath, held against what the air of a room may hold.

use super::Found;
use crate::safety::Gravity;
use crate::safety::exposure::{far_above, gravity_of};
use crate::safety::facts::Facts;
use crate::safety::vapours::{bottles_ppm, of_bath};

/// These have a rule of their own with the same steps.
const OWN_RULE: [&str; 2] = ["ammonia", "hydrogen_sulfide"];

/// Over the limit, over what is dangerous to life or a tenth of what burns, far above. Ammonia has a rule of its own with
/// the same steps, and gases made by a reaction are judged by them where they are made.
///
/// A spray is judged here by its surface like any bath; its mist has a rule of its own, and a row of its own in the table of
/// exposures.
///
/// What is less than a stop is judged on the finished bath, a stop on the bottles, which nothing poured to them thins.
pub fn over_limit(facts: &Facts) -> Option<Found> {
    let mut worst: Option<(Gravity, &str, Found)> = None;
    let far = far_above(None, &facts.conditions.room);
    for volatile in of_bath(facts).iter().filter(|v| !OWN_RULE.contains(&v.gas.id.as_ref())) {
        let limit = volatile.gas.strictest().map(|l| l.ppm);
        let judged = |ppm: Option<f64>| ppm.and_then(|ppm| gravity_of(ppm, limit, volatile.gas, far));
        let (bath, bottles) = (volatile.surface_ppm(facts), bottles_ppm(facts, volatile.gas));
        let stop = judged(bottles).filter(|g| *g == Gravity::Stop);
        let Some(gravity) = stop.or(judged(bath).map(|g| g.min(Gravity::StrongCaution))) else { continue };
        let id = volatile.gas.id.as_ref();
        if worst.as_ref().is_none_or(|(g, other, _)| (gravity, *other) > (*g, id)) {
            let name = volatile.gas.name.to_string();
            let mut found = Found::of(gravity).who(name.clone());
            found.products = Some(vec![name.to_lowercase()]);
            worst = Some((gravity, id, volatile.figures(facts, found, if stop.is_some() { bottles } else { bath })));
        }
    }
    worst.map(|(_, _, found)| found)
}
