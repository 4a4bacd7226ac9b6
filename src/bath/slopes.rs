//! From a solution to one much like it: how all equations answer to a small step, and the steps to where they are met.
//!
//! The slopes of one place serve as long as a solution stays near it, so that what many like solutions cost is worked out
//! once. Further away they are worked out anew, which makes the steps those of Newton.

use super::newton::{Goal, Medium, State, System, gauss};
use std::f64::consts::LN_10;

/// Steps on all equations at once; five are many.
const MOST_STEPS: usize = 20;
/// The longest of these steps, in units of ln.
const LONGEST: f64 = 2.0;
/// How far a solution goes, in units of ln, before the slopes are worked out anew.
const FAR: f64 = 0.5;
/// What a step may be of the one before it until then.
const SLOW: f64 = 0.2;
/// Less of a reagent than this, g for each kilogram of water, need not be known to a share of itself.
const NOTHING: f64 = 1e-3;
/// Ions that make less than this share of the ionic strength follow the activity coefficients without moving them,
/// within a step. The answer does not depend on it, only how fast it is found.
const TRACE: f64 = 1e-3;

/// What the equations come to somewhere.
#[derive(Debug, Clone)]
struct Look {
    medium: Medium,
    /// By how much each ln γ is off.
    off: Vec<f64>,
    /// What the species hold of each component.
    held: Vec<f64>,
}

impl Look {
    fn of(system: &System, at: &mut State) -> Option<Look> {
        let (off, held) = (vec![0.0; at.ln_gamma.len()], vec![0.0; at.ln_a.len()]);
        let mut look = Look { medium: Medium::default(), off, held };
        look.again(system, at)?;
        Some(look)
    }

    /// Looks somewhere else; `None` beyond all that is a solution in water.
    fn again(&mut self, system: &System, at: &mut State) -> Option<()> {
        system.molalities(&at.ln_a, &at.ln_gamma, &mut at.molality);
        self.medium = system.medium(&at.molality)?;
        at.strength = self.medium.strength;
        system.off(at, &self.medium, &mut self.off);
        system.held(&at.molality, &mut self.held);
        Some(())
    }
}

/// How the equations answer to a small step from some place.
#[derive(Debug, Clone)]
pub(super) struct Slopes {
    look: Look,
    molality: Vec<f64>,
    ions: Ions,
    /// By how much the logarithms of the activities move for what the balances lack: one line each, one column a balance.
    inverse: Vec<f64>,
    /// How many protons move with a component.
    protons: Vec<f64>,
}

impl Slopes {
    /// At this place. `None` where it has no slopes.
    pub fn at(system: &System, at: &mut State) -> Option<Slopes> {
        let look = Look::of(system, at)?;
        Slopes::of(system, at, look)
    }

    fn of(system: &System, at: &State, look: Look) -> Option<Slopes> {
        let n = at.ln_a.len();
        let wide = 2 * n;
        let mut matrix = vec![0.0; n * wide];
        system.balances(&at.molality, &look.held, &mut matrix, wide);
        let protons = (0..n).map(|i| matrix[i] / matrix[i * wide + i]).map(|p| if p.is_finite() { p } else { 0.0 });
        let protons = protons.collect();
        let ions = Ions::of(system, at, &look.medium)?;
        ions.soften(&mut matrix, wide);
        for (i, line) in matrix.chunks_exact_mut(wide).enumerate() {
            line[n..].fill(0.0);
            line[n + i] = 1.0;
        }
        gauss(&mut matrix, n, wide)?;
        let mut inverse = Vec::with_capacity(n * n);
        matrix.chunks_exact(wide).for_each(|line| inverse.extend_from_slice(&line[n..]));
        Some(Slopes { look, molality: at.molality.clone(), ions, inverse, protons })
    }

    /// Goes from the place of the slopes to where the goal is met; `None` where they do not lead there. Molalities and
    /// ionic strength stay those before the last step.
    pub fn solve(&self, system: &System, at: &mut State, goal: &mut Goal, settled_at: f64) -> Option<()> {
        let mut look = self.look.clone();
        let mut room = vec![0.0; 5 * at.ln_a.len() + 2 * at.molality.len()];
        let mut renewed: Option<Slopes> = None;
        let (mut away, mut last) = (0.0, f64::INFINITY);
        for _ in 0..MOST_STEPS {
            let slopes = renewed.as_ref().unwrap_or(self);
            let length = slopes.step(system, at, goal, &mut look, &mut room)?;
            away += length;
            // Slopes change with the way from their place: by so much of the step they may have missed.
            if length * away < settled_at {
                return Some(());
            }
            look.again(system, at)?;
            if away > FAR || length > SLOW * last {
                renewed = Some(Slopes::of(system, at, look.clone())?);
                away = 0.0;
            }
            last = length;
        }
        None
    }

