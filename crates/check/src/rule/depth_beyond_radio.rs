//! She may go deeper than the radio is estimated to reach.

use super::engine::Engine;
use super::radio_estimate::{assumed, depth, told};
use super::say::Draft;
use crate::finding::{Finding, Severity, StateId, Subject};
use crate::radio::water;
use crate::setup::{BoatKind, Path, Water};

pub(super) const NAME: &str = "depth-beyond-radio";

/// Once for a submarine whose file states the margin of her link, on a band that gets through at all. An
/// estimate warns and never proves: where it leaves room nothing is said.
pub(super) fn apply(engine: &Engine, findings: &mut Vec<Finding>) {
    let setup = engine.setup;
    let (boat, set) = (&setup.boat, &setup.transmitter);
    let (Some(limit), Some(hertz)) = (&boat.depth_limit, set.hertz) else { return };
    let Some(estimate) = depth(setup) else { return };
    let shut_out = water::is_shut_out(hertz, boat.water == Water::Sea);
    let deep_enough = limit.0.to_f64() <= estimate.ends.low.0;
    if boat.kind != BoatKind::Submarine || boat.aerial_floats || shut_out || deep_enough {
        return;
    }
    let limit = limit.0.to_decimal(2);
    let message = if boat.depth_limit.as_ref().is_some_and(|l| l.0.to_f64() > estimate.ends.high.0) {
        format!("the radio is estimated to end at {}, and she may go far deeper: {limit} m", told(&estimate))
    } else {
        format!("the radio is estimated to end at {}, and she may go down to {limit} m", told(&estimate))
    };
    findings.push(
        Draft::new(NAME, Severity::Warning, Subject::Transmitter, StateId::Piloting)
            .at(Path::of(["boat", "depth_limit"]), "the link may be gone before she is as deep as this")
            .and_at(Path::of(["transmitter", "margin"]), "by this margin")
            .help(format!(
                "{}; aerials, boats, weed and banks take more: let her down on a tether in shallow water and see where \
                 she stops answering",
                assumed(setup)
            ))
            .help(
                "bring the depth limit up, or keep her aerial above the water and write `aerial: floats` under boat; \
                 and see that her fail-safe brings her up from there",
            )
            .close_plain(true, &message, ""),
    );
}
