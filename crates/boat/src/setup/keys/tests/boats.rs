//! The smallest boats that can hold the examples of keys.

use super::super::Part;

/// The smallest boat that there is.
const LEAST: &str = "\
lidcard: 1
boat: {name: Pond Newt}
controls: {helm: {ways: {left: port, right: starboard}}}
channels: {1: {control: helm}}
devices: {rudder_servo: {kind: servo, channel: 1}}
";

const WITH_A_SWITCH: &str = "\
controls: {helm: {ways: {left: port, right: starboard}}, agility: {settings: [gentle, full]}}
devices:
  bow_servo:
    kind: servo
    channel: 1
    works: {tube: {kind: light, from: +60 %, reserved: {unless: {agility: full}}}}
";

const WITH_A_GUARD_AND_A_LAMP: &str = "\
controls: {helm: {ways: {left: port, right: starboard}}, guard: {settings: [safe, armed]}}
channels: {1: {control: helm, rate: {guard: {safe: 50 %, armed: 100 %}}}}
devices:
      lamp: {kind: light, from: -40 %}
";

const WITH_A_PUMP: &str =
    "devices: {tank_servo: {kind: servo, channel: 1, works: {pump: {kind: pump switch, from: +40 %}}}}";

const WITH_CHANNELS_FOR_A_UNIT: &str = "\
channels:
  1: {control: helm, spare: yes}
  3: {control: helm, spare: yes}
  5: {control: helm}
  7: {control: helm, spare: yes}
devices: {tank_servo: {kind: servo, channel: 5, works: {pump: {kind: pump switch, from: +40 %}}}}
batteries: {main: {cells: 6}}
";

const WITH_A_LEVELLER: &str = "\
channels: {1: {control: helm, spare: yes}}
devices:
  levels: {kind: leveller}
batteries: {main: {cells: 6}}
";

/// What the examples of a part speak of beside it.
fn beside(part: &Part) -> &'static str {
    match part.name {
        "channel" | "mix" | "want" | "emergency_step" => WITH_A_SWITCH,
        "work" | "reserved" => WITH_A_GUARD_AND_A_LAMP,
        "tank" | "emptier" => WITH_A_PUMP,
        "receiver" | "stored" | "preset" | "fail_safe" | "notices" | "stage" | "low_battery" => {
            WITH_CHANNELS_FOR_A_UNIT
        }
        "device" => WITH_A_LEVELLER,
        _ => "",
    }
}

/// The sections of a file, each with its lines.
fn sections(text: &str) -> Vec<(&str, Vec<&str>)> {
    let mut all: Vec<(&str, Vec<&str>)> = Vec::new();
    for line in text.lines() {
        match all.last_mut() {
            Some((_, lines)) if line.starts_with(' ') => lines.push(line),
            _ => all.push((line.split(':').next().unwrap_or(line), vec![line])),
        }
    }
    all
}

/// The smallest boat that can hold an example: what the example speaks of is put beside it.
pub(super) fn around(part: &Part, example: &str) -> String {
    let mut all = sections(example);
    for (name, lines) in sections(beside(part)) {
        match all.iter_mut().find(|(known, _)| *known == name) {
            Some((_, known)) => known.extend(&lines[1..]),
            None => all.push((name, lines)),
        }
    }
    let least = sections(LEAST);
    let least = least.iter().filter(|(name, _)| all.iter().all(|(known, _)| known != name));
    let lines = least.chain(&all).flat_map(|(_, lines)| lines.iter().copied());
    lines.map(|line| format!("{line}\n")).collect()
}
