//! How long the trade's definitions and the intervals of one case take.
//!
//! `cargo bench --bench definitions` reads a case of 60 events with laboratory values, observations,
//! three vessels and three complications, turns it into facts, and applies every definition and reads
//! every interval. It prints the fastest turn, median and 99th percentile, and fails on nothing: all
//! definitions and intervals together are meant to stay below 100 µs. Where the machine does other
//! work meanwhile, the fastest turn tells more than the median.

#![allow(missing_docs, clippy::unwrap_used, clippy::panic)]

use std::hint::black_box;
use std::time::{Duration, Instant};

use relook::case::evidence::facts;
use relook::case::reading::Reading;
use relook::case::{Case, CaseCode, StoredCase};
use relook::clinical::{Choices, assess_all};
use relook::vocabulary::{Mechanism, Vocabulary, mechanisms};

const TIMES: usize = 5_000;
const LIMIT_US: f64 = 100.0;

/// An invented case: a dissection that closes the LAD, the diagonal lost beside it, and a bleed.
const CASE: &str = r#"
format = 1
title = "Closure of the LAD by a wire dissection, the diagonal lost beside it, a late bleed"
month = "2025-03"
stage = "ready"
patient = { age = 67, sex = "female", presentation = "nstemi", egfr = 54, weight_kg = 71 }
procedure = { access = ["radial"], urgency = "urgent" }
lesions = [
  { segment = "lad-mid", calcification = "severe", medina = "1,1,1", length_mm = 24, reference_mm = 2.75 },
  { segment = "lcx-proximal", calcification = "mild", length_mm = 12, reference_mm = 3.0 },
]
events = [
  { key = "puncture", at = "-14:00", kind = "access" },
  { key = "guide", at = "-11:30", kind = "guide", segment = "left-main", device = "guide-catheter" },
  { key = "first-look", at = "-10:00", kind = "imaging", segment = "lad-mid", flow = 3, pressure = "132/74", heart_rate = 72, contrast = "12 mL", air_kerma = "0.08 Gy" },
  { key = "branch-look", at = "-9:40", kind = "imaging", segment = "diagonal-1", flow = 3 },
  { key = "lcx-look", at = "-9:10", kind = "imaging", segment = "lcx-proximal", flow = 3, contrast = "20 mL" },
  { key = "heparin", at = "-8:30", kind = "drug", time = "within 1 min" },
  { key = "lcx-wire", at = "-7:00", kind = "wire", segment = "lcx-proximal", device = "workhorse-wire" },
  { key = "lcx-balloon", at = "-5:30", kind = "balloon", segment = "lcx-proximal", device = "compliant-balloon" },
  { key = "lcx-slow", at = "-4:40", kind = "flow", segment = "lcx-proximal", flow = 2, contrast = "34 mL", air_kerma = "0.3 Gy" },
  { key = "lcx-stent", at = "-3:20", kind = "stent", segment = "lcx-proximal", device = "drug-eluting-stent" },
  { key = "lcx-open", at = "-2:10", kind = "flow", segment = "lcx-proximal", flow = 3 },
  { key = "wire-out", at = "+0:00", kind = "wire", segment = "lad-mid", device = "polymer-jacketed-wire" },
  { key = "branch-wire", at = "+1:10", kind = "wire", segment = "diagonal-1", device = "workhorse-wire" },
  { key = "loop", at = "+2:20", kind = "finding", segment = "lad-mid" },
  { key = "pain", at = "+3:00", kind = "symptom" },
  { key = "balloon-1", at = "+3:40", kind = "balloon", segment = "lad-mid", device = "compliant-balloon" },
  { key = "flow-lost", at = "+4:30", kind = "flow", segment = "lad-mid", flow = 0, pressure = "104/60", heart_rate = 88, contrast = "52 mL", air_kerma = "0.6 Gy" },
  { key = "branch-slow", at = "+4:50", kind = "flow", segment = "diagonal-1", flow = 2 },
  { key = "st-up", at = "+5:20", kind = "ecg" },
  { key = "named", at = "+6:00", kind = "finding", segment = "lad-mid" },
  { key = "call", at = "+6:30", kind = "help", time = "within 2 min" },
  { key = "pressure-low", at = "+7:10", kind = "haemodynamics", pressure = "78/44", heart_rate = 112 },
  { key = "pressor", at = "+7:40", kind = "drug" },
  { key = "dual-lumen", at = "+8:50", kind = "decision", device = "dual-lumen-catheter" },
  { key = "rewire", at = "+10:20", kind = "wire", segment = "lad-mid", device = "stiff-wire" },
  { key = "partial", at = "+12:00", kind = "flow", segment = "lad-mid", flow = 1, contrast = "70 mL", air_kerma = "0.9 Gy" },
  { key = "branch-lost", at = "+12:30", kind = "flow", segment = "diagonal-1", flow = 0 },
  { key = "true-lumen", at = "+14:00", kind = "imaging", segment = "lad-distal", device = "intravascular-imaging" },
  { key = "stent-1", at = "+16:40", kind = "stent", segment = "lad-mid", device = "drug-eluting-stent" },
  { key = "flow-two", at = "+17:30", kind = "flow", segment = "lad-mid", flow = 2, contrast = "96 mL", air_kerma = "1.3 Gy" },
  { key = "stent-2", at = "+20:10", kind = "stent", segment = "lad-distal", device = "drug-eluting-stent" },
  { key = "flow-back", at = "+21:30", kind = "flow", segment = "lad-mid", flow = 3, pressure = "96/58", heart_rate = 96 },
  { key = "branch-rewire", at = "+24:00", kind = "wire", segment = "diagonal-1", device = "tapered-wire" },
  { key = "branch-balloon", at = "+26:20", kind = "balloon", segment = "diagonal-1", device = "compliant-balloon" },
  { key = "branch-two", at = "+27:00", kind = "flow", segment = "diagonal-1", flow = 2, contrast = "118 mL", air_kerma = "1.8 Gy" },
  { key = "kissing", at = "+30:00", kind = "balloon", segment = "lad-mid", device = "noncompliant-balloon" },
  { key = "again-lost", at = "+31:10", kind = "flow", segment = "lad-mid", flow = 1 },
  { key = "adenosine", at = "+31:40", kind = "drug" },
  { key = "again-back", at = "+34:20", kind = "flow", segment = "lad-mid", flow = 3, contrast = "134 mL", air_kerma = "2.2 Gy" },
  { key = "branch-back", at = "+35:00", kind = "flow", segment = "diagonal-1", flow = 3 },
  { key = "echo", at = "+37:00", kind = "imaging" },
  { key = "clotting", at = "+38:30", kind = "finding", time = "order only" },
  { key = "final", at = "+41:00", kind = "imaging", segment = "lad-mid", flow = 3, contrast = "152 mL", air_kerma = "2.6 Gy" },
  { key = "sheath", at = "+44:00", kind = "access" },
  { key = "left", at = "+48:00", kind = "outcome", pressure = "108/62", heart_rate = 84 },
  { key = "ward", at = "+1:20:00", kind = "finding", time = "within 10 min" },
  { key = "ward-pressure", at = "+2:10:00", kind = "haemodynamics", pressure = "112/64", heart_rate = 80 },
  { key = "swelling", at = "+5:30:00", kind = "symptom", time = "within 15 min" },
  { key = "bleed-seen", at = "+6:00:00", kind = "finding" },
  { key = "cuff", at = "+6:20:00", kind = "decision" },
  { key = "bleed-pressure", at = "+6:40:00", kind = "haemodynamics", pressure = "86/50", heart_rate = 118 },
  { key = "fluid", at = "+6:50:00", kind = "drug" },
  { key = "scan", at = "+7:30:00", kind = "imaging", time = "within 20 min" },
  { key = "unit", at = "+8:10:00", kind = "drug" },
  { key = "bleed-held", at = "+9:00:00", kind = "finding" },
  { key = "day-one", at = "+24:00:00", kind = "finding" },
  { key = "day-two", at = "+48:00:00", kind = "finding", time = "within 60 min" },
  { key = "day-three", at = "+72:00:00", kind = "ecg" },
  { key = "day-five", at = "+120:00:00", kind = "imaging" },
  { key = "home", at = "+144:00:00", kind = "outcome" },
]
complications = [
  { key = "closure", mechanism = "wire-subintimal", segment = "lad-mid", began = "loop", recognised = "named", responded = "call", controlled = "flow-back", dissection = "D", worst_flow = 0 },
  { key = "branch", mechanism = "branch-carina-shift", segment = "diagonal-1", began = "branch-lost", recognised = "branch-rewire", responded = "branch-rewire", controlled = "branch-back", worst_flow = 0, consequence_of = "closure" },
  { key = "bleed", mechanism = "access-haematoma", began = "swelling", recognised = "bleed-seen", responded = "cuff", controlled = "bleed-held" },
]
labs = [
  { test = "troponin", drawn = "-6:00:00", returned = "-5:00:00", value = "9 ng/L", limit = "14 ng/L" },
  { test = "troponin", drawn = "-3:00:00", returned = "-2:00:00", value = "10 ng/L", limit = "14 ng/L" },
  { test = "troponin", drawn = "+6:00:00", returned = "+7:00:00", value = "480 ng/L", limit = "14 ng/L" },
  { test = "troponin", drawn = "+24:00:00", returned = "+25:00:00", value = "640 ng/L", limit = "14 ng/L" },
  { test = "ck-mb", drawn = "-3:00:00", returned = "-2:00:00", value = "3 ng/mL", limit = "5 ng/mL" },
  { test = "ck-mb", drawn = "+24:00:00", returned = "+25:00:00", value = "62 ng/mL", limit = "5 ng/mL" },
  { test = "creatinine", drawn = "-6:00:00", returned = "-5:00:00", value = "92 µmol/L" },
  { test = "creatinine", drawn = "+24:00:00", returned = "+25:00:00", value = "118 µmol/L" },
  { test = "creatinine", drawn = "+48:00:00", returned = "+49:00:00", value = "126 µmol/L" },
  { test = "creatinine", drawn = "+72:00:00", returned = "+73:00:00", value = "104 µmol/L" },
  { test = "haemoglobin", drawn = "-6:00:00", returned = "-5:00:00", value = "13.2 g/dL" },
  { test = "haemoglobin", drawn = "+7:00:00", returned = "+7:20:00", value = "9.8 g/dL" },
  { test = "haemoglobin", drawn = "+24:00:00", returned = "+25:00:00", value = "10.4 g/dL" },
  { test = "platelets", drawn = "-6:00:00", returned = "-5:00:00", value = "236 ×10⁹/L" },
  { test = "platelets", drawn = "+120:00:00", returned = "+121:00:00", value = "210 ×10⁹/L" },
]
observations = [
  { family = "vessel", segment = "lad-mid", answers = { contrast_passes = "no", lesion_open = "yes", dissection = "yes", thrombus = "no", spasm = "no", residual_stenosis = "no", cut_off = "no", air = "no", damping = "no", residual_percent = "20 %", blush = "moderate", stain_persists = "no" } },
  { family = "vessel", segment = "lcx-proximal", answers = { lesion_open = "yes", dissection = "no", thrombus = "no", spasm = "yes", residual_percent = "10 %" } },
  { family = "side-branch", segment = "diagonal-1", answers = { diameter = "2.25 mm" } },
  { family = "dissection", complication = "closure", answers = { look = "spiral", contrast_stays = "yes", flow_impaired = "yes" } },
  { family = "thrombus", segment = "lad-mid", answers = { look = "possible" } },
  { family = "frame-count", segment = "lad-mid", answers = { coronary = "lad", first = "12", last = "41", frame_rate = "15" } },
  { family = "ischaemia", answers = { ecg = "yes", st_shift = "yes", q_waves = "no", lbbb = "no", imaging_loss = "yes", imaging_substantial = "no", flow_limiting = "yes", heart_failure = "no", hypotension = "yes" } },
  { family = "bleeding", answers = { overt = "yes", intervention = "yes", higher_care = "yes", evaluation = "yes", transfused = "yes", units_before_nadir = "0", tamponade = "no", surgery = "no", vasoactive = "no", intracranial = "no", vision_loss = "no", bypass_related = "no", fatal = "no" } },
  { family = "access", complication = "bleed", answers = { death = "no", bleeding = "yes", ischaemia = "no", neurological_loss = "no" } },
  { family = "haematoma", label = "right forearm", answers = { site = "radial", size = "11 cm", above_elbow = "no", threatens_limb = "no" } },
  { family = "device", label = "second stent", answers = { loose = "no", stuck = "no", broken = "no", off_balloon = "no", shortening = "1 mm", distorted = "no" } },
  { family = "kidney", answers = { replacement = "no", other_cause = "no" } },
  { family = "radiation", answers = { kerma_area = "212 Gy·cm²", fluoroscopy = "38 min" } },
  { family = "circulation", answers = { lactate = "2.4 mmol/L", cold = "yes", drugs = "1", device = "no", worsening = "no", arrest = "no", maximal_support = "no", acidity = "7.31", low_for = "12 min", pressure_support = "yes", rales = "no", third_sound = "no", oedema = "no", vagal = "no" } },
  { family = "rhythm", answers = { ventricular = "no", compressions = "no", defibrillation = "no" } },
  { family = "pericardium", answers = { effusion = "no" } },
  { family = "reaction", answers = { skin = "no", moderate = "no", shock = "no", bronchospasm = "no", arrest = "no", sudden = "no" } },
  { family = "neurology", answers = { deficit = "no" } },
  { family = "embolism", answers = { bubbles = "no", flow_loss = "no", end_organ = "no" } },
  { family = "outcome", answers = { death = "no", stroke = "no", infarction = "yes", revascularisation = "no" } },
]
outcome = { harm = "severe" }
"#;

