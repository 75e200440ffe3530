//! What the page of a subject holds.

use askama::Template;

use super::gather::Gathered;
use crate::accounts::Role;
use crate::case::traits::Trait;
use crate::figure::Figure;
use crate::figure::chart::Band;
use crate::rates::drawing::{causes_chart, control_chart, cusum_chart, features_chart};
use crate::rates::store::DoneAction;
use crate::rates::{Feature, Subject, per_1000, whole_number};
use crate::vocabulary::Vocabulary;
use crate::web::figure_part::FigurePart;
use crate::web::filters::FilterForm;
use crate::web::frame::Frame;
use crate::web::rates::line::cases_path_of;
use crate::web::rates::query::AskedOfOne;

/// The page.
#[derive(Template)]
#[template(path = "rates/subject.html")]
pub(super) struct SubjectPage {
    frame: Frame,
    kind: &'static str,
    label: String,
    definition: String,
    /// The branch that it belongs to: where, and what it is called.
    parent: Option<(String, String)>,
    action: String,
    form: FilterForm,
    /// None when the period cannot be read.
    results: Option<Results>,
}

impl SubjectPage {
    pub(super) fn new(
        frame: Frame,
        subject: &Subject,
        vocabulary: &Vocabulary,
        form: FilterForm,
        results: Option<Results>,
    ) -> Self {
        let (kind, definition, parent) = match subject {
            Subject::Whole => (
                "All complications",
                "Cases with any complication, each once, whatever its chain.".to_owned(),
                None,
            ),
            Subject::Branch(slug) => {
                let branch = vocabulary.mechanism_branches.iter().find(|branch| branch.slug == *slug);
                let definition = branch.map_or_else(String::new, |branch| branch.definition.clone());
                ("Branch of the tree", definition, None)
            }
            Subject::Mechanism(slug) => {
                let leaf = vocabulary.mechanism(slug);
                let branch = leaf.map(|leaf| Subject::Branch(leaf.branch.clone()));
                let parent =
                    branch.and_then(|branch| Some((super::path_of(&branch), branch.label(vocabulary)?)));
                ("Mechanism", leaf.map_or_else(String::new, |leaf| leaf.definition.clone()), parent)
            }
        };
        Self {
            frame,
            kind,
            label: subject.label(vocabulary).unwrap_or_default(),
            definition,
            parent,
            action: super::path_of(subject),
            form,
            results,
        }
    }
}

/// An action and what followed it.
struct ActionPart {
    number: usize,
    what: String,
    code: String,
    since: String,
    sentences: Vec<String>,
}

/// A published incidence.
struct BenchmarkPart {
    sentence: String,
    caution: String,
    source: String,
}

/// Rates with a feature and without it.
struct FeatureRate {
    label: &'static str,
    with: String,
    without: String,
}

/// What the page says of a subject.
pub(super) struct Results {
    finding: String,
    line: String,
    change: Option<String>,
    why_chart: String,
    no_chart: Option<String>,
    notes: Vec<String>,
    signals: Vec<String>,
    chart: Option<FigurePart>,
    no_watch: Option<String>,
    watch: Option<FigurePart>,
    actions: Vec<ActionPart>,
    causes: Option<FigurePart>,
    causes_of: String,
    features: Option<FigurePart>,
    only_complicated: &'static str,
    feature_rates: Vec<FeatureRate>,
    silent: String,
    fewest: u64,
    recognition: Option<String>,
    restored: Option<String>,
    harms: usize,
    benchmarks: Vec<BenchmarkPart>,
    baseline: String,
    baselines: Vec<String>,
    cases: String,
    keeps: bool,
    path: String,
    left_out: Option<String>,
}

const ONLY_COMPLICATED: &str = "Only complicated cases carry features. So this says that a feature goes with this complication rather than with \
     another one; it never says that the feature causes it or raises its risk.";

