//! What happened: the timeline drawn, and as a table whose numbers are those of the drawing.

use super::Writing;
use crate::case::reading::words::{lower_first, place_words, sentence, short_time, upper_first};
use crate::case::{Device, Event, EventKind, StoredCase, drawing};
use crate::document::{Column, Document, Figure, Phrase, Svg, Table};
use crate::quantity::Certainty;
use crate::vocabulary::Vocabulary;

/// How the filling of a vessel is read.
const FLOW_SIGNS: &str = " A vessel is filled to its flow: full TIMI 3, half TIMI 2, a hairline TIMI 1, a hatched end TIMI 0, dotted not recorded.";
/// How an uncertain time is drawn and written.
const UNCERTAIN_SIGNS: &str = " ≈ or a dashed mark: estimated, within its bar.";

impl Writing<'_> {
    pub(super) fn what_happened(&self, document: &mut Document) {
        document.section("What happened");
        if self.case.events.is_empty() {
            document.missing("the events of the timeline");
            return;
        }
        document.figure(timeline_figure(self.case, self.vocabulary, "summary-timeline"));
        let columns = [
            Column::number("No."),
            Column::offset("Time"),
            Column::text("What happened, where, flow after it"),
        ];
        let rows = self.case.events.iter().map(|row| self.row(&row.value));
        document.table(Table::of("Events in order of time", columns).rows(rows));
    }

    fn row(&self, event: &Event) -> [Phrase; 3] {
        let number = self.reading.number(&event.key).map_or_else(String::new, |number| number.to_string());
        [number.into(), Phrase::new().mono(short_time(event.at, event.time)), event_words(event)]
    }
}

/// The drawing of a case's timeline; `prefix` makes its ids unique in the document. A table that follows
/// holds its values and names each numbered mark, so it brings no table and no legend of its own: on paper a
/// sentence takes less room.
#[must_use]
pub fn timeline_figure(case: &StoredCase, vocabulary: &Vocabulary, prefix: &str) -> Figure {
    let drawing = drawing::timeline(case, vocabulary);
    let zero = match &case.head.time_zero {
        Some(words) => format!("Time zero: {}", sentence(&lower_first(words.as_str()))),
        None => "Not recorded: what time zero is.".to_owned(),
    };
    let flow = if drawing.lanes.iter().any(|lane| !lane.sights.is_empty()) { FLOW_SIGNS } else { "" };
    let any = |certain: fn(Certainty) -> bool| case.events.iter().any(|row| certain(row.value.time));
    let estimated = any(|time| matches!(time, Certainty::Within(_)));
    let uncertain = if estimated || any(|time| time == Certainty::OrderOnly) { UNCERTAIN_SIGNS } else { "" };
    let drawn = drawing.draw(prefix);
    Figure {
        title: drawn.title,
        description: drawn.summary,
        svg: Svg::trusted(drawn.svg),
        values: None,
        summary: format!("{zero} Numbers as in the table.{flow}{uncertain}"),
        source: String::new(),
    }
}

/// What happened: kind, place and flow after it, the words, then with which class of device, at what pressure and
/// rate, and how sure the time is.
#[must_use]
pub fn event_words(event: &Event) -> Phrase {
    let (lead, device_said) = kind_and_device(event);
    let place =
        event.segment.map_or_else(String::new, |segment| format!(", {}", lower_first(&place_words(segment))));
    let flow = event.flow.map_or_else(String::new, |flow| format!(", {flow}"));
    let mut phrase = Phrase::new().strong(format!("{lead}{place}{flow}."));
    if let Some(text) = &event.text {
        phrase = phrase.text(format!(" {}", sentence(text.as_str())));
    }
    let sure = match event.time {
        Certainty::Within(minutes) => Some(format!("±{minutes}\u{a0}min")),
        Certainty::Exact | Certainty::OrderOnly => None,
    };
    let measured = [
        event.device.filter(|_| !device_said).map(|device| device.label().to_owned()),
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

/// The kind of an event, with the device where it is one of that kind: `Compliant balloon`.
#[must_use]
pub fn kind_words(event: &Event) -> String {
    kind_and_device(event).0
}

/// The kind of an event, and the device in the same words where it is one of that kind: a
/// "Compliant balloon" rather than a "Balloon" and a "Compliant balloon". Says whether it did.
fn kind_and_device(event: &Event) -> (String, bool) {
    let kind = event.kind.label();
    let Some(device) = event.device else { return (kind.to_owned(), false) };
    let label = device.label();
    let ends = |word: &str| label.to_lowercase().ends_with(word);
    match event.kind {
        EventKind::Balloon if ends("balloon") => (label.to_owned(), true),
        EventKind::Stent if ends("stent") => (label.to_owned(), true),
        EventKind::Imaging if ends("imaging") => (label.to_owned(), true),
        EventKind::Wire if ends("wire") => (format!("{label} advanced"), true),
        EventKind::Guide if device == Device::GuideCatheter => (format!("{label} engaged"), true),
        _ => (kind.to_owned(), false),
    }
}
