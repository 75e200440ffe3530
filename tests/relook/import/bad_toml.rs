//! Bad case files in TOML, one slip each: where it is told, and what is said.

use relook::import::case_file::{Language, read};

use super::{GOOD, marked, shipped_vocabulary};

/// A slip: what stands in the good file, what stands in its place with `‸` where the problem is
/// told, the path, and a telling part of the message.
type Slip = (&'static str, &'static str, &'static str, &'static str);

#[rustfmt::skip]
const SLIPS: &[Slip] = &[
    // The head.
    ("format = 1", "format = ‸2", "format", "This program reads format 1"),
    ("format = 1", "format = ‸\"1\"", "format", "the number 1, without quotes"),
    ("format = 1\n", "‸", "", "needs the key “format”"),
    ("code = \"2025-014\"", "code = ‸\"2025/014\"", "code", "such as 2026-014"),
    ("code = \"2025-014\"", "code = ‸2025014", "code", "in quotes"),
    ("title = \"Wire under the intima\"", "title = ‸\"   \"", "title", "leave the key out"),
    ("title = \"Wire under the intima\"", "title = ‸12", "title", "Write “title” as text in quotes. This is a whole number."),
    ("month = \"2025-03\"", "month = ‸\"2025-13\"", "month", "A month is a year and a month"),
    ("month = \"2025-03\"", "month = ‸\"2025-03-14\"", "month", "A month is a year and a month"),
    ("month = \"2025-03\"", "month = ‸2025-03-14", "month", "This is a date or a time of day without quotes"),
    ("month = \"2025-03\"", "month = ‸\"1875-03\"", "month", "from 1990 to 2100"),
    ("stage = \"ready\"", "stage = ‸\"redy\"", "stage", "Did you mean “ready”?"),
    ("stage = \"ready\"", "stage = ‸\"finished\"", "stage", "Allowed: recorded, in-preparation, ready, presented, closed"),
    ("time_zero = \"guide wire enters the left main\"", "time_zero = ‸[\"a\"]", "time_zero", "This is a list"),
    ("situation =", "‸situaton =", "situaton", "Did you mean “situation”?"),
    ("narrative = \"\"\"\nFirst paragraph.", "narrative = ‸\"\"\"\nFirst\\u0007 paragraph.", "narrative", "invisible control character"),
    // The patient and the procedure.
    ("age = 67", "age = ‸17", "patient.age", "18 to 89"),
    ("age = 67", "age = ‸121", "patient.age", "18 to 89"),
    ("age = 67", "age = ‸\"67\"", "patient.age", "or \"90 or older\". This is text in quotes."),
    ("age = 67", "age = ‸67.5", "patient.age", "a whole number"),
    ("age = 67", "age = ‸99999999999999999999", "patient.age", "18 to 89"),
    ("age = 67", "age = 67\n‸name = \"N\"", "patient.name", "has no key “name”. It may have: age, sex"),
    ("sex = \"female\"", "sex = ‸\"f\"", "patient.sex", "“f” is not a sex"),
    ("sex = \"female\"", "sex = ‸true", "patient.sex", "This is true or false"),
    ("presentation = \"nstemi\"", "presentation = ‸\"NSTEMI\"", "patient.presentation", "Did you mean “nstemi”?"),
    ("history = [\"diabetes\", \"earlier PCI\"]", "history = ‸\"diabetes\"", "patient.history", "as a list in brackets"),
    ("history = [\"diabetes\", \"earlier PCI\"]", "history = [\"diabetes\", ‸5]", "patient.history[1]", "text in quotes"),
    ("egfr = 54", "egfr = ‸0", "patient.egfr", "1 to 200"),
    ("egfr = 54", "egfr = ‸-54", "patient.egfr", "1 to 200"),
    ("weight_kg = 71", "weight_kg = ‸7100", "patient.weight_kg", "25 to 300"),
    ("access = [\"radial\", \"femoral\"]", "access = [\"radial\", ‸\"femorl\"]", "procedure.access[1]", "Did you mean “femoral”?"),
    ("access = [\"radial\", \"femoral\"]", "access = ‸[\"radial\", \"radial\"]", "procedure.access", "named once"),
    ("urgency = \"urgent\"", "urgency = ‸nan", "procedure.urgency", "This is a number"),
    // Lesions.
    ("segment = \"lad-mid\"\ncalc", "segment = ‸\"LAD mid\"\ncalc", "lesions[0].segment", "Did you mean “lad-mid”?"),
    ("segment = \"lad-mid\"\ncalc", "segment = ‸\"aorta\"\ncalc", "lesions[0].segment", "“aorta” is not a coronary segment. Allowed: rca-proximal"),
    ("[[lesions]]\nsegment = \"lad-mid\"\n", "‸[[lesions]]\n", "lesions[0]", "A lesion needs the key “segment”"),
    ("medina = \"1,1,1\"", "medina = ‸\"0,0,0\"", "lesions[0].medina", "no bifurcation lesion"),
    ("medina = \"1,1,1\"", "medina = ‸[1, 1, 1]", "lesions[0].medina", "three digits in quotes"),
    ("cto = false", "cto = ‸\"no\"", "lesions[0].cto", "true or false, without quotes"),
    ("length_mm = 24", "length_mm = ‸\"24 mm\"", "lesions[0].length_mm", "a number of millimetres without quotes"),
    ("length_mm = 24", "length_mm = ‸24.125", "lesions[0].length_mm", "at most two decimals"),
    ("length_mm = 24", "length_mm = ‸0.75", "lesions[0].length_mm", "1 to 200 mm"),
    ("length_mm = 24", "length_mm = ‸inf", "lesions[0].length_mm", "0.5 to 200 mm"),
    ("reference_mm = 2.75", "reference_mm = ‸28", "lesions[0].reference_mm", "0.5 to 8 mm"),
    // Events.
    ("key = \"flow-lost\"\n", "key = ‸\"Flow lost\"\n", "events[1].key", "small letters, digits and hyphens"),
    ("[[complications]]\nkey = \"tear\"", "[[events]]\nkey = ‸\"wire-out\"\nat = \"+2:00\"\nkind = \"wire\"\n\n[[complications]]\nkey = \"tear\"", "events[3].key", "used twice"),
    ("at = \"+12:30\"", "at = ‸\"12:30\"", "events[1].at", "“+12:30”. A clock time has no place in a case."),
    ("at = \"+12:30\"", "at = ‸12:30", "events[1].at", "This is a date or a time of day without quotes"),
    ("at = \"+12:30\"", "at = ‸12", "events[1].at", "such as \"+12:30\""),
    ("at = \"+12:30\"", "at = ‸\"+12:60\"", "events[1].at", "“+12:60” is not a time from time zero"),
    ("at = \"+12:30\"", "at = ‸\"+12:30:99\"", "events[1].at", "is not a time from time zero"),
    ("at = \"+12:30\"", "at = ‸\"+337:00:00\"", "events[1].at", "within 14 days"),
    ("at = \"+12:30\"", "at = ‸\"-999999:00\"", "events[1].at", "within 14 days"),
    ("at = \"+12:30\"", "at = ‸\"14.05\"", "events[1].at", "is not a time from time zero"),
    ("time = \"within 2 min\"", "time = ‸\"about 2 min\"", "events[1].time", "within 5 min"),
    ("time = \"within 2 min\"", "time = ‸\"within 0 min\"", "events[1].time", "1 to 240"),
    ("kind = \"wire\"", "kind = ‸\"wires\"", "events[0].kind", "Did you mean “wire”?"),
    ("kind = \"wire\"\n", "", "events[0]", "An event needs the key “kind”"),
    ("flow = 0\n", "flow = ‸4\n", "events[1].flow", "0, 1, 2 or 3"),
    ("flow = 0\n", "flow = ‸\"TIMI 0\"\n", "events[1].flow", "without quotes"),
    ("pressure = \"92/54\"", "pressure = ‸\"54/92\"", "events[1].pressure", "the first not below the second"),
    ("pressure = \"92/54\"", "pressure = ‸92", "events[1].pressure", "such as \"92/54\""),
    ("heart_rate = 88", "heart_rate = ‸-1", "events[1].heart_rate", "0 to 300"),
    ("device = \"polymer-jacketed-wire\"", "device = ‸\"polymer-jacket-wire\"", "events[0].device", "Did you mean “polymer-jacketed-wire”?"),
    ("text = \"The wire advances.\"", "‸date = \"2025-03-14\"", "events[0].date", "An event has no key “date”"),
    // Complications, causes, lessons, actions, outcome.
    ("mechanism = \"wire-subintimal\"", "mechanism = ‸\"wire-subintima\"", "complications[0].mechanism", "Did you mean “wire-subintimal”?"),
    ("mechanism = \"wire-subintimal\"", "mechanism = ‸\"Wire Subintimal\"", "complications[0].mechanism", "A slug is"),
    ("began = \"wire-out\"", "began = ‸\"wire-ot\"", "complications[0].began", "No event of this case has the key “wire-ot”. Did you mean “wire-out”?"),
    ("controlled = \"flow-back\"", "controlled = ‸\"nowhere\"", "complications[0].controlled", "No event of this case has the key “nowhere”."),
    ("dissection = \"C\"", "dissection = ‸\"G\"", "complications[0].dissection", "Allowed: A, B, C, D, E, F"),
    ("perforation = \"III\"", "perforation = ‸\"IV\"", "complications[1].perforation", "Allowed: I, II, III, III-CS, V"),
    ("worst_flow = 0", "worst_flow = ‸4", "complications[0].worst_flow", "0, 1, 2 or 3"),
    ("consequence_of = \"tear\"", "consequence_of = ‸\"teer\"", "complications[1].consequence_of", "Did you mean “tear”?"),
    ("consequence_of = \"tear\"", "consequence_of = ‸\"branch\"", "complications[1].consequence_of", "follow from itself"),
    ("cause = \"th-fixation\"", "cause = ‸\"th-fixaton\"", "causes[0].cause", "Did you mean “th-fixation”?"),
    ("shown_by = [\"wire-out\", \"flow-lost\"]", "shown_by = [\"wire-out\", ‸\"gone\"]", "causes[0].shown_by[1]", "No event of this case has the key “gone”"),
    ("shown_by = [\"wire-out\", \"flow-lost\"]", "shown_by = ‸[\"wire-out\", \"wire-out\"]", "causes[0].shown_by", "named once"),
    ("kind = \"recognise\"", "kind = ‸\"recognize\"", "lessons[0].kind", "Did you mean “recognise”?"),
    ("signed_on = \"2025-04-10\"", "signed_on = ‸\"10.04.2025\"", "lessons[0].signed_on", "such as 2026-06-30"),
    ("signed_on = \"2025-04-10\"", "signed_on = ‸2025-04-10", "lessons[0].signed_on", "in quotes"),
    ("due = \"2025-06-30\"", "due = ‸\"2025-06-31\"", "actions[0].due", "A day is year, month and day"),
    ("owner = \"cath-lab lead nurse\"\n", "", "actions[0]", "An action needs the key “owner”"),
    ("strength = \"stronger\"", "strength = ‸\"strong\"", "actions[0].strength", "Did you mean “stronger”?"),
    ("harm = \"moderate\"", "harm = ‸\"much\"", "outcome.harm", "Allowed: none, mild, moderate, severe, death"),
    // How the file is written.
    ("title = \"Wire under the intima\"", "title = ‸Wire under the intima", "", "Text stands in quotes"),
    ("title = \"Wire under the intima\"", "title = ‸“Wire under the intima”", "", "typographic"),
    ("title = \"Wire under the intima\"", "title = \"Wire under the intima‸", "", "closing quotation mark is missing"),
    ("title = \"Wire under the intima\"", "title = \"Wire \"‸under\" the intima\"", "", "A quotation mark inside a text is written \\\""),
    ("title = \"Wire under the intima\"", "title: ‸\"Wire under the intima\"", "", "not a colon"),
    ("title = \"Wire under the intima\"", "title ‸\"Wire under the intima\"", "", "An equals sign is missing"),
    ("title = \"Wire under the intima\"", "title = \"a \\‸ b\"", "", "For the backslash itself write \\\\"),
    ("title = \"Wire under the intima\"", "title = ‸", "", "A value is missing after the equals sign"),
    ("Second *paragraph*.\n\"\"\"", "Second *paragraph*.\n", "", "has no closing \"\"\""),
    ("age = 67", "age = 67\n‸age = 68", "", "“age” stands here a second time"),
    ("age = 67", "age = ‸067", "", "no zero before it"),
    ("[procedure]", "[‸patient]", "", "“patient” stands here a second time"),
    ("[procedure]", "[procedure‸", "", "closing bracket of this heading"),
    ("[[causes]]", "[[causes]‸", "", "two closing brackets"),
    ("[[causes]]", "‸[causes]", "causes", "Each of the causes begins with a heading in two brackets: [[causes]]."),
    ("[\"diabetes\", \"earlier PCI\"]", "[\"diabetes\" ‸\"earlier PCI\"]", "", "A comma is missing in this list"),
    ("reference_mm = 2.75", "reference_mm = 2‸,75", "", "Decimals are written with a point"),
    ("at = \"+12:30\"", "at = ‸+12:30", "", "Months, days and times stand in quotes"),
    ("month = \"2025-03\"", "month = ‸2025-03", "", "Months, days and times stand in quotes"),
    ("cto = false", "cto = ‸no", "", "Write true or false, without quotes"),
    ("cto = false", "cto = ‸False", "", "Write true or false, in small letters"),
    ("pressure = \"92/54\"", "pressure = ‸92/54", "", "Text stands in quotes"),
];

