//! The bench record as paper: each test of the sheet, what was read, by whom and when, and what is open.

use super::frame::Frame;
use super::sheet::table::{Cell, Table};
use super::sheet::{self, Reads, Test};
use super::{Document, DocumentError, Job, Request, Template, fill, mark, words};
use crate::labels::Labels;
use crate::labels::text::record::{self, runs, tests};
use crate::page::of_ours;
use crate::render::Scene;
use crate::rule::Engine;
use lidcard_record::{Entry, NOT_JUDGED, Record, Run, Test as Taken};
use serde::Serialize;

const TEMPLATE: Template =
    Template { name: "record.tera", text: include_str!("../../../templates/record.tera") };
const HTML: Template = Template { name: "record.html", text: include_str!("../../../templates/record.html") };

/// A record and what tells it from any other.
#[derive(Clone, Debug)]
pub struct Recorded {
    /// What it holds.
    pub record: Record,
    /// The first digits of the file's SHA-256.
    pub sum: String,
}

/// The record as a document.
pub struct BenchRecord;

impl Document for BenchRecord {
    fn name(&self) -> &'static str {
        "record"
    }

    fn about(&self) -> &'static str {
        "the bench record: what was read, and what is open"
    }

    fn holds_the_record(&self) -> bool {
        true
    }

    fn template(&self) -> Template {
        TEMPLATE
    }

    fn has_html(&self) -> bool {
        true
    }

    fn html(&self, job: &Job<'_>, request: &Request) -> Result<Option<String>, DocumentError> {
        let labels = request.labels(job.setup)?;
        let mark = mark::words(&labels, job, request.draft).map(|[word, _]| word).unwrap_or_default();
        let record = Facts::of(&labels, job, request);
        let title = match mark.as_str() {
            "" => record.frame.title.clone(),
            mark => format!("{mark} \u{2013} {}", record.frame.title),
        };
        let failed = words::emergency(&labels, job).failed.unwrap_or_default();
        let spoken = Spoken { labels: labels.tree_for(HTML.text), mark_word: mark, failed, record: &record };
        of_ours(HTML, (labels.language(), &title), &spoken).map(Some)
    }

    fn scene(&self, job: &Job<'_>, request: &Request) -> Result<Scene, DocumentError> {
        let labels = request.labels(job.setup)?;
        let chosen = request.template(TEMPLATE);
        let facts = Facts::of(&labels, job, request);
        let context = fill::labelled(chosen, &facts, &labels)?;
        fill::flowed(chosen, context, [&facts.about, &facts.verdict, &facts.summary], &labels, job, request)
    }
}

/// The record for a screen, or for somebody who hears it read.
#[derive(Serialize)]
struct Spoken<'a> {
    #[serde(flatten)]
    record: &'a Facts,
    /// What is worst with a boat that failed her check.
    failed: String,
    mark_word: String,
    labels: serde_json::Value,
}

/// Tests that belong together: as a table of paper, and test by test for a screen.
#[derive(Serialize)]
struct Group {
    title: String,
    table: Table,
    tests: Vec<Row>,
}

/// A test with all that was answered.
#[derive(Serialize)]
struct Row {
    number: String,
    what: String,
    expected: String,
    answers: Vec<Answer>,
}

/// What was read, and what it says.
#[derive(Serialize)]
struct Answer {
    read: String,
    /// As the file says.
    file: String,
    safe: String,
    who: String,
    /// It is not as it should be.
    bad: bool,
}

/// All that the template may say.
#[derive(Serialize)]
struct Facts {
    #[serde(flatten)]
    frame: Frame,
    about: String,
    verdict: String,
    summary: String,
    runs: Table,
    groups: Vec<Group>,
    others: Table,
}

/// What was taken, with whoever took it.
struct Line<'a> {
    run: &'a Run,
    taken: &'a Taken,
    /// Something that it rests on was changed by hand afterwards.
    void: bool,
}

