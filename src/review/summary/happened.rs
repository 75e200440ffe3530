//! What happened: the timeline drawn, and as a table whose numbers are those of the drawing.

use super::Writing;
use crate::case::reading::words::{lower_first, place_words, sentence, short_time, upper_first};
use crate::case::{Event, drawing};
use crate::document::{Column, Document, Figure, Phrase, Svg, Table};
use crate::figure::timeline::legend;
use crate::quantity::Certainty;

impl Writing<'_> {
    pub(super) fn what_happened(&self, document: &mut Document) {
        document.section("What happened");
        if self.case.events.is_empty() {
            document.missing("the events of the timeline");
            return;
        }
        document.figure(self.drawn());
        let columns = [Column::number("No."), Column::offset("Time"), Column::text("What happened, where, flow after it")];
        let rows = self.case.events.iter().map(|row| self.row(&row.value));
        document.table(Table::of("Events in order of time", columns).rows(rows));
    }

    /// The drawing. The table that follows holds its values, so it brings none of its own.
    fn drawn(&self) -> Figure {
        let drawn = drawing::timeline(self.case, self.vocabulary).draw("summary-timeline");
        let signs = legend("summary-legend", &drawing::families(self.case));
        let zero = match &self.case.head.time_zero {
            Some(words) => format!("Time zero: {}", sentence(&lower_first(words.as_str()))),
            None => "Not recorded: what time zero is.".to_owned(),
        };
        let estimated = self.case.events.iter().any(|row| row.value.time != Certainty::Exact);
        let estimated = if estimated { " ≈ marks a time that is estimated." } else { "" };
        Figure {
            title: drawn.title,
            description: drawn.summary,
            svg: Svg::trusted(format!("{}\n{}", drawn.svg, signs.svg)),
            values: None,
            summary: format!("{zero}{estimated}"),
            source: String::new(),
        }
    }

    fn row(&self, event: &Event) -> [Phrase; 3] {
        let number = self.reading.number(&event.key).map_or_else(String::new, |number| number.to_string());
        [number.into(), Phrase::new().mono(short_time(event.at, event.time)), what(event)]
    }
}

/// What happened: kind, place and flow after it, the words, then with which class of device, at what pressure and
/// rate, and how sure the time is.
fn what(event: &Event) -> Phrase {
    let kind = event.kind.label();
    let place = event.segment.map_or_else(String::new, |segment| format!(", {}", place_words(segment)));
    let flow = event.flow.map_or_else(String::new, |flow| format!(", {flow}"));
    let mut phrase = Phrase::new().strong(format!("{kind}{place}{flow}."));
    if let Some(text) = &event.text {
        phrase = phrase.text(format!(" {}", sentence(text.as_str())));
    }
    let sure = match event.time {
        Certainty::Within(minutes) => Some(format!("time ±{minutes} min")),
        Certainty::Exact | Certainty::OrderOnly => None,
    };
    let measured = [
        event.device.map(|device| device.label().to_owned()),
        event.pressure.map(|pressure| format!("{pressure} mmHg")),
        event.heart_rate.map(|rate| format!("{rate}/min")),
        sure,
    ];
    let measured: Vec<String> = measured.into_iter().flatten().collect();
    if !measured.is_empty() {
        phrase = phrase.quiet(format!(" {}.", upper_first(&measured.join(", "))));
    }
    phrase
}
