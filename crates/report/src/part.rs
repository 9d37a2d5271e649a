//! The lines of a text that an excerpt shows, fit to be shown: of a long line the part around its marks,
//! and nothing that would steer the terminal.

use crate::source::visible::{push, visible};
use crate::source::{Span, line_column};

/// A longer line is shown in part, in characters.
const LONG: usize = 160;
/// What is shown of it on either side of a mark.
const AROUND: usize = 36;
/// What is shown of a long line without a mark.
const START: usize = 72;
/// A mark over more lines is shown on its first: the rest of the list or table is not what is wrong.
const MOST_LINES: usize = 40;
/// A longer message is shown in part, in characters: nobody reads on.
const LONG_MESSAGE: usize = 1_000;
/// Stands for what is left out.
const LEFT_OUT: &str = "...";

/// Some lines of a text, and labels at places in them.
#[derive(Debug)]
pub(crate) struct Part {
    /// What to call the whole text.
    pub name: String,
    /// The lines.
    pub text: String,
    /// How many lines of the whole text stand before them.
    pub lines_before: usize,
    /// Where the first label begins in its line of the whole text, counted from 0.
    pub column: usize,
    /// What to mark, in bytes of `text`, and what to say there; the first is the place itself.
    pub labels: Vec<(Span, String)>,
}

impl Part {
    /// The lines with these labels and one on either side; none where there is nothing to show.
    pub(crate) fn of(name: &str, text: &str, labels: Vec<(Span, String)>) -> Option<Self> {
        if text.is_empty() || labels.is_empty() {
            return None;
        }
        let spans: Vec<Span> = labels.iter().map(|(span, _)| within(text, *span)).collect();
        let (line, column) = line_column(text, spans[0].start);
        let first = spans.iter().map(|s| s.start).min()?;
        let last = spans.iter().map(|s| s.end).max()?;
        let start = line_start(text, line_start(text, first).saturating_sub(1));
        let end = line_end(text, (line_end(text, last) + 1).min(text.len()));
        let lines_before = line - 1 - text[start..spans[0].start].matches('\n').count();
        let mut fresh = Fresh { out: String::new(), places: Vec::new() };
        let mut at = start;
        for (n, line) in text[start..end].split('\n').enumerate() {
            if n > 0 {
                fresh.out.push('\n');
            }
            fresh.line(line, at, &spans);
            at += line.len() + 1;
        }
        let labels = spans.iter().zip(labels).map(|(span, (_, words))| {
            let start = fresh.place(span.start);
            (Span { start, end: fresh.place(span.end).max(start) }, brief(&words))
        });
        let labels = labels.collect();
        Some(Self {
            name: visible(name).into_owned(),
            text: fresh.out,
            lines_before,
            column: column - 1,
            labels,
        })
    }
}

/// Lines as they are shown, and where in them the ends of labels came to lie.
struct Fresh {
    out: String,
    /// Byte of the whole text, byte of the new one.
    places: Vec<(usize, usize)>,
}

impl Fresh {
    /// Adds a line that begins at byte `at` of the whole text.
    fn line(&mut self, line: &str, at: usize, spans: &[Span]) {
        let end = at + line.len();
        let mut marks: Vec<usize> =
            spans.iter().flat_map(|s| [s.start, s.end]).filter(|m| (at..=end).contains(m)).collect();
        marks.sort_unstable();
        marks.dedup();
        let kept = kept(line, at, spans);
        let mut marks = marks.into_iter().peekable();
        let mut left_out = false;
        for (byte, letter) in line.trim_end_matches('\r').char_indices() {
            let shown = kept.iter().any(|k| k.contains(&byte));
            left_out &= !shown;
            while let Some(mark) = marks.next_if(|mark| *mark <= at + byte) {
                self.note(mark);
            }
            if shown {
                match letter {
                    '\t' => self.out.push('\t'),
                    letter => push(&mut self.out, letter),
                }
            } else if !left_out {
                left_out = true;
                self.out.push_str(LEFT_OUT);
            }
        }
        for mark in marks {
            self.note(mark);
        }
    }

    fn note(&mut self, mark: usize) {
        self.places.push((mark, self.out.len()));
    }

    fn place(&self, mark: usize) -> usize {
        self.places.iter().find(|(from, _)| *from == mark).map_or(self.out.len(), |(_, to)| *to)
    }
}

