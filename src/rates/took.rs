//! How long harms of a mechanism took: until recognised, and until flow was restored.

use crate::stats::proportion::{Interval, Level};
use crate::stats::times::{Quartiles, Waited, median_interval, median_of_waits, quartiles};

/// The times of some harms, in seconds.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Times {
    /// From where each began to where it was recognised.
    pub to_recognition: Vec<f64>,
    /// Without flow: until restored, or at least so long.
    pub without_flow: Vec<(f64, bool)>,
    /// Harms that are counted, whether or not they have times.
    pub harms: usize,
}

/// Times summed up, in seconds.
#[derive(Debug, Clone, PartialEq)]
pub struct Took {
    /// Harms with a time.
    pub number: usize,
    /// Half took no longer; with times that broke off, the product-limit median.
    pub median: Waited,
    /// A quarter took no longer than the first, three quarters no longer than the second; `None`
    /// when times broke off.
    pub quartiles: Option<Quartiles>,
    /// The interval of the median from order statistics, 95 %; `None` below 6 times or when times
    /// broke off.
    pub interval: Option<Interval>,
    /// How many broke off: flow was not restored within the record.
    pub broke_off: usize,
}

impl Times {
    /// From where the harm began to where it was recognised; `None` when no case says.
    #[must_use]
    pub fn recognition(&self) -> Option<Took> {
        let waits: Vec<Waited> = self.to_recognition.iter().map(|time| Waited::Until(*time)).collect();
        took(&waits)
    }

    /// From flow lost to flow restored; `None` when no case says.
    #[must_use]
    pub fn restored_flow(&self) -> Option<Took> {
        let waits: Vec<Waited> = self
            .without_flow
            .iter()
            .map(|&(time, restored)| if restored { Waited::Until(time) } else { Waited::AtLeast(time) })
            .collect();
        took(&waits)
    }
}

fn took(waits: &[Waited]) -> Option<Took> {
    let median = median_of_waits(waits).ok()?;
    let whole: Vec<f64> = waits
        .iter()
        .filter_map(|wait| match wait {
            Waited::Until(time) => Some(*time),
            Waited::AtLeast(_) => None,
        })
        .collect();
    let broke_off = waits.len() - whole.len();
    let median =
        if broke_off == 0 { Waited::Until(crate::stats::times::median(&whole).ok()?) } else { median };
    Some(Took {
        number: waits.len(),
        median,
        quartiles: (broke_off == 0).then(|| quartiles(&whole).ok()).flatten(),
        interval: (broke_off == 0)
            .then(|| median_interval(&whole, Level::NINETY_FIVE).ok().flatten())
            .flatten(),
        broke_off,
    })
}

impl Took {
    /// `Median 4 min 30 s (quartiles 2 min to 9 min; 95 % interval of the median 2 min to 11 min; n = 12)`.
    #[must_use]
    pub fn sentence(&self) -> String {
        let median = match self.median {
            Waited::Until(time) => duration(time),
            Waited::AtLeast(time) => format!("at least {}", duration(time)),
        };
        let mut parts = Vec::new();
        if let Some(quartiles) = &self.quartiles {
            parts.push(format!("quartiles {} and {}", duration(quartiles.first), duration(quartiles.third)));
        }
        if let Some(interval) = self.interval {
            parts.push(format!(
                "95\u{a0}% interval of the median {} to {}",
                duration(interval.lower()),
                duration(interval.upper())
            ));
        }
        match self.broke_off {
            0 => {}
            1 => parts.push("1 was not restored within the record".to_owned()),
            many => parts.push(format!("{many} were not restored within the record")),
        }
        parts.push(format!("n = {}", self.number));
        if self.number < 6 {
            parts.push("too few for an interval".to_owned());
        }
        format!("Median {median} ({}).", parts.join("; "))
    }
}

/// Seconds as people say them, to the second below an hour and to the minute above.
fn duration(seconds: f64) -> String {
    #[expect(clippy::cast_possible_truncation, reason = "a time of a case, at most some weeks")]
    let whole = seconds.round() as i64;
    let (hours, minutes, seconds) = (whole / 3600, whole % 3600 / 60, whole % 60);
    match (hours, minutes, seconds) {
        (0, 0, seconds) => format!("{seconds} s"),
        (0, minutes, 0) => format!("{minutes} min"),
        (0, minutes, seconds) => format!("{minutes} min {seconds} s"),
        (hours, 0, _) => format!("{hours} h"),
        (hours, minutes, _) => format!("{hours} h {minutes} min"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_summed_up_with_their_number() {
        let times = Times { to_recognition: vec![60.0, 120.0, 90.0, 300.0, 45.0, 75.0], ..Times::default() };
        let sentence = times.recognition().unwrap().sentence();
        assert_eq!(
            sentence,
            "Median 1 min 23 s (quartiles 1 min 4 s and 1 min 53 s; 95\u{a0}% interval of the median 45 s to 5 min; n = 6)."
        );
        assert_eq!(Times::default().recognition(), None);
    }

    #[test]
    fn flow_that_never_returned_makes_the_median_at_least() {
        let times =
            Times { without_flow: vec![(600.0, true), (1800.0, false), (3600.0, false)], ..Times::default() };
        let found = times.restored_flow().unwrap();
        assert_eq!(found.broke_off, 2);
        assert_eq!(
            found.sentence(),
            "Median at least 1 h (2 were not restored within the record; n = 3; too few for an interval)."
        );
    }

    #[test]
    fn durations_are_said_as_people_say_them() {
        for (seconds, words) in
            [(45.0, "45 s"), (60.0, "1 min"), (150.0, "2 min 30 s"), (3600.0, "1 h"), (8100.0, "2 h 15 min")]
        {
            assert_eq!(duration(seconds), words);
        }
    }
}
