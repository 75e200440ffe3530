//! What the department sets for its rates, and whether anything is shown about operators.

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;
use sqlx::SqliteConnection;

use super::Entry;
use crate::case::Fingerprint;
use crate::rates::FewestByOperator;
use crate::rates::operators::{OperatorSettings, OperatorView};
use crate::rates::store::{self, operators};
use crate::rates::suppress::SmallestCount;
use crate::rates::{FalseAlarmYears, FewestCompared, Settings, SmallestGroup};
use crate::web::access::Allow;
use crate::web::error::Error;
use crate::web::form::{Choice, Control, Field, FormView, Reader, Values};
use crate::web::form_page::FormPage;
use crate::web::frame::{Place, Visit, lead_to, page, page_with};
use crate::web::router::Routes;
use crate::web::state::App;

const ADDRESS: &str = "/settings/rates";

pub(super) fn add_routes(routes: Routes) -> Routes {
    routes.get(ADDRESS, Allow::Keepers, show_settings).post(ADDRESS, Allow::Keepers, save_settings)
}

/// All that the form sets.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct All {
    rates: Settings,
    operators: OperatorSettings,
}

impl All {
    async fn load(conn: &mut SqliteConnection) -> Result<Self, Error> {
        Ok(Self { rates: store::settings(conn).await?, operators: operators::settings(conn).await? })
    }

    fn values(self) -> Values {
        Values::new()
            .with("smallest", self.rates.smallest)
            .with("group", self.rates.group)
            .with("fewest", self.rates.fewest_compared)
            .with("years", self.rates.false_alarm)
            .with("operators", self.operators.view)
            .with("fewest_by_operator", self.operators.fewest)
    }

    fn fingerprint(self) -> Fingerprint {
        Fingerprint::of(&self.values().into_pairs())
    }

    fn read(typed: &Values) -> Result<Self, Vec<crate::web::form::FieldError>> {
        let mut reader = Reader::new(typed);
        let smallest =
            reader.required::<SmallestCount>("smallest", "Say how small a count may leave; 5 is usual.");
        let group =
            reader.required::<SmallestGroup>("group", "Say how many cases look alike at least; 5 is usual.");
        let fewest =
            reader.required::<FewestCompared>("fewest", "Say how many procedures are enough; 100 is usual.");
        let years = reader.required::<FalseAlarmYears>("years", "Say how many years; 5 are usual.");
        let view = reader.required::<OperatorView>("operators", "Choose one; off is usual.");
        let by_operator = reader.required::<FewestByOperator>(
            "fewest_by_operator",
            "Say how many procedures are enough; 50 is usual.",
        );
        let rates = smallest.zip(group).zip(fewest.zip(years)).map(
            |((smallest, group), (fewest_compared, false_alarm))| Settings {
                smallest,
                group,
                fewest_compared,
                false_alarm,
            },
        );
        let operators = view.zip(by_operator).map(|(view, fewest)| OperatorSettings { view, fewest });
        reader.finish(rates.zip(operators).map(|(rates, operators)| Self { rates, operators }))
    }
}

