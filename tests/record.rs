//! Measured records as files, and verdicts, in an embedded engine: random records there and back by JSON and CSV without
//! a difference, files that are none, published check sums, and the decision rule at its edges.

use std::cell::RefCell;

use fettlebook::quantity::units_json;
use proptest::prelude::*;
use proptest::test_runner::{Config, TestRunner};
use rquickjs::{Context, Function, Runtime};
use serde_json::{Value, json};

/// What the tests ask of the scripts, as JSON there and back.
const HARNESS: &str = r#"
    const F = Fettlebook.recordFile;
    const { judge, between } = Fettlebook.judge;
    const fields = (shape, of) => Object.fromEntries(Object.entries(shape).map(([name, own]) =>
        [name, own === "" ? of() : Array.from({ length: Number(of.count()) }, () => fields(own[0], of))]));
    const ask = {
        judge: ([typed, box, uncertainty]) => judge(typed, box, uncertainty),
        between: ([hole, shaft, unit]) => between(hole, shaft, unit),
        sha256: (text) => F.sha256(text),
        read: (text) => F.read(text),
        name: ([given, ending]) => F.fileName(Object.assign(F.empty(), given), ending),
        json: (given) => F.toJson(Object.assign(F.empty(), given)),
        csv: (given) => F.toCsv(Object.assign(F.empty(), given)),
        // A record made of the texts in turn, and what comes back of it: [the record, by JSON, by CSV].
        both: ([texts, counts]) => {
            let [text, count] = [0, 0];
            const of = () => texts[text++ % texts.length];
            of.count = () => counts[count++ % counts.length];
            const record = fields(F.SHAPE, of);
            return [record, F.read(F.toJson(record)), F.read(F.toCsv(record)), F.toCsv(record)];
        },
    };
    (what, text) => JSON.stringify(ask[what](JSON.parse(text)))
"#;

struct Script {
    context: Context,
}

impl Script {
    fn load() -> Script {
        let runtime = Runtime::new().expect("an engine");
        let context = Context::full(&runtime).expect("a context");
        context.with(|scope| {
            let units = format!("globalThis.Fettlebook = {{ units: {} }};", units_json());
            let parts = [
                units.as_str(),
                include_str!("../themes/benchsheet/assets/js/reckon-core.js"),
                include_str!("../themes/benchsheet/assets/js/record-judge.js"),
                include_str!("../themes/benchsheet/assets/js/record-file.js"),
            ];
            // The core leaves alone what is there.
            for part in parts {
                scope
                    .eval::<(), _>(part)
                    .expect("the script loads without a page");
            }
            let harness: Function<'_> = scope.eval(HARNESS).expect("the harness loads");
            scope.globals().set("askText", harness).expect("a global");
        });
        Script { context }
    }

    fn ask(&self, what: &str, of: &Value) -> Value {
        self.context.with(|scope| {
            let function: Function<'_> = scope.globals().get("askText").expect("a function");
            let answer: Result<String, _> = function.call((what, of.to_string()));
            let text =
                answer.unwrap_or_else(|error| panic!("{what}: {error}: {:?}", scope.catch()));
            serde_json::from_str(&text).expect("JSON")
        })
    }

    /// The verdict on a typed value: `[verdict, words]`.
    fn verdict(&self, typed: &str, limits: (&str, &str), uncertainty: &str) -> (String, String) {
        let found = self.judge(typed, limits, uncertainty);
        let text = |name: &str| found[name].as_str().unwrap_or("").to_owned();
        (text("verdict"), text("says"))
    }

    fn judge(&self, typed: &str, (lower, upper): (&str, &str), uncertainty: &str) -> Value {
        let stated = format!("{lower}–{upper}");
        let limits = json!({"lower": lower, "upper": upper, "unit": "mm", "stated": stated});
        self.ask("judge", &json!([typed, limits, uncertainty]))
    }
}

/// Text as people type it, and as they should not: any letter, quotes, line ends, what a spreadsheet takes for a formula.
fn text() -> impl Strategy<Value = String> {
    let beginning = prop::sample::select(vec![
        "",
        "",
        "=",
        "+",
        "-",
        "@",
        "'",
        "''",
        "'=",
        "\t",
        "\r",
        "\n",
        "\"",
        ",",
        " ",
        "\u{FEFF}",
        "＝",
        "-0.05",
        "17,43",
        "=cmd|' /C calc'!A0",
    ]);
    let middle = prop::collection::vec(
        prop_oneof![
            3 => any::<char>(),
            2 => prop::sample::select(vec!['"', ',', '\n', '\r', '\'', ';', '\t', ' ', '\0', '=']),
            3 => prop::char::range('a', 'z'),
        ],
        0..12,
    );
    (beginning, middle).prop_map(|(beginning, middle)| {
        beginning.to_owned() + &middle.into_iter().collect::<String>()
    })
}

