//! What answers share is written once: over which hands they are asked, the cases of a channel, and how far
//! an output goes in each.

use super::told;
use crate::chain::terms::Terms;
use crate::chain::{EndStages, Order};
use crate::proof::cases::{Cases, Influence, relevant_order};
use crate::proof::reach::{Account, Adds};
use crate::proof::{ChannelCase, Domain, Extreme, Interval};
use crate::question::Engine;
use crate::setup::{ChannelId, ControlId, Exact, Setup, WorkRef};
use serde_json::{Map, Value, json};
use std::collections::BTreeMap;
use std::rc::Rc;

/// Everything that was written so far and may be named again.
pub(super) struct Table<'a> {
    /// Of the world that is being told.
    pub(super) engine: &'a Engine<'a>,
    /// Every order that the file leaves open.
    pub(super) orders: Vec<Order>,
    /// Which world it is.
    world: usize,
    /// The first world in which channels do the same.
    alike: usize,
    everything: Domain,
    hands: Vec<Value>,
    hands_known: Vec<(usize, Domain, usize)>,
    cases: Vec<Value>,
    reaches: Vec<Value>,
    of_channel: BTreeMap<(usize, ChannelId), Vec<usize>>,
    rows_known: BTreeMap<String, usize>,
    known: BTreeMap<String, usize>,
    /// Functions that may not have let go, of which it matters in this world who may have engaged them.
    engaged: Vec<WorkRef>,
    moves: Vec<Value>,
}

/// A case of the proof with where it stands in the certificate.
pub(super) struct Row {
    /// Its place in [`Cases::cases`].
    pub(super) case: usize,
    /// Its place in the list of the certificate.
    pub(super) row: usize,
}

impl<'a> Table<'a> {
    pub(super) fn new(engine: &'a Engine<'a>) -> Self {
        Self {
            engine,
            orders: Order::all(&engine.setup.transmitter.order),
            world: 0,
            alike: 0,
            everything: Domain::everything(engine.setup),
            hands: Vec::new(),
            hands_known: Vec::new(),
            cases: Vec::new(),
            reaches: Vec::new(),
            of_channel: BTreeMap::new(),
            rows_known: BTreeMap::new(),
            known: BTreeMap::new(),
            engaged: Vec::new(),
            moves: Vec::new(),
        }
    }

    /// From now on another world is told, in which channels do as in this one, or one before it.
    pub(super) fn enter(&mut self, world: usize, alike: usize, engine: &'a Engine<'a>) {
        (self.world, self.alike, self.engine) = (world, alike, engine);
        self.everything = Domain::everything(engine.setup);
        self.engaged.clear();
    }

    pub(super) fn take_hands(&mut self) -> Vec<Value> {
        std::mem::take(&mut self.hands)
    }

    pub(super) fn take_cases(&mut self) -> Vec<Value> {
        std::mem::take(&mut self.cases)
    }

    pub(super) fn take_reaches(&mut self) -> Vec<Value> {
        std::mem::take(&mut self.reaches)
    }

    pub(super) fn take_moves(&mut self) -> Vec<Value> {
        std::mem::take(&mut self.moves)
    }

    /// Where this stands that a way does.
    pub(super) fn move_told(&mut self, told: Value) -> usize {
        if let Some(at) = self.moves.iter().position(|known| *known == told) {
            return at;
        }
        self.moves.push(told);
        self.moves.len() - 1
    }

    /// Keeps in mind that it matters who may have engaged a function before.
    pub(super) fn engaged_before(&mut self, function: WorkRef) {
        if !self.engaged.contains(&function) {
            self.engaged.push(function);
        }
    }

    /// Each such function.
    pub(super) fn engaged(&self) -> Vec<WorkRef> {
        self.engaged.clone()
    }

    /// The first order that counts and is the same to two channels as one that both share.
    pub(super) fn shared_order(&self, [a, b]: [ChannelId; 2], order: &Order) -> usize {
        let setup = self.engine.setup;
        let [one, two] = [a, b].map(|channel| (channel, Influence::on(setup, channel)));
        let of = |(channel, influence): &(ChannelId, Influence), known: &Order| {
            relevant_order(setup, influence, *channel, known)
        };
        let same = |known: &Order| of(&one, known).or_as_in(known, &of(&two, known)) == *order;
        self.first(same)
    }

    /// Where these hands stand in the list.
    pub(super) fn hands(&mut self, over: &Domain) -> usize {
        let known = self.hands_known.iter().find(|(world, known, _)| *world == self.world && known == over);
        if let Some((.., at)) = known {
            return *at;
        }
        let value = self.hands_told(over);
        let at = self.hands.iter().position(|known| *known == value).unwrap_or(self.hands.len());
        if at == self.hands.len() {
            self.hands.push(value);
        }
        self.hands_known.push((self.world, over.clone(), at));
        at
    }

