//! `relook user`: accounts from the command line, for who keeps the machine.

use std::io::Write;

use anyhow::Context;
use clap::builder::{PossibleValuesParser, TypedValueParser};
use clap::{Args, Subcommand};
use jiff::Timestamp;
use sqlx::SqliteConnection;

use super::Verdict;
use super::address::{self, Address};
use super::data::DataFolder;
use crate::accounts::{Role, Secret, UserName, store};
use crate::web::Transport;

/// How long a one-time sign-in link can be used, in hours.
pub(super) const LINK_HOURS: i64 = 48;

/// The arguments of `relook user`.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct User {
    #[command(subcommand)]
    command: UserCommand,

    /// The host and port under which the server is reached, for the link
    #[arg(long, global = true, env = "RELOOK_ADDRESS", default_value = address::DEFAULT, value_name = "HOST:PORT", hide_env_values = true)]
    address: Address,

    /// The server is reached over https, by itself or through a proxy
    #[arg(long, global = true, env = "RELOOK_HTTPS", hide_env_values = true)]
    https: bool,
}

const EXAMPLES: &str = "\
Examples:
  relook user list
  relook user add \"Dr A\" --role attending
  relook user role \"Dr A\" quality-lead
  relook user reset \"Dr A\"

Roles: a fellow records and prepares; an attending also signs lessons and closes cases; a quality-lead
also keeps denominators, vocabularies and accounts; a reader sees presented cases.";

#[derive(Debug, Subcommand)]
enum UserCommand {
    /// Add an account and print its one-time sign-in link
    Add {
        /// The name, as it stands under what its holder signs
        name: UserName,
        /// What the account may do
        #[arg(long, value_parser = roles())]
        role: Role,
    },
    /// Give an account another role
    Role {
        /// The name of the account
        name: UserName,
        /// What the account may do from now on
        #[arg(value_parser = roles())]
        role: Role,
    },
    /// Take away an account's password, sessions and links, and print a new one-time sign-in link
    Reset {
        /// The name of the account
        name: UserName,
    },
    /// List the accounts
    List,
}

fn roles() -> impl TypedValueParser<Value = Role> {
    PossibleValuesParser::new(Role::ALL.iter().map(|role| role.slug())).try_map(|role| role.parse::<Role>())
}

impl User {
    pub(super) async fn run(
        self,
        data: &DataFolder,
        out: &mut dyn Write,
        complaints: &mut dyn Write,
    ) -> anyhow::Result<Verdict> {
        let database = match self.command {
            UserCommand::Add { .. } => data.open().await?,
            _ => data.open_existing().await?,
        };
        let address = if self.https { self.address.over(Transport::Tls) } else { self.address.clone() };
        let mut tx = database.write().await?;
        let answer = match &self.command {
            UserCommand::Add { name, role } => add(&mut tx, name, *role, &address).await?,
            UserCommand::Role { name, role } => set_role(&mut tx, name, *role).await?,
            UserCommand::Reset { name } => reset(&mut tx, name, &address).await?,
            UserCommand::List => Ok(list(&mut tx).await?),
        };
        match answer {
            Ok(done) => {
                tx.commit().await?;
                database.close().await;
                writeln!(out, "{done}")?;
                Ok(Verdict::Fine)
            }
            Err(refusal) => {
                writeln!(complaints, "{refusal}")?;
                Ok(Verdict::Problems)
            }
        }
    }
}

/// What was done, or why not, in a sentence.
type Answer = Result<String, String>;

async fn add(
    conn: &mut SqliteConnection,
    name: &UserName,
    role: Role,
    address: &Address,
) -> anyhow::Result<Answer> {
    if store::find_by_name(conn, name).await?.is_some() {
        return Ok(Err(format!("There is an account called {name} already. Names are unique.")));
    }
    let now = Timestamp::now();
    let id = store::insert(conn, name, role, now).await?;
    let link = one_time_link(conn, id, address, now).await?;
    Ok(Ok(format!("{name} can sign in as {} with this link:\n\n{link}", role.slug())))
}

/// Makes a one-time sign-in link for an account, with what to know about it.
pub(super) async fn one_time_link(
    conn: &mut SqliteConnection,
    user_id: i64,
    address: &Address,
    now: Timestamp,
) -> anyhow::Result<String> {
    let secret = Secret::generate().context("The system gives no random numbers")?;
    store::insert_link(conn, user_id, &secret, false, LINK_HOURS, now).await?;
    Ok(format!(
        "    {}\n\nIt opens once, within {LINK_HOURS} hours. Behind a proxy, put the proxy's address before /sign-in.",
        address.sign_in_link(&secret)
    ))
}

fn nobody(name: &UserName) -> String {
    format!("There is no account called {name}. The accounts are listed by: relook user list")
}

async fn set_role(conn: &mut SqliteConnection, name: &UserName, role: Role) -> anyhow::Result<Answer> {
    let Some(user) = store::find_by_name(conn, name).await? else {
        return Ok(Err(nobody(name)));
    };
    if user.active && user.role.keeps() && !role.keeps() && store::count_quality_leads(conn).await? <= 1 {
        return Ok(Err(format!(
            "{name} is the only quality lead. Give another account that role first: without one nobody can keep accounts and denominators."
        )));
    }
    store::set_role(conn, user.id, role).await?;
    Ok(Ok(format!("{name} has the role {} from the next request on.", role.slug())))
}

async fn reset(conn: &mut SqliteConnection, name: &UserName, address: &Address) -> anyhow::Result<Answer> {
    let Some(user) = store::find_by_name(conn, name).await? else {
        return Ok(Err(nobody(name)));
    };
    if !user.active {
        return Ok(Err(format!(
            "The account {name} has ended. A quality lead can take it up again under Accounts."
        )));
    }
    store::reset(conn, user.id).await?;
    let link = one_time_link(conn, user.id, address, Timestamp::now()).await?;
    Ok(Ok(format!("The password, sessions and links of {name} are gone. To sign in anew:\n\n{link}")))
}

async fn list(conn: &mut SqliteConnection) -> anyhow::Result<String> {
    let users = store::list(conn).await?;
    if users.is_empty() {
        return Ok("There is no account yet. Add one with: relook user add NAME --role ROLE".to_owned());
    }
    let width = users.iter().map(|user| user.name.as_str().chars().count()).max().unwrap_or(0);
    let lines = users.iter().map(|user| {
        let how = match (user.active, user.has_password) {
            (false, _) => "ended",
            (true, true) => "has a password",
            (true, false) => "has no password yet",
        };
        format!("{:width$}  {:12}  {how}", user.name.as_str(), user.role.slug())
    });
    Ok(lines.collect::<Vec<_>>().join("\n"))
}
