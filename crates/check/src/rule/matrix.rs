//! Causes against effects: what each thing that can happen does to every work and every motor, in
//! the manner of the cause-and-effect tables of process industry (IEC 62881; its text was not at
//! hand, so no clause of it is claimed).

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;

use super::engine::Engine;
use super::motor_runs_on_loss::still;
use super::states::{self, PulsePlace, State};
use crate::device::PulsesFail;
use crate::finding::StateId;
use crate::proof::Domain;
use crate::question::Asks;
use crate::question::worlds::at_worst;
use crate::setup::quantity::Seconds;
use crate::setup::{
    ChannelId, ControlId, DeviceId, Exact, MixOf, Setup, Side, UnitActs, When, WithoutPulses, WorkRef,
};

/// What is proved of an effect under a cause.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mark {
    /// It happens, whatever else is done.
    Surely,
    /// It can happen; also where the program cannot tell.
    May,
    /// It does not happen, whatever else is done.
    Never,
    /// The cause has no part in it.
    Apart,
}

impl Mark {
    /// As it is printed.
    pub fn word(self) -> &'static str {
        match self {
            Mark::Surely => "surely",
            Mark::May => "may",
            Mark::Never => "never",
            Mark::Apart => "-",
        }
    }

    /// What holds when it is open which of two causes is at work.
    fn either(self, other: Self) -> Self {
        if self == other { self } else { Mark::May }
    }
}

/// What an effect is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum What {
    /// A work is engaged.
    Function(WorkRef),
    /// A motor runs.
    Motor(DeviceId),
}

/// One column.
#[derive(Clone, Debug)]
pub struct Effect {
    /// What it is about.
    pub what: What,
    /// `tank_servo.gas`, `motor_esc`
    pub name: String,
    /// `emergency gas valve`, `speed controller`
    pub kind: &'static str,
    /// `open`, `run`
    pub verb: &'static str,
}

impl Effect {
    /// The device that does it.
    pub fn device(&self) -> DeviceId {
        match self.what {
            What::Function(work) => work.device,
            What::Motor(device) => device,
        }
    }
}

/// What sort of cause a row is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CauseKind {
    /// Every control at rest.
    AtRest,
    /// A way of a control held fully, or a switch set; everything else anywhere.
    Held(ControlId),
    /// Link lost, nothing done yet.
    Waiting,
    /// A stage after a lost link.
    Stage,
    /// A stage after low battery or a leak.
    StageWhilePiloting,
    /// Link lost and not coming back.
    LostForGood,
    /// Receiver on, transmitter off.
    PowerUp,
    /// The receiver's presets, that come then.
    PowerUpPreset,
    /// A stage of the unit that comes then.
    PowerUpStage,
    /// What is left when the last stage is over.
    PowerUpOver,
    /// The boat without power: switched off, a fuse, a flat pack.
    Unpowered,
}

impl CauseKind {
    /// The word in the JSON.
    pub fn word(self) -> &'static str {
        match self {
            CauseKind::AtRest => "at-rest",
            CauseKind::Held(_) => "held",
            CauseKind::Waiting => "waiting",
            CauseKind::Stage => "stage",
            CauseKind::StageWhilePiloting => "stage-while-piloting",
            CauseKind::LostForGood => "lost-for-good",
            CauseKind::PowerUp => "power-up",
            CauseKind::PowerUpPreset => "power-up-preset",
            CauseKind::PowerUpStage => "power-up-stage",
            CauseKind::PowerUpOver => "power-up-over",
            CauseKind::Unpowered => "unpowered",
        }
    }
}

/// One row.
#[derive(Clone, Debug)]
pub struct Cause {
    /// What sort.
    pub kind: CauseKind,
    /// `tank: blow held fully`
    pub name: String,
    /// What is held, where the pilot holds something: for documents, which say it in their language.
    pub held: Option<Held>,
    /// When it begins, of what comes by itself after power on.
    pub begins: Option<When>,
    /// One for each effect, in their order.
    pub marks: Vec<Mark>,
}

/// What the pilot holds.
#[derive(Clone, Debug)]
pub struct Held {
    /// The way of a control or the setting of a switch, in the builder's word.
    pub way: String,
    /// Settings of other switches that have to be in force.
    pub needs: Vec<(ControlId, usize)>,
}

/// The whole table.
#[derive(Clone, Debug)]
pub struct Matrix {
    /// Columns, in file order: the works of a device, then the device if it is a motor.
    pub effects: Vec<Effect>,
    /// Rows: piloting first, then in order of time.
    pub causes: Vec<Cause>,
}