    /// Moves a solution by one step, and tells how long it was meant to be, in units of ln; the share by which a reagent
    /// grows counts too.
    fn step(&self, system: &System, at: &mut State, goal: &mut Goal, look: &mut Look, room: &mut [f64]) -> Option<f64> {
        let n = at.ln_a.len();
        let (lack, room) = room.split_at_mut(n);
        let (step, room) = room.split_at_mut(n);
        let (rate, room) = room.split_at_mut(n);
        let (by_rate, room) = room.split_at_mut(n);
        let (grown, room) = room.split_at_mut(n);
        let (eased, moved) = room.split_at_mut(at.molality.len());
        for (((lack, grown), total), held) in lack.iter_mut().zip(&mut *grown).zip(&goal.totals).zip(&look.held) {
            (*lack, *grown) = (total - held, libm::log(total / held));
        }
        // Totals that all grow alike are met in one step when they are compared by their logarithms.
        let little = grown[1..].iter().all(|g| !g.is_finite() || g.abs() < FAR);
        self.weigh(lack, grown, little, |i, _| self.look.held[i] * grown[i]);
        self.ions.ease(system, &self.molality, &look.off, eased, lack);
        times(&self.inverse, lack, step);
        let (mut grams, mut growth) = (0.0, 0.0);
        if let Some(reagent) = &goal.reagent {
            // So much of it that the protons come to where they are to be.
            let kg = reagent.bath_kg + reagent.grams * reagent.kg_per_gram;
            for ((rate, mol), total) in rate.iter_mut().zip(&reagent.mol_per_gram).zip(&goal.totals) {
                *rate = (mol - reagent.kg_per_gram * total) / kg;
            }
            self.weigh(rate, grown, little, |i, rate| self.look.held[i] * rate / goal.totals[i]);
            times(&self.inverse, rate, by_rate);
            let protons = reagent.ln_h - at.ln_a[0];
            grams = (protons - step[0]) / by_rate[0];
            if !grams.is_finite() {
                return None;
            }
            for (step, by_rate) in step.iter_mut().zip(by_rate.iter()) {
                *step += grams * by_rate;
            }
            step[0] = protons;
            growth = (grams / (reagent.grams + NOTHING * reagent.bath_kg)).abs();
        }
        self.ions.follow(step, eased, moved, &mut look.off);
        let length = step.iter().chain(&look.off).fold(0.0_f64, |a, s| a.max(s.abs()));
        let share = (LONGEST / length).min(1.0);
        for (x, step) in at.ln_a.iter_mut().chain(&mut at.ln_gamma).zip(step.iter().chain(&look.off)) {
            *x += share * step;
        }
        goal.move_by(share * grams);
        Some(length.max(growth))
    }

    /// Puts something else in place of the figure of each component of which there is some, by how much it has grown.
    /// While that is little for all of them, the protons that go with it follow; further away they are no guide.
    fn weigh(&self, list: &mut [f64], grown: &[f64], little: bool, other: impl Fn(usize, f64) -> f64) {
        for i in (1..grown.len()).filter(|i| grown[*i].is_finite()) {
            let other = other(i, list[i]);
            if little {
                list[0] += self.protons[i] * (other - list[i]);
            }
            list[i] = other;
        }
    }
}

/// A square matrix times a column.
fn times(matrix: &[f64], column: &[f64], into: &mut [f64]) {
    for (to, line) in into.iter_mut().zip(matrix.chunks_exact(column.len())) {
        *to = line.iter().zip(column).map(|(a, b)| a * b).sum();
    }
}

/// The ions that move the activity coefficients, and how they answer to a step of the components when the coefficients
/// follow: ln m = ln K + ν x − ln γ(m), so that a step dx moves ln m by (1 + Γ M)⁻¹ (ν dx − off), with Γ the derivatives of
/// ln γ and M the molalities.
#[derive(Debug, Clone)]
struct Ions {
    /// How many components there are.
    components: usize,
    rows: Vec<usize>,
    /// Γ M: for each row, one column an ion.
    coupling: Vec<f64>,
    /// For each ion its line of 1 + Γ M, then what a step of each component moves ln m by, then what each ion being off does.
    reply: Vec<f64>,
    /// What the coupling takes off one balance, by ion.
    taken: Vec<f64>,
}