/// The bytes of a line that are shown, as ranges in order that do not touch.
fn kept(line: &str, at: usize, spans: &[Span]) -> Vec<std::ops::Range<usize>> {
    // Most lines are short enough in bytes already.
    if line.len() <= LONG || line.chars().count() <= LONG {
        return std::iter::once(0..line.len()).collect();
    }
    let back = |from: usize, letters: usize| {
        line[..from].char_indices().rev().take(letters).last().map_or(from, |(byte, _)| byte)
    };
    let on = |from: usize, letters: usize| {
        line[from..].char_indices().nth(letters).map_or(line.len(), |(byte, _)| from + byte)
    };
    let end = at + line.len();
    let ends = spans.iter().flat_map(|s| [s.start, s.end]).filter(|m| (at..=end).contains(m));
    let mut around: Vec<_> = ends.map(|m| back(m - at, AROUND)..on(m - at, AROUND)).collect();
    if around.is_empty() {
        around.push(0..on(0, START));
    }
    around.sort_by_key(|range| range.start);
    let mut kept: Vec<std::ops::Range<usize>> = Vec::new();
    for range in around {
        match kept.last_mut() {
            // What is left out must be more than what says so.
            Some(last) if range.start <= last.end + 2 * LEFT_OUT.len() => last.end = last.end.max(range.end),
            _ => kept.push(range),
        }
    }
    kept
}

/// A message short enough to be read, with nothing in it that is not seen.
pub(crate) fn brief(message: &str) -> String {
    let text = visible(message);
    let letters = text.chars().count();
    if letters <= LONG_MESSAGE {
        return text.into_owned();
    }
    let (start, end) = (LONG_MESSAGE * 3 / 5, LONG_MESSAGE * 2 / 5);
    text.chars().take(start).chain(LEFT_OUT.chars()).chain(text.chars().skip(letters - end)).collect()
}

/// A span that can be drawn, whatever it is: inside the text, on whole characters, not over page after
/// page.
fn within(text: &str, span: Span) -> Span {
    let whole = |mut at: usize| {
        at = at.min(text.len());
        while !text.is_char_boundary(at) {
            at -= 1;
        }
        at
    };
    let start = whole(span.start);
    let end = whole(span.end).max(start);
    if text[start..end].matches('\n').count() > MOST_LINES {
        return Span { start, end: line_end(text, start) };
    }
    Span { start, end }
}

fn line_start(text: &str, at: usize) -> usize {
    text[..at].rfind('\n').map_or(0, |before| before + 1)
}

fn line_end(text: &str, at: usize) -> usize {
    text[at..].find('\n').map_or(text.len(), |on| at + on)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::{LONG, LONG_MESSAGE, Part, Span, brief};

    fn part(text: &str, marks: &[(usize, usize)]) -> Part {
        let labels = marks.iter().map(|&(start, end)| (Span { start, end }, "here".to_owned())).collect();
        Part::of("a.yaml", text, labels).unwrap()
    }

    fn marked(part: &Part) -> Vec<&str> {
        part.labels.iter().map(|(span, _)| &part.text[span.start..span.end]).collect()
    }

    #[test]
    fn short_lines_stay_as_they_are_with_one_on_either_side() {
        let text = "one\ntwo\nthree: x\nfour\nfive\n";
        let part = part(text, &[(15, 16)]);
        assert_eq!((part.text.as_str(), part.lines_before, part.column), ("two\nthree: x\nfour", 1, 7));
        assert_eq!(marked(&part), ["x"]);
    }

    #[test]
    fn of_a_long_line_the_part_around_each_mark_is_shown() {
        let text = format!("a\n{}wrong{}far{}\nb", "x".repeat(70_000), "y".repeat(500), "z".repeat(300));
        let (wrong, far) = (2 + 70_000, 2 + 70_005 + 500);
        let part = part(&text, &[(wrong, wrong + 5), (far, far + 3)]);
        assert_eq!(marked(&part), ["wrong", "far"]);
        assert_eq!(part.column, 70_000);
        let line = part.text.lines().nth(1).unwrap();
        assert!(
            line.starts_with("...xxx") && line.ends_with("zzz...") && line.contains("yyy...yyy"),
            "{line}"
        );
        assert!(line.len() < 2 * LONG, "{line}");
    }

    #[test]
    fn a_mark_as_long_as_its_line_is_shown_by_its_ends() {
        let text = format!("k: {}", "é".repeat(70_000));
        let part = part(&text, &[(3, text.len())]);
        assert!(part.text.chars().count() < LONG);
        assert!(marked(&part)[0].contains("é...é"), "{}", part.text);
    }

    #[test]
    fn what_would_steer_the_terminal_is_shown_in_the_name_the_lines_and_the_words() {
        let labels = vec![(Span { start: 3, end: 4 }, "a\u{1b}[1m".to_owned())];
        let part = Part::of("b\u{202e}.yaml", "a: x # \u{9b}2J \u{200b}\r\n", labels).unwrap();
        assert_eq!(part.name, "b\\u{202e}.yaml");
        assert_eq!(part.text.lines().next(), Some("a: x # \\u{9b}2J \\u{200b}"));
        assert_eq!(part.labels[0].1, "a\\u{1b}[1m");
    }

    #[test]
    fn a_message_that_quotes_a_book_is_cut_in_its_middle() {
        let long = format!("there is no `{}` here", "k".repeat(70_000));
        let short = brief(&long);
        assert_eq!(short.chars().count(), LONG_MESSAGE + 3);
        assert!(short.starts_with("there is no `k") && short.ends_with("k` here"));
    }
}
