//! The endpoints of one channel at their best together, with another sub-trim where that wins something.
//!
//! What is best is what [`super::safe`] calls so, and every value is asked what the boat is asked. More than
//! comfort counts for nothing where only a stop lies beyond, so nothing is moved for that.

use super::asks::Asks;
use super::engine::Engine;
use super::safe::{BareQuestion, Choice, Row, choice, comfort, deciding, safe_values, table, values};
use super::safe_endpoints;
use super::say;
use super::trial::{Trial, Values};
use crate::finding::{Margin, Outcome, StateId, Subject};
use crate::setup::{ChannelId, Exact, Setup, Side};
use std::cell::OnceCell;
use std::collections::BTreeMap;

/// A sub-trim beyond this is a horn on the wrong tooth.
const MOST_SUB_TRIM: i64 = 30;
/// Points of a grid to each side of its middle.
const POINTS: i64 = 6;

/// One channel, solved.
#[derive(Clone, Debug)]
pub struct Solved {
    /// The channel.
    pub channel: ChannelId,
    /// Endpoints, low and high.
    pub endpoints: [Exact; 2],
    /// Sub-trim.
    pub sub_trim: Exact,
    /// The smallest margin as set; below nought where something is broken.
    pub before: Option<Margin>,
    /// The smallest margin with these values.
    pub after: Option<Margin>,
    /// The values differ from those set.
    pub changed: bool,
    /// Whether every value was tried that could have left more.
    pub best_of_all: bool,
    /// The keys that the file would have to give before anything can be proposed.
    pub missing: Vec<String>,
}

impl Solved {
    /// Puts the values into a set-up.
    pub fn apply(&self, setup: &mut Setup) {
        let channel = &mut setup.channels[self.channel];
        channel.endpoints = self.endpoints.clone();
        channel.sub_trim = self.sub_trim.clone();
    }
}

/// Every channel on which something has a margin, one after the other in order of their number.
pub fn solve(setup: &Setup) -> Vec<Solved> {
    let mut now = setup.clone();
    let mut all = Vec::new();
    for channel in 0..setup.channels.len() {
        let solved =
            one(&now, channel).filter(|solved| solved.before.is_some() || !solved.missing.is_empty());
        if let Some(solved) = solved {
            // What was found for one channel counts for those that it is mixed into.
            solved.apply(&mut now);
            all.push(solved);
        }
    }
    all
}

/// How good values are: fewer questions that are not answered well, then the smallest margins, least
/// first. What is better compares as greater.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Worth {
    well: std::cmp::Reverse<usize>,
    margins: Vec<Exact>,
}

struct Search<'a> {
    questions: Vec<&'a BareQuestion>,
    trial: Trial,
    steps: Vec<Exact>,
    set: Values,
    /// What other rules say of the values as set, once somebody wants to know.
    was: OnceCell<Open>,
}

fn one(setup: &Setup, channel: ChannelId) -> Option<Solved> {
    setup.channels[channel].control?;
    let engine = Engine::new(setup);
    let questions = deciding(setup, engine.asked(), channel);
    if questions.is_empty() {
        return None;
    }
    let mut trial = Trial::new(setup, channel, &questions);
    let set = trial.values();
    let least_as_set = least(&mut trial, setup, &questions);
    // What is best with figures at their best need not hold with those that the boat has.
    let missing = safe_endpoints::keys(&engine, channel);
    if !missing.is_empty() {
        let (sub_trim, endpoints) = set;
        let (before, after) = (least_as_set, None);
        return Some(Solved {
            channel,
            endpoints,
            sub_trim,
            before,
            after,
            changed: false,
            best_of_all: true,
            missing,
        });
    }
    let mut search =
        Search { trial, steps: values(setup), set: set.clone(), questions, was: OnceCell::new() };
    let (mut best, choices) = search.ends(&set.0);
    let mut worth = search.worth(&best, &choices);
    // Shifting rest wins nothing where a way already has all that counts, or holds nothing back.
    let held =
        choices.iter().flatten().count() == 2 && choices.iter().flatten().all(|choice| !choice.only_comfort);
    if held {
        (best, worth) = search.best_trim(setup, best, worth);
    }
    let as_set = search.worth(&set, &choices);
    if worth <= as_set || !harmless(setup, channel, &best, &search.was) {
        best = set.clone();
    }
    search.trial.dial(&best);
    Some(Solved {
        channel,
        changed: best != set,
        before: least_as_set,
        after: least(&mut search.trial, setup, &search.questions),
        best_of_all: !held && choices.iter().flatten().all(|choice| !choice.only_comfort),
        sub_trim: best.0,
        endpoints: best.1,
        missing: Vec::new(),
    })
}

