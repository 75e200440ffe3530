//! What is true of a case: the features by which cases are told apart, and by which a case belongs
//! to a stratum of procedures at risk.
//!
//! A feature that the case does not speak of is unknown, and the case then counts neither among
//! those with it nor among those without. Each is read off the record in one place, here.

use super::record::{Case, Event, Lesion};
use super::words::{Access, Device, EventKind, Extent, Presentation, Segment, Urgency};
use crate::quantity::{Offset, words};

words!(
    /// A feature of a case.
    Trait, "a feature", {
        Calcified = "calcified", "Calcified lesion";
        Tortuous = "tortuous", "Tortuous way to the lesion";
        Bifurcation = "bifurcation", "Bifurcation lesion";
        LeftMain = "left-main", "Left main";
        ChronicOcclusion = "cto", "Chronic total occlusion";
        Ostial = "ostial", "Ostial lesion";
        Radial = "radial", "Forearm access";
        Femoral = "femoral", "Femoral access";
        Emergency = "emergency", "Emergency or salvage";
        Primary = "primary", "Primary PCI";
        Stent = "stent", "Stent";
        Atherectomy = "atherectomy", "Atherectomy";
        JacketedWire = "device-jacketed-wire", "Polymer-jacketed wire";
        HardWire = "device-hard-wire", "Stiff or tapered wire";
        Microcatheter = "device-microcatheter", "Microcatheter";
        HighPressureBalloon = "device-noncompliant-balloon", "Non-compliant or scoring balloon";
        Ablation = "device-plaque", "Atherectomy or lithotripsy";
        GuideExtension = "device-guide-extension", "Guide extension";
        ImagingCatheter = "device-imaging", "Intravascular imaging";
        EarlyStent = "device-stent", "Stent";
    }
);

/// The group that a feature is listed under.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TraitGroup {
    /// What the lesion was like.
    Lesion,
    /// How the artery was entered.
    Access,
    /// How soon it had to be done.
    Urgency,
    /// A class of device that was in use by the time the first harm began.
    Device,
}

impl TraitGroup {
    /// What a person reads for it.
    #[must_use]
    pub const fn label(self) -> &'static str {
        match self {
            Self::Lesion => "Lesion",
            Self::Access => "Access",
            Self::Urgency => "Urgency",
            Self::Device => "Device before the harm",
        }
    }
}

impl Trait {
    /// The group that it is listed under; `None` for what only tells strata apart. A device that
    /// was taken to treat a harm says nothing about how the harm came about, so the two strata of
    /// devices, counted at any time, are no features.
    #[must_use]
    pub const fn group(self) -> Option<TraitGroup> {
        match self {
            Self::Calcified
            | Self::Tortuous
            | Self::Bifurcation
            | Self::LeftMain
            | Self::ChronicOcclusion
            | Self::Ostial => Some(TraitGroup::Lesion),
            Self::Radial | Self::Femoral => Some(TraitGroup::Access),
            Self::Emergency | Self::Primary => Some(TraitGroup::Urgency),
            Self::Stent | Self::Atherectomy => None,
            Self::JacketedWire
            | Self::HardWire
            | Self::Microcatheter
            | Self::HighPressureBalloon
            | Self::Ablation
            | Self::GuideExtension
            | Self::ImagingCatheter
            | Self::EarlyStent => Some(TraitGroup::Device),
        }
    }

