//! A page of HTML whose frame is ours and whose content a template yields: held to elements and attributes
//! that say something. What is written out is what was understood, from the tree and not from the text,
//! so that no browser reads in it what was not read here.

use super::{DocumentError, fill};
use crate::render::svg::base64;
use crate::render::template::fill_html;
use crate::source::visible::is_unseen;
use roxmltree::{Document, Node, ParsingOptions};
use sha2::{Digest, Sha256};
use std::fmt::Write;

/// How the page looks. A template has no say in it: looks can hide what stands there.
const STYLE: &str = include_str!("../../../templates/handover.css");
/// Elements (HTML Living Standard, 4) that show what is in them and do nothing.
const ELEMENTS: [&str; 38] = [
    "a",
    "address",
    "article",
    "b",
    "blockquote",
    "br",
    "caption",
    "cite",
    "dd",
    "div",
    "dl",
    "dt",
    "em",
    "figcaption",
    "figure",
    "footer",
    "h1",
    "h2",
    "h3",
    "h4",
    "header",
    "hr",
    "i",
    "img",
    "li",
    "main",
    "ol",
    "p",
    "section",
    "span",
    "strong",
    "table",
    "tbody",
    "td",
    "th",
    "thead",
    "tr",
    "ul",
];
/// Attributes that say something of their element; `class` only by names of [`STYLE`].
const ATTRIBUTES: [&str; 10] =
    ["alt", "class", "colspan", "height", "href", "lang", "rowspan", "scope", "src", "width"];
/// Elements without content, which HTML does not close.
const EMPTY: [&str; 3] = ["br", "hr", "img"];
/// Elements inside of elements: a page of ours has seven.
const DEEPEST: usize = 32;
/// Elements and texts: a page of ours has some hundred.
const MOST_NODES: u32 = 50_000;

/// A page and what of it is read as text.
pub(crate) struct Page {
    /// All of it.
    pub html: String,
    /// Its words, as they stand one behind the other.
    pub words: String,
}

/// Puts what a template yielded into the frame.
///
/// # Errors
/// In words, when it is not well-formed or holds what is not allowed.
pub(crate) fn page(language: &str, title: &str, content: &str) -> Result<Page, String> {
    let whole = format!("<body>{content}</body>");
    let options = ParsingOptions { allow_dtd: false, nodes_limit: MOST_NODES, ..ParsingOptions::default() };
    let tree = Document::parse_with_options(&whole, options).map_err(|why| {
        format!("it yields a page that cannot be read: {why}; every tag needs its end, as <br/> has it")
    })?;
    let mut page = Page { html: frame(language, title), words: String::new() };
    for node in tree.root_element().children() {
        add(&mut page, node, 1)?;
    }
    page.html.push_str("</body>\n</html>\n");
    Ok(page)
}

/// A page from a template of ours.
///
/// # Errors
/// When the template is wrong, or says what nobody sees.
pub(crate) fn of_ours(
    template: super::Template,
    (language, title): (&str, &str),
    facts: &impl serde::Serialize,
) -> Result<String, DocumentError> {
    let content = fill_html(template.name, template.text, fill::context(facts)?)?;
    let page = page(language, title, &content).map_err(|message| {
        let (name, text) = (template.name.to_owned(), template.text.to_owned());
        DocumentError::Template { name, text, range: 0..0, message }
    })?;
    Ok(page.html)
}

fn frame(language: &str, title: &str) -> String {
    let allowed = base64(Sha256::digest(STYLE).as_slice());
    format!(
        "<!DOCTYPE html>\n<html lang=\"{}\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; img-src data:; style-src \
         'sha256-{allowed}'; base-uri 'none'; form-action 'none'\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <meta name=\"color-scheme\" content=\"light\">\n<title>{}</title>\n<style>{STYLE}</style>\n</head>\n<body>",
        escaped(language),
        escaped(title)
    )
}

fn add(page: &mut Page, node: Node<'_, '_>, depth: usize) -> Result<(), String> {
    if let Some(text) = node.text().filter(|_| node.is_text()) {
        if let Some(letter) =
            text.chars().find(|c| is_unseen(*c) && !matches!(c, '\n' | '\r' | '\t' | '\u{ad}'))
        {
            return Err(format!(
                "it yields a letter that nobody sees (U+{:04X}): take it out",
                u32::from(letter)
            ));
        }
        page.words.push_str(text);
        page.html.push_str(&escaped(text));
        return Ok(());
    }
    if !node.is_element() {
        // A remark says nothing to a reader.
        return Ok(());
    }
    let name = node.tag_name().name();
    if node.tag_name().namespace().is_some() || !ELEMENTS.contains(&name) {
        let why = "the page must hold all it needs and do nothing by itself; it is made of";
        return Err(format!("it yields <{name}>: {why} {}", ELEMENTS.join(", ")));
    }
    if depth > DEEPEST {
        return Err(format!("it yields elements inside of elements, more than {DEEPEST} deep"));
    }
    page.html.push('<');
    page.html.push_str(name);
    for attribute in node.attributes() {
        let (key, value) = (attribute.name(), attribute.value());
        if attribute.namespace().is_some() || !ATTRIBUTES.contains(&key) {
            return Err(format!("it yields <{name} {key}=…>: allowed are {}", ATTRIBUTES.join(", ")));
        }
        fits(name, key, value)?;
        let _ = write!(page.html, " {key}=\"{}\"", escaped(value));
    }
    page.html.push('>');
    if EMPTY.contains(&name) {
        return if node.has_children() {
            Err(format!("it yields <{name}> with something in it"))
        } else {
            Ok(())
        };
    }
    for child in node.children() {
        add(page, child, depth + 1)?;
    }
    let _ = write!(page.html, "</{name}>");
    // Words of two elements are not one.
    page.words.push(' ');
    Ok(())
}

