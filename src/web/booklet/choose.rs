//! The choice of lessons: what differs from what the form showed is changed, and nothing else, so that two people
//! who tick at once do not undo each other.

use std::collections::BTreeSet;

use axum::extract::State;
use axum::response::Response;

use super::page::{in_it, respond};
use super::{PATH, read_year};
use crate::case::reading::words::count;
use crate::review::booklet::store::{Offered, choose as put, offered};
use crate::web::error::Error;
use crate::web::form::{FieldError, Reader, Values};
use crate::web::frame::{Visit, lead_to};
use crate::web::state::App;

/// The ticks of a form, beside what it showed.
struct Sent {
    ticked: BTreeSet<i64>,
    /// What the form offered, and whether it showed a tick.
    shown: BTreeSet<i64>,
    were_ticked: BTreeSet<i64>,
}

impl Sent {
    fn read(values: &Values) -> Result<Self, Vec<FieldError>> {
        let mut reader = Reader::new(values);
        let mut ids = |name: &str| {
            let mut ids = BTreeSet::new();
            for text in values.all(name) {
                match text.trim().parse::<i64>() {
                    Ok(id) => {
                        ids.insert(id);
                    }
                    Err(_) => {
                        reader.mark("lesson", "This is no lesson of the list. Tick lessons of the list.")
                    }
                }
            }
            ids
        };
        let sent = Self { ticked: ids("lesson"), shown: ids("shown"), were_ticked: ids("was") };
        match reader.finish(Some(sent)) {
            Ok(sent) => Ok(sent),
            Err(mut errors) => {
                errors.truncate(1);
                Err(errors)
            }
        }
    }

    /// What somebody changed: the lesson, and whether it is to be in the booklet.
    fn changes(&self) -> Vec<(i64, bool)> {
        self.shown
            .iter()
            .map(|id| (*id, self.were_ticked.contains(id), self.ticked.contains(id)))
            .filter(|(_, was, is)| was != is)
            .map(|(id, _, is)| (id, is))
            .collect()
    }
}

pub(super) async fn choose(State(app): State<App>, visit: Visit, values: Values) -> Result<Response, Error> {
    let (year, sent) = match (read_year(&values), Sent::read(&values)) {
        (Ok(Some(year)), Ok(sent)) => (year, sent),
        (year, sent) => {
            let year = year.and_then(|year| {
                let missing =
                    || FieldError { name: "year".to_owned(), message: "Say of which year.".to_owned() };
                year.map(Some).ok_or_else(|| vec![missing()])
            });
            let typed = values.all("lesson").map(str::to_owned).collect();
            return respond(&app, &visit, year, &values, Some((typed, sent.err().unwrap_or_default()))).await;
        }
    };
    let mut tx = app.database.write().await?;
    let lessons = offered(&mut tx, year, visit.sight()).await?;
    let is_offered = |id: i64| lessons.iter().any(|one: &Offered| one.id == id);
    let (known, gone): (Vec<_>, Vec<_>) = sent.changes().into_iter().partition(|(id, _)| is_offered(*id));
    for chosen in [true, false] {
        let ids: Vec<i64> = known.iter().filter(|(_, is)| *is == chosen).map(|(id, _)| *id).collect();
        put(&mut tx, &ids, chosen).await?;
    }
    let now = offered(&mut tx, year, visit.sight()).await?;
    tx.commit().await?;
    let chosen = now.iter().filter(|one| one.chosen).count();
    let gone = match gone.len() {
        0 => String::new(),
        1 => " One lesson that you ticked or unticked is no longer on offer.".to_owned(),
        several => {
            format!(" {} lessons that you ticked or unticked are no longer on offer.", count(several))
        }
    };
    let text = format!("Saved {}. {}.{gone}", app.clock(), in_it(chosen, now.len()));
    Ok(lead_to(&format!("{PATH}?year={year}"), &text, None))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_differs_from_what_was_shown_is_changed() {
        let sent = |query: &str| Sent::read(&Values::from_encoded(query));
        let one = sent("shown=1&shown=2&shown=3&was=1&was=2&lesson=1&lesson=3").unwrap();
        assert_eq!(one.changes(), [(2, false), (3, true)]);
        // A lesson that the form did not show is none of its business.
        assert!(sent("shown=1&was=1&lesson=1&lesson=9").unwrap().changes().is_empty());
        assert_eq!(sent("shown=1&lesson=x&was=<b>").err().unwrap().len(), 1);
    }
}