impl Facts {
    fn of(labels: &Labels, job: &Job<'_>, request: &Request) -> Self {
        let boat = &job.setup.boat.name;
        let code = job.code.to_string();
        let none = Record::default();
        let (taken, sum) = request.record.as_ref().map_or((&none, ""), |r| (&r.record, r.sum.as_str()));
        let (own, others): (Vec<Line<'_>>, Vec<Line<'_>>) =
            lines(taken).into_iter().partition(|line| line.run.code == code && !line.void);
        let engine = Engine::new(job.setup);
        let wanted = sheet::readings(&engine, labels);
        let imprint = words::imprint(labels, job, Some(labels.fill(record::Sum { sum })));
        Self {
            frame: Frame::of(request, boat, labels.fill(record::Title { boat }), imprint),
            about: labels.get(record::ABOUT).to_owned(),
            verdict: words::verdict(labels, job.findings, request.draft),
            summary: summary(labels, &wanted, &own),
            runs: runs_of(labels, taken),
            groups: groups(labels, &wanted, &own),
            others: of_other_states(labels, &others),
        }
    }
}

/// Every test of a record with its run.
fn lines(taken: &Record) -> Vec<Line<'_>> {
    let mut run = None;
    let mut all = Vec::new();
    for entry in &taken.entries {
        match entry {
            Entry::Run(begun) => run = Some(begun),
            Entry::Test(taken) => all.extend(run.map(|run| Line { run, taken, void: false })),
            Entry::Changed(changed) => {
                let void = all.iter_mut().filter(|line: &&mut Line| changed.void.contains(&line.taken.of));
                void.for_each(|line| line.void = true);
            }
        }
    }
    all
}

/// What was taken for a test of the sheet, the oldest first.
fn taken<'a>(test: &Test, own: &'a [Line<'a>]) -> Vec<&'a Line<'a>> {
    own.iter().filter(|line| is_of(line.taken, test)).collect()
}

/// Whether something was taken for a test. What is read in several states of her has one number on the sheet.
fn is_of(taken: &Taken, test: &Test) -> bool {
    let being = match test.reads {
        Reads::Point(_, _, being) => being.word(),
        _ => "",
    };
    taken.test == test.number && taken.once_more == being
}

