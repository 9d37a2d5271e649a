//! Every control where the hand finds it, and in as few words as can be what each way does: what a page draws as
//! the transmitter seen from above.

use super::emergency::Marks;
use super::{Labels, function_name, gimbal_of, listed, on_gimbal, plain, reach, work_may};
use crate::labels::text::{card, common};
use crate::render::sheet::{Bank, Control as Thing, Direction, Edge, Form, Way};
use crate::setup::{ControlId, ControlKind, Device, Effect, Input, Line, Setup, Side, Want};

/// Where a control stands on the set.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Where {
    Far,
    Top,
    Gimbal,
    Elsewhere,
    Near,
}

const ORDER: [Where; 5] = [Where::Far, Where::Top, Where::Gimbal, Where::Elsewhere, Where::Near];

/// A longer word of the builder's own for what a way does gives place to his word for the way.
const LONG: usize = 16;

/// The set seen from above.
pub(crate) fn panel(labels: &Labels, setup: &Setup, marks: &Marks) -> Vec<Bank> {
    let says = Says::of(labels, setup);
    let mut banks: Vec<Bank> =
        ORDER.iter().map(|place| Bank { edge: edge(*place), ..Bank::default() }).collect();
    for (index, place) in ORDER.into_iter().enumerate() {
        if place == Where::Gimbal {
            for gimbal in 0..2 {
                let thing = stick(labels, setup, &says, marks, gimbal);
                let bank = &mut banks[index];
                if gimbal == 0 { bank.left.extend(thing) } else { bank.right.extend(thing) }
            }
            continue;
        }
        let here =
            (0..setup.controls.len()).filter(|id| !on_gimbal(setup, *id) && place_of(setup, *id) == place);
        for id in here {
            let thing = listed_thing(labels, setup, &says, marks, id);
            let bank = &mut banks[index];
            let at = setup.controls[id].at.as_deref().unwrap_or_default().to_lowercase();
            let right = match (at.contains("left"), at.contains("right")) {
                (true, false) => false,
                (false, true) => true,
                _ => bank.right.len() < bank.left.len(),
            };
            if right { bank.right.push(thing) } else { bank.left.push(thing) }
        }
    }
    let name = alone(labels, setup);
    if !name.is_empty() {
        let thing = Thing { form: Form::Words, name, ..Thing::default() };
        let top = &mut banks[1];
        if top.right.len() < top.left.len() { top.right.push(thing) } else { top.left.push(thing) }
    }
    banks.retain(|bank| !bank.left.is_empty() || !bank.right.is_empty());
    banks
}

/// That something moves by itself; empty if nothing does.
pub(crate) fn alone(labels: &Labels, setup: &Setup) -> String {
    match listed(moves_alone(setup)).as_str() {
        "" => String::new(),
        what => labels.fill(card::Alone { what }),
    }
}

fn edge(place: Where) -> Edge {
    match place {
        Where::Far => Edge::Far,
        Where::Near => Edge::Near,
        _ => Edge::Face,
    }
}

fn place_of(setup: &Setup, id: ControlId) -> Where {
    let at = setup.controls[id].at.as_deref().unwrap_or_default().to_lowercase();
    match at.split(' ').next() {
        Some("rear") => Where::Far,
        Some("front") => Where::Near,
        Some("top") => Where::Top,
        _ => Where::Elsewhere,
    }
}

/// What a levelling unit moves by itself.
fn moves_alone(setup: &Setup) -> impl Iterator<Item = String> + '_ {
    let levelled = |device: &&Device| match device.input {
        Input::Behind(unit) => {
            let kind = setup.devices[unit].kind;
            kind.passes_on && kind.works_alone
        }
        _ => false,
    };
    setup.devices.iter().filter(levelled).map(|device| plain(&device.name))
}

/// What every way does, told apart where two would say the same.
struct Says(Vec<[(String, String); 2]>);

