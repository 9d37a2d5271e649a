//! `works` of a device: what it reaches on its way.

use super::super::exact::Exact;
use super::super::facts::{Signal, WorkFacts};
use super::super::keys::work::{RESERVED, WORK};
use super::super::model::{DeviceId, Figure, Function, Path, Point, Readings, Reserved, Toleranced, WorkRef};
use super::super::quantity::{About, Kilograms};
use super::Reader;
use super::dive::{about, above_nought};
use super::mistakes::{Block, NONE, NOT_MEASURED};
use super::positions::Linkage;
use super::text::shown;
use super::units::{UnitOfMeasure, says_off};
use crate::device::works::{self, FunctionKind};
use crate::source::{Entry, Mistake, Node, Value};

/// How long a signal has to stay.
pub(in crate::setup) const SIGNALS: &[(&str, Signal)] =
    &[("held", Signal::Held), ("momentary", Signal::Momentary)];
/// What stands behind `releases` where a work lets go where it engages.
pub(in crate::setup) const AT_ONCE: &str = "where it engages";
/// Whether it is on when the battery is connected.
pub(in crate::setup) const WAKES: &[(&str, bool)] = &[("on", true), ("off", false)];

impl<'a> Reader<'a> {
    pub(super) fn works(&mut self, device: DeviceId, node: &'a Node, linkage: &Linkage) {
        let Some(block) = self.mistakes.open_block(node, node.span, "`works`") else {
            return;
        };
        for entry in block.entries() {
            let work = self.read_work(entry, linkage);
            self.left_out_of_work(device, entry, &work);
            self.devices[device].works.push(work);
        }
    }

    /// What the file does not say of a work although a verdict may hang on it.
    fn left_out_of_work(&mut self, device: DeviceId, entry: &Entry, work: &Function) {
        let at = WorkRef { device, work: self.devices[device].works.len() };
        let path = Path::of(["devices", &self.devices[device].name, "works", &entry.key]);
        let points =
            [("from", Point::From), ("to", Point::To), ("full", Point::Full), ("releases", Point::Releases)];
        for (key, point) in points {
            let Some(text) = entry.value.get(key).and_then(Node::text) else { continue };
            if ![NOT_MEASURED, AT_ONCE].contains(&text) && !says_off(text) {
                let said = text.ends_with(NOT_MEASURED);
                self.mistakes.left_out(Figure::Tolerance(at, point), path.then(key), said);
            }
        }
        let few = |readings: &Option<Readings>| readings.as_ref().is_some_and(|readings| !readings.enough());
        for (key, point, readings) in
            [("clicks", Point::From, &work.clicks), ("releases", Point::Releases, &work.releasing)]
        {
            if few(readings) {
                self.mistakes.left_out(Figure::Tolerance(at, point), path.then(key), false);
            }
        }
        let switch = self.devices[device].kind;
        if work.can_hurt() && switch.keys.contains(&"without_pulses") && !switch.runs_a_motor() {
            let wakes = entry.value.get("wakes").and_then(Node::text);
            if wakes.is_none_or(|word| word == NOT_MEASURED) {
                self.mistakes.left_out(Figure::Wakes(at), path.then("wakes"), wakes.is_some());
            }
        }
        let releases = entry.value.get("releases");
        let not_measured = releases.is_some_and(|node| node.text() == Some(NOT_MEASURED));
        if !work.kind.lets_go && (releases.is_none() || not_measured) {
            self.mistakes.left_out(Figure::Releases(at), path.then("releases"), not_measured);
        }
    }

