//! One way through, at one corner of the tolerances.

use super::body::{Around, Body, COASTING, note};
use super::corner::{Corner, Figure, Salt, Timing, Warmth};
use super::missing::{Wanted, Wants};
use super::plan::Plan;
use super::tank::Bottles;
use super::touch::Touch;
use super::travel::{self, Places, Worked};
use super::{Assumption, Cause, Emptied, Event, Run, Sample, Start, What, volts, warmth};
use crate::physics::domain::DomainError;
use crate::physics::motion::{
    self, Driven, Drop, Followed, HullAir, Leak, Moment, Source, Stretch, Submerged,
};
use crate::physics::pressure::ATMOSPHERE;
use crate::physics::units::{
    AmpereHours, Between, CubicMetres, CubicMetresPerSecond, Kilograms, Metres, MetresPerSecond, Seconds,
    SquareMetres,
};
use crate::setup::{Emptier, Leaks, Path, Setup, WorkRef};
use std::mem::take;
use std::rc::Rc;

/// After how long she is given up.
const PATIENCE: Seconds = Seconds(600.0);

/// When each work is on, and what the file does not say of it.
type AllWorked = (Vec<Worked>, Wants);

/// What is known of one cause, and gathered while it is followed.
pub(super) struct Scene<'a> {
    pub(super) setup: &'a Setup,
    pub(super) cause: Cause,
    start: &'a Start,
    pub(super) wants: Wants,
    pub(super) assumed: Vec<Assumption>,
    pub(super) refused: Vec<DomainError>,
    plan: Plan,
    places: Rc<Places>,
    /// By timing, as far as it was asked.
    worked: Vec<(Timing, Rc<AllWorked>)>,
    bottles: Bottles,
    /// Somebody looks at the ways themselves.
    pub(super) is_looked_at: bool,
    drawn: bool,
}

/// An emptier with what it moves, if that is known.
struct Blowing<'a> {
    work: WorkRef,
    emptier: &'a Emptier,
    touches: Vec<Touch>,
    open: Vec<Stretch>,
    least_open: Option<f64>,
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
    fn at_it(&self, corner: &Corner) -> Vec<Stretch> {
        let late = Seconds(self.starts_in());
        // Pieces that follow each other are one go: it starts and ends once.
        let goes = self.open.chunk_by(|one, next| one.until >= next.from);
        let of = |go: &[Stretch]| -> Vec<Stretch> {
            let [Some(first), Some(last)] = [go.first(), go.last()] else { return Vec::new() };
            let until = first.from + (last.until - first.from) * corner.by(Figure::Time, -1.0);
            let later = (first.from + late) * (corner.by(Figure::Delay, 1.0) - 1.0);
            let pieces = go.iter().filter_map(|piece| piece.within(first.from + late, until));
            pieces.map(|piece| piece.later(later)).collect()
        };
        goes.flat_map(of).collect()
    }
}

impl<'a> Scene<'a> {
    pub(super) fn of(setup: &'a Setup, cause: Cause, start: &'a Start) -> Self {
        let (mut wants, mut assumed) = (Wants::default(), Vec::new());
        let plan = Plan::of(setup, cause, &mut wants, &mut assumed);
        Self { cause, wants, assumed, ..Self::with_plan(setup, plan, start) }
    }

    /// With what is known of where servos can be in a set-up that differs in times alone.
    pub(super) fn knowing(self, places: &Rc<Places>) -> Self {
        Self { places: Rc::clone(places), ..self }
    }

    /// With what a hand commands, and the link whole.
    pub(super) fn with_plan(setup: &'a Setup, plan: Plan, start: &'a Start) -> Self {
        let (wants, assumed, refused, places, worked, bottles) = Default::default();
        let (cause, is_looked_at, drawn) = (Cause::Loss, false, false);
        Self {
            setup,
            cause,
            start,
            wants,
            assumed,
            refused,
            plan,
            places,
            worked,
            bottles,
            is_looked_at,
            drawn,
        }
    }

    /// The same for somebody who looks at the ways themselves.
    pub(super) fn looked_at(self) -> Self {
        Self { is_looked_at: true, ..self }
    }

    /// One way through of those that are looked at, if any is.
    pub(super) fn drawn(&mut self, corner: &Corner) -> Run {
        self.drawn = self.is_looked_at;
        let run = self.run(corner);
        self.drawn = false;
        run
    }

