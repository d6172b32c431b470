//! The table of keys as a JSON Schema (draft 2020-12), for editors that check and complete while typing.
//!
//! TOML dates appear as text in `date` format, as schema checkers for TOML take them.

use serde_json::{Map, Value, json};

use super::key::{Form, Key, Need};
use super::measure::Measure;

/// The schema of a file.
#[must_use]
pub fn schema(title: &str, description: &str, keys: &[Key]) -> Value {
    let mut schema = object(keys);
    schema.insert("$schema".into(), json!("https://json-schema.org/draft/2020-12/schema"));
    schema.insert("title".into(), json!(title));
    schema.insert("description".into(), json!(description));
    Value::Object(schema)
}

fn object(keys: &[Key]) -> Map<String, Value> {
    let properties: Map<String, Value> = keys.iter().map(|key| (key.name.to_string(), property(key))).collect();
    let required: Vec<&str> = keys.iter().filter(|key| key.need == Need::Required).map(|key| key.name).collect();
    let mut needs = Map::new();
    for key in keys {
        match key.need {
            Need::With(other) => {
                depend(&mut needs, other, key.name);
                depend(&mut needs, key.name, other);
            }
            Need::Beside(other) => depend(&mut needs, key.name, other),
            Need::Required | Need::Optional | Need::Depends(_) => {}
        }
    }
    let mut object = Map::new();
    object.insert("type".into(), json!("object"));
    object.insert("additionalProperties".into(), json!(false));
    object.insert("properties".into(), Value::Object(properties));
    if !required.is_empty() {
        object.insert("required".into(), json!(required));
    }
    if !needs.is_empty() {
        object.insert("dependentRequired".into(), Value::Object(needs));
    }
    object
}

fn depend(needs: &mut Map<String, Value>, having: &str, needed: &str) {
    if let Value::Array(list) = needs.entry(having.to_string()).or_insert_with(|| json!([])) {
        list.push(json!(needed));
    }
}

fn property(key: &Key) -> Value {
    let mut property = match form(&key.form) {
        Value::Object(map) => map,
        other => Map::from_iter([("const".to_string(), other)]),
    };
    property.insert("description".into(), json!(key.meaning));
    Value::Object(property)
}

fn form(of: &Form) -> Value {
    match of {
        Form::Text | Form::Unit => json!({ "type": "string", "pattern": "\\S" }),
        Form::TextOrWhole => json!({ "type": ["string", "integer"], "pattern": "\\S" }),
        Form::Choice(words) => json!({ "enum": words }),
        Form::Number => json!({ "type": ["string", "number"], "pattern": format!("^\\s*{NUMBER}\\s*$") }),
        Form::Count => json!({ "type": "integer", "minimum": 1 }),
        Form::Quantity(Measure::Ratio) => form(&Form::Number),
        Form::Quantity(Measure::ShareOrMoney) => json!({ "type": ["string", "number"], "pattern": "[0-9]" }),
        Form::Quantity(_) => json!({ "type": "string", "pattern": format!("^\\s*{NUMBER}\\s*[^0-9\\s].*$") }),
        Form::Limits(measure) => {
            let end = json!({ "anyOf": [{ "const": "none" }, form(&Form::Quantity(*measure))] });
            json!({ "type": "array", "items": end, "minItems": 2, "maxItems": 2 })
        }
        Form::Rounding => json!({ "type": "string", "pattern": "^\\s*[0-9.]+\\s+(half up|half even|up|down)\\s*$" }),
        Form::Station => json!({ "type": "string", "pattern": "[0-9]+\\s*\\+\\s*[0-9]{2,3}(\\.[0-9]+)?" }),
        Form::Date => json!({ "type": "string", "format": "date" }),
        Form::Dates => json!({ "type": "array", "items": form(&Form::Date), "minItems": 1 }),
        Form::Flag => json!({ "type": "boolean" }),
        Form::Texts => json!({ "type": "array", "items": form(&Form::Text), "minItems": 1 }),
        Form::Counts => json!({ "type": "array", "items": form(&Form::Count), "minItems": 1 }),
        Form::Pairs(each) => json!({ "type": "object", "additionalProperties": form(each) }),
        Form::Table(keys) => Value::Object(object(keys)),
        Form::Tables(keys) => json!({ "type": "array", "items": Value::Object(object(keys)), "minItems": 1 }),
        Form::Either(plain, other) => json!({ "anyOf": [form(plain), form(other)] }),
    }
}

const NUMBER: &str = "[-+]?([0-9]+|[0-9]{1,3}(,[0-9]{3})+)(\\.[0-9]+)?";
