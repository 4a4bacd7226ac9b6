//! What comes after the bath, in figures where there are any: what a part carries off, how often to rinse, what
//! neutralises that, how to dry, stop, seal, strip.

use crate::amount::{Estimate, MeasureSystem, Ph, Span, in_grams, in_kg_per_m3, in_millilitres, in_square_millimetres};
use crate::bath::{Carbonate, MixConditions, Mixture, neutralising_mass};
use crate::part::Part;
use crate::recipe::{CareStage, CareStep, Finish, Method, Recipe, Rinse};
use crate::reference::{Before, Cover, Ingredient, Past, Rinsed, read_ingredient};
use crate::safety::{self, Conditions};
use jiff::SignedDuration;

/// Everything about aftercare that the recipe's own steps do not say.
#[derive(Debug, Clone, Default)]
pub struct Aftercare {
    /// What the parts carry off on their surface, mL.
    pub carried_ml: Option<Span<f64>>,
    /// Bath that can be inside hollow prints, mL at most.
    pub inside_ml: Option<f64>,
    /// Rinsing.
    pub rinsing: Option<Rinsing>,
    /// Why no rinsing is worked out.
    pub no_rinsing: Option<String>,
    /// What neutralises what is left on and in the parts.
    pub neutralising: Option<Neutralising>,
    /// Why nothing neutralises, where that matters.
    pub no_neutralising: Option<String>,
    /// A bath that takes a failed coat off, reviewed with what came before.
    pub strip: Option<StripBath>,
    /// Sections of advice: heading and lines.
    pub advice: Vec<(String, Vec<String>)>,
}

/// Rinse baths of one size, one after the other.
#[derive(Debug, Clone)]
pub struct Rinsing {
    /// Each rinse, mL.
    pub each_ml: f64,
    /// How many bring the surface to a thousandth.
    pub times: u32,
    /// How many bring surface and inside to a thousandth, if what seeped in has time to come out.
    pub times_with_inside: Option<u32>,
    /// What is left of the bath's strength on the surface after that many, as a share.
    pub left: f64,
}

/// A neutralising bath.
#[derive(Debug, Clone)]
pub struct Neutralising {
    /// Grams of baking soda for what the parts carry, once it has stopped fizzing and stood open.
    pub needed_g: Estimate<f64>,
    /// Water of the bath, mL.
    pub water_ml: f64,
    /// Baking soda of the bath, g.
    pub soda_g: f64,
    /// Whether the recipe has a neutralising bath of its own.
    pub recipe_has_one: bool,
    /// What it is made of.
    pub bath: Vec<Ingredient>,
}

/// A stripping bath.
#[derive(Debug, Clone)]
pub struct StripBath {
    /// Lines of what goes in.
    pub bath: Vec<Ingredient>,
    /// What the review looks at.
    pub around: Conditions,
}

/// Drag-out of a well drained to a poorly drained upright part, mL per m²: plating handbooks give 16 to 80 (0.4 to 2 US
/// gallons per 1000 ft², recalled); doubled at the upper end for rough, sanded prints (our choice).
const DRAG_OUT_ML_M2: Span<f64> = Span { low: 16.0, high: 160.0 };
/// What a rinse should come to: a thousandth of the bath (general rule of thumb of a surface finishers' guidebook read).
const RINSED_TO: f64 = 1e-3;
/// The least rinse bath, mL (our choice: a part has to move in it).
const LEAST_RINSE_ML: f64 = 500.0;
/// Strength of the soda bath: 1 % (1 to 3 % is common practice, no source).
const SODA_G_PER_ML: f64 = 0.01;
/// Where the parts should end: plain water with some bicarbonate.
const NEUTRAL: f64 = 7.0;

/// How many rinses of `v` bring `d` to the share wanted.
///
/// Batch rinsing with clean water each time: C_k = C_0·(D/(V + D))^k, the case of one rack of the intermittent rinse
/// (J. Surface Finishing Society of Japan 28 (1977) no. 7, abstract read; mass balance). Well mixed, nothing trapped.
pub fn rinses_needed(d_ml: f64, v_ml: f64, share: f64) -> Option<u32> {
    if !(d_ml > 0.0 && v_ml > 0.0 && share > 0.0 && share < 1.0) {
        return None;
    }
    let once = d_ml / (v_ml + d_ml);
    let times = (libm::log(share) / libm::log(once)).ceil();
    (1.0..1e6).contains(&times).then_some(times as u32)
}

