//! Each boat's card, the first page of her bench sheet and the inside of her guide's cover, as they were when
//! somebody last looked at them.

use crate::help::{judged, looked_at};
use lidcard::document::card::Card;
use lidcard::document::guide::Guide;
use lidcard::document::sheet::BenchSheet;
use lidcard::document::{Document, Request};

/// Which pages of which paper.
const KEPT: [(&str, &dyn Document, std::ops::Range<usize>); 3] =
    [("card", &Card, 0..2), ("sheet", &BenchSheet, 0..1), ("guide", &Guide, 1..2)];

#[test]
fn the_pages_of_each_boat_are_those_that_were_looked_at() {
    for boat in ["capstan", "moonfish", "sprat"] {
        let text = std::fs::read_to_string(format!("boats/{boat}.yaml")).expect("readable");
        for (paper, document, pages) in KEPT {
            let scene = judged(&text, |job| document.scene(job, &Request::default()).expect("pages"));
            for (index, page) in scene.pages.into_iter().enumerate() {
                if pages.contains(&index) {
                    looked_at(&format!("{boat}-{paper}-{}", index + 1), page);
                }
            }
        }
    }
}
