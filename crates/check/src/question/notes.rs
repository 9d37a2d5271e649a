//! What was asked of the proof on the way to an answer, where somebody wants to see it.
//!
//! Nothing is proved here a second time: the engine puts down what it asks and what it is told while it
//! answers, and where nobody asked for notes it puts down nothing.

use super::answer::Answered;
use super::asks::Asks;
use super::engine::Engine;
use super::states::PulsePlace;
use super::zones::may_zone;
use crate::finding::{StateId, Subject};
use crate::proof::joint::Tree;
use crate::proof::{Answer, Domain, Verdict, Zone};
use crate::setup::{ChannelId, Exact, WorkRef};
use std::cell::RefCell;

/// One thing that the engine asked.
#[derive(Clone, Debug)]
pub enum Step {
    /// Whether the output of a channel gets into a zone.
    Output {
        /// The channel.
        channel: ChannelId,
        /// Over which hands.
        over: Domain,
        /// The zone.
        zone: Zone,
        /// What came of it.
        answer: Answer,
    },
    /// Whether a place that no hand moves lies in a zone.
    Lies {
        /// The place.
        place: PulsePlace,
        /// The zone.
        zone: Zone,
        /// What came of it.
        answer: Answer,
    },
    /// Nothing drives it.
    Still,
    /// One of several things that all have to be.
    Part {
        /// What was asked.
        asks: Asks,
        /// How it came out.
        answered: Box<Answered>,
        /// The steps on the way.
        steps: Vec<Step>,
    },
    /// Two functions, where one of them may be in its slack.
    Pair {
        /// Which of them may be.
        held: [bool; 2],
        /// Over which hands.
        over: Domain,
        /// How it came out.
        answer: Answer,
        /// The steps on the way.
        steps: Vec<Step>,
    },
    /// Two zones lie so far apart.
    Gap(Exact),
    /// Whether two outputs get into their zones at once, where each of them does by itself.
    Joint {
        /// The channels.
        channels: [ChannelId; 2],
        /// Their zones.
        zones: [Zone; 2],
        /// What came of it.
        verdict: Verdict,
        /// How every box was closed, by order and settings.
        trees: Vec<Tree>,
    },
}

/// A question with its answer and everything that was asked on the way.
#[derive(Clone, Debug)]
pub struct Note {
    /// Which rule about what in which state.
    pub name: (&'static str, Subject, StateId),
    /// What was asked.
    pub asks: Asks,
    /// How it came out in the set-up as it was asked.
    pub answered: Answered,
    /// The steps, in the order in which the engine took them.
    pub steps: Vec<Step>,
}

/// What an engine puts down; nothing where nobody wants it.
#[derive(Debug, Default)]
pub(super) struct Notes {
    wanted: bool,
    steps: RefCell<Vec<Step>>,
    all: RefCell<Vec<Note>>,
}

impl Notes {
    pub(super) fn wanted() -> Self {
        Self { wanted: true, ..Self::default() }
    }

    /// Whether somebody wants to see them.
    pub(super) fn is_wanted(&self) -> bool {
        self.wanted
    }

    /// Puts down a step.
    pub(super) fn step(&self, step: impl FnOnce() -> Step) {
        if self.wanted {
            self.steps.borrow_mut().push(step());
        }
    }

    /// Does some work and puts its steps down as one.
    pub(super) fn nested<T>(&self, work: impl FnOnce() -> T, step: impl FnOnce(&T, Vec<Step>) -> Step) -> T {
        if !self.wanted {
            return work();
        }
        let before = self.steps.take();
        let done = work();
        let within = self.steps.replace(before);
        let step = step(&done, within);
        self.steps.borrow_mut().push(step);
        done
    }
}

impl Engine<'_> {
    /// Answers a question, and where somebody wants to see how, puts that down under its name.
    pub(super) fn noted(&self, name: (&'static str, Subject, StateId), asks: &Asks) -> Answered {
        self.notes.steps.borrow_mut().clear();
        let answered = self.answer(asks);
        if self.notes.wanted {
            let steps = self.notes.steps.take();
            let note = Note { name, asks: asks.clone(), answered: answered.clone(), steps };
            self.notes.all.borrow_mut().push(note);
        }
        answered
    }

    /// Every place at which a function may be engaged by whoever drives its device, and where it is then:
    /// piloting, then the states after a loss.
    pub fn engaging(&self, function: WorkRef) -> Vec<(PulsePlace, Zone)> {
        let work = self.setup.work(function);
        let zone = |place: &PulsePlace| {
            may_zone(work, &self.setup.slack(function.device, work.sign, place.by_unit()), false)
        };
        let states = self.states().iter().map(|state| state.places[function.device].clone());
        std::iter::once(self.piloting(function.device))
            .chain(states)
            .map(|place| (place.clone(), zone(&place)))
            .collect()
    }

    /// Everything that was put down, in the order of the questions.
    pub fn take_notes(&self) -> Vec<Note> {
        self.notes.all.take()
    }
}
