//! The flat scene: what is drawn where, in millimetres from the top left corner of the page.

use std::sync::Arc;

use super::font::Weight;
use lidcard_pixels::Rgb;

/// Pages ready to be drawn.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Scene {
    /// Title of the document.
    pub title: String,
    /// The pages.
    pub pages: Vec<Page>,
}

/// One page.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Page {
    /// Width in millimetres.
    pub width: f64,
    /// Height in millimetres.
    pub height: f64,
    /// What is on it, in drawing order.
    pub items: Vec<Item>,
    /// Headings on it that the document's outline lists.
    pub headings: Vec<Heading>,
}

/// An entry of the document's outline.
#[derive(Clone, Debug, PartialEq)]
pub struct Heading {
    /// Its words.
    pub title: String,
    /// It belongs under the entry before it.
    pub inner: bool,
    /// How far down the page it stands.
    pub y: f64,
}

/// Something on a page.
#[derive(Clone, Debug, PartialEq)]
pub enum Item {
    /// A run of text.
    Text(Text),
    /// Lines and curves.
    Path(Path),
    /// The black squares of a QR code.
    Squares(Squares),
    /// A picture of pixels.
    Picture(Picture),
}

/// A picture of pixels at its place.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// Left edge.
    pub x: f64,
    /// Top.
    pub y: f64,
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
    /// What is seen.
    pub pixels: Arc<Rgb>,
}

/// Black squares on a white ground, in one piece so that no hairline runs between them.
#[derive(Clone, Debug, PartialEq)]
pub struct Squares {
    /// Left edge of the white ground.
    pub x: f64,
    /// Its top.
    pub y: f64,
    /// Its side.
    pub side: f64,
    /// How many squares, dark or not, lie along a side, the white edge included.
    pub count: usize,
    /// Runs of dark squares: column, row, how many side by side.
    pub runs: Vec<(usize, usize, usize)>,
}

/// A run of text on one baseline.
#[derive(Clone, Debug, PartialEq)]
pub struct Text {
    /// Left end of the baseline.
    pub x: f64,
    /// Baseline.
    pub y: f64,
    /// Size in points.
    pub size: f64,
    /// Weight.
    pub weight: Weight,
    /// 0 black to 1 white.
    pub grey: f64,
    /// The words.
    pub text: String,
    /// Turned about its left end, anticlockwise, in degrees.
    pub turn: f64,
    /// Drawn as an outline of this thickness in millimetres instead of filled.
    pub outline: Option<f64>,
}

/// A path of lines and curves.
#[derive(Clone, Debug, PartialEq)]
pub struct Path {
    /// Where it begins.
    pub start: [f64; 2],
    /// How it goes on.
    pub segments: Vec<Segment>,
    /// Whether it goes back to its beginning.
    pub closed: bool,
    /// Thickness of the line in millimetres; `None`: no line.
    pub line: Option<f64>,
    /// Grey of the line, 0 black to 1 white.
    pub line_grey: f64,
    /// Dash and gap in millimetres.
    pub dash: Option<[f64; 2]>,
    /// Grey of the inside; `None`: not filled.
    pub fill: Option<f64>,
}

/// One step of a path.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Segment {
    /// A straight line to a point.
    Line([f64; 2]),
    /// A cubic curve: two control points and the end.
    Curve([f64; 2], [f64; 2], [f64; 2]),
}

/// How far a control point lies from the corner of a quarter circle, as part of the radius.
const KAPPA: f64 = 0.552_284_75;

impl Path {
    /// A closed shape through points.
    pub fn polygon(points: &[[f64; 2]], fill: Option<f64>, line: Option<f64>) -> Self {
        let start = points.first().copied().unwrap_or_default();
        let segments = points.iter().skip(1).map(|p| Segment::Line(*p)).collect();
        Self { start, segments, closed: true, line, line_grey: 0.0, dash: None, fill }
    }

    /// A straight line.
    pub fn straight(from: [f64; 2], to: [f64; 2], thickness: f64, grey: f64) -> Self {
        Self {
            start: from,
            segments: vec![Segment::Line(to)],
            closed: false,
            line: Some(thickness),
            line_grey: grey,
            dash: None,
            fill: None,
        }
    }

    /// A rectangle with rounded corners.
    pub fn rounded(at: [f64; 2], size: [f64; 2], radius: f64) -> Self {
        let [x, y] = at;
        let [w, h] = size;
        let r = radius.min(w / 2.0).min(h / 2.0).max(0.0);
        let (right, bottom, k) = (x + w, y + h, r * (1.0 - KAPPA));
        let mut segments = Vec::new();
        let corner = |segments: &mut Vec<Segment>, to: [f64; 2], a: [f64; 2], b: [f64; 2], end: [f64; 2]| {
            segments.push(Segment::Line(to));
            if r > 0.0 {
                segments.push(Segment::Curve(a, b, end));
            }
        };
        corner(&mut segments, [right - r, y], [right - k, y], [right, y + k], [right, y + r]);
        corner(
            &mut segments,
            [right, bottom - r],
            [right, bottom - k],
            [right - k, bottom],
            [right - r, bottom],
        );
        corner(&mut segments, [x + r, bottom], [x + k, bottom], [x, bottom - k], [x, bottom - r]);
        corner(&mut segments, [x, y + r], [x, y + k], [x + k, y], [x + r, y]);
        Self { start: [x + r, y], segments, closed: true, line: None, line_grey: 0.0, dash: None, fill: None }
    }

    /// A circle.
    pub fn circle(centre: [f64; 2], radius: f64) -> Self {
        Self::rounded([centre[0] - radius, centre[1] - radius], [radius * 2.0, radius * 2.0], radius)
    }

    /// Every point it passes or is drawn towards.
    pub fn points(&self) -> impl Iterator<Item = [f64; 2]> + '_ {
        std::iter::once(self.start).chain(self.segments.iter().flat_map(|s| match s {
            Segment::Line(p) => vec![*p],
            Segment::Curve(a, b, p) => vec![*a, *b, *p],
        }))
    }
}

impl Item {
    /// The same thing somewhere else.
    #[must_use]
    pub fn moved(mut self, dx: f64, dy: f64) -> Self {
        let shift = |p: &mut [f64; 2]| {
            p[0] += dx;
            p[1] += dy;
        };
        match &mut self {
            Item::Text(text) => {
                text.x += dx;
                text.y += dy;
            }
            Item::Squares(squares) => {
                squares.x += dx;
                squares.y += dy;
            }
            Item::Picture(picture) => {
                picture.x += dx;
                picture.y += dy;
            }
            Item::Path(path) => {
                shift(&mut path.start);
                for segment in &mut path.segments {
                    match segment {
                        Segment::Line(p) => shift(p),
                        Segment::Curve(a, b, p) => [a, b, p].into_iter().for_each(shift),
                    }
                }
            }
        }
        self
    }
}
