//! With every tolerance at its bad end the fail-safe does not bring her up.

use super::engine::Engine;
use super::estimate::{assumed, flows_known, lacks, metres, warn};
use super::say::Draft;
use crate::finding::{Finding, Severity, StateId, Subject};
use crate::physics::units::figures;
use crate::rehearsal::{Assumption, NUDGE, Rehearsal, uses_gas};
use crate::setup::Path;

pub(super) const NAME: &str = "stays-down-on-loss";

/// Once, for a boat of which the file tells enough to rehearse a lost link.
pub(super) fn apply(engine: &Engine, findings: &mut Vec<Finding>) {
    let setup = engine.setup;
    findings.extend(unknown(engine));
    let Some(found) = engine.rehearsal() else { return };
    let worst = &found.worst;
    // Where nothing raises her, another rule says so; where a flow is not given, nobody knows. That of what
    // raises her something does not work at that depth is told besides: it may be accepted for what else does.
    if worst.raises_at.is_none() || !flows_known(&found.missing) {
        return;
    }
    if worst.comes_up() == Some(true) {
        findings.extend(hangs(engine, found));
        return;
    }
    if worst.comes_up() != Some(false) {
        return;
    }
    let out = worst.track.last().map_or(0.0, |end| end.emptied.litres());
    let whole = setup.tank.volume.as_ref().map_or(0.0, |volume| volume.value.0.to_f64());
    let why = if found.assumed.contains(&Assumption::Vented) && out <= 0.0 {
        "a vent is open, by which it goes out again"
    } else if worst.emptied.iter().any(|e| e.stalled) {
        "something moves no water against that depth"
    } else if worst.emptied.iter().any(|e| e.spent) {
        "the bottle is empty by then"
    } else if found.assumed.contains(&Assumption::Dropped) && out <= 0.0 {
        "the weight that is let go is too light"
    } else {
        "then the blow is over"
    };
    let nominal = match found.nominal.comes_up() {
        Some(false) => ", and not with everything as written either",
        _ => " with every tolerance at its bad end",
    };
    let from = setup.boat.depth_limit.as_ref().map_or_else(String::new, |d| metres(d.0.to_f64()));
    let stages = setup.fail_safe.as_ref().map_or(&[][..], |unit| &unit.stages);
    let raising = stages.iter().position(|s| s.works.iter().any(|w| setup.work(*w).kind.raises()));
    let mut draft = Draft::new(NAME, Severity::Warning, Subject::acting(setup), StateId::LostForGood);
    if setup.has_tank() {
        let label = format!("of this an estimated {} mL is out, {why}", figures(out * 1000.0, 2));
        draft = draft.at(Path::of(["tank", "volume"]), label);
    } else {
        draft = draft.at(Path::of(["hull", "heavy"]), format!("she is as heavy as this, and {why}"));
    }
    if let Some(stage) = raising {
        draft = draft.and_at(
            Path::of(["fail_safe", "stages", &stage.to_string(), "lasts"]),
            "this is what raises her",
        );
    }
    let emptied = if setup.has_tank() {
        format!("{} of {} mL is out of the tank, and ", figures(out * 1000.0, 2), figures(whole * 1000.0, 2))
    } else {
        String::new()
    };
    let message =
        format!("after a lost link she is estimated not to come up from {from}{nominal}: {emptied}{why}");
    let shown = "`lidcard rehearse` shows it moment by moment";
    let help = match setup.has_tank() {
        true => format!("{shown}, `rehearse --solve` the shortest blow that is enough"),
        false => shown.to_owned(),
    };
    findings.push(warn(draft.help(help), uses_gas(setup), &assumed(engine), &message));
}

/// What a rehearsal of her lost link lacks, of a boat that dives and of which the file tells something of that kind.
fn unknown(engine: &Engine) -> Option<Finding> {
    let paths = engine.unjudged();
    if paths.is_empty() || !engine.setup.dives() {
        return None;
    }
    let missing = paths.into_iter().map(lacks).collect();
    let draft = Draft::new(NAME, Severity::Warning, Subject::Boat, StateId::LostForGood);
    Some(draft.close_unsaid(missing, "she comes up after a lost link, and how deep she goes until then"))
}

/// She comes up, but by so little that a twentieth more of a figure turns it into never.
fn hangs(engine: &Engine, found: &Rehearsal) -> Option<Finding> {
    let setup = engine.setup;
    // With delays that nobody gave it is another question whether she comes up at all.
    let first = found.hangs_on.first().filter(|_| found.times_known())?;
    let on: Vec<&str> = found.hangs_on.iter().map(|figure| figure.words()).collect();
    let by = figures(NUDGE * 100.0, 1);
    let draft = Draft::new(NAME, Severity::Warning, Subject::acting(setup), StateId::LostForGood)
        .at(Path::of([if setup.has_tank() { "tank" } else { "hull" }]), format!("with {} worse by {by} % she stays down", first.words()))
        .sentence("hangs")
        .help("measure what it hangs on once more, and leave more room: a stronger pump, a longer blow, a lesser depth")
        .help("`lidcard rehearse` shows it moment by moment");
    let up = found.worst.surfaced.map_or(String::new(), |up| format!(" after {} s", figures(up.time.0, 2)));
    let message = format!(
        "after a lost link she is estimated to come up in the worst case{up}, but not if one of these is worse by {by} % more: {}",
        on.join(", ")
    );
    Some(warn(draft, uses_gas(setup), &assumed(engine), &message))
}
