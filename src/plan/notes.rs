//! Sentences that follow from the recipe, the mixture, the loading and the age of the bottles.

use super::{bath_temperature, middle};
use crate::amount::{
    MassFraction, Volume, in_celsius, in_grams, in_millilitres, in_square_millimetres, square_millimetres,
};
use crate::bath::{Dosing, Mixture, Pace, loading_warning, strength_pace, temperature_pace};
use crate::immersion::Immersion;
use crate::order::Order;
use crate::recipe::{Finish, Recipe};
use crate::timetable::in_words;
use jiff::SignedDuration;

/// Notes that follow from the recipe and its mixture.
pub(super) fn recipe_notes(recipe: &Recipe, mixture: &Mixture, dosing: &Dosing) -> Vec<String> {
    let mut notes = Vec::new();
    if recipe.finish == Finish::Rust {
        // Chloride helps rusting most at 2 to 5 %: two published series, one with its maximum at 3 % NaCl, the other
        // flat to 5 % (paper abstracts read); more gives crystals, not rust.
        let salt = mixture.solutes.iter().find(|s| s.substance == "sodium_chloride");
        if let Some(salt) = salt {
            let percent = salt.fraction.best.in_percent();
            if percent > 5.0 {
                let lesser = in_grams(salt.mass.best) * 3.0 / percent;
                notes.push(format!(
                    "The salt makes {percent:.0} % of the bath; rusting gains little beyond 2 to 5 %, more leaves crystals: \
                     {lesser:.0} g of salt in all (about 3 %) is the lesser amount to try on a coupon"
                ));
            }
        }
    }
    if recipe.needs_air {
        notes.push(
            "This colour comes in air as the wet part dries, not under liquid: take it out between wettings".into(),
        );
    }
    if dosing.by_poured_volume {
        notes.push(format!(
            "Amounts are for {} of liquids as poured; the finished bath measures {}",
            volume_words(dosing.poured),
            volume_words(mixture.volume.best)
        ));
    } else {
        notes.push(format!(
            "Amounts are for {} of finished bath, from mass and density; the liquids as poured add up to {}",
            volume_words(mixture.volume.best),
            volume_words(dosing.poured)
        ));
    }
    notes
}

pub(super) fn loading_note(order: &Order, immersion: Option<&Immersion>, mixture: &Mixture) -> Option<String> {
    let area = immersion?.area?;
    let litres = in_millilitres(mixture.volume.best) / 1000.0;
    let cm2 = in_square_millimetres(area) / litres / 100.0;
    let Some(tried) = order.recipe.loading_mm2_per_l else {
        return Some(format!(
            "Loading is {cm2:.0} cm² of part per litre; no figure is known for this recipe, compare with your coupon"
        ));
    };
    match loading_warning(area, mixture.volume.best, square_millimetres(tried)) {
        Some((warning, _)) => Some(warning),
        None => {
            Some(format!("Loading is {cm2:.0} cm² of part per litre; the recipe was tried up to {:.0}", tried / 100.0))
        }
    }
}

/// What a temperature or a strength beside the recipe's does to the soak: a band with its basis, never a promise.
pub(super) fn pace_notes(order: &Order, mixture: &Mixture, measuring_error: Option<&(String, f64)>) -> Vec<String> {
    let band = |why: String, pace: &Pace| {
        format!(
            "{why}: the soak may take {:.2} to {:.2} times as long ({}). An estimate, no promise: look early",
            pace.factor.low, pace.factor.high, pace.basis
        )
    };
    let mut notes = Vec::new();
    let usual = middle(order.recipe.temperature);
    let asked = bath_temperature(order);
    if (in_celsius(asked) - in_celsius(usual)).abs() > 2.0 {
        let why = format!("At {:.0} °C instead of {:.0} °C", in_celsius(asked), in_celsius(usual));
        notes.push(band(why, &temperature_pace(usual, asked)));
    }
    if let Some((what, percent)) = measuring_error.filter(|(_, p)| p.abs() > 5.0) {
        let off = mixture.solutes.iter().find(|s| s.name == *what).and_then(|s| {
            let w = s.fraction.best;
            strength_pace(w, MassFraction::new((w.ratio() * (1.0 + percent / 100.0)).min(1.0))?)
        });
        notes.extend(off.map(|pace| band(format!("Measuring leaves {what} {percent:+.0} % off"), &pace)));
    }
    notes
}

pub(super) fn age_notes(order: &Order) -> Vec<String> {
    let Some(start) = &order.start else { return Vec::new() };
    let used: Vec<&str> =
        order.recipe.ingredients.iter().filter_map(|i| i.ingredient.substance()).map(|s| s.id.as_ref()).collect();
    order
        .bench
        .stocks
        .iter()
        .filter_map(|stock| {
            let substance = stock.ingredient.substance()?;
            let opened = stock.opened?;
            let days = opened.until(start.date()).ok()?.get_days();
            // Peroxide and ammonia weaken once opened; how fast depends on the bottle, so the age is told and the
            // strength is not guessed: dosing and review both keep the label's figure.
            (days > 30 && used.contains(&substance.id.as_ref()) && matches!(substance.id.as_ref(), "hydrogen_peroxide" | "ammonia_aq"))
                .then(|| {
                    format!(
                        "The {} was opened {days} days before the start: it may have weakened, try a coupon first or open a fresh bottle",
                        stock.ingredient.line.name
                    )
                })
        })
        .collect()
}

/// Each note a sentence: a capital in front, a full stop behind.
pub(super) fn sentences(notes: Vec<String>) -> Vec<String> {
    notes.iter().map(|note| sentence(note)).collect()
}

pub(super) fn sentence(note: &str) -> String {
    let mut letters = note.trim_end_matches('.').chars();
    let first = letters.next().map(|c| c.to_uppercase().collect::<String>()).unwrap_or_default();
    format!("{first}{}.", letters.as_str())
}

/// "473 mL" or "1.89 L".
pub(crate) fn volume_words(v: Volume) -> String {
    let ml = in_millilitres(v);
    if ml >= 1000.0 { format!("{:.2} L", ml / 1000.0) } else { format!("{ml:.0} mL") }
}

/// "5 h", "about 4 days": a long time to the nearest day, halves up.
pub(crate) fn days(length: SignedDuration) -> String {
    let hours = length.as_hours();
    if hours < 48 { in_words(length) } else { format!("about {} days", (hours + 12) / 24) }
}
