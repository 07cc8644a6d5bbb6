//! Passwords, and the tokens of sessions.
//!
//! A password is kept as Argon2id makes it (RFC 9106) with the library's parameters; of a token
//! the shop's file has its SHA-256 alone, so that whoever copies the file cannot sign in with it.

use super::wrong::Wrong;
use argon2::Argon2;
use argon2::password_hash::phc::PasswordHash;
use argon2::password_hash::{PasswordHasher, PasswordVerifier};
use records::Sha;
use std::collections::BTreeSet;
use std::fmt::Write as _;

/// The fewest characters of a password.
pub(super) const LEAST: usize = 12; // [OWASP-ASVS] 2.1.1
/// The most characters of a new one; [OWASP-ASVS] 2.1.2.
const MOST: usize = 128;
/// The most bytes that are looked at: longer ones only keep the machine busy.
const MOST_BYTES: usize = 512;
/// Bytes of a token: 256 bits.
const TOKEN: usize = 32;

/// Passwords of enough characters that are tried first by whoever guesses. From memory, no source;
/// a short list, since most of what is common is too short already.
const COMMON: [&str; 24] = [
    "administrator",
    "changemechangeme",
    "correcthorsebatterystaple",
    "demonstration",
    "iloveyou1234",
    "letmeinletmein",
    "lobewright12",
    "lobewright123",
    "lobewrightlobewright",
    "password1234",
    "password12345",
    "password123456",
    "passwordpassword",
    "passw0rd1234",
    "qwertyuiop12",
    "qwertyuiop123",
    "qwertyuiopas",
    "qwertyuiopasdfghjkl",
    "qwerty123456",
    "qwertyqwerty",
    "rotaryengine",
    "rotaryrotary",
    "welcome12345",
    "welcomewelcome",
];
/// The fewest different characters.
const LEAST_DIFFERENT: usize = 5;

/// A new password of somebody, as it is kept.
///
/// # Errors
/// Where it is too short, too long, or would be guessed first.
pub(super) fn hashed(password: &str, name: &str) -> Result<String, Wrong> {
    if password.chars().count() < LEAST {
        return Err(Wrong::ask(format!(
            "the password is too short; take at least {LEAST} characters"
        )));
    }
    if password.chars().count() > MOST || password.len() > MOST_BYTES {
        return Err(Wrong::ask(format!(
            "the password is too long; take at most {MOST} characters"
        )));
    }
    let plain = |text: &str| -> String {
        text.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
    };
    let (typed, name) = (plain(password), plain(name));
    let different: BTreeSet<char> = password.chars().collect();
    let in_a_row =
        "01234567890123456789".contains(&typed) || "abcdefghijklmnopqrstuvwxyz".contains(&typed);
    if COMMON.contains(&typed.as_str())
        || different.len() < LEAST_DIFFERENT
        || in_a_row
        || typed == name
    {
        return Err(Wrong::ask(
            "the password is one that is guessed first; take another one, such as a few words that nobody expects together",
        ));
    }
    hash_of(password)
}

/// A password as it is kept, whatever it is.
///
/// # Errors
/// Where the machine gives no random numbers.
pub(super) fn hash_of(password: &str) -> Result<String, Wrong> {
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
    password.len() <= MOST_BYTES
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

/// What the forms of a session carry. It is worked out from the session's token and says nothing
/// of it.
pub(super) fn form_token(token: &str) -> String {
    Sha::of(format!("lobewright form 1 {token}").as_bytes()).to_hex()
}

/// Whether two tokens are the same. Their hashes are compared: how far those agree tells nobody how
/// far the tokens do.
pub(super) fn same(one: &str, other: &str) -> bool {
    token_hash(one) == token_hash(other)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_password_opens_its_own_lock_alone() {
        let kept = hashed("cold start 7", "Ada").unwrap();
        assert!(kept.starts_with("$argon2id$v=19$"), "{kept}");
        assert!(verified("cold start 7", Some(&kept)));
        assert!(!verified("cold start 8", Some(&kept)));
        assert!(!verified("cold start 7", None));
        assert!(!verified("cold start 7", Some("no hash")));
        assert_ne!(hashed("cold start 7", "Ada").unwrap(), kept);
        assert!(hashed("eleven is 1", "Ada").is_err());
    }

    #[test]
    fn long_passwords_are_taken_up_to_a_limit() {
        let long: String = (0..MOST).map(|n| char::from(b'a' + (n * n % 26) as u8)).collect();
        let kept = hashed(&long, "Ada").unwrap();
        assert!(verified(&long, Some(&kept)));
        // Nothing is cut off.
        assert!(!verified(&long[1..], Some(&kept)) && !verified(&long[..MOST - 1], Some(&kept)));
        assert!(hashed(&format!("{long}x"), "Ada").is_err());
        assert!(hashed(&"\u{1f980}\u{7f16}\u{e9}!a".repeat(20), "Ada").is_ok());
    }

    #[test]
    fn what_is_guessed_first_is_refused() {
        for common in COMMON.iter().filter(|common| common.chars().count() >= LEAST) {
            assert!(hashed(common, "Ada").is_err(), "{common}");
            assert!(hashed(&common.to_uppercase(), "Ada").is_err(), "{common}");
        }
        assert!(COMMON.iter().all(|common| common.chars().count() >= LEAST));
        for simple in [
            "aaaaaaaaaaaa",
            "121212121212",
            "123456789012",
            "abcdefghijkl",
            "Pass-Word-1234",
            "    \u{a0}       ",
        ] {
            assert!(hashed(simple, "Ada").is_err(), "{simple}");
        }
        assert!(hashed("Ada Quill the 1st", "ada quill the 1st").is_err());
        assert!(hashed("seven \u{4e03} warm flanks", "Ada").is_ok());
    }

    #[test]
    fn what_a_form_carries_tells_nothing_of_its_session() {
        let (one, other) = (token().unwrap(), token().unwrap());
        assert!(same(&form_token(&one), &form_token(&one)));
        assert!(!same(&form_token(&one), &form_token(&other)));
        assert_ne!(form_token(&one), token_hash(&one).to_hex());
    }

    #[test]
    fn no_two_tokens_are_alike() {
        let (a, b) = (token().unwrap(), token().unwrap());
        assert_eq!(a.len(), 2 * TOKEN);
        assert_ne!(a, b);
        assert_ne!(token_hash(&a), token_hash(&b));
    }
}
