//! The lid card, from set-up to file.

use crate::help::boat;
use lidcard::document::DocumentError;
use lidcard::document::card::Card;
use lidcard::document::{Document, Job, Request};
use lidcard::fingerprint::Code;
use lidcard::render::pdf::{Meta, to_pdf};
use lidcard::render::png::to_png;
use lidcard::render::svg::to_svg;
use lidcard::render::{Item, Scene};
use lidcard::rule::Context;
use lidcard::rule::emergency::steps;
use lidcard::setup::{EmergencyLine, Setup};
use lidcard_pixels::{Grey, Limits, grey};

#[test]
fn a_boat_that_does_not_dive_has_no_word_of_surfacing() {
    let said = texts(&card(&tug(), &sized(105.0, 148.0)).expect("card"));
    assert!(!said.contains("SURFACE") && said.contains("boat first, then the transmitter"), "{said}");
    for words in [
        "monitor lift: raises (up)",
        "lets tow go (with guard armed)",
        "works water",
        "motor stops",
        "turns left",
    ] {
        let said = said.replace('\n', " ");
        assert!(said.contains(words), "`{words}` is missing from:\n{said}");
    }
}

fn card(setup: &Setup, request: &Request) -> Result<Scene, DocumentError> {
    let code = Code::read("0000-0000").expect("a code");
    Card.scene(
        &Job { setup, findings: &[], code, packed: &[], lost: None, emergency: &steps(&Context::new(setup)) },
        request,
    )
}

fn meta() -> Meta {
    Meta { date: Some("2026-05-02".into()), ..Meta::default() }
}

fn moonfish() -> Setup {
    boat("tests/fixtures/example.yaml")
}

fn tug() -> Setup {
    boat("boats/capstan.yaml")
}

fn sized(width: f64, height: f64) -> Request {
    Request { size_mm: Some([width, height]), ..Request::default() }
}

fn texts(scene: &Scene) -> String {
    let items = scene.pages.iter().flat_map(|p| &p.items);
    let lines = items.filter_map(|item| if let Item::Text(t) = item { Some(t.text.as_str()) } else { None });
    lines.collect::<Vec<_>>().join("\n")
}

#[test]
fn the_same_card_is_the_same_file() {
    let make = || to_pdf(&card(&moonfish(), &Request::default()).expect("card"), &meta()).expect("PDF");
    let (one, two) = (make(), make());
    assert!(one == two, "two runs gave different bytes");
    assert!(one.len() < 40_000, "{} bytes", one.len());
    assert!(one.starts_with(b"%PDF-1.7"));
}

#[test]
fn a_page_has_the_size_that_was_asked_for() {
    for (width, height) in [(105.0, 74.0), (105.0, 148.0), (148.0, 105.0), (210.0, 297.0)] {
        let scene = card(&moonfish(), &sized(width, height)).expect("card");
        let file = lopdf::Document::load_mem(&to_pdf(&scene, &meta()).expect("PDF")).expect("a PDF");
        for page in file.page_iter() {
            let page = file.get_dictionary(page).expect("page");
            let media = page.get(b"MediaBox").and_then(lopdf::Object::as_array).expect("box");
            let mm = |n: usize| f64::from(media[n].as_float().expect("number")) * 25.4 / 72.0;
            assert!((mm(2) - width).abs() < 0.01 && (mm(3) - height).abs() < 0.01, "{} x {}", mm(2), mm(3));
        }
    }
}

