//! From ingredients to the finished mixture.

use super::air::air;
use super::density::density;
use super::equilibrium::{Balance, Over};
use super::gas::{gas, gases};
use super::heat::{Heat, heat};
use super::pour::{Cause, Poured, brought, pour};
use super::solubility::{Undissolved, carried, crowded, settle};
use super::species::{Composition, acid_protons, moles, reacted, solute};
use super::uncertainty::{Effect, combine};
use super::{Gas, MixConditions, Mixture, Solute, order, ph};
use crate::amount::{
    Estimate, Mass, MassFraction, Ph, ThermodynamicTemperature, Volume, g_per_l, grams, in_celsius, kelvins, kg_per_m3,
    millilitres, mol_per_l,
};
use crate::diag::{Checked, Problem, Problems};
use crate::reference::schema::Role;
use crate::reference::{Ingredient, solutions, substances};

/// Density of settled salt crystals, g/mL, for the room that a sediment takes (handbook crystals: 1.5 to 2.3).
const CRYSTALS_G_ML: f64 = 2.0;

/// Computes the mixture of these ingredients, poured in this order.
///
/// # Errors
/// An ingredient without amount, unrecognised or with a missing or impossible strength; more than one meaning; a
/// temperature outside 0 to 60 °C.
pub fn mix(ingredients: &[Ingredient], conditions: &MixConditions) -> Checked<Mixture> {
    mixture(ingredients, conditions, true)
}

/// As [`mix`], without pH, heat and gas (`None`, `None`, empty): for the rounds in which only volume, density and
/// concentrations are followed.
///
/// # Errors
/// As [`mix`].
pub fn mix_physics(ingredients: &[Ingredient], conditions: &MixConditions) -> Checked<Mixture> {
    mixture(ingredients, conditions, false)
}

/// Finished volume and mass of a mixture, best values only: what dosing to a volume turns on.
///
/// # Errors
/// As [`mix`].
pub fn finished_volume(ingredients: &[Ingredient], temperature: ThermodynamicTemperature) -> Checked<(Volume, Mass)> {
    let bath = Bath::of(pour_each(ingredients, temperature, brought)?)?;
    Ok((settled_volume(&bath.all, temperature), grams(bath.all.total_g())))
}

/// The same volume as each ingredient goes in, in this order; `None` as long as what is in makes no bath.
///
/// # Errors
/// As [`mix`], for the whole.
pub(super) fn volumes_along(
    ingredients: &[Ingredient],
    order: &[usize],
    temperature: ThermodynamicTemperature,
) -> Checked<Vec<Option<Volume>>> {
    let whole = Bath::of(pour_each(ingredients, temperature, brought)?)?;
    let mut all = Composition::default();
    let after = order.iter().filter_map(|i| whole.poured.get(*i)).map(|poured| {
        all.add_all(&poured.best);
        possible(&all).is_ok().then(|| settled_volume(&all, temperature))
    });
    Ok(after.collect())
}

fn settled_volume(all: &Composition, temperature: ThermodynamicTemperature) -> Volume {
    let t_c = in_celsius(temperature);
    let (dissolved, solids) = settle(all.clone(), t_c);
    millilitres(Physics::of(&dissolved, &solids, t_c).volume_ml())
}

