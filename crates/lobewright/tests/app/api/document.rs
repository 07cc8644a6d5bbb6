//! Every row is in the document and the other way round; what is needed is named where it is left
//! out, and nothing else is taken.

use super::boat::{BUILD, boat};
use super::contract::{Contract, has_body};
use super::program::signed_in;
use lobewright::ops::people::Role;
use lobewright::web::addresses;
use records::{Contact, GearFace, MediaType, OutWhy, PartKind, Stage, When, WorkKind};
use serde_json::{Value, json};
use std::collections::{BTreeMap, BTreeSet};

/// Operations of the document. They only rise.
const OPERATIONS: usize = 47;

#[test]
fn every_row_is_in_the_document_and_the_other_way_round() {
    let contract = Contract::read();
    let documented = contract.operations();
    let rows: BTreeMap<(String, String), bool> = addresses()
        .into_iter()
        .filter(|address| address.path.starts_with("/api/"))
        .map(|address| ((address.method.to_owned(), address.path.to_owned()), address.anyone))
        .collect();
    let roles: BTreeMap<(String, String), &[Role]> = addresses()
        .into_iter()
        .map(|address| ((address.method.to_owned(), address.path.to_owned()), address.roles))
        .collect();
    assert_eq!(rows.len(), OPERATIONS);
    assert_eq!(rows.keys().collect::<Vec<_>>(), documented.keys().collect::<Vec<_>>());
    let mut names = BTreeSet::new();
    for (row, operation) in documented {
        let for_some = roles[&row].len() == 1 || roles[&row].len() == 2;
        assert_eq!(for_some, operation["responses"].get("403").is_some(), "{row:?}");
        // Whom it is for, and a name of its own.
        assert_eq!(rows[&row], operation.get("security") == Some(&json!([])), "{row:?}");
        assert!(names.insert(operation["operationId"].as_str().unwrap()), "{row:?}");
        let in_path: Vec<&str> =
            row.1.split('/').filter_map(|p| p.strip_prefix('{')?.strip_suffix('}')).collect();
        let named: Vec<&str> = operation["parameters"]
            .as_array()
            .map(|all| all.iter().filter(|p| p["in"] == "path").collect::<Vec<_>>())
            .unwrap_or_default()
            .into_iter()
            .map(|p| p["name"].as_str().unwrap())
            .collect();
        assert_eq!(in_path, named, "{row:?}");
    }
}

#[test]
fn every_reference_of_the_document_leads_somewhere_and_every_shape_is_used() {
    let contract = Contract::read();
    let mut used = BTreeSet::new();
    let mut open = vec![&contract.document];
    while let Some(value) = open.pop() {
        if let Some(to) = value.get("$ref").and_then(Value::as_str) {
            assert!(contract.document.pointer(&to[1..]).is_some(), "{to}");
            used.insert(to.rsplit('/').next().unwrap());
        }
        match value {
            Value::Object(map) => open.extend(map.values()),
            Value::Array(list) => open.extend(list),
            _ => {}
        }
    }
    for (name, schema) in contract.document["components"]["schemas"].as_object().unwrap() {
        assert!(used.contains(name.as_str()), "{name}");
        // A shape that is not closed would let anything pass.
        assert_eq!(schema["additionalProperties"], false, "{name}");
    }
}

#[test]
fn the_words_of_the_document_are_those_of_the_record() {
    let contract = Contract::read();
    let kinds: Vec<&str> = PartKind::ALL.iter().map(|kind| kind.word()).collect();
    let faces: Vec<&str> = GearFace::ALL.iter().map(|face| face.word()).collect();
    let whens: Vec<&str> = When::ALL.iter().map(|when| when.word()).collect();
    let stages: Vec<&str> = Stage::ALL.iter().map(|stage| stage.word()).collect();
    let contacts: Vec<&str> = Contact::ALL.iter().map(|contact| contact.word()).collect();
    let whys: Vec<&str> = OutWhy::ALL.iter().map(|why| why.word()).collect();
    let media: Vec<&str> = MediaType::ALL.iter().map(|media| media.word()).collect();
    let works: Vec<&str> = WorkKind::ALL.iter().map(|work| work.word()).collect();
    for (schema, field, words) in [
        ("FitRequest", "kind", &kinds),
        ("PartRequest", "kind", &kinds),
        ("Fitted", "kind", &kinds),
        ("SheetPart", "kind", &kinds),
        ("PartFound", "kind", &kinds),
        ("PartHistory", "kind", &kinds),
        ("FitRequest", "gear_face", &faces),
        ("Fitted", "gear_face", &faces),
        ("ReadingRequest", "when", &whens),
        ("Reading", "when", &whens),
        ("Station", "when", &whens),
        ("Due", "stage", &stages),
        ("State", "part", &stages),
        ("BuildListed", "stage", &stages),
        ("FindingRequest", "contact", &contacts),
        ("Finding", "contact", &contacts),
        ("PartGone", "why", &whys),
        ("PartOut", "why", &whys),
        ("Attachment", "media_type", &media),
        ("Work", "kind", &works),
    ] {
        let pointer = format!("/components/schemas/{schema}/properties/{field}/enum");
        let told = contract.document.pointer(&pointer).and_then(Value::as_array);
        let told: Vec<&str> = told.unwrap().iter().filter_map(Value::as_str).collect();
        assert_eq!(&told, words, "{schema}.{field}");
    }
}

