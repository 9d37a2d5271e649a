//! `lidcard adopt`: readings of the bench go into the boat file, one question for each.

use super::args::{Adopt, Colour};
use super::bench::lines::Lines;
use super::bench::{beside, store};
use super::outcome::{Failure, Outcome};
use super::progress::during;
use super::{Streams, boat, check, read, solve};
use crate::bench::adopt::{Change, Proposals, proposals};
use crate::document::labels::Labels;
use crate::document::sheet;
use crate::finding::{Finding, Outcome as How, SafeEndpoints};
use crate::fingerprint::Code;
use crate::language;
use crate::question::Engine;
use crate::report::text::{hanging, margin, percent};
use crate::report::{FileReport, human};
use crate::rule;
use crate::setup::canonical::lines as said;
use crate::setup::{Setup, lower};
use crate::source::Source;

/// Shows each change with what it does, asks, and puts in what was said yes to.
pub(super) fn run(args: &Adopt, colour: Colour, streams: &mut Streams<'_>) -> Result<Outcome, Failure> {
    let look = streams.screen.look_of_stderr(colour);
    if args.file.is_stdin() {
        return Err(Failure("adopt needs a file to write to, not standard input".to_owned()));
    }
    let (source, setup) = match boat::load_one(&args.file, streams.stdin)? {
        Ok(loaded) => loaded,
        Err(report) => {
            streams.complain_drawn(&human::file(&report, look, false), look)?;
            return Ok(Outcome::Failed);
        }
    };
    let path = args.record.clone().unwrap_or_else(|| beside(&args.file));
    let Some((_, record)) = store::read(&path)? else {
        return Err(Failure(format!(
            "there is no record {}: `lidcard bench {}` makes one",
            path.display(),
            args.file
        )));
    };
    let code = Code::of(&source).to_string();
    let tests = {
        let engine = Engine::new(&setup);
        sheet::readings(&engine, &Labels::of(language::ALL[0].1).speaking_of(&setup))
    };
    let judge = || proposals(&source, &setup, &tests, &record, &code);
    let Proposals { changes, contradictions, left, notes } =
        during(streams.screen, "judging the readings", judge);
    if record.of_code(&code).next().is_none() {
        streams.say(format!("nothing was read of {} as it is now, code {code}\n", args.file))?;
        return Ok(Outcome::Clean);
    }
    let mut text = String::new();
    for told in &contradictions {
        hanging(&mut text, "contradicts the file: ", told, look.width);
    }
    if !contradictions.is_empty() {
        let why = "no figure that is offered takes these up: find out whether endpoint, reverse, wiring, `accuracy` or the \
                   file is wrong";
        hanging(&mut text, "  help: ", why, look.width);
    }
    for told in &left {
        hanging(&mut text, "not taken over: ", told, look.width);
    }
    for told in &notes {
        hanging(&mut text, "note: ", told, look.width);
    }
    streams.say(text)?;
    let mut lines = match &args.answers {
        None => Lines::Terminal,
        Some(path) => Lines::script(&read::text(path, read::LONGEST_ANSWERS, "file of answers")?),
    };
    let mut taken: Vec<&Change> = Vec::new();
    for change in &changes {
        if asked(change, &source, &taken, &mut lines, streams)? {
            taken.push(change);
        }
    }
    // What stays contradicted because somebody said no is still a finding.
    let open = changes.iter().any(|c| !c.why.is_empty() && !taken.iter().any(|t| std::ptr::eq(*t, c)));
    let found = if contradictions.is_empty() && !open { Outcome::Clean } else { Outcome::Found };
    if taken.is_empty() {
        streams.say(format!("{} stays as it is\n", args.file))?;
        return Ok(found);
    }
    let (text, fresh, _) = changed(&source, &taken)?;
    let backup = solve::put_text(args.file.path(), &source, &text, streams)?;
    let report = FileReport::checked(fresh.0, rule::check(&fresh.1));
    streams.say(format!(
        "\n{} written, code {}; as it was: {}\n",
        args.file,
        Code::of(&Source::from_text(&source.name, &text).map_err(|_| unread())?),
        backup.display()
    ))?;
    streams.say_drawn(&human::file(&report, look, false), look)?;
    Ok(match check::outcome(&report, false) {
        Outcome::Clean => found,
        bad => bad,
    })
}

