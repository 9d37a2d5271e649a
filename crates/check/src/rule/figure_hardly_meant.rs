//! Figures that no model has, so that they are asked about instead of being believed.

mod together;

use super::engine::Engine;
use super::say::{self, Draft};
use crate::finding::{Finding, Gap, Severity, StateId, Subject};
use crate::rehearsal::solve::{LONGEST_STAGE, LONGEST_WAIT};
use crate::setup::quantity::Seconds;
use crate::setup::{Emptier, Exact, Path, Setup, Side};

pub(super) const NAME: &str = "figure-hardly-meant";

/// The least and the most that a model has of something, in thousandths of its unit (common practice, no source). Times are those beyond
/// which none is proposed either.
type Usual = [i64; 2];

const DEPTH: Usual = [100, 10_000];
const SINKS_IN: Usual = [500, LONGEST_STAGE * 1000];
const WEIGHT: Usual = [50, 300_000];
const LENGTH: Usual = [50_000, 5_000_000];
const BEAM: Usual = [10_000, 2_000_000];
const SPEED: Usual = [10, 10_000];
const TANK: Usual = [5, 50_000];
const AIR: Usual = [20, 200_000];
const FLOW: Usual = [20, 100_000];
const BOTTLE: Usual = [2, 10_000];
const PUMP_STARTS: Usual = [0, 20_000];
const GOES_ON: Usual = [200, 7_200_000];
const SERVO: Usual = [20, 5_000];
const TRAVELS: Usual = [30, 120_000];
const TURNS: Usual = [10_000, 200_000];
const CURRENT: Usual = [0, 500_000];
const CAPACITY: Usual = [20, 200_000];
const DROPS: Usual = [10, 50_000];
const CELLS: Usual = [1000, 30_000];
const RESISTANCE: Usual = [1_000, 3_000_000];
const SUPPLY: Usual = [50, 100_000];
const BROWNS_OUT: Usual = [1000, 30_000];
const MARGIN: Usual = [3_000, 120_000];
const PUMPED_AGAINST: Usual = [10, 10_000];
const BOTTLED: Usual = [500, 300_000];
const HOLE: Usual = [50, 10_000];
const SLOWED: Usual = [0, 30_000];
const EXPO: Usual = [0, 85_000];
const RATE: Usual = [2_000, 150_000];
const ENDPOINT: Usual = [4_000, 200_000];
const BAND: Usual = [0, 40_000];
const LIMIT: Usual = [5_000, 200_000];
/// Years in which a model may have been fitted out.
const YEARS: std::ops::RangeInclusive<u16> = 1970..=2100;

/// Once for each figure that is beyond what a model has.
pub(super) fn apply(engine: &Engine, findings: &mut Vec<Finding>) {
    let setup = engine.setup;
    let mut times: Vec<(Subject, Path, &Seconds, i64)> = Vec::new();
    if let Some(after) = &setup.receiver.after {
        times.push((Subject::Receiver, Path::of(["receiver", "after"]), after, LONGEST_WAIT));
    }
    if let Some(unit) = &setup.fail_safe {
        let path = Path::of(["fail_safe"]);
        if let Some(wait) = &unit.wait {
            times.push((Subject::Unit, path.then("wait"), wait, LONGEST_WAIT));
        }
        for (index, stage) in unit.stages.iter().enumerate() {
            if let Some(lasts) = &stage.lasts {
                let path = path.then("stages").then(index).then("lasts");
                times.push((Subject::Stage(index), path, lasts, LONGEST_STAGE));
            }
        }
    }
    for (about, path, time, most) in times {
        if time.0 > Exact::int(most) {
            let draft = asked(about, path, &time.to_string(), &format!("{most} s"));
            findings.push(draft.sentence("time").gap("time", Gap::Seconds(time.0.clone())).close_plain(
                true,
                &format!("a time of {time} is hardly meant"),
                "",
            ));
        }
    }
    let mut figures = Figures { found: Vec::new() };
    figures.of_hull(setup);
    figures.of_what_empties(setup);
    figures.of_devices(setup);
    figures.of_batteries(setup);
    figures.of_the_set(setup);
    figures.of_channels(setup);
    figures.of_a_body(setup);
    figures.of_times(setup);
    findings.extend(figures.found);
    let boat = &setup.boat;
    let year = boat.date.as_ref().and_then(|date| date.split('-').next()?.parse::<u16>().ok());
    if let Some(year) = year.filter(|year| !YEARS.contains(year)) {
        let (first, last) = (YEARS.start(), YEARS.end());
        findings.push(
            Draft::new(NAME, Severity::Warning, Subject::Boat, StateId::OnPaper)
                .at(Path::of(["boat", "date"]), format!("not between {first} and {last}"))
                .help("write the day of this revision: `2026-05-02`")
                .close_plain(true, &format!("nobody fits out a boat in the year {year}"), ""),
        );
    }
}

