//! What a lost link surely engages: by the positions that are stored, not only by what the file names.

use super::exact::Exact;
use super::lost::UnitActs;
use super::model::{ChannelId, Device, Emptier, Input, OnLoss, Setup, Stage, WorkRef};

impl Setup {
    /// What the receiver's preset engages, until a unit takes over.
    pub fn engaged_by_preset(&self) -> Vec<WorkRef> {
        match &self.receiver.on_loss {
            OnLoss::Preset { values, works, .. } => self.engaged(works, values, false),
            OnLoss::NoPulses | OnLoss::Hold | OnLoss::Noise => Vec::new(),
        }
    }

    /// What a stage of the unit engages.
    pub fn engaged_by_stage(&self, stage: &Stage) -> Vec<WorkRef> {
        self.engaged(&stage.works, &stage.set, true)
    }

    /// What a lost link surely engages at one time or another: by the unit if it is sure to act, on its
    /// channels, and else by the receiver's preset. What the file only names is no promise.
    pub fn surely_engaged(&self) -> Vec<WorkRef> {
        let mut all = match &self.receiver.on_loss {
            OnLoss::Preset { values, .. } => self.surely_on_at(values, false),
            OnLoss::NoPulses | OnLoss::Hold | OnLoss::Noise => Vec::new(),
        };
        if let (Some(unit), UnitActs::Sure) = (&self.fail_safe, self.unit()) {
            all.retain(|work| self.channel_of(work.device).is_none_or(|c| !unit.channels.contains(&c)));
            all.extend(unit.stages.iter().flat_map(|stage| self.surely_on_at(&stage.set, true)));
        }
        all
    }

    /// Whether a lost link may let gas out, if only within a tolerance or by a unit that may never notice.
    pub fn loss_may_open_gas(&self) -> bool {
        self.works().any(|work| self.lets_gas_out(work) && self.loss_may_engage(work))
    }

    /// The weights that a lost link may let go, likewise.
    pub fn dropped_on_loss(&self) -> Vec<WorkRef> {
        self.works().filter(|work| self.work(*work).kind.drops && self.loss_may_engage(*work)).collect()
    }

    /// Whether a preset or a stage names a work, or puts its device where it is not surely off.
    fn loss_may_engage(&self, work: WorkRef) -> bool {
        let preset = match &self.receiver.on_loss {
            OnLoss::Preset { values, works, .. } => Some((values, works, false)),
            OnLoss::NoPulses | OnLoss::Hold | OnLoss::Noise => None,
        };
        let stages = self.fail_safe.iter().flat_map(|unit| &unit.stages);
        let mut all = preset.into_iter().chain(stages.map(|stage| (&stage.set, &stage.works, true)));
        all.any(|(set, named, by_unit)| {
            let not_off = |(of, at): (WorkRef, &Exact)| of == work && !self.surely_off(work, at, by_unit);
            named.contains(&work) || self.at(set).any(not_off)
        })
    }

    /// Whether a work opens a bottle: an emergency gas valve, or whatever empties a tank by gas.
    pub fn lets_gas_out(&self, work: WorkRef) -> bool {
        let bottled = |(of, emptier): &(WorkRef, Emptier)| *of == work && matches!(emptier, Emptier::Gas(_));
        self.work(work).kind.emergency || self.tank.emptied_by.iter().any(bottled)
    }

    /// Whether a bottle is on board.
    pub fn has_bottle(&self) -> bool {
        self.works().any(|work| self.lets_gas_out(work))
    }

    /// The named works, and whatever else is surely on.
    fn engaged(&self, named: &[WorkRef], set: &[(ChannelId, Exact)], by_unit: bool) -> Vec<WorkRef> {
        let mut all = named.to_vec();
        all.extend(self.surely_on_at(set, by_unit).into_iter().filter(|work| !named.contains(work)));
        all
    }

    fn surely_on_at(&self, set: &[(ChannelId, Exact)], by_unit: bool) -> Vec<WorkRef> {
        self.at(set).filter(|(work, at)| self.surely_on(*work, at, by_unit)).map(|(work, _)| work).collect()
    }

    /// Every work of the devices on channels that are set, with where its device is put.
    fn at<'a>(&'a self, set: &'a [(ChannelId, Exact)]) -> impl Iterator<Item = (WorkRef, &'a Exact)> {
        set.iter().flat_map(|(channel, value)| {
            let on = (0..self.devices.len()).filter(|id| self.devices[*id].input == Input::Channel(*channel));
            on.flat_map(|device| {
                (0..self.devices[device].works.len()).map(move |work| WorkRef { device, work })
            })
            .map(move |work| (work, value))
        })
    }

    /// Whether a work is on at a position of its device, with every tolerance against it.
    pub fn surely_on(&self, work: WorkRef, value: &Exact, by_unit: bool) -> bool {
        let w = self.work(work);
        let slack = self.slack(work.device, w.sign, by_unit);
        let at = value.outward(w.sign);
        let to = w.to.as_ref().map(|to| to.nearest(w.sign).outward(w.sign) - &slack);
        at >= w.from.farthest(w.sign).outward(w.sign) + &slack && to.is_none_or(|to| at <= to)
    }

    /// Whether a work lets go at a position of its device, with every tolerance against it.
    pub fn surely_off(&self, work: WorkRef, value: &Exact, by_unit: bool) -> bool {
        let w = self.work(work);
        let slack = self.slack(work.device, w.sign, by_unit);
        let point = w.releases.as_ref().unwrap_or(&w.from).nearest(w.sign);
        value.outward(w.sign) < point.outward(w.sign) - slack
    }
}

impl Device {
    /// Whether a motor is known to stand still at a position.
    pub fn stands_still_at(&self, value: &Exact) -> bool {
        self.still_between.as_ref().is_some_and(|[low, high]| low <= value && value <= high)
    }
}
