//! A boat to print, built without a file.

use lidcard::device::{self, works};
use lidcard::setup::quantity::{Metres, Micros, Seconds, Volts};
use lidcard::setup::*;

fn pct(value: i64) -> Exact {
    Exact::percent(value)
}

fn us(value: i64) -> Micros {
    Micros(Exact::int(value))
}

fn words(text: &str) -> Option<String> {
    Some(text.to_owned())
}

fn off(value: i64, off: i64) -> Toleranced {
    Toleranced { value: pct(value), off: pct(off) }
}

fn opposites() -> Vec<[String; 2]> {
    [
        ["turns left", "turns right"],
        ["bow rises", "bow dips"],
        ["drives ahead", "drives astern"],
        ["swings left", "swings right"],
    ]
    .map(|pair| pair.map(str::to_owned))
    .to_vec()
}

fn effect(name: &str) -> Effect {
    let pairs = opposites();
    let find = |e: usize, w: usize| (pairs[e][w] == name).then_some(Effect { pair: e, which: w });
    (0..pairs.len()).flat_map(|e| [find(e, 0), find(e, 1)]).flatten().next().expect("an effect")
}

fn control(
    name: &str,
    at: &str,
    kind: ControlKind,
    line: Line,
    ways: [&str; 2],
    wants: [&str; 2],
) -> Control {
    Control {
        name: name.into(),
        at: words(at),
        kind,
        line,
        ways: ways.map(str::to_owned),
        settings: Vec::new(),
        springs_back: matches!(kind, ControlKind::Stick | ControlKind::Buttons),
        trim: Exact::ZERO,
        wants: wants.map(|w| if w.is_empty() { Vec::new() } else { vec![effect(w)] }),
    }
}

fn channel(number: u8, name: &str, control: ControlId, endpoints: [i64; 2]) -> Channel {
    Channel {
        number,
        name: words(name),
        control: Some(control),
        longer: Side::High,
        longer_measured: true,
        reverse: None,
        rate: [pct(100), pct(100)].map(|v| Rate { switch: None, values: vec![v] }),
        expo: Exact::ZERO,
        endpoints: endpoints.map(pct),
        sub_trim: Exact::ZERO,
        mixes: Vec::new(),
        wants: [Vec::new(), Vec::new()],
        measured: [None, None],
    }
}

fn device(name: &str, kind: &str, input: Input) -> Device {
    Device {
        name: name.into(),
        kind: device::ALL.iter().find(|k| k.name == kind).expect("a kind"),
        input,
        accuracy: Allowance { axis: pct(2), micros: us(0) },
        accuracy_given: true,
        stops: [Some(off(-115, 0)), Some(off(115, 0))],
        still_between: None,
        without_pulses: None,
        effects: [None, None],
        works: Vec::new(),
        role: None,
        limits: None,
        note: None,
    }
}

fn work(name: &str, kind: &str, from: Toleranced) -> Work {
    Work {
        name: name.into(),
        kind: works::ALL.iter().find(|k| k.name == kind).expect("a kind of work"),
        sign: from.value.signum(),
        from,
        to: None,
        full: None,
        releases: None,
        reserved: Reserved::No,
        kept_on: false,
        never_with: Vec::new(),
        from_clicks: false,
    }
}

