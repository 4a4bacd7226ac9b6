//! The charge balance: molalities of all species from the totals of the components.
//!
//! The balance of protons and of every component is the minimum of a convex function of the logarithms of the
//! component activities (the dual of the Gibbs energy at fixed activity coefficients), so damped Newton steps find
//! the one answer. Around that, activity coefficients by specific ion interaction theory (SIT; constants of the
//! ThermoChimie database v12a): log γ = −A z² √I/(1 + 1.5 √I) + Σ ε m, which holds in brines where Davies does not.

use crate::reference::schema::{Interaction, Precipitate, Species};
use crate::reference::solutions;
use once_cell::sync::Lazy;
use std::collections::BTreeMap;
use std::rc::Rc;

const LN10: f64 = std::f64::consts::LN_10;
/// Molar gas constant, J/(mol K) (SI 2019).
const GAS_J_MOL_K: f64 = 8.314462618;
/// log10 of mol/kg of dissolved carbon dioxide per atmosphere at 25 °C, and its enthalpy (PHREEQC, phreeqc.dat).
const HENRY_LOG_K: f64 = -1.468;
const HENRY_KJ_MOL: f64 = -19.98;

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

/// What the balance finds.
#[derive(Debug, Clone)]
pub(super) struct Balance {
    pub ph: f64,
    /// Ionic strength, mol/kg.
    pub ionic_strength: f64,
    /// Carbon left in solution, mol/kg.
    pub carbon: f64,
    /// Molality by species.
    pub species: BTreeMap<&'static str, f64>,
    /// Solids that this solution would drop.
    pub settles: Vec<&'static Precipitate>,
    /// Activity of dissolved carbon dioxide.
    carbon_dioxide: f64,
    /// Where the iteration ended, for a like solution to start from.
    end: End,
}

/// The equations of one set of components at one temperature and one pressure of carbon dioxide.
#[derive(Debug)]
struct Equations {
    names: Vec<&'static str>,
    t_c: f64,
    carbon_dioxide: Option<f64>,
    rows: Vec<Row>,
    /// Interacting rows and their coefficient.
    pairs: Vec<(usize, usize, f64)>,
    has_carbon: bool,
    ln_co2: f64,
    ln_co3: Option<f64>,
}

/// The equations, and where the iteration ended: logarithms of activities and of activity coefficients.
#[derive(Debug, Clone)]
struct End {
    equations: Rc<Equations>,
    ln_a: Vec<f64>,
    ln_gamma: Vec<f64>,
}

/// A solved solution to start from, and how far to settle.
#[derive(Clone, Copy)]
struct Start<'a> {
    end: &'a End,
    settled_at: f64,
}

/// Change of ln γ at which the iteration has settled.
const SETTLED: f64 = 1e-9;
/// The same for a solution that only tells how far an uncertainty reaches: 0.00001 of a pH.
const SETTLED_NEAR: f64 = 1e-5;

#[derive(Debug)]
struct Row {
    name: &'static str,
    charge: f64,
    ln_k: f64,
    /// Water molecules taken up.
    water: f64,
    /// Components it is made of, by place, and how many of each.
    nu: Vec<(usize, f64)>,
    carbon: f64,
}

impl Row {
    /// Logarithm of what the law of mass action gives at these logarithms of activity.
    fn ln(&self, x: &[f64]) -> f64 {
        self.nu.iter().map(|(i, n)| n * x[*i]).sum()
    }
}

/// Solves the balance for totals in mol per kg of water; `h` counts protons (negative for hydroxide).
///
/// `None` when the iteration does not settle: outside what the model can carry.
pub(super) fn balance(totals: &BTreeMap<&'static str, f64>, t_c: f64, over: Over) -> Option<Balance> {
    balance_from(totals, t_c, over, None)
}

/// The same, started from a solution much like it and settled as far as without: for a search that asks again and again.
pub(super) fn balance_after(
    totals: &BTreeMap<&'static str, f64>,
    t_c: f64,
    over: Over,
    last: &Balance,
) -> Option<Balance> {
    let start = Start { end: &last.end, settled_at: SETTLED };
    balance_from(totals, t_c, over, Some(start)).or_else(|| balance(totals, t_c, over))
}

