//! Something that can hurt is on as soon as the battery is connected.

use super::after_loss::AGAINST_NOISE;
use super::engine::Engine;
use super::say::{self, Draft};
use super::states::PulsePlace;
use crate::finding::{Severity, StateId, Subject};
use crate::proof::cases::Influence;
use crate::question::{Asks, Question};
use crate::setup::{ControlId, Path, UnitActs, WorkRef};

pub(super) const NAME: &str = "starts-on";

/// Once for each work that can hurt and each thing that may have it on.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    for (function, w) in engine.works().filter(|(_, w)| w.can_hurt()) {
        let mut all = by_itself(engine, function);
        if let Some(control) = left(engine, function) {
            all.push(as_left(engine, function, control));
        }
        if w.facts.wakes_on || all.is_empty() {
            let mut draft = draft(engine, function).help(OF_A_HAND);
            if w.facts.wakes_on {
                let path = say::work_path(setup, function).then("wakes");
                draft = draft.and_at(path, "on until it hears a signal");
            }
            let asks = Asks::Fact(w.facts.wakes_on);
            all.push(worded(engine, function, draft, asks, "until it hears a signal"));
        }
        questions.append(&mut all);
    }
}

fn draft(engine: &Engine, function: WorkRef) -> Draft {
    Draft::new(NAME, Severity::Error, Subject::Function(function), StateId::PowerUp)
        .at(say::work_path(engine.setup, function), "can hurt whoever connects the battery")
}

/// What to do where it is a hand, or the thing itself, that has it on.
const OF_A_HAND: &str = "put it on a control that springs back, or let a guard switch arm it and prove that: `reserved: {unless: {guard: armed}}`; use a switch unit that wakes up off";
/// Where receiver or unit have it on by themselves, which no guard keeps off.
const BY_ITSELF: &str = "have neither a preset nor a stage work it, or load it only once the transmitter is on and the boat after it";

fn worded<'a>(engine: &Engine<'a>, function: WorkRef, draft: Draft, asks: Asks, why: &str) -> Question<'a> {
    let name = engine.setup.work_name(function);
    let kind = engine.setup.work(function).kind.called();
    // Whether it is hangs on where things were left or on what noise brings; a thing that wakes up on is on.
    let is = if matches!(asks, Asks::Fact(_)) { "is" } else { "may be" };
    draft.asks(
        asks,
        format!("{name}, the {kind}, {is} on as soon as the battery is connected, {why}"),
        format!("{name} is off when the battery is connected"),
    )
}

/// A control that stays where it was left last time: one that works the channel, one that is mixed in, or a
/// switch of it. A work that trims or sub-trims reach is the mistake of another rule.
fn left(engine: &Engine, function: WorkRef) -> Option<ControlId> {
    let channel = engine.setup.channel_of(function.device)?;
    let on = Influence::on(engine.setup, channel);
    let hands = engine.hands_on(channel).into_iter().map(|(control, _)| control);
    let mut all = hands.chain(on.controls.iter().copied()).chain(on.thrown(engine.setup));
    all.find(|&control| !engine.setup.controls[control].springs_back)
}

/// The set is on first: everything that springs is at rest, everything else is where it was left, but a
/// guard is where it belongs.
fn as_left<'a>(engine: &Engine<'a>, function: WorkRef, control: ControlId) -> Question<'a> {
    let setup = engine.setup;
    let mut over = engine.everything.clone().with_trims_at_nought().with_springing_at_rest(setup);
    if let Some((switch, setting)) = setup.guard(function) {
        over = over.without_setting(switch, setting);
    }
    // A switch that merely hides the work is left thrown as easily as the rest.
    let asks = Asks::Engages { function, place: engine.piloting(function.device), over };
    let name = &setup.controls[control].name;
    let draft = draft(engine, function)
        .help(OF_A_HAND)
        .and_at(Path::of(["controls", name]), "stays where it was left")
        .sentence("left_on")
        .name("control", name);
    worded(engine, function, draft, asks, &format!("if {name} was left there"))
}

/// With the boat on and no transmitter, the receiver's presets or noise and then the unit's stages come.
fn by_itself<'a>(engine: &Engine<'a>, function: WorkRef) -> Vec<Question<'a>> {
    let setup = engine.setup;
    let acts = engine.unit != UnitActs::Absent;
    let comes = engine.states().iter().filter_map(|state| {
        let why = match state.id {
            StateId::Waiting => "by what the receiver sends without a transmitter".to_owned(),
            StateId::Stage(_) if acts => format!("by the unit, in {}", state.id.name(setup)),
            _ => return None,
        };
        // What a hand left there does not count: none has been on it yet.
        let place = &state.places[function.device];
        let told = matches!(place, PulsePlace::Fixed { .. }) || is_noise(engine, function, place);
        told.then(|| (place.clone(), super::after_loss::set_by(state), why))
    });
    let mut seen: Vec<PulsePlace> = Vec::new();
    let fresh = comes.filter(|(place, ..)| {
        let known = seen.contains(place);
        seen.push(place.clone());
        !known
    });
    fresh
        .map(|(place, path, why)| {
            let over = engine.everything.clone().settled();
            let noise = is_noise(engine, function, &place);
            let draft = draft(engine, function)
                .help(if noise { AGAINST_NOISE } else { BY_ITSELF })
                .and_at(path, "comes at power-up, too");
            worded(engine, function, draft, Asks::Engages { function, place, over }, &why)
        })
        .collect()
}

fn is_noise(engine: &Engine, function: WorkRef, place: &PulsePlace) -> bool {
    let device = &engine.setup.devices[function.device];
    matches!((place, device.input), (PulsePlace::Within(..), crate::setup::Input::Channel(_)))
}
