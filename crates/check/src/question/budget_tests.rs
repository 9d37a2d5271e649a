use super::*;

fn e(numerator: i64, denominator: i64) -> Exact {
    Exact::ratio(numerator, denominator)
}

fn chance(distance: Exact, widths: &[Exact]) -> Exact {
    chance_beyond(&distance, widths).unwrap()
}

/// U(-1, 1) is 2 U(0, 1) - 1, so a sum of n exceeds d when the Irwin-Hall sum exceeds (d + n) / 2.
#[test]
fn equal_widths_give_the_irwin_hall_values() {
    // F_2(1/2) = 1/8, F_3(1/2) = 1/48, F_3(1) = 1/6, F_3(5/4) = (125/64 - 3/64) / 6 = 61/192,
    // F_4(1) = 1/24, F_4(3/2) = (81/16 - 4/16) / 24 = 77/384; by symmetry 1 - F_n(x) = F_n(n - x).
    let table = [
        (1, e(1, 2), e(1, 4)),
        (2, e(1, 1), e(1, 8)),
        (3, e(2, 1), e(1, 48)),
        (3, e(1, 1), e(1, 6)),
        (3, e(1, 2), e(61, 192)),
        (4, e(2, 1), e(1, 24)),
        (4, e(1, 1), e(77, 384)),
    ];
    for (n, distance, expected) in table {
        let widths = vec![Exact::ONE; n];
        assert_eq!(chance(distance.clone(), &widths), expected, "{n} {distance:?}");
        assert_eq!(chance(-distance, &widths), Exact::ONE - expected, "{n} mirrored");
    }
}

#[test]
fn the_ends_are_certain_and_the_middle_is_even() {
    let widths = [e(4, 100), e(3, 200), e(1, 200)];
    assert_eq!(chance(e(6, 100), &widths), Exact::ZERO);
    assert_eq!(chance(e(7, 100), &widths), Exact::ZERO);
    assert_eq!(chance(e(-6, 100), &widths), Exact::ONE);
    assert_eq!(chance(Exact::ZERO, &widths), e(1, 2));
    // Of a rectangle 6 by 2 the line x + y = 3 cuts off a triangle with legs of 1: 1/2 of 12.
    assert_eq!(chance(e(3, 1), &[e(3, 1), e(1, 1)]), e(1, 24));
    assert_eq!(chance(Exact::ZERO, &[]), Exact::ONE);
    assert_eq!(chance(e(1, 100), &[]), Exact::ZERO);
    assert_eq!(chance(e(-1, 100), &[]), Exact::ONE);
}

#[test]
fn a_width_of_next_to_nothing_does_not_spoil_it() {
    // Floats lose every digit here: the terms cancel to one part in 10^24.
    let tiny = e(1, 1_000_000_000);
    let got = chance(e(2, 100), &[e(4, 100), tiny.clone(), tiny.clone(), tiny]);
    assert_eq!(got, e(1, 4));
}

/// Knuth's MMIX generator; the upper bits only.
struct Lcg(u64);

impl Lcg {
    fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }
}

#[test]
fn throwing_dice_agrees() {
    let mut dice = Lcg(1927);
    let sets: [&[i64]; 4] = [&[40, 15, 5], &[20, 20], &[30, 5, 5, 1], &[7]];
    for set in sets {
        let widths: Vec<_> = set.iter().map(|&a| e(a, 1000)).collect();
        let total: i64 = set.iter().sum();
        for tenth in [-7, -2, 1, 4, 6, 8] {
            let distance = e(total * tenth, 10_000);
            let expected = chance(distance.clone(), &widths).to_f64();
            let rounds = 40_000;
            let beyond = (0..rounds)
                .filter(|_| {
                    let sum: f64 = widths.iter().map(|a| a.to_f64() * (2.0 * dice.unit() - 1.0)).sum();
                    sum > distance.to_f64()
                })
                .count();
            let thrown = beyond as f64 / f64::from(rounds);
            // Five standard deviations of a fair estimate.
            assert!((thrown - expected).abs() < 5.0 * 0.0025, "{set:?} {tenth}: {thrown} {expected}");
        }
    }
}

#[test]
fn shares_come_largest_first_and_without_empty_ones() {
    let shares = sorted(vec![
        ("stop".into(), Exact::ZERO),
        ("servo accuracy".into(), e(15, 1000)),
        ("pulse".into(), e(4, 100)),
    ]);
    let words: Vec<_> = shares.iter().map(|s| s.what.as_str()).collect();
    assert_eq!(words, ["pulse", "servo accuracy"]);
}

