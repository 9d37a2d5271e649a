//! Which endpoint values are safe: those at which every question that hangs on the endpoint is answered
//! well, whichever rule asked it, with every other setting left as it is.
//!
//! Errors narrow a window, and what a way may reach that it does not want. A question that has the same
//! bad answer at every value is named instead of leaving nothing; so is one about another state of the
//! boat that would leave nothing. A window beside which something is named is not called safe.
//!
//! An endpoint is named after a way, and mostly limits that way. On a reversed channel of a set that names
//! endpoints by the side of the pulse it limits the other; where the file leaves that line open, either.
//! Here that needs no care: what is asked is the boat, not a way.

use super::asks::Asks;
use super::crossing;
use super::engine::Engine;
use super::outlook::Outlook;
use super::say::{self, Draft};
use super::trial::{Trial, Under};
use crate::finding::{Outcome, SafeEndpoints, Severity, StateId, Subject};
use crate::setup::{ChannelId, ControlId, Exact, Setup, Side};
use crate::work;

/// A question without its words.
#[derive(Clone, Debug)]
pub struct BareQuestion {
    /// The rule that asks.
    pub rule: &'static str,
    /// What it is about.
    pub subject: Subject,
    /// The state of the boat.
    pub state: StateId,
    /// How grave it is where it is broken.
    pub severity: Severity,
    /// What is asked.
    pub asks: Asks,
}

impl BareQuestion {
    /// Whether a bad answer keeps a value from being called safe.
    pub fn narrows(&self) -> bool {
        self.severity == Severity::Error || self.rule == crate::rule::UNWANTED
    }

    /// Whether what is asked lies on the side of a channel's axis to which an endpoint reaches.
    fn lies_on(&self, setup: &Setup, channel: ChannelId, named: Side) -> bool {
        let ways = setup.limited_by(channel, named);
        let longer = setup.channels[channel].longer.sign();
        let towards = |sign: i32| ways.iter().any(|way| longer * way.sign() == sign);
        match (&self.asks, self.subject) {
            (Asks::Misses { .. }, Subject::FunctionByWay(_, on, side)) => {
                on == channel && ways.contains(&side)
            }
            (Asks::Engages { function, .. } | Asks::Misses { function, .. }, _) => {
                towards(setup.work(*function).sign)
            }
            (Asks::Together { functions, .. }, _) => functions.iter().any(|f| towards(setup.work(*f).sign)),
            (Asks::Passes { edge, .. }, _) => towards(edge.sign),
            (Asks::FallsShort { sign, .. }, _) => towards(*sign),
            (Asks::Trips { beyond, .. }, _) => towards(beyond.value.signum()),
            (Asks::Moves { way, .. }, _) => {
                setup.channels[channel].control == Some(way.control) && ways.contains(&way.side)
            }
            _ => true,
        }
    }

    /// What limits an endpoint where this is what breaks.
    pub fn limit(&self, setup: &Setup) -> String {
        match self.state {
            StateId::Piloting => self.asks.limit(setup, self.rule, self.subject),
            state => format!("{} ({}, {})", self.subject.name(setup), self.rule, state.name(setup)),
        }
    }
}

/// The questions that decide which values of a channel are safe.
pub fn deciding<'a>(setup: &Setup, asked: &'a [BareQuestion], channel: ChannelId) -> Vec<&'a BareQuestion> {
    asked.iter().filter(|q| q.narrows() && q.asks.channels(setup).contains(&channel)).collect()
}

/// The windows of every way of every channel on which something hangs.
pub fn endpoints(setup: &Setup) -> Vec<SafeEndpoints> {
    super::safe_endpoints::Windows::default().of(setup).to_vec()
}

/// How one question comes out at every value.
pub(super) struct Row<'a> {
    pub question: &'a BareQuestion,
    /// Values at which it is not answered well and which another value would put right.
    pub bad: Vec<bool>,
    /// Whether under some order it is not answered well, and no value changes that.
    pub always: bool,
}

/// The values that can be dialled for an endpoint.
pub(super) fn values(setup: &Setup) -> Vec<Exact> {
    let step = &setup.transmitter.step;
    let count = (&setup.transmitter.furthest / step).floor().unwrap_or(0).max(0);
    (0..=count).map(|k| step * Exact::int(k)).collect()
}

