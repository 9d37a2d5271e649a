//! Prints what the estimates of motion and radio and the bounds of linkages are at many points, for
//! `tests/outside/check_motion.py`: the kind, what was put in, what came out.

use lidcard::physics::linkage::{Angle, Branch, FourBar, Interval, Length, SliderCrank};
use lidcard::physics::motion::{Ballast, Boat, Start, rise, spheroid};
use lidcard::physics::radio::{SiemensPerMetre, Water, attenuation, permittivity, surface_loss};
use lidcard::physics::units::{
    Celsius, CubicMetres, CubicMetresPerSecond, Hertz, KgPerM3, Kilograms, Metres, MetresPerSecond, Newtons,
    Seconds, SquareMetres,
};
use std::error::Error;

type Outcome = Result<(), Box<dyn Error>>;

fn row(kind: &str, numbers: &[f64]) {
    let text: Vec<String> = numbers.iter().map(|n| format!("{n:e}")).collect();
    println!("{kind},{}", text.join(","));
}

fn main() -> Outcome {
    masses()?;
    steady()?;
    blown()?;
    radio()?;
    linkages();
    Ok(())
}

fn masses() -> Outcome {
    for n in 1..40 {
        let ratio = 1.0 + f64::from(n) * 0.25;
        let found = spheroid(ratio)?;
        row("spheroid", &[ratio, found.along, found.across]);
    }
    Ok(())
}

fn boat(mass: f64, area: f64) -> Boat {
    Boat {
        mass: Kilograms(mass),
        added: Kilograms(0.9 * mass),
        drag: 1.1,
        area: SquareMetres(area),
        water: KgPerM3(1000.0),
    }
}

fn steady() -> Outcome {
    for (mass, area) in [(0.8, 0.01), (5.0, 0.06), (40.0, 0.3)] {
        for net in [0.05, 0.5, 5.0, 20.0] {
            for number in [0.2, 1.0, 3.0, 8.0] {
                let boat = boat(mass, area);
                let (way, speed) = boat.from_rest(Newtons(net), Seconds(number))?;
                let (time, _) = boat.over_way(Newtons(net), Metres(number))?;
                let over = boat.stopping(Newtons(net), MetresPerSecond(number / 5.0))?;
                row("steady", &[mass, area, net, number, way.0, speed.0, time.0, over.way.0, over.time.0]);
            }
        }
    }
    Ok(())
}

fn blown() -> Outcome {
    for (mass, area) in [(0.8, 0.01), (5.0, 0.06), (40.0, 0.3)] {
        for before in [-0.1, -0.03, 0.0] {
            for begins in [0.0, 1.5, 4.0] {
                for seconds in [1.0, 6.0] {
                    let volume = 0.1 * mass * 1e-3;
                    let ballast = Ballast {
                        before: Newtons(before * mass),
                        begins: Seconds(begins),
                        rate: CubicMetresPerSecond(volume / seconds),
                        volume: CubicMetres(volume),
                    };
                    let boat = boat(mass, area);
                    let start = Start { depth: Metres(1.0), sinking: MetresPerSecond(0.12) };
                    let load = |time, _| ballast.load(&boat, time);
                    let found = rise(&boat, start, Seconds(120.0), &ballast.bends(), load)?;
                    let up = found.surfaced.ok_or("a blown boat stays down")?;
                    let deepest = found.deepest;
                    row(
                        "blown",
                        &[
                            mass,
                            area,
                            before,
                            begins,
                            seconds,
                            deepest.depth.0,
                            deepest.time.0,
                            up.time.0,
                            up.sinking.0,
                        ],
                    );
                }
            }
        }
    }
    Ok(())
}

fn radio() -> Outcome {
    for mhz in [1.0, 27.0, 40.0, 75.0, 433.0, 868.0, 2400.0, 5800.0] {
        for t in [0.0, 4.0, 10.0, 17.0, 25.0, 40.0] {
            let sea = [1.0, 10.0, 35.0, 40.0].map(|salinity| Water::Sea { salinity });
            let fresh = [0.0, 0.005, 0.05, 0.2].map(|s| Water::Fresh(SiemensPerMetre(s)));
            for water in fresh.into_iter().chain(sea) {
                let (f, t) = (Hertz(mhz * 1e6), Celsius(t));
                let (kind, salt) = match water {
                    Water::Fresh(s) => (0.0, s.0),
                    Water::Sea { salinity } => (1.0, salinity),
                };
                let e = permittivity(f, t, water)?;
                let loss = attenuation(f, t, water)?;
                let surface = surface_loss(f, t, water)?;
                row("radio", &[mhz, t.0, kind, salt, e.real, e.imaginary, loss.0, surface.0]);
            }
        }
    }
    Ok(())
}

/// A refused position prints no bounds, which the check must find to be refused rightly.
fn bounds(found: Option<Interval>) -> [f64; 2] {
    found.map_or([f64::NAN; 2], |b| [b.low(), b.high()])
}

fn linkages() {
    for (horn, arm, pivots) in [(12.0, 15.0, 60.0), (8.0, 20.0, 45.0), (15.0, 12.0, 90.0)] {
        for branch in [Branch::Open, Branch::Crossed] {
            for slack in [0.0, 0.2] {
                for rest in [-15.0, 0.0, 20.0] {
                    for turn in [-60.0, -35.0, -5.0, 5.0, 30.0, 60.0] {
                        let rod = libm::hypot(pivots, arm - horn);
                        let parts = FourBar {
                            horn: Length::millimetres(horn, slack),
                            rod: Length::millimetres(rod, slack),
                            arm: Length::millimetres(arm, slack),
                            pivots: Length::millimetres(pivots, slack),
                            at_rest: Angle::degrees(rest, 5.0 * slack),
                            branch,
                        };
                        let [low, high] =
                            bounds(parts.move_at(Angle::degrees(turn, 0.0)).ok().map(Angle::bounds));
                        let back = parts.turn_for(Angle::from_to(low, high)).ok().map(Angle::bounds);
                        let [first, last] = bounds(back);
                        let open = f64::from(u8::from(branch == Branch::Open));
                        row(
                            "arm",
                            &[horn, rod, arm, pivots, open, slack, rest, turn, low, high, first, last],
                        );
                    }
                }
            }
        }
        for slack in [0.0, 0.2] {
            for turn in [-70.0, -35.0, -5.0, 5.0, 30.0, 70.0] {
                let parts = SliderCrank {
                    horn: Length::millimetres(horn, slack),
                    rod: Length::millimetres(pivots, slack),
                    height: Length::millimetres(arm - 5.0, slack),
                    at_rest: Angle::degrees(5.0, 5.0 * slack),
                    branch: Branch::Open,
                };
                let [low, high] = bounds(parts.move_at(Angle::degrees(turn, 0.0)).ok().map(Length::bounds));
                let middle = low + (high - low) / 2.0;
                let back = parts.turn_for(Length::millimetres(middle, (high - low) / 2.0));
                let [first, last] = bounds(back.ok().map(Angle::bounds));
                row("slider", &[horn, pivots, arm - 5.0, slack, 5.0, turn, low, high, first, last]);
            }
        }
    }
}
