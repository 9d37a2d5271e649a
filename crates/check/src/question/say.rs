//! Turns answers into findings, and stick positions into the builder's words.

use super::answer::{Answered, Seen};
use super::asks::Asks;
use super::engine::Engine;
use crate::chain::order::LINES;
use crate::finding::{
    BROKEN, Finding, Gap, Harm, Margin, Missing, Outcome, Severity, StateId, Subject, Witness,
};
use crate::proof::ChannelCase;
use crate::proof::cases::Influence;
use crate::proof::zone::Found;
use crate::setup::quantity::Micros;
use crate::setup::{ChannelId, Control, Exact, Path, Setup, Side, WorkRef};

/// `64 %`, with at most two digits behind the point.
pub fn percent(value: &Exact) -> String {
    format!("{} %", (value * Exact::int(100)).to_decimal(2))
}

/// `+64 %` or `-12.5 %`.
pub fn signed_percent(value: &Exact) -> String {
    let sign = if value.signum() > 0 { "+" } else { "" };
    format!("{sign}{}", percent(value))
}

/// `1664 us`
pub fn pulse(setup: &Setup, position: &Exact) -> String {
    format!("{} us", setup.axis.pulse_at(position).0.to_decimal(1))
}

/// A distance on the side of `sign`.
pub fn margin(setup: &Setup, axis: &Exact, sign: i32) -> Margin {
    Margin { axis: axis.clone(), micros: Micros(axis * setup.axis.span(sign)) }
}

/// A finding in the making.
pub struct Draft {
    /// The finding, so far as it is known.
    pub finding: Finding,
    /// What is said to be wrong instead of the sentence of the question, where only the answer tells.
    pub instead: Option<String>,
    /// Whether the sentence says it all, wherever a part of it was seen.
    plain: bool,
}

impl Draft {
    /// Starts one.
    pub fn new(rule: &'static str, severity: Severity, subject: Subject, when: StateId) -> Self {
        Self {
            finding: Finding {
                rule,
                severity,
                harm: Harm::Untidy,
                outcome: Outcome::Proved,
                subject,
                when,
                about: String::new(),
                state: String::new(),
                accepted: None,
                message: String::new(),
                sentence: BROKEN,
                gaps: Vec::new(),
                primary: (Path::default(), String::new()),
                others: Vec::new(),
                help: Vec::new(),
                margin: None,
                budget: Vec::new(),
                estimate: None,
                by_estimate: false,
                rests: None,
                witness: None,
                missing: Vec::new(),
                hurts: false,
            },
            instead: None,
            plain: false,
        }
    }

    /// Says no more than its sentence: of what is put together from several answers one place shows nothing.
    #[must_use]
    pub fn plainly(mut self) -> Self {
        self.plain = true;
        self
    }

    /// The value that is wrong, where only the answer tells.
    pub fn put_at(&mut self, path: Path, label: impl Into<String>) {
        self.finding.primary = (path, label.into());
    }

    /// Another place to show, likewise.
    pub fn put_also(&mut self, path: Path, label: impl Into<String>) {
        self.finding.others.push((path, label.into()));
    }

    /// The value that is wrong and what to say at it.
    #[must_use]
    pub fn at(mut self, path: Path, label: impl Into<String>) -> Self {
        self.finding.primary = (path, label.into());
        self
    }

    /// Another place to show.
    #[must_use]
    pub fn and_at(mut self, path: Path, label: impl Into<String>) -> Self {
        self.finding.others.push((path, label.into()));
        self
    }

    /// Which sentence of the rule the documents say, if it is broken and there are several.
    #[must_use]
    pub fn sentence(mut self, name: &'static str) -> Self {
        self.finding.sentence = name;
        self
    }

    /// What stands in a gap of that sentence.
    #[must_use]
    pub fn gap(mut self, name: &'static str, gap: Gap) -> Self {
        self.finding.gaps.push((name, gap));
        self
    }

    /// The same for a name from the boat file.
    #[must_use]
    pub fn name(self, gap: &'static str, name: &str) -> Self {
        self.gap(gap, Gap::Name(name.to_owned()))
    }

    /// The same for a thing of the boat.
    #[must_use]
    pub fn place(self, gap: &'static str, place: Subject) -> Self {
        self.gap(gap, Gap::Place(place))
    }

    /// What to do, if it is broken.
    #[must_use]
    pub fn help(mut self, line: impl Into<String>) -> Self {
        self.finding.help.push(line.into());
        self
    }

    /// Several lines of it.
    #[must_use]
    pub fn helps(mut self, lines: impl IntoIterator<Item = String>) -> Self {
        self.finding.help.extend(lines);
        self
    }

