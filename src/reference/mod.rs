//! The tables of `shared/`, each value with its source, and the look-up of names.

mod exposure;
mod forbidden;
mod hazard_kind;
mod hint;
mod ingredient;
mod past;
pub mod schema;
mod sorted_map;
mod statements;
mod terms;
pub mod yaml;

pub use exposure::{ChosenLimit, LIMIT_MOLAR_VOLUME_L_MOL, exposure_limits, gases, ventilation};
pub use forbidden::{Poison, poison};
pub use ingredient::{Ingredient, Meaning, read_ingredient, read_or_ask, resolve, suspects};
pub use past::{Before, Past, Rinsed, read_past};
pub use terms::{Cover, Method, Room};

pub use schema::{
    Authority, BySubstance, ExposureLimit, Form, GasLimits, HazardClass, HazardKind, HazardRole, LimitKind, List,
    Material, MaterialKind, Role, Route, Source, StrengthNeed, Substance,
};
pub use statements::{label_elements, precautions, statement_text, statements};

use schema::{
    ExposureTable, GloveTable, Good, IncompatibleTable, MaterialNames, MaterialTable, RetailTable, SolutionTable,
    StatementTable, SubstanceTable, Thing,
};

/// A table that the build script wrote.
macro_rules! embedded {
    ($name:literal) => {
        include!(concat!(env!("OUT_DIR"), "/", $name, ".rs"))
    };
}

// After the macro, which they use.
mod measures;
mod names;
pub use measures::{bulk_density, bulk_solids, volume_measures};

static SUBSTANCES: SubstanceTable = embedded!("substances");
static EXPOSURE: ExposureTable = embedded!("exposure");
static GLOVES: GloveTable = embedded!("gloves");
static STATEMENTS: StatementTable = embedded!("statements");
static MATERIALS: MaterialTable = embedded!("materials");
static MATERIAL_NAMES: MaterialNames = embedded!("material_names");
static RETAIL: RetailTable = embedded!("retail");
static INCOMPATIBLE: IncompatibleTable = embedded!("incompatible");

static BY_SUBSTANCE: BySubstance = embedded!("by_substance");
static SOLUTIONS: SolutionTable = embedded!("solutions");

/// The figures of solution chemistry.
pub fn solutions() -> &'static SolutionTable {
    &SOLUTIONS
}

/// All substances, sorted by id.
pub fn substances() -> &'static [Substance] {
    &SUBSTANCES.substances
}

/// The substance with this id.
pub fn substance(id: &str) -> Option<&'static Substance> {
    let all = substances();
    all.binary_search_by(|s| s.id.as_ref().cmp(id)).ok().map(|i| &all[i])
}

impl Substance {
    /// Whether it has this role.
    pub fn is(&self, role: Role) -> bool {
        self.roles.binary_search(&role).is_ok()
    }

    /// Whether it has any of these roles.
    pub fn is_any(&self, roles: &[Role]) -> bool {
        roles.iter().any(|r| self.is(*r))
    }
}

/// Which glove materials hold against which chemicals.
pub fn glove_table() -> &'static GloveTable {
    &GLOVES
}

/// What shops sell to the public, by substance and strength.
pub fn goods() -> &'static [Good] {
    &RETAIL.goods
}

/// What shops sell beside what is poured: papers, waxes, brushes.
pub fn things() -> &'static [Thing] {
    &RETAIL.things
}

/// All materials, sorted by id.
pub fn materials() -> &'static [Material] {
    &MATERIALS.materials
}

/// The material with this id, name or alias (whole name, case ignored).
pub fn material(name: &str) -> Option<&'static Material> {
    MATERIAL_NAMES.get(name.trim().to_lowercase().as_str()).map(|i| &materials()[usize::from(*i)])
}

/// What must not meet.
pub fn incompatible() -> &'static IncompatibleTable {
    &INCOMPATIBLE
}

/// The parts that a substance plays in [`incompatible`], with equivalents per mole; none where no role names it.
pub fn parts_played(id: &str) -> List<(HazardRole, f64)> {
    BY_SUBSTANCE.plays.get(id).copied().unwrap_or_default()
}

/// The reactivity groups whose members in [`incompatible`] a substance is among, with the strength from which it counts
/// as strong there, per cent.
pub fn reactivity_groups(id: &str) -> List<(u16, f64)> {
    BY_SUBSTANCE.groups.get(id).copied().unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tables_are_sorted() {
        assert!(substances().windows(2).all(|w| w[0].id < w[1].id));
        for s in substances() {
            assert!(s.roles.windows(2).all(|w| w[0] < w[1]), "{}: {:?}", s.id, s.roles);
            assert!(!s.sources.is_empty(), "{}", s.id);
        }
    }

    #[test]
    fn everyday_names_point_at_substances() {
        static EVERYDAY: schema::EverydayTable = embedded!("everyday");
        for e in &EVERYDAY.names {
            for m in &e.means {
                assert!(substance(&m.id).is_some(), "{:?}: {}", e.words, m.id);
                assert!(
                    m.percent.is_none_or(|[low, high]| 0.0 <= low && low <= high && high <= 100.0),
                    "{:?}",
                    e.words
                );
            }
        }
    }
}
