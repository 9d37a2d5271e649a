//! Surfaces of one tail that do not answer a hand alike, so that she rolls, and two hands that move one tail by
//! different amounts. Both may be meant; so both are asked about.

use super::engine::Engine;
use super::say::{self, Draft};
use crate::chain::{Inputs, Order, output};
use crate::device::PulsesFail;
use crate::finding::{Finding, Gap, Severity, StateId, Subject};
use crate::proof::cases::Influence;
use crate::setup::{ChannelId, ControlId, Device, Exact, Input, MixOf, Path, Setup, Side};
use std::collections::{BTreeMap, BTreeSet};

pub(super) const NAME: &str = "throws-unequal";

/// A surface that moves by less than this part of what another of its tail does is asked about (common practice, no
/// source).
fn of_its_mirror() -> Exact {
    Exact::ratio(4, 5)
}

/// A hand that moves a tail by less than this part of what another does is asked about, likewise.
fn of_the_other() -> Exact {
    Exact::ratio(2, 3)
}

/// Surfaces that the same hands share.
struct Tail {
    controls: Vec<ControlId>,
    channels: Vec<ChannelId>,
}

/// Once for each tail and each way of a hand that moves its surfaces by different amounts, and once for each tail
/// whose hands do.
pub(super) fn apply(engine: &Engine, findings: &mut Vec<Finding>) {
    for tail in tails(engine.setup) {
        let mut uneven = Vec::new();
        for &control in &tail.controls {
            let ways = Side::BOTH.into_iter().filter_map(|side| rolls(engine, &tail, control, side));
            uneven.extend(ways);
        }
        // Where the surfaces differ among themselves nothing is to be said of the hands.
        if uneven.is_empty() {
            findings.extend(hands_differ(engine, &tail));
        }
        findings.extend(uneven);
    }
}

/// The tails of a boat: surfaces on channels of their own that the same two hands or more move for what they want.
fn tails(setup: &Setup) -> Vec<Tail> {
    let mut all: BTreeMap<Vec<ControlId>, BTreeSet<ChannelId>> = BTreeMap::new();
    for device in setup.devices.iter().filter(|device| is_a_surface(device)) {
        let Input::Channel(channel) = device.input else { continue };
        let hands = Influence::on(setup, channel).controls;
        let hands: Vec<ControlId> = hands.into_iter().filter(|hand| wants_it(setup, *hand, device)).collect();
        if hands.len() > 1 {
            all.entry(hands).or_default().insert(channel);
        }
    }
    let tail = |(controls, channels): (Vec<ControlId>, BTreeSet<ChannelId>)| Tail {
        controls,
        channels: channels.into_iter().collect(),
    };
    all.into_iter().map(tail).filter(|tail| tail.channels.len() > 1).collect()
}

/// Whether a device does nothing but move something that is seen from outside.
fn is_a_surface(device: &Device) -> bool {
    let stays = device.kind.when_pulses_fail == PulsesFail::Anywhere;
    stays && device.works.is_empty() && !device.kind.rests_in_band && !device.kind.moves_water
}

/// Whether a hand wants one of the effects that a device has.
fn wants_it(setup: &Setup, control: ControlId, device: &Device) -> bool {
    let mut wants = setup.controls[control].wants.iter().flatten();
    wants.any(|wanted| device.all_effects().any(|(_, effect)| effect.pair == wanted.pair))
}

/// How far a way that is held fully moves a channel, all else at rest: of half the travel between the full pulses of
/// the axis. Shares of either side would not do where the sides are unlike, for what one surface does to its longer
/// side its mirror may do to the shorter.
fn throw(setup: &Setup, channel: ChannelId, (control, side): (ControlId, Side), order: &Order) -> Exact {
    let rest = Inputs::at_rest(setup);
    let mut held = rest.clone();
    held.positions[control] = side.position();
    let [from, to] =
        [&rest, &held].map(|inputs| setup.axis.pulse_at(&output(setup, channel, inputs, order)).0);
    (to - from).abs() * Exact::int(2) / (setup.axis.span(-1) + setup.axis.span(1))
}

