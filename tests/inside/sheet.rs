//! The bench sheet, from boat file to pages.

use crate::help::files_in;
use lidcard::document::labels::Labels;
use lidcard::document::sheet::BenchSheet;
use lidcard::document::{Document, Job, Paper, Request};
use lidcard::fingerprint::{Code, pack};
use lidcard::language;
use lidcard::render::{Item, MM_PER_POINT, SMALLEST_TEXT, Scene, Segment, Text, Weight, font};
use lidcard::rule;
use lidcard::source::Source;

fn sheet_of(file: &str, request: &Request) -> Scene {
    sheet_of_text(file, &std::fs::read_to_string(file).expect("readable"), request)
}

fn sheet_of_text(name: &str, text: &str, request: &Request) -> Scene {
    let source = Source::from_text(name, text).expect("YAML");
    let setup = lidcard::setup::lower::lower(&source).expect("understood");
    let judged = rule::judge(&setup);
    let (code, packed) = (Code::of(&source), pack(&source));
    let job = Job {
        setup: &setup,
        findings: &judged.verdict.findings,
        code,
        packed: &packed,
        lost: None,
        emergency: &judged.emergency,
        windows: &judged.windows,
    };
    BenchSheet.scene(&job, request).expect("a sheet")
}

fn texts(items: &[Item]) -> Vec<&Text> {
    items.iter().filter_map(|item| if let Item::Text(text) = item { Some(text) } else { None }).collect()
}

fn said(scene: &Scene) -> String {
    let lines = scene.pages.iter().flat_map(|page| texts(&page.items)).map(|text| text.text.as_str());
    lines.collect::<Vec<_>>().join(" ")
}

#[test]
fn every_page_says_which_set_up_it_is_of_and_where_it_belongs() {
    for file in files_in("boats") {
        let source = Source::load(&file).expect("readable");
        let code = Code::of(&source).to_string();
        for paper in [Paper::A4, Paper::Letter] {
            let scene = sheet_of(&file, &Request { on: Some(paper), ..Request::default() });
            for (n, page) in scene.pages.iter().enumerate() {
                let [width, height] = paper.size_mm();
                assert!((page.width - width).abs() + (page.height - height).abs() < 1e-9);
                let lines: Vec<&str> = texts(&page.items).iter().map(|t| t.text.as_str()).collect();
                let number = format!("{}/{}", n + 1, scene.pages.len());
                assert!(lines.contains(&number.as_str()), "{file}: page {number}");
                let imprint = |l: &&str| l.contains(" · ") && l.contains(&code) && l.contains("rev. ");
                assert!(lines.iter().any(imprint), "{file}: page {number} lacks the code");
            }
        }
    }
}

#[test]
fn a_screw_is_held_by_no_hand_and_an_output_with_something_on_it_is_not_spare() {
    let of = |file: &str| said(&sheet_of(file, &Request::default())).replace('\u{a0}', " ");
    let moonfish = of("boats/moonfish.yaml");
    assert!(moonfish.contains("never in the hand") && !moonfish.contains("hold its arm"), "{moonfish}");
    let gadwall = of("tests/fixtures/clean/gadwall.yaml");
    assert!(
        !gadwall.contains("nothing is plugged in") && gadwall.contains("hang in again: lead"),
        "{gadwall}"
    );
}

#[test]
fn the_sheet_sets_a_blank_transmitter_up_again() {
    let said = said(&sheet_of("boats/moonfish.yaml", &Request::default()));
    for words in [
        "stern override",
        "right stick",
        "55 % gentle",
        "100 % full",
        "−3 % 1488 µs left: port",
        "mix +12 % of helm at agility full, starboard gives dive, without its trim",
        "trim locked at nought",
        "channels 3, 4 run through it; watches for missing pulses; waits 3 s; acts on main below 6.6 V",
        "6 cells, NiMH, 4.2 Ah, fuse 10 A",
        "trim up to ± 20 %",
        "scales the travel",
        // Endpoint 53 % of 400 us beyond the rest of 1500 us.
        "1712 µs",
        "unit: blow for 14 s: switches on pump, opens gas",
        // +104 % of 400 us.
        "1916 µs",
    ] {
        assert!(said.contains(words), "`{words}` is missing from:\n{said}");
    }
}