/// What is left after so many rinses, as a share.
pub fn left_after(d_ml: f64, v_ml: f64, times: u32) -> f64 {
    (d_ml / (v_ml + d_ml)).powi(i32::try_from(times).unwrap_or(i32::MAX))
}

/// Bath that hollow prints can hold: their outside less their solid, mL at most. The lightest and densest case counts.
fn inside_ml(parts: &[Part]) -> Option<f64> {
    let hollow = parts.iter().filter(|p| p.binder.is_some() && p.mass_known);
    let each = hollow.filter_map(|p| {
        let solid = p.solid_density.map(|d| in_kg_per_m3(d.high)).or_else(|| {
            // Not said: as dense as a filled plastic can be at 50 % of metal by volume leaves the most room inside.
            let metal = p.metal?.density_kg_m3[2];
            Some(0.5 * metal + 0.5 * p.binder?.density_kg_m3[2])
        })?;
        let outer = in_millilitres(p.shape.envelope());
        Some((outer - in_grams(p.mass.low) / solid * 1000.0).clamp(0.0, outer) * f64::from(p.count))
    });
    let all: Vec<f64> = each.collect();
    (!all.is_empty()).then(|| all.iter().sum())
}

/// Baking soda that brings a bath to plain water.
#[derive(Debug, Clone, Copy)]
pub(super) struct Soda {
    /// Grams for each millilitre of the bath; `None` where it is not modelled.
    per_ml: Option<Estimate<f64>>,
}

impl Soda {
    /// For a bath of these ingredients, of this volume in millilitres.
    ///
    /// Counted when the gas has left: while it fizzes, carbon dioxide holds the pH down, and reaching 7 then would take
    /// several times what the acid takes.
    pub fn for_bath(bath: &[Ingredient], volume_ml: f64, mixing: &MixConditions) -> Soda {
        let stood = MixConditions { carbonate: Some(Carbonate::Aired), ..*mixing };
        let found = read_ingredient("baking soda", MeasureSystem::Metric)
            .and_then(|soda| neutralising_mass(bath, &soda, Ph(NEUTRAL), &stood));
        Soda { per_ml: found.ok().map(|mass| mass.map(|m| in_grams(m) / volume_ml.max(1e-6))) }
    }
}

/// Whether parts come out wet with the bath.
fn wets(recipe: &Recipe) -> bool {
    matches!(recipe.method, Method::Immersion | Method::Spray | Method::Brush)
}

/// Whether what the parts carry is neutralised: the colour stands it, or the recipe says so.
fn neutralised(recipe: &Recipe) -> bool {
    recipe.rinse == Rinse::Full || recipe.aftercare.iter().any(|s| s.stage == CareStage::Neutralise)
}

/// Works out the aftercare of a plan; `soda` is asked only where it is needed.
pub(super) fn aftercare(
    recipe: &Recipe,
    parts: &[Part],
    bath: &[Ingredient],
    mixture: &Mixture,
    around: &Conditions,
    soda: impl FnOnce() -> Soda,
) -> Aftercare {
    let area_m2 = parts
        .iter()
        .map(|p| Some(in_square_millimetres(p.shape.area()?) * f64::from(p.count) / 1e6))
        .sum::<Option<f64>>()
        .filter(|a| *a > 0.0);
    let wets = wets(recipe);
    let carried = area_m2.filter(|_| wets).map(|m2| DRAG_OUT_ML_M2.map(|ml| ml * m2));
    let inside = if recipe.method == Method::Immersion { inside_ml(parts) } else { None };
    let (rinsing, no_rinsing) = match (recipe.rinse, carried) {
        (Rinse::None, _) => (None, Some("Do not rinse: this colour is barely held and goes with the water.".to_string())),
        (Rinse::Light, _) => (
            None,
            Some("No rinse baths: beyond the light mist or brief dip of the checklist, water takes the colour along.".into()),
        ),
        (Rinse::Full, None) if wets && !parts.is_empty() => {
            (None, Some("How much the parts carry off is not known, since the area of one is not: rinse until paper shows plain water.".into()))
        }
        (Rinse::Full, None) => (None, None),
        // What seeps in during a short dip is told by the scales; no day of rinsing is laid out for it.
        (Rinse::Full, Some(carried)) => (rinsing(carried.high, inside.filter(|_| !short_dip(recipe))), None),
    };
    let (neutralising, no_neutralising) = neutralising(recipe, mixture, carried, inside, soda);
    let strip = strip(recipe, bath, around);
    Aftercare {
        carried_ml: carried,
        inside_ml: inside,
        rinsing,
        no_rinsing,
        neutralising,
        no_neutralising,
        advice: super::advice::advice(recipe, parts, strip.is_some()),
        strip,
    }
}

