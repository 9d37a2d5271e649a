//! What it means when she behaves oddly: only what this set-up can show, each with the causes that
//! it can have, the likely ones first (order by common practice, no source).

use super::known::Known;
use super::page::{Chapter, Part, Section};
use crate::device::works::BoatDoes;
use crate::document::words::{frequency as frequency_of, plain};
use crate::setup::{ControlId, Reserved, Water, WorkRef};

pub(super) fn chapter(known: &Known<'_>) -> Chapter {
    let say = |key: &str| known.say(&format!("guide.odd.{key}"));
    let mut book = Book { known, sections: vec![Section::plain([Part::words(say("intro"))])] };
    if known.dives() {
        book.sinks_not();
        book.surfaces();
        book.heavy();
    }
    book.silent();
    book.turned();
    book.turns();
    book.motor();
    book.pump();
    book.gas();
    book.tilts();
    book.weak();
    book.releases();
    book.sections.push(Section::plain([Part::bold(say("ask"))]));
    Chapter::new(say("title"), book.sections)
}

/// A cause and what to do about it.
type Cause = Vec<String>;

struct Book<'a> {
    known: &'a Known<'a>,
    sections: Vec<Section>,
}

impl Book<'_> {
    fn cause(&self, name: &str, values: &[(&str, &str)]) -> Cause {
        let text = |part: &str| {
            let path = format!("guide.odd.causes.{name}.{part}");
            let given: Vec<(&str, &str)> = values.to_vec();
            self.known.fill(&path, &given)
        };
        vec![text("why"), text("do")]
    }

    fn sign(&mut self, title: String, causes: Vec<Cause>) {
        if causes.is_empty() {
            return;
        }
        self.sections.push(Section::new(title, [Part::causes(causes)]).whole());
    }

    fn title(&self, key: &str) -> String {
        self.known.say(&format!("guide.odd.signs.{key}"))
    }

    fn trims_of(&self, controls: impl IntoIterator<Item = ControlId>, cause: &str) -> Vec<Cause> {
        let mut seen = Vec::new();
        let known = self.known;
        for id in controls {
            if known.has_trim(id) && !seen.contains(&id) {
                seen.push(id);
            }
        }
        seen.into_iter().map(|id| self.cause(cause, &[("control", &known.control_name(id))])).collect()
    }

    fn pumps(&self) -> Vec<WorkRef> {
        self.known
            .raisers()
            .into_iter()
            .filter(|w| self.known.setup.work(*w).kind.name == "pump switch")
            .collect()
    }

    fn sinks_not(&mut self) {
        let known = self.known;
        let mut causes = Vec::new();
        for work in known.sinkers() {
            if let Some(act) = known.act_of(&known.worked_by(work)) {
                causes.push(self.cause("vent", &[("act", &act)]));
            }
        }
        if !self.pumps().is_empty() {
            causes.push(self.cause("pump_kept", &[("sign", &self.title("pump_on"))]));
        }
        if known.sinkers().is_empty() {
            causes.push(self.cause("slow", &[]));
        }
        let up = known.ways_that(&["bow rises", "stern dips"]).into_iter().map(|(id, _)| id);
        causes.extend(self.trims_of(up, "planes_trim"));
        if known.setup.boat.water == Water::Fresh {
            causes.push(self.cause("water_fresh", &[]));
        }
        if known.levellers().next().is_some() {
            causes.push(self.cause("level_bow", &[]));
        }
        self.sign(self.title("sinks_not"), causes);
    }

    fn surfaces(&mut self) {
        let known = self.known;
        let mut causes = Vec::new();
        if known.comes_up_alone() {
            causes.push(self.cause("lost", &[]));
            if let Some(unit) = &known.setup.fail_safe {
                if let Some((id, _)) = &unit.low_battery {
                    let battery = known.setup.batteries.get(*id).map(|b| plain(&b.name)).unwrap_or_default();
                    causes.push(self.cause("low", &[("battery", &battery)]));
                }
                if unit.leak {
                    causes.push(self.cause("leak", &[]));
                }
            }
        }
        if known.setup.boat.floats_when_stopped {
            causes.push(self.cause("floats", &[]));
        }
        if !self.pumps().is_empty() {
            causes.push(self.cause("pump_kept", &[("sign", &self.title("pump_on"))]));
        }
        let up = known.ways_that(&["bow rises", "stern dips"]).into_iter().map(|(id, _)| id);
        causes.extend(self.trims_of(up, "planes_trim"));
        if !known.gas().is_empty() {
            causes.push(self.cause("gas_leaks", &[]));
        }
        self.sign(self.title("surfaces"), causes);
    }

    fn heavy(&mut self) {
        let known = self.known;
        let mut causes = vec![self.cause("water_in", &[])];
        for work in known.raisers() {
            causes
                .extend(known.act_of(&known.worked_by(work)).map(|act| self.cause("tank", &[("act", &act)])));
        }
        self.sign(self.title("heavy"), causes);
    }

    fn silent(&mut self) {
        let known = self.known;
        let set = &known.setup.transmitter;
        let mut causes = vec![self.cause("tx_off", &[])];
        causes.push(match &known.setup.fittings.power_at {
            Some(place) => self.cause("boat_off_at", &[("where", place)]),
            None => self.cause("boat_off", &[]),
        });
        if let Some(memory) = &set.memory {
            causes.push(self.cause("memory", &[("memory", memory)]));
        }
        causes.push(self.cause(if known.dives() { "range" } else { "range_surface" }, &[]));
        if let Some(time) = known.until_done().filter(|_| known.setup.fail_safe.is_some()) {
            causes.push(self.cause("waits", &[("time", &time)]));
        }
        if let Some(place) = &known.setup.fittings.aerial {
            causes.push(self.cause("aerial", &[("where", place)]));
        }
        if let Some(frequency) = set.frequency.as_ref().filter(|_| known.frequency_is_hers()) {
            let frequency = frequency_of(known.labels, frequency);
            causes.push(self.cause("someone", &[("frequency", &frequency)]));
        }
        self.sign(self.title("silent"), causes);
    }

    fn turned(&mut self) {
        let mut causes = Vec::new();
        if let Some(memory) = &self.known.setup.transmitter.memory {
            causes.push(self.cause("memory", &[("memory", memory)]));
        }
        causes.push(self.cause("reversed", &[]));
        self.sign(self.title("turned"), causes);
    }

    fn turns(&mut self) {
        let turning = self.known.ways_that(&["turns left", "turns right"]);
        if turning.is_empty() {
            return;
        }
        let mut causes = self.trims_of(turning.into_iter().map(|(id, _)| id), "rudder_trim");
        causes.push(self.cause("bent", &[]));
        causes.push(self.cause("wind", &[]));
        self.sign(self.title("turns"), causes);
    }

    fn motor(&mut self) {
        let known = self.known;
        if known.motors().next().is_none() {
            return;
        }
        let throttles = known.throttles();
        let staying = throttles.iter().filter(|id| !known.setup.controls[**id].springs_back);
        let left = |id: &ControlId| {
            let name = known.control_name(*id);
            match known.stop_of(*id) {
                Some(way) => self.cause("stick_left_at", &[("control", &name), ("way", &way)]),
                None => self.cause("stick_left", &[("control", &name)]),
            }
        };
        let mut creeps: Vec<Cause> = staying.map(left).collect();
        let stop = throttles.iter().find_map(|id| known.stop_of(*id));
        creeps.extend(self.trims_of(throttles, "motor_trim"));
        creeps.push(self.cause("still", &[]));
        self.sign(self.title("creeps"), creeps);
        let mut dead = Vec::new();
        let held = |unit: &crate::setup::FailSafe| {
            known
                .motors()
                .any(|(id, _)| known.setup.channel_of(id).is_some_and(|c| unit.channels.contains(&c)))
        };
        if known.setup.fail_safe.as_ref().is_some_and(held) {
            dead.push(self.cause("unit_holds", &[]));
        }
        dead.push(match stop {
            Some(way) => self.cause("power_up_at", &[("way", &way)]),
            None => self.cause("power_up", &[]),
        });
        dead.push(self.cause("fouled", &[]));
        dead.push(self.cause("battery", &[]));
        self.sign(self.title("motor"), dead);
    }

    fn pump(&mut self) {
        let known = self.known;
        let (mut dead, mut kept) = (Vec::new(), Vec::new());
        for work in self.pumps() {
            let Some(way) = known.worked_by(work).first().copied() else { continue };
            dead.push(self.cause("held", &[("act", &known.act(way))]));
            dead.extend(self.trims_of([way.0], "held_trim"));
            kept.push(self.cause("let_go", &[("control", &known.control_name(way.0))]));
            kept.extend(self.trims_of([way.0], "rudder_trim"));
        }
        if dead.is_empty() {
            return;
        }
        dead.push(self.cause("battery", &[]));
        if let Some(snorkel) = known.setup.fittings.snorkel {
            dead.push(self.cause("no_air", &[]));
            if snorkel.float_valve {
                dead.push(self.cause("float", &[]));
            }
        }
        dead.push(self.cause("switch_moved", &[]));
        kept.push(self.cause("stuck", &[]));
        self.sign(self.title("pump"), dead);
        self.sign(self.title("pump_on"), kept);
    }

    fn gas(&mut self) {
        let known = self.known;
        if known.gas().is_empty() {
            return;
        }
        let mut causes = Vec::new();
        if let Some(time) = known.gas_time() {
            causes.push(self.cause("blew", &[("time", &time)]));
        }
        causes.push(self.cause("cold", &[]));
        causes.push(self.cause("joint", &[]));
        if !crate::document::words::within_reach(known.labels, known.setup).is_empty() {
            causes.push(self.cause("reach", &[]));
        }
        self.sign(self.title("gas"), causes);
    }

    fn tilts(&mut self) {
        let known = self.known;
        let tilting = known.ways_that(&["bow rises", "bow dips", "stern rises", "stern dips"]);
        if tilting.is_empty() && known.levellers().next().is_none() {
            return;
        }
        let mut causes = self.trims_of(tilting.into_iter().map(|(id, _)| id), "rudder_trim");
        for (id, _) in known.levellers() {
            causes.extend(
                known.driven_by(id).map(|c| self.cause("override", &[("control", &known.control_name(c))])),
            );
        }
        if !known.ways_that(&["drives astern"]).is_empty() {
            causes.push(self.cause("astern", &[]));
        }
        if known.levellers().next().is_some() {
            causes.push(self.cause("unlevel", &[]));
        }
        causes.push(self.cause("bent", &[]));
        self.sign(self.title("tilts"), causes);
    }

    fn weak(&mut self) {
        let known = self.known;
        let turning = known.ways_that(&["turns left", "turns right"]);
        let mut causes = Vec::new();
        for channel in
            known.setup.channels.iter().filter(|c| turning.iter().any(|(id, _)| c.control == Some(*id)))
        {
            let rate = &channel.rate[0];
            let least = rate.values.iter().enumerate().min_by(|a, b| a.1.cmp(b.1));
            if let (Some(switch), Some((setting, _))) = (rate.switch, least)
                && let Some(setting) = known.setup.controls[switch].settings.get(setting)
            {
                let said = [("switch", known.control_name(switch)), ("setting", plain(setting))];
                let said = said.each_ref().map(|(name, value)| (*name, value.as_str()));
                causes.push(self.cause("gentle", &said));
            }
        }
        if !causes.is_empty() {
            causes.push(self.cause("slow_turn", &[]));
        }
        self.sign(self.title("weak"), causes);
    }

    fn releases(&mut self) {
        let known = self.known;
        for work in known.works_that(|kind| kind.lets_go && kind.boat == BoatDoes::Neither) {
            let name = known.work_name(work);
            let mut causes = Vec::new();
            if let Reserved::Unless(switch, setting) = known.setup.work(work).reserved
                && let Some(setting) = known.setup.controls[switch].settings.get(setting)
            {
                let said = [("switch", known.control_name(switch)), ("setting", plain(setting))];
                let said = said.each_ref().map(|(name, value)| (*name, value.as_str()));
                causes.push(self.cause("guard", &said));
            }
            causes.push(self.cause("jammed", &[]));
            self.sign(known.fill("guide.odd.signs.release", &[("work", &name)]), causes);
            let moved = vec![self.cause("arm_moved", &[])];
            self.sign(known.fill("guide.odd.signs.release_alone", &[("work", &name)]), moved);
        }
    }
}
