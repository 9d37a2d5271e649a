//! Where a servo is on its way, and what it touches there.

use crate::physics::motion::Stretch;
use crate::physics::units::Seconds;

/// The way of a servo: straight lines through moments and positions, the last position held for good.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Way {
    points: Vec<Point>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
struct Point {
    at: f64,
    position: f64,
    /// Which command leads here; nought before the first.
    command: usize,
}

/// Where a work is switched on and let go, as distances from rest on its side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Zone {
    /// +1 or -1: the side it lies on.
    pub(super) sign: f64,
    pub(super) from: f64,
    pub(super) releases: f64,
    /// Where it ends; infinite where it does not.
    pub(super) to: f64,
}

/// A stretch of time in which a work is on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Touch {
    pub(super) from: f64,
    /// `None`: for good.
    pub(super) until: Option<f64>,
    /// The servo only passes it: on and off again under way to somewhere else.
    pub(super) passing: bool,
}

impl Way {
    /// From a position at the cause, by commands in order of time; `per_axis` seconds for 100 % of travel.
    pub(super) fn of(start: f64, commands: &[(f64, f64)], per_axis: f64) -> Self {
        let mut points = vec![Point { at: 0.0, position: start, command: 0 }];
        for (index, &(at, to)) in commands.iter().enumerate() {
            let command = index + 1;
            // A servo that has not arrived is sent on from where it is.
            let mut here = points[points.len() - 1];
            while here.at > at && points.len() > 1 {
                points.pop();
                let before = points[points.len() - 1];
                let share = if here.at > before.at { (at - before.at) / (here.at - before.at) } else { 1.0 };
                let position = before.position + (here.position - before.position) * share.max(0.0);
                let cut = Point { at: at.max(before.at), position, command: here.command };
                if before.at <= at {
                    points.push(cut);
                    here = cut;
                    break;
                }
                here = before;
            }
            if here.at < at {
                points.push(Point { at, position: here.position, command: here.command });
            }
            let from = points[points.len() - 1];
            let takes = (to - from.position).abs() * per_axis;
            points.push(Point { at: at + takes, position: to, command });
        }
        Self { points }
    }

    /// When a work is on and how far open: evenly from where it opens to `full`, wholly at once without one.
    pub(super) fn opens(&self, touches: &[Touch], zone: Zone, full: Option<f64>) -> Vec<Stretch> {
        let whole = |t: &Touch| Stretch::whole(Seconds(t.from), Seconds(t.until.unwrap_or(f64::INFINITY)));
        let Some(full) = full.filter(|full| *full > zone.from) else {
            return touches.iter().map(whole).collect();
        };
        let share = |x: f64| ((zone.sign * x - zone.from) / (full - zone.from)).clamp(0.0, 1.0);
        let last = self.points[self.points.len() - 1];
        let held = [last, Point { at: f64::INFINITY, ..last }];
        let mut all = Vec::new();
        for touch in touches {
            let until = touch.until.unwrap_or(f64::INFINITY);
            for pair in self.points.windows(2).chain([&held[..]]) {
                let [a, b] = [pair[0], pair[1]];
                let (from, to) = (a.at.max(touch.from), b.at.min(until));
                if from >= to {
                    continue;
                }
                let at = |t: f64| {
                    if b.at.is_finite() && b.at > a.at {
                        a.position + (b.position - a.position) * (t - a.at) / (b.at - a.at)
                    } else {
                        b.position
                    }
                };
                let crossing =
                    |x: f64| a.at + (b.at - a.at) * (zone.sign * x - a.position) / (b.position - a.position);
                let mut moments: Vec<f64> = [zone.from, full].map(crossing).into_iter().collect();
                moments.retain(|t| t.is_finite() && *t > from && *t < to);
                moments.extend([from, to]);
                moments.sort_by(f64::total_cmp);
                all.extend(moments.windows(2).filter(|t| t[0] < t[1]).map(|t| Stretch {
                    from: Seconds(t[0]),
                    until: Seconds(t[1]),
                    open: [share(at(t[0])), share(at(t[1]))],
                }));
            }
        }
        all
    }

    /// The share of its hole that a work has open where the servo comes to stand; the least of these places,
    /// of those at which it is open at all.
    pub(super) fn least_open(&self, touches: &[Touch], zone: Zone, full: f64) -> Option<f64> {
        let stands = self.opens(touches, zone, Some(full));
        let stands = stands.iter().filter(|s| (s.open[0] - s.open[1]).abs() < 1e-12 && s.open[0] > 0.0);
        stands.map(|s| s.open[0]).reduce(f64::min)
    }

    /// When it stands where the last command put it.
    #[cfg(test)]
    fn arrives(&self) -> f64 {
        self.points[self.points.len() - 1].at
    }