impl Ions {
    /// Finds the ions that matter, and their answer.
    fn of(system: &System, at: &State, medium: &Medium) -> Option<Ions> {
        let n = at.ln_a.len();
        let counts = |i: &usize| system.rows[*i].charge.powi(2) * at.molality[*i] > TRACE * medium.strength;
        let rows: Vec<usize> = (0..system.rows.len()).filter(counts).collect();
        let s = rows.len();
        let mut coupling = Vec::with_capacity(system.rows.len() * s);
        for row in &system.rows {
            let debye = -0.5 * LN_10 * row.charge * row.charge * medium.debye_per_strength;
            let water = -row.water * medium.ln_water_per_mol;
            let of = |ion: &usize| debye * system.rows[*ion].charge * system.rows[*ion].charge + water;
            coupling.extend(rows.iter().map(of));
        }
        for (i, j, e) in &system.pairs {
            for (i, j) in [(i, j), (j, i)] {
                if let Ok(ion) = rows.binary_search(j) {
                    coupling[i * s + ion] += LN_10 * e;
                }
            }
        }
        for line in coupling.chunks_exact_mut(s.max(1)) {
            for (cell, ion) in line.iter_mut().zip(&rows) {
                *cell *= at.molality[*ion];
            }
        }
        let wide = s + n + s;
        let mut reply = vec![0.0; s * wide];
        for (k, (ion, line)) in rows.iter().zip(reply.chunks_exact_mut(wide)).enumerate() {
            line[..s].copy_from_slice(&coupling[ion * s..(ion + 1) * s]);
            line[k] += 1.0;
            for (i, nu) in &system.rows[*ion].nu {
                line[s + i] = *nu;
            }
            line[s + n + k] = 1.0;
        }
        gauss(&mut reply, s, wide)?;
        let mut taken = vec![0.0; n * s];
        for (i, (row, m)) in system.rows.iter().zip(&at.molality).enumerate() {
            for (component, nu) in &row.nu {
                let coupling = &coupling[i * s..(i + 1) * s];
                for (taken, coupling) in taken[component * s..(component + 1) * s].iter_mut().zip(coupling) {
                    *taken += nu * m * coupling;
                }
            }
        }
        Some(Ions { components: n, rows, coupling, reply, taken })
    }

    /// The answer of each ion: to a step of the components, and to ions being off.
    fn replies(&self) -> impl Iterator<Item = (&[f64], &[f64])> {
        let s = self.rows.len();
        self.reply.chunks_exact((2 * s + self.components).max(1)).map(move |line| line[s..].split_at(self.components))
    }

    /// Turns second derivatives at fixed activity coefficients into those at coefficients that follow.
    fn soften(&self, matrix: &mut [f64], wide: usize) {
        for (line, taken) in matrix.chunks_exact_mut(wide).zip(self.taken.chunks_exact(self.rows.len().max(1))) {
            for (taken, (by_step, _)) in taken.iter().zip(self.replies()) {
                for (cell, reply) in line.iter_mut().zip(by_step) {
                    *cell -= taken * reply;
                }
            }
        }
    }

    /// Turns what the balances lack into what they lack when the coefficients are no longer off, and tells by how much
    /// less ln m of each ion then is.
    fn ease(&self, system: &System, molality: &[f64], off: &[f64], eased: &mut [f64], lack: &mut [f64]) {
        for (eased, (_, by_off)) in eased.iter_mut().zip(self.replies()) {
            *eased = by_off.iter().zip(&self.rows).map(|(by, ion)| by * off[*ion]).sum();
        }
        for ((row, m), off) in system.rows.iter().zip(molality).zip(off) {
            for (component, nu) in &row.nu {
                lack[*component] += nu * m * off;
            }
        }
        for (lack, taken) in lack.iter_mut().zip(self.taken.chunks_exact(self.rows.len().max(1))) {
            *lack -= taken.iter().zip(&*eased).map(|(taken, eased)| taken * eased).sum::<f64>();
        }
    }

    /// How far ln γ moves with a step of the components: to where it is no longer off, and along with the ions.
    fn follow(&self, step: &[f64], eased: &[f64], moved: &mut [f64], off: &mut [f64]) {
        for ((moved, eased), (by_step, _)) in moved.iter_mut().zip(eased).zip(self.replies()) {
            *moved = by_step.iter().zip(step).map(|(by, step)| by * step).sum::<f64>() - eased;
        }
        for (off, coupling) in off.iter_mut().zip(self.coupling.chunks_exact(self.rows.len().max(1))) {
            *off += coupling.iter().zip(&*moved).map(|(c, moved)| c * moved).sum::<f64>();
        }
    }
}
