//! A stage of the unit does not surely do what it is there for.

use super::engine::Engine;
use super::say::{self, Draft};
use crate::finding::{Severity, StateId, Subject};
use crate::question::{Asks, Question};
use crate::setup::Path;

pub(super) const NAME: &str = "stage-misses";

/// Once for each work that a stage names.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    let Some(unit) = &setup.fail_safe else { return };
    for state in engine.states() {
        let StateId::Stage(index) = state.id else { continue };
        let stage = &unit.stages[index];
        for &function in &stage.works {
            let w = setup.work(function);
            let name = setup.work_name(function);
            questions.push(
                Draft::new(NAME, Severity::Error, Subject::InStage(index, function), state.id)
                    .place("work", Subject::Function(function))
                    .at(
                        Path::of(["fail_safe", "stages", &index.to_string(), "set"]),
                        format!("does not surely engage {name}"),
                    )
                    .and_at(
                        say::threshold_path(setup, function),
                        format!("surely engaged only from {}", say::signed_percent(&w.from.farthest(w.sign))),
                    )
                    .help("set the stage farther from rest, but short of the stop")
                    .asks(
                        Asks::Misses {
                            function,
                            place: state.places[function.device].clone(),
                            over: engine.unattended(state),
                            fully: false,
                        },
                        format!("stage {} may fail to engage {name}, the {}", stage.name, w.kind.called()),
                        format!("stage {} surely engages {name}", stage.name),
                    ),
            );
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::setup::lower;
    use crate::source::Source;

    /// A stage that leaves a relay's channel as it was while waiting: without pulses.
    #[test]
    fn a_stage_engages_nothing_that_stands_still_for_want_of_pulses() {
        for (set, broken) in [("1: -59 %", true), ("1: -59 %, 2: +30 %", false)] {
            let text = format!(
                "lidcard: 1
boat: {{name: Test, kind: surface}}
transmitter: {{channels: 4, pulse: {{rest: 1500 us, full: [1100 us, 1900 us], accuracy: 2 us}}}}
controls:
  helm: {{at: right stick, ways: {{left: port, right: starboard}}}}
  lamp: {{at: left stick, ways: {{left: dark, right: bright}}}}
channels:
  1: {{control: helm, longer: starboard}}
  2: {{control: lamp, longer: bright}}
receiver: {{on_loss: no pulses, after: 1 s}}
devices:
  rudder: {{kind: servo, channel: 1, accuracy: 1 %, stops: none}}
  box: {{kind: relay, channel: 2, accuracy: exact, without_pulses: off, works: {{light: {{kind: light, from: +11 % ± 1 %, releases: +6 % ± 1 %}}}}}}
fail_safe: {{channels: [1, 2], notices: no pulses, tried: twice, accuracy: 8 us, wait: 3 s, stages: [{{name: last, set: {{{set}}}, works: [light]}}]}}
"
            );
            let setup = lower::lower(&Source::from_bytes("x", text.into_bytes()).unwrap()).unwrap();
            let findings = crate::rule::check(&setup);
            let misses = findings.iter().find(|f| f.rule == super::NAME).unwrap();
            assert_eq!(misses.is_open(), broken, "{set}: {}", misses.message);
        }
    }
}
