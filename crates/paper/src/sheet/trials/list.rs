//! A list of tests being written: every test has a number, so that a note can refer to it. What has no
//! figure becomes a box to tick; what has one, as many boxes as there are readings.

use serde::Serialize;

use super::read::{Gate, Reads, Test};
use crate::labels::Text;
use crate::labels::text::sheet::tests;
use crate::sheet::faults::{self, Tried};
use crate::sheet::say::Say;

/// How often a point is crept up to: as many boxes as readings make a tolerance worth its name.
const CREPT: usize = 5;
/// How often she is sent up by herself.
const TRIED: usize = 3;

/// Tests that belong together.
#[derive(Serialize)]
pub(in crate::sheet) struct Group {
    title: String,
    /// What to know before the first of them; empty if nothing.
    before: String,
    entries: Vec<Entry>,
    /// They are not of the boat and stand on the measuring form.
    on_the_form: bool,
}

/// A test as it is printed.
#[derive(Serialize)]
struct Entry {
    number: String,
    what: String,
    /// What is to be seen and, where one figure is read, what it should be.
    see: String,
    /// Boxes beside each other to write figures in; none where a tick is all.
    boxes: usize,
    /// Where several figures are read, what each row of boxes is for.
    lines: Vec<String>,
}

/// A test before it has its number.
pub(super) struct Trial {
    what: String,
    see: String,
    never: String,
    expected: String,
    reads: Reads,
    /// What stands beside each box, if that is not the expected value.
    beside: Vec<String>,
}

impl Trial {
    pub(super) fn seen(what: impl Into<String>, see: impl Into<String>) -> Self {
        let (never, expected) = (String::new(), String::new());
        Self { what: what.into(), see: see.into(), never, expected, reads: Reads::Seen, beside: Vec::new() }
    }

    /// One whose words are all in the labels.
    pub(super) fn of(what_and_see: [Text; 2], say: &Say<'_>) -> Self {
        let [what, see] = say.all(what_and_see);
        Self::seen(what, see)
    }

    pub(super) fn expected(self, expected: impl Into<String>) -> Self {
        Self { expected: expected.into(), ..self }
    }

    pub(super) fn reads(self, reads: Reads) -> Self {
        Self { reads, ..self }
    }

    pub(super) fn never(self, never: String) -> Self {
        Self { never, ..self }
    }

    pub(super) fn beside(self, beside: Vec<String>) -> Self {
        Self { beside, ..self }
    }
}

/// The list.
pub(super) struct List<'a> {
    say: &'a Say<'a>,
    pub(super) groups: Vec<Group>,
    pub(super) tests: Vec<Test>,
    pub(super) gate: Gate,
    /// The sections of the boat file that the group rests on.
    pub(super) rests_on: &'static [&'static str],
    before: String,
    /// Tests in the last group.
    count: usize,
}

impl<'a> List<'a> {
    pub(super) fn new(say: &'a Say<'a>) -> Self {
        Self {
            say,
            groups: Vec::new(),
            tests: Vec::new(),
            gate: Gate::None,
            rests_on: &[],
            before: String::new(),
            count: 0,
        }
    }

    pub(super) fn group(&mut self, title: Text, before: Option<Text>) {
        let before = before.map_or("", |text| self.say.get(text)).to_owned();
        self.before.clone_from(&before);
        self.gate = Gate::None;
        self.count = 0;
        let title = self.say.get(title).to_owned();
        self.groups.push(Group { title, before, entries: Vec::new(), on_the_form: false });
    }

    /// What was listed since the last group began is measured before, on the form that goes with the sheet.
    pub(super) fn stands_on_the_form(&mut self) {
        let Some(group) = self.groups.last_mut() else { return };
        let numbers = match &group.entries[..] {
            [] => return,
            [only] => only.number.clone(),
            [first, .., last] => format!("{}\u{2013}{}", first.number, last.number),
        };
        group.before = self.say.fill(tests::orders::OnTheForm { numbers: &numbers });
        group.entries.clear();
        group.on_the_form = true;
    }

