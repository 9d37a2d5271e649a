//! The bench record: a file beside the boat file to which lines are added and from which none is taken.
//!
//! ```yaml
//! bench: 1
//! entries:
//! - {run: "2026-05-09T14:03:11Z", by: "KL", code: "9A8H-CN6T", meters: {"pulse meter": "2 us"}, conditions: "cold, hull open"}
//! - {at: "2026-05-09T14:04:02Z", test: "1.1", of: "Gas bottle out.", seen: yes}
//! - {at: "2026-05-09T14:09:40Z", test: "4.6", of: "4/blow held", read: ["1712 us"], agrees: yes, safe: yes}
//! ```
//!
//! Every entry is one line and is written in one go, so that a pulled plug costs the line being written and no
//! other. A line that was cut off so is kept as a remark.

use lidcard_boat::source::{Node, Source, Value};
use std::fmt::Write;

/// The version of the format.
pub const VERSION: &str = "1";
/// The JSON Schema of the record.
pub const SCHEMA: &str = include_str!("record.schema.json");

/// One entry.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Entry {
    /// Somebody sat down at the bench.
    Run(Run),
    /// Something was read, seen or left out.
    Test(Test),
    /// Something of the boat is another one now.
    Changed(Changed),
}

/// Something was changed that the file says nothing of: another servo with the same figures.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Changed {
    /// The moment.
    pub at: String,
    /// What: `tank_servo`, `channel 4`, `transmitter`.
    pub what: String,
    /// What was read or seen before and no longer counts.
    pub void: Vec<String>,
}

/// Who sat down, with what, at which state of the boat file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Run {
    /// The moment, as in RFC 3339.
    pub at: String,
    /// Initials; no signature.
    pub by: String,
    /// The code of the boat file.
    pub code: String,
    /// The meters in use, each with what it can be off.
    pub meters: Vec<(String, String)>,
    /// Warm or cold, volts, hull open or closed, afloat.
    pub conditions: String,
    /// `warmest` or `coldest` where it was as warm or as cold as she is ever sailed; empty for anything between.
    pub extreme: String,
}

/// What is written where the file lacked a figure that the answer hangs on.
pub const NOT_JUDGED: &str = "not judged";

/// What came of one test.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Test {
    /// The moment.
    pub at: String,
    /// Its number on the sheet with the code of the run.
    pub test: String,
    /// What was read or looked at: `4/blow held`, `tank_servo.pump clicks`, or what was to be done.
    pub of: String,
    /// `installed` or `closed`, where it was read once more so; empty as she was found.
    pub once_more: String,
    /// Raw readings with their units, as typed; none where it was only looked at.
    pub read: Vec<String>,
    /// Whether it was seen; `None` where it was read or left out.
    pub seen: Option<bool>,
    /// Left out for now.
    pub skipped: bool,
    /// `yes` or `no`; empty where nothing was compared.
    pub agrees: String,
    /// `yes`, `no`, `cannot tell` or `not judged`; empty where nothing hangs on it.
    pub safe: String,
    /// The keys that the file lacked, where it was not judged for want of them.
    pub lacks: Vec<String>,
    /// In somebody's words.
    pub remark: String,
    /// A sum over all that it rests on: where that is the same in a later state of the file, it still counts.
    pub on: String,
}

/// All entries of a file, in their order.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Record {
    /// The entries.
    pub entries: Vec<Entry>,
}

/// The lines that a new record begins with.
pub fn head(boat: &str) -> String {
    let name = boat.split_whitespace().collect::<Vec<_>>().join(" ");
    format!(
        "# Readings of {name}, as they were taken: lines are added at the end, none is changed or taken away.\n\
         bench: {VERSION}\nentries:\n"
    )
}

