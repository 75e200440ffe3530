//! The lists of words that the rules share. Our own, from common practice in English.

/// The list that a pattern names.
pub(super) fn named(name: &str) -> &'static [&'static str] {
    match name {
        "role" => ROLES,
        "act" => ACTS_OF_CARE,
        "acted" => ACTS_OF_CARE_PAST,
        "perceive" => PERCEIVING,
        "thing" => THINGS,
        "mechanical" => WHAT_THINGS_DO,
        "measured" => MEASURED,
        "sign" => SIGNS,
        "organ" => ORGANS_AND_DEVICES,
        "shape" => SHAPES,
        "near" => PLACES_AND_TIMES,
        "procedure" => PROCEDURES,
        "done" => BLAMED_ACTS,
        "trait" => TRAITS,
        _ => &[],
    }
}

/// Words that begin or join phrases, so that what stands before them is another matter.
#[rustfmt::skip]
pub(super) const FUNCTION_WORDS: &[&str] = &[
    "of", "about", "for", "to", "by", "in", "on", "at", "with", "without", "and", "or", "but", "from", "before",
    "after", "was", "were", "is", "are", "has", "had", "have", "did", "does", "that", "which", "who", "when",
    "while", "because", "so", "as", "since", "between", "led", "caused", "made", "delayed", "could", "would", "should",
];

/// Roles of people at work in and around the laboratory.
#[rustfmt::skip]
const ROLES: &[&str] = &[
    "operator", "operators", "fellow", "fellows", "nurse", "nurses", "attending", "attendings", "radiographer",
    "radiographers", "technician", "technicians", "technologist", "technologists", "anaesthetist", "anaesthetists",
    "anesthetist", "anesthetists", "anesthesiologist", "anesthesiologists", "registrar", "registrars", "consultant",
    "consultants", "team", "teams", "doctor", "doctors", "physician", "physicians", "staff", "surgeon", "surgeons",
    "cardiologist", "cardiologists", "interventionist", "interventionists", "interventionalist", "interventionalists",
    "assistant", "assistants", "trainee", "trainees", "resident", "residents", "intern", "interns", "junior", "juniors",
    "senior", "seniors", "physiologist", "physiologists", "perfusionist", "perfusionists", "pharmacist",
    "pharmacists", "paramedic", "paramedics", "crew", "clinician", "clinicians", "colleague", "colleagues",
    "supervisor", "supervisors", "trainer", "trainers", "proctor", "proctors", "porter", "porters",
];

/// What somebody may have had the duty to do.
#[rustfmt::skip]
const ACTS_OF_CARE: &[&str] = &[
    "give", "check", "call", "ask", "order", "repeat", "measure", "wire", "flush", "record", "tell", "report",
    "hand", "take", "use", "look", "confirm", "document", "prepare", "stop", "start", "test", "inform", "warn",
    "monitor", "review", "treat", "escalate", "request", "speak", "watch", "fetch", "bring", "administer", "examine",
    "assess", "aspirate", "protect", "remove", "change", "count", "communicate", "alert", "prescribe", "hold", "image",
    "size", "pull", "withdraw", "secure", "set", "question", "read", "reverse", "cover", "wait", "pause", "scan",
];

/// The same, as done.
#[rustfmt::skip]
const ACTS_OF_CARE_PAST: &[&str] = &[
    "gave", "checked", "called", "asked", "ordered", "repeated", "measured", "wired", "flushed", "recorded", "told",
    "reported", "took", "used", "looked", "confirmed", "documented", "prepared", "stopped", "started", "tested",
    "informed", "warned", "monitored", "reviewed", "treated", "escalated", "requested", "watched", "fetched",
    "brought", "examined", "assessed", "questioned", "counted", "alerted", "secured", "removed", "held",
];

/// What happens in a head, and is no act that can be anybody's duty.
#[rustfmt::skip]
const PERCEIVING: &[&str] = &[
    "see", "notice", "recognise", "recognize", "realise", "realize", "hear", "identify", "appreciate", "understand",
    "anticipate", "consider", "suspect", "detect", "spot", "foresee", "remember", "think", "know", "diagnose",
];

/// What is not a person and can fail all the same.
#[rustfmt::skip]
const THINGS: &[&str] = &[
    "balloon", "balloons", "wire", "wires", "guidewire", "stent", "stents", "catheter", "catheters", "microcatheter",
    "guide", "device", "devices", "sheath", "pump", "generator", "pacemaker", "lead", "defibrillator", "monitor",
    "alarm", "injector", "console", "display", "printer", "closure", "plug", "suture", "coil", "coils", "snare",
    "burr", "lithotripsy", "drug", "drugs", "nitrate", "adenosine", "verapamil", "heparin", "protamine", "thrombolysis",
    "adrenaline", "noradrenaline", "fluid", "fluids", "heart", "ventricle", "lesion", "vessel", "artery", "graft",
    "valve", "kidney", "kidneys", "lung", "lungs", "flow", "pressure", "shock", "shocks", "attempt", "attempts",
    "battery", "system", "machine", "tube", "line", "cuff", "band", "it", "manoeuvre", "access", "aspiration",
    "extension", "anchoring", "drain", "filter", "connector", "hub", "valves", "software", "network", "telephone",
];

/// What things and bodies do or fail to do.
#[rustfmt::skip]
const WHAT_THINGS_DO: &[&str] = &[
    "cross", "expand", "open", "deflate", "inflate", "deploy", "release", "detach", "advance", "track", "pass", "eject",
    "capture", "sense", "pace", "respond", "wean", "thrive", "reach", "resolve", "heal", "clot", "seal", "dilate",
    "yield", "relax", "close", "fill", "clear", "recover", "return", "rise", "fall", "contract", "convert", "cardiovert",
    "engage", "work", "fire", "charge", "come", "go", "move", "turn", "rotate", "aspirate", "improve", "conduct",
    "oxygenate", "show", "restore", "sound", "print", "boot", "connect", "hold", "close",
];

