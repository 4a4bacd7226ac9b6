//! From a name as written to the substances it can mean.

use super::Substance;
use crate::amount::{IngredientLine, MassFraction, MeasureSystem, Span, read_ingredient_line};
use crate::diag::Checked;

/// One thing a name can mean.
#[derive(Debug, Clone)]
pub struct Meaning {
    /// The substance.
    pub substance: &'static Substance,
    /// The usual retail strength, when the name alone tells it ("vinegar": 4 to 8 %).
    pub usual: Option<Span<MassFraction>>,
}

/// An ingredient line with its name looked up.
#[derive(Debug, Clone)]
pub struct Ingredient {
    /// The line taken apart.
    pub line: IngredientLine,
    /// Everything the name can mean; empty when it is not recognised.
    pub meanings: Vec<Meaning>,
    /// The question to put to the person when the meaning or the strength is open.
    pub question: Option<String>,
    /// Whether a strength is needed and not known (essence, developer, acid ... without a figure).
    pub strength_missing: bool,
}

impl Ingredient {
    /// The one substance it is, when there is no doubt.
    pub fn substance(&self) -> Option<&'static Substance> {
        match self.meanings.as_slice() {
            [one] => Some(one.substance),
            _ => None,
        }
    }
}

/// Looks up the name of a line: whole names, longest first.
pub fn resolve(line: IngredientLine) -> Ingredient {
    let _ = line;
    todo!()
}

/// Reads and resolves one ingredient line.
///
/// # Errors
/// As [`read_ingredient_line`]; an unrecognised name is not an error here.
pub fn read_ingredient(text: &str, system: MeasureSystem) -> Checked<Ingredient> {
    Ok(resolve(read_ingredient_line(text, system)?))
}
