//! A rehearsal for people: a picture of the depth with what is on below it, the moments, what it comes
//! to, and what it rests on.

mod picture;

use super::Look;
use super::text::hanging;
use crate::finding::Finding;
use crate::physics::units::{figures, figures_above, figures_below};
use crate::rule::matrix::{Mark, Matrix};
use crate::setup::{Figure, OnLoss, Setup};
use lidcard_check::rehearsal::solve::{BEYOND, OVER, Setting, Solved, Sought, Stop};
use lidcard_check::rehearsal::{
    Breaks, CAUTION, Cause, ESTIMATE, Event, Missing, NUDGE, Rehearsal, Run, Sample, What, uses_gas,
};
use std::fmt::Write;

/// Everything there is to say about one rehearsal. Nothing is said by colour.
pub fn file(name: &str, setup: &Setup, found: &Rehearsal, look: Look) -> String {
    let mut out = format!("{name}: {}: {}\n", setup.boat.name, cause(found.cause));
    hanging(&mut out, "", ESTIMATE, look.width);
    out.push('\n');
    // A picture of times that nobody knows would be one of a guess.
    if found.times_known() {
        picture::picture(&mut out, setup, found, look.width);
    }
    moments(&mut out, setup, found, look.width);
    for (index, text) in comes_to(setup, found).iter().enumerate() {
        if index == 0 {
            out.push('\n');
        }
        hanging(&mut out, "  ", text, look.width);
    }
    list(&mut out, "\ngiven, but not to be worked out:", found.refused.iter(), look.width);
    needs(&mut out, &found.missing, look.width);
    list(&mut out, "\nassumed:", found.assumed.iter(), look.width);
    if uses_gas(setup) {
        out.push('\n');
        hanging(&mut out, "caution: ", CAUTION, look.width);
    }
    out
}

/// What is proved of power on without a transmitter, which no estimate may be quieter than.
pub fn proved(table: &Matrix, look: Look) -> String {
    let mut out = String::from("\nproved, wherever servos stood before:\n");
    for cause in &table.causes {
        let of = |wanted: Mark| {
            let marked = table.effects.iter().zip(&cause.marks).filter(move |(_, mark)| **mark == wanted);
            let names: Vec<String> = marked.map(|(e, _)| format!("{} ({})", e.name, e.verb)).collect();
            (!names.is_empty()).then(|| format!("{}: {}", wanted.word(), names.join(", ")))
        };
        let told: Vec<String> = [Mark::Surely, Mark::May].into_iter().filter_map(of).collect();
        let told = if told.is_empty() { "nothing is on".to_owned() } else { told.join("; ") };
        hanging(&mut out, "  - ", &format!("{}: {told}", cause.name), look.width);
    }
    out
}

/// What is said last of a boat that stays down: the findings of `check` that have a part in it.
pub fn stays(findings: &[&Finding], look: Look) -> String {
    let mut out = String::from("\nSHE STAYS DOWN, as far as the figures go");
    out.push_str(if findings.is_empty() { ".\n" } else { "; `lidcard check` finds:\n" });
    for f in findings {
        hanging(&mut out, "  - ", &format!("{}[{}]: {}", f.severity.word(), f.rule, f.message), look.width);
    }
    out
}

fn list<T: ToString>(out: &mut String, title: &str, items: impl Iterator<Item = T>, width: usize) {
    for (index, item) in items.enumerate() {
        if index == 0 {
            let _ = writeln!(out, "{title}");
        }
        hanging(out, "  - ", &item.to_string(), width);
    }
}

fn needs(out: &mut String, missing: &[Missing], width: usize) {
    let same = missing.chunk_by(|a, b| a.wanted == b.wanted);
    let told = same.map(|all| {
        let keys: Vec<String> = all.iter().map(|m| format!("`{}`", m.path.dotted())).collect();
        format!("to know {}: {}", all[0].wanted, keys.join(", "))
    });
    list(out, "\nnot in the file:", told, width);
}

fn cause(cause: Cause) -> &'static str {
    match cause {
        Cause::Loss => "the link is lost",
        Cause::Battery => "the battery is low",
        Cause::Leak => "water in the hull",
        Cause::PowerUp => "power on with the transmitter off",
    }
}

