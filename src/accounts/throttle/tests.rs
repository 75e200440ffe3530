//! Guessing is slowed down, a ward is not, and the clock may jump.

use super::counts::MOST_ENTRIES;
use super::*;

const HOUR: i64 = 3600;

fn at(second: i64) -> Timestamp {
    Timestamp::from_second(1_700_000_000 + second).unwrap()
}

fn address(last: u8) -> IpAddr {
    IpAddr::from([10, 0, 0, last])
}

/// Tries until a wait is asked for, all at one moment; how many went through, and the wait.
fn guess(throttle: &mut Throttle, account: &str, address: IpAddr, now: Timestamp) -> (usize, i64) {
    for count in 0..10_000 {
        if let Err(wait) = throttle.begin(Some(account), address, now) {
            return (count, wait.seconds);
        }
    }
    panic!("nothing stopped the guessing");
}

#[test]
fn five_slips_are_free_and_then_the_wait_doubles_to_a_quarter_of_an_hour() {
    let mut throttle = Throttle::default();
    let (mut now, mut waits) = (0, Vec::new());
    assert_eq!(guess(&mut throttle, "Ana", address(1), at(0)), (5, 2));
    for _ in 0..12 {
        let (through, wait) = guess(&mut throttle, "Ana", address(1), at(now));
        assert!(through <= 1);
        waits.push(wait);
        now += wait;
    }
    assert_eq!(waits, [2, 4, 8, 16, 32, 64, 128, 256, 512, 900, 900, 900]);
}

#[test]
fn a_try_that_has_to_wait_does_not_make_the_wait_longer() {
    let mut throttle = Throttle::default();
    guess(&mut throttle, "Ana", address(1), at(0));
    for _ in 0..50 {
        assert_eq!(throttle.begin(Some("Ana"), address(1), at(1)), Err(Wait { seconds: 1 }));
    }
    assert_eq!(throttle.begin(Some("Ana"), address(1), at(2)), Ok(()));
}

#[test]
fn a_right_try_forgets_the_slips_and_an_hour_does_too() {
    let mut throttle = Throttle::default();
    guess(&mut throttle, "Ana", address(1), at(0));
    assert_eq!(throttle.begin(Some("Ana"), address(1), at(2)), Ok(()));
    throttle.succeeded(Some("Ana"), address(1), at(2));
    assert_eq!(guess(&mut throttle, "Ana", address(1), at(3)).0, 5);
    assert_eq!(guess(&mut throttle, "Ana", address(1), at(3 + HOUR)).0, 5);
}

#[test]
fn one_who_guesses_does_not_stop_others_of_the_ward() {
    let mut throttle = Throttle::default();
    for round in 0..20 {
        guess(&mut throttle, "Ana", address(1), at(round * 900));
    }
    for person in 0..40 {
        let name = format!("Person {person}");
        assert_eq!(throttle.begin(Some(&name), address(1), at(18_000)), Ok(()), "{name}");
        throttle.succeeded(Some(&name), address(1), at(18_000));
    }
}

#[test]
fn one_who_guesses_elsewhere_does_not_stop_the_person() {
    let mut throttle = Throttle::default();
    throttle.remember("Ana", address(1), at(0));
    for other in 2..60 {
        while throttle.begin(Some("ana "), address(other), at(1)).is_ok() {}
    }
    assert_eq!(throttle.begin(Some("Ana"), address(1), at(2)), Ok(()), "where she signed in before");
    assert!(throttle.begin(Some("Ana"), address(200), at(2)).is_err(), "somewhere new");
}

#[test]
fn an_account_is_tried_fifty_times_from_everywhere_and_then_twice_an_hour() {
    let mut throttle = Throttle::default();
    let tried = |throttle: &mut Throttle, now| {
        (0..=255).filter(|last| throttle.begin(Some("Ana"), address(*last), now).is_ok()).count()
    };
    assert_eq!(tried(&mut throttle, at(0)), 50);
    assert_eq!(tried(&mut throttle, at(HOUR - 1)), 1);
    assert_eq!(tried(&mut throttle, at(HOUR)), 1);
}

