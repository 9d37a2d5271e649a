//! What the card says besides the controls: the order of switching and why, how deep, what a lost signal does and
//! when, what an alarm takes and leaves, what is seen before each trip. No figure of the set, and no name of a stage.

use super::depth::{Dives, dives};
use super::loss::{battery_below, fallen_silent};
use super::{
    FIXED, Labels, Noise, channel_name, listed, moved, noise, plain, stands_still, stays_open, surely_off,
    time, when, work_off, work_phrase,
};
use crate::Job;
use crate::labels::text::card::{self, launch};
use crate::labels::text::common;
use crate::measure::Units;
use crate::render::sheet::Time;
use crate::setup::{ChannelId, Exact, Figure, Input, OnLoss, Others, Setup, WorkRef};

/// The one depth to remember: the lower of her limit and of where dives end.
pub(crate) fn depth(labels: &Labels, units: Units, job: &Job<'_>) -> Option<String> {
    let limit = job.setup.boat.depth_limit.as_ref()?;
    let depth = match dives(job.setup, job.lost) {
        Dives::ToTheLimit => units.depth(limit, labels),
        Dives::EndAt(end) if end.0 < limit.0 => units.depth(&end, labels),
        Dives::EndAt(_) => units.depth(limit, labels),
        Dives::Never => return Some(labels.get(card::NO_DIVES).to_owned()),
    };
    Some(labels.fill(card::Depth { depth: &depth }))
}

/// In which order she is switched off, with the reason where there is one.
pub(crate) fn off_order(labels: &Labels, setup: &Setup) -> String {
    let works = acting(setup);
    let gas = works.iter().find(|work| setup.lets_gas_out(**work));
    let does = gas.or(works.first()).map(|work| work_phrase(labels, setup, *work));
    let dives = setup.dives() && stays_open(setup);
    match (does, dives) {
        (Some(does), true) => labels.fill(card::OffOrderDivesActs { does: &does }),
        (Some(does), false) => labels.fill(card::OffOrderActs { does: &does }),
        (None, true) => labels.get(card::OFF_ORDER_DIVES).to_owned(),
        (None, false) => labels.get(card::OFF_ORDER).to_owned(),
    }
}

/// What a lost signal works at one time or another.
fn acting(setup: &Setup) -> Vec<WorkRef> {
    let stages = setup.fail_safe.iter().flat_map(|unit| &unit.stages);
    let staged = stages.flat_map(|stage| setup.engaged_by_stage(stage));
    setup.engaged_by_preset().into_iter().chain(staged).collect()
}

/// What she does by herself, piece by piece.
pub(crate) fn times(labels: &Labels, setup: &Setup) -> Vec<Time> {
    let receiver = &setup.receiver;
    let acts_at = setup.receiver_acts();
    let (text, acts) = at_receiver(labels, setup);
    let unit = setup.fail_safe.as_ref().filter(|unit| !unit.stages.is_empty());
    let wait = unit.and_then(|unit| unit.wait.as_ref()).map(|wait| wait.0.to_f64());
    let text = match unit {
        // Whether anything acts is then not known either.
        None if setup.lacks(Figure::OnLoss) => text,
        None if !matches!(receiver.on_loss, OnLoss::Preset { .. }) => {
            labels.fill(common::loss::Alone { what: &text })
        }
        None => labels.fill(card::UntilHeard { what: &text }),
        Some(_) => text,
    };
    // The first says what the figures are.
    let first = Time { begins: when(labels, &acts_at), lasts: wait, text, acts };
    let mut all = vec![first];
    let Some(unit) = unit else { return all };
    for (stage, begins) in unit.stages.iter().zip(setup.stages_begin()) {
        let works = setup.engaged_by_stage(stage);
        let said = doings(labels, setup, &stage.set, &works, true);
        // Where nothing is known of what it does, its name is all there is to say.
        let said = if said.is_empty() { plain(&stage.name) } else { said };
        let text = match stage.lasts {
            Some(_) => said,
            None => labels.fill(card::UntilHeard { what: &said }),
        };
        let lasts = stage.lasts.as_ref().map(|time| time.0.to_f64());
        let begins = match begins.seconds() {
            Some(seconds) if seconds.is_zero() => when(labels, &begins),
            _ => time(labels, &begins),
        };
        all.push(Time { begins, lasts, text, acts: !works.is_empty() });
    }
    all
}

