//! What the program has to say about a boat file, in one shape for every report.
//!
//! A rule names places as paths of keys; the report asks the source where they stand. Every
//! outcome is kept, also what was proved: the bench sheet prints the margins.

mod harm;
mod state;
mod subject;

use crate::setup::quantity::Micros;
use crate::setup::{Effect, Exact, Figure, Link, Path};
pub use harm::Harm;
pub use state::StateId;
pub use subject::Subject;

/// How much a finding weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// The boat must not go out like this.
    Error,
    /// Somebody ought to look.
    Warning,
}

impl Severity {
    /// `error` or `warning`.
    pub fn word(self) -> &'static str {
        match self {
            Severity::Error => "error",
            Severity::Warning => "warning",
        }
    }
}

/// How a rule came out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// It holds over everything a hand can do.
    Proved,
    /// It does not; there is a witness where the rule is about positions.
    Broken,
    /// The program cannot tell; counts as an error and says why.
    Undecided,
    /// It holds for some of the values that a figure can have which the file does not give, or nobody said
    /// what is wanted.
    NotJudged,
}

impl Outcome {
    /// How bad it is, the worst first: what is known to go wrong tells more than what nobody can tell.
    pub fn rank(self) -> u8 {
        match self {
            Self::Broken => 0,
            Self::Undecided => 1,
            Self::NotJudged => 2,
            Self::Proved => 3,
        }
    }
}

/// One rule applied to one thing, and how it came out.
#[derive(Clone, Debug)]
pub struct Finding {
    /// The rule's name.
    pub rule: &'static str,
    /// Its severity if it is not proved.
    pub severity: Severity,
    /// What comes of it if nobody mends it.
    pub harm: Harm,
    /// How it came out.
    pub outcome: Outcome,
    /// What it is about.
    pub subject: Subject,
    /// The state of the boat.
    pub when: StateId,
    /// [`Finding::subject`] as it is printed: `device.work`, `device`, `channel/way`, `fail_safe`…
    pub about: String,
    /// [`Finding::when`] as it is printed: `piloting`, `waiting`, `stage blow`…
    pub state: String,
    /// Why the builder accepts it, in the builder's words; what is accepted no longer counts.
    pub accepted: Option<String>,
    /// What is wrong, one sentence without a full stop. For a proved rule: what holds.
    pub message: String,
    /// Which of the rule's sentences the documents say, in the reader's language: [`BROKEN`] where it
    /// has only one.
    pub sentence: &'static str,
    /// What stands in the gaps of that sentence, beside the place and the state.
    pub gaps: Vec<(&'static str, Gap)>,
    /// The value that is wrong and what to say at it.
    pub primary: (Path, String),
    /// Other places to show in the same excerpt: thresholds, stops, mixes.
    pub others: Vec<(Path, String)>,
    /// What to do, most useful first.
    pub help: Vec<String>,
    /// The least distance to the threshold; negative when broken; `None` where there is no distance.
    pub margin: Option<Margin>,
    /// What the tolerances take of that distance, largest first; empty where none is known.
    pub budget: Vec<BudgetShare>,
    /// The chance of a misfire at the witness, if every tolerance is uniform and independent: an
    /// estimate, never the verdict. Nought when proved; `None` where there is no budget.
    pub estimate: Option<Exact>,
    /// It holds by an estimate alone, which proves nothing: a weaker claim than any that is proved.
    pub by_estimate: bool,
    /// What it rests on where it rests on readings: it holds for so many of what was read, not for all.
    pub rests: Option<Rests>,
    /// Stick positions that show it, re-run through the plain arithmetic.
    pub witness: Option<Witness>,
    /// Where it is not judged: what the file does not say, and how to find it out.
    pub missing: Vec<Missing>,
    /// Where it is not judged: whether people could be hurt if it does not hold.
    pub hurts: bool,
}

/// What readings prove: for this share of all that follow, at this confidence. Of several the least.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rests {
    /// The share of all values that lies where the readings say.
    pub coverage: Exact,
    /// How often such a claim is true.
    pub confidence: Exact,
    /// Where there are too few readings to prove anything.
    pub few: Vec<Path>,
}

impl Rests {
    /// Whether there are readings enough; fewer prove nothing.
    pub fn enough(&self) -> bool {
        self.few.is_empty()
    }

    /// What holds where both have to.
    #[must_use]
    pub fn least(self, other: Self) -> Self {
        let mut few = self.few;
        for path in other.few {
            if !few.contains(&path) {
                few.push(path);
            }
        }
        Self {
            coverage: self.coverage.min(other.coverage),
            confidence: self.confidence.min(other.confidence),
            few,
        }
    }
}

/// Something that the file does not say although a verdict hangs on it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Missing {
    /// Where it would stand.
    pub path: Path,
    /// How the bench finds it, as an order; for what was never said, what to write.
    pub bench: String,
    /// For which of its values the rest holds, where that can be told.
    pub holds: Option<String>,
    /// The file says that nobody has measured it.
    pub said: bool,
    /// The last step of its range at which the rest holds, where there is one.
    pub decides: Option<Decides>,
}

/// Up to where in its range a figure leaves something as it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Decides {
    /// The figure.
    pub figure: Figure,
    /// The step of its range.
    pub step: i64,
    /// Whether that is so however bad all else is that is missing; otherwise with all of that at its best.
    pub whatever_else: bool,
}

