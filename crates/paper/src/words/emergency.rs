//! What to do in an emergency, step by step: the place of the hand first, with the worst case of the estimate.

use super::hand::{control_place, with_its_place};
use super::{FIXED, Labels, plain};
use crate::Job;
use crate::finding::{Finding, Gap, Harm, Outcome, Severity, StateId};
use crate::labels::text::common::{self, emergency};
use crate::rule::emergency::Step;
use crate::setup::{ControlId, Device, EmergencyAct, Exact, HandStep, Path, Setup, Side, Until};

/// What the papers say for an emergency.
#[derive(Clone, Debug, Default)]
pub(crate) struct Emergency {
    /// What is worst, where the boat failed her check.
    pub(crate) failed: Option<String>,
    /// The numbered steps, or what there is to say where nothing is sure.
    pub(crate) steps: Vec<String>,
    /// Whether the engine says of one of the steps that it holds.
    pub(crate) judged: bool,
    /// Whether she surely does by herself what the steps are for, once the transmitter is off.
    pub(crate) alone: bool,
    /// Whether one of the steps is to switch the transmitter off.
    pub(crate) off: bool,
    /// The builder's own words, which nobody checked.
    pub(crate) own: Vec<String>,
    /// Which ways and settings the steps ask for.
    pub(crate) marks: Marks,
}

/// The numbers of the steps, at the ways and settings that they ask for.
#[derive(Clone, Debug, Default)]
pub(crate) struct Marks {
    ways: Vec<(ControlId, Side, String)>,
    settings: Vec<(ControlId, usize, String)>,
    rests: Vec<(ControlId, String)>,
}

impl Marks {
    /// The number of the step that asks for a way.
    pub(super) fn way(&self, id: ControlId, side: Side) -> Option<String> {
        let mut ways = self.ways.iter().filter(|(control, way, _)| (*control, *way) == (id, side));
        ways.next().map(|(_, _, number)| number.clone())
    }

    /// The same for a control that a step puts to rest and does nothing else.
    pub(super) fn rest(&self, id: ControlId) -> Option<String> {
        self.rests.iter().find(|(control, _)| *control == id).map(|(_, number)| number.clone())
    }

    /// The same for a setting of a switch.
    pub(super) fn setting(&self, id: ControlId, setting: usize) -> Option<String> {
        let mut settings = self.settings.iter().filter(|(control, n, _)| (*control, *n) == (id, setting));
        settings.next().map(|(_, _, number)| number.clone())
    }
}

/// An estimate is told in steps of so many seconds, rounded up.
const TOLD_IN: f64 = 5.0;

/// The steps that hold, in the reader's language, then the builder's own words. What failed the check is never
/// asked for.
pub(crate) fn emergency(labels: &Labels, job: &Job<'_>) -> Emergency {
    let setup = job.setup;
    // Beside steps of the file one that was worked out tells what the set switched off does, and asks for nothing.
    let by_file = setup.owner.steps().next().is_some();
    let asked = job.emergency.iter().filter(|step| step.given.is_some() || !by_file);
    let (steps, withheld): (Vec<&Step>, Vec<&Step>) =
        asked.partition(|step| !step.holds || !forbidden(job, step));
    let mut said: Vec<String> = Vec::new();
    let mut before: Option<&Step> = None;
    let mut marks = Marks::default();
    for &step in steps.iter().filter(|step| step.holds) {
        let what = act(labels, setup, step, before.is_none());
        if let EmergencyAct::Hand(hand) = &step.step.act {
            let number = (said.len() + 1).to_string();
            marks.ways.extend(hand.hold.iter().map(|(id, side)| (*id, *side, number.clone())));
            if hand.hold.is_empty() {
                marks.rests.extend(hand.rest.iter().map(|id| (*id, number.clone())));
            }
            marks.settings.extend(hand.with.iter().map(|(id, setting)| (*id, *setting, number.clone())));
        }
        said.push(match before {
            None => what,
            Some(_) if !setup.dives() => labels.fill(emergency::NotStopped { what: &what }),
            Some(before) => match time(labels, before) {
                Some(time) => labels.fill(emergency::NotUpIn { time: &time, what: &what }),
                None => labels.fill(emergency::NotUp { what: &what }),
            },
        });
        if step.step.act == EmergencyAct::SwitchOff {
            said.push(match time(labels, step) {
                _ if !setup.dives() => labels.get(emergency::LEAVE_OFF_STOPPED).to_owned(),
                Some(time) => labels.fill(emergency::LeaveOffIn { time: &time }),
                None => labels.get(emergency::LEAVE_OFF).to_owned(),
            });
        }
        before = Some(step);
    }
    let nothing_else = job.emergency.is_empty() && setup.owner.emergency.is_empty() && !setup.dives();
    let by_loss = if nothing_else { by_loss(labels, job) } else { Vec::new() };
    let off = !by_loss.is_empty()
        || steps.iter().any(|step| step.holds && step.step.act == EmergencyAct::SwitchOff);
    said.extend(by_loss);
    let mut lines: Vec<String> = match said.len() {
        1 => said,
        _ => said.into_iter().zip(1..).map(|(line, n)| format!("{n}{FIXED}{line}")).collect(),
    };
    lines.extend(withheld.iter().map(|step| match step.given {
        Some(index) => not_printed(labels, index, false),
        None => labels.get(emergency::WITHHELD).to_owned(),
    }));
    lines.extend(unsure(labels, job, &steps));
    let failed = |index: usize| {
        let broken =
            |f: &Finding| f.is_open() && f.primary.0 == Path::of(["owner", "emergency", &index.to_string()]);
        job.findings.iter().any(broken)
    };
    let (failed, own): (Vec<_>, Vec<_>) = setup.owner.texts().partition(|(index, _)| failed(*index));
    lines.extend(failed.iter().map(|(index, _)| not_printed(labels, *index, false)));
    let own: Vec<String> = own.into_iter().map(|(_, text)| text.to_owned()).collect();
    Emergency {
        failed: super::failed(labels, job),
        off,
        alone: rises_alone(job),
        judged: steps.iter().any(|step| step.holds),
        steps: lines,
        own: with_its_place(labels, setup, &own),
        marks,
    }
}

