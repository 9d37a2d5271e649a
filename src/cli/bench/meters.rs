//! One pulse with every meter in use, before anything is believed of what they read.

use super::lines::Lines;
use super::store::Store;
use super::walk::{From, Walk};
use super::{Meter, clock};
use crate::bench::record::{Entry, Record, Test};
use crate::bench::typed::{self, Typed};
use crate::cli::Streams;
use crate::cli::outcome::Failure;
use crate::report::text::hanging;
use crate::setup::Exact;

/// What two meters differ by.
struct Difference<'a> {
    of: [&'a str; 2],
    by: Exact,
    /// It is more than both can be off.
    more: bool,
}

/// What the record calls a pulse that is read to compare meters.
fn same_pulse(meter: &Meter) -> String {
    format!("the same pulse with {}", meter.0)
}

impl Walk<'_> {
    /// Whether the meters need not be compared any more.
    pub(super) fn compared(&self, record: &Record, from: From) -> bool {
        let near = |all: Vec<Difference<'_>>| all.iter().all(|difference| !difference.more);
        self.meters.len() < 2 || from.goes_on && self.differences(record).is_some_and(near)
    }

    /// What the meters differ by, as last read in the sitting with which the record ends; `None` while one is not read.
    fn differences(&self, record: &Record) -> Option<Vec<Difference<'_>>> {
        let begun = record.entries.iter().rposition(|entry| matches!(entry, Entry::Run(_)))?;
        let read_by = |meter: &Meter| {
            let of = same_pulse(meter);
            let of_it = |entry: &Entry| match entry {
                Entry::Test(test) if test.of == of => test.read.first().cloned(),
                _ => None,
            };
            let text = record.entries[begun..].iter().rev().find_map(of_it)?;
            match typed::line(&text, self.engine.setup) {
                Ok(Typed::Readings(read)) => read.into_iter().next().map(|(_, us)| us),
                _ => None,
            }
        };
        let read: Option<Vec<Exact>> = self.meters.iter().map(read_by).collect();
        let all: Vec<(&Meter, Exact)> = self.meters.iter().zip(read?).collect();
        let mut differences = Vec::new();
        for (n, (a, read_a)) in all.iter().enumerate() {
            for (b, read_b) in &all[n + 1..] {
                let by = (read_a - read_b).abs();
                differences.push(Difference { of: [&a.0, &b.0], more: by > &a.1 + &b.1, by });
            }
        }
        Some(differences)
    }

    /// One pulse with every meter in use: what they differ by is told before anything is believed, and while it is more than
    /// they can be off nothing else is read. Whether to go on.
    pub(super) fn compare(
        &self,
        store: &mut Store,
        lines: &mut Lines,
        streams: &mut Streams<'_>,
    ) -> Result<bool, Failure> {
        let first = "One pulse with every meter first: the same output of the receiver, nothing touched.";
        let mut text = String::from("\n");
        hanging(&mut text, "", first, streams.screen.width);
        streams.say(text)?;
        loop {
            for meter in self.meters {
                if !self.read_by(meter, store, lines, streams)? {
                    return Ok(false);
                }
            }
            let Some(differences) = self.differences(&store.record) else { return Ok(false) };
            for Difference { of: [a, b], by, more } in &differences {
                let than = if *more { "more than" } else { "within what" };
                let told = format!("{a} and {b} differ by {} us, {than} both can be off", by.to_decimal(1));
                self.tell("  ", &told, streams)?;
            }
            if differences.iter().all(|difference| !difference.more) {
                return Ok(true);
            }
            let help = "at least one of them is wrong: read them once more, or stop and come back with the one that is right";
            self.tell("  ", help, streams)?;
        }
    }

    /// The same pulse with one meter; whether it was read before somebody stopped.
    fn read_by(
        &self,
        meter: &Meter,
        store: &mut Store,
        lines: &mut Lines,
        streams: &mut Streams<'_>,
    ) -> Result<bool, Failure> {
        loop {
            let Some(line) = lines.ask(&format!("  {}", meter.0), streams)? else { return Ok(false) };
            match typed::line(&line, self.engine.setup) {
                Ok(Typed::Readings(read)) => {
                    let texts = read.iter().map(|(text, _)| text.clone()).collect();
                    let of = same_pulse(meter);
                    store.add(Entry::Test(Test { at: clock::now(), of, read: texts, ..Test::default() }))?;
                    return Ok(true);
                }
                Ok(Typed::Stop) => return Ok(false),
                Ok(_) => self.tell("  ", "a reading is wanted here: `1500 us`, or stop", streams)?,
                Err(why) => self.tell("  ", &why, streams)?,
            }
        }
    }
}