/// One change: old and new, what each does to margins and windows, and whether to take it.
fn asked(
    change: &Change,
    source: &Source,
    taken: &[&Change],
    lines: &mut Lines,
    streams: &mut Streams<'_>,
) -> Result<bool, Failure> {
    let (_, (_, before), _) = changed(source, taken)?;
    let mut with: Vec<&Change> = taken.to_vec();
    with.push(change);
    let (_, (_, after), touched) = changed(source, &with)?;
    let name = &change.of;
    let mut text = format!("\n{name}\n");
    for why in &change.why {
        hanging(&mut text, "    ", why, streams.screen.width);
    }
    text.push_str(&format!("  now  {}\n  new  {}\n", change.old, change.new));
    if let Some(other) = touched.iter().find(|path| !belongs(path, &with)) {
        hanging(
            &mut text,
            "  not offered: ",
            &format!("it would change `{other}` as well"),
            streams.screen.width,
        );
        streams.say(text)?;
        return Ok(false);
    }
    let effects = during(streams.screen, "working out what it changes", || effects(name, &before, &after));
    for line in effects {
        hanging(&mut text, "    ", &line, streams.screen.width);
    }
    streams.say(text)?;
    loop {
        let Some(line) = lines.ask("  take it? yes or no", streams)? else { return Ok(false) };
        match line.trim() {
            "yes" | "y" => return Ok(true),
            "no" | "n" | "skip" => return Ok(false),
            _ => streams.say("  yes or no\n")?,
        }
    }
}

/// Whether a path of the file is one that these changes are about.
fn belongs(path: &str, changes: &[&Change]) -> bool {
    changes.iter().any(|change| {
        path.strip_prefix(&change.under).is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
    })
}

/// What was read of the changed text: it, its set-up, and the paths that say something else than before.
type Read = (String, (Source, Setup), Vec<String>);

fn changed(source: &Source, changes: &[&Change]) -> Result<Read, Failure> {
    let edits: Vec<_> = changes.iter().map(|change| change.edit.clone()).collect();
    let text = source.with(&edits);
    let fresh = Source::from_text(&source.name, &text).map_err(|_| unread())?;
    let setup = lower::lower(&fresh).map_err(|_| unread())?;
    let (old, new) = (said(&source.root), said(&fresh.root));
    let differ = |a: &[crate::setup::canonical::Line], b: &[crate::setup::canonical::Line]| {
        a.iter().filter(|line| !b.contains(line)).map(|line| line.path.clone()).collect::<Vec<_>>()
    };
    let touched = [differ(&old, &new), differ(&new, &old)].concat();
    Ok((text, (fresh, setup), touched))
}

fn unread() -> Failure {
    Failure(
        "nothing written: with these readings the file could not be read any more; put them in by hand"
            .to_owned(),
    )
}

/// Windows and margins that become others, the windows first: `window of 4/blow: 45 % to 65 %; then 43 % to 65 %`.
fn effects(name: &str, before: &Setup, after: &Setup) -> Vec<String> {
    let mut lines = Vec::new();
    let windows = |way: &SafeEndpoints| {
        let all: Vec<_> =
            way.windows.iter().map(|[low, high]| format!("{} to {}", percent(low), percent(high))).collect();
        if all.is_empty() { "none".to_owned() } else { all.join(", ") }
    };
    for (was, is) in rule::endpoints(before).iter().zip(&rule::endpoints(after)) {
        if windows(was) != windows(is) {
            lines.push(format!(
                "window of {}/{}: {}; then {}",
                is.channel,
                is.way,
                windows(was),
                windows(is)
            ));
        }
    }
    let (old, new) = (rule::check(before), rule::check(after));
    let (old, new) = (numbered(&old), numbered(&new));
    for (which, is) in &new {
        match old.iter().find(|(known, _)| known == which).map(|(_, was)| told(was)) {
            None => lines.push(format!("{}, {}: newly {}", is.rule, is.about, told(is))),
            Some(was) if was != told(is) => {
                lines.push(format!("{} at {}, {}: {was}; then {}", is.rule, is.about, is.state, told(is)));
            }
            Some(_) => {}
        }
    }
    for (which, was) in old.iter().filter(|(_, was)| was.outcome != How::Proved) {
        if !new.iter().any(|(known, _)| known == which) {
            lines.push(format!("{} at {}: no longer found", was.rule, was.about));
        }
    }
    if lines.is_empty() {
        lines.push(format!("no margin and no window of {name} changes"));
    }
    lines
}

/// Which of all findings one is: its rule, what it is about, when, and how many that share these come before it.
type Which<'a> = (&'static str, &'a str, &'a str, usize);

/// Findings in their order, told apart.
fn numbered(findings: &[Finding]) -> Vec<(Which<'_>, &Finding)> {
    let mut all: Vec<(Which<'_>, &Finding)> = Vec::new();
    for finding in findings {
        let (rule, about, state) = (finding.rule, finding.about.as_str(), finding.state.as_str());
        let before = all.iter().filter(|((r, a, s, _), _)| (*r, *a, *s) == (rule, about, state)).count();
        all.push(((rule, about, state, before), finding));
    }
    all
}

/// `NOT proved, margin 3 % (12 us)`
fn told(finding: &Finding) -> String {
    let how = if finding.outcome == How::Proved { "" } else { "NOT " };
    let left = finding.margin.as_ref().map_or_else(String::new, |left| format!(", margin {}", margin(left)));
    format!("{how}proved{left}")
}
