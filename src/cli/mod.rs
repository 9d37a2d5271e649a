//! The commands. `run` may be called as often as one likes: it takes everything from its
//! arguments, but for a workshop's folder that the environment may name, and ends nothing but itself.

mod adopt;
mod alone;
pub mod args;
pub mod bench;
mod boat;
mod check;
mod document;
mod endpoints;
mod explain;
mod folder;
pub mod guard;
mod hand;
mod handover;
mod later;
mod listen;
pub mod named;
mod new;
pub mod outcome;
mod parallel;
mod pond;
mod practice;
mod probe;
mod progress;
mod read;
mod rehearse;
mod restore;
mod schema;
mod shell;
mod solve;
mod states;
mod verify;
pub mod window;
pub mod write;

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;

use crate::language;
use crate::report::Look;
use crate::source::visible::{visible, visible_but_colours};
use args::{Args, Colour, Command};
use clap::Parser;
use outcome::{Failure, Outcome};
use std::borrow::Cow;
use std::ffi::OsString;
use std::io::{IsTerminal, Read, Write};

/// What is known of the place where the output goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Screen {
    /// Someone is reading standard output along, not a file or a pipe.
    pub stdout_terminal: bool,
    /// The same for standard error.
    pub stderr_terminal: bool,
    /// Colours are welcome as far as the environment says.
    pub colour: bool,
    /// The locale can show more than ASCII.
    pub unicode: bool,
    /// Characters in a line.
    pub width: usize,
    /// Nobody wants to know how far work is, nor what was written where.
    pub quiet: bool,
    /// The language of whoever sits there, as far as it is one of the program's; no document hangs on it.
    pub language: &'static str,
}

impl Screen {
    /// Nobody reads along.
    pub const NONE: Self = Self {
        stdout_terminal: false,
        stderr_terminal: false,
        colour: false,
        unicode: false,
        width: 80,
        quiet: false,
        language: ENGLISH,
    };

    /// The one this process writes to.
    pub fn of_process() -> Self {
        let set = |name: &str| std::env::var_os(name).filter(|v| !v.is_empty());
        let dumb = set("TERM").is_some_and(|t| t == "dumb");
        let locale = ["LC_ALL", "LC_CTYPE", "LANG"].into_iter().find_map(set);
        let locale = locale.map(|l| l.to_string_lossy().to_uppercase()).unwrap_or_default();
        Self {
            stdout_terminal: std::io::stdout().is_terminal(),
            stderr_terminal: std::io::stderr().is_terminal(),
            colour: set("NO_COLOR").is_none() && !dumb,
            unicode: !dumb && (locale.contains("UTF-8") || locale.contains("UTF8")),
            width: 80,
            quiet: false,
            language: language_of(["LC_ALL", "LC_MESSAGES", "LANG"].into_iter().find_map(set)),
        }
    }

    fn look_of_stdout(self, colour: Colour) -> Look {
        self.look(self.stdout_terminal, colour)
    }

    fn look_of_stderr(self, colour: Colour) -> Look {
        self.look(self.stderr_terminal, colour)
    }

    fn look(self, terminal: bool, colour: Colour) -> Look {
        let colour = match colour {
            Colour::Always => true,
            Colour::Never => false,
            Colour::Auto => terminal && self.colour,
        };
        Look { colour, unicode: terminal && self.unicode, width: self.width }
    }
}

const ENGLISH: &str = language::ALL[0].0;

/// The language that a locale such as `de_AT.UTF-8` names, if it is one of the program's.
fn language_of(locale: Option<OsString>) -> &'static str {
    let locale = locale.map(|locale| locale.to_string_lossy().into_owned()).unwrap_or_default();
    let code = locale.split(['_', '.', '@']).next().unwrap_or_default();
    language::ALL.iter().map(|(name, _)| *name).find(|name| *name == code).unwrap_or(ENGLISH)
}

/// Where a command reads and writes.
pub struct Streams<'a> {
    /// Read when the file is `-`.
    pub stdin: &'a mut dyn Read,
    /// What was asked for.
    pub stdout: &'a mut dyn Write,
    /// What went wrong.
    pub stderr: &'a mut dyn Write,
    /// What they look like.
    pub screen: Screen,
}

