//! What the readings would change in the boat file, and what in them contradicts it.

use super::proves;
use super::record::{Record, Test as Taken, named};
use super::typed::{self, Typed};
use crate::document::rises;
use crate::document::sheet::{Being, PointOf, Reads, Test};
use crate::setup::{Exact, Setup, WorkRef};
use crate::source::edit::Edit;
use crate::source::{Entry, Source, Span, Value};
use drift::Drift;
use std::collections::BTreeMap;

mod drift;

/// A figure of the file that readings would take the place of.
#[derive(Clone, Debug)]
pub struct Change {
    /// What it is of: `tank_servo.pump`.
    pub of: String,
    /// What contradicts the file as it is, a line each; none where the readings are as it says.
    pub why: Vec<String>,
    /// The path that all it changes lies under.
    pub under: String,
    /// As the file says it, with its key; empty where it says nothing.
    pub old: String,
    /// As the readings say it.
    pub new: String,
    /// What is done to the text.
    pub edit: Edit,
}

/// What the record says of the file.
#[derive(Clone, Debug, Default)]
pub struct Proposals {
    /// What could be taken over, in the order of the sheet.
    pub changes: Vec<Change>,
    /// Readings that contradict the file and that no figure of it can take up: the endpoint, the sense, the wiring
    /// or the file is wrong, and which of them is for a person to say.
    pub contradictions: Vec<String>,
    /// Readings that cannot be taken over, and why.
    pub left: Vec<String>,
    /// What the readings do not say.
    pub notes: Vec<String>,
}

/// Goes through the tests and what was last read of each at this code.
pub fn proposals(source: &Source, setup: &Setup, tests: &[Test], record: &Record, code: &str) -> Proposals {
    let mut all = Proposals::default();
    let mut drifts: BTreeMap<usize, Vec<Drift>> = BTreeMap::new();
    let mut taken_up = Vec::new();
    for test in tests {
        match &test.reads {
            Reads::Seen => {}
            Reads::Pulses(pulses) => {
                for pulse in pulses {
                    let Some(read) = record.last(code, &pulse.name).filter(|read| read.agrees == "no") else {
                        continue;
                    };
                    all.contradictions.push(format!(
                        "{}: read {}, expected {}",
                        pulse.name,
                        read.read.join(", "),
                        test.expected.replace('\n', "; ")
                    ));
                }
            }
            Reads::Point(work, of, Being::Found) => {
                let name = format!("{} {}", setup.work_name(*work), key(*of));
                let Some(read) = last(record, code, &name) else { continue };
                drifts.entry(work.device).or_default().extend(drift::of(setup, *work, read, record, code));
                match of {
                    PointOf::Engages | PointOf::LetsGo => {
                        let known = all.changes.len();
                        point(&mut all, source, setup, (*work, *of), &name, read);
                        taken_up.extend((all.changes.len() > known).then_some(name));
                    }
                    PointOf::Complete | PointOf::Ends => {
                        place(&mut all, setup, (*work, *of), &name, read, test)
                    }
                }
            }
            // What was read once more is taken up with what was read first.
            Reads::Point(..) => {}
            Reads::Seconds(_) => {
                let wrong = |read: &&Taken| read.agrees == "no" || read.seen == Some(false);
                if let Some(read) = record.last(code, rises::NAME).filter(wrong) {
                    let read = if read.seen == Some(false) { "no".to_owned() } else { read.read.join(", ") };
                    let expected = &test.expected;
                    all.contradictions.push(format!("{}: {read}, estimated {expected}", rises::NAME));
                }
            }
        }
    }
    for (device, drifts) in drifts.into_iter().filter(|(_, drifts)| !drifts.is_empty()) {
        drift::spanned(&mut all, source, setup, device, drifts);
    }
    all.notes.extend(extremes(&taken_up, record, code));
    all
}

/// The key of the file under which the readings of a point stand.
fn key(of: PointOf) -> &'static str {
    match of {
        PointOf::Engages => "clicks",
        PointOf::LetsGo => "releases",
        PointOf::Complete => "full",
        PointOf::Ends => "to",
    }
}

/// At which end of warmth nothing was read of points that are taken up: readings of one day are no sample of the year.
fn extremes(names: &[String], record: &Record, code: &str) -> Vec<String> {
    let answers = record.answers(code);
    let lacking = |word: &str| {
        let read = |name: &String| answers.iter().any(|(run, test)| run.extreme == word && test.of == *name);
        names.iter().filter(|name| !read(name)).cloned().collect::<Vec<_>>()
    };
    let mut ends: Vec<(String, Vec<String>)> = Vec::new();
    for word in ["warmest", "coldest"] {
        let names = lacking(word);
        match ends.last_mut().filter(|(_, known)| *known == names) {
            Some((words, _)) => words.push_str(&format!(" or the {word}")),
            None => ends.push((word.to_owned(), names)),
        }
    }
    let told = |(words, names): (String, Vec<String>)| {
        format!(
            "nothing was read of {} at the {words} that she is sailed in: no number of readings shows what warmth does, \
             `accuracy` has to span it",
            names.join(", ")
        )
    };
    ends.into_iter().filter(|(_, names)| !names.is_empty()).map(told).collect()
}

