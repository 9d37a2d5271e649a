//! From step to step: what to do, what to expect, what was read, and what that means.

use super::item::{Item, Read};
use super::lines::Lines;
use super::store::Store;
use super::{Meter, clock};
use crate::bench::judge::{Agrees, Safe, Verdict};
use crate::bench::premises::Premises;
use crate::bench::record::{Entry, Record, Test};
use crate::bench::typed::{self, Typed};
use crate::cli::Streams;
use crate::cli::outcome::Failure;
use crate::document::sheet::{Being, PointOf};
use crate::question::Engine;
use crate::report::text::hanging;
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
}
