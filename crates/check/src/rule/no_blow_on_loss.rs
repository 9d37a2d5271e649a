//! Nothing brings the boat up when the link is lost.

use super::after_loss::{Step, emptying, fails_to_empty, steps};
use super::engine::Engine;
use super::long_enough::{self, Enough, Short};
use super::say::{self, Draft};
use super::states::{PulsePlace, State};
use crate::finding::{Gap, Missing, Severity, StateId, Subject};
use crate::question::{Asks, Question};
use crate::setup::quantity::Seconds;
use crate::setup::{BoatKind, DeviceId, Exact, Path, UnitActs, WorkRef};

pub(super) const NAME: &str = "no-blow-on-loss";

/// Once for a submarine that does not float up by herself.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let boat = &engine.setup.boat;
    if boat.kind != BoatKind::Submarine || boat.floats_when_stopped {
        return;
    }
    let steps = steps(engine);
    // What goes on for good, and what is over: the last step of each way that a loss may take.
    let goes: Vec<&[Step]> = match engine.unit {
        UnitActs::Absent | UnitActs::Sure => vec![&steps],
        // Whether the unit notices or not she has to come up.
        UnitActs::Unsure => vec![&steps[..1], &steps],
    };
    let (mut raised, mut short, mut missing, mut estimated) = (true, None, Vec::new(), false);
    for go in &goes {
        match raises(engine, go) {
            Raises::Surely => {}
            Raises::ByEstimate => estimated = true,
            Raises::Unsaid(unsaid) => missing.extend(unsaid),
            Raises::TooShortly(work, lasts) => {
                raised = false;
                short = Some((work, lasts));
            }
            Raises::Nothing => raised = false,
        }
    }
    let light = engine.works().find(|(function, w)| {
        let on = |step: &Step| surely_on(engine, *function, step.state);
        let drops = w.kind.drops && steps.iter().any(on);
        drops && matches!(long_enough::weight(engine.setup, *function), Enough::TooLight)
    });
    let mut draft = Draft::new(NAME, Severity::Warning, Subject::Unit, StateId::LostForGood)
        .at(Path::of(["receiver", "on_loss"]), "no preset and no stage surely raises her")
        .help("add a stage or a preset that surely pumps or blows, or write `floats_when_stopped: yes` under boat if she comes up by herself");
    let mut told = "when the link is lost nothing surely brings her up".to_owned();
    if let Some((work, lasts)) = &short {
        let (work, lasts) = (*work, lasts.clone());
        let (name, needed) = (engine.setup.work_name(work), engine.setup.work(work).facts.must_run.as_ref());
        let needed = needed.map_or(Exact::ZERO, |needed| needed.0.clone());
        let seconds = |time: &Exact| time.to_decimal(Seconds::PLACES);
        told =
            format!("{told}: {name} runs for {} s, and must run for {} s", seconds(&lasts), seconds(&needed));
        draft = draft
            .and_at(say::work_path(engine.setup, work).then("must_run"), "so long it has to run in one go")
            .sentence("too_short")
            .name("work", &name)
            .gap("time", Gap::Seconds(lasts))
            .gap("needed", Gap::Seconds(needed))
            .help("let the stage last as long as that, or let a stage follow that goes on");
    }
    if let (None, Some((function, _))) = (&short, light) {
        let name = engine.setup.work_name(function);
        told = format!("{told}: {name} is let go, and weighs less in the water than she is heavier than it");
        draft = draft
            .and_at(say::work_path(engine.setup, function).then("weighs"), "less than `hull.heavy`, at the worst of both")
            .sentence("too_light")
            .name("work", &name)
            .help("hang in a heavier weight, or take lead out of her until she is lighter than that with her tank full");
    }
    let holds = match estimated {
        true => {
            "when the link is lost something brings her up; that it runs for long enough, or weighs enough, is an estimate"
        }
        false => "when the link is lost something surely brings her up",
    };
    let asks = match raised && !missing.is_empty() {
        true => Asks::Unsaid(missing),
        false => Asks::Any(goes.iter().map(|go| nothing_raises(engine, go, estimated)).collect()),
    };
    questions.push(draft.plainly().asks(asks, told, holds));
}

