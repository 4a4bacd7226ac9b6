//! The search for a way to measure out a volume: counts of scoops, graduated tools, and both together.

use super::{CHANGE, FEW, Limit, Reading, Way};
use crate::amount::{
    Amount, Exact, MeasureSystem, Span, Tool, ToolKind, Unit, VolumeUnit, in_millilitres, read_amount,
};

/// The search over scoops and graduated tools for a volume in mL.
pub(super) struct Search<'a> {
    /// Distinct scoops, largest first.
    scoops: Vec<(&'a Tool, f64)>,
    /// Name, what it holds, one division.
    graduated: Vec<(&'a Tool, f64, f64)>,
    wanted: f64,
}

/// More scoops than this nobody counts without losing track.
const MOST_SCOOPS: u32 = 200;

impl<'a> Search<'a> {
    pub(super) fn new(tools: &'a [Tool], wanted: f64, with_graduated: bool) -> Option<Self> {
        let mut scoops: Vec<(&Tool, f64)> = Vec::new();
        let mut graduated: Vec<(&Tool, f64, f64)> = Vec::new();
        for tool in tools {
            match tool.kind {
                ToolKind::Scoop { holds } => {
                    let ml = in_millilitres(holds);
                    if ml > 0.0 && ml.is_finite() && !scoops.iter().any(|(_, other)| (other - ml).abs() < 1e-9 * ml) {
                        scoops.push((tool, ml));
                    }
                }
                ToolKind::Graduated { holds, division } if with_graduated => {
                    graduated.push((tool, in_millilitres(holds), in_millilitres(division)));
                }
                _ => {}
            }
        }
        scoops.sort_by(|a, b| b.1.total_cmp(&a.1));
        let any = !(scoops.is_empty() && graduated.is_empty());
        (any && wanted > 0.0 && wanted.is_finite()).then_some(Search { scoops, graduated, wanted })
    }

    pub(super) fn finest(&self) -> f64 {
        let scoop = self.scoops.last().map_or(f64::INFINITY, |(_, ml)| *ml);
        self.graduated.iter().map(|(_, _, step)| *step).fold(scoop, f64::min)
    }

    /// Learns what the least error is from every way, then finds the fewest scoops near it.
    pub(super) fn best(&self) -> Option<Way> {
        let mut limit = Limit::new(self.wanted, self.finest());
        self.every_way(&mut limit);
        let mut best = Best { limit, way: None, counts: vec![0; self.scoops.len()] };
        self.every_way(&mut best);
        let way = best.way?;
        let text = self.text(&best.counts, &way.readings);
        Some(Way { total: way.total, scoops: way.scoops, effort: way.effort, text })
    }

    /// Shows all ways worth looking at.
    fn every_way(&self, to: &mut impl Looks) {
        let keep = |to: &mut _, counts: &[u32], scooped: Scooped, readings| {
            if let Some(way) = Filling::of(scooped, readings) {
                Looks::at(to, counts, way);
            }
        };
        // As many of the largest as it takes, and a few to finish with.
        let needed = self.scoops.first().map_or(0.0, |(_, ml)| (self.wanted / ml).floor());
        let room = if needed < f64::from(MOST_SCOOPS) { (needed as u32 + FEW / 2).max(FEW) } else { 0 };
        let mut counts = vec![0; self.scoops.len()];
        let none = Scooped { ml: 0.0, scoops: 0, left: self.wanted };
        let mut stop = |counts: &[u32], scooped: Scooped| {
            keep(to, counts, scooped, [None, None]);
            for (i, (_, holds, step)) in self.graduated.iter().enumerate() {
                if scooped.left > 0.0
                    && let Some(r) = Reading::nearest(scooped.left, *holds, *step)
                {
                    keep(to, counts, scooped, [Some((i, r)), None]);
                }
            }
            to.goes_on(scooped.scoops)
        };
        stop(&counts, none);
        self.descend(0, none, room, &mut counts, &mut stop);
        // A coarse jug and a fine cylinder, and no scoop: the counts are all back at none.
        for (i, (_, holds, step)) in self.graduated.iter().enumerate() {
            let Some(coarse) = Reading::below(self.wanted, *holds, *step) else { continue };
            for (j, (_, fine_holds, fine_step)) in self.graduated.iter().enumerate() {
                let left = self.wanted - coarse.total();
                if fine_step < step
                    && left > 0.0
                    && let Some(fine) = Reading::nearest(left, *fine_holds, *fine_step)
                {
                    keep(to, &counts, none, [Some((i, coarse)), Some((j, fine))]);
                }
            }
        }
    }

    /// Visits counts of scoops from the largest on: as many as fit, one fewer, and of the largest two fewer (of four
    /// sizes or less, which need not nest, up to six fewer); at each step also what comes of stopping there, or there
    /// with one scoop too many. `room` is how many scoops may still follow; `stop` tells whether more of them are worth
    /// looking at.
    fn descend(
        &self,
        i: usize,
        scooped: Scooped,
        room: u32,
        counts: &mut [u32],
        stop: &mut impl FnMut(&[u32], Scooped) -> bool,
    ) {
        let Some((_, ml)) = self.scoops.get(i) else { return };
        let fit = (scooped.left / ml + 1e-9).floor().max(0.0);
        if fit > f64::from(room) {
            return;
        }
        let fit = fit as u32;
        let fewer = match self.scoops.len() {
            ..=4 => 6,
            _ if scooped.scoops == 0 => 2,
            _ => 1,
        };
        for count in (fit.saturating_sub(fewer)..=fit).rev() {
            counts[i] = count;
            let with = scooped.and(count, *ml);
            // None of them changes nothing: what comes of that has been looked at.
            if count == 0 || stop(counts, with) {
                self.descend(i + 1, with, room - count, counts, stop);
            }
        }
        counts[i] = fit + 1;
        stop(counts, scooped.and(fit + 1, *ml));
        counts[i] = 0;
    }

    fn text(&self, counts: &[u32], readings: &[Option<(usize, Reading)>]) -> String {
        let scoops =
            counts.iter().zip(&self.scoops).filter(|(n, _)| **n > 0).map(|(n, (tool, _))| times(*n, &tool.name));
        let readings = readings.iter().flatten().filter_map(|(i, r)| {
            let (tool, _, _) = self.graduated.get(*i)?;
            Some(format!("{} in the {}", r.text("mL"), tool.name))
        });
        scoops.chain(readings).collect::<Vec<_>>().join(" + ")
    }
}

/// What some scoops come to.
#[derive(Debug, Clone, Copy)]
struct Scooped {
    ml: f64,
    scoops: u32,
    /// What is still wanted, mL; below zero: too much.
    left: f64,
}

impl Scooped {
    /// With so many more of a scoop.
    fn and(self, count: u32, ml: f64) -> Scooped {
        let more = f64::from(count) * ml;
        Scooped { ml: self.ml + more, scoops: self.scoops + count, left: self.left - more }
    }
}

/// A way to measure before it is put into words.
#[derive(Debug, Clone, Copy)]
struct Filling {
    total: f64,
    scoops: u32,
    effort: u32,
    readings: [Option<(usize, Reading)>; 2],
}

impl Filling {
    /// Some scoops and what is read off beside them; `None` for nothing, and for more than can be counted.
    fn of(scooped: Scooped, readings: [Option<(usize, Reading)>; 2]) -> Option<Filling> {
        let read = || readings.iter().flatten().map(|(_, r)| r);
        let total = scooped.ml + read().map(Reading::total).sum::<f64>();
        let scoops = scooped.scoops + read().map(Reading::fillings).sum::<u32>();
        let both = scooped.scoops > 0 && readings[0].is_some();
        let effort = scoops + if both { CHANGE } else { 0 };
        (total > 0.0 && scoops <= MOST_SCOOPS).then_some(Filling { total, scoops, effort, readings })
    }
}

/// What looks at the ways as they come.
trait Looks {
    fn at(&mut self, counts: &[u32], way: Filling);

    /// Whether more than so many scoops can still matter.
    fn goes_on(&self, scoops: u32) -> bool;
}

impl Looks for Limit {
    fn at(&mut self, _: &[u32], way: Filling) {
        self.see(way.total, way.scoops);
    }

    fn goes_on(&self, _: u32) -> bool {
        true
    }
}

/// The best way yet, with its counts of scoops.
struct Best {
    limit: Limit,
    way: Option<Filling>,
    counts: Vec<u32>,
}

impl Looks for Best {
    fn at(&mut self, counts: &[u32], way: Filling) {
        let better = |best: &Filling| self.limit.better((way.total, way.effort), (best.total, best.effort));
        if self.limit.accepts(way.total, way.scoops) && self.way.as_ref().is_none_or(better) {
            self.counts.copy_from_slice(counts);
            self.way = Some(way);
        }
    }

    fn goes_on(&self, scoops: u32) -> bool {
        self.way.is_none_or(|best| scoops < best.effort)
    }
}

/// "2 cups" for two of "1 cup"; "2 × 1/3 cup" for two of "1/3 cup".
fn times(n: u32, name: &str) -> String {
    if n == 1 {
        return name.to_string();
    }
    // Only the unit's word matters here, so any system will do.
    match read_amount(name, MeasureSystem::Us) {
        Ok(Amount { value, unit: Unit::Volume(unit, system) })
            if value == Span::one(Exact::ONE) && unit != VolumeUnit::Millilitre && unit != VolumeUnit::Litre =>
        {
            Amount::of(Exact::whole(i64::from(n)), Unit::Volume(unit, system)).to_string()
        }
        _ => format!("{n} × {name}"),
    }
}
