//! From step to step: what to do, what to expect, what was read, and what that means.

use super::item::{Against, Item, Read};
use super::lines::Lines;
use super::store::Store;
use super::{Meter, clock};
use crate::bench::judge::{Agrees, Safe, Verdict};
use crate::bench::premises::Premises;
use crate::bench::record::{Entry, Record, Test};
use crate::bench::typed::{self, Typed};
use crate::cli::Streams;
use crate::cli::outcome::{Failure, Outcome};
use crate::document::sheet::{Being, PointOf};
use crate::question::Engine;
use crate::report::text::{counted, hanging};
use crate::setup::Exact;
use std::cell::RefCell;

/// All that stays the same on the way.
pub(super) struct Walk<'a> {
    pub(super) engine: &'a Engine<'a>,
    /// What readings are judged by.
    pub(super) premises: &'a Premises<'a>,
    pub(super) code: &'a str,
    pub(super) meters: &'a [Meter],
    pub(super) items: &'a [Item<'a>],
    /// Whether readings of other states of the file count where all that they rest on is the same.
    pub(super) due: bool,
    /// What was said to the answers, without the steps themselves.
    pub(super) said: RefCell<Vec<String>>,
}

/// Where somebody begins.
#[derive(Clone, Copy, Default)]
pub(super) struct From {
    /// At this step, if it is not the first that is open.
    pub(super) step: Option<usize>,
    /// It is the sitting with which the record ends: what was done in it is not done again.
    pub(super) goes_on: bool,
}

/// Where it ended.
#[derive(Default)]
pub(super) struct Stand {
    /// The step that comes next; past the last where nothing is left.
    pub(super) at: usize,
    /// Why nobody should go on to it, if so.
    pub(super) danger: Option<String>,
    /// The meters are to be compared first.
    pub(super) compares: bool,
    /// What was read, does not agree, and was not said to be what was read.
    pub(super) held: Vec<Taken>,
}

/// Readings of one step with what they come to.
pub(super) struct Taken {
    pub(super) entry: Test,
    read: Vec<(String, Exact)>,
    pub(super) verdict: Verdict,
}

impl Taken {
    /// Whether nothing speaks against what was read. No reading is to blame for what the file lacks.
    fn is_good(&self) -> bool {
        let safe = &self.verdict.safe;
        self.verdict.agrees == Agrees::Yes && (safe.is_good() || matches!(safe, Safe::NotJudged(_)))
    }
}

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

/// What to type where something is looked at.
const ONLY_SEEN: &str = "a space if it is so, or no; figures and words go behind a `#`: `# 7.9 V`";

/// Where to go from a step.
enum Next {
    On,
    Back,
    /// With what was read and not said to be so.
    Stop(Vec<Taken>),
}

