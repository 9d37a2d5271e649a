//! What the readings would change in the boat file, and what in them contradicts it.

use super::record::Record;
use super::typed::{self, Typed};
use crate::document::sheet::{PointOf, Reads, Test};
use crate::setup::{Setup, WorkRef};
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
            Reads::Point(work, of) => point(&mut all, source, setup, (*work, *of), record, code),
        }
    }
    all
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
    let Some(read) = record.last(code, &name) else { return };
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
