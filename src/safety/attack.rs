//! What a bath does to a material that lies, hangs or stands in it, and what the material does to the part.
//!
//! Which material is what comes from the materials table (`family`, `attacked_by_acid`, `porous`); the pairs below are
//! the materials table's own notes, 40 CFR 264 Appendix V group 2, and common practice without a source where marked.

use super::facts::Facts;
use super::parts_played::Roles;
use crate::reference::schema::{HazardRole as H, MaterialKind, MetalFamily};
use crate::reference::{Material, Role};

/// What kind of bath it is, as far as materials care.
pub struct Bath {
    acid: bool,
    strong_acid: bool,
    alkali: bool,
    strong_alkali: bool,
    ammonia: bool,
    chloride: bool,
    peroxide: bool,
    bleach: bool,
    sulfide: bool,
    copper_salt: bool,
    etchant: bool,
    oxidising_acid: bool,
    fluoride: bool,
    oxidiser: bool,
    solvent: bool,
    iron_salt: bool,
    only_water: bool,
}

/// Kinds of solvent that soften the common printing plastics.
const SOFTENS: [Role; 4] = [Role::Ketone, Role::Ester, Role::Aromatic, Role::Unsaturated];

impl Bath {
    /// What is poured.
    pub fn of(facts: &Facts) -> Self {
        let any = |roles: &[H]| facts.any(Roles::of(roles));
        let id = |ids: &[&str]| facts.poured().any(|p| ids.contains(&p.substance.id.as_ref()));
        let strong = |roles: &[H], from: f64| facts.strongest(Roles::of(roles)).is_some_and(|p| p >= from);
        Bath {
            acid: any(&[H::MineralAcid, H::OrganicAcid, H::AcidicSalt]),
            strong_acid: any(&[H::MineralAcid]) || strong(&[H::Acetic], 25.01),
            alkali: any(&[H::Alkali]),
            strong_alkali: any(&[H::StrongBase, H::Lime]),
            ammonia: any(&[H::Ammonia]),
            chloride: any(&[H::Chloride]),
            peroxide: any(&[H::Peroxide]),
            bleach: any(&[H::Hypochlorite]),
            sulfide: any(&[H::Sulfide]),
            copper_salt: any(&[H::CopperSalt]),
            etchant: any(&[H::Etchant]),
            oxidising_acid: any(&[H::Nitric]),
            fluoride: any(&[H::Fluoride]) || id(&["hydrofluoric_acid"]),
            oxidiser: any(&[H::Oxidiser]),
            solvent: facts
                .poured()
                .any(|p| p.plays(H::FlammableSolvent) && p.substance.is_any(&SOFTENS) && p.percent() >= 10.0)
                || any(&[H::ChlorinatedSolvent]),
            iron_salt: any(&[H::IronSalt]),
            only_water: facts.poured().all(|p| p.plays(H::Water)) && facts.unknown.iter().all(|u| u.before),
        }
    }

    /// Why the bath attacks the material, if it does.
    pub fn attacks(&self, material: &Material) -> Option<String> {
        let name = &material.name;
        let because = |why: &str| Some(format!("{name}: {why}"));
        if material.attacked_by_acid && self.acid {
            return because("holds lime or carbonate, which the acid dissolves with froth; it also uses the acid up");
        }
        if let Some(why) = material.family.and_then(|family| self.attacks_metal(family)) {
            return because(why);
        }
        if let Some(why) =
            material.beneath.filter(|_| material.kind == MaterialKind::Metal).and_then(|f| self.attacks_metal(f))
        {
            return because(&format!("under the coating, {why}"));
        }
        match material.kind {
            MaterialKind::Glass if self.fluoride => because("fluoride etches glass through"),
            MaterialKind::Ceramic if self.fluoride => because("fluoride etches glaze and ceramic"),
            MaterialKind::Wax if self.solvent => because("the solvent dissolves it"),
            MaterialKind::Polymer => self.attacks_polymer(material.id.as_ref()).and_then(because),
            MaterialKind::Wood if self.strong_acid || self.alkali || self.oxidiser => {
                because("strong acids, alkalis and oxidisers eat wood, and oxidisers dried into it burn")
            }
            MaterialKind::Other if material.porous && (self.strong_acid || self.strong_alkali || self.oxidiser) => {
                because("the bath weakens the fibre, and an oxidiser dried into it burns")
            }
            _ => None,
        }
    }

