//! From a solution to one much like it: how all equations answer to a small step, and the steps to where they are met.
//!
//! The slopes of one place serve as long as a solution stays near it, so that what many like solutions cost is worked out
//! once. Further away they are worked out anew, which makes the steps those of Newton.

use super::newton::{Goal, Medium, Row, State, System, gauss};
use std::f64::consts::LN_10;
use std::rc::Rc;

/// Steps on all equations at once; five are many.
const MOST_STEPS: usize = 20;
/// The longest of these steps, in units of ln.
const LONGEST: f64 = 2.0;
/// How far a solution goes, in units of ln, before the slopes are worked out anew.
const FAR: f64 = 0.5;
/// What a step may be of the one before it until then.
const SLOW: f64 = 0.2;
/// How much more of a step slopes may miss than of the step before.
const GROWS: f64 = 4.0;
/// How near to the place of the slopes a solution has to be for them to count as its own.
const NEXT_TO: f64 = 1e-3;
/// Less of a reagent than this, g for each kilogram of water, need not be known to a share of itself.
const NOTHING: f64 = 1e-3;
/// Ions that make less than this share of the ionic strength follow the activity coefficients without moving them,
/// within a step. The answer does not depend on it, only how fast it is found.
const TRACE: f64 = 1e-3;

/// What the equations come to somewhere.
#[derive(Debug, Clone)]
struct Look {
    medium: Medium,
    /// How many species there are.
    rows: usize,
    /// How much there is of each species, by how much each ln γ is off, and what the species hold of each component.
    seen: Vec<f64>,
}

impl Look {
    fn of(system: &System, at: &State) -> Option<Look> {
        let rows = at.ln_gamma.len();
        let mut look = Look { medium: Medium::default(), rows, seen: vec![0.0; 2 * rows + at.ln_a.len()] };
        look.again(system, at)?;
        Some(look)
    }

    /// Looks somewhere else; `None` beyond all that is a solution in water.
    fn again(&mut self, system: &System, at: &State) -> Option<()> {
        let (molality, others) = self.seen.split_at_mut(self.rows);
        let (off, held) = others.split_at_mut(self.rows);
        system.molalities(&at.ln_a, &at.ln_gamma, molality);
        self.medium = system.medium(molality)?;
        system.off(&at.ln_gamma, molality, &self.medium, off);
        held.fill(0.0);
        system.add_held(molality, held);
        Some(())
    }

    fn molality(&self) -> &[f64] {
        &self.seen[..self.rows]
    }

    fn off(&self) -> &[f64] {
        &self.seen[self.rows..2 * self.rows]
    }

    fn off_mut(&mut self) -> &mut [f64] {
        &mut self.seen[self.rows..2 * self.rows]
    }

    fn held(&self) -> &[f64] {
        &self.seen[2 * self.rows..]
    }
}

/// Where slopes led.
pub(super) struct Led {
    pub state: State,
    /// Those that lead on from there, if it is next to their place.
    pub slopes: Option<Rc<Slopes>>,
}

/// How the equations answer to a small step from some place.
#[derive(Debug)]
pub(super) struct Slopes {
    place: State,
    look: Look,
    ions: Ions,
    /// By how much the logarithms of the activities move for what the balances lack: one line each, one column a balance.
    inverse: Vec<f64>,
    /// How many protons move with a component.
    protons: Vec<f64>,
}

impl Slopes {
    /// At this place. `None` where it has no slopes.
    pub fn at(system: &System, place: State) -> Option<Rc<Slopes>> {
        let look = Look::of(system, &place)?;
        Slopes::of(system, place, look)
    }

    fn of(system: &System, place: State, look: Look) -> Option<Rc<Slopes>> {
        let n = look.held().len();
        let wide = 2 * n;
        let mut matrix = vec![0.0; n * wide];
        system.balances(look.molality(), look.held(), &mut matrix, wide);
        let protons = (0..n).map(|i| matrix[i] / matrix[i * wide + i]).map(|p| if p.is_finite() { p } else { 0.0 });
        let protons = protons.collect();
        let ions = Ions::of(system, &look)?;
        ions.soften(&mut matrix, wide);
        for (i, line) in matrix.chunks_exact_mut(wide).enumerate() {
            line[n..].fill(0.0);
            line[n + i] = 1.0;
        }
        gauss(&mut matrix, n, wide)?;
        let mut inverse = Vec::with_capacity(n * n);
        matrix.chunks_exact(wide).for_each(|line| inverse.extend_from_slice(&line[n..]));
        Some(Rc::new(Slopes { place, look, ions, inverse, protons }))
    }