/// Works the table out. What the file does not say counts at its best and at its worst: where that makes a
/// difference the thing may happen.
pub fn matrix(engine: &Engine) -> Matrix {
    whatever(engine, as_read)
}

fn whatever(engine: &Engine, of: fn(&Engine) -> Matrix) -> Matrix {
    let mut matrix = of(engine);
    for world in at_worst(engine.setup) {
        let worst = of(&Engine::new(&world));
        for (cause, other) in matrix.causes.iter_mut().zip(&worst.causes) {
            for (mark, other) in cause.marks.iter_mut().zip(&other.marks) {
                *mark = mark.either(*other);
            }
        }
    }
    matrix
}

fn as_read(engine: &Engine) -> Matrix {
    let effects = effects(engine.setup);
    let mut causes = piloting(engine, &effects);
    causes.extend(afterwards(engine, &effects));
    causes.push(unpowered(engine, &effects, &causes));
    Matrix { effects, causes }
}

fn effects(setup: &Setup) -> Vec<Effect> {
    let mut all = Vec::new();
    for (device, d) in setup.devices.iter().enumerate() {
        for (work, w) in d.works.iter().enumerate() {
            let work = WorkRef { device, work };
            let name = setup.work_name(work);
            all.push(Effect { what: What::Function(work), name, kind: w.kind.name, verb: w.kind.verb });
        }
        if d.kind.runs_a_motor() {
            let (what, name) = (What::Motor(device), d.name.clone());
            all.push(Effect { what, name, kind: d.kind.name, verb: "run" });
        }
    }
    all
}

fn piloting(engine: &Engine, effects: &[Effect]) -> Vec<Cause> {
    let setup = engine.setup;
    let mark =
        |effect: &Effect, domain: &Domain| mark(engine, effect, &engine.piloting(effect.device()), domain);
    let rest = engine.everything.clone().with_all_at_rest(setup);
    let mut causes = vec![Cause {
        kind: CauseKind::AtRest,
        name: "all controls at rest".into(),
        held: None,
        begins: None,
        marks: effects.iter().map(|e| mark(e, &rest)).collect(),
    }];
    for (control, c) in setup.controls.iter().enumerate() {
        let concerned = |e: &Effect| setup.channel_of(e.device()).is_some_and(|ch| moves(setup, control, ch));
        if !effects.iter().any(concerned) {
            continue;
        }
        for (name, held, domain) in held_places(engine, control) {
            let marks = effects.iter().map(|e| if concerned(e) { mark(e, &domain) } else { Mark::Apart });
            causes.push(Cause {
                kind: CauseKind::Held(control),
                name: format!("{}: {name}", c.name),
                held: Some(held),
                begins: None,
                marks: marks.collect(),
            });
        }
    }
    causes
}

/// The ways of a control, or all settings of a switch: a middle one is a cause of its own. A way
/// that wants something only in some settings is one more with these in force.
fn held_places(engine: &Engine, control: ControlId) -> Vec<(String, Held, Domain)> {
    let setup = engine.setup;
    let c = &setup.controls[control];
    let at = |position| engine.everything.clone().with_position(control, position);
    if !c.settings.is_empty() {
        let settings = c.settings.iter().enumerate();
        return settings
            .map(|(i, name)| {
                let held = Held { way: name.clone(), needs: Vec::new() };
                (format!("{name} set"), held, at(c.setting_position(i)))
            })
            .collect();
    }
    let mut places = Vec::new();
    for side in Side::BOTH {
        let way = &c.ways[side.index()];
        let held = format!("{way} held fully");
        let just = Held { way: way.clone(), needs: Vec::new() };
        places.push((held.clone(), just.clone(), at(side.position())));
        let moved = setup.channels.iter().filter(|ch| ch.control == Some(control));
        for want in moved.flat_map(|ch| &ch.wants[side.index()]).filter(|want| !want.needs.is_empty()) {
            let needs: Vec<String> = want
                .needs
                .iter()
                .map(|&(switch, setting)| {
                    let switch = &setup.controls[switch];
                    format!("{} {}", switch.name, switch.settings[setting])
                })
                .collect();
            let name = format!("{held}, {}", needs.join(", "));
            if !places.iter().any(|(known, ..)| *known == name) {
                let held = Held { needs: want.needs.clone(), ..just.clone() };
                places.push((name, held, at(side.position()).with_settings(&want.needs)));
            }
        }
    }
    places
}

