//! Boats that are nearly those at hand, through everything that judges, solves, rehearses and prints.

use crate::Got;
use crate::chance::Chance;
use crate::tree::Tree;
use crate::vary::Table;
use lidcard::cli::{Screen, Streams, run as cli};
use lidcard::document::{ALL, Job, Request};
use lidcard::finding::{Finding, Outcome, SafeEndpoints, Severity};
use lidcard::fingerprint::{Code, pack, unpack};
use lidcard::rehearsal::{Cause, Start, rehearse, solve as in_time};
use lidcard::render::font::missing_characters;
use lidcard::render::{mark_as_draft, svg};
use lidcard::report::{FileReport, Look, human, json_v1, sarif};
use lidcard::rule;
use lidcard::setup::{Exact, Setup, Side, lower::lower};
use lidcard::source::Source;
use std::collections::BTreeSet;
use std::path::PathBuf;
use std::sync::OnceLock;

/// The boat files at hand.
pub fn files() -> Vec<PathBuf> {
    let mut all = Vec::new();
    for folder in [
        "boats",
        "tests/fixtures/clean",
        "tests/fixtures/mistakes",
        "tests/fixtures/sheet",
        "tests/fixtures/reading",
    ] {
        let names = std::fs::read_dir(crate::root().join(folder)).into_iter().flatten().flatten();
        all.extend(
            names.map(|entry| entry.path()).filter(|path| path.extension().is_some_and(|end| end == "yaml")),
        );
    }
    all.sort();
    all
}

/// Their texts.
pub fn texts() -> &'static [String] {
    static TEXTS: OnceLock<Vec<String>> = OnceLock::new();
    TEXTS.get_or_init(|| files().into_iter().filter_map(|path| std::fs::read_to_string(path).ok()).collect())
}

/// Those of them that are boats.
fn table() -> &'static Table {
    static TABLE: OnceLock<Table> = OnceLock::new();
    TABLE.get_or_init(|| {
        let is_boat =
            |text: &&String| Source::from_text("boat", text).is_ok_and(|source| lower(&source).is_ok());
        Table::new(texts().iter().filter(is_boat).filter_map(|text| Tree::read(text)).collect())
    })
}

/// Makes a boat of bytes and sends her through.
///
/// # Panics
/// When something does not hold.
pub fn run(bytes: &[u8]) -> Got {
    let mut chance = Chance::of(bytes);
    // One that was found and kept, as its text.
    let text = match std::str::from_utf8(bytes).ok().filter(|text| text.contains("lidcard:")) {
        Some(text) => text.to_owned(),
        None => table().varied(&mut chance).text(),
    };
    sent(&text, &mut chance)
}

/// The text that bytes make.
pub fn text_of(bytes: &[u8]) -> String {
    table().varied(&mut Chance::of(bytes)).text()
}

