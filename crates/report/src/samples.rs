//! A boat file and findings about it, made by hand for the tests of the reports.

use super::FileReport;
use crate::finding::{BROKEN, BudgetShare, Finding, Harm, Margin, Outcome, SafeEndpoints, Severity, Witness};
use crate::rule::ChannelReach;
use crate::setup::quantity::Micros;
use crate::setup::*;
use crate::source::{Mistake, Source, Span};
use lidcard_boat::device::{self, works};

pub(crate) const TEXT: &str = "\
lidcard: 1
boat: {name: Moonfish}
channels:
  4:
    name: ballast
    endpoints: {flood: 80 %, blow: 71 %}
devices:
  tank_servo:
    accuracy: 1.5 %
    works:
      gas: {kind: emergency_gas, from: +72 % ± 4 %}
";

pub(crate) fn source() -> Source {
    Source::from_text("boats/moonfish.yaml", TEXT).unwrap()
}

pub(crate) fn margin(percent: i64) -> Margin {
    Margin { axis: Exact::percent(percent), micros: Micros(Exact::int(4 * percent)) }
}

fn share(what: &str, percent: i64) -> BudgetShare {
    BudgetShare { what: what.into(), axis: Exact::percent(percent) }
}

pub(crate) fn broken() -> Finding {
    Finding {
        rule: "emergency-within-reach",
        severity: Severity::Error,
        harm: Harm::People,
        outcome: Outcome::Broken,
        subject: crate::finding::Subject::Unit,
        when: crate::finding::StateId::Piloting,
        about: "tank_servo.gas".into(),
        state: "piloting".into(),
        accepted: None,
        message: "the sticks may open the emergency gas valve".into(),
        sentence: BROKEN,
        gaps: vec![],
        primary: (Path::of(["channels", "4", "endpoints", "blow"]), "blow goes this far".into()),
        others: vec![(
            Path::of(["devices", "tank_servo", "works", "gas", "from"]),
            "the valve may open from +68 %".into(),
        )],
        help: vec!["endpoint for blow: 65 % or less".into()],
        margin: Some(margin(-5)),
        budget: vec![share("emergency gas valve", 4), share("pulse", 2)],
        estimate: Some(Exact::ratio(3, 8)),
        rests: None,
        missing: Vec::new(),
        hurts: false,
        by_estimate: false,
        witness: Some(Witness {
            words: "tank: blow held fully, nothing else touched".into(),
            positions: vec![("tank".into(), Exact::ONE), ("helm".into(), Exact::ratio(-1, 3))],
            trims: vec![("helm".into(), Exact::ratio(1, 8))],
            settings: vec![("agility".into(), "full".into())],
            order: vec![("trim".into(), "after endpoint".into())],
            output: Exact::percent(71),
            pulse: Micros(Exact::int(1784)),
        }),
    }
}

pub(crate) fn warning() -> Finding {
    Finding {
        rule: "sense-not-measured",
        severity: Severity::Warning,
        harm: Harm::Untidy,
        outcome: Outcome::Broken,
        subject: crate::finding::Subject::Unit,
        when: crate::finding::StateId::Piloting,
        about: "4/blow".into(),
        state: "piloting".into(),
        accepted: None,
        message: "nobody has measured which way makes the pulse longer".into(),
        sentence: BROKEN,
        gaps: vec![],
        primary: (Path::of(["channels", "4"]), "`longer` is missing here".into()),
        others: vec![],
        help: vec!["hold blow and read the pulse".into()],
        margin: None,
        budget: vec![],
        estimate: None,
        rests: None,
        witness: None,
        missing: Vec::new(),
        hurts: false,
        by_estimate: false,
    }
}

pub(crate) fn proved(percent: i64) -> Finding {
    Finding {
        rule: "wanted-not-reached",
        outcome: Outcome::Proved,
        message: "blow surely opens the valve".into(),
        margin: Some(margin(percent)),
        budget: vec![share("pump switch", 2)],
        estimate: Some(Exact::ZERO),
        rests: None,
        witness: None,
        help: vec![],
        others: vec![],
        ..broken()
    }
}

pub(crate) fn report(findings: Vec<Finding>) -> FileReport {
    FileReport::checked(source(), findings)
}

pub(crate) fn unreadable() -> FileReport {
    let at = TEXT.find("71 %").map_or(0, |at| at);
    let mistake = Mistake {
        message: "`blow` is given twice".into(),
        labels: vec![(Span { start: at, end: at + 4 }, "again here".into())],
        help: Some("take one of the two out".into()),
    };
    FileReport::unreadable("boats/moonfish.yaml", Some(source()), vec![mistake])
}

pub(crate) fn blow() -> SafeEndpoints {
    SafeEndpoints {
        channel: 4,
        name: "ballast".into(),
        way: "blow".into(),
        set: Exact::percent(58),
        windows: vec![[Exact::percent(42), Exact::percent(65)]],
        best: Some(Exact::percent(54)),
        low_limit: "tank_servo.pump is surely on from 42 %".into(),
        high_limit: "tank_servo.gas may open from 66 %".into(),
        margins: [Some(margin(16)), Some(margin(8))],
        not_moved: vec![],
        but: vec![],
        ends: [None, None],
        crossing: None,
    }
}

