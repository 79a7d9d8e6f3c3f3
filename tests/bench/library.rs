//! Invented libraries of any size for the benches, the same ones in every run.
//!
//! Text grows its vocabulary as real text does: common words come from sentence frames, and every page names places,
//! machines and owners out of 30,000 made-up words, of which few are common and most are rare. Part names are nouns with
//! qualifiers, so that many parts share each of their words.
#![allow(
    dead_code,
    reason = "every bench is compiled with all of this and uses some"
)]

use std::path::Path;

use rayon::prelude::*;

const NOUNS: [&str; 60] = [
    "nut", "bolt", "screw", "stud", "washer", "pin", "key", "hub", "coupling", "flange", "shaft",
    "sleeve", "bush", "bearing", "seal", "gasket", "ring", "collar", "spacer", "shim", "gear",
    "pinion", "sprocket", "chain", "belt", "pulley", "wheel", "rim", "lever", "link", "rod",
    "yoke", "fork", "crank", "piston", "liner", "valve", "spring", "guide", "rocker", "cover",
    "housing", "casing", "bracket", "clamp", "plate", "strap", "hose", "pipe", "union", "elbow",
    "plug", "filter", "pump", "impeller", "tank", "cap", "switch", "lamp", "handle",
];
const QUALIFIERS: [&str; 40] = [
    "splined",
    "slotted",
    "tapered",
    "plain",
    "outer",
    "inner",
    "upper",
    "lower",
    "front",
    "after",
    "left-hand",
    "right-hand",
    "long",
    "short",
    "hardened",
    "stainless",
    "bronze",
    "brass",
    "cast",
    "forged",
    "idler",
    "drive",
    "thrust",
    "journal",
    "exhaust",
    "inlet",
    "oil",
    "fuel",
    "water",
    "brake",
    "clutch",
    "steering",
    "winch",
    "stern",
    "main",
    "pilot",
    "locking",
    "adjusting",
    "retaining",
    "double",
];
const WORKS: [&str; 16] = [
    "Fit", "Renew", "Draw", "Check", "Adjust", "Overhaul", "Clean", "Refit", "Balance", "Line up",
    "Strip", "Grease", "Measure", "Test", "Bed in", "Tighten",
];
const TOOLS: [&str; 12] = [
    "torque wrench",
    "socket",
    "puller",
    "feeler gauge",
    "micrometer",
    "bore gauge",
    "dial gauge",
    "drift",
    "vice",
    "scraper",
    "reamer",
    "hoist",
];
/// Sentences of steps. `{part}` and `{other}` are links to parts, `{tool}` one to a tool, `{a}` to `{c}` are figures,
/// `{place}` and `{maker}` rare words, `{q}` a qualifier and `{n}` a noun.
const STEPS: [&str; 28] = [
    "Clean the {n} with a lint-free rag and look at the faces in a good light. Any score that a fingernail feels is too deep.",
    "Take the {tool} and slacken the {q} {n} half a turn at a time, opposite ones in turn.",
    "Offer {part} up to the {n} and push it on by hand, squarely, until the shoulder is met.",
    "Tighten to {a} in two stages. If it will not come up to the figure, stop: the thread has stretched.",
    "Measure the gap in four places with the {tool}. It must be {b} all round.",
    "Turn the shaft by hand through two whole turns and listen. A click at the same place each time is the {q} {n}.",
    "Drive out the old {n} from the far side with the {tool}, a little at each end so that it does not cock.",
    "Put a smear of grease on the lip of {other} and ease it over the {q} edge with a thumb.",
    "The {maker} pattern has the mark on the after face; bring it in line with the centre pop on the {n}.",
    "Mark both halves before you part them, since the {place} casting was drilled as a pair.",
    "Hold the {q} {n} in the vice with soft jaws and file off no more than the burr.",
    "Fill with clean oil to the level plug, wait for it to settle, and fill again.",
    "Fit a new {other} every time: the old one has taken its set and will weep within a week.",
    "Warm the {n} in the oven until water dances on it, then drop it over the shaft in one movement.",
    "Bring the {tool} to bear on the {q} side, so that the pull is in line and nothing bends.",
    "Knock the tab over one flat only. Two make it crack at the bend.",
    "Check the end float with the dial gauge. It is {c}; less than that runs hot by {place}.",
    "Write the reading on the sheet beside the last one, so that wear shows before it matters.",
    "Slide the {q} {n} back along the shaft and support it; its weight must not hang on {part}.",
    "Tap round the edge with a wooden mallet until it rings solid instead of dull.",
    "If {part} came from the {maker} works, the chamfer is on one side only and goes towards the {n}.",
    "Blow the drillings through with dry air and cover them at once.",
    "Screw the adjuster in until the {n} just drags, then back off to {b} and lock it.",
    "Tighten {other} to {a}, then go round once more in the same order without letting it turn.",
    "Run for ten minutes without load. Feel the {q} housing by hand: warm is right, too hot to hold is not.",
    "Look for bright metal in the old oil. Flakes mean the {n} is breaking up and must come out today.",
    "Leave the guard off only for as long as it takes to see the {place} mark come round.",
    "Count the shims from each side separately and keep them on a wire with a label.",
];
/// Sentences of explanations.
const REASONS: [&str; 14] = [
    "The {n} clamps the {q} face against the shoulder, and the shoulder carries what the thread must not.",
    "In the {place} yard this was once done with a hammer, and the {n} lasted a season.",
    "A {maker} machine has a finer thread here and feels tight long before it is.",
    "Heat grows the bore by more than the fit takes up, which is why nothing has to be forced.",
    "What wears first is the {q} side, because the load never turns round.",
    "Paint under the {n} settles in the first hour and takes the clamp with it.",
    "Old drawings from {place} give a wider gap; they were made for felt and not for rubber.",
    "The oil film carries the load only when the shaft turns, so starting is what wears the {n}.",
    "A figure for a dry thread is no figure for an oiled one.",
    "Water that stands behind the {q} {n} freezes and breaks the casting.",
    "Owner {maker} of {place} found the crack by the rust that bled from it.",
    "Two turns by hand cost a minute, and a bent {n} costs the winter.",
    "The {q} bearing takes the thrust; the other only keeps the shaft in line.",
    "The makers {maker} and {place} agreed on the size but not on the limits.",
];
/// Torques that suit a thread.
const THREADS: [(&str, usize, usize, usize); 6] = [
    ("M6", 7, 4, 1),
    ("M8", 18, 8, 2),
    ("M10", 35, 15, 3),
    ("M12", 65, 25, 5),
    ("M16", 150, 60, 10),
    ("M20x1.5", 20, 180, 5),
];
const MACHINES: [&str; 4] = ["launch", "tug", "barge", "pinnace"];
const CONDITIONS: [&str; 3] = ["oiled", "dry", "threadlocked"];

