//! The record on the disk: whole lines are added to it, and that is all that is done to it.

use crate::bench::record::{self, Entry, Record};
use crate::cli::named::BoatFile;
use crate::cli::outcome::Failure;
use crate::cli::read::text;
use crate::cli::write::stop;
use crate::cli::{Streams, write};
use crate::source::Source;
use std::fs::{self, File, OpenOptions};
use std::io::{ErrorKind, Write};
use std::path::{Path, PathBuf};

/// Nobody reads so much at a bench.
const LONGEST: u64 = 4 << 20;

/// A record that is open for more.
pub(in crate::cli) struct Store {
    path: PathBuf,
    file: File,
    /// What it holds.
    pub(in crate::cli) record: Record,
}

/// `moonfish.bench.yaml` beside `moonfish.yaml`.
pub(in crate::cli) fn beside(boat_file: &BoatFile) -> PathBuf {
    boat_file.path().with_extension("bench.yaml")
}

/// What a record holds; nothing where there is none yet.
///
/// # Errors
/// When it cannot be read or is no record.
pub(in crate::cli) fn read(path: &Path) -> Result<Option<(String, Record)>, Failure> {
    let name = path.display().to_string();
    if fs::metadata(path).is_err_and(|error| error.kind() == ErrorKind::NotFound) {
        return Ok(None);
    }
    let text = text(path, LONGEST, "bench record")?;
    let whole = record::mended(&text).unwrap_or_else(|| text.clone());
    let source = Source::from_record(&name, whole.into_bytes()).map_err(|refused| {
        let (_, mistake) = refused.into_parts();
        Failure(format!("{name} is no bench record: {}; give another name behind --record", mistake.message))
    })?;
    let record = Record::read(&source).map_err(|why| {
        Failure(format!("{name} is no bench record, {why}; give another name behind --record"))
    })?;
    Ok(Some((text, record)))
}

impl Store {
    /// Opens a record, or begins one.
    ///
    /// # Errors
    /// When that cannot be done; then nothing was changed.
    pub(in crate::cli) fn open(path: &Path, boat: &str, streams: &mut Streams<'_>) -> Result<Self, Failure> {
        let why = |error: std::io::Error| Failure(format!("cannot write {}: {error}", path.display()));
        let _folders = write::enter([path], streams)?;
        let record = match read(path)? {
            Some((text, record)) => {
                if let Some(mended) = record::mended(&text) {
                    write::atomically(path, mended.as_bytes()).map_err(why)?;
                    streams.complain(format!(
                        "{}: its last line was cut off and is kept as a remark\n",
                        path.display()
                    ))?;
                }
                record
            }
            None => {
                write::anew(path, record::head(boat).as_bytes(), None).map_err(why)?;
                Record::default()
            }
        };
        let file = OpenOptions::new().append(true).open(path).map_err(why)?;
        Ok(Self { path: path.to_path_buf(), file, record })
    }

    /// Adds an entry; when this returns it is on the disk.
    ///
    /// # Errors
    /// When it cannot be written.
    pub(in crate::cli) fn add(&mut self, entry: Entry) -> Result<(), Failure> {
        let why = |error: std::io::Error| {
            Failure(format!("the reading was not kept: cannot write {}: {error}", self.path.display()))
        };
        // In one go: what another run adds at the same time comes before it or after it.
        self.file.write_all(entry.line().as_bytes()).map_err(why)?;
        self.file.sync_data().map_err(why)?;
        // Whoever is stopped now is told where the readings are.
        stop::finished(&self.path);
        self.record.entries.push(entry);
        Ok(())
    }
}