/// What a way moves least of a tail, and what most, in whichever order they differ the most.
fn extremes(
    engine: &Engine,
    tail: &Tail,
    way: (ControlId, Side),
    setup: &Setup,
) -> Option<[(ChannelId, Exact); 2]> {
    let of = |order: &Order| {
        let throws = tail.channels.iter().map(|channel| (*channel, throw(setup, *channel, way, order)));
        let throws: Vec<(ChannelId, Exact)> = throws.collect();
        let least = throws.iter().min_by(|a, b| a.1.cmp(&b.1))?.clone();
        // The first of those that move most.
        let most = throws.into_iter().rev().max_by(|a, b| a.1.cmp(&b.1))?;
        Some([least, most])
    };
    let part = |[least, most]: &[(ChannelId, Exact); 2]| &least.1 / &most.1;
    let all = engine.orders.iter().filter_map(of).filter(|[_, most]| !most.1.is_zero());
    all.min_by(|a, b| part(a).cmp(&part(b)))
}

fn is_uneven([least, most]: &[(ChannelId, Exact); 2]) -> bool {
    least.1 < of_its_mirror() * most.1.clone()
}

fn rolls(engine: &Engine, tail: &Tail, control: ControlId, side: Side) -> Option<Finding> {
    let setup = engine.setup;
    let found = extremes(engine, tail, (control, side), setup).filter(is_uneven)?;
    let [(less, least), (more, most)] = &found;
    let way = &setup.controls[control].ways[side.index()];
    let (weak, strong) = (setup.channel_title(*less), setup.channel_title(*more));
    let [few, many] = [least, most].map(say::percent);
    let cure = cure(engine, tail, control, [*less, *more]);
    let place = cure.as_ref().map_or_else(|| say::channel_path(setup, *less), |cure| cure.0.clone());
    let mut draft =
        Draft::new(NAME, Severity::Warning, Subject::WayOf(*less, control, side), StateId::Piloting)
            .at(place, format!("{way} moves this by {few}"))
            .and_at(say::channel_path(setup, *more), format!("and this by {many}"))
            .place("other", Subject::Channel(*more))
            .gap("less", Gap::Percent(least.clone()))
            .gap("more", Gap::Percent(most.clone()));
    draft = match cure {
        Some((_, words)) => draft.help(words),
        None => {
            draft.help("give both surfaces the same rate, shares and endpoints, each for the way it moves")
        }
    };
    let draft = draft
        .help("if it is meant, as where something in the hull is in the way, accept it with that reason");
    let message = format!("{way} moves {weak} by {few} and {strong} by {many}, of the same tail: she rolls");
    Some(draft.close_plain(true, &message, ""))
}

/// The one figure with which the surfaces move alike both ways of a hand, as its place and what to dial in.
fn cure(
    engine: &Engine,
    tail: &Tail,
    control: ControlId,
    [less, more]: [ChannelId; 2],
) -> Option<(Path, String)> {
    let setup = engine.setup;
    let even = |changed: &Setup| {
        let ways = Side::BOTH.map(|side| extremes(engine, tail, (control, side), changed));
        ways.iter().flatten().all(|found| !is_uneven(found))
    };
    let (from, to) = (&setup.channels[more], &setup.channels[less]);
    for side in Side::BOTH {
        for value in from.endpoints.iter().chain(&to.endpoints) {
            let mut changed = setup.clone();
            changed.channels[less].endpoints[side.index()] = value.clone();
            if *value != to.endpoints[side.index()] && even(&changed) {
                let name = match to.control {
                    Some(own) => setup.controls[own].ways[side.index()].as_str(),
                    None if side.sign() * to.longer.sign() > 0 => "the longer side",
                    None => "the shorter side",
                };
                return Some((
                    say::endpoint_path(setup, less, side),
                    format!("both move alike with an endpoint for {name}: {}", say::percent(value)),
                ));
            }
        }
    }
    let plain_rate = |channel: ChannelId| {
        (to.control == from.control).then(|| setup.channels[channel].one_rate().cloned()).flatten()
    };
    if let (Some(weak), Some(strong)) = (plain_rate(less), plain_rate(more))
        && weak != strong
    {
        let mut changed = setup.clone();
        changed.channels[less].rate.iter_mut().for_each(|rate| rate.values = vec![strong.clone()]);
        if even(&changed) {
            return Some((
                say::channel_path(setup, less).then("rate"),
                format!("both move alike with `rate: {}` here, as on the other", say::percent(&strong)),
            ));
        }
    }
    let share = |channel: ChannelId| {
        let mut mixes = setup.channels[channel].mixes.iter().enumerate();
        mixes.find(|(_, mix)| mix.of == MixOf::Control(control))
    };
    let ((at, weak), (_, strong)) = (share(less)?, share(more)?);
    let value = strong.add.abs() * Exact::int(weak.add.signum().into());
    let mut changed = setup.clone();
    changed.channels[less].mixes[at].add = value.clone();
    even(&changed).then(|| {
        let path = say::channel_path(setup, less).then("mixes").then(at).then("add");
        let (name, title) = (&setup.controls[control].name, setup.channel_title(less));
        (path, format!("both move alike with `add: {}` of {name} on {title}", say::percent(&value)))
    })
}

