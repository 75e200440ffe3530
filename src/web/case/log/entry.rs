//! The rows of a log that was read: as a form holds them, as the page shows them, and as events.

use super::super::event_part::OFFERED;
use crate::case::store::Part;
use crate::case::{Event, EventKind, Key, Paragraph, StoredCase, check, guess_kind};
use crate::deidentify::clock_log::{LogNote, LogRow, MOST_ROWS, holds_clock};
use crate::deidentify::suspect;
use crate::quantity::{Certainty, Offset};
use crate::vocabulary::Vocabulary;
use crate::web::error::Error;
use crate::web::form::{FieldError, Reader, Values};

pub(super) const LIST: Part = Part::Event;
const COUNT: &str = "rows";

/// The name of the field that says how many rows there are.
pub(super) const fn count_field() -> &'static str {
    COUNT
}

/// A choice as the page shows it.
pub(super) struct Option {
    pub(super) value: String,
    pub(super) label: String,
    pub(super) chosen: bool,
}

/// A row as the page shows it.
pub(super) struct EntryView {
    pub(super) number: usize,
    pub(super) take: bool,
    pub(super) at: String,
    pub(super) sure: Vec<Option>,
    pub(super) kind: Vec<Option>,
    pub(super) text: String,
    /// What there is to look at, with the numbers of its notes carried along.
    pub(super) notes: Vec<String>,
    pub(super) carried: String,
    /// What may identify somebody: the words, what they are, what could stand there.
    pub(super) findings: Vec<String>,
    errors: Vec<FieldError>,
}

impl EntryView {
    pub(super) fn error(&self, field: &str) -> &str {
        let name = name(field, self.number);
        self.errors.iter().find(|error| error.name == name).map_or("", |error| error.message.as_str())
    }
}

fn name(field: &str, number: usize) -> String {
    format!("{field}-{number}")
}

/// The notes that a row can carry through a form, by their places here.
const NOTES: [LogNote; 10] = [
    LogNote::Backwards,
    LogNote::Midnight,
    LogNote::TwelveHours,
    LogNote::DateDoesNotFit,
    LogNote::OverADay,
    LogNote::TooFar,
    LogNote::NoTime,
    LogNote::TimeInside,
    LogNote::DateTakenOut,
    LogNote::NoWords,
];

/// What the form holds for the rows of a log.
pub(super) fn values_of(rows: &[LogRow]) -> Values {
    rows.iter().zip(1..).fold(Values::new().with(COUNT, rows.len()), |values, (row, number)| {
        let notes: Vec<String> =
            (0..NOTES.len()).filter(|&at| row.notes.contains(&NOTES[at])).map(|at| at.to_string()).collect();
        let take = row.at.is_some() && !row.words.is_empty();
        values
            .with_opt(&name("take", number), take.then_some("yes"))
            .with_opt(&name("at", number), row.at)
            .with(&name("sure", number), row.sure)
            .with_opt(&name("kind", number), guess_kind(&row.words))
            .with(&name("text", number), &row.words)
            .with(&name("notes", number), notes.join(","))
    })
}

fn count(values: &Values) -> Result<usize, Error> {
    let count = values.get(COUNT).parse().ok().filter(|count| (1..=MOST_ROWS).contains(count));
    count.ok_or_else(|| {
        Error::BadRequest("The rows of the log did not arrive whole. Paste the log again.".to_owned())
    })
}

/// The numbers of the rows that are to be taken.
pub(super) fn ticked(values: &Values) -> Result<Vec<usize>, Error> {
    let rows = 1..=count(values)?;
    Ok(rows.filter(|&number| values.ticked(&name("take", number))).collect())
}

/// The rows as the page shows them.
pub(super) fn views(values: &Values, errors: &[FieldError]) -> Result<Vec<EntryView>, Error> {
    let rows = 1..=count(values)?;
    Ok(rows.map(|number| view(values, number, errors)).collect())
}

