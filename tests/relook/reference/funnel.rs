//! Funnel limits against scipy's binomial distribution.

use relook::stats::funnel::{Target, limits};
use relook::stats::proportion::Level;

use super::{Worst, rows};

#[test]
fn funnel_limits_are_those_of_scipy() {
    let mut interpolated = Worst::of("funnel limits", 1e-9);
    let mut clipped = Worst::of("funnel limits, clipped", 1e-9);
    for row in rows("funnel_limits.csv", 96) {
        let (n, target, level) = (row.count("n"), row.number("p0"), row.number("level"));
        let side = row.text("side");
        let found = limits(n, Target::new(target).unwrap(), Level::new(level).unwrap()).unwrap();
        let limit = match side {
            "lo" => found.lower(),
            "hi" => found.upper(),
            other => panic!("no side {other}"),
        };
        let place = format!("{n} around {target} at {level}, {side}");
        assert_eq!(limit.quantile(), row.count("binomial_quantile"), "{place}");
        interpolated.compare(&place, limit.interpolated(), row.number("interpolated"));
        clipped.compare(&place, limit.clipped(), row.number("clipped"));
    }
    interpolated.report();
    clipped.report();
}
