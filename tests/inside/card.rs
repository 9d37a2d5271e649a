//! The lid card, from set-up to file.

use crate::help::{boat, files_in};
use lidcard::document::DocumentError;
use lidcard::document::card::Card;
use lidcard::document::workshop::Workshop;
use lidcard::document::{Document, Job, Request};
use lidcard::fingerprint::Code;
use lidcard::render::pdf::{Meta, to_pdf};
use lidcard::render::png::to_png;
use lidcard::render::svg::to_svg;
use lidcard::render::{Item, Scene};
use lidcard::rule::emergency::steps;
use lidcard::rule::{Engine, Windows};
use lidcard::setup::{EmergencyLine, Setup};
use lidcard_pixels::{Grey, Limits, grey};
use std::collections::BTreeSet;
use std::path::Path;

#[test]
fn a_boat_that_does_not_dive_has_no_word_of_surfacing() {
    let said = texts(&card(&tug(), &sized(105.0, 148.0)).expect("card")).replace('\n', " ");
    assert!(!said.contains("SURFACE") && said.contains("boat first, then the transmitter"), "{said}");
    for words in [
        "monitor lift: RAISE",
        "LET GO TOW (with guard ARMED)",
        "dry / spray (WATER)",
        "all off, the others stay as they were",
        "LEFT",
    ] {
        assert!(said.contains(words), "`{words}` is missing from:\n{said}");
    }
}

#[test]
fn a_model_that_is_no_boat_has_no_word_of_water_on_its_card() {
    let rover = boat("tests/fixtures/clean/beetle.yaml");
    let said = texts(&card(&rover, &Request::default()).expect("card")).to_lowercase();
    assert!(said.contains("alarms") && !said.contains("leak"), "{said}");
    let tug = texts(&card(&tug(), &Request::default()).expect("card")).to_lowercase();
    assert!(tug.contains("leak"), "{tug}");
}

