//! Puts it together: one plan, three ends of the tolerances.

use super::body::{Around, Body, drags, note};
use super::missing::{Missing, Wanted, Wants};
use super::plan::Plan;
use super::touch::Touch;
use super::travel::{self, Worked};
use super::{Assumption, Cause, Emptied, End, Event, Rehearsal, Run, Sample, Start, What};
use crate::physics::domain::DomainError;
use crate::physics::motion::{self, Followed, Moment, Source, Submerged};
use crate::physics::pressure::ATMOSPHERE;
use crate::physics::units::{AmpereHours, Between, CubicMetres, Kilograms, Metres, MetresPerSecond, Seconds};
use crate::setup::{Emptier, Setup, WorkRef};

/// After how long she is given up.
const PATIENCE: Seconds = Seconds(600.0);

/// Follows what a cause sets going. An estimate; it proves nothing.
pub fn rehearse(setup: &Setup, cause: Cause, start: &Start) -> Rehearsal {
    let mut scene = Scene::of(setup, cause, start);
    let nominal = scene.run(End::Nominal, None);
    let quick = scene.run(End::Quick, None);
    let (worst, other) = scene.worst();
    let tracks: Vec<&Run> = [Some(&nominal), Some(&worst), other.as_ref()].into_iter().flatten().collect();
    let deepest = tracks.iter().filter_map(|run| run.deepest);
    let deepest = deepest.reduce(|a, b| if b.depth > a.depth { b } else { a });
    let deepest = deepest.filter(|_| !tracks.iter().any(|run| run.sinks_on()));
    // From little depth a late rise with much water out may be the faster one.
    let speed = |run: &Run| run.surfaced.map(|s| MetresPerSecond(-s.sinking.0));
    let up = tracks.iter().copied().chain([&quick]).filter_map(|run| Some((run, speed(run)?)));
    let fastest = up.reduce(|a, b| if b.1 > a.1 { b } else { a });
    let leap = fastest.and_then(|(run, speed)| scene.leap(run.end, speed));
    let fastest = fastest.map(|(_, speed)| speed);
    Rehearsal {
        cause,
        nominal,
        worst,
        quick,
        deepest,
        fastest,
        leap,
        missing: scene.wants.into_list(),
        refused: scene.refused,
        assumed: scene.assumed,
    }
}

/// The worst case that [`rehearse`] finds, without the others, and what the file does not say of it.
pub fn worst_case(setup: &Setup, cause: Cause, start: &Start) -> (Run, Vec<Missing>) {
    let mut scene = Scene::of(setup, cause, start);
    let (worst, _) = scene.worst();
    (worst, scene.wants.into_list())
}

/// Whether a run in the worst case ends worse than another: never up, up later, or deeper.
fn later(run: &Run, other: &Run) -> bool {
    let rank = |r: &Run| {
        let up = if r.comes_up() == Some(true) { r.surfaced } else { None };
        [up.map_or(f64::INFINITY, |s| s.time.0), r.deepest.map_or(f64::INFINITY, |s| s.depth.0)]
    };
    rank(run) > rank(other)
}

struct Scene<'a> {
    setup: &'a Setup,
    cause: Cause,
    start: &'a Start,
    wants: Wants,
    assumed: Vec<Assumption>,
    refused: Vec<DomainError>,
    plan: Plan,
}

/// An emptier with what it moves, if that is known.
struct Blowing<'a> {
    work: WorkRef,
    emptier: &'a Emptier,
    touches: Vec<Touch>,
    source: Option<Source>,
}

impl Blowing<'_> {
    /// From the switch to the first water.
    fn starts_in(&self) -> f64 {
        match self.emptier {
            Emptier::Pump(pump) => pump.starts_in.as_ref().map_or(0.0, |s| s.0.to_f64()),
            Emptier::Gas(_) => 0.0,
        }
    }

    /// When it moves water, as far as its switch goes.
    fn at_it(&self) -> Vec<[Seconds; 2]> {
        let late = self.starts_in();
        self.touches
            .iter()
            .map(|t| [t.from + late, t.until.unwrap_or(f64::INFINITY)])
            .filter(|[from, until]| from < until)
            .map(|stretch| stretch.map(Seconds))
            .collect()
    }
}

