//! A kitchen rust bath for two drawer pulls, built by hand for tests of the rooms that show it.

use crate::amount::{
    Amount, Estimate, Exact, IngredientLine, MeasureSystem, MeasuredOut, Span, Unit, VolumeUnit, celsius, grams,
    millilitres, millimetres, newtons, square_millimetres,
};
use crate::bath::{Dose, Dosing};
use crate::immersion::{AfterLift, Ballast, Immersion, Sitting};
use crate::part::{Part, Shape, Side};
use crate::recipe::{
    CareStage, CareStep, Confidence, FilledPlastic, Finish, Method, Quantity, Recipe, RecipeIngredient, RecipeSource,
    SoakEvent, Suitability,
};
use crate::reference::{Ingredient, material};
use crate::vessel::Cover;
use jiff::SignedDuration;

pub(crate) fn ingredient(text: &str) -> Ingredient {
    let line =
        IngredientLine { text: text.into(), amount: None, strength: None, name: text.into(), manner: Vec::new() };
    Ingredient { line, meanings: Vec::new(), question: None, strength_missing: false, aside: None }
}

fn us(value: Span<Exact>, unit: VolumeUnit) -> Amount {
    Amount { value, unit: Unit::Volume(unit, MeasureSystem::Us) }
}

fn dose(name: &str, exact: Amount, metric: &str, measured: &str, error: f64, why: Option<&str>) -> Dose {
    let measured = MeasuredOut {
        text: measured.into(),
        comes_to: exact.clone(),
        scoops: 4,
        error_percent: error,
        bulk_error_percent: None,
    };
    Dose {
        ingredient: ingredient(name),
        name: name.into(),
        exact,
        metric: metric.into(),
        measured: Some(Span::one(measured)),
        too_little: None,
        why: why.map(str::to_string),
        note: None,
    }
}

impl Dose {
    /// Salt in spoons: how it packs is open.
    fn in_spoons(mut self) -> Self {
        if let Some(m) = &mut self.measured {
            m.low.bulk_error_percent = Some(Span { low: -12.0, high: 9.0 });
        }
        self.note = Some("any salt without anti-caking agent".into());
        self
    }
}

pub(crate) fn dosing() -> Dosing {
    let ratio = |n, d| Span::one(Exact::ratio(n, d).unwrap());
    Dosing {
        doses: vec![
            dose(
                "water",
                us(ratio(8, 5), VolumeUnit::Cup),
                "379 mL",
                "1 1/2 cup + 1 tbsp + 1 tsp",
                -1.04,
                Some("a little more than the recipe: your vinegar is stronger"),
            ),
            dose(
                "white vinegar 6 %",
                us(ratio(5, 24), VolumeUnit::Cup),
                "49 mL",
                "3 tbsp + 1 tsp",
                0.0,
                Some("your bottle is 6 %, the recipe's 5 %: less of it"),
            ),
            dose("hydrogen peroxide 3 %", us(ratio(1, 4), VolumeUnit::Cup), "59 mL", "1/4 cup", 0.0, None),
            dose(
                "table salt",
                us(Span { low: Exact::whole(4), high: Exact::whole(6) }, VolumeUnit::Tablespoon),
                "73 to 110 g",
                "5 tbsp",
                0.0,
                None,
            )
            .in_spoons(),
        ],
        poured: millilitres(487.0),
        by_poured_volume: true,
        notes: vec![
            "This salt comes to 13 to 18 %; chloride helps most at 2 to 5 %, so 1 tbsp is the lesser amount to try first."
                .into(),
        ],
    }
}

pub(crate) fn parts() -> Vec<Part> {
    vec![Part {
        name: "drawer pull".into(),
        count: 2,
        shape: Shape::Box { length: millimetres(40.0), width: millimetres(40.0), height: millimetres(80.0) },
        mass: Estimate::exact(grams(85.0)),
        weighed: true,
        mass_known: true,
        metal: material("iron"),
        binder: material("pla"),
        solid_density: None,
        make_up: None,
        up: None,
        lift: None,
        notes: Vec::new(),
    }]
}

