//! The list of bench tests, in the order in which a careful fitter does them: nothing that can hurt
//! on board first, what everything else rests on before what rests on it.

mod afloat;
mod carried;

use serde::Serialize;

use super::faults::{self, Tried};
use super::loss::moments;
use super::orders::ORDERS;
use super::say::{Say, held, switched};
use super::table::{Cell, Table};
use crate::chain::Inputs;
use crate::device::PulsesFail;
use crate::labels::text::sheet::settings;
use crate::labels::text::sheet::tests;
use crate::labels::{Text, text};
use crate::setup::{ChannelId, ControlId, Exact, Input, MixOf, OrderLines, Setup, Side, Toleranced, WorkRef};
use crate::words::{self, Way, listed, listed_apart, plain, way};

/// Tests that belong together.
#[derive(Serialize)]
pub(super) struct Group {
    title: String,
    /// What to know before the first of them; empty if nothing.
    before: String,
    table: Table,
}

/// One test of the list, for those who take its readings in.
#[derive(Clone, Debug)]
pub struct Test {
    /// `3.2`, as on the sheet.
    pub number: String,
    /// The title of its group.
    pub group: String,
    /// What to know before the first test of the group.
    pub before: String,
    /// What to do.
    pub what: String,
    /// What to look at.
    pub see: String,
    /// What it comes to if all is well, as on the sheet; empty where nothing is read.
    pub expected: String,
    /// What is read.
    pub reads: Reads,
    /// Whether nothing may go on unless this is as it should be.
    pub gate: Gate,
    /// The sections of the boat file that it rests on where no pulse is read that says so.
    pub rests_on: &'static [&'static str],
}

/// What a test reads.
#[derive(Clone, Debug)]
pub enum Reads {
    /// Nothing that the program could compare: it is seen or not.
    Seen,
    /// Pulses, one after the other.
    Pulses(Vec<Pulse>),
    /// The pulse at which something happens, crept up to.
    Point(WorkRef, PointOf),
}

/// A pulse that is worked out from the file.
#[derive(Clone, Debug)]
pub struct Pulse {
    /// `4/blow held`, `4/rest`, `loss: stage blow: 4`
    pub name: String,
    /// The channel.
    pub channel: ChannelId,
    /// Least and greatest output over the orders that are open.
    pub output: [Exact; 2],
    /// What the pulse can be off, in microseconds.
    pub off: Exact,
    /// What moves it: a way, nothing, or a state of the boat.
    pub at: At,
}

/// Where a pulse is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum At {
    /// Nothing touched.
    Rest,
    /// A way or setting held.
    Held,
    /// In a state after the signal is lost.
    Lost,
}

/// Which point of a work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PointOf {
    /// Where it engages.
    Engages,
    /// Where its effect is complete.
    Complete,
    /// Where it ends again.
    Ends,
    /// Where it lets go.
    LetsGo,
}

/// What a test guards.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Gate {
    /// Nothing: what is found is written down, and the rest may be tried.
    None,
    /// Everything that follows.
    All,
}

/// A list being written: every test has a number, so that a note can refer to it.
struct List<'a> {
    say: &'a Say<'a>,
    groups: Vec<Group>,
    tests: Vec<Test>,
    gate: Gate,
    before: String,
    rests_on: &'static [&'static str],
}

/// What writes a group.
type Write = fn(&Say<'_>, &mut List<'_>);

/// What the tests of a boat that is put into the water rest on.
const WHOLE: &[&str] =
    &["channels", "receiver", "fail_safe", "devices", "batteries", "hull", "tank", "fittings"];