/// The rare words.
pub const RARE_WORDS: usize = 30_000;

/// The same numbers in every run (a linear congruential generator with Knuth's MMIX constants).
pub struct Random(u64);

impl Random {
    /// Numbers of their own for each seed.
    pub fn new(seed: u64) -> Random {
        let mut random = Random(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 20_261_127);
        random.below(2);
        random
    }

    /// A number below a limit.
    pub fn below(&mut self, limit: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as usize % limit
    }

    /// One of several.
    pub fn of<'t, T>(&mut self, several: &'t [T]) -> &'t T {
        &several[self.below(several.len())]
    }

    /// A rare word: of rank n about 1/n as often as of the first rank (Zipf).
    fn rare(&mut self) -> String {
        let place = self.below(1 << 24) as f64 / f64::from(1 << 24);
        rare_word(((RARE_WORDS as f64).powf(place) as usize).min(RARE_WORDS) - 1)
    }
}

/// The rare word of a rank, made of three syllables; each rank has its own.
fn rare_word(rank: usize) -> String {
    const STARTS: [&str; 20] = [
        "b", "br", "c", "d", "dr", "f", "g", "gr", "h", "k", "l", "m", "n", "p", "r", "s", "st",
        "t", "v", "w",
    ];
    const ENDS: [&str; 20] = [
        "a", "ad", "al", "an", "ar", "ax", "e", "eb", "el", "en", "i", "il", "ir", "o", "ol", "om",
        "or", "u", "ul", "um",
    ];
    let syllables = STARTS.len() * ENDS.len();
    // 7,919 is a prime that divides no number of syllables, so no word comes twice.
    let mut number = (rank + 1) * 7_919 * 7_907 % (syllables * syllables * STARTS.len());
    let mut word = String::new();
    for _ in 0..2 {
        word.push_str(STARTS[number % STARTS.len()]);
        word.push_str(ENDS[number / STARTS.len() % ENDS.len()]);
        number /= syllables;
    }
    word + STARTS[number % STARTS.len()] + "ay"
}

