//! The rules: what must never happen, each in a file of its own, and one line here for each.

pub mod acceptance;
mod bottle_too_full;
mod carried_too_deep;
pub mod driven;
mod estimate;
mod estimate_refused;
pub mod faults;
mod figure_hardly_meant;
mod gas_condenses;
mod gas_runs_out;
mod leaps_at_surface;
mod long_enough;
pub mod matrix;
pub mod page;
mod pump_too_weak;
pub mod radio_estimate;
mod readings_too_few;
mod stays_down_on_loss;
mod threshold_leaves_too_little;
mod throws_unequal;

mod acceptance_stale;
mod after_loss;
mod axis_lost;
mod band_not_for_boats;
mod band_stops_at_surface;
mod battery_threshold_odd;
mod beyond_stop;
mod blow_slowed;
mod broaches_on_loss;
mod burns_on_after_loss;
mod carries_too_much;
mod control_of_wrong_kind;
mod dead_centre_within_reach;
mod delays_outlast_sinking;
mod depth_beyond_radio;
pub mod emergency;
mod emergency_beside_busy;
mod emergency_does_not_raise;
mod emergency_does_not_stop;
mod emergency_line;
mod emergency_within_reach;
mod frequency_not_in_table;
mod gas_never_ends;
mod interlock_missing;
mod levelling_astern;
mod levelling_runs_away;
mod loss_unseen;
mod measured_differs;
mod mixed_twice;
mod motor_runs_on_loss;
mod name_reads_badly;
mod neutral_missed;
mod no_blow_on_loss;
mod one_way_controller;
mod output_feeds_several;
mod override_too_weak;
mod percent_without_axis;
mod planes_dive_on_loss;
mod preset_not_stored;
mod preset_out_of_date;
mod rest_learned_wrongly;
mod reversals;
mod rod_does_not_fit;
mod runs_on_after_loss;
mod runs_too_long;
mod sense_not_measured;
mod sense_reversed;
mod sinks_on_loss;
mod stage_engages;
mod stage_misses;
mod stage_too_short;
mod stalls_exceed_supply;
mod starts_on;
mod switch_does_two_things;
mod travel_cut_off;
mod turns_at_rest;
mod unit_tripped_by_pilot;
mod unwanted_within_reach;
mod valve_never_full;
mod waiting_engages;
mod wanted_not_reached;
mod works_at_rest;
mod works_together;
mod zone_too_narrow;

use crate::finding::{Finding, Harm, Severity, Subject};
use crate::question::Question;
pub use crate::question::bands::Bands;
use crate::question::safe::BareQuestion;
pub use crate::question::safe::endpoints;
pub use crate::question::worlds::at_worst;
pub use crate::question::{Engine, Windows, more, say, states};
pub use crate::question::{engine, solve};
use crate::rehearsal::Rehearsal;
use crate::setup::{DeviceId, Exact, Function, Input, Path, Setup, WorkRef};
use crate::work;
pub(crate) use motor_runs_on_loss::still;

/// The rule that asks what a control leaves on when it is let go.
pub const AT_REST: &str = works_at_rest::NAME;
/// The rule that asks what a way may reach that it does not want; it narrows what is called safe even
/// where it only warns.
pub const UNWANTED: &str = unwanted_within_reach::NAME;

/// The rule about an acceptance that nothing answers to.
pub const ACCEPTANCE_STALE: &str = acceptance_stale::NAME;
/// The rule about a band of rest, which no better endpoint may leave narrower.
pub const NEUTRAL: &str = neutral_missed::NAME;

/// A rule: its name and how it is applied.
pub struct Rule {
    /// What is wrong when it is broken, in kebab-case; never used again for another rule.
    pub name: &'static str,
    /// The worst that usually comes of it.
    pub harm: Harm,
    /// How it is applied.
    pub apply: Applied,
    /// Its page: what `lidcard explain` prints, with an example that breaks it and one that does not.
    pub text: &'static str,
}

