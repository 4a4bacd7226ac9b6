//! Shapes of the tables in `shared/`, which the build script reads from YAML and writes as the program text that the
//! library includes.
//!
//! Only `serde` and `databake` may be used here.

mod by_substance;
mod component;
mod everyday;
mod exposure;
mod glove;
mod hazard;
mod incompatible;
mod list;
mod material;
mod measure;
mod name;
mod retail;
mod role;
mod solution;
mod statement;
mod substance;

pub use by_substance::*;
pub use component::*;
pub use everyday::*;
pub use exposure::*;
pub use glove::*;
pub use hazard::*;
pub use incompatible::*;
pub use list::*;
pub use material::*;
pub use measure::*;
pub use name::*;
pub use retail::*;
pub use role::*;
pub use solution::*;
pub use statement::*;
pub use substance::*;

use databake::Bake;
use serde::Deserialize;
use std::borrow::Cow;

/// Text of a table.
pub type Text = Cow<'static, str>;

/// Where a value comes from.
#[derive(Debug, Clone, Deserialize, Bake)]
#[databake(path = crate::reference::schema)]
#[serde(deny_unknown_fields)]
pub struct Source {
    /// Document, standard or book.
    pub doc: Text,
    /// Table, section or page.
    #[serde(default)]
    pub at: Text,
    /// `read`, `recalled` or `computed`, with what else there is to say.
    pub status: Text,
}
