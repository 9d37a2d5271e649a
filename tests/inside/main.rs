//! All that is asked of the program with its own eyes, in one program: what links the whole once is
//! built far sooner than what links it a dozen times.

#![allow(clippy::unwrap_used)]

mod axis;
mod bench;
mod card;
mod chain;
mod cli;
mod codes;
mod desk;
mod form;
mod guidance;
mod guide;
mod handover;
mod help;
mod hostile;
mod html;
mod labels;
mod listen;
mod new;
mod no_boat;
mod pictures;
mod plan;
mod practice;
mod probe;
mod proof;
mod provisional;
mod raises;
mod reading;
mod record;
mod registries;
mod reports;
mod rules;
mod service;
mod sheet;
mod steps;
mod touched;
#[cfg(unix)]
mod writing;
mod zones;
