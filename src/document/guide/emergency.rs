//! The page for the day when something is wrong.

use super::known::Known;
use super::page::{Chapter, Part, Section};
use crate::document::words;

pub(super) fn chapter(known: &Known<'_>) -> Chapter {
    let say = |key: &str| known.say(&format!("guide.emergency.{key}"));
    let dives = known.dives();
    let first = words::emergency_with_place(known.labels, known.setup);
    let mut loud: Vec<Part> = first.into_iter().map(Part::loud).collect();
    loud.extend(words::within_reach(known.labels, known.setup).into_iter().map(Part::bold));
    let own_words = !loud.is_empty();
    if !own_words {
        loud.push(Part::loud(say("off_surface")));
    }
    let mut nothing = Vec::new();
    if dives {
        nothing.extend([say("nearer"), say("mark")]);
        nothing.push(say(if known.comes_up_alone() { "off" } else { "no_use" }));
        let done = known.until_done().filter(|_| known.comes_up_alone());
        nothing.extend(done.map(|time| known.fill("guide.emergency.wait", &[("time", &time)])));
        nothing.push(say("tangled"));
    } else {
        nothing.push(say("nearer"));
        if own_words {
            nothing.push(say("off_surface"));
        }
    }
    nothing.push(say("fetch"));
    if !known.gas().is_empty() {
        nothing.push(say("after_gas"));
    }
    Chapter::new(
        say("title"),
        [
            Section::plain([Part::words(say("intro"))]),
            Section::new(say(if dives { "dive" } else { "other" }), loud).framed(),
            Section::new(say("nothing"), [Part::steps(nothing)]),
            Section::signal("warning", known.say("guide.emergency.wade")),
        ],
    )
}
