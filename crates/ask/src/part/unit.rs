//! The unit between receiver and devices.

use super::device::{names_of, works_on};
use super::{Used, used};
use crate::answers::{Answers, UNKNOWN};
use crate::file::{Lines, text};
use crate::question::Takes::{Count, One, Quantity, Several, Text};
use crate::question::{Choice, Question, choices};
use crate::words::{Said, said};

const YES_OR_NO: &[(&str, &str)] = &[("yes", ""), ("no", "")];

pub(super) fn ask(answers: &Answers) -> Vec<Question> {
    let mut all = vec![Question::new(
        "unit.is",
        "Is there a fail-safe unit between receiver and devices?",
        "A box that takes over when it hears nothing, or when a battery is low or water comes in.",
        One(choices(YES_OR_NO)),
    )];
    if !answers.is("unit.is", "yes") {
        return all;
    }
    let known = used(answers).into_iter().map(|c| Choice::new(c.number.to_string(), c.name())).collect();
    all.push(Question::new(
        "unit.channels",
        "Which channels go through it?",
        "Follow the leads from the receiver.",
        Several { choices: known, or_none: false },
    ));
    all.push(Question::new(
        "unit.notices",
        "What does it take for a lost signal?",
        "Its leaflet says so; transmitter off shows whether it acts.",
        One(choices(&[
            ("no pulses", "that no pulses come"),
            ("invalid pulses", "that the pulses make no sense"),
            ("a channel", "that one channel is beyond a position, which the receiver's preset sends it to"),
        ])),
    ));
    if answers.is("unit.notices", "a channel") {
        let known = used(answers).into_iter().map(|c| Choice::new(c.number.to_string(), c.name())).collect();
        all.push(Question::new("unit.watched", "Which channel?", "It stands in its menu.", One(known)));
        all.push(Question::new(
            "unit.beyond",
            "Beyond which position?",
            "Creep until it acts.",
            Quantity { units: &["us", "%"], words: &[], example: "1820 us" },
        ));
    }
    all.push(
        Question::new(
            "unit.until_it_acts",
            "Between the loss and its first stage: what comes out of it?",
            "Meter behind the unit, transmitter off.",
            One(choices(&[
                ("holds", "what came last"),
                ("passes", "whatever the receiver sends, noise as well"),
            ])),
        )
        .or("is left out, and what hangs on it is not judged"),
    );
    let seconds = |id: String, ask: Said, example| {
        Question::new(
            id,
            ask,
            "Transmitter off and a watch.",
            Quantity { units: &["s"], words: &[], example },
        )
    };
    all.push(
        Question::new(
            "unit.accuracy",
            "How far can its own pulses be off?",
            "Set it to one position and read the pulse ten times, warm and cold.",
            Quantity { units: &["us", "%"], words: &["exact"], example: "6 us" },
        )
        .or("is `not measured`, and what hangs on it is not judged"),
    );
    all.push(
        seconds("unit.wait".into(), said("How long does it wait before its first stage?"), "3 s")
            .or("is `not measured`"),
    );
    let stages = Count { least: 1, most: 4 };
    all.push(Question::new("unit.stages", "How many stages has it?", "Blow, then rest, are two.", stages));
    let mine = on_unit(answers);
    let works = works_on(answers, &mine);
    let count = answers.count("unit.stages");
    for stage in 1..=count {
        let id = |what: &str| format!("unit.stage.{stage}.{what}");
        let example = if stage == count { "rest" } else { "blow" };
        let why = "It stands on sheet and guide.";
        all.push(Question::new(
            id("name"),
            said("What is stage {stage} called?").with("stage", stage),
            why,
            Text { example },
        ));
        if stage < count {
            all.push(seconds(
                id("lasts"),
                said("How long does stage {stage} last?").with("stage", stage),
                "14 s",
            ));
        }
        for channel in &mine {
            all.push(Question::new(
                id(&format!("set.{}", channel.number)),
                said("Stage {stage}: to which position does it send channel {channel} ({name})?")
                    .with("stage", stage)
                    .with("channel", channel.number)
                    .with("name", channel.name()),
                "Bottle off, propeller free; meter behind the unit.",
                Quantity { units: &["us", "%"], words: &[], example: "1500 us" },
            ));
        }
        if !works.is_empty() {
            let mut known: Vec<Choice> = Vec::new();
            for work in &works {
                if !known.iter().any(|choice| choice.word == work.word) {
                    known.push(Choice::new(work.word, work.kind));
                }
            }
            all.push(Question::new(
                id("works"),
                said("Stage {stage}: what is it there to work?").with("stage", stage),
                "That it surely does is proved; anything else that it does is a finding.",
                Several { choices: known, or_none: true },
            ));
        }
    }
    all.push(Question::new(
        "unit.low",
        "Does it act when a battery is low?",
        "Its leaflet says so.",
        One(choices(YES_OR_NO)),
    ));
    if answers.is("unit.low", "yes") {
        let volts = Quantity { units: &["V"], words: &[], example: "6.6 V" };
        all.push(Question::new("unit.below", "Below which voltage?", "A bench supply, slowly down.", volts));
    }
    all.push(Question::new(
        "unit.leak",
        "Does it act when water comes in?",
        "A wet finger across its two wires.",
        One(choices(YES_OR_NO)),
    ));
    all
}

fn on_unit(answers: &Answers) -> Vec<Used> {
    let words = answers.words("unit.channels");
    used(answers).into_iter().filter(|channel| words.contains(&channel.number.to_string().as_str())).collect()
}

pub(super) fn write(answers: &Answers, lines: &mut Lines) {
    if !answers.is("unit.is", "yes") {
        return;
    }
    let said = |id: &str| answers.get(&format!("unit.{id}")).unwrap_or(UNKNOWN);
    let mine = on_unit(answers);
    lines.key("fail_safe");
    lines.put("channels", &format!("[{}]", said("channels")));
    match said("notices") {
        "a channel" => {
            lines.put("notices", &format!("{{channel: {}, beyond: {}}}", said("watched"), said("beyond")))
        }
        other => lines.put("notices", other),
    }
    if let Some(word) = answers.known("unit.until_it_acts") {
        lines.put("until_it_acts", word);
    }
    lines.put("accuracy", said("accuracy"));
    lines.put("wait", said("wait"));
    lines.key_within("stages");
    let count = answers.count("unit.stages");
    for stage in 1..=count {
        let said = |what: &str| answers.get(&format!("unit.stage.{stage}.{what}")).unwrap_or(UNKNOWN);
        let mut keys = vec![format!("name: {}", text(said("name")))];
        if stage < count {
            keys.push(format!("lasts: {}", said("lasts")));
        }
        let set = mine.iter().map(|c| format!("{}: {}", c.number, said(&format!("set.{}", c.number))));
        keys.push(format!("set: {{{}}}", set.collect::<Vec<_>>().join(", ")));
        let works = answers.words(&format!("unit.stage.{stage}.works"));
        if !works.is_empty() {
            let names = works.iter().flat_map(|work| names_of(answers, &mine, work, lines.words()));
            keys.push(format!("works: [{}]", names.collect::<Vec<_>>().join(", ")));
        }
        lines.item(&format!("{{{}}}", keys.join(", ")));
    }
    if said("low") == "yes" {
        let battery = lines.name(super::power::BATTERY);
        lines.put("low_battery", &format!("{{battery: {battery}, below: {}}}", said("below")));
    }
    if said("leak") == "yes" {
        lines.put("leak", "yes");
    }
}
