//! What has to hold of a step of the emergency, and the steps themselves: those of the file, or those that the
//! engine says surely bring her up, or stop a boat that does not dive.

use super::after_loss;
use super::engine::Engine;
use super::long_enough::{self, Enough, Raiser, Raising, hands_back, one_of, one_that_lasts};
use super::motor_runs_on_loss::{drives_the_boat, leaves_band, still};
use super::states::{PulsePlace, State};
use crate::finding::StateId;
use crate::physics::units::Seconds;
use crate::proof::Domain;
use crate::proof::cases::Influence;
use crate::question::Asks;
use crate::question::worlds::at_worst;
use crate::rehearsal::held_case;
use crate::setup::facts::Signal;
use crate::setup::{
    ChannelId, ControlId, DeviceId, EmergencyAct, EmergencyStep, Exact, HandStep, Input, Setup, Side,
    UnitActs, Until, Want, WorkRef,
};

/// A step as the papers tell it.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// What is done, and how long.
    pub step: EmergencyStep,
    /// Its place in the list of the file; `None`: it was worked out.
    pub given: Option<usize>,
    /// Whether the engine says that it surely does what it is for, and nothing else.
    pub holds: bool,
    /// Whether it does so for some of the values that figures can have which the file does not give.
    pub unknown: bool,
    /// The estimate of how long she takes to the surface from her depth limit in the worst case; `None` where
    /// the file tells too little, or she does not come up by it.
    pub up_in: Option<Seconds>,
}

/// What a demand is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Concern {
    /// Something surely raises her.
    Raises,
    /// A motor surely stands still.
    Stands(DeviceId),
    /// A function may not sink her.
    Sinks(WorkRef),
    /// A device may not fill her.
    Fills(DeviceId),
    /// A way that is held may not press her bow down.
    Dips(ControlId, Side),
}

/// One thing that has to hold of a step.
#[derive(Clone, Debug)]
pub struct Demand {
    /// What it is about.
    pub concern: Concern,
    /// In which state.
    pub state: StateId,
    /// What must not be.
    pub asks: Asks,
}

/// Everything that has to hold of what a step asks for.
pub fn demands(engine: &Engine, act: &EmergencyAct) -> Vec<Demand> {
    match act {
        EmergencyAct::Hand(hand) => by_hand(engine, hand),
        EmergencyAct::SwitchOff => switched_off(engine),
    }
}

/// Whether all of it holds, and there is something that has to.
fn holds(engine: &Engine, act: &EmergencyAct) -> bool {
    let demands = demands(engine, act);
    !demands.is_empty() && demands.iter().all(|demand| engine.holds(&demand.asks))
}

/// Whether a step holds, whatever the figures are that the file does not give.
struct Everywhere<'a> {
    engine: &'a Engine<'a>,
    worlds: &'a [Engine<'a>],
}

impl Everywhere<'_> {
    fn may_hold(&self, act: &EmergencyAct) -> bool {
        holds(self.engine, act)
    }

    fn holds(&self, act: &EmergencyAct) -> bool {
        holds(self.engine, act) && self.worlds.iter().all(|world| holds(world, act))
    }
}

/// The hands of a step: what it names where it puts it, and all else anywhere.
fn over(engine: &Engine, hand: &HandStep) -> Domain {
    let held = hand.hold.iter().map(|(control, side)| (*control, side.position()));
    let rest = hand.rest.iter().map(|control| (*control, Exact::ZERO));
    let thrown = hand
        .with
        .iter()
        .map(|&(switch, setting)| (switch, engine.setup.controls[switch].setting_position(setting)));
    let put = held.chain(rest).chain(thrown);
    let over = put.fold(engine.everything.clone().settled(), |over, (id, at)| over.with_position(id, at));
    over.with_settings(&hand.with)
}

