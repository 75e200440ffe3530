//! The pictures of a case, a screen each: behind the step of the timeline that tells of their event, so that none is
//! shown before the room has come so far.

use super::{Head, Making, Purpose, fit};
use crate::case::{Key, Picture};
use crate::document::Block;
use crate::review::summary::{moment_and_view, still};

impl Making<'_> {
    /// The pictures of these events.
    pub(super) fn stills(&mut self, of: &[Key]) {
        self.stills_where(|picture| picture.event.as_ref().is_some_and(|key| of.contains(key)));
    }

    /// The pictures of no event: after all stop points, since nobody can say what they tell.
    pub(super) fn other_stills(&mut self) {
        self.stills_where(|picture| picture.event.is_none());
    }

    fn stills_where(&mut self, is_meant: impl Fn(&Picture) -> bool) {
        let case = self.material.case;
        for row in case.pictures.iter().filter(|row| is_meant(&row.value)) {
            let picture = &row.value;
            let (title, _) =
                fit::headline(picture.caption.as_ref().map_or(picture.shows.as_str(), |text| text.as_str()));
            let head = Head::new(format!("picture-{}", row.id), "Picture", title).saying(format!(
                "{}\n{}",
                picture.shows,
                moment_and_view(case, picture)
            ));
            self.add(head, Purpose::Tell, vec![Block::Picture(still(case, row.id, picture))]);
        }
    }
}
