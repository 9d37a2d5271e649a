//! Words for messages.

/// A text from the file, short enough for a message and without anything that upsets a terminal.
pub fn shown(text: &str) -> String {
    let clean: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).take(49).collect();
    if clean.chars().count() > 48 { clean.chars().take(45).chain("...".chars()).collect() } else { clean }
}

/// `a`, `b` or `c`.
pub(super) fn either<S: AsRef<str>>(words: &[S]) -> String {
    joined(words, "or")
}

/// `a`, `b` and `c`.
pub(super) fn all<S: AsRef<str>>(words: &[S]) -> String {
    joined(words, "and")
}

fn joined<S: AsRef<str>>(words: &[S], last: &str) -> String {
    let words: Vec<String> = words.iter().map(|w| format!("`{}`", shown(w.as_ref()))).collect();
    match words.split_last() {
        None => "nothing".to_owned(),
        Some((only, [])) => only.clone(),
        Some((end, rest)) => format!("{} {last} {end}", rest.join(", ")),
    }
}

/// The known word that was probably meant.
pub fn near<'a, S: AsRef<str>>(word: &str, known: &'a [S]) -> Option<&'a str> {
    let count = word.chars().count();
    if count > 64 {
        return None;
    }
    let allowed = (count / 3).max(1);
    let plain = |s: &str| s.to_lowercase().replace(['-', ' '], "_");
    let word = plain(word);
    known
        .iter()
        .map(|k| (strsim::damerau_levenshtein(&word, &plain(k.as_ref())), k.as_ref()))
        .filter(|(distance, _)| *distance <= allowed)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, k)| k)
}

/// What to say when a word is not among the known ones.
pub fn known_are<S: AsRef<str>>(known: &[S], of: &str) -> String {
    if known.is_empty() {
        return format!("there are no {of} in the file");
    }
    format!("the {of} are {}", all(known))
}
