//! What hangs on the channels, found with a servo tester or by the endpoint.

use super::{Used, used};
use crate::answers::{Answers, UNKNOWN};
use crate::file::Lines;
use crate::function::{Device, WORKS, Work};
use crate::question::Takes::{One, Quantity, Readings, Several};
use crate::question::{Choice, Question, choices};
use crate::words::{Said, Words, said};

const POSITION: &[&str] = &["us", "%"];
/// Kinds of works that bring her up for as long as they run.
const RAISING: &[&str] = &["pump switch", "blow valve", "emergency gas valve", "ballast valve"];
const NOT_JUDGED: &str = "is `not measured`, and what hangs on it is not judged";

pub(super) fn ask(answers: &Answers) -> Vec<Question> {
    used(answers).iter().flat_map(|channel| of_one(answers, channel)).collect()
}

fn of_one(answers: &Answers, channel: &Used) -> Vec<Question> {
    let mut all = Vec::new();
    let device = channel.function.device;
    let name = channel.name();
    all.push(accuracy(channel.id("accuracy"), &name));
    match device {
        Device::Mover | Device::Piston => stops(answers, channel, "", &mut all),
        Device::Worker => {
            stops(answers, channel, "", &mut all);
            works(answers, channel, &mut all);
        }
        Device::Controller | Device::TwoWayPump => {
            band(answers, channel, &mut all);
            all.push(
                Question::new(
                    channel.id("without_pulses"),
                    said("{name}: what does it do when its pulses end?").with("name", &name),
                    "Propeller off or held free. Pull its plug out of the receiver while it runs slowly.",
                    One(choices(&[("stops", "it stops"), ("stays", "it goes on as it was")])),
                )
                .or("is left out, and what hangs on it is not judged"),
            );
            if device == Device::Controller {
                all.push(
                    Question::new(
                        channel.id("learns_rest"),
                        said("{name}: does its controller take the first pulse that it hears for rest?").with("name", &name),
                        "Propeller off. Switch on with its control a quarter off rest, then let that go: does the motor stand \
                         still at rest, or only where the control was?",
                        One(choices(&[
                            ("no", "no, it stands still at rest"),
                            ("yes", "yes, it stands still where the control was"),
                        ])),
                    )
                    .or("is left out, and what hangs on it is not judged"),
                );
            }
        }
        Device::Leveller => {
            band(answers, channel, &mut all);
            all.push(
                Question::new(
                    channel.id("correction"),
                    said("{name}: how far does the unit move its output by itself?").with("name", &name),
                    "Tilt the boat as far as she goes with the sticks at rest, and read the pulse behind the unit.",
                    Quantity { units: &["%"], words: &[], example: "40 %" },
                )
                .or(NOT_JUDGED),
            );
            all.push(accuracy(channel.id("stern.accuracy"), "servo behind the leveller"));
            stops(answers, channel, "stern.", &mut all);
        }
    }
    if let Some(effects) = channel.function.effects {
        all.push(
            Question::new(
                channel.id("effect"),
                said("{name}: the pulse gets longer. What is seen at the boat?").with("name", &name),
                "Look at the boat, not at the set: a servo that lies on its back, a horn on the other side, a \
                 propeller of the other hand all turn it round.",
                One(effects.map(|effect| Choice::new(effect, "")).to_vec()),
            )
            .or("is left out, and whether it does what the hand wants is not judged"),
        );
    }
    all
}

fn accuracy(id: String, name: &str) -> Question {
    Question::new(
        id,
        said("{name}: by how much does it miss its position when it is warm, cold, low on volts or worn?")
            .with("name", name),
        "Hold one pulse, come from either side, warm and cold: the greatest distance from the middle.",
        Quantity { units: &["%", "us"], words: &["exact"], example: "2 %" },
    )
    .or(NOT_JUDGED)
}

