//! Measuring out with what a person owns: the combination with the least error and the fewest scoops.
//!
//! A bounded search, not only the greedy choice: 2/3 cup is two thirds, not a half and then spoons. Liquids are measured
//! with scoops, with one or two graduated tools, or with scoops and a graduated rest; masses on scales, or by the spoon
//! through the bulk density when there are none.

mod search;

use super::{
    Amount, Estimate, Exact, MassDensity, MassUnit, Span, Tool, ToolKind, Unit, in_grams, in_kg_per_m3, in_millilitres,
};
use search::Search;

/// An amount as it can be measured out.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasuredOut {
    /// "2 cups + 3 tbsp + 1 tsp", "120 mL in the 250 mL cylinder", "43.2 g on the scales".
    pub text: String,
    /// What that comes to: a volume or a mass in the same kind as asked.
    pub comes_to: Amount,
    /// How many scoops or fillings.
    pub scoops: u32,
    /// (measured − exact) / exact, in per cent. Of a range: the end that is further off.
    pub error_percent: f64,
    /// When a mass was turned into spoons: how far below and above the true mass can be for the bulk density alone, in
    /// per cent. Comes on top of `error_percent`.
    pub bulk_error_percent: Option<Span<f64>>,
}

/// The best way to measure `exact` with `tools`. `None` when no tool measures this kind of amount, only with more than
/// 200 scoops, or only with an error beyond [`MOST_ERROR`]: then [`times_as_much`] says how much more could be measured.
///
/// Least error first, then fewest scoops. Errors count as equal when they differ by less than a fifth of the finest
/// division (for scoops, the smallest scoop) or by less than 1 % of the amount, which no kitchen label keeps. More than
/// twelve scoops are only taken where fewer leave more than half the finest division and more than 0.5 %; then 0.5 %
/// counts as equal. Of a range both ends are measured.
///
/// `bulk_density` (with its spread) is that of a powder: it turns a mass into spoons when there are no scales.
pub fn measure_out(exact: &Amount, tools: &[Tool], bulk_density: Option<Estimate<MassDensity>>) -> Option<MeasuredOut> {
    let low = measure_end(exact.value.low, exact.unit, tools, bulk_density)?;
    if exact.value.is_one() {
        return Some(low);
    }
    let high = measure_end(exact.value.high, exact.unit, tools, bulk_density)?;
    let text = if low.text == high.text { low.text } else { format!("{} to {}", low.text, high.text) };
    let further =
        if low.error_percent.abs() > high.error_percent.abs() { low.error_percent } else { high.error_percent };
    let value = Span { low: low.comes_to.value.low, high: high.comes_to.value.low };
    Some(MeasuredOut {
        text,
        comes_to: Amount { value, unit: exact.unit },
        scoops: low.scoops.max(high.scoops),
        error_percent: further,
        bulk_error_percent: low.bulk_error_percent,
    })
}

/// The largest error that is still called measuring, as a share. Beyond it nothing is offered (our choice).
const MOST_ERROR: f64 = 0.2;

/// How many times as much it would have to be, so that the tools keep within [`MOST_ERROR`] of that and of all beyond
/// it. `None` when no tool measures this kind of amount, or when it is measured as it is.
pub fn times_as_much(exact: &Amount, tools: &[Tool], bulk_density: Option<Estimate<MassDensity>>) -> Option<f64> {
    if measure_out(exact, tools, bulk_density).is_some() {
        return None;
    }
    let per_ml = bulk_density.map(|d| in_kg_per_m3(d.best) / 1000.0).filter(|d| *d > 0.0 && d.is_finite());
    let (wanted, finest) = match exact.unit {
        Unit::Volume(..) => (in_millilitres(exact.volume()?.low), Search::new(tools, 1.0, true)?.finest()),
        Unit::Mass(_) => {
            let scales = tools.iter().filter_map(|t| match t.kind {
                ToolKind::Scales { division, .. } => Some(in_grams(division)),
                _ => None,
            });
            let spoon = per_ml.zip(Search::new(tools, 1.0, false)).map(|(d, s)| s.finest() * d);
            (in_grams(exact.mass()?.low), scales.chain(spoon).reduce(f64::min)?)
        }
        Unit::GramsPerLitre | Unit::MillilitresPerLitre | Unit::Parts => return None,
    };
    // With n and n + 1 divisions in reach the worst lies where both are as far off as allowed: (n + 1)/n = (1 + e)/(1 - e),
    // so from two divisions on, less the error, everything is in reach.
    let from = 2.0 / (1.0 + MOST_ERROR) * finest;
    (wanted > 0.0 && wanted < from).then(|| from / wanted)
}

