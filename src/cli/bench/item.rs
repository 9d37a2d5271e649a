//! The tests of the sheet as steps: one thing to read or to look at, one after the other.

use crate::bench::judge::{self, Agrees, Room, Safe, Verdict};
use crate::bench::premises::Premises;
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

    /// What it is called where it is listed: the record joins two sentences by a colon.
    pub(super) fn listed(&self) -> String {
        self.of.replacen(".: ", ". ", 1)
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
pub(super) struct Against<'a> {
    /// `us` or `s`.
    unit: &'static str,
    band: [Exact; 2],
    off: Exact,
    room: Rooms<'a>,
    /// What several readings prove, in words, and where they say that the point lies.
    proves: Option<Proves>,
    /// It is a point of which too little was read to prove anything.
    few: bool,
}

/// What has room for a reading.
enum Rooms<'a> {
    /// Nothing that was proved.
    Nothing,
    /// What a pulse leaves.
    Pulse(&'a Premises<'a>, &'a Pulse),
    /// What a point of a function leaves.
    Point(&'a Premises<'a>, WorkRef, PointOf),
}

impl Rooms<'_> {
    /// The room by the answers of one engine.
    fn by(&self, engine: &Engine) -> Room {
        match self {
            Self::Nothing => Room::default(),
            Self::Pulse(_, pulse) => room::of_pulse(engine, pulse),
            Self::Point(_, work, of) => room::of_point(engine, *work, *of),
        }
    }

    /// The room in the set-up as read.
    fn read(&self) -> Room {
        match self {
            Self::Nothing => Room::default(),
            Self::Pulse(premises, _) | Self::Point(premises, ..) => self.by(premises.read),
        }
    }

    fn safe(&self, by: impl Fn(&Room) -> Safe) -> Safe {
        match self {
            Self::Nothing => by(&Room::default()),
            Self::Pulse(premises, _) | Self::Point(premises, ..) => {
                premises.safe(|engine| self.by(engine), by)
            }
        }
    }
}

impl<'a> Against<'a> {
    /// What a pulse is held against.
    pub(super) fn pulse(premises: &'a Premises<'a>, pulse: &'a Pulse, meter: &Exact) -> Self {
        let setup = premises.read.setup;
        let [low, high] = micros(setup, &pulse.output);
        let off = &pulse.off + meter + step(setup, &pulse.output[1]);
        let room = Rooms::Pulse(premises, pulse);
        Self { unit: "us", band: [low, high], off, room, proves: None, few: false }
    }

    /// What a stopwatch is held against: an estimate, so that nothing that was proved hangs on it.
    pub(super) fn seconds(rises: &Rises) -> Option<Self> {
        let band = rises.estimate.clone()?;
        let off = Exact::ratio(rises::BY_HAND, 100);
        Some(Self { unit: "s", band, off, room: Rooms::Nothing, proves: None, few: false })
    }

    /// What the readings of a point are held against.
    pub(super) fn point(
        premises: &'a Premises<'a>,
        (work, of): (WorkRef, PointOf),
        read: &[(String, Exact)],
        meter: &Exact,
    ) -> Option<Self> {
        let setup = premises.read.setup;
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
        let few = read.len() < lidcard_spread::FEWEST;
        Some(Self { unit: "us", band, off, room: Rooms::Point(premises, work, of), proves, few })
    }

    /// Judges readings in microseconds; of several the worst.
    pub(super) fn judge(&self, read: &[(String, Exact)], meter: &Exact) -> Verdict {
        let worst = |a: Agrees, b: Agrees| match (&a, &b) {
            (Agrees::No(x), Agrees::No(y)) if y > x => b,
            (Agrees::No(_), _) => a,
            _ => b,
        };
        let agrees = read.iter().map(|(_, us)| judge::agrees(us, &self.band, &self.off));
        // Where the readings prove something of all that follow, that is what has to be safe.
        let judged: Vec<&Exact> = match &self.proves {
            Some(proved) => proved.ends.iter().collect(),
            None => read.iter().map(|(_, us)| us).collect(),
        };
        let all = |room: &Room| {
            let each = judged.iter().map(|us| judge::safe(us, &self.band, meter, room));
            each.reduce(judge::worse).unwrap_or(Safe::NothingHangs)
        };
        // What was read says nothing of the next.
        let safe = match self.room.safe(all) {
            Safe::Yes if self.few => Safe::CannotTell,
            safe => safe,
        };
        Verdict { agrees: agrees.reduce(worst).unwrap_or(Agrees::Yes), safe }
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
        let room = self.room.read();
        let room = self.room_of(&room, read).map_or_else(String::new, |(left, who)| {
            format!("; {who} has {} left from what the file says", amount(left))
        });
        lines.push(match &verdict.safe {
            Safe::Yes => format!("safe: yes{room}"),
            Safe::No => format!("safe: NO{room}"),
            Safe::CannotTell if self.few => {
                let fewest = lidcard_spread::FEWEST;
                format!("safe: cannot be told of fewer than {fewest} readings: they prove nothing of the next; type all of \
                         them in one line")
            }
            Safe::CannotTell => format!("safe: cannot be told with this meter{room}"),
            Safe::NotJudged(keys) => format!("safe: not judged, the file lacks {}", keys.join(", ")),
            Safe::NothingHangs => "safe: nothing that was proved hangs on it".to_owned(),
        });
        lines
    }

    /// What has least room, on the side to which what was read lies off; on either where it lies in the band.
    fn room_of<'r>(&self, room: &'r Room, read: &[(String, Exact)]) -> Option<&'r (Exact, String)> {
        let [low, high] = &self.band;
        let shorter = read.iter().any(|(_, at)| at < low);
        let longer = read.iter().any(|(_, at)| at > high);
        let sides = [(&room.shorter, shorter || !longer), (&room.longer, longer || !shorter)];
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