/// Whether in one way that a loss may take each thing that raises her may run for too short a time, by the file and,
/// where that is wanted, by the estimate.
fn nothing_raises(engine: &Engine, steps: &[Step], estimated: bool) -> Asks {
    let mut all = Short::default();
    for (device, sign) in emptying(engine.setup) {
        all.add(long_enough::device_short(engine, steps, device, sign));
    }
    for (function, _) in engine.works().filter(|(_, w)| w.kind.raises()) {
        all.add(long_enough::work_short(engine, steps, function));
    }
    Asks::All(all.asks(estimated))
}

/// What comes of the states of a lost link, one after the other.
enum Raises {
    /// Something brings her up.
    Surely,
    /// Something does by the estimate of how long it must run.
    ByEstimate,
    /// Something raises her, and nobody said how long it must run.
    Unsaid(Vec<Missing>),
    /// Something raises her, for less than it must run: the longest of its goes.
    TooShortly(WorkRef, Exact),
    /// Nothing does.
    Nothing,
}

fn raises(engine: &Engine, steps: &[Step]) -> Raises {
    let pumps = emptying(engine.setup).into_iter();
    let mut all: Vec<(Option<WorkRef>, Enough)> = pumps
        .map(|(id, sign)| (None, long_enough::device(engine, steps, |s| empties(engine, id, sign, s.state))))
        .collect();
    for (function, _) in engine.works().filter(|(_, w)| w.kind.raises()) {
        let on = |step: &Step| surely_on(engine, function, step.state);
        all.push((Some(function), long_enough::work(engine, steps, function, on)));
    }
    if all.iter().any(|(_, enough)| matches!(enough, Enough::Surely)) {
        return Raises::Surely;
    }
    if all.iter().any(|(_, enough)| matches!(enough, Enough::ByEstimate)) {
        return Raises::ByEstimate;
    }
    let unsaid = all.iter().filter_map(|(_, enough)| match enough {
        Enough::Unsaid(missing) => Some(missing.clone()),
        _ => None,
    });
    let unsaid: Vec<Missing> = unsaid.collect();
    if !unsaid.is_empty() {
        return Raises::Unsaid(unsaid);
    }
    let short = all.into_iter().filter_map(|(function, enough)| match (function, enough) {
        (Some(function), Enough::TooShortly(go)) => Some((function, go)),
        _ => None,
    });
    let longest = short.reduce(|a, b| if b.1 > a.1 { b } else { a });
    longest.map_or(Raises::Nothing, |(function, go)| Raises::TooShortly(function, go))
}

/// What a preset does until a unit takes over does not last: only what holds for good and the stages count.
pub(super) fn lasting<'s, 'c>(
    engine: &'s Engine,
    steps: &'s [Step<'c>],
) -> impl Iterator<Item = &'s Step<'c>> {
    let taken_over = engine.unit != UnitActs::Absent && steps.len() > 1;
    steps.iter().filter(move |step| {
        step.named != StateId::Waiting || !taken_over || (step.lasts.is_none() && hands_back(engine))
    })
}

/// How long a step lasts where the unit notices; `None`: until the signal returns.
pub(super) fn lasts<'s>(engine: &Engine, steps: &[Step], step: &'s Step) -> Option<&'s Exact> {
    let taken_over = step.named == StateId::Waiting && steps.len() > 1 && !hands_back(engine);
    if taken_over { Some(&step.adds) } else { step.lasts.as_ref() }
}

/// Whether the last stage of the unit ends, so that the receiver has her again.
pub(super) fn hands_back(engine: &Engine) -> bool {
    let unit = engine.setup.fail_safe.as_ref();
    unit.is_some_and(|unit| unit.stages.last().is_some_and(|stage| stage.lasts.is_some()))
}

/// Whether a figure of the file surely works something in a state.
pub(super) fn surely_on(engine: &Engine, function: WorkRef, state: &State) -> bool {
    let place = &state.places[function.device];
    let over = engine.unattended(state);
    let asks = Asks::Misses { function, place: place.clone(), over, fully: false };
    matches!(place, PulsePlace::Fixed { .. }) && engine.holds(&asks)
}

/// Whether a figure of the file surely has a pump behind a controller, or a piston, empty her tank.
pub(super) fn empties(engine: &Engine, device: DeviceId, sign: i32, state: &State) -> bool {
    let place = &state.places[device];
    let asks = fails_to_empty(engine.setup, device, sign, place.clone(), engine.unattended(state));
    matches!(place, PulsePlace::Fixed { .. }) && engine.holds(&asks)
}
