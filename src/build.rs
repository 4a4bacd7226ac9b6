//! Compiles the tables of `shared/` into the compact form that the library embeds.
//!
//! Each table is read as YAML into the types of `reference/schema` and written as postcard bytes, so that the
//! program never parses YAML tables at start. A table that does not fit its type stops the build with its place.

#[path = "reference/schema/mod.rs"]
mod schema;

use std::path::Path;

fn table<T: serde::Serialize + serde::de::DeserializeOwned>(name: &str) {
    let from = Path::new("shared").join(format!("{name}.yaml"));
    println!("cargo::rerun-if-changed={}", from.display());
    let text = std::fs::read_to_string(&from).unwrap_or_else(|e| panic!("{}: {e}", from.display()));
    let value: T = serde_yaml::from_str(&text).unwrap_or_else(|e| panic!("{}: {e}", from.display()));
    let bytes = postcard::to_allocvec(&value).unwrap_or_else(|e| panic!("{}: {e}", from.display()));
    let out = std::env::var("OUT_DIR").expect("cargo sets OUT_DIR for build scripts");
    std::fs::write(Path::new(&out).join(format!("{name}.bin")), bytes).expect("OUT_DIR can be written");
}

fn main() {
    println!("cargo::rerun-if-changed=src/build.rs");
    println!("cargo::rerun-if-changed=src/reference/schema");
    table::<schema::SubstanceTable>("substances");
    table::<schema::MaterialTable>("materials");
    table::<schema::MeasureTable>("measures");
}
