//! `correct`: what brings a used bath back on target, with its review.

use super::args::{CorrectArgs, Format};
use super::common::{gather, json, number, refused, width};
use super::{Failure, Shown, mix};
use crate::amount::{Ph, kg_per_m3, read_volume};
use crate::bath::Measured;
use crate::diag::Problems;
use crate::safety::Outcome;
use crate::{plan, sheet};

pub fn run(a: &CorrectArgs) -> Result<Shown, Failure> {
    let mut faults = Vec::new();
    let inputs = gather(mix::inputs(&a.mix), &mut faults);
    let volume = read_volume(&a.have, a.mix.measures.into()).map_err(|p| p.in_field("--have"));
    let volume = gather(volume, &mut faults);
    let mut figure =
        |text: &Option<String>, field, most| text.as_deref().and_then(|t| gather(number(t, field, most), &mut faults));
    let ph = figure(&a.ph, "--ph", 14.0).map(Ph);
    // Hydrometers read g/mL; a figure above 100 is meant in kg/m³.
    let density = figure(&a.density, "--density", 3000.0);
    let (Some((all, mixing, around)), Some(volume), true) = (inputs, volume, faults.is_empty()) else {
        return Err(Problems(faults).into());
    };
    let measured = Measured { volume, ph, density: density.map(|d| kg_per_m3(if d > 100.0 { d } else { d * 1000.0 })) };
    Ok(match plan::correct(&all, &measured, &mixing, around)? {
        Outcome::Passed(done) => Shown::text(match a.mix.output.format {
            Format::Json => json(&sheet::json::correct(&done)),
            Format::Html => sheet::html::correct(&done),
            Format::Text => sheet::terminal::correct(&done, width(a.mix.output.width)),
        }),
        Outcome::Refused(review) => refused(None, &review, &a.mix.output),
    })
}