fn mixture(ingredients: &[Ingredient], conditions: &MixConditions, chemistry: bool) -> Checked<Mixture> {
    let poured = pour_all(ingredients, conditions.temperature)?;
    let t_c = in_celsius(conditions.temperature);
    let bath = Bath::of(poured)?;
    let mut warnings: Vec<String> = bath.poured.iter().flat_map(|p| p.warnings.clone()).collect();
    warnings.extend(order::notes(ingredients));
    let (dissolved, solids) = settle(bath.all.clone(), t_c);
    let physics = Physics::of(&dissolved, &solids, t_c);
    for s in &solids {
        warnings.push(undissolved_words(s, t_c));
    }
    warnings.extend(bath.all.entries().filter_map(|(s, _)| {
        let (_, into) = carried(&bath.all, s)?;
        Some(format!(
            "{} dissolves to {into}, which is not modelled: it is counted as dissolved, and no pH is given.",
            capital(&s.name)
        ))
    }));
    for (salt, others) in crowded(&dissolved, t_c) {
        warnings.push(format!(
            "Beside {others} less {salt} dissolves than in plain water, for they share an ion: more may stay undissolved \
             than is said here."
        ));
    }
    let falling = if chemistry { falling(&bath, &dissolved, conditions) } else { None };
    for solid in falling.iter().flat_map(|balance| balance.settles()) {
        warnings.push(format!(
            "{} falls out as a mud that can coat the part: less of it is dissolved than is listed.",
            capital(&solid.name)
        ));
    }
    let dry = dissolved.total_g() <= 1e-9 * bath.all.total_g();
    if dry {
        warnings.push("There is no liquid in it, so nothing dissolves.".into());
    }
    if !physics.not_modelled.is_empty() {
        warnings.push(format!(
            "Density not modelled with {}: between {:.0} and {:.0} kg/m³.",
            physics.not_modelled.join(", "),
            physics.kg_m3.low,
            physics.kg_m3.high
        ));
    }
    if physics.gas_g > 0.05 {
        warnings.push(format!(
            "Of this mass up to {:.0} g leaves as carbon dioxide; the volume is that after it has left. Concentrations \
             are as mixed, before acid and base react.",
            physics.gas_g
        ));
    }
    let variants = bath.variants(t_c);
    let volume = volume_estimate(&physics, &variants);
    let density = density_estimate(&physics, &variants);
    let (mass, _) = variants.spread(bath.all.total_g(), |v| v.total_g);
    let ph = if chemistry { acidity(&bath, &dissolved, &variants, falling, conditions, &mut warnings) } else { None };
    let heat = chemistry.then(|| heat(&bath.poured, &bath.all));
    if let Some(heat) = &heat {
        heat_words(heat, t_c, &mut warnings);
    }
    Ok(Mixture {
        volume: volume.map(millilitres),
        mass: mass.map(grams),
        density: (!dry && physics.not_modelled.is_empty()).then(|| density.map(kg_per_m3)),
        ph,
        temperature: conditions.temperature,
        solutes: solutes(&dissolved, &physics, &variants),
        undissolved: solids.iter().map(|s| (s.name.clone(), grams(s.solid_g))).collect(),
        heat_rise: heat
            .filter(|h| h.unknown.is_empty() && bath.all.foreign_g.is_empty() && bath.all.solids_g.is_empty())
            .map(|h| kelvins(h.worst_rise_k())),
        gas: if chemistry { gas_made(&bath.all, conditions.temperature) } else { Vec::new() },
        warnings,
    })
}

/// The balance of what is dissolved, as far as it has a model, for what falls out of it.
fn falling(bath: &Bath, dissolved: &Composition, conditions: &MixConditions) -> Option<Balance> {
    let mut plain = dissolved.clone();
    plain.solutes_g.retain(|s, _| carried(&bath.all, s).is_none());
    ph::modelled_part(&plain, in_celsius(conditions.temperature), air(&plain, conditions.carbonate).over)
}

fn capital(name: &str) -> String {
    let mut letters = name.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}

/// All gas that it can make, hydrogen from metal that lies in an acid bath included.
fn gas_made(all: &Composition, temperature: ThermodynamicTemperature) -> Vec<Gas> {
    let mut found = gases(all, temperature);
    let acid: f64 = all.entries().filter_map(|(s, g)| Some(moles(s, g)? * acid_protons(s))).sum();
    // Iron gives up to three electrons for each atom as any metal does that acid takes up, and two make one hydrogen.
    let metal: f64 = all.solids_g.iter().filter_map(|(name, g)| Some(1.5 * g / dissolving_metal(name)?)).sum();
    let hydrogen = metal.min(acid / 2.0);
    if hydrogen > 1e-9 {
        found.push(gas(
            "hydrogen",
            hydrogen,
            temperature,
            "acid on the metal in it, until one of them is used up".into(),
        ));
    }
    found
}