impl List<'_> {
    fn group(&mut self, title: Text, before: Option<Text>) {
        use crate::labels::text::sheet::tests::head;
        let say = self.say;
        let head = say.all([
            head::NUMBER,
            head::DO,
            head::SEE,
            head::EXPECTED,
            head::MEASURED,
            head::INITIALS,
            head::DATE,
        ]);
        let before = before.map_or("", |text| say.get(text)).to_owned();
        self.before.clone_from(&before);
        self.gate = Gate::None;
        self.groups.push(Group { title: say.get(title).to_owned(), before, table: Table::with_head(head) });
    }

    fn add(&mut self, what: impl Into<String>, see: impl Into<String>, expected: impl Into<String>) {
        self.add_reading(what, see, expected, Reads::Seen);
    }

    fn add_reading(
        &mut self,
        what: impl Into<String>,
        see: impl Into<String>,
        expected: impl Into<String>,
        reads: Reads,
    ) {
        let (what, mut see, expected) = (what.into(), see.into(), expected.into());
        if see.is_empty() {
            // A row without anything to see would be signed without looking.
            see = self.say.get(tests::ways::METER).to_owned();
        }
        let group = self.groups.len();
        if let Some(last) = self.groups.last_mut() {
            let number = format!("{group}.{}", last.table.len() + 1);
            let empty = || Cell::plain("");
            self.tests.push(Test {
                number: number.clone(),
                group: last.title.clone(),
                before: self.before.clone(),
                what: what.clone(),
                see: see.clone(),
                expected: expected.clone(),
                reads,
                gate: self.gate,
                rests_on: self.rests_on,
            });
            last.table.cells(vec![
                Cell::bold(number),
                Cell::plain(what),
                Cell::plain(see),
                Cell::plain(expected),
                empty(),
                empty(),
                empty(),
            ]);
        }
    }

    /// A test whose words are all in the labels.
    fn plain(&mut self, what_and_see: [Text; 2]) {
        self.step(what_and_see, "");
    }

    /// The same with a figure to compare.
    fn step(&mut self, what_and_see: [Text; 2], expected: impl Into<String>) {
        let [what, see] = what_and_see.map(|text| self.say.get(text));
        self.add(what, see, expected);
    }

    fn faults(&mut self, tried: Tried) {
        for [what, see] in faults::tests(self.say, tried) {
            self.add(what, see, "");
        }
    }
}

/// All of them; a group without a test is left out.
pub(super) fn groups(say: &Say<'_>) -> Vec<Group> {
    listed_tests(say).groups
}

/// The same tests with what each reads.
pub(super) fn readings(say: &Say<'_>) -> Vec<Test> {
    listed_tests(say).tests
}

fn listed_tests<'a>(say: &'a Say<'a>) -> List<'a> {
    let mut list = List {
        say,
        groups: Vec::new(),
        tests: Vec::new(),
        gate: Gate::None,
        before: String::new(),
        rests_on: &[],
    };
    let bench_first: [(Write, &[&str]); 9] = [
        (before, &[]),
        (power_up, &["transmitter", "fittings"]),
        (sense, &["controls", "channels"]),
        (rest, &["devices"]),
        (ways, &["devices"]),
        (orders, &["transmitter"]),
        (works, &["devices"]),
        (lost_link, &["receiver", "fail_safe", "devices"]),
        (alarms, &["fail_safe", "batteries", "devices"]),
    ];
    let then: [(Write, &[&str]); 4] = [
        (carried::lights, &["fittings"]),
        (carried::supply, &["batteries", "devices"]),
        (afterwards, &["receiver", "fail_safe", "devices"]),
        (bench, &["devices", "fittings"]),
    ];
    let closed_last: [(Write, &[&str]); 3] =
        [(carried::closing, &["fittings"]), (afloat::in_water, WHOLE), (afloat::gas, WHOLE)];
    for (write, rests_on) in bench_first.into_iter().chain(then).chain(closed_last) {
        list.rests_on = rests_on;
        let so_far = list.groups.len();
        write(say, &mut list);
        // Numbers count the groups that are printed.
        if list.groups.last().is_some_and(|g| g.table.is_empty()) && list.groups.len() > so_far {
            list.groups.pop();
        }
    }
    list
}

/// The pulse of a channel with the hands there.
fn pulse(say: &Say<'_>, channel: ChannelId, inputs: &Inputs, name: &str, at: At) -> Pulse {
    Pulse {
        name: format!("{}/{name}", say.setup.channels[channel].number),
        channel,
        output: say.outputs(channel, inputs),
        off: say.setup.transmitter.pulse.accuracy.0.clone(),
        at,
    }
}

fn pulses(say: &Say<'_>, channels: &[ChannelId], inputs: &Inputs, name: &str) -> Reads {
    Reads::Pulses(channels.iter().map(|c| pulse(say, *c, inputs, name, At::Held)).collect())
}

fn lets_go(setup: &Setup) -> bool {
    setup.devices.iter().flat_map(|d| &d.works).any(|w| w.kind.lets_go)
}

fn motor(setup: &Setup) -> bool {
    setup.devices.iter().any(|d| d.kind.when_pulses_fail == PulsesFail::StopsUnlessSaid)
}

