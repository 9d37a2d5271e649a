//! The page for practice: sticks to move and what she does, in any browser and from a memory card, and for
//! one without scripts the table of causes and effects. It adds up what was worked out for it and judges nothing.

mod drawing;
mod said;

use super::labels::Labels;
use super::labels::text::practice;
use super::page::escaped;
use super::sheet::{Say, matrix};
use super::words;
use super::{DocumentError, Job, Request, mark};
use crate::render::svg::base64;
use crate::rule::Engine;
use crate::rule::matrix::{Effect, Mark};
use sha2::{Digest, Sha256};
use std::fmt::Write;

const STYLE: &str = include_str!("../../../templates/practice/style.css");
/// Adds up sums and holds outputs against zones.
const FORM: &str = include_str!("../../../templates/practice/form.js");
/// Everything that a person sees of it.
const PLAY: &str = include_str!("../../../templates/practice/play.js");
/// As large as a page may be, in bytes: a memory card in an old telephone still opens it at once.
pub const MOST_BYTES: usize = 300_000;

/// The page; `boat` is the boat for practice as JSON, which the program worked out.
///
/// # Errors
/// When a labels file cannot be used, or the page would be larger than [`MOST_BYTES`].
pub fn page(job: &Job<'_>, request: &Request, boat: &str) -> Result<String, DocumentError> {
    let labels = request.labels(job.setup)?;
    let engine = Engine::new(job.setup);
    let say = Say { labels: &labels, setup: job.setup, engine: &engine };
    let mut body = String::new();
    head(&mut body, &labels, job, request);
    playground(&mut body, &labels, job);
    table(&mut body, &say);
    let words = said::words(&labels, job);
    let title = labels.fill(practice::Title { boat: &job.setup.boat.name });
    let page = frame(&labels, &title, &body, &[("boat", boat), ("words", &words)]);
    if page.len() > MOST_BYTES {
        let why = format!(
            "the page would have {} KB and may have {}: too much works together in this boat for a telephone",
            page.len() / 1000,
            MOST_BYTES / 1000
        );
        return Err(DocumentError::Render(crate::render::RenderError::Inner(why)));
    }
    Ok(page)
}

fn frame(labels: &Labels, title: &str, body: &str, data: &[(&str, &str)]) -> String {
    let hash = |text: &str| format!("'sha256-{}'", base64(Sha256::digest(text).as_slice()));
    let mut page = format!(
        "<!DOCTYPE html>\n<html lang=\"{}\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; script-src {} {}; style-src {}; \
         img-src data:; base-uri 'none'; form-action 'none'\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <meta name=\"color-scheme\" content=\"light dark\">\n<link rel=\"icon\" href=\"data:,\">\n\
         <title>{}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n{body}",
        escaped(labels.language()),
        hash(FORM),
        hash(PLAY),
        hash(STYLE),
        escaped(title)
    );
    for (id, json) in data {
        // Inside of a script its own end tag would end it.
        let json = json.replace('<', "\\u003c");
        let _ = writeln!(page, "<script type=\"application/json\" id=\"{id}\">{json}</script>");
    }
    let _ = writeln!(page, "<script id=\"form\">{FORM}</script>\n<script>{PLAY}</script>\n</body>\n</html>");
    page
}

/// What she is called, what the page is, and whether she passed.
fn head(out: &mut String, labels: &Labels, job: &Job<'_>, request: &Request) {
    let say = |text| escaped(labels.get(text));
    let code = job.code.to_string();
    let _ = writeln!(
        out,
        "<header>\n<p class=\"banner\">{}</p>\n<h1>{}</h1>\n<p>{} · {} <strong class=\"code\">{code}</strong></p>\n\
         <p class=\"caution\">{}</p>\n<p>{}</p>",
        say(practice::BANNER),
        escaped(&job.setup.boat.name),
        say(practice::NAME),
        say(practice::CODE),
        say(practice::CAUTION),
        escaped(&labels.fill(practice::CodeNote { code: &code })),
    );
    let marks = mark::words(labels, job, request.draft).map(|[mark, _]| mark);
    for mark in marks.into_iter().chain(words::failed(labels, job)) {
        let _ = writeln!(out, "<p class=\"mark\" role=\"alert\">{}</p>", escaped(&mark));
    }
    for line in words::within_reach(labels, job.setup) {
        let _ = writeln!(out, "<p class=\"caution\">{}</p>", escaped(&line));
    }
    let _ = writeln!(out, "<p id=\"no-scripts\">{}</p>\n</header>", say(practice::NO_SCRIPTS));
}

