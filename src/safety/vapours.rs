//! What leaves the bath by itself: each gas or vapour once, with what the room would hold of it.

use super::Exposure;
use super::exposure::{self, Vapour, dangerous_ppm, gives_off, vapour_exposure, vapour_over, vapour_ppm};
use super::facts::{Facts, Present};
use super::parts_played::Roles;
use super::peracetic;
use super::rules::Found;
use super::shares::lightest_g;
use crate::amount::{AmountOfSubstance, Area, moles, square_millimetres};
use crate::reference::schema::HazardRole as H;
use crate::reference::{GasLimits, Substance, exposure_limits, substance};

/// Surface taken when no vessel is named: a jar 100 mm across (our choice, printed as an assumption).
pub const ASSUMED_MM: f64 = 100.0;
/// Molar mass of ammonia, g/mol (IUPAC 2021 atomic weights).
const AMMONIA_G_MOL: f64 = 17.031;

const PEROXIDE: Roles = Roles::of(&[H::Peroxide]);
const ACETIC: Roles = Roles::of(&[H::Acetic]);
const FREE: Roles = Roles::of(&[H::FreeAmmonia]);
const NITROGEN: Roles = Roles::of(&[H::FreeAmmonia, H::Ammonia, H::Ammonium]);
const AMMONIUM: Roles = Roles::of(&[H::Ammonium]);
const ALKALI: Roles = Roles::of(&[H::Alkali]);
const ACID: Roles = Roles::of(&[H::MineralAcid, H::OrganicAcid]);

/// A gas or vapour that the bath gives off.
pub struct Volatile {
    /// What it is, with its limits.
    pub gas: &'static GasLimits,
    /// What is dissolved, for the model of its vapour.
    substance: &'static Substance,
    /// Per cent by mass, the highest; `None` where the amounts are not known.
    percent: Option<f64>,
    /// All there is of it.
    pub held: Option<AmountOfSubstance>,
}

/// Open surface.
pub fn surface(facts: &Facts) -> Area {
    facts.conditions.surface.unwrap_or_else(|| square_millimetres(ASSUMED_MM.powi(2) * std::f64::consts::FRAC_PI_4))
}

/// Everything volatile in the finished bath, each gas once.
pub fn of_bath(facts: &Facts) -> Vec<Volatile> {
    let mut all: Vec<Volatile> = Vec::new();
    let strengths = facts.poured().zip(facts.components.iter().map(|c| c.percent.high));
    let giving = strengths.filter_map(|(p, percent)| Some((p, percent, gives_off(p.substance)?)));
    let mut lines: Vec<(usize, Volatile)> = Vec::new();
    for (p, percent, gas) in giving.filter(|(p, percent, _)| *percent > 0.0 && !p.is(FREE)) {
        let line = Volatile { gas, substance: p.substance, percent: Some(percent), held: p.stock.moles.map(moles) };
        // Of several meanings the one that brings most.
        match lines.iter_mut().find(|(i, v)| *i == p.ingredient && v.gas.id == gas.id) {
            Some((_, v)) if line.held.is_none() || v.held.is_some_and(|held| line.held > Some(held)) => *v = line,
            Some(_) => {}
            None => lines.push((p.ingredient, line)),
        }
    }
    for (_, line) in lines {
        match all.iter_mut().find(|v| v.gas.id == line.gas.id) {
            None => all.push(line),
            Some(v) => {
                v.percent = v.percent.zip(line.percent).map(|(a, b)| (a + b).min(100.0));
                v.held = v.held.zip(line.held).map(|(a, b)| a + b);
            }
        }
    }
    all.extend(ammonia(facts));
    all.extend(peracetic_acid(facts));
    if !all.iter().any(|v| v.gas.id == "hydrogen_sulfide") {
        all.extend(hydrogen_sulfide(facts));
    }
    all
}

