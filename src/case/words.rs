//! The closed lists of the trade's words that a case is written in.

use crate::quantity::words;

words!(
    /// How far a case has come on its way to the room and back.
    Stage, "a stage", {
        Recorded = "recorded", "Recorded";
        InPreparation = "in-preparation", "In preparation";
        Ready = "ready", "Ready";
        Presented = "presented", "Presented";
        Closed = "closed", "Closed";
    }
);

words!(
    /// The patient's sex, where it is recorded.
    Sex, "a sex", {
        Female = "female", "female";
        Male = "male", "male";
    }
);

words!(
    /// How the patient came to the procedure.
    Presentation, "a presentation", {
        ChronicCoronarySyndrome = "chronic-coronary-syndrome", "Chronic coronary syndrome";
        UnstableAngina = "unstable-angina", "Unstable angina";
        Nstemi = "nstemi", "NSTEMI";
        Stemi = "stemi", "STEMI";
        CardiogenicShock = "cardiogenic-shock", "Cardiogenic shock";
        CardiacArrest = "cardiac-arrest", "Cardiac arrest";
        HeartFailure = "heart-failure", "Heart failure";
        Arrhythmia = "arrhythmia", "Arrhythmia";
    }
);

words!(
    /// Where the artery was entered.
    Access, "an access", {
        Radial = "radial", "Radial";
        DistalRadial = "distal-radial", "Distal radial";
        Ulnar = "ulnar", "Ulnar";
        Brachial = "brachial", "Brachial";
        Femoral = "femoral", "Femoral";
    }
);

words!(
    /// How soon the procedure had to be done.
    Urgency, "an urgency", {
        Elective = "elective", "Elective";
        Urgent = "urgent", "Urgent";
        Emergency = "emergency", "Emergency";
        Salvage = "salvage", "Salvage";
    }
);

words!(
    /// How much of a feature a lesion has, as angiography grades it by eye.
    Extent, "an extent", {
        None = "none", "none";
        Mild = "mild", "mild";
        Moderate = "moderate", "moderate";
        Severe = "severe", "severe";
    }
);

words!(
    /// What sort of thing an event is.
    EventKind, "a kind of event", {
        Access = "access", "Access";
        Guide = "guide", "Guide engaged";
        Wire = "wire", "Wire advanced";
        WirePositionLost = "wire-position-lost", "Wire position lost";
        Balloon = "balloon", "Balloon";
        Stent = "stent", "Stent";
        Imaging = "imaging", "Imaging";
        Finding = "finding", "Finding";
        Flow = "flow", "Flow change";
        Symptom = "symptom", "Symptom";
        Ecg = "ecg", "ECG change";
        Haemodynamics = "haemodynamics", "Haemodynamics";
        Drug = "drug", "Drug";
        Contrast = "contrast", "Contrast";
        Help = "help", "Call for help";
        Support = "support", "Support device";
        Decision = "decision", "Decision";
        Outcome = "outcome", "Outcome";
    }
);

words!(
    /// The class of device in use; a class, never a product.
    Device, "a device class", {
        WorkhorseWire = "workhorse-wire", "Workhorse wire";
        PolymerJacketedWire = "polymer-jacketed-wire", "Polymer-jacketed wire";
        StiffWire = "stiff-wire", "Stiff wire";
        TaperedWire = "tapered-wire", "Tapered wire";
        PressureWire = "pressure-wire", "Pressure wire";
        Microcatheter = "microcatheter", "Microcatheter";
        DualLumenCatheter = "dual-lumen-catheter", "Dual-lumen catheter";
        ReentryBalloon = "reentry-balloon", "Re-entry balloon";
        CompliantBalloon = "compliant-balloon", "Compliant balloon";
        NoncompliantBalloon = "noncompliant-balloon", "Non-compliant balloon";
        ScoringBalloon = "scoring-balloon", "Scoring balloon";
        DrugCoatedBalloon = "drug-coated-balloon", "Drug-coated balloon";
        PerfusionBalloon = "perfusion-balloon", "Perfusion balloon";
        DrugElutingStent = "drug-eluting-stent", "Drug-eluting stent";
        CoveredStent = "covered-stent", "Covered stent";
        Coil = "coil", "Coil";
        AspirationCatheter = "aspiration-catheter", "Aspiration catheter";
        Atherectomy = "atherectomy", "Atherectomy";
        Lithotripsy = "lithotripsy", "Lithotripsy";
        GuideCatheter = "guide-catheter", "Guide catheter";
        GuideExtension = "guide-extension", "Guide extension";
        Snare = "snare", "Snare";
        IntravascularImaging = "intravascular-imaging", "Intravascular imaging";
        TemporaryPacingWire = "temporary-pacing-wire", "Temporary pacing wire";
        BalloonPump = "balloon-pump", "Intra-aortic balloon pump";
        Pump = "pump", "Ventricular assist pump";
        PericardialDrain = "pericardial-drain", "Pericardial drain";
        VascularClosure = "vascular-closure", "Vascular closure device";
        Sheath = "sheath", "Sheath";
        Other = "other", "Other device";
    }
);

