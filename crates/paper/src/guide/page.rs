//! What a guide is made of: chapters of sections of parts. The template draws each kind of part.

use serde::Serialize;

/// A chapter; it has a line in the list of contents and in the outline.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Chapter {
    pub(super) title: String,
    /// It begins a page.
    pub(super) page: bool,
    /// It lies on one page.
    pub(super) together: bool,
    pub(super) sections: Vec<Section>,
}

/// What stands together under a title or a signal word.
#[derive(Clone, Debug, Default, Serialize)]
pub(super) struct Section {
    pub(super) title: String,
    /// `danger`, `warning`, `caution` or `notice`; empty for plain text.
    pub(super) signal: &'static str,
    /// A box round it, for what matters most.
    pub(super) framed: bool,
    /// It stays on one page.
    pub(super) whole: bool,
    /// The next one begins on the page on which it ends.
    pub(super) leads: bool,
    pub(super) parts: Vec<Part>,
}

/// A part: running text, a list or a table.
#[derive(Clone, Debug, Default, Serialize)]
pub(super) struct Part {
    /// `words`, `bold`, `loud`, `steps`, `points`, `ticks`, `hold`, `table`, `causes`, `sticks` or `settings`.
    pub(super) kind: &'static str,
    pub(super) text: String,
    pub(super) head: Vec<String>,
    pub(super) rows: Vec<Vec<String>>,
}

impl Chapter {
    pub(super) fn new(title: String, sections: impl IntoIterator<Item = Section>) -> Self {
        let mut sections: Vec<_> = sections.into_iter().filter(|s| !s.parts.is_empty()).collect();
        for n in 1..sections.len() {
            let goes_on = sections[n].title.is_empty() && sections[n].signal.is_empty();
            let intro = n == 1 && sections[0].title.is_empty();
            sections[n - 1].leads = intro || goes_on;
        }
        Self { title, page: false, together: false, sections }
    }

    /// It begins a page.
    pub(super) fn on_a_page(self) -> Self {
        Self { page: true, ..self }
    }

    /// Somebody looks for it in a hurry: it lies on one page.
    pub(super) fn together(self) -> Self {
        Self { together: true, ..self }
    }
}

impl Section {
    pub(super) fn new(title: impl Into<String>, parts: impl IntoIterator<Item = Part>) -> Self {
        let parts = parts.into_iter().filter(|p| !p.is_empty()).collect();
        Self { title: title.into(), parts, ..Self::default() }
    }

    pub(super) fn plain(parts: impl IntoIterator<Item = Part>) -> Self {
        Self::new("", parts)
    }

    /// A panel under a signal word.
    pub(super) fn signal(signal: &'static str, text: String) -> Self {
        Self { signal, whole: true, ..Self::plain([Part::words(text)]) }
    }

    /// Several things under one signal word.
    pub(super) fn signals(signal: &'static str, texts: impl IntoIterator<Item = String>) -> Self {
        Self { signal, whole: true, ..Self::plain([Part::points(texts)]) }
    }

    /// Every text in it.
    pub(super) fn texts(&self) -> impl Iterator<Item = &String> {
        self.parts.iter().flat_map(|part| part.rows.iter().flatten().chain([&part.text]))
    }

    pub(super) fn framed(self) -> Self {
        Self { framed: true, ..self }
    }

    pub(super) fn whole(self) -> Self {
        Self { whole: true, ..self }
    }
}

impl Part {
    fn of(kind: &'static str) -> Self {
        Self { kind, ..Self::default() }
    }

    pub(super) fn words(text: impl Into<String>) -> Self {
        Self { text: text.into(), ..Self::of("words") }
    }

    pub(super) fn bold(text: impl Into<String>) -> Self {
        Self { text: text.into(), ..Self::of("bold") }
    }

    /// What must be found by somebody in a hurry.
    pub(super) fn loud(text: impl Into<String>) -> Self {
        Self { text: text.into(), ..Self::of("loud") }
    }

    fn list(kind: &'static str, lines: impl IntoIterator<Item = String>) -> Self {
        let rows = lines.into_iter().filter(|l| !l.is_empty()).map(|line| vec![line]).collect();
        Self { rows, ..Self::of(kind) }
    }

    /// Numbered.
    pub(super) fn steps(lines: impl IntoIterator<Item = String>) -> Self {
        Self::list("steps", lines)
    }

    pub(super) fn points(lines: impl IntoIterator<Item = String>) -> Self {
        Self::list("points", lines)
    }

    /// Each with a box to tick.
    pub(super) fn ticks(lines: impl IntoIterator<Item = String>) -> Self {
        Self::list("ticks", lines)
    }

    /// A numbered step, and under it a hold point to be signed.
    pub(super) fn hold(
        [number, step]: [String; 2],
        halt: String,
        before: String,
        signed: [String; 2],
    ) -> Self {
        let [date, initials] = signed;
        Self { rows: vec![vec![number, step], vec![halt, before, date, initials]], ..Self::of("hold") }
    }

    /// Rows of as many texts as the head has, or two where there is none; the first column is bold.
    pub(super) fn table(head: Vec<String>, rows: Vec<Vec<String>>) -> Self {
        Self { head, rows, ..Self::of("table") }
    }

    /// Rows of a cause and what to do.
    pub(super) fn causes(rows: Vec<Vec<String>>) -> Self {
        Self { rows, ..Self::of("causes") }
    }

    /// The sticks as they are held.
    pub(super) fn sticks() -> Self {
        Self::of("sticks")
    }

    /// The table of channels.
    pub(super) fn settings() -> Self {
        Self::of("settings")
    }

    fn is_empty(&self) -> bool {
        let drawn = matches!(self.kind, "sticks" | "settings");
        !drawn && self.text.is_empty() && self.rows.is_empty()
    }
}