/// How every question comes out at every value of one endpoint.
pub(super) fn table<'a>(
    trial: &mut Trial,
    questions: &[&'a BareQuestion],
    side: Side,
    values: &[Exact],
) -> Vec<Row<'a>> {
    let set = trial.values();
    let all = vec![true; values.len()];
    let rows = questions
        .iter()
        .map(|&question| {
            let mut row = Row { question, bad: vec![false; values.len()], always: false };
            // What holds under all orders at once holds under each; where none of the values does, or some do not,
            // each is asked by itself.
            let doubtful = at_each(trial, question, (Under::All, side), values, &all);
            let nowhere_good = doubtful.iter().all(|bad| *bad);
            if !nowhere_good && question.asks.holds_under_all_where_under_each() {
                row.bad = doubtful;
                return row;
            }
            let orders = if doubtful.contains(&true) { trial.orders() } else { 0 };
            for order in (0..orders).map(Under::One) {
                let bad = at_each(trial, question, (order, side), values, &doubtful);
                let never_good = nowhere_good && bad.iter().all(|bad| *bad);
                if never_good && !moves(trial, question, (order, side), values) {
                    row.always = true;
                } else {
                    row.bad.iter_mut().zip(bad).for_each(|(all, one)| *all |= one);
                }
            }
            row
        })
        .collect();
    trial.dial(&set);
    rows
}

/// The same of one question at some of the values, for those who want to know of no others.
pub(super) fn bad_where(
    trial: &mut Trial,
    question: &BareQuestion,
    side: Side,
    values: &[Exact],
    wanted: &[bool],
) -> Vec<bool> {
    let set = trial.values();
    let mut left = wanted.to_vec();
    for order in (0..trial.orders()).map(|order| (Under::One(order), side)) {
        if !left.contains(&true) {
            break;
        }
        let bad = at_each(trial, question, order, values, &left);
        let none_good = left.iter().zip(&bad).all(|(wanted, bad)| *bad || !wanted);
        // What is bad at every value, and hangs on none, is not the endpoint's.
        let everywhere = none_good && {
            let all = vec![true; values.len()];
            at_each(trial, question, order, values, &all).iter().all(|bad| *bad)
        };
        if everywhere && !moves(trial, question, order, values) {
            continue;
        }
        left.iter_mut().zip(bad).for_each(|(left, bad)| *left &= !bad);
    }
    trial.dial(&set);
    wanted.iter().zip(left).map(|(wanted, left)| *wanted && !left).collect()
}

/// So few values are rather asked one by one.
const FEW_VALUES: usize = 4;

/// Whether a question is not answered well, at every value that is wanted. An answer with a distance holds for a
/// whole stretch around its value.
fn at_each(
    trial: &mut Trial,
    question: &BareQuestion,
    (under, side): (Under, Side),
    values: &[Exact],
    wanted: &[bool],
) -> Vec<bool> {
    let mut bad = vec![false; values.len()];
    let steepest = trial.steepest(under);
    let step = values.get(1).map(|v| v - &values[0]);
    let mut left = vec![(0, values.len())];
    while let Some((from, to)) = left.pop() {
        let half = from + (to - from) / 2;
        let after = (half..to).find(|&k| wanted[k]);
        let before = (from..half).rev().find(|&k| wanted[k]);
        let nearer =
            |(after, before): (usize, usize)| if after - half <= half - before { after } else { before };
        let Some(middle) = after.zip(before).map(nearer).or(after).or(before) else { continue };
        trial.dial_end(side, &values[middle]);
        let Outlook { outcome, firm, .. } = trial.outlook(question, under);
        // Where only a few values are left there is little to win.
        let firm = match firm.signum() > 0 || to - from < FEW_VALUES {
            true => firm,
            false => trial.firmness(question, under, outcome),
        };
        let reach = match (&steepest, &step) {
            (Some(steepest), Some(step)) if firm.signum() > 0 => {
                (&firm / (steepest * step)).ceil().map_or(0, |n| usize::try_from(n - 1).unwrap_or(0))
            }
            _ => 0,
        };
        let (first, last) =
            (middle.saturating_sub(reach).max(from), middle.saturating_add(reach).min(to - 1));
        for k in (first..=last).filter(|&k| wanted[k]) {
            bad[k] = outcome != Outcome::Proved;
        }
        left.push((from, first));
        left.push((last + 1, to));
    }
    bad
}

