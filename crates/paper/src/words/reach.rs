//! What an emergency work within reach means for whoever holds the sticks.

use super::{Labels, act, function_name};
use crate::labels::text::common;
use crate::rule::acceptance::TOLD_ON_CARD;
use crate::setup::{ChannelId, ControlId, MixOf, Setup, Side, WorkRef};

/// One line for each emergency work that was accepted within reach, to stand in the emergency box.
pub(crate) fn within_reach(labels: &Labels, setup: &Setup) -> Vec<String> {
    let told = setup.accept.iter().filter(|a| a.on_card && a.rule == TOLD_ON_CARD);
    let line = |a: &crate::setup::Acceptance| {
        let because = a.because.as_str();
        // Better a bare name than a line left out.
        let Some(work) = setup.works().find(|work| setup.work_name(*work) == a.about) else {
            return labels.fill(common::WithinReachBare { work: &a.about, because });
        };
        let name = function_name(setup, work);
        let kind = labels.word(common::WORKS, setup.work(work).kind.name);
        let controls = ways_to(setup, work).into_iter().map(|way| act(labels, setup, way));
        let hands = controls
            .reduce(|one, other| labels.fill(common::Both { one: &one, other: &other }))
            .unwrap_or_else(|| labels.get(common::THE_STICKS).to_owned());
        let work = if kind.to_lowercase().contains(&name.to_lowercase()) {
            kind.to_owned()
        } else {
            labels.fill(common::WorkAndKind { work: &name, kind })
        };
        labels.fill(common::WithinReach { work: work.as_str(), controls: &hands, because })
    };
    told.map(line).collect()
}

/// The emergency works that were accepted within reach of a control moved this way.
pub(crate) fn reached_by(setup: &Setup, control: ControlId, side: Side) -> Vec<WorkRef> {
    let told = |work: &WorkRef| {
        let name = setup.work_name(*work);
        setup.accept.iter().any(|a| a.on_card && a.rule == TOLD_ON_CARD && a.about == name)
    };
    setup.works().filter(told).filter(|work| ways_to(setup, *work).contains(&(control, side))).collect()
}

/// Whether a way is there to let gas out, or was accepted to reach what does.
pub(crate) fn opens_gas(setup: &Setup, control: ControlId, side: Side) -> bool {
    let own = setup.channels.iter().filter(|c| c.control == Some(control));
    let wanted = own.flat_map(|c| c.wants[side.index()].iter().map(|want| want.work));
    wanted.chain(reached_by(setup, control, side)).any(|work| setup.lets_gas_out(work))
}

/// The ways of controls that drive a device towards a work, by themselves or by a mix.
fn ways_to(setup: &Setup, work: WorkRef) -> Vec<(ControlId, Side)> {
    let mut ways = Vec::new();
    if let Some(channel) = setup.channel_of(work.device) {
        let signal = setup.channels[channel].longer.sign() * setup.work(work).sign;
        drivers(setup, channel, signal, setup.channels.len(), &mut ways);
    }
    ways
}

/// The ways of controls that drive a channel towards a side. Mixes of channels may lead in a circle, so
/// there is an end to following them.
fn drivers(setup: &Setup, channel: ChannelId, sign: i32, depth: usize, ways: &mut Vec<(ControlId, Side)>) {
    let mut add = |control, sign| {
        let way = (control, Side::of_sign(sign));
        if !ways.contains(&way) {
            ways.push(way);
        }
    };
    let c = &setup.channels[channel];
    if let Some(control) = c.control {
        add(control, sign);
    }
    let mixes = || c.mixes.iter().filter(|mix| !mix.add.is_zero());
    for mix in mixes() {
        if let MixOf::Control(control) = mix.of {
            add(control, sign * mix.add.signum());
        }
    }
    for mix in mixes() {
        if let (MixOf::Channel(other), true) = (mix.of, depth > 0) {
            drivers(setup, other, sign * mix.add.signum(), depth - 1, ways);
        }
    }
}
