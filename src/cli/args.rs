//! What can be written on the command line.

use super::document::DocumentCommand;
use super::later::Later;
use super::named::BoatFile;
use crate::document::Paper;
use crate::document::measure::Units;
use crate::fingerprint::Code;
use crate::language::{self, Language};
use crate::rehearsal::Cause;
use crate::report::{self, Format};
use crate::setup::BoatKind;
use clap::builder::{OsStringValueParser, PossibleValue, PossibleValuesParser, TypedValueParser};
use clap::{Parser, Subcommand, ValueEnum};
use std::ffi::{OsStr, OsString};
use std::path::PathBuf;

const EXAMPLES: &str = "\
Examples:
  lidcard new newt.yaml              answer questions and have a first boat file written
  lidcard moonfish.yaml              check her, and where she is clean make her card
  lidcard check moonfish.yaml        look for mistakes before she gets wet
  lidcard endpoints moonfish.yaml    see how far each endpoint may go
  lidcard card moonfish.yaml         make moonfish-card.pdf for the lid
  lidcard sheet moonfish.yaml        make moonfish-sheet.pdf for the bench
  lidcard try moonfish.yaml          make moonfish-practice.html for her owner
  lidcard handover moonfish.yaml     put all her papers into moonfish-handover
  lidcard pond *.yaml                see which boats cannot sail together";

const STATUS: &str = "\
Exit status:
  0  nothing found (or warnings only, without --strict)
  1  something found
  2  a file could not be read, or the program failed";

const FROM: &str = "\
WITNESS is what a finding of `check` is about, such as tank_servo.gas, and stands for the place its
witness names; or controls with their places, parted by commas:
  --from tank_servo.gas
  --from \"tank=flood, dive=100 %, trim of dive=20 %, agility=full\"
A place is a way held fully, a setting of a switch, or a percentage of the high way (+) or the low (-).

Everything it says is an estimate. A tethered test in shallow water decides.";

const NEW: &str = "\
Every answer is kept beside FILE at once; the same command goes on where you stopped. `?` says that you do not
know: that becomes `not measured` or is left out with a remark, never a figure that only looks right.

Exit status:
  0  the file is written
  1  a question has no answer yet
  2  a file could not be read or written, or an answer makes no sense";

const BENCH: &str = "\
Readings are added to the record at once and never changed; begin again where you stopped by the same command.

Exit status:
  0  nothing found that is not as it should be; what is open is named
  1  something is not as the file says, or not safe
  2  a file could not be read or written, or the program failed";

const LISTEN: &str = "\
A line named ch4 is channel 4. A steady stretch is matched with the pulses of the bench by what it is, or in the
order that --went tells.

Exit status:
  0  all that was heard agrees with the file
  1  something does not
  2  a file could not be read or written, or the program failed";

const PROBE: &str = "\
Nothing that is to be dialled in or held for a reading works anything dangerous, whatever slips: that is proved
first. Still: propeller off, gas bottle out. Readings go into the record of the bench at once.

Exit status:
  0  nothing is left to find out that can be
  1  readings are open, contradict each other, or something is not put back
  2  a file could not be read or written, or the program failed";

const BELONGS: &str = "\
Exit status:
  0  the card or certificate belongs to the file
  1  it does not
  2  a file could not be read, or the code cannot be one";

