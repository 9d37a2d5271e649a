//! What the readings of a step come to, which steps are done, and which nobody should go on to.

use super::item::{Against, Item, Read};
use super::walk::Walk;
use crate::bench::judge::{Agrees, Safe, Verdict};
use crate::bench::record::{Record, Test};
use crate::bench::typed::{self, Typed};
use crate::cli::Streams;
use crate::cli::outcome::Failure;
use crate::setup::Exact;

impl Walk<'_> {
    pub(super) fn judged(
        &self,
        item: &Item,
        read: &[(String, Exact)],
        streams: &mut Streams<'_>,
    ) -> Result<Verdict, Failure> {
        let meter = self.meter();
        let Some(against) = self.against(item, read) else {
            return Ok(Verdict { agrees: Agrees::Yes, safe: Safe::NothingHangs });
        };
        let verdict = against.judge(read, &meter);
        for line in against.told(read, &verdict) {
            self.tell("       ", &line, streams)?;
        }
        Ok(verdict)
    }

    /// Whether a step is done and good.
    pub(super) fn is_good(&self, record: &Record, item: &Item) -> bool {
        record.last(self.code, &item.of).is_some_and(Test::is_good) || self.still_good(record, item).is_some()
    }

    /// What another state of the file left of a step, where it still counts: what was read is judged anew, by this file.
    pub(super) fn still_good<'r>(&self, record: &'r Record, item: &Item) -> Option<&'r Test> {
        let test = record.still_good(self.code, &item.of, &item.rests.on).filter(|_| self.due)?;
        if matches!(item.reads, Read::Seen) {
            return test.is_good().then_some(test);
        }
        let typed = typed::line(&test.read.join(", "), self.engine.setup);
        let Ok(Typed::Readings(read) | Typed::Seconds(read)) = typed else { return None };
        let Some(against) = self.against(item, &read) else { return test.is_good().then_some(test) };
        let verdict = against.judge(&read, &self.meter());
        let good = verdict.agrees == Agrees::Yes && verdict.safe.is_good();
        good.then_some(test)
    }

    /// What the worst meter in use can be off.
    fn meter(&self) -> Exact {
        self.meters.iter().map(|(_, off)| off.clone()).fold(Exact::ZERO, Exact::max)
    }

    fn against<'s>(&'s self, item: &'s Item, read: &[(String, Exact)]) -> Option<Against<'s>> {
        match item.reads {
            Read::Pulse(pulse) => Some(Against::pulse(self.premises, pulse, &self.meter())),
            Read::Point(work, of, _) => Against::point(self.premises, (work, of), read, &self.meter()),
            Read::Seconds(rises) => Against::seconds(rises),
            Read::Seen => None,
        }
    }

    /// The next step that is not done and good.
    pub(super) fn open(&self, record: &Record, from: usize) -> usize {
        let open = self.items.iter().skip(from).position(|item| !self.is_good(record, item));
        open.map_or(self.items.len(), |open| from + open)
    }

    /// Why nobody should go on to this step, if so: something that guards it is not as it should be.
    pub(super) fn dangerous(&self, record: &Record, at: usize) -> Option<String> {
        let before = &self.items[..at];
        let no = |item: &&Item| record.last(self.code, &item.of).is_some_and(|test| !test.is_good());
        if let Some(item) = before.iter().find(|item| item.is_gate() && no(item)) {
            return Some(format!(
                "{} is not so. Put that right before anything else is tried: {}",
                item.test.number, item.of
            ));
        }
        let unsafe_at = before.iter().find(|item| self.was_dangerous(record, item));
        if let Some(item) = unsafe_at {
            return Some(format!(
                "{} is not safe: {}. Find out why, and put it right, before anything else is moved; then read it \
                 once more",
                item.test.number, item.of
            ));
        }
        // Before she is closed, and gas comes in, all that went before has to be done and good.
        let first = before.iter().all(|item| item.is_gate());
        if !self.items[at].waits() || first {
            return None;
        }
        let open: Vec<&str> = before
            .iter()
            .filter(|item| !self.is_good(record, item))
            .map(|item| item.test.number.as_str())
            .collect();
        let mut open = open;
        open.dedup();
        (!open.is_empty()).then(|| {
            format!(
                "{} comes only when all before it is done and as it should be. Open: {}",
                self.items[at].test.group,
                open.join(", ")
            )
        })
    }

    /// Whether it was read where what was proved does not hold, or something may have acted that can hurt.
    fn was_dangerous(&self, record: &Record, item: &Item) -> bool {
        let last = record.last(self.code, &item.of);
        last.is_some_and(|test| test.safe == "no" || test.seen == Some(false) && !item.test.never.is_empty())
    }
}
