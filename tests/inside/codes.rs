//! The codes of a bench sheet, drawn as pages are and read back from the picture.

use crate::help::{Ran, command, ran};
use lidcard::fingerprint::{Broken, Code, Look, pack, texts_in, unpack};
use lidcard::render::layout::{Sides, arrange};
use lidcard::render::{png, sheet};
use lidcard::setup::canonical::lines;
use lidcard::source::Source;
use lidcard_pixels::{Grey, Limits, grey, to_png};
use std::path::Path;

const LIMITS: Limits = Limits { side: 10_000, pixels: 100_000_000, memory: 400_000_000 };
const SIDE: f64 = 55.0;

fn boat(name: &str) -> Source {
    Source::load(format!("boats/{name}.yaml")).unwrap()
}

/// A page as wide as A4, and as high as it needs, with the codes that carry a boat.
fn page(texts: &[String], dpi: f64) -> Vec<u8> {
    let qr = |(n, text): (usize, &String)| {
        let (x, y) = ((n % 3) as f64 * (SIDE + 3.0), (n / 3) as f64 * (SIDE + 3.0));
        format!(
            "        - qr: {{x: {x}, y: {y}, size: {SIDE}, text: {}}}\n",
            serde_json::to_string(text).unwrap()
        )
    };
    let codes: String = texts.iter().enumerate().map(qr).collect();
    let codes_high = texts.len().div_ceil(3) as f64 * (SIDE + 3.0);
    let high = codes_high + 45.0;
    let yaml = format!(
        "title: codes\npage: {{width: 210, height: {high}, margin: 15}}\nblocks:\n  - name: codes\n    parts:\n    \
         - words: {{text: The whole set-up, size: 9}}\n    - drawing:\n        height: {codes_high}\n        items:\n{codes}"
    );
    let scene = arrange(sheet::read(&yaml).unwrap(), Sides::One).unwrap();
    png::to_png(&scene, dpi).unwrap().remove(0)
}

fn seen(picture: &[u8]) -> Result<(Code, String), Broken> {
    let enough = |texts: &[String]| !matches!(unpack(texts), Err(Broken::Missing { .. } | Broken::NotOurs));
    let quick = texts_in(picture, Look::Quick, &enough).unwrap().texts;
    match unpack(&quick) {
        Err(_) => unpack(&texts_in(picture, Look::Enlarged, &enough).unwrap().texts),
        whole => whole,
    }
}

#[test]
fn each_boat_comes_back_from_its_page_at_150_and_at_300_dpi() {
    for name in ["moonfish", "sprat", "capstan"] {
        let boat = boat(name);
        for dpi in [150.0, 300.0] {
            let (code, text) = seen(&page(&pack(&boat), dpi)).unwrap();
            assert_eq!(code, Code::of(&boat), "{name} at {dpi} dpi");
            let restored = Source::from_text("restored", &text).unwrap();
            assert_eq!(lines(&restored.root), lines(&boat.root), "{name} at {dpi} dpi");
        }
    }
}

#[test]
fn a_page_in_the_light_of_one_lamp_and_with_grain_comes_back() {
    let boat = boat("moonfish");
    let plain = grey(&page(&pack(&boat), 200.0), &LIMITS).unwrap();
    let mut chance = 12345_u32;
    let lit = Grey::from_fn(plain.width(), plain.height(), |x, y| {
        // A linear congruential generator (Numerical Recipes' constants, from memory) for the grain.
        chance = chance.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        let grain = f64::from(chance >> 16) / 65_536.0 * 24.0 - 12.0;
        let across = x as f64 / plain.width() as f64;
        let down = y as f64 / plain.height() as f64;
        let light = 1.0 - 0.75 * (across * across + down * down) / 2.0;
        let paper = 40.0 + f64::from(plain.at(x, y)[0]) * 0.8;
        [(paper * light + grain).clamp(0.0, 255.0) as u8]
    });
    assert_eq!(seen(&to_png(&lit).unwrap()).unwrap().0, Code::of(&boat));
}

