//! How deep she may go, and where a dive has to end so that a lost link takes her no deeper.

use super::Labels;
use crate::Job;
use crate::labels::text::common;
use crate::measure::Units;
use crate::physics::units;
use crate::rehearsal::{Cause, Rehearsal, Start, rehearse};
use crate::setup::quantity::Metres;
use crate::setup::{Exact, Setup};

/// What a lost link asks of a dive, by an estimate.
pub(crate) enum Dives {
    /// Her limit is all there is to heed.
    ToTheLimit,
    /// To end above it.
    EndAt(Metres),
    /// A lost link takes her beyond her limit from any depth.
    Never,
}

/// The least that counts as a depth to dive to: what paper can say in metres.
fn least() -> Exact {
    Exact::ratio(1, 10)
}

/// Where every dive has to end; `lost` is the rehearsal of a lost link, if it was made already.
pub(crate) fn dives(setup: &Setup, lost: Option<&Rehearsal>) -> Dives {
    let Some(limit) = &setup.boat.depth_limit else { return Dives::ToTheLimit };
    let limit = units::Metres(limit.0.to_f64());
    let end = match lost {
        Some(lost) => lost.dives_end_at(limit),
        None => rehearse(setup, Cause::Loss, &Start::default()).dives_end_at(limit),
    };
    let Some(end) = end else { return Dives::ToTheLimit };
    match Exact::from_f64(end.0).filter(|end| *end >= least()) {
        Some(end) => Dives::EndAt(Metres(end)),
        None => Dives::Never,
    }
}

/// How deep she may go, beside a heading of its own: `2 m; end dives at 1.5 m`.
pub(crate) fn depth_limit(labels: &Labels, measures: Units, job: &Job<'_>) -> Option<String> {
    let limit = measures.depth(job.setup.boat.depth_limit.as_ref()?, labels);
    Some(match dives(job.setup, job.lost) {
        Dives::ToTheLimit => limit,
        Dives::EndAt(end) => {
            let end = measures.depth(&end, labels);
            labels.fill(common::DepthAndDive { limit: &limit, end: &end })
        }
        Dives::Never => labels.fill(common::NoDives { limit: &limit }),
    })
}
