//! A stage is over before the servo has got there.

use super::engine::Engine;
use super::say::{self, Draft};
use crate::finding::{Gap, Severity, StateId, Subject};
use crate::question::Question;
use crate::setup::Path;
use crate::setup::quantity::Seconds;

pub(super) const NAME: &str = "stage-too-short";

/// Once for each stage that ends and each of its works on a servo of which the file says how slow it is.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    let Some(unit) = &setup.fail_safe else { return };
    for (index, stage) in unit.stages.iter().enumerate() {
        let Some(lasts) = &stage.lasts else { continue };
        for &work in &stage.works {
            let (w, device) = (setup.work(work), &setup.devices[work.device]);
            let Some((per_axis, key)) = device.facts.per_axis() else { continue };
            // It may stand at the far end of the other side when the link is lost.
            let other = usize::from(w.sign < 0);
            let sent = setup.furthest()[other].abs();
            let stop = device.stops[other].as_ref().map(|stop| stop.value.abs() + &stop.off);
            let from = stop.map_or_else(|| sent.clone(), |stop| stop.min(sent.clone()));
            let needed = w.full.as_ref().unwrap_or(&w.from).farthest(w.sign).abs();
            let seconds = per_axis * (from + needed);
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
                .and_at(
                    Path::of(["devices", &device.name, key]),
                    format!("{name} may be reached only after {told} s"),
                )
                .and_at(say::work_path(setup, work), "this is what the stage is there for")
                .place("work", Subject::Function(work))
                .gap("needed", Gap::Seconds(seconds.clone()))
                .gap("lasts", Gap::Seconds(lasts.0.clone()))
                .help("let the stage last for the way of the servo and then as long as the work is to act")
                .fact(
                    lasts.0 <= seconds,
                    format!("stage {} may be over before {} has got to {name}", stage.name, device.name),
                    format!("{} gets to {name} within stage {}", device.name, stage.name),
                ),
            );
        }
    }
}