/// The same for a solution much like one already solved: fewer steps, to 0.00001 of a pH.
pub(super) fn balance_near(
    totals: &BTreeMap<&'static str, f64>,
    t_c: f64,
    over: Over,
    near: &Balance,
) -> Option<Balance> {
    let start = Start { end: &near.end, settled_at: SETTLED_NEAR };
    balance_from(totals, t_c, over, Some(start)).or_else(|| balance(totals, t_c, over))
}

fn balance_from(
    totals: &BTreeMap<&'static str, f64>,
    t_c: f64,
    over: Over,
    near: Option<Start<'_>>,
) -> Option<Balance> {
    let saturation = |atm: f64| atm * 10f64.powf(log_k_at(HENRY_LOG_K, Some(HENRY_KJ_MOL), None, t_c));
    match over {
        Over::Nothing => solve(totals, t_c, None, near),
        Over::Held(atm) => solve(totals, t_c, Some(saturation(atm)), near),
        Over::AtMost(atm) => {
            let limit = saturation(atm);
            // Where the like solution gave off gas this one is tried with gas first: it holds when gas is left to go.
            if near.is_some_and(|n| n.end.equations.carbon_dioxide == Some(limit))
                && let Some(open) = solve(totals, t_c, Some(limit), near)
                && open.carbon < totals.get("co3").copied().unwrap_or(0.0)
            {
                return Some(open);
            }
            let closed = solve(totals, t_c, None, near)?;
            if closed.carbon_dioxide <= limit { Some(closed) } else { solve(totals, t_c, Some(limit), near) }
        }
    }
}

/// log10 K at a temperature by van 't Hoff with a constant enthalpy, or a constant heat capacity where one is known.
fn log_k_at(log_k: f64, dh_kj_mol: Option<f64>, dcp_j_mol_k: Option<f64>, t_c: f64) -> f64 {
    let dh = dh_kj_mol.unwrap_or(0.0) * 1000.0;
    let ratio = 298.15 / (t_c + 273.15);
    let bent = dcp_j_mol_k.unwrap_or(0.0) * (ratio - 1.0 - ratio.ln()) / (LN10 * GAS_J_MOL_K);
    log_k + bent + dh / (LN10 * GAS_J_MOL_K) * (1.0 / 298.15 - 1.0 / (t_c + 273.15))
}

fn solve(
    totals: &BTreeMap<&'static str, f64>,
    t_c: f64,
    carbon_dioxide: Option<f64>,
    near: Option<Start<'_>>,
) -> Option<Balance> {
    let held = carbon_dioxide.is_some();
    let mut names: Vec<&'static str> = vec!["h"];
    names.extend(totals.iter().filter(|(c, m)| **m > 1e-15 && **c != "h" && !(held && **c == "co3")).map(|(c, _)| *c));
    let has_carbon = held || totals.get("co3").is_some_and(|m| *m > 1e-15);
    let near = near.filter(|start| {
        let e = &start.end.equations;
        e.names == names && e.t_c == t_c && e.carbon_dioxide == carbon_dioxide && e.has_carbon == has_carbon
    });
    let equations = match near {
        Some(start) => Rc::clone(&start.end.equations),
        None => Rc::new(Equations::of(names, t_c, carbon_dioxide, has_carbon)?),
    };
    let Equations { names, rows, pairs, ln_co2, ln_co3, .. } = equations.as_ref();
    let table = solutions();
    let goal: Vec<f64> = names
        .iter()
        .map(|n| {
            let total = totals.get(n).copied().unwrap_or(0.0);
            if *n == "h" && held { total - 2.0 * totals.get("co3").copied().unwrap_or(0.0) } else { total }
        })
        .collect();
    let (ln_a, ln_gamma, molality, ionic_strength) = iterate(rows, pairs, &goal, t_c, near)?;
    let ph = -ln_a[0] / LN10;
    let ln_of = |c: &str| -> Option<f64> {
        match names.iter().position(|n| *n == c) {
            Some(i) => Some(ln_a[i]),
            None if c == "co3" => ln_co3.map(|k| k - 2.0 * ln_a[0]),
            None => None,
        }
    };
    let mut settles = Vec::new();
    for solid in &table.precipitates {
        let mut index = -solid.log_k;
        let known = solid.of.iter().all(|(c, n)| match ln_of(c) {
            Some(ln) => {
                index += n * ln / LN10;
                true
            }
            None => false,
        });
        if known && index > solid.lag.unwrap_or(0.5) {
            settles.push(solid);
        }
    }
    let carbon = rows.iter().zip(&molality).map(|(r, m)| r.carbon * m).sum();
    let carbon_dioxide = match carbon_dioxide {
        Some(a) => a,
        None if has_carbon => (ln_of("co3")? + 2.0 * ln_a[0] + *ln_co2).exp(),
        None => 0.0,
    };
    let species = rows.iter().zip(&molality).map(|(r, m)| (r.name, *m)).collect();
    Some(Balance {
        ph,
        ionic_strength,
        carbon,
        species,
        settles,
        carbon_dioxide,
        end: End { equations: Rc::clone(&equations), ln_a, ln_gamma },
    })
}

