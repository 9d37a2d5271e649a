//! Who may have engaged a function before, so that it stays so until it has surely let go.

use super::asked::{function, place};
use super::table::Table;
use super::{steps, told};
use crate::proof::{Answer, Domain, Verdict, Zone};
use crate::question::engine;
use crate::question::states::PulsePlace;
use crate::setup::{ChannelId, Input, WorkRef};
use serde_json::{Value, json};

/// Who may have engaged each function of which it matters, in every world.
#[derive(Default)]
pub(super) struct Before(Vec<(Value, Vec<usize>)>);

impl Before {
    /// Takes in those of the world that the table tells.
    pub(super) fn add(&mut self, table: &mut Table, world: usize) {
        for function in table.engaged() {
            let told = of(table, function);
            match self.0.iter_mut().find(|(known, _)| *known == told) {
                Some((_, worlds)) => worlds.push(world),
                None => self.0.push((told, vec![world])),
            }
        }
    }

    /// Each with the worlds in which it is so.
    pub(super) fn told(self) -> Vec<Value> {
        let told = self.0.into_iter().map(|(mut said, worlds)| {
            said["in"] = worlds.into();
            said
        });
        told.collect()
    }
}

fn of(table: &mut Table, work: WorkRef) -> Value {
    let engine = table.engine;
    let setup = engine.setup;
    let everything = Domain::everything(setup);
    let places = engine.engaging(work);
    let by_hand = match (places.first(), setup.devices[work.device].input) {
        (Some((PulsePlace::Pilot, zone)), Input::Channel(channel)) => Some((channel, zone)),
        _ => None,
    };
    let name = function(table, work);
    match &*engine.before(work) {
        // Where no place of a state does it the pilot's outputs have to stay away, too.
        engine::Before::Nobody => {
            let never = by_hand.map(|(channel, zone)| never(table, channel, everything, zone));
            json!({ "function": name, "who": "nobody", "never": never })
        }
        engine::Before::Pilot(orders) => {
            let others: Vec<_> = engine.orders.iter().filter(|o| !orders.contains(o)).copied().collect();
            let never = by_hand.map(|(channel, zone)| never(table, channel, everything.under(others), zone));
            let orders: Vec<usize> = orders.iter().map(|order| table.order(order)).collect();
            json!({ "function": name, "who": orders, "never": never })
        }
        engine::Before::Somebody => {
            let lies = |(at, zone): &&(PulsePlace, Zone)| match at {
                PulsePlace::Fixed { at, .. } => zone.met_at(&zone.distance(at, at)),
                PulsePlace::Within(low, high) => zone.met_at(&zone.distance(low, high)),
                PulsePlace::Pilot | PulsePlace::Still => false,
            };
            let here = match (places.iter().find(lies), by_hand) {
                (Some((at, zone)), _) => json!({ "place": place(at), "zone": told::zone(zone) }),
                (None, Some((channel, zone))) => {
                    let answer = engine.cases(channel).meets(setup, &everything, zone);
                    steps::output(table, channel, &everything, zone, &answer)
                }
                (None, None) => Value::Null,
            };
            json!({ "function": name, "who": "somebody", "here": here })
        }
    }
}

/// That an output never gets into a zone, as the engine found when it was first asked.
fn never(table: &mut Table, channel: ChannelId, over: Domain, zone: &Zone) -> Value {
    let margin = table.engine.cases(channel).may_meet(table.engine.setup, &over, zone).1;
    let answer = Answer { verdict: Verdict::Clear, margin, met_under: Vec::new() };
    steps::output(table, channel, &over, zone, &answer)
}
