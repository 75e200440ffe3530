//! Unit tests of suppression, with a reader who tries to undo it.

use std::collections::BTreeSet;

use proptest::prelude::*;

use super::*;

mod reader;

use reader::{assert_no_subtraction, assert_nothing_told, cells_of, possible_in_row, possible_in_tree};

const H: Shown = Shown::Hidden;

fn n(count: u64) -> Shown {
    Shown::Count(count)
}

fn limit(smallest: u64) -> SmallestCount {
    smallest.try_into().unwrap()
}

fn branch(events: u64, mechanisms: &[u64]) -> BranchEvents {
    BranchEvents { events, mechanisms: mechanisms.to_vec() }
}

fn shown_branch(events: Shown, mechanisms: &[Shown]) -> ShownBranch {
    ShownBranch { events, mechanisms: mechanisms.to_vec() }
}

#[test]
fn a_limit_is_a_whole_number_from_1_to_50_and_5_unless_said_otherwise() {
    assert_eq!(SmallestCount::default().get(), 5);
    assert_eq!(" 11 ".parse::<SmallestCount>().unwrap().get(), 11);
    assert_eq!("1".parse(), Ok(SmallestCount::HIDES_NOTHING));
    assert_eq!("50".parse::<SmallestCount>().unwrap().to_string(), "50");
    for bad in ["", "0", "51", "-3", "+3", "2.5", "five", "99999999999999999999999"] {
        assert_eq!(bad.parse::<SmallestCount>(), Err(SmallestCountError), "{bad}");
    }
    assert_eq!(
        SmallestCountError.to_string(),
        "The smallest count that leaves the department is a whole number from 1 to 50; with 1 nothing is hidden."
    );
}

#[test]
fn counts_above_zero_and_below_the_limit_are_small_as_the_published_policy_has_it() {
    // Centers for Medicare & Medicaid Services, cell size suppression policy: 1 to 10 are not shown,
    // zero is, and so is 11.
    let found: Vec<u64> = (0..=12).filter(|&count| limit(11).hides(count)).collect();
    assert_eq!(found, (1..=10).collect::<Vec<_>>());
    assert!((0..=60).all(|count| !SmallestCount::HIDES_NOTHING.hides(count)));
}

#[test]
fn the_note_says_which_counts_are_hidden_and_nothing_when_none_is() {
    assert!(limit(5).note().unwrap().starts_with("Counts from 1 to 4 are hidden,"));
    assert!(limit(2).note().unwrap().starts_with("Counts of 1 are hidden,"));
    assert_eq!(SmallestCount::HIDES_NOTHING.note(), None);
}

#[test]
fn what_is_computed_from_a_hidden_count_is_hidden_with_it() {
    assert_eq!((n(7).with("rate"), H.with("rate")), (Some("rate"), None));
    let difference = |now: Shown, before: Shown| now.with(before.with("difference")).flatten();
    assert_eq!(difference(n(7), n(9)), Some("difference"));
    assert_eq!([difference(H, n(9)), difference(n(7), H), difference(H, H)], [None; 3]);
    assert_eq!((n(1_840).to_string(), H.to_string()), ("1,840".to_owned(), "hidden".to_owned()));
}

#[test]
fn a_row_hides_the_next_smallest_so_that_its_total_does_not_give_a_small_cell_back() {
    let five = SmallestCount::default();
    // Nothing small.
    assert_eq!(row(&[5, 0, 9], n(14), five), (vec![n(5), n(0), n(9)], n(14)));
    // 52 − 20 − 30 would be 2.
    assert_eq!(row(&[20, 2, 0, 30], n(52), five), (vec![H, H, n(0), n(30)], n(52)));
    // Two hidden that leave 4: both would be known to be small.
    assert_eq!(row(&[2, 2, 8, 9], n(21), five), (vec![H, H, H, n(9)], n(21)));
    // 2 and 3 leave 5, and because neither is zero neither is more than 4.
    assert_eq!(row(&[2, 3, 8], n(13), five), (vec![H, H, H], n(13)));
    // 3 and 3 leave 6: one of them could be 5.
    assert_eq!(row(&[3, 3, 8], n(14), five), (vec![H, H, n(8)], n(14)));
}

