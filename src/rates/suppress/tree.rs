//! Suppression in the tree of mechanisms, where a case can count in several.

use super::{Shown, SmallestCount, left_of};

/// A branch's cases, and those of each of its mechanisms; a mechanism left out counts as having none.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct BranchEvents {
    /// Cases of the branch, each once.
    pub events: u64,
    /// Cases of each mechanism.
    pub mechanisms: Vec<u64>,
}

/// A branch as it leaves the department.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShownBranch {
    /// Its cases.
    pub events: Shown,
    /// Those of each mechanism, in the order given.
    pub mechanisms: Vec<Shown>,
}

/// The whole, its branches and their mechanisms as they leave the department.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShownTree {
    /// Cases with any complication.
    pub whole: Shown,
    /// The branches, in the order given.
    pub branches: Vec<ShownBranch>,
}

/// The tree of one period as it leaves the department. Two periods are each treated on their own.
///
/// A case with a chain counts once for each of its mechanisms, once for each branch and once for the
/// whole. So a parent is at least its largest child and at most the sum of its children. In most
/// departments few cases count twice, so a reader who simply subtracts comes close; and some readers
/// know that none counts twice. All three are held off:
///
/// 1. Counts too small to be shown are hidden.
/// 2. A hidden branch hides at least one mechanism, else their sum gives it back.
/// 3. What the shown children leave of a shown parent must not give back a hidden child, nor show
///    that all hidden children are small: plain subtraction.
/// 4. No hidden count may have a range that lies below the limit, or that is a single number, for a
///    reader who knows exactly where cases count twice and where not, and reasons through all levels
///    (`Tree::ranges`).
///
/// Whatever breaks a rule, the smallest shown count above zero beside it is hidden, mechanisms before
/// branches; where there is none, the parent. One count more is hidden each time, so this ends; with
/// everything but zeros hidden nothing can be told.
#[must_use]
pub fn tree(whole: u64, branches: &[BranchEvents], smallest: SmallestCount) -> ShownTree {
    let mut tree = Tree::of(whole, branches, smallest);
    while let Some(next) = tree.next_to_hide() {
        tree.nodes[next].hidden = true;
    }
    let shown = |at: usize| Shown::of(tree.nodes[at].events, tree.nodes[at].hidden);
    ShownTree {
        whole: shown(0),
        branches: tree.nodes[0]
            .children
            .iter()
            .map(|&branch| ShownBranch {
                events: shown(branch),
                mechanisms: tree.nodes[branch].children.iter().map(|&leaf| shown(leaf)).collect(),
            })
            .collect(),
    }
}

#[derive(Debug)]
struct Node {
    events: u64,
    hidden: bool,
    parent: usize,
    children: Vec<usize>,
}

/// The counts that a reader has to reckon with, both limits among them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Range {
    least: u64,
    most: u64,
}

impl Range {
    const ABOVE_ZERO: Self = Self { least: 1, most: u64::MAX };

    /// What both allow; unchanged where they contradict each other, which happens only when the record
    /// does (months without procedures are left out of some lines): a reader learns nothing from it.
    fn and(self, other: Self) -> Self {
        let both = Self { least: self.least.max(other.least), most: self.most.min(other.most) };
        if both.least <= both.most { both } else { self }
    }
}

/// The whole at 0, and each branch before its mechanisms, so that parents come before children.
#[derive(Debug)]
struct Tree {
    nodes: Vec<Node>,
    smallest: SmallestCount,
}

impl Tree {
    fn of(whole: u64, branches: &[BranchEvents], smallest: SmallestCount) -> Self {
        let mut tree = Self { nodes: Vec::new(), smallest };
        tree.add(whole, 0);
        for branch in branches {
            let parent = tree.add(branch.events, 0);
            for &events in &branch.mechanisms {
                tree.add(events, parent);
            }
        }
        tree
    }

    fn add(&mut self, events: u64, parent: usize) -> usize {
        let at = self.nodes.len();
        if at > 0 {
            self.nodes[parent].children.push(at);
        }
        self.nodes.push(Node { events, hidden: self.smallest.hides(events), parent, children: Vec::new() });
        at
    }

    /// The next count to hide; `None` when nothing can be told any more.
    fn next_to_hide(&self) -> Option<usize> {
        // From the end, so that mechanisms come before branches: hiding one of them costs least.
        let parents: Vec<usize> =
            (0..self.nodes.len()).rev().filter(|&at| !self.nodes[at].children.is_empty()).collect();
        parents
            .iter()
            .find_map(|&parent| self.child_of_a_hidden(parent))
            .or_else(|| parents.iter().find_map(|&parent| self.against_subtraction(parent)))
            .or_else(|| self.against_ranges())
    }