impl Entry {
    /// The entry as a line of the file.
    pub fn line(&self) -> String {
        let mut parts = Vec::new();
        let mut text = |key: &str, value: &str| {
            if !value.is_empty() {
                parts.push(format!("{key}: {}", quoted(value)));
            }
        };
        match self {
            Self::Run(run) => {
                text("run", &run.at);
                text("by", &run.by);
                text("code", &run.code);
                text("conditions", &run.conditions);
                text("extreme", &run.extreme);
                let meters: Vec<String> = run
                    .meters
                    .iter()
                    .map(|(name, off)| format!("{}: {}", quoted(name), quoted(off)))
                    .collect();
                if !meters.is_empty() {
                    parts.push(format!("meters: {{{}}}", meters.join(", ")));
                }
            }
            Self::Test(test) => {
                text("at", &test.at);
                text("test", &test.test);
                text("of", &test.of);
                text("as", &test.once_more);
                text("safe", &test.safe);
                text("agrees", &test.agrees);
                text("remark", &test.remark);
                text("on", &test.on);
                if !test.lacks.is_empty() {
                    let all: Vec<String> = test.lacks.iter().map(|key| quoted(key)).collect();
                    parts.push(format!("lacks: [{}]", all.join(", ")));
                }
                if !test.read.is_empty() {
                    let all: Vec<String> = test.read.iter().map(|read| quoted(read)).collect();
                    parts.push(format!("read: [{}]", all.join(", ")));
                }
                if let Some(seen) = test.seen {
                    parts.push(format!("seen: {}", if seen { "yes" } else { "no" }));
                }
                if test.skipped {
                    parts.push("skipped: yes".to_owned());
                }
            }
            Self::Changed(changed) => {
                text("at", &changed.at);
                text("changed", &changed.what);
                let all: Vec<String> = changed.void.iter().map(|of| quoted(of)).collect();
                parts.push(format!("void: [{}]", all.join(", ")));
            }
        }
        format!("- {{{}}}\n", parts.join(", "))
    }
}

/// A text as YAML and JSON write it alike.
fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for letter in text.chars() {
        match letter {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            '\t' => out.push_str("\\t"),
            letter if letter.is_control() || matches!(letter, '\u{2028}' | '\u{2029}' | '\u{feff}') => {
                let _ = write!(out, "\\u{:04x}", u32::from(letter));
            }
            letter => out.push(letter),
        }
    }
    out.push('"');
    out
}

impl Record {
    /// Reads a record.
    ///
    /// # Errors
    /// With the first line that is none of ours, as `line 7: …`.
    pub fn read(source: &Source) -> Result<Self, String> {
        let at = |node: &Node, what: &str| {
            let (line, _) = source.line_column(node.span.start);
            format!("line {line}: {what}")
        };
        if source.root.get("bench").and_then(Node::text) != Some(VERSION) {
            return Err(at(&source.root, "no record of version 1: `bench: 1` is missing"));
        }
        let Some(entries) = source.root.get("entries") else { return Ok(Self::default()) };
        let Value::List(items) = &entries.value else {
            // A record to which nothing was added yet.
            return if entries.is_empty() {
                Ok(Self::default())
            } else {
                Err(at(entries, "`entries` is no list"))
            };
        };
        let entries =
            items.iter().map(|item| entry(item).ok_or_else(|| at(item, "this is no entry of a record")));
        Ok(Self { entries: entries.collect::<Result<_, _>>()? })
    }

    /// The tests of the last runs with this code, the newest first.
    pub fn of_code<'a>(&'a self, code: &'a str) -> impl Iterator<Item = &'a Test> {
        let mut current = false;
        let mut all = Vec::new();
        for entry in &self.entries {
            match entry {
                Entry::Run(run) => current = run.code == code,
                Entry::Test(test) if current => all.push(test),
                Entry::Test(_) | Entry::Changed(_) => {}
            }
        }
        all.into_iter().rev()
    }

    /// All answers with this code that still count, each with its run, the oldest first.
    pub fn answers(&self, code: &str) -> Vec<(&Run, &Test)> {
        let mut run = None;
        let mut all: Vec<(&Run, &Test)> = Vec::new();
        for entry in &self.entries {
            match entry {
                Entry::Run(begun) => run = Some(begun).filter(|run| run.code == code),
                Entry::Test(test) if test.is_answer() => all.extend(run.map(|run| (run, test))),
                Entry::Test(_) => {}
                Entry::Changed(changed) => all.retain(|(_, test)| !changed.void.contains(&test.name())),
            }
        }
        all
    }

    /// Everything that was read or seen of something since what it rests on was last changed by hand, the newest
    /// first, each with the code of its state of the file.
    fn since_changed<'a>(&'a self, of: &str) -> Vec<(&'a str, &'a Test)> {
        let mut code = "";
        let mut all = Vec::new();
        for entry in &self.entries {
            match entry {
                Entry::Run(run) => code = &run.code,
                Entry::Test(test) if test.name() == of && !test.skipped && test.is_answer() => {
                    all.push((code, test))
                }
                Entry::Test(_) => {}
                Entry::Changed(changed) if changed.void.iter().any(|void| void == of) => all.clear(),
                Entry::Changed(_) => {}
            }
        }
        all.reverse();
        all
    }

    /// What was last read or seen of something in another state of the file in which all that it rests on was the
    /// same, where nothing was in this one.
    pub fn still_good<'a>(&'a self, code: &str, of: &str, on: &str) -> Option<&'a Test> {
        let all = self.since_changed(of);
        if on.is_empty() || all.iter().any(|(other, _)| *other == code) {
            return None;
        }
        all.into_iter().find(|(_, test)| test.on == on).map(|(_, test)| test)
    }

    /// What was last read or seen of something at this code; what was left out does not count.
    pub fn last<'a>(&'a self, code: &'a str, of: &str) -> Option<&'a Test> {
        self.since_changed(of).into_iter().find(|(of_run, _)| *of_run == code).map(|(_, test)| test)
    }
}

