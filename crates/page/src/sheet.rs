//! The sheet: the small YAML language a template yields. Blocks flow down the page and into
//! columns; inside a drawing everything stands where the template puts it. All in millimetres,
//! text sizes in points.

mod drawing;
mod panel;
mod table;

use serde::Deserialize;

use super::RenderError;
use super::font::Weight;
use super::picture::Logo;

pub use drawing::{Circle, Drawing, Line, PlacedBox, PlacedLogo, PlacedText, Points, Qr, Stand, Thing};
pub use panel::{Bank, Control, Direction, Edge, Form, Panel, Ticks, Time, Timeline, Way};
pub use table::{Cell, Column, Table};

/// What a template yields.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sheet {
    /// Title of the document.
    pub title: String,
    /// The paper.
    pub page: Paper,
    /// On top of every page.
    #[serde(default)]
    pub head: Option<Drawing>,
    /// At the bottom of every page.
    #[serde(default)]
    pub foot: Option<Drawing>,
    /// What the page says, in order of importance.
    #[serde(default)]
    pub blocks: Vec<Block>,
}

/// The paper and how it is divided.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Paper {
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
    /// Clear all round.
    pub margin: f64,
    /// Clear above and below, where that is another than at the sides: a document of many pages is punched there.
    #[serde(default)]
    pub ends: Option<f64>,
    /// Columns for the blocks that do not span the page.
    #[serde(default = "one")]
    pub columns: usize,
    /// Clear between columns.
    #[serde(default)]
    pub gutter: f64,
    /// Clear between blocks.
    #[serde(default)]
    pub gap: f64,
}

fn one() -> usize {
    1
}

/// A block: kept together on one page.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Block {
    /// How it is called when it does not fit.
    pub name: String,
    /// As wide as the page, not as a column.
    #[serde(default)]
    pub span: bool,
    /// The back may begin with it, when there are two sides.
    #[serde(default)]
    pub back: bool,
    /// Begins a column.
    #[serde(default)]
    pub column: bool,
    /// The first of its column ends as far down as the others marked so in columns beside it.
    #[serde(default)]
    pub level: bool,
    /// In a document of many pages it may go on over a page, its tables with their heads again.
    #[serde(default)]
    pub breaks: bool,
    /// However little there is of it and wherever the page ends: its parts make sense by themselves.
    #[serde(default)]
    pub torn: bool,
    /// In a document of many pages it begins a new one.
    #[serde(default)]
    pub page: bool,
    /// In a document of many pages it is as wide as half of one: those that follow each other stand in two columns, the
    /// left one read first.
    #[serde(default)]
    pub half: bool,
    /// In a document of many pages, clear above it besides the gap, unless it begins a page.
    #[serde(default)]
    pub above: f64,
    /// In a document of many pages it is never the last on its page: the next block goes with it.
    #[serde(default)]
    pub leads: bool,
    /// Its entry in the document's outline.
    #[serde(default)]
    pub heading: Option<String>,
    /// The entry belongs under the one before.
    #[serde(default)]
    pub inner: bool,
    /// A box behind it.
    #[serde(default)]
    pub frame: Option<Frame>,
    /// What is in it, from top to bottom.
    pub parts: Vec<Part>,
}

/// A box behind a block.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Frame {
    /// Clear inside.
    #[serde(default)]
    pub pad: f64,
    /// Thickness of the line.
    #[serde(default)]
    pub line: Option<f64>,
    /// Grey of the inside.
    #[serde(default)]
    pub fill: Option<f64>,
    /// Radius of the corners.
    #[serde(default)]
    pub radius: f64,
}

/// A part of a block.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Part {
    /// Running text.
    Words(Words),
    /// Rows and columns.
    Table(Table),
    /// Things at places of their own.
    Drawing(Drawing),
    /// Clear space.
    Space(f64),
    /// A thin line across.
    Rule(f64),
    /// Parts beside each other.
    Beside(Beside),
    /// Round things with words on their sides.
    Crosses(Crosses),
    /// Things that hands find on a panel, seen from above.
    Panel(Panel),
    /// What happens when, as a bar.
    Timeline(Timeline),
    /// Boxes to tick, one behind the other.
    Ticks(Ticks),
}

