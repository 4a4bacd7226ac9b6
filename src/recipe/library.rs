//! The recipes shipped inside the program, and a user's own beside them.

use super::read::read_shipped;
use super::{Recipe, read_recipe};
use crate::diag::{Checked, Place, Problem, Problems, nearest};
use std::borrow::Cow;

mod embedded {
    //! Written by the build script from the files of `recipes/`, sorted by id: (id, file, text, what it says).
    include!(concat!(env!("OUT_DIR"), "/recipes.rs"));
}

/// Ids of the embedded recipes, sorted.
pub fn embedded_ids() -> impl Iterator<Item = &'static str> {
    embedded::RECIPES.iter().map(|(id, ..)| *id)
}

/// The YAML text of an embedded recipe.
pub fn find_embedded(id: &str) -> Option<&'static str> {
    embedded::RECIPES.binary_search_by_key(&id, |(id, ..)| id).ok().map(|i| embedded::RECIPES[i].2)
}

/// One recipe of a library.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// Its id.
    pub id: Cow<'static, str>,
    /// The file it stands in.
    pub file: Cow<'static, str>,
    /// The text of the file.
    pub text: Cow<'static, str>,
    /// What it says, for one that was shipped inside the program.
    pub(super) shipped: Option<&'static [u8]>,
}

/// Recipes by id: the embedded ones, and a user's.
#[derive(Debug, Clone)]
pub struct Library {
    entries: Vec<Entry>,
}

impl Default for Library {
    /// Only the embedded recipes.
    fn default() -> Self {
        let entries = embedded::RECIPES.iter().map(|(id, file, text, says)| Entry {
            id: Cow::Borrowed(*id),
            file: Cow::Borrowed(*file),
            text: Cow::Borrowed(*text),
            shipped: Some(says),
        });
        Library { entries: entries.collect() }
    }
}

impl Library {
    /// All recipes, sorted by id.
    pub fn entries(&self) -> &[Entry] {
        &self.entries
    }

    /// Reads the recipe with this id.
    ///
    /// # Errors
    /// An unknown id, or everything that is wrong with the recipe.
    pub fn recipe(&self, id: &str) -> Checked<Recipe> {
        match self.entries.iter().find(|e| e.id == id) {
            Some(entry) => match entry.shipped.and_then(read_shipped) {
                Some(recipe) => Ok(recipe),
                None => read_recipe(&entry.text, &entry.file),
            },
            None => {
                let p = Problem::error(format!("there is no recipe `{}`", crate::reference::yaml::clip(id)));
                let near = nearest(id, self.entries.iter().map(|e| e.id.as_ref()));
                Err(match near {
                    Some(near) => p.hint(format!("did you mean `{near}`?")),
                    None => p.hint("`recipes` lists them; a name with a slash or an extension is read as a file"),
                }
                .into())
            }
        }
    }
}

/// The embedded recipes and a user's files (name, text). A user's folder can only add: an id or title that is taken is
/// an error that names both places.
///
/// # Errors
/// Everything that is wrong with the user's files, and every name that is taken.
pub fn library_with(user_files: &[(String, String)]) -> Checked<Library> {
    let mut library = Library::default();
    let mut titles = titles(&library);
    let mut problems = Vec::new();
    for (file, text) in user_files {
        let recipe = match read_recipe(text, file) {
            Ok(recipe) => recipe,
            Err(found) => {
                problems.extend(found.0);
                continue;
            }
        };
        let mut taken = |field: &str, value: &str, by: &str| {
            let place = Place { file: Some(file.clone()), field: Some(field.into()), ..Place::default() };
            let message = format!("`{value}` is taken by {by}; a user's recipe can only add");
            problems.push(Problem::error(message).at(place).hint("give it a name of its own"));
        };
        let by_id = library.entries.iter().find(|e| e.id == recipe.id);
        let by_title = titles.iter().find(|(title, _)| title.eq_ignore_ascii_case(recipe.title.trim()));
        if let Some(entry) = by_id {
            taken("id", &recipe.id, &entry.file);
        }
        if let (Some((_, other)), None) = (by_title, by_id) {
            taken("title", &recipe.title, other);
        }
        if by_id.is_none() && by_title.is_none() {
            titles.push((recipe.title.trim().to_string(), file.clone()));
            library.entries.push(Entry {
                id: Cow::Owned(recipe.id),
                file: Cow::Owned(file.clone()),
                text: Cow::Owned(text.clone()),
                shipped: None,
            });
        }
    }
    library.entries.sort_by(|a, b| a.id.cmp(&b.id));
    if problems.is_empty() { Ok(library) } else { Err(Problems(problems)) }
}

/// Titles with their files, read only when a user's files have to be held against them.
fn titles(library: &Library) -> Vec<(String, String)> {
    let read = library.entries.iter().filter_map(|e| {
        // An embedded recipe that did not read would be named by its own test, not here.
        read_recipe(&e.text, &e.file).ok().map(|r| (r.title, e.file.to_string()))
    });
    read.collect()
}
