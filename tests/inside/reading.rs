//! Boat files are read, or refused with words that help.
//!
//! Each `tests/fixtures/reading/*.yaml` has an `.expect` beside it with everything that is said
//! about it. To add a case, write the YAML and run once with `BLESS=1`; then read what it says.

use lidcard::setup::lower::lower;
use lidcard::setup::quantity::Micros;
use lidcard::setup::{Exact, MixOf, Notices, OnLoss, Path, Side};
use lidcard::source::{Mistake, Node, Source, Span, Value, line_column};
use std::fmt::Write;
use std::time::{Duration, Instant};

fn percent(value: &str) -> Exact {
    Exact::from_decimal(value).unwrap() / Exact::int(100)
}

fn told(text: &str, mistakes: &[Mistake]) -> String {
    let mut out = String::new();
    for mistake in mistakes {
        writeln!(out, "{}", mistake.message).unwrap();
        for (span, label) in &mistake.labels {
            let (line, column) = line_column(text, span.start);
            let words = &text[span.start..span.end];
            writeln!(out, "  {line}:{column} `{}` {label}", words.replace('\n', "\\n")).unwrap();
        }
        if let Some(help) = &mistake.help {
            writeln!(out, "  help: {help}").unwrap();
        }
    }
    out
}

fn read(name: &str, bytes: Vec<u8>) -> String {
    match Source::from_bytes(name, bytes) {
        Err(unreadable) => told(&unreadable.text, &[unreadable.mistake]),
        Ok(source) => match lower(&source) {
            Ok(_) => "reads cleanly\n".to_owned(),
            Err(mistakes) => told(&source.text, &mistakes),
        },
    }
}

