//! Nothing brings the boat up when the link is lost.

use super::after_loss::{Step, steps};
use super::engine::Engine;
use super::long_enough::{Enough, Raiser, Short};
use super::say::{self, Draft};
use crate::finding::{Gap, Missing, Severity, StateId, Subject};
use crate::question::{Asks, Question};
use crate::setup::quantity::Seconds;
use crate::setup::{BoatKind, Exact, Path, UnitActs, WorkRef};

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
    let goes: Vec<Vec<Raiser>> = goes.into_iter().map(|go| Raiser::all(engine, go)).collect();
    for raisers in &goes {
        match raises(raisers) {
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
    let all = Raiser::all(engine, &steps);
    let light = all.iter().find(|raiser| matches!(raiser.enough(), Enough::TooLight));
    let light = light.and_then(|raiser| raiser.function);
    let (raises, full) = match engine.setup.has_tank() {
        true => ("pumps or blows", " with her tank full"),
        false => ("lets go what holds her down", ""),
    };
    let mut draft = Draft::new(NAME, Severity::Warning, Subject::Unit, StateId::LostForGood)
        .at(Path::of(["receiver", "on_loss"]), "no preset and no stage surely raises her")
        .help(format!("add a stage or a preset that surely {raises}, or write `floats_when_stopped: yes` under boat if she comes up by herself"));
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
    if let (None, Some(function)) = (&short, light) {
        let name = engine.setup.work_name(function);
        told = format!("{told}: {name} is let go, and weighs less in the water than she is heavier than it");
        draft = draft
            .and_at(
                say::work_path(engine.setup, function).then("weighs"),
                "less than `hull.heavy`, at the worst of both",
            )
            .sentence("too_light")
            .name("work", &name)
            .help(format!(
                "hang in a heavier weight, or take lead out of her until she is lighter than that{full}"
            ));
    }
    let holds = match estimated {
        true => {
            "when the link is lost something brings her up; that it runs for long enough, or weighs enough, is an estimate"
        }
        false => "when the link is lost something surely brings her up",
    };
    let asks = match raised && !missing.is_empty() {
        true => Asks::Unsaid(missing),
        false => Asks::Any(goes.iter().map(|raisers| nothing_raises(raisers, estimated)).collect()),
    };
    questions.push(draft.plainly().asks(asks, told, holds));
}

/// Whether in one way that a loss may take each thing that raises her may run for too short a time, by the file and,
/// where that is wanted, by the estimate.
fn nothing_raises(raisers: &[Raiser], estimated: bool) -> Asks {
    let mut all = Short::default();
    for raiser in raisers {
        all.add(raiser.short());
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

fn raises(raisers: &[Raiser]) -> Raises {
    let all: Vec<(Option<WorkRef>, Enough)> =
        raisers.iter().map(|raiser| (raiser.function, raiser.enough())).collect();
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