fn by_hand(engine: &Engine, hand: &HandStep) -> Vec<Demand> {
    let setup = engine.setup;
    let over = over(engine, hand);
    let piloting = |concern, asks| Demand { concern, state: StateId::Piloting, asks };
    let mut all = Vec::new();
    let raising = raised(engine, hand, &over);
    if !setup.dives() || raising.is_none() && setup.boat.floats_when_stopped {
        for motor in motors(setup) {
            let place = engine.piloting(motor);
            let asks = Asks::Leaves { device: motor, place, over: over.clone(), band: band(setup, motor) };
            all.push(piloting(Concern::Stands(motor), asks));
        }
    } else {
        all.push(piloting(Concern::Raises, raising.unwrap_or_else(|| one_of(Vec::new()))));
    }
    if setup.dives() {
        for (function, _) in engine.works().filter(|(_, w)| w.kind.sinks()) {
            let place = engine.piloting(function.device);
            all.push(piloting(
                Concern::Sinks(function),
                Asks::Engages { function, place, over: over.clone() },
            ));
        }
        for (device, sign) in after_loss::filling(setup) {
            let asks = after_loss::fills_at(engine, device, sign, engine.piloting(device), over.clone());
            all.push(piloting(Concern::Fills(device), asks));
        }
        for &(control, side) in &hand.hold {
            let mut wants = setup.controls[control].wants[side.index()].iter();
            if wants.any(|effect| super::planes_dive_on_loss::DIVE.contains(&setup.effect_words(*effect))) {
                all.push(piloting(Concern::Dips(control, side), Asks::Fact(true)));
            }
        }
    }
    all
}

/// Whether all may fail that raises her on the channels that a step moves; `None` where nothing is there for that. A weight
/// that is too light raises nobody, and of one that nobody weighed it is not known.
fn raised(engine: &Engine, hand: &HandStep, over: &Domain) -> Option<Asks> {
    let setup = engine.setup;
    let (mut all, mut unweighed, mut missing) = (Vec::new(), Vec::new(), Vec::new());
    for (id, device) in setup.devices.iter().enumerate() {
        let Input::Channel(channel) = device.input else { continue };
        if !moves(setup, hand, channel) {
            continue;
        }
        let place = || engine.piloting(id);
        for (work, w) in device.works.iter().enumerate().filter(|(_, w)| w.kind.raises()) {
            let function = WorkRef { device: id, work };
            let fully = w.full.is_some();
            let misses = Asks::Misses { function, place: place(), over: over.clone(), fully };
            match w.kind.drops.then(|| long_enough::weight(setup, function)) {
                Some(Enough::Unsaid(key)) => {
                    unweighed.push(misses);
                    missing.push(key);
                }
                Some(Enough::ByEstimate) => all.push(Asks::Any(vec![misses, Asks::Estimated])),
                Some(Enough::TooLight) => all.push(Asks::Fact(true)),
                _ => all.push(misses),
            }
        }
        all.extend(
            emptying(setup, id)
                .map(|sign| after_loss::fails_to_empty(setup, id, sign, place(), over.clone())),
        );
    }
    if all.is_empty() && unweighed.is_empty() {
        return None;
    }
    let all = one_of(all);
    if missing.is_empty() || engine.holds(&all) || !engine.holds(&one_of(unweighed)) {
        return Some(all);
    }
    missing.dedup();
    Some(Asks::Unsaid(missing))
}

/// Whether a control that a step names has a part in a channel.
fn moves(setup: &Setup, hand: &HandStep, channel: ChannelId) -> bool {
    let influence = Influence::on(setup, channel);
    hand.controls().any(|id| influence.controls.contains(&id) || influence.switches.contains(&id))
}

/// The sides of its axis on which a device empties her tank.
fn emptying(setup: &Setup, device: DeviceId) -> impl Iterator<Item = i32> {
    after_loss::emptying(setup).into_iter().filter(move |(id, _)| *id == device).map(|(_, sign)| sign)
}