/// Sends the text of a boat through.
///
/// # Panics
/// When something does not hold.
pub fn sent(text: &str, chance: &mut Chance<'_>) -> Got {
    let Ok(source) = Source::from_text("fuzz.yaml", text) else { return Got::Refused };
    let setup = match lower(&source) {
        Ok(setup) => setup,
        Err(mistakes) => {
            let report = FileReport::unreadable("fuzz.yaml", Some(source), mistakes);
            seen(&human::file(&report, Look::PLAIN, true));
            return Got::Refused;
        }
    };
    // Letters that no font has are refused by the command, and go no further here.
    if !missing_characters(&text.replace('\n', "")).is_empty() {
        return Got::Refused;
    }
    // Some of them by the way of a user; what is told twice is the same.
    if chance.percent(25) {
        let (status, told) = by_command(&["check", "-"], text);
        if status == 2 {
            return Got::Refused;
        }
        assert_eq!((status, told), by_command(&["check", "-"], text), "told otherwise the second time");
    }
    let judged = rule::judge(&setup);
    whole(&judged.verdict.findings);
    let report = FileReport::checked(source.clone(), judged.verdict.findings.clone())
        .wanting(judged.verdict.wanting.clone());
    seen(&human::file(&report, Look::PLAIN, true));
    let _ = json_v1::file(&report, true);
    let _ = sarif::results(&report, true);
    let packed = pack(&source);
    let (code, back) = unpack(&packed).expect("what is packed can be unpacked");
    assert_eq!(code, Code::of(&source), "another code after packing");
    let again = Source::from_text("back.yaml", &back).expect("what is unpacked can be read");
    assert!(lower(&again).is_ok(), "what is unpacked is no boat");
    // One of the long questions for each boat: in thousands of them all are asked.
    match chance.below(6) {
        0 | 1 => windows(&setup, judged.windows.of(&setup), chance),
        2 => solved(&setup, &judged.verdict.findings),
        3 => {
            let cause = Cause::ALL.get(chance.below(Cause::ALL.len())).copied().unwrap_or(Cause::Loss);
            let found = rehearse(&setup, cause, &Start::default());
            assert_eq!(
                found,
                rehearse(&setup, cause, &Start::default()),
                "another rehearsal the second time"
            );
            if chance.percent(30) {
                let _ = in_time::solve(&setup, &Start::default());
            }
        }
        4 => {
            let command: &[&str] = chance.pick([
                &["states", "-"],
                &["endpoints", "-"],
                &["rehearse", "-", "--format", "json"],
                &["pond", "-"],
            ]);
            let (_, told) = by_command(command, text);
            seen(&told);
        }
        _ => {}
    }
    if chance.percent(50) {
        return Got::Through;
    }
    papers(&setup, &report, &judged, &packed, code, chance)
}

/// What a command says: its status and everything it printed.
fn by_command(command: &[&str], text: &str) -> (u8, String) {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let mut streams =
        Streams { stdin: &mut text.as_bytes(), stdout: &mut out, stderr: &mut err, screen: Screen::NONE };
    let outcome = cli(std::iter::once("lidcard").chain(command.iter().copied()), &mut streams);
    out.extend(err);
    let told = String::from_utf8(out).expect("UTF-8");
    assert!(!told.contains("the program itself failed"), "{told}");
    (outcome.code(), told)
}

/// A report that can be read.
fn seen(text: &str) {
    assert!(text.lines().all(|line| line.chars().count() < 2000), "a line that nobody reads to its end");
    assert!(!text.contains("NaN") && !text.contains(" inf"), "no number: {text}");
}

/// Every finding says what it is about; where it is broken with a margin, that is no positive one.
fn whole(findings: &[Finding]) {
    for finding in findings {
        assert!(!finding.message.is_empty() && !finding.state.is_empty(), "{} says nothing", finding.rule);
        assert!(
            finding.outcome != Outcome::NotJudged || !finding.missing.is_empty(),
            "{} asks for nothing",
            finding.rule
        );
    }
}

/// What narrows a window: an error, what is undecided, and what no way wants, with how far it is off.
type Grave = BTreeSet<(String, String, String, String)>;

fn grave(setup: &Setup) -> Grave {
    let counts = |f: &&Finding| match f.outcome {
        Outcome::Undecided => true,
        Outcome::Broken => f.severity == Severity::Error || f.rule == "unwanted-within-reach",
        _ => false,
    };
    let name = |f: &Finding| {
        (
            f.rule.to_owned(),
            f.about.clone(),
            f.state.clone(),
            format!("{:?} {}", f.margin, f.message.split(" at ").next().unwrap_or_default()),
        )
    };
    rule::check(setup).iter().filter(counts).map(name).collect()
}

