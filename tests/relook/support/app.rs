//! The application of a test: a database file of its own, the router that the server runs, an
//! account of every role.

use std::collections::BTreeMap;
use std::path::PathBuf;

use axum::Router;
use relook::accounts::{self, NewPassword, PasswordRules, Role, Secret, TotpKey, User};
use relook::case::{CaseCode, StoredCase};
use relook::database::Database;
use relook::rates::{self, AtRisk};
use relook::web::votes::phone_router;
use relook::web::{App, Settings, application};
use tempfile::TempDir;

use super::client::Client;
use super::of;

/// The cookie that carries a session.
pub const SESSION_COOKIE: &str = "relook_session";

/// A password that every rule accepts.
pub const PASSWORD: &str = "lamp river hat sock";

/// A whole Relook, in a folder that goes when it does.
pub struct TestApp {
    /// The state that the router shares.
    pub app: App,
    router: Router,
    users: BTreeMap<&'static str, i64>,
    folder: TempDir,
}

const PEOPLE: [(Role, &str); 4] = [
    (Role::Fellow, "Fay Fellow"),
    (Role::Attending, "Ada Attending"),
    (Role::QualityLead, "Quinn Lead"),
    (Role::Reader, "Rae Reader"),
];

impl TestApp {
    /// An empty record: the shipped vocabularies, four accounts, no case.
    pub async fn init() -> Self {
        Self::with_settings(Settings::default()).await
    }

