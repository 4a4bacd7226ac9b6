//! One file a hazard family; the list of them is the registry.
//!
//! Invariants that every rule keeps, and that the property tests check:
//!
//! - A rule reads [`Facts`] only. Rules never call each other, and their order means nothing.
//! - Monotone: what makes a stop is a *lower bound* on a bottle, on the sum of a role, on temperature, closure or
//!   smallness of the room, judged on the ingredients that react and on nothing else. So one more ingredient, water
//!   included, never takes a stop away; a strong stock is thinned in a step and vessel of its own.
//! - Texts are in `shared/incompatible.yaml` and hold no amount, ratio or threshold; figures are [`Found::numbers`].

use super::exposure::Release;
use super::facts::Facts;
use super::{Figure, Gravity};
use crate::reference::incompatible;
use crate::reference::schema::{Grade, MetalFamily, RuleCard};
use once_cell::sync::Lazy;

mod kit;
mod meetings;
mod told;

use kit::three_figures;

/// Makes the `mod` and the entry in [`CODED`] from one line a rule: `file: "rule-id" => function`.
macro_rules! registry {
    ($($file:ident: { $($id:literal => $check:ident),+ $(,)? })+) => {
        $(mod $file;)+
        /// The rules that need arithmetic or conditions: id, and what checks it.
        const CODED: &[(&str, Check)] = &[$($(($id, $file::$check)),+),+];
    };
}

registry! {
    air: { "air-over-limit" => over_limit }
    barrel: { "metal-and-water-closed" => wet_metal, "residue-on-metal-closed" => residue }
    ammonia: {
        "ammonia-vapour" => vapour,
        "ammonium-carbonate-warm" => ammonium_carbonate,
        "ammonia-with-copper" => with_copper,
    }
    chlorine: {
        "hypochlorite-on-metal" => on_metal,
        "pool-chlorine-damp" => damp_powder,
        "chloride-acid-oxidiser" => three_together,
    }
    fit: {
        "hotter-than-binder" => hotter_than_binder,
        "hotter-than-vessel" => hotter_than_vessel,
        "metal-not-meant" => metal_not_meant,
        "filled-plastic-not-suited" => filled_plastic,
        "hot-bath" => hot_bath,
    }
    groups: { "reactivity-groups" => groups }
    heat: {
        "acid-with-base" => acid_with_base,
        "water-into-strong-acid" => water_into_acid,
        "alkali-in-water" => alkali_in_water,
        "heat-of-mixing" => of_mixing,
        "fuming-chloride-with-water" => fuming_chloride,
    }
    material: {
        "bath-eats-vessel" => vessel,
        "solvent-on-plastic" => plastic,
        "material-in-bath" => in_bath,
    }
    metal: {
        "acid-on-aluminium" => acid_on_aluminium,
        "alkali-on-aluminium" => alkali_on_aluminium,
        "acid-on-zinc" => acid_on_zinc,
        "alkali-on-zinc" => alkali_on_zinc,
        "acid-on-magnesium" => acid_on_magnesium,
        "acid-on-iron" => acid_on_iron,
        "metal-salt-on-light-metal" => metal_salt_on_light_metal,
        "chlorinated-solvent-on-light-metal" => solvent_on_light_metal,
    }
    metal_salts: {
        "poisonous-hydride" => poisonous_hydride,
        "lead-with-acid" => lead_with_acid,
        "copper-plates-on-iron" => copper_plates_out,
        "etchant-on-metal" => etchant,
        "nitric-acid-on-metal" => nitric_acid,
        "copper-nitrate-on-tin" => copper_nitrate_on_tin,
    }
    peroxide: { "peracetic-acid" => peracetic_acid, "peroxide-on-metal" => on_metal }
    hot: { "falls-apart-hot" => falls_apart, "heated-closed" => heated_closed }
    harm: {
        "harmful-as-mixed" => as_mixed,
        "corrosive-stock" => corrosive_stock,
        "extreme-ph" => extreme_ph,
    }
    poison: {
        "never-at-home" => never_at_home,
        "metal-powder" => metal_powder,
        "serious-poison" => serious_poison,
        "restricted-sale" => restricted_sale,
        "toxic-to-water" => toxic_to_water,
    }
    solvent: { "flammable-vapour" => flammable_vapour, "drying-oil-rags" => drying_oil }
    standing: {
        "gas-in-closed-vessel" => closed_vessel,
        "spray-of-gas-making-mix" => spray,
        "mist-breathed-in" => mist,
        "bath-kept" => kept,
        "contact-before" => contact_before,
    }
    sulfur: { "hydrogen-sulfide-from-bath" => sulfide_bath, "dithionite-damp" => dithionite }
    unknown: {
        "unknown-ingredient" => ingredient,
        "unknown-strength" => strength,
        "forbidden-name" => forbidden_name,
    }
}

/// A rule written in code.
pub type Check = fn(&Facts) -> Option<Found>;

/// A rule of the registry.
#[derive(Clone, Copy)]
pub struct Rule {
    /// Its text.
    pub card: &'static RuleCard,
    how: How,
}

#[derive(Clone, Copy)]
enum How {
    Data(meetings::Sides),
    Code(Check),
}

impl Rule {
    /// What it finds.
    pub fn check(&self, facts: &Facts) -> Option<Found> {
        match &self.how {
            How::Data(sides) => meetings::check(sides, facts),
            How::Code(check) => check(facts),
        }
    }

