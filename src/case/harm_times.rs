//! How long each harm of a case took: until it was recognised, and until flow was restored.

use super::code::Key;
use super::reading::Reading;
use super::record::{Complication, Event};
use super::stored::Row;
use crate::timeline::{Elapsed, Episode};

/// How long one harm took, in seconds; `None` where the case does not say, or knows an end by its
/// order alone.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HarmTimes {
    /// The harm.
    pub complication: Key,
    /// From where it began to where it was recognised.
    pub recognised_after: Option<i64>,
    /// Without flow in its vessel.
    pub without_flow: Option<WithoutFlow>,
}

/// From flow lost to TIMI 3.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct WithoutFlow {
    /// Seconds; when flow was not restored, at least so many.
    pub seconds: i64,
    /// Whether flow was seen at TIMI 3 again.
    pub restored: bool,
}

impl HarmTimes {
    /// The times of every harm of a case.
    ///
    /// Of the episodes of lost flow in its vessel, a harm takes the first that was not over before
    /// the harm began.
    #[must_use]
    pub fn all_of(events: &[Row<Event>], complications: &[Row<Complication>]) -> Vec<Self> {
        let reading = Reading::of(events, complications);
        complications
            .iter()
            .zip(reading.spans())
            .map(|(row, span)| Self {
                complication: row.value.key.clone(),
                recognised_after: span.to_recognition().and_then(Elapsed::stated),
                without_flow: episode(&reading, &row.value).and_then(|episode| without_flow(&episode)),
            })
            .collect()
    }
}

fn episode(reading: &Reading, harm: &Complication) -> Option<Episode> {
    let vessel = harm.segment?.vessel();
    let began = reading.moment(harm.began.as_ref()?)?;
    let lane = reading.vessels().iter().find(|lane| lane.vessel == vessel)?;
    lane.history
        .episodes()
        .into_iter()
        .find(|episode| episode.restored.is_none_or(|end| end.place() >= began.place()))
}

fn without_flow(episode: &Episode) -> Option<WithoutFlow> {
    let seconds = episode.lost_for()?.stated()?;
    Some(WithoutFlow { seconds, restored: episode.is_restored() })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::case::{Case, CaseCode, StoredCase};

    fn times(flows: &[(&str, &str, u8)], links: &str) -> Vec<HarmTimes> {
        let events: String = flows
            .iter()
            .map(|(key, at, flow)| {
                format!(
                    "[[events]]\nkey = \"{key}\"\nat = \"{at}\"\nkind = \"flow\"\nsegment = \"lad-mid\"\nflow = {flow}\n"
                )
            })
            .collect();
        let text = format!(
            "format = 1\ntitle = \"t\"\nmonth = \"2025-03\"\nstage = \"recorded\"\n{events}
             [[complications]]\nkey = \"c1\"\nmechanism = \"flow-no-reflow\"\nsegment = \"lad-distal\"\n{links}"
        );
        let case: Case = toml::from_str(&text).unwrap();
        let stored = StoredCase::of_file(case, CaseCode::new(2025, 1).unwrap());
        HarmTimes::all_of(&stored.events, &stored.complications)
    }

    #[test]
    fn a_harm_takes_the_episode_that_was_not_over_when_it_began() {
        let flows = [
            ("a", "+0:00", 3),
            ("b", "+1:00", 0),
            ("c", "+3:00", 3),
            ("d", "+10:00", 1),
            ("e", "+12:30", 2),
            ("f", "+22:00", 3),
        ];
        let found = times(&flows, "began = \"d\"\nrecognised = \"e\"\n");
        assert_eq!(found[0].recognised_after, Some(150));
        assert_eq!(found[0].without_flow, Some(WithoutFlow { seconds: 720, restored: true }));
        let found = times(&flows, "began = \"a\"\n");
        assert_eq!(found[0].recognised_after, None);
        assert_eq!(found[0].without_flow, Some(WithoutFlow { seconds: 120, restored: true }));
    }

    #[test]
    fn flow_that_did_not_return_lasted_at_least_to_the_end() {
        let found = times(&[("a", "+0:00", 3), ("b", "+5:00", 0), ("c", "+30:00", 1)], "began = \"b\"\n");
        assert_eq!(found[0].without_flow, Some(WithoutFlow { seconds: 1500, restored: false }));
    }

    #[test]
    fn a_harm_that_does_not_say_where_it_began_has_no_times() {
        let found = times(&[("a", "+0:00", 0), ("b", "+5:00", 3)], "");
        assert_eq!((found[0].recognised_after, found[0].without_flow), (None, None));
    }
}
