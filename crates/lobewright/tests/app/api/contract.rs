//! docs/openapi.json as something that an answer can be held against.

use crate::bench::Answer;
use jsonschema::{Draft, Validator};
use serde_json::{Value, json};
use std::collections::{BTreeMap, BTreeSet};

/// The file in the repository.
const FILE: &str = include_str!("../../../../../docs/openapi.json");

/// Method, path, status.
pub(crate) type Pair = (String, String, String);

/// The document, and what was held against it so far.
pub(crate) struct Contract {
    pub(crate) document: Value,
    validators: BTreeMap<Pair, Validator>,
    pub(crate) seen: BTreeSet<Pair>,
    /// Shapes that an answer had in it.
    pub(crate) shapes: BTreeSet<String>,
}

impl Contract {
    pub(crate) fn read() -> Self {
        let document = serde_json::from_str(FILE).unwrap();
        let (seen, shapes) = (BTreeSet::new(), BTreeSet::new());
        Self { document, validators: BTreeMap::new(), seen, shapes }
    }

    /// Method and path of every operation, as the document has them.
    pub(crate) fn operations(&self) -> BTreeMap<(String, String), &Value> {
        let mut all = BTreeMap::new();
        for (path, methods) in self.document["paths"].as_object().unwrap() {
            for (method, operation) in methods.as_object().unwrap() {
                all.insert((method.to_uppercase(), path.clone()), operation);
            }
        }
        all
    }

    /// Every status that the document names.
    pub(crate) fn pairs(&self) -> BTreeSet<Pair> {
        let mut pairs = BTreeSet::new();
        for ((method, path), operation) in self.operations() {
            for status in operation["responses"].as_object().unwrap().keys() {
                if status != "default" {
                    pairs.insert((method.clone(), path.clone(), status.clone()));
                }
            }
        }
        pairs
    }

    /// What stands at a `$ref`, or the thing itself.
    fn resolved<'v>(&'v self, value: &'v Value) -> &'v Value {
        value.get("$ref").map_or(value, |to| {
            self.document.pointer(to.as_str().unwrap().trim_start_matches('#')).unwrap()
        })
    }

    /// The shape of what an operation takes.
    pub(crate) fn request(&self, method: &str, path: &str) -> Option<&Value> {
        let method = method.to_lowercase();
        let body = self.document["paths"][path][method].get("requestBody")?;
        Some(self.resolved(&body["content"]["application/json"]["schema"]))
    }

    /// The shape at a place of another.
    pub(crate) fn property<'v>(&'v self, schema: &'v Value, name: &str) -> &'v Value {
        let property = &schema["properties"][name];
        // Something or null.
        property.get("oneOf").map_or_else(|| self.resolved(property), |of| self.resolved(&of[0]))
    }

    /// The shapes that something has in it, by their names.
    fn walk(&self, schema: &Value, value: &Value, into: &mut BTreeSet<String>) {
        if let Some(either) = schema.get("oneOf") {
            if !value.is_null() {
                self.walk(&either[0], value, into);
            }
            return;
        }
        if let Some(to) = schema.get("$ref").and_then(Value::as_str) {
            into.insert(to.rsplit('/').next().unwrap().to_owned());
        }
        let schema = self.resolved(schema);
        match value {
            Value::Object(map) => {
                for (name, inner) in map {
                    if let Some(property) = schema["properties"].get(name) {
                        self.walk(property, inner, into);
                    }
                }
            }
            Value::Array(list) => list.iter().for_each(|v| self.walk(&schema["items"], v, into)),
            _ => {}
        }
    }

    /// Holds an answer against the document.
    pub(crate) fn check(&mut self, method: &str, path: &str, answer: &Answer) {
        let status = answer.status.as_u16().to_string();
        let at = (method.to_owned(), path.to_owned(), status.clone());
        let responses =
            self.document["paths"][path][method.to_lowercase()]["responses"].as_object().unwrap();
        let named = responses.contains_key(&status);
        assert!(named || !answer.status.is_success(), "{at:?} is not in the document");
        let response = self.resolved(&responses[if named { &status } else { "default" }]);
        let (media, content) = response["content"].as_object().unwrap().iter().next().unwrap();
        let schema = content["schema"].clone();
        let sent = answer.headers["content-type"].to_str().unwrap();
        assert_eq!(sent.split(';').next().unwrap(), media, "{at:?}");
        let body = match media.as_str() {
            "application/json" => answer.json(),
            _ => Value::String(String::from_utf8(answer.body.clone()).unwrap()),
        };
        if !self.validators.contains_key(&at) {
            let whole = json!({ "allOf": [schema], "components": self.document["components"] });
            let validator = jsonschema::options()
                .with_draft(Draft::Draft202012)
                .should_validate_formats(true)
                .build(&whole)
                .unwrap();
            self.validators.insert(at.clone(), validator);
        }
        let wrong: Vec<String> = self.validators[&at]
            .iter_errors(&body)
            .map(|error| format!("{}: {error}", error.instance_path()))
            .collect();
        assert!(wrong.is_empty(), "{at:?}: {wrong:#?}");
        let mut shapes = BTreeSet::new();
        self.walk(&schema, &body, &mut shapes);
        self.shapes.extend(shapes);
        if named {
            self.seen.insert(at);
        }
    }
}

/// Whether an operation takes a body.
pub(crate) fn has_body(contract: &Contract, method: &str, path: &str) -> bool {
    contract.request(method, path).is_some()
}
