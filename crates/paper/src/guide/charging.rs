//! Charging gas and batteries.
//!
//! The signal words are those of ANSI Z535.6 (Z535.4, 4.14, as quoted in a public list of questions
//! on labels): DANGER, death or serious injury will follow; WARNING, it could; CAUTION, minor or
//! moderate injury could; NOTICE, no injury. ISO 3864-2 has the first three. What is said of gas and
//! batteries is common practice without a source; makers and local rules go before it.

use super::known::Known;
use super::page::{Chapter, Part, Section};
use crate::labels::Text;
use crate::labels::text::guide::charging;
use crate::labels::text::guide::words;
use crate::words::{amperes, lasting, listed, plain};

/// A kind of battery that something special is said of.
struct Chemistry {
    /// Parts of what builders write.
    parts: &'static [&'static str],
    notice: Text,
    warning: Option<Text>,
}

const fn chemistry(parts: &'static [&'static str], notice: Text) -> Chemistry {
    Chemistry { parts, notice, warning: None }
}

/// The first that is met counts.
const CHEMISTRIES: &[Chemistry] = &[
    chemistry(&["lifepo", "life", "lfp"], charging::LIFE),
    Chemistry {
        warning: Some(charging::LIPO_FIRE),
        ..chemistry(&["lipo", "lithiumpolymer"], charging::LIPO)
    },
    chemistry(&["liion", "lithiumion"], charging::LIION),
    chemistry(&["nimh"], charging::NIMH),
    chemistry(&["nicd", "nicad"], charging::NICD),
    Chemistry {
        warning: Some(charging::LEAD_GAS),
        ..chemistry(&["lead", "pb", "sla", "agm", "gel", "blei"], charging::LEAD)
    },
];

/// The signal words, each with its label and with what it means.
const SIGNALS: [(&str, Text, Text); 4] = [
    ("danger", words::DANGER, charging::means::DANGER),
    ("warning", words::WARNING, charging::means::WARNING),
    ("caution", words::CAUTION, charging::means::CAUTION),
    ("notice", words::NOTICE, charging::means::NOTICE),
];

pub(super) fn chapter(known: &Known<'_>) -> Chapter {
    let gas = known.has_bottle();
    let title = title(known);
    let mut rest = Vec::new();
    if gas {
        rest.extend(gas_sections(known));
    }
    rest.extend(battery_sections(known));
    let used = SIGNALS.iter().filter(|(word, ..)| rest.iter().any(|s: &Section| s.signal == *word));
    let means = |(_, label, meaning): &(&str, Text, Text)| vec![known.say(*label), known.say(*meaning)];
    let legend =
        Section::new(known.say(charging::LEGEND), [Part::table(Vec::new(), used.map(means).collect())]);
    let intro = Section::plain([Part::words(known.say(if gas {
        charging::INTRO
    } else {
        charging::INTRO_BATTERIES
    }))]);
    Chapter::new(title, [intro, legend].into_iter().chain(rest))
}

/// The title, which another chapter names.
pub(super) fn title(known: &Known<'_>) -> String {
    known.say(if known.has_bottle() { charging::TITLE } else { charging::TITLE_BATTERIES })
}

fn gas_sections(known: &Known<'_>) -> Vec<Section> {
    use crate::labels::text::guide::charging::gas_steps;
    let steps = [gas_steps::MAKER, gas_steps::OUT, gas_steps::WEIGH, gas_steps::CHECK, gas_steps::COUNT]
        .map(|text| known.say(text));
    let mut all = vec![Section::new(known.say(charging::GAS), [Part::steps(steps)]).whole()];
    // One box for each word: seven boxes behind each other are read as none.
    let warnings = [
        charging::GAS_VESSEL,
        charging::GAS_BURNS,
        charging::GAS_BREATH,
        charging::GAS_EYES,
        charging::GAS_SUN,
    ];
    all.push(Section::signal("danger", known.say(charging::GAS_HEAT)));
    all.push(Section::signals("warning", warnings.map(|text| known.say(text))));
    all.push(Section::signal("caution", known.say(charging::GAS_COLD)));
    all
}