#[test]
fn a_row_of_small_cells_alone_hides_its_zeros_and_keeps_its_total() {
    let five = SmallestCount::default();
    assert_eq!(row(&[1, 0, 2, 0, 2], n(5), five), (vec![H; 5], n(5)));
    // A total that is small itself, or hidden elsewhere, takes the row with it.
    assert_eq!(row(&[1, 0, 2], n(3), five), (vec![H; 3], H));
    assert_eq!(row(&[9, 0, 8], H, five), (vec![H; 3], H));
    // A single cell is its total.
    assert_eq!(row(&[3], n(3), five), (vec![H], H));
    assert_eq!(row(&[7], n(7), five), (vec![n(7)], n(7)));
    assert_eq!(row(&[0, 0], n(0), five), (vec![n(0); 2], n(0)));
    assert_eq!(row(&[], n(0), five), (vec![], n(0)));
}

#[test]
fn with_a_limit_of_1_everything_is_shown() {
    let one = SmallestCount::HIDES_NOTHING;
    assert_eq!(row(&[1, 0, 2], n(3), one), (vec![n(1), n(0), n(2)], n(3)));
    let found = tree(3, &[branch(2, &[1, 1]), branch(1, &[1])], one);
    assert_eq!(found.whole, n(3));
    assert_eq!(found.branches, [shown_branch(n(2), &[n(1), n(1)]), shown_branch(n(1), &[n(1)])]);
}

#[test]
fn a_small_mechanism_takes_the_next_smallest_of_its_branch_and_no_more() {
    let found = tree(63, &[branch(23, &[20, 0, 3]), branch(40, &[40])], SmallestCount::default());
    assert_eq!(found.whole, n(63));
    assert_eq!(found.branches, [shown_branch(n(23), &[H, n(0), H]), shown_branch(n(40), &[n(40)])]);
}

#[test]
fn a_small_branch_takes_the_next_smallest_branch_with_one_of_its_mechanisms_and_the_whole_stays() {
    let branches = [branch(30, &[30]), branch(20, &[12, 8]), branch(3, &[2, 1])];
    let found = tree(53, &branches, SmallestCount::default());
    assert_eq!(found.whole, n(53));
    assert_eq!(
        found.branches,
        [shown_branch(n(30), &[n(30)]), shown_branch(H, &[n(12), H]), shown_branch(H, &[H, H])]
    );
}

#[test]
fn where_all_branches_are_small_the_whole_is_hidden() {
    let found = tree(6, &[branch(2, &[2]), branch(2, &[2]), branch(2, &[2])], SmallestCount::default());
    assert_eq!(found.whole, H);
}

#[test]
fn where_cases_count_twice_a_small_count_is_not_given_back_and_nothing_more_is_hidden() {
    // 20 and 6 are more than the branch already.
    let found = tree(23, &[branch(23, &[20, 6, 3])], SmallestCount::default());
    assert_eq!(found.branches, [shown_branch(n(23), &[n(20), n(6), H])]);
    // One case counts twice: plain subtraction gives 2 for 3, which is too close.
    let found = tree(52, &[branch(52, &[20, 30, 3])], SmallestCount::default());
    assert_eq!(found.branches, [shown_branch(n(52), &[H, n(30), H])]);
}

#[test]
fn no_count_gives_nothing_to_hide() {
    let five = SmallestCount::default();
    assert_eq!(tree(0, &[], five), ShownTree { whole: n(0), branches: vec![] });
    assert_eq!(tree(0, &[branch(0, &[0, 0])], five).branches, [shown_branch(n(0), &[n(0), n(0)])]);
}

/// A parent's count for its children: their sum, or with cases that count twice anything from the
/// largest on.
fn parent_of(children: &[u64], twice: bool, pick: prop::sample::Index) -> u64 {
    let sum: u64 = children.iter().sum();
    let largest = children.iter().copied().max().unwrap_or(0);
    if twice { largest + pick.index(usize::try_from(sum - largest).unwrap() + 1) as u64 } else { sum }
}

prop_compose! {
    fn some_branch()(
        mechanisms in prop::collection::vec(prop_oneof![1 => Just(0), 3 => 1_u64..=4, 3 => 5_u64..=8], 1..=3),
        twice: bool,
        pick: prop::sample::Index,
    ) -> BranchEvents {
        BranchEvents { events: parent_of(&mechanisms, twice, pick), mechanisms }
    }
}

