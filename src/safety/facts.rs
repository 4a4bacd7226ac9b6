//! The flat, already computed view that the rules read. Every figure errs to the dangerous side: the highest strength,
//! the largest amount, every meaning of a name.

use super::around::{Around, around};
use super::classify::{Classification, Component, Unlisted, classify};
use super::parts_played::{Played, Roles, played};
use super::stock::{self, Stock};
use super::{Conditions, Gravity};
use crate::amount::{ThermodynamicTemperature, celsius, in_celsius, in_cubic_metres, in_millilitres};
use crate::reference::schema::{HazardRole, MetalFamily};
use crate::reference::{
    Before, Cover, Ingredient, Material, Meaning, Method, Rinsed, Substance, incompatible, suspects,
};

/// Temperature taken when none is said, °C.
pub const ASSUMED_C: f64 = 20.0;

const FINE: Roles = Roles::of(&[HazardRole::MetalPowder, HazardRole::FineIron]);
/// Metals that peroxide falls apart on.
const CATALYSING_METAL: Roles = Roles::of(&[
    HazardRole::IronMetal,
    HazardRole::CopperMetal,
    HazardRole::SilverMetal,
    HazardRole::LeadMetal,
    HazardRole::NickelMetal,
]);
/// What leaves nothing behind when it has dried.
const VOLATILE: Roles = Roles::of(&[HazardRole::FlammableSolvent, HazardRole::ChlorinatedSolvent]);

/// One thing that an ingredient can mean.
#[derive(Debug, Clone)]
pub struct Present {
    /// Place in the order of pouring; what was there before comes after all that is poured.
    pub ingredient: usize,
    /// The substance.
    pub substance: &'static Substance,
    /// What it plays.
    pub played: Played,
    /// How it is poured.
    pub stock: Stock,
    /// `Some` when it is not poured but was there before.
    pub before: Option<Before>,
    /// `Some` when it is what a part, the vessel, ballast or a holder is made of.
    pub around: Option<Around>,
}

impl Present {
    /// Its name without what the table adds in brackets or about its solution.
    pub fn name(&self) -> &'static str {
        let (written, id) = match self.around {
            Some(around) => (&around.material.name, &around.material.id),
            None => (&self.substance.name, &self.substance.id),
        };
        let name: &'static str = match written {
            std::borrow::Cow::Borrowed(name) => name,
            std::borrow::Cow::Owned(_) => id.as_ref(),
        };
        name.split([',', '(']).next().unwrap_or(name).trim()
    }

    /// Whether it plays any of these.
    pub fn is(&self, roles: Roles) -> bool {
        self.played.roles.meets(roles)
    }

    /// Whether it plays this.
    pub fn plays(&self, role: HazardRole) -> bool {
        self.played.roles.has(role)
    }

    /// Strength as poured, per cent, the highest that the label allows. A solid that can only act dissolved counts with
    /// its saturated solution.
    pub fn percent(&self) -> f64 {
        let saturated = incompatible().saturated_percent.get(self.substance.id.as_ref());
        saturated.map_or(self.stock.percent, |most| self.stock.percent.min(*most))
    }

    /// Equivalents for these roles in all of it, if the amount is known.
    pub fn equivalents(&self, roles: Roles) -> Option<f64> {
        Some(self.stock.moles? * self.played.equivalents(roles))
    }
}

/// Where a metal or other material is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Place {
    /// The vessel itself.
    Vessel,
    /// A part.
    Part,
    /// Ballast.
    Ballast,
    /// What hangs, holds or stirs.
    Holder,
    /// Poured or thrown in.
    Ingredient,
}

/// A metal that the liquid touches.
#[derive(Debug, Clone)]
pub struct Metal {
    /// How its surface behaves.
    pub family: MetalFamily,
    /// Where it is.
    pub place: Place,
    /// Powder, wool or foil.
    pub fine: bool,
    /// Another metal, sold with lead in it too.
    pub may_hold_lead: bool,
    /// Its name.
    pub name: String,
    /// The ingredient it is, if it is one.
    pub ingredient: Option<usize>,
}

