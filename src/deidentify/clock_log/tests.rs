//! Logs as people write them; the forms are common practice, the values our own.

mod forms;
mod logs;
mod properties;
