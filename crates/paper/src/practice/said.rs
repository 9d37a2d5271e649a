//! What the script of the page says, in the reader's language: it has no words of its own.

use crate::Job;
use crate::labels::text::common;
use crate::labels::text::practice::{alone, boat, does, drills, hands, marks, moments, tank};
use crate::labels::{Labels, Text};
use crate::setup::{Control, DeviceId, Setup, WorkRef};
use crate::words::{self, control_place, plain};
use serde_json::{Map, Value, json};

/// A gap that the script fills.
macro_rules! gap {
    ($name:literal) => {
        concat!("{", $name, "}")
    };
}

/// Every text of the script, and the names of things as the reader knows them.
pub(super) fn words(labels: &Labels, job: &Job<'_>) -> String {
    let setup = job.setup;
    let emergency = words::emergency(labels, job);
    let steps: Vec<String> = emergency.steps.into_iter().chain(emergency.own).collect();
    let all = json!({
        "decimal": labels.decimal("."),
        "seconds": labels.fill(common::Seconds { number: gap!("number") }),
        "dives": setup.dives(),
        "page": sentences(labels),
        "moments": moments_of(labels),
        "phases": phases(labels),
        "causes": causes(labels),
        "controls": setup.controls.iter().map(|c| control(labels, c)).collect::<Vec<_>>(),
        "devices": (0..setup.devices.len()).map(|id| device(labels, setup, id)).collect::<Vec<_>>(),
        "steps": steps,
    });
    all.to_string()
}

fn control(labels: &Labels, control: &Control) -> Value {
    let line = control.line.words().map(|word| labels.word(common::HANDS, word));
    json!({
        "name": plain(&control.name),
        "place": control_place(labels, control).map(|place| plain(&place)),
        "ways": control.ways.each_ref().map(|way| plain(way)),
        "settings": control.settings.iter().map(|setting| plain(setting)).collect::<Vec<_>>(),
        "hands": line,
    })
}

fn device(labels: &Labels, setup: &Setup, id: DeviceId) -> Value {
    let device = &setup.devices[id];
    let works = device.works.iter().enumerate().map(|(work, w)| {
        json!({
            "name": words::function_name(setup, WorkRef { device: id, work }),
            "kind": labels.word(common::WORKS, w.kind.name),
            "on": words::work_phrase(labels, setup, WorkRef { device: id, work }),
        })
    });
    let effects = device.effects.each_ref().map(|e| e.as_ref().map(|e| words::effect(labels, setup, *e)));
    json!({ "name": plain(&device.name), "works": works.collect::<Vec<_>>(), "effects": effects })
}