#[test]
fn the_card_says_what_the_holder_has_to_know() {
    let said = texts(&card(&moonfish(), &sized(105.0, 148.0)).expect("card"));
    for words in [
        "Moonfish",
        "memory 4 MOONFISH",
        "LB-014",
        "rev. B",
        "2026-05-02",
        "TO SURFACE IN AN EMERGENCY",
        "hold blow until she is up",
        "turns left",
        "turns right",
        "bow dips (dive)",
        "drives astern",
        "flood",
        "opens vent",
        "after 5 s",
        "blow for 14 s",
        "after 19 s",
        "6.6 V",
        "40.685 MHz",
        "starboard 90 %",
        "\u{2212}3 %",
        "yes",
        "Gas under pressure",
        "the boat first, never under water",
        "stern override",
    ] {
        assert!(said.contains(words), "`{words}` is missing from:\n{said}");
    }
    assert!(!said.contains("NOT CHECKED"));
}

#[test]
fn an_emergency_that_nobody_described_is_read_off_the_fail_safe_unit() {
    let mut setup = moonfish();
    setup.owner.emergency.clear();
    let said = texts(&card(&setup, &Request::default()).expect("card"));
    assert!(said.contains("1 Hold REAR LEFT, UPPER until she is up"), "{said}");
    assert!(said.contains("2 Not up: transmitter OFF"), "{said}");
    assert!(said.contains("3 Leave OFF until she is up."), "{said}");
    setup.fail_safe = None;
    let said = texts(&card(&setup, &Request::default()).expect("card"));
    assert!(said.contains("Without signal nothing is sure to bring her up."), "{said}");
    for channel in &mut setup.channels {
        channel.wants.iter_mut().for_each(Vec::clear);
    }
    let said = texts(&card(&setup, &Request::default()).expect("card"));
    assert!(said.contains("None fitted"), "{said}");
}

#[test]
fn an_emergency_names_the_guard_that_its_way_needs() {
    let text = std::fs::read_to_string("boats/moonfish.yaml").expect("readable");
    let guarded = text
        .replace(
            "wants: {flood: vent, blow: pump}",
            "wants: {flood: vent, blow: {work: pump, needs: {agility: full}}}",
        )
        .replace("    - {hold: tank.blow, until: up}\n", "")
        .replace("    - {switch_off: transmitter, until: up}\n", "")
        .replace("  emergency: ", "  # ");
    let source = lidcard::source::Source::from_text("guarded.yaml", &guarded).expect("readable");
    let setup = lidcard::setup::lower::lower(&source).expect("understood");
    let said = texts(&card(&setup, &Request::default()).expect("card")).replace('\n', " ");
    assert!(
        said.contains("TOP LEFT (agility) to “full”, then: Hold REAR LEFT, UPPER until she is up"),
        "{said}"
    );
}

#[test]
fn gas_that_a_stage_surely_opens_is_told_though_the_file_names_only_the_pump() {
    let mut setup = boat("boats/moonfish.yaml");
    let stage = |setup: &Setup| texts(&card(setup, &Request::default()).expect("card")).replace('\n', " ");
    let works = &mut setup.fail_safe.as_mut().expect("a unit").stages[0].works;
    works.retain(|work| work.work == 1);
    assert!(stage(&setup).contains("blow for 14 s: switches on pump, opens gas"), "{}", stage(&setup));
    setup.fail_safe.as_mut().expect("a unit").stages[0].set[1].1 = lidcard::setup::Exact::ratio(1, 2);
    assert!(!stage(&setup).contains("opens gas"), "{}", stage(&setup));
}

#[test]
fn the_place_of_what_the_owner_names_in_an_emergency_stands_beside_it_once() {
    let with = |line: &str| {
        let mut setup = moonfish();
        setup.owner.emergency = vec![EmergencyLine::Text(line.to_owned())];
        texts(&card(&setup, &Request::default()).expect("card")).replace('\n', " ")
    };
    assert!(with("blow! then wait").contains("blow! then wait (blow: rear left, upper)"));
    assert!(with("rear left: blow").contains("rear left: blow"));
    for named_nowhere in ["blowing takes a while", "pull the rope"] {
        let said = with(named_nowhere);
        assert!(said.contains(named_nowhere) && !said.contains("(blow: "), "{said}");
    }
}

