//! `lidcard new`: from questions to a first boat file.

mod dialogue;

use super::args::{Colour, New};
use super::outcome::{Failure, Outcome};
use super::write::inputs::Inputs;
use super::write::stop;
use super::{Streams, boat, check, document, write};
use crate::report::human;
use crate::source::{Source, file};
use lidcard_ask::{Answers, Question, Words, boat_file, questions};
use std::io::ErrorKind;
use std::path::Path;

/// More than this nobody answers.
const LONGEST: u64 = 1 << 20;

/// Asks what is not answered yet, and writes the file when nothing is.
pub(super) fn run(args: &New, colour: Colour, streams: &mut Streams<'_>) -> Result<Outcome, Failure> {
    stop::watch();
    // What comes of written answers hangs on nobody's surroundings.
    let own = if args.answers.is_some() || args.questions { "" } else { streams.screen.language };
    let words = Words::of(args.language.map_or(own, |language| language.name));
    let script = args.answers.as_deref().map(|path| script(path, words)).transpose()?;
    let Some(target) = &args.file else {
        return told(script.unwrap_or_default(), words, streams);
    };
    let script = match (&args.answers, script) {
        (Some(path), Some(script)) => Some(script.whole(path)?),
        _ => None,
    };
    let mut inputs = Inputs::default();
    if let Some(path) = &args.answers {
        inputs.add(path, "the answers themselves");
    }
    inputs.refuse([target.as_path()])?;
    if std::fs::symlink_metadata(target).is_ok() {
        return Err(Failure(format!("{} is there already: give another name", target.display())));
    }
    let answers = match script {
        Some(answers) => answers,
        None => {
            let kept = target.with_extension("answers.yaml");
            let before = if kept.exists() { script_or_none(&kept)? } else { Answers::default() };
            match dialogue::held(before, &kept, words, streams)? {
                Some(answers) => answers,
                None => {
                    let [kept, target] = [kept.as_path(), target].map(|path| path.display().to_string());
                    let told = words.say(dialogue::STOPPED, &[("kept", &kept), ("target", &target)]);
                    streams.say(format!("\n{told}\n"))?;
                    return Ok(Outcome::Found);
                }
            }
        }
    };
    let text = match boat_file(&answers, words) {
        Ok(text) => text,
        Err(question) => {
            streams.complain(format!(
                "nothing written: no answer yet to `{}`, {}\n  help: {}\n",
                question.id, question.ask, question.why
            ))?;
            return Ok(Outcome::Found);
        }
    };
    write(target, &text, args.form, colour, streams)
}

/// The questions as data, each with its answer so far.
fn told(script: Script, words: Words, streams: &mut Streams<'_>) -> Result<Outcome, Failure> {
    #[derive(serde::Serialize)]
    struct Told<'a> {
        #[serde(flatten)]
        question: &'a Question,
        answer: Option<&'a str>,
    }
    #[derive(serde::Serialize)]
    struct All<'a> {
        version: u32,
        questions: Vec<Told<'a>>,
        /// Answers to what is not asked, such as those to what hung on an answer that was changed.
        not_asked: Vec<String>,
    }
    let Script { answers, not_asked } = script;
    let asked = questions(&answers, words);
    let each = asked.iter().map(|question| Told { question, answer: answers.get(&question.id) });
    streams.say(check::json(&All { version: 1, questions: each.collect(), not_asked })?)?;
    Ok(Outcome::Clean)
}

/// Writes the file, and tells how to go on. What the reader does not take is told as of any boat file.
fn write(
    target: &Path,
    text: &str,
    form: bool,
    colour: Colour,
    streams: &mut Streams<'_>,
) -> Result<Outcome, Failure> {
    let _folders = write::enter([target], streams)?;
    let name = target.display().to_string();
    write::anew(target, text.as_bytes(), None).map_err(|error| match error.kind() {
        ErrorKind::AlreadyExists => Failure(format!("{name} is there already: give another name")),
        _ => Failure(format!("cannot write {name}: {error}")),
    })?;
    streams.note(format!("wrote {name}\n"))?;
    if let Err(report) = boat::load(boat::Origin::File(target.into())) {
        let look = streams.screen.look_of_stderr(colour);
        streams.complain_drawn(&human::file(&report, look, false), look)?;
        return Ok(Outcome::Failed);
    }
    let made = if form { document::form_beside(&target.into(), colour, streams)? } else { Outcome::Clean };
    streams.say(format!(
        "next: lidcard check {name}   what is wrong, and what is still to be measured\n      \
         lidcard sheet --blank {name}   the form to measure by\n"
    ))?;
    Ok(made)
}

/// Answers that somebody wrote down.
#[derive(Default)]
struct Script {
    /// Those that are asked for.
    answers: Answers,
    /// What the others are kept under.
    not_asked: Vec<String>,
}

impl Script {
    /// The answers, if each is asked for.
    fn whole(self, path: &Path) -> Result<Answers, Failure> {
        let name = path.display();
        match self.not_asked.first() {
            Some(id) => Err(Failure(format!(
                "{name}: `{id}` is not asked; `lidcard new --questions --answers {name}` tells what is"
            ))),
            None => Ok(self.answers),
        }
    }
}

/// The answers of a file, each held against its question.
fn script(path: &Path, words: Words) -> Result<Script, Failure> {
    let given = script_or_none(path)?;
    let name = path.display();
    let mut answers = Answers::default();
    loop {
        let asked = questions(&answers, words);
        let Some(question) =
            asked.iter().find(|q| answers.get(&q.id).is_none() && given.get(&q.id).is_some())
        else {
            break;
        };
        let answer = given.get(&question.id).unwrap_or_default();
        let answer = question.answer(answer).map_err(|why| {
            let gaps = [("id", &*question.id), ("answer", answer), ("why", &*why)];
            Failure(format!("{name}: {}", words.say(dialogue::CANNOT_BE, &gaps)))
        })?;
        answers.keep(&question.id, &answer);
    }
    let not_asked = given.iter().filter(|(id, _)| answers.get(id).is_none()).map(|(id, _)| id.to_owned());
    let not_asked = not_asked.collect();
    Ok(Script { answers, not_asked })
}

fn script_or_none(path: &Path) -> Result<Answers, Failure> {
    let name = path.display().to_string();
    let bytes = file::read(path, LONGEST).map_err(|error| Failure(format!("cannot read {name}: {error}")))?;
    if bytes.len() as u64 > LONGEST {
        return Err(Failure(format!("{name} is too long for answers")));
    }
    let said = |line: &[u8]| !line.trim_ascii().is_empty() && !line.trim_ascii().starts_with(b"#");
    if !bytes.split(|byte| *byte == b'\n').any(said) {
        return Ok(Answers::default());
    }
    let source = Source::from_bytes(&name, bytes).map_err(|refused| {
        let (_, mistake) = refused.into_parts();
        Failure(format!("{name} holds no answers: {}", mistake.message))
    })?;
    Answers::read(&source).map_err(|why| Failure(format!("{name} holds no answers: {why}")))
}

/// Keeps what was answered so far.
fn keep(path: &Path, answers: &Answers) -> Result<(), Failure> {
    write::atomically(path, answers.written().as_bytes())
        .map_err(|error| Failure(format!("cannot keep the answers in {}: {error}", path.display())))
}
