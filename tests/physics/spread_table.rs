//! Prints the factors of tolerance intervals at many points, for `tests/outside/check_spread.py`: the kind,
//! what was put in, what came out.

use lidcard_spread::{Claim, OutOfRange, factor, free, interval, normal};

fn row(kind: &str, numbers: &[f64]) {
    let text: Vec<String> = numbers.iter().map(|n| format!("{n:e}")).collect();
    println!("{kind},{}", text.join(","));
}

fn main() -> Result<(), OutOfRange> {
    for count in [2_usize, 3, 4, 5, 6, 7, 8, 10, 12, 15, 20, 30, 50, 92, 200] {
        for coverage in [0.5, 0.9, 0.95, 0.99, 0.999] {
            for confidence in [0.5, 0.9, 0.95, 0.99] {
                let claim = Claim::new(coverage, confidence)?;
                let put = [count as f64, coverage, confidence];
                row("both", &[&put[..], &[factor::two_sided(count, claim)]].concat());
                row("one", &[&put[..], &[factor::one_sided(count, claim)]].concat());
                let outside = free::left_out(10 * count, claim).map_or(-1.0, |n| n as f64);
                row("order", &[&put[..], &[outside, free::fewest(claim) as f64]].concat());
            }
        }
    }
    for freedom in [1_usize, 2, 3, 4, 7, 9, 30, 91] {
        for shift in [-1.0, 0.0, 0.7, 4.0, 12.0] {
            for t in [-2.0, 0.0, 0.5, 3.0, 12.0, 25.0] {
                let found = normal::noncentral_t_below(t, freedom, shift);
                row("t", &[freedom as f64, shift, t, found]);
            }
        }
        for x in [0.01, 0.5, 1.0, 4.0, 20.0, 120.0] {
            row("chi", &[freedom as f64, x, normal::chi_squared_above(x, freedom)]);
        }
    }
    // Readings as they are taken: in steps, few and many, all alike.
    let claim = Claim::new(0.95, 0.95)?;
    let many: Vec<f64> = (0..120).map(|i| 30.0 + f64::from(i * i * 7 % 11)).collect();
    for readings in
        [&[36.0, 38.0, 35.0, 37.0, 36.0][..], &[40.0; 6], &[-41.5, -40.0, -40.5, -42.0, -41.0], &many]
    {
        for step in [0.25, 1.0, 3.0] {
            if let Some(found) = interval(readings, step, claim) {
                row("interval", &[&[step, found.low, found.high], readings].concat());
            }
        }
    }
    Ok(())
}
