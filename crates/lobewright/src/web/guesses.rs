//! How many wrong passwords are looked at: a few at once, then one now and then.
//!
//! Wrong ones are counted for the person they were meant for, and for the address they came from.
//! Where a person signed in before, at that address, they have a count of their own: whoever
//! guesses elsewhere cannot keep them out. Who is signed in already has one for their session, so
//! that nobody at the door keeps a signature from being given.

use records::{PersonId, Sha};
use std::collections::HashMap;
use std::net::IpAddr;

/// A bucket: so many at once, and then one each time so many seconds are over.
#[derive(Debug, Clone, Copy)]
struct Bucket {
    most: i64,
    each_s: i64,
}

/// For a person: 5 and 90 an hour; [OWASP-ASVS] 2.2.1 asks for no more than 100 an hour.
const PERSON: Bucket = Bucket { most: 5, each_s: 40 };
/// For an address, from which a whole shop may come.
const ADDRESS: Bucket = Bucket { most: 30, each_s: 20 };
/// The most counts that are kept; the ones that are nearest to being forgotten go first.
const MOST_KEPT: usize = 4096;

/// Where somebody asks from. Of an IPv6 address the network is what one machine has for itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) struct Place([u8; 8]);

impl Place {
    pub(super) fn of(address: Option<IpAddr>) -> Self {
        let mut place = [0; 8];
        match address.map(|address| address.to_canonical()) {
            Some(IpAddr::V4(address)) => place[..4].copy_from_slice(&address.octets()),
            Some(IpAddr::V6(address)) if !address.is_loopback() => {
                place.copy_from_slice(&address.octets()[..8]);
            }
            _ => place[0] = 127,
        }
        Self(place)
    }
}

/// Who is meant, and from where.
#[derive(Debug, Clone, Copy)]
pub(super) enum Guess {
    /// At the door: this person, or a name that nobody has.
    Door(Option<PersonId>, Place),
    /// Somebody who is signed in, asked again.
    Again(Sha),
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
enum Key {
    Person(PersonId),
    Nobody,
    KnownHere(PersonId, Place),
    Address(Place),
    Session(Sha),
}

/// All counts.
#[derive(Debug, Default)]
pub(super) struct Guesses {
    /// When a bucket is full again.
    full_at: HashMap<Key, i64>,
    /// Who signed in where, and when last.
    known: HashMap<(PersonId, Place), i64>,
}

impl Guesses {
    fn keys(&self, guess: Guess) -> Vec<(Key, Bucket)> {
        match guess {
            Guess::Again(session) => vec![(Key::Session(session), PERSON)],
            Guess::Door(Some(person), place) if self.known.contains_key(&(person, place)) => {
                vec![(Key::KnownHere(person, place), PERSON)]
            }
            Guess::Door(person, place) => {
                let person = person.map_or(Key::Nobody, Key::Person);
                vec![(person, PERSON), (Key::Address(place), ADDRESS)]
            }
        }
    }

    /// How many seconds to wait before another one is looked at; none where it may be now.
    pub(super) fn wait_s(&self, guess: Guess, now: i64) -> i64 {
        let wait = |(key, bucket): (Key, Bucket)| {
            let full = bucket.most * bucket.each_s;
            // A clock that was put back makes nobody wait longer than the bucket lasts.
            let lacks = (self.full_at.get(&key).copied().unwrap_or(now) - now).clamp(0, full);
            (lacks - (full - bucket.each_s)).max(0)
        };
        self.keys(guess).into_iter().map(wait).max().unwrap_or(0)
    }

    /// A wrong one.
    pub(super) fn wrong(&mut self, guess: Guess, now: i64) {
        for (key, bucket) in self.keys(guess) {
            if !self.full_at.contains_key(&key) && self.full_at.len() >= MOST_KEPT {
                self.full_at.retain(|_, full_at| *full_at > now);
                drop_least(&mut self.full_at);
            }
            let most = now + bucket.most * bucket.each_s;
            let full_at = self.full_at.entry(key).or_insert(now);
            *full_at = ((*full_at).max(now) + bucket.each_s).min(most);
        }
    }

    /// The right one.
    pub(super) fn right(&mut self, guess: Guess, now: i64) {
        match guess {
            Guess::Again(session) => {
                self.full_at.remove(&Key::Session(session));
            }
            Guess::Door(Some(person), place) => {
                self.full_at.remove(&Key::Person(person));
                self.full_at.remove(&Key::KnownHere(person, place));
                drop_least(&mut self.known);
                self.known.insert((person, place), now);
            }
            Guess::Door(None, _) => {}
        }
    }

