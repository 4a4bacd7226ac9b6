//! The charge balance: molalities of all species from the totals of the components.
//!
//! Activity coefficients by specific ion interaction theory (SIT; constants of the ThermoChimie database v12a):
//! log γ = −A z² √I/(1 + 1.5 √I) + Σ ε m, which holds in brines where Davies does not. `newton` solves the equations.

use super::newton::{Goal, Reagent, Row, SETTLED, SETTLED_NEAR, State, System};
use super::slopes::{Led, Slopes};
use crate::reference::schema::{Component, Precipitate, Species};
use crate::reference::solutions;
use std::cell::OnceCell;
use std::rc::Rc;

const LN10: f64 = std::f64::consts::LN_10;
/// Molar gas constant, J/(mol K) (SI 2019).
const GAS_J_MOL_K: f64 = 8.314462618;
/// log10 of mol/kg of dissolved carbon dioxide per atmosphere at 25 °C, and its enthalpy (PHREEQC, phreeqc.dat).
const HENRY_LOG_K: f64 = -1.468;
const HENRY_KJ_MOL: f64 = -19.98;
/// Less of a component than this, mol/kg, is none.
const NOTHING: f64 = 1e-15;

/// Pressure of carbon dioxide over the bath.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Over {
    /// No exchange.
    Nothing,
    /// Held at this pressure, atm.
    Held(f64),
    /// At most this pressure, atm: gas leaves above it, none comes in.
    AtMost(f64),
}

/// Some of the components.
#[derive(Debug, Clone, Copy)]
pub(super) struct Set(u64);

impl Set {
    fn of(components: impl Iterator<Item = Component>) -> Set {
        Set(components.fold(0, |set, c| set | 1 << c as u32))
    }

    /// Whether this one is among them.
    pub fn has(self, component: Component) -> bool {
        self.0 >> component as u32 & 1 == 1
    }
}

/// How much there is of each component, in their order; that of `H` counts protons (negative for hydroxide).
#[derive(Debug, Clone, Default)]
pub(super) struct Totals(Vec<(Component, f64)>);

impl Totals {
    /// Nothing yet, with room for so many components.
    pub fn with_room(components: usize) -> Totals {
        Totals(Vec::with_capacity(components))
    }

    /// Of one component, zero where there is none.
    pub fn get(&self, component: Component) -> f64 {
        self.0.iter().find(|(c, _)| *c == component).map_or(0.0, |(_, m)| *m)
    }

    /// Those of which there is more than this.
    pub fn above(&self, least: f64) -> Set {
        Set::of(self.0.iter().filter(|(_, m)| *m > least).map(|(c, _)| *c))
    }

    /// Adds so much of a component.
    pub fn add(&mut self, component: Component, more: f64) {
        match self.0.binary_search_by_key(&component, |(c, _)| *c) {
            Ok(i) => self.0[i].1 += more,
            Err(i) => self.0.insert(i, (component, more)),
        }
    }

    /// With so many times another added.
    pub fn plus(&self, factor: f64, other: &Totals) -> Totals {
        let mut sum = Totals::with_room(self.0.len() + other.0.len());
        sum.0.extend_from_slice(&self.0);
        other.0.iter().for_each(|(c, m)| sum.add(*c, factor * m));
        sum
    }

    /// So many times as much of everything.
    pub fn times(mut self, factor: f64) -> Totals {
        self.0.iter_mut().for_each(|(_, m)| *m *= factor);
        self
    }
}

/// What the balance finds.
#[derive(Debug, Clone)]
pub(super) struct Balance {
    pub ph: f64,
    equations: Rc<Equations>,
    state: State,
    /// Of the species; worked out where they are asked for.
    molality: OnceCell<Vec<f64>>,
    /// Worked out once for all the solutions like it; `None` where it has none.
    slopes: OnceCell<Option<Rc<Slopes>>>,
}

impl Balance {
    fn of(equations: Rc<Equations>, Led { state, slopes }: Led) -> Balance {
        let molality = OnceCell::new();
        let slopes = slopes.map_or_else(OnceCell::new, |slopes| OnceCell::from(Some(slopes)));
        Balance { ph: -state.ln_a[0] / LN10, equations, state, molality, slopes }
    }

    /// Where to begin with other equations for about the same solution; `None` where they have something that this has not.
    fn among(&self, equations: &Equations) -> Option<State> {
        let ln_a = equations.components.iter().map(|c| self.ln_activity(*c)).collect::<Option<Vec<f64>>>()?;
        let (own, rows) = (&self.equations.system.rows, &equations.system.rows);
        let ln_gamma = |row: &Row| Some(self.state.ln_gamma[own.iter().position(|r| r.name == row.name)?]);
        let ln_gamma = rows.iter().map(ln_gamma).collect::<Option<Vec<f64>>>()?;
        Some(State { ln_a, ln_gamma })
    }

