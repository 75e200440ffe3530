//! Where sources clash: the rules on offer, by name, and the one that a department takes.

use std::fmt::Debug;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::quantity::QuantityError;
use crate::quantity::words;

/// A question on which sources clash, with its answers.
pub trait Choice: Copy + Debug + 'static {
    /// The question's name in settings.
    const SLUG: &'static str;
    /// The question in words.
    const QUESTION: &'static str;
    /// The answer's name.
    fn option(self) -> &'static str;
    /// The answer in words.
    fn words(self) -> &'static str;
    /// Who says so.
    fn source(self) -> &'static str;
}

/// What a department took on one question.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Chosen {
    /// The question's name in settings.
    pub slug: &'static str,
    /// The question in words.
    pub question: &'static str,
    /// The answer in words.
    pub taken: &'static str,
    /// Who says so.
    pub source: &'static str,
}

impl Chosen {
    pub(super) fn of<C: Choice>(taken: C) -> Self {
        Self { slug: C::SLUG, question: C::QUESTION, taken: taken.words(), source: taken.source() }
    }
}

/// One answer on offer, for the settings page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OnOffer {
    /// The answer's name.
    pub slug: &'static str,
    /// The answer in words.
    pub words: &'static str,
    /// Who says so.
    pub source: &'static str,
}

/// One question with its answers, for the settings page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Question {
    /// The question's name.
    pub slug: &'static str,
    /// The question in words.
    pub question: &'static str,
    /// The answers; the first is taken where nobody chose.
    pub on_offer: Vec<OnOffer>,
    /// The name of the answer that is taken now.
    pub taken: &'static str,
}

/// Declares the questions: for each a field, its type, its name and words; for each answer a
/// variant, its name, its words and its source. The first answer is the default.
macro_rules! choices {
    ($($(#[$meta:meta])* $field:ident: $name:ident = $slug:literal, $question:literal {
        $first:ident = $first_slug:literal, $first_words:literal, $first_source:literal;
        $($variant:ident = $option:literal, $words:literal, $source:literal;)+
    })+) => {
        $(
            words!(
                $(#[$meta])*
                #[derive(Default)]
                $name, "an answer on offer", {
                    #[default]
                    $first = $first_slug, $first_words;
                    $($variant = $option, $words;)+
                }
            );

            impl Choice for $name {
                const SLUG: &'static str = $slug;
                const QUESTION: &'static str = $question;
                fn option(self) -> &'static str {
                    self.slug()
                }
                fn words(self) -> &'static str {
                    self.label()
                }
                fn source(self) -> &'static str {
                    match self { Self::$first => $first_source, $(Self::$variant => $source,)+ }
                }
            }
        )+

        /// What a department takes where sources clash.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
        #[serde(default, deny_unknown_fields)]
        pub struct Choices {
            $(#[doc = $question] pub $field: $name,)+
        }

        impl Choices {
            /// Every question with its answers and the one taken.
            #[must_use]
            pub fn questions(&self) -> Vec<Question> {
                vec![$(Question {
                    slug: <$name as Choice>::SLUG,
                    question: <$name as Choice>::QUESTION,
                    on_offer: $name::ALL.iter().map(|one| OnOffer {
                        slug: one.slug(), words: one.label(), source: one.source(),
                    }).collect(),
                    taken: self.$field.slug(),
                },)+]
            }

            /// Takes an answer.
            ///
            /// # Errors
            /// When there is no such question, or the answer is not on offer.
            pub fn take(&mut self, question: &str, answer: &str) -> Result<(), QuantityError> {
                match question {
                    $($slug => self.$field = answer.parse()?,)+
                    other => return Err(QuantityError(format!("“{other}” is not a question on which sources clash."))),
                }
                Ok(())
            }
        }
    };
}