words!(
    /// Coronary dissection by its angiographic look, NHLBI types.
    ///
    /// A: lucency in the lumen, little contrast left after. B: double lumen. C: contrast outside
    /// the lumen persists. D: spiral. E: new persistent filling defect. F: impaired flow or
    /// occlusion, none of A–E.
    ///
    /// # Source
    /// Huber et al., Am J Cardiol 1991;68:467 (from memory).
    DissectionType, "a dissection type", {
        A = "A", "type A";
        B = "B", "type B";
        C = "C", "type C";
        D = "D", "type D";
        E = "E", "type E";
        F = "F", "type F";
    }
);

words!(
    /// Coronary perforation by its angiographic look, Ellis types.
    ///
    /// I: crater, no extravasation. II: blush, no jet. III: jet through a hole of 1 mm or more.
    /// III-CS: into a cavity. V: distal, by a wire (a later addition).
    ///
    /// # Source
    /// Ellis et al., Circulation 1994;90:2725.
    PerforationGrade, "a perforation grade", {
        I = "I", "Ellis I";
        II = "II", "Ellis II";
        III = "III", "Ellis III";
        CavitySpilling = "III-CS", "Ellis III, cavity spilling";
        V = "V", "Ellis V";
    }
);

words!(
    /// What a lesson helps the department to do next time.
    LessonKind, "a kind of lesson", {
        Prevent = "prevent", "Prevent";
        Recognise = "recognise", "Recognise";
        Respond = "respond", "Respond";
        Organise = "organise", "Organise";
    }
);

words!(
    /// How strongly an action changes what will happen, by the action hierarchy of RCA²
    /// (National Patient Safety Foundation, 2015; from memory).
    Strength, "a strength", {
        Stronger = "stronger", "Stronger";
        Intermediate = "intermediate", "Intermediate";
        Weaker = "weaker", "Weaker";
    }
);

words!(
    /// How much a cause carried: our own words for the usual three (root, contributing, incidental).
    Weight, "the weight of a cause", {
        Root = "root", "Root";
        Contributing = "contributing", "Contributing";
        Incidental = "incidental", "Incidental";
    }
);

impl Default for Weight {
    /// Every cause contributes; more or less than that has to be said.
    fn default() -> Self {
        Self::Contributing
    }
}

words!(
    /// What sort of change an action is: the categories of the action hierarchy of RCA² (National
    /// Patient Safety Foundation, 2015; restated from memory, as are their places in it).
    ActionKind, "a kind of action", {
        Place = "place-or-equipment", "Change of place or equipment that makes the error hard";
        ForcingFunction = "forcing-function", "Forcing function";
        Simpler = "simpler-process", "Simplified process";
        StandardEquipment = "standard-equipment", "Standard equipment";
        Leadership = "leadership", "Visible leadership involvement";
        Redundancy = "redundancy", "Redundancy";
        Staffing = "staffing", "More staff or less load";
        Software = "software", "Software help";
        FewerDistractions = "fewer-distractions", "Fewer distractions";
        Simulation = "simulation", "Simulation training with refreshers";
        Checklist = "checklist", "Checklist or cognitive aid";
        NoLookAlikes = "no-look-alikes", "No look-alikes";
        ReadBack = "read-back", "Read-back";
        Records = "better-records", "Better records";
        DoubleCheck = "double-check", "Double check";
        Warning = "warning", "Warning";
        Policy = "new-policy", "New policy";
        TrainingOnce = "training-once", "Training once";
    }
);

impl ActionKind {
    /// Its place in the hierarchy.
    #[must_use]
    pub const fn strength(self) -> Strength {
        match self {
            Self::Place
            | Self::ForcingFunction
            | Self::Simpler
            | Self::StandardEquipment
            | Self::Leadership => Strength::Stronger,
            Self::Redundancy
            | Self::Staffing
            | Self::Software
            | Self::FewerDistractions
            | Self::Simulation
            | Self::Checklist
            | Self::NoLookAlikes
            | Self::ReadBack
            | Self::Records => Strength::Intermediate,
            Self::DoubleCheck | Self::Warning | Self::Policy | Self::TrainingOnce => Strength::Weaker,
        }
    }
}