    /// One way through, with everything there is to tell of it.
    pub(super) fn run(&mut self, corner: &Corner) -> Run {
        let known = self.worked(corner.timing);
        let (worked, wanted) = &*known;
        self.wants.add(wanted);
        let raises_at = first_raise(self.setup, worked);
        let motors = travel::motors(self.setup, &self.plan);
        let mut run = Run {
            end: corner.end,
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
            known_until: None,
        };
        // Nobody has run a motor before there was power.
        let ran = motors.iter().filter(|_| self.cause != Cause::PowerUp);
        run.events.extend(ran.filter_map(|&(device, at)| {
            at.map(|at| Event { at: Seconds(at), what: What::MotorStops(device) })
        }));
        run.events.extend(switched(worked));
        let (blowing, followed) = self.followed(corner, worked, raises_at, &motors);
        if let Some(followed) = &followed {
            put_track(&mut run, followed);
        }
        self.put_emptied(&mut run, corner, &blowing, followed.as_ref());
        run.events.sort_by(|a, b| a.at.0.total_cmp(&b.at.0));
        run
    }

    /// When each work is on, at one end of the times, and what the file does not say of it.
    fn worked(&mut self, timing: Timing) -> Rc<AllWorked> {
        if let Some((_, known)) = self.worked.iter().find(|(known, _)| *known == timing) {
            return Rc::clone(known);
        }
        let mut wants = Wants::default();
        let places = (self.start, &*self.places);
        let worked = travel::worked(self.setup, &self.plan, places, timing, &mut wants);
        let known = Rc::new((worked, wants));
        self.worked.push((timing, Rc::clone(&known)));
        known
    }

    /// Whether a pump may be on for longer than its duty: whether it is hangs on when she is up.
    pub(super) fn may_pass_duty(&mut self) -> bool {
        let duty = |work: WorkRef| {
            let (_, pump) = self.setup.pumps().find(|(pump, _)| *pump == work)?;
            pump.duty.as_ref().map(|d| d.0.to_f64())
        };
        let longer = |worked: &Worked| {
            let duty = duty(worked.work);
            duty.is_some_and(|duty| {
                worked.touches.iter().any(|t| t.until.is_none_or(|until| until - t.from > duty))
            })
        };
        [Timing::Nominal, Timing::Late, Timing::Early]
            .into_iter()
            .any(|timing| self.worked(timing).0.iter().any(longer))
    }

    /// Her way alone, of a corner that is not told: nothing is added to what is missing or assumed.
    pub(super) fn track(&mut self, corner: &Corner) -> Run {
        let kept = (take(&mut self.wants), take(&mut self.assumed), take(&mut self.refused));
        let run = self.run(corner);
        (self.wants, self.assumed, self.refused) = kept;
        run
    }

    /// How heavy water of a warmth and salt makes her beyond `hull.heavy`.
    pub(super) fn heavy_at(&self, water: (Warmth, Salt)) -> f64 {
        let around = Around::of(self.setup, water, &mut Vec::new());
        let heavier = around.and_then(|a| warmth::heavier(self.setup, a.water, 0.0, 1.0, &mut Vec::new()));
        heavier.unwrap_or(0.0)
    }

    fn followed(
        &mut self,
        corner: &Corner,
        worked: &[Worked],
        raises_at: Option<f64>,
        motors: &[(usize, Option<f64>)],
    ) -> (Vec<Blowing<'a>>, Option<Followed>) {
        let around = self.setup.dives().then(|| Around::of(self.setup, corner.water(), &mut self.assumed));
        let around = around.and_then(|around| self.or_refused(around));
        let blowing = self.blowing(worked, corner, around);
        let vented: Vec<Stretch> = worked
            .iter()
            .filter(|w| self.setup.work(w.work).kind.vents)
            .flat_map(|w| w.open.iter().copied())
            .collect();
        let meets = |a: &Stretch, b: &Stretch| a.from < b.until && b.from < a.until;
        if blowing.iter().flat_map(|b| &b.open).any(|b| vented.iter().any(|v| meets(b, v))) {
            note(&mut self.assumed, Assumption::Vented);
        }
        let drops = self.dropped(worked, corner);
        let followed = around
            .and_then(|around| self.follow(corner, around, (&blowing, drops), vented, raises_at, motors));
        (blowing, followed)
    }

