//! Which answers rest on readings, and what those prove.

use super::asks::Asks;
use super::say;
use crate::finding::Rests;
use crate::setup::{Path, Readings, Setup, WorkRef};

/// What the answer to a question rests on, where it rests on readings: of several the least claim. A figure
/// that was written as such claims to hold always.
pub(super) fn on(setup: &Setup, asks: &Asks) -> Option<Rests> {
    readings(setup, asks).into_iter().map(|readings| of(setup, readings)).reduce(Rests::least)
}

fn of(setup: &Setup, readings: &Readings) -> Rests {
    let (coverage, confidence) = (readings.coverage.clone(), readings.confidence.clone());
    let few = (!readings.enough()).then(|| place(setup, readings)).flatten();
    Rests { coverage, confidence, few: few.into_iter().collect() }
}

/// Where readings stand in the file.
fn place(setup: &Setup, readings: &Readings) -> Option<Path> {
    setup.works().find_map(|function| {
        let w = setup.work(function);
        let known = [("clicks", &w.clicks), ("releases", &w.releasing)];
        let found =
            known.into_iter().find(|(_, of)| of.as_ref().is_some_and(|of| std::ptr::eq(of, readings)));
        found.map(|(key, _)| say::work_path(setup, function).then(key))
    })
}

/// The readings that a question asks about.
fn readings<'a>(setup: &'a Setup, asks: &Asks) -> Vec<&'a Readings> {
    let all = |function: &WorkRef| setup.work(*function).readings().collect::<Vec<_>>();
    match asks {
        Asks::Engages { function, .. } => all(function),
        // Where its effect is complete is a figure of its own; where it lets go plays no part.
        Asks::Misses { function, fully, .. } => {
            let w = setup.work(*function);
            if *fully && w.full.is_some() { Vec::new() } else { w.clicks.iter().collect() }
        }
        Asks::Together { functions, .. } => functions.iter().flat_map(all).collect(),
        Asks::Narrow { function, next, .. } => {
            [function, next].into_iter().filter_map(|f| setup.work(*f).clicks.as_ref()).collect()
        }
        Asks::All(all) | Asks::Any(all) => all.iter().flat_map(|asks| readings(setup, asks)).collect(),
        _ => Vec::new(),
    }
}