fn seconds(value: f64) -> String {
    // Three figures, but no more than two places.
    let text = if value < 10.0 { format!("{value:.2}") } else { format!("{value:.1}") };
    let text = text.trim_end_matches('0').trim_end_matches('.');
    format!("{} s", if text.is_empty() { "0" } else { text })
}

/// When something happens, and whether anybody knows: else it only tells what comes first.
#[derive(Clone, Copy)]
struct Told {
    at: f64,
    known: bool,
}

/// The moments of the nominal and the worst case beside each other.
fn moments(out: &mut String, setup: &Setup, found: &Rehearsal, width: usize) {
    let _ = writeln!(out, "  {:>8}  {:>8}", "nominal", "worst");
    let mut rows: Vec<(Option<Told>, Option<Told>, String)> = Vec::new();
    let told = |run: &Run| -> Vec<(Told, String)> {
        let when = |e: &Event| Told { at: e.at.0, known: run.time_of(e).is_some() };
        run.events.iter().map(|e| (when(e), what(setup, found.cause, e))).collect()
    };
    let mut worst: Vec<Option<(Told, String)>> = told(&found.worst).into_iter().map(Some).collect();
    for (at, text) in told(&found.nominal) {
        let same = worst.iter_mut().find(|w| w.as_ref().is_some_and(|(_, t)| *t == text));
        let other = same.and_then(Option::take).map(|(at, _)| at);
        rows.push((Some(at), other, text));
    }
    rows.extend(worst.into_iter().flatten().map(|(at, text)| (None, Some(at), text)));
    let key = |row: &(Option<Told>, Option<Told>, String)| row.0.or(row.1).map_or(0.0, |told| told.at);
    rows.sort_by(|a, b| key(a).total_cmp(&key(b)));
    for (nominal, worst, text) in rows {
        let cell = |told: Option<Told>| match told {
            Some(Told { at, known: true }) => seconds(at),
            Some(_) => "?".to_owned(),
            None => "-".to_owned(),
        };
        hanging(out, &format!("  {:>8}  {:>8}  ", cell(nominal), cell(worst)), &text, width);
    }
}

fn what(setup: &Setup, begins: Cause, event: &Event) -> String {
    let named = |work| setup.work_name(work);
    match &event.what {
        What::Begins(c) => cause(*c).to_owned(),
        What::ReceiverActs => match &setup.receiver.on_loss {
            _ if setup.lacks(Figure::OnLoss) => {
                "the receiver notices; what it does then the file does not say"
            }
            OnLoss::NoPulses => "the receiver notices and sends no pulses",
            OnLoss::Hold => "the receiver notices and goes on with what it heard last",
            OnLoss::Noise => "the receiver notices and sends anything",
            OnLoss::Preset { .. } => "the receiver notices and sends its preset",
        }
        .to_owned(),
        What::UnitUnaware => "the unit is not sure to notice, and is taken to do nothing".to_owned(),
        What::Stage(index) => {
            let stage = setup.fail_safe.as_ref().and_then(|unit| unit.stages.get(*index));
            let lasts = stage.and_then(|s| s.lasts.as_ref());
            let name = stage.map_or("", |s| s.name.as_str());
            match lasts {
                Some(lasts) => format!("stage {name}, for {lasts}"),
                None if begins == Cause::Loss || begins == Cause::PowerUp => {
                    format!("stage {name}, until the signal returns")
                }
                None => format!("stage {name}, for good"),
            }
        }
        What::HandedBack => "the last stage is over: back to the receiver".to_owned(),
        What::MotorStops(device) => format!("{} stands", setup.devices[*device].name),
        What::On { work, until, passing: true } => {
            let long = until.map_or(0.0, |until| until.0 - event.at.0);
            format!("{} is touched in passing, for {}", named(*work), seconds(long))
        }
        What::On { work, .. } => format!("{} on: {}", named(*work), setup.work(*work).kind.name),
        What::Off(work) => format!("{} off", named(*work)),
        What::Moves(work) => format!("{} begins to empty the tank", named(*work)),
        What::Stalls(work) => format!("{} moves nothing against the water here", named(*work)),
        What::Spent(work) => format!("the bottle of {} is empty", named(*work)),
        What::PastDuty(work) => format!("{} runs for longer than its duty", named(*work)),
        What::TankEmpty => "the tank is empty".to_owned(),
        What::Deepest => "she goes no deeper".to_owned(),
        What::SinksOn => "she goes on down, and nothing more is to come that could stop her".to_owned(),
        What::Surfaced if begins == Cause::Loss => {
            "she is at the surface: the signal can return, and the unit hands her back".to_owned()
        }
        What::Surfaced => "she is at the surface".to_owned(),
    }
}