/// Behind the options of each command, which are made later.
const LAST: usize = 900;

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
    #[arg(long, global = true, display_order = LAST, value_enum, default_value_t = Colour::Auto, value_name = "WHEN")]
    pub color: Colour,
    /// Show no progress, and do not tell what was written; what was found is told all the same
    #[arg(short, long, global = true, display_order = LAST)]
    pub quiet: bool,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Write a first boat file from questions, in the order of the bench
    New(Later<New>),
    /// Look for mistakes in boat files
    Check(Later<Check>),
    /// Show how far each endpoint may go, with a picture of each servo's travel
    Endpoints(Later<Endpoints>),
    /// Show what every stick, lost link and stage does to each valve, switch and motor
    States(Later<States>),
    /// Follow the fail-safe in time and water: will it bring her up? An estimate
    Rehearse(Later<Rehearse>),
    /// Check a boat file, then make a document
    #[command(flatten)]
    Document(DocumentCommand),
    /// Check a boat file, then put all her papers into a folder, with an index page
    Handover(Later<Handover>),
    /// Check a boat file, then make a page on which her owner moves the sticks and sees what she does
    Try(Later<Try>),
    /// Go through the tests of the bench sheet, one step at a time, and keep what was read
    Bench(Later<Bench>),
    /// Find out how the set does its sums, where the file leaves that open, by the fewest readings
    Probe(Later<Probe>),
    /// Hear what a logic analyser recorded at the receiver, and hold it against the file
    Listen(Later<Listen>),
    /// Put readings of the bench into the boat file, with a question for each
    Adopt(Later<Adopt>),
    /// Say whether a card in hand was made for a boat file, by the code on it
    Verify(Later<Verify>),
    /// Get the boat file back from a photo or scan of its bench sheet
    Restore(Later<Restore>),
    /// Explain a rule (what is wrong, how it shows on the bench, how to cure it), a key of the boat file or a term
    Explain(Later<Explain>),
    /// See which boats cannot sail together, by their frequencies
    Pond(Later<Pond>),
    /// Print the JSON Schema of the boat file, for editors that explain its keys
    Schema(Later<Schema>),
    /// Print the script with which a shell completes commands and options
    Completions(Later<Completions>),
    /// Print a manual page, for `man`
    Man(Later<Man>),
}

/// `lidcard new`
#[derive(Debug, clap::Args)]
#[command(after_help = NEW)]
pub struct New {
    /// The boat file to write; it must not be there yet
    #[arg(value_name = "FILE", required_unless_present = "questions")]
    pub file: Option<PathBuf>,
    /// Take the answers from this file, `QUESTION: answer` in each line, and ask nothing
    #[arg(long, value_name = "FILE")]
    pub answers: Option<PathBuf>,
    /// Make the form to measure by as well, beside the boat file
    #[arg(long, conflicts_with = "questions")]
    pub form: bool,
    /// Print every question that the answers lead to, as JSON, and write nothing
    #[arg(long, conflicts_with = "file")]
    pub questions: bool,
    /// Language of the questions and of the remarks in the file [default: at a terminal that of LANG, else en]
    #[arg(long, value_name = "LANGUAGE", value_parser = language)]
    pub language: Option<Language>,
}

