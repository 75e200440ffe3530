//! Settings: the handbook of words, accounts, procedures at risk.

mod access;
mod at_risk;
mod reading;
mod import;
mod users;
mod vocabulary;
