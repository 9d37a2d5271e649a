//! What each channel does, and what the hand moves for it.

use super::device::wanted;
use super::{AS, Used, used};
use crate::answers::{Answers, UNKNOWN};
use crate::file::{Lines, text};
use crate::function;
use crate::question::Takes::{One, Quantity, Text};
use crate::question::{Choice, Question, choices};
use crate::words::said;

const HANDS: &[(&str, &str)] = &[
    ("stick", "a stick that springs back"),
    ("stick that stays", "a stick that stays where it is left"),
    ("buttons", "a pair of buttons or a lever that springs back"),
    ("switch", "a switch with two settings"),
    ("switch of three", "a switch with three settings"),
    ("slider", "a slider"),
    ("knob", "a knob"),
];

const MOVES: &[(&str, &str)] = &[
    ("left and right", "from side to side; a knob: against and with the clock"),
    ("towards and away", "towards you and away"),
    ("lower and upper", "down and up, or a lower and an upper button"),
];

/// A set from above, of no particular make.
const SET: &str = "     rear left                      rear right
   +--------------------------------------------+
   |  top left                       top right  |
   |                                            |
   |      left stick          right stick       |
   |                                            |
   |  front left                   front right  |
   +--------------------------------------------+
                   towards you";

/// The places in it.
const PLACES: &[&str] = &[
    "left stick",
    "right stick",
    "rear left",
    "rear right",
    "top left",
    "top right",
    "front left",
    "front right",
];

pub(super) fn ask(answers: &Answers) -> Vec<Question> {
    let used = used(answers);
    let last = answers.count("set.channels");
    let mut all: Vec<Question> =
        (1..=last).map(|n| does(n, n < last || used.iter().any(|c| c.number < n))).collect();
    for channel in used {
        of_one(answers, &channel, &mut all);
    }
    all
}

/// What a channel does; something has to do something.
fn does(number: u32, may_be_nothing: bool) -> Question {
    let known = function::ALL.iter().map(|function| Choice::new(function.word, function.about));
    let nothing = Choice::new("nothing", "nothing is plugged in, or it is not used");
    Question::new(
        format!("channel.{number}.does"),
        said("What does channel {number} do?").with("number", number),
        "Plug by plug: move everything on the set and see what moves in the hull.",
        One(may_be_nothing.then_some(nothing).into_iter().chain(known).collect()),
    )
}

fn of_one(answers: &Answers, channel: &Used, all: &mut Vec<Question>) {
    let name = channel.name();
    all.push(Question::new(
        channel.id("hand"),
        said("What does the hand move for channel {channel} ({name})?")
            .with("channel", channel.number)
            .with("name", &name),
        "What springs back lets go by itself; what stays goes on when nobody thinks of it.",
        One(hands(answers, channel)),
    ));
    // What comes next hangs on this.
    if answers.get(&channel.id("hand")).is_none() || channel.leader(answers).number != channel.number {
        return;
    }
    all.push(Question::new(
        channel.id("at"),
        said("Where on the set is that, for the {name}?").with("name", &name),
        "The owner finds it by these words, and the card draws it there. Other words may be said as well.",
        Text { example: "right stick" },
    )
    .shown(SET, PLACES));
    if answers.get(&channel.id("at")).is_none() {
        return;
    }
    let hand = answers.get(&channel.id("hand")).unwrap_or_default();
    let switch = hand.starts_with("switch");
    if !switch {
        all.push(Question::new(
            channel.id("moves"),
            said("Which way does it move, for the {name}?").with("name", &name),
            "Both ends get their names from it.",
            One(free(answers, channel)),
        ));
    }
    if !switch && answers.get(&channel.id("moves")).is_none() {
        return;
    }
    let [one, other] = channel.function.ways;
    let end = match (switch, answers.get(&channel.id("moves"))) {
        (true, _) => "first setting (away from you, or up)",
        (_, Some("towards and away")) => "end towards you",
        (_, Some("lower and upper")) => "lower end",
        _ => "left end",
    };
    all.push(Question::new(
        channel.id("first"),
        said("What is the {end} for, on the {name}?").with("end", end).with("name", &name),
        "Move it and see what she does.",
        One(vec![Choice::new(one, ""), Choice::new(other, "")]),
    ));
    if hand.starts_with("stick") {
        all.push(
            Question::new(
                channel.id("trim"),
                said("How far can the trim move it, for the {name}?").with("name", &name),
                "Trim full over, stick at rest: the pulse moves by so many percent of the way to full. A trim on a \
                 tank can open a vent by itself: lock it, if the set can.",
                Quantity { units: &["%"], words: &["locked"], example: "20 %" },
            )
            .or("is `not measured`, and what hangs on it is not judged"),
        );
    }
}

