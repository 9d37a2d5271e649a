//! Charging gas and batteries.
//!
//! The signal words are those of ANSI Z535.6 (Z535.4, 4.14, as quoted in a public list of questions
//! on labels): DANGER, death or serious injury will follow; WARNING, it could; CAUTION, minor or
//! moderate injury could; NOTICE, no injury. ISO 3864-2 has the first three. What is said of gas and
//! batteries is common practice without a source; makers and local rules go before it.

use super::known::Known;
use super::page::{Chapter, Part, Section};
use crate::document::words::{listed, plain};
use crate::setup::Battery;

/// The kinds of batteries that something special is said of, by parts of what builders write. The
/// first that is met counts.
const CHEMISTRIES: &[(&str, &[&str])] = &[
    ("life", &["lifepo", "life", "lfp"]),
    ("lipo", &["lipo", "lithiumpolymer"]),
    ("liion", &["liion", "lithiumion"]),
    ("nimh", &["nimh"]),
    ("nicd", &["nicd", "nicad"]),
    ("lead", &["lead", "pb", "sla", "agm", "gel", "blei"]),
];

pub(super) fn chapter(known: &Known<'_>) -> Chapter {
    let gas = known.has_bottle();
    let say = |key: &str| known.say(&format!("guide.charging.{key}"));
    let title = title(known);
    let mut rest = Vec::new();
    if gas {
        rest.extend(gas_sections(known));
    }
    rest.extend(battery_sections(known));
    let used = ["danger", "warning", "caution", "notice"].into_iter();
    let used = used.filter(|word| rest.iter().any(|s: &Section| s.signal == *word));
    let means = |word: &str| vec![known.say(&format!("guide.words.{word}")), say(&format!("means.{word}"))];
    let legend = Section::new(say("legend"), [Part::table(Vec::new(), used.map(means).collect())]);
    let intro = Section::plain([Part::words(say(if gas { "intro" } else { "intro_batteries" }))]);
    Chapter::new(title, [intro, legend].into_iter().chain(rest))
}

/// The title, which another chapter names.
pub(super) fn title(known: &Known<'_>) -> String {
    known.say(if known.has_bottle() { "guide.charging.title" } else { "guide.charging.title_batteries" })
}

fn gas_sections(known: &Known<'_>) -> Vec<Section> {
    let say = |key: &str| known.say(&format!("guide.charging.{key}"));
    let steps = ["maker", "out", "weigh", "check", "count"].map(|key| say(&format!("gas_steps.{key}")));
    let mut all = vec![Section::new(say("gas"), [Part::steps(steps)]).whole()];
    for (word, key) in [
        ("danger", "gas_heat"),
        ("warning", "gas_vessel"),
        ("warning", "gas_burns"),
        ("warning", "gas_breath"),
        ("warning", "gas_eyes"),
        ("warning", "gas_sun"),
        ("caution", "gas_cold"),
    ] {
        all.push(Section::signal(word, say(key)));
    }
    all
}

fn battery_sections(known: &Known<'_>) -> Vec<Section> {
    let say = |key: &str| known.say(&format!("guide.charging.{key}"));
    let steps = ["off", "charger", "place", "stay", "rest"].map(|key| say(&format!("steps.{key}")));
    let batteries = &known.setup.batteries;
    let mut own: Vec<String> = batteries.iter().map(|b| battery(known, b)).collect();
    if own.is_empty() {
        own.push(say("unknown"));
    }
    let mut all = vec![Section::new(say("batteries"), [Part::points(own), Part::steps(steps)]).whole()];
    all.push(Section::signal("warning", say("fire")));
    let aboard: Vec<&str> =
        CHEMISTRIES.iter().map(|(key, _)| *key).filter(|key| is_aboard(known, key)).collect();
    for key in &aboard {
        match *key {
            "lead" => all.push(Section::signal("warning", say("lead_gas"))),
            "lipo" => all.push(Section::signal("warning", say("lipo_fire"))),
            _ => {}
        }
    }
    all.push(Section::signal("caution", say("short")));
    all.extend(aboard.into_iter().map(|key| Section::signal("notice", say(key))));
    all
}

fn is_aboard(known: &Known<'_>, key: &str) -> bool {
    known.setup.batteries.iter().filter_map(|b| chemistry(b.chemistry.as_deref()?)).any(|found| found == key)
}

/// Which kind a builder's word names.
fn chemistry(written: &str) -> Option<&'static str> {
    let word: String = written.chars().filter(|c| c.is_alphanumeric()).collect::<String>().to_lowercase();
    let known = CHEMISTRIES.iter().find(|(_, parts)| parts.iter().any(|part| word.contains(part)));
    known.map(|(key, _)| *key)
}

fn battery(known: &Known<'_>, battery: &Battery) -> String {
    let cells = battery.cells.map(|n| known.fill("guide.charging.cells", &[("count", &n.to_string())]));
    let capacity = battery.capacity.as_ref().map(|c| known.labels.decimal(c));
    let facts = listed([battery.chemistry.clone(), cells, capacity].into_iter().flatten());
    let name = plain(&battery.name);
    if facts.is_empty() {
        return name;
    }
    known.fill("guide.charging.has", &[("name", &name), ("facts", &facts)])
}

#[cfg(test)]
mod tests {
    use super::chemistry;

    #[test]
    fn a_chemistry_is_known_however_it_is_spelled() {
        for (written, key) in [
            ("NiMH", "nimh"),
            ("Ni-MH", "nimh"),
            ("LiPo", "lipo"),
            ("Li-Po", "lipo"),
            ("LiFePO4", "life"),
            ("LiFe", "life"),
            ("Li-ion", "liion"),
            ("lead", "lead"),
            ("lead gel", "lead"),
            ("NiCd", "nicd"),
        ] {
            assert_eq!(chemistry(written), Some(key), "{written}");
        }
        assert_eq!(chemistry("zinc air"), None);
    }
}