/// What it comes to, one thing a line.
fn comes_to(setup: &Setup, found: &Rehearsal) -> Vec<String> {
    let (nominal, worst) = (&found.nominal, &found.worst);
    let mut all = Vec::new();
    if !nominal.track.is_empty() && !worst.track.is_empty() {
        let limit = setup
            .boat
            .depth_limit
            .as_ref()
            .map_or(String::new(), |limit| format!("; her limit is {} m", figures(limit.0.to_f64(), 3)));
        let depth = |deepest: Option<Sample>| {
            deepest.map_or("DOWN TO THE BOTTOM".to_owned(), |deepest| format!("{:.3}", deepest.depth))
        };
        let (near, far) = (depth(nominal.deepest), depth(found.deepest));
        all.push(format!("deepest: {near}, in the worst case {far}{limit}"));
        let up = |run: &Run| match (run.comes_up(), run.surfaced) {
            (Some(true), Some(up)) => format!("after {}", seconds(up.time.0)),
            (_, Some(up)) => format!("after {}, but goes down again", seconds(up.time.0)),
            _ => "NOT, as far as the figures go".to_owned(),
        };
        all.push(format!("at the surface: {}, in the worst case {}", up(nominal), up(worst)));
        all.extend(speed(found));
    }
    for (a, b) in nominal.emptied.iter().zip(&found.quick.emptied) {
        if a.gas.0 > 0.0 {
            let name = setup.work_name(a.work);
            let gas = |grams: f64| figures(grams, 2);
            all.push(format!(
                "gas of {name}: {} g, at most {} g",
                gas(a.gas.grams()),
                figures_above(b.gas.grams().max(a.gas.grams()), 2)
            ));
        }
    }
    all.extend(holds(setup, found));
    if let Some(charge) = nominal.charge.filter(|c| c.0 > 0.0) {
        all.push(format!("pumps draw {} mAh", figures(charge.0 * 1000.0, 2)));
    }
    all
}

/// How fast she meets the surface, if any way of hers ends there.
fn speed(found: &Rehearsal) -> Option<String> {
    let up = found.nominal.surfaced.map(|up| format!("{:.2}", -up.sinking));
    let most = found.fastest.map(|most| format!("at most {} m/s", figures_above(most.0, 2)));
    let told = match (up, most) {
        (Some(up), Some(most)) => format!("{up}, {most}"),
        (Some(up), None) => format!("{up}, at most NOT TOLD, as something could not be worked out"),
        (None, Some(most)) => format!("none with everything as written, {most}"),
        (None, None) => return None,
    };
    Some(format!("speed at the surface: {told}"))
}

/// By how much the worst case holds.
fn holds(setup: &Setup, found: &Rehearsal) -> Vec<String> {
    let mut all = Vec::new();
    for e in &found.worst.emptied {
        let name = setup.work_name(e.work);
        if let Some(spare) = e.to_spare {
            let spare = figures_below(spare.max(0.0) * 100.0, 2);
            all.push(format!("pressure that {name} has left over where it is least: {spare} %"));
        }
        if let Some(open) = e.open.filter(|open| *open < 1.0) {
            all.push(format!("{name} comes to stand {} % open", figures_below(open * 100.0, 2)));
        }
    }
    if found.worst.comes_up() == Some(true) {
        let by = figures(NUDGE * 100.0, 1);
        let on: Vec<&str> = found.hangs_on.iter().map(|figure| figure.words()).collect();
        all.push(match on.as_slice() {
            [] => format!("the worst case holds with any figure worse by {by} % more"),
            on => format!(
                "the worst case DOES NOT HOLD if one of these is worse by {by} % more: {}",
                on.join(", ")
            ),
        });
    }
    if let Some(blows) = found.blows {
        all.push(match blows {
            0 => "the air in her hull is not enough to blow half of her tank from her deepest even once".to_owned(),
            1 => "the air in her hull is enough for one blow of half her tank from her deepest, that on a lost link: come up and breathe before every dive".to_owned(),
            n => format!("the air in her hull is enough for {n} blows of half her tank from her deepest, that on a lost link among them: come up and breathe after {}", n - 1),
        });
    }
    all
}