#[test]
fn the_axis_shows_the_room_that_the_rules_proved() {
    let file = "boats/moonfish.yaml";
    let setup = lidcard::setup::lower::lower(&Source::load(file).expect("readable")).expect("understood");
    let found = rule::check(&setup);
    let gas = found.iter().find(|f| f.rule == "emergency-within-reach").expect("the rule on gas");
    let margin = gas.margin.as_ref().expect("a margin").axis.clone();
    let percent = (margin * lidcard::setup::Exact::int(100)).to_decimal(1);
    let said = said(&sheet_of(file, &Request::default()));
    assert!(said.contains(&format!("{percent} % short of gas")), "{said}");
}

#[test]
fn behind_a_guard_the_reach_has_a_lane_of_its_own() {
    let tug = fixed(&said(&sheet_of("boats/capstan.yaml", &Request::default())));
    assert!(tug.contains("with guard armed"), "{tug}");
    // 25 % of 90 % ends at 22.5 %; what servo and pulse are off by stays 30.5 % short of the hook.
    assert!(tug.contains("30.5 % short of tow") && tug.contains("9.5 % past tow"), "{tug}");
    let lanes = |file: &str| {
        let scene = sheet_of(file, &Request::default());
        let texts = scene.pages.iter().flat_map(|page| texts(&page.items).into_iter().cloned());
        texts.filter(|t| t.text.starts_with("with ") && t.weight == Weight::Bold).count()
    };
    assert_eq!((lanes("boats/capstan.yaml"), lanes("boats/moonfish.yaml")), (1, 0));
}

#[test]
fn a_mix_is_measured_on_the_channel_that_it_moves_and_a_rate_with_each_way() {
    let moonfish = fixed(&said(&sheet_of("boats/moonfish.yaml", &Request::default())));
    // 12 % of full helm, through an endpoint of 85 %, is 41 us of 400 us.
    let mixed = moonfish.matches("channel 2, bow planes: 1538–1543 µs").count();
    assert_eq!(mixed, 1, "{moonfish}");
    assert!(!moonfish.contains("agility (top left): set"), "{moonfish}");
}

#[test]
fn a_switch_that_no_way_is_tried_under_is_tried_by_itself() {
    let text = std::fs::read_to_string("boats/moonfish.yaml").expect("readable");
    let text = text
        .replace(
            "  agility: {at",
            "  link: {at: top right, kind: switch, settings: [apart, joined]}\n  agility: {at",
        )
        .replace("when: {agility: full}", "when: {link: joined}");
    let said = fixed(&said(&sheet_of_text("linked.yaml", &text, &Request::default())));
    assert!(said.contains("link (top right): set joined: +12 % of helm to bow planes"), "{said}");
    assert!(!said.contains("agility (top left): set"), "{said}");
}

#[test]
fn the_first_page_says_what_the_check_came_to() {
    let first = |file: &str, draft: bool| {
        let scene = sheet_of(file, &Request { draft, ..Request::default() });
        texts(&scene.pages[0].items).iter().map(|t| t.text.as_str()).collect::<Vec<_>>().join(" ")
    };
    assert!(first("boats/moonfish.yaml", false).contains("Checked, nothing found: "));
    let accepted = first("tests/fixtures/accepted/blow-reaches-gas.yaml", false);
    assert!(accepted.contains("nothing found but what is accepted on the bench sheet"), "{accepted}");
    let failed = first("tests/fixtures/mistakes/blow-reaches-gas.yaml", true);
    assert!(failed.contains("CHECK FAILED") && !failed.contains("Checked"), "{failed}");
    let draft = first("boats/moonfish.yaml", true);
    assert!(draft.contains("A DRAFT, not a passed check") && !draft.contains("Checked"), "{draft}");
}

#[test]
fn a_range_stands_where_nobody_knows_how_the_set_does_its_sums() {
    let text = std::fs::read_to_string("boats/sprat.yaml").expect("readable");
    let text = text.replace("name: rudder, control: helm,", "name: rudder, control: helm, rate: 110 %,");
    let said = said(&sheet_of_text("sprat", &text, &Request::default()));
    // 1500 us and 90 % of 400 us, scaled whether or not 110 % is cut off, and clamped.
    assert!(said.contains("1860–1896 µs"), "{said}");
    for line in ["not known, every possibility is proved", "5.1–5.6 are on the measuring form"] {
        assert!(said.contains(line), "{line}");
    }
}

