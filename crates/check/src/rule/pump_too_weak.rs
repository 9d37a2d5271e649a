//! A pump that moves nothing against the pressure where she may be, or hardly anything.

use super::engine::Engine;
use super::estimate::{coldest_at_limit, metres, metres_below, warn};
use super::say::Draft;
use crate::finding::{Finding, Severity, StateId, Subject};
use crate::physics::pressure;
use crate::physics::units::{Metres, figures_below};
use crate::rehearsal::gives_up_at;
use crate::setup::{Emptier, Path, Pump, WorkRef};

pub(super) const NAME: &str = "pump-too-weak";

/// The share of its pressure that a pump has to have left over (common practice, no source): the less it is,
/// the longer the last of it takes, and at nought it never comes.
const SPARE: f64 = 0.1;

/// Once for each pump that takes its air from the hull. A blower with a snorkel is meant for the surface.
pub(super) fn apply(engine: &Engine, findings: &mut Vec<Finding>) {
    let setup = engine.setup;
    for (work, weak) in too_weak(engine) {
        let name = setup.work_name(work);
        let place = setup.emptier_path(work).then("flow");
        let ends = metres_below(weak.ends.0);
        let label = format!("by this, its tolerance and a low battery it moves nothing below {ends}");
        let limit = Path::of(["boat", "depth_limit"]);
        let draft =
            Draft::new(NAME, Severity::Warning, Subject::Function(work), StateId::Piloting).at(place, label);
        let (draft, message) = if weak.ends.0 <= weak.limit.0 {
            let message = format!(
                "{name} is estimated to move no water below {ends}, but she may go down to {}",
                metres(weak.limit.0)
            );
            (draft.and_at(limit, "and she may go down to this"), message)
        } else if weak.spare >= SPARE {
            let message = format!(
                "the air in the hull is estimated not to be enough for {name} to blow half of the tank even once from {}",
                metres(weak.deepest.0)
            );
            let air = Path::of(["hull", "air"]);
            (draft.and_at(air, "pumped into the tank it is missing here").sentence("breathless"), message)
        } else {
            let left = match weak.spare {
                spare if spare <= 0.0 => "none".to_owned(),
                spare => format!("only {} %", figures_below(spare * 100.0, 1)),
            };
            let message = format!(
                "{name} is estimated to have {left} of its pressure left over where she may get to, at {}",
                metres(weak.deepest.0)
            );
            let label = "from here a lost link may take her further down, and pumping thins the hull's air";
            (draft.and_at(limit, label).sentence("near"), message)
        };
        let draft = draft.help("take a pump for more pressure, or bring the depth limit up");
        let assumed = "the tank is open to the water below; the battery is as low as it gets before anything acts on it";
        findings.push(warn(draft, false, assumed, &message));
    }
}

/// A pump too weak for where she may be.
struct Weak {
    limit: Metres,
    /// As deep as she may get to.
    deepest: Metres,
    /// From here on it moves nothing, with its tolerance at the bad end.
    ends: Metres,
    /// The share of its pressure left over.
    spare: f64,
}

fn too_weak(engine: &Engine) -> Vec<(WorkRef, Weak)> {
    let pumps = engine.setup.tank.emptied_by.iter().filter_map(|(work, emptier)| match emptier {
        Emptier::Pump(pump) if !engine.setup.through_snorkel(pump) => Some((*work, pump)),
        _ => None,
    });
    pumps.filter_map(|(work, pump)| Some((work, weak(engine, work, pump)?))).collect()
}

fn weak(engine: &Engine, work: WorkRef, pump: &Pump) -> Option<Weak> {
    let limit = coldest_at_limit(engine.setup)?;
    let gives_up = gives_up_at(engine.setup, pump)?;
    let density = limit.water.density();
    let ends = pressure::depth_of_gauge(density, gives_up).ok()?;
    // Where it alone brings her up from a lost link, the rehearsal knows how deep she is then and how thin the
    // air; where gas does it, or nothing does, another rule speaks.
    let found = engine.rehearsal().filter(|f| f.worst.comes_up() == Some(true) && !f.worst.uses_gas());
    let emptied = found.into_iter().flat_map(|f| &f.worst.emptied).find(|e| e.work == work);
    let rehearsed = emptied.and_then(|e| e.to_spare);
    let deepest = found.filter(|_| rehearsed.is_some()).and_then(|f| f.deepest).map(|d| d.depth);
    let deepest = deepest.into_iter().chain([limit.depth]).reduce(|a, b| if b > a { b } else { a })?;
    let still = 1.0 - pressure::gauge(density, deepest).ok()?.0 / gives_up.0.max(f64::MIN_POSITIVE);
    let spare = rehearsed.map_or(still, |spare| spare.min(still));
    // A hull with too little air for one blow has too little pump as well.
    let breathless = found.is_some_and(|f| f.blows == Some(0));
    (spare < SPARE || breathless).then_some(Weak { limit: limit.depth, deepest, ends, spare })
}