fn before(say: &Say<'_>, list: &mut List<'_>) {
    list.group(tests::before::TITLE, None);
    list.gate = Gate::All;
    if say.setup.has_bottle() {
        list.plain([tests::gas_out::DO, tests::gas_out::SEE]);
    }
    if lets_go(say.setup) {
        list.plain([tests::unloaded::DO, tests::unloaded::SEE]);
    }
    if motor(say.setup) {
        list.plain([tests::propellers_off::DO, tests::propellers_off::SEE]);
    }
    list.plain([tests::open::DO, tests::open::SEE]);
    carried::while_open(say, list);
    list.plain([tests::batteries::DO, tests::batteries::SEE]);
    list.plain([tests::code::DO, tests::code::SEE]);
}

fn power_up(say: &Say<'_>, list: &mut List<'_>) {
    list.group(tests::power_up::TITLE, None);
    match &say.setup.transmitter.memory {
        Some(memory) => {
            let what = say.fill(tests::transmitter_memory::Do { memory });
            list.add(what, say.get(tests::transmitter_memory::SEE), "");
        }
        None => list.plain([tests::transmitter_first::DO, tests::transmitter_first::SEE]),
    }
    list.plain([tests::boat_second::DO, tests::boat_second::SEE]);
    carried::power(say, list);
}

/// Where the sense was never measured nothing that follows can be believed before it is.
fn sense(say: &Say<'_>, list: &mut List<'_>) {
    list.group(tests::sense::TITLE, Some(tests::sense::BEFORE));
    for (id, channel) in say.setup.channels.iter().enumerate() {
        let Some(control) = channel.control.filter(|_| !channel.longer_measured) else { continue };
        let (name, way) = (say.control(control), say.way(id, channel.longer));
        let what = say.fill(tests::sense::Do { control: &name, way: &way });
        let see = say.fill(tests::sense::See { channel: &say.channel(id) });
        let band = band(say, id, &Inputs::at_rest(say.setup));
        list.add(what, see, say.fill(tests::LongerThan { pulse: &band }));
    }
}

fn band(say: &Say<'_>, channel: ChannelId, inputs: &Inputs) -> String {
    say.band(&say.outputs(channel, inputs), &say.setup.transmitter.pulse.accuracy.0)
}

fn on_channel(say: &Say<'_>, channel: ChannelId, pulse: &str) -> String {
    say.fill(tests::OnChannel { channel: &say.channel(channel), pulse })
}

fn rest(say: &Say<'_>, list: &mut List<'_>) {
    list.group(tests::rest::TITLE, Some(tests::rest::BEFORE));
    let inputs = Inputs::at_rest(say.setup);
    for (id, channel) in say.setup.channels.iter().enumerate() {
        // A switch has no rest: each of its settings is a test of its own.
        if channel.control.is_some_and(|c| !say.setup.controls[c].settings.is_empty()) {
            continue;
        }
        let what = say.fill(tests::rest::Do { channel: &say.channel(id) });
        let see = if channel.spare {
            say.get(tests::rest::SPARE).to_owned()
        } else {
            listed(say.setup.devices_on(id).map(|(_, d)| at_rest(say, d)))
        };
        let reads = Reads::Pulses(vec![pulse(say, id, &inputs, "rest", At::Rest)]);
        list.add_reading(what, see, band(say, id, &inputs), reads);
    }
}

fn at_rest(say: &Say<'_>, device: &crate::setup::Device) -> String {
    let name = plain(&device.name);
    if device.kind.rests_in_band {
        say.fill(tests::rest::Still { device: &name })
    } else if device.works.is_empty() {
        say.fill(tests::rest::Middle { device: &name })
    } else {
        say.fill(tests::rest::Shut { device: &name })
    }
}