impl Missing {
    /// `devices.tail_b.stops`
    pub fn key(&self) -> String {
        self.path.dotted()
    }
}

/// What begins the name of a limit that hangs on something the file does not say.
pub const NOT_JUDGED: &str = "not judged: ";

/// The sentence of a rule that has only one.
pub const BROKEN: &str = "broken";

/// What stands in a gap of a sentence, before a language has been chosen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Gap {
    /// A name from the boat file: a device, a control, a way.
    Name(String),
    /// A thing of the boat.
    Place(Subject),
    /// What the boat does.
    Effect(Effect),
    /// The side of the shorter pulses where negative, else that of the longer ones.
    Side(i32),
    /// A fraction.
    Percent(Exact),
    /// A time in seconds.
    Seconds(Exact),
    /// A voltage in volts.
    Volts(Exact),
    /// A current in amperes.
    Amperes(Exact),
    /// What carries a current.
    Link(Link),
    /// Pulses of which one holds.
    Pulses(Vec<Micros>),
}

/// A distance on the output axis.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Margin {
    /// As a fraction of the axis.
    pub axis: Exact,
    /// In microseconds, at the side of the axis where it lies.
    pub micros: Micros,
}

/// What one tolerance takes of a margin.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BudgetShare {
    /// Whose tolerance, in the builder's words: `servo accuracy`.
    pub what: String,
    /// The most it can be off, as a fraction of the axis.
    pub axis: Exact,
}

/// A position of everything the hand can move, and what comes of it.
#[derive(Clone, Debug)]
pub struct Witness {
    /// In the builder's words: `tank: blow held fully, nothing else touched`.
    pub words: String,
    /// Control positions in [-1, +1] that differ from rest, by name.
    pub positions: Vec<(String, Exact)>,
    /// Trims that differ from nought, by name of the control.
    pub trims: Vec<(String, Exact)>,
    /// Switch settings, by name of the switch.
    pub settings: Vec<(String, String)>,
    /// The order of operations in force, only the lines the file left open: `(line, word)`.
    pub order: Vec<(String, String)>,
    /// Output on the axis.
    pub output: Exact,
    /// The pulse that is measured there.
    pub pulse: Micros,
}

impl Finding {
    /// Whether this is to be reported as a mistake: neither proved nor accepted, and not merely not judged
    /// where nobody can be hurt.
    pub fn is_open(&self) -> bool {
        self.is_found() && self.accepted.is_none()
    }

    /// The same whether it is accepted or not.
    pub fn is_found(&self) -> bool {
        match self.outcome {
            Outcome::Proved => false,
            Outcome::NotJudged => self.hurts,
            Outcome::Broken | Outcome::Undecided => true,
        }
    }

    /// The severity that counts: undecided is an error, and so is what is not judged and could hurt.
    pub fn weight(&self) -> Severity {
        match self.outcome {
            Outcome::Undecided | Outcome::NotJudged => Severity::Error,
            Outcome::Proved | Outcome::Broken => self.severity,
        }
    }
}

impl SafeEndpoints {
    /// Whether what is safe, or the value as set, hangs on something that the file does not say.
    pub fn hangs_on_unknown(&self) -> bool {
        let open = |text: &String| text.starts_with(NOT_JUDGED);
        let inside = self.windows.iter().any(|[low, high]| *low <= self.set && self.set <= *high);
        let [low, high] = &self.ends;
        let out = low.as_ref().is_some_and(|low| self.set < *low)
            || high.as_ref().is_some_and(|high| self.set > *high);
        self.but.iter().any(open)
            || (!inside && !out && [&self.low_limit, &self.high_limit].into_iter().any(open))
    }

    /// Whether the values of the windows are safe: there are some, and nothing is named that is broken
    /// whatever is dialled here.
    pub fn is_safe(&self) -> bool {
        !self.windows.is_empty() && self.not_moved.is_empty() && self.but.is_empty()
    }
}

/// The endpoint values that are safe for one way of one channel.
#[derive(Clone, Debug)]
pub struct SafeEndpoints {
    /// Channel number.
    pub channel: u8,
    /// The channel's name, or empty.
    pub name: String,
    /// The builder's word for the way.
    pub way: String,
    /// The value in the file.
    pub set: Exact,
    /// Lowest and highest safe value of each window, ascending; empty when nothing is safe.
    pub windows: Vec<[Exact; 2]>,
    /// The best value, where a wanted work sets the lower end.
    pub best: Option<Exact>,
    /// What limits the lower end of the first window.
    pub low_limit: String,
    /// What limits the upper end of the last window.
    pub high_limit: String,
    /// Least margin at the set value to what limits each end.
    pub margins: [Option<Margin>; 2],
    /// Rules that this endpoint does not move and that are broken all the same.
    pub not_moved: Vec<String>,
    /// What is wrong in other states of the boat whatever is dialled here; a window with such is not safe.
    pub but: Vec<String>,
    /// Where a window hangs on what the file does not say: the ends that do not, each by itself. Between them
    /// nothing is called safe.
    pub ends: [Option<Exact>; 2],
    /// For an empty window: which limits cross, by how much, and what would have to move.
    pub crossing: Option<String>,
}
