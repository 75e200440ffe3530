//! The same in words.

use super::{Median, RatingChart, count_words, quoted};
use crate::figure::FigureTable;
use crate::figure::count_word::word;

impl RatingChart {
    fn name(&self) -> &str {
        let scale = self.scale.trim();
        if scale.is_empty() { "Judgements" } else { scale }
    }

    fn label(&self, step: usize) -> String {
        quoted(self.steps.get(step).map_or("", |step| &step.label))
    }

    /// The finding: where the middle is, and how far the judgements lie apart.
    pub(super) fn title(&self) -> String {
        let name = self.name();
        let (Some(median), Some((first, last))) = (self.median(), self.range()) else {
            return format!("{name}: nobody has judged yet");
        };
        let n = self.n();
        match (n, first == last) {
            (1, _) => format!("{name}: the one judgement is {}", self.label(first)),
            (2, true) => format!("{name}: both judge {}", self.label(first)),
            (_, true) => format!("{name}: all {} judge {}", word(n), self.label(first)),
            // Of two, the range is all that there is.
            (2, false) => format!("{name}: the two judge {} and {}", self.label(first), self.label(last)),
            (_, false) => {
                format!(
                    "{name}: the median of {} is {}, from {} to {}",
                    word(n),
                    self.median_words(median),
                    self.label(first),
                    self.label(last)
                )
            }
        }
    }

    fn median_words(&self, median: Median) -> String {
        match median {
            Median::At(step) => self.label(step),
            Median::Between(low, high) => format!("between {} and {}", self.label(low), self.label(high)),
        }
    }

    pub(super) fn description(&self) -> String {
        "The steps stand from the least to the most. A dot is the judgement of one reviewer; with very many, a column is \
         as high as there are judgements. The diamond is the median, the bracket reaches from the lowest judgement to the \
         highest. It is a range of opinions and no measurement."
            .to_owned()
    }

    pub(super) fn table(&self) -> FigureTable {
        let mut table = FigureTable::with_columns(&[
            self.name(),
            &format!("Judgements (n = {})", self.n_words()),
            "Median",
        ]);
        let median = self.median().map(Median::steps);
        for (index, step) in self.steps.iter().enumerate() {
            let mark = match median {
                Some((low, high)) if low == high && low == index => "median",
                Some((low, high)) if low == index || high == index => "beside the median",
                _ => "",
            };
            table.rows.push(vec![step.label.clone(), count_words(u64::from(step.count)), mark.to_owned()]);
        }
        table
    }

    pub(super) fn summary(&self) -> String {
        let name = self.name();
        let (Some(median), Some((first, last))) = (self.median(), self.range()) else {
            return format!("{name}: nobody has judged yet.");
        };
        let told: Vec<String> = self
            .steps
            .iter()
            .filter(|step| step.count > 0)
            .map(|step| format!("{} {}", quoted(&step.label), count_words(u64::from(step.count))))
            .collect();
        let range = if first == last {
            "All agree.".to_owned()
        } else {
            format!("Range: from {} to {}.", self.label(first), self.label(last))
        };
        let median = match self.n() {
            1 => String::new(),
            _ => format!(" Median: {}. {range}", self.median_words(median)),
        };
        format!("{name}, n = {}: {}.{median}", self.n_words(), told.join("; "))
    }
}
