//! How a servo turns: its linkage, how exactly it is found again, and where it binds.

use super::super::exact::Exact;
use super::super::model::DeviceId;
use super::super::quantity::Micros;
use super::Reader;
use super::mistakes::{Block, EXACT, NONE, NOT_MEASURED};
use super::positions::Linkage;
use super::units::UnitOfMeasure;
use crate::source::{Mistake, Node};

impl Reader<'_> {
    pub(super) fn linkage(&mut self, block: &Block<'_>) -> Linkage {
        let mut above_nought = |key: &str, unit: UnitOfMeasure| {
            let node = block.get(key)?;
            let value = self.mistakes.amount(node, &format!("`{key}`"), &[unit])?.value;
            if value.is_zero() {
                self.mistakes.add(
                    Mistake::at(node.span, format!("`{key}` must be above nought"), "nought")
                        .help(format!("measure it, or leave `{key}` out")),
                );
                return None;
            }
            Some(value)
        };
        Linkage {
            turn: above_nought("turn", UnitOfMeasure::Degrees),
            arm: above_nought("arm", UnitOfMeasure::Millimetres),
        }
    }

    pub(super) fn accuracy(&mut self, id: DeviceId, node: &Node, linkage: &Linkage) {
        let units = [UnitOfMeasure::Percent, UnitOfMeasure::Micros, UnitOfMeasure::Degrees];
        if node.text() == Some(EXACT) {
            return;
        }
        let Some(quantity) = self.mistakes.amount(node, "`accuracy`", &units) else {
            return;
        };
        self.hangs_on_axis(node, quantity.unit);
        let share = match (quantity.unit, &linkage.turn) {
            (UnitOfMeasure::Micros, _) => self.axis.width_either(&Micros(quantity.value.clone())),
            (UnitOfMeasure::Degrees, Some(turn)) => &quantity.value / turn,
            (UnitOfMeasure::Degrees, None) => Exact::ZERO,
            _ => &quantity.value / Exact::int(100),
        };
        if self.is_off_too_far(&share) {
            let help = "look for a slip of the point or of the unit; a device that is found again no nearer than \
                        that is to be mended before anything is proved of it";
            self.off_too_far(node, "`accuracy`", &share, help);
        }
        match (quantity.unit, &linkage.turn) {
            (UnitOfMeasure::Micros, _) => self.devices[id].accuracy.micros = Micros(quantity.value),
            (UnitOfMeasure::Degrees, Some(turn)) => self.devices[id].accuracy.axis = quantity.value / turn,
            (UnitOfMeasure::Degrees, None) => self.mistakes.add(
                Mistake::at(
                    node.span,
                    "`accuracy`: degrees need to know how far the servo turns",
                    "cannot be converted",
                )
                .help("add for instance `turn: 45 deg` to the device: the angle from rest at 100 %"),
            ),
            _ => self.devices[id].accuracy.axis = quantity.value / Exact::int(100),
        }
    }

    /// The shorter side comes first and lies below rest, the longer side above; `none` where nothing binds.
    pub(super) fn stops(&mut self, id: DeviceId, node: &Node, linkage: &Linkage) {
        if node.text() == Some(NONE) {
            return;
        }
        let example = "stops: [-118 %, +118 %]` or `stops: none";
        let Some(pair) = self.mistakes.pair(node, "`stops`", example) else {
            return;
        };
        let stops = pair.map(|side| match side.text() {
            Some(NONE | NOT_MEASURED) => None,
            _ => self.position(side, "`stops`", Some(linkage)),
        });
        let signs = [0, 1].map(|side: usize| stops[side].as_ref().map(|s| s.value.signum()));
        let wrong = signs[0].is_some_and(|s| s >= 0) || signs[1].is_some_and(|s| s <= 0);
        if wrong {
            let swapped = signs[0].is_some_and(|s| s > 0) && signs[1].is_some_and(|s| s < 0);
            self.mistakes.add(
                Mistake::at(
                    node.span,
                    if swapped {
                        "the stops are the wrong way round"
                    } else {
                        "the stops do not have rest between them"
                    },
                    "shorter side first, then the longer",
                )
                .help(format!(
                    "one lies below 0 % and one above: `{example}`; write `none` where nothing binds"
                )),
            );
            return;
        }
        for (stop, side) in stops.iter().zip(pair) {
            if stop.as_ref().is_some_and(|stop| stop.off >= stop.value.abs()) {
                self.mistakes.add(
                    Mistake::at(
                        side.span,
                        "a stop lies on its side of rest, whatever its tolerance",
                        "reaches rest",
                    )
                    .help("creep up to it again: nothing may bind where the servo is at rest"),
                );
            }
        }
        self.devices[id].stops = stops;
    }
}
