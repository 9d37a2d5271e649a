//! The lid card, from set-up to file.

mod common;

use lidcard::document::DocumentError;
use lidcard::document::card::{CardRequest, card};
use lidcard::render::pdf::{Meta, to_pdf};
use lidcard::render::png::to_png;
use lidcard::render::svg::to_svg;
use lidcard::render::{Item, Scene};

fn meta() -> Meta {
    Meta { date: Some("2026-05-02".into()), ..Meta::default() }
}

fn sized(width: f64, height: f64) -> CardRequest {
    CardRequest { size_mm: Some([width, height]), ..CardRequest::default() }
}

fn texts(scene: &Scene) -> String {
    let items = scene.pages.iter().flat_map(|p| &p.items);
    let lines = items.filter_map(|item| if let Item::Text(t) = item { Some(t.text.as_str()) } else { None });
    lines.collect::<Vec<_>>().join("\n")
}

#[test]
#[ignore = "writes pictures to look at, into the folder named by CARD_PICTURES"]
fn cards_can_be_looked_at() {
    let Ok(folder) = std::env::var("CARD_PICTURES") else { return };
    let folder = std::path::Path::new(&folder);
    let draft = CardRequest { draft: true, ..CardRequest::default() };
    let wanted = [
        ("default", common::moonfish(), CardRequest::default()),
        ("draft", common::moonfish(), draft),
        ("a6", common::moonfish(), sized(105.0, 148.0)),
        ("a6wide", common::moonfish(), sized(148.0, 105.0)),
        ("a7up", common::moonfish(), sized(74.0, 105.0)),
        ("a4", common::moonfish(), sized(210.0, 297.0)),
        ("strip", common::moonfish(), sized(150.0, 50.0)),
        ("minnow", common::minnow(), CardRequest::default()),
    ];
    for (name, setup, request) in wanted {
        let started = std::time::Instant::now();
        let scene = match card(&setup, &request) {
            Ok(scene) => scene,
            Err(error) => {
                println!("{name}: {error}");
                continue;
            }
        };
        let laid_out = started.elapsed();
        let pdf = to_pdf(&scene, &meta()).expect("PDF");
        println!("{name}: {} pages, {} bytes, {laid_out:?}, {:?}", scene.pages.len(), pdf.len(), started.elapsed());
        std::fs::write(folder.join(format!("{name}.pdf")), pdf).expect("written");
        for (n, png) in to_png(&scene, 200.0).expect("PNG").into_iter().enumerate() {
            std::fs::write(folder.join(format!("{name}-{}.png", n + 1)), png).expect("written");
        }
        for (n, svg) in to_svg(&scene).expect("SVG").into_iter().enumerate() {
            std::fs::write(folder.join(format!("{name}-{}.svg", n + 1)), svg).expect("written");
        }
    }
}