/// `lidcard check`
#[derive(Debug, clap::Args)]
#[command(after_help = STATUS)]
pub struct Check {
    /// Boat files; `-` reads one from standard input
    #[arg(required = true, value_name = "FILE")]
    pub files: Vec<BoatFile>,
    /// Let warnings count like errors
    #[arg(long)]
    pub strict: bool,
    /// How to print what was found
    #[arg(long, value_parser = report_format(), default_value = report::ALL[0].name())]
    pub format: &'static dyn Format,
    /// Write the report to a file as well, such as sarif:moonfish.sarif; as often as wanted
    #[arg(short, long = "output", value_name = "FORMAT:FILE", value_parser = OsStringValueParser::new().try_map(report_file))]
    pub outputs: Vec<(&'static dyn Format, PathBuf)>,
    /// List what was proved as well, with its margin
    #[arg(long)]
    pub all: bool,
    /// Write what makes each answer true, so that somebody else's program can check it; of one boat file
    #[arg(long, value_name = "CERTIFICATE")]
    pub certificate: Option<PathBuf>,
}

/// `lidcard endpoints`
#[derive(Debug, clap::Args)]
pub struct Endpoints {
    /// A boat file; `-` reads it from standard input
    #[arg(value_name = "FILE")]
    pub file: BoatFile,
    /// How to print them
    #[arg(long, value_enum, default_value_t = TableFormat::Human)]
    pub format: TableFormat,
    /// Look for the endpoints and sub-trim of each channel that leave the most room
    #[arg(long)]
    pub solve: bool,
    /// Put what was found into FILE; the old one is kept as FILE.bak
    #[arg(long, requires = "solve")]
    pub write: bool,
}

/// `lidcard states`
#[derive(Debug, clap::Args)]
pub struct States {
    /// A boat file; `-` reads it from standard input
    #[arg(value_name = "FILE")]
    pub file: BoatFile,
    /// How to print the table
    #[arg(long, value_enum, default_value_t = TableFormat::Human)]
    pub format: TableFormat,
}

/// `lidcard rehearse`
#[derive(Debug, clap::Args)]
#[command(after_help = FROM)]
pub struct Rehearse {
    /// A boat file; `-` reads it from standard input
    #[arg(value_name = "FILE")]
    pub file: BoatFile,
    /// What sets the fail-safe going
    #[arg(long, value_enum, default_value_t = CauseOf::Loss)]
    pub cause: CauseOf,
    /// Where the sticks are when it comes [default: at rest, and in the worst case anywhere]
    #[arg(long, value_name = "WITNESS")]
    pub from: Option<String>,
    /// How deep she is when it comes, in metres [default: at her depth limit]
    #[arg(long, value_name = "METRES", value_parser = metres)]
    pub depth: Option<f64>,
    /// Look for the shortest blow, the longest wait and the lowest battery threshold that keep the margins
    #[arg(long)]
    pub solve: bool,
    /// How to print it
    #[arg(long, value_enum, default_value_t = TableFormat::Human)]
    pub format: TableFormat,
}

/// Causes that can be rehearsed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum CauseOf {
    /// The link is lost
    Loss,
    /// The battery is low
    Battery,
    /// Water in the hull
    Leak,
    /// Power on with the transmitter off
    PowerUp,
}

impl From<CauseOf> for Cause {
    fn from(cause: CauseOf) -> Self {
        match cause {
            CauseOf::Loss => Cause::Loss,
            CauseOf::Battery => Cause::Battery,
            CauseOf::Leak => Cause::Leak,
            CauseOf::PowerUp => Cause::PowerUp,
        }
    }
}

/// What a document of any size takes.
#[derive(Debug, clap::Args)]
#[command(after_help = STATUS)]
pub struct Sized {
    /// What every document takes
    #[command(flatten)]
    pub pages: Pages,
    /// Width and height in millimetres, such as 105x74, or in inches, such as 4x3in
    #[arg(long, value_name = "WxH", value_parser = size)]
    pub size: Option<[f64; 2]>,
    /// Front and back in one piece with a fold line between, instead of two pages
    #[arg(long)]
    pub fold: bool,
}

/// What a document with an annex takes.
#[derive(Debug, clap::Args)]
#[command(after_help = STATUS)]
pub struct Annexed {
    /// What every document takes
    #[command(flatten)]
    pub pages: Pages,
    /// With an annex: causes and effects, estimates, all that is proved with its margin
    #[arg(long)]
    pub annex: bool,
    /// The form to measure by instead: every figure that is read, with room for each reading; FILE may be left out
    #[arg(long, conflicts_with = "annex")]
    pub blank: bool,
    /// Of what kind she is, for a form without a FILE
    #[arg(long, value_name = "KIND", value_parser = boat_kind(), requires = "blank", conflicts_with = "files")]
    pub kind: Option<BoatKind>,
}