#[test]
fn records_come_back_from_both_kinds_of_file_as_they_were() {
    let script = Script::load();
    let seen = RefCell::new((0_u32, 0_u32));
    let strategy = (
        prop::collection::vec(text(), 1..30),
        prop::collection::vec(0_u8..3, 1..8),
    );
    let mut runner = TestRunner::new(Config::with_cases(2_000));
    let outcome = runner.run(&strategy, |(texts, counts)| {
        let found = script.ask("both", &json!([texts, counts]));
        for (of, kind) in [(1, "JSON"), (2, "CSV")] {
            prop_assert_eq!(&found[of]["record"], &found[0], "{}: {}", kind, &found[of]);
            prop_assert_eq!(&found[of]["changed"], &json!(false), "{}", kind);
        }
        let csv = found[3].as_str().expect("a text");
        let mut reader = csv::ReaderBuilder::new()
            .flexible(true)
            .from_reader(csv.trim_start_matches('\u{FEFF}').as_bytes());
        let head = reader.headers().expect("a head").len();
        for row in reader.records() {
            // Another's reader of CSV finds the same number of cells in every row, and none begins like a formula.
            let row = row.expect("a row");
            prop_assert_eq!(row.len(), head);
            let mut seen = seen.borrow_mut();
            for cell in &row {
                seen.0 += 1;
                let number = cell.trim_start_matches(['+', '-']).replace(',', ".");
                let is_number = number.parse::<f64>().is_ok();
                prop_assert!(
                    is_number || !cell.starts_with(['=', '+', '-', '@']),
                    "{}",
                    cell
                );
                seen.1 += u32::from(cell.starts_with('\''));
            }
        }
        Ok(())
    });
    if let Err(failure) = outcome {
        panic!("{failure}");
    }
    let (cells, guarded) = seen.into_inner();
    assert!(cells > 100_000 && guarded > 10_000, "{cells} {guarded}");
}

#[test]
fn one_changed_letter_of_a_file_is_noticed() {
    let script = Script::load();
    let given = json!({"id": "a", "fitter": "A. Fitter", "mark": "S-01/2", "serials": [{"key": "hull", "text": "S16-0147"}]});
    for kind in ["json", "csv"] {
        let file = script.ask(kind, &given);
        let file = file.as_str().expect("a text");
        assert_eq!(script.ask("read", &json!(file))["changed"], json!(false));
        let forged = file.replace("A. Fitter", "B. Fitter");
        assert_ne!(forged, file);
        assert_eq!(
            script.ask("read", &json!(forged))["changed"],
            json!(true),
            "{kind}"
        );
    }
}

#[test]
fn what_is_wrong_with_a_file_is_said() {
    let script = Script::load();
    let whole = script.ask("json", &json!({"id": "a"}));
    let whole = whole.as_str().expect("a text");
    let table = script.ask("csv", &json!({"id": "a"}));
    let table = table.as_str().expect("a text");
    let cases = [
        (String::new(), "no column kind"),
        ("{".to_owned(), "cannot be read as JSON"),
        ("{}".to_owned(), "is not a measured record"),
        ("[1]".to_owned(), "is not a measured record"),
        ("null".to_owned(), "no column kind"),
        (
            "{\"format\": \"fettlebook-record\", \"version\": 9}".to_owned(),
            "version 9",
        ),
        (
            whole.replace("\"id\": \"a\",", ""),
            "the record lacks the field id",
        ),
        (
            whole.replace("\"id\": \"a\"", "\"id\": 7"),
            "id must be a text",
        ),
        (
            whole.replace("\"lines\": []", "\"lines\": {}"),
            "lines must be a list",
        ),
        (
            whole.replace("\"lines\": []", "\"lines\": [{}]"),
            "lines 1 lacks the field key",
        ),
        (
            whole.replace("\"id\":", "\"spare\": \"\", \"id\":"),
            "not known: spare",
        ),
        ("name,value\r\na,b\r\n".to_owned(), "no column kind"),
        (table.replace("field,a,id", "field,a,it"), "not known: it"),
        (
            table.replace("field,a,id", "shelf,a,id"),
            "kind that is not known: shelf",
        ),
        (table.replace("field,a,id", "field,a"), "has "),
        (table.replace("field,a,id", "field,\"a,id"), "is not closed"),
        (table.replace("format,1,", "format,2,"), "of version 1"),
    ];
    for (file, words) in cases {
        let found = script.ask("read", &json!(file));
        let said = found["wrong"].as_str().unwrap_or("nothing");
        assert!(said.contains(words), "{words}: {said}");
    }
}

