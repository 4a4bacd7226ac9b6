//! How much gas or vapour a room would hold, how much air keeps it at a limit, and what the figure means.
//!
//! Every figure is an upper bound by a simple formula, not a measurement: complete reaction or a saturated surface, no
//! loss to walls, and a room that mixes badly. Dilution suits small, steady vapours only; for chlorine, hydrogen
//! sulfide and their like no room airflow is a control.

use super::{Exposure, Gravity};
use crate::amount::{
    AmountOfSubstance, Area, ThermodynamicTemperature, Volume, VolumeRate, in_celsius, in_cubic_metres,
    in_square_millimetres, moles,
};
use crate::bath::{ATMOSPHERE_PA, gas_volume};
use crate::reference::{ChosenLimit, GasLimits, Room, Substance, exposure_limits, gases, ventilation};
use once_cell::sync::Lazy;
use uom::si::thermodynamic_temperature::kelvin;
use uom::si::volume_rate::cubic_meter_per_hour;

/// How much more air a room needs than a perfectly mixed one: "average" in `shared/exposure.yaml`.
static MIXING_FACTOR: Lazy<f64> = Lazy::new(|| {
    let factors = &ventilation().mixing_factors;
    let average = factors.iter().find(|f| f.room == "average").map(|f| f.k);
    average.or_else(|| factors.iter().map(|f| f.k).reduce(f64::max)).unwrap_or(10.0)
});

/// Beyond this many air changes an hour no window or household fan delivers: a choice of this project.
const MOST_AIR_CHANGES: f64 = 10.0;

/// Share of the lower explosive limit from which a room counts as dangerous (29 CFR 1910.146(b), a flammable gas in
/// excess of 10 per cent of its lower flammable limit; recalled, high confidence).
const SHARE_OF_LEL: f64 = 0.1;

/// How many times the IDLH is far above it, so that no slowness of the release excuses it: rule g14 of the reference
/// data, a working judgement. Where a vapour burns, the lower explosive limit itself is as far.
const FAR_ABOVE: f64 = 10.0;

/// The same where there is no time or no way to step back: a gas that a reaction makes within minutes, or a closet, a tent or
/// a cabin (our choice).
const FAR_ABOVE_AT_CLOSE_QUARTERS: f64 = 3.0;

/// The air of a room that is no more than a closet, m³ (our choice; half of the room that is assumed).
const CLOSET_M3: f64 = 10.0;

/// Whether the room is a closet, a tent or a cabin.
pub fn is_closet(room: &Room) -> bool {
    !room.outdoors && in_cubic_metres(room.volume) <= CLOSET_M3 * (1.0 + 1e-9)
}

/// How many times the IDLH is a stop here.
pub fn far_above(release: Option<Release>, room: &Room) -> f64 {
    if is_closet(room) || release == Some(Release::AtOnce) { FAR_ABOVE_AT_CLOSE_QUARTERS } else { FAR_ABOVE }
}

/// Gases for which dilution by room air is no control, whatever the figure: enclose and extract, or do not make it.
/// (Guidance on dilution ventilation: small, steady, low-toxicity vapours only.)
const NOT_BY_DILUTION: [&str; 14] = [
    "arsine",
    "bis_chloromethyl_ether",
    "chloramines",
    "chlorine",
    "chlorine_dioxide",
    "hydrogen_cyanide",
    "hydrogen_fluoride",
    "hydrogen_selenide",
    "hydrogen_sulfide",
    "nitric_acid",
    "nitric_oxide",
    "nitrogen_dioxide",
    "phosphine",
    "stibine",
];

/// Parts per million when all of a gas is in this much air at once. Air holds no more gas than itself.
pub fn ppm_in(amount: AmountOfSubstance, air: Volume, temperature: ThermodynamicTemperature) -> f64 {
    let share = in_cubic_metres(gas_volume(amount, temperature)).max(0.0) / in_cubic_metres(air);
    if share.is_nan() { 0.0 } else { share.min(1.0) * 1e6 }
}

