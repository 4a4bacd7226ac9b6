//! How much gas or vapour a room would hold, and how much air keeps it at a limit.
//!
//! Every figure is an upper bound by a simple formula, not a measurement: complete reaction or a saturated surface, no
//! loss to walls, and a room that mixes badly. Dilution suits small, steady vapours only; for chlorine, hydrogen
//! sulfide and their like no room airflow is a control.

use super::Exposure;
use crate::amount::{
    AmountOfSubstance, Area, ThermodynamicTemperature, Time, Volume, VolumeRate, cubic_metres, in_celsius,
    in_cubic_metres, in_hours, in_moles, in_square_millimetres,
};
use crate::reference::{GasLimits, Role, Room, Substance, exposure_limits};
use uom::si::thermodynamic_temperature::kelvin;
use uom::si::volume_rate::cubic_meter_per_hour;

/// Molar gas constant, J/(mol·K) (SI brochure, 9th edition: exact product of exact constants).
const GAS_CONSTANT: f64 = 8.314_462_618;
/// One atmosphere, Pa (exact by definition).
const ATMOSPHERE_PA: f64 = 101_325.0;

/// How much more air a room needs than a perfectly mixed one: "average" of the factors 1 to 10 of ACGIH, Industrial
/// Ventilation (recalled, high confidence).
pub const MIXING_FACTOR: f64 = 5.0;

/// Beyond this many air changes an hour no window or household fan delivers: a choice of this project.
const MOST_AIR_CHANGES: f64 = 10.0;

/// Gases for which dilution by room air is no control, whatever the figure: enclose and extract, or do not make it.
/// (Guidance on dilution ventilation: small, steady, low-toxicity vapours only.)
const NOT_BY_DILUTION: [&str; 14] = [
    "arsine",
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
    "peracetic_acid",
    "phosphine",
    "stibine",
];

/// Volume of a gas at this temperature and one atmosphere (ideal gas).
pub fn gas_volume(amount: AmountOfSubstance, temperature: ThermodynamicTemperature) -> Volume {
    let t = temperature.get::<kelvin>().max(1.0);
    cubic_metres(in_moles(amount) * GAS_CONSTANT * t / ATMOSPHERE_PA)
}

/// Parts per million when all of the gas is in the air of the room at once; `None` outdoors or without a room.
pub fn at_once_ppm(amount: AmountOfSubstance, room: &Room, temperature: ThermodynamicTemperature) -> Option<f64> {
    let air = in_cubic_metres(room.volume);
    if room.outdoors || !air.is_finite() || air <= 0.0 {
        return None;
    }
    let gas = in_cubic_metres(gas_volume(amount, temperature)).max(0.0);
    // A room holds no more gas than air.
    Some((gas / air).min(1.0) * 1e6)
}

/// Parts per million that a steady source settles at: C = K · G / Q, with Q the air that changes in the room.
/// `None` outdoors or in a room without any change of air, where nothing settles.
pub fn steady_ppm(source: VolumeRate, room: &Room) -> Option<f64> {
    let air = in_cubic_metres(room.volume) * room.air_changes_per_h;
    if room.outdoors || !air.is_finite() || air <= 0.0 {
        return None;
    }
    Some((MIXING_FACTOR * source.get::<cubic_meter_per_hour>().max(0.0) / air).min(1.0) * 1e6)
}

/// Air that holds a steady source at a limit: Q = K · G / C.
pub fn airflow_to_hold(source: VolumeRate, limit_ppm: f64) -> Option<VolumeRate> {
    let air = MIXING_FACTOR * source.get::<cubic_meter_per_hour>().max(0.0) / (limit_ppm * 1e-6);
    (limit_ppm > 0.0 && air.is_finite()).then(|| VolumeRate::new::<cubic_meter_per_hour>(air))
}

