//! Value change dump, IEEE 1364-2005 clause 18 (four-state): a header of variables, then times and changes.
//!
//! Read in pieces, so that a file of any length takes no more memory than its header.

use crate::{Ear, Heard, MOST_LINES, Ps, Refused};
use std::collections::BTreeMap;
use std::io::Read;

/// The longest word that means anything to us.
const LONGEST_WORD: usize = 4096;
const PIECE: usize = 1 << 16;
/// Codes of one or two characters are looked up in a table.
const FIRST: u8 = b'!';
const CODES: usize = 94;

/// Reads a dump to its end.
///
/// # Errors
/// With the line of the file where it is no value change dump.
pub fn read(from: &mut dyn Read) -> Result<Heard, Refused> {
    let mut reader = Reader::default();
    let mut words = Words { line: 1, held: Vec::new() };
    let mut piece = vec![0; PIECE];
    loop {
        let count = match from.read(&mut piece) {
            Ok(0) => break,
            Ok(count) => count,
            Err(error) if error.kind() == std::io::ErrorKind::Interrupted => continue,
            Err(error) => return Err(Refused { line: 0, why: error.to_string() }),
        };
        words.take(&piece[..count], &mut reader)?;
    }
    words.end(&mut reader)?;
    let refuse = |why: &str| Refused { line: words.line, why: why.to_owned() };
    let ear = reader.ear.ok_or_else(|| refuse("the header has no end: `$enddefinitions $end` is missing"))?;
    if ear.first.is_none() {
        return Err(refuse("there is no moment in it: `#` and a time are missing"));
    }
    Ok(ear.heard())
}

/// Words that may lie across two pieces.
struct Words {
    line: usize,
    held: Vec<u8>,
}

impl Words {
    fn take(&mut self, piece: &[u8], reader: &mut Reader) -> Result<(), Refused> {
        let mut start = 0;
        for (at, byte) in piece.iter().enumerate() {
            if *byte > b' ' {
                continue;
            }
            if start < at || !self.held.is_empty() {
                self.word(&piece[start..at], reader)?;
            }
            start = at + 1;
            self.line += usize::from(*byte == b'\n');
        }
        self.held.extend_from_slice(&piece[start..]);
        if self.held.len() > LONGEST_WORD {
            // Only a vector is so long, and of vectors no bit is taken.
            self.held.truncate(LONGEST_WORD);
        }
        Ok(())
    }

    fn word(&mut self, rest: &[u8], reader: &mut Reader) -> Result<(), Refused> {
        let refuse = |why| Refused { line: self.line, why };
        if self.held.is_empty() {
            return reader.word(rest).map_err(refuse);
        }
        self.held.extend_from_slice(rest);
        let done = reader.word(&self.held).map_err(refuse);
        self.held.clear();
        done
    }

    fn end(&mut self, reader: &mut Reader) -> Result<(), Refused> {
        if self.held.is_empty() { Ok(()) } else { self.word(&[], reader) }
    }
}

#[derive(Default)]
struct Reader {
    /// Words of a command that has not come to its `$end`.
    command: Option<Vec<String>>,
    tick: Option<Ps>,
    names: Vec<String>,
    scopes: Vec<String>,
    codes: BTreeMap<Vec<u8>, Option<usize>>,
    table: Vec<Option<usize>>,
    ear: Option<Ear>,
    time: Option<u64>,
    /// The bits of a vector whose code comes next.
    vector: Option<Option<bool>>,
}

impl Reader {
    fn word(&mut self, word: &[u8]) -> Result<(), String> {
        if self.command.is_some() {
            return self.in_command(word);
        }
        if let Some(bit) = self.vector.take() {
            return self.change(word, bit);
        }
        match word[0] {
            b'#' => self.moment(&word[1..]),
            b'0' => self.change(&word[1..], Some(false)),
            b'1' => self.change(&word[1..], Some(true)),
            b'x' | b'X' | b'z' | b'Z' => self.change(&word[1..], None),
            b'b' | b'B' => {
                self.vector = Some(match &word[1..] {
                    b"0" => Some(false),
                    b"1" => Some(true),
                    _ => None,
                });
                Ok(())
            }
            b'r' | b'R' => {
                self.vector = Some(None);
                Ok(())
            }
            b'$' => match &word[1..] {
                // Dumped values are changes like the others.
                b"dumpvars" | b"dumpall" | b"dumpon" | b"dumpoff" | b"end" => Ok(()),
                _ => {
                    self.command = Some(vec![text(word)]);
                    Ok(())
                }
            },
            _ => Err(format!("`{}` is neither a time nor a change", text(word))),
        }
    }

