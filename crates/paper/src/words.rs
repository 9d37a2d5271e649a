//! A set-up in the words of the people who sail the boat: what the templates are filled in with.

mod afloat;
mod current;
mod depth;
mod emergency;
mod failed;
mod finding;
mod finer;
mod hand;
mod hands;
mod loss;
mod noise;
mod panel;
mod power_up;
mod reach;
mod unaided;
mod verdict;

use serde::Serialize;

use super::labels::Labels;
use crate::labels::text::common;
use crate::render::sheet::Cell;
use crate::setup::{ControlId, ControlKind, Effect, Exact, Line, MixOf, Setup, Side, Want, WorkRef};

pub(super) use afloat::{
    alarms as alarms_afloat, all_off, depth as one_depth, launch, lights, off_order, times,
};
pub(super) use current::{amperes, lasting, link};
pub(super) use depth::{Dives, depth_limit, dives};
pub(super) use emergency::{Emergency, emergency};
pub(super) use failed::{draft_words, failed};
pub use finding::sentence;
pub(super) use finding::{about, proved, state};
pub(super) use finer::{finer, trim};
pub(super) use hand::{act, control_place};
pub(super) use hands::{Hands, controls, sticks, switches};
pub(super) use loss::{seconds, time, when};
pub(super) use noise::{Noise, noise};
pub(super) use panel::{alone, panel};
pub(super) use power_up::{can_hurt, power_up, stays_open};
pub(super) use reach::{opens_gas, reached_by, within_reach};
pub(super) use unaided::{comes_up_alone, motors_stop, moved, rests_alone, stands_still, surely_off};
pub(super) use verdict::{least_claim, verdict};

/// A space at which no line breaks.
pub(super) const FIXED: char = '\u{a0}';
/// A real minus: a hyphen is too easily overlooked beside a figure.
pub(super) const MINUS: char = '\u{2212}';

/// `95 %`
pub(super) fn percent(labels: &Labels, value: &Exact) -> String {
    let number = (value * Exact::int(100)).to_decimal(1).replace('-', &MINUS.to_string());
    labels.fill(common::Percent { number: &labels.decimal(&number) })
}

/// `+95 %`
pub(super) fn signed(labels: &Labels, value: &Exact) -> String {
    let sign = if value.signum() > 0 { "+" } else { "" };
    format!("{sign}{}", percent(labels, value))
}

/// A frequency as the boat file writes it, in the reader's decimals: `40,665 MHz`.
pub(super) fn frequency(labels: &Labels, written: &str) -> String {
    labels.decimal(&written.replace(' ', &FIXED.to_string()))
}

/// One direction of a control.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(super) struct Way {
    /// Where the hand goes.
    pub(super) hand: String,
    /// The builder's word.
    pub(super) word: String,
    /// What happens, all in one line; empty when nobody said.
    pub(super) does: String,
    /// Both in one line: `bow rises (rise)`.
    pub(super) label: String,
}

impl Way {
    fn new(hand: String, word: String, does: String) -> Self {
        let label = match does.as_str() {
            "" => word.clone(),
            // "drives ahead" says "ahead" already.
            does if does.split([' ', ',']).any(|part| part == word) => does.to_owned(),
            does => format!("{does} ({word})"),
        };
        Self { hand, word, does, label }
    }
}

/// A gimbal as the holder sees it.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Gimbal {
    pub(super) name: String,
    pub(super) up: Option<Way>,
    pub(super) down: Option<Way>,
    pub(super) left: Option<Way>,
    pub(super) right: Option<Way>,
    /// Which of its lines stays where it was left; on a life-saving card never the other one too.
    pub(super) stays: Option<String>,
}

/// A control that is not on a gimbal.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(super) struct Other {
    pub(super) place: String,
    pub(super) name: String,
    pub(super) kind: String,
    pub(super) ways: Vec<Way>,
    pub(super) note: String,
    /// It sits on the right of the set.
    #[serde(skip)]
    pub(super) on_the_right: bool,
}

/// A row of the table of channels.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Row {
    pub(super) number: String,
    pub(super) name: String,
    pub(super) control: String,
    pub(super) low: String,
    pub(super) high: String,
    pub(super) sub_trim: String,
    pub(super) reverse: String,
}

