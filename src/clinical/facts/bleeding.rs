//! Bleeding and the access site.

use super::set::facts;
use crate::clinical::answer::Answer;
use crate::clinical::quantities::{Centimetres, RedCells, Volume};
use crate::clinical::words::words_as_facts;
use crate::quantity::words;

facts!(
    /// What is known about a bleed; the haemoglobin is among the laboratory values.
    BleedingFacts of Bleeding {
        /// Bleeding that was seen, or shown by imaging.
        overt OVERT: Answer = "overt bleeding";
        /// Non-surgical intervention by a professional, such as compression.
        intervention INTERVENTION: Answer = "a non-surgical intervention for bleeding";
        /// Admission, a longer stay or a higher level of care because of it.
        higher_care HIGHER_CARE: Answer = "admission or a higher level of care for bleeding";
        /// Whether it prompted an evaluation: laboratory, imaging, endoscopy.
        evaluation EVALUATION: Answer = "an evaluation for bleeding";
        /// Any transfusion of red cells or whole blood.
        transfused TRANSFUSED: Answer = "a transfusion";
        /// Units of red cells or whole blood given before the lowest haemoglobin.
        units_before_nadir UNITS_BEFORE_NADIR: Option<RedCells> = "units given before the lowest haemoglobin";
        /// Tamponade by bleeding.
        tamponade TAMPONADE: Answer = "tamponade";
        /// Surgical control, except for dental, nasal, skin and haemorrhoid bleeding.
        surgery SURGERY: Answer = "surgical control of bleeding";
        /// Vasoactive drug into a vein because of it.
        vasoactive VASOACTIVE: Answer = "an intravenous vasoactive drug for bleeding";
        /// Intracranial or intraspinal bleeding; not microbleeds or haemorrhagic transformation.
        intracranial INTRACRANIAL: Answer = "intracranial bleeding";
        /// Bleeding into the eye with loss of vision.
        vision_loss VISION_LOSS: Answer = "bleeding into the eye with loss of vision";
        /// Whether the bleed belongs to a bypass operation.
        bypass_related BYPASS_RELATED: Answer = "whether it belongs to bypass surgery";
        /// Bypass surgery: intracranial bleeding within 48 h.
        bypass_intracranial BYPASS_INTRACRANIAL: Answer = "intracranial bleeding within 48 h of bypass surgery";
        /// Bypass surgery: the sternum was re-opened for bleeding.
        sternum_reopened STERNUM_REOPENED: Answer = "re-opening of the sternum";
        /// Bypass surgery: units of red cells or whole blood within 48 h.
        bypass_units BYPASS_UNITS: Option<RedCells> = "units within 48 h of bypass surgery";
        /// Bypass surgery: chest drain output within 24 h.
        drain DRAIN: Option<Volume> = "chest drain output in 24 h";
        /// Whether the bleed was fatal.
        fatal FATAL: Answer = "whether the bleeding was fatal";
        /// Fatal bleeding that was overt, or proved by autopsy or imaging.
        fatal_proved FATAL_PROVED: Answer = "proof of the fatal bleeding";
    }
);

words!(
    /// What went wrong at the access site.
    AccessHarm, "a harm at the access site", {
        Pseudoaneurysm = "pseudoaneurysm", "pseudoaneurysm: a contained leak with flow in its neck";
        Fistula = "fistula", "arteriovenous fistula: a channel from artery to vein";
        Retroperitoneal = "retroperitoneal", "retroperitoneal bleed, proved by imaging or surgery";
        RadialOcclusion = "radial-occlusion", "radial occlusion: no antegrade flow by Doppler or pulse test";
        LimbIschaemia = "limb-ischaemia", "limb ischaemia";
        CompartmentSyndrome = "compartment-syndrome", "compartment syndrome";
        Dissection = "dissection", "dissection of the access artery";
        NerveInjury = "nerve-injury", "nerve injury";
        Infection = "infection", "infection of the access site";
        ClosureFailure = "closure-failure", "closure failure: another method was needed for haemostasis";
        Haematoma = "haematoma", "haematoma";
    }
);

words!(
    /// Where a haematoma lies.
    HaematomaSite, "a site of haematoma", {
        Radial = "radial", "forearm, after radial access";
        Femoral = "femoral", "groin, after femoral access";
    }
);

words_as_facts!(AccessHarm, HaematomaSite);

facts!(
    /// One harm at the access site.
    AccessFacts of Access {
        /// What it was.
        harm HARM: Option<AccessHarm> = "what happened at the access site";
        /// Whether it caused death.
        death DEATH: Answer = "death from the access site";
        /// Bleeding of VARC type 2 or more.
        bleeding BLEEDING: Answer = "bleeding of VARC type 2 or more";
        /// Ischaemia of a limb or of an abdominal organ.
        ischaemia ISCHAEMIA: Answer = "limb or visceral ischaemia";
        /// Irreversible neurological loss.
        neurological_loss NEUROLOGICAL_LOSS: Answer = "irreversible neurological loss";
    }
);

facts!(
    /// One haematoma.
    HaematomaFacts of Haematoma {
        /// Where it lies.
        site SITE: Option<HaematomaSite> = "site of the haematoma";
        /// Its largest size.
        size SIZE: Option<Centimetres> = "size of the haematoma";
        /// Whether it reaches above the elbow.
        above_elbow ABOVE_ELBOW: Answer = "whether it reaches above the elbow";
        /// Whether it threatens the flow of the limb.
        threatens_limb THREATENS_LIMB: Answer = "whether it threatens the limb";
    }
);