/// What every document takes.
#[derive(Debug, clap::Args)]
#[command(after_help = STATUS)]
pub struct Pages {
    /// Boat files; `-` reads one from standard input
    #[arg(required = true, value_name = "FILE")]
    pub files: Vec<BoatFile>,
    /// Where to write it, or a folder [default: named after the boat file, in this folder]
    #[arg(short, long, value_name = "OUT")]
    pub output: Option<PathBuf>,
    /// What kind of file to make [default: as OUT ends, else pdf]
    #[arg(long, value_enum)]
    pub format: Option<PageFormat>,
    /// Lay it out on this paper
    #[arg(long, value_name = "PAPER", value_parser = paper())]
    pub on: Option<Paper>,
    /// Make one even if there are errors, marked NOT CHECKED
    #[arg(long)]
    pub draft: bool,
    /// Language of the pages [default: as the boat file says, else en]
    #[arg(long, value_name = "LANGUAGE", value_parser = language)]
    pub language: Option<Language>,
    /// Units for what is measured in water
    #[arg(long, value_enum, default_value_t = UnitsOf::Metric)]
    pub units: UnitsOf,
    /// Lay it out with your own template
    #[arg(long, value_name = "FILE")]
    pub template: Option<PathBuf>,
    /// Folder with your own templates, words, logo and contact [default: what LIDCARD_WORKSHOP names]
    #[arg(long, value_name = "FOLDER")]
    pub workshop: Option<PathBuf>,
    /// The boat is reported even where nothing was found: not written, but known where no command was.
    #[arg(skip)]
    pub verdict: bool,
}

impl Pages {
    /// A document of one boat, as it comes when nothing else is asked for.
    pub fn of(file: &BoatFile, output: PathBuf) -> Self {
        Self {
            files: vec![file.clone()],
            output: Some(output),
            format: None,
            on: None,
            draft: false,
            language: None,
            units: UnitsOf::Metric,
            template: None,
            workshop: None,
            verdict: false,
        }
    }
}

/// What only documents are asked for that tell something of the bench record.
#[derive(Debug, clap::Args)]
pub struct FromRecord {
    /// The bench record [default: beside the boat file, named after it]
    #[arg(long, value_name = "FILE")]
    pub record: Option<PathBuf>,
}

/// `lidcard handover`
#[derive(Debug, clap::Args)]
#[command(after_help = STATUS)]
pub struct Handover {
    /// A boat file; `-` reads it from standard input
    #[arg(value_name = "FILE")]
    pub file: BoatFile,
    /// The folder to make; a handover of an earlier revision is replaced, and its boat file kept
    /// [default: named after the boat file, in this folder]
    #[arg(short, long, value_name = "FOLDER")]
    pub output: Option<PathBuf>,
    /// Replace a handover of the same revision that was made of another boat file
    #[arg(long)]
    pub replace: bool,
    /// The bench record from which the guide tells how she was tried [default: beside the boat file, if one is there]
    #[arg(long, value_name = "FILE")]
    pub record: Option<PathBuf>,
    /// Hand over a boat of which not everything could be judged; her file says what is `left_to_owner`
    #[arg(long)]
    pub provisional: bool,
    /// Lay the pages out on this paper: cards with crop marks, the guide as a booklet
    #[arg(long, value_name = "PAPER", value_parser = paper())]
    pub on: Option<Paper>,
    /// Width and height of the card, such as 105x74, or in inches, such as 4x3in
    #[arg(long, value_name = "WxH", value_parser = size)]
    pub size: Option<[f64; 2]>,
    /// Front and back of the card in one piece with a fold line between
    #[arg(long)]
    pub fold: bool,
    /// Language of the pages [default: as the boat file says, else en]
    #[arg(long, value_name = "LANGUAGE", value_parser = language)]
    pub language: Option<Language>,
    /// Units for what is measured in water
    #[arg(long, value_enum, default_value_t = UnitsOf::Metric)]
    pub units: UnitsOf,
    /// Folder with your own templates, words, logo and contact [default: what LIDCARD_WORKSHOP names]
    #[arg(long, value_name = "FOLDER")]
    pub workshop: Option<PathBuf>,
}

