//! What is wrong with a file is named with file, line, column and field, all of it in one run.
//!
//! Each file of `tests/data/files/bad` has its messages beside it; the first word of its name is its kind.

use bathwright::diag::{Checked, Problem};
use bathwright::order::{Surroundings, read_bench, read_order};
use bathwright::recipe::{Library, find_embedded, library_with, read_recipe};
use jiff::tz::TimeZone;
use std::borrow::Cow;

fn nothing_there(name: &str) -> Checked<Cow<'static, [u8]>> {
    Err(Problem::error(format!("there is no file `{name}`")).into())
}

fn read(kind: &str, text: &str, file: &str) -> String {
    let library = Library::default();
    let around = Surroundings { load: &nothing_there, zone: TimeZone::UTC, library: &library };
    let read = match kind {
        "recipe" => read_recipe(text, file).map(|_| ()),
        "bench" => read_bench(text, file).map(|_| ()),
        "order" => read_order(text, file, &around).map(|_| ()),
        other => panic!("no kind {other}"),
    };
    match read {
        Ok(()) => "no fault".to_string(),
        Err(problems) => problems.to_string(),
    }
}

#[test]
fn every_fault_of_a_bad_file_is_named_with_its_place() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/files/bad");
    let mut names: Vec<String> = std::fs::read_dir(folder)
        .unwrap()
        .filter_map(|entry| entry.unwrap().file_name().into_string().unwrap().strip_suffix(".yaml").map(str::to_string))
        .collect();
    names.sort();
    assert!(names.len() > 10, "{names:?}");
    for name in names {
        let text = std::fs::read_to_string(format!("{folder}/{name}.yaml")).unwrap();
        let kind = name.split('-').next().unwrap();
        let messages = read(kind, &text, &format!("{name}.yaml"));
        assert_ne!(messages, "no fault", "{name}");
        insta::with_settings!({snapshot_path => "../../data/files/bad", prepend_module_to_snapshot => false, omit_expression => true}, {
            insta::assert_snapshot!(name, messages);
        });
    }
}

#[test]
fn a_file_of_five_megabytes_is_refused_before_it_is_parsed() {
    let text = format!("id: big\nnotes:\n{}", "- x\n".repeat(1_250_000));
    let begun = std::time::Instant::now();
    let messages = read("recipe", &text, "big.yaml");
    assert!(messages.contains("big.yaml") && messages.contains("4 MB"), "{messages}");
    assert!(begun.elapsed().as_millis() < 200);
}

#[test]
fn a_users_recipe_can_only_add() {
    let own = find_embedded("kitchen-rust").unwrap();
    let taken_id = ("mine/kitchen-rust.yaml".to_string(), own.to_string());
    let taken_title = ("mine/b.yaml".to_string(), own.replace("id: kitchen-rust", "id: my-rust"));
    let fresh =
        own.replace("id: kitchen-rust", "id: my-rust").replace("title: Kitchen rust bath", "title: My rust bath");
    let found = library_with(&[taken_id, taken_title, ("mine/c.yaml".into(), fresh.clone())]).unwrap_err().to_string();
    assert!(found.contains("mine/kitchen-rust.yaml") && found.contains("recipes/kitchen-rust.yaml"), "{found}");
    assert_eq!(found.matches("is taken by").count(), 2, "{found}");
    let library = library_with(&[("mine/c.yaml".into(), fresh)]).unwrap();
    assert_eq!(library.recipe("my-rust").unwrap().title, "My rust bath");
    assert!(library.recipe("my-rost").unwrap_err().to_string().contains("did you mean `my-rust`?"));
}