/// The smallest margin of all questions that hang on the channel.
fn least(trial: &mut Trial, setup: &Setup, questions: &[&BareQuestion]) -> Option<Margin> {
    let outlooks = questions.iter().map(|question| trial.worst(question));
    let margins = outlooks.filter_map(|outlook| outlook.margin.map(|margin| (margin, outlook.sign)));
    margins
        .reduce(|a, b| if b.0 < a.0 { b } else { a })
        .map(|(margin, sign)| say::margin(setup, &margin, sign))
}

impl Search<'_> {
    /// The best endpoints for a sub-trim, each way in turn until neither gets better, with what held them.
    fn ends(&mut self, trim: &Exact) -> (Values, [Option<Choice>; 2]) {
        let mut at = (trim.clone(), self.set.1.clone());
        let mut choices = [None, None];
        for _ in 0..3 {
            let before = at.clone();
            for side in Side::BOTH {
                self.trial.dial(&at);
                choices[side.index()] = self.end(side, &mut at);
            }
            if at == before {
                break;
            }
        }
        (at, choices)
    }

    /// The best value of one way; one that wants nothing is moved only where it is not safe.
    fn end(&mut self, side: Side, at: &mut Values) -> Option<Choice> {
        let rows = table(&mut self.trial, &self.questions, side, &self.steps);
        let (safe, left_out) = safe_values(&rows, self.steps.len());
        let kept: Vec<&Row> =
            rows.iter().filter(|row| !left_out.iter().any(|out| std::ptr::eq(*out, *row))).collect();
        let choice = choice(&mut self.trial, side, &safe, &kept, &self.steps);
        let spot = &mut at.1[side.index()];
        match &choice {
            Some(choice) => *spot = choice.value.clone(),
            None => {
                let is_safe = self.steps.iter().zip(&safe).any(|(value, safe)| *safe && value == spot);
                let below =
                    self.steps.iter().zip(&safe).rev().find(|(value, safe)| **safe && **value < *spot);
                if let (false, Some((value, _))) = (is_safe, below) {
                    *spot = value.clone();
                }
            }
        }
        choice
    }

    /// How good values are, where `choices` tells on which ways more than comfort counts for nothing.
    fn worth(&mut self, values: &Values, choices: &[Option<Choice>; 2]) -> Worth {
        self.trial.dial(values);
        let mut bad = 0;
        let mut margins = Vec::new();
        for question in &self.questions {
            let outlook = self.trial.worst(question);
            bad += usize::from(outlook.outcome != Outcome::Proved);
            let Some(margin) = outlook.margin else { continue };
            match (&question.asks, question.subject) {
                (Asks::Misses { .. }, Subject::FunctionByWay(_, _, side)) => {
                    let comfortable = choices[side.index()].as_ref().is_some_and(|c| c.only_comfort);
                    let enough = self.trial.share_on_axis(&comfort(), outlook.sign);
                    margins.push(if comfortable { margin.min(enough) } else { margin });
                }
                (Asks::Engages { .. } | Asks::Together { .. }, _) => margins.push(margin),
                _ => {}
            }
        }
        margins.sort();
        Worth { well: std::cmp::Reverse(bad), margins }
    }

    /// The sub-trim whose best endpoints leave the most, from a grid that grows finer around the best.
    fn best_trim(&mut self, setup: &Setup, mut best: Values, mut worth: Worth) -> (Values, Worth) {
        let step = setup.transmitter.step.clone();
        let most = (Exact::percent(MOST_SUB_TRIM) / &step).floor().unwrap_or(0).max(0);
        let (mut middle, mut reach) = (0, most);
        loop {
            let stride = ((reach + POINTS - 1) / POINTS).max(1);
            for index in (-POINTS..=POINTS).map(|k| middle + k * stride).filter(|i| i.abs() <= most) {
                let (ends, choices) = self.ends(&(&step * Exact::int(index)));
                let found = self.worth(&ends, &choices);
                let wins = (found.well, found.margins.first()) > (worth.well, worth.margins.first());
                if wins && harmless(setup, self.trial.channel(), &ends, &self.was) {
                    (best, worth) = (ends, found);
                }
            }
            if stride == 1 {
                return (best, worth);
            }
            middle = (&best.0 / &step).floor().unwrap_or(middle);
            reach = stride;
        }
    }
}

