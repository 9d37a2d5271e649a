//! From the tree of a boat file to the typed set-up, with every mistake that can be found in one run.
//!
//! One file per section. A section that is wrong somewhere still goes on with a stand-in, so that
//! the mistakes after it are found too; a set-up comes out only when there was none.

pub(super) mod accept;
pub(super) mod boat;
pub(super) mod channels;
pub(super) mod controls;
pub(super) mod devices;
mod dialled;
pub(super) mod dive;
pub(super) mod emergency;
pub(super) mod fittings;
mod inputs;
mod left_out;
pub(super) mod linkage;
pub(super) mod loss;
mod measured;
mod mistakes;
mod names;
mod positions;
mod rates;
mod text;
pub(super) mod transmitter;
mod travel;
pub(super) mod units;
mod uses;
pub(super) mod works;

use super::exact::Exact;
use super::keys::file::FILE;
use super::model::{Axis, BoatKind, Channel, Control, Device, OnAxis, Setup, Unsaid};
use super::quantity::Micros;
use crate::source::{Mistake, Source, Span};
pub(in crate::setup) use mistakes::NOT_MEASURED;
use mistakes::{Block, Mistakes};

pub use text::{known_are, near, shown};

/// The version of the format that this program reads.
const VERSION: &str = "1";

/// What is known so far while a file is read.
struct Reader<'a> {
    mistakes: Mistakes,
    /// The set's own scale: what is dialled is a share of it.
    set: Axis,
    /// The axis on which devices, presets and units lie.
    axis: Axis,
    /// The first figure that hangs on where the axis lies.
    on_axis: Option<Span>,
    /// The steps in which readings were crept up to.
    step: Exact,
    furthest: Exact,
    controls: Vec<Control>,
    /// Controls whose ways could not be read: what names them is not judged.
    unclear: Vec<bool>,
    /// Trims that were given in microseconds, by control.
    trim_micros: Vec<Option<Micros>>,
    /// The numbers of all channels, in the order of `channels`, known before the channels are.
    numbers: Vec<u8>,
    channels: Vec<Channel>,
    devices: Vec<Device>,
    opposites: Vec<[String; 2]>,
    used: uses::Uses,
    /// Channel blocks, in the order of `channels`.
    batteries: Vec<String>,
    channel_blocks: Vec<Option<Block<'a>>>,
}

/// Makes a set-up of a file, or says everything that is wrong with it, in the order of the places.
///
/// # Errors
///
/// Every mistake, each with its place and what to write instead.
pub fn lower(source: &Source) -> Result<Setup, Vec<Mistake>> {
    let mut mistakes = Mistakes::default();
    let Some(top) = mistakes.block(&source.root, source.root.span, "a boat file", &FILE) else {
        return Err(mistakes.finish());
    };
    if let Some(mistake) = version(&top) {
        return Err(vec![mistake]);
    }
    let boat = boat::boat(&mut mistakes, &top);
    let opposites = boat::opposites(&mut mistakes, &top);
    let transmitter = transmitter::transmitter(&mut mistakes, &top);
    let axis = transmitter::axis(&mut mistakes, &top);
    let mut reader = Reader {
        mistakes,
        set: transmitter.pulse.scale.clone(),
        axis: axis.clone().unwrap_or_else(|| transmitter.pulse.scale.clone()),
        on_axis: None,
        step: transmitter::crept_in(&top, &transmitter),
        furthest: transmitter.furthest.clone(),
        controls: Vec::new(),
        unclear: Vec::new(),
        trim_micros: Vec::new(),
        numbers: Vec::new(),
        channels: Vec::new(),
        devices: Vec::new(),
        opposites,
        used: uses::Uses::default(),
        batteries: Vec::new(),
        channel_blocks: Vec::new(),
    };
    reader.controls(&top);
    reader.channels(&top, transmitter.channels);
    reader.trims_in_micros();
    let batteries = boat::batteries(&mut reader.mistakes, &top);
    reader.batteries = batteries.iter().map(|battery| battery.name.clone()).collect();
    reader.devices(&top);
    reader.work_names(&top);
    let receiver = reader.receiver(&top);
    let mut fail_safe = reader.fail_safe(&top);
    reader.left_out_of_loss(&top, &receiver, fail_safe.as_mut());
    reader.left_out_of_water(&top, &receiver, fail_safe.as_ref());
    let hull = dive::hull(&mut reader.mistakes, &top, boat.water);
    let tank = reader.tank(&top);
    let fittings = fittings::fittings(&mut reader.mistakes, &top);
    let (mut owner, block) = boat::owner(&mut reader.mistakes, &top);
    if let Some(node) = block.and_then(|block| block.get("emergency")) {
        let sinks = reader.devices.iter().flat_map(|d| &d.works).any(|work| work.kind.sinks());
        let dives = boat.kind == BoatKind::Submarine || sinks;
        owner.emergency = reader.emergency(node, dives);
    }
    let card = boat::card(&mut reader.mistakes, &top);
    let accept = accept::accept(&mut reader.mistakes, &top);
    reader.unused(&top);
    let unsaid = Unsaid { batteries: top.get("batteries").is_none() };
    let Reader { mistakes, controls, channels, devices, opposites, axis: of_boat, on_axis, .. } = reader;
    if !mistakes.is_clean() {
        return Err(mistakes.finish());
    }
    Ok(Setup {
        boat,
        transmitter,
        axis: of_boat,
        on_axis: OnAxis { said: axis.is_some(), first: on_axis.map(|span| source.path_to(span)) },
        controls,
        channels,
        receiver,
        fail_safe,
        devices,
        batteries,
        hull,
        tank,
        fittings,
        owner,
        opposites,
        card,
        accept,
        unknown: mistakes.unknown,
        unsaid,
    })
}

/// A file of another version is not read at all: its keys may mean something else.
fn version(top: &Block<'_>) -> Option<Mistake> {
    let help = "write `lidcard: 1` as the first line";
    let Some(node) = top.get("lidcard") else {
        return Some(
            Mistake::at(
                top.place,
                "the file does not say which version of the format it is",
                "no `lidcard` key",
            )
            .help(help),
        );
    };
    match node.text() {
        Some(VERSION) => None,
        Some(other) if !other.is_empty() && other.bytes().all(|b| b.is_ascii_digit()) => Some(
            Mistake::at(
                node.span,
                format!("the file is written in version {} of the format", shown(other)),
                format!("this program reads version {VERSION}"),
            )
            .help("take a newer program for it, or write it anew in version 1"),
        ),
        _ => {
            Some(Mistake::at(node.span, "the version of the format is a whole number", "not one").help(help))
        }
    }
}
