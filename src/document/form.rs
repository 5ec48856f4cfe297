//! How a document is declared: which keys a block of settings has, what each takes, and one line about it.
//! Gives the types of such declarations, and what a reading says about itself so that a test can hold the two against each other.
//! Does not know any key (the scenario declares its own), nor how a declaration is shown to an editor.

use super::quantity::Bounds;

/// What may stand in one place of a document.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Form {
    /// One value.
    Value(Kind),
    /// One of these words.
    Word(&'static [&'static str]),
    /// Nothing after the colon.
    Nothing,
    /// A list of these.
    List(&'static Form),
    /// Settings under keys that are declared.
    Settings(&'static [Key]),
    /// Settings under names that the user chooses.
    Named(&'static Form),
    /// Any of these.
    Any(&'static [Form]),
}

/// What one value is read as.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Kind {
    /// A mass, bounds in kg.
    Mass(Bounds),
    /// A length, bounds in mm.
    Length(Bounds),
    /// A width in percent.
    Percent(Bounds),
    /// A share of the total in percent.
    Share(Bounds),
    /// Fuel, a volume or a mass; bounds in kg.
    Fuel(Bounds),
    /// kg per litre.
    Density(Bounds),
    /// A plain number.
    Number(Bounds),
    /// A whole number from the first to the second.
    Whole(i32, i32),
    /// `true` or `false`.
    Boolean,
    /// A name that the user chose.
    Name,
}

/// One setting.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Key {
    /// Its name in the file.
    pub(crate) name: &'static str,
    /// Another name for it.
    pub(crate) other: Option<&'static str>,
    /// Whether it may be left out.
    pub(crate) need: Need,
    /// What it takes.
    pub(crate) form: Form,
    /// One line for the user's editor.
    pub(crate) about: &'static str,
}

/// Whether a setting may be left out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Need {
    /// It must be there.
    Required,
    /// It has a default, or is needed only together with others.
    Optional,
}

impl Key {
    /// A setting that must be there.
    pub(crate) const fn required(name: &'static str, form: Form, about: &'static str) -> Key {
        Key { name, other: None, need: Need::Required, form, about }
    }

    /// A setting that may be left out.
    pub(crate) const fn optional(name: &'static str, form: Form, about: &'static str) -> Key {
        Key { name, other: None, need: Need::Optional, form, about }
    }

    /// The same under another name too.
    pub(crate) const fn or(self, other: &'static str) -> Key {
        Key { other: Some(other), ..self }
    }

    /// Whether this is its name.
    #[cfg(test)]
    pub(crate) fn is(&self, key: &str) -> bool {
        self.name == key || self.other == Some(key)
    }
}

/// What a reading asked of a place.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Asked {
    /// The value of a key.
    Key(&'static str),
    /// To be read as this.
    As(Kind),
    /// To be one of these words.
    OneOf(Vec<&'static str>),
}
