//! The numbers behind the charge balance: species from components, at activity coefficients that follow from the
//! species.
//!
//! Far from the answer the activity coefficients stand still while the balances are brought in order: that is the
//! minimum of a convex function of the logarithms of the component activities (the dual of the Gibbs energy), so damped
//! Newton steps find the one answer. From nearby both move together, by Newton steps on all of the equations at once.

use super::slopes::{Led, Slopes};
use std::f64::consts::LN_10;

/// Change of ln γ at which a solution has settled.
pub(super) const SETTLED: f64 = 1e-9;
/// The same for a solution that only tells how far an uncertainty reaches: 0.0000001 of a pH.
pub(super) const SETTLED_NEAR: f64 = 1e-7;
/// Change of ln γ from which on all equations are solved at once.
const CLOSE: f64 = 2.0;
/// What a mole of solutes in a kilogram of water takes off the mole fraction of water, the rule that PHREEQC uses for the
/// activity of water; and the least activity that it may come to.
const WATER_PER_MOL: f64 = 0.017;
const LEAST_WATER: f64 = 0.3;

/// One species and what it is formed of.
#[derive(Debug)]
pub(super) struct Row {
    pub name: &'static str,
    pub charge: f64,
    pub ln_k: f64,
    /// Water molecules taken up.
    pub water: f64,
    pub carbon: f64,
}

/// The species of a bath and what acts between them.
#[derive(Debug)]
pub(super) struct System {
    pub rows: Vec<Row>,
    /// What the rows are made of, in their order: row, component by place, and how many of it. Protons are the first
    /// component.
    pub parts: Vec<(usize, usize, f64)>,
    /// Interacting rows and their coefficient, kg/mol.
    pub pairs: Vec<(usize, usize, f64)>,
    /// Debye–Hückel slope.
    pub slope: f64,
}

/// Where a solution stands: logarithms of the activities of the components and of the activity coefficients of the
/// species.
#[derive(Debug, Clone)]
pub(super) struct State {
    pub ln_a: Vec<f64>,
    pub ln_gamma: Vec<f64>,
}

/// What the balances have to come to.
#[derive(Debug)]
pub(super) struct Goal {
    /// Totals of the components, mol per kg of water.
    pub totals: Vec<f64>,
    /// A reagent of which so much goes in that the activity of the protons is what it is.
    pub reagent: Option<Reagent>,
}

/// A reagent going into a bath.
#[derive(Debug, Clone)]
pub(super) struct Reagent {
    pub grams: f64,
    /// What the logarithm of the activity of the protons is to be.
    pub ln_h: f64,
    /// Components of the bath, mol, and of one gram.
    pub bath_mol: Vec<f64>,
    pub mol_per_gram: Vec<f64>,
    /// Water of the bath, kg, and of one gram.
    pub bath_kg: f64,
    pub kg_per_gram: f64,
}

impl Goal {
    /// As it is with so much of a reagent in it.
    pub fn dosed(reagent: Reagent) -> Goal {
        let mut goal = Goal { totals: vec![0.0; reagent.bath_mol.len()], reagent: None };
        goal.put(reagent);
        goal
    }

    fn put(&mut self, reagent: Reagent) {
        let kg = reagent.bath_kg + reagent.grams * reagent.kg_per_gram;
        let each = reagent.bath_mol.iter().zip(&reagent.mol_per_gram);
        for (total, (bath, gram)) in self.totals.iter_mut().zip(each) {
            *total = (bath + reagent.grams * gram) / kg;
        }
        self.reagent = Some(reagent);
    }

    /// Moves the amount of the reagent, by nine tenths of it at most where it gets less.
    pub fn move_by(&mut self, grams: f64) {
        if let Some(mut reagent) = self.reagent.take() {
            reagent.grams = (reagent.grams + grams).max(0.1 * reagent.grams);
            self.put(reagent);
        }
    }
}

