//! The two trees as a page or a check needs them: branches, leaves, and finding one by slug.

use super::{CauseSlug, MechanismSlug, StratumSlug};
use crate::quantity::words;

words!(
    /// Whether a mechanism can be the harm itself or only contribute to one.
    MechanismRole, "a role of a mechanism", {
        Primary = "primary", "a harm of its own";
        Contributory = "contributory", "contributes only";
    }
);

/// A first-level branch of either tree.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Branch {
    /// Its lasting name, `wire`.
    pub slug: String,
    /// What a person reads.
    pub label: String,
    /// One line.
    pub definition: String,
}

/// A stratum of procedures: the denominator of the mechanisms that name it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stratum {
    /// Its lasting name, `bifurcation-pci`.
    pub slug: StratumSlug,
    /// What a person reads.
    pub label: String,
    /// Which procedures are counted.
    pub definition: String,
}

/// A leaf of the mechanism tree.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mechanism {
    /// Its lasting name.
    pub slug: MechanismSlug,
    /// The branch it belongs to.
    pub branch: String,
    /// What a person reads.
    pub label: String,
    /// One line.
    pub definition: String,
    /// A concrete example.
    pub example: String,
    /// Everyday words that find it.
    pub words: Vec<String>,
    /// Its procedures at risk.
    pub at_risk: StratumSlug,
    /// Whether it can be the harm itself.
    pub role: MechanismRole,
    /// Added by the department rather than shipped.
    pub own: bool,
    /// No longer offered; cases that use it keep it.
    pub retired: bool,
}

/// A leaf of the root-cause taxonomy.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cause {
    /// Its lasting name.
    pub slug: CauseSlug,
    /// The branch it belongs to.
    pub branch: String,
    /// What a person reads.
    pub label: String,
    /// One line.
    pub definition: String,
    /// A concrete example.
    pub example: String,
    /// Everyday words that find it.
    pub words: Vec<String>,
    /// The contributory factor type of the London Protocol it falls under.
    pub london_protocol: String,
    /// The WHO ICPS class of contributing factors it falls under.
    pub icps: String,
    /// Added by the department rather than shipped.
    pub own: bool,
    /// No longer offered; cases that use it keep it.
    pub retired: bool,
}

/// Both trees and the strata, as the database holds them now.
#[derive(Debug, Clone, Default)]
pub struct Vocabulary {
    /// Strata of procedures at risk, in their order.
    pub strata: Vec<Stratum>,
    /// Branches of the mechanism tree, in their order.
    pub mechanism_branches: Vec<Branch>,
    /// Leaves of the mechanism tree, retired ones included.
    pub mechanisms: Vec<Mechanism>,
    /// Branches of the root-cause taxonomy, in their order.
    pub cause_branches: Vec<Branch>,
    /// Leaves of the root-cause taxonomy, retired ones included.
    pub causes: Vec<Cause>,
}

impl Vocabulary {
    /// The mechanism of this slug.
    #[must_use]
    pub fn mechanism(&self, slug: &MechanismSlug) -> Option<&Mechanism> {
        self.mechanisms.iter().find(|leaf| leaf.slug == *slug)
    }

    /// The cause of this slug.
    #[must_use]
    pub fn cause(&self, slug: &CauseSlug) -> Option<&Cause> {
        self.causes.iter().find(|leaf| leaf.slug == *slug)
    }

    /// The stratum of this slug.
    #[must_use]
    pub fn stratum(&self, slug: &StratumSlug) -> Option<&Stratum> {
        self.strata.iter().find(|stratum| stratum.slug == *slug)
    }

    /// What a person reads for a stratum; the slug itself when it is not known.
    #[must_use]
    pub fn stratum_label(&self, slug: &StratumSlug) -> String {
        self.stratum(slug).map_or_else(|| slug.to_string(), |stratum| stratum.label.clone())
    }

    /// What a person reads for a mechanism; the slug itself when the tree has lost it.
    #[must_use]
    pub fn mechanism_label(&self, slug: &MechanismSlug) -> String {
        self.mechanism(slug).map_or_else(|| slug.to_string(), |leaf| leaf.label.clone())
    }

    /// What a person reads for a cause; the slug itself when the taxonomy has lost it.
    #[must_use]
    pub fn cause_label(&self, slug: &CauseSlug) -> String {
        self.cause(slug).map_or_else(|| slug.to_string(), |leaf| leaf.label.clone())
    }

    /// The slugs that look most like a text that is none of them, for "did you mean".
    #[must_use]
    pub fn nearest_mechanism(&self, text: &str) -> Option<&Mechanism> {
        let text = text.to_lowercase();
        self.mechanisms
            .iter()
            .map(|leaf| (likeness(leaf.slug.as_str(), &text), leaf))
            .filter(|(score, _)| *score >= 0.5)
            .max_by(|a, b| a.0.total_cmp(&b.0))
            .map(|(_, leaf)| leaf)
    }

    /// As [`Vocabulary::nearest_mechanism`], for causes.
    #[must_use]
    pub fn nearest_cause(&self, text: &str) -> Option<&Cause> {
        let text = text.to_lowercase();
        self.causes
            .iter()
            .map(|leaf| (likeness(leaf.slug.as_str(), &text), leaf))
            .filter(|(score, _)| *score >= 0.5)
            .max_by(|a, b| a.0.total_cmp(&b.0))
            .map(|(_, leaf)| leaf)
    }
}

/// Share of letter pairs that two texts have in common (Dice's coefficient), 0 to 1.
#[expect(clippy::cast_precision_loss, reason = "lengths of slugs")]
fn likeness(a: &str, b: &str) -> f64 {
    let pairs = |text: &str| -> Vec<[char; 2]> {
        let letters: Vec<char> = text.chars().take(60).collect();
        letters.windows(2).map(|w| [w[0], w[1]]).collect()
    };
    let (left, mut right) = (pairs(a), pairs(b));
    let total = left.len() + right.len();
    if total == 0 {
        return 0.0;
    }
    let mut shared = 0;
    for pair in left {
        if let Some(index) = right.iter().position(|other| *other == pair) {
            right.swap_remove(index);
            shared += 1;
        }
    }
    2.0 * f64::from(shared) / total as f64
}
