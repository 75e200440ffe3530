//! What is said of a picture: its form.

use crate::case::store::{Part as List, RowValue};
use crate::case::{Case, Key, Picture, Row, Sentences, StoredCase, Title, View};
use crate::web::case::part::{Context, Part, RowPart, events};
use crate::web::form::{Field, FieldError, Reader, Values};

/// What is said of a picture.
pub(in crate::web::case) struct PicturePart;

/// What a form says of a picture.
pub(super) struct Said {
    pub(super) event: Option<Key>,
    pub(super) caption: Option<Title>,
    pub(super) shows: Sentences,
    pub(super) view: Option<View>,
}

pub(super) fn fields(case: &StoredCase) -> Vec<Field> {
    vec![
        Field::lines("shows", "What is to be seen", 3)
            .hint("For who does not see the picture, and for the list. Such as: the marginal ends at its bend, with no contrast beyond."),
        Field::line("caption", "Title", "")
            .hint("What it shows, said as the finding: “Flow is gone in the marginal”.")
            .optional(),
        Field::words("event", "Event that it belongs to", "None", events(case))
            .hint("In a presentation it is shown when that event has been told, never before a question that it answers.")
            .optional(),
        Field::line("view", "View", "w-mid").hint("Such as RAO 30 caudal 20.").optional(),
    ]
}

pub(super) fn values_of(picture: &Picture) -> Values {
    Values::new()
        .with("shows", &picture.shows)
        .with_opt("caption", picture.caption.as_ref())
        .with_opt("event", picture.event.as_ref())
        .with_opt("view", picture.view)
}

/// Reads what is said of a picture.
pub(super) fn words(reader: &mut Reader<'_>, case: &StoredCase) -> Option<Said> {
    let shows = reader.required("shows", "Say what is to be seen.");
    let caption = reader.optional("caption");
    let event: Option<Key> = reader.optional("event");
    if event.as_ref().is_some_and(|key| !case.events.iter().any(|row| row.value.key == *key)) {
        reader.mark("event", "This event was taken out meanwhile. Choose another, or none.");
    }
    let view = reader.optional("view");
    Some(Said { event, caption, shows: shows?, view })
}

impl Part for PicturePart {
    type Value = Picture;
    const TITLE: &'static str = "Picture";
    const LEAD: &'static str = "What is said of it. Its pixels stay as they are.";

    fn values(value: &Picture) -> Values {
        values_of(value)
    }

    fn fields(context: &Context, _: &Values) -> Vec<Field> {
        fields(context.case)
    }

    fn read(values: &Values, context: &Context, was: Option<&Picture>) -> Result<Picture, Vec<FieldError>> {
        let mut reader = Reader::new(values);
        let said = words(&mut reader, context.case);
        let picture = said.zip(was).map(|(said, was)| Picture {
            event: said.event,
            caption: said.caption,
            shows: said.shows,
            view: said.view,
            ..was.clone()
        });
        reader.finish(picture)
    }
}

impl RowPart for PicturePart {
    const LIST: List = List::Picture;
    const NOUN: &'static str = "picture";
    fn rows(case: &StoredCase) -> &[Row<Picture>] {
        &case.pictures
    }
    fn rows_mut(case: &mut Case) -> &mut Vec<Picture> {
        &mut case.pictures
    }
    fn row_value(value: Picture) -> RowValue {
        RowValue::Picture(value)
    }
}
