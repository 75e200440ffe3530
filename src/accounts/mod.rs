//! Accounts: who may sign in, as what, and how it is proved.

mod password;
mod secret;
mod user;

pub mod store;

pub use password::{NewPassword, PasswordError};
pub use secret::Secret;
pub use user::{Role, User, UserName};