/// `lidcard try`
#[derive(Debug, clap::Args)]
#[command(after_help = STATUS)]
pub struct Try {
    /// A boat file; `-` reads it from standard input
    #[arg(value_name = "FILE")]
    pub file: BoatFile,
    /// Where to write it, or a folder [default: named after the boat file, in this folder]
    #[arg(short, long, value_name = "OUT")]
    pub output: Option<PathBuf>,
    /// The page, or the figures that it evaluates
    #[arg(long, value_enum, default_value_t = TryFormat::Html)]
    pub format: TryFormat,
    /// Make one even if there are errors, marked NOT CHECKED
    #[arg(long)]
    pub draft: bool,
    /// Language of the page [default: as the boat file says, else en]
    #[arg(long, value_name = "LANGUAGE", value_parser = language)]
    pub language: Option<Language>,
    /// Folder with your own words [default: what LIDCARD_WORKSHOP names]
    #[arg(long, value_name = "FOLDER")]
    pub workshop: Option<PathBuf>,
}

/// What `try` makes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum TryFormat {
    /// A page for any browser
    Html,
    /// For other programs
    Json,
}

/// `lidcard verify`
#[derive(Debug, clap::Args)]
#[command(after_help = BELONGS)]
pub struct Verify {
    /// A boat file; `-` reads it from standard input
    #[arg(value_name = "FILE")]
    pub file: BoatFile,
    /// The code on the card; without it that of FILE is printed
    #[arg(long, value_name = "XXXX-XXXX", value_parser = code, group = "in_hand")]
    pub code: Option<Code>,
    /// Older boat files, or folders of them: what changed since the card or the certificate was made is shown
    #[arg(long, value_name = "OLDER", num_args = 1.., requires = "in_hand")]
    pub older: Vec<PathBuf>,
    /// A certificate that `check` wrote: whether it is of FILE, and as it would be written now
    #[arg(long, value_name = "CERTIFICATE", group = "in_hand")]
    pub certificate: Option<PathBuf>,
    /// How to print the answer
    #[arg(long, value_enum, default_value_t = TableFormat::Human)]
    pub format: TableFormat,
}

/// `lidcard restore`
#[derive(Debug, clap::Args)]
pub struct Restore {
    /// PNG or JPEG pictures that together show all QR codes of one bench sheet
    #[arg(required = true, value_name = "PICTURE")]
    pub pictures: Vec<PathBuf>,
    /// Where to write the boat file; `-` prints it [default: named after the boat, in this folder]
    #[arg(short, long, value_name = "OUT")]
    pub output: Option<PathBuf>,
    /// Replace OUT if it is there
    #[arg(long)]
    pub force: bool,
}

/// `lidcard adopt`
#[derive(Debug, clap::Args)]
pub struct Adopt {
    /// A boat file; the old one is kept as FILE.bak
    #[arg(value_name = "FILE")]
    pub file: BoatFile,
    /// The record of its readings [default: FILE with .bench.yaml]
    #[arg(long, value_name = "FILE")]
    pub record: Option<PathBuf>,
    /// Take the answers from a file, a line for each question
    #[arg(long, value_name = "FILE")]
    pub answers: Option<PathBuf>,
}

/// `lidcard schema`
#[derive(Debug, clap::Args)]
pub struct Schema {
    /// That of a bench record instead
    #[arg(long)]
    pub record: bool,
}

/// `lidcard bench`
#[derive(Debug, clap::Args)]
#[command(after_help = BENCH)]
pub struct Bench {
    /// A boat file that passes its check
    #[arg(value_name = "FILE")]
    pub file: BoatFile,
    /// Take the answers from a file, a line for each question
    #[arg(long, value_name = "FILE")]
    pub answers: Option<PathBuf>,
    /// The record that the readings go into [default: FILE with .bench.yaml]
    #[arg(long, value_name = "FILE")]
    pub record: Option<PathBuf>,
    /// Only what has to be repeated after a change of the file: readings of its earlier states count where all that
    /// they rest on is the same
    #[arg(long)]
    pub due: bool,
    /// Something of the boat or the set is another one now, such as tank_servo, "channel 4" or transmitter: what rests on
    /// it is to be repeated
    #[arg(long, value_name = "WHAT")]
    pub changed: Vec<String>,
    /// Go on with the sitting that the record ends with: the same person, meters and warmth
    #[arg(long, conflicts_with_all = ["by", "conditions", "extreme", "meters"])]
    pub go_on: bool,
    /// Print every step and what came of it, as JSON, when the answers are taken; without a seat nobody sits down, and
    /// nothing is written but what --changed says
    #[arg(long)]
    pub steps: bool,
    /// The answers are to this step of them, not to the first that is open; where one before it that keeps from harm is
    /// open, none is taken
    #[arg(long, value_name = "N", requires = "steps", value_parser = clap::value_parser!(u16).range(1..))]
    pub step: Option<u16>,
    /// Language in which steps are told [default: en]
    #[arg(long, value_name = "LANGUAGE", value_parser = language, requires = "steps")]
    pub language: Option<Language>,
    /// Who sits there
    #[command(flatten)]
    pub seat: Seat,
}