    /// What is let go in this run, and when: once for each weight, where it surely goes in the late cases and wherever
    /// it may in the others.
    fn dropped(&mut self, worked: &[Worked], corner: &Corner) -> Vec<Drop> {
        let setup = self.setup;
        let mut all = Vec::new();
        for worked in worked.iter().filter(|w| setup.work(w.work).kind.drops) {
            // A servo that only passes by may not have let it go.
            let late = corner.timing.begins_afar();
            let Some(touch) = worked.touches.iter().find(|touch| !(late && touch.passing)) else { continue };
            let (device, work) = (&setup.devices[worked.work.device], setup.work(worked.work));
            let path = || Path::of(["devices", &device.name, "works", &work.name, "weighs"]);
            let weighs = self.wants.need(work.facts.weighs.as_ref(), Wanted::Flow, path);
            let Some(weighs) = weighs else { continue };
            note(&mut self.assumed, Assumption::Dropped);
            let weighs = corner.of(weighs, |w| &w.0, -1.0) * corner.by(Figure::Drop, -1.0);
            let at = Seconds(touch.from) * corner.by(Figure::Delay, 1.0);
            all.push(Drop { at, weighs: Kilograms(weighs) });
        }
        all
    }

    /// Whether she leaves the water, by the speed at which she meets the surface.
    pub(super) fn leap(&mut self, corner: &Corner, rising: MetresPerSecond) -> Option<Between<Metres>> {
        let around = Around::of(self.setup, corner.water(), &mut self.assumed).ok()?;
        let body = Body::of(self.setup, corner, self.start, around, &mut self.wants, &mut self.assumed);
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
    fn blowing(&mut self, worked: &[Worked], corner: &Corner, around: Option<Around>) -> Vec<Blowing<'a>> {
        let setup = self.setup;
        for worked in worked.iter().filter(|w| !w.touches.is_empty()) {
            let given = setup.tank.emptied_by.iter().any(|(work, _)| *work == worked.work);
            let kind = setup.work(worked.work).kind;
            if kind.raises() && !kind.drops && !given {
                self.wants.note(Wanted::Flow, setup.emptier_path(worked.work));
            }
        }
        let on = worked.iter().filter(|w| !w.touches.is_empty());
        let on: Vec<WorkRef> = on.map(|w| w.work).collect();
        let mut all = Vec::new();
        for entry in &setup.tank.emptied_by {
            let found = worked.iter().find(|w| w.work == entry.0);
            let touches = found.map(|w| w.touches.clone()).unwrap_or_default();
            let open = found.map(|w| w.open.clone()).unwrap_or_default();
            let least_open = found.and_then(|w| w.least_open);
            // What is never switched on needs no figures.
            let source = around.filter(|_| !touches.is_empty()).and_then(|around| {
                let (wants, assumed) = (&mut self.wants, &mut self.assumed);
                let part = match &entry.1 {
                    Emptier::Pump(pump) => {
                        let amperes = volts::pumps_draw(setup, &on, wants);
                        volts::share(setup, self.cause, pump, amperes, corner, wants, assumed)
                    }
                    Emptier::Gas(_) => 1.0,
                };
                let source =
                    super::tank::source((setup, &self.bottles), entry, corner, part, around, wants, assumed);
                self.or_refused(source).flatten()
            });
            all.push(Blowing { work: entry.0, emptier: &entry.1, touches, open, least_open, source });
        }
        all
    }