    fn in_command(&mut self, word: &[u8]) -> Result<(), String> {
        if word != b"$end" {
            if let Some(words) = self.command.as_mut().filter(|words| words.len() < 64) {
                words.push(text(word));
            }
            return Ok(());
        }
        let words = self.command.take().unwrap_or_default();
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        match words[..] {
            ["$timescale", ref of @ ..] => {
                self.tick = Some(tick(&of.concat())?);
            }
            ["$scope", _, name, ..] => self.scopes.push(name.to_owned()),
            ["$upscope", ..] => {
                self.scopes.pop();
            }
            ["$var", _, size, code, name, ..] => self.variable(size, code, name)?,
            ["$enddefinitions", ..] => {
                if self.tick.is_none() {
                    return Err("`$timescale` is missing, such as `$timescale 1 us $end`".to_owned());
                }
                self.table = vec![None; CODES + CODES * CODES];
                for (code, line) in &self.codes {
                    if let Some(at) = place(code) {
                        self.table[at] = *line;
                    }
                }
                self.ear = Some(Ear::new(std::mem::take(&mut self.names)));
            }
            _ => {}
        }
        Ok(())
    }

    fn variable(&mut self, size: &str, code: &str, name: &str) -> Result<(), String> {
        let one = size == "1";
        if one && self.names.len() == MOST_LINES {
            return Err(format!("more than {MOST_LINES} lines"));
        }
        // The same wire may be told twice under one code.
        let known = self.codes.contains_key(code.as_bytes());
        if !known {
            self.codes.insert(code.as_bytes().to_vec(), one.then_some(self.names.len()));
            if one {
                self.names.push(name.to_owned());
            }
        }
        Ok(())
    }

    fn moment(&mut self, digits: &[u8]) -> Result<(), String> {
        let mut ticks: u64 = 0;
        if digits.is_empty() {
            return Err("`#` without a time".to_owned());
        }
        for digit in digits {
            let value = digit.wrapping_sub(b'0');
            let next = ticks.checked_mul(10).and_then(|t| t.checked_add(u64::from(value)));
            ticks = next.filter(|_| value < 10).ok_or_else(|| format!("`#{}` is no time", text(digits)))?;
        }
        if self.time.is_some_and(|before| ticks < before) {
            return Err(format!("time goes back to #{ticks}"));
        }
        self.time = Some(ticks);
        let (Some(ear), Some(tick)) = (&mut self.ear, self.tick) else {
            return Err("a time before `$enddefinitions $end`".to_owned());
        };
        let time = ticks.checked_mul(tick).ok_or_else(|| format!("#{ticks} lies more than 200 days on"))?;
        ear.at(time);
        Ok(())
    }

    fn change(&mut self, code: &[u8], level: Option<bool>) -> Result<(), String> {
        let Some(ear) = &mut self.ear else {
            return Err("a change before `$enddefinitions $end`".to_owned());
        };
        let line = match place(code) {
            Some(at) => self.table[at],
            None => self.codes.get(code).copied().flatten(),
        };
        match line {
            Some(line) => {
                // What nobody knows keeps the level that it had.
                if let Some(high) = level {
                    ear.level(line, high);
                }
                Ok(())
            }
            None if self.codes.contains_key(code) => Ok(()),
            None => Err(format!("no variable has the code `{}`", text(code))),
        }
    }
}

/// Where a short code stands in the table.
fn place(code: &[u8]) -> Option<usize> {
    let of = |byte: u8| Some(usize::from(byte.checked_sub(FIRST)?)).filter(|n| *n < CODES);
    match *code {
        [a] => of(a),
        [a, b] => Some(CODES + of(a)? * CODES + of(b)?),
        _ => None,
    }
}

/// `1us`, `100 ns` in picoseconds.
fn tick(text: &str) -> Result<Ps, String> {
    let digits = text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len());
    let (number, unit) = text.split_at(digits);
    let unit: Ps = match unit {
        "s" => 1_000_000_000_000,
        "ms" => 1_000_000_000,
        "us" => 1_000_000,
        "ns" => 1_000,
        "ps" => 1,
        _ => return Err(format!("`{text}` is no timescale: `1 us`, `10 ns`, not finer than `1 ps`")),
    };
    match number {
        "1" => Ok(unit),
        "10" => Ok(10 * unit),
        "100" => Ok(100 * unit),
        _ => Err(format!("`{text}` is no timescale: 1, 10 or 100 of a unit")),
    }
}

fn text(word: &[u8]) -> String {
    String::from_utf8_lossy(&word[..word.len().min(60)]).into_owned()
}