/// Whether a distance of a question that is bad at every value hangs on the value at all.
fn moves(trial: &mut Trial, question: &BareQuestion, (under, side): (Under, Side), values: &[Exact]) -> bool {
    let mut at = |value: &Exact| {
        trial.dial_end(side, value);
        let distances = trial.distances(question, under).into_iter();
        distances.map(|outlook| (outlook.outcome, outlook.margin)).collect::<Vec<_>>()
    };
    // A distance is monotone in an endpoint, but for stretches with two ends: a few places tell.
    let last = values.len().saturating_sub(1);
    let places = [0, last, last / 2, last / 4, last - last / 4];
    let mut found = places.into_iter().filter_map(|k| values.get(k)).map(&mut at);
    let first = found.next();
    found.any(|other| Some(other) != first)
}

/// Runs of values that are safe, by index of the first and the last.
pub(super) fn stretches(safe: &[bool]) -> Vec<[usize; 2]> {
    let mut all: Vec<[usize; 2]> = Vec::new();
    for k in (0..safe.len()).filter(|&k| safe[k]) {
        match all.last_mut() {
            Some(last) if last[1] + 1 == k => last[1] = k,
            _ => all.push([k, k]),
        }
    }
    all
}

/// Which values are safe, and the rows that had to be left out: they would leave nothing.
pub(super) fn safe_values<'t, 'a>(rows: &'t [Row<'a>], count: usize) -> (Vec<bool>, Vec<&'t Row<'a>>) {
    let (piloting, others): (Vec<&Row>, Vec<&Row>) =
        rows.iter().partition(|row| row.question.state == StateId::Piloting);
    let mut safe: Vec<bool> = (0..count).map(|k| piloting.iter().all(|row| !row.bad[k])).collect();
    let mut left_out = Vec::new();
    for row in others {
        let narrower: Vec<bool> = safe.iter().zip(&row.bad).map(|(safe, bad)| *safe && !bad).collect();
        if narrower.contains(&true) || !safe.contains(&true) {
            safe = narrower;
        } else {
            left_out.push(row);
        }
    }
    (safe, left_out)
}

/// What these questions call the limit of a value, each once.
pub(super) fn named<'a>(setup: &Setup, questions: impl Iterator<Item = &'a BareQuestion>) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for name in questions.map(|question| question.limit(setup)) {
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names
}

/// How all questions that decide on a channel come out at every value of one of its endpoints.
pub(super) struct Tabled<'a> {
    setup: &'a Setup,
    asked: &'a [BareQuestion],
    pub(super) channel: ChannelId,
    side: Side,
    pub(super) values: Vec<Exact>,
    trial: Trial,
    pub(super) rows: Vec<Row<'a>>,
}

impl<'a> Tabled<'a> {
    /// Asks at every value.
    pub(super) fn of(setup: &'a Setup, asked: &'a [BareQuestion], channel: ChannelId, side: Side) -> Self {
        let questions = deciding(setup, asked, channel);
        let values = values(setup);
        let mut trial = Trial::new(setup, channel, &questions);
        let rows = table(&mut trial, &questions, side, &values);
        Self { setup, asked, channel, side, values, trial, rows }
    }