/// What a function is called on paper: by its name, and where another bears the same one with what it hangs on.
pub(super) fn function_name(setup: &Setup, work: WorkRef) -> String {
    let name = |work: WorkRef| plain(&setup.work(work).name);
    let long = |work: WorkRef| format!("{} ({})", name(work), plain(&setup.devices[work.device].name));
    let alone = |of: &dyn Fn(WorkRef) -> String| {
        let own = of(work).to_lowercase();
        setup.works().all(|other| other == work || of(other).to_lowercase() != own)
    };
    if alone(&name) {
        name(work)
    } else if alone(&long) {
        long(work)
    } else {
        // As the file has it no two are alike.
        setup.work_name(work)
    }
}

/// `opens gas`
pub(super) fn work_phrase(labels: &Labels, setup: &Setup, work: WorkRef) -> String {
    let verb = setup.work(work).kind.verb;
    labels.fill(common::Verbs { word: verb, name: &function_name(setup, work) })
}

/// `gas shut`
pub(super) fn work_off(labels: &Labels, setup: &Setup, work: WorkRef) -> String {
    let verb = setup.work(work).kind.verb;
    labels.fill(common::Not { word: verb, name: &function_name(setup, work) })
}

/// `may open gas`, for a work that was accepted within reach.
fn work_may(labels: &Labels, setup: &Setup, work: WorkRef) -> String {
    let verb = setup.work(work).kind.verb;
    labels.fill(common::May { word: verb, name: &function_name(setup, work) })
}

/// An effect in the reader's language; one that the builder added stays as it is.
pub(super) fn effect(labels: &Labels, setup: &Setup, effect: Effect) -> String {
    let words = setup.effect_words(effect);
    labels.word(common::EFFECTS, words).to_owned()
}

/// Effects that need a word for what they happen to; all others are the boat's own.
const OF_A_PART: [&str; 10] = [
    "hauls in",
    "pays out",
    "fills",
    "empties",
    "raises",
    "lowers",
    "opens",
    "closes",
    "swings left",
    "swings right",
];

/// An effect that a control wants, with the part of the boat where the words alone do not tell it.
fn wanted(labels: &Labels, setup: &Setup, id: ControlId, wants: Effect) -> String {
    let said = effect(labels, setup, wants);
    let mut channels = setup.channels.iter().filter(|c| c.control == Some(id));
    match (channels.next().and_then(|c| c.name.as_deref()), channels.next()) {
        (Some(name), None) if OF_A_PART.contains(&setup.effect_words(wants)) => {
            labels.fill(common::EffectOn { part: &plain(name), effect: &said })
        }
        _ => said,
    }
}

/// Names in the file are keys; on paper they are words.
pub(super) fn plain(name: &str) -> String {
    name.replace('_', " ")
}

/// Puts parts behind each other, leaving out what was said already.
pub(super) fn listed(parts: impl IntoIterator<Item = String>) -> String {
    joined(parts, ", ")
}

/// The same for parts that have commas of their own.
pub(super) fn listed_apart(parts: impl IntoIterator<Item = String>) -> String {
    joined(parts, "; ")
}

fn joined(parts: impl IntoIterator<Item = String>, between: &str) -> String {
    let mut said: Vec<String> = Vec::new();
    for part in parts {
        if !part.is_empty() && !said.contains(&part) {
            said.push(part);
        }
    }
    said.join(between)
}

/// `opens gas (with guard armed)`
fn wanted_work(labels: &Labels, setup: &Setup, want: &Want) -> String {
    let mut phrase = work_phrase(labels, setup, want.work);
    for (switch, setting) in &want.needs {
        let switch = &setup.controls[*switch];
        if let Some(setting) = switch.settings.get(*setting) {
            let switch = plain(&switch.name);
            phrase = labels.fill(common::WithSetting { what: &phrase, switch: &switch, setting });
        }
    }
    phrase
}

