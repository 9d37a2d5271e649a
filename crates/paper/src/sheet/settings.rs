//! Everything that sets a blank transmitter up again, in the order in which it is dialled in, with the
//! pulses to expect.

use super::say::{Say, held, switched};
use super::table::{Cell, Table};
use crate::chain::Inputs;
use crate::finding::SafeEndpoints;
use crate::labels::text;
use crate::labels::text::sheet::{axes, settings};
use crate::setup::{Channel, ChannelId, ControlKind, Exact, Mix, MixOf, Side};
use crate::words::{channel_name, listed, listed_apart, plain, signed, trim, way};

/// A way of a channel under one setting of the switch that chooses its rate.
#[derive(Clone, Default)]
struct Line {
    way: String,
    endpoint: String,
    safe: String,
    rate: String,
    pulse: String,
}

/// A line for each way of a channel, in the order of the stick; from left to right as a blank set asks for it.
pub(super) fn channels(say: &Say<'_>, windows: &[SafeEndpoints]) -> Table {
    use crate::labels::text::sheet::settings::head;
    let mut table = Table::with_head(say.all([
        head::NUMBER,
        head::NAME,
        head::REVERSE,
        head::SUB_TRIM,
        head::REST,
        head::WAY,
        head::ENDPOINT,
        head::SAFE,
        head::RATE,
        head::EXPO,
        head::PULSE,
    ]));
    for (id, channel) in say.setup.channels.iter().enumerate() {
        if id > 0 {
            table.part();
        }
        let lines = Side::BOTH.into_iter().flat_map(|side| ways(say, id, side, windows));
        let lines: Vec<Line> = lines.collect();
        let about = about(say, channel);
        let once = |n: usize, text: &dyn Fn() -> String| if n == 0 { text() } else { String::new() };
        for n in 0..lines.len().max(about.len()) {
            let of = |pick: fn(&Line) -> &String| lines.get(n).map(|l| pick(l).clone()).unwrap_or_default();
            let row = vec![
                once(n, &|| channel.number.to_string()),
                about.get(n).cloned().unwrap_or_default(),
                once(n, &|| reverse(say, channel)),
                once(n, &|| signed(say.labels, &channel.sub_trim)),
                once(n, &|| rest(say, id)),
                of(|l| &l.way),
                of(|l| &l.endpoint),
                of(|l| &l.safe),
                of(|l| &l.rate),
                once(n, &|| say.percent(&channel.expo)),
                of(|l| &l.pulse),
            ];
            table.row_with_bold(row, if n == 0 { &[0, 1] } else { &[] });
        }
    }
    table
}

/// The channel's name, and the axis of the set that moves it.
fn about(say: &Say<'_>, channel: &Channel) -> Vec<String> {
    let mut about = vec![channel.name.as_deref().map_or_else(String::new, plain)];
    about.push(match channel.control {
        Some(control) => {
            let name = plain(&say.setup.controls[control].name);
            listed([say.fill(settings::By { control: &name }), say.place(control)])
        }
        None if channel.mixes.is_empty() => "\u{2013}".to_owned(),
        None => say.labels.get(text::common::MIXED).to_owned(),
    });
    about
}

fn reverse(say: &Say<'_>, channel: &Channel) -> String {
    let word = match channel.reverse {
        Some(true) => text::common::YES,
        Some(false) => text::common::NO,
        None => settings::REVERSE_UNKNOWN,
    };
    say.get(word).to_owned()
}

/// The pulse with everything at rest; a switch has none.
fn rest(say: &Say<'_>, id: ChannelId) -> String {
    let springs = say.setup.channels[id].control.is_none_or(|c| say.setup.controls[c].settings.is_empty());
    if springs { say.pulse(&say.outputs(id, &Inputs::at_rest(say.setup))) } else { String::new() }
}

