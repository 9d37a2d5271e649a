//! Boat files alone on the command line, as when they are dropped on the program: each is checked, and where she
//! is clean her card is made beside the file.

use crate::document::Document;
use crate::document::card::Card;
use std::ffi::OsString;
use std::path::Path;

/// The same arguments with the command that such files stand for, if they do.
pub(super) fn spelt_out(arguments: &[OsString]) -> Option<Vec<OsString>> {
    let [program, files @ ..] = arguments else { return None };
    let [first, others @ ..] = files else { return None };
    let folder = |file: &OsString| Path::new(file).parent().map(Path::to_path_buf);
    let together = others.iter().all(|file| folder(file) == folder(first));
    if !files.iter().all(names_a_boat) || !together {
        return None;
    }
    let mut spelt: Vec<OsString> = vec![program.clone(), Card.name().into()];
    spelt.extend(files.iter().cloned());
    // Wherever the program was started: the card lies where the file lies.
    if let Some(folder) = folder(first).filter(|folder| !folder.as_os_str().is_empty()) {
        spelt.extend(["-o".into(), folder.into()]);
    }
    Some(spelt)
}

/// No command and no option is called like this.
fn names_a_boat(word: &OsString) -> bool {
    let ending = Path::new(word).extension().map(|ending| ending.to_string_lossy().to_lowercase());
    let is_option = word.to_string_lossy().starts_with('-');
    !is_option && ending.is_some_and(|ending| ["yaml", "yml"].contains(&ending.as_str()))
}

#[cfg(test)]
mod tests {
    use super::spelt_out;
    use std::ffi::OsString;

    fn spelt(words: &[&str]) -> Option<Vec<String>> {
        let words: Vec<OsString> = words.iter().map(OsString::from).collect();
        let spelt = spelt_out(&words)?;
        Some(spelt.into_iter().map(|word| word.to_string_lossy().into_owned()).collect())
    }

    #[test]
    fn files_alone_get_their_cards_beside_them() {
        for (words, meant) in [
            (&["lidcard", "newt.yaml"][..], &["lidcard", "card", "newt.yaml"][..]),
            (&["lidcard", "a b/Newt.YML"], &["lidcard", "card", "a b/Newt.YML", "-o", "a b"]),
            (&["lidcard", "x/a.yaml", "x/b.yaml"], &["lidcard", "card", "x/a.yaml", "x/b.yaml", "-o", "x"]),
        ] {
            assert_eq!(
                spelt(words).as_deref(),
                Some(&meant.iter().map(|&w| w.to_owned()).collect::<Vec<_>>()[..])
            );
        }
    }

    #[test]
    fn anything_else_is_what_it_says() {
        for words in [
            &["lidcard"][..],
            &[],
            &["lidcard", "check"],
            &["lidcard", "newt.pdf"],
            &["lidcard", "--x.yaml"],
            &["lidcard", "check", "newt.yaml"],
            &["lidcard", "newt.yaml", "--draft"],
            &["lidcard", "x/newt.yaml", "y/otter.yaml"],
        ] {
            assert_eq!(spelt(words), None, "{words:?}");
        }
    }
}