/// Molar mass of a metal that acid dissolves with hydrogen.
fn dissolving_metal(name: &str) -> Option<f64> {
    let metal = substances().iter().find(|s| s.name == name)?;
    let roles = [Role::IronMetal, Role::ZincMetal, Role::AluminiumMetal, Role::MagnesiumMetal];
    metal.molar_mass_g_mol.filter(|m| *m > 0.0 && roles.iter().any(|r| metal.is(*r)))
}

/// Reads all ingredients, or says everything that is wrong with them.
pub(super) fn pour_all(ingredients: &[Ingredient], temperature: ThermodynamicTemperature) -> Checked<Vec<Poured>> {
    pour_each(ingredients, temperature, pour)
}

fn pour_each(
    ingredients: &[Ingredient],
    temperature: ThermodynamicTemperature,
    pour: impl Fn(&Ingredient, f64) -> Checked<Poured>,
) -> Checked<Vec<Poured>> {
    let t_c = in_celsius(temperature);
    let mut faults = Vec::new();
    if !(0.0..=60.0).contains(&t_c) {
        faults.push(Problem::error(format!("{t_c:.1} °C is outside the models: 0 to 60 °C")).in_field("temperature"));
    }
    // People measure near room temperature, whatever the bath is kept at.
    let measured_c = if t_c.is_finite() { t_c.clamp(15.0, 30.0) } else { 20.0 };
    let mut poured = Vec::new();
    for (i, ingredient) in ingredients.iter().enumerate() {
        match pour(ingredient, measured_c) {
            Ok(p) => poured.push(p),
            Err(Problems(list)) => faults.extend(list.into_iter().map(|p| p.in_field(format!("ingredient {}", i + 1)))),
        }
    }
    if ingredients.is_empty() {
        faults.push(Problem::error("there is nothing to mix").hint("name at least one ingredient"));
    }
    if faults.is_empty() { Ok(poured) } else { Err(Problems(faults)) }
}

/// Everything poured, best values and one variant for each end of each cause.
pub(super) struct Bath {
    pub poured: Vec<Poured>,
    pub all: Composition,
}

/// The bath with one cause at an end, and what the models make of it.
pub(super) struct Variant {
    total_g: f64,
    dissolved: Composition,
    physics: Physics,
}

pub(super) struct Variants<'a>(Vec<(&'a Cause, Variant, Option<Variant>)>);

impl Variants<'_> {
    fn effects(&self, best: f64, value: impl Fn(&Variant) -> f64) -> impl Iterator<Item = Effect<'_>> {
        self.0.iter().map(move |(c, low, high)| c.effect(value(low), high.as_ref().map_or(best, &value)))
    }

    /// A value with its two ends, and the cause that moves it most.
    fn spread(&self, best: f64, value: impl Fn(&Variant) -> f64) -> (Estimate<f64>, Option<&str>) {
        combine(best, self.effects(best, value))
    }
}

/// Whether this can be in a vessel.
fn possible(all: &Composition) -> Checked<()> {
    if all.total_g() <= 0.0 || !all.total_g().is_finite() {
        return Err(Problem::error("the amounts add up to nothing").into());
    }
    if all.water_g < 0.0 {
        // Quicklime and the like bind more water than there is.
        return Err(Problem::error("there is not enough water for what reacts with it")
            .hint("add water, or use the slaked form")
            .into());
    }
    Ok(())
}

impl Bath {
    pub fn of(poured: Vec<Poured>) -> Checked<Bath> {
        let mut all = Composition::with_room(poured.iter().map(|p| p.best.solutes_g.len()).sum());
        for p in &poured {
            all.add_all(&p.best);
        }
        possible(&all)?;
        Ok(Bath { poured, all })
    }

    /// Composition with one ingredient replaced.
    fn with(&self, index: usize, other: &Composition) -> Composition {
        let mut all = Composition::with_room(self.all.solutes_g.len());
        for (i, p) in self.poured.iter().enumerate() {
            all.add_all(if i == index { other } else { &p.best });
        }
        all.water_g = all.water_g.max(0.0);
        all
    }

