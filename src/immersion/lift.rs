//! What the level does when parts are lifted out for good at different times.

use super::ballast::Found;
use super::buoyancy::bisect;
use super::place::Seat;
use super::{AfterLift, Question};
use crate::amount::{Volume, cubic_millimetres, in_cubic_millimetres, in_millimetres, millimetres};
use jiff::SignedDuration;

/// The level after each lift, and the made-up reserve that covers what stays.
///
/// A part comes out with its ballast. At each lift the reserve of the lifts before it has been poured in; liquid carried
/// out on the part and evaporation are not counted. Parts without a time stay to the end.
pub(super) fn lifts(question: &Question<'_>, seats: &[Seat], found: &Found, liquid: Volume) -> Vec<AfterLift> {
    let mut times: Vec<SignedDuration> = question.parts.iter().filter_map(|p| p.lift.map(|l| l.low)).collect();
    times.sort();
    times.dedup();
    let vessel = &question.vessel.shape;
    let mut liquid = in_cubic_millimetres(liquid);
    let mut result = Vec::new();
    for after in times {
        let is_out = |i: usize| question.parts[i].lift.is_some_and(|l| l.low <= after);
        let stays: Vec<usize> = (0..question.parts.len()).filter(|&i| !is_out(i)).collect();
        let of_ballast = found.ballast.iter().zip(&found.on).filter(|(_, on)| stays.contains(on));
        let held: f64 = of_ballast.map(|(b, _)| in_cubic_millimetres(b.displaced)).sum();
        let below = |level: f64| {
            let of = |&i: &usize| {
                let p = &question.parts[i];
                in_cubic_millimetres(p.shape.envelope_below(millimetres(level), seats[i].up)) * f64::from(p.count)
            };
            stays.iter().map(of).sum::<f64>() + held
        };
        // The liquid settles where the vessel below the level holds it and what is under.
        let rim = in_millimetres(vessel.height());
        let room = |level: f64| in_cubic_millimetres(vessel.volume_below(millimetres(level))) - below(level);
        let level = bisect(0.0, rim, |h| room(h) >= liquid);
        let tallest = stays.iter().map(|&i| seats[i].height).fold(0.0, f64::max);
        let covered = level >= tallest * (1.0 - 1e-9);
        let reserve =
            if stays.is_empty() { 0.0 } else { (room(tallest + in_millimetres(question.cover)) - liquid).max(0.0) };
        result.push(AfterLift {
            after,
            out: question
                .parts
                .iter()
                .filter(|p| p.lift.is_some_and(|l| l.low == after))
                .map(|p| p.name.clone())
                .collect(),
            level: millimetres(level),
            covered,
            reserve: cubic_millimetres(reserve),
        });
        liquid += reserve;
    }
    result
}
