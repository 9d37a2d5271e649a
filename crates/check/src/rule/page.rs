//! What can be read off the page of a rule. The pages have one shape so that a list of the rules,
//! a report for machines and the tests need no second text beside them.

/// The sections of a page, in the order in which somebody with a problem reads them.
pub const SECTIONS: &[&str] = &["What is wrong", "How it comes about", "On the bench", "Cure", "Example"];

/// The title: the rule's name.
pub fn title(page: &str) -> Option<&str> {
    page.lines().next()?.strip_prefix("# ")
}

/// The headings of the sections.
pub fn headings(page: &str) -> Vec<&str> {
    page.lines().filter_map(|line| line.strip_prefix("## ")).collect()
}

/// `error` or `warning`: how grave it is at its worst.
pub fn severity(page: &str) -> Option<&str> {
    let line = page.lines().find_map(|line| line.strip_prefix("severity: "))?;
    line.split([' ', ',']).next()
}

/// Whom it hurts: `the boat, people`.
pub fn hurts(page: &str) -> Option<&str> {
    page.lines().find(|line| line.starts_with("severity: "))?.split_once(" · hurts: ").map(|(_, whom)| whom)
}

/// What is wrong, in one sentence: the first paragraph.
pub fn summary(page: &str) -> Option<String> {
    let (_, rest) = page.split_once("## What is wrong\n\n")?;
    rest.split("\n\n").next().map(|paragraph| paragraph.split_whitespace().collect::<Vec<_>>().join(" "))
}

/// The boat files of the example: `broken`, perhaps with `and` another rule, or `cured`, and the text.
pub fn examples(page: &str) -> Vec<(&str, &str)> {
    let mut all = Vec::new();
    let mut rest = page;
    while let Some((_, from)) = rest.split_once("```yaml ") {
        let Some((label, body)) = from.split_once('\n') else { break };
        let Some((text, behind)) = body.split_once("```") else { break };
        all.push((label, text));
        rest = behind;
    }
    all
}
