//! Motion under a force that changes: ballast that is emptied while she sinks and rises.

use super::ode::{self, Begins, Step, next};
use super::steady::Boat;
use crate::domain::{DomainError, not_negative, positive, within};
use crate::pressure::GRAVITY;
use crate::units::{CubicMetres, CubicMetresPerSecond, Kilograms, Metres, MetresPerSecond, Newtons, Seconds};

type State = ode::State<2>;

/// What acts on the boat at a moment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// Net buoyancy, upwards positive.
    pub net: Newtons,
    /// Her mass with the water still in her, without added mass.
    pub mass: Kilograms,
}

/// Ballast that is emptied evenly from some moment on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ballast {
    /// Net buoyancy before; a heavy boat has it below nought.
    pub before: Newtons,
    /// When the emptying begins.
    pub begins: Seconds,
    /// How fast.
    pub rate: CubicMetresPerSecond,
    /// How much there is to empty.
    pub volume: CubicMetres,
}

impl Ballast {
    /// What acts on a boat at a moment.
    pub fn load(&self, boat: &Boat, time: Seconds) -> Load {
        let out = (self.rate * (time - self.begins).0.max(0.0)).0.min(self.volume.0);
        let water = boat.water.0 * out;
        Load { net: self.before + Newtons(water * GRAVITY), mass: boat.mass - Kilograms(water) }
    }

    /// The moments at which the load bends.
    pub fn bends(&self) -> [Seconds; 2] {
        [self.begins, self.begins + Seconds(self.volume.0 / self.rate.0)]
    }
}

/// Where and how she starts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Start {
    /// Depth of her reference point.
    pub depth: Metres,
    /// Speed downwards.
    pub sinking: MetresPerSecond,
}

/// A moment of the way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sample {
    /// From the start.
    pub time: Seconds,
    /// Depth of her reference point.
    pub depth: Metres,
    /// Speed downwards.
    pub sinking: MetresPerSecond,
}

/// The way from the start to the surface or to the end of patience.
#[derive(Clone, Debug, PartialEq)]
pub struct Rise {
    /// The steps of the computation, from the start to the last moment.
    pub samples: Vec<Sample>,
    /// The deepest.
    pub deepest: Sample,
    /// When and how fast she comes to the surface, if she does.
    pub surfaced: Option<Sample>,
}

/// Error allowed in each step, in metres and metres per second.
const ALLOWED: State = [1e-10; 2];
/// Steps before a motion is called one that cannot be followed.
const STEPS: usize = 20_000;
/// Longest step, so that a picture of the samples is smooth.
const LONGEST: f64 = 0.25;

/// Follows her until her reference point is at the surface or the time is up.
///
/// `load` may ask for the time and the depth, and should be smooth between the moments in `bends`.
///
/// # Errors
/// For a boat that [`Boat::terminal_speed`] refuses, a start above the surface, a load that is no number or
/// has no mass, a bend that is no number, a time not above nought or beyond a day, and for a motion that
/// needs more than 20 000 steps.
pub fn rise(
    boat: &Boat,
    start: Start,
    until: Seconds,
    bends: &[Seconds],
    load: impl Fn(Seconds, Metres) -> Load,
) -> Result<Rise, DomainError> {
    let (_, q) = boat.checked()?;
    let depth = not_negative("depth", start.depth.0, "m")?;
    let speed = within("speed", start.sinking.0, -100.0, 100.0, "m/s")?;
    let until = within("time", positive("time", until.0, "s")?, 0.0, 86_400.0, "s")?;
    let mut stops = Vec::new();
    for bend in bends {
        let bend = within("time of a change", bend.0, f64::MIN, f64::MAX, "s")?;
        if bend > 0.0 && bend < until {
            stops.push(bend);
        }
    }
    stops.push(until);
    stops.sort_by(f64::total_cmp);
    let fall = |t: f64, &[z, v]: &State| {
        let Load { net, mass } = load(Seconds(t), Metres(z));
        [v, (-net.0 - q * v * v.abs()) / (mass.0 + boat.added.0)]
    };
    let mut way = Way::from(0.0, [depth, speed]);
    for stop in stops {
        way.go(&fall, stop)?;
        if way.surfaced.is_some() {
            break;
        }
    }
    Ok(Rise { samples: way.samples, deepest: way.deepest, surfaced: way.surfaced })
}

fn sample(t: f64, [z, v]: State) -> Sample {
    Sample { time: Seconds(t), depth: Metres(z), sinking: MetresPerSecond(v) }
}

struct Way {
    t: f64,
    y: State,
    h: f64,
    samples: Vec<Sample>,
    deepest: Sample,
    surfaced: Option<Sample>,
}

impl Way {
    fn from(t: f64, y: State) -> Self {
        let first = sample(t, y);
        Self { t, y, h: 1e-3, samples: vec![first], deepest: first, surfaced: None }
    }

