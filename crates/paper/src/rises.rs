//! How long she takes to come up by herself once her signal is gone, for the trial in water: an estimate to hold
//! a stopwatch against. It proves nothing.

use crate::chain::Inputs;
use crate::physics::units::Metres as Deep;
use crate::rehearsal::{Cause, Start, rehearse};
use crate::setup::quantity::Metres;
use crate::setup::{Exact, Setup};
use crate::words;

/// What the record calls the readings of the trial.
pub const NAME: &str = "comes up by herself";
/// What a hand on a stopwatch is off, in hundredths of a second (common practice, no source).
pub const BY_HAND: i64 = 50;
/// She is tried no deeper: so deep that it takes her some seconds, and so shallow that a hook reaches her; in
/// metres (common practice, no source).
const DEEPEST: i64 = 1;

/// The trial of a boat that a lost signal brings up.
#[derive(Clone, Debug, PartialEq)]
pub struct Rises {
    /// How deep she is when the transmitter is switched off.
    pub depth: Metres,
    /// From the soonest to the latest that the estimate has, in whole seconds outwards; `None` where the file
    /// does not tell enough, or in one of its cases she does not come up.
    pub estimate: Option<[Exact; 2]>,
}

impl Rises {
    /// `None` where nothing is there to bring her up, or she does not dive.
    pub fn of(setup: &Setup) -> Option<Self> {
        if !setup.dives() || !words::comes_up_alone(setup) {
            return None;
        }
        let limit = setup.boat.depth_limit.as_ref().map(|limit| limit.0.clone());
        let depth = limit.map_or(Exact::int(DEEPEST), |limit| limit.min(Exact::int(DEEPEST)));
        let start = Start { hand: Some(Inputs::at_rest(setup)), depth: Some(Deep(depth.to_f64())) };
        let found = rehearse(setup, Cause::Loss, &start);
        let up = [&found.nominal, &found.worst, &found.quick].map(|run| {
            let up = run.surfaced.filter(|_| run.comes_up() == Some(true));
            up.map(|sample| sample.time.0)
        });
        let all: Option<Vec<f64>> = up.into_iter().collect();
        let estimate = all.map(|all| {
            let soonest = all.iter().copied().fold(f64::INFINITY, f64::min);
            let latest = all.iter().copied().fold(0.0, f64::max);
            [soonest.floor(), latest.ceil()].map(|seconds| Exact::int(seconds as i64))
        });
        Some(Self { depth: Metres(depth), estimate })
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::Rises;
    use crate::setup::{Exact, lower};
    use crate::source::Source;

    fn of(from: &str, to: &str) -> Option<Rises> {
        let text = include_str!("../../../boats/moonfish.yaml");
        assert!(text.contains(from), "{from}");
        let source = Source::from_text("moonfish", &text.replace(from, to)).unwrap();
        Rises::of(&lower::lower(&source).unwrap())
    }

    #[test]
    fn she_is_tried_a_metre_down_or_at_her_limit_if_that_is_less() {
        let [deep, shallow] =
            [of("depth_limit: 2 m", "depth_limit: 2 m"), of("depth_limit: 2 m", "depth_limit: 0.6 m")];
        assert_eq!(deep.unwrap().depth.0, Exact::ONE);
        assert_eq!(shallow.unwrap().depth.0, Exact::ratio(3, 5));
    }

    #[test]
    fn the_estimate_begins_after_the_unit_has_waited_and_is_none_where_the_file_tells_too_little() {
        // The receiver's second and the unit's three pass before anything is done.
        let [soonest, latest] = of("depth_limit: 2 m", "depth_limit: 2 m").unwrap().estimate.unwrap();
        assert!(soonest > Exact::int(4) && latest > soonest && latest < Exact::int(30));
        assert_eq!(of("  weight: 8.4 kg ", "  # ").unwrap().estimate, None);
    }

    #[test]
    fn a_boat_that_nothing_brings_up_is_not_tried() {
        let text = include_str!("../../../boats/capstan.yaml");
        let setup = lower::lower(&Source::from_text("capstan", text).unwrap()).unwrap();
        assert_eq!(Rises::of(&setup), None);
    }
}