/// Something whose name is not in the table. What its name could be a slip or a variety of is among what is present.
#[derive(Debug, Clone)]
pub struct Unknown {
    /// Its name as written.
    pub name: String,
    /// What [`Present::ingredient`] is of the things that it could be.
    pub ingredients: Vec<usize>,
    /// Whether it was there before.
    pub before: bool,
}

/// Everything the rules may look at.
#[derive(Debug, Clone)]
pub struct Facts<'a> {
    /// Every meaning of every ingredient, and of what was there before.
    pub present: Vec<Present>,
    /// What is around the bath and plays a part as a substance would.
    pub around: Vec<Present>,
    /// What is not in the table, poured or there before.
    pub unknown: Vec<Unknown>,
    /// Questions about names and strengths that are open.
    pub questions: Vec<String>,
    /// Names of the stocks whose strength is missing.
    pub strength_missing: Vec<String>,
    /// Metals that the liquid touches.
    pub metals: Vec<Metal>,
    /// Bath temperature, the higher of the one said and the recipe's, °C.
    pub temperature_c: f64,
    /// Cover.
    pub cover: Cover,
    /// Whether the bath is kept for another time.
    pub kept: bool,
    /// Whether it is kept so long that it is taken to be capped, because nothing was said of a cover.
    pub put_away: bool,
    /// Air of the room, m³; `None` out of doors.
    pub room_m3: Option<f64>,
    /// Volume of everything poured, mL, if all amounts are known.
    pub poured_ml: Option<f64>,
    /// The same without solids that do not dissolve, mL: what is dissolved is spread over it.
    pub liquid_ml: Option<f64>,
    /// The least that everything poured but for such solids can weigh, g, if all amounts are known: what heat and poison
    /// are spread over.
    pub least_g: Option<f64>,
    /// Air above the liquid, mL.
    pub headspace_ml: Option<f64>,
    /// The components of the bath, and its classes without regard to pH.
    pub components: Vec<Component>,
    /// What is poured and has no hazard data, with its share where all amounts are known.
    pub unlisted: Vec<Unlisted>,
    /// See `components`.
    pub classes: Classification,
    /// The conditions as given.
    pub conditions: &'a Conditions,
}

/// Works out the facts.
pub fn facts<'a>(ingredients: &[Ingredient], conditions: &'a Conditions) -> Facts<'a> {
    let litres = stock::litres_poured(ingredients);
    let mut present = Vec::new();
    // Places for what else an unknown thing may hold, behind everything that was named.
    let mut more = ingredients.len() + conditions.after.len()..;
    let (mut unknown, mut questions, mut strength_missing) = (Vec::new(), Vec::new(), Vec::new());
    for (i, ingredient) in ingredients.iter().enumerate() {
        if ingredient.meanings.is_empty() {
            let (one, mut guesses) = unknown_thing(ingredient, i, &mut more, litres, None);
            unknown.push(one);
            present.append(&mut guesses);
        }
        questions.extend(ingredient.question.clone());
        if ingredient.strength_missing {
            strength_missing.push(ingredient.line.name.clone());
        }
        present.extend(meanings(ingredient, i, litres, None));
    }
    let poured = |of: fn(&Stock) -> Option<f64>, choose: fn(f64, f64) -> f64| {
        (0..ingredients.len()).map(|i| chosen(&present, i, |p| of(&p.stock), choose)).sum::<Option<f64>>()
    };
    let poured_ml = poured(|s| s.volume_ml, f64::max);
    let liquid_ml = poured(|s| s.thinning(s.volume_ml), f64::max);
    let least_g = poured(|s| s.thinning(s.mass_low_g), f64::min);
    for (i, past) in (ingredients.len()..).zip(&conditions.after) {
        if past.ingredient.meanings.is_empty() {
            let (one, mut guesses) = unknown_thing(&past.ingredient, i, &mut more, None, Some(past.left));
            unknown.push(one);
            present.append(&mut guesses);
        }
        present.extend(meanings(&past.ingredient, i, None, Some(past.left)));
    }
    let said = conditions.temperature.map(in_celsius);
    let recipe = conditions.recipe_temperature.map(in_celsius);
    let metals = metals(&present, conditions);
    let around = around(conditions, &present, &metals);
    let mut facts = Facts {
        components: Vec::new(),
        unlisted: Vec::new(),
        classes: Classification::default(),
        unknown,
        questions,
        strength_missing,
        metals,
        temperature_c: said.into_iter().chain(recipe).reduce(f64::max).unwrap_or(ASSUMED_C),
        cover: conditions.cover.unwrap_or(Cover::Open),
        kept: conditions.kept.is_some_and(|d| d.is_positive()),
        put_away: put_away(conditions),
        room_m3: (!conditions.room.outdoors).then(|| in_cubic_metres(conditions.room.volume).max(0.001)),
        headspace_ml: conditions.capacity.and_then(|c| Some((in_millilitres(c) - poured_ml?).max(1.0))),
        poured_ml,
        liquid_ml,
        least_g,
        present,
        around,
        conditions,
    };
    facts.components = super::shares::components(&facts);
    facts.unlisted = super::shares::unlisted(&facts.present, ingredients, litres);
    facts.classes = classify(&facts.components, &facts.unlisted, None);
    facts
}