    /// What differs from everything that hands can do.
    fn hands_told(&self, over: &Domain) -> Value {
        let setup = self.engine.setup;
        let name = |control: ControlId| setup.controls[control].name.clone();
        let differing = |mine: &[Interval], all: &[Interval]| -> Map<String, Value> {
            let both = mine.iter().zip(all).enumerate().filter(|(_, (mine, all))| mine != all);
            both.map(|(control, (mine, _))| (name(control), told::range(mine))).collect()
        };
        let settings = |list: &[(ControlId, usize)]| -> Vec<Value> {
            list.iter().map(|&(c, s)| json!([name(c), setup.controls[c].settings[s]])).collect()
        };
        let mut said = Map::new();
        let mut put = |key: &str, value: Value| {
            let empty =
                value.as_object().is_some_and(Map::is_empty) || value.as_array().is_some_and(Vec::is_empty);
            if !empty {
                said.insert(key.to_owned(), value);
            }
        };
        put("positions", differing(&over.positions, &self.everything.positions).into());
        put("trims", differing(&over.trims, &self.everything.trims).into());
        put("only", settings(&over.only).into());
        put("never", settings(&over.never).into());
        put("held", over.held.iter().map(|&control| name(control)).collect::<Vec<_>>().into());
        put("thrown", over.thrown.into());
        if let Some(orders) = &over.orders {
            put("orders", orders.iter().map(|order| self.order(order)).collect::<Vec<_>>().into());
        }
        Value::Object(said)
    }

    /// Where an order stands in the list of all.
    pub(super) fn order(&self, order: &Order) -> usize {
        self.orders.iter().position(|known| known == order).unwrap_or_default()
    }

    /// Where the first stands that counts and of which something holds.
    fn first(&self, holds: impl Fn(&Order) -> bool) -> usize {
        self.engine.orders.iter().find(|known| holds(known)).map_or(0, |known| self.order(known))
    }

    /// The first order that counts and is the same to a channel as one of its cases'.
    pub(super) fn first_order(&self, channel: ChannelId, order: &Order) -> usize {
        let (setup, influence) = (self.engine.setup, Influence::on(self.engine.setup, channel));
        let same = |known: &Order| relevant_order(setup, &influence, channel, known) == *order;
        self.first(same)
    }

    /// The cases of a channel; such as differ in nothing that reaches the output stand there once.
    pub(super) fn rows(&mut self, channel: ChannelId) -> Vec<usize> {
        if let Some(rows) = self.of_channel.get(&(self.alike, channel)) {
            return rows.clone();
        }
        let engine = self.engine;
        let setup = engine.setup;
        let switches: Vec<ControlId> = Influence::on(setup, channel).thrown(setup).into_iter().collect();
        let cases = &engine.cases(channel).cases;
        let mut sorted: Vec<(usize, Vec<usize>, usize)> = cases
            .iter()
            .enumerate()
            .map(|(at, case)| {
                let order = self.first_order(channel, &case.order);
                (order, switches.iter().map(|&switch| case.settings[switch]).collect(), at)
            })
            .collect();
        sorted.sort();
        let mut rows = vec![0; cases.len()];
        let mut seen: Vec<(&ChannelCase, usize)> = Vec::new();
        for (order, settings, at) in sorted {
            let fixed = &cases[at].fixed;
            // Most cases share their sums with others: they need not be written to be found alike.
            if let Some((_, row)) = seen.iter().find(|(known, _)| is_same(known, fixed)) {
                rows[at] = *row;
                continue;
            }
            let said = json!({
                "before": terms(setup, &fixed.before),
                "after": terms(setup, &fixed.after),
                "shape": shape(&fixed.shape),
            });
            let name = format!("{channel} {said}");
            rows[at] = *self.rows_known.entry(name).or_insert_with(|| {
                let settings: Map<String, Value> = switches
                    .iter()
                    .zip(settings)
                    .map(|(&switch, at)| {
                        let control = &setup.controls[switch];
                        (control.name.clone(), control.settings[at].clone().into())
                    })
                    .collect();
                let mut row = Map::new();
                row.insert("channel".into(), setup.channels[channel].number.into());
                row.insert("order".into(), order.into());
                row.insert("settings".into(), settings.into());
                if let Value::Object(said) = said {
                    row.extend(said);
                }
                self.cases.push(row.into());
                self.cases.len() - 1
            });
            seen.push((fixed, rows[at]));
        }
        self.of_channel.insert((self.alike, channel), rows.clone());
        rows
    }