/// Each way of each control, under each setting of what changes its rate.
fn ways(say: &Say<'_>, list: &mut List<'_>) {
    list.group(tests::ways::TITLE, Some(tests::ways::BEFORE));
    let setup = say.setup;
    for (id, control) in setup.controls.iter().enumerate() {
        let channels = channels_of(setup, id);
        if !control.settings.is_empty() {
            // What only changes other ways is tried with each of them.
            if channels.is_empty() && asked_with_ways(setup, id) {
                continue;
            }
            for n in 0..control.settings.len() {
                let inputs = switched(setup, Inputs::at_rest(setup), id, n);
                let ends = [(0, Side::Low), (control.settings.len() - 1, Side::High)];
                let does = ends
                    .iter()
                    .find(|(end, _)| *end == n)
                    .map(|(_, side)| way(say.labels, setup, id, *side).does);
                let name = plain(&control.settings[n]);
                let what = say.fill(tests::ways::Set { control: &say.control(id), setting: &name });
                let does = does
                    .filter(|d| !d.is_empty())
                    .unwrap_or_else(|| words::setting(say.labels, setup, id, n).does);
                let reads = pulses(say, &channels, &inputs, &format!("{} {name}", control.name));
                list.add_reading(what, does, bands(say, &channels, &inputs), reads);
            }
            continue;
        }
        for side in Side::BOTH {
            let Way { hand, word, does, .. } = way(say.labels, setup, id, side);
            let what = say.fill(tests::ways::Hold { control: &say.control(id), hand: &hand, way: &word });
            let inputs = held(setup, id, side.position(), 0);
            let switch = switch_of(setup, id, &channels, side);
            let Some(switch) = switch else {
                let moved = moved(say, id, &inputs);
                let reads = pulses(say, &moved, &inputs, &format!("{word} held"));
                list.add_reading(what, does, bands(say, &moved, &inputs), reads);
                continue;
            };
            for n in 0..setup.controls[switch].settings.len() {
                let (name, setting) =
                    (plain(&setup.controls[switch].name), plain(&setup.controls[switch].settings[n]));
                let what = say.fill(tests::ways::With { what: &what, switch: &name, setting: &setting });
                let inputs = switched(setup, inputs.clone(), switch, n);
                let moved = moved(say, id, &inputs);
                let reads = pulses(say, &moved, &inputs, &format!("{word} held, {name} {setting}"));
                let see = needed(say, &channels, side, (switch, n), &does);
                list.add_reading(what, see, bands(say, &moved, &inputs), reads);
            }
        }
    }
}

/// The channels of a control, and those that its mixes move in these settings.
fn moved(say: &Say<'_>, id: ControlId, inputs: &Inputs) -> Vec<ChannelId> {
    let mut let_go = inputs.clone();
    let_go.positions[id] = Exact::ZERO;
    let moves = |c: &ChannelId| say.outputs(*c, inputs) != say.outputs(*c, &let_go);
    let own = |c: &ChannelId| say.setup.channels[*c].control == Some(id);
    (0..say.setup.channels.len()).filter(|c| own(c) || moves(c)).collect()
}

/// Whether whatever a switch changes is tried under each of its settings with the ways themselves.
fn asked_with_ways(setup: &Setup, switch: ControlId) -> bool {
    let tried =
        |id: ControlId, side: Side| switch_of(setup, id, &channels_of(setup, id), side) == Some(switch);
    let mut changes = setup.channels.iter().flat_map(|c| {
        let by_way = Side::BOTH.into_iter().filter(|side| {
            c.rate[side.index()].switch == Some(switch)
                || c.wants[side.index()].iter().any(|want| want.needs.iter().any(|(s, _)| *s == switch))
        });
        let by_way = by_way.map(|side| c.control.is_some_and(|id| tried(id, side)));
        let mixes = c.mixes.iter().filter(|mix| mix.when.iter().any(|(s, _)| *s == switch));
        let by_mix = mixes.map(|mix| match mix.of {
            MixOf::Control(id) => mix.when.len() == 1 && Side::BOTH.into_iter().all(|side| tried(id, side)),
            MixOf::Channel(_) => false,
        });
        by_way.chain(by_mix).collect::<Vec<_>>()
    });
    changes.next().is_some_and(|first| first && changes.all(|all| all))
}

fn channels_of(setup: &Setup, id: ControlId) -> Vec<ChannelId> {
    (0..setup.channels.len()).filter(|c| setup.channels[*c].control == Some(id)).collect()
}

/// The switch that changes the rate of a way, decides what it is to work, or lets it mix into another channel.
fn switch_of(setup: &Setup, id: ControlId, channels: &[ChannelId], side: Side) -> Option<ControlId> {
    let rate = channels.iter().find_map(|c| setup.channels[*c].rate[side.index()].switch);
    rate.or_else(|| {
        let wants = channels.iter().flat_map(|c| &setup.channels[*c].wants[side.index()]);
        wants.flat_map(|want| &want.needs).map(|(switch, _)| *switch).next()
    })
    .or_else(|| {
        let mixes = setup.channels.iter().flat_map(|c| &c.mixes);
        let mut mixed = mixes.filter(|mix| mix.of == MixOf::Control(id)).flat_map(|mix| &mix.when);
        mixed.next().map(|(switch, _)| *switch)
    })
}

