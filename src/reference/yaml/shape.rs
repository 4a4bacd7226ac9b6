//! Which fields a file may hold: one table for the check, the messages and the published schema.

use super::tree::{Entry, Kind, Mark, Node};
use crate::diag::{Place, Problem, nearest, one_of};
use core::fmt;
use serde_yaml::Value;

/// The way from the top of a file to a value, such as `parts[2].shape`; put into words only for a fault.
#[derive(Clone, Copy)]
pub(super) enum Path<'a> {
    Top,
    Field(&'a Path<'a>, &'a str),
    Item(&'a Path<'a>, usize),
}

impl fmt::Display for Path<'_> {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Path::Top => Ok(()),
            Path::Field(Path::Top, name) => f.write_str(name),
            Path::Field(above, name) => write!(f, "{above}.{name}"),
            Path::Item(above, i) => write!(f, "{above}[{i}]"),
        }
    }
}

/// What a value looks like.
#[derive(Debug)]
pub enum Shape {
    /// Text in the person's own words.
    Words,
    /// Text that says a number, an amount, a time: never `.nan` or `.inf`.
    Figure,
    /// `true` or `false` (also `yes` or `no`).
    Flag,
    /// One of these words.
    Choice(&'static [&'static str]),
    /// A list.
    List(&'static Shape),
    /// A list of at least one.
    Filled(&'static Shape),
    /// Named fields.
    Map(&'static [Field]),
    /// Text, or something else that is no text.
    TextOr(&'static Shape),
}

/// One field of a map.
#[derive(Debug)]
pub struct Field {
    /// Its name.
    pub name: &'static str,
    /// What its value looks like.
    pub shape: Shape,
    /// Whether it has to be there.
    pub required: bool,
    /// What it means, one or two sentences.
    pub doc: &'static str,
    /// An example value, as YAML.
    pub example: &'static str,
}

impl Field {
    /// A field that has to be there.
    pub const fn must(name: &'static str, shape: Shape, doc: &'static str, example: &'static str) -> Field {
        Field { name, shape, required: true, doc, example }
    }

    /// A field that may be left out.
    pub const fn may(name: &'static str, shape: Shape, doc: &'static str, example: &'static str) -> Field {
        Field { name, shape, required: false, doc, example }
    }
}

/// Whether a plain value says yes or no.
pub(crate) fn flag(text: &str) -> Option<bool> {
    match text.to_ascii_lowercase().as_str() {
        "true" | "yes" => Some(true),
        "false" | "no" => Some(false),
        _ => None,
    }
}

impl Shape {
    fn expected(&self, example: &str) -> String {
        let such = if example.is_empty() { String::new() } else { format!(" such as `{example}`") };
        match self {
            Shape::Words => format!("text{such}"),
            Shape::Figure => format!("one value{such}"),
            Shape::Flag => "true or false".to_string(),
            Shape::Choice(words) => one_of(words),
            Shape::List(_) => format!("a list{such}"),
            Shape::Filled(_) => format!("a list of at least one{such}"),
            Shape::Map(fields) => {
                let names: Vec<&str> = fields.iter().map(|f| f.name).collect();
                format!("a map with {}", one_of(&names))
            }
            Shape::TextOr(other) => format!("text or {}", other.expected(example)),
        }
    }
}

fn found(node: &Node) -> String {
    match &node.kind {
        Kind::Scalar { text, .. } => format!("`{}`", clip(text)),
        Kind::List(items) => format!("a list of {}", items.len()),
        Kind::Map(entries) => format!("a map of {}", entries.len()),
    }
}

/// The value found, cut to a length that fits into a message.
pub(crate) fn clip(text: &str) -> String {
    let mut short: String = text.chars().take(60).map(|c| if c.is_control() { ' ' } else { c }).collect();
    if text.chars().count() > 60 {
        short.push('…');
    }
    short
}

/// Holds a tree against its shape, adds every fault to `problems`, and gives what is left without the faulty fields: its
/// texts are taken out of the tree, which keeps keys and places.
pub(super) fn check(root: &mut Node, shape: &Shape, problems: &mut Vec<Problem>) -> Option<Value> {
    walk(root, shape, &Path::Top, "", problems)
}

fn fault(at: Mark, path: &Path, message: String) -> Problem {
    let field = (!matches!(path, Path::Top)).then(|| path.to_string());
    Problem::error(message).at(Place { file: None, line: Some(at.line), column: Some(at.column), field })
}

fn walk(node: &mut Node, shape: &Shape, path: &Path, example: &str, problems: &mut Vec<Problem>) -> Option<Value> {
    match (shape, &mut node.kind) {
        (Shape::TextOr(_), Kind::Scalar { .. }) => walk(node, &Shape::Words, path, example, problems),
        (Shape::TextOr(other), _) => walk(node, other, path, example, problems),
        (Shape::Map(fields), Kind::Map(entries)) => Some(walk_map(node.at, fields, entries, path, problems)),
        (Shape::List(inner) | Shape::Filled(inner), Kind::List(items))
            if !(items.is_empty() && matches!(shape, Shape::Filled(_))) =>
        {
            let mut values = Vec::new();
            for (i, item) in items.iter_mut().enumerate() {
                // A faulty item keeps its place in the list, so that the places of the others stay right.
                values.push(walk(item, inner, &Path::Item(path, i), "", problems).unwrap_or(Value::Null));
            }
            Some(Value::Sequence(values))
        }
        (Shape::Words | Shape::Figure | Shape::Flag | Shape::Choice(_), Kind::Scalar { text, plain }) => {
            match scalar_fault(shape, text, *plain, example) {
                None => Some(Value::String(std::mem::take(text))),
                Some(message) => {
                    let mut p = fault(node.at, path, message);
                    if let Some(near) = nearest_choice(shape, text) {
                        p = p.hint(format!("did you mean `{near}`?"));
                    }
                    problems.push(p);
                    None
                }
            }
        }
        _ => {
            let message = format!("found {}; expected {}", found(node), shape.expected(example));
            problems.push(fault(node.at, path, message));
            None
        }
    }
}

fn nearest_choice(shape: &Shape, text: &str) -> Option<&'static str> {
    match shape {
        Shape::Choice(words) => nearest(text, words.iter().copied()),
        _ => None,
    }
}

fn scalar_fault(shape: &Shape, text: &str, plain: bool, example: &str) -> Option<String> {
    let bare = text.trim();
    if bare.is_empty() || (plain && matches!(bare, "~" | "null" | "Null" | "NULL")) {
        return Some(format!("the value is empty; expected {}", shape.expected(example)));
    }
    match shape {
        Shape::Figure => {
            let digits = bare.trim_start_matches(['+', '-', '.']).to_ascii_lowercase();
            matches!(digits.as_str(), "nan" | "inf" | "infinity")
                .then(|| format!("`{bare}` is not a number; expected {}", shape.expected(example)))
        }
        Shape::Flag if flag(bare).is_none() => Some(format!("found `{}`; expected true or false", clip(bare))),
        Shape::Choice(words) if !words.contains(&bare) => {
            Some(format!("found `{}`; expected {}", clip(bare), one_of(words)))
        }
        _ => None,
    }
}

/// Gives misspelt keys the name that was meant, where that name is not there as well, and notes each as the one fault it
/// is: what stands under it is then checked like any other, and is not missed.
pub(super) fn mend(node: &mut Node, shape: &Shape, path: &Path, problems: &mut Vec<Problem>) {
    match (shape, &mut node.kind) {
        (Shape::TextOr(other), _) => mend(node, other, path, problems),
        (Shape::List(inner) | Shape::Filled(inner), Kind::List(items)) => {
            for (i, item) in items.iter_mut().enumerate() {
                mend(item, inner, &Path::Item(path, i), problems);
            }
        }
        (Shape::Map(fields), Kind::Map(entries)) => {
            for i in 0..entries.len() {
                let key = &entries[i].key;
                if !fields.iter().any(|f| f.name == key)
                    && let Some(near) = nearest(key, fields.iter().map(|f| f.name))
                    && entries.iter().all(|e| e.key != near)
                {
                    problems.push(unknown(&entries[i], fields, path));
                    entries[i].key = near.to_string();
                }
            }
            for entry in entries {
                if let Some(field) = fields.iter().find(|f| f.name == entry.key) {
                    mend(&mut entry.value, &field.shape, &Path::Field(path, field.name), problems);
                }
            }
        }
        _ => {}
    }
}

fn key_place(entry: &Entry, path: &Path) -> Place {
    Place {
        file: None,
        line: Some(entry.key_at.line),
        column: Some(entry.key_at.column),
        field: Some(Path::Field(path, &clip(&entry.key)).to_string()),
    }
}

fn unknown(entry: &Entry, fields: &[Field], path: &Path) -> Problem {
    let names: Vec<&str> = fields.iter().map(|f| f.name).collect();
    let p = Problem::error(format!("unknown field; known here are {}", one_of(&names))).at(key_place(entry, path));
    match nearest(&entry.key, names) {
        Some(near) => p.hint(format!("did you mean `{near}`?")),
        None => p,
    }
}

fn walk_map(at: Mark, fields: &[Field], entries: &mut [Entry], path: &Path, problems: &mut Vec<Problem>) -> Value {
    let mut map = serde_yaml::Mapping::new();
    for i in 0..entries.len() {
        let (before, rest) = entries.split_at_mut(i);
        let entry = &mut rest[0];
        let Some(field) = fields.iter().find(|f| f.name == entry.key) else {
            problems.push(unknown(entry, fields, path));
            continue;
        };
        let first = before.iter().find(|e| e.key == entry.key);
        if let Some(first) = first {
            let message = format!("this field is given a second time; it is already in line {}", first.key_at.line);
            problems.push(Problem::error(message).at(key_place(entry, path)));
        }
        let value = walk(&mut entry.value, &field.shape, &Path::Field(path, field.name), field.example, problems);
        if let (Some(value), None) = (value, first) {
            map.insert(Value::String(field.name.to_string()), value);
        }
    }
    for field in fields.iter().filter(|f| f.required) {
        if !entries.iter().any(|e| e.key == field.name) {
            let message =
                format!("the field `{}` is missing; expected {}", field.name, field.shape.expected(field.example));
            problems.push(fault(at, path, message));
        }
    }
    Value::Mapping(map)
}
