//! A family of inputs as one type whose fields can be read and written by name.

use super::input::{Input, Kind};
use crate::quantity::QuantityError;

/// Why a fact could not be recorded.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum FactError {
    /// The family has no input of this name.
    #[error("“{0}” is not an input of these facts.")]
    NoSuchInput(String),
    /// The text is not a value of the input.
    #[error(transparent)]
    Value(#[from] QuantityError),
}

/// A family of inputs, each of which may be missing.
pub trait FactSet: Default {
    /// The inputs, in the order of the form.
    const INPUTS: &'static [Input];

    /// What is recorded for an input, as text that reads back; empty for nothing.
    ///
    /// # Errors
    /// When the family has no such input.
    fn text(&self, slug: &str) -> Result<String, FactError>;

    /// Records what a person typed; a blank text takes the value out.
    ///
    /// # Errors
    /// When the family has no such input, or the text is not a value of it.
    fn record(&mut self, slug: &str, text: &str) -> Result<(), FactError>;

    /// All that is recorded, in the order of the form.
    fn recorded(&self) -> Vec<(Input, String)> {
        let filled =
            |input: &Input| Some((*input, self.text(input.slug).ok().filter(|text| !text.is_empty())?));
        Self::INPUTS.iter().filter_map(filled).collect()
    }

    /// Whether nothing is recorded.
    fn is_blank(&self) -> bool {
        self.recorded().is_empty()
    }

    /// Answers every open yes-or-no question of the family with "no", when a person says so.
    fn answer_the_rest_no(&mut self) {
        for input in Self::INPUTS {
            if input.kind == Kind::Answer && self.text(input.slug).is_ok_and(|text| text.is_empty()) {
                // The name is the family's own and "no" is an answer, so this cannot fail.
                let _ = self.record(input.slug, "no");
            }
        }
    }
}

/// Declares a family of inputs: for each a doc text (the help), the field, the constant that names
/// its [`Input`], the type of its place, and its label.
///
/// Besides the field there is a method of the same name that gives the input with its value.
macro_rules! facts {
    ($(#[$meta:meta])* $name:ident of $family:ident {
        $($(#[doc = $help:literal])+ $field:ident $const:ident: $type:ty = $label:literal;)+
    }) => {
        $(#[$meta])*
        #[derive(Debug, Clone, PartialEq, Default, serde::Serialize, serde::Deserialize, schemars::JsonSchema)]
        #[serde(default, deny_unknown_fields)]
        pub struct $name {
            $(
                $(#[doc = $help])+
                #[serde(skip_serializing_if = "crate::clinical::facts::is_empty")]
                pub $field: $type,
            )+
        }

        impl $name {
            $(
                #[doc = $label]
                pub const $const: $crate::clinical::facts::Input = $crate::clinical::facts::Input {
                    family: $crate::clinical::facts::Family::$family,
                    slug: stringify!($field),
                    label: $label,
                    help: concat!($($help,)+).trim_ascii_start(),
                    kind: <$type as $crate::clinical::facts::Slot>::KIND,
                };

                #[doc = $label]
                #[doc = ": the input and what is recorded."]
                #[must_use]
                pub fn $field(&self) -> $crate::clinical::facts::Seen<$type> {
                    $crate::clinical::facts::Seen { input: &Self::$const, value: self.$field.clone() }
                }
            )+
        }

        impl $crate::clinical::facts::FactSet for $name {
            const INPUTS: &'static [$crate::clinical::facts::Input] = &[$(Self::$const,)+];

            fn text(&self, slug: &str) -> Result<String, $crate::clinical::facts::FactError> {
                match slug {
                    $(stringify!($field) => Ok($crate::clinical::facts::Slot::text(&self.$field)),)+
                    other => Err($crate::clinical::facts::FactError::NoSuchInput(other.to_owned())),
                }
            }

            fn record(&mut self, slug: &str, text: &str) -> Result<(), $crate::clinical::facts::FactError> {
                match slug {
                    $(stringify!($field) => {
                        self.$field = $crate::clinical::facts::Slot::read(text)?;
                    })+
                    other => return Err($crate::clinical::facts::FactError::NoSuchInput(other.to_owned())),
                }
                Ok(())
            }
        }
    };
}
pub(in crate::clinical) use facts;
