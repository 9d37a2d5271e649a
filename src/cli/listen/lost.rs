//! A recording over switching off: when the receiver noticed, what it does, what the unit does and how long.

use super::On;
use super::matched::exact;
use super::tell::{micros, seconds};
use crate::cli::args::Listen;
use crate::cli::outcome::Failure;
use crate::setup::quantity::Seconds;
use crate::setup::{Exact, OnLoss, Others, Setup};
use lidcard_listen::{Heard, Kind, Ps, SECOND, Span};

/// When it begins.
pub(super) struct Begins {
    /// From here on the receiver does what it does on loss, as far as it shows; without a change the moment of
    /// switching off.
    pub(super) at: Ps,
    /// When the transmitter was switched off, where a line or a time says so.
    pub(super) off_at: Option<Ps>,
}

/// What came of it.
pub(super) struct Lost {
    /// What is told, a line each.
    pub(super) told: Vec<String>,
    /// Lines for the boat file.
    pub(super) lines: Vec<String>,
    pub(super) agrees: bool,
}

/// When the signal was lost; nothing where the recording does not show it.
///
/// # Errors
/// When the marker is no line and no time.
pub(super) fn begins(args: &Listen, heard: &Heard, on: &[On]) -> Result<Option<Begins>, Failure> {
    let off_at = args.off_at.as_ref().map(|text| marker(text, heard)).transpose()?;
    // A channel that falls silent shows it; with a marker also one that goes elsewhere after it.
    let silent = on.iter().flat_map(|one| one.stream.silent.iter().map(|s| s[0] + one.stream.frame));
    let silent = silent.filter(|at| off_at.is_none_or(|off| *at >= off)).min();
    let moved = off_at.and_then(|off| {
        let begun = on.iter().flat_map(|one| one.stream.steady.iter().map(|span| span.from));
        begun.filter(|from| *from > off).min()
    });
    let at = [silent, moved].into_iter().flatten().min().or(off_at);
    Ok(at.map(|at| Begins { at, off_at }))
}

/// The first edge of a line, or seconds.
fn marker(text: &str, heard: &Heard) -> Result<Ps, Failure> {
    if let Some(line) = heard.lines.iter().find(|line| line.name == text) {
        return line
            .first_edge
            .ok_or_else(|| Failure(format!("line `{text}` never changes: it marks no moment")));
    }
    let number = text.strip_suffix('s').unwrap_or(text).trim();
    let at = Exact::from_decimal(number).filter(|at| at.signum() >= 0);
    let ps = at.and_then(|at| (at * Exact::int(SECOND as i64)).floor()).and_then(|ps| u64::try_from(ps).ok());
    ps.filter(|ps| *ps <= heard.length).ok_or_else(|| {
        let known: Vec<&str> = heard.lines.iter().map(|line| line.name.as_str()).collect();
        Failure(format!(
            "`{text}` is neither a line nor a moment of the recording: {} or such as 12.5s",
            known.join(", ")
        ))
    })
}

/// What a channel does from then on.
enum Does {
    NoPulses,
    Holds,
    Sends(Span),
}

pub(super) fn heard(setup: &Setup, heard: &Heard, on: &[On], begins: Option<&Begins>) -> Lost {
    let mut lost = Lost { told: Vec::new(), lines: Vec::new(), agrees: true };
    let Some(begins) = begins else {
        lost.told.push(
            "Nothing in it shows when the signal was lost: no channel falls silent. Record a line that is switched \
             with the transmitter and name it, `--off-at LINE`, or tell the second."
                .to_owned(),
        );
        lost.agrees = false;
        return lost;
    };
    let unit = setup.fail_safe.as_ref();
    let behind = |one: &&On| unit.is_some_and(|unit| unit.channels.contains(&one.channel));
    // Of what lies behind the unit it is the unit that shows, not the receiver.
    let (of_unit, of_receiver): (Vec<&On>, Vec<&On>) = on.iter().partition(behind);
    receiver(setup, &mut lost, begins, &of_receiver);
    stages(setup, heard, &mut lost, begins, &of_unit);
    let noisy = heard.lines.iter().filter(|line| line.kind == Kind::Noise);
    for line in noisy {
        lost.told.push(format!("line {} is noise from end to end", line.name));
    }
    lost
}

