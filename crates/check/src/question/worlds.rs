//! What the file does not say stands for every value that it can have.
//!
//! A set-up as read has every unknown figure at its most favourable value. What is broken there is broken; what
//! holds with all of them at their worst holds for every boat that the file describes. The rest is not judged:
//! it names the figures that turn the answer and, for each, the value that decides with the others at their
//! best. Nothing is judged here: rules ask their questions of each such set-up, and the one engine answers.
//!
//! A question is known in two of them by its rule, its subject, the state, and which of several it is.

use super::Question;
use super::asks::Asks;
use super::engine::{Engine, Known};
use super::notes::Note;
use super::safe::BareQuestion;
use crate::chain::Order;
use crate::chain::terms::Gathered;
use crate::finding::{Decides, Finding, Missing, Outcome, StateId, Subject};
use crate::proof::Cases;
use crate::setup::keys::range;
use crate::setup::{Control, Exact, Figure, Path, Setup, Unknown};
use std::cell::{OnceCell, RefCell};
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

/// By what a question is known: rule, subject, state, and which of several with the same three.
pub type Name = (&'static str, Subject, StateId, usize);

/// By what the warnings of estimates are known.
fn warned(findings: &[Finding]) -> Vec<Name> {
    names(findings, |f| (f.rule, f.subject, f.when))
}

/// What is said of a value that decides only as long as the other figures are good.
const BEST_ELSE: &str = ", and all else that is missing is at its best";

/// Names for a list in which each bears the first three.
fn names<T>(all: &[T], of: impl Fn(&T) -> (&'static str, Subject, StateId)) -> Vec<Name> {
    let mut counts: BTreeMap<(&'static str, Subject, StateId), usize> = BTreeMap::new();
    let named = all.iter().map(|one| {
        let (rule, subject, state) = of(one);
        let count = counts.entry((rule, subject, state)).or_default();
        *count += 1;
        (rule, subject, state, *count - 1)
    });
    named.collect()
}

/// The figures that are at the worst end of their range together. There are several such lists where a figure
/// can be the worst at either end: the others are as read there.
fn ends(setup: &Setup) -> Vec<Vec<Figure>> {
    let figures: Vec<Figure> = setup.unknown.iter().map(|unknown| unknown.figure).collect();
    if figures.is_empty() {
        return Vec::new();
    }
    let furthest = |figure: &Figure| matches!(figure, Figure::Furthest(_));
    let reaches: &[Option<usize>] = if figures.iter().any(furthest) { &[Some(1), Some(0)] } else { &[None] };
    let two =
        if figures.iter().any(|figure| figure.has_two_worst_ends()) { &[true, false][..] } else { &[true] };
    let list = |reach: Option<usize>, both: bool| {
        let kept = figures.iter().copied().filter(|figure| match figure {
            Figure::Furthest(end) => Some(*end) == reach,
            _ => both || !figure.has_two_worst_ends(),
        });
        kept.collect()
    };
    reaches
        .iter()
        .flat_map(|reach| two.iter().map(move |both| (*reach, *both)))
        .map(|(r, b)| list(r, b))
        .collect()
}

/// The figures with one at a step and every other at its worst.
fn all_else_at_worst(ends: &[Vec<Figure>], figure: Figure, step: i64) -> Vec<Vec<(Figure, i64)>> {
    // How far outputs go is one figure, whichever of its ends is the worse.
    let furthest = |figure: &Figure| matches!(figure, Figure::Furthest(_));
    let is_it = |other: &Figure| *other == figure || furthest(other) && furthest(&figure);
    let with_it = |figures: &Vec<Figure>| {
        let others = figures.iter().filter(|other| !is_it(other)).map(|other| (*other, other.steps()));
        others.chain([(figure, step)]).collect()
    };
    ends.iter().map(with_it).collect()
}

/// Whether an answer can hang on a figure. What belongs to one function is nothing to a question that names others;
/// of all else it is not known beforehand.
pub(super) fn may_touch(figure: Figure, asks: &Asks) -> bool {
    match figure {
        Figure::Tolerance(function, _) | Figure::Releases(function) => {
            asks.mentions(function) || asks.is_closed()
        }
        _ => true,
    }
}

/// Whether few answers hang on a figure: those are asked one by one.
pub(super) fn is_of_one_function(figure: Figure) -> bool {
    matches!(figure, Figure::Tolerance(..) | Figure::Releases(_))
}

/// A set-up with figures at the worst end of their range.
fn moved(setup: &Setup, figures: &[Figure]) -> Setup {
    figures.iter().fold(setup.clone(), |setup, figure| setup.with(*figure, figure.steps()))
}

/// The set-ups in which everything unknown is at its worst. There are several where a figure has two such ends.
pub fn at_worst(setup: &Setup) -> Vec<Setup> {
    ends(setup).iter().map(|figures| moved(setup, figures)).collect()
}

/// A set-up in which figures that are missing are somewhere in their ranges, and the others at their best.
pub struct World {
    /// Each figure with its step.
    pub figures: Vec<(Figure, i64)>,
    /// The set-up.
    pub setup: Setup,
}

impl World {
    /// With figures at steps of their ranges.
    pub fn with(setup: &Setup, figures: Vec<(Figure, i64)>) -> Self {
        let put = |setup: Setup, (figure, step): &(Figure, i64)| setup.with(*figure, *step);
        let setup = figures.iter().fold(setup.clone(), put);
        Self { figures, setup }
    }

    /// The figures of every one in which all that is missing is at its worst.
    pub fn worst(setup: &Setup) -> Vec<Vec<(Figure, i64)>> {
        let at = |figures: Vec<Figure>| figures.into_iter().map(|figure| (figure, figure.steps())).collect();
        ends(setup).into_iter().map(at).collect()
    }

    /// Those that show that a figure decides up to a step.
    pub fn deciding(
        setup: &Setup,
        Decides { figure, step, whatever_else }: Decides,
    ) -> Vec<Vec<(Figure, i64)>> {
        let mut all = vec![vec![(figure, step)]];
        if whatever_else {
            all.extend(all_else_at_worst(&ends(setup), figure, step));
        }
        all
    }

    /// An engine for it, with what one of the set-up as read knows already.
    pub fn engine<'w>(&'w self, read: &Engine) -> Engine<'w> {
        let engine = Engine::new(&self.setup);
        let alike = engine.channels_do_as(read);
        let cases = if alike { read.known_cases() } else { Vec::new() };
        engine.knowing(Known { gathered: Rc::clone(&read.gathered), cases, states: None })
    }
}

impl Engine<'_> {
    /// Whether channels do the same in another one of the same boat.
    pub fn channels_do_as(&self, other: &Engine) -> bool {
        alike(self) == alike(other)
    }
}

