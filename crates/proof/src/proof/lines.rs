//! Two outputs made of straight lines, each in its zone: decided exactly.
//!
//! On one side of rest for every stick, and between two neighbouring bends of each endpoint stage,
//! both outputs are linear in positions and trims. Every such piece of a box is a question of a few
//! linear conditions over bounded variables; the pieces share their borders and cover the box.

use super::domain::Domain;
use super::feasible::{Multipliers, Row, feasible};
use super::interval::Interval;
use super::reach::{ChannelCase, ControlPositions};
use super::weights::Kept;
use super::zone::Zone;
use crate::chain::Stretch;
use crate::chain::terms::{Curve, Terms};
use crate::setup::{ControlId, Exact, Side};

/// More sticks than this that bend at rest inside a box are left to halving.
const MOST_BENT: usize = 8;

/// Whether a box was decided.
pub(super) enum Exactly {
    /// Both are in their zones here.
    Here(ControlPositions),
    /// They never are: sticks that bend at rest, and by which side of rest each is on (a bit of the index is
    /// set where it is above) what keeps them apart there.
    Nowhere(Vec<ControlId>, Vec<Vec<Kept>>),
    /// A curve or too many pieces.
    CannotTell,
}

/// Decides a box of positions and trims; both zones count with their ends.
pub(super) fn both_in(first: (&ChannelCase, &Zone), second: (&ChannelCase, &Zone), at: &Domain) -> Exactly {
    let all = [&first.0.before, &first.0.after, &second.0.before, &second.0.after];
    let mut bent: Vec<ControlId> = Vec::new();
    for control in 0..at.positions.len() {
        let range = &at.positions[control];
        let curves = all.map(|terms| &terms.curves[control]);
        if range.is_point() || curves.iter().all(|c| c.is_zero()) {
            continue;
        }
        if curves.iter().any(|c| c.sides.iter().any(|[_, cubic]| !cubic.is_zero())) {
            return Exactly::CannotTell;
        }
        let across = range.low.signum() < 0 && range.high.signum() > 0;
        if across && curves.iter().any(|c| c.sides[0] != c.sides[1]) {
            bent.push(control);
        }
    }
    if bent.len() > MOST_BENT {
        return Exactly::CannotTell;
    }
    let mut kept = Vec::new();
    for choice in 0..1_usize << bent.len() {
        let mut piece = at.clone();
        let mut here = Vec::new();
        for (bit, &control) in bent.iter().enumerate() {
            let range = &mut piece.positions[control];
            if choice >> bit & 1 == 0 { range.high = Exact::ZERO } else { range.low = Exact::ZERO }
        }
        let mut never = |second: bool, (stretch, of): (usize, [Exact; 4])| {
            here.push(Kept::alone(second, stretch, of));
        };
        let [one, two] = [first, second].map(|output| conditions(output, &piece));
        for (second, found) in [(false, &one), (true, &two)] {
            found
                .iter()
                .filter_map(|(at, found)| Some((*at, found.clone().err()?)))
                .for_each(|n| never(second, n));
        }
        let met = |all: Vec<(usize, Condition)>| -> Vec<(usize, [Row; 2])> {
            all.into_iter().filter_map(|(at, found)| Some((at, found.ok()?))).collect()
        };
        let (one, two) = (met(one), met(two));
        for (i, one) in &one {
            for (j, two) in &two {
                let rows: Vec<Row> = one.iter().chain(two).cloned().collect();
                match feasible(&variables(&piece), &rows) {
                    Ok(found) => {
                        let (positions, trims) = found.split_at(piece.positions.len());
                        return Exactly::Here(ControlPositions {
                            positions: positions.to_vec(),
                            trims: trims.to_vec(),
                        });
                    }
                    Err(by) => here.push(Kept { stretches: [Some(*i), Some(*j)], by: both(by) }),
                }
            }
        }
        kept.push(here);
    }
    Exactly::Nowhere(bent, kept)
}

