//! What the reference doubts stays visible: each doubt about a rule shows where a reader meets it.

use super::{finding, given};
use crate::clinical::{Choices, Definition, definition};

fn of(slug: &str) -> &'static Definition {
    definition(slug).unwrap_or_else(|| panic!("{slug}"))
}

/// Whether a source that was written from memory is named for something.
fn is_recalled(slug: &str, what: &str) -> bool {
    of(slug).sources.iter().any(|source| {
        source.standing.is_doubtful() && (source.gives.contains(what) || source.citation.contains(what))
    })
}

#[test]
fn what_was_written_from_memory_says_so_at_its_source() {
    for (slug, what) in [
        // Infarction around the procedure.
        ("infarction-universal", "the whole rule"),
        ("myocardial-injury", "minor and major"),
        ("infarction-scai", "the whole rule"),
        ("infarction-arc2", "the whole rule"),
        // The 24 h and the 5 mm of stent thrombosis.
        ("stent-thrombosis", "5 mm"),
        ("stent-thrombosis", "possible is dropped"),
        ("stent-thrombosis-time", "24 h"),
        // Contrast and radiation.
        ("contrast-ratio", "above 2 and above 3"),
        ("contrast-ratio", "above 3.7"),
        ("contrast-limit", "300 mL"),
        ("radiation", "the steps after them"),
        ("radiation", "summed over 6 to 12 months"),
        // Side branches and slow flow, where papers differ.
        ("side-branch-occlusion", "R4"),
        ("no-reflow", "papers use the words differently"),
        ("threatened-closure", "no single publication settles it"),
        // Types and grades.
        ("perforation-type", "type V; its origin is not settled"),
        ("timi-thrombus", "grade 6"),
        ("killip", "the classes"),
        ("harm", "the wording of the degrees"),
        ("composite-outcome", "MACCE"),
        // The rarer complications.
        ("access-complication", "major and minor"),
        ("haematoma", "the classes"),
        ("aortic-dissection", "III as 40 mm or more"),
        ("stroke", "24 h"),
        ("tamponade", "the rule"),
        ("hypotension", "the rule"),
        ("bradycardia", "the rule"),
        ("ventricular-arrhythmia", "the rule"),
        ("arrest", "the rule"),
        ("vasovagal", "the rule"),
        ("air-embolism", "the rule"),
        ("systemic-embolism", "the rule"),
        ("device", "loss, embolisation, entrapment, fracture"),
        ("allergic-reaction", "the grades"),
        ("anaphylaxis", "the rule"),
        ("heparin-platelets", "50 %"),
    ] {
        assert!(is_recalled(slug, what), "{slug} does not say that {what:?} is from memory");
        assert!(of(slug).has_doubts(), "{slug}");
    }
}

#[test]
fn a_clash_of_sources_is_a_choice_that_stands_with_the_result() {
    for (slug, question, recorded) in [
        ("perforation-type", "perforation-hole", "perforation: cavity no; jet yes; hole 1"),
        (
            "myocardial-injury",
            "major-injury",
            "troponin: -60 5 ng/L (limit 10 ng/L); 600 50 ng/L (limit 10 ng/L)",
        ),
        ("contrast-ratio", "contrast-ratio", "kidney: contrast 180; clearance 90"),
        ("radiation", "radiation-limit", "radiation: air_kerma 5 Gy"),
        ("side-branch-occlusion", "side-branch", "side-branch: before 3; after 1"),
        ("no-reflow", "no-reflow", "vessel: worst 2"),
        ("aortic-dissection", "dunning", "aorta: reach ascending; extent 40"),
        ("medina", "medina", "bifurcation: proximal 50; distal 50; side 50"),
        ("stroke", "stroke", "neurology: deficit yes; lasted 24 h"),
    ] {
        let chosen = finding(slug, &given(recorded).0, &Choices::default()).choices;
        assert!(
            chosen.iter().any(|one| one.slug == question && !one.source.is_empty()),
            "{slug}: {chosen:?}"
        );
        assert!(of(slug).choices.contains(&question));
    }
}

#[test]
fn our_own_readings_are_told_from_what_a_publication_says() {
    let own = |slug: &str, what: &str| {
        of(slug)
            .sources
            .iter()
            .any(|source| source.standing == crate::clinical::Standing::Own && source.gives.contains(what))
    };
    assert!(own("infarction-arc2", "elevated, rising baseline leaves it open unless the rise is below 35"));
    assert!(own("radiation", "exactly at the level reaches it"));
    assert!(own("side-branch-occlusion", "lower than before"));
    assert!(own("dissection-type", "complex means C to F"));
    assert!(own("perforation-type", "a jet of unmeasured width"));
    assert!(own("kidney-injury", "half-open"));
    assert!(own("stent-thrombosis-time", "365 days"));
    // The Universal Definition sets no upper limit of injury; the split is a later paper's.
    assert!(of("myocardial-injury").rule.contains("sets no upper limit"));
    // The two denominators of contrast are never swapped in silence.
    assert!(of("contrast-ratio").boundaries.contains("the one that was used stands with the result"));
    assert!(of("aortic-dissection").boundaries.contains("leaves exactly 40 mm open"));
}

#[test]
fn the_rule_of_a_lost_branch_and_the_name_of_type_v_stand_in_the_finding() {
    let branch =
        finding("side-branch-occlusion", &given("side-branch: before 3; after 1").0, &Choices::default());
    assert!(branch.sentence.contains("by rule R2 (TIMI 0 to 1 afterwards)"), "{}", branch.sentence);
    let distal = given("perforation: cavity no; jet no; blush yes; distal_wire yes").0;
    let notes = finding("perforation-type", &distal, &Choices::default()).notes;
    assert_eq!(notes, ["A distal, wire-related exit: also reported as type V, a later addition."]);
    let skin = finding("radiation", &given("radiation: skin 16 Gy").0, &Choices::default()).notes;
    assert!(skin.iter().any(|note| note.contains("summed over 6 to 12 months (from memory)")), "{skin:?}");
}

#[test]
fn outcomes_of_the_first_perforation_series_are_not_shown_because_nobody_read_them_again() {
    let perforation = of("perforation-type");
    let texts = perforation.sources.iter().map(|source| source.gives);
    assert!(texts.chain([perforation.rule, perforation.boundaries]).all(|text| !text.contains('%')));
}