/// Does what the arguments say; the first is the program's name.
pub fn run<I>(arguments: I, streams: &mut Streams<'_>) -> Outcome
where
    I: IntoIterator,
    I::Item: Into<OsString>,
{
    let arguments: Vec<OsString> = arguments.into_iter().map(Into::into).collect();
    let alone = alone::spelt_out(&arguments);
    let verdict = alone.is_some();
    let mut parsed = Args::try_parse_from(alone.unwrap_or(arguments));
    if let Ok(args) = &mut parsed {
        streams.screen.quiet = args.quiet;
        if let Command::Document(asked) = &mut args.command {
            asked.pages.verdict = verdict;
        }
    }
    // Boats and pictures are each guarded on their own; this is for what lies between.
    let ended = guard::caught(|| match parsed {
        Ok(args) => match &args.command {
            Command::New(new) => new::run(new, args.color, streams),
            Command::Check(check) => check::run(check, args.color, streams),
            Command::Endpoints(endpoints) => endpoints::run(endpoints, args.color, streams),
            Command::Pond(pond) => pond::run(pond, args.color, streams),
            Command::States(states) => states::run(states, args.color, streams),
            Command::Rehearse(rehearse) => rehearse::run(rehearse, args.color, streams),
            Command::Schema(schema) => schema::run(schema, streams),
            Command::Completions(completions) => shell::completions(completions, streams),
            Command::Man(man) => shell::man(man, streams),
            Command::Document(asked) => document::run(asked, args.color, streams),
            Command::Handover(handover) => handover::run(handover, args.color, streams),
            Command::Try(asked) => practice::run(asked, args.color, streams),
            Command::Verify(verify) => verify::run(verify, args.color, streams),
            Command::Restore(restore) => restore::run(restore, streams),
            Command::Adopt(adopt) => adopt::run(adopt, args.color, streams),
            Command::Bench(bench) => bench::run(bench, args.color, streams),
            Command::Listen(listen) => listen::run(listen, args.color, streams),
            Command::Probe(probe) => probe::run(probe, args.color, streams),
            Command::Explain(explain) => explain::run(explain, streams),
        },
        Err(error) => usage(&error, streams),
    });
    let ended = ended.unwrap_or_else(|fallen| Err(fallen.into())).and_then(|outcome| {
        unless_closed(streams.stdout.flush())?;
        Ok(outcome)
    });
    ended.unwrap_or_else(|Failure(why)| {
        // Nothing is left to be done when even this cannot be said.
        let _ = writeln!(streams.stderr, "lidcard: {}", visible(&why));
        Outcome::Failed
    })
}

impl Streams<'_> {
    /// What was asked for. Whatever names and texts of others are in it, the terminal is not theirs.
    fn say(&mut self, text: impl AsRef<str>) -> Result<(), Failure> {
        self.hand_out(visible(text.as_ref()).as_bytes())
    }

    /// What was written where, for whoever wants to know.
    fn note(&mut self, text: impl AsRef<str>) -> Result<(), Failure> {
        if self.screen.quiet { Ok(()) } else { self.say(text) }
    }

    /// The same for what is drawn in the colours of this look.
    fn say_drawn(&mut self, text: &str, look: Look) -> Result<(), Failure> {
        self.hand_out(seen(text, look).as_bytes())
    }

    /// The bytes of a file, byte for byte.
    fn hand_out(&mut self, bytes: &[u8]) -> Result<(), Failure> {
        unless_closed(self.stdout.write_all(bytes))
    }

    /// What went wrong, or is told beside.
    fn complain(&mut self, text: impl AsRef<str>) -> Result<(), Failure> {
        unless_closed(self.stderr.write_all(visible(text.as_ref()).as_bytes()))
    }

    /// The same for what is drawn in the colours of this look.
    fn complain_drawn(&mut self, text: &str, look: Look) -> Result<(), Failure> {
        unless_closed(self.stderr.write_all(seen(text, look).as_bytes()))
    }
}

fn seen(text: &str, look: Look) -> Cow<'_, str> {
    if look.colour { visible_but_colours(text) } else { visible(text) }
}

/// A reader at the other end who has gone has seen enough: that is no failure, and the outcome is
/// what it would have been.
fn unless_closed(written: std::io::Result<()>) -> Result<(), Failure> {
    match written {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
            Err(Failure(format!("cannot write the output: {error}")))
        }
        _ => Ok(()),
    }
}

/// `--help`, `--version`, and arguments that make no sense.
fn usage(error: &clap::Error, streams: &mut Streams<'_>) -> Result<Outcome, Failure> {
    let text = error.render();
    let screen = streams.screen;
    let look = if error.use_stderr() {
        screen.look_of_stderr(Colour::Auto)
    } else {
        screen.look_of_stdout(Colour::Auto)
    };
    let text = if look.colour { text.ansi().to_string() } else { text.to_string() };
    if error.use_stderr() {
        streams.complain_drawn(&text, look)?;
        return Ok(Outcome::Failed);
    }
    streams.say_drawn(&text, look)?;
    Ok(Outcome::Clean)
}