    /// A solution like this one, of the same equations; `None` where the slopes of this one do not lead to it.
    fn lead(&self, goal: &mut Goal, settled_at: f64) -> Option<Led> {
        let system = &self.equations.system;
        let slopes = self.slopes.get_or_init(|| Slopes::at(system, self.state.clone()));
        Rc::clone(slopes.as_ref()?).lead(system, goal, settled_at)
    }

    fn species(&self) -> impl Iterator<Item = (&Row, f64)> {
        let system = &self.equations.system;
        let molality = self.molality.get_or_init(|| {
            let mut molality = vec![0.0; system.rows.len()];
            system.molalities(&self.state.ln_a, &self.state.ln_gamma, &mut molality);
            molality
        });
        system.rows.iter().zip(molality.iter().copied())
    }

    /// Ionic strength, mol/kg.
    pub fn ionic_strength(&self) -> f64 {
        0.5 * self.species().map(|(row, m)| row.charge * row.charge * m).sum::<f64>()
    }

    /// Molality of a species, mol/kg; zero where there is none of it.
    pub fn molality(&self, species: &str) -> f64 {
        self.species().find(|(row, _)| row.name == species).map_or(0.0, |(_, m)| m)
    }

    /// Carbon left in solution, mol/kg.
    pub fn carbon(&self) -> f64 {
        self.species().map(|(row, m)| row.carbon * m).sum()
    }

    /// Logarithm of the activity of a component; `None` where there is none of it.
    fn ln_activity(&self, component: Component) -> Option<f64> {
        let Equations { components, ln_co3, .. } = self.equations.as_ref();
        match components.iter().position(|c| *c == component) {
            Some(i) => Some(self.state.ln_a[i]),
            None if component == Component::Co3 => ln_co3.map(|k| k - 2.0 * self.state.ln_a[0]),
            None => None,
        }
    }

    /// Activity of dissolved carbon dioxide.
    fn carbon_dioxide(&self) -> f64 {
        match self.equations.carbon_dioxide {
            Some(held) => held,
            None => self
                .ln_activity(Component::Co3)
                .map_or(0.0, |ln| libm::exp(ln + 2.0 * self.state.ln_a[0] + self.equations.ln_co2)),
        }
    }

    /// Solids that this solution would drop.
    pub fn settles(&self) -> Vec<&'static Precipitate> {
        let drops = |solid: &&'static Precipitate| {
            let index =
                solid.of.iter().try_fold(-solid.log_k, |sum, (c, n)| Some(sum + n * self.ln_activity(*c)? / LN10));
            index.is_some_and(|index| index > solid.lag.unwrap_or(0.5))
        };
        solutions().precipitates.iter().filter(drops).collect()
    }
}

/// The equations of one set of components at one temperature and one pressure of carbon dioxide.
#[derive(Debug)]
struct Equations {
    components: Vec<Component>,
    t_c: f64,
    carbon_dioxide: Option<f64>,
    has_carbon: bool,
    ln_co2: f64,
    ln_co3: Option<f64>,
    system: System,
}

/// A solved solution to start from, and how far to settle.
#[derive(Clone, Copy)]
struct Start<'a> {
    like: &'a Balance,
    settled_at: f64,
}

/// Solves the balance for totals in mol per kg of water.
///
/// `None` when the iteration does not settle: outside what the model can carry.
pub(super) fn balance(totals: &Totals, t_c: f64, over: Over) -> Option<Balance> {
    balance_from(totals, t_c, over, None)
}

/// The same, started from a solution much like it and settled as far as without: for a search that asks again and again.
pub(super) fn balance_after(totals: &Totals, t_c: f64, over: Over, last: &Balance) -> Option<Balance> {
    balance_from(totals, t_c, over, Some(Start { like: last, settled_at: SETTLED }))
}

/// The same for a solution much like one already solved: fewer steps, to 0.0000001 of a pH.
pub(super) fn balance_near(totals: &Totals, t_c: f64, over: Over, near: &Balance) -> Option<Balance> {
    balance_from(totals, t_c, over, Some(Start { like: near, settled_at: SETTLED_NEAR }))
}

/// Activity of carbon dioxide dissolved under this pressure, atm.
fn saturation(atm: f64, t_c: f64) -> f64 {
    atm * libm::pow(10f64, log_k_at(HENRY_LOG_K, Some(HENRY_KJ_MOL), None, t_c))
}

