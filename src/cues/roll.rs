//! Rolling captions joined: live captioning shows the line before again above each new one, and lets a line grow.

use super::Cue;

/// Lines that a caption window shows at most.
const WINDOW: usize = 4;

/// Thousandths of a second between two cues of which the second still shows the first.
const NEAR: u64 = 150;

/// What is said, cue by cue, each word once: without lines that only stand there still, and without empty cues. Words in
/// one line, with one blank between them. A cue whose words all stood there before makes the one before it last longer.
pub fn spoken(cues: &[Cue]) -> Vec<Cue> {
    let mut found: Vec<Cue> = Vec::with_capacity(cues.len());
    let mut shown: Vec<String> = Vec::new();
    let mut until = 0;
    for cue in cues {
        let lines: Vec<String> = cue
            .text
            .lines()
            .map(squeezed)
            .filter(|line| !line.is_empty())
            .collect();
        if lines.is_empty() {
            continue;
        }
        let follows = cue.start <= until + NEAR;
        let rest = match follows {
            true => fresh(&shown, &lines),
            false => lines.join(" "),
        };
        match (rest.is_empty(), found.last_mut()) {
            (true, Some(last)) => last.end = last.end.max(cue.end),
            _ => found.push(Cue {
                text: rest,
                ..cue.clone()
            }),
        }
        until = cue.end.max(cue.start);
        shown = lines;
    }
    found
}

/// What of the lines was not shown before. Whole lines must be the same, or the last one shown must have grown: two
/// people who say `the nut` one after the other are not a rolling line.
fn fresh(shown: &[String], lines: &[String]) -> String {
    let most = WINDOW.min(shown.len()).min(lines.len());
    for kept in (1..=most).rev() {
        let (old, new) = (&shown[shown.len() - kept..], &lines[..kept]);
        if old == new {
            return lines[kept..].join(" ");
        }
        let (last, above) = (kept - 1, kept - 1);
        let grown = old[..above] == new[..above]
            && old[last].contains(' ')
            && new[last]
                .strip_prefix(old[last].as_str())
                .is_some_and(|rest| rest.starts_with(' '));
        if grown {
            let rest = new[last].strip_prefix(old[last].as_str()).unwrap_or("");
            let more = lines[kept..].join(" ");
            return squeezed(&format!("{rest} {more}"));
        }
    }
    lines.join(" ")
}

fn squeezed(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::spoken;
    use crate::cues::read;
    use crate::text::{SitePath, Source};

    fn said(text: &str) -> Vec<(u64, String)> {
        let path = SitePath::parse("media/a.vtt").expect("a path");
        let cues = spoken(&read(&Source::new(path, format!("WEBVTT\n\n{text}"))).cues);
        cues.into_iter().map(|cue| (cue.start, cue.text)).collect()
    }

    #[test]
    fn a_line_that_stands_there_still_is_said_once() {
        let text = "00:00.000 --> 00:02.000\nright so first\n\n\
                    00:02.000 --> 00:02.010\nright so first\n \n\n\
                    00:02.010 --> 00:04.000\nright so first\nwe blue the spline\n\n\
                    00:04.000 --> 00:06.000\nwe blue the spline\nand slide it on\n\n\
                    00:06.000 --> 00:07.000\nwe blue the spline\nand slide it on dry\n";
        let wanted = [
            (0, "right so first"),
            (2010, "we blue the spline"),
            (4000, "and slide it on"),
            (6000, "dry"),
        ];
        let wanted: Vec<_> = wanted.map(|(at, words)| (at, words.to_owned())).into();
        assert_eq!(said(text), wanted);
    }

    #[test]
    fn what_is_said_twice_is_kept() {
        let text = "00:00.000 --> 00:02.000\nturn the nut\n\n00:03.000 --> 00:04.000\nturn the nut\n\n\
                    00:04.000 --> 00:05.000\nnut\n\n00:05.000 --> 00:06.000\nnut and washer\n";
        let words: Vec<String> = said(text).into_iter().map(|(_, words)| words).collect();
        assert_eq!(
            words,
            ["turn the nut", "turn the nut", "nut", "nut and washer"]
        );
    }
}