    /// When a work is on, in order of time; one that is passed in no time is there with no length.
    pub(super) fn touches(&self, zone: Zone) -> Vec<Touch> {
        let mut all: Vec<Touch> = Vec::new();
        let mut on: Option<(f64, usize)> = None;
        let mut note = |at: f64, x: f64, command: usize, on: &mut Option<(f64, usize)>| {
            let is = x <= zone.to && (x >= zone.from || on.is_some() && x >= zone.releases);
            match (*on, is) {
                (None, true) => *on = Some((at, command)),
                (Some((from, opened)), false) => {
                    let passing = opened == command && command > 0;
                    all.push(Touch { from, until: Some(at), passing });
                    *on = None;
                }
                _ => {}
            }
        };
        note(0.0, zone.sign * self.points[0].position, 0, &mut on);
        for pair in self.points.windows(2) {
            let (a, b) = (zone.sign * pair[0].position, zone.sign * pair[1].position);
            let mut shares: Vec<f64> = [zone.from, zone.releases, zone.to]
                .into_iter()
                .map(|x| (x - a) / (b - a))
                .filter(|s| s.is_finite() && (0.0..1.0).contains(s))
                .collect();
            shares.push(0.0);
            shares.sort_by(f64::total_cmp);
            shares.push(1.0);
            for part in shares.windows(2) {
                let at = pair[0].at + (pair[1].at - pair[0].at) * part[0];
                let middle = a + (b - a) * (part[0] + part[1]) / 2.0;
                note(at, middle, pair[1].command, &mut on);
            }
            note(pair[1].at, b, pair[1].command, &mut on);
        }
        if let Some((from, _)) = on {
            all.push(Touch { from, until: None, passing: false });
        }
        all
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn zone(sign: f64, from: f64, releases: f64) -> Zone {
        Zone { sign, from, releases, to: f64::INFINITY }
    }

    fn near(a: f64, b: f64) -> bool {
        (a - b).abs() < 1e-12
    }

    /// From -80 % at 4 s to +105 % at half a second for 100 %: 0.925 s. The vent at -45 % is open until
    /// 35 % further on, 4.175 s; the pump at +38 % from 4 + 1.18 / 2 = 4.59 s; gas at +72 %, 4.76 s.
    #[test]
    fn a_servo_goes_through_its_zones_in_their_true_order() {
        let way = Way::of(-0.8, &[(4.0, 1.05), (16.0, 0.0)], 0.5);
        let vent = way.touches(zone(-1.0, 0.45, 0.45));
        assert_eq!(vent.len(), 1);
        assert!(near(vent[0].from, 0.0) && near(vent[0].until.unwrap_or(0.0), 4.175) && !vent[0].passing);
        let pump = way.touches(zone(1.0, 0.38, 0.33));
        // Back from +105 % at 16 s: let go at +33 %, 0.72 / 2 = 0.36 s later.
        assert!(near(pump[0].from, 4.59) && near(pump[0].until.unwrap_or(0.0), 16.36) && !pump[0].passing);
        let gas = way.touches(zone(1.0, 0.72, 0.72));
        assert!(near(gas[0].from, 4.76) && near(gas[0].until.unwrap_or(0.0), 16.165));
        assert!(near(way.arrives(), 16.525));
    }

    /// Half a second for 100 %: from +40 % at 1.2 s to +60 % at 1.3 s; it is to go to +50 % and stops there, half
    /// open. Shut again from 4 s on.
    #[test]
    fn a_valve_is_as_far_open_as_its_servo_is_on_the_way_from_its_first_to_its_full() {
        let way = Way::of(0.0, &[(1.0, 0.5), (4.0, 0.0)], 0.5);
        let zone = zone(1.0, 0.4, 0.4);
        let touches = way.touches(zone);
        let opens = way.opens(&touches, zone, Some(0.6));
        let told: Vec<[f64; 4]> = opens.iter().map(|s| [s.from.0, s.until.0, s.open[0], s.open[1]]).collect();
        let want = [[1.2, 1.25, 0.0, 0.5], [1.25, 4.0, 0.5, 0.5], [4.0, 4.05, 0.5, 0.0]];
        assert_eq!(told.len(), want.len(), "{told:?}");
        for (told, want) in told.iter().flatten().zip(want.iter().flatten()) {
            assert!(near(*told, *want), "{opens:?}");
        }
        assert!(way.least_open(&touches, zone, 0.6).is_some_and(|open| near(open, 0.5)));
        // Without a `full` it is open at once, and one that goes past it is wholly open.
        assert!(way.opens(&touches, zone, None).iter().all(|s| near(s.open[0], 1.0) && near(s.open[1], 1.0)));
        assert!(way.least_open(&touches, zone, 0.45).is_some_and(|open| near(open, 1.0)));
    }

    #[test]
    fn what_lies_between_is_only_passed() {
        let way = Way::of(1.0, &[(1.0, -0.5)], 1.0);
        let between = way.touches(Zone { to: 0.6, ..zone(1.0, 0.4, 0.4) });
        // In at 0.6 after 0.4 s, out at 0.4 after 0.6 s.
        assert_eq!(between.len(), 1);
        assert!(
            near(between[0].from, 1.4) && near(between[0].until.unwrap_or(0.0), 1.6) && between[0].passing
        );
        // A servo that jumps touches it too, for no time.
        let jumps = Way::of(1.0, &[(1.0, -0.5)], 0.0).touches(Zone { to: 0.6, ..zone(1.0, 0.4, 0.4) });
        assert_eq!(jumps, [Touch { from: 1.0, until: Some(1.0), passing: true }]);
    }

    #[test]
    fn a_threshold_touched_counts_and_a_servo_is_sent_on_from_where_it_is() {
        let way = Way::of(0.0, &[(0.0, 0.5)], 1.0);
        let touched = way.touches(zone(1.0, 0.5, 0.5));
        assert_eq!(touched, [Touch { from: 0.5, until: None, passing: false }]);
        // Half way to 100 % it is called back: it never gets beyond 50 %, and is at rest after one second.
        let way = Way::of(0.0, &[(0.0, 1.0), (0.5, 0.0)], 1.0);
        assert!(way.touches(zone(1.0, 0.51, 0.51)).is_empty());
        assert!(near(way.arrives(), 1.0));
        assert_eq!(way.touches(zone(1.0, 0.5, 0.5)).len(), 1);
    }
}
