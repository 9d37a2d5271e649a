//! Times and levels with commas between (RFC 4180, without quotes around commas): the first column is the time, every
//! other a line. A first row without numbers names them; `Time [ms]` says the unit, seconds else.

use crate::{Ear, Heard, MOST_LINES, Ps, Refused};
use std::io::{BufRead, BufReader, Read};

/// Longer rows are no levels.
const LONGEST: u64 = 1 << 16;
/// From here on a level in volts is high: logic of 3.3 V and of 5 V (common practice, no source).
const HIGH_FROM: f64 = 1.5;

/// Reads a table to its end.
///
/// # Errors
/// With the row where it is no table of times and levels.
pub fn read(from: &mut dyn Read) -> Result<Heard, Refused> {
    let mut from = BufReader::with_capacity(1 << 16, from);
    let mut ear: Option<Ear> = None;
    let (mut unit, mut names): (f64, Option<Vec<String>>) = (1e12, None);
    let (mut number, mut before) = (0, 0);
    let mut row = Vec::new();
    loop {
        row.clear();
        number += 1;
        let refuse = |why: String| Refused { line: number, why };
        let count = (&mut from).take(LONGEST).read_until(b'\n', &mut row);
        if count.map_err(|error| Refused { line: 0, why: error.to_string() })? == 0 {
            break;
        }
        let text = std::str::from_utf8(&row).map_err(|_| refuse("this is no text".to_owned()))?.trim();
        if text.is_empty() || text.starts_with([';', '#']) {
            continue;
        }
        let cells: Vec<&str> = text.split(',').map(|cell| cell.trim().trim_matches('"')).collect();
        if cells.len() < 2 || cells.len() > MOST_LINES + 1 {
            return Err(refuse("a time and a level at least, with commas between".to_owned()));
        }
        let Ok(time) = cells[0].parse::<f64>() else {
            if ear.is_some() || names.is_some() {
                return Err(refuse(format!("`{}` is no time", cells[0])));
            }
            unit = unit_of(cells[0]);
            names = Some(cells[1..].iter().map(|&name| name.to_owned()).collect());
            continue;
        };
        let ear = ear.get_or_insert_with(|| {
            let numbered = || (1..cells.len()).map(|n| format!("line {n}")).collect();
            Ear::new(names.take().unwrap_or_else(numbered))
        });
        if ear.lines.len() != cells.len() - 1 {
            return Err(refuse(format!("{} levels, not {}", cells.len() - 1, ear.lines.len())));
        }
        // A recording may begin before its trigger: what counts is how long after its first row.
        let time = moment(time, unit, &mut before, ear.first.is_none()).map_err(refuse)?;
        ear.at(time);
        for (line, cell) in cells[1..].iter().enumerate() {
            let volts = || {
                let read = cell.parse::<f64>();
                read.map_err(|_| refuse(format!("`{cell}` is no level: 0, 1 or volts")))
            };
            let high = match *cell {
                "0" => false,
                "1" => true,
                _ => volts()? >= HIGH_FROM,
            };
            ear.level(line, high);
        }
    }
    match ear {
        Some(ear) => Ok(ear.heard()),
        None => Err(Refused { line: number, why: "no row with a time and levels".to_owned() }),
    }
}

/// Where times before the trigger are moved to, seconds.
const BEFORE: f64 = 1e5;

fn moment(time: f64, unit: f64, before: &mut Ps, first: bool) -> Result<Ps, String> {
    let ps = (time * unit + BEFORE * 1e12).round();
    if !(0.0..1.8e19).contains(&ps) {
        return Err(format!("`{time}` is no time of a recording"));
    }
    // A double holds a picosecond of a day; what is written out to fewer digits keeps them.
    let ps = (ps / 1e3).round() as Ps * 1_000;
    if !first && ps < *before {
        return Err(format!("time goes back to {time}"));
    }
    *before = ps;
    Ok(ps)
}

fn unit_of(head: &str) -> f64 {
    let unit = head.split(['[', '(']).nth(1).map(|rest| rest.trim_end_matches([']', ')', ' ']));
    match unit {
        Some("ms") => 1e9,
        Some("us" | "µs") => 1e6,
        Some("ns") => 1e3,
        _ => 1e12,
    }
}