impl Says {
    fn of(labels: &Labels, setup: &Setup) -> Self {
        let mut all: Vec<[(String, String); 2]> = (0..setup.controls.len())
            .map(|id| Side::BOTH.map(|side| does(labels, setup, id, side)))
            .collect();
        let texts: Vec<String> = all.iter().flatten().map(|(text, _)| text.clone()).collect();
        let on_sticks: Vec<&String> = all
            .iter()
            .enumerate()
            .filter(|(id, _)| on_gimbal(setup, *id))
            .flat_map(|(_, ways)| ways.iter().map(|(text, _)| text))
            .collect();
        let twice_there = |text: &String| on_sticks.iter().filter(|other| **other == text).count() > 1;
        let told_apart: Vec<[bool; 2]> = all
            .iter()
            .enumerate()
            .map(|(id, ways)| {
                // The stick is where one looks first: it keeps the bare word.
                let named = |text: &String| !on_gimbal(setup, id) || twice_there(text);
                let twice = |text: &String| texts.iter().filter(|other| *other == text).count() > 1;
                [&ways[0].0, &ways[1].0].map(|text| !text.is_empty() && twice(text) && named(text))
            })
            .collect();
        for (id, (ways, apart)) in all.iter_mut().zip(told_apart).enumerate() {
            for ((text, _), _) in ways.iter_mut().zip(apart).filter(|(_, apart)| *apart) {
                *text =
                    labels.fill(card::Apart { does: text.as_str(), name: &plain(&setup.controls[id].name) });
            }
        }
        Self(all)
    }

    fn of_way(&self, id: ControlId, side: Side) -> (String, String) {
        self.0[id][side.index()].clone()
    }
}

/// What a way does, and on which condition.
fn does(labels: &Labels, setup: &Setup, id: ControlId, side: Side) -> (String, String) {
    let control = &setup.controls[id];
    let word = plain(&control.ways[side.index()]);
    let effects = control.wants[side.index()].iter().map(|effect| verb(labels, setup, id, *effect, &word));
    let wanted =
        || setup.channels.iter().filter(|c| c.control == Some(id)).flat_map(|c| &c.wants[side.index()]);
    let text = listed(effects.chain(wanted().map(|want| work(labels, setup, want))));
    let needs = wanted().flat_map(|want| needs(labels, setup, want));
    let may = reach::reached_by(setup, id, side).into_iter().map(|work| work_may(labels, setup, work));
    let more = listed(needs.chain(may));
    if !text.is_empty() {
        return (text, more);
    }
    // Nobody said what it does: the builder's word, and of what.
    let name = plain(&control.name);
    (labels.fill(card::OfPart { part: &name, does: &word }), more)
}

fn verb(labels: &Labels, setup: &Setup, id: ControlId, effect: Effect, word: &str) -> String {
    let words = setup.effect_words(effect);
    let said = match labels.find_word(card::VERBS, words) {
        Some(verb) => verb,
        None if words.chars().count() > LONG => word,
        None => words,
    };
    let mut channels = setup.channels.iter().filter(|c| c.control == Some(id));
    match (channels.next().and_then(|c| c.name.as_deref()), channels.next()) {
        (Some(name), None) if super::OF_A_PART.contains(&words) && !matches!(words, "fills" | "empties") => {
            labels.fill(card::OfPart { part: &plain(name), does: said })
        }
        _ => said.to_owned(),
    }
}

fn work(labels: &Labels, setup: &Setup, want: &Want) -> String {
    let work = setup.work(want.work);
    match labels.find_word(card::WORKS, work.kind.name) {
        Some(verb) => verb.to_owned(),
        None => {
            let name = function_name(setup, want.work).to_uppercase();
            labels.fill(card::Acts { word: work.kind.verb, name: &name })
        }
    }
}

fn needs(labels: &Labels, setup: &Setup, want: &Want) -> Vec<String> {
    let with = |(switch, setting): &(ControlId, usize)| {
        let switch = &setup.controls[*switch];
        let setting = plain(switch.settings.get(*setting)?).to_uppercase();
        Some(labels.fill(card::With { switch: &plain(&switch.name), setting: &setting }))
    };
    want.needs.iter().filter_map(with).collect()
}