/// Whether an error was found that shows itself while the hand holds what the step asks for, or could hurt somebody while
/// the transmitter is off: she may come up by it, and set off the gas or run her motor.
fn forbidden(job: &Job<'_>, step: &Step) -> bool {
    let mut errors = job.findings.iter().filter(|f| f.is_open() && f.weight() == Severity::Error);
    let EmergencyAct::Hand(hand) = &step.step.act else {
        let off = |state| matches!(state, StateId::Waiting | StateId::Stage(_) | StateId::LostForGood);
        return errors.any(|found| found.harm == Harm::People && off(found.when));
    };
    let held = |(name, at): &(String, Exact)| {
        hand.hold.iter().any(|(id, side)| job.setup.controls[*id].name == *name && at.signum() == side.sign())
    };
    errors.any(|found| found.witness.as_ref().is_some_and(|witness| witness.positions.iter().any(held)))
}

/// What is left where nobody gave a step and the engine has none, which knows of motors only: to let a lost signal do what
/// it does, where that leaves everything at rest.
fn by_loss(labels: &Labels, job: &Job<'_>) -> Vec<String> {
    let failed = super::failed(labels, job).is_some();
    if failed || !super::rests_alone(job.setup) {
        return Vec::new();
    }
    let off = match super::all_off(labels, job.setup) {
        Some([when, what]) => labels.fill(emergency::OffThen { when: &when, what: &what }),
        None => labels.get(emergency::OFF_AT_ONCE).to_owned(),
    };
    vec![off, labels.get(emergency::LEAVE_OFF_STOPPED).to_owned()]
}

/// Whether the engine says that with the transmitter off she surely comes up, or where she does not dive to rest.
fn rises_alone(job: &Job<'_>) -> bool {
    job.emergency.iter().any(|step| step.holds && step.step.act == EmergencyAct::SwitchOff)
}

/// What has to be said where not every step is sure.
fn unsure(labels: &Labels, job: &Job<'_>, steps: &[&Step]) -> Vec<String> {
    let setup = job.setup;
    let failed = steps.iter().filter(|step| !step.holds);
    let unknown = |step: &Step, index: usize| step.unknown || only_unjudged(job, index);
    let failed =
        failed.filter_map(|step| step.given.map(|index| not_printed(labels, index, unknown(step, index))));
    let mut lines: Vec<String> = failed.collect();
    let by_hand = steps.iter().any(|s| s.holds && matches!(s.step.act, EmergencyAct::Hand(_)));
    // What is not printed because somebody could be hurt by it still brings her up.
    if setup.dives() && !rises_alone(job) {
        lines.push(
            labels
                .get(match by_hand {
                    true if setup.boat.floats_when_stopped => return lines,
                    true => emergency::NOT_ALONE,
                    false if setup.boat.floats_when_stopped => match has_a_motor(setup) {
                        true => emergency::FLOATS,
                        false => emergency::FLOATS_UNPOWERED,
                    },
                    false => emergency::NONE,
                })
                .to_owned(),
        );
    }
    lines
}

/// Whether the file has anything that drives her, a motor or a servo on a throttle.
fn has_a_motor(setup: &Setup) -> bool {
    let drives = |d: &Device| {
        d.kind.runs_a_motor()
            || d.all_effects().any(|(_, effect)| setup.effect_words(effect).starts_with("drives"))
    };
    setup.devices.iter().any(drives)
}

