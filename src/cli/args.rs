//! What can be written on the command line.

use clap::{Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

const EXAMPLES: &str = "\
Examples:
  lidcard check moonfish.yaml        look for mistakes before she gets wet
  lidcard endpoints moonfish.yaml    see how far each endpoint may go
  lidcard card moonfish.yaml         make moonfish-card.pdf for the lid
  lidcard pond *.yaml                see which boats cannot sail together";

const STATUS: &str = "\
Exit status:
  0  nothing found (or warnings only, without --strict)
  1  something found
  2  a file could not be read, or the program failed";

/// Checks a model's radio set-up and prints the card for the transmitter's lid.
///
/// Write down once in a boat file what each stick, channel and servo does. lidcard works out
/// everything your hands can do with it and tells you what must not happen.
#[derive(Debug, Parser)]
#[command(name = "lidcard", version, after_help = EXAMPLES, arg_required_else_help = true)]
#[command(max_term_width = 80)]
pub struct Args {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
    /// When to use colours
    #[arg(long, global = true, value_enum, default_value_t = Colour::Auto, value_name = "WHEN")]
    pub color: Colour,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Look for mistakes in boat files
    Check(Check),
    /// Show how far each endpoint may go, with a picture of each servo's travel
    Endpoints(Endpoints),
    /// Check a boat file, then make its card for the transmitter's lid
    Card(Card),
    /// See which boats cannot sail together, by their frequencies
    Pond(Pond),
}

/// `lidcard check`
#[derive(Debug, clap::Args)]
#[command(after_help = STATUS)]
pub struct Check {
    /// Boat files; `-` reads one from standard input
    #[arg(required = true, value_name = "FILE")]
    pub files: Vec<String>,
    /// Let warnings count like errors
    #[arg(long)]
    pub strict: bool,
    /// How to print what was found
    #[arg(long, value_enum, default_value_t = ReportFormat::Human)]
    pub format: ReportFormat,
    /// List what was proved as well, with its margin
    #[arg(long)]
    pub all: bool,
}

/// `lidcard endpoints`
#[derive(Debug, clap::Args)]
pub struct Endpoints {
    /// A boat file; `-` reads it from standard input
    #[arg(value_name = "FILE")]
    pub file: String,
    /// How to print them
    #[arg(long, value_enum, default_value_t = TableFormat::Human)]
    pub format: TableFormat,
}

/// `lidcard card`
#[derive(Debug, clap::Args)]
#[command(after_help = STATUS)]
pub struct Card {
    /// A boat file; `-` reads it from standard input
    #[arg(value_name = "FILE")]
    pub file: String,
    /// Where to write it [default: the boat file's name with -card.pdf, in this folder]
    #[arg(short, long, value_name = "OUT")]
    pub output: Option<PathBuf>,
    /// Width and height in millimetres, such as 105x74
    #[arg(long, value_name = "WxH", value_parser = size)]
    pub size: Option<[f64; 2]>,
    /// What kind of file to make [default: as OUT ends, else pdf]
    #[arg(long, value_enum)]
    pub format: Option<CardFormat>,
    /// Make one even if there are errors, marked NOT CHECKED
    #[arg(long)]
    pub draft: bool,
    /// Lay the card out with your own template
    #[arg(long, value_name = "FILE")]
    pub template: Option<PathBuf>,
}

/// `lidcard pond`
#[derive(Debug, clap::Args)]
#[command(after_help = STATUS)]
pub struct Pond {
    /// The boat files of the day; `-` reads one from standard input
    #[arg(required = true, value_name = "FILE")]
    pub files: Vec<String>,
    /// How to print the board
    #[arg(long, value_enum, default_value_t = TableFormat::Human)]
    pub format: TableFormat,
}

/// Reports of `check`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum ReportFormat {
    /// With the place in the file and what to do
    Human,
    /// One line each
    Short,
    /// For other programs
    Json,
}

/// Reports of `endpoints` and `pond`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum TableFormat {
    /// To read: tables, and pictures where they help
    Human,
    /// For other programs
    Json,
}

/// Files that a card can be.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum CardFormat {
    /// To print
    Pdf,
    /// To edit
    Svg,
    /// To look at
    Png,
}

impl CardFormat {
    /// The ending of such a file.
    pub fn ending(self) -> &'static str {
        match self {
            CardFormat::Pdf => "pdf",
            CardFormat::Svg => "svg",
            CardFormat::Png => "png",
        }
    }
}

/// When colours are used.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Colour {
    /// On a terminal, unless NO_COLOR is set
    Auto,
    /// Always
    Always,
    /// Never
    Never,
}

fn size(text: &str) -> Result<[f64; 2], String> {
    let why =
        || format!("write width and height in millimetres with an x between, such as 105x74, not `{text}`");
    let (width, height) = text.split_once(['x', 'X']).ok_or_else(why)?;
    let side = |text: &str| {
        let digits = text.trim();
        let plain = digits.bytes().all(|b| b.is_ascii_digit() || b == b'.');
        digits.parse::<f64>().ok().filter(|v| plain && v.is_finite() && *v > 0.0).ok_or_else(why)
    };
    let (width, height) = (side(width)?, side(height)?);
    // A page in a PDF may not be longer than 14,400 points, 5,080 mm.
    if width > 5000.0 || height > 5000.0 {
        return Err("a card cannot be longer than 5000 mm".to_owned());
    }
    Ok([width, height])
}
