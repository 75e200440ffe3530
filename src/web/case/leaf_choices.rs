//! The leaves of the two trees as choices that are found by typing.

use super::part::Context;
use crate::vocabulary::{Branch, CauseSlug, MechanismRole, MechanismSlug, Vocabulary};
use crate::web::form::{Choice, ChoiceGroup};

/// Leaves under their branches, as choices found by typing.
fn tree<'a, Leaf: 'a>(
    branches: &[Branch],
    leaves: impl Iterator<Item = &'a Leaf> + Clone,
    part_of: impl Fn(&Leaf, &Branch) -> bool,
    choice: impl Fn(&Leaf) -> Choice,
) -> Vec<ChoiceGroup> {
    branches
        .iter()
        .map(|branch| ChoiceGroup {
            label: branch.label.clone(),
            choices: leaves.clone().filter(|leaf| part_of(leaf, branch)).map(&choice).collect(),
        })
        .filter(|group| !group.choices.is_empty())
        .collect()
}

/// The mechanisms that can be a harm of their own, under their branches.
///
/// A leaf that the department retired is offered only where it is held, so that a row keeps it.
pub(super) fn mechanisms(vocabulary: &Vocabulary, held: impl Fn(&MechanismSlug) -> bool) -> Vec<ChoiceGroup> {
    let offered = vocabulary
        .mechanisms
        .iter()
        .filter(|leaf| leaf.role == MechanismRole::Primary && (!leaf.retired || held(&leaf.slug)))
        .collect::<Vec<_>>();
    tree(
        &vocabulary.mechanism_branches,
        offered.into_iter(),
        |leaf, branch| leaf.branch == branch.slug,
        |leaf| Choice::new(&leaf.slug, &leaf.label).found_by(leaf.words.join(", ")),
    )
}

/// The contributing factors, under their branches; a retired one where it is held.
pub(super) fn causes(context: &Context) -> Vec<ChoiceGroup> {
    let vocabulary = context.vocabulary;
    let held = |slug: &CauseSlug| context.case.causes.iter().any(|row| row.value.cause == *slug);
    let offered = vocabulary.causes.iter().filter(|leaf| !leaf.retired || held(&leaf.slug));
    tree(
        &vocabulary.cause_branches,
        offered,
        |leaf, branch| leaf.branch == branch.slug,
        |leaf| {
            Choice::new(&leaf.slug, &leaf.label).found_by(format!(
                "{}, {}",
                leaf.words.join(", "),
                leaf.definition
            ))
        },
    )
}
