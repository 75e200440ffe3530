//! Radiation levels.

use super::answer::Judgement;
use super::choices::{Choices, RadiationLimit};
use super::definition::{Definition, Section, Source};
use super::facts::{Facts, RadiationFacts, Seen};
use super::finding::Finding;
use super::look::{Look, capital};
use super::quantities::{Decimal, DoseUnit, FluoroscopyUnit, KermaAreaUnit, Measured, Unit};

/// Radiation levels: first notice and substantial radiation dose level.
pub const DEFINITION: Definition = Definition {
    slug: "radiation",
    name: "Radiation level",
    section: Section::Radiation,
    rule: "Substantial when any one reaches its level: peak skin dose 3 Gy, air kerma at the reference point 5 Gy, \
           kerma-area product 500 Gy·cm², or, only where dose is missing, fluoroscopy time 60 min. First notice, then \
           every: 2 and 0.5 Gy, 3 and 1 Gy, 300 and 100 Gy·cm², 30 and 15 min. A substantial dose asks for written \
           advice on the skin and for follow-up, often a look at the skin after 2 to 4 weeks; it does not mean an injury.",
    boundaries: "A dose exactly at its level reaches it, unless your department asks for more. To say that no level was \
                 reached, air kerma and kerma-area product are both needed; skin dose counts where it was estimated. \
                 Fluoroscopy time alone never shows that the dose was low.",
    sources: &[
        Source::recalled("NCRP Report 168, 2010", "the levels"),
        Source::recalled("Stecker et al., J Vasc Interv Radiol 2009;20:S263", "the levels"),
        Source::read(
            "“Substantial radiation dose level”, ICRPaedia, ICRP 120",
            "a level says “check”, not “injury”",
        ),
        Source::read_in(
            "Joint Commission 2005",
            "“The fluoroscopic sentinel event: what to do”, J Am Osteopath Coll Radiol",
            "a peak skin dose above 15 Gy to one field as a sentinel event",
        ),
        Source::own("exactly at the level reaches it"),
    ],
    inputs: &[
        RadiationFacts::SKIN,
        RadiationFacts::AIR_KERMA,
        RadiationFacts::KERMA_AREA,
        RadiationFacts::FLUOROSCOPY,
    ],
    choices: &["radiation-limit"],
    assess,
};

/// How far one quantity got.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Level {
    Below,
    Notice,
    Substantial,
}

/// The first notice, the further ones and the substantial level of one quantity.
struct Levels<U: Unit> {
    notice: Measured<U>,
    then_every: Measured<U>,
    substantial: Measured<U>,
}

/// The levels of one quantity, in tenths of its unit.
const fn levels<U: Unit>([notice, then_every, substantial]: [i64; 3], unit: U) -> Levels<U> {
    Levels {
        notice: Measured::limit(Decimal::thousandths(notice * 100), unit),
        then_every: Measured::limit(Decimal::thousandths(then_every * 100), unit),
        substantial: Measured::limit(Decimal::thousandths(substantial * 100), unit),
    }
}

impl<U: Unit> Levels<U> {
    fn of(&self, value: Measured<U>, rule: RadiationLimit) -> Level {
        let reaches = |limit| match rule {
            RadiationLimit::Reaches => value.is_at_least(limit),
            RadiationLimit::Exceeds => value.is_above(limit),
        };
        if reaches(self.substantial) {
            Level::Substantial
        } else if reaches(self.notice) {
            Level::Notice
        } else {
            Level::Below
        }
    }
}

/// One quantity as it came out: its name and value, and the level.
type Reading = Option<(String, Level)>;

