//! The words of a cue without its markup, and who says them.

use fasrt::vtt::cue::{CueParser, CueToken, Tag};

/// The words, with character references resolved, and the first voice that is named.
pub fn plain(raw: &str) -> (String, Option<String>) {
    let raw = raw.replace('\0', "\u{fffd}");
    let (mut words, mut voice) = (String::with_capacity(raw.len()), None);
    for token in CueParser::new(&raw) {
        match token {
            CueToken::Text(text) => words.push_str(text.normalize()),
            CueToken::StartTag {
                tag: Tag::Voice,
                annotation: Some(name),
                ..
            } if voice.is_none() => voice = Some(name.normalize().to_owned()),
            CueToken::StartTag { .. } | CueToken::EndTag(_) | CueToken::Timestamp(_) => {}
        }
    }
    (without_overrides(words), voice)
}

/// Without `{\an8}` and the like, which SRT has from another format: they say where words stand, not what is said.
fn without_overrides(words: String) -> String {
    let mut rest = words.as_str();
    while let Some((_, after)) = rest.strip_prefix("{\\").and_then(|own| own.split_once('}')) {
        rest = after;
    }
    rest.to_owned()
}

#[cfg(test)]
mod tests {
    use super::plain;

    #[test]
    fn markup_is_no_words() {
        let said = |raw: &str| plain(raw).0;
        assert_eq!(said("<v Bob>a <c.loud>b</c> &amp; c</v>"), "a b & c");
        assert_eq!(
            plain("<v.x Ann &amp; Bob>hm").1.as_deref(),
            Some("Ann & Bob")
        );
        assert_eq!(said("fit<00:00:02.300><c> the</c> hub"), "fit the hub");
        assert_eq!(said("{\\an8}<font color=red>up</font>"), "up");
        assert_eq!(
            said("under 5 &lt; 6 &copy; <i>not closed"),
            "under 5 < 6 © not closed"
        );
        assert_eq!(said("a\0b<"), "a\u{fffd}b");
    }
}
