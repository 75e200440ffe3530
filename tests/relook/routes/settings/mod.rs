//! Settings: the handbook of words, accounts, procedures at risk.

mod access;
mod at_risk;
mod import;
mod own_words;
mod prompt_changes;
mod prompt_mistakes;
mod prompts;
mod reading;
mod slides_template;
mod users;
mod vocabulary;