/// Sticks and what else is moved four ways, beside each other in equal widths and on one level.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Crosses {
    /// Radius of each.
    pub radius: f64,
    /// Clear between a circle and the words beside it.
    pub clear: f64,
    /// Clear between two of them.
    #[serde(default)]
    pub gutter: f64,
    /// From left to right.
    pub crosses: Vec<Cross>,
}

/// A round thing with words on its sides; an arrow points to each side that has some.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Cross {
    /// What it is, in the upper left corner or in a line above.
    #[serde(default)]
    pub name: Option<Label>,
    /// In the lower left corner or in a line below.
    #[serde(default)]
    pub note: Option<Label>,
    /// Above it.
    #[serde(default)]
    pub up: Vec<Label>,
    /// Below it.
    #[serde(default)]
    pub down: Vec<Label>,
    /// Left of it, one below the other.
    #[serde(default)]
    pub left: Vec<Label>,
    /// Right of it.
    #[serde(default)]
    pub right: Vec<Label>,
}

/// A text with its size; the drawing finds its place.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Label {
    /// The text.
    pub text: String,
    /// Size in points.
    pub size: f64,
    /// Weight.
    #[serde(default)]
    pub weight: Weight,
}

/// Parts beside each other.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Beside {
    /// Clear between the columns.
    #[serde(default)]
    pub gutter: f64,
    /// Width of each column; those without one share the rest evenly.
    #[serde(default)]
    pub widths: Vec<Option<f64>>,
    /// What is in each, from top to bottom.
    pub columns: Vec<Vec<Part>>,
    /// In a document of many pages they are never the last on their page.
    #[serde(default)]
    pub leads: bool,
}

/// Running text over the whole width.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Words {
    /// The text.
    pub text: String,
    /// What goes on behind it on the same line, in the weight of body text.
    #[serde(default)]
    pub then: String,
    /// Size in points.
    pub size: f64,
    /// Weight.
    #[serde(default)]
    pub weight: Weight,
    /// Grey, 0 black.
    #[serde(default)]
    pub grey: f64,
    /// Where the lines stand.
    #[serde(default)]
    pub align: Align,
    /// In a document of many pages it is never the last on its page; what is bold never is.
    #[serde(default)]
    pub leads: bool,
}

/// Where lines stand in the width.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Align {
    /// Flush left.
    #[default]
    Left,
    /// Centred.
    Centre,
    /// Flush right.
    Right,
}

impl Sheet {
    /// Puts the logo wherever the sheet has a place for it.
    pub fn give(&mut self, logo: &Logo) {
        let strips = self.head.iter_mut().chain(&mut self.foot);
        strips.for_each(|drawing| drawing.give(logo));
        self.blocks.iter_mut().flat_map(|block| &mut block.parts).for_each(|part| part.give(logo));
    }
}

impl Part {
    fn give(&mut self, logo: &Logo) {
        match self {
            Part::Drawing(drawing) => drawing.give(logo),
            Part::Beside(beside) => {
                beside.columns.iter_mut().flatten().for_each(|part| part.give(logo));
            }
            Part::Words(_)
            | Part::Table(_)
            | Part::Crosses(_)
            | Part::Panel(_)
            | Part::Timeline(_)
            | Part::Ticks(_)
            | Part::Space(_)
            | Part::Rule(_) => {}
        }
    }
}

/// Reads a sheet.
///
/// # Errors
///
/// When the text is no sheet: what is wrong, and in which line.
pub fn read(text: &str) -> Result<Sheet, RenderError> {
    serde_yaml::from_str(text).map_err(|e| {
        let line = e.location().map(|l| l.line() as usize);
        let message = e.without_snippet().to_string();
        RenderError::Sheet { message, line }
    })
}