/// How far a hand moves a tail, where that is most.
fn most_of(engine: &Engine, tail: &Tail, control: ControlId, setup: &Setup) -> Exact {
    let ways = Side::BOTH.into_iter().filter_map(|side| extremes(engine, tail, (control, side), setup));
    ways.map(|[_, (_, most)]| most).fold(Exact::ZERO, Exact::max)
}

fn hands_differ(engine: &Engine, tail: &Tail) -> Option<Finding> {
    let setup = engine.setup;
    let throws = tail.controls.iter().map(|control| (*control, most_of(engine, tail, *control, setup)));
    let throws: Vec<(ControlId, Exact)> = throws.filter(|(_, throw)| !throw.is_zero()).collect();
    let (weak, least) = throws.iter().min_by(|a, b| a.1.cmp(&b.1))?;
    let (strong, most) = throws.iter().rev().max_by(|a, b| a.1.cmp(&b.1))?;
    if *least >= of_the_other() * most.clone() {
        return None;
    }
    let [weak_name, strong_name] = [weak, strong].map(|control| &setup.controls[*control].name);
    let [few, many] = [least, most].map(say::percent);
    let places = tail.channels.iter().map(|channel| say::channel_path(setup, *channel));
    let mut places = places.map(|path| (path, format!("{weak_name} has less of this than {strong_name}")));
    let (first, label) = places.next()?;
    let mut draft = Draft::new(NAME, Severity::Warning, Subject::Control(*weak), StateId::Piloting)
        .at(first, label)
        .sentence("hands")
        .name("other", strong_name)
        .gap("less", Gap::Percent(least.clone()))
        .gap("more", Gap::Percent(most.clone()));
    for (path, label) in places {
        draft = draft.and_at(path, label);
    }
    if let Some(words) = alike(engine, tail, [*weak, *strong]) {
        draft = draft.help(words);
    }
    let draft = draft.help("if it is meant, accept it with that reason");
    let message = format!("{weak_name} moves the tail by {few}, {strong_name} by {many}: is that meant?");
    Some(draft.close_plain(true, &message, ""))
}

/// Shares with which two hands move a tail alike and that ask for no more together than before.
fn alike(engine: &Engine, tail: &Tail, hands: [ControlId; 2]) -> Option<String> {
    let setup = engine.setup;
    let mut changed = setup.clone();
    let mut told: BTreeSet<String> = BTreeSet::new();
    for &channel in &tail.channels {
        let c = &setup.channels[channel];
        let shares = hands.map(|hand| share_of(setup, channel, hand));
        let [Some(a), Some(b)] = shares else { return None };
        let each = Exact::ratio(((a.abs() + b.abs()) * Exact::int(50)).floor()?, 100);
        for hand in hands {
            let name = &setup.controls[hand].name;
            if c.control == Some(hand) {
                for rate in &mut changed.channels[channel].rate {
                    (rate.switch, rate.values) = (None, vec![each.clone()]);
                }
                told.insert(format!("`rate: {}` of {name}", say::percent(&each)));
            }
            for mix in changed.channels[channel].mixes.iter_mut().filter(|m| m.of == MixOf::Control(hand)) {
                mix.add = Exact::int(mix.add.signum().into()) * each.clone();
                told.insert(format!("`add: {}` of {name}, with its sign", say::percent(&each)));
            }
        }
    }
    let [a, b] = hands.map(|hand| most_of(engine, tail, hand, &changed));
    let even = a >= of_the_other() * b.clone() && b >= of_the_other() * a;
    let even = even && (tails(&changed).len() == tails(setup).len());
    even.then(|| {
        format!("shares with which both move it alike: {}", told.into_iter().collect::<Vec<_>>().join("; "))
    })
}