/// From the first stage on; before it a vent may still be as the pilot left it.
fn switched_off(engine: &Engine) -> Vec<Demand> {
    let setup = engine.setup;
    let stages =
        engine.states().iter().filter(|s| matches!(s.id, StateId::Stage(_)) && setup.fail_safe.is_some());
    let for_good = engine.at_the_end().into_iter().filter(|(_, named)| *named == StateId::LostForGood);
    let states: Vec<(&State, StateId)> = stages.map(|s| (s, s.id)).chain(for_good).collect();
    let Some((_, first)) = states.first().copied() else { return Vec::new() };
    let mut all = Vec::new();
    let acting = |named: &StateId| *named != StateId::LostForGood;
    let (staged, waiting): (Vec<_>, Vec<_>) = states.iter().copied().partition(|(_, named)| acting(named));
    let steps = after_loss::steps(engine);
    // A unit that never notices leaves her waiting for good.
    let of_waiting = if engine.unit == UnitActs::Unsure { &steps[..1] } else { &steps[..] };
    let [staged, waiting] = [(staged, &steps[..]), (waiting, of_waiting)]
        .map(|(states, steps)| raised_when_off(engine, &states, steps));
    let raises_nowhere = staged.is_empty() && waiting.is_empty();
    if !setup.dives() || raises_nowhere && setup.boat.floats_when_stopped {
        for motor in motors(setup) {
            for (state, named) in &states {
                let asks = leaves_band(engine, motor, state);
                all.push(Demand { concern: Concern::Stands(motor), state: *named, asks });
            }
        }
    } else {
        let raises =
            |state, asks| Demand { concern: Concern::Raises, state, asks: one_that_lasts(engine, asks) };
        if engine.unit == UnitActs::Unsure {
            // Whether the unit notices or not she has to come up.
            all.push(raises(StateId::LostForGood, waiting));
            all.extend((!hands_back(engine)).then(|| raises(first, staged)));
        } else {
            all.push(raises(first, staged.into_iter().chain(waiting).collect()));
        }
    }
    if setup.dives() {
        for (state, named) in &states {
            for (function, _) in engine.works().filter(|(_, w)| w.kind.sinks()) {
                let place = state.places[function.device].clone();
                let asks = Asks::Engages { function, place, over: engine.unattended(state) };
                all.push(Demand { concern: Concern::Sinks(function), state: *named, asks });
            }
            for (device, sign) in after_loss::filling(setup) {
                let asks = after_loss::fills(engine, device, sign, state);
                all.push(Demand { concern: Concern::Fills(device), state: *named, asks });
            }
        }
    }
    all
}

/// What may fail to raise her in these states, where a preset or a stage decides.
fn raised_when_off(
    engine: &Engine,
    states: &[(&State, StateId)],
    steps: &[after_loss::Step],
) -> Vec<Raising> {
    let setup = engine.setup;
    let mut all = Vec::new();
    for (state, _) in states {
        let set = |device: DeviceId| matches!(state.places[device], PulsePlace::Fixed { .. });
        for (function, w) in engine.works().filter(|(f, w)| w.kind.raises() && set(f.device)) {
            let place = state.places[function.device].clone();
            let fully = w.full.is_some();
            let asks = Asks::Misses { function, place, over: engine.unattended(state), fully };
            all.push(Raising::of(asks, &Raiser::work(engine, steps, function)));
        }
        for device in (0..setup.devices.len()).filter(|device| set(*device)) {
            let place = || state.places[device].clone();
            let over = || engine.unattended(state);
            for sign in emptying(setup, device) {
                let asks = after_loss::fails_to_empty(setup, device, sign, place(), over());
                all.push(Raising::of(asks, &Raiser::device(engine, steps, device, sign)));
            }
        }
    }
    all
}

/// The motors that drive her and that a channel reaches.
fn motors(setup: &Setup) -> Vec<DeviceId> {
    let devices = setup.devices.iter().enumerate();
    let drive = devices.filter(|(_, d)| drives_the_boat(setup, d) && matches!(d.input, Input::Channel(_)));
    drive.map(|(id, _)| id).collect()
}

fn band(setup: &Setup, motor: DeviceId) -> [Exact; 2] {
    still(setup, &setup.devices[motor]).unwrap_or([Exact::ZERO, Exact::ZERO])
}

