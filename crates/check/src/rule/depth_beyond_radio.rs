//! She may go deeper than the radio is estimated to reach.

use super::engine::Engine;
use super::radio_estimate::{assumed, depth_at_most, told};
use super::say::Draft;
use crate::finding::{Finding, Missing, Severity, StateId, Subject};
use crate::radio::water;
use crate::setup::{BoatKind, Path, Water};

pub(super) const NAME: &str = "depth-beyond-radio";

/// Once for a submarine on a band that gets through at all, whose file states the margin of her link, or how well her
/// water conducts: who measured one of them wants to know how deep the radio reaches. An
/// estimate warns and never proves: where it leaves room nothing is said.
pub(super) fn apply(engine: &Engine, findings: &mut Vec<Finding>) {
    let setup = engine.setup;
    let (boat, set) = (&setup.boat, &setup.transmitter);
    let (Some(limit), Some(hertz)) = (&boat.depth_limit, set.hertz) else { return };
    if set.margin.is_none() && boat.conductivity.is_none() {
        return;
    }
    let Some(estimate) = depth_at_most(setup) else { return };
    let shut_out = water::is_shut_out(hertz, boat.water == Water::Sea);
    // What salt the sea has is known; a pond that nobody measured may be saltier than the average one that is taken.
    let unmeasured = boat.conductivity.is_none() && boat.water == Water::Fresh;
    let wanting: Vec<Missing> =
        set.margin.is_none().then(no_margin).into_iter().chain(unmeasured.then(no_conductivity)).collect();
    let reached = limit.0.to_f64() <= estimate.ends.low.0;
    if boat.kind != BoatKind::Submarine || boat.aerial_floats || shut_out || (reached && wanting.is_empty()) {
        return;
    }
    let whatever = limit.0.to_f64() > estimate.ends.high.0;
    // An average pond is enough to warn by, and not enough to call it well; an average link is enough for neither.
    let warns = whatever || (!reached && set.margin.is_some());
    let limit = limit.0.to_decimal(2);
    let draft = || Draft::new(NAME, Severity::Warning, Subject::Transmitter, StateId::Piloting);
    if !warns {
        findings.push(draft().close_unsaid(wanting, "the radio reaches as deep as she goes"));
        return;
    }
    let message = if whatever {
        format!("the radio is estimated to end at {}, and she may go far deeper: {limit} m", told(&estimate))
    } else {
        format!("the radio is estimated to end at {}, and she may go down to {limit} m", told(&estimate))
    };
    findings.push(
        draft()
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

/// A margin that nobody measured.
fn no_margin() -> Missing {
    Missing {
        path: Path::of(["transmitter", "margin"]),
        bench: "aerial just above the water, as far off as she is sailed: put attenuators into the aerial's line, or shorten \
                it by known steps, until the link breaks; what could be taken off is the margin"
            .to_owned(),
        holds: None,
        said: false,
        decides: None,
    }
}

/// Water that nobody measured.
fn no_conductivity() -> Missing {
    Missing {
        path: Path::of(["boat", "conductivity"]),
        bench: "dip a conductivity meter into the water she sails in, summer and winter".to_owned(),
        holds: None,
        said: false,
        decides: None,
    }
}