fn view(values: &Values, number: usize, errors: &[FieldError]) -> EntryView {
    let get = |field: &str| values.get(&name(field, number)).to_owned();
    let text = get("text");
    let notes = get("notes");
    let held = notes.split(',').filter_map(|at| NOTES.get(at.parse::<usize>().ok()?));
    let findings = suspect(&text)
        .into_iter()
        .map(|one| {
            format!("“{}”: {}. Write {}.", &text[one.span], one.kind.label().to_lowercase(), one.instead)
        })
        .collect();
    EntryView {
        number,
        take: values.ticked(&name("take", number)),
        at: get("at"),
        sure: options(OFFERED.iter().map(|one| (one.to_string(), one.to_string())), &get("sure")),
        kind: options(
            EventKind::ALL.iter().map(|kind| (kind.to_string(), kind.label().to_owned())),
            &get("kind"),
        ),
        notes: held.map(|note| note.sentence().to_owned()).collect(),
        findings,
        errors: errors.iter().filter(|error| error.name.ends_with(&format!("-{number}"))).cloned().collect(),
        carried: notes,
        text,
    }
}

fn options(all: impl Iterator<Item = (String, String)>, chosen: &str) -> Vec<Option> {
    all.map(|(value, label)| Option { chosen: value == chosen, value, label }).collect()
}

/// The ticked rows as events, or what is wrong with them.
pub(super) fn read_entries(
    values: &Values,
    case: &StoredCase,
    keys: Vec<Key>,
    vocabulary: &Vocabulary,
) -> Result<Result<Vec<Event>, Vec<FieldError>>, Error> {
    let ticked = ticked(values)?;
    let mut reader = Reader::new(values);
    if ticked.is_empty() {
        reader.mark("take-1", "Tick at least one row that is to become an event.");
    }
    let events: Vec<Event> = ticked
        .iter()
        .zip(keys)
        .filter_map(|(number, key)| read_entry(values, &mut reader, *number, key))
        .collect();
    let whole = events.len() == ticked.len();
    let mut read = reader.finish(Some(events));
    if let (Ok(events), true) = (&read, whole) {
        let problems = problems(case, events, &ticked, vocabulary);
        if !problems.is_empty() {
            read = Err(problems);
        }
    }
    Ok(read)
}

fn read_entry(values: &Values, reader: &mut Reader, number: usize, key: Key) -> std::option::Option<Event> {
    let [at_name, sure, kind, text_name] = ["at", "sure", "kind", "text"].map(|field| name(field, number));
    let at = reader.required::<Offset>(&at_name, "Say when it was, from time zero, or leave the row out.");
    let sure = reader.optional::<Certainty>(&sure).unwrap_or_default();
    let kind = reader.required::<EventKind>(&kind, "Choose a kind.");
    let text = reader.optional::<Paragraph>(&text_name);
    if holds_clock(values.get(&text_name)) {
        reader.mark(
            &text_name,
            "A clock time stands in these words. Say it from time zero, such as +15 min, or leave it out.",
        );
    }
    let (at, kind) = at.zip(kind)?;
    Some(Event { time: sure, text, ..Event::new(key, at, kind) })
}

/// What would be wrong with the case as it would be with these events, in them.
fn problems(
    case: &StoredCase,
    events: &[Event],
    ticked: &[usize],
    vocabulary: &Vocabulary,
) -> Vec<FieldError> {
    let mut whole = case.to_case();
    let first = whole.events.len();
    whole.events.extend(events.iter().cloned());
    check(&whole, vocabulary)
        .into_iter()
        .filter(|problem| problem.place.list == LIST.slug())
        .filter_map(|problem| {
            // A problem of the whole list stands at its limit.
            let index = problem.place.index.saturating_sub(first);
            let number = ticked.get(index).or(ticked.last())?;
            let field = if problem.place.field.is_empty() { "at" } else { problem.place.field };
            Some(FieldError { name: name(field, *number), message: problem.message })
        })
        .collect()
}
