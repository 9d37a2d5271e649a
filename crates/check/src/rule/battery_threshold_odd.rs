//! The voltage at which the unit acts does not fit the battery it watches.

use super::engine::Engine;
use super::say::Draft;
use crate::finding::{Gap, Missing, Severity, StateId, Subject};
use crate::question::{Asks, Question};
use crate::rehearsal::cell::common;
use crate::setup::{Battery, Exact, Path};

pub(super) const NAME: &str = "battery-threshold-odd";

/// What a battery does that nobody named is not known.
fn unsaid<'a>() -> Question<'a> {
    let missing = Missing {
        path: Path::of(["batteries"]),
        bench: "read it off the packs: `{main: {cells: 6, chemistry: NiMH, capacity: 4.2 Ah}}`, or write `none` where \
                she carries none"
            .to_owned(),
        holds: None,
        said: false, decides: None };
    Draft::new(NAME, Severity::Warning, Subject::Boat, StateId::LowBattery).asks(
        Asks::Unsaid(vec![missing]),
        String::new(),
        "she is safe while her battery runs down",
    )
}

/// What the watched battery is, where the file does not say.
fn not_told(battery: &Battery, key: &str) -> Missing {
    Missing {
        path: Path::of(["batteries", &battery.name, key]),
        bench: "read it off the pack: how many cells, and of which kind".to_owned(),
        holds: None,
        said: false,
        decides: None,
    }
}

/// Once for the watched battery and each thing it can be compared with.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    if setup.unsaid.batteries {
        questions.push(unsaid());
    }
    let Some((index, below)) = setup.fail_safe.as_ref().and_then(|unit| unit.low_battery.as_ref()) else {
        return;
    };
    let battery = &setup.batteries[*index];
    let at = Path::of(["fail_safe", "low_battery", "below"]);
    let draft = || {
        Draft::new(NAME, Severity::Warning, Subject::Battery(*index), StateId::LowBattery)
            .at(at.clone(), "the unit acts below this")
            .gap("at", Gap::Volts(below.0.clone()))
    };
    let volts = |value: &Exact| format!("{} V", value.to_decimal(2));
    if let (Some(cells), Some(cell)) = (battery.cells, battery.chemistry.as_deref().and_then(common)) {
        let pack = |hundredths: i64| Exact::ratio(hundredths, 100) * Exact::int(i64::from(cells));
        let (end, loaded) = (pack(cell.end), pack(cell.loaded));
        let (too_low, too_high) = (below.0 < end, below.0 >= loaded);
        let broken = if too_low {
            format!(
                "{} is flat before the unit acts: {} cells are empty at about {}",
                battery.name,
                cells,
                volts(&end)
            )
        } else {
            format!(
                "the unit acts while {} is still good: {} cells give about {} under load",
                battery.name,
                cells,
                volts(&loaded)
            )
        };
        questions.push(
            draft()
                .and_at(Path::of(["batteries", &battery.name]), "what it is")
                .sentence(if too_low { "flat" } else { "early" })
                .gap("end", Gap::Volts(end.clone()))
                .gap("loaded", Gap::Volts(loaded.clone()))
                .help(format!(
                    "take a value between {} and {}, measured with the motor at full speed; check the number of cells",
                    volts(&end),
                    volts(&loaded)
                ))
                .fact(
                    too_low || too_high,
                    &broken,
                    format!("the unit acts at a voltage that is common for {}", battery.name),
                ),
        );
    }
    let known = [("cells", battery.cells.is_some()), ("chemistry", battery.chemistry.is_some())];
    let missing: Vec<Missing> =
        known.iter().filter(|(_, known)| !known).map(|(key, _)| not_told(battery, key)).collect();
    if !missing.is_empty() {
        let holds = format!("the unit acts at a voltage that is common for {}", battery.name);
        questions.push(draft().asks(Asks::Unsaid(missing), String::new(), holds));
    }
    if let Some(browns_out) = &setup.receiver.supply.browns_out {
        questions.push(
            draft()
                .and_at(Path::of(["receiver", "browns_out"]), "the receiver gives up here")
                .sentence("browns_out")
                .gap("gives_up", Gap::Volts(browns_out.0.clone()))
                .help("let the unit act well above the voltage at which the receiver gives up, for the servos draw it down further")
                .fact(
                    below.0 <= browns_out.0,
                    format!(
                        "the receiver gives up at {} before the unit acts at {}",
                        volts(&browns_out.0),
                        volts(&below.0)
                    ),
                    "the unit acts before the receiver gives up",
                ),
        );
    }
}
