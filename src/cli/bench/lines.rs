//! Lines from a terminal or a script, and what is printed in between.

use crate::cli::Streams;
use crate::cli::outcome::Failure;
use crate::work;
use std::collections::VecDeque;
use std::io::Read;

/// Where the answers come from.
pub(in crate::cli) enum Lines {
    /// A script; what it answers is printed behind the question.
    Script(VecDeque<String>),
    /// Whoever sits at the terminal.
    Terminal,
}

/// A longer line is no reading.
const LONGEST: usize = 4096;

impl Lines {
    /// A script's lines.
    pub(in crate::cli) fn script(text: &str) -> Self {
        Self::Script(text.lines().map(str::to_owned).collect())
    }

    /// Asks, and answers what was typed; `None` at the end of all input.
    pub(in crate::cli) fn ask(
        &mut self,
        question: &str,
        streams: &mut Streams<'_>,
    ) -> Result<Option<String>, Failure> {
        work::anew();
        streams.say(format!("{question}> "))?;
        streams.stdout.flush().map_err(|error| Failure(format!("cannot write the output: {error}")))?;
        let line = match self {
            Self::Script(lines) => lines.pop_front(),
            Self::Terminal => typed(streams.stdin)?,
        };
        match (&line, &self) {
            (Some(line), Self::Script(_)) => streams.say(format!("{line}\n"))?,
            (None, _) => streams.say("\n")?,
            _ => {}
        }
        Ok(line)
    }
}

/// A line without its end, byte by byte: nothing is taken from the input that is not asked for.
fn typed(from: &mut dyn Read) -> Result<Option<String>, Failure> {
    let mut bytes = Vec::new();
    let mut byte = [0];
    while bytes.len() < LONGEST {
        match from.read(&mut byte) {
            Ok(0) if bytes.is_empty() => return Ok(None),
            Ok(0) => break,
            Ok(_) if byte[0] == b'\n' => break,
            Ok(_) => bytes.push(byte[0]),
            Err(error) if error.kind() == std::io::ErrorKind::Interrupted => {}
            Err(error) => return Err(Failure(format!("cannot read what is typed: {error}"))),
        }
    }
    let text = String::from_utf8_lossy(&bytes).into_owned();
    Ok(Some(text.trim_end_matches('\r').to_owned()))
}
