//! A pump that moves nothing against the pressure at the depth limit.

use super::context::Context;
use super::estimate::{coldest_at_limit, emptier_path, metres, warn};
use super::say::Draft;
use crate::finding::{Finding, Severity, StateId, Subject};
use crate::physics::units::Metres;
use crate::setup::{Emptier, Path, Setup, WorkRef};

/// The rule's name.
pub const NAME: &str = "pump-too-weak";

/// Once for each pump that takes its air from the hull. A blower with a snorkel is meant for the surface.
pub fn apply(context: &Context, findings: &mut Vec<Finding>) {
    let setup = context.setup;
    for (work, limit, deepest) in too_weak(setup) {
        let name = setup.work_name(work);
        let draft = Draft::new(NAME, Severity::Warning, Subject::Function(work), StateId::Piloting)
            .at(
                emptier_path(setup, work).then("flow"),
                format!("by this it moves nothing below {}", metres(deepest.0)),
            )
            .and_at(Path::of(["boat", "depth_limit"]), "and she may go down to this")
            .help("take a pump for more pressure, or bring the depth limit up");
        let message = format!(
            "{name} is estimated to move no water below {}, but she may go down to {}",
            metres(deepest.0),
            metres(limit.0)
        );
        let assumed = "the tank is open to the water below; a battery run down moves less";
        findings.push(warn(draft, false, assumed, &message));
    }
}

/// Every pump too weak for the depth limit, with the limit and the depth at which it moves nothing.
pub fn too_weak(setup: &Setup) -> Vec<(WorkRef, Metres, Metres)> {
    let Some(limit) = coldest_at_limit(setup) else { return Vec::new() };
    let deepest = |(work, emptier): &(WorkRef, Emptier)| {
        let Emptier::Pump(pump) = emptier else { return None };
        let curve = pump.curve().ok()?;
        let deepest = curve.greatest_depth(limit.water.density()).ok()?;
        (!setup.through_snorkel(pump) && deepest.0 <= limit.depth.0).then_some((*work, limit.depth, deepest))
    };
    setup.tank.emptied_by.iter().filter_map(deepest).collect()
}