    /// The same of another set-up, where only what `touched` says can come out otherwise than here.
    pub(super) fn of_other<'b>(
        &self,
        setup: &'b Setup,
        asked: &'b [BareQuestion],
        touched: impl Fn(&Asks) -> bool,
    ) -> Tabled<'b> {
        let Self { channel, side, .. } = *self;
        let questions = deciding(setup, asked, channel);
        let name = |asked: &BareQuestion| (asked.rule, asked.subject, asked.state);
        let same = self.rows.iter().map(|row| name(row.question)).eq(questions.iter().map(|q| name(q)));
        if !same || values(setup) != self.values {
            return Tabled::of(setup, asked, channel, side);
        }
        let mut trial = Trial::new(setup, channel, &questions);
        let pairs = questions.into_iter().zip(&self.rows);
        let rows = pairs.flat_map(|(question, here)| match touched(&question.asks) {
            true => table(&mut trial, &[question], side, &self.values),
            false => vec![Row { question, bad: here.bad.clone(), always: here.always }],
        });
        let rows = rows.collect();
        Tabled { setup, asked, channel, side, values: self.values.clone(), trial, rows }
    }

    /// The windows of the way; `None` if nothing on the channel limits it. Without `told` only where they lie and what
    /// they do not hang on, and nothing of what limits them or would widen them, which is dear.
    pub(super) fn way(&mut self, told: bool) -> Option<SafeEndpoints> {
        let own = self.setup.channels[self.channel].control?;
        if self.rows.is_empty() { None } else { Some(self.windows(own, told)) }
    }

    fn windows(&mut self, own: ControlId, told: bool) -> SafeEndpoints {
        let Self { setup, asked, channel, side, values, trial, rows } = self;
        let (setup, asked, channel, side): (&Setup, &[BareQuestion], _, _) = (setup, asked, *channel, *side);
        let (safe, left_out) = safe_values(rows, values.len());
        let stretches = stretches(&safe);

        let names = |rows: &[&Row], none: &str| {
            let names = named(setup, rows.iter().map(|row| row.question));
            if names.is_empty() { none.to_owned() } else { names.join(", ") }
        };
        let kept: Vec<&Row> =
            rows.iter().filter(|row| !left_out.iter().any(|out| std::ptr::eq(*out, *row))).collect();
        let bad_at = |k: usize| -> Vec<&Row> { kept.iter().copied().filter(|row| row.bad[k]).collect() };
        let low_limits = stretches.first().filter(|s| s[0] > 0).map_or_else(Vec::new, |s| bad_at(s[0] - 1));
        let high_limits =
            stretches.last().filter(|s| s[1] + 1 < values.len()).map_or_else(Vec::new, |s| bad_at(s[1] + 1));
        let best =
            if told { choice(trial, side, &safe, &kept, values).map(|choice| choice.value) } else { None };
        let mut margin_of = |limits: &[&Row]| {
            let worst = limits.iter().map(|row| trial.worst(row.question)).filter(|o| o.margin.is_some());
            worst
                .reduce(|a, b| if b.margin < a.margin { b } else { a })
                .and_then(|o| o.margin.map(|m| say::margin(setup, &m, o.sign)))
        };
        let margins = [margin_of(&low_limits), margin_of(&high_limits)];
        let crossing =
            (told && stretches.is_empty()).then(|| crossing::told(setup, asked, channel, side, rows, values));
        let always = |piloting: bool| {
            let rows = rows
                .iter()
                .filter(|row| row.always && (row.question.state == StateId::Piloting) == piloting)
                .filter(|row| row.bad.contains(&true) || row.question.lies_on(setup, channel, side));
            named(setup, rows.map(|row| row.question))
        };
        let mut but = always(false);
        let left_out = named(setup, left_out.iter().map(|row| row.question));
        but.extend(left_out.into_iter().filter(|name| !but.contains(name)).collect::<Vec<_>>());
        let nothing = stretches.is_empty();
        SafeEndpoints {
            channel: setup.channels[channel].number,
            name: setup.channels[channel].name.clone().unwrap_or_default(),
            way: setup.controls[own].ways[side.index()].clone(),
            set: setup.channels[channel].endpoints[side.index()].clone(),
            windows: stretches.iter().map(|s| [values[s[0]].clone(), values[s[1]].clone()]).collect(),
            best,
            low_limit: if nothing { String::new() } else { names(&low_limits, "0 %") },
            high_limit: if nothing { String::new() } else { names(&high_limits, "the furthest output") },
            margins,
            not_moved: always(true),
            but,
            ends: [None, None],
            crossing,
        }
    }
}

/// The best value of a way that wants something, and what decided it.
#[derive(Clone, Debug)]
pub(super) struct Choice {
    /// The value.
    pub value: Exact,
    /// Whether only a stop or the set lies beyond, so that more than comfort counts for nothing.
    pub only_comfort: bool,
}

/// The best value of the first window whose lower end is set by a wanted function: with another function
/// beyond, the one that leaves most to the nearer of the two; else as little more than needed as is
/// comfortable.
pub(super) fn choice(
    trial: &mut Trial,
    side: Side,
    safe: &[bool],
    rows: &[&Row],
    values: &[Exact],
) -> Option<Choice> {
    stretches(safe).into_iter().find_map(|stretch| best_in(trial, side, stretch, rows, values))
}