    /// Closes it with an answer: `broken` and `holds` are the two sentences.
    pub fn close(
        mut self,
        engine: &Engine,
        asks: &Asks,
        answered: &Answered,
        broken: &str,
        holds: &str,
    ) -> Finding {
        let setup = engine.setup;
        self.finding.margin = answered.margin.clone();
        self.finding.outcome = answered.outcome();
        self.finding.by_estimate = self.finding.outcome == Outcome::Proved && engine.holds_by_estimate(asks);
        self.finding.rests = super::rests::on(setup, asks);
        let seen = match &answered.seen {
            Seen::Here(_) if self.plain => &Seen::So,
            seen => seen,
        };
        match seen {
            Seen::Never => {
                self.finding.message = holds.to_string();
                self.finding.help.clear();
            }
            Seen::Here(found) if found.hand.positions.is_empty() => {
                self.finding.message = broken.to_string();
                // No stick has a part in it: the position itself is what there is to say.
                let there = format!(
                    "output there {}, {}",
                    signed_percent(&found.output),
                    pulse(setup, &found.output)
                );
                let label = &mut self.finding.primary.1;
                *label = format!("{label} ({there})");
            }
            Seen::Here(found) => {
                self.finding.message = broken.to_string();
                self.finding.witness = Some(witness(engine, found));
            }
            Seen::So => self.finding.message = broken.to_string(),
            Seen::Unsaid(missing) => {
                self.finding.message = format!("not judged whether {holds}");
                self.finding.help.clear();
                if let Some(first) = missing.first() {
                    self.finding.primary = (first.path.clone(), "nothing is said of it".to_owned());
                }
                self.finding.missing.clone_from(missing);
            }
            Seen::Unknown(why) => {
                self.finding.message = format!("cannot tell whether {broken}: {why}");
            }
        }
        if let (Outcome::Broken, Some(channel)) = (self.finding.outcome, answered.channel) {
            self.finding.help.extend(hangs_on(engine, channel, &answered.met_under));
        }
        super::budget::settle(engine, asks, answered, &mut self.finding);
        self.finding
    }

    /// Closes it as not judged, for want of what the file does not say.
    pub fn close_unsaid(mut self, missing: Vec<Missing>, holds: &str) -> Finding {
        self.finding.outcome = Outcome::NotJudged;
        self.finding.message = format!("not judged whether {holds}");
        self.finding.help.clear();
        self.finding.others.clear();
        if let Some(first) = missing.first() {
            self.finding.primary = (first.path.clone(), "nothing is said of it".to_owned());
        }
        self.finding.missing = missing;
        self.finding
    }

    /// Closes it as plainly broken or not, where there is no distance.
    pub fn close_plain(mut self, is_broken: bool, broken: &str, holds: &str) -> Finding {
        if is_broken {
            self.finding.outcome = Outcome::Broken;
            self.finding.message = broken.to_string();
        } else {
            self.finding.message = holds.to_string();
            self.finding.help.clear();
        }
        self.finding
    }
}

/// A place that was found, in the builder's words.
pub fn witness(engine: &Engine, found: &Found) -> Witness {
    let setup = engine.setup;
    let mut words = Vec::new();
    let (mut positions, mut trims, mut settings) = (Vec::new(), Vec::new(), Vec::new());
    let moved = Influence::on(setup, found.channel).controls;
    for (id, control) in setup.controls.iter().enumerate() {
        let (p, t) = (&found.hand.positions[id], &found.hand.trims[id]);
        let setting = found.settings.get(id).copied().filter(|_| !control.settings.is_empty());
        if let Some(setting) = setting {
            settings.push((control.name.clone(), control.settings[setting].clone()));
            words.extend(thrown(control, setting, p, moved.contains(&id)));
        } else if !p.is_zero() {
            let way = &control.ways[Side::of_sign(p.signum()).index()];
            let held = if p.abs() == Exact::ONE {
                format!("{way} held fully")
            } else {
                format!("{way} held at {}", percent(&p.abs()))
            };
            words.push(format!("{}: {held}", control.name));
        }
        if !p.is_zero() && (setting.is_none() || moved.contains(&id)) {
            positions.push((control.name.clone(), p.clone()));
        }
        if !t.is_zero() {
            let way = &control.ways[Side::of_sign(t.signum()).index()];
            words.push(format!("{} trim: {} towards {way}", control.name, percent(&t.abs())));
            trims.push((control.name.clone(), t.clone()));
        }
    }
    let words = if words.is_empty() {
        "nothing touched".to_string()
    } else {
        format!("{}, nothing else touched", words.join(", "))
    };
    let order = LINES
        .iter()
        .enumerate()
        .filter(|(index, _)| is_open(setup, *index) && matters(setup, found, *index))
        .map(|(index, line)| (line.key.to_string(), line.words[found.order.word_index(index)].to_string()))
        .collect();
    Witness {
        words,
        positions,
        trims,
        settings,
        order,
        output: found.output.clone(),
        pulse: setup.axis.pulse_at(&found.output),
    }
}