/// What is seen in a setting: nothing, where what the way wants needs another one.
fn needed(
    say: &Say<'_>,
    channels: &[ChannelId],
    side: Side,
    (switch, n): (ControlId, usize),
    does: &str,
) -> String {
    let mut wants = channels.iter().flat_map(|c| &say.setup.channels[*c].wants[side.index()]).peekable();
    let elsewhere = |want: &crate::setup::Want| want.needs.iter().any(|(s, at)| *s == switch && *at != n);
    if wants.peek().is_some() && wants.all(elsewhere) {
        return say.get(tests::ways::NOTHING).to_owned();
    }
    does.to_owned()
}

fn bands(say: &Say<'_>, channels: &[ChannelId], inputs: &Inputs) -> String {
    let each = channels.iter().map(|c| on_channel(say, *c, &band(say, *c, inputs)));
    each.collect::<Vec<_>>().join("\n")
}

/// One test for each line of the set's sums that nobody knows.
fn orders(say: &Say<'_>, list: &mut List<'_>) {
    list.group(tests::orders::TITLE, Some(tests::orders::BEFORE));
    for (index, line) in ORDERS.iter().enumerate() {
        if is_open(&say.setup.transmitter.order, index) {
            list.plain(line.test);
        }
    }
}

fn is_open(order: &OrderLines, index: usize) -> bool {
    match index {
        0 => order.past_full_stick.is_none(),
        1 => order.endpoint.is_none(),
        2 => order.endpoint_side.is_none(),
        3 => order.trim.is_none(),
        4 => order.mix.is_none(),
        _ => order.sub_trim.is_none(),
    }
}

/// Where each work engages, is complete and lets go, creeping from rest.
fn works(say: &Say<'_>, list: &mut List<'_>) {
    list.group(tests::works::TITLE, Some(tests::works::BEFORE));
    for reference in say.works() {
        let work = say.setup.work(reference);
        let name = format!("{} ({})", plain(&work.name), plain(&say.setup.devices[reference.device].name));
        let side = say.get(if work.sign < 0 { settings::SHORTER } else { settings::LONGER });
        let engages = words::work_phrase(say.labels, say.setup, reference);
        list.add_reading(
            say.fill(tests::works::Creep { work: &name, side }),
            say.fill(tests::works::Engages { what: &engages, at: &say.toleranced(&work.from) }),
            threshold(say, reference, &work.from),
            Reads::Point(reference, PointOf::Engages),
        );
        let work_name = &name;
        let mut also = |what: String, see: &dyn Fn(&str) -> String, at: &Option<Toleranced>, of: PointOf| {
            if let Some(at) = at {
                let (see, expected) = (see(&say.toleranced(at)), threshold(say, reference, at));
                list.add_reading(what, see, expected, Reads::Point(reference, of));
            }
        };
        let complete = say.fill(tests::works::CompleteDo { work: work_name });
        also(complete, &|at| say.fill(tests::works::Complete { at }), &work.full, PointOf::Complete);
        let ends = say.fill(tests::works::EndsDo { work: work_name });
        also(ends, &|at| say.fill(tests::works::Ends { at }), &work.to, PointOf::Ends);
        let lets_go = say.fill(tests::works::LetsGoDo { work: work_name });
        also(lets_go, &|at| say.fill(tests::works::LetsGo { at }), &work.releases, PointOf::LetsGo);
    }
}

/// The pulses between which a threshold has to lie, servo and meter included.
fn threshold(say: &Say<'_>, work: WorkRef, at: &Toleranced) -> String {
    let off = |sign: i32| {
        let (accuracy, _) = say.setup.slack_parts(work.device, sign, false);
        &at.off + accuracy
    };
    let sign = at.value.signum();
    let ends = [&at.value - off(sign), &at.value + off(sign)];
    say.band(&ends, &say.setup.transmitter.pulse.accuracy.0)
}