/// Dips shorter than this let little into a print (our choice: one that soaks for long takes up bath within hours).
const SHORT_DIP: SignedDuration = SignedDuration::from_hours(1);

/// Whether the whole of the bath is a matter of minutes.
pub(super) fn short_dip(recipe: &Recipe) -> bool {
    recipe.method == Method::Immersion && recipe.soak_end().is_some_and(|end| end < SHORT_DIP)
}

/// What seeped in gets this long to come out into each rinse (our choice; how fast it comes is not known).
pub(super) const BETWEEN_SEEP_RINSES: SignedDuration = SignedDuration::from_hours(12);

/// The recipe with the rinses of hollow prints among its steps, before they dry, so that the checklist has them too.
pub(super) fn with_seep_rinses(recipe: &Recipe, care: &Aftercare) -> Recipe {
    let mut recipe = recipe.clone();
    let more = care.rinsing.as_ref().and_then(|r| r.times_with_inside).map_or(0, |n| n.saturating_sub(1));
    if more > 0 {
        let first_dry = recipe.aftercare.iter().position(|s| s.stage == CareStage::Dry);
        // Without one the parts are rinsed first, as the timetable puts it, so the step goes behind a rinse of its own.
        let after_rinse = recipe.aftercare.iter().rposition(|s| s.stage == CareStage::Rinse).map(|i| i + 1);
        if let Some(at) = first_dry.or(after_rinse) {
            let bath = |n: u32| {
                let which = if more > 1 { format!(", bath {n} of {more}") } else { String::new() };
                let test =
                    if n == more { " Its water is tested with paper: it should read as plain water does." } else { "" };
                CareStep {
                    takes: Some(BETWEEN_SEEP_RINSES),
                    ..CareStep::new(
                        CareStage::Rinse,
                        format!(
                            "Leave hollow prints in clean water for half a day{which}: what seeped in comes out slowly.{test}"
                        ),
                    )
                }
            };
            recipe.aftercare.splice(at..at, (1..=more).map(bath));
        }
    }
    recipe
}

fn rinsing(carried_ml: f64, inside_ml: Option<f64>) -> Option<Rinsing> {
    let each_ml = (carried_ml * 50.0).max(inside_ml.unwrap_or(0.0) * 5.0).max(LEAST_RINSE_ML);
    let each_ml = (each_ml / 100.0).ceil() * 100.0;
    let times = rinses_needed(carried_ml, each_ml, RINSED_TO)?.max(2);
    let with_inside = inside_ml.and_then(|ml| rinses_needed(carried_ml + ml, each_ml, RINSED_TO)).map(|n| n.max(times));
    Some(Rinsing { each_ml, times, times_with_inside: with_inside, left: left_after(carried_ml, each_ml, times) })
}