/// Whether a control has a part in a channel, by itself or mixed in. Mixes never run in a circle.
fn moves(setup: &Setup, control: ControlId, channel: ChannelId) -> bool {
    let c = &setup.channels[channel];
    c.control == Some(control)
        || c.mixes.iter().any(|mix| match mix.of {
            MixOf::Control(other) => other == control,
            MixOf::Channel(other) => moves(setup, control, other),
        })
}

fn afterwards(engine: &Engine, effects: &[Effect]) -> Vec<Cause> {
    let mut causes = in_turn(engine, effects, |state| match state {
        StateId::Waiting => Some(CauseKind::Waiting),
        StateId::Stage(_) => Some(CauseKind::Stage),
        _ => None,
    });
    if engine.unit == UnitActs::Unsure {
        stages_may_never_come(&mut causes);
    }
    causes.push(lost_for_good(engine, &causes));
    causes.extend(in_turn(engine, effects, |state| {
        matches!(state, StateId::StageWhilePiloting(_)).then_some(CauseKind::StageWhilePiloting)
    }));
    let rows = power_up(engine, effects);
    causes.extend(rows);
    causes
}

/// What comes by itself with power on and no transmitter, in order of time.
fn power_up(engine: &Engine, effects: &[Effect]) -> Vec<Cause> {
    let mut causes =
        in_turn(engine, effects, |state| (state == StateId::PowerUp).then_some(CauseKind::PowerUp));
    let before: Vec<Mark> = causes.first().map(|cause| cause.marks.clone()).unwrap_or_default();
    let begin = engine.setup.stages_begin();
    let after = engine.setup.receiver_acts();
    for (stage, state) in states::after_power_up(engine.setup) {
        let begins = stage.map_or(&after, |index| &begin[index]).clone();
        let kind = if stage.is_some() { CauseKind::PowerUpStage } else { CauseKind::PowerUpPreset };
        let mut marks = marks(engine, effects, &state, true);
        let mut name = format!("power-up, {}: {}", from(&begins), state.name);
        if stage.is_some() && engine.unit == UnitActs::Unsure {
            name.push_str(", if the unit notices");
            for (mark, before) in marks.iter_mut().zip(&before) {
                *mark = mark.either(*before);
            }
        }
        causes.push(Cause { kind, name, held: None, begins: Some(begins), marks });
    }
    causes.extend(handed_back(engine, &causes));
    causes
}

/// A last stage that ends leaves everything to the receiver again: as it stood, or as before the unit acted.
fn handed_back(engine: &Engine, so_far: &[Cause]) -> Option<Cause> {
    let begins = engine.setup.unit_ends()?;
    let before = so_far.iter().rfind(|cause| cause.kind != CauseKind::PowerUpStage)?;
    let last = so_far.last()?;
    let marks = before.marks.iter().zip(&last.marks).map(|(before, last)| before.either(*last)).collect();
    let name = format!("power-up, {}: handed back", from(&begins));
    Some(Cause { kind: CauseKind::PowerUpOver, name, held: None, begins: Some(begins), marks })
}

/// `from 4 s`; where a delay before it is not given no time is told.
fn from(begins: &When) -> String {
    match begins.seconds() {
        Some(seconds) => format!("from {} s", seconds.to_decimal(Seconds::PLACES)),
        None => "nobody knows when".to_owned(),
    }
}

/// The same with its effects, for those who tell no more than that.
pub fn at_power_up(engine: &Engine) -> Matrix {
    whatever(engine, |engine| {
        let effects = effects(engine.setup);
        let causes = power_up(engine, &effects);
        Matrix { effects, causes }
    })
}

/// Without power a servo stays where it is, and what it had open stays open; motors stop and nothing acts.
fn unpowered(engine: &Engine, effects: &[Effect], so_far: &[Cause]) -> Cause {
    let stays = |effect: &Effect| {
        let device = &engine.setup.devices[effect.device()];
        match (effect.what, device.kind.when_pulses_fail) {
            (What::Motor(_), _) => false,
            (_, PulsesFail::Anywhere) => true,
            (_, PulsesFail::StopsUnlessSaid) => device.without_pulses != Some(WithoutPulses::Stops),
        }
    };
    let marks = effects.iter().enumerate().map(|(index, effect)| {
        let ever = so_far.iter().any(|cause| matches!(cause.marks[index], Mark::May | Mark::Surely))
            || matches!(effect.what, What::Function(work) if engine.pilot_may_engage(work));
        if stays(effect) && ever { Mark::May } else { Mark::Never }
    });
    let marks = marks.collect();
    Cause { kind: CauseKind::Unpowered, name: "power gone".into(), held: None, begins: None, marks }
}

