//! The one place where YAML is read at run time: recipes, orders, benches.
//!
//! Two passes. An event parser builds a tree that knows the line and column of every key and value, and bounds size,
//! depth and aliases; the tree is held against a table of fields ([`Shape`]), so that every unknown, repeated, missing
//! or wrongly built field is found in one run. Then `serde_yaml` makes a raw structure of plain strings of what the first
//! pass has passed: the whole file, or, when faults were found, what is left of it without them, so that the contents of the
//! rest are checked in the same run. It stops at the first fault and places few, so it never sees a faulty field.
//!
//! Every value arrives as the text that was written: `0.1` is never a binary number.

mod faults;
mod json_schema;
mod shape;
mod tree;

pub use faults::Faults;
pub use json_schema::json_schema;
pub use shape::{Field, Shape};
pub(crate) use shape::{clip, flag};
pub use tree::{MAX_ALIASED_VALUES, MAX_BYTES, MAX_DEPTH, MAX_VALUES};

use crate::diag::{Checked, Place, Problem, Problems};
use serde::de::DeserializeOwned;
use tree::Node;

/// A file as read: the raw values, and the places of all of them.
#[derive(Debug)]
pub struct Reading<T> {
    /// What the file says, as text. Faulty fields are left out.
    pub raw: T,
    /// What was wrong so far.
    pub problems: Vec<Problem>,
    /// Where everything stands.
    pub document: Document,
}

/// Where everything stands in a file.
#[derive(Debug)]
pub struct Document {
    file: String,
    root: Node,
}

/// Reads a file into raw values of plain text.
///
/// # Errors
/// What makes the whole file unreadable: too large, not YAML, too deep, or nothing left after the faulty fields.
/// Everything else is in [`Reading::problems`].
pub fn read<T: DeserializeOwned>(text: &str, file: &str, shape: &Shape) -> Checked<Reading<T>> {
    let text = without_mark(text);
    let (mut root, mut problems) = tree::parse(text).map_err(|p| p.in_file(file))?;
    shape::mend(&mut root, shape, &shape::Path::Top, &mut problems);
    let value = shape::check(&mut root, shape, &mut problems);
    let document = Document { file: file.to_string(), root };
    let problems = document.placed(Problems(problems)).0;
    match serde_yaml::from_value(value.unwrap_or(serde_yaml::Value::Mapping(Default::default()))) {
        Ok(raw) => Ok(Reading { raw, problems, document }),
        Err(e) => {
            // Too little is left.
            let mut all = problems;
            if all.is_empty() {
                let place = Place { file: Some(file.to_string()), ..Place::default() };
                all.push(Problem::error(format!("the file cannot be read: {e}")).at(place));
            }
            Err(Problems(all))
        }
    }
}

/// The fields at the top of a text that is a map; a text that is none, or no YAML, has none.
pub fn top_fields(text: &str) -> Vec<String> {
    match tree::parse(without_mark(text)).map(|(root, _)| root.kind) {
        Ok(tree::Kind::Map(entries)) => entries.into_iter().map(|e| e.key).collect(),
        _ => Vec::new(),
    }
}

/// The byte order mark that some editors write is no part of the text.
fn without_mark(text: &str) -> &str {
    text.strip_prefix('\u{feff}').unwrap_or(text)
}

impl Document {
    /// A file whose places are not known: everything stands at its beginning.
    pub fn without_places(file: &str) -> Self {
        Document { file: file.to_string(), root: Node::nothing() }
    }

    /// The place of the value at a path such as `ingredients[2].line`; of its nearest ancestor when it is not there.
    pub fn place(&self, path: &str) -> Place {
        let at = self.root.at(path);
        Place {
            file: Some(self.file.clone()),
            line: Some(at.line),
            column: Some(at.column),
            field: (!path.is_empty()).then(|| path.to_string()),
        }
    }

