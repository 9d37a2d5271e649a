//! `lidcard restore`: the boat file from pictures of its bench sheet.

use super::args::Restore;
use super::guard::guarded;
use super::outcome::{Failure, Outcome};
use super::progress::Progress;
use super::write::inputs::Inputs;
use super::{Streams, write};
use crate::fingerprint::{Allowance, Broken, Code, Look, Seen, look_into, unpack};
use crate::source::{Source, file};
use std::path::{Path, PathBuf};

/// A picture of so many bytes is none that a camera or scanner makes.
const MOST_BYTES: u64 = 40 << 20;

/// Reads the codes in all pictures together and writes the file that they hold.
pub(super) fn run(args: &Restore, streams: &mut Streams<'_>) -> Result<Outcome, Failure> {
    if let Some(target) = args.output.as_deref().filter(|output| *output != Path::new("-")) {
        // Before any work.
        pictures_are_not(target, &args.pictures)?;
    }
    // Of several pictures each shows a part: all are looked at until they show something before any
    // gets a long look. One of another sheet among them must not go unseen because the rest is enough.
    let mut pictures: Vec<(&Path, Seen)> =
        args.pictures.iter().map(|picture| (picture.as_path(), Seen::default())).collect();
    let progress = Progress::begin(streams.screen, "looking at the pictures", 3 * pictures.len());
    let allowance = Allowance::default();
    let mut look = |how, enough: &dyn Fn(&[String], &[String]) -> bool| {
        look(&mut pictures, how, (&progress, &allowance), enough)
    };
    look(Look::Quick, &|_, seen| !seen.is_empty())?;
    look(Look::Quick, &|others, seen| is_whole(&[others, seen].concat()))?;
    look(Look::Enlarged, &|others, seen| is_card(seen) || is_whole(&[others, seen].concat()))?;
    drop(progress);
    let texts = all_of(&pictures);
    let (code, text) = match unpack(&texts) {
        Ok(file) => file,
        Err(broken) => {
            streams.complain(explained(&broken, &texts))?;
            if let Some((picture, _)) = pictures.iter().find(|(_, seen)| seen.left) {
                streams.complain(format!(
                    "  help: {} and what comes behind it was not looked at for as long as a single picture is: give \
                     fewer at a time, or smaller ones\n",
                    picture.display()
                ))?;
            }
            for (picture, _) in pictures.iter().filter(|(_, seen)| seen.cut_off) {
                let name = picture.display();
                streams.complain(format!(
                    "  help: {name} ends before its picture does: it was not copied whole, get it again\n"
                ))?;
            }
            return Ok(Outcome::Failed);
        }
    };
    if args.output.as_deref() == Some(Path::new("-")) {
        // Somebody else's text: a program gets it as it is, a terminal what can be seen of it.
        if streams.screen.stdout_terminal {
            streams.say(&text)?;
        } else {
            streams.hand_out(text.as_bytes())?;
        }
        return Ok(Outcome::Clean);
    }
    let target = args.output.clone().unwrap_or_else(|| named_after(&text));
    pictures_are_not(&target, &args.pictures)?;
    let _folders = write::enter([target.as_path()], streams)?;
    let written = if args.force {
        write::atomically(&target, text.as_bytes())
    } else {
        write::anew(&target, text.as_bytes(), None)
    };
    written.map_err(|error| {
        let target = target.display();
        Failure(match error.kind() {
            std::io::ErrorKind::AlreadyExists => {
                format!("{target} is there already: give another name behind -o, or --force to replace it")
            }
            _ => format!("cannot write {target}: {error}"),
        })
    })?;
    streams.note(format!("wrote {}, code {code}\n", target.display()))?;
    streams.say("remarks and the layout of the old file are not on the sheet; all settings are\n")?;
    Ok(Outcome::Clean)
}

fn pictures_are_not(target: &Path, pictures: &[PathBuf]) -> Result<(), Failure> {
    let mut inputs = Inputs::default();
    for picture in pictures {
        inputs.add(picture, "a picture of the sheet itself");
    }
    inputs.refuse([target])
}

