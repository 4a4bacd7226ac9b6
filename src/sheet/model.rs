//! The sheet: what every result looks like before it is text or a page. Terminal and HTML only lay it out.
//!
//! It borrows from the result what it shows as it stands.

use super::drawing::Drawing;
use super::label::JarLabel;
use crate::safety::{Gravity, Verdict};
use std::borrow::Cow;

/// One result, ready to be laid out.
#[derive(Debug, Clone)]
pub struct Sheet<'a> {
    /// What it is about.
    pub title: Cow<'a, str>,
    /// The look, or what was asked.
    pub subtitle: Option<Cow<'a, str>>,
    /// `NOT JUDGED: ...`, the very first line, when something could not be judged.
    pub not_judged: Option<String>,
    /// The verdict and its sentence.
    pub verdict: Option<(Verdict, &'static str)>,
    /// The gravest actions, at most three, next to the amounts.
    pub first: Vec<FirstAction<'a>>,
    /// The recipe: amounts, making up, fill line.
    pub recipe_side: Vec<Section<'a>>,
    /// Safety notes that stand beside it.
    pub safety_side: Vec<Section<'a>>,
    /// Everything after that, over the whole width.
    pub below: Vec<Section<'a>>,
    /// The last line.
    pub closing: Cow<'a, str>,
}

/// One of the gravest actions.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FirstAction<'a> {
    /// How grave its hazard is.
    pub gravity: Gravity,
    /// The hazard.
    pub hazard: Cow<'a, str>,
    /// What to do.
    pub action: Cow<'a, str>,
}

/// A titled part of the sheet.
#[derive(Debug, Clone)]
pub struct Section<'a> {
    /// Heading.
    pub title: Cow<'a, str>,
    /// What stands in it.
    pub blocks: Vec<Block<'a>>,
}

impl<'a> Section<'a> {
    /// A section, or nothing when there is nothing in it.
    pub(super) fn of(title: impl Into<Cow<'a, str>>, blocks: Vec<Block<'a>>) -> Option<Section<'a>> {
        let blocks: Vec<Block<'a>> = blocks.into_iter().filter(|b| !b.is_empty()).collect();
        (!blocks.is_empty()).then(|| Section { title: title.into(), blocks })
    }
}

/// A piece of a section, tagged by meaning. What takes much room and stands there once is kept apart, so that the many
/// others take little.
#[derive(Debug, Clone)]
pub enum Block<'a> {
    /// A paragraph.
    Text(Cow<'a, str>),
    /// A list without order.
    List(Vec<Cow<'a, str>>),
    /// A list in order.
    Numbered(Vec<Cow<'a, str>>),
    /// Names and values.
    Facts(Vec<(Cow<'a, str>, Cow<'a, str>)>),
    /// A table: heads and rows.
    Table(Vec<&'static str>, Vec<Vec<Cow<'a, str>>>),
    /// Steps with boxes to tick.
    Checklist(Vec<Tick<'a>>),
    /// A finding.
    Finding(Box<Finding<'a>>),
    /// The label for the jar.
    Label(Box<JarLabel<'a>>),
    /// The drawing of the vessel.
    Drawing(Box<Drawing<'a>>),
}

impl Block<'_> {
    fn is_empty(&self) -> bool {
        match self {
            Block::Text(text) => text.is_empty(),
            Block::List(lines) | Block::Numbered(lines) => lines.is_empty(),
            Block::Facts(facts) => facts.is_empty(),
            Block::Table(_, rows) => rows.is_empty(),
            Block::Checklist(steps) => steps.is_empty(),
            Block::Finding(_) | Block::Label(_) | Block::Drawing(_) => false,
        }
    }
}

/// One step of the checklist.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tick<'a> {
    /// Clock time, or how long before or after immersion.
    pub when: Cow<'a, str>,
    /// Stage and part.
    pub about: Cow<'a, str>,
    /// What to do, how long it takes.
    pub what: Cow<'a, str>,
    /// What to know about its time.
    pub remark: Option<Cow<'a, str>>,
}

/// A finding as the sheet shows it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding<'a> {
    /// How grave.
    pub gravity: Gravity,
    /// Its name in the rule list, to look it up.
    pub id: Cow<'a, str>,
    /// One line.
    pub title: Cow<'a, str>,
    /// Why, with the condition.
    pub why: Cow<'a, str>,
    /// What is made or set free.
    pub products: Vec<Cow<'a, str>>,
    /// Figures with units.
    pub figures: Vec<String>,
    /// What to do, gravest first.
    pub actions: Vec<Cow<'a, str>>,
}