    fn follow(
        &mut self,
        corner: &Corner,
        around: Around,
        (blowing, drops): (&[Blowing<'_>], Vec<Drop>),
        vented: Vec<Stretch>,
        raises_at: Option<f64>,
        motors: &[(usize, Option<f64>)],
    ) -> Option<Followed> {
        if !self.cause.under_water() {
            return None;
        }
        let body = Body::of(self.setup, corner, self.start, around, &mut self.wants, &mut self.assumed);
        let body = self.or_refused(body)??;
        note(&mut self.assumed, Assumption::Plain);
        let mut driven = Driven::default();
        if body.sinking.0 > 0.0 {
            note(&mut self.assumed, Assumption::WayOn(COASTING));
            let still = motors.iter().map(|m| m.1.unwrap_or(f64::INFINITY)).reduce(f64::max);
            // Of a boat without a known motor nobody can say when it stands.
            let until = Seconds(still.or(raises_at).unwrap_or(f64::INFINITY)) * corner.by(Figure::Delay, 1.0);
            driven = Driven { force: body.drive(), until, fades: body.coasts };
        }
        let emptiers = blowing.iter().filter_map(|b| {
            let source = b.source.clone()?;
            Some(motion::Emptier { source, on: b.at_it(corner) })
        });
        let emptiers: Vec<motion::Emptier> = emptiers.collect();
        let breathes = |e: &motion::Emptier| {
            !e.on.is_empty() && matches!(e.source, Source::Pump { through_snorkel: false, .. })
        };
        let hull = if emptiers.iter().any(breathes) { self.hull_air(corner) } else { None };
        let submerged = Submerged {
            boat: body.boat,
            lift: body.lift,
            tank: body.tank,
            driven,
            start: motion::Start { depth: body.depth, sinking: body.sinking },
            emptiers,
            vented,
            drops,
            hull,
            leak: self.leak(),
            spring: corner.air,
            drawn: self.drawn,
        };
        let followed = submerged.follow(PATIENCE);
        self.or_refused(followed)
    }

    /// The air in the hull, at the pressure of the day.
    fn hull_air(&mut self, corner: &Corner) -> Option<HullAir> {
        let air = self.wants.need(self.setup.hull.air.as_ref(), Wanted::Air, || Path::of(["hull", "air"]))?;
        let litres = corner.of(air, |v| &v.0, -1.0) * corner.by(Figure::Air, -1.0);
        Some(HullAir { volume: CubicMetres::from_litres(litres), pressure: ATMOSPHERE })
    }

    /// What leaks in, if that is the cause and the file says how fast.
    fn leak(&mut self) -> Option<Leak> {
        if self.cause != Cause::Leak || !self.cause.applies(self.setup) {
            return None;
        }
        let Some(leaks) = &self.setup.hull.leaks else {
            self.wants.note(Wanted::Leak, Path::of(["hull", "leaks"]));
            note(&mut self.assumed, Assumption::NoLeak);
            return None;
        };
        note(&mut self.assumed, Assumption::Leaks);
        Some(match leaks {
            Leaks::Rate(rate) => Leak::Rate(CubicMetresPerSecond::from_litres_per_minute(rate.0.to_f64())),
            Leaks::Hole(hole) => {
                let hole = hole.0.to_f64() * 1e-3;
                Leak::Hole(SquareMetres(std::f64::consts::FRAC_PI_4 * hole * hole))
            }
        })
    }

    /// What each emptier did, and what is told of it.
    fn put_emptied(
        &mut self,
        run: &mut Run,
        corner: &Corner,
        blowing: &[Blowing<'_>],
        followed: Option<&Followed>,
    ) {
        let ends = followed.and_then(|f| f.moments.last()).map(|m| m.time.0);
        let told = run.events.iter().map(|e| e.at.0).fold(0.0, f64::max);
        let ends = ends.unwrap_or(0.0).max(told);
        let (mut place, mut bottle, mut charge) = (0, 0, None);
        for b in blowing {
            let moved = b.source.is_some();
            let stalled = followed.filter(|_| moved).and_then(|f| f.stalled[place]);
            let to_spare = followed.filter(|_| moved).and_then(|f| f.to_spare[place]);
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
                let at_it = b.at_it(corner);
                // Pieces that follow each other are one go.
                let begins = at_it.iter().enumerate().filter(|(n, s)| *n == 0 || at_it[n - 1].until < s.from);
                let begins = begins.map(|(_, s)| Event { at: s.from, what: What::Moves(b.work) });
                run.events.extend(begins);
            }
            let told = [(stalled, What::Stalls(b.work)), (spent.map(|m| m.time), What::Spent(b.work))];
            run.events.extend(told.into_iter().filter_map(|(at, what)| at.map(|at| Event { at, what })));
            if let Emptier::Pump(pump) = b.emptier {
                self.past_duty(run, b, pump, &length);
                if on_for > 0.0 {
                    let path = || self.setup.emptier_path(b.work).then("current");
                    let current = self.wants.need(pump.current.as_ref(), Wanted::Charge, path);
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
                to_spare,
                open: b.least_open,
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
    for Worked { work, touches, .. } in worked {
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
