//! The steps as data, for a page that shows them: what is to be done, what came of it, and where the walk stands.

use super::item::{Item, Read};
use super::lines::Lines;
use super::store::{self, Store};
use super::walk::{From, Stand, Taken, Walk};
use super::{due, may_go_on, meters_of, sits, sitting};
use crate::bench::judge::Agrees;
use crate::bench::record::{Entry, Record, Run, Test};
use crate::cli::args::Bench;
use crate::cli::outcome::{Failure, Outcome};
use crate::cli::{Streams, check};
use serde::Serialize;
use std::collections::BTreeSet;
use std::path::Path;

#[derive(Serialize)]
struct Told<'a> {
    version: u32,
    boat: &'a str,
    code: &'a str,
    /// The file that the readings are in.
    record: String,
    /// Whether the record ends with a sitting with the boat file as it is now.
    can_go_on: bool,
    /// Who sits there, if anybody does.
    sitting: Option<Sitting<'a>>,
    steps: Vec<Step<'a>>,
    /// The step that comes next, from 1; `null` where nothing is left.
    next: Option<usize>,
    /// How long what is open takes, in minutes.
    minutes: u64,
    /// Why nobody should go on, if so.
    danger: Option<&'a str>,
    /// The meters that are to be compared before anything is read.
    compare: Vec<&'a str>,
    /// What was read and does not agree: it is kept when a space says that it was read so.
    held: Vec<Held<'a>>,
    /// What was said to the answers.
    said: &'a [String],
    /// Whether a remark was taken down.
    noted: bool,
    /// Everything that a step rests on and that could be another one by now.
    things: BTreeSet<&'a str>,
}

#[derive(Serialize)]
struct Sitting<'a> {
    at: &'a str,
    by: &'a str,
    conditions: &'a str,
    extreme: &'a str,
    meters: Vec<[&'a str; 2]>,
}

#[derive(Serialize)]
struct Step<'a> {
    /// As on the sheet.
    number: &'a str,
    group: &'a str,
    before: &'a str,
    what: &'a str,
    see: &'a str,
    /// What must not happen meanwhile.
    never: &'a str,
    /// What the record calls it.
    of: &'a str,
    reads: &'static str,
    /// Each reading may have a second one beside it, where it lets go.
    pairs: bool,
    expected: Vec<&'a str>,
    /// It cannot be left out.
    gate: bool,
    state: &'static str,
    last: Option<Last<'a>>,
}

/// What was last read or seen.
#[derive(Serialize)]
struct Last<'a> {
    at: &'a str,
    read: &'a [String],
    seen: Option<bool>,
    agrees: &'a str,
    safe: &'a str,
    lacks: &'a [String],
}

#[derive(Serialize)]
struct Held<'a> {
    of: &'a str,
    agrees: bool,
    safe: &'static str,
    lacks: Vec<String>,
}