/// Looks at each picture until it shows `enough`: a question to what all pictures showed before, and
/// to what this one shows.
fn look(
    pictures: &mut [(&Path, Seen)],
    how: Look,
    (progress, allowance): (&Progress, &Allowance),
    enough: &dyn Fn(&[String], &[String]) -> bool,
) -> Result<(), Failure> {
    for at in 0..pictures.len() {
        // Told before the work: a picture that needs no look counts like one that had it.
        progress.step();
        let before = all_of(pictures);
        let (picture, shown) = &mut pictures[at];
        if !shown.may_gain(how) || enough(&before, &shown.texts) {
            continue;
        }
        if allowance.is_spent() {
            shown.left = true;
            continue;
        }
        let bytes = read(picture)?;
        let name = picture.display().to_string();
        guarded(&name, || {
            look_into(&bytes, how, shown, allowance, &|seen| enough(&before, seen))
                .map_err(|why| Failure(format!("cannot use {name}: {why}")))
        })?;
    }
    Ok(())
}

/// What the pictures show, each text once.
fn all_of(pictures: &[(&Path, Seen)]) -> Vec<String> {
    let mut texts: Vec<String> = Vec::new();
    for text in pictures.iter().flat_map(|(_, shown)| &shown.texts) {
        if !texts.contains(text) {
            texts.push(text.clone());
        }
    }
    texts
}

/// It shows the code of a card and nothing of a file: no longer look would find any.
fn is_card(texts: &[String]) -> bool {
    texts.iter().any(|text| Code::in_qr(text).is_some()) && matches!(unpack(texts), Err(Broken::NotOurs))
}

/// No other picture could add anything.
fn is_whole(texts: &[String]) -> bool {
    !matches!(unpack(texts), Err(Broken::Missing { .. } | Broken::NotOurs))
}

fn read(picture: &Path) -> Result<Vec<u8>, Failure> {
    let why = |error| Failure(format!("cannot read {}: {error}", picture.display()));
    let bytes = file::read(picture, MOST_BYTES).map_err(why)?;
    if bytes.len() as u64 > MOST_BYTES {
        let why = format!("{} is larger than {} MB: make it smaller", picture.display(), MOST_BYTES >> 20);
        return Err(Failure(why));
    }
    Ok(bytes)
}

/// What is wrong, and what to do about it.
fn explained(broken: &Broken, texts: &[String]) -> String {
    let card = texts.iter().find_map(|text| Code::in_qr(text));
    if let (Broken::NotOurs, Some(code)) = (broken, card) {
        return format!(
            "nothing restored: {broken}\n  help: this is the code of a card, {code}: \
             `lidcard verify FILE --code {code}` tells whether it belongs to a file; the file itself is in \
             the larger codes of the bench sheet\n"
        );
    }
    let help = match broken {
        Broken::Missing { .. } => {
            "photograph the sheet again, flat, sharp and from straight above, perhaps in several pictures, \
             and give all of them"
        }
        Broken::NotOurs if texts.is_empty() => {
            "no QR code was seen at all: take the picture flat, sharp and from straight above"
        }
        Broken::NotOurs => "take the picture of the codes on the bench sheet",
        Broken::Mixed(_) => "give the pictures of one sheet at a time",
        Broken::Damaged => "the sheet was not made by this program, or by a later one: update it",
    };
    format!("nothing restored: {broken}\n  help: {help}\n")
}

/// `Sea Otter II` becomes `sea-otter-ii.yaml`.
fn named_after(text: &str) -> PathBuf {
    let source = Source::from_text("restored", text).ok();
    let name = source.as_ref().and_then(|s| s.root.get("boat")?.get("name")?.text());
    let mut stem = String::new();
    for c in name.unwrap_or_default().chars().flat_map(char::to_lowercase).take(60) {
        match c {
            c if c.is_alphanumeric() => stem.push(c),
            _ if !stem.is_empty() && !stem.ends_with('-') => stem.push('-'),
            _ => {}
        }
    }
    let stem = stem.trim_end_matches('-');
    PathBuf::from(format!("{}.yaml", if stem.is_empty() { "boat" } else { stem }))
}

#[cfg(test)]
mod tests {
    use super::named_after;
    use std::path::Path;

    #[test]
    fn a_file_is_named_after_its_boat_in_letters_and_digits() {
        for (name, file) in [
            ("Sea Otter II", "sea-otter-ii.yaml"),
            ("../../etc/x", "etc-x.yaml"),
            ("Über: 7!", "über-7.yaml"),
            ("!", "boat.yaml"),
        ] {
            assert_eq!(named_after(&format!("boat: {{name: \"{name}\"}}\n")), Path::new(file));
        }
    }
}
