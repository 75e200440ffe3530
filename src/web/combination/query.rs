//! What is asked of the combinations: how each fact is told, and how many cases may be left out.

use crate::deidentify::combination::Levels;
use crate::quantity::words;
use crate::rates::combination::{Combinations, Fact, Way};
use crate::web::filters::FilterForm;
use crate::web::form::{Choice, FieldError, Reader, Values};

words!(
    /// How many cases a proposal may leave out.
    #[derive(Default)]
    LeftOut, "how many are left out", {
        #[default]
        Few = "few", "At most 5 in 100 left out";
        None = "none", "No case left out";
    }
);

impl LeftOut {
    /// So many in a hundred.
    pub(super) const fn in_100(self) -> usize {
        match self {
            Self::None => 0,
            Self::Few => 5,
        }
    }
}

const LEFT_OUT: &str = "left-out";

/// What is asked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Query {
    pub(super) levels: Levels,
    pub(super) left_out: LeftOut,
}

impl Query {
    pub(super) fn read(values: &Values) -> Result<Self, Vec<FieldError>> {
        let mut reader = Reader::new(values);
        let usual = Combinations::usual_levels();
        let levels = Fact::ALL
            .iter()
            .zip(&usual.0)
            .map(|(fact, usual)| match reader.optional::<Way>(fact.slug()) {
                Some(way) => fact.level(way).unwrap_or_else(|| {
                    let ways: Vec<&str> = fact.ways().iter().map(|way| way.slug()).collect();
                    reader.mark(
                        fact.slug(),
                        format!("{} is told one of these ways: {}.", fact.label(), ways.join(", ")),
                    );
                    *usual
                }),
                None => *usual,
            })
            .collect();
        let left_out = reader.optional(LEFT_OUT).unwrap_or_default();
        reader.finish(Some(Self { levels: Levels(levels), left_out }))
    }

    pub(super) fn values(&self) -> Values {
        let levels = Fact::ALL.iter().zip(&self.levels.0);
        levels
            .fold(Values::new(), |values, (fact, level)| values.with(fact.slug(), fact.way(*level)))
            .with(LEFT_OUT, self.left_out)
    }

    /// The address of a page that asks for this.
    pub(super) fn address(&self, path: &str) -> String {
        let mut query = form_urlencoded::Serializer::new(String::new());
        query.extend_pairs(self.values().into_pairs());
        format!("{path}?{}", query.finish())
    }
}

/// The form above the page.
pub(super) fn form(values: &Values, errors: Vec<FieldError>) -> FilterForm {
    let form = FilterForm { fields: Vec::new(), errors, carried: Vec::new() };
    let form = Fact::ALL.iter().fold(form, |form, fact| {
        let ways = fact.ways().iter().map(|way| Choice::new(way, way.label())).collect();
        form.choice((fact.slug(), fact.label()), ways, values)
    });
    let left_out = LeftOut::ALL.iter().map(|word| Choice::new(word, word.label())).collect();
    form.choice((LEFT_OUT, "The proposal"), left_out, values)
}
