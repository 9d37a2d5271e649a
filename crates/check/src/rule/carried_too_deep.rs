//! A loss that finds her diving carries her far beyond her depth limit before anything raises her.

use super::engine::Engine;
use super::estimate::{assumed, flows_known, metres, metres_below, warn};
use super::say::Draft;
use crate::finding::{Finding, Severity, StateId, Subject};
use crate::physics::units::figures;
use crate::rehearsal::uses_gas;
use crate::setup::Path;

pub(super) const NAME: &str = "carried-too-deep";

/// Part of the depth limit that a loss may carry her further down: a dive is ended half way to the limit at
/// the latest (common practice, no source).
const PART: f64 = 0.5;

/// Once, for a boat of which the file tells how fast she dives.
pub(super) fn apply(engine: &Engine, findings: &mut Vec<Finding>) {
    let setup = engine.setup;
    let (Some(speed), Some(limit)) = (&setup.hull.dives_at, &setup.boat.depth_limit) else { return };
    let Some(found) = engine.rehearsal() else { return };
    if found.worst.raises_at.is_none() || !flows_known(&found.missing) {
        return;
    }
    let Some(deepest) = &found.deepest else { return };
    let (limit, speed) = (limit.0.to_f64(), speed.0.to_f64());
    let further = deepest.depth.0 - limit;
    if further <= limit * PART {
        return;
    }
    let unit = setup.fail_safe.is_some();
    let delay = if unit { Path::of(["fail_safe", "wait"]) } else { Path::of(["receiver", "after"]) };
    let mut draft = Draft::new(NAME, Severity::Warning, Subject::acting(setup), StateId::LostForGood)
        .at(
            Path::of(["hull", "dives_at"]),
            format!("at this she goes an estimated {} further", metres(further)),
        )
        .and_at(Path::of(["boat", "depth_limit"]), "and she may go no deeper than this")
        .and_at(delay, "the longer this is, the further")
        .help(format!(
            "dive more slowly, wait less, or end every dive at {} at the latest",
            if limit > further { metres_below(limit - further) } else { "the surface".to_owned() }
        ));
    if unit {
        draft = draft.help("`lidcard rehearse --solve` gives the longest wait that leaves a margin");
    }
    let message = format!(
        "a lost link while she dives at {} m/s is estimated to carry her {} further down, more than half of her depth limit of {}",
        figures(speed, 2),
        metres(further),
        metres(limit)
    );
    findings.push(warn(draft, uses_gas(setup), &assumed(engine), &message));
}