/// What is given as a number when it is known.
#[rustfmt::skip]
const MEASURED: &[&str] = &[
    "anticoagulation", "heparinisation", "heparinization", "heparin", "dose", "dosing", "loading", "hydration",
    "saturation", "pressure", "clotting", "act", "inflation", "dilatation", "lumen", "area", "length", "size",
];

/// Signs and findings of the body, of imaging or of a device, which the trade calls poor or
/// inadequate as a term and not as a judgement.
#[rustfmt::skip]
const SIGNS: &[&str] = &[
    "flow", "run-off", "runoff", "inflow", "outflow", "collateral", "collaterals", "collateralisation", "perfusion",
    "reperfusion", "progression", "function", "fraction", "contractility", "contraction", "reserve", "inhibition",
    "response", "responder", "responders", "metaboliser", "metabolisers", "metabolizer", "metabolizers", "window",
    "windows", "opacification", "apposition", "expansion", "prognosis", "filling", "washout", "clearance",
    "oxygenation", "diuresis", "urine", "output", "absorption", "pulse", "pulses", "pulsatility", "bed", "conduit",
    "conduits", "target", "targets", "vein", "veins", "reflow", "calcium", "capture", "sensing", "consciousness",
    "oxygen", "motion", "evidence", "symptoms", "pain", "resolution", "tolerance", "overlap", "relaxation", "effect",
    "recoil", "mobility", "echogenicity", "healing", "endothelialisation", "endothelialization",
];

/// What fails as a diagnosis or as a fault of a device.
#[rustfmt::skip]
const ORGANS_AND_DEVICES: &[&str] = &[
    "heart", "cardiac", "ventricular", "renal", "kidney", "respiratory", "lung", "liver", "hepatic", "organ",
    "multi-organ", "multiorgan", "circulatory", "pump", "graft", "valve", "device", "closure", "stent", "lead",
    "battery", "generator", "alarm", "power", "equipment", "machine", "balloon", "wire", "catheter", "console",
    "injector", "software", "network", "treatment", "pacing", "autonomic", "bone-marrow", "cuff", "suture", "access",
];

/// What a vessel can badly be.
#[rustfmt::skip]
const SHAPES: &[&str] = &[
    "calcified", "tortuous", "diseased", "angulated", "scarred", "degenerated", "stenosed", "narrowed", "bruised",
    "kinked", "bent", "crushed", "deformed", "damaged", "torn", "opacified", "perfused", "collateralised", "filled",
    "expanded", "apposed", "controlled", "tolerated", "compliant", "vascularised", "impaired",
];

/// Where or when "just" measures a distance and makes nothing small.
#[rustfmt::skip]
const PLACES_AND_TIMES: &[&str] = &[
    "distal", "distally", "proximal", "proximally", "above", "below", "beyond", "past", "before", "after", "under",
    "over", "short", "outside", "inside", "at", "within", "visible", "behind", "beside", "upstream", "downstream",
    "beneath", "underneath", "touching", "reaching", "reached", "enough", "as", "when", "in", "off", "next", "medial",
    "lateral", "caudal", "cranial", "then", "where", "opposite", "from", "to", "cleared", "around", "into", "on",
];

/// What is agreed in advance and can be departed from.
#[rustfmt::skip]
const PROCEDURES: &[&str] = &[
    "protocol", "protocols", "procedure", "procedures", "policy", "policies", "checklist", "checklists", "guideline",
    "guidelines", "guidance", "pathway", "pathways", "rule", "rules", "sop", "sops", "instructions", "time-out",
    "timeout", "standard", "standards", "bundle", "algorithm", "sign-in", "briefing",
];

/// Acts that a statement may lay at somebody's door, as done.
#[rustfmt::skip]
const BLAMED_ACTS: &[&str] = &[
    "advanced", "pushed", "pulled", "inflated", "injected", "perforated", "dissected", "lost", "dropped", "tore",
    "oversized", "undersized", "chose", "selected", "decided", "left", "rushed", "hurried", "hesitated", "persisted",
    "continued", "insisted", "assumed", "thought", "believed", "used", "took", "deployed", "stented", "punctured",
    "withdrew", "removed", "gave", "placed", "put", "overinflated", "overestimated", "underestimated", "delayed",
    "waited", "refused", "declined", "panicked", "caused", "made", "closed", "jailed", "twisted", "turned", "over-turned",
    "opened", "forced", "drew", "cut", "broke", "burst", "ruptured", "damaged", "disconnected", "contaminated",
    "engaged", "cannulated", "wired", "entered", "treated", "stopped", "started", "went", "kept", "tried", "wanted",
    "confused", "handed", "handled", "manipulated", "dislodged", "entrapped", "trapped", "fractured", "embolised",
];

/// Words that describe a person.
#[rustfmt::skip]
const TRAITS: &[&str] = &[
    "careless", "negligent", "sloppy", "complacent", "inattentive", "inexperienced", "overconfident", "over-confident",
    "tired", "distracted", "slow", "hesitant", "impatient", "rushed", "aggressive", "unskilled", "incompetent",
    "lazy", "stubborn", "arrogant", "unaware", "unprepared", "confused", "reckless", "hasty", "clumsy", "rough",
    "inexperience", "overconfidence", "technique", "judgement", "judgment", "decision", "skill", "skills", "attitude",
    "fault", "failure", "haste", "choice", "carelessness", "negligence", "inattention", "complacency", "hesitation",
    "impatience", "stubbornness", "handling", "manipulation", "ignorance", "incompetence", "poor", "wrong", "bad",
];
