//! Whatever stands in a file, reading it ends with a value or with placed problems, never with a panic.

use bathwright::amount::MeasureSystem;
use bathwright::diag::{Checked, Problem};
use bathwright::order::{Surroundings, demo_file, demo_order_text, read_bench, read_order};
use bathwright::recipe::{Library, embedded_ids, find_embedded, from_lines, read_recipe};
use jiff::tz::TimeZone;
use proptest::prelude::*;
use std::borrow::Cow;

fn demo(name: &str) -> Checked<Cow<'static, [u8]>> {
    demo_file(name).map(Into::into).ok_or_else(|| Problem::error("no such file").into())
}

/// Reads the text as each kind of file; problems have to be there when it fails, and be placed.
fn read_as_everything(text: &str) {
    let library = Library::default();
    let around = Surroundings { load: &demo, zone: TimeZone::UTC, library: &library };
    let all = [
        read_recipe(text, "a.yaml").err(),
        read_bench(text, "a.yaml").err(),
        read_order(text, "a.yaml", &around).err(),
        from_lines(&[text.to_string()], MeasureSystem::Us).err(),
    ];
    for (i, problems) in all.into_iter().enumerate() {
        let Some(problems) = problems else { continue };
        assert!(!problems.0.is_empty());
        for p in problems.0.iter().filter(|_| i < 3) {
            assert!(p.place.file.is_some(), "{p}");
            assert!(p.place.line.is_some(), "{p}");
        }
    }
}

/// Pieces that YAML readers stumble over, and pieces of our own files.
fn piece() -> impl Strategy<Value = String> {
    let fixed = [
        "a: ",
        "- ",
        "[",
        "]",
        "{",
        "}",
        "&a ",
        "*a",
        "!!str ",
        "!x ",
        "? ",
        ": ",
        "|\n",
        ">\n",
        "'",
        "\"",
        "#",
        "\n",
        "\n  ",
        "---\n",
        "...\n",
        "%YAML 1.2\n",
        "\t",
        "\u{feff}",
        "\0",
        "null",
        "~",
        ".nan",
        "1e999",
        "id: ",
        "ingredients:\n",
        "line: ",
        "recipe: ",
        "parts: ",
        "is: ",
        "stocks:\n",
        "start: ",
        "2026-11-27T09:00",
        "1/0 cup",
        "3/4 cup water",
        ",",
        "\\",
        "<<: ",
        "levels: ",
        "soak: ",
        "after: ",
        "99999999999999999999 h",
        "-1 d",
        "½",
    ];
    prop_oneof![4 => prop::sample::select(fixed.to_vec()).prop_map(str::to_string), 1 => "\\PC{0,6}"]
}

proptest! {
    #[test]
    fn arbitrary_text_never_panics(text in "\\PC{0,200}") {
        read_as_everything(&text);
    }

    #[test]
    fn arbitrary_yaml_never_panics(pieces in prop::collection::vec(piece(), 0..40)) {
        read_as_everything(&pieces.concat());
    }

    #[test]
    fn a_damaged_file_never_panics(which in any::<prop::sample::Index>(), at in any::<prop::sample::Index>(), put in piece(), cut in 0_usize..9) {
        let mut texts: Vec<String> = embedded_ids().filter_map(find_embedded).map(str::to_string).collect();
        texts.push(demo_order_text().to_string());
        texts.push(String::from_utf8_lossy(demo_file("demo/bench.yaml").unwrap_or_default()).into_owned());
        let text: Vec<char> = texts[which.index(texts.len())].chars().collect();
        let at = at.index(text.len());
        let damaged: String =
            text[..at].iter().chain(put.chars().collect::<Vec<_>>().iter()).chain(text[(at + cut).min(text.len())..].iter()).collect();
        read_as_everything(&damaged);
    }

    #[test]
    fn a_kitchen_amount_reads_exactly(n in 1_i64..500, d in 1_i64..17, tail in "[a-z]{0,3}") {
        // A formula's amount is the ratio that was written, whatever follows it fails or not.
        let line = format!("{n}/{d} cup water");
        let recipe = from_lines(std::slice::from_ref(&line), MeasureSystem::Us).map_err(|e| TestCaseError::fail(e.to_string()))?;
        let amount = recipe.ingredients[0].ingredient.line.amount.clone().map(|a| a.value.low);
        prop_assert_eq!(amount, bathwright::amount::Exact::ratio(n, d));
        let _ = from_lines(&[format!("{line}{tail}")], MeasureSystem::Us);
    }
}