/// Parts per million when all of the gas is in the air of the room at once; `None` outdoors or without a room.
pub fn at_once_ppm(amount: AmountOfSubstance, room: &Room, temperature: ThermodynamicTemperature) -> Option<f64> {
    let air = in_cubic_metres(room.volume);
    (!room.outdoors && air.is_finite() && air > 0.0).then(|| ppm_in(amount, room.volume, temperature))
}

/// Pressure in a closed vessel that holds air and all of this gas in this headspace, kPa (ideal gas).
pub fn closed_pressure_kpa(amount: AmountOfSubstance, headspace: Volume, temperature: ThermodynamicTemperature) -> f64 {
    let gas = in_cubic_metres(gas_volume(amount, temperature)) / in_cubic_metres(headspace);
    ATMOSPHERE_PA / 1000.0 * (1.0 + gas)
}

/// Air changes that count, per hour: those of the room over its mixing factor.
fn effective_changes(room: &Room) -> f64 {
    room.air_changes_per_h.max(0.0) / *MIXING_FACTOR
}

/// The most that a source which fades as it is used up ever brings the air of the room to, ppm. `first` is what it
/// gives off at first, and it fades with the share that is left. `None` outdoors.
///
/// One box, well mixed but for the mixing factor: dC/dt = k·n/V − λ·C and dn/dt = −k·n, with k the first rate over all
/// there is, peak at (n/V)·(λ/k)^(λ/(k − λ)). It is below both bounds, all at once (n/V) and a steady source
/// (K·G/Q), and goes over into each of them.
pub fn peak_ppm(
    held: AmountOfSubstance,
    first: VolumeRate,
    room: &Room,
    temperature: ThermodynamicTemperature,
) -> Option<f64> {
    let air = in_cubic_metres(room.volume);
    if room.outdoors || !air.is_finite() || air <= 0.0 {
        return None;
    }
    let volume = in_cubic_metres(gas_volume(held, temperature));
    let fading = first.get::<cubic_meter_per_hour>().max(0.0) / volume;
    if !(volume > 0.0 && fading.is_finite()) {
        return Some(0.0);
    }
    Some((volume / air * share_at_peak(fading, effective_changes(room))).min(1.0) * 1e6)
}

/// (λ/k)^(λ/(k − λ)): the share of all there is that is in the air at the peak.
fn share_at_peak(fading: f64, changes: f64) -> f64 {
    if fading <= 0.0 {
        return 0.0;
    }
    if changes <= 0.0 {
        return 1.0;
    }
    let ratio = changes / fading;
    // The limit where both are alike is 1/e; next to it the exponent is ln r/(r − 1), which is 1 − (r − 1)/2.
    let exponent = if (ratio - 1.0).abs() < 1e-6 { 1.0 } else { ratio * libm::log(ratio) / (ratio - 1.0) };
    libm::exp(-exponent).clamp(0.0, 1.0)
}

/// Parts per million that a steady source settles at: C = K · G / Q, with Q the air that changes in the room.
/// `None` outdoors or in a room without any change of air, where nothing settles.
pub fn steady_ppm(source: VolumeRate, room: &Room) -> Option<f64> {
    let air = in_cubic_metres(room.volume) * effective_changes(room);
    if room.outdoors || !air.is_finite() || air <= 0.0 {
        return None;
    }
    Some((source.get::<cubic_meter_per_hour>().max(0.0) / air).min(1.0) * 1e6)
}

/// Air that holds a steady source at a limit: Q = K · G / C.
pub fn airflow_to_hold(source: VolumeRate, limit_ppm: f64) -> Option<VolumeRate> {
    let air = *MIXING_FACTOR * source.get::<cubic_meter_per_hour>().max(0.0) / (limit_ppm * 1e-6);
    (limit_ppm > 0.0 && air.is_finite()).then(|| VolumeRate::new::<cubic_meter_per_hour>(air))
}

