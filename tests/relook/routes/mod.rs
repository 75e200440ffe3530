//! The pages, asked through the router that the server runs: folders repeat the addresses.

mod access;
mod case;
mod conference;
mod overview;
mod rates;
mod settings;
