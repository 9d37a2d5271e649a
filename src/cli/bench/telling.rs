//! What is said on the way: the step, what lies between, and what the day came to.

use super::item::{Item, Read};
use super::walk::{Stand, Walk};
use crate::bench::record::{Record, Test};
use crate::cli::Streams;
use crate::cli::outcome::{Failure, Outcome};
use crate::report::text::{counted, hanging};

impl Walk<'_> {
    /// Something said in between.
    pub(super) fn tell(&self, lead: &str, what: &str, streams: &mut Streams<'_>) -> Result<(), Failure> {
        let mut text = String::new();
        hanging(&mut text, lead, what, streams.screen.width);
        self.said.borrow_mut().push(what.to_owned());
        streams.say(text)
    }

    pub(super) fn heading(&self, item: &Item, streams: &mut Streams<'_>) -> Result<(), Failure> {
        let mut text = format!("\n{}\n", item.test.group);
        if !item.test.before.is_empty() {
            hanging(&mut text, "  ", &item.test.before, streams.screen.width);
        }
        streams.say(text)
    }

    pub(super) fn show(
        &self,
        item: &Item,
        at: usize,
        record: &Record,
        streams: &mut Streams<'_>,
    ) -> Result<(), Failure> {
        let width = streams.screen.width;
        let left = self.items.iter().skip(at).filter(|item| !self.is_good(record, item));
        let minutes = left.map(Item::seconds).sum::<u64>().div_ceil(60);
        let total = self.items.len();
        let mut text = format!(
            "\n{} of {total}, about {} left\n",
            at + 1,
            counted(minutes as usize, "minute", "minutes")
        );
        hanging(&mut text, &format!("  {}  ", item.test.number), &item.test.what, width);
        if !item.test.see.is_empty() {
            hanging(&mut text, "       see: ", &item.test.see, width);
        }
        if !item.test.never.is_empty() {
            hanging(&mut text, "       throughout: ", &item.test.never, width);
        }
        match item.reads {
            Read::Seen => {
                let expected = item.expected().join("; ");
                if !expected.is_empty() {
                    let told = format!("{expected}; type yours behind a `#`");
                    hanging(&mut text, "       figure: ", &told, width);
                }
            }
            Read::Pulse(_) => hanging(
                &mut text,
                "       pulse: ",
                &format!("{}, expected {}", item.of, item.expected().join("; ")),
                width,
            ),
            Read::Seconds(rises) => {
                let expected = match &rises.estimate {
                    Some(_) => format!("expected {} by estimate", item.test.expected),
                    None => "the file tells too little for an estimate".to_owned(),
                };
                let told = format!("{}, {expected}; three times, or no if she stays down", item.of);
                hanging(&mut text, "       seconds: ", &told, width);
            }
            Read::Point(..) => {
                let pairs = match self.release_of(item) {
                    Some(_) => "; each with where it lets go on the way back: `1648 us / 1622 us`",
                    None => "",
                };
                let told = format!(
                    "{}, expected {}; five times, better ten, always from the same side{pairs}",
                    item.of, item.test.expected
                );
                hanging(&mut text, "       pulses: ", &told, width);
            }
        }
        streams.say(text)
    }

    /// What the day came to.
    pub(super) fn ended(
        &self,
        stand: &Stand,
        record: &Record,
        streams: &mut Streams<'_>,
    ) -> Result<Outcome, Failure> {
        let last = |item: &Item| record.last(self.code, &item.of);
        let good = self.items.iter().filter(|item| self.is_good(record, item)).count();
        let bad: Vec<&Item> = self.items.iter().filter(|item| last(item).is_some_and(Test::is_bad)).collect();
        let left = |test: &Test| test.is_answer() && !test.is_good() && !test.is_bad();
        let unjudged: Vec<&Item> = self.items.iter().filter(|item| last(item).is_some_and(left)).collect();
        let open = self.items.len() - good - bad.len() - unjudged.len();
        let mut text = format!("\n{good} of {} done and as they should be, {open} open", self.items.len());
        if bad.is_empty() {
            text.push('\n');
        } else {
            text.push_str(&format!(", {} not as they should be:\n", bad.len()));
            for item in &bad {
                hanging(
                    &mut text,
                    &format!("  {}  ", item.test.number),
                    &item.listed(),
                    streams.screen.width,
                );
            }
        }
        if !unjudged.is_empty() {
            let count = counted(unjudged.len(), "reading", "readings");
            text.push_str(&format!("{count} not judged until the file has what it lacks:\n"));
            for item in &unjudged {
                let lacks = last(item).map(|test| test.lacks.join(", ")).unwrap_or_default();
                let told = format!("{}: {lacks}", item.of);
                hanging(&mut text, &format!("  {}  ", item.test.number), &told, streams.screen.width);
            }
        }
        streams.say(text)?;
        Ok(if bad.is_empty() && stand.danger.is_none() { Outcome::Clean } else { Outcome::Found })
    }
}
