//! What the file does not say of a lost link although a verdict may hang on it.

use super::super::model::{DeviceId, FailSafe, Figure, Notices, OnLoss, Others, Path, Receiver, UntilItActs};
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
        if !has("fail_safe", "notices") {
            self.mistakes.left_out(Figure::Notices, of_unit("notices"), false);
        }
        if matches!(unit.notices, Notices::InvalidPulses) && unit.tried.is_none() {
            self.mistakes.left_out(Figure::Tried, of_unit("tried"), false);
        }
        let noise = match &receiver.on_loss {
            OnLoss::Noise | OnLoss::Preset { others: Others::Noise, .. } => true,
            OnLoss::NoPulses | OnLoss::Hold | OnLoss::Preset { .. } => silent,
        };
        if unit.until_it_acts.is_none() && noise {
            unit.until_it_acts = Some(UntilItActs::Holds);
            self.mistakes.left_out(Figure::UntilItActs, of_unit("until_it_acts"), false);
        }
        let timed = unit.stages.iter().filter(|stage| stage.lasts.is_some());
        let mut slow: Vec<DeviceId> = timed.flat_map(|stage| &stage.works).map(|work| work.device).collect();
        slow.sort_unstable();
        slow.dedup();
        for id in slow {
            let device = &self.devices[id];
            if device.kind.keys.contains(&"takes") && device.facts.per_axis().is_none() {
                let path = Path::of(["devices", &device.name, "takes"]);
                self.mistakes.left_out(Figure::Takes(id), path, false);
            }
        }
    }
}
