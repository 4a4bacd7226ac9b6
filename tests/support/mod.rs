//! What several test files share: cases of the safety room as data.

use bathwright::amount::{MeasureSystem, celsius, cubic_metres};
use bathwright::order::Room;
use bathwright::recipe::Method;
use bathwright::reference::{Ingredient, Material, Past, material, read_ingredient, read_past};
use bathwright::safety::{Conditions, Gravity, PartFacts, Review, check};
use bathwright::vessel::Cover;
use serde::Deserialize;

/// A mixture and its conditions, as the data files write them.
#[derive(Debug, Clone, Default, Deserialize)]
pub struct Case {
    pub mix: Vec<String>,
    pub part: Option<String>,
    pub binder: Option<String>,
    pub vessel: Option<String>,
    pub ballast: Option<String>,
    pub holder: Option<String>,
    pub cover: Option<String>,
    pub method: Option<String>,
    pub temperature: Option<f64>,
    pub room_m3: Option<f64>,
    pub outdoors: Option<bool>,
    #[serde(default)]
    pub after: Vec<String>,
    pub kept_h: Option<f64>,
    #[serde(default)]
    pub meant_for: Vec<String>,
    pub no_filled_plastic: Option<String>,
    pub at_least: Option<String>,
    pub at_most: Option<String>,
}

/// Reads a data file under `tests/data`.
pub fn load<T: serde::de::DeserializeOwned>(path: &str) -> T {
    let full = format!("{}/tests/data/{path}", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(&full).unwrap_or_else(|e| panic!("{path}: {e}"));
    serde_yaml::from_str(&text).unwrap_or_else(|e| panic!("{path}: {e}"))
}

pub fn ingredient(line: &str) -> Ingredient {
    read_ingredient(line, MeasureSystem::Us).unwrap_or_else(|e| panic!("{line}: {e}"))
}

pub fn past(text: &str) -> Vec<Past> {
    read_past(text, MeasureSystem::Us).unwrap_or_else(|e| panic!("{text}: {e}"))
}

fn made_of(id: &str) -> &'static Material {
    material(id).unwrap_or_else(|| panic!("no material {id}"))
}

impl Case {
    pub fn ingredients(&self) -> Vec<Ingredient> {
        self.mix.iter().map(|line| ingredient(line)).collect()
    }

    pub fn conditions(&self) -> Conditions {
        let list = |id: &Option<String>| id.iter().map(|id| made_of(id)).collect::<Vec<_>>();
        let mut room = Room::default();
        if let Some(v) = self.room_m3 {
            room = Room { volume: cubic_metres(v), assumed: false, ..room };
        }
        if self.outdoors == Some(true) {
            room = Room { outdoors: true, assumed: false, ..room };
        }
        let has_part = self.part.is_some() || self.binder.is_some();
        let part = PartFacts {
            name: "plaque".into(),
            metal: self.part.as_deref().map(made_of),
            binder: self.binder.as_deref().map(made_of),
        };
        Conditions {
            temperature: self.temperature.map(celsius),
            cover: self.cover.as_deref().map(|c| match c {
                "open" => Cover::Open,
                "loose" => Cover::Loose,
                "sealed" => Cover::Sealed,
                other => panic!("cover {other}"),
            }),
            room,
            vessel: self.vessel.as_deref().map(made_of),
            parts: has_part.then_some(part).into_iter().collect(),
            ballast: list(&self.ballast),
            holders: list(&self.holder),
            after: self.after.iter().flat_map(|text| past(text)).collect(),
            method: match self.method.as_deref() {
                None | Some("immersion") => Method::Immersion,
                Some("spray") => Method::Spray,
                Some("brush") => Method::Brush,
                Some("fume") => Method::Fume,
                Some(other) => panic!("method {other}"),
            },
            kept: self.kept_h.map(|h| jiff::SignedDuration::from_secs_f64(h * 3600.0)),
            meant_for: self.meant_for.iter().map(|id| made_of(id)).collect(),
            no_filled_plastic: self.no_filled_plastic.clone(),
            ..Conditions::default()
        }
    }

    pub fn review(&self) -> Review {
        check(&self.ingredients(), &self.conditions())
    }
}

pub fn grade(word: &str) -> Gravity {
    match word {
        "note" => Gravity::Note,
        "caution" => Gravity::Caution,
        "strong-caution" => Gravity::StrongCaution,
        "stop" => Gravity::Stop,
        other => panic!("gravity {other}"),
    }
}

/// The gravest finding; a note when there is none.
pub fn at_least(review: &Review) -> Gravity {
    review.hazards.iter().map(|h| h.gravity).max().unwrap_or(Gravity::Note)
}