impl Test {
    /// What was read, and in which state of her: `tank_servo.gas clicks, closed`.
    pub fn name(&self) -> String {
        named(&self.of, &self.once_more)
    }

    /// Whether it says something of the test, not only a remark.
    pub fn is_answer(&self) -> bool {
        !self.read.is_empty() || self.seen.is_some()
    }

    /// Whether it is as it should be, as far as it says something.
    pub fn is_good(&self) -> bool {
        self.is_answer() && !self.is_bad() && self.safe != NOT_JUDGED
    }

    /// Whether it is not as it should be, or nobody can tell with that meter.
    pub fn is_bad(&self) -> bool {
        let fails = ["no", "cannot tell"].contains(&&*self.safe);
        self.is_answer() && (self.seen == Some(false) || self.agrees == "no" || fails)
    }
}

/// The name of what is read, or is read once more in another state of her.
pub fn named(of: &str, once_more: &str) -> String {
    if once_more.is_empty() { of.to_owned() } else { format!("{of}, {once_more}") }
}

fn entry(node: &Node) -> Option<Entry> {
    let text = |key: &str| node.get(key).and_then(Node::text).unwrap_or_default().to_owned();
    if !matches!(node.value, Value::Map(_)) {
        return None;
    }
    let list = |key: &str| match node.get(key).map(|found| &found.value) {
        Some(Value::List(items)) => items.iter().filter_map(Node::text).map(str::to_owned).collect(),
        _ => Vec::new(),
    };
    if node.get("run").is_some() {
        let meters = node.get("meters").map(Node::entries).unwrap_or_default();
        let meters = meters.iter().map(|e| (e.key.clone(), e.value.text().unwrap_or_default().to_owned()));
        return Some(Entry::Run(Run {
            at: text("run"),
            by: text("by"),
            code: text("code"),
            meters: meters.collect(),
            conditions: text("conditions"),
            extreme: text("extreme"),
        }));
    }
    if node.get("changed").is_some() {
        return Some(Entry::Changed(Changed { at: text("at"), what: text("changed"), void: list("void") }));
    }
    let seen = match text("seen").as_str() {
        "yes" | "true" => Some(true),
        "no" | "false" => Some(false),
        _ => None,
    };
    node.get("of")?;
    Some(Entry::Test(Test {
        at: text("at"),
        test: text("test"),
        of: text("of"),
        once_more: text("as"),
        read: list("read"),
        seen,
        skipped: text("skipped") == "yes",
        agrees: text("agrees"),
        safe: text("safe"),
        lacks: list("lacks"),
        remark: text("remark"),
        on: text("on"),
    }))
}

