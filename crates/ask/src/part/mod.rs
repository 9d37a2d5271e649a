//! The parts of the bench, each with its questions and its lines of the file.

mod boat;
mod channel;
mod device;
mod hand;
mod link;
mod power;
mod set;
mod unit;

use crate::answers::Answers;
use crate::file::Lines;
use crate::function::{self, Function};
use crate::question::Question;

/// One part of the bench.
pub(crate) struct Part {
    /// What it is called.
    pub(crate) name: &'static str,
    /// Its questions, as far as the answers before lead to them.
    pub(crate) ask: fn(&Answers) -> Vec<Question>,
    /// Its lines of the file, once all of it is answered.
    pub(crate) write: fn(&Answers, &mut Lines),
}

/// All parts, in the order in which they are asked; the file has its own.
pub(crate) static ALL: &[Part] = &[
    Part { name: "the boat", ask: boat::ask, write: boat::write },
    Part { name: "the set", ask: set::ask, write: set::write },
    Part { name: "the hand", ask: hand::ask, write: hand::write },
    Part { name: "the channels", ask: channel::ask, write: channel::write },
    Part { name: "a lost signal", ask: link::ask, write: link::write },
    Part { name: "the fail-safe unit", ask: unit::ask, write: unit::write },
    Part { name: "what hangs on the channels", ask: device::ask, write: device::write },
    Part { name: "power and papers", ask: power::ask, write: power::write },
];

/// How it is answered that another channel's control moves this one, too.
const AS: &str = "as channel ";

/// A channel that does something.
#[derive(Clone, Copy)]
pub(crate) struct Used {
    /// Its number.
    pub(crate) number: u32,
    /// What it does.
    pub(crate) function: &'static Function,
    /// How many channels before it do the same.
    twin: usize,
}

impl Used {
    /// The name of a question about it.
    pub(crate) fn id(&self, what: &str) -> String {
        format!("channel.{}.{what}", self.number)
    }

    /// What it is called in the file, apart from others that do the same.
    pub(crate) fn name(&self) -> String {
        numbered(self.function.word, self.twin)
    }

    /// The channel whose control moves this one as well: itself, if it has its own.
    pub(crate) fn leader(&self, answers: &Answers) -> Used {
        let as_other = answers.known(&self.id("hand")).and_then(|hand| hand.strip_prefix(AS));
        let number = as_other.and_then(|number| number.parse().ok()).filter(|number| *number < self.number);
        let leader = used(answers).into_iter().find(|other| Some(other.number) == number);
        leader.map_or(*self, |leader| leader.leader(answers))
    }

    /// What the control that moves it is called.
    pub(crate) fn moved_by(&self, answers: &Answers) -> String {
        self.leader(answers).control(&used(answers))
    }

    /// What its own control is called.
    pub(crate) fn control(&self, used: &[Used]) -> String {
        let same =
            |other: &&Used| other.function.control == self.function.control && other.number < self.number;
        numbered(self.function.control, used.iter().filter(same).count())
    }

    /// The words for its two ways, that of the lower, left or towards end first.
    pub(crate) fn ways(&self, answers: &Answers) -> [&'static str; 2] {
        let leader = self.leader(answers);
        let [one, other] = leader.function.ways;
        if answers.is(&leader.id("first"), other) { [other, one] } else { [one, other] }
    }
}

fn numbered(word: &str, twin: usize) -> String {
    if twin == 0 { word.to_owned() } else { format!("{word} {}", twin + 1) }
}

/// The channels that do something.
pub(crate) fn used(answers: &Answers) -> Vec<Used> {
    let mut all: Vec<Used> = Vec::new();
    for number in 1..=answers.count("set.channels") {
        let does = answers.known(&format!("channel.{number}.does")).and_then(function::named);
        if let Some(function) = does {
            let twin = all.iter().filter(|other| other.function.word == function.word).count();
            all.push(Used { number, function, twin });
        }
    }
    all
}