fn alike(engine: &Engine) -> Alike {
    let setup = engine.setup;
    let trims = setup.controls.iter().map(Control::has_trim).collect();
    (engine.orders.clone(), trims, setup.transmitter.furthest.clone())
}

/// Asks some questions again and notes how they are answered; those that are not asked here are left out.
pub fn noted(engine: &Engine, wanted: &BTreeSet<Name>) -> Vec<(Name, Note)> {
    let rules: BTreeSet<&'static str> = wanted.iter().map(|name| name.0).collect();
    let mut all = Vec::new();
    for rule in rules {
        let asked: Vec<BareQuestion> = crate::rule::asked_by(engine, rule);
        let names = names(&asked, |asked| (asked.rule, asked.subject, asked.state));
        for (name, asked) in names.into_iter().zip(asked).filter(|(name, _)| wanted.contains(name)) {
            engine.noted((name.0, name.1, name.2), &asked.asks);
            all.extend(engine.take_notes().into_iter().map(|note| (name, note)));
        }
    }
    all
}

/// What channels can do, worked out once for all set-ups that differ in nothing that moves a channel.
#[derive(Default)]
struct Library {
    gathered: Rc<Gathered>,
    known: RefCell<Vec<(Alike, Vec<Rc<Cases>>)>>,
}

/// So many cases of channels are kept at once, some five kilobytes each.
const MOST_KEPT: usize = 15_000;

/// What set-ups have in common whose channels do the same: the orders that count, which trims there are, and how
/// far outputs go.
type Alike = (Vec<Order>, Vec<bool>, Exact);

impl Library {
    /// Asks something of a set-up, with what is known already.
    fn ask<T>(&self, setup: &Setup, ask: impl FnOnce(&Engine) -> T) -> T {
        self.ask_in(Engine::new(setup), ask)
    }

