//! How faults are written down: everything about one stands in one place.
//!
//! An entry is its severity, its name with the blanks of its sentences, the sentence, and the help. A sentence is a format
//! string over the blanks, or a block that makes a `String`. Grammar: lower case, the user's own words in backticks, numbers
//! with units, no full stop; only the help says what to do.

/// Makes an enum of faults.
macro_rules! faults {
    ($(#[$about:meta])* $name:ident: $($code:literal: $(
        $severity:ident $fault:ident $({ $($blank:ident: $of:ty),+ })?; $sentence:tt; $help:tt;
    )+)+) => {
        $(#[$about])*
        #[derive(Clone, Debug, PartialEq)]
        pub enum $name {
            $($(#[doc = $code] $fault $({ $($blank: $of),+ })?,)+)+
        }

        impl $name {
            /// The stable code of its family.
            pub fn code(&self) -> &'static str {
                match self { $($($name::$fault { .. })|+ => $code,)+ }
            }

            /// Whether the file can still be used.
            pub fn severity(&self) -> Severity {
                match self { $($($name::$fault { .. } => Severity::$severity,)+)+ }
            }

            /// What to do about it.
            #[expect(unused_variables, reason = "not every help needs every blank")]
            pub fn help(&self) -> String {
                match self { $($($name::$fault { $($($blank),+)? } => text!($help),)+)+ }
            }
        }

        impl std::fmt::Display for $name {
            #[expect(unused_variables, reason = "not every sentence needs every blank")]
            fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
                let sentence: String = match self { $($($name::$fault { $($($blank),+)? } => text!($sentence),)+)+ };
                f.write_str(&sentence)
            }
        }
    };
}

/// The text of a sentence or a help.
macro_rules! text {
    ($words:literal) => {
        format!($words)
    };
    ($words:block) => {
        $words
    };
}

pub(super) use {faults, text};