/// Where a problem is told that lies at the heading of the part that was changed.
fn heading_of(path: &str, text: &str) -> (usize, usize) {
    let list = path.split('[').next().unwrap_or_default();
    let line = text.lines().position(|line| line == format!("[[{list}]]")).expect("the heading") + 1;
    (line, 1)
}

#[test]
fn each_slip_is_told_once_at_its_line_and_column_in_words() {
    let mut wrong = Vec::new();
    for (found, put, path, says) in SLIPS {
        assert!(GOOD.contains(found), "the good file has no {found:?}");
        let text = GOOD.replacen(found, put, 1);
        let (text, place) = if put.contains('‸') {
            marked(&text)
        } else {
            let place = if path.is_empty() { (8, 13) } else { heading_of(path, &text) };
            (text, place)
        };
        match read(text.as_bytes(), Language::Toml, shipped_vocabulary()) {
            Ok(_) => wrong.push(format!("{put:?} was taken in")),
            Err(problems) => {
                let first = &problems[0];
                let right = problems.len() == 1
                    && (first.line, first.column) == place
                    && first.path == *path
                    && first.message.contains(says);
                if !right {
                    let told: Vec<String> = problems.iter().map(ToString::to_string).collect();
                    wrong.push(format!(
                        "{put:?} at {place:?} {path} {says:?} was told as\n    {}",
                        told.join("\n    ")
                    ));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(SLIPS.len() >= 60);
}
