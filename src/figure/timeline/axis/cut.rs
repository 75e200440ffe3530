//! Which gaps are cut out of the axis.

/// At most so many breaks.
const MOST_BREAKS: usize = 6;
/// What is shorter than this is never cut out, in seconds.
const LEAST_GAP: i64 = 60 * 60;
/// With fewer moments than this there is nothing to squeeze.
const LEAST_MOMENTS: usize = 6;

/// Which gaps between sorted times are cut out.
pub(super) enum Cut {
    /// These, and one scale for the rest.
    At(Vec<usize>),
    /// Only this one, and a smaller scale after it.
    Once(usize),
}

/// The gaps between sorted times that are cut out: as many as can be of which even the shortest is
/// far longer than gaps in this case are, and would take three quarters of the room of all that is
/// left.
pub(super) fn gaps_to_cut(times: &[i64]) -> Cut {
    if times.len() < LEAST_MOMENTS {
        return Cut::At(Vec::new());
    }
    let mut gaps: Vec<(i64, usize)> =
        times.windows(2).enumerate().map(|(index, pair)| (pair[1] - pair[0], index)).collect();
    gaps.sort_unstable_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(&b.1)));
    let least = LEAST_GAP.max(6 * gaps[gaps.len() * 2 / 3].0);
    let mut rest: i64 = gaps.iter().map(|(gap, _)| gap).sum();
    let mut count = 0;
    for (index, (gap, _)) in gaps.iter().enumerate() {
        rest -= gap;
        if *gap >= least && 4 * gap >= 3 * rest {
            count = index + 1;
        }
    }
    let mut cut: Vec<usize> = gaps.iter().take(count).map(|(_, index)| *index).collect();
    cut.sort_unstable();
    match cut.first() {
        Some(&first) if count > MOST_BREAKS => Cut::Once(first),
        _ => Cut::At(cut),
    }
}
