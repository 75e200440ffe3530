//! Everything that the page of a subject says, worked out.

use sqlx::SqliteConnection;

use crate::case::traits::Trait;
use crate::case::{Month, Sight};
use crate::rates::benchmark::Benchmark;
use crate::rates::store::{self, DoneAction, SetBaseline};
use crate::rates::{
    ALL_PCI, Course, Effect, Feature, FeatureRates, Judged, NoEffect, Period, RateLine, Settings, Split,
    Subject, Times, Watched, Within, features,
};
use crate::stats::proportion::Count;
use crate::vocabulary::{StratumSlug, Vocabulary};
use crate::web::error::Error;
use crate::web::rates::query::AskedOfOne;
use crate::web::state::App;

/// What there is to say of a subject.
pub(super) struct Gathered {
    pub(super) subject: Subject,
    pub(super) period: Period,
    pub(super) label: String,
    /// The rate of the last twelve months of the period beside the twelve before.
    pub(super) line: Option<RateLine>,
    /// The course with its chart; or the month that cannot be as recorded.
    pub(super) judged: Result<(Course, Judged), String>,
    pub(super) watched: Result<Watched, String>,
    pub(super) actions: Vec<(DoneAction, Result<Effect, NoEffect>)>,
    /// Cases of the period, each once.
    pub(super) cases: u64,
    /// Causes with the number of cases in which each was found.
    pub(super) causes: Vec<(String, u64)>,
    pub(super) features: Vec<Feature>,
    pub(super) silent: Vec<Trait>,
    pub(super) times: Times,
    pub(super) benchmarks: Vec<&'static Benchmark>,
    pub(super) baselines: Vec<SetBaseline>,
    pub(super) settings: Settings,
    pub(super) within: Option<Within>,
}

impl Gathered {
    pub(super) async fn of(
        conn: &mut SqliteConnection,
        app: &App,
        subject: &Subject,
        (asked, sight): (&AskedOfOne, Sight),
    ) -> Result<Self, Error> {
        let vocabulary = app.vocabulary();
        let settings = store::settings(conn).await?;
        let within = asked.stratum.as_ref().and_then(Within::of);
        let own = subject.stratum(&vocabulary).ok_or(Error::NotFound)?;
        let stratum = within.as_ref().map_or(own, |within| &within.stratum);
        let period = match asked.period {
            Some(period) => period,
            None => usual(conn, stratum, app.this_month()).await?,
        };
        let baselines = store::baselines(conn, subject).await?;
        let fixed = baselines.first().map(|set| set.period);
        let course = store::course(conn, &vocabulary, subject, (period, asked.every), within.as_ref())
            .await?
            .ok_or(Error::NotFound)?;
        let judged = course.map_err(|impossible| impossible.to_string()).map(|course| {
            let judged = Judged::of(&course, asked.chart, fixed, asked.rules);
            (course, judged)
        });
        let watched = match &judged {
            Ok((course, _)) => watch(course, fixed, &settings),
            Err(why) => Err(why.clone()),
        };
        let actions = match &judged {
            Ok((course, judged)) => {
                effects(store::done_actions(conn, subject, period, sight).await?, course, judged, &settings)
            }
            Err(_) => Vec::new(),
        };
        let last_year = Period::new(period.to().plus(-11), period.to()).unwrap_or(period);
        let of_subject = store::cases_by_trait(conn, subject, (period.from(), period.to())).await?;
        let of_all = store::cases_by_trait(conn, &Subject::Whole, (period.from(), period.to())).await?;
        let cases = store::cases_of(conn, subject, store::Among::All, (period.from(), period.to())).await?;
        let cases: u64 = cases.values().copied().map(u64::from).sum();
        let at_risk = match own {
            own if *own == *ALL_PCI => Some(AtRisk::of(conn, period).await?),
            _ => None,
        };
        let rates = |feature: Trait, split: Split| at_risk.as_ref()?.rates(feature, split, cases);
        // Any complication is all there is: nothing is left to compare it with.
        let (features, silent) = match subject {
            Subject::Whole => (Vec::new(), Vec::new()),
            _ => features(&of_subject, &of_all, rates),
        };
        Ok(Self {
            subject: subject.clone(),
            label: subject.label(&vocabulary).ok_or(Error::NotFound)?,
            line: store::line(conn, &vocabulary, subject, last_year, within.as_ref()).await?,
            causes: named(store::causes(conn, subject, period).await?, &vocabulary),
            times: store::times(conn, subject, period).await?,
            benchmarks: if within.is_none() { Benchmark::of(subject) } else { Vec::new() },
            period,
            judged,
            watched,
            actions,
            cases,
            features,
            silent,
            baselines,
            settings,
            within,
        })
    }
}