#[test]
fn where_a_dive_has_to_end_stands_by_the_depth_limit_where_a_loss_takes_her_beyond_it() {
    let limit = |setup: &Setup, size: [f64; 2]| texts(&card(setup, &sized(size[0], size[1])).expect("card"));
    let mut setup = boat("boats/moonfish.yaml");
    let said = |text: String| text.replace(['\u{a0}', '\n'], " ");
    assert!(said(limit(&setup, [105.0, 148.0])).contains("2 m; end dives at 1.5 m"));
    assert!(said(limit(&setup, [85.0, 54.0])).contains("dive to 1.5 m, limit 2 m"));
    let mut deep = boat("boats/moonfish.yaml");
    deep.boat.depth_limit.as_mut().expect("a limit").0 = lidcard::setup::Exact::ratio(2, 5);
    deep.hull.dives_at.as_mut().expect("a speed").0 = lidcard::setup::Exact::ratio(3, 10);
    for size in [[105.0, 148.0], [85.0, 54.0]] {
        let said = said(limit(&deep, size));
        assert!(said.contains("do not dive; limit 0.4 m"), "{said}");
    }
    setup.hull.weight = None;
    for size in [[105.0, 148.0], [85.0, 54.0]] {
        let said = said(limit(&setup, size));
        assert!(said.contains("not deeper than") && !said.contains("1.5 m"), "{said}");
    }
}

#[test]
fn a_preset_that_surely_runs_the_pump_is_told_though_the_file_does_not_name_it() {
    let readme = std::fs::read_to_string("README.md").expect("README");
    let yaml = readme.split("```yaml\n").nth(1).and_then(|rest| rest.split("```").next()).expect("a boat");
    let said = |yaml: &str| {
        let source = lidcard::source::Source::from_text("pond.yaml", yaml).expect("readable");
        let setup = lidcard::setup::lower::lower(&source).expect("understood");
        texts(&card(&setup, &Request::default()).expect("card")).replace(['\u{a0}', '\n'], " ")
    };
    let on = said(yaml);
    assert!(on.contains("Not up: transmitter OFF"), "{on}");
    assert!(on.contains("switches on pump, rudder 0 %, motor stops"), "{on}");
    // 3 % nearer to rest the worn switch may stay open, and nothing is promised.
    let off = said(&yaml.replace("3: +70 %", "3: +48 %"));
    assert!(off.contains("Without signal nothing is sure to bring her up."), "{off}");
    assert!(!off.contains("transmitter OFF"), "{off}");
}

#[test]
fn no_text_is_smaller_than_seven_points_and_none_leaves_the_page() {
    for size in [None, Some([105.0, 148.0]), Some([210.0, 297.0])] {
        let scene = card(&moonfish(), &Request { size_mm: size, ..Request::default() }).expect("card");
        for page in &scene.pages {
            for item in &page.items {
                let Item::Text(text) = item else { continue };
                assert!(text.size >= 7.0, "{text:?}");
                assert!(text.x >= 0.0 && text.y <= page.height, "{text:?}");
            }
        }
    }
}

#[test]
fn a_draft_says_so_across_every_page() {
    let request = Request { draft: true, ..Request::default() };
    let scene = card(&moonfish(), &request).expect("card");
    assert_eq!(scene.pages.len(), 2);
    assert!(scene.title.starts_with("DRAFT - NOT CHECKED"));
    for page in &scene.pages {
        let across =
            |item: &&Item| matches!(item, Item::Text(t) if t.text == "NOT CHECKED" && t.outline.is_some());
        assert_eq!(page.items.iter().filter(across).count(), 1);
    }
    assert!(to_svg(&scene).expect("SVG").iter().all(|page| page.contains(">NOT CHECKED</text>")));
}

