//! A way of a control can engage a work that it is not there for.

use super::context::Context;
use super::say::{self, Draft};
use crate::finding::{Severity, StateId, Subject};
use crate::question::{Asks, Question};
use crate::setup::{ChannelId, Input, Side, WorkRef};

/// The rule's name.
pub(super) const NAME: &str = "unwanted-within-reach";

/// Once for each way of a channel and each work on it that the way does not want; behind a leveller, which
/// is a hand of its own, for what can hurt or sinks her.
pub(super) fn ask<'a>(context: &Context<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = context.setup;
    for channel in 0..setup.channels.len() {
        if setup.channels[channel].control.is_none() {
            continue;
        }
        for side in Side::BOTH {
            for (function, w) in context.works() {
                if w.is_reserved() || context.wants(channel, side, function) {
                    continue;
                }
                match setup.devices[function.device].input {
                    Input::Channel(on) if on == channel => {
                        questions.push(on_channel(context, channel, side, function))
                    }
                    Input::Behind(unit)
                        if setup.channel_of(unit) == Some(channel) && super::minded_by_itself(w) =>
                    {
                        questions.push(behind(context, channel, side, function));
                    }
                    _ => {}
                }
            }
        }
    }
}

fn severity(context: &Context, function: WorkRef) -> Severity {
    if context.setup.work(function).kind.is_grave() { Severity::Error } else { Severity::Warning }
}

fn on_channel<'a>(context: &Context<'a>, channel: ChannelId, side: Side, function: WorkRef) -> Question<'a> {
    let setup = context.setup;
    let w = setup.work(function);
    let name = setup.work_name(function);
    let own = setup.channels[channel].control.unwrap_or_default();
    let way = &setup.controls[own].ways[side.index()];
    let driving = say::way_towards(setup, channel, w.sign);
    let subject = Subject::FunctionByWay(function, channel, side);
    let mut draft = Draft::new(NAME, severity(context, function), subject, StateId::Piloting)
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
    let over = context.everything.clone().with_side(own, side);
    draft
        .asks(
            Asks::Engages { function, place: context.piloting(function.device), over },
            format!("with {way} {name}, a {}, may {}, which {way} does not want", w.kind.name, w.kind.verb),
            format!("{way} never reaches {name}"),
        )
        .cured_by(Some((channel, driving)))
}

fn behind<'a>(context: &Context<'a>, channel: ChannelId, side: Side, function: WorkRef) -> Question<'a> {
    let setup = context.setup;
    let (w, name) = (setup.work(function), setup.work_name(function));
    let subject = Subject::FunctionByWay(function, channel, side);
    let unit = super::unit_before(setup, function.device);
    Draft::new(NAME, Severity::Error, subject, StateId::Piloting)
        .place("way", Subject::Way(channel, side))
        .at(
            say::threshold_path(setup, function),
            format!("{unit} may come to this by itself, wherever the sticks are"),
        )
        .help(format!("narrow the `limits` of {unit}, or put {name} on a channel of its own"))
        .asks(
            Asks::Engages {
                function,
                place: context.piloting(function.device),
                over: context.everything.clone(),
            },
            format!("{unit} may {} {name}, the {}, by itself", w.kind.verb, w.kind.name),
            format!("{unit} never comes to {name}"),
        )
}
