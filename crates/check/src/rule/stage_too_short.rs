//! A stage is over before the servo has got there, or before the pump that it switches on moves any water.

use super::engine::Engine;
use super::say::{self, Draft};
use crate::finding::{Gap, Severity, StateId, Subject};
use crate::question::Question;
use crate::setup::quantity::Seconds;
use crate::setup::{Emptier, Exact, Path, Setup, WorkRef};

pub(super) const NAME: &str = "stage-too-short";

/// Once for each stage that ends and each of its works on a servo of which the file says how slow it is, or that starts a
/// pump of which it does.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    let Some(unit) = &setup.fail_safe else { return };
    for (index, stage) in unit.stages.iter().enumerate() {
        let Some(lasts) = &stage.lasts else { continue };
        for &work in &stage.works {
            let (w, device) = (setup.work(work), &setup.devices[work.device]);
            let starts = starts_in(setup, work);
            let way = device.facts.per_axis();
            if way.is_none() && starts.is_none() {
                continue;
            }
            // It may stand at the far end of the other side when the link is lost.
            let other = usize::from(w.sign < 0);
            let sent = setup.furthest()[other].abs();
            let stop = device.stops[other].as_ref().map(|stop| stop.value.abs() + &stop.off);
            let from = stop.map_or_else(|| sent.clone(), |stop| stop.min(sent.clone()));
            let needed = w.full.as_ref().unwrap_or(&w.from).farthest(w.sign).abs();
            let way_takes = way.as_ref().map_or(Exact::ZERO, |(per_axis, _)| per_axis * (from + needed));
            let seconds = starts.map_or_else(|| way_takes.clone(), |starts| &way_takes + &starts.0);
            // Which of the two is slow is to be seen.
            let (slow, gets) = match (&way, starts) {
                (_, Some(starts)) if starts.0 > way_takes => (
                    Path::of(["tank", "emptied_by", &setup.work_name(work), "starts_in"]),
                    format!("{} moves water", setup.work_name(work)),
                ),
                (Some((_, key)), _) => (
                    Path::of(["devices", &device.name, key]),
                    format!("{} has got to {}", device.name, setup.work_name(work)),
                ),
                (None, _) => continue,
            };
            let (name, told) = (setup.work_name(work), seconds.to_decimal(Seconds::PLACES));
            questions.push(
                Draft::new(
                    NAME,
                    Severity::Error,
                    Subject::InStageOnDevice(index, work),
                    StateId::Stage(index),
                )
                .at(
                    Path::of(["fail_safe", "stages", &index.to_string(), "lasts"]),
                    format!("over after {} s", lasts.0.to_decimal(Seconds::PLACES)),
                )
                .and_at(slow, format!("{name} may act only after {told} s"))
                .and_at(say::work_path(setup, work), "this is what the stage is there for")
                .place("work", Subject::Function(work))
                .gap("needed", Gap::Seconds(seconds.clone()))
                .gap("lasts", Gap::Seconds(lasts.0.clone()))
                .help("let the stage last for the way of the servo and the start of the pump, and then as long as the work is to act")
                .fact(
                    lasts.0 <= seconds,
                    format!("stage {} may be over before {gets}", stage.name),
                    format!("{name} acts within stage {}", stage.name),
                ),
            );
        }
    }
}

/// How long the pump that a function switches on takes until it moves water.
fn starts_in(setup: &Setup, work: WorkRef) -> Option<&Seconds> {
    let found = setup.tank.emptied_by.iter().find(|(by, _)| *by == work);
    match found.map(|(_, emptier)| emptier) {
        Some(Emptier::Pump(pump)) => pump.starts_in.as_ref().filter(|starts| starts.0.signum() > 0),
        _ => None,
    }
}
