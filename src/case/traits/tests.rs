use super::*;

fn case(lists: &str) -> Case {
    toml::from_str(&format!("format = 1\ntitle = \"t\"\nmonth = \"2025-03\"\nstage = \"recorded\"\n{lists}"))
        .unwrap()
}

fn of(lists: &str, one: Trait) -> Option<bool> {
    one.holds(&case(lists))
}

#[test]
fn a_case_that_says_nothing_has_no_feature_and_lacks_none() {
    assert_eq!(Trait::all_of(&case("")), []);
}

#[test]
fn calcification_counts_from_moderate_and_is_absent_only_when_every_lesion_is_graded() {
    let lesion = |extent: &str| {
        let grade = if extent.is_empty() { String::new() } else { format!("calcification = \"{extent}\"\n") };
        format!("[[lesions]]\nsegment = \"lad-mid\"\n{grade}")
    };
    for (lesions, expected) in [
        (vec!["severe"], Some(true)),
        (vec!["moderate", ""], Some(true)),
        (vec!["mild", "none"], Some(false)),
        (vec!["mild", ""], None),
        (vec![""], None),
    ] {
        let text: String = lesions.iter().map(|extent| lesion(extent)).collect();
        assert_eq!(of(&text, Trait::Calcified), expected, "{lesions:?}");
    }
}

#[test]
fn what_a_lesion_is_marked_with_is_absent_once_lesions_are_recorded() {
    let plain = "[[lesions]]\nsegment = \"lad-mid\"\n";
    for one in [Trait::Bifurcation, Trait::LeftMain, Trait::ChronicOcclusion, Trait::Ostial] {
        assert_eq!(of(plain, one), Some(false), "{one}");
        assert_eq!(of("", one), None, "{one}");
    }
    assert_eq!(of("[[lesions]]\nsegment = \"left-main\"\nmedina = \"1,1,1\"\n", Trait::LeftMain), Some(true));
    assert_eq!(
        of("[[lesions]]\nsegment = \"left-main\"\nmedina = \"1,1,1\"\n", Trait::Bifurcation),
        Some(true)
    );
    assert_eq!(of("[[lesions]]\nsegment = \"lad-mid\"\ncto = true\n", Trait::ChronicOcclusion), Some(true));
}

#[test]
fn a_case_with_two_accesses_belongs_to_both() {
    let text = "[procedure]\naccess = [\"distal-radial\", \"femoral\"]\n";
    assert_eq!((of(text, Trait::Radial), of(text, Trait::Femoral)), (Some(true), Some(true)));
    assert_eq!(of("[procedure]\naccess = [\"brachial\"]\n", Trait::Radial), Some(false));
}

#[test]
fn primary_pci_is_an_st_elevation_infarction_treated_as_an_emergency() {
    for (presentation, urgency, expected) in [
        ("stemi", "emergency", Some(true)),
        ("stemi", "salvage", Some(true)),
        ("stemi", "urgent", Some(false)),
        ("stemi", "", None),
        ("nstemi", "emergency", Some(false)),
        ("cardiac-arrest", "emergency", None),
        ("cardiogenic-shock", "elective", Some(false)),
        ("", "emergency", None),
    ] {
        let mut text = String::new();
        if !presentation.is_empty() {
            text += &format!("[patient]\npresentation = \"{presentation}\"\n");
        }
        if !urgency.is_empty() {
            text += &format!("[procedure]\nurgency = \"{urgency}\"\n");
        }
        assert_eq!(of(&text, Trait::Primary), expected, "{presentation} {urgency}");
    }
}

#[test]
fn a_device_taken_to_treat_the_harm_does_not_count_as_going_with_it() {
    let text = "
        [[events]]\nkey = \"a\"\nat = \"+1:00\"\nkind = \"wire\"\ndevice = \"stiff-wire\"
        [[events]]\nkey = \"b\"\nat = \"+2:00\"\nkind = \"finding\"
        [[events]]\nkey = \"c\"\nat = \"+3:00\"\nkind = \"balloon\"\ndevice = \"noncompliant-balloon\"
        [[events]]\nkey = \"d\"\nat = \"+9:00\"\nkind = \"stent\"\ndevice = \"covered-stent\"
        [[complications]]\nkey = \"c1\"\nmechanism = \"wire-exit\"\nbegan = \"b\"\n";
    assert_eq!(of(text, Trait::HardWire), Some(true));
    assert_eq!(of(text, Trait::HighPressureBalloon), Some(false));
    // The strata count a stent at any time.
    assert_eq!(of(text, Trait::Stent), Some(true));
    assert_eq!(of(text, Trait::Atherectomy), Some(false));
    // A harm that does not say where it began leaves open what came before it.
    assert_eq!(of(&text.replace("began = \"b\"\n", ""), Trait::HardWire), None);
}

#[test]
fn every_stratum_that_ships_can_be_told_from_a_case_but_all_pci_itself() {
    let tree = include_str!("../../vocabulary/mechanisms.toml");
    let strata: Vec<&str> = tree
        .split("[[stratum]]")
        .skip(1)
        .filter_map(|part| part.split("slug = \"").nth(1)?.split('"').next())
        .collect();
    assert!(strata.len() > 5, "{strata:?}");
    for stratum in strata {
        assert_eq!(Trait::of_stratum(stratum).is_none(), stratum == "all-pci", "{stratum}");
    }
}

#[test]
fn a_stent_counts_also_where_its_event_names_no_device() {
    let text = "
        [[events]]\nkey = \"a\"\nat = \"+1:00\"\nkind = \"wire\"\ndevice = \"workhorse-wire\"
        [[events]]\nkey = \"b\"\nat = \"+2:00\"\nkind = \"stent\"
        [[events]]\nkey = \"c\"\nat = \"+3:00\"\nkind = \"finding\"
        [[complications]]\nkey = \"c1\"\nmechanism = \"wire-exit\"\nbegan = \"c\"\n";
    assert_eq!(of(text, Trait::EarlyStent), Some(true));
    assert_eq!(of(&text.replace("+2:00", "+9:00"), Trait::EarlyStent), Some(false));
    assert_eq!(of(&text.replace("\"stent\"", "\"balloon\""), Trait::EarlyStent), Some(false));
}
