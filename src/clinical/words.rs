//! Closed lists of the trade's words, as the definitions take them in.

/// One word of a list, for a form.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Word {
    /// The word as files and the database keep it.
    pub slug: &'static str,
    /// The word as a person reads it.
    pub label: &'static str,
}

/// Gives a list of words the text form that a place for facts needs.
macro_rules! words_as_facts {
    ($($name:ty),+ $(,)?) => {
        $(impl $crate::clinical::facts::FactValue for $name {
            const KIND: $crate::clinical::facts::Kind = {
                const WORDS: [$crate::clinical::words::Word; <$name>::ALL.len()] = {
                    let first = <$name>::ALL[0];
                    let mut words = [$crate::clinical::words::Word { slug: first.slug(), label: first.label() }; <$name>::ALL.len()];
                    let mut place = 1;
                    while place < words.len() {
                        let word = <$name>::ALL[place];
                        words[place] = $crate::clinical::words::Word { slug: word.slug(), label: word.label() };
                        place += 1;
                    }
                    words
                };
                $crate::clinical::facts::Kind::OneOf(&WORDS)
            };
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