fn stored() -> StoredCase {
    let case: Case = toml::from_str(CASE).unwrap();
    assert_eq!(case.events.len(), 60);
    StoredCase::of_file(case, CaseCode::new(2025, 1).unwrap())
}

/// The mechanism tree as it ships, for the names of complications.
fn vocabulary() -> Vocabulary {
    let shipped = mechanisms().leaf.iter().map(|seed| Mechanism {
        slug: seed.slug.clone(),
        branch: seed.branch.clone(),
        label: seed.label.clone(),
        definition: seed.definition.clone(),
        example: seed.example.clone(),
        words: seed.words.clone(),
        at_risk: seed.at_risk.clone(),
        role: seed.role,
        own: false,
        retired: false,
    });
    Vocabulary { mechanisms: shipped.collect(), ..Vocabulary::default() }
}

/// Runs something many times and prints the fastest turn, median and 99th percentile; gives the
/// three in µs.
fn measure<T>(name: &str, mut run: impl FnMut() -> T) -> [f64; 3] {
    let mut times: Vec<Duration> = Vec::with_capacity(TIMES);
    for turn in 0..TIMES + TIMES / 10 {
        let started = Instant::now();
        let made = black_box(run());
        let taken = started.elapsed();
        drop(made);
        // The first turns warm the caches up.
        if turn >= TIMES / 10 {
            times.push(taken);
        }
    }
    times.sort_unstable();
    let us = |time: Duration| time.as_secs_f64() * 1e6;
    let told = [us(times[0]), us(times[TIMES / 2]), us(times[TIMES * 99 / 100])];
    tell(name, told);
    told
}

