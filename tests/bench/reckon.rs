//! How long the built-in calculators take over their published cases.
//!
//! `cargo bench --bench reckon`. Each calculator is a group; `sheet` is a whole run with uncertainty, digits and words,
//! `plan` the bare program with its derivatives, `script` the same in the browser's script, `found` a run backwards. A
//! figure is for all cases of the calculator together; how many there are is printed first.

use std::collections::BTreeMap;
use std::time::Duration;

use criterion::{
    BenchmarkGroup, Criterion, criterion_group, criterion_main, measurement::WallTime,
};
use fettlebook::calculator::{self, Definition, GivenValue, builtin};
use fettlebook::formula::Input;
use fettlebook::standards;
use rquickjs::{Context, Function, Runtime};
use serde_json::json;

/// What each case of a calculator gives.
fn cases(definition: &Definition) -> Vec<BTreeMap<String, GivenValue>> {
    let typed = |(id, value): &(String, fettlebook::yaml::Spanned<String>)| {
        (id.clone(), GivenValue::typed(&value.value))
    };
    definition
        .cases
        .iter()
        .map(|case| case.given.iter().map(typed).collect())
        .collect()
}

/// The same as arguments of the bare program.
fn arguments(definition: &Definition, given: &BTreeMap<String, GivenValue>) -> Vec<Input> {
    let Ok(sheet) = calculator::run(definition, standards::tables(), given) else {
        return Vec::new();
    };
    let argument = |input: &calculator::Input| {
        let line = sheet.given.iter().find(|line| line.id == input.id.value);
        match (line.and_then(|line| line.value), line) {
            (Some(value), _) => Input::Number(value),
            (None, Some(_)) => given.get(&input.id.value).map_or(
                Input::Text(input.default.clone().unwrap_or_default()),
                |value| Input::Text(value.words()),
            ),
            (None, None) => Input::Missing,
        }
    };
    definition.inputs.iter().map(argument).collect()
}

fn sheet(group: &mut BenchmarkGroup<'_, WallTime>, definition: &Definition) {
    let given = cases(definition);
    group.bench_function("sheet", |bencher| {
        bencher.iter(|| {
            given
                .iter()
                .filter(|given| calculator::run(definition, standards::tables(), given).is_ok())
                .count()
        });
    });
}

fn plan(group: &mut BenchmarkGroup<'_, WallTime>, definition: &Definition) {
    let all: Vec<Vec<Input>> = cases(definition)
        .iter()
        .map(|given| arguments(definition, given))
        .collect();
    group.bench_function("plan", |bencher| {
        bencher.iter(|| {
            let runs = all
                .iter()
                .map(|inputs| definition.program.run(inputs, standards::tables()));
            runs.map(|run| run.steps.iter().filter(|step| step.is_ok()).count())
                .sum::<usize>()
        });
    });
}

/// The same runs in the browser's script, with derivatives, in an embedded engine. Plan and tables are read once, as a
/// page reads them.
fn script(group: &mut BenchmarkGroup<'_, WallTime>, definition: &Definition) {
    let inputs = definition.program.inputs();
    let value = |input: &Input| match input {
        Input::Number(number) => json!(number),
        Input::Text(text) => json!(text),
        Input::Missing => serde_json::Value::Null,
    };
    let all: Vec<serde_json::Value> = cases(definition)
        .iter()
        .map(|given| arguments(definition, given))
        .map(|given| {
            let named = inputs.iter().zip(&given);
            named
                .map(|((name, _), input)| (name.clone(), value(input)))
                .collect()
        })
        .collect();
    let tables: serde_json::Map<String, serde_json::Value> = standards::tables()
        .iter()
        .map(|(name, table)| (name.clone(), table.to_json(|_| true)))
        .collect();
    let text = format!(
        "{}; const plan = {}; const tables = {}; const all = {};
         () => all.map((inputs) => Fettlebook.reckon.run(plan, inputs, tables).steps.length).length",
        include_str!("../../themes/benchsheet/assets/js/reckon-core.js"),
        definition.program.to_json(),
        serde_json::Value::Object(tables),
        serde_json::Value::Array(all),
    );
    let runtime = Runtime::new().expect("an engine");
    let context = Context::full(&runtime).expect("a context");
    context.with(|scope| {
        let run: Function<'_> = scope.eval(text).expect("the script loads");
        group.bench_function("script", |bencher| {
            bencher.iter(|| run.call::<_, usize>(()).expect("an answer"));
        });
    });
}

/// Asks for the example's own first answer again, by the first input with a range.
fn found(group: &mut BenchmarkGroup<'_, WallTime>, definition: &Definition) {
    let given = calculator::example(definition);
    let Ok(sheet) = calculator::run(definition, standards::tables(), &given) else {
        return;
    };
    let number = sheet.outputs.iter().find_map(|output| {
        sheet
            .step(&output.id)?
            .amount()
            .map(|amount| (output, amount))
    });
    let input = definition
        .inputs
        .iter()
        .find(|input| matches!(input.domain, calculator::Domain::Range { .. }));
    let (Some((output, amount)), Some(input)) = (number, input) else {
        return;
    };
    let wanted = amount.shown.written();
    group.bench_function("found", |bencher| {
        bencher.iter(|| {
            let target = (output.id.as_str(), wanted.as_str());
            calculator::backwards(
                definition,
                standards::tables(),
                &given,
                &input.id.value,
                target,
            )
        });
    });
}

fn reckon(criterion: &mut Criterion) {
    for definition in builtin().values() {
        println!("{}: {} cases", definition.id.value, definition.cases.len());
        let mut group = criterion.benchmark_group(&definition.id.value);
        sheet(&mut group, definition);
        plan(&mut group, definition);
        script(&mut group, definition);
        found(&mut group, definition);
        group.finish();
    }
}

criterion_group! {
    name = benches;
    // Thirty calculators, four figures each: half a second of each is over within minutes and settles to a few per cent.
    config = Criterion::default()
        .sample_size(20)
        .warm_up_time(Duration::from_millis(150))
        .measurement_time(Duration::from_millis(500));
    targets = reckon
}
criterion_main!(benches);
