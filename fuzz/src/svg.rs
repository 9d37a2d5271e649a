//! Bytes as a workshop's logo in SVG.

use crate::Got;
use crate::chance::Chance;
use lidcard::render::picture::Logo;

const LOGO: &[u8] = br##"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 400 200"><defs><linearGradient id="a"><stop offset="0" stop-color="red"/><stop offset="1"/></linearGradient><clipPath id="c"><rect width="300" height="100"/></clipPath><g id="u"><circle r="9"/></g></defs><g clip-path="url(#c)" transform="rotate(3)" opacity="0.5"><path d="M1 2C3 4 50 60 70 80S1 2 3 4A5 6 7 0 1 90 90z" fill="url(#a)"/><use href="#u" x="40" y="40"/><rect width="1e2" height="20" stroke="#123" stroke-width="3" stroke-dasharray="4 2"/><polygon points="1,2 30,40 50,6"/></g></svg>"##;
const WORDS: &[&str] = &[
    "<g>",
    "</g>",
    "<use href=\"#a\"/>",
    "<mask id=\"m\">",
    "<filter id=\"f\"><feTurbulence/></filter>",
    "filter=\"url(#f)\"",
    "<pattern id=\"p\">",
    "<image href=\"data:\"/>",
    "<text>x</text>",
    "<style>*{fill:red}</style>",
    "<script/>",
    "1e30",
    "-1",
    "NaN",
    "0",
    "width=\"100%\"",
    "url(#a)",
    "url(#c)",
    "<svg>",
    "&#x0;",
    "<![CDATA[",
    "<!DOCTYPE s [<!ENTITY e \"x\">]>",
    "&e;",
    "transform=\"matrix(1e9 0 0 1 0 0)\"",
    "stroke-dasharray=\"0.00001\"",
    "<foreignObject/>",
];

/// Reads bytes as a logo.
///
/// # Panics
/// When something does not hold.
pub fn run(bytes: &[u8]) -> Got {
    match Logo::from_svg(bytes) {
        Ok(logo) => {
            let [wide, high] = logo.size_in([40.0, 15.0]);
            assert!(wide > 0.0 && high > 0.0 && wide < 40.1 && high < 15.1, "a logo of {wide} x {high} mm");
            Got::Through
        }
        Err(why) => {
            assert!(!why.to_string().is_empty(), "a refusal without a reason");
            Got::Refused
        }
    }
}

/// A logo, bent.
pub fn made(number: u64) -> Vec<u8> {
    crate::bent(&mut Chance::numbered(number), LOGO, WORDS)
}
