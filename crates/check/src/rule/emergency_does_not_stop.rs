//! A step or a line of the owner's emergency does not stop a boat that does not dive.

use super::emergency::{Concern, demands, in_words};
use super::emergency_does_not_raise::{place, subject, wants};
use super::emergency_line::asked_for;
use super::engine::Engine;
use super::say::Draft;
use crate::finding::{Severity, StateId, Subject};
use crate::question::Question;
use crate::setup::Path;

pub(super) const NAME: &str = "emergency-does-not-stop";

/// Once for each step of a boat that does not dive and each motor that drives her, and for each way that a line
/// names and that is there to drive her on.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    if setup.dives() {
        return;
    }
    for (index, step) in setup.owner.steps() {
        let (asked, number) = (in_words(setup, &step.act), (index + 1).to_string());
        for demand in demands(engine, &step.act) {
            let Concern::Stands(motor) = demand.concern else { continue };
            let name = &setup.devices[motor].name;
            questions.push(
                Draft::new(NAME, Severity::Error, subject(setup, &step.act), demand.state)
                    .name("step", &number)
                    .name("motor", name)
                    .at(place(index), format!("after this {name} may still run, wherever all else is"))
                    .and_at(Path::of(["devices", name]), "it drives her")
                    .help("name every control that has to be let go or held for her motors to stand: `{rest: speed, until: stopped}`; left out, the program works out the steps that surely stop her")
                    .asks(
                        demand.asks,
                        format!("step {number} of the emergency, {asked}, does not surely stop her: {name} may run on"),
                        format!("step {number} of the emergency surely stops {name}"),
                    ),
            );
        }
    }
    for (index, line) in setup.owner.texts() {
        for (control, side) in asked_for(setup, line) {
            let c = &setup.controls[control];
            let way = &c.ways[side.index()];
            let drives = wants(setup, control, side, &["drives ahead"]);
            if !drives && !wants(setup, control, side, &["drives astern"]) {
                continue;
            }
            questions.push(
                Draft::new(NAME, Severity::Error, Subject::Control(control), StateId::Piloting)
                    .sentence("drives")
                    .name("way", way)
                    .at(place(index), format!("this asks for {way}"))
                    .and_at(Path::of(["controls", &c.name]), "which drives her on")
                    .help("this line stands on the card: name what stops her, best as a step: `{rest: speed, until: stopped}`")
                    .fact(
                        drives,
                        format!("the emergency asks for {way}, which drives her on"),
                        format!("what the emergency asks of {} does not drive her on", c.name),
                    ),
            );
        }
    }
}