/// What the ions make of the water: slope terms of the activity coefficients, and how they change.
#[derive(Debug, Clone, Default)]
pub(super) struct Medium {
    pub strength: f64,
    pub debye: f64,
    pub debye_per_strength: f64,
    pub ln_water: f64,
    pub ln_water_per_mol: f64,
}

impl System {
    /// A place to begin from where nothing is known: protons as in plain water, or as they are to be, and each other
    /// component on its own.
    pub fn beginning(&self, goal: &Goal) -> State {
        let n = goal.totals.len();
        let mut ln_a: Vec<f64> = goal.totals.iter().map(|g| libm::log((g.abs() * 0.3).max(1e-9))).collect();
        ln_a[0] = goal.reagent.as_ref().map_or(PLAIN_WATER, |reagent| reagent.ln_h);
        let ln_gamma = vec![0.0; self.rows.len()];
        let mut molality = vec![0.0; self.rows.len()];
        // What the species hold of each component, and how that grows with the logarithm of its activity.
        let mut held = vec![(0.0, 0.0); n];
        for _ in 0..ROUNDS_ALONE {
            self.molalities(&ln_a, &ln_gamma, &mut molality);
            held.fill((0.0, 0.0));
            for (row, i, nu) in &self.parts {
                let part = nu * molality[*row];
                held[*i].0 += part;
                held[*i].1 += nu * part;
            }
            for ((x, total), (held, grows)) in ln_a.iter_mut().zip(&goal.totals).zip(&held).skip(1) {
                if *total > 0.0 && *held > 0.0 {
                    *x += held / grows * libm::log(total / held);
                }
            }
        }
        State { ln_a, ln_gamma }
    }

    /// Solves from anywhere. `None` when it does not settle: outside what the model can carry.
    pub fn solve_afar(&self, mut at: State, goal: &mut Goal) -> Option<Led> {
        let (mut molality, mut next) = (vec![0.0; self.rows.len()], vec![0.0; self.rows.len()]);
        let mut mixed = Mixing::default();
        let mut tried = f64::INFINITY;
        let mut enough = ENOUGH_AFAR;
        let mut strength = 0.0;
        for _ in 0..300 {
            self.in_order(&mut at, &mut molality, goal, enough)?;
            let medium = self.medium(&molality)?;
            strength = medium.strength;
            let change = self.off(&at.ln_gamma, &molality, &medium, &mut next);
            if change < CLOSE.min(0.5 * tried) {
                tried = change;
                let slopes = Slopes::at(self, at.clone());
                if let Some(led) = slopes.and_then(|slopes| slopes.lead(self, goal, SETTLED)) {
                    return Some(led);
                }
            }
            if change < SETTLED && goal.reagent.is_none() {
                return Some(Led { state: at, slopes: None });
            }
            mixed.step(&mut at.ln_gamma, &next);
            // What the balances may be off by, relative: an order below what moves ln γ by as much as counts.
            enough = (0.01 * change).clamp(balanced(SETTLED), ENOUGH_AFAR);
        }
        // Close enough for a figure to two decimals; anything worse is no answer.
        let settled = goal.reagent.is_none() && molality.iter().all(|m| m.is_finite());
        (settled && strength < 10.0).then_some(Led { state: at, slopes: None })
    }

    pub fn molalities(&self, ln_a: &[f64], ln_gamma: &[f64], into: &mut [f64]) {
        for ((ln, row), gamma) in into.iter_mut().zip(&self.rows).zip(ln_gamma) {
            *ln = row.ln_k - gamma;
        }
        for (row, i, nu) in &self.parts {
            into[*row] += nu * ln_a[*i];
        }
        for m in into {
            *m = libm::exp(m.min(50.0));
        }
    }

