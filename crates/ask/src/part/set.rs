//! The set: its pulses, its steps, how it does its sums.

use crate::answers::Answers;
use crate::file::{Lines, text};
use crate::question::Takes::{Count, One, Quantity, Text};
use crate::question::{Question, choices};

/// One line of `order`: its key, what is asked, its two words with what is seen, how the meter tells them apart.
type Line = (&'static str, &'static str, [(&'static str, &'static str); 2], &'static str);

const ORDER: &[Line] = &[
    (
        "past_full_stick",
        "Stick full over, then its trim: does the pulse go on past the end?",
        [("cut off", "it stops at the end"), ("carries on", "it goes on")],
        "Endpoints at 100 %, meter on the channel, stick held full over, trim moved outwards.",
    ),
    (
        "endpoint",
        "Endpoint at half: does the stick move the whole way to it, or stop short of the rest of its travel?",
        [
            ("scales", "the whole stick moves it, only less"),
            ("clamps", "it moves as before and stops at the endpoint"),
        ],
        "Endpoint at 50 %, stick at half: 25 % of the pulse where it scales, 50 % where it clamps.",
    ),
    (
        "endpoint_side",
        "Reverse a channel whose endpoints differ: does the number stay with the stick's way or with the longer pulse?",
        [
            ("stick", "it stays with the way of the stick"),
            ("pulse", "it stays with the longer or shorter pulse"),
        ],
        "Endpoints 60 % and 100 %, read both ends, reverse, read again.",
    ),
    (
        "trim",
        "Endpoint at half: does the trim move the pulse half as far as before?",
        [("before endpoint", "half as far"), ("after endpoint", "as far as before")],
        "Read what the trim moves at rest with the endpoints at 100 %, then at 50 %.",
    ),
    (
        "mix",
        "Endpoint at half: does a mix move the pulse half as far as before?",
        [("before endpoint", "half as far"), ("after endpoint", "as far as before")],
        "As with the trim, with a mix.",
    ),
    (
        "sub_trim",
        "A sub-trim: do both ends move with it?",
        [("shifts ends", "the whole travel moves"), ("keeps ends", "the ends stay where they were")],
        "Read both ends, dial in a sub-trim of 10 %, read again.",
    ),
];

pub(super) fn ask(_: &Answers) -> Vec<Question> {
    const US: &[&str] = &["us"];
    const PERCENT: &[&str] = &["%"];
    let pulse = |id: &'static str, ask: &'static str, example| {
        let why = "Pulse meter on a free channel, endpoints at 100 %, no sub-trim, trims in the middle.";
        Question::new(id, ask, why, Quantity { units: US, words: &[], example })
    };
    let mut all = vec![
        Question::new(
            "set.channels",
            "How many channels has the set?",
            "Every channel that does something is asked about.",
            Count { least: 1, most: 16 },
        ),
        Question::new(
            "set.memory",
            "Under which number and name is her memory stored?",
            "The owner selects it before she goes in: with the wrong one every lever does something else.",
            Text { example: "4 NEWT" },
        )
        .or("is left out"),
        Question::new(
            "set.region",
            "Where does she sail?",
            "Each country allows its own frequencies; local law decides.",
            One(choices(&[
                ("europe", ""),
                ("uk", ""),
                ("us", ""),
                ("switzerland", ""),
                ("germany", ""),
                ("france", ""),
                ("belgium", ""),
                ("australia", ""),
            ])),
        )
        .or("is left out, and the frequency is held against no table"),
        Question::new(
            "set.frequency",
            "On which frequency?",
            "It stands on the crystal or in the menu of the set. Under water only low frequencies are heard.",
            Quantity { units: &["MHz"], words: &[], example: "40.685 MHz" },
        )
        .or("is left out"),
        pulse("set.rest", "How long is the pulse at rest?", "1500 us"),
        pulse("set.shorter", "How short is it at full stick, at the shorter end?", "1100 us"),
        pulse("set.longer", "How long is it at full stick, at the longer end?", "1900 us"),
        Question::new(
            "set.accuracy",
            "How far can the meter be off?",
            "It stands in the meter's leaflet. Everything read with it is only as good as that.",
            Quantity { units: US, words: &["exact"], example: "2 us" },
        )
        .or("is `not measured`, and what hangs on it is not judged"),
        Question::new(
            "set.furthest",
            "What is the furthest that an output can go, in percent of full?",
            "Endpoint, sub-trim and mix all at their most: read the pulse.",
            Quantity { units: PERCENT, words: &[], example: "125 %" },
        )
        .or("is `not measured`, and what hangs on it is not judged"),
        Question::new(
            "set.step",
            "In which steps can an endpoint be dialled in?",
            "Windows are told in whole steps of the set.",
            Quantity { units: PERCENT, words: &[], example: "1 %" },
        )
        .or("is left out: 1 % is taken"),
    ];
    for (key, ask, words, why) in ORDER {
        let question = Question::new(format!("set.order.{key}"), *ask, why, One(choices(words)));
        all.push(question.or("is left out, and both possibilities are checked"));
    }
    all
}

pub(super) fn write(answers: &Answers, lines: &mut Lines) {
    let said = |id: &str| answers.get(&format!("set.{id}")).unwrap_or_default().to_owned();
    lines.key("transmitter");
    for key in ["memory", "region", "frequency"] {
        if let Some(known) = answers.known(&format!("set.{key}")) {
            lines.put(key, &text(known));
        }
    }
    lines.put("channels", &said("channels"));
    lines.remark("on a pulse meter: endpoints at 100 %, no sub-trim");
    let axis = format!("rest: {}, full: [{}, {}]", said("rest"), said("shorter"), said("longer"));
    lines.put("pulse", &format!("{{{axis}, accuracy: {}}}", said("accuracy")));
    lines.put("furthest", &said("furthest"));
    if let Some(step) = answers.known("set.step") {
        lines.put("step", step);
    }
    let known = |key: &str| answers.known(&format!("set.order.{key}"));
    let open: Vec<&str> = ORDER.iter().map(|line| line.0).filter(|key| known(key).is_none()).collect();
    if !open.is_empty() {
        lines.remark(
            crate::words::said("not tried yet, so both possibilities are checked: {keys}")
                .with("keys", open.join(", ")),
        );
    }
    if open.len() < ORDER.len() {
        lines.key_within("order");
        for (key, ..) in ORDER {
            if let Some(word) = known(key) {
                lines.put_within(key, word);
            }
        }
    }
    lines.gap();
    lines.remark_above("What every position below is percent of, whatever set she is sailed with later.");
    lines.top("axis", &format!("{{{axis}}}"));
}
