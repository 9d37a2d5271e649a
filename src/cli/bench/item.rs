//! The tests of the sheet as steps: one thing to read or to look at, one after the other.

use crate::bench::judge::{self, Agrees, Room, Safe, Verdict};
use crate::bench::proves::{self, Proves};
use crate::bench::record::named;
use crate::bench::rests::{self, Rests, Step};
use crate::bench::room;
use crate::document::rises::{self, Rises};
use crate::document::sheet::{Being, Gate, PointOf, Pulse, Reads, Test};
use crate::question::Engine;
use crate::setup::canonical::Line;
use crate::setup::{Exact, Setup, WorkRef};

/// One step.
pub(super) struct Item<'a> {
    /// The test it belongs to.
    pub(super) test: &'a Test,
    /// What the record calls it.
    pub(super) of: String,
    /// What is read, or whether something is seen.
    pub(super) reads: Read<'a>,
    /// What it rests on.
    pub(super) rests: Rests,
}

/// What a step reads.
pub(super) enum Read<'a> {
    /// Yes or no.
    Seen,
    /// One pulse, perhaps several times.
    Pulse(&'a Pulse),
    /// A point that is crept up to, several times, in this state of her.
    Point(WorkRef, PointOf, Being),
    /// A stopwatch, several times.
    Seconds(&'a Rises),
}

/// All steps in the order of the sheet. Where a pulse is read something is looked at as well.
pub(super) fn all<'a>(tests: &'a [Test], setup: &Setup, said: &[Line]) -> Vec<Item<'a>> {
    let mut items = Vec::new();
    for test in tests {
        let beside: &[Pulse] = if let Reads::Pulses(pulses) = &test.reads { pulses } else { &[] };
        let mut add = |of: String, reads| {
            let step = match &reads {
                Read::Seen => Step::Seen(beside),
                Read::Pulse(pulse) => Step::Pulse(pulse),
                Read::Point(work, ..) => Step::Point(*work),
                Read::Seconds(_) => Step::Seen(&[]),
            };
            let rests = rests::of(setup, said, test, step);
            items.push(Item { test, of, reads, rests });
        };
        match &test.reads {
            // What is done several times is told apart by what is seen.
            Reads::Seen if tests.iter().filter(|other| other.what == test.what).count() > 1 => {
                add(format!("{}: {}", test.what, test.see), Read::Seen);
            }
            Reads::Seen => add(test.what.clone(), Read::Seen),
            Reads::Pulses(pulses) => {
                for pulse in pulses {
                    add(pulse.name.clone(), Read::Pulse(pulse));
                }
                add(format!("{}: {}", test.what, test.see), Read::Seen);
            }
            Reads::Point(work, of, being) => {
                let name = format!("{} {}", setup.work_name(*work), word(*of));
                add(named(&name, being.word()), Read::Point(*work, *of, *being));
            }
            Reads::Seconds(rises) => add(rises::NAME.to_owned(), Read::Seconds(rises)),
        }
    }
    items
}

/// The key of the boat file that a point stands under.
pub(super) fn word(of: PointOf) -> &'static str {
    match of {
        PointOf::Engages => "clicks",
        PointOf::Complete => "full",
        PointOf::Ends => "to",
        PointOf::LetsGo => "releases",
    }
}

impl Item<'_> {
    /// What the record calls it, without the state in which she is, and that.
    pub(super) fn of_and_being(&self) -> (&str, &'static str) {
        let being = match self.reads {
            Read::Point(_, _, being) => being.word(),
            _ => "",
        };
        (self.of.strip_suffix(being).map_or(&*self.of, |of| of.trim_end_matches(", ")), being)
    }

    /// Seconds that it takes: looking, reading a pulse, creeping five times, diving three times (common practice, no
    /// source).
    pub(super) fn seconds(&self) -> u64 {
        match self.reads {
            Read::Seen => 20,
            Read::Pulse(_) => 30,
            Read::Point(..) => 150,
            Read::Seconds(_) => 600,
        }
    }

    /// What is expected of what is read or looked at here, a line each; of several pulses only of this one.
    pub(super) fn expected(&self) -> Vec<&str> {
        let all: Vec<&str> = self.test.expected.lines().collect();
        let pulses: &[Pulse] = if let Reads::Pulses(pulses) = &self.test.reads { pulses } else { &[] };
        match self.reads {
            Read::Pulse(pulse) if all.len() == pulses.len() => {
                let own = pulses.iter().position(|p| p.name == pulse.name);
                own.and_then(|n| all.get(n).copied()).into_iter().collect()
            }
            // Beside each box stands what goes into it; the pulses were read before.
            Read::Seen if !self.test.choice.is_empty() => {
                let boxes = self.test.choice.iter().map(String::as_str);
                boxes.filter(|text| pulses.is_empty() || !all.contains(text)).collect()
            }
            Read::Seen if !pulses.is_empty() => Vec::new(),
            _ => all,
        }
    }

    /// Whether nothing may go on before it is as it should be.
    pub(super) fn is_gate(&self) -> bool {
        self.test.gate == Gate::All
    }

    /// Whether all before it has to be done and as it should be.
    pub(super) fn waits(&self) -> bool {
        self.test.gate != Gate::None
    }
}

/// How far one pulse was off: the file's own band, what is allowed beside it, and the room.
pub(super) struct Against {
    /// `us` or `s`.
    unit: &'static str,
    band: [Exact; 2],
    off: Exact,
    room: Room,
    /// What several readings prove, in words, and where they say that the point lies.
    proves: Option<Proves>,
}

