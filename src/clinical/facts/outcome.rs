//! How it ended, and the rarer complications.

use super::set::facts;
use crate::clinical::answer::Answer;
use crate::clinical::quantities::{Millimetres, Span};
use crate::clinical::words::words_as_facts;
use crate::quantity::words;

words!(
    /// Degree of harm as judged, from none to death.
    HarmDegree, "a degree of harm", {
        None = "none", "none";
        Mild = "mild", "mild";
        Moderate = "moderate", "moderate";
        Severe = "severe", "severe";
        Death = "death", "death";
    }
);

words!(
    /// How far air in a coronary artery was felt; our own scale.
    AirExtent, "an extent of air embolism", {
        Minimal = "minimal", "minimal: seen, without effect";
        Symptomatic = "symptomatic", "symptomatic: pain or ECG change";
        Haemodynamic = "haemodynamic", "haemodynamic: pressure or rhythm affected";
    }
);

words!(
    /// What a device is. Only a stent can come off its balloon, or shorten.
    DeviceKind, "a kind of device", {
        Stent = "stent", "a stent";
        Wire = "wire", "a wire";
        Balloon = "balloon", "a balloon";
        Catheter = "catheter", "a catheter";
        Other = "other", "another device";
    }
);

words_as_facts!(HarmDegree, AirExtent, DeviceKind);

facts!(
    /// How it ended for the patient.
    OutcomeFacts of Outcome {
        /// The degree of harm as a clinician judged it.
        judged JUDGED: Option<HarmDegree> = "degree of harm as judged";
        /// Death from any cause.
        death DEATH: Answer = "death";
        /// Whether death was, on balance, brought about or forward by the event.
        death_by_event DEATH_BY_EVENT: Answer = "whether the event brought death about or forward";
        /// Life-saving or major intervention, a shorter life, or major lasting loss.
        major_harm MAJOR_HARM: Answer = "a life-saving intervention or major lasting loss";
        /// Intervention, a longer stay, or lasting loss of function.
        intervention INTERVENTION: Answer = "an intervention, a longer stay or lasting loss";
        /// A symptom, extra observation or minor treatment.
        minor_harm MINOR_HARM: Answer = "a symptom, observation or minor treatment";
        /// Stroke.
        stroke STROKE: Answer = "stroke";
        /// Myocardial infarction after the procedure, by the definition that your department uses.
        infarction INFARCTION: Answer = "myocardial infarction";
        /// Repeat revascularisation.
        revascularisation REVASCULARISATION: Answer = "repeat revascularisation";
    }
);

facts!(
    /// A neurological deficit.
    NeurologyFacts of Neurology {
        /// A focal or global deficit.
        deficit DEFICIT: Answer = "a neurological deficit";
        /// How long it lasted.
        lasted LASTED: Option<Span> = "how long the deficit lasted";
        /// A lesion on imaging that explains it.
        lesion LESION: Answer = "a lesion on imaging";
    }
);

facts!(
    /// A reaction to a drug or to contrast.
    ReactionFacts of Reaction {
        /// Skin: flush, urticaria, swelling.
        skin SKIN: Answer = "skin signs";
        /// A moderate change of pulse or pressure, mild breathing trouble, nausea or cramps.
        moderate MODERATE: Answer = "moderate signs of circulation, airway or gut";
        /// Shock.
        shock SHOCK: Answer = "shock in the reaction";
        /// Bronchospasm that threatens life.
        bronchospasm BRONCHOSPASM: Answer = "bronchospasm";
        /// Arrest.
        arrest ARREST: Answer = "arrest in the reaction";
        /// Whether it came suddenly after an exposure.
        sudden SUDDEN: Answer = "a sudden onset after exposure";
        /// Whether more than one organ system was involved.
        several_systems SEVERAL_SYSTEMS: Answer = "several organ systems";
        /// Whether airway, breathing or circulation was threatened.
        threat THREAT: Answer = "a threat to airway, breathing or circulation";
    }
);

facts!(
    /// A device that failed or was lost.
    DeviceFacts of Device {
        /// What it is. Of what is no stent, nobody has to say whether a stent was lost or deformed.
        kind KIND: Option<DeviceKind> = "kind of device";
        /// A part is left loose in the circulation.
        loose LOOSE: Answer = "a part left loose in the circulation";
        /// A part is fixed and does not come out by usual traction.
        stuck STUCK: Answer = "a part that could not be removed by usual traction";
        /// A wire, catheter or stent broke.
        broken BROKEN: Answer = "a break in a wire, catheter or stent";
        /// A stent came off its balloon before it was deployed.
        off_balloon OFF_BALLOON: Answer = "a stent off its balloon";
        /// How much a stent shortened after it was deployed.
        shortening SHORTENING: Option<Millimetres> = "shortening of a deployed stent";
        /// Whether a deployed stent was distorted along its axis.
        distorted DISTORTED: Answer = "axial distortion of a deployed stent";
    }
);

facts!(
    /// Air and other emboli.
    EmbolismFacts of Embolism {
        /// Bubbles seen in a coronary artery.
        bubbles BUBBLES: Answer = "bubbles in a coronary artery";
        /// A sudden loss of flow.
        flow_loss FLOW_LOSS: Answer = "a sudden loss of flow";
        /// Whether something else explains that loss.
        other_cause OTHER_CAUSE: Answer = "another cause of the loss of flow";
        /// How far it was felt.
        extent EXTENT: Option<AirExtent> = "extent of the air embolism";
        /// A sign from an organ beyond, after catheter work: skin, kidney, gut, eye, limb.
        end_organ END_ORGAN: Answer = "an end-organ sign after catheter work";
    }
);