/// Who sits at the bench, with what.
#[derive(Debug, clap::Args)]
pub struct Seat {
    /// Whose readings they are: initials
    #[arg(long, value_name = "INITIALS")]
    pub by: Option<String>,
    /// Warm or cold, volts, hull open, installed or closed, afloat
    #[arg(long, value_name = "WORDS")]
    pub conditions: Option<String>,
    /// Whether it is as warm or as cold as she is ever sailed
    #[arg(long, value_enum, value_name = "END")]
    pub extreme: Option<Extreme>,
    /// A meter in use and what it can be off: "pulse meter = 2 us"; once for each
    #[arg(long = "meter", value_name = "METER", value_parser = super::bench::meter)]
    pub meters: Vec<super::bench::Meter>,
}

/// Where the warmth of the day lies in the year's.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
pub enum Extreme {
    /// As warm as she is ever sailed
    Warmest,
    /// As cold as she is ever sailed
    Coldest,
    /// Neither
    No,
}

impl Extreme {
    /// As the record has it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Warmest => "warmest",
            Self::Coldest => "coldest",
            Self::No => "",
        }
    }
}

/// `lidcard listen`
#[derive(Debug, clap::Args)]
#[command(after_help = LISTEN)]
pub struct Listen {
    /// A boat file
    #[arg(value_name = "FILE")]
    pub file: BoatFile,
    /// What was recorded: a value change dump (.vcd), or times and levels with commas between (.csv)
    #[arg(value_name = "RECORDING")]
    pub recording: PathBuf,
    /// Which line is which channel, such as D3=4; of a pulse train which channel comes first
    #[arg(long = "line", value_name = "LINE=CHANNEL", value_parser = super::listen::line)]
    pub lines: Vec<(String, u8)>,
    /// In which order the hand went, by the names of the bench: "4/rest; 4/blow held; 4/rest"
    #[arg(long, value_name = "NAMES")]
    pub went: Option<String>,
    /// The transmitter was switched off in it
    #[arg(long)]
    pub loss: bool,
    /// When: a line that changes with the switch, or the second, such as 12.5s
    #[arg(long, value_name = "LINE", requires = "loss")]
    pub off_at: Option<String>,
    /// What the clock of the analyser is off, parts in a million
    #[arg(long, value_name = "PPM", default_value_t = 100, value_parser = clap::value_parser!(u64).range(0..=100_000))]
    pub clock: u64,
    /// Put what was heard into the record, with these initials
    #[arg(long, value_name = "INITIALS")]
    pub add: Option<String>,
    /// The record [default: FILE with .bench.yaml]
    #[arg(long, value_name = "FILE", requires = "add")]
    pub record: Option<PathBuf>,
    /// Warm or cold, volts, hull open, installed or closed, afloat
    #[arg(long, value_name = "WORDS", requires = "add")]
    pub conditions: Option<String>,
}

