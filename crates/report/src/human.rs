//! The report for people: each finding at its place in the file, then how it can be seen with the
//! sticks in hand, then what to do; and at the end of the file one line that sums up.

use super::closing::{self, Sum};
use super::excerpt::Shown;
use super::format::{self, Format, Part};
use super::text::{budget, chance, counted, hanging, margin, percent, rested, signed_percent, verdict};
use super::told::{self, Group};
use super::{BOAT_FILE, FilePlace, FileReport, Look, Status, missing};
use crate::finding::{Finding, Outcome, Severity, Witness};
use crate::setup::quantity::Micros;
use crate::source::visible::visible;
use crate::source::{Mistake, Source};
use serde_json::Result;
use std::fmt::Write;

/// As a shape of the report.
pub struct Human;

impl Format for Human {
    fn name(&self) -> &'static str {
        "human"
    }

    fn about(&self) -> &'static str {
        "With the place in the file and what to do"
    }

    fn part(&self, report: &FileReport, look: Look, all: bool) -> Result<Part> {
        Ok(Part::Text(file(report, look, all)))
    }

    fn whole(&self, parts: Vec<Part>, sums: &[Sum]) -> Result<String> {
        let mut out = format::text(parts);
        // One file ends with a line of its own already.
        if sums.len() > 1 {
            out.push('\n');
            out.push_str(&closing::line(sums));
        }
        Ok(out)
    }
}

/// The report for one file.
pub fn file(report: &FileReport, look: Look, all: bool) -> String {
    let mut out = String::new();
    for mistake in &report.mistakes {
        out.push_str(&mistake_text(mistake, report.source.as_ref(), look));
    }
    // A single finding says all of it by itself.
    if report.open().nth(1).is_some() {
        hanging(&mut out, "", &told::sum(report, &visible(&report.name)), look.width);
        out.push('\n');
    }
    for group in told::groups(report) {
        out.push_str(&group_text(&group, report, look));
    }
    for finding in report.accepted() {
        out.push_str(&accepted_line(report, finding, look));
    }
    if report.accepted().next().is_some() {
        out.push('\n');
    }
    if all {
        for finding in report.not_judged().filter(|f| !f.is_open()) {
            let (rule, about, state) = (finding.rule, &finding.about, &finding.state);
            out.push_str(&visible(&format!("{} ({rule} at {about}, {state})\n", finding.message)));
            for decides in missing::decides(finding) {
                hanging(&mut out, "  ", &decides, look.width);
            }
        }
        if report.not_judged().any(|f| !f.is_open()) {
            out.push('\n');
        }
        for finding in report.proved() {
            out.push_str(&proved_line(finding, look));
            tolerances(&mut out, finding, look);
        }
        if report.proved().next().is_some() {
            out.push('\n');
        }
    }
    missing::summary(&mut out, report, look.width, all);
    out.push_str(&closing_line(report));
    out.push('\n');
    if !report.unjudged.is_empty() {
        let keys: Vec<String> = report.unjudged.iter().map(|key| format!("`{key}`")).collect();
        let told = format!("time and water, for want of {}; `lidcard rehearse` tells more", keys.join(", "));
        hanging(&mut out, "not judged in full: ", &told, look.width);
    }
    if report.status() == Status::Findings {
        out.push_str("`lidcard explain RULE` tells more\n");
    }
    if report.not_judged().next().is_some() {
        out.push_str(&not_judged_line(report));
    }
    out
}

/// A mistake in reading, at its place.
pub fn mistake_text(mistake: &Mistake, source: Option<&Source>, look: Look) -> String {
    let labels = mistake.labels.iter().map(|(span, words)| (*span, words.clone())).collect();
    let shown = Shown::new(&format!("error: {BOAT_FILE}"), Severity::Error, &mistake.message, source, labels);
    let mut out = shown.text(look);
    if let Some(help) = &mistake.help {
        hanging(&mut out, "  help: ", help, look.width);
    }
    out.push('\n');
    out
}

/// Findings that belong together: the first in full, of the others what they do not share with it.
fn group_text(group: &Group, report: &FileReport, look: Look) -> String {
    let mut out = String::new();
    let Some((first, others)) = group.members.split_first() else { return out };
    if let Some(cause) = group.cause {
        let (line, key) = (report.place(cause).line, cause.0.join("."));
        let words = format!("line {line}, `{key}`: {} findings hang on it\n", group.members.len());
        hanging(&mut out, "", &words, look.width);
        out.push('\n');
    }
    out.push_str(&finding_text(first, report.source.as_ref(), look));
    let mut told = first.help.clone();
    told.extend(first.witness.as_ref().map(witness_words));
    let mut pieces = vec![Piece { finding: first, new: Vec::new(), likewise: Vec::new() }];
    for finding in others {
        let new = new_words(finding, &mut told);
        let known = pieces.iter_mut().find(|piece| new.is_empty() && piece.is_like(finding));
        match known {
            Some(piece) => piece.likewise.push(finding),
            None => pieces.push(Piece { finding, new, likewise: Vec::new() }),
        }
    }
    for (at, piece) in pieces.iter().enumerate() {
        if at > 0 {
            also(&mut out, piece, report, look);
            likewise(&mut out, piece, report, look);
        } else if !piece.likewise.is_empty() {
            // Before the empty line that ends the first.
            out.pop();
            likewise(&mut out, piece, report, look);
            out.push('\n');
        }
    }
    if !others.is_empty() {
        out.push('\n');
    }
    out
}

