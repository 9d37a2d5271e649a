//! Bytes as a boat file, a bench record and answers to questions.

use crate::Got;
use crate::chance::Chance;
use lidcard::bench::record::Record;
use lidcard::fingerprint::{Code, pack, unpack};
use lidcard::report::{FileReport, Look, human, json_v1};
use lidcard::setup::lower::lower;
use lidcard::source::{Source, Value, alike};
use lidcard_ask::{Answers, Words, boat_file, questions};

const WORDS: &[&str] = &[
    "\n",
    ": ",
    "- ",
    "{",
    "}",
    "[",
    "]",
    "&a ",
    "*a",
    "!!int ",
    "? ",
    "\"",
    "'",
    "\\u202e",
    "|\n",
    ">\n",
    "---\n",
    "...\n",
    "#",
    "\t",
    "%YAML 1.2\n",
    "<<: ",
    "\u{feff}",
    "\0",
    "devices",
    "channels",
    "100 %",
    "± 3 %",
    "not measured",
    "1500 us",
    "yes",
];

/// Sends bytes through every reader of YAML.
///
/// # Panics
/// When something does not hold.
pub fn run(bytes: &[u8]) -> Got {
    let source = match Source::from_bytes("fuzz.yaml", bytes.to_vec()) {
        Ok(source) => source,
        Err(refused) => {
            let (source, mistake) = refused.into_parts();
            assert!(!mistake.message.is_empty(), "a refusal without a reason");
            told(FileReport::unreadable("fuzz.yaml", Some(source), vec![mistake]));
            return Got::Refused;
        }
    };
    // What is no map is no boat, and never packed.
    if matches!(source.root.value, Value::Map(_)) {
        let back = unpack(&pack(&source)).expect("what is packed can be unpacked");
        assert_eq!(back.0, Code::of(&source), "another code after packing");
    }
    if let Ok(record) = Record::read(&source) {
        let _ = record.entries.iter().map(|entry| entry.line()).collect::<String>();
    }
    if let Ok(given) = Answers::read(&source) {
        // As the command takes them: each is held against its question first.
        let mut kept = Answers::default();
        loop {
            let asked = questions(&kept, Words::ENGLISH).into_iter();
            let mut open = asked.filter(|q| kept.get(&q.id).is_none());
            let Some((question, said)) = open.find_map(|q| Some((q.clone(), given.get(&q.id)?))) else {
                break;
            };
            let Ok(answer) = question.answer(said) else { break };
            kept.keep(&question.id, &answer);
        }
        if let Ok(file) = boat_file(&kept, Words::ENGLISH) {
            assert!(Source::from_text("new.yaml", &file).is_ok(), "a first boat file that is no YAML");
        }
    }
    let _ = alike::mistakes(&source.root);
    match lower(&source) {
        Ok(_) => Got::Through,
        Err(mistakes) => {
            assert!(!mistakes.is_empty(), "a refusal without a reason");
            told(FileReport::unreadable("fuzz.yaml", Some(source), mistakes));
            Got::Read
        }
    }
}

/// What is told of a file that was refused marks places of that file.
fn told(report: FileReport) {
    let text = human::file(&report, Look::PLAIN, true);
    assert!(text.lines().all(|line| line.chars().count() < 600), "a line that nobody reads to its end");
    let _ = json_v1::file(&report, true);
}

/// One of the files at hand, bent.
pub fn made(number: u64) -> Vec<u8> {
    let mut chance = Chance::numbered(number);
    let files = crate::boats::texts();
    let text = chance.one(files).map(String::as_bytes).unwrap_or_default();
    crate::bent(&mut chance, text, WORDS)
}
