//! Recordings written here, edge by edge.

use super::{Heard, Kind, SECOND, Stream, US, csv, vcd};

/// Levels of one line: for each, how long in microseconds.
fn dump(runs: &[(u64, bool)]) -> String {
    let mut text = "$timescale 1 us $end\n$scope module top $end\n$var wire 1 ! D0 $end\n$upscope $end\n\
                    $enddefinitions $end\n#0\n$dumpvars\n0!\n$end\n"
        .to_owned();
    let mut now = 0;
    for (long, high) in runs {
        text.push_str(&format!("#{now} {}!\n", u8::from(*high)));
        now += long;
    }
    text.push_str(&format!("#{now}\n"));
    text
}

fn hear(runs: &[(u64, bool)]) -> Heard {
    vcd::read(&mut dump(runs).as_bytes()).unwrap()
}

fn pulses(widths: impl IntoIterator<Item = u64>) -> Vec<(u64, bool)> {
    widths.into_iter().flat_map(|width| [(width, true), (20_000 - width, false)]).collect()
}

fn channel(heard: &Heard) -> &Stream {
    let Kind::Channel(stream) = &heard.lines[0].kind else { panic!("{heard:?}") };
    stream
}

#[test]
fn two_places_of_a_stick_are_two_spans_and_what_lies_between_is_none() {
    let moved = (0..10).map(|n| 1500 + n * 20);
    let heard = hear(&pulses([1500; 50].into_iter().chain(moved).chain([1701; 40])));
    let spans: Vec<_> = channel(&heard).steady.iter().map(|s| (s.mean() / US, s.pulses)).collect();
    assert_eq!(spans.len(), 2, "{spans:?}");
    assert!((1500, 50) <= spans[0] && spans[0] <= (1502, 51) && spans[1] == (1701, 40), "{spans:?}");
    assert_eq!((channel(&heard).strays, channel(&heard).missing), (0, 0));
    assert_eq!(channel(&heard).frame / US / 1000, 20);
}

#[test]
fn a_glitch_a_stray_a_missing_pulse_and_silence_are_told_apart() {
    let mut runs = pulses([1500; 30]);
    // In the middle of a pulse 2 us low, and a spike of 1 us between two.
    runs.extend([(700, true), (2, false), (798, true), (9_000, false), (1, true), (9_499, false)]);
    runs.extend(pulses([1500; 20]));
    runs.extend(pulses([1900]));
    runs.extend(pulses([1500; 20]));
    runs.push((20_000, false));
    runs.extend(pulses([1500; 20]));
    runs.push((300_000, false));
    runs.extend(pulses([1500; 20]));
    let heard = hear(&runs);
    let found = channel(&heard);
    assert_eq!(heard.lines[0].glitches, 2);
    assert_eq!((found.strays, found.missing, found.silent.len()), (1, 1, 1), "{found:?}");
    assert!(found.steady.iter().all(|span| span.mean() == 1500 * US));
}

#[test]
fn a_train_has_its_channels() {
    // Marks of 300 us; frames of 22.5 ms.
    let frame = |widths: [u64; 3]| {
        let mut runs: Vec<(u64, bool)> =
            widths.iter().flat_map(|w| [(300, true), (w - 300, false)]).collect();
        runs.extend([(300, true), (22_500 - widths.iter().sum::<u64>() - 300, false)]);
        runs
    };
    for upside_down in [false, true] {
        let runs: Vec<_> = (0..40).flat_map(|_| frame([1000, 1500, 2000])).collect();
        let runs: Vec<_> = runs.into_iter().map(|(long, high)| (long, high != upside_down)).collect();
        let heard = hear(&runs);
        let Kind::Train(channels) = &heard.lines[0].kind else { panic!("{heard:?}") };
        let means: Vec<_> = channels.iter().map(|c| c.steady[0].mean() / US).collect();
        assert_eq!(means, [1000, 1500, 2000]);
        assert!(channels.iter().all(|c| c.frame / US / 100 == 225));
    }
}

#[test]
fn a_serial_bus_is_said_to_be_one_and_noise_is_noise() {
    // 100000 baud: 10 us a bit; packets of 25 bytes of 0x55 each 14 ms.
    let byte: Vec<(u64, bool)> = (0..10).map(|n| (10, n % 2 == 1)).collect();
    let mut packet: Vec<_> = (0..25).flat_map(|_| byte.clone()).collect();
    packet.extend([(11_500, true)]);
    let heard = hear(&(0..30).flat_map(|_| packet.clone()).collect::<Vec<_>>());
    let Kind::Serial { bit, packet } = heard.lines[0].kind else { panic!("{heard:?}") };
    assert_eq!((bit / US, packet / US / 1000), (10, 14));
    // A fixed row of numbers without order (a multiplicative congruence).
    let mut x: u64 = 7;
    let noise: Vec<_> = (0..2000)
        .map(|n| {
            x = x * 48271 % 2_147_483_647;
            (100 + x % 7000, n % 2 == 0)
        })
        .collect();
    assert_eq!(hear(&noise).lines[0].kind, Kind::Noise);
    assert_eq!(hear(&[(500_000, false), (500_000, true)]).lines[0].kind, Kind::Switch);
    assert_eq!(hear(&[(500_000, false)]).lines[0].kind, Kind::Quiet(false));
}

#[test]
fn a_table_says_the_same_as_a_dump() {
    let runs = pulses([1500; 40]);
    let mut table = "Time [us], D0\n-5, 0\n".to_owned();
    let mut now = 0;
    for (long, high) in &runs {
        table.push_str(&format!("{now}, {}\n", if *high { "3.3" } else { "0.0" }));
        now += long;
    }
    table.push_str(&format!("{now}, 0\n"));
    let heard = csv::read(&mut table.as_bytes()).unwrap();
    let of = |heard: &Heard| channel(heard).steady.iter().map(|s| (s.mean(), s.pulses)).collect::<Vec<_>>();
    assert_eq!(of(&heard), of(&hear(&runs)));
    assert_eq!(heard.length, SECOND * 8 / 10 + 5 * US);
}

#[test]
fn what_is_no_recording_is_told_with_its_line() {
    let whole = dump(&pulses([1500; 3]));
    for (spoilt, line, why) in [
        (whole.replace("$timescale 1 us $end\n", ""), 4, "`$timescale` is missing"),
        (whole.replace("1 us", "3 us"), 1, "no timescale"),
        (whole.replace("0!\n$end", "0?\n$end"), 8, "no variable has the code `?`"),
        (whole.replace("#20000 1!", "#1 1!"), 12, "time goes back to #1"),
        (whole.replace("#20000 1!", "hello"), 12, "neither a time nor a change"),
        (whole.replace("#20000 1!", "#2x"), 12, "no time"),
        (String::new(), 1, "the header has no end"),
    ] {
        let refused = vcd::read(&mut spoilt.as_bytes()).unwrap_err();
        assert!(refused.why.contains(why), "{refused:?}");
        assert_eq!(refused.line, line, "{refused:?}");
    }
    for (text, line) in
        [("", 1), ("a,b\n1,2,3,4\n", 2), ("a,b\nx,1\n", 2), ("0,1\n1,hello\n", 2), ("1,1\n0,1\n", 2)]
    {
        assert_eq!(csv::read(&mut text.as_bytes()).unwrap_err().line, line, "{text}");
    }
}
