//! `check`: reviews a mixture; prints no amounts.

use super::args::{CheckArgs, Format};
use super::common::{MOST_YAML_BYTES, conditions, ingredients, read_yaml_text, width};
use super::{Failure, Shown};
use crate::diag::Problem;
use crate::safety::{Verdict, check};
use crate::sheet;

pub fn run(a: &CheckArgs) -> Result<Shown, Failure> {
    debug_assert!(MOST_YAML_BYTES > 0);
    let system = a.measures.into();
    let mut lines = Vec::new();
    let mut around = conditions(&a.around, system)?;
    if let Some(file) = &a.file {
        let text = read_yaml_text(file)?;
        let mix = crate::order::read_mix(&text, &file.display().to_string())?;
        lines.extend(mix.lines);
        around = mix.conditions.or(around);
    }
    lines.extend(a.ingredients.iter().cloned());
    if lines.is_empty() {
        return Err(Problem::error("nothing to check")
            .hint("name the ingredients, such as `bathwright check \"1/4 cup vinegar 5%\" \"1/4 cup hydrogen peroxide 3 %\"`")
            .into());
    }
    let all = ingredients(&lines, system)?;
    let review = check(&all, &around);
    let out = match a.format {
        Format::Json => sheet::json::text(&sheet::json::check(&review)),
        Format::Text => sheet::terminal::check(&review, width(a.width)),
    };
    Ok(if review.verdict == Verdict::Refuse { Shown::refused(out) } else { Shown::text(out) })
}
