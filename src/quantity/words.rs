//! Closed lists of the trade's words: each an enum, with the slug that files and the database
//! keep, and the label that a person reads.

use super::{QuantityError, shorten};

/// The error for a text that is none of a list's slugs.
pub(crate) fn unknown_word(given: &str, list: &str, allowed: &[&str]) -> QuantityError {
    QuantityError(format!("“{}” is not {list}. Allowed: {}.", shorten(given), allowed.join(", ")))
}

/// Declares a closed list: an enum whose text form is its slug.
macro_rules! words {
    ($(#[$meta:meta])* $name:ident, $list:literal, { $($(#[$variant_meta:meta])* $variant:ident = $slug:literal, $label:literal;)+ }) => {
        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name { $($(#[$variant_meta])* #[doc = $label] $variant,)+ }

        impl $name {
            /// Every word of the list, in its order.
            pub const ALL: &'static [Self] = &[$(Self::$variant,)+];

            /// The word as files and the database keep it.
            #[must_use]
            pub const fn slug(self) -> &'static str {
                match self { $(Self::$variant => $slug,)+ }
            }

            /// The word as a person reads it.
            #[must_use]
            pub const fn label(self) -> &'static str {
                match self { $(Self::$variant => $label,)+ }
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(self.slug())
            }
        }

        impl std::str::FromStr for $name {
            type Err = $crate::quantity::QuantityError;
            fn from_str(text: &str) -> Result<Self, Self::Err> {
                Self::ALL.iter().copied().find(|word| word.slug() == text.trim()).ok_or_else(|| {
                    $crate::quantity::unknown_word(text, $list, &[$($slug,)+])
                })
            }
        }

        impl serde::Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.serialize_str(self.slug())
            }
        }

        impl<'de> serde::Deserialize<'de> for $name {
            fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                let text = <String as serde::Deserialize>::deserialize(deserializer)?;
                text.parse().map_err(serde::de::Error::custom)
            }
        }

        impl schemars::JsonSchema for $name {
            fn schema_name() -> std::borrow::Cow<'static, str> {
                stringify!($name).into()
            }
            fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
                schemars::json_schema!({ "type": "string", "enum": [$($slug,)+] })
            }
        }
    };
}
pub(crate) use words;