    /// Each cause with the whole bath at its low and its high end; none where that is the bath as it is.
    pub fn ends(&self) -> impl Iterator<Item = (&Cause, Composition, Option<Composition>)> {
        let ends = move |i: usize, c: &'_ Cause| (self.with(i, &c.low), c.high.as_ref().map(|high| self.with(i, high)));
        let each = self.poured.iter().enumerate().flat_map(|(i, p)| p.causes.iter().map(move |c| (i, c)));
        each.map(move |(i, c)| {
            let (low, high) = ends(i, c);
            (c, low, high)
        })
    }

    fn variants(&self, t_c: f64) -> Variants<'_> {
        let variant = |all: Composition| {
            let total_g = all.total_g();
            let (dissolved, solids) = settle(all, t_c);
            let physics = Physics::of(&dissolved, &solids, t_c);
            Variant { total_g, dissolved, physics }
        };
        Variants(self.ends().map(|(c, low, high)| (c, variant(low), high.map(variant))).collect())
    }

    /// Tap water, and what hard water may bring as bicarbonate, mol.
    pub fn tap_alkalinity_mol(&self) -> f64 {
        let water: f64 = self.poured.iter().map(|p| p.tap_water_g).sum();
        water / 1000.0 * solutions().measuring.tap_water_alkalinity_mol_per_kg
    }
}

/// Density and volume of a settled bath.
pub(super) struct Physics {
    pub kg_m3: Estimate<f64>,
    pub not_modelled: Vec<String>,
    /// Liquid, millilitres.
    liquid_ml: f64,
    /// Sediment, millilitres.
    sediment_ml: f64,
    gas_g: f64,
    total_g: f64,
}

impl Physics {
    pub fn of(dissolved: &Composition, solids: &[Undissolved], t_c: f64) -> Physics {
        let (products, gas_g) = reacted(dissolved);
        let mut found = density(&products, t_c);
        if gas_g > 0.0 || products.solutes_g.len() != dissolved.solutes_g.len() {
            // What the reaction leaves is known by its main products only.
            let spread = 0.003 * found.kg_m3.best;
            found.kg_m3.low -= spread;
            found.kg_m3.high += spread;
        }
        let liquid_g = products.total_g();
        let solid_g: f64 = solids.iter().map(|s| s.solid_g).sum();
        Physics {
            liquid_ml: liquid_g / found.kg_m3.best * 1000.0,
            sediment_ml: solid_g / CRYSTALS_G_ML,
            kg_m3: found.kg_m3,
            not_modelled: found.not_modelled,
            gas_g,
            total_g: dissolved.total_g(),
        }
    }

    pub fn volume_ml(&self) -> f64 {
        self.liquid_ml + self.sediment_ml
    }
}

fn density_estimate(physics: &Physics, variants: &Variants<'_>) -> Estimate<f64> {
    let (mut found, _) = variants.spread(physics.kg_m3.best, |v| v.physics.kg_m3.best);
    found.low -= physics.kg_m3.best - physics.kg_m3.low;
    found.high += physics.kg_m3.high - physics.kg_m3.best;
    found
}

fn volume_estimate(physics: &Physics, variants: &Variants<'_>) -> Estimate<f64> {
    let best = physics.volume_ml();
    let (mut found, _) = variants.spread(best, |v| v.physics.volume_ml());
    found.low -= physics.liquid_ml * (1.0 - physics.kg_m3.best / physics.kg_m3.high.max(1.0));
    found.high += physics.liquid_ml * (physics.kg_m3.best / physics.kg_m3.low.max(1.0) - 1.0);
    found.low = found.low.max(0.0);
    found
}