fn stops(answers: &Answers, channel: &Used, of: &str, all: &mut Vec<Question>) {
    let name = if of.is_empty() { channel.name() } else { "servo behind the leveller".to_owned() };
    let found = [
        ("found", "it binds somewhere on either side"),
        ("none", "it binds nowhere that the set can send it"),
    ];
    all.push(
        Question::new(
            channel.id(&format!("{of}stops")),
            said("{name}: does it bind somewhere?").with("name", &name),
            "Servo tester, slowly outwards until it hums. A servo that binds gets hot and draws the battery down.",
            One(choices(&found)),
        )
        .or(NOT_JUDGED),
    );
    if answers.is(&channel.id(&format!("{of}stops")), "found") {
        for (side, example) in [("shorter", "1030 us"), ("longer", "1970 us")] {
            all.push(Question::new(
                channel.id(&format!("{of}stop.{side}")),
                said("{name}: where does it bind at the {side} end?").with("name", &name).with("side", side),
                "The last position at which nothing hums.",
                Quantity { units: POSITION, words: &[], example },
            ));
        }
        all.push(
            Question::new(
                channel.id(&format!("{of}stop.off")),
                said("{name}: by how much do several readings of where it binds lie about, either side?").with("name", &name),
                "Creep up to it five times at either end: half of the way between the least and the greatest.",
                Quantity { units: POSITION, words: &[], example: "4 us" },
            )
            .or("is left out, and what hangs on it is not judged"),
        );
    }
}

fn band(answers: &Answers, channel: &Used, all: &mut Vec<Question>) {
    let name = channel.name();
    all.push(
        Question::new(
            channel.id("still"),
            said("{name}: was it tried between which positions it stands still?").with("name", &name),
            "Creep from rest to either side until it just moves. A motor that runs at rest takes fingers.",
            One(choices(&[("tried", "both edges were read")])),
        )
        .or(NOT_JUDGED),
    );
    if answers.is(&channel.id("still"), "tried") {
        for (side, example) in [("shorter", "1484 us"), ("longer", "1516 us")] {
            all.push(Question::new(
                channel.id(&format!("still.{side}")),
                said("{name}: how far at the {side} side does it still stand?")
                    .with("name", &name)
                    .with("side", side),
                "The last position at which it does not move.",
                Quantity { units: POSITION, words: &[], example },
            ));
        }
    }
}

fn works(answers: &Answers, channel: &Used, all: &mut Vec<Question>) {
    let name = channel.name();
    let known = WORKS.iter().map(|work| Choice::new(work.word, work.kind)).collect();
    all.push(Question::new(
        channel.id("works"),
        said("{name}: what does its travel work?").with("name", &name),
        "Everything that its horn reaches anywhere on its way, meant or not. Gas and fire: bottle off, lamp for load.",
        Several { choices: known, or_none: true },
    ));
    for work in chosen(answers, channel) {
        let word = work.word;
        let id = |what: &str| channel.id(&format!("work.{word}.{what}"));
        if work.clicks {
            all.push(Question::new(
                id("clicks"),
                said("{name}: at which positions does the {word} come on?")
                    .with("name", &name)
                    .with("word", word),
                "Five times from rest up to the click. Fewer than five say too little to be judged.",
                Readings { units: POSITION, example: "1644 us, 1652 us, 1640 us, 1648 us, 1644 us" },
            ));
        } else {
            all.push(Question::new(
                id("from"),
                said("{name}: from which position does the {word} open or act?")
                    .with("name", &name)
                    .with("word", word),
                "Servo tester, slowly from rest, bottle off: the middle of several readings.",
                Quantity { units: POSITION, words: &[], example: "1308 us" },
            ));
            all.push(
                Question::new(
                    id("off"),
                    said("{name}: by how much do the readings of the {word} lie about that, either side?")
                        .with("name", &name)
                        .with("word", word),
                    "Half of the way between the least and the greatest of ten readings, and a little more.",
                    Quantity { units: POSITION, words: &[], example: "12 us" },
                )
                .or("is left out, and what hangs on it is not judged"),
            );
        }
        all.push(
            Question::new(
                id("releases"),
                said("{name}: on the way back, where does the {word} shut or let go?")
                    .with("name", &name)
                    .with("word", word),
                "A switch lets go later than it clicks; a valve with a spring seat, too.",
                Quantity { units: POSITION, words: &["where it engages"], example: "1624 us" },
            )
            .or(NOT_JUDGED),
        );
        let seconds = |what, ask: Said, why, words, example| {
            Question::new(id(what), ask, why, Quantity { units: &["s"], words, example }).or(NOT_JUDGED)
        };
        if work.kind == "pump switch" {
            all.push(seconds(
                "longest",
                said("{name}: how long may the {word} run in one go?").with("name", &name).with("word", word),
                "Its papers say so, or how hot it gets; `none` where it may run for ever.",
                &["none"],
                "90 s",
            ));
        }
        if RAISING.contains(&work.kind) {
            all.push(seconds(
                "must_run",
                said("{name}: how long must the {word} run to bring her up from her depth limit?")
                    .with("name", &name)
                    .with("word", word),
                "Tank full, at that depth or in a deep tub, with a watch until she is on her way up.",
                &[],
                "12 s",
            ));
        }
        let [low, high] = channel.ways(answers);
        all.push(Question::new(
            id("way"),
            said("{name}: which way is meant to work the {word}?").with("name", &name).with("word", word),
            "What is not meant must never be reached by a hand: that is what is proved.",
            One(vec![
                Choice::new(low, ""),
                Choice::new(high, ""),
                Choice::new("neither", "no hand: the fail-safe unit alone"),
            ]),
        ));
    }
}