#[test]
fn a_code_that_is_covered_is_missing_by_its_number() {
    let texts = pack(&boat("moonfish"));
    let all = texts.len();
    let shown = &texts[..all - 1];
    assert_eq!(seen(&page(shown, 150.0)), Err(Broken::Missing { parts: vec![all], of: all }));
}

#[test]
fn a_wallpaper_of_corner_marks_does_not_keep_the_reader_for_ever() {
    // Every three of these might be a code.
    let ring = |x: usize, y: usize| {
        let out = x.abs_diff(4).max(y.abs_diff(4));
        out == 3 || out <= 1
    };
    let marks = Grey::from_fn(1800, 1800, |x, y| [if ring(x / 2 % 9, y / 2 % 9) { 0 } else { 255 }]);
    let begun = std::time::Instant::now();
    for look in [Look::Quick, Look::Enlarged] {
        assert!(texts_in(&to_png(&marks).unwrap(), look, &|_| false).unwrap().texts.is_empty());
    }
    // Trying each of them would take hours; a reader that counts takes some seconds.
    assert!(begun.elapsed() < std::time::Duration::from_secs(20), "{:?}", begun.elapsed());
}

#[test]
fn noise_and_stripes_are_looked_at_without_harm() {
    let mut chance = 99_u32;
    let mut next = || {
        chance = chance.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (chance >> 24) as u8
    };
    for (width, height) in [(1, 1), (21, 300), (300, 21), (257, 131)] {
        let noise = Grey::from_fn(width, height, |_, _| [next()]);
        let stripes = Grey::from_fn(width, height, |x, _| [if x % 4 < 2 { 0 } else { 255 }]);
        for look in [Look::Quick, Look::Enlarged] {
            assert_eq!(
                texts_in(&to_png(&noise).unwrap(), look, &|_| false).unwrap().texts,
                Vec::<String>::new()
            );
            assert_eq!(
                texts_in(&to_png(&stripes).unwrap(), look, &|_| false).unwrap().texts,
                Vec::<String>::new()
            );
        }
    }
}

fn lidcard(folder: &Path, arguments: &[&str]) -> Ran {
    ran(command(arguments).current_dir(folder), "")
}

#[test]
fn restore_writes_the_file_once_and_names_what_is_missing() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    let boat = boat("moonfish");
    let texts = pack(&boat);
    let (first, rest) = texts.split_at(1);
    std::fs::write(at.join("a.png"), page(first, 150.0)).unwrap();
    std::fs::write(at.join("b.png"), page(rest, 150.0)).unwrap();

    let said = lidcard(at, &["restore", "b.png"]);
    assert_eq!((said.status, said.stdout.as_str()), (2, ""));
    assert!(
        said.stderr.contains(&format!("of {} codes these were not seen: 1\n", texts.len())),
        "{}",
        said.stderr
    );

    let said = lidcard(at, &["restore", "a.png", "b.png"]);
    assert_eq!(said.status, 0, "{}", said.stderr);
    assert!(
        said.stdout.starts_with(&format!("wrote moonfish.yaml, code {}\n", Code::of(&boat))),
        "{}",
        said.stdout
    );
    let restored = std::fs::read_to_string(at.join("moonfish.yaml")).unwrap();
    assert_eq!(lidcard(at, &["check", "--strict", "moonfish.yaml"]).status, 0);

    std::fs::write(at.join("moonfish.yaml"), "mine").unwrap();
    let said = lidcard(at, &["restore", "a.png", "b.png"]);
    assert_eq!(said.status, 2);
    assert!(said.stderr.contains("--force"), "{}", said.stderr);
    assert_eq!(std::fs::read_to_string(at.join("moonfish.yaml")).unwrap(), "mine");
    assert_eq!(lidcard(at, &["restore", "a.png", "b.png", "--force"]).status, 0);
    assert_eq!(std::fs::read_to_string(at.join("moonfish.yaml")).unwrap(), restored);
    assert_eq!(lidcard(at, &["restore", "a.png", "b.png", "-o", "-"]).stdout, restored);

    std::fs::write(at.join("c.pdf"), "%PDF-1.7").unwrap();
    let said = lidcard(at, &["restore", "c.pdf"]);
    assert!(said.status == 2 && said.stderr.contains("PNG"), "{}", said.stderr);
}

