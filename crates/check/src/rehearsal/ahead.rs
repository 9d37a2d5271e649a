//! What a lost link does, for whoever has another thread follow it while the questions are answered.

use super::{Cause, Rehearsal, Start, at_best};
use crate::setup::Setup;
use crate::work::{self, counting};
use std::sync::mpsc::{Receiver, Sender, channel};

/// Whether the file says anything of which a lost link can be followed.
pub fn is_begun(setup: &Setup) -> bool {
    let (hull, tank) = (&setup.hull, &setup.tank);
    hull.weight.is_some() || tank.volume.is_some() || !tank.emptied_by.is_empty()
}

/// The rehearsal of the rules: a lost link from the depth limit on, with delays that are not given at their best.
pub(crate) fn lost_link(setup: &Setup) -> Rehearsal {
    at_best(setup, Cause::Loss, &Start::default())
}

/// What was found elsewhere, with the steps that it took: whoever takes it over counts them as if they were done there.
#[derive(Debug)]
struct Found {
    lost: Rehearsal,
    steps: u64,
}

impl Found {
    fn taken(self) -> Rehearsal {
        work::steps(usize::try_from(self.steps).unwrap_or(usize::MAX), || "a lost link".to_owned());
        self.lost
    }
}

/// Where it is followed.
#[derive(Debug)]
pub struct There(Sender<Found>);

impl There {
    /// Follows it, and hands it over. What nobody waits for any more is not missed.
    pub fn follow(self, setup: &Setup) {
        let (lost, steps) = counting(|| lost_link(setup));
        let _ = self.0.send(Found { lost, steps });
    }
}

/// Where it is asked for. Of what came to no end there nothing comes.
#[derive(Debug)]
pub struct Ahead(Receiver<Found>);

impl Ahead {
    /// Both ends.
    pub fn ends() -> (There, Self) {
        let (there, here) = channel();
        (There(there), Self(here))
    }

    pub(crate) fn lost_link(&self) -> Option<Rehearsal> {
        self.0.recv().ok().map(Found::taken)
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::super::tests::example;
    use super::*;
    use crate::question::Engine;
    use crate::rule::verdict_in;
    use crate::work::{Counted, MOST, TooMuch};

    fn told(engine: Engine) -> String {
        format!("{:?}", verdict_in(engine))
    }

    #[test]
    fn what_was_followed_elsewhere_and_what_came_to_no_end_there_give_the_same_verdict() {
        let setup = example(|text| text.replace("heavy: 15 g ± 10 g", "heavy: 700 g"));
        let here = told(Engine::new(&setup));
        assert!(here.contains("stays-down-on-loss"), "{here}");
        let (there, ahead) = Ahead::ends();
        std::thread::scope(|scope| {
            scope.spawn(|| there.follow(&setup));
            assert_eq!(told(Engine::new(&setup).beside(ahead)), here);
        });
        let (fell, ahead) = Ahead::ends();
        drop(fell);
        assert_eq!(told(Engine::new(&setup).beside(ahead)), here);
    }

    #[test]
    fn steps_that_were_done_elsewhere_count_where_they_are_taken_over() {
        let setup = example(|text| text);
        let found = Found { lost: lost_link(&setup), steps: MOST };
        let left = std::panic::catch_unwind(|| {
            let _counted = Counted::begin();
            found.taken();
            work::steps(1, String::new);
        });
        assert!(left.unwrap_err().is::<TooMuch>());
    }
}
