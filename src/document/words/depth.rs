//! How deep she may go, and where a dive has to end so that a lost link takes her no deeper.

use super::Labels;
use crate::document::measure::Units;
use crate::physics::units;
use crate::rehearsal::{Cause, Start, rehearse};
use crate::setup::quantity::Metres;
use crate::setup::{Exact, Setup};

/// Where every dive has to end by the estimate, if that is above her limit; nought is the surface.
pub(in crate::document) fn dives_end_at(setup: &Setup) -> Option<Metres> {
    setup.hull.dives_at.as_ref()?;
    let limit = units::Metres(setup.boat.depth_limit.as_ref()?.0.to_f64());
    let end = rehearse(setup, Cause::Loss, &Start::default()).dives_end_at(limit)?;
    Exact::from_f64(end.0).map(Metres)
}

/// `not deeper than 2 m`, or in as few words `dive to 1.5 m, limit 2 m`
pub(in crate::document) fn depth_in_brief(labels: &Labels, measures: Units, setup: &Setup) -> Option<String> {
    let limit = measures.depth(setup.boat.depth_limit.as_ref()?, labels);
    Some(match dives_end_at(setup) {
        None => format!("{} {limit}", labels.get("card.depth_limit")),
        Some(end) => {
            let end = measures.depth(&end, labels);
            labels.fill("common.dive_to", &[("limit", &limit), ("end", &end)])
        }
    })
}

/// `2 m; end dives at 1.5 m`
pub(in crate::document) fn depth_limit(labels: &Labels, measures: Units, setup: &Setup) -> Option<String> {
    let limit = measures.depth(setup.boat.depth_limit.as_ref()?, labels);
    Some(match dives_end_at(setup) {
        None => limit,
        Some(end) => {
            let end = measures.depth(&end, labels);
            labels.fill("common.depth_and_dive", &[("limit", &limit), ("end", &end)])
        }
    })
}
