//! What a boat does by herself, played: for each cause and each way in which it may find the sticks, the phases
//! with what is proved of them, and the moments of an estimate made beforehand.

use crate::physics::units::figures;
use crate::rule::Engine;
use crate::rule::matrix::{CauseKind, Mark, Matrix, matrix};
use crate::setup::{ControlId, Exact, Input, OnLoss, Path, Setup, Side};
use lidcard_check::rehearsal::{Cause, Event, Run, Start, What, both_cases, untold};
use lidcard_proof::chain::Inputs;
use serde::Serialize;

/// As many points of the tank's way are told.
const POINTS: usize = 24;

/// One cause.
#[derive(Debug, Serialize)]
pub(super) struct Play {
    /// `loss`, `battery`, `leak`, `power-up`, `unpowered`
    cause: &'static str,
    /// The keys of what the file does not say, without which nobody knows what comes when: then nothing is played.
    untold: Vec<String>,
    /// In order of time.
    phases: Vec<Phase>,
    /// One for each way in which it may find the sticks; none where nothing is followed in time.
    runs: Vec<Played>,
}

/// A stretch of time in which what is proved does not change.
#[derive(Debug, Serialize)]
struct Phase {
    /// The sort of cause in the table of causes and effects.
    kind: &'static str,
    /// The stage of the unit, by name.
    stage: Option<String>,
    /// In seconds; nothing where it begins when it does.
    begins_s: Option<f64>,
    /// `surely`, `may`, `never`: one for each column of the table.
    marks: Vec<&'static str>,
}

#[derive(Debug, Serialize)]
struct Played {
    /// The way that is held when it comes; nothing: at rest, and in the worst case wherever that is worst.
    held: Option<(ControlId, usize)>,
    moments: Vec<Moment>,
    nominal: Way,
    worst: Way,
}

/// Something that happens, as the file says and in the worst case.
#[derive(Debug, PartialEq, Serialize)]
struct Moment {
    what: &'static str,
    /// Whatever it happens to.
    name: Option<String>,
    /// Only on the way to somewhere else.
    passing: bool,
    nominal_s: Option<f64>,
    worst_s: Option<f64>,
}

#[derive(Debug, Serialize)]
struct Way {
    ends_s: Option<f64>,
    surfaced_s: Option<f64>,
    comes_up: Option<bool>,
    empty_s: Option<f64>,
    /// Seconds, and what share of the tank's water is out of it.
    emptied: Vec<[f64; 2]>,
}

/// Which way is held when it comes, and what follows: as the file says, and in the worst case.
type Followed = (Option<(ControlId, Side)>, [Run; 2]);

/// The ways of a control that work a tank, held when something happens.
pub(super) fn held_ways(setup: &Setup) -> Vec<(ControlId, Side)> {
    let mut ways: Vec<(ControlId, Side)> = Vec::new();
    for device in &setup.devices {
        let Input::Channel(channel) = device.input else { continue };
        let tank =
            |side: i32| device.works.iter().any(|w| w.sign == side && (w.kind.sinks() || w.kind.raises()));
        let c = &setup.channels[channel];
        let Some(own) = c.control.filter(|own| setup.controls[*own].settings.is_empty()) else { continue };
        let by_side = Side::BOTH.into_iter().filter(|side| tank(side.sign() * c.longer.sign()));
        ways.extend(by_side.map(|side| (own, side)));
    }
    ways.sort_unstable();
    ways.dedup();
    ways.truncate(6);
    ways
}

/// Everything that can be played.
pub(super) fn plays(setup: &Setup, engine: &Engine) -> Vec<Play> {
    let table = matrix(engine);
    let unit = setup.fail_safe.as_ref();
    let causes = [
        Some(Cause::Loss),
        unit.is_some_and(|unit| unit.low_battery.is_some()).then_some(Cause::Battery),
        unit.is_some_and(|unit| unit.leak).then_some(Cause::Leak),
        Some(Cause::PowerUp),
    ];
    let mut all: Vec<Play> = causes.into_iter().flatten().map(|cause| play(setup, &table, cause)).collect();
    let unpowered = phases(&table, setup, &[CauseKind::Unpowered], None);
    all.push(Play { cause: "unpowered", untold: Vec::new(), phases: unpowered, runs: Vec::new() });
    all
}

fn play(setup: &Setup, table: &Matrix, cause: Cause) -> Play {
    let kinds: &[CauseKind] = match cause {
        Cause::Loss => &[CauseKind::Waiting, CauseKind::Stage, CauseKind::LostForGood],
        Cause::Battery | Cause::Leak => &[CauseKind::StageWhilePiloting],
        Cause::PowerUp => {
            &[CauseKind::PowerUp, CauseKind::PowerUpPreset, CauseKind::PowerUpStage, CauseKind::PowerUpOver]
        }
    };
    // What nobody knows when it comes cannot be played; the table of causes and effects has it.
    let untold: Vec<String> = untold(setup, cause).iter().map(Path::dotted).collect();
    let runs: Vec<Followed> = if cause == Cause::PowerUp || !untold.is_empty() {
        Vec::new()
    } else {
        let ways = std::iter::once(None).chain(held_ways(setup).into_iter().map(Some));
        ways.map(|held| (held, both_cases(setup, cause, &start(setup, held)))).collect()
    };
    let first = runs.first().map(|(_, [nominal, _])| nominal);
    Play {
        cause: cause.word(),
        phases: if untold.is_empty() { phases(table, setup, kinds, first) } else { Vec::new() },
        untold,
        runs: runs.iter().map(|(held, both)| played(setup, *held, both)).collect(),
    }
}

