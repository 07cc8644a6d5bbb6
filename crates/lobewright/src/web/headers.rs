//! Headers that every answer has, whatever it is.

use axum::body::Body;
use axum::http::Response;
use axum::http::header::{
    CONTENT_SECURITY_POLICY, HeaderName, HeaderValue, REFERRER_POLICY, STRICT_TRANSPORT_SECURITY,
    X_CONTENT_TYPE_OPTIONS, X_FRAME_OPTIONS,
};

/// Nothing but this program's own files; scripts and styles from files alone, so that text that
/// looks like one is text.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; \
                      connect-src 'self'; form-action 'self'; base-uri 'none'; object-src 'none'; \
                      frame-ancestors 'none'";
/// For what somebody attached: whatever is hidden in it, it runs nothing and asks for nothing.
pub(super) const OF_OTHERS: &str = "default-src 'none'; sandbox; frame-ancestors 'none'";
/// What no page here asks of a browser. A photo comes from a file field, which needs none of it.
const NOTHING_OF_THE_DEVICE: &str = "accelerometer=(), camera=(), display-capture=(), geolocation=(), gyroscope=(), hid=(), \
                                     magnetometer=(), microphone=(), midi=(), payment=(), serial=(), usb=()";
/// A year of encrypted connections alone.
const ENCRYPTED_ONLY: &str = "max-age=31536000";

/// With the headers that every answer has. `secure`: it goes over an encrypted connection.
pub(super) fn guarded(mut response: Response<Body>, secure: bool) -> Response<Body> {
    let headers = response.headers_mut();
    headers.entry(CONTENT_SECURITY_POLICY).or_insert(HeaderValue::from_static(POLICY));
    let fixed: [(HeaderName, &'static str); 6] = [
        (X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (X_FRAME_OPTIONS, "DENY"),
        (REFERRER_POLICY, "same-origin"),
        (HeaderName::from_static("permissions-policy"), NOTHING_OF_THE_DEVICE),
        (HeaderName::from_static("cross-origin-opener-policy"), "same-origin"),
        (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
    ];
    for (name, value) in fixed {
        headers.insert(name, HeaderValue::from_static(value));
    }
    if secure {
        headers.insert(STRICT_TRANSPORT_SECURITY, HeaderValue::from_static(ENCRYPTED_ONLY));
    }
    response
}