/// What can move it: something of its own, or what moves another that does the same to her.
fn hands(answers: &Answers, channel: &Used) -> Vec<Choice> {
    let same =
        |other: &Used| other.function.effects.is_some() && other.function.effects == channel.function.effects;
    let before = used(answers).into_iter().filter(|other| other.number < channel.number && same(other));
    let led = before.filter(|other| other.leader(answers).number == other.number);
    let led = led.map(|other| {
        let too = said("what moves the {name}, too").with("name", other.name());
        let label = said("as channel {number}").with("number", other.number);
        Choice::new(format!("{AS}{}", other.number), too).told(label)
    });
    choices(HANDS).into_iter().chain(led).collect()
}

/// The movements that nothing at the same place of the set has yet.
fn free(answers: &Answers, channel: &Used) -> Vec<Choice> {
    let at = |of: &Used| answers.known(&of.id("at"));
    let before =
        used(answers).into_iter().filter(|other| other.number < channel.number && at(other) == at(channel));
    let taken: Vec<_> =
        before.filter_map(|other| answers.known(&other.id("moves")).map(str::to_owned)).collect();
    let all = choices(MOVES);
    let free: Vec<Choice> = all.iter().filter(|choice| !taken.contains(&choice.word)).cloned().collect();
    if free.is_empty() { all } else { free }
}

pub(super) fn write(answers: &Answers, lines: &mut Lines) {
    lines.key("controls");
    let used = used(answers);
    for channel in used.iter().filter(|channel| channel.leader(answers).number == channel.number) {
        let line = control(answers, channel, lines);
        lines.put(&lines.name(&channel.control(&used)), &line);
    }
}

fn control(answers: &Answers, channel: &Used, lines: &Lines) -> String {
    let said = |what: &str| answers.get(&channel.id(what)).unwrap_or_default();
    let mut keys = vec![format!("at: {}", text(said("at")))];
    let [low, high] = channel.ways(answers).map(|way| lines.name(way));
    let hand = said("hand");
    match hand {
        "switch" => keys.push(format!("kind: switch, settings: [{low}, {high}]")),
        "switch of three" => {
            keys.push(format!("kind: switch, settings: [{low}, {}, {high}]", lines.name("middle")))
        }
        _ => {
            if !hand.starts_with("stick") {
                keys.push(format!("kind: {hand}"));
            }
            let [one, other] = match said("moves") {
                "towards and away" => ["towards", "away"],
                "lower and upper" => ["lower", "upper"],
                _ => ["left", "right"],
            };
            keys.push(format!("ways: {{{one}: {low}, {other}: {high}}}"));
        }
    }
    if hand == "stick that stays" {
        keys.push("rests: where left".to_owned());
    }
    if hand.starts_with("stick") {
        keys.push(format!("trim: {}", answers.get(&channel.id("trim")).unwrap_or(UNKNOWN)));
    }
    match channel.function.effects {
        Some([of_one, of_other]) => {
            let [one, other] = channel.function.ways.map(|way| lines.name(way));
            keys.push(format!("wants: {{{one}: {of_one}, {other}: {of_other}}}"));
        }
        // The channel says what each way is meant to work.
        None if !wanted(answers, channel).is_empty() => {}
        None => keys.push("wants: none".to_owned()),
    }
    format!("{{{}}}", keys.join(", "))
}
