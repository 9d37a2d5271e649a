//! A label as the program names it: what `text.rs` lists becomes constants and records here.

use std::borrow::Cow;

/// A text without gaps.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Text(pub(super) &'static str);

/// Texts without gaps that are told apart by a word of the boat file or of a table of ours.
#[derive(Clone, Copy, Debug)]
pub struct Words(pub(super) &'static str);

/// A text with all that is to be filled into it.
pub trait Gaps {
    /// Where the text stands.
    fn path(&self) -> Cow<'static, str>;
    /// What is said at a gap.
    fn gap(&self, name: &str) -> Option<&str>;
}

impl Gaps for Text {
    fn path(&self) -> Cow<'static, str> {
        self.0.into()
    }

    fn gap(&self, _: &str) -> Option<&str> {
        None
    }
}

/// A constant for each text without gaps, and for each with gaps a record that has to be given all of them.
/// `each` stands before a section whose texts are told apart by a word.
macro_rules! texts {
    ($($path:literal $($name:ident)+ $({ $($gap:ident),+ })?;)*) => {
        $(text!($path $($name)+ $({ $($gap),+ })?);)*
    };
}

macro_rules! text {
    ($path:literal each $name:ident) => {
        #[doc = $path]
        pub const $name: $crate::labels::Words = $crate::labels::gaps::Words($path);
    };
    ($path:literal $name:ident) => {
        #[doc = $path]
        pub const $name: $crate::labels::Text = $crate::labels::gaps::Text($path);
    };
    ($path:literal each $name:ident { $($gap:ident),+ }) => {
        #[doc = $path]
        pub struct $name<'a> {
            pub word: &'a str,
            $(pub $gap: &'a str,)+
        }
        gaps!($name, |text| format!("{}.{}", $path, text.word).into(), $($gap),+);
    };
    ($path:literal $name:ident { $($gap:ident),+ }) => {
        #[doc = $path]
        pub struct $name<'a> {
            $(pub $gap: &'a str,)+
        }
        gaps!($name, |_| $path.into(), $($gap),+);
    };
}

macro_rules! gaps {
    ($name:ident, |$text:pat_param| $path:expr, $($gap:ident),+) => {
        impl $crate::labels::Gaps for $name<'_> {
            fn path(&self) -> std::borrow::Cow<'static, str> {
                let $text = self;
                $path
            }

            fn gap(&self, name: &str) -> Option<&str> {
                $(if name == stringify!($gap).trim_start_matches("r#") {
                    return Some(self.$gap);
                })+
                None
            }
        }
    };
}
