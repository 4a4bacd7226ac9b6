//! Classification of a bath from its ingredients, by calculation (GHS step 3): no test data, no bridging.
//!
//! Sources: Regulation (EC) 1272/2008 (CLP), Annex I; 29 CFR 1910.1200 (HCS 2024), Appendix A; UN GHS. Every rule takes
//! the worse end of a range. Specific concentration limits replace generic ones (CLP Art. 10); limits are inclusive.
//! Where the standards leave a choice, the choice is named beside the code as a policy of this project.

mod acute;
mod aquatic;
mod health;
mod physical;
mod skin_eye;
mod supplemental;

use crate::amount::{Ph, Span};
use crate::reference::{HazardKind, Role, Route, Substance};

/// One ingredient in the bath.
#[derive(Debug, Clone, Copy)]
pub struct Component {
    /// The substance, in the form the table lists (the pentahydrate of copper sulfate, NH3 of ammonia, active chlorine
    /// of hypochlorite).
    pub substance: &'static Substance,
    /// Per cent by mass of the bath, both ends.
    pub percent: Span<f64>,
}

/// Something in the bath that cannot be classified: unrecognised, or without hazard data.
#[derive(Debug, Clone)]
pub struct Unlisted {
    /// Its name as written.
    pub name: String,
    /// Per cent by mass of the bath, if known.
    pub percent: Option<Span<f64>>,
}

/// A hazard class and category that the bath has.
#[derive(Debug, Clone, PartialEq)]
pub struct Class {
    /// The class.
    pub kind: HazardKind,
    /// The category: `1B`, `2` ..., empty where the class has none.
    pub cat: String,
    /// Its hazard statement.
    pub h: String,
    /// The route, for acute toxicity.
    pub route: Option<Route>,
    /// Whether it rests on a rule of thumb of this project because the class needs a test.
    pub estimate: bool,
    /// How it came about, with the figures.
    pub why: String,
}

impl Class {
    fn new(kind: HazardKind, cat: &str, h: &str, why: String) -> Self {
        Class { kind, cat: cat.to_string(), h: h.to_string(), route: None, estimate: false, why }
    }

    fn estimated(mut self) -> Self {
        self.estimate = true;
        self
    }

    /// `Skin Corr. 1B`, `Acute Tox. 4 (oral)`, `Flam. Liq. 3 (estimate)`.
    pub fn title(&self) -> String {
        let mut title = self.kind.abbreviation().to_string();
        if !self.cat.is_empty() {
            title = format!("{title} {}", self.cat);
        }
        if let Some(route) = self.route {
            title = format!("{title} ({})", route.word());
        }
        if self.estimate {
            title.push_str(" (estimate)");
        }
        title
    }
}

/// What the calculation found.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Classification {
    /// Classes, sorted by class, category and route.
    pub classes: Vec<Class>,
    /// Supplemental statements: code and text, `EUH208` with the substance filled in.
    pub supplemental: Vec<(String, String)>,
    /// The pH, when it is 2 or below, or 11.5 or above. Print eye and hand protection with it, whatever the class.
    pub ph_extreme: Option<Ph>,
    /// Hazards that need a test and are likely, each a sentence.
    pub likely: Vec<String>,
    /// Share of the bath whose acute toxicity is not known, per cent, when it is 1 or more.
    pub unknown_toxicity_percent: Option<f64>,
    /// What could not be classified, each a sentence.
    pub not_classified: Vec<String>,
}

impl Classification {
    /// Whether it has this class in any category.
    pub fn has(&self, kind: HazardKind) -> bool {
        self.classes.iter().any(|c| c.kind == kind)
    }

    /// The category of this class, if the bath has it.
    pub fn category(&self, kind: HazardKind) -> Option<&str> {
        self.classes.iter().find(|c| c.kind == kind).map(|c| c.cat.as_str())
    }

    /// The hazard statements, each once, in the order of their numbers.
    pub fn h_codes(&self) -> Vec<&str> {
        let mut codes: Vec<&str> = self.classes.iter().map(|c| c.h.as_str()).collect();
        codes.sort_unstable();
        codes.dedup();
        codes
    }
}

/// Classifies a bath.
///
/// `components` are its ingredients in per cent by mass of the bath; the same substance may stand there more than
/// once. `unlisted` is what has no hazard data. `ph` is the end of the computed pH that is nearer to 0 or 14.
pub fn classify(components: &[Component], unlisted: &[Unlisted], ph: Option<Ph>) -> Classification {
    let parts = merged(components);
    let mut found = Classification::default();
    acute::add(&parts, unlisted, &mut found);
    skin_eye::add(&parts, ph, &mut found);
    health::add(&parts, &mut found);
    aquatic::add(&parts, &mut found);
    physical::add(&parts, ph, &mut found);
    supplemental::add(&parts, &mut found);
    for u in unlisted {
        found.not_classified.push(format!("{} (no hazard data)", u.name));
    }
    found.classes.sort_by(|a, b| (a.kind, &a.cat, a.route, &a.h).cmp(&(b.kind, &b.cat, b.route, &b.h)));
    found
}

/// One substance with the upper end of its share.
#[derive(Debug, Clone, Copy)]
struct Part {
    substance: &'static Substance,
    percent: f64,
}

/// Each substance once, at the upper end of its share, sorted by id. Shares that are no number count as none.
fn merged(components: &[Component]) -> Vec<Part> {
    let mut parts: Vec<Part> = Vec::new();
    for c in components {
        let percent = c.percent.high.max(c.percent.low);
        if !percent.is_finite() || percent <= 0.0 {
            continue;
        }
        match parts.iter_mut().find(|p| p.substance.id == c.substance.id) {
            Some(p) => p.percent = (p.percent + percent).min(100.0),
            None => parts.push(Part { substance: c.substance, percent: percent.min(100.0) }),
        }
    }
    parts.sort_by(|a, b| a.substance.id.cmp(&b.substance.id));
    parts
}

/// Whether a share reaches a limit. Limits are inclusive; a share computed through sums may be a hair below.
fn reaches(percent: f64, limit: f64) -> bool {
    percent >= limit * (1.0 - 1e-9)
}

impl Part {
    fn class(&self, kind: HazardKind) -> Option<&'static crate::reference::HazardClass> {
        self.substance.clp.classes.iter().find(|c| c.kind == kind)
    }

    /// Lowest specific limit of this class, optionally only of these categories.
    fn limit(&self, kind: HazardKind, cats: Option<&[&str]>) -> Option<f64> {
        let limits = self.substance.clp.limits.iter();
        limits
            .filter(|l| l.kind == kind && cats.is_none_or(|cats| cats.contains(&l.cat.as_ref())))
            .map(|l| l.from_percent)
            .min_by(f64::total_cmp)
    }

    fn is(&self, role: Role) -> bool {
        self.substance.is(role)
    }

    fn said(&self) -> String {
        format!("{} {} %", self.substance.name, short(self.percent))
    }
}

/// A figure to three significant digits, without trailing zeros.
fn short(value: f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return value.to_string();
    }
    let places = (2 - libm::log10(value.abs()).floor() as i32).clamp(0, 6) as usize;
    let text = format!("{value:.places$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_string() } else { text }
}

/// "A 3 %, B 2 %".
fn named(parts: &[&Part]) -> String {
    parts.iter().map(|p| p.said()).collect::<Vec<_>>().join(", ")
}
