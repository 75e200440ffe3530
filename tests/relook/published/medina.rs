//! Medina class: Medina et al., Rev Esp Cardiol 2006;59:183 (from memory). 1 where the diameter
//! stenosis is 50 % or more; a true bifurcation has the side branch and a main segment narrowed.
//! One later account prints "more than 50 %": only exactly 50 % differs.

use relook::case::Medina;

/// Stenosis in percent of proximal main, distal main and side branch; class; true bifurcation (D).
const ROWS: [([u8; 3], &str, bool); 8] = [
    ([70, 60, 50], "1,1,1", true),
    ([70, 40, 80], "1,0,1", true),
    ([30, 55, 75], "0,1,1", true),
    ([80, 80, 49], "1,1,0", false),
    ([0, 0, 90], "0,0,1", false),
    // The three others that are not true (P).
    ([60, 10, 10], "1,0,0", false),
    ([10, 60, 10], "0,1,0", false),
    ([50, 50, 49], "1,1,0", false),
];

#[test]
fn stenoses_give_the_published_class() {
    for (percent, class, is_true) in ROWS {
        let found = Medina::from_stenoses(percent).unwrap_or_else(|| panic!("{percent:?} gives no class"));
        assert_eq!(found.to_string(), class, "{percent:?}");
        assert_eq!(found.is_true_bifurcation(), is_true, "{percent:?}");
        assert_eq!(class.parse(), Ok(found));
    }
}

#[test]
fn fifty_percent_counts_and_forty_nine_does_not() {
    assert_eq!(Medina::from_stenoses([50, 0, 0]).map(|class| class.to_string()).as_deref(), Some("1,0,0"));
    assert_eq!(Medina::from_stenoses([49, 49, 49]), None);
}

#[test]
fn there_are_seven_classes_of_which_three_are_true() {
    let mut classes: Vec<String> = Medina::ALL.iter().map(ToString::to_string).collect();
    let true_ones: Vec<String> =
        Medina::ALL.iter().filter(|class| class.is_true_bifurcation()).map(ToString::to_string).collect();
    assert_eq!(true_ones, ["1,1,1", "1,0,1", "0,1,1"]);
    classes.sort_unstable();
    classes.dedup();
    assert_eq!(classes.len(), 7);
}

#[test]
fn no_lesion_is_no_class() {
    for text in ["0,0,0", "1,1", "1,1,2", "1,1,1,1", "111", "", "a,b,c"] {
        assert!(text.parse::<Medina>().is_err(), "{text:?}");
    }
}
