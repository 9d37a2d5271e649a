//! Letting go of a control leaves something engaged.

use super::after_loss;
use super::context::Context;
use super::say::{self, Draft};
use crate::finding::{Severity, StateId, Subject};
use crate::question::{Asks, Question};
use crate::setup::{DeviceId, Exact, Input, Path, Work, WorkRef};

/// The rule's name.
pub(super) const NAME: &str = "works-at-rest";

/// Once for each work on a channel whose own control returns to rest, and for each behind a leveller that
/// can hurt or sinks her: a leveller is a hand that nobody lets go.
pub(super) fn ask<'a>(context: &Context<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = context.setup;
    for (channel, c) in setup.channels.iter().enumerate() {
        let Some(own) = c.control.filter(|&own| setup.controls[own].springs_back) else { continue };
        let over = context.everything.clone().with_position(own, Exact::ZERO);
        for (function, w) in context.works_on(channel).filter(|(_, w)| !w.kept_on) {
            let name = setup.work_name(function);
            let control = &setup.controls[own];
            questions.push(
                Draft::new(NAME, Severity::Error, Subject::Function(function), StateId::Piloting)
                    .at(
                        say::work_path(setup, function).then(key(w)),
                        format!("with {} let go the servo may still be here", control.name),
                    )
                    .and_at(
                        say::channel_path(setup, channel),
                        "trim, sub-trim and mixes of this channel count",
                    )
                    .name("control", &control.name)
                    .help("lock or reduce the trim, bring the sub-trim nearer to 0 %, or move the switch or valve away from rest")
                    .help(format!("if it is meant to stay on, write `kept_on: yes` under {name}"))
                    .asks(
                        Asks::Engages {
                            function,
                            place: context.piloting(function.device),
                            over: over.clone(),
                        },
                        format!("{} let go may leave {name}, the {}, engaged", control.name, w.kind.name),
                        format!("{} let go leaves {name} surely off", control.name),
                    ),
            );
        }
    }
    for (device, sign) in after_loss::filling(setup).into_iter().chain(after_loss::emptying(setup)) {
        questions.extend(pump(context, device, sign));
    }
    for (function, w) in context.works().filter(|(_, w)| !w.kept_on && super::minded_by_itself(w)) {
        if let Input::Behind(_) = setup.devices[function.device].input {
            questions.push(behind(context, function, w));
        }
    }
}

/// A pump behind a controller goes on filling or emptying her as a work does that stays engaged. A piston holds
/// what it was given, and is meant to.
fn pump<'a>(context: &Context<'a>, device: DeviceId, sign: i32) -> Option<Question<'a>> {
    let setup = context.setup;
    let d = &setup.devices[device];
    let Input::Channel(channel) = d.input else { return None };
    let own = setup.channels[channel].control.filter(|&own| setup.controls[own].springs_back)?;
    if !d.kind.rests_in_band {
        return None;
    }
    let control = &setup.controls[own].name;
    let over = context.everything.clone().with_position(own, Exact::ZERO);
    let asks = after_loss::fills_at(context, device, sign, context.piloting(device), over);
    let draft = Draft::new(NAME, Severity::Error, Subject::DeviceSide(device, sign), StateId::Piloting)
        .at(Path::of(["devices", &d.name]), format!("with {control} let go it may still run"))
        .and_at(say::channel_path(setup, channel), "trim, sub-trim and mixes of this channel count")
        .name("control", control)
        .help("lock or reduce the trim, bring the sub-trim nearer to 0 %, or teach the controller its rest anew");
    let told = format!("{control} let go may leave {} running", d.name);
    Some(draft.asks(asks, told, format!("{control} let go leaves {} surely still", d.name)))
}

/// The figure that decides where a work has let go.
fn key(w: &Work) -> &'static str {
    match (&w.releases, w.from_clicks()) {
        (Some(_), _) => "releases",
        (None, true) => "clicks",
        (None, false) => "from",
    }
}

fn behind<'a>(context: &Context<'a>, function: WorkRef, w: &Work) -> Question<'a> {
    let setup = context.setup;
    let name = setup.work_name(function);
    let unit = super::unit_before(setup, function.device);
    Draft::new(NAME, Severity::Error, Subject::Function(function), StateId::Piloting)
        .at(
            say::work_path(setup, function).then(key(w)),
            format!("{unit} may come to this with every stick at rest"),
        )
        .name("control", &unit)
        .help(format!("narrow the `limits` of {unit}, or put {name} on a channel of its own"))
        .asks(
            Asks::Engages {
                function,
                place: context.piloting(function.device),
                over: context.everything.clone().with_all_at_rest(setup),
            },
            format!("with all sticks at rest {unit} may {} {name}, the {}", w.kind.verb, w.kind.name),
            format!("{unit} leaves {name} surely off"),
        )
}
