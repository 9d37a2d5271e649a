//! What a rule found, in the reader's language. The sentences stand in the labels under the rule's
//! name; what the report for the builder says in English is not used.

use super::{Labels, amperes, channel_name, effect, frequency, link, percent, plain, seconds};
use crate::finding::{Finding, Gap, Outcome, StateId, Subject};
use crate::labels::text;
use crate::labels::text::common;
use crate::labels::text::sheet::settings;
use crate::labels::text::sheet::states;
use crate::setup::quantity::Micros;
use crate::setup::{Exact, Setup, WorkRef};

/// What holds where a rule is proved, in a few words.
pub(crate) fn proved(labels: &Labels, rule: &str) -> String {
    labels.proved(rule).to_owned()
}

/// What is wrong, one sentence without a full stop.
pub fn sentence(labels: &Labels, setup: &Setup, finding: &Finding) -> String {
    let mut said =
        vec![("about", about(labels, setup, finding)), ("state", state(labels, setup, finding.when))];
    let set = &setup.transmitter;
    if let Some(written) = &set.frequency {
        said.push(("frequency", frequency(labels, written)));
    }
    if let Some(region) = set.region {
        said.push(("region", labels.word(text::sheet::REGIONS, region.word()).to_owned()));
    }
    said.extend(finding.gaps.iter().map(|(name, value)| (*name, gap(labels, setup, value))));
    if finding.outcome == Outcome::NotJudged {
        return labels.fill(text::sheet::verdicts::NotJudged { what: &proved(labels, finding.rule) });
    }
    let what = labels.sentence(finding.rule, finding.sentence, &said);
    match finding.outcome {
        Outcome::Undecided => labels.fill(text::sheet::verdicts::Undecided { what: &what }),
        _ => what,
    }
}

fn gap(labels: &Labels, setup: &Setup, value: &Gap) -> String {
    let decimal = |value: &Exact, digits: u32| labels.decimal(&value.to_decimal(digits));
    match value {
        Gap::Name(name) => plain(name),
        Gap::Place(subject) => place(labels, setup, *subject),
        Gap::Effect(what) => effect(labels, setup, *what),
        Gap::Side(sign) => {
            labels.get(if *sign < 0 { settings::SHORTER } else { settings::LONGER }).to_owned()
        }
        Gap::Percent(value) => percent(labels, value),
        Gap::Seconds(value) => seconds(labels, value),
        Gap::Volts(value) => labels.fill(common::Volts { number: &decimal(value, 2) }),
        Gap::Amperes(value) => amperes(labels, value),
        Gap::Link(one) => link(labels, *one),
        Gap::Pulses(all) => {
            let micros = |pulse: &Micros| labels.fill(text::sheet::Micros { number: &decimal(&pulse.0, 1) });
            all.iter().map(micros).collect::<Vec<_>>().join(" / ")
        }
    }
}

/// What a finding is about, in the reader's words; an acceptance names it in the builder's.
pub(crate) fn about(labels: &Labels, setup: &Setup, finding: &Finding) -> String {
    match finding.subject {
        Subject::Acceptance(_) => plain(&finding.about),
        subject => place(labels, setup, subject),
    }
}

/// A thing of the boat: `gas (tank servo)`, `ballast (blow)`, `fail-safe unit`.
pub(crate) fn place(labels: &Labels, setup: &Setup, subject: Subject) -> String {
    let function =
        |of: WorkRef| format!("{} ({})", plain(&setup.work(of).name), plain(&setup.devices[of.device].name));
    let channel = |id: usize| plain(&channel_name(labels, &setup.channels[id]));
    let stage = |index: usize| {
        let stages = setup.fail_safe.as_ref().map(|unit| &unit.stages);
        let name = stages.and_then(|stages| stages.get(index)).map_or("", |stage| stage.name.as_str());
        labels.fill(states::Stage { stage: &plain(name) })
    };
    let part = |name: &str| labels.find_word(common::PARTS, name).unwrap_or(name).to_owned();
    match subject {
        Subject::Function(of) | Subject::FunctionByWay(of, ..) | Subject::Pair(of, _) => function(of),
        Subject::InStage(index, of) => format!("{} ({})", plain(&setup.work(of).name), stage(index)),
        Subject::InStageOnDevice(index, of) => format!("{} ({})", function(of), stage(index)),
        Subject::Device(device) | Subject::DeviceSide(device, _) => plain(&setup.devices[device].name),
        Subject::Way(id, side) => match setup.channels[id].control {
            Some(own) => place(labels, setup, Subject::WayOf(id, own, side)),
            None => channel(id),
        },
        Subject::WayOf(id, control, side) => {
            format!("{} ({})", channel(id), plain(&setup.controls[control].ways[side.index()]))
        }
        Subject::MixedByModule(device, control) => {
            format!("{} ({})", plain(&setup.devices[device].name), plain(&setup.controls[control].name))
        }
        Subject::Channel(id) => channel(id),
        Subject::Control(control) => plain(&setup.controls[control].name),
        Subject::Battery(battery) => plain(&setup.batteries[battery].name),
        // Without a unit it is the receiver that acts or does not.
        Subject::Unit if setup.fail_safe.is_none() => part("receiver"),
        Subject::Unit => part("fail_safe"),
        Subject::Receiver => part("receiver"),
        Subject::Transmitter => part("transmitter"),
        Subject::Hull => part("hull"),
        Subject::Tank => part("tank"),
        Subject::Boat => plain(&setup.boat.name),
        Subject::Stage(index) => stage(index),
        Subject::Acceptance(_) => String::new(),
    }
}