fn asked(about: Subject, path: Path, shown: &str, most: &str) -> Draft {
    beside(about, path, format!("{shown}, more than {most}"))
}

fn beside(about: Subject, path: Path, label: String) -> Draft {
    Draft::new(NAME, Severity::Warning, about, StateId::OnPaper).at(path, label).help(
        "look for a slip of the unit or of the point; if it is right, accept the finding with that reason",
    )
}

/// Those that are asked about.
struct Figures {
    found: Vec<Finding>,
}

impl Figures {
    /// One figure, where the file gives it, under what is about it and by the last key of its place.
    fn hold(&mut self, about: Subject, path: Path, figure: Option<&Exact>, unit: &str, [least, most]: Usual) {
        let Some(figure) = figure else { return };
        let [least, most] = [least, most].map(|bound| Exact::ratio(bound, 1000));
        // Nought stands for what is not there, and is told by whoever cannot do with it.
        let (bound, side) = if *figure > most {
            (most, "more")
        } else if *figure < least && figure.signum() > 0 {
            (least, "less")
        } else {
            return;
        };
        let shown = format!("{} {unit}", figure.to_decimal(4));
        let key = path.0.last().map_or("", String::as_str);
        let message = format!("`{key}: {shown}` is hardly that of a model");
        let draft = beside(about, path, format!("{shown}, {side} than {} {unit}", bound.to_decimal(3)));
        self.found.push(draft.close_plain(true, &message, ""));
    }

    fn of_hull(&mut self, setup: &Setup) {
        let (boat, hull) = (&setup.boat, &setup.hull);
        let of_boat = |key: &str| Path::of(["boat", key]);
        let of_hull = |key: &str| Path::of(["hull", key]);
        let at = Subject::Hull;
        self.hold(Subject::Boat, of_boat("depth_limit"), boat.depth_limit.as_ref().map(|q| &q.0), "m", DEPTH);
        self.hold(Subject::Boat, of_boat("sinks_in"), boat.sinks_in.as_ref().map(|q| &q.0), "s", SINKS_IN);
        self.hold(at, of_hull("weight"), hull.weight.as_ref().map(|q| &q.value.0), "kg", WEIGHT);
        self.hold(at, of_hull("length"), hull.length.as_ref().map(|q| &q.0), "mm", LENGTH);
        self.hold(at, of_hull("beam"), hull.beam.as_ref().map(|q| &q.0), "mm", BEAM);
        self.hold(at, of_hull("dives_at"), hull.dives_at.as_ref().map(|q| &q.0), "m/s", SPEED);
        self.hold(at, of_hull("sails_at"), hull.sails_at.as_ref().map(|q| &q.0), "m/s", SPEED);
        self.hold(at, of_hull("air"), hull.air.as_ref().map(|q| &q.value.0), "L", AIR);
    }

    fn of_what_empties(&mut self, setup: &Setup) {
        let volume = setup.tank.volume.as_ref().map(|q| &q.value.0);
        self.hold(Subject::Tank, Path::of(["tank", "volume"]), volume, "L", TANK);
        for (function, emptier) in &setup.tank.emptied_by {
            let about = Subject::Function(*function);
            let at = |key: &str| Path::of(["tank", "emptied_by", &setup.work_name(*function), key]);
            match emptier {
                Emptier::Pump(pump) => {
                    let most = pump.flow.iter().map(|(_, flow)| &flow.0).max();
                    self.hold(about, at("flow"), most, "L/min", FLOW);
                    let against = pump.flow.iter().map(|(pressure, _)| &pressure.0).max();
                    self.hold(about, at("flow"), against, "bar", PUMPED_AGAINST);
                    self.hold(
                        about,
                        at("starts_in"),
                        pump.starts_in.as_ref().map(|q| &q.0),
                        "s",
                        PUMP_STARTS,
                    );
                    self.hold(about, at("duty"), pump.duty.as_ref().map(|q| &q.0), "s", GOES_ON);
                    self.hold(about, at("current"), pump.current.as_ref().map(|q| &q.0), "A", CURRENT);
                    self.hold(about, at("stall"), pump.stall.as_ref().map(|q| &q.0), "A", CURRENT);
                }
                Emptier::Gas(gas) => {
                    self.hold(about, at("bottle"), gas.bottle.as_ref().map(|q| &q.0), "L", BOTTLE);
                    let pressure = gas.pressure.as_ref().map(|q| &q.value.0);
                    self.hold(about, at("pressure"), pressure, "bar", BOTTLED);
                    self.hold(about, at("hole"), gas.hole.as_ref().map(|q| &q.0), "mm", HOLE);
                }
            }
        }
    }

