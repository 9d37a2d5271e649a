//! A boat file alone on the command line, as when it is dropped on the program: she is checked, and where she
//! is clean her card is made beside the file.

use crate::document::Document;
use crate::document::card::Card;
use std::ffi::OsString;
use std::path::Path;

/// The same arguments with the command that such a file stands for.
pub(super) fn spelt_out(arguments: Vec<OsString>) -> Vec<OsString> {
    let [program, file] = &arguments[..] else { return arguments };
    if !names_a_boat(file) {
        return arguments;
    }
    let mut spelt: Vec<OsString> = vec![program.clone(), Card.name().into(), file.clone()];
    // Wherever the program was started: the card lies where the file lies.
    if let Some(folder) = Path::new(file).parent().filter(|folder| !folder.as_os_str().is_empty()) {
        spelt.extend(["-o".into(), folder.into()]);
    }
    spelt
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

    fn spelt(words: &[&str]) -> Vec<String> {
        let words = words.iter().map(OsString::from).collect();
        spelt_out(words).into_iter().map(|word| word.to_string_lossy().into_owned()).collect()
    }

    #[test]
    fn a_file_alone_gets_its_card_beside_it() {
        assert_eq!(spelt(&["lidcard", "newt.yaml"]), ["lidcard", "card", "newt.yaml"]);
        assert_eq!(spelt(&["lidcard", "a b/Newt.YML"]), ["lidcard", "card", "a b/Newt.YML", "-o", "a b"]);
    }

    #[test]
    fn anything_else_is_what_it_says() {
        for words in [
            &["lidcard"][..],
            &["lidcard", "check"],
            &["lidcard", "newt.pdf"],
            &["lidcard", "--x.yaml"],
            &["lidcard", "check", "newt.yaml"],
            &["lidcard", "newt.yaml", "otter.yaml"],
        ] {
            assert_eq!(spelt(words), words);
        }
    }
}
