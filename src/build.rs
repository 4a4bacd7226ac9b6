//! Compiles the tables of `shared/` into the program.
//!
//! Each table is read as YAML into the types of `reference/schema` and written as program text, so that the program
//! neither parses nor decodes a table at start. A table that does not fit its type stops the build with its place.

#[path = "recipe/raw.rs"]
mod raw;
#[path = "reference/schema/mod.rs"]
mod schema;

use databake::{Bake, CrateEnv};
use std::path::Path;
use std::process::Command;

fn table<T: Bake + serde::de::DeserializeOwned>(name: &str) -> T {
    let from = Path::new("shared").join(format!("{name}.yaml"));
    println!("cargo::rerun-if-changed={}", from.display());
    let text = std::fs::read_to_string(&from).unwrap_or_else(|e| panic!("{}: {e}", from.display()));
    let value: T = serde_yaml::from_str(&text).unwrap_or_else(|e| panic!("{}: {e}", from.display()));
    embed(name, &value);
    value
}

fn embed(name: &str, value: &impl Bake) {
    let text = value.bake(&CrateEnv::default()).to_string();
    let out = std::env::var("OUT_DIR").expect("cargo sets OUT_DIR for build scripts");
    std::fs::write(Path::new(&out).join(format!("{name}.rs")), text).expect("OUT_DIR can be written");
}

/// Lists the files of `recipes/` by id, so that a new recipe is one file: its text, and what it says as postcard bytes, so
/// that the program need not read YAML of its own. That each is sound is for a test.
fn recipes() {
    println!("cargo::rerun-if-changed=recipes");
    println!("cargo::rerun-if-changed=src/recipe/raw.rs");
    let mut ids: Vec<String> = std::fs::read_dir("recipes")
        .expect("recipes/ can be listed")
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok()?.strip_suffix(".yaml").map(str::to_string))
        .collect();
    ids.sort();
    let out = std::env::var("OUT_DIR").expect("cargo sets OUT_DIR for build scripts");
    let mut list = String::from("pub(super) static RECIPES: &[(&str, &str, &str, &[u8])] = &[\n");
    for id in ids {
        let from = format!("recipes/{id}.yaml");
        println!("cargo::rerun-if-changed={from}");
        let text = std::fs::read_to_string(&from).unwrap_or_else(|e| panic!("{from}: {e}"));
        let raw: raw::RawRecipe = serde_yaml::from_str(&text).unwrap_or_else(|e| panic!("{from}: {e}"));
        let bytes = postcard::to_allocvec(&raw).unwrap_or_else(|e| panic!("{from}: {e}"));
        std::fs::write(Path::new(&out).join(format!("{id}.recipe")), bytes).expect("OUT_DIR can be written");
        let path = format!("concat!(env!(\"CARGO_MANIFEST_DIR\"), \"/{from}\")");
        let raw = format!("concat!(env!(\"OUT_DIR\"), \"/{id}.recipe\")");
        list += &format!("    ({id:?}, {from:?}, include_str!({path}), include_bytes!({raw})),\n");
    }
    list += "];\n";
    std::fs::write(Path::new(&out).join("recipes.rs"), list).expect("OUT_DIR can be written");
}

/// What spares work at every start where the linker is known to take it. The tables are full of pointers, and moving each
/// of them takes longer than most commands, so the program is linked to a fixed address. The unwinder is linked in where
/// the compiler has it as an archive: finding and mapping its library takes a tenth of the time of an empty program.
fn quick_start() {
    let target = |key: &str| std::env::var(format!("CARGO_CFG_TARGET_{key}")).unwrap_or_default();
    if target("OS") != "linux" || target("ENV") != "gnu" {
        return;
    }
    println!("cargo::rustc-link-arg-bins=-no-pie");
    let linker = std::env::var_os("RUSTC_LINKER").unwrap_or_else(|| "cc".into());
    let archive = Command::new(linker).arg("-print-file-name=libgcc_eh.a").output();
    // The compiler answers with the bare name where it has no such file.
    if archive.is_ok_and(|a| Path::new(String::from_utf8_lossy(&a.stdout).trim()).is_absolute()) {
        println!("cargo::rustc-link-lib=static:-bundle=gcc_eh");
    }
}

fn main() {
    quick_start();
    println!("cargo::rerun-if-changed=src/build.rs");
    println!("cargo::rerun-if-changed=src/reference/schema");
    let substances = table::<schema::SubstanceTable>("substances");
    let everyday = table::<schema::EverydayTable>("everyday");
    embed("names", &schema::index(&substances, &everyday).unwrap_or_else(|e| panic!("shared/everyday.yaml: {e}")));
    table::<schema::ExposureTable>("exposure");
    table::<schema::GloveTable>("gloves");
    let materials = table::<schema::MaterialTable>("materials");
    embed("material_names", &schema::material_names(&materials));
    table::<schema::SolutionTable>("solutions");
    recipes();
    table::<schema::StatementTable>("statements");
    let incompatible = table::<schema::IncompatibleTable>("incompatible");
    embed("by_substance", &schema::by_substance(&incompatible));
    table::<schema::MeasureTable>("measures");
    table::<schema::RetailTable>("retail");
}
