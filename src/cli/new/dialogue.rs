//! The questions at a terminal.

use super::keep;
use crate::cli::Streams;
use crate::cli::outcome::Failure;
use lidcard_ask::{Answers, Question, Said, Words, questions};
use std::path::Path;

/// What is said beside the questions; each language has these texts as well.
const OPENING: &str = "Answers are kept in {kept}. `?` where you do not know, Esc for the question before, Ctrl-C to stop and \
                       go on another time.";
pub(super) const STOPPED: &str = "stopped; {kept} keeps the answers: `lidcard new {target}` goes on";
pub(super) const CANNOT_BE: &str = "`{id}` cannot be `{answer}`: {why}";
const SO_FAR: &str = "{number} of {count} so far";
const LEFT_OPEN: &str = "`?`: not known; it {becomes}";
#[cfg(not(target_family = "wasm"))]
const NOT_KNOWN: &str = "not known: it {becomes}";
#[cfg(not(target_family = "wasm"))]
const SEVERAL: &str = "with commas between: {known}";
#[cfg(not(target_family = "wasm"))]
const SEVERAL_OR_NONE: &str = "with commas between, or none: {known}";
#[cfg(not(target_family = "wasm"))]
const SUCH: &str = "such as {example}";
#[cfg(not(target_family = "wasm"))]
const SUCH_OR: &str = "such as {example}, or {known}";
#[cfg(not(target_family = "wasm"))]
const COUNT: &str = "{least} to {most}";

/// What somebody wants who was asked. Where there is no terminal nobody is.
#[cfg_attr(target_family = "wasm", allow(dead_code))]
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
    words: Words,
    streams: &mut Streams<'_>,
) -> Result<Option<Answers>, Failure> {
    let opening = words.say(OPENING, &[("kept", &kept.display().to_string())]);
    streams.say(format!("{opening}\n"))?;
    let mut part = String::new();
    loop {
        let asked = questions(&answers, words);
        let Some(at) = asked.iter().position(|question| answers.get(&question.id).is_none()) else {
            return Ok(Some(answers));
        };
        let question = &asked[at];
        if question.part.as_str() != part {
            part = question.part.to_string();
            let (number, count) = ((at + 1).to_string(), asked.len().to_string());
            let so_far = words.say(SO_FAR, &[("number", &number), ("count", &count)]);
            streams.say(format!("\n{} ({so_far})\n", part.to_uppercase()))?;
        }
        match reply(question, words, streams)? {
            Reply::Answer(answer) => answers.keep(&question.id, &answer),
            Reply::Back if at > 0 => answers.forget(&asked[at - 1].id),
            Reply::Back => {}
            Reply::Stop => return Ok(None),
        }
        keep(kept, &answers)?;
    }
}

/// What is said of leaving it open.
fn unknown(question: &Question, words: Words) -> String {
    let told = |becomes: &Said| format!("\n{}", words.say(LEFT_OPEN, &[("becomes", becomes.as_str())]));
    question.unknown.as_ref().map_or_else(String::new, told)
}

#[cfg(not(target_family = "wasm"))]
fn reply(question: &Question, words: Words, streams: &mut Streams<'_>) -> Result<Reply, Failure> {
    use inquire::validator::{ErrorMessage, Validation};
    use inquire::{InquireError, Select, Text};
    use lidcard_ask::{Takes, UNKNOWN};
    use std::io::IsTerminal;

    if !std::io::stdin().is_terminal() {
        return Err(Failure("there is no terminal to ask at: give the answers with --answers".to_owned()));
    }
    let drawing = question.picture.as_ref();
    let drawing = drawing.map_or_else(String::new, |picture| format!("\n{}\n", picture.drawing));
    streams.say(format!("\n{}{}\n{drawing}", question.why, unknown(question, words)))?;
    streams.stdout.flush().map_err(|error| Failure(format!("cannot write the output: {error}")))?;
    let asked = match &question.takes {
        Takes::One(choices) => {
            let told = |word: &str, about: &str| match about {
                "" => word.to_owned(),
                _ => format!("{word}: {about}"),
            };
            let mut lines: Vec<String> =
                choices.iter().map(|c| told(c.label.as_str(), c.about.as_str())).collect();
            if let Some(becomes) = &question.unknown {
                lines.push(words.say(NOT_KNOWN, &[("becomes", becomes.as_str())]));
            }
            let picked = Select::new(question.ask.as_str(), lines).with_vim_mode(false).raw_prompt();
            picked
                .map(|line| choices.get(line.index).map_or(UNKNOWN.to_owned(), |choice| choice.word.clone()))
        }
        _ => {
            let held = question.clone();
            let example = example(&question.takes, words);
            Text::new(question.ask.as_str())
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
fn example(takes: &lidcard_ask::Takes, words: Words) -> String {
    use lidcard_ask::Takes;
    match takes {
        Takes::One(_) => String::new(),
        Takes::Several { choices, or_none } => {
            let known: Vec<String> = choices.iter().map(|c| format!("{} ({})", c.word, c.about)).collect();
            let text = if *or_none { SEVERAL_OR_NONE } else { SEVERAL };
            words.say(text, &[("known", &known.join(", "))])
        }
        Takes::Text { example }
        | Takes::Readings { example, .. }
        | Takes::Quantity { words: [], example, .. } => words.say(SUCH, &[("example", example)]),
        Takes::Count { least, most } => {
            let [least, most] = [least, most].map(u32::to_string);
            words.say(COUNT, &[("least", &least), ("most", &most)])
        }
        Takes::Quantity { words: known, example, .. } => {
            words.say(SUCH_OR, &[("example", example), ("known", &known.join(", "))])
        }
    }
}

#[cfg(target_family = "wasm")]
fn reply(question: &Question, words: Words, _: &mut Streams<'_>) -> Result<Reply, Failure> {
    Err(Failure(format!(
        "there is no terminal to ask at: give the answers with --answers; `{}` is open{}",
        question.id,
        unknown(question, words)
    )))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_said_beside_the_questions_is_said_in_every_language() {
        let all = [
            OPENING,
            STOPPED,
            CANNOT_BE,
            SO_FAR,
            LEFT_OPEN,
            NOT_KNOWN,
            SEVERAL,
            SEVERAL_OR_NONE,
            SUCH,
            SUCH_OR,
            COUNT,
        ];
        for (language, _) in crate::language::ALL.iter().skip(1) {
            for text in all {
                assert_ne!(Words::of(language).say(text, &[]), text, "{language}");
            }
        }
    }
}