/// One way of a control.
pub(super) fn way(labels: &Labels, setup: &Setup, id: ControlId, side: Side) -> Way {
    let control = &setup.controls[id];
    let effects = control.wants[side.index()].iter().map(|e| wanted(labels, setup, id, *e));
    let works = setup.channels.iter().filter(|c| c.control == Some(id)).flat_map(|c| &c.wants[side.index()]);
    let works = works.map(|want| wanted_work(labels, setup, want));
    let word = plain(&control.ways[side.index()]);
    let hand = labels.word(common::HANDS, control.line.words()[side.index()]).to_owned();
    let may = reach::reached_by(setup, id, side).into_iter().map(|work| work_may(labels, setup, work));
    Way::new(hand, word, listed(effects.chain(works).chain(may)))
}

fn gimbal_of(at: Option<&str>) -> Option<usize> {
    let at = at?.to_lowercase();
    ["left stick", "right stick"].iter().position(|name| at.contains(name))
}

/// The gimbals that carry something, left one first.
pub(super) fn gimbals(labels: &Labels, setup: &Setup) -> Vec<Gimbal> {
    let mut all = Vec::new();
    for (index, name) in ["left stick", "right stick"].into_iter().enumerate() {
        let name = labels.word(common::PLACES, name).to_owned();
        let mut gimbal = Gimbal { name, up: None, down: None, left: None, right: None, stays: None };
        let mut stay = [false; 2];
        for (id, control) in setup.controls.iter().enumerate() {
            if !on_gimbal(setup, id) || gimbal_of(control.at.as_deref()) != Some(index) {
                continue;
            }
            let (low, high) =
                (Some(way(labels, setup, id, Side::Low)), Some(way(labels, setup, id, Side::High)));
            match control.line {
                Line::LeftRight => {
                    (gimbal.left, gimbal.right) = (low, high);
                    stay[0] = !control.springs_back;
                }
                Line::TowardsAway | Line::LowerUpper => {
                    (gimbal.down, gimbal.up) = (low, high);
                    stay[1] = !control.springs_back;
                }
            }
        }
        gimbal.stays = match (stay, gimbal.left.is_some() && gimbal.up.is_some()) {
            ([false, false], _) => None,
            ([true, false], true) => Some(common::STAYS_SIDEWAYS),
            ([false, true], true) => Some(common::STAYS_UPRIGHT),
            _ => Some(common::STAYS),
        }
        .map(|path| labels.get(path).to_owned());
        if gimbal.up.is_some() || gimbal.left.is_some() {
            all.push(gimbal);
        }
    }
    all
}

/// The first control on each line of a gimbal is drawn there; a second one is listed.
fn on_gimbal(setup: &Setup, id: ControlId) -> bool {
    let control = &setup.controls[id];
    let Some(gimbal) = gimbal_of(control.at.as_deref()) else {
        return false;
    };
    let sideways = |c: ControlId| setup.controls[c].line == Line::LeftRight;
    control.kind == ControlKind::Stick
        && !(0..id).any(|other| {
            let earlier = &setup.controls[other];
            earlier.kind == ControlKind::Stick
                && gimbal_of(earlier.at.as_deref()) == Some(gimbal)
                && sideways(other) == sideways(id)
        })
}

/// Every control that is not drawn on a gimbal.
pub(super) fn others(labels: &Labels, setup: &Setup) -> Vec<Other> {
    others_with(labels, setup, setting)
}

/// The same, with the settings of switches named but without the percentages behind them.
pub(super) fn others_in_brief(labels: &Labels, setup: &Setup) -> Vec<Other> {
    others_with(labels, setup, setting_in_brief)
}

/// Controls as the rows of a table: name or place, where the hand goes, the word for it, what it does.
/// An empty row parts them, and
/// what has no hand and no word lies over their columns.
pub(super) fn rows(others: &[Other]) -> Vec<Vec<Cell>> {
    let mut rows = Vec::new();
    for (n, other) in others.iter().enumerate() {
        if n > 0 {
            rows.push(Vec::new());
        }
        for (n, way) in other.ways.iter().enumerate() {
            let label = match n {
                0 => other.name.as_str(),
                1 => &other.place,
                _ => "",
            };
            if [&way.hand, &way.word, &way.does].into_iter().all(String::is_empty) {
                rows.push(vec![over(label, 3)]);
                continue;
            }
            if way.hand.is_empty() && way.word.is_empty() {
                rows.push(vec![label.into(), over(&way.does, 2)]);
                continue;
            }
            rows.push([label, &way.hand, &way.word, &way.does].map(Cell::from).to_vec());
        }
        if !other.note.is_empty() {
            rows.push(vec!["".into(), over(&other.note, 2)]);
        }
    }
    rows
}