/// From how long on a bath that is kept counts as put away, hours: longer than somebody stands by it (our choice).
const PUT_AWAY_H: i64 = 4;

/// Whether a bath that is kept is taken to be capped: long enough, and nothing said of a cover that lets gas out.
pub(super) fn put_away(conditions: &Conditions) -> bool {
    let long = conditions.kept.is_some_and(|d| d >= jiff::SignedDuration::from_hours(PUT_AWAY_H));
    long && !matches!(conditions.cover, Some(Cover::Open | Cover::Loose))
}

/// Something unknown, and everything that it could be or hold, each at its strongest.
fn unknown_thing(
    ingredient: &Ingredient,
    index: usize,
    more: &mut std::ops::RangeFrom<usize>,
    litres: Option<f64>,
    before: Option<Before>,
) -> (Unknown, Vec<Present>) {
    let mut unknown =
        Unknown { name: ingredient.line.name.clone(), ingredients: vec![index], before: before.is_some() };
    let mut present = Vec::new();
    for (i, meant) in suspects(&ingredient.line.name).into_iter().enumerate() {
        let index = if i == 0 { Some(index) } else { more.next() };
        let Some(index) = index else { break };
        let strength_missing = ingredient.line.strength.is_none();
        let guess = Ingredient { meanings: meant, strength_missing, ..ingredient.clone() };
        present.extend(meanings(&guess, index, litres, before));
        unknown.ingredients.push(index);
    }
    (unknown, present)
}

fn meanings(
    ingredient: &Ingredient,
    index: usize,
    litres: Option<f64>,
    before: Option<Before>,
) -> impl Iterator<Item = Present> {
    ingredient.meanings.iter().map(move |meaning: &Meaning| {
        let mut played = played(meaning.substance);
        // Crumbs and filings catalyse as their salts do.
        if before.is_some() && played.roles.meets(CATALYSING_METAL) {
            played.add(HazardRole::MetalIons, 1.0);
        }
        let stock = stock::stock(ingredient, meaning, played.roles, litres);
        Present { ingredient: index, substance: meaning.substance, played, stock, before, around: None }
    })
}

/// The largest or least figure among the meanings of one ingredient; nothing when one of them has none.
fn chosen(
    present: &[Present],
    ingredient: usize,
    of: impl Fn(&Present) -> Option<f64>,
    choose: fn(f64, f64) -> f64,
) -> Option<f64> {
    let mut figures = present.iter().filter(|p| p.ingredient == ingredient).map(of);
    let first = figures.next()??;
    figures.try_fold(first, |so_far, next| Some(choose(so_far, next?)))
}

