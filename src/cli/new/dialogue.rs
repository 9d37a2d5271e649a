//! The questions at a terminal.

use super::keep;
use crate::cli::Streams;
use crate::cli::outcome::Failure;
use lidcard_ask::{Answers, Question, questions};
use std::path::Path;

/// What somebody wants who was asked.
enum Reply {
    /// This answer.
    Answer(String),
    /// The question before this one again.
    Back,
    /// To go on another time.
    Stop,
}

/// Asks until nothing is open; each answer is kept at once. `None` when somebody stopped before that.
pub(super) fn held(
    mut answers: Answers,
    kept: &Path,
    streams: &mut Streams<'_>,
) -> Result<Option<Answers>, Failure> {
    streams.say(format!(
        "Answers are kept in {}. `?` where you do not know, Esc for the question before, Ctrl-C to stop and go on \
         another time.\n",
        kept.display()
    ))?;
    let mut part = "";
    loop {
        let asked = questions(&answers);
        let Some(at) = asked.iter().position(|question| answers.get(&question.id).is_none()) else {
            return Ok(Some(answers));
        };
        let question = &asked[at];
        if question.part != part {
            part = question.part;
            streams.say(format!("\n{} ({} of {} so far)\n", part.to_uppercase(), at + 1, asked.len()))?;
        }
        match reply(question, streams)? {
            Reply::Answer(answer) => answers.keep(&question.id, &answer),
            Reply::Back if at > 0 => answers.forget(&asked[at - 1].id),
            Reply::Back => {}
            Reply::Stop => return Ok(None),
        }
        keep(kept, &answers)?;
    }
}

/// What is said of leaving it open.
fn unknown(question: &Question) -> String {
    question.unknown.map_or_else(String::new, |becomes| format!("\n`?`: not known; it {becomes}"))
}

#[cfg(not(target_family = "wasm"))]
fn reply(question: &Question, streams: &mut Streams<'_>) -> Result<Reply, Failure> {
    use inquire::validator::{ErrorMessage, Validation};
    use inquire::{InquireError, Select, Text};
    use lidcard_ask::{Takes, UNKNOWN};
    use std::io::IsTerminal;

    if !std::io::stdin().is_terminal() {
        return Err(Failure("there is no terminal to ask at: give the answers with --answers".to_owned()));
    }
    let drawing = question.picture.map_or_else(String::new, |picture| format!("\n{}\n", picture.drawing));
    streams.say(format!("\n{}{}\n{drawing}", question.why, unknown(question)))?;
    streams.stdout.flush().map_err(|error| Failure(format!("cannot write the output: {error}")))?;
    let asked = match &question.takes {
        Takes::One(choices) => {
            let told = |word: &str, about: &str| match about {
                "" => word.to_owned(),
                _ => format!("{word}: {about}"),
            };
            let mut lines: Vec<String> = choices.iter().map(|c| told(&c.word, &c.about)).collect();
            if let Some(becomes) = question.unknown {
                lines.push(told("not known", &format!("it {becomes}")));
            }
            let picked = Select::new(&question.ask, lines).with_vim_mode(false).raw_prompt();
            picked
                .map(|line| choices.get(line.index).map_or(UNKNOWN.to_owned(), |choice| choice.word.clone()))
        }
        _ => {
            let held = question.clone();
            let example = example(&question.takes);
            Text::new(&question.ask)
                .with_help_message(&example)
                .with_validator(move |typed: &str| {
                    Ok(match held.answer(typed) {
                        Ok(_) => Validation::Valid,
                        Err(why) => Validation::Invalid(ErrorMessage::Custom(why)),
                    })
                })
                .prompt()
        }
    };
    match asked {
        Ok(typed) => Ok(question.answer(&typed).map_or(Reply::Back, Reply::Answer)),
        Err(InquireError::OperationCanceled) => Ok(Reply::Back),
        Err(InquireError::OperationInterrupted) => Ok(Reply::Stop),
        Err(error) => Err(Failure(format!("cannot ask: {error}"))),
    }
}

/// What an answer may look like.
#[cfg(not(target_family = "wasm"))]
fn example(takes: &lidcard_ask::Takes) -> String {
    use lidcard_ask::Takes;
    match takes {
        Takes::One(_) => String::new(),
        Takes::Several { choices, or_none } => {
            let words: Vec<String> = choices.iter().map(|c| format!("{} ({})", c.word, c.about)).collect();
            let none = if *or_none { ", or none" } else { "" };
            format!("with commas between{none}: {}", words.join(", "))
        }
        Takes::Text { example } => format!("such as {example}"),
        Takes::Count { least, most } => format!("{least} to {most}"),
        Takes::Quantity { words, example, .. } => match words {
            [] => format!("such as {example}"),
            words => format!("such as {example}, or {}", words.join(", ")),
        },
        Takes::Readings { example, .. } => format!("such as {example}"),
    }
}

#[cfg(target_family = "wasm")]
fn reply(question: &Question, _: &mut Streams<'_>) -> Result<Reply, Failure> {
    Err(Failure(format!(
        "there is no terminal to ask at: give the answers with --answers; `{}` is open{}",
        question.id,
        unknown(question)
    )))
}