/// Vapour right above an open surface, as an upper bound.
#[derive(Debug, Clone)]
pub struct Vapour {
    /// What it is, with its limits.
    pub gas: &'static GasLimits,
    /// Parts per million right above the liquid.
    pub surface_ppm: f64,
    /// How the figure was found.
    pub why: String,
}

/// The gas or vapour that this substance gives off, if it is one with limits.
pub fn gives_off(substance: &Substance) -> Option<&'static GasLimits> {
    gases().iter().find(|gas| gas.of.contains(&substance.id))
}

/// Vapour over a bath that holds this per cent by mass of a substance. `None` where it is not modelled.
///
/// The tables reach from a cold shed to a warm bath, about 60 °C; beyond they are carried on along ln p against 1/T and
/// held at one atmosphere, and below freezing the figure of 0 °C stands, so that warmer is never less.
pub fn vapour_over(substance: &Substance, percent: f64, temperature: ThermodynamicTemperature) -> Option<Vapour> {
    if !(percent > 0.0 && percent <= 100.0) {
        return None;
    }
    let gas = gives_off(substance)?;
    let (pressure_pa, why) = super::vapour_pressure::over(substance, percent, in_celsius(temperature).max(0.0))?;
    Some(Vapour { gas, surface_ppm: (pressure_pa / ATMOSPHERE_PA).clamp(0.0, 1.0) * 1e6, why: why.to_string() })
}

/// Vapour that leaves an open surface, as a volume at bath temperature and one atmosphere.
///
/// Pool evaporation after EPA, Risk Management Program Guidance for Offsite Consequence Analysis (EPA 550-B-99-009),
/// equation D-1 (recalled, high confidence): QR = 0.284 · U^0.78 · MW^(2/3) · A · VP / (82.05 · T), with QR in lb/min,
/// A in ft², VP in mmHg. Air speed: the mean over 55 indoor workplaces, which 85 % of the single readings were below
/// (Baldwin and Maynard, Annals of Occupational Hygiene 42 (1998) 303-313, abstract read).
pub fn emission(vapour: &Vapour, surface: Area, temperature: ThermodynamicTemperature) -> VolumeRate {
    const AIR_SPEED_M_S: f64 = 0.3;
    const MM2_PER_FT2: f64 = 92_903.04;
    const MMHG_PER_ATMOSPHERE: f64 = 760.0;
    const G_PER_LB: f64 = 453.592_37;
    let t = temperature.get::<kelvin>().max(1.0);
    let m = vapour.gas.molar_mass_g_mol;
    let feet2 = in_square_millimetres(surface).max(0.0) / MM2_PER_FT2;
    let mmhg = vapour.surface_ppm * 1e-6 * MMHG_PER_ATMOSPHERE;
    let pounds_min = 0.284 * libm::pow(AIR_SPEED_M_S, 0.78) * libm::pow(m, 2.0 / 3.0) * feet2 * mmhg / (82.05 * t);
    let mol_h = pounds_min * G_PER_LB / m * 60.0;
    VolumeRate::new::<cubic_meter_per_hour>(in_cubic_metres(gas_volume(moles(mol_h), temperature)))
}

/// The most that vapour of an open surface ever brings the air of the room to, ppm: never more than right above it.
/// With the amount unknown, what the room would settle at if it never ran out. `None` outdoors.
pub fn vapour_ppm(
    vapour: &Vapour,
    held: Option<AmountOfSubstance>,
    surface: Area,
    room: &Room,
    temperature: ThermodynamicTemperature,
) -> Option<f64> {
    if room.outdoors {
        return None;
    }
    let source = emission(vapour, surface, temperature);
    let reached = match held {
        Some(held) => peak_ppm(held, source, room, temperature)?,
        None => steady_ppm(source, room).unwrap_or(f64::INFINITY),
    };
    Some(reached.min(vapour.surface_ppm))
}

/// How a reaction gives its gas off.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Release {
    /// Within minutes.
    AtOnce,
    /// Over a day: weak acid on iron.
    Slow,
}

/// How fast a reaction is taken to give its gas off, for the airflow, hours (our choice).
const fn hours_of(release: Release) -> f64 {
    match release {
        Release::AtOnce => 1.0,
        Release::Slow => 24.0,
    }
}