fn ways(say: &Say<'_>, id: ChannelId, side: Side, windows: &[SafeEndpoints]) -> Vec<Line> {
    let setup = say.setup;
    let channel = &setup.channels[id];
    let inputs = |setting: Option<(usize, usize)>| {
        let mut inputs = match channel.control {
            Some(control) => {
                let last = setup.controls[control].settings.len().saturating_sub(1);
                held(setup, control, side.position(), if side == Side::High { last } else { 0 })
            }
            None => Inputs::at_rest(setup),
        };
        if let Some((switch, n)) = setting {
            inputs = switched(setup, inputs, switch, n);
        }
        inputs
    };
    let rate = &channel.rate[side.index()];
    let first = Line {
        way: named_way(say, id, side),
        endpoint: endpoint(say, id, side),
        safe: safe(say, id, side, windows),
        rate: rate.values.first().map_or_else(String::new, |v| say.percent(v)),
        pulse: pulse(say, id, side, &inputs(None)),
    };
    let Some(switch) = rate.switch else {
        return vec![first];
    };
    let mut lines = Vec::new();
    for (n, value) in rate.values.iter().enumerate() {
        let setting = setup.controls[switch].settings.get(n).map_or_else(String::new, |s| plain(s));
        let rate = say.fill(settings::RateAt { rate: &say.percent(value), setting: &setting });
        let pulse = pulse(say, id, side, &inputs(Some((switch, n))));
        let named = if n == 0 { first.clone() } else { Line::default() };
        lines.push(Line { rate, pulse, ..named });
    }
    lines
}

/// Where the hand goes and the builder's word for it.
fn named_way(say: &Say<'_>, id: ChannelId, side: Side) -> String {
    let word = say.way(id, side);
    match say.setup.channels[id].control.filter(|c| say.setup.controls[*c].settings.is_empty()) {
        Some(control) => {
            let hand = way(say.labels, say.setup, control, side).hand;
            say.fill(settings::HandAndWay { hand: &hand, way: &word })
        }
        None => word,
    }
}

/// What cuts this way off. A set that names endpoints by the pulse may call it by the other way's name.
fn endpoint(say: &Say<'_>, id: ChannelId, side: Side) -> String {
    let channel = &say.setup.channels[id];
    let each = say.setup.limited_by(id, side).into_iter().map(|named| {
        let value = say.percent(&channel.endpoints[named.index()]);
        if named == side {
            return value;
        }
        say.fill(settings::EndpointNamed { value: &value, name: &say.way(id, named) })
    });
    let each: Vec<String> = each.collect();
    match &each[..] {
        [one, other] if channel.endpoints[0] != channel.endpoints[1] => {
            say.fill(settings::EndpointEither { one, other })
        }
        [one, ..] => one.clone(),
        [] => String::new(),
    }
}

/// Between which values what cuts this way off may be set, and the best of them where there is one.
fn safe(say: &Say<'_>, id: ChannelId, side: Side, windows: &[SafeEndpoints]) -> String {
    let named = say.setup.limited_by(id, side).into_iter();
    let mut each: Vec<String> = named.filter_map(|named| window(say, id, named, windows)).collect();
    each.dedup();
    match &each[..] {
        [one, other] => say.fill(settings::EndpointEither { one, other }),
        [one, ..] => one.clone(),
        [] => String::new(),
    }
}

/// Between which values the endpoint of this name may be set.
fn window(say: &Say<'_>, id: ChannelId, named: Side, windows: &[SafeEndpoints]) -> Option<String> {
    let channel = &say.setup.channels[id];
    let way = &say.setup.controls[channel.control?].ways[named.index()];
    let found = windows.iter().find(|w| w.channel == channel.number && w.way == *way)?;
    let number = |end: &Exact| say.labels.decimal(&(end * Exact::int(100)).to_decimal(1));
    let each = found.windows.iter();
    let each =
        each.map(|[low, high]| say.fill(settings::Safe { low: &number(low), high: &say.percent(high) }));
    let best = found.best.iter().map(|best| say.fill(axes::Best { value: &say.percent(best) }));
    Some(listed(each.chain(best)))
}

/// The pulse of a way held, and that nobody measured which way it goes.
fn pulse(say: &Say<'_>, id: ChannelId, side: Side, inputs: &Inputs) -> String {
    let channel = &say.setup.channels[id];
    let pulse = say.pulse(&say.outputs(id, inputs));
    if channel.longer_measured || channel.control.is_none() {
        return pulse;
    }
    let sense = if channel.longer == side { settings::LONGER_ASSUMED } else { settings::SHORTER_ASSUMED };
    say.fill(settings::PulseAssumed { pulse: &pulse, sense: say.get(sense) })
}