words!(
    /// Where an action stands.
    ActionState, "a state of an action", {
        Open = "open", "Open";
        Done = "done", "Done";
        Dropped = "dropped", "Dropped";
    }
);

words!(
    /// Degree of harm to the patient, WHO Conceptual Framework for the International
    /// Classification for Patient Safety v1.1, 2009 (wording from memory).
    Harm, "a degree of harm", {
        None = "none", "None";
        Mild = "mild", "Mild";
        Moderate = "moderate", "Moderate";
        Severe = "severe", "Severe";
        Death = "death", "Death";
    }
);

words!(
    /// A segment of the 16-segment coronary tree of the AHA scheme.
    ///
    /// # Source
    /// Austen et al., Circulation 1975;51(4 Suppl):5–40, with the right posterolateral branch
    /// as segment 16 (from memory).
    Segment, "a coronary segment", {
        RcaProximal = "rca-proximal", "RCA proximal (1)";
        RcaMid = "rca-mid", "RCA mid (2)";
        RcaDistal = "rca-distal", "RCA distal (3)";
        RcaPda = "rca-pda", "PDA from RCA (4)";
        LeftMain = "left-main", "Left main (5)";
        LadProximal = "lad-proximal", "LAD proximal (6)";
        LadMid = "lad-mid", "LAD mid (7)";
        LadDistal = "lad-distal", "LAD distal (8)";
        Diagonal1 = "diagonal-1", "First diagonal (9)";
        Diagonal2 = "diagonal-2", "Second diagonal (10)";
        LcxProximal = "lcx-proximal", "LCx proximal (11)";
        ObtuseMarginal = "obtuse-marginal", "Obtuse marginal (12)";
        LcxDistal = "lcx-distal", "LCx distal (13)";
        LcxPosterolateral = "lcx-posterolateral", "Posterolateral from LCx (14)";
        LcxPda = "lcx-pda", "PDA from LCx (15)";
        RcaPosterolateral = "rca-posterolateral", "Posterolateral from RCA (16)";
    }
);

words!(
    /// A vessel as it has a lane on the timeline: a main vessel or one of its branches.
    Vessel, "a vessel", {
        LeftMain = "left-main", "Left main";
        Lad = "lad", "LAD";
        Diagonal1 = "diagonal-1", "D1";
        Diagonal2 = "diagonal-2", "D2";
        Lcx = "lcx", "LCx";
        ObtuseMarginal = "obtuse-marginal", "OM";
        LcxPosterolateral = "lcx-posterolateral", "PL (LCx)";
        LcxPda = "lcx-pda", "PDA (LCx)";
        Rca = "rca", "RCA";
        RcaPda = "rca-pda", "PDA";
        RcaPosterolateral = "rca-posterolateral", "PL";
    }
);

impl Segment {
    /// The number of the segment in the AHA scheme, 1 to 16.
    #[must_use]
    pub fn number(self) -> usize {
        Self::ALL.iter().position(|s| *s == self).map_or(0, |index| index + 1)
    }

    /// The vessel that the segment belongs to.
    #[must_use]
    pub const fn vessel(self) -> Vessel {
        match self {
            Self::RcaProximal | Self::RcaMid | Self::RcaDistal => Vessel::Rca,
            Self::RcaPda => Vessel::RcaPda,
            Self::RcaPosterolateral => Vessel::RcaPosterolateral,
            Self::LeftMain => Vessel::LeftMain,
            Self::LadProximal | Self::LadMid | Self::LadDistal => Vessel::Lad,
            Self::Diagonal1 => Vessel::Diagonal1,
            Self::Diagonal2 => Vessel::Diagonal2,
            Self::LcxProximal | Self::LcxDistal => Vessel::Lcx,
            Self::ObtuseMarginal => Vessel::ObtuseMarginal,
            Self::LcxPosterolateral => Vessel::LcxPosterolateral,
            Self::LcxPda => Vessel::LcxPda,
        }
    }

    /// Everyday words that also mean this segment, for finding it by typing.
    #[must_use]
    pub const fn synonyms(self) -> &'static str {
        match self {
            Self::RcaProximal => "right coronary proximal seg 1",
            Self::RcaMid => "right coronary mid seg 2",
            Self::RcaDistal => "right coronary distal seg 3",
            Self::RcaPda => "posterior descending right seg 4",
            Self::LeftMain => "lm lmca left main stem lms seg 5",
            Self::LadProximal => "left anterior descending proximal pLAD seg 6",
            Self::LadMid => "left anterior descending mid mLAD seg 7",
            Self::LadDistal => "left anterior descending distal apical dLAD seg 8",
            Self::Diagonal1 => "d1 diag diagonal seg 9",
            Self::Diagonal2 => "d2 diag diagonal seg 10",
            Self::LcxProximal => "circumflex proximal cx pLCx seg 11",
            Self::ObtuseMarginal => "om om1 marginal intermediate ramus seg 12",
            Self::LcxDistal => "circumflex distal cx dLCx seg 13",
            Self::LcxPosterolateral => "posterolateral left pl plb seg 14",
            Self::LcxPda => "posterior descending left dominant seg 15",
            Self::RcaPosterolateral => "posterolateral right pl plb rpl seg 16",
        }
    }
}