fn at_receiver(labels: &Labels, setup: &Setup) -> (String, bool) {
    let said = |text: &str| (text.to_owned(), false);
    match &setup.receiver.on_loss {
        _ if setup.lacks(Figure::OnLoss) => said(labels.get(common::loss::NOT_KNOWN)),
        OnLoss::NoPulses => said(fallen_silent(labels, setup)),
        OnLoss::Hold => said(labels.get(common::loss::HOLD)),
        OnLoss::Noise => match noise(labels, setup) {
            Noise::Nothing => said(labels.get(common::loss::HOLD)),
            Noise::Everything => said(labels.get(common::loss::NOISE)),
            Noise::Some(channels) => (labels.fill(common::loss::SomeNoise { channels: &channels }), false),
        },
        OnLoss::Preset { values, others, .. } => {
            let rest = labels.get(match others {
                Others::NoPulses => common::loss::OTHERS_NO_PULSES,
                Others::Hold => common::loss::OTHERS_HOLD,
                Others::Noise if matches!(noise(labels, setup), Noise::Nothing) => common::loss::OTHERS_HOLD,
                Others::Noise => common::loss::OTHERS_NOISE,
            });
            let works = setup.engaged_by_preset();
            let rest = (values.len() < setup.channels.len()).then(|| rest.to_owned());
            let said = doings(labels, setup, values, &works, false);
            (listed([said].into_iter().chain(rest)), !works.is_empty())
        }
    }
}

/// When everything that she carries is off by the receiver alone after her signal is lost, as words; `None` where not all
/// is, or nobody knows when.
pub(crate) fn all_off(labels: &Labels, setup: &Setup) -> Option<[String; 2]> {
    let by_unit = setup.fail_safe.as_ref().is_some_and(|unit| !unit.stages.is_empty());
    let (text, _) = at_receiver(labels, setup);
    let off = labels.get(card::ALL_OFF);
    let acts = setup.receiver_acts();
    (!by_unit && text == off && acts.seconds().is_some()).then(|| [when(labels, &acts), text])
}

/// What set positions do: what is on, motors that stand still, and where nothing is on what is surely off.
fn doings(
    labels: &Labels,
    setup: &Setup,
    set: &[(ChannelId, Exact)],
    works: &[WorkRef],
    by_unit: bool,
) -> String {
    let value =
        |input: &Input| set.iter().find(|(c, _)| Input::Channel(*c) == *input).map(|(_, value)| value);
    let mut all: Vec<String> = works.iter().map(|work| work_phrase(labels, setup, *work)).collect();
    for (id, device) in setup.devices.iter().enumerate().filter(|(_, device)| device.kind.runs_a_motor()) {
        let Some(value) = value(&device.input) else { continue };
        let Input::Channel(channel) = device.input else { continue };
        if stands_still(setup, id, value) {
            let name = channel_name(labels, &setup.channels[channel]);
            all.push(labels.fill(common::loss::MotorStill { name: &name }));
        } else {
            all.extend(moved(labels, setup, id, value, by_unit));
        }
    }
    let moves = setup.devices.iter().enumerate().filter(|(_, device)| !device.kind.runs_a_motor());
    let moves: Vec<String> =
        moves.filter_map(|(id, device)| moved(labels, setup, id, value(&device.input)?, by_unit)).collect();
    let driven = |d: &crate::setup::Device| value(&d.input).is_some();
    // What hangs on another channel goes on as it was.
    let of_all = setup.devices.iter().all(|d| driven(d) || d.works.is_empty() && !d.kind.runs_a_motor());
    let all_off = works.is_empty()
        && of_all
        && setup.devices.iter().filter(|d| driven(d) && !d.works.is_empty()).count() > 0
        && setup.devices.iter().enumerate().filter(|(_, d)| driven(d)).all(|(device, d)| {
            let at = value(&d.input).unwrap_or(&Exact::ZERO);
            let still = !d.kind.runs_a_motor() || stands_still(setup, device, at);
            still && (0..d.works.len()).all(|work| surely_off(setup, WorkRef { device, work }, at, by_unit))
        });
    if all_off {
        return listed([labels.get(card::ALL_OFF).to_owned()].into_iter().chain(moves));
    }
    if works.is_empty() {
        for (device, d) in setup.devices.iter().enumerate() {
            let Some(value) = value(&d.input) else { continue };
            let off = (0..d.works.len()).map(|work| WorkRef { device, work });
            all.extend(
                off.filter(|work| surely_off(setup, *work, value, by_unit))
                    .map(|work| work_off(labels, setup, work)),
            );
        }
    }
    all.extend(moves);
    listed(all)
}

