//! The tables of `shared/`, each value with its source, and the look-up of names.

mod ingredient;
pub mod schema;

pub use ingredient::{Ingredient, Meaning, read_ingredient, resolve};
pub use schema::{Material, MaterialKind, Source, Substance};

use once_cell::sync::Lazy;
use schema::{MaterialTable, SubstanceTable};

/// Reads an embedded table. The build script wrote it from the same types, so it cannot fail to decode.
macro_rules! embedded {
    ($name:literal, $type:ty) => {
        Lazy::new(|| {
            let bytes: &'static [u8] = include_bytes!(concat!(env!("OUT_DIR"), "/", $name, ".bin"));
            postcard::from_bytes::<$type>(bytes).expect("the build script wrote this table from the same type")
        })
    };
}

// After the macro, which it uses.
mod measures;
pub use measures::{bulk_density, bulk_solids, volume_measures};

static SUBSTANCES: Lazy<SubstanceTable> = embedded!("substances", SubstanceTable);
static MATERIALS: Lazy<MaterialTable> = embedded!("materials", MaterialTable);

/// All substances, sorted by id.
pub fn substances() -> &'static [Substance] {
    &SUBSTANCES.substances
}

/// The substance with this id.
pub fn substance(id: &str) -> Option<&'static Substance> {
    substances().iter().find(|s| s.id == id)
}

/// All materials, sorted by id.
pub fn materials() -> &'static [Material] {
    &MATERIALS.materials
}

/// The material with this id, name or alias (whole name, case ignored).
pub fn material(name: &str) -> Option<&'static Material> {
    let name = name.trim().to_lowercase();
    materials()
        .iter()
        .find(|m| m.id == name || m.name.to_lowercase() == name || m.aliases.iter().any(|a| a.to_lowercase() == name))
}