/// Each moment after a lost link, against a stopwatch.
fn lost_link(say: &Say<'_>, list: &mut List<'_>) {
    list.group(tests::lost_link::TITLE, Some(tests::lost_link::BEFORE));
    let unit = say.setup.fail_safe.as_ref();
    for (n, moment) in moments(say).into_iter().enumerate() {
        let time = say.seconds(&moment.seconds);
        let what = if n == 0 {
            say.get(tests::lost_link::OFF).to_owned()
        } else {
            say.fill(tests::lost_link::Wait { time: &time })
        };
        let off = match unit.and_then(|u| u.accuracy.as_ref()).filter(|_| moment.by_unit) {
            Some(own) => own.0.clone(),
            None => say.setup.transmitter.pulse.accuracy.0.clone(),
        };
        let pulses = moment
            .sets
            .iter()
            .map(|(channel, at)| on_channel(say, *channel, &say.band(&[at.clone(), at.clone()], &off)));
        let see = say.fill(tests::lost_link::See { when: &moment.when, what: &moment.what });
        let reads = moment.sets.iter().map(|(channel, at)| Pulse {
            name: format!("loss: {}: {}", moment.when, say.setup.channels[*channel].number),
            channel: *channel,
            output: [at.clone(), at.clone()],
            off: off.clone(),
            at: At::Lost,
        });
        let reads = Reads::Pulses(reads.collect());
        list.add_reading(what, see, pulses.collect::<Vec<_>>().join("\n"), reads);
    }
    if motor(say.setup) {
        list.plain([tests::motor_on_loss::DO, tests::motor_on_loss::SEE]);
    }
    list.plain([tests::comes_back::DO, tests::comes_back::SEE]);
    if say.setup.has_bottle() || lets_go(say.setup) {
        list.plain([tests::nothing_again::DO, tests::nothing_again::SEE]);
    }
}

fn alarms(say: &Say<'_>, list: &mut List<'_>) {
    list.group(tests::alarms::TITLE, None);
    let Some(unit) = &say.setup.fail_safe else { return };
    let first = unit.stages.first().map_or_else(String::new, |s| plain(&s.name));
    let pulses = unit.stages.first().map_or_else(String::new, |stage| {
        let off = unit.accuracy.as_ref().unwrap_or(&say.setup.transmitter.pulse.accuracy);
        let each = stage
            .set
            .iter()
            .map(|(channel, at)| on_channel(say, *channel, &say.band(&[at.clone(), at.clone()], &off.0)));
        each.collect::<Vec<_>>().join("\n")
    });
    let kept = listed_apart(
        (0..say.setup.channels.len()).filter(|c| !unit.channels.contains(c)).map(|c| say.channel(c)),
    );
    let see = if kept.is_empty() {
        say.fill(tests::alarms::See { stage: &first })
    } else {
        say.fill(tests::alarms::SeeKept { stage: &first, channels: &kept })
    };
    if let Some((battery, below)) = &unit.low_battery {
        let name = say.setup.batteries.get(*battery).map_or("", |b| b.name.as_str());
        let volts = say.labels.decimal(&below.0.to_decimal(2));
        let volts = say.labels.fill(text::common::Volts { number: &volts });
        let what = say.fill(tests::alarms::Battery { name: &plain(name), volts: &volts });
        list.add(what, see.clone(), pulses.clone());
    }
    if unit.leak {
        list.add(say.get(tests::alarms::LEAK), see, pulses);
    }
}

/// Power without a transmitter, range, and everything back where it belongs.
fn afterwards(say: &Say<'_>, list: &mut List<'_>) {
    list.group(tests::afterwards::TITLE, None);
    list.plain([tests::without_transmitter::DO, tests::without_transmitter::SEE]);
    for moment in words::power_up(say.labels, say.context).moments {
        let then = say.fill(tests::without_transmitter::Then { moment: &moment });
        list.add(say.get(tests::without_transmitter::WAIT), then, "");
    }
    let open =
        if words::stays_open(say.setup) { tests::power_gone::SEE_OPEN } else { tests::power_gone::SEE };
    list.plain([tests::power_gone::DO, open]);
    list.plain([tests::range::DO, tests::range::SEE]);
    let levellers =
        say.setup.devices.iter().filter(|d| d.kind.passes_on && !matches!(d.input, Input::Behind(_)));
    for device in levellers {
        let name = plain(&device.name);
        let what = say.fill(tests::levels::Do { device: &name });
        list.add(what, say.get(tests::levels::SEE), "");
    }
}

fn bench(_: &Say<'_>, list: &mut List<'_>) {
    list.group(tests::bench::TITLE, Some(tests::bench::BEFORE));
    list.faults(Tried::Open);
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod checks {
    use super::is_open;
    use crate::chain::order::LINES;
    use crate::setup::{OrderLines, lower};
    use crate::source::Source;

    #[test]
    fn every_line_of_the_order_has_its_own_test() {
        let nothing_known = OrderLines::default();
        assert!((0..LINES.len()).all(|line| is_open(&nothing_known, line)));
        let source = Source::from_text("moonfish", include_str!("../../../../boats/moonfish.yaml")).unwrap();
        let known = lower::lower(&source).unwrap().transmitter.order;
        assert!((0..LINES.len()).all(|line| !is_open(&known, line)));
    }
}
