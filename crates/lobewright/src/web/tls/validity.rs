//! From when until when a certificate is good: the one field that the TLS library checks for others
//! but does not tell. Read by RFC 5280, 4.1; everything else of a certificate is left to the library.

use records::Moment;

const SEQUENCE: u8 = 0x30;
const INTEGER: u8 = 0x02;
const VERSION: u8 = 0xa0;
const UTC_TIME: u8 = 0x17;
const GENERALIZED_TIME: u8 = 0x18;

/// One value of DER: its tag, what is in it, and what follows.
fn value(bytes: &[u8]) -> Option<(u8, &[u8], &[u8])> {
    let (&tag, rest) = bytes.split_first()?;
    let (&first, rest) = rest.split_first()?;
    let (length, rest) = if first < 0x80 {
        (usize::from(first), rest)
    } else {
        // Four bytes of length are four gigabytes: no certificate has more.
        let count = usize::from(first & 0x7f);
        if count == 0 || count > 4 {
            return None;
        }
        let (length, rest) = rest.split_at_checked(count)?;
        (length.iter().fold(0_usize, |sum, byte| sum << 8 | usize::from(*byte)), rest)
    };
    let (content, rest) = rest.split_at_checked(length)?;
    Some((tag, content, rest))
}

/// What is in a value of this tag, and what follows it.
fn in_tag(bytes: &[u8], wanted: u8) -> Option<(&[u8], &[u8])> {
    value(bytes).filter(|(tag, ..)| *tag == wanted).map(|(_, content, rest)| (content, rest))
}

/// A moment, and what follows it.
fn moment(bytes: &[u8]) -> Option<(Moment, &[u8])> {
    let (tag, content, rest) = value(bytes)?;
    let digits = std::str::from_utf8(content).ok()?.strip_suffix('Z')?;
    if !digits.bytes().all(|byte| byte.is_ascii_digit()) {
        return None;
    }
    let (year, rest_of) = match (tag, digits.len()) {
        // Two digits: from 50 on they are of the last century (RFC 5280, 4.1.2.5.1).
        (UTC_TIME, 12) => {
            let century = if digits < "50" { "20" } else { "19" };
            (format!("{century}{}", &digits[..2]), &digits[2..])
        }
        (GENERALIZED_TIME, 14) => (digits[..4].to_owned(), &digits[4..]),
        _ => return None,
    };
    let part = |i: usize| &rest_of[2 * i..2 * i + 2];
    let text = format!("{year}-{}-{}T{}:{}:{}Z", part(0), part(1), part(2), part(3), part(4));
    Some((Moment::new(&text).ok()?, rest))
}

/// The first and the last moment at which a certificate is good; nothing where these bytes are no
/// certificate.
pub(super) fn validity(certificate: &[u8]) -> Option<(Moment, Moment)> {
    let (certificate, _) = in_tag(certificate, SEQUENCE)?;
    let (signed, _) = in_tag(certificate, SEQUENCE)?;
    // Version 1 leaves its version out.
    let after_version = in_tag(signed, VERSION).map_or(signed, |(_, rest)| rest);
    let (_, after_serial) = in_tag(after_version, INTEGER)?;
    let (_, after_algorithm) = in_tag(after_serial, SEQUENCE)?;
    let (_, after_issuer) = in_tag(after_algorithm, SEQUENCE)?;
    let (times, _) = in_tag(after_issuer, SEQUENCE)?;
    let (from, rest) = moment(times)?;
    let (until, _) = moment(rest)?;
    Some((from, until))
}

#[cfg(test)]
mod tests {
    use super::*;
    use rcgen::{CertificateParams, KeyPair, date_time_ymd};

    fn made(from: i32, until: i32) -> Vec<u8> {
        let mut params = CertificateParams::new(vec!["bench.shop.example".to_owned()]).unwrap();
        params.not_before = date_time_ymd(from, 2, 28);
        params.not_after = date_time_ymd(until, 12, 31);
        params.self_signed(&KeyPair::generate().unwrap()).unwrap().der().to_vec()
    }

    #[test]
    fn both_ways_of_writing_a_year_are_read() {
        // Until 2049 with two digits of the year, then with four.
        for (from, until) in [(1999, 2026), (2026, 2049), (2026, 2050), (2051, 3000)] {
            let (first, last) = validity(&made(from, until)).unwrap();
            assert_eq!(first.as_str(), format!("{from}-02-28T00:00:00Z"));
            assert_eq!(last.as_str(), format!("{until}-12-31T00:00:00Z"));
        }
    }

    #[test]
    fn bytes_that_are_no_certificate_are_none_and_end() {
        let good = made(2026, 2030);
        let end = good.len();
        for cut in 0..end {
            // Whatever is cut off: no panic, and nothing is made up.
            assert!(validity(&good[..cut]).is_none(), "{cut}");
        }
        for place in 0..end.min(200) {
            for byte in [0x00, 0x7f, 0x80, 0x84, 0xff] {
                let mut wrong = good.clone();
                wrong[place] = byte;
                let _ = validity(&wrong);
            }
        }
    }
}
