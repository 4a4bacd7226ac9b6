//! What a recipe file says, before it is checked: every value is the text that was written.
//!
//! Everything is optional: what has to be there is said once, in the table of fields, and a faulty item of a list is
//! `None`, so that its neighbours keep their numbers. The build script reads the shipped recipes into the same types.

use serde::{Deserialize, Serialize};

/// A recipe file.
#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(super) struct RawRecipe {
    pub id: Option<String>,
    pub title: Option<String>,
    pub look: Option<String>,
    pub metals: Vec<Option<String>>,
    pub finish: Option<String>,
    pub method: Option<String>,
    pub measures: Option<String>,
    pub written_for: Option<String>,
    pub ingredients: Vec<Option<RawIngredient>>,
    pub temperature: Option<String>,
    pub cover: Option<String>,
    pub use_within: Option<String>,
    pub soak: Vec<Option<RawSoak>>,
    pub preparation: Vec<Option<RawCare>>,
    pub aftercare: Vec<Option<RawCare>>,
    pub rinse: Option<String>,
    pub loading: Option<String>,
    pub needs_air: Option<String>,
    pub filled_plastic: Option<RawFilledPlastic>,
    pub coats: Option<RawCoats>,
    pub per_volume: Option<String>,
    pub sources: Vec<Option<RawSource>>,
    pub confidence: Option<String>,
    pub notes: Vec<Option<String>>,
    pub example: Option<RawExample>,
}

/// One ingredient.
#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(super) struct RawIngredient {
    pub line: Option<String>,
    pub per_litre: Option<String>,
    pub in_bath: Option<String>,
    pub rest: Option<String>,
    pub note: Option<String>,
}

/// One look or lift.
#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(super) struct RawSoak {
    pub after: Option<String>,
    pub what: Option<String>,
    pub lift: Option<String>,
}

/// One step before or after the bath.
#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(super) struct RawCare {
    pub stage: Option<String>,
    pub what: Option<String>,
    pub on_prints: Option<String>,
    pub changes: Option<String>,
    pub takes: Option<String>,
    pub takes_on_prints: Option<String>,
    pub uses: Vec<Option<String>>,
    pub holds: Option<String>,
    pub needs: Vec<Option<String>>,
}

/// Whether metal-filled plastics take it.
#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(super) struct RawFilledPlastic {
    pub suitability: Option<String>,
    pub why: Option<String>,
}

/// Coats of a spray or brush recipe.
#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(super) struct RawCoats {
    pub count: Option<String>,
    pub ml_per_m2: Option<String>,
}

/// Where it comes from.
#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(super) struct RawSource {
    pub doc: Option<String>,
    pub at: Option<String>,
    pub status: Option<String>,
}

/// The worked example.
#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(super) struct RawExample {
    pub to: Option<String>,
    pub expect: Vec<Option<RawExpected>>,
}

/// One line of the worked example.
#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(super) struct RawExpected {
    pub ingredient: Option<String>,
    pub amount: Option<String>,
}