fn card(setup: &Setup, request: &Request) -> Result<Scene, DocumentError> {
    let code = Code::read("0000-0000").expect("a code");
    Card.scene(
        &Job {
            setup,
            findings: &[],
            code,
            packed: &[],
            lost: None,
            emergency: &steps(&Engine::new(setup)),
            windows: &Windows::default(),
        },
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
    let said = texts(&card(&moonfish(), &sized(105.0, 148.0)).expect("card")).replace('\n', " ");
    for words in [
        "Moonfish",
        "memory 4 MOONFISH",
        "LB-014",
        "rev. B",
        "2026-05-02",
        "TO SURFACE IN AN EMERGENCY",
        "hold blow until she is up",
        "LEFT",
        "RIGHT",
        "BOW DOWN",
        "ASTERN",
        "FILL TANK",
        "after 1 s",
        "5 s",
        "switches on pump, opens gas, motor stops",
        "19 s",
        "all off, until she hears you",
        "6.6 V",
        "You lose motor, ballast; you keep rudder",
        "No motor: fetch her.",
        "40.685 MHz",
        "starboard 90 %",
        "\u{2212}3 %",
        "yes",
        "Gas under pressure",
        "boat first, or she opens gas; never under water",
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
    let said = |setup: &Setup| texts(&card(setup, &Request::default()).expect("card")).replace('\n', " ");
    let all = said(&setup);
    assert!(all.contains("1 Hold REAR LEFT, UPPER until she is up"), "{all}");
    assert!(all.contains("2 Not up: transmitter OFF"), "{all}");
    assert!(all.contains("3 Leave OFF until she is up."), "{all}");
    setup.fail_safe = None;
    let all = said(&setup);
    assert!(all.contains("Without signal nothing is sure to bring her up."), "{all}");
    for channel in &mut setup.channels {
        channel.wants.iter_mut().for_each(Vec::clear);
    }
    let said = said(&setup);
    assert!(said.contains("Nothing on board is sure to bring her up"), "{said}");
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
    assert!(stage(&setup).contains("4 s switches on pump, opens gas"), "{}", stage(&setup));
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
fn one_depth_is_told_the_lower_of_her_limit_and_of_where_a_dive_has_to_end() {
    let limit = |setup: &Setup, size: [f64; 2]| texts(&card(setup, &sized(size[0], size[1])).expect("card"));
    let mut setup = boat("boats/moonfish.yaml");
    let said = |text: String| text.replace(['\u{a0}', '\n'], " ");
    let mut deep = boat("boats/moonfish.yaml");
    deep.boat.depth_limit.as_mut().expect("a limit").0 = lidcard::setup::Exact::ratio(2, 5);
    deep.hull.dives_at.as_mut().expect("a speed").0 = lidcard::setup::Exact::ratio(3, 10);
    let known = setup.clone();
    setup.hull.weight = None;
    for size in [[105.0, 148.0], [85.0, 54.0]] {
        // Her limit is 2 m: the lower of the two is the one to remember.
        let one = said(limit(&known, size));
        assert!(one.contains("not deeper than 1.5 m") && !one.contains("2 m"), "{one}");
        let never = said(limit(&deep, size));
        assert!(never.contains("do not dive") && !never.contains("not deeper than"), "{never}");
        let unknown = said(limit(&setup, size));
        assert!(unknown.contains("not deeper than 2 m") && !unknown.contains("1.5 m"), "{unknown}");
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
    assert!(on.contains("after 1 s switches on pump, motor stops"), "{on}");
    // 3 % nearer to rest the worn switch may stay open, and nothing is promised.
    let off = said(&yaml.replace("3: +70 %", "3: +48 %"));
    assert!(off.contains("Without signal nothing is sure to bring her up."), "{off}");
    assert!(!off.contains("transmitter OFF"), "{off}");
}

/// What a preset moves is not among what stays: a piston that lifts her, a motor that runs on, a plane that is set.
#[test]
fn what_a_preset_moves_is_told_and_is_not_among_what_stays() {
    let said = |file: &str| texts(&card(&boat(file), &Request::default()).expect("card")).replace('\n', " ");
    let piston = said("tests/fixtures/clean/coot.yaml");
    assert!(piston.contains("piston: empties"), "{piston}");
    let planes = said("tests/fixtures/clean/gadwall.yaml");
    assert!(planes.contains("bow planes: bow rises"), "{planes}");
    let astern = said("tests/fixtures/mistakes/preset-full-astern.yaml");
    assert!(astern.contains("motor: drives astern"), "{astern}");
    let still = said("boats/sprat.yaml");
    assert!(!still.contains("motor: ") && !still.contains("to the middle"), "{still}");
    let text = std::fs::read_to_string("tests/fixtures/clean/coot.yaml").expect("readable");
    // A hair past the place where she hangs level nobody knows whether it lifts her.
    let near = text.replace("3: +80 %", "3: -8 %");
    assert_ne!(near, text);
    let near = said_of(&near);
    let unknown = text.replace("on_loss: {2: 0 %, 3: +80 %, others: hold}, ", "");
    assert_ne!(unknown, text);
    let unknown = said_of(&unknown);
    assert!(unknown.contains("what the receiver does is not known"), "{unknown}");
    assert!(!unknown.contains("not known; nothing on board acts"), "{unknown}");
    assert!(near.contains("piston where it is set") && !near.contains("piston: empties,"), "{near}");
}

/// Of one that floats up by herself and has no motor in her file nobody is asked to stop it.
#[test]
fn a_motor_is_stopped_where_there_is_one() {
    let bare = std::fs::read_to_string("tests/fixtures/clean/tern.yaml").expect("readable");
    let said = said_of(&bare);
    assert!(said.contains("Let go of the sticks: she floats up") && !said.contains("motor"), "{said}");
    // Its band is so narrow that no hand is sure to stop it.
    let motor = bare
        .replace(
            "channels:\n",
            "  speed: {at: left stick, ways: {towards: astern, away: ahead}, trim: locked, wants: {ahead: drives ahead, astern: drives astern}}\nchannels:\n  3: {name: motor, control: speed, longer: ahead}\n",
        )
        .replace(
            "devices:\n",
            "devices:\n  motor: {kind: speed controller, channel: 3, accuracy: 2 %, still_between: [-1 %, +1 %], effects: {longer: drives ahead, shorter: drives astern}}\n",
        );
    let said = said_of(&motor);
    assert!(said.contains("Stop the motor and let go of the sticks: she floats up"), "{said}");
}

fn said_of(yaml: &str) -> String {
    let source = lidcard::source::Source::from_text("boat.yaml", yaml).expect("readable");
    let setup = lidcard::setup::lower::lower(&source).expect("understood");
    texts(&card(&setup, &Request::default()).expect("card")).replace(['\u{a0}', '\n'], " ")
}

fn changed(file: &str, from: &str, to: &str) -> String {
    let text = std::fs::read_to_string(file).expect("readable");
    assert!(text.contains(from), "{from}");
    text.replace(from, to)
}

/// The engine's steps stop motors; a boat under steam, or a crane, is stopped by what a lost signal does.
#[test]
fn where_a_lost_signal_alone_leaves_all_at_rest_the_card_asks_for_that() {
    let skerry = "tests/fixtures/clean/skerry.yaml";
    let off = said_of(&changed(skerry, "3: 0 %}", "3: 0 %}, after: 1 s"));
    assert!(off.contains("1 Transmitter OFF: after 1 s all off 2 Leave OFF until"), "{off}");
    // Nobody has taken the time.
    let off = said_of(&changed(skerry, "Skerry", "Skerry"));
    assert!(off.contains("1 Transmitter OFF 2 Leave OFF until"), "{off}");
    for (from, to) in [("{1: -60 %, 2: 0 %, 3: 0 %}", "hold"), ("{1: -60 %,", "{1: +60 %,")] {
        let on = said_of(&changed(skerry, from, to));
        assert!(!on.contains("Transmitter OFF"), "{on}");
    }
}

#[test]
fn not_all_is_off_while_a_lamp_goes_on_as_it_was() {
    let beetle = "tests/fixtures/clean/beetle.yaml";
    let before = said_of(&changed(beetle, "others: hold", "4: -100 %, others: hold"));
    let after = said_of(&changed(beetle, "others: hold", "others: hold"));
    assert!(before.contains("all off, the others stay"), "{before}");
    assert!(!after.contains("all off") && after.contains("winch stops"), "{after}");
}

/// What no line of the file asks for still comes of a transmitter that is switched off.
#[test]
fn a_boat_that_comes_up_alone_is_not_said_to_stay_down_because_nobody_asks_for_it() {
    let off = "    - {switch_off: transmitter, until: up}\n";
    let said = said_of(&changed("boats/moonfish.yaml", off, ""));
    assert!(said.contains("until she is up") && !said.contains("OFF until"), "{said}");
    assert!(!said.contains("nothing is sure"), "{said}");
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

/// Paper for the bench is not turned over, and what is said on it can be read from where one stands.
#[test]
fn a_card_as_large_as_a_page_says_all_on_one_side_and_in_letters_that_use_it() {
    for file in ["boats/moonfish.yaml", "boats/sprat.yaml", "boats/capstan.yaml"] {
        for request in in_each_language() {
            let on = |size: [f64; 2]| {
                let request = Request { size_mm: Some(size), ..request.clone() };
                card(&boat(file), &request).expect(file)
            };
            let loudest = |scene: &Scene| {
                let texts = scene.pages.iter().flat_map(sized_texts);
                texts.map(|(_, size)| size).fold(0.0, f64::max)
            };
            let whole = on([210.0, 297.0]);
            assert_eq!(whole.pages.len(), 1, "{file}");
            assert!(loudest(&whole) >= 20.0, "{file}: {}", loudest(&whole));
            assert!(loudest(&on([210.0, 148.0])) >= 15.0, "{file}");
            assert!(texts(&whole).contains("Sub-Trim") || texts(&whole).contains("sub-trim"), "{file}");
            // In the hand it has two sides, and the table is on the back.
            let hand = on([148.0, 105.0]);
            assert_eq!(hand.pages.len(), 2, "{file}");
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
    let job = Job {
        setup: &newt,
        findings: &[],
        code,
        packed: &[],
        lost: None,
        emergency: &[],
        windows: &Windows::default(),
    };
    let said = texts(&Card.scene(&job, &request).expect("card"));
    assert_eq!(said, "NOT CHECKED");
    let error = card(&moonfish(), &request).expect_err("a caution left out").to_string();
    assert!(error.contains("leaves out a caution"), "{error}");
}

/// A workshop begins from the template: it has to make the card that is made without one.
#[test]
fn our_template_makes_the_card_that_is_made_without_it() {
    let shop = Workshop::read(Path::new("tests/fixtures/workshop")).expect("a workshop");
    let sizes = [[105.0, 74.0], [85.0, 54.0], [148.0, 105.0], [210.0, 297.0]];
    let files: Vec<String> = ["boats", "tests/fixtures/clean"].into_iter().flat_map(files_in).collect();
    let mut fronts = BTreeSet::new();
    for (n, file) in files.iter().enumerate() {
        let setup = boat(file);
        for (m, size) in sizes.into_iter().enumerate() {
            let [english, german] = in_each_language();
            let plain = Request {
                size_mm: Some(size),
                draft: (n + m) % 3 == 0,
                workshop: if (n + m) % 4 == 1 { shop.clone() } else { Workshop::default() },
                ..if (n + m) % 2 == 0 { english } else { german }
            };
            let text = include_str!("../../templates/card.tera").to_owned();
            let by_template = Request { template: Some(("card.tera".to_owned(), text)), ..plain.clone() };
            let made = [plain, by_template].map(|request| card(&setup, &request).map_err(|e| e.to_string()));
            assert!(made[0] == made[1], "{file} on {size:?}: {made:?}");
            fronts.insert(made[0].as_ref().map_or(0, |scene| scene.pages.len()));
        }
    }
    assert_eq!(fronts, BTreeSet::from([0, 1, 2]), "one side, two sides, and no room");
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
/// Points: the steps of the emergency, and what each way of a control does.
const LOUD: f64 = 12.0;
const HAND: f64 = 9.0;

/// The texts of a page, each with its size.
fn sized_texts(page: &lidcard::render::Page) -> Vec<(&str, f64)> {
    let text = |item: &'_ Item| matches!(item, Item::Text(_));
    let items = page.items.iter().filter(|item| text(item));
    items
        .filter_map(|item| if let Item::Text(t) = item { Some((t.text.as_str(), t.size)) } else { None })
        .collect()
}

fn in_each_language() -> [Request; 2] {
    let german = lidcard::document::labels::Labels::of(lidcard::language::ALL[1].1);
    [Request::default(), Request { labels: Some(german), ..Request::default() }]
}

#[test]
fn the_boats_fit_every_usual_lid_on_two_sides_in_letters_for_the_water() {
    for file in ["boats/moonfish.yaml", "boats/sprat.yaml", "boats/capstan.yaml"] {
        for (width, height) in [(85.0, 54.0), (150.0, 50.0), (105.0, 74.0)] {
            for request in in_each_language() {
                let setup = boat(file);
                let request = Request { size_mm: Some([width, height]), ..request };
                let scene = card(&setup, &request).expect(file);
                assert!(scene.pages.len() <= 2, "{file} on {width} x {height}");
                for page in &scene.pages {
                    for item in &page.items {
                        let Item::Text(text) = item else { continue };
                        assert!(text.size >= 7.0, "{file}: {text:?}");
                        assert!(text.x >= EDGE && text.y <= height - EDGE, "{file}: {text:?}");
                    }
                }
                let front = sized_texts(&scene.pages[0]);
                let steps = front.iter().filter(|(_, size)| *size >= LOUD);
                let steps: Vec<&str> = steps.map(|(text, _)| *text).collect();
                let said = steps.join(" ");
                for number in ["1", "2", "3"] {
                    assert!(steps.contains(&number), "{file}: no step {number} in {said}");
                }
                assert!(said.contains("OFF") || said.contains("AUS"), "{file}: {said}");
                // The largest of all is the emergency, and nothing else is so large.
                let name = front.iter().find(|(text, _)| text.starts_with(setup.boat.name.as_str()));
                assert!(name.is_some_and(|(_, size)| *size < LOUD), "{file}: {name:?}");
                // Wherever the controls are, each way has its word in letters for a wet hand.
                let pages = scene.pages.iter().flat_map(sized_texts);
                let large: Vec<&str> =
                    pages.filter(|(_, size)| *size >= HAND).map(|(text, _)| text).collect();
                for [en, de] in
                    [["LEFT", "LINKS"], ["RIGHT", "RECHTS"], ["AHEAD", "VORAUS"], ["ASTERN", "ZURÜCK"]]
                {
                    assert!(large.contains(&en) || large.contains(&de), "{file}: no {en} in {large:?}");
                }
                // No figure of the set on a front.
                assert!(front.iter().all(|(text, _)| !text.contains('%')), "{file}: {front:?}");
            }
        }
    }
}

#[test]
fn what_fits_a_card_fits_every_card_that_contains_it() {
    let sides = [54.0, 74.0, 79.0, 85.0, 119.0, 121.0, 179.0, 181.0];
    for file in ["boats/moonfish.yaml", "boats/sprat.yaml", "boats/capstan.yaml"] {
        let setup = boat(file);
        let fits = |width: f64, height: f64| card(&setup, &sized(width, height)).is_ok();
        let held: Vec<Vec<bool>> =
            sides.iter().map(|width| sides.iter().map(|height| fits(*width, *height)).collect()).collect();
        for (w, column) in held.iter().enumerate() {
            for (h, fits) in column.iter().enumerate() {
                let larger = [(w + 1, h), (w, h + 1)];
                for (w2, h2) in larger.into_iter().filter(|(w2, h2)| *w2 < sides.len() && *h2 < sides.len()) {
                    assert!(
                        !fits || held[w2][h2],
                        "{file} fits {} x {} and not {} x {}",
                        sides[w],
                        sides[h],
                        sides[w2],
                        sides[h2]
                    );
                }
            }
        }
        assert!(held.iter().flatten().any(|fits| !fits) && held.iter().flatten().any(|fits| *fits), "{file}");
    }
}

/// Where the words are on the front, and the solid shapes, as left, top, right and bottom.
fn find(scene: &Scene, words: &str) -> (f64, f64) {
    let items = scene.pages.iter().flat_map(|page| &page.items);
    let found = items.into_iter().find_map(|item| match item {
        Item::Text(t) if t.text == words => Some((t.x, t.y)),
        _ => None,
    });
    found.unwrap_or_else(|| panic!("`{words}` is not there:\n{}", texts(scene)))
}

#[test]
fn every_control_stands_where_the_hand_finds_it() {
    for (width, height) in [(105.0, 74.0), (150.0, 50.0), (85.0, 54.0)] {
        let scene = card(&boat("boats/moonfish.yaml"), &sized(width, height)).expect("card");
        let place = |words: &str| find(&scene, words);
        let middle = (place("EMPTY TANK").0 + place("BOW UP (level)").0) / 2.0;
        // What is at the rear lies on the far edge, above what is on top, and that above the sticks.
        assert!(place("EMPTY TANK").1 < place("agility: gentle / full").1);
        assert!(place("agility: gentle / full").1 < place("AHEAD").1);
        // Upper above lower, left on the left, away from the holder above towards him.
        assert!(place("EMPTY TANK").1 < place("FILL TANK").1);
        assert!(place("AHEAD").1 < place("ASTERN").1 && place("BOW DOWN").1 < place("BOW UP").1);
        assert!(place("LEFT").0 < place("RIGHT").0 && place("AHEAD").0 < place("BOW DOWN").0);
        assert!(place("EMPTY TANK").0 < middle && middle < place("BOW DOWN (level)").0);
    }
}

/// The solid black shapes of a scene that a white number stands in, with that number.
fn marks(scene: &Scene) -> Vec<(String, [f64; 4])> {
    let mut all = Vec::new();
    for page in &scene.pages {
        for item in &page.items {
            let Item::Text(number) = item else { continue };
            if number.grey < 1.0 || number.text.chars().any(|c| !c.is_ascii_digit()) {
                continue;
            }
            let around = page.items.iter().find_map(|item| match item {
                Item::Path(path) if path.fill == Some(0.0) => {
                    let (mut low, mut high) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
                    for point in path.points() {
                        for n in 0..2 {
                            low[n] = low[n].min(point[n]);
                            high[n] = high[n].max(point[n]);
                        }
                    }
                    let inside = low[0] <= number.x
                        && number.x <= high[0]
                        && low[1] <= number.y
                        && number.y <= high[1];
                    inside.then_some([low[0], low[1], high[0], high[1]])
                }
                _ => None,
            });
            all.push((number.text.clone(), around.expect("a solid shape behind a white number")));
        }
    }
    all
}

#[test]
fn the_control_of_the_emergency_is_solid_with_the_number_of_its_step() {
    let marked = |file: &str| {
        let scene = card(&boat(file), &Request::default()).expect("card");
        (marks(&scene), scene)
    };
    let (moonfish, scene) = marked("boats/moonfish.yaml");
    let [(number, [_, top, right, bottom])] = &moonfish[..] else { panic!("{moonfish:?}") };
    let (x, y) = find(&scene, "EMPTY TANK");
    assert!(number == "1" && *right < x && *top < y && y < bottom + 0.6, "{moonfish:?} {x} {y}");
    // Sprat empties her tank with a stick held to the right: the mark is on that side of it.
    let (sprat, scene) = marked("boats/sprat.yaml");
    let [(number, [left, _, right, _])] = &sprat[..] else { panic!("{sprat:?}") };
    let middle = find(&scene, "EMPTY").0;
    assert!(number == "1" && *right < middle && middle - left < 8.0, "{sprat:?} {middle}");
    // Nobody has anything to hold on a tug: the stick that goes to the middle has it in its middle.
    let (capstan, _) = marked("boats/capstan.yaml");
    assert!(matches!(&capstan[..], [(number, _)] if number == "1"), "{capstan:?}");
    // A boat whose steps failed the check has nothing marked.
    let setup = boat("boats/moonfish.yaml");
    let code = Code::read("0000-0000").expect("a code");
    let job = Job {
        setup: &setup,
        findings: &[],
        code,
        packed: &[],
        lost: None,
        emergency: &[],
        windows: &Windows::default(),
    };
    assert!(marks(&Card.scene(&job, &Request::default()).expect("card")).is_empty());
}

#[test]
fn percentages_are_on_a_back_or_left_to_the_bench_sheet_and_the_card_says_so() {
    let said = |width, height| {
        let scene = card(&boat("boats/moonfish.yaml"), &sized(width, height)).expect("card");
        texts(&scene).replace('\n', " ")
    };
    let (large, usual, small) = (said(105.0, 148.0), said(105.0, 74.0), said(85.0, 54.0));
    assert!(large.contains("rudder at 55 %") && !large.contains("bench sheet"), "{large}");
    assert!(usual.contains("all settings: bench sheet") && !usual.contains('%'), "{usual}");
    assert!(small.contains("gentle / full") && !small.contains('%'), "{small}");
}

#[test]
fn what_is_ticked_before_a_trip_is_what_she_carries() {
    let said = |setup: &Setup| texts(&card(setup, &Request::default()).expect("card")).replace('\n', " ");
    let mut setup = boat("boats/moonfish.yaml");
    for words in ["gas in, joint dry", "joined: air tube", "tube capped", "lights seen", "every control seen"]
    {
        assert!(said(&setup).contains(words), "`{words}` is missing");
    }
    setup.fittings = lidcard::setup::Fittings::default();
    let bare = said(&setup);
    for words in ["joined", "tube capped", "lights seen"] {
        assert!(!bare.contains(words), "`{words}`: {bare}");
    }
    assert!(bare.contains("every control seen"), "{bare}");
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
        assert!(page.contains(">Moonfish · ") && page.contains("@font-face"));
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

/// A setting is followed by what it does, and that by no name that the switch itself has already.
#[test]
fn a_switch_that_is_called_like_what_it_works_names_it_once() {
    let limpet = boat("tests/fixtures/clean/limpet.yaml");
    let front = texts(&card(&limpet, &sized(105.0, 74.0)).unwrap()).replace(['\u{a0}', '\n'], " ");
    assert!(front.contains("capstan: pay out (PAY OUT) / stop / haul (HAUL IN)"), "{front}");
}
