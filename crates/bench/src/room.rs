//! How far a reading may lie off, by the engine's answers: nothing here judges.
//!
//! An answer has a margin for the worst that a hand can do with trims and tolerances. A pulse that is read so many
//! microseconds off carries all of that along, so what is left of a margin is left to the reading.

use super::judge::Room;
use crate::document::sheet::{At, PointOf, Pulse};
use crate::finding::{Margin, Outcome, Severity, StateId};
use crate::question::safe::BareQuestion;
use crate::question::{Asks, Engine};
use crate::setup::quantity::Micros;
use crate::setup::{ChannelId, Exact, Input, WorkRef};

/// The room that a pulse has.
pub fn of_pulse(engine: &Engine, pulse: &Pulse) -> Room {
    let mut room = Room::default();
    let side = (&pulse.output[0] + &pulse.output[1]).signum();
    for asked in engine.asked().iter() {
        let here = match pulse.at {
            At::Lost => asked.state != StateId::Piloting && on_channel(engine, &asked.asks, pulse.channel),
            // Also what holds on with the signal lost where the pilot left it.
            At::Rest | At::Held => asked.asks.channels(engine.setup).contains(&pulse.channel),
        };
        if !here {
            continue;
        }
        for towards in directions(engine, &asked.asks) {
            // A way that is held moves what lies on its own side.
            let lies = if matches!(asked.asks, Asks::Misses { .. }) { -towards } else { towards };
            if pulse.at == At::Held && side != 0 && lies != side {
                continue;
            }
            narrow(&mut room, engine, asked, towards);
        }
    }
    room
}

/// The room that a point of a work has on either side of the interval in which the file has it.
pub fn of_point(engine: &Engine, work: WorkRef, of: PointOf) -> Room {
    let mut room = Room::default();
    let w = engine.setup.work(work);
    for asked in engine.asked().iter() {
        let away = match &asked.asks {
            Asks::Engages { function, .. } if *function == work => match of {
                PointOf::Engages | PointOf::LetsGo => -w.sign,
                _ => continue,
            },
            Asks::Misses { function, fully, .. } if *function == work => {
                let counts = if *fully && w.full.is_some() { PointOf::Complete } else { PointOf::Engages };
                if of != counts {
                    continue;
                }
                w.sign
            }
            Asks::Together { functions, .. }
                if functions.contains(&work) && matches!(of, PointOf::Engages | PointOf::LetsGo) =>
            {
                -w.sign
            }
            _ => continue,
        };
        narrow(&mut room, engine, asked, away);
    }
    room
}

/// Takes what an answer leaves to one side.
fn narrow(room: &mut Room, engine: &Engine, asked: &BareQuestion, towards: i32) {
    let answered = engine.answer(&asked.asks);
    // A warning that stands already is not brought about by a reading.
    if asked.severity == Severity::Warning && answered.outcome() != Outcome::Proved {
        return;
    }
    let micros = match answered.margin {
        Some(Margin { micros, .. }) => micros,
        None if answered.outcome() == Outcome::Proved => return,
        // What is broken or cannot be told without a distance leaves nothing.
        None => Micros(Exact::int(-1)),
    };
    let about = format!("{} ({})", asked.subject.name(engine.setup), asked.rule);
    let side = if towards < 0 { &mut room.shorter } else { &mut room.longer };
    if side.as_ref().is_none_or(|(left, _)| micros.0 < *left) {
        *side = Some((micros.0, about));
    }
}

/// To which sides an output must not move for a question.
fn directions(engine: &Engine, asks: &Asks) -> Vec<i32> {
    let sign = |function: &WorkRef| engine.setup.work(*function).sign;
    match asks {
        Asks::Engages { function, .. } => vec![sign(function)],
        Asks::Misses { function, .. } => vec![-sign(function)],
        Asks::Passes { edge, .. } => vec![edge.sign],
        Asks::FallsShort { sign, .. } => vec![-sign],
        Asks::Trips { beyond, .. } => vec![beyond.value.signum()],
        Asks::Together { .. } | Asks::Leaves { .. } | Asks::StaysWithin { .. } => vec![-1, 1],
        _ => Vec::new(),
    }
}

/// Whether a question is about a device on a channel.
fn on_channel(engine: &Engine, asks: &Asks, channel: ChannelId) -> bool {
    let on = |device: usize| engine.setup.devices[device].input == Input::Channel(channel);
    match asks {
        Asks::Engages { function, .. } | Asks::Misses { function, .. } => on(function.device),
        Asks::Together { functions, .. } => functions.iter().any(|f| on(f.device)),
        Asks::Leaves { device, .. }
        | Asks::StaysWithin { device, .. }
        | Asks::Passes { device, .. }
        | Asks::FallsShort { device, .. } => on(*device),
        _ => false,
    }
}
