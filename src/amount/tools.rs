//! Measuring out with what a person owns: the combination with the least error and the fewest scoops.

use super::{Amount, Mass, MeasureSystem, Volume};

/// What a tool measures, and how finely.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ToolKind {
    /// A spoon or cup that holds one volume, filled level.
    Scoop {
        /// What it holds.
        holds: Volume,
    },
    /// A graduated cylinder, jug or syringe.
    Graduated {
        /// What it holds.
        holds: Volume,
        /// One division.
        division: Volume,
    },
    /// Scales.
    Scales {
        /// The most they weigh.
        capacity: Mass,
        /// One digit.
        division: Mass,
    },
}

/// A measuring tool on the bench.
#[derive(Debug, Clone, PartialEq)]
pub struct Tool {
    /// What the person calls it: "1/2 tbsp", "100 mL cylinder".
    pub name: String,
    /// What it measures.
    pub kind: ToolKind,
}

impl Tool {
    /// The plain set of a kitchen in the given system, used when no bench is given: cups 1, 1/2, 1/3, 1/4;
    /// spoons 1 tbsp, 1, 1/2, 1/4 tsp.
    pub fn kitchen_set(_system: MeasureSystem) -> Vec<Tool> {
        todo!()
    }
}

/// An amount as it can be measured out.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasuredOut {
    /// "2 cups + 3 tbsp + 1 tsp", "120 mL in the 250 mL cylinder", "43.2 g on the scales".
    pub text: String,
    /// What that comes to: a volume or a mass in the same kind as asked.
    pub comes_to: Amount,
    /// How many scoops or fillings.
    pub scoops: u32,
    /// (measured − exact) / exact, in per cent.
    pub error_percent: f64,
}

/// The best way to measure `exact` with `tools`: least error first (errors within a fifth of the tool's own division
/// count as equal), then fewest scoops. `None` when no tool measures this kind of amount.
///
/// `bulk_density` (with its spread) turns a mass into spoons when there are no scales.
pub fn measure_out(
    _exact: &Amount,
    _tools: &[Tool],
    _bulk_density: Option<super::Estimate<super::MassDensity>>,
) -> Option<MeasuredOut> {
    todo!()
}
