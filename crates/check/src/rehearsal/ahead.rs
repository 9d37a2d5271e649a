//! What the rules have followed in the water, for whoever has another thread do it while the questions are answered.

use super::solve::{Setting, lowest_threshold};
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

/// Something that was found elsewhere, with the steps that it took: whoever takes it over counts them as if they were
/// done there.
#[derive(Debug)]
struct Found<T> {
    found: T,
    steps: u64,
}

impl<T> Found<T> {
    fn by(work: impl FnOnce() -> T) -> Self {
        let (found, steps) = counting(work);
        Self { found, steps }
    }

    fn taken(self) -> T {
        work::steps(usize::try_from(self.steps).unwrap_or(usize::MAX), || "a lost link".to_owned());
        self.found
    }
}

/// Where it is followed.
#[derive(Debug)]
pub struct There {
    lost_link: Sender<Found<Rehearsal>>,
    lowest_threshold: Sender<Found<Option<Setting>>>,
}

impl There {
    /// Follows all of it, and hands each over as soon as it is found. What nobody waits for any more is not missed.
    pub fn follow(self, setup: &Setup) {
        let _ = self.lost_link.send(Found::by(|| lost_link(setup)));
        let _ = self.lowest_threshold.send(Found::by(|| lowest_threshold(setup)));
    }
}

/// Where it is asked for. Of what came to no end there nothing comes.
#[derive(Debug)]
pub struct Ahead {
    lost_link: Receiver<Found<Rehearsal>>,
    lowest_threshold: Receiver<Found<Option<Setting>>>,
}

impl Ahead {
    /// Both ends.
    pub fn ends() -> (There, Self) {
        let (lost_link, lowest_threshold) = (channel(), channel());
        let there = There { lost_link: lost_link.0, lowest_threshold: lowest_threshold.0 };
        (there, Self { lost_link: lost_link.1, lowest_threshold: lowest_threshold.1 })
    }

    pub(crate) fn lost_link(&self) -> Option<Rehearsal> {
        self.lost_link.recv().ok().map(Found::taken)
    }

    pub(crate) fn lowest_threshold(&self) -> Option<Option<Setting>> {
        self.lowest_threshold.recv().ok().map(Found::taken)
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
        let found = Found { found: (), steps: MOST };
        let left = std::panic::catch_unwind(|| {
            let _counted = Counted::begin();
            found.taken();
            work::steps(1, String::new);
        });
        assert!(left.unwrap_err().is::<TooMuch>());
    }
}
