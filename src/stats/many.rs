//! Many mechanisms looked at together: p-values adjusted for their number.

/// Not a probability at this place of the list.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[error("a p-value lies from 0 to 1, and number {place} of the list is {value}")]
pub struct NotAProbability {
    /// Place in the list, from 1.
    pub place: usize,
    /// What stood there.
    pub value: f64,
}

/// Adjusted p-values in the order given: among all those at or below a threshold q, the expected
/// share of false alarms is at most q, for independent tests.
///
/// # Formula
/// ```text
/// of m values in rising order, the i-th becomes min over j ≥ i of m·p₍ⱼ₎/j, at most 1
/// ```
/// # Source
/// Benjamini & Hochberg, J R Stat Soc B 1995;57:289 (from memory).
/// # Errors
/// [`NotAProbability`] for a value below 0, above 1 or no number.
pub fn benjamini_hochberg(p_values: &[f64]) -> Result<Vec<f64>, NotAProbability> {
    for (index, &value) in p_values.iter().enumerate() {
        if !(0.0..=1.0).contains(&value) {
            return Err(NotAProbability { place: index + 1, value });
        }
    }
    let mut falling: Vec<(usize, f64)> = p_values.iter().copied().enumerate().collect();
    falling.sort_by(|one, other| other.1.total_cmp(&one.1));
    let mut adjusted = p_values.to_vec();
    let mut least = 1.0_f64;
    let number = p_values.len();
    for (above, (index, value)) in falling.into_iter().enumerate() {
        let rank = number - above;
        least = least.min(value * (number as f64 / rank as f64));
        if let Some(place) = adjusted.get_mut(index) {
            *place = least;
        }
    }
    Ok(adjusted)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn four_of_the_fifteen_published_values_stay_below_0_05() {
        // The 15 p-values of Benjamini & Hochberg 1995, section 4.3 (from memory), not in order.
        let published = [
            1.0, 0.0001, 0.759, 0.0004, 0.6528, 0.0019, 0.5719, 0.0095, 0.4262, 0.0201, 0.324, 0.0278,
            0.0459, 0.0298, 0.0344,
        ];
        let adjusted = benjamini_hochberg(&published).unwrap();
        let below: Vec<f64> =
            published.iter().zip(&adjusted).filter(|(_, a)| **a <= 0.05).map(|(p, _)| *p).collect();
        assert_eq!(below, [0.0001, 0.0004, 0.0019, 0.0095]);
    }

    #[test]
    fn what_is_no_probability_is_refused_with_its_place() {
        for value in [-0.01, 1.01, f64::INFINITY] {
            assert_eq!(benjamini_hochberg(&[0.5, value]), Err(NotAProbability { place: 2, value }));
        }
        assert!(benjamini_hochberg(&[f64::NAN]).is_err());
        assert_eq!(benjamini_hochberg(&[]), Ok(Vec::new()));
        assert_eq!(benjamini_hochberg(&[0.03]), Ok(vec![0.03]));
    }

    proptest! {
        #[test]
        fn adjusting_raises_values_and_keeps_their_order(values in prop::collection::vec(0.0_f64..=1.0, 1..40)) {
            let adjusted = benjamini_hochberg(&values).unwrap();
            for (value, after) in values.iter().zip(&adjusted) {
                prop_assert!(value <= after && *after <= 1.0);
                for (other, other_after) in values.iter().zip(&adjusted) {
                    prop_assert!(value > other || after <= other_after);
                }
            }
        }
    }
}