    /// Rule 2.
    fn child_of_a_hidden(&self, parent: usize) -> Option<usize> {
        let Node { hidden, children, .. } = &self.nodes[parent];
        if !hidden || children.iter().any(|&child| self.nodes[child].hidden) {
            return None;
        }
        self.smallest_shown(children)
    }

    /// Rule 3.
    fn against_subtraction(&self, parent: usize) -> Option<usize> {
        let Node { events, hidden, children, .. } = &self.nodes[parent];
        let cells = children.iter().map(|&child| (self.nodes[child].events, self.nodes[child].hidden));
        let (left, few) = left_of(*events, cells);
        if *hidden || !self.smallest.given_back(left, few) {
            return None;
        }
        self.smallest_shown(children).or(Some(parent))
    }

    /// Rule 4.
    fn against_ranges(&self) -> Option<usize> {
        let ranges = self.ranges();
        let pinned = |at: usize| {
            let Range { least, most } = ranges[at];
            self.nodes[at].hidden && (most < self.smallest.get() || least == most)
        };
        // From the end, so that mechanisms come before their branch, and the whole last.
        let at = (0..self.nodes.len()).rev().find(|&at| pinned(at))?;
        let parent = self.nodes[at].parent;
        let everywhere: Vec<usize> = (0..self.nodes.len()).rev().collect();
        self.smallest_shown(&self.nodes[parent].children)
            .or_else(|| self.smallest_shown(&[parent]))
            .or_else(|| self.smallest_shown(&everywhere))
    }

    /// The smallest shown count above zero, the first of equals.
    fn smallest_shown(&self, among: &[usize]) -> Option<usize> {
        among
            .iter()
            .copied()
            .filter(|&at| !self.nodes[at].hidden && self.nodes[at].events > 0)
            .min_by_key(|&at| self.nodes[at].events)
    }

    /// What a reader can tell of each count who knows for each parent whether a case counts twice
    /// among its children. Where none does, the parent is their sum; elsewhere it is at least the
    /// largest and at most the sum. Each count stands in at most one relation above it and one below,
    /// so going up once and down once gives the exact ranges.
    fn ranges(&self) -> Vec<Range> {
        let mut ranges: Vec<Range> = self
            .nodes
            .iter()
            .map(|node| match node.hidden {
                true => Range::ABOVE_ZERO,
                false => Range { least: node.events, most: node.events },
            })
            .collect();
        for at in (0..self.nodes.len()).rev() {
            if let Some(below) = self.told_by_children(at, &ranges) {
                ranges[at] = ranges[at].and(below);
            }
        }
        for at in 0..self.nodes.len() {
            let children = &self.nodes[at].children;
            let told: Vec<Range> = children
                .iter()
                .map(|&child| ranges[child].and(self.told_by_parent(at, child, &ranges)))
                .collect();
            for (&child, range) in children.iter().zip(told) {
                ranges[child] = range;
            }
        }
        ranges
    }

    /// Whether no case counts twice among the children.
    fn each_once(&self, parent: usize) -> bool {
        let Node { events, children, .. } = &self.nodes[parent];
        total(children.iter().map(|&child| self.nodes[child].events)) == *events
    }

    /// What the children tell of their parent; `None` when it has none.
    fn told_by_children(&self, parent: usize, ranges: &[Range]) -> Option<Range> {
        let children = || self.nodes[parent].children.iter().map(|&child| ranges[child]);
        let largest = children().map(|range| range.least).max()?;
        let least = if self.each_once(parent) { total(children().map(|range| range.least)) } else { largest };
        Some(Range { least, most: total(children().map(|range| range.most)) })
    }

    /// What the parent and the other children tell of a child.
    fn told_by_parent(&self, parent: usize, child: usize, ranges: &[Range]) -> Range {
        let others = || self.nodes[parent].children.iter().filter(|&&at| at != child).map(|&at| ranges[at]);
        let Range { least, most } = ranges[parent];
        let taken = if self.each_once(parent) { total(others().map(|range| range.least)) } else { 0 };
        Range {
            least: least.saturating_sub(total(others().map(|range| range.most))),
            most: most.saturating_sub(taken),
        }
    }
}

/// A sum that stays at the top of the numbers, which here means without a limit.
fn total(counts: impl Iterator<Item = u64>) -> u64 {
    counts.fold(0, u64::saturating_add)
}
