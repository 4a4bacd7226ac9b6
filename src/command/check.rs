//! `check`: reviews a mixture; prints no amounts.

use super::args::{CheckArgs, Format};
use super::common::{conditions, ingredients_by, json, read_yaml_text, width};
use super::{Failure, Shown};
use crate::diag::Problem;
use crate::order::read_mix;
use crate::reference::read_or_ask;
use crate::reference::yaml::flag;
use crate::safety::{Verdict, check};
use crate::sheet;

pub fn run(a: &CheckArgs) -> Result<Shown, Failure> {
    let system = a.measures.into();
    let mut lines = Vec::new();
    let mut around = a.around.clone();
    if let Some(file) = &a.file {
        let name = file.display().to_string();
        let mix = read_mix(&read_yaml_text(file)?, &name)?;
        // The file's faults carry its name; what the command line says goes before what the file says.
        ingredients_by(&mix.ingredients, system, read_or_ask).map_err(|p| p.in_file(&name))?;
        lines.extend(mix.ingredients);
        around.vessel = around.vessel.or(mix.vessel);
        around.cover = around.cover.or(mix.cover);
        around.binder = around.binder.or(mix.binder);
        around.temperature = around.temperature.or(mix.temperature);
        around.room_m3 = around.room_m3.or(mix.room_m3);
        around.air_changes = around.air_changes.or(mix.air_changes);
        around.method = around.method.or(mix.method);
        around.kept = around.kept.or(mix.kept);
        around.outdoors |= mix.outdoors.as_deref().and_then(flag).unwrap_or(false);
        around.after = around.after.or((!mix.after.is_empty()).then(|| mix.after.join("; ")));
        around.parts.extend(mix.part);
        around.ballast.extend(mix.ballast);
    }
    lines.extend(a.ingredients.iter().cloned());
    if lines.is_empty() {
        return Err(Problem::error("nothing to check")
            .hint(
                "name the ingredients, such as `bathwright check \"1/4 cup vinegar 5%\" \"1/4 cup hydrogen peroxide 3 %\"`",
            )
            .into());
    }
    let review = check(&ingredients_by(&lines, system, read_or_ask)?, &conditions(&around, system)?);
    let out = match a.output.format {
        Format::Json => json(&sheet::json::check(&review)),
        Format::Html => sheet::html::check(&review),
        Format::Text => sheet::terminal::check(&review, width(a.output.width)),
    };
    Ok(if review.verdict == Verdict::Refuse { Shown::refused(out) } else { Shown::text(out) })
}
