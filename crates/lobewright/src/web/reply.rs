//! What goes back to the browser.

use super::headers::OF_OTHERS;
use axum::body::Body;
use axum::http::header::{
    CACHE_CONTROL, CONTENT_DISPOSITION, CONTENT_SECURITY_POLICY, CONTENT_TYPE, HeaderValue,
    LOCATION, RETRY_AFTER, SET_COOKIE,
};
use axum::http::{Response, StatusCode};
use maud::Markup;

/// An answer.
#[derive(Debug)]
pub(super) struct Reply {
    status: StatusCode,
    media_type: &'static str,
    body: Vec<u8>,
    to: Option<String>,
    cookie: Option<String>,
    file_name: Option<String>,
    keep: bool,
    of_others: bool,
    wait_s: Option<i64>,
}

impl Reply {
    fn of(media_type: &'static str, body: Vec<u8>) -> Self {
        Self {
            status: StatusCode::OK,
            media_type,
            body,
            to: None,
            cookie: None,
            file_name: None,
            keep: false,
            of_others: false,
            wait_s: None,
        }
    }

    /// A page, or a piece of one.
    pub(super) fn page(markup: Markup) -> Self {
        Self::of("text/html; charset=utf-8", markup.into_string().into_bytes())
    }

    /// JSON.
    pub(super) fn json(value: &serde_json::Value) -> Self {
        Self::of("application/json", value.to_string().into_bytes())
    }

    /// Something of another kind.
    pub(super) fn bytes(media_type: &'static str, body: Vec<u8>) -> Self {
        Self::of(media_type, body)
    }

    /// Go on there: a page that is loaded again sends nothing twice.
    pub(super) fn see(path: impl Into<String>) -> Self {
        let mut reply = Self::of("text/plain; charset=utf-8", Vec::new());
        reply.status = StatusCode::SEE_OTHER;
        reply.to = Some(path.into());
        reply
    }

    pub(super) const fn status(mut self, status: StatusCode) -> Self {
        self.status = status;
        self
    }

    /// With a cookie.
    pub(super) fn cookie(mut self, cookie: String) -> Self {
        self.cookie = Some(cookie);
        self
    }

    /// To be kept as a file of this name.
    pub(super) fn file(mut self, name: &str) -> Self {
        let plain: String = name
            .chars()
            .map(|c| if c.is_ascii_alphanumeric() || "-_. ".contains(c) { c } else { '-' })
            .collect();
        self.file_name = Some(plain);
        self
    }

    /// The browser may keep it for as long as the program is the same.
    pub(super) const fn keep(mut self) -> Self {
        self.keep = true;
        self
    }

    /// What somebody attached: a browser that is led to it runs nothing of it.
    pub(super) const fn of_others(mut self) -> Self {
        self.of_others = true;
        self
    }

    /// May be asked for again after so many seconds.
    pub(super) const fn wait(mut self, seconds: i64) -> Self {
        self.wait_s = Some(seconds);
        self
    }

    pub(super) fn into_response(self) -> Response<Body> {
        let mut response = Response::new(Body::from(self.body));
        *response.status_mut() = self.status;
        let headers = response.headers_mut();
        headers.insert(CONTENT_TYPE, HeaderValue::from_static(self.media_type));
        let cache = if self.keep { "private, max-age=3600" } else { "no-store" };
        headers.insert(CACHE_CONTROL, HeaderValue::from_static(cache));
        if self.of_others {
            headers.insert(CONTENT_SECURITY_POLICY, HeaderValue::from_static(OF_OTHERS));
        }
        if let Some(seconds) = self.wait_s {
            headers.insert(RETRY_AFTER, HeaderValue::from(seconds));
        }
        let disposition = self.file_name.map(|name| format!("attachment; filename=\"{name}\""));
        let named =
            [(LOCATION, self.to), (SET_COOKIE, self.cookie), (CONTENT_DISPOSITION, disposition)];
        for (name, value) in named {
            if let Some(value) = value.and_then(|value| HeaderValue::from_str(&value).ok()) {
                headers.insert(name, value);
            }
        }
        response
    }
}