/// The steps of the file, or where it has none those that surely do what they are for. Where no step of the file says to
/// switch the transmitter off, a step that was worked out tells what comes of it: no paper asks for that one.
pub fn steps(engine: &Engine) -> Vec<Step> {
    let worlds = at_worst(engine.setup);
    let worlds: Vec<Engine> = worlds.iter().map(Engine::new).collect();
    let everywhere = Everywhere { engine, worlds: &worlds };
    let given: Vec<(usize, &EmergencyStep)> = engine.setup.owner.steps().collect();
    if given.is_empty() {
        return worked_out(&everywhere);
    }
    let step = |(index, step): (usize, &EmergencyStep)| {
        let holds = everywhere.holds(&step.act);
        Step {
            holds,
            unknown: !holds && everywhere.may_hold(&step.act),
            up_in: up_in(engine, &step.act),
            step: step.clone(),
            given: Some(index),
        }
    };
    let asks_for_it = given.iter().any(|(_, step)| step.act == EmergencyAct::SwitchOff);
    let off = (!asks_for_it).then(|| switch_off(&everywhere)).flatten();
    given.into_iter().map(step).chain(off).collect()
}

/// To switch the transmitter off, where that surely does what a step is for.
fn switch_off(everywhere: &Everywhere) -> Option<Step> {
    let act = EmergencyAct::SwitchOff;
    everywhere.holds(&act).then(|| Step {
        up_in: up_in(everywhere.engine, &act),
        step: EmergencyStep { act, until: Some(end(everywhere.engine.setup)) },
        given: None,
        holds: true,
        unknown: false,
    })
}

fn end(setup: &Setup) -> Until {
    if setup.dives() { Until::Up } else { Until::Stopped }
}

fn worked_out(everywhere: &Everywhere) -> Vec<Step> {
    let engine = everywhere.engine;
    let setup = engine.setup;
    let end = end(setup);
    let hands = if setup.dives() { raising_hands(engine) } else { vec![(stopping_hand(engine), true)] };
    let by_hand = hands.into_iter().find_map(|(hand, goes_on)| {
        let act = EmergencyAct::Hand(hand);
        everywhere.holds(&act).then(|| EmergencyStep { act, until: goes_on.then_some(end) })
    });
    // Who floats up with the motor at rest has that to do before anything else.
    let by_hand = by_hand.or_else(|| {
        let act = EmergencyAct::Hand(stopping_hand(engine));
        let stops = setup.dives() && setup.boat.floats_when_stopped && everywhere.holds(&act);
        stops.then_some(EmergencyStep { act, until: Some(end) })
    });
    let step = |step: EmergencyStep| Step {
        up_in: up_in(engine, &step.act),
        step,
        given: None,
        holds: true,
        unknown: false,
    };
    by_hand.map(step).into_iter().chain(switch_off(everywhere)).collect()
}

/// The ways that are there to raise her, those of every day first, and whether they have to be held. Each is
/// tried by itself, and then with the controls of what sinks her put to rest.
fn raising_hands(engine: &Engine) -> Vec<(HandStep, bool)> {
    let setup = engine.setup;
    let mut all = Vec::new();
    for channel in &setup.channels {
        let Some(own) = channel.control else { continue };
        for side in Side::BOTH {
            let raises = |want: &&Want| setup.work(want.work).kind.raises();
            let wants: Vec<&Want> = channel.wants[side.index()].iter().filter(raises).collect();
            let empties = |effect: &&crate::setup::Effect| setup.effect_words(**effect) == "empties";
            if wants.is_empty() && setup.controls[own].wants[side.index()].iter().find(empties).is_none() {
                continue;
            }
            let kept = wants.iter().any(|want| setup.work(want.work).kind.emergency);
            let momentary = |want: &&Want| setup.work(want.work).facts.signal == Some(Signal::Momentary);
            let goes_on = !wants.iter().any(momentary);
            let mut hand = held(setup, own, side);
            for need in wants.iter().flat_map(|want| &want.needs) {
                if !hand.with.contains(need) {
                    hand.with.push(*need);
                }
            }
            all.push((kept, hand, goes_on));
        }
    }
    all.sort_by_key(|(kept, ..)| *kept);
    let both = |(_, hand, goes_on): (bool, HandStep, bool)| {
        let calmed = with_sinkers_at_rest(setup, &hand);
        [(hand, goes_on), (calmed, goes_on)]
    };
    all.into_iter().flat_map(both).collect()
}

/// A way held fully, or a switch in the setting of that end.
fn held(setup: &Setup, control: ControlId, side: Side) -> HandStep {
    let last = setup.controls[control].settings.len().checked_sub(1);
    match (last, side) {
        (None, _) => HandStep { hold: vec![(control, side)], ..HandStep::default() },
        (Some(_), Side::Low) => HandStep { with: vec![(control, 0)], ..HandStep::default() },
        (Some(last), Side::High) => HandStep { with: vec![(control, last)], ..HandStep::default() },
    }
}