#[test]
fn verify_tells_a_card_of_this_file_from_one_of_an_older_and_from_a_slip() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    let now = std::fs::read_to_string("boats/moonfish.yaml").unwrap();
    let then = now.replacen("blow: 53 %", "blow: 52 %", 1);
    assert_ne!(now, then);
    std::fs::create_dir(at.join("old")).unwrap();
    for (name, text) in [("now.yaml", &now), ("old/a.yaml", &then), ("old/b.yaml", &"- : [".to_owned())] {
        std::fs::write(at.join(name), text).unwrap();
    }
    let code = |text: &str| Code::of(&Source::from_text("t", text).unwrap()).to_string();
    let (new, old) = (code(&now), code(&then));

    assert_eq!(lidcard(at, &["verify", "now.yaml"]).stdout, format!("{new}  now.yaml\n"));
    let said = lidcard(at, &["verify", "now.yaml", "--code", &new.to_lowercase()]);
    assert_eq!((said.status, said.stdout), (0, format!("{new} belongs to now.yaml\n")));

    let said = lidcard(at, &["verify", "now.yaml", "--code", &old, "--older", "old"]);
    assert_eq!(said.status, 1);
    assert!(said.stdout.contains("it belongs to old/a.yaml"), "{}", said.stdout);
    assert!(said.stdout.contains("\n  channels.4.endpoints.blow: 52 % -> 53 %\n"), "{}", said.stdout);
    assert!(said.stderr.contains("old/b.yaml"), "{}", said.stderr);

    let last = if new.ends_with('7') { "8" } else { "7" };
    let slip = format!("{}{last}", &new[..8]);
    let said = lidcard(at, &["verify", "now.yaml", "--code", &slip, "--older", "old/a.yaml", "now.yaml"]);
    assert_eq!(said.status, 1);
    assert!(said.stdout.contains("any of the 2 older files"), "{}", said.stdout);
    assert!(said.stdout.contains("in one character only"), "{}", said.stdout);

    for wrong in ["7K3M", "7K3M-Q2XU", "7K3M-Q2XDA"] {
        let said = lidcard(at, &["verify", "now.yaml", "--code", wrong]);
        assert!(said.status == 2 && said.stderr.contains("eight characters"), "{}", said.stderr);
    }

    let said = lidcard(at, &["verify", "now.yaml", "--code", &old, "--older", "old", "--format", "json"]);
    let json: serde_json::Value = serde_json::from_str(&said.stdout).unwrap();
    assert_eq!(json["belongs"], false);
    assert_eq!(json["differences"][0]["after"], "53 %");
}