/// One of a group that is told by itself, and those of which there is nothing else to say but what they are about.
struct Piece<'a> {
    finding: &'a Finding,
    /// What the group has not been told yet: what leads it in, and the words.
    new: Vec<(&'static str, String)>,
    likewise: Vec<&'a Finding>,
}

impl Piece<'_> {
    /// Whether another one is the same mistake, about something else or in another state.
    fn is_like(&self, other: &Finding) -> bool {
        let of = |f: &Finding| (f.rule, f.outcome, f.weight(), f.sentence);
        let same = of(self.finding) == of(other) && self.finding.gaps == other.gaps;
        same && other.outcome == Outcome::Broken
    }
}

/// Positions and advice that a group has not had yet; they are not given again.
fn new_words(finding: &Finding, told: &mut Vec<String>) -> Vec<(&'static str, String)> {
    let mut new = |words: &String| {
        !told.contains(words) && {
            told.push(words.clone());
            true
        }
    };
    let mut all: Vec<(&'static str, String)> = Vec::new();
    all.extend(finding.witness.as_ref().map(witness_words).filter(&mut new).map(|w| ("  shown by: ", w)));
    if finding.outcome == Outcome::NotJudged {
        all.extend(missing::decides(finding).into_iter().map(|decides| ("  decided by: ", decides)));
    }
    all.extend(finding.help.iter().filter(|help| new(help)).map(|help| ("  help: ", help.clone())));
    all
}

fn off_by(finding: &Finding) -> Option<String> {
    let left = finding.margin.as_ref().filter(|left| left.axis.signum() < 0)?;
    Some(format!("off by {}", percent(&left.axis.abs())))
}

/// One more of a group.
fn also(out: &mut String, piece: &Piece, report: &FileReport, look: Look) {
    let finding = piece.finding;
    let (what, line) = (verdict(finding), report.place(&finding.primary.0).line);
    let (rule, about, state) = (finding.rule, &finding.about, &finding.state);
    let off = off_by(finding).map_or(String::new(), |off| format!("; {off}"));
    let message = format!("and {what}: {rule} at {about}, {state} (line {line}): {}{off}", finding.message);
    hanging(out, "", &message, look.width);
    for (lead, words) in &piece.new {
        hanging(out, lead, words, look.width);
    }
}

/// `likewise: servo_6.tap (line 30, off by 97.5 %), tank_servo.gas (line 34, off by 56 %)`
fn likewise(out: &mut String, piece: &Piece, report: &FileReport, look: Look) {
    let told = piece.likewise.iter().map(|finding| {
        let line = format!("line {}", report.place(&finding.primary.0).line);
        let place = std::iter::once(line).chain(off_by(finding)).collect::<Vec<_>>().join(", ");
        let otherwise = finding.state != piece.finding.state;
        let state = if otherwise { format!(", {}", finding.state) } else { String::new() };
        format!("{}{state} ({place})", finding.about)
    });
    let told: Vec<String> = told.collect();
    if !told.is_empty() {
        hanging(out, "  likewise: ", &told.join(", "), look.width);
    }
}

/// One finding: excerpt, witness, margin, help.
pub fn finding_text(finding: &Finding, source: Option<&Source>, look: Look) -> String {
    let labels = match source {
        None => Vec::new(),
        Some(source) => std::iter::once(&finding.primary)
            .chain(&finding.others)
            .map(|(path, words)| (source.locate(path), words.clone()))
            .collect(),
    };
    let code = format!("{}: {}", verdict(finding), finding.rule);
    let mut out = Shown::new(&code, finding.weight(), &finding.message, source, labels).text(look);
    if finding.outcome == Outcome::Undecided {
        let words = "neither proved nor broken; take it for broken until it is settled";
        hanging(&mut out, "  verdict: ", words, look.width);
    }
    hanging(&mut out, "  where: ", &format!("{}, {}", finding.about, finding.state), look.width);
    if let Some(witness) = &finding.witness {
        hanging(&mut out, "  shown by: ", &witness_words(witness), look.width);
        if !witness.order.is_empty() {
            let lines: Vec<_> = witness.order.iter().map(|(l, w)| format!("{l}: {w}")).collect();
            hanging(&mut out, "  on a set with: ", &lines.join(", "), look.width);
        }
    }
    if let Some(left) = &finding.margin {
        let size = format!("{} ({:.1})", percent(&left.axis.abs()), Micros(left.micros.0.abs()));
        match left.axis.signum() {
            -1 => hanging(&mut out, "  off by: ", &size, look.width),
            0 => hanging(&mut out, "  off by: ", "nothing, but it touches", look.width),
            _ => hanging(&mut out, "  left over: ", &size, look.width),
        }
    }
    tolerances(&mut out, finding, look);
    if let Some(estimate) = finding.estimate.as_ref().filter(|_| !finding.budget.is_empty()) {
        match chance(estimate) {
            Some(words) => hanging(&mut out, "  estimate, not a verdict: ", &words, look.width),
            None => hanging(
                &mut out,
                "  how often: ",
                "every time, even if every tolerance were nought",
                look.width,
            ),
        }
    }
    if finding.outcome == Outcome::NotJudged {
        for decides in missing::decides(finding) {
            hanging(&mut out, "  decided by: ", &decides, look.width);
        }
        for missing in &finding.missing {
            hanging(&mut out, "  to find out: ", &missing.bench, look.width);
        }
    }
    for help in &finding.help {
        hanging(&mut out, "  help: ", help, look.width);
    }
    out.push('\n');
    out
}

/// `tank: blow held fully, nothing else touched: output +71 %, 1784 us`
fn witness_words(witness: &Witness) -> String {
    let (output, pulse) = (signed_percent(&witness.output), &witness.pulse);
    format!("{}: output {output}, {pulse:.1}", witness.words)
}

fn tolerances(out: &mut String, finding: &Finding, look: Look) {
    if !finding.budget.is_empty() {
        hanging(out, "  tolerances: ", &budget(&finding.budget), look.width);
    }
}

/// What is accepted needs no excerpt: it has been looked at. The reason stays in view.
fn accepted_line(report: &FileReport, finding: &Finding, look: Look) -> String {
    let line = report.place(&finding.primary.0).line;
    let because = finding.accepted.as_deref().unwrap_or_default();
    let what = format!("{} at {}, {} (line {line}): {because}", finding.rule, finding.about, finding.state);
    let mut out = String::new();
    hanging(&mut out, "accepted: ", &what, look.width);
    out
}

fn proved_line(finding: &Finding, look: Look) -> String {
    let mut line = finding.message.clone();
    if let Some(left) = &finding.margin {
        let _ = write!(line, ": margin {}", margin(left));
    }
    let _ = write!(line, " ({} at {}, {})", finding.rule, finding.about, finding.state);
    let mut out = String::new();
    hanging(&mut out, &format!("{}: ", verdict(finding)), &line, look.width);
    out
}

fn closing_line(report: &FileReport) -> String {
    let name = &visible(&report.name);
    match report.status() {
        Status::Unreadable => {
            let count = counted(report.mistakes.len(), "mistake", "mistakes");
            let first = report.mistakes.iter().find(|m| !m.labels.is_empty());
            let at = first.map(|m| FilePlace::of_mistake(report.source.as_ref(), m).line);
            let at = at.map_or(String::new(), |line| format!("{}{line}", first_at(report.mistakes.len())));
            format!("{name}: not checked, it could not be read: {count}{at}")
        }
        Status::Findings => {
            let (errors, warnings) = (report.count(Severity::Error), report.count(Severity::Warning));
            let mut counts = Vec::new();
            if errors > 0 {
                counts.push(counted(errors, "error", "errors"));
            }
            if warnings > 0 {
                counts.push(counted(warnings, "warning", "warnings"));
            }
            let line = told::worst_first(report).first().map_or(1, |f| report.place(&f.primary.0).line);
            let accepted = accepted_count(report);
            format!("{} in {name}{}{line}{accepted}", counts.join(", "), first_at(errors + warnings))
        }
        Status::NotJudged => {
            format!(
                "{name}: nothing is known to be wrong, but not all could be judged{}",
                accepted_count(report)
            )
        }
        Status::Clean => {
            let mut line = format!(
                "{name}: nothing found; {}",
                report.counts(|count| counted(count, "check", "checks"))
            );
            let least = report
                .proved()
                .filter_map(|f| f.margin.as_ref().map(|m| (m, &f.about)))
                .min_by(|(a, _), (b, _)| a.axis.cmp(&b.axis));
            if let Some((left, about)) = least {
                let _ = write!(line, ", least margin {} at {about}", margin(left));
            }
            if let Some(rests) = rested(report.proved()) {
                let _ = write!(line, "; {rests}");
            }
            line.push_str(&accepted_count(report));
            line
        }
    }
}

/// `67 proved, 9 not judged; `--all` lists them`
fn not_judged_line(report: &FileReport) -> String {
    let open = report.not_judged().count();
    format!("{}, {open} not judged; `--all` lists them\n", report.counts(|count| count.to_string()))
}

/// Accepted findings are in no count of mistakes, but they are never passed over in silence.
fn accepted_count(report: &FileReport) -> String {
    match report.accepted().count() {
        0 => String::new(),
        count => format!("; {count} accepted"),
    }
}

fn first_at(count: usize) -> &'static str {
    if count == 1 { ", at line " } else { "; begin at line " }
}
