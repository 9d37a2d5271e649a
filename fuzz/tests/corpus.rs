//! What was once worth keeping goes through its target, and so do the first inputs of each.

use lidcard_fuzz::{ALL, corpus};

#[test]
fn everything_kept_goes_through() {
    for target in ALL {
        for (path, bytes) in corpus(target.name) {
            println!("{}", path.display());
            (target.run)(&bytes);
        }
    }
}

#[test]
fn every_target_has_a_corpus_and_takes_what_is_made_for_it() {
    for target in ALL {
        assert!(!corpus(target.name).is_empty(), "{} has no corpus", target.name);
        for number in 0..6 {
            (target.run)(&(target.made)(number));
        }
    }
}