#[test]
fn tests_of_the_sense_come_before_all_that_rests_on_it_and_only_where_nobody_measured() {
    let text = std::fs::read_to_string("boats/sprat.yaml").expect("readable");
    let unmeasured = text.replace("control: tank, longer: blow,", "control: tank,");
    assert_ne!(text, unmeasured);
    let before = said(&sheet_of_text("sprat", &text, &Request::default()));
    let after = said(&sheet_of_text("sprat", &unmeasured, &Request::default()));
    let title = "Which way the pulse goes";
    assert!(!before.contains(title));
    let (sense, ways) = (after.find(title).expect("a test"), after.find("Each way of each control"));
    assert!(sense < ways.expect("ways"));
}

#[test]
fn gas_comes_out_first_and_a_boat_without_gas_has_no_word_of_it() {
    let with = said(&sheet_of("boats/moonfish.yaml", &Request::default()));
    let first = with.find("1.1 Take the gas bottle out").expect("gas out first");
    assert!(first < with.find("1.2 Take the propellers off").expect("propellers"));
    let without = said(&sheet_of("boats/capstan.yaml", &Request::default()));
    assert!(!without.to_lowercase().contains("gas bottle") && !without.contains("Gas under pressure"));
    assert!(without.contains("Unload or unhook everything"));
}

#[test]
fn what_is_accepted_stands_with_its_reason_and_what_is_open_is_told() {
    let scene = sheet_of("tests/fixtures/accepted/blow-reaches-gas.yaml", &Request::default());
    let said = said(&scene);
    let accepted = said.find("accepted because").expect("the table of what is accepted");
    assert!(said[accepted..].contains("the owner wants the gas at hand"), "{said}");
    let clean = self::said(&sheet_of("boats/moonfish.yaml", &Request::default()));
    assert!(!clean.contains("Accepted findings") && !clean.contains("Open findings"));
}

fn with_annex() -> Request {
    Request { annex: true, ..Request::default() }
}

#[test]
fn what_is_only_looked_up_comes_when_asked_for() {
    let (bare, with) = (
        sheet_of("boats/moonfish.yaml", &Request::default()),
        sheet_of("boats/moonfish.yaml", &with_annex()),
    );
    let (bare_words, words) = (said(&bare), said(&with));
    for title in ["Causes and effects", "What is proved", "The fail-safe in time", "Current and endurance"] {
        assert!(!bare_words.contains(title) && words.contains(title), "{title}");
    }
    // The sheet itself is the same in both, page by page.
    assert!(bare.pages.len() < with.pages.len());
    for (one, other) in bare.pages.iter().zip(&with.pages) {
        let lines = |items: &[Item]| {
            let texts = texts(items);
            texts.iter().map(|t| t.text.clone()).filter(|t| !t.contains('/')).collect::<Vec<_>>()
        };
        assert_eq!(lines(&one.items), lines(&other.items));
    }
}

#[test]
fn all_that_is_dialled_in_stands_on_the_first_page_and_nothing_is_longer_than_it_has_to_be() {
    for (file, most) in [("boats/moonfish.yaml", 4), ("boats/sprat.yaml", 2), ("boats/capstan.yaml", 3)] {
        let request = Request { certificate: Some("0".repeat(64)), ..Request::default() };
        for (_, language) in language::ALL {
            let labels = Some(Labels::of(*language));
            let scene = sheet_of(file, &Request { labels, ..request.clone() });
            assert!(scene.pages.len() <= most, "{file}, {}: {} pages", language.name, scene.pages.len());
        }
        let scene = sheet_of(file, &request);
        let first: Vec<&str> = scene.pages[0].headings.iter().map(|h| h.title.as_str()).collect();
        for title in ["Settings of the transmitter", "Mixes and trims", "Lost signal", "Batteries"] {
            assert!(first.contains(&title), "{file}: {title} is not in {first:?}");
        }
    }
}

#[test]
fn what_is_dialled_into_a_unit_is_printed_where_the_file_says_it() {
    let text = std::fs::read_to_string("boats/moonfish.yaml").expect("readable");
    let dialled = text
        .replace("  leak: yes", "  leak: yes\n  dialled: {menu 3: 8 s}")
        .replace("    role: override", "    role: override\n    dialled: {gain: \"4\", mode: level only}");
    assert_ne!(text, dialled);
    let before = said(&sheet_of_text("moonfish.yaml", &text, &Request::default()));
    let after = said(&sheet_of_text("moonfish.yaml", &dialled, &Request::default()));
    for words in ["acts on a leak; menu 3: 8 s", "leveller gain: 4; mode: level only"] {
        assert!(after.contains(words) && !before.contains(words), "{words}");
    }
}

