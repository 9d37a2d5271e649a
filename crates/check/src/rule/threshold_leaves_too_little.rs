//! The battery threshold comes too late to finish a blow.

use super::engine::Engine;
use super::estimate::{lacking, warn};
use super::say::Draft;
use crate::finding::{Finding, Gap, Severity, StateId, Subject};
use crate::physics::units::figures;
use crate::setup::{Emptier, Path};

pub(super) const NAME: &str = "threshold-leaves-too-little";

/// Once, for a boat whose battery, pump currents and threshold the file tells.
pub(super) fn apply(engine: &Engine, findings: &mut Vec<Finding>) {
    let setup = engine.setup;
    let Some((battery, now)) = setup.fail_safe.as_ref().and_then(|unit| unit.low_battery.as_ref()) else {
        return;
    };
    let draft = || Draft::new(NAME, Severity::Warning, Subject::Battery(*battery), StateId::Piloting);
    let pack = &setup.batteries[*battery];
    let known = [
        ("cells", pack.cells.is_some()),
        ("chemistry", pack.chemistry.is_some()),
        ("capacity", pack.capacity.is_some()),
        ("resistance", pack.resistance.is_some()),
        ("draws", pack.draws.is_some()),
    ];
    let mut paths: Vec<(Path, bool)> =
        known.iter().map(|(key, given)| (Path::of(["batteries", &pack.name, key]), *given)).collect();
    for (work, emptier) in &setup.tank.emptied_by {
        if let Emptier::Pump(pump) = emptier {
            paths.push((setup.emptier_path(*work).then("current"), pump.current.is_some()));
        }
    }
    // Of a boat of which the file tells nothing that empties her tank there is no blow to finish.
    if setup.tank.emptied_by.is_empty() {
        return;
    }
    let missing = lacking(paths);
    let holds = format!("the unit acts while {} still has enough for a blow", pack.name);
    let Some(lowest) = engine.lowest_threshold() else {
        // A pack of a kind that no figures are published of is not reckoned with at all.
        findings.extend((!missing.is_empty()).then(|| draft().close_unsaid(missing, &holds)));
        return;
    };
    let needed = match lowest.keeps {
        Some(keeps) if keeps <= now.0.to_f64() => {
            findings.extend((!missing.is_empty()).then(|| draft().close_unsaid(missing, &holds)));
            return;
        }
        Some(keeps) => format!("at {} V or above there would be", figures(keeps, 2)),
        None => "no threshold leaves enough: the battery is too small or sags too far".to_owned(),
    };
    let name = pack.name.clone();
    let draft = draft()
        .at(Path::of(["fail_safe", "low_battery", "below"]), needed.clone())
        .and_at(Path::of(["batteries", &name]), "by what this holds and how it sags")
        .gap("at", Gap::Volts(now.0.clone()))
        .help("raise the threshold, or take a larger battery or thicker leads");
    let message = format!(
        "{name}: at {} V there is estimated to be too little left to finish a blow; {needed}",
        now.0.to_decimal(2)
    );
    let taken = if setup.batteries[*battery].draws.is_some() { "pumps and all else" } else { "pumps only" };
    let assumed = format!("80 % of the printed capacity, a quarter more charge than the blow takes, {taken}");
    findings.push(warn(draft, false, &assumed, &message));
}
