//! Where the parts sit and how much bath covers them: immersion and dosing settle together.

use super::{doses, exact_doses, measured::measured_mixture, parts_facts, poured, size::size_of};
use crate::amount::{Estimate, MassDensity, Volume, kg_per_m3};
use crate::bath::{BathSize, Dosing, MixConditions, Mixture, finished_volume};
use crate::diag::{Checked, Problem};
use crate::immersion::{Filled, Immersion, Question, least_bath};
use crate::order::{Order, Target};
use crate::reference::Material;
use crate::safety;
use crate::vessel::Vessel;
use jiff::SignedDuration;
use std::cell::RefCell;
use std::collections::BTreeMap;

/// Rounds after which a density that still moves is given up; it settles in two.
pub(super) const MOST_ROUNDS: usize = 8;

/// What immersion is worked out from.
pub(super) struct Seat<'a> {
    pub(super) order: &'a Order,
    pub(super) mixing: &'a MixConditions,
    pub(super) one_litre: &'a Dosing,
    pub(super) density: Estimate<MassDensity>,
}

impl Seat<'_> {
    /// The vessel asked for, or the one on the bench that needs the least bath.
    pub(super) fn vessel(&self, notes: &mut Vec<String>) -> Checked<Vessel> {
        if self.order.parts.is_empty() {
            return Err(Problem::error("an immersion recipe needs a part")
                .hint(
                    "name one, such as `--part \"box 40x40x80 mm, 85 g, iron, PLA\"`; use `scale` for a bath without parts",
                )
                .into());
        }
        if let Some(vessel) = &self.order.vessel {
            return Ok(vessel.clone());
        }
        let bench = &self.order.bench.vessels;
        let Some(first) = bench.first() else {
            return Err(Problem::error("an immersion recipe needs a vessel")
                .hint("name one, such as `--vessel \"jar 80x120 mm, glass\"`; `bathwright help writing` shows all ways")
                .into());
        };
        match self.ask(first, self.density, &self.forbids(), |question| least_bath(question, bench)) {
            Some((at, _)) => {
                let vessel = bench[at].clone();
                notes.push(format!(
                    "No vessel was named: {} is the one on the bench that needs the least bath",
                    vessel.name
                ));
                Ok(vessel)
            }
            // None takes the parts: the first says by how much.
            None => Ok(first.clone()),
        }
    }

    /// Where everything sits, the doses for it, and what they make as measured out.
    ///
    /// Rounding to spoons moves the density: parts are held under in the densest bath that rounding and labels allow, so
    /// the answer stands only when the doses as measured out stay within the density it was worked out for.
    pub(super) fn immersed(&self, vessel: &Vessel) -> Checked<(Immersion, Dosing, Option<Mixture>)> {
        let stated = match &self.order.target {
            None | Some(Target::CoverParts) => None,
            Some(target) => {
                let size = size_of(target)?;
                let exact = exact_doses(self.order, size)?;
                Some((size, finished_volume(&poured(&exact), self.mixing.temperature)?.0))
            }
        };
        let forbids = self.forbids();
        let mut density = self.density;
        let mut last: Option<(Volume, Dosing, Option<Mixture>)> = None;
        for _ in 0..MOST_ROUNDS {
            let given = stated.map(|(_, finished)| finished);
            let filled = self.ask(vessel, density, &forbids, |question| Filled::new(question, given))?;
            let liquid = filled.liquid();
            let size = stated.map_or(BathSize::Finished(liquid), |(size, _)| size);
            // The same liquid is measured out in the same way.
            let (dosing, measured) = match last.take() {
                Some((last, dosing, measured)) if last == liquid => (dosing, measured),
                _ => {
                    let dosing = doses(self.order, size)?;
                    let measured = measured_mixture(&dosing, self.mixing);
                    (dosing, measured)
                }
            };
            let wider = measured.as_ref().and_then(|m| m.density).map_or(density, |d| widen(density, d));
            if wider == density {
                let found = self.ask(vessel, density, &forbids, |question| filled.immersion(question));
                return Ok((found, dosing, measured));
            }
            density = wider;
            last = Some((liquid, dosing, measured));
        }
        Err(Problem::error("ballast, fill line and the density of the bath as measured out do not settle")
            .hint("name finer spoons or scales on the bench, or state the volume to make")
            .into())
    }

    /// Why a material may not go into this bath; each is judged once.
    fn forbids(&self) -> impl Fn(&Material) -> Option<String> {
        let ingredients = poured(self.one_litre);
        let facts = parts_facts(&self.order.parts);
        let judged: RefCell<BTreeMap<String, Option<String>>> = RefCell::default();
        move |material| {
            let judge = || safety::forbids(&ingredients, &facts, material);
            judged.borrow_mut().entry(material.id.to_string()).or_insert_with(judge).clone()
        }
    }

    /// Puts a question about a vessel.
    fn ask<T>(
        &self,
        vessel: &Vessel,
        density: Estimate<MassDensity>,
        forbids: &dyn Fn(&Material) -> Option<String>,
        answer: impl FnOnce(&Question<'_>) -> T,
    ) -> T {
        answer(&Question {
            vessel,
            parts: &self.order.parts,
            ballast: &self.order.bench.ballast,
            forbids,
            cover: self.order.cover_depth,
            lay: self.order.lay,
            margin_percent: self.order.ballast_margin_percent,
            density,
            temperature: self.order.temperature.unwrap_or(self.order.recipe.temperature.high),
            longest_soak: longest_soak(self.order),
        })
    }
}

pub(super) fn longest_soak(order: &Order) -> SignedDuration {
    let recipe = order.recipe.soak.iter().map(|s| s.after).max().unwrap_or(SignedDuration::ZERO);
    let parts = order.parts.iter().filter_map(|p| p.lift.map(|l| l.high)).max();
    match parts {
        // Every part has a lift of its own: the soak ends with the last of them.
        Some(last) if order.parts.iter().all(|p| p.lift.is_some()) => last,
        Some(last) => recipe.max(last),
        None => recipe,
    }
}

pub(super) fn density_or_bounds(one: &Mixture, notes: &mut Vec<String>) -> Estimate<MassDensity> {
    one.density.unwrap_or_else(|| {
        notes.push("The density of this bath is not modelled: to be careful, ballast is worked out for anything from 990 to 1300 kg/m³".into());
        Estimate { best: kg_per_m3(1100.0), low: kg_per_m3(990.0), high: kg_per_m3(1300.0) }
    })
}

pub(super) fn widen(a: Estimate<MassDensity>, b: Estimate<MassDensity>) -> Estimate<MassDensity> {
    Estimate {
        best: a.best,
        low: if b.low < a.low { b.low } else { a.low },
        high: if b.high > a.high { b.high } else { a.high },
    }
}