#[test]
fn only_what_works_something_by_its_travel_is_drawn_to_scale() {
    let scene = sheet_of("boats/moonfish.yaml", &Request::default());
    let said = fixed(&said(&scene));
    assert_eq!(said.matches("margins").count(), 1, "{said}");
    // What is safe stands beside what is dialled, best where something is worked.
    for row in
        ["left: port 95 % 1–112 %", "right: starboard 90 % 1–118 %", "upper: blow 53 % 45–65 %, best 55 %"]
    {
        assert!(said.contains(row), "`{row}` is missing from {said}");
    }
}

/// Boxes to write in on all pages: rectangles without a fill, wider than a box to tick.
fn boxes(scene: &Scene) -> usize {
    let items = scene.pages.iter().flat_map(|page| &page.items);
    let high = |path: &lidcard::render::Path| {
        let ends = path.segments.iter().map(|segment| match segment {
            Segment::Line([_, y]) | Segment::Curve(_, _, [_, y]) => (y - path.start[1]).abs(),
        });
        ends.fold(0.0, f64::max)
    };
    items
        .filter(|item| matches!(item, Item::Path(p) if p.line == Some(0.2) && p.closed && high(p) > 3.0))
        .count()
}

#[test]
fn a_point_has_five_boxes_and_every_pulse_one_of_its_own() {
    let text = std::fs::read_to_string("boats/moonfish.yaml").expect("readable");
    let more = boxes(&sheet_of_text("moonfish.yaml", &text, &Request::default()));
    let lets_go = text.replace("releases: where it engages", "releases: +70 % ± 2 %");
    assert_ne!(text, lets_go);
    // Where the gas valve lets go is then crept up to as well, five times.
    assert_eq!(boxes(&sheet_of_text("moonfish.yaml", &lets_go, &Request::default())) - more, 5);
    let unmixed = text.replace("    mixes:\n      - {add: 12 %, of: helm, when: {agility: full}}", "    #");
    assert_ne!(text, unmixed);
    // The bow planes are read with helm hard over either way, each on a row of its own.
    assert_eq!(more - boxes(&sheet_of_text("moonfish.yaml", &unmixed, &Request::default())), 2);
}

#[test]
fn what_no_stick_reaches_is_crept_up_to_with_a_tester_and_the_set_is_tried_again() {
    let moonfish = fixed(&said(&sheet_of("boats/moonfish.yaml", &Request::default())));
    for words in [
        "gas (tank servo): no stick reaches it. Servo tester instead of channel 4, ballast",
        "its lead back on channel 4, ballast; tests 3.4, 4.9, 4.10 once more.",
    ] {
        assert!(moonfish.contains(words), "`{words}` is missing from {moonfish}");
    }
    assert!(moonfish.contains("pump (tank servo): creep from rest to the longer side until it engages."));
    let sprat = said(&sheet_of("boats/sprat.yaml", &Request::default()));
    assert!(!sprat.to_lowercase().contains("tester"));
}

#[test]
fn a_test_that_must_not_open_gas_says_so_and_one_that_means_to_does_not() {
    let said = fixed(&said(&sheet_of("boats/moonfish.yaml", &Request::default())));
    for words in [
        "tank servo engages nothing – throughout: gas shut",
        "switches on pump – throughout: gas shut",
        "unit: rest, until she hears the transmitter again – throughout: gas shut",
    ] {
        assert!(said.contains(words), "`{words}` is missing from {said}");
    }
    assert!(!said.contains("opens gas – throughout"), "{said}");
    let sprat = self::said(&sheet_of("boats/sprat.yaml", &Request::default()));
    assert!(!sprat.contains("throughout"));
}

#[test]
fn a_table_that_goes_on_over_the_page_repeats_its_head() {
    let scene = sheet_of("tests/fixtures/sheet/sixteen-channels.yaml", &with_annex());
    let proved = |page: &&lidcard::render::Page| texts(&page.items).iter().any(|t| t.text == "proved");
    let heads = scene.pages.iter().filter(proved).count();
    assert!(heads > 1, "what is proved fills one page only");
}