    /// `None` beyond all that is a solution in water.
    pub fn medium(&self, molality: &[f64]) -> Option<Medium> {
        let strength = 0.5 * self.rows.iter().zip(molality).map(|(r, m)| r.charge * r.charge * m).sum::<f64>();
        if !strength.is_finite() || strength > 60.0 {
            return None;
        }
        let root = strength.sqrt();
        let spread = 1.0 + 1.5 * root;
        let water = 1.0 - WATER_PER_MOL * molality.iter().sum::<f64>();
        Some(Medium {
            strength,
            debye: self.slope * root / spread,
            debye_per_strength: self.slope / (2.0 * root.max(1e-9) * spread * spread),
            ln_water: libm::log(water.max(LEAST_WATER)),
            ln_water_per_mol: if water > LEAST_WATER { -WATER_PER_MOL / water } else { 0.0 },
        })
    }

    /// By how much each ln γ is off, and the largest of these.
    pub fn off(&self, ln_gamma: &[f64], molality: &[f64], medium: &Medium, into: &mut [f64]) -> f64 {
        for (off, row) in into.iter_mut().zip(&self.rows) {
            *off = -LN_10 * row.charge * row.charge * medium.debye - row.water * medium.ln_water;
        }
        for (i, j, e) in &self.pairs {
            into[*i] += LN_10 * e * molality[*j];
            into[*j] += LN_10 * e * molality[*i];
        }
        let mut most: f64 = 0.0;
        for (off, gamma) in into.iter_mut().zip(ln_gamma) {
            *off -= gamma;
            most = most.max(off.abs());
        }
        most
    }

    /// Second derivatives at fixed activity coefficients, each line with what its balance lacks at the end.
    pub fn balances(&self, molality: &[f64], totals: &[f64], matrix: &mut [f64], wide: usize) {
        let n = totals.len();
        matrix.fill(0.0);
        for (line, total) in matrix.chunks_exact_mut(wide).zip(totals) {
            line[n] = *total;
        }
        for parts in self.parts.chunk_by(|a, b| a.0 == b.0) {
            for (row, i, nu) in parts {
                let line = &mut matrix[i * wide..(i + 1) * wide];
                let part = nu * molality[*row];
                line[n] -= part;
                for (_, j, other) in parts {
                    line[*j] += other * part;
                }
            }
        }
    }

    /// Adds what so much of each species holds of each component.
    pub fn add_held(&self, of_each: &[f64], to: &mut [f64]) {
        for (row, i, nu) in &self.parts {
            to[*i] += nu * of_each[*row];
        }
    }

    /// Brings the balances in order at fixed activity coefficients: minimises Σ m − Σ T λ. Where a reagent is sought, at
    /// the amount there is and without the balance of the protons.
    fn in_order(&self, at: &mut State, molality: &mut Vec<f64>, goal: &Goal, enough: f64) -> Option<()> {
        let totals = &goal.totals;
        let n = totals.len();
        let wide = n + 1;
        let fixed_ph = goal.reagent.is_some();
        let value = |x: &[f64], m: &[f64]| -> f64 {
            m.iter().sum::<f64>() - totals.iter().zip(x).map(|(g, x)| g * x).sum::<f64>()
        };
        let State { ln_a, ln_gamma } = at;
        let mut next_m = vec![0.0; self.rows.len()];
        let mut next = vec![0.0; n];
        let mut matrix = vec![0.0; n * wide];
        let mut lacking = vec![0.0; n];
        self.molalities(ln_a, ln_gamma, molality);
        let mut here = value(ln_a, molality);
        for _ in 0..400 {
            self.balances(molality, totals, &mut matrix, wide);
            if fixed_ph {
                matrix[..wide].fill(0.0);
                matrix[0] = 1.0;
            }
            let worst = worst(&matrix, totals);
            if worst < enough {
                return Some(());
            }
            lacking.iter_mut().zip(matrix.chunks_exact(wide)).for_each(|(lacking, line)| *lacking = line[n]);
            gauss(&mut matrix, n, wide)?;
            let step = |i: usize| matrix[i * wide + n];
            let longest = (0..n).fold(0.0_f64, |a, i| a.max(step(i).abs()));
            let mut scale = (4.0 / longest).min(1.0);
            let slope: f64 = -lacking.iter().enumerate().map(|(i, g)| g * step(i)).sum::<f64>();
            let mut moved = false;
            for _ in 0..40 {
                for (i, (to, x)) in next.iter_mut().zip(ln_a.iter()).enumerate() {
                    *to = x + scale * step(i);
                }
                self.molalities(&next, ln_gamma, &mut next_m);
                let there = value(&next, &next_m);
                if there.is_finite() && there <= here + 1e-4 * scale * slope + 1e-13 * here.abs() {
                    ln_a.copy_from_slice(&next);
                    std::mem::swap(molality, &mut next_m);
                    (here, moved) = (there, true);
                    break;
                }
                scale *= 0.5;
            }
            if !moved || longest < 1e-12 {
                return (worst < 1e-5).then_some(());
            }
        }
        None
    }
}