/// A way that is near enough to be called measuring.
fn near(way: Way, wanted: f64) -> Option<Way> {
    ((way.total - wanted).abs() <= MOST_ERROR * wanted * (1.0 + 1e-9)).then_some(way)
}

fn measure_end(value: Exact, unit: Unit, tools: &[Tool], bulk: Option<Estimate<MassDensity>>) -> Option<MeasuredOut> {
    let amount = Amount::of(value, unit);
    match unit {
        Unit::Volume(..) => {
            let wanted = in_millilitres(amount.volume()?.low);
            // A powder is not read in a cylinder where there is a spoon.
            let spoons = bulk.and_then(|_| Search::new(tools, wanted, false)?.best()).and_then(|way| near(way, wanted));
            let best = match spoons {
                Some(way) => way,
                None => near(Search::new(tools, wanted, true)?.best()?, wanted)?,
            };
            finish(&amount, wanted, best, None)
        }
        Unit::Mass(_) => {
            let wanted = in_grams(amount.mass()?.low);
            if let Some(best) = weigh(wanted, tools).and_then(|way| near(way, wanted)) {
                return finish(&amount, wanted, best, None);
            }
            let density = bulk?.map(|d| in_kg_per_m3(d) / 1000.0);
            if !(density.best > 0.0 && density.best.is_finite()) {
                return None;
            }
            let ml = wanted / density.best;
            let best = near(Search::new(tools, ml, false)?.best()?, ml)?;
            let percent = |d: f64| (d / density.best - 1.0) * 100.0;
            let spread = Span { low: percent(density.low), high: percent(density.high) };
            finish(&amount, wanted, Way { total: best.total * density.best, ..best }, Some(spread))
        }
        Unit::GramsPerLitre | Unit::MillilitresPerLitre | Unit::Parts => None,
    }
}

/// One way to measure: what it comes to (mL or g), how often something is filled, and how to say it.
#[derive(Debug, Clone)]
struct Way {
    total: f64,
    scoops: u32,
    /// Scoops, and [`CHANGE`] more where spoon and cylinder are both needed.
    effort: u32,
    text: String,
}

fn finish(exact: &Amount, wanted: f64, way: Way, spread: Option<Span<f64>>) -> Option<MeasuredOut> {
    let one = match exact.unit {
        Unit::Volume(unit, system) => unit.exact_ml(system)?.to_f64(),
        Unit::Mass(unit) => unit.exact_g()?.to_f64(),
        _ => return None,
    };
    let error = (way.total - wanted) / wanted * 100.0;
    Some(MeasuredOut {
        text: way.text,
        comes_to: Amount::of(snapped(way.total / one)?, exact.unit),
        scoops: way.scoops,
        // What binary arithmetic leaves over is no error of measuring.
        error_percent: if error.abs() < 1e-9 { 0.0 } else { error },
        bulk_error_percent: spread,
    })
}

/// The kitchen fraction this binary number stands for, or the number to twelve figures.
fn snapped(value: f64) -> Option<Exact> {
    for d in [1i32, 2, 3, 4, 6, 8, 12, 16, 24, 48, 96] {
        let n = (value * f64::from(d)).round();
        if (1.0..1e6).contains(&n) && (n / f64::from(d) - value).abs() <= 1e-12 * value {
            // Whole and below a million, so nothing is lost.
            return Exact::ratio(n as i64, i64::from(d));
        }
    }
    Exact::from_f64(value)
}

