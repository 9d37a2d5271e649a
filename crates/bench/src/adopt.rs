//! What the readings would change in the boat file, and what in them contradicts it.

use super::record::{Record, Run, Test as Taken, named};
use super::typed::{self, Typed};
use crate::document::rises;
use crate::document::sheet::{Being, PointOf, Reads, Test};
use crate::setup::{Exact, Setup, WorkRef};
use crate::source::edit::Edit;
use crate::source::{Entry, Source, Span, Value};

/// A figure of the file that readings would take the place of.
#[derive(Clone, Debug)]
pub struct Change {
    /// The work that it belongs to.
    pub work: WorkRef,
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
                point(&mut all, source, setup, (*work, *of), record, code)
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
    if !all.changes.is_empty() {
        all.notes.extend(extremes(record, code));
    }
    all
}

/// Of which end of warmth nothing was read: readings of one day are no sample of the year.
fn extremes(record: &Record, code: &str) -> Option<String> {
    let answers = record.answers(code);
    let lacks = |word: &str| !answers.iter().any(|(run, _)| run.extreme == word);
    let ends: Vec<&str> = ["warmest", "coldest"].into_iter().filter(|word| lacks(word)).collect();
    (!ends.is_empty()).then(|| {
        format!(
            "nothing was read at the {} that she is sailed in: no number of readings shows what warmth does, \
             `accuracy` has to span it",
            ends.join(" or the ")
        )
    })
}

/// The mean of what was read of a point in each state of her and at each end of warmth, and a sentence where they lie
/// farther apart than the file has the device off.
fn drift(setup: &Setup, work: WorkRef, name: &str, record: &Record, code: &str) -> Option<String> {
    let mut means: Vec<(String, Exact)> = Vec::new();
    for (run, test) in record.answers(code).into_iter().filter(|(_, test)| test.of == name) {
        let Ok(Typed::Readings(read)) = typed::line(&test.read.join(", "), setup) else { continue };
        let sum: Exact = read.iter().map(|(_, us)| us.clone()).sum();
        let when = when(run, test);
        means.retain(|(known, _)| *known != when);
        means.push((when, sum / Exact::int(read.len() as i64)));
    }
    let least = means.iter().min_by(|a, b| a.1.cmp(&b.1))?;
    let most = means.iter().max_by(|a, b| a.1.cmp(&b.1))?;
    let sign = setup.work(work).sign;
    let (accuracy, _) = setup.slack_parts(work.device, sign, false);
    let set = &setup.transmitter;
    let spans = accuracy * setup.axis.span(sign) * Exact::int(2);
    let step = &set.step * set.pulse.scale.span(sign);
    let apart = &most.1 - &least.1;
    (apart > &spans + &step).then(|| {
        let us = |value: &Exact| format!("{} us", value.to_decimal(1));
        format!(
            "{name}: in the mean {} {}, {} {}: {} apart, and `accuracy` of {} spans {}",
            us(&least.1),
            least.0,
            us(&most.1),
            most.0,
            us(&apart),
            setup.devices[work.device].name,
            us(&spans)
        )
    })
}

/// `closed, at the coldest`
fn when(run: &Run, test: &Taken) -> String {
    let being = if test.once_more.is_empty() { "as she was found" } else { &test.once_more };
    if run.extreme.is_empty() { being.to_owned() } else { format!("{being}, at the {}", run.extreme) }
}

fn point(
    all: &mut Proposals,
    source: &Source,
    setup: &Setup,
    (work, of): (WorkRef, PointOf),
    record: &Record,
    code: &str,
) {
    let keys: &[&str] = match of {
        PointOf::Engages => &["clicks", "from"],
        PointOf::LetsGo => &["releases"],
        // A figure with `±` of its own: what it can be off is for the builder to say.
        PointOf::Complete | PointOf::Ends => return,
    };
    let name = format!("{} {}", setup.work_name(work), keys[0]);
    all.contradictions.extend(drift(setup, work, &name, record, code));
    // Closed is how she sails, so what was read then goes before what was read on the table.
    let states = [Being::Closed, Being::Installed, Being::Found].map(|being| named(&name, being.word()));
    let taken = || states.iter().filter_map(|name| record.last(code, name));
    let enough = taken().find(|read| read.read.len() >= lidcard_spread::FEWEST);
    let Some(read) = enough.or_else(|| taken().next()) else { return };
    if read.read.len() < lidcard_spread::FEWEST {
        all.left.push(format!("{name}: {} readings, and five are the least", read.read.len()));
        return;
    }
    // Only what the file itself would understand goes into it.
    let line = read.read.join(", ");
    if !matches!(typed::line(&line, setup), Ok(Typed::Readings(_))) {
        all.left.push(format!("{name}: `{line}` are no readings"));
        return;
    }
    let signed = |text: &String| {
        let plain = text.replace('µ', "u");
        // A position in percent carries its sign.
        if plain.ends_with('%') && !plain.starts_with(['+', '-']) { format!("+{plain}") } else { plain }
    };
    let new = format!("{}: [{}]", keys[0], read.read.iter().map(signed).collect::<Vec<_>>().join(", "));
    let Some(entry) = entry_of(source, setup, work, keys) else {
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
        all.changes.push(Change { work, old, new: new.clone(), edit: Edit { span, text: new } });
    }
}

/// The entry of a work under the first of these keys that there is.
fn entry_of<'a>(source: &'a Source, setup: &Setup, work: WorkRef, keys: &[&str]) -> Option<&'a Entry> {
    let device = source.root.get("devices")?.get(&setup.devices[work.device].name)?;
    let node = device.get("works")?.get(&setup.work(work).name)?;
    keys.iter().find_map(|key| node.entry(key))
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