fn balance_from(totals: &Totals, t_c: f64, over: Over, near: Option<Start<'_>>) -> Option<Balance> {
    match over {
        Over::Nothing => solve(totals, t_c, None, near),
        Over::Held(atm) => solve(totals, t_c, Some(saturation(atm, t_c)), near),
        Over::AtMost(atm) => {
            let limit = saturation(atm, t_c);
            // Where the like solution gave off gas this one is tried with gas first: it holds when gas is left to go.
            if near.is_some_and(|n| n.like.equations.carbon_dioxide == Some(limit))
                && let Some(open) = solve(totals, t_c, Some(limit), near)
                && open.carbon() < totals.get(Component::Co3)
            {
                return Some(open);
            }
            let closed = solve(totals, t_c, None, near)?;
            if closed.carbon_dioxide() <= limit { Some(closed) } else { solve(totals, t_c, Some(limit), near) }
        }
    }
}

/// log10 K at a temperature by van 't Hoff with a constant enthalpy, or a constant heat capacity where one is known.
fn log_k_at(log_k: f64, dh_kj_mol: Option<f64>, dcp_j_mol_k: Option<f64>, t_c: f64) -> f64 {
    let dh = dh_kj_mol.unwrap_or(0.0) * 1000.0;
    let ratio = 298.15 / (t_c + 273.15);
    let bent = dcp_j_mol_k.map_or(0.0, |dcp| dcp * (ratio - 1.0 - libm::log(ratio)) / (LN10 * GAS_J_MOL_K));
    log_k + bent + dh / (LN10 * GAS_J_MOL_K) * (1.0 / 298.15 - 1.0 / (t_c + 273.15))
}

fn solve(totals: &Totals, t_c: f64, carbon_dioxide: Option<f64>, near: Option<Start<'_>>) -> Option<Balance> {
    let equations = Equations::for_these(totals, t_c, carbon_dioxide, near.map(|start| start.like))?;
    let mut goal = Goal { totals: equations.goal(totals), reagent: None };
    let nearby = near.filter(|start| Rc::ptr_eq(&start.like.equations, &equations));
    let led = match nearby.and_then(|start| start.like.lead(&mut goal, start.settled_at)) {
        Some(led) => led,
        None => {
            let begin = near.and_then(|start| start.like.among(&equations));
            let begin = begin.unwrap_or_else(|| equations.system.beginning(&goal));
            equations.system.solve_afar(begin, &mut goal)?
        }
    };
    Some(Balance::of(equations, led))
}