/// A cell that takes more columns.
fn over(text: &str, more: usize) -> Cell {
    Cell { text: text.to_owned(), more, ..Cell::default() }
}

fn others_with(
    labels: &Labels,
    setup: &Setup,
    setting: fn(&Labels, &Setup, ControlId, usize) -> Way,
) -> Vec<Other> {
    let mut all = Vec::new();
    for (id, control) in setup.controls.iter().enumerate() {
        if on_gimbal(setup, id) {
            continue;
        }
        let kind = labels.get(match control.kind {
            ControlKind::Stick => common::kinds::STICK,
            ControlKind::Buttons => common::kinds::BUTTONS,
            ControlKind::Switch => common::kinds::SWITCH,
            ControlKind::Slider => common::kinds::SLIDER,
            ControlKind::Knob => common::kinds::KNOB,
        });
        let ways: Vec<Way> = if control.settings.is_empty() {
            // As on the set: what is upper stands above, what is left stands first.
            let order = if control.line == Line::LeftRight { Side::BOTH } else { [Side::High, Side::Low] };
            order.into_iter().map(|side| way(labels, setup, id, side)).collect()
        } else {
            (0..control.settings.len()).map(|n| setting(labels, setup, id, n)).collect()
        };
        // Said only where the hand would expect otherwise.
        let expected = matches!(control.kind, ControlKind::Stick | ControlKind::Buttons);
        let note = match control.springs_back {
            back if back == expected => "",
            true => labels.get(common::SPRINGS_BACK),
            false => labels.get(common::STAYS),
        };
        let at = control.at.as_deref().unwrap_or(kind);
        let place = labels.word(common::PLACES, at).to_owned();
        let ways = if ways.iter().all(|w: &Way| w.does.is_empty() && w.hand.is_empty()) {
            let words = listed(ways.into_iter().map(|w| w.word));
            let empty = String::new;
            vec![Way::new(empty(), empty(), words), Way::new(empty(), empty(), empty())]
        } else {
            ways
        };
        let (kind, note) = (kind.to_owned(), note.to_owned());
        let on_the_right = control.at.as_deref().is_some_and(|at| at.to_lowercase().contains("right"));
        all.push(Other { place, name: plain(&control.name), kind, ways, note, on_the_right });
    }
    all
}

pub(super) fn setting(labels: &Labels, setup: &Setup, id: ControlId, n: usize) -> Way {
    let brief = setting_in_brief(labels, setup, id, n);
    let mut parts = vec![brief.does];
    for channel in &setup.channels {
        let name = channel_name(labels, channel);
        let rates: Vec<_> =
            channel.rate.iter().filter(|r| r.switch == Some(id)).filter_map(|r| r.values.get(n)).collect();
        match rates[..] {
            [low, high] if low != high => {
                let [a, b] = &channel_ways(labels, setup, channel);
                let (low, high) = (percent(labels, low), percent(labels, high));
                parts.push(format!("{name} {a}{FIXED}{low}, {b}{FIXED}{high}"));
            }
            [rate, ..] => {
                parts.push(labels.fill(common::Rate { channel: &name, rate: &percent(labels, rate) }));
            }
            [] => {}
        }
        for mix in channel.mixes.iter().filter(|m| m.when.contains(&(id, n))) {
            let of = match mix.of {
                MixOf::Control(c) => plain(&setup.controls[c].name),
                MixOf::Channel(c) => channel_name(labels, &setup.channels[c]),
            };
            let share = &signed(labels, &mix.add);
            parts.push(labels.fill(common::Mix { share, from: &of, to: &name }));
        }
    }
    Way::new(String::new(), brief.word, listed(parts))
}

