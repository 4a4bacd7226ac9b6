//! Shapes of the tables in `shared/`, used by the build script (from YAML) and by the library (from postcard).
//!
//! Only `serde` may be used here. Strings borrow from the embedded bytes.

mod borrowed;
mod everyday;
mod exposure;
mod glove;
mod hazard;
mod incompatible;
mod material;
mod measure;
mod name;
mod retail;
mod role;
mod solution;
mod statement;
mod substance;

pub use everyday::*;
pub use exposure::*;
pub use glove::*;
pub use hazard::*;
pub use incompatible::*;
pub use material::*;
pub use measure::*;
pub use name::*;
pub use retail::*;
pub use role::*;
pub use solution::*;
pub use statement::*;
pub use substance::*;

use serde::{Deserialize, Serialize};
use std::borrow::Cow;

/// Text that borrows from the embedded table.
pub type Text = Cow<'static, str>;

/// Where a value comes from.
#[derive(Debug, Clone, Serialize, Deserialize)]
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
