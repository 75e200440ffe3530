//! The pages of cases.
