//! The boat from the side, and small from above, as SVG: hull, tank, planes, rudder, propeller and whatever is
//! worked, each with a name by which the script finds it. Her bow is on the right.

use crate::labels::Labels;
use crate::labels::text::practice::boat;
use crate::page::escaped;
use crate::setup::{BoatKind, Device, Setup};
use crate::words::plain;
use std::fmt::Write;

/// Where the works of a sort are drawn, in a row: first place and step.
struct Row {
    x: i32,
    y: i32,
    step: i32,
}

const ON_TANK: Row = Row { x: 262, y: 136, step: 30 };
const UNDER_TANK: Row = Row { x: 262, y: 228, step: 30 };
const BOTTLES: Row = Row { x: 430, y: 182, step: 26 };
const ON_DECK: Row = Row { x: 130, y: 128, step: 26 };

/// What a device is in the drawing.
enum Part {
    /// A plane at the bow or at the stern.
    Plane(&'static str),
    Rudder,
    Propeller,
}

pub(super) fn drawing(labels: &Labels, setup: &Setup) -> String {
    let mut out = String::from(
        "<svg id=\"drawing\" class=\"boat\" viewBox=\"0 0 640 330\" role=\"img\">\n<defs>\
         <pattern id=\"hatch\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\" \
         patternTransform=\"rotate(45)\"><rect class=\"ground\" width=\"6\" height=\"6\"/>\
         <line class=\"hatch\" x1=\"0\" y1=\"0\" x2=\"0\" y2=\"6\"/></pattern></defs>\n",
    );
    hull(&mut out, setup);
    if setup.dives() {
        tank(&mut out, labels);
    }
    let mut propellers = 0;
    for (id, device) in setup.devices.iter().enumerate() {
        match part(setup, device) {
            Some(Part::Plane(where_)) => {
                let (x, y) = if where_ == "bow" { (500, 182) } else { (140, 182) };
                let _ = writeln!(
                    out,
                    "<g transform=\"translate({x} {y})\"><path id=\"part-{id}\" class=\"plane {where_}\" \
                     d=\"M-34 0 Q-8 -9 34 0 Q-8 9 -34 0Z\"/><circle class=\"pin\" r=\"3\"/></g>"
                );
            }
            Some(Part::Propeller) => {
                let y = 182 + 26 * propellers;
                propellers += 1;
                let _ = writeln!(
                    out,
                    "<g transform=\"translate(62 {y})\"><g id=\"part-{id}\" class=\"propeller\">\
                     <ellipse class=\"blade\" cy=\"-17\" rx=\"6\" ry=\"16\"/>\
                     <ellipse class=\"blade\" cy=\"17\" rx=\"6\" ry=\"16\"/><circle class=\"pin\" r=\"5\"/></g></g>"
                );
            }
            Some(Part::Rudder) | None => {}
        }
    }
    works(&mut out, setup);
    above(&mut out, labels, setup);
    if propellers > 0 {
        out.push_str(
            "<g transform=\"translate(540 285)\"><path id=\"way\" class=\"never\" d=\"M-44 0 H40 m-14 -11 L40 0 l-14 \
             11\"/><text id=\"way-word\" class=\"label\" y=\"30\"></text></g>\n",
        );
    }
    out.push_str("</svg>");
    out
}

/// What a device moves, by what is seen of it.
fn part(setup: &Setup, device: &Device) -> Option<Part> {
    let seen = device.effects.iter().flatten().next().map(|effect| setup.effect_words(*effect))?;
    let aft = ["stern", "aft", "heck"].iter().any(|word| device.name.to_lowercase().contains(word));
    match seen.split(' ').next()? {
        "bow" if !aft => Some(Part::Plane("bow")),
        "bow" | "stern" => Some(Part::Plane("stern")),
        "turns" => Some(Part::Rudder),
        "drives" => Some(Part::Propeller),
        _ => None,
    }
}

fn hull(out: &mut String, setup: &Setup) {
    out.push_str(match setup.boat.kind {
        BoatKind::Submarine => {
            "<path class=\"hull\" d=\"M78 182 Q120 132 250 130 L505 130 Q596 134 602 182 Q596 232 505 234 \
             L250 234 Q120 232 78 182Z\"/>\n<path class=\"hull\" d=\"M300 130 L312 84 Q316 76 326 76 L376 76 Q386 76 \
             388 84 L394 130Z\"/>\n<line class=\"line\" x1=\"346\" x2=\"346\" y1=\"76\" y2=\"48\"/>\n"
        }
        BoatKind::Surface => {
            "<path class=\"water\" d=\"M0 206 H640 V330 H0Z\"/>\n<path class=\"hull\" d=\"M86 150 L590 138 Q584 200 540 \
             232 L130 232 Q94 226 86 150Z\"/>\n<path class=\"hull\" d=\"M300 144 L306 78 H404 L418 142Z\"/>\n\
             <path class=\"hull\" d=\"M250 146 V104 H280 V145Z\"/>\n"
        }
        BoatKind::Other => {
            "<rect class=\"hull\" x=\"92\" y=\"130\" width=\"500\" height=\"104\" rx=\"40\"/>\n"
        }
    });
}

fn tank(out: &mut String, labels: &Labels) {
    let name = escaped(labels.get(boat::TANK));
    let _ = writeln!(
        out,
        "<rect class=\"ground line\" x=\"246\" y=\"152\" width=\"150\" height=\"60\" rx=\"6\"/>\
         <rect id=\"perhaps-water\" class=\"may\" x=\"248\" y=\"154\" width=\"146\" height=\"56\"/>\
         <rect id=\"water\" class=\"water\" x=\"248\" y=\"154\" width=\"146\" height=\"56\"/>\
         <rect class=\"none line\" x=\"246\" y=\"152\" width=\"150\" height=\"60\" rx=\"6\"/>\
         <text class=\"label\" x=\"321\" y=\"187\">{name}</text>"
    );
}

fn works(out: &mut String, setup: &Setup) {
    let mut rows = [(ON_TANK, 0), (UNDER_TANK, 0), (BOTTLES, 0), (ON_DECK, 0)];
    for (id, device) in setup.devices.iter().enumerate() {
        for (work, w) in device.works.iter().enumerate() {
            let (which, shape) = if w.kind.emergency {
                (2, "<path d=\"M-7 -14 h14 v26 q-7 8 -14 0Z M-3 -20 h6 v6 h-6Z\"/>")
            } else if w.kind.sinks() && setup.dives() {
                (0, "<path d=\"M-11 -9 L11 9 V-9 L-11 9Z\"/>")
            } else if w.kind.raises() && setup.dives() {
                (1, "<path d=\"M-11 0 a11 11 0 1 1 22 0 a11 11 0 1 1 -22 0 M-4 -7 L8 0 L-4 7Z\"/>")
            } else {
                (3, "<circle r=\"10\"/>")
            };
            let (row, used) = &mut rows[which];
            let (x, y) = (row.x + row.step * *used, row.y);
            *used += 1;
            let name = escaped(&plain(&w.name));
            let _ = writeln!(
                out,
                "<g transform=\"translate({x} {y})\"><g id=\"work-{id}-{work}\" class=\"work\">\
                 <title>{name}</title>{shape}</g></g>"
            );
        }
    }
}

/// Her rudder shows only from above.
fn above(out: &mut String, labels: &Labels, setup: &Setup) {
    let rudders = setup.devices.iter().enumerate();
    let rudders: Vec<usize> =
        rudders.filter(|(_, d)| matches!(part(setup, d), Some(Part::Rudder))).map(|(id, _)| id).collect();
    if rudders.is_empty() {
        return;
    }
    let _ = writeln!(
        out,
        "<g transform=\"translate(70 282)\"><path class=\"hull\" d=\"M0 0 Q20 -20 90 -20 Q150 -20 176 0 Q150 20 90 \
         20 Q20 20 0 0Z\"/><text class=\"label\" x=\"90\" y=\"5\">{}</text>",
        escaped(labels.get(boat::ABOVE))
    );
    for id in rudders {
        let _ = writeln!(
            out,
            "<path id=\"part-{id}\" class=\"rudder\" d=\"M0 0 Q-14 -7 -42 0 Q-14 7 0 0Z\"/><circle class=\"pin\" r=\"3\"/>"
        );
    }
    out.push_str("</g>\n");
}
