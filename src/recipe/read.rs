//! From what a recipe file says to a checked recipe.

use super::fields::RECIPE;
use super::raw::{RawCoats, RawFilledPlastic, RawRecipe, RawSource};
use super::{CareStage, Confidence, Example, FilledPlastic, Finish, Method, Recipe, RecipeSource, Rinse, Suitability};
use super::{care, example, ingredients};
use crate::amount::{
    Amount, Exact, MeasureSystem, Span, Unit, in_square_millimetres, read_amount, read_duration, read_loading,
    read_number_range, read_temperature_range,
};
use crate::diag::{Checked, Problem, nearest};
use crate::reference::Cover;
use crate::reference::yaml::{self, Document, Faults, clip, flag};
use crate::reference::{Material, material, materials};

/// Reads and checks a recipe file; all faults in one run, each with line, column and field.
///
/// # Errors
/// Everything that is wrong with the file.
pub fn read_recipe(text: &str, file: &str) -> Checked<Recipe> {
    read_with_example(text, file).map(|(recipe, _)| recipe)
}

/// Reads and checks a recipe file, and gives its worked example beside it.
///
/// # Errors
/// Everything that is wrong with the file.
pub fn read_with_example(text: &str, file: &str) -> Checked<(Recipe, Option<Example>)> {
    let reading = yaml::read::<RawRecipe>(text, file, &RECIPE)?;
    let mut faults = Faults::new(&reading.document, reading.problems);
    let checked = check(reading.raw, &mut faults);
    faults.finish(checked)
}

/// Checks what the build script read from a shipped recipe; `None` when that is not sound.
pub(super) fn read_shipped(says: &[u8]) -> Option<Recipe> {
    let document = Document::without_places("");
    let mut faults = Faults::new(&document, Vec::new());
    let (recipe, _) = check(postcard::from_bytes(says).ok()?, &mut faults)?;
    faults.is_empty().then_some(recipe)
}

/// Every field is checked even after one has failed, so that all faults come in one run; `None` when any has.
fn check(raw: RawRecipe, faults: &mut Faults<'_>) -> Option<(Recipe, Option<Example>)> {
    let id = raw.id.as_deref().and_then(|id| faults.take("id", checked_id(id)));
    let measures = raw.measures.as_deref().and_then(measure_system);
    // Without a system the lines are still read, so that their other faults are found.
    let system = measures.unwrap_or(MeasureSystem::Us);
    let metals = metals(&raw.metals, faults);
    let method = raw.method.as_deref().and_then(method);
    let written_for = raw.written_for.as_deref().and_then(|w| faults.take("written_for", one_volume(w, system)));
    let ingredients = ingredients::check(&raw.ingredients, system, faults);
    let temperature = raw.temperature.as_deref().and_then(|t| faults.take("temperature", read_temperature_range(t)));
    let use_within = raw.use_within.as_deref().and_then(|t| faults.take("use_within", read_duration(t)));
    let soak = care::soak(raw.soak, faults);
    let preparation = care::steps("preparation", raw.preparation, system, faults);
    let aftercare = care::steps("aftercare", raw.aftercare, system, faults);
    let rinse = match raw.rinse.as_deref() {
        Some("light") => Rinse::Light,
        Some("none") => Rinse::None,
        _ => Rinse::Full,
    };
    if let Some(i) = aftercare.iter().position(|s| s.stage == CareStage::Rinse)
        && rinse == Rinse::None
    {
        let p = Problem::error("a recipe that says `rinse: none` has a rinse in its aftercare")
            .hint("leave the step out, or write `rinse: light` or `rinse: full`");
        faults.add(format_args!("aftercare[{i}].stage"), p);
    }
    let loading =
        raw.loading.as_deref().and_then(|l| faults.take("loading", read_loading(l).map(in_square_millimetres)));
    let coats = raw.coats.as_ref().and_then(|c| coats(c, faults));
    if matches!(method, Some(Method::Spray | Method::Brush)) && raw.coats.is_none() {
        let p = Problem::error("a spray or brush recipe needs `coats`, since it scales with area")
            .hint("write `coats: {count: 3-6, ml_per_m2: 50-100}`");
        faults.add("method", p);
    }
    let per_volume = raw.per_volume.as_deref().and_then(|v| faults.take("per_volume", per_volume(v)));
    // With a faulty ingredient left out, an example would only be blamed for it.
    let whole = ingredients.len() == raw.ingredients.len();
    let example = raw.example.as_ref().filter(|_| whole).and_then(|e| example::check(e, &ingredients, system, faults));
    let sources: Vec<RecipeSource> = raw.sources.iter().flatten().filter_map(source).collect();
    let recipe = Recipe {
        id: id?,
        title: raw.title?,
        look: raw.look?,
        metals,
        finish: raw.finish.as_deref().and_then(finish)?,
        method: method?,
        measures: measures?,
        written_for,
        ingredients,
        temperature: temperature?,
        cover: raw.cover.as_deref().and_then(cover)?,
        use_within,
        soak,
        preparation,
        aftercare,
        rinse,
        loading_mm2_per_l: loading,
        needs_air: raw.needs_air.as_deref().and_then(flag).unwrap_or(false),
        filled_plastic: raw.filled_plastic.and_then(filled_plastic),
        sources,
        confidence: raw.confidence.as_deref().and_then(confidence)?,
        notes: raw.notes.into_iter().flatten().collect(),
        coats,
        per_volume,
    };
    Some((recipe, example))
}

