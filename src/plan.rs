//! The stages in order: the program on one page.

use crate::bath::{Dosing, Mixture};
use crate::immersion::Immersion;
use crate::recipe::Recipe;
use crate::reference::Ingredient;
use crate::safety::{Conditions, Reviewable};
use crate::timetable::Step;

/// Everything a person needs for one job. Immutable; shown only as `Reviewed<Plan>`.
#[derive(Debug, Clone)]
pub struct Plan {
    /// The recipe.
    pub recipe: Recipe,
    /// Doses.
    pub dosing: Dosing,
    /// The mixture they make.
    pub mixture: Mixture,
    /// The largest error that measuring leaves in the bath: (what, per cent).
    pub measuring_error: Option<(String, f64)>,
    /// Immersion, for that method.
    pub immersion: Option<Immersion>,
    /// The vessel as the sheet names it.
    pub vessel: Option<String>,
    /// Steps in order of time.
    pub timetable: Vec<Step>,
    /// What the person should know, each a sentence.
    pub notes: Vec<String>,
    /// A short fingerprint of everything that went in, for calendar ids and the record.
    pub fingerprint: String,
    /// What the review looks at.
    pub reviewed_as: Conditions,
}

impl Reviewable for Plan {
    fn ingredients(&self) -> Vec<Ingredient> {
        self.dosing.doses.iter().map(|d| d.ingredient.clone()).collect()
    }

    fn conditions(&self) -> Conditions {
        self.reviewed_as.clone()
    }
}
