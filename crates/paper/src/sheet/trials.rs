//! The list of bench tests, in the order in which a careful fitter does them: nothing that can hurt
//! on board first, what everything else rests on before what rests on it.

mod afloat;
mod alone;
mod carried;
mod list;
mod lost;
mod never;
mod points;
mod pulses;
mod read;
mod ways;

use super::faults::Tried;
use super::orders::ORDERS;
use super::say::Say;
use crate::chain::Inputs;
use crate::device::PulsesFail;
use crate::labels::text::sheet::tests;
use crate::setup::{OrderLines, Setup};
use crate::words::{listed, plain};
use list::{List, Trial};
use never::{never, way_wants};
use pulses::{band, pulse};

pub(super) use list::Group;
pub use read::{At, Being, Gate, PointOf, Pulse, Reads, Test};

/// What writes a group.
type Write = fn(&Say<'_>, &mut List<'_>);

/// What the tests of a boat that is put into the water rest on.
const WHOLE: &[&str] =
    &["channels", "receiver", "fail_safe", "devices", "batteries", "hull", "tank", "fittings"];

/// All of them; a group without a test is left out.
pub(super) fn groups(say: &Say<'_>) -> Vec<Group> {
    listed_tests(say).groups
}

/// The same tests with what each reads.
pub(super) fn readings(say: &Say<'_>) -> Vec<Test> {
    listed_tests(say).tests
}

fn listed_tests<'a>(say: &'a Say<'a>) -> List<'a> {
    let mut list = List::new(say);
    let bench_first: [(Write, &[&str]); 9] = [
        (before, &[]),
        (power_up, &["transmitter", "fittings"]),
        (sense, &["controls", "channels"]),
        (rest, &["devices"]),
        (ways::ways, &["devices"]),
        (orders, &["transmitter"]),
        (points::works, &["devices"]),
        (lost::lost_link, &["receiver", "fail_safe", "devices"]),
        (lost::alarms, &["fail_safe", "batteries", "devices"]),
    ];
    let then: [(Write, &[&str]); 4] = [
        (carried::lights, &["fittings"]),
        (carried::supply, &["batteries", "devices"]),
        (lost::afterwards, &["receiver", "fail_safe", "devices"]),
        (bench, &["devices", "fittings"]),
    ];
    let closed_last: [(Write, &[&str]); 3] =
        [(carried::closing, &["fittings"]), (afloat::in_water, WHOLE), (afloat::gas, WHOLE)];
    for (write, rests_on) in bench_first.into_iter().chain(then).chain(closed_last) {
        list.rests_on = rests_on;
        write(say, &mut list);
        list.drop_an_empty_group();
    }
    list
}

fn lets_go(setup: &Setup) -> bool {
    setup.devices.iter().flat_map(|d| &d.works).any(|w| w.kind.lets_go || w.kind.drops)
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
    let packs = say.setup.batteries.iter().map(|battery| plain(&battery.name)).collect();
    list.trial(Trial::of([tests::batteries::DO, tests::batteries::SEE], say).beside(packs));
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
        let trial = Trial::seen(what, see).expected(say.fill(tests::LongerThan { pulse: &band }));
        let meant = way_wants(say, control, channel.longer, &Inputs::at_rest(say.setup));
        list.trial(trial.never(never(say, &[id], &meant)));
    }
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
        // Without a hand of its own it may still have something on it, for a stage or a preset.
        let see = if channel.spare && say.setup.devices_on(id).next().is_none() {
            say.get(tests::rest::SPARE).to_owned()
        } else {
            listed(say.setup.devices_on(id).map(|(_, d)| at_rest(say, d)))
        };
        let reads = Reads::Pulses(vec![pulse(say, id, &inputs, "rest", At::Rest)]);
        let trial = Trial::seen(what, see).expected(band(say, id, &inputs)).reads(reads);
        list.trial(trial.never(never(say, &[id], &[])));
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

/// One test for each line of the set's sums that nobody knows.
fn orders(say: &Say<'_>, list: &mut List<'_>) {
    list.group(tests::orders::TITLE, Some(tests::orders::BEFORE));
    for (index, line) in ORDERS.iter().enumerate() {
        if is_open(&say.setup.transmitter.order, index) {
            let [first, second] = say.all(line.ways);
            let either = say.fill(tests::orders::Either { first: &first, second: &second });
            list.trial(Trial::of(line.test, say).beside(vec![either]));
        }
    }
    list.stands_on_the_form();
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

fn bench(_: &Say<'_>, list: &mut List<'_>) {
    list.group(tests::bench::TITLE, None);
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
