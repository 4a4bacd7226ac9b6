//! `mix`: what a mixture is, with its review.

use super::args::{Format, MixArgs};
use super::common::{conditions, gather, ingredients, json, refused, width};
use super::{Failure, Shown};
use crate::amount::celsius;
use crate::bath::{Carbonate, MixConditions};
use crate::diag::{Checked, Problem, Problems};
use crate::safety::{Conditions, Outcome};
use crate::{plan, sheet};

pub fn run(a: &MixArgs) -> Result<Shown, Failure> {
    let (all, mixing, around) = inputs(a)?;
    Ok(match plan::mixed(all, &mixing, around)? {
        Outcome::Passed(mixed) => Shown::text(match a.output.format {
            Format::Json => json(&sheet::json::mix(&mixed)),
            Format::Html => sheet::html::mix(&mixed),
            Format::Text => sheet::terminal::mix(&mixed, width(a.output.width)),
        }),
        Outcome::Refused(review) => refused(None, &review, &a.output),
    })
}

/// Reads what `mix`, `neutralise` and `correct` share; every fault is reported.
pub fn inputs(a: &MixArgs) -> Checked<(Vec<crate::reference::Ingredient>, MixConditions, Conditions)> {
    let system = a.measures.into();
    let mut faults = Vec::new();
    let carbonate = match a.carbonate.as_deref() {
        None => None,
        Some("closed") => Some(Carbonate::Closed),
        Some("aired") => Some(Carbonate::Aired),
        Some("fizzing") => Some(Carbonate::Fizzing),
        Some(other) => {
            let allowed = format!("`{other}` is not allowed; allowed: closed, aired or fizzing");
            faults.push(Problem::error(allowed).in_field("--carbonate"));
            None
        }
    };
    let around = gather(conditions(&a.around, system), &mut faults);
    let all = gather(ingredients(&a.ingredients, system), &mut faults);
    match (all, around, faults.is_empty()) {
        (Some(all), Some(around), true) => {
            let temperature = around.temperature.unwrap_or_else(|| celsius(20.0));
            Ok((all, MixConditions { temperature, carbonate }, around))
        }
        _ => Err(Problems(faults)),
    }
}
