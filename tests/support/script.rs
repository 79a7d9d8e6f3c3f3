//! The browser's script in an embedded engine, asked through JSON as a page would be.

use fettlebook::quantity::units_json;
use rquickjs::{Context, Function, Runtime};
use serde_json::Value as Json;

/// What the tests ask of the script, and the answers as JSON; numbers that JSON cannot hold come as their names.
const HARNESS: &str = r#"
    const hold = (key, value) => typeof value === "number" && !Number.isFinite(value) ? String(value) : value;
    const units = Fettlebook.reckon.unitTable(JSON.parse(unitsText));
    const reckon = Fettlebook.reckon;
    const ask = {
        run: ([plan, inputs, tables]) => reckon.run(plan, inputs, tables),
        runAll: ([plans, tables, bare]) => plans.map(([plan, sets]) => sets.map((inputs) => reckon.run(plan, inputs, tables, bare))),
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
    context: Context,
}

impl Script {
    /// Loads the script and the unit table.
    pub fn load() -> Script {
        let runtime = Runtime::new().expect("an engine");
        let context = Context::full(&runtime).expect("a context");
        context.with(|scope| {
            let core = include_str!("../../themes/benchsheet/assets/js/reckon-core.js");
            let globals = scope.globals();
            scope
                .eval::<(), _>(core)
                .expect("the script loads without a page");
            globals
                .set("unitsText", units_json().to_string())
                .expect("a global");
            let harness: Function<'_> = scope.eval(HARNESS).expect("the harness loads");
            globals.set("askText", harness).expect("a global");
        });
        Script { context }
    }

    /// What a piece of script gives as text.
    #[allow(dead_code, reason = "one of the two test files asks so")]
    pub fn eval(&mut self, text: &str) -> String {
        self.context
            .with(|scope| scope.eval(text).expect("an answer"))
    }

    /// Asks one thing of the script.
    pub fn ask(&mut self, what: &str, of: &Json) -> Json {
        self.context.with(|scope| {
            let function: Function<'_> = scope.globals().get("askText").expect("a function");
            let answer: Result<String, _> = function.call((what, of.to_string()));
            let text =
                answer.unwrap_or_else(|error| panic!("{what}: {error}: {:?}", scope.catch()));
            serde_json::from_str(&text).expect("JSON")
        })
    }
}