    fn of_devices(&mut self, setup: &Setup) {
        for (id, device) in setup.devices.iter().enumerate() {
            let (about, facts) = (Subject::Device(id), &device.facts);
            let at = |key: &str| Path::of(["devices", &device.name, key]);
            self.hold(about, at("speed"), facts.speed.as_ref().map(|q| &q.0), "s", SERVO);
            self.hold(about, at("takes"), facts.takes.as_ref().map(|q| &q.0), "s", TRAVELS);
            self.hold(about, at("turn"), facts.turn.as_ref(), "deg", TURNS);
            self.hold(about, at("stall"), facts.stall.as_ref().map(|q| &q.0), "A", CURRENT);
            self.hold(about, at("draws"), facts.draws.as_ref().map(|q| &q.0), "A", CURRENT);
            self.hold(about, at("rated"), facts.rated.as_ref().map(|q| &q.0), "A", CURRENT);
            let shares = |band: &[Exact; 2]| band.iter().map(|end| end.abs() * Exact::int(100)).max();
            let band = device.still_between.as_ref().filter(|_| !facts.one_way).and_then(shares);
            self.hold(about, at("still_between"), band.as_ref(), "%", BAND);
            let limits = device.limits.as_ref().and_then(shares);
            self.hold(about, at("limits"), limits.as_ref(), "%", LIMIT);
        }
        for function in setup.works() {
            let (about, facts) = (Subject::Function(function), &setup.work(function).facts);
            let at = |key: &str| say::work_path(setup, function).then(key);
            self.hold(about, at("longest"), facts.longest.as_ref().map(|q| &q.0), "s", GOES_ON);
            self.hold(about, at("must_run"), facts.must_run.as_ref().map(|q| &q.0), "s", GOES_ON);
            self.hold(about, at("weighs"), facts.weighs.as_ref().map(|q| &q.value.0), "kg", DROPS);
        }
    }

    fn of_batteries(&mut self, setup: &Setup) {
        for (id, battery) in setup.batteries.iter().enumerate() {
            let about = Subject::Battery(id);
            let at = |key: &str| Path::of(["batteries", &battery.name, key]);
            self.hold(about, at("capacity"), battery.capacity.as_ref().map(|q| &q.0), "Ah", CAPACITY);
            self.hold(about, at("draws"), battery.draws.as_ref().map(|q| &q.0), "A", CURRENT);
            self.hold(about, at("rated"), battery.rated.as_ref().map(|q| &q.0), "A", CURRENT);
            let cells = battery.cells.map(|cells| Exact::int(i64::from(cells)));
            self.hold(about, at("cells"), cells.as_ref(), "cells", CELLS);
            let resistance = battery.resistance.as_ref().map(|q| &q.value.0 * Exact::int(1000));
            self.hold(about, at("resistance"), resistance.as_ref(), "mohm", RESISTANCE);
        }
    }

    fn of_the_set(&mut self, setup: &Setup) {
        let (set, supply) = (&setup.transmitter, &setup.receiver.supply);
        let margin = set.margin.as_ref().map(|q| &q.value.0);
        self.hold(Subject::Transmitter, Path::of(["transmitter", "margin"]), margin, "dB", MARGIN);
        let at = |key: &str| Path::of(["receiver", key]);
        self.hold(Subject::Receiver, at("supply"), supply.current.as_ref().map(|q| &q.0), "A", SUPPLY);
        let browns_out = supply.browns_out.as_ref().map(|q| &q.0);
        self.hold(Subject::Receiver, at("browns_out"), browns_out, "V", BROWNS_OUT);
    }

