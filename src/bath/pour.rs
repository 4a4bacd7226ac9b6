//! From an ingredient as written to what goes into the bath, with everything that makes it uncertain.

use super::density::water_kg_m3;
use super::species::{Composition, moles, solute, stock};
use super::stock::{Makeup, mass_fraction_of};
use super::uncertainty::Effect;
use crate::amount::{
    Amount, Estimate, MeasureSystem, Span, Strength, Unit, VolumeUnit, in_grams, in_kg_per_m3, in_millilitres,
};
use crate::diag::{Checked, Problem};
use crate::reference::schema::{Form, SoluteData, Stock};
use crate::reference::{Ingredient, Meaning, Substance, bulk_density, read_ingredient, solutions};
use rust_decimal::Decimal;

/// One cause of uncertainty: the ingredient at its low and its high end.
#[derive(Debug, Clone)]
pub(super) struct Cause {
    pub label: String,
    pub low: Composition,
    /// `None` where the best guess itself is this end.
    pub high: Option<Composition>,
    /// A range that the person wrote, as against an error.
    pub range: bool,
}

impl Cause {
    /// What comes of it, from what the value is at its two ends.
    pub fn effect(&self, low: f64, high: f64) -> Effect<'_> {
        Effect { label: &self.label, low, high, range: self.range }
    }
}

/// An ingredient as poured.
#[derive(Debug, Clone)]
pub(super) struct Poured {
    pub best: Composition,
    pub causes: Vec<Cause>,
    /// Heat of all of it in much water, kJ, negative warms; `None` where it is not known, 0 for what does not dissolve.
    pub heat_kj: Option<f64>,
    /// Whether it came as a liquid.
    pub liquid: bool,
    /// Tap water, for what it may hold.
    pub tap_water_g: f64,
    pub warnings: Vec<String>,
}

/// What the line says, as numbers to vary one at a time.
#[derive(Clone, Copy)]
struct Say {
    /// Grams, or millilitres when measured by volume.
    amount: f64,
    /// Grams of each of them.
    weighs: f64,
    /// Mass fraction of the formula.
    w: f64,
    hydrate: Option<f64>,
}

/// What an ingredient brings, measured at this temperature, with everything that makes it uncertain.
///
/// # Errors
/// Unrecognised, open in meaning or strength, without amount, or a hydrate that names no water.
pub(super) fn pour(ingredient: &Ingredient, t_c: f64) -> Checked<Poured> {
    poured(ingredient, t_c, true)
}

/// The same without causes of uncertainty: for what turns on best values only.
///
/// # Errors
/// As [`pour`].
pub(super) fn brought(ingredient: &Ingredient, t_c: f64) -> Checked<Poured> {
    poured(ingredient, t_c, false)
}