impl Vessel {
    /// The vessel that this one branches from; none for the two that leave the aorta.
    #[must_use]
    pub const fn parent(self) -> Option<Self> {
        match self {
            Self::LeftMain | Self::Rca => None,
            Self::Lad | Self::Lcx => Some(Self::LeftMain),
            Self::Diagonal1 | Self::Diagonal2 => Some(Self::Lad),
            Self::ObtuseMarginal | Self::LcxPosterolateral | Self::LcxPda => Some(Self::Lcx),
            Self::RcaPda | Self::RcaPosterolateral => Some(Self::Rca),
        }
    }

    /// Whether the vessel is a side branch, drawn thinner under its parent.
    #[must_use]
    pub const fn is_side_branch(self) -> bool {
        !matches!(self, Self::LeftMain | Self::Lad | Self::Lcx | Self::Rca)
    }
}

impl EventKind {
    /// Everyday words that also mean this kind, for finding it by typing.
    #[must_use]
    pub const fn synonyms(self) -> &'static str {
        match self {
            Self::Access => "puncture sheath radial femoral",
            Self::Guide => "guide catheter engaged extension intubation",
            Self::Wire => "wire cross rewire advance",
            Self::WirePositionLost => "wire out pulled back lost position",
            Self::Balloon => "predilatation dilate inflate inflation kissing lithotripsy",
            Self::Stent => "implant deploy des bail-out",
            Self::Imaging => "angiography injection ivus oct echo view ct",
            Self::Finding => "seen dissection staining thrombus perforation",
            Self::Flow => "timi closure no-reflow restored",
            Self::Symptom => "pain dyspnoea nausea",
            Self::Ecg => "st elevation block arrhythmia vf",
            Self::Haemodynamics => "pressure shock hypotension bp hemodynamics",
            Self::Drug => "heparin adenosine protamine adrenaline vasodilator",
            Self::Contrast => "dye volume",
            Self::Help => "call surgeon second operator anaesthetist",
            Self::Support => "pump balloon pump ecmo pacing ventilation",
            Self::Decision => "choice option plan question",
            Self::Outcome => "end result left laboratory death discharge",
        }
    }
}

impl Device {
    /// Everyday words that also mean this device class, for finding it by typing.
    #[must_use]
    pub const fn synonyms(self) -> &'static str {
        match self {
            Self::WorkhorseWire => "soft wire floppy",
            Self::PolymerJacketedWire => "hydrophilic slippery plastic wire",
            Self::StiffWire => "heavy tip cto wire",
            Self::TaperedWire => "tapered tip penetration",
            Self::PressureWire => "ffr ifr physiology",
            Self::Microcatheter => "mc support catheter",
            Self::DualLumenCatheter => "twin double lumen",
            Self::ReentryBalloon => "re-entry subintimal",
            Self::CompliantBalloon => "semi-compliant sc predilatation",
            Self::NoncompliantBalloon => "nc high pressure post-dilatation",
            Self::ScoringBalloon => "cutting",
            Self::DrugCoatedBalloon => "dcb deb",
            Self::PerfusionBalloon => "autoperfusion",
            Self::DrugElutingStent => "des stent",
            Self::CoveredStent => "graft stent ptfe",
            Self::Coil => "embolisation occlude",
            Self::AspirationCatheter => "thrombectomy suction",
            Self::Atherectomy => "rotational orbital burr crown",
            Self::Lithotripsy => "ivl acoustic",
            Self::GuideCatheter => "guide",
            Self::GuideExtension => "mother and child",
            Self::Snare => "retrieval loop",
            Self::IntravascularImaging => "ivus oct",
            Self::TemporaryPacingWire => "pacing lead tpw",
            Self::BalloonPump => "iabp counterpulsation",
            Self::Pump => "lvad mechanical support",
            Self::PericardialDrain => "pericardiocentesis drain tamponade",
            Self::VascularClosure => "closure plug suture",
            Self::Sheath => "introducer",
            Self::Other => "",
        }
    }
}
