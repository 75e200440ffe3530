//! A vessel's flow over time, and its episodes of lost flow.
//!
//! Flow is seen at moments and stays as last seen until it is seen again. Flow counts as lost at
//! TIMI 0 and 1, as reduced at TIMI 2, as restored at TIMI 3.
//!
//! Two measures, not to be added up: a *window* is a stretch without flow, or of reduced flow,
//! alone; an *episode* runs from lost to TIMI 3, and so holds the reduced flow on the way there.

mod total;

pub use total::{TotalLoss, WindowTotal};

use super::interval::{Elapsed, Moment};
use crate::quantity::{Offset, TimiFlow};

/// Flow as seen at one moment.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FlowSight {
    /// When it was seen.
    pub moment: Moment,
    /// What was seen.
    pub flow: TimiFlow,
}

/// Flow that stayed the same from one moment until another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FlowStep {
    /// When it was first seen so.
    pub from: Moment,
    /// When it was first seen otherwise; `None` when it stayed so until the case's last event.
    pub until: Option<Moment>,
    /// The flow; for a window over several grades, the worst of them.
    pub flow: TimiFlow,
    /// The end of the record, where a step without an end is cut off.
    censored_at: Moment,
}

impl FlowStep {
    /// Whether it ran to the end of the record, and so lasted at least as long as it says.
    #[must_use]
    pub const fn is_censored(&self) -> bool {
        self.until.is_none()
    }

    /// From when it was first seen so to when it was first seen otherwise, or to the end of the
    /// record when it is censored. `None`: unknown.
    #[must_use]
    pub fn lasted(&self) -> Option<Elapsed> {
        Elapsed::between(self.from, self.end())
    }

    fn end(&self) -> Moment {
        self.until.unwrap_or(self.censored_at)
    }
}

/// An episode of lost flow in one vessel.
///
/// # Source
/// Our own measure: start is the first time flow is seen at TIMI 0 or 1, end the first later time
/// it is seen at TIMI 3. Falling back to TIMI 0 or 1 before TIMI 3 is reached does not begin
/// another episode.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Episode {
    /// When flow was first seen lost.
    pub start: Moment,
    /// When flow was last seen at TIMI 2 or 3 before that. `None` when the vessel was without flow
    /// at the first look.
    pub last_open: Option<Moment>,
    /// When flow was first seen at TIMI 2 or 3 again.
    pub partial: Option<Moment>,
    /// When flow was first seen at TIMI 3 again. `None`: not restored.
    pub restored: Option<Moment>,
    /// The worst flow seen during the episode.
    pub worst: TimiFlow,
    /// The case's last event, where an episode without an end is cut off.
    censored_at: Moment,
}

impl Episode {
    /// Whether TIMI 3 was seen again.
    #[must_use]
    pub const fn is_restored(&self) -> bool {
        self.restored.is_some()
    }

    /// From flow seen lost to TIMI 3, or to the case's last event when it was not restored (it then
    /// lasted at least so long). `None`: unknown.
    #[must_use]
    pub fn lost_for(&self) -> Option<Elapsed> {
        Elapsed::between(self.start, self.end())
    }

    /// From flow seen lost to TIMI 2 or better. `None`: it was not seen, or unknown.
    #[must_use]
    pub fn to_partial(&self) -> Option<Elapsed> {
        Elapsed::between(self.start, self.partial?)
    }

    /// The longest that the episode can have been, because its onset is only observed: from the
    /// last earlier sight of TIMI 2 or 3. `None` without such a sight, or when unknown.
    #[must_use]
    pub fn longest_possible(&self) -> Option<Elapsed> {
        Elapsed::between(self.last_open?, self.end())
    }

    fn end(&self) -> Moment {
        self.restored.unwrap_or(self.censored_at)
    }
}

/// The flow of one vessel, from its first sight to the case's last event.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FlowHistory {
    sights: Vec<FlowSight>,
    end: Moment,
}