    /// The same in an engine.
    fn ask_in<T>(&self, engine: Engine, ask: impl FnOnce(&Engine) -> T) -> T {
        let alike = alike(&engine);
        let known = self.known.borrow().iter().find(|(of, _)| *of == alike).map(|(_, cases)| cases.clone());
        let gathered = Rc::clone(&self.gathered);
        let engine = engine.knowing(Known { gathered, cases: known.unwrap_or_default(), states: None });
        let answer = ask(&engine);
        let cases = engine.into_known().cases;
        let mut all = self.known.borrow_mut();
        all.retain(|(of, _)| *of != alike);
        all.push((alike, cases));
        // What was asked last is mostly asked next.
        let weight = |all: &[(Alike, Vec<Rc<Cases>>)]| -> usize {
            all.iter().flat_map(|(_, cases)| cases).map(|cases| cases.cases.len()).sum()
        };
        while all.len() > 1 && weight(&all) > MOST_KEPT {
            all.remove(0);
        }
        answer
    }

    /// How a question comes out with figures at steps of their ranges and the others at their best; one that
    /// is not asked there cannot go wrong there.
    fn holds(&self, setup: &Setup, figures: &[(Figure, i64)], name: &Name) -> bool {
        let setup = figures.iter().fold(setup.clone(), |setup, (figure, step)| setup.with(*figure, *step));
        if crate::rule::is_estimate(name.0) {
            let findings = self.ask(&setup, |engine| crate::rule::estimated(engine, Some(name.0)));
            return !warned(&findings).contains(name);
        }
        self.ask_in(Engine::new(&setup).about(name.1), |engine| {
            let asked: Vec<BareQuestion> = crate::rule::asked_by(engine, name.0);
            let names = names(&asked, |asked| (asked.rule, asked.subject, asked.state));
            let found = names.iter().zip(&asked).find(|(known, _)| *known == name);
            found.is_none_or(|(_, asked)| engine.holds(&asked.asks))
        })
    }
}

/// Goes through what the rules found in the set-up as read and adds what is not judged.
pub fn settle(engine: &Engine, findings: &mut Vec<Finding>) {
    let setup = engine.setup;
    let library = Library::default();
    let singles: Vec<Single> = setup
        .unknown
        .iter()
        .map(|unknown| Single { unknown, answers: OnceCell::new(), warned: OnceCell::new() })
        .collect();
    let ends = ends(setup);
    let desk = Desk { setup, library, singles, ends: &ends, tells: engine.advises };
    for figures in &ends {
        // What is asked in several of them is told once.
        let mut doubtful: Vec<Finding> = Vec::new();
        desk.doubt(figures, findings, &mut doubtful);
        findings.append(&mut doubtful);
    }
    for finding in findings.iter_mut().filter(|f| f.outcome == Outcome::Proved) {
        let few = finding.rests.as_ref().map(|rests| rests.few.clone()).unwrap_or_default();
        if !few.is_empty() {
            not_judged(finding, few.into_iter().map(read_again).collect());
        }
    }
    for finding in findings.iter_mut().filter(|f| f.outcome == Outcome::NotJudged) {
        finding.hurts = could_hurt(setup, finding) && !crate::rule::warns_of_the_boat(finding.rule);
    }
}

/// A single set-up with one figure at its worst, and what is asked of it, once somebody wants to know.
struct Single<'a> {
    unknown: &'a Unknown,
    answers: OnceCell<BTreeMap<Name, bool>>,
    /// What estimates warn of there, which takes longer.
    warned: OnceCell<Vec<Name>>,
}

/// Where answers are looked for.
struct Desk<'a> {
    setup: &'a Setup,
    library: Library,
    singles: Vec<Single<'a>>,
    /// The figures that are at their worst together.
    ends: &'a [Vec<Figure>],
    /// Whether somebody wants to know what an answer hangs on, and up to which value it holds.
    tells: bool,
}

