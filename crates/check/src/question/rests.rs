//! Which answers rest on readings, and what those prove.

use super::asks::Asks;
use crate::finding::Rests;
use crate::setup::{Readings, Setup, WorkRef};

/// What the answer to a question rests on, where it rests on readings: of several the least claim. A figure
/// that was written as such claims to hold always.
pub(super) fn on(setup: &Setup, asks: &Asks) -> Option<Rests> {
    readings(setup, asks).into_iter().map(of).reduce(Rests::least)
}

fn of(readings: &Readings) -> Rests {
    let (coverage, confidence) = (readings.coverage.clone(), readings.confidence.clone());
    Rests { coverage, confidence, enough: readings.enough() }
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
        Asks::All(all) => all.iter().flat_map(|asks| readings(setup, asks)).collect(),
        _ => Vec::new(),
    }
}