    /// How far the output goes in one case over what hands can do in it; the same is written once.
    pub(super) fn reach(&mut self, cases: &Cases, row: &Row, inside: &Domain, which: Extreme) -> usize {
        let setup = self.engine.setup;
        let fixed = &cases.cases[row.case].fixed;
        let greatest = which == Extreme::Greatest;
        let mut key = format!("{} {greatest}", row.row);
        for control in 0..setup.controls.len() {
            let moves = |terms: &Terms| !terms.curves[control].is_zero() || !terms.trims[control].is_zero();
            if moves(&fixed.before) || moves(&fixed.after) {
                key.push_str(&format!(" {control}"));
                let trim = &inside.trims[control];
                let at = &inside.positions[control];
                for end in [&at.low, &at.high, &trim.low, &trim.high] {
                    key.push(' ');
                    key.push_str(&end.to_fraction());
                }
            }
        }
        if let Some(at) = self.known.get(&key) {
            return *at;
        }
        let (attained, account) = fixed.account(inside, which);
        let output = fixed.shape.sent(&attained.bound);
        self.reaches.push(reach_told(setup, inside, row.row, which, &output, &account));
        self.known.insert(key, self.reaches.len() - 1);
        self.reaches.len() - 1
    }
}

fn is_same(a: &ChannelCase, b: &ChannelCase) -> bool {
    Rc::ptr_eq(&a.before, &b.before) && Rc::ptr_eq(&a.after, &b.after) && a.shape == b.shape
}

/// Whether the same cases came up before, over the same ranges: each is followed once.
#[derive(Default)]
pub(super) struct Followed(Vec<(usize, Domain)>);

impl Followed {
    /// Whether a row comes up for the first time over what remains of a domain in its case.
    pub(super) fn is_new(&mut self, row: usize, inside: &Domain) -> bool {
        let same = |known: &Domain| known.positions == inside.positions && known.trims == inside.trims;
        if self.0.iter().any(|(known, domain)| *known == row && same(domain)) {
            return false;
        }
        self.0.push((row, inside.clone()));
        true
    }
}

/// Each control with its factors: linear and cubic on the low side, linear and cubic on the high side, trim.
fn terms(setup: &Setup, terms: &Terms) -> Map<String, Value> {
    let mut all = Map::new();
    for (id, control) in setup.controls.iter().enumerate() {
        let curve = &terms.curves[id];
        let trim = if control.has_trim() { terms.trims[id].clone() } else { Exact::ZERO };
        if curve.is_zero() && trim.is_zero() {
            continue;
        }
        let factors: Vec<Value> = curve.sides.iter().flatten().chain([&trim]).map(told::number).collect();
        all.insert(control.name.clone(), factors.into());
    }
    all
}

fn shape(shape: &EndStages) -> Value {
    json!({
        "sense": shape.sense,
        "ends": shape.ends.each_ref().map(told::number),
        "cut_off": shape.cut_off,
        "scales": shape.scales,
        "sub_trim": told::number(&shape.sub_trim),
        "limits": shape.limits.each_ref().map(told::number),
    })
}

fn reach_told(
    setup: &Setup,
    inside: &Domain,
    row: usize,
    which: Extreme,
    output: &Exact,
    account: &Account,
) -> Value {
    let adds = account.adds.iter().map(|Adds { control, trim, behind, most, tried }| {
        let range = if *trim { &inside.trims[*control] } else { &inside.positions[*control] };
        let mut said = Map::new();
        said.insert("control".into(), setup.controls[*control].name.clone().into());
        said.insert("of".into(), if *trim { "trim" } else { "hand" }.into());
        said.insert("at".into(), if *behind { "behind" } else { "before" }.into());
        said.insert("from".into(), told::number(&range.low));
        said.insert("to".into(), told::number(&range.high));
        let cuts = cuts(tried, range);
        if !cuts.is_empty() {
            said.insert("cuts".into(), cuts.into());
        }
        said.insert("adds".into(), told::number(most));
        Value::Object(said)
    });
    // What stays at rest needs no word.
    let adds: Vec<Value> = adds.filter(|said| said["from"] != "0" || said["to"] != "0").collect();
    let mut said = Map::new();
    said.insert("case".into(), row.into());
    said.insert("which".into(), if which == Extreme::Greatest { "most" } else { "least" }.into());
    said.insert("adds".into(), adds.into());
    if let Some((own, tried)) = &account.own {
        let (positions, trims) = (&inside.positions[*own], &inside.trims[*own]);
        said.insert(
            "own".into(),
            json!({
                "control": setup.controls[*own].name,
                "from": told::number(&positions.low),
                "to": told::number(&positions.high),
                "trim": told::range(trims),
                "cuts": cuts(tried, positions),
            }),
        );
    }
    said.insert("total".into(), told::number(&account.total));
    said.insert("output".into(), told::number(output));
    said.into()
}

/// The places inside a range at which it is cut into pieces.
pub(super) fn cuts(tried: &[Interval], range: &Interval) -> Vec<Value> {
    let mut places: Vec<&Exact> = tried
        .iter()
        .flat_map(|place| [&place.low, &place.high])
        .filter(|at| range.low < **at && **at < range.high)
        .collect();
    places.sort();
    places.dedup();
    places.into_iter().map(told::number).collect()
}
