//! The shipped trees: whole, unique, and with the leaves of the reference.

use std::collections::BTreeSet;

use relook::vocabulary::{MechanismRole, causes, mechanisms};

/// Mechanisms that a cath-lab review cannot do without, by the everyday list of PCI complications
/// (common practice).
const EXPECTED: [&str; 12] = [
    "wire-subintimal",
    "wire-distal-perforation",
    "flow-no-reflow",
    "flow-air",
    "branch-carina-shift",
    "balloon-perforation",
    "stent-loss",
    "stent-thrombosis",
    "guide-left-main",
    "access-retroperitoneal",
    "peri-tamponade",
    "contrast-kidney",
];

#[test]
fn the_mechanism_tree_has_two_levels_and_at_least_thirty_leaves() {
    let tree = mechanisms();
    assert!(tree.leaf.len() >= 30, "{} leaves", tree.leaf.len());
    let branches: BTreeSet<&str> = tree.branch.iter().map(|branch| branch.slug.as_str()).collect();
    let slugs: BTreeSet<&str> = tree.leaf.iter().map(|leaf| leaf.slug.as_str()).collect();
    assert_eq!(branches.len(), tree.branch.len(), "branches are unique");
    assert_eq!(slugs.len(), tree.leaf.len(), "leaves are unique");
    for leaf in &tree.leaf {
        assert!(branches.contains(leaf.branch.as_str()), "{} hangs on no branch", leaf.slug);
        assert!(
            tree.stratum.iter().any(|stratum| stratum.slug == leaf.at_risk),
            "{} has no stratum",
            leaf.slug
        );
        assert!(leaf.words.len() >= 2, "{} is found by too few words", leaf.slug);
        for text in [&leaf.label, &leaf.definition, &leaf.example] {
            assert!(!text.trim().is_empty() && !text.contains('\n'), "{}: {text}", leaf.slug);
        }
    }
    for slug in EXPECTED {
        assert!(slugs.contains(slug), "{slug} is missing");
    }
}

#[test]
fn process_and_patient_leaves_only_contribute() {
    for leaf in &mechanisms().leaf {
        let contributes = matches!(leaf.branch.as_str(), "process" | "patient");
        assert_eq!(leaf.role == MechanismRole::Contributory, contributes, "{}", leaf.slug);
    }
}

#[test]
fn the_root_cause_taxonomy_has_two_levels_and_at_least_forty_leaves() {
    let tree = causes();
    assert!(tree.leaf.len() >= 40, "{} leaves", tree.leaf.len());
    let branches: BTreeSet<&str> = tree.branch.iter().map(|branch| branch.slug.as_str()).collect();
    let slugs: BTreeSet<&str> = tree.leaf.iter().map(|leaf| leaf.slug.as_str()).collect();
    assert_eq!(slugs.len(), tree.leaf.len(), "leaves are unique");
    for leaf in &tree.leaf {
        assert!(branches.contains(leaf.branch.as_str()), "{} hangs on no branch", leaf.slug);
        assert!(!leaf.london_protocol.is_empty() && !leaf.icps.is_empty(), "{} maps to nothing", leaf.slug);
        assert!(leaf.words.len() >= 2, "{} is found by too few words", leaf.slug);
    }
    // Classes of the London Protocol (Taylor-Adams & Vincent 2004) and of WHO's ICPS 2009, by
    // family; both from memory.
    for family in
        ["patient", "task", "thinking", "team", "skill", "equipment", "place", "organisation", "outside"]
    {
        assert!(branches.contains(family), "{family} is missing");
    }
}
