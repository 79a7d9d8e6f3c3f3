//! The browser's script in an embedded engine, asked through JSON as a page would be.

use boa_engine::property::Attribute;
use boa_engine::{Context, JsObject, JsString, JsValue, Source, js_string};
use fettlebook::quantity::units_json;
use serde_json::Value as Json;

/// What the tests ask of the script, and the answers as JSON; numbers that JSON cannot hold come as their names.
const HARNESS: &str = r#"
    const hold = (key, value) => typeof value === "number" && !Number.isFinite(value) ? String(value) : value;
    const units = Fettlebook.reckon.unitTable(JSON.parse(unitsText));
    const reckon = Fettlebook.reckon;
    const ask = {
        run: ([plan, inputs, tables]) => reckon.run(plan, inputs, tables),
        runAll: ([plans, tables]) => plans.map(([plan, sets]) => sets.map((inputs) => reckon.run(plan, inputs, tables))),
        round: (rows) => rows.map(([top, bottom, places, how]) => reckon.round([BigInt(top), BigInt(bottom)], places, how)),
        significant: (rows) => rows.map(([value, digits, how]) => reckon.significant(value, digits, how)),
        read: (rows) => rows.map(([text, standIn]) => reckon.read(text, units, standIn)),
        roots: ([plan, tables, name, from, to, parts]) => reckon.roots((place) => {
            const [answer] = reckon.run(plan, { [name]: place }, tables).steps;
            return "reason" in answer ? null : answer.value;
        }, from, to, parts),
    };
    (what, text) => JSON.stringify(ask[what](JSON.parse(text)), hold)
"#;

/// The script with its harness.
pub struct Script {
    pub context: Context,
    function: JsObject,
}

impl Script {
    /// Loads the script and the unit table.
    pub fn load() -> Script {
        let mut context = Context::default();
        let core = include_str!("../../themes/benchsheet/assets/js/reckon-core.js");
        context
            .eval(Source::from_bytes(core))
            .expect("the script loads without a page");
        let units = JsString::from(units_json().to_string().as_str());
        context
            .register_global_property(js_string!("unitsText"), units, Attribute::all())
            .expect("a global");
        let function = context
            .eval(Source::from_bytes(HARNESS))
            .expect("the harness loads");
        let function = function.as_object().expect("a function").clone();
        Script { context, function }
    }

    /// Asks one thing of the script.
    pub fn ask(&mut self, what: &str, of: &Json) -> Json {
        let arguments = [
            JsString::from(what).into(),
            JsString::from(of.to_string().as_str()).into(),
        ];
        let undefined = JsValue::undefined();
        let answer = self
            .function
            .call(&undefined, &arguments, &mut self.context);
        let answer = answer.unwrap_or_else(|error| panic!("{what}: {error}"));
        let text = answer.as_string().expect("a text").to_std_string_lossy();
        serde_json::from_str(&text).expect("JSON")
    }
}
