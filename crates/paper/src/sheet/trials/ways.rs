//! Every way that a hand can move a control, with the pulses that come of it.

use super::list::{List, Trial};
use super::never::{never, setting_wants, way_wants};
use super::pulses::{bands, pulses};
use crate::chain::Inputs;
use crate::labels::text::sheet::tests;
use crate::setup::{ChannelId, ControlId, Exact, MixOf, Setup, Side};
use crate::sheet::say::{Say, held, switched};
use crate::words::{self, Way, plain, way};

/// Each way of each control, under each setting of what changes its rate.
pub(super) fn ways(say: &Say<'_>, list: &mut List<'_>) {
    list.group(tests::ways::TITLE, Some(tests::ways::BEFORE));
    let setup = say.setup;
    for (id, control) in setup.controls.iter().enumerate() {
        let channels = channels_of(setup, id);
        if !control.settings.is_empty() {
            // What only changes other ways is tried with each of them.
            if channels.is_empty() && asked_with_ways(setup, id) {
                continue;
            }
            for n in 0..control.settings.len() {
                let inputs = switched(setup, Inputs::at_rest(setup), id, n);
                let ends = [(0, Side::Low), (control.settings.len() - 1, Side::High)];
                let does = ends
                    .iter()
                    .find(|(end, _)| *end == n)
                    .map(|(_, side)| way(say.labels, setup, id, *side).does);
                let name = plain(&control.settings[n]);
                let what = say.fill(tests::ways::Set { control: &say.control(id), setting: &name });
                let does = does
                    .filter(|d| !d.is_empty())
                    .unwrap_or_else(|| words::setting(say.labels, setup, id, n).does);
                let reads = pulses(say, &channels, &inputs, &format!("{} {name}", control.name));
                let meant = setting_wants(say, id, n, &inputs);
                let trial = Trial::seen(what, does).expected(bands(say, &channels, &inputs)).reads(reads);
                list.trial(trial.never(never(say, &channels, &meant)));
            }
            continue;
        }
        for side in Side::BOTH {
            let Way { hand, word, does, .. } = way(say.labels, setup, id, side);
            let what = say.fill(tests::ways::Hold { control: &say.control(id), hand: &hand, way: &word });
            let inputs = held(setup, id, side.position(), 0);
            let switch = switch_of(setup, id, &channels, side);
            let Some(switch) = switch else {
                let moved = moved(say, id, &inputs);
                let reads = pulses(say, &moved, &inputs, &format!("{word} held"));
                let meant = way_wants(say, id, side, &inputs);
                let trial = Trial::seen(what, does).expected(bands(say, &moved, &inputs)).reads(reads);
                list.trial(trial.never(never(say, &moved, &meant)));
                continue;
            };
            for n in 0..setup.controls[switch].settings.len() {
                let (name, setting) =
                    (plain(&setup.controls[switch].name), plain(&setup.controls[switch].settings[n]));
                let what = say.fill(tests::ways::With { what: &what, switch: &name, setting: &setting });
                let inputs = switched(setup, inputs.clone(), switch, n);
                let moved = moved(say, id, &inputs);
                let reads = pulses(say, &moved, &inputs, &format!("{word} held, {name} {setting}"));
                let see = needed(say, &channels, side, (switch, n), &does);
                let meant = way_wants(say, id, side, &inputs);
                let trial = Trial::seen(what, see).expected(bands(say, &moved, &inputs)).reads(reads);
                list.trial(trial.never(never(say, &moved, &meant)));
            }
        }
    }
}

/// The channels of a control, and those that its mixes move in these settings.
fn moved(say: &Say<'_>, id: ControlId, inputs: &Inputs) -> Vec<ChannelId> {
    let mut let_go = inputs.clone();
    let_go.positions[id] = Exact::ZERO;
    let moves = |c: &ChannelId| say.outputs(*c, inputs) != say.outputs(*c, &let_go);
    let own = |c: &ChannelId| say.setup.channels[*c].control == Some(id);
    (0..say.setup.channels.len()).filter(|c| own(c) || moves(c)).collect()
}

/// Whether whatever a switch changes is tried under each of its settings with the ways themselves.
fn asked_with_ways(setup: &Setup, switch: ControlId) -> bool {
    let tried =
        |id: ControlId, side: Side| switch_of(setup, id, &channels_of(setup, id), side) == Some(switch);
    let mut changes = setup.channels.iter().flat_map(|c| {
        let by_way = Side::BOTH.into_iter().filter(|side| {
            c.rate[side.index()].switch == Some(switch)
                || c.wants[side.index()].iter().any(|want| want.needs.iter().any(|(s, _)| *s == switch))
        });
        let by_way = by_way.map(|side| c.control.is_some_and(|id| tried(id, side)));
        let mixes = c.mixes.iter().filter(|mix| mix.when.iter().any(|(s, _)| *s == switch));
        let by_mix = mixes.map(|mix| match mix.of {
            MixOf::Control(id) => mix.when.len() == 1 && Side::BOTH.into_iter().all(|side| tried(id, side)),
            MixOf::Channel(_) => false,
        });
        by_way.chain(by_mix).collect::<Vec<_>>()
    });
    changes.next().is_some_and(|first| first && changes.all(|all| all))
}

fn channels_of(setup: &Setup, id: ControlId) -> Vec<ChannelId> {
    (0..setup.channels.len()).filter(|c| setup.channels[*c].control == Some(id)).collect()
}

/// The switch that changes the rate of a way, decides what it is to work, or lets it mix into another channel.
fn switch_of(setup: &Setup, id: ControlId, channels: &[ChannelId], side: Side) -> Option<ControlId> {
    let rate = channels.iter().find_map(|c| setup.channels[*c].rate[side.index()].switch);
    rate.or_else(|| {
        let wants = channels.iter().flat_map(|c| &setup.channels[*c].wants[side.index()]);
        wants.flat_map(|want| &want.needs).map(|(switch, _)| *switch).next()
    })
    .or_else(|| {
        let mixes = setup.channels.iter().flat_map(|c| &c.mixes);
        let mut mixed = mixes.filter(|mix| mix.of == MixOf::Control(id)).flat_map(|mix| &mix.when);
        mixed.next().map(|(switch, _)| *switch)
    })
}

/// What is seen in a setting: nothing, where what the way wants needs another one.
fn needed(
    say: &Say<'_>,
    channels: &[ChannelId],
    side: Side,
    (switch, n): (ControlId, usize),
    does: &str,
) -> String {
    let mut wants = channels.iter().flat_map(|c| &say.setup.channels[*c].wants[side.index()]).peekable();
    let elsewhere = |want: &crate::setup::Want| want.needs.iter().any(|(s, at)| *s == switch && *at != n);
    if wants.peek().is_some() && wants.all(elsewhere) {
        return say.get(tests::ways::NOTHING).to_owned();
    }
    does.to_owned()
}
