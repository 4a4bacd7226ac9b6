//! Which glove materials hold against everything in the bath.

use crate::reference::{Role, glove_table, schema::Gloves};
use crate::safety::classify::Component;

/// Glove materials for a bath.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct GloveAdvice {
    /// Materials that hold against every ingredient the table knows.
    pub good: Vec<String>,
    /// Materials that fail against one of them.
    pub poor: Vec<String>,
    /// Ingredients that the table says nothing about.
    pub unknown: Vec<String>,
}

/// Glove materials that hold against the whole bath, by `shared/gloves.yaml`.
pub fn gloves(components: &[Component]) -> GloveAdvice {
    let mut advice = GloveAdvice::default();
    let mut first = true;
    for c in components {
        if c.percent.high <= 0.0 || c.substance.is_any(&[Role::Water, Role::Salt, Role::Metal, Role::Inert]) {
            continue;
        }
        let Some(row) = row(c) else {
            advice.unknown.push(c.substance.name.to_string());
            continue;
        };
        if first {
            advice.good = row.good.iter().map(|g| g.to_string()).collect();
            first = false;
        } else {
            advice.good.retain(|g| row.good.iter().any(|r| r == g));
        }
        advice.poor.extend(row.poor.iter().map(|p| p.to_string()));
    }
    advice.good.retain(|g| !advice.poor.contains(g));
    advice.poor.sort();
    advice.poor.dedup();
    advice.unknown.sort();
    advice.unknown.dedup();
    advice
}

fn row(c: &Component) -> Option<&'static Gloves> {
    let percent = c.percent.high;
    glove_table()
        .gloves
        .iter()
        .filter(|g| g.of.contains(&c.substance.id))
        .find(|g| percent >= g.from_percent && g.below_percent.is_none_or(|below| percent < below))
}

impl GloveAdvice {
    /// The advice as lines for the sheet.
    pub fn lines(&self) -> Vec<String> {
        let mut lines = Vec::new();
        if !self.good.is_empty() {
            let not = if self.poor.is_empty() { String::new() } else { format!("; not {}", self.poor.join(", ")) };
            lines.push(format!(
                "Gloves of {}, about 0.5 mm thick{not}. Thin disposable gloves stop a splash only: change them at once.",
                self.good.join(" or ")
            ));
        } else if self.poor.is_empty() {
            lines.push("Gloves: the material has to come from the supplier's data sheet.".to_string());
        } else {
            lines.push(format!(
                "Gloves: no one material in the table holds against all of it (not {}). Ask the supplier's data sheet.",
                self.poor.join(", ")
            ));
        }
        if !self.unknown.is_empty() && !self.good.is_empty() {
            lines.push(format!("Gloves against {}: ask the supplier's data sheet.", self.unknown.join(", ")));
        }
        lines
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::amount::Span;
    use crate::reference::substance;

    fn for_bath(parts: &[(&str, f64)]) -> GloveAdvice {
        let components: Vec<Component> = parts
            .iter()
            .map(|(id, percent)| Component { substance: substance(id).unwrap(), percent: Span::one(*percent) })
            .collect();
        gloves(&components)
    }

    #[test]
    fn only_what_holds_against_all_of_it_is_advised() {
        assert_eq!(for_bath(&[("acetone", 50.0)]).good, ["butyl"]);
        assert_eq!(for_bath(&[("toluene", 100.0)]).good, ["fluoroelastomer"]);
        assert!(for_bath(&[("toluene", 50.0), ("acetone", 50.0)]).good.is_empty());
        assert!(for_bath(&[("acetone", 50.0), ("gum_turpentine", 50.0)]).good.is_empty());
        let weak = for_bath(&[("acetic_acid", 3.0), ("hydrogen_peroxide", 2.0), ("sodium_chloride", 5.0)]);
        assert!(weak.good.contains(&"nitrile".to_string()));
        assert!(!for_bath(&[("nitric_acid_le70", 30.0)]).good.contains(&"nitrile".to_string()));
    }

    #[test]
    fn every_substance_of_the_table_exists() {
        for id in glove_table().gloves.iter().flat_map(|g| &g.of) {
            assert!(substance(id).is_some(), "{id}");
        }
    }

    #[test]
    fn what_the_table_does_not_know_is_said() {
        assert_eq!(for_bath(&[("thiourea", 3.0)]).unknown, ["Thiourea"]);
        assert!(for_bath(&[("thiourea", 3.0)]).lines()[0].contains("data sheet"));
    }
}