    /// As [`Self::init`], of a server that runs like this.
    pub async fn with_settings(settings: Settings) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let database = Database::open(&folder.path().join("relook.db")).await.unwrap();
        let app = App::new(database, settings).await.unwrap();
        let mut tx = app.database.write().await.unwrap();
        let mut users = BTreeMap::new();
        for (role, name) in PEOPLE {
            let id = accounts::store::insert(&mut tx, &of(name), role, app.now()).await.unwrap();
            users.insert(role.slug(), id);
        }
        tx.commit().await.unwrap();
        Self { router: application(app.clone()), app, users, folder }
    }

    /// A visitor of any application, with a session of it.
    pub fn visitor_of(app: &App, session: &Secret) -> Client {
        Client::new(application(app.clone())).with_cookie(SESSION_COOKIE, session.expose())
    }

    /// The same record, with a place for its backups.
    pub fn with_backups(mut self, desk: relook::backup::desk::Desk) -> Self {
        std::sync::Arc::make_mut(&mut self.app.settings).backups = Some(desk);
        self.router = application(self.app.clone());
        self
    }

    /// A visitor who is not signed in.
    pub fn signed_out(&self) -> Client {
        Client::new(self.router.clone())
    }

    /// A phone that came through the second door, where votes alone are served.
    pub fn phone(&self) -> Client {
        Client::new(phone_router(self.app.clone()))
    }

    /// A visitor with a session of an account of this role, made as signing in makes one.
    pub async fn as_role(&self, role: Role) -> Client {
        let secret = Secret::generate().unwrap();
        let mut tx = self.app.database.write().await.unwrap();
        accounts::store::start_session(&mut tx, self.users[role.slug()], &secret, "", self.app.now())
            .await
            .unwrap();
        tx.commit().await.unwrap();
        self.signed_out().with_cookie(SESSION_COOKIE, secret.expose())
    }

    /// A fellow's visit.
    pub async fn with_fellow(&self) -> Client {
        self.as_role(Role::Fellow).await
    }

    /// An attending's visit.
    pub async fn with_attending(&self) -> Client {
        self.as_role(Role::Attending).await
    }

    /// The quality lead's visit.
    pub async fn with_quality_lead(&self) -> Client {
        self.as_role(Role::QualityLead).await
    }

    /// A reader's visit.
    pub async fn with_reader(&self) -> Client {
        self.as_role(Role::Reader).await
    }

    /// The address of a new sign-in link for the account of a role.
    pub async fn sign_in_link(&self, role: Role) -> String {
        let secret = Secret::generate().unwrap();
        let mut tx = self.app.database.write().await.unwrap();
        accounts::store::insert_link(&mut tx, self.users[role.slug()], &secret, false, 48, self.app.now())
            .await
            .unwrap();
        tx.commit().await.unwrap();
        format!("/sign-in/link/{}", secret.expose())
    }

    /// A visit that began as a person begins one: with a link, and a password that they choose.
    pub async fn sign_in_by_link(&self, role: Role) -> Client {
        self.sign_in_by_link_named(role, SESSION_COOKIE).await
    }

    /// The same where the cookie of a session has this name.
    pub async fn sign_in_by_link_named(&self, role: Role, cookie: &str) -> Client {
        let link = self.sign_in_link(role).await;
        let client = self.signed_out();
        let page = client.get(&link).await;
        let chosen = [("new_password", PASSWORD), ("again", PASSWORD)];
        let answer = client.submit(&page, &link, &chosen).await;
        assert!(client.cookie(cookie).is_some(), "no session after {}", answer.status);
        client
    }

    /// Gives the account of a role the password [`PASSWORD`].
    pub async fn set_password(&self, role: Role) {
        let user = self.user(role).await;
        let rules = PasswordRules { name: &user.name, second_factor: false };
        let hash = NewPassword::parse(PASSWORD, &rules).unwrap().hash().unwrap();
        self.set_hash(role, &hash).await;
    }

    /// Keeps a hash as the password of the account of a role.
    pub async fn set_hash(&self, role: Role, hash: &str) {
        let mut tx = self.app.database.write().await.unwrap();
        accounts::store::set_password_hash(&mut tx, self.users[role.slug()], hash).await.unwrap();
        tx.commit().await.unwrap();
    }

    /// Turns on a second factor for the account of a role, without recovery codes; gives its key.
    pub async fn set_second_factor(&self, role: Role) -> TotpKey {
        let id = self.users[role.slug()];
        let key = TotpKey::generate().unwrap();
        let mut tx = self.app.database.write().await.unwrap();
        assert!(accounts::store::begin_second_factor(&mut tx, id, &key).await.unwrap());
        accounts::store::confirm_second_factor(&mut tx, id, self.app.now()).await.unwrap();
        tx.commit().await.unwrap();
        key
    }

    /// What the app on a phone shows for a key, so many steps of half a minute from now.
    pub fn code(&self, key: &TotpKey, steps: i64) -> String {
        key.code(TotpKey::step(self.app.now()) + steps)
    }

    /// The account of a role.
    pub async fn user(&self, role: Role) -> User {
        let mut conn = self.app.database.read().await.unwrap();
        accounts::store::find(&mut conn, self.users[role.slug()]).await.unwrap().unwrap()
    }

    /// A case as it is stored.
    pub async fn case(&self, code: CaseCode) -> StoredCase {
        let mut conn = self.app.database.read().await.unwrap();
        relook::case::store::find(&mut conn, code).await.unwrap().unwrap()
    }

    /// How many cases there are.
    pub async fn count_cases(&self) -> usize {
        let mut conn = self.app.database.read().await.unwrap();
        relook::case::store::codes(&mut conn).await.unwrap().len()
    }

    /// Stores a month's count of procedures of a stratum.
    pub async fn count_procedures(&self, month: &str, stratum: &str, procedures: u32) {
        let cell = AtRisk { month: of(month), stratum: of(stratum), procedures: Some(procedures) };
        let mut tx = self.app.database.write().await.unwrap();
        rates::store::set_at_risk(&mut tx, &[cell]).await.unwrap();
        tx.commit().await.unwrap();
    }

    /// Runs a statement, to bring the database into a state that no page makes.
    pub async fn execute(&self, sql: &'static str) {
        let mut tx = self.app.database.write().await.unwrap();
        sqlx::query(sql).execute(&mut *tx).await.unwrap();
        tx.commit().await.unwrap();
    }

    /// Waits for work that goes on beside the requests until this holds.
    pub async fn settled<F: Future<Output = bool>>(&self, holds: impl Fn() -> F) {
        for _ in 0..600 {
            if holds().await {
                return;
            }
            tokio::time::sleep(std::time::Duration::from_millis(10)).await;
        }
        panic!("it did not come to hold");
    }

    /// The database's file.
    pub fn database_file(&self) -> PathBuf {
        self.folder.path().join("relook.db")
    }

    /// Every byte that the database has on the disk, its write-ahead log too.
    pub fn file_bytes(&self) -> Vec<u8> {
        let mut files: Vec<PathBuf> =
            std::fs::read_dir(self.folder.path()).unwrap().map(|entry| entry.unwrap().path()).collect();
        files.sort();
        assert!(files.iter().any(|file| file.ends_with("relook.db")), "no database file in {files:?}");
        files.iter().flat_map(|file| std::fs::read(file).unwrap()).collect()
    }
}
