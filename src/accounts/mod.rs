//! Accounts: who may sign in, as what, and how it is proved.
//!
//! A password ([`NewPassword`]) or a one-time link, then a code where a second factor is on ([`TotpKey`],
//! [`RecoveryCode`]), give a [`Session`]. [`Throttle`] slows down who guesses.

mod browser;
mod password;
mod recovery;
mod secret;
mod session;
mod throttle;
mod totp;
mod user;

pub mod store;

pub use browser::rough_name;
pub use password::{Kept, NewPassword, PasswordError, PasswordRules, check_password, hash_again};
pub use recovery::RecoveryCode;
pub use secret::Secret;
pub use session::{IDLE_MINUTES, Life, SESSION_HOURS, Session, is_within};
pub use throttle::{Throttle, Wait};
pub use totp::TotpKey;
pub use user::{Role, User, UserName};

/// How long a one-time link opens an account, in hours.
pub const LINK_HOURS: i64 = 48;
/// How long the code may be given after a right password, in minutes.
pub const STEP_MINUTES: i64 = 10;