fn poured(ingredient: &Ingredient, t_c: f64, with_causes: bool) -> Checked<Poured> {
    let substance = known(ingredient)?;
    let written = ingredient.line.amount.as_ref().ok_or_else(|| {
        Problem::error(format!("\"{}\" has no amount", ingredient.line.text))
            .hint("write how much, such as 120 mL or 40 g")
    })?;
    let name = name_of(ingredient, substance);
    let (value, by_volume) = measured(written, &name)?;
    let mid = 0.5 * (value.low + value.high);
    let Some(stock) = stock(&substance.id) else { return Ok(foreign(&name, substance, value, by_volume)) };
    let hydrates = hydrate(ingredient, stock, &name)?;
    // A usual share that stands for a hydrate is already in the hydrate.
    let strength = strength(ingredient, substance, stock)?
        .filter(|_| ingredient.line.strength.is_some() || hydrates.said.is_none());
    let solution = stock.needs_strength || strength.is_some_and(|w| w.best < 0.9);
    let solid = matches!(substance.form, Form::Solid | Form::SolidOrSolution);
    let dry = solid && !solution && stock.liquid_kg_m3.is_none();
    let bulk = (by_volume && dry).then(|| bulk_g_ml(substance, &name));
    let w = strength.unwrap_or(Estimate::exact(1.0));
    let makeup = Makeup::of(stock);
    let say = |w: f64, hydrate: Option<f64>| {
        let weighs = match bulk {
            _ if !by_volume => 1.0,
            Some(bulk) => bulk.best,
            None => liquid_g_ml(stock, &makeup, substance, (w, hydrate), t_c),
        };
        Say { amount: mid, weighs, w, hydrate }
    };
    let at = |say: Say| composition(stock, &makeup, substance, say);
    let best = say(w.best, hydrates.best);
    let mut causes = Vec::new();
    if with_causes {
        let mut cause = |label: String, low: Say, high: Say, range: bool| {
            causes.push(Cause { label, low: at(low), high: Some(at(high)), range });
        };
        let amount = |amount: f64| Say { amount, ..best };
        if value.low < value.high {
            cause(format!("the range written for {name}"), amount(value.low), amount(value.high), true);
        }
        let error = measuring_error(written.unit, dry);
        let label = format!("{} of {name}", measure_word(written.unit));
        cause(label, amount(mid * (1.0 - error)), amount(mid * (1.0 + error)), false);
        if let Some(bulk) = bulk {
            let lies = |weighs: f64| Say { weighs, ..best };
            cause(format!("how densely {name} lies in the spoon"), lies(bulk.low), lies(bulk.high), false);
        }
        if w.low < w.high {
            let holds = |w: f64| say(w, hydrates.best);
            cause(format!("strength of {name} on its label"), holds(w.low), holds(w.high), false);
        }
        if hydrates.open {
            let holds = |n: f64| say(w.best, Some(n));
            let label = format!("how much water of crystallisation {name} has");
            cause(label, holds(hydrates.most), holds(0.0), false);
        }
        if let Some(old) = aged(substance) {
            let low = at(say(w.best * (1.0 - old), hydrates.best));
            causes.push(Cause { label: format!("age of the bottle of {name}"), low, high: None, range: false });
        }
    }
    let found = at(best);
    let mut warnings = Vec::new();
    if hydrates.open {
        warnings.push(format!(
            "{name} is sold with and without water of crystallisation and the line does not say which; \
             {} was assumed: read the label.",
            water_words(hydrates.best.unwrap_or(0.0))
        ));
    }
    if ingredient.line.strength.is_none() && stock.needs_strength && w.high > 1.05 * w.low {
        warnings.push(format!(
            "{name} without a strength was counted as {} % (shops sell {} to {} %): write the figure on the label.",
            percent(w.best),
            percent(w.low),
            percent(w.high)
        ));
    }
    let tap =
        substance.id == "water" && !["distilled", "deionised", "deionized", "rain"].iter().any(|p| name.contains(p));
    Ok(Poured {
        tap_water_g: if tap { found.water_g } else { 0.0 },
        heat_kj: heat_of(stock, &found, (dry || !solution && !stock.heats.is_empty()).then_some(hydrates.best)),
        liquid: !dry,
        best: found,
        causes,
        warnings,
    })
}

/// Heat of what a stock brings, in much water, kJ; `solid` holds the water of crystallisation named, if it is one.
fn heat_of(stock: &'static Stock, brings: &Composition, solid: Option<Option<f64>>) -> Option<f64> {
    let sum = |per_mole: &dyn Fn(&SoluteData) -> Option<f64>| -> Option<f64> {
        brings.entries().filter(|(_, g)| *g > 0.0).map(|(s, g)| Some(moles(s, g)? * per_mole(s)?)).sum()
    };
    let Some(named) = solid else { return sum(&|s| s.heat_of_solution_kj_mol) };
    match molar_heat_kj(stock, named) {
        Some(per_mole) => {
            let (id, n) = stock.gives.iter().next()?;
            let s = solute(id)?;
            Some(moles(s, brings.solutes_g.get(s))? / n * per_mole)
        }
        None => None,
    }
}

