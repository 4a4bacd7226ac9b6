//! Text to a tree of values with places, within bounds.

use crate::diag::{Checked, Place, Problem, Problems};
use saphyr_parser::{Event, Marker, Parser, ScalarStyle, ScanError, StrInput, Tag};
use std::borrow::Cow;
use std::collections::BTreeMap;

/// Largest file that is read, bytes (4 MB: our choice; a recipe has a few kilobytes).
pub const MAX_BYTES: usize = 4_000_000;
/// Deepest nesting that is read (our choice; the deepest field of ours is at 4).
pub const MAX_DEPTH: usize = 32;
/// Most values in a file, aliases expanded (our choice: bounds memory).
pub const MAX_VALUES: usize = 200_000;
/// Most values that aliases may stand for, all together (our choice: ends alias bombs early).
pub const MAX_ALIASED_VALUES: usize = 1_000;

/// Line and column, both from 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Mark {
    pub line: usize,
    pub column: usize,
}

impl From<Marker> for Mark {
    fn from(m: Marker) -> Self {
        Mark { line: m.line(), column: m.col() + 1 }
    }
}

impl Mark {
    fn place(self) -> Place {
        Place { line: Some(self.line), column: Some(self.column), ..Place::default() }
    }
}

/// A value with its place.
#[derive(Debug, Clone)]
pub(super) struct Node {
    pub at: Mark,
    pub kind: Kind,
}

/// A text, a list or a map.
#[derive(Debug, Clone)]
pub(super) enum Kind {
    Scalar { text: String, plain: bool },
    List(Vec<Node>),
    Map(Vec<Entry>),
}

/// A key with its value. Repeated keys are all here; the check names them.
#[derive(Debug, Clone)]
pub(super) struct Entry {
    pub key: String,
    pub key_at: Mark,
    pub value: Node,
}

impl Node {
    /// An empty text at the beginning of a file.
    pub fn nothing() -> Self {
        Node { at: Mark { line: 1, column: 1 }, kind: Kind::Scalar { text: String::new(), plain: true } }
    }

    /// The place of a path such as `a.b[2]`, or of its nearest ancestor.
    pub fn at(&self, path: &str) -> Mark {
        let mut node = self;
        let mut at = self.at;
        for step in path.split(['.', '[', ']']).filter(|s| !s.is_empty()) {
            let next = match &node.kind {
                Kind::Map(entries) => entries.iter().find(|e| e.key == step).map(|e| &e.value),
                Kind::List(items) => step.parse::<usize>().ok().and_then(|i| items.get(i)),
                Kind::Scalar { .. } => None,
            };
            match next {
                Some(n) => (node, at) = (n, n.at),
                None => break,
            }
        }
        at
    }
}

/// Parses one document into a tree. Faults that leave the rest readable come beside it.
///
/// # Errors
/// Too large, not YAML, too deep, too many values, or no value at all.
pub(super) fn parse(text: &str) -> Checked<(Node, Vec<Problem>)> {
    if text.len() > MAX_BYTES {
        return Err(Problem::error(format!("the file has {} bytes; at most {MAX_BYTES} (4 MB) are read", text.len()))
            .hint("a recipe, bench or order has a few kilobytes: is this the right file?")
            .into());
    }
    let mut builder = Builder {
        events: Parser::new_from_str(text),
        anchors: BTreeMap::new(),
        values: 0,
        aliased: 0,
        problems: Vec::new(),
    };
    match builder.document() {
        Ok(root) => Ok((root, builder.problems)),
        Err(stop) => {
            builder.problems.extend(stop.0);
            Err(Problems(builder.problems))
        }
    }
}

/// An anchored value: how many values it holds and how deep it goes.
#[derive(Clone)]
struct Anchored {
    node: Node,
    values: usize,
    height: usize,
}

struct Builder<'t> {
    events: Parser<'t, StrInput<'t>>,
    anchors: BTreeMap<usize, Anchored>,
    values: usize,
    aliased: usize,
    problems: Vec<Problem>,
}

fn not_yaml(e: &ScanError) -> Problem {
    let hint = "indent with spaces, put a space after each colon, and quote text that holds `: ` or ` #`";
    Problem::error(format!("this is not YAML: {}", e.info())).at(Mark::from(*e.marker()).place()).hint(hint)
}

impl<'t> Builder<'t> {
    fn next(&mut self) -> Checked<(Event<'t>, Mark)> {
        match self.events.next_event() {
            Some(Ok((event, span))) => Ok((event, span.start.into())),
            Some(Err(e)) => Err(not_yaml(&e).into()),
            None => Ok((Event::StreamEnd, Mark { line: 1, column: 1 })),
        }
    }

