//! `relook demo`: an invented department, in a folder that goes with it.

mod booklet;
mod brief;
mod conferences;
mod judged;
mod pictures;

use std::io::Write;
use std::path::{Path, PathBuf};

use anyhow::{Context, anyhow};
use clap::Args;
use jiff::Timestamp;
use rust_embed::RustEmbed;
use sqlx::SqliteConnection;
use tokio::net::TcpListener;

use super::Verdict;
use super::address::{self, Address};
use super::data;
use super::import::insert;
use super::reach::HostArguments;
use super::serve::{listen, settings_of};
use super::temporary::TemporaryFolder;
use super::votes::VotesArguments;
use crate::accounts::{self, Role, Secret};
use crate::case::{Case, Day};
use crate::database::Database;
use crate::department::{PromptWords, prompt_store};
use crate::import::{at_risk, case_file};
use crate::rates;
use crate::response::PromptList;
use crate::vocabulary::{self, Vocabulary};
use crate::web::{self, Doors, Settings, Stop, Transport};

/// The arguments of `relook demo`.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Demo {
    /// Where to listen; when the port is taken, the next free one
    #[arg(long, env = "RELOOK_ADDRESS", default_value = address::DEFAULT, value_name = "HOST:PORT", hide_env_values = true)]
    address: Address,
    #[command(flatten)]
    hosts: HostArguments,
    #[command(flatten)]
    votes: VotesArguments,
}

const EXAMPLES: &str = "\
Examples:
  relook demo
  relook demo --address 127.0.0.1:8080
  relook demo --votes-on 192.168.1.20:7351";

/// The invented cases and their procedures at risk, as they lie in the repository.
#[derive(RustEmbed)]
#[folder = "demo-cases/"]
struct DemoFiles;

/// Who works in the invented department, and what each does.
const PEOPLE: [(&str, Role, &str); 3] = [
    ("Fellow", Role::Fellow, "records cases and prepares the presentation"),
    ("Attending", Role::Attending, "corrects, classifies, signs lessons"),
    ("Quality lead", Role::QualityLead, "keeps denominators, follows mechanisms and actions"),
];

/// How long a link of the demo opens, as often as one likes, in hours.
const LINK_HOURS: i64 = 24;
/// How many ports after a taken one are tried.
const PORTS_TRIED: u16 = 20;

impl Demo {
    pub(super) async fn run(self, out: &mut dyn Write) -> anyhow::Result<Verdict> {
        let stop = Stop::listen()?;
        let listener = listen_nearby(&self.address).await?;
        let address = self.address.with_port(listener.local_addr()?.port());
        let phones = self.votes.open(&self.hosts, Transport::Plain).await?;
        let folder = TemporaryFolder::make("relook-demo")?;
        let database = data::open(folder.path()).await?;
        let department = fill(&database, Timestamp::now()).await?;
        writeln!(out, "An invented department with {} cases. Sign in as:\n", department.cases)?;
        for (name, does, secret) in &department.people {
            writeln!(out, "  {name}: {does}\n    {}\n", address.sign_in_link(secret))?;
        }
        if let Some(door) = &phones {
            writeln!(out, "{}", door.sentence())?;
        }
        writeln!(out, "The links open for {LINK_HOURS} hours. Stop with Ctrl-C: nothing is kept.")?;
        out.flush()?;
        let settings = Settings {
            demo: true,
            hosts: self.hosts.of(&address),
            data_folder: Some(folder.path().to_owned()),
            ..settings_of(phones.as_ref())
        };
        let doors = Doors { record: listener, phones: phones.map(|door| door.listener), certificate: None };
        web::serve(doors, database, settings, stop).await?;
        Ok(Verdict::Fine)
    }
}

/// Listens on an address or, when its port is taken, on one of the next.
async fn listen_nearby(address: &Address) -> anyhow::Result<TcpListener> {
    for port in address.port()..=address.port().saturating_add(PORTS_TRIED) {
        match TcpListener::bind(address.with_port(port).to_string()).await {
            Err(error) if error.kind() == std::io::ErrorKind::AddrInUse => {}
            Err(_) => break,
            Ok(listener) => return Ok(listener),
        }
    }
    listen(address).await
}

