//! Recipes, benches, vessels and targets as named on the command line.

use super::common::{MOST_MESH_BYTES, read_bytes, read_yaml_text};
use crate::amount::{MeasureSystem, read_amount, read_volume};
use crate::diag::{Checked, Problem, nearest};
use crate::order::{Bench, Target, read_bench};
use crate::recipe::{self, Recipe};
use crate::vessel::{Vessel, read_vessel};
use std::path::Path;

/// Whether a word names a file: it has a slash or an extension.
pub fn is_path(word: &str) -> bool {
    word.contains('/') || word.contains('\\') || Path::new(word).extension().is_some_and(|e| e.to_string_lossy().chars().all(char::is_alphanumeric) && !word.contains(' '))
}

/// Whether a word is an ingredient line rather than a recipe id.
fn is_line(word: &str) -> bool {
    word.trim().contains(char::is_whitespace)
}

/// A recipe from an id, a file, or ingredient lines.
pub fn recipe(what: &[String], measures: MeasureSystem) -> Checked<Recipe> {
    match what {
        [one] if is_path(one) => {
            let text = read_yaml_text(Path::new(one))?;
            recipe::read_recipe(&text, one)
        }
        [one] if !is_line(one) => by_id(one),
        lines => recipe::from_lines(lines, measures),
    }
}

/// An embedded recipe.
pub fn by_id(id: &str) -> Checked<Recipe> {
    match recipe::find_embedded(id) {
        Some(text) => recipe::read_recipe(text, &format!("recipes/{id}.yaml")),
        None => {
            let known: Vec<&str> = recipe::embedded_ids().collect();
            let mut p = Problem::error(format!("there is no recipe `{id}`")).in_field("RECIPE");
            if let Some(near) = nearest(id, known.iter().copied()) {
                p = p.hint(format!("did you mean `{near}`?"));
            }
            Err(p.hint("`bathwright recipes` lists them; a word with a slash or an extension is read as a file").into())
        }
    }
}

/// A bench file, or an empty bench.
pub fn bench(file: Option<&Path>) -> Checked<Bench> {
    match file {
        None => Ok(Bench::default()),
        Some(path) => read_bench(&read_yaml_text(path)?, &path.display().to_string()),
    }
}

/// A vessel by its name on the bench, or as written.
pub fn vessel(text: &str, bench: &Bench) -> Checked<Vessel> {
    match bench.vessels.iter().find(|v| v.name.eq_ignore_ascii_case(text.trim())) {
        Some(v) => Ok(v.clone()),
        None => read_vessel(text).map_err(|p| p.in_field("--vessel")),
    }
}

/// What to scale to.
pub fn target(to: Option<&str>, finished: Option<&str>, system: MeasureSystem) -> Checked<Option<Target>> {
    match (to, finished) {
        (Some(t), _) => Ok(Some(Target::Poured(read_amount(t, system).map_err(|p| p.in_field("--to"))?))),
        (None, Some(f)) => Ok(Some(Target::Finished(read_volume(f, system).map_err(|p| p.in_field("--finished"))?))),
        (None, None) => Ok(None),
    }
}

/// Bytes of a file that a part or an order names, relative to `folder`.
pub fn load(name: &str, folder: &Path) -> Checked<Vec<u8>> {
    read_bytes(&folder.join(name), MOST_MESH_BYTES)
}
