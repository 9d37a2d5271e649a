//! What a step of the bench rests on: in the file, where a change of it makes the step due again, and on the boat,
//! where the file says nothing of the change.

use crate::document::sheet::{At, Gate, Pulse, Test};
use crate::setup::canonical::Line;
use crate::setup::{ChannelId, DeviceId, Input, Setup, WorkRef};
use lidcard_proof::proof::cases::Influence;
use sha2::{Digest, Sha256};

/// One step of a test.
#[derive(Clone, Copy, Debug)]
pub enum Step<'a> {
    /// Something is seen; beside these pulses, where it belongs to some.
    Seen(&'a [Pulse]),
    /// A pulse is read.
    Pulse(&'a Pulse),
    /// A point of a function is crept up to.
    Point(WorkRef),
}

/// What a step rests on.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Rests {
    /// A sum over what the file says of it; empty where it has to be done each time.
    pub on: String,
    /// What of the boat and the set it rests on, by the names that `--changed` takes.
    pub things: Vec<String>,
}

/// So many letters of the sum are kept: by chance two agree once in a million million.
const LETTERS: usize = 10;

/// What a step rests on.
pub fn of(setup: &Setup, said: &[Line], test: &Test, step: Step) -> Rests {
    let mut things = match step {
        Step::Pulse(pulse) => of_pulse(setup, pulse),
        Step::Point(work) => chain_of(setup, work.device).map(|d| setup.devices[d].name.clone()).collect(),
        Step::Seen(pulses) => {
            let mut all: Vec<String> = pulses.iter().flat_map(|pulse| of_pulse(setup, pulse)).collect();
            all.extend(devices(setup, test, pulses).into_iter().map(|d| setup.devices[d].name.clone()));
            all.extend(sections(setup, test));
            all
        }
    };
    things.sort();
    things.dedup();
    let on = if test.gate == Gate::All { String::new() } else { sum(&texts(setup, said, test, step)) };
    Rests { on, things }
}

fn texts(setup: &Setup, said: &[Line], test: &Test, step: Step) -> Vec<String> {
    let of_file = |keep: &dyn Fn(&str) -> bool| {
        said.iter()
            .filter(|line| keep(&line.path))
            .map(|line| format!("{}={}", line.path, line.value))
            .collect()
    };
    match step {
        // A pulse is what it was as long as the same one is worked out.
        Step::Pulse(pulse) => {
            let ends = pulse.output.each_ref().map(|at| setup.axis.pulse_at(at).0.to_fraction());
            vec![pulse.name.clone(), ends.join(" ")]
        }
        // A point in microseconds stays where it is on the same device; its figures are what was read of it.
        Step::Point(work) => {
            let mut all: Vec<String> = chain_of(setup, work.device)
                .flat_map(|device| -> Vec<String> {
                    let under = format!("devices.{}.", setup.devices[device].name);
                    of_file(&|path| path.starts_with(&under) && !path[under.len()..].starts_with("works."))
                })
                .collect();
            all.push(setup.work_name(work));
            let axis = [&setup.axis.shorter, &setup.axis.rest, &setup.axis.longer];
            all.extend(axis.map(|us| us.0.to_fraction()));
            all
        }
        Step::Seen(pulses) => {
            let mut all = vec![test.what.clone(), test.see.clone(), test.expected.clone()];
            all.extend(pulses.iter().flat_map(|pulse| texts(setup, said, test, Step::Pulse(pulse))));
            for device in devices(setup, test, pulses) {
                let under = format!("devices.{}.", setup.devices[device].name);
                let lines: Vec<String> = of_file(&|path| path.starts_with(&under));
                all.extend(lines);
            }
            for section in test.rests_on.iter().filter(|section| **section != "devices") {
                let under = format!("{section}.");
                let lines: Vec<String> = of_file(&|path| path.starts_with(&under));
                all.extend(lines);
            }
            all
        }
    }
}

fn sum(texts: &[String]) -> String {
    let mut sum = Sha256::new();
    for text in texts {
        sum.update((text.len() as u64).to_le_bytes());
        sum.update(text.as_bytes());
    }
    let hex: String = sum.finalize().iter().map(|byte| format!("{byte:02x}")).collect();
    hex[..LETTERS].to_owned()
}

fn of_pulse(setup: &Setup, pulse: &Pulse) -> Vec<String> {
    let mut all = vec!["transmitter".to_owned(), "receiver".to_owned(), channel(setup, pulse.channel)];
    let unit = setup.fail_safe.as_ref().is_some_and(|unit| unit.channels.contains(&pulse.channel));
    if unit || pulse.at == At::Lost {
        all.push("fail_safe".to_owned());
    }
    let influence = Influence::on(setup, pulse.channel);
    all.extend(influence.controls.iter().chain(&influence.switches).map(|c| setup.controls[*c].name.clone()));
    all
}

fn channel(setup: &Setup, channel: ChannelId) -> String {
    format!("channel {}", setup.channels[channel].number)
}