/// Whether what was found of a line of the file is only that nobody could judge it.
fn only_unjudged(job: &Job<'_>, index: usize) -> bool {
    let of_it = ("step", Gap::Name((index + 1).to_string()));
    let open = |f: &&Finding| f.outcome != Outcome::Proved && f.accepted.is_none();
    let mut found = job.findings.iter().filter(open).filter(|f| f.gaps.contains(&of_it)).peekable();
    found.peek().is_some() && found.all(|f| f.outcome == Outcome::NotJudged)
}

/// What stands in place of a line that failed the check, or that nobody could judge.
fn not_printed(labels: &Labels, index: usize, unknown: bool) -> String {
    let number = &(index + 1).to_string();
    match unknown {
        true => labels.fill(emergency::Unknown { number }),
        false => labels.fill(emergency::Failed { number }),
    }
}

/// How long a step takes at worst, in the reader's words.
fn time(labels: &Labels, step: &Step) -> Option<String> {
    let seconds = step.up_in?.0 / TOLD_IN;
    let told = Exact::from_f64(seconds.ceil() * TOLD_IN)?;
    Some(super::seconds(labels, &told))
}

fn act(labels: &Labels, setup: &Setup, step: &Step, first: bool) -> String {
    match &step.step.act {
        EmergencyAct::SwitchOff if first => labels.get(emergency::OFF_AT_ONCE).to_owned(),
        EmergencyAct::SwitchOff => labels.get(emergency::OFF).to_owned(),
        EmergencyAct::Hand(hand) => by_hand(labels, setup, hand, step.step.until),
    }
}

fn by_hand(labels: &Labels, setup: &Setup, hand: &HandStep, until: Option<Until>) -> String {
    let all = |parts: Vec<String>| {
        parts.into_iter().reduce(|one, other| labels.fill(common::Both { one: &one, other: &other }))
    };
    let ways = all(hand.hold.iter().map(|way| held(labels, setup, *way)).collect());
    let held = ways.map(|ways| match until {
        Some(Until::Up) => labels.fill(emergency::HoldUp { ways: &ways }),
        Some(Until::Stopped) => labels.fill(emergency::HoldStopped { ways: &ways }),
        None => labels.fill(emergency::Press { ways: &ways }),
    });
    let resting = |springs: bool| {
        let rest = hand.rest.iter().filter(|id| setup.controls[**id].springs_back == springs);
        let mut places: Vec<String> = rest.map(|id| at(labels, setup, *id)).collect();
        // One gimbal may carry two of them.
        places.dedup();
        all(places)
    };
    let let_go = |what: Option<String>, places: String| match what {
        Some(what) => labels.fill(emergency::LetGoToo { what: &what, places: places.as_str() }),
        None => labels.fill(emergency::LetGo { places: &places }),
    };
    let middle = |what: Option<String>, places: String| match what {
        Some(what) => labels.fill(emergency::MiddleToo { what: &what, places: places.as_str() }),
        None => labels.fill(emergency::Middle { places: &places }),
    };
    let mut what = held;
    if let Some(places) = resting(true) {
        what = Some(let_go(what, places));
    }
    if let Some(places) = resting(false) {
        what = Some(middle(what, places));
    }
    let thrown =
        all(hand.with.iter().map(|&(switch, setting)| throw(labels, setup, switch, setting)).collect());
    match (thrown, what) {
        (Some(throw), Some(what)) => labels.fill(emergency::ThrowFirst { throw: &throw, what: &what }),
        (Some(one), None) | (None, Some(one)) => one,
        (None, None) => String::new(),
    }
}

/// Where the hand goes: `REAR LEFT, UPPER`; without a place the builder's word for the way.
fn held(labels: &Labels, setup: &Setup, (id, side): (ControlId, Side)) -> String {
    let control = &setup.controls[id];
    let hand = labels.word(common::HANDS, control.line.words()[side.index()]).to_uppercase();
    match control_place(labels, control) {
        // A place never parts over two lines.
        Some(place) => labels
            .fill(emergency::Place { place: &place.to_uppercase(), hand: &hand })
            .replace(' ', &FIXED.to_string()),
        None => labels.fill(common::ActHere { way: &plain(&control.ways[side.index()]), hand: &hand }),
    }
}

/// Where a control sits, in one piece, or its name.
fn at(labels: &Labels, setup: &Setup, id: ControlId) -> String {
    let control = &setup.controls[id];
    let place = control_place(labels, control).unwrap_or_else(|| plain(&control.name));
    place.to_uppercase().replace(' ', &FIXED.to_string())
}

fn throw(labels: &Labels, setup: &Setup, switch: ControlId, setting: usize) -> String {
    let control = &setup.controls[switch];
    let name = plain(&control.name);
    let switch = match control_place(labels, control) {
        Some(place) => labels.fill(emergency::Switch { place: &place.to_uppercase(), name: &name }),
        None => name,
    };
    labels.fill(emergency::Throw { switch: &switch, setting: &plain(&control.settings[setting]) })
}