/// What low battery and a leak do: what the pilot loses, and what he keeps.
pub(crate) fn alarms(labels: &Labels, setup: &Setup) -> Vec<String> {
    let on_neither = || vec![labels.get(common::alarms::NOBODY_ON_EITHER).to_owned()];
    let Some(unit) = &setup.fail_safe else { return on_neither() };
    let battery = battery_below(labels, setup, unit);
    let nobody = |what| format!("{}: {}", labels.get(what), labels.get(common::alarms::NOBODY));
    let (when, besides) = match (battery, unit.leak) {
        (Some(battery), true) => (labels.fill(common::alarms::BatteryOrLeak { battery: &battery }), None),
        (Some(battery), false) => (battery, Some(nobody(common::alarms::LEAK))),
        (None, true) => {
            (labels.get(common::alarms::LEAK).to_owned(), Some(nobody(common::alarms::LOW_BATTERY)))
        }
        (None, false) => return on_neither(),
    };
    let names = |lost: bool| {
        let mine = (0..setup.channels.len()).filter(|channel| unit.channels.contains(channel) == lost);
        listed(mine.map(|channel| channel_name(labels, &setup.channels[channel])))
    };
    let (lost, kept) = (&names(true), &names(false));
    let when = &when;
    let said = match kept.as_str() {
        _ if unit.stages.is_empty() => format!("{when}: {}", labels.get(common::alarms::NOTHING)),
        "" => labels.fill(card::AlarmAll { when, lost }),
        _ => labels.fill(card::Alarm { when, lost, kept }),
    };
    let motor = |channel: &ChannelId| {
        let driven = |d: &crate::setup::Device| d.kind.runs_a_motor() && d.input == Input::Channel(*channel);
        setup.devices.iter().any(driven)
    };
    let no_motor = !unit.stages.is_empty() && unit.channels.iter().any(motor);
    let said = if no_motor { format!("{said} {}", labels.get(card::NO_MOTOR)) } else { said };
    [said].into_iter().chain(besides).collect()
}

/// What is seen to before each trip, from what she carries.
pub(crate) fn launch(labels: &Labels, setup: &Setup) -> Vec<String> {
    let fittings = &setup.fittings;
    let say = |text| Some(labels.get(text).to_owned());
    let couplings =
        || labels.fill(launch::Couplings { couplings: &listed(fittings.couplings.iter().cloned()) });
    let all = [
        setup.has_bottle().then(|| say(launch::GAS)).flatten(),
        setup.works().any(|work| setup.work(work).kind.drops).then(|| say(launch::WEIGHT)).flatten(),
        (!fittings.couplings.is_empty()).then(couplings),
        (setup.dives() || !fittings.closing.is_empty()).then(|| say(launch::CLOSED)).flatten(),
        fittings.leak_test.as_ref().and_then(|_| say(launch::TUBE)),
        (!fittings.lights.is_empty()).then(|| say(launch::LIGHTS)).flatten(),
        say(launch::CONTROLS),
    ];
    all.into_iter().flatten().collect()
}

/// What each light says.
pub(crate) fn lights(setup: &Setup) -> Vec<[String; 2]> {
    // What is seen at a glance is read at one; a longer text may break.
    const GLANCE: usize = 16;
    let whole = |shows: &str| match shows.chars().count() <= GLANCE {
        true => shows.replace(' ', &FIXED.to_string()),
        false => shows.to_owned(),
    };
    setup.fittings.lights.iter().map(|light| [whole(&light.shows), light.means.clone()]).collect()
}
