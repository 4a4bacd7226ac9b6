//! Strength of a stock as its label states it.

use super::number::refuse;
use super::written::decimal_text;
use super::{Exact, Span};
use crate::diag::{Checked, Problem};
use std::fmt;

/// What a stated strength is a ratio of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum StrengthBasis {
    /// Grams of active substance per 100 g.
    MassPercent,
    /// Grams of active substance per 100 mL.
    MassPerVolumePercent,
    /// Millilitres of active substance per 100 mL.
    VolumePercent,
    /// Volumes of oxygen (0 °C, 1 atm) per volume of peroxide: mol/L × 11.207.
    PeroxideVolumes,
    /// Vinegar grain: tenths of a gram of acetic acid per 100 mL (10 grain = 1 % w/v).
    VinegarGrain,
    /// Grams of active substance per litre.
    GramsPerLitre,
    /// Moles of active substance per litre.
    MolPerLitre,
    /// Degrees Baumé (heavy scale, 145 modulus), ferric chloride.
    Baume,
}

/// A strength as written, both ends when a range was written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Strength {
    /// The figure as written.
    pub value: Span<Exact>,
    /// What it is a ratio of.
    pub basis: StrengthBasis,
    /// Whether the basis was said, or is the documented default for the substance.
    pub basis_assumed: bool,
}

impl StrengthBasis {
    /// As printed after the figure.
    pub fn name(self) -> &'static str {
        match self {
            StrengthBasis::MassPercent => "% w/w",
            StrengthBasis::MassPerVolumePercent => "% w/v",
            StrengthBasis::VolumePercent => "% v/v",
            StrengthBasis::PeroxideVolumes => "vol",
            StrengthBasis::VinegarGrain => "grain",
            StrengthBasis::GramsPerLitre => "g/L",
            StrengthBasis::MolPerLitre => "mol/L",
            StrengthBasis::Baume => "°Bé",
        }
    }

    /// The most that any stock can have, above which a figure is a slip of the pen, and why.
    ///
    /// Peroxide volumes: pure hydrogen peroxide, 1.45 g/mL, is 42.6 mol/L and 478 volumes. Vinegar grain: pure acetic
    /// acid, 1.049 g/mL, is 1049 grain. Weight in volume: 98 % sulfuric acid, 1.84 g/mL, is 180 % w/v, and nothing in
    /// this trade is denser for its strength. Grams per litre likewise. Moles per litre: pure water is 55.5. Baumé:
    /// concentrated sulfuric acid is 66, ferric chloride is sold up to 47.
    fn most(self) -> (i64, &'static str) {
        match self {
            StrengthBasis::MassPercent | StrengthBasis::VolumePercent => (100, "100 %"),
            StrengthBasis::MassPerVolumePercent => (200, "200 % w/v"),
            StrengthBasis::PeroxideVolumes => (478, "478 vol, pure hydrogen peroxide"),
            StrengthBasis::VinegarGrain => (1049, "1049 grain, pure acetic acid"),
            StrengthBasis::GramsPerLitre => (2000, "2000 g/L"),
            StrengthBasis::MolPerLitre => (56, "56 mol/L"),
            StrengthBasis::Baume => (70, "70 °Bé"),
        }
    }
}

/// The basis taken when a label or recipe says only "%".
///
/// Alcohols are labelled by volume everywhere; anything else is taken by mass. Shop vinegar and 3 % hydrogen peroxide
/// are labelled by weight in volume in some countries and by mass in others: at those strengths the density is so near
/// that of water that the two differ by less than the label's own tolerance (common practice, no source).
pub(super) fn default_basis(name: &str) -> StrengthBasis {
    const ALCOHOLS: [&str; 13] = [
        "alcohol",
        "ethanol",
        "isopropanol",
        "propanol",
        "2-propanol",
        "1-propanol",
        "methanol",
        "spirit",
        "spirits",
        "ipa",
        "methylated",
        "denatured",
        "vodka",
    ];
    // "spirits of salt" (hydrochloric acid), "spirit of hartshorn" (ammonia), "white spirit" are no alcohols.
    let words = || name.split(|c: char| c.is_whitespace() || matches!(c, '(' | ')' | ','));
    let no_alcohol = words().any(|w| {
        ["salt", "salts", "hartshorn", "white", "mineral", "ammonia", "acid", "vinegar"]
            .contains(&w.to_lowercase().as_str())
    });
    let alcohol = words().any(|w| ALCOHOLS.contains(&w.to_lowercase().as_str()));
    if alcohol && !no_alcohol { StrengthBasis::VolumePercent } else { StrengthBasis::MassPercent }
}

/// Whether `grain` beside this name is a strength.
pub(super) fn is_vinegar(name: &str) -> bool {
    name.split(|c: char| !c.is_alphabetic()).any(|w| w.eq_ignore_ascii_case("vinegar"))
}

/// When a label gives one strength in two ways ("6 % (20 vol)", "5 % (50 grain)"), the one whose unit is not open to
/// doubt. They must agree within a tenth; `None` when they do not, or are no such pair.
///
/// One volume of oxygen is 1 / 11.207 mol/L, and hydrogen peroxide 34.015 g/mol (see [`StrengthBasis::PeroxideVolumes`]);
/// ten grain are 1 % w/v. At these strengths per cent by mass and in volume differ by less than a tenth.
pub(super) fn same_label(a: &Strength, b: &Strength) -> Option<Strength> {
    let is_percent = |s: &Strength| matches!(s.basis, StrengthBasis::MassPercent | StrengthBasis::MassPerVolumePercent);
    let (percent, other) = if is_percent(a) { (a, b) } else { (b, a) };
    let factor = match other.basis {
        StrengthBasis::PeroxideVolumes => 34.015 / 11.207 / 10.0,
        StrengthBasis::VinegarGrain => 0.1,
        _ => return None,
    };
    let agree = |p: Exact, o: Exact| (o.to_f64() * factor / p.to_f64() - 1.0).abs() <= 0.1;
    let same = agree(percent.value.low, other.value.low) && agree(percent.value.high, other.value.high);
    (is_percent(percent) && same).then(|| other.clone())
}

/// Refuses a strength that no stock can have.
pub(super) fn possible(strength: &Strength, found: &str) -> Checked<()> {
    let (most, shown) = strength.basis.most();
    if strength.value.high > Exact::whole(most) {
        return refuse(
            Problem::error(format!("`{found}` is impossible; a strength here is at most {shown}"))
                .hint("Copy the strength from the label, with its unit."),
        );
    }
    Ok(())
}

/// As people write it: `5 %` where the basis was only assumed, `5 % w/v` where it was said.
impl fmt::Display for Strength {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let unit = if self.basis_assumed { "%" } else { self.basis.name() };
        write!(f, "{}", decimal_text(self.value.low))?;
        if !self.value.is_one() {
            write!(f, "-{}", decimal_text(self.value.high))?;
        }
        write!(f, " {unit}")
    }
}
