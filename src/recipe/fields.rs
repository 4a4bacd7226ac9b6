//! The fields of a recipe file: what is allowed, what it means.

use crate::reference::yaml::{Field, Shape};

/// A recipe file.
pub(crate) static RECIPE: Shape = Shape::Map(&[
    Field::must(
        "id",
        Shape::Words,
        "Stable name: small letters, digits and hyphens, the same as the file's name.",
        "kitchen-rust",
    ),
    Field::must("title", Shape::Words, "Title for the sheet.", "Kitchen rust bath"),
    Field::must("look", Shape::Words, "The look in plain words.", "orange to brown rust"),
    Field::must(
        "metals",
        Shape::Filled(&Shape::Words),
        "Metals it works on, fillers of metal-filled plastics included.",
        "[iron, mild_steel]",
    ),
    Field::must(
        "finish",
        Shape::Choice(&["rust", "green", "blue", "brown", "black", "other"]),
        "Colour family.",
        "rust",
    ),
    Field::must(
        "method",
        Shape::Choice(&["immersion", "spray", "brush", "fume", "burial"]),
        "How liquid or vapour meets the part.",
        "immersion",
    ),
    Field::must(
        "measures",
        Shape::Choice(&["us", "metric", "australian", "imperial"]),
        "Whose cups and spoons are meant.",
        "us",
    ),
    Field::may(
        "written_for",
        Shape::Figure,
        "Kitchen recipes: the poured volume that the amounts add up to (liquids only).",
        "1 cup",
    ),
    Field::must(
        "ingredients",
        Shape::Filled(&INGREDIENT),
        "Ingredients in the order of pouring. Either all with amounts, or all with concentrations and water as the rest.",
        "[{line: 3/4 cup water}]",
    ),
    Field::must("temperature", Shape::Figure, "Bath temperature, one value or a range.", "15-25 C"),
    Field::must(
        "cover",
        Shape::Choice(&["open", "loose", "sealed"]),
        "How the vessel is covered during the soak.",
        "loose",
    ),
    Field::may("use_within", Shape::Figure, "How long the mix is good for. Left out: it keeps.", "4 h"),
    Field::must(
        "soak",
        Shape::Filled(&SOAK),
        "Looks and lifts, times after immersion (or after the first coat). The last one ends the soak.",
        "[{after: 12 h, what: Lift and look., lift: true}]",
    ),
    Field::may("preparation", Shape::List(&CARE), "Steps before the bath.", "[{stage: degrease, what: Wash.}]"),
    Field::may("aftercare", Shape::List(&CARE), "Steps after the bath, in order.", "[{stage: rinse, what: Rinse.}]"),
    Field::may(
        "rinse",
        Shape::Choice(&["full", "light", "none"]),
        "How the part may be rinsed afterwards: in baths of water, by a light mist or brief dip, not at all. Left out: full.",
        "light",
    ),
    Field::may("loading", Shape::Figure, "Largest part area per litre of bath it was tried at.", "200 cm2/L"),
    Field::may("needs_air", Shape::Flag, "Whether the colour comes in air rather than under liquid.", "false"),
    Field::may(
        "filled_plastic",
        Shape::Map(&[
            Field::must(
                "suitability",
                Shape::Choice(&["good", "limited", "poor", "no"]),
                "Whether metal-filled plastics take the recipe.",
                "good",
            ),
            Field::must("why", Shape::Words, "Why, and what it needs.", "cold and mild; sand to bare metal first"),
        ]),
        "Whether metal-filled plastics take the recipe. Left out: unknown.",
        "{suitability: good, why: cold and mild}",
    ),
    Field::may(
        "coats",
        Shape::Map(&[
            Field::must("count", Shape::Figure, "How many coats.", "3-6"),
            Field::must("ml_per_m2", Shape::Figure, "Liquid for one coat, mL per m² of part.", "50-100"),
        ]),
        "Spray and brush: coats, and liquid per area and coat.",
        "{count: 3-6, ml_per_m2: 50-100}",
    ),
    Field::may(
        "per_volume",
        Shape::Figure,
        "Fume and burial: liquid for each litre of box or packing, in mL.",
        "300-400 mL",
    ),
    Field::must(
        "sources",
        Shape::Filled(&Shape::Map(&[
            Field::must(
                "doc",
                Shape::Words,
                "Book, paper, standard; or what else it rests on.",
                "Henley's Book of Formulas",
            ),
            Field::may("at", Shape::Words, "Section or page.", "section Bronzing"),
            Field::must(
                "status",
                Shape::Choice(&["read", "recalled", "computed", "common practice, no source"]),
                "Whether the figure was read there, recalled, or computed from it.",
                "read",
            ),
        ])),
        "Where the recipe comes from.",
        "[{doc: a workshop text, status: recalled}]",
    ),
    Field::must("confidence", Shape::Choice(&["low", "medium", "high"]), "How sure we are of it.", "medium"),
    Field::may("notes", Shape::List(&Shape::Words), "Remarks for the sheet.", "[Test on a coupon first.]"),
    Field::may(
        "example",
        Shape::Map(&[
            Field::must("to", Shape::Figure, "What it is scaled to.", "4 L"),
            Field::must(
                "expect",
                Shape::List(&Shape::Map(&[
                    Field::must("ingredient", Shape::Words, "Name as in its line.", "water"),
                    Field::must("amount", Shape::Figure, "What it comes to, to the last place written.", "12.7 cups"),
                ])),
                "What the ingredients come to.",
                "[{ingredient: water, amount: 12.7 cups}]",
            ),
        ]),
        "A worked example that the tests run.",
        "{to: 4 L, expect: [{ingredient: water, amount: 12.7 cups}]}",
    ),
]);

