//! Compiles the tables of `shared/` into the compact form that the library embeds.
//!
//! Each table is read as YAML into the types of `reference/schema` and written as postcard bytes, so that the
//! program never parses YAML tables at start. A table that does not fit its type stops the build with its place.

#[path = "reference/schema/mod.rs"]
mod schema;

use std::path::Path;

/// `T` borrows from its text; the text of a table is leaked, once, in a process that ends soon after.
fn table<T: serde::Serialize + serde::Deserialize<'static>>(name: &str) -> T {
    let from = Path::new("shared").join(format!("{name}.yaml"));
    println!("cargo::rerun-if-changed={}", from.display());
    let text = std::fs::read_to_string(&from).unwrap_or_else(|e| panic!("{}: {e}", from.display()));
    let value: T = serde_yaml::from_str(text.leak()).unwrap_or_else(|e| panic!("{}: {e}", from.display()));
    embed(name, &value);
    value
}

fn embed<T: serde::Serialize>(name: &str, value: &T) {
    let bytes = postcard::to_allocvec(value).unwrap_or_else(|e| panic!("{name}: {e}"));
    let out = std::env::var("OUT_DIR").expect("cargo sets OUT_DIR for build scripts");
    std::fs::write(Path::new(&out).join(format!("{name}.bin")), bytes).expect("OUT_DIR can be written");
}

/// Lists the files of `recipes/` by id, so that a new recipe is one file.
fn recipes() {
    println!("cargo::rerun-if-changed=recipes");
    let mut ids: Vec<String> = std::fs::read_dir("recipes")
        .expect("recipes/ can be listed")
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok()?.strip_suffix(".yaml").map(str::to_string))
        .collect();
    ids.sort();
    let mut list = String::from("pub(super) static RECIPES: &[(&str, &str)] = &[\n");
    for id in ids {
        println!("cargo::rerun-if-changed=recipes/{id}.yaml");
        let path = format!("concat!(env!(\"CARGO_MANIFEST_DIR\"), \"/recipes/{id}.yaml\")");
        list += &format!("    ({id:?}, include_str!({path})),\n");
    }
    list += "];\n";
    let out = std::env::var("OUT_DIR").expect("cargo sets OUT_DIR for build scripts");
    std::fs::write(Path::new(&out).join("recipes.rs"), list).expect("OUT_DIR can be written");
}

fn main() {
    println!("cargo::rerun-if-changed=src/build.rs");
    println!("cargo::rerun-if-changed=src/reference/schema");
    let substances = table::<schema::SubstanceTable>("substances");
    let everyday = table::<schema::EverydayTable>("everyday");
    embed("names", &schema::index(&substances, &everyday).unwrap_or_else(|e| panic!("shared/everyday.yaml: {e}")));
    table::<schema::ExposureTable>("exposure");
    table::<schema::GloveTable>("gloves");
    table::<schema::MaterialTable>("materials");
    table::<schema::SolutionTable>("solutions");
    recipes();
    table::<schema::StatementTable>("statements");
    table::<schema::IncompatibleTable>("incompatible");
    table::<schema::MeasureTable>("measures");
    table::<schema::RetailTable>("retail");
}
