//! What a rule found, in the reader's language. The sentences stand in the labels under the rule's
//! name; what the report for the builder says in English is not used.

use super::{Labels, channel_name, effect, frequency, percent, plain, seconds};
use crate::document::labels::text;
use crate::document::labels::text::common;
use crate::document::labels::text::sheet::settings;
use crate::document::labels::text::sheet::states;
use crate::finding::{Finding, Gap, Outcome};
use crate::rule::states::{StateKind, states};
use crate::setup::quantity::Micros;
use crate::setup::{Exact, Setup};

/// What holds where a rule is proved, in a few words.
pub(in crate::document) fn proved(labels: &Labels, rule: &str) -> String {
    labels.proved(rule).to_owned()
}

/// What is wrong, one sentence without a full stop.
pub fn sentence(labels: &Labels, setup: &Setup, finding: &Finding) -> String {
    let mut said = vec![
        ("about", place(labels, setup, &finding.about)),
        ("state", state(labels, setup, &finding.state)),
    ];
    let set = &setup.transmitter;
    if let Some(written) = &set.frequency {
        said.push(("frequency", frequency(labels, written)));
    }
    if let Some(region) = set.region {
        said.push(("region", labels.word(text::sheet::REGIONS, region.word()).to_owned()));
    }
    said.extend(finding.gaps.iter().map(|(name, value)| (*name, gap(labels, setup, value))));
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
        Gap::Place(about) => place(labels, setup, about),
        Gap::Effect(what) => effect(labels, setup, *what),
        Gap::Side(sign) => {
            labels.get(if *sign < 0 { settings::SHORTER } else { settings::LONGER }).to_owned()
        }
        Gap::Percent(value) => percent(labels, value),
        Gap::Seconds(value) => seconds(labels, value),
        Gap::Volts(value) => labels.fill(common::Volts { number: &decimal(value, 2) }),
        Gap::Amperes(value) => labels.fill(common::Amperes { number: &decimal(value, 2) }),
        Gap::Pulses(all) => {
            let micros = |pulse: &Micros| labels.fill(text::sheet::Micros { number: &decimal(&pulse.0, 1) });
            all.iter().map(micros).collect::<Vec<_>>().join(" / ")
        }
    }
}

/// What a finding is about: `gas (tank servo)`, `ballast (blow)`, `fail-safe unit`.
pub(in crate::document) fn place(labels: &Labels, setup: &Setup, about: &str) -> String {
    let named = |name: &str| setup.devices.iter().any(|d| d.name == name);
    let battery = setup.batteries.iter().any(|b| b.name == about);
    let control = setup.controls.iter().any(|c| c.name == about);
    // A name that the builder gave goes before the program's word for a part.
    if battery || control || named(about) {
        return plain(about);
    }
    // Without a unit it is the receiver that acts or does not.
    let about = if about == "fail_safe" && setup.fail_safe.is_none() { "receiver" } else { about };
    if let Some(part) = labels.find_word(common::PARTS, about) {
        return part.to_owned();
    }
    let channel = |number: &str| {
        let number: u8 = number.parse().ok()?;
        setup.channels.iter().find(|c| c.number == number)
    };
    if let Some(channel) = channel(about) {
        let name = channel_name(labels, channel);
        return plain(&name);
    }
    if let Some((number, way)) = about.split_once('/') {
        let first = match channel(number) {
            Some(channel) => channel_name(labels, channel),
            None => number.to_owned(),
        };
        return format!("{} ({})", plain(&first), plain(way));
    }
    // A work by its device, or a stage with a work.
    match about.split_once('.') {
        Some((device, work)) if named(device) => format!("{} ({})", plain(work), plain(device)),
        Some((stage, work)) => {
            let work = place(labels, setup, work);
            let stage = labels.fill(states::Stage { stage: &plain(stage) });
            format!("{work} ({stage})")
        }
        None => plain(about),
    }
}

/// A state of the boat.
pub(in crate::document) fn state(labels: &Labels, setup: &Setup, name: &str) -> String {
    let stage = |index: usize| {
        let stages = setup.fail_safe.as_ref().map(|unit| &unit.stages);
        stages.and_then(|stages| stages.get(index)).map_or_else(String::new, |s| plain(&s.name))
    };
    match states(setup).iter().find(|state| state.name == name).map(|state| state.kind) {
        Some(StateKind::Stage(index)) => labels.fill(states::Stage { stage: &stage(index) }),
        Some(StateKind::StageWhilePiloting(index)) => {
            labels.fill(states::StageAlarm { stage: &stage(index) })
        }
        Some(StateKind::Waiting) if setup.fail_safe.is_none() => labels.get(states::LOST).to_owned(),
        _ => match name {
            "piloting" => labels.get(states::PILOTING),
            "waiting" => labels.get(states::WAITING),
            "lost for good" => labels.get(states::LOST_FOR_GOOD),
            "power-up" => labels.get(states::POWER_UP),
            "low battery" => labels.get(states::LOW_BATTERY),
            "on paper" => labels.get(states::ON_PAPER),
            other => other,
        }
        .to_owned(),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::{place, state};
    use crate::document::labels::Labels;
    use crate::setup::{Setup, lower};
    use crate::source::Source;

    fn moonfish(change: impl Fn(&str) -> String) -> Setup {
        let text = change(include_str!("../../../boats/moonfish.yaml"));
        lower::lower(&Source::from_text("moonfish", &text).unwrap()).unwrap()
    }

    #[test]
    fn a_place_is_said_in_the_words_of_its_parts() {
        let labels = Labels::english();
        let setup = moonfish(str::to_owned);
        for (about, said) in [
            ("tank_servo.gas", "gas (tank servo)"),
            ("tank_servo", "tank servo"),
            ("4/blow", "ballast (blow)"),
            ("4", "ballast"),
            ("blow.gas", "gas (stage blow)"),
            ("blow.tank_servo.gas", "gas (tank servo) (stage blow)"),
            ("bow_servo/helm", "bow servo (helm)"),
            ("fail_safe", "fail-safe unit"),
            ("transmitter", "transmitter"),
        ] {
            assert_eq!(place(&labels, &setup, about), said);
        }
    }

    #[test]
    fn a_battery_that_bears_the_name_of_a_part_keeps_it() {
        let setup = moonfish(|text| {
            text.replace("battery: main", "battery: transmitter").replace("  main: {", "  transmitter: {")
        });
        let german = Labels::of(crate::language::ALL[1].1);
        assert_eq!(place(&german, &setup, "transmitter"), "transmitter");
        assert_eq!(place(&german, &setup, "receiver"), "Empfänger");
    }

    #[test]
    fn a_stage_may_bear_any_name() {
        let labels = Labels::english();
        let setup = moonfish(|text| text.replace("{name: blow,", "{name: alarm,"));
        assert_eq!(state(&labels, &setup, "stage alarm"), "stage alarm");
        assert_eq!(state(&labels, &setup, "stage alarm (low battery or leak)"), "stage alarm on alarm");
        assert_eq!(state(&labels, &setup, "lost for good"), "signal lost for good");
    }
}