/// Whether the last answer to everything that a test reads is there, and is as it should be; one that was not judged
/// leaves it open.
fn standing(test: &Test, own: &[Line<'_>]) -> Option<bool> {
    let here = own.iter().rev().map(|line| line.taken).filter(|taken| is_of(taken, test));
    let answers: Vec<&Taken> = here.filter(|taken| taken.is_answer()).collect();
    let last = |of: &dyn Fn(&Taken) -> bool| answers.iter().find(|taken| of(taken)).copied();
    let seen = || last(&|taken| taken.seen.is_some());
    let all: Option<Vec<&Taken>> = match &test.reads {
        // Where pulses are read something is looked at as well.
        Reads::Pulses(pulses) => {
            pulses.iter().map(|pulse| last(&|taken| taken.of == pulse.name)).chain([seen()]).collect()
        }
        Reads::Point(..) => last(&|taken| !taken.read.is_empty()).map(|taken| vec![taken]),
        Reads::Seconds(_) => last(&|_| true).map(|taken| vec![taken]),
        Reads::Seen => seen().map(|taken| vec![taken]),
    };
    let all = all?;
    match (all.iter().any(|taken| taken.is_bad()), all.iter().all(|taken| taken.is_good())) {
        (true, _) => Some(false),
        (false, good) => good.then_some(true),
    }
}

fn summary(labels: &Labels, wanted: &[Test], own: &[Line<'_>]) -> String {
    let standing: Vec<Option<bool>> = wanted.iter().map(|test| standing(test, own)).collect();
    let count = |of: Option<bool>| standing.iter().filter(|s| **s == of).count().to_string();
    labels.fill(record::Summary {
        good: &count(Some(true)),
        count: &wanted.len().to_string(),
        bad: &count(Some(false)),
        open: &count(None),
    })
}

fn runs_of(labels: &Labels, taken: &Record) -> Table {
    let head = [runs::WHEN, runs::BY, runs::METERS, runs::CONDITIONS, runs::CODE];
    let mut table = Table::with_head(head.map(|text| labels.get(text).to_owned()));
    for entry in &taken.entries {
        if let Entry::Run(run) = entry {
            let meters: Vec<String> =
                run.meters.iter().map(|(name, off)| format!("{name} ± {off}")).collect();
            let cells = [
                moment(&run.at),
                run.by.clone(),
                meters.join(", "),
                conditions(labels, run),
                run.code.clone(),
            ];
            table.row(cells.to_vec());
        }
    }
    table
}

/// `cold, 7.9 V, hull open; as cold as she is sailed`
fn conditions(labels: &Labels, run: &Run) -> String {
    let extreme = match run.extreme.as_str() {
        "warmest" => labels.get(runs::WARMEST),
        "coldest" => labels.get(runs::COLDEST),
        _ => "",
    };
    let both = [run.conditions.as_str(), extreme].into_iter().filter(|text| !text.is_empty());
    both.collect::<Vec<_>>().join("; ")
}

fn groups(labels: &Labels, wanted: &[Test], own: &[Line<'_>]) -> Vec<Group> {
    let head = || {
        [tests::NUMBER, tests::DO, tests::EXPECTED, tests::READ, tests::FILE, tests::SAFE, tests::WHO]
            .map(|text| labels.get(text).to_owned())
    };
    let mut groups: Vec<Group> = Vec::new();
    for test in wanted {
        if groups.last().is_none_or(|group| group.title != test.group) {
            let (title, table) = (test.group.clone(), Table::with_head(head()));
            groups.push(Group { title, table, tests: Vec::new() });
        }
        let Some(Group { table, tests, .. }) = groups.last_mut() else { continue };
        let row = Row {
            number: test.number.clone(),
            what: test.what.clone(),
            expected: test.expected.clone(),
            answers: taken(test, own).into_iter().map(|line| answer(labels, test, line)).collect(),
        };
        for cells in row.cells(labels) {
            table.cells(cells);
        }
        tests.push(row);
    }
    groups
}

impl Row {
    /// Its lines on paper: one for each answer.
    fn cells(&self, labels: &Labels) -> Vec<Vec<Cell>> {
        let first = [&self.number, &self.what, &self.expected].map(Cell::plain);
        if self.answers.is_empty() {
            let open = Cell::bold(labels.get(record::OPEN));
            return vec![first.into_iter().chain([open]).chain([""; 3].map(Cell::plain)).collect()];
        }
        let line = |(n, answer): (usize, &Answer)| {
            let before = if n == 0 { first.clone() } else { ["", "", ""].map(Cell::plain) };
            let cell = if answer.bad { Cell::bold } else { Cell::plain };
            let said = [cell(answer.read.clone()), cell(answer.file.clone()), cell(answer.safe.clone())];
            before.into_iter().chain(said).chain([Cell::plain(&answer.who)]).collect()
        };
        self.answers.iter().enumerate().map(line).collect()
    }
}

fn answer(labels: &Labels, test: &Test, line: &Line<'_>) -> Answer {
    let taken = line.taken;
    let mut read = match (taken.seen, taken.read.as_slice()) {
        (Some(true), _) => labels.get(record::YES).to_owned(),
        (Some(false), _) => labels.get(record::NO).to_owned(),
        (None, []) if taken.skipped => labels.get(record::LEFT_OUT).to_owned(),
        (None, read) => read.join(", "),
    };
    if matches!(test.reads, Reads::Pulses(_)) && !taken.read.is_empty() {
        read = format!("{}: {read}", taken.of);
    }
    if !taken.remark.is_empty() {
        read = format!("{read} ({})", taken.remark).trim_start().to_owned();
    }
    let told = |verdict: &str| match verdict {
        "yes" => labels.get(record::YES),
        "no" => labels.get(record::NO),
        "cannot tell" => labels.get(record::CANNOT_TELL),
        _ => "",
    };
    let who = format!("{} {}", line.run.by, moment(&taken.at));
    Answer {
        read,
        file: told(&taken.agrees).to_owned(),
        safe: match taken.safe.as_str() {
            NOT_JUDGED => labels.fill(record::NotJudged { keys: &taken.lacks.join(", ") }),
            verdict => told(verdict).to_owned(),
        },
        who: who.trim().to_owned(),
        bad: taken.is_answer() && !taken.is_good(),
    }
}

fn of_other_states(labels: &Labels, others: &[Line<'_>]) -> Table {
    let head = [runs::CODE, tests::NUMBER, tests::DO, tests::READ, tests::WHO];
    let mut table = Table::with_head(head.map(|text| labels.get(text).to_owned()));
    for Line { run, taken, .. } in others {
        let read = match taken.seen {
            Some(seen) => labels.get(if seen { record::YES } else { record::NO }).to_owned(),
            None => taken.read.join(", "),
        };
        let who = format!("{} {}", run.by, moment(&taken.at));
        table.row(vec![run.code.clone(), taken.test.clone(), taken.name(), read, who.trim().to_owned()]);
    }
    table
}

/// `2026-05-09 14:03` of `2026-05-09T14:03:11Z`.
fn moment(at: &str) -> String {
    at.get(..16).unwrap_or(at).replace('T', " ")
}
