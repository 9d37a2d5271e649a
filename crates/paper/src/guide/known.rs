//! What the set-up says of the boat, asked as a guide asks it.

use super::tried::Tried;
use crate::device::works::FunctionKind;
use crate::labels::{Gaps, Labels, Text};
use crate::measure::Units;
use crate::setup::{
    Channel, Control, ControlId, ControlKind, Device, DeviceId, Exact, Function, Input, OnLoss, Reserved,
    Setup, Side, When, WorkRef,
};
use crate::words::{self, plain, seconds};

/// At and above this frequency sets share a band by themselves; below it two sets on one frequency
/// disturb each other (common practice, no source).
const SHARED_FROM: i64 = 1_000_000_000;

/// The boat in the reader's language.
#[derive(Clone, Copy)]
pub(super) struct Known<'a> {
    pub(super) labels: &'a Labels,
    pub(super) setup: &'a Setup,
    pub(super) units: Units,
    /// Nothing was proved, so nothing is promised.
    pub(super) draft: bool,
    /// What to do in an emergency.
    pub(super) emergency: &'a words::Emergency,
    /// What came of the trial in water, where the record tells of one: words, and whether they are as estimated.
    pub(super) tried: Option<&'a Tried>,
    /// How many checks were not judged.
    pub(super) provisional: usize,
}

impl<'a> Known<'a> {
    pub(super) fn say(&self, text: Text) -> String {
        self.labels.get(text).to_owned()
    }

    pub(super) fn fill(&self, text: impl Gaps) -> String {
        self.labels.fill(text)
    }

    /// `15.1–16.4 s`, or one figure where both are the same.
    pub(super) fn seconds_between(&self, [least, most]: [&Exact; 2]) -> String {
        let [from, to] = [least, most].map(|at| self.labels.decimal(&at.to_decimal(1)));
        let number = if from == to { from } else { format!("{from}\u{2013}{to}") };
        self.labels.fill(crate::labels::text::common::Seconds { number: &number })
    }

    pub(super) fn dives(&self) -> bool {
        self.setup.dives()
    }

    pub(super) fn works_that(&self, is: impl Fn(&FunctionKind) -> bool) -> Vec<WorkRef> {
        self.setup.works().filter(|work| is(self.setup.work(*work).kind)).collect()
    }

    pub(super) fn gas(&self) -> Vec<WorkRef> {
        self.works_that(|kind| kind.emergency)
    }

    /// Whether gas or air under pressure is on board: something charges it, and it is a pressure vessel.
    pub(super) fn has_bottle(&self) -> bool {
        self.setup.has_bottle()
    }

    pub(super) fn sinkers(&self) -> Vec<WorkRef> {
        self.works_that(FunctionKind::sinks)
    }

    /// What makes her lighter in daily use.
    pub(super) fn raisers(&self) -> Vec<WorkRef> {
        self.works_that(|kind| kind.raises() && !kind.emergency)
    }

    pub(super) fn work_name(&self, work: WorkRef) -> String {
        words::function_name(self.setup, work)
    }

    /// The ways that work something.
    pub(super) fn worked_by(&self, work: WorkRef) -> Vec<(ControlId, Side)> {
        let channels = self.setup.channels.iter().filter_map(|c| c.control.map(|id| (c, id)));
        let ways = channels.flat_map(|(c, id)| Side::BOTH.map(|side| (c, id, side)));
        ways.filter(|(c, _, side)| c.wants[side.index()].iter().any(|want| want.work == work))
            .map(|(_, id, side)| (id, side))
            .collect()
    }

    /// The ways that have one of these effects, by their English words.
    pub(super) fn ways_that(&self, effects: &[&str]) -> Vec<(ControlId, Side)> {
        let controls = self.setup.controls.iter().enumerate();
        controls
            .flat_map(|(id, control)| Side::BOTH.map(|side| (id, control, side)))
            .filter(|(_, control, side)| {
                control.wants[side.index()].iter().any(|e| effects.contains(&self.setup.effect_words(*e)))
            })
            .map(|(id, _, side)| (id, side))
            .collect()
    }

    /// What the hand does: `“blow” (rear left, upper)`.
    pub(super) fn act(&self, way: (ControlId, Side)) -> String {
        words::act(self.labels, self.setup, way)
    }

    /// The first of these ways, if there is one.
    pub(super) fn act_of(&self, ways: &[(ControlId, Side)]) -> Option<String> {
        ways.first().map(|way| self.act(*way))
    }

    /// Where a control sits, in the reader's language where it is a usual place.
    pub(super) fn place(&self, control: &Control) -> Option<String> {
        words::control_place(self.labels, control)
    }

    pub(super) fn control_name(&self, id: ControlId) -> String {
        plain(&self.setup.controls[id].name)
    }

