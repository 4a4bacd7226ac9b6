//! Aftercare in words: drying, stopping or keeping rust, sealing, handling, masks, a failed coat, warming.

use crate::part::Part;
use crate::recipe::{Finish, Recipe};
use crate::reference::Role;
use crate::reference::schema::MetalFamily;
use crate::timetable::WARMING;

/// Sections of advice: heading and lines.
///
/// `strips` tells whether a stripping bath is listed beside it.
pub(super) fn advice(recipe: &Recipe, parts: &[Part], strips: bool) -> Vec<(String, Vec<String>)> {
    let binder = parts
        .iter()
        .filter_map(|p| p.binder)
        .min_by(|a, b| a.bath_below_c.unwrap_or(f64::MAX).total_cmp(&b.bath_below_c.unwrap_or(f64::MAX)));
    let mut all = Vec::new();
    let mut put = |title: &str, lines: Vec<String>| {
        if !lines.is_empty() {
            all.push((title.to_string(), lines));
        }
    };
    put(
        "Drying",
        drying(recipe, parts, binder.and_then(|b| b.bath_below_c).map(|t| (binder.map_or("", |b| b.name.as_ref()), t))),
    );
    put("Stopping it or keeping it", stopping(recipe));
    put("Sealing", sealing(recipe));
    put("Handling and showing it", handling(parts));
    put("Masks, and a coat that failed", masks(recipe, strips));
    put("Warming a bath", warming(recipe, binder.is_some()));
    all
}

/// No print dries warmer, whatever its binder stands; the recipes' own figure (our choice).
const DRY_BELOW_C: f64 = 40.0;

/// Whether what colours is a sulphide, which goes on until it is rinsed and frees a deadly gas with acid.
pub(super) fn sulphide(recipe: &Recipe) -> bool {
    let meant = recipe.ingredients.iter().flat_map(|i| &i.ingredient.meanings);
    meant.into_iter().any(|m| m.substance.is(Role::Sulfide))
}

fn drying(recipe: &Recipe, parts: &[Part], limit: Option<(&str, f64)>) -> Vec<String> {
    let mut l = Vec::new();
    match limit {
        Some((name, t)) => l.push(format!(
            "Moving air, no warmer than {:.0} °C: {name} softens not far above that. No oven on a guess, no heat gun.",
            t.min(DRY_BELOW_C)
        )),
        None if !parts.is_empty() => l.push("Blot, then warm moving air at once: a wet film goes on reacting.".into()),
        None => {}
    }
    if limit.is_some() {
        l.push(
            "Seams weep for days: bath that seeped into the infill comes out where layers meet. Weigh daily; it is dry when \
             the mass has stayed the same for 24 hours (days are usual, a week for thick or closed prints; no source)."
                .into(),
        );
        if super::aftercare::short_dip(recipe) {
            l.push(
                "So short a dip lets little in, how much is not known: weigh a print before and after. What it has gained is \
                 bath: leave it in clean water, half a day in each of several baths, and dry it to its old mass."
                    .into(),
            );
        }
        l.push("Prop it with the seam or drain hole down, on something that soaks up, and turn it daily.".into());
    }
    l.push(format!(
        "Watch it for two days after that for {} before it is sealed.",
        crate::timetable::early_signs(parts, recipe)
    ));
    l
}

fn stopping(recipe: &Recipe) -> Vec<String> {
    match recipe.finish {
        Finish::Rust => vec![
            "To keep the rust: rinse until a chloride strip shows none, dry fast, brush off what is loose, seal.".into(),
            "To stop it and darken it: tannate over rust (recipe tannate-black). It does not take chloride away.".into(),
            "Rust that comes back under a seal means chloride was left, or the print was still wet inside.".into(),
        ],
        Finish::Green | Finish::Blue => vec![
            "It stops when it is dry. Most greens are water-soluble or barely held: no hard rinse, no rubbing.".into(),
            "Pale green spots that return and powder are chloride in the metal: dry air stops them, wax alone does not.".into(),
        ],
        _ if sulphide(recipe) => vec![
            "Sulphide colours run on until they are rinsed: rinse at the shade before the one you want.".into(),
        ],
        _ => Vec::new(),
    }
}

fn sealing(recipe: &Recipe) -> Vec<String> {
    let mut l = vec![
        "Seal only what is dry to constant mass. Every sealer darkens; try it on the coupon first.".to_string(),
        "Wax: thin, buffed, renewed once or twice a year out of doors (trade body read). It is no vapour barrier.".into(),
        "Lacquer: thin coats of clear acrylic, water-based on prints; solvent lacquer can craze ABS and ASA. Good air, no \
         flame. Acrylic under wax lasted longer than either alone (a museum text read)."
            .into(),
        "Oil: rags with drying oil heat themselves and have burned workshops down. Spread them flat outdoors to dry, or put \
         them under water in a closed metal tin."
            .into(),
    ];
    if matches!(recipe.finish, Finish::Green | Finish::Blue) {
        l.push("A powdery blue or green can vanish under any sealer: mist it on dry, never brush it first.".into());
    }
    l
}

fn handling(parts: &[Part]) -> Vec<String> {
    let copper = parts.iter().filter_map(|p| p.metal).any(|m| m.family == Some(MetalFamily::CopperAlloy));
    let filled = parts.iter().any(|p| p.binder.is_some());
    let mut l = vec!["Not for food or drink, not against the skin, not in a child's or an animal's mouth.".to_string()];
    if copper {
        l.push(
            "Loose copper salts are harmful: wash hands, wipe dust wet; sealed or not, keep green off the skin side."
                .into(),
        );
    }
    if filled {
        l.push(
            "A filled print is no structural part: printed layers soaked in a bath are weaker than they look.".into(),
        );
        l.push(
            "No flame, candle or hot lamp in or near a sealed print: plastic and wax burn. Lanterns take a cool LED."
                .into(),
        );
        l.push("Out of a hot car and a sunny window: the binder sags at temperatures metal does not notice.".into());
    }
    l
}

fn masks(recipe: &Recipe, strips: bool) -> Vec<String> {
    let mut l = vec![
        "Mask with wax, lacquer or tape on a degreased, dry surface; press edges down, since bath creeps under them.".to_string(),
        "Take a mask off before sealing: tape pulled low and slow, wax with lukewarm water and a wooden stick, lacquer with \
         what its label names - never acetone on ABS or ASA, and none near a job that has a peroxide bath."
            .into(),
        "A second coat over a failed one fails too: strip, degrease, water-break test, coupon, begin again.".into(),
    ];
    l.push(match strips {
        true => {
            "Strip by wet abrasion, or in the weak citric bath listed here: minutes, watch it, then rinse, soda, rinse."
                .into()
        }
        _ if sulphide(recipe) => {
            "Strip by wet abrasion. No acid near a sulphide coat: it sets hydrogen sulphide free.".into()
        }
        _ => "Strip by wet abrasion.".into(),
    });
    l
}

fn warming(recipe: &Recipe, filled: bool) -> Vec<String> {
    let mut l = vec![WARMING.to_string()];
    if crate::amount::in_celsius(recipe.temperature.high) > 40.0 && filled {
        l.push("This recipe runs hotter than most printed binders stand: the lower end, or another recipe.".into());
    }
    l
}