    /// What it finds, with the figures of its card: for showing. What is only judged does not need them.
    pub fn find(&self, facts: &Facts) -> Option<Found> {
        self.check(facts).map(|found| told::complete(self.card, facts, found))
    }
}

/// Whether what is made is a primary explosive: then nothing is said in figures.
pub fn explosive(card: &RuleCard) -> bool {
    card.products.iter().any(|product| product.contains("primary explosive"))
}

/// What a rule found; its text is on the card.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// How grave here.
    pub gravity: Gravity,
    /// Figures.
    pub numbers: Vec<Figure>,
    /// Products in place of the card's, when they depend on what is there.
    pub products: Option<Vec<String>>,
    /// Who it is about, added to the reason. No amounts.
    pub who: Option<String>,
    /// The metal it is about, where the card says something of its own of it.
    pub metal: Option<MetalFamily>,
    /// What to do first, before what the card says.
    pub first: Vec<String>,
    /// Gases set free.
    pub gases: Vec<Made>,
}

/// A gas set free, at most.
#[derive(Debug, Clone, PartialEq)]
pub struct Made {
    /// Its id.
    pub gas: String,
    /// Moles.
    pub mol: f64,
    /// How fast it comes.
    pub release: Release,
}

impl Found {
    /// Nothing but its gravity.
    pub fn of(gravity: Gravity) -> Self {
        Found {
            gravity,
            numbers: Vec::new(),
            products: None,
            who: None,
            metal: None,
            first: Vec::new(),
            gases: Vec::new(),
        }
    }

    /// With a figure, unless it is not finite.
    pub fn number(mut self, key: &'static str, value: Option<f64>) -> Self {
        let Some(value) = value.filter(|v| v.is_finite()).map(three_figures) else { return self };
        match self.numbers.iter_mut().find(|(k, _)| *k == key) {
            // Of two volumes at which it turns, by its heat and by its gas, the smaller one is the one to know.
            Some((_, told)) if key == "dangerous_from_ml" => *told = told.min(value),
            Some((_, told)) => *told = value,
            None => self.numbers.push((key, value)),
        }
        self
    }

    /// With names.
    pub fn who(mut self, who: impl Into<String>) -> Self {
        self.who = Some(who.into());
        self
    }
}

static RULES: Lazy<Vec<Rule>> = Lazy::new(|| {
    let how = |card: &'static RuleCard| match &card.meeting {
        Some(meeting) => Some(How::Data(meetings::Sides::of(meeting))),
        None => Some(How::Code(CODED.iter().find(|(id, _)| *id == card.id)?.1)),
    };
    incompatible().rules.iter().filter_map(|card| Some(Rule { card, how: how(card)? })).collect()
});

/// Every rule, in the order of the table.
pub fn all() -> &'static [Rule] {
    &RULES
}

/// Whether anything here is judged by how much there is of it.
pub fn amounts_matter(facts: &Facts) -> bool {
    use crate::reference::schema::HazardRole as H;
    let by_amount = [H::Ammonia, H::Sulfite, H::Thiosulfate, H::Peroxide, H::StrongBase, H::Lime];
    facts.any(super::parts_played::Roles::of(&by_amount))
}

/// What a rule says to do, and how to do it if it is done.
pub fn advice(card: &RuleCard) -> impl Iterator<Item = String> + use<> {
    card.actions.iter().chain(&card.ways).map(|text| text.to_string())
}

/// The rule with this id.
pub fn find(id: &str) -> Option<Rule> {
    all().iter().find(|rule| rule.card.id == id).copied()
}

/// Gravity from the tables.
pub fn gravity(grade: Grade) -> Gravity {
    match grade {
        Grade::Note => Gravity::Note,
        Grade::Caution => Gravity::Caution,
        Grade::StrongCaution => Gravity::StrongCaution,
        Grade::Stop => Gravity::Stop,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_card_has_one_evaluator_and_every_evaluator_a_card() {
        let cards = &incompatible().rules;
        for card in cards {
            let coded = CODED.iter().filter(|(id, _)| *id == card.id).count();
            assert_eq!(coded + usize::from(card.meeting.is_some()), 1, "{}", card.id);
        }
        for (id, _) in CODED {
            assert_eq!(cards.iter().filter(|c| c.id == *id).count(), 1, "{id}");
        }
        assert_eq!(all().len(), cards.len());
    }

    #[test]
    fn every_card_names_its_sources_and_no_figure() {
        let table = incompatible();
        for card in &table.rules {
            assert!(!card.sources.is_empty() && advice(card).next().is_some(), "{}", card.id);
            assert!(card.range[0] <= card.range[1], "{}", card.id);
            for key in card.sources.iter().chain(card.by_metal.values().flat_map(|text| &text.sources)) {
                assert!(table.sources.contains_key(key), "{}: {key}", card.id);
            }
            // What sets off a guarded rule, or one that quotes the limits of a law, is told without a figure too.
            let told = card.guarded || card.id == "restricted-sale";
            let fires = told.then(|| card.fires.to_string());
            let of_metals = card.by_metal.values().flat_map(|text| [text.title.to_string(), text.why.to_string()]);
            let texts = [card.title.to_string(), card.why.to_string()].into_iter().chain(of_metals);
            for text in texts.chain(advice(card)).chain(fires) {
                assert!(!text.contains(|c: char| c.is_ascii_digit() || c == '%'), "{}: {text}", card.id);
            }
        }
    }
}
