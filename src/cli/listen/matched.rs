//! Steady stretches of a channel against the pulses that the file expects of it.

use super::On;
use super::tell::micros;
use crate::bench::judge::{Agrees, Room, Safe, agrees, safe};
use crate::bench::premises::Premises;
use crate::bench::record::Test;
use crate::bench::room;
use crate::cli::args::Listen;
use crate::cli::outcome::Failure;
use crate::document::sheet::{At, Pulse};
use crate::question::Engine;
use crate::setup::{Exact, Setup};
use lidcard_listen::{Heard, Ps, Span};

/// One stretch and what it is.
pub(super) struct Found<'a> {
    pub(super) channel: u8,
    pub(super) from: String,
    pub(super) span: Span,
    /// What it can be off, picoseconds.
    pub(super) off: Ps,
    /// The test and the pulse that it is, or was said to be.
    pub(super) is: Option<(&'a str, &'a Pulse)>,
    /// The nearest, where it is none, and how far off.
    pub(super) nearest: Option<(&'a str, Exact)>,
    /// Several are expected there: which one nobody can tell from the pulse.
    pub(super) several: usize,
    pub(super) agrees: bool,
    /// Whether what was proved holds with it, and what has the least room; nobody can say of several.
    pub(super) safe: Safe,
    pub(super) room: Room,
}

impl Found<'_> {
    /// Whether nothing speaks against it. No recording is to blame for what the file lacks.
    pub(super) fn is_good(&self) -> bool {
        self.agrees && (self.safe.is_good() || matches!(self.safe, Safe::NotJudged(_)))
    }
}

/// A whole number of picoseconds in microseconds.
pub(super) fn exact(ps: Ps) -> Exact {
    Exact::ratio(i64::try_from(ps).unwrap_or(i64::MAX), 1_000_000)
}

/// The names in the order in which the hand went; none where nobody said.
///
/// # Errors
/// When the bench reads nothing under one of them.
pub(super) fn went<'w>(args: &'w Listen, pulses: &[(&str, &Pulse)]) -> Result<Vec<&'w str>, Failure> {
    let went =
        args.went.iter().flat_map(|went| went.split(';')).map(str::trim).filter(|name| !name.is_empty());
    let known = |name: &&str| pulses.iter().any(|(_, pulse)| pulse.at != At::Lost && pulse.name == *name);
    let all: Vec<&str> = went.collect();
    match all.iter().find(|name| !known(name)) {
        None => Ok(all),
        Some(name) => {
            let names: Vec<&str> =
                pulses.iter().filter(|(_, p)| p.at != At::Lost).map(|(_, p)| p.name.as_str()).collect();
            Err(Failure(format!("the bench reads no `{name}`: it reads {}", names.join("; "))))
        }
    }
}

/// Where more or fewer stretches were heard of a channel than were told: a line for each.
pub(super) fn counted_otherwise(setup: &Setup, on: &[On], found: &[Found], went: &[&str]) -> String {
    let mut text = String::new();
    for one in on {
        let number = setup.channels[one.channel].number;
        let told = went.iter().filter(|name| name.starts_with(&format!("{number}/"))).count();
        let heard = found.iter().filter(|found| found.channel == number).count();
        if told > 0 && told != heard {
            text.push_str(&format!("  channel {number}: {heard} steady stretches, and {told} were told\n"));
        }
    }
    text
}

/// Every steady stretch before the signal is lost.
pub(super) fn all<'a>(
    premises: &Premises,
    heard: &Heard,
    on: &[On],
    pulses: &[(&'a str, &'a Pulse)],
    (clock, went): (u64, &[&str]),
    until: Option<Ps>,
) -> Vec<Found<'a>> {
    let setup = premises.read.setup;
    let mut all = Vec::new();
    for one in on {
        let number = setup.channels[one.channel].number;
        let own: Vec<(&str, &Pulse)> =
            pulses.iter().filter(|(_, p)| p.channel == one.channel && p.at != At::Lost).copied().collect();
        let prefix = format!("{number}/");
        let mut names = went.iter().filter(|name| name.starts_with(&prefix));
        let spans = one.stream.steady.iter().filter(|span| until.is_none_or(|until| span.from < until));
        for span in spans {
            let off = heard.off(span.most, clock) + (span.most - span.least) / 2;
            let read = exact(span.mean());
            let beyond = |pulse: &Pulse| {
                let band = pulse.output.each_ref().map(|at| setup.axis.pulse_at(at).0);
                match agrees(&read, &band, &(&pulse.off + exact(off))) {
                    Agrees::Yes => Exact::ZERO,
                    Agrees::No(by) => by,
                }
            };
            let fits: Vec<(&str, &Pulse)> =
                own.iter().filter(|(_, p)| beyond(p).is_zero()).copied().collect();
            let nearest = own.iter().map(|(_, p)| (p.name.as_str(), beyond(p))).min_by(|a, b| a.1.cmp(&b.1));
            // In the order in which the hand went, where that is said; else by what it is.
            let said = names.next().and_then(|name| own.iter().find(|(_, p)| p.name == **name)).copied();
            let is = said.or_else(|| fits.first().copied());
            let good = is.is_some_and(|(_, pulse)| beyond(pulse).is_zero());
            let nearest = match said {
                Some((_, pulse)) => Some((pulse.name.as_str(), beyond(pulse))),
                None => nearest,
            };
            let several = if said.is_some() { 1 } else { fits.len() };
            // The recording is the meter here: what agrees with the file may still leave too little.
            let (room, safe) = match is.filter(|_| several == 1) {
                Some((_, pulse)) => {
                    let band = pulse.output.each_ref().map(|at| setup.axis.pulse_at(at).0);
                    let room = |engine: &Engine| room::of_pulse(engine, pulse);
                    let safe = premises.safe(room, |room| safe(&read, &band, &exact(off), room));
                    (room(premises.read), safe)
                }
                None => (Room::default(), Safe::NothingHangs),
            };
            all.push(Found {
                channel: number,
                from: one.from.clone(),
                span: span.clone(),
                off,
                is,
                nearest: nearest.filter(|_| !good),
                several,
                agrees: good,
                safe,
                room,
            });
        }
    }
    all
}

/// What goes into the record: of each pulse that is known for what it is, each stretch.
pub(super) fn entries(found: &[Found]) -> Vec<Test> {
    let known = found.iter().filter(|one| one.several == 1);
    let entry = |one: &Found| {
        let (number, pulse) = one.is?;
        Some(Test {
            test: number.to_owned(),
            of: pulse.name.clone(),
            read: vec![format!("{} us", micros(one.span.mean()))],
            agrees: if one.agrees { "yes" } else { "no" }.to_owned(),
            safe: one.safe.word().to_owned(),
            lacks: one.safe.lacks(),
            ..Test::default()
        })
    };
    known.filter_map(entry).collect()
}