/// The text with a last line that was cut off made a remark; `None` where the last line is whole.
pub fn mended(text: &str) -> Option<String> {
    if text.is_empty() || text.ends_with('\n') {
        return None;
    }
    let start = text.rfind('\n').map_or(0, |before| before + 1);
    Some(format!("{}# cut off: {}\n", &text[..start], &text[start..]))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::{Changed, Entry, Record, Run, Test, head, mended};
    use lidcard_boat::source::Source;
    use proptest::prelude::*;

    fn read(text: &str) -> Result<Record, String> {
        Record::read(&Source::from_text("r", text).map_err(|_| "no YAML".to_owned())?)
    }

    fn run() -> Entry {
        Entry::Run(Run {
            at: "2026-05-09T14:03:11Z".into(),
            by: "KL".into(),
            code: "9A8H-CN6T".into(),
            meters: vec![("pulse meter".into(), "2 us".into())],
            conditions: "cold, hull open".into(),
            extreme: "coldest".into(),
        })
    }

    fn blow() -> Test {
        Test {
            at: "2026-05-09T14:09:40Z".into(),
            test: "4.6".into(),
            of: "4/blow held".into(),
            read: vec!["1712 us".into(), "+53 %".into()],
            agrees: "yes".into(),
            safe: "cannot tell".into(),
            ..Test::default()
        }
    }

    #[test]
    fn what_was_added_is_read_again() {
        let seen = Entry::Test(Test { of: "Gas out.".into(), seen: Some(true), ..Test::default() });
        let all = vec![run(), Entry::Test(blow()), seen];
        let text = head("Moon \"fish\"") + &all.iter().map(Entry::line).collect::<String>();
        assert_eq!(read(&text).unwrap().entries, all);
        assert_eq!(read(&head("Moonfish")).unwrap().entries, []);
    }

    #[test]
    fn what_was_not_judged_is_neither_good_nor_bad_and_keeps_what_the_file_lacked() {
        let lacks = vec!["devices.tank_servo.accuracy".to_owned()];
        let test = Test { safe: super::NOT_JUDGED.into(), lacks, ..blow() };
        assert!(!test.is_good() && !test.is_bad());
        assert!(Test { agrees: "no".into(), ..test.clone() }.is_bad());
        let record = Record { entries: vec![run(), Entry::Test(test)] };
        let text = head("x") + &record.entries.iter().map(Entry::line).collect::<String>();
        assert_eq!(read(&text).unwrap(), record);
    }

    #[test]
    fn what_is_read_once_more_in_another_state_of_her_is_told_apart() {
        let closed = Test { once_more: "closed".into(), read: vec!["1716 us".into()], ..blow() };
        let record = Record { entries: vec![run(), Entry::Test(blow()), Entry::Test(closed)] };
        assert_eq!(record.last("9A8H-CN6T", "4/blow held").unwrap().read, blow().read);
        assert_eq!(record.last("9A8H-CN6T", "4/blow held, closed").unwrap().read, ["1716 us"]);
        let text = head("x") + &record.entries.iter().map(Entry::line).collect::<String>();
        assert_eq!(read(&text).unwrap(), record);
    }

    #[test]
    fn what_was_read_of_another_state_of_the_file_does_not_count() {
        let record = Record { entries: vec![run(), Entry::Test(blow())] };
        assert!(record.last("9A8H-CN6T", "4/blow held").is_some());
        assert!(record.last("AAAA-AAAA", "4/blow held").is_none());
        assert!(!blow().is_good());
    }

    /// The newest run has another code; what rests on the same still counts, until something is changed by hand.
    #[test]
    fn what_rests_on_the_same_counts_in_another_state_of_the_file_until_it_is_changed() {
        let again =
            Entry::Run(Run { at: "2026-06-01T10:00:00Z".into(), code: "AAAA-AAAA".into(), ..Run::default() });
        let on = Test { on: "x1".into(), ..blow() };
        let mut record = Record { entries: vec![run(), Entry::Test(on), again.clone()] };
        assert!(record.still_good("AAAA-AAAA", "4/blow held", "x1").is_some());
        assert!(record.still_good("AAAA-AAAA", "4/blow held", "x2").is_none());
        assert!(record.still_good("9A8H-CN6T", "4/blow held", "x1").is_none(), "that is its own state");
        let changed =
            Changed { what: "transmitter".into(), void: vec!["4/blow held".into()], ..Changed::default() };
        record.entries.push(Entry::Changed(changed));
        assert!(record.still_good("AAAA-AAAA", "4/blow held", "x1").is_none());
        assert!(record.last("9A8H-CN6T", "4/blow held").is_none());
        assert_eq!(record.answers("9A8H-CN6T"), []);
        record.entries.extend([again, Entry::Test(blow())]);
        assert!(record.last("AAAA-AAAA", "4/blow held").is_some());
        assert_eq!(record.answers("AAAA-AAAA").len(), 1);
        let text = head("x") + &record.entries.iter().map(Entry::line).collect::<String>();
        assert_eq!(read(&text).unwrap(), record);
    }

    #[test]
    fn a_line_that_was_cut_off_stays_as_a_remark_and_costs_no_other() {
        let whole = head("Moonfish") + &run().line() + &Entry::Test(blow()).line();
        assert_eq!(mended(&whole), None);
        let start = whole.len() - Entry::Test(blow()).line().len();
        for cut in start + 1..whole.len() {
            let Some(text) = whole.get(..cut) else { continue };
            let mended = mended(text).unwrap();
            assert!(mended.contains(&text[start..]), "nothing is thrown away");
            assert_eq!(read(&mended).unwrap().entries, [run()], "{mended}");
        }
    }

    #[test]
    fn what_is_no_record_is_told_with_its_line() {
        assert!(read("bench: 2\n").unwrap_err().contains("line 1"));
        assert!(
            read("bench: 1\nentries:\n- {of: x, seen: yes}\n- nothing\n").unwrap_err().contains("line 4")
        );
    }

    proptest! {
        #[test]
        fn any_text_comes_back_as_it_was(text in "\\PC{1,40}", remark in "[ -~\\t]{0,20}") {
            let test = Test { of: text.clone(), remark, seen: Some(false), ..Test::default() };
            let back = read(&(head("x") + &Entry::Test(test.clone()).line())).unwrap();
            prop_assert_eq!(back.entries, vec![Entry::Test(test)]);
        }
    }
}