/// Whether an attribute leads nowhere but into the folder and the page.
fn fits(element: &str, key: &str, value: &str) -> Result<(), String> {
    let known = |class: &str| STYLE.contains(&format!(".{class} ")) || STYLE.contains(&format!(".{class},"));
    let good = match key {
        // A name with a colon before any slash could be an address of any kind (RFC 3986, 4.2).
        "href" => {
            let first = value.split('/').next().unwrap_or_default();
            !value.is_empty()
                && !value.starts_with(['/', '\\'])
                && !first.contains(':')
                && !value.contains("..")
        }
        "src" => value.starts_with("data:image/png;base64,"),
        "class" => value.split_whitespace().all(known),
        "height" | "width" | "colspan" | "rowspan" => {
            value.parse().is_ok_and(|number: f64| (1.0..=2000.0).contains(&number))
        }
        _ => !value.chars().any(is_unseen),
    };
    if good {
        Ok(())
    } else {
        Err(format!(
            "it yields <{element} {key}=\"{}\">, which leads out of the page or says nothing",
            short(value)
        ))
    }
}

fn short(value: &str) -> String {
    value.chars().take(60).collect()
}

pub(crate) fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::page;

    fn why(content: &str) -> String {
        page("en", "Newt", content).err().unwrap_or_else(|| panic!("let through: {content}"))
    }

    #[test]
    fn what_is_understood_is_written_and_its_words_are_told() {
        let page = page("en", "a < b", "<p class=\"kind\">a<br/>&lt;b&gt; &amp;lt; <!-- gas --></p><img src=\"data:image/png;base64,QQ==\" alt=\"a\"/>").unwrap();
        assert!(page.html.contains("<title>a &lt; b</title>"));
        let body = &page.html[page.html.find("<body>").unwrap()..];
        assert_eq!(
            body,
            "<body><p class=\"kind\">a<br>&lt;b&gt; &amp;lt; </p><img src=\"data:image/png;base64,QQ==\" alt=\"a\"></body>\n</html>\n"
        );
        assert_eq!(page.words, "a<b> &lt;  ");
    }

    #[test]
    fn nothing_hides_acts_or_fetches() {
        for content in [
            "<script>a()</script>",
            "<style>p { color: #fff }</style>",
            "<link rel=\"stylesheet\"/>",
            "<iframe/>",
            "<template>x</template>",
            "<details>x</details>",
            "<dialog>x</dialog>",
            "<noscript>x</noscript>",
            "<svg xmlns=\"http://www.w3.org/2000/svg\"><script/></svg>",
            "<form/>",
            "<base/>",
            "<meta/>",
            "<title>x</title>",
            "<p style=\"display: none\">x</p>",
            "<p hidden=\"\">x</p>",
            "<p onclick=\"a()\">x</p>",
            "<p id=\"a\">x</p>",
            "<p dir=\"rtl\">x</p>",
            "<p class=\"unseen\">x</p>",
            "<a href=\"javascript:a()\">x</a>",
            "<a href=\"java&#x9;script:a()\">x</a>",
            "<a href=\"//a.example/\">x</a>",
            "<a href=\"https://a.example/\">x</a>",
            "<a href=\"../x\">x</a>",
            "<img src=\"https://a.example/a.png\"/>",
            "<img src=\"data:image/svg+xml;base64,QQ==\"/>",
            "<img width=\"1e9\"/>",
            "<p>gas&#x202e;</p>",
            "<p>ga&#x200b;s</p>",
            "<br>x</br>",
            "</body><body>",
            "<p>open",
            "<!DOCTYPE html><p/>",
            "&bogus;",
        ] {
            why(content);
        }
        assert!(why("<script/>").contains("do nothing by itself"));
        assert!(why(&"<b>".repeat(40)).contains("cannot be read"));
        assert!(why(&format!("{}{}", "<b>".repeat(40), "</b>".repeat(40))).contains("deep"));
    }
}
