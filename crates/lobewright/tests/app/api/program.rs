//! A program that signs in with a token and holds every answer against the document.

use super::contract::Contract;
use crate::bench::{Answer, Bench, OWNER, PASSWORD, begun};
use axum::http::StatusCode;
use serde_json::{Value, json};
use tempfile::TempDir;

/// One program.
pub(crate) struct Program {
    bench: Bench,
    pub(crate) token: Option<String>,
    pub(crate) contract: Contract,
}

/// A shop that has begun, and a program that its owner signed in.
pub(crate) fn signed_in() -> (TempDir, Program) {
    let (folder, mut bench) = begun();
    bench.cookie = None;
    let mut program = Program { bench, token: None, contract: Contract::read() };
    program.sign_in(OWNER);
    (folder, program)
}

/// A path with its numbers: `("/api/builds/{build}/sign", [3])`.
pub(crate) fn filled(path: &str, numbers: &[i64]) -> String {
    let mut numbers = numbers.iter();
    path.split('/')
        .map(|piece| match piece.starts_with('{') {
            true => numbers.next().unwrap().to_string(),
            false => piece.to_owned(),
        })
        .collect::<Vec<_>>()
        .join("/")
}

impl Program {
    pub(crate) fn shop(&self) -> &records::Shop {
        self.bench.shop()
    }

    pub(crate) fn sign_in(&mut self, name: &str) {
        self.token = None;
        let body = json!({ "name": name, "password": PASSWORD });
        let answer = self.ask(("POST", "/api/session"), &[], "", Some(&body));
        assert_eq!(answer.status, StatusCode::OK, "{}", answer.text());
        self.token = Some(answer.json()["token"].as_str().unwrap().to_owned());
    }

    /// Asks at an address as it stands.
    pub(crate) fn ask_at(
        &mut self,
        (method, path): (&str, &str),
        address: &str,
        body: Option<&[u8]>,
    ) -> Answer {
        let bearer = self.token.as_ref().map(|token| format!("Bearer {token}"));
        let mut headers = Vec::new();
        if let Some(bearer) = &bearer {
            headers.push(("authorization", bearer.as_str()));
        }
        if body.is_some() {
            headers.push(("content-type", "application/json"));
        }
        let answer = self.bench.ask(method, address, &headers, body.unwrap_or_default());
        self.contract.check(method, path, &answer);
        answer
    }

    /// Asks, with the numbers of the path and what stands after the question mark.
    pub(crate) fn ask(
        &mut self,
        (method, path): (&str, &str),
        numbers: &[i64],
        query: &str,
        body: Option<&Value>,
    ) -> Answer {
        let mut address = filled(path, numbers);
        if !query.is_empty() {
            address = format!("{address}?{query}");
        }
        let body = body.map(|body| body.to_string().into_bytes());
        self.ask_at((method, path), &address, body.as_deref())
    }

    /// Something that is there.
    pub(crate) fn get(&mut self, path: &str, numbers: &[i64], query: &str) -> Value {
        let answer = self.ask(("GET", path), numbers, query, None);
        assert_eq!(answer.status, StatusCode::OK, "{path}: {}", answer.text());
        answer.json()
    }

    /// Something that is taken.
    pub(crate) fn post(&mut self, path: &str, numbers: &[i64], body: &Value) -> Value {
        let answer = self.ask(("POST", path), numbers, "", Some(body));
        assert!(answer.status.is_success(), "{path} {body}: {}", answer.text());
        answer.json()
    }

    /// Something that is not taken: what is said.
    pub(crate) fn refused(
        &mut self,
        (method, path): (&str, &str),
        numbers: &[i64],
        query: &str,
        (body, status): (Option<&Value>, u16),
    ) -> Value {
        let answer = self.ask((method, path), numbers, query, body);
        assert_eq!(answer.status.as_u16(), status, "{method} {path}: {}", answer.text());
        let told = answer.json();
        assert_eq!(told["status"], status);
        told
    }
}
