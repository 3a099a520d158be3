//! Answers for machines: one writer for all commands.
//!
//! Each command's fields stand where they are filled in, as they are read: by `json!` in that command's
//! file. What derives `Serialize` further down has the same names as here.

use chrono::{DateTime, Utc};
use serde_json::{Number, Value, json};

use crate::show::words::{rfc3339, rounded};

/// Digits kept after the point: a billionth of a degree or of an astronomical unit is beyond every
/// model here, and the same on every machine.
const DIGITS: i32 = 9;

/// A value as indented JSON, its fields in the order of the code, ended by a line break.
pub fn document(mut answer: Value) -> String {
    round_numbers(&mut answer);
    format!("{answer:#}\n")
}

/// From one instant to another.
pub(super) fn span(from: DateTime<Utc>, until: DateTime<Utc>) -> Value {
    json!({ "from_utc": rfc3339(from), "until_utc": rfc3339(until) })
}

/// An object's fields, then another's.
pub(super) fn joined(mut first: Value, then: Value) -> Value {
    if let (Value::Object(fields), Value::Object(more)) = (&mut first, then) {
        fields.extend(more);
    }
    first
}

/// An object without those of these fields that are null: absent where there is nothing to say.
pub(super) fn absent_if_null(mut object: Value, fields: &[&str]) -> Value {
    if let Value::Object(all) = &mut object {
        all.retain(|name, value| !(value.is_null() && fields.contains(&name.as_str())));
    }
    object
}

fn round_numbers(value: &mut Value) {
    match value {
        Value::Number(number) => {
            if number.is_f64()
                && let Some(rounded) = number.as_f64().map(|x| rounded(x, DIGITS))
                && let Some(rounded) = Number::from_f64(rounded)
            {
                *number = rounded;
            }
        }
        Value::Array(items) => items.iter_mut().for_each(round_numbers),
        Value::Object(fields) => fields.values_mut().for_each(round_numbers),
        Value::Null | Value::Bool(_) | Value::String(_) => {}
    }
}
