//! What shapes a channel besides its ends: rates, expo, trim and mixes, as they are set.

use super::{Labels, channel_name, channel_ways, listed, percent, plain, signed};
use crate::labels::text::common;
use crate::labels::text::sheet::settings;
use crate::setup::{Channel, ControlId, Exact, MixOf, Setup, Side};

/// All of it that is not left as a blank memory has it, each as a phrase.
pub(crate) fn finer(labels: &Labels, setup: &Setup, channel: &Channel) -> Vec<String> {
    let [low, high] = Side::BOTH.map(|side| rate(labels, setup, channel, side));
    let mut all = Vec::new();
    if low == high {
        all.extend(low.map(|values| labels.fill(common::Rates { values: &values })));
    } else {
        let ways = channel_ways(labels, setup, channel);
        let each = ways.iter().zip([low, high]).filter_map(|(way, values)| Some((way, values?)));
        all.extend(
            each.map(|(way, values)| labels.fill(common::RatesOfWay { way, values: values.as_str() })),
        );
    }
    if !channel.expo.is_zero() {
        all.push(labels.fill(settings::Expo { value: &percent(labels, &channel.expo) }));
    }
    all.extend(channel.control.and_then(|id| trim(labels, setup, id)));
    all.extend(mixes(labels, setup, channel));
    all
}

/// The rates of a way, each with the setting it belongs to; `None` for the full rate and nothing else.
fn rate(labels: &Labels, setup: &Setup, channel: &Channel, side: Side) -> Option<String> {
    let rate = &channel.rate[side.index()];
    let Some(switch) = rate.switch else {
        let value = rate.values.first().filter(|value| **value != Exact::ONE)?;
        return Some(percent(labels, value));
    };
    let control = &setup.controls[switch];
    let each = rate.values.iter().zip(&control.settings).map(|(value, setting)| {
        let setting = format!("{} {}", plain(&control.name), plain(setting));
        labels.fill(settings::RateAt { rate: &percent(labels, value), setting: &setting })
    });
    Some(listed(each))
}

/// How far a trim goes; `None` for a switch, which has none.
pub(crate) fn trim(labels: &Labels, setup: &Setup, id: ControlId) -> Option<String> {
    let control = &setup.controls[id];
    control.settings.is_empty().then(|| {
        let [low, high] = &control.trim;
        if !control.has_trim() {
            labels.get(settings::TRIM_LOCKED).to_owned()
        } else if low == high {
            labels.fill(settings::Trim { value: &percent(labels, low) })
        } else {
            let [low, high] = [&-low, high].map(|end| signed(labels, end));
            labels.fill(settings::TrimBetween { low: &low, high: &high })
        }
    })
}

/// What is mixed into a channel, and when.
fn mixes(labels: &Labels, setup: &Setup, channel: &Channel) -> Vec<String> {
    let mixes = channel.mixes.iter().map(|mix| {
        let of = match mix.of {
            MixOf::Control(control) => plain(&setup.controls[control].name),
            MixOf::Channel(other) => channel_name(labels, &setup.channels[other]),
        };
        let when = mix.when.iter().map(|(switch, setting)| {
            let control = &setup.controls[*switch];
            let setting = control.settings.get(*setting).map_or("", |s| s.as_str());
            format!("{} {}", plain(&control.name), plain(setting))
        });
        let (share, from) = (&signed(labels, &mix.add), &of);
        match listed(when).as_str() {
            "" => labels.fill(settings::Mix { share, from }),
            when => labels.fill(settings::MixWhen { share, from, when }),
        }
    });
    mixes.collect()
}
