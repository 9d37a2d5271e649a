//! How a command came out.

use std::fmt;

/// What the exit status says. The larger one wins where several files come together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Outcome {
    /// Nothing found.
    Clean,
    /// Something found that must be put right first.
    Found,
    /// A file could not be read, or the program could not do its work.
    Failed,
}

impl Outcome {
    /// The exit status.
    pub fn code(self) -> u8 {
        match self {
            Outcome::Clean => 0,
            Outcome::Found => 1,
            Outcome::Failed => 2,
        }
    }
}

/// Why a command ended before it was done.
#[derive(Debug)]
pub enum Ended {
    /// The reader at the other end has gone; no reason to say anything.
    PipeClosed,
    /// One sentence, and what to do about it where that helps.
    Failed(String),
}

impl From<std::io::Error> for Ended {
    fn from(error: std::io::Error) -> Self {
        match error.kind() {
            std::io::ErrorKind::BrokenPipe => Ended::PipeClosed,
            _ => Ended::Failed(format!("cannot write the output: {error}")),
        }
    }
}

impl fmt::Display for Ended {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Ended::PipeClosed => f.write_str("the output was closed"),
            Ended::Failed(why) => f.write_str(why),
        }
    }
}
