//! `lidcard bench`: the tests of the sheet, one step at a time, and what was read into the record.

pub(super) mod clock;
mod due;
mod item;
pub(super) mod lines;
mod meters;
mod standing;
mod steps;
pub(super) mod store;
mod telling;
mod walk;

use super::args::{Bench, Colour, Extreme, Seat};
use super::outcome::{Failure, Outcome};
use super::progress::during;
use super::write::inputs::Inputs;
use super::write::stop;
use super::{Streams, boat, check, read};
use crate::bench::premises::{Premises, Worlds};
use crate::bench::record::{Entry, Record, Run};
use crate::bench::typed::{self, Typed};
use crate::document::labels::Labels;
use crate::document::sheet;
use crate::finding::Severity;
use crate::fingerprint::Code;
use crate::language;
use crate::question::Engine;
use crate::report::text::{counted, hanging};
use crate::report::{FileReport, human};
use crate::rule;
use crate::setup::Exact;
use crate::setup::canonical::lines as said;
use lines::Lines;
use std::cell::RefCell;
use std::path::Path;
use store::Store;
pub(super) use store::beside;
use walk::{From, Walk};

/// A meter and what it can be off, in microseconds.
pub type Meter = (String, Exact);

/// Goes through the tests.
///
/// # Errors
///
/// When the file cannot be read, the record not be written, or the answers make no sense.
pub fn run(args: &Bench, colour: Colour, streams: &mut Streams<'_>) -> Result<Outcome, Failure> {
    stop::watch();
    let look = streams.screen.look_of_stderr(colour);
    if args.file.is_stdin() {
        return Err(Failure("a record lies beside its boat file: give the file by its name".to_owned()));
    }
    let (source, setup) = match boat::load_one(&args.file, streams.stdin)? {
        Ok(loaded) => loaded,
        Err(report) => {
            streams.complain_drawn(&human::file(&report, look, false), look)?;
            return Ok(Outcome::Failed);
        }
    };
    let code = Code::of(&source).to_string();
    let judged = during(streams.screen, "checking", || rule::verdict(&setup));
    let lines_of_file = said(&source.root);
    let report = FileReport::checked(source, judged.findings).wanting(judged.wanting);
    let errors = report.count(Severity::Error);
    if errors > 0 {
        streams.complain_drawn(&human::file(&report, look, false), look)?;
        let count = counted(errors, "error", "errors");
        streams.complain(format!("not to the bench yet: first put right {count} in {}\n", report.name()))?;
        return Ok(check::outcome(&report, false));
    }
    let mut lines = match &args.answers {
        None if args.steps => Lines::script(""),
        None => Lines::Terminal,
        Some(path) => Lines::script(&read::text(path, read::LONGEST_ANSWERS, "file of answers")?),
    };
    let path = args.record.clone().unwrap_or_else(|| beside(&args.file));
    let mut inputs = Inputs::boats(std::slice::from_ref(&args.file));
    if let Some(answers) = &args.answers {
        inputs.add(answers, "the answers themselves");
    }
    inputs.refuse([path.as_path()])?;
    let engine = Engine::new(&setup);
    let worlds = Worlds::of(&setup);
    let premises = Premises::of(&engine, &worlds);
    let labels = Labels::of(language::ALL[0].1).speaking_of(&setup);
    let tests = during(streams.screen, "working out the tests", || sheet::readings(&engine, &labels));
    let items = item::all(&tests, &setup, &lines_of_file);
    let walk = Walk {
        engine: &engine,
        premises: &premises,
        code: &code,
        meters: &args.seat.meters,
        items: &items,
        due: args.due,
        said: RefCell::default(),
    };
    if args.steps {
        let spoken =
            args.language.map(|chosen| sheet::readings(&engine, &Labels::of(chosen).speaking_of(&setup)));
        let spoken = item::all(spoken.as_deref().unwrap_or(&tests), &setup, &lines_of_file);
        return steps::told(args, walk, &spoken, (&path, &mut lines), streams);
    }
    may_go_on(args, &path, &code)?;
    let mut store = Store::open(&path, &setup.boat.name, streams)?;
    let mut opening = format!("{}, code {code}; readings go into {}\n", setup.boat.name, path.display());
    let keys = "Type a reading: `1488 us` or `+53 %`, several with commas. Where something is looked at the space bar says \
                that it is so, `no` that it is not. Also: `skip`, `back`, `stop`, `# a remark`. Each line ends with Enter.";
    hanging(&mut opening, "", keys, streams.screen.width);
    streams.say(opening)?;
    for what in &args.changed {
        store.add(due::changed(what, &items, &store.record, &setup)?)?;
    }
    if (args.due || !args.changed.is_empty()) && !due::told(&walk, &store.record, streams)? {
        return Ok(Outcome::Clean);
    }
    let Some(run) = sits(args, &code, &mut store, &mut lines, streams)? else { return Ok(Outcome::Clean) };
    let walk = Walk { meters: &meters_of(&run), ..walk };
    let stand = walk.go(From { step: None, goes_on: args.go_on }, &mut store, &mut lines, streams)?;
    walk.ended(&stand, &store.record, streams)
}