/// What a switch does in a witness; nothing where it stands as it does when nobody has thrown it.
fn thrown(control: &Control, setting: usize, at: &Exact, moves: bool) -> Option<String> {
    let (name, stands) = (&control.name, control.setting_position(setting));
    if !moves || *at == stands || control.settings.len() < 2 {
        return (setting != control.home).then(|| format!("{name}: {}", control.settings[setting]));
    }
    // Either of the two may still be in force, so the one that is comes first.
    let other = if *at > stands { setting + 1 } else { setting.saturating_sub(1) };
    let (from, to) = (&control.settings[setting], &control.settings[other.min(control.settings.len() - 1)]);
    Some(format!("{name}: while thrown from {from} to {to}"))
}

/// Whether the other word of a line of the order would give another output here.
fn matters(setup: &Setup, found: &Found, line: usize) -> bool {
    let other = found.order.with_other_word(line);
    ChannelCase::new(setup, found.channel, &other, &found.settings).output(&found.hand) != found.output
}

fn is_open(setup: &Setup, line: usize) -> bool {
    let o = &setup.transmitter.order;
    match line {
        0 => o.past_full_stick.is_none(),
        1 => o.endpoint.is_none(),
        2 => o.endpoint_side.is_none(),
        3 => o.trim.is_none(),
        4 => o.mix.is_none(),
        _ => o.sub_trim.is_none(),
    }
}

/// On which open line of `order` a broken answer hangs, from the orders under which it is broken, and the
/// test that finds out.
fn hangs_on(engine: &Engine, channel: ChannelId, broken: &[crate::chain::Order]) -> Option<String> {
    for (index, line) in LINES.iter().enumerate() {
        if !is_open(engine.setup, index) {
            continue;
        }
        let first = broken.first()?.word_index(index);
        let still_possible = engine.orders.iter().any(|o| o.word_index(index) != first);
        // A line that makes no difference to the channel stands at its first word throughout.
        if first == 0 && !differs(engine, channel, broken, index) {
            continue;
        }
        if still_possible && broken.iter().all(|o| o.word_index(index) == first) {
            return Some(format!(
                "this hangs on a line the file leaves open: it happens if `{}: {}`. To find out: {}; then write the line under transmitter.order",
                line.key, line.words[first], line.bench_test
            ));
        }
    }
    None
}

fn differs(engine: &Engine, channel: ChannelId, broken: &[crate::chain::Order], line: usize) -> bool {
    // Only orders that were told apart for this channel carry the other word; another channel's
    // orders may look the same and say nothing about it.
    let cases = &engine.cases(channel).cases;
    cases.iter().any(|c| broken.contains(&c.order)) && cases.iter().any(|c| c.order.word_index(line) == 1)
}

/// The path of a work.
pub fn work_path(setup: &Setup, work: WorkRef) -> Path {
    let device = &setup.devices[work.device];
    Path::of(["devices", &device.name, "works", &setup.work(work).name])
}

/// The path of a work's threshold.
pub fn threshold_path(setup: &Setup, work: WorkRef) -> Path {
    let key = if setup.work(work).from_clicks() { "clicks" } else { "from" };
    work_path(setup, work).then(key)
}

/// The path of a channel.
pub fn channel_path(setup: &Setup, channel: ChannelId) -> Path {
    Path::of(["channels".to_string(), setup.channels[channel].number.to_string()])
}

/// The path of a way's endpoint, if the channel has a control.
pub fn endpoint_path(setup: &Setup, channel: ChannelId, side: Side) -> Path {
    let path = channel_path(setup, channel).then("endpoints");
    match setup.channels[channel].control {
        Some(control) => path.then(&setup.controls[control].ways[side.index()]),
        None => path,
    }
}

/// The way of a channel that drives towards a side of the axis.
pub fn way_towards(setup: &Setup, channel: ChannelId, sign: i32) -> Side {
    Side::of_sign(setup.channels[channel].longer.sign() * sign)
}

/// `4/blow`
pub fn way_name(setup: &Setup, channel: ChannelId, side: Side) -> String {
    let c = &setup.channels[channel];
    match c.control {
        Some(control) => format!("{}/{}", c.number, setup.controls[control].ways[side.index()]),
        None => c.number.to_string(),
    }
}

/// `72 % ± 4 %`
pub fn toleranced(value: &crate::setup::Toleranced) -> String {
    if value.off.is_zero() {
        signed_percent(&value.value)
    } else {
        format!("{} ± {}", signed_percent(&value.value), percent(&value.off))
    }
}
