//! Relook: the complication review of a cath-lab department, from the first note to the rate.
//!
//! Three rings, and one direction of imports (each may use what stands above it, never below):
//!
//! - the floor: [`quantity`];
//! - pure cores, which know no I/O, SQL, HTML template or clock, and not each other:
//!   [`clinical`], [`timeline`], [`stats`], [`document`], [`figure`], [`picture`], [`response`];
//! - the record, types that hold no invalid state and the SQL that stores them:
//!   [`history`], [`database`], [`backup`], [`vocabulary`], [`accounts`], [`draft`], [`case`], [`department`], [`rates`], [`conference`], [`review`];
//! - the edges: [`import`], [`export`], [`web`], [`cli`].

pub mod quantity;

pub mod clinical;
pub mod deidentify;
pub mod document;
pub mod figure;
pub mod picture;
pub mod response;
pub mod statement;
pub mod stats;
pub mod timeline;

pub mod accounts;
pub mod backup;
pub mod case;
pub mod conference;
pub mod database;
pub mod department;
pub mod draft;
pub mod history;
pub mod rates;
pub mod review;
pub mod vocabulary;

pub mod cli;
pub mod export;
pub mod import;
pub mod web;