/// How a rule is applied.
#[derive(Clone, Copy)]
pub enum Applied {
    /// It asks, once for each thing it applies to; the engine answers.
    Asks(for<'a> fn(&Engine<'a>, &mut Vec<Question<'a>>)),
    /// It warns of an estimate: nothing here decides what is safe. With what is missing at its worst it may warn where it
    /// says nothing of the set-up as read.
    Estimates(fn(&Engine, &mut Vec<Finding>)),
    /// It reads the file, or what the others found; nothing here decides what is safe.
    Reads(fn(&Engine, &mut Vec<Finding>)),
}

/// A rule that asks, from the module and the page of its name.
macro_rules! rule {
    ($module:ident, $harm:ident) => {
        Rule {
            name: $module::NAME,
            harm: Harm::$harm,
            apply: Applied::Asks($module::ask),
            text: include_str!(concat!(stringify!($module), ".md")),
        }
    };
}

/// A rule that warns of an estimate, likewise.
macro_rules! estimate {
    ($module:ident, $harm:ident) => {
        Rule {
            name: $module::NAME,
            harm: Harm::$harm,
            apply: Applied::Estimates($module::apply),
            text: include_str!(concat!(stringify!($module), ".md")),
        }
    };
}

/// A rule that reads the file or what the others found, likewise.
macro_rules! reading {
    ($module:ident, $harm:ident) => {
        Rule {
            name: $module::NAME,
            harm: Harm::$harm,
            apply: Applied::Reads($module::apply),
            text: include_str!(concat!(stringify!($module), ".md")),
        }
    };
}

/// Every rule, in the order in which a fitter works.
pub const ALL: &[Rule] = &[
    rule!(measured_differs, Lost),
    rule!(sense_not_measured, Untidy),
    rule!(percent_without_axis, Untidy),
    rule!(sense_reversed, Lost),
    rule!(levelling_runs_away, Sinks),
    rule!(levelling_astern, Lost),
    rule!(override_too_weak, Lost),
    rule!(axis_lost, Lost),
    rule!(mixed_twice, Untidy),
    rule!(output_feeds_several, Lost),
    rule!(travel_cut_off, Untidy),
    rule!(rod_does_not_fit, Untidy),
    rule!(dead_centre_within_reach, Lost),
    rule!(beyond_stop, Lost),
    rule!(emergency_within_reach, People),
    rule!(interlock_missing, People),
    rule!(emergency_beside_busy, People),
    rule!(emergency_does_not_raise, Sinks),
    rule!(emergency_does_not_stop, People),
    rule!(switch_does_two_things, Lost),
    rule!(starts_on, People),
    rule!(unwanted_within_reach, Lost),
    rule!(wanted_not_reached, Lost),
    rule!(zone_too_narrow, Untidy),
    rule!(control_of_wrong_kind, Untidy),
    rule!(blow_slowed, Sinks),
    rule!(works_at_rest, Lost),
    rule!(works_together, Lost),
    rule!(neutral_missed, Lost),
    rule!(turns_at_rest, People),
    rule!(one_way_controller, People),
    rule!(rest_learned_wrongly, People),
    rule!(stage_misses, Sinks),
    rule!(valve_never_full, Lost),
    rule!(stage_too_short, Sinks),
    rule!(stage_engages, Sinks),
    rule!(gas_never_ends, Lost),
    rule!(runs_too_long, Lost),
    rule!(delays_outlast_sinking, Sinks),
    rule!(loss_unseen, Sinks),
    rule!(waiting_engages, Lost),
    rule!(preset_not_stored, Lost),
    rule!(preset_out_of_date, Lost),
    rule!(unit_tripped_by_pilot, Lost),
    rule!(sinks_on_loss, Sinks),
    rule!(no_blow_on_loss, Sinks),
    rule!(motor_runs_on_loss, People),
    rule!(burns_on_after_loss, People),
    rule!(runs_on_after_loss, People),
    rule!(planes_dive_on_loss, Sinks),
    rule!(broaches_on_loss, Lost),
    rule!(frequency_not_in_table, Lost),
    rule!(band_not_for_boats, People),
    rule!(band_stops_at_surface, Sinks),
    estimate!(stays_down_on_loss, Sinks),
    estimate!(carried_too_deep, Sinks),
    reading!(estimate_refused, Untidy),
    reading!(figure_hardly_meant, Untidy),
    reading!(throws_unequal, Lost),
    reading!(name_reads_badly, Untidy),
    reading!(readings_too_few, Untidy),
    estimate!(leaps_at_surface, Lost),
    estimate!(pump_too_weak, Sinks),
    estimate!(bottle_too_full, People),
    estimate!(gas_condenses, Sinks),
    estimate!(gas_runs_out, Sinks),
    estimate!(threshold_leaves_too_little, Sinks),
    estimate!(depth_beyond_radio, Lost),
    rule!(battery_threshold_odd, Lost),
    rule!(stalls_exceed_supply, Lost),
    rule!(carries_too_much, Lost),
    // Must stay the last: it looks at what all the others found.
    reading!(acceptance_stale, Untidy),
];

/// Applies every rule; everything that was proved is in the answer too, and what the builder accepts
/// is marked as accepted.
pub fn check(setup: &Setup) -> Vec<Finding> {
    judged_in(&Engine::new(setup))
}

/// What is reported of a boat.
#[derive(Clone, Debug)]
pub struct Verdict {
    /// The findings of [`check`].
    pub findings: Vec<Finding>,
    /// The keys without which time and water were not judged, or only with a guess; none for a boat of
    /// which the file says nothing of that kind.
    pub wanting: Vec<String>,
}

impl Verdict {
    /// With what the engine lacked for the findings.
    pub fn of(engine: &Engine, findings: Vec<Finding>) -> Self {
        Self { findings, wanting: engine.unjudged().iter().map(Path::dotted).collect() }
    }
}

/// What the rules come to, with what the papers tell beside it.
#[derive(Clone, Debug)]
pub struct Judgement {
    /// What is reported.
    pub verdict: Verdict,
    /// What a lost link does from the depth limit on, where a rule had it followed.
    pub lost: Option<Rehearsal>,
    /// What to do in an emergency, and whether it holds.
    pub emergency: Vec<emergency::Step>,
    /// The safe endpoints, for whoever prints them.
    pub windows: Windows,
}

impl Judgement {
    /// With what the engine answers beside the findings.
    pub fn of(engine: Engine, findings: Vec<Finding>) -> Self {
        let (verdict, emergency) = (Verdict::of(&engine, findings), emergency::steps(&engine));
        let (lost, windows) = engine.into_found();
        Self { verdict, lost, emergency, windows }
    }
}

/// Asks every rule, for a report.
pub fn verdict(setup: &Setup) -> Verdict {
    verdict_in(Engine::new(setup))
}

/// The same in an engine, which may fetch what is worked out elsewhere.
pub fn verdict_in(engine: Engine) -> Verdict {
    let findings = judged_in(&engine);
    Verdict::of(&engine, findings)
}

/// Asks every rule, and whatever a paper may tell.
pub fn judge(setup: &Setup) -> Judgement {
    judge_in(Engine::new(setup))
}

/// The same in an engine, which may fetch what is worked out elsewhere.
pub fn judge_in(engine: Engine) -> Judgement {
    let findings = judged_in(&engine);
    Judgement::of(engine, findings)
}

/// Asks every rule in an engine, which may take notes.
pub fn judged_in(engine: &Engine) -> Vec<Finding> {
    let Some((last, rules)) = ALL.split_last() else { return Vec::new() };
    let mut each: Vec<Vec<Finding>> = rules.iter().map(|_| Vec::new()).collect();
    // What a lost link does may be followed elsewhere meanwhile: what does not hang on it comes first, and last of that what
    // is followed in the water besides.
    for follows in [false, true] {
        if follows {
            engine.lowest_threshold();
        }
        for (rule, findings) in rules.iter().zip(&mut each).filter(|(rule, _)| rule.follows() == follows) {
            rule.judge(engine, findings);
        }
    }
    let mut findings: Vec<Finding> = each.into_iter().flatten().collect();
    crate::question::worlds::settle(engine, &mut findings);
    last.judge(engine, &mut findings);
    sense_reversed::told_together(engine, &mut findings);
    findings
}

impl Rule {
    /// Whether what it finds may hang on her way in the water. A rule that is not named here and asks for it waits sooner.
    fn follows(&self) -> bool {
        [
            emergency_does_not_raise::NAME,
            delays_outlast_sinking::NAME,
            sinks_on_loss::NAME,
            no_blow_on_loss::NAME,
            stays_down_on_loss::NAME,
            carried_too_deep::NAME,
            estimate_refused::NAME,
            leaps_at_surface::NAME,
            pump_too_weak::NAME,
            threshold_leaves_too_little::NAME,
        ]
        .contains(&self.name)
    }