impl<'a> Scene<'a> {
    fn of(setup: &'a Setup, cause: Cause, start: &'a Start) -> Self {
        let (mut wants, mut assumed) = (Wants::default(), Vec::new());
        let plan = Plan::of(setup, cause, &mut wants, &mut assumed);
        Self { setup, cause, start, wants, assumed, refused: Vec::new(), plan }
    }

    /// The worst case first, then the other way in which it was tried, if she can be followed at all: it
    /// is not known beforehand whether more drag or less is worse.
    fn worst(&mut self) -> (Run, Option<Run>) {
        let blunt = self.run(End::Worst, Some(2));
        if blunt.track.is_empty() {
            return (blunt, None);
        }
        let slippery = self.run(End::Worst, Some(1));
        if later(&slippery, &blunt) { (slippery, Some(blunt)) } else { (blunt, Some(slippery)) }
    }

    /// One way through; `drag`: which of the three coefficients, if not that of the end.
    fn run(&mut self, end: End, drag: Option<usize>) -> Run {
        let worked = travel::worked(self.setup, &self.plan, self.start, end, &mut self.wants);
        let raises_at = first_raise(self.setup, &worked);
        let motors = travel::motors(self.setup, &self.plan);
        let mut run = Run {
            end,
            events: self.plan.events.clone(),
            acts_at: self.plan.acts_at.map(Seconds),
            raises_at: raises_at.map(Seconds),
            handed_back: self.plan.handed_back.map(Seconds),
            track: Vec::new(),
            deepest: None,
            surfaced: None,
            empty_at: None,
            lift: None,
            emptied: Vec::new(),
            charge: None,
        };
        run.events.extend(motors.iter().filter_map(|&(device, at)| {
            at.map(|at| Event { at: Seconds(at), what: What::MotorStops(device) })
        }));
        run.events.extend(switched(&worked));
        let around = self.setup.dives().then(|| Around::of(self.setup, end, &mut self.assumed));
        let around = around.and_then(|around| self.or_refused(around));
        let blowing = self.blowing(&worked, end, around);
        let followed = around.and_then(|around| self.follow(end, drag, around, &blowing, raises_at, &motors));
        if let Some(followed) = &followed {
            put_track(&mut run, followed);
        }
        self.put_emptied(&mut run, &blowing, followed.as_ref());
        run.events.sort_by(|a, b| a.at.0.total_cmp(&b.at.0));
        run
    }

    /// Whether she leaves the water, by the speed at which she meets the surface.
    fn leap(&mut self, end: End, rising: MetresPerSecond) -> Option<Between<Metres>> {
        let around = Around::of(self.setup, end, &mut self.assumed).ok()?;
        let body = Body::of(self.setup, end, self.start, around, &mut self.wants, &mut self.assumed);
        let mut boat = body.ok()??.boat;
        let displaced = CubicMetres(boat.mass.0 / around.water.density().0);
        boat.mass = Kilograms(self.setup.hull.weight.as_ref()?.value.0.to_f64());
        let height = Metres::from_millimetres(self.setup.hull.beam.as_ref()?.0.to_f64());
        motion::leap(&boat, rising, displaced, height).ok()
    }

    fn or_refused<T>(&mut self, result: Result<T, DomainError>) -> Option<T> {
        result
            .map_err(|why| {
                if !self.refused.contains(&why) {
                    self.refused.push(why);
                }
            })
            .ok()
    }