/// Share of the lower explosive limit, 1 at the limit; `None` for a gas that does not burn.
pub fn share_of_lel(ppm: f64, gas: &GasLimits) -> Option<f64> {
    gas.lel_percent.filter(|l| *l > 0.0).map(|lel| ppm / (lel * 1e4))
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

/// Vapour over a bath that holds this per cent by mass of a substance. `free` is the share that can leave, 0 to 1:
/// NH3 of all ammonia, undissociated acetic acid of all; 1 is the upper bound. `None` where it is not modelled.
pub fn vapour_over(
    substance: &Substance,
    percent: f64,
    free: f64,
    temperature: ThermodynamicTemperature,
) -> Option<Vapour> {
    let celsius = in_celsius(temperature);
    // The tables reach from a cold shed to a warm bath; outside of them nothing is claimed.
    if !(percent > 0.0 && percent <= 100.0 && (0.0..=60.0).contains(&celsius)) {
        return None;
    }
    let gas = exposure_limits(&substance.id)?;
    let (pressure_pa, why) = super::vapour_pressure::over(substance, percent, celsius)?;
    let share = if free.is_finite() { free.clamp(0.0, 1.0) } else { 1.0 };
    let surface_ppm = (share * pressure_pa / ATMOSPHERE_PA).clamp(0.0, 1.0) * 1e6;
    Some(Vapour { gas, surface_ppm, why: why.to_string() })
}

/// Vapour that leaves an open surface, as a volume at bath temperature and one atmosphere.
///
/// Pool evaporation after EPA, Risk Management Program Guidance for Offsite Consequence Analysis (EPA 550-B-99-009),
/// equation D-1 (recalled, high confidence): QR = 0.284 · U^0.78 · MW^(2/3) · A · VP / (82.05 · T), with QR in lb/min,
/// A in ft², VP in mmHg. Taken at its own default of 1.5 m/s: more than the air over a bench, so an upper bound.
pub fn emission(vapour: &Vapour, surface: Area, temperature: ThermodynamicTemperature) -> VolumeRate {
    const AIR_SPEED_M_S: f64 = 1.5;
    const MM2_PER_FT2: f64 = 92_903.04;
    const MMHG_PER_ATMOSPHERE: f64 = 760.0;
    const G_PER_LB: f64 = 453.592_37;
    let t = temperature.get::<kelvin>().max(1.0);
    let m = vapour.gas.molar_mass_g_mol;
    let feet2 = in_square_millimetres(surface).max(0.0) / MM2_PER_FT2;
    let mmhg = vapour.surface_ppm * 1e-6 * MMHG_PER_ATMOSPHERE;
    let pounds_min = 0.284 * AIR_SPEED_M_S.powf(0.78) * m.powf(2.0 / 3.0) * feet2 * mmhg / (82.05 * t);
    let mol_h = pounds_min * G_PER_LB / m * 60.0;
    VolumeRate::new::<cubic_meter_per_hour>(mol_h * GAS_CONSTANT * t / ATMOSPHERE_PA)
}

/// Exposure to a gas made by a reaction: all of it at once for the worst case, and spread over `over` for the airflow.
/// The gas is named by its id ("hydrogen_sulfide"); one without limits in the table has figures but no limit.
pub fn gas_exposure(
    gas: &str,
    amount: AmountOfSubstance,
    over: Time,
    room: &Room,
    temperature: ThermodynamicTemperature,
) -> Exposure {
    let hours = in_hours(over).max(1.0 / 60.0);
    let source = in_cubic_metres(gas_volume(amount, temperature)) / hours;
    exposure(gas, at_once_ppm(amount, room, temperature), VolumeRate::new::<cubic_meter_per_hour>(source), room)
}

/// Exposure to vapour of an open surface: what the room settles at, never more than the surface itself or than all of
/// the substance in the air at once.
pub fn vapour_exposure(
    vapour: &Vapour,
    held: AmountOfSubstance,
    surface: Area,
    room: &Room,
    temperature: ThermodynamicTemperature,
) -> Exposure {
    let source = emission(vapour, surface, temperature);
    let worst = at_once_ppm(held, room, temperature)
        .map(|all| steady_ppm(source, room).unwrap_or(f64::INFINITY).min(all).min(vapour.surface_ppm));
    exposure(&vapour.gas.id, worst, source, room)
}

fn exposure(gas: &str, worst_case_ppm: Option<f64>, source: VolumeRate, room: &Room) -> Exposure {
    let limits = exposure_limits(gas);
    let chosen = limits.and_then(GasLimits::strictest);
    let airflow = chosen.as_ref().and_then(|l| airflow_to_hold(source, l.ppm)).map(|q| q.get::<cubic_meter_per_hour>());
    let id = limits.map_or(gas, |l| l.id.as_ref());
    Exposure {
        gas: id.replace('_', " "),
        worst_case_ppm,
        limit_ppm: chosen.as_ref().map(|l| l.ppm),
        limit: chosen.map_or_else(|| "no limit known".to_string(), |l| l.name),
        airflow_m3_h: airflow,
        advice: advice(id, airflow, worst_case_ppm, limits, room),
    }
}

fn advice(gas: &str, airflow: Option<f64>, ppm: Option<f64>, limits: Option<&GasLimits>, room: &Room) -> String {
    if NOT_BY_DILUTION.contains(&gas) {
        return "No airflow through a room is a control for this gas: do not make it.".to_string();
    }
    if room.outdoors {
        return "Outdoors: stand upwind, more than an arm's length from the vessel.".to_string();
    }
    let idlh = limits.and_then(|l| l.idlh_ppm).is_some_and(|idlh| ppm.is_some_and(|p| p >= idlh));
    if idlh {
        return "Could reach what is immediately dangerous to life: not in this room. Outdoors, or a smaller batch."
            .into();
    }
    let burns = limits.zip(ppm).and_then(|(l, p)| share_of_lel(p, l)).is_some_and(|share| share >= 0.1);
    if burns {
        return "Could reach a tenth of what burns: no flame or spark, outdoors or in a strong draught.".to_string();
    }
    let most = in_cubic_metres(room.volume) * MOST_AIR_CHANGES;
    match airflow {
        Some(q) if q > most => "More air than a window or household fan moves: work outdoors or in a fume hood.".into(),
        Some(q) if q > in_cubic_metres(room.volume) * room.air_changes_per_h => {
            "More air than this room is said to have: open windows on two sides or use a fan that blows out.".into()
        }
        Some(_) => "The air this room is said to have is enough by this estimate.".to_string(),
        None => "No limit known: ventilate well.".to_string(),
    }
}

/// Whether a substance gives off a vapour that this file should be asked about.
pub fn is_volatile(substance: &Substance) -> bool {
    let volatile = [Role::Ammonia, Role::Solvent, Role::ToxicVapour, Role::Alcohol, Role::Ketone, Role::PeroxideSource];
    exposure_limits(&substance.id).is_some() && (substance.is_any(&volatile) || substance.id == "acetic_acid")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::amount::{celsius, moles, square_millimetres};
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
        let over = |id: &str, percent, t| vapour_over(substance(id).unwrap(), percent, 1.0, celsius(t)).unwrap();
        // 49 400 ppm over 5 % ammonia at 25 °C by the Henry constant of the PHREEQC database.
        close(over("ammonia_aq", 5.0, 25.0).surface_ppm, 49_400.0, 0.02);
        // Between Henry's 210 ppm and Raoult's 320 ppm over 5 % acetic acid at 25 °C; the upper one is taken.
        let vinegar = over("acetic_acid", 5.0, 25.0).surface_ppm;
        assert!((210.0..=330.0).contains(&vinegar), "{vinegar}");
        assert!(over("ammonia_aq", 5.0, 35.0).surface_ppm > over("ammonia_aq", 5.0, 20.0).surface_ppm);
        assert!(vapour_over(substance("sodium_chloride").unwrap(), 5.0, 1.0, celsius(20.0)).is_none());
    }

    #[test]
    fn emission_of_water_like_vapour_is_of_the_order_of_a_pool() {
        // 2.3 kPa over 1 m² gives 0.57 kg of water an hour by the EPA equation at 1.5 m/s, worked by hand.
        let gas = exposure_limits("ammonia").unwrap();
        let water = GasLimits { molar_mass_g_mol: 18.015, ..gas.clone() };
        let vapour = Vapour { gas: Box::leak(Box::new(water)), surface_ppm: 23_080.0, why: String::new() };
        let rate = emission(&vapour, square_millimetres(1e6), celsius(20.0)).get::<cubic_meter_per_hour>();
        close(rate / 0.024055 * 0.018015, 0.57, 0.03);
    }

    #[test]
    fn more_air_or_a_bigger_room_never_raises_the_figure() {
        let ammonia = vapour_over(substance("ammonia_aq").unwrap(), 5.0, 1.0, celsius(20.0)).unwrap();
        let at = |m3, changes| {
            vapour_exposure(&ammonia, moles(1.0), square_millimetres(5000.0), &room(m3, changes), celsius(20.0))
        };
        assert!(at(20.0, 0.5).worst_case_ppm >= at(40.0, 0.5).worst_case_ppm);
        assert!(at(20.0, 0.5).worst_case_ppm >= at(20.0, 2.0).worst_case_ppm);
        assert_eq!(at(20.0, 0.5).limit_ppm, Some(25.0));
    }

    #[test]
    fn no_airflow_is_advised_for_hydrogen_sulfide() {
        let found = gas_exposure(
            "hydrogen_sulfide",
            moles(0.01),
            Time::new::<uom::si::time::hour>(1.0),
            &room(20.0, 0.5),
            celsius(20.0),
        );
        assert!(found.advice.contains("do not make it"));
        assert_eq!(found.limit_ppm, Some(10.0));
        close(found.worst_case_ppm.unwrap(), 12.03, 0.01);
    }
}
