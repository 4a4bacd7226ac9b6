//! How an amount to pour or weigh is told: in measures owned, in grams or millilitres, or as too little to measure.

use crate::amount::{
    Amount, Estimate, Exact, MassDensity, MeasureSystem, MeasuredOut, Span, Tool, VolumeUnit, figure, in_kg_per_m3,
    measure_out,
};

/// What to do about an amount that these tools cannot measure: a finer tool, or a batch of at least this size.
pub(super) fn too_little(least_ml: f64, liquid: bool, kitchen: Option<MeasureSystem>) -> String {
    let finer = if liquid { "use a finer cylinder or a syringe" } else { "weigh it finely" };
    // Two figures, upward.
    let step = libm::pow(10f64, libm::log10(least_ml).floor() - 1.0);
    let least_ml = (least_ml / step - 1e-9).ceil() * step;
    let volume =
        if least_ml >= 1000.0 { format!("{} L", figure(least_ml / 1000.0)) } else { format!("{least_ml:.0} mL") };
    let cups = kitchen.and_then(|system| VolumeUnit::Cup.exact_ml(system)).map(|cup| {
        let cups = (least_ml / cup.to_f64() * 2.0).ceil() / 2.0;
        format!(", say {} {}", figure(cups), if cups > 1.0 { "cups" } else { "cup" })
    });
    format!("too little for these tools: {finer}, or make at least {volume}{}", cups.unwrap_or_default())
}

/// Both ends of an amount in measures owned; `None` when a tool for either is missing.
pub(super) fn measure_both(
    exact: &Amount,
    tools: &[Tool],
    bulk: Option<Estimate<MassDensity>>,
) -> Option<Span<MeasuredOut>> {
    let one = |v: Exact| measure_out(&Amount { value: Span::one(v), unit: exact.unit }, tools, bulk);
    let low = one(exact.value.low)?;
    let high = if exact.value.is_one() { low.clone() } else { one(exact.value.high)? };
    Some(Span { low, high })
}

/// "473 mL", "1.20 L", "52 g", "0.35 g": three figures, so that the metric column reads like a balance or a jug.
///
/// A solid measured by spoon is shown by mass, from its bulk density.
pub(super) fn metric_text(amount: &Amount, bulk: Option<Estimate<MassDensity>>) -> String {
    let figures = |x: f64| -> String {
        let places = if x >= 100.0 {
            0
        } else if x >= 10.0 {
            1
        } else {
            2
        };
        format!("{x:.places$}")
    };
    let show = |low: f64, high: f64, small: &str, large: &str| -> String {
        let (l, h, unit) = if high >= 1000.0 { (low / 1000.0, high / 1000.0, large) } else { (low, high, small) };
        if amount.value.is_one() {
            format!("{} {unit}", figures(h))
        } else {
            format!("{} to {} {unit}", figures(l), figures(h))
        }
    };
    if let (Some(v), Some(bulk)) = (amount.millilitres_exact(), bulk) {
        let g_per_ml = in_kg_per_m3(bulk.best) / 1000.0;
        return format!("about {}", show(v.low.to_f64() * g_per_ml, v.high.to_f64() * g_per_ml, "g", "kg"));
    }
    match (amount.millilitres_exact(), amount.grams_exact()) {
        (Some(v), _) => show(v.low.to_f64(), v.high.to_f64(), "mL", "L"),
        (None, Some(m)) => show(m.low.to_f64(), m.high.to_f64(), "g", "kg"),
        (None, None) => String::new(),
    }
}
