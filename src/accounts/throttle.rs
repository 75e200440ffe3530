//! Slowing down who guesses, without locking out a ward that shares one address.
//!
//! Three counts, each with its own patience:
//!
//! - *an account from an address*: five tries for slips, then a wait that doubles from two seconds to a
//!   quarter of an hour. It stops whoever guesses, and nobody else;
//! - *an account, from everywhere*: fifty tries, then one each half hour, against guessing from many
//!   addresses;
//! - *an address, for all accounts*: three hundred tries, then one each two seconds, against trying one
//!   password on every account. A whole ward mistypes less.
//!
//! The last two are not asked for an account at an address where it has signed in before, so that nobody
//! can lock another out, neither from elsewhere nor from the same ward.
//!
//! Nothing is read or written here, and the clock is the caller's. When it jumps ahead, waits end early;
//! when it is put back, a wait begins anew and is never longer than it was.
//!
//! # Source
//! NIST SP 800-63B, 5.2.2 (3.2.2 in revision 4): attempts on an account are limited; waits that grow, and
//! trust in addresses that the person signed in from, are among the means it names. It also names a hard
//! limit of 100 failures in a row; here waits stand instead, because a hard limit lets anybody lock
//! anybody out.

mod counts;

use std::hash::{BuildHasher as _, RandomState};
use std::net::{IpAddr, Ipv6Addr};

use jiff::Timestamp;

use counts::{Bounded, Doubling, Refilling};

/// The wait of an account from an address.
const PAIR: counts::Doubles = counts::Doubles { free: 5, first: 2, longest: 15 * 60, forgotten: 60 * 60 };
/// The tries of an account from everywhere.
const ACCOUNT: counts::Refills = counts::Refills { most: 50, each: 30 * 60 };
/// The tries of an address for all accounts.
const ADDRESS: counts::Refills = counts::Refills { most: 300, each: 2 };

/// How long to wait before the next try counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Wait {
    /// Seconds, at least one.
    pub seconds: i64,
}

impl Wait {
    /// The wait in a sentence.
    #[must_use]
    pub fn sentence(self) -> String {
        let time = match self.seconds {
            1 => "a second".to_owned(),
            seconds @ ..=90 => format!("{seconds} seconds"),
            seconds => format!("{} minutes", (seconds + 59) / 60),
        };
        format!("There were too many tries. Wait {time}, then try again.")
    }
}

/// What was tried lately.
#[derive(Debug, Default)]
pub struct Throttle {
    hasher: RandomState,
    pairs: Bounded<Doubling>,
    accounts: Bounded<Refilling>,
    addresses: Bounded<Refilling>,
    /// Accounts at addresses where they signed in, since when.
    known: Bounded<Timestamp>,
}

impl Throttle {
    /// Takes one try of an account from an address, before anything is compared, so that tries that come at
    /// once count too. A name that nobody has counts as any other. None is for what has no account, such as
    /// a link.
    ///
    /// # Errors
    /// How long to wait; such a try does not count.
    pub fn begin(&mut self, account: Option<&str>, address: IpAddr, now: Timestamp) -> Result<(), Wait> {
        let (place, pair, account) = self.keys(account, address);
        let known = pair.is_some_and(|pair| self.known.contains(pair));
        let mut waits = vec![pair.map_or(0, |pair| self.pairs.of(pair, now).wait(&PAIR, now))];
        if !known {
            waits.push(account.map_or(0, |account| self.accounts.of(account, now).wait(&ACCOUNT, now)));
            waits.push(self.addresses.of(place, now).wait(&ADDRESS, now));
        }
        if let Some(seconds) = waits.into_iter().max().filter(|seconds| *seconds > 0) {
            return Err(Wait { seconds });
        }
        if let Some(pair) = pair {
            self.pairs.of(pair, now).count(&PAIR, now);
        }
        if !known {
            if let Some(account) = account {
                self.accounts.of(account, now).count(&ACCOUNT, now);
            }
            self.addresses.of(place, now).count(&ADDRESS, now);
        }
        Ok(())
    }

    /// The try was right: the slips before it are forgotten there, and it is given back elsewhere.
    pub fn succeeded(&mut self, account: Option<&str>, address: IpAddr, now: Timestamp) {
        let (place, pair, account) = self.keys(account, address);
        if let Some(pair) = pair {
            self.pairs.remove(pair);
            if self.known.contains(pair) {
                return;
            }
        }
        if let Some(account) = account {
            self.accounts.of(account, now).give_back();
        }
        self.addresses.of(place, now).give_back();
    }

    /// The account has signed in from this address: it is known there from now on.
    pub fn remember(&mut self, account: &str, address: IpAddr, now: Timestamp) {
        if let (_, Some(pair), _) = self.keys(Some(account), address) {
            self.known.set(pair, now);
        }
    }

    /// How many entries are held in all.
    #[must_use]
    pub fn size(&self) -> usize {
        self.pairs.len() + self.accounts.len() + self.addresses.len() + self.known.len()
    }

    /// Keys of the address, the account at it, and the account.
    fn keys(&self, account: Option<&str>, address: IpAddr) -> (u64, Option<u64>, Option<u64>) {
        let place = network(address);
        let account = account.map(|name| name.trim().to_lowercase());
        let pair = account.as_ref().map(|account| self.hasher.hash_one((account, place)));
        (self.hasher.hash_one(place), pair, account.map(|account| self.hasher.hash_one(account)))
    }
}

/// What of an address tells people apart: all of IPv4; the network of IPv6, of which a person has 2⁶⁴
/// addresses.
fn network(address: IpAddr) -> IpAddr {
    match address.to_canonical() {
        IpAddr::V6(address) => {
            let [a, b, c, d, ..] = address.segments();
            IpAddr::V6(Ipv6Addr::new(a, b, c, d, 0, 0, 0, 0))
        }
        v4 @ IpAddr::V4(_) => v4,
    }
}

#[cfg(test)]
mod tests;
