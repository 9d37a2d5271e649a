//! The owner's guide, from set-up to page.

use crate::help::boat;
use lidcard::document::guide::Guide;
use lidcard::document::labels::Labels;
use lidcard::document::{Document, Job, Paper, Request};
use lidcard::fingerprint::Code;
use lidcard::language;
use lidcard::render::pdf::{Meta, to_pdf};
use lidcard::render::{Item, Page, Scene};
use lidcard::rule::emergency::steps;
use lidcard::rule::{Engine, Windows};
use lidcard::setup::{BoatKind, EmergencyLine, Emptier, Exact, Setup, Snorkel, Water};

const CODE: &str = "7QHC-0M4D";

fn moonfish() -> Setup {
    boat("boats/moonfish.yaml")
}

fn tug() -> Setup {
    boat("boats/capstan.yaml")
}

/// All that a guide says, without its lines.
fn said_of(setup: &Setup) -> String {
    let scene = guide(setup, &Request::default());
    let texts = scene.pages.iter().flat_map(|page| &page.items).filter_map(|item| match item {
        Item::Text(text) => Some(text.text.replace('\u{a0}', " ")),
        _ => None,
    });
    texts.collect::<Vec<_>>().join(" ")
}

#[test]
fn a_boat_with_a_piston_dives_and_surfaces_by_it_in_her_guide() {
    let said = |file: &str| said_of(&boat(file));
    let piston = said("tests/fixtures/clean/coot.yaml");
    for words in
        ["makes her heavier: water comes into the tank (piston)", "a little at a time", "piston: empties"]
    {
        assert!(piston.contains(words), "`{words}` is missing from:\n{piston}");
    }
    let by_planes = said("tests/fixtures/clean/gadwall.yaml");
    assert!(!by_planes.contains("a little at a time"), "{by_planes}");
}

#[test]
fn an_airship_that_rises_without_a_signal_is_not_said_to_be_fetched_from_the_surface() {
    let text = std::fs::read_to_string("tests/fixtures/clean/thistledown.yaml").expect("readable");
    let opens = text.replace("4: -60 %", "4: +60 %");
    assert_ne!(opens, text);
    let source = lidcard::source::Source::from_text("thistledown.yaml", &opens).expect("readable");
    let airship = said_of(&lidcard::setup::lower::lower(&source).expect("understood"));
    assert!(airship.contains("opens water") && !airship.contains("On the surface"), "{airship}");
    assert!(said_of(&moonfish()).contains("On the surface"));
}