/// `lidcard probe`
#[derive(Debug, clap::Args)]
#[command(after_help = PROBE)]
pub struct Probe {
    /// A boat file
    #[arg(value_name = "FILE")]
    pub file: BoatFile,
    /// Find out every line that is open, not only those that a verdict hangs on
    #[arg(long)]
    pub all: bool,
    /// Believe nothing of the file's pulses: rest and full are read too
    #[arg(long)]
    pub scale: bool,
    /// Take the answers from a file, a line for each question
    #[arg(long, value_name = "FILE")]
    pub answers: Option<PathBuf>,
    /// The record that the readings go into [default: FILE with .bench.yaml]
    #[arg(long, value_name = "FILE")]
    pub record: Option<PathBuf>,
    /// Who sits there
    #[command(flatten)]
    pub seat: Seat,
    /// How to print where one stands; `json` asks nothing
    #[arg(long, value_enum, default_value_t = TableFormat::Human)]
    pub format: TableFormat,
}

/// `lidcard explain`
#[derive(Debug, clap::Args)]
pub struct Explain {
    /// A rule as a report prints it, a key of the boat file, a kind of device or works, a state or a term;
    /// `keys`, `words` or `faults`; without it all rules are listed
    #[arg(value_name = "WORD")]
    pub word: Option<String>,
    /// How to print it
    #[arg(long, value_enum, default_value_t = TextFormat::Human)]
    pub format: TextFormat,
}

/// `lidcard pond`
#[derive(Debug, clap::Args)]
#[command(after_help = STATUS)]
pub struct Pond {
    /// The boat files of the day; `-` reads one from standard input
    #[arg(required = true, value_name = "FILE")]
    pub files: Vec<BoatFile>,
    /// How to print the board
    #[arg(long, value_enum, default_value_t = TableFormat::Human)]
    pub format: TableFormat,
}

/// `lidcard completions`
#[derive(Debug, clap::Args)]
pub struct Completions {
    /// For which shell
    #[arg(value_enum, value_name = "SHELL")]
    pub shell: clap_complete::Shell,
}

/// `lidcard man`
#[derive(Debug, clap::Args)]
pub struct Man {
    /// Of which command; without it that of the program
    #[arg(value_name = "COMMAND")]
    pub command: Option<String>,
    /// Name the commands that have a page, one in a line
    #[arg(long, conflicts_with = "command")]
    pub list: bool,
}

/// How the commands with one table or one answer print it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum TableFormat {
    /// To read
    Human,
    /// For other programs
    Json,
}

/// Files that a document can be.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum PageFormat {
    /// To print
    Pdf,
    /// To edit
    Svg,
    /// To look at
    Png,
    /// To read on a screen or hear read; card and guide only
    Html,
}

impl PageFormat {
    /// The ending of such a file.
    pub fn ending(self) -> &'static str {
        match self {
            PageFormat::Pdf => "pdf",
            PageFormat::Svg => "svg",
            PageFormat::Png => "png",
            PageFormat::Html => "html",
        }
    }
}

/// Units of what is measured in water.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum UnitsOf {
    /// Metres
    Metric,
    /// Feet, and inches where sizes of a card are offered
    Us,
}

impl From<UnitsOf> for Units {
    fn from(units: UnitsOf) -> Self {
        match units {
            UnitsOf::Metric => Units::Metric,
            UnitsOf::Us => Units::Us,
        }
    }
}

/// How what is explained is printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum TextFormat {
    /// To read
    Human,
    /// As Markdown, for a handbook; without a word the names of all rules
    Markdown,
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

fn format_named(name: &str) -> Option<&'static dyn Format> {
    report::ALL.iter().find(|format| format.name() == name).copied()
}

/// One of the shapes of a report, each told with what it is for.
fn report_format() -> impl TypedValueParser<Value = &'static dyn Format> {
    let known = report::ALL.iter().map(|format| PossibleValue::new(format.name()).help(format.about()));
    PossibleValuesParser::new(known.collect::<Vec<_>>())
        .try_map(|name| format_named(&name).ok_or("there is no such report format"))
}

/// One of the papers that printers take.
fn paper() -> impl TypedValueParser<Value = Paper> {
    let known = Paper::ALL.map(|paper| PossibleValue::new(paper.name()).help(paper.about()));
    PossibleValuesParser::new(known).try_map(|name| {
        Paper::ALL.into_iter().find(|paper| paper.name() == name).ok_or("there is no such paper")
    })
}