fn weigh(wanted: f64, tools: &[Tool]) -> Option<Way> {
    let mut ways: Vec<(Way, f64)> = Vec::new();
    for tool in tools {
        if let ToolKind::Scales { capacity, division } = tool.kind {
            let step = in_grams(division);
            if let Some(r) = Reading::nearest(wanted, in_grams(capacity), step) {
                let text = format!("{} on the {}", r.text(MassUnit::Gram.name()), tool.name);
                ways.push((Way { total: r.total(), scoops: r.fillings(), effort: r.fillings(), text }, step));
            }
        }
    }
    let finest = ways.iter().map(|(_, step)| *step).fold(f64::INFINITY, f64::min);
    let mut limit = Limit::new(wanted, finest);
    ways.iter().for_each(|(way, _)| limit.see(way.total, way.scoops));
    let fits = ways.into_iter().map(|(way, _)| way).filter(|way| limit.accepts(way.total, way.scoops));
    fits.reduce(|best, way| if limit.better((way.total, way.effort), (best.total, best.effort)) { way } else { best })
}

/// Some fillings to the brim and one to a mark.
#[derive(Debug, Clone, Copy)]
struct Reading {
    full: u32,
    holds: f64,
    rest: f64,
    step: f64,
}

impl Reading {
    /// The reading nearest to `wanted`, at least one division.
    fn nearest(wanted: f64, holds: f64, step: f64) -> Option<Self> {
        Self::of_steps((wanted / step).round().max(1.0), holds, step)
    }

    /// The reading just below `wanted`; `None` when that is nothing.
    fn below(wanted: f64, holds: f64, step: f64) -> Option<Self> {
        let steps = (wanted / step + 1e-9).floor();
        if steps < 1.0 { None } else { Self::of_steps(steps, holds, step) }
    }

    fn of_steps(steps: f64, holds: f64, step: f64) -> Option<Self> {
        let total = steps * step;
        let full = (total / holds + 1e-9).floor();
        // Nobody fills a cylinder a thousand times.
        if !(full.is_finite() && full < 1000.0) {
            return None;
        }
        let rest = total - full * holds;
        let rest = if rest < step * 1e-6 { 0.0 } else { (rest / step).round() * step };
        Some(Reading { full: full as u32, holds, rest, step })
    }

    fn total(&self) -> f64 {
        f64::from(self.full) * self.holds + self.rest
    }

    fn fillings(&self) -> u32 {
        self.full + u32::from(self.rest > 0.0)
    }

    fn text(&self, unit: &str) -> String {
        let number = |x: f64| rounded(x, self.step);
        let full = match self.full {
            0 => String::new(),
            1 => format!("{} {unit}", number(self.holds)),
            n => format!("{n} × {} {unit}", number(self.holds)),
        };
        match (self.full, self.rest > 0.0) {
            (0, _) => format!("{} {unit}", number(self.rest)),
            (_, true) => format!("{full} + {} {unit}", number(self.rest)),
            _ => full,
        }
    }
}

/// A figure with at most as many places as the division has.
fn rounded(x: f64, step: f64) -> String {
    let places = (0..6).find(|p| {
        let scaled = step * 10f64.powi(*p);
        (scaled - scaled.round()).abs() < 1e-6 * scaled
    });
    let text = format!("{x:.*}", places.unwrap_or(6) as usize);
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_string() } else { text }
}

/// More scoops than this are only taken where fewer leave too much.
const FEW: u32 = 12;
/// Changing from spoons to a graduated tool counts as so many scoops (our choice).
const CHANGE: u32 = 2;

/// How far off a way may be to be in the running, found from how far off the best ones are.
#[derive(Debug, Clone, Copy)]
struct Limit {
    wanted: f64,
    finest: f64,
    /// Least error with a few scoops, and with any number of them.
    least: [f64; 2],
}

impl Limit {
    fn new(wanted: f64, finest: f64) -> Self {
        Limit { wanted, finest, least: [f64::INFINITY; 2] }
    }

    fn off(&self, total: f64) -> f64 {
        (total - self.wanted).abs()
    }

    fn see(&mut self, total: f64, scoops: u32) {
        let off = self.off(total);
        if scoops <= FEW {
            self.least[0] = self.least[0].min(off);
        }
        self.least[1] = self.least[1].min(off);
    }

