//! Signs of ischaemia after the procedure, and thrombosis of a stent.

use super::input::Seen;
use super::set::facts;
use crate::clinical::answer::Answer;
use crate::clinical::quantities::Span;

facts!(
    /// Signs that go with an infarct around the procedure.
    IschaemiaFacts of Ischaemia {
        /// New ischaemic change of the ECG.
        ecg ECG: Answer = "a new ischaemic ECG change";
        /// New ST elevation or depression.
        st_shift ST_SHIFT: Answer = "new ST elevation or depression";
        /// New pathological Q waves.
        q_waves Q_WAVES: Answer = "new pathological Q waves";
        /// New Q waves in two contiguous leads or more.
        q_waves_contiguous Q_WAVES_CONTIGUOUS: Answer = "new Q waves in two contiguous leads";
        /// New left bundle branch block that persists.
        lbbb LBBB: Answer = "new persistent left bundle branch block";
        /// Imaging of new loss of viable myocardium, or a new wall-motion defect in an ischaemic pattern.
        imaging_loss IMAGING_LOSS: Answer = "new loss of myocardium on imaging";
        /// Imaging of substantial new loss of myocardium.
        imaging_substantial IMAGING_SUBSTANTIAL: Answer = "substantial new loss of myocardium on imaging";
        /// A flow-limiting angiographic complication: dissection, occlusion of a major artery or side branch, thrombus, lost collateral, distal embolisation.
        flow_limiting FLOW_LIMITING: Answer = "a flow-limiting angiographic complication";
        /// New or worse heart failure.
        heart_failure HEART_FAILURE: Answer = "new or worse heart failure";
        /// Sustained hypotension.
        hypotension HYPOTENSION: Answer = "sustained hypotension";
        /// Culprit thrombus, related to the procedure, found at post-mortem.
        thrombus_post_mortem THROMBUS_POST_MORTEM: Answer = "culprit thrombus at post-mortem";
    }
);

impl IschaemiaFacts {
    /// New pathological Q waves; Q waves in two contiguous leads say so as well.
    #[must_use]
    pub fn any_q_waves(&self) -> Seen<Answer> {
        if self.q_waves_contiguous.is_yes() { self.q_waves_contiguous() } else { self.q_waves() }
    }

    /// New Q waves in contiguous leads; where there are none at all, there are none there.
    #[must_use]
    pub fn contiguous_q_waves(&self) -> Seen<Answer> {
        if self.q_waves.is_no() { self.q_waves() } else { self.q_waves_contiguous() }
    }

    /// New loss on imaging; a substantial one says so as well.
    #[must_use]
    pub fn any_imaging_loss(&self) -> Seen<Answer> {
        if self.imaging_substantial.is_yes() { self.imaging_substantial() } else { self.imaging_loss() }
    }

    /// Substantial new loss on imaging; where there is none at all, it is not substantial.
    #[must_use]
    pub fn substantial_imaging_loss(&self) -> Seen<Answer> {
        if self.imaging_loss.is_no() { self.imaging_loss() } else { self.imaging_substantial() }
    }
}

facts!(
    /// Thrombosis, proved or suspected, of one stent.
    StentThrombosisFacts of StentThrombosis {
        /// Thrombus in the stent or within 5 mm of its edges on angiography.
        angiography ANGIOGRAPHY: Answer = "thrombus in or near the stent on angiography";
        /// Ischaemic symptoms at rest within 48 h.
        rest_symptoms REST_SYMPTOMS: Answer = "ischaemic symptoms at rest";
        /// New ischaemic change of the ECG within 48 h.
        ecg_change ECG_CHANGE: Answer = "a new ischaemic ECG change within 48 h";
        /// Rise and fall of biomarkers within 48 h.
        biomarkers BIOMARKERS: Answer = "a rise and fall of biomarkers";
        /// Found at autopsy or in retrieved tissue.
        tissue TISSUE: Answer = "proof at autopsy or in retrieved tissue";
        /// Death that nothing else explains.
        unexplained_death UNEXPLAINED_DEATH: Answer = "an unexplained death";
        /// Infarction in the territory of the stent, without angiographic proof and without another cause.
        territory_infarction TERRITORY_INFARCTION: Answer = "an infarction in the stent's territory without other cause";
        /// Time from the end of the implantation to the event.
        since SINCE: Option<Span> = "time since the implantation";
        /// Whether it happened before the patient left the laboratory.
        in_laboratory IN_LABORATORY: Answer = "whether it happened in the laboratory";
    }
);
