//! The numbers behind the charge balance: species from components, at activity coefficients that follow from the
//! species.
//!
//! Far from the answer the activity coefficients stand still while the balances are brought in order: that is the
//! minimum of a convex function of the logarithms of the component activities (the dual of the Gibbs energy), so damped
//! Newton steps find the one answer. From nearby both move together, by Newton steps on all of the equations at once.

use std::f64::consts::LN_10;

/// Change of ln γ at which a solution has settled.
pub(super) const SETTLED: f64 = 1e-9;
/// The same for a solution that only tells how far an uncertainty reaches: 0.00001 of a pH.
pub(super) const SETTLED_NEAR: f64 = 1e-5;
/// Change of ln γ from which on all equations are solved at once.
const CLOSE: f64 = 2.0;
/// Steps on all equations at once; five are many.
const MOST_STEPS: usize = 20;
/// The longest of these steps, in units of ln.
const LONGEST: f64 = 2.0;
/// Ions that make less than this share of the ionic strength follow the activity coefficients without moving them,
/// within a step. The answer does not depend on it, only how fast it is found.
const TRACE: f64 = 1e-3;
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
    /// Components it is made of, by place, and how many of each.
    pub nu: Vec<(usize, f64)>,
    pub carbon: f64,
}

impl Row {
    /// Logarithm of what the law of mass action gives at these logarithms of activity.
    fn ln(&self, x: &[f64]) -> f64 {
        self.nu.iter().map(|(i, n)| n * x[*i]).sum()
    }
}

/// The species of a bath and what acts between them.
#[derive(Debug)]
pub(super) struct System {
    /// Protons are the first component of each.
    pub rows: Vec<Row>,
    /// Interacting rows and their coefficient, kg/mol.
    pub pairs: Vec<(usize, usize, f64)>,
    /// Debye–Hückel slope.
    pub slope: f64,
}

/// Where a solution stands: logarithms of the activities of the components and of the activity coefficients of the
/// species, and their molalities.
#[derive(Debug, Clone)]
pub(super) struct State {
    pub ln_a: Vec<f64>,
    pub ln_gamma: Vec<f64>,
    pub molality: Vec<f64>,
    /// Ionic strength, mol/kg.
    pub strength: f64,
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
    fn move_by(&mut self, grams: f64) {
        if let Some(mut reagent) = self.reagent.take() {
            reagent.grams = (reagent.grams + grams).max(0.1 * reagent.grams);
            self.put(reagent);
        }
    }
}

/// What the ions make of the water: slope terms of the activity coefficients, and how they change.
struct Medium {
    strength: f64,
    debye: f64,
    debye_per_strength: f64,
    ln_water: f64,
    ln_water_per_mol: f64,
}

impl System {
    /// Solves from scratch. `None` when it does not settle: outside what the model can carry.
    pub fn solve_afar(&self, goal: &mut Goal, ln_h: f64) -> Option<State> {
        let mut ln_a: Vec<f64> = goal.totals.iter().map(|g| libm::log((g.abs() * 0.3).max(1e-9))).collect();
        ln_a[0] = ln_h;
        let (ln_gamma, molality) = (vec![0.0; self.rows.len()], vec![0.0; self.rows.len()]);
        let mut at = State { ln_a, ln_gamma, molality, strength: 0.0 };
        let mut next = vec![0.0; self.rows.len()];
        let mut mixed = Mixing::default();
        let mut tried = f64::INFINITY;
        let mut enough = ENOUGH_AFAR;
        for _ in 0..300 {
            self.in_order(&mut at, goal, enough)?;
            let medium = self.medium(&at.molality)?;
            at.strength = medium.strength;
            let change = self.off(&at, &medium, &mut next);
            if change < CLOSE.min(0.5 * tried) {
                tried = change;
                let mut near = at.clone();
                if self.solve_nearby(&mut near, goal, SETTLED).is_some() {
                    return Some(near);
                }
            }
            if change < SETTLED && goal.reagent.is_none() {
                return Some(at);
            }
            mixed.step(&mut at.ln_gamma, &next);
            // What the balances may be off by, relative: an order below what moves ln γ by as much as counts.
            enough = (0.01 * change).clamp(balanced(SETTLED), ENOUGH_AFAR);
        }
        // Close enough for a figure to two decimals; anything worse is no answer.
        let settled = goal.reagent.is_none() && at.molality.iter().all(|m| m.is_finite());
        (settled && at.strength < 10.0).then_some(at)
    }