    fn document(&mut self) -> Checked<Node> {
        let mut root = None;
        loop {
            let (event, at) = self.next()?;
            match event {
                Event::StreamEnd => break,
                Event::Nothing | Event::StreamStart | Event::DocumentEnd => {}
                Event::DocumentStart(_) if root.is_some() => {
                    self.problems
                        .push(Problem::error("a second document begins here; a file holds one").at(at.place()));
                    break;
                }
                Event::DocumentStart(_) => {}
                event => root = Some(self.node(event, at, 1)?.node),
            }
        }
        root.ok_or_else(|| Problem::error("the file is empty").at(Mark { line: 1, column: 1 }.place()).into())
    }

    fn node(&mut self, event: Event<'t>, at: Mark, depth: usize) -> Checked<Anchored> {
        if depth > MAX_DEPTH {
            return Err(Problem::error(format!("nested more than {MAX_DEPTH} deep")).at(at.place()).into());
        }
        self.values += 1;
        if self.values > MAX_VALUES {
            return Err(Problem::error(format!("more than {MAX_VALUES} values in one file")).at(at.place()).into());
        }
        let (made, anchor) = match event {
            Event::Scalar(text, style, anchor, tag) => {
                self.tag(tag, "str", at);
                let kind = Kind::Scalar { text: text.into_owned(), plain: style == ScalarStyle::Plain };
                (Anchored { node: Node { at, kind }, values: 1, height: 1 }, anchor)
            }
            Event::SequenceStart(anchor, tag) => {
                self.tag(tag, "seq", at);
                (self.list(at, depth)?, anchor)
            }
            Event::MappingStart(anchor, tag) => {
                self.tag(tag, "map", at);
                (self.map(at, depth)?, anchor)
            }
            Event::Alias(id) => (self.alias(id, at, depth)?, 0),
            _ => return Err(Problem::error("a value is missing here").at(at.place()).into()),
        };
        if anchor != 0 {
            self.anchors.insert(anchor, made.clone());
        }
        Ok(made)
    }

    fn list(&mut self, at: Mark, depth: usize) -> Checked<Anchored> {
        let (mut items, mut values, mut height) = (Vec::new(), 1, 0);
        loop {
            let (event, item_at) = self.next()?;
            if event == Event::SequenceEnd {
                break;
            }
            let item = self.node(event, item_at, depth + 1)?;
            values += item.values;
            height = height.max(item.height);
            items.push(item.node);
        }
        Ok(Anchored { node: Node { at, kind: Kind::List(items) }, values, height: height + 1 })
    }

    fn map(&mut self, at: Mark, depth: usize) -> Checked<Anchored> {
        let (mut entries, mut values, mut height) = (Vec::new(), 1, 0);
        loop {
            let (event, key_at) = self.next()?;
            if event == Event::MappingEnd {
                break;
            }
            let key = self.node(event, key_at, depth + 1)?;
            let (event, value_at) = self.next()?;
            let value = self.node(event, value_at, depth + 1)?;
            values += key.values + value.values;
            height = height.max(value.height).max(key.height);
            match key.node.kind {
                Kind::Scalar { text, .. } => entries.push(Entry { key: text, key_at, value: value.node }),
                _ => self.problems.push(Problem::error("a key must be a word, not a list or map").at(key_at.place())),
            }
        }
        Ok(Anchored { node: Node { at, kind: Kind::Map(entries) }, values, height: height + 1 })
    }

    fn alias(&mut self, id: usize, at: Mark, depth: usize) -> Checked<Anchored> {
        let Some(found) = self.anchors.get(&id) else {
            // The parser knows the anchor, but its value has not ended yet.
            return Err(Problem::error("an alias stands inside the value it repeats, so that it would repeat itself")
                .at(at.place())
                .into());
        };
        self.aliased += found.values;
        self.values += found.values;
        if self.aliased > MAX_ALIASED_VALUES {
            return Err(Problem::error(format!("aliases repeat more than {MAX_ALIASED_VALUES} values"))
                .at(at.place())
                .into());
        }
        if depth + found.height > MAX_DEPTH + 1 {
            return Err(Problem::error(format!("nested more than {MAX_DEPTH} deep by an alias")).at(at.place()).into());
        }
        let mut made = found.clone();
        made.node.at = at;
        Ok(made)
    }

    fn tag(&mut self, tag: Option<Cow<'t, Tag>>, own: &str, at: Mark) {
        if let Some(tag) = tag.filter(|t| !(t.is_yaml_core_schema() && t.suffix == own)) {
            let message = format!("the tag `{tag}` is not read; write the value alone");
            self.problems.push(Problem::error(message).at(at.place()));
        }
    }
}