fn metals(present: &[Present], conditions: &Conditions) -> Vec<Metal> {
    let mut metals = Vec::new();
    let mut of = |material: &Material, place: Place| {
        for family in material.family.into_iter().chain(material.beneath) {
            metals.push(Metal {
                family,
                place,
                fine: false,
                may_hold_lead: material.may_hold_lead,
                name: material.name.to_string(),
                ingredient: None,
            });
        }
    };
    conditions.vessel.into_iter().for_each(|m| of(m, Place::Vessel));
    conditions.parts.iter().filter_map(|p| p.metal).for_each(|m| of(m, Place::Part));
    conditions.ballast.iter().for_each(|m| of(m, Place::Ballast));
    conditions.holders.iter().for_each(|m| of(m, Place::Holder));
    use HazardRole as H;
    for p in present.iter().filter(|p| p.before.is_none()) {
        for (role, family) in [
            (H::ZincMetal, MetalFamily::Zinc),
            (H::AluminiumMetal, MetalFamily::Aluminium),
            (H::MagnesiumMetal, MetalFamily::Magnesium),
            (H::IronMetal, MetalFamily::Ferrous),
            (H::CopperMetal, MetalFamily::CopperAlloy),
            (H::LeadMetal, MetalFamily::Lead),
            (H::SilverMetal, MetalFamily::Silver),
            (H::NickelMetal, MetalFamily::Nickel),
        ] {
            if p.plays(role) {
                let fine = p.is(FINE);
                let name = p.name().to_string();
                metals.push(Metal {
                    family,
                    place: Place::Ingredient,
                    fine,
                    may_hold_lead: false,
                    name,
                    ingredient: Some(p.ingredient),
                });
            }
        }
    }
    metals
}

impl<'a> Facts<'a> {
    /// The same mixture under other conditions that differ only in what part and vessel are made of.
    pub(super) fn made_of<'b>(&self, conditions: &'b Conditions) -> Facts<'b>
    where
        'a: 'b,
    {
        let metals = metals(&self.present, conditions);
        let around = around(conditions, &self.present, &metals);
        Facts { metals, around, conditions, ..self.clone() }
    }
}

impl Facts<'_> {
    /// Whether the name of this ingredient is not in the table.
    pub fn is_unknown(&self, ingredient: usize) -> bool {
        self.unknown.iter().any(|u| u.ingredients.contains(&ingredient))
    }

    /// What is poured, without what was there before.
    pub fn poured(&self) -> impl Iterator<Item = &Present> {
        self.present.iter().filter(|p| p.before.is_none())
    }

    /// What plays any of these, poured.
    pub fn playing(&self, roles: Roles) -> impl Iterator<Item = &Present> {
        self.poured().filter(move |p| p.is(roles))
    }

    /// Whether anything poured plays any of these.
    pub fn any(&self, roles: Roles) -> bool {
        self.playing(roles).next().is_some()
    }

    /// The strongest stock that plays any of these, per cent; `None` when there is none.
    pub fn strongest(&self, roles: Roles) -> Option<f64> {
        self.playing(roles).map(Present::percent).reduce(f64::max)
    }

    /// Equivalents of everything poured that plays these; each ingredient counts with its worst meaning. `None` when
    /// an amount is not known, as of a stone part.
    pub fn equivalents(&self, roles: Roles) -> Option<f64> {
        if self.around.iter().any(|p| p.around.is_some() && p.is(roles)) {
            return None;
        }
        self.summed(roles, |p| p.equivalents(roles))
    }

    /// The same by what the lines say, without the errors of label and measure: where two sides are set off against each other.
    pub fn said_equivalents(&self, roles: Roles) -> Option<f64> {
        self.summed(roles, |p| p.equivalents(roles).map(|n| n / p.stock.over))
    }

    fn summed(&self, roles: Roles, of: impl Fn(&Present) -> Option<f64>) -> Option<f64> {
        let mut sum = 0.0;
        for p in self.playing(roles) {
            let mut alike = self.playing(roles).filter(|q| q.ingredient == p.ingredient).peekable();
            // Once for all its meanings.
            if alike.peek().is_some_and(|first| std::ptr::eq(*first, p)) {
                sum += alike.try_fold(0.0, |worst, q| Some(f64::max(worst, of(q)?)))?;
            }
        }
        Some(sum)
    }

    /// Pairs of different ingredients and different substances; two things of the past meet in the vessel that was not
    /// washed (40 CFR 264.177) or in the part. What is around meets what is poured or was there before.
    pub fn meetings(&self, a: Roles, b: Roles) -> impl Iterator<Item = (&Present, &Present)> {
        let all = || self.present.iter().chain(&self.around);
        all()
            .filter(move |p| p.is(a))
            .flat_map(move |p| all().filter(move |q| q.is(b) && apart(p, q)).map(move |q| (p, q)))
    }

    /// Whether gas stays in: the vessel is closed, or the bath is put away for another day.
    pub fn closed(&self) -> bool {
        self.cover == Cover::Sealed || self.put_away
    }

    /// Whether the liquid is sprayed.
    pub fn sprayed(&self) -> bool {
        self.conditions.method == Method::Spray
    }

    /// Metals of these families that the liquid touches.
    pub fn metal(&self, families: &'static [MetalFamily]) -> impl Iterator<Item = &Metal> {
        self.metals.iter().filter(move |m| families.contains(&m.family))
    }

    /// All that is poured and has a name in the table, each ingredient as the meaning that is chosen (largest, least);
    /// `None` when one of them has no figure. Solids that do not dissolve count as nothing. What is not in the table takes no part: it could be anything.
    pub fn named(&self, of: impl Fn(&Stock) -> Option<f64>, choose: fn(f64, f64) -> f64) -> Option<f64> {
        let mut each: Vec<(usize, Option<f64>)> = Vec::new();
        let of = |stock: &Stock| stock.thinning(of(stock));
        for p in self.poured().filter(|p| !self.is_unknown(p.ingredient)) {
            match each.iter_mut().find(|(i, _)| *i == p.ingredient) {
                Some((_, so_far)) => *so_far = so_far.zip(of(&p.stock)).map(|(a, b)| choose(a, b)),
                None => each.push((p.ingredient, of(&p.stock))),
            }
        }
        each.into_iter().map(|(_, figure)| figure).sum::<Option<f64>>().filter(|sum| *sum > 0.0)
    }

    /// The least that is poured of these, equivalents: the low end of amount and strength, each ingredient as its
    /// mildest meaning, nothing where the amount or the thing itself is not known.
    pub fn least_equivalents(&self, roles: Roles) -> f64 {
        let of = |i: usize| self.poured().filter(move |p| p.ingredient == i && !self.is_unknown(i));
        let least = |p: &Present| {
            let (heavy, light) = p.stock.mass_g.zip(p.stock.mass_low_g)?;
            let share = light * p.stock.percent_low / (heavy * p.stock.percent) / p.stock.over;
            p.equivalents(roles).filter(|_| share.is_finite()).map(|n| n * share.clamp(0.0, 1.0))
        };
        let last = self.poured().map(|p| p.ingredient).max().map_or(0, |i| i + 1);
        (0..last).map(|i| of(i).map(|p| least(p).unwrap_or(0.0)).reduce(f64::min).unwrap_or(0.0)).sum()
    }

    /// Bath temperature as a quantity.
    pub fn temperature(&self) -> ThermodynamicTemperature {
        celsius(self.temperature_c)
    }
}

