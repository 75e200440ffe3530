//! The trees as they ship: two TOML files beside this one, read once.

use std::sync::LazyLock;

use serde::Deserialize;

use super::{CauseSlug, MechanismRole, MechanismSlug, StratumSlug};

/// A shipped tree: its branches and leaves.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Seed<Leaf> {
    /// Strata of procedures at risk; only the mechanism tree has them.
    #[serde(default)]
    pub stratum: Vec<StratumSeed>,
    /// First level.
    pub branch: Vec<BranchSeed>,
    /// Second level.
    pub leaf: Vec<Leaf>,
}

/// A shipped stratum of procedures at risk.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StratumSeed {
    pub slug: StratumSlug,
    pub label: String,
    pub definition: String,
}

/// A shipped branch.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BranchSeed {
    pub slug: String,
    pub label: String,
    pub definition: String,
}

/// A shipped mechanism.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MechanismSeed {
    pub branch: String,
    pub slug: MechanismSlug,
    pub label: String,
    pub definition: String,
    pub example: String,
    pub words: Vec<String>,
    pub at_risk: StratumSlug,
    pub role: MechanismRole,
}

/// A shipped cause.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CauseSeed {
    pub branch: String,
    pub slug: CauseSlug,
    pub label: String,
    pub definition: String,
    pub example: String,
    pub words: Vec<String>,
    pub london_protocol: String,
    pub icps: String,
}

static MECHANISMS: LazyLock<Seed<MechanismSeed>> = LazyLock::new(|| shipped(include_str!("mechanisms.toml")));
static CAUSES: LazyLock<Seed<CauseSeed>> = LazyLock::new(|| shipped(include_str!("causes.toml")));

/// Reads a file that is part of the binary; the tests read it too, so that a slip in it never ships.
#[expect(clippy::panic, reason = "a constant of the binary")]
fn shipped<T: serde::de::DeserializeOwned>(text: &str) -> T {
    toml::from_str(text).unwrap_or_else(|error| panic!("a shipped vocabulary file: {error}"))
}

/// The mechanism tree as it ships.
#[must_use]
pub fn mechanisms() -> &'static Seed<MechanismSeed> {
    &MECHANISMS
}

/// The root-cause taxonomy as it ships.
#[must_use]
pub fn causes() -> &'static Seed<CauseSeed> {
    &CAUSES
}