fn start(setup: &Setup, held: Option<(ControlId, Side)>) -> Start {
    let hand = held.map(|(control, side)| {
        let mut inputs = Inputs::at_rest(setup);
        inputs.positions[control] = side.position();
        inputs
    });
    Start { hand, depth: None }
}

/// The rows of the table that a cause leads to, with the time at which each begins.
fn phases(table: &Matrix, setup: &Setup, kinds: &[CauseKind], run: Option<&Run>) -> Vec<Phase> {
    let mut stage = 0;
    let rows = table.causes.iter().filter(|row| kinds.contains(&row.kind)).map(|row| {
        let begins = match row.kind {
            CauseKind::Waiting => Some(0.0),
            CauseKind::LostForGood => run.and_then(|run| run.handed_back).map(|at| at.0).or_else(|| {
                // Without a unit nothing comes after what the receiver does.
                let presets = matches!(setup.receiver.on_loss, OnLoss::Preset { .. });
                let acts = run?.first(|what| *what == What::ReceiverActs)?;
                (presets && setup.fail_safe.is_none()).then_some(acts.0)
            }),
            CauseKind::Stage | CauseKind::StageWhilePiloting => {
                stage += 1;
                let at = run.and_then(|run| run.first(|what| *what == What::Stage(stage - 1)));
                at.map(|at| at.0)
            }
            _ => row.begins.as_ref().map_or(Some(0.0), |begins| begins.seconds().map(Exact::to_f64)),
        };
        let named = matches!(row.kind, CauseKind::Stage | CauseKind::StageWhilePiloting);
        let unit = setup.fail_safe.as_ref().filter(|_| named);
        Phase {
            kind: row.kind.word(),
            stage: unit.and_then(|unit| Some(unit.stages.get(stage.checked_sub(1)?)?.name.clone())),
            begins_s: begins.and_then(figure),
            marks: row.marks.iter().map(|mark| Mark::word(*mark)).collect(),
        }
    });
    rows.collect()
}

fn played(setup: &Setup, held: Option<(ControlId, Side)>, [nominal, worst]: &[Run; 2]) -> Played {
    let mut moments: Vec<Moment> = nominal.events.iter().map(|event| moment(setup, event, 0)).collect();
    for event in &worst.events {
        let late = moment(setup, event, 1);
        let same = moments.iter_mut().find(|known| {
            known.worst_s.is_none()
                && (known.what, &known.name, known.passing) == (late.what, &late.name, late.passing)
        });
        match same {
            Some(known) => known.worst_s = late.worst_s,
            None => moments.push(late),
        }
    }
    let key = |moment: &Moment| moment.nominal_s.or(moment.worst_s).unwrap_or(0.0);
    moments.sort_by(|a, b| key(a).total_cmp(&key(b)));
    Played {
        held: held.map(|(control, side)| (control, side.index())),
        moments,
        nominal: way(setup, nominal),
        worst: way(setup, worst),
    }
}

fn moment(setup: &Setup, event: &Event, which: usize) -> Moment {
    let name = match &event.what {
        What::Stage(index) => {
            let stage = setup.fail_safe.as_ref().and_then(|unit| unit.stages.get(*index));
            stage.map(|stage| stage.name.clone())
        }
        What::MotorStops(device) => Some(setup.devices[*device].name.clone()),
        What::On { work, .. }
        | What::Off(work)
        | What::Moves(work)
        | What::Stalls(work)
        | What::Spent(work)
        | What::PastDuty(work) => Some(setup.work(*work).name.clone()),
        _ => None,
    };
    let at = figure(event.at.0);
    Moment {
        what: event.what.word(),
        name,
        passing: matches!(event.what, What::On { passing: true, .. }),
        nominal_s: at.filter(|_| which == 0),
        worst_s: at.filter(|_| which == 1),
    }
}

fn way(setup: &Setup, run: &Run) -> Way {
    let volume = setup.tank.volume.as_ref().map(|volume| volume.value.0.to_f64());
    let share = |at: usize| {
        let sample = &run.track[at];
        let share = sample.emptied.litres() / volume.filter(|volume| *volume > 0.0)?;
        Some([figure(sample.time.0)?, figure(share.clamp(0.0, 1.0))?])
    };
    let last = run.track.len().saturating_sub(1);
    let mut points: Vec<usize> = (0..POINTS).map(|n| last * n / (POINTS - 1)).collect();
    points.dedup();
    let points = points.into_iter().filter(|at| *at < run.track.len());
    Way {
        ends_s: figure(run.ends_at().0),
        surfaced_s: run.surfaced.and_then(|at| figure(at.time.0)),
        comes_up: run.comes_up(),
        empty_s: run.empty_at.and_then(|at| figure(at.0)),
        emptied: points.filter_map(share).collect(),
    }
}

/// A number with the figures that an estimate has, and no more than a machine agrees on with another.
pub(super) fn figure(value: f64) -> Option<f64> {
    figures(value, 4).parse().ok()
}