    /// Another password: where the old one was known says nothing any more.
    pub(super) fn forget(&mut self, person: PersonId) {
        self.known.retain(|(known, _), _| *known != person);
    }
}

/// Makes room for one more.
fn drop_least<K: Copy + Eq + std::hash::Hash>(map: &mut HashMap<K, i64>) {
    while map.len() >= MOST_KEPT {
        let Some(least) = map.iter().min_by_key(|(_, at)| **at).map(|(key, _)| *key) else {
            return;
        };
        map.remove(&least);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn place(text: &str) -> Place {
        Place::of(Some(text.parse().unwrap()))
    }

    #[test]
    fn a_few_at_once_and_then_one_now_and_then() {
        let (mut guesses, at) = (Guesses::default(), place("192.0.2.7"));
        let guess = Guess::Door(Some(PersonId(1)), at);
        for _ in 0..PERSON.most {
            assert_eq!(guesses.wait_s(guess, 1000), 0);
            guesses.wrong(guess, 1000);
        }
        assert_eq!(guesses.wait_s(guess, 1000), 40);
        assert_eq!(guesses.wait_s(guess, 1039), 1);
        assert_eq!(guesses.wait_s(guess, 1040), 0);
        // From another address it is the same person; another person is not.
        assert_eq!(guesses.wait_s(Guess::Door(Some(PersonId(1)), place("192.0.2.8")), 1000), 40);
        assert_eq!(guesses.wait_s(Guess::Door(Some(PersonId(2)), at), 1000), 0);
        // A clock that was put back.
        assert!(guesses.wait_s(guess, 0) <= 40);
    }

    #[test]
    fn no_more_than_a_hundred_in_any_hour() {
        let mut guesses = Guesses::default();
        let guess = Guess::Door(Some(PersonId(1)), place("192.0.2.7"));
        let mut taken = Vec::new();
        for now in 0..3 * 3600 {
            if guesses.wait_s(guess, now) == 0 {
                guesses.wrong(guess, now);
                taken.push(now);
            }
        }
        for from in 0..2 * 3600 {
            let hour = taken.iter().filter(|at| (from..from + 3600).contains(*at)).count();
            assert!(hour <= 100, "{hour}");
        }
        assert!(taken.len() > 200, "{}", taken.len());
    }

    #[test]
    fn whoever_guesses_elsewhere_keeps_nobody_out() {
        let mut guesses = Guesses::default();
        let (own, other) = (place("192.0.2.7"), place("192.0.2.66"));
        let (here, there) =
            (Guess::Door(Some(PersonId(1)), own), Guess::Door(Some(PersonId(1)), other));
        guesses.right(here, 0);
        for _ in 0..1000 {
            guesses.wrong(there, 10);
        }
        assert!(guesses.wait_s(there, 10) > 0);
        assert_eq!(guesses.wait_s(here, 10), 0);
        assert_eq!(guesses.wait_s(Guess::Again(Sha::of(b"a session")), 10), 0);
        guesses.forget(PersonId(1));
        assert!(guesses.wait_s(here, 10) > 0);
    }

    #[test]
    fn memory_is_bounded_and_nobody_is_forgotten_for_a_flood_of_others() {
        let mut guesses = Guesses::default();
        let guess = Guess::Door(Some(PersonId(1)), place("192.0.2.7"));
        for n in 0..20_000_u32 {
            if n % 100 == 0 {
                guesses.wrong(guess, 1000);
            }
            guesses.wrong(Guess::Door(None, Place::of(Some(IpAddr::V4(n.into())))), 1000);
            guesses.right(Guess::Door(Some(PersonId(i64::from(n) + 10)), place("::1")), 1000);
        }
        assert!(guesses.full_at.len() <= MOST_KEPT && guesses.known.len() <= MOST_KEPT);
        assert!(guesses.wait_s(guess, 1000) > 0);
    }

    #[test]
    fn one_machine_is_one_place() {
        assert_eq!(place("::ffff:192.0.2.7"), place("192.0.2.7"));
        assert_eq!(place("2001:db8::1"), place("2001:db8::ffff:1"));
        assert_ne!(place("2001:db8::1"), place("2001:db8:0:1::1"));
        assert_eq!(Place::of(None), Place::of(None));
    }
}
