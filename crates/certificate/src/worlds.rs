//! The set-ups in which figures that the file leaves out are somewhere in their ranges.

use super::told;
use crate::finding::{Finding, Missing, Outcome};
use crate::question::worlds::{Name, World};
use crate::setup::{Figure, Point, Setup};
use serde_json::{Map, Value, json};
use std::collections::{BTreeMap, BTreeSet};

/// Figures with their steps.
type Figures = Vec<(Figure, i64)>;

/// The worlds that are spoken of beside the one as read, each with the questions that are asked there.
pub(super) struct Plan {
    /// How many are those in which everything is at its worst; they come first.
    pub(super) worst: usize,
    /// The figures of each with the names of the questions.
    pub(super) all: Vec<(Figures, BTreeSet<Name>)>,
}

/// Names for findings: of several with the same rule, subject and state which of them it is.
pub(super) fn names(findings: &[Finding]) -> Vec<Name> {
    let mut counts = BTreeMap::new();
    let named = findings.iter().map(|finding| {
        let (rule, subject, state) = (finding.rule, finding.subject, finding.when);
        let count = counts.entry((rule, subject, state)).or_insert(0);
        *count += 1;
        (rule, subject, state, *count - 1)
    });
    named.collect()
}

impl Plan {
    /// Everything proved is so at the worst, and every value that decides is shown to.
    pub(super) fn of(setup: &Setup, findings: &[Finding], names: &[Name]) -> Self {
        let proved = || findings.iter().zip(names).filter(|(finding, _)| finding.outcome == Outcome::Proved);
        let all: BTreeSet<Name> = proved().map(|(_, name)| *name).collect();
        let worst = World::worst(setup).into_iter().map(moving).filter(|figures| !figures.is_empty());
        let mut plan = Self { worst: 0, all: worst.map(|figures| (figures, all.clone())).collect() };
        plan.worst = plan.all.len();
        for (finding, name) in findings.iter().zip(names) {
            for missing in &finding.missing {
                for at in plan.deciding(setup, missing) {
                    plan.all[at - 1].1.insert(*name);
                }
            }
        }
        plan
    }

    /// The worlds that show that a figure decides, by their number; those that are new are added.
    pub(super) fn deciding(&mut self, setup: &Setup, missing: &Missing) -> Vec<usize> {
        let Some(decides) = missing.decides.filter(|decides| is_moving(decides.figure)) else {
            return Vec::new();
        };
        let mut found = Vec::new();
        for figures in World::deciding(setup, decides).into_iter().map(moving) {
            let known = self.all.iter().position(|(known, _)| *known == figures);
            let at = known.unwrap_or_else(|| {
                self.all.push((figures, BTreeSet::new()));
                self.all.len() - 1
            });
            if !found.contains(&(at + 1)) {
                found.push(at + 1);
            }
        }
        found
    }
}

/// How long a servo takes and a receiver waits, what a leveller corrects, how a switch wakes and what a controller learns have
/// no part in where an output goes and for how long.
fn is_moving(figure: Figure) -> bool {
    !matches!(
        figure,
        Figure::Takes(_) | Figure::After | Figure::Corrects(_) | Figure::Wakes(_) | Figure::LearnsRest(_)
    )
}

fn moving(figures: Figures) -> Figures {
    figures.into_iter().filter(|(figure, _)| is_moving(*figure)).collect()
}

/// Each figure by its key with its value.
pub(super) fn figures(setup: &Setup, figures: &[(Figure, i64)]) -> Value {
    let told = figures.iter().map(|&(figure, step)| (key(setup, figure), value(setup, figure, step)));
    told.collect::<Map<String, Value>>().into()
}

/// The value of a figure at a step.
pub(super) fn value(setup: &Setup, figure: Figure, step: i64) -> Value {
    figure.number(setup, step).map_or_else(|word| json!(word), |number| told::number(&number))
}

/// The key of a figure; a stop has its side behind it.
pub(super) fn key(setup: &Setup, figure: Figure) -> String {
    let device = |device: usize, key: &str| format!("devices.{}.{key}", setup.devices[device].name);
    let work = |at: crate::setup::WorkRef, key: &str| {
        format!("devices.{}.works.{}.{key}", setup.devices[at.device].name, setup.work(at).name)
    };
    match figure {
        Figure::Accuracy(id) => device(id, "accuracy"),
        Figure::PulseAccuracy => "transmitter.pulse.accuracy".into(),
        Figure::UnitAccuracy => "fail_safe.accuracy".into(),
        Figure::Tolerance(at, Point::From) if setup.work(at).from_clicks() => work(at, "clicks"),
        Figure::Tolerance(at, Point::From) => work(at, "from"),
        Figure::Tolerance(at, Point::To) => work(at, "to"),
        Figure::Tolerance(at, Point::Full) => work(at, "full"),
        Figure::Tolerance(at, Point::Releases) => work(at, "releases ±"),
        Figure::UnitTolerance => "fail_safe.notices.beyond".into(),
        Figure::Stop(id, side) => device(id, &format!("stops.{side}")),
        Figure::StopTolerance(id, side) => device(id, &format!("stops.{side} ±")),
        Figure::Trim(id) => format!("controls.{}.trim", setup.controls[id].name),
        Figure::Releases(at) => work(at, "releases"),
        Figure::StillBetween(id) | Figure::StillAtEnd(id) => device(id, "still_between"),
        Figure::Linkage(id, measure) => device(id, &format!("linkage.{} ±", measure.key())),
        Figure::Rests(id) => device(id, "linkage.rests"),
        Figure::Corrects(id) => device(id, "corrects"),
        Figure::Wakes(at) => work(at, "wakes"),
        Figure::LevelAt(id) => device(id, "level_at"),
        Figure::LevelTolerance(id) => device(id, "level_at ±"),
        Figure::LearnsRest(id) => device(id, "learns_rest"),
        Figure::After => "receiver.after".into(),
        Figure::Wait => "fail_safe.wait".into(),
        Figure::WithoutPulses(id) => device(id, "without_pulses"),
        Figure::Takes(id) => device(id, "takes"),
        Figure::Correction(id) => device(id, "correction"),
        Figure::Furthest(_) => "transmitter.furthest".into(),
        Figure::OnLoss => "receiver.on_loss".into(),
        Figure::Notices => "fail_safe.notices".into(),
        Figure::Tried => "fail_safe.tried".into(),
        Figure::UntilItActs => "fail_safe.until_it_acts".into(),
    }
}