/// A state of the boat.
pub(crate) fn state(labels: &Labels, setup: &Setup, state: StateId) -> String {
    let stage = |index: usize| {
        let stages = setup.fail_safe.as_ref().map(|unit| &unit.stages);
        stages.and_then(|stages| stages.get(index)).map_or_else(String::new, |s| plain(&s.name))
    };
    let word = match state {
        StateId::Stage(index) => return labels.fill(states::Stage { stage: &stage(index) }),
        StateId::StageWhilePiloting(index) => {
            return labels.fill(states::StageAlarm { stage: &stage(index) });
        }
        StateId::Waiting if setup.fail_safe.is_none() => states::LOST,
        StateId::Waiting => states::WAITING,
        StateId::Piloting => states::PILOTING,
        StateId::LostForGood => states::LOST_FOR_GOOD,
        StateId::PowerUp => states::POWER_UP,
        StateId::LowBattery => states::LOW_BATTERY,
        StateId::OnPaper => states::ON_PAPER,
    };
    labels.get(word).to_owned()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::{StateId, Subject, place, state};
    use crate::labels::Labels;
    use crate::setup::{Setup, Side, lower};
    use crate::source::Source;

    fn moonfish(change: impl Fn(&str) -> String) -> Setup {
        let text = change(include_str!("../../../../boats/moonfish.yaml"));
        lower::lower(&Source::from_text("moonfish", &text).unwrap()).unwrap()
    }

    #[test]
    fn a_place_is_said_in_the_words_of_its_parts() {
        let labels = Labels::english();
        let setup = moonfish(str::to_owned);
        let device = |name: &str| setup.devices.iter().position(|d| d.name == name).unwrap();
        let channel = setup.channels.iter().position(|c| c.name.as_deref() == Some("ballast")).unwrap();
        let gas = setup.works().find(|work| setup.work_name(*work) == "tank_servo.gas").unwrap();
        let helm = setup.controls.iter().position(|c| c.name == "helm").unwrap();
        for (subject, said) in [
            (Subject::Function(gas), "gas (tank servo)"),
            (Subject::Device(device("tank_servo")), "tank servo"),
            (Subject::Way(channel, Side::High), "ballast (blow)"),
            (Subject::Channel(channel), "ballast"),
            (Subject::InStage(0, gas), "gas (stage blow)"),
            (Subject::InStageOnDevice(0, gas), "gas (tank servo) (stage blow)"),
            (Subject::MixedByModule(device("bow_servo"), helm), "bow servo (helm)"),
            (Subject::Unit, "fail-safe unit"),
            (Subject::Transmitter, "transmitter"),
        ] {
            assert_eq!(place(&labels, &setup, subject), said);
        }
    }

    #[test]
    fn a_battery_that_bears_the_name_of_a_part_keeps_it() {
        let setup = moonfish(|text| {
            text.replace("battery: main", "battery: transmitter").replace("  main:\n", "  transmitter:\n")
        });
        let german = Labels::of(crate::language::ALL[1].1);
        let battery = setup.batteries.iter().position(|b| b.name == "transmitter").unwrap();
        assert_eq!(place(&german, &setup, Subject::Battery(battery)), "transmitter");
        assert_eq!(place(&german, &setup, Subject::Receiver), "Empfänger");
    }

    #[test]
    fn a_stage_may_bear_any_name() {
        let labels = Labels::english();
        let setup = moonfish(|text| text.replace("{name: blow,", "{name: alarm,"));
        assert_eq!(state(&labels, &setup, StateId::Stage(0)), "stage alarm");
        assert_eq!(state(&labels, &setup, StateId::StageWhilePiloting(0)), "stage alarm on alarm");
        assert_eq!(state(&labels, &setup, StateId::LostForGood), "signal lost for good");
    }
}