fn tell(name: &str, [fastest, median, p99]: [f64; 3]) {
    println!("{name:<32} fastest {fastest:>7.1} µs   median {median:>7.1} µs   p99 {p99:>7.1} µs");
}

/// Every interval of a case: the flow of each vessel and the span of each complication, in words.
fn intervals(case: &StoredCase) -> (usize, usize) {
    let reading = Reading::of(&case.events, &case.complications);
    let flow = black_box(reading.flow_sentences());
    let lost: Vec<_> = black_box(reading.vessels().iter().map(|vessel| vessel.total()).collect());
    let spans: Vec<_> = black_box(
        reading
            .spans()
            .iter()
            .map(|span| (span.sentence(), span.to_recognition(), span.to_response(), span.to_control()))
            .collect(),
    );
    (flow.len() + lost.len(), spans.len())
}

fn main() {
    let (case, vocabulary, choices) = (stored(), vocabulary(), Choices::default());
    let reading = Reading::of(&case.events, &case.complications);
    let held = facts(&case, &reading, &vocabulary);
    let found = assess_all(&held, &choices);
    let decided = found.iter().filter(|finding| !finding.is_undecided()).count();
    let (flow, spans) = intervals(&case);
    println!(
        "60 events, {} laboratory values, {} observations: {} findings, {decided} decided; {flow} of flow, {spans} spans",
        case.labs.len(),
        case.observations.len(),
        found.len(),
    );
    measure("the case turned into facts", || facts(&case, &reading, &vocabulary));
    let definitions = measure("all definitions", || assess_all(&held, &choices));
    let times = measure("all intervals", || intervals(&case));
    let [fastest, median, p99] = [0, 1, 2].map(|place| definitions[place] + times[place]);
    tell("all definitions and intervals", [fastest, median, p99]);
    let verdict = if median < LIMIT_US { "below" } else { "not below" };
    println!("The median of both together is {verdict} {LIMIT_US} µs.");
}
