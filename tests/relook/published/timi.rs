//! TIMI flow grades 0 to 3: TIMI Study Group, N Engl J Med 1985;312:932 (from memory).

use relook::quantity::TimiFlow;

/// Grade, and whether it counts as lost flow: 0 no contrast passes, 1 it passes and the distal bed
/// never fills, 2 the bed fills slowly, 3 it fills and clears promptly (P). Lost is 0 or 1 (O).
const GRADES: [(i64, bool); 4] = [(0, true), (1, true), (2, false), (3, false)];

#[test]
fn the_four_grades_are_accepted_and_two_of_them_are_lost_flow() {
    for (grade, lost) in GRADES {
        let flow = TimiFlow::try_from(grade).unwrap();
        assert_eq!(i64::from(flow), grade);
        assert_eq!(flow.is_lost(), lost, "TIMI {grade}");
        assert_eq!(format!("TIMI {grade}").parse(), Ok(flow));
    }
    assert_eq!(TimiFlow::ALL.len(), GRADES.len());
}

#[test]
fn grades_are_ordered_from_none_to_normal() {
    assert!(TimiFlow::ALL.windows(2).all(|pair| pair[0] < pair[1]));
}

#[test]
fn what_is_no_grade_is_refused() {
    for grade in [4, -1, 30] {
        assert!(TimiFlow::try_from(grade).is_err(), "{grade}");
    }
    for text in ["2.5", "4", "", "TIMI", "II", "3+"] {
        assert!(text.parse::<TimiFlow>().is_err(), "{text:?}");
    }
}
