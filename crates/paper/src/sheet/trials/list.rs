//! A list of tests being written: every test has a number, so that a note can refer to it. What has no
//! figure becomes a box to tick; what has one, as many boxes as there are readings.

use serde::Serialize;

use super::read::{Gate, Reads, Test};
use crate::labels::Text;
use crate::labels::text::sheet::tests;
use crate::sheet::faults::{self, Tried};
use crate::sheet::say::Say;
use crate::sheet::table::Cell;

/// How often a point is crept up to: as many boxes as readings make a tolerance worth its name.
const CREPT: usize = 5;
/// Boxes to tick beside each other.
const ABREAST: usize = 2;

/// Tests that belong together.
#[derive(Serialize)]
pub(in crate::sheet) struct Group {
    title: String,
    /// What to know before the first of them; empty if nothing.
    before: String,
    runs: Vec<Run>,
}

/// Tests that follow each other and look alike.
#[derive(Serialize)]
struct Run {
    /// Rows of boxes to tick.
    ticks: Vec<Vec<Tick>>,
    /// Boxes beside each other, where figures are written down.
    boxes: usize,
    /// Number, what to do, what to see, what is expected, boxes.
    rows: Vec<Vec<Cell>>,
}

/// A box to tick.
#[derive(Serialize)]
struct Tick {
    number: String,
    what: String,
    see: String,
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
        self.groups.push(Group { title: self.say.get(title).to_owned(), before, runs: Vec::new() });
    }

    /// Numbers count the groups that are printed.
    pub(super) fn drop_an_empty_group(&mut self) {
        if self.groups.last().is_some_and(|group| group.runs.is_empty()) {
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
        let boxes = if matches!(reads, Reads::Point(..)) { CREPT } else { 1 };
        let lines = match (beside.is_empty(), expected.is_empty()) {
            (false, _) => beside.clone(),
            (true, false) => expected.split('\n').map(str::to_owned).collect(),
            (true, true) => Vec::new(),
        };
        let seen = match never.as_str() {
            "" => see.clone(),
            what => self.say.fill(tests::Throughout { see: &see, what }),
        };
        if lines.is_empty() {
            group.tick(Tick { number: number.clone(), what: what.clone(), see: seen });
        } else {
            group.figures(boxes, [&number, &what, &seen], lines);
        }
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

impl Group {
    fn tick(&mut self, tick: Tick) {
        let ticks = match self.runs.last_mut() {
            Some(run) if run.rows.is_empty() => &mut run.ticks,
            _ => {
                self.runs.push(Run { ticks: Vec::new(), boxes: 0, rows: Vec::new() });
                let last = self.runs.len() - 1;
                &mut self.runs[last].ticks
            }
        };
        match ticks.last_mut() {
            Some(row) if row.len() < ABREAST => row.push(tick),
            _ => ticks.push(vec![tick]),
        }
    }

    /// A row for each line, the test's words beside the first.
    fn figures(&mut self, boxes: usize, [number, what, see]: [&str; 3], lines: Vec<String>) {
        let alike = self.runs.last().is_some_and(|run| run.ticks.is_empty() && run.boxes == boxes);
        if !alike {
            self.runs.push(Run { ticks: Vec::new(), boxes, rows: Vec::new() });
        }
        let Some(run) = self.runs.last_mut() else { return };
        for (n, line) in lines.into_iter().enumerate() {
            let of = |text: &str| if n == 0 { text.to_owned() } else { String::new() };
            let mut row = vec![Cell::bold(of(number)), Cell::plain(of(what)), Cell::plain(of(see))];
            row.push(Cell::plain(line));
            row.extend((0..boxes).map(|_| Cell::plain("")));
            run.rows.push(row);
        }
    }
}
