//! A stage or a preset keeps something on for longer than it may run in one go.

use super::after_loss::{Step, set_by, steps};
use super::engine::Engine;
use super::say::{self, Draft};
use super::states::{PulsePlace, State};
use crate::finding::{Gap, Missing, Severity, Subject};
use crate::question::{Asks, Question};
use crate::setup::quantity::Seconds;
use crate::setup::{Emptier, Exact, Path, Setup, WorkRef};

pub(super) const NAME: &str = "runs-too-long";

/// Once for each work of which the file says how long it may run, and each state that sets it.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    let steps = steps(engine);
    for (work, _) in engine.works() {
        let Some((longest, limit)) = shortest(setup, work) else {
            questions.extend(unsaid(engine, &steps, work));
            continue;
        };
        // What follows on each other and keeps it on is one go.
        let (mut so_far, mut untimed) = (Exact::ZERO, false);
        for (at, Step { state, named, lasts, adds, untimed: this }) in steps.iter().enumerate() {
            let place = &state.places[work.device];
            if !matches!(place, PulsePlace::Fixed { .. }) {
                (so_far, untimed) = (Exact::ZERO, false);
                continue;
            }
            if engine.holds(&on(engine, work, state)) {
                (so_far, untimed) = (Exact::ZERO, false);
                continue;
            }
            untimed |= this;
            let total = lasts.as_ref().map(|lasts| &so_far + lasts);
            let told = match &total {
                Some(_) if untimed => "for a time not known".to_owned(),
                Some(total) => format!("for {} s", total.to_decimal(Seconds::PLACES)),
                None => "until the signal returns".to_owned(),
            };
            let name = setup.work_name(work);
            let most = longest.0.to_decimal(Seconds::PLACES);
            let mut draft = Draft::new(NAME, Severity::Warning, Subject::Function(work), *named)
                .at(set_by(state), format!("keeps {name} on {told}"))
                .and_at(limit.clone(), "and it may run no longer than this")
                .sentence("without_end")
                .gap("most", Gap::Seconds(longest.0.clone()));
            if let Some(total) = &total {
                draft = draft.sentence("for_long").gap("time", Gap::Seconds(total.clone()));
            }
            questions.push(
                draft
                    .help("give the stage a `lasts` within that and let a stage follow that switches it off; a receiver's preset cannot end by itself")
                    .plainly()
                    .asks(
                        Asks::Any(too_long(engine, &steps[..=at], work, &longest.0).into_iter().collect()),
                        format!("{name} is kept on {told}, but may run for {most} s in one go"),
                        format!("{name} is kept on {told} and may run for {most} s"),
                    ),
            );
            so_far = so_far + adds;
        }
    }
}

/// Whether a state may have a work on.
fn on(engine: &Engine, function: WorkRef, state: &State) -> Asks {
    Asks::Engages { function, place: state.places[function.device].clone(), over: engine.unattended(state) }
}

/// On in each of the last states, as few as last for longer than it may run; `None`: all that set it do not.
fn too_long(engine: &Engine, steps: &[Step], work: WorkRef, longest: &Exact) -> Option<Asks> {
    let (mut total, mut run) = (Exact::ZERO, Vec::new());
    for step in steps.iter().rev() {
        if !matches!(step.state.places[work.device], PulsePlace::Fixed { .. }) {
            return None;
        }
        let adds = if run.is_empty() { step.lasts.as_ref() } else { Some(&step.adds) };
        run.push(on(engine, work, step.state));
        let Some(adds) = adds else { return Some(Asks::All(run)) };
        total = total + adds;
        if total > *longest {
            return Some(Asks::All(run));
        }
    }
    None
}

/// A pump that a state keeps on and of which nobody said how long it may run.
fn unsaid<'a>(engine: &Engine<'a>, steps: &[Step], function: WorkRef) -> Option<Question<'a>> {
    let missing = not_said(engine.setup, function)?;
    let kept_on = |step: &&Step| {
        matches!(step.state.places[function.device], PulsePlace::Fixed { .. })
            && !engine.holds(&on(engine, function, step.state))
    };
    let named = steps.iter().find(kept_on)?.named;
    let name = engine.setup.work_name(function);
    let draft = Draft::new(NAME, Severity::Warning, Subject::Function(function), named);
    let holds = format!("{name} may run for as long as it is kept on");
    Some(draft.asks(Asks::Unsaid(vec![missing]), String::new(), holds))
}

/// What the file would have to say of a pump of which it does not say how long it may run.
pub(super) fn not_said(setup: &Setup, function: WorkRef) -> Option<Missing> {
    let w = setup.work(function);
    (w.kind.pumps && !w.facts.never_too_long && shortest(setup, function).is_none()).then(|| Missing {
        path: say::work_path(setup, function).then("longest"),
        bench: "read in its papers how long it may run in one go, or feel how hot it gets; `none` where it may run for ever"
            .to_owned(),
        holds: None,
        said: false,
        decides: None,
    })
}

/// How long a work may run in one go, and where the file says so: its own `longest` or the `duty` of the pump
/// that it starts, whichever is less.
pub(super) fn shortest(setup: &Setup, work: WorkRef) -> Option<(Seconds, Path)> {
    let longest = setup.work(work).facts.longest.clone();
    let longest = longest.map(|longest| (longest, say::work_path(setup, work).then("longest")));
    let duty = setup.tank.emptied_by.iter().find_map(|(by, emptier)| match emptier {
        Emptier::Pump(pump) if *by == work => pump.duty.clone(),
        _ => None,
    });
    let duty = duty.map(|duty| (duty, setup.emptier_path(work).then("duty")));
    [longest, duty].into_iter().flatten().min_by(|a, b| a.0.0.cmp(&b.0.0))
}