prop_compose! {
    fn some_tree()(
        branches in prop::collection::vec(some_branch(), 1..=3),
        twice: bool,
        pick: prop::sample::Index,
    ) -> (u64, Vec<BranchEvents>) {
        let events: Vec<u64> = branches.iter().map(|branch| branch.events).collect();
        (parent_of(&events, twice, pick), branches)
    }
}

proptest! {
    #[test]
    fn no_reader_of_a_row_can_tell_a_hidden_cell(
        cells in prop::collection::vec(prop_oneof![1 => Just(0), 2 => 1_u64..=4, 1 => 5_u64..=9], 1..=4),
        smallest in 2_u64..=6,
    ) {
        let smallest = limit(smallest);
        let sum: u64 = cells.iter().sum();
        let (shown, total) = row(&cells, n(sum), smallest);
        let possible = possible_in_row(&shown, total, 20);
        assert_nothing_told(&cells, &shown, &possible, smallest)?;
        prop_assert!(total == n(sum) || smallest.hides(sum));
    }

    #[test]
    fn no_reader_of_a_tree_can_tell_a_hidden_count(
        (whole, branches) in some_tree(),
        smallest in 2_u64..=5,
        knows: bool,
    ) {
        let smallest = limit(smallest);
        let shown = tree(whole, &branches, smallest);
        // The reader either knows where cases count twice, or reckons with it everywhere.
        let sum = |counts: &mut dyn Iterator<Item = u64>| counts.sum::<u64>();
        let mut once = vec![knows && sum(&mut branches.iter().map(|b| b.events)) == whole];
        once.extend(branches.iter().map(|b| knows && sum(&mut b.mechanisms.iter().copied()) == b.events));
        let truth: Vec<u64> = [whole]
            .into_iter()
            .chain(branches.iter().flat_map(|b| [b.events].into_iter().chain(b.mechanisms.clone())))
            .collect();
        let possible = possible_in_tree(&shown, &once, 12);
        assert_nothing_told(&truth, &cells_of(&shown), &possible, smallest)?;
        let events: Vec<Shown> = shown.branches.iter().map(|branch| branch.events).collect();
        assert_no_subtraction(shown.whole, &events, smallest)?;
        for branch in &shown.branches {
            assert_no_subtraction(branch.events, &branch.mechanisms, smallest)?;
        }
    }

    #[test]
    fn a_record_that_contradicts_itself_is_still_hidden_where_it_is_small_and_zeros_stay(
        whole in 0_u64..=30,
        branches in prop::collection::vec((0_u64..=20, prop::collection::vec(0_u64..=20, 0..=4)), 0..=4),
        smallest in 1_u64..=50,
    ) {
        let smallest = limit(smallest);
        let branches: Vec<BranchEvents> =
            branches.into_iter().map(|(events, mechanisms)| BranchEvents { events, mechanisms }).collect();
        let shown = tree(whole, &branches, smallest);
        let truth = [whole]
            .into_iter()
            .chain(branches.iter().flat_map(|b| [b.events].into_iter().chain(b.mechanisms.clone())));
        for (count, cell) in truth.zip(cells_of(&shown)) {
            prop_assert!(cell == n(count) || cell.is_hidden());
            prop_assert!(!smallest.hides(count) || cell.is_hidden());
            prop_assert!(count > 0 || cell == n(0));
        }
    }

    #[test]
    fn large_counts_are_all_shown(counts in prop::collection::vec(50_u64..=900, 1..=12), smallest in 1_u64..=50) {
        let smallest = limit(smallest);
        let branches: Vec<BranchEvents> = counts.iter().map(|&count| branch(count, &[count])).collect();
        let sum = counts.iter().sum();
        prop_assert!(cells_of(&tree(sum, &branches, smallest)).iter().all(|cell| !cell.is_hidden()));
        prop_assert!(row(&counts, n(sum), smallest).0.iter().all(|cell| !cell.is_hidden()));
    }
}

#[test]
fn the_reader_of_these_tests_finds_what_small_counts_alone_would_give_away() {
    // Without secondary suppression: 53 − 50 is 3.
    let bare =
        ShownTree { whole: n(53), branches: vec![shown_branch(n(50), &[n(50)]), shown_branch(H, &[H])] };
    let possible = possible_in_tree(&bare, &[true; 3], 12);
    assert_eq!(possible[3], BTreeSet::from([3]));
    let possible = possible_in_row(&[H, n(20), H], n(24), 20);
    assert_eq!(possible[0], BTreeSet::from([1, 2, 3]));
}