choices! {
    /// Whether grades above 5 exist.
    thrombus_top: ThrombusTop = "thrombus-top", "How a chronic total occlusion is graded" {
        NoGrade = "no-grade", "not graded: the scale ends at 5", "Gibson et al., Circulation 2001;103:2550, as two public pages quote it";
        Six = "six", "grade 6", "later versions of the scale (from memory)";
    }
    /// What a frame count is at TIMI 0 and 1.
    frame_count_without_flow: FrameCountWithoutFlow = "frame-count-without-flow", "What a frame count is at TIMI 0 and 1" {
        NotComputed = "not-computed", "not computed: no landmark is reached", "logic of the method";
        Hundred = "hundred", "set to 100 frames", "Gibson et al., Circulation 1996;93:879 (from memory)";
    }
    /// How large a hole makes a type III.
    perforation_hole: PerforationHole = "perforation-hole", "How large a hole makes a type III perforation" {
        AtLeastOne = "at-least-1-mm", "1 mm or more", "Ellis et al., Circulation 1994;90:2725";
        MoreThanOne = "more-than-1-mm", "more than 1 mm", "a data standard's quotation of the types";
    }
    /// Which flow counts as no-reflow.
    no_reflow: NoReflowRule = "no-reflow", "What counts as no-reflow" {
        FlowSplit = "flow-split", "TIMI 0 to 1 is no-reflow, TIMI 2 is slow flow", "common practice";
        FlowBelowThree = "flow-below-3", "any TIMI below 3 is no-reflow", "Kim et al., Korean Circ J 2016;46:490";
        FlowOrBlush = "flow-or-blush", "also TIMI 3 with blush 0 to 1", "Egypt Heart J 2018;70:421";
    }
    /// Which fall of flow is a lost branch.
    side_branch: SideBranchRule = "side-branch", "What counts as side-branch occlusion" {
        R2 = "r2", "R2: TIMI 0 to 1 afterwards", "usual clinical rule";
        R1 = "r1", "R1: TIMI 0 afterwards", "strict rule";
        R3 = "r3", "R3: TIMI below 3 afterwards, branch of 2.3 mm or more", "Hahn et al., J Am Coll Cardiol 2013;62:1654";
        R4 = "r4", "R4: any fall of the grade", "Dou et al., RESOLVE score (from memory)";
    }
    /// Exactly half.
    medina: MedinaLimit = "medina", "Which stenosis counts in the Medina class" {
        AtLeastHalf = "at-least-50", "50 % or more", "Medina et al., Rev Esp Cardiol 2006;59:183 (from memory)";
        MoreThanHalf = "more-than-50", "more than 50 %", "Rev Esp Cardiol 2022, “The Medina classification since its description”";
    }
    /// Exactly five times.
    major_injury: MajorInjury = "major-injury", "From where a procedural injury is major" {
        MoreThanFive = "more-than-5", "more than 5 times the 99th percentile", "Bulluck et al., Eur Heart J 2021;42:2630 (from memory)";
        AtLeastFive = "at-least-5", "5 times the 99th percentile or more", "pooled analysis of 9,081 elective procedures, Eur Heart J (PMC7850039)";
    }
    /// Whether there is a third certainty.
    possible_stent_thrombosis: PossibleStentThrombosis = "possible-stent-thrombosis", "Whether possible stent thrombosis is counted" {
        Counted = "counted", "counted: unexplained death after 30 days", "ARC, Circulation 2007;115:2344";
        Dropped = "dropped", "not counted", "ARC-2, Circulation 2018;137:2635 (from memory)";
    }
    /// Where the windows of kidney injury begin.
    kidney_window: KidneyWindow = "kidney-window", "What the 48 h and 7 days of kidney injury count from" {
        Procedure = "procedure", "the procedure; the last creatinine before it is the baseline", "common practice after contrast";
        Samples = "samples", "the earlier of two samples", "KDIGO, Kidney Int Suppl 2012;2:1, by its wording";
    }
    /// Which clearance a contrast volume is divided by.
    contrast_ratio: ContrastRatio = "contrast-ratio", "What the contrast volume is divided by" {
        Clearance = "clearance", "creatinine clearance by Cockcroft and Gault", "Gurm et al. 2011; Laskey et al. 2007 (from memory)";
        Egfr = "egfr", "eGFR by CKD-EPI", "Nie et al., Front Med 2021";
    }
    /// Until when a creatinine counts for contrast nephropathy.
    nephropathy_window: NephropathyWindow = "nephropathy-window", "When a rise counts as contrast nephropathy" {
        UpTo72 = "up-to-72-h", "at any time up to 72 h", "reading of “within 48 to 72 h”, our own";
        From48To72 = "48-to-72-h", "from 48 to 72 h", "the narrow reading of the same words";
    }
    /// Exactly at the substantial level.
    radiation_limit: RadiationLimit = "radiation-limit", "Whether a dose exactly at a level reaches it" {
        Reaches = "reaches", "it does", "our own convention";
        Exceeds = "exceeds", "it has to be above", "the strict reading";
    }
    /// When a deficit is a stroke.
    stroke: StrokeRule = "stroke", "How long a deficit lasts to be a stroke" {
        Day = "24-h", "24 h or more, or any length with a lesion on imaging", "common definition (from memory)";
        ThreeDays = "72-h", "more than 72 h", "Aggarwal et al., Am J Cardiol 2009;104:349";
    }
    /// Exactly 40 mm.
    dunning: DunningLimit = "dunning", "Class of a tear that reaches exactly 40 mm up the aorta" {
        ThirdClass = "class-iii", "class III", "Dunning's classes with III as 40 mm or more (from memory)";
        SecondClass = "class-ii", "class II", "III as more than 40 mm, Baumann et al., BMC Med Imaging 2017";
    }
    /// What the composite is made of.
    composite: CompositeOutcome = "composite", "What the composite outcome is made of" {
        Macce = "macce", "MACCE: death, stroke, infarction, repeat revascularisation", "Serruys et al., N Engl J Med 2009;360:961 (from memory)";
        Mace = "mace", "MACE: death, infarction, repeat revascularisation", "common practice; its parts vary";
    }
}
