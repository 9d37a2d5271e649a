//! A step or a line of the owner's emergency does not bring her up, or asks for what sinks her.

use super::emergency::{Concern, Demand, demands, in_words};
use super::emergency_line::asked_for;
use super::engine::Engine;
use super::say::Draft;
use crate::finding::{Severity, StateId, Subject};
use crate::question::{Asks, Question};
use crate::setup::{ControlId, EmergencyAct, EmergencyStep, Path, Setup, Side, WorkRef};

pub(super) const NAME: &str = "emergency-does-not-raise";

/// Once for each step of a boat that dives and each thing that has to hold of it; once for each way that a line
/// names and each thing that it could sink her by.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    if !setup.dives() {
        return;
    }
    for (index, step) in setup.owner.steps() {
        let asked = demands(engine, &step.act).into_iter();
        questions.extend(asked.map(|demand| of_step(engine, (index, step), demand)));
    }
    for (index, line) in setup.owner.texts() {
        for (control, side) in asked_for(setup, line) {
            let way = (control, side);
            let sinking = sinking(engine, control, side);
            if !sinking.is_empty() {
                questions.extend(sinking.into_iter().map(|function| question(engine, index, way, function)));
            } else if fills(setup, control, side) || raises(setup, control, side) {
                let broken = fills(setup, control, side);
                questions.push(worded(engine, index, way, "fills her".to_owned()).asks(Asks::Fact(broken)));
            }
        }
    }
}

/// The place of a line in the file.
pub(super) fn place(index: usize) -> Path {
    Path::of(["owner".to_owned(), "emergency".to_owned(), index.to_string()])
}

/// What a finding about a step is about: the first control that it names, or what acts once the set is off.
pub(super) fn subject(setup: &Setup, act: &EmergencyAct) -> Subject {
    match act {
        EmergencyAct::Hand(hand) => hand.controls().next().map_or(Subject::Boat, Subject::Control),
        EmergencyAct::SwitchOff => Subject::acting(setup),
    }
}

fn of_step<'a>(engine: &Engine<'a>, (index, step): (usize, &EmergencyStep), demand: Demand) -> Question<'a> {
    let setup = engine.setup;
    let asked = in_words(setup, &step.act);
    let number = (index + 1).to_string();
    let draft =
        Draft::new(NAME, Severity::Error, subject(setup, &step.act), demand.state).name("step", &number);
    let estimated = demand.asks.without_estimates().is_some();
    let sure = |what: &str| {
        (
            "not_sure",
            format!("{what}, wherever all else is"),
            format!("step {number} of the emergency, {asked}, does not surely bring her up"),
            match estimated {
                true => format!("step {number} of the emergency brings her up, by an estimate"),
                false => format!("step {number} of the emergency surely brings her up"),
            },
        )
    };
    let sinks = |what: String| {
        (
            "sinks",
            format!("meanwhile {what}"),
            format!("step {number} of the emergency, {asked}, may sink her: {what}"),
            format!("step {number} of the emergency: never so that {what}"),
        )
    };
    let (sentence, label, broken, holds) = match demand.concern {
        Concern::Raises => sure("nothing that raises her is surely on"),
        Concern::Stands(motor) => sure(&format!("she floats, but {} may run on", setup.devices[motor].name)),
        Concern::Sinks(function) => {
            let w = setup.work(function);
            sinks(format!("{}, the {}, may {}", setup.work_name(function), w.kind.called(), w.kind.verb))
        }
        Concern::Fills(device) => sinks(format!("{} may fill her", setup.devices[device].name)),
        Concern::Dips(control, side) => {
            sinks(format!("{} presses her bow down", setup.controls[control].ways[side.index()]))
        }
    };
    draft
        .sentence(sentence)
        .at(place(index), label)
        .help(match step.act {
            EmergencyAct::Hand(_) => "name all that has to be held or let go at once: `{hold: tank.blow, rest: vent, until: up}`; left out, the program works out the steps that surely bring her up",
            EmergencyAct::SwitchOff => "take the step out, or have a preset or a stage of the unit surely raise her and shut what sinks her",
        })
        .asks(demand.asks, broken, holds)
}

/// A question whose words are known.
struct Worded {
    draft: Draft,
    told: [String; 2],
}

impl Worded {
    fn asks<'a>(self, asks: Asks) -> Question<'a> {
        let [broken, holds] = self.told;
        self.draft.asks(asks, broken, holds)
    }
}

fn worded(engine: &Engine, index: usize, (control, side): (ControlId, Side), told: String) -> Worded {
    let c = &engine.setup.controls[control];
    let way = &c.ways[side.index()];
    let draft = Draft::new(NAME, Severity::Error, Subject::Control(control), StateId::Piloting)
        .at(place(index), format!("this asks for {way}"))
        .and_at(Path::of(["controls", &c.name]), format!("which {told}"))
        .name("way", way)
        .help("this line stands on the card: name the way that surely brings her up, best as a step: `{hold: tank.blow, until: up}`");
    let holds = format!("what the emergency asks of {} does not sink her", c.name);
    Worded { draft, told: [format!("the emergency asks for {way}, which {told}"), holds] }
}

fn question<'a>(
    engine: &Engine<'a>,
    index: usize,
    way: (ControlId, Side),
    function: WorkRef,
) -> Question<'a> {
    let setup = engine.setup;
    let w = setup.work(function);
    let told = format!("may {} {}, the {}", w.kind.verb, setup.work_name(function), w.kind.called());
    // Everything that the line does not name may be anywhere.
    let over = engine.everything.clone().with_position(way.0, way.1.position());
    let place = engine.piloting(function.device);
    worded(engine, index, way, told).asks(Asks::Engages { function, place, over })
}

/// Functions that sink her, on channels that a way is there for.
fn sinking(engine: &Engine, control: ControlId, side: Side) -> Vec<WorkRef> {
    let setup = engine.setup;
    let channels = setup.channels.iter().filter(|c| c.control == Some(control));
    let wanted = channels.flat_map(|c| c.wants[side.index()].iter().map(|want| want.work));
    wanted.filter(|function| setup.work(*function).kind.sinks()).collect()
}

pub(super) fn wants(setup: &Setup, control: ControlId, side: Side, words: &[&str]) -> bool {
    setup.controls[control].wants[side.index()]
        .iter()
        .any(|effect| words.contains(&setup.effect_words(*effect)))
}

fn fills(setup: &Setup, control: ControlId, side: Side) -> bool {
    wants(setup, control, side, &["fills"])
}

/// Whether a way is there for what brings her up, so that its line is worth a proof.
fn raises(setup: &Setup, control: ControlId, side: Side) -> bool {
    let channels = setup.channels.iter().filter(|c| c.control == Some(control));
    let mut wanted = channels.flat_map(|c| &c.wants[side.index()]);
    wanted.any(|want| setup.work(want.work).kind.raises())
        || wants(setup, control, side, &["empties", "bow rises"])
}