    fn of_channels(&mut self, setup: &Setup) {
        let percent = |share: &Exact| share * Exact::int(100);
        for (id, channel) in setup.channels.iter().enumerate() {
            let about = Subject::Channel(id);
            let at = |key: &str| say::channel_path(setup, id).then(key);
            self.hold(about, at("slow"), channel.slow.as_ref().map(|q| &q.0), "s", SLOWED);
            self.hold(about, at("expo"), Some(&percent(&channel.expo)), "%", EXPO);
            // One value of several stands for both ways.
            let rates: std::collections::BTreeSet<Exact> =
                channel.rate.iter().flat_map(|rate| rate.values.iter().map(percent)).collect();
            for rate in &rates {
                self.hold(about, at("rate"), Some(rate), "%", RATE);
            }
            for side in Side::BOTH {
                let path = say::endpoint_path(setup, id, side);
                self.hold(about, path, Some(&percent(&channel.endpoints[side.index()])), "%", ENDPOINT);
            }
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::NAME;
    use crate::setup::lower::lower;
    use crate::source::Source;

    fn asked(file: &str, from: &str, to: &str) -> Vec<String> {
        let text = std::fs::read_to_string(format!("../../{file}")).unwrap();
        assert!(text.contains(from), "{from}");
        let source = Source::from_bytes("x", text.replacen(from, to, 1).into_bytes()).unwrap();
        let found = crate::rule::check(&lower(&source).unwrap());
        found.into_iter().filter(|f| f.rule == NAME).map(|f| f.message).collect()
    }

    /// Each by a slip of the point, of a nought or of the unit.
    #[test]
    fn a_slip_of_any_figure_is_asked_about_and_a_model_is_not() {
        const MOONFISH: &str = "boats/moonfish.yaml";
        for (from, to) in [
            ("depth_limit: 2 m", "depth_limit: 0.02 m"),
            ("weight: 8.4 kg", "weight: 8.4 g"),
            ("length: 900 mm", "length: 9 mm"),
            ("beam: 110 mm", "beam: 11000 mm"),
            ("air: 5 L", "air: 5000 L"),
            ("dives_at: 0.05 m/s", "dives_at: 50 m/s"),
            ("volume: 600 mL ± 20 mL", "volume: 0.6 mL ± 0.02 mL"),
            ("[[0 bar, 4 L/min]", "[[0 bar, 400 L/min]"),
            ("starts_in: 0.5 s", "starts_in: 50 s"),
            ("duty: 90 s", "duty: 90000 s"),
            ("bottle: 50 mL", "bottle: 50 L"),
            ("speed: 0.2 s", "speed: 0.0002 s"),
            ("turn: 45 deg", "turn: 450 deg"),
            ("stall: 11 A", "stall: 1100 A"),
            ("capacity: 4.2 Ah", "capacity: 4200 Ah"),
            ("rated: 20 A", "rated: 2000 A"),
            ("expo: 20 %", "expo: 100 %"),
            ("expo: 20 %", "expo: 20 %\n    slow: 300 s"),
            ("gentle: 55 %", "gentle: 1 %"),
            ("gentle: 55 %", "gentle: 200 %"),
            ("starboard: 90 %}", "starboard: 2 %}"),
            ("cells: 6", "cells: 60"),
            ("resistance: 30 mohm", "resistance: 0.03 mohm"),
            ("still_between: [-4 %, +4 %]", "still_between: [-80 %, +80 %]"),
            ("limits: [-90 %, +90 %]", "limits: [-3 %, +3 %]"),
            ("hole: 0.5 mm", "hole: 0.005 mm"),
            ("[0.7 bar, 0 L/min]", "[70 bar, 0 L/min]"),
            ("after: 1 s", "after: 1 s\n  supply: 3000 A"),
            ("after: 1 s", "after: 1 s\n  browns_out: 55 V"),
            ("frequency: 40.685 MHz", "frequency: 40.685 MHz\n  margin: 200 dB"),
        ] {
            assert_eq!(asked(MOONFISH, from, to).len(), 1, "{to}: {:?}", asked(MOONFISH, from, to));
        }
        assert!(asked(MOONFISH, "cells: 6", "cells: 6").is_empty());
        // Each by itself is that of a model.
        for (from, to) in [
            ("beam: 110 mm", "beam: 1100 mm"),
            ("volume: 600 mL ± 20 mL", "volume: 40 L ± 20 mL"),
            ("air: 5 L ± 0.5 L", "air: 50 L ± 0.5 L"),
            ("weight: 8.4 kg", "weight: 84 kg"),
            ("longest: none", "longest: 20 s, must_run: 30 s"),
        ] {
            let file = if from.starts_with("longest") { "boats/sprat.yaml" } else { MOONFISH };
            assert_eq!(asked(file, from, to).len(), 1, "{to}: {:?}", asked(file, from, to));
        }
        let lead = asked("tests/fixtures/clean/gadwall.yaml", "weighs: 340 g", "weighs: 340 kg");
        assert_eq!(lead, ["`weighs: 340 kg` is hardly that of a model"]);
        for (from, to) in [("takes: 9 s", "takes: 0.009 s"), ("sinks_in: 20 s", "sinks_in: 0.02 s")] {
            assert_eq!(asked("tests/fixtures/clean/coot.yaml", from, to).len(), 1, "{to}");
        }
    }
}