/// Of two outputs with two rows each.
fn both(by: Multipliers) -> [[Exact; 4]; 2] {
    let mut by = by.into_iter().flatten();
    let mut next = || std::array::from_fn(|_| by.next().unwrap_or(Exact::ZERO));
    [next(), next()]
}

fn variables(at: &Domain) -> Vec<Interval> {
    at.positions.iter().chain(&at.trims).cloned().collect()
}

/// A sum of terms as multiples of positions and trims and a constant, on one side of rest each.
fn straight(terms: &Terms, at: &Domain) -> (Vec<Exact>, Exact) {
    let mut constant = Exact::ZERO;
    let slope = |(curve, range): (&Curve, &Interval)| {
        if range.is_point() {
            constant += curve.at(&range.low);
            return Exact::ZERO;
        }
        let side = if range.high.signum() <= 0 { Side::Low } else { Side::High };
        curve.sides[side.index()][0].clone()
    };
    let mut factors: Vec<Exact> = terms.curves.iter().zip(&at.positions).map(slope).collect();
    factors.extend(terms.trims.iter().cloned());
    (factors, constant)
}

/// What has to hold on a stretch, or what shows that it is out of reach.
type Condition = Result<[Row; 2], [Exact; 4]>;

/// For each stretch of the endpoint stage: what has to hold for the output to be in its zone there.
fn conditions((fixed, zone): (&ChannelCase, &Zone), at: &Domain) -> Vec<(usize, Condition)> {
    let Some((low, high)) = before_limits(fixed, zone) else { return Vec::new() };
    let (before, v_rest) = straight(&fixed.before, at);
    let (after, a_rest) = straight(&fixed.after, at);
    let ranges = variables(at);
    let span = before
        .iter()
        .zip(&ranges)
        .map(|(f, r)| r.times(f))
        .fold(Interval::point(v_rest.clone()), |sum, part| sum.plus(&part));
    let mut all = Vec::new();
    for (at, Stretch { from, to, place, height, slope }) in fixed.shape.stretches().into_iter().enumerate() {
        let [under, over] =
            [from.as_ref().is_some_and(|f| span.high < *f), to.as_ref().is_some_and(|t| span.low > *t)];
        if under || over {
            let mut by = [Exact::ZERO, Exact::ZERO, Exact::ZERO, Exact::ZERO];
            by[usize::from(!under)] = Exact::ONE;
            all.push((at, Err(by)));
            continue;
        }
        // endpoint(v) + a = slope·(v - place) + height + a, and the output is sub ± that.
        let w_rest = &slope * (&v_rest - &place) + height + &a_rest;
        let w: Vec<Exact> = before.iter().zip(&after).map(|(b, a)| &slope * b + a).collect();
        let within = |edge: &Option<Exact>, rest: &Exact| edge.as_ref().map(|e| e - rest);
        all.push((
            at,
            Ok([
                Row { factors: before.clone(), low: within(&from, &v_rest), high: within(&to, &v_rest) },
                Row { factors: w, low: within(&low, &w_rest), high: within(&high, &w_rest) },
            ]),
        ));
    }
    all
}

/// What has to lie between which values, before sense, sub-trim and limits, for the output to be in
/// its zone; `None` if the limits keep it out.
pub(super) fn before_limits(fixed: &ChannelCase, zone: &Zone) -> Option<(Option<Exact>, Option<Exact>)> {
    let shape = &fixed.shape;
    let [least, greatest] = &shape.limits;
    let [low, high] = [&zone.low, &zone.high].map(|edge| edge.as_ref().map(|at| shape.output_for(at)));
    if low.as_ref().is_some_and(|l| l > greatest) || high.as_ref().is_some_and(|h| h < least) {
        return None;
    }
    // What the limits hold back from passing counts however far it would have gone.
    let low = low.filter(|l| l > least);
    let high = high.filter(|h| h < greatest);
    let back = |edge: Exact| {
        let away = edge - &shape.sub_trim;
        if shape.sense < 0 { -away } else { away }
    };
    let (low, high) = (low.map(back), high.map(back));
    Some(if shape.sense < 0 { (high, low) } else { (low, high) })
}
