//! Archimedes: what liquid carries, for a part dry or flooded, and for ballast.
//!
//! Upward force = weight of the liquid displaced (Archimedes; OpenStax College Physics 2e, section on buoyancy).

use crate::amount::{
    Estimate, Force, GRAVITY_M_S2, Length, Mass, MassDensity, Volume, cubic_millimetres, in_cubic_millimetres,
    in_grams, in_kg_per_m3, in_millimetres, millimetres, newtons,
};
use crate::part::mesh::CaughtAir;
use crate::part::{Part, Shape, Side};

/// Tangent of the heel from which a part counts as turned over: 30 degrees (our choice).
const HEELS: f64 = 0.577;

/// Upward force on a body wholly under, ρVg − mg; negative when it sinks.
pub fn net_buoyancy(volume: Volume, mass: Mass, bath: MassDensity) -> Force {
    grams_force(in_cubic_millimetres(volume) * in_kg_per_m3(bath) * 1e-6 - in_grams(mass))
}

/// Upward force on a part of which every hollow has flooded: only its solid material displaces liquid, ρ(m/ρ_s)g − mg.
pub fn flooded_buoyancy(mass: Mass, solid: MassDensity, bath: MassDensity) -> Force {
    grams_force(-hold_g(in_grams(mass), in_kg_per_m3(solid), in_kg_per_m3(bath)))
}

/// Downward force of ballast under liquid: its weight less that of the liquid it displaces, mg(1 − ρ/ρ_b).
pub fn hold(mass: Mass, ballast: MassDensity, bath: MassDensity) -> Force {
    grams_force(hold_g(in_grams(mass), in_kg_per_m3(ballast), in_kg_per_m3(bath)))
}

/// The depth at which a part floats without ballast, `up` side up; `None` when it sinks.
pub fn draft(part: &Part, up: Side, bath: MassDensity) -> Option<Length> {
    let carried = in_grams(part.mass.best);
    let lifts =
        |h: f64| in_cubic_millimetres(part.shape.envelope_below(millimetres(h), up)) * in_kg_per_m3(bath) * 1e-6;
    let tall = in_millimetres(part.shape.size(up)?[2]);
    let spare = lifts(tall) - carried;
    // What is no number floats nowhere, and what is not in the liquid is not lifted.
    (spare > 0.0).then(|| millimetres(crossing(tall, [-carried, spare], |h| lifts(h) - carried)))
}

/// Whether a part afloat without ballast keeps its upper side up, taken as evenly heavy: metacentric height above zero,
/// GM = KB + I/V − KG (any text on hydrostatics), and for a mesh, which may be lopsided, no more heel than [`HEELS`].
/// `None` when it sinks, when it catches air or is not closed, or when its waterplane is not known here (displaced volumes,
/// what rolls).
pub fn upright_afloat(part: &Part, up: Side, bath: MassDensity) -> Option<bool> {
    upright_at(part, up, draft(part, up, bath)?)
}

/// The same at the depth at which it floats.
pub(super) fn upright_at(part: &Part, up: Side, deep: Length) -> Option<bool> {
    if let Shape::Mesh(solid) = &part.shape {
        if solid.caught_air(up) != CaughtAir::None {
            return None;
        }
        let found = solid.afloat(deep, up)?;
        let (high, beside) = (in_millimetres(found.metacentric_height), in_millimetres(found.beside));
        return Some(high > 0.0 && beside <= HEELS * high);
    }
    let [x, y, tall] = part.shape.size(up)?.map(in_millimetres);
    // I/A of the waterplane about its weaker axis: b²/12 of a rectangle, d²/16 of a circle.
    let spread = match part.shape {
        Shape::Box { .. } => x.min(y).powi(2) / 12.0,
        Shape::Cylinder { .. } if up.axis() == 2 => x * x / 16.0,
        _ => return None,
    };
    let deep = in_millimetres(deep);
    Some(deep / 2.0 + spread / deep - tall / 2.0 > 0.0)
}

/// Where a rising function crosses zero between 0 and `high`, to a billionth of the span; its values at the two ends, the
/// first below zero and the second above it, are known.
///
/// Regula falsi with the Illinois step (Dowell and Jarratt 1971), which keeps the bracket and needs a handful of values
/// where halving needs thirty: each value cuts a whole mesh.
fn crossing(mut high: f64, [mut at_low, mut at_high]: [f64; 2], f: impl Fn(f64) -> f64) -> f64 {
    let mut low = 0.0;
    let close = high * 1e-9;
    let mut side = 0;
    for _ in 0..100 {
        if high - low <= close || at_high == 0.0 {
            break;
        }
        let guess = (low * at_high - high * at_low) / (at_high - at_low);
        // A flat stretch gives no slope to follow: halve it.
        let x = if guess.is_finite() && guess > low && guess < high { guess } else { 0.5 * (low + high) };
        let y = f(x);
        if y >= 0.0 {
            if side == 1 {
                at_low *= 0.5;
            }
            (high, at_high, side) = (x, y, 1);
            if y <= close * 1e-3 {
                break;
            }
        } else {
            if side == -1 {
                at_high *= 0.5;
            }
            (low, at_low, side) = (x, y, -1);
        }
    }
    high
}

/// The smallest x between `low` and `high` at which a rising condition holds, to the last bit but a few.
pub(super) fn bisect(mut low: f64, mut high: f64, holds: impl Fn(f64) -> bool) -> f64 {
    for _ in 0..80 {
        let middle = 0.5 * (low + high);
        if holds(middle) { high = middle } else { low = middle }
    }
    high
}

/// What `mass` grams of ballast hold down under liquid, in grams of weight; densities in kg/m³.
pub(super) fn hold_g(mass: f64, ballast: f64, bath: f64) -> f64 {
    mass * (1.0 - bath / ballast)
}

/// Air caught under one of a part; none where it is not known.
pub(super) fn air_under(part: &Part, up: Side) -> Volume {
    match part.shape.caught_air(up) {
        CaughtAir::Some(traps) => traps.total,
        CaughtAir::None | CaughtAir::Unknown => cubic_millimetres(0.0),
    }
}

/// Upward force on one of a part, liquid outside only, with both ends: the densest bath, the lightest part and the air
/// caught under it lift most.
pub(super) fn on_part(part: &Part, up: Side, bath: Estimate<MassDensity>) -> Estimate<Force> {
    let v = part.shape.envelope_bounds();
    let most = v.high + air_under(part, up);
    Estimate {
        best: net_buoyancy(v.best, part.mass.best, bath.best),
        low: net_buoyancy(v.low, part.mass.high, bath.low),
        high: net_buoyancy(most, part.mass.low, bath.high),
    }
}

/// Grams of weight as a force.
pub(super) fn grams_force(grams: f64) -> Force {
    newtons(grams * 1e-3 * GRAVITY_M_S2)
}

/// A force in grams of weight.
pub(super) fn in_grams_force(force: Force) -> f64 {
    crate::amount::in_newtons(force) * 1e3 / GRAVITY_M_S2
}

/// What a mass in grams of a density in kg/m³ displaces.
pub(super) fn displaced(mass_g: f64, density: f64) -> Volume {
    cubic_millimetres(mass_g / density * 1e6)
}
