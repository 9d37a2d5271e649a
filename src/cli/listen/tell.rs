//! What `listen` prints.

use super::lost::Lost;
use super::matched::{Found, exact};
use crate::bench::judge::{Room, Safe};
use crate::cli::args::Listen;
use crate::report::text::{counted, hanging};
use crate::setup::{Exact, Setup};
use lidcard_listen::{Heard, Kind, Ps, SECOND, Stream};

/// Microseconds to a tenth.
pub(super) fn micros(ps: Ps) -> String {
    exact(ps).to_decimal(1)
}

/// Seconds to a hundredth.
pub(super) fn seconds(ps: Ps) -> String {
    (exact(ps) / Exact::int(1_000_000)).to_decimal(2)
}

/// What is on each line.
pub(super) fn lines(heard: &Heard, width: usize) -> String {
    let mut text = format!(
        "{} s, sampled every {} us at the longest\n",
        seconds(heard.length),
        (exact(heard.sample)).to_decimal(4)
    );
    for line in &heard.lines {
        let glitches = match line.glitches {
            0 => String::new(),
            n => format!("; {}", counted(n as usize, "glitch", "glitches")),
        };
        let told = match &line.kind {
            Kind::Quiet(high) => format!("nothing moves, {}", if *high { "high" } else { "low" }),
            Kind::Switch => {
                let first =
                    line.first_edge.map_or_else(String::new, |at| format!(", first at {} s", seconds(at)));
                format!("changes {}{first}{glitches}", counted(line.edges as usize, "time", "times"))
            }
            Kind::Noise => format!("no order in {} edges{glitches}", line.edges),
            Kind::Serial { bit, packet } => {
                let baud = (SECOND + bit / 2) / bit;
                let every = if *packet == 0 {
                    String::new()
                } else {
                    format!(", a packet every {} ms", millis(*packet))
                };
                format!("a serial bus, about {baud} bits a second{every}; it carries no servo pulses")
            }
            Kind::Channel(stream) => format!("one channel, {}{glitches}", stream_told(stream)),
            Kind::Train(channels) => {
                let first = channels.first().map_or_else(String::new, stream_told);
                format!(
                    "a pulse train of {}, {first}{glitches}",
                    counted(channels.len(), "channel", "channels")
                )
            }
        };
        hanging(&mut text, &format!("  {}: ", line.name), &told, width);
    }
    text
}

fn millis(ps: Ps) -> String {
    (exact(ps) / Exact::int(1000)).to_decimal(1)
}

fn stream_told(stream: &Stream) -> String {
    let mut text =
        format!("{} every {} ms", counted(stream.pulses as usize, "pulse", "pulses"), millis(stream.frame));
    for (count, word) in
        [(stream.missing, "missing"), (stream.strays, "stray"), (stream.odd, "of no servo's length")]
    {
        if count > 0 {
            text.push_str(&format!(", {count} {word}"));
        }
    }
    for [from, to] in stream.silent.iter().take(3) {
        text.push_str(&format!(", silent from {} s to {} s", seconds(*from), seconds(*to)));
    }
    text
}

/// Steady stretches and what they are.
pub(super) fn matched(setup: &Setup, heard: &Heard, found: &[Found], args: &Listen, width: usize) -> String {
    let mut text = String::new();
    if found.is_empty() {
        let pulses = heard.lines.iter().any(|line| matches!(line.kind, Kind::Channel(_) | Kind::Train(_)));
        if pulses && args.lines.is_empty() {
            text.push('\n');
            hanging(&mut text, "", "Which line is which channel? Say so: --line D0=1 --line D3=4", width);
        }
        return text;
    }
    let mut before = String::new();
    for one in found {
        if one.from != before {
            let name = setup.channels.iter().find(|c| c.number == one.channel).and_then(|c| c.name.clone());
            text.push_str(&format!(
                "\n{}: channel {}{}\n",
                one.from,
                one.channel,
                name.map_or_else(String::new, |n| format!(" ({n})"))
            ));
            before.clone_from(&one.from);
        }
        let span = format!(
            "{} s to {} s: {} us ± {}",
            seconds(one.span.from),
            seconds(one.span.to),
            micros(one.span.mean()),
            micros(one.off)
        );
        let told = match (&one.is, &one.nearest) {
            (Some((_, pulse)), None) if one.several > 1 => {
                format!("agrees with {} and {} more", pulse.name, one.several - 1)
            }
            (Some((_, pulse)), None) => format!("agrees with {}", pulse.name),
            (_, Some((name, by))) => {
                format!("agrees with nothing; {name} is {} us beyond what both can be off", by.to_decimal(1))
            }
            _ => "nothing is expected of this channel".to_owned(),
        };
        let safe = match &one.safe {
            Safe::Yes | Safe::NothingHangs => String::new(),
            Safe::No => format!("; safe: NO{}", least_room(&one.room)),
            Safe::CannotTell => {
                format!("; safe: cannot be told from this recording{}", least_room(&one.room))
            }
            Safe::NotJudged(keys) => format!("; safe: not judged, the file lacks {}", keys.join(", ")),
        };
        hanging(&mut text, "  ", &format!("{span}, {told}{safe}"), width);
    }
    text
}

/// What has the least room on either side.
fn least_room(room: &Room) -> String {
    let both = [&room.shorter, &room.longer].into_iter().flatten();
    both.min_by(|a, b| a.0.cmp(&b.0)).map_or_else(String::new, |(left, who)| {
        format!("; {who} has {} us left from what the file says", left.to_decimal(1))
    })
}

/// What switching off did.
pub(super) fn lost(lost: &Lost, width: usize) -> String {
    let mut text = String::from("\nSignal lost\n");
    for told in &lost.told {
        hanging(&mut text, "  ", told, width);
    }
    if !lost.lines.is_empty() {
        text.push_str("For the boat file:\n");
        for line in &lost.lines {
            hanging(&mut text, "  ", line, width);
        }
    }
    text
}
