//! `lidcard listen`: what a logic analyser recorded, against the file.

mod lost;
mod matched;
mod tell;

use super::args::{Colour, Listen};
use super::bench::beside;
use super::bench::clock;
use super::bench::store::Store;
use super::outcome::{Failure, Outcome};
use super::progress::during;
use super::write::inputs::Inputs;
use super::{Streams, boat};
use crate::bench::premises::{Premises, Worlds};
use crate::bench::record::{Entry, Run, Test};
use crate::document::labels::Labels;
use crate::document::sheet::{self, Pulse, Reads};
use crate::fingerprint::Code;
use crate::language;
use crate::question::Engine;
use crate::report::human;
use crate::setup::{ChannelId, Setup};
use crate::source::file;
use lidcard_listen::{Heard, Kind, Refused, Stream, csv, vcd};
use std::path::Path;

/// One channel of the file and what was heard of it.
struct On<'a> {
    channel: ChannelId,
    /// The line, and where it holds several channels which of them.
    from: String,
    stream: &'a Stream,
}

/// Reads the recording and tells what agrees.
pub(super) fn run(args: &Listen, colour: Colour, streams: &mut Streams<'_>) -> Result<Outcome, Failure> {
    let look = streams.screen.look_of_stderr(colour);
    let (source, setup) = match boat::load_one(&args.file, streams.stdin)? {
        Ok(loaded) => loaded,
        Err(report) => {
            streams.complain_drawn(&human::file(&report, look, false), look)?;
            return Ok(Outcome::Failed);
        }
    };
    let heard = during(streams.screen, "hearing the recording", || read(&args.recording))?;
    let width = streams.screen.width;
    streams.say(tell::lines(&heard, width))?;
    let on = assigned(args, &setup, &heard)?;
    let engine = Engine::new(&setup);
    let tests = sheet::readings(&engine, &Labels::of(language::ALL[0].1).speaking_of(&setup));
    let pulses: Vec<(&str, &Pulse)> = tests
        .iter()
        .flat_map(|test| match &test.reads {
            Reads::Pulses(pulses) => pulses.iter().map(|pulse| (test.number.as_str(), pulse)).collect(),
            _ => Vec::new(),
        })
        .collect();
    let went = matched::went(args, &pulses)?;
    let mut good = true;
    let begins = args.loss.then(|| lost::begins(args, &heard, &on)).transpose()?.flatten();
    let worlds = Worlds::of(&setup);
    let premises = Premises::of(&engine, &worlds);
    let found =
        matched::all(&premises, &heard, &on, &pulses, (args.clock, &went), begins.as_ref().map(|b| b.at));
    good &= found.iter().all(matched::Found::is_good);
    streams.say(tell::matched(&setup, &heard, &found, args, width))?;
    let others = matched::counted_otherwise(&setup, &on, &found, &went);
    good &= others.is_empty();
    streams.say(others)?;
    if args.loss {
        let lost = lost::heard(&setup, &heard, &on, begins.as_ref());
        good &= lost.agrees;
        streams.say(tell::lost(&lost, width))?;
    }
    let entries = matched::entries(&found);
    if let Some(by) = args.add.as_ref() {
        add(args, by, &setup, &Code::of(&source).to_string(), &heard, entries, streams)?;
    } else if !entries.is_empty() {
        let lines: String = entries.into_iter().map(|test| Entry::Test(test).line()).collect();
        streams.say(format!("\nFor the record (`--add INITIALS` puts it there):\n{lines}"))?;
    }
    Ok(if good { Outcome::Clean } else { Outcome::Found })
}

fn read(path: &Path) -> Result<Heard, Failure> {
    let name = path.display();
    let mut file = file::open(path).map_err(|error| Failure(format!("cannot read {name}: {error}")))?;
    let ending = path.extension().map(|ending| ending.to_string_lossy().to_lowercase());
    let heard = if ending.as_deref() == Some("csv") { csv::read(&mut file) } else { vcd::read(&mut file) };
    heard.map_err(|Refused { line, why }| {
        let place = if line == 0 { String::new() } else { format!(", line {line}") };
        Failure(format!("{name}{place}: {why}; a recording is a value change dump (.vcd) or a table (.csv)"))
    })
}

/// Which line is which channel: as `--line` says, else by a name such as `ch4`, and a train's in their order.
fn assigned<'a>(args: &Listen, setup: &Setup, heard: &'a Heard) -> Result<Vec<On<'a>>, Failure> {
    for (name, _) in &args.lines {
        if !heard.lines.iter().any(|line| line.name == *name) {
            let known: Vec<&str> = heard.lines.iter().map(|line| line.name.as_str()).collect();
            return Err(Failure(format!("the recording has no line `{name}`: it has {}", known.join(", "))));
        }
    }
    let numbered = |number: u8| setup.channels.iter().position(|c| c.number == number);
    let mut all = Vec::new();
    for line in &heard.lines {
        let told = args.lines.iter().find(|(name, _)| *name == line.name).map(|(_, number)| *number);
        match &line.kind {
            Kind::Channel(stream) => {
                let number = told.or_else(|| {
                    let name = line.name.to_lowercase();
                    name.strip_prefix("ch")?.trim_start_matches(['_', '-', ' ']).parse().ok()
                });
                let Some(channel) = number.and_then(numbered) else { continue };
                all.push(On { channel, from: line.name.clone(), stream });
            }
            Kind::Train(channels) => {
                let first = told.unwrap_or(1);
                for (n, stream) in (0..).zip(channels) {
                    if let Some(channel) = first.checked_add(n).and_then(numbered) {
                        all.push(On { channel, from: format!("{}, pulse {}", line.name, n + 1), stream });
                    }
                }
            }
            _ => {}
        }
    }
    Ok(all)
}

/// `D3=4`
pub(super) fn line(text: &str) -> Result<(String, u8), String> {
    let wrong = || format!("`{text}`: write the line of the recording and its channel, such as D3=4");
    let (name, number) = text.rsplit_once('=').ok_or_else(wrong)?;
    Ok((name.trim().to_owned(), number.trim().parse().map_err(|_| wrong())?))
}

/// Puts what was heard into the record, as a run of its own.
fn add(
    args: &Listen,
    by: &str,
    setup: &Setup,
    code: &str,
    heard: &Heard,
    entries: Vec<Test>,
    streams: &mut Streams<'_>,
) -> Result<(), Failure> {
    let path = args.record.clone().unwrap_or_else(|| beside(&args.file));
    let mut inputs = Inputs::boats(std::slice::from_ref(&args.file));
    inputs.add(&args.recording, "the recording itself");
    inputs.refuse([path.as_path()])?;
    let mut store = Store::open(&path, &setup.boat.name, streams)?;
    let off = tell::micros(heard.off(2_000 * lidcard_listen::US, args.clock));
    store.add(Entry::Run(Run {
        at: clock::now(),
        by: by.to_owned(),
        code: code.to_owned(),
        meters: vec![("recording".to_owned(), format!("{off} us"))],
        conditions: args.conditions.clone().unwrap_or_default(),
        extreme: String::new(),
    }))?;
    let count = entries.len();
    for test in entries {
        store.add(Entry::Test(Test { at: clock::now(), ..test }))?;
    }
    streams.say(format!(
        "\n{} added to {}\n",
        crate::report::text::counted(count, "reading", "readings"),
        path.display()
    ))
}
