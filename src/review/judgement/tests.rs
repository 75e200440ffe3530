//! Middle, spread and disagreement of judgements.

use super::*;

fn judged(avoidability: Avoidability, care: Care) -> Judgement {
    Judgement { avoidability, care, remark: None }
}

#[test]
fn the_middle_of_an_even_number_may_lie_between_two_steps() {
    use Avoidability::{Definitely, DefinitelyNot, Possibly, Probably, Slight};
    let of = |steps: &[Avoidability]| middle::<Avoidability>(&counts(steps.iter().copied()));
    assert_eq!(of(&[]), None);
    assert_eq!(of(&[Slight]), Some((Slight, Slight)));
    assert_eq!(of(&[Definitely, DefinitelyNot, Possibly]), Some((Possibly, Possibly)));
    assert_eq!(of(&[Possibly, Slight, Probably, Slight]), Some((Slight, Possibly)));
    assert_eq!(of(&[Slight, Slight, Probably, Slight]), Some((Slight, Slight)));
}

#[test]
fn the_spread_is_from_the_lowest_to_the_highest() {
    let counts = counts([Care::MostDifferently, Care::AsMost].into_iter());
    assert_eq!(counts, [1, 0, 1]);
    assert_eq!(spread::<Care>(&counts), Some((Care::AsMost, Care::MostDifferently)));
    assert_eq!(spread::<Care>(&[0, 0, 0]), None);
}

#[test]
fn three_steps_apart_is_a_disagreement() {
    use Avoidability::{Definitely, Possibly, Probably};
    let near = [judged(Possibly, Care::AsMost), judged(Probably, Care::SomeDifferently)];
    assert!(!disagree(near.iter()));
    assert!(!disagree(near[..1].iter()));
    assert!(disagree([judged(Possibly, Care::AsMost), judged(Definitely, Care::AsMost)].iter()));
    assert!(disagree([judged(Possibly, Care::AsMost), judged(Possibly, Care::MostDifferently)].iter()));
}

#[test]
fn a_rank_reads_back() {
    for (rank, step) in (1..).zip(Avoidability::ALL) {
        assert_eq!((step.rank(), Avoidability::of_rank(i64::try_from(rank).unwrap())), (rank, Some(*step)));
    }
    assert!([-1, 0, 7].iter().all(|rank| Avoidability::of_rank(*rank).is_none()));
}
