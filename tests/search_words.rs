//! The browser's questions beside the program's: the same stems, terms and synonyms, and nothing that it throws at.
//!
//! The script runs in an embedded engine, as the page would run it, and gets its data as the page does: as text of JSON.

use std::collections::BTreeSet;
use std::path::Path;

use fettlebook::quantity::Unit;
use fettlebook::search::{
    Synonyms, Term, TermKind, mended, scan_question, settled_question, units_json, words_json,
};
use fettlebook::text::stem;
use rquickjs::{Context, Function, Runtime};
use serde_json::{Value as Json, json};

/// What the tests ask of the script.
const HARNESS: &str = r#"
    const { stem, mended, scan, settled, begun } = Fettlebook.findWords;
    const units = JSON.parse(unitsText);
    const words = JSON.parse(wordsText);
    const row = ({ text, kind, from, to }) => [text, kind, from, to];
    const ask = {
        stems: (texts) => texts.map(stem),
        mended: (texts) => texts.map(mended),
        terms: (texts) => texts.map((text) => scan(text, units).map(row)),
        settled: (texts) => texts.map((text) => settled(scan(text, units), words).map(row)),
        begun: (texts) => texts.map((text) => begun(text, words)),
    };
    (what, text) => JSON.stringify(ask[what](JSON.parse(text)))
"#;

/// Letters, endings and signs of which words are made that are hard to stem.
const PIECES: [&str; 64] = [
    "a", "e", "i", "o", "u", "y", "y", "'", "'", "s", "'s", "l", "t", "n", "d", "b", "g", "r", "w",
    "x", "m", "p", "c", "h", "é", "ñ", "ß", "ÿ", "щ", "ﬁ", "𝒳", "ed", "eed", "ing", "ly", "ies",
    "ied", "us", "ss", "at", "bl", "iz", "tt", "pp", "ational", "ization", "fulness", "ogi",
    "ative", "ement", "ion", "ence", "past", "succ", "gener", "inter", "even", "able", "ic", "al",
    "ness", "er", "ll", "ize",
];

/// What questions are made of: digits, joints, units, words, and letters that are more than one when they are small.
const SIGNS: [&str; 112] = [
    "0", "1", "2", "3", "5", "8", "9", "00", "20", "180", "1.25", "1,5", "o", "O", "0", "1", "2",
    " ", " ", " ", " ", " ", " ", "  ", "\t", "\n", "\u{A0}", "\u{202F}", "-", "-", "/", ".", ".",
    ",", "–", "—", "‑", "−", "x", "x", "×", " x ", "·", "°", "%", "½", "²", "³", "\"", "'", "’",
    "″", "′", "a", "b", "c", "d", "m", "n", "s", "t", "x", "j", "nm", "N·m", "Nm", "lb", "ft",
    "lbf", "in", "inch", "feet", "mm", "µm", "μm", "°C", "F", "bar", "psi", "kg", "l", "min",
    "hours", "newton", "meters", "step", "Step", "DC", "rp", "M", "coupling", "nuts", "snap",
    "rings", "the", "it's", "İ", "ı", "ß", "ẞ", "Σ", "ς", "É", "ǅ", "ﬁ", "Ω", "K", "٣", "Ⅷ", "𝒳",
    "𐐀", "\u{202E}",
];

/// Numbers that look random and are the same in every run: the high bits of Knuth's linear congruence.
struct Random(u64);

impl Random {
    fn below(&mut self, count: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as usize % count
    }

    fn text(&mut self, pieces: &[&str], most: usize) -> String {
        let length = 1 + self.below(most);
        (0..length)
            .map(|_| pieces[self.below(pieces.len())])
            .collect()
    }
}

struct Script {
    context: Context,
}

impl Script {
    fn load() -> Script {
        let runtime = Runtime::new().expect("an engine");
        let context = Context::full(&runtime).expect("a context");
        context.with(|scope| {
            let own = include_str!("../themes/benchsheet/assets/js/find-words.js");
            let globals = scope.globals();
            scope
                .eval::<(), _>(own)
                .expect("the script loads without a page");
            let data = [
                ("unitsText", units_json()),
                ("wordsText", words_json(&Synonyms::new([]))),
            ];
            for (name, value) in data {
                globals.set(name, value.to_string()).expect("a global");
            }
            let harness: Function<'_> = scope.eval(HARNESS).expect("the harness loads");
            globals.set("askText", harness).expect("a global");
        });
        Script { context }
    }

    fn ask(&self, what: &str, texts: &[String]) -> Vec<Json> {
        self.context.with(|scope| {
            let function: Function<'_> = scope.globals().get("askText").expect("a function");
            let answer: Result<String, _> = function.call((what, json!(texts).to_string()));
            let text =
                answer.unwrap_or_else(|error| panic!("{what}: {error}: {:?}", scope.catch()));
            serde_json::from_str(&text).expect("rows")
        })
    }

