//! What to buy for a recipe: real package sizes with the strength to look for, retail strengths only.

use crate::amount::{Exact, figure};
use crate::bath::Dose;

/// One line of a shopping list.
#[derive(Debug, Clone, PartialEq)]
pub struct Purchase {
    /// What to ask for.
    pub name: String,
    /// Strength to look for on the label.
    pub strength: Option<String>,
    /// What the bath takes.
    pub needed: String,
    /// Packages, such as "1 x 500 mL"; `None` when nothing is suggested.
    pub packages: Option<String>,
    /// Where it is sold, or why nothing is suggested.
    pub remark: String,
}

/// What shops sell: substance, usual strength (per cent), package sizes in mL or g, where.
struct Sold {
    id: &'static str,
    percent: Option<f64>,
    packages: &'static [u32],
    unit: &'static str,
    place: &'static str,
}

const fn solid(id: &'static str, packages: &'static [u32], place: &'static str) -> Sold {
    Sold { id, percent: None, packages, unit: "g", place }
}

const fn liquid(id: &'static str, percent: f64, packages: &'static [u32], place: &'static str) -> Sold {
    Sold { id, percent: Some(percent), packages, unit: "mL", place }
}

const CRAFT: &str = "a supplier of craft or laboratory chemicals that gives you its data sheet";

/// Package sizes and strengths: common practice, no source. Nothing above what is sold to the public: 12 % peroxide
/// (Regulation (EU) 2019/1148, Annex I), household ammonia and vinegar.
const SOLD: &[Sold] = &[
    liquid("acetic_acid", 5.0, &[500, 1000, 5000], "a grocer"),
    liquid("ammonia_aq", 10.0, &[500, 1000], "a household or hardware shop"),
    solid("ammonium_acetate", &[100, 250, 500], CRAFT),
    solid(
        "ammonium_carbonate",
        &[100, 250, 500],
        "a baker's supplier (baking ammonia) or a supplier of craft chemicals",
    ),
    solid("ammonium_chloride", &[100, 250, 1000], CRAFT),
    solid("ammonium_sulfate", &[500, 1000], "a garden shop (fertiliser) or a supplier of craft chemicals"),
    solid("calcium_chloride", &[250, 500, 1000], "a hardware shop (road or drying salt)"),
    solid("copper_acetate", &[50, 100, 250], CRAFT),
    solid("copper_carbonate_basic", &[100, 250, 500], "a potter's supplier"),
    solid("copper_nitrate_trihydrate", &[50, 100, 250], CRAFT),
    solid("copper_sulfate_pentahydrate", &[250, 500, 1000], "a supplier of craft or garden chemicals"),
    liquid("ethanol", 96.0, &[250, 500, 1000], "a hardware shop or pharmacy (methylated spirit)"),
    solid("ferric_nitrate", &[50, 100, 250], CRAFT),
    liquid("hydrogen_peroxide", 3.0, &[100, 250, 500, 1000], "a pharmacy"),
    solid("potassium_polysulfide", &[25, 50, 100], "a jeweller's supplier"),
    solid("sodium_bicarbonate", &[250, 500, 1000], "a grocer"),
    solid("sodium_chloride", &[500, 750, 1000], "a grocer"),
    solid("tannic_acid", &[50, 100, 250], "a wine maker's or conservator's supplier"),
];

/// What is bought for one dose. `passed` says whether the whole mixture passed its review: nothing is suggested for one
/// that did not.
pub(super) fn purchase(dose: &Dose, passed: bool) -> Purchase {
    let name = dose.ingredient.line.name.clone();
    let plain = |remark: &str| Purchase {
        name: name.clone(),
        strength: None,
        needed: if passed { dose.metric.clone() } else { String::new() },
        packages: None,
        remark: remark.to_string(),
    };
    if !passed {
        return plain("the mixture was refused, so nothing is suggested");
    }
    let Some(substance) = dose.ingredient.substance() else { return plain("read what its label lists first") };
    let Some(sold) = SOLD.iter().find(|s| s.id == substance.id) else {
        return plain("no package is suggested: ask a supplier that gives you its data sheet");
    };
    let wanted = dose.ingredient.line.strength.as_ref().map(|s| s.value.high.to_f64());
    if let (Some(percent), Some(wanted)) = (sold.percent, wanted)
        && wanted > percent * 1.001
    {
        return plain("this strength is not sold to the public: no purchase is suggested; choose another recipe");
    }
    let exact = if sold.unit == "mL" { dose.exact.millilitres_exact() } else { dose.exact.grams_exact() };
    let spooned = dose.exact.millilitres_exact().map(|v| v.high);
    // A solid by the spoon: at most a gram and a half to the millilitre.
    let needed = exact.map(|v| v.high.to_f64()).or_else(|| spooned.map(|v: Exact| v.to_f64() * 1.5));
    let strength = sold.percent.map(|p| format!("{} %", figure(p)));
    Purchase {
        name,
        strength,
        needed: dose.metric.clone(),
        packages: needed.map(|n| packages(sold, n)),
        remark: format!("from {}", sold.place),
    }
}

/// The smallest package that holds it, or several of the largest.
fn packages(sold: &Sold, needed: f64) -> String {
    let largest = sold.packages.last().copied().unwrap_or(1);
    let size = sold.packages.iter().copied().find(|p| f64::from(*p) >= needed).unwrap_or(largest);
    let count = (needed / f64::from(size)).ceil().clamp(1.0, 1e6);
    format!("{count:.0} x {size} {}", sold.unit)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_smallest_package_that_holds_it_is_taken() {
        let salt = SOLD.iter().find(|s| s.id == "sodium_chloride").unwrap();
        assert_eq!(packages(salt, 40.0), "1 x 500 g");
        assert_eq!(packages(salt, 501.0), "1 x 750 g");
        assert_eq!(packages(salt, 2500.0), "3 x 1000 g");
    }

    #[test]
    fn the_table_is_sorted_and_every_substance_is_known() {
        assert!(SOLD.windows(2).all(|w| w[0].id < w[1].id));
        for s in SOLD {
            assert!(crate::reference::substance(s.id).is_some(), "{}", s.id);
            assert!(s.packages.windows(2).all(|w| w[0] < w[1]), "{}", s.id);
        }
    }
}