    /// Adds file, line and column to every problem that has only a field.
    pub fn placed(&self, mut problems: Problems) -> Problems {
        for p in &mut problems.0 {
            if p.place.file.is_none() && p.place.line.is_none() {
                let field = p.place.field.take();
                p.place = self.place(field.as_deref().unwrap_or(""));
            } else if p.place.file.is_none() {
                p.place.file = Some(self.file.clone());
            }
        }
        problems
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[derive(Debug, serde::Deserialize, PartialEq)]
    struct Raw {
        name: Option<String>,
        #[serde(default)]
        sizes: Vec<String>,
    }

    static SHAPE: Shape = Shape::Map(&[
        Field::must("name", Shape::Words, "What it is called.", "tall jar"),
        Field::may("sizes", Shape::List(&Shape::Figure), "Sizes.", "[1 mm]"),
    ]);

    fn faults(text: &str) -> Vec<String> {
        match read::<Raw>(text, "t.yaml", &SHAPE) {
            Ok(r) => r.problems.iter().map(|p| p.to_string()).collect(),
            Err(p) => p.0.iter().map(|p| p.to_string()).collect(),
        }
    }

    #[test]
    fn numbers_arrive_as_they_were_written() {
        let r = read::<Raw>("name: 007\nsizes: [0.1, 1e3, 0x10, yes]\n", "t.yaml", &SHAPE).unwrap();
        assert_eq!(r.raw.name.as_deref(), Some("007"));
        assert_eq!(r.raw.sizes, ["0.1", "1e3", "0x10", "yes"]);
        assert_eq!(r.document.place("sizes[1]").column, Some(14));
    }

    #[test]
    fn all_faults_of_a_file_come_in_one_run() {
        let found = faults("nmae: a\nsizes: [.nan, [1]]\nsizes: 3\n");
        // The misspelt name is one fault: it is not missing as well.
        assert_eq!(found.len(), 5, "{found:#?}");
        assert!(
            found.iter().any(|f| f.contains("line 1, column 1, field `nmae`") && f.contains("`name`")),
            "{found:#?}"
        );
        assert!(found.iter().any(|f| f.contains("field `sizes[0]`") && f.contains("not a number")), "{found:#?}");
        assert!(found.iter().any(|f| f.contains("line 3, column 1") && f.contains("line 2")), "{found:#?}");
    }

    #[test]
    fn what_stands_under_a_misspelt_field_is_read_and_not_missed() {
        let found = faults("nmae: a\nsizs: [.nan, 1 mm, .inf]\n");
        assert_eq!(found.len(), 4, "{found:#?}");
        assert!(found.iter().all(|f| !f.contains("missing")), "{found:#?}");
        // A word that is near nothing, or near what is there already, stands for nothing.
        for text in ["colour: a\n", "name: a\nnaem: b\n"] {
            let found = faults(text);
            assert_eq!(found.len(), if text.starts_with('c') { 2 } else { 1 }, "{found:#?}");
        }
    }

    #[test]
    fn aliases_are_bounded_and_never_cyclic() {
        assert!(faults("name: &a x\nsizes: [*a]\n").is_empty());
        assert!(faults("name: x\nsizes: &a [*a]\n")[0].contains("itself"));
        let mut bomb = String::from("name: x\nsizes:\n- &a0 [x, x, x, x, x, x, x, x, x, x]\n");
        for i in 1..9 {
            bomb += &format!("- &a{i} [{}]\n", vec![format!("*a{}", i - 1); 10].join(", "));
        }
        assert!(faults(&bomb).iter().any(|f| f.contains("aliases")));
        assert!(faults("sizes: &a 1\n? [x]\n: 2\n").iter().any(|f| f.contains("key")));
    }

    #[test]
    fn size_depth_tags_and_documents_are_bounded() {
        assert!(faults(&"[".repeat(100))[0].contains("deep"));
        assert!(faults(&format!("name: {}", "x".repeat(MAX_BYTES)))[0].contains("4 MB"));
        assert!(faults("name: !!int 3\n")[0].contains("tag"));
        assert!(faults("name: !!str 3\n").is_empty());
        assert!(faults("name: a\n---\nname: b\n")[0].contains("second document"));
        assert!(faults("")[0].contains("empty"));
        assert!(faults("name:\n")[0].contains("empty"));
        assert!(faults("name: 'null'\n").is_empty());
    }
}