impl Equations {
    /// The equations of these components; `None` for a component that the table does not have.
    fn of(names: Vec<&'static str>, t_c: f64, carbon_dioxide: Option<f64>, has_carbon: bool) -> Option<Equations> {
        let table = solutions();
        let held = carbon_dioxide.is_some();
        let carbonic = table.species.iter().find(|s| s.name == "CO2")?;
        let ln_co2 = LN10 * log_k_at(carbonic.log_k, carbonic.dh_kj_mol, carbonic.dcp_j_mol_k, t_c);
        // With carbon dioxide held, carbonate is written as CO2 − 2 H: the carbon balance falls away.
        let ln_co3 = carbon_dioxide.map(|a| a.max(1e-30).ln() - ln_co2);
        let mut rows: Vec<Row> = Vec::new();
        for name in names.iter().filter(|n| **n != "h") {
            let component = table.components.iter().find(|c| c.id == *name)?;
            let nu = sparse(names.iter().map(|n| f64::from(n == name)));
            let carbon = f64::from(*name == "co3");
            rows.push(Row { name, charge: f64::from(component.charge), ln_k: 0.0, water: 0.0, nu, carbon });
        }
        rows.push(Row { name: "h", charge: 1.0, ln_k: 0.0, water: 0.0, nu: vec![(0, 1.0)], carbon: 0.0 });
        rows.push(hydroxide(t_c));
        if held {
            let ln_k = ln_co3?;
            let nu = vec![(0, -2.0)];
            rows.push(Row { name: "co3", charge: -2.0, ln_k, water: 0.0, nu, carbon: 1.0 });
        }
        for s in &table.species {
            if let Some(row) = formed(s, &names, has_carbon, ln_co3, t_c) {
                rows.push(row);
            }
        }
        let pairs = (0..rows.len())
            .flat_map(|i| (i + 1..rows.len()).map(move |j| (i, j)))
            .filter(|(i, j)| rows[*i].charge * rows[*j].charge < 0.0)
            .map(|(i, j)| (i, j, epsilon(rows[i].name, rows[j].name)))
            .filter(|(_, _, e)| *e != 0.0)
            .collect();
        Some(Equations { names, t_c, carbon_dioxide, rows, pairs, has_carbon, ln_co2, ln_co3 })
    }
}

/// What is not zero, with its place.
fn sparse(dense: impl IntoIterator<Item = f64>) -> Vec<(usize, f64)> {
    dense.into_iter().enumerate().filter(|(_, n)| *n != 0.0).collect()
}

/// Hydroxide, as water less a proton. It has a row of its own in the table; this finds it.
fn hydroxide(t_c: f64) -> Row {
    let (log_k, dh) =
        solutions().species.iter().find(|s| s.name == "OH-").map_or((-14.0, Some(55.815)), |s| (s.log_k, s.dh_kj_mol));
    // Protons are the first component.
    let nu = vec![(0, -1.0)];
    Row { name: "OH-", charge: -1.0, ln_k: LN10 * log_k_at(log_k, dh, None, t_c), water: 1.0, nu, carbon: 0.0 }
}

