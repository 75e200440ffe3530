//! The episodes or the windows of one vessel, all together.

use std::fmt;

use super::{Episode, FlowStep};
use crate::quantity::DurationWords;
use crate::timeline::interval::Elapsed;

/// The lost flow of one vessel, all episodes together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TotalLoss {
    /// How many episodes there were.
    pub episodes: usize,
    /// Their sum. `None` when one of them is unknown.
    pub elapsed: Option<Elapsed>,
    /// Whether the last of them ended in TIMI 3.
    pub restored: bool,
}

impl TotalLoss {
    /// The sum of a vessel's episodes, in their order.
    pub(super) fn of(episodes: &[Episode]) -> Self {
        let whole = match episodes {
            [first, .., last] => Elapsed::between(first.start, last.end()),
            _ => None,
        };
        Self {
            episodes: episodes.len(),
            elapsed: Elapsed::sum_within(episodes.iter().map(Episode::lost_for), whole),
            restored: episodes.last().is_none_or(Episode::is_restored),
        }
    }
}

impl fmt::Display for TotalLoss {
    /// `15 min in 2 episodes`; `at least 50 min, not restored`; `not known`; `none`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write_sum(f, self.elapsed, !self.restored, self.episodes, "episodes")?;
        if self.restored { Ok(()) } else { f.write_str(", not restored") }
    }
}

/// The windows of one kind in one vessel, all together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct WindowTotal {
    /// How many windows there were.
    pub windows: usize,
    /// Their sum. `None` when one of them is unknown.
    pub elapsed: Option<Elapsed>,
    /// Whether the last of them ran to the end of the record, so that the sum is the least that it
    /// was.
    pub censored: bool,
}

impl WindowTotal {
    /// The sum of a vessel's windows, in their order.
    pub(super) fn of(windows: &[FlowStep]) -> Self {
        let whole = match windows {
            [first, .., last] => Elapsed::between(first.from, last.end()),
            _ => None,
        };
        Self {
            windows: windows.len(),
            elapsed: Elapsed::sum_within(windows.iter().map(FlowStep::lasted), whole),
            censored: windows.last().is_some_and(FlowStep::is_censored),
        }
    }
}

impl fmt::Display for WindowTotal {
    /// `15 min in 2 windows`; `at least 50 min, to the last event`; `not known`; `none`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write_sum(f, self.elapsed, self.censored, self.windows, "windows")?;
        if self.censored { f.write_str(", to the last event") } else { Ok(()) }
    }
}

/// A sum of so many parts; an open one lasted at least so long.
fn write_sum(
    f: &mut fmt::Formatter<'_>,
    sum: Option<Elapsed>,
    open: bool,
    parts: usize,
    word: &str,
) -> fmt::Result {
    match sum {
        _ if parts == 0 => return f.write_str("none"),
        None => f.write_str("not known")?,
        Some(sum) if !open => write!(f, "{sum}")?,
        Some(sum) if sum.stated().is_some() => write!(f, "at least {sum}")?,
        // Where only bounds are known, the most says nothing of what came after the record's end.
        Some(sum) if sum.shortest() > 0 => write!(f, "at least {}", DurationWords::of(sum.shortest()))?,
        Some(_) => f.write_str("not known")?,
    }
    if parts > 1 { write!(f, " in {parts} {word}") } else { Ok(()) }
}
