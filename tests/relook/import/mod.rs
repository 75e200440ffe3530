//! Case files and tables of procedures at risk: what is read, and what is said of bad ones.

mod at_risk;
mod bad_json;
mod bad_toml;
mod hostile;
mod reading;

use std::sync::OnceLock;

use relook::database::Database;
use relook::vocabulary::{Vocabulary, store};

/// The shipped trees, as a fresh database holds them.
pub fn shipped_vocabulary() -> &'static Vocabulary {
    static SHIPPED: OnceLock<Vocabulary> = OnceLock::new();
    SHIPPED.get_or_init(|| {
        // A thread of its own, so that tests with and without a runtime can ask.
        std::thread::spawn(|| {
            let runtime =
                tokio::runtime::Builder::new_current_thread().enable_all().build().expect("a runtime");
            runtime.block_on(async {
                let folder = tempfile::tempdir().expect("a folder");
                let database =
                    Database::open(&folder.path().join("relook.sqlite")).await.expect("a database");
                let mut tx = database.write().await.expect("a transaction");
                store::seed(&mut tx).await.expect("the shipped trees");
                store::load(&mut tx).await.expect("the shipped trees")
            })
        })
        .join()
        .expect("the thread")
    })
}

/// A text without its `‸`, and the line and column (in characters, from 1) where that stood.
pub fn marked(text: &str) -> (String, (usize, usize)) {
    let at = text.find('‸').expect("a mark in the text");
    let before = &text[..at];
    let line = before.matches('\n').count() + 1;
    let column = before.rsplit('\n').next().unwrap_or_default().chars().count() + 1;
    (text.replacen('‸', "", 1), (line, column))
}

/// A whole case with every kind of key, from which the bad files are made.
pub const GOOD: &str = r#"format = 1
code = "2025-014"
title = "Wire under the intima"
month = "2025-03"
stage = "ready"
time_zero = "guide wire enters the left main"
situation = "Two sentences. No more."
narrative = """
First paragraph.

Second *paragraph*.
"""

[patient]
age = 67
sex = "female"
presentation = "nstemi"
history = ["diabetes", "earlier PCI"]
egfr = 54
weight_kg = 71

[procedure]
access = ["radial", "femoral"]
urgency = "urgent"
strategy = "Provisional stenting"

[[lesions]]
segment = "lad-mid"
calcification = "severe"
tortuosity = "mild"
medina = "1,1,1"
cto = false
ostial = true
length_mm = 24
reference_mm = 2.75

[[events]]
key = "wire-out"
at = "+0:00"
kind = "wire"
segment = "lad-mid"
device = "polymer-jacketed-wire"
text = "The wire advances."

[[events]]
key = "flow-lost"
at = "+12:30"
time = "within 2 min"
kind = "flow"
segment = "lad-mid"
flow = 0
pressure = "92/54"
heart_rate = 88

[[events]]
key = "flow-back"
at = "+1:05:00"
kind = "flow"
segment = "lad-mid"
flow = 3

[[complications]]
key = "tear"
mechanism = "wire-subintimal"
segment = "lad-mid"
began = "wire-out"
recognised = "flow-lost"
controlled = "flow-back"
dissection = "C"
worst_flow = 0

[[complications]]
key = "branch"
mechanism = "branch-jailed"
segment = "diagonal-1"
perforation = "III"
consequence_of = "tear"

[[causes]]
cause = "th-fixation"
statement = "Because of this, that, so the other."
shown_by = ["wire-out", "flow-lost"]

[[lessons]]
kind = "recognise"
text = "Turn the tip."
event = "flow-lost"
signed_by = "Attending"
signed_on = "2025-04-10"

[[actions]]
what = "A card at the table"
owner = "cath-lab lead nurse"
due = "2025-06-30"
strength = "stronger"
measure = "Share of crossings with a card, per quarter, target 90 %"
state = "open"

[outcome]
discharge = "Home on day 3."
harm = "moderate"
"#;