#[test]
fn no_text_is_small_or_leaves_the_margins() {
    let large = ["tests/fixtures/sheet/sixteen-channels.yaml", FITTED].map(str::to_owned);
    for file in files_in("boats").into_iter().chain(large) {
        for (paper, (_, language)) in [Paper::A4, Paper::Letter].into_iter().zip(language::ALL.iter().cycle())
        {
            let labels = Some(Labels::of(*language));
            let scene = sheet_of(&file, &Request { on: Some(paper), labels, ..Request::default() });
            for text in scene.pages.iter().flat_map(|page| texts(&page.items)) {
                assert!(text.size >= SMALLEST_TEXT, "{text:?}");
                let right = text.x + font::width(&text.text, text.size, text.weight).expect("width");
                let [width, height] = paper.size_mm();
                let inside = text.x >= 13.9 && right <= width - 13.9;
                assert!(inside, "{file}: {text:?} ends at {right}");
                // Holes are punched at the sides (ISO 838: 12 mm in); above and below a printer's edge is clear.
                assert!(text.y > 10.0 && text.y + 0.2 * text.size * MM_PER_POINT < height - 9.0, "{text:?}");
            }
        }
    }
}

#[test]
fn a_draft_is_marked_on_every_page() {
    let request = Request { draft: true, ..Request::default() };
    let scene = sheet_of("tests/fixtures/mistakes/blow-reaches-gas.yaml", &request);
    assert!(scene.title.contains("CHECK FAILED"));
    for page in &scene.pages {
        let across = texts(&page.items).into_iter().any(|t| t.text == "CHECK FAILED" && t.outline.is_some());
        assert!(across);
    }
    let said = said(&scene);
    assert!(said.contains("Open findings"));
    assert!(said.contains("CHECK FAILED: the controls can reach gas (tank servo)"), "{said}");
}

#[test]
fn a_german_sheet_is_german() {
    let german = language::ALL.iter().find(|(name, _)| *name == "de").expect("German").1;
    let labels = Some(Labels::of(german));
    let said = said(&sheet_of("boats/moonfish.yaml", &Request { labels, ..with_annex() }));
    for words in
        ["Prüfblatt", "Endpunkte", "Notgasventil", "Lageregler", "Signalverlust, Stufe blow", "vor gas"]
    {
        assert!(said.contains(words), "{words}");
    }
    for words in ["endpoint", "short of", "lost for good", "expected"] {
        assert!(!said.contains(words), "{words}");
    }
}

#[test]
fn the_outline_names_every_axis_and_every_group_of_tests() {
    let scene = sheet_of("boats/moonfish.yaml", &with_annex());
    let titles: Vec<&str> = scene.pages.iter().flat_map(|p| &p.headings).map(|h| h.title.as_str()).collect();
    for title in [
        "The axes",
        "Devices that are not drawn",
        "Causes and effects",
        "What is proved",
        "Lost signal, with a stopwatch",
        "Signed",
    ] {
        assert!(titles.contains(&title), "{title} is not in {titles:?}");
    }
}

#[test]
fn the_codes_are_large_enough_to_photograph() {
    let scene = sheet_of("boats/moonfish.yaml", &Request::default());
    let codes = scene.pages.iter().flat_map(|page| &page.items).filter_map(|item| match item {
        Item::Squares(squares) => Some(squares.side / squares.count as f64),
        _ => None,
    });
    let squares: Vec<f64> = codes.collect();
    assert!(squares.len() >= 2 && squares.iter().all(|side| *side >= 0.5), "{squares:?}");
}

#[test]
fn an_endpoint_named_by_its_pulse_stands_beside_the_way_that_it_limits() {
    // Capstan's rudder is reversed and her set names endpoints by the pulse: the 92 % called starboard cut
    // the longer side, where port lies: 1520 us and 92 % of 400 us.
    let said = fixed(&said(&sheet_of("boats/capstan.yaml", &Request::default())));
    for row in [
        "left: port 92 %, named starboard 3–109 % 100 % 0 % 1888 µs",
        "right: starboard 88 %, named port 1–109 % 100 % 1176 µs",
    ] {
        assert!(said.contains(row), "`{row}` is missing from {said}");
    }
    assert!(!fixed(&self::said(&sheet_of("boats/moonfish.yaml", &Request::default()))).contains("named"));
}