    /// Solves from a solution much like it, all equations at once; `None` where that does not lead to it.
    pub fn solve_nearby(&self, at: &mut State, goal: &mut Goal, settled_at: f64) -> Option<()> {
        let n = at.ln_a.len();
        let wide = n + 1;
        let mut off = vec![0.0; self.rows.len()];
        let mut matrix = vec![0.0; n * wide];
        let mut step = vec![0.0; n];
        // What there is of each total, as a share of it.
        let mut met = vec![1.0; n];
        let mut ions = Ions::with_room(self.rows.len(), n);
        let mut last = f64::INFINITY;
        for _ in 0..MOST_STEPS {
            self.molalities(&at.ln_a, &at.ln_gamma, &mut at.molality);
            let medium = self.medium(&at.molality)?;
            at.strength = medium.strength;
            let change = self.off(at, &medium, &mut off);
            self.balances(&at.molality, &goal.totals, &mut matrix);
            // Where little buffers, a balance that is nearly met still leaves the pH open: the last step tells. What is off
            // after it goes with its square.
            let sure = last * last < settled_at;
            if sure && change < settled_at && worst(&matrix, &goal.totals) < balanced(settled_at) {
                return Some(());
            }
            // Totals that all grow alike are met in one step when they are compared by their logarithms.
            for ((line, total), share) in matrix.chunks_exact_mut(wide).zip(&goal.totals).zip(&mut met).skip(1) {
                *share = 1.0 - line[n] / total;
                if *total > 0.0 && *share > 0.0 {
                    line[n] = -total * *share * libm::log(*share);
                } else {
                    *share = 1.0;
                }
            }
            ions.follow(self, at, &medium, &off)?;
            ions.soften(self, &at.molality, &off, &mut matrix);
            if let Some(reagent) = &goal.reagent {
                // Its amount stands where the activity of the protons would.
                let kg = reagent.bath_kg + reagent.grams * reagent.kg_per_gram;
                let each = reagent.mol_per_gram.iter().zip(&goal.totals).zip(&met);
                for (line, ((mol, total), share)) in matrix.chunks_exact_mut(wide).zip(each) {
                    line[0] = share * (reagent.kg_per_gram * total - mol) / kg;
                }
            }
            gauss(&mut matrix, n, wide)?;
            for (step, line) in step.iter_mut().zip(matrix.chunks_exact(wide)) {
                *step = line[n];
            }
            let grams = if goal.reagent.is_some() { std::mem::take(&mut step[0]) } else { 0.0 };
            ions.step(&step, &mut off);
            last = step.iter().chain(&off).fold(0.0_f64, |a, s| a.max(s.abs()));
            let share = (LONGEST / last).min(1.0);
            for (x, step) in at.ln_a.iter_mut().chain(&mut at.ln_gamma).zip(step.iter().chain(&off)) {
                *x += share * step;
            }
            goal.move_by(share * grams);
        }
        None
    }

    fn molalities(&self, ln_a: &[f64], ln_gamma: &[f64], into: &mut [f64]) {
        for ((row, gamma), m) in self.rows.iter().zip(ln_gamma).zip(into) {
            let ln = row.ln_k - gamma + row.ln(ln_a);
            *m = libm::exp(ln.min(50.0));
        }
    }

