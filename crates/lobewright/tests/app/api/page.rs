//! The example of docs/API.md is true, call by call.

use super::boat::boat;
use super::program::{Program, signed_in};
use crate::bench::Answer;
use serde_json::Value;

const PAGE: &str = include_str!("../../../../../docs/API.md");
/// Calls of the page.
const CALLS: usize = 6;

/// The blocks of a page, each with its language.
fn blocks(page: &str) -> Vec<(&str, &str)> {
    let fenced = page.split("```").skip(1).step_by(2);
    fenced.map(|block| block.split_once('\n').unwrap()).collect()
}

/// Makes the call of a block of shell, if it has one.
fn call(program: &mut Program, shell: &str) -> Option<Answer> {
    let call = &shell[shell.find("curl -s ")?..];
    let address = call.split_once("$SHOP").unwrap().1.split(['"', ' ']).next().unwrap();
    let body = call.split_once("-d '").map(|(_, rest)| rest.rsplit_once('\'').unwrap().0);
    assert!(body.is_none() || call.contains("-H \"$JSON\""), "{call}");
    let method = if body.is_some() { "POST" } else { "GET" };
    let plain = address.split('?').next().unwrap();
    let path = plain.replace("/builds/1", "/builds/{build}");
    if call.contains("-H \"$AUTH\"") {
        return Some(program.ask_at((method, &path), address, body.map(str::as_bytes)));
    }
    let token = program.token.take();
    let answer = program.ask_at((method, &path), address, body.map(str::as_bytes));
    program.token = token;
    Some(answer)
}

/// Whether everything that is told is there; three dots stand for what nobody can know.
fn is_told(told: &Value, there: &Value) -> bool {
    match (told, there) {
        (Value::Object(told), Value::Object(there)) => {
            told.iter().all(|(name, value)| there.get(name).is_some_and(|t| is_told(value, t)))
        }
        (Value::Array(told), Value::Array(there)) => {
            told.len() == there.len() && told.iter().zip(there).all(|(a, b)| is_told(a, b))
        }
        (Value::String(dots), Value::String(_)) if dots == "..." => true,
        _ => told == there,
    }
}

#[test]
fn the_example_is_true() {
    let (_folder, mut program) = signed_in();
    boat(&mut program);
    let (mut calls, mut last) = (0, None);
    for (language, block) in blocks(PAGE) {
        match language {
            "sh" => last = call(&mut program, block),
            "json" => {
                let answer = last.take().unwrap();
                let told: Value = serde_json::from_str(block).unwrap();
                assert!(is_told(&told, &answer.json()), "{block}\n{}", answer.text());
                calls += 1;
            }
            other => panic!("a block of {other:?}"),
        }
    }
    assert_eq!(calls, CALLS);
}
