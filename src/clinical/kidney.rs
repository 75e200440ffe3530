//! Acute kidney injury by KDIGO.

use super::answer::Judgement;
use super::choices::{Choices, KidneyWindow};
use super::definition::{Assess, Definition, Section, Source};
use super::facts::{Facts, KidneyFacts, LabFacts, ProcedureFacts, Sample, split};
use super::finding::Finding;
use super::look::{Look, Text, only_missing, write};
use super::quantities::{Creatinine, CreatinineUnit, Decimal, Measured, Span, SpanUnit};

/// Acute kidney injury, KDIGO.
pub const DEFINITION: Definition = Definition {
    slug: "kidney-injury",
    name: "Acute kidney injury, KDIGO",
    section: Section::Kidney,
    rule: "Creatinine that rises by 0.3 mg/dL (26.5 µmol/L) or more within 48 h, or to 1.5 times the baseline or more \
           within 7 days. Stage 1: the rise of 0.3, or 1.5 to below 2 times. Stage 2: 2 to below 3 times. Stage 3: 3 times \
           or more, or 4.0 mg/dL (353.6 µmol/L) or more once the injury is met, or renal replacement started. Urine below \
           0.5 mL/kg/h for 6 h is stage 1 and for 12 h stage 2; below 0.3 for 24 h, or none for 12 h, stage 3.",
    boundaries: "Compared in the unit entered, because 26.5 µmol/L is 0.2997 mg/dL. Limits are half-open, which closes the \
                 gap that the printed 1.5 to 1.9 and 2.0 to 2.9 leave. Without a creatinine after the procedure it is not \
                 decidable, and not “no injury”. Urine counts where it is recorded.",
    sources: &[
        Source::read_in(
            "KDIGO, Kidney Int Suppl 2012;2:1",
            "the table in PMC4943672 (which misprints stage 2 as “1.0-2.9”) and in html.scirp.org 9-2070538_7",
            "the stages",
        ),
        Source::own("half-open limits between the stages"),
        Source::own("the last creatinine before the procedure is the baseline"),
    ],
    inputs: &[
        ProcedureFacts::STARTED,
        ProcedureFacts::ENDED,
        LabFacts::CREATININE_BEFORE,
        LabFacts::CREATININE_AFTER,
        KidneyFacts::REPLACEMENT,
        KidneyFacts::URINE_BELOW_HALF,
        KidneyFacts::URINE_BELOW_THIRD,
        KidneyFacts::ANURIA,
    ],
    choices: &["kidney-window"],
    assess: Assess::Case(assess),
};

const NO: &str = "no acute kidney injury";
const DAY: i64 = 24;
const TWO_DAYS: i64 = 48;
const WEEK: i64 = 7 * 24;

/// The rise and the level that a unit's own printed limits ask for.
const fn printed_limits(unit: CreatinineUnit) -> (Creatinine, Creatinine) {
    let (rise, level) = match unit {
        CreatinineUnit::MgPerDl => (300, 4_000),
        CreatinineUnit::MicromolPerL => (26_500, 353_600),
    };
    (Measured::limit(Decimal::thousandths(rise), unit), Measured::limit(Decimal::thousandths(level), unit))
}

/// Whether a creatinine rose by 0.3 mg/dL, or by 26.5 µmol/L when entered so.
#[must_use]
pub fn has_risen(from: Creatinine, to: Creatinine) -> bool {
    let (rise, _) = printed_limits(common_unit(from, to));
    to.exact() - from.exact() >= rise.exact()
}

/// Whether a creatinine is at the level of stage 3, in its own unit.
fn is_at_level(value: Creatinine) -> bool {
    let (_, level) = printed_limits(value.unit());
    value.is_at_least(level)
}

/// Whether a creatinine is so many tenths of the baseline or more.
fn is_times(baseline: Creatinine, value: Creatinine, tenths: i128) -> bool {
    value.exact() * 10 >= baseline.exact() * tenths
}

/// The unit both are in, or µmol/L when they differ.
fn common_unit(one: Creatinine, other: Creatinine) -> CreatinineUnit {
    if one.unit() == other.unit() { one.unit() } else { CreatinineUnit::MicromolPerL }
}

fn assess(facts: &Facts, choices: &Choices) -> Finding {
    let mut look = Look::at_case(&DEFINITION);
    let window = look.choose(choices.kidney_window);
    let replacement = look.answer(facts.kidney.replacement());
    let urine = urine_stage(&facts.kidney, &mut look);
    let course = Course::read(facts, window, &mut look);
    let creatinine = course.stage(&mut look);
    finish(look, &replacement, urine, creatinine)
}

