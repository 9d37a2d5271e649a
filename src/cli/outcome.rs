//! How a command came out.

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

/// Why a command could not do its work: one sentence, and what to do about it where that helps.
#[derive(Debug)]
pub struct Failure(pub String);
