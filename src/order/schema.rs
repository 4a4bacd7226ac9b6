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
