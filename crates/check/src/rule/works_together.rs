//! Two works that exclude each other may be engaged at once.

use super::after_loss;
use super::engine::Engine;
use super::say::{self, Draft};
use super::states::PulsePlace;
use crate::finding::{Severity, StateId, Subject};
use crate::proof::Domain;
use crate::question::{Answered, Asks, Question, Seen};
use crate::setup::{DeviceId, Function, Input, Path, Side, WorkRef};

pub(super) const NAME: &str = "works-together";

/// Once for each pair and each state that can differ from another.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    for (a, b) in pairs(engine) {
        for (state, places, over) in states(engine, [a.device, b.device]) {
            questions.push(question(engine, [a, b], state, places, over));
        }
    }
    let pumps = |sinks: bool, all: Vec<(DeviceId, i32)>| {
        let motors = all.into_iter().filter(|(device, _)| setup.devices[*device].kind.rests_in_band);
        motors.map(move |(device, sign)| (device, sign, sinks))
    };
    let filling = pumps(true, after_loss::filling(setup));
    for pump in filling.chain(pumps(false, after_loss::emptying(setup))) {
        for (function, w) in engine.works() {
            let against = if pump.2 { w.kind.raises() && !w.kind.drops } else { w.kind.sinks() };
            if against {
                questions.extend(beside_pump(engine, pump, function));
            }
        }
    }
}

/// Piloting, and each state after a loss that can put two devices otherwise.
fn states(engine: &Engine, devices: [DeviceId; 2]) -> Vec<(StateId, [PulsePlace; 2], Domain)> {
    let piloting = devices.map(|device| engine.piloting(device));
    let mut all = vec![(StateId::Piloting, piloting, engine.everything.clone())];
    for state in engine.states() {
        let places = devices.map(|device| state.places[device].clone());
        // What neither a figure of the file nor noise decides is as the pilot could have left it.
        let unsteered = |device: DeviceId, place: &PulsePlace| match place {
            PulsePlace::Fixed { .. } => true,
            PulsePlace::Within(..) => matches!(engine.setup.devices[device].input, Input::Channel(_)),
            PulsePlace::Pilot | PulsePlace::Still => false,
        };
        let differs = devices.into_iter().zip(&places).any(|(device, place)| unsteered(device, place));
        if state.id != StateId::PowerUp && differs && !all.iter().any(|(_, p, _)| *p == places) {
            all.push((state.id, places, engine.unattended(state)));
        }
    }
    all
}

/// A pump behind a controller against a work that does the opposite, in the pilot's hands and wherever a lost link puts
/// them. What one control moves is asked for each of its ways; what several move may be anywhere at once.
fn beside_pump<'a>(
    engine: &Engine<'a>,
    (device, sign, fills): (DeviceId, i32, bool),
    function: WorkRef,
) -> Vec<Question<'a>> {
    let setup = engine.setup;
    let (pump, work) = (setup.devices[device].input, setup.devices[function.device].input);
    let (Input::Channel(pump), Input::Channel(work)) = (pump, work) else { return Vec::new() };
    let both = |[pump, work]: &[PulsePlace; 2], over: Domain| {
        Asks::All(vec![
            after_loss::fills_at(engine, device, sign, pump.clone(), over.clone()),
            Asks::Engages { function, place: work.clone(), over },
        ])
    };
    let own = setup.channels[pump].control.filter(|own| setup.channels[work].control == Some(*own));
    let mut asked = Vec::new();
    for (state, places, over) in states(engine, [device, function.device]) {
        match own {
            // Of one control the hand can only choose one way at a time.
            Some(own) if state == StateId::Piloting => {
                asked
                    .extend(Side::BOTH.map(|side| (state, both(&places, over.clone().with_side(own, side)))));
            }
            _ => asked.push((state, both(&places, over))),
        }
    }
    let names = [setup.work_name(function), setup.devices[device].name.clone()];
    let does = if fills { "fill her" } else { "empty her" };
    let of = |(state, asks): (StateId, Asks)| {
        Draft::new(NAME, Severity::Error, Subject::Function(function), state)
            .at(say::threshold_path(setup, function), format!("{} may be engaged", names[0]))
            .and_at(Path::of(["devices", &names[1]]), format!("while {} may {does}", names[1]))
            .place("other", Subject::Device(device))
            .help("put both on one control, one on each way, so that the hand can only choose")
            .asks(
                asks,
                format!("{} may be engaged while {} may {does}", names[0], names[1]),
                format!("{} and {} never work against each other", names[0], names[1]),
            )
    };
    asked.into_iter().map(of).collect()
}

fn question<'a>(
    engine: &Engine<'a>,
    functions: [WorkRef; 2],
    state: StateId,
    places: [PulsePlace; 2],
    over: Domain,
) -> Question<'a> {
    let [first, second] = functions.map(|function| engine.setup.work_name(function));
    Draft::new(NAME, Severity::Error, Subject::Pair(functions[0], functions[1]), state)
        .place("other", Subject::Function(functions[1]))
        .help("move the two apart on the axis, or put them on controls that cannot be held together")
        .asks(
            Asks::Together { functions, places, over },
            format!("{first} and {second} may be engaged at the same time"),
            format!("{first} and {second} are never engaged together"),
        )
        .telling(move |engine, answered, draft| {
            // The output that is shown belongs to the work that is named with it.
            let [a, b] = functions;
            let (shown, other) = if shows(engine, answered, b, a) { (b, a) } else { (a, b) };
            let names = [shown, other].map(|function| engine.setup.work_name(function));
            draft.put_at(
                say::threshold_path(engine.setup, shown),
                format!("{} may still be engaged", names[0]),
            );
            draft.put_also(say::threshold_path(engine.setup, other), format!("while {} is", names[1]));
        })
}

/// Whether an answer shows where the sticks put one work, and not the other.
fn shows(engine: &Engine, answered: &Answered, this: WorkRef, not: WorkRef) -> bool {
    let on =
        |function: WorkRef, channel| engine.setup.devices[function.device].input == Input::Channel(channel);
    matches!(&answered.seen, Seen::Here(found)
        if !found.hand.positions.is_empty() && on(this, found.channel) && !on(not, found.channel))
}

fn pairs(engine: &Engine) -> Vec<(WorkRef, WorkRef)> {
    let works: Vec<_> = engine.works().collect();
    let mut pairs = Vec::new();
    for (i, (a, x)) in works.iter().enumerate() {
        for (b, y) in &works[i + 1..] {
            // A weight that is gone raises her whatever else is open.
            let lifts = |w: &Function| w.kind.raises() && !w.kind.drops;
            let by_kind = (x.kind.sinks() && lifts(y)) || (lifts(x) && y.kind.sinks());
            if by_kind || x.never_with.contains(b) || y.never_with.contains(a) {
                pairs.push((*a, *b));
            }
        }
    }
    pairs
}