/// One volume above zero.
pub(crate) fn one_volume(text: &str, system: MeasureSystem) -> Checked<Amount> {
    let amount = read_amount(text, system)?;
    if !matches!(amount.unit, Unit::Volume(..)) {
        return Err(
            Problem::error(format!("`{}` is no volume; expected one such as `1 cup` or `4 L`", clip(text))).into()
        );
    }
    if !amount.value.is_one() || amount.value.low.is_zero() || amount.value.low.is_negative() {
        let message = format!("found `{}`; expected one volume above zero, such as `1 cup` or `4 L`", clip(text));
        return Err(Problem::error(message).into());
    }
    Ok(amount)
}

fn checked_id(id: &str) -> Checked<String> {
    let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
    if id.len() <= 64 && id.chars().all(plain) && id.starts_with(|c: char| c.is_ascii_lowercase()) {
        return Ok(id.to_string());
    }
    let message = format!("found `{}`; expected small letters, digits and hyphens, such as `kitchen-rust`", clip(id));
    Err(Problem::error(message).into())
}

fn metals(names: &[Option<String>], faults: &mut Faults<'_>) -> Vec<&'static Material> {
    let mut found = Vec::new();
    for (i, name) in names.iter().enumerate() {
        let Some(name) = name else { continue };
        found.extend(faults.take(format_args!("metals[{i}]"), known_material(name)));
    }
    found
}

/// A material of the table, or what is near it.
pub(crate) fn known_material(name: &str) -> Checked<&'static Material> {
    material(name).ok_or_else(|| {
        let p = Problem::error(format!("the material `{}` is not known", clip(name)));
        let known = materials().iter().flat_map(|m| {
            std::iter::once(m.id.as_ref())
                .chain(std::iter::once(m.name.as_ref()))
                .chain(m.aliases.iter().map(|a| a.as_ref()))
        });
        match nearest(name, known) {
            Some(near) => p.hint(format!("did you mean `{near}`?")).into(),
            None => p
                .hint("use a plain name, such as iron, brass, glass or PLA; `bathwright help writing` lists them")
                .into(),
        }
    })
}

fn coats(raw: &RawCoats, faults: &mut Faults<'_>) -> Option<(Span<u32>, Span<f64>)> {
    let count = raw.count.as_deref().and_then(|c| faults.take("coats.count", counts(c)));
    let per_area = raw.ml_per_m2.as_deref().and_then(|c| faults.take("coats.ml_per_m2", read_number_range(c)));
    Some((count?, per_area?.map(|e| e.to_f64())))
}

