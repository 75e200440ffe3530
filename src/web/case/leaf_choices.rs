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

/// What stands before the slug of a branch where a choice may be a whole branch.
pub(in crate::web) const BRANCH: &str = "branch:";

/// The same choices, in front of each heading's the one of all of them.
pub(in crate::web) fn with_branches(groups: Vec<ChoiceGroup>, branches: &[Branch]) -> Vec<ChoiceGroup> {
    groups
        .into_iter()
        .map(|mut group| {
            if let Some(branch) = branches.iter().find(|branch| branch.label == group.label) {
                let any = Choice::new(format!("{BRANCH}{}", branch.slug), format!("Any: {}", branch.label));
                group.choices.insert(0, any.found_by(&branch.definition));
            }
            group
        })
        .collect()
}

/// The mechanisms that can be a harm of their own, under their branches.
///
/// A leaf that the department retired is offered only where it is held, so that a row keeps it.
pub(in crate::web) fn mechanisms(
    vocabulary: &Vocabulary,
    held: impl Fn(&MechanismSlug) -> bool,
) -> Vec<ChoiceGroup> {
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

/// The contributing factors for a form of this case.
pub(super) fn causes(context: &Context) -> Vec<ChoiceGroup> {
    cause_leaves(context.vocabulary, |slug| context.case.causes.iter().any(|row| row.value.cause == *slug))
}

/// The contributing factors, under their branches; a retired one where it is held.
pub(in crate::web) fn cause_leaves(
    vocabulary: &Vocabulary,
    held: impl Fn(&CauseSlug) -> bool,
) -> Vec<ChoiceGroup> {
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