/// Heat of a mole of the solid in much water, kJ; `named` is the water of crystallisation that the name says.
fn molar_heat_kj(stock: &Stock, named: Option<f64>) -> Option<f64> {
    let water = named.unwrap_or(stock.water.max(0.0));
    let entry = stock.heats.iter().find(|(n, _)| *n == water).map(|(_, kj)| *kj);
    let parts = || stock.gives.iter().map(|(id, n)| Some(n * dissolving_kj(solute(id)?)?)).sum::<Option<f64>>();
    entry.or_else(|| (water == 0.0 && !stock.gives.is_empty()).then(parts).flatten())
}

/// Heat of a solute; nothing where next to nothing of it dissolves.
fn dissolving_kj(s: &SoluteData) -> Option<f64> {
    let table = s.grams_per_100_g_water.as_ref();
    let most = table.and_then(|t| t.points.iter().map(|p| p.1).reduce(f64::max));
    s.heat_of_solution_kj_mol.or_else(|| most.filter(|g| *g < 0.01).map(|_| 0.0))
}

/// Heat that a mole of this ingredient sets free in much water, kJ, positive warms: of the hydrates that its name leaves
/// open the one that warms most. `None` where it is not known.
pub fn warming_kj_mol(ingredient: &Ingredient, substance: &Substance) -> Option<f64> {
    let stock = stock(&substance.id)?;
    let solid = matches!(substance.form, Form::Solid | Form::SolidOrSolution) || !stock.heats.is_empty();
    if !solid || stock.needs_strength {
        let heats = stock.gives.iter().map(|(id, n)| Some(n * solute(id)?.heat_of_solution_kj_mol?));
        return heats.sum::<Option<f64>>().map(|kj| -kj);
    }
    let said = hydrate(ingredient, stock, &name_of(ingredient, substance)).ok()?;
    match said.open {
        true => stock.hydrates.iter().filter_map(|n| molar_heat_kj(stock, Some(*n))).reduce(f64::min),
        false => molar_heat_kj(stock, said.best),
    }
    .map(|kj| -kj)
}

/// The one substance it is.
pub(super) fn known(ingredient: &Ingredient) -> Checked<&'static Substance> {
    let line = &ingredient.line;
    let ask = |p: Problem| match &ingredient.question {
        Some(question) => p.hint(question.clone()),
        None => p.hint("write the name of the chemical on the label"),
    };
    if ingredient.meanings.is_empty() {
        // "copper sulfate hydrate" is known but for how much water it holds.
        let (name, word) = line.name.trim().rsplit_once(' ').unwrap_or_default();
        if word.eq_ignore_ascii_case("hydrate")
            && let Some(stock) = read_ingredient(&format!("1 g {name}"), MeasureSystem::Metric)
                .ok()
                .and_then(|i| stock(&i.substance()?.id))
                .filter(|s| !s.hydrates.is_empty())
        {
            return Err(which_hydrate(&line.name, stock).into());
        }
        return Err(ask(Problem::error(format!("\"{}\" is not recognised", line.name))).into());
    }
    // Two entries of one acid (split by strength for its hazards) are one thing here.
    let alike = || {
        let gives = |m: &Meaning| stock(&m.substance.id).map(|s| &s.gives);
        let first = ingredient.meanings.first()?;
        let same = gives(first).is_some() && ingredient.meanings.iter().all(|m| gives(m) == gives(first));
        same.then_some(first.substance)
    };
    let one = ingredient.substance().or_else(alike);
    let Some(substance) = one else {
        return Err(ask(Problem::error(format!("\"{}\" can mean several things", line.name))).into());
    };
    if ingredient.strength_missing {
        return Err(ask(Problem::error(format!("\"{}\" has no strength", line.text))).into());
    }
    Ok(substance)
}

