//! Caption files made at random, always the same: as the standard has them, and as careless programs write them.

/// A small generator of numbers, the same in every run.
pub struct Chance(u64);

impl Chance {
    pub fn new(seed: u64) -> Chance {
        Chance(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }

    /// A number below `most`.
    pub fn below(&mut self, most: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from((self.0 >> 11) % most as u64).expect("small")
    }

    /// Once in `times`.
    pub fn once_in(&mut self, times: usize) -> bool {
        self.below(times) == 0
    }

    fn of<'t>(&mut self, list: &[&'t str]) -> &'t str {
        list[self.below(list.len())]
    }
}

/// One file, twice.
pub struct Pair {
    /// As the standard has it.
    pub standard: String,
    /// As a program may write it.
    pub odd: String,
    /// The ending of the odd one.
    pub ending: &'static str,
}

const WORDS: [&str; 34] = [
    "right",
    "so",
    "the",
    "nut",
    "goes",
    "up",
    "to",
    "180",
    "newton",
    "metres",
    "<i>oiled</i>",
    "&amp;",
    "&lt;3&gt;",
    "<c.loud.red>now</c>",
    "<00:00:01.500>",
    "½",
    "mm,",
    "ten",
    "thou.",
    "<v Ann>",
    "</v>",
    "<b",
    "a > b",
    "&eacute;",
    "&nbsp;",
    "<lang en>",
    "</lang>",
    "&unknown;",
    "&#956;m",
    "<ruby>x<rt>y</rt></ruby>",
    "{ring}",
    "水",
    "<>",
    "-",
];

const SETTINGS: [&str; 6] = [
    "",
    " align:start position:0%",
    " line:-1",
    " region:fred\tsize:50%",
    " vertical:rl",
    " nonsense",
];

/// A cue before it is written.
struct Made {
    start: usize,
    end: usize,
    lines: Vec<String>,
    settings: &'static str,
}

fn made(chance: &mut Chance) -> Vec<Made> {
    let mut at = chance.below(4_000_000);
    let count = 1 + chance.below(40);
    let cue = |_| {
        at += chance.below(6_000);
        let back = chance.once_in(25);
        let start = if back { at.saturating_sub(9_000) } else { at };
        let end = match chance.below(20) {
            0 => start.saturating_sub(500),
            1 => start,
            2 => start + 20_000,
            _ => start + 200 + chance.below(5_000),
        };
        let lines = (0..chance.below(4)).map(|_| {
            let words: Vec<&str> = (0..1 + chance.below(7))
                .map(|_| chance.of(&WORDS))
                .collect();
            words.join(" ")
        });
        let lines: Vec<String> = lines.collect();
        let settings = SETTINGS[chance.below(SETTINGS.len())];
        Made {
            start,
            end,
            lines,
            settings,
        }
    };
    (0..count).map(cue).collect()
}

/// How a program writes.
struct Dress {
    srt: bool,
    comma: bool,
    short: bool,
    run_on: bool,
    numbered: bool,
    unsigned: bool,
    ending: &'static str,
    mark: bool,
    blocks: bool,
}

fn stamp(time: usize, dress: &Dress) -> String {
    let (hours, minutes, seconds) = (time / 3_600_000, time / 60_000 % 60, time / 1000 % 60);
    let sign = if dress.comma { ',' } else { '.' };
    let parts = time % 1000;
    match dress.short {
        true if parts == 0 => format!("{hours}:{minutes:02}:{seconds:02}"),
        true => format!("{hours}:{minutes}:{seconds:02}{sign}{parts:03}"),
        false if hours == 0 && !dress.srt => format!("{minutes:02}:{seconds:02}{sign}{parts:03}"),
        false => format!("{hours:02}:{minutes:02}:{seconds:02}{sign}{parts:03}"),
    }
}

fn written(cues: &[Made], dress: &Dress) -> String {
    let mut lines: Vec<String> = Vec::new();
    if !dress.srt && !dress.unsigned {
        lines.extend(["WEBVTT - made up".to_owned(), String::new()]);
    }
    if dress.blocks {
        let blocks = "NOTE no cue\nof any kind\n\nSTYLE\n::cue { color: red }\n\nREGION\nid:fred\n";
        lines.extend(blocks.split('\n').map(str::to_owned));
    }
    for (number, cue) in cues.iter().enumerate() {
        if dress.numbered {
            lines.push((number + 1).to_string());
        }
        let (start, end) = (stamp(cue.start, dress), stamp(cue.end, dress));
        lines.push(format!("{start} --> {end}{}", cue.settings));
        lines.extend(cue.lines.iter().cloned());
        if !dress.run_on {
            lines.push(String::new());
        }
    }
    let mark = if dress.mark { "\u{feff}" } else { "" };
    format!("{mark}{}", lines.join(dress.ending))
}

/// The file of a number.
pub fn pair(number: u64) -> Pair {
    let mut chance = Chance::new(number + 1);
    let cues = made(&mut chance);
    let ending = ["\n", "\r\n", "\r"][chance.below(3)];
    let careless = !number.is_multiple_of(3);
    let srt = careless && chance.once_in(2);
    let mut odd = Dress {
        srt,
        comma: srt || (careless && chance.once_in(3)),
        short: careless && chance.once_in(4),
        run_on: careless && chance.once_in(5),
        numbered: srt || chance.once_in(2),
        unsigned: careless && chance.once_in(6),
        ending,
        mark: chance.once_in(3),
        blocks: !srt && chance.once_in(2),
    };
    let text = written(&cues, &odd);
    odd = Dress {
        srt: false,
        comma: false,
        short: false,
        run_on: false,
        unsigned: false,
        ..odd
    };
    Pair {
        standard: written(&cues, &odd),
        odd: text,
        ending: if srt { "srt" } else { "vtt" },
    }
}

/// Plain SRT, as the other reader of it expects it.
pub fn plain_srt(number: u64) -> String {
    let mut chance = Chance::new(number + 7_000);
    let mut cues = made(&mut chance);
    for cue in &mut cues {
        cue.end = cue.start + 1_000;
        cue.settings = "";
        let count = 1 + chance.below(2);
        cue.lines = (0..count)
            .map(|line| format!("line {line} of ten thou"))
            .collect();
    }
    cues.sort_by_key(|cue| cue.start);
    let dress = Dress {
        srt: true,
        comma: true,
        short: false,
        run_on: false,
        numbered: true,
        unsigned: true,
        ending: if chance.once_in(2) { "\n" } else { "\r\n" },
        mark: false,
        blocks: false,
    };
    written(&cues, &dress)
}