/// What a gas made by a reaction brings the air of the room to, ppm: all of it at once, or fading over a day.
pub fn release_ppm(
    amount: AmountOfSubstance,
    release: Release,
    room: &Room,
    temperature: ThermodynamicTemperature,
) -> Option<f64> {
    match release {
        Release::AtOnce => at_once_ppm(amount, room, temperature),
        // Nineteen parts of twenty within the time: three times as fast at first as on the whole.
        Release::Slow => peak_ppm(amount, source(amount, release, temperature) * 3.0, room, temperature),
    }
}

fn source(amount: AmountOfSubstance, release: Release, temperature: ThermodynamicTemperature) -> VolumeRate {
    let volume = in_cubic_metres(gas_volume(amount, temperature));
    VolumeRate::new::<cubic_meter_per_hour>(volume / hours_of(release))
}

/// The limit that a release of minutes is held against.
pub fn limit_at_once(gas: &str) -> Option<ChosenLimit> {
    exposure_limits(gas).and_then(GasLimits::short_term)
}

/// A row for a gas made by a reaction. The gas is named by its id ("hydrogen_sulfide"); one without limits in the table
/// has figures but no limit.
pub fn gas_exposure(
    gas: &str,
    amount: AmountOfSubstance,
    release: Release,
    room: &Room,
    temperature: ThermodynamicTemperature,
) -> Exposure {
    let ppm = release_ppm(amount, release, room, temperature);
    exposure(gas, ppm, limit_at_once(gas), Some(source(amount, release, temperature)), room)
}

/// A row for the vapour of an open surface.
pub fn vapour_exposure(
    vapour: &Vapour,
    held: Option<AmountOfSubstance>,
    surface: Area,
    room: &Room,
    temperature: ThermodynamicTemperature,
) -> Exposure {
    let told = told_ppm(vapour, held, surface, room, temperature);
    exposure(&vapour.gas.id, told, vapour.gas.strictest(), Some(emission(vapour, surface, temperature)), room)
}

/// As [`vapour_ppm`]; without an amount only where it stays below the limit, which is all that the figure then tells.
pub fn told_ppm(
    vapour: &Vapour,
    held: Option<AmountOfSubstance>,
    surface: Area,
    room: &Room,
    temperature: ThermodynamicTemperature,
) -> Option<f64> {
    let below = |ppm: &f64| vapour.gas.strictest().is_some_and(|l| *ppm <= l.ppm);
    vapour_ppm(vapour, held, surface, room, temperature).filter(|ppm| held.is_some() || below(ppm))
}

/// A row for what is sprayed: all of it in the air at once.
pub fn mist_exposure(
    gas: &GasLimits,
    held: AmountOfSubstance,
    room: &Room,
    temperature: ThermodynamicTemperature,
) -> Exposure {
    let source = Some(source(held, Release::AtOnce, temperature));
    let mut row = exposure(&gas.id, at_once_ppm(held, room, temperature), gas.strictest(), source, room);
    if row.worst_case_ppm > row.limit_ppm && !NOT_BY_DILUTION.contains(&gas.id.as_ref()) {
        row.advice =
            "As if all of it hung in the air as mist at once, which no spray does: outdoors, upwind, or a brush."
                .into();
    }
    row
}

/// A row for a vapour that is there and cannot be worked out.
pub fn unknown_exposure(gas: &GasLimits, room: &Room) -> Exposure {
    exposure(&gas.id, None, gas.strictest(), None, room)
}

fn exposure(
    gas: &str,
    worst_case_ppm: Option<f64>,
    limit: Option<ChosenLimit>,
    source: Option<VolumeRate>,
    room: &Room,
) -> Exposure {
    let limits = exposure_limits(gas);
    let airflow = limit.zip(source).and_then(|(l, source)| airflow_to_hold(source, l.ppm));
    let id = limits.map_or(gas, |l| l.id.as_ref());
    let airflow_m3_h = airflow.map(|q| q.get::<cubic_meter_per_hour>());
    let mut row = Exposure {
        gas: id.replace('_', " "),
        worst_case_ppm,
        limit_ppm: limit.map(|l| l.ppm),
        limit: limit.map_or_else(|| "no limit known".to_string(), |l| l.name()),
        airflow_m3_h,
        advice: String::new(),
    };
    row.advice = advice(id, &row, limits, room);
    row
}

