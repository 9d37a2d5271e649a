//! What an emergency work within reach means for whoever holds the sticks.

use super::{Labels, plain};
use crate::rule::acceptance::TOLD_ON_CARD;
use crate::setup::{ChannelId, MixOf, Setup, WorkRef};

/// One line for each emergency work that was accepted within reach, to stand in the emergency box.
pub(in crate::document) fn within_reach(labels: &Labels, setup: &Setup) -> Vec<String> {
    let told = setup.accept.iter().filter(|a| a.on_card && a.rule == TOLD_ON_CARD);
    let line = |a: &crate::setup::Acceptance| {
        let mut works = setup
            .devices
            .iter()
            .enumerate()
            .flat_map(|(device, d)| (0..d.works.len()).map(move |work| WorkRef { device, work }));
        let because = a.because.as_str();
        // Better a bare name than a line left out.
        let Some(work) = works.find(|work| setup.work_name(*work) == a.about) else {
            let said = [("work", a.about.as_str()), ("because", because)];
            return labels.fill("common.within_reach_bare", &said);
        };
        let name = plain(&setup.work(work).name);
        let kind = labels.get(&format!("common.works.{}", setup.work(work).kind.name));
        let mut controls = Vec::new();
        if let Some(channel) = setup.channel_of(work.device) {
            movers(setup, channel, setup.channels.len(), &mut controls);
        }
        let hands = controls
            .into_iter()
            .reduce(|one, other| labels.fill("common.both", &[("one", &one), ("other", &other)]))
            .unwrap_or_else(|| labels.get("common.the_sticks").to_owned());
        let work = if kind.to_lowercase().contains(&name.to_lowercase()) {
            kind.to_owned()
        } else {
            labels.fill("common.work_and_kind", &[("work", &name), ("kind", kind)])
        };
        labels.fill(
            "common.within_reach",
            &[("work", work.as_str()), ("controls", &hands), ("because", because)],
        )
    };
    told.map(line).collect()
}

/// The controls that move a channel, by themselves or by a mix. Mixes of channels may lead in a
/// circle, so there is an end to following them.
fn movers(setup: &Setup, channel: ChannelId, depth: usize, names: &mut Vec<String>) {
    let c = &setup.channels[channel];
    let mixed = c.mixes.iter().filter_map(|mix| match mix.of {
        MixOf::Control(control) => Some(control),
        MixOf::Channel(_) => None,
    });
    for control in c.control.into_iter().chain(mixed) {
        let name = plain(&setup.controls[control].name);
        if !names.contains(&name) {
            names.push(name);
        }
    }
    for mix in &c.mixes {
        if let (MixOf::Channel(other), true) = (mix.of, depth > 0) {
            movers(setup, other, depth - 1, names);
        }
    }
}