/// How many parts a library of so many pages has.
pub fn parts(pages: usize) -> usize {
    (pages / 2).clamp(400, 20_000)
}

/// A part's noun and qualifier; after all pairs have been used, a maker's name tells the next ones apart.
fn part_name(number: usize) -> String {
    let pair = number * 1_009 % (NOUNS.len() * QUALIFIERS.len());
    let (noun, qualifier) = (NOUNS[pair % NOUNS.len()], QUALIFIERS[pair / NOUNS.len()]);
    match number / (NOUNS.len() * QUALIFIERS.len()) {
        0 => format!("{qualifier} {noun}"),
        round => {
            let maker = capital(&rare_word(number * round % RARE_WORDS));
            format!("{maker} {qualifier} {noun}")
        }
    }
}

/// A part's number: two letters of its group, and a running number.
fn part_number(number: usize) -> String {
    let letters = b"ABCDEFGHKLMNPRSTVW";
    let first = char::from(letters[number % 7]);
    let second = char::from(letters[number / 7 % letters.len()]);
    format!("{first}{second}-{number:04}")
}

fn capital(word: &str) -> String {
    let (first, rest) = word.split_at(1);
    first.to_uppercase() + rest
}

/// Writes a library of so many jobs.
pub fn write(folder: &Path, pages: usize) {
    std::fs::create_dir_all(folder.join("jobs")).expect("a folder");
    let put = |name: &str, text: String| std::fs::write(folder.join(name), text).expect("a file");
    let choice = |id: &&str| format!("{{id: {id}, name: {}}}", capital(id));
    let choices: Vec<String> = MACHINES.iter().map(choice).collect();
    put(
        "library.yaml",
        format!(
            "title: A large library\nworkshop: The bench\ndate: 2026-11-02\nvariants:\n  - {{id: vessel, name: Vessel, choices: [{}]}}\nsources: [{{id: bench, name: Our bench, kind: measured}}]\n",
            choices.join(", ")
        ),
    );
    put("parts.yaml", (0..parts(pages)).map(part).collect());
    put("tools.yaml", (0..60).map(tool).collect());
    put(
        "notices.yaml",
        "- {id: hot, signal: warning, title: Hot ring, hazard: The ring is hot., consequence: It burns., avoidance: Wear gloves.}\n".to_owned(),
    );
    (0..pages).into_par_iter().for_each(|page| {
        let (name, text) = job(page, parts(pages));
        put(&format!("jobs/{name}.md"), text);
    });
}

fn part(number: usize) -> String {
    let mut random = Random::new(number as u64 + 0x5000_0000);
    let machines = match number % 3 {
        0 => format!(", for: [{}]", MACHINES[number / 3 % 4]),
        _ => String::new(),
    };
    format!(
        "- {{number: {}, name: {}, also: [{} {}], what: \"Made by {} of {}, {}.\"{machines}}}\n",
        part_number(number),
        part_name(number),
        random.of(&QUALIFIERS),
        random.of(&NOUNS),
        capital(&random.rare()),
        capital(&random.rare()),
        random.of(&["steel", "bronze", "cast iron", "rubber", "brass"]),
    )
}

fn tool(number: usize) -> String {
    let (kind, size) = (TOOLS[number % TOOLS.len()], 6 + number / TOOLS.len() * 4);
    format!("- {{id: tool-{number}, name: {kind} {size} mm}}\n")
}

/// What a job speaks of.
struct Job {
    page: usize,
    part: usize,
    other: usize,
    tool: usize,
    random: Random,
}

impl Job {
    /// A frame with words in its places.
    fn filled(&mut self, frame: &str) -> String {
        let mut text = frame.to_owned();
        for place in ["{n}", "{q}", "{place}", "{maker}"] {
            while text.contains(place) {
                let word = match place {
                    "{n}" => (*self.random.of(&NOUNS)).to_owned(),
                    "{q}" => (*self.random.of(&QUALIFIERS)).to_owned(),
                    _ => capital(&self.random.rare()),
                };
                text = text.replacen(place, &word, 1);
            }
        }
        let tool = format!(
            "[{}](tool:tool-{})",
            TOOLS[self.tool % TOOLS.len()],
            self.tool
        );
        let torque = self.random.of(&["[](torque:one)", "[](torque:two)"]);
        text.replace("{part}", &format!("[](part:{})", part_number(self.part)))
            .replace("{other}", &format!("[](part:{})", part_number(self.other)))
            .replace("{tool}", &tool)
            .replace("{a}", torque)
            .replace("{b}", "[](setting:gap)")
            .replace("{c}", "[](setting:float)")
    }

