//! Radiation levels.

use super::choices::{Choices, RadiationLimit};
use super::definition::{Assess, Definition, Section, Source};
use super::facts::{Facts, Input, RadiationFacts, Seen};
use super::finding::Finding;
use super::look::{Look, only_missing, write};
use super::quantities::{Decimal, DoseUnit, FluoroscopyUnit, KermaAreaUnit, Measured, Unit};
use super::sentence::capital;

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
                 Fluoroscopy time is a poor measure of dose: it counts only where no dose is recorded, and it never shows that \
                 the dose was low.",
    sources: &[
        Source::recalled(
            "NCRP Report 168, 2010",
            "the first notices, the steps after them and the substantial levels",
        ),
        Source::recalled("Stecker et al., J Vasc Interv Radiol 2009;20:S263", "the same"),
        Source::read(
            "“Substantial radiation dose level”, ICRPaedia, ICRP 120",
            "a level says “check”, not “injury”",
        ),
        Source::read_in(
            "Joint Commission 2005",
            "“The fluoroscopic sentinel event: what to do”, J Am Osteopath Coll Radiol",
            "a peak skin dose above 15 Gy to one field as a sentinel event",
        ),
        Source::recalled("Joint Commission 2005", "that the dose is summed over 6 to 12 months"),
        Source::own("exactly at the level reaches it"),
    ],
    inputs: &[
        RadiationFacts::SKIN,
        RadiationFacts::AIR_KERMA,
        RadiationFacts::KERMA_AREA,
        RadiationFacts::FLUOROSCOPY,
    ],
    choices: &["radiation-limit"],
    assess: Assess::Case(assess),
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

/// One quantity as it came out.
struct Reading {
    /// Its name and value: `air kerma of 3.2 Gy`.
    words: String,
    level: Level,
    /// The limit of the level that was reached: `3 Gy`.
    limit: String,
}

/// Reads one quantity and notes how many notices were due; `more` is said with them.
fn read<U: Unit>(
    look: &mut Look,
    [name, title]: [&str; 2],
    seen: Seen<Option<Measured<U>>>,
    levels: &Levels<U>,
    rule: RadiationLimit,
    more: &str,
) -> Option<Reading> {
    let value = look.value(seen)?;
    let level = levels.of(value, rule);
    // In the unit of the value, so that one sentence holds one unit.
    let limit = match level {
        Level::Below => None,
        Level::Notice => levels.notice.to(value.unit()),
        Level::Substantial => levels.substantial.to(value.unit()),
    };
    let limit = limit.map_or_else(String::new, Measured::text);
    if level != Level::Below {
        let (over, every) = (value.exact() - levels.notice.exact(), levels.then_every.exact());
        let due = match rule {
            RadiationLimit::Reaches => 1 + over / every,
            RadiationLimit::Exceeds => (over + every - 1) / every,
        };
        let each = if due == 1 { "notice was" } else { "notices were" };
        look.note(format_args!(
            "{title}: {due} {each} due, at {} and then every {}.{more}",
            levels.notice, levels.then_every
        ));
    }
    Some(Reading { words: write(format_args!("{name} of {value}")), level, limit })
}

fn assess(facts: &Facts, choices: &Choices) -> Finding {
    /// What keeps a note on time from contradicting a result by dose.
    const POOR: &str = " It is a poor measure of dose; the dose itself decides.";
    let mut look = Look::at_case(&DEFINITION);
    let rule = look.choose(choices.radiation_limit);
    let seen = &facts.radiation;
    let skin = levels([20, 5, 30], DoseUnit::Gy);
    let skin = read(&mut look, ["peak skin dose", "Peak skin dose"], seen.skin(), &skin, rule, "");
    let kerma = levels([30, 10, 50], DoseUnit::Gy);
    let kerma = read(&mut look, ["air kerma", "Air kerma"], seen.air_kerma(), &kerma, rule, "");
    let area = levels([3_000, 1_000, 5_000], KermaAreaUnit::GyCm2);
    let area =
        read(&mut look, ["kerma-area product", "Kerma-area product"], seen.kerma_area(), &area, rule, "");
    let time = levels([300, 150, 600], FluoroscopyUnit::Minutes);
    let no_dose = skin.is_none() && kerma.is_none() && area.is_none();
    let more = if no_dose { "" } else { POOR };
    let names = ["fluoroscopy time", "Fluoroscopy time"];
    let time = read(&mut look, names, seen.fluoroscopy(), &time, rule, more);
    if no_dose && time.is_some() {
        look.note("No dose is recorded; fluoroscopy time alone is a poor measure of it.");
    }
    warn(&mut look, seen);
    let lacks =
        [(&RadiationFacts::AIR_KERMA, kerma.is_none()), (&RadiationFacts::KERMA_AREA, area.is_none())];
    let doses = [skin, kerma, area, time.filter(|_| no_dose)];
    judge(look, doses, only_missing(lacks), rule)
}

fn warn(look: &mut Look, seen: &RadiationFacts) {
    let gray = |gray: i64| Measured::limit(Decimal::whole(gray), DoseUnit::Gy);
    if seen.skin.is_some_and(|dose| dose.is_above(gray(15))) {
        look.note(
            "Peak skin dose above 15 Gy to one field: reviewed as a sentinel event where your accreditation asks for it. \
             Doses are summed over 6 to 12 months (from memory).",
        );
    }
    if seen.air_kerma.is_some_and(|dose| dose.is_above(gray(10))) {
        look.note("Air kerma above 10 Gy: a physicist's estimate of the skin dose is common practice (from memory).");
    }
}

fn judge(
    mut look: Look,
    readings: [Option<Reading>; 4],
    lacks: Vec<&'static Input>,
    rule: RadiationLimit,
) -> Finding {
    let readings = readings.into_iter().flatten();
    let Some((level, words)) = highest(readings, rule) else {
        return look.lacking(lacks);
    };
    match level {
        Level::Substantial => {
            look.note("Give written advice on the skin and arrange follow-up, as your protocol says.");
            look.met("substantial", "substantial radiation dose level reached", words)
        }
        Level::Notice if !lacks.is_empty() => look.undecided(lacks, Some(format!("{}.", capital(&words)))),
        Level::Below if !lacks.is_empty() => look.undecided(lacks, None),
        Level::Notice => look.met("first-notice", "first notice, no substantial dose", words),
        Level::Below => {
            look.not_met("no radiation dose level reached", format_args!("{words}, below the first notice"))
        }
    }
}

/// The highest level that was reached, and every quantity that reached it: `air kerma of 3.2 Gy
/// reached the first notice of 3 Gy`.
fn highest(readings: impl Iterator<Item = Reading>, rule: RadiationLimit) -> Option<(Level, String)> {
    let readings: Vec<Reading> = readings.collect();
    let top = readings.iter().map(|reading| reading.level).max()?;
    let did = match rule {
        RadiationLimit::Reaches => "reached",
        RadiationLimit::Exceeds => "passed",
    };
    let mut words = String::with_capacity(128);
    for reading in readings.iter().filter(|reading| reading.level == top) {
        let is_first = words.is_empty();
        if !is_first {
            words.push_str(" and ");
        }
        words.push_str(&reading.words);
        let parts = match (top, is_first) {
            (Level::Below, _) => continue,
            (_, false) => [" ", did, " that of ", &reading.limit],
            (Level::Notice, true) => [" ", did, " the first notice of ", &reading.limit],
            (Level::Substantial, true) => [" ", did, " the substantial level of ", &reading.limit],
        };
        words.extend(parts);
    }
    Some((top, words))
}
