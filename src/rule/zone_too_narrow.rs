//! A zone in the middle of the stick's travel is over before a hand can stop in it.

use super::context::{Context, may_zone};
use super::say::{self, Draft};
use crate::finding::{Finding, Gap, Severity};
use crate::proof::cases::Case;
use crate::proof::{Hand, Zone};
use crate::setup::{ControlId, ControlKind, Exact, Input, Side, WorkRef};

/// The rule's name.
pub const NAME: &str = "zone-too-narrow";

/// The least part of the way from rest to the end in which a hand can stop. Common practice, no source.
const LEAST: i64 = 10;

/// Steps in which the way is tried: half a percent each, far finer than a hand.
const STEPS: i64 = 200;

/// Once for each wanted work with another wanted work of the same servo beyond it on the same way.
pub fn apply(context: &Context, findings: &mut Vec<Finding>) {
    let setup = context.setup;
    for (channel, c) in setup.channels.iter().enumerate() {
        let Some(own) = c.control else { continue };
        // Only a hand that can stop anywhere has a zone to find.
        if matches!(setup.controls[own].kind, ControlKind::Buttons | ControlKind::Switch) {
            continue;
        }
        for side in Side::BOTH {
            for want in &c.wants[side.index()] {
                let (work, w) = (want.work, setup.work(want.work));
                let beyond = c.wants[side.index()]
                    .iter()
                    .map(|other| other.work)
                    .filter(|other| other.device == work.device && *other != work)
                    .filter(|other| {
                        let o = setup.work(*other);
                        o.sign == w.sign && o.from.value.abs() > w.from.value.abs()
                    })
                    .min_by_key(|other| setup.work(*other).from.value.abs());
                let (Some(next), Input::Channel(_)) = (beyond, setup.devices[work.device].input) else {
                    continue;
                };
                let widths = context
                    .cases(channel)
                    .cases
                    .iter()
                    .filter(|case| want.needs.iter().all(|&(switch, at)| case.settings[switch] == at))
                    // Where the second work is out of reach the first has all the rest of the way.
                    .filter_map(|case| width(context, case, own, side, work, next));
                let Some(narrowest) = widths.min() else { continue };
                let (name, other) = (setup.work_name(work), setup.work_name(next));
                let way = &setup.controls[own].ways[side.index()];
                let told = say::percent(&narrowest);
                findings.push(
                    Draft::new(NAME, Severity::Warning, name.clone(), "piloting")
                        .at(say::work_path(setup, work), format!("{told} of the stick lie between this"))
                        .and_at(say::work_path(setup, next), "and this")
                        .and_at(say::channel_path(setup, channel), "rate, expo and endpoint decide how wide that is")
                        .place("way", say::way_name(setup, channel, side))
                        .place("other", other.clone())
                        .gap("width", Gap::Percent(narrowest.clone()))
                        .help("take out rate and expo above 0 % here, move the two works apart on the horn, or use a switch with three settings")
                        .close_plain(
                            narrowest < Exact::percent(LEAST),
                            &format!("{way} goes from {name} to {other} within {told} of the stick: no hand stops there"),
                            &format!("{way} leaves {told} of the stick for {name} alone"),
                        ),
                );
            }
        }
    }
}

/// How much of the way lies between where one work is surely engaged and where the next may be.
fn width(
    context: &Context,
    case: &Case,
    own: ControlId,
    side: Side,
    work: WorkRef,
    next: WorkRef,
) -> Option<Exact> {
    let setup = context.setup;
    let w = setup.work(work);
    let slack = setup.slack(work.device, w.sign, false);
    let missed = super::context::short_of(&w.from, w.sign, &slack);
    let reached = may_zone(setup.work(next), &slack, false);
    let inside = |zone: &Zone, step: i64| {
        let mut positions: Vec<Exact> = vec![Exact::ZERO; setup.controls.len()];
        positions[own] = Exact::ratio(step, STEPS) * side.position();
        let hand = Hand { positions, trims: vec![Exact::ZERO; setup.controls.len()] };
        zone.holds(&case.fixed.output(&hand))
    };
    // Step by step: a control that is mixed into its own channel need not move it one way only.
    let from = (1..=STEPS).find(|&step| !inside(&missed, step))?;
    let to = (1..=STEPS).find(|&step| inside(&reached, step))?;
    Some(Exact::ratio((to - from).max(0), STEPS))
}
