//! What a run reads must not be written over by it.

use super::resolved;
use crate::cli::named::BoatFile;
use crate::cli::outcome::Failure;
use std::path::{Path, PathBuf};

/// The files and folders that a run reads, and what each is.
#[derive(Debug, Default)]
pub struct Inputs(Vec<(PathBuf, String)>);

impl Inputs {
    /// The boat files of the command line.
    pub fn boats(files: &[BoatFile]) -> Self {
        let mut all = Self::default();
        for file in files.iter().filter(|file| !file.is_stdin()) {
            all.add(file.path(), &format!("the boat file {file} itself"));
        }
        all
    }

    /// One more, and what it is called.
    pub fn add(&mut self, path: &Path, what: &str) {
        self.0.push((real(path), what.to_owned()));
    }

    /// Refuses outputs, as they will be named, that are an input or lie in a folder that is one.
    ///
    /// # Errors
    /// With the output and what it is.
    pub fn refuse<'a>(&self, outputs: impl IntoIterator<Item = &'a Path>) -> Result<(), Failure> {
        for output in outputs {
            let place = real(output);
            if let Some((_, what)) = self.0.iter().find(|(input, _)| place.starts_with(input)) {
                let output = output.display();
                let help = "nothing written; give another name behind -o";
                return Err(Failure(format!("{output} is {what}: {help}")));
            }
        }
        Ok(())
    }
}

/// A path without links, also of what is not there yet.
pub fn real(path: &Path) -> PathBuf {
    resolved(path).unwrap_or_else(|_| {
        let folder = resolved(super::folder_of(path)).ok();
        folder.zip(path.file_name()).map_or_else(|| path.to_path_buf(), |(folder, name)| folder.join(name))
    })
}
