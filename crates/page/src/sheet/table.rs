//! Rows and columns as a template yields them.

use serde::de::value::MapAccessDeserializer;
use serde::de::{MapAccess, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::borrow::Cow;
use std::fmt;

use super::Align;
use crate::font::Weight;

/// Rows and columns.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
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
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
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

impl From<String> for Cell {
    fn from(text: String) -> Self {
        Self { text, ..Self::default() }
    }
}

impl From<&str> for Cell {
    fn from(text: &str) -> Self {
        text.to_owned().into()
    }
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct FullCell<'a> {
    text: Cow<'a, str>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    weight: Option<Weight>,
    #[serde(default)]
    more: usize,
}

/// As it is read.
impl Serialize for Cell {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Cell { text, weight: None, more: 0 } => text.serialize(serializer),
            Cell { text, weight, more } => {
                FullCell { text: text.into(), weight: *weight, more: *more }.serialize(serializer)
            }
        }
    }
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
                Ok(text.into())
            }

            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Cell, A::Error> {
                let full = FullCell::deserialize(MapAccessDeserializer::new(map))?;
                Ok(Cell { text: full.text.into_owned(), weight: full.weight, more: full.more })
            }
        }

        deserializer.deserialize_any(TextOrMap)
    }
}
