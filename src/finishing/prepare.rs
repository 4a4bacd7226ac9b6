//! Degrease and bare the metal: steps with their reasons, to be used where a recipe's own preparation lacks them.

use jiff::SignedDuration;

/// What a step is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PreparationKind {
    /// Bare the metal.
    Expose,
    /// Take off grease.
    Degrease,
    /// Rinse and see whether water holds.
    WaterBreak,
}

/// One step with its reason.
#[derive(Debug, Clone, PartialEq)]
pub struct PreparationStep {
    /// What it is for.
    pub kind: PreparationKind,
    /// What to do.
    pub what: String,
    /// Why.
    pub why: String,
    /// How long it takes one person for one part.
    pub takes: SignedDuration,
    /// Ingredient lines of what it uses, to be reviewed.
    pub uses: Vec<String>,
    /// What else it needs, by the names of the shops' table.
    pub needs: Vec<String>,
}

/// How a surface is bared, degreased and tested.
///
/// `filled` for a metal-filled plastic; `after_barrel` when it comes from the barrel bare and washed. Times are our
/// choice. The skin: an artist's first spray gave no rust before sanding or blasting (a page read). Water-break test: an
/// unbroken film of water is clean (ASTM F22, recalled). Nothing alkaline and hot: printed PLA is etched by lye (Polymers
/// 12 (2020) 1711, abstract read), and acetone before a peroxide bath is never used.
pub fn expose_metal(filled: bool, after_barrel: bool) -> Vec<PreparationStep> {
    let minutes = SignedDuration::from_mins;
    let mut steps = Vec::new();
    if filled && !after_barrel {
        steps.push(PreparationStep {
            kind: PreparationKind::Expose,
            what:
                "Sand wet through P120 and P220, or blast, until bare grains glint everywhere, seams and hollows too."
                    .into(),
            why: "The nozzle lays a skin of binder over every grain: bath does not pass it, and nothing colours there."
                .into(),
            takes: minutes(40),
            uses: Vec::new(),
            needs: papers(),
        });
    } else if !after_barrel {
        steps.push(PreparationStep {
            kind: PreparationKind::Expose,
            what: "Deburr; sand or scour until no scale, rust, plating or lacquer is left.".into(),
            why: "Scale, old lacquer and zinc plating keep the bath off the metal.".into(),
            takes: minutes(30),
            uses: Vec::new(),
            needs: papers(),
        });
    }
    steps.push(PreparationStep {
        kind: PreparationKind::Degrease,
        what: "Wash with lukewarm water, a little dish soap and a soft brush; from here on only with clean gloves."
            .into(),
        why: "A fingerprint is enough to leave a patch that stays bare.".into(),
        takes: minutes(10),
        uses: vec!["1 tsp dish soap".into(), "1 L water".into()],
        needs: vec!["soft brush".into(), "nitrile gloves".into()],
    });
    steps.push(PreparationStep {
        kind: PreparationKind::WaterBreak,
        what: "Rinse with clean water and tilt the part: the film has to cover all of it for half a minute without tearing. \
               Where it tears, wash again."
            .into(),
        why: "Water draws back from grease. Soap left behind hides that, so rinse well first.".into(),
        takes: minutes(5),
        uses: Vec::new(),
        needs: Vec::new(),
    });
    steps
}

fn papers() -> Vec<String> {
    vec!["abrasive paper P120".into(), "abrasive paper P220".into()]
}

/// The steps of [`expose_metal`] that a preparation with these kinds lacks, in order.
pub fn lacking(has: &[PreparationKind], filled: bool, after_barrel: bool) -> Vec<PreparationStep> {
    expose_metal(filled, after_barrel).into_iter().filter(|step| !has.contains(&step.kind)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_is_lacking_is_added() {
        let kinds = |steps: Vec<PreparationStep>| steps.iter().map(|s| s.kind).collect::<Vec<_>>();
        use PreparationKind::{Degrease, Expose, WaterBreak};
        assert_eq!(kinds(lacking(&[], true, false)), [Expose, Degrease, WaterBreak]);
        assert_eq!(kinds(lacking(&[Expose, Degrease], true, false)), [WaterBreak]);
        assert_eq!(kinds(lacking(&[], true, true)), [Degrease, WaterBreak]);
        assert!(lacking(&[Expose, Degrease, WaterBreak], false, false).is_empty());
    }
}
