//! Everything that waits before she is blown adds up to more than she has.

use super::engine::Engine;
use super::say::Draft;
use crate::finding::{Gap, Missing, Severity, StateId, Subject};
use crate::question::{Asks, Question};
use crate::setup::quantity::Seconds;
use crate::setup::{Exact, OnLoss, Path, UnitActs};

pub(super) const NAME: &str = "delays-outlast-sinking";

/// A unit that must raise her and of which nobody knows when it begins.
fn unsaid<'a>() -> Question<'a> {
    let missing = Missing {
        path: Path::of(["fail_safe", "wait"]),
        bench: "switch the transmitter off and take the time until the unit moves the first servo".to_owned(),
        holds: None,
        said: false,
        decides: None,
    };
    Draft::new(NAME, Severity::Error, Subject::Unit, StateId::LostForGood).asks(
        Asks::Unsaid(vec![missing]),
        String::new(),
        "she is blown before she is at the depth limit",
    )
}

/// Nobody knows how long she takes to sink, and no estimate tells.
fn not_timed<'a>(total: &Exact) -> Question<'a> {
    let missing = Missing {
        path: Path::of(["boat", "sinks_in"]),
        bench: "switch the transmitter off under way in shallow water, or flood her by hand, and take the time down to \
                the depth limit"
            .to_owned(),
        holds: Some(format!("if she takes longer than {} s", total.to_decimal(Seconds::PLACES))),
        said: false, decides: None };
    Draft::new(NAME, Severity::Error, Subject::Unit, StateId::LostForGood).asks(
        Asks::Unsaid(vec![missing]),
        String::new(),
        "she is blown before she is at the depth limit",
    )
}

/// Once, where the file says how long she takes to sink and something brings her up.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    let raising = setup.fail_safe.as_ref().is_some_and(|unit| {
        let mut works = unit.stages.iter().flat_map(|stage| &stage.works);
        unit.wait.is_none() && works.any(|&work| setup.work(work).kind.raises())
    });
    if raising {
        return questions.push(unsaid());
    }
    let raises = |works: &[crate::setup::WorkRef]| works.iter().any(|&w| setup.work(w).kind.raises());
    let mut parts: Vec<(String, Exact, Path)> = Vec::new();
    if let Some(after) = &setup.receiver.after {
        parts.push(("receiver".to_owned(), after.0.clone(), Path::of(["receiver", "after"])));
    }
    let by_receiver = matches!(&setup.receiver.on_loss, OnLoss::Preset { works, .. } if raises(works));
    match &setup.fail_safe {
        // The preset acts first where it acts at all.
        _ if by_receiver => {}
        Some(unit) if engine.unit != UnitActs::Absent => {
            let Some(first) = unit.stages.iter().position(|s| raises(&s.works)) else { return };
            if let Some(wait) = &unit.wait {
                parts.push(("unit".to_owned(), wait.0.clone(), Path::of(["fail_safe", "wait"])));
            }
            for (index, stage) in unit.stages.iter().enumerate().take(first) {
                let Some(lasts) = &stage.lasts else { continue };
                let path = Path::of(["fail_safe", "stages", &index.to_string(), "lasts"]);
                parts.push((format!("stage {}", stage.name), lasts.0.clone(), path));
            }
        }
        _ => return,
    }
    let Some(has) = &setup.boat.sinks_in else {
        let estimated = engine.rehearsal().is_some();
        if setup.dives() && !setup.boat.floats_when_stopped && !estimated {
            let total = parts.iter().fold(Exact::ZERO, |sum, part| sum + &part.1);
            questions.push(not_timed(&total));
        }
        return;
    };
    let total = parts.iter().fold(Exact::ZERO, |sum, part| sum + &part.1);
    let seconds = |value: &Exact| format!("{} s", value.to_decimal(Seconds::PLACES));
    let asks = match &setup.receiver.after {
        None if total < has.0 => Asks::Unsaid(vec![Missing {
            path: Path::of(["receiver", "after"]),
            bench: "switch the transmitter off and take the time until its pulses stop or go to the preset"
                .to_owned(),
            holds: Some(format!("if it waits for less than {}", seconds(&(&has.0 - &total)))),
            said: false,
            decides: None,
        }]),
        _ => Asks::Fact(total >= has.0),
    };
    let after = if setup.receiver.after.is_some() { "after" } else { "no sooner than after" };
    let sum = parts.iter().map(|(who, s, _)| format!("{who} {}", seconds(s))).collect::<Vec<_>>().join(" + ");
    let mut draft = Draft::new(NAME, Severity::Error, Subject::Unit, StateId::LostForGood)
        .at(Path::of(["boat", "sinks_in"]), "she is at the depth limit by then");
    for (who, _, path) in &parts {
        draft = draft.and_at(path.clone(), format!("{who} waits"));
    }
    questions.push(
        draft
            .gap("total", Gap::Seconds(total.clone()))
            .gap("limit", Gap::Seconds(has.0.clone()))
            .help("shorten a wait or put the stage that raises her first; she goes on sinking while the tank fills with air, so leave some seconds over")
            .asks(
                asks,
                format!("she is blown {after} {} ({sum}), but at the depth limit after {}", seconds(&total), seconds(&has.0)),
                format!("she is blown {after} {}, before she is at the depth limit", seconds(&total)),
            ),
    );
}