    fn front(&mut self, title: &str) -> String {
        let (part, other) = (part_number(self.part), part_number(self.other));
        let Job {
            page, tool, random, ..
        } = self;
        let machines = match *page % 4 {
            0 => format!(
                "for: [{}, {}]\n",
                MACHINES[*page / 4 % 4],
                MACHINES[(*page / 4 + 1) % 4]
            ),
            _ => String::new(),
        };
        let mut torque = || {
            let (thread, least, span, play) = *random.of(&THREADS);
            let torque = least + random.below(span);
            let condition = random.of(&CONDITIONS);
            format!(
                "thread: {thread}, torque: {torque} N·m ± {play} N·m, condition: {condition}, source: bench, checked: 2026-03-14"
            )
        };
        let (one, two) = (torque(), torque());
        let mut noun = || format!("{} {}", random.of(&QUALIFIERS), random.of(&NOUNS));
        let (one_of, two_of, gap_of, float_of) = (noun(), noun(), noun(), noun());
        let (gap, float) = (5 + random.below(60), 10 + random.below(90));
        let (heat, owner) = (60 + random.below(140), capital(&random.rare()));
        format!(
            "---\nnumber: J-{page:05}\nissue: 1\ntitle: {title}\nkind: job\nsummary: For the {owner} and its sisters, with the {one_of} still in place.\n{machines}work: repair\ntime: 2 h\npeople: 1\nparts: [{{part: {part}, qty: 2}}, {{part: {other}, qty: 1}}]\ntools: [tool-{tool}]\nnotices: [hot]\ntorques:\n  - {{id: one, part: {part}, name: {one_of}, {one}}}\n  - {{id: two, part: {other}, name: {two_of}, {two}}}\nsettings:\n  - {{id: gap, of: gap at the {gap_of}, value: 0.{gap:02} mm ± 0.02 mm, source: bench, checked: 2026-03-14, box: true}}\n  - {{id: float, of: end float of the {float_of}, value: 0.{float:02} mm ± 0.05 mm, source: bench, checked: 2026-03-14}}\n  - {{id: heat, of: oven for the {gap_of}, value: {heat} °C ± 5 °C, source: bench, checked: 2026-03-14}}\n---\n"
        )
    }
}

/// A job's file name and text: two torques, three settings, parts, a tool, eight to fourteen steps and what lies behind.
fn job(page: usize, parts: usize) -> (String, String) {
    let mut random = Random::new(page as u64);
    let part = random.below(parts);
    let other = (part + 1 + random.below(parts - 1)) % parts;
    let work = *random.of(&WORKS);
    let where_to = capital(&random.rare());
    let mut job = Job {
        page,
        part,
        other,
        tool: random.below(60),
        random,
    };
    let title = format!("{work} the {} of the {where_to}", part_name(part));
    let mut text = job.front(&title);
    let intro: Vec<String> = (0..2).map(|_| reason(&mut job)).collect();
    text.push_str(&format!("{}\n\n## Steps\n\n", intro.join(" ")));
    let last = 9 + job.random.below(7);
    for number in 1..last {
        let frame = *job.random.of(&STEPS);
        text.push_str(&format!("{number}. {}\n", job.filled(frame)));
    }
    // Every figure is met in some row.
    let frame = "Go round the {n} once more at [](torque:one) and the {q} one at [](torque:two), the gap at {b}, the float at {c}, the oven at [](setting:heat).";
    text.push_str(&format!("{last}. {}\n", job.filled(frame)));
    text.push_str("\n## Why\n\n");
    let why: Vec<String> = (0..8).map(|_| reason(&mut job)).collect();
    text.push_str(&why.join(" "));
    text.push('\n');
    let name = format!("{work} {}-{page:05}", part_name(part));
    let name = name.to_lowercase().replace(' ', "-");
    (name, text)
}

fn reason(job: &mut Job) -> String {
    let frame = *job.random.of(&REASONS);
    job.filled(frame)
}
