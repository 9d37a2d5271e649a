//! What is dialled into the set, channel by channel.

use super::device::wants;
use super::{Used, used};
use crate::answers::Answers;
use crate::file::Lines;
use crate::question::Takes::{One, Quantity};
use crate::question::{Choice, Question, choices};
use crate::words::{Said, said};

pub(super) fn ask(answers: &Answers) -> Vec<Question> {
    let used = used(answers);
    let mut all = vec![Question::new(
        "set.more",
        "Are rates, expo or mixes set in this memory?",
        "A mix that nobody thinks of any more moves a valve with the rudder. Go through the menus.",
        One(choices(&[
            ("no", "none of them on any channel"),
            ("yes", "some are; each channel is asked about"),
        ])),
    )];
    for channel in &used {
        of_one(answers, channel, &used, &mut all);
    }
    all
}

fn of_one(answers: &Answers, channel: &Used, used: &[Used], all: &mut Vec<Question>) {
    const PERCENT: &[&str] = &["%"];
    let name = channel.name();
    let [low, high] = channel.ways(answers);
    let percent = |what: &str, ask: Said, why: &'static str, example| {
        Question::new(channel.id(what), ask, why, Quantity { units: PERCENT, words: &[], example })
    };
    all.push(
        Question::new(
            channel.id("longer"),
            said("Which way makes the pulse of channel {channel} ({name}) longer?").with("channel", channel.number).with("name", &name),
            "Meter on the channel, hold one way, then the other. The reverse setting of the set does not matter here.",
            One(vec![Choice::new(low, ""), Choice::new(high, "")]),
        )
        .or("is left out, is warned of, and the sheet opens with the test"),
    );
    all.push(Question::new(
        channel.id("reverse"),
        said("Does the set show channel {channel} as reversed?").with("channel", channel.number),
        "It is printed, so that somebody notices when it has been changed.",
        One(choices(&[("no", ""), ("yes", "")])),
    ));
    let ends =
        "As the set shows it. The proof is about these very numbers, so they are read, not remembered.";
    for way in [low, high] {
        all.push(percent(
            &format!("endpoint.{way}"),
            said("{name}: the endpoint of {way}?").with("name", &name).with("way", way),
            ends,
            "90 %",
        ));
    }
    let zero = "As the set shows it, + towards the longer pulse; `0 %` where there is none.";
    all.push(percent("sub_trim", said("{name}: the sub-trim?").with("name", &name), zero, "0 %"));
    if !answers.is("set.more", "yes") {
        return;
    }
    all.push(percent(
        "rate",
        said("{name}: its rate?").with("name", &name),
        "`100 %` where none is set.",
        "100 %",
    ));
    all.push(percent(
        "expo",
        said("{name}: its expo?").with("name", &name),
        "`0 %` where none is set.",
        "0 %",
    ));
    let own = channel.leader(answers).number;
    let led = |other: &&Used| other.number != own && other.leader(answers).number == other.number;
    let others = used.iter().filter(led);
    let others = others.map(|other| Choice::new(other.control(used), other.function.about));
    let none = Choice::new("nothing", "no mix ends here");
    all.push(Question::new(
        channel.id("mixed"),
        said("{name}: what is mixed in?").with("name", &name),
        "Meter on the channel, its own stick at rest, move every other: what moves the pulse?",
        One(std::iter::once(none).chain(others).collect()),
    ));
    if answers.known(&channel.id("mixed")).is_some_and(|word| word != "nothing") {
        let why = "Negative where it works the other way round.";
        all.push(percent("mix", said("{name}: how much of it?").with("name", &name), why, "15 %"));
    }
}

pub(super) fn write(answers: &Answers, lines: &mut Lines) {
    lines.key("channels");
    for channel in used(answers) {
        let said = |what: &str| answers.get(&channel.id(what)).unwrap_or_default();
        lines.key_within(&channel.number.to_string());
        lines.put_within("name", &lines.name(&channel.name()));
        lines.put_within("control", &lines.name(&channel.moved_by(answers)));
        match answers.known(&channel.id("longer")) {
            Some(way) => lines.put_within("longer", &lines.name(way)),
            None => lines.remark_within("longer: not seen on the meter yet"),
        }
        if said("reverse") == "yes" {
            lines.put_within("reverse", "yes");
        }
        let ways = channel.ways(answers);
        let ends = ways.map(|way| format!("{}: {}", lines.name(way), said(&format!("endpoint.{way}"))));
        lines.put_within("endpoints", &format!("{{{}}}", ends.join(", ")));
        for (key, none) in [("sub_trim", "0 %"), ("rate", "100 %"), ("expo", "0 %")] {
            if let Some(said) = answers.known(&channel.id(key)).filter(|said| *said != none) {
                lines.put_within(key, said);
            }
        }
        if let Some(mix) = answers.known(&channel.id("mix")).filter(|_| said("mixed") != "nothing") {
            lines.put_within("mixes", &format!("[{{add: {mix}, of: {}}}]", lines.name(said("mixed"))));
        }
        let wants = wants(answers, &channel, lines);
        if !wants.is_empty() {
            lines.put_within("wants", &format!("{{{}}}", wants.join(", ")));
        }
    }
}