/// FIPS 180-4's examples, as NIST publishes them with the standard, and the SHA-256 of nothing.
#[test]
fn check_sums_are_those_of_the_standard() {
    let script = Script::load();
    let cases = [
        (
            "abc",
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad",
        ),
        (
            "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
            "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
        ),
        (
            "",
            "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
        ),
    ];
    for (text, sum) in cases {
        assert_eq!(script.ask("sha256", &json!(text)), json!(sum));
    }
    let million = "a".repeat(1_000_000);
    assert_eq!(
        script.ask("sha256", &json!(million)),
        json!("cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0")
    );
}

#[test]
fn files_are_named_by_hull_and_date() {
    let script = Script::load();
    let given = json!({"date": "2026-11-27", "mark": "S-01/2", "serials": [{"key": "hull", "text": "S16-0147"}]});
    assert_eq!(
        script.ask("name", &json!([given, "json"])),
        json!("S16-0147-2026-11-27-S-01-2.json")
    );
    let hostile = json!({"date": "../..", "mark": "a/b:c", "serials": []});
    assert_eq!(
        script.ask("name", &json!([hostile, "csv"])),
        json!("a-b-c.csv")
    );
}

#[test]
fn a_fitter_s_ways_of_typing_are_judged() {
    let script = Script::load();
    let limits = ("17.4", "17.6");
    let cases = [
        ("17.43", "inside", "0.03 to spare"),
        ("17,43", "inside", "0.03 to spare"),
        ("17,432", "inside", "0.032 to spare"),
        ("17.40", "inside", "inside, on the limit"),
        ("17.6", "inside", "inside, on the limit"),
        ("17.39", "outside", "0.01 too small"),
        ("17.61", "outside", "0.01 too large"),
        ("17.3999999", "outside", "too small"),
        ("0.687 in", "inside", "0.05 to spare"),
        ("1743 mm", "outside", "too large"),
        ("1743", "", ""),
        ("17.43 N·m", "", ""),
        ("17.4 to 17.5", "", ""),
        ("", "", ""),
    ];
    for (typed, verdict, words) in cases {
        let (found, says) = script.verdict(typed, limits, "");
        assert_eq!(found, verdict, "{typed}: {says}");
        assert!(says.contains(words), "{typed}: {says}");
    }
    let meant = |typed: &str| script.judge(typed, limits, "")["meant"].clone();
    assert_eq!(meant("1743"), json!("17.43"));
    assert_eq!(meant("1800"), Value::Null);
    assert_eq!(
        script.judge("0.687 in", limits, "")["reading"],
        json!("17.45\u{A0}mm")
    );
}

/// ISO 14253-1: conformity is proved inside the limits less U, non-conformity beyond the limits by more than U.
#[test]
fn uncertainty_moves_the_edges_by_exactly_itself() {
    let script = Script::load();
    for lower in 0..40_i64 {
        let limits = (format!("17.{:03}", 300 + lower), "17.700".to_owned());
        let limits = (limits.0.as_str(), limits.1.as_str());
        for off in -40..=40_i64 {
            let thousandths = 17_300 + lower + off;
            let typed = format!("{}.{:03}", thousandths / 1000, thousandths % 1000);
            let (found, says) = script.verdict(&typed, limits, "15 µm");
            let wanted = match off {
                15.. => "inside",
                -15.. => "edge",
                _ => "outside",
            };
            assert_eq!(found, wanted, "{typed} of {limits:?}: {says}");
            let (plain, says) = script.verdict(&typed, limits, "");
            let wanted = if off < 0 { "outside" } else { "inside" };
            assert_eq!(plain, wanted, "{typed} of {limits:?}: {says}");
        }
    }
    assert_eq!(script.verdict("17.5", ("17.4", "17.6"), "0.2").0, "edge");
    assert_eq!(script.verdict("17.5 ± 0.2", ("17.4", "17.6"), "").0, "edge");
    assert_eq!(script.verdict("0.09", ("", "0.10"), "0.01").0, "inside");
    assert_eq!(script.verdict("0.091", ("", "0.10"), "0.01").0, "edge");
    assert!(script.judge("0.09", ("", "0.10"), "2 N·m")["wrong"].is_string());
}

#[test]
fn two_sides_of_a_fit_are_told_apart() {
    let script = Script::load();
    let cases = [
        ("28.006", "28.009", "3\u{A0}µm tight"),
        ("60.012", "60.061", "49\u{A0}µm tight"),
        ("25.010", "24.990", "20\u{A0}µm clear"),
    ];
    for (hole, shaft, words) in cases {
        assert_eq!(
            script.ask("between", &json!([hole, shaft, "mm"])),
            json!(words)
        );
    }
}