#[test]
fn a_template_of_ones_own_cannot_leave_the_draft_mark_out() {
    let text = "title: t\npage: {width: {{ width }}, height: {{ height }}, margin: 4}\nblocks: []\n";
    let template = Some(("own.tera".to_owned(), text.to_owned()));
    let request = Request { draft: true, template, ..Request::default() };
    // A boat without a word of caution: of any other the template would have to print it.
    let code = Code::read("0000-0000").expect("a code");
    let newt = tug();
    let job = Job { setup: &newt, findings: &[], code, packed: &[], lost: None, emergency: &[] };
    let said = texts(&Card.scene(&job, &request).expect("card"));
    assert_eq!(said, "NOT CHECKED");
    let error = card(&moonfish(), &request).expect_err("a caution left out").to_string();
    assert!(error.contains("leaves out a caution"), "{error}");
}

#[test]
fn a_mistake_in_a_template_is_placed() {
    let own = |text: &str| {
        let request =
            Request { template: Some(("own.tera".to_owned(), text.to_owned())), ..Request::default() };
        card(&moonfish(), &request).expect_err("a mistake").to_string()
    };
    assert!(own("title: {{ boat | json }}\n  {{ captain }}\n").starts_with("own.tera:2:6: "));
    let yaml = "title: t\npage: {width: 105, height: 74, margin: 4, colour: 1}\n";
    assert!(own(yaml).starts_with("own.tera:2:1: "), "{}", own(yaml));
    let small = "title: t\npage: {width: 105, height: 74, margin: 4}\nblocks: [{name: n, parts: [{words: {text: w, size: 5}}]}]\n";
    assert!(own(small).contains("nothing below 7 pt"), "{}", own(small));
}

/// The least that stands between a text and the edge of a small card, in millimetres.
const EDGE: f64 = 2.0;

#[test]
fn the_boats_fit_every_usual_lid_on_two_sides_with_the_emergency_large_enough() {
    for file in ["boats/moonfish.yaml", "boats/sprat.yaml", "boats/capstan.yaml"] {
        for (width, height) in [(85.0, 54.0), (150.0, 50.0), (105.0, 74.0)] {
            let setup = boat(file);
            let scene = card(&setup, &sized(width, height)).expect(file);
            let emergency = match file {
                "boats/moonfish.yaml" => "s: transmitter OFF",
                "boats/sprat.yaml" => "1 Hold LEFT STICK, RIGHT until she is up",
                _ => "1 LEFT STICK to the middle",
            };
            let emergency = [emergency.to_owned()];
            assert!(scene.pages.len() <= 2, "{file} on {width} x {height}");
            for page in &scene.pages {
                for item in &page.items {
                    let Item::Text(text) = item else { continue };
                    // A line of the emergency or, where it breaks, a part of one; a single word, and a place, may be
                    // another's.
                    let part = |line: &String| {
                        text.text.contains(' ')
                            && text.text != "rear left"
                            && text.text != "LEFT STICK"
                            && line.contains(&text.text)
                    };
                    let urgent = emergency.iter().any(part);
                    assert!(text.size >= if urgent { 8.0 } else { 7.0 }, "{file}: {text:?}");
                    assert!(text.x >= EDGE && text.y <= height - EDGE, "{file}: {text:?}");
                }
            }
            let front = &scene.pages[0];
            let said = texts(&Scene { title: String::new(), pages: vec![front.clone()] }).replace('\n', " ");
            for line in &emergency {
                assert!(said.contains(line), "{file}: `{line}` is not on the front:\n{said}");
            }
            // The smallest has the sticks on its back where the steps leave them no room.
            let sticks = said.contains("LEFT STICK") && said.contains("turns left");
            assert!(sticks || width < 100.0, "{file}: {said}");
        }
    }
}