/// A submarine with a hybrid ballast system on one servo and a fail-safe unit.
pub fn moonfish() -> Setup {
    use ControlKind::{Buttons, Stick, Switch};
    use Line::{LeftRight, LowerUpper, TowardsAway};
    let mut speed = control(
        "speed",
        "left stick",
        Stick,
        TowardsAway,
        ["astern", "ahead"],
        ["drives astern", "drives ahead"],
    );
    speed.springs_back = false;
    let mut agility = control("agility", "top left", Switch, LowerUpper, ["gentle", "full"], ["", ""]);
    agility.settings = vec!["gentle".into(), "full".into()];
    agility.springs_back = false;
    let controls = vec![
        control(
            "helm",
            "right stick",
            Stick,
            LeftRight,
            ["port", "starboard"],
            ["turns left", "turns right"],
        ),
        control("dive", "right stick", Stick, TowardsAway, ["rise", "dive"], ["bow rises", "bow dips"]),
        speed,
        control("tank", "rear left", Buttons, LowerUpper, ["flood", "blow"], ["", ""]),
        control("level", "rear right", Buttons, LowerUpper, ["down", "up"], ["bow dips", "bow rises"]),
        agility,
    ];
    let mut rudder = channel(1, "rudder", 0, [95, 90]);
    rudder.sub_trim = pct(-3);
    rudder.rate = [0, 1].map(|_| Rate { switch: Some(5), values: vec![pct(60), pct(100)] });
    let mut bow = channel(2, "bow planes", 1, [85, 85]);
    bow.reverse = Some(true);
    bow.mixes = vec![Mix { add: pct(15), of: MixOf::Control(0), when: vec![(5, 1)], with_trim: false }];
    let mut ballast = channel(5, "ballast", 3, [80, 58]);
    let in_tank = |work| WorkRef { device: 3, work };
    ballast.wants = [0, 1].map(|n| vec![Want { work: in_tank(n), needs: Vec::new() }]);
    let channels = vec![
        rudder,
        bow,
        channel(3, "motor", 2, [60, 100]),
        ballast,
        channel(6, "stern override", 4, [70, 70]),
    ];
    let mut esc = device("motor_esc", "speed controller", Input::Channel(2));
    esc.still_between = Some([pct(-4), pct(4)]);
    esc.without_pulses = Some(WithoutPulses::Stops);
    let mut tank = device("tank_servo", "servo", Input::Channel(3));
    tank.works = vec![
        work("vent", "vent valve", off(-45, 3)),
        work("pump", "pump switch", off(38, 2)),
        work("gas", "emergency gas valve", off(72, 4)),
    ];
    let stage = |name: &str, lasts: Option<i64>, ballast, works: &[usize]| Stage {
        name: name.into(),
        lasts: lasts.map(|s| Seconds(Exact::int(s))),
        set: vec![(3, pct(ballast)), (2, pct(0))],
        works: works.iter().map(|w| in_tank(*w)).collect(),
    };
    Setup {
        boat: Boat {
            name: "Moonfish".into(),
            reference: words("LB-014"),
            revision: words("B"),
            date: words("2026-05-02"),
            workshop: words("Lantern Bay Model Workshop"),
            depth_limit: Some(Metres(Exact::int(2))),
            ..Boat::default()
        },
        transmitter: Transmitter {
            name: words("loan set 3"),
            memory: words("4 MOONFISH"),
            region: Some(lidcard::radio::Region::Europe),
            frequency: words("40.685 MHz"),
            hertz: Some(40_685_000),
            channels: 8,
            pulse: PulseScale { rest: us(1500), shorter: us(1100), longer: us(1900), accuracy: us(2) },
            furthest: pct(125),
            step: pct(1),
            order: OrderLines::default(),
        },
        controls,
        channels,
        receiver: Receiver { on_loss: OnLoss::NoPulses, after: Some(Seconds(Exact::ONE)) },
        fail_safe: Some(FailSafe {
            channels: vec![2, 3],
            notices: Notices::NoPulses,
            accuracy: Some(us(6)),
            wait: Some(Seconds(Exact::int(4))),
            stages: vec![stage("blow", Some(12), 105, &[1, 2]), stage("rest", None, 0, &[])],
            low_battery: Some((0, Volts(Exact::ratio(66, 10)))),
            leak: true,
        }),
        devices: vec![
            device("rudder_servo", "servo", Input::Channel(0)),
            device("bow_servo", "servo", Input::Channel(1)),
            esc,
            tank,
            device("leveller", "leveller", Input::Channel(4)),
            device("stern_servo", "servo", Input::Behind(4)),
        ],
        batteries: vec![Battery {
            name: "main".into(),
            cells: Some(6),
            chemistry: words("NiMH"),
            capacity: words("5 Ah"),
        }],
        owner: Owner {
            emergency: vec![
                "hold blow until she is up".into(),
                "nothing happens - switch the transmitter off and wait 5 s".into(),
            ],
            contact: words("Lantern Bay Model Workshop"),
        },
        opposites: opposites(),
        card: CardOptions::default(),
    }
}

/// A harbour tug: nothing to do with submarines, two more controls than sticks have lines.
pub fn tug() -> Setup {
    use ControlKind::{Buttons, Knob, Slider, Stick, Switch};
    use Line::{LeftRight, LowerUpper, TowardsAway};
    let mut setup = moonfish();
    setup.boat = Boat {
        name: "Harbour tug Wilhelmina Grootendorst".into(),
        kind: BoatKind::Surface,
        date: words("2026-06-11"),
        reference: words("LB-020"),
        revision: words("A"),
        ..Boat::default()
    };
    setup.transmitter.memory = words("11 TUG, SECOND PROPELLER");
    let mut pump = control("water pump", "front left", Switch, LowerUpper, ["off", "full"], ["", ""]);
    pump.settings = ["off", "half", "full"].map(str::to_owned).to_vec();
    let mut horn = control("horn", "top", Knob, LeftRight, ["low", "loud"], ["", ""]);
    horn.at = None;
    setup.controls = vec![
        control("helm", "left stick", Stick, LeftRight, ["port", "starboard"], ["turns left", "turns right"]),
        control(
            "engine",
            "left stick",
            Stick,
            TowardsAway,
            ["astern", "ahead"],
            ["drives astern", "drives ahead"],
        ),
        control(
            "monitor",
            "right stick",
            Stick,
            LeftRight,
            ["port", "starboard"],
            ["swings left", "swings right"],
        ),
        control("hook", "rear right", Buttons, LowerUpper, ["shut", "release"], ["", ""]),
        pump,
        control("lamps", "front right", Slider, LowerUpper, ["dark", "bright"], ["", ""]),
        horn,
    ];
    setup.channels = vec![
        channel(1, "rudder", 0, [100, 100]),
        channel(2, "engine", 1, [70, 100]),
        channel(3, "water monitor, turning", 2, [90, 90]),
        channel(4, "tow hook", 3, [100, 85]),
        channel(5, "pump", 4, [100, 100]),
        channel(6, "navigation lamps", 5, [100, 100]),
        channel(7, "horn", 6, [100, 100]),
    ];
    setup.devices[3].works = vec![work("hook", "release", off(60, 3)), work("lamps", "light", off(20, 3))];
    setup.channels[3].wants[1] = vec![Want { work: WorkRef { device: 3, work: 0 }, needs: vec![(4, 0)] }];
    setup.channels[5].wants[1] = vec![Want { work: WorkRef { device: 3, work: 1 }, needs: Vec::new() }];
    setup.fail_safe = None;
    setup.receiver.on_loss = OnLoss::Preset {
        values: vec![(1, Exact::ZERO), (4, pct(-100))],
        others: Others::Hold,
        works: Vec::new(),
    };
    setup.owner = Owner {
        emergency: Vec::new(),
        contact: words("Lantern Bay Model Workshop, the shed behind the pond"),
    };
    setup
}