#[test]
fn without_a_session_nothing_is_told() {
    let (_folder, mut program) = signed_in();
    let known = boat(&mut program);
    let seen = program.get(BUILD, &[1], "")["seen"].clone();
    let foreign = "0".repeat(64);
    for token in [None, Some(foreign)] {
        program.token = token;
        for address in addresses().iter().filter(|a| a.path.starts_with("/api/") && !a.anyone) {
            let body = has_body(&program.contract, address.method, address.path)
                .then(|| known.body(address.path, &seen));
            let row = (address.method, address.path);
            let told = program.refused(row, &[1, 1], "", (body.as_ref(), 401));
            assert_eq!(told["error"], "nobody is signed in; sign in first");
        }
    }
    let document = program.get("/api/openapi.json", &[], "");
    assert_eq!(document, program.contract.document);
}

/// Every object of a body with its shape in the document, by the names that lead there.
fn objects<'c>(
    contract: &'c Contract,
    (schema, body): (&'c Value, &Value),
    at: &[String],
    into: &mut Vec<(Vec<String>, &'c Value)>,
) {
    into.push((at.to_vec(), schema));
    for (name, value) in body.as_object().unwrap() {
        let property = contract.property(schema, name);
        let deeper = |more: &[&str]| -> Vec<String> {
            at.iter().cloned().chain(more.iter().map(|&s| s.to_owned())).collect()
        };
        match value {
            Value::Object(_) => objects(contract, (property, value), &deeper(&[name]), into),
            Value::Array(list) => {
                let item = property["items"]["$ref"].as_str().unwrap();
                let item = contract.document.pointer(&item[1..]).unwrap();
                objects(contract, (item, &list[0]), &deeper(&[name, "0"]), into);
            }
            _ => {}
        }
    }
}

#[test]
fn what_is_needed_is_named_where_it_is_left_out_and_nothing_else_is_taken() {
    let (_folder, mut program) = signed_in();
    let known = boat(&mut program);
    let seen = program.get(BUILD, &[1], "")["seen"].clone();
    let contract = Contract::read();
    let (mut needed, mut shapes) = (0, 0);
    for ((method, path), _) in contract.operations() {
        let Some(schema) = contract.request(&method, &path) else { continue };
        let body = known.body(&path, &seen);
        let fields = |value: &Value| -> BTreeSet<String> {
            value.as_object().unwrap().keys().cloned().collect()
        };
        let mut all = Vec::new();
        objects(&contract, (schema, &body), &[], &mut all);
        for (at, schema) in all {
            shapes += 1;
            let pointer: String = at.iter().map(|step| format!("/{step}")).collect();
            let here = body.pointer(&pointer).unwrap();
            assert_eq!(fields(here), fields(&schema["properties"]), "{path} {pointer}");
            let nobody = vec![];
            for field in schema["required"].as_array().unwrap_or(&nobody) {
                needed += 1;
                let field = field.as_str().unwrap();
                let mut without = body.clone();
                let object = without.pointer_mut(&pointer).unwrap().as_object_mut().unwrap();
                object.remove(field);
                let row = (method.as_str(), path.as_str());
                let told = program.refused(row, &[1, 1], "", (Some(&without), 422));
                let told = told["error"].as_str().unwrap();
                assert!(told.ends_with(&format!("{field} is missing")), "{path}: {told}");
            }
            // One that nobody knows; those that are known are told, and are those of the document.
            let mut with = body.clone();
            let object = with.pointer_mut(&pointer).unwrap().as_object_mut().unwrap();
            object.insert("colour".to_owned(), json!("red"));
            let row = (method.as_str(), path.as_str());
            let told = program.refused(row, &[1, 1], "", (Some(&with), 422));
            let told = told["error"].as_str().unwrap();
            let (_, there) = told.split_once("; there is ").unwrap_or_else(|| panic!("{told}"));
            let there: BTreeSet<String> = there.split(", ").map(str::to_owned).collect();
            assert_eq!(there, fields(&schema["properties"]), "{path} {pointer}: {told}");
        }
    }
    assert_eq!((needed, shapes), (67, 26));
}
