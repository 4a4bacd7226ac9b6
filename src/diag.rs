//! Problems with a place, a severity and hints; every fault of an input in one run.

use std::fmt;

/// How much a problem matters to the reader of the message.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// The result stands, but the reader should know this.
    Warning,
    /// The input cannot be used.
    Error,
}

/// Where a problem was found. Lines and columns count from 1.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Place {
    /// File name as the person gave it, or what stands for it ("command line").
    pub file: Option<String>,
    /// Line, from 1.
    pub line: Option<usize>,
    /// Column, from 1.
    pub column: Option<usize>,
    /// Path of the field, such as `ingredients[2].amount`, or the name of a flag.
    pub field: Option<String>,
}

impl Place {
    /// A place that is only a field or flag.
    pub fn field(name: impl Into<String>) -> Self {
        Place { field: Some(name.into()), ..Place::default() }
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut sep = "";
        if let Some(file) = &self.file {
            write!(f, "{file}")?;
            sep = ", ";
        }
        if let Some(line) = self.line {
            write!(f, "{sep}line {line}")?;
            sep = ", ";
        }
        if let Some(column) = self.column {
            write!(f, "{sep}column {column}")?;
            sep = ", ";
        }
        if let Some(field) = &self.field {
            write!(f, "{sep}field `{field}`")?;
        }
        Ok(())
    }
}

/// One thing wrong with the input, in words a person can act on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// How much it matters.
    pub severity: Severity,
    /// Where it was found.
    pub place: Place,
    /// What is wrong: lower case, no final full stop, with the value found and what is allowed.
    pub message: String,
    /// What to do next, one sentence each.
    pub hints: Vec<String>,
}

impl Problem {
    /// An error without a place yet.
    pub fn error(message: impl Into<String>) -> Self {
        Problem { severity: Severity::Error, place: Place::default(), message: message.into(), hints: Vec::new() }
    }

    /// A warning without a place yet.
    pub fn warning(message: impl Into<String>) -> Self {
        Problem { severity: Severity::Warning, ..Problem::error(message) }
    }

    /// Adds a hint.
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hints.push(hint.into());
        self
    }

    /// Sets the whole place.
    pub fn at(mut self, place: Place) -> Self {
        self.place = place;
        self
    }

    /// Sets the field of the place, keeping a field that is already there as a suffix.
    pub fn in_field(mut self, field: impl Into<String>) -> Self {
        let field = field.into();
        self.place.field = Some(match self.place.field.take() {
            Some(inner) if inner.starts_with('[') => format!("{field}{inner}"),
            Some(inner) => format!("{field}.{inner}"),
            None => field,
        });
        self
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let word = match self.severity {
            Severity::Warning => "warning",
            Severity::Error => "error",
        };
        write!(f, "{word}: ")?;
        let place = self.place.to_string();
        if !place.is_empty() {
            write!(f, "{place}: ")?;
        }
        write!(f, "{}", self.message)?;
        for hint in &self.hints {
            write!(f, "\n  hint: {hint}")?;
        }
        Ok(())
    }
}

/// At least one error, with every warning found beside it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problems(pub Vec<Problem>);

impl Problems {
    /// Sets the field on every problem.
    pub fn in_field(self, field: &str) -> Self {
        Problems(self.0.into_iter().map(|p| p.in_field(field)).collect())
    }

    /// Sets the file on every problem that names none.
    pub fn in_file(mut self, file: &str) -> Self {
        for p in &mut self.0 {
            p.place.file.get_or_insert_with(|| file.to_string());
        }
        self
    }
}

impl From<Problem> for Problems {
    fn from(p: Problem) -> Self {
        Problems(vec![p])
    }
}

impl fmt::Display for Problems {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, p) in self.0.iter().enumerate() {
            if i > 0 {
                writeln!(f)?;
            }
            write!(f, "{p}")?;
        }
        Ok(())
    }
}

impl std::error::Error for Problems {}

/// A value, or everything that is wrong with its input.
pub type Checked<T> = Result<T, Problems>;

/// The nearest known name, if one is near enough to be worth a hint.
///
/// Edit distance after Damerau and Levenshtein, at most a third of the word; ties go to the first in
/// alphabetical order; silent for inputs under three letters. Only ever a hint: nothing is repaired silently.
pub fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    if word.chars().count() < 3 {
        return None;
    }
    let word = word.to_lowercase();
    let most = (word.chars().count() / 3).max(1);
    known
        .into_iter()
        .map(|k| (strsim::damerau_levenshtein(&word, &k.to_lowercase()), k))
        .filter(|(d, _)| *d <= most)
        .min()
        .map(|(_, k)| k)
}

/// "a", "a or b", "a, b or c".
pub fn one_of<S: AsRef<str>>(words: &[S]) -> String {
    match words {
        [] => String::new(),
        [one] => one.as_ref().to_string(),
        [head @ .., last] => {
            let head: Vec<&str> = head.iter().map(|w| w.as_ref()).collect();
            format!("{} or {}", head.join(", "), last.as_ref())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_near_name_is_a_hint_and_a_far_one_is_not() {
        assert_eq!(nearest("vinegr", ["vinegar", "salt"]), Some("vinegar"));
        assert_eq!(nearest("xyzzy", ["vinegar", "salt"]), None);
        assert_eq!(nearest("sa", ["salt"]), None);
    }

    #[test]
    fn a_problem_names_place_and_hint() {
        let p = Problem::error("bad")
            .at(Place { file: Some("a.yaml".into()), line: Some(3), column: Some(5), field: Some("x".into()) })
            .hint("do y");
        assert_eq!(p.to_string(), "error: a.yaml, line 3, column 5, field `x`: bad\n  hint: do y");
    }
}
