use super::{HazardRole, IncompatibleTable, List, SortedMap, Text};
use databake::Bake;
use std::collections::BTreeMap;

/// What `shared/incompatible.yaml` says of each substance, turned round by the build script.
#[derive(Debug, Bake)]
#[databake(path = crate::reference::schema)]
pub struct BySubstance {
    /// The parts it plays, with equivalents per mole.
    pub plays: SortedMap<Text, List<(HazardRole, f64)>>,
    /// Its reactivity groups, with the strength from which it counts as strong, per cent.
    pub groups: SortedMap<Text, List<(u16, f64)>>,
}

/// Turns the table round.
pub fn by_substance(table: &IncompatibleTable) -> BySubstance {
    let mut plays: BTreeMap<Text, Vec<(HazardRole, f64)>> = BTreeMap::new();
    for (role, members) in table.roles.0.iter() {
        for (id, per_mole) in members.0.iter() {
            plays.entry(id.clone()).or_default().push((*role, *per_mole));
        }
    }
    let mut groups: BTreeMap<Text, Vec<(u16, f64)>> = BTreeMap::new();
    for group in &table.epa.groups {
        for (id, strong) in group.members.0.iter() {
            groups.entry(id.clone()).or_default().push((group.n, *strong));
        }
    }
    BySubstance { plays: sorted(plays), groups: sorted(groups) }
}

fn sorted<T>(map: BTreeMap<Text, Vec<T>>) -> SortedMap<Text, List<T>> {
    SortedMap(map.into_iter().map(|(id, list)| (id, list.into())).collect())
}
