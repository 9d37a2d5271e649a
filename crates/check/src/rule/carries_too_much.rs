//! A plug, switch, fuse, controller or pack has more to carry than it is rated for.

use super::engine::Engine;
use super::say::Draft;
use crate::finding::{Gap, Missing, Severity, StateId, Subject};
use crate::question::{Asks, Question};
use crate::setup::{DeviceId, Exact, Link, Path, Setup};

pub(super) const NAME: &str = "carries-too-much";

/// Once for each battery of which something is rated, or of which the file says all that flows, at the weakest of its
/// line; and once for each controller or relay likewise. What flows is summed up from what the file tells: where it tells
/// too little to say that all is well, or not what the pack or the controller may carry, that is not judged.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    questions.extend((0..setup.batteries.len()).filter_map(|battery| line(setup, battery)));
    questions.extend((0..setup.devices.len()).filter_map(|device| controller(setup, device)));
}

/// Something rated, and for how much.
type Rated = (Link, Exact);

/// What flows, and whether more may.
struct Flow {
    amperes: Exact,
    known: bool,
}

fn line<'a>(setup: &Setup, battery: usize) -> Option<Question<'a>> {
    let this = &setup.batteries[battery];
    let links: Vec<Rated> = this.rated_links().into_iter().map(|(link, a)| (link, a.clone())).collect();
    let flows = setup.currents(battery);
    let running = Flow { amperes: flows.running, known: flows.unknown.is_empty() };
    let known = running.known && flows.unknown_stalled.is_empty();
    // Of which the file tells neither what flows nor what may, nobody asks.
    if links.is_empty() && !known {
        return None;
    }
    let unrated = this.rated.is_none().then(|| Path::of(["batteries", &this.name, "rated"]));
    let missing = [flows.unknown, flows.unknown_stalled].concat();
    let place = |link: Link| {
        let at = Path::of(["batteries", &this.name]);
        match link.key() {
            Some(key) => at.then(key).then("rated"),
            None => at.then("rated"),
        }
    };
    judged(
        Subject::Battery(battery),
        &this.name,
        &links,
        running,
        Flow { amperes: flows.stalled, known },
        place,
        (unrated, missing),
    )
}

fn controller<'a>(setup: &Setup, id: DeviceId) -> Option<Question<'a>> {
    let device = &setup.devices[id];
    let key = |key: &str| Path::of(["devices", &device.name, key]);
    // A servo is rated for nothing: what it draws is asked about with its battery.
    if !device.kind.keys.contains(&"rated") {
        return None;
    }
    let Some(rated) = &device.facts.rated else {
        let drawn = device.facts.draws.as_ref().or(device.facts.stall.as_ref());
        let draft = Draft::new(NAME, Severity::Warning, Subject::Device(id), StateId::Piloting);
        return drawn.map(|_| draft.asks(unsaid(vec![key("rated")]), "", carries(Link::Controller)));
    };
    let links = [(Link::Controller, rated.0.clone())];
    // A fuse in the line of its battery saves it as well, but is asked about with that battery.
    let fuse = setup.battery_of(id).and_then(|battery| setup.batteries[battery].fuse.as_ref());
    let of = |amperes: Option<&Exact>| Flow {
        amperes: amperes.cloned().unwrap_or(Exact::ZERO),
        known: amperes.is_some(),
    };
    let running = of(device.facts.draws.as_ref().map(|a| &a.0));
    let mut stalled = of(device.facts.stall.as_ref().map(|a| &a.0));
    if fuse.is_some_and(|fuse| fuse.0 <= links[0].1) {
        stalled = Flow { amperes: Exact::ZERO, known: true };
    }
    let at = Path::of(["devices", &device.name, "rated"]);
    let missing = [("draws", running.known), ("stall", stalled.known)];
    let missing = missing.into_iter().filter(|(_, known)| !known).map(|(name, _)| key(name)).collect();
    judged(Subject::Device(id), &device.name, &links, running, stalled, |_| at.clone(), (None, missing))
}

/// The weakest of them while all runs, and held fast the weakest that no fuse saves: one of no more amperes gives way
/// first (common practice, no source). What is not rated may be weaker than all of them.
fn judged<'a>(
    subject: Subject,
    name: &str,
    links: &[Rated],
    running: Flow,
    stalled: Flow,
    place: impl Fn(Link) -> Path,
    (unrated, missing): (Option<Path>, Vec<Path>),
) -> Option<Question<'a>> {
    let missing: Vec<Path> = unrated.iter().cloned().chain(missing).collect();
    let least = |a: &'_ Rated, b: &'_ Rated| a.1.cmp(&b.1);
    let Some(weakest) = links.iter().min_by(|a, b| least(a, b)) else {
        let draft = Draft::new(NAME, Severity::Warning, subject, StateId::Piloting);
        return unrated.is_some().then(|| draft.asks(unsaid(missing), "", carries(Link::Pack)));
    };
    let fuse = links.iter().find(|(link, _)| *link == Link::Fuse);
    let unsaved = links
        .iter()
        .filter(|(link, amperes)| *link != Link::Fuse && fuse.is_none_or(|fuse| fuse.1 > *amperes))
        .min_by(|a, b| least(a, b));
    let runs_hot = running.amperes > weakest.1;
    let held = unsaved.filter(|(_, rated)| stalled.amperes > *rated);
    let ((link, rated), sum) = match held {
        Some(link) if !runs_hot => (link, &stalled.amperes),
        _ => (weakest, &running.amperes),
    };
    let broken = runs_hot || held.is_some();
    let known = unrated.is_none() && running.known && (stalled.known || unsaved.is_none());
    let amperes = |value: &Exact| format!("{} A", value.to_decimal(2));
    let words = link.words();
    let told = if runs_hot {
        format!("{name}: under way {} may flow, and {words} is rated for {}", amperes(sum), amperes(rated))
    } else {
        format!(
            "{name}: held fast, {} flow, {words} is rated for {}, and no fuse gives way before it",
            amperes(sum),
            amperes(rated)
        )
    };
    let help = if runs_hot {
        "take a stronger one, or draw less: a smaller screw, fewer cells, a motor less"
    } else {
        "put a fuse of no more amperes into the line, or take a stronger one"
    };
    let draft = Draft::new(NAME, Severity::Warning, subject, StateId::Piloting)
        .at(place(*link), "rated for this")
        .sentence(if runs_hot || !broken { crate::finding::BROKEN } else { "stalled" })
        .gap("part", Gap::Link(*link))
        .gap("sum", Gap::Amperes(sum.clone()))
        .gap("rated", Gap::Amperes(rated.clone()))
        .help(help);
    let asks = if broken || known { Asks::Fact(broken) } else { unsaid(missing) };
    Some(draft.asks(asks, told, carries(*link)))
}

fn carries(link: Link) -> String {
    let words = link.words();
    format!("{words} carries what may flow, and held fast nothing burns before a fuse gives way")
}

fn unsaid(missing: Vec<Path>) -> Asks {
    Asks::Unsaid(missing.into_iter().map(wanting).collect())
}

/// A current that nobody has measured, or that nobody has read off what carries it.
fn wanting(path: Path) -> Missing {
    let bench = if path.0.last().is_some_and(|key| key == "rated") {
        "read what it may carry for long off the pack or the controller, or take it from its maker's papers"
    } else {
        "measure it in the line of its battery, at full speed in the water; held fast for half a second only, or by the \
         papers of the motor"
    };
    Missing { path, bench: bench.to_owned(), holds: None, said: false, decides: None }
}