fn chosen(answers: &Answers, channel: &Used) -> Vec<&'static Work> {
    let words = answers.words(&channel.id("works"));
    WORKS.iter().filter(|work| words.contains(&work.word)).collect()
}

/// The works on the servos of some channels.
pub(super) fn works_on(answers: &Answers, channels: &[Used]) -> Vec<&'static Work> {
    let workers = channels.iter().filter(|channel| channel.function.device == Device::Worker);
    workers.flat_map(|channel| chosen(answers, channel)).collect()
}

/// What the file calls a work on the servos of some channels: by its name, or with its servo's where a servo of the boat
/// has another one of that name.
pub(super) fn names_of(answers: &Answers, channels: &[Used], word: &str, words: Words) -> Vec<String> {
    let has = |channel: &&Used| {
        channel.function.device == Device::Worker
            && chosen(answers, channel).iter().any(|work| work.word == word)
    };
    let twins = used(answers).iter().filter(has).count() > 1;
    let name = |channel: &Used| match twins {
        true => format!("{}.{}", servo(words, channel), words.name(word)),
        false => words.name(word),
    };
    channels.iter().filter(has).map(|channel| crate::file::text(&name(channel))).collect()
}

/// What a channel's servo is called.
fn servo(words: Words, channel: &Used) -> String {
    crate::file::device(words, "{name}_servo", &channel.name())
}

/// What each way of a channel is meant to work, where it is meant to work something.
pub(super) fn wanted(answers: &Answers, channel: &Used) -> Vec<(&'static str, Vec<&'static str>)> {
    if channel.function.device != Device::Worker {
        return Vec::new();
    }
    let works = chosen(answers, channel);
    let meant = |way: &str| -> Vec<&'static str> {
        let by = |work: &&&Work| answers.is(&channel.id(&format!("work.{}.way", work.word)), way);
        works.iter().filter(by).map(|work| work.word).collect()
    };
    channel
        .ways(answers)
        .map(|way| (way, meant(way)))
        .into_iter()
        .filter(|(_, meant)| !meant.is_empty())
        .collect()
}

/// The same as `wants` says it.
pub(super) fn wants(answers: &Answers, channel: &Used, lines: &Lines) -> Vec<String> {
    let each = wanted(answers, channel).into_iter().map(|(way, meant)| match meant.as_slice() {
        [one] => format!("{}: {}", lines.name(way), lines.name(one)),
        several => format!("{}: [{}]", lines.name(way), lines.names(several.iter().copied())),
    });
    each.collect()
}

pub(super) fn write(answers: &Answers, lines: &mut Lines) {
    lines.key("devices");
    for channel in used(answers) {
        of_channel(answers, &channel, lines);
    }
}