fn solutes(dissolved: &Composition, physics: &Physics, variants: &Variants<'_>) -> Vec<Solute> {
    let mut found: Vec<Solute> = dissolved
        .entries()
        .filter(|(_, g)| *g > 0.0)
        .filter_map(|(s, g)| {
            let id = s.id.as_ref();
            let per_litre = |g: f64, p: &Physics| g / p.liquid_ml * 1000.0;
            let estimate = |best: f64, value: &dyn Fn(&Variant) -> f64| {
                let (mut found, cause) = variants.spread(best, value);
                found.low = found.low.max(0.0);
                (found, cause)
            };
            let (mass, _) = estimate(g, &|v| v.dissolved.solutes_g.get(s));
            let (concentration, largest_error) =
                estimate(per_litre(g, physics), &|v| per_litre(v.dissolved.solutes_g.get(s), &v.physics));
            let (fraction, _) = estimate(g / physics.total_g, &|v| v.dissolved.solutes_g.get(s) / v.physics.total_g);
            let molar = s.molar_mass_g_mol.map(|m| concentration.map(|c| mol_per_l(c / m)));
            Some(Solute {
                substance: id,
                name: s.name.to_string(),
                mass: mass.map(grams),
                concentration: concentration.map(g_per_l),
                fraction: ratios(fraction)?,
                molar,
                largest_error: largest_error.map(str::to_string),
            })
        })
        .collect();
    found.sort_by(|a, b| b.mass.best.value.total_cmp(&a.mass.best.value).then(a.substance.cmp(b.substance)));
    found
}

fn ratios(w: Estimate<f64>) -> Option<Estimate<MassFraction>> {
    let one = |w: f64| MassFraction::new(w.clamp(0.0, 1.0));
    Some(Estimate { best: one(w.best)?, low: one(w.low)?, high: one(w.high)? })
}

fn acidity(
    bath: &Bath,
    dissolved: &Composition,
    variants: &Variants<'_>,
    solved: Option<Balance>,
    conditions: &MixConditions,
    warnings: &mut Vec<String>,
) -> Option<Estimate<Ph>> {
    let t_c = in_celsius(conditions.temperature);
    if bath.all.entries().any(|(s, _)| carried(&bath.all, s).is_some()) {
        return None;
    }
    // Solids that settle have left the composition but may still react.
    let dissolved = &Composition { solids_g: bath.all.solids_g.clone(), ..dissolved.clone() };
    let air = air(dissolved, conditions.carbonate);
    // All of it has a model or no pH is given, so the balance of the part with a model is that of the whole.
    let reading = match solved {
        Some(solved) => ph::read_solved(dissolved, t_c, air.over, solved),
        None => ph::read(dissolved, t_c, air.over),
    };
    let reading = match reading {
        Ok(reading) => reading,
        Err(why) => {
            warnings.push(format!("pH not modelled: {why}."));
            return None;
        }
    };
    let effects = variants
        .effects(reading.ph, |v| ph::value_near(&v.dissolved, t_c, air.over, &reading.balance).unwrap_or(reading.ph));
    // Hard water holds bicarbonate.
    let mut hard = dissolved.clone();
    if let Some(s) = solute("sodium_bicarbonate") {
        hard.add(s, bath.tap_alkalinity_mol() * s.molar_mass_g_mol.unwrap_or(84.006));
    }
    let hard = ph::value_near(&hard, t_c, air.over, &reading.balance).unwrap_or(reading.ph);
    let tap = Effect { label: "what the tap water holds", low: reading.ph, high: hard, range: false };
    let (mut found, _) = combine(reading.ph, effects.chain([tap]));
    found.low -= reading.model.0;
    found.high += reading.model.1;
    if found.high - found.low > 2.0 {
        warnings.push("Little or nothing in this bath holds its pH: measure it if it matters.".into());
    }
    let other = air.other.and_then(|over| ph::follow(dissolved, t_c, over, Some(&reading.balance)));
    if let Some(other) = other.map(|balance| balance.ph)
        && (other - reading.ph).abs() > 0.3
    {
        let when = if air.over == Over::Nothing { "after days in the open air" } else { "when just mixed" };
        warnings.push(format!("The pH is about {other:.1} {when}: carbon dioxide goes in and out slowly."));
        found.low = found.low.min(other - 0.1);
        found.high = found.high.max(other + 0.1);
    }
    Some(found.map(Ph))
}