    /// Every motor.
    pub(super) fn motors(&self) -> impl Iterator<Item = (DeviceId, &'a Device)> + 'a {
        let devices = self.setup.devices.iter().enumerate();
        devices.filter(|(_, d)| d.kind.runs_a_motor())
    }

    /// The control that drives a device straight.
    pub(super) fn driven_by(&self, device: DeviceId) -> Option<ControlId> {
        self.setup.channel_of(device).and_then(|channel| self.setup.channels[channel].control)
    }

    /// Sticks that drive a motor.
    pub(super) fn throttles(&self) -> Vec<ControlId> {
        let mut all: Vec<ControlId> = self.motors().filter_map(|(id, _)| self.driven_by(id)).collect();
        all.sort_unstable();
        all.dedup();
        all.retain(|id| self.setup.controls[*id].kind != ControlKind::Switch);
        all
    }

    /// The end at which a control has to be left for its motor to stand still: of a controller that
    /// knows one direction only, on a control that does not spring to its middle.
    pub(super) fn stop_of(&self, throttle: ControlId) -> Option<String> {
        let control = &self.setup.controls[throttle];
        let one_way =
            |(id, motor): &(DeviceId, &Device)| motor.facts.one_way && self.driven_by(*id) == Some(throttle);
        let (id, motor) = self.motors().find(one_way).filter(|_| !control.springs_back)?;
        // Unless the file says where, at the end of the shorter pulses.
        let sign = motor.still_between.as_ref().map_or(-1, |[low, high]| (low + high).signum());
        let longer = self.setup.channels[self.setup.channel_of(id)?].longer;
        Some(plain(&control.ways[Side::of_sign(longer.sign() * sign).index()]))
    }

    /// Where a switch that arms or works something belongs before she is switched on: `guard safe`.
    pub(super) fn quiet_setting(&self, id: ControlId) -> Option<String> {
        let control = &self.setup.controls[id];
        let last = control.settings.len().checked_sub(1)?;
        let acts = |n: usize| {
            let guards = |w: &Function| w.reserved == Reserved::Unless(id, n);
            let wants = |c: &Channel| {
                let asks = c.wants.iter().flatten().any(|want| want.needs.contains(&(id, n)));
                let ends = [(0, Side::Low), (last, Side::High)];
                let at_end = |(end, side): &(usize, Side)| {
                    *end == n && !(c.wants[side.index()].is_empty() && control.wants[side.index()].is_empty())
                };
                asks || c.control == Some(id) && ends.iter().any(at_end)
            };
            self.setup.devices.iter().flat_map(|d| &d.works).any(guards)
                || self.setup.channels.iter().any(wants)
        };
        let quiet: Vec<String> =
            (0..=last).filter(|n| !acts(*n)).map(|n| plain(&control.settings[n])).collect();
        let all_are = quiet.len() == control.settings.len();
        (!all_are && !quiet.is_empty()).then(|| format!("{} {}", plain(&control.name), quiet.join("/")))
    }

    pub(super) fn levellers(&self) -> impl Iterator<Item = (DeviceId, &'a Device)> + 'a {
        self.setup.devices.iter().enumerate().filter(|(_, d)| d.kind.passes_on && d.kind.works_alone)
    }

    /// What a leveller holds level with: the devices behind it.
    pub(super) fn behind(&self, leveller: DeviceId) -> Vec<String> {
        let behind = self.setup.devices.iter().filter(|d| d.input == Input::Behind(leveller));
        behind.map(|d| plain(&d.name)).collect()
    }

    pub(super) fn has_trim(&self, id: ControlId) -> bool {
        self.setup.controls[id].has_trim()
    }

    pub(super) fn any_trim(&self) -> bool {
        (0..self.setup.controls.len()).any(|id| self.has_trim(id))
    }

    /// Others could be on her frequency.
    pub(super) fn frequency_is_hers(&self) -> bool {
        self.setup.transmitter.hertz.is_none_or(|hertz| hertz < SHARED_FROM)
    }

    /// Whether a lost signal brings her up, by a work or because she floats with the motor stopped.
    pub(super) fn comes_up_alone(&self) -> bool {
        words::comes_up_alone(self.setup)
    }

    /// Whether neither receiver nor unit does anything when the signal is lost.
    pub(super) fn nothing_acts(&self) -> bool {
        self.setup.fail_safe.is_none() && !matches!(self.setup.receiver.on_loss, OnLoss::Preset { .. })
    }

    /// She failed her check: what she is set to do by herself is no promise.
    pub(super) fn failed(&self) -> bool {
        self.emergency.failed.is_some()
    }

    /// Whether she is known to come to rest when the signal is lost, where she does not dive.
    pub(super) fn rests_alone(&self) -> bool {
        self.motors_stop() || words::rests_alone(self.setup)
    }

    /// The weights that a lost signal may let go.
    pub(super) fn dropped_alone(&self) -> String {
        words::listed(self.setup.dropped_on_loss().into_iter().map(|work| self.work_name(work)))
    }

    /// Whether a lost signal may open the gas.
    pub(super) fn gas_alone(&self) -> bool {
        self.setup.loss_may_open_gas()
    }

    /// How long gas flows in one go, where that ends.
    pub(super) fn gas_time(&self) -> Option<String> {
        let stages = self.setup.fail_safe.iter().flat_map(|unit| &unit.stages);
        let blowing =
            stages.filter(|s| self.setup.engaged_by_stage(s).iter().any(|w| self.setup.lets_gas_out(*w)));
        let total: Exact = blowing.filter_map(|s| s.lasts.as_ref()).map(|s| s.0.clone()).sum();
        (!total.is_zero()).then(|| seconds(self.labels, &total))
    }

    /// When everything that begins by itself after a lost signal has begun and whatever ends has ended.
    fn done(&self) -> When {
        let setup = self.setup;
        setup.unit_ends().or_else(|| setup.stages_begin().pop()).unwrap_or_else(|| setup.receiver_acts())
    }

    /// The time until then, where it is known and there is any.
    pub(super) fn until_done(&self) -> Option<String> {
        self.done().seconds().filter(|total| !total.is_zero()).map(|total| seconds(self.labels, total))
    }

    /// Whether a delay before then is not given.
    pub(super) fn nobody_knows_when_done(&self) -> bool {
        self.done().seconds().is_none()
    }

    /// Whether every motor is known to stop when the signal is lost.
    pub(super) fn motors_stop(&self) -> bool {
        words::motors_stop(self.setup)
    }
}