/// What the script fills; hidden until it runs.
fn playground(out: &mut String, labels: &Labels, job: &Job<'_>) {
    let say = |text| escaped(labels.get(text));
    let dives = job.setup.dives();
    let _ = writeln!(
        out,
        "<main id=\"playground\" hidden>\n<section class=\"seen\" aria-labelledby=\"boat-title\">\n\
         <h2 id=\"boat-title\">{}</h2>\n{}\n<p class=\"quiet\">{}{}</p>\n\
         <p id=\"playing\" role=\"status\"></p>\n</section>",
        say(practice::boat::TITLE),
        drawing::drawing(labels, job.setup),
        say(practice::boat::PERHAPS_HERE),
        if dives { format!(". {}", say(practice::boat::NO_DEPTH)) } else { String::new() },
    );
    if dives {
        let _ = writeln!(
            out,
            "<section class=\"tank\" aria-labelledby=\"tank-title\">\n<h2 id=\"tank-title\">{}</h2>\n<div id=\"tank\"></div>\n\
             </section>",
            say(practice::tank::TITLE)
        );
    }
    for (id, title, about) in [
        ("hands", practice::hands::TITLE, practice::hands::ABOUT),
        ("does", practice::does::TITLE, practice::does::ABOUT),
        ("alone", practice::alone::TITLE, practice::alone::ABOUT),
        ("drills", practice::drills::TITLE, practice::drills::ABOUT),
    ] {
        let _ = writeln!(
            out,
            "<section class=\"{id}\" aria-labelledby=\"{id}-title\">\n<h2 id=\"{id}-title\">{}</h2>\n\
             <p class=\"quiet\">{}</p>\n<div id=\"{id}\"></div>\n</section>",
            say(title),
            say(about)
        );
    }
    out.push_str("</main>\n");
}

/// A heading of the sheet's table in one line.
fn heading(say: &Say<'_>, effect: &Effect) -> String {
    match matrix::effect(say, effect).split_once('\n') {
        Some((what, of)) if !what.ends_with(':') => format!("{what} ({of})"),
        Some((what, of)) => format!("{what} {of}"),
        None => matrix::effect(say, effect),
    }
}

/// Causes against effects, in plain HTML.
fn table(out: &mut String, say: &Say<'_>) {
    let table = crate::rule::matrix::matrix(say.engine);
    let get = |text| escaped(say.get(text));
    if table.effects.is_empty() {
        return;
    }
    let _ = writeln!(
        out,
        "<section class=\"table\" aria-labelledby=\"table-title\">\n<h2 id=\"table-title\">{}</h2>\n<p class=\"quiet\">{}</p>\n\
         <div class=\"wide\" role=\"group\" tabindex=\"0\" aria-labelledby=\"table-title\">\n<table>\n<thead><tr><th scope=\"col\">{}</th>",
        get(practice::table::TITLE),
        get(practice::table::LEGEND),
        get(practice::table::CAUSE)
    );
    for effect in &table.effects {
        let _ = write!(out, "<th scope=\"col\">{}</th>", escaped(&heading(say, effect)));
    }
    out.push_str("</tr></thead>\n<tbody>\n");
    for (cause, name) in table.causes.iter().zip(matrix::names(say, &table.causes)) {
        let _ = write!(out, "<tr><th scope=\"row\">{}</th>", escaped(&name));
        for mark in &cause.marks {
            let (class, word) = match mark {
                Mark::Surely => ("surely", say.get(practice::marks::SURELY)),
                Mark::May => ("may", say.get(practice::marks::MAY)),
                Mark::Never => ("never", say.get(practice::marks::NEVER)),
                Mark::Apart => ("apart", ""),
            };
            let _ = write!(out, "<td class=\"{class}\">{}</td>", escaped(word));
        }
        out.push_str("</tr>\n");
    }
    let _ = writeln!(out, "</tbody>\n</table>\n</div>\n</section>");
}