/// Millilitres of liquid for a litre of box or packing.
fn per_volume(text: &str) -> Checked<Span<f64>> {
    let figures = text.trim().strip_suffix("mL").or_else(|| text.trim().strip_suffix("ml")).ok_or_else(|| {
        Problem::error(format!("found `{}`; expected millilitres", clip(text))).hint("write it as `10-20 mL`")
    })?;
    let span = read_number_range(figures)?.map(|e| e.to_f64());
    if span.low > 0.0 && span.high <= 1000.0 {
        Ok(span)
    } else {
        Err(Problem::error(format!("found `{}`; expected more than 0 and at most 1000 mL", clip(text))).into())
    }
}

/// A whole number of 1 or more, or a range of them.
///
/// # Errors
/// Anything else.
pub(crate) fn counts(text: &str) -> Checked<Span<u32>> {
    let whole = |e: Exact| {
        let (number, denominator) = e.parts();
        let number = u32::try_from(number).ok().filter(|n| *n > 0);
        number.filter(|_| denominator == rust_decimal::Decimal::ONE).ok_or(())
    };
    read_number_range(text)?
        .try_map(whole)
        .map_err(|()| Problem::error(format!("found `{}`; expected a whole number of 1 or more", clip(text))).into())
}

fn filled_plastic(raw: RawFilledPlastic) -> Option<FilledPlastic> {
    let suitability = match raw.suitability.as_deref()? {
        "good" => Suitability::Good,
        "limited" => Suitability::Limited,
        "poor" => Suitability::Poor,
        "no" => Suitability::No,
        _ => return None,
    };
    Some(FilledPlastic { suitability, why: raw.why? })
}

fn source(raw: &RawSource) -> Option<RecipeSource> {
    Some(RecipeSource { doc: raw.doc.clone()?, at: raw.at.clone().unwrap_or_default(), status: raw.status.clone()? })
}

/// The system of kitchen measures with this name.
pub(crate) fn measure_system(word: &str) -> Option<MeasureSystem> {
    Some(match word {
        "us" => MeasureSystem::Us,
        "metric" => MeasureSystem::Metric,
        "australian" => MeasureSystem::Australian,
        "imperial" => MeasureSystem::Imperial,
        _ => return None,
    })
}

/// The cover with this name.
pub(crate) fn cover(word: &str) -> Option<Cover> {
    Some(match word {
        "open" => Cover::Open,
        "loose" => Cover::Loose,
        "sealed" => Cover::Sealed,
        _ => return None,
    })
}

/// The colour family with this name.
pub(crate) fn finish(word: &str) -> Option<Finish> {
    Some(match word {
        "rust" => Finish::Rust,
        "green" => Finish::Green,
        "blue" => Finish::Blue,
        "brown" => Finish::Brown,
        "black" => Finish::Black,
        "other" => Finish::Other,
        _ => return None,
    })
}

/// The method with this name.
pub(crate) fn method(word: &str) -> Option<Method> {
    Some(match word {
        "immersion" => Method::Immersion,
        "spray" => Method::Spray,
        "brush" => Method::Brush,
        "fume" => Method::Fume,
        "burial" => Method::Burial,
        _ => return None,
    })
}

fn confidence(word: &str) -> Option<Confidence> {
    Some(match word {
        "low" => Confidence::Low,
        "medium" => Confidence::Medium,
        "high" => Confidence::High,
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::recipe::Library;

    #[test]
    fn what_was_shipped_is_sound_and_says_what_its_file_says() {
        let library = Library::default();
        assert!(!library.entries().is_empty());
        for entry in library.entries() {
            let shipped = entry.shipped.and_then(read_shipped);
            let whole = read_recipe(&entry.text, &entry.file).unwrap();
            assert_eq!(format!("{shipped:?}"), format!("{:?}", Some(whole)));
        }
    }

    #[test]
    fn what_is_not_sound_is_no_shipped_recipe() {
        let raw = RawRecipe { id: Some("x".into()), ..RawRecipe::default() };
        assert!(read_shipped(&postcard::to_allocvec(&raw).unwrap()).is_none());
        assert!(read_shipped(&[0xff; 3]).is_none());
    }

    #[test]
    fn counts_are_whole_and_above_zero() {
        assert_eq!(counts("3-6").unwrap(), Span { low: 3, high: 6 });
        for bad in ["0", "1.5", "-1", "x", "99999999999"] {
            assert!(counts(bad).is_err(), "{bad}");
        }
    }
}