/// Logarithm of the activity of the protons in plain water, where a search begins.
const PLAIN_WATER: f64 = -7.0 * LN_10;

/// Rounds in which each component is brought to its total on its own.
const ROUNDS_ALONE: usize = 3;

/// What the balances may be off by at first, relative.
const ENOUGH_AFAR: f64 = 1e-2;

/// What the balances may be off by, relative: an order below what moves ln γ by as much as counts.
fn balanced(settled_at: f64) -> f64 {
    (0.01 * settled_at).max(1e-10)
}

/// By how much the worst of the balances is off, relative. A proton balance close to zero is judged against the species
/// that carry protons.
fn worst(matrix: &[f64], totals: &[f64]) -> f64 {
    let n = totals.len();
    let scale = |(i, line): (usize, &[f64])| line[n].abs() / (totals[i].abs().max(1e-3 * line[i]) + 1e-14);
    matrix.chunks_exact(n + 1).enumerate().map(scale).fold(0.0, f64::max)
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
        let solved = gauss(&mut matrix, n, n + 1).is_some();
        let mut share: Vec<f64> = matrix.chunks_exact(n + 1).map(|line| line[n]).collect();
        if !solved || share.iter().any(|s| s.abs() > 10.0) {
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

/// Gaussian elimination with partial pivoting on n rows of `wide`, the columns beyond n right sides: the answers take
/// their place.
pub(super) fn gauss(a: &mut [f64], n: usize, wide: usize) -> Option<()> {
    for col in 0..n {
        let (mut pivot, mut largest) = (col, a[col * wide + col].abs());
        for row in col + 1..n {
            let here = a[row * wide + col].abs();
            if here > largest {
                (pivot, largest) = (row, here);
            }
        }
        if largest < 1e-300 {
            return None;
        }
        let (above, below) = a.split_at_mut((col + 1) * wide);
        let line = &mut above[col * wide..];
        if pivot != col {
            line.swap_with_slice(&mut below[(pivot - col - 1) * wide..(pivot - col) * wide]);
        }
        for row in below.chunks_exact_mut(wide) {
            let factor = row[col] / line[col];
            if factor != 0.0 {
                for (cell, pivot) in row[col + 1..].iter_mut().zip(&line[col + 1..]) {
                    *cell -= factor * pivot;
                }
            }
        }
    }
    for row in (0..n).rev() {
        let (above, below) = a.split_at_mut((row + 1) * wide);
        let line = &mut above[row * wide..];
        let (left, right) = line.split_at_mut(n);
        for (factor, solved) in left[row + 1..].iter().zip(below.chunks_exact(wide)) {
            for (x, solved) in right.iter_mut().zip(&solved[n..]) {
                *x -= factor * solved;
            }
        }
        for x in right.iter_mut() {
            *x /= left[row];
            if !x.is_finite() {
                return None;
            }
        }
    }
    Some(())
}