/// What the person calls it.
pub(super) fn name_of(ingredient: &Ingredient, substance: &Substance) -> String {
    let name = ingredient.line.name.trim();
    if name.is_empty() { substance.name.to_lowercase() } else { name.to_lowercase() }
}

fn measured(amount: &Amount, name: &str) -> Checked<(Span<f64>, bool)> {
    let found = match (amount.volume(), amount.mass()) {
        (Some(v), _) => (v.map(in_millilitres), true),
        (_, Some(m)) => (m.map(in_grams), false),
        _ => {
            return Err(Problem::error(format!("{name} needs a volume or a mass here"))
                .hint("a target per litre or a number of parts means something only in a recipe")
                .into());
        }
    };
    let Span { low, high } = found.0;
    if !(low.is_finite() && high.is_finite() && low >= 0.0 && high > 0.0 && high < 1e12) {
        return Err(Problem::error(format!("the amount of {name} is outside what can be reckoned with")).into());
    }
    Ok(found)
}

fn foreign(name: &str, substance: &'static Substance, value: Span<f64>, by_volume: bool) -> Poured {
    // Only a bound on what cannot be modelled: a gram a millilitre, stated.
    let grams = 0.5 * (value.low + value.high);
    let mut best = Composition::default();
    let solid = matches!(substance.form, Form::Solid | Form::SolidOrSolution);
    let kind = if solid { &mut best.solids_g } else { &mut best.foreign_g };
    kind.add(&substance.name, grams);
    let warnings = if by_volume { vec![format!("A millilitre of {name} was counted as a gram.")] } else { Vec::new() };
    let liquid = matches!(substance.form, Form::Liquid | Form::Solution);
    let heat_kj = solid.then_some(0.0);
    Poured { best, causes: Vec::new(), heat_kj, liquid, tap_water_g: 0.0, warnings }
}

fn composition(stock: &Stock, makeup: &Makeup, substance: &'static Substance, say: Say) -> Composition {
    let grams = say.amount * say.weighs;
    if stock.gives.is_empty() && stock.mass_share.is_none() && substance.id != "water" {
        let mut found = Composition::default();
        found.foreign_g.add(&substance.name, grams);
        return found;
    }
    makeup.compose(grams, say.w.clamp(0.0, 1.0), say.hydrate)
}

/// Grams of a millilitre, with this mass fraction of the formula and this much water of crystallisation.
fn liquid_g_ml(
    stock: &Stock,
    makeup: &Makeup,
    substance: &Substance,
    (w, hydrate): (f64, Option<f64>),
    t_c: f64,
) -> f64 {
    let kg_m3 = match stock.liquid_kg_m3 {
        Some(pure) if w >= 0.9999 || stock.mass_share.is_some() => pure,
        _ if substance.id == "water" => water_kg_m3(t_c),
        _ => makeup.density(w.clamp(0.0, 1.0), hydrate, t_c).0.best,
    };
    kg_m3 / 1000.0
}

/// Bulk density of a solid by spoon, with its spread; a wide guess when none is listed.
fn bulk_g_ml(substance: &Substance, name: &str) -> Estimate<f64> {
    let table = &solutions().measuring;
    let [low, best, high] = table.unknown_bulk_kg_m3;
    let found = bulk_density(name, &substance.id).map(|d| d.map(in_kg_per_m3));
    let Estimate { best, low, high } = found.unwrap_or(Estimate { best, low, high });
    // A spoon of any solid is off by at least this much.
    let least = table.spoon_of_solid;
    let (low, high) = (low.min(best * (1.0 - least)), high.max(best * (1.0 + least)));
    Estimate { best, low, high }.map(|d| d / 1000.0)
}

fn percent(share: f64) -> f64 {
    (share * 1000.0).round() / 10.0
}

