//! From questions to a boat file.
//!
//! The questions are data in the order of the bench; which of them come depends on what was answered before. A
//! terminal, a page or a script asks them, keeps the [`Answers`], and has the file written from them by
//! [`boat_file`]. Whoever does not know says so: that becomes `not measured`, or nothing with a remark, and never
//! a figure that only looks right.

mod answers;
mod file;
mod function;
mod part;
mod question;
mod words;

pub use answers::{Answers, UNKNOWN};
pub use file::boat_file;
pub use question::{Choice, Picture, Question, Takes};
pub use words::{Said, Words};

/// Every question that these answers lead to, in their order, answered or not, in a language.
pub fn questions(answers: &Answers, words: Words) -> Vec<Question> {
    let mut asked = Vec::new();
    for part in part::ALL {
        asked
            .extend((part.ask)(answers).into_iter().map(|question| question.under(part.name).told_in(words)));
    }
    asked
}

/// The first question without an answer; `None` when the file can be written.
pub fn next(answers: &Answers, words: Words) -> Option<Question> {
    questions(answers, words).into_iter().find(|question| answers.get(&question.id).is_none())
}