    /// Whether the script says of every text what is expected.
    fn says(&self, what: &str, texts: &[String], expected: impl Fn(&str) -> Json) {
        let found = self.ask(what, texts);
        assert_eq!(found.len(), texts.len());
        for (text, found) in texts.iter().zip(found) {
            assert_eq!(found, expected(text), "{what} of {text:?}");
        }
    }
}

/// Every line of the demo library.
fn demo() -> Vec<String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("content");
    let files = walkdir::WalkDir::new(folder).sort_by_file_name();
    let texts = files.into_iter().filter_map(|entry| {
        let entry = entry.expect("a readable tree");
        let ending = entry.path().extension()?.to_str()?;
        matches!(ending, "md" | "yaml" | "csv")
            .then(|| std::fs::read_to_string(entry.path()).expect("a text"))
    });
    texts
        .flat_map(|text| text.lines().map(str::to_owned).collect::<Vec<_>>())
        .filter(|line| !line.is_empty())
        .collect()
}

/// What readers type in the reference.
fn questions() -> Vec<String> {
    let asked: Vec<Json> =
        serde_yaml::from_str(include_str!("reference/queries.yaml")).expect("questions");
    let text = |asked: &Json| asked["ask"].as_str().expect("a text").to_owned();
    asked.iter().map(text).collect()
}

/// A value in every spelling of every unit.
fn measured() -> Vec<String> {
    let spellings = Unit::all().iter().flat_map(|unit| {
        let own = [unit.symbol(), unit.name(), unit.plural()];
        own.into_iter().chain(unit.spellings().iter().copied())
    });
    let written = |spelling: &str| {
        let typed = spelling.replace("metre", "meter").replace('·', " ");
        [format!("17.5 {spelling} of"), format!("3{typed}.")]
    };
    spellings.flat_map(written).collect()
}

/// What nobody types.
fn hostile() -> Vec<String> {
    let long = [
        "1-", "1 ", "1.", "1,", "a ", "a b ", "x1 ", "1o", "a", "ay", "e'", "0", "'", " ", "1 x ",
        "of 1 ", "step 1-", "9",
    ];
    let mut texts: Vec<String> = long.iter().map(|text| text.repeat(400)).collect();
    texts.extend(texts.clone().iter().map(|text| format!("{text}1mm")));
    texts.extend(texts.clone().iter().map(|text| format!("a{text}x s")));
    let short = [
        "",
        "5 constructor",
        "5 __proto__",
        "hasOwnProperty toString",
        "99999999999999999999 °C",
        "9999999999999999 °F",
        "9223372036854775807 K abs",
        "0 m",
        "0.0000 nm",
        "5 inch 5 inches 5 foot 5 feet",
        "5 lb feet, 5 pound-foot, 5 pounds inch, 5 lbs",
        "5 newtons metre",
        "1.2.3 mm",
        "1,000,000 mm",
        "007 bar",
        "126-140nm",
        "1-1mm²",
        "5.",
        "5 .",
        "5 ″",
        "5 \"",
        "d c 2",
        "d c 23",
        "a b c d 1",
        "180 N m 5 bolts",
        "i'm 20",
        "a's-1",
        "j000",
        "j-00/01",
        "x/.x",
        "\u{0}1\u{0}mm",
        "\u{202E}180 Nm\u{202C}",
        "ΑΣ ΣΑΣ",
        "İSTANBUL 5İ İ5",
    ];
    texts.extend(short.map(str::to_owned));
    texts.extend(["1-", "a", "0", "x1 "].map(|text| text.repeat(6000)));
    texts.push(format!("{} °C", "9".repeat(400)));
    texts.push(format!("{} mm", "9".repeat(400)));
    texts.push(format!("0.{}1 mm", "0".repeat(400)));
    texts
}

/// Random questions.
fn random() -> Vec<String> {
    let mut random = Random(20);
    (0..6000).map(|_| random.text(&SIGNS, 14)).collect()
}

/// Terms as the script tells them: places count units of UTF-16 in the mended text.
fn told(text: &str, terms: &[Term]) -> Json {
    let mended = mended(text);
    let mut places = vec![0; mended.len() + 1];
    let mut at = 0;
    for (byte, letter) in mended.char_indices() {
        places[byte] = at;
        at += letter.len_utf16();
    }
    places[mended.len()] = at;
    let row = |term: &Term| {
        let kind = match term.kind {
            TermKind::Word => "word",
            TermKind::Mark => "mark",
            TermKind::Value => "value",
            TermKind::Number => "number",
        };
        json!([term.text, kind, places[term.span.0], places[term.span.1]])
    };
    terms.iter().map(row).collect()
}