/// How much of a hand goes into a channel: its rate, or the share of the one mix that adds it.
fn share_of(setup: &Setup, channel: ChannelId, control: ControlId) -> Option<Exact> {
    let c = &setup.channels[channel];
    let mut mixes = c.mixes.iter().filter(|mix| mix.of == MixOf::Control(control));
    match (c.control == Some(control), mixes.next(), mixes.next()) {
        (true, None, _) => c.one_rate().cloned(),
        (false, Some(mix), None) => Some(mix.add.clone()),
        _ => None,
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::NAME;
    use crate::finding::Finding;
    use crate::setup::lower::lower;
    use crate::source::Source;

    fn found(change: &[[&str; 2]]) -> Vec<Finding> {
        let text = std::fs::read_to_string("../../tests/fixtures/clean/tern.yaml").unwrap();
        let text = change.iter().fold(text, |text, [from, to]| {
            assert!(text.contains(from), "{from}");
            text.replace(from, to)
        });
        let source = Source::from_bytes("x", text.into_bytes()).unwrap();
        crate::rule::check(&lower(&source).unwrap()).into_iter().filter(|f| f.rule == NAME).collect()
    }

    /// 45 % of a hand on endpoints of 75 % and of 57 % moves surfaces by 33.75 % and by 25.65 %, which is 76 in 100.
    #[test]
    fn an_endpoint_far_from_its_mirror_is_asked_about_and_the_one_that_cures_is_told() {
        let both = ["longer: rise, mixes", "longer: rise, endpoints: {rise: 75 %, dive: 75 %}, mixes"];
        assert!(found(&[both]).is_empty());
        let one = [
            "2: {name: starboard surface, longer: rise, endpoints: {rise: 75 %",
            "2: {name: starboard surface, longer: rise, endpoints: {rise: 57 %",
        ];
        let all = found(&[both, one]);
        // Up by `rise`, and by the way of the helm that adds to it there.
        assert_eq!(all.iter().map(|f| f.about.as_str()).collect::<Vec<_>>(), ["2/starboard", "2/rise"]);
        assert!(all[1].help[0].ends_with("75 %"), "{:?}", all[1].help);
        assert!(
            all[1].message.contains("25.65 %") && all[1].message.contains("33.75 %"),
            "{}",
            all[1].message
        );
        let near = ["rise: 57 %", "rise: 60 %"];
        assert!(found(&[both, one, near]).is_empty());
    }

    /// 60 % and 30 % are 1 to 2; the same 90 % in halves are 45 % each, with which nothing is left to ask.
    #[test]
    fn hands_that_move_one_tail_by_different_amounts_are_asked_about_with_shares_that_are_alike() {
        let more = ["{add: 45 %, of: dive}", "{add: 60 %, of: dive}"];
        let less = [
            ["{add: 45 %, of: helm}", "{add: 30 %, of: helm}"],
            ["{add: -45 %, of: helm}", "{add: -30 %, of: helm}"],
        ];
        let all = found(&[more, less[0], less[1]]);
        let [one] = all.as_slice() else { panic!("{all:#?}") };
        assert_eq!(one.about, "helm");
        assert!(
            one.help[0].contains("`add: 45 %` of dive") && one.help[0].contains("`add: 45 %` of helm"),
            "{:?}",
            one.help
        );
        let nearer = [
            ["{add: 30 %, of: helm}", "{add: 40 %, of: helm}"],
            ["{add: -30 %, of: helm}", "{add: -40 %, of: helm}"],
        ];
        assert!(found(&[more, less[0], less[1], nearer[0], nearer[1]]).is_empty());
    }

    /// What a helm adds to planes to hold her nose is no part of a tail: it wants none of their effects.
    #[test]
    fn a_mix_that_only_makes_up_for_something_makes_no_tail() {
        let text = std::fs::read_to_string("../../boats/moonfish.yaml").unwrap();
        let setup = lower(&Source::from_bytes("x", text.into_bytes()).unwrap()).unwrap();
        assert!(super::tails(&setup).is_empty());
        assert!(found(&[]).is_empty());
    }
}