fn measuring_error(unit: Unit, dry: bool) -> f64 {
    use crate::amount::MassUnit::{Grain, Gram, Kilogram, Milligram, Ounce, Pound};
    let m = &solutions().measuring;
    match unit {
        Unit::Volume(VolumeUnit::Millilitre | VolumeUnit::Litre, _) if dry => m.spoon,
        Unit::Volume(VolumeUnit::Millilitre | VolumeUnit::Litre, _) => m.metric_volume,
        Unit::Volume(VolumeUnit::Pinch | VolumeUnit::Dash, _) => m.pinch,
        Unit::Volume(VolumeUnit::Teaspoon | VolumeUnit::Tablespoon | VolumeUnit::FluidOunce, _) => m.spoon,
        Unit::Volume(..) => m.cup,
        Unit::Mass(Milligram | Gram | Kilogram | Grain) => m.mass,
        Unit::Mass(Ounce | Pound) => m.kitchen_mass,
        _ => m.mass,
    }
}

/// How many times as much of the substance there can be as the line says: the error of what it is measured with and, where
/// a label gives one figure, half a unit of that figure (never more than half of it, nor more than all of the stock, of which it is so many per cent). A safety figure that is called an
/// upper bound is multiplied by it. A finer label is not credited, so that a higher figure never counts for less.
pub fn most_over_line(ingredient: &Ingredient, solid: bool, percent: f64) -> f64 {
    let line = &ingredient.line;
    let measured = line.amount.as_ref().map_or(0.0, |amount| measuring_error(amount.unit, solid));
    let label = line.strength.as_ref().filter(|_| !solid).map_or(0.0, |strength| {
        let (low, high) = (strength.value.low.to_f64(), strength.value.high.to_f64());
        if low < high || high <= 0.0 { 0.0 } else { (0.5 / high).min(0.5) }
    });
    (1.0 + measured) * (1.0 + label).min((100.0 / percent.max(1e-9)).max(1.0))
}

fn measure_word(unit: Unit) -> &'static str {
    match unit {
        Unit::Volume(VolumeUnit::Millilitre | VolumeUnit::Litre, _) => "measuring",
        Unit::Volume(VolumeUnit::Teaspoon | VolumeUnit::Tablespoon | VolumeUnit::Pinch | VolumeUnit::Dash, _) => {
            "spoon measure"
        }
        Unit::Volume(..) => "cup measure",
        _ => "weighing",
    }
}

/// What peroxide and ammonia lose on the shelf once opened: a tenth (common practice, no source).
fn aged(substance: &Substance) -> Option<f64> {
    matches!(substance.id.as_ref(), "hydrogen_peroxide" | "ammonia_aq" | "sodium_hypochlorite").then_some(0.1)
}

fn strength(ingredient: &Ingredient, substance: &Substance, stock: &'static Stock) -> Checked<Option<Estimate<f64>>> {
    if let Some(said) = &ingredient.line.strength {
        let w = mass_fraction_of(substance, stock, said)?.map(|w| w.ratio());
        let best = 0.5 * (w.low + w.high);
        if w.low < w.high || stock.mass_share.is_some() {
            return Ok(Some(Estimate { best, low: w.low, high: w.high }));
        }
        let half = half_unit(said, &ingredient.line.text);
        return Ok(Some(Estimate { best, low: best * (1.0 - half), high: (best * (1.0 + half)).min(1.0) }));
    }
    let usual = ingredient.meanings.first().and_then(|m| m.usual);
    Ok(usual.filter(|_| stock.mass_share.is_none()).map(|w| {
        let w = w.map(|w| w.ratio());
        // Household vinegar is 5 % nearly everywhere; otherwise the middle.
        let five = substance.id == "acetic_acid" && w.low < 0.05 && w.high > 0.05;
        Estimate { best: if five { 0.05 } else { 0.5 * (w.low + w.high) }, low: w.low, high: w.high }
    }))
}