/// Whether two can meet: they come from different bottles.
pub fn apart(p: &Present, q: &Present) -> bool {
    p.ingredient != q.ingredient && p.substance.id != q.substance.id && (p.around.is_none() || q.around.is_none())
}

/// How grave a meeting can still be when this is what is left of one side.
///
/// Not rinsed counts as the thing itself (40 CFR 264.177 for the vessel). The steps are our judgement. What `clings`
/// (a sulfide in infill) needs a rinse that neutralises; a solvent in a rule that says it `evaporates` is gone when dry.
pub fn still_counts(p: &Present, clings: bool, evaporates: bool) -> Gravity {
    match p.before {
        None => Gravity::Stop,
        Some(Before { dried: true, .. }) if evaporates && p.is(VOLATILE) => Gravity::Note,
        Some(Before { rinse: Rinsed::None, .. }) => Gravity::Stop,
        Some(Before { rinse: Rinsed::Neutralised, .. }) => Gravity::Caution,
        Some(_) if clings => Gravity::Stop,
        Some(Before { rinse: Rinsed::Once, .. }) => Gravity::StrongCaution,
        Some(Before { rinse: Rinsed::Twice, .. }) => Gravity::Caution,
    }
}

/// What a meeting of this gravity comes down to when this is what is left of one side: as [`still_counts`], and what was
/// only a caution to begin with is a note after two rinses.
pub fn lowered(reached: Gravity, p: &Present, clings: bool, evaporates: bool) -> Gravity {
    let well = matches!(p.before, Some(Before { rinse: Rinsed::Twice | Rinsed::Neutralised, .. }));
    if reached == Gravity::Caution && well && !clings {
        return Gravity::Note;
    }
    reached.min(still_counts(p, clings, evaporates))
}