    /// Adds what it finds to what the others found.
    fn judge(&self, engine: &Engine, findings: &mut Vec<Finding>) {
        match self.apply {
            Applied::Asks(ask) => {
                let mut questions = Vec::new();
                ask(engine, &mut questions);
                findings.extend(questions.into_iter().map(|question| question.settle(engine)));
            }
            Applied::Estimates(apply) | Applied::Reads(apply) => apply(engine, findings),
        }
        for finding in findings.iter_mut().filter(|finding| finding.about.is_empty()) {
            finding.about = finding.subject.name(engine.setup);
            finding.state = finding.when.name(engine.setup);
            finding.harm = self.harm.min(harm_of(engine.setup, finding));
        }
    }
}

/// Everything that the rules ask, without their words.
pub fn asked(engine: &Engine) -> Vec<BareQuestion> {
    let mut questions = Vec::new();
    ask_all(engine, &mut questions);
    questions.into_iter().map(Question::without_words).collect()
}

/// Everything that the rules ask.
pub fn ask_all<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    for rule in ALL {
        if let Applied::Asks(ask) = rule.apply {
            ask(engine, questions);
        }
    }
    counted(engine, questions);
}

/// What the estimates warn of, or one of them.
pub fn estimated(engine: &Engine, only: Option<&str>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for rule in ALL.iter().filter(|rule| only.is_none_or(|name| name == rule.name)) {
        if let Applied::Estimates(apply) = rule.apply {
            apply(engine, &mut findings);
        }
    }
    findings
}

