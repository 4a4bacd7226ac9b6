//! Recipes, benches, vessels and targets as named on the command line.

use super::common::{gather, read_yaml_text};
use super::mesh_file::read_mesh;
use crate::amount::{MeasureSystem, read_amount, read_volume};
use crate::diag::{Checked, Place, Problem, Problems};
use crate::order::{Bench, Target, is_path, read_bench};
use crate::recipe::{Library, Recipe, from_lines, library_with, read_recipe};
use crate::vessel::{Vessel, read_vessel};
use std::borrow::Cow;
use std::path::Path;

/// Whether a word is an ingredient line rather than a recipe id.
fn is_line(word: &str) -> bool {
    word.trim().contains(char::is_whitespace)
}

/// The embedded recipes, and the `.yaml` files of a user's folder beside them.
pub fn library(folder: Option<&Path>) -> Checked<Library> {
    let Some(folder) = folder else { return Ok(Library::default()) };
    let entries = std::fs::read_dir(folder).map_err(|e| {
        Problem::error(format!("the folder cannot be read: {e}"))
            .at(Place { file: Some(folder.display().to_string()), ..Place::default() })
    })?;
    let mut paths: Vec<_> = entries
        .filter_map(|e| e.ok().map(|e| e.path()))
        .filter(|p| p.extension().is_some_and(|e| e == "yaml" || e == "yml"))
        .collect();
    paths.sort();
    let mut files = Vec::new();
    let mut problems = Vec::new();
    for path in paths {
        if let Some(text) = gather(read_yaml_text(&path), &mut problems) {
            files.push((path.display().to_string(), text));
        }
    }
    match library_with(&files) {
        Ok(library) if problems.is_empty() => Ok(library),
        Ok(_) => Err(Problems(problems)),
        Err(more) => {
            problems.extend(more.0);
            Err(Problems(problems))
        }
    }
}

/// A recipe from an id, a file, or ingredient lines.
pub fn recipe(what: &[String], measures: MeasureSystem, library: &Library) -> Checked<Recipe> {
    match what {
        [one] if is_path(one) => read_recipe(&read_yaml_text(Path::new(one))?, one),
        [one] if !is_line(one) => library.recipe(one).map_err(|p| p.in_field("RECIPE")),
        lines => {
            from_lines(lines, measures).map_err(|Problems(list)| Problems(list.into_iter().map(counted).collect()))
        }
    }
}

/// A problem of a line on the command line, counted from 1 as `mix` and `check` count.
fn counted(mut problem: Problem) -> Problem {
    let said = problem.place.field.as_deref().and_then(|field| {
        let (number, rest) = field.strip_prefix('[')?.split_once(']')?;
        Some(format!("ingredient {}{rest}", number.parse::<usize>().ok()? + 1))
    });
    problem.place.field = said.or(problem.place.field);
    problem
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
pub fn target(
    to: Option<&str>,
    finished: Option<&str>,
    recipe: &Recipe,
    system: MeasureSystem,
) -> Checked<Option<Target>> {
    match (to, finished) {
        (Some(t), _) => {
            let amount = read_amount(t, system).map_err(|p| p.in_field("--to"))?;
            Ok(Some(Target::to(recipe, amount)))
        }
        (None, Some(f)) => Ok(Some(Target::Finished(read_volume(f, system).map_err(|p| p.in_field("--finished"))?))),
        (None, None) => Ok(None),
    }
}

/// Bytes of a file that a part or an order names, relative to `folder`.
pub fn load(name: &str, folder: &Path) -> Checked<Cow<'static, [u8]>> {
    read_mesh(&folder.join(name)).map(Cow::Owned)
}
