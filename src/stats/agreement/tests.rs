use proptest::prelude::*;

use super::*;

const SCALES: [Scale; 4] = [Scale::Nominal, Scale::Ordinal, Scale::Interval, Scale::Ratio];

#[test]
fn full_agreement_in_two_categories_is_1() {
    let table = vec![vec![3, 0], vec![0, 3], vec![3, 0]];
    assert!((fleiss_kappa(&table).unwrap().kappa - 1.0).abs() < 1e-15);
    for scale in SCALES {
        let alpha = krippendorff_alpha(&[vec![1.0, 1.0], vec![2.0, 2.0, 2.0]], scale).unwrap();
        assert!((alpha - 1.0).abs() < 1e-15);
    }
}

#[test]
fn one_category_throughout_is_undefined_and_not_1() {
    let table = vec![vec![3, 0], vec![3, 0]];
    assert_eq!(fleiss_kappa(&table), Err(AgreementError::OneCategory));
    for scale in SCALES {
        let cases = [vec![2.0, 2.0], vec![2.0, 2.0], vec![5.0]];
        assert_eq!(krippendorff_alpha(&cases, scale), Err(AgreementError::OneCategory));
    }
}

#[test]
fn tables_that_do_not_fit_are_refused() {
    assert_eq!(fleiss_kappa(&[]), Err(AgreementError::NothingToCompare));
    assert_eq!(fleiss_kappa(&[vec![1, 0], vec![0, 1]]), Err(AgreementError::NothingToCompare));
    let unequal = AgreementError::UnequalRatings { case: 2, expected: 3, found: 2 };
    assert_eq!(fleiss_kappa(&[vec![3, 0], vec![1, 1]]), Err(unequal));
    assert_eq!(fleiss_kappa(&[vec![3, 0], vec![3]]), Err(AgreementError::UnequalCategories(2)));
    let alone = [vec![1.0], vec![], vec![2.0]];
    assert_eq!(krippendorff_alpha(&alone, Scale::Nominal), Err(AgreementError::NothingToCompare));
    let bad = [vec![1.0, f64::NAN], vec![1.0, 2.0]];
    assert_eq!(krippendorff_alpha(&bad, Scale::Nominal), Err(AgreementError::BadRating));
    let below = [vec![-1.0, 2.0]];
    assert_eq!(krippendorff_alpha(&below, Scale::Ratio), Err(AgreementError::BadRating));
    assert!(krippendorff_alpha(&below, Scale::Interval).is_ok());
}

#[test]
fn constant_disagreement_is_below_chance() {
    let cases = [vec![1.0, 2.0], vec![2.0, 1.0]];
    // By hand: observed 4 · ½ … all pairs differ; expected 2·2·2/(4·3): α = 1 − 3·4/8 = −0.5.
    let alpha = krippendorff_alpha(&cases, Scale::Nominal).unwrap();
    assert!((alpha + 0.5).abs() < 1e-15, "{alpha}");
}

prop_compose! {
    fn any_cases()(
        cases in prop::collection::vec(prop::collection::vec(1_u8..6, 0..5), 2..30)
    ) -> Vec<Vec<f64>> {
        let mut cases: Vec<Vec<f64>> =
            cases.into_iter().map(|case| case.into_iter().map(f64::from).collect()).collect();
        cases.push(vec![1.0, 2.0]);
        cases
    }
}

proptest! {
    #[test]
    fn alpha_is_at_most_1_and_knows_no_order(cases in any_cases()) {
        let mut turned: Vec<Vec<f64>> = cases.iter().rev().cloned().collect();
        turned.iter_mut().for_each(|case| case.reverse());
        // A case with one rating, or none, says nothing.
        turned.extend([vec![9.0], vec![]]);
        for scale in SCALES {
            let alpha = krippendorff_alpha(&cases, scale).unwrap();
            prop_assert!(alpha <= 1.0 + 1e-12);
            prop_assert!((alpha - krippendorff_alpha(&turned, scale).unwrap()).abs() < 1e-9);
        }
    }

    #[test]
    fn alpha_keeps_under_changes_that_its_scale_allows(cases in any_cases()) {
        let changed = |change: fn(f64) -> f64| -> Vec<Vec<f64>> {
            cases.iter().map(|case| case.iter().map(|&value| change(value)).collect()).collect()
        };
        for (scale, change) in [
            (Scale::Nominal, (|value| (value * 7.0) % 11.0) as fn(f64) -> f64),
            (Scale::Ordinal, |value| value * value * value),
            (Scale::Interval, |value| 32.0 + 1.8 * value),
            (Scale::Ratio, |value| 2.54 * value),
        ] {
            let (there, back) =
                (krippendorff_alpha(&cases, scale), krippendorff_alpha(&changed(change), scale));
            prop_assert!((there.unwrap() - back.unwrap()).abs() < 1e-9, "{scale:?}");
        }
    }

    #[test]
    fn kappa_and_nominal_alpha_agree_on_full_tables(
        rows in prop::collection::vec((0_u32..5, 0_u32..5), 2..40)
    ) {
        let mut table: Vec<Vec<u32>> =
            rows.into_iter().map(|(a, b)| vec![a, b.min(4 - a.min(4)), 4 - a.min(4) - b.min(4 - a.min(4))]).collect();
        table.push(vec![2, 1, 1]);
        let cases: Vec<Vec<f64>> = table
            .iter()
            .map(|row| (0..3_u8).flat_map(|c| std::iter::repeat_n(f64::from(c), row[usize::from(c)] as usize)).collect())
            .collect();
        let (kappa, ratings) = (fleiss_kappa(&table).unwrap().kappa, 4.0 * table.len() as f64);
        let alpha = krippendorff_alpha(&cases, Scale::Nominal).unwrap();
        // α = 1 − (1 − κ)(n − 1)/n: alpha corrects for the size of the sample.
        prop_assert!((alpha - (1.0 - (1.0 - kappa) * (ratings - 1.0) / ratings)).abs() < 1e-12);
    }
}