/// Whether a rule warns of an estimate.
pub fn is_estimate(name: &str) -> bool {
    ALL.iter().any(|rule| rule.name == name && matches!(rule.apply, Applied::Estimates(_)))
}

/// Whether a rule warns of an estimate by which nobody but the boat comes to harm.
pub fn warns_of_the_boat(name: &str) -> bool {
    is_estimate(name) && ALL.iter().any(|rule| rule.name == name && rule.harm != Harm::People)
}

/// What one rule asks, without the words.
pub fn asked_by(engine: &Engine, name: &str) -> Vec<BareQuestion> {
    let mut questions = Vec::new();
    for rule in ALL.iter().filter(|rule| rule.name == name) {
        if let Applied::Asks(ask) = rule.apply {
            ask(engine, &mut questions);
        }
    }
    counted(engine, &questions);
    questions.into_iter().map(Question::without_words).collect()
}

/// To put a question into words takes as long as so many looks at a control.
const WORDS: usize = 64;

fn counted(engine: &Engine, questions: &[Question]) {
    work::steps(questions.len() * WORDS, || {
        format!("{} questions about {} functions", questions.len(), engine.setup.works().count())
    });
}

/// What comes of it by what the finding is about, where its rule can be about harmless things as well.
fn harm_of(setup: &Setup, finding: &Finding) -> Harm {
    let (Subject::Function(function)
    | Subject::FunctionByWay(function, ..)
    | Subject::Pair(function, _)
    | Subject::InStage(_, function)
    | Subject::InStageOnDevice(_, function)) = finding.subject
    else {
        return Harm::Untidy;
    };
    let work = setup.work(function);
    if finding.weight() == Severity::Warning {
        Harm::Untidy
    } else if work.can_hurt() || work.is_reserved() {
        Harm::People
    } else if work.kind.sinks() || work.kind.raises() {
        Harm::Sinks
    } else {
        Harm::Lost
    }
}

/// What a leveller, which is a hand of its own, must never come to by itself.
fn minded_by_itself(w: &Function) -> bool {
    w.is_reserved() || w.kind.is_grave() || w.can_hurt()
}

/// The name of what a device stands behind.
fn unit_before(setup: &Setup, device: DeviceId) -> String {
    match setup.devices[device].input {
        Input::Behind(unit) => setup.devices[unit].name.clone(),
        _ => String::new(),
    }
}

/// What to do about a function to which the unit before it may come by itself.
fn away_from_unit(setup: &Setup, function: WorkRef) -> String {
    let (unit, name) = (unit_before(setup, function.device), setup.work_name(function));
    format!("narrow the `limits` of {unit}, or put {name} on a channel of its own")
}

/// How far every linkage moves, over everything a hand can do and whatever the figures are that the file does not
/// give.
pub fn throws(setup: &Setup) -> Vec<driven::Throw> {
    let worlds = at_worst(setup);
    let in_each = worlds.iter().map(|world| driven::throws(&Engine::new(world)));
    in_each.fold(driven::throws(&Engine::new(setup)), |known, there| {
        known.into_iter().zip(there).map(|(known, there)| known.with(there)).collect()
    })
}

/// How far one channel can go under one order, over everything a hand can do.
#[derive(Clone, Debug)]
pub struct ChannelReach {
    /// Channel number.
    pub channel: u8,
    /// The order, all six lines: key and word.
    pub order: Vec<(String, String)>,
    /// Least output, never passed.
    pub low: Exact,
    /// Greatest output, never passed.
    pub high: Exact,
}

/// The reach of every channel under every order that the file leaves open: what it never passes, whatever the
/// figures are that the file does not give.
pub fn reach(setup: &Setup) -> Vec<ChannelReach> {
    let mut all = reach_as_read(setup);
    for world in at_worst(setup) {
        for (known, there) in all.iter_mut().zip(reach_as_read(&world)) {
            if there.low < known.low {
                known.low = there.low;
            }
            if there.high > known.high {
                known.high = there.high;
            }
        }
    }
    all
}

/// The same of the set-up as read: so far it surely goes.
pub fn reach_as_read(setup: &Setup) -> Vec<ChannelReach> {
    use crate::chain::order::LINES;
    use crate::proof::{Cases, Domain};
    let everything = Domain::everything(setup);
    let none = std::collections::BTreeSet::new();
    let mut all = Vec::new();
    for (id, channel) in setup.channels.iter().enumerate() {
        for order in crate::chain::Order::all(&setup.transmitter.order) {
            let cases = Cases::of(setup, id, std::slice::from_ref(&order), &none);
            let Some((low, high)) = cases.span(setup, &everything) else { continue };
            let order = LINES
                .iter()
                .enumerate()
                .map(|(i, line)| (line.key.to_string(), line.words[order.word_index(i)].to_string()))
                .collect();
            all.push(ChannelReach { channel: channel.number, order, low, high });
        }
    }
    all
}