fn guide(setup: &Setup, request: &Request) -> Scene {
    let code = Code::read(CODE).expect("a code");
    Guide
        .scene(
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
        .expect("a guide")
}

fn lines(page: &Page) -> Vec<&str> {
    page.items
        .iter()
        .filter_map(|item| if let Item::Text(t) = item { Some(t.text.as_str()) } else { None })
        .collect()
}

fn said(setup: &Setup) -> String {
    let scene = guide(setup, &Request::default());
    scene.pages.iter().flat_map(lines).collect::<Vec<_>>().join(" ").replace('\u{a0}', " ")
}

fn headings(setup: &Setup) -> Vec<String> {
    let scene = guide(setup, &Request::default());
    scene.pages.into_iter().flat_map(|p| p.headings).map(|h| h.title).collect()
}

/// What is said with and without a change.
fn both(change: impl Fn(&mut Setup)) -> [String; 2] {
    let mut changed = moonfish();
    let before = said(&changed);
    change(&mut changed);
    [before, said(&changed)]
}

#[test]
fn only_a_boat_with_gas_has_a_word_of_gas() {
    assert!(headings(&moonfish()).iter().any(|h| h == "Gas and batteries"));
    for file in ["boats/sprat.yaml", "boats/capstan.yaml"] {
        let said = said(&boat(file)).to_lowercase();
        for word in [" gas", "bottle"] {
            assert!(!said.contains(word), "{file}: `{word}` in\n{said}");
        }
    }
}

#[test]
fn a_boat_that_does_not_dive_has_no_word_of_diving() {
    let said = said(&tug()).to_lowercase();
    for word in ["dive", "diving", "surfac", "submarine", "depth"] {
        let said = said.replace("a working model for the surface", "");
        assert!(!said.contains(word), "`{word}` in\n{said}");
    }
    assert!(said.contains("under way"), "{said}");
}

#[test]
fn a_model_that_is_no_boat_has_no_word_of_water_in_either_language() {
    let mut rover = boat("tests/fixtures/clean/beetle.yaml");
    rover.boat.name = "Rover".into();
    for (language, words) in [
        (0, ["boat", " sail", " she ", " her ", "bank", "swim", "weed", "hull"]),
        (1, ["boot", "schiff", "ufer", "schwimm", "kraut", "rumpf", "bergen", "wasser gefragt"]),
    ] {
        rover.owner.language = Some(language::ALL[language].1);
        let said = said(&rover).to_lowercase();
        for word in words {
            assert!(!said.contains(word), "`{word}` in\n{said}");
        }
    }
    rover.owner.language = None;
    rover.boat.kind = BoatKind::Surface;
    assert!(said(&rover).contains("Before you sail"), "a boat has them");
}

#[test]
fn a_switch_that_runs_a_winch_belongs_where_it_stands_still() {
    let said = said(&boat("tests/fixtures/clean/beetle.yaml"));
    assert!(said.contains("Every switch where it belongs: winch stop, lamp dark."), "{said}");
}

fn of_text(file: &str, from: &str, to: &str) -> String {
    let text = std::fs::read_to_string(file).expect("readable");
    assert!(text.contains(from), "{from}");
    let source = lidcard::source::Source::from_text(file, &text.replace(from, to)).expect("readable");
    said(&lidcard::setup::lower::lower(&source).expect("understood"))
}

#[test]
fn a_piston_that_lifts_her_is_a_reason_to_wait() {
    let coot = "tests/fixtures/clean/coot.yaml";
    let up = of_text(coot, "3: +80 %", "3: +80 %");
    for words in ["Wait and count. 1 s after", "On the surface she can be seen"] {
        assert!(up.contains(words), "`{words}` is missing from\n{up}");
    }
    let down = of_text(coot, "3: +80 %", "3: -80 %");
    assert!(!down.contains("Wait and count") && !down.contains("On the surface she can be seen"), "{down}");
    assert!(down.contains("Switching the transmitter off is not sure to bring her up."), "{down}");
}

#[test]
fn to_switch_the_transmitter_off_is_asked_for_once_and_promises_no_more_than_it_does() {
    let [off, obey, no_use] = [
        "1 Transmitter OFF",
        "If she does not obey",
        "Switching the transmitter off is not sure to stop her.",
    ];
    let skerry = "tests/fixtures/clean/skerry.yaml";
    let rests = of_text(skerry, "Skerry", "Skerry");
    assert!(rests.contains(off) && !rests.contains(obey) && !rests.contains(no_use), "{rests}");
    // Steam goes on without a battery, and turns a propeller as well as a motor does.
    for words in ["must do this by herself", "what was open stays open", "away from propellers"] {
        assert!(rests.contains(words), "`{words}` is missing from\n{rests}");
    }
    let goes_on = of_text(skerry, "{1: -60 %, 2: 0 %, 3: 0 %}", "hold");
    assert!(!goes_on.contains(off) && !goes_on.contains(obey) && goes_on.contains(no_use), "{goes_on}");
}

#[test]
fn a_weight_that_the_trial_drops_is_hung_in_again() {
    let gadwall = "tests/fixtures/clean/gadwall.yaml";
    let all = ["The trial drops “lead”", "Hung in, free to fall: lead.", "hang “lead” in again"];
    let drops = of_text(gadwall, "4: +70 %", "4: +70 %");
    for words in all {
        assert!(drops.contains(words), "`{words}` is missing from\n{drops}");
    }
    let keeps = of_text(gadwall, "4: +70 %, others: hold, works: [lead]", "4: 0 %, others: hold");
    assert!(!keeps.contains(all[0]) && keeps.contains(all[1]) && !keeps.contains(all[2]), "{keeps}");
    assert!(!said(&moonfish()).contains("ung in"));
}

/// The report denies what such a boat does by herself: her guide must not promise it.
#[test]
fn a_guide_of_a_boat_that_failed_promises_nothing_that_she_does_alone() {
    let promises = ["must do this by herself", "acts by herself", "Wait and count", "must not run on"];
    let relied = "not to be relied on";
    let of = |text: &str| {
        let draft = Request { draft: true, ..Request::default() };
        let scene = crate::help::judged(text, |job| Guide.scene(job, &draft).expect("a guide"));
        scene.pages.iter().flat_map(lines).collect::<Vec<_>>().join(" ").replace('\u{a0}', " ")
    };
    let read = |file: &str| std::fs::read_to_string(file).expect("readable");
    for file in ["unit-leaves-motor-running", "stage-on-vent-side", "preset-full-astern"] {
        let failed = of(&read(&format!("tests/fixtures/mistakes/{file}.yaml")));
        assert!(failed.contains(relied), "{file}: {failed}");
        let promised: Vec<_> = promises.iter().filter(|words| failed.contains(**words)).collect();
        assert!(promised.is_empty(), "{file}: {promised:?} in\n{failed}");
    }
    let passed = of(&read("boats/sprat.yaml"));
    assert!(!passed.contains(relied) && passed.contains("must do this by herself"), "{passed}");
}

#[test]
fn snorkel_and_other_fittings_add_their_lines_and_nothing_where_absent() {
    let [with, without] = both(|setup| setup.fittings = lidcard::setup::Fittings::default());
    for words in [
        "The snorkel",
        "A float closes the snorkel",
        "the float in the snorkel hangs",
        "remote switch (under the sail, a magnet works it)",
        "Joined again: air tube, plug of the stern servo",
        "in this order: battery hatch, main cylinder, deck",
        "pump gently into the tube (short tube behind the sail)",
        "aerial in its place: up the periscope",
        "red, blinking",
        "What the lights say",
    ] {
        assert!(with.contains(words), "`{words}` is missing from\n{with}");
        assert!(!without.contains(words), "`{words}` is still in\n{without}");
    }
    assert!(!without.to_lowercase().contains("snorkel"), "{without}");
    let [_, open] = both(|setup| setup.fittings.snorkel = Some(Snorkel { float_valve: false }));
    assert!(open.contains("The snorkel is open") && !open.contains("A float closes"), "{open}");
}

#[test]
fn gas_comes_out_before_she_is_opened_and_goes_in_after_the_trial_of_the_signal() {
    let (out, again) =
        ("The gas bottle comes out before you open her.", "Each time before the bottle goes in:");
    // The unit leaves the gas to the pilot: nothing comes out of her in the trial.
    let [whole, by_hand] = both(|setup| {
        for stage in &mut setup.fail_safe.as_mut().expect("a unit").stages {
            stage.works.truncate(1);
            stage.set.iter_mut().for_each(|(_, at)| *at = lidcard::setup::Exact::ratio(1, 2));
        }
    });
    assert!(whole.contains(out) && whole.contains(again));
    assert!(by_hand.contains(out) && !by_hand.contains(again));
    let (trial, fitted) = (whole.find(again), whole.find("Gas bottle fitted"));
    assert!(trial < whole.find("At the water") && fitted.is_none_or(|at| trial < Some(at)), "{whole}");
    let sprat = said(&boat("boats/sprat.yaml"));
    assert!(sprat.contains("Let the signal go on purpose") && !sprat.contains("bottle"));
}

#[test]
fn a_bottle_goes_in_at_the_water_and_she_is_closed_and_tested_there() {
    let place = |text: &str, words: &str| text.find(words).unwrap_or_else(|| panic!("`{words}` in {text}"));
    let with = said(&moonfish());
    let water = place(&with, "At the water");
    assert!(place(&with, "carried outside the boat") < water);
    assert!(water < place(&with, "Gas bottle fitted only now"));
    assert!(place(&with, "Gas bottle fitted only now") < place(&with, "Compartments closed in this order"));
    let without = said(&boat("boats/sprat.yaml"));
    let water = place(&without, "At the water");
    assert!(place(&without, "Hull closed") < water && place(&without, "Leak test") < water, "{without}");
}

#[test]
fn gas_within_reach_is_told_wherever_its_way_is_and_nowhere_else() {
    let accepted = said(&boat("tests/fixtures/accepted/blow-reaches-gas.yaml"));
    assert!(accepted.contains("may open gas"), "{accepted}");
    assert!(accepted.contains("within reach of “blow” (rear left, upper)"), "{accepted}");
    assert!(accepted.contains("Do not move “blow” (rear left, upper) for this look: the gas may open."));
    let clean = said(&moonfish());
    assert!(!clean.contains("may open gas") && !clean.contains("Do not move"), "{clean}");
}

#[test]
fn a_way_that_opens_a_bottle_is_not_moved_for_a_look_whatever_its_valve_is_called() {
    let [pump, bottle] = both(|setup| {
        let all = &mut setup.tank.emptied_by;
        let is_gas = |emptier: &Emptier| matches!(emptier, Emptier::Gas(_));
        let gas = all.iter().find(|(_, emptier)| is_gas(emptier)).expect("a bottle").1.clone();
        all.iter_mut().for_each(|(_, emptier)| *emptier = gas.clone());
    });
    assert!(bottle.contains("Do not move “blow” (rear left, upper) for this look"), "{bottle}");
    assert!(!pump.contains("for this look"), "{pump}");
    // What was accepted within reach need not be gas.
    let mut tug = tug();
    let mut accepted = boat("tests/fixtures/accepted/blow-reaches-gas.yaml").accept.remove(0);
    accepted.about = "hook_servo.tow".to_owned();
    tug.accept.push(accepted);
    let tug = said(&tug);
    assert!(tug.contains("may let tow go") && !tug.contains("for this look"), "{tug}");
}

#[test]
fn every_dive_has_an_end_where_a_loss_would_take_her_beyond_her_limit() {
    let [with, without] = both(|setup| setup.hull.weight = None);
    assert!(with.contains("End every dive at 1.5 m."), "{with}");
    assert!(!without.contains("End every dive"), "{without}");
    let [_, deep] = both(|setup| {
        setup.boat.depth_limit.as_mut().expect("a limit").0 = lidcard::setup::Exact::ratio(2, 5);
        setup.hull.dives_at.as_mut().expect("a speed").0 = lidcard::setup::Exact::ratio(3, 10);
    });
    assert!(deep.contains("Do not dive her.") && !deep.contains("End every dive"), "{deep}");
}

#[test]
fn the_page_of_settings_has_what_shapes_a_channel_besides_its_ends() {
    let moonfish = said(&moonfish());
    for words in [
        "1, rudder: rate 55 % agility gentle, 100 % agility full, expo 20 %, trim up to ± 20 %",
        "mix +12 % of helm at agility full",
        "Rev. –: not known.",
    ] {
        assert!(moonfish.contains(words), "`{words}` in {moonfish}");
    }
    let mut known = boat("boats/moonfish.yaml");
    known.channels.iter_mut().for_each(|c| c.reverse = Some(false));
    assert!(!said(&known).contains("Rev. –"));
}

#[test]
fn a_spare_channel_and_a_pump_that_must_rest_are_told_and_only_where_they_are() {
    let mut fitted = boat("tests/fixtures/sheet/fully-fitted.yaml");
    let with = said(&fitted);
    let all = ["Not used: channel 6.", "Never run “pump” for more than 90 s in one go"];
    for words in all {
        assert!(with.contains(words), "`{words}` is missing from\n{with}");
    }
    fitted.channels.retain(|channel| !channel.spare);
    fitted.tank = lidcard::setup::Tank::default();
    let without = said(&fitted);
    for words in all {
        assert!(!without.contains(words), "{words}");
    }
    // Channel 5 has no device of its own, but the fail-safe unit watches it.
    let watched = said(&boat("tests/fixtures/reading/clean-spare-and-watched.yaml"));
    assert!(watched.contains("Not used: channel 4."), "{watched}");
}

#[test]
fn a_symptom_is_listed_only_where_the_set_up_can_show_it() {
    let all = [
        "She will not stay down",
        "She surfaces by herself",
        "She lies deeper than usual",
        "She does not answer",
        "She turns though the stick is at rest",
        "The motor turns though its stick is at rest",
        "The pump does not run",
        "The gas is gone early",
        "She noses up or down by herself",
        "She turns wide",
        "“tow” does not answer",
    ];
    for (file, not_shown) in [
        ("boats/moonfish.yaml", &["“tow” does not answer"][..]),
        ("boats/sprat.yaml", &["The gas is gone early", "She turns wide", "“tow” does not answer"]),
        (
            "boats/capstan.yaml",
            &[
                "She will not stay down",
                "She surfaces by herself",
                "She lies deeper than usual",
                "The pump does not run",
                "The gas is gone early",
                "She noses up or down by herself",
                "She turns wide",
            ],
        ),
    ] {
        let listed = headings(&boat(file));
        for sign in all {
            let wanted = !not_shown.contains(&sign);
            assert_eq!(listed.iter().any(|h| h == sign), wanted, "{file}: {sign}");
        }
    }
}

#[test]
fn a_boat_that_nothing_brings_up_does_not_surface_because_she_heard_nothing() {
    let mut setup = boat("boats/sprat.yaml");
    let acted = "she did not hear you and acted by herself";
    assert!(said(&setup).contains(acted));
    setup.receiver.on_loss = lidcard::setup::OnLoss::Hold;
    let said = said(&setup);
    assert!(!said.contains(acted), "{said}");
    assert!(said.contains("She surfaces by herself the tank is being emptied all the time"), "{said}");
    assert!(said.contains("Switching the transmitter off is not sure to bring her up"), "{said}");
    assert!(!said.contains("Why: a boat that nobody steers"), "{said}");
}

#[test]
fn a_switch_that_arms_something_is_to_be_off_whatever_the_order_of_its_settings() {
    let mut setup = tug();
    let guard = setup.controls.iter().position(|c| c.name == "guard").expect("the guard");
    assert!(said(&setup).contains("guard safe."));
    // With the settings the other way round the same setting arms, by its name.
    setup.controls[guard].settings = vec!["armed".into(), "safe".into()];
    for work in setup.devices.iter_mut().flat_map(|d| &mut d.works) {
        if let lidcard::setup::Reserved::Unless(_, setting) = &mut work.reserved {
            *setting = 0;
        }
    }
    for want in setup.channels.iter_mut().flat_map(|c| &mut c.wants).flatten() {
        want.needs.iter_mut().for_each(|(_, setting)| *setting = 0);
    }
    let said = said(&setup);
    assert!(said.contains("guard safe.") && !said.contains("guard armed."), "{said}");
}

#[test]
fn a_relay_is_no_motor() {
    let said = said(&boat("tests/fixtures/clean/skerry.yaml"));
    assert!(said.contains("regulator shut, winch off, drain off"), "{said}");
    for words in ["runs winch", "The motor does not run", "motor starts at once"] {
        assert!(!said.contains(words), "`{words}` in\n{said}");
    }
}

#[test]
fn a_boat_that_floats_up_when_her_motor_stops_comes_up_on_a_lost_signal() {
    let [off, no_use] = ["Switch the transmitter off and leave it off", "is not sure to bring her up"];
    let step = "owner: {emergency: [{rest: speed, until: up}]}\nbatteries:";
    let floats = of_text("tests/fixtures/clean/plover.yaml", "batteries:", step);
    assert!(floats.contains(off) && !floats.contains(no_use), "{floats}");
    // Her vent may stand open where the pilot left it.
    let mut setup = boat("boats/sprat.yaml");
    setup.boat.floats_when_stopped = true;
    setup.receiver.on_loss = lidcard::setup::OnLoss::NoPulses;
    let vented = said(&setup);
    assert!(!vented.contains(off) && vented.contains(no_use), "{vented}");
}

#[test]
fn a_cause_is_named_only_where_its_trim_or_water_exists() {
    let [with, without] = both(|setup| {
        setup
            .controls
            .iter_mut()
            .for_each(|c| c.trim = [lidcard::setup::Exact::ZERO, lidcard::setup::Exact::ZERO]);
        setup.boat.water = Water::Sea;
    });
    for words in ["put the trim of “helm”", "All trims in the middle", "sea or brackish water carries more"]
    {
        assert!(with.contains(words), "`{words}` is missing from\n{with}");
        assert!(!without.contains(words), "`{words}` is still in\n{without}");
    }
    assert!(without.contains("She was trimmed for sea water"), "{without}");
}

#[test]
fn what_she_does_by_herself_has_its_seconds_and_no_figures_of_settings() {
    let said = said(&moonfish());
    for words in [
        "after 4 s for 14 s: switches on pump, opens gas, stops motor, vent shut",
        "after 18 s until she hears the transmitter again: stops motor, vent shut, pump off, gas shut",
        "18 s after the signal is gone",
    ] {
        assert!(said.contains(words), "`{words}` is missing from\n{said}");
    }
    assert!(!said.contains("104"), "{said}");
}

#[test]
fn signal_words_are_used_as_defined() {
    let said = said(&moonfish());
    // ANSI Z535.6 as quoted in crates/paper/src/guide/charging.rs: which injury follows, and how surely.
    for (word, means) in [
        ("DANGER", "will lead to death or serious injury if it is not avoided"),
        ("WARNING", "could lead to death or serious injury"),
        ("CAUTION", "could lead to minor or moderate injury"),
        ("NOTICE", "could damage the boat or other things; nobody is hurt"),
    ] {
        assert!(said.contains(&format!("{word} {means}")), "{word} in\n{said}");
        // Once where it is explained, and at least once where it warns.
        assert!(said.matches(word).count() > 1, "{word} in\n{said}");
    }
    // A boat without gas has nothing that deserves the gravest word, and does not explain it either.
    assert!(!self::said(&tug()).contains("DANGER"));
}

#[test]
fn each_chemistry_has_its_own_lines() {
    for (chemistry, words, others) in [
        ("LiPo", "burst into flames", &["hydrogen", "NiMH:", "LiFePO4:"][..]),
        ("lead gel", "hydrogen", &["LiPo:", "NiMH:"]),
        ("LiFePO4", "use the LiFePO4 programme", &["hydrogen", "burst into flames"]),
        ("NiMH", "NiMH: warm at the end", &["hydrogen", "LiPo"]),
    ] {
        let mut setup = moonfish();
        setup.batteries[0].chemistry = Some(chemistry.into());
        let said = said(&setup);
        assert!(said.contains(words), "{chemistry}: {said}");
        for other in others {
            assert!(!said.contains(other), "{chemistry}: `{other}` in {said}");
        }
    }
}

#[test]
fn every_page_has_boat_revision_code_and_number() {
    for (name, language) in language::ALL {
        let labels = Some(Labels::of(*language));
        let scene = guide(&moonfish(), &Request { labels, ..Request::default() });
        let count = scene.pages.len();
        for (n, page) in scene.pages.iter().enumerate() {
            let lines = lines(page);
            let imprint = lines.iter().find(|l| l.starts_with("Moonfish ·")).expect("an imprint");
            assert!(
                imprint.to_lowercase().contains("rev. c") && imprint.ends_with(CODE),
                "{name}: {imprint}"
            );
            assert!(lines.contains(&format!("{}/{count}", n + 1).as_str()), "{name}: page {}", n + 1);
        }
    }
}

#[test]
fn the_contents_give_the_page_on_which_a_chapter_begins() {
    let scene = guide(&moonfish(), &Request::default());
    let title = lines(&scene.pages[0]);
    let mut chapters = 0;
    for (n, page) in scene.pages.iter().enumerate() {
        for heading in page.headings.iter().filter(|h| !h.inner) {
            let at = title.iter().position(|l| *l == heading.title).expect("a line of contents");
            assert_eq!(title[at + 1], (n + 1).to_string(), "{}", heading.title);
            chapters += 1;
        }
    }
    assert_eq!(chapters, 11);
}

#[test]
fn pages_are_filled_and_nothing_stands_alone() {
    for (name, language) in language::ALL {
        for file in ["boats/moonfish.yaml", "boats/sprat.yaml", "boats/capstan.yaml"] {
            let labels = Some(Labels::of(*language));
            let scene = guide(&boat(file), &Request { labels, ..Request::default() });
            let lowest = |page: &Page| {
                let body = page.items.iter().filter_map(|item| match item {
                    Item::Text(t) if t.y < page.height - 16.0 => Some(t.y),
                    _ => None,
                });
                body.fold(0.0, f64::max) / page.height
            };
            let filled: Vec<f64> = scene.pages.iter().map(lowest).collect();
            // The emergency has a page of its own, inside the cover.
            let between = &filled[2..filled.len() - 1];
            let mean = between.iter().sum::<f64>() / between.len() as f64;
            assert!(mean > 0.75, "{name} {file}: {filled:?}");
            for (page, filled) in scene.pages.iter().zip(&filled[..filled.len() - 1]) {
                let body =
                    page.items.iter().filter(|i| matches!(i, Item::Text(t) if t.y < page.height - 16.0));
                assert!(*filled > 0.4 && body.count() > 4, "{name} {file}: {:?}", lines(page));
            }
        }
    }
}

#[test]
fn the_emergency_lies_on_one_page_inside_the_cover() {
    let scene = guide(&moonfish(), &Request::default());
    assert_eq!(scene.pages[1].headings[0].title, "In an emergency");
    let said = lines(&scene.pages[1]).join(" ");
    for words in ["Hold REAR LEFT, UPPER until she is up", "After a blow with gas", "Never go in alone"] {
        assert!(said.contains(words), "`{words}` is not in\n{said}");
    }
}

#[test]
fn a_draft_says_so_on_every_page_and_claims_no_check() {
    let scene = guide(&moonfish(), &Request { draft: true, ..Request::default() });
    assert!(scene.title.starts_with("DRAFT"));
    for page in &scene.pages {
        let lines = lines(page);
        assert!(lines.contains(&"NOT CHECKED"), "{lines:?}");
        assert!(lines.iter().any(|l| l.starts_with("DRAFT - NOT CHECKED · ")), "{lines:?}");
    }
    let said: Vec<&str> = scene.pages.iter().flat_map(lines).collect();
    for promise in ["Nothing forbidden was found", "were proved together", "Your sticks do not reach it"] {
        assert!(self::said(&moonfish()).contains(promise), "{promise}");
        assert!(!said.join(" ").contains(promise), "{promise}");
    }
}

#[test]
fn a_booklet_has_two_pages_on_each_side_of_the_paper() {
    for (paper, [width, height]) in [(Paper::A4, [297.0, 210.0]), (Paper::Letter, [279.4, 215.9])] {
        let scene = guide(&moonfish(), &Request { on: Some(paper), ..Request::default() });
        assert_eq!(scene.pages.len() % 2, 0);
        for page in &scene.pages {
            assert!((page.width - width).abs() < 1e-6 && (page.height - height).abs() < 1e-6);
        }
        // The first side holds the first page on its right half.
        let first = &scene.pages[0];
        let name = first.items.iter().find_map(|item| match item {
            Item::Text(t) if t.text == "Moonfish" => Some(t.x),
            _ => None,
        });
        assert!(name.expect("the title") > width / 2.0);
    }
}

#[test]
fn a_guide_in_german_has_no_english_label_left() {
    let mut setup = moonfish();
    setup.owner.language = language::ALL.iter().find(|(name, _)| *name == "de").map(|(_, l)| *l);
    let said = said(&setup);
    for words in
        ["Vor der Fahrt", "GEFAHR", "Was die Lichter sagen", "nach 4 s", "Nie tiefer als 2 m", "40,685 MHz"]
    {
        assert!(said.contains(words), "`{words}` is missing from\n{said}");
    }
    for words in [" she ", "Before", "the boat", " when "] {
        let own = said.replace("she hears you", "").replace("until she is up", "");
        assert!(!own.contains(words), "`{words}` in\n{own}");
    }
}

#[test]
fn long_words_and_effects_break_and_stay_on_the_page() {
    let mut setup = tug();
    setup.boat.name = "Grand Old Harbour Tug of the Northern Breakwater".into();
    setup.controls[0].ways = ["as far to port as ever the rudder goes".into(), "to starboard".into()];
    setup.devices[4].works[0].name = "the whole long heavy tow with all its chains and shackles".into();
    setup.owner.emergency = vec![EmergencyLine::Text(
        "first this, then that, and then everything else in the proper order".into(),
    )];
    let scene = guide(&setup, &Request::default());
    assert!(scene.pages.len() > 7);
}

#[test]
fn the_same_guide_is_the_same_file() {
    let make = || to_pdf(&guide(&moonfish(), &Request::default()), &Meta::default()).expect("PDF");
    assert!(make() == make(), "two runs gave different bytes");
}

const PLOVER: &str = "tests/fixtures/clean/plover.yaml";

#[test]
fn a_stated_margin_is_told_as_a_depth_that_is_an_estimate_and_proves_nothing() {
    let mut plover = boat(PLOVER);
    let text = said(&plover);
    for words in
        ["An estimate, for nobody measured it", "about 4.8 m down (3.1 m to 7.7 m)", "It proves nothing"]
    {
        assert!(text.contains(words), "{words}");
    }
    // The warning's 4.9 m (3.2 m to 7.8 m), cut off: a depth must not grow on paper.
    assert!(text.contains("fresh water that was measured") && !text.contains("an average pond"));
    plover.boat.conductivity = None;
    assert!(said(&plover).contains("an average pond"));
    plover.boat.aerial_floats = true;
    let text = said(&plover);
    assert!(!text.contains("An estimate") && text.contains("How far the radio reaches in your water."));
    plover.boat.aerial_floats = false;
    plover.transmitter.margin = None;
    assert!(!said(&plover).contains("An estimate"));
}

#[test]
fn whoever_has_a_bottle_is_told_that_it_is_a_pressure_vessel_and_whose_word_goes_first() {
    let words = "Bottle and tank are pressure vessels. Their makers, and the rules where you live";
    let [with_gas, without] = both(|moonfish| {
        for work in moonfish.devices.iter_mut().flat_map(|d| &mut d.works).filter(|w| w.kind.emergency) {
            work.kind =
                lidcard::device::works::ALL.iter().find(|kind| kind.name == "light").expect("a light");
        }
        moonfish.tank.emptied_by.clear();
    });
    assert!(with_gas.contains(words) && !without.contains(words));
    // Compressed air for the ballast alone is a bottle as well.
    let file = std::fs::read_to_string("boats/sprat.yaml").expect("readable");
    let air = format!("{file}tank: {{emptied_by: {{pump: {{gas: air, bottle: 50 mL, pressure: 8 bar}}}}}}\n");
    let source = lidcard::source::Source::from_text("air.yaml", &air).expect("YAML");
    assert!(said(&lidcard::setup::lower::lower(&source).expect("understood")).contains(words));
}

#[test]
fn a_lever_whose_motor_stops_at_one_end_is_to_be_left_there_and_not_in_the_middle() {
    let mut setup = moonfish();
    let before = said(&setup);
    assert!(before.contains("speed: in the middle, or the motor starts at once."), "{before}");
    let motor = setup.devices.iter_mut().find(|d| d.name == "motor_esc").expect("a motor");
    motor.facts.one_way = true;
    motor.still_between = Some([lidcard::setup::Exact::percent(-130), lidcard::setup::Exact::percent(-90)]);
    let after = said(&setup);
    assert!(after.contains("speed: fully at “astern”, or the motor starts at once."), "{after}");
    assert!(
        after.contains("bring it fully to “astern”") && after.contains("stick fully to “astern”"),
        "{after}"
    );
    assert!(!after.contains("speed: in the middle"), "{after}");
}

#[test]
fn the_order_of_switching_on_has_its_reason_and_where_it_can_hurt_a_warning() {
    let [warned, harmless] = both(|setup| {
        // Without the gas in it the sequence only runs a pump.
        for stage in &mut setup.fail_safe.as_mut().expect("a unit").stages {
            for (_, at) in &mut stage.set {
                *at = at.clone().min(Exact::percent(50));
            }
        }
    });
    let told = "with your hands inside: after 4 s vent shut, switches on pump, opens gas; after 18 s pump off, gas shut.";
    assert!(warned.contains(told), "{warned}");
    assert!(!harmless.contains("with your hands inside"), "{harmless}");
    assert!(harmless.contains("Why in this order: "), "{harmless}");
    // Nothing comes by itself there.
    let tug = said(&tug());
    assert!(!tug.contains("Why in this order") && !tug.contains("with your hands inside"), "{tug}");
}

#[test]
fn what_stays_open_without_power_is_told_of_a_boat_that_has_it() {
    let dives = said(&moonfish());
    assert!(
        dives.contains("what was open stays open")
            && dives.contains("Never switch her off while she is under")
    );
    let stays = said(&tug());
    assert!(
        stays.contains("every servo stays as it is") && !stays.contains("Never switch her off"),
        "{stays}"
    );
}

/// A unit that holds its channels keeps noise off them until it acts, so nobody is told that she may do anything; and
/// what noise does without one comes as soon as there is power.
#[test]
fn noise_is_told_of_what_it_reaches_and_why_the_transmitter_comes_first() {
    let held = said(&boat("tests/fixtures/clean/smew.yaml"));
    assert!(held.contains("everything stays as it was") && !held.contains("may do anything"), "{held}");
    let fires = said(&boat("tests/fixtures/mistakes/noise-fires-the-gun.yaml"));
    assert!(fires.contains("she may do anything"), "{fires}");
    let first = fires.split("Always the transmitter first").nth(1).unwrap_or_else(|| panic!("{fires}"));
    assert!(first.contains("at once") && first.contains("perhaps fires"), "{first}");
    let partly = boat("tests/fixtures/clean/smew.yaml");
    let mut some = partly.clone();
    some.fail_safe.as_mut().unwrap().channels.remove(0);
    assert!(said(&some).contains("but this may do anything: rudder"), "{}", said(&some));
}
