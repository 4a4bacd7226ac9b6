//! The sheet: what every result looks like before it is text or a page. Terminal and HTML only lay it out.

use super::drawing::Drawing;
use super::label::JarLabel;
use crate::safety::{Gravity, Verdict};

/// One result, ready to be laid out.
#[derive(Debug, Clone)]
pub struct Sheet {
    /// What it is about.
    pub title: String,
    /// The look, or what was asked.
    pub subtitle: Option<String>,
    /// `NOT JUDGED: ...`, the very first line, when something could not be judged.
    pub not_judged: Option<String>,
    /// The verdict and its sentence.
    pub verdict: Option<(Verdict, String)>,
    /// The gravest actions, at most three, next to the amounts.
    pub first: Vec<FirstAction>,
    /// The recipe: amounts, making up, fill line.
    pub recipe_side: Vec<Section>,
    /// Safety notes that stand beside it.
    pub safety_side: Vec<Section>,
    /// Everything after that, over the whole width.
    pub below: Vec<Section>,
    /// The last line.
    pub closing: String,
}

/// One of the gravest actions.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FirstAction {
    /// How grave its hazard is.
    pub gravity: Gravity,
    /// The hazard.
    pub hazard: String,
    /// What to do.
    pub action: String,
}

/// A titled part of the sheet.
#[derive(Debug, Clone)]
pub struct Section {
    /// Heading.
    pub title: String,
    /// What stands in it.
    pub blocks: Vec<Block>,
}

impl Section {
    /// A section, or nothing when there is nothing in it.
    pub(super) fn of(title: &str, blocks: Vec<Block>) -> Option<Section> {
        let blocks: Vec<Block> = blocks.into_iter().filter(|b| !b.is_empty()).collect();
        (!blocks.is_empty()).then(|| Section { title: title.into(), blocks })
    }
}

/// A piece of a section, tagged by meaning.
#[derive(Debug, Clone)]
pub enum Block {
    /// A paragraph.
    Text(String),
    /// A list without order.
    List(Vec<String>),
    /// A list in order.
    Numbered(Vec<String>),
    /// Names and values.
    Facts(Vec<(String, String)>),
    /// A table: heads and rows.
    Table(Vec<&'static str>, Vec<Vec<String>>),
    /// Steps with boxes to tick.
    Checklist(Vec<Tick>),
    /// A finding.
    Finding(Finding),
    /// The label for the jar.
    Label(JarLabel),
    /// The drawing of the vessel.
    Drawing(Drawing),
}

impl Block {
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
pub struct Tick {
    /// Clock time, or how long before or after immersion.
    pub when: String,
    /// Stage and part.
    pub about: String,
    /// What to do, how long it takes.
    pub what: String,
    /// What to know about its time.
    pub remark: Option<String>,
}

/// A finding as the sheet shows it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// How grave.
    pub gravity: Gravity,
    /// Its name in the rule list, to look it up.
    pub id: String,
    /// One line.
    pub title: String,
    /// Why, with the condition.
    pub why: String,
    /// What is made or set free.
    pub products: Vec<String>,
    /// Figures with units.
    pub figures: Vec<String>,
    /// What to do, gravest first.
    pub actions: Vec<String>,
}