/// pH that a sulfide bath is taken to have: sulfurated potash and the alkali sulfides are strongly alkaline (pharmacy texts,
/// read), past 11 by the hydrolysis of sulfide; two units less for what it takes up from the air (our choice).
const SULFIDE_PH: f64 = 10.0;
/// With ammonium in it: the buffer of ammonia and ammonium, pKa 9.25 (CRC Handbook, recalled), a quarter of a unit lower.
const AMMONIUM_SULFIDE_PH: f64 = 9.0;
/// First dissociation of hydrogen sulfide, pKa at 25 °C (CRC Handbook, recalled). Warmer it is lower, and less is the gas: the
/// figure of 25 °C is the upper bound.
const SULFIDE_PKA: f64 = 7.0;
const HYDROGEN_SULFIDE_G_MOL: f64 = 34.076;

/// Hydrogen sulfide over a sulfide bath that no acid met: the share of the dissolved sulfide that is the gas at the pH of such
/// a bath, and all of the sulfide as what can leave. Lumps without water count as damp: they draw it from the air, and a
/// stronger stock is never milder. With an acid the rule of that meeting counts all of it.
pub fn hydrogen_sulfide(facts: &Facts) -> Option<Volatile> {
    const SULFIDE: Roles = Roles::of(&[H::Sulfide]);
    if !facts.any(SULFIDE) {
        return None;
    }
    let (gas, substance) = (exposure_limits("hydrogen_sulfide")?, substance("hydrogen_sulfide")?);
    let ammonium =
        facts.any(AMMONIUM) || facts.playing(SULFIDE).any(|p| AMMONIUM_SULFIDES.contains(&p.substance.id.as_ref()));
    let ph = if ammonium { AMMONIUM_SULFIDE_PH } else { SULFIDE_PH };
    let share = 1.0 / (1.0 + libm::pow(10f64, ph - SULFIDE_PKA));
    let mol = facts.equivalents(SULFIDE);
    let percent = mol.zip(lightest_g(facts));
    let percent = percent.map(|(mol, g)| (100.0 * mol * share * HYDROGEN_SULFIDE_G_MOL / g).min(100.0));
    Some(Volatile { gas, substance, percent, held: mol.map(moles) })
}

const AMMONIUM_SULFIDES: [&str; 2] = ["ammonium_sulfide", "ammonium_polysulfide"];

/// Peracetic acid that peroxide and acetic acid make in the bath, at most: what the two bottles could hold by themselves.
fn peracetic_acid(facts: &Facts) -> Option<Volatile> {
    let poured = |p: &Present| p.before.is_none();
    let pairs = || facts.meetings(PEROXIDE, ACETIC).filter(|(p, a)| poured(p) && poured(a));
    pairs().next()?;
    let (gas, substance) = (exposure_limits("peracetic_acid")?, substance("peracetic_acid")?);
    let grams = |(p, a): (&Present, &Present)| {
        Some(peracetic::percent_at_most(p, a) / 100.0 * (p.stock.mass_g? + a.stock.mass_g?))
    };
    let most = pairs().map(grams).try_fold(0.0, |so_far: f64, g| Some(so_far.max(g?)));
    let percent = match most.zip(lightest_g(facts)) {
        Some((g, all)) => Some((100.0 * g / all).min(100.0)),
        None => pairs().map(|(p, a)| peracetic::percent_at_most(p, a)).reduce(f64::max),
    };
    Some(Volatile { gas, substance, percent, held: most.map(|g| moles(g / peracetic::G_MOL)) })
}

/// Ammonia that can leave the finished bath: what is free, less what acid binds, and what a base sets free.
///
/// Acid counts at its least and base at its most. `None` where there is neither ammonia nor an ammonium salt with a base.
pub fn ammonia(facts: &Facts) -> Option<Volatile> {
    let set_free = facts.any(AMMONIUM) && facts.any(ALKALI);
    if !(facts.any(FREE) || set_free) {
        return None;
    }
    let (gas, substance) = (exposure_limits("ammonia")?, substance("ammonia_aq")?);
    let mol = facts.equivalents(FREE).zip(facts.equivalents(NITROGEN)).zip(facts.equivalents(ALKALI));
    let mol = mol.map(|((free, all), base)| (free + base - facts.least_equivalents(ACID)).clamp(0.0, all));
    let percent = mol.zip(lightest_g(facts)).map(|(mol, g)| (100.0 * mol * AMMONIA_G_MOL / g).min(100.0));
    Some(Volatile { gas, substance, percent, held: mol.map(moles) })
}