/// The period when nobody chose one: as far back as was counted, so that the usual baseline, its first
/// points, stays where it is.
async fn usual(conn: &mut SqliteConnection, stratum: &StratumSlug, today: Month) -> Result<Period, Error> {
    let to = store::latest_counted_month(conn, today).await?.unwrap_or(today);
    let recorded = store::recorded_since(conn).await?;
    let counted = store::first_counted(conn, stratum).await?;
    let from = recorded.max(counted).or(recorded).unwrap_or(to);
    let from = from.max(to.plus(1 - Period::MOST_MONTHS)).min(to);
    Ok(Period::new(from, to).unwrap_or_else(|_| Period::of_one(to)))
}

fn watch(course: &Course, fixed: Option<Period>, settings: &Settings) -> Result<Watched, String> {
    let months = course.counted_months();
    let baseline = fixed.or_else(|| Watched::usual_baseline(&months)).unwrap_or(course.period);
    Watched::of(&months, baseline, settings.false_alarm).map_err(|why| why.to_string())
}

/// What became of the rate after each action.
fn effects(
    actions: Vec<DoneAction>,
    course: &Course,
    judged: &Judged,
    settings: &Settings,
) -> Vec<(DoneAction, Result<Effect, NoEffect>)> {
    let months = course.counted_months();
    let peaks = judged.peaks();
    actions
        .into_iter()
        .filter_map(|action| {
            let effect = Effect::of(&months, action.done_on.month()?, settings.fewest_compared, &peaks);
            Some((action, effect))
        })
        .collect()
}

fn named(causes: Vec<(crate::vocabulary::CauseSlug, u64)>, vocabulary: &Vocabulary) -> Vec<(String, u64)> {
    causes
        .into_iter()
        .map(|(slug, cases)| {
            let label = vocabulary.cause(&slug).map_or_else(|| slug.to_string(), |leaf| leaf.label.clone());
            (label, cases)
        })
        .collect()
}

/// Procedures at risk of every stratum over a period.
struct AtRisk {
    cells: Vec<crate::rates::AtRisk>,
    months: usize,
}

impl AtRisk {
    async fn of(conn: &mut SqliteConnection, period: Period) -> Result<Self, Error> {
        let cells = store::at_risk(conn, period.from(), period.to()).await?;
        Ok(Self { cells, months: usize::try_from(period.length()).unwrap_or(usize::MAX) })
    }

    /// Procedures of a stratum, when every month of the period was counted.
    fn whole(&self, stratum: &str) -> Option<u64> {
        let counted: Vec<u32> = self
            .cells
            .iter()
            .filter(|cell| cell.stratum.as_str() == stratum)
            .filter_map(|cell| cell.procedures)
            .collect();
        (counted.len() == self.months).then(|| counted.into_iter().map(u64::from).sum())
    }

    /// Rates with a feature and without it, when procedures are counted by it in every month and
    /// every case says whether it has it.
    fn rates(&self, feature: Trait, split: Split, cases: u64) -> Option<FeatureRates> {
        let with = self.whole(feature.stratum()?)?;
        let all = self.whole(ALL_PCI.as_str())?;
        if split.with + split.without != cases {
            return None;
        }
        Some(FeatureRates {
            with: Count::new(split.with, with).ok()?,
            without: Count::new(split.without, all.checked_sub(with)?).ok()?,
        })
    }
}
