//! The pictures of a case, each with its moment and view under it.

use super::Writing;
use crate::case::reading::words::short_time;
use crate::case::{Event, StoredCase};
use crate::document::{Document, Phrase, Picture};

impl Writing<'_> {
    /// The pictures, in the order of their events.
    pub(super) fn stills(&self, document: &mut Document) {
        for row in &self.case.pictures {
            document.picture(still(self.case, row.id, &row.value));
        }
    }
}

/// Where a page finds the PNG of a picture.
#[must_use]
pub fn still_address(case: &StoredCase, id: i64) -> String {
    format!("/cases/{}/pictures/{id}/still.png", case.code)
}

/// A picture of a case as a block.
#[must_use]
pub fn still(case: &StoredCase, id: i64, picture: &crate::case::Picture) -> Picture {
    let lead = picture.caption.as_ref().map(|caption| {
        let text = caption.as_str().trim_end_matches('.');
        Phrase::new().strong(format!("{text}. "))
    });
    Picture {
        address: still_address(case, id),
        png: None,
        width: picture.still.width,
        height: picture.still.height,
        alternative: picture.shows.to_string(),
        caption: lead.unwrap_or_default().quiet(moment_and_view(case, picture)),
    }
}

/// When it was and how the tube stood: `Event 4, +12:30. RAO 30 caudal 20.`
#[must_use]
pub fn moment_and_view(case: &StoredCase, picture: &crate::case::Picture) -> String {
    let place = case.events.iter().position(|row| Some(&row.value.key) == picture.event.as_ref());
    let moment = place.map(|index| {
        let event: &Event = &case.events[index].value;
        format!("Event {}, {}.", index + 1, short_time(event.at, event.time))
    });
    let view = picture.view.map(|view| format!("{view}."));
    let parts: Vec<String> = [moment, view].into_iter().flatten().collect();
    if parts.is_empty() { "Of no moment of the timeline.".to_owned() } else { parts.join(" ") }
}
