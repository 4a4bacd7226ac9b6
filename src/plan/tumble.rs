//! One load of a tumbling barrel, reviewed: water, grit and soap in a closed vessel with the part's metal.

use crate::amount::{MeasureSystem, in_millilitres};
use crate::diag::Checked;
use crate::finishing::{self, Barrel, Load, Tumbling};
use crate::part::Part;
use crate::reference::{Cover, Ingredient, Past, Room, read_ingredient};
use crate::safety::{self, Conditions, Outcome, Reviewable};
use crate::timetable::{self, Step};
use jiff::{SignedDuration, ZonedDateTime};

/// What is asked about a load.
#[derive(Debug, Clone)]
pub struct TumbleOrder {
    /// The barrel.
    pub barrel: Barrel,
    /// The parts.
    pub parts: Vec<Part>,
    /// Finest detail.
    pub detail: Option<crate::amount::Length>,
    /// Media size.
    pub media: Option<crate::amount::Length>,
    /// How many grits.
    pub grits: u32,
    /// Whether marks still show after the first stage.
    pub marks_show: bool,
    /// Planned length of a grit stage.
    pub stage: Option<SignedDuration>,
    /// What part, media or barrel was in contact with before.
    pub after: Vec<Past>,
    /// The room it turns in.
    pub room: Room,
    /// When it begins.
    pub start: Option<ZonedDateTime>,
    /// Hours when nobody is there.
    pub quiet: Option<(jiff::civil::Time, jiff::civil::Time)>,
}

/// One load, planned. Shown only as `Reviewed<TumblePlan>`.
#[derive(Debug, Clone)]
pub struct TumblePlan {
    /// The barrel.
    pub barrel: Barrel,
    /// The parts.
    pub parts: Vec<Part>,
    /// What was worked out.
    pub tumbling: Tumbling,
    /// Every step; times count from the start of the barrel.
    pub timetable: Vec<Step>,
    /// Wet waste of one grit stage: water and grit, mL at most.
    pub slurry_ml: f64,
    /// What goes into the barrel in a grit stage.
    pub grit_run: Vec<Ingredient>,
    /// What goes into the barrel in the last run.
    pub soap_run: Vec<Ingredient>,
    /// What the review looks at.
    pub reviewed_as: Conditions,
}

impl Reviewable for TumblePlan {
    fn ingredients(&self) -> Vec<Ingredient> {
        self.grit_run.clone()
    }

    fn conditions(&self) -> Conditions {
        self.reviewed_as.clone()
    }

    fn beside(&self) -> Vec<(String, Vec<Ingredient>, Conditions)> {
        vec![("soap run".into(), self.soap_run.clone(), self.reviewed_as.clone())]
    }
}

/// Plans one load.
///
/// # Errors
/// As [`finishing::tumble`].
pub fn tumble(order: &TumbleOrder) -> Checked<Outcome<TumblePlan>> {
    Ok(safety::review(tumble_unreviewed(order)?))
}

/// The plan before its review: for a whole job, which is reviewed as one.
pub(super) fn tumble_unreviewed(order: &TumbleOrder) -> Checked<TumblePlan> {
    let tumbling = finishing::tumble(&Load {
        barrel: &order.barrel,
        parts: &order.parts,
        finest_detail: order.detail,
        media: order.media,
        grits: order.grits,
        marks_show: order.marks_show,
        stage: order.stage,
    })?;
    let water = in_millilitres(tumbling.water.high);
    let grit = tumbling.stages.iter().filter_map(|s| s.grit_tablespoons).fold(0.0, f64::max);
    let line = |text: String| read_ingredient(&text, MeasureSystem::Metric);
    let grit_run = vec![line(format!("{water:.0} mL water"))?, line(format!("{grit} tbsp silicon carbide"))?];
    let soap = in_millilitres(tumbling.soap);
    let soap_run = vec![line(format!("{water:.0} mL water"))?, line(format!("{soap:.1} mL dish soap"))?];
    let reviewed_as = Conditions {
        cover: Some(Cover::Sealed),
        room: order.room,
        vessel: order.barrel.material,
        vessel_named: true,
        capacity: Some(tumbling.barrel_volume),
        parts: super::parts_facts(&order.parts),
        after: order.after.clone(),
        ..Conditions::default()
    };
    let hours = order.start.as_ref().zip(order.quiet).map(|(begins, quiet)| timetable::Hours { begins, quiet });
    let (steps, _) = timetable::barrel(&tumbling, &order.parts, hours.as_ref());
    // A level tablespoon of grains in water adds their own volume, about half of the spoon.
    let grit_ml =
        tumbling.stages.iter().filter_map(finishing::TumbleStage::grit).map(in_millilitres).fold(0.0, f64::max);
    let slurry_ml = water + grit_ml * 0.5;
    Ok(TumblePlan {
        barrel: order.barrel.clone(),
        parts: order.parts.clone(),
        timetable: timetable::with_clock(steps, order.start.as_ref(), order.quiet),
        tumbling,
        slurry_ml,
        grit_run,
        soap_run,
        reviewed_as,
    })
}
