//! A way of a control can engage a work that it is not there for.

use super::engine::Engine;
use super::say::{self, Draft};
use crate::finding::{Severity, StateId, Subject};
use crate::question::{Asks, Question};
use crate::setup::{ChannelId, Input, Side, WorkRef};

pub(super) const NAME: &str = "unwanted-within-reach";

/// Once for each way of a channel and each work on it that the way does not want; behind a leveller, which
/// is a hand of its own, for what can hurt or sinks her.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    for channel in 0..setup.channels.len() {
        if setup.channels[channel].control.is_none() {
            continue;
        }
        for side in Side::BOTH {
            for (function, w) in engine.works() {
                if w.is_reserved() || engine.wants(channel, side, function) {
                    continue;
                }
                if !engine.wants_to_know(Subject::FunctionByWay(function, channel, side)) {
                    continue;
                }
                match setup.devices[function.device].input {
                    Input::Channel(on) if on == channel => {
                        questions.push(on_channel(engine, channel, side, function))
                    }
                    Input::Behind(unit)
                        if setup.channel_of(unit) == Some(channel) && super::minded_by_itself(w) =>
                    {
                        questions.push(behind(engine, channel, side, function));
                    }
                    _ => {}
                }
            }
        }
    }
}

fn severity(engine: &Engine, function: WorkRef) -> Severity {
    if engine.setup.work(function).kind.is_grave() { Severity::Error } else { Severity::Warning }
}

fn on_channel<'a>(engine: &Engine<'a>, channel: ChannelId, side: Side, function: WorkRef) -> Question<'a> {
    let setup = engine.setup;
    let w = setup.work(function);
    let name = setup.work_name(function);
    let own = setup.channels[channel].control.unwrap_or_default();
    let way = &setup.controls[own].ways[side.index()];
    let driving = say::way_towards(setup, channel, w.sign);
    let subject = Subject::FunctionByWay(function, channel, side);
    let mut draft = Draft::new(NAME, severity(engine, function), subject, StateId::Piloting)
        .place("way", Subject::Way(channel, side))
        .at(
            say::endpoint_path(setup, channel, driving),
            format!("{way} can take the output past this work's threshold"),
        )
        .and_at(
            say::threshold_path(setup, function),
            format!("may {} from {}", w.kind.verb, say::signed_percent(&w.from.nearest(w.sign))),
        );
    if driving == side {
        draft = draft.help(format!("if {way} is meant to work it, say so: wants: {{{way}: {}}}", w.name));
    }
    let over = engine.everything.clone().with_side(own, side);
    draft
        .asks(
            Asks::Engages { function, place: engine.piloting(function.device), over },
            format!("with {way} {name}, {}, may {}, which {way} does not want", w.kind.one(), w.kind.verb),
            format!("{way} never reaches {name}"),
        )
        .cured_by(Some((channel, driving)))
}

fn behind<'a>(engine: &Engine<'a>, channel: ChannelId, side: Side, function: WorkRef) -> Question<'a> {
    let setup = engine.setup;
    let (w, name) = (setup.work(function), setup.work_name(function));
    let subject = Subject::FunctionByWay(function, channel, side);
    let unit = super::unit_before(setup, function.device);
    Draft::new(NAME, Severity::Error, subject, StateId::Piloting)
        .place("way", Subject::Way(channel, side))
        .at(
            say::threshold_path(setup, function),
            format!("{unit} may come to this by itself, wherever the sticks are"),
        )
        .help(super::away_from_unit(setup, function))
        .asks(
            Asks::Engages {
                function,
                place: engine.piloting(function.device),
                over: engine.everything.clone(),
            },
            format!("{unit} may {} {name}, the {}, by itself", w.kind.verb, w.kind.called()),
            format!("{unit} never comes to {name}"),
        )
}