/// A setting of a switch and what it works by itself.
fn setting_in_brief(labels: &Labels, setup: &Setup, id: ControlId, n: usize) -> Way {
    let control = &setup.controls[id];
    let does = if n == 0 || n + 1 == control.settings.len() {
        way(labels, setup, id, if n == 0 { Side::Low } else { Side::High }).does
    } else {
        String::new()
    };
    Way::new(String::new(), plain(&control.settings[n]), does)
}

/// The name of a channel, or its number.
pub(super) fn channel_name(labels: &Labels, channel: &crate::setup::Channel) -> String {
    let numbered = || labels.fill(common::Channel { number: &channel.number.to_string() });
    channel.name.clone().unwrap_or_else(numbered)
}

fn channel_ways(labels: &Labels, setup: &Setup, channel: &crate::setup::Channel) -> [String; 2] {
    match channel.control {
        Some(id) => setup.controls[id].ways.clone().map(|w| plain(&w)),
        None => [common::LOW, common::HIGH].map(|path| labels.get(path).to_owned()),
    }
}

/// The table of channels.
pub(super) fn channels(labels: &Labels, setup: &Setup) -> Vec<Row> {
    let row = |channel: &crate::setup::Channel| {
        let [low, high] = channel_ways(labels, setup, channel);
        Row {
            number: channel.number.to_string(),
            name: channel.name.clone().unwrap_or_default(),
            control: match channel.control {
                Some(id) => plain(&setup.controls[id].name),
                None if channel.mixes.is_empty() => "\u{2013}".to_owned(),
                None => labels.get(common::MIXED).to_owned(),
            },
            low: format!("{low} {}", percent(labels, &channel.endpoints[0])),
            high: format!("{high} {}", percent(labels, &channel.endpoints[1])),
            sub_trim: signed(labels, &channel.sub_trim),
            reverse: match channel.reverse {
                Some(true) => labels.get(common::YES),
                Some(false) => labels.get(common::NO),
                None => "\u{2013}",
            }
            .to_owned(),
        }
    };
    setup.channels.iter().map(row).collect()
}

/// What tells a paper from any other, in its foot: boat, reference, revision, date and code, and what is added.
pub(super) fn imprint(labels: &Labels, job: &super::Job<'_>, more: Option<String>) -> String {
    let boat = &job.setup.boat;
    let revision = boat.revision.as_ref().map(|r| labels.fill(common::Revision { revision: r }));
    let code = Some(job.code.to_string());
    let said = [Some(boat.name.clone()), boat.reference.clone(), revision, boat.date.clone(), code, more];
    said.into_iter().flatten().collect::<Vec<_>>().join(" \u{b7} ")
}

/// A word of caution where there is a bottle on board.
pub(super) fn caution(labels: &Labels, setup: &Setup) -> Option<String> {
    setup.has_bottle().then(|| labels.get(common::GAS).to_owned())
}

/// What is never done with her under water, of a boat that dives and has something that stays open.
pub(super) fn never_off(labels: &Labels, setup: &Setup) -> Option<String> {
    (setup.dives() && stays_open(setup)).then(|| labels.get(common::NEVER_OFF).to_owned())
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::{Labels, OF_A_PART, seconds};
    use crate::setup::Exact;
    use crate::setup::lower::lower;
    use crate::source::Source;

    #[test]
    fn every_effect_of_a_part_is_one_that_a_file_may_use() {
        let source = Source::from_text("capstan", include_str!("../../../boats/capstan.yaml")).unwrap();
        let setup = lower(&source).unwrap();
        for effect in OF_A_PART {
            assert!(setup.opposites.iter().flatten().any(|known| known == effect), "{effect}");
        }
    }

    #[test]
    fn a_time_is_printed_as_the_time_that_it_is() {
        for (time, printed) in [("1.04", "1.04\u{a0}s"), ("1", "1\u{a0}s"), ("0.125", "0.125\u{a0}s")] {
            assert_eq!(seconds(&Labels::english(), &Exact::from_decimal(time).unwrap()), printed);
        }
    }
}