impl Results {
    pub(super) fn of(gathered: &Gathered, asked: &AskedOfOne, query: &str, role: Role) -> Self {
        let subject = &gathered.subject;
        let path = super::path_of(subject);
        let files = |name: &str, formats: &[&'static str]| {
            formats
                .iter()
                .map(|format| {
                    let ending = format.to_lowercase();
                    (*format, format!("{path}/files/{name}.{ending}?{query}"))
                })
                .collect::<Vec<_>>()
        };
        let part = |id: &'static str, name: &str, figure: Figure, rule: String| FigurePart {
            id,
            name: name.to_owned(),
            figure,
            note: String::new(),
            rule,
            files: files(id, &["SVG", "PNG", "CSV"]),
        };
        let drawn = Drawings { gathered, asked };
        let judged = gathered.judged.as_ref().ok();
        let line = gathered.line.as_ref();
        Self {
            finding: drawn.finding(),
            line: line.map(crate::rates::RateLine::sentence).unwrap_or_default(),
            change: line.and_then(crate::web::rates::line::change_in_words),
            why_chart: judged.map(|(_, judged)| judged.why.clone()).unwrap_or_default(),
            no_chart: match &gathered.judged {
                Err(why) => Some(why.clone()),
                Ok((_, judged)) => judged.chart.as_ref().err().cloned(),
            },
            notes: judged.map(|(_, judged)| judged.notes.clone()).unwrap_or_default(),
            signals: judged
                .map(|(_, judged)| judged.signals.iter().map(|found| found.words.clone()).collect())
                .unwrap_or_default(),
            chart: drawn.chart().map(|figure| {
                part("rate", "The rate over time", figure, asked.rules.in_words().to_owned())
            }),
            no_watch: gathered.watched.as_ref().err().cloned(),
            watch: drawn.watch().map(|figure| {
                let rule = gathered.watched.as_ref().map(|watched| watched.rule()).unwrap_or_default();
                part("cusum", "The watch (CUSUM)", figure, rule)
            }),
            actions: actions(gathered),
            causes: drawn.causes().map(|figure| {
                let rule = "Each case counts once for a cause; shares are of all cases of the period.".to_owned();
                part("causes", "Causes", figure, rule)
            }),
            causes_of: whole_number(gathered.cases),
            features: drawn.features().map(|figure| part("features", "Features", figure, ONLY_COMPLICATED.to_owned())),
            only_complicated: ONLY_COMPLICATED,
            feature_rates: gathered.features.iter().filter_map(feature_rate).collect(),
            silent: labels(&gathered.silent),
            fewest: crate::rates::FEWEST_ON_A_SIDE,
            recognition: gathered.times.recognition().map(|took| took.sentence()),
            restored: gathered.times.restored_flow().map(|took| took.sentence()),
            harms: gathered.times.harms,
            benchmarks: benchmarks(gathered),
            baseline: baseline(gathered),
            baselines: gathered.baselines.iter().map(in_words).collect(),
            cases: cases_path_of(subject, line.map_or(gathered.period, crate::rates::RateLine::period)),
            keeps: role.keeps(),
            path,
            left_out: gathered.within.as_ref().map(|within| {
                format!(
                    "Rate, chart, watch and what followed each action count only cases and procedures of {}; a case that does not \
                     say whether it belongs there is left out. Causes, features and times are of all its cases.",
                    within.label
                )
            }),
        }
    }
}

/// The drawings of a subject; the files are the same drawings.
pub(super) struct Drawings<'a> {
    pub(super) gathered: &'a Gathered,
    pub(super) asked: &'a AskedOfOne,
}

impl Drawings<'_> {
    fn finding(&self) -> String {
        match &self.gathered.judged {
            Ok((course, judged)) => judged.finding(course),
            Err(_) => format!("{}: a month cannot be as recorded", self.gathered.label),
        }
    }

    fn actions(&self) -> Vec<DoneAction> {
        self.gathered.actions.iter().map(|(action, _)| action.clone()).collect()
    }

    pub(super) fn chart(&self) -> Option<Figure> {
        let (course, judged) = self.gathered.judged.as_ref().ok()?;
        let band = self.gathered.benchmarks.iter().find_map(|one| {
            let band = one.interval_per_1000()?;
            Some(Band { low: band.lower, high: band.upper, label: one.label_with_n() })
        });
        control_chart(course, judged, &self.actions(), band, self.asked.rules)
    }

    pub(super) fn watch(&self) -> Option<Figure> {
        let (course, _) = self.gathered.judged.as_ref().ok()?;
        Some(cusum_chart(course, self.gathered.watched.as_ref().ok()?, &self.actions()))
    }

    pub(super) fn causes(&self) -> Option<Figure> {
        causes_chart(&self.gathered.label, self.gathered.cases, &self.gathered.causes)
    }

    pub(super) fn features(&self) -> Option<Figure> {
        features_chart(&self.gathered.label, &self.gathered.features)
    }
}

fn actions(gathered: &Gathered) -> Vec<ActionPart> {
    (1..)
        .zip(&gathered.actions)
        .map(|(number, (action, effect))| ActionPart {
            number,
            what: action.what.clone(),
            code: action.code.to_string(),
            since: action.done_on.in_words(),
            sentences: match effect {
                Ok(effect) => effect.sentences(),
                Err(why) => vec![why.to_string()],
            },
        })
        .collect()
}

fn feature_rate(feature: &Feature) -> Option<FeatureRate> {
    let rates = feature.rates?;
    let words = |count: crate::stats::proportion::Count| {
        format!(
            "{} per 1,000 ({} of {})",
            per_1000(count.proportion() * 1_000.0),
            whole_number(count.events()),
            whole_number(count.procedures())
        )
    };
    Some(FeatureRate {
        label: feature.feature.label(),
        with: words(rates.with),
        without: words(rates.without),
    })
}

fn labels(features: &[Trait]) -> String {
    features.iter().map(|feature| feature.label().to_lowercase()).collect::<Vec<_>>().join(", ")
}

fn benchmarks(gathered: &Gathered) -> Vec<BenchmarkPart> {
    gathered
        .benchmarks
        .iter()
        .map(|one| BenchmarkPart {
            sentence: one.sentence(),
            caution: one.caution(),
            source: format!("{} ({}).", one.source.trim_end_matches('.'), one.mark.label()),
        })
        .collect()
}

/// What the chart is judged against.
fn baseline(gathered: &Gathered) -> String {
    match (gathered.baselines.first(), &gathered.judged) {
        (Some(set), _) => format!("Judged against {}, set by hand.", set.period),
        (None, Ok((_, judged))) => match judged.baseline {
            Some(period) => format!(
                "Judged against {period}: the first 20 points shown, or all when there are fewer. Later points do not move it."
            ),
            None => String::new(),
        },
        (None, Err(_)) => String::new(),
    }
}

fn in_words(set: &crate::rates::store::SetBaseline) -> String {
    format!("{}, set on {} by {}: {}", set.period, set.set_on.in_words(), set.set_by, set.reason)
}
