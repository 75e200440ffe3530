//! Closed lists of the trade's words, as the definitions take them in.

/// One word of a list, for a form.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Word {
    /// The word as it is stored.
    pub slug: &'static str,
    /// The word as a person reads it.
    pub label: &'static str,
}

/// Declares a closed list: variant, the word as stored, the word as read.
macro_rules! word_list {
    ($(#[$meta:meta])* $name:ident, $list:literal, { $($(#[$variant_meta:meta])* $variant:ident = $slug:literal, $label:literal;)+ }) => {
        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name { $($(#[$variant_meta])* #[doc = $label] $variant,)+ }

        impl $name {
            /// Every word of the list, in its order.
            pub const ALL: &'static [Self] = &[$(Self::$variant,)+];
            /// The same for a form.
            pub const WORDS: &'static [$crate::clinical::words::Word] =
                &[$($crate::clinical::words::Word { slug: $slug, label: $label },)+];

            /// The word as it is stored.
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
                    let short: String = text.trim().chars().take(40).collect();
                    let all: &[&str] = &[$($slug,)+];
                    $crate::quantity::QuantityError(format!(
                        "“{short}” is not {}. Write one of: {}.", $list, all.join(", ")
                    ))
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
pub(in crate::clinical) use word_list;

/// Gives a list of words the text form that a place for facts needs.
macro_rules! words_as_facts {
    ($($name:ty),+ $(,)?) => {
        $(impl $crate::clinical::facts::FactValue for $name {
            const KIND: $crate::clinical::facts::Kind = $crate::clinical::facts::Kind::OneOf(<$name>::WORDS);
            fn read(text: &str) -> Result<Self, $crate::quantity::QuantityError> {
                text.parse()
            }
            fn write(&self) -> String {
                self.slug().to_owned()
            }
            fn say(&self) -> String {
                self.label().to_owned()
            }
        })+
    };
}
pub(in crate::clinical) use words_as_facts;
