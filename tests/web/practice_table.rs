//! What every channel sends with hands where standard input puts them, through the chain by which witnesses are
//! shown: for each line, with position, trim and setting of each control, a line of fractions. Channels are parted
//! by `;`, the outputs that the set's open orders allow by blanks, sorted as text. Run by `tests/web/practice.mjs`.

use lidcard::chain::{Inputs, output};
use lidcard::rule::{Engine, at_worst};
use lidcard::setup::{Exact, Setup, lower::lower};
use lidcard::source::Source;
use std::collections::BTreeSet;
use std::io::{BufRead, Write};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let path = std::env::args().nth(1).ok_or("practice-table FILE < positions")?;
    let source = Source::from_bytes(&path, std::fs::read(&path)?).map_err(|_| "cannot be read")?;
    let setup = lower(&source).map_err(|_| "cannot be understood")?;
    let worlds: Vec<Setup> = std::iter::once(setup.clone()).chain(at_worst(&setup)).collect();
    let orders: Vec<_> = worlds.iter().map(|world| Engine::new(world).orders).collect();
    let mut out = std::io::stdout().lock();
    for line in std::io::stdin().lock().lines() {
        let line = line?;
        let words: Vec<&str> = line.split_whitespace().collect();
        let mut inputs = Inputs::at_rest(&setup);
        for (control, three) in words.chunks(3).enumerate() {
            inputs.positions[control] = fraction(three[0])?;
            inputs.trims[control] = fraction(three[1])?;
            inputs.settings[control] = three[2].parse()?;
        }
        let channels = (0..setup.channels.len()).map(|channel| {
            let all = worlds.iter().zip(&orders).flat_map(|(world, orders)| {
                let inputs = &inputs;
                orders.iter().map(move |order| output(world, channel, inputs, order).to_fraction())
            });
            all.collect::<BTreeSet<_>>().into_iter().collect::<Vec<_>>().join(" ")
        });
        writeln!(out, "{}", channels.collect::<Vec<_>>().join(";"))?;
    }
    Ok(())
}

fn fraction(text: &str) -> Result<Exact, Box<dyn std::error::Error>> {
    let (n, d) = text.split_once('/').unwrap_or((text, "1"));
    Ok(Exact::ratio(n.parse()?, d.parse()?))
}
