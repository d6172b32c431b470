//! The JSON Schema of `result.json`, made from the very types that are written.

use super::json::Output;

/// The schema of the result.
#[must_use]
pub fn result_schema() -> serde_json::Value {
    schemars::schema_for!(Output).to_value()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dossier::example;
    use crate::render::json;

    #[test]
    fn the_schema_names_every_key_of_a_result() {
        let schema = result_schema();
        let (dossier, book) = example();
        let result: serde_json::Value = serde_json::from_str(&json(&dossier, &book).unwrap()).unwrap();
        let keys: Vec<&String> = result.as_object().unwrap().keys().collect();
        let mut named: Vec<&String> = schema["properties"].as_object().unwrap().keys().collect();
        named.sort();
        assert_eq!(keys, named);
    }
}
