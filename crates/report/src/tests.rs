use super::samples::*;
use super::{FileReport, Look, Status, endpoints, endpoints_json, human, json_v1, short};
use crate::finding::{Finding, Outcome};
use crate::setup::Exact;
use crate::source::{Mistake, Source, Span};

fn undecided() -> Finding {
    Finding { outcome: Outcome::Undecided, witness: None, margin: None, ..warning() }
}

fn json(reports: &[FileReport], all: bool) -> json_v1::CheckV1 {
    json_v1::check(reports.iter().map(|r| serde_json::to_value(json_v1::file(r, all)).unwrap()).collect())
}

#[test]
fn a_finding_is_shown_at_its_place_with_its_witness_and_what_to_do() {
    let report = report(vec![warning(), broken()]);
    insta::assert_snapshot!(human::file(&report, Look::PLAIN, false), @r##"
    boats/moonfish.yaml: 1 error, 1 warning: 1 could hurt somebody, 1 is untidy

    error: emergency-within-reach

      x the sticks may open the emergency gas valve
        ,-[boats/moonfish.yaml:6:36]
      5 |     name: ballast
      6 |     endpoints: {flood: 80 %, blow: 71 %}
        :                                    ^^|^
        :                                      `-- blow goes this far
      7 | devices:
        ...
     10 |     works:
     11 |       gas: {kind: emergency_gas, from: +72 % ± 4 %}
        :                                        ^^^^^|^^^^^
        :                                             `-- the valve may open from +68 %
        `----
      where: tank_servo.gas, piloting
      shown by: tank: blow held fully, nothing else touched: output +71 %, 1784 us
      on a set with: trim: after endpoint
      off by: 5 % (20 us)
      tolerances: emergency gas valve ± 4 %, pulse ± 2 %, 6 % in all
      estimate, not a verdict: about 38 in 100 chance if every tolerance is equally
                               likely over its range
      help: endpoint for blow: 65 % or less

    warning: sense-not-measured

      ! nobody has measured which way makes the pulse longer
       ,-[boats/moonfish.yaml:4:3]
     3 | channels:
     4 |   4:
       :   |
       :   `-- `longer` is missing here
     5 |     name: ballast
       `----
      where: 4/blow, piloting
      help: hold blow and read the pulse

    1 error, 1 warning in boats/moonfish.yaml; begin at line 6
    `lidcard explain RULE` tells more
    "##);
}

#[test]
fn findings_of_one_value_are_told_together_with_their_count() {
    let elsewhere = Finding {
        rule: "beyond-stop",
        about: "tank_servo".into(),
        message: "something binds".into(),
        help: vec!["endpoint for blow: 65 % or less".into(), "move the stop".into()],
        ..broken()
    };
    let shown = human::file(&report(vec![elsewhere, broken(), warning()]), Look::PLAIN, false);
    let behind = shown
        .find("line 6, `channels.4.endpoints.blow`: 2 findings hang on it\n\nerror: beyond-stop")
        .unwrap();
    let also = &shown[behind..];
    let also = &also[also.find("and error").unwrap()..also.find("warning: ").unwrap()];
    insta::assert_snapshot!(also, @r##"
    and error: emergency-within-reach at tank_servo.gas, piloting (line 6): the
    sticks may open the emergency gas valve; off by 5 %
    "##);
}

#[test]
fn findings_of_one_rule_are_told_together_and_others_are_not() {
    let elsewhere = Finding { about: "4/flood".into(), ..warning() };
    let shown = human::file(&report(vec![elsewhere, warning()]), Look::PLAIN, false);
    assert_eq!(shown.matches("\nwarning: ").count(), 1, "{shown}");
    assert!(shown.contains("\n  likewise: 4/flood (line"), "{shown}");
    // What is said otherwise of the other is said.
    let otherwise = Finding { about: "4/flood".into(), sentence: "another", ..warning() };
    let both = human::file(&report(vec![otherwise, warning()]), Look::PLAIN, false);
    assert_eq!(both.matches("\nand warning: ").count(), 1, "{both}");
    assert!(!shown.contains("hang on it"), "{shown}");
    let apart = human::file(&report(vec![broken(), warning()]), Look::PLAIN, false);
    assert!(!apart.contains("\nand "), "{apart}");
}

#[test]
fn fifteen_findings_of_one_cause_are_no_long_story() {
    let all = (0..15).map(|i| Finding { about: format!("tank_servo.gas{i}"), ..broken() }).collect();
    let shown = human::file(&report(all), Look::PLAIN, false);
    assert!(shown.lines().count() < 60, "{} lines:\n{shown}", shown.lines().count());
}

#[test]
fn a_clean_file_gets_one_line_with_its_least_margin() {
    let report = report(vec![proved(7), proved(2)]);
    insta::assert_snapshot!(human::file(&report, Look::PLAIN, false), @"boats/moonfish.yaml: nothing found; 2 checks proved, least margin 2 % (8 us) at tank_servo.gas");
    insta::assert_snapshot!(human::file(&report, Look::PLAIN, true), @r##"
    proved: blow surely opens the valve: margin 7 % (28 us) (wanted-not-reached at
            tank_servo.gas, piloting)
      tolerances: pump switch ± 2 %
    proved: blow surely opens the valve: margin 2 % (8 us) (wanted-not-reached at
            tank_servo.gas, piloting)
      tolerances: pump switch ± 2 %

    boats/moonfish.yaml: nothing found; 2 checks proved, least margin 2 % (8 us) at tank_servo.gas
    "##);
}

#[test]
fn undecided_says_so_and_counts_as_an_error() {
    let report = report(vec![undecided()]);
    insta::assert_snapshot!(human::file(&report, Look::PLAIN, false), @r##"
    undecided: sense-not-measured

      x nobody has measured which way makes the pulse longer
       ,-[boats/moonfish.yaml:4:3]
     3 | channels:
     4 |   4:
       :   |
       :   `-- `longer` is missing here
     5 |     name: ballast
       `----
      verdict: neither proved nor broken; take it for broken until it is settled
      where: 4/blow, piloting
      help: hold blow and read the pulse

    1 error in boats/moonfish.yaml, at line 4
    `lidcard explain RULE` tells more
    "##);
}

#[test]
fn a_mistake_in_reading_is_shown_like_a_finding() {
    insta::assert_snapshot!(human::file(&unreadable(), Look::PLAIN, false), @r##"
    error: boat-file

      x `blow` is given twice
       ,-[boats/moonfish.yaml:6:36]
     5 |     name: ballast
     6 |     endpoints: {flood: 80 %, blow: 71 %}
       :                                    ^^|^
       :                                      `-- again here
     7 | devices:
       `----
      help: take one of the two out

    boats/moonfish.yaml: not checked, it could not be read: 1 mistake, at line 6
    "##);
    insta::assert_snapshot!(short::file(&unreadable(), false), @"boats/moonfish.yaml:6:36: error[boat-file]: `blow` is given twice");
}

#[test]
fn the_short_report_is_one_line_each_in_the_order_of_the_file() {
    let report = report(vec![proved(2), broken(), warning()]);
    insta::assert_snapshot!(short::file(&report, true), @r##"
    boats/moonfish.yaml:4:3: warning[sense-not-measured]: nobody has measured which way makes the pulse longer (4/blow, piloting)
    boats/moonfish.yaml:6:36: error[emergency-within-reach]: the sticks may open the emergency gas valve (tank_servo.gas, piloting)
    boats/moonfish.yaml:6:36: proved[wanted-not-reached]: blow surely opens the valve (tank_servo.gas, piloting): margin 2 % (8 us)
    "##);
}

#[test]
fn the_json_report_is_version_1() {
    let reports = [report(vec![broken(), proved(2)])];
    let text = serde_json::to_string_pretty(&json(&reports, true)).unwrap();
    insta::assert_snapshot!(text, @r##"
    {
      "version": 1,
      "files": [
        {
          "file": "boats/moonfish.yaml",
          "status": "findings",
          "findings": [
            {
              "rule": "emergency-within-reach",
              "severity": "error",
              "outcome": "broken",
              "message": "the sticks may open the emergency gas valve",
              "where": "tank_servo.gas",
              "state": "piloting",
              "line": 6,
              "column": 36,
              "end_line": 6,
              "end_column": 40,
              "margin": {
                "percent": -5.0,
                "us": -20.0
              },
              "account": [
                {
                  "what": "emergency gas valve",
                  "percent": 4.0
                },
                {
                  "what": "pulse",
                  "percent": 2.0
                }
              ],
              "misfire_estimate": 0.375,
              "witness": {
                "words": "tank: blow held fully, nothing else touched",
                "positions": {
                  "tank": "1",
                  "helm": "-1/3"
                },
                "trims": {
                  "helm": "0.125"
                },
                "settings": {
                  "agility": "full"
                },
                "order": {
                  "trim": "after endpoint"
                },
                "output_percent": 71.0,
                "pulse_us": 1784.0
              },
              "help": [
                "endpoint for blow: 65 % or less"
              ],
              "accepted": null
            }
          ],
          "mistakes": [],
          "proved": [
            {
              "rule": "wanted-not-reached",
              "message": "blow surely opens the valve",
              "where": "tank_servo.gas",
              "state": "piloting",
              "line": 6,
              "column": 36,
              "end_line": 6,
              "end_column": 40,
              "margin": {
                "percent": 2.0,
                "us": 8.0
              },
              "account": [
                {
                  "what": "pump switch",
                  "percent": 2.0
                }
              ],
              "misfire_estimate": 0.0
            }
          ]
        }
      ]
    }
    "##);
    let reports = [report(vec![proved(2)]), unreadable()];
    let text = serde_json::to_string(&json(&reports, false)).unwrap();
    insta::assert_snapshot!(text, @r#"{"version":1,"files":[{"file":"boats/moonfish.yaml","status":"clean","findings":[],"mistakes":[]},{"file":"boats/moonfish.yaml","status":"unreadable","findings":[],"mistakes":[{"message":"`blow` is given twice","line":6,"column":36,"end_line":6,"end_column":40,"help":"take one of the two out"}]}]}"#);
}

#[test]
fn the_endpoints_are_a_table_and_a_picture() {
    let setup = setup(["vent valve", "pump switch", "emergency gas valve"]);
    let text = endpoints::file("m.yaml", &setup, &[flood(), blow()], &[], &[], Look::PLAIN);
    insta::assert_snapshot!(text, @r##"
    m.yaml: endpoints of Moonfish

    channel 4 (ballast)
      way     set    safe         best
      flood   70 %   none         -      NOT SAFE as set
          not below: tank_servo.vent is surely open from 75 %; as set, past it by
                     5 % (20 us)
          not above: the stop may be touched from 73 %; as set, 3 % (12 us) left
          no value is safe: the two limits cross by 2 %: move the stop out or the
                            vent in
      blow    58 %   42 to 65 %   54 %   safe as set
          not below 42 %: tank_servo.pump is surely on from 42 %; as set, 16 %
                          (64 us) left
          not above 65 %: tank_servo.gas may open from 66 %; as set, 8 % (32 us)
                          left

      tank_servo: servo on channel 4 (ballast)
                   < shorter (flood)                   (blow) longer >
      %               -100       -50        0        +50      +100
      ends as set  .........!...............|...........!............. -80 +58
      reached      .........################|############............. -80 +58
      vent         ###########~~............|......................... -70 ±3
      pump         .........................|......~################## +38 ±2
      gas          .........................|.............~########### +72 ±4
      past a stop  ####.....................|.....................#### -110 +110
        vent: vent valve from -70 %, wanted by tank flood
        pump: pump switch from +38 %, wanted by tank blow
        gas: emergency gas valve from +72 %, never within the pilot's reach

      # surely   ! an end as set   | rest
      ~ perhaps: within a tolerance, or by the order in which the set does its sums
      Where shades of one column meet, the figures decide; a column is wide.

    m.yaml: 1 of 2 endpoints not safe; the first is flood of channel 4
    "##);
    assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
    let fine = Look { unicode: true, ..Look::PLAIN };
    let drawn = endpoints::file("m.yaml", &setup, &[flood(), blow()], &[], &[], fine);
    let gas = drawn.lines().find(|l| l.starts_with("  gas")).unwrap();
    assert_eq!(gas, "  gas          ─────────────────────────│─────────────▒███████████ +72 ±4");
}

#[test]
fn the_endpoints_in_json_are_version_1() {
    let (ways, reach) = ([blow()], reach());
    let setup = setup(["vent valve", "pump switch", "emergency gas valve"]);
    let source =
        Source::from_text("m.yaml", "channels:\n  4: {endpoints: {flood: 80 %, blow: 58 %}}\n").unwrap();
    let answer = endpoints_json::endpoints("m.yaml", (&source, &setup), &ways, &reach, Vec::new(), None, &[]);
    let text = serde_json::to_string(&answer).unwrap();
    insta::assert_snapshot!(text, @r#"{"version":1,"file":"m.yaml","ways":[{"channel":4,"name":"ballast","way":"blow","set":58.0,"place":{"line":2,"column":38,"end_line":2,"end_column":42},"windows":[[42.0,65.0]],"best":54.0,"low_limit":"tank_servo.pump is surely on from 42 %","high_limit":"tank_servo.gas may open from 66 %","not_moved":[],"but":[],"safe":true,"as_set":"safe","crossing":null,"margins":[{"percent":16.0,"us":64.0},{"percent":8.0,"us":32.0}]}],"reach":[{"channel":4,"order":{"trim":"before endpoint"},"low":"-0.8","high":"0.58"},{"channel":4,"order":{"trim":"after endpoint"},"low":"-0.83","high":"2/3"}],"axes":[{"device":"tank_servo","about":"servo on channel 4 (ballast)","channel":4,"ways":["flood","blow"],"half":125.0,"lanes":[{"shows":"ends","work":null,"about":null,"emergency":false,"perhaps":[],"surely":[],"marks":[-80.0,58.0],"value":"-80 +58"},{"shows":"reached","work":null,"about":null,"emergency":false,"perhaps":[[-82.0,60.0]],"surely":[[-80.0,58.0]],"marks":[],"value":"-80 +58"},{"shows":"work","work":"vent","about":"vent: vent valve from -70 %, wanted by tank flood","emergency":false,"perhaps":[[-125.0,-67.0]],"surely":[[-125.0,-73.0]],"marks":[],"value":"-70 ±3"},{"shows":"work","work":"pump","about":"pump: pump switch from +38 %, wanted by tank blow","emergency":false,"perhaps":[[36.0,125.0]],"surely":[[40.0,125.0]],"marks":[],"value":"+38 ±2"},{"shows":"work","work":"gas","about":"gas: emergency gas valve from +72 %, never within the pilot's reach","emergency":true,"perhaps":[[68.0,125.0]],"surely":[[76.0,125.0]],"marks":[],"value":"+72 ±4"},{"shows":"past stop","work":null,"about":null,"emergency":false,"perhaps":[[-125.0,-108.0],[108.0,125.0]],"surely":[[-125.0,-112.0],[112.0,125.0]],"marks":[],"value":"-110 +110"}]}]}"#);
}

#[test]
fn nothing_is_said_by_colour_or_by_fine_characters_alone() {
    let report = report(vec![broken(), undecided()]);
    let plain = human::file(&report, Look::PLAIN, false);
    let colour = human::file(&report, Look { colour: true, ..Look::PLAIN }, false);
    assert!(colour.contains('\u{1b}') && !plain.contains('\u{1b}'));
    let mut bare = String::new();
    let mut rest = colour.chars();
    while let Some(c) = rest.next() {
        if c == '\u{1b}' {
            rest.by_ref().find(|c| *c == 'm');
        } else {
            bare.push(c);
        }
    }
    let bare: String = bare.lines().map(|l| l.trim_end().to_owned() + "\n").collect();
    assert_eq!(bare, plain);
}

#[test]
fn an_exact_value_is_a_decimal_where_it_is_one_and_a_fraction_elsewhere() {
    assert_eq!(json_v1::exact(&Exact::ratio(-1, 3)), "-1/3");
    assert_eq!(json_v1::exact(&Exact::ratio(22, 7)), "22/7");
    assert_eq!(json_v1::exact(&Exact::ratio(-1, 8)), "-0.125");
    assert_eq!(json_v1::exact(&Exact::ZERO), "0");
}

#[test]
fn a_file_without_text_is_unreadable_and_places_its_mistake_at_the_start() {
    let report = FileReport::unreadable(
        "gone.yaml",
        None,
        vec![Mistake { message: "there is no such file".into(), labels: vec![], help: None }],
    );
    assert_eq!(report.status(), Status::Unreadable);
    insta::assert_snapshot!(human::file(&report, Look::PLAIN, false), @r##"
    error: boat-file

      x there is no such file

    gone.yaml: not checked, it could not be read: 1 mistake
    "##);
}

#[test]
fn a_span_that_does_not_fit_the_text_is_shown_all_the_same() {
    let at = TEXT.find('±').map_or(0, |at| at + 1);
    for (start, end) in [(0, 0), (at, at), (at, 9999), (9999, 9999), (20, 5), (TEXT.len(), TEXT.len())] {
        for text in [TEXT, "", "\n", "a"] {
            let mistake = Mistake {
                message: "odd".into(),
                labels: vec![(Span { start, end }, "here".into()), (Span { start: 0, end }, "and".into())],
                help: None,
            };
            let source = Source::from_text("m.yaml", text).unwrap_or_else(|u| u.into_parts().0);
            let shown = human::mistake_text(&mistake, Some(&source), Look::PLAIN);
            assert!(shown.contains("odd"), "{shown}");
        }
    }
}

#[test]
fn an_estimate_is_rounded_to_what_it_can_bear() {
    let words = |p: i64, q: i64| super::text::chance(&Exact::ratio(p, q)).unwrap();
    assert!(words(12, 100).starts_with("about 12 in 100 chance if every"));
    assert!(words(0, 1).starts_with("less than 1 in 100 chance"));
    assert!(words(99, 10_000).starts_with("less than 1 in 100 chance"));
    assert!(words(995, 1000).starts_with("more than 99 in 100 chance"));
    assert_eq!(super::text::chance(&Exact::ONE), None);
}
