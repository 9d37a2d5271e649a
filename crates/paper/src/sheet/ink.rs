//! Things at their places in a drawing, as the template's sheet reads them.

use serde_json::{Value, json};

use crate::render::RenderError;
use crate::render::font::{self, Weight};
use crate::workshop::LogoSize;

/// Where text stands to its point.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum At {
    Left,
    Centre,
    Right,
}

/// The things of one drawing, in drawing order.
#[derive(Default)]
pub(crate) struct Ink {
    pub(crate) items: Vec<Value>,
}

/// Micrometres are fine enough for paper, and keep the same bytes on every machine.
fn mm(value: f64) -> f64 {
    (value * 1000.0).round() / 1000.0
}

impl Ink {
    /// Text whose middle is at `y`.
    pub(crate) fn text(&mut self, [x, y]: [f64; 2], text: &str, size: f64, at: At, bold: bool) {
        let align = match at {
            At::Left => "left",
            At::Centre => "centre",
            At::Right => "right",
        };
        let weight = if bold { "bold" } else { "regular" };
        self.items.push(json!({"text": {
            "x": mm(x), "y": mm(y), "text": text, "size": size, "weight": weight,
            "align": align, "stand": "middle",
        }}));
    }

    pub(crate) fn logo(&mut self, [x, y]: [f64; 2], size: LogoSize) {
        self.items.push(json!({"logo": {
            "x": mm(x), "y": mm(y), "width": size.width, "height": size.height,
        }}));
    }

    pub(crate) fn line(&mut self, from: [f64; 2], to: [f64; 2], thick: f64) {
        self.items.push(json!({"line": {"from": from.map(mm), "to": to.map(mm), "line": thick}}));
    }

    pub(crate) fn dashed(&mut self, from: [f64; 2], to: [f64; 2], thick: f64) {
        self.items.push(
            json!({"line": {"from": from.map(mm), "to": to.map(mm), "line": thick, "dash": [0.8, 0.8]}}),
        );
    }

    /// A line with a head at either end.
    pub(crate) fn arrows(&mut self, [left, right]: [f64; 2], y: f64) {
        let head = (0.35 * (right - left)).min(1.3);
        let middle = f64::midpoint(left, right);
        for end in [left, right] {
            self.items.push(json!({"line": {
                "from": [mm(middle), mm(y)], "to": [mm(end), mm(y)], "line": 0.2, "arrow": mm(head),
            }}));
        }
    }

    pub(crate) fn fill(&mut self, [left, right]: [f64; 2], [top, bottom]: [f64; 2], grey: f64) {
        if right > left {
            self.items.push(json!({"box": {
                "x": mm(left), "y": mm(top), "width": mm(right - left), "height": mm(bottom - top), "fill": grey,
            }}));
        }
    }

    pub(crate) fn frame(&mut self, [left, right]: [f64; 2], [top, bottom]: [f64; 2], thick: f64) {
        if right > left {
            self.items.push(json!({"box": {
                "x": mm(left), "y": mm(top), "width": mm(right - left), "height": mm(bottom - top), "line": thick,
            }}));
        }
    }

    /// Slanted lines clipped to a box.
    pub(crate) fn hatch(&mut self, [left, right]: [f64; 2], [top, bottom]: [f64; 2], apart: f64) {
        let high = bottom - top;
        let mut foot = left - high + apart / 2.0;
        while foot < right {
            // From (foot, bottom) up to (foot + high, top), as far as it lies inside.
            let (a, b) = (foot.max(left), (foot + high).min(right));
            if b - a > 0.05 {
                self.line([a, bottom - (a - foot)], [b, bottom - (b - foot)], 0.15);
            }
            foot += apart;
        }
    }

    /// A filled triangle that points down at its place.
    pub(crate) fn pointer(&mut self, [x, y]: [f64; 2]) {
        self.items.push(json!({"path": {
            "from": [mm(x), mm(y)], "to": [[mm(x - 0.9), mm(y - 1.7)], [mm(x + 0.9), mm(y - 1.7)]],
            "closed": true, "fill": 0.0,
        }}));
    }

    /// A filled diamond.
    pub(crate) fn diamond(&mut self, [x, y]: [f64; 2]) {
        let r = 1.25;
        self.items.push(json!({"path": {
            "from": [mm(x), mm(y - r)], "to": [[mm(x + r), mm(y)], [mm(x), mm(y + r)], [mm(x - r), mm(y)]],
            "closed": true, "fill": 0.0,
        }}));
    }

    pub(crate) fn qr(&mut self, [x, y]: [f64; 2], side: f64, text: &str) {
        self.items.push(json!({"qr": {"x": mm(x), "y": mm(y), "size": mm(side), "text": text}}));
    }
}

/// How wide a text is.
pub(crate) fn wide(text: &str, size: f64, bold: bool) -> Result<f64, RenderError> {
    font::width(text, size, if bold { Weight::Bold } else { Weight::Regular })
}
