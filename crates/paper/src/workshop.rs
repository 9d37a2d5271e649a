//! What a workshop puts in place of ours: single templates and labels, its logo, and whom to ask. A
//! folder holds files of the same names as ours; what is not in it stays as it is.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use serde::Serialize;

use super::labels::Labels;
use super::{ALL, DocumentError, handover};
use crate::language;
use crate::render::font::missing_characters;
use crate::render::picture::{self, Logo};
use crate::setup::Setup;
use crate::source::file;

/// The most lines of contact: more is a letter.
pub const MOST_LINES: usize = 6;
/// The longest line of contact, in characters: it has half of a line of the bench sheet.
pub const LONGEST_LINE: usize = 60;
/// The longest template or labels file, in bytes; ours are about 60 kB.
pub const LONGEST_TEXT: u64 = 1 << 20;

/// A text with the name to call it by in messages.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Named {
    /// The file, as the user knows it.
    pub name: String,
    /// What it holds.
    pub text: String,
}

/// All of a workshop's own.
#[derive(Clone, Debug, Default)]
pub struct Workshop {
    /// Templates by the names of ours.
    pub templates: BTreeMap<String, Named>,
    /// Labels files that reword some labels, by language.
    pub labels: BTreeMap<String, Named>,
    /// Its logo.
    pub logo: Option<Logo>,
    /// Whom to ask, line by line.
    pub contact: Vec<String>,
}

/// Width and height of the logo where a page has its usual place, in millimetres.
#[derive(Clone, Copy, Debug, Serialize)]
pub(super) struct LogoSize {
    pub(super) width: f64,
    pub(super) height: f64,
}

impl Workshop {
    /// Reads a folder.
    ///
    /// # Errors
    /// When it is no folder, when a file in it has a name that nothing knows, cannot be read or
    /// cannot be used. Templates are judged only when a page is made with them.
    pub fn read(folder: &Path) -> Result<Self, DocumentError> {
        let mut workshop = Self::default();
        let templates: Vec<&str> =
            ALL.iter().map(|d| d.template().name).chain([handover::TEMPLATE.name]).collect();
        for (name, path) in entries(folder)? {
            match name.as_str() {
                "labels" if path.is_dir() => workshop.read_labels(&path)?,
                "logo.svg" | "logo.png" if workshop.logo.is_some() => {
                    return Err(wrong(&path, "there is a logo already: keep logo.svg or logo.png, not both"));
                }
                "logo.svg" => {
                    let logo = Logo::from_svg(&bytes(&path, picture::LONGEST as u64)?);
                    workshop.logo = Some(logo.map_err(|why| wrong(&path, why))?);
                }
                "logo.png" => {
                    let logo = Logo::from_png(&bytes(&path, picture::LONGEST as u64)?);
                    workshop.logo = Some(logo.map_err(|why| wrong(&path, why))?);
                }
                "contact.txt" => workshop.contact = contact(&named(&path)?)?,
                name if templates.contains(&name) => {
                    workshop.templates.insert(name.to_owned(), named(&path)?);
                }
                // Notes to themselves are the workshop's business.
                name if name.starts_with("README") => {}
                _ => {
                    let known = templates.join(", ");
                    return Err(wrong(
                        &path,
                        format!(
                            "nothing is called that here: a workshop's folder holds {known}, labels/ with \
                             {}, logo.svg or logo.png, contact.txt, and README files",
                            languages()
                        ),
                    ));
                }
            }
        }
        Ok(workshop)
    }

    fn read_labels(&mut self, folder: &Path) -> Result<(), DocumentError> {
        for (name, path) in entries(folder)? {
            let known = language::ALL.iter().find(|(code, _)| name == format!("{code}.yaml"));
            let Some((code, language)) = known else {
                let why = format!("no document speaks that language: a labels file is {}", languages());
                return Err(wrong(&path, why));
            };
            let own = named(&path)?;
            if own.text.trim().is_empty() {
                return Err(wrong(&path, "it is empty; write the labels to change, or take the file away"));
            }
            // A mistake is told even where the pages of the day are in another language.
            Labels::reworded(*language, &own.name, &own.text)?;
            self.labels.insert((*code).to_owned(), own);
        }
        Ok(())
    }

