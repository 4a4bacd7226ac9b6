//! `recipes`: the list, filtered, each with the verdict at its own strength.

use super::args::{PlainFormat, RecipesArgs};
use super::common::{finish, gather, json, known_metal, known_rule, width};
use super::inputs::{bench, library};
use super::{Failure, Shown};
use crate::amount::read_temperature;
use crate::diag::{Checked, Problems};
use crate::plan::{Sieve, list};
use crate::sheet;

pub fn run(a: &RecipesArgs) -> Result<Shown, Failure> {
    let sieve = sieve(a)?;
    let library = library(a.recipes.as_deref())?;
    let recipes = match &a.id {
        Some(id) => vec![library.recipe(id)?],
        None => library.entries().iter().map(|e| library.recipe(&e.id)).collect::<Checked<Vec<_>>>()?,
    };
    let listing = list(recipes, &sieve);
    Ok(Shown::text(match a.format {
        PlainFormat::Json => json(&sheet::json::recipes(&listing)),
        PlainFormat::Text => sheet::terminal::recipes(&listing, width(a.width)),
    }))
}

/// What the command line asks for; every fault of it is reported.
fn sieve(a: &RecipesArgs) -> Checked<Sieve> {
    let mut problems = Vec::new();
    let sieve = Sieve {
        metal: a.metal.as_deref().and_then(|m| gather(known_metal(m, "--metal"), &mut problems)),
        finish: a.finish.as_deref().and_then(|f| gather(finish(f, "--finish"), &mut problems)),
        hazard: a.hazard.as_deref().and_then(|h| gather(known_rule(h, "--hazard"), &mut problems)).map(str::to_string),
        bench: a.bench.as_deref().and_then(|b| gather(bench(Some(b)), &mut problems)),
        temperature: a
            .temperature
            .as_deref()
            .and_then(|t| gather(read_temperature(t).map_err(|p| p.in_field("--temperature")), &mut problems)),
    };
    if problems.is_empty() { Ok(sieve) } else { Err(Problems(problems)) }
}