impl Desk<'_> {
    /// Takes back what holds in the set-up as read and not in one of the worst, and adds what is asked there
    /// only.
    fn doubt(&self, figures: &[Figure], findings: &mut [Finding], doubtful: &mut Vec<Finding>) {
        let world = &moved(self.setup, figures);
        let known = names(findings, |f| (f.rule, f.subject, f.when));
        let known: BTreeMap<Name, usize> = known.into_iter().zip(0..).collect();
        let (open, nearer, estimated, new) = self.library.ask(world, |there| {
            let mut questions: Vec<Question> = Vec::new();
            crate::rule::ask_all(there, &mut questions);
            let names = names(&questions, |q| (q.rule(), q.subject(), q.state()));
            let mut open: Vec<(Name, Asks, Option<Finding>)> = Vec::new();
            let (mut nearer, mut estimated): (Vec<(usize, Finding)>, Vec<usize>) = Default::default();
            for (name, mut question) in names.into_iter().zip(questions) {
                // Nobody can be advised what to dial as long as it is not known what it has to meet.
                question.cure = None;
                let at = known.get(&name).copied();
                if at.is_some_and(|at| findings[at].outcome != Outcome::Proved) {
                    continue;
                }
                let outlook = there.outlook(&question.asks);
                if outlook.outcome == Outcome::Proved {
                    if let Some(at) = at.filter(|_| there.holds_by_estimate(&question.asks)) {
                        estimated.push(at);
                    }
                    // What is left is what is left with all that is missing at its worst.
                    let read = at.and_then(|at| Some((at, findings[at].margin.as_ref()?)));
                    let less = |read: &Exact| outlook.margin.as_ref().is_some_and(|there| there < read);
                    if let Some((at, _)) = read.filter(|(_, read)| less(&read.axis)) {
                        nearer.push((at, question.settle(there)));
                    }
                    continue;
                }
                let asks = question.asks.clone();
                let new = at.is_none().then(|| {
                    let holds = question.said[1].clone();
                    let mut finding = question.settle(there);
                    finding.message = holds;
                    finding.about = finding.subject.name(self.setup);
                    finding.state = finding.when.name(self.setup);
                    finding
                });
                open.push((name, asks, new));
            }
            let warnings = crate::rule::estimated(there, None);
            let warned = warned(&warnings).into_iter().zip(warnings);
            let new: Vec<(Name, Finding)> = warned
                .filter(|(name, new)| new.outcome != Outcome::Proved && !known.contains_key(name))
                .collect();
            (open, nearer, estimated, new)
        });
        for at in estimated {
            findings[at].by_estimate = true;
        }
        for (name, mut finding) in new {
            let message = std::mem::take(&mut finding.message);
            finding.about = finding.subject.name(self.setup);
            finding.state = finding.when.name(self.setup);
            not_judged(&mut finding, self.missing(figures, &name, &Asks::Fact(true)));
            finding.message =
                format!("not judged, by an estimate: with what is missing at its worst {message}");
            doubtful.push(finding);
        }
        for (at, there) in nearer {
            (findings[at].margin, findings[at].budget) = (there.margin, there.budget);
        }
        for (name, asks, new) in open {
            let missing = self.missing(figures, &name, &asks);
            match (new, known.get(&name)) {
                (Some(mut finding), _) => {
                    not_judged(&mut finding, missing);
                    doubtful.push(finding);
                }
                (None, Some(&at)) => not_judged(&mut findings[at], missing),
                (None, None) => {}
            }
        }
    }

    /// Whether a question is answered well with one figure alone at its worst.
    fn holds_alone(&self, single: &Single, name: &Name) -> bool {
        if crate::rule::is_estimate(name.0) {
            let figure = single.unknown.figure;
            let warned = single.warned.get_or_init(|| {
                let setup = self.setup.clone().with(figure, figure.steps());
                self.library.ask(&setup, |engine| warned(&crate::rule::estimated(engine, None)))
            });
            return !warned.contains(name);
        }
        if is_of_one_function(single.unknown.figure) {
            let figure = single.unknown.figure;
            return self.library.holds(self.setup, &[(figure, figure.steps())], name);
        }
        let answers = single.answers.get_or_init(|| {
            let figure = single.unknown.figure;
            let setup = self.setup.clone().with(figure, figure.steps());
            self.library.ask(&setup, |engine| {
                let asked = crate::rule::asked(engine);
                let names = names(&asked, |asked| (asked.rule, asked.subject, asked.state));
                let named = names.into_iter().zip(&asked);
                let touched = named.filter(|(_, asked)| may_touch(figure, &asked.asks));
                touched.map(|(name, asked)| (name, engine.holds(&asked.asks))).collect()
            })
        });
        answers.get(name).copied().unwrap_or(true)
    }

    /// The figures that turn an answer: each that does so alone, else those that do so together.
    fn missing(&self, figures: &[Figure], name: &Name, asks: &Asks) -> Vec<Missing> {
        if !self.tells {
            return Vec::new();
        }
        let touching = |unknown: &Unknown| may_touch(unknown.figure, asks);
        let alone: Vec<&Unknown> = self
            .singles
            .iter()
            .filter(|single| touching(single.unknown) && !self.holds_alone(single, name))
            .map(|single| single.unknown)
            .collect();
        if !alone.is_empty() {
            let told = |unknown: &Unknown| {
                let step = self.decides(unknown, name);
                let mut told = told(self.setup, unknown, step);
                if crate::rule::is_estimate(name.0) {
                    // No proof shows what an estimate hangs on.
                    if let (Some(holds), true) = (&mut told.holds, self.singles.len() > 1) {
                        holds.push_str(BEST_ELSE);
                    }
                } else if let Some(step) = step {
                    let whatever_else = self.holds_for_all_else(unknown.figure, step, name);
                    if let (Some(holds), false) = (&mut told.holds, whatever_else) {
                        holds.push_str(BEST_ELSE);
                    }
                    told.decides = Some(Decides { figure: unknown.figure, step, whatever_else });
                }
                told
            };
            return alone.into_iter().map(told).collect();
        }
        let moved = |unknown: &&Unknown| figures.contains(&unknown.figure) && touching(unknown);
        let mut together: Vec<&Unknown> = self.setup.unknown.iter().filter(moved).collect();
        let mut at = 0;
        while at < together.len() {
            let left = together.remove(at);
            let others: Vec<(Figure, i64)> =
                together.iter().map(|unknown| (unknown.figure, unknown.figure.steps())).collect();
            if self.library.holds(self.setup, &others, name) {
                together.insert(at, left);
                at += 1;
            }
        }
        together.into_iter().map(|unknown| told(self.setup, unknown, None)).collect()
    }

    /// Whether a question is answered well with a figure at a step and everything else at its worst.
    fn holds_for_all_else(&self, figure: Figure, step: i64, name: &Name) -> bool {
        let all = all_else_at_worst(self.ends, figure, step);
        all.iter().all(|figures| self.library.holds(self.setup, figures, name))
    }

    /// The last step at which a question is answered well, with all other figures at their best.
    fn decides(&self, unknown: &Unknown, name: &Name) -> Option<i64> {
        let figure = unknown.figure;
        let (mut good, mut bad) = (0, figure.steps());
        while bad - good > 1 {
            let middle = i64::midpoint(good, bad);
            if self.library.holds(self.setup, &[(figure, middle)], name) {
                good = middle;
            } else {
                bad = middle;
            }
        }
        (good > 0).then_some(good)
    }
}