fn formed(s: &'static Species, names: &[&'static str], carbon: bool, ln_co3: Option<f64>, t_c: f64) -> Option<Row> {
    if s.name == "OH-" {
        return None;
    }
    let mut nu = vec![0.0; names.len()];
    let mut ln_k = LN10 * log_k_at(s.log_k, s.dh_kj_mol, s.dcp_j_mol_k, t_c);
    let mut held_carbon = 0.0;
    for (c, n) in &s.of {
        match names.iter().position(|name| name == c) {
            Some(i) => nu[i] += n,
            None if c == "co3" && carbon => held_carbon += n,
            None => return None,
        }
    }
    let total_carbon = s.of.get("co3").copied().unwrap_or(0.0);
    if held_carbon > 0.0 {
        ln_k += held_carbon * ln_co3?;
        nu[0] -= 2.0 * held_carbon;
    }
    let water = (-s.of.get("h").copied().unwrap_or(0.0)).max(0.0);
    Some(Row { name: s.name.as_ref(), charge: f64::from(s.charge), ln_k, water, nu: sparse(nu), carbon: total_carbon })
}

/// Debye–Hückel slope: 0.509 at 25 °C, rising by about 0.0009 a kelvin (Robinson and Stokes, from memory).
fn slope(t_c: f64) -> f64 {
    0.509 + 0.0009 * (t_c - 25.0)
}

/// Interaction coefficients by pair, the names in order.
static EPSILON: Lazy<BTreeMap<(&'static str, &'static str), f64>> = Lazy::new(|| {
    let pair = |i: &'static Interaction| (ordered(i.a.as_ref(), i.b.as_ref()), i.epsilon);
    solutions().sit.iter().map(pair).collect()
});

fn ordered<'a>(a: &'a str, b: &'a str) -> (&'a str, &'a str) {
    if a <= b { (a, b) } else { (b, a) }
}

fn epsilon(a: &'static str, b: &'static str) -> f64 {
    EPSILON.get(&ordered(a, b)).copied().unwrap_or(0.0)
}

type Found = (Vec<f64>, Vec<f64>, Vec<f64>, f64);

fn iterate(
    rows: &[Row],
    pairs: &[(usize, usize, f64)],
    goal: &[f64],
    t_c: f64,
    near: Option<Start<'_>>,
) -> Option<Found> {
    let mut ln_a: Vec<f64> = goal.iter().map(|g| (g.abs() * 0.3).max(1e-9).ln()).collect();
    ln_a[0] = -7.0 * LN10;
    let mut ln_gamma = vec![0.0; rows.len()];
    let mut settled_at = SETTLED;
    if let Some(start) = near {
        ln_a.copy_from_slice(&start.end.ln_a);
        ln_gamma.copy_from_slice(&start.end.ln_gamma);
        settled_at = start.settled_at;
    }
    // What the balances may be off by, relative: an order below what moves ln γ by as much as counts.
    let enough = (0.01 * settled_at).max(1e-10);
    let mut molality = Vec::new();
    let mut strength = 0.0;
    let mut mixed = Mixing::default();
    for _ in 0..300 {
        molality = newton(rows, goal, &mut ln_a, &ln_gamma, enough)?;
        strength = 0.5 * rows.iter().zip(&molality).map(|(r, m)| r.charge * r.charge * m).sum::<f64>();
        if !strength.is_finite() || strength > 60.0 {
            return None;
        }
        let root = strength.sqrt();
        let debye = slope(t_c) * root / (1.0 + 1.5 * root);
        let solutes: f64 = molality.iter().sum();
        // Activity of water, by the mole fraction rule that PHREEQC uses.
        let ln_water = (1.0 - 0.017 * solutes).max(0.3).ln();
        let mut next: Vec<f64> =
            rows.iter().map(|r| -LN10 * r.charge * r.charge * debye - r.water * ln_water).collect();
        for (i, j, e) in pairs {
            next[*i] += LN10 * e * molality[*j];
            next[*j] += LN10 * e * molality[*i];
        }
        let mut change: f64 = 0.0;
        for (new, old) in next.iter_mut().zip(&ln_gamma) {
            *new -= old;
            change = change.max(new.abs());
        }
        if change < settled_at {
            return Some((ln_a, ln_gamma, molality, strength));
        }
        mixed.step(&mut ln_gamma, &next);
    }
    // Close enough for a figure to two decimals; anything worse is no answer.
    let settled = rows.iter().zip(&molality).all(|(_, m)| m.is_finite());
    (settled && strength < 10.0).then_some((ln_a, ln_gamma, molality, strength))
}