/// Takes the answers, if there are any, and tells the steps in the words of `spoken`.
pub(super) fn told(
    args: &Bench,
    walk: Walk<'_>,
    spoken: &[Item<'_>],
    (path, lines): (&Path, &mut Lines),
    streams: &mut Streams<'_>,
) -> Result<Outcome, Failure> {
    let from = From { step: args.step.map(|n| usize::from(n) - 1), goes_on: args.go_on };
    let boat = &walk.engine.setup.boat.name;
    let sits_down = args.go_on || args.seat.by.is_some();
    // What is said in between is a part of what is told in the end.
    let mut unheard = std::io::sink();
    let mut alone = Streams {
        stdin: &mut *streams.stdin,
        stdout: &mut unheard,
        stderr: &mut *streams.stderr,
        screen: streams.screen,
    };
    if !args.changed.is_empty() {
        let mut store = Store::open(path, boat, &mut alone)?;
        for what in &args.changed {
            store.add(due::changed(what, walk.items, &store.record, walk.engine.setup)?)?;
        }
    }
    if !sits_down {
        let record = store::read(path)?.map(|(_, record)| record).unwrap_or_default();
        let meters = sitting(&record, walk.code).map(meters_of).unwrap_or_default();
        let walk = Walk { meters: &meters, ..walk };
        let at = walk.begin(&record, from.step);
        return tell(
            &walk,
            spoken,
            (path, false),
            (&record, None),
            &Stand { at, ..Stand::default() },
            streams,
        );
    }
    may_go_on(args, path, walk.code)?;
    let mut store = Store::open(path, boat, &mut alone)?;
    let Some(run) = sits(args, walk.code, &mut store, lines, &mut alone)? else {
        return Err(Failure("nobody sits there: give --conditions and --meter, too".to_owned()));
    };
    let meters = meters_of(&run);
    let walk = Walk { meters: &meters, ..walk };
    let before = store.record.entries.len();
    let stand = walk.go(from, &mut store, lines, &mut alone)?;
    let noted = store.record.entries[before..].iter().any(is_remark);
    tell(&walk, spoken, (path, noted), (&store.record, Some(&run)), &stand, streams)
}

fn is_remark(entry: &Entry) -> bool {
    matches!(entry, Entry::Test(test) if !test.remark.is_empty())
}

fn tell(
    walk: &Walk<'_>,
    spoken: &[Item<'_>],
    (path, noted): (&Path, bool),
    (record, run): (&Record, Option<&Run>),
    stand: &Stand,
    streams: &mut Streams<'_>,
) -> Result<Outcome, Failure> {
    let steps: Vec<Step> =
        walk.items.iter().zip(spoken).map(|(item, spoken)| step(walk, record, item, spoken)).collect();
    let bad = steps.iter().any(|step| step.state == "bad") || stand.danger.is_some();
    let open = walk.items.iter().filter(|item| !walk.is_good(record, item));
    let compare = walk.meters.iter().filter(|_| stand.compares).map(|(name, _)| &**name);
    let told = Told {
        version: 1,
        boat: &walk.engine.setup.boat.name,
        code: walk.code,
        record: path.display().to_string(),
        can_go_on: sitting(record, walk.code).is_some(),
        sitting: run.map(|run| Sitting {
            at: &run.at,
            by: &run.by,
            conditions: &run.conditions,
            extreme: &run.extreme,
            meters: run.meters.iter().map(|(name, off)| [&**name, &**off]).collect(),
        }),
        next: (stand.at < steps.len()).then_some(stand.at + 1),
        steps,
        minutes: open.map(Item::seconds).sum::<u64>().div_ceil(60),
        danger: stand.danger.as_deref(),
        compare: compare.collect(),
        held: stand.held.iter().map(held).collect(),
        said: &walk.said.borrow(),
        noted,
        things: walk.items.iter().flat_map(|item| item.rests.things.iter().map(String::as_str)).collect(),
    };
    streams.say(check::json(&told)?)?;
    Ok(if bad { Outcome::Found } else { Outcome::Clean })
}

fn step<'a>(walk: &'a Walk<'_>, record: &'a Record, item: &'a Item<'_>, spoken: &'a Item<'_>) -> Step<'a> {
    let still = walk.still_good(record, item);
    let last = record.last(walk.code, &item.of).or(still);
    let newest = record.of_code(walk.code).find(|test| test.name() == item.of);
    let state = match last {
        Some(_) if still.is_some() => "still good",
        Some(test) if test.is_good() => "good",
        Some(test) if test.is_bad() => "bad",
        Some(_) => "not judged",
        None if newest.is_some_and(|test| test.skipped) => "skipped",
        None => "open",
    };
    Step {
        number: &spoken.test.number,
        group: &spoken.test.group,
        before: &spoken.test.before,
        what: &spoken.test.what,
        see: &spoken.test.see,
        never: &spoken.test.never,
        of: &item.of,
        reads: match item.reads {
            Read::Seen => "seen",
            Read::Pulse(_) => "pulse",
            Read::Point(..) => "point",
            Read::Seconds(_) => "seconds",
        },
        pairs: walk.release_of(item).is_some(),
        expected: spoken.expected(),
        gate: item.is_gate(),
        state,
        last: last.map(told_last),
    }
}

fn told_last(test: &Test) -> Last<'_> {
    Last {
        at: &test.at,
        read: &test.read,
        seen: test.seen,
        agrees: &test.agrees,
        safe: &test.safe,
        lacks: &test.lacks,
    }
}

fn held(taken: &Taken) -> Held<'_> {
    Held {
        of: &taken.entry.of,
        agrees: taken.verdict.agrees == Agrees::Yes,
        safe: taken.verdict.safe.word(),
        lacks: taken.verdict.safe.lacks(),
    }
}
