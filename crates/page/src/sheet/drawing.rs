//! Things at places of their own, as a template yields them.

use serde::Deserialize;

use super::Align;
use crate::font::Weight;
use crate::picture::Logo;

/// Things at places of their own, from the top left corner of the drawing.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Drawing {
    /// How much of the page it takes.
    pub height: f64,
    /// The things.
    pub items: Vec<Thing>,
}

/// A thing in a drawing.
#[derive(Clone, Debug, PartialEq, Deserialize)]
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
#[derive(Clone, Debug, PartialEq, Deserialize)]
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
#[derive(Clone, Debug, PartialEq, Deserialize)]
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
    /// What is seen: no template holds it, [`super::Sheet::give`] does.
    #[serde(skip)]
    pub logo: Option<Logo>,
}

/// Text at a place.
#[derive(Clone, Debug, PartialEq, Deserialize)]
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
#[derive(Clone, Debug, PartialEq, Deserialize)]
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
#[derive(Clone, Debug, PartialEq, Deserialize)]
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
#[derive(Clone, Debug, PartialEq, Deserialize)]
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
#[derive(Clone, Debug, PartialEq, Deserialize)]
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

impl Drawing {
    pub(super) fn give(&mut self, logo: &Logo) {
        for thing in &mut self.items {
            if let Thing::Logo(place) = thing {
                place.logo = Some(logo.clone());
            }
        }
    }
}
