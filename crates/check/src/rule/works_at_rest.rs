//! Letting go of a control leaves something engaged.

use super::after_loss;
use super::engine::Engine;
use super::say::{self, Draft};
use crate::finding::{Severity, StateId, Subject};
use crate::question::{Asks, Question};
use crate::setup::{DeviceId, Exact, Function, Input, Path, WorkRef};

pub(super) const NAME: &str = "works-at-rest";

/// Once for each work on a channel whose own control returns to rest, and for each behind a leveller that
/// can hurt or sinks her: a leveller is a hand that nobody lets go.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    for (channel, c) in setup.channels.iter().enumerate() {
        let Some(own) = c.control.filter(|&own| setup.controls[own].springs_back) else { continue };
        let over = engine.everything.clone().with_position(own, Exact::ZERO);
        for (function, w) in engine.works_on(channel).filter(|(_, w)| !w.kept_on) {
            if !engine.wants_to_know(Subject::Function(function)) {
                continue;
            }
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
                            place: engine.piloting(function.device),
                            over: over.clone(),
                        },
                        format!("{} let go may leave {name}, the {}, engaged", control.name, w.kind.called()),
                        format!("{} let go leaves {name} surely off", control.name),
                    ),
            );
        }
    }
    for (device, sign) in after_loss::filling(setup).into_iter().chain(after_loss::emptying(setup)) {
        questions.extend(pump(engine, device, sign));
    }
    for (function, w) in engine.works().filter(|(_, w)| !w.kept_on && super::minded_by_itself(w)) {
        if let Input::Behind(_) = setup.devices[function.device].input {
            questions.push(behind(engine, function, w));
        }
    }
}

/// A pump behind a controller goes on filling or emptying her as a work does that stays engaged. A piston holds
/// what it was given, and is meant to.
fn pump<'a>(engine: &Engine<'a>, device: DeviceId, sign: i32) -> Option<Question<'a>> {
    let setup = engine.setup;
    let d = &setup.devices[device];
    let Input::Channel(channel) = d.input else { return None };
    let own = setup.channels[channel].control.filter(|&own| setup.controls[own].springs_back)?;
    if !d.kind.rests_in_band {
        return None;
    }
    let control = &setup.controls[own].name;
    let over = engine.everything.clone().with_position(own, Exact::ZERO);
    let asks = after_loss::fills_at(engine, device, sign, engine.piloting(device), over);
    let draft = Draft::new(NAME, Severity::Error, Subject::DeviceSide(device, sign), StateId::Piloting)
        .at(Path::of(["devices", &d.name]), format!("with {control} let go it may still run"))
        .and_at(say::channel_path(setup, channel), "trim, sub-trim and mixes of this channel count")
        .name("control", control)
        .help("lock or reduce the trim, bring the sub-trim nearer to 0 %, or teach the controller its rest anew");
    let told = format!("{control} let go may leave {} running", d.name);
    Some(draft.asks(asks, told, format!("{control} let go leaves {} surely still", d.name)))
}

/// The figure that decides where a work has let go.
fn key(w: &Function) -> &'static str {
    match (&w.releases, w.from_clicks()) {
        (Some(_), _) => "releases",
        (None, true) => "clicks",
        (None, false) => "from",
    }
}

fn behind<'a>(engine: &Engine<'a>, function: WorkRef, w: &Function) -> Question<'a> {
    let setup = engine.setup;
    let name = setup.work_name(function);
    let unit = super::unit_before(setup, function.device);
    Draft::new(NAME, Severity::Error, Subject::Function(function), StateId::Piloting)
        .at(
            say::work_path(setup, function).then(key(w)),
            format!("{unit} may come to this with every stick at rest"),
        )
        .name("control", &unit)
        .help(super::away_from_unit(setup, function))
        .asks(
            Asks::Engages {
                function,
                place: engine.piloting(function.device),
                over: engine.everything.clone().with_all_at_rest(setup),
            },
            format!("with all sticks at rest {unit} may {} {name}, the {}", w.kind.verb, w.kind.called()),
            format!("{unit} leaves {name} surely off"),
        )
}
