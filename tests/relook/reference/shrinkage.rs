//! Shrinkage against scipy.

use relook::stats::proportion::{Count, Level};
use relook::stats::shrinkage::{Fit, Prior, fit};

use super::{Row, Worst, rows};

fn count(row: &Row) -> Count {
    Count::new(row.count("k"), row.count("n")).unwrap()
}

fn check(mean: &mut Worst, limits: &mut Worst, prior: Prior, row: &Row) {
    let (unit, place) = (count(row), format!("{}/{}", row.text("k"), row.text("n")));
    let found = prior.shrink(unit, Level::NINETY_FIVE);
    mean.compare(&place, found.mean(), row.number("posterior_mean"));
    limits.compare(&place, found.interval().lower(), row.number("lo"));
    limits.compare(&place, found.interval().upper(), row.number("hi"));
}

#[test]
fn rates_under_a_fixed_prior_are_those_of_scipy() {
    let mut mean = Worst::of("shrunken rate, fixed prior", 1e-12);
    let mut limits = Worst::of("its limits", 1e-9);
    for row in rows("shrinkage_fixed_prior.csv", 8) {
        check(&mut mean, &mut limits, Prior::new(2.0, 98.0).unwrap(), &row);
    }
    mean.report();
    limits.report();
}

#[test]
fn rates_under_the_prior_that_scipy_found_are_those_of_scipy() {
    let mut mean = Worst::of("shrunken rate, scipy's prior", 1e-12);
    let mut limits = Worst::of("its limits", 1e-9);
    for row in rows("extra_shrinkage_ml.csv", 10) {
        check(&mut mean, &mut limits, Prior::new(row.number("a"), row.number("b")).unwrap(), &row);
    }
    mean.report();
    limits.report();
}

#[test]
fn the_fitted_prior_is_that_of_scipy_as_far_as_the_flat_surface_tells() {
    // Two libraries agree on the shapes to six digits and no more, so the shapes get 1e-5, the rates
    // 1e-5, and their common mean 1e-6.
    let mut centre = Worst::of("mean of the fitted prior", 1e-6);
    let mut shapes = Worst::of("shapes of the fitted prior", 1e-5);
    let mut mean = Worst::of("shrunken rate, our fit", 1e-5);
    let mut limits = Worst::of("its limits", 1e-5);
    let rows = rows("extra_shrinkage_ml.csv", 10);
    let units: Vec<Count> = rows.iter().map(count).collect();
    let Fit::Differ(prior) = fit(&units).unwrap() else { panic!("these units differ") };
    for row in &rows {
        let (a, b) = (row.number("a"), row.number("b"));
        centre.compare("all", prior.mean(), a / (a + b));
        shapes.compare("a", prior.a(), a);
        shapes.compare("b", prior.b(), b);
        check(&mut mean, &mut limits, prior, row);
    }
    for worst in [centre, shapes, mean, limits] {
        worst.report();
    }
}

#[test]
fn where_scipy_runs_off_to_infinity_there_is_no_difference_beyond_chance() {
    let rows = rows("shrinkage_fixed_prior.csv", 8);
    let units: Vec<Count> = rows.iter().map(count).collect();
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/check-values/shrinkage_ml.txt");
    let text = std::fs::read_to_string(path).unwrap();
    let value = |name: &str| -> f64 {
        let found = text.split_whitespace().find_map(|part| part.strip_prefix(name));
        found.unwrap_or_else(|| panic!("no {name} in {path}")).parse().unwrap()
    };
    assert!(value("a=") + value("b=") > Prior::MOST);
    let Fit::NoDifferenceBeyondChance { pooled } = fit(&units).unwrap() else { panic!("no difference") };
    // Its search gave up on the flat surface: the mean it stopped at is the pooled rate to 3e-4 only.
    let mut worst = Worst::of("pooled rate where the search gave up", 3e-4);
    worst.compare("eight units", pooled.proportion(), value("mean="));
    worst.report();
}
