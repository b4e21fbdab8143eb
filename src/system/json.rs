//! A system document as JSON.

use super::demo::Demo;
use crate::calculators::form::FieldError;
use crate::units::Words;
use serde_json::{Map, Value, json};

/// Checks a document.
///
/// # Errors
/// Every fault of the document.
pub fn check(_: &Map<String, Value>, _: Words) -> Result<Value, Vec<FieldError>> {
    Err(vec![FieldError::new("system", "cannot be checked yet", "")])
}

/// Writes a document.
pub fn write(demo: &Demo) -> Value {
    json!({ "id": demo.id })
}
