//! `mix`: what a mixture is, with its review.

use super::args::{Format, MixArgs};
use super::common::{conditions, ingredients, json, refused, width};
use super::{Failure, Shown};
use crate::amount::celsius;
use crate::bath::{Carbonate, MixConditions};
use crate::diag::{Checked, Problem};
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

/// Reads what `mix` and `neutralise` share.
pub fn inputs(a: &MixArgs) -> Checked<(Vec<crate::reference::Ingredient>, MixConditions, Conditions)> {
    let system = a.measures.into();
    let around = conditions(&a.around, system)?;
    let carbonate = match a.carbonate.as_deref() {
        None => None,
        Some("closed") => Some(Carbonate::Closed),
        Some("aired") => Some(Carbonate::Aired),
        Some("fizzing") => Some(Carbonate::Fizzing),
        Some(other) => {
            return Err(Problem::error(format!("`{other}` is not allowed; allowed: closed, aired or fizzing"))
                .in_field("--carbonate")
                .into());
        }
    };
    let mixing = MixConditions { temperature: around.temperature.unwrap_or_else(|| celsius(20.0)), carbonate };
    Ok((ingredients(&a.ingredients, system)?, mixing, around))
}
