//! How far the lever or slide at the far end of a servo's rod moves, in a sentence.

use super::super::say::Say;
use crate::labels::text::sheet::axes;
use crate::rule::throws;
use crate::setup::{DeviceId, Driven, Exact, Input};
use crate::words::listed;

/// Empty for a device without a linkage, and for one that may meet a dead centre on its way: of that its
/// finding speaks.
pub(super) fn told(say: &Say<'_>, id: DeviceId) -> String {
    let device = &say.setup.devices[id];
    let Some(linkage) = &device.facts.linkage else { return String::new() };
    let Some(throw) = throws(say.setup).into_iter().find(|throw| throw.device == id) else {
        return String::new();
    };
    let number = |value: &Exact, up: bool| {
        let tenths = value * Exact::int(10);
        // Rounded outwards: a good boat must never fail by a rounding.
        let whole = if up { tenths.ceil() } else { tenths.floor() };
        let number = &say.labels.decimal(&Exact::ratio(whole.unwrap_or(0), 10).to_decimal(1));
        if linkage.unit() == "mm" {
            say.fill(axes::Millimetres { number })
        } else {
            say.fill(axes::Degrees { number })
        }
    };
    let mut moves = Vec::new();
    if let Input::Channel(channel) = device.input {
        for (side, moved) in &throw.held {
            let Ok(moved) = moved else { return String::new() };
            let (low, high) = (number(&moved.least, false), number(&moved.most, true));
            let way = say.way(channel, *side);
            moves.push(say.fill(axes::Held { way: &way, low: &low, high: &high }));
        }
    }
    let [Ok(shorter), Ok(longer)] = &throw.furthest else { return String::new() };
    let (shorter, longer) = (number(&shorter.most, true), number(&longer.most, true));
    moves.push(say.fill(axes::Never { shorter: &shorter, longer: &longer }));
    let moves = &listed(moves);
    match linkage.driven {
        Driven::Lever(_) => say.fill(axes::Lever { moves }),
        Driven::Slide(_) => say.fill(axes::Slide { moves }),
    }
}