/// Turns what would hold into what is not judged.
fn not_judged(finding: &mut Finding, missing: Vec<Missing>) {
    finding.outcome = Outcome::NotJudged;
    finding.message = format!("not judged whether {}", finding.message);
    if let Some(first) = missing.first() {
        let label = if first.said { "nobody has measured it" } else { "not given here" };
        let key = first.path.0.last().cloned().unwrap_or_default();
        finding.primary = (first.path.clone(), format!("`{key}`: {label}"));
    }
    finding.others.clear();
    finding.help.clear();
    finding.margin = None;
    finding.budget.clear();
    finding.estimate = None;
    finding.by_estimate = false;
    finding.witness = None;
    finding.missing = missing;
}

/// Readings of which there are too few: no value decides, and more of them do.
fn read_again(path: Path) -> Missing {
    Missing {
        path,
        bench: range::too_few_readings().bench.to_owned(),
        holds: None,
        said: false,
        decides: None,
    }
}

fn told(setup: &Setup, unknown: &Unknown, step: Option<i64>) -> Missing {
    let range = unknown.figure.range();
    let holds = step.filter(|_| !range.holds.is_empty());
    Missing {
        path: unknown.path.clone(),
        bench: range.bench.to_owned(),
        holds: holds.map(|step| range.holds.replace("{}", &unknown.figure.told(setup, step))),
        said: unknown.said,
        decides: None,
    }
}

/// Whether people could be hurt if it does not hold: gas, fire, whatever is dangerous or reserved, and a motor
/// when the boat is switched on.
fn could_hurt(setup: &Setup, finding: &Finding) -> bool {
    let hurting = |function: crate::setup::WorkRef| {
        let work = setup.work(function);
        work.is_reserved() || work.can_hurt()
    };
    match finding.subject {
        Subject::Function(a) | Subject::FunctionByWay(a, ..) => hurting(a),
        Subject::InStage(_, a) | Subject::InStageOnDevice(_, a) => hurting(a),
        Subject::Pair(a, b) => hurting(a) || hurting(b),
        Subject::Device(device) | Subject::DeviceSide(device, _) => {
            finding.when == StateId::PowerUp && setup.devices[device].kind.runs_a_motor()
        }
        _ => false,
    }
}