    /// The stratum of procedures at risk whose cases have this feature; `None` when procedures are
    /// not counted by it.
    #[must_use]
    pub const fn stratum(self) -> Option<&'static str> {
        match self {
            Self::Calcified => Some("calcified-pci"),
            Self::Bifurcation => Some("bifurcation-pci"),
            Self::LeftMain => Some("left-main-pci"),
            Self::ChronicOcclusion => Some("cto-pci"),
            Self::Primary => Some("primary-pci"),
            Self::Radial => Some("radial-pci"),
            Self::Femoral => Some("femoral-pci"),
            Self::Stent => Some("stent-pci"),
            Self::Atherectomy => Some("atherectomy-pci"),
            _ => None,
        }
    }

    /// The feature that the cases of a stratum have; `None` for all PCI and a stratum of one's own.
    #[must_use]
    pub fn of_stratum(stratum: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|one| one.stratum() == Some(stratum))
    }

    /// How it is read off a case, in a sentence.
    #[must_use]
    pub const fn rule(self) -> &'static str {
        match self {
            Self::Calcified => {
                "A lesion with moderate or severe calcification; absent when every lesion is graded below."
            }
            Self::Tortuous => {
                "A lesion with moderate or severe tortuosity on the way; absent when every lesion is graded below."
            }
            Self::Bifurcation => {
                "A lesion with a Medina class; absent when lesions are recorded and none has one."
            }
            Self::LeftMain => "A lesion in the left main; absent when lesions are recorded elsewhere only.",
            Self::ChronicOcclusion => {
                "A lesion marked as a chronic total occlusion; absent when lesions are recorded and none is."
            }
            Self::Ostial => "A lesion marked as ostial; absent when lesions are recorded and none is.",
            Self::Radial => "Radial, distal radial or ulnar access; absent when other access is recorded.",
            Self::Femoral => "Femoral access; absent when other access is recorded.",
            Self::Emergency => "Urgency emergency or salvage; absent when elective or urgent.",
            Self::Primary => {
                "STEMI treated as an emergency; absent when elective or urgent, or for a presentation that is no infarction with ST elevation."
            }
            Self::Stent => {
                "An event of the kind stent, or with a stent as its device; absent when other devices are recorded."
            }
            Self::Atherectomy => {
                "An event with atherectomy as its device; absent when other devices are recorded."
            }
            Self::EarlyStent => {
                "An event of the kind stent, or with a drug-eluting stent as its device, not after the first harm began; absent when other devices are recorded by then."
            }
            _ => {
                "A device of this class in an event not after the first harm began; absent when other devices are recorded by then. What came later, to treat it, does not count."
            }
        }
    }

    /// Whether it holds in a case; `None` when the case does not speak of it.
    #[must_use]
    pub fn holds(self, case: &Case) -> Option<bool> {
        match self {
            Self::Calcified => graded(&case.lesions, |lesion| lesion.calcification),
            Self::Tortuous => graded(&case.lesions, |lesion| lesion.tortuosity),
            Self::Bifurcation => any(&case.lesions, |lesion| lesion.medina.is_some()),
            Self::LeftMain => any(&case.lesions, |lesion| lesion.segment == Segment::LeftMain),
            Self::ChronicOcclusion => any(&case.lesions, |lesion| lesion.cto),
            Self::Ostial => any(&case.lesions, |lesion| lesion.ostial),
            Self::Radial => any(&case.procedure.access, |access| {
                matches!(access, Access::Radial | Access::DistalRadial | Access::Ulnar)
            }),
            Self::Femoral => any(&case.procedure.access, |access| *access == Access::Femoral),
            Self::Emergency => case.procedure.urgency.map(is_emergency),
            Self::Primary => primary(case),
            Self::Stent => used(case.events.iter(), |event| {
                event.kind == EventKind::Stent
                    || matches!(event.device, Some(Device::DrugElutingStent | Device::CoveredStent))
            }),
            Self::Atherectomy => used(case.events.iter(), |event| event.device == Some(Device::Atherectomy)),
            Self::JacketedWire => before(case, |device| device == Device::PolymerJacketedWire),
            Self::HardWire => {
                before(case, |device| matches!(device, Device::StiffWire | Device::TaperedWire))
            }
            Self::Microcatheter => {
                before(case, |device| matches!(device, Device::Microcatheter | Device::DualLumenCatheter))
            }
            Self::HighPressureBalloon => {
                before(case, |device| matches!(device, Device::NoncompliantBalloon | Device::ScoringBalloon))
            }
            Self::Ablation => {
                before(case, |device| matches!(device, Device::Atherectomy | Device::Lithotripsy))
            }
            Self::GuideExtension => before(case, |device| device == Device::GuideExtension),
            Self::ImagingCatheter => before(case, |device| device == Device::IntravascularImaging),
            // An event of the kind stent need not name its device.
            Self::EarlyStent => used(by_the_harm(case)?, |event| match event.device {
                Some(device) => device == Device::DrugElutingStent,
                None => event.kind == EventKind::Stent,
            }),
        }
    }

    /// Every feature that a case speaks of, and whether it holds.
    #[must_use]
    pub fn all_of(case: &Case) -> Vec<(Self, bool)> {
        Self::ALL.iter().filter_map(|&one| Some((one, one.holds(case)?))).collect()
    }
}

/// Whether any of a list is so; unknown when there is no list.
fn any<T>(list: &[T], is_so: impl Fn(&T) -> bool) -> Option<bool> {
    (!list.is_empty()).then(|| list.iter().any(is_so))
}

/// Whether a lesion has moderate or severe of something; absent only when each was graded below.
fn graded(lesions: &[Lesion], extent: impl Fn(&Lesion) -> Option<Extent>) -> Option<bool> {
    let is_high = |lesion| matches!(extent(lesion), Some(Extent::Moderate | Extent::Severe));
    if lesions.iter().any(is_high) {
        return Some(true);
    }
    (!lesions.is_empty() && lesions.iter().all(|lesion| extent(lesion).is_some())).then_some(false)
}

const fn is_emergency(urgency: Urgency) -> bool {
    matches!(urgency, Urgency::Emergency | Urgency::Salvage)
}

/// Shock and arrest are no presentation of their own kind of infarction, so they leave it open.
fn primary(case: &Case) -> Option<bool> {
    let urgency = case.procedure.urgency;
    match case.patient.presentation {
        _ if urgency == Some(Urgency::Elective) => Some(false),
        Some(Presentation::Stemi) => urgency.map(is_emergency),
        Some(Presentation::CardiogenicShock | Presentation::CardiacArrest) | None => None,
        Some(_) => Some(false),
    }
}

/// Whether an event is so; unknown when no event names a device.
fn used<'a>(
    mut events: impl Iterator<Item = &'a Event> + Clone,
    is_so: impl Fn(&Event) -> bool,
) -> Option<bool> {
    if events.clone().any(is_so) {
        return Some(true);
    }
    events.any(|event| event.device.is_some()).then_some(false)
}

/// Whether a device was in use by the time the first harm began; unknown when no harm says where
/// it began, or no device is recorded by then.
fn before(case: &Case, is_so: impl Fn(Device) -> bool) -> Option<bool> {
    used(by_the_harm(case)?, |event| event.device.is_some_and(&is_so))
}

/// The events not after the first harm began; `None` when no harm says where it began.
fn by_the_harm(case: &Case) -> Option<impl Iterator<Item = &Event> + Clone> {
    let began = case.complications.iter().filter_map(|harm| offset_of(case, harm.began.as_ref()?)).min()?;
    Some(case.events.iter().filter(move |event| event.at <= began))
}

fn offset_of(case: &Case, key: &super::code::Key) -> Option<Offset> {
    case.events.iter().find(|event| event.key == *key).map(|event| event.at)
}

#[cfg(test)]
mod tests;
