//! What of a drawing is known at its stop point.

use super::{Bracket, Lane, TimelineDrawing};
use crate::quantity::Offset;

impl TimelineDrawing {
    /// The drawing in order of time, less everything after its veil.
    pub(super) fn known(&self) -> Self {
        let mut known = self.clone();
        if let Some(veil) = self.veil_from {
            known.marks.retain(|mark| mark.at <= veil);
            for mark in &mut known.marks {
                // The far end of an uncertain time would tell that something is still to come.
                mark.bounds = mark.bounds.map(|ends| not_after(ends, veil));
            }
            for lane in &mut known.lanes {
                lane.sights.retain(|sight| sight.at <= veil);
                for sight in &mut lane.sights {
                    sight.bounds = sight.bounds.map(|ends| not_after(ends, veil));
                }
            }
            known.brackets =
                self.brackets.iter().filter_map(|bracket| known_bracket(bracket, veil)).collect();
            known.drop_unseen_lanes();
        }
        known.marks.sort_by_key(|mark| (mark.at, mark.number));
        for lane in &mut known.lanes {
            lane.sights.sort_by_key(|sight| sight.at);
        }
        known
    }

    /// Leaves out the vessels of which nothing is known yet, and says no mark is on them.
    fn drop_unseen_lanes(&mut self) {
        let has_mark = |index: usize| self.marks.iter().any(|mark| mark.lane == Some(index));
        let mut keep: Vec<bool> = (0..self.lanes.len())
            .map(|index| !self.lanes[index].sights.is_empty() || has_mark(index))
            .collect();
        // A branch keeps the vessel that it hangs from.
        for index in (1..keep.len()).rev() {
            if keep[index] && self.lanes[index].depth > 0 {
                let parent = (0..index).rev().find(|&above| self.lanes[above].depth == 0);
                if let Some(parent) = parent {
                    keep[parent] = true;
                }
            }
        }
        let mut index = 0;
        let places: Vec<Option<usize>> = keep
            .iter()
            .map(|&kept| {
                kept.then(|| {
                    index += 1;
                    index - 1
                })
            })
            .collect();
        for mark in &mut self.marks {
            mark.lane = mark.lane.and_then(|lane| places.get(lane).copied().flatten());
        }
        let lanes: Vec<Lane> = std::mem::take(&mut self.lanes);
        self.lanes = lanes.into_iter().zip(keep).filter_map(|(lane, kept)| kept.then_some(lane)).collect();
    }
}

fn not_after((earliest, latest): (Offset, Offset), veil: Offset) -> (Offset, Offset) {
    (earliest.min(veil), latest.min(veil))
}

/// A complication as known at a stop point: not at all before it was recognised.
fn known_bracket(bracket: &Bracket, veil: Offset) -> Option<Bracket> {
    let recognised = bracket.recognised.filter(|&at| at <= veil)?;
    let responded = bracket.responded.filter(|&at| at <= veil);
    let controlled = bracket.controlled.filter(|&at| at <= veil);
    Some(Bracket {
        label: bracket.label.clone(),
        began: bracket.began.filter(|&at| at <= veil),
        recognised: Some(recognised),
        responded,
        controlled,
        to_recognition: bracket.to_recognition.clone(),
        to_response: bracket.to_response.clone().filter(|_| responded.is_some()),
        to_control: bracket.to_control.clone().filter(|_| controlled.is_some()),
    })
}
