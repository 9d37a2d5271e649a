//! What was asked of the proof on the way to an answer, where somebody wants to see it.
//!
//! Nothing is proved here a second time: the engine puts down what it asks and what it is told while it
//! answers, and where nobody asked for notes it puts down nothing.

use super::answer::Answered;
use super::asks::Asks;
use super::engine::Context;
use super::states::Place;
use crate::finding::{StateId, Subject};
use crate::proof::{Answer, Domain, Zone};
use crate::setup::ChannelId;
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
        place: Place,
        /// The zone.
        zone: Zone,
        /// What came of it.
        answer: Answer,
    },
    /// Nothing drives it.
    Still,
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

/// What a context puts down; nothing where nobody wants it.
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

    /// Puts down a step.
    pub(super) fn step(&self, step: impl FnOnce() -> Step) {
        if self.wanted {
            self.steps.borrow_mut().push(step());
        }
    }
}

impl Context<'_> {
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

    /// Everything that was put down, in the order of the questions.
    pub fn take_notes(&self) -> Vec<Note> {
        self.notes.all.take()
    }
}
