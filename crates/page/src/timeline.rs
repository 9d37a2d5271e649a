//! What happens when, as a bar from left to right: each piece has its beginning above it and its words in it. A
//! piece is as wide as its words need, and what is left goes to those that last longer; a bar that would grow
//! too high is broken into several.

use super::draw::{Drawn, line_of, shifted};
use super::font::{self, ascent, line_height, wrap};
use super::scene::{Item, Path};
use super::sheet::{Align, Time, Timeline};
use super::{RenderError, Weight};

/// Clear inside a piece: beside its words, above and below them.
const PAD: [f64; 2] = [1.0, 0.35];
const LINE: f64 = 0.35;
/// Grey of what is done; words on it read at more than 7:1.
const DONE: f64 = 0.82;
/// The most lines of words in a piece, and the most bars below each other.
const MOST_LINES: usize = 12;
const MOST_BARS: usize = 4;
/// How finely widths are sought, in millimetres.
const FINE: f64 = 0.25;
/// Between bars below each other.
const LEAD: f64 = 0.6;

/// Draws it as wide as there is room: with the bars that are least high in all, the fewest of those.
pub(super) fn draw(timeline: &Timeline, width: f64) -> Result<Drawn, RenderError> {
    let mut best: Option<Drawn> = None;
    let mut error = None;
    for bars in 1..=MOST_BARS.min(timeline.times.len()) {
        let per = timeline.times.len().div_ceil(bars);
        match in_bars(timeline, per, width) {
            Ok(drawn) if best.as_ref().is_none_or(|best| drawn.height < best.height - 1e-9) => {
                best = Some(drawn)
            }
            Ok(_) => {}
            Err(wrong) => error = Some(wrong),
        }
    }
    match (best, error) {
        (Some(drawn), _) => Ok(drawn),
        (None, Some(error)) => Err(error),
        (None, None) => Ok(Drawn { items: Vec::new(), height: 0.0 }),
    }
}

fn in_bars(timeline: &Timeline, per: usize, width: f64) -> Result<Drawn, RenderError> {
    let mut all = Drawn { items: Vec::new(), height: 0.0 };
    for times in timeline.times.chunks(per) {
        if all.height > 0.0 {
            all.height += LEAD;
        }
        let bar = bar(timeline.size, times, width)?;
        all.items.extend(shifted(bar.items, 0.0, all.height));
        all.height += bar.height;
    }
    Ok(all)
}

/// The least width in which a piece has no more than so many lines.
fn needs(size: f64, time: &Time, lines: usize) -> Result<Option<f64>, RenderError> {
    let whole = font::width(&time.text, size, Weight::Bold)?;
    let mut words = time.text.split(' ').map(|word| font::width(word, size, Weight::Bold));
    let widest = words.try_fold(0.0, |most, wide| Ok::<_, RenderError>(f64::max(most, wide?)))?;
    let head = font::width(&time.begins, size, Weight::Bold)? + 1.0;
    let mut room = widest.max(whole / lines as f64);
    while room <= whole + FINE {
        if wrap(&time.text, size, Weight::Bold, room)?.len() <= lines {
            return Ok(Some((room + 2.0 * PAD[0]).max(head)));
        }
        room += FINE;
    }
    Ok(None)
}

fn bar(size: f64, times: &[Time], width: f64) -> Result<Drawn, RenderError> {
    let mut widths = None;
    for lines in 1..=MOST_LINES {
        let needed = times.iter().map(|time| needs(size, time, lines)).collect::<Result<Vec<_>, _>>()?;
        let Some(needed) = needed.into_iter().collect::<Option<Vec<f64>>>() else { continue };
        if needed.iter().sum::<f64>() <= width {
            widths = Some(needed);
            break;
        }
    }
    let Some(mut widths) = widths else {
        let longest = times.iter().max_by_key(|time| time.text.len());
        return Err(RenderError::TooWide {
            text: longest.map_or_else(String::new, |time| time.text.clone()),
        });
    };
    let left = width - widths.iter().sum::<f64>();
    let known: f64 = times.iter().filter_map(|time| time.lasts).sum();
    // What goes on for good is as good as another of the usual length.
    let usual = (known / times.len() as f64).max(1.0);
    let long = |time: &Time| time.lasts.unwrap_or(usual);
    let all: f64 = times.iter().map(long).sum();
    for (wide, time) in widths.iter_mut().zip(times) {
        *wide += left * long(time) / all.max(1e-9);
    }
    let (mut items, mut texts) = (Vec::new(), Vec::new());
    let top = line_height(size);
    let mut tall: f64 = 0.0;
    let mut x = 0.0;
    for (time, wide) in times.iter().zip(&widths) {
        let place = (x + PAD[0] * 0.3, ascent(size));
        texts.push(line_of(&time.begins, place, size, Weight::Bold, Align::Left)?);
        let lines = wrap(&time.text, size, Weight::Bold, wide - 2.0 * PAD[0])?;
        for (n, line) in lines.iter().enumerate() {
            let y = top + PAD[1] + line_height(size) * n as f64 + ascent(size);
            texts.push(line_of(line, (x + PAD[0], y), size, Weight::Bold, Align::Left)?);
        }
        tall = tall.max(line_height(size) * lines.len() as f64 + 2.0 * PAD[1]);
        x += wide;
    }
    let mut x = LINE / 2.0;
    for (time, wide) in times.iter().zip(&widths) {
        let shape = Path::rounded([x, top], [wide - LINE, tall], 0.0);
        let fill = time.acts.then_some(DONE);
        items.push(Item::Path(Path { line: Some(LINE), fill, ..shape }));
        x += wide;
    }
    items.extend(texts);
    Ok(Drawn { items, height: top + tall + LINE / 2.0 })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn four() -> Timeline {
        let time = |begins: &str, lasts, text: &str, acts| Time {
            begins: begins.to_owned(),
            lasts,
            text: text.to_owned(),
            acts,
        };
        let times = vec![
            time("1 s", Some(3.0), "no pulses: the motor stops", false),
            time("4 s", Some(14.0), "switches on pump, opens gas, motor stops", true),
            time("18 s", None, "all shut, until she hears you", false),
        ];
        Timeline { size: 8.0, times }
    }

    #[test]
    fn a_wider_bar_is_never_higher() {
        let mut before = f64::INFINITY;
        for width in 20..180 {
            let Ok(drawn) = draw(&four(), f64::from(width)) else {
                assert!(before.is_infinite(), "fits narrower and not at {width}");
                continue;
            };
            assert!(drawn.height <= before + 1e-9, "wider and higher at {width}");
            before = drawn.height;
        }
        assert!((before - line_height(8.0) * 2.0).abs() < 1.5, "one line of words at last");
    }

    #[test]
    fn a_word_without_room_is_named() {
        assert!(matches!(draw(&four(), 6.0), Err(RenderError::TooWide { .. })));
    }
}