pub(super) fn undissolved_words(s: &Undissolved, t_c: f64) -> String {
    if s.insoluble {
        return format!("{:.1} g of {} does not dissolve.", s.solid_g, s.name);
    }
    let how = match s.warm_c {
        Some(warm) if warm > t_c => format!("at {warm:.0} °C all of it would dissolve"),
        _ => "no temperature up to 60 °C dissolves all of it: use more water".to_string(),
    };
    format!("{:.1} g of {} stays undissolved at {t_c:.0} °C; {how}.", s.solid_g, s.name)
}

fn heat_words(heat: &Heat, t_c: f64, warnings: &mut Vec<String>) {
    if !heat.unknown.is_empty() {
        warnings.push(format!(
            "How much heat {} sets free in water is not known here: try a little of it first.",
            heat.unknown.join(", ")
        ));
    }
    let (mixing, worst) = (heat.mixing_rise_k(), heat.worst_rise_k());
    if mixing > 2.0 {
        warnings.push(format!(
            "Mixing alone can warm it by up to {mixing:.0} °C, to {:.0} °C, if it is done at once and nothing is lost.",
            t_c + mixing
        ));
    }
    if worst - mixing > 1.0 {
        let made = if mixing < 0.1 { "less than 0.1".to_string() } else { format!("{mixing:.1}") };
        warnings.push(format!(
            "That counts all the peroxide in it decomposing, as iron and copper make it; making it up alone warms it by \
             {made} \u{b0}C."
        ));
    }
    if heat.fall_k() > 3.0 {
        warnings
            .push(format!("Dissolving cools it by about {:.0} °C; it takes longer to dissolve then.", heat.fall_k()));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::amount::{MeasureSystem, celsius, in_g_per_l, in_grams, in_moles};
    use crate::reference::read_ingredient;

    fn made(lines: &[&str]) -> Mixture {
        let list: Vec<_> = lines.iter().map(|l| read_ingredient(l, MeasureSystem::Metric).unwrap()).collect();
        mix(&list, &MixConditions { temperature: celsius(20.0), carbonate: None }).unwrap()
    }

    fn says(m: &Mixture, words: &str) -> bool {
        m.warnings.iter().any(|w| w.contains(words))
    }

    #[test]
    fn what_falls_out_is_named() {
        // All insoluble by the rules of every textbook; gypsum holds 2.4 g/L (CRC Handbook).
        for (first, second, name) in [
            ("20 g calcium chloride dihydrate", "20 g Epsom salts", "Gypsum"),
            ("5 g barium chloride dihydrate", "5 g Epsom salts", "Barium sulfate"),
            ("5 g barium chloride dihydrate", "5 g anhydrous sodium carbonate", "Barium carbonate"),
            ("5 g silver nitrate", "5 g table salt", "Silver chloride"),
            ("20 g copper sulfate pentahydrate", "20 g anhydrous sodium carbonate", "copper carbonate"),
            ("20 g copper sulfate pentahydrate", "5 g sodium hydroxide", "Copper hydroxide"),
            ("5 g calcium chloride dihydrate", "5 g anhydrous sodium carbonate", "Calcium carbonate"),
        ] {
            let m = made(&["1 L distilled water", first, second]);
            assert!(m.warnings.iter().any(|w| w.contains(name) && w.contains("falls out")), "{name}: {:?}", m.warnings);
            for alone in [first, second] {
                let m = made(&["1 L distilled water", alone]);
                assert!(!says(&m, "falls out"), "{alone}: {:?}", m.warnings);
            }
        }
        // A tenth of what gypsum needs stays clear, and gypsum leaves the pH alone.
        assert!(!says(
            &made(&["1 L distilled water", "1 g calcium chloride dihydrate", "1 g Epsom salts"]),
            "falls out"
        ));
        assert!(made(&["1 L distilled water", "20 g calcium chloride dihydrate", "20 g Epsom salts"]).ph.is_some());
    }

    #[test]
    fn a_shared_ion_is_said_to_crowd_a_salt_out() {
        let crowded = made(&["1 L distilled water", "250 g table salt", "250 g potassium chloride"]);
        assert!(says(&crowded, "share an ion"), "{:?}", crowded.warnings);
        for alone in ["250 g table salt", "250 g potassium chloride"] {
            assert!(!says(&made(&["1 L distilled water", alone]), "share an ion"));
        }
        let weak = made(&["1 L distilled water", "100 g table salt", "30 g potassium chloride"]);
        assert!(!says(&weak, "share an ion"), "{:?}", weak.warnings);
    }

    #[test]
    fn steel_wool_in_vinegar_makes_hydrogen() {
        // 20 g of iron is 0.358 mol; 1 kg of 5 % vinegar has 0.833 mol of acid, so at most 0.416 mol of hydrogen.
        let m = made(&["1000 g vinegar 5 %", "20 g steel wool"]);
        let hydrogen = m.gas.iter().find(|g| g.gas == "hydrogen").unwrap();
        assert!((in_moles(hydrogen.amount) - 0.416).abs() < 0.002);
        let little = made(&["1000 g vinegar 5 %", "2 g steel wool"]);
        assert!((in_moles(little.gas[0].amount) - 0.0537).abs() < 0.001, "{:?}", little.gas);
        assert!(made(&["1 L water", "20 g steel wool"]).gas.is_empty());
    }

    #[test]
    fn ammonia_takes_copper_carbonate_into_solution() {
        let m = made(&["1 L ammonia 10 %", "20 g copper carbonate"]);
        assert!(m.undissolved.is_empty() && says(&m, "cuprammonia") && m.density.is_none());
        assert!(m.ph.is_none() && !says(&m, "falls out"), "{:?}", m.warnings);
        let copper = m.solutes.iter().find(|s| s.substance == "copper_carbonate_basic").unwrap();
        assert!((in_grams(copper.mass.best) - 20.0).abs() < 1e-9);
        // 1 g of ammonia is 0.0587 mol and carries at most an eighth of that: 1.6 g of the carbonate.
        let little = made(&["1 L water", "10 g ammonia 10 %", "20 g copper carbonate"]);
        assert!((in_grams(little.undissolved[0].1) - 18.4).abs() < 0.1, "{:?}", little.undissolved);
        assert_eq!(made(&["1 L water", "20 g copper carbonate"]).undissolved.len(), 1);
    }

    #[test]
    fn a_dry_salt_and_a_wordless_hydrate_are_told_apart_from_a_bath() {
        let dry = made(&["1 kg table salt"]);
        assert!(says(&dry, "no liquid") && dry.density.is_none() && dry.solutes.is_empty());
        let fault = |line: &str| {
            let list = [
                read_ingredient("1 L water", MeasureSystem::Metric).unwrap(),
                read_ingredient(line, MeasureSystem::Metric).unwrap(),
            ];
            mix(&list, &MixConditions { temperature: celsius(20.0), carbonate: None }).unwrap_err()
        };
        // There is a hexahydrate too, but no name of this table means it.
        let names = ["anhydrous calcium chloride", "calcium chloride dihydrate"];
        let found = fault("50 g calcium chloride hydrate").to_string();
        assert!(found.contains("does not say which hydrate") && found.contains(&names.join(", ")), "{found}");
        for name in names {
            assert!(
                read_ingredient(&format!("50 g {name}"), MeasureSystem::Metric).unwrap().substance().is_some(),
                "{name}"
            );
        }
        assert!(fault("50 g sparkle hydrate").to_string().contains("not recognised"));
    }

    #[test]
    fn kitchen_vinegar_says_what_it_was_counted_as() {
        let m = made(&["900 mL water", "100 mL vinegar"]);
        assert!(says(&m, "counted as 5 %") && says(&m, "4 to 8 %"), "{:?}", m.warnings);
        let acid = m.solutes[0].concentration;
        assert!(in_g_per_l(acid.high) > 1.5 * in_g_per_l(acid.best));
        assert!(!says(&made(&["900 mL water", "100 mL vinegar 5 %"]), "counted as"));
    }
}