impl Walk<'_> {
    /// Goes on from there, until all is done or somebody stops.
    pub(super) fn go(
        &self,
        from: From,
        store: &mut Store,
        lines: &mut Lines,
        streams: &mut Streams<'_>,
    ) -> Result<Stand, Failure> {
        let done = self.items.iter().filter(|item| self.is_good(&store.record, item)).count();
        if done > 0 {
            streams.say(format!("done already: {done} of {}\n", self.items.len()))?;
        }
        let mut at = self.begin(&store.record, from.step);
        // An answer to another step than the one that was meant is no answer to this.
        if from.step.is_some_and(|meant| meant > at) {
            return Ok(Stand { at, ..Stand::default() });
        }
        let mut group = "";
        let mut compared = self.compared(&store.record, from);
        while let Some(item) = self.items.get(at) {
            if let Some(why) = self.dangerous(&store.record, at) {
                let width = streams.screen.width;
                let mut text = String::from("\n");
                hanging(&mut text, "STOP: ", &why, width);
                streams.say(text)?;
                return Ok(Stand { at, danger: Some(why), ..Stand::default() });
            }
            if group != item.test.group {
                group = &item.test.group;
                self.heading(item, streams)?;
            }
            // Only where a pulse is read: before that she has no power, and all that guards it is done.
            if !compared && matches!(item.reads, Read::Pulse(_) | Read::Point(..)) {
                compared = self.compare(store, lines, streams)?;
                if !compared {
                    return Ok(Stand { at, compares: true, ..Stand::default() });
                }
            }
            match self.step(item, at, store, lines, streams)? {
                Next::Stop(held) => return Ok(Stand { at, held, ..Stand::default() }),
                Next::Back => at = at.saturating_sub(1),
                Next::On => at = self.open(&store.record, at + 1),
            }
        }
        Ok(Stand { at, ..Stand::default() })
    }

    /// The step to begin with. Whoever wants a later one has to have done before it what keeps from harm.
    pub(super) fn begin(&self, record: &Record, step: Option<usize>) -> usize {
        let Some(step) = step else { return self.open(record, 0) };
        let gate = self.items.iter().position(|item| item.is_gate() && !self.is_good(record, item));
        step.min(gate.unwrap_or(self.items.len()))
    }

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
    fn compare(
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

    /// Something said in between.
    fn tell(&self, lead: &str, what: &str, streams: &mut Streams<'_>) -> Result<(), Failure> {
        let mut text = String::new();
        hanging(&mut text, lead, what, streams.screen.width);
        self.said.borrow_mut().push(what.to_owned());
        streams.say(text)
    }

    fn heading(&self, item: &Item, streams: &mut Streams<'_>) -> Result<(), Failure> {
        let mut text = format!("\n{}\n", item.test.group);
        if !item.test.before.is_empty() {
            hanging(&mut text, "  ", &item.test.before, streams.screen.width);
        }
        streams.say(text)
    }

    /// One step: asked until there is an answer that counts.
    fn step(
        &self,
        item: &Item,
        at: usize,
        store: &mut Store,
        lines: &mut Lines,
        streams: &mut Streams<'_>,
    ) -> Result<Next, Failure> {
        self.show(item, at, &store.record, streams)?;
        // What does not agree is taken down only when it is said to be what was read.
        let mut held: Option<Vec<Taken>> = None;
        loop {
            let question = if held.is_some() { "a space if it was read so, or once more" } else { "read" };
            let question = if matches!(item.reads, Read::Seen) { "seen" } else { question };
            let Some(line) = lines.ask(&format!("  {question}"), streams)? else {
                return Ok(Next::Stop(held.unwrap_or_default()));
            };
            let typed = match (typed::line(&line, self.engine.setup), &item.reads) {
                (Ok(typed), _) => typed,
                (Err(_), Read::Seen) => {
                    self.tell("  ", ONLY_SEEN, streams)?;
                    continue;
                }
                (Err(why), _) => {
                    self.tell("  ", &why, streams)?;
                    continue;
                }
            };
            match (typed, &item.reads) {
                (Typed::Stop, _) => return Ok(Next::Stop(Vec::new())),
                (Typed::Back, _) => return Ok(Next::Back),
                (Typed::Skip, _) if item.is_gate() => {
                    self.tell("  ", "this cannot be left out: yes when it is so, or stop", streams)?;
                }
                (Typed::Skip, _) => {
                    store.add(Entry::Test(Test { skipped: true, ..self.blank(item) }))?;
                    return Ok(Next::On);
                }
                (Typed::Remark(remark), _) => {
                    store.add(Entry::Test(Test { remark, ..self.blank(item) }))?;
                    self.tell("  ", "noted", streams)?;
                }
                // She did not come up at all.
                (Typed::No, Read::Seconds(_)) if held.is_none() => {
                    self.tell("  ", "noted as not so", streams)?;
                    return self.saw(item, false, store);
                }
                (Typed::Yes | Typed::No, Read::Pulse(_) | Read::Point(..) | Read::Seconds(_))
                    if held.is_none() =>
                {
                    let wanted = if matches!(item.reads, Read::Seconds(_)) { "15.1 s" } else { "1500 us" };
                    self.tell("  ", &format!("a reading is wanted here: `{wanted}`; or skip"), streams)?;
                }
                (Typed::No, Read::Pulse(_) | Read::Point(..) | Read::Seconds(_)) => held = None,
                (Typed::Yes, Read::Pulse(_) | Read::Point(..) | Read::Seconds(_)) => {
                    if let Some(all) = held.take() {
                        self.put(all, store)?;
                        return Ok(Next::On);
                    }
                }
                (Typed::Yes, Read::Seen) => return self.saw(item, true, store),
                (Typed::No, Read::Seen) => {
                    self.tell("  ", "noted as not so", streams)?;
                    return self.saw(item, false, store);
                }
                (Typed::Readings(_) | Typed::Pairs(_) | Typed::Seconds(_), Read::Seen) => {
                    self.tell("  ", ONLY_SEEN, streams)?;
                }
                (Typed::Seconds(_), Read::Pulse(_) | Read::Point(..)) => {
                    self.tell("  ", "a pulse is read here: `1500 us`, or a position in percent", streams)?;
                }
                (Typed::Readings(_) | Typed::Pairs(_), Read::Seconds(_)) => {
                    self.tell(
                        "  ",
                        "a stopwatch is read here: `15.1 s`, several with commas between",
                        streams,
                    )?;
                }
                (Typed::Pairs(_), _) if self.release_of(item).is_none() => {
                    self.tell("  ", "no pairs here: single readings, `1648 us`", streams)?;
                }
                (Typed::Readings(read) | Typed::Seconds(read), _) => {
                    let all = vec![self.taken(item, read, streams)?];
                    if all.iter().all(Taken::is_good) {
                        self.put(all, store)?;
                        return Ok(Next::On);
                    }
                    held = Some(all);
                }
                (Typed::Pairs(pairs), _) => {
                    let Some(release) = self.release_of(item) else { continue };
                    if let Some(n) = self.slip(item, &pairs) {
                        let told =
                            format!("pair {n}: it cannot let go beyond where it engages; type them again");
                        self.tell("  ", &told, streams)?;
                        continue;
                    }
                    let (clicks, releases) =
                        pairs.into_iter().map(|[click, release]| (click, release)).unzip();
                    self.tell("     ", "where it engages:", streams)?;
                    let engages = self.taken(item, clicks, streams)?;
                    self.tell("     ", "where it lets go:", streams)?;
                    let all = vec![engages, self.taken(release, releases, streams)?];
                    if all.iter().all(Taken::is_good) {
                        self.put(all, store)?;
                        return Ok(Next::On);
                    }
                    held = Some(all);
                }
            }
        }
    }

    /// The step at which the same function lets go, where it is read with the one at which it engages.
    pub(super) fn release_of(&self, item: &Item) -> Option<&Item<'_>> {
        let Read::Point(work, PointOf::Engages, Being::Found) = item.reads else { return None };
        self.items
            .iter()
            .find(|other| matches!(other.reads, Read::Point(of, PointOf::LetsGo, _) if of == work))
    }

    /// The first pair in which it lets go farther out than it engages: a slip of the hand, counted from 1.
    fn slip(&self, item: &Item, pairs: &[[(String, Exact); 2]]) -> Option<usize> {
        let Read::Point(work, ..) = item.reads else { return None };
        let sign = self.engine.setup.work(work).sign;
        let beyond =
            |[(_, click), (_, release)]: &[(String, Exact); 2]| (release - click).signum() * sign > 0;
        pairs.iter().position(beyond).map(|n| n + 1)
    }

    /// Readings of a step, judged and told.
    fn taken(
        &self,
        item: &Item,
        read: Vec<(String, Exact)>,
        streams: &mut Streams<'_>,
    ) -> Result<Taken, Failure> {
        let verdict = self.judged(item, &read, streams)?;
        let entry = Test { on: item.rests.on.clone(), ..self.blank(item) };
        Ok(Taken { entry, read, verdict })
    }

    /// Writes readings down.
    fn put(&self, all: Vec<Taken>, store: &mut Store) -> Result<(), Failure> {
        for Taken { entry, read, verdict } in all {
            let agrees = if verdict.agrees == Agrees::Yes { "yes" } else { "no" };
            store.add(Entry::Test(Test {
                read: read.into_iter().map(|(text, _)| text).collect(),
                agrees: agrees.to_owned(),
                safe: verdict.safe.word().to_owned(),
                lacks: verdict.safe.lacks(),
                ..entry
            }))?;
        }
        Ok(())
    }

    fn saw(&self, item: &Item, seen: bool, store: &mut Store) -> Result<Next, Failure> {
        store.add(Entry::Test(Test { seen: Some(seen), on: item.rests.on.clone(), ..self.blank(item) }))?;
        Ok(Next::On)
    }

    fn show(
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

    fn judged(
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

    /// An entry of a step without anything in it yet.
    fn blank(&self, item: &Item) -> Test {
        let (of, once_more) = item.of_and_being();
        Test {
            at: clock::now(),
            test: item.test.number.clone(),
            of: of.to_owned(),
            once_more: once_more.to_owned(),
            ..Test::default()
        }
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
    fn dangerous(&self, record: &Record, at: usize) -> Option<String> {
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
