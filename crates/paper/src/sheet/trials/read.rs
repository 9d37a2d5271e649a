//! What a test reads, for those who take its readings in: the same list as on paper.

use crate::chain::Inputs;
use crate::rises::Rises;
use crate::setup::{ChannelId, Exact, WorkRef};

/// One test of the list, for those who take its readings in.
#[derive(Clone, Debug)]
pub struct Test {
    /// `3.2`, as on the sheet.
    pub number: String,
    /// The title of its group.
    pub group: String,
    /// What to know before the first test of the group.
    pub before: String,
    /// What to do.
    pub what: String,
    /// What to look at.
    pub see: String,
    /// What must not happen meanwhile; empty where nothing on board could.
    pub never: String,
    /// What it comes to if all is well, as on the sheet; empty where nothing is read.
    pub expected: String,
    /// What stands beside each box, if that is not the expected value: of which of several, or either of two words.
    pub choice: Vec<String>,
    /// What is read.
    pub reads: Reads,
    /// Whether nothing may go on unless this is as it should be.
    pub gate: Gate,
    /// The sections of the boat file that it rests on where no pulse is read that says so.
    pub rests_on: &'static [&'static str],
}

/// What a test reads.
#[derive(Clone, Debug)]
pub enum Reads {
    /// Nothing that the program could compare: it is seen or not.
    Seen,
    /// Pulses, one after the other.
    Pulses(Vec<Pulse>),
    /// The pulse at which something happens, crept up to, with her in this state.
    Point(WorkRef, PointOf, Being),
    /// Seconds on a stopwatch until she is up.
    Seconds(Rises),
}

/// A pulse that is worked out from the file.
#[derive(Clone, Debug)]
pub struct Pulse {
    /// `4/blow held`, `4/rest`, `loss: stage blow: 4`
    pub name: String,
    /// The channel.
    pub channel: ChannelId,
    /// Least and greatest output over the orders that are open.
    pub output: [Exact; 2],
    /// What the pulse can be off, in microseconds.
    pub off: Exact,
    /// What moves it: a way, nothing, or a state of the boat.
    pub at: At,
    /// Where the hands are; `None` where none is asked.
    pub hands: Option<Inputs>,
}

/// Where a pulse is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum At {
    /// Nothing touched.
    Rest,
    /// A way or setting held.
    Held,
    /// In a state after the signal is lost.
    Lost,
}

/// Which point of a work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PointOf {
    /// Where it engages.
    Engages,
    /// Where its effect is complete.
    Complete,
    /// Where it ends again.
    Ends,
    /// Where it lets go.
    LetsGo,
}

/// In which state of her a point is read. Readings of different states are no sample of one thing: what is fitted
/// and closed may bend and bind.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Being {
    /// As she was found, before anything is altered.
    Found,
    /// With everything at its place, the hull open.
    Installed,
    /// With the hull closed.
    Closed,
}

impl Being {
    /// As the record has it: nothing as she was found.
    pub fn word(self) -> &'static str {
        match self {
            Self::Found => "",
            Self::Installed => "installed",
            Self::Closed => "closed",
        }
    }
}

/// What a test guards.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Gate {
    /// Nothing: what is found is written down, and the rest may be tried.
    None,
    /// Everything that follows.
    All,
    /// Nothing that follows, but it is made only when all before it is done and as it should be.
    Itself,
}
