//! Times the exact reach of channels in process, for `tests/bench-z3`: each argument is
//! `FILE:CHANNEL:WORDS`, WORDS being six digits, one for each line of the order. Prints nanoseconds.

use lidcard::chain::Order;
use lidcard::proof::{Cases, Domain};
use lidcard::setup::lower::lower;
use lidcard::source::Source;
use std::collections::BTreeSet;
use std::hint::black_box;
use std::time::{Duration, Instant};

fn main() {
    let mut total = Duration::ZERO;
    for asked in std::env::args().skip(1).filter(|a| !a.starts_with("--")) {
        let [words, channel, file] = asked.rsplitn(3, ':').collect::<Vec<_>>()[..] else {
            panic!("FILE:CHANNEL:WORDS, not {asked}");
        };
        let source = Source::load(file).expect("readable");
        let setup = lower(&source).expect("understood");
        let number: u8 = channel.parse().expect("a channel number");
        let id = setup.channels.iter().position(|c| c.number == number).expect("a channel");
        let digits: Vec<usize> = words.bytes().map(|b| usize::from(b - b'0')).collect();
        let order = Order::all(&setup.transmitter.order)
            .into_iter()
            .find(|o| digits.iter().enumerate().all(|(line, &word)| o.word_index(line) == word))
            .expect("an order that the file allows");
        let everything = Domain::everything(&setup);
        let best = (0..5).map(|_| {
            let start = Instant::now();
            let cases = Cases::of(&setup, id, black_box(&[order]), &BTreeSet::new());
            black_box(cases.span(&setup, &everything));
            start.elapsed()
        });
        total += best.min().unwrap_or_default();
    }
    println!("{}", total.as_nanos());
}