    /// On to a moment, or to the surface.
    fn go(&mut self, f: &impl Fn(f64, &State) -> State, until: f64) -> Result<(), DomainError> {
        const LOST: DomainError = DomainError::Inconsistent { what: "the motion cannot be followed" };
        let mut begins = Begins::at(f, self.t, &self.y);
        while self.t < until {
            let ends = self.t + self.h >= until;
            let h = if ends { until - self.t } else { self.h };
            let step = Step::from(f, &begins, h);
            let (y, error) = (step.end, step.error(&ALLOWED));
            if !y.iter().all(|n| n.is_finite()) || self.samples.len() > STEPS || self.h < 1e-12 {
                return Err(LOST);
            }
            if error > 1.0 {
                self.h = h * next(error);
                continue;
            }
            self.turned(&step);
            if y[0] <= 0.0 && y[1] < 0.0 {
                let (h, y) = step.part(|y| y[0]);
                let there = sample(self.t + h, y);
                self.samples.push(there);
                self.surfaced = Some(there);
                return Ok(());
            }
            self.t = if ends { until } else { self.t + h };
            self.y = y;
            begins = step.next();
            self.samples.push(sample(self.t, y));
            self.deepest = deeper(self.deepest, sample(self.t, y));
            self.h = (h.max(self.h) * next(error)).min(LONGEST);
        }
        Ok(())
    }

    /// Notes the moment at which she stops sinking, if it is in this step.
    fn turned(&mut self, step: &Step<2>) {
        if self.y[1] > 0.0 && step.end[1] <= 0.0 {
            let (h, y) = step.part(|y| y[1]);
            self.deepest = deeper(self.deepest, sample(self.t + h, y));
        }
    }
}

fn deeper(a: Sample, b: Sample) -> Sample {
    if b.depth > a.depth { b } else { a }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::units::{KgPerM3, SquareMetres};

    fn boat() -> Boat {
        Boat {
            mass: Kilograms(5.0),
            added: Kilograms(4.59),
            drag: 1.1,
            area: SquareMetres(0.06),
            water: KgPerM3(1000.0),
        }
    }

    fn under(net: f64) -> impl Fn(Seconds, Metres) -> Load {
        move |_, _| Load { net: Newtons(net), mass: Kilograms(5.0) }
    }

    #[test]
    fn a_constant_force_gives_the_closed_form() {
        let start = Start { depth: Metres(2.0), sinking: MetresPerSecond(0.0) };
        let found = rise(&boat(), start, Seconds(60.0), &[], under(1.0)).unwrap().surfaced.unwrap();
        let (time, speed) = boat().over_way(Newtons(1.0), Metres(2.0)).unwrap();
        assert!((found.time - time).0.abs() < 1e-6 && (found.sinking + speed).0.abs() < 1e-7, "{found:?}");
    }

    #[test]
    fn a_dive_that_is_stopped_goes_as_deep_as_the_closed_form() {
        let start = Start { depth: Metres(1.0), sinking: MetresPerSecond(0.3) };
        let found = rise(&boat(), start, Seconds(60.0), &[], under(2.0)).unwrap();
        let over = boat().stopping(Newtons(2.0), MetresPerSecond(0.3)).unwrap();
        assert!((found.deepest.depth.0 - 1.0 - over.way.0).abs() < 1e-8);
        assert!((found.deepest.time.0 - over.time.0).abs() < 1e-6);
        assert!(found.surfaced.is_some());
    }

    #[test]
    fn a_heavy_boat_whose_blow_comes_late_goes_deeper_and_comes_up() {
        let blow = |begins: f64| Ballast {
            before: Newtons(-1.0),
            begins: Seconds(begins),
            rate: CubicMetresPerSecond(1e-4),
            volume: CubicMetres(5e-4),
        };
        let start = Start { depth: Metres(0.5), sinking: MetresPerSecond(0.1) };
        let deepest = |begins: f64| {
            let b = blow(begins);
            let found = rise(&boat(), start, Seconds(60.0), &b.bends(), |t, _| b.load(&boat(), t)).unwrap();
            assert!(found.surfaced.is_some());
            found.deepest.depth.0
        };
        assert!(deepest(3.0) > deepest(1.0) + 0.2);
        let over = blow(1.0).load(&boat(), Seconds(100.0));
        // 0.5 l of fresh water is half a kilogram.
        assert!((over.net.0 - (0.5 * GRAVITY - 1.0)).abs() < 1e-12 && (over.mass.0 - 4.5).abs() < 1e-12);
    }

    #[test]
    fn a_boat_that_stays_heavy_never_surfaces_and_nonsense_is_refused() {
        let start = Start { depth: Metres(1.0), sinking: MetresPerSecond(0.0) };
        assert_eq!(rise(&boat(), start, Seconds(10.0), &[], under(-1.0)).unwrap().surfaced, None);
        assert!(rise(&boat(), start, Seconds(10.0), &[], under(f64::NAN)).is_err());
        assert!(rise(&boat(), start, Seconds(f64::NAN), &[], under(1.0)).is_err());
        let above = Start { depth: Metres(-1.0), ..start };
        assert!(rise(&boat(), above, Seconds(10.0), &[], under(1.0)).is_err());
    }
}