/// The invented department, once it is in the database.
struct Department {
    cases: usize,
    people: Vec<(&'static str, &'static str, Secret)>,
}

async fn fill(database: &Database, now: Timestamp) -> anyhow::Result<Department> {
    let mut tx = database.write().await?;
    let vocabulary = vocabulary::store::load(&mut tx).await?;
    let mut people = Vec::new();
    let mut fellow = None;
    let mut reviewers = Vec::new();
    for (name, role, does) in PEOPLE {
        let id = accounts::store::insert(&mut tx, &name.parse()?, role, now).await?;
        if role == Role::Fellow {
            fellow = Some(id);
        }
        reviewers.push((role, id));
        let secret = Secret::generate().context("The system gives no random numbers")?;
        accounts::store::insert_link(&mut tx, id, &secret, true, LINK_HOURS, now).await?;
        people.push((name, does, secret));
    }
    let cases = cases(&vocabulary)?;
    insert(&mut tx, &cases, fellow, now).await?;
    let brief = brief::cases(&vocabulary)?;
    for case in &brief {
        crate::case::store::insert(&mut tx, case, None, now).await?;
    }
    let today = Day::from(now.to_zoned(jiff::tz::TimeZone::system()).date());
    judged::judge(&mut tx, &reviewers, today).await?;
    pictures::draw(&mut tx, today, now).await?;
    booklet::choose(&mut tx).await?;
    own_prompts(&mut tx, &vocabulary).await?;
    rates::store::set_at_risk(&mut tx, &counts(&vocabulary)?).await?;
    conferences::hold_one(&mut tx, now).await?;
    conferences::announce_one(&mut tx, &cases, now).await?;
    tx.commit().await?;
    Ok(Department { cases: cases.len() + brief.len(), people })
}

/// A file of the demo that is not as it should be: the tests read each, so that it never ships.
fn broken(name: &str, problem: &impl ToString) -> anyhow::Error {
    anyhow!("The demo's file {name} cannot be read: {}", problem.to_string())
}

/// Where the department's own lists of response prompts lie among the demo's files.
const PROMPTS: &str = "prompts/";

async fn own_prompts(conn: &mut SqliteConnection, vocabulary: &Vocabulary) -> anyhow::Result<()> {
    let words = PromptWords::of(vocabulary);
    for name in DemoFiles::iter().filter(|name| name.starts_with(PROMPTS)) {
        let file = DemoFiles::get(&name).with_context(|| format!("The demo's file {name} is missing"))?;
        let text = std::str::from_utf8(&file.data).map_err(|error| broken(&name, &error))?;
        let list = PromptList::parse(text, &words.allowed()).map_err(|problems| {
            problems.first().map_or_else(|| broken(&name, &""), |first| broken(&name, first))
        })?;
        prompt_store::add(conn, &list, text).await?;
    }
    Ok(())
}

fn cases(vocabulary: &Vocabulary) -> anyhow::Result<Vec<(PathBuf, Case)>> {
    let mut cases = Vec::new();
    for name in DemoFiles::iter().filter(|name| {
        !name.starts_with(PROMPTS) && Path::new(&**name).extension().is_some_and(|end| end == "toml")
    }) {
        let file = DemoFiles::get(&name).with_context(|| format!("The demo's file {name} is missing"))?;
        let case =
            case_file::read(&file.data, case_file::Language::Toml, vocabulary).map_err(|problems| {
                problems.first().map_or_else(|| broken(&name, &""), |first| broken(&name, first))
            })?;
        cases.push((PathBuf::from(&*name), case));
    }
    cases.sort_by_key(|(_, case)| case.code);
    Ok(cases)
}

fn counts(vocabulary: &Vocabulary) -> anyhow::Result<Vec<rates::AtRisk>> {
    const TABLE: &str = "procedures-at-risk.csv";
    let file = DemoFiles::get(TABLE).with_context(|| format!("The demo's file {TABLE} is missing"))?;
    at_risk::read(&file.data, vocabulary)
        .map_err(|problems| problems.first().map_or_else(|| broken(TABLE, &""), |first| broken(TABLE, first)))
}
