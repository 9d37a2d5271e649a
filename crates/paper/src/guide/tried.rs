//! What the bench record says of the trial in water: how long she took to come up by herself. Told as it was read,
//! and of no other state of the boat file than this one.

use super::known::Known;
use crate::labels::text::guide::emergency;
use crate::rises::{NAME, Rises};
use crate::setup::Exact;
use crate::{Job, Request};

/// What came of the trial.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Tried {
    /// In a sentence.
    pub(super) words: String,
    /// She came up, and within what is estimated where something is.
    pub(super) good: bool,
}

/// What was last taken down of it with this code; `None` where nothing was, and of a draft, which promises nothing.
pub(super) fn tried(known: &Known<'_>, job: &Job<'_>, request: &Request) -> Option<Tried> {
    let record = request.record.as_ref().filter(|_| !request.draft)?;
    let rises = Rises::of(job.setup)?;
    let code = job.code.to_string();
    let test = record.record.last(&code, NAME)?;
    let (date, depth) = (test.at.get(..10)?, known.units.depth(&rises.depth, known.labels));
    let read: Vec<Exact> = test.read.iter().filter_map(|text| seconds(text)).collect();
    let ends = read.iter().min().zip(read.iter().max());
    let Some((least, most)) = ends.filter(|_| test.seen != Some(false) && read.len() == test.read.len())
    else {
        let words = known.fill(emergency::TriedNot { date, depth: &depth });
        return (test.seen == Some(false)).then_some(Tried { words, good: false });
    };
    let (seconds, count) = (&known.seconds_between([least, most]), &read.len().to_string());
    let words = match &rises.estimate {
        None => known.fill(emergency::TriedBare { date, depth: &depth, seconds, count }),
        Some([soonest, latest]) => {
            let estimate = &known.seconds_between([soonest, latest]);
            match test.is_good() {
                true => known.fill(emergency::Tried { date, depth: &depth, seconds, count, estimate }),
                false => {
                    known.fill(emergency::TriedOtherwise { date, depth: &depth, seconds, count, estimate })
                }
            }
        }
    };
    Some(Tried { words, good: test.is_good() })
}

/// `15.1 s`
fn seconds(text: &str) -> Option<Exact> {
    Exact::from_decimal(text.strip_suffix('s')?.trim())
}
