//! Nothing brings the boat up when the link is lost.

use super::after_loss::{Step, emptying, steps};
use super::context::Context;
use super::say::{self, Draft};
use super::states::{Place, State};
use crate::finding::{Gap, Severity, StateId, Subject};
use crate::question::{Asks, Question};
use crate::setup::quantity::Seconds;
use crate::setup::{BoatKind, DeviceId, Exact, Path, Unit, WorkRef};

/// The rule's name.
pub(super) const NAME: &str = "no-blow-on-loss";

/// Once for a submarine that does not float up by herself.
pub(super) fn ask<'a>(context: &Context<'a>, questions: &mut Vec<Question<'a>>) {
    let boat = &context.setup.boat;
    if boat.kind != BoatKind::Submarine || boat.floats_when_stopped {
        return;
    }
    let steps = steps(context);
    // What goes on for good, and what is over: the last step of each way that a loss may take.
    let goes: Vec<&[Step]> = match context.unit {
        Unit::Absent | Unit::Sure => vec![&steps],
        // Whether the unit notices or not she has to come up.
        Unit::Unsure => vec![&steps[..1], &steps],
    };
    let (mut raised, mut short) = (true, None);
    for go in goes {
        match raises(context, go) {
            Raises::Surely => {}
            Raises::TooShortly(work, lasts) => {
                raised = false;
                short = Some((work, lasts));
            }
            Raises::Nothing => raised = false,
        }
    }
    let mut draft = Draft::new(NAME, Severity::Warning, Subject::Unit, StateId::LostForGood)
        .at(Path::of(["receiver", "on_loss"]), "no preset and no stage surely raises her")
        .help("add a stage or a preset that surely pumps or blows, or write `floats_when_stopped: yes` under boat if she comes up by herself");
    let mut told = "when the link is lost nothing surely brings her up".to_owned();
    if let Some((work, lasts)) = short {
        let (name, needed) =
            (context.setup.work_name(work), context.setup.work(work).facts.must_run.as_ref());
        let needed = needed.map_or(Exact::ZERO, |needed| needed.0.clone());
        let seconds = |time: &Exact| time.to_decimal(Seconds::PLACES);
        told =
            format!("{told}: {name} runs for {} s, and must run for {} s", seconds(&lasts), seconds(&needed));
        draft = draft
            .and_at(say::work_path(context.setup, work).then("must_run"), "so long it has to run in one go")
            .sentence("too_short")
            .name("work", &name)
            .gap("time", Gap::Seconds(lasts))
            .gap("needed", Gap::Seconds(needed))
            .help("let the stage last as long as that, or let a stage follow that goes on");
    }
    questions.push(draft.fact(!raised, told, "when the link is lost something surely brings her up"));
}

/// What comes of the states of a lost link, one after the other.
enum Raises {
    /// Something brings her up.
    Surely,
    /// Something raises her, for less than it must run: the longest of its goes.
    TooShortly(WorkRef, Exact),
    /// Nothing does.
    Nothing,
}

fn raises(context: &Context, steps: &[Step]) -> Raises {
    let mut pumps = emptying(context.setup).into_iter();
    // A pump behind a controller that runs until the unit comes is over with that, like a preset.
    if pumps.any(|(device, sign)| lasting(context, steps).any(|s| empties(context, device, sign, s.state))) {
        return Raises::Surely;
    }
    let mut short: Option<(WorkRef, Exact)> = None;
    for (function, w) in context.works().filter(|(_, w)| w.kind.raises()) {
        let on = |step: &Step| surely_on(context, function, step.state);
        if w.kind.drops {
            // A weight that is gone is gone, whatever comes after.
            if steps.iter().any(on) {
                return Raises::Surely;
            }
            continue;
        }
        let Some(needed) = &w.facts.must_run else {
            if lasting(context, steps).any(on) {
                return Raises::Surely;
            }
            continue;
        };
        let mut go = Exact::ZERO;
        for step in steps {
            if !on(step) {
                go = Exact::ZERO;
                continue;
            }
            let Some(lasts) = lasts(context, steps, step) else { return Raises::Surely };
            go = go + lasts;
            if go >= needed.0 {
                return Raises::Surely;
            }
            if short.as_ref().is_none_or(|(_, longest)| go > *longest) {
                short = Some((function, go.clone()));
            }
        }
    }
    short.map_or(Raises::Nothing, |(work, longest)| Raises::TooShortly(work, longest))
}

/// What a preset does until a unit takes over does not last: only what holds for good and the stages count.
fn lasting<'s, 'c>(context: &'s Context, steps: &'s [Step<'c>]) -> impl Iterator<Item = &'s Step<'c>> {
    let taken_over = context.unit != Unit::Absent && steps.len() > 1;
    steps.iter().filter(move |step| {
        step.named != StateId::Waiting || !taken_over || (step.lasts.is_none() && hands_back(context))
    })
}

/// How long a step lasts where the unit notices; `None`: until the signal returns.
fn lasts<'s>(context: &Context, steps: &[Step], step: &'s Step) -> Option<&'s Exact> {
    let taken_over = step.named == StateId::Waiting && steps.len() > 1 && !hands_back(context);
    if taken_over { Some(&step.adds) } else { step.lasts.as_ref() }
}

/// Whether the last stage of the unit ends, so that the receiver has her again.
pub(super) fn hands_back(context: &Context) -> bool {
    let unit = context.setup.fail_safe.as_ref();
    unit.is_some_and(|unit| unit.stages.last().is_some_and(|stage| stage.lasts.is_some()))
}

/// Whether a figure of the file surely works something in a state.
fn surely_on(context: &Context, function: WorkRef, state: &State) -> bool {
    let place = &state.places[function.device];
    let over = context.unattended(state);
    let asks = Asks::Misses { function, place: place.clone(), over, fully: false };
    matches!(place, Place::Fixed { .. }) && context.holds(&asks)
}

/// Whether a figure of the file surely runs a pump behind a controller that empties her tank. One of which the
/// band of rest is not known runs nowhere surely.
fn empties(context: &Context, device: DeviceId, sign: i32, state: &State) -> bool {
    let d = &context.setup.devices[device];
    let (Some(band), true) = (&d.still_between, d.kind.runs_a_motor() && !d.facts.one_way) else {
        return false;
    };
    let needed = band[usize::from(sign > 0)].abs();
    let place = &state.places[device];
    let asks =
        Asks::FallsShort { device, place: place.clone(), over: context.unattended(state), sign, needed };
    matches!(place, Place::Fixed { .. }) && context.holds(&asks)
}