/// What counts of all that was read of a point. Closed is how she sails, so what was read then goes before what was read
/// on the table.
fn last<'a>(record: &'a Record, code: &'a str, name: &str) -> Option<&'a Taken> {
    let states = [Being::Closed, Being::Installed, Being::Found].map(|being| named(name, being.word()));
    let taken =
        || states.iter().filter_map(|name| record.last(code, name)).filter(|read| !read.read.is_empty());
    taken().find(|read| read.read.len() >= lidcard_spread::FEWEST).or_else(|| taken().next())
}

/// Readings in microseconds; `None` where the file would not understand them.
fn micros(read: &Taken, setup: &Setup) -> Option<Vec<(String, Exact)>> {
    match typed::line(&read.read.join(", "), setup) {
        Ok(Typed::Readings(read)) => Some(read),
        _ => None,
    }
}

/// A point whose figure has a `±` of its own: what it can be off is for the builder to say, so it is only told what was
/// read beyond it.
fn place(
    all: &mut Proposals,
    setup: &Setup,
    (work, of): (WorkRef, PointOf),
    name: &str,
    read: &Taken,
    test: &Test,
) {
    let told = read.read.join(", ");
    if read.agrees == "no" {
        all.contradictions.push(format!("{name}: read {told}, expected {}", test.expected));
        return;
    }
    let w = setup.work(work);
    let at = if of == PointOf::Complete { w.full.as_ref() } else { w.to.as_ref() };
    let (Some(at), Some(read)) = (at, micros(read, setup)) else { return };
    let Some(proved) = proves::of(setup, w, &read, w.sign) else { return };
    let [low, high] = [&at.value - &at.off, &at.value + &at.off].map(|end| setup.axis.pulse_at(&end).0);
    let [least, most] = &proved.ends;
    if *least < low || *most > high {
        let us = |value: &Exact| value.to_decimal(1);
        all.left.push(format!(
            "{name}: {} lie from {} to {} us, and the file has {} to {} us; its `±` is yours to widen",
            proved.words,
            us(least),
            us(most),
            us(&low),
            us(&high)
        ));
    }
}

fn point(
    all: &mut Proposals,
    source: &Source,
    setup: &Setup,
    (work, of): (WorkRef, PointOf),
    name: &str,
    read: &Taken,
) {
    let keys: &[&str] = if of == PointOf::Engages { &["clicks", "from"] } else { &["releases"] };
    if read.read.len() < lidcard_spread::FEWEST {
        all.left.push(format!("{name}: {} readings, and five are the least", read.read.len()));
        return;
    }
    // Only what the file itself would understand goes into it.
    if micros(read, setup).is_none() {
        all.left.push(format!("{name}: `{}` are no readings", read.read.join(", ")));
        return;
    }
    let signed = |text: &String| {
        let plain = text.replace('µ', "u");
        // A position in percent carries its sign.
        if plain.ends_with('%') && !plain.starts_with(['+', '-']) { format!("+{plain}") } else { plain }
    };
    let new = format!("{}: [{}]", keys[0], read.read.iter().map(signed).collect::<Vec<_>>().join(", "));
    let path = ["devices", &setup.devices[work.device].name, "works", &setup.work(work).name];
    let entry = keys.iter().find_map(|key| entry_of(source, &path, key));
    let why = match read.agrees.as_str() {
        "no" => vec![format!(
            "{name}: read otherwise than the file says, by more than pulse, meter and step are off"
        )],
        _ => Vec::new(),
    };
    put(all, source, entry, Put { name, of: setup.work_name(work), why, path: &path, new });
}

/// A figure to be put in.
struct Put<'a> {
    /// What it is called where it cannot be.
    name: &'a str,
    of: String,
    why: Vec<String>,
    /// The keys down to the one whose entries may change.
    path: &'a [&'a str],
    /// The new text, with its key.
    new: String,
}

/// Offers a change, where the file has a line for it that can be changed.
fn put(
    all: &mut Proposals,
    source: &Source,
    entry: Option<&Entry>,
    Put { name, of, why, path, new }: Put<'_>,
) {
    let Some(entry) = entry else {
        all.left.push(format!("{name}: the file has no line that could be changed; put in by hand: {new}"));
        return;
    };
    let Some(end) = end_of(source, entry) else {
        all.left.push(format!("{name}: its value goes over several lines; put in by hand: {new}"));
        return;
    };
    let span = Span { start: entry.key_span.start, end };
    let old = source.text[span.start..span.end].to_owned();
    if old != new {
        let under = path.join(".");
        all.changes.push(Change { of, why, under, old, new: new.clone(), edit: Edit { span, text: new } });
    }
}

/// The entry of this key under a path.
fn entry_of<'a>(source: &'a Source, path: &[&str], key: &str) -> Option<&'a Entry> {
    path.iter().try_fold(&source.root, |node, key| node.get(key))?.entry(key)
}

/// Where a value on one line ends.
fn end_of(source: &Source, entry: &Entry) -> Option<usize> {
    let node = &entry.value;
    let text = source.text.get(entry.key_span.start..node.span.end)?;
    let closed = match node.value {
        Value::Scalar { .. } => !node.is_empty(),
        Value::List(_) => text.ends_with(']'),
        Value::Map(_) => false,
    };
    (closed && node.span.start >= entry.key_span.end).then_some(node.span.end)
}