    fn accepts(&self, total: f64, scoops: u32) -> bool {
        let (half, dust) = (self.finest / 2.0, self.wanted * 1e-9);
        let few = self.least[0] <= half.max(self.wanted * 0.005) + dust;
        if few {
            let least = self.least[0];
            let equal = (self.finest / 5.0).max(self.wanted * 0.01);
            // A fifth of a division never pushes the error beyond half a division.
            let most = (least + equal).min(half.max(self.wanted * 0.01).max(least));
            return scoops <= FEW && self.off(total) <= most + dust;
        }
        self.off(total) <= (self.least[1] + self.finest / 5.0).max(self.wanted * 0.005) + dust
    }

    /// Less effort first, then the smaller error.
    fn better(&self, a: (f64, u32), b: (f64, u32)) -> bool {
        (a.1, self.off(a.0)) < (b.1, self.off(b.0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::amount::{MeasureSystem, kg_per_m3, read_amount};

    fn out(text: &str, tools: &[Tool]) -> MeasuredOut {
        measure_out(&read_amount(text, MeasureSystem::Us).unwrap(), tools, None).unwrap()
    }

    fn us() -> Vec<Tool> {
        Tool::kitchen_set(MeasureSystem::Us)
    }

    fn cylinder() -> Tool {
        Tool::cylinder("100 mL", "1 mL", MeasureSystem::Us).unwrap()
    }

    #[test]
    fn what_the_kitchen_holds_exactly() {
        for (asked, text, scoops) in [
            ("2/3 cup", "2 × 1/3 cup", 2),
            ("3/4 cup", "1/2 cup + 1/4 cup", 2),
            ("1/8 cup", "2 tbsp", 2),
            ("2 cups", "2 cups", 2),
            ("1 1/2 tbsp", "1 tbsp + 1 tsp + 1/2 tsp", 3),
        ] {
            let m = out(asked, &us());
            assert_eq!((m.text.as_str(), m.scoops, m.error_percent), (text, scoops, 0.0), "{asked}");
            assert_eq!(m.comes_to, read_amount(asked, MeasureSystem::Us).unwrap());
        }
    }

    #[test]
    fn the_greedy_choice_is_not_always_the_best() {
        let tools: Vec<Tool> = ["50 mL", "30 mL"].iter().map(|t| Tool::scoop(t, MeasureSystem::Us).unwrap()).collect();
        assert_eq!(out("90 mL", &tools).text, "3 × 30 mL");
        assert_eq!(out("120 mL", &tools).text, "4 × 30 mL");
    }

    #[test]
    fn a_large_amount_is_not_counted_in_teaspoons() {
        let m = out("3 L", &us());
        assert_eq!(m.text, "12 cups + 2 × 1/3 cup");
        assert!(m.error_percent.abs() < 0.5, "{m:?}");
        let jug = Tool::cylinder("1 L", "50 mL", MeasureSystem::Us).unwrap();
        let with_jug: Vec<Tool> = us().into_iter().chain([jug]).collect();
        assert_eq!(out("3 L", &with_jug).text, "3 × 1000 mL in the 1 L cylinder");
    }

    #[test]
    fn cylinders_are_filled_again_or_finish_what_scoops_began() {
        assert_eq!(out("87.4 mL", &[cylinder()]).text, "87 mL in the 100 mL cylinder");
        let m = out("230 mL", &[cylinder()]);
        assert_eq!((m.text.as_str(), m.scoops), ("2 × 100 mL + 30 mL in the 100 mL cylinder", 3));
        let all: Vec<Tool> = us().into_iter().chain([cylinder()]).collect();
        assert_eq!(out("1 L", &all).text, "4 cups + 1/4 cup");
        let cup = [Tool::scoop("1 cup", MeasureSystem::Us).unwrap(), cylinder()];
        assert_eq!(out("1 L", &cup).text, "4 cups + 54 mL in the 100 mL cylinder");
    }

    #[test]
    fn below_what_the_tools_resolve_nothing_is_offered_but_how_much_more_it_takes() {
        let read = |text: &str| read_amount(text, MeasureSystem::Us).unwrap();
        for (text, tools) in [("0.1 mL", us()), ("0.2 mL", vec![cylinder()]), ("0.5 tsp", vec![cylinder()])] {
            let found = measure_out(&read(text), &tools, None);
            assert!(found.as_ref().is_none_or(|m| m.error_percent.abs() <= 20.0), "{text}: {found:?}");
        }
        assert_eq!(measure_out(&read("0.1 mL"), &us(), None), None);
        // 1.2 mL is a quarter of a teaspoon (1.232 mL), and that much is offered.
        assert_eq!(out("1.2 mL", &us()).text, "1/4 tsp");
        assert_eq!(times_as_much(&read("1.2 mL"), &us(), None), None);
        // A millimetre-marked 100 mL cylinder: 1.4 mL is neither one mark nor two; from 5/3 mL on all is in reach.
        let times = times_as_much(&read("1.4 mL"), &[cylinder()], None).unwrap();
        assert!((times * 1.4 - 5.0 / 3.0).abs() < 1e-9, "{times}");
        for hundredths in 167..=2000 {
            let asked = read(&format!("{} mL", f64::from(hundredths) / 100.0));
            assert!(measure_out(&asked, &[cylinder()], None).is_some(), "{asked}");
        }
        // No tool at all measures a mass without a bulk density.
        assert_eq!(times_as_much(&read("36 g"), &us(), None), None);
    }

    #[test]
    fn coarse_scales_give_way_to_a_spoon_that_is_nearer() {
        let salt = Estimate::exact(kg_per_m3(1220.0));
        let tools: Vec<Tool> = us().into_iter().chain([Tool::scales("5 kg", "5 g").unwrap()]).collect();
        let asked = read_amount("1.5 g", MeasureSystem::Us).unwrap();
        assert_eq!(measure_out(&asked, &tools, Some(salt)).unwrap().text, "1/4 tsp");
        let asked = read_amount("43 g", MeasureSystem::Us).unwrap();
        assert_eq!(measure_out(&asked, &tools, Some(salt)).unwrap().text, "45 g on the 5 kg scales");
    }

    #[test]
    fn fewer_scoops_for_nearly_the_same() {
        // 0.057 % with six scoops, 0.59 % with four of two kinds.
        assert_eq!(out("500 mL", &us()).text, "2 cups + 2 tbsp");
        // Spoons alone, rather than spoons and a cylinder; and never a powder in a cylinder.
        let all: Vec<Tool> =
            us().into_iter().chain([Tool::cylinder("250 mL", "5 mL", MeasureSystem::Us).unwrap()]).collect();
        assert_eq!(out("49.2 mL", &all).text, "3 tbsp + 1 tsp");
        let salt = Estimate::exact(kg_per_m3(1220.0));
        let asked = read_amount("118 mL", MeasureSystem::Us).unwrap();
        assert_eq!(measure_out(&asked, &all, Some(salt)).unwrap().text, "1/2 cup");
    }

    #[test]
    fn masses_on_scales_or_by_the_spoon() {
        let scales = Tool::scales("200 g", "0.1 g").unwrap();
        let m = out("43.17 g", std::slice::from_ref(&scales));
        assert_eq!((m.text.as_str(), m.comes_to.to_string().as_str()), ("43.2 g on the 200 g scales", "43.2 g"));
        assert_eq!(out("500 g", &[scales]).text, "2 × 200 g + 100 g on the 200 g scales");
        let salt = Estimate { best: kg_per_m3(1220.0), low: kg_per_m3(980.0), high: kg_per_m3(1300.0) };
        let asked = read_amount("36 g", MeasureSystem::Us).unwrap();
        let m = measure_out(&asked, &us(), Some(salt)).unwrap();
        assert_eq!(m.text, "2 tbsp");
        let spread = m.bulk_error_percent.unwrap();
        assert!((spread.low + 19.67).abs() < 0.01 && (spread.high - 6.56).abs() < 0.01, "{spread:?}");
        assert_eq!(measure_out(&asked, &us(), None), None);
    }

    #[test]
    fn both_ends_of_a_range_are_measured() {
        let m = out("2-3 tbsp", &us());
        assert_eq!((m.text.as_str(), m.comes_to.to_string().as_str()), ("2 tbsp to 3 tbsp", "2-3 tbsp"));
    }
}