fn findings(text: &str) -> Vec<Finding> {
    let source = crate::source::Source::from_text("test.yaml", text).unwrap_or_else(|_| panic!("not read"));
    crate::rule::check(&crate::setup::lower::lower(&source).unwrap())
}

const MOONFISH: &str = include_str!("../../../../boats/moonfish.yaml");
const SPRAT: &str = include_str!("../../../../boats/sprat.yaml");
const CAPSTAN: &str = include_str!("../../../../boats/capstan.yaml");

fn told(finding: &Finding) -> Vec<(&str, String)> {
    finding.budget.iter().map(|s| (s.what.as_str(), (&s.axis * Exact::int(100)).to_decimal(2))).collect()
}

#[test]
fn every_proved_margin_of_the_boats_has_its_account_and_no_chance_of_a_misfire() {
    for text in [MOONFISH, SPRAT, CAPSTAN] {
        // Two works that a stage keeps apart have both edges in their margin, and no account.
        let pair = |f: &Finding| f.rule == "works-together" && f.budget.is_empty();
        for finding in findings(text).into_iter().filter(|f| !pair(f)) {
            let about = format!("{} {} {}", finding.rule, finding.about, finding.state);
            assert_eq!(finding.margin.is_some(), !finding.budget.is_empty(), "{about}");
            assert_eq!(finding.estimate, finding.margin.as_ref().map(|_| Exact::ZERO), "{about}");
            assert!(finding.budget.is_sorted_by(|a, b| a.axis >= b.axis), "{about}");
        }
    }
}

#[test]
fn a_broken_margin_is_accounted_for_to_the_end() {
    // Blow at 71 % is 1 % short of the valve at 72 %. Of 4, 1.5 and 0.5 % beyond 1 %:
    // (5^3 - 4^3 - 2^3 + 1^3) / (2^3 * 3! * 4 * 1.5 * 0.5) = 54 / 144.
    let found = findings(&MOONFISH.replace("blow: 53 %", "blow: 71 %"));
    let gas = found.iter().find(|f| f.rule == "emergency-within-reach").unwrap();
    assert_eq!(gas.margin.as_ref().unwrap().axis, e(-5, 100));
    let expected = [("emergency gas valve", "4"), ("servo accuracy", "1.5"), ("pulse", "0.5")];
    assert_eq!(told(gas), expected.map(|(what, axis)| (what, axis.to_string())));
    assert_eq!(gas.estimate, Some(e(3, 8)));
}

#[test]
fn the_units_own_clock_and_what_is_told_of_clicks_and_full_effect_are_named() {
    let found = findings(MOONFISH);
    let of = |rule: &str, about: &str| found.iter().find(|f| f.rule == rule && f.about == about).unwrap();
    let names = |rule, about| told(of(rule, about)).into_iter().map(|(what, _)| what).collect::<Vec<_>>();
    assert!(names("stage-misses", "blow.gas").contains(&"pulse of the fail-safe unit"));
    assert!(names("wanted-not-reached", "tank_servo.pump").contains(&"pump switch from clicks"));
    assert!(names("wanted-not-reached", "tank_servo.vent").contains(&"full effect of the vent valve"));
    assert!(names("works-at-rest", "tank_servo.pump").contains(&"letting go of the pump switch"));
    assert!(!names("works-together", "tank_servo.vent").contains(&"servo accuracy"));
}

#[test]
fn a_zone_with_a_far_end_is_measured_from_the_edge_that_counts() {
    // The zone ends at 60 ± 2 %; the stage sets far more.
    let text = MOONFISH.replace("releases: +31 % ± 2 %}", "to: +60 % ± 2 %}");
    assert_ne!(text, MOONFISH);
    let found = findings(&text);
    let blow = found.iter().find(|f| f.rule == "stage-misses" && f.about == "blow.pump").unwrap();
    assert_eq!(blow.outcome, Outcome::Broken);
    assert!(told(blow).iter().any(|(what, _)| *what == "far end of the pump switch"), "{:?}", told(blow));
    // The blower held fully stops short of the far end and is surely past the near one.
    let held = found.iter().find(|f| f.rule == "wanted-not-reached" && f.about == "tank_servo.pump").unwrap();
    assert!(!held.budget.is_empty());
}
