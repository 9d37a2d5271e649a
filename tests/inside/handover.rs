//! A handover as its giver and its taker meet it: one folder, whole or not at all, and a workshop's own
//! words, logo and pages on what is in it.

use crate::help::{Ran, run, run_in};
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

const BOAT: &str = "boats/moonfish.yaml";
/// Quickly made.
const SMALL: &str = "boats/sprat.yaml";
const BROKEN: &str = "tests/fixtures/mistakes/blow-reaches-gas.yaml";
const ACCEPTED: &str = "tests/fixtures/accepted/blow-reaches-gas.yaml";
const WORKSHOP: &str = "tests/fixtures/workshop";

/// A place for handovers and workshops of one test.
struct Home(tempfile::TempDir);

impl Home {
    fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    fn at(&self, name: &str) -> String {
        self.0.path().join(name).display().to_string()
    }

    /// A workshop's folder with these files.
    fn workshop(&self, files: &[(&str, &[u8])]) -> String {
        let folder = self.0.path().join("workshop");
        let _ = fs::remove_dir_all(&folder);
        for (name, bytes) in files {
            let path = folder.join(name);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, bytes).unwrap();
        }
        fs::create_dir_all(&folder).unwrap();
        folder.display().to_string()
    }
}

/// Every file of a folder with its bytes.
fn bytes_in(folder: impl AsRef<Path>) -> BTreeMap<String, Vec<u8>> {
    let entries = fs::read_dir(folder).unwrap().map(|e| e.unwrap().path());
    entries
        .map(|path| (path.file_name().unwrap().to_string_lossy().into_owned(), fs::read(&path).unwrap()))
        .collect()
}

