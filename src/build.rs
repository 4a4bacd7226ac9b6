//! Compiles the tables of `shared/` into the program.
//!
//! Each table is read as YAML into the types of `reference/schema` and written as program text, so that the program
//! neither parses nor decodes a table at start. A table that does not fit its type stops the build with its place.

#[path = "recipe/raw.rs"]
mod raw;
#[path = "reference/schema/mod.rs"]
mod schema;

use databake::{Bake, CrateEnv};
use std::path::{Path, PathBuf};
use std::process::Command;

fn out_dir() -> PathBuf {
    std::env::var_os("OUT_DIR").expect("cargo sets OUT_DIR for build scripts").into()
}

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
    std::fs::write(out_dir().join(format!("{name}.rs")), text).expect("OUT_DIR can be written");
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
    let mut list = String::from("pub(super) static RECIPES: &[(&str, &str, &str, &[u8])] = &[\n");
    for id in ids {
        let from = format!("recipes/{id}.yaml");
        println!("cargo::rerun-if-changed={from}");
        let text = std::fs::read_to_string(&from).unwrap_or_else(|e| panic!("{from}: {e}"));
        let raw: raw::RawRecipe = serde_yaml::from_str(&text).unwrap_or_else(|e| panic!("{from}: {e}"));
        let bytes = postcard::to_allocvec(&raw).unwrap_or_else(|e| panic!("{from}: {e}"));
        std::fs::write(out_dir().join(format!("{id}.recipe")), bytes).expect("OUT_DIR can be written");
        let path = format!("concat!(env!(\"CARGO_MANIFEST_DIR\"), \"/{from}\")");
        let raw = format!("concat!(env!(\"OUT_DIR\"), \"/{id}.recipe\")");
        list += &format!("    ({id:?}, {from:?}, include_str!({path}), include_bytes!({raw})),\n");
    }
    list += "];\n";
    std::fs::write(out_dir().join("recipes.rs"), list).expect("OUT_DIR can be written");
}

/// What spares work at every start where the linker is known to take it. The tables are full of pointers, and moving each
/// of them takes longer than most commands, so the program is linked to a fixed address. The unwinder is linked in where
/// the compiler has it as an archive: finding and mapping its library takes a tenth of the time of an empty program. And
/// what few commands run lies apart.
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
    rare_code_apart();
}

/// What most commands do not run: results for other programs and as pages, meshes in other formats or with faults, plans of
/// whole jobs, completions and the manual, the words of errors, and what tells where a panic came from.
const RARE: &[&str] = &[
    "bathwright::sheet::json",
    "bathwright::sheet::html",
    "bathwright::sheet::calendar",
    "bathwright::sheet::choose",
    "bathwright::sheet::explanation",
    "bathwright::sheet::measure",
    "bathwright::sheet::tumble",
    "bathwright::part::mesh::threemf",
    "bathwright::part::mesh::obj",
    "bathwright::part::mesh::ply",
    "bathwright::part::mesh::quick",
    "bathwright::part::mesh::measurement",
    "bathwright::part::mesh::repair",
    "bathwright::part::mesh::hull",
    "bathwright::part::mesh::shell",
    "bathwright::part::mesh::voxels",
    "bathwright::bath::correct",
    "bathwright::plan::choose",
    "bathwright::plan::job",
    "bathwright::plan::listed",
    "bathwright::plan::purchase",
    "bathwright::plan::trial",
    "bathwright::plan::tumble",
    "bathwright::command::choose",
    "bathwright::command::explain",
    "bathwright::command::help",
    "bathwright::command::measure",
    "bathwright::command::recipes",
    "bathwright::command::schema",
    "bathwright::command::tumble",
    "bathwright::diag",
    "bathwright::finishing::barrel",
    "bathwright::finishing::load",
    "bathwright::finishing::stages",
    "bathwright::reference::yaml::json_schema",
    "bathwright::timetable::barrel",
    "clap_builder::error",
    "clap_builder::output::fmt",
    "clap_builder::output::help",
    "clap_builder::output::help_template",
    "clap_builder::output::textwrap",
    "clap_complete",
    "clap_mangen",
    "icalendar",
    "chrono",
    "serde_json",
    "ply_rs_bw",
    "quick_xml",
    "zip",
    "zlib_rs",
    "addr2line",
    "gimli",
    "miniz_oxide",
    "rustc_demangle",
    "std::backtrace_rs",
    "strsim",
];

/// The same of a trait, as older and newer compilers write it: only errors and fingerprints are put into words with it.
const RARE_TRAIT: &str = "*(.text._ZN*core..fmt..Debug* .text._R*4core3fmt5Debug*)";

/// Links rarely run code behind the rest. A start maps the program in pieces of 64 kB, and mapping one takes as long as ten
/// thousand instructions or more; nearly every piece would otherwise hold some function that a plan runs.
fn rare_code_apart() {
    let mut script = String::from("SECTIONS\n{\n  .text.rare :\n  {\n    *(.text.unlikely.*)\n");
    for path in RARE {
        let names: Vec<&str> = path.split("::").collect();
        if let ["bathwright", rooms @ ..] = names.as_slice() {
            let place = format!("src/{}", rooms.join("/"));
            let there = [place.clone(), format!("{place}.rs")].iter().any(|p| Path::new(p).exists());
            assert!(there, "build.rs: there is no {path} to link apart");
        }
        // In the names that the compiler gives to functions each part stands behind its length; in that of a type before a
        // trait the parts are kept apart by points. Newer compilers write types like functions.
        let mangled: String = names.iter().map(|name| format!("{}{name}", name.len())).collect();
        let dotted = names.join("..");
        script += &format!("    *(.text._ZN{mangled}* .text._ZN*LT?{dotted}..* .text._R*_{mangled}*)\n");
    }
    script += &format!("    {RARE_TRAIT}\n  }}\n}}\nINSERT AFTER .text;\n");
    let script_file = out_dir().join("rare.ld");
    std::fs::write(&script_file, script).expect("OUT_DIR can be written");
    let argument = format!("-T{}", script_file.display());
    if links_with(&argument) {
        println!("cargo::rustc-link-arg-bins={argument}");
    }
}

/// Whether an empty program links with this argument, by the linker and the flags in use.
fn links_with(argument: &str) -> bool {
    let source = out_dir().join("empty.rs");
    std::fs::write(&source, "fn main() {}\n").expect("OUT_DIR can be written");
    let set = |key: &str| std::env::var(key).unwrap_or_default();
    let mut rustc = Command::new(set("RUSTC"));
    rustc.arg(&source).arg("-o").arg(out_dir().join("empty")).args(["--target", &set("TARGET")]);
    rustc.args(set("CARGO_ENCODED_RUSTFLAGS").split('\x1f').filter(|flag| !flag.is_empty()));
    if let Some(linker) = std::env::var_os("RUSTC_LINKER") {
        rustc.arg("-C").arg(format!("linker={}", Path::new(&linker).display()));
    }
    rustc.arg("-C").arg(format!("link-arg={argument}")).output().is_ok_and(|out| out.status.success())
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
