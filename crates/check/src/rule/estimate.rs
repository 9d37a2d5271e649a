//! What the rules about water, gas and time share. They warn of an estimate and never prove: where it
//! leaves room, or the file tells too little, they say nothing.

use super::engine::Engine;
use super::say::Draft;
use crate::finding::{Finding, Missing};
use crate::physics::gas::fluid::Liquid;
use crate::physics::pressure;
use crate::physics::units::{Celsius, Metres, Pascals, figures, figures_below};
use crate::physics::water::Water;
use crate::rehearsal::{CAUTION, Missing as Wanting, Wanted, water_at};
use crate::setup::{Emptier, Gas, GasKind, Path, Setup, WorkRef};

/// The coldest water that she is sailed in, and its absolute pressure at the depth limit; `None` where the
/// file tells too little.
pub(super) fn coldest_at_limit(setup: &Setup) -> Option<AtLimit> {
    let temperature = Celsius(setup.hull.water.as_ref()?[0].0.to_f64());
    let depth = Metres(setup.boat.depth_limit.as_ref()?.0.to_f64());
    let water = water_at(setup, temperature).ok()?;
    let absolute = pressure::absolute(water.density(), depth).ok()?;
    Some(AtLimit { water, depth, absolute })
}

/// The keys that say how deep she goes and in how cold water, and whether the file has them.
pub(super) fn where_she_dives(setup: &Setup) -> [(Path, bool); 2] {
    let (limit, water) = (Path::of(["boat", "depth_limit"]), Path::of(["hull", "water"]));
    [(limit, setup.boat.depth_limit.is_some()), (water, setup.hull.water.is_some())]
}

/// The water at the depth limit.
pub(super) struct AtLimit {
    /// The coldest.
    pub water: Water,
    /// The limit.
    pub depth: Metres,
    /// The pressure there.
    pub absolute: Pascals,
}

/// What empties the tank by gas, with its place in the file.
pub(super) fn bottles(setup: &Setup) -> impl Iterator<Item = (WorkRef, &Gas, Path)> {
    setup.tank.emptied_by.iter().filter_map(|(work, emptier)| match emptier {
        Emptier::Gas(gas) => Some((*work, gas, setup.emptier_path(*work))),
        Emptier::Pump(_) => None,
    })
}

/// The part of a liquefied gas that boils least readily: the last that is left of a mixture.
pub(super) fn least_ready(gas: &Gas, temperature: Celsius) -> Option<Liquid> {
    let GasKind::Liquefied(parts) = &gas.kind else { return None };
    let pressure = |liquid: &Liquid| liquid.vapour_pressure(temperature).map_or(f64::INFINITY, |p| p.0);
    let there = parts.iter().filter(|(_, share)| share.signum() > 0).map(|(kind, _)| kind.liquid());
    there.min_by(|a, b| pressure(a).total_cmp(&pressure(b)))
}

/// What an estimate lacks.
pub(super) fn lacks(path: Path) -> Missing {
    let bench = format!(
        "weigh and measure it, or read it off the pack or the bottle: `lidcard explain {}` says how it is written",
        path.0.last().map_or("", String::as_str)
    );
    Missing { path, bench, holds: None, said: false, decides: None }
}

/// Those of some keys that the file does not give.
pub(super) fn lacking(keys: impl IntoIterator<Item = (Path, bool)>) -> Vec<Missing> {
    keys.into_iter().filter(|(_, given)| !given).map(|(path, _)| lacks(path)).collect()
}

/// Whether what moves the water is known as far as a rehearsal needs it.
pub(super) fn flows_known(missing: &[Wanting]) -> bool {
    missing.iter().all(|m| m.wanted != Wanted::Flow)
}

/// A depth to two figures.
pub(super) fn metres(depth: f64) -> String {
    format!("{} m", figures(depth, 2))
}

/// A depth that is not to be passed, to two figures and never more than it is.
pub(super) fn metres_below(depth: f64) -> String {
    format!("{} m", figures_below(depth, 2))
}

/// Closes a warning of an estimate: what was assumed, what decides, and where gas has a part its cautions.
pub(super) fn warn(draft: Draft, gas: bool, assumed: &str, message: &str) -> Finding {
    let draft = draft.help(format!(
        "this is an estimate{}{assumed}; a test on a tether in shallow water decides",
        if assumed.is_empty() { "" } else { ": " }
    ));
    let draft = if gas { draft.help(CAUTION) } else { draft };
    draft.close_plain(true, message, "")
}

/// What a rehearsal assumed, in one line.
pub(super) fn assumed(engine: &Engine) -> String {
    let all =
        engine.rehearsal().map(|found| found.assumed.iter().map(ToString::to_string).collect::<Vec<_>>());
    all.unwrap_or_default().join("; ")
}