fn names_in(folder: &Path) -> Vec<String> {
    let mut names: Vec<_> =
        fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

fn handover(boat: &str, folder: &str, more: &[&str]) -> Ran {
    let mut args = vec!["handover", boat, "-o", folder];
    args.extend(more);
    run(&args)
}

/// The pages of a document as SVG.
fn pages(document: &str, boat: &str, more: &[&str]) -> Vec<String> {
    let home = Home::new();
    let out = home.at("page.svg");
    let mut args = vec![document, boat, "-o", &out];
    args.extend(more);
    let ran = run(&args);
    assert_eq!(ran.status, 0, "{}", ran.stderr);
    bytes_in(home.0.path()).into_values().map(|svg| String::from_utf8(svg).unwrap()).collect()
}

/// Why a document could not be made with a workshop's folder; nothing may have been written.
fn refusal(home: &Home, document: &str, boat: &str, files: &[(&str, &[u8])]) -> String {
    let workshop = home.workshop(files);
    let out = home.at("refused");
    let ran = run(&[document, boat, "-o", &out, "--workshop", &workshop]);
    assert_eq!(ran.status, 2, "{}{}", ran.stdout, ran.stderr);
    assert!(!Path::new(&out).exists());
    // Long lines are broken on the screen.
    ran.stderr.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn everything_that_goes_with_a_boat_lies_together_and_is_the_same_each_time() {
    let home = Home::new();
    let (one, two) = (home.at("one"), home.at("elsewhere/two"));
    fs::create_dir(home.at("elsewhere")).unwrap();
    assert_eq!(handover(BOAT, &one, &[]).status, 0);
    let copy = home.at("elsewhere/moonfish.yaml");
    fs::copy(BOAT, &copy).unwrap();
    assert_eq!(handover(&copy, &two, &[]).status, 0);
    let (first, second) = (bytes_in(&one), bytes_in(&two));
    let names: Vec<&str> = first.keys().map(String::as_str).collect();
    let wanted = [
        "handover.json",
        "index.html",
        "moonfish-card-1.png",
        "moonfish-card-2.png",
        "moonfish-card.html",
        "moonfish-card.pdf",
        "moonfish-certificate.json",
        "moonfish-check.json",
        "moonfish-endpoints.json",
        "moonfish-guide.html",
        "moonfish-guide.pdf",
        "moonfish-practice.html",
        "moonfish-report.txt",
        "moonfish-service.pdf",
        "moonfish-sheet.pdf",
        "moonfish.yaml",
    ];
    assert_eq!(names, wanted);
    // Sheet and list name the certificate that lies beside them.
    let lies = format!("{one}/moonfish-certificate.json");
    let verified = run(&["verify", BOAT, "--certificate", &lies, "--format", "json"]);
    let said: serde_json::Value = serde_json::from_str(&verified.stdout).unwrap();
    assert_eq!((verified.status, &said["unchanged"]), (0, &serde_json::Value::Bool(true)));
    let listed: serde_json::Value = serde_json::from_slice(&first["handover.json"]).unwrap();
    let files = listed["files"].as_array().unwrap();
    assert!(files.iter().any(|f| f["name"] == "moonfish-certificate.json" && f["sha256"] == said["sha256"]));
    for (name, bytes) in &first {
        assert!(second[name] == *bytes, "{name} differs between two places");
    }
    assert_eq!(first["moonfish.yaml"], fs::read(BOAT).unwrap());
    // The single commands make the same documents.
    for (document, more) in [("card", None), ("sheet", Some("--annex")), ("guide", None), ("service", None)] {
        let alone = home.at("alone.pdf");
        let asked: Vec<&str> = [document, BOAT, "-o", &alone].into_iter().chain(more).collect();
        assert_eq!(run(&asked).status, 0);
        assert!(fs::read(&alone).unwrap() == first[&format!("moonfish-{document}.pdf")], "{document}");
    }
}

#[test]
fn a_boat_that_fails_its_check_is_not_handed_over_and_what_was_there_stays() {
    let home = Home::new();
    let out = home.at("out");
    let ran = handover(BROKEN, &out, &[]);
    assert_eq!(ran.status, 1);
    assert!(ran.stderr.contains("nothing handed over: first put right 1 error"), "{}", ran.stderr);
    assert!(names_in(home.0.path()).is_empty());
    assert_eq!(handover(SMALL, &out, &[]).status, 0);
    let before = bytes_in(&out);
    assert_eq!(handover(BROKEN, &out, &[]).status, 1);
    assert!(bytes_in(&out) == before);
}

#[test]
fn the_index_says_what_is_accepted_and_why_in_the_language_asked_for() {
    let home = Home::new();
    let out = home.at("out");
    for (language, verdict, found) in [
        ("en", "nothing found but what is accepted", "the controls can reach gas (tank servo)"),
        ("de", "außer dem, was auf dem Prüfblatt hingenommen ist", "die Geber erreichen gas (tank servo)"),
    ] {
        let ran = handover(ACCEPTED, &out, &["--language", language, "--size", "148x105"]);
        assert_eq!(ran.status, 0, "{}", ran.stderr);
        let page = fs::read_to_string(format!("{out}/index.html")).unwrap();
        for words in
            [verdict, found, "the owner wants the gas at hand", "emergency-within-reach", "JFE9-TPT9"]
        {
            assert!(page.contains(words), "{language}: `{words}` is missing");
        }
        assert!(page.contains(&format!("<html lang=\"{language}-")), "{language}");
    }
}

#[test]
fn warnings_are_told_and_the_verdict_does_not_hide_them() {
    let home = Home::new();
    let (boat, out) = (home.at("boat.yaml"), home.at("out"));
    let text = fs::read_to_string(BOAT).unwrap();
    let stale = "accept: [{rule: works-at-rest, where: tank_servo.gas, because: an <old> story & more}]\n";
    fs::write(&boat, format!("{text}\n{stale}")).unwrap();
    let ran = handover(&boat, &out, &[]);
    assert_eq!(ran.status, 0, "{}", ran.stderr);
    assert!(ran.stderr.contains("acceptance-stale"), "{}", ran.stderr);
    let page = fs::read_to_string(format!("{out}/index.html")).unwrap();
    for words in ["the warnings on the bench sheet are open", "(acceptance-stale)", "Open warnings"] {
        assert!(page.contains(words), "`{words}` is missing");
    }
    assert!(!page.contains("<old>"), "what a boat file says is text, never a tag");
}

#[test]
fn a_folder_that_is_no_handover_of_the_boat_is_refused_and_stays_as_it_is() {
    let home = Home::new();
    let out = home.at("out");
    // Somebody's photos.
    fs::create_dir(&out).unwrap();
    fs::write(home.at("out/photo.jpg"), "a photo").unwrap();
    let refused = |boat: &str, why: &str| {
        let before = bytes_in(&out);
        let ran = handover(boat, &out, &[]);
        assert_eq!(ran.status, 2, "{}", ran.stdout);
        assert!(ran.stderr.contains(why) && ran.stderr.contains("nothing written"), "{}", ran.stderr);
        assert!(bytes_in(&out) == before, "{why}");
        assert_eq!(names_in(home.0.path()), ["out"]);
    };
    refused(SMALL, "no handover of ours");
    // A photo beside an earlier handover.
    fs::remove_file(home.at("out/photo.jpg")).unwrap();
    assert_eq!(handover(SMALL, &out, &[]).status, 0);
    fs::write(home.at("out/photo.jpg"), "a photo").unwrap();
    refused(SMALL, "holds photo.jpg");
    fs::remove_file(home.at("out/photo.jpg")).unwrap();
    // Another boat's, and one somebody wrote notes into.
    refused(BOAT, "is the handover of Sprat, not of Moonfish");
    let report = home.at("out/sprat-report.txt");
    let text = fs::read_to_string(&report).unwrap();
    fs::write(&report, format!("{text}my notes\n")).unwrap();
    refused(SMALL, "sprat-report.txt was changed");
    fs::write(&report, text).unwrap();
    assert_eq!(handover(SMALL, &out, &["--language", "de"]).status, 0);
    // A file of that name.
    fs::remove_dir_all(&out).unwrap();
    fs::write(&out, "mine").unwrap();
    let ran = handover(SMALL, &out, &[]);
    assert!(ran.status == 2 && ran.stderr.contains("is a file"), "{}", ran.stderr);
    assert_eq!(fs::read_to_string(&out).unwrap(), "mine");
}

#[test]
fn an_earlier_handover_is_replaced_whole() {
    let home = Home::new();
    let out = home.at("out");
    assert_eq!(handover(SMALL, &out, &[]).status, 0);
    let english = bytes_in(&out);
    // One page instead of two: a file of before is not there any more.
    assert_eq!(handover(SMALL, &out, &["--language", "de", "--size", "148x105", "--fold"]).status, 0);
    let german = bytes_in(&out);
    assert!(english.contains_key("sprat-card-2.png") && !german.contains_key("sprat-card-2.png"));
    assert_ne!(english["sprat-guide.pdf"], german["sprat-guide.pdf"]);
    assert_eq!(names_in(home.0.path()), ["out"]);
}

#[cfg(unix)]
#[test]
fn a_disk_that_fails_in_the_middle_leaves_the_old_handover_or_none() {
    let home = Home::new();
    let out = home.at("out");
    let program = env!("CARGO_BIN_EXE_lidcard");
    // No file may get longer than 40 blocks of 1024 bytes: the boat file and the card are written, the
    // sheet is not. The signal that says so would end a program that does not expect it.
    let limited = |boat: &str| {
        let script = "ulimit -f 40; exec \"$0\" handover \"$1\" -o \"$2\"";
        let mut command = std::process::Command::new("bash");
        command.args(["-c", script]).arg(program).args([boat, &out]);
        command.output().unwrap()
    };
    let failed = limited(BOAT);
    let said = String::from_utf8_lossy(&failed.stderr).into_owned();
    assert_eq!(failed.status.code(), Some(2), "{said}");
    assert!(said.contains("cannot write") && said.contains("nothing was changed"), "{said}");
    assert!(names_in(home.0.path()).is_empty(), "{:?}", names_in(home.0.path()));
    assert_eq!(handover(BOAT, &out, &[]).status, 0);
    let before = bytes_in(&out);
    assert_eq!(limited(BOAT).status.code(), Some(2));
    assert!(bytes_in(&out) == before);
    assert_eq!(names_in(home.0.path()), ["out"]);
}

#[test]
fn a_place_that_cannot_be_written_to_is_named() {
    let home = Home::new();
    let ran = handover(BOAT, &home.at("nowhere/out"), &[]);
    assert_eq!(ran.status, 2);
    assert!(ran.stderr.contains("nowhere") && ran.stderr.contains("nothing was changed"), "{}", ran.stderr);
    for around in ["/", "."] {
        let ran = handover(BOAT, around, &[]);
        assert!(ran.status == 2 && ran.stderr.contains("the folder you are in"), "{}", ran.stderr);
    }
}

#[test]
fn a_document_that_does_not_fit_keeps_all_the_others_back() {
    let home = Home::new();
    let out = home.at("out");
    let ran = handover(BOAT, &out, &["--size", "40x30"]);
    assert_eq!(ran.status, 2);
    assert!(
        ran.stderr.contains("does not fit") && ran.stderr.contains("nothing handed over"),
        "{}",
        ran.stderr
    );
    assert!(names_in(home.0.path()).is_empty());
}

#[test]
fn a_workshop_has_its_logo_and_contact_on_sheet_guide_and_index() {
    let environment = [("LIDCARD_WORKSHOP", WORKSHOP)];
    let home = Home::new();
    for document in ["sheet", "guide"] {
        let own = pages(document, BOAT, &["--workshop", WORKSHOP]);
        assert_eq!(own.iter().filter(|page| page.contains("<image ")).count(), 1, "{document}");
        assert!(own.iter().any(|page| page.contains("workshop@lantern-bay.example")), "{document}");
        assert!(!pages(document, BOAT, &[]).iter().any(|page| page.contains("<image ")), "{document}");
        let [asked, named] = ["asked.pdf", "named.pdf"].map(|name| home.at(name));
        assert_eq!(run(&[document, BOAT, "-o", &asked, "--workshop", WORKSHOP]).status, 0);
        assert_eq!(run_in(&[document, BOAT, "-o", &named], &environment).status, 0);
        assert_eq!(fs::read(asked).unwrap(), fs::read(named).unwrap());
    }
    let guide = pages("guide", BOAT, &["--workshop", WORKSHOP]);
    assert!(guide.iter().any(|page| page.contains("Ring us before you open her.")));
    assert!(guide.iter().any(|page| page.contains("Before you sail")), "what is not reworded stays");
    let out = home.at("out");
    assert_eq!(handover(BOAT, &out, &["--workshop", WORKSHOP]).status, 0);
    let page = fs::read_to_string(format!("{out}/index.html")).unwrap();
    assert!(page.contains("workshop@lantern-bay.example"));
    assert_eq!(page.matches("<img ").count(), 3, "the logo and two pages of the card");
}

#[test]
fn a_logo_costs_no_text_of_the_card_its_size() {
    let sizes = |page: &String| {
        page.split("font-size=\"").skip(1).map(|r| r[..r.find('"').unwrap()].to_owned()).collect::<Vec<_>>()
    };
    let mut with_logo = 0;
    for size in ["105x74", "105x148", "148x105", "148x210", "210x297"] {
        let bare = pages("card", BOAT, &["--size", size]);
        let own = pages("card", BOAT, &["--size", size, "--workshop", WORKSHOP]);
        assert_eq!(bare.iter().map(sizes).collect::<Vec<_>>(), own.iter().map(sizes).collect::<Vec<_>>());
        with_logo += usize::from(own.iter().any(|page| page.contains("<image ")));
    }
    assert!((1..5).contains(&with_logo), "{with_logo} of 5 sizes have room");
}

#[test]
fn one_page_of_the_workshops_own_takes_the_place_of_ours_alone() {
    let home = Home::new();
    let sheet = fs::read_to_string("templates/sheet.tera")
        .unwrap()
        .replace("size: 13, weight: bold", "size: 15, weight: bold");
    let workshop = home.workshop(&[("sheet.tera", sheet.as_bytes())]);
    let own = pages("sheet", BOAT, &["--workshop", &workshop]);
    assert_ne!(own, pages("sheet", BOAT, &[]));
    assert_eq!(pages("guide", BOAT, &["--workshop", &workshop]), pages("guide", BOAT, &[]));
}

#[test]
fn a_label_of_the_workshops_is_held_to_ours_and_told_at_its_place() {
    let home = Home::new();
    let why = |labels: &str| refusal(&home, "guide", BOAT, &[("labels/en.yaml", labels.as_bytes())]);
    let said = why("guide:\n  name: Guide\n  nmae: Guide\n");
    assert!(said.contains("there is no label `guide.nmae`") && said.contains("labels/en.yaml:3:3"), "{said}");
    let said = why("guide:\n  title: Guide\n");
    assert!(said.contains("the label `guide.title` does not say `{boat}`"), "{said}");
    let said = why("guide: [Guide]\n");
    assert!(said.contains("the label `guide` is not a text"), "{said}");
    // A mistake in the language that is not printed today is told all the same.
    let said = refusal(&home, "guide", BOAT, &[("labels/de.yaml", b"nonsense: ja\n")]);
    assert!(said.contains("there is no label `nonsense`"), "{said}");
    let said = refusal(&home, "guide", BOAT, &[("labels/de.yaml", b"\n")]);
    assert!(said.contains("labels/de.yaml: it is empty"), "{said}");
    let said = refusal(&home, "guide", BOAT, &[("labels/fr.yaml", b"guide:\n  name: Guide\n")]);
    assert!(said.contains("fr.yaml") && said.contains("en.yaml or de.yaml"), "{said}");
}

#[test]
fn no_workshop_rewords_a_mark_or_a_caution() {
    let home = Home::new();
    for label in lidcard::document::labels::KEPT {
        // As deep as the label lies; a section is tried by one that is in it.
        let tree = lidcard::document::labels::Labels::english().tree();
        let mut place = tree.pointer(&format!("/{}", label.replace('.', "/"))).expect(label);
        let mut path = (*label).to_owned();
        while let Some((key, inner)) = place.as_object().and_then(|map| map.iter().next()) {
            path = format!("{path}.{key}");
            place = inner;
        }
        let text = serde_json::to_string(place).unwrap();
        let keys: Vec<&str> = path.split('.').collect();
        let mut yaml = String::new();
        for (depth, key) in keys.iter().enumerate() {
            let value = if depth + 1 == keys.len() { format!(" {text}") } else { String::new() };
            yaml.push_str(&format!("{}{key}:{value}\n", "  ".repeat(depth)));
        }
        let said = refusal(&home, "card", BOAT, &[("labels/en.yaml", yaml.as_bytes())]);
        assert!(said.contains(&format!("the label `{path}` is a mark or a caution")), "{said}");
    }
}

#[test]
fn no_page_of_a_workshops_leaves_out_a_caution() {
    let home = Home::new();
    let ours = |name: &str| fs::read_to_string(format!("templates/{name}")).unwrap();
    // Without gas in its caution; without the box of cautions; without the texts under signal words.
    let card = ours("card.tera").replace("{%- if caution and", "{%- if false and");
    let sheet = ours("sheet.tera").replace("for text in cautions", "for text in []");
    let guide = ours("guide.tera").replace(
        "{%- if part.kind == \"words\" %}",
        "{%- if part.kind == \"words\" and not section.signal %}",
    );
    let pale = "text: {{ text | json }}, size: 8.5";
    let pale = ours("sheet.tera").replace(pale, &format!("{pale}, grey: 1"));
    let index = ours("handover.html").replace("for text in cautions", "for text in []");
    let unsaid = ours("handover.html").replace("{{ verdict }}", "All is well.");
    for (document, name, text) in [
        ("card", "card.tera", card),
        ("sheet", "sheet.tera", sheet),
        ("guide", "guide.tera", guide),
        ("sheet", "sheet.tera", pale),
        ("handover", "handover.html", index),
        ("handover", "handover.html", unsaid),
    ] {
        assert_ne!(text, ours(name), "{name} was not changed");
        let said = refusal(&home, document, BOAT, &[(name, text.as_bytes())]);
        assert!(said.contains("it leaves out a caution"), "{name}: {said}");
    }
}

#[test]
fn an_index_of_a_workshops_own_may_not_call_for_anything_outside() {
    let home = Home::new();
    let ours = fs::read_to_string("templates/handover.html").unwrap();
    for call in [
        "<script>let a;</script>",
        "<link rel=\"stylesheet\" href=\"https://a.example/a.css\"/>",
        "<style>.cautions { display: none }</style>",
        "<details><p>gas</p></details>",
    ] {
        let text = ours.replace("</main>", &format!("{call}</main>"));
        let said = refusal(&home, "handover", BOAT, &[("handover.html", text.as_bytes())]);
        assert!(said.contains("do nothing by itself"), "{said}");
    }
    // A caution that stands there and is not seen.
    for hidden in ["style=\"display: none\"", "style=\"color: #fff\"", "hidden=\"\"", "class=\"away\""] {
        let text = ours.replace("<ul class=\"cautions\">", &format!("<ul {hidden}>"));
        let said = refusal(&home, "handover", BOAT, &[("handover.html", text.as_bytes())]);
        assert!(said.contains("it yields <ul"), "{said}");
    }
    let remark = ours.replace("<li>{{ text }}</li>", "<!-- {{ text }} -->");
    let said = refusal(&home, "handover", BOAT, &[("handover.html", remark.as_bytes())]);
    assert!(said.contains("leaves out a caution"), "{said}");
}

#[test]
fn no_page_of_a_workshops_gets_rid_of_the_mark_of_a_draft() {
    let home = Home::new();
    for (document, name) in [("card", "card.tera"), ("sheet", "sheet.tera"), ("guide", "guide.tera")] {
        // A page that thinks nothing of drafts.
        let text = fs::read_to_string(format!("templates/{name}")).unwrap();
        let text = text.replace("{%- if draft %}", "{%- if false %}").replace("if draft or", "if");
        assert!(!text.contains("if draft"), "{name}");
        let workshop = home.workshop(&[(name, text.as_bytes())]);
        for page in pages(document, BROKEN, &["--draft", "--workshop", &workshop]) {
            let across =
                page.lines().filter(|l| l.contains("CHECK FAILED</text>") && l.contains("fill=\"none\""));
            assert_eq!(across.count(), 1, "{name}");
            assert!(page.contains("<title>CHECK FAILED"), "{name}");
        }
    }
}

#[test]
fn what_is_wrong_with_a_workshops_folder_is_told_at_its_place() {
    let home = Home::new();
    let why = |files: &[(&str, &[u8])]| refusal(&home, "sheet", BOAT, files);
    for (files, words) in [
        (vec![("contacts.txt", &b"us\n"[..])], "contacts.txt: nothing is called that here"),
        (
            vec![("crad.tera", b"")],
            "holds card.tera, guide.tera, sheet.tera, record.tera, service.tera, plan.tera, handover.html",
        ),
        (vec![("logo.jpg", b"")], "logo.jpg: nothing is called that here"),
        (vec![("logo.png", b"no picture")], "logo.png: it cannot be read as PNG"),
        (vec![("logo.svg", b"<svg")], "logo.svg: it cannot be read as SVG"),
        (vec![("logo.svg", b""), ("logo.png", b"")], "logo.png: it cannot be read as PNG"),
        (vec![("contact.txt", b"\n \n")], "contact.txt: it is empty"),
        (vec![("contact.txt", b"a\nb\nc\nd\n\ne\nf\ng\n")], "contact.txt:8: there is room for 6 lines"),
        (vec![("contact.txt", b"us\xff\n")], "contact.txt: it is not UTF-8"),
        (vec![("contact.txt", "us\n\u{2603}\n".as_bytes())], "contact.txt:2: the font cannot print"),
        (vec![("contact.txt/inner", b"us")], "contact.txt: that is a folder"),
        (vec![("sheet.tera", b"title: {{ nothing | json }}")], "sheet.tera:1"),
    ] {
        let said = why(&files);
        assert!(said.contains(words), "{words}: {said}");
    }
    let long = "x".repeat(61);
    let said = why(&[("contact.txt", long.as_bytes())]);
    assert!(said.contains("contact.txt:1: this line has 61 characters"), "{said}");
    let good = fs::read(Path::new(WORKSHOP).join("logo.svg")).unwrap();
    let said = why(&[("logo.svg", &good), ("logo.png", &good)]);
    assert!(said.contains("keep logo.svg or logo.png, not both") || said.contains("as PNG"), "{said}");
    for (folder, words) in
        [(home.at("nowhere"), "there is no such folder"), (BOAT.to_owned(), "that is a file")]
    {
        let ran = run(&["card", BOAT, "-o", &home.at("card.pdf"), "--workshop", &folder]);
        assert!(ran.status == 2 && ran.stderr.contains(words), "{}", ran.stderr);
        assert!(!PathBuf::from(home.at("card.pdf")).exists());
    }
}