/// A stage with its reason; stage 0 is no injury.
type Stage = (u8, Text);

fn finish(
    look: Look,
    replacement: &Judgement,
    urine: Stage,
    creatinine: Result<Stage, Judgement>,
) -> Finding {
    if replacement.is_yes() {
        return give(look, 3, "renal replacement was started".into());
    }
    // Urine can only raise the stage, so that stage 3 is settled by either route alone.
    let (known, lacks) = match creatinine {
        Ok(stage) if stage.0 >= urine.0 => (stage, replacement.clone()),
        Ok(_) => (urine, replacement.clone()),
        Err(lacks) => (urine, lacks.or(replacement.clone())),
    };
    if known.0 < 3 && lacks.is_unknown() {
        let least = (known.0 > 0).then(|| format!("At least stage {}: {}.", known.0, known.1));
        let why = lacks.reasons().join(" ");
        let more = [least.unwrap_or_default(), why].join(" ").trim().to_owned();
        return look.undecided(lacks.inputs().collect(), (!more.is_empty()).then_some(more));
    }
    give(look, known.0, known.1)
}

fn give(look: Look, stage: u8, clause: Text) -> Finding {
    match stage {
        0 => look.not_met(NO, clause),
        1 => look.met("1", "acute kidney injury, KDIGO stage 1", clause),
        2 => look.met("2", "acute kidney injury, KDIGO stage 2", clause),
        _ => look.met("3", "acute kidney injury, KDIGO stage 3", clause),
    }
}

fn urine_stage(kidney: &KidneyFacts, look: &mut Look) -> Stage {
    let hours = |hours: i64| -> Span { Measured::limit(Decimal::whole(hours), SpanUnit::Hours) };
    let mut at_least =
        |seen, limit: i64| look.value(seen).is_some_and(|span: Span| span.is_at_least(hours(limit)));
    let stages = [
        (at_least(kidney.anuria(), 12), 3, "no urine for 12 h or more"),
        (at_least(kidney.urine_below_third(), 24), 3, "urine below 0.3 mL/kg/h for 24 h or more"),
        (at_least(kidney.urine_below_half(), 12), 2, "urine below 0.5 mL/kg/h for 12 h or more"),
        (at_least(kidney.urine_below_half(), 6), 1, "urine below 0.5 mL/kg/h for 6 h or more"),
    ];
    let met = stages.into_iter().find(|(met, ..)| *met);
    met.map_or((0, "".into()), |(_, stage, clause)| (stage, clause.into()))
}

/// Creatinine around the procedure.
struct Course<'f> {
    procedure: &'f ProcedureFacts,
    window: KidneyWindow,
    baseline: Option<&'f Sample<Creatinine>>,
    after: Vec<&'f Sample<Creatinine>>,
}

impl<'f> Course<'f> {
    fn read(facts: &'f Facts, window: KidneyWindow, look: &mut Look) -> Self {
        let cut = split(&facts.labs.creatinine, &facts.procedure);
        if cut.unplaced > 0 {
            look.note(
                "Creatinine was not used where nothing says whether it was before or after the procedure.",
            );
        }
        let baseline = cut.before.last().copied();
        if let Some(baseline) = baseline {
            look.sample(&LabFacts::CREATININE_BEFORE, baseline, baseline.value.text());
        }
        for sample in &cut.after {
            look.sample(&LabFacts::CREATININE_AFTER, sample, sample.value.text());
        }
        if baseline.is_some_and(|baseline| cut.after.iter().any(|s| s.value.unit() != baseline.value.unit()))
        {
            look.note("Creatinine was entered in two units; it was compared in µmol/L, 88.42 for 1 mg/dL.");
        }
        Self { procedure: &facts.procedure, window, baseline, after: cut.after }
    }

    /// Whether a sample lies within so many hours of what the window counts from.
    fn is_within(&self, from: &Sample<Creatinine>, sample: &Sample<Creatinine>, hours: i64) -> bool {
        let between = sample.drawn.seconds() - from.drawn.seconds();
        let is_baseline = self.baseline.is_some_and(|baseline| std::ptr::eq(baseline, from));
        match self.window {
            KidneyWindow::Procedure if is_baseline => {
                self.procedure.is_within_hours(sample.drawn, hours).is_yes()
            }
            _ => between <= hours * 3_600,
        }
    }