fn boat_kind() -> impl TypedValueParser<Value = BoatKind> {
    PossibleValuesParser::new(BoatKind::ALL.iter().map(|(word, _)| *word)).try_map(|word| {
        BoatKind::ALL
            .iter()
            .find(|(known, _)| *known == word)
            .map(|(_, kind)| *kind)
            .ok_or("there is no such kind")
    })
}

fn report_file(text: OsString) -> Result<(&'static dyn Format, PathBuf), String> {
    let why = || "write a format and a file with a colon between, such as json:moonfish.json".to_owned();
    let (format, file) = &at_colon(&text).filter(|(_, file)| !file.is_empty()).ok_or_else(why)?;
    let known = || report::ALL.iter().map(|format| format.name()).collect::<Vec<_>>().join(", ");
    let named = format_named(format)
        .ok_or_else(|| format!("there is no report format `{format}`: take one of {}", known()))?;
    Ok((named, PathBuf::from(file)))
}

/// What stands before the first colon and behind it, where names may be of any bytes.
#[cfg(unix)]
fn at_colon(text: &OsStr) -> Option<(String, OsString)> {
    use std::os::unix::ffi::OsStrExt;
    let (format, file) = text.as_bytes().split_at(text.as_bytes().iter().position(|byte| *byte == b':')?);
    Some((std::str::from_utf8(format).ok()?.to_owned(), OsStr::from_bytes(&file[1..]).to_owned()))
}

/// What stands before the first colon and behind it.
#[cfg(not(unix))]
fn at_colon(text: &OsStr) -> Option<(String, OsString)> {
    let (format, file) = text.to_str()?.split_once(':')?;
    Some((format.to_owned(), file.into()))
}

fn code(text: &str) -> Result<Code, String> {
    Code::read(text).ok_or_else(|| {
        "a code has eight characters, such as 7K3M-Q2XD: digits and letters, but never U".to_owned()
    })
}

fn language(text: &str) -> Result<Language, String> {
    let known = language::ALL.iter().find(|(name, _)| *name == text);
    known.map(|(_, language)| *language).ok_or_else(|| {
        let names: Vec<_> = language::ALL.iter().map(|(name, _)| *name).collect();
        format!("there are no labels in it: take {}", names.join(" or "))
    })
}

fn metres(text: &str) -> Result<f64, String> {
    let plain = text.trim_end().strip_suffix('m').unwrap_or(text).trim();
    let digits = plain.bytes().all(|b| b.is_ascii_digit() || b == b'.');
    let metres = plain.parse().ok().filter(|m| digits && (0.0..=100.0).contains(m));
    metres.ok_or_else(|| format!("write a depth in metres from 0 to 100, such as 1.5, not `{text}`"))
}

fn size(text: &str) -> Result<[f64; 2], String> {
    let why = || format!("write width and height with an x between, such as 105x74 or 4x3in, not `{text}`");
    // An inch is 25.4 mm exactly (international yard and pound agreement of 1959).
    let (sides, unit) = match text.trim_end().strip_suffix("in") {
        Some(inches) => (inches, 25.4),
        None => (text.trim_end().strip_suffix("mm").unwrap_or(text), 1.0),
    };
    let (width, height) = sides.split_once(['x', 'X']).ok_or_else(why)?;
    let side = |text: &str| {
        let digits = text.trim();
        let plain = digits.bytes().all(|b| b.is_ascii_digit() || b == b'.');
        digits.parse::<f64>().ok().filter(|v| plain && v.is_finite() && *v > 0.0).ok_or_else(why)
    };
    let (width, height) = (side(width)? * unit, side(height)? * unit);
    // A page in a PDF may not be longer than 14,400 points, 5,080 mm.
    if width > 5000.0 || height > 5000.0 {
        return Err("a card cannot be longer than 5000 mm".to_owned());
    }
    Ok([width, height])
}