fn best_in(
    trial: &mut Trial,
    side: Side,
    [low, high]: [usize; 2],
    rows: &[&Row],
    values: &[Exact],
) -> Option<Choice> {
    let below = low.checked_sub(1)?;
    let bad = |k: usize, sort: fn(&Asks) -> bool| -> Vec<&BareQuestion> {
        let rows = rows.iter().filter(|row| row.bad.get(k) == Some(&true) && sort(&row.question.asks));
        rows.map(|row| row.question).collect()
    };
    let mut limits = bad(below, |asks| matches!(asks, Asks::Misses { .. }));
    if limits.is_empty() {
        return None;
    }
    let beyond = bad(high + 1, |asks| matches!(asks, Asks::Engages { .. } | Asks::Together { .. }));
    if beyond.is_empty() {
        let target = &values[low] + comfort();
        let value = (low..=high).map(|k| &values[k]).find(|v| **v >= target).or(values.get(high))?;
        return Some(Choice { value: value.clone(), only_comfort: true });
    }
    limits.extend(beyond);
    let set = trial.values();
    let mut best: Option<(Exact, usize)> = None;
    for (k, value) in values.iter().enumerate().take(high + 1).skip(low) {
        trial.dial_end(side, value);
        let least = limits.iter().filter_map(|question| trial.worst(question).margin).reduce(Exact::min);
        if let Some(margin) = least
            && best.as_ref().is_none_or(|(most, _)| margin > *most)
        {
            best = Some((margin, k));
        }
    }
    trial.dial(&set);
    best.map(|(_, k)| Choice { value: values[k].clone(), only_comfort: false })
}

/// How much further than needed a way goes that nothing but a stop holds back.
pub(super) fn comfort() -> Exact {
    Exact::percent(5)
}

/// Adds to a finding about a way the safe values of every endpoint that may limit that way.
pub fn advise(engine: &Engine, draft: Draft, channel: ChannelId, side: Side) -> Draft {
    if !engine.advises {
        return draft;
    }
    engine
        .setup
        .limited_by(channel, side)
        .into_iter()
        .fold(draft, |draft, named| advise_one(engine, draft, channel, named))
}

/// In place of advice that [`Engine::for_advice`] does not suffice for.
const TOO_MUCH: &str = "what would be safe is too much to work out: write the lines of `transmitter.order` that are left open, or leave out switches and functions that nothing hangs on";

fn advise_one(engine: &Engine, draft: Draft, channel: ChannelId, side: Side) -> Draft {
    let Some(found) = work::apart(&engine.for_advice, || engine.safe_endpoints(channel, side)) else {
        let told = draft.finding.help.iter().any(|line| line == TOO_MUCH);
        return if told { draft } else { draft.help(TOO_MUCH) };
    };
    let Some(window) = found else { return draft };
    let advice = match (&window.windows[..], &window.best, &window.crossing) {
        ([], _, Some(crossing)) => format!("no endpoint for {} is safe: {crossing}", window.way),
        ([], ..) => return draft,
        (_, Some(best), _) => {
            format!("endpoint for {}: {}; best {}", window.way, ranges(window), say::percent(best))
        }
        _ => format!("endpoint for {}: {}", window.way, ranges(window)),
    };
    let mut stays = window.not_moved.clone();
    stays.extend(window.but.iter().cloned());
    if stays.is_empty() {
        return draft.help(advice);
    }
    let told = format!(
        "the endpoint alone does not cure {}: look at rates, trim, sub-trim, mixes and the other way",
        stays.join(", ")
    );
    // A value that is safe for all else is no advice to whom it does not help.
    let helps = !stays.contains(&draft.finding.subject.name(engine.setup));
    draft.help(told).helps(helps.then_some(advice))
}