/// A device and those that it is behind.
fn chain_of(setup: &Setup, device: DeviceId) -> impl Iterator<Item = DeviceId> {
    let behind = move |at: &DeviceId| match setup.devices[*at].input {
        Input::Behind(other) => Some(other),
        _ => None,
    };
    std::iter::successors(Some(device), behind).take(setup.devices.len())
}

/// The devices that something is seen of: those on the channels that are read, or all of them.
fn devices(setup: &Setup, test: &Test, pulses: &[Pulse]) -> Vec<DeviceId> {
    let all = 0..setup.devices.len();
    if pulses.is_empty() {
        return if test.rests_on.contains(&"devices") { all.collect() } else { Vec::new() };
    }
    let read = |device: &DeviceId| {
        let on = setup.channel_of(*device);
        pulses.iter().any(|pulse| Some(pulse.channel) == on)
    };
    all.filter(read).collect()
}

/// The things of the sections that a test rests on, but for devices.
fn sections(setup: &Setup, test: &Test) -> Vec<String> {
    let mut all = Vec::new();
    for section in test.rests_on {
        match *section {
            "devices" => {}
            "channels" => all.extend((0..setup.channels.len()).map(|id| channel(setup, id))),
            "controls" => all.extend(setup.controls.iter().map(|control| control.name.clone())),
            "batteries" => all.extend(setup.batteries.iter().map(|battery| battery.name.clone())),
            other => all.push(other.to_owned()),
        }
    }
    all
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::{Rests, Step, of};
    use crate::document::labels::Labels;
    use crate::document::sheet::{self, Reads};
    use crate::question::Engine;
    use crate::setup::canonical::lines;
    use crate::setup::lower;
    use crate::source::Source;
    use std::collections::BTreeMap;

    /// By name what every step of Moonfish rests on, with something in her file said otherwise.
    fn all(from: &str, to: &str) -> BTreeMap<String, Rests> {
        let text = include_str!("../../../boats/moonfish.yaml");
        assert_eq!(text.matches(from).count(), 1, "{from}");
        let source = Source::from_text("moonfish", &text.replace(from, to)).unwrap();
        let setup = lower::lower(&source).unwrap();
        let engine = Engine::new(&setup);
        let labels = Labels::of(lidcard_boat::language::ALL[0].1).speaking_of(&setup);
        let said = lines(&source.root);
        let mut found = BTreeMap::new();
        for test in sheet::readings(&engine, &labels) {
            let pulses: &[_] = if let Reads::Pulses(pulses) = &test.reads { pulses } else { &[] };
            for pulse in pulses {
                found.insert(pulse.name.clone(), of(&setup, &said, &test, Step::Pulse(pulse)));
            }
            let (name, step) = match &test.reads {
                Reads::Point(work, at, being) => {
                    (format!("point {} {at:?} {}", setup.work_name(*work), being.word()), Step::Point(*work))
                }
                _ => (format!("{} {}", test.what, test.see), Step::Seen(pulses)),
            };
            found.insert(name, of(&setup, &said, &test, step));
        }
        found
    }

    fn due(from: &str, to: &str) -> Vec<String> {
        let (before, after) = (all("reference: LB-014", "reference: LB-014"), all(from, to));
        let moved =
            |(name, rests): &(&String, &Rests)| before.get(*name).is_none_or(|was| was.on != rests.on);
        after.iter().filter(|one| moved(one)).map(|(name, _)| name.clone()).collect()
    }

    #[test]
    fn what_is_only_printed_makes_nothing_due() {
        assert_eq!(due("revision: C", "revision: D"), [""; 0]);
    }

    /// The pulse of that way, what it does, and what is tried with the whole boat; no other pulse and no point.
    #[test]
    fn an_endpoint_makes_its_own_way_due() {
        let due = due("blow: 53 %}", "blow: 55 %}");
        assert!(due.contains(&"4/blow held".to_owned()), "{due:?}");
        assert!(!due.iter().any(|name| name.contains("4/flood held") || name.starts_with("1/")), "{due:?}");
        assert!(!due.iter().any(|name| name.starts_with("point")), "{due:?}");
    }

    #[test]
    fn a_point_that_was_read_again_leaves_every_pulse_good() {
        let due = due("from: +72 % ± 4 %", "from: +74 % ± 4 %");
        assert!(
            !due.is_empty() && !due.iter().any(|name| name.ends_with(" held") || name.ends_with("/rest")),
            "{due:?}"
        );
        assert!(!due.iter().any(|name| name.starts_with("point")), "{due:?}");
    }

    #[test]
    fn another_servo_voids_its_points_and_no_pulse() {
        let all = all("reference: LB-014", "reference: LB-014");
        let rests = |name: &'static str| {
            all.iter().filter(move |(known, _)| known.contains(name)).map(|(_, rests)| rests)
        };
        assert!(rests("point tank_servo").count() > 3 && rests("4/blow held").count() > 0);
        assert!(rests("4/blow held").all(|r| !r.things.contains(&"tank_servo".to_owned())));
        assert!(rests("point tank_servo").all(|r| r.things == ["tank_servo"]));
        assert!(rests("4/blow held").all(|r| r.things.contains(&"transmitter".to_owned())));
    }
}