/// The values that keep the margins, as lines for the file.
pub fn solved(setup: &Setup, solved: &Solved, look: Look) -> String {
    let mut out =
        String::from("\nvalues for a lost link that keep the margins in the worst case, all together:\n");
    for setting in &solved.settings {
        let (place, sense) = match setting.sought {
            Sought::Wait => ("under fail_safe".to_owned(), "longest"),
            Sought::Below => ("under fail_safe.low_battery".to_owned(), "lowest"),
            Sought::Lasts(index) => {
                let name = setup.fail_safe.as_ref().map_or("", |unit| unit.stages[index].name.as_str());
                (format!("in the stage {name}"), "shortest")
            }
        };
        let unit = if setting.sought == Sought::Below { "V" } else { "s" };
        let now = setting.now.map_or("not given".to_owned(), |now| format!("now {} {unit}", figures(now, 3)));
        match line(setting) {
            Some(line) => {
                let _ = writeln!(out, "  {line:<18}  # {sense}, {place}; {now}");
                let _ = writeln!(out, "  {:<18}  # {}", "", stopped(setting));
            }
            None => {
                let _ = writeln!(out, "  # none keeps them, {place}; {now}");
            }
        }
    }
    if solved.settings.is_empty() {
        out.push_str(match setup.fail_safe {
            Some(_) => "  # none can be told before what stands below is in the file\n",
            None => "  # nothing to set: there is no fail-safe unit\n",
        });
    }
    needs(&mut out, &solved.missing, look.width);
    let percent = |factor: f64| figures((factor - 1.0) * 100.0, 2);
    let text = format!(
        "margins: half of the tank empty, {} % of time and charge over, no pump on for longer than its duty, and no deeper than {} % beyond the depth limit, which her hull has to stand; common practice, no source. All of it is an estimate, as above; a tethered test in shallow water decides.",
        percent(OVER),
        percent(BEYOND)
    );
    out.push('\n');
    hanging(&mut out, "", &text, look.width);
    out
}

/// Why a value goes no further.
fn stopped(setting: &Setting) -> String {
    let lasts = matches!(setting.sought, Sought::Lasts(_));
    match (setting.stopped, setting.beyond()) {
        (Some(Stop::Breaks { breaks, as_written }), Some(beyond)) => {
            let unit = if setting.sought == Sought::Below { "V" } else { "s" };
            let with = if as_written { ", the others as they are in the file," } else { "" };
            let what = match breaks {
                Breaks::StaysDown => "she may stay down",
                Breaks::TooDeep => "she may go too deep",
                Breaks::TooFull => "too much of the tank may stay full",
                Breaks::MustRun => "what raises her may run for less long than it must",
                Breaks::PastDuty => "a pump may run for too long",
                Breaks::Charge => "too little charge may be left",
            };
            format!("at {beyond} {unit}{with} {what}")
        }
        _ if lasts => "needless: she comes up in less, too".to_owned(),
        _ => "no limit found; a unit should wait for no longer whatever the boat".to_owned(),
    }
}

/// A line for the boat file, if a value keeps the margins.
pub fn line(setting: &Setting) -> Option<String> {
    // Never rounded to the side that does not keep them: halves of a second and tenths of a volt.
    let value = setting.keeps?.to_string();
    Some(match setting.sought {
        Sought::Wait => format!("wait: {value} s"),
        Sought::Lasts(_) => format!("lasts: {value} s"),
        Sought::Below => format!("below: {value} V"),
    })
}