    /// The stage that creatinine makes, or what is lacking.
    fn stage(&self, look: &mut Look) -> Result<Stage, Judgement> {
        let (Some(baseline), false) = (self.baseline, self.after.is_empty()) else {
            return Err(Judgement::lacking(only_missing([
                (&LabFacts::CREATININE_BEFORE, self.baseline.is_none()),
                (&LabFacts::CREATININE_AFTER, self.after.is_empty()),
            ])));
        };
        let in_week: Vec<Taken<'f>> =
            self.after.iter().filter(|taken| self.is_within(baseline, taken, WEEK)).copied().collect();
        if in_week.is_empty() {
            look.note("Every creatinine afterwards is later than 7 days, or not known to be within them.");
            return Err(Judgement::missing(&LabFacts::CREATININE_AFTER));
        }
        if !in_week.iter().any(|taken| self.is_within(baseline, taken, TWO_DAYS)) {
            look.note("No creatinine within 48 h: a rise by the fixed amount could not be seen.");
        }
        let rise = self.rise(baseline);
        Ok(self.worst(baseline, &in_week, rise, look))
    }

    /// The highest stage that the samples of the week make. The peak among them gives it its name.
    fn worst(
        &self,
        baseline: Taken<'f>,
        in_week: &[Taken<'f>],
        rise: Option<Rise<'f>>,
        look: &mut Look,
    ) -> Stage {
        let peak = highest(in_week.iter().copied()).unwrap_or(baseline);
        let shown = |to: Taken<'f>| baseline.value.from_to(to.value);
        let times = |tenths| is_times(baseline.value, peak.value, tenths);
        let injured = times(15) || rise.is_some();
        let level = highest(in_week.iter().copied().filter(|taken| injured && is_at_level(taken.value)));
        let by_times = |stage: u8, times: &str| {
            (
                stage,
                write(format_args!("creatinine {} at its peak, {times} the baseline", shown(peak))).into(),
            )
        };
        if times(30) {
            return by_times(3, "at least 3 times");
        }
        if let Some(taken) = level {
            let limit = printed_limits(taken.value.unit()).1;
            let words = format_args!("creatinine {}, at {limit} or more with the injury met", shown(taken));
            return (3, write(words).into());
        }
        if times(20) {
            return by_times(2, "2 to below 3 times");
        }
        if times(15) {
            return by_times(1, "1.5 to below 2 times");
        }
        if let Some((from, to)) = rise {
            return (1, by_the_fixed_rise(from, to, peak));
        }
        if in_week.iter().all(|taken| self.is_within(baseline, taken, DAY)) {
            look.note("No creatinine later than 24 h after the procedure; a later rise would not be seen.");
        }
        let rose = peak.value.exact() > baseline.value.exact();
        let (did, end) = if rose { ("", ", below every limit") } else { (" did not rise:", "") };
        (0, write(format_args!("creatinine{did} {} at most{end}", shown(peak))).into())
    }

    /// The first sample that creatinine rose from by the fixed amount within 48 h, and the highest
    /// that it rose to in that time.
    fn rise(&self, baseline: Taken<'f>) -> Option<Rise<'f>> {
        let from = std::iter::once(baseline).chain(self.after.iter().copied());
        from.enumerate().find_map(|(place, from)| {
            let later = self.after.iter().skip(place).copied();
            let rose = |to: &Taken<'f>| self.is_within(from, to, TWO_DAYS) && has_risen(from.value, to.value);
            Some((from, highest(later.filter(rose))?))
        })
    }
}

/// A creatinine of the case.
type Taken<'f> = &'f Sample<Creatinine>;
/// Two of them between which it rose.
type Rise<'f> = (Taken<'f>, Taken<'f>);

/// The clause of a rise by the fixed amount; the peak is named where it came later and is higher.
fn by_the_fixed_rise(from: Taken<'_>, to: Taken<'_>, peak: Taken<'_>) -> Text {
    let limit = printed_limits(common_unit(from.value, to.value)).0;
    let change = from.value.from_to(to.value);
    let mut clause = write(format_args!("creatinine {change}, a rise of {limit} or more within 48 h"));
    if peak.value.exact() > to.value.exact() {
        clause.push_str("; ");
        clause.push_str(&peak.value.text());
        clause.push_str(" at its peak");
    }
    clause.into()
}

/// The highest of some; of equal ones the first.
fn highest<'f>(taken: impl Iterator<Item = Taken<'f>>) -> Option<Taken<'f>> {
    taken.reduce(|top, one| if one.value.exact() > top.value.exact() { one } else { top })
}