    fn attacks_metal(&self, family: MetalFamily) -> Option<&'static str> {
        use MetalFamily as M;
        let salts = self.copper_salt || self.iron_salt;
        match family {
            M::Zinc if self.acid || self.alkali || salts || self.ammonia || self.bleach || self.chloride => {
                Some("zinc dissolves, gives off hydrogen in acid and keeps the part from colouring")
            }
            M::Aluminium if self.acid || self.alkali || salts || self.bleach || self.chloride || self.ammonia => {
                Some("aluminium dissolves, with hydrogen and heat in acid, alkali or metal salts")
            }
            M::Magnesium if !self.only_water => Some("magnesium dissolves in almost every bath, with hydrogen"),
            M::Lead if !self.only_water => Some("lead goes into solution and poisons the bath and the hands"),
            M::Ferrous if self.copper_salt => Some("copper from the bath plates out on iron and uses the bath up"),
            M::Ferrous if self.acid || self.chloride || self.peroxide || self.bleach || self.etchant => {
                Some("iron dissolves and rusts in it, and uses the bath up")
            }
            M::Stainless if self.etchant || self.bleach => {
                Some("chloride with an oxidiser pits stainless steel through")
            }
            M::Stainless if self.strong_acid && self.chloride => {
                Some("chloride in strong acid dissolves stainless steel")
            }
            M::CopperAlloy if self.ammonia => Some("ammonia dissolves copper and cracks stressed brass"),
            M::CopperAlloy if self.etchant || self.oxidising_acid => Some("the etchant dissolves copper"),
            M::CopperAlloy if self.sulfide => Some("the sulfide blackens copper and uses the bath up"),
            M::CopperAlloy if self.peroxide && self.acid => Some("acid with peroxide dissolves copper"),
            M::Tin if self.strong_acid || self.strong_alkali || self.etchant => Some("tin dissolves in it"),
            M::Nickel if self.acid || self.etchant || self.ammonia => {
                Some("nickel goes into solution and sensitises skin")
            }
            M::Chromium if self.chloride && self.acid => Some("chloride and acid break through chrome plating"),
            M::Silver if self.sulfide || self.oxidising_acid || self.bleach => {
                Some("silver tarnishes or dissolves in it")
            }
            M::Titanium if self.fluoride => Some("fluoride dissolves titanium"),
            _ => None,
        }
    }

    fn attacks_polymer(&self, id: &str) -> Option<&'static str> {
        let soft = ["abs", "asa", "polystyrene", "polystyrene_foam", "polycarbonate", "acrylic", "pla", "petg", "pvc"];
        let solvent_eats = soft.contains(&id) || ["photopolymer_resin", "rubber", "tpu"].contains(&id);
        let alkali_eats = ["pla", "pet", "petg", "polycarbonate"].contains(&id);
        match () {
            () if self.solvent && solvent_eats => Some("the solvent softens or dissolves it"),
            () if alkali_eats && self.strong_alkali => Some("strong alkali eats it"),
            () if id == "polycarbonate" && (self.ammonia || self.alkali) => Some("ammonia and alkali crack it"),
            () if id == "nylon" && (self.strong_acid || self.etchant) => {
                Some("strong acids and ferric chloride attack nylon")
            }
            () if id == "rubber" && (self.oxidising_acid || self.bleach) => Some("oxidisers make rubber brittle"),
            () => None,
        }
    }
}

/// Why the material would stain a part of these metals by contact, if it would (common practice, no source).
pub fn stains(material: &Material, parts: &[MetalFamily]) -> Option<String> {
    use MetalFamily as M;
    let name = &material.name;
    let against = |families: &[M]| parts.iter().any(|p| families.contains(p));
    let surface: Vec<M> = material.family.into_iter().chain(material.beneath).collect();
    if surface.contains(&M::Ferrous) && against(&[M::CopperAlloy, M::Silver, M::Tin, M::Zinc]) {
        return Some(format!("{name}: iron leaves rust stains where it touches, and plates copper out of the bath"));
    }
    if surface.contains(&M::CopperAlloy) && against(&[M::Ferrous, M::Zinc, M::Aluminium]) {
        return Some(format!("{name}: copper makes the part corrode where they touch and stains it"));
    }
    if material.id == "oak" && against(&[M::Ferrous]) {
        return Some(format!("{name}: its tannin blackens iron where it touches"));
    }
    if material.id == "rubber" && against(&[M::CopperAlloy, M::Silver]) {
        return Some(format!("{name}: its sulfur blackens copper and silver where it touches"));
    }
    if material.porous && material.kind != MaterialKind::Other {
        return Some(format!("{name}: soaks the bath up, changes its level and lets it out later"));
    }
    None
}
