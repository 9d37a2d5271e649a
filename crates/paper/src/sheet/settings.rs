//! Everything that sets a blank transmitter up again, with the pulses to expect.

use super::say::{Say, held, switched};
use super::table::Table;
use crate::chain::Inputs;
use crate::labels::text;
use crate::labels::text::sheet::settings;
use crate::setup::{Channel, ChannelId, Side};
use crate::words::{mixes, plain, signed, trim};

/// A way of a channel under one setting of the switch that chooses its rate.
#[derive(Clone, Default)]
struct Line {
    way: String,
    sense: String,
    endpoint: String,
    rate: String,
    pulse: String,
}

/// Three lines and more for a channel, in the order of the stick: low, rest, high.
pub(super) fn channels(say: &Say<'_>) -> Table {
    use crate::labels::text::sheet::settings::head;
    let mut table = Table::with_head(say.all([
        head::NUMBER,
        head::NAME,
        head::WAY,
        head::SENSE,
        head::ENDPOINT,
        head::RATE,
        head::PULSE,
        head::ALSO,
    ]));
    for (id, channel) in say.setup.channels.iter().enumerate() {
        if id > 0 {
            table.part();
        }
        let lines = lines(say, id);
        let about = about(say, channel);
        let notes = notes(say, id);
        for n in 0..lines.len().max(about.len()).max(notes.len()) {
            let line = lines.get(n);
            let of = |pick: fn(&Line) -> &String| line.map(|l| pick(l).clone()).unwrap_or_default();
            let mut row = vec![
                if n == 0 { channel.number.to_string() } else { String::new() },
                about.get(n).cloned().unwrap_or_default(),
                of(|l| &l.way),
                of(|l| &l.sense),
                of(|l| &l.endpoint),
                of(|l| &l.rate),
                of(|l| &l.pulse),
            ];
            row.push(notes.get(n).cloned().unwrap_or_default());
            table.row_with_bold(row, if n == 0 { &[0, 1] } else { &[] });
        }
    }
    table
}

fn about(say: &Say<'_>, channel: &Channel) -> Vec<String> {
    let mut about = vec![channel.name.as_deref().map_or_else(String::new, plain)];
    match channel.control {
        Some(control) => {
            let name = plain(&say.setup.controls[control].name);
            about.push(say.fill(settings::By { control: &name }));
            about.push(say.place(control));
        }
        None => about.push(say.labels.get(text::common::MIXED).to_owned()),
    }
    about
}

fn lines(say: &Say<'_>, id: ChannelId) -> Vec<Line> {
    let mut lines = ways(say, id, Side::Low);
    let rest = say.outputs(id, &Inputs::at_rest(say.setup));
    let springs = say.setup.channels[id].control.is_none_or(|c| say.setup.controls[c].settings.is_empty());
    if springs {
        lines.push(Line {
            way: say.get(settings::REST).to_owned(),
            pulse: say.pulse(&rest),
            ..Line::default()
        });
    }
    lines.extend(ways(say, id, Side::High));
    lines
}

fn ways(say: &Say<'_>, id: ChannelId, side: Side) -> Vec<Line> {
    let setup = say.setup;
    let channel = &setup.channels[id];
    let longer = channel.longer == side;
    let sense = match (longer, channel.longer_measured) {
        (true, true) => settings::LONGER,
        (false, true) => settings::SHORTER,
        (true, false) => settings::LONGER_ASSUMED,
        (false, false) => settings::SHORTER_ASSUMED,
    };
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
        way: say.way(id, side),
        sense: say.get(sense).to_owned(),
        endpoint: say.percent(&channel.endpoints[side.index()]),
        rate: rate.values.first().map_or_else(String::new, |v| say.percent(v)),
        pulse: say.pulse(&say.outputs(id, &inputs(None))),
    };
    let Some(switch) = rate.switch else {
        return vec![first];
    };
    let mut lines = Vec::new();
    for (n, value) in rate.values.iter().enumerate() {
        let setting = setup.controls[switch].settings.get(n).map_or_else(String::new, |s| plain(s));
        let rate = say.fill(settings::RateAt { rate: &say.percent(value), setting: &setting });
        let pulse = say.pulse(&say.outputs(id, &inputs(Some((switch, n)))));
        let named = if n == 0 { first.clone() } else { Line::default() };
        lines.push(Line { rate, pulse, ..named });
    }
    lines
}

/// Reverse, sub-trim, expo, trim, mixes and what was measured: one a line.
fn notes(say: &Say<'_>, id: ChannelId) -> Vec<String> {
    let (setup, labels) = (say.setup, say.labels);
    let channel = &setup.channels[id];
    let reverse = match channel.reverse {
        Some(true) => say.get(settings::REVERSE_YES),
        Some(false) => say.get(settings::REVERSE_NO),
        None => say.get(settings::REVERSE_UNKNOWN),
    };
    let sub_trim = say.fill(settings::SubTrim { value: &signed(labels, &channel.sub_trim) });
    let expo = say.fill(settings::Expo { value: &say.percent(&channel.expo) });
    let mut notes = vec![reverse.to_owned(), format!("{sub_trim}, {expo}")];
    notes.extend(channel.control.and_then(|control| trim(labels, setup, control)));
    notes.extend(mixes(labels, setup, channel));
    for side in Side::BOTH {
        if let Some(measured) = &channel.measured[side.index()] {
            let (way, pulse) = (say.way(id, side), say.micros(&measured.0));
            notes.push(say.fill(settings::Measured { way: &way, pulse: &pulse }));
        }
    }
    notes
}

/// What happens on a lost link: when, what, and on which channel which pulse.
pub(super) fn stages(say: &Say<'_>) -> Table {
    use crate::labels::text::sheet::stages::head;
    let mut table =
        Table::with_head(say.all([head::WHEN, head::WHAT, head::CHANNEL, head::POSITION, head::PULSE]));
    for (n, moment) in super::loss::moments(say).into_iter().enumerate() {
        if n > 0 {
            table.part();
        }
        let mut sets = moment.sets.iter();
        let mut first = true;
        loop {
            let set = sets.next();
            if set.is_none() && !first {
                break;
            }
            let (when, what) =
                if first { (moment.when.clone(), moment.what.clone()) } else { Default::default() };
            let (channel, position, pulse) = set.map_or_else(Default::default, |(channel, at)| {
                let both = [at.clone(), at.clone()];
                (say.channel(*channel), say.signed(at), say.pulse(&both))
            });
            table.row(vec![when, what, channel, position, pulse]);
            first = false;
        }
    }
    table
}
