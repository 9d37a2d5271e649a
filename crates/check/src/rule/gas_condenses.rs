//! At the depth limit the gas turns liquid again instead of blowing the tank.

use super::engine::Engine;
use super::estimate::{
    AtLimit, bottles, coldest_at_limit, lacking, least_ready, metres, metres_below, warn, where_she_dives,
};
use super::say::Draft;
use crate::finding::{Finding, Severity, StateId, Subject};
use crate::physics::gas::fluid::Liquid;
use crate::physics::gas::liquefied::condensing_depth;
use crate::physics::units::Metres;
use crate::setup::{Gas, GasKind, Path, Setup, WorkRef};

pub(super) const NAME: &str = "gas-condenses";

/// Once for each bottle of liquefied gas, where the file tells water and depth limit.
pub(super) fn apply(engine: &Engine, findings: &mut Vec<Finding>) {
    let setup = engine.setup;
    for (work, gas, _) in bottles(setup).filter(|_| setup.dives()) {
        let GasKind::Liquefied(_) = &gas.kind else { continue };
        let missing = lacking(where_she_dives(setup));
        if !missing.is_empty() {
            let draft = Draft::new(NAME, Severity::Warning, Subject::Function(work), StateId::Piloting);
            findings.push(draft.close_unsaid(missing, "the gas stays gas at the depth limit"));
        }
    }
    for Condensing { work, path, liquid, limit, depth } in condensing(setup) {
        let (name, kind, temperature) = (setup.work_name(work), liquid.name(), limit.water.temperature());
        let ends = match depth {
            Some(depth) => {
                format!("below an estimated {} it condenses instead of blowing", metres_below(depth.0))
            }
            None => "it does not boil even at the surface".to_owned(),
        };
        let draft = Draft::new(NAME, Severity::Warning, Subject::Function(work), StateId::Piloting)
            .at(path.then("gas"), format!("{kind} in water of {temperature}: {ends}"))
            .and_at(Path::of(["boat", "depth_limit"]), "and she may go down to this")
            .and_at(Path::of(["hull", "water"]), "in water as cold as this")
            .help("take a gas that boils more readily, or sail her in warmer water or less deep");
        let message = format!(
            "{name}: in water of {temperature} {kind} is of no use at {}: {ends}",
            metres(limit.depth.0)
        );
        let assumed = "the gas is as cold as the water, and of a mixture the part that boils last is left";
        findings.push(warn(draft, true, assumed, &message));
    }
}

/// A bottle whose gas is liquid at the depth limit.
pub(super) struct Condensing {
    work: WorkRef,
    path: Path,
    liquid: Liquid,
    limit: AtLimit,
    /// Below which it condenses; `None`: it does not boil even at the surface.
    depth: Option<Metres>,
}

/// Every bottle whose gas condenses above the depth limit in the coldest water.
pub(super) fn condensing(setup: &Setup) -> Vec<Condensing> {
    let of = |(work, gas, path): (WorkRef, &Gas, Path)| {
        let limit = coldest_at_limit(setup)?;
        let liquid = least_ready(gas, limit.water.temperature())?;
        let depth = condensing_depth(liquid, limit.water.temperature(), limit.water.density()).ok()?;
        let blows = depth.is_some_and(|depth| depth.0 >= limit.depth.0);
        (!blows).then_some(Condensing { work, path, liquid, limit, depth })
    };
    bottles(setup).filter_map(of).collect()
}
