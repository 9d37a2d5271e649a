//! The languages that documents speak. A file in `templates/labels/`, one in `templates/labels/dry/` and its
//! name in one line here make a language known to the boat file, the command line and the documents.

/// A language and the texts of all documents in it.
#[derive(Clone, Copy)]
pub struct Language {
    /// As written in the boat file and on the command line: an ISO 639-1 code.
    pub name: &'static str,
    /// Its labels file.
    pub text: &'static str,
    /// What of it is said otherwise of a model that is no boat.
    pub dry: &'static str,
}

impl std::fmt::Debug for Language {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.name)
    }
}

macro_rules! languages {
    ($($name:literal),*) => {
        &[$((
            $name,
            Language {
                name: $name,
                text: include_str!(concat!("../../../../templates/labels/", $name, ".yaml")),
                dry: include_str!(concat!("../../../../templates/labels/dry/", $name, ".yaml")),
            },
        )),*]
    };
}

/// Every language by its name. English comes first: the others are held to it.
pub const ALL: &[(&str, Language)] = languages!["en", "de"];
