//! The pages, asked through the router that the server runs: folders repeat the addresses.

mod access;
mod account;
mod booklet;
mod case;
mod combination;
mod conference;
mod conference_plan;
mod drafts;
mod guard;
mod library;
mod meeting;
mod operators;
mod overview;
mod present;
mod rates;
mod rates_of_one;
mod recurring;
mod report;
mod settings;
mod sign_in;