#[test]
fn verify_tells_whose_certificate_one_is_and_whether_it_was_changed() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    for boat in ["moonfish", "sprat"] {
        std::fs::copy(format!("boats/{boat}.yaml"), at.join(format!("{boat}.yaml"))).unwrap();
    }
    assert_eq!(lidcard(at, &["check", "moonfish.yaml", "--certificate", "c.json"]).status, 0);
    let verify = |boat: &str, file: &str| lidcard(at, &["verify", boat, "--certificate", file]);
    let said = verify("moonfish.yaml", "c.json");
    assert!(
        said.status == 0 && said.stdout.starts_with("c.json is the certificate of moonfish.yaml"),
        "{}{}",
        said.stdout,
        said.stderr
    );
    let said = verify("sprat.yaml", "c.json");
    assert!(
        said.status == 1 && said.stdout.contains("is of another boat file"),
        "{}{}",
        said.stdout,
        said.stderr
    );
    let text = std::fs::read_to_string(at.join("c.json")).unwrap();
    std::fs::write(at.join("d.json"), text.replacen("proved", "broken", 1)).unwrap();
    let said = verify("moonfish.yaml", "d.json");
    assert!(
        said.status == 1
            && said.stdout.contains("not as it would be written now")
            && said.stdout.contains("from line"),
        "{}{}",
        said.stdout,
        said.stderr
    );
    std::fs::write(at.join("mailed.json"), text.replace('\n', "\r\n")).unwrap();
    let said = verify("moonfish.yaml", "mailed.json");
    assert!(said.status == 1 && said.stdout.contains("only its line ends differ"), "{}", said.stdout);
    std::fs::write(at.join("cut.json"), &text[..text.len() / 2]).unwrap();
    let said = verify("moonfish.yaml", "cut.json");
    assert!(said.status == 2 && said.stderr.contains("it ends in the middle, in line"), "{}", said.stderr);
    std::fs::write(at.join("newer.json"), text.replacen("\"version\": 1", "\"version\": 2", 1)).unwrap();
    let said = verify("moonfish.yaml", "newer.json");
    assert!(said.status == 2 && said.stderr.contains("it says version 2"), "{}", said.stderr);
    let boat = std::fs::read_to_string(at.join("moonfish.yaml")).unwrap();
    std::fs::write(at.join("deeper.yaml"), boat.replace("depth_limit: 2 m", "depth_limit: 3 m")).unwrap();
    let said = lidcard(
        at,
        &["verify", "deeper.yaml", "--certificate", "c.json", "--older", "sprat.yaml", "moonfish.yaml"],
    );
    assert!(
        said.status == 1
            && said.stdout.contains("it is of moonfish.yaml; since then changed:")
            && said.stdout.contains("2 m -> 3 m"),
        "{}{}",
        said.stdout,
        said.stderr
    );
    let said = verify("moonfish.yaml", "sprat.yaml");
    assert!(said.status == 2 && said.stderr.contains("no certificate"), "{}{}", said.stdout, said.stderr);
}

#[test]
fn cards_of_many_boats_are_those_made_one_by_one_and_told_in_the_order_given() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    std::fs::create_dir(at.join("all")).unwrap();
    let names = ["sprat", "moonfish", "capstan"];
    let mut files: Vec<String> = Vec::new();
    for name in names {
        std::fs::copy(format!("boats/{name}.yaml"), at.join(format!("{name}.yaml"))).unwrap();
        files.push(format!("{name}.yaml"));
        assert_eq!(lidcard(at, &["card", &format!("{name}.yaml")]).status, 0);
    }
    let arguments: Vec<&str> =
        ["card"].into_iter().chain(files.iter().map(String::as_str)).chain(["-o", "all"]).collect();
    let said = lidcard(at, &arguments);
    assert_eq!((said.status, said.stderr.as_str()), (0, ""));
    let lines: Vec<String> = names.iter().map(|name| format!("wrote all/{name}-card.pdf\n")).collect();
    assert_eq!(said.stdout, lines.concat());
    for name in names {
        let card = format!("{name}-card.pdf");
        assert_eq!(std::fs::read(at.join("all").join(&card)).unwrap(), std::fs::read(at.join(card)).unwrap());
    }
}

#[test]
fn the_file_comes_back_from_the_last_page_of_a_draft() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    std::fs::copy("boats/sprat.yaml", at.join("boat.yaml")).unwrap();
    let drawn = lidcard(at, &["sheet", "boat.yaml", "--draft", "--format", "png", "-o", "sheet.png"]);
    assert_eq!(drawn.status, 0, "{}", drawn.stderr);
    let last = format!("sheet-{}.png", drawn.stdout.lines().count());
    let restored = lidcard(at, &["restore", &last, "-o", "back.yaml"]);
    assert_eq!(restored.status, 0, "{}", restored.stderr);
    let code = |file: &str| lidcard(at, &["verify", file]).stdout.split(' ').next().unwrap().to_owned();
    assert_eq!(code("back.yaml"), code("boat.yaml"));
}
