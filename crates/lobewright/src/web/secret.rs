//! Passwords, and the tokens of sessions.
//!
//! A password is kept as Argon2id makes it (RFC 9106) with the library's parameters; of a token
//! the shop's file has its SHA-256 alone, so that whoever copies the file cannot sign in with it.

use super::wrong::Wrong;
use argon2::Argon2;
use argon2::password_hash::phc::PasswordHash;
use argon2::password_hash::{PasswordHasher, PasswordVerifier};
use records::Sha;
use std::fmt::Write as _;

/// The fewest characters of a password.
pub(super) const LEAST: usize = 8;
/// The most bytes: longer ones only keep the machine busy.
const MOST: usize = 512;
/// Bytes of a token: 256 bits.
const TOKEN: usize = 32;

/// A password as it is kept.
///
/// # Errors
/// Where it is too short or too long.
pub(super) fn hashed(password: &str) -> Result<String, Wrong> {
    if password.chars().count() < LEAST {
        return Err(Wrong::ask(format!(
            "the password is too short; take at least {LEAST} characters"
        )));
    }
    if password.len() > MOST {
        return Err(Wrong::ask("the password is too long; take at most 500 characters"));
    }
    Argon2::default()
        .hash_password(password.as_bytes())
        .map(|hash| hash.to_string())
        .map_err(|error| Wrong::Machine(format!("the password could not be hashed: {error}")))
}

/// Whether a password is the one that is kept. Where none is kept the same work is done, so that
/// the time tells nobody who has one.
pub(super) fn verified(password: &str, kept: Option<&str>) -> bool {
    /// Of a password that nobody has.
    const NOBODY: &str = "$argon2id$v=19$m=19456,t=2,p=1$c29tZSBzYWx0IGhlcmU\
                          $AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA";
    let Ok(hash) = PasswordHash::new(kept.unwrap_or(NOBODY)) else { return false };
    password.len() <= MOST
        && Argon2::default().verify_password(password.as_bytes(), &hash).is_ok()
        && kept.is_some()
}

/// A new token.
///
/// # Errors
/// Where the machine has no random numbers.
pub(super) fn token() -> Result<String, Wrong> {
    let mut bytes = [0_u8; TOKEN];
    getrandom::fill(&mut bytes).map_err(|error| {
        Wrong::Machine(format!("this machine gives no random numbers: {error}"))
    })?;
    Ok(bytes.iter().fold(String::with_capacity(2 * TOKEN), |mut text, byte| {
        let _ = write!(text, "{byte:02x}");
        text
    }))
}

/// As the shop's file knows it.
pub(super) fn token_hash(token: &str) -> Sha {
    Sha::of(token.as_bytes())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_password_opens_its_own_lock_alone() {
        let kept = hashed("cold start 7").unwrap();
        assert!(kept.starts_with("$argon2id$v=19$"), "{kept}");
        assert!(verified("cold start 7", Some(&kept)));
        assert!(!verified("cold start 8", Some(&kept)));
        assert!(!verified("cold start 7", None));
        assert!(!verified("cold start 7", Some("no hash")));
        assert_ne!(hashed("cold start 7").unwrap(), kept);
        assert!(hashed("short").is_err());
        assert!(hashed(&"x".repeat(MOST + 1)).is_err());
    }

    #[test]
    fn no_two_tokens_are_alike() {
        let (a, b) = (token().unwrap(), token().unwrap());
        assert_eq!(a.len(), 2 * TOKEN);
        assert_ne!(a, b);
        assert_ne!(token_hash(&a), token_hash(&b));
    }
}