#[test]
fn what_a_servo_moves_by_a_rod_stands_below_its_axis_in_both_languages() {
    let file = "tests/fixtures/clean/plover.yaml";
    let english = said(&sheet_of(file, &Request::default()));
    // `lidcard endpoints` gives 28.33 to 34.12 degrees; rounded outwards.
    for words in ["Lever, from where it stands at 0 %", "port 28.3° to 34.2°", "rise 5.4 mm to 6.3 mm"] {
        assert!(english.replace('\u{a0}', " ").contains(words), "{words}");
    }
    assert!(english.contains("turn each servo with a rod by its horn"));
    assert!(
        !said(&sheet_of("boats/sprat.yaml", &Request::default())).contains("by its horn, from end to end")
    );
    let german = language::ALL.iter().find(|(name, _)| *name == "de").expect("German").1;
    let labels = Some(Labels::of(german));
    let german = said(&sheet_of(file, &Request { labels, ..Request::default() })).replace('\u{a0}', " ");
    assert!(german.contains("28,3° bis 34,2°") && !german.contains("from where it stands"));
}

const FITTED: &str = "tests/fixtures/sheet/fully-fitted.yaml";

/// What each fact beyond the channels adds to the tests: the key under which the file gives it, and what
/// is to be done and expected.
const CARRIED: &[(&str, &[&str])] = &[
    ("power: ", &["Plug (under the deck): out and in three times."]),
    ("snorkel: ", &["Snorkel: blow through it, lift the float", "Snorkel held under, then let up again"]),
    ("aerial: ", &["Follow the aerial: along the port side of the sail."]),
    ("leak_test: ", &["Leak test (tube behind the sail)"]),
    ("couplings: ", &["Join: air tube.", "Join: plug of the bow servo.", "Join again: air tube, plug of"]),
    ("closing: ", &["Close in this order: battery hatch.", "Close in this order: deck."]),
    ("lights:", &["Bring it about: she hears you.", "Light: red, blinking"]),
    // 8.4 kg and 50 g; 15 g and 20 g; 600 mL and 20 mL; 12 g and 1 g.
    ("weight: ", &["Weigh her on dry land", "8.35–8.45 kg"]),
    ("heavy: ", &["all of her under fresh water", "−5 g to 35 g"]),
    // (600 - 20) mL at 4.6 L/min: 7.6 s. (600 + 20) mL at 85 % of 3.8 L/min, which is what is left of 4 at
    // 0.02 bar, and half a second: 12.02 s.
    ("volume: ", &["Weigh her ashore", "580–620 mL", "empty the full tank at the surface", "7–13 s"]),
    ("charge: ", &["Weigh the bottle empty and filled.", "11–13 g"]),
    ("hole: ", &["gauge the narrowest hole", "0.5 mm"]),
    ("starts_in: ", &["pump (tank servo): stopwatch from the switch", "0.5 s"]),
    ("duty: ", &["pump (tank servo): run it as long as it may", "at most 90 s"]),
    ("current: ", &["pump (tank servo): ammeter in its lead", "2.4 A"]),
    ("stall: ", &["rudder servo: ammeter in its lead", "0.9 A"]),
    ("takes: ", &["rudder servo: from one end to the other", "0.3 s"]),
    ("supply: ", &["Ammeter in the receiver's supply", "at most 4 A"]),
    ("browns_out: ", &["Voltmeter on her battery", "above 5.2 V"]),
    ("floats_when_stopped: ", &["Just under, driving ahead: stop the motor."]),
];

/// The boat without what stands behind a key: up to the comma, bracket or line that ends it.
fn without(text: &str, key: &str) -> String {
    let mut kept = String::new();
    let mut lines = text.lines().peekable();
    while let Some(line) = lines.next() {
        let begins = |at: &usize| !line[..*at].ends_with(|c: char| c.is_alphanumeric() || c == '_');
        let Some(at) = line.find(key).filter(begins) else {
            kept.push_str(line);
            kept.push('\n');
            continue;
        };
        let indent = line.len() - line.trim_start().len();
        if at == indent {
            while lines.peek().is_some_and(|next| next.len() - next.trim_start().len() > indent) {
                lines.next();
            }
            continue;
        }
        let rest = &line[at..];
        let end = rest.find(", ").map(|comma| comma + 2).or_else(|| rest.find('}'));
        kept.push_str(&line[..at]);
        kept.push_str(&rest[end.expect("an end")..]);
        kept.push('\n');
    }
    assert_ne!(kept.trim_end(), text.trim_end(), "{key} is not in the file");
    kept
}

fn fixed(text: &str) -> String {
    text.replace('\u{a0}', " ")
}

