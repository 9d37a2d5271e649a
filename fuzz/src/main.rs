//! `lidcard-fuzz TARGET COUNT [FIRST]`: so many inputs through a target, and what came of them. What makes it panic is
//! kept as `fuzz-TARGET-NUMBER` in the current folder.

use lidcard_fuzz::{ALL, Target, boats, spent};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::process::ExitCode;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::Duration;

/// Seconds of CPU without an answer after which nobody waits any longer.
const PATIENCE: f64 = 120.0;
/// Seconds of CPU that an input may take; a program that is not optimised gets three times as much.
const MOST_SECONDS: f64 = if cfg!(debug_assertions) { 15.0 } else { 5.0 };
/// What a run may take over what there is before the first, in MB.
const MOST_MB: f64 = 200.0;

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let target = words.first().and_then(|name| ALL.iter().find(|target| target.name == name));
    let number = |at: usize| words.get(at).and_then(|word| word.parse::<u64>().ok());
    let Some(target) = target else {
        let names: Vec<&str> = ALL.iter().map(|target| target.name).collect();
        eprintln!("lidcard-fuzz {} COUNT [FIRST]", names.join("|"));
        return ExitCode::from(2);
    };
    // A boat's text goes in by itself: whoever found one sends it through again.
    if let Some(text) = words.get(1).filter(|_| number(1).is_none()).and_then(|path| std::fs::read(path).ok())
    {
        println!("{:?}", (target.run)(&text));
        return ExitCode::SUCCESS;
    }
    let (count, first) = (number(1).unwrap_or(1000), number(2).unwrap_or(1));
    let many = Many::run(target, first, count);
    println!(
        "{}: {count} inputs from {first}: {} refused, {} read, {} through; {} panics, {} over their time; at the most {:.2} s of CPU ({}) and {:.0} MB ({})",
        target.name,
        many.got[0],
        many.got[1],
        many.got[2],
        many.panics,
        many.slow,
        many.cpu.0,
        many.cpu.1,
        many.memory.0,
        many.memory.1
    );
    if many.panics + many.slow > 0 || many.memory.0 > MOST_MB { ExitCode::FAILURE } else { ExitCode::SUCCESS }
}

#[derive(Default)]
struct Many {
    got: [u64; 3],
    panics: u64,
    slow: u64,
    cpu: (f64, u64),
    memory: (f64, u64),
}

impl Many {
    fn run(target: &Target, first: u64, count: u64) -> Self {
        let at = Arc::new(AtomicU64::new(first));
        watch(*target, Arc::clone(&at));
        let mut many = Self::default();
        // What the first input makes for all is not the first's.
        let _ = catch_unwind(AssertUnwindSafe(|| (target.run)(&(target.made)(first))));
        spent::memory();
        for number in first..first + count {
            at.store(number, Ordering::Relaxed);
            let bytes = (target.made)(number);
            let before = spent::cpu();
            match catch_unwind(AssertUnwindSafe(|| (target.run)(&bytes))) {
                Ok(got) => many.got[got as usize] += 1,
                Err(_) => {
                    many.panics += 1;
                    keep(target, number);
                }
            }
            let (cpu, memory) = (spent::cpu() - before, spent::memory());
            if cpu > MOST_SECONDS {
                many.slow += 1;
                keep(target, number);
            }
            if cpu > many.cpu.0 {
                many.cpu = (cpu, number);
            }
            if memory > many.memory.0 {
                many.memory = (memory, number);
            }
            if (number + 1 - first).is_multiple_of(500) {
                eprintln!(
                    "{} of {count}: {:?}, {} panics, {:.2} s, {:.0} MB",
                    number + 1 - first,
                    many.got,
                    many.panics,
                    many.cpu.0,
                    many.memory.0
                );
            }
        }
        many
    }
}

/// Keeps an input, a boat as its text: the boats at hand change, and with them what choices mean.
fn keep(target: &Target, number: u64) {
    let name = format!("fuzz-{}-{number}", target.name);
    let bytes = (target.made)(number);
    let kept = if target.name == "boats" { boats::text_of(&bytes).into_bytes() } else { bytes };
    match std::fs::write(&name, kept) {
        Ok(()) => eprintln!("{name} is kept"),
        Err(why) => eprintln!("{name} cannot be kept: {why}"),
    }
}

/// Ends everything when one input goes on for ever, and says which: what counts is the CPU time of the thread at work, so
/// that a busy machine is no hang.
fn watch(target: Target, at: Arc<AtomicU64>) {
    std::thread::spawn(move || {
        let mut last = (0, 0.0);
        loop {
            std::thread::sleep(Duration::from_secs(5));
            let (now, spent) = (at.load(Ordering::Relaxed), spent::cpu_of_the_first());
            if now != last.0 {
                last = (now, spent);
            }
            if spent - last.1 >= PATIENCE {
                eprintln!("{} {now} hangs", target.name);
                keep(&target, now);
                std::process::exit(3);
            }
        }
    });
}
