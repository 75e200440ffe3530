//! The registry holds together: files, sources, inputs, choices, and enough rows from outside.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use super::{Expect, Mark, all, finding};
use crate::clinical::facts::{FactSet, LabFacts, LabStatements};
use crate::clinical::{Choices, DEFINITIONS, Facts, Family, Input, assess_all};

/// What is no definition: the parts that definitions are made of.
const PARTS: &[&str] = &[
    "answer.rs",
    "choices.rs",
    "definition.rs",
    "finding.rs",
    "look.rs",
    "mod.rs",
    "sentence.rs",
    "thresholds.rs",
    "words.rs",
    "infarction/course.rs",
    "infarction/mod.rs",
];

#[test]
fn every_file_of_the_folder_is_a_part_or_a_registered_definition() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/clinical");
    let mut problems = Vec::new();
    let mut found = 0;
    for path in sources(&folder) {
        let name = path.strip_prefix(&folder).unwrap().to_string_lossy().into_owned();
        if name.starts_with("facts/") || name.starts_with("quantities/") || name.starts_with("tests/") {
            continue;
        }
        let text = fs::read_to_string(&path).unwrap();
        let defines = text.contains("pub const DEFINITION: Definition");
        if PARTS.contains(&name.as_str()) {
            if defines {
                problems.push(format!("{name} is listed as a part and defines something"));
            }
            continue;
        }
        found += 1;
        let slug = text.split("slug: \"").nth(1).and_then(|rest| rest.split('"').next());
        if !defines || !DEFINITIONS.iter().any(|definition| Some(definition.slug) == slug) {
            problems.push(format!("{name} is not registered"));
        }
    }
    assert!(problems.is_empty(), "{}", problems.join("\n"));
    assert_eq!(found, DEFINITIONS.len(), "one file a definition");
}

fn sources(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(sources(&path));
        } else {
            found.push(path);
        }
    }
    found
}

#[test]
fn every_definition_has_three_rows_from_outside_the_project() {
    let rows = all();
    for definition in DEFINITIONS {
        let from_outside =
            rows.iter().filter(|row| row.definition == definition.slug && row.mark != Mark::O).count();
        assert!(from_outside >= 3, "{} has {from_outside} rows from outside", definition.slug);
    }
}

#[test]
fn every_definition_is_shown_met_and_undecided() {
    let rows = all();
    for definition in DEFINITIONS {
        let of = |wanted: fn(&Expect) -> bool| {
            rows.iter().any(|row| row.definition == definition.slug && wanted(&row.expect))
        };
        assert!(of(|expect| matches!(expect, Expect::Met(_))), "{} is never met", definition.slug);
        assert!(of(|expect| matches!(expect, Expect::Lacks(_))), "{} is never undecided", definition.slug);
    }
}

#[test]
fn every_row_belongs_to_a_registered_definition_and_names_its_source() {
    for row in all() {
        assert!(DEFINITIONS.iter().any(|definition| definition.slug == row.definition), "{}", row.definition);
        assert!(!row.source.is_empty());
    }
}

#[test]
fn slugs_are_unique_and_texts_are_there() {
    let slugs: BTreeSet<&str> = DEFINITIONS.iter().map(|definition| definition.slug).collect();
    assert_eq!(slugs.len(), DEFINITIONS.len());
    for definition in DEFINITIONS {
        assert!(
            definition.rule.ends_with('.') && definition.boundaries.ends_with('.'),
            "{}",
            definition.slug
        );
        assert!(!definition.sources.is_empty() && !definition.inputs.is_empty(), "{}", definition.slug);
        // A line break in a string must not leave a run of spaces behind.
        assert!(
            !definition.rule.contains("  ") && !definition.boundaries.contains("  "),
            "{}",
            definition.slug
        );
    }
}

#[test]
fn what_a_finding_used_or_lacks_is_among_the_inputs_of_its_definition() {
    for row in all().iter().filter(|row| row.refused.is_none()) {
        let definition = DEFINITIONS.iter().find(|one| one.slug == row.definition).unwrap();
        let found = finding(row.definition, &row.facts, &row.choices);
        for input in found.used.iter().map(|used| used.input).chain(found.missing()) {
            let known = definition.inputs.contains(input)
                // A Q wave in contiguous leads answers for Q waves, and a substantial loss for a loss.
                || ["q_waves", "q_waves_contiguous", "imaging_loss", "imaging_substantial"].contains(&input.slug);
            assert!(known, "{} uses {}", row.definition, input.slug);
        }
        for chosen in &found.choices {
            assert!(definition.choices.contains(&chosen.slug), "{} chooses {}", row.definition, chosen.slug);
        }
    }
}

#[test]
fn every_answer_on_offer_is_checked_by_a_row_and_asked_by_a_definition() {
    let rows = all();
    for question in Choices::default().questions() {
        assert!(question.on_offer.len() >= 2);
        assert_eq!(question.taken, question.on_offer[0].slug, "the first is the default");
        let definition = DEFINITIONS.iter().find(|one| one.choices.contains(&question.slug));
        let definition = definition.unwrap_or_else(|| panic!("{} is asked by nobody", question.slug));
        for answer in &question.on_offer {
            let checked = rows.iter().any(|row| {
                row.definition == definition.slug
                    && row
                        .choices
                        .questions()
                        .iter()
                        .any(|one| one.slug == question.slug && one.taken == answer.slug)
            });
            assert!(checked, "{} = {} is checked by no row", question.slug, answer.slug);
        }
    }
}

#[test]
fn every_input_of_a_form_is_looked_at_by_a_definition() {
    let asked: Vec<Input> = DEFINITIONS.iter().flat_map(|definition| definition.inputs).copied().collect();
    for input in Family::ALL.iter().flat_map(|family| family.inputs()).chain(LabFacts::SERIES) {
        assert!(asked.contains(input), "nothing looks at {} of {}", input.slug, input.family);
        assert!(!input.label.is_empty() && !input.help.is_empty() && !input.help.starts_with(' '));
    }
}

#[test]
fn the_inputs_of_a_family_have_different_names() {
    for family in Family::ALL {
        let mut names: Vec<&str> = family.inputs().iter().map(|input| input.slug).collect();
        if *family == Family::Labs {
            names.extend(LabFacts::SERIES.iter().map(|input| input.slug));
            assert_eq!(LabStatements::INPUTS.len() + LabFacts::SERIES.len(), names.len());
        }
        let unique: BTreeSet<&str> = names.iter().copied().collect();
        assert_eq!(unique.len(), names.len(), "{family}");
    }
}

#[test]
fn nothing_recorded_gives_no_grade_whatever_is_chosen() {
    for question in Choices::default().questions() {
        for answer in question.on_offer {
            let mut choices = Choices::default();
            choices.take(question.slug, answer.slug).unwrap();
            let mut facts = Facts::default();
            assert!(assess_all(&facts, &choices).iter().all(|finding| finding.is_untouched()));
            for family in Family::ALL {
                facts.add_row(*family, crate::clinical::Subject::named("x"));
            }
            let found = assess_all(&facts, &choices);
            // One finding a case, and one a row for what a case has several of.
            assert!(found.len() >= DEFINITIONS.len());
            for finding in found {
                assert!(finding.is_untouched(), "{}: {:?}", finding.definition, finding.verdict);
            }
        }
    }
}
