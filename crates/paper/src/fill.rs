//! A template filled in and read as a sheet, with every mistake told at its place in the template.

use super::{Chosen, DocumentError, Job, Request, mark, words_of};
use crate::labels::Labels;
use crate::render::RenderError;
use crate::render::picture::Logo;
use crate::render::sheet::{self, Sheet};
use crate::render::template::Parsed;
use crate::render::{Scene, pages};

/// Fills a template in and reads what it yields; also the text it yielded, for later messages.
pub(super) fn sheet(
    chosen: Chosen<'_>,
    context: tera::Context,
    logo: Option<&Logo>,
) -> Result<(Sheet, String), DocumentError> {
    sheet_of(&chosen.parsed()?, context, logo)
}

/// The same with a template that is filled in more than once.
pub(super) fn sheet_of(
    template: &Parsed,
    context: tera::Context,
    logo: Option<&Logo>,
) -> Result<(Sheet, String), DocumentError> {
    let yaml = template.fill(context)?;
    let wrong = |e| in_template(e, template.name(), template.text(), &yaml);
    let mut sheet = sheet::read(&yaml).map_err(wrong)?;
    if let Some(logo) = logo {
        sheet.give(logo);
    }
    Ok((sheet, yaml))
}

/// The facts of a page as what a template may use.
pub(super) fn context(facts: &impl serde::Serialize) -> Result<tera::Context, DocumentError> {
    tera::Context::from_serialize(facts).map_err(|e| DocumentError::Render(RenderError::Inner(e.to_string())))
}

/// The same with the labels of the language as well.
pub(super) fn labelled(
    chosen: Chosen<'_>,
    facts: &impl serde::Serialize,
    labels: &Labels,
) -> Result<tera::Context, DocumentError> {
    let mut context = context(facts)?;
    context.insert("labels", &labels.tree_for(chosen.text));
    Ok(context)
}

/// A document whose blocks flow from page to page, with the mark that its boat calls for; refused where it leaves
/// out what must be said.
pub(super) fn flowed<'t>(
    chosen: Chosen<'_>,
    context: tera::Context,
    must_say: impl IntoIterator<Item = &'t String>,
    labels: &Labels,
    job: &Job<'_>,
    request: &Request,
) -> Result<Scene, DocumentError> {
    flowed_with(chosen, context, must_say, mark::words(labels, job, request.draft).as_ref(), request)
}

/// The same with the mark that is asked for.
pub(super) fn flowed_with<'t>(
    chosen: Chosen<'_>,
    context: tera::Context,
    must_say: impl IntoIterator<Item = &'t String>,
    mark: Option<&[String; 2]>,
    request: &Request,
) -> Result<Scene, DocumentError> {
    let (sheet, yaml) = sheet(chosen, context, request.workshop.logo.as_ref())?;
    let flowed = pages::flow(&sheet);
    let mut scene = flowed.map_err(|e| in_template(e, chosen.name, chosen.text, &yaml))?;
    chosen.must_say(&words_of(&scene), must_say)?;
    mark::put(&mut scene, mark)?;
    Ok(scene)
}

/// What went wrong in drawing, as a mistake of the template where it is one.
pub(super) fn in_template(error: RenderError, name: &str, text: &str, yaml: &str) -> DocumentError {
    match error {
        RenderError::Glyph { character, text } => DocumentError::Glyph { character, text },
        RenderError::Sheet { message, line } => {
            let wrong = line.and_then(|n| yaml.lines().nth(n.saturating_sub(1))).unwrap_or_default().trim();
            let range = place_of(text, wrong);
            let message =
                if wrong.is_empty() { message } else { format!("{message}, in what it yields: {wrong}") };
            DocumentError::Template { name: name.to_owned(), text: text.to_owned(), range, message }
        }
        RenderError::TooSmall { .. } => DocumentError::Template {
            name: name.to_owned(),
            text: text.to_owned(),
            range: 0..0,
            message: error.to_string(),
        },
        other => DocumentError::Render(other),
    }
}

/// Where a line that a template yields stands in it: the template's line that begins alike.
fn place_of(template: &str, line: &str) -> std::ops::Range<usize> {
    let alike = |candidate: &str| candidate.chars().zip(line.chars()).take_while(|(a, b)| a == b).count();
    let mut best = (0, 0..0);
    let mut start = 0;
    for candidate in template.split_inclusive('\n') {
        let inner = candidate.trim();
        let score = alike(inner);
        if score > best.0 && score >= 4 {
            let from = start + candidate.find(inner).unwrap_or(0);
            best = (score, from..from + inner.len());
        }
        start += candidate.len();
    }
    best.1
}