/// Half a unit of the last figure of a label strength, as a share of it: 5 % may be 4.5 to 5.5, 5.0 % 4.95 to 5.05.
fn half_unit(strength: &Strength, text: &str) -> f64 {
    let value = strength.value.low.to_f64();
    if value <= 0.0 {
        return 0.0;
    }
    let mut places = 0;
    // Both are whole and small, so the quotient is what the figure reads as.
    let reads = |d: Decimal| d.mantissa() as f64 / 10f64.powi(d.scale() as i32);
    while places < 4 && strength.value.low.to_decimal(places).is_none_or(|d| reads(d) != value) {
        places += 1;
    }
    // Zeros at the end are lost in the exact number but not in the line.
    if text.contains('.') {
        for word in text.split(|c: char| !(c.is_ascii_digit() || c == '.')) {
            if let Some((_, decimals)) = word.split_once('.')
                && word.parse() == Ok(value)
            {
                places = places.max(decimals.len().min(4) as u32);
            }
        }
    }
    (0.5 * 10f64.powi(-(places as i32)) / value).min(0.5)
}

/// Words for water of crystallisation.
const HYDRATES: [(&str, f64); 17] = [
    ("anhydrous", 0.0),
    ("dehydrated", 0.0),
    ("monohydrate", 1.0),
    ("dihydrate", 2.0),
    ("trihydrate", 3.0),
    ("tetrahydrate", 4.0),
    ("pentahydrate", 5.0),
    ("hexahydrate", 6.0),
    ("heptahydrate", 7.0),
    ("nonahydrate", 9.0),
    ("decahydrate", 10.0),
    ("dodecahydrate", 12.0),
    ("hexadecahydrate", 16.0),
    ("octadecahydrate", 18.0),
    ("washing soda", 10.0),
    ("soda crystals", 10.0),
    ("soda ash", 0.0),
];

struct Hydrate {
    best: Option<f64>,
    said: Option<f64>,
    open: bool,
    most: f64,
}

/// How much water of crystallisation the name says.
fn hydrate(ingredient: &Ingredient, stock: &'static Stock, name: &str) -> Checked<Hydrate> {
    let solution = ingredient.line.strength.is_some();
    if stock.hydrates.is_empty() {
        let best = stock.usual_hydrate.filter(|_| !solution);
        return Ok(Hydrate { best, said: None, open: false, most: 0.0 });
    }
    let words = HYDRATES.iter().filter(|(word, _)| name.contains(word));
    let said = words.max_by_key(|(word, _)| word.len()).map(|(_, n)| *n);
    let most = stock.hydrates.iter().copied().fold(0.0, f64::max);
    if said.is_none() && name.contains("hydrate") {
        return Err(which_hydrate(&ingredient.line.name, stock).into());
    }
    let open = said.is_none() && !solution && stock.water == 0.0 && stock.hydrates.len() > 1;
    let best = said.or(stock.usual_hydrate.filter(|_| !solution));
    Ok(Hydrate { best, said, open, most })
}

fn which_hydrate(name: &str, stock: &Stock) -> Problem {
    let plain = name.trim().trim_end_matches("hydrate").trim_end();
    let known = |name: &String| {
        read_ingredient(&format!("1 g {name}"), MeasureSystem::Metric).is_ok_and(|i| i.substance().is_some())
    };
    let named = |n: &f64| match *n {
        0.0 => format!("anhydrous {plain}"),
        n => format!("{plain} {}", water_words(n)),
    };
    let allowed = stock.hydrates.iter().map(named).filter(known);
    Problem::error(format!("\"{name}\" does not say which hydrate it is"))
        .hint(format!("read the label and write which: {}", allowed.collect::<Vec<_>>().join(", ")))
}

/// The word for so much water of crystallisation.
fn water_words(n: f64) -> String {
    let word = HYDRATES.iter().find(|(_, water)| *water == n).map(|(word, _)| (*word).to_string());
    word.unwrap_or_else(|| format!("{n:.0} H2O"))
}