fn of_channel(answers: &Answers, channel: &Used, lines: &mut Lines) {
    let said = |what: &str| answers.get(&channel.id(what)).unwrap_or(UNKNOWN);
    let accuracy = said("accuracy");
    let start = |kind: &str| format!("kind: {kind}, channel: {}, accuracy: {accuracy}", channel.number);
    let still = || match said("still") {
        "tried" => format!(", still_between: [{}, {}]", said("still.shorter"), said("still.longer")),
        _ => format!(", still_between: {UNKNOWN}"),
    };
    let without = || match answers.known(&channel.id("without_pulses")) {
        Some(word) => format!(", without_pulses: {word}"),
        None => String::new(),
    };
    let learns = || match answers.known(&channel.id("learns_rest")) {
        Some(word) => format!(", learns_rest: {word}"),
        None => String::new(),
    };
    let effects = || match (channel.function.effects, answers.known(&channel.id("effect"))) {
        (Some([one, other]), Some(longer)) => {
            format!(", effects: {{longer: {longer}, shorter: {}}}", if longer == one { other } else { one })
        }
        _ => String::new(),
    };
    if channel.function.effects.is_some() && answers.known(&channel.id("effect")).is_none() {
        lines.remark(
            crate::words::said("effects of the {name}: not seen at the boat yet")
                .with("name", channel.name()),
        );
    }
    let words = lines.words();
    let called = |like: &'static str| crate::file::device(words, like, &channel.name());
    match channel.function.device {
        Device::Mover => {
            let all = format!("{}{}{}", start("servo"), stops_of(answers, channel, ""), effects());
            lines.put(&called("{name}_servo"), &format!("{{{all}}}"));
        }
        Device::Piston => {
            let all = format!("{}{}{}", start("piston"), stops_of(answers, channel, ""), effects());
            lines.put(&called("{name}"), &format!("{{{all}}}"));
        }
        Device::Controller => {
            let all =
                format!("{}{}{}{}{}", start("speed controller"), still(), without(), learns(), effects());
            lines.put(&called("{name}_esc"), &format!("{{{all}}}"));
        }
        Device::TwoWayPump => {
            let all = format!("{}{}{}{}", start("two-way pump"), still(), without(), effects());
            lines.put(&called("{name}"), &format!("{{{all}}}"));
        }
        Device::Leveller => {
            let all = format!(
                "{}, role: override, correction: {}{}",
                start("leveller"),
                said("correction"),
                still()
            );
            let leveller = called("{name}_leveller");
            lines.put(&leveller, &format!("{{{all}}}"));
            let stops = stops_of(answers, channel, "stern.");
            let accuracy = said("stern.accuracy");
            let all = format!("kind: servo, behind: {leveller}, accuracy: {accuracy}{stops}{}", effects());
            lines.put(&called("{name}_servo"), &format!("{{{all}}}"));
        }
        Device::Worker => {
            lines.key_within(&servo(words, channel));
            lines.put_within("kind", "servo");
            lines.put_within("channel", &channel.number.to_string());
            lines.put_within("accuracy", accuracy);
            lines.put_within("stops", stops_of(answers, channel, "").trim_start_matches(", stops: "));
            let works = chosen(answers, channel);
            if !works.is_empty() {
                lines.put_within("works", "");
            }
            for work in works {
                let line = work_line(answers, channel, work);
                lines.put_deep(&lines.name(work.word), &line);
            }
        }
    }
}

fn stops_of(answers: &Answers, channel: &Used, of: &str) -> String {
    let said = |what: &str| answers.get(&channel.id(&format!("{of}{what}"))).unwrap_or(UNKNOWN);
    match said("stops") {
        "found" => {
            let off = match said("stop.off") {
                UNKNOWN => String::new(),
                off => format!(" ± {off}"),
            };
            format!(", stops: [{}{off}, {}{off}]", said("stop.shorter"), said("stop.longer"))
        }
        other => format!(", stops: {other}"),
    }
}

fn work_line(answers: &Answers, channel: &Used, work: &Work) -> String {
    let said =
        |what: &str| answers.get(&channel.id(&format!("work.{}.{what}", work.word))).unwrap_or(UNKNOWN);
    let from = match (work.clicks, said("off")) {
        (true, _) => format!("clicks: [{}]", said("clicks")),
        (false, UNKNOWN) => format!("from: {}", said("from")),
        (false, off) => format!("from: {} ± {off}", said("from")),
    };
    let times = ["longest", "must_run"].map(|key| {
        let known = answers.known(&channel.id(&format!("work.{}.{key}", work.word)));
        known.map_or_else(String::new, |time| format!(", {key}: {time}"))
    });
    format!("{{kind: {}, {from}, releases: {}{}}}", work.kind, said("releases"), times.concat())
}