fn sentences(labels: &Labels) -> Map<String, Value> {
    let bare: [(&str, Text); 41] = [
        ("surely", marks::SURELY),
        ("may", marks::MAY),
        ("never", marks::NEVER),
        ("runs", marks::RUNS),
        ("runs_may", marks::RUNS_MAY),
        ("stands", marks::STANDS),
        ("middle", marks::MIDDLE),
        ("hands_off", marks::HANDS_OFF),
        ("let_go", hands::LET_GO),
        ("held", hands::HELD),
        ("released", hands::RELEASED),
        ("rest", hands::REST),
        ("thing", does::THING),
        ("now", does::NOW),
        ("tank", tank::TITLE),
        ("full", tank::FULL),
        ("empty", tank::EMPTY),
        ("fill", tank::FILL),
        ("drain", tank::DRAIN),
        ("unknown_fill", tank::UNKNOWN_FILL),
        ("unknown_empty", tank::UNKNOWN_EMPTY),
        ("where", alone::WHERE),
        ("under", alone::UNDER),
        ("surface", alone::SURFACE),
        ("hands", alone::HANDS),
        ("hands_rest", alone::HANDS_REST),
        ("stop", alone::STOP),
        ("ended", alone::ENDED),
        ("stays", alone::STAYS),
        ("unknown", alone::UNKNOWN),
        ("lying", alone::LYING),
        ("silent", drills::SILENT),
        ("alarm", drills::ALARM),
        ("dead", drills::DEAD),
        ("look", drills::LOOK),
        ("done", drills::DONE),
        ("steps", drills::STEPS),
        ("fetch", drills::FETCH),
        ("wait", drills::WAIT),
        ("ahead", boat::AHEAD),
        ("astern", boat::ASTERN),
    ];
    let mut all: Map<String, Value> =
        bare.into_iter().map(|(key, text)| (key.to_owned(), labels.get(text).into())).collect();
    let filled = [
        ("picture", labels.fill(boat::Picture { state: gap!("state") })),
        ("by_herself", labels.fill(marks::ByHerself { name: gap!("name") })),
        ("trim", labels.fill(hands::Trim { control: gap!("control") })),
        ("keys", labels.fill(hands::Keys { low: gap!("low"), high: gap!("high") })),
        ("percent", labels.fill(hands::Percent { way: gap!("way"), number: gap!("number") })),
        ("level", labels.fill(tank::Level { low: gap!("low"), high: gap!("high") })),
        ("level_one", labels.fill(tank::LevelOne { low: gap!("low") })),
        ("share", labels.fill(tank::Percent { number: gap!("number") })),
        ("times", labels.fill(tank::Times { way: gap!("way"), soon: gap!("soon"), late: gap!("late") })),
        ("times_never", labels.fill(tank::TimesNever { way: gap!("way"), soon: gap!("soon") })),
        ("hands_held", labels.fill(alone::HandsHeld { way: gap!("way") })),
        (
            "played",
            labels.fill(alone::Played { cause: gap!("cause"), r#where: gap!("where"), hands: gap!("hands") }),
        ),
        ("untold", labels.fill(alone::Untold { keys: gap!("keys") })),
        ("played_bare", labels.fill(alone::PlayedBare { cause: gap!("cause") })),
        ("time", labels.fill(alone::Time { time: gap!("time") })),
        ("up", labels.fill(alone::Up { soon: gap!("soon"), late: gap!("late") })),
        ("up_perhaps", labels.fill(alone::UpPerhaps { soon: gap!("soon") })),
        ("at", labels.fill(alone::At { soon: gap!("soon"), late: gap!("late") })),
        ("at_worst_only", labels.fill(alone::AtWorstOnly { late: gap!("late") })),
        ("at_best_only", labels.fill(alone::AtBestOnly { soon: gap!("soon") })),
        ("ask", labels.fill(drills::Ask { what: gap!("what") })),
    ];
    all.extend(filled.into_iter().map(|(key, text)| (key.to_owned(), text.into())));
    all
}

fn moments_of(labels: &Labels) -> Value {
    const NAME: &str = gap!("name");
    json!({
        "begins": labels.get(moments::BEGINS),
        "receiver_acts": labels.get(moments::RECEIVER_ACTS),
        "unit_unaware": labels.get(moments::UNIT_UNAWARE),
        "stage": labels.fill(moments::Stage { name: NAME }),
        "handed_back": labels.get(moments::HANDED_BACK),
        "motor_stops": labels.fill(moments::MotorStops { name: NAME }),
        "on": labels.fill(moments::On { name: NAME }),
        "passing": labels.fill(moments::Passing { name: NAME }),
        "off": labels.fill(moments::Off { name: NAME }),
        "moves": labels.fill(moments::Moves { name: NAME }),
        "stalls": labels.fill(moments::Stalls { name: NAME }),
        "spent": labels.fill(moments::Spent { name: NAME }),
        "past_duty": labels.fill(moments::PastDuty { name: NAME }),
        "tank_empty": labels.get(moments::TANK_EMPTY),
        "deepest": labels.get(moments::DEEPEST),
        "sinks_on": labels.get(moments::SINKS_ON),
        "surfaced": labels.get(moments::SURFACED),
    })
}

fn phases(labels: &Labels) -> Value {
    use alone::phases;
    let stage = labels.fill(phases::Stage { stage: gap!("stage") });
    json!({
        "waiting": labels.get(phases::WAITING),
        "stage": stage,
        "stage-while-piloting": stage,
        "lost-for-good": labels.get(phases::LOST_FOR_GOOD),
        "power-up": labels.get(phases::POWER_UP),
        "power-up-preset": labels.get(phases::POWER_UP_PRESET),
        "power-up-stage": labels.get(phases::POWER_UP_STAGE),
        "power-up-over": labels.get(phases::POWER_UP_OVER),
        "unpowered": labels.get(phases::UNPOWERED),
    })
}

fn causes(labels: &Labels) -> Value {
    use alone::causes;
    json!({
        "loss": labels.get(causes::LOSS),
        "battery": labels.get(causes::BATTERY),
        "leak": labels.get(causes::LEAK),
        "power-up": labels.get(causes::POWER_UP),
        "unpowered": labels.get(causes::UNPOWERED),
    })
}
