//! What it means when she behaves oddly: only what this set-up can show, each with the causes that
//! it can have, the likely ones first (order by common practice, no source).

use super::known::Known;
use super::page::{Chapter, Part, Section};
use crate::device::works::BoatDoes;
use crate::labels::text::guide::odd;
use crate::labels::{Gaps, Text};
use crate::setup::{ControlId, Reserved, Water, WorkRef};
use crate::words::{frequency as frequency_of, plain};

pub(super) fn chapter(known: &Known<'_>) -> Chapter {
    let mut book = Book { known, sections: vec![Section::plain([Part::words(known.say(odd::INTRO))])] };
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
    book.sections.push(Section::plain([Part::bold(known.say(odd::ASK))]));
    Chapter::new(known.say(odd::TITLE), book.sections)
}

/// A cause and what to do about it.
type Cause = Vec<String>;

struct Book<'a> {
    known: &'a Known<'a>,
    sections: Vec<Section>,
}

impl Book<'_> {
    fn cause(&self, why: impl Gaps, remedy: impl Gaps) -> Cause {
        vec![self.known.fill(why), self.known.fill(remedy)]
    }

    fn sign(&mut self, title: String, causes: Vec<Cause>) {
        if causes.is_empty() {
            return;
        }
        self.sections.push(Section::new(title, [Part::causes(causes)]).whole());
    }

    fn title(&self, sign: Text) -> String {
        self.known.say(sign)
    }

    fn trims_of(
        &self,
        controls: impl IntoIterator<Item = ControlId>,
        why: Text,
        put_back: impl Fn(&str) -> String,
    ) -> Vec<Cause> {
        let mut seen = Vec::new();
        let known = self.known;
        for id in controls {
            if known.has_trim(id) && !seen.contains(&id) {
                seen.push(id);
            }
        }
        seen.into_iter().map(|id| vec![known.say(why), put_back(&known.control_name(id))]).collect()
    }

    fn pumps(&self) -> Vec<WorkRef> {
        self.known.raisers().into_iter().filter(|w| self.known.setup.work(*w).kind.pumps).collect()
    }

    fn sinks_not(&mut self) {
        let known = self.known;
        let mut causes = Vec::new();
        for work in known.sinkers() {
            if let Some(act) = known.act_of(&known.worked_by(work)) {
                causes.push(self.cause(odd::causes::vent::WHY, odd::causes::vent::Do { act: &act }));
            }
        }
        if !self.pumps().is_empty() {
            causes.push(self.cause(
                odd::causes::pump_kept::WHY,
                odd::causes::pump_kept::Do { sign: &self.title(odd::signs::PUMP_ON) },
            ));
        }
        if known.sinkers().is_empty() {
            causes.push(self.cause(odd::causes::slow::WHY, odd::causes::slow::DO));
        }
        let up = known.ways_that(&["bow rises", "stern dips"]).into_iter().map(|(id, _)| id);
        causes.extend(self.trims_of(up, odd::causes::planes_trim::WHY, |control| {
            known.fill(odd::causes::planes_trim::Do { control })
        }));
        if known.setup.boat.water == Water::Fresh {
            causes.push(self.cause(odd::causes::water_fresh::WHY, odd::causes::water_fresh::DO));
        }
        if known.levellers().next().is_some() {
            causes.push(self.cause(odd::causes::level_bow::WHY, odd::causes::level_bow::DO));
        }
        self.sign(self.title(odd::signs::SINKS_NOT), causes);
    }

    fn surfaces(&mut self) {
        let known = self.known;
        let mut causes = Vec::new();
        if known.comes_up_alone() {
            causes.push(self.cause(odd::causes::lost::WHY, odd::causes::lost::DO));
            if let Some(unit) = &known.setup.fail_safe {
                if let Some((id, _)) = &unit.low_battery {
                    let battery = known.setup.batteries.get(*id).map(|b| plain(&b.name)).unwrap_or_default();
                    causes
                        .push(self.cause(odd::causes::low::Why { battery: &battery }, odd::causes::low::DO));
                }
                if unit.leak {
                    causes.push(self.cause(odd::causes::leak::WHY, odd::causes::leak::DO));
                }
            }
        }
        if known.setup.boat.floats_when_stopped {
            causes.push(self.cause(odd::causes::floats::WHY, odd::causes::floats::DO));
        }
        if !self.pumps().is_empty() {
            causes.push(self.cause(
                odd::causes::pump_kept::WHY,
                odd::causes::pump_kept::Do { sign: &self.title(odd::signs::PUMP_ON) },
            ));
        }
        let up = known.ways_that(&["bow rises", "stern dips"]).into_iter().map(|(id, _)| id);
        causes.extend(self.trims_of(up, odd::causes::planes_trim::WHY, |control| {
            known.fill(odd::causes::planes_trim::Do { control })
        }));
        if !known.gas().is_empty() {
            causes.push(self.cause(odd::causes::gas_leaks::WHY, odd::causes::gas_leaks::DO));
        }
        self.sign(self.title(odd::signs::SURFACES), causes);
    }

    fn heavy(&mut self) {
        let known = self.known;
        let mut causes = vec![self.cause(odd::causes::water_in::WHY, odd::causes::water_in::DO)];
        for work in known.raisers() {
            causes.extend(
                known
                    .act_of(&known.worked_by(work))
                    .map(|act| self.cause(odd::causes::tank::WHY, odd::causes::tank::Do { act: &act })),
            );
        }
        self.sign(self.title(odd::signs::HEAVY), causes);
    }

    fn silent(&mut self) {
        let known = self.known;
        let set = &known.setup.transmitter;
        let mut causes = vec![self.cause(odd::causes::tx_off::WHY, odd::causes::tx_off::DO)];
        causes.push(match &known.setup.fittings.power_at {
            Some(place) => {
                self.cause(odd::causes::boat_off_at::WHY, odd::causes::boat_off_at::Do { r#where: place })
            }
            None => self.cause(odd::causes::boat_off::WHY, odd::causes::boat_off::DO),
        });
        if let Some(memory) = &set.memory {
            causes.push(self.cause(odd::causes::memory::WHY, odd::causes::memory::Do { memory }));
        }
        causes.push(if known.dives() {
            self.cause(odd::causes::range::WHY, odd::causes::range::DO)
        } else {
            self.cause(odd::causes::range_surface::WHY, odd::causes::range_surface::DO)
        });
        if let Some(time) = known.until_done().filter(|_| known.setup.fail_safe.is_some()) {
            causes.push(self.cause(odd::causes::waits::WHY, odd::causes::waits::Do { time: &time }));
        }
        if let Some(place) = &known.setup.fittings.aerial {
            causes.push(self.cause(odd::causes::aerial::WHY, odd::causes::aerial::Do { r#where: place }));
        }
        if let Some(frequency) = set.frequency.as_ref().filter(|_| known.frequency_is_hers()) {
            let frequency = frequency_of(known.labels, frequency);
            causes.push(
                self.cause(odd::causes::someone::Why { frequency: &frequency }, odd::causes::someone::DO),
            );
        }
        self.sign(self.title(odd::signs::SILENT), causes);
    }

    fn turned(&mut self) {
        let mut causes = Vec::new();
        if let Some(memory) = &self.known.setup.transmitter.memory {
            causes.push(self.cause(odd::causes::memory::WHY, odd::causes::memory::Do { memory }));
        }
        causes.push(self.cause(odd::causes::reversed::WHY, odd::causes::reversed::DO));
        self.sign(self.title(odd::signs::TURNED), causes);
    }

    fn turns(&mut self) {
        let known = self.known;
        let turning = known.ways_that(&["turns left", "turns right"]);
        if turning.is_empty() {
            return;
        }
        let mut causes =
            self.trims_of(turning.into_iter().map(|(id, _)| id), odd::causes::rudder_trim::WHY, |control| {
                known.fill(odd::causes::rudder_trim::Do { control })
            });
        causes.push(self.cause(odd::causes::bent::WHY, odd::causes::bent::DO));
        causes.push(self.cause(odd::causes::wind::WHY, odd::causes::wind::DO));
        self.sign(self.title(odd::signs::TURNS), causes);
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
                Some(way) => self.cause(
                    odd::causes::stick_left_at::Why { control: &name },
                    odd::causes::stick_left_at::Do { way: &way },
                ),
                None => {
                    self.cause(odd::causes::stick_left::Why { control: &name }, odd::causes::stick_left::DO)
                }
            }
        };
        let mut creeps: Vec<Cause> = staying.map(left).collect();
        let stop = throttles.iter().find_map(|id| known.stop_of(*id));
        creeps.extend(self.trims_of(throttles, odd::causes::motor_trim::WHY, |control| {
            known.fill(odd::causes::motor_trim::Do { control })
        }));
        creeps.push(self.cause(odd::causes::still::WHY, odd::causes::still::DO));
        self.sign(self.title(odd::signs::CREEPS), creeps);
        let mut dead = Vec::new();
        let held = |unit: &crate::setup::FailSafe| {
            known
                .motors()
                .any(|(id, _)| known.setup.channel_of(id).is_some_and(|c| unit.channels.contains(&c)))
        };
        if known.setup.fail_safe.as_ref().is_some_and(held) {
            dead.push(self.cause(odd::causes::unit_holds::WHY, odd::causes::unit_holds::DO));
        }
        dead.push(match stop {
            Some(way) => self.cause(
                odd::causes::power_up_at::Why { way: &way },
                odd::causes::power_up_at::Do { way: &way },
            ),
            None => self.cause(odd::causes::power_up::WHY, odd::causes::power_up::DO),
        });
        dead.push(self.cause(odd::causes::fouled::WHY, odd::causes::fouled::DO));
        dead.push(self.cause(odd::causes::battery::WHY, odd::causes::battery::DO));
        self.sign(self.title(odd::signs::MOTOR), dead);
    }

    fn pump(&mut self) {
        let known = self.known;
        let (mut dead, mut kept) = (Vec::new(), Vec::new());
        for work in self.pumps() {
            let Some(way) = known.worked_by(work).first().copied() else { continue };
            dead.push(self.cause(odd::causes::held::WHY, odd::causes::held::Do { act: &known.act(way) }));
            dead.extend(self.trims_of([way.0], odd::causes::held_trim::WHY, |control| {
                known.fill(odd::causes::held_trim::Do { control })
            }));
            kept.push(self.cause(
                odd::causes::let_go::Why { control: &known.control_name(way.0) },
                odd::causes::let_go::DO,
            ));
            kept.extend(self.trims_of([way.0], odd::causes::rudder_trim::WHY, |control| {
                known.fill(odd::causes::rudder_trim::Do { control })
            }));
        }
        if dead.is_empty() {
            return;
        }
        dead.push(self.cause(odd::causes::battery::WHY, odd::causes::battery::DO));
        if let Some(snorkel) = known.setup.fittings.snorkel {
            dead.push(self.cause(odd::causes::no_air::WHY, odd::causes::no_air::DO));
            if snorkel.float_valve {
                dead.push(self.cause(odd::causes::float::WHY, odd::causes::float::DO));
            }
        }
        dead.push(self.cause(odd::causes::switch_moved::WHY, odd::causes::switch_moved::DO));
        kept.push(self.cause(odd::causes::stuck::WHY, odd::causes::stuck::DO));
        self.sign(self.title(odd::signs::PUMP), dead);
        self.sign(self.title(odd::signs::PUMP_ON), kept);
    }

    fn gas(&mut self) {
        let known = self.known;
        if known.gas().is_empty() {
            return;
        }
        let mut causes = Vec::new();
        if let Some(time) = known.gas_time() {
            causes.push(self.cause(odd::causes::blew::Why { time: &time }, odd::causes::blew::DO));
        }
        causes.push(self.cause(odd::causes::cold::WHY, odd::causes::cold::DO));
        causes.push(self.cause(odd::causes::joint::WHY, odd::causes::joint::DO));
        if !crate::words::within_reach(known.labels, known.setup).is_empty() {
            causes.push(self.cause(odd::causes::reach::WHY, odd::causes::reach::DO));
        }
        self.sign(self.title(odd::signs::GAS), causes);
    }

    fn tilts(&mut self) {
        let known = self.known;
        let tilting = known.ways_that(&["bow rises", "bow dips", "stern rises", "stern dips"]);
        if tilting.is_empty() && known.levellers().next().is_none() {
            return;
        }
        let mut causes =
            self.trims_of(tilting.into_iter().map(|(id, _)| id), odd::causes::rudder_trim::WHY, |control| {
                known.fill(odd::causes::rudder_trim::Do { control })
            });
        for (id, _) in known.levellers() {
            causes.extend(known.driven_by(id).map(|c| {
                self.cause(
                    odd::causes::r#override::Why { control: &known.control_name(c) },
                    odd::causes::r#override::DO,
                )
            }));
        }
        if !known.ways_that(&["drives astern"]).is_empty() {
            causes.push(self.cause(odd::causes::astern::WHY, odd::causes::astern::DO));
        }
        if known.levellers().next().is_some() {
            causes.push(self.cause(odd::causes::unlevel::WHY, odd::causes::unlevel::DO));
        }
        causes.push(self.cause(odd::causes::bent::WHY, odd::causes::bent::DO));
        self.sign(self.title(odd::signs::TILTS), causes);
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
                let (switch, setting) = (&known.control_name(switch), &plain(setting));
                causes
                    .push(self.cause(odd::causes::gentle::Why { switch, setting }, odd::causes::gentle::DO));
            }
        }
        if !causes.is_empty() {
            causes.push(self.cause(odd::causes::slow_turn::WHY, odd::causes::slow_turn::DO));
        }
        self.sign(self.title(odd::signs::WEAK), causes);
    }

    fn releases(&mut self) {
        let known = self.known;
        for work in known.works_that(|kind| kind.lets_go && kind.boat == BoatDoes::Neither) {
            let name = known.work_name(work);
            let mut causes = Vec::new();
            if let Reserved::Unless(switch, setting) = known.setup.work(work).reserved
                && let Some(setting) = known.setup.controls[switch].settings.get(setting)
            {
                let (switch, setting) = (&known.control_name(switch), &plain(setting));
                causes.push(self.cause(odd::causes::guard::Why { switch, setting }, odd::causes::guard::DO));
            }
            causes.push(self.cause(odd::causes::jammed::WHY, odd::causes::jammed::DO));
            self.sign(known.fill(odd::signs::Release { work: &name }), causes);
            let moved = vec![self.cause(odd::causes::arm_moved::WHY, odd::causes::arm_moved::DO)];
            self.sign(known.fill(odd::signs::ReleaseAlone { work: &name }), moved);
        }
    }
}
