//! What happens by itself: on a lost signal, on an alarm, and when power comes or goes.

use super::list::{List, Trial};
use super::never::never;
use super::pulses::on_channel;
use super::read::{At, Pulse, Reads};
use super::{lets_go, motor};
use crate::labels::text;
use crate::labels::text::sheet::tests;
use crate::rule::matrix::{Mark, What, at_power_up};
use crate::setup::Input;
use crate::sheet::loss::moments;
use crate::sheet::say::Say;
use crate::words::{self, listed, listed_apart, plain};

/// Each moment after a lost link, against a stopwatch.
pub(super) fn lost_link(say: &Say<'_>, list: &mut List<'_>) {
    list.group(tests::lost_link::TITLE, None);
    let unit = say.setup.fail_safe.as_ref();
    for (n, moment) in moments(say).into_iter().enumerate() {
        let time = moment.seconds.as_ref().map(|seconds| say.seconds(seconds));
        let what = match &time {
            _ if n == 0 => say.get(tests::lost_link::OFF).to_owned(),
            Some(time) => say.fill(tests::lost_link::Wait { time }),
            None => say.get(tests::lost_link::WAIT_UNKNOWN).to_owned(),
        };
        let off = match unit.and_then(|u| u.accuracy.as_ref()).filter(|_| moment.by_unit) {
            Some(own) => own.0.clone(),
            None => say.setup.transmitter.pulse.accuracy.0.clone(),
        };
        let pulses = moment
            .sets
            .iter()
            .map(|(channel, at)| on_channel(say, *channel, &say.band(&[at.clone(), at.clone()], &off)));
        let see = say.fill(tests::lost_link::See { when: &moment.when, what: &moment.what });
        let reads = moment.sets.iter().map(|(channel, at)| Pulse {
            // Of several that nobody knows when they come each has a name of its own.
            name: match &moment.seconds {
                Some(_) => format!("loss: {}: {}", moment.when, say.setup.channels[*channel].number),
                None => {
                    format!("loss: {}: {}: {}", moment.when, moment.what, say.setup.channels[*channel].number)
                }
            },
            channel: *channel,
            output: [at.clone(), at.clone()],
            off: off.clone(),
            at: At::Lost,
            hands: None,
        });
        let reads = Reads::Pulses(reads.collect());
        let pulses: Vec<String> = pulses.collect();
        let stopwatch = match &time {
            Some(time) => say.fill(tests::lost_link::Seconds { time }),
            None => say.get(tests::lost_link::SECONDS_UNKNOWN).to_owned(),
        };
        let beside = [vec![stopwatch], pulses.clone()].concat();
        let channels: Vec<_> = moment.sets.iter().map(|(channel, _)| *channel).collect();
        let trial = Trial::seen(what, see).expected(pulses.join("\n")).beside(beside).reads(reads);
        list.trial(trial.never(never(say, &channels, &moment.works)));
    }
    if motor(say.setup) {
        list.plain([tests::motor_on_loss::DO, tests::motor_on_loss::SEE]);
    }
    let comes_back = Trial::of([tests::comes_back::DO, tests::comes_back::SEE], say);
    list.trial(comes_back.beside(vec![say.get(tests::comes_back::SECONDS).to_owned()]));
    if say.setup.has_bottle() || lets_go(say.setup) {
        list.plain([tests::nothing_again::DO, tests::nothing_again::SEE]);
    }
}

pub(super) fn alarms(say: &Say<'_>, list: &mut List<'_>) {
    list.group(tests::alarms::TITLE, None);
    let Some(unit) = &say.setup.fail_safe else { return };
    let first = unit.stages.first().map_or_else(String::new, |s| plain(&s.name));
    let pulses = unit.stages.first().map_or_else(String::new, |stage| {
        let off = unit.accuracy.as_ref().unwrap_or(&say.setup.transmitter.pulse.accuracy);
        let each = stage
            .set
            .iter()
            .map(|(channel, at)| on_channel(say, *channel, &say.band(&[at.clone(), at.clone()], &off.0)));
        each.collect::<Vec<_>>().join("\n")
    });
    let (channels, works) = unit.stages.first().map_or_else(Default::default, |stage| {
        (stage.set.iter().map(|(channel, _)| *channel).collect::<Vec<_>>(), stage.works.clone())
    });
    let stays = never(say, &channels, &works);
    let kept = listed_apart(
        (0..say.setup.channels.len()).filter(|c| !unit.channels.contains(c)).map(|c| say.channel(c)),
    );
    let see = if kept.is_empty() {
        say.fill(tests::alarms::See { stage: &first })
    } else {
        say.fill(tests::alarms::SeeKept { stage: &first, channels: &kept })
    };
    if let Some((battery, below)) = &unit.low_battery {
        let name = say.setup.batteries.get(*battery).map_or("", |b| b.name.as_str());
        let volts = say.labels.decimal(&below.0.to_decimal(2));
        let volts = say.labels.fill(text::common::Volts { number: &volts });
        let what = say.fill(tests::alarms::Battery { name: &plain(name), volts: &volts });
        list.trial(Trial::seen(what, see.clone()).expected(pulses.clone()).never(stays.clone()));
    }
    if unit.leak {
        list.trial(Trial::seen(say.get(tests::alarms::LEAK), see).expected(pulses).never(stays));
    }
}

/// Power without a transmitter, range, and everything back where it belongs.
pub(super) fn afterwards(say: &Say<'_>, list: &mut List<'_>) {
    list.group(tests::afterwards::TITLE, None);
    list.add(say.get(tests::without_transmitter::DO), before_it_acts(say), "");
    for moment in words::power_up(say.labels, say.engine).moments {
        let then = say.fill(tests::without_transmitter::Then { moment: &moment });
        list.add(say.get(tests::without_transmitter::WAIT), then, "");
    }
    let open =
        if words::stays_open(say.setup) { tests::power_gone::SEE_OPEN } else { tests::power_gone::SEE };
    list.plain([tests::power_gone::DO, open]);
    list.plain([tests::range::DO, tests::range::SEE]);
    let levellers =
        say.setup.devices.iter().filter(|d| d.kind.passes_on && !matches!(d.input, Input::Behind(_)));
    for device in levellers {
        let name = plain(&device.name);
        let what = say.fill(tests::levels::Do { device: &name });
        list.add(what, say.get(tests::levels::SEE), "");
    }
}

/// What may be engaged from the moment the power comes on, off the proved table of causes and effects.
fn before_it_acts(say: &Say<'_>) -> String {
    let table = at_power_up(say.engine);
    let Some(first) = table.causes.first() else {
        return say.get(tests::without_transmitter::NOTHING).to_owned();
    };
    let may = table.effects.iter().zip(&first.marks).filter(|(_, m)| matches!(m, Mark::May | Mark::Surely));
    let names = listed(may.map(|(effect, _)| match effect.what {
        What::Function(work) => words::work_phrase(say.labels, say.setup, work),
        What::Motor(device) => {
            let name = plain(&say.setup.devices[device].name);
            say.fill(text::common::power_up::Runs { name: &name })
        }
    }));
    match names.as_str() {
        "" => say.get(tests::without_transmitter::NOTHING).to_owned(),
        but => say.fill(tests::without_transmitter::NothingBut { but }),
    }
}
