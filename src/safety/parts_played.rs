//! Who plays which part in a hazard: a set of [`HazardRole`]s for each substance.
//!
//! `shared/incompatible.yaml` names the substances it knows, with equivalents per mole. A substance that it does not
//! name (a later entry, a user's own) plays what its general roles in the substance table amount to, one equivalent a
//! mole, so that a new substance is judged from the day it is entered.

use crate::reference::schema::{HazardRole, Role};
use crate::reference::{Substance, parts_played};
use std::borrow::Cow;

/// A set of roles.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Roles(u128);

impl Roles {
    /// The set of these roles.
    pub const fn of(roles: &[HazardRole]) -> Self {
        let mut bits = 0;
        let mut i = 0;
        while i < roles.len() {
            bits |= 1u128 << (roles[i] as u32);
            i += 1;
        }
        Roles(bits)
    }

    /// Whether the two sets share a role.
    pub const fn meets(self, other: Roles) -> bool {
        self.0 & other.0 != 0
    }

    /// Whether a role is in the set.
    pub const fn has(self, role: HazardRole) -> bool {
        self.0 & (1u128 << (role as u32)) != 0
    }

    /// The set less another.
    pub const fn without(self, other: Roles) -> Roles {
        Roles(self.0 & !other.0)
    }

    fn add(&mut self, role: HazardRole) {
        self.0 |= 1u128 << (role as u32);
    }
}

/// What a substance plays, and how many equivalents a mole of it brings for each role.
#[derive(Debug, Clone, Default)]
pub struct Played {
    /// The roles.
    pub roles: Roles,
    equivalents: Cow<'static, [(HazardRole, f64)]>,
}

impl Played {
    /// The most equivalents a mole of this brings for any role of the set.
    pub fn equivalents(&self, roles: Roles) -> f64 {
        self.equivalents.iter().filter(|(r, _)| roles.has(*r)).map(|(_, n)| *n).fold(0.0, f64::max)
    }

    /// Plays this too.
    pub(super) fn add(&mut self, role: HazardRole, per_mole: f64) {
        self.roles.add(role);
        self.equivalents.to_mut().push((role, per_mole));
    }
}

/// What the substance plays.
pub fn played(substance: &Substance) -> Played {
    let named = parts_played(&substance.id);
    if named.is_empty() {
        return from_general_roles(substance);
    }
    let mut roles = Roles::default();
    named.iter().for_each(|(role, _)| roles.add(*role));
    Played { roles, equivalents: Cow::Borrowed(named.0) }
}

fn from_general_roles(substance: &Substance) -> Played {
    use HazardRole as H;
    let mut played = Played::default();
    for role in &substance.roles {
        let plays: &[HazardRole] = match role {
            Role::StrongAcid => &[H::StrongAcid, H::MineralAcid],
            Role::OrganicAcid => &[H::OrganicAcid],
            Role::Acid if !substance.is(Role::StrongAcid) && !substance.is(Role::OrganicAcid) => &[H::MineralAcid],
            Role::AcidicSalt => &[H::AcidicSalt],
            Role::ActiveChlorine | Role::Hypochlorite => &[H::Hypochlorite, H::PoolChlorine, H::Oxidiser],
            Role::Alcohol => &[H::Alcohol, H::Fuel],
            Role::AluminiumMetal => &[H::AluminiumMetal],
            Role::Amide => &[H::Amine],
            Role::Ammonia => &[H::Ammonia, H::FreeAmmonia],
            Role::AmmoniumSalt => &[H::Ammonium],
            Role::Antimony => &[H::Antimony],
            Role::Arsenic => &[H::Arsenic, H::NeverAtHome],
            Role::StrongBase => &[H::StrongBase, H::Alkali],
            Role::Carbonate => &[H::Carbonate],
            Role::Catalyst => &[H::MetalIons],
            Role::Chlorate => &[H::Chlorate, H::Oxidiser],
            Role::Chloride => &[H::Chloride],
            Role::ChromiumVi => &[H::Chromate, H::Oxidiser, H::NeverAtHome],
            Role::ComplexCyanide => &[H::ComplexCyanide],
            Role::CopperMetal => &[H::CopperMetal],
            Role::CopperSalt => &[H::CopperSalt, H::MetalIons],
            Role::Cyanide => &[H::Cyanide, H::NeverAtHome],
            Role::Dithionite => &[H::Dithionite, H::Sulfite, H::Reducer],
            Role::DryFuel => &[H::CombustibleSolid, H::Fuel, H::SoaksUpOil],
            Role::DryingOil => &[H::DryingOil, H::Fuel],
            Role::Etchant => &[H::Etchant],
            Role::Flammable => &[H::FlammableSolvent, H::Fuel],
            Role::Fluoride => &[H::Fluoride],
            Role::Fuel => &[H::Fuel],
            Role::Halogen => &[H::Halogen, H::Oxidiser],
            Role::HalogenatedSolvent => &[H::ChlorinatedSolvent],
            Role::IronMetal => &[H::IronMetal],
            Role::IronSalt => &[H::IronSalt, H::MetalIons],
            Role::Ketone => &[H::Ketone, H::Fuel],
            Role::LeadMetal => &[H::LeadMetal],
            Role::LeadSalt => &[H::LeadCompound, H::NeverAtHome],
            Role::MagnesiumMetal => &[H::MagnesiumMetal],
            Role::Mercury => &[H::NeverAtHome],
            Role::MetalPowder => &[H::MetalPowder],
            Role::Nitrate => &[H::Nitrate, H::Oxidiser],
            Role::Nitrite => &[H::Nitrite],
            Role::Oxidiser => &[H::Oxidiser],
            Role::PeroxideSource => &[H::Peroxide, H::Oxidiser],
            Role::Permanganate => &[H::Permanganate, H::Oxidiser],
            Role::Persulfate => &[H::Persulfate, H::Oxidiser],
            Role::Reducer => &[H::Reducer],
            Role::Selenium => &[H::Selenium, H::NeverAtHome],
            Role::SilverMetal => &[H::SilverMetal],
            Role::SilverSalt => &[H::SilverSalt, H::MetalIons],
            Role::Sulfide => &[H::Sulfide],
            Role::Sulfite => &[H::Sulfite, H::Reducer],
            Role::Thiosulfate => &[H::Thiosulfate, H::Reducer],
            Role::ToxicGas => &[H::PoisonGas, H::NeverAtHome],
            Role::Water => &[H::Water],
            Role::ZincMetal => &[H::ZincMetal],
            _ => &[],
        };
        for plays in plays {
            played.add(*plays, 1.0);
        }
    }
    played
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reference::substance;

    #[test]
    fn every_member_of_a_role_is_a_known_substance() {
        for (role, members) in &crate::reference::incompatible().roles {
            for id in members.keys() {
                assert!(substance(id).is_some(), "{role:?}: {id}");
            }
        }
    }

    #[test]
    fn a_polyprotic_acid_brings_its_equivalents() {
        let citric = played(substance("citric_acid").expect("in the table"));
        assert_eq!(citric.equivalents(Roles::of(&[HazardRole::OrganicAcid])), 3.0);
        assert!(!citric.roles.has(HazardRole::MineralAcid));
    }
}
