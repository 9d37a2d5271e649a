//! She comes up so fast that she leaves the water.

use super::engine::Engine;
use super::estimate::{assumed, warn};
use super::say::Draft;
use crate::finding::{Finding, Severity, StateId, Subject};
use crate::physics::units::figures_above;
use crate::rehearsal::uses_gas;
use crate::setup::Path;

pub(super) const NAME: &str = "leaps-at-surface";

/// Once, for a boat of which the file tells enough to rehearse a lost link.
pub(super) fn apply(engine: &Engine, findings: &mut Vec<Finding>) {
    let Some(found) = engine.rehearsal() else { return };
    let (Some(leap), Some(fastest)) = (found.leap, found.fastest) else { return };
    if leap.high.0 <= 0.0 {
        return;
    }
    let speed = figures_above(fastest.0, 2);
    let draft = Draft::new(NAME, Severity::Warning, Subject::acting(engine.setup), StateId::LostForGood)
        .at(Path::of(["tank", "volume"]), format!("with this out she comes up at an estimated {speed} m/s"))
        .help("keep people, other boats and your own face away from above her whenever she may blow")
        .help("a smaller hole in the gas line, a shorter blow or less tank brings her up more gently");
    let message = format!(
        "at her fastest she is estimated to meet the surface at {speed} m/s and to leave the water by up to {} cm",
        figures_above(leap.high.0 * 100.0, 1)
    );
    findings.push(warn(draft, uses_gas(engine.setup), &assumed(engine), &message));
}