/// Reads one quantity and notes how many notices were due.
fn read<U: Unit>(
    look: &mut Look,
    name: &str,
    seen: Seen<Option<Measured<U>>>,
    levels: &Levels<U>,
    rule: RadiationLimit,
) -> Reading {
    let value = look.value(seen)?;
    let level = levels.of(value, rule);
    if level != Level::Below {
        let due = 1 + (value.exact() - levels.notice.exact()) / levels.then_every.exact();
        let each = if due == 1 { "1 notice was".to_owned() } else { format!("{due} notices were") };
        look.note(format!(
            "{}: {each} due, at {} and then every {}.",
            capital(name),
            levels.notice,
            levels.then_every
        ));
    }
    Some((format!("{name} of {value}"), level))
}

fn assess(facts: &Facts, choices: &Choices) -> Vec<Finding> {
    let mut look = Look::at_case(&DEFINITION);
    let rule = look.choose(choices.radiation_limit);
    let seen = &facts.radiation;
    let skin = read(&mut look, "peak skin dose", seen.skin(), &levels([20, 5, 30], DoseUnit::Gy), rule);
    let kerma = read(&mut look, "air kerma", seen.air_kerma(), &levels([30, 10, 50], DoseUnit::Gy), rule);
    let area = levels([3_000, 1_000, 5_000], KermaAreaUnit::GyCm2);
    let area = read(&mut look, "kerma-area product", seen.kerma_area(), &area, rule);
    let time = levels([300, 150, 600], FluoroscopyUnit::Minutes);
    let time = read(&mut look, "fluoroscopy time", seen.fluoroscopy(), &time, rule);
    warn(&mut look, seen);
    vec![judge(look, [skin, kerma, area], time)]
}

fn warn(look: &mut Look, seen: &RadiationFacts) {
    let gray = |gray: i64| Measured::limit(Decimal::whole(gray), DoseUnit::Gy);
    if seen.skin.is_some_and(|dose| dose.is_above(gray(15))) {
        look.note("Peak skin dose above 15 Gy to one field: reviewed as a sentinel event where your accreditation asks for it.");
    }
    if seen.air_kerma.is_some_and(|dose| dose.is_above(gray(10))) {
        look.note("Air kerma above 10 Gy: a physicist's estimate of the skin dose is common practice (from memory).");
    }
}

fn judge(mut look: Look, doses: [Reading; 3], time: Reading) -> Finding {
    let [_, kerma, area] = &doses;
    let lacks = [(RadiationFacts::AIR_KERMA, kerma.is_none()), (RadiationFacts::KERMA_AREA, area.is_none())];
    let complete = Judgement::all(
        lacks
            .into_iter()
            .map(|(input, lacks)| if lacks { Judgement::missing(input) } else { Judgement::known(true) }),
    );
    let no_dose = doses.iter().all(Option::is_none);
    let reached = highest(doses.into_iter().chain([time.filter(|_| no_dose)]).flatten().collect());
    if no_dose && reached.is_some() {
        look.note("No dose is recorded; fluoroscopy time alone is a poor measure of it.");
    }
    match reached {
        Some((words, Level::Substantial)) => {
            look.note("Give written advice on the skin and arrange follow-up, as your protocol says.");
            look.met(
                "substantial",
                "substantial radiation dose level reached",
                format!("{words}, at the level or above"),
            )
        }
        Some((words, level)) if complete.is_unknown() => {
            let more = (level == Level::Notice).then(|| format!("First notice: {words}."));
            look.undecided(complete.inputs().to_vec(), more)
        }
        Some((words, Level::Notice)) => look.met(
            "first-notice",
            "first notice, no substantial dose",
            format!("{words}, below the substantial level"),
        ),
        Some((words, Level::Below)) => {
            look.not_met("no radiation level reached", format!("{words}, below the first notice"))
        }
        None => look.open(&complete),
    }
}

/// The highest level that was reached, and every quantity that reached it.
fn highest(readings: Vec<(String, Level)>) -> Option<(String, Level)> {
    let top = readings.iter().map(|(_, level)| *level).max()?;
    let words: Vec<String> =
        readings.into_iter().filter(|(_, level)| *level == top).map(|(words, _)| words).collect();
    Some((words.join(" and "), top))
}
