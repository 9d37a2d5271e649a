//! `lidcard probe`: how the set does its sums, found out by the fewest readings.

mod tell;

use super::args::{Colour, Probe, TableFormat};
use super::bench::lines::Lines;
use super::bench::store::{self, Store};
use super::bench::{beside, clock, meters_of, sat_down, understood};
use super::outcome::{Failure, Outcome};
use super::progress::during;
use super::write::inputs::Inputs;
use super::{Streams, boat, check, read};
use crate::bench::record::{Entry, Record, Test};
use crate::bench::typed::Typed;
use crate::document::labels::Labels;
use crate::document::sheet::{self, Reads};
use crate::fingerprint::Code;
use crate::language;
use crate::probe::survey::{Next, Standing, Wanted};
use crate::probe::{Reading, Shot, Survey};
use crate::question::Engine;
use crate::report::human;
use crate::setup::{Exact, Setup};
use std::collections::BTreeMap;

/// Tells what is open, asks for one reading after the other, and tells what they leave.
pub(super) fn run(args: &Probe, colour: Colour, streams: &mut Streams<'_>) -> Result<Outcome, Failure> {
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
    let path = args.record.clone().unwrap_or_else(|| beside(&args.file));
    let wanted = Wanted { every_line: args.all, scale_too: args.scale };
    let told = args.seat.meters.iter().map(|(_, off)| off.clone());
    let meter = told.reduce(Exact::max).unwrap_or_else(|| Exact::int(USUAL_METER));
    if args.format == TableFormat::Json {
        let record = store::read(&path)?.map(|(_, record)| record).unwrap_or_default();
        let survey = Survey::new(&setup, wanted, meter.clone());
        let readings = readings_of(&record, &setup, &of_the_sheet(&setup), &code, &meter);
        let standing = survey.standing(&readings);
        let value = tell::json(&source.name, &code, &setup, &standing, readings.len());
        streams.say(check::json(&value)?)?;
        return Ok(outcome(&standing));
    }
    let screen = streams.screen;
    let survey = during(screen, PLANNING, || Survey::new(&setup, wanted, meter.clone()));
    let sheet = of_the_sheet(&setup);
    let known = store::read(&path)?.map(|(_, record)| readings_of(&record, &setup, &sheet, &code, &meter));
    let known = known.unwrap_or_default();
    let standing = during(screen, PLANNING, || survey.standing(&known));
    streams.say(tell::opening(&args.file.to_string(), &setup, &standing, wanted, streams.screen.width))?;
    if matches!(standing.next, Next::Done) {
        streams.say(tell::closing(&setup, &standing, streams.screen.width))?;
        return Ok(outcome(&standing));
    }
    let mut lines = match &args.answers {
        None => Lines::Terminal,
        Some(path) => Lines::script(&read::text(path, read::LONGEST_ANSWERS, "file of answers")?),
    };
    let mut inputs = Inputs::boats(std::slice::from_ref(&args.file));
    if let Some(answers) = &args.answers {
        inputs.add(answers, "the answers themselves");
    }
    inputs.refuse([path.as_path()])?;
    let Some(run) = sat_down(&args.seat, &code, &mut lines, streams)? else { return Ok(Outcome::Found) };
    let meter = meters_of(&run).into_iter().map(|(_, off)| off).reduce(Exact::max).unwrap_or(meter);
    let mut store = Store::open(&path, &setup.boat.name, streams)?;
    store.add(Entry::Run(run))?;
    let labels = Labels::of(language::ALL[0].1).speaking_of(&setup);
    streams.say(tell::first(&setup, &labels, streams.screen.width))?;
    let survey = during(screen, PLANNING, || Survey::new(&setup, wanted, meter.clone()));
    let mut again: Vec<Shot> = Vec::new();
    loop {
        let readings = readings_of(&store.record, &setup, &sheet, &code, &meter);
        let standing = during(screen, PLANNING, || survey.standing(&readings));
        let (shot, expected) = match &standing.next {
            Next::Scale(shot) => (shot, None),
            Next::Plan(node, _, _) => (&node.shot, None),
            Next::Back(shot, range) => (shot, Some(range)),
            Next::Done => {
                // Each of those that contradict each other is read once more, and no oftener.
                let open = standing.contradiction.iter().find(|r| !r.in_file && !again.contains(&r.shot));
                let Some(open) = open else {
                    streams.say(tell::closing(&setup, &standing, streams.screen.width))?;
                    return Ok(outcome(&standing));
                };
                again.push(open.shot.clone());
                (&open.shot, None)
            }
        };
        // Also what was left dialled in when somebody stopped.
        let before = readings.last().map(|reading| &reading.shot);
        streams.say(tell::step(&setup, &standing, shot, before, streams.screen.width))?;
        let Some((read, agrees)) = asked(&setup, expected, &mut lines, streams)? else {
            streams.say(tell::closing(&setup, &standing, streams.screen.width))?;
            return Ok(Outcome::Found);
        };
        store.add(Entry::Test(entry(&setup, shot, &read, agrees)))?;
    }
}

