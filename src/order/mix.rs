//! A mixture file for `check`: ingredient lines, and what stands around them.

use crate::diag::{Checked, Problem};
use crate::reference::yaml::{self, Faults, Field, Shape};
use serde::Deserialize;

/// What a mixture file says; every condition is still the text that was written.
#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct MixFile {
    /// Ingredient lines in the order of pouring.
    pub ingredients: Vec<String>,
    /// Material of the vessel, or `spray bottle`.
    pub vessel: Option<String>,
    /// open, loose or sealed.
    pub cover: Option<String>,
    /// Metals of the part.
    pub part: Vec<String>,
    /// Binder of a metal-filled part.
    pub binder: Option<String>,
    /// Materials of ballast, wire or spoon.
    pub ballast: Vec<String>,
    /// Temperature.
    pub temperature: Option<String>,
    /// Room volume.
    pub room_m3: Option<String>,
    /// Air changes an hour.
    pub air_changes: Option<String>,
    /// Whether it stands out of doors.
    pub outdoors: Option<String>,
    /// How the liquid meets the part.
    pub method: Option<String>,
    /// How long it is kept after use, not the soak.
    pub kept: Option<String>,
    /// What part or vessel was in contact with before.
    pub after: Vec<String>,
}

/// The fields of a mixture file.
pub(super) static MIX: Shape = Shape::Map(&[
    Field::must("ingredients", Shape::List(&Shape::Words), "Lines in the order of pouring.", "[1/4 cup vinegar 5 %]"),
    Field::may("vessel", Shape::Words, "Material of the vessel, or a spray bottle.", "glass"),
    Field::may("cover", Shape::Choice(&["open", "loose", "sealed"]), "How it is covered.", "open"),
    Field::may("part", Shape::List(&Shape::Words), "Metals of the part.", "[iron]"),
    Field::may("binder", Shape::Words, "Binder of a metal-filled part.", "PLA"),
    Field::may("ballast", Shape::List(&Shape::Words), "Materials of ballast, wire or spoon.", "[glass]"),
    Field::may("temperature", Shape::Figure, "Temperature.", "20 C"),
    Field::may("room_m3", Shape::Figure, "Room volume.", "20"),
    Field::may("air_changes", Shape::Figure, "Air changes an hour.", "0.5"),
    Field::may("outdoors", Shape::Flag, "Whether it stands out of doors.", "false"),
    Field::may(
        "method",
        Shape::Choice(&["immersion", "spray", "brush", "fume", "burial"]),
        "How the liquid meets the part.",
        "immersion",
    ),
    Field::may("kept", Shape::Words, "How long it is kept after use, not the soak.", "1 day"),
    Field::may("after", Shape::List(&Shape::Words), "What part or vessel held before.", "[acetone]"),
]);

/// Reads a mixture file.
///
/// # Errors
/// Everything that is wrong with its form; the lines themselves are read by the caller.
pub fn read_mix(text: &str, file: &str) -> Checked<MixFile> {
    let reading = yaml::read::<MixFile>(text, file, &MIX)?;
    let mut faults = Faults::new(&reading.document, reading.problems);
    let empty = reading.raw.ingredients.is_empty();
    let some = if empty { Err(Problem::error("the list has no line").into()) } else { Ok(()) };
    let checked = faults.take("ingredients", some);
    faults.finish(checked.map(|()| reading.raw))
}