/// By rule, what it is about and the state of the boat: whether it is open, and its margin.
type Open = BTreeMap<(&'static str, Subject, StateId), (bool, Option<Exact>)>;

/// Other rules look at this channel too: none of them may be broken by a better margin, and no band of rest
/// be left narrower.
fn harmless(setup: &Setup, channel: ChannelId, values: &Values, was: &OnceCell<Open>) -> bool {
    let was = was.get_or_init(|| {
        let c = &setup.channels[channel];
        open(setup, channel, &(c.sub_trim.clone(), c.endpoints.clone()))
    });
    open(setup, channel, values).iter().all(|(key, (open, margin))| match was.get(key) {
        Some((was_open, was)) => (!open || *was_open) && (key.0 != crate::rule::NEUTRAL || margin >= was),
        None => !open,
    })
}

fn open(setup: &Setup, channel: ChannelId, values: &Values) -> Open {
    let mut setup = setup.clone();
    let c = &mut setup.channels[channel];
    (c.sub_trim, c.endpoints) = values.clone();
    // Pulses measured with the old values say nothing about the new ones.
    c.measured.clear();
    let mut all = Open::new();
    // An acceptance that is no longer needed is no harm.
    let findings = crate::rule::judged_in(&Engine::new(&setup).without_advice());
    for finding in findings.into_iter().filter(|f| f.rule != crate::rule::ACCEPTANCE_STALE) {
        let entry = all.entry((finding.rule, finding.subject, finding.when)).or_insert((false, None));
        let margin = finding.margin.as_ref().map(|m| m.axis.clone());
        entry.0 |= finding.outcome != Outcome::Proved;
        entry.1 = match (entry.1.take(), margin) {
            (Some(a), Some(b)) => Some(a.min(b)),
            (a, b) => a.or(b),
        };
    }
    all
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::solve;
    use crate::setup::{Exact, Setup, lower};
    use crate::source::Source;

    fn boat(path: &str) -> Setup {
        let source = Source::from_bytes("x", std::fs::read(path).unwrap()).unwrap();
        lower::lower(&source).unwrap()
    }

    /// The pump must be passed at 48.03 % (five clicks: 38 + 5.077 * 1.5811, and 2), gas begins at 66 %: half way
    /// lies 57 %, 9 % from both. Behind the vent,
    /// fully open at 75 % for sure, only the stop lies: 5 % more are enough.
    #[test]
    fn every_way_goes_to_the_value_that_the_windows_call_best() {
        let setup = boat("../../tests/fixtures/example.yaml");
        let all = solve(&setup);
        let ballast = all.iter().find(|s| s.channel == 3).unwrap();
        assert_eq!(ballast.endpoints, [Exact::percent(80), Exact::percent(57)]);
        assert_eq!(ballast.sub_trim, Exact::ZERO);
        let mut solved = setup.clone();
        all.iter().for_each(|s| s.apply(&mut solved));
        for way in crate::rule::endpoints(&solved) {
            assert!(way.best.as_ref().is_none_or(|best| *best == way.set), "{} {:?}", way.way, way.best);
        }
    }

    /// A channel with vent and pump on two ways of one stick and a gas valve behind the pump.
    fn tank(vent: i64, pump: i64, gas: i64, stops: i64, set: [i64; 3]) -> Setup {
        let [flood, blow, trim] = set;
        let text = format!(
            "lidcard: 1
boat: {{name: Test, kind: submarine}}
transmitter: {{channels: 4, step: 1 %, furthest: 120 %, pulse: {{accuracy: 0 us}}, order: {{past_full_stick: cut off, endpoint: scales, endpoint_side: stick, trim: before endpoint, mix: before endpoint, sub_trim: shifts ends}}}}
controls:
  tank: {{at: left stick, ways: {{towards: flood, away: blow}}, trim: locked}}
channels:
  1: {{control: tank, longer: blow, endpoints: {{flood: {flood} %, blow: {blow} %}}, sub_trim: {trim} %, wants: {{flood: vent, blow: pump}}}}
devices:
  s: {{kind: servo, channel: 1, accuracy: 1 %, stops: [-{stops} % ± 0 %, +{stops} % ± 0 %], works: {{vent: {{kind: vent valve, from: -{vent} % ± 0 %, releases: where it engages}}, pump: {{kind: pump switch, from: {pump} % ± 0 %, releases: where it engages}}, gas: {{kind: emergency gas valve, from: {gas} % ± 0 %, releases: where it engages}}}}}}
"
        );
        lower::lower(&Source::from_text("x", &text).unwrap()).unwrap()
    }

    /// The outside account of one channel: every step of both endpoints, by what the check says.
    fn hill(setup: &Setup) -> Exact {
        let mut best = Exact::int(-1);
        for low in 0..=120 {
            let mut changed = setup.clone();
            changed.channels[0].endpoints[0] = Exact::percent(low);
            best = best.max(smallest(&changed));
        }
        let mut most = best;
        for high in 0..=120 {
            let mut changed = setup.clone();
            changed.channels[0].endpoints[1] = Exact::percent(high);
            most = most.max(smallest(&changed));
        }
        most
    }

    /// The smallest margin of the functions; behind which only a stop lies, 5 % at the most.
    fn smallest(setup: &Setup) -> Exact {
        let findings = crate::rule::check(setup);
        let counted = findings.iter().filter(|f| f.rule.ends_with("reach") || f.rule == "wanted-not-reached");
        let margins = counted.filter_map(|f| {
            let margin = f.margin.as_ref()?.axis.clone();
            let vent = f.rule == "wanted-not-reached" && f.about == "s.vent";
            Some(if vent { margin.min(Exact::percent(5)) } else { margin })
        });
        margins.reduce(Exact::min).unwrap()
    }

    #[test]
    fn no_single_endpoint_leaves_more_than_what_was_solved() {
        for (vent, pump, gas) in [(45, 40, 95), (38, 52, 88), (60, 23, 71), (27, 64, 102)] {
            let mut setup = tank(vent, pump, gas, 110, [70, 70, 0]);
            solve(&setup).iter().for_each(|solved| solved.apply(&mut setup));
            assert_eq!(smallest(&setup), hill(&setup), "{vent} {pump} {gas}");
            assert!(solve(&setup).iter().all(|solved| !solved.changed));
        }
    }

    #[test]
    fn a_sub_trim_that_wins_nothing_stays() {
        let setup = tank(45, 40, 95, 110, [70, 70, 3]);
        assert_eq!(solve(&setup)[0].sub_trim, Exact::percent(3));
    }

    /// An acceptance is no reason to stay where gas is within reach.
    #[test]
    fn what_is_accepted_can_still_be_cured() {
        let mut setup = tank(45, 40, 80, 110, [70, 90, 0]);
        setup.accept = vec![crate::setup::Acceptance {
            rule: "emergency-within-reach".into(),
            about: "s.gas".into(),
            state: None,
            because: "asked for".into(),
            on_card: true,
        }];
        let solved = &solve(&setup)[0];
        // The pump needs 41 %, gas may open from 79 %: half way lies 60 %.
        assert_eq!(solved.endpoints[1], Exact::percent(60));
    }

    #[test]
    fn what_is_solved_cannot_be_solved_further() {
        let mut setup = boat("../../boats/moonfish.yaml");
        let first = solve(&setup);
        first.iter().for_each(|s| s.apply(&mut setup));
        assert!(solve(&setup).iter().all(|s| !s.changed));
    }
}
