//! What is heard as JSON: `{quantities: [{time, text, value, unit, doubt}], parts, tools, chapters}`.

use serde_json::{Value, json};

use super::{Listened, Quantity};
use crate::library::Library;
use crate::number::{Decimal, Rounding, magnitude, round};

/// Digits of a value that does not end.
const DIGITS: i32 = 12;

/// One indented object. Times are seconds; a value is a number in its unit, or its two limits; a doubt is its words, or
/// null.
pub fn to_json(library: &Library, listened: &Listened<'_>) -> String {
    let parts = listened.parts.iter().map(|(number, times)| {
        let name = library
            .parts
            .get(*number)
            .map(|part| part.name.value.as_str());
        json!({"number": number, "name": name, "times": times})
    });
    let tools = listened.tools.iter().map(|(id, times)| {
        let name = library.tools.get(*id).map(|tool| tool.name.value.as_str());
        json!({"id": id, "name": name, "times": times})
    });
    let chapters = listened.chapters.iter();
    let whole = json!({
        "quantities": listened.quantities.iter().map(quantity).collect::<Vec<_>>(),
        "parts": parts.collect::<Vec<_>>(),
        "tools": tools.collect::<Vec<_>>(),
        "chapters": chapters.map(|own| json!({"at": own.at, "title": own.title})).collect::<Vec<_>>(),
    });
    format!("{whole:#}\n")
}

fn quantity(own: &Quantity<'_>) -> Value {
    let heard = &own.heard;
    let values: Vec<Value> = heard.values.iter().map(number).collect();
    let value = match &values[..] {
        [only] => only.clone(),
        _ => Value::Array(values),
    };
    json!({
        "time": heard.time,
        "text": own.said,
        "value": value,
        "unit": heard.unit.map(|unit| unit.symbol()),
        "doubt": heard.doubt.as_ref().map(|doubt| doubt.words.as_str()),
    })
}

fn number(value: &num_rational::BigRational) -> Value {
    let top = magnitude(value).unwrap_or(0);
    let decimal = Decimal::from_ratio(value);
    let decimal = decimal.unwrap_or_else(|| round(value, DIGITS - 1 - top, Rounding::Nearest));
    json!(decimal.to_double())
}
