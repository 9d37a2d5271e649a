//! Questions and their answers: a rule asks, one engine answers, and whatever prints, solves or advises
//! reads the same list.
//!
//! A rule knows the trade: what can go wrong with which thing of a boat in which state, and how to say
//! it. What it asks is data ([`Asks`]); it judges nothing. So the endpoint values that are called safe
//! are those at which every question that hangs on the endpoint is answered well, whichever rule asked.

mod answer;
mod answering;
pub mod asks;
pub mod bands;
mod budget;
mod crossing;
pub mod engine;
pub mod more;
mod narrow;
pub mod notes;
mod outlook;
mod rests;
pub mod safe;
mod safe_endpoints;
pub mod say;
pub mod shares;
pub mod solve;
pub mod states;
mod together;
pub mod too_much;
mod trial;
pub mod worlds;
mod zones;

use crate::finding::{Finding, Outcome, Severity, StateId, Subject};
use crate::setup::{ChannelId, Side};
pub use answer::{Answered, Detail, Seen};
pub use asks::Asks;
pub use engine::Engine;
pub use outlook::Outlook;
pub use safe_endpoints::Windows;

use safe::BareQuestion;
use say::Draft;

/// How a rule tells what only the answer knows: adds to the draft, or chooses another sentence.
pub type Tells<'a> = Box<dyn Fn(&Engine, &Answered, &mut Draft) + 'a>;

/// One thing that a rule wants to know.
pub struct Question<'a> {
    /// What is asked.
    pub asks: Asks,
    /// Which rule about what in which state, and what it says whatever the answer.
    pub draft: Draft,
    /// What is wrong where it is broken, and what holds where it is proved.
    pub said: [String; 2],
    /// The way whose endpoint ought to be changed first, where one is.
    pub cure: Option<(ChannelId, Side)>,
    /// What is told beside that, once the answer is known.
    pub tells: Option<Tells<'a>>,
}

impl<'a> Question<'a> {
    /// A question with its two sentences.
    pub fn new(draft: Draft, asks: Asks, broken: impl Into<String>, holds: impl Into<String>) -> Self {
        Self { asks, draft, said: [broken.into(), holds.into()], cure: None, tells: None }
    }

    /// The way of a channel whose endpoint ought to be changed first.
    #[must_use]
    pub fn cured_by(mut self, way: Option<(ChannelId, Side)>) -> Self {
        self.cure = way;
        self
    }

    /// What is told once the answer is known.
    #[must_use]
    pub fn telling(mut self, tells: impl Fn(&Engine, &Answered, &mut Draft) + 'a) -> Self {
        self.tells = Some(Box::new(tells));
        self
    }

    /// The rule that asks.
    pub fn rule(&self) -> &'static str {
        self.draft.finding.rule
    }

    /// What it is about.
    pub fn subject(&self) -> Subject {
        self.draft.finding.subject
    }

    /// The state of the boat.
    pub fn state(&self) -> StateId {
        self.draft.finding.when
    }

    /// How grave it is where it is broken.
    pub fn severity(&self) -> Severity {
        self.draft.finding.severity
    }

    /// What is asked, without the words.
    pub fn without_words(self) -> BareQuestion {
        BareQuestion {
            rule: self.rule(),
            subject: self.subject(),
            state: self.state(),
            severity: self.severity(),
            asks: self.asks,
        }
    }

    /// Answers it and says so.
    pub fn settle(self, engine: &Engine) -> Finding {
        let (rule, subject, state) = (self.rule(), self.subject(), self.state());
        let answered = engine.noted((rule, subject, state), &self.asks);
        let Self { asks, mut draft, said: [broken, holds], cure, tells } = self;
        if let Some(tells) = tells {
            tells(engine, &answered, &mut draft);
        }
        if let (Some((channel, side)), true) = (cure, answered.outcome() != Outcome::Proved) {
            draft = safe::advise(engine, draft, channel, side);
            let wanted = too_much::Wanted { rule, subject, state };
            let too_much = || too_much::told(engine, &wanted, channel, side);
            draft = draft.helps(engine.advises.then(too_much).flatten());
        }
        let broken = draft.instead.take().unwrap_or(broken);
        draft.close(engine, &asks, &answered, &broken, &holds)
    }
}

impl Draft {
    /// Asks with these words: what is wrong where it is broken, and what holds where it is proved.
    pub fn asks<'a>(self, asks: Asks, broken: impl Into<String>, holds: impl Into<String>) -> Question<'a> {
        Question::new(self, asks, broken, holds)
    }

    /// Asks for a fact that needs no chain.
    pub fn fact<'a>(self, broken: bool, told: impl Into<String>, holds: impl Into<String>) -> Question<'a> {
        self.asks(Asks::Fact(broken), told, holds)
    }
}
