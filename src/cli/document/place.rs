//! Where pages go and what they are called.

use super::super::args::{PageFormat, Pages};
use super::super::named::BoatFile;
use super::super::outcome::Failure;
use std::path::{Path, PathBuf};

/// As asked for, else as the name of the output ends, else PDF.
pub(super) fn format(args: &Pages) -> PageFormat {
    let ending = args.output.as_deref().and_then(Path::extension);
    let by_ending = [PageFormat::Svg, PageFormat::Png, PageFormat::Html]
        .into_iter()
        .find(|f| ending.is_some_and(|e| e.eq_ignore_ascii_case(f.ending())));
    args.format.or(by_ending).unwrap_or(PageFormat::Pdf)
}

/// `boats/moonfish.yaml` becomes `moonfish-card.pdf` in the current folder.
pub(super) fn default_output(file: &BoatFile, document: &str, format: PageFormat) -> PathBuf {
    file.stem_with(&format!("-{document}.{}", format.ending()))
}

/// `moonfish-card.svg`, or `moonfish-card-1.svg` and so on where there are several.
pub(crate) fn numbered(target: &Path, index: usize, count: usize) -> PathBuf {
    if count < 2 {
        return target.to_path_buf();
    }
    let mut name = target.file_stem().map(std::ffi::OsStr::to_os_string).unwrap_or_default();
    name.push(format!("-{}", index + 1));
    if let Some(ending) = target.extension() {
        name.push(".");
        name.push(ending);
    }
    target.with_file_name(name)
}

/// Where the document of a file goes.
pub(super) fn target(args: &Pages, file: &BoatFile, document: &str, format: PageFormat) -> PathBuf {
    let name = default_output(file, document, format);
    match &args.output {
        Some(folder) if folder.is_dir() => folder.join(name),
        Some(output) => output.clone(),
        None => name,
    }
}

/// Two documents in one file would lose work without a word.
pub(super) fn distinct(files: &[BoatFile], targets: &[PathBuf]) -> Result<(), Failure> {
    for (n, target) in targets.iter().enumerate() {
        if let Some(before) = targets[..n].iter().position(|other| other == target) {
            let (one, other, target) = (&files[before], &files[n], target.display());
            return Err(Failure(format!(
                "{one} and {other} would both become {target}: nothing written; make them one at a time, \
                 each with -o and a name of its own"
            )));
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::{PageFormat, default_output, numbered};
    use std::path::{Path, PathBuf};

    #[test]
    fn a_card_is_named_after_its_boat_file_and_lies_in_the_current_folder() {
        let name = |file: &str| default_output(&Path::new(file).into(), "card", PageFormat::Pdf);
        assert_eq!(name("boats/moonfish.yaml"), PathBuf::from("moonfish-card.pdf"));
        assert_eq!(name("-"), PathBuf::from("boat-card.pdf"));
        assert_eq!(
            default_output(&Path::new("a.b.yaml").into(), "card", PageFormat::Png),
            PathBuf::from("a.b-card.png")
        );
    }

    #[test]
    fn pages_are_numbered_only_where_there_are_several() {
        let at = |index, count| numbered(Path::new("out/c.svg"), index, count);
        assert_eq!(at(0, 1), PathBuf::from("out/c.svg"));
        assert_eq!(at(1, 2), PathBuf::from("out/c-2.svg"));
    }
}