fn ranges(window: &SafeEndpoints) -> String {
    let range = |[low, high]: &[Exact; 2]| {
        if low.is_zero() {
            format!("{} or less", say::percent(high))
        } else {
            format!("{} to {}", say::percent(low), say::percent(high))
        }
    };
    window.windows.iter().map(range).collect::<Vec<_>>().join(" or ")
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::{Asks, BareQuestion, Engine, Trial, Under, endpoints};
    use crate::finding::Outcome;
    use crate::setup::{Exact, Setup, Side, lower};
    use crate::source::Source;

    fn boat(line: &str, longer: &str) -> Setup {
        let text = format!(
            "lidcard: 1
boat: {{name: Test, kind: surface}}
transmitter: {{channels: 4, pulse: {{accuracy: 0 us}}, order: {{past_full_stick: carries on, endpoint: clamps, {line}trim: after endpoint, mix: after endpoint, sub_trim: keeps ends}}}}
controls:
  helm: {{at: right stick, trim: 5 %, ways: {{left: port, right: starboard}}}}
channels:
  1: {{control: helm, longer: {longer}, endpoints: {{port: 80 %, starboard: 82 %}}}}
devices:
  rudder: {{kind: servo, channel: 1, accuracy: 2 %, stops: [-90 % ± 0 %, +96 % ± 0 %]}}
"
        );
        lower::lower(&Source::from_bytes("x", text.into_bytes()).unwrap()).unwrap()
    }

    fn window(setup: &Setup, side: Side) -> [i64; 2] {
        let all = endpoints(setup);
        let windows = &all[side.index()].windows;
        let [[low, high]] = &windows[..] else { panic!("{windows:?}") };
        [low, high].map(|end| (end * Exact::int(100)).floor().unwrap())
    }

    /// Ends are kept at the endpoint whatever the trim; 96 - 2 = 94 % is the longer end, 90 - 2 = 88 %
    /// the shorter. Port is the longer way. Named by the stick, port may go to 94 %; by the pulse, the
    /// endpoint named after the left way is the one of the shorter side: 88 %.
    #[test]
    fn an_endpoint_is_judged_by_the_way_that_it_limits() {
        for (line, port, starboard) in
            [("endpoint_side: stick, ", 94, 88), ("endpoint_side: pulse, ", 88, 94), ("", 88, 88)]
        {
            let setup = boat(line, "port");
            assert_eq!(window(&setup, Side::Low)[1], port, "{line}");
            assert_eq!(window(&setup, Side::High)[1], starboard, "{line}");
            for (side, last) in [(Side::Low, port), (Side::High, starboard)] {
                let broken_at = |percent: i64| {
                    let mut changed = setup.clone();
                    changed.channels[0].endpoints[side.index()] = Exact::percent(percent);
                    crate::rule::check(&changed).iter().any(|f| f.rule == "beyond-stop" && f.is_open())
                };
                assert!(!broken_at(last) && broken_at(last + 1), "{line}{side:?} {last}");
            }
        }
    }

    /// Servos that are mixed into each other under any order, on each fifth of which a valve lies within reach.
    fn wide(channels: usize) -> Setup {
        wide_that(channels, false)
    }

    /// The same; with `turns` each stick wants to turn her, and each servo does.
    fn wide_that(channels: usize, turns: bool) -> Setup {
        let many = |line: &dyn Fn(usize) -> String| (1..=channels).map(line).collect::<String>();
        let wants = |n| {
            if turns { format!(", wants: {{l{n}: turns left, r{n}: turns right}}") } else { String::new() }
        };
        let effects = if turns { "effects: {shorter: turns left, longer: turns right}, " } else { "" };
        let controls = many(&|n| {
            format!("  c{n}: {{at: stick {n}, ways: {{left: l{n}, right: r{n}}}, trim: 5 %{}}}\n", wants(n))
        });
        let lines = many(&|n| {
            let mixes = match n {
                1 => String::new(),
                n => format!(
                    ", mixes: [{{add: 9 %, of: channel {}}}, {{add: -8 %, of: c{}, when: {{mode: full}}}}]",
                    n - 1,
                    n - 1
                ),
            };
            format!(
                "  {n}: {{control: c{n}, longer: r{n}, expo: 30 %, rate: {{mode: {{gentle: 60 %, full: 100 %}}}}, endpoints: {{l{n}: 58 %, r{n}: 61 %}}, wants: {{r{n}: pump}}{mixes}}}\n"
            )
        });
        let devices = many(&|n| {
            let gas = if n % 5 == 1 { 60 } else { 116 };
            format!(
                "  s{n}: {{kind: servo, channel: {n}, accuracy: 2 %, {effects}stops: [-130 %, +130 %], works: \
                 {{pump: {{kind: pump switch, from: +25 % ± 2 %, releases: +23 % ± 2 %, longest: none}}, \
                 gas: {{kind: emergency gas valve, from: +{gas} % ± 3 %, releases: +{} % ± 3 %}}}}}}\n",
                gas - 2
            )
        });
        let text = format!(
            "lidcard: 1\nboat: {{name: Wide, kind: submarine}}\ntransmitter: {{channels: {channels}, furthest: 125 %, pulse: {{accuracy: 2 us}}}}\n\
             receiver: {{on_loss: {{others: hold}}, after: 1 s}}\ncontrols:\n  mode: {{at: switch, kind: switch, settings: [gentle, full]}}\n{controls}channels:\n{lines}devices:\n{devices}"
        );
        lower::lower(&Source::from_bytes("x", text.into_bytes()).unwrap()).unwrap()
    }

    #[test]
    fn a_verdict_is_told_where_what_to_dial_instead_is_too_much_to_work_out() {
        for (channels, too_much) in [(2, false), (16, true)] {
            let findings = crate::rule::check(&wide(channels));
            let helps: Vec<&String> = findings.iter().filter(|f| f.is_open()).flat_map(|f| &f.help).collect();
            assert_eq!(helps.iter().any(|line| *line == super::TOO_MUCH), too_much, "{channels}: {helps:#?}");
            assert!(helps.iter().any(|line| line.contains("endpoint")), "{channels}: {helps:#?}");
        }
    }

    /// How a row comes out where every value is asked under every order.
    fn plainly(trial: &mut Trial, question: &BareQuestion, side: Side, values: &[Exact]) -> Vec<bool> {
        let mut bad_at = |value: &Exact| {
            trial.dial_end(side, value);
            (0..trial.orders())
                .any(|order| trial.outlook(question, Under::One(order)).outcome != Outcome::Proved)
        };
        values.iter().map(&mut bad_at).collect()
    }

    #[test]
    fn a_stretch_of_values_is_answered_as_each_of_them_under_each_order() {
        let values: Vec<Exact> = (0..=25).map(|k| Exact::percent(5 * k)).collect();
        let (mut compared, mut part) = (0, 0);
        // What is mixed in is added before the endpoint or behind it, and moves her the right way or the wrong one.
        let turns = wide_that(3, true);
        for setup in [turns.clone(), turned(turns.clone()), strongly(turns)] {
            let asked = crate::rule::asked(&Engine::new(&setup));
            let questions = super::deciding(&setup, &asked, 2);
            let questions: Vec<&BareQuestion> = questions
                .into_iter()
                .filter(|question| matches!(question.asks, Asks::Moves { .. } | Asks::Misses { .. }))
                .collect();
            for side in Side::BOTH {
                let mut trial = Trial::new(&setup, 2, &questions);
                let set = trial.values();
                for row in super::table(&mut trial, &questions, side, &values) {
                    let plain = plainly(&mut trial, row.question, side, &values);
                    trial.dial(&set);
                    if !row.always {
                        assert_eq!(row.bad, plain, "{:?} {side:?}", row.question);
                    }
                    compared += 1;
                    part += usize::from(plain.contains(&true) && plain.contains(&false));
                }
            }
        }
        assert!(compared > 20 && part > 10, "{compared} {part}");
    }

    /// What is mixed into the third channel moves it the other way.
    fn turned(mut setup: Setup) -> Setup {
        setup.channels[2].mixes.iter_mut().for_each(|mix| mix.add = -&mix.add);
        setup
    }

    /// So much is mixed into the third channel that it meets limits.
    fn strongly(mut setup: Setup) -> Setup {
        setup.channels[2].mixes.iter_mut().for_each(|mix| mix.add = &mix.add * Exact::int(6));
        setup
    }

    #[test]
    fn on_a_channel_that_is_not_reversed_the_name_is_the_way() {
        for line in ["endpoint_side: stick, ", "endpoint_side: pulse, ", ""] {
            let setup = boat(line, "starboard");
            assert_eq!([Side::Low, Side::High].map(|side| window(&setup, side)[1]), [88, 94], "{line}");
        }
    }
}