/// What a figure in the air means, whatever the gas: over the limit a caution; over the IDLH or a tenth of the lower
/// explosive limit a strong caution; `far` times the one ([`far_above`]), or the other itself, a stop. A gas that has neither
/// and is no poison (oxygen, which feeds a fire) has its limit as the bar of danger. `None` at or below the limit.
pub fn gravity_of(ppm: f64, limit_ppm: Option<f64>, gas: &GasLimits, far: f64) -> Option<Gravity> {
    let over = |bar: Option<f64>| bar.is_some_and(|bar| bar > 0.0 && ppm > bar);
    let lel_ppm = gas.lel_percent.map(|percent| percent * 1e4);
    let feeds_fire = limit_ppm.filter(|_| gas.id == "oxygen");
    if over(gas.idlh_ppm.map(|i| i * far)) || over(lel_ppm) || over(feeds_fire.map(|l| l * FAR_ABOVE)) {
        Some(Gravity::Stop)
    } else if over(gas.idlh_ppm) || over(lel_ppm.map(|l| l * SHARE_OF_LEL)) || over(feeds_fire) {
        Some(Gravity::StrongCaution)
    } else {
        over(limit_ppm).then_some(Gravity::Caution)
    }
}

/// The figure from which a gas is dangerous at once: its IDLH or a tenth of its lower explosive limit, whichever is lower.
pub fn dangerous_ppm(gas: &GasLimits) -> Option<f64> {
    gas.idlh_ppm.into_iter().chain(gas.lel_percent.map(|percent| percent * 1e4 * SHARE_OF_LEL)).reduce(f64::min)
}

