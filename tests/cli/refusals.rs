//! A refused mixture prints reasons and no amounts, in every format, and exits 3.

use super::bathwright;

/// Recipes as lines, each refused for a published reason (named in tests/data/safety).
const REFUSED: &[&[&str]] = &[
    &["1 cup household bleach 5 %", "1/2 cup white vinegar 5 %", "77 mL water"],
    &["100 mL household bleach 5 %", "77 mL ammonia 8 %"],
    &["100 mL glacial acetic acid 99 %", "77 mL hydrogen peroxide 30 %"],
    &["10 g liver of sulphur", "377 mL water", "77 mL white vinegar 5 %"],
    &["77 mL hydrogen peroxide 3 %", "50 mL acetone"],
    &["5 g silver nitrate", "77 mL ammonia 8 %"],
];

/// No figure that went in may come out: 77 is in every mixture for that.
fn holds_no_amount(text: &str) -> bool {
    ["77", "770", "1/2", "377"].iter().all(|amount| {
        text.match_indices(amount).all(|(at, found)| {
            // Part of a longer figure, such as a gas volume or a CAS number, is not the amount.
            let before = text[..at].chars().next_back();
            let mut after = text[at + found.len()..].chars();
            let (next, second) = (after.next(), after.next());
            let digit = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit());
            digit(before)
                || before == Some('.')
                || digit(next)
                || matches!(next, Some('.' | '-' | '/')) && digit(second)
        })
    })
}

#[test]
fn refused_mixtures_print_reasons_and_no_amounts() {
    for lines in REFUSED {
        for (command, more) in [
            ("check", &["--format", "json"][..]),
            ("check", &[]),
            ("check", &["--format", "html"]),
            ("mix", &["--format", "json"]),
            ("mix", &["--format", "html"]),
            ("mix", &[]),
            ("neutralise", &["--with", "baking soda", "--to", "7", "--format", "json"]),
            ("neutralise", &["--with", "baking soda", "--to", "7"]),
            ("scale", &["--to", "770 mL", "--format", "json"]),
            ("scale", &["--to", "770 mL", "--format", "html"]),
            ("scale", &["--to", "770 mL"]),
            (
                "plan",
                &["--part", "box 20x20x20 mm, 60 g, iron", "--vessel", "jar 80x120 mm, glass", "--format", "json"],
            ),
            (
                "plan",
                &["--part", "box 20x20x20 mm, 60 g, iron", "--vessel", "jar 80x120 mm, glass", "--format", "html"],
            ),
            (
                "plan",
                &[
                    "--part",
                    "box 20x20x20 mm, 60 g, iron",
                    "--vessel",
                    "jar 80x120 mm, glass",
                    "--format",
                    "ics",
                    "--start",
                    "2026-11-27T09:00",
                ],
            ),
            ("plan", &["--part", "box 20x20x20 mm, 60 g, iron", "--vessel", "jar 80x120 mm, glass"]),
        ] {
            let mut arguments = vec![command];
            arguments.extend_from_slice(lines);
            arguments.extend_from_slice(more);
            let ran = bathwright(&arguments);
            assert_eq!(ran.code, 3, "{arguments:?}\n{}\n{}", ran.out, ran.err);
            assert!(!ran.out.trim().is_empty(), "{arguments:?} gives no reason");
            let mut shown = ran.out.clone();
            shown.push_str(&ran.err);
            // Style sheets and sources have figures of their own; only the words are looked at.
            if more.contains(&"html") {
                shown = shown.split("</style>").last().unwrap_or_default().to_string();
            }
            assert!(holds_no_amount(&shown), "{arguments:?} prints an amount:\n{shown}");
            if more.contains(&"json") {
                let json = ran.json();
                let review = if json.get("verdict").is_some() { json.clone() } else { json["safety"].clone() };
                assert_eq!(review["verdict"], "refuse", "{arguments:?}");
                assert!(review["label"].is_null(), "{arguments:?} has a label");
                assert!(json.get("bath").is_none_or(|b| b.is_null()));
            }
        }
    }
}
