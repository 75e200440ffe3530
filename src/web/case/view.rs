//! What the case page shows, made ready for its template.

use super::event_part::EventPart;
use super::part::{Context, Part};
use crate::case::consistency::{Contradiction, contradictions};
use crate::case::reading::{Reading, place_words, time_words};
use crate::case::{Event, StoredCase, drawing};
use crate::figure::{Figure, timeline};
use crate::vocabulary::Vocabulary;
use crate::web::form::{Choice, Control, FieldError, Values};

/// A row of the timeline's table.
pub(super) struct EventRow {
    pub(super) id: i64,
    pub(super) number: usize,
    pub(super) time: String,
    pub(super) kind: &'static str,
    pub(super) text: String,
    pub(super) device: String,
    pub(super) place: String,
    pub(super) flow: String,
    pub(super) vitals: String,
    pub(super) doses: String,
}

impl EventRow {
    pub(super) fn of(id: i64, number: usize, event: &Event) -> Self {
        let vitals = [
            event.pressure.map(|pressure| pressure.to_string()),
            event.heart_rate.map(|rate| rate.to_string()),
        ];
        Self {
            id,
            number,
            time: time_words(event),
            kind: event.kind.label(),
            text: event.text.as_ref().map(ToString::to_string).unwrap_or_default(),
            device: event.device.map_or("", |device| device.label()).to_owned(),
            place: event.segment.map(place_words).unwrap_or_default(),
            doses: [
                event.contrast.map(|volume| format!("{volume} contrast so far")),
                event.air_kerma.map(|dose| format!("{dose} air kerma so far")),
            ]
            .into_iter()
            .flatten()
            .collect::<Vec<_>>()
            .join(", "),
            flow: event.flow.map(|flow| flow.to_string()).unwrap_or_default(),
            vitals: vitals.into_iter().flatten().collect::<Vec<_>>().join(" · "),
        }
    }
}

/// The last row of the table, where the next event is typed.
pub(super) struct EntryRow {
    pub(super) number: usize,
    pub(super) values: Values,
    pub(super) errors: Vec<FieldError>,
    pub(super) kinds: Vec<Choice>,
    pub(super) segments: Vec<Choice>,
    pub(super) devices: Vec<Choice>,
    pub(super) certainties: Vec<Choice>,
    pub(super) flows: Vec<Choice>,
}

impl EntryRow {
    pub(super) fn of(context: &Context, values: Values, errors: Vec<FieldError>) -> Self {
        let mut row = Self {
            number: context.case.events.len() + 1,
            values,
            errors,
            kinds: Vec::new(),
            segments: Vec::new(),
            devices: Vec::new(),
            certainties: Vec::new(),
            flows: Vec::new(),
        };
        for field in EventPart::fields(context, &row.values) {
            let Control::Select { groups, .. } = field.control else {
                continue;
            };
            let choices: Vec<Choice> = groups.into_iter().flat_map(|group| group.choices).collect();
            match field.name {
                "kind" => row.kinds = choices,
                "segment" => row.segments = choices,
                "device" => row.devices = choices,
                "sure" => row.certainties = choices,
                "flow" => row.flows = choices,
                _ => {}
            }
        }
        row
    }

    pub(super) fn error(&self, name: &str) -> &str {
        self.errors.iter().find(|error| error.name == name).map_or("", |error| error.message.as_str())
    }

    pub(super) fn is_chosen(&self, name: &str, choice: &Choice) -> bool {
        self.values.get(name) == choice.value
    }
}

/// The timeline section: drawing, what it says, table, and the row for the next event.
pub(super) struct TimelineView {
    pub(super) code: String,
    pub(super) time_zero: String,
    pub(super) figure: Figure,
    pub(super) legend: Figure,
    pub(super) sentences: Vec<String>,
    pub(super) findings: Vec<Contradiction>,
    pub(super) rows: Vec<EventRow>,
    pub(super) entry: Option<EntryRow>,
    /// Whether the entry row takes the focus, as on the page that is only for typing.
    pub(super) autofocus: bool,
}

impl TimelineView {
    pub(super) fn of(
        case: &StoredCase,
        vocabulary: &Vocabulary,
        reading: &Reading,
        entry: Option<EntryRow>,
    ) -> Self {
        Self {
            code: case.code.to_string(),
            time_zero: case.head.time_zero.as_ref().map(ToString::to_string).unwrap_or_default(),
            figure: drawing::timeline(case, vocabulary).draw("timeline-drawing"),
            legend: timeline::legend("timeline-legend", &drawing::families(case)),
            sentences: reading.flow_sentences().into_iter().map(|sentence| sentence.text).collect(),
            findings: contradictions(case, reading),
            rows: (1..)
                .zip(&case.events)
                .map(|(number, row)| EventRow::of(row.id, number, &row.value))
                .collect(),
            entry,
            autofocus: false,
        }
    }
}
