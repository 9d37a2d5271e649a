//! What a rule found, in the reader's language. The sentences stand in the labels under the rule's
//! name; what the report for the builder says in English is not used.

use super::{Labels, channel_name, effect, frequency, percent, plain, seconds};
use crate::finding::{Finding, Gap, Outcome};
use crate::rule::states::{StateKind, states};
use crate::setup::{Exact, Setup};

/// What holds where a rule is proved, in a few words.
pub(in crate::document) fn proved(labels: &Labels, rule: &str) -> String {
    labels.get(&format!("rules.{rule}.proved")).to_owned()
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
        said.push(("region", labels.get(&format!("sheet.regions.{}", region.word())).to_owned()));
    }
    said.extend(finding.gaps.iter().map(|(name, value)| (*name, gap(labels, setup, value))));
    let said: Vec<(&str, &str)> = said.iter().map(|(name, value)| (*name, value.as_str())).collect();
    let what = labels.fill(&format!("rules.{}.{}", finding.rule, finding.sentence), &said);
    match finding.outcome {
        Outcome::Undecided => labels.fill("sheet.verdicts.undecided", &[("what", &what)]),
        _ => what,
    }
}

fn gap(labels: &Labels, setup: &Setup, value: &Gap) -> String {
    let unit = |path: &str, value: &Exact, digits: u32| {
        labels.fill(path, &[("number", &labels.decimal(&value.to_decimal(digits)))])
    };
    match value {
        Gap::Name(name) => plain(name),
        Gap::Place(about) => place(labels, setup, about),
        Gap::Effect(what) => effect(labels, setup, *what),
        Gap::Side(sign) => {
            labels.get(if *sign < 0 { "sheet.settings.shorter" } else { "sheet.settings.longer" }).to_owned()
        }
        Gap::Percent(value) => percent(labels, value),
        Gap::Seconds(value) => seconds(labels, value),
        Gap::Volts(value) => unit("common.volts", value, 2),
        Gap::Amperes(value) => unit("common.amperes", value, 2),
        Gap::Pulses(all) => {
            let all: Vec<String> = all.iter().map(|pulse| unit("sheet.micros", &pulse.0, 1)).collect();
            all.join(" / ")
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
    if let Some(part) = labels.find(&format!("common.parts.{about}")) {
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
            let stage = labels.fill("sheet.states.stage", &[("stage", &plain(stage))]);
            format!("{work} ({stage})")
        }
        None => plain(about),
    }
}

/// A state of the boat.
pub(in crate::document) fn state(labels: &Labels, setup: &Setup, name: &str) -> String {
    let (path, index) = match states(setup).iter().find(|state| state.name == name).map(|state| state.kind) {
        Some(StateKind::Stage(index)) => ("sheet.states.stage", index),
        Some(StateKind::StageWhilePiloting(index)) => ("sheet.states.stage_alarm", index),
        Some(StateKind::Waiting) if setup.fail_safe.is_none() => {
            return labels.get("sheet.states.lost").to_owned();
        }
        _ => return labels.get(&format!("sheet.states.{}", name.replace([' ', '-'], "_"))).to_owned(),
    };
    let stages = setup.fail_safe.as_ref().map(|unit| &unit.stages);
    let stage = stages.and_then(|stages| stages.get(index)).map_or_else(String::new, |s| plain(&s.name));
    labels.fill(path, &[("stage", &stage)])
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
            ("5/blow", "ballast (blow)"),
            ("5", "ballast"),
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