fn with_sinkers_at_rest(setup: &Setup, hand: &HandStep) -> HandStep {
    let mut hand = hand.clone();
    for function in setup.works().filter(|function| setup.work(*function).kind.sinks()) {
        let Some(channel) = setup.channel_of(function.device) else { continue };
        for control in Influence::on(setup, channel).controls {
            if hand.controls().any(|named| named == control) {
                continue;
            }
            if setup.controls[control].settings.is_empty() {
                hand.rest.push(control);
            } else {
                hand.with.push((control, 0));
            }
        }
    }
    hand
}

/// Every control that drives a motor where the motor stands still.
fn stopping_hand(engine: &Engine) -> HandStep {
    let setup = engine.setup;
    let mut hand = HandStep::default();
    for motor in motors(setup) {
        let Some(channel) = setup.channel_of(motor) else { continue };
        let [low, high] = band(setup, motor);
        let off_centre = if setup.devices[motor].facts.one_way { (low + high).signum() } else { 0 };
        // What is mixed in turns a motor as well.
        let own = engine.hands_on(channel);
        let mixed = Influence::on(setup, channel).controls.into_iter();
        let mixed =
            mixed.filter(|control| own.iter().all(|(known, _)| known != control)).map(|control| (control, 0));
        for (control, sign) in own.iter().copied().chain(mixed) {
            if hand.controls().any(|named| named == control) {
                continue;
            }
            if !setup.controls[control].settings.is_empty() {
                hand.with.push((control, 0));
            } else if off_centre * sign != 0 && !setup.controls[control].springs_back {
                hand.hold.push((control, Side::of_sign(sign * off_centre)));
            } else {
                hand.rest.push(control);
            }
        }
    }
    hand
}

fn up_in(engine: &Engine, act: &EmergencyAct) -> Option<Seconds> {
    let setup = engine.setup;
    let worst = match act {
        EmergencyAct::SwitchOff => engine.rehearsal().filter(|found| found.times_known())?.worst.clone(),
        EmergencyAct::Hand(hand) => {
            // Without one of her own nothing is known of what she does in water.
            engine.rehearsal()?;
            let over = over(engine, hand);
            let raising = |(id, d): &(DeviceId, &crate::setup::Device)| {
                d.works
                    .iter()
                    .find(|w| w.kind.raises())
                    .map(|w| w.sign)
                    .or_else(|| emptying(setup, *id).next())
            };
            let mut to: Vec<(ChannelId, Exact)> = Vec::new();
            for channel in (0..setup.channels.len()).filter(|channel| moves(setup, hand, *channel)) {
                let Some(sign) = setup.devices_on(channel).find_map(|found| raising(&found)) else {
                    continue;
                };
                let (low, high) = engine.cases(channel).span(setup, &over)?;
                // Where it surely comes to on that side.
                to.push((channel, if sign > 0 { low } else { high }));
            }
            held_case(setup, &to)
        }
    };
    (worst.comes_up() == Some(true)).then(|| worst.surfaced.map(|s| s.time)).flatten()
}

/// What a step asks for, in the words of the file: `hold tank.blow`.
pub fn in_words(setup: &Setup, act: &EmergencyAct) -> String {
    let EmergencyAct::Hand(hand) = act else { return "the transmitter off".to_owned() };
    let control = |id: ControlId| &setup.controls[id];
    let held = hand
        .hold
        .iter()
        .map(|&(id, side)| format!("{}.{}", control(id).name, control(id).ways[side.index()]));
    let with = hand.with.iter().map(|&(id, n)| format!("{} {}", control(id).name, control(id).settings[n]));
    let rest = hand.rest.iter().map(|&id| control(id).name.clone());
    let said = |words: &str, names: Vec<String>| {
        (!names.is_empty()).then(|| format!("{words} {}", names.join(" and ")))
    };
    let parts =
        [said("hold", held.collect()), said("let go of", rest.collect()), said("with", with.collect())];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}