#[test]
fn a_control_on_the_rear_stands_above_its_stick_on_the_front() {
    for (width, height) in [(105.0, 74.0), (150.0, 50.0), (105.0, 148.0)] {
        let scene = card(&boat("boats/moonfish.yaml"), &sized(width, height)).expect("card");
        let place = |words: &str| {
            let found = scene.pages[0].items.iter().find_map(|item| match item {
                Item::Text(t) if t.text == words => Some((t.x, t.y)),
                _ => None,
            });
            found.unwrap_or_else(|| panic!("`{words}` is not on the front at {width} x {height}"))
        };
        for (control, stick) in [("rear left", "drives ahead"), ("rear right", "bow dips (dive)")] {
            let ((left, top), (middle, below)) = (place(control), place(stick));
            assert!(left < middle + 20.0 && top < below, "{control} at {width} x {height}");
        }
        assert!(place("rear left").0 < width / 2.0 && place("rear right").0 > width / 2.0 - 4.0);
    }
}

#[test]
fn percentages_of_switches_go_first_and_the_card_says_where_they_are() {
    let said = |width, height| {
        let scene = card(&boat("boats/moonfish.yaml"), &sized(width, height)).expect("card");
        texts(&scene).replace('\n', " ")
    };
    let (large, small) = (said(105.0, 148.0), said(85.0, 54.0));
    assert!(large.contains("rudder at 55 %") && !large.contains("bench sheet"), "{large}");
    assert!(!small.contains("55 %") && small.contains("gentle, full"), "{small}");
    assert!(small.contains("all settings: bench sheet"), "{small}");
}

#[test]
fn what_does_not_fit_is_named_with_the_sizes_that_hold_it() {
    let error = card(&moonfish(), &sized(74.0, 52.0)).expect_err("too small");
    let DocumentError::DoesNotFit { what, fits_in } = error else { panic!("{error}") };
    assert!(!what.is_empty());
    assert!(fits_in.iter().any(|s| s.contains("A6")), "{fits_in:?}");
    let mut setup = moonfish();
    setup.boat.name = "Unpronounceable".repeat(12);
    let error = card(&setup, &Request::default()).expect_err("too wide").to_string();
    assert!(error.contains("Unpronounceable"), "{error}");
}

#[test]
fn a_character_the_fonts_lack_is_named() {
    let mut setup = moonfish();
    setup.boat.name = "Moon\u{9b5a}".into();
    let error = card(&setup, &Request::default()).expect_err("no glyph");
    assert_eq!(error, DocumentError::Glyph { character: '\u{9b5a}', text: "Moon\u{9b5a}".into() });
}

#[test]
fn every_picture_shows_something() {
    let scene = card(&moonfish(), &Request::default()).expect("card");
    for page in to_svg(&scene).expect("SVG") {
        assert!(page.contains("width=\"105mm\" height=\"74mm\""));
        assert!(page.contains(">Moonfish</text>") && page.contains("@font-face"));
    }
    // Text that silently vanished would leave only a few lines and boxes: count the ink with and without it.
    let ink = |scene: &Scene| -> Vec<usize> {
        let limits = Limits { side: 2000, pixels: 4_000_000, memory: 16_000_000 };
        let decode = |png: &Vec<u8>| grey(png, &limits).expect("PNG");
        let dark = |picture: Grey| picture.bytes().iter().filter(|level| **level < 128).count();
        to_png(scene, 150.0).expect("PNG").iter().map(decode).map(dark).collect()
    };
    let mut silent = scene.clone();
    for page in &mut silent.pages {
        page.items.retain(|item| matches!(item, Item::Path(_)));
    }
    for (with, without) in ink(&scene).into_iter().zip(ink(&silent)) {
        assert!(with > without + 5000, "{with} against {without}");
    }
}

#[test]
fn only_the_line_of_a_stick_that_stays_is_said_to_stay() {
    let said = texts(&card(&boat("boats/sprat.yaml"), &Request::default()).expect("card")).replace('\n', " ");
    assert!(said.contains("up/down stays where left"), "{said}");
    let said = texts(&card(&moonfish(), &Request::default()).expect("card")).replace('\n', " ");
    assert!(said.contains("stays where left") && !said.contains("up/down"), "{said}");
}