#[test]
fn every_fixture_is_told_what_stands_beside_it() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/fixtures/reading");
    let mut files: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == "yaml"))
        .collect();
    files.sort();
    assert!(files.len() > 50, "only {} fixtures", files.len());
    let mut wrong = String::new();
    for file in files {
        let name = file.file_name().unwrap().to_string_lossy().into_owned();
        let said = read(&name, std::fs::read(&file).unwrap());
        let beside = file.with_extension("expect");
        if std::env::var_os("BLESS").is_some() {
            std::fs::write(&beside, &said).unwrap();
        }
        let wanted = std::fs::read_to_string(&beside).unwrap_or_default();
        if said != wanted {
            write!(wrong, "--- {name}, wanted:\n{wanted}--- said:\n{said}").unwrap();
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn the_example_is_read_as_it_is_meant() {
    let source = Source::from_text("example.yaml", include_str!("../fixtures/example.yaml")).unwrap();
    let setup = match lower(&source) {
        Ok(setup) => setup,
        Err(mistakes) => panic!("{}", told(&source.text, &mistakes)),
    };
    assert_eq!(setup.boat.name, "Moonfish");
    assert_eq!(setup.boat.date.as_deref(), Some("2026-05-02"));
    assert_eq!(setup.transmitter.memory.as_deref(), Some("4 MOONFISH"));
    assert_eq!(setup.transmitter.frequency.as_deref(), Some("40.685 MHz"));
    assert_eq!(setup.transmitter.furthest, percent("125"));
    assert!(setup.transmitter.order.mix.is_some());

    let numbers: Vec<u8> = setup.channels.iter().map(|c| c.number).collect();
    assert_eq!(numbers, [1, 2, 3, 4, 7]);
    let [rudder, planes, motor, ballast, _] = setup.channels.as_slice() else { panic!() };
    assert_eq!(rudder.longer, Side::High);
    assert_eq!(rudder.rate[0].switch, Some(5));
    assert_eq!(rudder.rate[1].values, [percent("60"), percent("100")]);
    assert_eq!(rudder.endpoints, [percent("95"), percent("90")]);
    assert_eq!(rudder.sub_trim, percent("-3"));
    assert_eq!(rudder.expo, percent("20"));
    assert_eq!(planes.longer, Side::Low);
    assert_eq!(planes.reverse, Some(true));
    assert_eq!(planes.mixes[0].of, MixOf::Control(0));
    assert_eq!(planes.mixes[0].when, [(5, 1)]);
    assert!(planes.longer_measured);
    assert!(!setup.controls[2].springs_back && setup.controls[3].springs_back);
    assert_eq!(motor.rate[0].values, [Exact::ONE]);
    let measured: Vec<(&str, &Micros)> =
        ballast.measured.iter().map(|m| (m.key.as_str(), &m.pulse)).collect();
    assert_eq!(measured, [("flood", &Micros(Exact::int(1180))), ("blow", &Micros(Exact::int(1732)))]);
    assert_eq!(setup.work_name(ballast.wants[1][0].work), "tank_servo.pump");

    let tank = &setup.devices[3];
    assert_eq!(tank.accuracy.axis, percent("1.5"));
    let [vent, pump, gas] = tank.works.as_slice() else { panic!() };
    assert_eq!((vent.sign, pump.sign, gas.sign), (-1, 1, 1));
    // Mean 38, s = sqrt(10 / 4) = 1.5811, factor 5.0769: 38 ± 8.0272, and a step of 1 nearer to rest.
    assert_eq!((pump.from.nearest(1), pump.from.farthest(1)), (percent("28.97"), percent("46.03")));
    assert!(pump.from_clicks() && gas.kind.emergency);
    assert_eq!(vent.full.as_ref().unwrap().value, percent("-70"));
    assert_eq!(setup.channel_of(5), Some(4));
    assert_eq!(setup.effect_words(setup.devices[5].effects[1].unwrap()), "bow rises");

    assert!(matches!(setup.receiver.on_loss, OnLoss::NoPulses));
    let unit = setup.fail_safe.as_ref().unwrap();
    assert!(matches!(unit.notices, Notices::NoPulses) && unit.leak);
    assert_eq!(unit.channels, [2, 3]);
    assert_eq!(unit.stages[0].set, [(2, Exact::ZERO), (3, percent("105"))]);
    assert_eq!(unit.stages[0].works.len(), 2);
    assert!(unit.stages[1].lasts.is_none());
    assert_eq!(unit.low_battery.as_ref().unwrap().0, 0);
    assert_eq!(setup.owner.emergency.len(), 2);
}

#[test]
fn a_path_is_found_as_far_as_it_goes() {
    let source = Source::from_text("example.yaml", include_str!("../fixtures/example.yaml")).unwrap();
    let words = |keys: &[&str]| {
        let span = source.locate(&Path::of(keys));
        source.text[span.start..span.end].to_owned()
    };
    assert_eq!(words(&["devices", "tank_servo", "works", "gas", "from"]), "+72 % ± 4 %");
    assert_eq!(words(&["devices", "tank_servo", "stops", "1"]), "+113 % ± 1 %");
    assert_eq!(words(&["devices", "tank_servo"]), "tank_servo");
    assert_eq!(words(&["devices", "tank_servo", "still_between"]), "tank_servo");
    assert_eq!(words(&["channels", "4", "endpoints", "blow"]), "58 %");
    assert_eq!(words(&["fail_safe", "stages", "0", "set", "4"]), "+105 %");
    assert_eq!(words(&["channels", "3", "expo"]).chars().next(), Some('{'));
}

fn refused_soon(bytes: Vec<u8>) -> String {
    let start = Instant::now();
    let said = read("hard.yaml", bytes);
    // What hangs takes hours; a machine that has other things to do takes seconds.
    assert!(start.elapsed() < Duration::from_secs(60), "{:?}", start.elapsed());
    said
}

#[test]
fn an_alias_bomb_is_refused() {
    let mut text = "a0: &a0 [x, x, x, x, x, x, x, x, x]\n".to_owned();
    for level in 1..12 {
        let before = vec![format!("*a{}", level - 1); 9].join(", ");
        writeln!(text, "a{level}: &a{level} [{before}]").unwrap();
    }
    assert!(refused_soon(text.into_bytes()).contains("too many values"));
    let long = format!("a: &a {}\nb: [{}]\n", "x".repeat(1_000_000), vec!["*a"; 4000].join(", "));
    assert!(refused_soon(long.into_bytes()).contains("too many values"));
    let said = refused_soon(b"a: &a [*a]\n".to_vec());
    assert!(said.contains("alias"), "{said}");
}

#[test]
fn a_hundred_thousand_brackets_are_refused() {
    for bracket in ["[", "{", "- ", "? "] {
        let said = refused_soon(bracket.repeat(100_000).into_bytes());
        assert!(said.contains("too deep"), "{bracket}: {said}");
    }
}

#[test]
fn what_is_no_boat_file_at_all_is_refused() {
    let said = refused_soon(vec![b'a'; 20 * 1024 * 1024]);
    assert!(said.contains("larger than 4 MB"), "{said}");
    let said = refused_soon(b"lidcard: 1\nboat: {name: \xff}\n".to_vec());
    assert!(said.contains("byte 24 on line 2"), "{said}");
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().to_string_lossy().into_owned();
    assert!(Source::load(&path).unwrap_err().mistake.message.contains("is a folder"));
    let missing = folder.path().join("pearl.yaml").to_string_lossy().into_owned();
    assert!(Source::load(&missing).unwrap_err().mistake.message.contains("there is no file"));
    let said = refused_soon(format!("lidcard: {}", "9".repeat(3_000_000)).into_bytes());
    assert!(said.contains("version"), "{said}");
    let many: String = (0..2400).map(|n| format!("key{n}: {n}\n")).collect();
    let said = refused_soon(format!("lidcard: 1\n{many}").into_bytes());
    assert!(said.contains("has no key `key0`"), "{said}");
}

#[test]
fn a_mark_at_the_beginning_and_foreign_line_ends_do_no_harm() {
    let text = include_str!("../fixtures/example.yaml").replace('\n', "\r\n");
    assert_eq!(read("example.yaml", format!("\u{feff}{text}").into_bytes()), "reads cleanly\n");
}

#[test]
fn the_example_cut_off_anywhere_or_with_a_line_gone_never_panics() {
    let text = include_str!("../fixtures/example.yaml");
    for (at, _) in text.char_indices().step_by(7) {
        read("cut.yaml", text.as_bytes()[..at].to_vec());
    }
    let lines: Vec<&str> = text.lines().collect();
    for gone in 0..lines.len() {
        let mut rest = lines.clone();
        rest.remove(gone);
        read("gone.yaml", rest.join("\n").into_bytes());
    }
}

#[test]
fn every_unit_comes_to_the_same_axis() {
    let text = include_str!("../fixtures/reading/clean-units.yaml");
    let setup = lower(&Source::from_text("units.yaml", text).unwrap()).unwrap();
    let [vent, _, gas] = setup.devices[1].works.as_slice() else { panic!() };
    assert_eq!(vent.from.value, Exact::ratio(-20, 45));
    assert_eq!(vent.from.off, Exact::ratio(1, 45));
    // 9 mm on an arm of 12 mm is an angle of 48.590378 degrees.
    let full = vent.full.as_ref().unwrap();
    assert_eq!(full.value, Exact::from_decimal("-1.079786").unwrap());
    // 0.2 mm on either side, the wider of the two, and what was lost by rounding.
    let wider = (libm::asin(9.2f64 / 12.0) - libm::asin(9.0f64 / 12.0)).to_degrees() / 45.0;
    let off = full.off.to_f64() - wider;
    assert!((0.0..=4e-6).contains(&off), "{off}");
    assert_eq!((gas.from.value.clone(), gas.from.off.clone()), (percent("72"), percent("4")));
    assert_eq!(setup.devices[1].accuracy.micros, Micros(Exact::int(5)));
    assert!(setup.devices[1].accuracy.axis.is_zero());
}

#[test]
fn rates_nest_in_either_order() {
    let rates = |text: &str| {
        let setup = lower(&Source::from_text("rates.yaml", text).unwrap()).unwrap();
        setup.channels[0].rate.clone().map(|r| (r.switch, r.values))
    };
    let by_switch = rates(include_str!("../fixtures/reading/clean-rate-nested.yaml"));
    assert_eq!(by_switch[0], (Some(2), vec![Exact::ONE, percent("50")]));
    assert_eq!(by_switch[1], (Some(2), vec![Exact::ONE, percent("50")]));
    let by_way = rates(include_str!("../fixtures/reading/clean-rate-per-way.yaml"));
    assert_eq!(by_way[0], (Some(2), vec![Exact::ONE, percent("50")]));
    assert_eq!(by_way[1], (None, vec![percent("80")]));
}

#[test]
fn what_is_left_out_has_its_default() {
    let text = include_str!("../fixtures/reading/clean-small.yaml");
    let setup = lower(&Source::from_text("small.yaml", text).unwrap()).unwrap();
    assert_eq!(setup.transmitter.channels, 8);
    assert_eq!(setup.transmitter.furthest, percent("125"));
    assert_eq!(setup.transmitter.pulse.scale.rest, Micros(Exact::int(1500)));
    assert!(setup.transmitter.order.mix.is_none());
    let rudder = &setup.channels[0];
    assert_eq!((rudder.longer, rudder.longer_measured), (Side::High, false));
    assert_eq!(rudder.endpoints, [Exact::ONE, Exact::ONE]);
    assert!(rudder.sub_trim.is_zero() && rudder.expo.is_zero());
    assert!(setup.controls[0].springs_back && !setup.controls[0].has_trim());
    assert!(setup.fail_safe.is_none());
    let unknown: Vec<String> = setup.unknown.iter().map(|unknown| unknown.path.0.join(".")).collect();
    assert!(unknown.contains(&"transmitter.pulse.accuracy".to_owned()), "{unknown:?}");
}

fn places(node: &Node, into: &mut Vec<Span>) {
    into.push(node.span);
    match &node.value {
        Value::Scalar { .. } => {}
        Value::List(items) => items.iter().for_each(|item| places(item, into)),
        Value::Map(entries) => {
            for entry in entries {
                into.push(entry.key_span);
                places(&entry.value, into);
            }
        }
    }
}

#[test]
fn anything_in_place_of_any_word_never_panics_and_is_told_in_order() {
    let odd = [
        "",
        "~",
        "[]",
        "{}",
        "[[]]",
        "{x: y}",
        "0",
        "-1",
        "0 %",
        "0 us",
        "-200 %",
        "99999999999999",
        "\"\"",
        "0 deg ± 0 mm",
        "1500 us",
        "helm",
        "5",
        "channel 4",
        "agility",
        "rise",
        "*x",
        "&x y",
        "± %",
        "µ±−",
    ];
    for text in
        [include_str!("../fixtures/example.yaml"), include_str!("../fixtures/reading/clean-units.yaml")]
    {
        let source = Source::from_text("odd.yaml", text).unwrap();
        let mut spans = Vec::new();
        places(&source.root, &mut spans);
        for (at, span) in spans.into_iter().enumerate() {
            // A few words in each place, all of them within every few places: it stays quick.
            for word in (0..5).map(|n| odd[(at * 5 + n) % odd.len()]) {
                let changed = format!("{}{word}{}", &text[..span.start], &text[span.end..]);
                let Ok(changed) = Source::from_text("odd.yaml", &changed) else { continue };
                if let Err(mistakes) = lower(&changed) {
                    assert!(!mistakes.is_empty());
                    let starts: Vec<usize> = mistakes.iter().map(|m| m.labels[0].0.start).collect();
                    assert!(starts.is_sorted(), "{}", told(&changed.text, &mistakes));
                    told(&changed.text, &mistakes);
                }
            }
        }
    }
}

#[test]
fn a_battery_of_eighty_milliohms_is_read_in_ohms_with_its_tolerance() {
    let file =
        concat!(env!("CARGO_MANIFEST_DIR"), "/tests/fixtures/reading/clean-linkage-and-estimates.yaml");
    let setup = lower(&Source::load(file).unwrap()).unwrap();
    let of = |index: usize| setup.batteries[index].resistance.clone().unwrap();
    assert_eq!((of(0).value.0, of(0).off.0), (Exact::ratio(8, 100), Exact::ratio(2, 100)));
    assert_eq!((of(1).value.0, of(1).off.0), (Exact::ratio(1, 10), Exact::ZERO));
    let conductivity = setup.boat.conductivity.unwrap();
    assert_eq!((conductivity.value.0, conductivity.off.0), (Exact::int(300), Exact::int(60)));
}

#[test]
fn a_list_of_effects_says_what_effects_and_also_say() {
    let boat = include_str!("../fixtures/clean/grebe.yaml");
    let apart = "effects: {longer: drives ahead, shorter: drives astern}, also: {longer: turns right, shorter: turns left}";
    let listed = "effects: {longer: [drives ahead, turns right], shorter: [drives astern, turns left]}";
    assert!(boat.contains(apart));
    let [apart, listed] = [boat.to_owned(), boat.replace(apart, listed)].map(|text| crate::help::read(&text));
    for (one, other) in apart.devices.iter().zip(&listed.devices) {
        assert_eq!(one.effects, other.effects, "{}", one.name);
        assert_eq!(one.facts.also, other.facts.also, "{}", one.name);
    }
    assert!(apart.devices.iter().any(|d| !d.facts.also[0].is_empty()));
}
