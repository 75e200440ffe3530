//! What the angiogram shows of flow and thrombus.

use super::set::facts;
use crate::clinical::answer::Answer;
use crate::clinical::quantities::{Frame, FrameRate, Millimetres, Percent};
use crate::clinical::words::words_as_facts;
use crate::quantity::TimiFlow;
use crate::quantity::words;

words!(
    /// Myocardial blush as seen, against a territory without infarct.
    Blush, "a blush", {
        None = "none", "no blush";
        Minimal = "minimal", "minimal blush";
        Moderate = "moderate", "moderate blush, less than a comparable territory";
        Normal = "normal", "blush equal to a comparable territory";
    }
);

words!(
    /// The artery whose frames were counted.
    Coronary, "a coronary artery", {
        Lad = "lad", "LAD";
        Lcx = "lcx", "LCx";
        Rca = "rca", "RCA";
    }
);

words!(
    /// How sure a thrombus is on the angiogram.
    ThrombusLook, "a look of thrombus", {
        None = "none", "no thrombus";
        Possible = "possible", "possible: haze, irregular contour, smooth meniscus";
        Definite = "definite", "definite thrombus";
        RecentOcclusion = "recent-occlusion", "total occlusion, recent";
        ChronicOcclusion = "chronic-occlusion", "total occlusion, chronic";
    }
);

words_as_facts!(Blush, Coronary, ThrombusLook);

facts!(
    /// The flow of one vessel through a procedure.
    VesselFacts of Vessel {
        /// Whether a lesion of this vessel was being treated.
        treated TREATED: Answer = "whether the vessel was being treated";
        /// TIMI flow before the complication, or at the start.
        before BEFORE: Option<TimiFlow> = "flow before";
        /// The worst TIMI flow seen.
        worst WORST: Option<TimiFlow> = "worst flow";
        /// TIMI flow on leaving the laboratory.
        leaving LEAVING: Option<TimiFlow> = "flow on leaving the laboratory";
        /// At its worst: whether contrast passed the obstruction.
        contrast_passes CONTRAST_PASSES: Answer = "whether contrast passed";
        /// At its worst: whether the whole distal bed filled during the run.
        bed_fills BED_FILLS: Answer = "whether the distal bed filled";
        /// At its worst: whether it filled and cleared as promptly as a comparison vessel.
        as_prompt AS_PROMPT: Answer = "whether flow was as prompt as in a comparison vessel";
        /// Myocardial blush.
        blush BLUSH: Option<Blush> = "myocardial blush";
        /// Whether a dense stain stayed: leakage that does not clear.
        stain_persists STAIN_PERSISTS: Answer = "whether a stain persisted";
        /// Whether the lesion was open when flow was at its worst.
        lesion_open LESION_OPEN: Answer = "whether the lesion was open";
        /// Whether a dissection was seen that explains the flow.
        dissection DISSECTION: Answer = "dissection as the cause";
        /// Whether a thrombus was seen that explains the flow.
        thrombus THROMBUS: Answer = "thrombus as the cause";
        /// Whether spasm explains the flow.
        spasm SPASM: Answer = "spasm as the cause";
        /// Whether a residual stenosis explains the flow.
        residual_stenosis RESIDUAL_STENOSIS: Answer = "residual stenosis as the cause";
        /// Whether a visible cut-off by an embolus explains the flow.
        cut_off CUT_OFF: Answer = "an embolic cut-off as the cause";
        /// Whether air explains the flow.
        air AIR: Answer = "air as the cause";
        /// Whether the catheter blocked the inflow.
        damping DAMPING: Answer = "damping by the catheter as the cause";
        /// Residual stenosis, percent of the diameter.
        residual_percent RESIDUAL_PERCENT: Option<Percent> = "residual stenosis in percent";
    }
);

facts!(
    /// A count of frames in one run of one artery.
    FrameCountFacts of FrameCount {
        /// The artery; the count in the LAD is divided by 1.7.
        coronary CORONARY: Option<Coronary> = "artery of the frame count";
        /// The first frame with contrast over the full width of the ostium, moving forward.
        first FIRST: Option<Frame> = "first frame";
        /// The first frame with contrast in the distal landmark.
        last LAST: Option<Frame> = "last frame";
        /// Frames a second at which the run was filmed.
        frame_rate FRAME_RATE: Option<FrameRate> = "frame rate";
        /// TIMI flow in that run. At 0 and 1 no landmark is reached.
        flow FLOW: Option<TimiFlow> = "flow in the counted run";
    }
);

facts!(
    /// A thrombus in one lesion.
    ThrombusFacts of Thrombus {
        /// How sure it is.
        look LOOK: Option<ThrombusLook> = "how sure the thrombus is";
        /// The largest dimension of the thrombus.
        size SIZE: Option<Millimetres> = "size of the thrombus";
        /// The diameter of the vessel.
        vessel VESSEL: Option<Millimetres> = "diameter of the vessel";
    }
);
