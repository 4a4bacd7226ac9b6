//! The measuring tools a person owns.

use super::{Mass, MeasureSystem, Volume, VolumeUnit, in_grams, in_millilitres, millilitres, read_mass, read_volume};
use crate::diag::{Checked, Problem};

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
    pub fn kitchen_set(system: MeasureSystem) -> Vec<Tool> {
        const SET: [(&str, VolumeUnit, f64); 8] = [
            ("1 cup", VolumeUnit::Cup, 1.0),
            ("1/2 cup", VolumeUnit::Cup, 2.0),
            ("1/3 cup", VolumeUnit::Cup, 3.0),
            ("1/4 cup", VolumeUnit::Cup, 4.0),
            ("1 tbsp", VolumeUnit::Tablespoon, 1.0),
            ("1 tsp", VolumeUnit::Teaspoon, 1.0),
            ("1/2 tsp", VolumeUnit::Teaspoon, 2.0),
            ("1/4 tsp", VolumeUnit::Teaspoon, 4.0),
        ];
        let tool = |(name, unit, parts): &(&str, VolumeUnit, f64)| {
            let holds = millilitres(unit.exact_ml(system)?.to_f64() / parts);
            Some(Tool { name: (*name).to_string(), kind: ToolKind::Scoop { holds } })
        };
        SET.iter().filter_map(tool).collect()
    }

    /// A spoon or cup that holds what its name says: `1 tbsp`, `1/3 cup`, `250 mL`.
    ///
    /// # Errors
    /// Anything that is no volume above zero.
    pub fn scoop(holds: &str, system: MeasureSystem) -> Checked<Tool> {
        let name = holds.split_whitespace().collect::<Vec<_>>().join(" ");
        Ok(Tool { name, kind: ToolKind::Scoop { holds: read_volume(holds, system)? } })
    }

    /// A graduated cylinder, jug or syringe: what it holds, and one division.
    ///
    /// # Errors
    /// Anything that is no volume above zero; a division larger than the cylinder.
    pub fn cylinder(holds: &str, division: &str, system: MeasureSystem) -> Checked<Tool> {
        let (full, step) = (read_volume(holds, system)?, read_volume(division, system)?);
        fits(in_millilitres(full), in_millilitres(step), holds, division)?;
        let name = format!("{} cylinder", holds.split_whitespace().collect::<Vec<_>>().join(" "));
        Ok(Tool { name, kind: ToolKind::Graduated { holds: full, division: step } })
    }

    /// Scales: the most they weigh, and one digit.
    ///
    /// # Errors
    /// Anything that is no mass above zero; a division larger than the capacity.
    pub fn scales(capacity: &str, division: &str) -> Checked<Tool> {
        let (most, step) = (read_mass(capacity)?, read_mass(division)?);
        fits(in_grams(most), in_grams(step), capacity, division)?;
        let name = format!("{} scales", capacity.split_whitespace().collect::<Vec<_>>().join(" "));
        Ok(Tool { name, kind: ToolKind::Scales { capacity: most, division: step } })
    }
}

fn fits(whole: f64, step: f64, holds: &str, division: &str) -> Checked<()> {
    // More than a million divisions is a slip of the pen.
    if step > whole || whole / step > 1e6 {
        let problem = Problem::error(format!("a division of {division} does not suit {holds}"));
        return Err(problem.hint("Write one division as it stands on the scale, such as 1 mL or 0.1 g.").into());
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tools_as_a_bench_names_them() {
        let spoon = Tool::scoop("1  tbsp", MeasureSystem::Australian).unwrap();
        assert_eq!(spoon.name, "1 tbsp");
        assert!(matches!(spoon.kind, ToolKind::Scoop { holds } if (in_millilitres(holds) - 20.0).abs() < 1e-9));
        assert_eq!(Tool::cylinder("100 mL", "1 mL", MeasureSystem::Us).unwrap().name, "100 mL cylinder");
        assert_eq!(Tool::scales("200 g", "0.1 g").unwrap().name, "200 g scales");
        assert!(Tool::cylinder("10 mL", "20 mL", MeasureSystem::Us).is_err());
        assert!(Tool::scales("200 mL", "0.1 g").is_err());
        assert!(Tool::scoop("3 g", MeasureSystem::Us).is_err());
        for system in [MeasureSystem::Us, MeasureSystem::Metric, MeasureSystem::Australian, MeasureSystem::Imperial] {
            assert_eq!(Tool::kitchen_set(system).len(), 8);
        }
    }
}