fn receiver(setup: &Setup, lost: &mut Lost, begins: &Begins, on: &[&On]) {
    let mut words = Vec::new();
    for one in on {
        let number = setup.channels[one.channel].number;
        let does = does(one, begins.at);
        let word = match &does {
            Does::NoPulses => "no pulses".to_owned(),
            Does::Holds => "hold".to_owned(),
            Does::Sends(span) => format!("{} us", micros(span.mean())),
        };
        let agrees = as_said(setup, one, &does);
        lost.agrees &= agrees;
        let told = if agrees { "as the file says" } else { "NOT as the file says" };
        lost.told.push(format!("channel {number}: {word}; {told}"));
        words.push((number, word));
    }
    let mut parts = Vec::new();
    // The file has one word for all channels that no preset is given for, and none for what was not heard.
    let (presets, mut others): (Vec<_>, Vec<_>) = words.iter().partition(|(_, word)| word.ends_with("us"));
    let presets: Vec<String> = presets.iter().map(|(number, word)| format!("{number}: {word}")).collect();
    others.dedup_by(|(_, a), (_, b)| a == b);
    match (&presets[..], &others[..]) {
        ([], []) => {}
        ([], [(_, word)]) => parts.push(format!("on_loss: {word}")),
        (_, [_, _, ..]) => {
            lost.told.push(
                "some channels hold and others are silent: no `on_loss` of the file says so. Read them once more"
                    .to_owned(),
            );
            lost.agrees = false;
        }
        (presets, others) => {
            let others = others.iter().map(|(_, word)| format!("others: {word}"));
            let all: Vec<String> = presets.iter().cloned().chain(others).collect();
            parts.push(format!("on_loss: {{{}}}", all.join(", ")));
        }
    }
    let frame = on.iter().map(|one| one.stream.frame).max().unwrap_or(0);
    match begins.off_at {
        Some(off_at) if begins.at > off_at => {
            let after = begins.at - off_at;
            let agrees = setup.receiver.after.as_ref().map(|said| near(said, after, frame));
            tell_time(lost, "the receiver noticed after", after, frame, agrees);
            parts.push(format!("after: {} s", seconds(after)));
        }
        _ => lost.told.push(
            "how long the receiver took to notice stays open: nothing marks the moment of switching off"
                .to_owned(),
        ),
    }
    if !parts.is_empty() {
        lost.lines.push(format!("receiver: {{{}}}", parts.join(", ")));
    }
}

/// Whether that is what the file says of the channel.
fn as_said(setup: &Setup, one: &On, does: &Does) -> bool {
    let off = &setup.transmitter.pulse.accuracy.0 + Exact::ONE;
    match (&setup.receiver.on_loss, does) {
        (OnLoss::NoPulses, does) => matches!(does, Does::NoPulses),
        (OnLoss::Hold, does) => matches!(does, Does::Holds),
        (OnLoss::Noise, _) => false,
        (OnLoss::Preset { values, others, .. }, does) => {
            let preset = values.iter().find(|(channel, _)| *channel == one.channel);
            match (preset, does) {
                (Some((_, at)), Does::Sends(span)) => {
                    (setup.axis.pulse_at(at).0 - exact(span.mean())).abs() <= off
                }
                (None, Does::NoPulses) => *others == Others::NoPulses,
                (None, Does::Holds) => *others == Others::Hold,
                _ => false,
            }
        }
    }
}

/// What a channel does once the signal is lost.
fn does(one: &On, at: Ps) -> Does {
    let silent = one.stream.silent.iter().any(|s| s[0] + 2 * one.stream.frame >= at);
    let later = one.stream.steady.iter().find(|span| span.from >= at);
    match later {
        _ if silent => Does::NoPulses,
        Some(span) => Does::Sends(span.clone()),
        None => Does::Holds,
    }
}