    /// The labels for a boat's owner, reworded as the workshop has it.
    pub(super) fn labels(&self, setup: &Setup) -> Result<Labels, DocumentError> {
        let language = setup.owner.language.unwrap_or(language::ALL[0].1);
        Ok(match self.labels.get(language.name) {
            Some(own) => Labels::reworded(language, &own.name, &own.text)?,
            None => Labels::of(language),
        })
    }

    /// The size of the logo where it may fill a room of this width and height.
    pub(super) fn logo_in(&self, room: [f64; 2]) -> Option<LogoSize> {
        // Rounded as everything is that a template reads.
        let mm = |value: f64| (value * 1000.0).round() / 1000.0;
        let [width, height] = self.logo.as_ref()?.size_in(room).map(mm);
        Some(LogoSize { width, height })
    }
}

fn languages() -> String {
    let files: Vec<String> = language::ALL.iter().map(|(code, _)| format!("{code}.yaml")).collect();
    files.join(" or ")
}

fn wrong(path: &Path, why: impl std::fmt::Display) -> DocumentError {
    DocumentError::Workshop(format!("{}: {why}", path.display()))
}

/// Names and paths in a folder, in the order of the names; hidden ones are the system's.
fn entries(folder: &Path) -> Result<Vec<(String, std::path::PathBuf)>, DocumentError> {
    let unread = |error: std::io::Error| match error.kind() {
        std::io::ErrorKind::NotFound => wrong(folder, "there is no such folder; check the name"),
        std::io::ErrorKind::NotADirectory => {
            wrong(folder, "that is a file; name the folder of the workshop's own files")
        }
        _ => wrong(folder, format!("cannot look into it: {error}")),
    };
    let mut all = Vec::new();
    for entry in fs::read_dir(folder).map_err(unread)? {
        let path = entry.map_err(unread)?.path();
        let name = path.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
        if !name.starts_with('.') {
            all.push((name, path));
        }
    }
    all.sort();
    Ok(all)
}

fn bytes(path: &Path, most: u64) -> Result<Vec<u8>, DocumentError> {
    let unread = |error: std::io::Error| wrong(path, format!("cannot read it: {error}"));
    if fs::metadata(path).map_err(unread)?.is_dir() {
        return Err(wrong(path, "that is a folder; a file of this name is meant"));
    }
    file::read(path, most).map_err(unread)
}

fn named(path: &Path) -> Result<Named, DocumentError> {
    let all = bytes(path, LONGEST_TEXT)?;
    if all.len() as u64 > LONGEST_TEXT {
        return Err(wrong(path, "it is larger than 1 MB: that is none of these files"));
    }
    let text = String::from_utf8(all)
        .map_err(|_| wrong(path, "it is not UTF-8 text; save it again with the encoding UTF-8"))?;
    Ok(Named { name: path.display().to_string(), text })
}

/// The lines that say something, each printable.
fn contact(file: &Named) -> Result<Vec<String>, DocumentError> {
    let mut lines = Vec::new();
    for (number, line) in file.text.trim_start_matches('\u{feff}').lines().enumerate() {
        let line = line.split_whitespace().collect::<Vec<_>>().join(" ");
        let at = |why: String| DocumentError::Workshop(format!("{}:{}: {why}", file.name, number + 1));
        if line.is_empty() {
            continue;
        }
        if lines.len() == MOST_LINES {
            return Err(at(format!("there is room for {MOST_LINES} lines; take some out")));
        }
        let long = line.chars().count();
        if long > LONGEST_LINE {
            let why =
                format!("this line has {long} characters, and there is room for {LONGEST_LINE}; part it");
            return Err(at(why));
        }
        if let Some(first) = missing_characters(&line).first() {
            let why =
                format!("the font cannot print `{first}` (U+{:04X}); write it otherwise", *first as u32);
            return Err(at(why));
        }
        lines.push(line);
    }
    if lines.is_empty() {
        return Err(wrong(Path::new(&file.name), "it is empty; write whom to ask, or take the file away"));
    }
    Ok(lines)
}