fn neutralising(
    recipe: &Recipe,
    mixture: &Mixture,
    carried: Option<Span<f64>>,
    inside: Option<f64>,
    soda: impl FnOnce() -> Soda,
) -> (Option<Neutralising>, Option<String>) {
    if super::advice::sulphide(recipe) {
        return (
            None,
            Some("A sulphide is never neutralised with acid: rinse, then a bicarbonate bowl, then rinse.".into()),
        );
    }
    let Some(ph) = mixture.ph else {
        return (None, Some("The pH of this bath is not modelled, so no neutralising amount is given: rinse until paper shows plain water.".into()));
    };
    // Plain water in balance with the air stands at 5.6: nothing to neutralise.
    if ph.best.0 >= 5.5 {
        return (
            None,
            (ph.best.0 > 8.0).then(|| {
                let how = if recipe.rinse == Rinse::Full { "it is rinsed off, not" } else { "it is not" };
                format!("The bath is alkaline: {how} neutralised with acid.")
            }),
        );
    }
    let Some(carried) = carried else { return (None, None) };
    let recipe_has_one = recipe.aftercare.iter().any(|s| s.stage == CareStage::Neutralise);
    if !neutralised(recipe) {
        return (None, Some("No neutralising: a soda bath would take the colour along.".into()));
    }
    let Some(found) = soda().per_ml else {
        return (None, Some("What neutralises this bath is not modelled: rinse until paper shows plain water.".into()));
    };
    let all_ml = in_millilitres(mixture.volume.best).max(1e-6);
    let share = |ml: f64| (ml / all_ml).min(1.0);
    let most = carried.high + inside.unwrap_or(0.0);
    let needed_g = Estimate {
        best: found.best * all_ml * share(most),
        low: found.low * all_ml * share(carried.low),
        high: found.high * all_ml * share(most),
    };
    let water_ml = (all_ml.max(LEAST_RINSE_ML) / 100.0).ceil() * 100.0;
    let soda_g = (water_ml * SODA_G_PER_ML).max(needed_g.high * 2.0).ceil();
    let line = |text: String| read_ingredient(&text, MeasureSystem::Metric).ok();
    let bath = [line(format!("{water_ml:.0} mL water")), line(format!("{soda_g:.0} g baking soda"))];
    let bath: Option<Vec<Ingredient>> = bath.into_iter().collect();
    (bath.map(|bath| Neutralising { needed_g, water_ml, soda_g, recipe_has_one, bath }), None)
}

/// An open vessel in the same room, for the same parts, which come out of `before` and were treated as said.
fn following<'a>(before: impl IntoIterator<Item = &'a Ingredient>, left: Before, around: &Conditions) -> Conditions {
    let after = before.into_iter().map(|i| Past::new(i.clone(), left));
    Conditions {
        cover: Some(Cover::Open),
        room: around.room,
        parts: around.parts.clone(),
        after: after.collect(),
        ..Conditions::default()
    }
}

/// Weak citric acid takes rust and green off; it is offered only when the review of it, with what came before, is no stop.
fn strip(recipe: &Recipe, bath: &[Ingredient], around: &Conditions) -> Option<StripBath> {
    if !matches!(recipe.finish, Finish::Rust | Finish::Green | Finish::Blue) {
        return None;
    }
    let line = |text: &str| read_ingredient(text, MeasureSystem::Metric).ok();
    let strip = vec![line("1000 mL water")?, line("50 g citric acid")?];
    let before = bath.iter().filter(|i| i.substance().is_none_or(|s| s.id != "water"));
    let conditions = following(before, Before { rinse: Rinsed::Neutralised, dried: true }, around);
    (!safety::refuses(&strip, &conditions)).then_some(StripBath { bath: strip, around: conditions })
}

/// The baths of this aftercare, for the review of the whole: name, what is in it, what is around it.
pub(super) fn baths(
    care: &Aftercare,
    bath: &[Ingredient],
    around: &Conditions,
) -> Vec<(String, Vec<Ingredient>, Conditions)> {
    let mut all = Vec::new();
    if let Some(n) = care.neutralising.as_ref().filter(|n| !n.recipe_has_one) {
        let left = Before { rinse: Rinsed::Once, dried: false };
        all.push(("neutralising bath".to_string(), n.bath.clone(), following(bath, left, around)));
    }
    if let Some(s) = &care.strip {
        all.push(("stripping bath".to_string(), s.bath.clone(), s.around.clone()));
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rinses_follow_the_mass_balance() {
        // 10 mL carried into 990 mL leaves a hundredth each time: two rinses for a ten-thousandth.
        assert_eq!(rinses_needed(10.0, 990.0, 1e-4), Some(2));
        assert!((left_after(10.0, 990.0, 2) - 1e-4).abs() < 1e-12);
        // One rinse of 999 parts to one: a thousandth (worked case of a finishers' guidebook read).
        assert!((left_after(1.0, 999.0, 1) - 1e-3).abs() < 1e-12);
        assert_eq!(rinses_needed(0.0, 100.0, 1e-3), None);
        assert_eq!(rinses_needed(1.0, f64::NAN, 1e-3), None);
    }
}