    /// What empties the tank in this run, in file order.
    fn blowing(&mut self, worked: &[Worked], end: End, around: Option<Around>) -> Vec<Blowing<'a>> {
        let setup = self.setup;
        for worked in worked.iter().filter(|w| !w.touches.is_empty()) {
            let given = setup.tank.emptied_by.iter().any(|(work, _)| *work == worked.work);
            if setup.work(worked.work).kind.raises() && !given {
                let key = format!("tank.emptied_by.{}", setup.work_name(worked.work));
                self.wants.note(Wanted::Flow, key);
            }
        }
        let mut all = Vec::new();
        for entry in &setup.tank.emptied_by {
            let touches = worked.iter().find(|w| w.work == entry.0).map(|w| w.touches.clone());
            let touches = touches.unwrap_or_default();
            // What is never switched on needs no figures.
            let source = around.filter(|_| !touches.is_empty()).and_then(|around| {
                let (wants, assumed) = (&mut self.wants, &mut self.assumed);
                let source = super::tank::source(setup, entry, end, around, wants, assumed);
                self.or_refused(source).flatten()
            });
            all.push(Blowing { work: entry.0, emptier: &entry.1, touches, source });
        }
        all
    }

    fn follow(
        &mut self,
        end: End,
        drag: Option<usize>,
        around: Around,
        blowing: &[Blowing<'_>],
        raises_at: Option<f64>,
        motors: &[(usize, Option<f64>)],
    ) -> Option<Followed> {
        if !self.cause.under_water() {
            return None;
        }
        let body = Body::of(self.setup, end, self.start, around, &mut self.wants, &mut self.assumed);
        let mut body = self.or_refused(body)??;
        if let Some(which) = drag {
            body.boat.drag = drags(body.slenderness)[which];
        }
        note(&mut self.assumed, Assumption::Plain);
        let mut driven_until = 0.0;
        if body.sinking.0 > 0.0 {
            note(&mut self.assumed, Assumption::WayOn);
            let still = motors.iter().map(|m| m.1.unwrap_or(f64::INFINITY)).reduce(f64::max);
            let way_on = raises_at.or(still).unwrap_or(f64::INFINITY);
            driven_until = still.unwrap_or(0.0).max(way_on);
        }
        let emptiers = blowing.iter().filter_map(|b| {
            let source = b.source.clone()?;
            Some(motion::Emptier { source, on: b.at_it() })
        });
        let submerged = Submerged {
            boat: body.boat,
            lift: body.lift,
            tank: body.tank,
            driven: (body.drive(), Seconds(driven_until)),
            start: motion::Start { depth: body.depth, sinking: body.sinking },
            emptiers: emptiers.collect(),
        };
        let followed = submerged.follow(PATIENCE);
        self.or_refused(followed)
    }

    /// What each emptier did, and what is told of it.
    fn put_emptied(&mut self, run: &mut Run, blowing: &[Blowing<'_>], followed: Option<&Followed>) {
        let ends = followed.and_then(|f| f.moments.last()).map(|m| m.time.0);
        let told = run.events.iter().map(|e| e.at.0).fold(0.0, f64::max);
        let ends = ends.unwrap_or(0.0).max(told);
        let (mut place, mut bottle, mut charge) = (0, 0, None);
        for b in blowing {
            let moved = b.source.is_some();
            let stalled = followed.filter(|_| moved).and_then(|f| f.stalled[place]);
            place += usize::from(moved);
            let mut gas = Kilograms(0.0);
            let mut spent = None;
            if let Some(Source::Gas { supply, .. }) = &b.source {
                let of = |m: &Moment| m.drawn[bottle];
                gas = followed.and_then(|f| f.moments.last()).map_or(gas, of);
                spent = followed.and_then(|f| {
                    f.moments.iter().find(|m| {
                        let little = supply.charge().is_some_and(|all| of(m).0 >= 0.99 * all.0);
                        of(m).0 > 0.0 && (little || supply.state(of(m)).0 <= ATMOSPHERE)
                    })
                });
                bottle += 1;
            }
            let length = |t: &Touch| (t.until.unwrap_or(ends).min(ends) - t.from).max(0.0);
            let on_for = b.touches.iter().map(length).sum::<f64>();
            let longest = b.touches.iter().map(length).fold(0.0, f64::max);
            if moved {
                let begins = b.at_it().into_iter().map(|s| Event { at: s[0], what: What::Moves(b.work) });
                run.events.extend(begins);
            }
            let told = [(stalled, What::Stalls(b.work)), (spent.map(|m| m.time), What::Spent(b.work))];
            run.events.extend(told.into_iter().filter_map(|(at, what)| at.map(|at| Event { at, what })));
            if let Emptier::Pump(pump) = b.emptier {
                self.past_duty(run, b, pump, &length);
                if on_for > 0.0 {
                    let key = format!("tank.emptied_by.{}.current", self.setup.work_name(b.work));
                    let current = self.wants.need(pump.current.as_ref(), Wanted::Charge, &key);
                    if let Some(current) = current {
                        let drawn = AmpereHours(current.0.to_f64() * on_for / 3600.0);
                        charge = Some(charge.unwrap_or(AmpereHours(0.0)) + drawn);
                    }
                }
            }
            run.emptied.push(Emptied {
                work: b.work,
                on_for: Seconds(on_for),
                longest: Seconds(longest),
                gas,
                stalled: stalled.is_some(),
                spent: spent.is_some(),
            });
        }
        run.charge = charge;
    }

    fn past_duty(
        &self,
        run: &mut Run,
        b: &Blowing<'_>,
        pump: &crate::setup::Pump,
        length: &dyn Fn(&Touch) -> f64,
    ) {
        let Some(duty) = pump.duty.as_ref().map(|d| d.0.to_f64()) else { return };
        let past = b.touches.iter().filter(|t| t.until.is_none_or(|until| until - t.from > duty));
        for touch in past.filter(|t| t.until.is_none() || length(t) > duty) {
            run.events.push(Event { at: Seconds(touch.from + duty), what: What::PastDuty(b.work) });
        }
    }
}

/// When something that raises her is first switched on, other than in passing.
fn first_raise(setup: &Setup, worked: &[Worked]) -> Option<f64> {
    let raising = worked.iter().filter(|w| setup.work(w.work).kind.raises());
    let touches = raising.flat_map(|w| &w.touches).filter(|t| !t.passing);
    touches.map(|t| t.from).reduce(f64::min)
}

/// Works switched on and let go, as events.
fn switched(worked: &[Worked]) -> Vec<Event> {
    let mut events = Vec::new();
    for Worked { work, touches } in worked {
        for touch in touches {
            let until = touch.until.map(Seconds);
            let what = What::On { work: *work, until, passing: touch.passing };
            events.push(Event { at: Seconds(touch.from), what });
            if let Some(at) = until.filter(|_| !touch.passing) {
                events.push(Event { at, what: What::Off(*work) });
            }
        }
    }
    events
}

fn put_track(run: &mut Run, followed: &Followed) {
    let sample = |m: &Moment| Sample {
        time: m.time,
        depth: m.depth,
        sinking: m.sinking,
        emptied: m.emptied,
        gas: m.drawn.iter().fold(Kilograms(0.0), |sum, drawn| sum + *drawn),
    };
    run.track = followed.moments.iter().map(sample).collect();
    run.deepest = Some(sample(&followed.deepest)).filter(|_| !followed.sinks_on);
    run.surfaced = followed.surfaced.as_ref().map(sample);
    run.empty_at = followed.empty;
    run.lift = Some(followed.lift);
    let deepest = run.deepest.filter(|m| m.time.0 > 0.0);
    let given_up = followed.moments.last().filter(|_| followed.sinks_on);
    let told = [
        (deepest.map(|m| m.time), What::Deepest),
        (given_up.map(|m| m.time), What::SinksOn),
        (followed.surfaced.map(|m| m.time), What::Surfaced),
        (followed.empty, What::TankEmpty),
    ];
    run.events.extend(told.into_iter().filter_map(|(at, what)| at.map(|at| Event { at, what })));
}