#[test]
fn words_have_the_same_stems() {
    let letter = |c: char| c.is_alphabetic() || c == '\'';
    let mut words: BTreeSet<String> = demo()
        .iter()
        .flat_map(|line| line.split(|c| !letter(c)))
        .map(str::to_lowercase)
        .collect();
    // What the stemmer treats by itself, and roots for every ending.
    let odd = "andes atlas bias cosmos early gently howe idly news only singly skies skis sky ugly past pasted pasting \
        dying lying tying evening evenings outing outings canning inning innings earring herring proceed exceed succeed \
        proceeding exceeded succeeds add adding egg off ebb odd adds cried dies ties tie tied gas this kiwis us bus y yy \
        yes yet say saying youth boyish arsenal arsenic communism emergency generate generic internal lateral organize \
        university universe emergency emergence emergent later lately organic organize vacancy fluency occupancy hesitancy \
        militancy decency analogy analogist a an s 's s' ' '' ''' 's' ''s' x's' ing ed eed";
    words.extend(odd.split_whitespace().map(str::to_owned));
    let mut random = Random(4);
    let roots: Vec<String> = (0..160).map(|_| random.text(&PIECES, 4)).collect();
    let real = "tight fit lubric oper control gener nation hop hope rat rate grip lever torqu weld machin bend past inter \
        univers drift play joy stay sky fly lie die agre fre see ee feel pull ball logi geolog apolog possib sensib cit";
    let roots = roots.iter().map(String::as_str);
    let endings = "s es ed eed ing ings ly edly eedly ingly 's 's' ' y ys ies ied i ion ions tion ation ations ational \
        ization izer ize ized izing ate ated ator ative al ally ality ism ist ic ical icate icity iciti able ably ibility \
        biliti ible ance ence ant ent entli ently ment ement ness fulness fully ful less lessly lessli ous ously ousness \
        ive ively iveness iviti er ers est e es ogist ogi li bli us ss sses ancy ency anci enci yed ying yly tt tted tting izeds";
    for root in roots.chain(real.split_whitespace()) {
        words.extend(
            endings
                .split_whitespace()
                .map(|ending| format!("{root}{ending}")),
        );
    }
    words.extend((0..15_000).map(|_| random.text(&PIECES, 6)));
    assert!(words.len() > 25_000, "{}", words.len());
    let words: Vec<String> = words.into_iter().collect();
    Script::load().says("stems", &words, |word| json!(stem(word)));
}

#[test]
fn questions_have_the_same_terms() {
    let script = Script::load();
    for texts in [questions(), demo(), measured(), random(), hostile()] {
        script.says("mended", &texts, |text| json!(mended(text)));
        script.says("terms", &texts, |text| told(text, &scan_question(text)));
    }
}

#[test]
fn questions_have_the_same_terms_for_the_index() {
    let script = Script::load();
    let synonyms = &Synonyms::new([]);
    let mut texts = questions();
    let spellings = words_json(synonyms);
    let rows = spellings["synonyms"].as_array().expect("synonyms");
    texts.extend(
        rows.iter()
            .map(|row| format!("the {} of {}", row[0], row[1])),
    );
    texts.extend(demo().into_iter().step_by(3));
    texts.extend(random().into_iter().take(1000));
    let settled = |text: &str| told(text, &settled_question(text, synonyms));
    script.says("settled", &texts, settled);
    let begins: BTreeSet<String> = rows
        .iter()
        .flat_map(|row| {
            let spelling = row[0].as_str().expect("a spelling");
            (0..=spelling.len()).filter_map(|end| spelling.get(..end).map(str::to_owned))
        })
        .collect();
    let begins: Vec<String> = begins.into_iter().collect();
    script.says("begun", &begins, |text| json!(synonyms.begun(text)));
    assert!(begins.iter().any(|text| !synonyms.begun(text).is_empty()));
}

/// Halves of letters reach a script from a paste, but never the program.
#[test]
fn halves_of_letters_are_no_letters() {
    let script = Script::load();
    let found: String = script.context.with(|scope| {
        let text = r#"
            const halves = ["\ud83d", "\udd27", "\ud835x", "x\udcb3"];
            const texts = halves.flatMap((half) => [half, half + "5 mm" + half, "a" + half + "b 1", "d c " + half, half.repeat(5000)]);
            texts.forEach(stem);
            JSON.stringify(texts.map((text) => scan(text, units).map((term) => term.text)).slice(0, 2))
        "#;
        scope.eval(text).expect("nothing is thrown")
    });
    assert_eq!(found, r#"[[],["=length:-530","5"]]"#);
}
