//! The form of an event, also as the last row of the timeline's table.

use super::part::{Context, Part, RowPart, flows, segments};
use crate::case::store::{Part as List, RowValue};
use crate::case::{Case, Device, Event, EventKind, HeartRate, Pressure, Row, StoredCase};
use crate::clinical::quantities::{Dose, DoseUnit, Unit, Volume, VolumeUnit};
use crate::quantity::{Certainty, ClockTime, Offset, TimiFlow};
use crate::web::form::{Choice, ChoiceGroup, Control, Field, FieldError, Reader, Values};

/// An event.
pub(super) struct EventPart;

/// The certainties that the form offers; a row with another one keeps it.
pub(super) const OFFERED: [Certainty; 8] = [
    Certainty::Exact,
    Certainty::Within(1),
    Certainty::Within(2),
    Certainty::Within(5),
    Certainty::Within(10),
    Certainty::Within(15),
    Certainty::Within(30),
    Certainty::OrderOnly,
];

fn certainties(context: &Context) -> Vec<Choice> {
    let mut all = OFFERED.to_vec();
    for row in &context.case.events {
        if !all.contains(&row.value.time) {
            all.insert(all.len() - 1, row.value.time);
        }
    }
    all.iter().map(|certainty| Choice::new(certainty, certainty)).collect()
}

/// The moment that was typed: an offset, a clock time when that of time zero is given, or nothing.
///
/// With a clock time of time zero, `14:12` is read on the clock, and `+12:30` or `12` still as an
/// offset. It is used here and kept nowhere.
fn read_time(
    values: &Values,
    reader: &mut Reader,
    context: &Context,
    own: Option<&Event>,
) -> Option<(Offset, Certainty)> {
    let sure = reader.optional("sure").unwrap_or_default();
    let typed = values.get("at").trim();
    if typed.is_empty() {
        let last = context.case.events.iter().map(|row| row.value.at).next_back();
        let at = own.map(|event| event.at).or(last).unwrap_or(Offset::ZERO);
        return Some((at, Certainty::OrderOnly));
    }
    let zero = reader.optional::<ClockTime>("clock_zero");
    let counted = typed.starts_with(['+', '-', '−', '–']) || !typed.contains([':', '.']);
    let at = match zero {
        // `25:10` is a slip on the clock and not 25 minutes.
        Some(zero) if !counted => typed.parse::<ClockTime>().map(|clock| clock.offset_from(zero)),
        _ => Offset::parse_typed(typed),
    };
    at.map_err(|error| reader.mark("at", error)).ok().map(|at| (at, sure))
}

impl Part for EventPart {
    type Value = Event;
    const TITLE: &'static str = "Event";

    fn values(value: &Event) -> Values {
        Values::new()
            .with("at", value.at)
            .with("sure", value.time)
            .with("kind", value.kind)
            .with_opt("text", value.text.as_ref())
            .with_opt("segment", value.segment)
            .with_opt("flow", value.flow.map(TimiFlow::grade))
            .with_opt("pressure", value.pressure)
            .with_opt("heart_rate", value.heart_rate)
            .with_opt("device", value.device)
            .with_quantity("contrast", &value.contrast.map(|volume| volume.to_string()).unwrap_or_default())
            .with_quantity("air_kerma", &value.air_kerma.map(|dose| dose.to_string()).unwrap_or_default())
    }

    fn units(value: &Event) -> Vec<(&'static str, String)> {
        value.air_kerma.iter().map(|dose| ("air_kerma", dose.unit().symbol().to_owned())).collect()
    }

    fn fields(context: &Context, _: &Values) -> Vec<Field> {
        let typed = |name, label: &str, empty, choices| {
            let groups = vec![ChoiceGroup { label: String::new(), choices }];
            Field::new(name, label, Control::Select { empty: Some(empty), groups, by_typing: true })
        };
        let kinds = EventKind::ALL
            .iter()
            .map(|kind| Choice::new(kind, kind.label()).found_by(kind.synonyms()))
            .collect();
        let devices = Device::ALL
            .iter()
            .map(|device| Choice::new(device, device.label()).found_by(device.synonyms()))
            .collect();
        vec![
            Field::line("at", "Time from time zero", "w-short")
                .hint("+12 is minutes, 12:30 minutes and seconds, 1h05 hours and minutes, −3 before time zero. Empty: only its order is known."),
            Field::new(
                "sure",
                "How sure",
                Control::Select { empty: None, groups: vec![ChoiceGroup { label: String::new(), choices: certainties(context) }], by_typing: false },
            ),
            typed("kind", "Kind", "Choose", kinds),
            Field::lines("text", "What happened", 3).optional(),
            Field::new("segment", "Where", Control::Select { empty: Some("Not tied to a segment"), groups: segments(), by_typing: true }),
            Field::words("flow", "Flow after it", "Not seen", flows()),
            Field::line("pressure", "Pressure, mmHg", "w-short").hint("Such as 92/54.").optional(),
            Field::number("heart_rate", "Heart rate", "per minute").optional(),
            typed("device", "Device class", "None", devices),
            Field::quantity("contrast", "Contrast so far", VolumeUnit::SYMBOLS, "mL")
                .hint("All that was given up to here.")
                .optional(),
            Field::quantity(
                "air_kerma",
                "Air kerma so far",
                DoseUnit::SYMBOLS,
                context.department.units.usual("air_kerma", DoseUnit::SYMBOLS),
            )
            .hint("At the reference point, as the equipment shows it.")
            .optional(),
        ]
    }

    fn read(values: &Values, context: &Context, was: Option<&Event>) -> Result<Event, Vec<FieldError>> {
        let mut reader = Reader::new(values);
        let time = read_time(values, &mut reader, context, was);
        let kind = reader.required::<EventKind>("kind", "Choose a kind.");
        let text = reader.optional("text");
        let segment = reader.optional("segment");
        let flow = reader.optional("flow");
        let pressure = reader.optional::<Pressure>("pressure");
        let heart_rate = reader.optional::<HeartRate>("heart_rate");
        let device = reader.optional("device");
        let contrast = reader.quantity::<Volume>("contrast");
        let air_kerma = reader.quantity::<Dose>("air_kerma");
        if flow.is_some() && segment.is_none() && values.get("segment").trim().is_empty() {
            reader.mark("segment", "Say where the flow was seen.");
        }
        let key = was.map(|was| was.key.clone()).or_else(|| context.free_key.clone());
        let value = time.zip(kind).zip(key).map(|(((at, time), kind), key)| Event {
            key,
            at,
            time,
            kind,
            segment,
            flow,
            pressure,
            heart_rate,
            contrast,
            air_kerma,
            device,
            text,
        });
        reader.finish(value)
    }
}

impl RowPart for EventPart {
    const LIST: List = List::Event;
    const NOUN: &'static str = "event";
    fn rows(case: &StoredCase) -> &[Row<Event>] {
        &case.events
    }
    fn rows_mut(case: &mut Case) -> &mut Vec<Event> {
        &mut case.events
    }
    fn row_value(value: Event) -> RowValue {
        RowValue::Event(value)
    }
}
