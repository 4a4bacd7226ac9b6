//! The table of fields as JSON Schema.

use super::shape::{Field, Shape};
use serde_json::{Map, Value, json};

/// The fields of `shape` as a JSON Schema (draft 2020-12), made from the same table as the check.
pub fn json_schema(title: &str, description: &str, shape: &Shape) -> Value {
    let mut schema = Map::new();
    schema.insert("$schema".into(), json!("https://json-schema.org/draft/2020-12/schema"));
    schema.insert("title".into(), json!(title));
    schema.insert("description".into(), json!(description));
    schema.extend(node(shape));
    Value::Object(schema)
}

fn node(shape: &Shape) -> Map<String, Value> {
    let value = match shape {
        // A bare YAML number is read as its text, so a validator may see a number where text is meant.
        Shape::Words | Shape::Figure => json!({"type": ["string", "number"]}),
        Shape::Flag => json!({"type": "boolean"}),
        Shape::Choice(words) => json!({"type": "string", "enum": words}),
        Shape::List(inner) => json!({"type": "array", "items": node(inner)}),
        Shape::Filled(inner) => json!({"type": "array", "items": node(inner), "minItems": 1}),
        Shape::Map(fields) => map(fields),
        Shape::TextOr(other) => json!({"anyOf": [{"type": ["string", "number"]}, node(other)]}),
    };
    match value {
        Value::Object(map) => map,
        _ => Map::new(),
    }
}

fn map(fields: &[Field]) -> Value {
    let mut properties = Map::new();
    for field in fields {
        let mut property = node(&field.shape);
        property.insert("description".into(), json!(field.doc));
        if !field.example.is_empty() {
            property.insert("examples".into(), json!([field.example]));
        }
        properties.insert(field.name.into(), Value::Object(property));
    }
    let required: Vec<&str> = fields.iter().filter(|f| f.required).map(|f| f.name).collect();
    let mut schema = Map::new();
    schema.insert("type".into(), json!("object"));
    schema.insert("properties".into(), Value::Object(properties));
    if !required.is_empty() {
        schema.insert("required".into(), json!(required));
    }
    schema.insert("additionalProperties".into(), json!(false));
    Value::Object(schema)
}