    /// Goes from the place of the slopes to where the goal is met; `None` where they do not lead there.
    pub fn lead(self: Rc<Slopes>, system: &System, goal: &mut Goal, settled_at: f64) -> Option<Led> {
        let mut slopes = self;
        let (mut state, mut look) = (slopes.place.clone(), slopes.look.clone());
        let mut room = vec![0.0; 5 * state.ln_a.len() + 2 * state.ln_gamma.len()];
        let (mut away, mut last) = (0.0, f64::INFINITY);
        for _ in 0..MOST_STEPS {
            let length = slopes.step(system, &mut state, goal, &mut look, &mut room)?;
            away += length;
            // Slopes change with the way from their place: by so much of the step they may have missed. What they left over of
            // the step before, if it was theirs, is a closer estimate, with a margin.
            let missed = if away > length { away.min(GROWS * length / last) } else { away };
            if length * missed < settled_at {
                return Some(Led { state, slopes: (away < NEXT_TO).then_some(slopes) });
            }
            look.again(system, &state)?;
            if away > FAR || length > SLOW * last {
                slopes = Slopes::of(system, state.clone(), look.clone())?;
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
        let (freed, moved) = room.split_at_mut(look.rows);
        let moved = &mut moved[..self.ions.rows.len()];
        for ((lack, total), held) in lack.iter_mut().zip(&goal.totals).zip(look.held()) {
            *lack = total - held;
        }
        // Of the protons there may be none, or less.
        for ((grown, total), held) in grown.iter_mut().zip(&goal.totals).zip(look.held()).skip(1) {
            *grown = libm::log(total / held);
        }
        // Totals that all grow alike are met in one step when they are compared by their logarithms.
        let little = grown[1..].iter().all(|g| !g.is_finite() || g.abs() < FAR);
        let held = self.look.held();
        self.weigh(lack, grown, little, |i, _| held[i] * grown[i]);
        self.ions.ease(system, self.look.molality(), look.off(), freed, moved, lack);
        times(&self.inverse, lack, step);
        let (mut grams, mut growth) = (0.0, 0.0);
        if let Some(reagent) = &goal.reagent {
            // So much of it that the protons come to where they are to be.
            let kg = reagent.bath_kg + reagent.grams * reagent.kg_per_gram;
            for ((rate, mol), total) in rate.iter_mut().zip(&reagent.mol_per_gram).zip(&goal.totals) {
                *rate = (mol - reagent.kg_per_gram * total) / kg;
            }
            self.weigh(rate, grown, little, |i, rate| held[i] * rate / goal.totals[i]);
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
        let off = look.off_mut();
        self.ions.follow(step, moved, off);
        let length = step.iter().chain(&*off).fold(0.0_f64, |a, s| a.max(s.abs()));
        let share = (LONGEST / length).min(1.0);
        add_times(&mut at.ln_a, share, step);
        add_times(&mut at.ln_gamma, share, off);
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

/// A row times a column.
fn dot(row: &[f64], column: &[f64]) -> f64 {
    row.iter().zip(column).map(|(a, b)| a * b).sum()
}

/// A square matrix times a column.
fn times(matrix: &[f64], column: &[f64], into: &mut [f64]) {
    for (to, line) in into.iter_mut().zip(matrix.chunks_exact(column.len())) {
        *to = dot(line, column);
    }
}

/// Adds so many times another list.
fn add_times(to: &mut [f64], factor: f64, other: &[f64]) {
    for (to, other) in to.iter_mut().zip(other) {
        *to += factor * other;
    }
}

/// The ions that move the activity coefficients, and how they answer to a step of the components when the coefficients
/// follow: ln m = ln K + ν x − ln γ(m), so that a step dx moves ln m by (1 + Γ M)⁻¹ (ν dx − off), with Γ the derivatives of
/// ln γ and M the molalities. All lists have one line for each of the ions.
#[derive(Debug, Clone)]
struct Ions {
    rows: Vec<usize>,
    /// Γ M: what a step of ln m of the ion moves ln γ of each species by.
    coupling: Vec<f64>,
    /// Of the ion 1 + Γ M, then what a step of each component moves its ln m by, then what each ion being off does.
    reply: Vec<f64>,
    /// What the coupling takes off each balance.
    taken: Vec<f64>,
}

impl Ions {
    /// Finds the ions that matter, and their answer.
    fn of(system: &System, look: &Look) -> Option<Ions> {
        let (all, n, molality, medium) = (look.rows, look.held().len(), look.molality(), &look.medium);
        let counts = |i: &usize| system.rows[*i].charge.powi(2) * molality[*i] > TRACE * medium.strength;
        let rows: Vec<usize> = (0..all).filter(counts).collect();
        let s = rows.len();
        let mut coupling = Vec::with_capacity(all * s);
        for ion in &rows {
            let debye = -0.5 * LN_10 * medium.debye_per_strength * system.rows[*ion].charge.powi(2);
            let of = |row: &Row| debye * row.charge * row.charge - row.water * medium.ln_water_per_mol;
            coupling.extend(system.rows.iter().map(of));
        }
        for (i, j, e) in &system.pairs {
            for (i, j) in [(i, j), (j, i)] {
                if let Ok(ion) = rows.binary_search(j) {
                    coupling[ion * all + i] += LN_10 * e;
                }
            }
        }
        for (line, ion) in coupling.chunks_exact_mut(all).zip(&rows) {
            line.iter_mut().for_each(|cell| *cell *= molality[*ion]);
        }
        let wide = s + n + s;
        let mut reply = vec![0.0; s * wide];
        for (k, (ion, line)) in rows.iter().zip(reply.chunks_exact_mut(wide)).enumerate() {
            for (cell, coupling) in line.iter_mut().zip(coupling.chunks_exact(all)) {
                *cell = coupling[*ion];
            }
            line[k] += 1.0;
            line[s + n + k] = 1.0;
        }
        for (row, i, nu) in &system.parts {
            if let Ok(ion) = rows.binary_search(row) {
                reply[ion * wide + s + i] = *nu;
            }
        }
        gauss(&mut reply, s, wide)?;
        let mut taken = vec![0.0; s * n];
        for (taken, coupling) in taken.chunks_exact_mut(n).zip(coupling.chunks_exact(all)) {
            for (row, i, nu) in &system.parts {
                taken[*i] += nu * molality[*row] * coupling[*row];
            }
        }
        Some(Ions { rows, coupling, reply, taken })
    }

    /// What the coupling of each ion takes off the balances, and the answer of the ion: to a step of the components, and to
    /// ions being off.
    fn each(&self, components: usize) -> impl Iterator<Item = (&[f64], (&[f64], &[f64]))> {
        let s = self.rows.len();
        let replies = self.reply.chunks_exact((2 * s + components).max(1));
        self.taken.chunks_exact(components).zip(replies.map(move |line| line[s..].split_at(components)))
    }

    /// Turns second derivatives at fixed activity coefficients into those at coefficients that follow.
    fn soften(&self, matrix: &mut [f64], wide: usize) {
        for (taken, (by_step, _)) in self.each(wide / 2) {
            for (line, taken) in matrix.chunks_exact_mut(wide).zip(taken) {
                add_times(line, -taken, by_step);
            }
        }
    }

    /// Turns what the balances lack into what they lack when the coefficients are no longer off, and tells by how much
    /// ln m of each ion moves then; `freed` is room for how much there is less of each species.
    fn ease(
        &self,
        system: &System,
        molality: &[f64],
        off: &[f64],
        freed: &mut [f64],
        moved: &mut [f64],
        lack: &mut [f64],
    ) {
        for ((freed, m), off) in freed.iter_mut().zip(molality).zip(off) {
            *freed = m * off;
        }
        system.add_held(freed, lack);
        for (moved, (taken, (_, by_off))) in moved.iter_mut().zip(self.each(lack.len())) {
            *moved = -by_off.iter().zip(&self.rows).map(|(by, ion)| by * off[*ion]).sum::<f64>();
            add_times(lack, *moved, taken);
        }
    }

    /// How far ln γ moves with a step of the components: to where it is no longer off, and along with the ions.
    fn follow(&self, step: &[f64], moved: &[f64], off: &mut [f64]) {
        for ((moved, (_, (by_step, _))), coupling) in
            moved.iter().zip(self.each(step.len())).zip(self.coupling.chunks_exact(off.len()))
        {
            add_times(off, moved + dot(by_step, step), coupling);
        }
    }
}