impl Volatile {
    /// What it brings the air to as it leaves an open surface, as its row tells it.
    pub fn surface_ppm(&self, facts: &Facts) -> Option<f64> {
        let room = &facts.conditions.room;
        if self.none_left() {
            return exposure::release_ppm(moles(0.0), exposure::Release::Slow, room, facts.temperature());
        }
        exposure::told_ppm(&self.vapour(facts)?, self.held, surface(facts), room, facts.temperature())
    }

    /// Whether all of it is bound by something else.
    fn none_left(&self) -> bool {
        self.held.is_some_and(|held| held <= moles(0.0))
    }

    fn vapour(&self, facts: &Facts) -> Option<Vapour> {
        vapour_over(self.substance, self.percent?, facts.temperature())
    }

    /// Its row: figures where they can be worked out, `null` where they can not. What is sprayed counts as all in the air at
    /// once: mist evaporates as it flies, and no surface bounds it.
    pub fn row(&self, facts: &Facts) -> Exposure {
        let room = &facts.conditions.room;
        match self.held.filter(|_| facts.sprayed()) {
            Some(held) => exposure::mist_exposure(self.gas, held, room, facts.temperature()),
            None => self.over_surface(facts),
        }
    }

    /// Its row as it leaves an open surface.
    pub fn over_surface(&self, facts: &Facts) -> Exposure {
        let room = &facts.conditions.room;
        match self.vapour(facts) {
            _ if self.none_left() => {
                exposure::gas_exposure(&self.gas.id, moles(0.0), exposure::Release::Slow, room, facts.temperature())
            }
            Some(vapour) => vapour_exposure(&vapour, self.held, surface(facts), room, facts.temperature()),
            None => exposure::unknown_exposure(self.gas, room),
        }
    }

    /// With what it reaches in the room, the limits, and the volume of bath, alike but larger or smaller, at which that
    /// becomes dangerous.
    pub fn figures(&self, facts: &Facts, found: Found, ppm: Option<f64>) -> Found {
        found
            .number("worst_case_ppm", ppm)
            .number("limit_ppm", self.gas.strictest().map(|l| l.ppm))
            .number("idlh_ppm", self.gas.idlh_ppm)
            .number("dangerous_from_ml", self.turns_at_ml(facts))
    }

    fn turns_at_ml(&self, facts: &Facts) -> Option<f64> {
        let (vapour, held, ml) = (self.vapour(facts)?, self.held?, facts.poured_ml?);
        let bar = dangerous_ppm(self.gas)?;
        let reaches = |times: f64| {
            vapour_ppm(&vapour, Some(held * times), surface(facts), &facts.conditions.room, facts.temperature())
        };
        // From a thousandth to a thousand times this bath; the figure only grows with it.
        let (mut low, mut high) = (1e-3, 1e3);
        if reaches(low)? >= bar || reaches(high)? < bar {
            return None;
        }
        for _ in 0..40 {
            let middle = f64::sqrt(low * high);
            if reaches(middle)? >= bar { high = middle } else { low = middle }
        }
        Some(ml * high)
    }
}

/// What the bottles that give this gas off would bring the room to if they stood open unmixed, ppm: the bound that water
/// or anything else poured to them never lowers, so that a stop rests on it.
pub fn bottles_ppm(facts: &Facts, gas: &GasLimits) -> Option<f64> {
    let gives = |p: &&Present| match gas.id == "ammonia" {
        true => p.is(FREE),
        false => gives_off(p.substance).is_some_and(|g| g.id == gas.id),
    };
    let bottles: Vec<&Present> = facts.poured().filter(|p| !p.stock.solid).filter(gives).collect();
    let strongest = bottles.iter().map(|p| p.percent()).reduce(f64::max)?;
    let last = bottles.iter().map(|p| p.ingredient).max()?;
    let of = |i: usize| bottles.iter().filter(move |p| p.ingredient == i).filter_map(|p| p.stock.moles);
    let held: f64 = (0..=last).map(|i| of(i).fold(0.0, f64::max)).sum();
    let dissolved = if gas.id == "ammonia" { substance("ammonia_aq")? } else { bottles.first()?.substance };
    let vapour = vapour_over(dissolved, strongest, facts.temperature())?;
    vapour_ppm(&vapour, Some(moles(held)), surface(facts), &facts.conditions.room, facts.temperature())
}