/// What takes time here.
const PLANNING: &str = "looking for the fewest readings";
/// A pulse meter without a word on what it can be off, microseconds (common practice, no source).
const USUAL_METER: i64 = 2;

fn entry(setup: &Setup, shot: &Shot, read: &str, agrees: Option<&str>) -> Test {
    Test {
        at: clock::now(),
        of: shot.name(setup),
        read: vec![read.to_owned()],
        agrees: agrees.unwrap_or_default().to_owned(),
        ..Test::default()
    }
}

/// One reading, and whether it is what was expected, where something was; `None` where somebody stops.
fn asked(
    setup: &Setup,
    expected: Option<&[Exact; 2]>,
    lines: &mut Lines,
    streams: &mut Streams<'_>,
) -> Result<Option<(String, Option<&'static str>)>, Failure> {
    let mut held: Option<String> = None;
    loop {
        let question = if held.is_some() { "  a space if it was read so, or once more" } else { "  read" };
        let Some(line) = lines.ask(question, streams)? else { return Ok(None) };
        match understood(&line, setup, streams)? {
            Some(Typed::Readings(all)) if all.len() == 1 => {
                let Some((text, us)) = all.into_iter().next() else { continue };
                match expected {
                    None => return Ok(Some((text, None))),
                    Some([low, high]) if us >= *low && us <= *high => return Ok(Some((text, Some("yes")))),
                    Some(_) => {
                        streams.say("  that is not what it was: put it back, and read once more\n")?;
                        held = Some(text);
                    }
                }
            }
            Some(Typed::Yes) if held.is_some() => return Ok(held.map(|text| (text, Some("no")))),
            Some(Typed::Stop) => return Ok(None),
            Some(_) => streams.say("  one reading is wanted here: `1500 us`, or stop\n")?,
            None => {}
        }
    }
}

/// The pulses of the sheet that hands hold, each as a reading of the set: what `bench` read of them counts here too.
fn of_the_sheet(setup: &Setup) -> BTreeMap<String, Shot> {
    let engine = Engine::new(setup);
    let tests = sheet::readings(&engine, &Labels::of(language::ALL[0].1).speaking_of(setup));
    let pulses = tests.iter().flat_map(|test| match &test.reads {
        Reads::Pulses(pulses) => pulses.as_slice(),
        _ => &[],
    });
    let held = pulses.filter_map(|pulse| Some((pulse, pulse.hands.as_ref()?)));
    held.map(|(pulse, hands)| (pulse.name.clone(), Shot::with_hands(setup, pulse.channel, hands))).collect()
}

/// The readings of a record that were taken for this or at the bench, of the file as it is now, each with the worst meter
/// of its run. What was read once more takes the place of what was read before.
fn readings_of(
    record: &Record,
    setup: &Setup,
    sheet: &BTreeMap<String, Shot>,
    code: &str,
    meter: &Exact,
) -> Vec<Reading> {
    let pulse = crate::probe::scale::pulse_off(setup);
    let mut off = None;
    let mut all = Vec::new();
    for entry in &record.entries {
        match entry {
            Entry::Run(run) if run.code == code => {
                let worst = meters_of(run).into_iter().map(|(_, off)| off).reduce(Exact::max);
                off = Some(&pulse + worst.unwrap_or_else(|| meter.clone()));
            }
            Entry::Run(_) => off = None,
            Entry::Changed(changed) => {
                let of = |before: &Reading| before.name.rsplit_once(": ").map(|(of, _)| of.to_owned());
                all.retain(|before: &Reading| of(before).is_none_or(|of| !changed.void.contains(&of)))
            }
            Entry::Test(test) => {
                let shot = Shot::named(setup, &test.of).or_else(|| sheet.get(&test.of).cloned());
                let shot = shot.filter(|_| !test.read.is_empty());
                let (Some(off), Some(shot)) = (&off, shot) else { continue };
                all.retain(|before: &Reading| before.shot != shot);
                for text in &test.read {
                    if let Ok(Typed::Readings(read)) = crate::bench::typed::line(text, setup) {
                        all.extend(read.into_iter().map(|(_, us)| Reading {
                            name: format!("{}: {text}", test.of),
                            shot: shot.clone(),
                            read: us,
                            off: off.clone(),
                            in_file: false,
                        }));
                    }
                }
            }
        }
    }
    all
}

fn outcome(standing: &Standing) -> Outcome {
    let done = matches!(standing.next, Next::Done) && standing.contradiction.is_empty();
    if done { Outcome::Clean } else { Outcome::Found }
}
