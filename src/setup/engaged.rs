//! What a lost link surely engages: by the positions that are stored, not only by what the file names.

use super::exact::Exact;
use super::lost::Unit;
use super::model::{ChannelId, Device, Input, OnLoss, Setup, Stage, WorkRef};

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

    /// What stays engaged without link: by the unit if it is sure to act, on its channels, and else by the
    /// receiver's preset.
    pub fn surely_engaged(&self) -> Vec<WorkRef> {
        let mut all = self.engaged_by_preset();
        if let (Some(unit), Unit::Sure) = (&self.fail_safe, self.unit()) {
            all.retain(|work| self.channel_of(work.device).is_none_or(|c| !unit.channels.contains(&c)));
            all.extend(unit.stages.iter().flat_map(|stage| self.engaged_by_stage(stage)));
        }
        all
    }

    /// The named works and, on the devices of which none is named, those that are surely on.
    fn engaged(&self, named: &[WorkRef], set: &[(ChannelId, Exact)], by_unit: bool) -> Vec<WorkRef> {
        let silent = |device: usize| named.iter().all(|work| work.device != device);
        let found = set.iter().flat_map(|(channel, value)| {
            let on = (0..self.devices.len()).filter(|id| self.devices[*id].input == Input::Channel(*channel));
            let works = on.filter(|id| silent(*id)).flat_map(|device| {
                (0..self.devices[device].works.len()).map(move |work| WorkRef { device, work })
            });
            works.filter(|work| self.surely_on(*work, value, by_unit))
        });
        named.iter().copied().chain(found).collect()
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