fn advice(gas: &str, row: &Exposure, limits: Option<&GasLimits>, room: &Room) -> String {
    if NOT_BY_DILUTION.contains(&gas) {
        return "No airflow through a room is a control for this gas: do not make it.".to_string();
    }
    if room.outdoors {
        return "Outdoors: stand upwind, more than an arm's length from the vessel.".to_string();
    }
    let Some(ppm) = row.worst_case_ppm else {
        return "Not worked out: outdoors or in a fume hood.".to_string();
    };
    let over = |bar: Option<f64>| bar.is_some_and(|bar| ppm > bar);
    if ppm >= 1e6 {
        return "More gas than the room holds air: not in this room. Outdoors, or a smaller batch.".to_string();
    }
    if gas == "oxygen" && over(row.limit_ppm) {
        return "Could feed a fire: no flame, spark or oily rag; outdoors or in a strong draught.".to_string();
    }
    if over(limits.and_then(|l| l.idlh_ppm)) {
        return "Could reach what is immediately dangerous to life: not in this room. Outdoors, or a smaller batch."
            .into();
    }
    if over(limits.and_then(dangerous_ppm)) {
        return "Could reach a tenth of what burns: no flame or spark, outdoors or in a strong draught.".to_string();
    }
    if row.limit_ppm.is_none() {
        return "No limit known: ventilate well.".to_string();
    }
    let most = in_cubic_metres(room.volume) * MOST_AIR_CHANGES;
    match row.airflow_m3_h {
        _ if !over(row.limit_ppm) => "By this estimate it stays within the limit in this room.".to_string(),
        Some(q) if q <= most => {
            "More air than this room is said to have: open windows on two sides or use a fan that blows out.".into()
        }
        _ => "More air than a window or household fan moves: work outdoors or in a fume hood.".into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::amount::{celsius, cubic_metres, moles, square_millimetres};
    use crate::reference::substance;

    fn room(m3: f64, changes: f64) -> Room {
        Room { volume: cubic_metres(m3), air_changes_per_h: changes, outdoors: false, assumed: false }
    }

    fn close(a: f64, b: f64, share: f64) {
        assert!((a / b - 1.0).abs() < share, "{a} is not near {b}");
    }

    #[test]
    fn a_mole_is_802_ppm_in_30_cubic_metres() {
        // 24.06 L/mol at 20 °C.
        close(at_once_ppm(moles(1.0), &room(30.0, 0.5), celsius(20.0)).unwrap(), 802.0, 1e-3);
        let outdoors = Room { outdoors: true, ..room(30.0, 0.5) };
        assert!(at_once_ppm(moles(1.0), &outdoors, celsius(20.0)).is_none());
    }

    #[test]
    fn vapour_over_vinegar_and_ammonia() {
        let over = |id: &str, percent, t| vapour_over(substance(id).unwrap(), percent, celsius(t)).unwrap();
        // 49 400 ppm over 5 % ammonia at 25 °C by the Henry constant of the PHREEQC database.
        close(over("ammonia_aq", 5.0, 25.0).surface_ppm, 49_400.0, 0.02);
        // Between Henry's 210 ppm and Raoult's 320 ppm over 5 % acetic acid at 25 °C; the upper one is taken.
        let vinegar = over("acetic_acid", 5.0, 25.0).surface_ppm;
        assert!((210.0..=330.0).contains(&vinegar), "{vinegar}");
        assert!(over("ammonia_aq", 5.0, 35.0).surface_ppm > over("ammonia_aq", 5.0, 20.0).surface_ppm);
        assert!(vapour_over(substance("sodium_chloride").unwrap(), 5.0, celsius(20.0)).is_none());
    }

    #[test]
    fn emission_of_water_like_vapour_is_of_the_order_of_a_pool() {
        // 2.3 kPa over 1 m² gives 0.57 kg of water an hour by the EPA equation at 1.5 m/s, worked by hand; at 0.3 m/s
        // that times 0.2^0.78.
        let gas = exposure_limits("ammonia").unwrap();
        let water = GasLimits { molar_mass_g_mol: 18.015, ..gas.clone() };
        let vapour = Vapour { gas: Box::leak(Box::new(water)), surface_ppm: 23_080.0, why: String::new() };
        let rate = emission(&vapour, square_millimetres(1e6), celsius(20.0)).get::<cubic_meter_per_hour>();
        close(rate / 0.024055 * 0.018015, 0.162, 0.03);
    }

    #[test]
    fn more_air_or_a_bigger_room_never_raises_the_figure() {
        let ammonia = vapour_over(substance("ammonia_aq").unwrap(), 5.0, celsius(20.0)).unwrap();
        let at = |m3, changes| {
            let held = Some(moles(1.0));
            vapour_exposure(&ammonia, held, square_millimetres(5000.0), &room(m3, changes), celsius(20.0))
        };
        assert!(at(20.0, 0.5).worst_case_ppm >= at(40.0, 0.5).worst_case_ppm);
        assert!(at(20.0, 0.5).worst_case_ppm >= at(20.0, 2.0).worst_case_ppm);
        assert_eq!(at(20.0, 0.5).limit_ppm, Some(25.0));
    }

    #[test]
    fn no_airflow_is_advised_for_hydrogen_sulfide() {
        let found = gas_exposure("hydrogen_sulfide", moles(0.01), Release::AtOnce, &room(20.0, 0.5), celsius(20.0));
        assert!(found.advice.contains("do not make it"));
        assert_eq!(found.limit_ppm, Some(10.0));
        close(found.worst_case_ppm.unwrap(), 12.03, 0.01);
    }

    #[test]
    fn a_fading_source_lies_below_both_bounds_and_goes_over_into_them() {
        let held = moles(1.0);
        let rate = |m3_h: f64| VolumeRate::new::<cubic_meter_per_hour>(m3_h);
        for changes in [0.0, 0.1, 0.5, 5.0, 60.0] {
            let air = room(20.0, changes);
            let all = at_once_ppm(held, &air, celsius(20.0)).unwrap();
            let mut before = 0.0;
            for m3_h in [1e-6, 1e-4, 2.4e-3, 1e-2, 1.0, 1e3] {
                let peak = peak_ppm(held, rate(m3_h), &air, celsius(20.0)).unwrap();
                assert!(peak >= before && peak <= all * 1.000_001, "{changes} {m3_h}: {peak} of {all}");
                assert!(steady_ppm(rate(m3_h), &air).is_none_or(|s| peak <= s * 1.000_001));
                before = peak;
            }
        }
        // More than the room could hold at once: still the steady figure where it comes slowly.
        let (much, slow, air) = (moles(10_000.0), rate(1e-2), room(20.0, 0.5));
        close(peak_ppm(much, slow, &air, celsius(20.0)).unwrap(), steady_ppm(slow, &air).unwrap(), 1e-2);
        // λ = 0.1/h and k = 0.1/h: 1/e of all there is.
        let all = at_once_ppm(held, &room(20.0, 0.5), celsius(20.0)).unwrap();
        let same = peak_ppm(held, rate(0.1 * 0.024_055), &room(20.0, 0.5), celsius(20.0)).unwrap();
        close(same / all, libm::exp(-1.0f64), 1e-3);
        close(peak_ppm(held, rate(1e3), &room(20.0, 0.5), celsius(20.0)).unwrap(), all, 1e-3);
        let slow = rate(1e-6);
        close(
            peak_ppm(held, slow, &room(20.0, 0.5), celsius(20.0)).unwrap(),
            steady_ppm(slow, &room(20.0, 0.5)).unwrap(),
            1e-2,
        );
    }

    /// Our own steps (SAFETY.md): a smaller room and a faster release never make a figure milder.
    #[test]
    fn at_close_quarters_less_is_far_above() {
        let far = |m3, release| far_above(release, &room(m3, 0.5));
        assert_eq!((far(20.0, None), far(10.0, None), far(2.0, None)), (10.0, 3.0, 3.0));
        assert_eq!((far(20.0, Some(Release::AtOnce)), far(20.0, Some(Release::Slow))), (3.0, 10.0));
        let carbon_dioxide = exposure_limits("carbon_dioxide").unwrap();
        let at = |ppm, far| gravity_of(ppm, Some(30_000.0), carbon_dioxide, far);
        assert_eq!((at(121_000.0, 3.0), at(119_000.0, 3.0)), (Some(Gravity::Stop), Some(Gravity::StrongCaution)));
    }

    #[test]
    fn a_figure_is_held_against_limit_idlh_and_explosive_limit() {
        let judged = |gas: &str, ppm: f64| {
            let gas = exposure_limits(gas).unwrap();
            gravity_of(ppm, gas.strictest().map(|l| l.ppm), gas, far_above(None, &room(20.0, 0.5)))
        };
        // NIOSH: ammonia 25 ppm, IDLH 300; hydrogen burns from 4 %; acetone IDLH 2500 ppm, a tenth of 2.5 %.
        for (gas, ppm, gravity) in [
            ("ammonia", 25.0, None),
            ("ammonia", 26.0, Some(Gravity::Caution)),
            ("ammonia", 301.0, Some(Gravity::StrongCaution)),
            ("ammonia", 3001.0, Some(Gravity::Stop)),
            ("hydrogen", 3999.0, None),
            ("hydrogen", 4001.0, Some(Gravity::StrongCaution)),
            ("hydrogen", 40_001.0, Some(Gravity::Stop)),
            ("acetone", 2501.0, Some(Gravity::StrongCaution)),
            // 29 CFR 1910.146: more than 23.5 % oxygen, 2.6 % above that of air.
            ("oxygen", 25_999.0, None),
            ("oxygen", 26_001.0, Some(Gravity::StrongCaution)),
            ("oxygen", 260_001.0, Some(Gravity::Stop)),
        ] {
            assert_eq!(judged(gas, ppm), gravity, "{gas} {ppm}");
        }
    }
}