/// Refuses to go on where nobody sat down, before a record is begun.
fn may_go_on(args: &Bench, path: &Path, code: &str) -> Result<(), Failure> {
    let record = if args.go_on { store::read(path)? } else { return Ok(()) };
    match record.is_some_and(|(_, record)| sitting(&record, code).is_some()) {
        true => Ok(()),
        false => Err(Failure(
            "nobody has sat down yet with the boat file as it is now: leave out --go-on".to_owned(),
        )),
    }
}

/// Who sits there: those who sat down last, or whoever sits down now. `None` where nobody answers.
fn sits(
    args: &Bench,
    code: &str,
    store: &mut Store,
    lines: &mut Lines,
    streams: &mut Streams<'_>,
) -> Result<Option<Run>, Failure> {
    if args.go_on {
        return Ok(sitting(&store.record, code).cloned());
    }
    let Some(run) = sat_down(&args.seat, code, lines, streams)? else { return Ok(None) };
    store.add(Entry::Run(run.clone()))?;
    Ok(Some(run))
}

/// The sitting with which a record ends, if it was with the boat file as it is now.
fn sitting<'r>(record: &'r Record, code: &str) -> Option<&'r Run> {
    let last = record.entries.iter().rev().find_map(|entry| match entry {
        Entry::Run(run) => Some(run),
        _ => None,
    });
    last.filter(|run| run.code == code)
}

/// Who sat down, with which meters, in what warmth; `None` where nobody answers.
pub(super) fn sat_down(
    seat: &Seat,
    code: &str,
    lines: &mut Lines,
    streams: &mut Streams<'_>,
) -> Result<Option<Run>, Failure> {
    let mut asked = |given: &Option<String>, question: &str| match given {
        Some(given) => Ok(Some(given.clone())),
        None => lines.ask(question, streams),
    };
    let Some(by) = asked(&seat.by, "initials")? else { return Ok(None) };
    let Some(conditions) = asked(&seat.conditions, "warm or cold, volts, hull open or closed")? else {
        return Ok(None);
    };
    let extreme = match (seat.extreme, &seat.conditions) {
        (Some(extreme), _) => extreme,
        (None, Some(_)) => Extreme::No,
        (None, None) => loop {
            let question = "is it now as warm or as cold as she is ever sailed? warmest, coldest, no";
            let Some(line) = lines.ask(question, streams)? else { return Ok(None) };
            match line.trim().to_ascii_lowercase().as_str() {
                "warmest" => break Extreme::Warmest,
                "coldest" => break Extreme::Coldest,
                "no" | "n" | "" => break Extreme::No,
                _ => streams.say("  warmest, coldest, or no\n")?,
            }
        },
    };
    let mut meters = seat.meters.clone();
    while meters.is_empty() {
        let question = "meter and what it can be off, as `pulse meter = 2 us`, several with commas";
        let Some(text) = lines.ask(question, streams)? else { return Ok(None) };
        match text.split(',').map(meter).collect::<Result<Vec<_>, _>>() {
            Ok(all) => meters = all,
            Err(why) => streams.say(format!("  {why}\n"))?,
        }
    }
    let meters = meters.into_iter().map(|(name, off)| (name, format!("{} us", off.to_decimal(3))));
    Ok(Some(Run {
        at: clock::now(),
        by: by.trim().to_owned(),
        code: code.to_owned(),
        meters: meters.collect(),
        conditions: conditions.trim().to_owned(),
        extreme: extreme.word().to_owned(),
    }))
}

/// A meter as it is written on the command line.
///
/// # Errors
/// With what to write instead.
pub fn meter(text: &str) -> Result<Meter, String> {
    let wrong = || format!("`{text}`: write the meter and what it can be off: `pulse meter = 2 us`");
    let (name, off) = text.rsplit_once('=').ok_or_else(wrong)?;
    let number = off.trim().strip_suffix("us").or_else(|| off.trim().strip_suffix("µs")).ok_or_else(wrong)?;
    let off = Exact::from_decimal(number.trim()).filter(|off| off.signum() >= 0).ok_or_else(wrong)?;
    if name.trim().is_empty() || off > Exact::int(MOST_OFF) {
        return Err(wrong());
    }
    Ok((name.trim().to_owned(), off))
}

/// A meter that is off by more tells nothing of an endpoint.
const MOST_OFF: i64 = 100;

/// The meters of a run with what each can be off.
pub(super) fn meters_of(run: &Run) -> Vec<Meter> {
    run.meters.iter().filter_map(|(name, off)| meter(&format!("{name} = {off}")).ok()).collect()
}

/// What a line says; the mistake in it is told and `None` answered.
pub(super) fn understood(
    line: &str,
    setup: &crate::setup::Setup,
    streams: &mut Streams<'_>,
) -> Result<Option<Typed>, Failure> {
    match typed::line(line, setup) {
        Ok(typed) => Ok(Some(typed)),
        Err(why) => {
            let mut text = String::new();
            hanging(&mut text, "  ", &why, streams.screen.width);
            streams.say(text)?;
            Ok(None)
        }
    }
}