#[test]
fn one_address_tries_three_hundred_accounts_and_then_one_each_two_seconds() {
    let mut throttle = Throttle::default();
    let tried = |throttle: &mut Throttle, now, from: usize| {
        (from..from + 1000)
            .filter(|n| throttle.begin(Some(&format!("a{n}")), address(1), now).is_ok())
            .count()
    };
    assert_eq!(tried(&mut throttle, at(0), 0), 300);
    assert_eq!(tried(&mut throttle, at(60), 1000), 30);
    // Whoever signed in there before still gets in.
    throttle.remember("Ana", address(1), at(60));
    assert_eq!(throttle.begin(Some("Ana"), address(1), at(60)), Ok(()));
    // Nor is another address stopped.
    assert_eq!(throttle.begin(Some("Ben"), address(2), at(60)), Ok(()));
}

#[test]
fn what_has_no_account_is_counted_by_address_alone() {
    let mut throttle = Throttle::default();
    let tried = (0..1000).filter(|_| throttle.begin(None, address(1), at(0)).is_ok()).count();
    assert_eq!(tried, 300);
    assert_eq!(throttle.begin(None, address(2), at(0)), Ok(()));
}

#[test]
fn a_name_that_nobody_has_waits_like_any_other_and_case_and_spaces_do_not_help() {
    let mut throttle = Throttle::default();
    assert_eq!(guess(&mut throttle, "nobody at all", address(1), at(0)), (5, 2));
    assert!(throttle.begin(Some(" Nobody AT all"), address(1), at(1)).is_err());
}

#[test]
fn a_clock_that_is_put_back_makes_no_wait_longer() {
    let mut throttle = Throttle::default();
    for step in 0..20 {
        guess(&mut throttle, "Ana", address(1), at(step * 900));
    }
    let Err(wait) = throttle.begin(Some("Ana"), address(1), at(-365 * 24 * HOUR)) else {
        panic!("the wait is over");
    };
    assert!(wait.seconds <= 900, "{wait:?}");
    assert_eq!(throttle.begin(Some("Ana"), address(1), at(-365 * 24 * HOUR + 900)), Ok(()));
    // Others do not notice.
    assert_eq!(throttle.begin(Some("Ben"), address(1), at(-365 * 24 * HOUR)), Ok(()));
}

#[test]
fn a_clock_that_jumps_ahead_ends_waits_and_breaks_nothing() {
    let mut throttle = Throttle::default();
    guess(&mut throttle, "Ana", address(1), at(0));
    assert_eq!(guess(&mut throttle, "Ana", address(1), at(100 * 365 * 24 * HOUR)), (5, 2));
    assert_eq!(guess(&mut throttle, "Ana", address(1), at(10)), (0, 2));
}

#[test]
fn the_addresses_of_one_network_count_as_one() {
    let mut throttle = Throttle::default();
    guess(&mut throttle, "Ana", "2001:db8::1".parse().unwrap(), at(0));
    assert!(throttle.begin(Some("Ana"), "2001:db8::ffff:1".parse().unwrap(), at(0)).is_err());
    assert!(throttle.begin(Some("Ana"), "2001:db8:0:1::1".parse().unwrap(), at(0)).is_ok());
    guess(&mut throttle, "Ben", address(9), at(0));
    assert!(throttle.begin(Some("Ben"), "::ffff:10.0.0.9".parse().unwrap(), at(0)).is_err());
}

#[test]
fn memory_is_bounded() {
    let mut throttle = Throttle::default();
    for n in 0..u32::try_from(MOST_ENTRIES).unwrap() + 200 {
        let from = IpAddr::from(n.to_be_bytes());
        let _ = throttle.begin(Some(&n.to_string()), from, at(i64::from(n)));
        throttle.remember(&n.to_string(), from, at(i64::from(n)));
    }
    assert!(throttle.size() <= 4 * MOST_ENTRIES, "{}", throttle.size());
}

#[test]
fn a_wait_is_said_in_a_sentence() {
    for (seconds, said) in [
        (1, "Wait a second,"),
        (8, "Wait 8 seconds,"),
        (90, "90 seconds"),
        (91, "2 minutes"),
        (900, "15 minutes"),
    ] {
        assert!(Wait { seconds }.sentence().contains(said), "{}", Wait { seconds }.sentence());
    }
}

#[test]
fn signing_in_over_and_over_gives_nobody_more_tries() {
    let mut throttle = Throttle::default();
    for n in 0..300 {
        assert_eq!(throttle.begin(Some(&format!("a{n}")), address(1), at(0)), Ok(()));
    }
    throttle.remember("Ana", address(1), at(0));
    for _ in 0..20 {
        assert_eq!(throttle.begin(Some("Ana"), address(1), at(0)), Ok(()));
        throttle.succeeded(Some("Ana"), address(1), at(0));
    }
    assert!(throttle.begin(Some("one more"), address(1), at(0)).is_err());
}