    /// `None` beyond all that is a solution in water.
    fn medium(&self, molality: &[f64]) -> Option<Medium> {
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
    fn off(&self, at: &State, medium: &Medium, into: &mut [f64]) -> f64 {
        for (off, row) in into.iter_mut().zip(&self.rows) {
            *off = -LN_10 * row.charge * row.charge * medium.debye - row.water * medium.ln_water;
        }
        for (i, j, e) in &self.pairs {
            into[*i] += LN_10 * e * at.molality[*j];
            into[*j] += LN_10 * e * at.molality[*i];
        }
        let mut most: f64 = 0.0;
        for (off, gamma) in into.iter_mut().zip(&at.ln_gamma) {
            *off -= gamma;
            most = most.max(off.abs());
        }
        most
    }

    /// Second derivatives at fixed activity coefficients, each line with what its balance lacks at the end.
    fn balances(&self, molality: &[f64], totals: &[f64], matrix: &mut [f64]) {
        let n = totals.len();
        let wide = n + 1;
        matrix.fill(0.0);
        for (line, total) in matrix.chunks_exact_mut(wide).zip(totals) {
            line[n] = *total;
        }
        for (row, m) in self.rows.iter().zip(molality) {
            for (i, nu) in &row.nu {
                let line = &mut matrix[i * wide..(i + 1) * wide];
                line[n] -= nu * m;
                for (j, other) in &row.nu {
                    line[*j] += nu * other * m;
                }
            }
        }
    }

    /// Brings the balances in order at fixed activity coefficients: minimises Σ m − Σ T λ. Where a reagent is sought, at
    /// the amount there is and without the balance of the protons.
    fn in_order(&self, at: &mut State, goal: &Goal, enough: f64) -> Option<()> {
        let totals = &goal.totals;
        let n = totals.len();
        let wide = n + 1;
        let fixed_ph = goal.reagent.is_some();
        let value = |x: &[f64], m: &[f64]| -> f64 {
            m.iter().sum::<f64>() - totals.iter().zip(x).map(|(g, x)| g * x).sum::<f64>()
        };
        let State { ln_a, ln_gamma, molality, .. } = at;
        let mut next_m = vec![0.0; self.rows.len()];
        let mut next = vec![0.0; n];
        let mut matrix = vec![0.0; n * wide];
        self.molalities(ln_a, ln_gamma, molality);
        let mut here = value(ln_a, molality);
        for _ in 0..400 {
            self.balances(molality, totals, &mut matrix);
            if fixed_ph {
                matrix[..wide].fill(0.0);
                matrix[0] = 1.0;
            }
            let worst = worst(&matrix, totals);
            if worst < enough {
                return Some(());
            }
            let lacking: Vec<f64> = matrix.chunks_exact(wide).map(|line| line[n]).collect();
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

/// The ions that move the activity coefficients, and how they answer to a step of the components when the coefficients
/// follow: ln m = ln K + ν x − ln γ(m), so that a step dx moves ln m by (1 + Γ M)⁻¹ (ν dx − off), with Γ the derivatives of
/// ln γ and M the molalities.
struct Ions {
    /// How many components there are.
    components: usize,
    rows: Vec<usize>,
    /// The place of a row among them.
    place: Vec<Option<usize>>,
    /// Γ M: for each row, one column an ion.
    coupling: Vec<f64>,
    /// For each ion its line of 1 + Γ M, then what a step of each component moves ln m by, then what being off does.
    reply: Vec<f64>,
    /// What the coupling takes off one balance, by ion.
    taken: Vec<f64>,
    /// How far ln m of each ion moves.
    moved: Vec<f64>,
}

impl Ions {
    fn with_room(rows: usize, n: usize) -> Ions {
        Ions {
            components: n,
            rows: Vec::with_capacity(rows),
            place: Vec::with_capacity(rows),
            coupling: Vec::with_capacity(rows * n),
            reply: Vec::with_capacity(n * (2 * n + 1)),
            taken: Vec::with_capacity(n * n),
            moved: Vec::with_capacity(n),
        }
    }

    /// Finds the ions that matter, and their answer.
    fn follow(&mut self, system: &System, at: &State, medium: &Medium, off: &[f64]) -> Option<()> {
        let n = self.components;
        self.rows.clear();
        self.place.clear();
        for (i, (row, m)) in system.rows.iter().zip(&at.molality).enumerate() {
            let counts = row.charge * row.charge * m > TRACE * medium.strength;
            self.place.push(counts.then_some(self.rows.len()));
            if counts {
                self.rows.push(i);
            }
        }
        let s = self.rows.len();
        self.coupling.clear();
        for row in &system.rows {
            let debye = -0.5 * LN_10 * row.charge * row.charge * medium.debye_per_strength;
            let water = -row.water * medium.ln_water_per_mol;
            let of = |ion: &usize| debye * system.rows[*ion].charge * system.rows[*ion].charge + water;
            self.coupling.extend(self.rows.iter().map(of));
        }
        for (i, j, e) in &system.pairs {
            for (i, j) in [(i, j), (j, i)] {
                if let Some(ion) = self.place[*j] {
                    self.coupling[i * s + ion] += LN_10 * e;
                }
            }
        }
        for line in self.coupling.chunks_exact_mut(s.max(1)) {
            for (cell, ion) in line.iter_mut().zip(&self.rows) {
                *cell *= at.molality[*ion];
            }
        }
        let wide = s + n + 1;
        self.reply.clear();
        self.reply.resize(s * wide, 0.0);
        for (k, (ion, line)) in self.rows.iter().zip(self.reply.chunks_exact_mut(wide)).enumerate() {
            line[..s].copy_from_slice(&self.coupling[ion * s..(ion + 1) * s]);
            line[k] += 1.0;
            for (i, nu) in &system.rows[*ion].nu {
                line[s + i] = *nu;
            }
            line[s + n] = off[*ion];
        }
        gauss(&mut self.reply, s, wide)
    }

    /// Turns second derivatives at fixed activity coefficients into those at coefficients that follow, and what the
    /// balances lack into what they lack when the coefficients are no longer off.
    fn soften(&mut self, system: &System, molality: &[f64], off: &[f64], matrix: &mut [f64]) {
        let (s, wide) = (self.rows.len(), self.components + 1);
        self.taken.clear();
        self.taken.resize(self.components * s, 0.0);
        for (i, (row, m)) in system.rows.iter().zip(molality).enumerate() {
            let coupling = &self.coupling[i * s..(i + 1) * s];
            for (component, nu) in &row.nu {
                matrix[component * wide + wide - 1] += nu * m * off[i];
                for (taken, coupling) in self.taken[component * s..(component + 1) * s].iter_mut().zip(coupling) {
                    *taken += nu * m * coupling;
                }
            }
        }
        for (line, taken) in matrix.chunks_exact_mut(wide).zip(self.taken.chunks_exact(s.max(1))) {
            for (taken, reply) in taken.iter().zip(self.reply.chunks_exact(s + wide)) {
                for (cell, reply) in line.iter_mut().zip(&reply[s..]) {
                    *cell -= taken * reply;
                }
            }
        }
    }

    /// How far ln γ moves with a step of the components: to where it is no longer off, and along with the ions.
    fn step(&mut self, step: &[f64], off: &mut [f64]) {
        let (s, n) = (self.rows.len(), self.components);
        self.moved.clear();
        self.moved.extend(self.reply.chunks_exact(s + n + 1).map(|line| {
            let (by, off) = (&line[s..s + n], line[s + n]);
            by.iter().zip(step).map(|(by, step)| by * step).sum::<f64>() - off
        }));
        for (off, coupling) in off.iter_mut().zip(self.coupling.chunks_exact(s.max(1))) {
            *off += coupling.iter().zip(&self.moved).map(|(c, moved)| c * moved).sum::<f64>();
        }
    }
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
fn gauss(a: &mut [f64], n: usize, wide: usize) -> Option<()> {
    for col in 0..n {
        let pivot = (col..n).max_by(|p, q| a[p * wide + col].abs().total_cmp(&a[q * wide + col].abs()))?;
        if a[pivot * wide + col].abs() < 1e-300 {
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
                for (cell, pivot) in row[col..].iter_mut().zip(&line[col..]) {
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
