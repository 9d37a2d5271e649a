//! Figures that no model has, so that they are asked about instead of being believed.

use super::engine::Engine;
use super::say::Draft;
use crate::finding::{Finding, Gap, Severity, StateId, Subject};
use crate::rehearsal::solve::{LONGEST_STAGE, LONGEST_WAIT};
use crate::setup::quantity::Seconds;
use crate::setup::{Exact, Path};

pub(super) const NAME: &str = "figure-hardly-meant";

/// Beyond these a figure is asked about (common practice, no source): depths, weights, sizes of a hull, and what a tank
/// takes. Times are those beyond which none is proposed either.
const METRES: i64 = 10;
const KILOGRAMS: i64 = 300;
const MILLIMETRES: i64 = 5000;
const LITRES: i64 = 50;
/// Years in which a model may have been fitted out.
const YEARS: std::ops::RangeInclusive<u16> = 1970..=2100;

/// Once for each figure that is beyond what a model has.
pub(super) fn apply(engine: &Engine, findings: &mut Vec<Finding>) {
    let setup = engine.setup;
    let mut times: Vec<(Subject, Path, &Seconds, i64)> = Vec::new();
    if let Some(after) = &setup.receiver.after {
        times.push((Subject::Receiver, Path::of(["receiver", "after"]), after, LONGEST_WAIT));
    }
    if let Some(unit) = &setup.fail_safe {
        let path = Path::of(["fail_safe"]);
        if let Some(wait) = &unit.wait {
            times.push((Subject::Unit, path.then("wait"), wait, LONGEST_WAIT));
        }
        for (index, stage) in unit.stages.iter().enumerate() {
            if let Some(lasts) = &stage.lasts {
                let path = path.then("stages").then(index).then("lasts");
                times.push((Subject::Stage(index), path, lasts, LONGEST_STAGE));
            }
        }
    }
    if let Some(sinks) = &setup.boat.sinks_in {
        times.push((Subject::Boat, Path::of(["boat", "sinks_in"]), sinks, LONGEST_STAGE));
    }
    for (about, path, time, most) in times {
        if time.0 > Exact::int(most) {
            let draft = asked(about, path, &time.to_string(), &format!("{most} s"));
            findings.push(draft.sentence("time").gap("time", Gap::Seconds(time.0.clone())).close_plain(
                true,
                &format!("a time of {time} is hardly meant"),
                "",
            ));
        }
    }
    let (boat, hull) = (&setup.boat, &setup.hull);
    let figures: [(_, [&str; 2], Option<&Exact>, i64, &str); 5] = [
        (Subject::Boat, ["boat", "depth_limit"], boat.depth_limit.as_ref().map(|q| &q.0), METRES, "m"),
        (Subject::Hull, ["hull", "weight"], hull.weight.as_ref().map(|q| &q.value.0), KILOGRAMS, "kg"),
        (Subject::Hull, ["hull", "length"], hull.length.as_ref().map(|q| &q.0), MILLIMETRES, "mm"),
        (Subject::Hull, ["hull", "beam"], hull.beam.as_ref().map(|q| &q.0), MILLIMETRES, "mm"),
        (Subject::Tank, ["tank", "volume"], setup.tank.volume.as_ref().map(|q| &q.value.0), LITRES, "L"),
    ];
    for (about, path, figure, most, unit) in figures {
        if let Some(figure) = figure.filter(|figure| **figure > Exact::int(most)) {
            let shown = format!("{} {unit}", figure.to_decimal(3));
            let message = format!("{} of {shown} is hardly that of a model", path[1].replace('_', " "));
            let draft = asked(about, Path::of(path), &shown, &format!("{most} {unit}"));
            findings.push(draft.close_plain(true, &message, ""));
        }
    }
    let year = boat.date.as_ref().and_then(|date| date.split('-').next()?.parse::<u16>().ok());
    if let Some(year) = year.filter(|year| !YEARS.contains(year)) {
        let (first, last) = (YEARS.start(), YEARS.end());
        findings.push(
            Draft::new(NAME, Severity::Warning, Subject::Boat, StateId::OnPaper)
                .at(Path::of(["boat", "date"]), format!("not between {first} and {last}"))
                .help("write the day of this revision: `2026-05-02`")
                .close_plain(true, &format!("nobody fits out a boat in the year {year}"), ""),
        );
    }
}

fn asked(about: Subject, path: Path, shown: &str, most: &str) -> Draft {
    Draft::new(NAME, Severity::Warning, about, StateId::OnPaper)
        .at(path, format!("{shown}, more than {most}"))
        .help("look for a slip of the unit or of the point; if it is right, accept the finding with that reason")
}
