//! `neutralise`: how much of a reagent brings a mixture to a pH, with its review.

use super::args::{Format, NeutraliseArgs};
use super::common::{gather, json, number, refused, width};
use super::{Failure, Shown, mix};
use crate::amount::Ph;
use crate::diag::Problems;
use crate::reference::read_ingredient;
use crate::safety::Outcome;
use crate::{plan, sheet};

pub fn run(a: &NeutraliseArgs) -> Result<Shown, Failure> {
    let mut faults = Vec::new();
    let inputs = gather(mix::inputs(&a.mix), &mut faults);
    let with = read_ingredient(&a.reagent, a.mix.measures.into()).map_err(|p| p.in_field("--with"));
    let with = gather(with, &mut faults);
    let to = gather(number(&a.to, "--to", 14.0), &mut faults);
    let (Some((all, mixing, around)), Some(with), Some(to)) = (inputs, with, to) else {
        return Err(Problems(faults).into());
    };
    Ok(match plan::neutralise(all, with, Ph(to), &mixing, around)? {
        Outcome::Passed(done) => Shown::text(match a.mix.output.format {
            Format::Json => json(&sheet::json::neutralise(&done)),
            Format::Html => sheet::html::neutralise(&done),
            Format::Text => sheet::terminal::neutralise(&done, width(a.mix.output.width)),
        }),
        Outcome::Refused(review) => refused(None, &review, &a.mix.output),
    })
}
