//! Answers for machines: one writer for all commands.

use serde::Serialize;
use serde_json::{Number, Value};

use crate::targets::verdict::ThreeAirs;

/// Digits kept after the point: a billionth of a degree or of an astronomical unit is beyond every
/// model here, and the same on every machine.
const DIGITS: i32 = 9;

/// A value as indented JSON, its fields in the order of the code, ended by a line break.
pub fn document(answer: &impl Serialize) -> String {
    let mut value =
        serde_json::to_value(answer).expect("answers hold only text, numbers and lists");
    round_numbers(&mut value);
    let mut text = serde_json::to_string_pretty(&value).expect("a JSON value can be written");
    text.push('\n');
    text
}

/// One value for each of the site's three airs.
#[derive(Serialize)]
pub(super) struct AirsJson<T> {
    good: T,
    typical: T,
    poor: T,
}

impl<T> From<ThreeAirs<T>> for AirsJson<T> {
    fn from(airs: ThreeAirs<T>) -> Self {
        AirsJson {
            good: airs.good,
            typical: airs.typical,
            poor: airs.poor,
        }
    }
}

fn round_numbers(value: &mut Value) {
    match value {
        Value::Number(number) => {
            if number.is_f64()
                && let Some(rounded) = number.as_f64().map(|x| super::words::rounded(x, DIGITS))
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
