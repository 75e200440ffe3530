//! Limits of a ratio, which may have no upper end.

/// The limits of a ratio: 0 or more; without an upper limit when nothing was counted below.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RatioInterval {
    lower: f64,
    upper: Option<f64>,
}

impl RatioInterval {
    pub(super) const fn new(lower: f64, upper: Option<f64>) -> Self {
        Self { lower, upper }
    }

    /// The lower limit, 0 or more.
    #[must_use]
    pub const fn lower(self) -> f64 {
        self.lower
    }

    /// The upper limit; `None` means "no upper limit", and a page says so in words.
    #[must_use]
    pub const fn upper(self) -> Option<f64> {
        self.upper
    }

    /// Whether a ratio lies within the limits or on them.
    #[must_use]
    pub fn contains(self, ratio: f64) -> bool {
        self.lower <= ratio && self.upper.is_none_or(|upper| ratio <= upper)
    }

    /// Whether the limits leave out "no difference", a ratio of 1.
    #[must_use]
    pub fn excludes_one(self) -> bool {
        !self.contains(1.0)
    }
}
