//! The fields of bench and order files: what is allowed, what it means.

use super::Lay;
use crate::reference::yaml::{Field, Shape};

const MEASURES: Shape = Shape::Choice(&["us", "metric", "australian", "imperial"]);
const COVER: Shape = Shape::Choice(&["open", "loose", "sealed"]);

/// A bench file.
pub(super) static BENCH: Shape = Shape::Map(&[
    Field::may("measures", MEASURES, "Whose cups and spoons are on the bench.", "us"),
    Field::may(
        "stocks",
        Shape::List(&Shape::Map(&[
            Field::must("is", Shape::Words, "What it is and how strong, as the label says.", "white vinegar 5 %"),
            Field::may("opened", Shape::Figure, "The day it was opened.", "2026-10-01"),
            Field::may("left", Shape::Figure, "How much is left.", "1 L"),
        ])),
        "What is in the bottles on the shelf.",
        "[{is: white vinegar 5 %, opened: 2026-10-01, left: 1 L}]",
    ),
    Field::may(
        "tools",
        Shape::List(&Shape::Map(&[
            Field::may("name", Shape::Words, "What the person calls it.", "the blue spoon"),
            Field::may("scoop", Shape::Figure, "A spoon or cup, filled level: what it holds.", "1 tbsp"),
            Field::may("cylinder", Shape::Figure, "A cylinder, jug or syringe with marks: what it holds.", "100 mL"),
            Field::may("scales", Shape::Figure, "Scales: the most they weigh.", "200 g"),
            Field::may("division", Shape::Figure, "One mark of the cylinder, one digit of the scales.", "0.1 g"),
        ])),
        "Spoons, cups, cylinders, scales.",
        "[{scoop: 1 tbsp}, {scales: 200 g, division: 0.1 g}]",
    ),
    Field::may(
        "ballast",
        Shape::List(&Shape::Map(&[
            Field::must("thing", Shape::Words, "What the person calls it.", "glass marble"),
            Field::must("material", Shape::Words, "What it is made of.", "glass"),
            Field::must("mass", Shape::Figure, "Mass of one, in air.", "20 g"),
            Field::may("count", Shape::Figure, "How many there are. Left out: as many as needed.", "12"),
        ])),
        "Things that can hold a part under.",
        "[{thing: glass marble, material: glass, mass: 20 g, count: 12}]",
    ),
    Field::may("holders", Shape::List(&Shape::Words), "Materials of what hangs, holds or stirs.", "[nylon]"),
    Field::may(
        "vessels",
        Shape::List(&Shape::Map(&[
            Field::must("name", Shape::Words, "What the person calls it; orders use this name.", "tall jar"),
            Field::may("is", Shape::Words, "Shape, inside measures and material.", "jar 80x120 mm, glass"),
            Field::may(
                "levels",
                Shape::List(&Shape::List(&Shape::Figure)),
                "Instead of `is`: levels found by pouring known volumes, each level with its volume.",
                "[[10 mm, 50 mL], [100 mm, 600 mL]]",
            ),
            Field::may("material", Shape::Words, "With `levels`: what it is made of.", "glass"),
            Field::may("cover", COVER, "How it is covered while a bath stands in it.", "loose"),
        ])),
        "Vessels for baths.",
        "[{name: tall jar, is: 'jar 80x120 mm, glass', cover: loose}]",
    ),
    Field::may(
        "room",
        Shape::Map(&[
            Field::may("volume", Shape::Figure, "Volume of air.", "30 m3"),
            Field::may("air_changes", Shape::Figure, "Air changes an hour.", "1"),
            Field::may("outdoors", Shape::Flag, "Whether the bath stands in the open air.", "false"),
        ]),
        "The room the bath stands in. Left out: 20 m³ with 0.5 air changes an hour is assumed, and said.",
        "{volume: 30 m3, air_changes: 1, outdoors: false}",
    ),
    Field::may("gear", Shape::List(&Shape::Words), "Protective gear.", "[nitrile gloves, splash goggles]"),
    Field::may(
        "things",
        Shape::List(&Shape::Words),
        "What else is there and need not be bought: papers, brushes, wax.",
        "[abrasive paper P220, clear wax]",
    ),
]);

/// An order file.
pub(super) static ORDER: Shape = Shape::Map(&[
    Field::must(
        "recipe",
        Shape::TextOr(&Shape::List(&Shape::Words)),
        "A recipe's id, a file (a name with a slash or an extension), or a list of lines.",
        "kitchen-rust",
    ),
    Field::may("bench", Shape::Words, "The bench file.", "bench.yaml"),
    Field::may("measures", MEASURES, "Whose cups and spoons a list of lines means. Left out: the bench's.", "us"),
    Field::may(
        "parts",
        Shape::List(&Shape::TextOr(&Shape::Map(&[
            Field::may("name", Shape::Words, "What the person calls it.", "drawer pull"),
            Field::must(
                "is",
                Shape::Words,
                "Shape or mesh file, mass, metal, binder.",
                "box 40x40x80 mm, 85 g, iron, PLA",
            ),
            Field::may("count", Shape::Figure, "How many alike.", "2"),
            Field::may("lift", Shape::Figure, "When it comes out for good, after immersion.", "24 h"),
        ]))),
        "The parts.",
        "[{name: drawer pull, is: 'box 40x40x80 mm, 85 g, iron, PLA', count: 2, lift: 24 h}]",
    ),
    Field::may(
        "vessel",
        Shape::Words,
        "The name of a vessel on the bench, or shape, inside measures and material.",
        "cup 60-82x140 mm, glass",
    ),
    Field::may(
        "start",
        Shape::Figure,
        "When it starts: with a zone in brackets, with an offset, or in the system's zone.",
        "2026-11-27T09:00[Europe/London]",
    ),
    Field::may(
        "to",
        Shape::Figure,
        "Volume to make: as poured for a kitchen recipe, finished for one in concentrations. Left out: whatever covers the parts.",
        "1 L",
    ),
    Field::may("finished", Shape::Figure, "Finished volume to make, instead of `to`.", "1 L"),
    Field::may(
        "box",
        Shape::Figure,
        "Fuming: the box inside, length by width by height or its volume.",
        "300x200x200 mm",
    ),
    Field::may("packing", Shape::Figure, "Burial: loose volume of the packing.", "2 L"),
    Field::may("cover_depth", Shape::Figure, "Liquid above the part. Left out: 15 mm.", "15 mm"),
    Field::may(
        "lay",
        Shape::Choice(&Lay::WORDS),
        "Which side of a part is up where it does not say: the one that needs the least bath, or the one that catches the \
         least air and so lifts it least. Left out: least-bath.",
        "least-bath",
    ),
    Field::may("margin", Shape::Figure, "Ballast margin on the net buoyancy. Left out: 20 %.", "20 %"),
    Field::may("temperature", Shape::Figure, "Bath temperature. Left out: the recipe's.", "20 C"),
    Field::may(
        "after",
        Shape::List(&Shape::Words),
        "What part or vessel was in contact with before, in words that may say how it was rinsed.",
        "[acetone]",
    ),
    Field::may("quiet", Shape::Figure, "Hours when nobody is there, local clock.", "22:00-07:00"),
]);