/// The share of its step that a fixed-point iteration takes where nothing is known of the steps before.
const DAMPED: f64 = 0.7;
/// Steps looked back on.
const DEPTH: usize = 3;

/// Steps of a fixed-point iteration drawn from the last few: the combination of them that leaves the least change
/// (Anderson, J. ACM 12 (1965) 547, from memory). Falls back to a damped step.
#[derive(Default)]
struct Mixing {
    last: Option<(Vec<f64>, Vec<f64>)>,
    /// Differences of places and of changes, newest first.
    steps: Vec<(Vec<f64>, Vec<f64>)>,
}

impl Mixing {
    /// Moves `at`, where the iteration wants to change by `change`.
    fn step(&mut self, at: &mut [f64], change: &[f64]) {
        let dot = |a: &[f64], b: &[f64]| -> f64 { a.iter().zip(b).map(|(a, b)| a * b).sum() };
        let less = |a: &[f64], b: &[f64]| -> Vec<f64> { a.iter().zip(b).map(|(a, b)| a - b).collect() };
        if let Some((place, before)) = self.last.take() {
            // Where the change grew, what was learnt no longer holds.
            if dot(change, change) > 4.0 * dot(&before, &before) {
                self.steps.clear();
            } else {
                self.steps.insert(0, (less(at, &place), less(change, &before)));
                self.steps.truncate(DEPTH);
            }
        }
        self.last = Some((at.to_vec(), change.to_vec()));
        let n = self.steps.len();
        let mut matrix = vec![0.0; n * (n + 1)];
        for (i, (_, a)) in self.steps.iter().enumerate() {
            for (j, (_, b)) in self.steps.iter().enumerate() {
                matrix[i * (n + 1) + j] = dot(a, b) * if i == j { 1.0 + 1e-12 } else { 1.0 };
            }
            matrix[i * (n + 1) + n] = dot(a, change);
        }
        let mut share = vec![0.0; n];
        if n > 0 && (gauss(&mut matrix, n, &mut share).is_none() || share.iter().any(|s| s.abs() > 10.0)) {
            share.fill(0.0);
            self.steps.clear();
        }
        for (i, x) in at.iter_mut().enumerate() {
            *x += DAMPED * change[i];
            for ((place, changed), s) in self.steps.iter().zip(&share) {
                *x -= s * (place[i] + DAMPED * changed[i]);
            }
        }
    }
}

