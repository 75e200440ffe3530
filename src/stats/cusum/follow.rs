//! A CUSUM that follows a series.

use super::{Cusum, Watch};
use crate::stats::proportion::Count;

/// What happens to S at a signal.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum AfterSignal {
    /// S returns to 0 and the watch begins anew: for a signal that was acted on.
    Restart,
    /// S goes on, and the next signal comes when it has fallen below the limit and reached it again.
    GoOn,
}

/// S over one lot of procedures (a month, a day).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Lot {
    /// S at its end, in steps; at a signal, before any restart.
    pub s: u64,
    /// Whether a signal came with it.
    pub signal: bool,
}

/// A signal.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Signal {
    /// The last procedure of the lot that made it, counted from 1 over the whole series.
    pub procedure: u64,
    /// The position of its lot, from 0.
    pub lot: usize,
}

/// The whole way of S.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Track {
    /// One element a lot, in the order given.
    pub lots: Vec<Lot>,
    /// The signals, in order.
    pub signals: Vec<Signal>,
}

impl Cusum {
    /// Follows counts, in time order, from S = 0. The work is by lot, not by procedure.
    ///
    /// Within a lot the order is unknown, so its procedures count together, at its end: S takes the
    /// sum of their scores. Whatever the true order was, the CUSUM that knew it would have signalled
    /// no later, so the run length until a false signal is at least the one that
    /// [`Cusum::run_length`] states, and a real change is seen a little later. A lot of one procedure
    /// is exact. (To put a month's events behind its other procedures instead would bunch them, and
    /// false signals would come more often than stated.)
    ///
    /// A late entry changes what follows it: follow the series again, which gives the same integers
    /// for all that did not change.
    #[must_use]
    pub fn follow(self, lots: &[Count], after: AfterSignal) -> Track {
        let (event, limit) = (u64::from(self.lattice().m() - 1), u64::from(self.limit()));
        let (mut s, mut procedures, mut track) = (0_u64, 0, Track::default());
        for (at, count) in lots.iter().enumerate() {
            let (of_events, without) = (count.events() * event, count.procedures() - count.events());
            let (up, down) = match self.lattice().watch() {
                Watch::Worsening => (of_events, without),
                Watch::Improvement => (without, of_events),
            };
            let was_below = s < limit;
            s = (s + up).saturating_sub(down);
            procedures += count.procedures();
            let signal = was_below && s >= limit;
            track.lots.push(Lot { s, signal });
            if signal {
                track.signals.push(Signal { procedure: procedures, lot: at });
                if after == AfterSignal::Restart {
                    s = 0;
                }
            }
        }
        track
    }
}