impl Against {
    /// What a pulse is held against.
    pub(super) fn pulse(engine: &Engine, pulse: &Pulse, meter: &Exact) -> Self {
        let [low, high] = micros(engine.setup, &pulse.output);
        let off = &pulse.off + meter + step(engine.setup, &pulse.output[1]);
        Self { unit: "us", band: [low, high], off, room: room::of_pulse(engine, pulse), proves: None }
    }

    /// What a stopwatch is held against: an estimate, so that nothing that was proved hangs on it.
    pub(super) fn seconds(rises: &Rises) -> Option<Self> {
        let band = rises.estimate.clone()?;
        let off = Exact::ratio(rises::BY_HAND, 100);
        Some(Self { unit: "s", band, off, room: Room::default(), proves: None })
    }

    /// What the readings of a point are held against.
    pub(super) fn point(
        engine: &Engine,
        (work, of): (WorkRef, PointOf),
        read: &[(String, Exact)],
        meter: &Exact,
    ) -> Option<Self> {
        let setup = engine.setup;
        let w = setup.work(work);
        let at = match of {
            PointOf::Engages => Some(&w.from),
            PointOf::Complete => w.full.as_ref(),
            PointOf::Ends => w.to.as_ref(),
            PointOf::LetsGo => w.releases.as_ref(),
        }?;
        let band = micros(setup, &[&at.value - &at.off, &at.value + &at.off]);
        let (accuracy, pulse) = setup.slack_parts(work.device, w.sign, false);
        let accuracy = width(setup, &(accuracy + pulse), w.sign);
        let off = accuracy + meter + step(setup, &at.value);
        let crept = if of == PointOf::LetsGo { -w.sign } else { w.sign };
        let proves = proves::of(setup, w, read, crept);
        Some(Self { unit: "us", band, off, room: room::of_point(engine, work, of), proves })
    }

    /// Judges readings in microseconds; of several the worst.
    pub(super) fn judge(&self, read: &[(String, Exact)], meter: &Exact) -> Verdict {
        let worst = |a: Agrees, b: Agrees| match (&a, &b) {
            (Agrees::No(x), Agrees::No(y)) if y > x => b,
            (Agrees::No(_), _) => a,
            _ => b,
        };
        let agrees = read.iter().map(|(_, us)| judge::agrees(us, &self.band, &self.off));
        let of = |us: &Exact| judge::safe(us, &self.band, meter, &self.room);
        // Where the readings prove something of all that follow, that is what has to be safe.
        let safe: Vec<Safe> = match &self.proves {
            Some(proved) => proved.ends.iter().map(of).collect(),
            None => read.iter().map(|(_, us)| of(us)).collect(),
        };
        Verdict {
            agrees: agrees.reduce(worst).unwrap_or(Agrees::Yes),
            safe: safe.into_iter().reduce(judge::worse).unwrap_or(Safe::NothingHangs),
        }
    }

    /// The verdict in words, a line each.
    pub(super) fn told(&self, read: &[(String, Exact)], verdict: &Verdict) -> Vec<String> {
        let amount = |value: &Exact| format!("{} {}", value.to_decimal(1), self.unit);
        let mut lines = Vec::new();
        let off = if self.unit == "s" { "eye and hand on a stopwatch" } else { "pulse, meter and step" };
        lines.push(match &verdict.agrees {
            Agrees::Yes => "as the file says: yes".to_owned(),
            Agrees::No(by) => {
                let (lies, may) = (amount(&(by + &self.off)), amount(&self.off));
                format!("as the file says: NO, {lies} off, and {off} explain no more than {may}")
            }
        });
        if let Some(Proves { words, ends }) = &self.proves {
            lines.push(format!(
                "these readings prove: {words}, {} to {}",
                amount(&ends[0]),
                amount(&ends[1])
            ));
        }
        let room = self.room_of(read).map_or_else(String::new, |(left, who)| {
            format!("; {who} has {} left from what the file says", amount(left))
        });
        lines.push(match verdict.safe {
            Safe::Yes => format!("safe: yes{room}"),
            Safe::No => format!("safe: NO{room}"),
            Safe::CannotTell => format!("safe: cannot be told with this meter{room}"),
            Safe::NothingHangs => "safe: nothing that was proved hangs on it".to_owned(),
        });
        lines
    }

    /// What has least room, on the side to which what was read lies off; on either where it lies in the band.
    fn room_of(&self, read: &[(String, Exact)]) -> Option<&(Exact, String)> {
        let [low, high] = &self.band;
        let shorter = read.iter().any(|(_, at)| at < low);
        let longer = read.iter().any(|(_, at)| at > high);
        let sides = [(&self.room.shorter, shorter || !longer), (&self.room.longer, longer || !shorter)];
        let all = sides.into_iter().filter(|(_, counts)| *counts).filter_map(|(room, _)| room.as_ref());
        all.min_by(|a, b| a.0.cmp(&b.0))
    }
}

fn micros(setup: &Setup, [low, high]: &[Exact; 2]) -> [Exact; 2] {
    [low, high].map(|at| setup.axis.pulse_at(at).0)
}

/// A part of the axis in microseconds, on one side of rest.
fn width(setup: &Setup, part: &Exact, sign: i32) -> Exact {
    part * setup.axis.span(sign)
}

fn step(setup: &Setup, at: &Exact) -> Exact {
    &setup.transmitter.step * setup.transmitter.pulse.scale.span(at.signum())
}