impl FlowHistory {
    /// A vessel's history from its sights, in any order, in a case whose last event is at
    /// `last_event`. A sight after that moves the end.
    #[must_use]
    pub fn new(mut sights: Vec<FlowSight>, last_event: Offset) -> Self {
        sights.sort_by_key(|sight| sight.moment.place());
        let last = sights.iter().map(|sight| sight.moment.at()).fold(last_event, Offset::max);
        Self { sights, end: Moment::end(last) }
    }

    /// The sights in order.
    #[must_use]
    pub fn sights(&self) -> &[FlowSight] {
        &self.sights
    }

    /// The flow as a step function: one step for each stretch of one grade.
    #[must_use]
    pub fn steps(&self) -> Vec<FlowStep> {
        self.stretches(|_| true, |a, b| a == b)
    }

    /// The windows of no flow: TIMI 0 and 1.
    #[must_use]
    pub fn lost(&self) -> Vec<FlowStep> {
        self.stretches(TimiFlow::is_lost, |_, _| true)
    }

    /// The windows of reduced flow: TIMI 2.
    #[must_use]
    pub fn reduced(&self) -> Vec<FlowStep> {
        self.stretches(|flow| flow.grade() == 2, |_, _| true)
    }

    /// Stretches of sights that belong, where neighbours are one stretch when they go together.
    fn stretches(
        &self,
        belongs: impl Fn(TimiFlow) -> bool,
        go_together: impl Fn(TimiFlow, TimiFlow) -> bool,
    ) -> Vec<FlowStep> {
        let mut found: Vec<FlowStep> = Vec::new();
        let mut open = false;
        for sight in &self.sights {
            if open && let Some(last) = found.last_mut() {
                if belongs(sight.flow) && go_together(last.flow, sight.flow) {
                    last.flow = last.flow.min(sight.flow);
                    continue;
                }
                last.until = Some(sight.moment);
            }
            open = belongs(sight.flow);
            if open {
                found.push(FlowStep {
                    from: sight.moment,
                    until: None,
                    flow: sight.flow,
                    censored_at: self.end,
                });
            }
        }
        found
    }

    /// The episodes of lost flow, in order; they never overlap.
    #[must_use]
    pub fn episodes(&self) -> Vec<Episode> {
        let mut found: Vec<Episode> = Vec::new();
        let mut last_open = None;
        let mut running = false;
        for sight in &self.sights {
            match found.last_mut().filter(|_| running) {
                Some(episode) => {
                    episode.worst = episode.worst.min(sight.flow);
                    if !sight.flow.is_lost() {
                        episode.partial = episode.partial.or(Some(sight.moment));
                    }
                    if sight.flow.grade() == 3 {
                        episode.restored = Some(sight.moment);
                        running = false;
                    }
                }
                None if sight.flow.is_lost() => {
                    running = true;
                    found.push(Episode {
                        start: sight.moment,
                        last_open,
                        partial: None,
                        restored: None,
                        worst: sight.flow,
                        censored_at: self.end,
                    });
                }
                None => {}
            }
            if !sight.flow.is_lost() {
                last_open = Some(sight.moment);
            }
        }
        found
    }

    /// The sum over the vessel's episodes. Never summed across vessels.
    #[must_use]
    pub fn total(&self) -> TotalLoss {
        TotalLoss::of(&self.episodes())
    }

    /// The sum over the vessel's windows of TIMI 0 and 1. Never summed across vessels.
    #[must_use]
    pub fn total_without_flow(&self) -> WindowTotal {
        WindowTotal::of(&self.lost())
    }

    /// The sum over the vessel's windows of TIMI 2. Never summed across vessels.
    #[must_use]
    pub fn total_reduced(&self) -> WindowTotal {
        WindowTotal::of(&self.reduced())
    }
}

#[cfg(test)]
mod tests;