    /// Numbers count the groups that are printed.
    pub(super) fn drop_an_empty_group(&mut self) {
        if self.groups.last().is_some_and(|group| group.entries.is_empty() && !group.on_the_form) {
            self.groups.pop();
        }
    }

    pub(super) fn add(
        &mut self,
        what: impl Into<String>,
        see: impl Into<String>,
        expected: impl Into<String>,
    ) {
        self.trial(Trial::seen(what, see).expected(expected));
    }

    pub(super) fn trial(&mut self, trial: Trial) {
        let Trial { what, mut see, never, expected, reads, beside } = trial;
        if see.is_empty() {
            // A row without anything to see would be signed without looking.
            see = self.say.get(tests::ways::METER).to_owned();
        }
        self.count += 1;
        let number = format!("{}.{}", self.groups.len(), self.count);
        let Some(group) = self.groups.last_mut() else { return };
        let mut lines = match (beside.is_empty(), expected.is_empty()) {
            (false, _) => beside.clone(),
            (true, false) => expected.split('\n').map(str::to_owned).collect(),
            (true, true) => Vec::new(),
        };
        let mut seen = match never.as_str() {
            "" => see.clone(),
            what => self.say.fill(tests::Throughout { see: &see, what }),
        };
        let boxes = match (lines.is_empty(), &reads) {
            (true, _) => 0,
            (false, Reads::Point(..)) => CREPT,
            (false, Reads::Seconds(_)) => TRIED,
            (false, _) => 1,
        };
        // One figure for all boxes stands with what is to be seen.
        let one = match (&lines[..], beside.is_empty(), &reads) {
            ([only], true, _) => Some(only.clone()),
            (_, false, Reads::Point(..)) => Some(expected.clone()),
            _ => None,
        };
        if let Some(one) = one {
            // A figure behind a sentence begins one of its own.
            let apart = if seen.ends_with(['.', ':']) { " " } else { "; " };
            seen = format!("{seen}{apart}{one}");
        }
        if beside.is_empty() && lines.len() == 1 {
            lines.clear();
        }
        // What is to be seen goes on behind it.
        let done = if what.ends_with(['.', ':', '!']) { what.clone() } else { format!("{what}:") };
        group.entries.push(Entry { number: number.clone(), what: done, see: seen, boxes, lines });
        let (group, before) = (group.title.clone(), self.before.clone());
        self.tests.push(Test {
            number,
            group,
            before,
            what,
            see,
            never,
            expected,
            choice: beside,
            reads,
            gate: self.gate,
            rests_on: self.rests_on,
        });
    }

    /// The same as the last one in another state of her, for those who take readings in: on paper it is a row of it.
    pub(super) fn once_more(&mut self, what: String, reads: Reads) {
        let last = self.tests.last().cloned();
        self.tests.extend(last.map(|last| Test { what, reads, ..last }));
    }

    /// A test that is on paper already, once more in this group, for those who take readings in.
    pub(super) fn again(&mut self, test: Test) {
        let group = self.groups.last().map_or_else(String::new, |group| group.title.clone());
        self.tests.push(Test { group, before: self.before.clone(), gate: Gate::Itself, ..test });
    }

    /// A test whose words are all in the labels.
    pub(super) fn plain(&mut self, what_and_see: [Text; 2]) {
        self.trial(Trial::of(what_and_see, self.say));
    }

    /// The same with a figure to compare.
    pub(super) fn step(&mut self, what_and_see: [Text; 2], expected: impl Into<String>) {
        self.trial(Trial::of(what_and_see, self.say).expected(expected));
    }

    pub(super) fn faults(&mut self, tried: Tried) {
        for [what, see] in faults::tests(self.say, tried) {
            self.add(what, see, "");
        }
    }
}