static INGREDIENT: Shape = Shape::Map(&[
    Field::must(
        "line",
        Shape::Words,
        "Amount, name and strength as a person writes them.",
        "1/8 cup white vinegar 5 %",
    ),
    Field::may(
        "per_litre",
        Shape::Figure,
        "Mass as named, or volume of the stock, per litre of finished bath.",
        "80 g",
    ),
    Field::may("in_bath", Shape::Figure, "Per cent by mass of the active substance in the finished bath.", "2 %"),
    Field::may("rest", Shape::Flag, "Fills up to the finished volume (water).", "true"),
    Field::may("note", Shape::Words, "A remark for the sheet.", "last, when everything is dissolved"),
]);

static SOAK: Shape = Shape::Map(&[
    Field::must("after", Shape::Figure, "Time after immersion.", "12 h"),
    Field::must("what", Shape::Words, "What to do or look for.", "Lift, rinse and look."),
    Field::may("lift", Shape::Flag, "Whether the part comes out.", "true"),
]);

static CARE: Shape = Shape::Map(&[
    Field::must(
        "stage",
        Shape::Choice(&["prepare", "degrease", "rinse", "neutralise", "dry", "seal", "dispose"]),
        "Which stage it belongs to.",
        "rinse",
    ),
    Field::must("what", Shape::Words, "What to do.", "Dip for five minutes."),
    Field::may(
        "on_prints",
        Shape::Words,
        "What is said beside it for metal-filled prints, and when no part is named.",
        "Binder covers the grains.",
    ),
    Field::may("changes", Shape::Figure, "A rinse: how many baths of fresh water it takes, 1 to 20. Left out: 1.", "2"),
    Field::may("takes", Shape::Figure, "How long it takes or lasts.", "5 min"),
    Field::may(
        "takes_on_prints",
        Shape::Figure,
        "How long on metal-filled prints, and when no part is named. Left out: the same.",
        "2 days",
    ),
    Field::may(
        "uses",
        Shape::List(&Shape::Words),
        "Ingredient lines of what it uses; reviewed like a bath.",
        "[1 L water]",
    ),
    Field::may(
        "holds",
        Shape::Choice(&["dip", "bath", "film"]),
        "What that has to be enough for: a dip (as written, more for a larger part), as much as the bath, or a film on the \
         part (as written, whatever the size). Left out: dip.",
        "dip",
    ),
    Field::may(
        "needs",
        Shape::List(&Shape::Words),
        "What else it needs: abrasives, waxes and the like, for the shopping list.",
        "[abrasive paper P220]",
    ),
]);
