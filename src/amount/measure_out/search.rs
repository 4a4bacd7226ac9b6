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
        let Seen { limit, ways, counts } = self.every_way();
        let near = ways.iter().filter(|way| limit.accepts(way.total, way.scoops));
        let better = |a: &Filling, b: &Filling| limit.better((a.total, a.effort), (b.total, b.effort));
        let best = near.reduce(|best, way| if better(way, best) { way } else { best })?;
        let counts = counts.get(best.counts..best.counts + self.scoops.len()).unwrap_or_default();
        let text = self.text(counts, &best.readings);
        Some(Way { total: best.total, scoops: best.scoops, effort: best.effort, text })
    }

    /// All ways worth looking at.
    fn every_way(&self) -> Seen {
        let mut seen = Seen { limit: Limit::new(self.wanted, self.finest()), ways: Vec::new(), counts: Vec::new() };
        // As many of the largest as it takes, and a few to finish with.
        let needed = self.scoops.first().map_or(0.0, |(_, ml)| (self.wanted / ml).floor());
        let room = if needed < f64::from(MOST_SCOOPS) { (needed as u32 + FEW / 2).max(FEW) } else { 0 };
        let mut counts = vec![0; self.scoops.len()];
        let none = Scooped { ml: 0.0, scoops: 0, left: self.wanted };
        self.descend(0, none, room, &mut counts, &mut |counts, scooped| {
            seen.keep(counts, scooped, [None, None]);
            for (i, (_, holds, step)) in self.graduated.iter().enumerate() {
                if scooped.left > 0.0
                    && let Some(r) = Reading::nearest(scooped.left, *holds, *step)
                {
                    seen.keep(counts, scooped, [Some((i, r)), None]);
                }
            }
        });
        // A coarse jug and a fine cylinder, and no scoop: the counts are all back at none.
        for (i, (_, holds, step)) in self.graduated.iter().enumerate() {
            let Some(coarse) = Reading::below(self.wanted, *holds, *step) else { continue };
            for (j, (_, fine_holds, fine_step)) in self.graduated.iter().enumerate() {
                let left = self.wanted - coarse.total();
                if fine_step < step
                    && left > 0.0
                    && let Some(fine) = Reading::nearest(left, *fine_holds, *fine_step)
                {
                    seen.keep(&counts, none, [Some((i, coarse)), Some((j, fine))]);
                }
            }
        }
        seen
    }

    /// Visits counts of scoops from the largest on: as many as fit, one fewer, and of the largest two fewer (of four
    /// sizes or less, which need not nest, up to six fewer); at each step also what comes of stopping there, or there
    /// with one scoop too many. `room` is how many scoops may still follow.
    fn descend(
        &self,
        i: usize,
        scooped: Scooped,
        room: u32,
        counts: &mut [u32],
        keep: &mut impl FnMut(&[u32], Scooped),
    ) {
        keep(counts, scooped);
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
            self.descend(i + 1, scooped.and(count, *ml), room - count, counts, keep);
        }
        counts[i] = fit + 1;
        keep(counts, scooped.and(fit + 1, *ml));
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
    /// Where its counts of scoops begin.
    counts: usize,
    readings: [Option<(usize, Reading)>; 2],
}

/// The ways come by that are still in the running, with the counts of scoops of all of them in a row.
#[derive(Debug)]
struct Seen {
    limit: Limit,
    ways: Vec<Filling>,
    counts: Vec<u32>,
}

impl Seen {
    fn keep(&mut self, counts: &[u32], scooped: Scooped, readings: [Option<(usize, Reading)>; 2]) {
        let read = || readings.iter().flatten().map(|(_, r)| r);
        let total = scooped.ml + read().map(Reading::total).sum::<f64>();
        let scoops = scooped.scoops + read().map(Reading::fillings).sum::<u32>();
        if !(total > 0.0 && scoops <= MOST_SCOOPS) {
            return;
        }
        self.limit.see(total, scoops);
        if self.limit.may_accept(total) {
            let both = scooped.scoops > 0 && readings[0].is_some();
            let effort = scoops + if both { CHANGE } else { 0 };
            self.ways.push(Filling { total, scoops, effort, counts: self.counts.len(), readings });
            self.counts.extend_from_slice(counts);
        }
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
