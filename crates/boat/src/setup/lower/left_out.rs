//! What the file does not say of a lost link although a verdict may hang on it.

use super::super::model::{
    ChannelId, Device, DeviceId, FailSafe, Figure, Input, Notices, OnLoss, Others, Path, Receiver,
    UntilItActs,
};
use super::Reader;
use super::mistakes::Block;

impl<'a> Reader<'a> {
    /// What the receiver does, what the unit makes of that, and how slow the servos are for which it has only so
    /// long.
    pub(super) fn left_out_of_loss(
        &mut self,
        top: &Block<'a>,
        receiver: &Receiver,
        unit: Option<&mut FailSafe>,
    ) {
        let has = |section: &str, key: &str| top.get(section).and_then(|node| node.get(key)).is_some();
        let silent = !has("receiver", "on_loss");
        if silent {
            self.mistakes.left_out(Figure::OnLoss, Path::of(["receiver", "on_loss"]), false);
        }
        if receiver.after.is_none() {
            self.mistakes.left_out(Figure::After, Path::of(["receiver", "after"]), false);
        }
        let Some(unit) = unit else { return };
        let of_unit = |key: &str| Path::of(["fail_safe", key]);
        if unit.wait.is_none() {
            self.mistakes.left_out(Figure::Wait, of_unit("wait"), false);
        }
        if matches!(unit.notices, Notices::InvalidPulses) && unit.tried.is_none() {
            self.mistakes.left_out(Figure::Tried, of_unit("tried"), false);
        }
        let noise = match &receiver.on_loss {
            OnLoss::Noise | OnLoss::Preset { others: Others::Noise, .. } => true,
            OnLoss::NoPulses | OnLoss::Hold | OnLoss::Preset { .. } => silent,
        };
        if !has("fail_safe", "notices") {
            // Of the words that may stand there the one that hears noise is the best against it.
            if matches!(receiver.on_loss, OnLoss::Noise) {
                unit.notices = Notices::InvalidPulses;
            }
            self.mistakes.left_out(Figure::Notices, of_unit("notices"), false);
        }
        if unit.until_it_acts.is_none() && noise {
            unit.until_it_acts = Some(UntilItActs::Holds);
            self.mistakes.left_out(Figure::UntilItActs, of_unit("until_it_acts"), false);
        }
        let timed = unit.stages.iter().filter(|stage| stage.lasts.is_some());
        let slow: Vec<DeviceId> = timed.flat_map(|stage| &stage.works).map(|work| work.device).collect();
        self.left_out_of_time(slow);
    }

    /// How slow the servos are that work something when a preset or a stage sets them, of a boat that is followed in time and
    /// water.
    pub(super) fn left_out_of_water(
        &mut self,
        top: &Block<'a>,
        receiver: &Receiver,
        unit: Option<&FailSafe>,
    ) {
        if top.get("hull").is_none() && top.get("tank").is_none() {
            return;
        }
        let staged = unit.into_iter().flat_map(|unit| &unit.stages).flat_map(|stage| &stage.set);
        let mut set: Vec<ChannelId> = staged.map(|(channel, _)| *channel).collect();
        if let OnLoss::Preset { values, .. } = &receiver.on_loss {
            set.extend(values.iter().map(|(channel, _)| *channel));
        }
        let works = |device: &Device| match device.input {
            Input::Channel(channel) => set.contains(&channel) && !device.works.is_empty(),
            _ => false,
        };
        let slow = (0..self.devices.len()).filter(|id| works(&self.devices[*id])).collect();
        self.left_out_of_time(slow);
    }

    fn left_out_of_time(&mut self, mut slow: Vec<DeviceId>) {
        slow.sort_unstable();
        slow.dedup();
        for id in slow {
            if self.mistakes.lacks(Figure::Takes(id)) {
                continue;
            }
            let device = &self.devices[id];
            if device.kind.keys.contains(&"takes") && device.facts.per_axis().is_none() {
                let path = Path::of(["devices", &device.name, "takes"]);
                self.mistakes.left_out(Figure::Takes(id), path, false);
            }
        }
    }
}
