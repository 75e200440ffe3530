//! One's own account.

mod password;
mod second_factor;
mod sessions;