/// A bath and a reagent that goes into it.
pub(super) struct Dosing<'a> {
    /// Components of the bath, mol, and its water, kg.
    pub bath: (&'a Totals, f64),
    /// The same of a gram of the reagent.
    pub gram: (&'a Totals, f64),
}

/// What is known of the answer.
pub(super) enum Guess<'a> {
    /// So many grams, roughly, and the balance of the bath before where it is known.
    Grams(f64, Option<&'a Balance>),
    /// What a like bath takes, and its balance with that in.
    Like(f64, &'a Balance),
}

/// Grams of the reagent that bring the bath to a pH, with the balance of the two; `None` where that is not found from what
/// is known. At a given pH all balances are nearly straight lines over the amount, so that it is a matter of a few steps.
pub(super) fn grams_to(
    dosing: &Dosing<'_>,
    ph: f64,
    t_c: f64,
    over: Over,
    guess: &Guess<'_>,
) -> Option<(f64, Balance)> {
    match over {
        Over::Nothing => dosed(dosing, ph, t_c, None, guess),
        Over::Held(atm) => dosed(dosing, ph, t_c, Some(saturation(atm, t_c)), guess),
        Over::AtMost(atm) => {
            let limit = saturation(atm, t_c);
            let gas_leaves = |(grams, open): &(f64, Balance)| {
                let mol = dosing.bath.0.get(Component::Co3) + grams * dosing.gram.0.get(Component::Co3);
                open.carbon() * (dosing.bath.1 + grams * dosing.gram.1) < mol
            };
            let open = || dosed(dosing, ph, t_c, Some(limit), guess).filter(gas_leaves);
            let closed = || dosed(dosing, ph, t_c, None, guess).filter(|(_, closed)| closed.carbon_dioxide() <= limit);
            match guess {
                Guess::Like(_, like) if like.equations.carbon_dioxide == Some(limit) => open().or_else(closed),
                Guess::Like(..) => closed().or_else(open),
                // As it goes in, the smaller amount comes first.
                Guess::Grams(..) => closed().into_iter().chain(open()).min_by(|a, b| a.0.total_cmp(&b.0)),
            }
        }
    }
}

fn dosed(
    dosing: &Dosing<'_>,
    ph: f64,
    t_c: f64,
    carbon_dioxide: Option<f64>,
    guess: &Guess<'_>,
) -> Option<(f64, Balance)> {
    let (grams, like) = match guess {
        Guess::Grams(grams, before) => (*grams, *before),
        Guess::Like(grams, like) => (*grams, Some(*like)),
    };
    let Dosing { bath: (bath, bath_kg), gram: (gram, kg_per_gram) } = *dosing;
    let kg = bath_kg + grams * kg_per_gram;
    let both = bath.plus(grams, gram).times(1.0 / kg);
    let equations = Equations::for_these(&both, t_c, carbon_dioxide, like)?;
    let (bath_mol, mol_per_gram) = (equations.goal(bath), equations.goal(gram));
    let mut goal = Goal::dosed(Reagent { grams, ln_h: -ph * LN10, bath_mol, mol_per_gram, bath_kg, kg_per_gram });
    let like = like.filter(|like| Rc::ptr_eq(&like.equations, &equations));
    let led = match (guess, like) {
        (Guess::Like(..), Some(like)) => like.lead(&mut goal, SETTLED_NEAR)?,
        (Guess::Grams(..), Some(before)) => {
            let mut begin = before.state.clone();
            begin.ln_a[0] = -ph * LN10;
            equations.system.solve_afar(begin, &mut goal)?
        }
        (_, None) => equations.system.solve_afar(equations.system.beginning(&goal), &mut goal)?,
    };
    let grams = goal.reagent?.grams;
    Some((grams, Balance::of(equations, led)))
}

impl Equations {
    /// The equations of what there is of the components: those of a like solution where they are the same. `None` for a
    /// component that the table does not have.
    fn for_these(
        totals: &Totals,
        t_c: f64,
        carbon_dioxide: Option<f64>,
        like: Option<&Balance>,
    ) -> Option<Rc<Equations>> {
        let held = carbon_dioxide.is_some();
        let balanced = |c: Component| c != Component::H && !(held && c == Component::Co3);
        let there = totals.0.iter().filter(|(c, m)| *m > NOTHING && balanced(*c));
        let components = std::iter::once(Component::H).chain(there.map(|(c, _)| *c));
        let has_carbon = held || totals.get(Component::Co3) > NOTHING;
        let same = |e: &&Rc<Equations>| {
            let alike = e.t_c == t_c && e.carbon_dioxide == carbon_dioxide && e.has_carbon == has_carbon;
            alike && e.components.iter().copied().eq(components.clone())
        };
        match like.map(|like| &like.equations).filter(same) {
            Some(equations) => Some(Rc::clone(equations)),
            None => Some(Rc::new(Equations::of(components.collect(), t_c, carbon_dioxide, has_carbon)?)),
        }
    }

    /// What the balances have to come to, of this much of each component.
    fn goal(&self, totals: &Totals) -> Vec<f64> {
        let mut goal: Vec<f64> = self.components.iter().map(|c| totals.get(*c)).collect();
        if self.carbon_dioxide.is_some() {
            // Carbonate that leaves as carbon dioxide takes two protons along.
            goal[0] -= 2.0 * totals.get(Component::Co3);
        }
        goal
    }

    fn of(components: Vec<Component>, t_c: f64, carbon_dioxide: Option<f64>, has_carbon: bool) -> Option<Equations> {
        let table = solutions();
        let held = carbon_dioxide.is_some();
        let carbonic = table.species.iter().find(|s| s.name == "CO2")?;
        let ln_co2 = LN10 * log_k_at(carbonic.log_k, carbonic.dh_kj_mol, carbonic.dcp_j_mol_k, t_c);
        // With carbon dioxide held, carbonate is written as CO2 − 2 H: the carbon balance falls away.
        let ln_co3 = carbon_dioxide.map(|a| libm::log(a.max(1e-30)) - ln_co2);
        let (mut rows, mut parts) =
            (Vec::with_capacity(4 * components.len()), Vec::with_capacity(8 * components.len()));
        // Protons are the first component.
        for (i, component) in components.iter().enumerate().skip(1) {
            let data = table.components.iter().find(|c| c.id == *component)?;
            let carbon = f64::from(*component == Component::Co3);
            parts.push((rows.len(), i, 1.0));
            rows.push(Row { name: component.name(), charge: f64::from(data.charge), ln_k: 0.0, water: 0.0, carbon });
        }
        parts.push((rows.len(), 0, 1.0));
        rows.push(Row { name: "h", charge: 1.0, ln_k: 0.0, water: 0.0, carbon: 0.0 });
        parts.push((rows.len(), 0, -1.0));
        rows.push(hydroxide(t_c));
        if held {
            parts.push((rows.len(), 0, -2.0));
            rows.push(Row { name: "co3", charge: -2.0, ln_k: ln_co3?, water: 0.0, carbon: 1.0 });
        }
        let there = Set::of(components.iter().copied().chain(has_carbon.then_some(Component::Co3)));
        for s in &table.species {
            // Hydroxide has its row.
            if s.name != "OH-" && s.of.keys().all(|c| there.has(*c)) {
                let row = rows.len();
                rows.extend(formed(s, &components, ln_co3, t_c, |i, n| parts.push((row, i, n))));
            }
        }
        let place = |name: &str| rows.iter().position(|r| r.name == name);
        let pairs = table.sit.iter().filter_map(|s| {
            let (i, j) = (place(&s.a)?, place(&s.b)?);
            (rows[i].charge * rows[j].charge < 0.0).then_some((i, j, s.epsilon))
        });
        let system = System { pairs: pairs.collect(), rows, parts, slope: slope(t_c) };
        Some(Equations { components, t_c, carbon_dioxide, has_carbon, ln_co2, ln_co3, system })
    }
}

/// Hydroxide, as water less a proton. It has a row of its own in the table; this finds it.
fn hydroxide(t_c: f64) -> Row {
    let (log_k, dh) =
        solutions().species.iter().find(|s| s.name == "OH-").map_or((-14.0, Some(55.815)), |s| (s.log_k, s.dh_kj_mol));
    Row { name: "OH-", charge: -1.0, ln_k: LN10 * log_k_at(log_k, dh, None, t_c), water: 1.0, carbon: 0.0 }
}

/// The row of a species that is formed of these, and its parts; `ln_co3` stands for carbonate where that is not among them.
fn formed(
    s: &'static Species,
    components: &[Component],
    ln_co3: Option<f64>,
    t_c: f64,
    mut part: impl FnMut(usize, f64),
) -> Option<Row> {
    let count = |c: Component| s.of.get(&c).copied().unwrap_or(0.0);
    let (carbon, bound) = (count(Component::Co3), count(Component::H));
    let mut ln_k = LN10 * log_k_at(s.log_k, s.dh_kj_mol, s.dcp_j_mol_k, t_c);
    let mut protons = bound;
    if carbon != 0.0 && !components.contains(&Component::Co3) {
        ln_k += carbon * ln_co3?;
        protons -= 2.0 * carbon;
    }
    if protons != 0.0 {
        part(0, protons);
    }
    for (c, n) in s.of.iter().filter(|(c, _)| **c != Component::H) {
        components.iter().position(|other| other == c).into_iter().for_each(|i| part(i, *n));
    }
    Some(Row { name: s.name.as_ref(), charge: f64::from(s.charge), ln_k, water: (-bound).max(0.0), carbon })
}

/// Debye–Hückel slope: 0.509 at 25 °C, rising by about 0.0009 a kelvin (Robinson and Stokes, from memory).
fn slope(t_c: f64) -> f64 {
    0.509 + 0.0009 * (t_c - 25.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ph(totals: &[(Component, f64)], over: Over) -> f64 {
        let mut sum = Totals::default();
        totals.iter().for_each(|(c, m)| sum.add(*c, *m));
        balance(&sum, 25.0, over).unwrap().ph
    }

    #[test]
    fn plain_waters_come_out_as_known() {
        assert!((ph(&[], Over::Nothing) - 7.0).abs() < 0.01);
        // Rain in balance with air: 5.6 (common knowledge, follows from the constants).
        assert!((ph(&[], Over::Held(libm::pow(10f64, -3.37))) - 5.6).abs() < 0.03);
    }

    #[test]
    fn vinegar_and_strong_base_come_out_as_phreeqc_has_them() {
        assert!((ph(&[(Component::H, 0.87643), (Component::Acetate, 0.87643)], Over::Nothing) - 2.41).abs() < 0.02);
        assert!((ph(&[(Component::H, -0.25254), (Component::Na, 0.25254)], Over::Nothing) - 13.27).abs() < 0.03);
        let brine = [
            (Component::H, 0.10473),
            (Component::Acetate, 0.10473),
            (Component::Na, 4.30458),
            (Component::Cl, 4.30458),
        ];
        assert!((ph(&brine, Over::Nothing) - 2.61).abs() < 0.05);
    }
}