#[test]
fn whatever_she_carries_has_its_tests_and_what_she_does_not_carry_has_none() {
    let text = std::fs::read_to_string(FITTED).expect("readable");
    let with = fixed(&said(&sheet_of_text(FITTED, &text, &Request::default())));
    for (key, tests) in CARRIED {
        let bare = fixed(&said(&sheet_of_text(FITTED, &without(&text, key), &Request::default())));
        for test in *tests {
            assert!(with.contains(test), "`{test}` is missing from:\n{with}");
            assert!(!bare.contains(test), "`{test}` is still there without {key}");
        }
    }
}

#[test]
fn a_tank_of_unknown_volume_has_its_pump_measured_by_the_minute() {
    let text = without(&std::fs::read_to_string(FITTED).expect("readable"), "volume: ");
    let said = fixed(&said(&sheet_of_text(FITTED, &text, &Request::default())));
    // 4 L/min and 15 % of it.
    assert!(said.contains("measure what it moves in a minute") && said.contains("3.4–4.6 L/min"), "{said}");
}

#[test]
fn spare_channels_and_outputs_without_one_are_looked_at_and_only_where_there_are_any() {
    let text = std::fs::read_to_string(FITTED).expect("readable");
    let words = "Outputs of the receiver that this sheet does not name";
    let said = |text: &str| self::said(&sheet_of_text(FITTED, text, &Request::default()));
    assert!(said(&text).contains(&format!("{words}: 5, 7, 8.")));
    assert!(said(&text).contains("spare: nothing is plugged in"));
    let lines = text.lines().filter(|line| !line.contains("slide"));
    let bare = said(&lines.collect::<Vec<_>>().join("\n"));
    assert!(bare.contains(&format!("{words}: 5, 6, 7, 8.")) && !bare.contains("spare: nothing"));
    // Four channels, and all four in use.
    let sprat = std::fs::read_to_string("boats/sprat.yaml").expect("readable");
    assert!(!said(&sprat).contains(words));
}

#[test]
fn what_can_hurt_comes_on_board_last() {
    let said = said(&sheet_of(FITTED, &Request::default()));
    let order = [
        "Take the gas bottle out",
        "Take the propellers off",
        "Join: air tube.",
        "Transmitter on",
        "Plug (under the deck)",
        "Lost signal, with a stopwatch",
        "Indicator lights",
        "What no boat file can show",
        "Close in this order: battery hatch.",
        "Leak test",
        "propellers on.",
        "On the scales and in the tub",
        "Gas, last of all",
        "Fit the bottle",
    ];
    let places: Vec<usize> = order.iter().map(|words| said.find(words).expect(words)).collect();
    assert!(places.is_sorted(), "{places:?}");
    let dry = self::said(&sheet_of("boats/capstan.yaml", &Request::default()));
    for words in
        ["Gas, last of all", "On the scales", "Leak test", "Indicator lights", "What the servos draw"]
    {
        assert!(!dry.contains(words), "{words}");
    }
}

#[test]
fn the_fail_safe_in_time_is_drawn_where_the_file_tells_enough_and_says_that_it_is_an_estimate() {
    let moonfish = said(&sheet_of("boats/moonfish.yaml", &with_annex()));
    for words in
        ["The fail-safe in time", "An estimate; a tethered test in shallow water decides.", "worst case"]
    {
        assert!(moonfish.contains(words), "`{words}` is missing");
    }
    // 2.499 m at worst, 0.499 m beyond 2 m: a dive that ends at 1.501 m stays within.
    let beyond = "beyond her limit of 2 m: her hull has to stand it, or every dive has to end at 1.5 m";
    assert!(fixed(&moonfish).contains(beyond), "{moonfish}");
    assert!(!said(&sheet_of("boats/sprat.yaml", &with_annex())).contains("The fail-safe in time"));
    let text = std::fs::read_to_string("boats/moonfish.yaml").expect("readable");
    let light = text.replace("heavy: 15 g ± 10 g", "heavy: -30 g").replace("  dives_at: 0.05 m/s", "  #");
    let light = said(&sheet_of_text("moonfish.yaml", &light, &with_annex()));
    assert!(light.contains("The fail-safe in time") && !light.contains("beyond her limit"));
    let without = text.replace("  weight: 8.4 kg", "  # weight: not known");
    assert!(without != text);
    let sheet = sheet_of_text("moonfish.yaml", &without, &with_annex());
    assert!(!said(&sheet).contains("The fail-safe in time"));
}
