//! Whether a channel may be worked by hand at the bench: for that the engine is asked.

use crate::chain::Order;
use crate::finding::{Outcome, StateId};
use crate::question::states::PulsePlace;
use crate::question::{Asks, Engine, worlds};
use crate::setup::{ChannelId, Setup};

/// Whether nothing dangerous can come of a channel, whatever a hand does with it in this set-up, under any of these
/// orders: nothing is reached that must not be, nothing is driven past its stop, no unit is set going, no motor runs.
pub fn is_harmless(setup: &Setup, channel: ChannelId, orders: &[Order]) -> bool {
    std::iter::once(setup.clone()).chain(worlds::at_worst(setup)).all(|setup| asked(&setup, channel, orders))
}

fn asked(setup: &Setup, channel: ChannelId, orders: &[Order]) -> bool {
    let engine = Engine::with_orders(setup, orders.to_vec()).without_advice();
    let holds = |asks: &Asks| engine.outlook(asks).outcome == Outcome::Proved;
    let of_rules = engine.asked().iter().filter(|asked| {
        asked.narrows()
            && asked.state == StateId::Piloting
            && asked.asks.channels(setup).contains(&channel)
            && can_be_brought_about(&asked.asks)
    });
    let on = |device: usize| setup.channel_of(device) == Some(channel);
    let works = engine.works().filter(|(work, w)| on(work.device) && (w.is_dangerous() || w.can_hurt()));
    let engages = works.map(|(function, _)| Asks::Engages {
        function,
        place: engine.piloting(function.device),
        over: engine.everything.clone(),
    });
    let motors = (0..setup.devices.len()).filter(|&device| {
        let kind = setup.devices[device].kind;
        on(device) && (kind.runs_a_motor() || kind.moves_water)
    });
    let runs = |device: usize| match (&setup.devices[device].still_between, engine.piloting(device)) {
        (Some(band), place @ PulsePlace::Pilot) => {
            !holds(&Asks::Leaves { device, place, over: engine.everything.clone(), band: band.clone() })
        }
        _ => true,
    };
    of_rules.map(|asked| asked.asks.clone()).chain(engages).all(|asks| holds(&asks))
        && !motors.into_iter().any(runs)
}

/// Whether a hand brings about what is asked for by going somewhere, not by staying short of it.
fn can_be_brought_about(asks: &Asks) -> bool {
    match asks {
        Asks::Engages { .. } | Asks::Together { .. } | Asks::Passes { .. } | Asks::Trips { .. } => true,
        Asks::All(all) | Asks::Any(all) => all.iter().any(can_be_brought_about),
        _ => false,
    }
}