/// Trims, mixes, what slows a channel and what was measured: a line for all channels with the same, where there is
/// something.
pub(super) fn notes(say: &Say<'_>) -> Vec<[String; 2]> {
    let mut all: Vec<[String; 2]> = Vec::new();
    for (id, channel) in say.setup.channels.iter().enumerate() {
        let name = channel.name.as_deref().map_or_else(String::new, plain);
        let name = format!("{} {name}", channel.number);
        let notes = listed_apart(of_channel(say, id, channel));
        match all.iter_mut().find(|[_, known]| *known == notes) {
            Some([names, _]) => *names = listed([std::mem::take(names), name]),
            None => all.push([name, notes]),
        }
    }
    all.retain(|[_, notes]| !notes.is_empty());
    all
}

fn of_channel(say: &Say<'_>, id: ChannelId, channel: &Channel) -> Vec<String> {
    let (setup, labels) = (say.setup, say.labels);
    let mut notes: Vec<String> = channel.mixes.iter().map(|m| mix(say, id, m)).collect();
    // What is no stick has a trim only where the file gives it one.
    let trimmed = channel.control.filter(|c| {
        let control = &setup.controls[*c];
        control.kind == ControlKind::Stick || control.has_trim()
    });
    notes.extend(trimmed.and_then(|control| trim(labels, setup, control)));
    if let Some(slow) = &channel.slow {
        notes.push(say.fill(settings::Slow { time: &say.seconds(&slow.0) }));
    }
    for measured in &channel.measured {
        let way = plain(&setup.controls[measured.control].ways[measured.side.index()]);
        let pulse = say.micros(&measured.pulse.0);
        notes.push(say.fill(settings::Measured { way: &way, pulse: &pulse }));
    }
    notes
}

/// `+12 % of helm at agility full, starboard gives rise`: a plus takes what is upper, away or right to the same.
fn mix(say: &Say<'_>, id: ChannelId, mix: &Mix) -> String {
    let setup = say.setup;
    let (of, from) = match mix.of {
        MixOf::Control(control) => {
            let control = &setup.controls[control];
            (plain(&control.name), plain(&control.ways[Side::High.index()]))
        }
        MixOf::Channel(other) => {
            (channel_name(say.labels, &setup.channels[other]), say.way(other, Side::High))
        }
    };
    let when = listed(mix.when.iter().map(|(switch, setting)| {
        let control = &setup.controls[*switch];
        format!("{} {}", plain(&control.name), control.settings.get(*setting).map_or("", |s| s.as_str()))
    }));
    let share = &signed(say.labels, &mix.add);
    let what = match when.as_str() {
        "" => say.fill(settings::Mix { share, from: &of }),
        when => say.fill(settings::MixWhen { share, from: &of, when }),
    };
    let to = say.way(id, if mix.add.signum() < 0 { Side::Low } else { Side::High });
    let with = match mix.of {
        MixOf::Control(control) if setup.controls[control].has_trim() => {
            Some(if mix.with_trim { settings::WITH_TRIM } else { settings::WITHOUT_TRIM })
        }
        _ => None,
    };
    let towards =
        if mix.add == Exact::ZERO { None } else { Some(say.fill(settings::MixTo { from: &from, to: &to })) };
    listed([Some(what), towards, with.map(|text| say.get(text).to_owned())].into_iter().flatten())
}

/// What happens on a lost link: when and what, and below it on which channel which pulse.
pub(super) fn stages(say: &Say<'_>) -> Table {
    let mut table = Table::with_head([]);
    for (n, moment) in super::loss::moments(say).into_iter().enumerate() {
        if n > 0 {
            table.part();
        }
        table.cells(vec![Cell::bold(moment.when), Cell::over(moment.what, 2)]);
        for (channel, at) in &moment.sets {
            let both = [at.clone(), at.clone()];
            table.row(vec![String::new(), say.channel(*channel), say.signed(at), say.pulse(&both)]);
        }
    }
    table
}
