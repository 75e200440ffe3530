//! What no part of a list can know alone: slugs that are met, questions in their order, no circle.

use super::super::list::PromptList;
use super::super::slug::Slug;
use super::nearest::hint;
use super::rows::{Pointer, Reader, Sort};

/// Checks how the parts hang together. The list is there when all parts could be read.
pub(super) fn check(list: Option<&PromptList>, reader: &mut Reader) {
    each_slug_once(reader);
    let pointers = std::mem::take(&mut reader.pointers);
    for pointer in &pointers {
        meet(pointer, reader);
    }
    if let (Some(list), true) = (list, reader.problems.is_empty()) {
        mechanisms_are_the_lists(list, reader);
        no_circle(list, reader);
    }
}

fn each_slug_once(reader: &mut Reader) {
    // In the order of the file, so that the later of two is told.
    reader.named.sort_by_key(|named| named.at);
    for (number, named) in reader.named.iter().enumerate() {
        if reader.named.iter().take(number).any(|earlier| earlier.slug == named.slug) {
            let message =
                format!("“{}” names another question or step already. Give each its own.", named.slug);
            reader.problems.add(named.at, message);
        }
    }
}

fn meet(pointer: &Pointer, reader: &mut Reader) {
    let known: Vec<&Slug> =
        reader.named.iter().filter(|named| named.sort == pointer.sort).map(|named| &named.slug).collect();
    let what = match pointer.sort {
        Sort::Question => "question",
        Sort::Step => "step",
    };
    let message = match known.iter().position(|slug| **slug == pointer.to) {
        None if reader.slug_lost => return,
        None => {
            let near = hint(pointer.to.as_str(), known.iter().map(|slug| slug.as_str()));
            format!("This list has no {what} “{}”.{near}", pointer.to)
        }
        Some(found) if !reader.slug_lost && pointer.from_question.is_some_and(|own| own <= found) => {
            format!("A question hangs on one that stands before it. Put “{}” first.", pointer.to)
        }
        Some(_) => return,
    };
    reader.problems.add(pointer.at, message);
}

fn mechanisms_are_the_lists(list: &PromptList, reader: &mut Reader) {
    for question in &list.questions {
        let at = place_of(&question.slug, reader);
        for mechanism in question.yes_mechanisms.iter().chain(&question.no_mechanisms) {
            if !list.mechanisms.contains(mechanism) {
                let message = format!("“{mechanism}” answers this question, but the list is not for it.");
                reader.problems.add(at, message);
            }
            if question.yes_mechanisms.contains(mechanism) && question.no_mechanisms.contains(mechanism) {
                reader.problems.add(at, format!("“{mechanism}” says both yes and no to this question."));
            }
        }
    }
}

/// Steps that come before one another: by `before`, and by a sign that counts only after a step.
fn no_circle(list: &PromptList, reader: &mut Reader) {
    let mut later: Vec<Vec<usize>> = vec![Vec::new(); list.steps.len()];
    for (own, step) in list.steps.iter().enumerate() {
        later[own].extend(step.before.iter().filter_map(|next| list.step_index(next)));
        let earlier = step.signs.iter().chain(&step.suggests).filter_map(|sign| sign.after_step.as_ref());
        for earlier in earlier.filter_map(|earlier| list.step_index(earlier)) {
            later[earlier].push(own);
        }
    }
    for (own, step) in list.steps.iter().enumerate() {
        let mut reached = vec![false; list.steps.len()];
        let mut open = later[own].clone();
        while let Some(next) = open.pop() {
            if !std::mem::replace(&mut reached[next], true) {
                open.extend(&later[next]);
            }
        }
        if reached[own] {
            let message = format!(
                "“{}” would have to come before itself: look at “before” and “after_step”.",
                step.slug
            );
            let at = place_of(&step.slug, reader);
            reader.problems.add(at, message);
        }
    }
}

fn place_of(slug: &Slug, reader: &Reader) -> usize {
    reader.named.iter().find(|named| named.slug == *slug).map_or(0, |named| named.at)
}