fn battery_sections(known: &Known<'_>) -> Vec<Section> {
    use crate::labels::text::guide::charging::steps;
    let steps =
        [steps::OFF, steps::CHARGER, steps::PLACE, steps::STAY, steps::REST].map(|text| known.say(text));
    let batteries = &known.setup.batteries;
    let mut own: Vec<String> = (0..batteries.len()).map(|id| battery(known, id)).collect();
    if own.is_empty() {
        own.push(known.say(charging::UNKNOWN));
    }
    let mut all =
        vec![Section::new(known.say(charging::BATTERIES), [Part::points(own), Part::steps(steps)]).whole()];
    all.push(Section::signal("warning", known.say(charging::FIRE)));
    let aboard: Vec<&Chemistry> = CHEMISTRIES.iter().filter(|kind| is_aboard(known, kind)).collect();
    all.extend(
        aboard.iter().filter_map(|kind| kind.warning).map(|text| Section::signal("warning", known.say(text))),
    );
    all.push(Section::signal("caution", known.say(charging::SHORT)));
    all.extend(aboard.into_iter().map(|kind| Section::signal("notice", known.say(kind.notice))));
    all
}

fn is_aboard(known: &Known<'_>, kind: &Chemistry) -> bool {
    let found = known.setup.batteries.iter().filter_map(|b| chemistry_of(b.chemistry.as_deref()?));
    found.into_iter().any(|found| found.notice == kind.notice)
}

/// Which kind a builder's word names.
fn chemistry_of(written: &str) -> Option<&'static Chemistry> {
    let word: String = written.chars().filter(|c| c.is_alphanumeric()).collect::<String>().to_lowercase();
    CHEMISTRIES.iter().find(|kind| kind.parts.iter().any(|part| word.contains(part)))
}

fn battery(known: &Known<'_>, id: usize) -> String {
    let battery = &known.setup.batteries[id];
    let cells = battery.cells.map(|n| known.fill(charging::Cells { count: &n.to_string() }));
    let capacity = battery.capacity.as_ref().map(|c| known.labels.decimal(&c.to_string()));
    let facts = listed([battery.chemistry.clone(), cells, capacity].into_iter().flatten());
    let name = plain(&battery.name);
    let mut said = vec![match facts.is_empty() {
        true => format!("{name}."),
        false => known.fill(charging::Has { name: &name, facts: &facts }),
    }];
    said.push(match lasting(known.labels, known.setup, id) {
        Ok(found) if found.alarm => known.fill(charging::LastsAlarm { minutes: &found.minutes }),
        Ok(found) => known.fill(charging::LastsFlat { minutes: &found.minutes }),
        Err(_) => known.say(charging::LASTS_UNKNOWN),
    });
    if let Some(fuse) = &battery.fuse {
        said.push(known.fill(charging::Fuse { rated: &amperes(known.labels, &fuse.0) }));
    }
    said.join(" ")
}

#[cfg(test)]
mod tests {
    use super::chemistry_of;
    use crate::labels::text::guide::charging::{LEAD, LIFE, LIION, LIPO, NICD, NIMH};

    #[test]
    fn a_chemistry_is_known_however_it_is_spelled() {
        for (written, notice) in [
            ("NiMH", NIMH),
            ("Ni-MH", NIMH),
            ("LiPo", LIPO),
            ("Li-Po", LIPO),
            ("LiFePO4", LIFE),
            ("LiFe", LIFE),
            ("Li-ion", LIION),
            ("lead", LEAD),
            ("lead gel", LEAD),
            ("NiCd", NICD),
        ] {
            assert_eq!(chemistry_of(written).map(|kind| kind.notice), Some(notice), "{written}");
        }
        assert!(chemistry_of("zinc air").is_none());
    }
}