/// A value inside a window leaves nothing wrong that is not wrong at every value, with the hand at the sticks; of a
/// window that is called safe in no state at all.
fn windows(setup: &Setup, all: &[SafeEndpoints], chance: &mut Chance<'_>) {
    let Some(way) = chance.one(all) else { return };
    let channel = setup.channels.iter().position(|channel| channel.number == way.channel).expect("a channel");
    let control = setup.channels[channel].control.expect("a way has a control");
    let side = Side::BOTH.into_iter().find(|side| setup.controls[control].ways[side.index()] == way.way);
    let Some(side) = side else { return };
    let at = |value: &Exact| {
        let mut other = setup.clone();
        other.channels[channel].endpoints[side.index()] = value.clone();
        grave(&other)
    };
    let Some([low, high]) = chance.one(&way.windows) else { return };
    assert!(low <= high, "a window that ends before it begins");
    let step = setup.transmitter.step.clone();
    let beyond = [Exact::int(0), setup.transmitter.furthest.clone()].map(|end| at(&end));
    let always: Grave = beyond[0].intersection(&beyond[1]).cloned().collect();
    let middle = low.clone()
        + (((high.clone() - low.clone()) / Exact::int(2)) / step.clone())
            .floor()
            .map_or_else(|| Exact::int(0), |n| Exact::int(n) * step);
    for value in [low, high, &middle] {
        let wrong = at(value);
        let new: Vec<_> =
            wrong.difference(&always).filter(|(.., state, _)| way.is_safe() || state == "piloting").collect();
        assert!(
            new.is_empty() || !way.is_safe(),
            "{}/{} at {} is called safe, yet {new:?}",
            way.channel,
            way.way,
            value.to_decimal(6)
        );
    }
}

/// What `--solve` proposes adds nothing that is wrong.
fn solved(setup: &Setup, before: &[Finding]) {
    let found = rule::solve::solve(setup);
    let mut with = setup.clone();
    found.iter().filter(|solved| solved.changed).for_each(|solved| solved.apply(&mut with));
    let open = |findings: &[Finding]| -> BTreeSet<(&'static str, String, String)> {
        // Pulses that were read with the old values say nothing about the new ones.
        let wrong = |f: &&Finding| {
            f.is_open()
                && f.severity == Severity::Error
                && f.outcome != Outcome::NotJudged
                && f.rule != "measured-differs"
        };
        findings.iter().filter(wrong).map(|f| (f.rule, f.about.clone(), f.state.clone())).collect()
    };
    let after = rule::check(&with);
    let (was, is) = (open(before), open(&after));
    let new: Vec<_> = is.difference(&was).collect();
    assert!(new.is_empty(), "solving adds {new:?}");
}

/// A paper, twice the same; of a boat that failed only with its mark.
fn papers(
    setup: &Setup,
    report: &FileReport,
    judged: &rule::Judgement,
    packed: &[String],
    code: Code,
    chance: &mut Chance<'_>,
) -> Got {
    let documents: Vec<_> = ALL.iter().filter(|document| !document.holds_the_record()).collect();
    let Some(document) = chance.one(&documents) else { return Got::Read };
    let job = Job {
        setup,
        findings: report.findings(),
        code,
        packed: if document.holds_the_file() { packed } else { &[] },
        lost: judged.lost.as_ref(),
        emergency: &judged.emergency,
        windows: &judged.windows,
    };
    let failed = report.count(Severity::Error) > 0;
    let certificate = document.holds_the_file().then(|| "0".repeat(64));
    let request = Request { draft: failed, certificate, ..Request::default() };
    let Ok(mut scene) = document.scene(&job, &request) else { return Got::Read };
    let Ok(pages) = svg::to_svg(&scene) else { return Got::Read };
    let again = document.scene(&job, &request).ok().and_then(|scene| svg::to_svg(&scene).ok());
    assert!(again.as_ref() == Some(&pages), "another {} the second time", document.name());
    if failed {
        // Marked already: the same letters once more make it a different page than one that passed.
        let passed = document.scene(&job, &Request { draft: false, ..request.clone() });
        if let Ok(passed) = passed.map_err(drop).and_then(|scene| svg::to_svg(&scene).map_err(drop)) {
            assert!(
                passed.iter().zip(&pages).all(|(passed, marked)| passed != marked),
                "a {} without its mark",
                document.name()
            );
        }
    } else {
        let _ = mark_as_draft(&mut scene, "DRAFT", "DRAFT");
    }
    Got::Through
}
