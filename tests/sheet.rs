//! The bench sheet, from boat file to pages.

use lidcard::document::labels::Labels;
use lidcard::document::sheet::BenchSheet;
use lidcard::document::{Document, Job, Paper, Request};
use lidcard::fingerprint::{Code, pack};
use lidcard::language;
use lidcard::render::{Item, MM_PER_POINT, SMALLEST_TEXT, Scene, Text, font};
use lidcard::rule;
use lidcard::source::Source;

fn boats() -> Vec<String> {
    let folder = std::fs::read_dir("boats").expect("boats");
    let mut files: Vec<String> = folder.map(|f| f.expect("file").path().display().to_string()).collect();
    files.sort();
    files
}

fn sheet_of(file: &str, request: &Request) -> Scene {
    sheet_of_text(file, &std::fs::read_to_string(file).expect("readable"), request)
}

fn sheet_of_text(name: &str, text: &str, request: &Request) -> Scene {
    let source = Source::from_text(name, text).expect("YAML");
    let setup = lidcard::setup::lower::lower(&source).expect("understood");
    let findings = rule::check(&setup);
    let (code, packed) = (Code::of(&source), pack(&source));
    let job = Job { setup: &setup, findings: &findings, code, packed: &packed };
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
    for file in boats() {
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
fn the_sheet_sets_a_blank_transmitter_up_again() {
    let said = said(&sheet_of("boats/moonfish.yaml", &Request::default()));
    for words in [
        "stern override",
        "right stick",
        "55 % gentle",
        "100 % full",
        "sub-trim −3 %, expo 20 %",
        "mix +12 % of helm at agility full",
        "trim up to ± 20 %",
        "scales the travel",
        // Endpoint 53 % of 400 us beyond the rest of 1500 us.
        "1712 µs",
        "unit: blow for 10 s: switches on pump, opens gas",
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
fn a_range_stands_where_nobody_knows_how_the_set_does_its_sums() {
    let text = std::fs::read_to_string("boats/sprat.yaml").expect("readable");
    let text = text.replace("name: rudder, control: helm,", "name: rudder, control: helm, rate: 110 %,");
    let said = said(&sheet_of_text("sprat", &text, &Request::default()));
    // 1500 us and 90 % of 400 us, scaled whether or not 110 % is cut off, and clamped.
    assert!(said.contains("1860–1896 µs"), "{said}");
    for line in ["not known, every possibility is proved", "A quarter of the full travel: it scales."] {
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

#[test]
fn a_table_that_goes_on_over_the_page_repeats_its_head() {
    let scene = sheet_of("boats/moonfish.yaml", &Request::default());
    let mut seen = 0;
    for page in &scene.pages {
        let lines = texts(&page.items);
        let first_test = lines.iter().position(|t| {
            t.text.split_once('.').is_some_and(|(a, b)| {
                a.len() == 1 && !b.is_empty() && (a.to_owned() + b).bytes().all(|c| c.is_ascii_digit())
            })
        });
        if let Some(first) = first_test {
            seen += 1;
            assert!(lines[..first].iter().any(|t| t.text == "expected pulse"), "{:?}", lines[first].text);
        }
    }
    assert!(seen > 1, "the tests fill one page only");
}

#[test]
fn no_text_is_small_or_leaves_the_margins() {
    let large = "tests/fixtures/sheet/sixteen-channels.yaml".to_owned();
    for file in boats().into_iter().chain([large]) {
        for (paper, (_, language)) in [Paper::A4, Paper::Letter].into_iter().zip(language::ALL.iter().cycle())
        {
            let labels = Some(Labels::of(*language).expect("labels"));
            let scene = sheet_of(&file, &Request { on: Some(paper), labels, ..Request::default() });
            for text in scene.pages.iter().flat_map(|page| texts(&page.items)) {
                assert!(text.size >= SMALLEST_TEXT, "{text:?}");
                let right = text.x + font::width(&text.text, text.size, text.weight).expect("width");
                let [width, height] = paper.size_mm();
                let inside = text.x >= 13.9 && right <= width - 13.9;
                assert!(inside, "{file}: {text:?} ends at {right}");
                assert!(text.y > 14.0 && text.y + 0.2 * text.size * MM_PER_POINT < height - 13.0, "{text:?}");
            }
        }
    }
}

#[test]
fn a_draft_is_marked_on_every_page() {
    let request = Request { draft: true, ..Request::default() };
    let scene = sheet_of("tests/fixtures/mistakes/blow-reaches-gas.yaml", &request);
    assert!(scene.title.contains("NOT CHECKED"));
    for page in &scene.pages {
        let across = texts(&page.items).into_iter().any(|t| t.text == "NOT CHECKED" && t.outline.is_some());
        assert!(across);
    }
    assert!(said(&scene).contains("Open findings"));
}

#[test]
fn a_german_sheet_is_german() {
    let german = language::ALL.iter().find(|(name, _)| *name == "de").expect("German").1;
    let labels = Some(Labels::of(german).expect("labels"));
    let said = said(&sheet_of("boats/moonfish.yaml", &Request { labels, ..Request::default() }));
    for words in ["Prüfblatt", "Endpunkte", "Notgasventil", "Lageregler", "Signal weg, Stufe blow", "vor gas"]
    {
        assert!(said.contains(words), "{words}");
    }
    for words in ["endpoint", "short of", "link lost", "expected pulse"] {
        assert!(!said.contains(words), "{words}");
    }
}

#[test]
fn the_outline_names_every_axis_and_every_group_of_tests() {
    let scene = sheet_of("boats/moonfish.yaml", &Request::default());
    let titles: Vec<&str> = scene.pages.iter().flat_map(|p| &p.headings).map(|h| h.title.as_str()).collect();
    for title in
        ["tank servo", "Causes and effects", "What is proved", "Lost link, with a stopwatch", "Signed"]
    {
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
fn an_endpoint_named_by_its_pulse_stands_on_the_side_that_it_limits() {
    // Capstan's rudder is reversed and her set names endpoints by the pulse: the 92 % of starboard cut
    // the longer side, where port lies.
    let scene = sheet_of("boats/capstan.yaml", &Request::default());
    let lines: Vec<&Text> = scene.pages.iter().flat_map(|page| texts(&page.items)).collect();
    let x = |start: &str| lines.iter().find(|t| t.text.starts_with(start)).map(|t| t.x).expect("a line");
    assert!(x("port 88 %, safe") < x("starboard 92 %, safe"));
}

#[test]
fn the_fail_safe_in_time_is_drawn_where_the_file_tells_enough_and_says_that_it_is_an_estimate() {
    let moonfish = said(&sheet_of("boats/moonfish.yaml", &Request::default()));
    for words in
        ["The fail-safe in time", "An estimate; a tethered test in shallow water decides.", "worst case"]
    {
        assert!(moonfish.contains(words), "`{words}` is missing");
    }
    assert!(!said(&sheet_of("boats/sprat.yaml", &Request::default())).contains("The fail-safe in time"));
    let text = std::fs::read_to_string("boats/moonfish.yaml").expect("readable");
    let without = text.replace("  weight: 8.4 kg", "  # weight: not known");
    assert!(without != text);
    let sheet = sheet_of_text("moonfish.yaml", &without, &Request::default());
    assert!(!said(&sheet).contains("The fail-safe in time"));
}
