//! The peg board for people: the boats by frequency, then what is in whose way.

use super::Look;
use super::text::{counted, hanging};
use crate::radio::{DEFER, shown};
use lidcard_check::pond::{Kind, Pond};
use std::fmt::Write;

/// More sums than this help nobody; the report for machines has them all.
const SUMS: usize = 4;

/// The whole board. `unread` files are missing from it, and the last line must not hide that.
pub fn board(pond: &Pond, unread: usize, look: Look) -> String {
    let mut out = String::new();
    table(&mut out, pond);
    for conflict in &pond.conflicts {
        out.push('\n');
        let lead = match conflict.kind {
            Kind::SameFrequency => "same frequency: ",
            Kind::AdjacentChannels => "adjacent channels: ",
            Kind::Intermodulation => "intermodulation: ",
            Kind::AircraftBand => "aircraft band: ",
        };
        hanging(&mut out, "  ", &format!("{lead}{}", conflict.message), look.width);
        for sum in conflict.sums.iter().take(SUMS).skip(1) {
            let _ = writeln!(out, "    {sum}");
        }
        if conflict.sums.len() > SUMS {
            let _ = writeln!(out, "    and {} more", conflict.sums.len() - SUMS);
        }
        hanging(&mut out, "    help: ", &conflict.help, look.width);
    }
    out.push('\n');
    out.push_str(&closing(pond, unread));
    out
}

fn table(out: &mut String, pond: &Pond) {
    let head = ["frequency", "boat", "region", "file"].map(str::to_owned);
    let rows: Vec<[String; 4]> = std::iter::once(head)
        .chain(pond.boats.iter().map(|b| {
            [
                b.hertz.map_or_else(|| "not said".to_owned(), shown),
                b.name.clone(),
                b.region.map_or("-", |r| r.word()).to_owned(),
                b.file.clone(),
            ]
        }))
        .collect();
    let width = |column: usize| rows.iter().map(|r| r[column].chars().count()).max().unwrap_or(0);
    let widths = [0, 1, 2].map(width);
    for [frequency, boat, region, file] in &rows {
        let [a, b, c] = widths;
        let _ = writeln!(out, "  {frequency:a$}   {boat:b$}   {region:c$}   {file}");
    }
}

fn closing(pond: &Pond, unread: usize) -> String {
    let silent = pond.boats.iter().filter(|b| b.hertz.is_none()).count();
    let boats = counted(pond.boats.len(), "boat", "boats");
    let mut line = match pond.conflicts.len() {
        0 => format!("no conflict among {boats}"),
        count => format!("{} among {boats}", counted(count, "conflict", "conflicts")),
    };
    if silent > 0 {
        let _ = write!(line, "; {} without a frequency, not compared", counted(silent, "boat", "boats"));
    }
    if unread > 0 {
        let _ = write!(line, "; {} could not be read", counted(unread, "file", "files"));
    }
    format!("{line}; {DEFER}\n")
}