fn fields() -> Vec<Field> {
    vec![
        Field::number("smallest", "The smallest count that leaves the department", "events").hint(
            "In printed reports and files, smaller counts are hidden, with every other number from which they could be worked out: one or two events in a month can point to a patient. Zero is shown. 1 to 50; 5 is usual, and 1 hides nothing. Local rules may ask for more.",
        ),
        Field::number("group", "How many cases look alike at least", "cases").hint(
            "Before cases leave the department, month, age, sex and mechanism together are looked at: what fits fewer cases than this is told more generally or left out. It is another limit than the one above, which hides counts. 2 to 20; 5 is usual. Local rules may ask for more.",
        ),
        Field::number("fewest", "The fewest procedures compared before and after an action", "procedures").hint(
            "An action’s effect is worked out only where at least so many procedures were done before it, and as many after it: with fewer, chance decides what is seen. 1 to 100,000; 100 is usual.",
        ),
        Field::number("years", "How long a false alarm of the watch should take", "years").hint(
            "The watch over a rate signals by chance alone now and then; this says how seldom, on average, at your present volume. Longer means fewer false alarms and real changes seen later. 1 to 50; 5 is usual.",
        ),
        Field::new(
            "operators",
            "Operators",
            Control::Radios(vec![
                Choice::new(OperatorView::Off, "Off")
                    .explained("Nothing is shown or recorded about any operator. What was recorded before stays, unseen."),
                Choice::new(OperatorView::On, "On, for the quality lead alone")
                    .explained("By pseudonym, never by name, never ranked, and in no report or file."),
            ]),
        )
        .hint("Off is usual. Rates of single people rest on small numbers and on different cases. Local law and your agreements on data about staff decide whether this may be on."),
        Field::number("fewest_by_operator", "The fewest procedures of an operator who is shown", "procedures").hint(
            "Below this number in the period nothing of an operator is shown, only that somebody is left out: the rate of so few procedures says next to nothing about a person. 20 to 10,000; 50 is usual.",
        ),
    ]
}

fn form_page(visit: &Visit, saved: All, values: Values) -> FormPage {
    FormPage {
        frame: visit.frame(Place::Settings),
        eyebrow: "Settings".to_owned(),
        title: "Rates".to_owned(),
        lead: "Where your department draws its lines. What is set here holds for every page and report from now on; the record itself does not change.".to_owned(),
        form: FormView {
            action: ADDRESS.to_owned(),
            cancel: "/settings".to_owned(),
            save: "Save",
            fields: fields(),
            values,
            errors: Vec::new(),
            base: saved.fingerprint().as_str().to_owned(),
            take_out: None,
        },
    }
}

async fn show_settings(State(app): State<App>, visit: Visit) -> Result<Response, Error> {
    let saved = All::load(&mut *app.database.read().await?).await?;
    page(&form_page(&visit, saved, saved.values()))
}

async fn save_settings(State(app): State<App>, visit: Visit, typed: Values) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let saved = All::load(&mut tx).await?;
    let wanted = match All::read(&typed) {
        Ok(wanted) => wanted,
        Err(errors) => {
            let mut form = form_page(&visit, saved, typed.clone());
            form.form.errors = errors;
            form.form.base = typed.get("base").to_owned();
            return page_with(StatusCode::UNPROCESSABLE_ENTITY, &form);
        }
    };
    if wanted != saved {
        if !saved.fingerprint().matches(typed.get("base")) {
            return page_with(StatusCode::CONFLICT, &form_page(&visit, saved, typed).stale(&saved.values()));
        }
        store::set_settings(&mut tx, &wanted.rates).await?;
        operators::set_settings(&mut tx, &wanted.operators).await?;
        tx.commit().await?;
    }
    Ok(lead_to("/settings", &format!("Saved {}.", app.clock()), None))
}

/// The entries on the page of settings; for who keeps them only.
pub(super) async fn entries(conn: &mut SqliteConnection) -> Result<[Entry; 2], Error> {
    let All { rates, operators } = All::load(conn).await?;
    let hidden = if rates.smallest == SmallestCount::HIDES_NOTHING {
        "No count is hidden in what leaves the department".to_owned()
    } else {
        format!("Counts below {} do not leave the department", rates.smallest)
    };
    let operators = if operators.is_on() {
        Entry {
            href: crate::web::operators::LIST,
            title: "Operators",
            text: "Their pseudonyms, the procedures of each, and the operator of each case. Only you see this.",
            now: format!("On; shown from {} procedures on.", operators.fewest),
        }
    } else {
        Entry {
            href: crate::web::operators::PATH,
            title: "Operators",
            text: "What could be shown of operators, by pseudonym and to you alone, and what speaks against it.",
            now: "Off.".to_owned(),
        }
    };
    Ok([
        Entry {
            href: ADDRESS,
            title: "Rates",
            text: "How small a count may leave the department, how much is enough to compare, how rare a false alarm should be, and whether operators are shown.",
            now: format!("{hidden}; a false alarm in about {} years.", rates.false_alarm),
        },
        operators,
    ])
}