/// The stick on one side, with the controls that it carries.
fn stick(labels: &Labels, setup: &Setup, says: &Says, marks: &Marks, gimbal: usize) -> Option<Thing> {
    let mut thing = Thing { form: Form::Round, ..Thing::default() };
    let mut note = None;
    for (id, control) in setup.controls.iter().enumerate() {
        if !on_gimbal(setup, id) || gimbal_of(control.at.as_deref()) != Some(gimbal) {
            continue;
        }
        let sideways = control.line == Line::LeftRight;
        thing.step = thing.step.take().or_else(|| marks.rest(id));
        for side in Side::BOTH {
            let (text, more) = says.of_way(id, side);
            let words =
                if sideways { [Direction::Left, Direction::Right] } else { [Direction::Down, Direction::Up] };
            let side_of = Some(words[side.index()]);
            thing.ways.push(Way { side: side_of, text, more, step: marks.way(id, side) });
        }
        if !control.springs_back {
            thing.stays.push(if sideways { Direction::Sideways } else { Direction::Upright });
            note = Some(match (note, sideways) {
                (Some(_), _) => common::STAYS,
                (None, true) => common::STAYS_SIDEWAYS,
                (None, false) => common::STAYS_UPRIGHT,
            });
        }
    }
    // Where only one line is used there is nothing to tell apart.
    let lines = thing.ways.len() / 2;
    note = note.map(|note| if lines < 2 { common::STAYS } else { note });
    thing.note = note.map_or_else(String::new, |note| labels.get(note).to_owned());
    (!thing.ways.is_empty()).then_some(thing)
}

/// A control that is on no gimbal.
fn listed_thing(labels: &Labels, setup: &Setup, says: &Says, marks: &Marks, id: ControlId) -> Thing {
    let control = &setup.controls[id];
    let expected = matches!(control.kind, ControlKind::Stick | ControlKind::Buttons);
    let moves = match control.springs_back {
        back if back == expected || !control.settings.is_empty() => "",
        true => labels.get(common::SPRINGS_BACK),
        false => labels.get(common::STAYS),
    };
    // What a usual place means shows in the drawing; any other is said.
    let usual = control.at.as_deref().is_none_or(|at| {
        let at = at.to_lowercase();
        let mut words = at.split(' ');
        matches!(words.next(), Some("rear" | "top" | "front"))
            && matches!(words.next(), Some("left" | "right" | "middle"))
            && words.next().is_none()
    });
    let place = if usual { String::new() } else { control.at.clone().unwrap_or_default() };
    let note = listed([place, moves.to_owned()]);
    let stays = if control.springs_back { Vec::new() } else { vec![Direction::Upright] };
    if !control.settings.is_empty() {
        return switch(labels, setup, says, marks, id, note);
    }
    let order = if control.line == Line::LeftRight { Side::BOTH } else { [Side::High, Side::Low] };
    let bars = control.kind == ControlKind::Buttons && control.line != Line::LeftRight;
    let way = |side: Side| {
        let (text, more) = says.of_way(id, side);
        let hand = labels.word(common::HANDS, control.line.words()[side.index()]);
        let text = if more.is_empty() { text } else { labels.fill(card::Apart { does: &text, name: &more }) };
        // Two bars above each other tell which is which; of anything else the hand is said.
        let text = if bars { text } else { labels.fill(card::OfPart { part: hand, does: &text }) };
        Way { text, step: marks.way(id, side), ..Way::default() }
    };
    let form = match control.kind {
        ControlKind::Buttons if bars => Form::Buttons,
        ControlKind::Knob => Form::Knob,
        _ => Form::Track,
    };
    let ways = order.map(way).to_vec();
    Thing { form, name: plain(&control.name), ways, stays, note, step: None }
}

/// A switch with its settings in one line: `guard: safe / armed`.
fn switch(labels: &Labels, setup: &Setup, says: &Says, marks: &Marks, id: ControlId, note: String) -> Thing {
    let control = &setup.controls[id];
    // What is called like the switch has been named with it.
    let own = labels.fill(card::OfPart { part: &plain(&control.name), does: "" });
    let last = control.settings.len() - 1;
    let settings = control.settings.iter().enumerate().map(|(n, setting)| {
        let side = if n == 0 { Side::Low } else { Side::High };
        let wanted = |c: &crate::setup::Channel| c.control == Some(id) && !c.wants[side.index()].is_empty();
        let does = (n == 0 || n == last)
            && (!control.wants[side.index()].is_empty() || setup.channels.iter().any(wanted));
        let (text, more) = if does { says.of_way(id, side) } else { Default::default() };
        let text = text.strip_prefix(&own).map_or_else(|| text.clone(), |bare| bare.trim_start().to_owned());
        let does = listed([text, more]);
        if does.is_empty() { plain(setting) } else { format!("{} ({does})", plain(setting)) }
    });
    let name = format!("{}: {}", plain(&control.name), settings.collect::<Vec<_>>().join(" / "));
    let ways = (0..control.settings.len()).map(|n| Way { step: marks.setting(id, n), ..Way::default() });
    Thing { form: Form::Switch, name, ways: ways.collect(), note, ..Thing::default() }
}
