//! What a sheet says of things that hands find: a panel with its banks, what happens when, boxes to tick.

use serde::{Deserialize, Serialize};

/// Things that hands find on a panel, seen from above, in banks from the far edge to the near one.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Panel {
    /// Size of what each way does, in points.
    pub size: f64,
    /// Size of what is said besides.
    pub small: f64,
    /// From the far edge to the near one.
    pub banks: Vec<Bank>,
}

/// Things side by side.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Bank {
    /// Where on the panel it lies.
    #[serde(default)]
    pub edge: Edge,
    /// On the left, from the far edge to the near one.
    #[serde(default)]
    pub left: Vec<Control>,
    /// On the right.
    #[serde(default)]
    pub right: Vec<Control>,
}

/// Where a bank lies.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Edge {
    /// On the edge away from the holder.
    Far,
    /// On the panel itself.
    #[default]
    Face,
    /// On the edge towards the holder.
    Near,
}

/// A thing that a hand moves.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Control {
    /// How it is drawn.
    pub form: Form,
    /// Its name, where its ways do not tell it.
    #[serde(default)]
    pub name: String,
    /// Where it can be moved, in the order in which it is read.
    #[serde(default)]
    pub ways: Vec<Way>,
    /// Along which lines it stays where it was left.
    #[serde(default)]
    pub stays: Vec<Direction>,
    /// What is said besides.
    #[serde(default)]
    pub note: String,
    /// The number of the step that asks for the thing itself: its middle is drawn solid.
    #[serde(default)]
    pub step: Option<String>,
}

/// A shape.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Form {
    /// A circle with words on up to four sides.
    #[default]
    Round,
    /// Two bars, one above the other.
    Buttons,
    /// A bar with a place for each setting.
    Switch,
    /// A line with something that slides on it.
    Track,
    /// A circle with a pointer.
    Knob,
    /// Nothing but its words.
    Words,
}

/// A direction, or a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Direction {
    /// Away from the reader.
    Up,
    /// Towards the reader.
    Down,
    /// Left.
    Left,
    /// Right.
    Right,
    /// Along the line from down to up.
    Upright,
    /// Along the line from left to right.
    Sideways,
}

/// A way to move something.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Way {
    /// On which side of a round thing its words stand.
    #[serde(default)]
    pub side: Option<Direction>,
    /// What it does.
    #[serde(default)]
    pub text: String,
    /// On which condition, and the like.
    #[serde(default)]
    pub more: String,
    /// The number of the step that asks for it: it is drawn solid.
    #[serde(default)]
    pub step: Option<String>,
}

/// What happens when, from left to right.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Timeline {
    /// Size of the texts, in points.
    pub size: f64,
    /// In order.
    pub times: Vec<Time>,
}

/// A piece of time.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Time {
    /// When it begins, in words.
    pub begins: String,
    /// How long it takes; none: for good.
    #[serde(default)]
    pub lasts: Option<f64>,
    /// What happens.
    pub text: String,
    /// Something is done in it, and it is drawn darker.
    #[serde(default)]
    pub acts: bool,
}

/// Boxes to tick, one behind the other and in lines.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Ticks {
    /// Size of the texts, in points.
    pub size: f64,
    /// What is ticked.
    pub items: Vec<String>,
}
