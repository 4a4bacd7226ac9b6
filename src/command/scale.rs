//! `scale`: a recipe to a volume or a vessel, without parts.

use super::args::{Format, ScaleArgs};
use super::common::{json, refused, width};
use super::inputs::{bench, library, recipe, target, vessel};
use super::{Failure, Shown};
use crate::safety::Outcome;
use crate::{plan, sheet};

pub fn run(a: &ScaleArgs) -> Result<Shown, Failure> {
    let bench = bench(a.bench.as_deref())?;
    let recipe = recipe(&a.what, a.measures.into(), &library(a.recipes.as_deref())?)?;
    let target = target(a.to.as_deref(), a.finished.as_deref(), &recipe, bench.measures.unwrap_or(recipe.measures))?;
    let vessel = a.vessel.as_deref().map(|v| vessel(v, &bench)).transpose()?;
    Ok(match plan::scale(&recipe, &bench, target.as_ref(), vessel.as_ref())? {
        Outcome::Passed(scaled) => Shown::text(match a.output.format {
            Format::Json => json(&sheet::json::scale(&scaled)),
            Format::Html => sheet::html::scale(&scaled),
            Format::Text => sheet::terminal::scale(&scaled, width(a.output.width)),
        }),
        Outcome::Refused(review) => refused(Some(&recipe), &review, &a.output),
    })
}
