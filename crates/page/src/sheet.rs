//! The sheet: the small YAML language a template yields. Blocks flow down the page and into
//! columns; inside a drawing everything stands where the template puts it. All in millimetres,
//! text sizes in points.

mod panel;

use serde::de::value::MapAccessDeserializer;
use serde::de::{MapAccess, Visitor};
use serde::{Deserialize, Deserializer};
use std::fmt;

use super::RenderError;
use super::font::Weight;
use super::picture::Logo;

pub use panel::{Bank, Control, Direction, Edge, Form, Panel, Ticks, Time, Timeline, Way};

/// What a template yields.
#[derive(Clone, Debug, Deserialize)]
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
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Paper {
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
    /// Clear all round.
    pub margin: f64,
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
#[derive(Clone, Debug, Deserialize)]
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
#[derive(Clone, Debug, Deserialize)]
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
#[derive(Clone, Debug, Deserialize)]
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
#[derive(Clone, Debug, Deserialize)]
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
#[derive(Clone, Debug, Deserialize)]
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
#[derive(Clone, Debug, Deserialize)]
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
#[derive(Clone, Debug, Deserialize)]
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
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Words {
    /// The text.
    pub text: String,
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

/// Rows and columns.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Table {
    /// Size in points.
    pub size: f64,
    /// The columns.
    pub columns: Vec<Column>,
    /// Clear between columns.
    #[serde(default)]
    pub gap: f64,
    /// Clear between rows.
    #[serde(default)]
    pub lead: f64,
    /// Thickness of a line between rows.
    #[serde(default)]
    pub rule: Option<f64>,
    /// Thickness of lines round every cell; `gap` and `lead` are then clear inside the cells.
    #[serde(default)]
    pub grid: Option<f64>,
    /// A row is at least so high: room for a pen.
    #[serde(default)]
    pub least: f64,
    /// Headings over the columns.
    #[serde(default)]
    pub head: Option<Vec<Cell>>,
    /// The rows: one cell a column. An empty row parts those above it from those below.
    pub rows: Vec<Vec<Cell>>,
}

/// A column of a table.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Column {
    /// Takes what is left and breaks its lines.
    pub flex: bool,
    /// As wide as its widest text, but breaks its lines where the others have no room.
    pub gives: bool,
    /// Exactly so wide, with lines that break.
    pub width: Option<f64>,
    /// Weight of its texts.
    pub weight: Weight,
    /// Where its texts stand.
    pub align: Align,
    /// Each of its cells, its head excepted, is a box to write in.
    pub boxed: bool,
}

/// A cell of a table: a text, or a text with a weight of its own or over several columns.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Cell {
    /// The text.
    pub text: String,
    /// Its weight, if not that of the column.
    pub weight: Option<Weight>,
    /// How many columns more it takes.
    pub more: usize,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FullCell {
    text: String,
    #[serde(default)]
    weight: Option<Weight>,
    #[serde(default)]
    more: usize,
}

impl<'de> Deserialize<'de> for Cell {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct TextOrMap;

        impl<'de> Visitor<'de> for TextOrMap {
            type Value = Cell;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a text, or {text: ..., weight: bold, more: 1}")
            }

            fn visit_str<E>(self, text: &str) -> Result<Cell, E> {
                Ok(Cell { text: text.to_owned(), ..Cell::default() })
            }

            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Cell, A::Error> {
                let full = FullCell::deserialize(MapAccessDeserializer::new(map))?;
                Ok(Cell { text: full.text, weight: full.weight, more: full.more })
            }
        }

        deserializer.deserialize_any(TextOrMap)
    }
}

/// Things at places of their own, from the top left corner of the drawing.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Drawing {
    /// How much of the page it takes.
    pub height: f64,
    /// The things.
    pub items: Vec<Thing>,
}

/// A thing in a drawing.
#[derive(Clone, Debug, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Thing {
    /// Text.
    Text(PlacedText),
    /// A rectangle.
    Box(PlacedBox),
    /// A circle.
    Circle(Circle),
    /// A straight line, perhaps with a head.
    Line(Line),
    /// A path of points: two numbers are a line, six a curve.
    Path(Points),
    /// A QR code.
    Qr(Qr),
    /// The workshop's logo.
    Logo(PlacedLogo),
}

/// A QR code.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Qr {
    /// Left, the white edge included.
    pub x: f64,
    /// Top, the white edge included.
    pub y: f64,
    /// Side, the white edge included.
    pub size: f64,
    /// What it says.
    pub text: String,
}

/// The logo at a place.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PlacedLogo {
    /// Left.
    pub x: f64,
    /// Top.
    pub y: f64,
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
    /// What is seen: no template holds it, [`Sheet::give`] does.
    #[serde(skip)]
    pub logo: Option<Logo>,
}

/// Text at a place.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PlacedText {
    /// The point the text is aligned to.
    pub x: f64,
    /// The point the text stands at.
    pub y: f64,
    /// The text.
    pub text: String,
    /// Size in points.
    pub size: f64,
    /// Weight.
    #[serde(default)]
    pub weight: Weight,
    /// Grey, 0 black to 1 white.
    #[serde(default)]
    pub grey: f64,
    /// Where `x` is: left end, middle, right end.
    #[serde(default)]
    pub align: Align,
    /// Where `y` is: top, middle or bottom of the lines.
    #[serde(default)]
    pub stand: Stand,
    /// Breaks into lines no wider than this.
    #[serde(default)]
    pub width: Option<f64>,
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

/// What part of the text lies at its place.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Stand {
    /// Its top.
    #[default]
    Top,
    /// Its middle.
    Middle,
    /// Its bottom.
    Bottom,
}

/// A rectangle.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PlacedBox {
    /// Left.
    pub x: f64,
    /// Top.
    pub y: f64,
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
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

/// A circle.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Circle {
    /// Middle.
    pub x: f64,
    /// Middle.
    pub y: f64,
    /// Radius.
    pub radius: f64,
    /// Thickness of the line.
    #[serde(default)]
    pub line: Option<f64>,
    /// Grey of the inside.
    #[serde(default)]
    pub fill: Option<f64>,
}

/// A straight line.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Line {
    /// Where it begins.
    pub from: [f64; 2],
    /// Where it ends.
    pub to: [f64; 2],
    /// Thickness.
    pub line: f64,
    /// Grey.
    #[serde(default)]
    pub grey: f64,
    /// Length of a filled head at the end.
    #[serde(default)]
    pub arrow: Option<f64>,
    /// Dash and gap.
    #[serde(default)]
    pub dash: Option<[f64; 2]>,
}

/// A path.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Points {
    /// Where it begins.
    pub from: [f64; 2],
    /// Two numbers are a line to there, six a curve.
    pub to: Vec<Vec<f64>>,
    /// Goes back to its beginning.
    #[serde(default)]
    pub closed: bool,
    /// Thickness of the line.
    #[serde(default)]
    pub line: Option<f64>,
    /// Grey of the inside.
    #[serde(default)]
    pub fill: Option<f64>,
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

impl Drawing {
    fn give(&mut self, logo: &Logo) {
        for thing in &mut self.items {
            if let Thing::Logo(place) = thing {
                place.logo = Some(logo.clone());
            }
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
