//! Every control with what each of its ways does, as rows to be read one after the other: what a drawing of the
//! set says to somebody who does not see it.

use serde::Serialize;

use super::{Gimbal, Other, Way, gimbals, listed, others, others_in_brief};
use crate::labels::Labels;
use crate::setup::Setup;

/// A control, by where it is and what it is called.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Hands {
    name: String,
    /// That it stays where it was left, and the like.
    note: String,
    ways: Vec<Hand>,
}

/// One way of it.
#[derive(Clone, Debug, Serialize)]
struct Hand {
    hand: String,
    does: String,
}

impl Hand {
    fn of(way: &Way) -> Self {
        let hand = if way.hand.is_empty() { way.word.clone() } else { way.hand.clone() };
        let does = if way.does.is_empty() { way.word.clone() } else { way.label.clone() };
        Self { hand, does }
    }
}

/// The sticks, left one first.
pub(crate) fn sticks(labels: &Labels, setup: &Setup) -> Vec<Hands> {
    let stick = |gimbal: Gimbal| {
        let ways = [&gimbal.up, &gimbal.down, &gimbal.left, &gimbal.right];
        Hands {
            ways: ways.into_iter().flatten().map(Hand::of).collect(),
            note: gimbal.stays.unwrap_or_default(),
            name: gimbal.name,
        }
    };
    gimbals(labels, setup).into_iter().map(stick).collect()
}

fn beside(other: Other) -> Hands {
    let said = other.ways.iter().filter(|way| !way.word.is_empty() || !way.does.is_empty());
    let ways = said.map(Hand::of).collect();
    Hands { name: listed([other.place, other.name]), note: other.note, ways }
}

/// The switches of which more can be said: what each setting does to rates and mixes.
pub(crate) fn switches(labels: &Labels, setup: &Setup) -> Vec<Hands> {
    let brief = others_in_brief(labels, setup);
    others(labels, setup).into_iter().filter(|other| !brief.contains(other)).map(beside).collect()
}

/// The sticks, and everything beside them.
pub(crate) fn controls(labels: &Labels, setup: &Setup) -> Vec<Hands> {
    let others = others_in_brief(labels, setup).into_iter().map(beside);
    sticks(labels, setup).into_iter().chain(others).filter(|control| !control.ways.is_empty()).collect()
}