/// The states of one sort, in order of time.
fn in_turn(engine: &Engine, effects: &[Effect], pick: impl Fn(StateId) -> Option<CauseKind>) -> Vec<Cause> {
    let mut causes = Vec::new();
    for state in engine.states() {
        let Some(kind) = pick(state.id) else { continue };
        let marks = marks(engine, effects, state, kind == CauseKind::PowerUp);
        let name = match kind {
            CauseKind::Waiting if engine.setup.fail_safe.is_none() => "link lost".into(),
            CauseKind::Waiting => "link lost, waiting".into(),
            CauseKind::Stage => format!("link lost, {}", state.name),
            CauseKind::PowerUp => "power-up, transmitter off".into(),
            _ => state.name.clone(),
        };
        causes.push(Cause { kind, name, held: None, begins: None, marks });
    }
    causes
}

/// What is proved of each effect in a state; `first`: nobody has spoken to the devices yet.
fn marks(engine: &Engine, effects: &[Effect], state: &State, first: bool) -> Vec<Mark> {
    let over = engine.unattended(state);
    let one = |e: &Effect| {
        let mark = mark(engine, e, &state.places[e.device()], &over);
        let on_by_itself =
            first && matches!(e.what, What::Function(work) if engine.setup.work(work).facts.wakes_on);
        // How long that lasts depends on when the receiver first sends something.
        if on_by_itself { mark.either(Mark::Surely) } else { mark }
    };
    effects.iter().map(one).collect()
}

/// A unit that may not notice the loss may leave her waiting instead: only what holds in both is sure.
fn stages_may_never_come(causes: &mut [Cause]) {
    let waiting = causes.iter().find(|c| c.kind == CauseKind::Waiting).map(|c| c.marks.clone());
    for stage in causes.iter_mut().filter(|c| c.kind == CauseKind::Stage) {
        stage.name.push_str(", if the unit notices");
        for (mark, waiting) in stage.marks.iter_mut().zip(waiting.iter().flatten()) {
            *mark = mark.either(*waiting);
        }
    }
}

/// The last stage where a unit is sure to act, as waiting where there is none, and where it is not
/// sure what holds in both.
fn lost_for_good(engine: &Engine, so_far: &[Cause]) -> Cause {
    let of = |kind: CauseKind| so_far.iter().rfind(|c| c.kind == kind).map(|c| c.marks.clone());
    let waiting = of(CauseKind::Waiting).unwrap_or_default();
    let last = of(CauseKind::Stage).unwrap_or_else(|| waiting.clone());
    let marks = match engine.unit {
        // A last stage that ends leaves her to the receiver again.
        UnitActs::Sure if engine.setup.unit_ends().is_some() => {
            waiting.iter().zip(&last).map(|(waiting, last)| waiting.either(*last)).collect()
        }
        // Of a unit that may not notice the loss, a stage holds what waiting does as well.
        UnitActs::Sure | UnitActs::Unsure => last,
        UnitActs::Absent => waiting,
    };
    Cause { kind: CauseKind::LostForGood, name: "link lost for good".into(), held: None, begins: None, marks }
}

/// First whether it can happen at all: what stands still neither does nor misses anything.
fn mark(engine: &Engine, effect: &Effect, place: &PulsePlace, over: &Domain) -> Mark {
    let (place, over) = (place.clone(), over.clone());
    let (may, may_not) = match effect.what {
        What::Function(function) => (
            Asks::Engages { function, place: place.clone(), over: over.clone() },
            Asks::Misses { function, place, over, fully: false },
        ),
        What::Motor(device) => {
            let d = &engine.setup.devices[device];
            let band = still(engine.setup, d).unwrap_or([Exact::ZERO, Exact::ZERO]);
            (
                Asks::Leaves { device, place: place.clone(), over: over.clone(), band },
                // Without a known band no place is surely outside it.
                Asks::StaysWithin { device, place, over, band: d.still_between.clone() },
            )
        }
    };
    match (engine.holds(&may), engine.holds(&may_not)) {
        (true, _) => Mark::Never,
        (false, true) => Mark::Surely,
        (false, false) => Mark::May,
    }
}