/// Minimises Σ m − Σ T λ at fixed activity coefficients. Works in buffers made once: this is the innermost loop.
fn newton(rows: &[Row], goal: &[f64], ln_a: &mut [f64], ln_gamma: &[f64], enough: f64) -> Option<Vec<f64>> {
    let n = goal.len();
    let molalities = |x: &[f64], into: &mut [f64]| {
        for ((row, gamma), m) in rows.iter().zip(ln_gamma).zip(into) {
            let ln = row.ln_k - gamma + row.ln(x);
            *m = ln.min(50.0).exp();
        }
    };
    let value =
        |x: &[f64], m: &[f64]| -> f64 { m.iter().sum::<f64>() - goal.iter().zip(x).map(|(g, x)| g * x).sum::<f64>() };
    let mut m = vec![0.0; rows.len()];
    let mut next_m = vec![0.0; rows.len()];
    molalities(ln_a, &mut m);
    let mut at = value(ln_a, &m);
    // Row i: the second derivatives, then minus the gradient.
    let wide = n + 1;
    let mut matrix = vec![0.0; n * wide];
    let (mut gradient, mut step, mut next) = (vec![0.0; n], vec![0.0; n], vec![0.0; n]);
    for _ in 0..400 {
        matrix.fill(0.0);
        for (line, goal) in matrix.chunks_exact_mut(wide).zip(goal) {
            line[n] = *goal;
        }
        for (r, m) in rows.iter().zip(&m) {
            for (i, nu) in &r.nu {
                let line = &mut matrix[i * wide..(i + 1) * wide];
                line[n] -= nu * m;
                for (j, other) in &r.nu {
                    line[*j] += nu * other * m;
                }
            }
        }
        // A proton balance close to zero is judged against the species that carry protons.
        let scale = |(i, line): (usize, &[f64])| line[n].abs() / (goal[i].abs().max(1e-3 * line[i]) + 1e-14);
        let worst = matrix.chunks_exact(wide).enumerate().map(scale).fold(0.0, f64::max);
        for (g, line) in gradient.iter_mut().zip(matrix.chunks_exact(wide)) {
            *g = -line[n];
        }
        if worst < enough {
            return Some(m);
        }
        gauss(&mut matrix, n, &mut step)?;
        let longest = step.iter().fold(0.0_f64, |a, s| a.max(s.abs()));
        let mut scale = (4.0 / longest).min(1.0);
        let slope: f64 = gradient.iter().zip(&step).map(|(g, s)| g * s).sum();
        let mut moved = false;
        for _ in 0..40 {
            for ((to, x), s) in next.iter_mut().zip(ln_a.iter()).zip(&step) {
                *to = x + scale * s;
            }
            molalities(&next, &mut next_m);
            let next_at = value(&next, &next_m);
            if next_at.is_finite() && next_at <= at + 1e-4 * scale * slope + 1e-13 * at.abs() {
                ln_a.copy_from_slice(&next);
                std::mem::swap(&mut m, &mut next_m);
                (at, moved) = (next_at, true);
                break;
            }
            scale *= 0.5;
        }
        if !moved || longest < 1e-12 {
            return (worst < 1e-5).then_some(m);
        }
    }
    None
}

/// Gaussian elimination with partial pivoting on an augmented matrix, n rows of n + 1.
fn gauss(a: &mut [f64], n: usize, x: &mut [f64]) -> Option<()> {
    let wide = n + 1;
    for col in 0..n {
        let pivot = (col..n).max_by(|p, q| a[p * wide + col].abs().total_cmp(&a[q * wide + col].abs()))?;
        if a[pivot * wide + col].abs() < 1e-300 {
            return None;
        }
        if pivot != col {
            for k in 0..wide {
                a.swap(pivot * wide + k, col * wide + k);
            }
        }
        for row in col + 1..n {
            let factor = a[row * wide + col] / a[col * wide + col];
            if factor != 0.0 {
                let (above, below) = a.split_at_mut(row * wide);
                let line = &above[col * wide..(col + 1) * wide];
                for (cell, pivot) in below[..wide].iter_mut().zip(line).skip(col) {
                    *cell -= factor * pivot;
                }
            }
        }
    }
    for row in (0..n).rev() {
        let sum: f64 = (row + 1..n).map(|k| a[row * wide + k] * x[k]).sum();
        x[row] = (a[row * wide + n] - sum) / a[row * wide + row];
    }
    x.iter().all(|v| v.is_finite()).then_some(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ph(totals: &[(&'static str, f64)], over: Over) -> f64 {
        balance(&totals.iter().copied().collect(), 25.0, over).unwrap().ph
    }

    #[test]
    fn plain_waters_come_out_as_known() {
        assert!((ph(&[], Over::Nothing) - 7.0).abs() < 0.01);
        // Rain in balance with air: 5.6 (common knowledge, follows from the constants).
        assert!((ph(&[], Over::Held(10f64.powf(-3.37))) - 5.6).abs() < 0.03);
    }

    #[test]
    fn vinegar_and_strong_base_come_out_as_phreeqc_has_them() {
        assert!((ph(&[("h", 0.87643), ("acetate", 0.87643)], Over::Nothing) - 2.41).abs() < 0.02);
        assert!((ph(&[("h", -0.25254), ("na", 0.25254)], Over::Nothing) - 13.27).abs() < 0.03);
        let brine = [("h", 0.10473), ("acetate", 0.10473), ("na", 4.30458), ("cl", 4.30458)];
        assert!((ph(&brine, Over::Nothing) - 2.61).abs() < 0.05);
    }
}