pub(crate) fn immersion() -> Immersion {
    let glass = material("glass").unwrap();
    Immersion {
        fill_line: millimetres(101.4),
        fill_line_is_estimate: false,
        liquid: millilitres(482.3),
        level_before: millimetres(61.2),
        displaced: millilitres(296.0),
        freeboard: millimetres(38.6),
        cover: millimetres(15.0),
        parts: vec![Sitting {
            name: "drawer pull".into(),
            count: 2,
            up: Side::PlusZ,
            height: millimetres(80.0),
            displaced: Estimate::exact(millilitres(128.0)),
            mass: Estimate { best: grams(85.0), low: grams(84.0), high: grams(86.0) },
            caught_air: Some(millilitres(0.0)),
            net_buoyancy: Estimate { best: newtons(0.49), low: newtons(0.47), high: newtons(0.53) },
            net_buoyancy_flooded: Some(newtons(-0.21)),
            floats: true,
            draft: Some(millimetres(51.6)),
        }],
        ballast: vec![Ballast {
            thing: "glass marble".into(),
            material: glass,
            count: Some(10),
            mass: grams(200.0),
            displaced: millilitres(80.0),
            holds: "drawer pull".into(),
            each: Some(5),
            margin_percent: 23.4,
        }],
        margin_percent: Some(23.4),
        refused_ballast: vec![("steel nut".into(), "it rusts in this bath and stains the part".into())],
        evaporation: Some((millimetres(2.0), millimetres(6.0))),
        daily_top_up: None,
        lifts: vec![AfterLift {
            after: SignedDuration::from_hours(24),
            out: vec!["drawer pull".into()],
            level: millimetres(78.0),
            covered: true,
            reserve: millilitres(0.0),
        }],
        reserve: None,
        area: Some(square_millimetres(32_000.0)),
        loading_mm2_per_l: Some(66_349.0),
        warnings: vec!["Whether the hollow floods is not known: ballast is for the dry part.".into()],
    }
}

fn care(stage: CareStage, what: &str, minutes: i64, uses: &[&str]) -> CareStep {
    CareStep {
        takes: Some(SignedDuration::from_mins(minutes)),
        uses: uses.iter().map(|u| ingredient(u)).collect(),
        ..CareStep::new(stage, what)
    }
}

pub(crate) fn recipe() -> Recipe {
    let look =
        |hours, what: &str, lift| SoakEvent { after: SignedDuration::from_hours(hours), what: what.into(), lift };
    Recipe {
        id: "kitchen-rust".into(),
        title: "Kitchen rust bath".into(),
        look: "warm orange to brown rust with a dry, sandy surface".into(),
        metals: material("iron").into_iter().chain(material("mild_steel")).collect(),
        finish: Finish::Rust,
        method: Method::Immersion,
        measures: MeasureSystem::Us,
        written_for: Some(us(Span::one(Exact::ONE), VolumeUnit::Cup)),
        ingredients: vec![RecipeIngredient {
            ingredient: ingredient("3/4 cup water"),
            quantity: Quantity::Kitchen(us(Span::one(Exact::ratio(3, 4).unwrap()), VolumeUnit::Cup)),
            note: None,
        }],
        temperature: Span { low: celsius(15.0), high: celsius(25.0) },
        cover: Cover::Loose,
        use_within: Some(SignedDuration::from_hours(4)),
        soak: vec![
            look(12, "first colour, still patchy", false),
            look(24, "even orange", true),
            look(48, "deep brown, end of the soak", true),
        ],
        preparation: vec![
            care(CareStage::Prepare, "sand until grains of metal shine through", 30, &[]),
            care(CareStage::Degrease, "wash with dish soap, rinse, do not touch any more", 20, &[]),
        ],
        aftercare: vec![
            care(CareStage::Rinse, "rinse in two bowls of clean water", 5, &[]),
            care(CareStage::Neutralise, "dip in weak baking soda water", 5, &["1 tbsp baking soda", "1 L water"]),
            care(CareStage::Dry, "dry in warm air below 40 \u{b0}C until the weight stands still", 48 * 60, &[]),
            care(CareStage::Seal, "seal with wax when nothing weeps any more", 60, &[]),
        ],
        rinse: crate::recipe::Rinse::Full,
        loading_mm2_per_l: Some(20_000.0),
        needs_air: false,
        filled_plastic: Some(FilledPlastic {
            suitability: Suitability::Good,
            why: "cold and weak; sand first, since the skin is plastic".into(),
        }),
        sources: vec![RecipeSource {
            doc: "common practice".into(),
            at: "".into(),
            status: "common practice, no source".into(),
        }],
        confidence: Confidence::Medium,
        notes: vec!["Make it fresh: the peroxide is spent within hours.".into()],
        coats: None,
        per_volume: None,
    }
}
