//! How a card is laid out, in the order in which it is tried.

use crate::render::layout::Sides;

/// What the front says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) enum Front {
    /// All there is to say: paper for the bench hangs on a wall and is not turned over.
    All,
    /// All that is of use at the water; the back, if any, has the settings.
    Whole,
    /// The emergency, every control, and what has to be remembered; the back has what she does alone.
    Water,
    /// The same without the controls, which take the back; lights, frequency and ticks are left to the guide.
    Small,
}

/// How a card is laid out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) struct Plan {
    pub(super) front: Front,
    /// The table of channels and what switches set are on the back.
    pub(super) table: bool,
    /// Columns for what does not need the whole width.
    pub(super) columns: usize,
    /// Emergency and controls stand side by side.
    pub(super) beside: bool,
}

impl Plan {
    pub(super) fn sides(self) -> Sides {
        match (self.front, self.table) {
            (Front::All, _) | (Front::Whole, false) => Sides::One,
            _ => Sides::FrontAndBack(0),
        }
    }

    /// The front's name in a template.
    pub(super) fn front_word(self) -> &'static str {
        match self.front {
            Front::All => "all",
            Front::Whole => "whole",
            Front::Water => "water",
            Front::Small => "small",
        }
    }
}

/// From this width on, in millimetres, so many columns are tried too, and emergency and controls side by side. A
/// wider card is offered all that a narrower one is.
const COLUMNS: [(f64, usize); 2] = [(180.0, 3), (80.0, 2)];
const BESIDE: f64 = 120.0;

/// The layouts in the order in which they are tried: a card that says all on its front before one that has to be
/// turned over, and the controls on the front before the table of channels.
pub(super) fn plans(width: f64, is_large: bool) -> Vec<Plan> {
    let in_hand = [
        (Front::Whole, true),
        (Front::Whole, false),
        (Front::Water, true),
        (Front::Water, false),
        (Front::Small, false),
    ];
    let fronts = is_large.then_some((Front::All, true)).into_iter().chain(in_hand);
    let mut all = Vec::new();
    for (front, table) in fronts {
        let wide = COLUMNS.into_iter().filter(|(least, _)| width >= *least).map(|(_, columns)| columns);
        let columns = wide.chain([1]).map(|columns| Plan { front, table, columns, beside: false });
        let beside = (width >= BESIDE).then_some(Plan { front, table, columns: 2, beside: true });
        all.extend(columns.chain(beside));
    }
    all
}
