//! Card, guide and record as pages of HTML: read as a reader that speaks goes through them.

use crate::help::files_in;
use lidcard::document::labels::Labels;
use lidcard::document::{self, Document, Job, Request};
use lidcard::fingerprint::Code;
use lidcard::language;
use lidcard::render::Item;
use lidcard::rule;
use lidcard::source::Source;

/// The page, and every word of the same document on paper.
fn both(document: &dyn Document, file: &str, request: &Request) -> (String, Vec<String>) {
    let source = Source::load(file).expect("readable");
    let setup = lidcard::setup::lower::lower(&source).expect("understood");
    let judged = rule::judge(&setup);
    let job = Job {
        setup: &setup,
        findings: &judged.verdict.findings,
        code: Code::of(&source),
        packed: &[],
        lost: judged.lost.as_ref(),
        emergency: &judged.emergency,
        windows: &judged.windows,
    };
    let page = document.html(&job, request).expect("a page").expect("of HTML");
    let on_paper =
        Request { size_mm: (document.name() == "card").then_some([210.0, 297.0]), ..request.clone() };
    let scene = document.scene(&job, &on_paper).expect("on paper");
    let items = scene.pages.iter().flat_map(|page| &page.items);
    let texts = items.filter_map(|item| match item {
        // In capitals are the verbs of the card's drawing, shorter than what a page has room to say.
        Item::Text(text) if text.outline.is_none() && text.text.chars().any(char::is_lowercase) => {
            Some(words(&text.text))
        }
        _ => None,
    });
    (page, texts.flatten().collect())
}

fn words(text: &str) -> Vec<String> {
    let parts = text.split(|c: char| !c.is_alphanumeric());
    parts.filter(|word| !word.is_empty()).map(str::to_lowercase).collect()
}

/// Tags with what stands in them, and the text between.
fn tags(html: &str) -> Vec<(&str, &str)> {
    let body = &html[html.find("<body>").expect("a body")..];
    body.split('<').skip(1).filter_map(|piece| piece.split_once('>')).collect()
}

fn with_html() -> Vec<&'static dyn Document> {
    document::ALL.iter().copied().filter(|document| document.has_html()).collect()
}

#[test]
fn card_guide_and_record_have_a_page_and_nothing_else_does() {
    let names: Vec<&str> = with_html().iter().map(|document| document.name()).collect();
    assert_eq!(names, ["card", "guide", "record"]);
}

#[test]
fn a_page_lets_nothing_in_and_tells_its_language() {
    for document in with_html() {
        for (code, language) in language::ALL {
            let labels = Some(Labels::of(*language));
            let (page, _) = both(document, "boats/moonfish.yaml", &Request { labels, ..Request::default() });
            assert!(page.starts_with(&format!("<!DOCTYPE html>\n<html lang=\"{code}")), "{code}");
            assert!(page.contains("default-src 'none'; img-src data:; style-src 'sha256-"));
            assert!(page.contains("width=device-width, initial-scale=1"));
            for never in ["<script", "http://", "https://", " style=", " onclick", "<link", "@import", "url("]
            {
                assert!(!page.contains(never), "{} in {code}: {never}", document.name());
            }
        }
    }
}

#[test]
fn headings_go_down_step_by_step_and_every_table_and_picture_says_what_it_is() {
    for document in with_html() {
        for file in files_in("boats").into_iter().chain(files_in("tests/fixtures/clean")) {
            let (page, _) = both(document, &file, &Request::default());
            let all = tags(&page);
            let levels: Vec<u32> =
                all.iter().filter_map(|(tag, _)| tag.strip_prefix('h')?.parse().ok()).collect();
            assert_eq!(levels.iter().filter(|level| **level == 1).count(), 1, "{file}");
            assert_eq!(levels[0], 1, "{file}");
            assert!(levels.windows(2).all(|two| two[1] <= two[0] + 1), "{file}: {levels:?}");
            for (tag, _) in &all {
                if tag.starts_with("th") && !tag.starts_with("thead") {
                    assert!(tag.contains(" scope="), "{file}: {tag}");
                }
                if tag.starts_with("img") {
                    assert!(tag.contains(" alt=\"") && !tag.contains(" alt=\"\""), "{file}: {tag}");
                }
            }
            let count =
                |name: &str| all.iter().filter(|(tag, _)| tag.split(' ').next() == Some(name)).count();
            assert_eq!((count("main"), count("header")), (1, 1), "{file}");
            assert!(count("table") > 0 && count("table") <= count("th"), "{file}");
        }
    }
}

#[test]
fn the_page_says_what_the_paper_says() {
    for document in with_html() {
        for file in files_in("boats").into_iter().chain(files_in("tests/fixtures/clean")) {
            for (_, language) in language::ALL {
                let labels = Labels::of(*language);
                // The scale bar of a printer, the list of contents and numbers of pages are of paper only.
                let mut paper_only = words(&format!("{} card guide", labels.tree()["guide"]["contents"]));
                // The verbs of the card's drawing are short for what a page has room to say.
                if document.name() == "card" {
                    let short = &labels.tree()["card"];
                    paper_only
                        .extend(words(&format!("{}{}{}", short["verbs"], short["works"], short["acts"])));
                }
                let (page, on_paper) =
                    both(document, &file, &Request { labels: Some(labels), ..Request::default() });
                let read = page.replace("&amp;", "&").replace("&quot;", "\"").replace("&gt;", ">");
                let text: String = tags(&read).iter().map(|(_, text)| format!("{text} ")).collect();
                let said = words(&text);
                let lost: Vec<&String> = on_paper
                    .iter()
                    .filter(|word| word.chars().any(char::is_alphabetic) && word.chars().count() > 3)
                    .filter(|word| !said.contains(word) && !paper_only.contains(word))
                    // A line of paper may end in the middle of a word.
                    .filter(|word| !said.iter().any(|whole| whole.contains(word.as_str())))
                    .collect();
                assert!(lost.is_empty(), "{file}, {}: {lost:?}", document.name());
            }
        }
    }
}

#[test]
fn a_page_of_a_boat_that_failed_says_so_at_its_head_and_again_below() {
    let file = "tests/fixtures/mistakes/blow-reaches-gas.yaml";
    for document in with_html() {
        let (page, _) = both(document, file, &Request { draft: true, ..Request::default() });
        assert!(page.contains("<title>CHECK FAILED"), "{}", document.name());
        let marks = page.matches("<p class=\"mark\">CHECK FAILED</p>").count();
        assert!(marks >= 3, "{}: {marks}", document.name());
        assert!(page.contains("the controls can reach gas (tank servo)"));
        let (clean, _) = both(document, "boats/moonfish.yaml", &Request::default());
        assert!(!clean.contains("class=\"mark\"") && !clean.contains("CHECK FAILED"));
    }
}