/// What the unit does, stage by stage.
fn stages(setup: &Setup, heard: &Heard, lost: &mut Lost, begins: &Begins, on: &[&On]) {
    let Some(unit) = setup.fail_safe.as_ref().filter(|_| !on.is_empty()) else { return };
    let frame = on.iter().map(|one| one.stream.frame).max().unwrap_or(0);
    // A stage begins where a channel begins to be steady elsewhere; of several channels within two frames it is one.
    let mut starts: Vec<Ps> = on
        .iter()
        .flat_map(|one| one.stream.steady.iter().filter(|span| span.from >= begins.at).map(|span| span.from))
        .collect();
    starts.sort_unstable();
    starts.dedup_by(|later, first| *later - *first <= 2 * frame);
    let Some(first) = starts.first() else {
        lost.told.push("the unit does nothing in this recording".to_owned());
        lost.agrees = false;
        return;
    };
    let mut parts = Vec::new();
    // With the receiver's own channels silent the beginning is theirs; else its own silence has to show it.
    let wait = first - begins.at;
    let agrees = unit.wait.as_ref().map(|said| near(said, wait, 2 * frame));
    tell_time(lost, "the unit waits", wait, 2 * frame, agrees);
    parts.push(format!("wait: {} s", seconds(wait)));
    let mut all = Vec::new();
    for (n, start) in starts.iter().enumerate() {
        let end = starts.get(n + 1).copied();
        let mut set = Vec::new();
        for one in on {
            let number = setup.channels[one.channel].number;
            let within = |span: &&Span| span.from <= start + 2 * frame && span.to > start + 2 * frame;
            let Some(span) = one.stream.steady.iter().rev().find(within) else { continue };
            set.push(format!("{number}: {} us", micros(span.mean())));
            let said = unit.stages.get(n).and_then(|stage| stage.set.iter().find(|(c, _)| *c == one.channel));
            let Some((_, at)) = said else { continue };
            let accuracy = unit.accuracy.as_ref().unwrap_or(&setup.transmitter.pulse.accuracy);
            let own = exact(2 * heard.sample) + exact((span.most - span.least) / 2);
            let off = &accuracy.0 + &own;
            let expected = setup.axis.pulse_at(at).0;
            let by = (&expected - exact(span.mean())).abs();
            let agrees = by <= off;
            lost.agrees &= agrees;
            lost.told.push(format!(
                "stage {}, channel {number}: {} us ± {}; the file has {} us ± {}: {}",
                n + 1,
                micros(span.mean()),
                own.to_decimal(1),
                expected.to_decimal(1),
                accuracy.0.to_decimal(1),
                if agrees { "agrees" } else { "does NOT agree" }
            ));
        }
        match end {
            Some(end) => {
                let lasts = end - start;
                let said = unit.stages.get(n).and_then(|stage| stage.lasts.as_ref());
                let agrees = said.map(|said| near(said, lasts, 2 * frame));
                tell_time(lost, &format!("stage {} lasts", n + 1), lasts, 2 * frame, agrees);
                all.push(format!("{{lasts: {} s, set: {{{}}}}}", seconds(lasts), set.join(", ")));
            }
            None => all.push(format!("{{set: {{{}}}}}", set.join(", "))),
        }
    }
    if starts.len() != unit.stages.len() {
        lost.agrees = false;
        lost.told.push(format!("{} stages were heard, the file has {}", starts.len(), unit.stages.len()));
    }
    parts.push(format!("stages: [{}]", all.join(", ")));
    lost.lines.push(format!("fail_safe: {{{}}}", parts.join(", ")));
}

fn near(said: &Seconds, heard: Ps, off: Ps) -> bool {
    // A twentieth is what a unit's own time is off (common practice, no source).
    let allowed = exact(off) / Exact::int(1_000_000) + &said.0 / Exact::int(20);
    (&said.0 - exact(heard) / Exact::int(1_000_000)).abs() <= allowed
}

fn tell_time(lost: &mut Lost, what: &str, time: Ps, off: Ps, agrees: Option<bool>) {
    lost.agrees &= agrees != Some(false);
    let word = match agrees {
        Some(true) => "as the file says",
        Some(false) => "NOT as the file says",
        None => "the file says nothing of it",
    };
    lost.told.push(format!("{what} {} s ± {} s; {word}", seconds(time), seconds(off)));
}
