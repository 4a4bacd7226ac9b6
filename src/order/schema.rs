//! The published schemas, made from the tables that the readers check against.

use super::fields::{BENCH, ORDER};
use crate::recipe::RECIPE;
use crate::reference::yaml;

/// The kinds of file a person writes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FileKind {
    /// A recipe.
    Recipe,
    /// One job.
    Order,
    /// What the person has.
    Bench,
}

impl FileKind {
    /// All kinds.
    pub const ALL: [FileKind; 3] = [FileKind::Recipe, FileKind::Order, FileKind::Bench];

    /// Its name on the command line.
    pub fn name(self) -> &'static str {
        match self {
            FileKind::Recipe => "recipe",
            FileKind::Order => "order",
            FileKind::Bench => "bench",
        }
    }

    /// The kind with this name.
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.name() == name)
    }
}

/// The JSON Schema (draft 2020-12) of a kind of file. Shapes are in it; what the texts may say is in the descriptions.
pub fn json_schema(kind: FileKind) -> serde_json::Value {
    let (title, what, shape) = match kind {
        FileKind::Recipe => ("Bathwright recipe", "One recipe for an ageing bath.", &RECIPE),
        FileKind::Order => ("Bathwright order", "One job: recipe, parts, vessel, start.", &ORDER),
        FileKind::Bench => {
            ("Bathwright bench", "What a person has: stocks, tools, ballast, vessels, room, gear.", &BENCH)
        }
    };
    yaml::json_schema(title, what, shape)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::order::{Surroundings, read_bench, read_order};
    use crate::recipe::{Library, read_recipe};
    use crate::reference::yaml::Shape;

    /// A file that uses every field of the table once, in YAML's flow style.
    fn everything(shape: &Shape, example: &str) -> String {
        match shape {
            Shape::Map(fields) => {
                let inside: Vec<String> =
                    fields.iter().map(|f| format!("{}: {}", f.name, everything(&f.shape, f.example))).collect();
                format!("{{{}}}", inside.join(", "))
            }
            Shape::List(inner) | Shape::Filled(inner) => match inner {
                Shape::Map(_) | Shape::TextOr(_) => format!("[{}]", everything(inner, "")),
                _ => example.to_string(),
            },
            Shape::TextOr(Shape::List(_)) => serde_json::json!(example).to_string(),
            Shape::TextOr(other) => everything(other, example),
            Shape::Flag => example.to_string(),
            Shape::Words | Shape::Figure | Shape::Choice(_) => serde_json::json!(example).to_string(),
        }
    }

    #[test]
    fn every_field_of_the_tables_is_read_into_a_raw_field_and_its_example_is_good() {
        let library = Library::default();
        let load = |_: &str| Err(crate::diag::Problem::error("no such file").into());
        let around = Surroundings { load: &load, zone: jiff::tz::TimeZone::UTC, library: &library };
        for (kind, shape) in [(FileKind::Recipe, &RECIPE), (FileKind::Bench, &BENCH), (FileKind::Order, &ORDER)] {
            let text = everything(shape, "");
            let problems = match kind {
                FileKind::Recipe => read_recipe(&text, "all").err(),
                FileKind::Bench => read_bench(&text, "all").err(),
                FileKind::Order => read_order(&text, "all", &around).err(),
            };
            let problems: Vec<String> = problems.into_iter().flat_map(|p| p.0).map(|p| p.message).collect();
            // Fields that exclude each other stand side by side here: those faults are right, any other is not.
            let excluded = ["say one of them", "no such file", "has either", "write the material into"];
            let left: Vec<&String> = problems.iter().filter(|m| !excluded.iter().any(|e| m.contains(e))).collect();
            assert!(left.is_empty(), "{}: {left:#?}", kind.name());
        }
    }

    #[test]
    fn the_schema_lists_what_the_check_knows() {
        for kind in FileKind::ALL {
            let schema = json_schema(kind);
            assert_eq!(FileKind::from_name(kind.name()), Some(kind));
            assert_eq!(schema["$schema"], "https://json-schema.org/draft/2020-12/schema");
            assert_eq!(schema["additionalProperties"], false);
        }
        let recipe = json_schema(FileKind::Recipe);
        assert_eq!(recipe["properties"]["ingredients"]["items"]["required"], serde_json::json!(["line"]));
        assert_eq!(recipe["properties"]["ingredients"]["minItems"], 1);
        assert_eq!(recipe["properties"]["cover"]["enum"], serde_json::json!(["open", "loose", "sealed"]));
    }
}