pub(crate) fn flood() -> SafeEndpoints {
    SafeEndpoints {
        way: "flood".into(),
        set: Exact::percent(70),
        windows: vec![],
        best: None,
        low_limit: "tank_servo.vent is surely open from 75 %".into(),
        high_limit: "the stop may be touched from 73 %".into(),
        margins: [Some(margin(-5)), Some(margin(3))],
        crossing: Some("the two limits cross by 2 %: move the stop out or the vent in".into()),
        ..blow()
    }
}

pub(crate) fn reach() -> Vec<ChannelReach> {
    let of = |word: &str, low, high| ChannelReach {
        channel: 4,
        order: vec![("trim".into(), word.into())],
        low,
        high,
    };
    vec![
        of("before endpoint", Exact::percent(-80), Exact::percent(58)),
        of("after endpoint", Exact::percent(-83), Exact::ratio(2, 3)),
    ]
}

fn toleranced(value: i64, off: i64) -> Toleranced {
    Toleranced { value: Exact::percent(value), off: Exact::percent(off) }
}

fn work(name: &str, kind: &str, from: Toleranced) -> Function {
    Function {
        name: name.into(),
        kind: works::ALL.iter().find(|k| k.name == kind).unwrap(),
        sign: from.value.signum(),
        from,
        to: None,
        full: None,
        releases: None,
        reserved: Reserved::No,
        kept_on: false,
        never_with: vec![],
        clicks: None,
        releasing: None,
        facts: crate::setup::facts::WorkFacts::default(),
    }
}

/// One channel, one servo: vent on the shorter side, pump and emergency gas on the longer.
pub(crate) fn setup(kinds: [&str; 3]) -> Setup {
    let us = |v| Micros(Exact::int(v));
    let axis = Axis { rest: us(1500), shorter: us(1100), longer: us(1900) };
    let want = |work| vec![Want { work: WorkRef { device: 0, work }, needs: vec![] }];
    let rate = || Rate { switch: None, values: vec![Exact::ONE] };
    let [vent, pump, gas] = kinds;
    Setup {
        boat: Boat { name: "Moonfish".into(), ..Boat::default() },
        transmitter: Transmitter {
            name: None,
            memory: None,
            region: None,
            frequency: None,
            margin: None,
            hertz: None,
            channels: 8,
            pulse: Pulse { scale: axis.clone(), accuracy: us(2) },
            furthest: Exact::percent(125),
            step: Exact::percent(1),
            order: OrderLines::default(),
        },
        axis,
        on_axis: OnAxis::default(),
        controls: vec![Control {
            name: "tank".into(),
            at: None,
            kind: ControlKind::Buttons,
            line: Line::LowerUpper,
            ways: ["flood".into(), "blow".into()],
            settings: vec![],
            home: 0,
            springs_back: true,
            trim: [Exact::ZERO, Exact::ZERO],
            wants: [vec![], vec![]],
            wants_said: true,
        }],
        channels: vec![Channel {
            number: 4,
            name: Some("ballast".into()),
            control: Some(0),
            longer: Side::High,
            longer_measured: true,
            reverse: None,
            rate: [rate(), rate()],
            expo: Exact::ZERO,
            endpoints: [Exact::percent(80), Exact::percent(58)],
            sub_trim: Exact::ZERO,
            mixes: vec![],
            wants: [want(0), want(1)],
            measured: Vec::new(),
            slow: None,
            spare: false,
        }],
        receiver: Receiver {
            on_loss: OnLoss::NoPulses,
            after: None,
            supply: Default::default(),
            presets: Default::default(),
        },
        fail_safe: None,
        devices: vec![Device {
            name: "tank_servo".into(),
            kind: device::ALL.iter().find(|k| k.name == "servo").unwrap(),
            input: Input::Channel(0),
            accuracy: Allowance { axis: Exact::ratio(3, 200), micros: us(0) },
            effects_said: true,
            stops: [Some(toleranced(-110, 2)), Some(toleranced(110, 2))],
            still_between: None,
            without_pulses: None,
            effects: [None, None],
            works: vec![
                work("vent", vent, toleranced(-70, 3)),
                work("pump", pump, toleranced(38, 2)),
                work("gas", gas, toleranced(72, 4)),
            ],
            role: None,
            limits: None,
            note: None,
            facts: Default::default(),
        }],
        batteries: vec![],
        hull: Default::default(),
        tank: Default::default(),
        fittings: Default::default(),
        owner: Owner::default(),
        opposites: vec![],
        card: CardOptions::default(),
        accept: vec![],
        unknown: Vec::new(),
        unsaid: crate::setup::Unsaid::default(),
    }
}
