//! The deck of a case, put together from all that it is made of.

use sqlx::SqliteConnection;

use crate::case::StoredCase;
use crate::case::reading::Reading;
use crate::conference;
use crate::figure::Distance;
use crate::figure::interval::{RateChart, RateRow};
use crate::rates::drawing::interval;
use crate::rates::{self, RateLine};
use crate::review::deck::{Arranged, Material, RateShown, Seat, arrange, screens, store};
use crate::review::findings::Findings;
use crate::review::summary::rate_mechanism;
use crate::web::error::Error;
use crate::web::state::App;

/// The deck of a case, with what a presenter gave to it.
pub(super) struct Gathered {
    pub(super) seats: Vec<Seat>,
    pub(super) given: Vec<Arranged>,
    /// The confidentiality line.
    pub(super) confidential: String,
}

pub(super) async fn gather(
    app: &App,
    conn: &mut SqliteConnection,
    case: &StoredCase,
) -> Result<Gathered, Error> {
    let vocabulary = app.vocabulary();
    let line = match rate_mechanism(case) {
        Some(mechanism) => rates::store::case_rate(conn, &vocabulary, &mechanism, app.this_month()).await?,
        None => None,
    };
    let given = store::load(conn, case.id).await?;
    let confidential = conference::store::confidentiality(conn).await?.to_string();
    let reading = Reading::of(&case.events, &case.complications);
    let findings = Findings::of(case, &reading, &vocabulary, &app.department().choices);
    let rate = line.as_ref().and_then(shown);
    let material = Material {
        case,
        vocabulary: &vocabulary,
        reading: &reading,
        findings: &findings,
        rate: rate.as_ref(),
        confidential: &confidential,
    };
    Ok(Gathered { seats: arrange(screens(&material), &given), given, confidential })
}

/// The rate for a room; none where there is no rate, which is nothing to show.
fn shown(line: &RateLine) -> Option<RateShown> {
    let rate = line.rate()?;
    let title = match rate.events() {
        0 => format!("{}: no event in {} procedures", line.label, rate.procedures()),
        _ => format!("{}: {} in 1,000 procedures at risk", line.label, rate.per_1000_in_words()),
    };
    let chart = RateChart {
        title: title.clone(),
        unit: "per 1,000 procedures at risk".to_owned(),
        rows: vec![RateRow {
            label: line.period().to_string(),
            now: Some(interval(rate)),
            previous: line.previous_rate().map(interval),
            counts: rate.counts_in_words(),
        }],
    };
    let before = line.previous_rate().map(|_| "The paler bar is the period before.".to_owned());
    let sentences = std::iter::once(line.sentence()).chain(line.notes()).chain(before).collect();
    Some(RateShown { title, sentences, figure: Some(chart.draw_for(Distance::Room, "deck-rate")) })
}
