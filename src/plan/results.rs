//! What a plan, a scaled recipe, a mixture and a neutralisation hold, and what the review sees of each.

use super::{Aftercare, Disposal, Fingerprint, MethodPlan, Whole, care::around_the_bath, job, poured};
use crate::amount::Length;
use crate::bath::{Correction, Dosing, Mixture, Neutralised, PouringStep};
use crate::immersion::Immersion;
use crate::recipe::Recipe;
use crate::reference::Ingredient;
use crate::safety::{Conditions, Reviewable};
use crate::timetable::Step;
use crate::vessel::Vessel;

/// Everything a person needs for one job. Immutable; shown only as `Reviewed<Plan>`.
#[derive(Debug, Clone)]
pub struct Plan {
    /// The recipe.
    pub recipe: Recipe,
    /// Doses.
    pub dosing: Dosing,
    /// The mixture they make.
    pub mixture: Mixture,
    /// The making up in the order of pouring, with the volume after each step.
    pub making_up: Vec<PouringStep>,
    /// The largest error that measuring leaves in the bath: (what, per cent).
    pub measuring_error: Option<(String, f64)>,
    /// Immersion, for that method.
    pub immersion: Option<Immersion>,
    /// The vessel as the sheet names it.
    pub vessel: Option<Vessel>,
    /// Steps in order of time.
    pub timetable: Vec<Step>,
    /// What the person should know, each a sentence.
    pub notes: Vec<String>,
    /// A short fingerprint of everything that went in, for calendar ids and the record.
    pub fingerprint: Fingerprint,
    /// What the review looks at.
    pub reviewed_as: Conditions,
    /// Quantities and steps of a method other than immersion.
    pub method: MethodPlan,
    /// Aftercare in figures.
    pub aftercare: Aftercare,
    /// What is left at the end of the batch.
    pub disposal: Disposal,
    /// The job around the bath, when all of it was asked for.
    pub whole: Option<Whole>,
}

impl Reviewable for Plan {
    fn ingredients(&self) -> Vec<Ingredient> {
        poured(&self.dosing)
    }

    fn conditions(&self) -> Conditions {
        self.reviewed_as.clone()
    }

    fn beside(&self) -> Vec<(String, Vec<Ingredient>, Conditions)> {
        let mut all = around_the_bath(&self.recipe, &self.aftercare, &self.ingredients(), &self.reviewed_as);
        all.extend(job::beside(self));
        all
    }
}

/// A recipe scaled to a volume or a vessel, without parts.
#[derive(Debug, Clone)]
pub struct Scaled {
    /// The recipe.
    pub recipe: Recipe,
    /// Doses.
    pub dosing: Dosing,
    /// The mixture they make.
    pub mixture: Mixture,
    /// The making up in the order of pouring, with the volume after each step.
    pub making_up: Vec<PouringStep>,
    /// The largest error that measuring leaves in the bath: (what, per cent).
    pub measuring_error: Option<(String, f64)>,
    /// Level in the vessel, when scaled to one.
    pub fill_line: Option<Length>,
    /// What the person should know.
    pub notes: Vec<String>,
    /// What the review looks at.
    pub reviewed_as: Conditions,
}

impl Reviewable for Scaled {
    fn ingredients(&self) -> Vec<Ingredient> {
        poured(&self.dosing)
    }

    fn conditions(&self) -> Conditions {
        self.reviewed_as.clone()
    }
}

impl AsRef<Recipe> for Scaled {
    fn as_ref(&self) -> &Recipe {
        &self.recipe
    }
}

impl AsRef<Dosing> for Scaled {
    fn as_ref(&self) -> &Dosing {
        &self.dosing
    }
}

impl AsRef<Mixture> for Scaled {
    fn as_ref(&self) -> &Mixture {
        &self.mixture
    }
}

impl AsRef<Mixture> for Mixed {
    fn as_ref(&self) -> &Mixture {
        &self.mixture
    }
}

impl AsRef<Neutralised> for Neutralisation {
    fn as_ref(&self) -> &Neutralised {
        &self.neutralised
    }
}

/// A mixture of ingredients as named, without a recipe.
#[derive(Debug, Clone)]
pub struct Mixed {
    /// The ingredients, in the order of pouring.
    pub ingredients: Vec<Ingredient>,
    /// The mixture they make.
    pub mixture: Mixture,
    /// What the review looks at.
    pub reviewed_as: Conditions,
}

impl Reviewable for Mixed {
    fn ingredients(&self) -> Vec<Ingredient> {
        self.ingredients.clone()
    }

    fn conditions(&self) -> Conditions {
        self.reviewed_as.clone()
    }
}

/// A mixture and what brings it to a pH.
#[derive(Debug, Clone)]
pub struct Neutralisation {
    /// The mixture and the reagent with its amount, in the order of pouring.
    pub ingredients: Vec<Ingredient>,
    /// How much, and what comes of it.
    pub neutralised: Neutralised,
    /// What the review looks at.
    pub reviewed_as: Conditions,
}

impl Reviewable for Neutralisation {
    fn ingredients(&self) -> Vec<Ingredient> {
        self.ingredients.clone()
    }

    fn conditions(&self) -> Conditions {
        self.reviewed_as.clone()
    }
}

/// What brings a used bath back on target, reviewed together with what is in it.
#[derive(Debug, Clone)]
pub struct Corrected {
    /// What is left of what the bath was made of, then what is added.
    pub ingredients: Vec<Ingredient>,
    /// What to add, and what it rests on.
    pub correction: Correction,
    /// What the review looks at.
    pub reviewed_as: Conditions,
}

impl Reviewable for Corrected {
    fn ingredients(&self) -> Vec<Ingredient> {
        self.ingredients.clone()
    }

    fn conditions(&self) -> Conditions {
        self.reviewed_as.clone()
    }
}