    fn read_work(&mut self, entry: &'a Entry, linkage: &Linkage) -> Function {
        let mut work = Function {
            name: entry.key.clone(),
            kind: &works::ALL[works::ALL.len() - 1],
            sign: 1,
            from: Toleranced { value: Exact::ONE, off: Exact::ZERO },
            to: None,
            full: None,
            releases: None,
            reserved: Reserved::No,
            kept_on: false,
            never_with: Vec::new(),
            clicks: None,
            releasing: None,
            facts: WorkFacts::default(),
        };
        if entry.key.contains('.') {
            self.mistakes.add(
                Mistake::at(entry.key_span, "a work's name has no point in it", "a point")
                    .help("a point stands between a device and its work: `tank_servo.gas`"),
            );
        }
        let what = format!("the work `{}`", shown(&entry.key));
        let Some(block) = self.mistakes.block(&entry.value, entry.key_span, what, &WORK) else {
            return work;
        };
        let kinds: Vec<(&str, &'static FunctionKind)> = works::ALL.iter().map(|k| (k.name, k)).collect();
        if let Some(kind) =
            self.mistakes.require(&block, "kind").and_then(|n| self.mistakes.word(n, "`kind`", &kinds))
        {
            work.kind = kind;
        }
        work.kept_on = self.mistakes.yes_no(&block, "kept_on").unwrap_or(false);
        work.facts = WorkFacts {
            dangerous: self.mistakes.yes_no(&block, "dangerous").unwrap_or(false),
            signal: self.mistakes.optional_word(&block, "signal", SIGNALS),
            hose: self.mistakes.optional_text(&block, "hose"),
            longest: block
                .get("longest")
                .filter(|node| node.text() != Some(NONE))
                .and_then(|node| self.seconds(node, "`longest`")),
            never_too_long: block.get("longest").is_some_and(|node| node.text() == Some(NONE)),
            must_run: block.get("must_run").and_then(|node| self.seconds(node, "`must_run`")),
            weighs: self.weighs(&block, work.kind),
            wakes_on: self.mistakes.optional_word(&block, "wakes", WAKES).unwrap_or(false),
        };
        if let Some(node) = block.get("reserved") {
            work.reserved = self.reserved(node);
        }
        let [to, full] = ["to", "full"]
            .map(|key| block.get(key).and_then(|n| self.position(n, &format!("`{key}`"), Some(linkage))));
        let claim = self.claim(&block, &work);
        let beyond = [&full, &to].map(|p| p.as_ref().map_or(0, |p| p.value.signum()));
        let from = self.engages(&block, linkage, &claim, beyond, &mut work.clicks);
        let side = match &work.clicks {
            Some(clicks) => clicks.crept,
            None => from.as_ref().map_or(1, |from| from.value.signum()),
        };
        let releases = block.get("releases").and_then(|node| match node.value {
            Value::List(_) => {
                work.releasing = self.readings(node, "`releases`", linkage, &claim);
                let readings = work.releasing.as_mut()?;
                // On the way back it is crept towards rest.
                readings.crept = -side;
                readings.point()
            }
            _ if node.text() == Some(AT_ONCE) => None,
            _ => self.position(node, "`releases`", Some(linkage)),
        });
        if let (Some(point), Some(node), true) = (&releases, block.get("releases"), work.releasing.is_some())
            && self.is_off_too_far(&point.off)
        {
            let help = "creep back from beyond the click until it lets go, always from the same side; what lets go so \
                        unevenly is to be mended before anything is proved of it";
            self.off_too_far(node, "`releases`", &point.off, help);
        }
        let Some(from) = from else {
            return work;
        };
        // By what was read: an interval reaches farther to the side from which it was crept up to.
        let middle = |readings: &Option<Readings>, point: &Toleranced| {
            let value = readings.as_ref().map_or_else(|| point.value.clone(), Readings::mean);
            Toleranced { value, off: Exact::ZERO }
        };
        let engages = middle(&work.clicks, &from);
        let lets_go = releases.as_ref().map(|point| middle(&work.releasing, point));
        let sign_of = |p: &Option<Toleranced>| p.as_ref().map_or(0, |p| p.value.signum());
        work.sign =
            [engages.value.signum(), sign_of(&full), sign_of(&to)].into_iter().find(|s| *s != 0).unwrap_or(0);
        if work.sign == 0 {
            let place = block.get("from").or(block.get("clicks")).map_or(block.place, |n| n.span);
            self.mistakes.add(
                Mistake::at(place, format!("{} lies at rest, on neither side", block.what), "which side?")
                    .help("add `full:` or `to:` with a position on its side"),
            );
        }
        self.in_order(&block, work.sign, &engages, [("to", &to), ("full", &full)], &lets_go);
        work.from = from;
        work.to = to;
        work.full = full;
        work.releases = releases;
        work
    }

    /// What a drop weight weighs in water.
    fn weighs(&mut self, block: &Block<'a>, kind: &FunctionKind) -> Option<About<Kilograms>> {
        let node = block.get("weighs")?;
        if !kind.drops {
            self.mistakes.add(
                Mistake::at(
                    node.span,
                    format!("a {} takes no `weighs`", kind.name),
                    "belongs to a drop weight",
                )
                .help("it is what a weight that is let go pulls on a balance while it hangs in water"),
            );
        }
        let weights = [UnitOfMeasure::Kilograms, UnitOfMeasure::Grams];
        above_nought(&mut self.mistakes, block, "weighs", &weights).map(|read| about(read, Kilograms))
    }

    /// Where the work engages: `from`, or `clicks` found by creeping up to it.
    fn engages(
        &mut self,
        block: &Block<'a>,
        linkage: &Linkage,
        claim: &[Exact; 2],
        beyond: [i32; 2],
        clicks: &mut Option<Readings>,
    ) -> Option<Toleranced> {
        match (block.get("from"), block.get("clicks")) {
            (Some(node), None) => self.position(node, "`from`", Some(linkage)),
            (None, Some(node)) => {
                *clicks = self.readings(node, "`clicks`", linkage, claim);
                let readings = clicks.as_mut()?;
                // From rest outwards, which where they lie about rest only the others on its side can say.
                let sides = [readings.mean().signum(), beyond[0], beyond[1]];
                readings.crept = sides.into_iter().find(|side| *side != 0).unwrap_or(1);
                readings.point()
            }
            (Some(_), Some(node)) => {
                self.mistakes.add(
                    Mistake::at(node.span, "a work has either `from` or `clicks`", "both are given")
                        .help("keep `clicks` if you have several readings; they hold the tolerance already"),
                );
                None
            }
            (None, None) => {
                self.mistakes.add(
                    Mistake::at(block.place, format!("{} does not say where it engages", block.what), "no `from` and no `clicks`")
                        .help("write for instance `from: +72 % ± 4 %`, or several readings: `clicks: [+37 %, +38 %, +40 %]`"),
                );
                None
            }
        }
    }

    /// What readings have to prove: the share of all values, and how often such a claim is true.
    fn claim(&mut self, block: &Block<'a>, work: &Function) -> [Exact; 2] {
        let usual = [if work.is_dangerous() { 99 } else { 95 }, 95].map(Exact::percent);
        let keys = ["coverage", "confidence"];
        let rests = block.get("clicks").is_some()
            || block.get("releases").is_some_and(|node| matches!(node.value, Value::List(_)));
        let mut index = 0;
        keys.map(|key| {
            let taken = usual[index].clone();
            index += 1;
            let Some(node) = block.get(key) else { return taken };
            if !rests {
                self.mistakes.add(
                    Mistake::at(node.span, format!("`{key}` without readings"), "there is nothing to claim")
                        .help(
                            "it stands beside `clicks: [+36 %, +38 %, ...]`; a figure with `±` holds always",
                        ),
                );
                return taken;
            }
            let (least, most) = (Exact::percent(50), Exact::ratio(9999, 10_000));
            self.percent(node, &format!("`{key}`"), &least, &most).unwrap_or(taken)
        })
    }

    /// Readings from creeping up to one point several times.
    fn readings(
        &mut self,
        node: &Node,
        what: &str,
        linkage: &Linkage,
        [coverage, confidence]: &[Exact; 2],
    ) -> Option<Readings> {
        let key = what.trim_matches('`');
        let items = self.mistakes.list(node, what, &format!("{key}: [+37 %, +38 %, +36 %, +37 %, +38 %]"))?;
        if items.is_empty() {
            self.mistakes.add(Mistake::at(node.span, format!("{what} holds no readings"), "empty").help(format!(
                "creep up to the point five times and write each reading: `{key}: [+37 %, +38 %, +36 %, +37 %, +38 %]`",
            )));
            return None;
        }
        let mut taken = Vec::new();
        for item in items {
            if item.text().is_some_and(|t| t.contains('±') || t.contains("+-")) {
                self.mistakes.add(
                    Mistake::at(
                        item.span,
                        format!("a reading in {what} takes no tolerance"),
                        "leave out what follows `±`",
                    )
                    .help("the spread of the readings is the tolerance"),
                );
                return None;
            }
            taken.push(self.position(item, what, Some(linkage)));
        }
        Some(Readings {
            taken: taken.into_iter().collect::<Option<_>>()?,
            step: self.step.clone(),
            crept: 1,
            coverage: coverage.clone(),
            confidence: confidence.clone(),
        })
    }

    fn in_order(
        &mut self,
        block: &Block<'_>,
        sign: i32,
        from: &Toleranced,
        beyond: [(&str, &Option<Toleranced>); 2],
        releases: &Option<Toleranced>,
    ) {
        let side = |p: &Toleranced| if sign < 0 { -&p.value } else { p.value.clone() };
        for (key, position) in beyond {
            if let (Some(position), Some(node)) = (position, block.get(key))
                && sign != 0
                && side(position) < side(from)
            {
                self.mistakes.add(
                    Mistake::at(
                        node.span,
                        format!("`{key}` lies nearer to rest than where {} engages", block.what),
                        "too near",
                    )
                    .help(format!("`{key}` is farther out, on the same side")),
                );
            }
        }
        if let (Some(position), Some(node)) = (releases, block.get("releases"))
            && sign != 0
            && side(position).signum() < 0
        {
            self.mistakes.add(
                Mistake::at(
                    node.span,
                    format!("`releases` lies beyond rest, seen from where {} engages", block.what),
                    "on the other side",
                )
                .help("something that is on at rest is written `kept_on: yes`, with `releases: 0 %` if it takes the other side to end it"),
            );
        }
        if let (Some(position), Some(node)) = (releases, block.get("releases"))
            && sign != 0
            && side(position) > side(from)
        {
            self.mistakes.add(
                Mistake::at(
                    node.span,
                    format!("`releases` lies farther out than where {} engages", block.what),
                    "too far",
                )
                .help("it is where the work lets go on the way back to rest"),
            );
        }
    }

    fn reserved(&mut self, node: &'a Node) -> Reserved {
        if !matches!(node.value, Value::Map(_)) {
            let words = [("yes", Reserved::Always), ("no", Reserved::No)];
            return self.mistakes.word(node, "`reserved`", &words).unwrap_or(Reserved::No);
        }
        let Some(block) = self.mistakes.block(node, node.span, "`reserved`", &RESERVED) else {
            return Reserved::No;
        };
        let Some(unless) = self.mistakes.require(&block, "unless") else {
            return Reserved::No;
        };
        let count = unless.entries().len();
        match self.conditions(unless, "`unless`").as_slice() {
            [(switch, setting)] if count == 1 => Reserved::Unless(*switch, *setting),
            _ => {
                if count != 1 && matches!(unless.value, Value::Map(_)) {
                    self.mistakes.add(
                        Mistake::at(
                            unless.span,
                            "`unless` takes one setting of one switch",
                            format!("{count} here"),
                        )
                        .help("write for instance `reserved: {unless: {guard: armed}}`"),
                    );
                }
                Reserved::Always
            }
        }
    }

    /// Names of works in other places, once all devices are known.
    pub(super) fn work_names(&mut self, top: &Block<'a>) {
        self.wanted_works();
        let entries = top.get("devices").map(|n| n.entries()).unwrap_or_default();
        for (device, entry) in entries.iter().enumerate() {
            let works = entry.value.get("works").map(|n| n.entries()).unwrap_or_default();
            for (index, work) in works.iter().enumerate() {
                let Some(node) = work.value.get("never_with") else {
                    continue;
                };
                for item in self.mistakes.one_or_list(node) {
                    // A bare name means a neighbour on the same device before any other.
                    let neighbour = works.iter().position(|w| Some(w.key.as_str()) == item.text());
                    let other = match neighbour {
                        Some(work) => Some(WorkRef { device, work }),
                        None => self.work(item, None),
                    };
                    let Some(other) = other else {
                        continue;
                    };
                    if other.device == device && other.work == index {
                        self.mistakes.add(
                            Mistake::at(
                                item.span,
                                format!("`{}` cannot exclude itself", shown(&work.key)),
                                "the work itself",
                            )
                            .help("name the other work"),
                        );
                    }
                    self.devices[device].works[index].never_with.push(other);
                }
            }
        }
    }
}
