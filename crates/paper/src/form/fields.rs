//! Fields to write readings into.

use crate::labels::Labels;
use crate::labels::text::form;
use serde::Serialize;
use serde_json::Value;

/// As many readings as a tolerance rests on.
const FIVE: usize = 5;

/// Fields that belong together.
#[derive(Serialize)]
pub(super) struct Section {
    pub(super) title: String,
    /// What to know before the first of them; empty if nothing.
    pub(super) before: String,
    pub(super) fields: Vec<Field>,
}

/// A figure to be read.
#[derive(Serialize)]
pub(super) struct Field {
    /// Its number in the bench record, or its key in the boat file.
    pub(super) name: String,
    /// How it is read.
    pub(super) how: String,
    /// A drawing above it of what lies where; no height where there is none.
    pub(super) height: f64,
    pub(super) drawn: Vec<Value>,
    /// Boxes beside each other.
    pub(super) boxes: usize,
    /// Rows of boxes: what each row is of, then what stands small in each box.
    pub(super) rows: Vec<Vec<String>>,
}

impl Field {
    pub(super) fn new(
        name: impl Into<String>,
        how: impl Into<String>,
        boxes: &Boxes,
        labels: &Labels,
    ) -> Self {
        let rows = boxes.rows(labels);
        let boxes = rows.iter().map(|row| row.len() - 1).max().unwrap_or(0);
        Self { name: name.into(), how: how.into(), height: 0.0, drawn: Vec::new(), boxes, rows }
    }

    pub(super) fn with_drawing(self, (height, drawn): (f64, Vec<Value>)) -> Self {
        Self { height, drawn, ..self }
    }
}

/// How often and under what conditions something is read.
#[derive(Clone, Debug)]
pub(super) enum Boxes {
    /// Once.
    One,
    /// Once cold and once warm.
    Both,
    /// Each of these once cold and once warm.
    Each(Vec<String>),
    /// These, once.
    Of(Vec<String>),
    /// Five times from the same side, cold and warm.
    Crept,
    /// Five times from both sides, cold and warm.
    Twenty,
    /// Once on each side, cold and warm.
    Sides,
}

impl Boxes {
    fn rows(&self, labels: &Labels) -> Vec<Vec<String>> {
        let say = |text| labels.get(text).to_owned();
        let warmth = [form::COLD, form::WARM].map(say);
        let five = |of: String| {
            let mut row = vec![of];
            row.resize(FIVE + 1, String::new());
            row
        };
        let both = |of: String| [of].into_iter().chain(warmth.clone()).collect::<Vec<_>>();
        match self {
            Self::One => vec![vec![String::new(); 2]],
            Self::Both => vec![both(String::new())],
            Self::Each(all) => all.iter().map(|of| both(of.clone())).collect(),
            Self::Of(all) => vec![[String::new()].into_iter().chain(all.iter().cloned()).collect()],
            Self::Crept => warmth.into_iter().map(five).collect(),
            Self::Twenty => {
                let sides = [form::FROM_BELOW, form::FROM_ABOVE].map(say);
                let rows =
                    warmth.iter().flat_map(|warm| sides.iter().map(move |side| format!("{warm}, {side}")));
                rows.map(five).collect()
            }
            Self::Sides => [form::SHORTER, form::LONGER].map(say).into_iter().map(both).collect(),
        }
    }
}

/// The boxes for a figure of which the papers have these words.
pub(super) fn boxes_for(word: &str) -> Boxes {
    match word {
        "accuracy" | "pulse" | "unit" => Boxes::Twenty,
        "tolerance" | "clicks" | "releases" | "wait" | "after" => Boxes::Crept,
        "stops" | "still between" => Boxes::Sides,
        "takes" | "correction" | "furthest" | "sinks in" | "must run" => Boxes::Both,
        _ => Boxes::One,
    }
}

/// The same of what is asked of a test that has figures.
#[cfg(test)]
mod tests {
    use super::{Boxes, Field, boxes_for};
    use crate::labels::Labels;
    use crate::language;

    #[test]
    fn five_boxes_stand_where_five_are_asked_and_twenty_where_twenty_are() {
        let (_, language) = language::ALL[0];
        let labels = Labels::of(language);
        let count = |boxes: &Boxes| {
            let field = Field::new("", "", boxes, &labels);
            assert!(field.rows.iter().all(|row| row.len() == field.boxes + 1));
            field.rows.len() * field.boxes
        };
        assert_eq!(count(&boxes_for("clicks")), 10, "five cold, five warm");
        assert_eq!(count(&boxes_for("accuracy")), 20);
        assert_eq!(count(&boxes_for("stops")), 4);
        assert_eq!(count(&boxes_for("corrects")), 1);
    }
}
